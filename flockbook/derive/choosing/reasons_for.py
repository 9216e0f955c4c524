"""What can speak for a ewe: lambs weaned, their weight, births without help, no treatment of her own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from flockbook.derive.choosing.ewe_file import EweFile, EweReason, Instance
from flockbook.derive.choosing.ewe_years import EweYear
from flockbook.derive.choosing.reasons_against import BirthField, all_births, birth_note, seasons_of
from flockbook.derive.health.cases import routine
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.records.event import Event
from flockbook.records.health import Treatment

LEAST_EWES = 5  # ewes whose weaned lambs were all weighed, before a middle is named (our own choice)
LEAST_BIRTHS = 2  # births before "never helped" says anything (our own choice)
LONG_ENOUGH = timedelta(365)  # written of for a year, before "never treated" says anything (our own choice)


class WeanedBeside(Reason):
    """A lamb weighed at weaning, her whole crop of the season, and the middle ewe's of so many; in the flock's unit."""

    season: int
    weaned_kg: float
    middle_kg: float
    ewes: int
    lamb: str
    lamb_kg: float
    units: str


def many_weaned(file: EweFile) -> EweReason | None:
    """Lambs weaned for every year of hers that is known."""
    told = [year for year in file.years if year.known]
    lambs = sum(year.weaned or 0 for year in told)
    if not told or not lambs or lambs < file.all.limit("weaned_a_year") * len(told):
        return None
    notes = tuple(note for year in told for note in year.because)
    return EweReason("weaned", (), lambs, len(told), tuple(year.season for year in told), notes)


def weight_weaned(file: EweFile) -> EweReason | None:
    """Years in which her weaned lambs together weighed as much as the middle ewe's, or more."""
    middle = file.all.middle_kg
    told = [year for year in file.years if year.weaned_kg is not None and middle[year.season][1] >= LEAST_EWES]
    above = [year for year in told if (year.weaned_kg or 0.0) >= middle[year.season][0]]
    if not above or 2 * len(above) < len(told):
        return None
    notes = tuple(note for year in above for note in weights(file, year))
    return EweReason("weight", (), len(above), len(told), tuple(year.season for year in above), notes)


def weights(file: EweFile, year: EweYear) -> list[Because]:
    """The weighings at weaning of the lambs she reared that year."""
    found = []
    for lamb in year.reared:
        kg = file.all.weanings.weights.get(lamb)
        for item in file.all.growth[lamb].weights if kg is not None and lamb in file.all.growth else ():
            if item.date == file.all.weanings.weighed.get(lamb) and item.kg == kg:
                reason = weaned_beside(file, year, lamb, item.kg)
                found.append(Because(item.note, item.line, "weaning", reason=reason))
                break
    return found


def weaned_beside(file: EweFile, year: EweYear, lamb: str, kg: float) -> WeanedBeside:
    """One lamb's weight, and her crop's beside the middle ewe's."""
    middle, ewes = file.all.middle_kg[year.season]
    return WeanedBeside(year.season, year.weaned_kg or 0.0, middle, ewes, lamb, kg, file.all.settings.units)


def alone(file: EweFile) -> EweReason | None:
    """Never helped at a birth."""
    births = all_births(file)
    if len(births) < LEAST_BIRTHS or any(birth.helped for birth in births):
        return None
    notes = tuple(birth_note(birth, BirthField.NO_HELP) for birth in births)
    return EweReason("alone", (), len(births), len(births), seasons_of(births), notes)


def untreated(file: EweFile) -> EweReason | None:
    """No case of illness and no treatment of her own; what her whole mob was given does not count.

    Nothing is said while a note of a treatment or an illness cannot be read that could be hers.
    """
    dated = [note for note in file.notes if note.date]
    if any(ids is None or file.ewe.id in ids for ids in file.all.perhaps):
        return None
    if file.cases or any(own_treatment(file, note) for note in dated) or not dated:
        return None
    first, last = dated[0], dated[-1]
    if first.date is None or last.date is None or last.date - first.date < LONG_ENOUGH:
        return None
    told = (Instance(first.date.year, (), first.date),)
    notes = tuple(
        Because(note.origin.path, note.origin.span("date").line or None, "untreated", reason=which)
        for note, which in ((first, Stated.FIRST_NOTE), (last, Stated.LAST_NOTE))
    )
    return EweReason("untreated", told, 0, len(dated), (first.date.year, last.date.year), notes)


def own_treatment(file: EweFile, note: Event) -> bool:
    """Whether a note is a treatment of this ewe, and not of her mob or a routine dose."""
    return isinstance(note, Treatment) and not routine(file.all.flock, note)


FOR: tuple[Callable[[EweFile], EweReason | None], ...] = (many_weaned, weight_weaned, alone, untreated)
