"""Withdrawal periods as typed: which one is in force, from which dose it runs, and when it ends (W1, W2, W5, W10)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cache, reduce
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from compiler.dates import When
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.flock import Flock
from flockbook.records.health import Treatment
from flockbook.records.labels import Withdrawal
from flockbook.records.sheep import Medicine
from flockbook.whom.days import days_told

MEAT, MILK = "meat", "milk"
NO_TIME, FORWARD, A_YEAR = timedelta(0), timedelta(hours=1), timedelta(days=366)  # clocks go forward by an hour
# Places whose clocks go forward on days of their own (IANA time zone database).
CLOCKS = (
    "Europe/London", "America/New_York", "America/Nuuk", "America/Havana", "Asia/Jerusalem", "Asia/Gaza", "Asia/Beirut",
    "Africa/Cairo", "Africa/Casablanca", "America/Santiago", "Pacific/Easter", "Pacific/Auckland", "Australia/Sydney",
)  # fmt: skip


def open_course(event: Treatment) -> bool:
    """W5: a course planned for some days, of which fewer are written as given and none as the last."""
    return (
        event.days is not None
        and event.finished is None
        and len({when.date for when in event.given}) < max(event.days, 1)
    )


def against_route(event: Treatment, medicine: Medicine) -> bool:
    """Whether the route given differs from the label's."""
    if not event.route or not medicine.route:
        return False
    return not set(route_words(event.route)) & set(route_words(medicine.route))


ROUTES = {
    "mouth": ("mouth", "oral", "orally", "drench", "drenched", "po", "p.o."),
    "skin": ("skin", "subcutaneous", "subcutaneously", "sc", "s/c", "s.c.", "subcut", "sq", "subq", "sub-q", "sub-cut"),
    "muscle": ("muscle", "intramuscular", "intramuscularly", "im", "i/m", "i.m."),
    "vein": ("vein", "intravenous", "iv"),
    "udder": ("udder", "teat", "intramammary", "tube"),
    "back": ("back", "pour-on", "pouron", "poured", "pour", "backline", "topical", "spray", "sprayed", "foot"),
}


UNDER = re.compile(r"\bsub[- ]?q\b|\bsub[- ]cut\b|\bs\.[cq]\.?(?!\w)")
POURED = re.compile(r"\bpour(?:ed)? ?on\b")


def route_words(text: str) -> list[str]:
    """The routes that a text names; a text that names none stands for itself."""
    words = POURED.sub("pour-on", UNDER.sub("subq", text.lower())).replace(",", " ").split()
    named = [route for route, others in ROUTES.items() if any(word in others for word in words)]
    return named or [" ".join(words)]


def own_period(event: Treatment, product: str) -> Withdrawal | None:
    """The period written in the treatment note itself."""
    return event.meat_withdrawal if product == MEAT else event.milk_withdrawal


def period_of(flock: Flock, event: Treatment, product: str) -> Withdrawal | None:
    """The period in force: a named vet's own, else the longer of the note's and the label's. Never a shorter one
    unsigned.
    """
    own = own_period(event, product)
    labels = label_periods(medicines_called(flock, event.medicine), product)
    if own is not None and event.vet:
        return own
    if own is None and None in labels:
        return None
    typed = [period for period in (own, *labels) if period is not None]
    return reduce(longer, typed) if typed else None


def label_periods(medicines: Sequence[Medicine], product: str) -> list[Withdrawal | None]:
    """The periods that the notes of one product give (V11); None for each that gives none."""
    return [item.meat_withdrawal if product == MEAT else item.milk_withdrawal for item in medicines]


def longer(one: Withdrawal, other: Withdrawal) -> Withdrawal:
    """The period that holds longer."""
    if one.never or other.never:
        return one if one.never else other
    return max(one, other, key=lambda period: period.hours if period.hours is not None else (period.days or 0) * 24)


LINES_BACK = timedelta(days=60)  # how far before its doses a day on a line of a treatment may lie (our own choice)


def first_day(event: Treatment) -> date | None:
    """The first day of which a treatment may tell: of a dose, its own, or one that stands on a line of it."""
    days = [when.date for when in event.doses] + ([event.date] if event.date else [])
    lines = (cell.text for cell in (*event.origin.rest, *event.origin.data)) if days else ()
    told = [day for text in lines for day in days_told(text, min(days).year)]
    return min((*days, *(day for day in told if timedelta(0) < min(days) - day < LINES_BACK)), default=None)


def last_dose(event: Treatment) -> When | None:
    """W5: the last dose written as given. On one day, a dose without a time counts as the later."""
    return max(event.doses, key=lambda when: when.moment, default=None)


def release(last: When, period: Withdrawal, zone: tzinfo | None = None) -> tuple[datetime, bool]:
    """W1, W2, W10: the moment of release by local wall time, and whether it is the start of a first clear date. Where
    the clocks go forward meanwhile the hours are counted in full.
    """
    span = timedelta(hours=period.hours) if period.hours is not None else timedelta(days=period.days or 0)
    if last.time is not None:
        exact = later_by_clock(datetime.combine(last.date, last.time), span, zone)
        return (
            exact
            if not exact.second and not exact.microsecond
            else exact.replace(second=0, microsecond=0) + timedelta(minutes=1)
        ), False
    end = later_by_clock(datetime.combine(last.date, time.min) + timedelta(days=1), span, zone)
    whole = datetime.combine(end.date(), time.min)
    return (whole if whole == end else whole + timedelta(days=1)), True


def later_by_clock(start: datetime, span: timedelta, zone: tzinfo | None) -> datetime:
    """A moment so much later, by the wall or by the hours gone by, whichever is later (W10: never down). Where no time
    zone is known the clocks may have gone forward on any day on which they do somewhere.
    """
    wall = start + span
    if zone is None:
        return wall + FORWARD if goes_forward(start, wall) else wall
    gone = (start.replace(tzinfo=zone).astimezone(UTC) + span).astimezone(zone).replace(tzinfo=None)
    return max(wall, gone)


def goes_forward(start: datetime, end: datetime) -> bool:
    """Whether clocks go forward somewhere on a day between two moments."""
    first, last = start.date(), (end - timedelta.resolution).date()
    years = range(first.year, last.year + 1) if last - first < A_YEAR else ()
    return not years or any(first <= day <= last for year in years for day in forward_days(year))


@cache
def forward_days(year: int) -> tuple[date, ...]:
    """The days of a year on which clocks go forward somewhere."""
    days = [date(year, 1, 1) + timedelta(days=number) for number in range(365)]
    zones = [zone for name in CLOCKS if (zone := zone_called(name)) is not None]
    return tuple(day for day in days if any(goes_forward_in(zone, day) for zone in zones))


def goes_forward_in(zone: tzinfo, day: date) -> bool:
    """Whether the clocks of a zone go forward between one midnight and the next."""
    begin = datetime.combine(day, time.min, zone)
    end = begin + timedelta(days=1)
    return (end.utcoffset() or NO_TIME) > (begin.utcoffset() or NO_TIME)


def zone_called(name: str) -> ZoneInfo | None:
    """A time zone, if this machine knows it."""
    try:
        return ZoneInfo(name)
    except ZoneInfoNotFoundError:
        return None
