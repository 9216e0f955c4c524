"""Illness as cases: how long each was open, what was given for it, whether it came back, and how often ewes had it.

A case is open until its `recovered`, a sale or a death. It is a record of what was seen, never a diagnosis.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.breeding.gestation import EXTREME_LATE
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.derive.plain.intervals import Share, wilson
from flockbook.derive.plain.numbers import DIGITS
from flockbook.derive.season.season_days import SeasonDays
from flockbook.derive.season.seasons import Season
from flockbook.figures import GESTATION
from flockbook.flock import Animal, Flock, gone, happened, there
from flockbook.records.handling import Check
from flockbook.records.health import MASTITIS, Illness, Treatment
from flockbook.records.sheep import EWE
from flockbook.roll import key_of
from flockbook.whom.whereabouts import SUCKING_DAYS

CONTINUES = 14  # days within which a note of the same problem belongs to the same case (our own choice)
# A treatment given for the same thing belongs to a case from this long before its first note until this long after its
# end (our own choice): a note is often written after the needle.
EARLIER_DAYS, LATER_DAYS = 3, 14
# What the page of workings prints of the lambings that belong to a case.
CASE_LAMBING_RULE = (
    f"To a ewe's illness belong the lambings from {SUCKING_DAYS} days before it (as long as lambs are taken to suck; "
    "common practice) to the longest that a ewe may carry after its end "
    f"({GESTATION.value + EXTREME_LATE:g} days at a mean of {GESTATION.value:g}: Montana Farm Flock Sheep Production "
    "Handbook, second hand)."
)
ROUTINE = ("vaccin", "worm", "fluke", "fly")  # kinds of medicine that are given to mobs, not for a case
# Words that stand for the same trouble in a treatment's `for` (common practice).
ALSO = {
    "lameness": ("lame", "foot", "feet", "hoof", "scald", "rot", "abscess", "fore", "hind", "toe"),
    "mastitis": ("udder", "bag", "teat"),
    "pneumonia": ("lung", "cough", "chest", "breathing"),
    **dict.fromkeys(("scour", "scours"), ("scour", "scours", "scouring", "watery mouth", "diarrhea", "diarrhoea")),
    "flystrike": ("fly", "struck", "maggot", "maggots"),
    **dict.fromkeys(("twin-lamb disease", "pregnancy toxemia"), ("twin lamb", "ketosis", "toxaemia", "toxemia")),
    "metritis": ("womb", "torn", "hard birth", "cleansing"),
    "prolapse": ("bearing",),
    "joint ill": ("joint", "joints"),
}
# Published bounds, for a note beside the figure: grown sheep 38.6-40.0 C (University of Pennsylvania, New Bolton Center
# 1999-2001); ketones above 0.8 mmol/L were called raised in a study of 136 ewes (zenodo 1217859).
TEMPERATURES = (38.6, 40.0)
KETONES = 0.8


class CaseGoesOn(Reason):
    """That a note of the same trouble within so many days goes on with a case."""

    days: int


class TiedTo(Reason):
    """A medicine that was given for a case by name, else while it was open."""

    medicine: str | None
    by_name: bool


class BeganAnew(Reason):
    """That no recovery is written, and the same began again on a day."""

    day: date


class OutsideRange(Reason):
    """A temperature outside the published range of a grown sheep."""

    celsius: float


class KetonesFound(Reason):
    """Ketones above the published line, in mmol/L."""

    ketones: float


class Case(Value):
    """One illness of one sheep. `ended` is recovered, dead, sold, returned (a hired ram),
    followed (a later case of the same began) or ""."""

    sheep: str
    problem: str
    notes: tuple[Illness, ...]
    since: date
    last: date
    recovered: date | None
    ended: str
    end: date | None
    days: int
    season: int
    treatments: tuple[Treatment, ...] = ()
    earlier: int = 0
    earlier_this_season: int = 0
    because: tuple[Because, ...] = ()

    @property
    def open(self) -> bool:
        """Whether the sheep is still ill as far as the notes say."""
        return not self.ended

    @property
    def id(self) -> str:
        """A name for links that stays the same from compile to compile."""
        return f"{self.sheep}-{self.problem}-{self.since.isoformat()}"

    @property
    def side(self) -> str:
        """The side or the foot, as typed."""
        return ", ".join(dict.fromkeys(note.side for note in self.notes if note.side))


class Incidence(Value):
    """How many of a season's exposed ewes had a problem at least once, or of its lambs born alive where `of_lambs`
    alone had it; `cases` counts every case of any sheep.
    """

    season: int
    problem: str
    ewes: Share
    cases: int
    of_lambs: bool = False


class Udder(Value):
    """A living ewe whose udder must be felt before she goes to the ram: her mastitis and what checks found."""

    ewe: str
    cases: tuple[Case, ...]
    found: tuple[tuple[date, str, str], ...]


class Cases(Value):
    """All cases in order of time, how often each problem came, and the udders to feel before joining."""

    all: tuple[Case, ...] = ()
    incidence: tuple[Incidence, ...] = ()
    udders: tuple[Udder, ...] = ()
    by_sheep: Mapping[str, tuple[Case, ...]] = field(default_factory=dict)

    @property
    def open(self) -> tuple[Case, ...]:
        """Those not yet ended, the longest first."""
        return tuple(sorted((case for case in self.all if case.open), key=lambda case: (case.since, case.sheep)))


def cases(flock: Flock, lambed: Sequence[Season], days: SeasonDays, today: Moment) -> Cases:
    """Every case up to the moment asked about."""
    grouped: dict[tuple[str, str], list[list[Illness]]] = {}
    for event in flock.events:
        if isinstance(event, Illness) and event.date and event.problem and happened(event, today):
            for sheep in flock.who(event):
                join(grouped.setdefault((sheep, problem_word(event.problem)), []), event)
    found = [
        case
        for (sheep, problem), groups in grouped.items()
        for case in of_one_problem(Bed(flock, days, today), flock.animals[sheep], problem, groups)
    ]
    found.sort(key=lambda case: (case.since, case.sheep, case.problem))
    by_sheep: dict[str, list[Case]] = {}
    for case in found:
        by_sheep.setdefault(case.sheep, []).append(case)
    fixed = {sheep: tuple(items) for sheep, items in by_sheep.items()}
    return Cases(tuple(found), tuple(incidences(lambed, found)), tuple(udders(flock, fixed, today)), fixed)


class Bed(Value):
    """What every case is worked out from."""

    flock: Flock
    days: SeasonDays
    today: Moment


def problem_word(text: str) -> str:
    """A problem as it is compared: small letters, single blanks."""
    return key_of(text)


def join(groups: list[list[Illness]], event: Illness) -> None:
    """Put a note to the case it continues, or begin a new one."""
    assert event.date is not None
    if groups and (event.date - case_last_day(groups[-1])).days <= CONTINUES:
        groups[-1].append(event)
    else:
        groups.append([event])


def case_last_day(notes: Iterable[Illness]) -> date:
    """The last day that the notes of a case speak of."""
    return max(day for note in notes for day in (note.date, note.recovered) if day)


def of_one_problem(bed: Bed, animal: Animal, problem: str, groups: Sequence[Sequence[Illness]]) -> Iterator[Case]:
    """The cases of one problem in one sheep, in order."""
    seasons = [bed.days.of(notes[0].date or date.min) for notes in groups]
    for place, notes in enumerate(groups):
        since = notes[0].date or date.min
        following = groups[place + 1][0].date if place + 1 < len(groups) else None
        recovered = recovery(notes, bed.today)
        ended, end = ending(animal, recovered, following, bed.today)
        given = tuple(tied(bed, Spell(animal.id, problem, since, end)))
        yield Case(
            animal.id, problem, tuple(notes), since, case_last_day(notes), recovered, ended, end,
            max(0, ((end or bed.today.day) - since).days), seasons[place], given, place,
            seasons[:place].count(seasons[place]), tuple(case_steps(notes, given, ended, end)),
        )  # fmt: skip


def recovery(notes: Sequence[Illness], today: Moment) -> date | None:
    """The day it was well again, once that day has come; a later note without one opens the case again."""
    day = notes[-1].recovered
    return day if day and day <= today.day else None


def ending(animal: Animal, recovered: date | None, following: date | None, today: Moment) -> tuple[str, date | None]:
    """How and when a case ended: by recovery, else by leaving, else because the same began anew."""
    if recovered:
        return "recovered", recovered
    left = gone(animal, today)
    if following and (left is None or following <= left.date):
        return "followed", following
    return ("dead" if left.dead else "returned" if animal.lent else "sold", left.date) if left else ("", None)


class Spell(Value):
    """The days on which a sheep had a problem; `end` is None while it has it."""

    sheep: str
    problem: str
    since: date
    end: date | None


def tied(bed: Bed, spell: Spell) -> Iterator[Treatment]:
    """The treatments that belong to a case: given for it by name, or to this sheep by itself while it was open."""
    last = spell.end or bed.today.day
    for event in bed.flock.by_animal.get(spell.sheep, ()):
        if not isinstance(event, Treatment) or not happened(event, bed.today):
            continue
        days = [when.date for when in event.doses]
        by_name = same_trouble(spell.problem, event.for_ or "")
        early, late = (EARLIER_DAYS, LATER_DAYS) if by_name else (0, 0)
        within = any(spell.since - timedelta(days=early) <= day <= last + timedelta(days=late) for day in days)
        if within and (by_name or not routine(bed.flock, event)):
            yield event


def same_trouble(problem: str, reason: str) -> bool:
    """Whether a treatment's reason names the problem, by any of its words."""
    words = (problem, *re.findall(r"[a-z]{5,}", problem), *ALSO.get(problem, ()))
    said = key_of(reason)
    return any(re.search(rf"\b{re.escape(word)}\b", said) for word in words)


def routine(flock: Flock, event: Treatment) -> bool:
    """Whether a treatment was for a mob, or a vaccine, a drench or a fly dressing: not for one sheep's illness."""
    kinds = [(item.kind or "").casefold() for item in flock.medicines.get(problem_word(event.medicine or ""), ())]
    return bool(event.mob) or any(word in kind for kind in kinds for word in ROUTINE)


def case_steps(notes: Sequence[Illness], given: Sequence[Treatment], ended: str, end: date | None) -> Iterator[Because]:
    """The notes that make a case, with what each brought."""
    for place, note in enumerate(notes):
        reason = Stated.CASE_BEGINS if place == 0 else CaseGoesOn(CONTINUES)
        yield Because(note.origin.path, note.origin.span("problem").line, "case", reason=reason)
    for event in given:
        by_name = same_trouble(problem_word(notes[0].problem or ""), event.for_ or "")
        line = event.origin.span("medicine").line
        yield Because(event.origin.path, line, "tied", reason=TiedTo(event.medicine, by_name))
    if ended == "followed" and end:
        yield Because(notes[-1].origin.path, notes[-1].origin.span("problem").line, "end", reason=BeganAnew(end))


# How often


def incidences(lambed: Sequence[Season], found: Sequence[Case]) -> Iterator[Incidence]:
    """For every season and problem, the share of the ewes exposed that had it at least once; of the lambs born alive
    where only they had it.
    """
    exposed = {season.season: season.exposed for season in lambed}
    alive = {season.season: lambs_born_alive(season) for season in lambed}
    for season in sorted({case.season for case in found}, reverse=True):
        here = [case for case in found if case.season == season]
        ewes = exposed.get(season, frozenset())
        for problem in sorted({case.problem for case in here}):
            had = [case for case in here if case.problem == problem]
            ill, lambs = {case.sheep for case in had}, alive.get(season, frozenset())
            young = bool(ill) and ill <= lambs
            whole = lambs if young else ewes
            yield Incidence(season, problem, wilson(len(ill & whole), len(whole)), len(had), young)


def lambs_born_alive(season: Season) -> frozenset[str]:
    """The lambs of a season that were born alive."""
    lambs = (lamb for birth in season.births for lamb in birth.lambs)
    return frozenset(lamb.id for lamb in lambs if lamb.birth and lamb.birth.line.alive)


def udders(flock: Flock, by_sheep: Mapping[str, tuple[Case, ...]], today: Moment) -> Iterator[Udder]:
    """Living ewes that ever had mastitis, or a lump or a hard half at a check."""
    found = udder_findings(flock, today)
    for animal in flock.animals.values():
        had = tuple(case for case in by_sheep.get(animal.id, ()) if MASTITIS in case.problem)
        seen = tuple(found.get(animal.id, ()))
        bad = any(state not in ("normal", "ok") for _, state, _ in seen)
        if animal.sex == EWE and there(animal, today) and (had or bad):
            yield Udder(animal.id, had, seen)


def udder_findings(flock: Flock, today: Moment) -> dict[str, list[tuple[date, str, str]]]:
    """What checks found at the udder: (day, state and side, path of the note)."""
    found: dict[str, list[tuple[date, str, str]]] = {}
    for event in flock.events:
        if not isinstance(event, Check) or event.date is None or not happened(event, today):
            continue
        for line in event.lines:
            sheep = flock.named(event, line.sheep)
            if sheep and line.udder:
                words = f"{line.udder} {line.udder_side or ''}".strip()
                found.setdefault(sheep, []).append((event.date, words, event.origin.path))
    return found


# Figures held against published ranges


def outside_range(celsius: float | None) -> OutsideRange | None:
    """A temperature outside the published range of a grown sheep; None inside it or without one."""
    if celsius is None or TEMPERATURES[0] <= round(celsius, DIGITS) <= TEMPERATURES[1]:
        return None
    return OutsideRange(celsius)


def raised_ketones(ketones: float | None) -> KetonesFound | None:
    """Ketones above the published line; None otherwise."""
    return None if ketones is None or ketones <= KETONES else KetonesFound(ketones)
