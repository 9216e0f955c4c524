"""Ledgers and books of the year as plain values: hire, movements, the scan's groups, frozen colostrum, fleeces, losses,
ages, the wheel, the health review, old records. Weights in kg, volumes in mL, money to the cent, dates ISO.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from flockbook.derive.breeding.scan_sorting import ScanSorting
from flockbook.derive.farm.ages import AgeBook
from flockbook.derive.farm.fleeces import FleeceYear
from flockbook.derive.farm.flock_register import FlockRegister
from flockbook.derive.farm.loss_worth import LossOf, SeasonLosses
from flockbook.derive.farm.supply_use import SupplyUse
from flockbook.derive.health.worms import NextLook
from flockbook.derive.lambing.colostrum_store import ColostrumStore, Lot, StoreEntry
from flockbook.derive.lambing.past_births import PastBook
from flockbook.derive.year.health_review import HealthReview, ReviewYear
from flockbook.derive.year.wheel import WheelRow
from flockbook.flock import Animal, Flock
from flockbook.handover.land import amount_number, cent
from flockbook.handover.season import share
from flockbook.handover.values import figure, iso
from flockbook.records.breeding import Hire
from flockbook.saying.year import deed_words
from flockbook.seen import Seen


def ledger_facts(seen: Seen) -> dict[str, Any]:
    """All of them."""
    facts = seen.facts
    return {
        "hired": hired(seen.linked),
        "movements": movements(facts.farm.register),
        "scan_sorting": scan_rows(facts.breeding.scan_sorting),
        "colostrum_store": store_rows(facts.lambing.colostrum_store),
        "colostrum_ledger": [ledger_row(entry) for entry in facts.lambing.colostrum_store.entries],
        "fleeces": fleece_rows(facts.farm.fleeces),
        "losses": [losses_row(item) for item in facts.farm.losses],
        "ages": age_rows(facts.farm.ages),
        "cull_rates": rate_rows(facts.farm.ages),
        "year_wheel": [wheel_row(row) for row in facts.year.wheel],
        "health_review": review_rows(facts.year.health_review),
        "past_seasons": past_seasons(facts.lambing.past),
        "past_lambings": past_lambings(facts.lambing.past),
        "supplies_used": [used_row(item) for item in facts.farm.used],
        "next_worm_check": next_look_row(facts.health.worms.next_look),
    }


def paper_values(animal: Animal) -> dict[str, Any]:
    """What a sheep's own note says of its papers."""
    note = animal.note
    return {
        "registry": note.registry if note else None, "genotype": note.genotype if note else None,
        "organic": note.organic if note else None, "hired": animal.lent,
    }  # fmt: skip


def hired(flock: Flock) -> list[dict[str, Any]]:
    """Every hire of a ram."""
    return [
        {
            "sheep": next(iter(flock.who(event)), None), "from": event.from_, "since": iso(event.date),
            "until": iso(event.until), "price": cent(event.price.amount) if event.price else None,
            "document": event.document, "holding": event.holding, "note": event.origin.path,
        }
        for event in flock.of(Hire)
    ]  # fmt: skip


def movements(found: FlockRegister) -> list[dict[str, Any]]:
    """Every movement on and off the holding."""
    return [
        {
            "date": iso(one.day), "way": "on" if one.onto else "off", "head": one.head, "sheep": list(one.sheep),
            "party": one.party or None, "document": one.document or None, "holding": one.holding or None,
            "haulier": one.haulier or None, "vehicle": one.vehicle or None, "hired": one.hired,
            "keep_until": iso(one.keep_until), "note": one.note.origin.path,
        }
        for one in found.movements
    ]  # fmt: skip


def scan_rows(found: ScanSorting) -> list[dict[str, Any]]:
    """The last scanning's ewes; those not scanned have no note."""
    rows = [
        {"ewe": item.ewe, "lambs": item.lambs, "days": item.days, "mark": item.mark or None, "note": item.note}
        for item in found.ewes
    ]
    return [*rows, *({"ewe": ewe, "lambs": None, "days": None, "mark": None, "note": None} for ewe in found.unscanned)]


def lot_row(lot: Lot) -> dict[str, Any]:
    """Whose, and when frozen."""
    return {"donor": lot.donor, "source": lot.source or None, "frozen": iso(lot.frozen)}


def store_rows(found: ColostrumStore) -> list[dict[str, Any]]:
    """What is left, lot by lot; then in all."""
    rows = [{**lot_row(one.lot), "put_in_ml": figure(one.put_in), "left_ml": figure(one.left)} for one in found.lots]
    whole = {**lot_row(Lot(None, "", None)), "put_in_ml": None, "left_ml": figure(found.left)}
    return [*rows, whole] if found.entries else []


def ledger_row(entry: StoreEntry) -> dict[str, Any]:
    """One line of the ledger."""
    return {
        "date": iso(entry.day), "what": entry.move.name.lower(), **lot_row(entry.lot), "ml": figure(entry.ml),
        "sheep": list(entry.heads), "note": entry.note.origin.path,
    }  # fmt: skip


def fleece_rows(found: Iterable[FleeceYear]) -> list[dict[str, Any]]:
    """Every fleece, with what wool brought in its year."""
    return [
        {
            "year": year.year, "date": iso(one.day), "sheep": list(one.sheep), "head": one.heads, "kg": figure(one.kg),
            "class": one.fleece_class or None, "before_kg": figure(one.before_kg), "note": one.note,
            "wool_income_of_year": cent(year.income),
        }
        for year in found
        for one in year.fleeces
    ]  # fmt: skip


def losses_row(item: SeasonLosses) -> dict[str, Any]:
    """One season's losses."""
    return {
        "season": item.season, "cost": cent(item.cost), "per_ewe_exposed": cent(item.each_ewe),
        "sorts": [loss_row(part) for part in item.sorts], "by_stage": [loss_row(part) for part in item.by_stage],
        "by_cause": [loss_row(part) for part in item.by_cause],
    }  # fmt: skip


def loss_row(part: LossOf) -> dict[str, Any]:
    """So many lost of one sort."""
    each, cost = cent(part.each), cent(part.cost)
    return {"what": part.sort, "head": part.heads, "each": each, "typed": part.typed, "cost": cost}


def age_rows(found: AgeBook) -> list[dict[str, Any]]:
    """Ewes by age in whole years; null: no birth is written."""
    return [{"years": band.years, "or_more": band.last, "ewes": list(band.ewes)} for band in found.bands]


def rate_rows(found: AgeBook) -> list[dict[str, Any]]:
    """Went, died, came, by season."""
    return [
        {
            "season": one.season, "left": share(one.left), "died": share(one.died), "came": share(one.came),
            "whole": one.whole, "mean_age": figure(one.mean_age),
        }
        for one in found.rates
    ]  # fmt: skip


def wheel_row(row: WheelRow) -> dict[str, Any]:
    """One thing of the year."""
    return {
        "what": row.part.value, "words": deed_words(row.what) if row.what else None, "first": iso(row.first),
        "last": iso(row.last), "season": row.season, "planned": row.planned, "note": row.note,
    }  # fmt: skip


def review_rows(found: HealthReview) -> list[dict[str, Any]]:
    """The health of each season of the review."""
    return [review_row(year) for year in found.years]


def review_row(year: ReviewYear) -> dict[str, Any]:
    """One season's health."""
    return {
        "season": year.season, "exposed": year.exposed, "lambed": year.lambed, "born": year.born, "alive": year.alive,
        "dead_by_stage": dict(year.dead_by_stage), "ewe_deaths": year.ewe_deaths, "abortions": year.abortions,
        "cases": dict(year.cases), "open_cases": year.open_cases,
        "medicines": [
            {"kind": use.kind or None, "treatments": use.treatments, "head": use.heads, "ml": figure(use.ml)}
            for use in year.medicines
        ],
        "eyelid_checks": sum(bool(item.eyelids) for item in year.worm_checks), "mobs_drenched": year.group_drenches,
        "conditions": [
            {"date": iso(item.date), "for": item.purpose or None, "mean": figure(item.mean_condition)}
            for item in year.worm_checks if item.conditions
        ],
    }  # fmt: skip


def past_seasons(found: PastBook) -> list[dict[str, Any]]:
    """Seasons of old records."""
    return [
        {
            "season": item.season, "ewes": item.ewes, "born": item.lambs, "alive": item.alive,
            "fates": {fate or "not written": count for fate, count in item.fates.items()}, "helped": item.helped,
            "help_written": item.help_written, "notes": list(item.notes), "from": "old records",
        }
        for item in found.seasons
    ]  # fmt: skip


def past_lambings(found: PastBook) -> list[dict[str, Any]]:
    """Litters of old records; `doubled`: a lambing note tells of the same birth."""
    return [
        {
            "ewe": item.ewe, "called": item.called or None, "born": item.born.shown, "doubled": item.doubled,
            "lambs": [
                {
                    "sex": line.sex, "kg": figure(line.weight.kg if line.weight else None), "tag": line.tag,
                    "fate": line.fate or None, "helped": line.helped,
                }
                for line in item.lambs
            ],
            "note": item.note,
        }
        for item in found.births
    ]  # fmt: skip


def used_row(item: SupplyUse) -> dict[str, Any]:
    """One supply by last season's use."""
    return {
        "supply": item.name, "unit": item.unit, "season": item.season, "used": amount_number(item.used),
        "births": item.births, "expected": item.expected, "need": amount_number(item.need),
        "have": amount_number(item.have), "short": amount_number(item.short),
    }  # fmt: skip


def next_look_row(found: NextLook | None) -> dict[str, Any] | None:
    """The published days of the next look at eyelids."""
    return {"last": iso(found.last), "first": iso(found.earliest), "latest": iso(found.latest)} if found else None
