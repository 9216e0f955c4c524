"""Illness as cases: open, continued, come back, treated, and how often ewes had it."""

from __future__ import annotations

from datetime import date

import pytest

from flockbook.derive.health.cases import Case, outside_range, raised_ketones, same_trouble
from flockbook.handover.facts import facts_object
from flockbook.saying.holding import ketone_words, temperature_words
from tests.flockbook.small import Seen, read

EWE = "---\nnote: ewe\ntag: C214\nname: Bramble\nborn: 2021-04-01\n---\n"
PENICILLIN = "---\nnote: medicine\nname: penicillin\nkind: antibiotic\nmeat withdrawal: 10 days\n---\n"
WORMER = "---\nnote: medicine\nname: drench\nkind: wormer\nmeat withdrawal: 14 days\n---\n"


def ill(**fields: str) -> str:
    """An illness note of Bramble."""
    more = "".join(f"{name}: {value}\n" for name, value in fields.items())
    return f"---\nnote: illness\nsheep: Bramble\n{more}---\n"


def flock(on: str = "2026-06-10", **notes: str) -> Seen:
    """A flock of one ewe and two medicines; keys `d2026_05_01_illness` name the notes' files."""
    files = {"sheep/C214 Bramble.md": EWE, "medicines/penicillin.md": PENICILLIN, "medicines/drench.md": WORMER}
    for name, text in notes.items():
        year, month, day, kind = name[1:].split("_", 3)
        files[f"events/{year}-{month}-{day} {kind} Bramble.md"] = text
    return read(files, on)


def only(seen: Seen) -> Case:
    """The one case that there is."""
    (case,) = seen.facts.health.cases.all
    return case


def test_a_case_stays_open_until_it_is_said_to_be_over() -> None:
    """Days open run to the day asked about; the facts file has the row."""
    seen = flock(d2026_06_01_illness=ill(problem="mastitis", side="left"))
    case = only(seen)
    assert case.open
    assert case.days == 9
    assert case.side == "left"
    assert facts_object(seen)["illness"] == [
        {
            "sheep": "C214",
            "problem": "mastitis",
            "since": "2026-06-01",
            "recovered": None,
            "open": True,
            "sample": None,
            "result": None,
            "result_date": None,
        }
    ]


def test_a_recovery_still_to_come_leaves_the_case_open() -> None:
    """The book of 3 June does not yet know what the note says of the 7th."""
    note = ill(problem="lameness", recovered="2026-06-07")
    assert only(flock("2026-06-03", d2026_06_01_illness=note)).open
    case = only(flock("2026-06-07", d2026_06_01_illness=note))
    assert (case.ended, case.end, case.days) == ("recovered", date(2026, 6, 7), 6)


def test_death_and_sale_end_a_case() -> None:
    """A case ends with the animal."""
    first = ill(problem="scour")
    death = "---\nnote: death\nsheep: Bramble\ncause: unknown\n---\n"
    sale = "---\nnote: sale\nsheep: Bramble\nuse: store\n---\n"
    assert only(flock(d2026_06_01_illness=first, d2026_06_03_death=death)).ended == "dead"
    assert only(flock(d2026_06_01_illness=first, d2026_06_03_sale=sale)).ended == "sold"


@pytest.mark.parametrize(("second", "cases"), [("2026_05_15", 1), ("2026_05_16", 2)])
def test_the_same_within_a_fortnight_is_the_same_case(second: str, cases: int) -> None:
    """A note 14 days on continues the case, one 15 days on begins another and counts as a return (our own line)."""
    notes = {"d2026_05_01_illness": ill(problem="lameness"), f"d{second}_illness": ill(problem="Lameness")}
    found = flock(**notes).facts.health.cases.all
    assert len(found) == cases
    assert sum(case.open for case in found) == 1
    if cases == 2:
        assert found[0].ended == "followed"
        assert (found[1].earlier, found[1].earlier_this_season) == (1, 1)


def test_another_problem_is_another_case() -> None:
    """Two troubles at once are two cases, neither a return of the other."""
    seen = flock(d2026_05_01_illness=ill(problem="lameness"), d2026_05_03_illness=ill(problem="mastitis"))
    assert [(case.problem, case.earlier) for case in seen.facts.health.cases.all] == [("lameness", 0), ("mastitis", 0)]


def treated(medicine: str, **fields: str) -> str:
    """A treatment of Bramble."""
    more = "".join(f"{name.rstrip('_')}: {value}\n" for name, value in fields.items())
    return f"---\nnote: treatment\nsheep: Bramble\nmedicine: {medicine}\ndose: 2 ml\n{more}---\n"


@pytest.mark.parametrize(
    ("day", "medicine", "reason", "tied"),
    [
        ("2026_05_02", "penicillin", "", True),  # while it was open
        ("2026_05_02", "drench", "worms", False),  # a drench is not for a foot
        ("2026_04_29", "penicillin", "foot abscess", True),  # the needle before the note
        ("2026_04_29", "penicillin", "cut ear", False),
        ("2026_05_20", "penicillin", "lame again", True),  # after the end, by its reason
        ("2026_05_20", "penicillin", "", False),
        ("2026_06_05", "penicillin", "lame", False),  # more than a fortnight after the end
    ],
)
def test_treatments_are_tied_by_reason_or_by_day(day: str, medicine: str, reason: str, tied: bool) -> None:
    """Lame from 1 to 9 May: what was given for it by name, or alone while it was open, belongs to it."""
    given = treated(medicine, for_=reason) if reason else treated(medicine)
    seen = flock(d2026_05_01_illness=ill(problem="lameness", recovered="2026-05-09"), **{f"d{day}_treatment": given})
    assert bool(only(seen).treatments) is tied


def test_reasons_are_matched_by_whole_words() -> None:
    """`foot` names lameness; `off` does not name `scoff`, nor `bag` a cabbage."""
    assert same_trouble("lameness", "near hind, foot abscess")
    assert same_trouble("mastitis", "hard bag")
    assert not same_trouble("mastitis", "ate a cabbage")
    assert not same_trouble("pneumonia", "")


def test_the_rate_counts_ewes_exposed_and_not_cases() -> None:
    """One ewe of one exposed, lame three times: 1 of 1 ewes, three cases."""
    notes = {
        "d2025_11_01_joining": "---\nnote: joining\nrams: Pike\newes: Bramble\nout: 2025-12-10\n---\n",
        "d2026_04_01_lambing": "---\nnote: lambing\newe: Bramble\n---\n- ewe 4 kg\n",
        "d2026_04_10_illness": ill(problem="lameness", recovered="2026-04-12"),
        "d2026_05_10_illness": ill(problem="lameness", recovered="2026-05-12"),
        "d2026_06_01_illness": ill(problem="lameness"),
    }
    files = {"sheep/R1 Pike.md": "---\nnote: ram\ntag: R1\nname: Pike\n---\n", "sheep/C214 Bramble.md": EWE}
    for name, text in notes.items():
        year, month, day, kind = name[1:].split("_", 3)
        files[f"events/{year}-{month}-{day} {kind} Bramble.md"] = text
    seen = read(files)
    (row,) = seen.facts.health.cases.incidence
    assert (row.season, row.ewes.count, row.ewes.of, row.cases) == (2026, 1, 1, 3)
    from statsmodels.stats.proportion import proportion_confint  # an independent library

    low, high = proportion_confint(1, 1, method="wilson")
    assert row.ewes.low == pytest.approx(low)
    assert row.ewes.high == pytest.approx(high)


def test_mastitis_and_lumps_are_carried_to_the_next_joining() -> None:
    """A ewe with either stands on the list of udders to feel; one with a sound bag does not."""
    check = "---\nnote: check\n---\n- Bramble udder lump left\n"
    assert [item.ewe for item in flock(d2026_05_02_check=check).facts.health.cases.udders] == ["C214"]
    sound = "---\nnote: check\n---\n- Bramble udder ok\n"
    assert not flock(d2026_05_02_check=sound).facts.health.cases.udders
    had = flock(d2024_05_02_illness=ill(problem="mastitis", recovered="2024-05-20")).facts.health.cases.udders
    assert [len(item.cases) for item in had] == [1]


def test_published_ranges_make_a_note_and_a_blank_makes_none() -> None:
    """104.2 F is outside 101.5-104.0 F (New Bolton Center 1999-2001); 104.0 F and 101.5 F are inside. Ketones:
    zenodo 1217859.
    """
    fahrenheit = {value: (value - 32) / 1.8 for value in (101.5, 104.0, 104.2, 101.0)}
    hot, cold, raised = outside_range(fahrenheit[104.2]), outside_range(fahrenheit[101.0]), raised_ketones(0.9)
    assert hot is not None
    assert cold is not None
    assert raised is not None
    assert "above a published range" in temperature_words(hot)
    assert "below a published range" in temperature_words(cold)
    assert outside_range(fahrenheit[104.0]) is None is outside_range(fahrenheit[101.5] + 0.0)
    assert outside_range(None) is None is raised_ketones(None)
    assert "0.9 mmol/L" in ketone_words(raised)
    assert raised_ketones(0.8) is None
    assert fahrenheit[101.5] == pytest.approx(38.611, abs=1e-3)
