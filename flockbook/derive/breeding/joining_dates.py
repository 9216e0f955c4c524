"""The days that follow from a joining: crayon, ram out, scanning, when to begin watching, first and last lambs, and
when each marked ewe would come round again.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.gestation import (
    Cycle,
    Gestation,
    Span,
    crayon_changes,
    scan_window,
    shift,
)
from flockbook.derive.breeding.mating import (
    BY_HAND,
    JOIN_DAYS,
    Matings,
    ewes_of,
    is_planned,
    marks_by_ewe,
    rams_of,
    season_for,
    taken_until,
    told_out,
)
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Flock, happened
from flockbook.records.breeding import Joining
from flockbook.roll import ONE_YEAR

# The most ewes for a grown ram in a season's joining, two for a hundred, and for a ram lamb: University of Wyoming
# Extension in Wyoming Livestock Roundup, 21 October 2017.
EWES_A_RAM, EWES_A_RAM_LAMB = 50, 30


class CountedDays(Reason):
    """The services that a joining's days are counted from; `assumed` where no ram out is written."""

    by_hand: bool
    first: date
    last: date
    assumed: bool
    watch_day: int


class NextHeat(Value):
    """A ewe's last mark, and when she would be seen again if she did not hold."""

    ewe: str
    mark: date
    day: date
    band: Span


class JoiningDates(Value):
    """One joining. `still_in`: days since ram in where no ram out is written and the ram is in; `scan`: the days that
    suit a scan of all its ewes, None where it was too long for that; `told_out`: where no ram out is written, the day
    on which other notes part the rams from the ewes; `ewes_served`: how many ewes its rams suffice for as published,
    0 where ewes are served by hand.
    """

    note: str
    season: int
    rams: tuple[str, ...]
    ewes: tuple[str, ...]
    ram_in: date
    ram_out: date | None
    by_hand: bool
    still_in: int | None
    crayons: tuple[date, ...]
    scan: Span | None
    watch_from: date
    lambs: Span
    next_heats: tuple[NextHeat, ...] = ()
    because: tuple[Because, ...] = ()
    planned: bool = False
    told_out: date | None = None
    ewes_served: int = 0

    @property
    def too_long_in(self) -> bool:
        """Whether the ram has been in for more than two heats and no day out is written."""
        return self.still_in is not None and self.still_in > JOIN_DAYS


def joining_dates(flock: Flock, found: Matings, today: Moment) -> tuple[JoiningDates, ...]:
    """Every joining that has begun or is planned, in order of ram in."""
    return tuple(
        one_joining(flock, found, event, today)
        for event in flock.of(Joining)
        if event.date and (happened(event, today) or is_planned(event, today)) and rams_of(flock, event)
    )


def one_joining(flock: Flock, found: Matings, event: Joining, today: Moment) -> JoiningDates:
    """The days of one joining. Until ram out is written it is reckoned to last until today, and two heats at least."""
    assert event.date is not None
    by_hand = event.method in BY_HAND
    first, last = stay(flock, event, today)
    crayons = () if by_hand else crayon_changes(Span(first, last))
    planned = is_planned(event, today)
    told = told_out(flock, event, today)
    in_for = None if by_hand or event.out or told or planned else (today.day - event.date).days
    terms = terms_in(flock, found, event)
    watch_day = min(term.watch_day for term in terms)
    lambs = [term.season(first, last) for term in terms]
    return JoiningDates(
        event.origin.path, season_for(event, found.terms.flock, found.model.cycle), rams_of(flock, event),
        ewes_of(flock, event), event.date, event.out, by_hand, in_for, crayons, scan_window(first, last),
        shift(first, watch_day), Span(min(span.first for span in lambs), max(span.last for span in lambs)),
        tuple(next_heats(flock, event, found.model.cycle, today)), (days_counted(event, Span(first, last), watch_day),),
        planned, told, 0 if by_hand else sum(ewes_for(flock, ram, event.date) for ram in rams_of(flock, event)),
    )  # fmt: skip


def ewes_for(flock: Flock, ram: str, day: date) -> int:
    """How many ewes a ram suffices for, by his age on the day he goes in; one whose birth is not written is grown."""
    born = flock.animals[ram].born
    young = born is not None and (day - born.earliest).days < ONE_YEAR
    return EWES_A_RAM_LAMB if young else EWES_A_RAM


def terms_in(flock: Flock, found: Matings, event: Joining) -> set[Gestation]:
    """How long the ewes of a joining carry; the flock's length where none is named."""
    return {found.terms.of(ewe) for ewe in ewes_of(flock, event)} or {found.terms.flock}


def stay(flock: Flock, event: Joining, today: Moment) -> tuple[date, date]:
    """The first and last day on which a ewe of this joining can have been served."""
    assert event.date is not None
    if event.method in BY_HAND:
        days = [day for marks in marks_by_ewe(flock, event, today).values() for day in marks]
        return (min(days), max(days)) if days else (event.date, max(event.out or event.date, event.date))
    out = event.out or told_out(flock, event, today) or taken_until(event.date, today)
    return event.date, max(out, event.date)


def next_heats(flock: Flock, event: Joining, cycle: Cycle, today: Moment) -> Iterator[NextHeat]:
    """The marked ewes that may yet come round while the ram is in, by the day on which they would."""
    if event.method in BY_HAND:
        return
    found = []
    for ewe, marks in marks_by_ewe(flock, event, today).items():
        band = cycle.return_band(marks[-1])
        if today.day <= band.last and (event.out is None or band.first <= event.out):
            found.append(NextHeat(ewe, marks[-1], cycle.next_heat(marks[-1]), band))
    yield from sorted(found, key=lambda item: (item.day, item.ewe))


def days_counted(event: Joining, served: Span, watch_day: int) -> Because:
    """What the days were counted from."""
    by_hand = event.method in BY_HAND
    counted = CountedDays(by_hand, served.first, served.last, not (event.out or by_hand), watch_day)
    return Because(event.origin.path, event.origin.span("rams").line, "joining dates", reason=counted)
