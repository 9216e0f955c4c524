"""Illness: what is open, every case, how often, udders to feel; and each case as one story that prints on one side
for the vet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page, slug
from compiler.shape import Value
from flockbook.derive.health.cases import Case, Udder, ketone_note, temperature_note
from flockbook.derive.medicine.withdrawal import all_doses
from flockbook.flock import Animal, there
from flockbook.pages.lambing.case_births import birth_words, births_of, lambs_table
from flockbook.pages.medicine.medicine_pages import clear_words
from flockbook.pages.sections import MEDICINES, SICK, Section, SectionsView
from flockbook.pages.seen import Seen
from flockbook.pages.telling.timeline import entries
from flockbook.pages.views import (
    Caution,
    Cell,
    Column,
    Directory,
    LinkView,
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
    share_view,
    state_view,
)
from flockbook.pages.wording import age_class, day_words, listed, plural, weight_words

PATH = "illness.html"
ENDS = {"recovered": "well", "dead": "died", "sold": "sold", "followed": "not written; it began again"}
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
BLANKS = (
    "What the vet found",
    "What is to be given, how much, how often, for how long",
    "Meat and milk: wait until",
    "Look again",
)
RATE_RULE = (
    "Of the ewes exposed to a ram for that season, so many had it at least once; the range is Wilson's, 95 in a "
    "hundred. Ewes "
    "of one mob are not independent, so the true range is wider. A season begins 14 days before its first birth."
)


class CaseView(Value):
    """One case as one story: the sheep, what was seen, what was given, every note; blanks for the vet while it is
    open.
    """

    sheep: Tag
    lead: str
    look: tuple[Pair, ...]
    meat: StateView | None
    milk: StateView | None
    notices: tuple[str, ...]
    treatments: Table
    births: tuple[str, ...]
    lambs: Table
    others: Table
    notes: tuple[NoteEntry, ...]
    why: tuple[Reason, ...]
    blanks: tuple[str, ...]
    ring: Caution
    cautions: tuple[Caution, ...]


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The list of cases, and a page for each."""
    del stamp
    tags = directory(seen.linked, seen.today)
    paths = case_paths(seen)
    yield Page(PATH, "sections.html", "Illness", illness_view(seen, tags, paths), "Health")
    for case in seen.facts.cases.all:
        animal = seen.linked.animals[case.sheep]
        title = f"{animal.called}: {case.problem}"
        yield Page(paths[case.id], "case.html", title, case_view(seen, case, tags, paths), "Illness")


def case_paths(seen: Seen) -> dict[str, str]:
    """Where each case's page is: `cases/c231-lameness-2026-11-21.html`."""
    paths: dict[str, str] = {}
    taken: set[str] = set()
    for case in seen.facts.cases.all:
        name = base = slug(case.id)
        number = 1
        while name in taken:
            number += 1
            name = f"{base}-{number}"
        taken.add(name)
        paths[case.id] = f"cases/{name}.html"
    return paths


# The list


def illness_view(seen: Seen, tags: Directory, paths: Mapping[str, str]) -> SectionsView:
    """Open cases first."""
    found = seen.facts.cases
    sections = (
        Section("Open", "open", plural(len(found.open), "case"), table=open_table(found.open, tags, paths)),
        Section("How often", "how-often", words=(RATE_RULE,), table=rates_table(seen)),
        Section("Udders to feel before joining", "udders", table=udder_table(found.udders, tags)),
        Section("Every case", "every-case", plural(len(found.all), "case"), table=cases_table(found.all, tags, paths)),
    )
    lead = (
        f"{plural(len(found.open), 'case')} open, {len(found.all)} in all. A case ends when “recovered” is written, or "
        "when she is sold or dies."
    )
    return SectionsView(lead, (SICK, MEDICINES), sections)


def open_table(cases: Iterable[Case], tags: Directory, paths: Mapping[str, str]) -> Table:
    """Who is ill."""
    columns = (
        Column("Sheep"),
        Column("Problem"),
        Column("Since"),
        Column("Days", "number"),
        Column("Given", wide=True),
        Column("To note", wide=True),
    )
    rows = [
        Row(
            (
                tags.tag(case.sheep),
                problem_link(case, paths),
                day(case.since) or "",
                case.days,
                Words(given_words(case)),
                Words("; ".join([*before_words(case), *notices(case)])),
            )
        )
        for case in cases
    ]
    return Table(columns, tuple(rows), "Nobody is ill as far as the notes tell.", "open-cases")


def problem_link(case: Case, paths: Mapping[str, str]) -> LinkView:
    """The problem, leading to the story."""
    return LinkView(f"{case.problem}{', ' + case.side if case.side else ''}", paths[case.id])


def given_words(case: Case) -> str:
    """What was given for it, in a line."""
    return (
        "; ".join(f"{event.medicine}{', ' + event.dose.text if event.dose else ''}" for event in case.treatments)
        or "nothing written"
    )


def before_words(case: Case) -> list[str]:
    """That she had it before."""
    if not case.earlier:
        return []
    often = ORDINALS[case.earlier] if case.earlier < len(ORDINALS) else f"{case.earlier + 1}th"
    season = (
        f", the {ORDINALS[case.earlier_this_season]} this season"
        if 0 < case.earlier_this_season < len(ORDINALS)
        else ""
    )
    return [f"the {often} time{season}"]


def notices(case: Case) -> list[str]:
    """Figures outside a published range."""
    found = [temperature_note(note.temp.celsius if note.temp else None) for note in case.notes]
    return [text for text in (*found, *(ketone_note(note.ketones) for note in case.notes)) if text]


def cases_table(cases: Iterable[Case], tags: Directory, paths: Mapping[str, str]) -> Table:
    """Every case, the latest first."""
    columns = (
        Column("Sheep", sort=True),
        Column("Problem", sort=True),
        Column("From", sort=True),
        Column("How it ended"),
        Column("Days", "number", sort=True),
        Column("Given", wide=True),
        Column("Before"),
    )
    rows = [
        Row(
            (
                tags.tag(case.sheep),
                problem_link(case, paths),
                day(case.since) or "",
                ENDS[case.ended] if case.ended else "open",
                case.days,
                Words(given_words(case)),
                "; ".join(before_words(case)),
            )
        )
        for case in reversed(tuple(cases))
    ]
    return Table(columns, tuple(rows), "No illness is written.", "cases", filter="Narrow the cases")


def end_words(case: Case) -> str:
    """How and when it ended."""
    return f"{ENDS[case.ended]}, {day_words(case.end)}" if case.end else "open"


def rates_table(seen: Seen) -> Table:
    """How often, season by season."""
    columns = (
        Column("Season"),
        Column("Problem"),
        Column("Ewes that had it", wide=True),
        Column("Cases in all sheep", "number"),
    )
    rows = [Row((str(row.season), row.problem, share_view(row.ewes), row.cases)) for row in seen.facts.cases.incidence]
    return Table(columns, tuple(rows), "No illness is written.", "rates")


def udder_table(udders: Iterable[Udder], tags: Directory) -> Table:
    """Ewes whose bags must be felt before the ram goes in."""
    columns = (Column("Ewe"), Column("Mastitis"), Column("At checks", wide=True), Column("Left"), Column("Right"))
    rows = [
        Row(
            (
                tags.tag(item.ewe),
                "; ".join(f"{day_words(case.since)} {case.side}".strip() for case in item.cases) or "none written",
                Words("; ".join(f"{words}, {day_words(when)}" for when, words, _ in item.found) or "not felt"),
                "",
                "",
            )
        )
        for item in udders
    ]
    return Table(columns, tuple(rows), "No ewe that is here had mastitis, a lump or a hard half.", "udder-list")


# One case


def case_view(seen: Seen, case: Case, tags: Directory, paths: Mapping[str, str]) -> CaseView:
    """The story of one case."""
    animal = seen.linked.animals[case.sheep]
    row = seen.facts.guard.standing.get(case.sheep)
    own = tags.tag(case.sheep)
    file = seen.settings.file
    ring = Caution(
        f"{file.vet or 'Your vet'}: {file.vet_phone or 'write the number in flock.yaml'}",
        ("The vet's word goes before this sheet.",),
    )
    births = births_of(seen, case)
    others = [other for other in seen.facts.cases.by_sheep.get(case.sheep, ()) if other is not case]
    return CaseView(
        own,
        case_lead(case),
        case_look(seen, animal, case),
        state_view(row.meat, "problems.html") if row else None,
        state_view(row.milk, "problems.html") if row else None,
        (*before_words(case), *notices(case)),
        treatments_table(seen, case),
        tuple(birth_words(case, birth) for birth in births),
        lambs_table(seen, births, tags),
        cases_table(others, tags, paths),
        entries(seen.linked, (*case.notes, *case.treatments), tags, case.sheep),
        reasons(case.because),
        BLANKS if case.open else (),
        ring,
        (SICK, MEDICINES) if case.open else (MEDICINES,),
    )


def case_lead(case: Case) -> str:
    """The case in one sentence."""
    if case.open:
        return f"{case.problem.capitalize()}, open since {day_words(case.since)}: {plural(case.days, 'day')}."
    return f"{case.problem.capitalize()}, from {day_words(case.since)}; {end_words(case)}: {plural(case.days, 'day')}."


def case_look(seen: Seen, animal: Animal, case: Case) -> tuple[Pair, ...]:
    """What a vet asks first."""
    today, note = seen.today.day, animal.note
    row = next((item for item in seen.facts.due.rows if item.ewe == animal.id), None)
    weighed = seen.facts.growth.get(animal.id)
    last = weighed.weights[-1] if weighed and weighed.weights else None
    here = there(animal, seen.today)
    temps = listed([f"{item.temp.celsius:.1f} C" for item in case.notes if item.temp])
    pairs: list[tuple[str, Cell | None]] = [
        ("Class", age_class(animal, today).capitalize() if here else None),
        ("Official", note.official if note else None),
        ("Where", seen.facts.grazing.place_of(animal.id) if here else None),
        ("Mob", animal.mob_on(today) if here else None),
        ("Due", day(row.due.likely) if row and case.open else None),
        ("Side", case.side or None),
        ("Temperature", temps or None),
        (
            "Signs",
            Words("; ".join(item.signs for item in case.notes if item.signs))
            if any(item.signs for item in case.notes)
            else None,
        ),
        ("Last weight", f"{weight_words(last.kg, seen.settings.units)}, {day_words(last.date)}" if last else None),
        ("How bad", listed(list(dict.fromkeys(item.severity for item in case.notes if item.severity))) or None),
        (
            "Outcome",
            Words("; ".join(item.outcome for item in case.notes if item.outcome))
            if any(item.outcome for item in case.notes)
            else None,
        ),
    ]
    return tuple(Pair(label, value, label in ("Signs", "Outcome")) for label, value in pairs if value)


def treatments_table(seen: Seen, case: Case) -> Table:
    """What was given, and until when it holds."""
    columns = (
        Column("Given", wide=True),
        Column("Medicine"),
        Column("Dose"),
        Column("Route"),
        Column("Batch"),
        Column("Clear of it from", wide=True),
        Column("Vet"),
    )
    register = {entry.note: entry for entry in seen.facts.medicines}
    rows = []
    for event in case.treatments:
        entry = register[event.origin.path]
        days = ", ".join(
            f"{day_words(when.date)}{f' {when.time:%H:%M}' if when.time else ''}" for when in all_doses(event)
        )
        dose = event.dose.text if event.dose else event.rate.text if event.rate else ""
        rows.append(
            Row(
                (
                    Words(days),
                    event.medicine or "",
                    dose,
                    event.route or "",
                    event.batch or "",
                    Words(clear_words(entry)),
                    event.vet or "",
                ),
                "struck" if entry.struck_by else "",
            )
        )
    return Table(columns, tuple(rows), "No treatment is written for it.", "given")


def sheep_cases(seen: Seen, sheep: str, paths: Mapping[str, str]) -> Table:
    """The cases of one sheep, for its own page."""
    columns = (Column("Problem"), Column("From"), Column("How it ended"), Column("Given", wide=True))
    rows = [
        Row((problem_link(case, paths), day(case.since) or "", end_words(case), Words(given_words(case))))
        for case in reversed(seen.facts.cases.by_sheep.get(sheep, ()))
    ]
    return Table(columns, tuple(rows), "")


PAGES = (PageMaker("illness", make),)
NAVIGATION = (Link("Illness", PATH, "", "Health"),)
