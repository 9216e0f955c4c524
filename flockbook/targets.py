"""The targets of `flock.yaml` that the book knows: a weight to sell or wean at, lambs weaned, a rule for worms."""

from __future__ import annotations

import re

from compiler.amounts import KG_PER_LB

TARGET_WEIGHT = re.compile(r"(?:sale|weaning) weight:?\s+(\d+(?:[.,]\d+)?)\s*(kg|lb)?", re.I)
LAMBS_WEANED = re.compile(r"lambs weaned:?\s+(\d(?:[.,]\d+)?)", re.I)
TARGET_KG = (8.0, 90.0)  # lambs are weaned and sold between these (common practice, with room)
RULE_WORDS = ("eyelid", "egg", "epg", "worm", "drench", "untreated")


def known_target(text: str) -> bool:
    """Whether a target is one that the book reads."""
    read = TARGET_WEIGHT.fullmatch(text.strip()) or LAMBS_WEANED.fullmatch(text.strip())
    return bool(read) or worm_rule(text)


def worm_rule(text: str) -> bool:
    """Whether a target speaks of worms; it is shown in the shepherd's own words."""
    return any(word in text.casefold() for word in RULE_WORDS)


def target_kg(targets: tuple[str, ...], unit: str) -> float | None:
    """The sale weight (or weaning weight) among the targets, in kg; `unit` is that of a weight typed without one."""
    found = [match for text in targets if (match := TARGET_WEIGHT.fullmatch(text.strip()))]
    if not found:
        return None
    match = min(found, key=lambda one: not one[0].lower().startswith("sale"))
    return typed_figure(match[1]) * (KG_PER_LB if (match[2] or unit).lower() == "lb" else 1.0)


def target_weaned(targets: tuple[str, ...]) -> float | None:
    """The lambs weaned for each ewe put to the ram that the flock aims at."""
    found = [match for text in targets if (match := LAMBS_WEANED.fullmatch(text.strip()))]
    return typed_figure(found[0][1]) if found else None


def typed_figure(text: str) -> float:
    """A figure with a point or a comma."""
    return float(text.replace(",", "."))
