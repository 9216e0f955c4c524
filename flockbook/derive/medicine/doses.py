"""Doses held against the label as typed: rate times weight, sites, minimum, age."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from compiler.shape import Value, replace
from flockbook.derive.medicine.dose_arithmetic import OFF_RATE, Concern, DoseLabel, RatePerKg, check_dose
from flockbook.derive.medicine.hold_reasons import OverOwnDose, OverWrittenDose, RateOverLabel
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.plain.because import Reason
from flockbook.flock import Animal, Flock
from flockbook.records.dose_line import DoseLine
from flockbook.records.growth import Weighing
from flockbook.records.health import Treatment
from flockbook.records.labels import DoseRate
from flockbook.records.rearing import Weaning
from flockbook.records.sheep import Medicine
from flockbook.roll import ONE_YEAR

FRESH_DAYS = (
    30  # a weighing older than this does not tell what an animal weighs (our own limit; lambs gain 0.3 kg a day)
)
BOUND_DAYS = 60  # one not older than this tells what an animal weighs at the most, if it grew all the while
OVERDOSE = 2  # times its own dose by the label, above which an animal's dose is off the label (V12; our own choice)
LAMBS_GAIN = 0.3  # kg a day at the most, for the bound (common practice: good lambs gain about that)


class DoseFact(Value):
    """What one animal should have got by the typed rate and what it got, in mL; `against` says how it breaks the
    label; `line` is her own line where it has her weight or dose.
    """

    note: str
    sheep: str
    weight_kg: float | None
    expected_ml: float | None
    recorded_ml: float | None
    sites: int | None
    concerns: tuple[Concern, ...]
    against: tuple[Reason, ...]
    line: int | None = None


def dose_facts(flock: Flock) -> dict[tuple[str, str], DoseFact]:
    """Every dose of every treatment, by (note, sheep)."""
    weights = weights_by_animal(flock)
    found: dict[tuple[str, str], DoseFact] = {}
    for event in flock.events:
        if isinstance(event, Treatment):
            alone = {sheep: one_dose(flock, event, sheep, weights) for sheep in flock.who(event)}
            for sheep, dose in judged_together(flock, event, alone, weights).items():
                found[(event.origin.path, sheep)] = dose
    return found


def judged_together(
    flock: Flock, event: Treatment, found: dict[str, DoseFact], weights: Mapping[str, list[tuple[date, float]]]
) -> dict[str, DoseFact]:
    """The doses of one note: a group may get what its heaviest should, and a tenth more; a dose over that is off the
    label for each for whom it is too much, as it is for one alone (V12). Nothing is known of a group not all weighed.
    """
    over = {sheep: too_much for sheep, fact in found.items() if (too_much := over_rate(fact))}
    kgs = [heaviest_possible(flock, event, sheep, weights) for sheep in found] if over else []
    known = [kg for kg in kgs if kg is not None]
    if len(found) < 2 or not over or len(known) < len(kgs):
        return found
    return {
        sheep: replace(fact, against=tuple(dict.fromkeys((*fact.against, as_said(over[sheep])))))
        if sheep in over and over[sheep].found > over[sheep].limit * (1 + OFF_RATE) * max(known) / (fact.weight_kg or 1)
        else fact
        for sheep, fact in found.items()
    }


def over_rate(fact: DoseFact) -> Concern | None:
    """That a dose is over the typed rate by more than a tenth."""
    return next((one for one in fact.concerns if one.kind == "off rate" and one.found > one.limit), None)


def doubtful_doses(flock: Flock) -> dict[tuple[str, str], DoseFact]:
    """The same of those who were perhaps dosed, for the guard alone: whoever was over the label stays in doubt."""
    weights = weights_by_animal(flock)
    return {
        (path, sheep): one_dose(flock, answers.event, sheep, weights)
        for path, answers in flock.concerned.items()
        if isinstance(answers.event, Treatment)
        for sheep in answers.doubtful
    }


def one_dose(flock: Flock, event: Treatment, sheep: str, weights: Mapping[str, list[tuple[date, float]]]) -> DoseFact:
    """One animal in one treatment, judged by its own weight, age and dose also where many were treated (V12)."""
    medicines = medicines_called(flock, event.medicine)
    medicine = medicines[0] if len(medicines) == 1 else None
    weight, exact = weight_for(flock, event, sheep, weights)
    line = own_line(flock, event, sheep)
    recorded = line.dose.ml if line and line.dose else event.dose.ml if event.dose else None
    label = medicine.label_rate if medicine else None
    known_weight = weight if weight and weight > 0 else None
    given = recorded if recorded else None
    age = age_on(flock.animals[sheep], event.date)
    dose = check_dose(label_of(medicine, event.rate or label), known_weight, given, age)
    alone = exact or len(flock.who(event)) == 1 or bool(line and line.dose)
    most = known_weight if exact else heaviest_possible(flock, event, sheep, weights)
    against: list[Reason] = [as_said(concern) for concern in dose.concerns if concern.kind != "off rate" or alone]
    said, said_at = said_of(flock, event, sheep)
    over_own = over_own_dose(label, most, max(given or 0, said) or None, reckoned=not exact) or over_written(
        said, given, most
    )
    against += [over for over in (over_own, rate_over_label(event, label)) if over]
    return DoseFact(
        event.origin.path, sheep, known_weight, dose.expected_ml, recorded, dose.sites, dose.concerns,
        tuple(dict.fromkeys(against)),
        said_at if over_own and said > (given or 0) else line_told(line),
    )  # fmt: skip


def own_line(flock: Flock, event: Treatment, sheep: str) -> DoseLine | None:
    """The line that one animal has in a treatment."""
    answers = flock.concerned.get(event.origin.path)
    line = answers.own.get(sheep) if answers else None
    return line if isinstance(line, DoseLine) else None


def line_told(line: DoseLine | None) -> int | None:
    """The number of her own line, where it has her weight or dose."""
    return line.span.line if line and (line.weight or line.dose) else None


def said_of(flock: Flock, event: Treatment, sheep: str) -> tuple[float, int]:
    """The most that the words of a treatment say one animal got, in mL, and their line."""
    answers = flock.concerned.get(event.origin.path)
    return answers.said.get(sheep, (0.0, 0)) if answers else (0.0, 0)


def over_written(said: float, given: float | None, kg: float | None) -> OverWrittenDose | None:
    """Words of over twice the dose that is written, where no weight says what her own would be (V12)."""
    over = kg is None and given is not None and said > OVERDOSE * given
    return OverWrittenDose(three_digits(said), three_digits(given or 0)) if over else None


def heaviest_possible(
    flock: Flock, event: Treatment, sheep: str, weights: Mapping[str, list[tuple[date, float]]]
) -> float | None:
    """What an animal can weigh at the most in kg, by its last weighing or birth; a young one may have grown since."""
    day, known = event.date, list[tuple[date, float]]()
    if day is not None:
        every = (*weight_born_with(flock.animals[sheep], event), *weights.get(sheep, []))
        known = [(on, kg) for on, kg in every if 0 <= (day - on).days <= BOUND_DAYS]
    if day is None or not known:
        return None
    on, kg = known[-1]
    age = age_on(flock.animals[sheep], day)
    grown = age is not None and age >= ONE_YEAR
    return kg if grown else kg + LAMBS_GAIN * (day - on).days


def weight_born_with(animal: Animal, event: Treatment) -> list[tuple[date, float]]:
    """The birth weight of an animal that is named; what a mob got was measured out for its ewes."""
    birth = animal.birth
    if birth is None or event.mob or birth.note.date is None or birth.line.weight is None:
        return []
    return [(birth.note.date, birth.line.weight.kg)]


def over_own_dose(label: DoseRate | None, kg: float | None, ml: float | None, *, reckoned: bool) -> OverOwnDose | None:
    """A dose over twice what the label gives an animal of this weight; None where it is not, or not known (V12)."""
    if label is None or not label.per_kg or kg is None or ml is None:
        return None
    own = label.ml * kg / label.per_kg
    return OverOwnDose(three_digits(ml), three_digits(own), three_digits(kg), reckoned) if ml > OVERDOSE * own else None


def rate_over_label(event: Treatment, label: DoseRate | None) -> RateOverLabel | None:
    """Whether the rate typed in the note is over the label's; None where it is not."""
    rate = event.rate
    if label is None or rate is None or not label.per_kg or not rate.per_kg:
        return None
    over = rate.ml / rate.per_kg > 1.1 * label.ml / label.per_kg
    return RateOverLabel() if over else None


def as_said(concern: Concern) -> Concern:
    """A concern with its figures as they are said, so that doses of which the same is said are told together."""
    shown = round if concern.kind == "under age" else three_digits
    return replace(concern, found=float(shown(concern.found)), limit=float(shown(concern.limit)))


def three_digits(figure: float) -> float:
    """A figure to the three digits that are said of it."""
    return float(f"{figure:.3g}")


def label_of(medicine: Medicine | None, rate: DoseRate | None) -> DoseLabel:
    """The label as typed, for the dose arithmetic."""
    return DoseLabel(
        RatePerKg(rate.ml, rate.per_kg) if rate and rate.per_kg else None,
        medicine.label_minimum.ml if medicine and medicine.label_minimum and medicine.label_minimum.ml > 0 else None,
        int(medicine.minimum_age.hours // 24) if medicine and medicine.minimum_age else None,
        medicine.max_per_site.ml if medicine and medicine.max_per_site and medicine.max_per_site.ml > 0 else None,
    )


def weight_for(
    flock: Flock, event: Treatment, sheep: str, weights: Mapping[str, list[tuple[date, float]]]
) -> tuple[float | None, bool]:
    """The weight to dose by, and whether it was written in this very note; else a fresh weighing (or the birth weight
    on that day).
    """
    line = own_line(flock, event, sheep)
    if line is not None and line.weight:
        return line.weight.kg, True
    day = event.date
    animal = flock.animals[sheep]
    if day is None:
        return None, False
    fresh = [kg for weighed, kg in weights.get(sheep, []) if 0 <= (day - weighed).days <= FRESH_DAYS]
    if fresh:
        return fresh[-1], False
    born = animal.birth
    if born and born.line.weight and born.note.date and (day - born.note.date).days <= 1:
        return born.line.weight.kg, False
    return None, False


def weights_by_animal(flock: Flock) -> dict[str, list[tuple[date, float]]]:
    """Every weight on a weighing or weaning note, in order of time."""
    found: dict[str, list[tuple[date, float]]] = {}
    for event in flock.events:
        if not isinstance(event, Weighing | Weaning) or event.date is None:
            continue
        for line in event.lines:
            sheep = flock.named(event, line.sheep)
            if sheep and not (line.unlikely and not event.sure):
                found.setdefault(sheep, []).append((event.date, line.weight.kg))
    return found


def age_on(animal: Animal, day: date | None) -> int | None:
    """The fewest days old that an animal can have been: the cautious reading of a birthday that is only
    partly known.
    """
    if day is None or animal.born is None or animal.born.earliest > day:
        return None
    return max(0, (day - animal.born.latest).days)
