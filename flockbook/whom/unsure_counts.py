"""Counts of a mob that came to more than its notes say: somebody of elsewhere may stand there (V5)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from flockbook.records.places import HeadCount
from flockbook.whom.known import Known
from flockbook.whom.unsure_drafts import meant_by_text
from flockbook.whom.whereabouts import MobStay, Stay, Window, mob_keys, stays


def by_count(known: Known, event: HeadCount, mob: str) -> MobStay:
    """Whoever a count saw may be in its mob; where it found more than belong there and not which, so may anybody from
    that day on, until a count of the mob agrees.
    """
    yield from stays(seen_by(known, event), mob, event.date or date.min)
    if event.date and too_many(known, event) and len(event.seen) < (event.count or 0):
        last = next(agreeing(known, event), date.max)
        keys = [key for key in mob_keys(mob, known.lexicon) if key in known.places.stays]
        yield from ((key, Stay(one, event.date, last, False)) for one in known.flock.animals for key in keys)


def seen_by(known: Known, event: HeadCount) -> list[str]:
    """The sheep that a count saw."""
    return [sheep for text in event.seen for sheep in meant_by_text(known, text)]


def too_many(known: Known, event: HeadCount) -> bool:
    """Whether a count came to more than belong to its mob, lambs at foot counted in or not."""
    grown, feet = belonging(known, event)
    return event.count is not None and event.count > grown and event.count != grown + feet


def belonging(known: Known, event: HeadCount) -> tuple[int, int]:
    """How many belong to the mob of a count on its day, and how many lambs run at their feet."""
    day = event.date or date.max
    window = Window(day, day)
    found = [known.places.members(key, window) for key in mob_keys(event.mob or "", known.lexicon)]
    sure = frozenset[str]().union(*(one.sure for one in found))
    feet = known.places.at_foot(sure, window)
    return len(sure - feet), len(feet)


def agreeing(known: Known, event: HeadCount) -> Iterator[date]:
    """The days before later counts of the same mob that say how many and agree, in order of time."""
    keys, day = mob_keys(event.mob or "", known.lexicon), event.date or date.max
    later = [one for one in known.flock.events if isinstance(one, HeadCount) and one.count and one.date]
    for one in sorted(later, key=lambda other: other.date or date.max):
        if one.date and one.date > day and mob_keys(one.mob or "", known.lexicon) == keys:
            grown, feet = belonging(known, one)
            if one.count in (grown, grown + feet):
                yield one.date - timedelta(days=1)
