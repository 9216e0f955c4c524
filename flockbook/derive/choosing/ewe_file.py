"""What is known of one grown ewe, laid together for the choice of who stays; a reason drawn from it names its notes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from statistics import median

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.choosing.ewe_years import EweYear, EweYears
from flockbook.derive.health.cases import Case, Cases
from flockbook.derive.health.lame_words import LameLine
from flockbook.derive.medicine.withdrawal import Guard
from flockbook.derive.plain.because import Because
from flockbook.derive.weights.gains import Growth
from flockbook.derive.weights.weaning import Weanings
from flockbook.figures import CHOOSING
from flockbook.flock import Animal, Flock
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import Illness
from flockbook.settings import Settings


class Instance(Value):
    """One time at which a reason showed: its season or year, else its day; the words of the notes, a score, and whether
    it was before the lambs' time.
    """

    year: int
    words: tuple[str, ...] = ()
    day: date | None = None
    score: float | None = None
    early: bool = False


class EweReason(Value):
    """One thing for or against a ewe: `count` of `of` (births, years, looks), in which seasons, and by which notes.

    `full` says that it meets one of the flock's rules against her, `slight` that it is named and does not alone change
    what is suggested; `flockbook.saying` has the words.
    """

    rule: str
    told: tuple[Instance, ...]
    count: int
    of: int
    seasons: tuple[int, ...]
    because: tuple[Because, ...]
    full: bool = False
    slight: bool = False


class Testimony(Value, dict=True):
    """What all reasons are drawn from."""

    flock: Flock
    years: EweYears
    cases: Cases
    weanings: Weanings
    growth: Mapping[str, Growth]
    guard: Guard
    settings: Settings
    today: Moment
    lame: tuple[LameLine, ...] = ()

    @cached_property
    def middle_kg(self) -> Mapping[int, tuple[float, int]]:
        """By season: the weight of lamb weaned by the middle ewe, and how many ewes had all theirs weighed."""
        found: dict[int, list[float]] = {}
        for years in self.years.by_ewe.values():
            for year in years:
                if year.weaned_kg is not None:
                    found.setdefault(year.season, []).append(year.weaned_kg)
        return {season: (median(weights), len(weights)) for season, weights in found.items()}

    @cached_property
    def perhaps(self) -> tuple[frozenset[str] | None, ...]:
        """For each note of a treatment or an illness that is not whole: whom else it could mean; None is everybody."""
        found = self.flock.concerned.values()
        doubts = (None if answers.everybody else frozenset(answers.doubtful) for answers in found)
        notes = (self.flock.subjects.get(note.origin.path) for note in self.flock.events if isinstance(note, Illness))
        lost = any(subjects.unresolved for subjects in notes if subjects)
        unread = lost or any(hole.kind == "illness" for hole in self.flock.collection.holes)
        return (*(ids for ids in doubts if ids is None or ids), *((None,) if unread else ()))

    def limit(self, rule: str) -> float:
        """The flock's own figure of a rule, else the default."""
        return self.settings.figure(CHOOSING + rule)


class EweFile(Value, dict=True):
    """One ewe's part of the testimony, in order of time."""

    all: Testimony
    ewe: Animal
    years: tuple[EweYear, ...]
    notes: tuple[Event, ...]
    cases: tuple[Case, ...] = ()

    @cached_property
    def looks(self) -> tuple[tuple[Check, CheckLine], ...]:
        """What checks found on her."""
        lines = self.all.flock.own_lines
        return tuple(
            (note, line)
            for note in self.notes
            if isinstance(note, Check)
            for line in lines.get((note.origin.path, self.ewe.id), ())
        )

    def met(self, rule: str, count: int) -> bool:
        """Whether a rule that counts is met in full; one set to 0 never is."""
        return 0 < self.all.limit(rule) <= count
