"""Figures that a second reckoning by hand found wrong, or that could not be and were taken without a word."""

from __future__ import annotations

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.farm import feed
from flockbook.seen import Seen
from tests.flockbook.families import sentences_in, table_in
from tests.flockbook.growth.test_growth_page import STAMP
from tests.flockbook.small import codes, read


def told(seen: Seen, code: str) -> list[str]:
    """What the messages of one code say, each with its cure."""
    return [f"{one.text} / {one.help}" for one in seen.diagnostics if one.code == code]


# Hay


def hay_days(lamb_kg: str, ram: str) -> tuple[int, int]:
    """How long 900 kg of hay last five ewes in lamb that were weighed, five open ones that were not, and a ram."""
    ewes = {f"sheep/A{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(1, 11)}
    marked = "A6, A7, A8, A9, A10"
    notes = {
        **ewes, "sheep/R1.md": f"---\nnote: ram\nborn: 2021\nmature weight: {ram}\n---\n",
        "supplies/hay.md": "---\nnote: supply\nhave: 50 bales of 18 kg\n---\n",
        "events/2026-10-20 joining R1.md": f"---\newes: {marked}\n---\n",
        "events/2026-11-29 weighing.md": "".join(f"A{place} {lamb_kg}\n" for place in range(6, 11)),
        "events/2026-11-28 scanning.md": "".join(f"- A{place} 2\n" for place in range(6, 11)),
        "events/2026-11-28 0900 scanning.md": "".join(f"- A{place} 0\n" for place in range(1, 6)),
    }  # fmt: skip
    (row, *_) = read(notes, "2026-11-30").facts.land.feed.lasting
    assert row.days is not None
    return row.days


def test_an_open_ewe_without_a_weight_weighs_what_ewes_weigh() -> None:
    """(10 x 60 + 110) kg at 2 to 2.5 % of dry matter, hay 88 % dry: 900 kg last 44 to 55 days (reckoned by hand)."""
    assert hay_days("60", "110 kg") == (44, 55)
