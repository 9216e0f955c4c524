"""Money and stock that cannot be told: which way it went, whether a price is for each, one payment written twice."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import listing, near, plain
from flockbook.derive.farm.payments import AmountUnclear, PriceUnlikely, SamePayment, heads, sign_unclear, typed_season
from flockbook.flock import Flock
from flockbook.records.breeding import Hire
from flockbook.records.cupboard import MoneyNote, Stock, Supply
from flockbook.records.event import Event
from flockbook.records.prices import CURRENCY_SIGNS, KG_EACH
from flockbook.records.trade import Purchase, Sale
from flockbook.saying.kit import amount_fault_words
from flockbook.saying.money import price_unlikely_words, same_payment_words
from flockbook.seen import Seen

SIGN_UNCLEAR = Rule(
    "C101", "money-in-or-out", Grade.ASK,
    "Wool, subsidies and sheep sold are mostly money taken in, and a money note without `in: yes` is money spent.",
    "amount: 31.20\nfor: wool\n",
)  # fmt: skip
PAID_TWICE = Rule(
    "C102", "payment-written-twice", Grade.ASK,
    "A sale or a purchase with its price is in the sums already; a money note of the same sum a few days apart is most "
    "likely the same money.", "a purchase note of 720 for a ram, and a money note of 720 `for: ram`",
)  # fmt: skip
PRICE_UNCLEAR = Rule(
    "C103", "price-each-or-total", Grade.ASK, "A price for several sheep may be for each of them or for all together.",
    "sheep: 601, 602\nprice: 92\n"
)  # fmt: skip
SEASON_UNREAD = Rule(
    "C104", "money-season-unread", Grade.WARNING, "`season` names a lambing year in four figures.", "season: spring"
)
STOCK_OF_NOTHING = Rule(
    "C105", "stock-perhaps-misspelt", Grade.WARNING,
    "Stock is counted supply by supply; a name a slip away from another makes two of one.", "supply: naval iodine",
)  # fmt: skip
STOCK_UNREAD = Rule(
    "C106", "supply-amount-unread", Grade.WARNING,
    "What is short can only be worked out from figures in units that can be compared.", "counted: a few",
)  # fmt: skip
OVERDRAWN = Rule(
    "C107", "more-used-than-there-was", Grade.ASK, "More was used or binned than the notes say there was.",
    "have: 2 and used: 5"
)  # fmt: skip
PRICE_OF_HOW_MUCH = Rule(
    "C108", "price-of-how-much", Grade.ASK,
    "A price by weight or by the piece is a sum only together with the weight sold, or with how many there were.",
    "sheep: 601\nprice: 2.45 per lb\n",
)  # fmt: skip
SIGNS_MIXED = Rule(
    "C109", "currencies-mixed", Grade.ASK,
    "Sums with the signs of two currencies are added up as if they were one. `currency` in the settings says which is "
    "the flock's own; then every other one is told.",
    "price: £92 each, and in another note amount: €40",
)  # fmt: skip
PRICE_UNLIKELY = Rule(
    "C110", "price-unlikely", Grade.ASK,
    "A sheep hardly ever fetches or costs so much: a point was left out, or the price is for all of them.",
    "sheep: 601\nprice: 25000 each\n",
)  # fmt: skip
PRICE_IN_BOUGHT = Rule(
    "C111", "price-in-bought", Grade.ASK,
    "The sums count what stands in `price`; a price in the words of what was bought is in none of them.",
    "supply: hay\nbought: 40 bales at 6.50\n",
)  # fmt: skip
RULES = (
    SIGN_UNCLEAR, PAID_TWICE, PRICE_UNCLEAR, SEASON_UNREAD, STOCK_OF_NOTHING, STOCK_UNREAD, OVERDRAWN,
    PRICE_OF_HOW_MUCH, SIGNS_MIXED, PRICE_UNLIKELY, PRICE_IN_BOUGHT,
)  # fmt: skip
PRICE_TOLD = re.compile(
    r"(?:(?P<piece>\bat|@)|\bfor|[$£€]) ?[$£€]? ?(?P<figure>\d[\d.,]*\d|\d)(?P<each> ?(?:each|a \w+|per \w+))?", re.I
)
MANY_OF = re.compile(r"\s*(\d+) ([a-z]{3,12})\b", re.I)
LEFT_OUT_OF_SUMS = "it is left out of the sums"


def money_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Money notes whose direction or season cannot be told, and those that tell of one payment again."""
    for event in seen.linked.of(MoneyNote):
        if event.amount and sign_unclear(event):
            what = f"was this {event.for_} money spent or taken in?"
            yield SIGN_UNCLEAR.at(
                event.origin.span("amount"), what, "add `in: yes`, or `in: no` if it was paid", LEFT_OUT_OF_SUMS
            )
        if event.season and typed_season(event) is None:
            yield SEASON_UNREAD.at(
                event.origin.span("season"), f"`{event.season[:40]}` is no year",
                "write the lambing year, as in `2026`",
                "the date decides",
            )  # fmt: skip
    for payment in seen.facts.farm.money.left_out:
        if isinstance(payment.left_out, SamePayment):
            yield PAID_TWICE.at(
                payment.note.origin.span("amount"), f"this looks like {same_payment_words(payment.left_out)}",
                "take one of the two prices out, or add `sure: yes` here if both were paid", LEFT_OUT_OF_SUMS,
            )  # fmt: skip


def prices(seen: Seen) -> Iterator[Diagnostic]:
    """Prices of several sheep that do not say `each` or `total`."""
    for event in seen.linked.events:
        if isinstance(event, Sale | Purchase) and event.price and not event.price.basis and not event.sure:
            head = head_of(seen.linked, event)
            if head > 1:
                amount = event.price.text.strip()
                yield PRICE_UNCLEAR.at(
                    event.origin.span("price"), f"is {amount} for each of {head} sheep, or for all of them?",
                    f"write `{amount} each` or `{amount} total`", "it is counted as the price of all of them",
                )  # fmt: skip


def prices_of_how_much(seen: Seen) -> Iterator[Diagnostic]:
    """Prices by weight or by the piece in notes that do not say how much was sold."""
    for payment in {one.note.origin.path: one for one in seen.facts.farm.money.left_out}.values():
        note = payment.note
        price = note.paid if isinstance(note, Sale) else getattr(note, money_field(note))
        if not isinstance(payment.left_out, AmountUnclear) or price is None:
            continue
        cure = "write the sum, as in `640 total`"
        if isinstance(note, Sale) and price.basis in KG_EACH:
            cure = weight_wanted(seen, note)
        elif isinstance(note, MoneyNote):
            cure = f"write how many, as in `40 {price.basis}s at {price.amount:f}`"
        where = note.origin.span(money_field(note))
        yield PRICE_OF_HOW_MUCH.at(where, f"{price.text.strip()}: for how much?", cure, LEFT_OUT_OF_SUMS)


def weight_wanted(seen: Seen, sale: Sale) -> str:
    """The cure for a price by weight: the weight, or whose weight it is that was written."""
    if sale.weight is None:
        typed = f"{seen.settings.measures.example('{281 kg}')} total"
        return f"add what they weighed together, as in `weight: {typed}`, or write the sum, as in `640 total`"
    head, typed = heads(seen.linked, sale), sale.weight.text.strip()
    if sale.weight.many > 1:
        return f"{sale.weight.many} weights are written for {head} sheep: write one for each, or `weight: … total`"
    return f"write `weight: {typed} total` if that is all {head} together, or `weight: {typed} each`"


def money_field(note: Event) -> str:
    """The field of a note that holds its sum."""
    return "amount" if isinstance(note, MoneyNote) else note.paid_field if isinstance(note, Sale) else "price"


def prices_unlikely(seen: Seen) -> Iterator[Diagnostic]:
    """Prices for each sheep that no sheep fetches; each note is told once."""
    for payment in {one.note.origin.path: one for one in seen.facts.farm.money.left_out}.values():
        if isinstance(payment.left_out, PriceUnlikely):
            told = price_unlikely_words(payment.left_out)
            cure = "correct it, or add `sure: yes` to the note"
            yield PRICE_UNLIKELY.at(payment.note.origin.span("price"), told, cure, LEFT_OUT_OF_SUMS)


def mixed_signs(seen: Seen) -> Iterator[Diagnostic]:
    """Sums with another currency's sign than the first one's, where no setting says which is the flock's own."""
    first = ""
    for event in seen.linked.events if not seen.settings.currency else ():
        name = money_field(event)
        price = getattr(event, name) if isinstance(event, MoneyNote | Sale | Purchase | Hire | Stock) else None
        sign = next((one for one in price.text if one in CURRENCY_SIGNS), "") if price else ""
        first = first or sign
        if sign and sign != first and not event.sure:
            cure = "write `currency: …` into flock.yaml, and this sum in that currency; or add `sure: yes`"
            yield SIGNS_MIXED.at(event.origin.span(name), f"`{sign}` here, `{first}` in an earlier note", cure)


def head_of(flock: Flock, event: Sale | Purchase) -> int:
    """How many sheep a price is for."""
    return heads(flock, event) if isinstance(event, Sale) else len(event.lines)


def stock_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Stock of supplies that are nearly the name of another, amounts that cannot be read, and shelves below nought."""
    known = [note.name or "" for note in seen.linked.collection.of(Supply)]
    keys = {plain(name) for name in known}
    for event in seen.linked.of(Stock):
        if not event.supply or plain(event.supply) in keys:
            continue
        if guesses := near(event.supply, known, slips=2):
            what = f"no supply is called `{event.supply[:40]}`"
            yield STOCK_OF_NOTHING.at(event.origin.span("supply"), what, f"did you mean {listing(guesses)}?")
    for item in seen.facts.farm.kit.supplies:
        here = (item.note or item.stock[-1]).origin.span("need" if item.note and item.note.need else "have")
        for doubt in item.doubts:
            yield STOCK_UNREAD.at(
                here,
                f"{item.name}: {amount_fault_words(doubt)}",
                "correct the amount",
                "what is short is not worked out",
            )
        if item.have is not None and item.have < 0:
            last = item.stock[-1].origin.span("used") if item.stock else here
            text = f"{item.name}: {-item.have:f} {item.unit}".rstrip() + " more were used than there were"
            yield OVERDRAWN.at(last, text, "write what was bought, or a `counted` note", "it counts as none left")


def prices_in_bought(seen: Seen) -> Iterator[Diagnostic]:
    """Prices told in what was bought, of which the sums know nothing."""
    for event in seen.linked.of(Stock):
        told = PRICE_TOLD.search(event.bought or "")
        if told and event.price is None and not event.sure:
            text = f"`{told[0].strip()}` in `bought` is not counted as money"
            typed = price_to_type(event.bought or "", told)
            cure = f"write it as `price: {typed}` in this note; `sure: yes` if a money note has it"
            yield PRICE_IN_BOUGHT.at(event.origin.span("bought"), text, cure, LEFT_OUT_OF_SUMS)


def price_to_type(bought: str, told: re.Match[str]) -> str:
    """`40 bales at 6.50` where the price is for each, else `260 total`."""
    many = MANY_OF.match(bought) if told["piece"] or told["each"] else None
    return f"{many[1]} {many[2]} at {told['figure']}" if many else f"{told['figure']} total"


CHECKS = (
    Check("money", money_faults), Check("prices", prices), Check("prices of how much", prices_of_how_much),
    Check("stock", stock_faults), Check("signs of currencies", mixed_signs),
    Check("prices that cannot be", prices_unlikely), Check("prices in what was bought", prices_in_bought),
)  # fmt: skip
