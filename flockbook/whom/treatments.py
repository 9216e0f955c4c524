"""Whom one treatment concerns: the union of all that names, in fields, lines, words and the file's name (V1)."""

from __future__ import annotations

import re
from datetime import date, timedelta

from compiler.nearness import clipped
from flockbook.flock import Concerned
from flockbook.records.health import Treatment
from flockbook.whom.days import days_in, days_near, days_told
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known, around
from flockbook.whom.late_comers import of_month
from flockbook.whom.lexicon import MOB, SHEEP, Bearer
from flockbook.whom.pieces import taken_apart
from flockbook.whom.reader import (
    EARLY_DAYS,
    LATE_DAYS,
    everyone,
)
from flockbook.whom.whereabouts import Window
from flockbook.whom.words import WordReader

YEAR_FOLDER = re.compile(r"(?:^|/)((?:19|20)\d{2})(?=/)")


def judge(known: Known, event: Treatment) -> tuple[Concerned, Verdict]:
    """The answers for one treatment."""
    verdict = Verdict(known, event.origin.path, window_of(event, known.clock), event, event.date)
    reader = TreatmentReader(verdict, event)
    reader.read()
    return verdict.settled(), verdict


def window_of(event: Treatment, clock: date = date.max) -> Window:
    """The days that a treatment can speak of: from the first dose to the last, its own day included (V4). Where its
    year is not that of its folder, or has not come, it may be of either year (V9).
    """
    days = [when.date for when in event.doses] + ([event.date] if event.date else [])
    days += [day for day in slipped(days, event, clock) if not event.dates_sure]
    if days and event.days and event.finished is None:
        days.append(min(days) + timedelta(days=min(max(event.days - 1, 0), LATE_DAYS)))
    if event.finished is not None and event.days:
        days.append(event.finished.date - timedelta(days=min(max(event.days - 1, 0), LATE_DAYS)))
    if event.date is None:
        days = [*days, *days_in(event.origin.path), *days_in(event.origin.typed.get("date", ""))]
        return around(days, LATE_DAYS, EARLY_DAYS) if days else around(())
    broken = event.origin.broken & {"given", "finished", "days", "date"} or event.origin.unread
    return around(days, LATE_DAYS, EARLY_DAYS) if broken else around(days)


def slipped(days: list[date], event: Treatment, clock: date) -> list[date]:
    """The days that would be meant if the year of a treatment is a slip."""
    folder = next((int(year[1]) for year in YEAR_FOLDER.finditer(event.origin.path)), 0)
    years = {folder} if any(day.year < folder for day in days) else set()
    years |= {clock.year, clock.year - 1} if any(day > clock for day in days) else set()
    moved = [moved_to(day, year) for day in days for year in years]
    return [day for day in moved if day <= clock]


def moved_to(day: date, year: int) -> date:
    """The same day in another year; a 29th of February where there is none becomes the 1st of March."""
    try:
        return day.replace(year=year)
    except ValueError:
        return date(year, 3, 1)


class TreatmentReader(WordReader):
    """Reads one treatment."""

    def read(self) -> None:
        """Everything that names, then everything that could."""
        self.read_except()
        self.read_fields()
        self.read_lines()
        self.read_unknown_fields()
        self.spare()
        self.read_file_name()
        self.spare()
        self.read_late_comers()
        self.read_other_days()
        self.check_count()
        self.check_end()
        self.require_somebody()
        self.read_words()
        self.answer()

    def read_other_days(self) -> None:
        """`Two days ago.`, `Done on Sunday really.` of a mob: who stood in it on the day that the words tell, and on
        that of the note not, may have been dosed.
        """
        days = sorted(when.date for when in self.event.doses)
        bearers = [one for one in self.groups_named() if one.sort == MOB] if days else []
        for text, span in self.prose if bearers else ():
            told = [*days_near(text, days[0]), *days_told(text, days[0].year), *of_month(text, days[0])]
            near = [day for day in told if abs((day - days[0]).days) <= LATE_DAYS]
            members = [self.verdict.known.places.members(one.name, around([*days, *near])) for one in bearers]
            ids = [one for found in members for one in everyone(found) if one not in self.spared]
            why = f"“{clipped(text)}” may tell of another day, and this sheep was then in {bearers[0].name}"
            cure = "write every dose under `given`, and `except:` with whoever was not there"
            more = [one for one in ids if one not in self.verdict.dosed and one not in self.verdict.at_foot]
            self.verdict.doubt(more, self.verdict.because("V9", span, why, cure))

    def groups_named(self) -> list[Bearer]:
        """The mobs and classes that the fields of the note name."""
        texts = (self.event.mob or "", *self.event.sheep)
        pieces = (piece for text in texts for piece in taken_apart(text, self.lexicon))
        return [one for piece in pieces for one in piece.bearers if one.sort != SHEEP]

    def read_late_comers(self) -> None:
        """Whoever was born or bought by a note that came later, and was there by its words: where more than named sheep
        were dosed, or its dam was.
        """
        known, last = self.verdict.known, self.verdict.window.last
        several = set(self.verdict.dosed) - set(self.by_name) or self.event.mob or self.verdict.everybody
        for sheep, day in known.late.items():
            animal = known.animal(sheep)
            since = animal.arrived or (animal.born.earliest if animal.born else None)
            if since and day <= last < since and (several or animal.dam in self.verdict.dosed):
                why = "it is written as come after that day, and its own words or another note tell of an earlier one"
                self.verdict.doubt([sheep], self.verdict.because("V5", self.event.origin.span(), why))
