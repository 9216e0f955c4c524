"""What can speak for a ewe: lambs weaned, their weight, births without help, no treatment of her own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from compiler.amounts import KG_PER_LB
from flockbook.derive.choosing.ewe_file import EweFile, Reason
from flockbook.derive.choosing.ewe_years import EweYear
from flockbook.derive.choosing.reasons_against import all_births, birth_note, seasons
from flockbook.derive.health.cases import routine
from flockbook.derive.plain.because import Because
from flockbook.derive.plain.numbers import plural
from flockbook.records.event import Event
from flockbook.records.health import Treatment

LEAST_EWES = 5  # ewes whose weaned lambs were all weighed, before a middle is named (our own choice)
LEAST_BIRTHS = 2  # births before "never helped" says anything (our own choice)
LONG_ENOUGH = timedelta(365)  # written of for a year, before "never treated" says anything (our own choice)


def weaned(file: EweFile) -> Reason | None:
    """Lambs weaned for every year of hers that is known."""
    told = [year for year in file.years if year.known]
    lambs = sum(year.weaned or 0 for year in told)
    if not told or not lambs or lambs < file.all.limit("weaned_a_year") * len(told):
        return None
    text = f"weaned {plural(lambs, 'lamb')} in {plural(len(told), 'year')} ({lambs / len(told):.1f} a year)"
    notes = tuple(note for year in told for note in year.because)
    return Reason("weaned", text, lambs, len(told), tuple(year.season for year in told), notes)


def weight_weaned(file: EweFile) -> Reason | None:
    """Years in which her weaned lambs together weighed as much as the middle ewe's, or more."""
    middle = file.all.middle_kg
    told = [year for year in file.years if year.weaned_kg is not None and middle[year.season][1] >= LEAST_EWES]
    above = [year for year in told if (year.weaned_kg or 0.0) >= middle[year.season][0]]
    if not above or 2 * len(above) < len(told):
        return None
    text = f"weaned as much weight as the middle ewe, or more, in {len(above)} of {plural(len(told), 'year')} weighed"
    notes = tuple(note for year in above for note in weights(file, year))
    return Reason("weight", text, len(above), len(told), tuple(year.season for year in above), notes)


def against_middle(file: EweFile, year: EweYear) -> str:
    """`2026: 61.0 kg, middle of 22 ewes 34.5 kg`."""
    middle, ewes = file.all.middle_kg[year.season]
    units = file.all.settings.units
    return f"{year.season}: {weight(year.weaned_kg or 0.0, units)}, middle of {ewes} ewes {weight(middle, units)}"


def weight(kg: float, units: str) -> str:
    """A weight in the flock's unit."""
    return f"{kg:.1f} kg" if units == "metric" else f"{kg / KG_PER_LB:.1f} lb"


def weights(file: EweFile, year: EweYear) -> list[Because]:
    """The weighings at weaning of the lambs she reared that year."""
    found = []
    for lamb in year.reared:
        kg = file.all.weanings.weights.get(lamb)
        for item in file.all.growth[lamb].weights if kg is not None and lamb in file.all.growth else ():
            if item.date == file.all.weanings.weighed.get(lamb) and item.kg == kg:
                text = f"{against_middle(file, year)}; {lamb} {weight(item.kg, file.all.settings.units)}"
                found.append(Because(item.note, item.line, "weaning", text))
                break
    return found


def alone(file: EweFile) -> Reason | None:
    """Never helped at a birth."""
    births = all_births(file)
    if len(births) < LEAST_BIRTHS or any(birth.helped for birth in births):
        return None
    notes = tuple(birth_note(birth, "no help", "ewe") for birth in births)
    return Reason("alone", f"never helped in {len(births)} lambings", len(births), len(births), seasons(births), notes)


def untreated(file: EweFile) -> Reason | None:
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
    text = f"never ill or treated by herself since {first.date.isoformat()}"
    notes = tuple(
        Because(note.origin.path, note.origin.span("date").line or None, "untreated", words)
        for note, words in ((first, "the first note on her"), (last, "the last note on her"))
    )
    return Reason("untreated", text, 0, len(dated), (first.date.year, last.date.year), notes)


def own_treatment(file: EweFile, note: Event) -> bool:
    """Whether a note is a treatment of this ewe, and not of her mob or a routine dose."""
    return isinstance(note, Treatment) and not routine(file.all.flock, note)


FOR: tuple[Callable[[EweFile], Reason | None], ...] = (weaned, weight_weaned, alone, untreated)
