"""Worms: scores, offenders, the share left untreated, and reduction tests out of real notes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from flockbook.derive.health.reduction_tests import ReductionTest
from flockbook.derive.health.worms import Worms
from flockbook.handover.facts import facts_object
from flockbook.saying.worms import no_range_words, weakness_words
from tests.flockbook.small import Seen, codes, meat, read

# R package eggCounts 2.5-1, data `epgs` (Wang, Torgerson, Hoglund, Furrer 2017, Vet. Parasitol. 235:20-28): 14
# sheep, factor 50.
A_BEFORE = (0, 3500, 400, 150, 0, 0, 0, 200, 0, 400, 0, 2000, 2900, 9300)
A_AFTER = (0, 200, 0, 50, 300, 0, 0, 0, 0, 0, 0, 0, 100, 800)
# The older `epgs` of eggCounts 0.3-1.4: 24 animals, factor 10.
B_BEFORE = (
    990, 990, 740, 2150, 1840, 1210, 1640, 1240, 900, 1110, 2020, 2080, 1010, 1010,
    1140, 1010, 1020, 1610, 780, 930, 450, 1100, 1630, 1830,
)  # fmt: skip
B_AFTER = (30, 10, 0, 0, 0, 0, 20, 10, 0, 0, 10, 10, 20, 20, 0, 10, 10, 20, 10, 20, 10, 0, 50, 10)
# R package bayescount, its vignette: raw counts of 10 animals.
C_BEFORE = (14, 22, 7, 29, 11, 1, 39, 6, 3, 0)
C_AFTER = (0, 2, 1, 1, 2, 0, 5, 2, 0, 3)
SLIDE = "2 g, 60 ml in all, 0.3 ml counted"  # factor 100: Univ. of Minnesota, module 3.3
MEDICINE = "---\nnote: medicine\nname: drench\nkind: wormer\nmeat withdrawal: 14 days\n---\n"


def tags(head: int) -> list[str]:
    """Tags 701, 702 …"""
    return [str(701 + number) for number in range(head)]


def sheep(head: int, mob: str = "hoggs", born: str = "2026-04-01") -> dict[str, str]:
    """Notes of so many ewes."""
    return {f"sheep/{tag}.md": f"---\nnote: ewe\ntag: '{tag}'\nborn: {born}\nmob: {mob}\n---\n" for tag in tags(head)}


def counted(lines: Sequence[str], **fields: str) -> str:
    """An egg count note."""
    head = "".join(f"{name}: {value}\n" for name, value in fields.items())
    return f"---\nnote: egg count\n{head}---\n" + "".join(f"- {line}\n" for line in lines)


def dosed(who: Sequence[str]) -> str:
    """A drench of some sheep."""
    return f"---\nnote: treatment\nsheep: {', '.join(who)}\nmedicine: drench\ndose: 5 ml\n---\n"


def one_note(before: Sequence[int], after: Sequence[int]) -> Seen:
    """A test with both counts on each line."""
    lines = [f"{tag} before {b} after {a}" for tag, b, a in zip(tags(len(before)), before, after, strict=True)]
    return read({**sheep(len(before)), "events/2026-06-01 egg count.md": counted(lines, test="spring")}, "2026-07-01")


def two_notes(
    before: Sequence[int], after: Sequence[int], factor: int, second: str = "2026-06-15", shift: int = 0
) -> Seen:
    """A test of two notes with eggs and a factor; with a `shift` the second is of other sheep."""
    head = len(before) + shift
    first = [f"{tag} {count // factor} eggs" for tag, count in zip(tags(len(before)), before, strict=True)]
    then = [f"{tag} {count // factor} eggs" for tag, count in zip(tags(head)[shift:], after, strict=True)]
    notes = {
        "events/2026-06-01 egg count before.md": counted(first, test="spring", factor=str(factor), medicine="drench"),
        f"events/{second} egg count after.md": counted(then, test="Spring", factor=str(factor)),
        "medicines/drench.md": MEDICINE,
        "events/2026-06-02 treatment.md": dosed(tags(head)),
    }
    return read({**sheep(head), **notes}, "2026-07-01")


def joined(seen: Seen) -> ReductionTest:
    """The one test."""
    (found,) = seen.facts.health.worms.eggs.tests
    return found


@pytest.mark.parametrize("layout", ["one note", "two notes"])
def test_data_a_is_resistant_however_it_is_typed(layout: str) -> None:
    """Data A: 92.308 %, Coles 62.945-98.403 resistance, delta 88.575-95.396 resistant at both thresholds; also in
    the facts file.
    """
    seen = one_note(A_BEFORE, A_AFTER) if layout == "one note" else two_notes(A_BEFORE, A_AFTER, 50)
    (row,) = facts_object(seen)["egg_counts"]
    assert row["test"] == "spring"
    assert (row["before_mean"], row["after_mean"]) == (
        pytest.approx(1346.429, abs=5e-4),
        pytest.approx(103.571, abs=5e-4),
    )
    assert row["reduction"] == pytest.approx(92.308, abs=5e-4)
    assert row["coles"]["low"] == pytest.approx(62.945, abs=5e-4)
    assert row["coles"]["high"] == pytest.approx(98.403, abs=5e-4)
    assert row["coles"]["class"] == "resistance"
    assert row["delta"]["low"] == pytest.approx(88.575, abs=5e-4)
    assert row["delta"]["high"] == pytest.approx(95.396, abs=5e-4)
    assert (row["delta"]["class_clinical"], row["delta"]["class_research"]) == ("resistant", "resistant")
    assert joined(seen).pairs == 14


def test_data_b_is_susceptible() -> None:
    """Data B: 99.113 %, Coles 98.594-99.440, delta 98.761-99.413, susceptible at every line."""
    (row,) = facts_object(two_notes(B_BEFORE, B_AFTER, 10))["egg_counts"]
    assert row["reduction"] == pytest.approx(99.113, abs=5e-4)
    assert row["coles"] == {
        "low": pytest.approx(98.594, abs=5e-4),
        "high": pytest.approx(99.440, abs=5e-4),
        "class": "susceptible",
    }
    assert (row["delta"]["low"], row["delta"]["high"]) == (
        pytest.approx(98.761, abs=5e-4),
        pytest.approx(99.413, abs=5e-4),
    )
    assert (row["delta"]["class_clinical"], row["delta"]["class_research"]) == ("susceptible", "susceptible")


def test_data_c_paired_and_unpaired() -> None:
    """Data C: delta 81.307-93.204 in the same animals, 77.979-95.137 when they are taken as two groups."""
    paired = joined(one_note(C_BEFORE, C_AFTER)).result
    unpaired = joined(two_notes(C_BEFORE, C_AFTER, 1, shift=10))
    assert paired
    assert unpaired.result
    assert paired.reduction == pytest.approx(87.879, abs=5e-4)
    assert [paired.delta.limits.low, paired.delta.limits.high] == pytest.approx([81.307, 93.204], abs=5e-4)
    assert unpaired.pairs == 0
    limits = unpaired.result.delta.limits
    assert [limits.low, limits.high] == pytest.approx([77.979, 95.137], abs=5e-4)
    assert any("unpaired" in weakness_words(warning) for warning in unpaired.warnings)


def test_limits_agree_with_scipy() -> None:
    """Data A worked out again with numpy and scipy.stats, from the notes' own counts."""
    found = joined(one_note(A_BEFORE, A_AFTER))
    before, after = np.array(found.before), np.array(found.after)
    ratio, n = after.mean() / before.mean(), len(before)
    v = after.var(ddof=1) / (n * after.mean() ** 2) + before.var(ddof=1) / (n * before.mean() ** 2)
    t = stats.t.ppf(0.975, 2 * n - 2)
    assert found.result
    assert found.result.coles.limits.low == pytest.approx(100 * (1 - ratio * np.exp(t * np.sqrt(v))))
    w = ratio**2 * (v - 2 * np.cov(before, after)[0, 1] / (n * before.mean() * after.mean()))
    most = stats.gamma.ppf(0.95, ratio**2 / w, scale=w / ratio)
    assert found.result.delta.limits.low == pytest.approx(100 * (1 - most))


def test_no_eggs_afterwards_and_too_few_sheep_give_no_range() -> None:
    """All nought afterwards: 100 % and no interval; four sheep: a figure and `ask your vet` (package notes,
    medicines §5.2).
    """
    clean = joined(one_note((450, 600, 350, 900, 250, 500), (0,) * 6)).result
    assert clean
    assert clean.reduction == 100
    assert clean.coles.limits.low is None
    assert clean.delta.clinical is None
    assert clean.delta.limits.missing
    four = joined(one_note((450, 600, 350, 900), (50, 50, 50, 0))).result
    assert four
    assert four.reduction is not None
    assert four.delta.limits.low is None
    assert "vet" in no_range_words(four.delta.limits.missing)


@pytest.mark.parametrize(
    ("second", "warned"),
    [("2026-06-08", "too soon"), ("2026-06-09", ""), ("2026-06-19", ""), ("2026-06-20", "too late")],
)
def test_the_second_sample_is_timed_from_the_drench(second: str, warned: str) -> None:
    """Drenched on 2 June: 6 days is too soon, 7 to 17 are right, 18 is too late (published windows 7-10 to 14-17
    days).
    """
    found = joined(two_notes(A_BEFORE, A_AFTER, 50, second))
    assert found.drenched == date(2026, 6, 2)
    assert found.days == (date.fromisoformat(second) - date(2026, 6, 2)).days
    assert any(warned and warned in weakness_words(one) for one in found.warnings) is bool(warned)


def test_a_test_half_written_has_no_result_and_says_so() -> None:
    """Only the counts before: no figure is made up."""
    lines = [f"{tag} 9 eggs" for tag in tags(10)]
    seen = read(
        {**sheep(10), "events/2026-06-01 egg count.md": counted(lines, test="spring", factor="50")}, "2026-07-01"
    )
    found = joined(seen)
    assert found.result is None
    assert found.before == (450.0,) * 10
    assert any("still to be written" in weakness_words(one) for one in found.warnings)


@pytest.mark.parametrize(
    ("slide", "factor"),
    [
        (
            "2 g, 60 ml in all, 0.15 ml counted",
            200,
        ),  # Whitlock's table
        ("0.6 ml counted of 60 mL in all, 2 g", 50),
        ("4 g, 30 ml in all, 0.3 ml counted", 25),  # AAEP guideline, appendix A
    ],
)
def test_a_slide_as_it_was_made_gives_the_factor(slide: str, factor: float) -> None:
    """A shepherd who counts at home knows the recipe of the slide; the printed tables give its factor."""
    notes = {"events/2026-06-01 egg count a.md": counted(["701 7 eggs"], slide=slide)}
    seen = read({**sheep(1), **notes}, "2026-07-01")
    (found,) = seen.facts.health.worms.eggs.samples
    assert (found.epg, found.factor) == (pytest.approx(7 * factor), pytest.approx(factor))
    assert codes(seen) == []


def test_a_slide_and_a_factor_that_do_not_agree() -> None:
    """Told with both; the typed factor counts. A recipe that cannot be is a fault of its own."""
    made = {"slide": SLIDE, "factor": "50"}
    seen = read({**sheep(1), "events/2026-06-01 egg count.md": counted(["701 7 eggs"], **made)}, "2026-07-01")
    assert codes(seen) == ["U108"]
    assert seen.facts.health.worms.eggs.samples[0].epg == 350
    for wrong in ("2 g in 28 ml", "2 g, 30 ml in all, 60 ml counted", "30 ml in all, 0.3 ml counted"):
        notes = {"events/2026-06-01 egg count.md": counted(["701 7 eggs"], slide=wrong)}
        told = [item for item in read({**sheep(1), **notes}, "2026-07-01").diagnostics if item.code == "F103"]
        assert ["0.3 ml counted" in message.help for message in told] == [True]


def test_the_recipe_of_a_slide_tells_of_no_dose() -> None:
    """Millilitres of fluid beside the name of a drench withhold nobody."""
    drench = "---\nnote: medicine\nname: moxidectin oral\nmeat withdrawal: 14 days\nmilk withdrawal: 5 days\n---\n"
    made = {"slide": SLIDE, "medicine": "moxidectin oral", "test": "spring"}
    notes = {"medicines/m.md": drench, "events/2026-06-01 egg count.md": counted(["701 7 eggs"], **made)}
    seen = read({**sheep(1), **notes}, "2026-06-02")
    assert meat(seen, "701") == "clear"


def test_eggs_become_eggs_per_gram_by_the_factor() -> None:
    """12 + 15 eggs x 50 = 1350 (RVC/FAO guide); 7 eggs of 2 g in 60 mL, 0.3 mL counted = 700 (Univ. of Minnesota,
    module 3.3).
    """
    notes = {
        "events/2026-06-01 egg count a.md": counted(["701 27 eggs"], factor="50"),
        "events/2026-06-02 egg count b.md": counted(["pooled 7 eggs"], slide=SLIDE, pooled="yes"),
        "events/2026-06-03 egg count c.md": counted(["701 5 eggs"]),
        "events/2026-06-04 egg count d.md": counted(["701 230 epg"], factor="50"),
    }
    first, pooled, without, odd = read({**sheep(1), **notes}, "2026-07-01").facts.health.worms.eggs.samples
    assert (first.epg, first.sheep) == (1350, "701")
    assert (pooled.epg, pooled.sheep) == (700, None)
    assert without.epg is None
    assert first.fits
    assert not odd.fits


def wormed(head: int, except_: int = 0) -> Worms:
    """A mob of `head`, drenched but for `except_` of it."""
    left = f"except: {', '.join(tags(except_))}\n" if except_ else ""
    note = f"---\nnote: treatment\nmob: hoggs\n{left}medicine: drench\ndose: 5 ml\nfor: worms\n---\n"
    return read(
        {**sheep(head), "medicines/drench.md": MEDICINE, "events/2026-06-02 treatment.md": note}, "2026-07-01"
    ).facts.health.worms


def test_fifty_seven_sheep_leave_six_at_a_tenth() -> None:
    """57 sheep: 10 % is 6 rounded up, 51 treated; 20 % is 12 (Vet Times, 13 Jan 2025, 10-20 %; the rounding ours)."""
    (drench,) = wormed(57, 6).group_drenches
    assert drench.advised == (6, 12)
    assert (len(drench.treated), len(drench.left)) == (51, 6)
    assert (drench.share_left.count, drench.share_left.of) == (6, 57)


def test_a_mob_drenched_whole_left_nobody() -> None:
    """Nobody named after `except`: none left, and every one is drenched once."""
    found = wormed(12)
    assert found.group_drenches[0].left == ()
    assert not found.untreated
    assert not found.never
    assert not found.offenders


def test_sheep_listed_by_tag_are_held_against_their_mob() -> None:
    """Ten of twelve of a mob by tag, one more the same day in a note of its own: one is left."""
    notes = {
        "medicines/drench.md": MEDICINE,
        "events/2026-06-02 treatment a.md": dosed(tags(10)),
        "events/2026-06-02 treatment b.md": "---\nnote: treatment\nsheep: 711\nmedicine: drench\ndose: 5 ml\n---\n",
    }
    (drench,) = read({**sheep(12), **notes}, "2026-07-01").facts.health.worms.group_drenches
    assert drench.left == ("712",)


def test_offenders_stand_out_of_their_kind_and_the_never_treated_are_listed() -> None:
    """One lamb dosed three times where the others were dosed once or never stands out; a repeat within one note
    counts by day.
    """
    notes = {"medicines/drench.md": MEDICINE}
    for place, day in enumerate(("2026-05-01", "2026-05-20", "2026-06-10")):
        who = ", ".join(tags(8 if place == 0 else 1))
        notes[f"events/{day} treatment.md"] = f"---\nnote: treatment\nsheep: {who}\nmedicine: drench\ndose: 5 ml\n---\n"
    found = read({**sheep(10), **notes}, "2026-07-01").facts.health.worms
    assert [(row.sheep, row.times, row.usual) for row in found.offenders] == [("701", 3, 1)]
    assert [row.sheep for row in found.never] == ["709", "710"]


def checked(*notes: tuple[str, Sequence[str]]) -> Worms:
    """Checks of three sheep on several days."""
    files = {
        f"events/{day} check worms.md": "---\nnote: check\nfor: worms\n---\n" + "".join(f"- {line}\n" for line in lines)
        for day, lines in notes
    }
    return read({**sheep(3), **files}, "2026-12-01").facts.health.worms


def test_scores_change_since_the_last_of_their_own_kind() -> None:
    """A condition score is held against the last condition score, though a check of eyelids lies between."""
    found = checked(
        ("2026-06-01", ["701 bcs 3, eyelid 2"]), ("2026-07-01", ["701 eyelid 4"]), ("2026-08-01", ["701 bcs 2.5"])
    )
    first, second, third = found.scores["701"]
    assert (first.condition_change, first.eyelid_change) == (None, None)
    assert (second.condition_change, second.eyelid_change) == (None, 2)
    assert (third.condition_change, third.eyelid_change) == (-0.5, None)


def test_five_points_and_the_share_that_needs_a_look() -> None:
    """Eyelid 4-5, jaw, condition 2 or less, scour, nose (Cornell CCE 2020; Maryland): two of three need a look."""
    found = checked(
        ("2026-06-01", ["701 eyelid 4, jaw swollen, bcs 2", "702 eyelid 2, dag 3", "703 eyelid 3, bcs 2.5"])
    )
    (session,) = found.sessions
    assert [score.points for score in session.scores] == [("eye", "jaw", "back"), ("tail",), ()]
    assert (session.attention.count, session.attention.of) == (2, 3)
    assert session.mean_eyelid == pytest.approx(3)


def test_a_check_of_condition_alone_has_no_share() -> None:
    """Where no eyelid, dag or sign was looked at there is nothing to divide."""
    (session,) = checked(("2026-06-01", ["701 bcs 2", "702 bcs 3"])).sessions
    assert session.attention.of == 0
    assert session.attention.value is None


def test_nothing_after_the_day_asked_about_counts() -> None:
    """A drench and a count of tomorrow are not in today's book."""
    tomorrow = date(2026, 6, 1) + timedelta(days=1)
    notes = {
        "medicines/drench.md": MEDICINE,
        f"events/{tomorrow} treatment.md": "---\nnote: treatment\nmob: hoggs\nmedicine: drench\ndose: 5 ml\n---\n",
        f"events/{tomorrow} egg count.md": counted(["701 3 eggs"], factor="50"),
    }
    found = read({**sheep(2), **notes}, "2026-06-01", date(2026, 7, 1)).facts.health.worms
    assert not found.group_drenches
    assert not found.eggs.samples
    assert len(found.never) == 2


def test_those_left_of_a_class_are_counted_as_left() -> None:
    """Left out by tag where the drench names a class and no mob: two of twelve (10 to 20 %: Vet Times, 13 Jan 2025)."""
    note = "---\nnote: treatment\nmob: lambs\nexcept: 701, 702\nmedicine: drench\ndose: 5 ml\nfor: worms\n---\n"
    notes = {**sheep(12), "medicines/drench.md": MEDICINE, "events/2026-06-02 treatment.md": note}
    notes = {name: text.replace("note: ewe", "note: lamb") for name, text in notes.items()}
    (drench,) = read(notes, "2026-07-01").facts.health.worms.group_drenches
    assert drench.left == ("701", "702")
    assert drench.share_left.of == 12


def test_a_test_keeps_its_own_year() -> None:
    """Both counts in one note of June 2025; the same product given again in 2026 is no part of that test."""
    notes = {
        "medicines/drench.md": MEDICINE,
        "events/2025-06-14 egg count.md": "---\ntest: June\nmedicine: drench\n---\n- 701 before 400 after 0\n",
        "events/2025-06-14 treatment.md": dosed(["701"]),
        "events/2026-06-20 treatment.md": dosed(["701"]),
    }
    (test,) = read({**sheep(2, born="2024-04-01"), **notes}, "2026-07-01").facts.health.worms.eggs.tests
    assert test.drenched == date(2025, 6, 14)
