"""Until when what follows from a moment stays true: a moment that notes every question it is asked.

Whoever compares it with another time learns what a plain one says; the earliest time at which the answer would be
another is kept. Whoever asks it for the minutes themselves ties what is made to this minute. So facts that hang on no
running clock hold until the next hold ends or the day does, and nobody has to say which those are.
"""

from __future__ import annotations

import operator as op
from collections.abc import Callable
from datetime import datetime, time, timedelta
from typing import Any

MINUTE = timedelta(minutes=1)  # the clock is read to the minute
DAY = timedelta(days=1)


class Horizon:
    """Until when the answers that a moment gave stay the same: at most the end of its day."""

    def __init__(self, at: datetime) -> None:
        """Nothing was asked yet."""
        self.at = at
        self.until = datetime.combine(at.date() + DAY, time.min)

    def reach(self, time: datetime) -> None:
        """The answer may be another from this time on; what is past by now never matters again."""
        if time >= self.at:
            self.until = min(self.until, max(time, self.at + MINUTE))

    def this_minute(self) -> None:
        """The answer is the minute itself."""
        self.until = min(self.until, self.at + MINUTE)


def _asked(name: str) -> Callable[..., bool]:
    """A comparison that keeps when it would turn out another way."""

    def compare(self: Any, other: Any) -> Any:
        edge = self.edge(other)
        if edge is not None:
            self.horizon.reach(edge)
        return getattr(self.plain, name)(getattr(other, "plain", other))

    return compare


def _minute(name: str) -> Callable[..., Any]:
    """Any other question: what it says is of this minute."""

    def ask(self: Any, *given: Any, **named: Any) -> Any:
        self.horizon.this_minute()
        return getattr(self.plain, name)(*(getattr(word, "plain", word) for word in given), **named)

    return ask


def _sum(how: Callable[[Any, Any], Any], turned: bool = False) -> Callable[..., Any]:
    """A sum with another value, which stands in front if `turned`."""

    def work(self: Any, other: Any) -> Any:
        self.horizon.this_minute()
        plain = getattr(other, "plain", other)
        return how(plain, self.plain) if turned else how(self.plain, plain)

    return work


def _part(name: str) -> property:
    def ask(self: Any) -> Any:
        self.horizon.this_minute()
        return getattr(self.plain, name)

    return property(ask)


class Watched(datetime):
    """A moment that notes what it is asked. It is equal to the plain one, `ahead` of the moment that is watched."""

    plain: datetime
    horizon: Horizon
    ahead: timedelta

    def __new__(cls, plain: datetime, horizon: Horizon, ahead: timedelta = timedelta(0)) -> Watched:
        """`plain` is what it stands for."""
        made = super().__new__(cls, plain.year, plain.month, plain.day, plain.hour, plain.minute, plain.second)
        made.plain, made.horizon, made.ahead = plain, horizon, ahead
        return made

    def edge(self, other: object) -> datetime | None:
        """When a comparison with another time would turn out differently."""
        if isinstance(other, Watched):
            return None if other.horizon is self.horizon else self.horizon.at
        return other - self.ahead if isinstance(other, datetime) and other.tzinfo is None else None

    def __add__(self, other: timedelta) -> Watched:
        """A moment as far ahead, watched as well."""
        return Watched(self.plain + other, self.horizon, self.ahead + other)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Any:
        """A moment before, or the time gone by since another; both are watched."""
        if isinstance(other, Watched):
            return self.plain - other.plain if other.horizon is self.horizon else self.plain - other
        if isinstance(other, timedelta):
            return self + -other
        if not isinstance(other, datetime):
            return self.plain - getattr(other, "plain", other)
        return Elapsed(self.plain - other, self.horizon, other - self.ahead, forward=True)

    def __rsub__(self, other: Any) -> Any:
        """The time still to go until another moment."""
        if not isinstance(other, datetime):
            return other - self.plain
        return Elapsed(other - self.plain, self.horizon, other - self.ahead, forward=False)

    __lt__, __le__, __gt__, __ge__ = (_asked(name) for name in ("__lt__", "__le__", "__gt__", "__ge__"))
    __eq__, __ne__ = _asked("__eq__"), _asked("__ne__")
    __hash__ = datetime.__hash__
    hour, minute, second, microsecond, tzinfo, fold = (
        _part(name) for name in ("hour", "minute", "second", "microsecond", "tzinfo", "fold")
    )
    time, timetz, timetuple, utctimetuple, timestamp, isoformat, strftime = (
        _minute(name) for name in ("time", "timetz", "timetuple", "utctimetuple", "timestamp", "isoformat", "strftime")
    )
    ctime, utcoffset, dst, tzname, astimezone, replace, __str__, __repr__, __format__, __reduce__, __reduce_ex__ = (
        _minute(name)
        for name in (
            "ctime", "utcoffset", "dst", "tzname", "astimezone", "replace", "__str__", "__repr__", "__format__",
            "__reduce__", "__reduce_ex__",
        )
    )  # fmt: skip


class Elapsed:
    """The time between a watched moment and another; how long it is may be compared, and then that is noted.

    It acts as a `timedelta` and is none, because adding a true one to a plain time would ask it nothing.
    """

    def __init__(self, plain: timedelta, horizon: Horizon, since: datetime, forward: bool) -> None:
        """`since` is when the watched moment gives none; it grows with time if `forward`, else it shrinks."""
        self.plain, self.horizon, self.since, self.forward = plain, horizon, since, forward

    def edge(self, other: object) -> datetime | None:
        """When it is as long as another."""
        if isinstance(other, Elapsed) and (other.horizon, other.forward) == (self.horizon, self.forward):
            return None  # both grow alike
        if not isinstance(other, timedelta):
            self.horizon.this_minute()
            return None
        return self.since + other if self.forward else self.since - other

    def __neg__(self) -> Elapsed:
        """The same the other way round."""
        return Elapsed(-self.plain, self.horizon, self.since, not self.forward)

    def __getattr__(self, name: str) -> Any:
        """Whatever else is asked is of this minute."""
        self.horizon.this_minute()
        return getattr(self.plain, name)

    __lt__, __le__, __gt__, __ge__ = (_asked(name) for name in ("__lt__", "__le__", "__gt__", "__ge__"))
    __eq__, __ne__, __hash__ = _asked("__eq__"), _asked("__ne__"), _minute("__hash__")
    __add__, __sub__, __mul__, __floordiv__, __truediv__, __mod__ = (
        _sum(how) for how in (op.add, op.sub, op.mul, op.floordiv, op.truediv, op.mod)
    )
    __radd__, __rsub__, __rmul__, __rfloordiv__, __rtruediv__, __rmod__ = (
        _sum(how, turned=True) for how in (op.add, op.sub, op.mul, op.floordiv, op.truediv, op.mod)
    )
    __divmod__, __pos__, __abs__, __bool__, __str__, __repr__, __format__ = (
        _minute(name) for name in ("__divmod__", "__pos__", "__abs__", "__bool__", "__str__", "__repr__", "__format__")
    )


def watched(at: datetime) -> tuple[datetime, Horizon]:
    """A moment that notes what it is asked, and where it notes it."""
    horizon = Horizon(at)
    return Watched(at, horizon), horizon


def plainly(at: datetime) -> datetime:
    """The moment itself, for those whose words stay true when it is past: "made at 14:05"."""
    return at.plain if isinstance(at, Watched) else at
