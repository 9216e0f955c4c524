"""The gate: whether an animal may leave on the day it left."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.shape import replace
from compiler.source import Span
from flockbook.derive.market.barriers import InLamb, NoNumber, PerhapsInLamb
from flockbook.derive.market.leaving import LIVING_ON, named_in, of_medicines, only_slip
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.medicine.withdrawal import CLEAR, HELD, Clearance
from flockbook.derive.plain.days import day_words
from flockbook.records.trade import Sale
from flockbook.saying.because import step_words
from flockbook.saying.going import going_words
from flockbook.saying.standing import release_words
from flockbook.seen import Seen

SOLD_HELD = Rule(
    "W101", "sold-while-held", Grade.ERROR,
    "An animal that goes for meat, or to a buyer who may eat it, must be past the waiting period of every medicine it "
    "had. If the period on the label or in "
    "the vet's letter is another, the label and the vet are right and the note must be corrected.",
    "2026-06-10 sale of a ewe treated on 2 June with 28 days to wait",
)  # fmt: skip
SOLD_UNKNOWN = Rule(
    "W102", "sold-while-unknown", Grade.ERROR, "Nobody can say that this animal was clear: a period, a date, a course "
        "or a note is missing.", "a sale with a course still open"
)  # fmt: skip
BUYER_TOLD = Rule(
    "W103", "buyer-must-know", Grade.WARNING, "An animal sold to live on takes its waiting period with it; the buyer "
        "must have it in writing.", "use: breeding"
)  # fmt: skip
SALE_AHEAD = Rule(
    "W104", "planned-sale-names-unfit", Grade.WARNING,
    "A sale to come names a sheep that may not go, or of which somebody must be asked first: ill, lame, near lambing, "
    "just lambed, kept apart. What the vet and your authority say goes before the book.",
    "2026-12-01 sale of a ewe that is kept apart until 5 December"
)  # fmt: skip
RULES = (SOLD_HELD, SOLD_UNKNOWN, BUYER_TOLD, SALE_AHEAD)
AHEAD_DAYS = 28  # so long before a sale what speaks against it is told; before that much will change (our own choice)
QUIET = (InLamb, PerhapsInLamb, NoNumber)  # what the loading list asks of many, and proof does not say of each
# Where no treatment of it is written, and only a slip in a note of another kind, or of none, leaves it unknown.
ONLY_A_SLIP = (
    "no treatment of it is written: mend {note} first, which may be no more than a slip of the pen, and until then do "
    "not send it; only if that note tells of a medicine for it, and it has gone, tell the buyer and your vet"
)


def sales_checked(seen: Seen) -> Iterator[Diagnostic]:
    """Every sale, animal by animal, at its own moment (the start of the day when no time is written)."""
    medicines = of_medicines(seen.linked)
    for event in seen.linked.of(Sale):
        if event.date is None:
            continue
        at = datetime.combine(event.date, event.time or time.min)
        for sheep in seen.linked.who(event):
            row = seen.facts.medicine.guard.on(sheep, at)
            if row.meat.state != CLEAR:
                told, slip = refused(seen, event, sheep, row), only_slip(row, medicines)
                told_of_slip = slip and told.code == SOLD_UNKNOWN.code
                yield replace(told, help=ONLY_A_SLIP.format(note=slip)) if told_of_slip else told


def loads_checked(seen: Seen) -> Iterator[Diagnostic]:
    """Sales of the next weeks that name a sheep that is not fit to go, as the loading list of that day has it."""
    for load in seen.facts.market.gate.loads:
        if (load.at.day - seen.today.day).days > AHEAD_DAYS:
            continue
        for row in named_in(load):
            grave = tuple(one for one in load.fitness.get(row.sheep, ()) if not isinstance(one.because.reason, QUIET))
            if grave:
                name = seen.linked.animals[row.sheep].called_in_full
                text = f"{name} is named for the sale of {day_words(load.at.day)}, and {going_words(grave)}"
                yield SALE_AHEAD.at(
                    place_in(seen, load.sale, row.sheep), text, "take it off the sale, or ask first and write what was "
                    "said", "it stands on the loading list of that day with this reason"
                )  # fmt: skip


def place_in(seen: Seen, event: Sale, sheep: str) -> Span:
    """Where a sale names a sheep."""
    return next(
        (
            event.origin.span(f"sheep[{place}]")
            for place, text in enumerate(event.sheep)
            if seen.linked.named(event, text) == sheep
        ),
        event.origin.span("mob" if event.mob else "sheep"),
    )


def refused(seen: Seen, event: Sale, sheep: str, row: Clearance) -> Diagnostic:
    """One animal that was not clear when it left: which medicine, until when, by which note."""
    hold = row.deciding(MEAT)[0]
    where = place_in(seen, event, sheep)
    name, medicine = seen.linked.animals[sheep].called_in_full, hold.medicine or "a note that cannot be read"
    left = day_words(event.date) if event.date else "?"
    if row.meat.state == HELD:
        day = "first clear on" if row.meat.by_day else "held until"
        was = "will not be clear" if event.date and event.date > seen.today.day else "was not clear"
        text = f"{name} {was} on {left}: {medicine}, {day} {release_words(row.meat)} ({hold.because.note})"
    else:
        why = step_words(hold.because)
        text = f"{name} is not known to have been clear on {left}: {medicine}: {why} ({hold.because.note})"
    if event.use in LIVING_ON:
        return BUYER_TOLD.at(where, text, "give the buyer the medicine, the last dose and the clear date in writing")
    rule = SOLD_HELD if row.meat.state == HELD else SOLD_UNKNOWN
    return rule.at(
        where,
        text,
        "do not send it; if it has gone, tell the buyer and your vet at once",
        "it stands on the refused list",
    )


CHECKS = (Check("the gate", sales_checked), Check("sales to come", loads_checked))
