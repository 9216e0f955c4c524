"""A folder as a shepherd's eye takes it in: notes with a kind, a day, lines of the head and lines of the body."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

KINDS = (
    "ewe", "ram", "wether", "lamb", "medicine", "mob", "treatment", "draft", "lambing", "foster", "tagging", "sale",
    "purchase", "weaning", "death", "remark",
)  # fmt: skip
NAMED = re.compile(rf"(\d{{4}}-\d\d-\d\d)(?: (\d{{4}}))? ({'|'.join(KINDS)})(?: (.+))?")


@dataclass(frozen=True)
class When:
    """A day, and a time of day if it was written."""

    day: date
    clock: time | None

    @property
    def order(self) -> tuple[date, time]:
        """An event without a time stands at the end of its day."""
        return self.day, self.clock or time.max


@dataclass(frozen=True)
class Note:
    """One note."""

    path: str
    kind: str
    when: When | None
    subject: str
    head: Mapping[str, str]
    body: tuple[str, ...]
    asked: date = date.max  # the day asked about

    @property
    def stem(self) -> str:
        """Its file name without folder and ending."""
        return self.path.rsplit("/", 1)[-1].removesuffix(".md")

    def listed(self, key: str) -> list[str]:
        """The words of a field that names sheep or mobs, taken apart at every joint (V2)."""
        return parted(self.head.get(key, ""))


def parted(text: str) -> list[str]:
    """Apart at `,` `;` `&` `+` `/` and `and`. The generator gives nobody a name with a joint in it."""
    return [word.strip() for word in re.split(r"[,;&+]| and |(?<!\d)/| /", text) if word.strip()]


def read_note(path: str, text: str, asked: date) -> Note:
    """One note from its text."""
    head, body = {}, text
    if text.startswith("---\n"):
        inside, _, body = text[4:].partition("---\n")
        pairs = (line.partition(":") for line in inside.splitlines())
        head = {key.strip().lower(): value.strip() for key, _, value in pairs}
    named = NAMED.fullmatch(path.rsplit("/", 1)[-1].removesuffix(".md"))
    kind = head.get("note") or (named[3] if named else "")
    when = stamp(named, head)
    subject = (named[4] or "") if named else ""
    return Note(path, kind, when, subject, head, tuple(line for line in body.splitlines() if line.strip()), asked)


def stamp(named: re.Match[str] | None, head: Mapping[str, str]) -> When | None:
    """The day and time of a note, from its head or its file name."""
    day = head.get("date") or (named[1] if named else "")
    clock = head.get("time") or (f"{named[2][:2]}:{named[2][2:]}" if named and named[2] else "")
    return When(date.fromisoformat(day), time.fromisoformat(clock) if clock else None) if day else None


FIELDS = frozenset((
    "note", "date", "time", "by", "sheep", "mob", "except", "count", "corrects", "dates sure", "not dosed", "medicine",
    "dose", "given", "days", "route", "for", "batch", "off label", "vet", "meat withdrawal", "milk withdrawal",
    "finished",
))  # fmt: skip
PERIOD = re.compile(r"\d+ (days?|h)|none|0|not for milk")


def hole(note: Note) -> bool:
    """W11: a field that cannot be read, that a treatment does not have, or that it must have."""
    periods = all(PERIOD.fullmatch(note.head.get(f"{use} withdrawal", "0")) for use in ("meat", "milk"))
    dose = re.fullmatch(r"[\d.]+ ml", note.head.get("dose", "1 ml"))
    return not (periods and dose and "medicine" in note.head) or days_unread(note)


def days_unread(note: Note) -> bool:
    """Whether what cannot be read might be a day: a day itself, or a field of no known meaning."""
    moments = all(read_when(text) is not None for key in ("given", "finished") for text in note.listed(key))
    return not moments or not set(note.head) <= FIELDS


def read_when(text: str) -> When | None:
    """`2026-06-02` or `2026-06-02 18:00`; None for anything else."""
    match = re.fullmatch(r"(\d{4}-\d\d-\d\d)(?: (\d\d:\d\d))?", text)
    if match is None:
        return None
    return When(date.fromisoformat(match[1]), time.fromisoformat(match[2]) if match[2] else None)


def at(when: When) -> datetime:
    """The moment, for a day that has a time."""
    return datetime.combine(when.day, when.clock or time())
