"""Periods that are counted in milkings, and periods off the label that are shorter than the law has them."""

from __future__ import annotations

import pytest

from tests.flockbook.small import codes, milk, read

EWE = {"sheep/C1.md": "---\nnote: ewe\nborn: 2022\n---\n"}


def notes(milk_period: str, treatment: str = "", country: str = "GB") -> dict[str, str]:
    """One ewe, one product and one dose of it on 1 June at 07:00."""
    product = f"---\nnote: medicine\nname: penicillin\nmeat withdrawal: 28 days\nmilk withdrawal: {milk_period}\n---\n"
    dose = (
        f"---\nnote: treatment\nsheep: C1\nmedicine: penicillin\ndose: 4 ml\ngiven: 2026-06-01 07:00\n{treatment}---\n"
    )
    settings = f"flock: Small\ncountry: {country}\n"
    return {**EWE, "flock.yaml": settings, "medicines/p.md": product, "events/2026-06-01 treatment.md": dose}


@pytest.mark.parametrize("period", ["6 milkings", "72 h (6 milkings)", "6 milking"])
def test_a_period_in_milkings_asks_for_the_hours_and_holds(period: str) -> None:
    """21 CFR 526.1698 prints `72 h (6 milkings)`; six milkings of a ewe milked once a day are twice as long, so without
    hours she is held with no end.
    """
    seen = read(notes(period), "2026-12-01")
    assert milk(seen, "C1") == "unknown"
    (message,) = [item for item in seen.diagnostics if item.span.path == "medicines/p.md"]
    assert (message.span.line, "milkings" in message.message, "`72 h`" in message.help) == (5, True, True)


def test_the_milking_at_the_very_limit_is_thrown_away_too() -> None:
    """72 h after a dose at 07:00 the sixth milking, at exactly 07:00, does not count as clear (W8; the boundary trap of
    the references: 21 CFR 526.1698 against a note that lets it through).
    """
    assert milk(read(notes("72 h"), "2026-06-04T07:00"), "C1").startswith("held")
    assert milk(read(notes("72 h"), "2026-06-04T07:01"), "C1") == "clear"


SIGNED = "off label: yes\nvet: Marram Vets\n"


@pytest.mark.parametrize(
    ("typed", "country", "found"),
    [
        ("meat withdrawal: 28 days\nmilk withdrawal: 6 days\n", "GB", ["M106"]),
        ("meat withdrawal: 42 days\nmilk withdrawal: 107 h\n", "IE", ["M106"]),
        ("meat withdrawal: 42 days\nmilk withdrawal: 108 h\n", "GB", []),
        ("meat withdrawal: 28 days\nmilk withdrawal: 3 days\n", "US", []),
        ("meat withdrawal: 28 days\nmilk withdrawal: 3 days\nsure: yes\n", "GB", []),
    ],
)
def test_periods_off_the_label_against_the_law(typed: str, country: str, found: list[str]) -> None:
    """28 d and 72 h on the label: at least 42 d and 108 h off it (Reg. (EU) 2019/6 Art. 115; SI 2013/2033 Sch. 4)."""
    seen = read(notes("72 h", SIGNED + typed, country), "2026-06-10")
    assert [code for code in codes(seen) if code == "M106"] == found
