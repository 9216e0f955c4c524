"""One case of illness as one story that prints on one side for the vet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from flockbook.derive.farm.electronic_numbers import official_numbers
from flockbook.derive.health.cases import Case
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.flock import Animal, there
from flockbook.pages.breeding.due_page import likely_cell
from flockbook.pages.health.cases import before_words, cases_table, end_words, notices
from flockbook.pages.health.early_losses_page import people_warned
from flockbook.pages.lambing.case_births import birth_words, births_of, case_lambs_table
from flockbook.pages.medicine.medicine_pages import clear_words
from flockbook.pages.sections import Aside, Blanks, Block, Look, Section, SectionsView, Standings, Timeline, Working
from flockbook.pages.telling.cautions import MEDICINE_CAUTION, SICK
from flockbook.pages.telling.timeline import entries
from flockbook.pages.views import (
    Caution,
    Cell,
    Column,
    Directory,
    Pair,
    Row,
    Table,
    Words,
    meat_view,
    reasons,
    state_view,
)
from flockbook.pages.wording import age_class, and_listed, day_words, plural, weight_words, when_words
from flockbook.records.health import Illness, Treatment
from flockbook.regional import local_all
from flockbook.saying.identity import official_words
from flockbook.seen import Seen

CASE_BLANKS = (
    "What the vet found",
    "What is to be given, how much, how often, for how long",
    "Meat and milk: wait until",
    "Look again",
)


def case_view(seen: Seen, case: Case, tags: Directory, paths: Mapping[str, str]) -> SectionsView:
    """The story of one case: the sheep, what was given, every note; blanks for the vet while it is open."""
    others = [other for other in seen.facts.health.cases.by_sheep.get(case.sheep, ()) if other is not case]
    before = (cases_table(others, tags, paths),)
    sections = (
        Section("Given for it", (case_treatments(seen, case),), "given-for-it"),
        *birth_sections(seen, case, tags),
        *((Section("For the vet", (ring(seen), Blanks(CASE_BLANKS)), "for-the-vet"),) if case.open else ()),
        Section("As it was written", as_written(seen, case, tags), "as-written", broad=False),
        *((Section("Ill before or besides", before, "ill-before"),) if others else ()),
    )
    cautions = (local_all(SICK), MEDICINE_CAUTION) if case.open else (MEDICINE_CAUTION,)
    people = people_warned(seen, (case,))
    return SectionsView(case_lead(case), sections, (*people, *at_a_look(seen, case)), cautions, tags.tag(case.sheep))


def at_a_look(seen: Seen, case: Case) -> tuple[Block, ...]:
    """What a vet asks first, where her meat and milk stand, and what is out of the common."""
    row = seen.facts.medicine.guard.standing.get(case.sheep)
    look = Look(case_look(seen, seen.linked.animals[case.sheep], case))
    loud = tuple(Aside(text, "loud") for text in (*before_words(case), *notices(case)))
    if row is None:
        return (look, *loud)
    milk = state_view(row.milk, "problems.html") if row.milked else None
    return (look, Standings(meat_view(row, "problems.html"), milk), *loud)


def birth_sections(seen: Seen, case: Case, tags: Directory) -> tuple[Section, ...]:
    """Births of its days, with the lambs."""
    births = births_of(seen, case)
    told: tuple[Block, ...] = (*(birth_words(case, birth) for birth in births), case_lambs_table(seen, births, tags))
    return (Section("Lambing and lambs", told, "births"),) if births else ()


def as_written(seen: Seen, case: Case, tags: Directory) -> tuple[Block, ...]:
    """Every note of the case, and why it belongs to it."""
    told = entries(seen.linked, (*case.notes, *case.treatments), tags, case.sheep)
    return Timeline(told), Working("What belongs to this case, and why", reasons(case.because))


def ring(seen: Seen) -> Caution:
    """Whom to ring."""
    file = seen.settings.file
    number = file.vet_phone or "write the number in flock.yaml"
    return Caution(f"{file.vet or 'Your vet'}: {number}", ("The vet's word goes before this sheet.",))


def case_lead(case: Case) -> str:
    """The case in one sentence."""
    if case.open:
        return f"{case.problem.capitalize()}, open since {day_words(case.since)}: {plural(case.days, 'day')}."
    return f"{case.problem.capitalize()}, from {day_words(case.since)}; {end_words(case)}: {plural(case.days, 'day')}."


def case_look(seen: Seen, animal: Animal, case: Case) -> tuple[Pair, ...]:
    """What a vet asks first; what is not written is left out."""
    temps = [seen.settings.measures.degrees(item.temp.celsius) for item in case.notes if item.temp]
    grades = list(dict.fromkeys(item.severity for item in case.notes if item.severity))
    asked: tuple[tuple[str, Cell | None], ...] = (
        *look_at_sheep(seen, animal),
        ("Due", due_day(seen, animal) if case.open else None),
        ("Side", case.side),
        ("Temperature", and_listed(temps)),
        ("Signs", one_after_other(item.signs for item in case.notes)),
        ("Last weight", case_weight(seen, animal)),
        ("How bad", and_listed(grades)),
        ("Sample", one_after_other(item.sample for item in case.notes)),
        ("Result", one_after_other(result_words(item) for item in case.notes)),
        ("Outcome", one_after_other(item.outcome for item in case.notes)),
    )
    return tuple(Pair(label, value, isinstance(value, Words)) for label, value in asked if value)


def result_words(item: Illness) -> str:
    """What the laboratory found, and when; that it is still to come where a sample went."""
    came = f" ({day_words(item.result_date)})" if item.result_date else ""
    if item.result:
        return f"{item.result}{came}"
    return "still to come" if item.sample and item.date else ""


def look_at_sheep(seen: Seen, animal: Animal) -> Iterator[tuple[str, Cell | None]]:
    """Who it is; where it stands and with whom only while it is here."""
    here = there(animal, seen.today)
    if here:
        yield "Class", age_class(animal, seen.today.day).capitalize()
    if numbers := official_numbers(seen.linked).get(animal.id):
        yield "Official", official_words(numbers[-1], seen.settings.file.country or "")
    if here:
        yield "Where", seen.facts.land.grazing.place_of(animal.id)
        yield "Mob", animal.mob_on(seen.today.day)


def due_day(seen: Seen, animal: Animal) -> Cell | None:
    """The day on which she is most likely to lamb, where she is due."""
    rows = (row for row in seen.facts.breeding.due.rows if row.ewe == animal.id)
    return next((likely_cell(row, seen.today.day) for row in rows), None)


def case_weight(seen: Seen, animal: Animal) -> str:
    """The last weight written, and its day."""
    weighed = seen.facts.weights.gains.get(animal.id)
    if weighed is None or not weighed.weights:
        return ""
    last = weighed.weights[-1]
    return f"{weight_words(last.kg, seen.settings.units)}, {day_words(last.date)}"


def one_after_other(texts: Iterable[str | None]) -> Words | None:
    """What the notes say one after the other; None where none says anything."""
    said = [text for text in texts if text]
    return Words("; ".join(said)) if said else None


def case_treatments(seen: Seen, case: Case) -> Table:
    """What was given, and until when it holds."""
    columns = (
        Column("Given", wide=True),
        Column("Medicine", wide=True),
        Column("Dose"),
        Column("Route"),
        Column("Batch"),
        Column("Clear of it from", wide=True),
        Column("Vet"),
    )
    register = {entry.note: entry for entry in seen.facts.medicine.register}
    rows = tuple(treatment_row(event, register[event.origin.path]) for event in case.treatments)
    return Table(columns, rows, "No treatment is written for it.", "given")


def treatment_row(event: Treatment, entry: MedicineEntry) -> Row:
    """One treatment; what another note struck is shown struck."""
    days = ", ".join(when_words(when) for when in event.doses)
    dose = event.dose or event.rate
    cells = (
        Words(days), event.medicine or "", dose.text if dose else "", event.route or "", event.batch or "",
        Words(clear_words(entry)), event.vet or "",
    )  # fmt: skip
    return Row(cells, "struck" if entry.struck_by else "")
