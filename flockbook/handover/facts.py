"""One JSON object with all facts, for checks and for other programs: format `flockbook-facts`, version 1.

Weights in kg, dates ISO, moments `YYYY-MM-DDTHH:MM`, shares 0-1; what is not known is null. Keys may be added, never
changed.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from compiler.book import Moment
from compiler.diagnostics import Diagnostic
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.breeding.facts import BreedingFacts
from flockbook.derive.breeding.mating import sires
from flockbook.derive.family.facts import FamilyFacts
from flockbook.derive.family.merits import ToldValue
from flockbook.derive.growth.adjusted_weights import in_window
from flockbook.derive.growth.facts import GrowthFacts
from flockbook.derive.lambing.facts import LambingFacts
from flockbook.derive.lambing.labours import OpenLabour
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborns import Newborn
from flockbook.derive.medicine.doses import DoseFact
from flockbook.derive.medicine.facts import MedicineFacts
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import Clearance
from flockbook.derive.medicine.withheld import Withheld
from flockbook.derive.plain.because import Because
from flockbook.flock import Animal, Flock, gone
from flockbook.handover import choosing, health, land, ledgers, returning, watch
from flockbook.handover import season as year
from flockbook.handover.values import figure, iso
from flockbook.saying.because import step_words
from flockbook.saying.newborns import by_hand_words
from flockbook.saying.standing import standing_words
from flockbook.seen import Seen


def facts_json(seen: Seen, pairs: Sequence[tuple[str, str]] = ()) -> str:
    """The facts as JSON text, keys in a fixed order."""
    return json.dumps(facts_object(seen, pairs), ensure_ascii=False, indent=1) + "\n"


def facts_object(seen: Seen, pairs: Sequence[tuple[str, str]] = ()) -> dict[str, Any]:
    """The facts as plain values."""
    facts = seen.facts
    return {
        "format": "flockbook-facts",
        "version": 1,
        "on": on(seen.today),
        "flock": seen.settings.flock,
        "sheep": [sheep(seen, animal) for animal in seen.linked.animals.values()],
        **of_breeding(facts.breeding),
        **of_lambing(facts.lambing),
        **of_medicine(seen.linked, facts.medicine),
        "going": [watch.going(item) for _, items in sorted(facts.market.gate.fitness.items()) for item in items],
        "early_losses": [health.early_loss_row(item) for item in facts.year.early_losses],
        "illness": health.illness(facts.health.cases),
        "egg_counts": health.reduction_rows(facts.health.worms.eggs),
        "growth": [growth_row(facts.growth, lamb) for lamb in sorted(facts.weights.gains)],
        **of_family(facts.family, pairs),
        "seasons": [year.season(item) for item in facts.season.seasons],
        "compare": year.compare_rows(facts.season.compare),
        "paddocks": land.paddocks(facts.land.grazing),
        "money": land.money_row(facts.farm.money),
        "supplies": land.supplies(facts.farm.kit),
        "feed": land.feed_row(facts.land.feed),
        "hay": land.hay(facts.land.feed),
        "reminders": [year.reminder(item) for item in facts.year.reminders if not item.done],
        "register": land.register(facts.farm.register),
        "counts": [year.head_count(item) for item in facts.farm.head_counts],
        "reasons": [choosing.choice(item) for item in facts.choosing.choices],
        "rams": choosing.rams(facts.choosing.rams),
        **ledgers.ledger_facts(seen),
        "diagnostics": [diagnostic(item) for item in seen.diagnostics],
    }


def of_breeding(found: BreedingFacts) -> dict[str, Any]:
    """Who is due, and when."""
    return {
        "due": [due_row_values(row) for row in found.due.rows],
        "forecast": [
            {"date": day.day.isoformat(), "expected_ewes": figure(day.expected), "low": day.low, "high": day.high}
            for day in found.forecast.days
        ],
        "joinings": [watch.joining(item) for item in found.joinings],
        "not_expected": [watch.not_expected(item) for item in found.due.not_expected],
    }


def of_lambing(found: LambingFacts) -> dict[str, Any]:
    """Births, and what is owed after them."""
    return {
        "labours": [labour(item) for item in found.labours],
        "lambings": [lambing(fact) for fact in found.births],
        "born": returning.born(found.births),
        "colostrum": [colostrum_row(item) for item in found.newborns],
        "owed": [watch.owed_row(item) for item in found.open_items],
        "fosters": [watch.foster(item) for item in found.fosters],
        "nights": [watch.night(item) for item in found.nights],
        "patterns": watch.pattern_rows(found.patterns, found.birth_lines),
    }


def of_medicine(flock: Flock, found: MedicineFacts) -> dict[str, Any]:
    """Who is clear, what is to be mended first, and what was given."""
    return {
        "clearance": [clearance(flock, row) for _, row in sorted(found.guard.standing.items())],
        "withheld": [withheld(row) for row in found.withheld.rows],
        "doses": [dose(fact) for fact in found.doses.values()],
        "given": returning.given(flock, found.register),
    }


def of_family(found: FamilyFacts, pairs: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """Relationship of the pairs asked for, of every ram with every ewe, and breeding values."""
    kin, merits = found.kin, sorted(found.merit.by_sheep.items())
    return {
        "kinship": [{"a": a, "b": b, "relationship": figure(kin.relationship(a, b))} for a, b in pairs],
        "pairing": [
            {"ram": item.ram, "ewe": item.ewe, "inbreeding": figure(kin.lambs_inbreeding(item))}
            for item in kin.pairings
        ],
        "merit": [merit(sheep, told) for sheep, values in merits for told in values],
    }


def on(today: Moment) -> str:
    """The day or moment asked about."""
    return today.at.strftime("%Y-%m-%dT%H:%M") if today.timed else today.day.isoformat()


def sheep(seen: Seen, animal: Animal) -> dict[str, Any]:
    """One animal."""
    possible = sires(seen.facts.breeding.matings, animal)
    left = gone(animal, seen.today)
    return {
        "id": animal.id, "tag": animal.tag, "name": animal.name, "sex": animal.sex,
        "born": animal.born.shown.removeprefix("about ") if animal.born else None,
        "dam": animal.dam, "sire": possible[0] if len(possible) == 1 else None, "sires_possible": list(possible),
        "status": status(animal, seen.today), "left": left.date.isoformat() if left else None,
        "mob": animal.mob_on(seen.today.day),
        "paddock": seen.facts.land.grazing.place_of(animal.id),
        "inbreeding": figure(seen.facts.family.kin.sure_inbreeding(animal.id)),
        "generations_known": figure(seen.facts.family.kin.generations.get(animal.id)),
        "parity": parity(seen, animal), **ledgers.paper_values(animal),
    }  # fmt: skip


def parity(seen: Seen, animal: Animal) -> int | None:
    """How often a ewe has lambed, by the notes and by old records."""
    if animal.sex != "ewe":
        return None
    born = seen.facts.lambing
    return sum(fact.ewe == animal.id for fact in born.births) + len(born.past.by_ewe.get(animal.id, ()))


def status(animal: Animal, today: Moment) -> str:
    """alive, dead, sold, or not yet born (for an animal bought later: not yet here)."""
    left = gone(animal, today)
    if left is not None:
        return "dead" if left.dead else "returned" if animal.lent else "sold"
    born = animal.birthday or (animal.born.earliest if animal.born else None)
    if born and (born > today.day or (born == today.day and not today.timed and animal.birth is not None)):
        return "not yet born"
    return "not yet here" if animal.arrived and animal.arrived > today.day else "alive"


def due_row_values(row: DueRow) -> dict[str, Any]:
    """One row of the due list."""
    item = row.due
    return {
        "ewe": row.ewe, "season": row.season, "basis": item.basis.value, "earliest": iso(item.earliest),
        "p10": iso(item.p10),
        "likely": iso(item.likely), "p90": iso(item.p90), "latest": iso(item.latest),
        "barren_chance": figure(item.barren_chance),
        "lambs_scanned": row.lambs_scanned, "rams": list(row.rams),
    }  # fmt: skip


def labour(item: OpenLabour) -> dict[str, Any]:
    """One open labour."""
    clock = item.clock
    times = {"since": clock.since, "look_again": clock.look_again, "step_in": clock.step_in, "ring_vet": clock.ring_vet}
    asks = item.standing.value if item.standing else None
    return {
        "ewe": item.ewe, **{name: at.strftime("%Y-%m-%dT%H:%M") for name, at in times.items()}, "open": True,
        "offsets": {name: f"{clock.said(at):%z}" or None for name, at in times.items()},
        "helped": clock.helped.strftime("%Y-%m-%dT%H:%M") if clock.helped else None, "asks": asks, "note": item.note,
    }  # fmt: skip


def colostrum_row(item: Newborn) -> dict[str, Any]:
    """One newborn's need, in mL."""
    need, first = item.need, item.first
    return {
        "lamb": item.lamb.id,
        "per_feed_ml": figure(need.feed_ml) if need else None,
        "day_ml": figure(need.day_ml) if need else None,
        "recorded_ml": figure(item.recorded_ml),
        "owed_ml": figure(item.owed_ml),
        "by_hand": by_hand_words(item.by_hand) if item.by_hand else None,
        "first_by": first.by.strftime("%Y-%m-%dT%H:%M") if first else None,
    }


def lambing(fact: LambingFact) -> dict[str, Any]:
    """One birth."""
    event = fact.event
    return {
        "ewe": fact.ewe, "date": iso(event.date), "time": event.time.strftime("%H:%M") if event.time else None,
        "season": fact.season,
        "help": fact.help, "born": fact.born, "alive": fact.alive, "lambs": [lamb.id for lamb in fact.lambs],
        "gestation_days": fact.gestation_days, "sires_possible": list(fact.sires), "note": fact.note,
    }  # fmt: skip


def dose(fact: DoseFact) -> dict[str, Any]:
    """One dose beside what it should have been, in mL."""
    return {
        "note": fact.note,
        "sheep": fact.sheep,
        "expected_ml": figure(fact.expected_ml),
        "recorded_ml": figure(fact.recorded_ml),
        "sites": fact.sites,
    }


def clearance(flock: Flock, row: Clearance) -> dict[str, Any]:
    """Where one living animal stands."""
    return {
        "sheep": row.sheep, "meat": state_row(flock, row, MEAT), "milk": state_row(flock, row, MILK),
        "because": [step_row(item) for item in row.because], "sucking": row.sucking,
    }  # fmt: skip


def state_row(flock: Flock, row: Clearance, product: str) -> dict[str, Any]:
    """A state with its release, and in the words of the book: of a lamb at the foot of a held ewe these ask (V14)."""
    item = row.of(product)
    asked = product == MEAT and row.clear and not row.plainly_clear
    return {"state": "ask" if asked else item.state, "until": item.shown, "words": standing_words(flock, row, product)}


def withheld(row: Withheld) -> dict[str, Any]:
    """One note to mend: whom it withholds, or which dosed sheep it leaves without a date."""
    return {
        **step_row(row.why), "cure": row.cure,
        "everybody": row.everybody, "dosed": row.dosed, "count": len(row.sheep), "sheep": list(row.sheep),
    }  # fmt: skip


def step_row(item: Because) -> dict[str, Any]:
    """One step of a working."""
    return {"note": item.note, "line": item.line, "rule": item.rule, "text": step_words(item)}


def growth_row(found: GrowthFacts, lamb: str) -> dict[str, Any]:
    """One animal's weights and gain, and its weight on common footing."""
    item, row = found.weights.gains[lamb], found.adjusted.get(lamb)
    dam, sex, kind = row.factors if row else (None, None, None)
    return {
        "lamb": item.sheep, "birth_kg": figure(item.birth_kg),
        "weights": [{"date": weight.date.isoformat(), "kg": figure(weight.kg)} for weight in item.weights],
        "adg_kg": figure(item.adg),
        "target_age": row.target if row else None,
        "weight_at_target_kg": figure(row.at_target) if row else None,
        "factors": {"dam": dam, "sex": sex, "type": kind} if row else None,
        "adjusted_kg": figure(row.adjusted) if row else None,
        "ratio": figure(row.ratio) if row else None,
        "in_window": in_window(row.age, row.target) if row else None,
        "birth_assumed_kg": figure(row.birth_assumed) if row else None,
        "at_weaning": row.at_weaning if row else None,
        "group_size": row.group_size if row else None,
        "group_target_age": row.group_target if row else None,
        "group_in_window": row.in_window if row else None,
        "group_adjusted_kg": figure(row.in_group) if row else None,
        "own_adjusted_kg": figure(found.own_effects.weights.get(lamb)),
        "own_ratio": figure(found.own_effects.ratios.get(lamb)),
        "because": [step_row(step) for step in (row.because if row else item.because)],
    }  # fmt: skip


def merit(sheep: str, told: ToldValue) -> dict[str, Any]:
    """One breeding value; `telling` is false where its reliability is too little to say anything."""
    item = told.merit
    return {
        "sheep": sheep, "trait": told.trait, "value": figure(item.value), "reliability": figure(item.reliability),
        "error": figure(item.error), "records": item.records, "telling": told.telling,
    }  # fmt: skip


def diagnostic(item: Diagnostic) -> dict[str, Any]:
    """One message."""
    return {
        "code": item.code, "name": item.name, "grade": item.grade.value, "message": item.message, "help": item.help,
        "meanwhile": item.meanwhile, "path": item.span.path, "line": item.span.line, "column": item.span.column,
    }  # fmt: skip


def pairs_asked(pairs: str) -> Iterator[tuple[str, str]]:
    """`A,B C,D` as pairs."""
    for pair in pairs.split():
        one, _, other = pair.partition(",")
        yield one, other
