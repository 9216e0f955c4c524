"""What there is to fear of a ewe at her lambing, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from flockbook.derive.lambing.history import Fear, Feared, HardBirth
from flockbook.derive.plain.because import Reason
from flockbook.regional import local

TRIPLETS = 3


def fears_words(fears: Iterable[Fear]) -> str:
    """helped 1 of 1: 2025 head back; mastitis 2025."""
    return "; ".join(map(fear_words, fears))


def fear_words(fear: Fear) -> str:
    """One thing to fear."""
    return OF_FEAR[fear.what](fear)


def helped_before(fear: Fear) -> str:
    """helped 1 of 2: 2025 head back."""
    return f"helped {len(fear.births)} of {fear.figure:g}: {', '.join(map(hard_birth_words, fear.births))}"


def hard_birth_words(birth: HardBirth) -> str:
    """2025 head back."""
    return f"{birth.season} {local(birth.lay)}" if birth.lay else str(birth.season)


def many_words(fear: Fear) -> str:
    """triplets; 4 lambs."""
    return "triplets" if fear.figure == TRIPLETS else f"{fear.figure:g} lambs"


OF_FEAR: dict[Feared, Callable[[Fear], str]] = {
    Feared.HELPED: helped_before,
    Feared.LOST_ALL: lambda fear: f"lost all her lambs {fear.year}",
    Feared.LITTLE_MILK: lambda fear: f"milk {fear.words} {fear.year}",
    Feared.POOR_MOTHER: lambda fear: f"poor mother {fear.year}",
    Feared.ILL: lambda fear: f"{fear.words} {fear.year}",
    Feared.LOST_EARLY: lambda fear: f"lost her lambs early {fear.year}",
    Feared.UDDER: lambda fear: f"udder {fear.words} {fear.year}",
    Feared.THIN: lambda fear: f"thin: condition {fear.figure:g}",
    Feared.BIG_LAMB: lambda fear: f"big lamb {fear.year}",
    Feared.MAIDEN: lambda _: "maiden",
    Feared.MAIDEN_WITH_A_SINGLE: lambda _: "maiden with a single: it may be big",
    Feared.NOTHING_WRITTEN: lambda _: "no earlier lambing is written",
    Feared.MANY_LAMBS: many_words,
}
SAID: dict[type[Reason], Callable[[Any], str]] = {Fear: fear_words}
