"""The tables on one sheep's page: her lambings, lambs, weights and treatments; a ram's lambs by season."""

from __future__ import annotations

from collections.abc import Mapping

from flockbook.derive.breeding.mating import sires
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.medicine.medicine_register import MedicineEntry
from flockbook.derive.plain.days import moment_words
from flockbook.derive.weights.gains import Growth, Weighed, birth_weight
from flockbook.flock import Animal, gone, nurse_of
from flockbook.pages.telling.by_sheep import BySheep
from flockbook.pages.telling.telling import old_birth_words
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Cell, Column, Day, LinkView, Row, Table, Words, day
from flockbook.pages.wording import NONE, and_listed, day_words, gain_words, later_words, partial_words, weight_words
from flockbook.records.breeding import HELP
from flockbook.records.health import Death
from flockbook.records.past_line import PastLine
from flockbook.records.trade import Sale
from flockbook.regional import local
from flockbook.saying.treatments import typed_period

NOT_FOR_MILK = "not for milk"
MOST_CELL_TAGS = 150  # tags of a ram's lambs on his page; more are only counted


# Births


def lambings_table(known: BySheep, told: Teller, ewe: str) -> Table:
    """Each of her lambings, the latest first."""
    columns = (
        Column("Lambed"),
        Column("Lambs", wide=True),
        Column("Weights"),
        Column("Help"),
        Column("Lay"),
        Column("Sire"),
    )
    rows = tuple(Row(lambing_cells(told, birth)) for birth in reversed(known.births.get(ewe, ())))
    return Table(columns, rows, "No lambing is written.")


def old_births_table(known: BySheep, told: Teller, ewe: str) -> Table:
    """Her lambings of before the first note, as old records have them; the latest first."""
    columns = (Column("Lambed"), Column("Lambs"), Column("As written", wide=True), Column("Help"), Column("From"))
    found = known.seen.facts.lambing.past.by_ewe.get(ewe, ())
    rows = tuple(
        Row((
            partial_words(item.born), len(item.lambs), Words("; ".join(lamb_told(line, told) for line in item.lambs)),
            "helped" if item.helped else NONE, "old records",
        ))
        for item in reversed(found)
    )  # fmt: skip
    return Table(columns, rows, "")


def lamb_told(line: PastLine, told: Teller) -> str:
    """A lamb of old records without its birth and its dam, which stand beside it."""
    return old_birth_words(line, told.units).partition(": ")[2]


def lambing_cells(told: Teller, birth: LambingFact) -> tuple[Cell, ...]:
    """One lambing."""
    lines = birth.event.lines
    lambs: Cell = told.tags.tags(lamb.id for lamb in birth.lambs) if birth.lambs else "still to be written"
    weights = [weight_words(kg, told.units) for lamb in birth.lambs if (kg := birth_weight(lamb)) is not None]
    lay = dict.fromkeys(line.lay_wrong for line in lines if line.lay_wrong)
    return (
        lambed(told, birth),
        lambs,
        ", ".join(weights) or NONE,
        local(HELP[birth.help - 1]),
        ", ".join(lay) or "normal",
        sire_words(told, birth),
    )


def lambed(told: Teller, birth: LambingFact) -> Cell:
    """The day of a birth, as the way to its note."""
    text = day_words(birth.event.date) if birth.event.date else "day not readable"
    place = told.places.get(birth.note, "")
    return LinkView(text, place) if place else text


def sire_words(told: Teller, birth: LambingFact) -> str:
    """The ram, the rams it could be, or that no joining explains the birth."""
    return " or ".join(told.flock.animals[ram].called for ram in birth.sires) or "not explained"


def lambs_table(known: BySheep, told: Teller, ewe: str) -> Table:
    """Every lamb she bore, the latest first, and what became of it."""
    columns = (
        Column("Lamb"),
        Column("Born"),
        Column("At birth", "number"),
        Column("Last weight"),
        Column("A day", "number"),
        Column("Now", wide=True),
    )
    lambs = [
        lamb for lamb in told.flock.lambs_of.get(ewe, ()) if gone(lamb, known.seen.today) or seen_born(known, lamb)
    ]
    rows = tuple(Row(lamb_cells(known, told, lamb)) for lamb in reversed(lambs))
    return Table(columns, rows, "No lamb of hers is written.")


def seen_born(known: BySheep, lamb: Animal) -> bool:
    """Whether a lamb was born by the day asked about."""
    return lamb.born is None or lamb.born.earliest <= known.seen.today.day


def lamb_cells(known: BySheep, told: Teller, lamb: Animal) -> tuple[Cell, ...]:
    """One lamb."""
    grown = known.seen.facts.weights.gains.get(lamb.id)
    birth = weight_words(birth_weight(lamb), told.units) or NONE
    return (
        told.tags.tag(lamb.id),
        day(lamb.birthday) or NONE,
        birth,
        last_weight(grown, told.units) or NONE,
        gain_words(grown.adg if grown else None, told.units) or NONE,
        fate(known, told, lamb),
    )


def last_weight(grown: Growth | None, units: str) -> str:
    """The last weight that nobody need confirm, and its day."""
    sure = [weight for weight in grown.weights if weight.sure] if grown else []
    return f"{weight_words(sure[-1].kg, units)}, {day_words(sure[-1].date)}" if sure else ""


def fate(known: BySheep, told: Teller, animal: Animal) -> str:
    """What became of a sheep: here, and with whom; or how and when it left."""
    today = known.seen.today
    left = gone(animal, today)
    nurse = told.flock.animals.get(nurse_of(animal, today) or "")
    reared = f"; reared by {nurse.called}" if nurse else ""
    if left is None:
        mob = animal.mob_on(today.day)
        return f"here{f', {mob}' if mob else ''}{reared}"
    if left.how == "born dead":
        return "born dead"
    note = left.note
    more = note.cause if isinstance(note, Death) else note.use if isinstance(note, Sale) else None
    return f"{left.how} {day_words(left.date)}{f', {more}' if more else ''}{reared}"


# A ram's lambs


def sired_table(known: BySheep, told: Teller, ram: str) -> Table:
    """His lambs by season, the latest first: those that are his for certain, and those that may be another's."""
    columns = (
        Column("Born"),
        Column("Lambs", "number"),
        Column("His", wide=True),
        Column("His or another's", wide=True),
    )
    seasons: dict[int, list[Animal]] = {}
    for lamb in known.sired.get(ram, ()):
        if lamb.born and seen_born(known, lamb):
            seasons.setdefault(lamb.born.year, []).append(lamb)
    shown = len(known.sired.get(ram, ())) <= MOST_CELL_TAGS
    rows = [
        Row((str(year), len(lambs), *sired_cells(known, told, lambs, shown)))
        for year, lambs in sorted(seasons.items(), reverse=True)
    ]
    return Table(columns, tuple(rows), "No lamb by him is written.")


def sired_cells(known: BySheep, told: Teller, lambs: list[Animal], shown: bool) -> tuple[Cell, Cell]:
    """The lambs that are his, and those that may be."""
    rams = {lamb.id: len(sires(known.seen.facts.breeding.matings, lamb)) for lamb in lambs}
    parts = (
        [sheep for sheep, count in rams.items() if count == 1],
        [sheep for sheep, count in rams.items() if count > 1],
    )
    mine, doubtful = (told.tags.tags(part) if shown and part else str(len(part)) for part in parts)
    return mine, doubtful


# Weights and treatments


def weights_table(grown: Growth | None, told: Teller) -> Table:
    """Every weight, the latest first, with the gain since the one before."""
    columns = (
        Column("Weighed"),
        Column("Weight", "number"),
        Column("Gain since", "number"),
        Column("Remark", wide=True),
    )
    weights = reversed(grown.weights) if grown else ()
    return Table(columns, tuple(Row(weight_cells(item, told)) for item in weights), "No weight is written.")


def weight_cells(item: Weighed, told: Teller) -> tuple[Cell, ...]:
    """One weight; one that was asked about says so."""
    asked = "" if item.sure else " (to confirm)"
    place = told.places.get(item.note, "")
    shown: Cell = LinkView(day_words(item.date), place) if place else day_words(item.date)
    gain = gain_words(item.gain, told.units) or NONE
    return shown, weight_words(item.kg, told.units) + asked, gain, Words(item.remark) if item.remark else NONE


def treatments_table(known: BySheep, told: Teller, sheep: str) -> Table:
    """Every treatment, the latest first, with the periods as typed and when this sheep was clear of it."""
    columns = (
        Column("Given"),
        Column("What", wide=True),
        Column("Meat period as typed"),
        Column("Meat clear from"),
        Column("Milk clear from"),
    )
    until = releases(known, sheep)
    rows = [
        Row(treatment_cells(entry, told, until), "struck" if entry.struck_by else "")
        for entry in reversed(known.doses.get(sheep, ()))
    ]
    return Table(columns, tuple(rows), "No treatment is written.")


Releases = Mapping[tuple[str, str], Cell]


def releases(known: BySheep, sheep: str) -> Releases:
    """(Note, product) → when this sheep was clear of that treatment; `unknown` where no date can be named, `not for
    milk` where the label says so.
    """
    found: dict[tuple[str, str], Cell] = {}
    for hold in known.seen.facts.medicine.guard.holds.get(sheep, ()):
        key = (hold.because.note, hold.product)
        if hold.open:
            found[key] = NOT_FOR_MILK if hold.because.rule == "W7" else "unknown"
        elif hold.until and found.get(key) not in ("unknown", NOT_FOR_MILK):
            shown = day_words(hold.until.date()) if hold.by_day else moment_words(hold.until)
            found[key] = Day(hold.until.date().isoformat(), shown)
    return found


def treatment_cells(entry: MedicineEntry, told: Teller, until: Releases) -> tuple[Cell, ...]:
    """One treatment of one sheep. A struck one holds nothing; what is written here never says `clear`."""
    given = and_listed([day_words(when.date) for when in entry.doses]) if entry.doses else "day not readable"
    later = later_words(entry.event.date, told.tags.today.day)
    place = told.places.get(entry.note, "")
    nothing = "struck out" if entry.struck_by else "no hold"
    return (
        LinkView(given, place) if place else given,
        Words("; ".join(words for words in (what_words(entry), later) if words)),
        typed_period(entry.meat_period),
        until.get((entry.note, "meat"), nothing),
        until.get((entry.note, "milk"), nothing),
    )


def what_words(entry: MedicineEntry) -> str:
    """`penicillin 5 mL, for foot abscess; the course is open`."""
    event = entry.event
    dose = f" {event.dose.text}" if event.dose else f" {event.rate.text}" if event.rate else ""
    reason = f", for {event.for_}" if event.for_ else ""
    return f"{event.medicine or 'medicine not written'}{dose}{reason}{'; the course is open' if entry.open else ''}"
