"""A watched moment answers as a plain one does, and what it says holds until the time that it names."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.horizon import Elapsed, Watched, plainly, watched

AT = datetime(2026, 4, 19, 3, 20)
MIDNIGHT = datetime(2026, 4, 20)
HOUR = timedelta(hours=1)


def until(ask: Callable[[datetime], object]) -> datetime:
    """Until when the answer to a question holds."""
    at, horizon = watched(AT)
    assert ask(at) == ask(AT) or repr(ask(at)) == repr(ask(AT))
    return horizon.until


@pytest.mark.parametrize(
    ("ask", "holds"),
    [
        (lambda at: at.date(), MIDNIGHT),
        (lambda at: at.weekday(), MIDNIGHT),
        (lambda at: at < datetime(2026, 4, 19, 5), datetime(2026, 4, 19, 5)),
        (lambda at: datetime(2026, 4, 19, 5) <= at, datetime(2026, 4, 19, 5)),
        (lambda at: at > datetime(2026, 4, 19, 2), MIDNIGHT),
        (lambda at: at <= AT, AT + timedelta(minutes=1)),
        (lambda at: max(at, datetime(2026, 4, 19, 6)), datetime(2026, 4, 19, 6)),
        (lambda at: at + HOUR < datetime(2026, 4, 19, 6), datetime(2026, 4, 19, 5)),
        (lambda at: at - HOUR >= datetime(2026, 4, 19, 3), datetime(2026, 4, 19, 4)),
        (lambda at: at - datetime(2026, 4, 19, 1) < timedelta(hours=4), datetime(2026, 4, 19, 5)),
        (lambda at: datetime(2026, 4, 19, 9) - at > timedelta(hours=2), datetime(2026, 4, 19, 7)),
        (lambda at: sorted([at - datetime(2026, 4, 19, 1), at - datetime(2026, 4, 18)])[0] < HOUR, MIDNIGHT),
        (lambda at: -(at - datetime(2026, 4, 19, 1)) < -timedelta(hours=4), datetime(2026, 4, 19, 5)),
        (lambda at: at == datetime(2026, 4, 19, 8), datetime(2026, 4, 19, 8)),
        (lambda at: f"{at:%H:%M}", AT + timedelta(minutes=1)),
        (lambda at: (at - datetime(2026, 4, 19, 1)).total_seconds(), AT + timedelta(minutes=1)),
        (lambda at: datetime(2026, 4, 19, 9) - (at - datetime(2026, 4, 19, 1)), AT + timedelta(minutes=1)),
        (lambda at: datetime(2026, 4, 19, 9) + (at - datetime(2026, 4, 19, 1)), AT + timedelta(minutes=1)),
        (lambda at: (at - datetime(2026, 4, 19, 1)) // HOUR, AT + timedelta(minutes=1)),
        (lambda at: at.hour, AT + timedelta(minutes=1)),
        (lambda at: at.replace(tzinfo=None), AT + timedelta(minutes=1)),
        (lambda at: datetime.combine(at, time(4)), MIDNIGHT),
        (lambda at: plainly(at).hour, MIDNIGHT),
    ],
)
def test_until_when_an_answer_holds(ask: Callable[[datetime], object], holds: datetime) -> None:
    """Days hold until midnight, comparisons until they turn, minutes for their minute."""
    assert until(ask) == holds


QUESTIONS: list[Callable[[datetime, datetime, timedelta], object]] = [
    lambda at, other, _: at < other,
    lambda at, other, _: at >= other,
    lambda at, other, _: other == at,
    lambda at, other, gap: at - other < gap,
    lambda at, other, gap: other - at <= gap,
    lambda at, other, gap: -(at - other) > gap,
    lambda at, other, gap: at + gap > other,
    lambda at, other, gap: (at - gap) - other < gap,
    lambda at, other, _: max(other, at) == other,
    lambda at, _, __: at.date(),
    lambda at, other, _: (at - other).days,
]


@given(
    st.lists(st.tuples(st.sampled_from(QUESTIONS), st.integers(-3000, 3000), st.integers(-3000, 3000)), max_size=6),
    st.integers(0, 2000),
)
def test_nothing_changes_before_the_horizon(asked: list[tuple[Callable[..., object], int, int]], later: int) -> None:
    """Any questions, asked again at any minute before the horizon, are answered as before (a plain moment says so)."""

    def answers(at: datetime) -> list[object]:
        return [ask(at, AT + timedelta(minutes=a), timedelta(minutes=b)) for ask, a, b in asked]

    at, horizon = watched(AT)
    assert answers(at) == answers(AT)
    then = AT + timedelta(minutes=later)
    if then < horizon.until:
        assert answers(then) == answers(AT)


OF_THE_DAY = {
    "date", "day", "month", "year", "weekday", "isoweekday", "isocalendar", "toordinal",  # hold until midnight
    "combine", "fromisocalendar", "fromisoformat", "fromordinal", "fromtimestamp", "now", "strptime", "today",
    "utcfromtimestamp", "utcnow", "max", "min", "resolution",  # ask the class, not the moment
}  # fmt: skip


def test_no_way_of_asking_goes_unseen() -> None:
    """Whatever a moment or a time between two can be asked is noted, unless it is a matter of the day alone."""
    asked = set(dir(datetime)) - set(dir(object)) - OF_THE_DAY - {"__add__", "__radd__", "__sub__", "__rsub__"}
    assert asked <= set(vars(Watched))
    sums = {name for name in dir(timedelta) if name.startswith("__")} - set(dir(object))
    assert sums - {"__rdivmod__"} <= set(vars(Elapsed))


def test_a_watched_moment_is_a_day_too() -> None:
    """A day taken from it is a plain day's difference."""
    at, horizon = watched(AT)
    assert (at.date() - date(2026, 4, 1)).days == 18
    assert horizon.until == MIDNIGHT
