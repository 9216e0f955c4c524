"""A flock in which every field of every kind of note is written with a value found nowhere else in its note.

What a value looks like is decided by the reader that the schema names, so that a new field needs no word here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from compiler.fields import attributes
from compiler.schema import Key, Kind
from compiler.shape import Value
from flockbook.records import KINDS
from flockbook.records.sheep import Sheep

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
FAR = 4000  # days by which months of their own stand before days of their own
LETTERS = "bcdfghjklmnpqrstvwxz"
SETTINGS = "flock: Marked\n"
CORRECTED = "earlier"  # how the file of a note begins that another one corrects

# Fields that name sheep, and what kind of sheep: there must be one of that name.
NAMING = {
    "sheep": "ewe", "except_": "ewe", "not_dosed": "ewe", "seen": "ewe", "ewe": "ewe", "ewes": "ewe", "onto": "ewe",
    "dam": "ewe", "rams": "ram", "sire": "ram", "sires": "ram", "lamb": "lamb", "lambs": "lamb",
}  # fmt: skip
# Words that are read further than as words.
WORDED = {
    "every_year": "17 Oct", "need": "9 per ewe", "have": "4131", "bought": "4132 ml", "used": "4133 ml",
    "binned": "4134 ml", "counted": "4135 ml", "eid": "826000000012347", "trace": "selenium 7 mg/mL", "season": "2019",
}  # fmt: skip
# A sheep's sex as typed in its own note, and how its page begins when it is grown.
SEXES = {
    "ewe": ("ewe", "Ewe, mob"), "ram": ("ram", "Ram, mob"), "wether": ("wether", "Wether, mob"),
    "lamb": ("ram", "Ram, mob"),
}  # fmt: skip


class Mark(Value):
    """One field as it is typed, and the words that the book must show of it."""

    field: str
    typed: str
    words: str


class Marked(Value):
    """A note of a kind in which every field is written."""

    path: str
    kind: Kind
    marks: tuple[Mark, ...]

    @property
    def text(self) -> str:
        """The note, all of it head."""
        return "".join(["---\n", *(f"{mark.field}: {mark.typed}\n" for mark in self.marks), "---\n"])


def word(place: int) -> str:
    """A name that nobody has: Zqabba."""
    first, rest = divmod(place, len(LETTERS) ** 2)
    second, third = divmod(rest, len(LETTERS))
    return f"Zq{LETTERS[first]}{LETTERS[second]}{LETTERS[third]}a"


def day(place: int) -> date:
    """A day of its own."""
    return date(2024, 1, 1) + timedelta(place)


def day_words(value: date) -> str:
    """As the book prints a day."""
    return f"{value.day} {MONTHS[value.month - 1]} {value.year}"


# By the name of the reader: how the value of a number is typed, and how it is shown; "" is by what is typed.
VALUES: dict[str, Callable[[int], tuple[str, str]]] = {
    "words": lambda place: (word(place), ""),
    "a date": lambda place: (f"{day(place)}", day_words(day(place))),
    "a date, or part of one": lambda place: (f"{day(place - FAR):%Y-%m}", day_words(day(place - FAR)).split(" ", 1)[1]),
    "a date, with or without a time": lambda place: (f"{day(place)} 05:06", f"{day_words(day(place))} 05:06"),
    "a time of day": lambda place: (f"0{place % 540 // 60 + 1}:{place % 60:02}", ""),
    "a weight": lambda place: (f"{30 + place / 10:g} kg", ""),
    "a live weight": lambda place: (f"{40 + place / 10:g} kg each", ""),
    "a volume": lambda place: (f"{100 + place} ml", ""),
    "a volume to drink": lambda place: (f"{100 + place} ml", ""),
    "a dose": lambda place: (f"{2 + place / 1000:g} ml", ""),
    "a dose rate": lambda place: (f"1 ml per {20 + place} kg", ""),
    "a length of time": lambda place: (f"{10 + place} days", ""),
    "a waiting period": lambda place: (f"{10 + place} days", ""),
    "a whole number": lambda place: (f"{1000 + place}", ""),
    "a temperature": lambda place: (f"{38 + place % 40 / 10:.1f} C", ""),
    "the recipe of a slide": lambda place: (f"{place} g, {place + 40} ml in all, 0.3 ml counted", ""),
    "a number": lambda place: (f"{place}.37", ""),
    "an area": lambda place: (f"{place}.7 ha", ""),
    "a sum of money": lambda place: (f"{place}.25", ""),
    "where it was gathered": lambda place: (f"old.csv, row {place}, id mzxw6ytboi", f"old.csv, row {place}"),
    "a commission": lambda place: (f"{place}.75", ""),
}


def marked(kind: Kind, start: int) -> Marked:
    """A note of a kind, its values numbered from a start."""
    marks = [Mark("note", kind.name, "")]
    marks += [mark(start + place, kind, declared) for place, declared in enumerate(fields(kind))]
    return Marked(f"marked/{kind.name}.md", kind, tuple(marks))


def fields(kind: Kind) -> Iterator[tuple[str, str, Key]]:
    """Every field of a kind: its attribute, its name as typed, its declaration."""
    for attribute, (name, key) in attributes(kind.record).items():
        yield attribute, name, key


def mark(place: int, kind: Kind, declared: tuple[str, str, Key]) -> Mark:
    """One field with a value of its own."""
    attribute, name, key = declared
    if attribute == "corrects":
        return Mark(name, f"{CORRECTED} {kind.name}", f"{CORRECTED} {kind.name}")
    if attribute == "sex":
        return Mark(name, *SEXES[kind.name])
    reader = key.reader.name
    if attribute in WORDED and reader in ("words", "a day of the year"):
        return Mark(name, WORDED[attribute], f"{name} {WORDED[attribute]}")
    if reader in ("yes or no", "one of", "a score"):
        typed = "yes" if reader == "yes or no" else key.reader.example
        return Mark(name, typed, f"{name} {typed}")
    typed, words = VALUES[reader](place)
    return Mark(name, typed, words or typed)


def sheep_notes(note: Marked) -> Iterator[tuple[str, str]]:
    """A note for every sheep that a marked note names in a field."""
    named = {name: NAMING[attribute] for attribute, name, _ in fields(note.kind) if attribute in NAMING}
    for mark in note.marks:
        if mark.field in named:
            kind = named[mark.field]
            yield f"sheep/{kind} {mark.typed}.md", f"---\ntag: T{mark.typed}\nname: {mark.typed}\nborn: 2020\n---\n"


def flock() -> tuple[dict[str, str], tuple[Marked, ...]]:
    """All notes of the flock by path, and those whose fields are marked."""
    notes, found, start = {"flock.yaml": SETTINGS}, [], 0
    for kind in KINDS:
        note = marked(kind, start)
        start += len(note.marks)
        found += list(apart(note))
    for note in found:
        notes |= {note.path: note.text, **dict(sheep_notes(note))}
        if "corrects" in {mark.field for mark in note.marks}:
            notes[f"marked/{CORRECTED} {note.kind.name}.md"] = earlier(note)
    return notes, tuple(found)


def apart(note: Marked) -> Iterator[Marked]:
    """A marked note; of a sheep two, since it has either one sire or several that may be."""
    if note.kind.record is not Sheep:
        yield note
        return
    name = note.kind.name
    yield Marked(note.path, note.kind, tuple(mark for mark in note.marks if mark.field != "sires"))
    own = Mark("tag", f"B{name}", f"B{name}")
    sires = next(mark for mark in note.marks if mark.field == "sires")
    yield Marked(f"marked/{name} of several.md", note.kind, (note.marks[0], own, sires))


def earlier(note: Marked) -> str:
    """The note that a marked note corrects, with what its kind cannot do without."""
    required = {name for _, name, key in fields(note.kind) if key.required} - {"date"}
    kept = tuple(mark for mark in note.marks if mark.field in {"note", *required})
    return Marked("", note.kind, (*kept, Mark("date", "2023-05-06", ""))).text
