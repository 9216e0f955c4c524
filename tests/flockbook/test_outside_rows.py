"""Check cases from published sources, through typed notes and the real stages."""

from __future__ import annotations

import pytest

from flockbook.handover.facts import facts_object
from tests.flockbook.small import codes, read

SELENIUM = (
    "---\nnote: medicine\nname: selenium\nlabel rate: 1 mL per 40 lb\nlabel minimum: 1 ml\nminimum age: 14 days\n"
    "meat withdrawal: 14 days\nmilk withdrawal: none\n---\n"
)
EWE = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
}


def test_selenium_for_a_newborn_of_ten_pounds() -> None:
    """1 mL per 40 lb at 10 lb is 0.25 mL, under the typed minimum and the typed age (arithmetic: references row 15;
    label from memory).
    """
    seen = read(
        {
            **EWE,
            "flock.yaml": "flock: Larkspur Bottom\nunits: us\n",
            "medicines/selenium.md": SELENIUM,
            "2026-03-11 0500 lambing Bramble.md": "- ewe 10 lb, tag 7\n",
            "2026-03-12 treatment.md": "---\nsheep: 7\nmedicine: selenium\ndose: 0.25 ml\n---\n",
        },
        "2026-03-13",
    )
    fact = seen.facts.medicine.doses[("2026-03-12 treatment.md", "7")]
    assert fact.expected_ml == pytest.approx(0.25)
    assert {"M202", "M203"} <= set(codes(seen))
    assert seen.facts.medicine.guard.standing["7"].meat.state == "unknown"


@pytest.mark.parametrize(("kg", "ml", "sites"), [(80, 5.6, 2), (70, 4.9, 1)])
def test_penicillin_sites(kg: int, ml: float, sites: int) -> None:
    """0.7 mL per 10 kg with 5 mL a site: 5.6 mL in 2 sites at 80 kg, 4.9 mL in 1 at 70 kg (Canadian label text,
    korveda.com).
    """
    seen = read(
        {
            **EWE,
            "medicines/p.md": "---\nnote: medicine\nname: p\nlabel rate: 0.7 ml/10 kg\nmax per site: 5 ml\nmeat "
            "withdrawal: 9 days\n---\n",
            "2026-03-12 treatment.md": f"---\nmedicine: p\ndose: {ml} ml\n---\n- C214 {kg} kg\n",
        },
        "2026-03-13",
    )
    fact = seen.facts.medicine.doses[("2026-03-12 treatment.md", "C214")]
    assert (fact.expected_ml, fact.sites) == (pytest.approx(ml), sites)


@pytest.mark.parametrize(
    ("service", "likely", "earliest", "latest"),
    [
        ("2025-10-15", "2026-03-11", "2026-03-06", "2026-03-16"),
        ("2023-10-15", "2024-03-10", "2024-03-05", "2024-03-15"),
    ],
)
def test_due_dates_of_a_seen_service(service: str, likely: str, earliest: str, latest: str) -> None:
    """Reproduction rows 1 and 2: service + 147 with the window 142-152, through a leap year (New Mexico State
    University mean).
    """
    note = {f"{service} joining.md": "---\nrams: Sexton\newes: Bramble\nmethod: hand\n---\n"}
    due = read({**EWE, **note}, f"{service[:4]}-12-01").facts.breeding.due.rows[0].due
    assert (str(due.likely), str(due.earliest), str(due.latest)) == (likely, earliest, latest)


def test_another_length_of_pregnancy() -> None:
    """Row 4: served 20 Sep 2011, 145 days, due 12 Feb 2012 (The Derby Farm, February 2012)."""
    notes = {
        **EWE,
        "flock.yaml": "flock: x\ngestation: 145 days\n",
        "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2008\n---\n",
    }
    notes |= {"sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2008\n---\n"}
    notes |= {"2011-09-20 joining.md": "---\nrams: Sexton\newes: Bramble\nmethod: hand\n---\n"}
    assert str(read(notes, "2011-12-01").facts.breeding.due.rows[0].due.likely) == "2012-02-12"


@pytest.mark.parametrize("day", range(8, 15))
def test_ram_in_the_second_week_of_october_lambs_in_early_march(day: int) -> None:
    """Common practice, no source: ewes that took a ram in the second week of October lamb in the first two weeks of
    March. Each of twenty, marked on the day he went in, is likeliest due then, and so are nine in ten of the births
    that the forecast expects of those marks.
    """
    ewes = {f"sheep/E{number}.md": "---\nnote: ewe\nborn: 2021\n---\n" for number in range(20)}
    names = ", ".join(f"E{number}" for number in range(20))
    head = f"---\nrams: Sexton\newes: {names}\nout: 2025-10-{day + 1:02d}\n---\n- {day} Oct {names}\n"
    facts = facts_object(read({**EWE, **ewes, f"2025-10-{day:02d} joining.md": head}, "2026-01-01"))
    assert len(facts["due"]) == 20
    assert all("2026-03-01" <= row["likely"] <= "2026-03-14" for row in facts["due"])
    births = {row["date"]: row["expected_ewes"] for row in facts["forecast"]}
    early = sum(many for on, many in births.items() if "2026-03-01" <= on <= "2026-03-14")
    assert early > 0.9 * sum(births.values()) > 10


def test_a_gain_from_birth_and_between_weighings() -> None:
    """ILRI lamb 627: 2.7 kg to 16.3 kg in 125 days is 0.1088 kg a day; 32.0 to 36.2 kg in 14 days is 0.3
    (references/growth.md W3, §6).
    """
    notes = {
        **EWE,
        "2026-03-01 0500 lambing Bramble.md": "- ewe 2.7 kg, tag 627\n- ram 4.0 kg, tag 628\n",
        "2026-07-04 weighing.md": "627 16.3\n628 32.0\n",
        "2026-07-18 weighing.md": "628 36.2\n",
    }
    growth = read(notes, "2026-08-01").facts.weights.gains
    assert growth["627"].adg == pytest.approx(0.1088)
    assert growth["628"].weights[-1].gain == pytest.approx(0.3)


def test_nothing_is_computed_from_nobody() -> None:
    """Row 24: nought of four is 0 to 0.4899, nought of nought is no figure (Newcombe 1998a)."""
    from flockbook.derive.plain.intervals import wilson

    assert wilson(0, 4).high == pytest.approx(0.489891, abs=1e-6)
    assert wilson(0, 0).value is None


def test_values_are_what_was_typed_and_no_yaml_1_1() -> None:
    """`tag: 012`, `12:30`, `05:40`, `no` and `4.50` stay what they are; PyYAML 6.0.4 makes of them 10, 750, 340, False
    and 4.5 (YAML 1.1 resolution of ints, sexagesimals and booleans; references/grazing-money-identity.md §8 row 15).
    """
    import yaml

    head = "tag: 012\ntime: 12:30\nother: no\nkg: 4.50\n"
    assert yaml.safe_load(head) == {"tag": 10, "time": 750, "other": False, "kg": 4.5}
    notes = {
        "sheep/one.md": "---\nnote: ewe\ntag: 012\nname: no\nborn: 2021\n---\n",
        "events/2026-04-01 check.md": "---\ntime: 12:30\nsheep: 012\n---\n",
        "events/2026-04-02 weighing.md": "---\ntime: 05:40\n---\n012 4.50 kg\n",
    }
    seen = read(notes, "2026-06-01")
    assert [(animal.tag, animal.name) for animal in seen.linked.animals.values()] == [("012", "no")]
    assert [str(event.time) for event in seen.linked.events] == ["12:30:00", "05:40:00"]
    (weight,) = seen.facts.weights.gains["012"].weights
    assert weight.kg == 4.5


def test_a_record_is_kept_for_five_years() -> None:
    """2025-05-01 and five years is 2030-05-01 (Reg. (EU) 2019/6 Art. 108(5)); 29 February runs to 1 March."""
    from datetime import date

    from flockbook.derive.medicine.medicine_register import kept_until

    assert kept_until(date(2025, 5, 1), 5) == date(2030, 5, 1)
    assert kept_until(date(2024, 2, 29), 5) == date(2029, 3, 1)
