"""Papers that contradict themselves: hires, prices of sales, registry numbers, genotypes, the seller's medicines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.farm.payments import heads, price_in_total, weight_of_all
from flockbook.derive.medicine.organic import organic_rule
from flockbook.derive.medicine.periods import MEAT
from flockbook.derive.plain.days import day_words
from flockbook.flock import Animal, happened, there
from flockbook.records.breeding import Hire
from flockbook.records.trade import Purchase, Sale
from flockbook.roll import key_of
from flockbook.seen import Seen
from flockbook.whom.days import days_told

HIRED_IS_OWN = Rule(
    "E101", "hire-of-own-sheep", Grade.ERROR,
    "A hired ram belongs to somebody else. The tag in this note is worn by a sheep of the flock, so the note would "
    "make two of one.", "2026-10-20 hire.md with `ram: C214`, while C214 Bramble is alive",
)  # fmt: skip
HIRE_ENDS_FIRST = Rule(
    "E102", "hire-ends-before-it-begins", Grade.ERROR, "A ram cannot go back before he came; `until` is not used.",
    "2026-10-20 hire.md with `until: 2026-10-01`",
)  # fmt: skip
HIRED_AGAIN = Rule(
    "E103", "hired-while-here", Grade.ASK,
    "A ram that is here already is hired again: the day on which he went back was perhaps not written.",
    "two hire notes of one ram, the first without `until`",
)  # fmt: skip
HIRED_SOLD = Rule(
    "E104", "hired-ram-sold", Grade.ERROR, "Nobody sells another's ram: he goes back, which is `until` in his hire.",
    "a sale of a ram that a hire note brought",
)  # fmt: skip
PRICED_TWICE = Rule(
    "E105", "priced-twice", Grade.ERROR,
    "A sale has one price: `price`, or `price per kg`, or `price per lb`. The first of them counts.",
    "price: 94 each\nprice per kg: 2.40\n",
)  # fmt: skip
NO_PRICE_OF_WEIGHT = Rule(
    "E106", "price-of-weight-in-total", Grade.ASK,
    "`price per kg` and `price per lb` are for one kilogram or pound; a word that says otherwise makes the sum "
    "doubtful.",
    "price per kg: 94 each\n",
)  # fmt: skip
REGISTRY_SHARED = Rule(
    "E107", "registry-number-on-two", Grade.ERROR,
    "A breed society gives each sheep a number of its own: one of them was read or typed wrong.",
    "registry: 12345 in two sheep notes",
)  # fmt: skip
GENOTYPE_ODD = Rule(
    "E108", "genotype-against-parents", Grade.ASK,
    "A lamb has one half of its genotype from either parent. Where it has none of a parent's, one of the results, or "
    "the parent, is wrong.", "genotype: ARQ/VRQ, and its dam's ARR/ARR",
)  # fmt: skip
ORGANIC_UNRULED = Rule(
    "E109", "organic-without-a-rule", Grade.GAP,
    "Organic rules mostly ask for a longer wait after a medicine than the label. The book assumes none: it must be "
    "typed.",
    "organic: yes in a sheep note, and no `organic withdrawal` in flock.yaml",
)  # fmt: skip
TREATED_VAGUE = Rule(
    "E110", "seller-treated-vaguely", Grade.WARNING,
    "What the seller gave can be counted only with the medicine's name and the day. Until a treatment note has both, "
    "the bought sheep are held.", "treated: yes",
)  # fmt: skip
TREATED_LATER = Rule(
    "E111", "seller-treated-after-the-sale", Grade.ASK, "A seller treats before the sheep come; later it was you.",
    "2026-06-01 purchase.md with `treated: moxidectin oral, 2026-06-09`",
)  # fmt: skip
TREATED_TO_WRITE = Rule(
    "E113", "sellers-treatment-to-write", Grade.WARNING,
    "What the seller gave is counted from a treatment note of its own. Until it is written the bought sheep are held "
    "without an end; the line in the purchase is no dose.", "treated: moxidectin oral, 2026-05-30",
)  # fmt: skip
KEPT_TOO_MUCH = Rule(
    "E112", "commission-over-the-price", Grade.ASK, "A mart keeps a small part of a price, never more than half of it.",
    "price: 90 total\ncommission: 60 total\n",
)  # fmt: skip
HELD_BOUGHT = "the bought sheep are held"
NOTHING_GIVEN = ("no", "none", "nothing", "not", "never", "n/a", "nil", "-")
RULES = (
    HIRED_IS_OWN, HIRE_ENDS_FIRST, HIRED_AGAIN, HIRED_SOLD, PRICED_TWICE, NO_PRICE_OF_WEIGHT, REGISTRY_SHARED,
    GENOTYPE_ODD, ORGANIC_UNRULED, TREATED_VAGUE, TREATED_LATER, TREATED_TO_WRITE, KEPT_TOO_MUCH,
)  # fmt: skip
# A genotype in two halves: `ARR/ARQ`, `ARR ARQ`, or two letters of codon 171 (`RR`, `QR`).
HALVES = re.compile(r"\b([A-Z]{3})\s*[/ ]\s*([A-Z]{3})\b|\b([RQHK])\s*/?\s*([RQHK])\b")
MOST_OF_A_PRICE = Decimal(2)


def hires(seen: Seen) -> Iterator[Diagnostic]:
    """Hires of one's own sheep, that end before they begin, or begin while the ram is here."""
    for event in seen.linked.of(Hire):
        ram = next((seen.linked.animals[one] for one in seen.linked.who(event)), None)
        if event.tag and (ram is None or event not in ram.hires):
            cure = "write the tag that the hired ram wears"
            text = f"`{event.tag[:40]}` is {ram.called_in_full if ram else 'one'} of the flock's own"
            yield HIRED_IS_OWN.at(event.origin.span("ram"), text, cure, "no ram is hired by this note")
        if event.until and event.date and event.until < event.date:
            text = f"he would go back on {day_words(event.until)}, before he came on {day_words(event.date)}"
            yield HIRE_ENDS_FIRST.at(event.origin.span("until"), text, "correct one of the days", "he counts as here")
        if ram is not None and (before := here_before(ram, event)) and not event.sure:
            text = f"{ram.called_in_full} was hired on {day_words(before.date) if before.date else 'an earlier day'}"
            cure = f"write `until: …` into {before.origin.path}, or add `sure: yes` here"
            yield HIRED_AGAIN.at(event.origin.span("ram"), f"{text} and has not gone back", cure)


def here_before(ram: Animal, event: Hire) -> Hire | None:
    """An earlier hire that had not ended when this one begins."""
    for other in ram.hires:
        earlier = other is not event and other.date and event.date and other.date <= event.date
        if earlier and event.date and (other.until is None or other.until > event.date):
            return other
    return None


def hired_sold(seen: Seen) -> Iterator[Diagnostic]:
    """Sales of rams that only stood here."""
    for event in seen.linked.of(Sale):
        for sheep in seen.linked.who(event):
            animal = seen.linked.animals[sheep]
            if animal.lent:
                text = f"{animal.called_in_full} was hired: he is not the flock's to sell"
                hire = animal.hires[-1].origin.path
                cure = f"write `until: …` into {hire} instead, or a purchase note if you bought him"
                yield HIRED_SOLD.at(event.origin.span("sheep[0]"), text, cure)


def sale_prices(seen: Seen) -> Iterator[Diagnostic]:
    """Prices that stand twice or speak of something else than a weight, and commissions over half of the price."""
    for event in seen.linked.of(Sale):
        typed = [name for name in ("price", "price_per_kg", "price_per_lb") if getattr(event, name)]
        for name in typed[1:]:
            text = f"this sale has a `{typed[0].replace('_', ' ')}` already"
            yield PRICED_TWICE.at(event.origin.span(name), text, "keep one of the two", "the first one counts")
        for name in ("price_per_kg", "price_per_lb"):
            money = getattr(event, name)
            if money and money.basis not in ("", name[-2:]) and not event.sure:
                text = f"`{money.text.strip()}` is no price of a {'kilogram' if name.endswith('kg') else 'pound'}"
                yield NO_PRICE_OF_WEIGHT.at(event.origin.span(name), text, "write `2.40`, or the sum under `price`")
        yield from kept_too_much(seen, event)


def kept_too_much(seen: Seen, event: Sale) -> Iterator[Diagnostic]:
    """A commission over half of its price."""
    head = heads(seen.linked, event)
    if event.commission is None or event.paid is None or not head or event.sure:
        return
    total = price_in_total(event.paid, head, weight_of_all(seen.linked, event, head))
    if total is not None and event.commission.of(total, head) * MOST_OF_A_PRICE > total:
        text = f"a commission of {event.commission.of(total, head):f} is over half of {total:f}"
        yield KEPT_TOO_MUCH.at(event.origin.span("commission"), text, "correct it, or add `sure: yes`")


def registries(seen: Seen) -> Iterator[Diagnostic]:
    """Registry numbers that two sheep carry."""
    found: dict[str, Animal] = {}
    for animal in sorted(seen.linked.animals.values(), key=lambda one: one.id):
        if animal.note is None or not animal.note.registry:
            continue
        other = found.setdefault(key_of(animal.note.registry), animal)
        if other is not animal and other.note:
            text = f"`{animal.note.registry[:40]}` is on {other.called_in_full} and {animal.called_in_full}"
            also = (other.note.origin.span("registry"),)
            yield REGISTRY_SHARED.at(animal.note.origin.span("registry"), text, "read both papers again", also=also)


def genotypes(seen: Seen) -> Iterator[Diagnostic]:
    """Genotypes of which neither half is a parent's."""
    animals = seen.linked.animals
    for animal in animals.values():
        own = halves(animal)
        parents = [animals[one] for one in (animal.dam, *animal.declared_sires[:1]) if one] if own else []
        for parent in parents if len(animal.declared_sires) < 2 else parents[:1]:
            theirs = halves(parent)
            if theirs and len(own[0]) == len(theirs[0]) and not set(own) & set(theirs) and animal.note:
                text = f"{'/'.join(own)} has no half of {parent.called_in_full}'s {'/'.join(theirs)}"
                cure = "read both results again, or correct the parent"
                yield GENOTYPE_ODD.at(animal.note.origin.span("genotype"), text, cure)


def halves(animal: Animal) -> tuple[str, ...]:
    """The two halves of a genotype; nothing where it is written otherwise."""
    match = HALVES.search(animal.note.genotype.upper()) if animal.note and animal.note.genotype else None
    return tuple(part for part in match.groups() if part) if match else ()


def organic(seen: Seen) -> Iterator[Diagnostic]:
    """Organic sheep in a flock whose settings say nothing of how long they wait."""
    rule = organic_rule(seen.linked, seen.settings)
    here = sorted(one for one in rule.sheep if there(seen.linked.animals[one], seen.today))
    if here and rule.by is None and not rule.unread:
        note = seen.linked.animals[here[0]].note
        typed = note is not None and note.organic is not None
        span = note.origin.span("organic") if note and typed else seen.settings.file.origin.span("organic")
        text = f"{len(here)} organic sheep, and how much longer they wait after a medicine is not written"
        cure = "add `organic withdrawal: twice, at least 48 h` to flock.yaml, or what your control body asks for"
        yield ORGANIC_UNRULED.at(span, text, cure, "the label's periods are used, and nothing longer")


def sellers_treatments(seen: Seen) -> Iterator[Diagnostic]:
    """What a seller gave, where the medicine or the day is wanting, or the day lies after the sheep came."""
    for event in seen.linked.of(Purchase):
        if not event.treated or not happened(event, seen.today):
            continue
        assert event.date is not None
        span, days = event.origin.span("treated"), list(days_told(event.treated, event.date.year))
        known = [name for name in seen.linked.medicines if name and name in key_of(event.treated)]
        if key_of(event.treated) in NOTHING_GIVEN:
            text = f"`treated: {event.treated}` reads as something given"
            yield TREATED_VAGUE.at(span, text, "if the seller gave nothing, take the line out", HELD_BOUGHT)
        elif not days or not known:
            what = "no day" if known else "no medicine of the cupboard"
            cure = (
                "ask the seller what it was and when; write its note in `medicines/` with the meat withdrawal of its "
                f"label, then {note_to_write(seen, event, 'MEDICINE', 'DAY')}"
            )
            yield TREATED_VAGUE.at(span, f"`{event.treated[:40]}` names {what}", cure, HELD_BOUGHT)
        elif min(days) > event.date:
            text = f"{day_words(min(days))} is after they came"
            cure = "correct the day; what you gave yourself is a treatment note"
            yield TREATED_LATER.at(span, text, cure, HELD_BOUGHT)
        elif still_held(seen, event):
            product = seen.linked.medicines[max(known, key=len)][0].name or event.treated
            cure = note_to_write(seen, event, product, max(days).isoformat())
            text = f"{listed_tags(seen, event)} held until this treatment has a note of its own"
            yield TREATED_TO_WRITE.at(span, text, cure, HELD_BOUGHT)


def still_held(seen: Seen, event: Purchase) -> bool:
    """Whether what the seller gave still holds any of the bought sheep."""
    standing = seen.facts.medicine.guard.standing
    rows = (standing[sheep] for sheep in seen.linked.who(event) if sheep in standing)
    return any(hold.because.note == event.origin.path for row in rows for hold in row.deciding(MEAT))


def note_to_write(seen: Seen, event: Purchase, product: str, given: str) -> str:
    """The treatment note that lets the bought sheep out in its time, as it is to be typed."""
    name = f"{event.date} treatment.md" if event.date else "treatment.md"
    return (
        f"write the note `{name}` with the lines `sheep: {listed_tags(seen, event)}`, `medicine: {product}` and "
        f"`given: {given}`; the waiting days are then counted from that day"
    )


def listed_tags(seen: Seen, event: Purchase) -> str:
    """116, 117."""
    return ", ".join(seen.linked.animals[one].tag or seen.linked.animals[one].called for one in seen.linked.who(event))


CHECKS = (
    Check("hires", hires), Check("hired rams sold", hired_sold), Check("prices of sales", sale_prices),
    Check("registry numbers", registries), Check("genotypes", genotypes), Check("organic sheep", organic),
    Check("sellers' treatments", sellers_treatments),
)  # fmt: skip
