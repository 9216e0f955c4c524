"""What speaks for and against a ewe lamb in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.choosing.replacements import (
    Ailed,
    BornOneOf,
    DamHelped,
    DamToGo,
    DamWeaned,
    HardStart,
    InbredOver,
    InHerGroup,
    Lacking,
)
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.numbers import plural

LACKING = {Lacking.DAM: "dam", Lacking.LITTER: "litter", Lacking.WEIGHT_IN_GROUP: "weight within a group"}


def born_one_words(reason: BornOneOf) -> str:
    """born one of 2."""
    return f"born one of {reason.litter}"


def in_group_words(reason: InHerGroup) -> str:
    """weight 104 where the mean of 12 is 100."""
    return f"weight {reason.ratio:.0f} where the mean of {reason.group} is 100"


def dam_helped_words(reason: DamHelped) -> str:
    """dam never helped in 3 lambings; dam helped at 1 of 3."""
    if not reason.count:
        return f"dam never helped in {reason.of} lambings"
    return f"dam helped at {reason.count} of {reason.of}"


def dam_weaned_words(reason: DamWeaned) -> str:
    """dam weaned 5 in 3 years."""
    return f"dam weaned {reason.lambs} in {plural(reason.years, 'year')}"


def hard_start_words(reason: HardStart) -> str:
    """tubed at birth."""
    return reason.words


def dam_to_go_words(reason: DamToGo) -> str:
    """That her dam may go."""
    del reason
    return "her dam has a reason to go"


def ailed_words(reason: Ailed) -> str:
    """scour 2026."""
    return f"{reason.problem} {reason.year}"


def inbred_words(reason: InbredOver) -> str:
    """inbreeding 12.5%, limit 6.2%."""
    return f"inbreeding {reason.share:.1%}, limit {reason.limit:.1%}"


SAID: dict[type[Reason], Callable[[Any], str]] = {
    BornOneOf: born_one_words, InHerGroup: in_group_words, DamHelped: dam_helped_words, DamWeaned: dam_weaned_words,
    HardStart: hard_start_words, DamToGo: dam_to_go_words, Ailed: ailed_words, InbredOver: inbred_words,
}  # fmt: skip
