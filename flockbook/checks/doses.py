"""Doses that do not fit the label as it was typed."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.shape import replace
from flockbook.checks.unread import by_name
from flockbook.derive.medicine.dose_arithmetic import Concern
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.plain.because import Reason
from flockbook.flock import Animal
from flockbook.records.health import Treatment
from flockbook.roll import ONE_YEAR, key_of
from flockbook.saying.because import words_of_reason
from flockbook.seen import Seen

DOSE_OFF_RATE = Rule(
    "M201", "dose-off-rate", Grade.WARNING, "The dose recorded is more than a tenth off what the typed rate gives for "
        "the weight.", "dose: 0.25 ml where the label gives 2.5 ml for her weight"
)  # fmt: skip
UNDER_MINIMUM = Rule(
    "M202",
    "dose-under-minimum",
    Grade.WARNING,
    "The label as typed names a least dose.",
    "label minimum: 1 ml, dose: 0.25 ml",
)
UNDER_AGE = Rule(
    "M203",
    "too-young-for-label",
    Grade.WARNING,
    "The label as typed names a least age.",
    "minimum age: 14 days, a lamb one day old",
)
ODD_DOSE = Rule(
    "M204", "dose-odd-for-size", Grade.ASK, "At the typed rate this dose would fit an animal of impossible size: "
        "often a decimal point has slipped.", "dose: 0.25 ml where 2.5 was meant"
)  # fmt: skip
EXCEPT_NAMED = Rule(
    "M205", "except-of-named", Grade.WARNING, "In a treatment `except` only takes sheep out of a mob or a class. "
        "Whoever is named, alone or in a range, counts as dosed.", "sheep: 101, 102\nexcept: 102\n"
)  # fmt: skip
RULES = (DOSE_OFF_RATE, UNDER_MINIMUM, UNDER_AGE, ODD_DOSE, EXCEPT_NAMED)
BY_KIND = {"off rate": DOSE_OFF_RATE, "under minimum": UNDER_MINIMUM, "under age": UNDER_AGE}
GROWN_KG = (20.0, 180.0)  # a grown sheep weighs between these (common practice, with room)
YOUNG_KG = (1.0, 90.0)  # a lamb under a year
NAMED_IN_GROUP = 3  # animals named one by one in a message; more are counted


def doses(seen: Seen) -> Iterator[Diagnostic]:
    """Each treatment once for each kind of concern, naming its animals."""
    facts: dict[str, list[DoseFact]] = {}
    for (path, _), fact in seen.facts.medicine.doses.items():
        facts.setdefault(path, []).append(fact)
    for event in seen.linked.of(Treatment):
        if not event.sure:
            yield from concerns(seen, event, facts.get(event.origin.path, []))
            yield from odd(seen, event, facts.get(event.origin.path, []))


def concerns(seen: Seen, event: Treatment, facts: list[DoseFact]) -> Iterator[Diagnostic]:
    """What the dose arithmetic found, by the heaviest it is found of; a dose on a line of its own is told there."""
    found: dict[tuple[Rule, int | None], list[tuple[DoseFact, Reason]]] = {}
    for fact, what in worth_telling(facts):
        found.setdefault((rule_of(what), fact.line), []).append((fact, what))
    for (rule, line), hits in found.items():
        names = sheep_named([seen.linked.animals[fact.sheep] for fact, _ in hits])
        span = event.origin.span("dose")
        yield rule.at(
            replace(span, line=line, column=1, length=1) if line else span,
            f"{names}: {words_of_reason(of_heaviest(hits))}",
            "check the dose against the label; ask your vet, or add `sure: yes`",
        )


def of_heaviest(hits: list[tuple[DoseFact, Reason]]) -> Reason:
    """What was found of the one that needed most."""
    return max(hits, key=lambda hit: hit[0].expected_ml or 0)[1]


def worth_telling(facts: list[DoseFact]) -> Iterator[tuple[DoseFact, Reason]]:
    """Every concern that is worth telling, and whatever else makes a dose against the label, with the sheep's dose. A
    group is dosed to its heaviest, so a dose over the rate counts for all of it, or for whoever is against the label
    for it (W9); one under the rate counts for whomever it left short.
    """
    off = sum(any(concern.kind == "off rate" for concern in fact.concerns) for fact in facts)
    whole = off >= sum(bool(fact.weight_kg) for fact in facts)
    for fact in facts:
        kinds = {what.kind for what in fact.against if isinstance(what, Concern)}
        always = whole or "off rate" in kinds
        yield from ((fact, what) for what in fact.concerns if what.kind != "off rate" or always or short(what))
        yield from ((fact, what) for what in fact.against if not isinstance(what, Concern))


def short(what: Concern) -> bool:
    """Whether a dose was less than the rate gives."""
    return what.found < what.limit


def rule_of(what: Reason) -> Rule:
    """Under which rule a concern is told; what is over the label's rate or dose is off the rate."""
    return BY_KIND[what.kind] if isinstance(what, Concern) else DOSE_OFF_RATE


def odd(seen: Seen, event: Treatment, facts: list[DoseFact]) -> Iterator[Diagnostic]:
    """A dose that only an impossible weight explains, where no weight is known."""
    medicines = medicines_called(seen.linked, event.medicine)
    rate = event.rate or (medicines[0].label_rate if len(medicines) == 1 else None)
    if rate is None or event.dose is None or event.date is None:
        return
    if rate.per_kg is None:
        return
    implied = event.dose.ml / rate.amount
    for fact in facts:
        born = seen.linked.animals[fact.sheep].born
        low, high = YOUNG_KG if born and (event.date - born.earliest).days < ONE_YEAR else GROWN_KG
        if fact.weight_kg is None and not low <= implied <= high:
            text = f"{event.dose.text} at {rate.text} would fit a sheep of {seen.settings.measures.weight(implied)}"
            yield ODD_DOSE.at(
                event.origin.span("dose"),
                f"{text} ({seen.linked.animals[fact.sheep].called_in_full})",
                "correct the dose, or add `sure: yes`",
            )
            return


def sheep_named(animals: list[Animal]) -> str:
    """Animals in a message."""
    if len(animals) > NAMED_IN_GROUP:
        return f"{len(animals)} sheep"
    return ", ".join(animal.called_in_full for animal in animals)


def excepted(seen: Seen) -> Iterator[Diagnostic]:
    """Sheep under `except` of a treatment who count as dosed all the same, because the note names them."""
    called = by_name(seen)
    for event in seen.linked.of(Treatment):
        dosed = set(seen.linked.who(event))
        for place, text in enumerate(event.except_):
            held = [animal for animal in called.get(key_of(text), ()) if animal.id in dosed]
            if held:
                yield EXCEPT_NAMED.at(
                    event.origin.span(f"except_[{place}]"),
                    f"`except` takes no sheep out that is named: {sheep_named(held)} counts as dosed",
                    f"if `{text}` got none, take it out of the sheep named, or write these without a range",
                )


CHECKS = (Check("doses", doses), Check("exceptions of a treatment", excepted))
