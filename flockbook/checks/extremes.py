"""Figures and days that cannot be, each true by itself as it is typed: days in the wrong order, ages, litters, sums."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from itertools import combinations

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.schema import Context
from compiler.source import Span
from flockbook.derive.farm.payments import COINS, Payment, heads, weight_of_all
from flockbook.derive.plain.days import day_words
from flockbook.flock import Animal, there
from flockbook.manner import clock_words
from flockbook.records.breeding import Lambing
from flockbook.records.cupboard import MoneyNote, Stock, Supply
from flockbook.records.health import Illness
from flockbook.records.labels import DoseRate, Withdrawal
from flockbook.records.pregnancy import Labour
from flockbook.records.rations import bale_weight
from flockbook.records.sheep import Medicine
from flockbook.records.trade import Purchase, Sale
from flockbook.records.weight_line import WEIGHED_KG
from flockbook.seen import Seen

WRONG_ORDER = Rule(
    "X101", "days-in-the-wrong-order", Grade.ASK,
    "What ends comes after what begins: a sheep is not well before it was ill, nor bought before it was born, nor a "
    "lamb there long before the waters.",
    "waters: 02:10 and born: 01:10",
)  # fmt: skip
AGE_UNLIKELY = Rule(
    "X102", "age-unlikely", Grade.ASK,
    "Hardly any sheep lives for so long, and none is here before it is born: the year of birth is mostly a slip.",
    "born: 1950",
)  # fmt: skip
LITTER_UNLIKELY = Rule(
    "X103", "litter-unlikely", Grade.ASK,
    "More than seven lambs at a birth, or lambs that together weigh more than a third of their dam, are mostly two "
    "litters in one note, or weights in another unit.",
    "nine lambs of 4.1 kg in one lambing note",
)  # fmt: skip
SUM_UNLIKELY = Rule(
    "X104", "sum-unlikely", Grade.ASK,
    "A sum of nothing or of a penny, or one far above all others of its kind, is mostly a slip; it moves every margin.",
    "amount: 9999999",
)  # fmt: skip
SOLD_WEIGHT = Rule(
    "X105", "sold-weight-unlikely", Grade.ASK, "No sheep weighs so much or so little when it is sold.",
    "sheep: 601 and weight: 600 kg",
)  # fmt: skip
STORE_UNLIKELY = Rule(
    "X106", "store-unlikely", Grade.ASK,
    "No bale weighs so much, and nothing is bought that went off long before: a figure or a year is a slip.",
    "have: 100 bales of 1800 kg",
)  # fmt: skip
LABEL_UNLIKELY = Rule(
    "X107", "label-unlikely", Grade.ASK,
    "No label for sheep reads so. The figures count as they are typed until they are corrected.",
    "label rate: 900 ml per 1 kg",
)  # fmt: skip
RULES = (WRONG_ORDER, AGE_UNLIKELY, LITTER_UNLIKELY, SUM_UNLIKELY, SOLD_WEIGHT, STORE_UNLIKELY, LABEL_UNLIKELY)
CORRECT, SURE = "correct it", "correct it, or add `sure: yes` to the note"
# Our own lines for asking, all of them.
OLDEST_YEARS = 15
MOST_AT_A_BIRTH = 7
PART_OF_DAM, DAM_KG = 3, 66.0  # a litter and its dam; the weight of one that was not weighed
LEAST_SUM, LARGEST_SUM, TIMES_OTHERS, FEWEST_OTHERS = Decimal("0.05"), Decimal(100_000), 20, 3
LEAST_EACH = Decimal(1)
HEAVIEST_BALE = 700.0  # kg; large square bales come near it
OLDEST_STOCK = date(1990, 1, 1)
MOST_ML_KG, MOST_ML_EACH, MOST_PACK_ML, LONGEST_PERIOD_DAYS = 5.0, 500.0, 30_000.0, 400
HALF_A_DAY = timedelta(hours=12)
HOURS_OF_BIRTH = ("waters", "helped", "born")  # the hours of a birth, as they follow each other


# Pairs


def wrong_order(seen: Seen) -> Iterator[Diagnostic]:
    """Days and hours that stand in one note and cannot follow each other so."""
    for event in seen.linked.of(Illness):
        if event.recovered and event.date and event.recovered < event.date and not event.sure:
            told = f"well on {day_words(event.recovered)}, and ill from {day_words(event.date)}"
            yield WRONG_ORDER.at(event.origin.span("recovered"), told, SURE)
    for animal in seen.linked.animals.values():
        note = animal.note
        if note and note.born and note.bought and note.bought < note.born.earliest:
            told = f"bought on {day_words(note.bought)}, before it was born"
            yield WRONG_ORDER.at(note.origin.span("bought"), told, CORRECT)
    for birth in seen.linked.events:
        if isinstance(birth, Lambing | Labour) and not birth.sure:
            yield from hours_in_order(birth)


def hours_in_order(birth: Lambing | Labour) -> Iterator[Diagnostic]:
    """The hours of one birth; over midnight a later one may stand by a smaller figure, and then hours lie between."""
    typed = [(name, at) for name in HOURS_OF_BIRTH if isinstance(at := getattr(birth, name, None), time)]
    for (first, before), (second, after) in combinations(typed, 2):
        if hours_between(before, after) > HALF_A_DAY:
            told = f"`{second}` at {clock_words(after)} comes before `{first}` at {clock_words(before)}"
            yield WRONG_ORDER.at(birth.origin.span(second), told, SURE)


def hours_between(before: time, after: time) -> timedelta:
    """From one hour of the clock to the next time that it shows another."""
    gone = datetime.combine(date.min, after) - datetime.combine(date.min, before)
    return gone % timedelta(days=1)


# Ages and litters


def ages(seen: Seen) -> Iterator[Diagnostic]:
    """Sheep that are too old to be alive, or have a day of birth still to come."""
    last, bought = max(seen.today.day, seen.today.clock or seen.today.day), bought_lines(seen)
    for animal in seen.linked.animals.values():
        place = birth_place(animal, bought)
        if animal.born is None or place is None:
            continue
        years = (seen.today.day - animal.born.latest).days / 365.25
        if animal.born.earliest > last:
            told = f"{animal.called_in_full}: its day of birth is still to come"
            yield AGE_UNLIKELY.at(place, told, CORRECT, "it counts as not yet born")
        elif years > OLDEST_YEARS and there(animal, seen.today):
            told = f"{animal.called_in_full} would be at least {int(years)} years old"
            yield AGE_UNLIKELY.at(place, told, "correct the year, or write its death or its sale")


def bought_lines(seen: Seen) -> dict[str, Span]:
    """Where a purchase says when a sheep was born."""
    return {line.sheep: line.span for note in seen.linked.of(Purchase) for line in note.lines if line.born}


def birth_place(animal: Animal, bought: dict[str, Span]) -> Span | None:
    """Where the day of birth of a sheep is typed: its own note, or a line of a purchase."""
    if animal.note and animal.note.born:
        return animal.note.origin.span("born")
    return next((bought[tag] for tag in (animal.id, *animal.tags) if tag in bought), None)


def litters_asked(seen: Seen) -> Iterator[Diagnostic]:
    """Litters that no ewe carries."""
    for birth in seen.linked.of(Lambing):
        if birth.sure:
            continue
        kg = sum(line.weight.kg for line in birth.lines if line.weight and not line.unlikely)
        dam = max((dam_kg(seen, ewe) for ewe in seen.linked.who(birth)), default=DAM_KG)
        if len(birth.lines) > MOST_AT_A_BIRTH:
            told = f"{len(birth.lines)} lambs in one litter would be unusual"
            yield LITTER_UNLIKELY.at(birth.origin.span("ewe"), told, SURE)
        elif kg > dam / PART_OF_DAM:
            weight = seen.settings.measures.weight
            told = f"{len(birth.lines)} lambs of {weight(kg)} together, from a ewe of {weight(dam)}, would be unusual"
            yield LITTER_UNLIKELY.at(birth.origin.span("ewe"), told, SURE)


def dam_kg(seen: Seen, ewe: str) -> float:
    """The most that a ewe weighed, else what is written of her, else what a large ewe weighs."""
    grown, animal = seen.facts.weights.gains.get(ewe), seen.linked.animals[ewe]
    mature = animal.note.mature_weight if animal.note else None
    known = [*(item.kg for item in (grown.weights if grown else ()) if item.sure), *([mature.kg] if mature else [])]
    return max(known, default=DAM_KG)


# Money, sales, stores


def sums_asked(seen: Seen) -> Iterator[Diagnostic]:
    """Sums of nothing, of a penny, or far above the others of their kind; in currencies where that says something."""
    counted = [one for season in seen.facts.farm.money.seasons for one in season.payments]
    kinds: dict[str, list[Decimal]] = defaultdict(list)
    for one in counted:
        kinds[one.kind].append(one.amount)
    for one in counted if seen.settings.currency.strip().upper() in COINS else ():
        if not one.note.sure and (told := sum_doubt(one, kinds[one.kind])):
            where = one.note.origin.span("amount" if isinstance(one.note, MoneyNote) else "price")
            yield SUM_UNLIKELY.at(where, told, SURE, "it stands in the sums")


def sum_doubt(one: Payment, alike: list[Decimal]) -> str:
    """What is odd about a sum beside those of its kind; else ""."""
    if isinstance(one.note, Sale | Purchase):
        return "less than 1 for each sheep" if one.head and 0 < one.amount / one.head < LEAST_EACH else ""
    if not isinstance(one.note, MoneyNote):
        return ""
    if one.amount < LEAST_SUM:
        return "this is no more than a penny or two"
    rest = sorted(alike)[:-1]
    far = len(rest) >= FEWEST_OTHERS and one.amount == max(alike) and one.amount > TIMES_OTHERS * rest[-1]
    if far or one.amount > LARGEST_SUM:
        return f"a sum of {one.amount:,.0f} is far above what a flock pays or takes for one thing"
    return ""


def sold_weights(seen: Seen) -> Iterator[Diagnostic]:
    """Sheep that were sold at a weight that no sheep has, each or on the average."""
    for sale in seen.linked.of(Sale):
        head = heads(seen.linked, sale)
        together = weight_of_all(seen.linked, sale, head) if head and not sale.sure else None
        if together is not None and not WEIGHED_KG[0] <= together / head <= WEIGHED_KG[1]:
            told = f"{seen.settings.measures.weight(together / head)} would be unusual for a sheep"
            yield SOLD_WEIGHT.at(sale.origin.span("weight"), told, SURE)


def stores(seen: Seen) -> Iterator[Diagnostic]:
    """Bales that are too heavy, and what went off long before it was bought."""
    context = Context(seen.settings.habits)
    notes: list[Supply | Stock] = [*seen.collection.of(Supply), *seen.linked.of(Stock)]
    for note in notes:
        for name in ("have", "bought", "counted"):
            kg = bale_weight(" ".join((getattr(note, name, None) or "").split()), context)
            if kg is not None and kg > HEAVIEST_BALE and not getattr(note, "sure", False):
                told = f"a bale of {seen.settings.measures.weight(kg)} would be unusual"
                yield STORE_UNLIKELY.at(note.origin.span(name), told, CORRECT)
        bought = note.date if isinstance(note, Stock) and note.bought and note.date else OLDEST_STOCK
        if note.expires and note.expires.latest < bought and not getattr(note, "sure", False):
            told = f"it went off by {day_words(note.expires.latest)}, before it was here"
            yield STORE_UNLIKELY.at(note.origin.span("expires"), told, CORRECT)


# Labels


def labels(seen: Seen) -> Iterator[Diagnostic]:
    """Figures of a label that no label for sheep has; a question alone, which changes no waiting period."""
    for note in seen.collection.of(Medicine):
        if note.label_rate and rate_unlikely(note.label_rate):
            yield label_asked(note, "label_rate", note.label_rate.text)
        if note.pack and note.pack.ml > MOST_PACK_ML:
            yield label_asked(note, "pack", note.pack.text)
        for name in ("meat_withdrawal", "milk_withdrawal"):
            period = getattr(note, name)
            if isinstance(period, Withdrawal) and days_of_period(period) > LONGEST_PERIOD_DAYS:
                yield label_asked(note, name, period.text)


def label_asked(note: Medicine, name: str, text: str) -> Diagnostic:
    """The question about one figure of a label."""
    told = f"`{text.strip()}` would be unusual on a label"
    return LABEL_UNLIKELY.at(note.origin.span(name), told, "read the label again", "it counts as it is typed")


def rate_unlikely(rate: DoseRate) -> bool:
    """Whether nobody gives so much to a sheep."""
    return rate.amount > (MOST_ML_EACH if rate.per_kg is None else MOST_ML_KG)


def days_of_period(period: Withdrawal) -> float:
    """A period in days; nought where it is none."""
    return period.days if period.days is not None else (period.hours or 0.0) / 24


CHECKS = (
    Check("days in the wrong order", wrong_order), Check("ages that cannot be", ages),
    Check("litters that cannot be", litters_asked), Check("sums that cannot be", sums_asked),
    Check("weights of sales", sold_weights), Check("stores that cannot be", stores), Check("labels", labels),
)  # fmt: skip
