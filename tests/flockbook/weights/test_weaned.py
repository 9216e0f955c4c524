"""What weaned means: one rule for the season, the losses and the rearing factor, its days told beside the figure.

The days are our own choice (14 weeks are Irish practice); the counts are worked out by hand from the notes.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from flockbook.derive.weights.weaning import REARED_DAYS, WEANED_DAYS, WEANED_RULE
from flockbook.handover.facts import facts_object
from flockbook.seen import Seen
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import codes, read

FLOCK = {
    **{f"sheep/A{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in (1, 2, 3)},
    "events/2026-03-20 lambing A1.md": "- ewe 4 kg, tag 1\n- ram 4.2 kg, tag 2\n",
    "events/2026-03-21 lambing A2.md": "- ewe 4 kg, tag 3\n", "events/2026-03-21 lambing A3.md": "- ewe 4 kg, tag 4\n",
}  # fmt: skip
WEANING = "events/2026-07-20 weaning.md"
ALL = "- 1 30\n- 2 30\n- 3 31\n- 4 32\n"


def counted(notes: dict[str, str], on: str = "2026-12-01") -> tuple[int, int, int]:
    """Lambs weaned, and lost of those born alive whose fate is known."""
    (season,) = facts_object(read({**FLOCK, **notes}, on))["seasons"]
    loss = season["indices"]["preweaning_loss"]
    return season["counts"]["weaned"], loss["count"], loss["of"]


def sale(day: str, lamb: str) -> dict[str, str]:
    """A lamb sold as a store."""
    return {f"events/{day} sale {lamb}.md": f"---\nsheep: {lamb}\nuse: store\nprice: 60 each\nto: mart\n---\n"}


@pytest.mark.parametrize("lines", ["- 1\n- 2 30\n- 3 31\n- 4\n", "1\n2 30\n3 31\n4\n", "1. 1\n2. 2\n3. 3\n4. 4\n", ALL])
def test_a_bare_tag_is_a_lamb_weaned_and_not_weighed(lines: str) -> None:
    """With a dash, without one, and numbered: four are weaned, and nothing is said of a remark."""
    seen = read({**FLOCK, WEANING: lines}, "2026-12-01")
    assert counted({WEANING: lines}) == (4, 0, 4)
    assert codes(seen) == []


def test_a_tag_that_nobody_bears_is_told() -> None:
    """A bare tag is a lamb or a message."""
    assert "L201" in codes(read({**FLOCK, WEANING: f"{ALL}- 99\n"}, "2026-12-01"))


@pytest.mark.parametrize("prose", ["14.30", "27.5", "dry day", "10kg", "All well."])
def test_other_words_stay_remarks(prose: str) -> None:
    """A time, an amount and a sentence are no lambs."""
    seen = read({**FLOCK, WEANING: f"{ALL}\n{prose}\n"}, "2026-12-01")
    assert counted({WEANING: f"{ALL}\n{prose}\n"}) == (4, 0, 4)
    assert "L201" not in codes(seen)


@pytest.mark.parametrize(("day", "weaned", "lost"), [("2026-07-19", 3, 1), ("2026-07-20", 3, 1), ("2026-07-21", 4, 0)])
def test_a_lamb_dead_on_the_weaning_day_is_not_weaned(day: str, weaned: int, lost: int) -> None:
    """2 is in no weaning: dead by the evening of that day it was lost; a day later, there is a note of it after."""
    death = {f"events/{day} death 2.md": "---\ncause: accident\n---\n"}
    assert counted({WEANING: "- 1 30\n- 3 31\n- 4 32\n", **death}) == (weaned, lost, 4)
    stages = facts_object(read({**FLOCK, WEANING: "- 1\n- 3\n- 4\n", **death}, "2026-12-01"))["seasons"][0]["counts"]
    assert sum(stages["dead_by_stage"].values()) == lost


def test_a_lamb_that_the_weaning_names_and_dies_that_day_is_weaned() -> None:
    """Weaned in the morning."""
    death = {"events/2026-07-20 death 2.md": "---\ncause: accident\n---\n"}
    assert counted({WEANING: ALL, **death}) == (4, 0, 4)


@pytest.mark.parametrize(
    ("lines", "names"), [("- 1 30\n- 3 31\n- 4 32\n", "2"), ("- 1 30\n", "2, 3, 4"), (ALL, "")]
)  # fmt: skip
def test_lambs_that_a_weaning_left_out_are_a_gap(lines: str, names: str) -> None:
    """They are named, the day after and later; counted neither as weaned nor as lost; and not once they are told of."""
    seen = read({**FLOCK, WEANING: lines}, "2026-12-01")
    told = [item.message for item in seen.diagnostics if item.code == "H106"]
    assert [message.split(" in no")[0].rsplit(" ", 1)[0] for message in told] == ([names] if names else [])
    assert "H106" not in codes(read({**FLOCK, WEANING: lines}, "2026-07-20"))
    later = {"events/2026-08-01 remark.md": "---\nsheep: 2, 3, 4\n---\nSeen.\n"}
    assert "H106" not in codes(read({**FLOCK, WEANING: lines, **later}, "2026-12-01"))


def factors(seen: Seen, lamb: str) -> float:
    """The factor of a lamb for how it was born and reared."""
    row = next(row for row in facts_object(seen)["growth"] if row["lamb"] == lamb)
    return float(row["factors"]["type"])


@pytest.mark.parametrize(("day", "counts"), [("2026-05-10", False), ("2026-05-19", True), ("2026-07-01", True)])
def test_a_twin_sold_before_weaning_counts_alike_everywhere(day: str, counts: bool) -> None:
    """Sold at 51 days it was not reared here, at 60 and at 103 days it was: for the season, and for its sib, whose
    factor is that of a twin reared as one or as two (1.11 and 1.21, Penn State Extension).
    """
    notes = {WEANING: "- 1 30\n- 3 31\n- 4 32\n", **sale(day, "2")}
    assert counted(notes)[0] == (4 if counts else 3)
    assert factors(read({**FLOCK, **notes}, "2026-12-01"), "1") == (1.21 if counts else 1.11)


@pytest.mark.parametrize(("on", "weaned"), [("2026-06-27", 0), ("2026-06-28", 2), ("2026-06-29", 4)])
def test_without_a_weaning_a_hundred_days_are_one(on: str, weaned: int) -> None:
    """Born on 20 and 21 March: their hundredth days are 28 and 29 June."""
    assert counted({}, on)[0] == weaned


def test_the_rule_stands_beside_the_figure(tmp_path: Path) -> None:
    """Its days are printed on the pages of the season and of the crop, and with the workings."""
    assert f"{REARED_DAYS} days" in WEANED_RULE
    assert f"{WEANED_DAYS} days" in WEANED_RULE
    book = Compiled({**FLOCK, WEANING: ALL}, "2026-12-01", tmp_path)
    for page in ("season-2026.html", "crop-2026.html", "seasons.html", "workings.html"):
        assert "left alive at 60 days or older" in book.words(page), page
        assert "if it lived 100 days" in book.words(page), page
