"""One sheep: where it stands at a look, its family, its lambs, weights and treatments, and every note in the shepherd's
words.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from flockbook.derive.due import DueRow
from flockbook.derive.lambings import LambingFact
from flockbook.derive.mating import sires
from flockbook.derive.medicine_register import Entry
from flockbook.flock import Animal, gone, there
from flockbook.pages.seen import Seen
from flockbook.pages.sheep_index import age_class
from flockbook.pages.timeline import entries, lamb
from flockbook.pages.views import (
    Cell,
    Column,
    Directory,
    NoteEntry,
    Pair,
    Reason,
    Row,
    StateView,
    Table,
    Tag,
    Words,
    day,
    directory,
    reasons,
    state_view,
)
from flockbook.pages.wording import day_words, gain_words, partial_words, plural, weight_words
from flockbook.records.event import Event
from flockbook.records.sheep import EWE


@dataclass(frozen=True, slots=True)
class Relative:
    """A parent and, one step further, its own."""

    role: str
    sheep: Tag
    parents: tuple[Relative, ...] = ()


@dataclass(frozen=True, slots=True)
class SheepView:
    """Everything on one sheep's page. `meat` and `milk` are None once it has left."""

    sheep: Tag
    lead: str
    meat: StateView | None
    milk: StateView | None
    look: tuple[Pair, ...]
    why: tuple[Reason, ...]
    due: tuple[Reason, ...]
    parents: tuple[Relative, ...]
    lambings: Table
    lambs: Table
    weights: Table
    treatments: Table
    notes: tuple[NoteEntry, ...]
    own: Html
    own_path: str


@dataclass(frozen=True, slots=True)
class Shelves:
    """Facts laid out by sheep once, so that no page has to look through those of all the others."""

    due: Mapping[str, DueRow]
    births: Mapping[str, list[LambingFact]]
    sired: Mapping[str, list[Animal]]
    treated: Mapping[str, list[Entry]]
    struck: Mapping[str, list[Event]]


def shelved(seen: Seen) -> Shelves:
    """Due rows, births by ewe and by certain sire, treatments, and corrected notes by the words they used."""
    births: dict[str, list[LambingFact]] = {}
    sired: dict[str, list[Animal]] = {}
    treated: dict[str, list[Entry]] = {}
    old: dict[str, list[Event]] = {}
    for fact in seen.facts.lambings:
        births.setdefault(fact.ewe or "", []).append(fact)
        if len(fact.sires) == 1:
            sired.setdefault(fact.sires[0], []).extend(fact.lambs)
    for entry in seen.facts.medicines:
        for sheep in entry.sheep:
            treated.setdefault(sheep, []).append(entry)
    for event in seen.collection.of(Event) if seen.linked.struck else ():
        if event.origin.path in seen.linked.struck:
            for word in dict.fromkeys(text.casefold() for text in (*event.sheep, event.subject or "")):
                old.setdefault(word, []).append(event)
    return Shelves({row.ewe: row for row in seen.facts.due.rows}, births, sired, treated, old)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """A page for every animal that there ever was."""
    del stamp
    tags, shelves = directory(seen.linked, seen.today), shelved(seen)
    for animal in seen.linked.animals.values():
        view = sheep_view(seen, animal, tags, shelves)
        notes = (animal.note.origin.path,) if animal.note else ()
        yield Page(
            tags.paths[animal.id],
            "sheep.html",
            f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id,
            view,
            "Sheep",
            notes,
        )


def sheep_view(seen: Seen, animal: Animal, tags: Directory, shelves: Shelves) -> SheepView:
    """One sheep's view."""
    row = seen.facts.guard.standing.get(animal.id)
    own = tags.tag(animal.id)
    due = shelves.due.get(animal.id)
    return SheepView(
        Tag(own.tag, own.name, "", own.status),
        lead(seen, animal),
        state_view(row.meat, "problems.html") if row else None,
        state_view(row.milk, "problems.html") if row else None,
        look(seen, animal, tags, shelves),
        reasons(row.because) if row else (),
        reasons(due.because) if due else (),
        family(seen, animal, tags, 2),
        lambings_table(animal, tags, shelves),
        lambs_table(seen, animal, tags, shelves),
        weights_table(seen, animal),
        treatments_table(animal, shelves),
        entries(
            seen.linked,
            (*seen.linked.by_animal.get(animal.id, ()), *birth_note(animal), *struck(animal, shelves)),
            tags,
            animal.id,
        ),
        Html(animal.note.origin.html) if animal.note else Html(""),
        animal.note.origin.path if animal.note else "",
    )


def birth_note(animal: Animal) -> tuple[Event, ...]:
    """The note of its birth, which is about its dam."""
    return (animal.birth.note,) if animal.birth else ()


def struck(animal: Animal, shelves: Shelves) -> tuple[Event, ...]:
    """Corrected notes that named this animal by tag or name."""
    words = {word.casefold() for word in (*animal.tags, animal.name or "") if word}
    return tuple(event for word in sorted(words) for event in shelves.struck.get(word, ()))


def lead(seen: Seen, animal: Animal) -> str:
    """Status in one sentence."""
    left = gone(animal, seen.today)
    if left is not None:
        return f"{age_class(animal, left.date).capitalize()}; {left.how} on {day_words(left.date)}."
    if not there(animal, seen.today):
        return "Not in the flock on this day."
    mob = animal.mob_on(seen.today.day)
    return f"{age_class(animal, seen.today.day).capitalize()}{f', {mob} mob' if mob else ''}."


def look(seen: Seen, animal: Animal, tags: Directory, shelves: Shelves) -> tuple[Pair, ...]:
    """What she is at a look."""
    note = animal.note
    pairs: list[tuple[str, Cell | None]] = [
        ("Born", partial_words(animal.born) if animal.born else None),
        ("Came", day(animal.arrived)),
        ("Due", due_words(animal, shelves)),
        ("Dam", tags.tag(animal.dam) if animal.dam else animal.dam_name),
        ("Sire", sire_cell(seen, animal, tags)),
        ("Reared by", tags.tag(animal.reared_by) if animal.reared_by else None),
        ("Lambed", plural(len(shelves.births.get(animal.id, ())), "time") if animal.sex == EWE else None),
        ("Helped before", helped_words(animal, shelves)),
        ("Sucking", sucking(seen, animal, tags)),
        ("Tags", ", ".join(animal.tags) if len(animal.tags) > 1 else None),
        ("Official", note.official if note else None),
        ("Electronic", note.eid if note else None),
        ("Known by", Words(note.marks) if note and note.marks else None),
        ("Temper", note.temperament if note else None),
    ]
    return tuple(Pair(label, value) for label, value in pairs if value is not None and value != "")


def due_words(animal: Animal, shelves: Shelves) -> Cell | None:
    """Her most likely day."""
    row = shelves.due.get(animal.id)
    return day(row.due.likely) if row else None


def sire_cell(seen: Seen, animal: Animal, tags: Directory) -> Cell | None:
    """The sire: one ram, several that can be, a name from outside, or not explained."""
    found = sires(seen.facts.matings, animal)
    if found:
        return tags.tag(found[0]) if len(found) == 1 else tags.tags(found)
    if animal.sire_names:
        return " or ".join(animal.sire_names)
    return "not explained by any joining" if animal.birth else None


def helped_words(animal: Animal, shelves: Shelves) -> str | None:
    """How often she had to be helped."""
    births = shelves.births.get(animal.id, [])
    helped = [fact for fact in births if fact.helped]
    return f"{len(helped)} of {plural(len(births), 'lambing')}" if helped else None


def sucking(seen: Seen, animal: Animal, tags: Directory) -> Cell | None:
    """W12: the treated ewe whose milk it may be drinking."""
    row = seen.facts.guard.standing.get(animal.id)
    return tags.tag(row.sucking) if row and row.sucking else None


def family(seen: Seen, animal: Animal, tags: Directory, steps: int) -> tuple[Relative, ...]:
    """Parents, and theirs, as far as `steps` go."""
    if steps == 0:
        return ()
    found = []
    fathers = sires(seen.facts.matings, animal)
    for role, parent, name in (
        ("dam", animal.dam, animal.dam_name),
        ("sire", fathers[0] if len(fathers) == 1 else None, " or ".join(animal.sire_names)),
    ):
        if parent:
            found.append(Relative(role, tags.tag(parent), family(seen, seen.linked.animals[parent], tags, steps - 1)))
        elif name:
            found.append(Relative(role, Tag("", name, "", "untagged")))
    return tuple(found)


def lambings_table(animal: Animal, tags: Directory, shelves: Shelves) -> Table:
    """Her lambings."""
    columns = (Column("Day"), Column("Lambs", wide=True), Column("Help"), Column("Sire"), Column("Pregnant"))
    rows = []
    for fact in reversed(shelves.births.get(animal.id, [])):
        words = "; ".join(lamb(line) for line in fact.event.lines) or "details to follow"
        help_word = fact.event.help or ("helped" if fact.helped else "none")
        length = plural(fact.gestation_days, "day") if fact.gestation_days else ""
        rows.append(Row((day(fact.event.date) or "", Words(words), help_word, tags.tags(fact.sires), length)))
    return Table(columns, tuple(rows), "No lambing is written.")


def lambs_table(seen: Seen, animal: Animal, tags: Directory, shelves: Shelves) -> Table:
    """All lambs she bore (or, for a ram, all that are surely his), with what became of them."""
    columns = (
        Column("Lamb"),
        Column("Born"),
        Column("Birth weight", "number"),
        Column("Last weight", "number"),
        Column("Gain from birth", "number"),
        Column("Now"),
    )
    lambs = offspring(seen, animal, shelves)
    return Table(columns, tuple(lamb_row(seen, item, tags) for item in reversed(lambs)), "No lamb is written.")


def offspring(seen: Seen, animal: Animal, shelves: Shelves) -> list[Animal]:
    """The lambs of a ewe, or those of which a ram is surely the sire."""
    if animal.sex == EWE:
        return list(seen.linked.lambs_of.get(animal.id, ()))
    return shelves.sired.get(animal.id, [])


def lamb_row(seen: Seen, item: Animal, tags: Directory) -> Row:
    """One lamb."""
    units = seen.settings.units
    grown = seen.facts.growth.get(item.id)
    weight = item.birth.line.weight.kg if item.birth and item.birth.line.weight else None
    left = gone(item, seen.today)
    now = f"{left.how} {day_words(left.date)}" if left else "here"
    last = weight_words(grown.weights[-1].kg, units) if grown and grown.weights else ""
    return Row(
        (
            tags.tag(item.id),
            day(item.birthday) or "",
            weight_words(weight, units),
            last,
            gain_words(grown.adg if grown else None, units),
            now,
        )
    )


def weights_table(seen: Seen, animal: Animal) -> Table:
    """Its weights and gains."""
    grown, units = seen.facts.growth.get(animal.id), seen.settings.units
    columns = (
        Column("Day"),
        Column("Weight", "number"),
        Column("Gain since the one before", "number"),
        Column("Remark", wide=True),
    )
    rows = [
        Row(
            (
                day(item.date) or "",
                weight_words(item.kg, units) + ("" if item.sure else " (to confirm)"),
                gain_words(item.gain, units),
                item.remark,
            )
        )
        for item in reversed(grown.weights if grown else ())
    ]
    return Table(columns, tuple(rows), "Never weighed.")


def treatments_table(animal: Animal, shelves: Shelves) -> Table:
    """Every treatment, with the periods as typed."""
    columns = (
        Column("Given", wide=True),
        Column("Medicine"),
        Column("Dose"),
        Column("For"),
        Column("Meat period", wide=True),
        Column("Note", wide=True),
    )
    rows = []
    for entry in reversed(shelves.treated.get(animal.id, [])):
        if entry.sheep:
            event = entry.event
            given = ", ".join(when.text or day_words(when.date) for when in entry.doses) or "not written"
            words = given + (" (course open)" if entry.open else "")
            dose = event.dose.text if event.dose else event.rate.text if event.rate else ""
            rows.append(
                Row(
                    (
                        Words(words),
                        event.medicine or "",
                        dose,
                        event.for_ or event.subject or "",
                        Words(entry.meat_period),
                        Words(entry.note),
                    ),
                    "struck" if entry.struck_by else "",
                )
            )
    return Table(columns, tuple(rows), "Never treated.")


PAGES = (PageMaker("sheep", make),)
NAVIGATION: tuple[Link, ...] = ()
