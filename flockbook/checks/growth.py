"""Weights that do not fit: fallen or risen too far, without a birthday, twice in one session, in another unit."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.source import Span
from flockbook.derive.plain.days import day_words
from flockbook.derive.weights.gains import Weighed
from flockbook.derive.weights.sessions import FALL_DAYS, FASTEST_KG, GUT_FILL, slipped_lines
from flockbook.derive.weights.unlikely import UnlikelyWeight, WhyUnlikely
from flockbook.derive.weights.weaning import counts_as_lamb, weaning_notes
from flockbook.flock import Animal, happened
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning
from flockbook.records.weight_line import WEIGHED_KG, WeightLine
from flockbook.saying.growth import unlikely_words
from flockbook.seen import Seen

FELL = Rule(
    "K101", "weight-fell", Grade.ASK,
    "A sheep weighs so much less than last time that an empty belly does not explain it: two tags were mixed up, a "
    "figure is a slip, or she is ill.",
    "741 16.5 in June, 741 11.5 in July",
)  # fmt: skip
LEAPT = Rule(
    "K102", "weight-leapt", Grade.ASK,
    "A sheep gained faster than sheep do: two tags were mixed up, or a figure or a day is a slip.",
    "741 16.5 on 13 June, 741 36.5 on 27 June",
)  # fmt: skip
NO_BIRTHDAY = Rule(
    "K103", "weaned-without-birthday", Grade.GAP,
    "A weaning weight says little without the day of birth: a lamb three weeks younger is lighter. Lambs without it "
    "take no part in the comparison within their group.",
    "732 29.0 in a weaning, when no lambing and no `born` tells of 732",
)  # fmt: skip
WEIGHED_TWICE = Rule(
    "K104", "weighed-twice", Grade.WARNING,
    "One sheep stands twice in a weighing: one of the two tags is probably another's, and that one is missing.",
    "741 16.5\n741 18.0\n",
)  # fmt: skip
UNIT = Rule(
    "K105", "unit-slip", Grade.ASK,
    "All sheep of a weighing are about 2.2 times as heavy as could be expected, or as light: the scale stood on pounds "
    "and the note on kilograms, or the other way about.",
    "901 24 on 10 June, 901 56 on 24 June, and the others alike",
)  # fmt: skip
ONE_CLASS = Rule(
    "K106", "all-of-one-sex", Grade.ASK,
    "So many lambs are hardly ever all of one sex: the sex was probably not looked at, or only one of them was written "
    "down. Ram lambs are heavier, so groups and comparisons would be wrong.",
    "a crop of fourteen lambs, each written as `ewe`",
)  # fmt: skip
MIXED_UNITS = Rule(
    "K108", "units-mixed", Grade.WARNING,
    "A weighing is done on one scale, which stands on one unit. A weight in another one is read as it is typed, and "
    "was perhaps typed wrong.",
    "601 62 lb\n602 30 kg\n",
)  # fmt: skip
PART_UNIT = Rule(
    "K107", "unit-slip-in-part", Grade.ASK,
    "Some sheep of a weighing are about 2.2 times as heavy as the others, against what was to be expected of each, or "
    "as light: a part of the session was read or written in pounds, the rest in kilograms.",
    "twenty lambs of 50 to 60 and forty of 23 to 28 in one weaning",
)  # fmt: skip
UNLIKELY = Rule(
    "K109", "weight-unlikely", Grade.ASK,
    "A sheep weighs what one of its age, or one among those weighed beside it, does not weigh: a point was left out or "
    "put in, two figures changed places, or another sheep's tag was written. One such weight moves the mean, the gains "
    "and the comparison of the whole group.",
    "731, born on 20 March, 4.1 on 8 July",
)  # fmt: skip
UNIT_IN_WORDS = Rule(
    "K110", "unit-told-apart", Grade.ASK,
    "A weight without a unit is in the flock's own. One that is told on a line of its own changes none of them.",
    "601 18\n602 19\nunits: kg\n",
)  # fmt: skip
RULES = (FELL, LEAPT, NO_BIRTHDAY, WEIGHED_TWICE, UNIT, ONE_CLASS, PART_UNIT, MIXED_UNITS, UNLIKELY, UNIT_IN_WORDS)
UNIT_ON_A_LINE = re.compile(
    r"\W*(?:(?:units?|weights?|all|scales?|weighed)(?: are| is)?\W*(?:in )?)?(kgs?|kilos?|kilograms?|lbs?|pounds)\W*",
    re.I,
)
ONE_SEX_LAMBS = 10  # chance alone makes ten lambs of one sex once in 512 crops
MOST_NAMED = 5  # sheep named in one message
WEIGHT_CURE = "correct it, or add `sure: yes` to the note"
ASKED_MEANWHILE = "it is shown, and takes no part in means, gains and comparisons"

WeighedNote = Weighing | Weaning


def weighings(seen: Seen) -> Iterator[WeighedNote]:
    """Every note with weights up to the day asked about."""
    for event in seen.linked.events:
        if isinstance(event, Weighing | Weaning) and event.date and happened(event, seen.today):
            yield event


def weight_changes(seen: Seen) -> Iterator[Diagnostic]:
    """Weights that fell or rose too far since the one before; not where their unit is asked about."""
    unsure = {event.origin.path: event for event in weighings(seen) if not event.sure}
    slipped = {item.note for item in seen.facts.weights.sessions if item.slip is not None}
    odd = {(item.note, sheep) for item in seen.facts.weights.sessions for sheep in item.odd}
    for sheep, item in seen.facts.weights.gains.items():
        for old, new in pairwise([*at_birth(seen, sheep), *(weight for weight in item.weights if weight.sure)]):
            event = unsure.get(new.note)
            told = bool(slipped & {old.note, new.note} or odd & {(old.note, sheep), (new.note, sheep)})
            if event and not told and (rule := one_change(old, new)):
                name, days = seen.linked.animals[sheep].called_in_full, (new.date - old.date).days
                weighed = seen.settings.measures.weight
                words = f"{name}: {weighed(new.kg)}, {days} days after {weighed(old.kg)} on {day_words(old.date)}"
                yield rule.at(place(event, new), words, WEIGHT_CURE)


def weights_asked(seen: Seen) -> Iterator[Diagnostic]:
    """Weights that no sheep of that age has, or that do not fit the others'; not where their unit is asked about."""
    events = {event.origin.path: event for event in weighings(seen)}
    units = slipped_lines(seen.facts.weights.sessions)
    for place_of, item in seen.facts.weights.unlikely.items():
        if place_of not in units:
            line = next(line for line in events[item.note].lines if line.span.line == item.line)
            words = f"{seen.linked.animals[item.sheep].called_in_full}: {unlikely_words(item, seen.settings.units)}"
            yield UNLIKELY.at(line.span, words, perhaps_ten(item, line) + WEIGHT_CURE, ASKED_MEANWHILE)


def perhaps_ten(item: UnlikelyWeight, line: WeightLine) -> str:
    """`did you mean 41? ` for a figure in which a point may have slipped; else ""."""
    typed = re.fullmatch(r"(\d+(?:[.,]\d)?)(?: ?(?:kg|lb)s?)?", line.weight.text.strip())
    if typed is None or item.why is WhyUnlikely.BESIDE_OTHERS:
        return ""
    figure = float(typed[1].replace(",", "."))
    times = 10 if item.why is not WhyUnlikely.TOO_HEAVY else 0.1
    likely = WEIGHED_KG[0] <= item.kg * times <= WEIGHED_KG[1] and within_limit(item, item.kg * times)
    return f"did you mean {figure * times:g}? " if likely else ""


def within_limit(item: UnlikelyWeight, kg: float) -> bool:
    """Whether another weight would be on the right side of the limit, and not far beyond it."""
    if item.why is WhyUnlikely.TOO_HEAVY:
        return item.limit / 3 <= kg <= item.limit
    return item.limit <= kg <= item.limit * 10


def at_birth(seen: Seen, sheep: str) -> Iterator[Weighed]:
    """A lamb's weight at birth like one of its later weights."""
    animal, kg = seen.linked.animals[sheep], seen.facts.weights.gains[sheep].birth_kg
    if animal.birth and animal.birthday and kg is not None:
        yield Weighed(animal.birthday, kg, animal.birth.note.origin.path, animal.birth.line.span.line, "birth")


def one_change(old: Weighed, new: Weighed) -> Rule | None:
    """What is asked about one weight after another; two of one day are a sheep that stands twice."""
    days, gained = (new.date - old.date).days, new.kg - old.kg
    if days == 0:
        return None
    if gained < -GUT_FILL * old.kg and days <= FALL_DAYS:
        return FELL
    return LEAPT if gained > GUT_FILL * old.kg and gained / days > FASTEST_KG else None


def place(event: WeighedNote, weighed: Weighed) -> Span:
    """The line of a weight."""
    return next((line.span for line in event.lines if line.span.line == weighed.line), event.origin.span("lines"))


def birthdays(seen: Seen) -> Iterator[Diagnostic]:
    """Lambs with a weaning weight whose day of birth nobody knows, one message a note."""
    for event in weaning_notes(seen.linked, seen.today):
        assert event.date is not None
        weighed = [seen.linked.animals.get(seen.linked.named(event, line.sheep) or "") for line in event.lines]
        lambs = [one for one in weighed if one and one.birthday is None and may_be_a_lamb(seen, one, event.date)]
        if lambs:
            names = ", ".join(lamb.called_in_full for lamb in lambs[:MOST_NAMED])
            more = f" and {len(lambs) - MOST_NAMED} more" if len(lambs) > MOST_NAMED else ""
            cure = "write the lambing, or `born:` with the day in the lamb's note"
            yield NO_BIRTHDAY.at(event.origin.span("lines"), f"no day of birth is known of {names}{more}", cure)


def may_be_a_lamb(seen: Seen, animal: Animal, day: date) -> bool:
    """Whether an animal can be one of the weaned; not a ewe that stands in the note beside her lambs."""
    return counts_as_lamb(animal, day) and animal.id not in seen.linked.lambs_of


def twice(seen: Seen) -> Iterator[Diagnostic]:
    """Sheep that stand twice in one session, at the second place."""
    for event in weighings(seen):
        first: dict[str, str] = {}
        for line in event.lines:
            sheep = seen.linked.named(event, line.sheep)
            if sheep in first and not event.sure:
                name = seen.linked.animals[sheep].called_in_full
                words = f"{name} stands here twice: {first[sheep]} and {line.weight.text}"
                cure = "correct one of the tags, or take one line out"
                yield WEIGHED_TWICE.at(line.span, words, cure)
            elif sheep:
                first[sheep] = line.weight.text


def units(seen: Seen) -> Iterator[Diagnostic]:
    """Sessions in which everybody is 2.2 times as heavy as expected, or as light."""
    events = {event.origin.path: event for event in weighings(seen)}
    for item in seen.facts.weights.sessions:
        if item.slip is not None:
            words = f"these sheep weigh {item.slip:.2f} times what was to be expected; 1 kg is 2.2 lb"
            cure = "write the unit beside the weights (`27.5 lb`), or add `sure: yes` to the note"
            kept = "these weights take no part in gains and comparisons"
            yield UNIT.at(events[item.note].origin.span("lines"), words, cure, kept)
        elif item.odd:
            yield part_of(seen, events[item.note], item.odd)


def part_of(seen: Seen, event: WeighedNote, odd: tuple[str, ...]) -> Diagnostic:
    """The sheep of one session that look as if they were weighed in another unit than the rest."""
    first = next(line.span for line in event.lines if seen.linked.named(event, line.sheep) in odd)
    names = ", ".join(seen.linked.animals[sheep].called for sheep in odd[:MOST_NAMED])
    more = f" and {len(odd) - MOST_NAMED} more" if len(odd) > MOST_NAMED else ""
    words = f"{names}{more} differ from the rest of this note as pounds differ from kilograms"
    return PART_UNIT.at(first, words, "write the unit beside their weights (`57 lb`), or add `sure: yes` to the note")


def mixed_units(seen: Seen) -> Iterator[Diagnostic]:
    """Weights of one session in another unit than most of it."""
    own = seen.settings.measures.weight_unit
    for event in weighings(seen):
        typed = [(line, unit_typed(line.weight.text) or own) for line in event.lines]
        counts = Counter(unit for _, unit in typed)
        usual = max(counts, key=lambda unit: (counts[unit], unit == own), default=own)
        for line, unit in typed if not event.sure else ():
            if unit != usual:
                told = f"{line.weight.text.strip()} is in {unit}, and most of this session is in {usual}"
                yield MIXED_UNITS.at(line.span, told, "write the session in one unit, or add `sure: yes`")


def unit_typed(text: str) -> str:
    """The unit that a weight is typed with; "" for none, stones counting as pounds."""
    if re.search(r"kg|kilo|\dg", text, re.I):
        return "kg"
    return "lb" if re.search(r"lb|pound|#|st|oz", text, re.I) else ""


def sexes(seen: Seen) -> Iterator[Diagnostic]:
    """Crops of ten lambs or more that were weighed and are all of one sex; told at the last birth."""
    for season in seen.facts.season.years:
        lambs = [lamb for birth in season.births for lamb in birth.lambs]
        tally = Counter("ram" if lamb.sex == "wether" else lamb.sex for lamb in lambs)
        weighed = any(lamb.id in seen.facts.weights.gains for lamb in lambs)
        if len(tally) == 1 and len(lambs) >= ONE_SEX_LAMBS and weighed:
            last = season.births[-1].event
            if not last.sure and lambs[0].sex:
                words = f"all {len(lambs)} lambs of {season.season} are written as {lambs[0].sex}"
                yield ONE_CLASS.at(last.origin.span("lines"), words, WEIGHT_CURE)


def units_in_words(seen: Seen) -> Iterator[Diagnostic]:
    """`units: kg` on a line of its own, in a flock that is in pounds, or the other way round."""
    for event in (*seen.linked.of(Weighing), *seen.linked.of(Weaning)):
        for cell in () if event.sure else event.origin.rest:
            match = UNIT_ON_A_LINE.fullmatch(cell.text)
            if match and match[1].lower().startswith(("lb", "p")) != seen.settings.measures.us:
                unit, own = match[1], seen.settings.measures.weight_unit
                words = f"`{cell.text.strip()}` changes no weight: one without a unit is in {own}"
                cure = f"write the unit behind each weight, as `601 18 {unit}`, or head a table with `{unit}`"
                yield UNIT_IN_WORDS.at(
                    Span(cell.path or event.origin.path, cell.line, cell.column, len(cell.text)), words, cure
                )


CHECKS = (
    Check("weights that changed too far", weight_changes), Check("weaned without a birthday", birthdays),
    Check("weighed twice", twice), Check("units of a weighing", units), Check("lambs of one sex", sexes),
    Check("mixed units", mixed_units), Check("units told apart", units_in_words),
    Check("weights that cannot be", weights_asked),
)  # fmt: skip
