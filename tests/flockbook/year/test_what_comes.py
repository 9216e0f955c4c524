"""What must not fall out of sight, what is coming, and who is named: from notes to the pages that she reads."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from types import ModuleType

import pytest
from icalendar import Calendar

from flockbook.handover.calendar import calendar
from flockbook.pages.breeding import due_page
from flockbook.pages.choosing import choose
from flockbook.pages.growth import race
from flockbook.pages.market import loading
from flockbook.pages.telling import workings
from flockbook.pages.today import front, neighbour, to_do
from tests.flockbook.small import Notes, read, unchecked
from tests.flockbook.year.pound_flock import DRY_FORK
from tests.flockbook.year.test_owed_hours import COLD, FLOCK, now
from tests.flockbook.year.test_twenty_moments import HASK, page_of, sections, words

SCAN = {"events/2026-01-18 scan.md": "- Ada twins\n- Bea single\n- Cora empty\n"}
EVE = "2026-08-14T18:00"
SALE = {"events/2026-08-15 sale.md": "---\nsheep: Ada, Bea\nto: Yards\nuse: slaughter\nsure: yes\n---\n"}
BOUGHT = {
    "events/2026-08-20 purchase.md": "---\nfrom: Hale\napart until: 2026-09-20\ninto: rams\n---\n- ram tag H9, Otto\n"
}


def told(notes: Notes, on: str, family: ModuleType = front, path: str = "index.html") -> str:
    """The words of a page, Today where none is named."""
    return words(page_of(unchecked(notes, on), family, path))


def part(notes: Notes, on: str, head: str) -> str:
    """The words of one section of Today; "" where it is not there."""
    found = sections(page_of(unchecked(notes, on), front, "index.html"))
    return words(found[head]) if head in found else ""


def test_a_ewe_past_her_last_day_stays_in_sight_until_a_note_settles_it() -> None:
    """Last possible day 2 May by 152 days after ram out (the longest of facts.md, with room): a month, two and four
    later she is still told, with what the scan saw; her lambing, a scan or her own note settles it.
    """
    notes = {**FLOCK, **SCAN}
    for on, days in (("2026-06-02", 31), ("2026-07-02", 61), ("2026-09-02", 123)):
        row = next(row for row in now(notes, on) if row.who == "E1 Ada")
        assert row.what.startswith(f"scanned with 2, not lambed: {days} days past her last day, 2 May 2026")
        assert f"2 May 2026 {days} days 2 lambs" in told(notes, on, due_page, "due.html")
        assert "E3 Cora" not in [row.who for row in now(notes, on)]
    for path, text in (
        ("events/2026-05-20 scan.md", "- Ada empty\n"),
        ("events/2026-05-20 remark Ada.md", "Empty after all.\n"),
        ("events/2026-05-03 lambing Ada.md", "- ewe 4 kg, tag 601\n- ram 4 kg, tag 602\n\nNavels dipped.\n"),
    ):
        assert "E1 Ada" not in [row.who for row in now({**notes, path: text}, "2026-07-02")], path


def test_no_day_is_likely_once_it_is_past() -> None:
    """Marked on 20 October: 16 March at 147 days; two days on she is two days over, and no other day is named."""
    notes = {**FLOCK, "events/2025-10-15 joining Boaz.md": "---\nmob: home\nout: 2025-12-01\n---\n- 20 Oct Ada\n"}
    due = part(notes, "2026-03-18", "Due these days")
    assert "E1 Ada 2 days over" in due
    past = part(notes, "2026-05-04", "Due these days")
    assert "Nobody is due within a week" in past


def test_lame_by_a_line_is_open_until_a_line_says_sound() -> None:
    """Reg. (EC) 1/2005, Annex I, chapter I, 2 (a): who cannot walk without pain is not fit to travel; so the gate asks,
    whatever note tells it, in pounds as in kilograms.
    """
    for text in ("- Ada bcs 3, lame near fore\n", "- Ada bcs 3, feet lame near fore\n", "- Ada lame 3\n"):
        notes = {**FLOCK, "events/2025-10-01 check.md": text, **SALE}
        row = next(row for row in now(notes, "2025-10-14") if row.who == "E1 Ada")
        assert row.what.startswith("called lame on 1 Oct 2025, 13 days ago (“lame")
        assert "called lame on 1 Oct 2025" in told(notes, "2025-10-14", loading, "loading.html")
        assert "lame" in told(notes, "2025-10-14", race, "race-pre-joining.html")
        for well in ("- Ada bcs 3, sound\n", "- Ada feet ok\n", "- Ada lame 0\n"):
            mended = {**notes, "events/2025-10-10 check.md": well}
            assert "called lame" not in told(mended, "2025-10-14"), well
    told_so = "events/2025-10-05 illness Ada.md"
    ill = {**FLOCK, "events/2025-10-01 check.md": "- Ada lame\n", told_so: "---\nproblem: lameness\n---\n"}
    assert [row.what for row in now(ill, "2025-10-14")] == ["lameness, ill since 5 Oct 2025: look, write how it is"]
    over = {**ill, told_so: "---\nproblem: lameness\nrecovered: 2025-10-12\n---\n"}
    assert now(over, "2025-10-14") == []
    assert "Called lame" in told(FLOCK, "2025-10-14", workings, "workings.html")


@pytest.mark.parametrize(
    ("path", "text", "tag"),
    [
        ("events/2026-05-02 weighing.md", "901 40 lb lame off hind\n", "901"),
        ("events/2026-05-02 weaning.md", "901 40 lb lame off hind\n", "901"),
        ("events/2026-05-02 purchase.md", "---\nfrom: Hale\nsure: yes\n---\n- ewe tag B7, lame off hind\n", "B7"),
        ("events/2026-05-02 remark Sage.md", "Lame off hind.\n", "W1 Sage"),
        ("sheep/W1 Sage.md", "---\nnote: ewe\nborn: 2021\nmob: main\n---\nLame off hind.\n", "W1 Sage"),
    ],
)  # fmt: skip
def test_every_note_that_calls_a_sheep_lame_counts(path: str, text: str, tag: str) -> None:
    """A weighing, a weaning, a purchase, a remark, her own note; a story of last year is none."""
    page = part({**DRY_FORK, path: text}, "2026-05-05", "Now")
    assert "called lame" in page
    assert tag in page
    story = {"events/2026-05-02 remark Sage.md": "She was lame last year.\n"}
    assert "called lame" not in part({**DRY_FORK, **story}, "2026-05-05", "Now")


def test_what_is_coming_stands_in_a_fold_and_a_planned_sale_is_judged() -> None:
    """The eve of a sale: its loading list, the vet's visit; who may not go stands under Now and in proof."""
    notes = {
        **FLOCK, **SALE, "events/2026-08-01 task.md": "---\nwhat: vet comes\ndue: 2026-08-17\nsheep: Cora\n---\n",
        "events/2026-08-13 illness Ada.md": "---\nproblem: lameness\nsigns: not bearing\n---\n",
        "flock.yaml": "flock: Small\ncountry: GB\n",
    }  # fmt: skip
    coming = part(notes, EVE, "What is coming")
    assert "Tomorrow and the next 7 days: 2 entries, 1 of them tomorrow" in coming
    assert "sale to Yards: the loading list 15 Aug 2026 2 sheep named, 1 may not go" in coming
    assert "E3 Cora vet comes 17 Aug 2026" in coming
    first = now(notes, EVE)
    assert any(row.what.startswith("may NOT go to Yards on 15 Aug 2026") for row in first)
    seen = read(notes, EVE)
    (ada,) = [one for one in seen.diagnostics if one.code == "W104" and "Ada" in one.message]
    assert "Ada (E1) is named for the sale of 15 Aug 2026, and may not go: lameness since 13 Aug 2026" in ada.message
    well = {**notes, "events/2026-08-13 illness Ada.md": "---\nproblem: lameness\nrecovered: 2026-08-14\n---\n"}
    assert "W104" not in [one.code for one in read(well, EVE).diagnostics]


def test_a_medicine_that_holds_a_planned_sale_is_told_of_the_day_to_come() -> None:
    """The sale is tomorrow: it will not be clear, and nobody is told that it was not."""
    notes = {
        **FLOCK, **SALE, "medicines/pen.md": "---\nnote: medicine\nname: pen\nmeat withdrawal: 10 days\n---\n",
        "events/2026-08-10 treatment Ada.md": "---\nsheep: Ada\nmedicine: pen\ndose: 3 ml\n---\n",
    }  # fmt: skip
    assert any("Ada (E1) will not be clear on 15 Aug 2026: pen" in one.message for one in read(notes, EVE).diagnostics)


def test_who_is_kept_apart_stands_on_today_and_on_the_neighbours_sheet_with_one_day() -> None:
    """Until the day of the note, that day included, on every page; a joining or a draft since ends it."""
    notes = {**FLOCK, **BOUGHT}
    for on in ("2026-09-04", "2026-09-20"):
        kept = part(notes, on, "Kept apart")
        assert "H9 Otto kept apart since it was bought, until 20 Sep 2026, that day included" in kept
        assert "At its end: into rams" in kept
        sheet = told(notes, on, neighbour, "neighbour.html")
        assert "H9 Otto 20 Sep 2026 since it was bought into rams" in sheet
        assert "kept apart since it was bought, until 20 Sep 2026" in told(notes, on, loading, "loading.html")
    assert part(notes, "2026-09-21", "Kept apart") == ""
    assert "kept apart until this day" in part(notes, "2026-09-25", "Owed")
    joined = {**notes, "events/2026-09-22 joining Otto.md": "---\newes: Cora\n---\n"}
    assert "kept apart" not in told(joined, "2026-09-25")


def test_plans_name_their_sheep_and_end_for_who_has_lambed_or_gone() -> None:
    """A booster before lambing is nothing to a ewe that has lambed, and nothing to one that was sold."""
    jab = "---\nnote: plan\nwhat: booster\nbefore first due: 28 days\nfor: ewes\ndone by: vaccine\n---\n"
    plan = {"plans/jab.md": jab}
    notes = {**FLOCK, **plan}
    assert "booster: late, ask the vet before you give it 11 Feb 2026 Ada (E1), Bea (E2), Cora (E3)" in part(
        notes, "2026-03-05", "Owed"
    )
    born = {"events/2026-03-16 lambing Ada.md": "- ewe 4 kg, tag 601\n\nNavel dipped.\n"}
    sold = {"events/2026-03-10 sale Bea.md": "---\nsheep: Bea\nto: Hale\nuse: breeding\nsure: yes\n---\n"}
    left = part({**notes, **born, **sold}, "2026-03-20", "Owed")
    assert "E3 Cora booster" in left
    assert "Ada (E1)" not in left
    sheet = told({**notes, **born, **sold}, "2026-03-20", neighbour, "neighbour.html")
    assert "E2" not in sheet
    twins = {"plans/cake.md": "---\nnote: plan\nwhat: twins on cake\nbefore first due: 42 days\nfor: ewes\n---\n"}
    assert "E1 Ada twins on cake" in part({**FLOCK, **SCAN, **twins}, "2026-02-02", "Owed")


def test_many_sheep_are_counted_and_named_on_a_tap() -> None:
    """Thirty-three ewes of one plan: a count that opens, and every ear tag on the list of what is to do."""
    page = page_of(unchecked(HASK, "2026-10-05T18:00"), front, "index.html")
    folds = [words(fold) for fold in page.iter("details") if "sheep" in words(fold)[:10]]
    assert any(fold.startswith("41 sheep") and "Bramble (C214)" in fold for fold in folds)
    assert "C214 Bramble" in told(HASK, "2026-10-05T18:00", to_do, "to-do.html")


def test_the_neighbours_first_row_is_what_kills_first() -> None:
    """Not by the alphabet: the lamb that is still in her (Lambing 2018) goes before her cleansing."""
    notes = {**FLOCK, **SCAN, "events/2026-03-16 0330 lambing Ada.md": "- ewe 4 kg, tag 601\n"}
    sheet = told(notes, "2026-03-16T04:30", neighbour, "neighbour.html")
    assert 0 < sheet.index("the scan saw 2 lambs") < sheet.index("afterbirth not written")


def test_the_calendar_names_the_ewe_and_rings_at_the_hour() -> None:
    """Read back by a calendar library: every summary of a sheep has her tag, a labour's limits are hours with an alarm,
    in UTC by the flock's zone, and what is late stands on today's day too; the same UIDs an hour later.
    """
    notes = {**DRY_FORK, "events/2026-03-12 0210 labour Sage.md": "---\nwaters: 02:10\n---\n"}
    seen, later = unchecked(notes, "2026-03-12T02:20"), unchecked(notes, "2026-03-12T02:30")
    events = {str(one["uid"]): one for one in Calendar.from_ical(calendar(seen)).walk("VEVENT")}
    sage = {key: one for key, one in events.items() if "Sage (W1): " in str(one["summary"])}
    step = next(one for one in sage.values() if str(one["summary"]).startswith("Sage (W1): step in by 03:10"))
    assert step.decoded("dtstart") == datetime(2026, 3, 12, 9, 10, tzinfo=UTC)  # Denver is 6 h behind in summer time
    (alarm,) = step.walk("VALARM")
    assert alarm.decoded("trigger") == timedelta(0)
    assert {str(one["uid"]) for one in Calendar.from_ical(calendar(later)).walk("VEVENT")} == set(events)
    assert all("due to lamb: " in str(one["summary"]) for one in events.values() if "due to" in str(one["summary"]))
    teeth = {key: one for key, one in events.items() if "look at every mouth" in str(one["summary"])}
    assert date(2026, 3, 12) in {one.decoded("dtstart") for one in teeth.values()}
    lines = calendar(seen).split(b"\r\n")
    assert max(map(len, lines)) <= 75


def test_a_cold_lamb_stands_under_now_and_in_the_next_hours() -> None:
    """From its first minute (NADIS 2006: every minute counts), in both groups of both pages."""
    for page in (told(COLD, "2026-03-16T04:20"), told(COLD, "2026-03-16T04:20", to_do, "to-do.html")):
        assert page.count("36.1 °C at 04:15, badly chilled when last measured") == 2
    assert "36.1 °C" in part(COLD, "2026-03-16T04:20", "In the next hours")
    assert "Monday 16 March 2026, 04:20" in told(COLD, "2026-03-16T04:20")


def test_high_ketones_ring_the_vet() -> None:
    """3.0 mmol/L and above is plain twin-lamb disease (from memory of several texts); 1.2 is looked at."""
    for ketones, asked in (("4.5", "ring the vet"), ("1.2", "look, write how it is")):
        ill = {"events/2026-03-14 illness Ada.md": f"---\nproblem: tender foot\nketones: {ketones}\n---\n"}
        (row,) = now({**FLOCK, **ill}, "2026-03-14T10:00")
        assert row.what.endswith(asked)
        assert (f"ketones {ketones} mmol/L" in row.more) == (ketones == "4.5")


def test_an_illness_is_never_left_out_of_who_stays() -> None:
    """It is named with its year and note; over and done it does not by itself change what is suggested."""
    for problem in ("twin-lamb disease", "lameness", "pneumonia"):
        ill = {"events/2026-04-18 illness Ada.md": f"---\nproblem: {problem}\nrecovered: 2026-04-24\n---\n"}
        page = told({**FLOCK, **ill}, "2026-11-25", choose, "choose.html")
        against = page.partition("E1 Ada")[2].partition("E2 Bea")[0]
        assert f"{problem} 2026" in against.lower()


def test_a_longer_wait_told_in_words_has_a_message_of_its_own() -> None:
    """V11: the clear list holds whoever got it; proof says by which words, and what to type."""
    notes = {
        **FLOCK, "medicines/pen.md": "---\nnote: medicine\nname: pen\nmeat withdrawal: 10 days\n---\n",
        "events/2026-03-02 treatment Ada.md": "---\nsheep: Ada\nmedicine: pen\ndose: 3 ml\n---\nVet says 56 days.\n",
    }  # fmt: skip
    (one,) = [item for item in read(notes, "2026-03-05").diagnostics if item.code == "M107"]
    assert "its words say “Vet says 56 days”" in one.message
    assert "meat withdrawal" in one.help
    typed = {**notes, "events/2026-03-02 treatment Ada.md": "---\nsheep: Ada\nmedicine: pen\ndose: 3 ml\n"
        "meat withdrawal: 56 days\n---\nVet says 56 days.\n"}  # fmt: skip
    assert "M107" not in [item.code for item in read(typed, "2026-03-05").diagnostics]
