"""Ground, money, supplies and the register as plain values for the facts file: per hectare, money to the cent."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from flockbook.derive.farm.budget import Entered, cents
from flockbook.derive.farm.flock_register import FlockRegister
from flockbook.derive.farm.kit import Kit
from flockbook.derive.farm.money import MoneyBook, MoneySeason
from flockbook.derive.land.feed import FeedBook
from flockbook.derive.land.grazing import Grazing, Ground
from flockbook.handover.values import figure, iso
from flockbook.saying.because import step_words
from flockbook.saying.kit import amount_fault_words


def paddocks(found: Grazing) -> list[dict[str, Any]]:
    """One row for each ground, pens too."""
    return [paddock(ground) for ground in found.ground.values()]


def paddock(ground: Ground) -> dict[str, Any]:
    """One ground: the grazing that is running, else the last one; sheep-days of the last 365 nights per hectare."""
    last = ground.periods[-1] if ground.periods else None
    return {
        "paddock": ground.name,
        "mob": ground.standing[0][0] if ground.standing else None,
        "head": ground.head,
        "since": iso(ground.now.entered) if ground.now else None,
        "days_grazed": last.nights if last else None,
        "last_left": iso(ground.last_left),
        "days_rested": ground.rested,
        "return_from": iso(ground.return_from),
        "leave_by": iso(ground.leave_by),
        "days_over": ground.over,
        "rest_planned": ground.rest_days,
        "rests_given": [one.rested for one in ground.periods if one.rested is not None],
        "density": figure(ground.density),
        "sheep_days": figure(ground.sheep_days),
        "sheep_days_per_area": figure(ground.per_hectare),
        "because": [
            {"note": item.note, "line": item.line, "rule": item.rule, "text": step_words(item)}
            for item in ground.because
        ],
    }


def money_row(found: MoneyBook) -> list[dict[str, Any]]:
    """One row for each season with any money; costs and margin leave own labour out, `by_kind` holds the costs."""
    return [money_season(season) for season in found.seasons]


def money_season(season: MoneySeason) -> dict[str, Any]:
    """One season's sums, each rounded once to the cent."""
    made = season.budget
    return {
        "season": season.season,
        "income": cent(made.income),
        "costs": cent(made.costs),
        "margin": cent(made.margin),
        "per_ewe_exposed": cent(made.margin_per_ewe),
        "break_even_per_lamb": cent(made.break_even),
        "by_kind": kinds(made.costs_by_kind),
        "income_by_kind": kinds(made.income_by_kind),
        "ewes_exposed": season.exposed,
        "lambs_sold": season.lambs_sold,
        "lambs_priced": season.priced,
        "own_labour": cent(made.own_labour),
        "margin_after_labour": cent(made.margin_after_labour),
        "break_even_after_labour": cent(made.break_even_after_labour),
        "notes": sorted({one.note.origin.path for one in season.payments}),
    }


def kinds(lines: tuple[Entered, ...]) -> dict[str, float | None]:
    """Sums by kind, the largest first."""
    return {line.kind: cent(line.amount) for line in lines}


def supplies(found: Kit) -> list[dict[str, Any]]:
    """One row for each supply, amounts in its own `unit`; `expires` is the last day it is good."""
    return [
        {
            "supply": item.name,
            "have": amount_number(item.have),
            "need": amount_number(item.need),
            "short": amount_number(item.short),
            "expires": iso(item.expires.latest) if item.expires else None,
            "unit": item.unit,
            "expires_before_last_due": item.too_soon,
            "doubts": [amount_fault_words(doubt) for doubt in item.doubts],
        }
        for item in found.supplies
    ]


def feed_row(found: FeedBook) -> list[dict[str, Any]]:
    """One row for each feed in hand; weights in kg."""
    return [
        {
            "supply": one.supply.name, "have": amount_number(one.supply.have), "unit": one.supply.unit,
            "kg": figure(one.kg), "bale_kg": figure(one.bale_kg), "last_written": iso(one.since),
        }
        for one in found.feeds
    ]  # fmt: skip


def hay(found: FeedBook) -> list[dict[str, Any]]:
    """How long the hay lasts all sheep (`mob` null), then each mob alone; `gone`: the first day without a full feed."""
    return [
        {
            "mob": row.mob or None, "head": row.head, "kg_a_day": lowest_highest(row.need),
            "days": lowest_highest(row.days),
            "gone": None if row.gone is None else {"first": iso(row.gone[0]), "last": iso(row.gone[1])},
        }
        for row in found.lasting
    ]  # fmt: skip


def lowest_highest(span: tuple[float, float] | None) -> dict[str, float | None] | None:
    """The lowest and the highest."""
    return None if span is None else {"low": figure(span[0]), "high": figure(span[1])}


def register(found: FlockRegister) -> list[dict[str, Any]]:
    """One row for each calendar year, both days included; lambs born dead stand outside the sums."""
    return [
        {
            "from": iso(item.first),
            "to": iso(item.last),
            "opening": item.opening,
            "born": item.born,
            "bought": item.bought,
            "sold": item.sold,
            "dead": item.dead,
            "closing": item.closing,
            "balances": item.balances,
            "born_dead": item.born_dead,
        }
        for item in found.years
    ]


def amount_number(amount: Decimal | None) -> float | None:
    """An amount as a plain number; nought of what was used although the notes had none left."""
    return None if amount is None else float(max(amount, Decimal(0)))


def cent(amount: Decimal | None) -> float | None:
    """An amount to the cent."""
    return None if amount is None else float(cents(amount))
