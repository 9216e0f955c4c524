"""The words of a command sorted: which name sheep, which fill a field, which are lines of the note."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import Any

from compiler.nearness import did_you_mean, plain
from compiler.schema import Context, Fault, Kind, declared_keys
from compiler.shape import Value
from flockbook.roll import key_of

FILLED = re.compile(r"([A-Za-z][\w -]*?)\s*=\s*(.*)", re.S)
BETWEEN_SHEEP = re.compile(r"\s*[,;&+]\s*|\s+and\s+")
WHOM_FIELDS = ("ewe", "ewes", "lambs", "lamb", "sheep")  # the first of them that a kind has names its sheep


class TypedWords(Value):
    """What was typed behind a kind: sheep, fields with their texts, lines."""

    sheep: tuple[str, ...] = ()
    fields: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()


class WordSorter(Value):
    """What words are sorted by: the kind of note, everything that bears a name, and how values are written."""

    kind: Kind[Any]
    known: Collection[str]
    context: Context

    def sort(self, words: Sequence[str]) -> TypedWords | Fault:
        """The words of a command; a fault where one fills a field that the kind does not have."""
        found = TypedWords()
        for word in words:
            outcome = self.put(found, word)
            if isinstance(outcome, Fault):
                return outcome
            found = outcome
        joined = " ".join(found.sheep)
        if len(found.sheep) > 1 and not found.lines and not self.is_named(found.sheep[1]) and self.is_line(joined):
            return TypedWords((), found.fields, (joined,))  # `weighing 731 27.5`
        return found

    def put(self, found: TypedWords, word: str) -> TypedWords | Fault:
        """One word put where it belongs."""
        filled = FILLED.fullmatch(word)
        if filled and plain(filled[1]) in declared_keys(self.kind.record):
            return TypedWords(found.sheep, (*found.fields, (plain(filled[1]), filled[2].strip())), found.lines)
        guess = did_you_mean(plain(filled[1]), self.kind.keys(), slips=2) if filled else ""
        if filled and " " not in filled[1] and (guess or not self.is_line(word)):
            cure = f"{guess}`flockbook kinds {self.kind.name}`"
            return Fault(f"a {self.kind.name} note has no field `{filled[1]}`", f"{cure} lists them")
        if self.names_sheep(found, word):
            return TypedWords((*found.sheep, word.strip()), found.fields, found.lines)
        return TypedWords(found.sheep, found.fields, (*found.lines, word))

    def names_sheep(self, found: TypedWords, word: str) -> bool:
        """Whether a word stands for sheep: it names some, or it is a single word in front of the lines."""
        if found.lines:
            return False
        if not self.kind.dated:
            return len(found.sheep) < len(self.kind.named)
        single = len(word.split()) == 1 and not word.endswith((".", "!", "?"))
        return self.is_named(word) or (single and not self.is_line(word, without_sheep=True))

    def is_named(self, word: str) -> bool:
        """Whether every part of a word names a sheep or a mob."""
        parts = [key_of(part) for part in BETWEEN_SHEEP.split(word) if part.strip()]
        return key_of(word) in self.known or (bool(parts) and all(part in self.known for part in parts))

    def is_line(self, word: str, without_sheep: bool = False) -> bool:
        """Whether a word is a whole data line of the kind; `without_sheep`: one that names none, as a lamb's."""
        if self.kind.lines is None:
            return False
        reading = self.kind.lines.read(word, self.context)
        named = without_sheep and hasattr(reading.value, "sheep")
        return reading.value is not None and not reading.faults and not named


def whom_field(kind: Kind[Any]) -> str:
    """The field of a kind that names its sheep."""
    return next((name for name in WHOM_FIELDS if name in declared_keys(kind.record)), "")
