"""The death list on paper: every death with its day, cause, body and until when it is kept; lambs born dead apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.farm.flock_register import DeathEntry
from flockbook.derive.medicine.medicine_register import kept_until
from flockbook.flock import happened
from flockbook.pages.farm.register import law_of_register
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.telling.telling import line_words
from flockbook.pages.views import Caution, Column, Directory, Row, Table, Words, directory
from flockbook.pages.wording import day_words, plural
from flockbook.records.health import Death
from flockbook.regional import local
from flockbook.seen import Seen

PATH = "death-list.html"
ROOM = 550  # elements of each of the two long tables
# In our own words; what law says of bodies is from memory, and differs. People at risk: gov.uk and gov.scot.
BODIES = Caution(
    "Bodies",
    (
        "What may be done with a body, and how soon, is law and differs from place to place; keep the collector's "
        "paper with this list.",
        "A lamb lost before its time, or several deaths together: gloves, keep pregnant people away, and ask your "
        "vet before the bodies go.",
    ),
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The list, and the pages on which it goes on."""
    del stamp
    tags, seat = directory(seen.linked, seen.today), Seat(PATH, "Death list", "Register", ROOM)
    found = seen.facts.farm.register
    deaths, more = over_pages(deaths_table(found.deaths, tags), seat)
    lambs, rest = over_pages(born_dead_table(seen, tags), seat)
    lost = unplaced_table(seen)
    sections = (
        Section("Year by year", (years_table(seen),), "by-year"),
        *((Section("Deaths whose sheep is not found", (lost,), "not-found"),) if lost.rows else ()),
        Section("Deaths on the roll", (deaths,), "all-deaths"),
        Section("Lambs born dead", (lambs,), "never-alive"),
    )
    lead = (
        f"{plural(len(found.deaths), 'death')} on the roll and {plural(len(found.born_dead), 'lamb')} born dead, until "
        f"the end of {day_words(found.until)}."
    )
    foot = (BODIES, law_of_register())
    yield Page(PATH, "sections.html", "Death list", SectionsView(lead, sections, foot=foot), "Register")
    yield from (*more, *rest)


def years_table(seen: Seen) -> Table:
    """Deaths year by year, with what they died of; counts, since they are facts and no estimate."""
    columns = (Column("Year"), Column("Dead", "number"), Column("Of what", wide=True), Column("Born dead", "number"))
    causes: dict[int, Counter[str]] = {}
    for one in seen.facts.farm.register.deaths:
        causes.setdefault(one.day.year, Counter())[one.cause or "not written"] += 1
    unborn = Counter(day.year for day in seen.facts.farm.register.born_dead.values())
    rows = [
        Row((str(year), found.total(), Words(cause_words(found)), unborn[year]))
        for year in sorted({*causes, *unborn}, reverse=True)
        for found in (causes.get(year, Counter()),)
    ]
    return Table(columns, tuple(rows), "No death is written.", "death-years")


def cause_words(causes: Counter[str]) -> str:
    """The causes, the most frequent first: `exposure 3, unknown 1`."""
    return ", ".join(
        f"{cause} {count}" for cause, count in sorted(causes.items(), key=lambda item: (-item[1], item[0]))
    )


def deaths_table(deaths: Iterable[DeathEntry], tags: Directory) -> Table:
    """Every death on the roll, the latest first."""
    columns = (
        Column("Day"), Column("Sheep"), Column("Cause"), Column("Body"), Column("Found inside", wide=True),
        Column("Keep until"),
    )  # fmt: skip
    rows = [
        Row((
            f"{day_words(one.day)}{f', found {local(one.found)}' if one.found else ''}", tags.tag(one.sheep),
            one.cause or "not written", one.disposal or "not written", Words(one.post_mortem or "not written"),
            day_words(one.keep_until) if one.keep_until else "",
        ))
        for one in reversed(tuple(deaths))
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No death on the roll.", "deaths")


def unplaced_table(seen: Seen) -> Table:
    """Deaths whose sheep is not found."""
    columns = (Column("Day"), Column("As typed", wide=True), Column("Cause"), Column("Note", wide=True))
    return Table(columns, tuple(Row(cells) for cells in unplaced(seen)), "", "unplaced")


def unplaced(seen: Seen) -> Iterator[tuple[str | Words, ...]]:
    """Deaths whose sheep is not found: they stand here until the note is put right."""
    for event in seen.linked.events:
        found = seen.linked.subjects.get(event.origin.path)
        if isinstance(event, Death) and found and (found.unresolved or not found.ids) and happened(event, seen.today):
            typed = ", ".join(mention.text for mention in found.unresolved) or event.subject or "nobody is named"
            day = day_words(event.date) if event.date else "not read"
            yield day, Words(typed), event.cause or "not written", Words(event.origin.path)


def born_dead_table(seen: Seen, tags: Directory) -> Table:
    """Lambs born dead: they never stood on the roll, but were born."""
    columns = (Column("Day"), Column("Dam"), Column("Lamb, and which note", wide=True), Column("Keep until"))
    years = seen.settings.figure("records_kept")
    rows = []
    born_dead = seen.facts.farm.register.born_dead
    for lamb, day in sorted(born_dead.items(), key=lambda item: (item[1], item[0]), reverse=True):
        animal, keep = seen.linked.animals[lamb], kept_until(day, years)
        dam = tags.tag(animal.dam) if animal.dam else "not written"
        birth, units = animal.birth, seen.settings.units
        said = f"{line_words(birth.note, birth.line, units)} ({birth.note.origin.path})" if birth else ""
        rows.append(Row((day_words(day), dam, Words(said), day_words(keep) if keep else "")))
    return Table(columns, tuple(rows), "No lamb was born dead.", "born-dead")


PAGES = (PageMaker("death list", make),)
NAVIGATION = (Link("Death list", PATH, "", "On paper"),)
