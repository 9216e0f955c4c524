"""What a ewe's past gives cause to watch for."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.book import Moment
from flockbook.derive.due import DueRow
from flockbook.derive.lambings import LambingFact
from flockbook.flock import Flock, happened
from flockbook.records.health import Illness

POOR_MILK = ("short", "none", "one side")
POOR_MOTHERING = 2  # of 5


def histories(
    flock: Flock, births: tuple[LambingFact, ...], rows: tuple[DueRow, ...], today: Moment
) -> Mapping[str, tuple[str, ...]]:
    """For each ewe that is due: what to fear, in words, worst first."""
    by_ewe: dict[str, list[LambingFact]] = {}
    for birth in births:
        by_ewe.setdefault(birth.ewe or "", []).append(birth)
    ill: dict[str, list[str]] = {}
    for event in flock.events:
        if isinstance(event, Illness) and event.problem and event.date and happened(event, today):
            for sheep in flock.who(event):
                ill.setdefault(sheep, []).append(f"{event.problem} {event.date.year}")
    return {
        row.ewe: fears(by_ewe.get(row.ewe, []), tuple(dict.fromkeys(ill.get(row.ewe, []))), row.lambs_scanned)
        for row in rows
    }


def fears(births: list[LambingFact], ill: tuple[str, ...], scanned: int | None) -> tuple[str, ...]:
    """One ewe's history."""
    found = []
    helped = [birth for birth in births if birth.helped]
    if helped:
        found.append(f"helped {len(helped)} of {len(births)}: " + ", ".join(how(birth) for birth in helped))
    lost = [birth for birth in births if birth.detailed and not birth.alive]
    found += [f"lost all her lambs {birth.season}" for birth in lost]
    found += [f"milk {birth.event.milk} {birth.season}" for birth in births if birth.event.milk in POOR_MILK]
    found += [
        f"poor mother {birth.season}"
        for birth in births
        if birth.event.mothering and birth.event.mothering <= POOR_MOTHERING
    ]
    found += ill
    if not births:
        found.append("maiden with a single: it may be big" if scanned == 1 else "maiden")
    if scanned is not None and scanned >= 2:
        found.append({2: "twins", 3: "triplets"}.get(scanned, f"{scanned} lambs"))
    return tuple(found)


def how(birth: LambingFact) -> str:
    """How a birth had to be helped: the year, and how the lamb lay."""
    lay = [line.presentation for line in birth.event.lines if line.presentation != "normal"]
    return f"{birth.season}" + (f" {lay[0]}" if lay else "")
