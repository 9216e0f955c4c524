"""What the name of a note's file says: `DATE [TIME] KIND [SUBJECT]`, or for undated kinds `[KIND] NAME`."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from compiler.schema import Kind

DATED = re.compile(r"(\d{4})[-_ ](\d{1,2})[-_ ](\d{1,2})(?=[-_ ]|$)", re.A)
TIMED = re.compile(r"(\d{2})[:h.]?(\d{2})(?=[-_ ]|$)", re.A)
COPY = re.compile(r"\s*\((\d+)\)$|[ _-]+(?:copy|conflicted copy.*)(?: ?\d+)?$|\s*\(.*conflicted copy.*\)$|\.sync-conflict-.*$", re.I)


@dataclass(frozen=True, slots=True)
class Name:
    """The parts of a file name, as text; "" where there is none. `words` is the whole name without its ending."""

    date: str = ""
    time: str = ""
    kind: str = ""
    subject: str = ""
    words: str = ""
    copy_of: str = ""

    @property
    def dated(self) -> bool:
        """Whether it begins with a date."""
        return bool(self.date)


class KindWords:
    """The words by which kinds are known, longest first."""

    def __init__(self, kinds: Iterable[Kind[Any]]) -> None:
        """Names and aliases of all kinds."""
        self.by_word: dict[str, Kind[Any]] = {}
        for kind in kinds:
            for word in (kind.name, *kind.aliases):
                self.by_word[word] = kind
        self.ordered = sorted(self.by_word, key=lambda word: (-len(word.split()), -len(word)))

    def find(self, typed: str) -> Kind[Any] | None:
        """The kind typed, without regard to case and blanks."""
        return self.by_word.get(plain(typed))

    def leading(self, words: str) -> tuple[Kind[Any], str] | None:
        """The kind whose word begins a text, and the rest of the text."""
        lower = plain(words)
        for word in self.ordered:
            if lower == word or lower.startswith(word + " "):
                return self.by_word[word], " ".join(re.split(r"[\s_-]+", words.strip(" _-"))[len(word.split()) :])
        return None


def read_name(path: str, kinds: KindWords) -> Name:
    """The parts of a note's file name."""
    stem = posixpath.splitext(posixpath.basename(path))[0]
    copied = COPY.search(stem)
    bare = stem[: copied.start()] if copied else stem
    copy_of = path.replace(stem, bare) if copied else ""
    match = DATED.match(bare)
    if match is None:
        led = kinds.leading(bare)
        kind, rest = (led[0].name, led[1]) if led and not led[0].dated else ("", bare)
        return Name(kind=kind, subject=rest.strip(), words=bare, copy_of=copy_of)
    date = f"{match[1]}-{int(match[2]):02}-{int(match[3]):02}"
    rest = bare[match.end() :].strip(" _-")
    clock = TIMED.match(rest)
    time = f"{clock[1]}:{clock[2]}" if clock else ""
    rest = rest[clock.end() :].strip(" _-") if clock else rest
    led = kinds.leading(rest)
    kind, subject = (led[0].name, led[1]) if led else ("", rest)
    return Name(date, time, kind, subject, bare, copy_of)


def plain(text: str) -> str:
    """Lower case, with any run of blanks, hyphens and underscores as one blank."""
    return " ".join(re.split(r"[\s_-]+", text.lower().strip(" _-\t\n")))
