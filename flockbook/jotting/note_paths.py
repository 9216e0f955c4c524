"""Where a new note goes: in the folder, and named in the way, that the notes of its kind have."""

from __future__ import annotations

import posixpath
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from typing import Any
from unicodedata import normalize

from compiler.filenames import NOTE_ENDINGS
from compiler.nearness import plain
from compiler.schema import Kind, Record
from compiler.shape import Value

NAME_BEGINS = re.compile(r"(\d{4})([-_ ])(\d{2})\2(\d{2})([-_ ]+)")
# Signs that some systems do not take in a name (Microsoft, "Naming Files, Paths, and Namespaces"), and unseen ones.
NOT_IN_NAMES = re.compile(r'[/\\:*?"<>|\x00-\x1f\x7f]')
MOST_ALIKE = 400  # notes of one kind, day and name (our own limit)
LONGEST_SUBJECT = 48  # characters (our own limit)
FURTHER_NOTES = ("second note", "third note", "fourth note", "fifth note", "sixth note", "seventh note")
HOMES = {"medicine": "medicines", "paddock": "paddocks", "mob": "mobs", "supply": "supplies", "plan": "plans",
    "page": "pages"}  # fmt: skip


class NamedBy(Value):
    """What a note's name is made of: its kind, its day and time, and whom or what it is about."""

    kind: Kind[Any]
    day: date
    time: str = ""
    subject: str = ""


def path_candidates(named: NamedBy, records: Iterable[Record]) -> Iterator[str]:
    """Paths for a note, the best first: the plain one, and names that say that it is a further one of that day."""
    ways = FolderWays.of(named.kind, tuple(records))
    folder = ways.folder.format(year=named.day.year, month=f"{named.day.month:02}")
    subjects = [named.subject, *(further_subject(named, word) for word in FURTHER_NOTES)]
    for subject in dict.fromkeys(subjects):
        yield posixpath.join(folder, ways.name(named, subject))
    for number in range(2, MOST_ALIKE if named.kind.dated else 0):
        name = f"{named.kind.name} of {named.day.isoformat()} no {number}"
        yield posixpath.join(folder, ways.joint.join(name.split(" ")) + ways.ending)


def further_subject(named: NamedBy, word: str) -> str:
    """The last words of a further note's name; none where they would be read as a field of the note."""
    fixed = named.kind.subject or not named.kind.dated
    return "" if fixed and named.kind.dated else f"{named.subject} {word}".strip()


def fit_subject(text: str) -> str:
    """Words as they may stand in a file's name; "" where they would have to be changed for it."""
    bare = " ".join(text.split())
    fit = bare == text and len(bare) <= LONGEST_SUBJECT and not NOT_IN_NAMES.search(bare) and not bare.endswith(".")
    return bare if fit and "_" not in bare else ""


class FolderWays(Value):
    """The way in which notes are named and put: a folder with `{year}` in it, the sign between words, the ending."""

    folder: str
    joint: str = " "
    ending: str = NOTE_ENDINGS[0]

    @staticmethod
    def of(kind: Kind[Any], records: tuple[Record, ...]) -> FolderWays:
        """The ways of the notes of this kind; where there is none, of all that have a day or have none."""
        own = [item.origin.path for item in records if item.origin.kind == kind.name]
        alike = [item.origin.path for item in records if isinstance(item, kind.record)]
        dated = [item.origin.path for item in records if NAME_BEGINS.match(posixpath.basename(item.origin.path))]
        paths = own or alike or (dated if kind.dated else [])
        usual = "events/{year}" if kind.dated else HOMES.get(kind.name, "sheep")
        joints = Counter(found[5] for path in dated if (found := NAME_BEGINS.match(posixpath.basename(path))))
        endings = Counter(posixpath.splitext(path)[1] for path in paths)
        return FolderWays(
            most_often(Counter(map(folder_pattern, paths)), usual),
            most_often(joints, " "),
            most_often(endings, NOTE_ENDINGS[0]),
        )

    def name(self, named: NamedBy, subject: str) -> str:
        """The name of a file."""
        parts = [named.kind.name, subject]
        if named.kind.dated:
            parts = [named.day.isoformat(), named.time.replace(":", ""), *parts]
        elif named.kind.named:
            parts = [subject]
        return self.joint.join(part for part in parts if part) + self.ending


def most_often(counted: Counter[str], usual: str) -> str:
    """What is counted most often; the first in the alphabet of several, `usual` where nothing was counted."""
    return min(counted, key=lambda one: (-counted[one], one)) if counted else usual


def folder_pattern(path: str) -> str:
    """The folder of a note, with `{year}` and `{month}` where its own stand."""
    folder, name = posixpath.split(path)
    found = NAME_BEGINS.match(name)
    parts = folder.replace("{", "").replace("}", "").split("/")
    if found:
        parts = [{found[1]: "{year}", found[3]: "{month}"}.get(part, part) for part in parts]
    return "/".join(parts)


def free_path(candidates: Iterable[str], taken: Collection[str]) -> str | None:
    """The first path that no file has, not even one that differs only in the case of its letters."""
    known = {folded_path(path) for path in taken}
    return next((path for path in candidates if folded_path(path) not in known), None)


def folded_path(path: str) -> str:
    """A path as systems compare it that know no case and compose letters, without its ending."""
    stem, ending = posixpath.splitext(normalize("NFC", path).casefold())
    return plain(stem) if ending in NOTE_ENDINGS else stem + ending
