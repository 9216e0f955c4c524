"""Watching: scans, forecast, labours under way, newborn lambs, histories, and the pages that show them."""

from __future__ import annotations

from datetime import datetime

import pytest

from flockbook.flock import nurse_of
from flockbook.saying.fears import fears_words
from flockbook.saying.newborns import birth_point_words
from tests.flockbook.small import codes, read

FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C231 Sorrel.md": "---\nnote: ewe\nborn: 2024\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "2025-10-15 joining.md": "---\nrams: Sexton\newes: C214, C230, C231\nout: 2025-11-19\n---\n- 20 Oct Bramble\n- 25 "
    "Oct C230\n",
}


def scanned(lines: str) -> dict[str, str]:
    """The flock with a scanning day."""
    return {**FLOCK, "2026-01-10 scan.md": lines}


def test_the_forecast_adds_up_to_the_ewes_less_the_barren_ones() -> None:
    """Its total is the sum of 1 - barren over the ewes that are due, and so is the sum of its days."""
    seen = read(FLOCK, "2026-02-01")
    total = sum(1 - row.due.barren_chance for row in seen.facts.breeding.due.rows)
    assert seen.facts.breeding.forecast.total == pytest.approx(total)
    assert sum(item.expected for item in seen.facts.breeding.forecast.days) == pytest.approx(total, abs=0.02)


def test_a_ewe_scanned_empty_leaves_the_list_and_the_forecast() -> None:
    """Three exposed, one scanned empty: two rows, and less is expected."""
    before = read(FLOCK, "2026-02-01").facts
    after = read(scanned("- C231 empty\n- C214 twins\n- C230 single, 77 days\n"), "2026-02-01").facts
    assert [row.ewe for row in after.breeding.due.rows] == ["C214", "C230"]
    assert {row.ewe: row.lambs_scanned for row in after.breeding.due.rows} == {"C214": 2, "C230": 1}
    assert all(row.due.barren_chance == 0 for row in after.breeding.due.rows)
    assert before.breeding.forecast.total > after.breeding.forecast.total == pytest.approx(2)


def test_a_scanned_age_narrows_the_days() -> None:
    """77 days on 10 January is a service of 25 October; the limits are about 4 days (Kelly & Newnham 1989)."""
    seen = read(scanned("- C231 single, 77 days\n"), "2026-02-01")
    row = next(item for item in seen.facts.breeding.due.rows if item.ewe == "C231")
    assert row.due.p10
    assert row.due.p90
    assert (row.due.p90 - row.due.p10).days <= 10
    assert str(row.due.likely) in ("2026-03-20", "2026-03-21", "2026-03-22")


def test_a_ewe_that_has_lambed_or_lost_her_lambs_leaves_the_list() -> None:
    """A lambing and an abortion both end her season."""
    notes = {
        **FLOCK,
        "2026-03-16 0300 lambing Bramble.md": "- ewe 4.1\n",
        "2026-03-01 abortion C230.md": "---\nsample: yes\n---\n",
    }
    assert [row.ewe for row in read(notes, "2026-03-17").facts.breeding.due.rows] == ["C231"]


def test_past_her_last_day_she_is_overdue_and_then_gone() -> None:
    """Past the window she is said to be overdue; three weeks on she counts as barren."""
    assert [row.ewe for row in read(FLOCK, "2026-04-25").facts.breeding.due.rows if row.odds.overdue]
    assert read(FLOCK, "2026-06-01").facts.breeding.due.rows == ()


def test_a_labour_counts_from_the_water_bag_even_over_midnight() -> None:
    """Waters at 23:50, noted at 00:30: look again at 00:20, step in at 00:50 with the published hour (Utah State
    AH/Sheep/12).
    """
    notes = {**FLOCK, "2026-03-16 0030 labour Bramble.md": "---\nwaters: 23:50\nshows: bag\n---\n"}
    labour = read(notes, "2026-03-16T00:40").facts.lambing.labours[0]
    assert labour.clock.since == datetime(2026, 3, 15, 23, 50)
    assert labour.clock.look_again == datetime(2026, 3, 16, 0, 20)
    assert labour.clock.step_in == datetime(2026, 3, 16, 0, 50)


def test_the_shepherds_own_limits_go_before_the_defaults() -> None:
    """45 minutes where the settings say so (common practice 45-60)."""
    notes = {**FLOCK, "flock.yaml": "flock: x\nstep in: 45 min\n", "2026-03-16 0300 labour Bramble.md": ""}
    labour = read(notes, "2026-03-16T03:10").facts.lambing.labours[0]
    assert labour.clock.step_in == datetime(2026, 3, 16, 3, 45)


def test_clock_change_night_counts_the_time_that_passes() -> None:
    """On 29 March 2026 the clocks go from 01:00 to 02:00 in London: an hour after 00:30 the hands show 02:30."""
    notes = {**FLOCK, "flock.yaml": "flock: x\ntimezone: Europe/London\n", "2026-03-29 0030 labour C231.md": ""}
    assert read(notes, "2026-03-29T00:40").facts.lambing.labours[0].clock.step_in == datetime(2026, 3, 29, 2, 30)


def test_a_lambing_note_closes_the_labour() -> None:
    """Nobody is in labour after her lambs are written."""
    notes = {**FLOCK, "2026-03-16 0300 labour Bramble.md": "", "2026-03-16 0340 lambing Bramble.md": "- ewe 4.0\n"}
    assert len(read(notes, "2026-03-16T03:30").facts.lambing.labours) == 1
    assert read(notes, "2026-03-16T04:00").facts.lambing.labours == ()


def test_colostrum_by_weight_and_what_was_tubed() -> None:
    """4.0 kg: 200 mL a feed, 800 mL in the day (Vet Times 2018; ADAS 1996 prints 800 for a twin); tubes and feeds add
    up.
    """
    notes = {
        **FLOCK,
        "2026-03-16 0340 lambing Bramble.md": "- ewe 4.0 kg, tag 731, tubed 150 ml\n",
        "2026-03-16 0600 feeding 731.md": "---\namount: 100 ml\nwhat: frozen\nhow: tube\n---\n",
    }
    lamb = read(notes, "2026-03-16T07:00").facts.lambing.newborns[0]
    assert lamb.need
    assert (lamb.need.feed_ml, lamb.need.day_ml, lamb.recorded_ml) == (200, 800, 250)
    assert lamb.first
    assert lamb.first.by == datetime(2026, 3, 16, 5, 40)


def test_what_to_fear_stands_beside_her() -> None:
    """Help, milk and illness of earlier years, and what the scan saw."""
    notes = {
        **scanned("- C214 triplets\n- C231 single\n"),
        "2025-03-20 0300 lambing Bramble.md": "---\nhelp: hard\nmilk: short\n---\n- ram 5.9, head back, dead\n",
        "2025-05-01 illness Bramble.md": "---\nsheep: Bramble\nproblem: mastitis\n---\n",
    }
    fears = read(notes, "2026-03-01").facts.lambing.fears
    words = fears_words(fears["C214"])
    assert all(
        part in words
        for part in (
            "helped 1 of 1: 2025 head back",
            "lost all her lambs 2025",
            "milk short 2025",
            "mastitis 2025",
            "triplets",
        )
    )
    assert "maiden with a single" in fears_words(fears["C231"])


def test_two_rams_whose_windows_overlap_are_both_named() -> None:
    """A litter that either ram can have sired names both; outside every window it is said to be unexplained."""
    notes = {
        **FLOCK,
        "sheep/S2 Harrow.md": "---\nnote: ram\nborn: 2020\n---\n",
        "2025-10-20 joining again.md": "---\nrams: Harrow\newes: C214\nout: 2025-11-19\n---\n",
        "2026-03-18 lambing Bramble.md": "- ewe 4.0\n",
        "2026-09-20 lambing C230.md": "- ewe 4.0\n",
    }
    seen = read(notes, "2026-10-01")
    births = {fact.ewe: fact for fact in seen.facts.lambing.births}
    assert set(births["C214"].sires) == {"S1", "S2"}
    assert births["C230"].sires == ()
    assert "B105" in codes(seen)


@pytest.mark.parametrize(
    ("lines", "code"),
    [("- 10 Oct Bramble\n", "B201"), ("- 1 Dec Bramble\n", "B201")],
)
def test_marks_outside_the_joining_are_told(lines: str, code: str) -> None:
    """A mark before ram in, and one after ram out."""
    note = {"2025-10-15 joining.md": f"---\nrams: Sexton\newes: C214\nout: 2025-11-19\n---\n{lines}"}
    assert code in codes(read({**FLOCK, **note}, "2026-01-01"))


def test_scans_outside_their_window_are_told() -> None:
    """Ram in 15 Oct, out 19 Nov: the window is 3 to 23 January (Rural News NZ; reproduction row 6); a stranger is told
    too.
    """
    assert "B202" not in codes(read(scanned("- C214 twins\n"), "2026-02-01"))
    early = {**FLOCK, "2025-12-10 scan.md": "- C214 twins\n"}
    assert "B202" in codes(read(early, "2026-02-01"))
    stranger = {**scanned("- C9 twins\n"), "sheep/C9 Fern.md": "---\nnote: ewe\nborn: 2021\n---\n"}
    assert "B203" in codes(read(stranger, "2026-02-01"))


def test_the_scanner_is_as_good_as_printed() -> None:
    """593 found of 598 in lamb, 123 of 126 empty: 99.2, 97.6, 99.5 and 96.1 in a hundred (Vet. Quarterly 1985,
    printed).
    """
    from flockbook.derive.plain.intervals import wilson

    table = ((593, 598, 0.992), (123, 126, 0.976), (593, 596, 0.995), (123, 128, 0.961))
    for count, of, printed in table:
        assert wilson(count, of).value == pytest.approx(printed, abs=0.0006)


def test_what_is_owed_after_a_birth() -> None:
    """Navel at once and after six hours (Farm Advisory Service, Scotland, 2018), afterbirth, looks after help, tag and
    weight.
    """
    notes = {**FLOCK, "2026-03-16 0340 lambing Bramble.md": "---\nhelp: slight\n---\n- ewe\n"}
    found = read(notes, "2026-03-16T04:00").facts.lambing.open_items
    items = {(birth_point_words(item.what), item.by) for item in found}
    words = {what for what, _ in items}
    assert {"navel dip at once", "navel dip after 6 h", "neither tagged nor numbered", "not weighed"} <= words
    assert ("look at her again, 24 h after help", datetime(2026, 3, 17, 3, 40)) in items
    assert ("afterbirth not written as seen", datetime(2026, 3, 16, 15, 40)) in items


def test_without_a_time_the_first_dip_and_look_stand_first() -> None:
    """Of a birth without its hour nothing has a time; what comes first is still told first (Farm Advisory Service,
    Scotland, 2018, for the dips; looks after help: common practice).
    """
    notes = {**FLOCK, "2026-03-16 lambing Bramble.md": "---\nhelp: slight\n---\n- ewe 4.0, tag 731\n"}
    told = [birth_point_words(item.what) for item in read(notes, "2026-03-16T20:00").facts.lambing.open_items]
    assert [words for words in told if "navel" in words] == ["navel dip at once", "navel dip after 6 h"]
    assert [words.split(", ")[1] for words in told if "look at her" in words] == [
        f"{hours} h after help" for hours in (1, 6, 24)
    ]


def test_what_was_done_is_not_owed() -> None:
    """A dipped navel, a seen afterbirth, a tag and a later look take their items off."""
    notes = {
        **FLOCK,
        "2026-03-16 0340 lambing Bramble.md": "---\nhelp: slight\nafterbirth: 05:00\n---\n- ewe 4.0, tag "
        "731\n\nNavels done.\n",
        "2026-03-16 0500 remark Bramble.md": "---\nsheep: Bramble\n---\nUp and eating.\n",
    }
    words = [birth_point_words(item.what) for item in read(notes, "2026-03-16T06:00").facts.lambing.open_items]
    assert words == ["navel dip after 6 h", "look at her again, 6 h after help", "look at her again, 24 h after help"]


@pytest.mark.parametrize(
    ("head", "remark", "owed"),
    [
        ("", "", True),
        ("", "Came easily.", True),
        ("", "Ewe up at once.", False),
        ("", "Both sucking by four.", False),
        ("mothering: 4", "", False),
    ],
)
def test_a_ewe_is_to_be_up_within_the_hour(head: str, remark: str, owed: bool) -> None:
    """Up and minding them within an hour of an easy birth (common practice, no source), until any note tells of it."""
    notes = {**FLOCK, "2026-03-16 0340 lambing Bramble.md": f"---\n{head}\n---\n- ewe 4.1, tag 731\n\n{remark}\n"}
    found = read(notes, "2026-03-16T04:00").facts.lambing.open_items
    items = {(birth_point_words(item.what), item.by) for item in found}
    assert (("not written as up and minding them", datetime(2026, 3, 16, 4, 40)) in items) is owed
    notes["2026-03-16 0430 remark.md"] = "---\nsheep: Bramble\n---\nFine.\n"
    later = read(notes, "2026-03-16T05:00").facts.lambing.open_items
    assert not [item for item in later if "minding" in birth_point_words(item.what)]


def test_a_lamb_fostered_later_is_still_with_its_dam() -> None:
    """On the day before the foster note nobody else rears it; on the bottle nobody does any more."""
    notes = {
        **FLOCK,
        "2026-03-16 0340 lambing Bramble.md": "- ewe 4.1, tag 731\n- ram 4.0, tag 732\n",
        "2026-03-16 0900 lambing C230.md": "- ewe stillborn\n",
        "2026-03-18 foster 732.md": "---\nonto: Teasel\n---\n",
        "2026-03-25 foster 732.md": "---\npet: yes\n---\n",
    }
    for day, nurse in (("2026-03-17", None), ("2026-03-19", "C230"), ("2026-03-26", None)):
        seen = read(notes, day)
        assert nurse_of(seen.linked.animals["732"], seen.today) == nurse
