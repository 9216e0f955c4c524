"""Gentle notes on sick and wormy sheep: what is still to be written, and figures outside a published range. No
diagnosis.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.health.cases import raised_ketones
from flockbook.derive.health.check_findings import outside_for
from flockbook.derive.health.egg_counts import Weak
from flockbook.derive.health.reduction_tests import slide_factor
from flockbook.derive.health.worms import PALE, is_drench
from flockbook.flock import happened
from flockbook.records.egg_line import MOST_EGGS
from flockbook.records.event import Event
from flockbook.records.handling import Check as Handling
from flockbook.records.health import EggCount, Illness, Treatment
from flockbook.saying.holding import ketone_words, temperature_words
from flockbook.saying.worms import weakness_words
from flockbook.seen import Seen
from flockbook.whom.answers import ANSWER_DAYS

CASE_FORGOTTEN = Rule(
    "U101", "case-left-open", Grade.GAP, "A case stays open until `recovered` is written, or the sheep is sold or "
        "dies.", "an illness note a month old without `recovered`"
)  # fmt: skip
PALE_EYELID = Rule(
    "U102", "pale-eyelid", Grade.GAP,
    "Eyelid 4 and 5 are the scores at which published guides treat (against blood-feeding worms only). Whether you do "
        "is for you and your vet; "
    "the book only asks that what was decided is written.",
    "- C230 eyelid 4",
)  # fmt: skip
TEMPERATURE = Rule(
    "U103", "temperature-outside-range", Grade.GAP,
    "Published for grown sheep: 38.6 to 40.0 °C, 101.5 to 104.0 °F (University of Pennsylvania, New Bolton Center); it "
        "rises with heat, fleece, fear and a journey. "
    "Nothing is written of what was done.",
    "- C230 41.2 C, or 106.2 F",
)  # fmt: skip
KETONES_RAISED = Rule(
    "U104", "ketones-raised", Grade.GAP,
    "More than 0.8 mmol/L was called raised in a published study of ewes (zenodo 1217859). A ewe near lambing that "
        "does not eat needs the vet. "
    "Nothing is written of what was done.",
    "ketones: 1.9",
)  # fmt: skip
NO_FACTOR = Rule(
    "U105", "eggs-without-factor", Grade.GAP, "Eggs seen become eggs per gram only by the factor of the chamber and "
        "the mixture.", "- 731 12 eggs without `factor: 50`"
)  # fmt: skip
ODD_COUNT = Rule(
    "U106", "count-does-not-fit", Grade.ASK, "A single count is a whole number of eggs times the "
        "factor.", "- 731 230 epg with `factor: 50`"
)  # fmt: skip
BADLY_TIMED = Rule(
    "U107", "second-sample-badly-timed", Grade.WARNING,
    "Sampled too soon, eggs may only be held back; too late, new worms are laying. Published times run from 7 to 17 "
        "days, by the drench used.",
    "a second sample five days after the drench",
)  # fmt: skip
FACTOR_ODD = Rule(
    "U108", "factor-is-not-the-slides", Grade.WARNING,
    "The factor is the volume of dung and fluid together, divided by the volume counted times the grams of dung (Univ. "
        "of Minnesota, module 3.3; AAEP guideline, appendix A).",
    "factor: 50 with `slide: 2 g, 60 ml in all, 0.3 ml counted`, which makes 100",
)  # fmt: skip
FACTOR_MOST = 100  # (our own line for asking)
KETONES_MOST = 8.0  # mmol/L; where hand-held meters end (from memory)
SURE_CURE = "correct it, or add `sure: yes` to the note"
ADD_FACTOR = "add `factor: …`, or how the slide was made: `slide: 2 g, 30 ml in all, 0.3 ml counted`"
FACTOR_HIGH = Rule(
    "U109", "egg-factor-unlikely", Grade.ASK,
    "Each egg counted stands for so many in a gram; a factor far above those of chambers, or a count that it makes "
    "higher than any sheep passes, is a slip.", "factor: 5000",
)  # fmt: skip
KETONES_HIGH = Rule(
    "U110", "ketones-unlikely", Grade.ASK, "Meters of ketones in blood end at 8 mmol/L: more is a slip.", "ketones: 99"
)
RULES = (
    CASE_FORGOTTEN, PALE_EYELID, TEMPERATURE, KETONES_RAISED, NO_FACTOR, ODD_COUNT, BADLY_TIMED, FACTOR_ODD,
    FACTOR_HIGH, KETONES_HIGH,
)  # fmt: skip
ROUNDED = 0.02  # factors are rounded where they are printed: 33 for 33.3 (our own choice)
FORGOTTEN_DAYS = 30  # a case without a word for so long is asked about (our own choice)
ASKED_DAYS = 60  # scores and figures older than this are history, no longer a question (our own choice)


def open_cases(seen: Seen) -> Iterator[Diagnostic]:
    """Cases without a word for a month."""
    for case in seen.facts.health.cases.open:
        if (seen.today.day - case.last).days > FORGOTTEN_DAYS:
            words = f"{seen.linked.animals[case.sheep].called_in_full}: {case.problem}, open for {case.days} days"
            cure = "add `recovered: …` with the day she was well, or write how she is"
            yield CASE_FORGOTTEN.at(case.notes[-1].origin.span("problem"), words, cure)


def check_findings(seen: Seen) -> Iterator[Diagnostic]:
    """Pale eyelids and temperatures at recent checks that nothing was written after."""
    for session in seen.facts.health.worms.sessions:
        if (seen.today.day - session.date).days > ASKED_DAYS:
            continue
        for score in session.scores:
            name = seen.linked.animals[score.sheep].called_in_full
            eyelid, heat = score.line.eyelid, score.line.temperature
            if eyelid is not None and eyelid >= PALE and not drenched(seen, score.sheep, session.date):
                yield PALE_EYELID.at(
                    score.line.span, f"{name}: eyelid {eyelid}, and no drench is "
                        f"written", "decide with your vet; write the treatment or a remark"
                )  # fmt: skip
            hot = outside_for(seen.linked.animals[score.sheep], session.date, heat.celsius if heat else None)
            if hot and not answered(seen, score.sheep, session.date):
                yield TEMPERATURE.at(
                    score.line.span,
                    f"{name}: {temperature_words(hot)}",
                    "call your vet if she is ill; write an `illness` note or a remark",
                )


def figures_in_cases(seen: Seen) -> Iterator[Diagnostic]:
    """Figures outside the published range in open cases without any treatment."""
    for case in seen.facts.health.cases.open:
        for note in case.notes if not case.treatments else ():
            name = seen.linked.animals[case.sheep].called_in_full
            cure = "call your vet; write what is done"
            animal, celsius = seen.linked.animals[case.sheep], note.temp.celsius if note.temp else None
            if hot := outside_for(animal, note.date or case.since, celsius):
                yield TEMPERATURE.at(note.origin.span("temp"), f"{name}: {temperature_words(hot)}", cure)
            if found := raised_ketones(note.ketones):
                yield KETONES_RAISED.at(note.origin.span("ketones"), f"{name}: {ketone_words(found)}", cure)


def drenched(seen: Seen, sheep: str, day: date) -> bool:
    """Whether a drench or a remark on that sheep was written within the week."""
    return any(
        not isinstance(event, Treatment) or is_drench(seen.linked, event)
        for event in notes_after(seen, sheep, day)
        if isinstance(event, Treatment) or event.origin.kind == "remark"
    )


def answered(seen: Seen, sheep: str, day: date) -> bool:
    """Whether an illness, a treatment or a remark was written within the week."""
    return any(
        isinstance(event, Treatment | Illness) or event.origin.kind == "remark"
        for event in notes_after(seen, sheep, day)
    )


def notes_after(seen: Seen, sheep: str, day: date) -> Iterator[Event]:
    """The notes on a sheep from a day on, for a week."""
    last = day + timedelta(days=ANSWER_DAYS)
    for event in seen.linked.by_animal.get(sheep, ()):
        if event.date and day <= event.date <= last and happened(event, seen.today) and not isinstance(event, Handling):
            yield event


def egg_count_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Counts without a factor or that do not fit it."""
    notes = egg_notes(seen)
    told: set[str] = set()
    for sample in seen.facts.health.worms.eggs.samples:
        note = notes[sample.note]
        if sample.epg is None and sample.note not in told:
            told.add(sample.note)
            words, meanwhile = "eggs are written and no factor", "they are shown as eggs only"
            yield NO_FACTOR.at(note.origin.span("sheep"), words, ADD_FACTOR, meanwhile)
        if not sample.fits and not note.sure:
            line = next(item.span for item in note.lines if item.span.line == sample.line)
            words = f"{sample.epg:g} eggs per gram are no whole number of eggs at factor {sample.factor:g}"
            yield ODD_COUNT.at(line, words, "correct it, or add `sure: yes`")


def egg_limits(seen: Seen) -> Iterator[Diagnostic]:
    """Factors that no chamber has, and counts that by their factor are more eggs than any sheep passes."""
    for note in seen.linked.of(EggCount):
        if note.factor and note.factor > FACTOR_MOST and not note.sure:
            words = f"a factor of {note.factor:,g} would be unusual; those of chambers are mostly 15 to 100"
            yield FACTOR_HIGH.at(note.origin.span("factor"), words, SURE_CURE)
    notes = egg_notes(seen)
    for sample in seen.facts.health.worms.eggs.samples:
        note = notes[sample.note]
        if sample.epg is not None and sample.epg > MOST_EGGS and not note.sure:
            line = next(item.span for item in note.lines if item.span.line == sample.line)
            yield FACTOR_HIGH.at(line, f"{sample.epg:,.0f} eggs per gram: no count can be as high as that", SURE_CURE)


def ketones(seen: Seen) -> Iterator[Diagnostic]:
    """Ketones that no meter shows."""
    for note in seen.linked.of(Illness):
        if note.ketones is not None and note.ketones > KETONES_MOST and not note.sure:
            words = f"ketones of {note.ketones:g} mmol/L would be unusual"
            yield KETONES_HIGH.at(note.origin.span("ketones"), words, SURE_CURE)


def slides(seen: Seen) -> Iterator[Diagnostic]:
    """Factors that the slide, as it was made, does not have."""
    for note in seen.linked.of(EggCount):
        made = slide_factor(note)
        if made and note.factor and not note.sure and abs(note.factor - made) > ROUNDED * made:
            words = f"the slide as it was made has a factor of {made:.3g}, not of {note.factor:g}"
            cure = "correct one of them; the factor that is typed counts until then"
            yield FACTOR_ODD.at(note.origin.span("factor"), words, cure)


def egg_tests(seen: Seen) -> Iterator[Diagnostic]:
    """Tests sampled at the wrong time."""
    notes = egg_notes(seen)
    for test in seen.facts.health.worms.eggs.tests:
        note = notes[test.because[-1].note]
        for warning in test.warnings:
            if warning.what in (Weak.TOO_SOON, Weak.TOO_LATE) and not note.sure:
                cure = "read the result with your vet; `sure: yes` if so"
                yield BADLY_TIMED.at(note.origin.span("date"), f"{test.name}: {weakness_words(warning)}", cure)


def egg_notes(seen: Seen) -> dict[str, EggCount]:
    """The notes of egg counts by their paths."""
    return {event.origin.path: event for event in seen.linked.of(EggCount)}


CHECKS = (
    Check("open cases", open_cases),
    Check("findings of checks", check_findings),
    Check("figures of illness", figures_in_cases),
    Check("egg counts", egg_count_faults),
    Check("slides", slides),
    Check("egg counts that cannot be", egg_limits),
    Check("ketones", ketones),
    Check("tests of a drench", egg_tests),
)
