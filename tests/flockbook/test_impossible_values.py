"""Values that no sheep, count or sale has, through notes: asked about in every kind of note, and out of the sums."""

from __future__ import annotations

import pytest

from flockbook.handover.facts import facts_object
from flockbook.seen import Seen
from tests.flockbook.small import codes, read

SHEEP = {
    "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n", "sheep/A2.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/R1.md": "---\nnote: ram\nborn: 2021\n---\n",
}  # fmt: skip
WARM = {
    "check": ("events/2026-07-02 check.md", "- A1 {}\n"),
    "illness": ("events/2026-07-02 illness A1.md", "---\nproblem: scour\ntemp: {}\n---\n"),
    "feeding": ("events/2026-07-02 feeding.md", "---\nlambs: A1\namount: 100 ml\ntemp: {}\n---\n"),
}


def asked(seen: Seen) -> list[str]:
    """The messages that ask."""
    return [item.message for item in seen.diagnostics if item.grade.value == "ask"]


@pytest.mark.parametrize("kind", WARM)
@pytest.mark.parametrize(
    ("typed", "asks"),
    [("44 C", True), ("29 C", True), ("112 F", True), ("43 C", False), ("39.2 C", False), ("104.5 F", False)],
)
def test_one_band_of_temperatures_for_all_kinds(kind: str, typed: str, asks: bool) -> None:
    """Grown sheep are at 38.6-40.0 °C (New Bolton Center); under 30 and over 43.5 is asked about, wherever written."""
    name, text = WARM[kind]
    seen = read({**SHEEP, name: text.format(typed)}, "2026-08-01")
    assert any("unusual here" in message for message in asked(seen)) is asks


@pytest.mark.parametrize("typed", ["12.5 eggs", "1.200 eggs", "600.5 epg", "before 3500.5 after 200"])
def test_eggs_are_whole(typed: str) -> None:
    """Half an egg is no count: nothing of the line is counted, and the line is asked about."""
    note = f"---\nfactor: 50\n---\n- A1 {typed}\n- A2 7 eggs\n"
    seen = read({**SHEEP, "events/2026-07-02 egg count.md": note}, "2026-08-01")
    assert any("is no count of eggs" in message for message in asked(seen))
    (note,) = [event for event in seen.linked.events if event.origin.path.endswith("egg count.md")]
    assert [(line.sheep, line.eggs) for line in note.lines] == [("A2", 7)]


@pytest.mark.parametrize(
    ("typed", "eggs", "epg"), [("1,200 epg", None, 1200), ("12 eggs,", 12, None), ("12 eggs. loose", 12, None)]
)
def test_counts_as_people_write_them(typed: str, eggs: int | None, epg: float | None) -> None:
    """Thousands apart, and a count at the end of a clause."""
    seen = read({**SHEEP, "events/2026-07-02 egg count.md": f"---\nfactor: 50\n---\n- A1 {typed}\n"}, "2026-08-01")
    (note,) = [event for event in seen.linked.events if event.origin.path.endswith("egg count.md")]
    assert [(line.eggs, line.epg) for line in note.lines] == [(eggs, epg)]


@pytest.mark.parametrize(
    ("price", "use", "currency", "asks"),
    [
        ("25000 each", "breeding", "", True), ("9250 each", "store", "GBP", True),
        ("4200 each", "breeding", "GBP", False), ("92.50 each", "slaughter", "GBP", False),
        ("30000 each", "slaughter", "HUF", False),
        ("9250 total", "slaughter", "USD", True), ("450 each", "breeding", "USD", False),
    ],
)  # fmt: skip
def test_absurd_prices(price: str, use: str, currency: str, asks: bool) -> None:
    """A price that no sheep fetches stays out of the margin until it is confirmed (our own lines)."""
    note = f"---\nsheep: R1\nuse: {use}\nprice: {price}\nto: mart\n{{}}---\n"
    own = {"flock.yaml": f"flock: Q\ncurrency: {currency}\n"} if currency else {}
    name = "events/2026-07-04 sale.md"
    seen = read({**SHEEP, **own, name: note.format("")}, "2026-08-01")
    assert ("C110" in codes(seen)) is asks
    assert [row["income"] for row in facts_object(seen)["money"]] == ([] if asks else [float(price.split()[0])])
    sure = read({**SHEEP, **own, name: note.format("sure: yes\n")}, "2026-08-01")
    assert "C110" not in codes(sure)
    assert [row["income"] for row in facts_object(sure)["money"]] == [float(price.split()[0])]


@pytest.mark.parametrize(("joined", "charged"), [(True, 850.0), (False, 0.0)])
def test_own_hours_are_charged_once_a_ewe_is_exposed(joined: bool, charged: float) -> None:
    """100 hours at 8.50 belong to a season with ewes in it; one that only had feed bought for it bears none yet."""
    notes = {
        **SHEEP, "flock.yaml": "flock: Q\nown hours: 100\nhour worth: 8.50\n",
        "events/2026-10-25 money.md": "---\namount: 300\nfor: feed\nseason: 2027\n---\n",
    }  # fmt: skip
    if joined:
        notes["events/2026-10-20 joining R1.md"] = "---\newes: A1, A2\n---\n"
    (row,) = facts_object(read(notes, "2026-11-01"))["money"]
    assert (row["season"], row["own_labour"], row["margin_after_labour"]) == (2027, charged, -300.0 - charged)
