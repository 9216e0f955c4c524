"""Lambs' weights on common footing, from typed notes: the published worked example, its leap-year trap, and groups."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from compiler.build import proof
from flockbook.book import BOOK
from flockbook.derive.growth.adjusted_weights import in_window, target_age, weight_at
from flockbook.factors import Unfit, generic_factors, parse_factors
from flockbook.handover.facts import facts_object
from flockbook.saying.because import step_words
from tests.flockbook.small import codes, moment, read

LB = 0.45359237  # kg, exact (NIST Special Publication 811)
POUNDS = {"flock.yaml": "flock: Corrie Hask\nunits: us\n"}


def twins(year: int, dam_born: str, birth: str = "10 lb") -> dict[str, str]:
    """Twin ewe lambs of one ewe born on 2 January, weaned on 4 March at 62 lb and 58 lb."""
    return {
        **POUNDS,
        "sheep/C214.md": f"---\nnote: ewe\nborn: {dam_born}\n---\n",
        f"events/{year}-01-02 lambing C214.md": f"- ewe {birth}, tag 901\n- ewe 9 lb, tag 902\n",
        f"events/{year}-03-04 weaning.md": "901 62\n902 58\n",
    }


def row(notes: dict[str, str], lamb: str = "901", on: str = "2026-06-10") -> dict[str, Any]:
    """What the facts file says of a lamb's growth."""
    found: dict[str, Any] = next(item for item in facts_object(read(notes, on))["growth"] if item["lamb"] == lamb)
    return found


def test_the_published_worked_example() -> None:
    """Rows 1 and 2: twin ewe lamb of a two-year-old, 10 lb to 62 lb in 61 days: 61.147541, then 79.907607 lb
    (Penn State Extension, Ram selection principles; unrounded).
    """
    found = row(twins(2023, "2021"))
    assert (found["target_age"], found["in_window"], found["at_weaning"]) == (60, True, True)
    assert found["factors"] == {"dam": 1.08, "sex": 1.0, "type": 1.21}
    assert found["weight_at_target_kg"] / LB == pytest.approx(61.147541, abs=1e-6)
    assert found["adjusted_kg"] / LB == pytest.approx(79.907607, abs=1e-6)


def test_the_same_dates_in_a_leap_year() -> None:
    """Row W1b: 2 January to 4 March 2024 is 62 days: 60.322581, then 78.829548 lb (days counted on the calendar)."""
    found = row(twins(2024, "2022"))
    assert found["weight_at_target_kg"] / LB == pytest.approx(60.322581, abs=1e-6)
    assert found["adjusted_kg"] / LB == pytest.approx(78.829548, abs=1e-6)


def test_a_straight_line_to_sixty_days() -> None:
    """Row 3: 7.5 lb at birth and 45 lb at 66 days is 41.590909 lb at 60 (inputs of a breeder's article)."""
    assert weight_at(7.5, 45, 66, 60) == pytest.approx(41.590909, abs=1e-6)


@pytest.mark.parametrize(("target", "kg"), [(60, 9.228), (90, 12.492), (120, 15.756)])
def test_a_lamb_of_an_open_data_set(target: int, kg: float) -> None:
    """Row W3: ILRI's lamb 627, 2.7 kg at birth and 16.3 kg at 125 days (Dorper x Red Maasai data set)."""
    assert weight_at(2.7, 16.3, 125, target) == pytest.approx(kg, abs=1e-9)


@pytest.mark.parametrize(("age", "target"), [(74, 60), (75, 90), (100, 90), (101, 120)])
def test_which_age_weights_are_brought_to(age: int, target: int) -> None:
    """Row 4: under 75 days to 60, to 100 days to 90, later to 120 (Sheep 201; the upper edge is our reading)."""
    assert target_age(age) == target


@pytest.mark.parametrize(
    ("age", "target", "fits"), [(80, 60, False), (67, 60, True), (68, 60, False), (62, 90, True), (61, 90, False)]
)
def test_how_far_a_straight_line_serves(age: int, target: int, fits: bool) -> None:
    """Row 5: 60 ± 7 and 90 ± 28 days (Boggess et al. 1991); beyond it there is a value and a warning."""
    assert in_window(age, target) is fits
    assert weight_at(4, 30, age, target) > 0


def test_no_window_is_made_up() -> None:
    """Nothing is published for 120 days, so nothing is said."""
    assert in_window(125, 120) is None


def test_a_weight_outside_the_window_is_told() -> None:
    """Weaned at 50 days: brought to 60, with the warning in its working (Boggess et al. 1991)."""
    notes = {
        **twins(2023, "2021"),
        "events/2023-03-04 weaning.md": "---\nsheep: 902\n---\n902 58\n",
        "events/2023-02-21 weaning.md": "901 62\n",
    }
    assert row(notes)["in_window"] is False
    steps = [step_words(item) for item in read(notes).facts.growth.adjusted["901"].because]
    assert any("weighed at 50 days, outside 60 ± 7 days" in text for text in steps)


def test_a_missing_birth_weight_is_the_flocks_mean_and_says_so() -> None:
    """The twin sister's 9 lb stands in, for sex and litter size (a constant serves: Boggess et al. 1991)."""
    found = row(twins(2023, "2021", birth=""))
    assert found["birth_kg"] is None
    assert found["birth_assumed_kg"] / LB == pytest.approx(9)
    assert found["weight_at_target_kg"] / LB == pytest.approx((62 - 9) / 61 * 60 + 9)
    assert row(twins(2023, "2021"))["birth_assumed_kg"] is None


def test_without_any_birth_weight_there_is_no_figure() -> None:
    """Nobody of its litter size was weighed at birth: nothing is guessed."""
    notes = {**twins(2023, "2021"), "events/2023-01-02 lambing C214.md": "- ewe, tag 901\n- ewe, tag 902\n"}
    found = row(notes)
    assert (found["weight_at_target_kg"], found["adjusted_kg"], found["ratio"]) == (None, None, None)


@pytest.mark.parametrize(
    ("born", "factor"), [("2022", 1.14), ("2021", 1.08), ("2020", 1.0), ("2017", 1.0), ("2016", 1.05), ("", None)]
)
def test_age_of_dam(born: str, factor: float | None) -> None:
    """One, two, three to six, over six years; 1.08 and 1.00 are printed (Penn State), 1.14 and 1.05 from memory. A ewe
    of unknown age gives no factor.
    """
    notes = twins(2023, born)
    if not born:
        notes["sheep/C214.md"] = "---\nnote: ewe\n---\n"
    found = row(notes)
    assert found["factors"]["dam"] == factor
    assert (found["adjusted_kg"] is None) is (factor is None)


def test_a_ewe_short_of_her_second_birthday_is_two() -> None:
    """Born 20 January 2021 and lambed 2 January 2023: two years to the nearest (our own choice)."""
    assert row(twins(2023, "2021-01-20"))["factors"]["dam"] == 1.08


def test_the_ratio_is_within_the_group() -> None:
    """Two of one group: their ratios have the mean 100 and stand as their adjusted weights do (definition)."""
    one, other = row(twins(2023, "2021"), "901"), row(twins(2023, "2021"), "902")
    assert (one["ratio"] + other["ratio"]) / 2 == pytest.approx(100)
    assert one["ratio"] / other["ratio"] == pytest.approx(one["adjusted_kg"] / other["adjusted_kg"])
    assert one["group_size"] == 2


def test_a_group_of_one_has_no_ratio() -> None:
    """A ram lamb among ewe lambs has nobody to stand beside (growth references, consequence of 1.1)."""
    notes = twins(2023, "2021")
    notes["events/2023-01-02 lambing C214.md"] = "- ram 10 lb, tag 901\n- ewe 9 lb, tag 902\n"
    found = row(notes)
    assert (found["ratio"], found["group_size"], found["factors"]["sex"]) == (None, 1, 0.91)


def test_a_group_is_held_together_at_one_age() -> None:
    """Two of one mob and sex, weaned at 74 and 76 days (brought to 60 and 90 days): their ratios stand at the age of
    the group's mean (75 days: 90), and have the mean 100 (season x mob x sex, Sheep 201; the common age is our own).
    """
    notes = {
        **POUNDS,
        "sheep/C214.md": "---\nnote: ewe\nborn: 2020\n---\n",
        "sheep/C215.md": "---\nnote: ewe\nborn: 2020\n---\n",
        "events/2023-01-02 lambing C214.md": "- ewe 10 lb, tag 901\n",
        "events/2023-01-04 lambing C215.md": "- ewe 10 lb, tag 902\n",
        "events/2023-03-19 weaning.md": "901 62\n902 58\n",
    }
    one, other = row(notes, "901"), row(notes, "902")
    assert (one["target_age"], other["target_age"]) == (90, 60)
    at_90 = [weight_at(10, 62, 76, 90), weight_at(10, 58, 74, 90)]
    assert [one["group_adjusted_kg"] / LB, other["group_adjusted_kg"] / LB] == pytest.approx(at_90)
    assert one["ratio"] == pytest.approx(100 * at_90[0] / (sum(at_90) / 2))
    assert (one["ratio"] + other["ratio"]) / 2 == pytest.approx(100)


def test_a_weight_from_before_weaning_is_not_compared_with_weaning_weights() -> None:
    """903 was weighed in February and not at weaning: it stands on one footing and has no ratio, and the mean of the
    others is without it (same feeding and management: Sheep 201; the rule is our own).
    """
    notes = {
        **twins(2023, "2021"),
        "sheep/C215.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "events/2023-01-02 lambing C215.md": "- ewe 9 lb, tag 903\n",
        "events/2023-02-20 weighing.md": "903 50\n",
    }
    found = row(notes, "903")
    assert (found["ratio"], found["at_weaning"], found["adjusted_kg"] is None) == (None, False, False)
    assert (row(notes, "901")["group_size"], row(notes, "901")["ratio"]) == (2, row(twins(2023, "2021"))["ratio"])


def test_every_step_stands_in_the_facts() -> None:
    """The line, the factors and the ratio are told in words, with the note and line of the weight."""
    steps = row(twins(2023, "2021"))["because"]
    assert {step["rule"] for step in steps} >= {"weight", "ratio"}
    places = {(step["note"], step["line"]) for step in steps if step["rule"] in ("weight", "ratio")}
    assert places == {("events/2023-03-04 weaning.md", 1)}


def test_mobs_are_groups_apart() -> None:
    """Lambs in different mobs when weighed were fed differently (Sheep 201), so they are not compared."""
    notes = {**twins(2023, "2021"), "events/2023-02-01 draft.md": "---\nsheep: 902\ninto: creep\n---\n"}
    assert (row(notes, "901")["ratio"], row(notes, "902")["ratio"]) == (None, None)


@pytest.mark.parametrize(
    ("notes", "kind"),
    [
        ({"events/2023-01-05 death 902.md": "---\nsheep: 902\ncause: exposure\n---\n"}, 1.11),
        ({"events/2023-01-05 foster 902.md": "---\nlamb: 902\npet: yes\n---\n"}, 1.11),
        ({"events/2023-01-05 foster 902.md": "---\nlamb: 902\nonto: C215\n---\n"}, 1.11),
        ({"events/2023-01-05 foster 901.md": "---\nlamb: 901\npet: yes\n---\n"}, None),
    ],
    ids=["sister died", "sister on the bottle", "sister fostered", "itself on the bottle"],
)
def test_born_a_twin_and_reared_alone(notes: dict[str, str], kind: float | None) -> None:
    """Reared as a single when its sister was gone by the weighing; a bottle lamb has no factor (class 2/1, from
    memory).
    """
    whole = {**twins(2023, "2021"), "sheep/C215.md": "---\nnote: ewe\nborn: 2019\n---\n", **notes}
    whole["events/2023-03-04 weaning.md"] = "901 62\n"
    assert row(whole)["factors"]["type"] == kind


def test_before_weaning_the_last_weight_stands_in() -> None:
    """A weight at eight weeks is brought to 60 days and said to be no weaning weight."""
    notes = twins(2023, "2021")
    notes["events/2023-03-04 weighing.md"] = notes.pop("events/2023-03-04 weaning.md")
    found = row(notes)
    assert (found["target_age"], found["at_weaning"]) == (60, False)


def test_a_lamb_weighed_only_as_a_grown_sheep_has_no_row() -> None:
    """Weights beyond half a year are not brought back to 120 days."""
    notes = twins(2023, "2021")
    notes["events/2024-03-04 weighing.md"] = notes.pop("events/2023-03-04 weaning.md")
    assert row(notes)["target_age"] is None


def test_the_table_carries_its_source() -> None:
    """Every cell that was read in print says so, and the rest say from memory (growth references 1.2)."""
    table = generic_factors()
    assert "Penn State" in table.source
    assert {cell for cell in table.values if cell not in table.unsure} == {
        ("dam", "2"), ("dam", "3-6"), ("sex", "ewe"), ("type", "1/1"), ("type", "2/2"),
    }  # fmt: skip


OWN = "# source: Hask College trials, 2025\npart,class,factor,known\n" + "".join(
    f"{cell},own\n" for cell in ("dam,1+,1.00", "sex,ewe,1.00", "sex,ram,0.90", "type,2/2,1.10", "type,1/1,1.00")
)


def with_table(text: str | None, name: str = "factors/ours.csv") -> dict[str, str]:
    """The twins in a flock whose settings name a table of its own."""
    settings = {"flock.yaml": f"flock: Corrie Hask\nunits: us\nadjustment factors: {name}\n"}
    return {**twins(2023, "2021"), **settings, **({"factors/ours.csv": text} if text is not None else {})}


def test_a_table_of_the_flocks_own() -> None:
    """The table that the settings name is used, with its own source (62 lb as in row 1, times 1.10)."""
    found = row(with_table(OWN))
    assert found["factors"] == {"dam": 1.0, "sex": 1.0, "type": 1.1}
    assert found["adjusted_kg"] / LB == pytest.approx(61.147541 * 1.1, abs=1e-5)
    seen = read(with_table(OWN))
    assert seen.settings.factors.source == "Hask College trials, 2025"
    assert "S103" not in codes(seen)


@pytest.mark.parametrize(
    ("notes", "place"),
    [
        (with_table(None), ("flock.yaml", 3)),
        (with_table(OWN, "../ours.csv"), ("flock.yaml", 3)),
        (with_table(OWN, "/ours.csv"), ("flock.yaml", 3)),
        (with_table(OWN.replace("0.90", "90")), ("factors/ours.csv", 5)),
    ],
    ids=["missing", "outside", "absolute", "damaged"],
)
def test_a_table_that_cannot_be_used_is_told_and_the_generic_one_stands_in(
    notes: dict[str, str], place: tuple[str, int]
) -> None:
    """The message names the place, and the twins stand as in rows 1 and 2."""
    seen = read(notes)
    told = next(item for item in seen.diagnostics if item.code == "S103")
    assert ((told.span.path, told.span.line), told.meanwhile) == (place, "the generic factors are used")
    assert seen.settings.factors.generic
    assert row(notes)["adjusted_kg"] / LB == pytest.approx(79.907607, abs=1e-6)


def test_the_table_is_no_note_and_no_lonely_table(tmp_path: Path) -> None:
    """Read from the disk it is used, listed among the other files, and nothing else is said of it."""
    for path, text in with_table(OWN).items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text)
    seen = proof(tmp_path, BOOK, moment("2023-06-10"))
    assert [item.code for item in seen.diagnostics if item.span.path.startswith("factors")] == []
    assert ("factors/ours.csv", "the settings name it") in [(item.path, item.why) for item in seen.collection.others]
    assert not seen.settings.factors.generic


HEAD = "# source: a test\npart,class,factor,known\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("part,class,factor,known\n", "names its source"),
        ("# source: a test\npart,class\n", "the columns"),
        (HEAD + "dam,2,1.08,printed\ndam,2,1.1,printed\n", "twice"),
        (HEAD + "breed,2,1.08,printed\n", "the part is"),
        (HEAD + "dam,old,1.08,printed\n", "years, written"),
        (HEAD + "dam,2-,1.08,printed\n", "years, written"),
        (HEAD + "sex,gimmer,1.08,printed\n", "its classes are ewe"),
        (HEAD + "type,4/2,1.08,printed\n", "born/reared"),
        (HEAD + "dam,2,nan,printed\n", "no factor between"),
        (HEAD + "dam,2,1,08,printed\n", "5 values where four belong"),
        (HEAD + "dam,2,1.08,printed\n", "no line for sex"),
        (HEAD + "dam,2,108,printed\n", "no factor between"),
        (HEAD + "dam,2\n", "2 values where four belong"),
    ],
)
def test_a_damaged_table_is_refused_by_name(text: str, told: str) -> None:
    """A table that cannot be right is refused with the row and the reason, never half read."""
    with pytest.raises(Unfit, match=told):
        parse_factors(text)
