"""Births read back: help on the published five-point scale, born and alive, length of pregnancy."""

from __future__ import annotations

from collections.abc import Mapping

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.mating import Mating, Matings
from flockbook.flock import Animal, Flock, happened
from flockbook.records.breeding import HELP, Lambing

# Order of the five classes: ICAR Animal Data Exchange, icarReproCalvingEaseType (commit b788ef5, June 2023).
HELP_CODES = {word: place for place, word in enumerate(HELP, 1)}
SLIGHT = HELP_CODES["slight"]


class LambingFact(Value):
    """One birth. `help` is 1 (none) to 5 (caesarean); `detailed` is False while the lambs are still to be written."""

    note: str
    ewe: str | None
    event: Lambing
    season: int
    help: int
    born: int
    alive: int
    malpresented: int
    lambs: tuple[Animal, ...]
    gestation_days: int | None
    sires: tuple[str, ...]
    parity: int
    detailed: bool

    @property
    def helped(self) -> bool:
        """Whether anybody had to help."""
        return self.help > 1


def lambing_facts(
    flock: Flock, found: Matings, today: Moment, before: Mapping[str, int] | None = None
) -> tuple[LambingFact, ...]:
    """Every birth up to the moment asked about, in order of time; `before`: how often each ewe had lambed by old
    records.
    """
    borne: dict[str, int] = dict(before or {})
    facts = []
    for event in flock.events:
        if isinstance(event, Lambing) and event.date and happened(event, today):
            ewe = next(iter(flock.who(event)), None)
            borne[ewe or ""] = borne.get(ewe or "", 0) + 1
            facts.append(one_birth(flock, found, event, ewe, borne[ewe or ""]))
    return tuple(facts)


def one_birth(flock: Flock, found: Matings, event: Lambing, ewe: str | None, parity: int) -> LambingFact:
    """One lambing note read back."""
    path = event.origin.path
    season = found.season_of.get(path, event.date.year if event.date else 0)
    mating = found.by_ewe.get((ewe or "", season))
    return LambingFact(
        path, ewe, event, season, help_code(event), len(event.lines), sum(line.alive for line in event.lines),
        sum(bool(line.lay_wrong) for line in event.lines), flock.litters.get(path, ()),
        pregnancy(mating, event), found.sires_of.get(path, ()), parity, bool(event.lines),
    )  # fmt: skip


def help_code(event: Lambing) -> int:
    """1 to 5; a lamb marked `assisted`, or hands that went in, count as slight help where the note has no word for
    it.
    """
    if event.help:
        return HELP_CODES[event.help]
    return SLIGHT if event.helped or any(line.assisted for line in event.lines) else 1


def pregnancy(mating: Mating | None, event: Lambing) -> int | None:
    """Days from the last service or mark that can explain the birth, or None without one."""
    if mating is None or event.date is None:
        return None
    days = [*mating.served, *(mark for exposure in mating.exposures for mark in exposure.marks)]
    fewest, most = mating.gestation.extremes
    fitting = [length for day in days if fewest <= (length := (event.date - day).days) <= most]
    return min(fitting) if fitting else None
