"""Survival tables: a printed example first, then two independent libraries on random lambs."""

from __future__ import annotations

import warnings

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lifelines import KaplanMeierFitter
from statsmodels.duration.survfunc import SurvfuncRight

from flockbook.derive.plain.survival import Step, alive_after, life_table, limits

DIED = (6, 6, 6, 7, 10, 13, 16, 22, 23)
WATCHED = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
LEUKAEMIA = life_table(DIED + WATCHED, [True] * len(DIED) + [False] * len(WATCHED))
SIX = 5.1e-7  # six printed decimals
fates = st.lists(st.tuples(st.integers(0, 60), st.booleans()), min_size=1, max_size=80)


def test_6_mp_leukaemia_data() -> None:
    """Freireich 1963, printed in Le, Introductory Biostatistics, Example 11.1; 6+ and 10+ count as at risk."""
    assert [step.day for step in LEUKAEMIA] == [6, 7, 10, 13, 16, 22, 23]
    assert [step.at_risk for step in LEUKAEMIA] == [21, 17, 15, 12, 11, 7, 6]
    assert [step.died for step in LEUKAEMIA] == [3, 1, 1, 1, 1, 1, 1]
    assert [step.share for step in LEUKAEMIA] == pytest.approx(
        [0.857143, 0.806723, 0.752941, 0.690196, 0.627451, 0.537815, 0.448179], abs=SIX
    )
    assert [step.se for step in LEUKAEMIA] == pytest.approx(
        [0.076360, 0.086935, 0.096350, 0.106815, 0.114054, 0.128234, 0.134591], abs=SIX
    )


def test_lambs_with_deaths_on_the_day_of_birth() -> None:
    """Worked in R: deaths on day 0 count, and lambs sold or alive are watched up to their last day."""
    times = (0, 1, 1, 2, 14, 30, 45, 60, 60, 60, 60, 60)
    died = (True, True, False, True, True, False, True, False, False, False, False, False)
    steps = life_table(times, died)
    assert [step.day for step in steps] == [0, 1, 2, 14, 45]
    assert [step.share for step in steps] == pytest.approx([0.916667, 0.833333, 0.740741, 0.648148, 0.540123], abs=SIX)


def test_the_share_alive_after_a_day_is_that_of_the_last_step() -> None:
    """Before the first death all are alive; between deaths nothing changes."""
    assert alive_after(LEUKAEMIA, 5) == 1
    assert alive_after(LEUKAEMIA, 6) == LEUKAEMIA[0].share
    assert alive_after(LEUKAEMIA, 12) == LEUKAEMIA[2].share
    assert alive_after(LEUKAEMIA, 400) == LEUKAEMIA[-1].share
    assert alive_after((), 10) == 1


def test_nobody_died_and_nobody_was_watched() -> None:
    """No deaths, no steps; no animals, no steps."""
    assert life_table((3, 4), (False, False)) == life_table((), ()) == ()


def test_when_all_have_died_there_is_no_standard_error() -> None:
    """Greenwood's formula divides by none left: no figure is better than a false 0 (R and statsmodels print NaN)."""
    assert life_table((2, 2), (True, True)) == (Step(2, 2, 2, 0.0, None),)
    assert limits(Step(2, 2, 2, 0.0, None)) is None


@pytest.mark.parametrize(
    ("times", "died", "word"), [((1, 2), (True,), "2 times but 1 fates"), ((5, -1), (True, True), "day -1 is before")]
)
def test_impossible_input_is_refused_in_words(times: tuple[int, ...], died: tuple[bool, ...], word: str) -> None:
    """Unequal lists and a day before birth are errors, never a table."""
    with pytest.raises(ValueError, match=word):
        life_table(times, died)


@given(fates)
@settings(deadline=None)  # the other libraries are slow on a busy machine
def test_tables_agree_with_lifelines(lambs: list[tuple[int, bool]]) -> None:
    """lifelines `KaplanMeierFitter`: shares, numbers at risk and 95 % limits on the log-minus-log scale."""
    times, died = [day for day, _ in lambs], [dead for _, dead in lambs]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it divides by zero where none are left
        fitted = KaplanMeierFitter().fit(times, died)
    steps = life_table(times, died)
    for step in steps:
        # lifelines adds a row for day 0 and joins it to deaths on that day
        assert step.share == pytest.approx(fitted.survival_function_.loc[step.day].iloc[-1], abs=1e-9)
        row = fitted.event_table.loc[step.day]
        assert (step.at_risk, step.died) == (row["at_risk"], row["observed"])
        band = limits(step)
        if band is not None:
            assert band == pytest.approx(tuple(fitted.confidence_interval_.loc[step.day]), abs=1e-6)


@given(fates)
@settings(deadline=None)  # the other libraries are slow on a busy machine
def test_tables_agree_with_statsmodels(lambs: list[tuple[int, bool]]) -> None:
    """statsmodels `SurvfuncRight`: shares and Greenwood standard errors, one step for each day with a death."""
    times, died = [day for day, _ in lambs], [dead for _, dead in lambs]
    steps = life_table(times, died)
    if not steps:
        return
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it divides by zero where none are left
        theirs = SurvfuncRight([day + 1 for day in times], died)  # it takes no time of 0
    found = {
        time - 1: (share, se)
        for time, share, se in zip(theirs.surv_times, theirs.surv_prob, theirs.surv_prob_se, strict=True)
    }
    for step in steps:
        share, se = found[step.day]
        assert step.share == pytest.approx(share, abs=1e-12)
        assert step.se is None or step.se == pytest.approx(se, abs=1e-12)
    assert [step.day for step in steps] == sorted({day for day, dead in lambs if dead})
