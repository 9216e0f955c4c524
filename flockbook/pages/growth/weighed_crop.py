"""The lambs of one season that were weighed, and the weighings that are theirs."""

from __future__ import annotations

from compiler.shape import Value
from flockbook.derive.growth.adjusted_weights import Adjusted
from flockbook.derive.weights.sessions import Session
from flockbook.pages.views import Directory
from flockbook.pages.wording import day_words, plural, weight_words
from flockbook.seen import Seen


class WeighedCrop(Value):
    """What a page is made from: a season, its weighed lambs, and their sessions in order of time."""

    seen: Seen
    tags: Directory
    season: int
    lambs: frozenset[str]
    sessions: tuple[Session, ...]

    @property
    def units(self) -> str:
        """The flock's unit of weight."""
        return self.seen.settings.units


def weighed_crops(seen: Seen) -> dict[int, frozenset[str]]:
    """Weighed lambs by the season they were born in, newest season first."""
    crops: dict[int, frozenset[str]] = {}
    for season in reversed(seen.facts.season.years):
        born = frozenset(lamb.id for birth in season.births for lamb in birth.lambs)
        if weighed := born.intersection(seen.facts.weights.gains):
            crops[season.season] = weighed
    return crops


def sessions_of(seen: Seen, lambs: frozenset[str]) -> tuple[Session, ...]:
    """The sessions in which most sheep were of this crop."""
    return tuple(
        item for item in seen.facts.weights.sessions if 2 * sum(one.sheep in lambs for one in item.weights) > item.count
    )


def ratio_of(row: Adjusted | None) -> float | None:
    """A row's ratio."""
    return row.ratio if row else None


def lead(crop: WeighedCrop) -> str:
    """How many lambs, how many weighings, the last of them."""
    if not crop.sessions:
        return "" if crop.lambs else "No lamb has been weighed since its birth."
    last = crop.sessions[-1]
    return (
        f"{plural(len(crop.lambs), 'lamb')} weighed in {plural(len(crop.sessions), 'weighing')}, last on "
        f"{day_words(last.day)}: {last.count} of them, {weight_words(last.mean, crop.units)} on average."
    )
