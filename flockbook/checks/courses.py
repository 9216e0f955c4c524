"""Courses and bottles: doses written twice or out of order, batches that never came, bottles past their day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.medicine.cupboard import Stocked, batch_expiries, word_of
from flockbook.derive.medicine.minerals import Overlap
from flockbook.derive.plain.days import day_words
from flockbook.flock import happened
from flockbook.records.cupboard import Stock
from flockbook.records.health import Treatment
from flockbook.seen import Seen

OVERLAP = Rule(
    "M301", "course-overlaps", Grade.ASK,
    "Two notes give one sheep the same product over the same days: often one treatment written twice. Each sheep "
        "still waits for the latest "
    "dose of both.",
    "two notes of penicillin for Bramble, 1 to 3 June and 2 to 4 June",
)  # fmt: skip
OUT_OF_ORDER = Rule(
    "M302", "doses-out-of-order", Grade.ASK,
    "Doses are given one after the other; a date out of order is often a slip, and the waiting period counts from the "
        "last of them.",
    "given: 2 Jun, 12 Jun, 4 Jun",
)  # fmt: skip
UNKNOWN_BATCH = Rule(
    "M303", "batch-not-bought", Grade.GAP,
    "A medicine record leads from the sheep to the bottle; this batch stands neither in the medicine note nor in any "
        "purchase.",
    "batch: PP9999",
)  # fmt: skip
EXPIRED = Rule(
    "M304", "expired-when-given", Grade.WARNING,
    "A product past its expiry date may not work, and its waiting period was not set for it. Ask your vet.",
    "a bottle that expired in May, used in June",
)  # fmt: skip
PACK_OPEN_TOO_LONG = Rule(
    "M305", "open-too-long", Grade.ASK,
    "An opened pack keeps only as long as its label says. If another pack was opened since, the medicine note should "
        "say when.",
    "opened: 2026-03-14, use within: 28 days, used on 1 June",
)  # fmt: skip
MORE_THAN_CAME = Rule(
    "M306", "used-more-than-bought", Grade.GAP, "More of this product was used than ever came, so a purchase (or a "
        "count) is not written.",
    "100 mL bought, 140 mL used",
)  # fmt: skip
AMOUNT_UNREAD = Rule(
    "M307", "amount-not-understood", Grade.ASK, "What is left is reckoned in mL, so an amount needs a volume, or a "
        "number of packs of a typed size.",
    "bought: a boxful",
)  # fmt: skip
MINERAL_TWICE = Rule(
    "M308", "trace-mineral-twice", Grade.WARNING,
    "Selenium and copper poison at little more than they cure, and they come in drenches, needles, capsules and feed "
        "alike. Add them all up with your vet.",
    "selenium by needle in May and in a drench in June",
)  # fmt: skip
RULES = (
    OVERLAP,
    OUT_OF_ORDER,
    UNKNOWN_BATCH,
    EXPIRED,
    PACK_OPEN_TOO_LONG,
    MORE_THAN_CAME,
    AMOUNT_UNREAD,
    MINERAL_TWICE,
)
MOST_NAMED_IN_COURSES = 3  # sheep named in a message; more are counted


def course_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Courses of one product that overlap in one sheep, and doses out of order."""
    last: dict[tuple[str, str], list[Treatment]] = {}
    for event in seen.linked.of(Treatment):
        if event.date is None:
            continue
        if not event.sure:
            yield from order(event)
        met: dict[str, list[str]] = {}
        for sheep in seen.linked.who(event):
            before = last.setdefault((sheep, word_of(event.medicine)), [])
            for path in [other.origin.path for other in before if overlapping(event, other)]:
                met.setdefault(path, []).append(sheep)
            before.append(event)
        if not event.sure:
            yield from (overlap_message(seen, event, path, sheep) for path, sheep in met.items())


def overlapping(one: Treatment, other: Treatment) -> bool:
    """Whether the days of two treatments meet; two doses of one day at two written times are one course in two
    notes.
    """
    days, others = ([when.date for when in event.doses] for event in (one, other))
    if not days or not others or min(days) > max(others) or min(others) > max(days):
        return False
    apart = len(days) == len(others) == 1 and one.time is not None and other.time is not None and one.time != other.time
    return not apart


def overlap_message(seen: Seen, event: Treatment, path: str, sheep: list[str]) -> Diagnostic:
    """The message."""
    return OVERLAP.at(
        event.origin.span("medicine"),
        f"{sheep_in_message(seen, sheep)} had {event.medicine} on the same days by {path}",
        "delete one of the two, correct a date, or add `sure: yes`", "both are counted, and the latest dose holds",
    )  # fmt: skip


def order(event: Treatment) -> Iterator[Diagnostic]:
    """Doses not in order of time, and a last day before the last dose."""
    for place, (one, other) in enumerate(pairwise(event.given), 1):
        if (other.date, other.moment) < (one.date, one.moment) and other.date != one.date:
            yield OUT_OF_ORDER.at(
                event.origin.span(f"given[{place}]"), f"{day_words(other.date)} comes after {day_words(one.date)}",
                "correct the date, or add `sure: yes`", "the latest of all doses counts",
            )  # fmt: skip
            return
    latest = max((when.date for when in event.given), default=None)
    if event.finished and latest and event.finished.date < latest:
        yield OUT_OF_ORDER.at(
            event.origin.span("finished"), f"finished on {day_words(event.finished.date)}, and given on "
                f"{day_words(latest)}",
            "correct one of the two, or add `sure: yes`", "the latest of all doses counts",
        )  # fmt: skip


def bottles(seen: Seen) -> Iterator[Diagnostic]:
    """What was given out of which bottle, product by product."""
    shelves = {word_of(shelf.name): shelf for shelf in seen.facts.medicine.cupboard.shelves}
    expiries = {name: batch_expiries(seen.linked, shelf.medicine) for name, shelf in shelves.items()}
    for event in seen.linked.events:
        name = word_of(event.medicine) if isinstance(event, Treatment) else ""
        if isinstance(event, Treatment) and event.date and happened(event, seen.today) and name in shelves:
            yield from bottle(event, shelves[name], expiries[name])


def bottle(event: Treatment, shelf: Stocked, expiries: dict[str, date]) -> Iterator[Diagnostic]:
    """One treatment and its bottle."""
    days = sorted(when.date for when in event.doses)
    if any(item.note == event.origin.path for item in shelf.unbought) and (shelf.medicine.batch or shelf.bought_ml):
        text = f"batch `{event.batch}` of {shelf.name} stands in no medicine note and no purchase"
        yield UNKNOWN_BATCH.at(
            event.origin.span("batch"), text, "add it to `batch` in the medicine note, or write the purchase"
        )
    ends = expiry_of(event, shelf, expiries)
    if ends and days and days[-1] > ends and not event.sure:
        text = f"{shelf.name} had expired on {day_words(ends)}, and was given on {day_words(days[-1])}"
        yield EXPIRED.at(
            event.origin.span("medicine"), text, "correct batch or expiry, or ask your vet; `sure: yes` if so"
        )
    opened = shelf.medicine.opened
    late = [day for day in days if opened and shelf.use_by and day >= opened and day > shelf.use_by.date()]
    if late and opened and shelf.use_by and not event.sure:
        keeps = shelf.medicine.use_within.text if shelf.medicine.use_within else ""
        text = f"the pack opened on {day_words(opened)} keeps {keeps}, and was used on {day_words(late[0])}"
        yield PACK_OPEN_TOO_LONG.at(
            event.origin.span("medicine"), text, "write `opened` of the pack used, or add `sure: yes`"
        )


def expiry_of(event: Treatment, shelf: Stocked, expiries: dict[str, date]) -> date | None:
    """When the bottle used expires: by its batch where that is known, else the latest day that any bottle of it has."""
    if event.batch:
        return next((day for batch, day in expiries.items() if batch.casefold() == event.batch.casefold()), None)
    return max([*expiries.values(), *([shelf.expires] if shelf.expires else [])], default=None)


def overdrawn_stock(seen: Seen) -> Iterator[Diagnostic]:
    """Products of which more was used than came."""
    for shelf in seen.facts.medicine.cupboard.shelves:
        if shelf.left_ml is not None and shelf.left_ml < 0:
            text = f"{-shelf.left_ml:g} mL more of {shelf.name} was used than bought or counted"
            yield MORE_THAN_CAME.at(
                shelf.medicine.origin.span("name"), text, "write a `stock` note with `bought` or `counted`"
            )


def unread(seen: Seen) -> Iterator[Diagnostic]:
    """Amounts that cannot be read."""
    wanted = {(item.note, item.how) for shelf in seen.facts.medicine.cupboard.shelves for item in shelf.unread}
    for event in seen.linked.events:
        for how in ("bought", "used", "binned", "counted"):
            if isinstance(event, Stock) and (event.origin.path, how) in wanted:
                yield AMOUNT_UNREAD.at(
                    event.origin.span(how), f"`{str(getattr(event, how))[:60]}` is no volume",
                    "write it as `1 L` or `2 x 100 ml`", "it is shown, and left out of what is left",
                )  # fmt: skip


def mineral_overlaps(seen: Seen) -> Iterator[Diagnostic]:
    """One message for each note that brought a mineral again within six weeks."""
    found: dict[tuple[str, str], list[Overlap]] = {}
    for item in seen.facts.medicine.cupboard.overlaps:
        found.setdefault((item.doses[-1].note, item.mineral), []).append(item)
    events = {event.origin.path: event for event in seen.linked.of(Treatment)}
    for (path, mineral), hits in found.items():
        event, first = events[path], hits[0]
        if event.sure:
            continue
        sources = " and ".join(dict.fromkeys(f"{dose.medicine} on {day_words(dose.day)}" for dose in first.doses))
        much = (
            f", {max(item.mg or 0 for item in hits):g} mg in all" if all(item.mg is not None for item in hits) else ""
        )
        text = f"{sheep_in_message(seen, [item.sheep for item in hits])}: {mineral} from {sources}{much}"
        yield MINERAL_TWICE.at(
            event.origin.span("medicine"), text, "ask your vet before more is given, or add `sure: yes`"
        )


def sheep_in_message(seen: Seen, sheep: list[str]) -> str:
    """Sheep in a message."""
    if len(sheep) > MOST_NAMED_IN_COURSES:
        return f"{len(sheep)} sheep"
    return ", ".join(seen.linked.animals[item].called_in_full for item in sheep)


CHECKS = (
    Check("courses", course_faults), Check("bottles", bottles), Check("stock of medicines", overdrawn_stock),
    Check("amounts", unread), Check("trace minerals", mineral_overlaps),
)  # fmt: skip
