"""Weigh sessions read back from typed notes: counts, means, who was missed, gain since last, slips of the unit.

Expected figures are plain arithmetic, no source; 1 kg = 2.20462262 lb is NIST Special Publication 811.
"""

from __future__ import annotations

import pytest

from flockbook.derive.weights.sessions import Session
from tests.flockbook.small import read

LAMBS = {
    "sheep/C214.md": "---\nnote: ewe\nborn: 2019\n---\n",
    "sheep/C215.md": "---\nnote: ewe\nborn: 2019\n---\n",
    "events/2026-04-01 lambing C214.md": "- ewe 4 kg, tag 901\n- ram 5 kg, tag 902\n",
    "events/2026-04-02 lambing C215.md": "- ewe 4 kg, tag 903\n- ram stillborn\n",
}


def sessions(notes: dict[str, str], on: str = "2026-11-01") -> tuple[Session, ...]:
    """The sessions of a small flock."""
    return read({**LAMBS, **notes}, on).facts.weights.sessions


def test_a_session_is_read_back() -> None:
    """Number, mean, lowest and highest; nobody missing; the mean gain is from birth only in each lamb's own figure."""
    (found,) = sessions({"events/2026-06-10 weighing 8 weeks.md": "901 24\n902 30\n903 21\n"})
    assert (found.count, found.mean, found.lowest, found.highest) == (3, 25.0, 21.0, 30.0)
    assert (found.missing, found.since, found.gain, found.regained) == ((), None, None, 0)
    assert [item.sheep for item in found.weights] == ["901", "902", "903"]


def test_gain_since_the_last_session() -> None:
    """Two of three weighed again 10 days later, 3 kg and 1 kg more: 0.2 kg a day over the two in both."""
    _, found = sessions(
        {
            "events/2026-06-10 weighing.md": "901 24\n902 30\n",
            "events/2026-06-20 weighing.md": "901 27\n902 31\n903 25\n",
        }
    )
    assert (str(found.since), found.regained) == ("2026-06-10", 2)
    assert found.gain == pytest.approx(0.2)


def test_one_lamb_weighed_in_between_is_no_session_before() -> None:
    """Two of three were last weighed on 10 June, one alone on the 19th: the gain is since the 10th."""
    found = sessions(
        {
            "events/2026-06-10 weighing.md": "901 24\n902 30\n903 20\n",
            "events/2026-06-19 weighing.md": "903 23\n",
            "events/2026-06-20 weighing.md": "901 27\n902 31\n903 25\n",
        }
    )[-1]
    assert (str(found.since), found.regained) == ("2026-06-10", 2)
    assert found.gain == pytest.approx(0.2)


def test_who_is_missing() -> None:
    """A lamb of the same crop and mob that was there and not weighed is named; the ewes and the stillborn are not."""
    (found,) = sessions({"events/2026-06-10 weighing.md": "901 24\n902 30\n"})
    assert found.missing == ("903",)


def test_who_left_is_not_missing() -> None:
    """A lamb that died before is not looked for."""
    (found,) = sessions(
        {
            "events/2026-06-10 weighing.md": "901 24\n902 30\n",
            "events/2026-05-01 death 903.md": "---\nsheep: 903\n---\n",
        }
    )
    assert found.missing == ()


def test_weighed_in_the_same_week_is_not_missing() -> None:
    """Lambs weighed over two days miss nobody in either."""
    first, second = sessions(
        {"events/2026-06-10 weighing.md": "901 24\n902 30\n", "events/2026-06-12 weighing.md": "903 21\n"}
    )
    assert (first.missing, second.missing) == ((), ())


def test_a_session_for_one_sex_does_not_miss_the_other() -> None:
    """Both ewe lambs weighed to choose from: the ram lamb was not meant to be."""
    (found,) = sessions({"events/2026-06-10 weighing.md": "901 24\n903 21\n"})
    assert found.missing == ()


def test_one_lamb_weighed_alone_does_not_miss_the_mob() -> None:
    """No more than half of a group weighed: it was not meant to be weighed whole."""
    (found,) = sessions({"events/2026-06-10 weighing.md": "901 24\n"})
    assert found.missing == ()


@pytest.mark.parametrize(("factor", "told"), [(2.2046, True), (1 / 2.2046, True), (1.1, False)])
def test_a_slip_of_the_unit(factor: float, told: bool) -> None:
    """Everybody 2.2 times as heavy (or as light) as two weeks before: pounds were taken for kilograms, or the other
    way about; a tenth heavier is growth.
    """
    before = {"901": 14.0, "902": 18.0, "903": 16.0}
    after = "".join(f"{tag} {kg * factor:.1f}\n" for tag, kg in before.items())
    first = "".join(f"{tag} {kg}\n" for tag, kg in before.items())
    _, found = sessions({"events/2026-06-10 weighing.md": first, "events/2026-06-24 weighing.md": after})
    assert (found.slip is not None) is told
    if told:
        assert found.slip == pytest.approx(factor, rel=0.25)


def test_young_lambs_double_and_that_is_no_slip() -> None:
    """5 kg at four days and 11 kg three weeks later is 0.29 kg a day (Ontario's mean)."""
    notes = {
        "events/2026-04-05 weighing.md": "901 5\n902 5\n903 5\n",
        "events/2026-04-26 weighing.md": "901 11\n902 11\n903 11\n",
    }
    assert [item.slip for item in sessions(notes)] == [None, None]


def test_a_slip_in_the_first_weighing_shows_by_the_birth_weights() -> None:
    """Born at 4 to 5 kg and 18 kg at seven weeks, written as 40: 2.2 times what a lamb gains (0.29 kg a day)."""
    (found,) = sessions({"events/2026-05-20 weighing.md": "901 40\n902 42\n903 38\n"})
    assert found.slip == pytest.approx(2.2, rel=0.1)


def test_a_slip_is_kept_out_of_gains_and_the_next_weighing_is_not_asked_about() -> None:
    """Kilograms, pounds, kilograms: only the second is asked about, and the gain goes from the first to the third."""
    notes = {
        "events/2026-06-10 weighing.md": "901 20\n902 21\n903 20\n",
        "events/2026-06-24 weighing.md": "901 53\n902 55\n903 52\n",
        "events/2026-07-08 weighing.md": "901 28\n902 29\n903 27\n",
    }
    assert [item.slip is not None for item in sessions(notes)] == [False, True, False]
    weights = read({**LAMBS, **notes}, "2026-11-01").facts.weights.gains["901"].weights
    assert [item.sure for item in weights] == [True, False, True]
    assert weights[-1].gain == pytest.approx(8 / 28)


def test_growth_over_months_is_no_slip() -> None:
    """Twice as heavy after ten weeks is what lambs do."""
    _, found = sessions(
        {
            "events/2026-05-10 weighing.md": "901 14\n902 18\n903 16\n",
            "events/2026-07-20 weighing.md": "901 30\n902 39\n903 35\n",
        }
    )
    assert found.slip is None


def test_a_doubtful_weight_is_kept_out_of_the_mean() -> None:
    """240 kg is asked about: it is counted and shown, and the mean rests on the others."""
    (found,) = sessions({"events/2026-06-10 weighing.md": "901 240\n902 30\n903 20\n"})
    assert (found.count, found.mean, found.highest) == (3, 25.0, 30.0)


def test_a_weaning_with_weights_is_a_session() -> None:
    """Weaning weights are read back like others; a weaning without weights is no session, nor one still to come."""
    (found,) = sessions({"events/2026-08-15 weaning.md": "901 30\n902 34\n903 29\n"})
    assert found.stage == "weaning"
    assert sessions({"events/2026-08-15 weaning.md": "---\nlambs: [901, 902]\n---\n"}) == ()
    assert sessions({"events/2026-08-15 weaning.md": "901 30\n"}, on="2026-08-15") == ()


def test_a_weaning_in_another_unit_stays_out_of_the_season_and_of_breeding_values() -> None:
    """Pounds taken for kilograms at weaning: until that is confirmed no season, ratio or breeding value rests on it."""
    notes = {
        "events/2026-06-10 weighing.md": "901 18\n902 22\n903 20\n",
        "events/2026-07-10 weaning.md": "901 55\n902 62\n903 58\n",
    }
    confirmed = "---\nnote: weaning\nsure: yes\n---\n" + notes["events/2026-07-10 weaning.md"]
    again = {**notes, "events/2026-07-10 weaning.md": confirmed}
    doubted, sure = (read({**LAMBS, **typed}, "2026-11-01") for typed in (notes, again))
    assert [item.slip is not None for item in doubted.facts.weights.sessions] == [False, True]
    assert [found.facts.season.seasons[-1].counts.weaned for found in (doubted, sure)] == [3, 3]
    assert [found.facts.season.seasons[-1].counts.weighed for found in (doubted, sure)] == [0, 3]
    assert [len(found.facts.family.merit.trials["weaning_weight"].records) for found in (doubted, sure)] == [0, 3]
