"""Lamb survival from notes, held against an independent library."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from lifelines import KaplanMeierFitter

from flockbook.derive.season.seasons import Season
from flockbook.handover.facts import facts_object
from tests.flockbook.small import read
from tests.flockbook.typed_flock import Ewe, Notes, deaths, litter, season, weaning

BORN = date(2024, 3, 15)
# Days of age at death or sale; the five left are alive at 60 days (worked example of the reference tables).
FATES = ((0, "died"), (1, "died"), (1, "sold"), (2, "died"), (14, "died"), (30, "sold"), (45, "died"))
TWELVE = {0: 0.916667, 1: 0.833333, 2: 0.740741, 14: 0.648148, 45: 0.540123}


def twelve() -> tuple[Notes, list[str]]:
    """Twelve single lambs, all born on one day."""
    notes, born = season([Ewe(litter(1), BORN)] * 12)
    tags = [tag for tag, _ in born]
    for tag, (age, how) in zip(tags, FATES, strict=False):
        day = BORN + timedelta(days=age)
        if how == "died":
            notes |= deaths([(tag, day)])
        else:
            notes[f"events/{day} sale {tag}.md"] = f"---\nsheep: {tag}\nuse: store\n---\n"
    return notes, tags


def first_season(notes: Notes, on: str) -> Season:
    """The only season of the notes."""
    return read(notes, on).facts.season.seasons[0]


def test_twelve_lambs_with_deaths_on_the_first_day_and_sales_between() -> None:
    """S is 0.9167, 0.8333, 0.7407, 0.6481 and 0.5401 after days 0, 1, 2, 14 and 45 (R); ties count as at risk."""
    steps = first_season(twelve()[0], (BORN + timedelta(days=60)).isoformat()).survival
    assert {step.day: round(step.share, 6) for step in steps} == TWELVE
    assert [(step.at_risk, step.died) for step in steps] == [(12, 1), (11, 1), (9, 1), (8, 1), (6, 1)]


def test_an_independent_library_agrees() -> None:
    """lifelines' Kaplan-Meier on the same ages, and Greenwood's standard error from its variance."""
    steps = first_season(twelve()[0], (BORN + timedelta(days=60)).isoformat()).survival
    ages = [age for age, _ in FATES] + [60] * 5
    died = [how == "died" for _, how in FATES] + [False] * 5
    fitted = KaplanMeierFitter().fit(ages, died)
    for step in steps:
        assert step.share == pytest.approx(float(fitted.predict(step.day)), abs=1e-12)
    greenwood = 0.0
    for step in steps:
        greenwood += step.died / (step.at_risk * (step.at_risk - step.died))
        assert step.se == pytest.approx(step.share * greenwood**0.5, abs=1e-12)


def test_the_facts_file_has_the_steps() -> None:
    """Day, at risk, died, share and standard error, as the contract names them."""
    row = facts_object(read(twelve()[0], "2024-05-14"))["seasons"][0]["survival"][0]
    assert {key: row[key] for key in ("day", "at_risk", "died")} == {"day": 0, "at_risk": 12, "died": 1}
    assert row["share"] == pytest.approx(11 / 12)
    assert 0 < row["se"] < 0.1


def test_born_dead_is_no_death_of_a_living_lamb() -> None:
    """Stillborn lambs stand in the losses, not in the survival of lambs born alive."""
    found = first_season(season([Ewe(litter(2, dead=1))] * 4)[0], "2024-05-01")
    assert (found.watched.lambs, found.survival) == (4, ())


def test_a_lamb_lost_sight_of_is_followed_only_to_its_last_note() -> None:
    """One that the weaning does not name counts as watched until the last note on it, and never as dead."""
    notes, born = season([Ewe(litter(1), BORN)] * 4)
    tags = [tag for tag, _ in born]
    notes[f"events/2024-04-14 remark {tags[0]}.md"] = f"---\nsheep: {tags[0]}\n---\nThriving.\n"
    notes |= weaning(tags[1:], date(2024, 8, 1))
    watched = first_season(notes, "2024-09-01").watched
    assert watched.lamb_days == 30 + 3 * (date(2024, 9, 1) - BORN).days


def test_a_hogget_is_no_lamb() -> None:
    """A death after a year is not a lamb's."""
    notes, born = season([Ewe(litter(1), BORN)] * 3)
    notes |= deaths([(born[0][0], BORN + timedelta(days=400))])
    found = first_season(notes, "2025-12-01")
    assert (found.watched.deaths, found.survival) == (0, ())
