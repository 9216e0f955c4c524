"""What the name of a note's file says: `DATE [TIME] KIND [SUBJECT]`, or for undated kinds `[KIND] NAME`."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from typing import Any

from compiler.nearness import plain as plain
from compiler.schema import Kind
from compiler.shape import Value

KIND_KEY = "note"  # the field that says the kind, where the file name does not
GAP = r"[-_\s]"
DATED = re.compile(rf"(\d{{4}}){GAP}(\d{{1,2}}){GAP}(\d{{1,2}})(?={GAP}|$)", re.A)
DATE_LIKE = re.compile(r"\d{1,4}[-_ ./]\d{1,2}[-_ ./]\d{1,4}|\d{8}(?!\d)", re.A)
TIMED = re.compile(rf"(?:(\d{{1,2}})[:h.](\d{{2}})|(\d{{2}})(\d{{2}}))(?={GAP}|$)", re.A)
# What telephones, shared folders and desktops put behind the name of a file that they copy.
COPY = re.compile(
    r"\s*\(\d+\)$|[ _-]+(?:copy|conflicted copy.*?)(?: ?\d+)?$|\s*\([^()]*conflicted copy[^()]*\)$|\.sync-conflict-.*$",
    re.I,
)


class Name(Value):
    """The parts of a file name, as text; "" where there is none. `words` is the whole name without its ending.

    `date` is in ISO form, `time` as `03:40`. `copy_of` is the path without what a copier put behind the name, or "".
    """

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
    """The words by which kinds are known; where two begin alike the longer one counts."""

    def __init__(self, kinds: Iterable[Kind[Any]]) -> None:
        """Names and aliases of all kinds."""
        self.by_word: dict[str, Kind[Any]] = {}
        for kind in kinds:
            for word in (kind.name, *kind.aliases):
                self.by_word[plain(word)] = kind
        longest_first = sorted(self.by_word, key=len, reverse=True)
        words = "|".join(rf"{GAP}+".join(map(re.escape, word.split())) for word in longest_first)
        self.pattern = re.compile(rf"({words or '(?!)'})(?:{GAP}+|$)", re.I)

    def find(self, typed: str) -> Kind[Any] | None:
        """The kind typed, without regard to case and blanks."""
        return self.by_word.get(plain(typed))

    def leading(self, words: str) -> tuple[Kind[Any], str] | None:
        """The kind whose word begins a text, and the rest of the text."""
        match = self.pattern.match(words)
        return (self.by_word[plain(match[1])], words[match.end() :]) if match else None


def read_name(path: str, kinds: KindWords) -> Name:
    """The parts of a note's file name."""
    folder, file = posixpath.split(path)
    stem, ending = posixpath.splitext(file)
    bare = uncopied(stem)
    copy_of = posixpath.join(folder, bare + ending) if bare != stem else ""
    match = DATED.match(bare)
    if match is None:
        led = kinds.leading(bare)
        kind, rest = (led[0].name, led[1]) if led and not led[0].dated else ("", bare)
        return Name(kind=kind, subject=spaced(rest, bare), words=bare, copy_of=copy_of)
    rest = bare[match.end() :].lstrip(" _-")
    clock = TIMED.match(rest)
    rest = rest[clock.end() :].lstrip(" _-") if clock else rest
    led = kinds.leading(rest)
    return Name(
        f"{match[1]}-{int(match[2]):02}-{int(match[3]):02}",
        f"{int(clock[1] or clock[3]):02}:{clock[2] or clock[4]}" if clock else "",
        led[0].name if led else "",
        spaced(led[1] if led else rest, bare),
        bare,
        copy_of,
    )


def uncopied(stem: str) -> str:
    """A file name's stem without the signs of having been copied, of which there may be several."""
    bare = COPY.sub("", stem)
    while bare != stem:
        stem, bare = bare, COPY.sub("", bare)
    return bare


def spaced(subject: str, whole: str) -> str:
    """A subject with blanks between its words, whichever sign the name as a whole separates its words with.

    A hyphen in a name that has blanks (or underscores) stays, because it belongs to a tag or a range.
    """
    if " " not in whole:
        subject = subject.replace("_", " ") if "_" in whole else subject.replace("-", " ")
    return " ".join(subject.split()).strip(" _-")
