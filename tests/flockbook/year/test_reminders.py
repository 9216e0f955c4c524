"""Reminders: from which notes they come, what ticks them off, and ids that stay."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.derive.year.deeds import Deed
from flockbook.derive.year.reminder import Reminder, stable_id
from flockbook.handover.facts import facts_object
from flockbook.saying.year import deed_words
from tests.flockbook.small import Notes, read

FLOCK = {
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2021\n---\n",
    "sheep/C1 Wren.md": "---\nnote: ewe\nborn: 2020\nmob: hill\n---\n",
    "sheep/C2 Rook.md": "---\nnote: ewe\nborn: 2020\nmob: hill\n---\n",
    "medicines/jab.md": "---\nnote: medicine\nname: clostridial\nkind: vaccine\nmeat withdrawal: none\n---\n",
    "medicines/pen.md": "---\nnote: medicine\nname: penicillin\nkind: antibiotic\nmeat withdrawal: 28 days\n---\n",
}
JOINING = "events/2025-10-15 joining Sexton.md"
JOINED = {JOINING: "---\newes: Wren, Rook\nout: 2025-11-19\n---\n- 15 Oct yellow\n- 16 Oct Wren\n"}


def found(more: Notes, on: str, kind: str) -> list[Reminder]:
    """The reminders of one kind."""
    return [item for item in read({**FLOCK, **JOINED, **more}, on).facts.year.reminders if item.kind == kind]


def test_a_ewe_is_on_the_list_on_her_most_likely_day_until_she_lambs() -> None:
    """Marked on 16 October: 12 March at 147 days; watch from day 138 after ram in (Current Therapy in Large Animal
    Theriogenology: 2 March for ram in on 15 October)."""
    items = found({}, "2026-02-01", "due")
    assert [(item.sheep, item.date) for item in items if item.sheep == ("C1",)] == [(("C1",), date(2026, 3, 12))]
    assert [item.date for item in found({}, "2026-02-01", "watch")] == [date(2026, 3, 2)]
    lambed = {"events/2026-03-12 lambing Wren.md": "- ewe 4.0\n"}
    assert ("C1",) not in [item.sheep for item in found(lambed, "2026-03-13", "due")]


def test_the_crayon_is_changed_every_sixteen_days_until_the_ram_is_out() -> None:
    """31 October and 16 November; a new colour near its day ticks it off; a plan for the day stands in its place."""
    assert [item.date for item in found({}, "2025-10-20", "crayon")] == [date(2025, 10, 31), date(2025, 11, 16)]
    done = {JOINING: JOINED[JOINING] + "- 1 Nov blue\n"}
    assert [item.done for item in found(done, "2025-11-02", "crayon")] == [True, False]
    plan = {"plans/crayon.md": "---\nnote: plan\nwhat: change the crayon\nafter ram in: 16 days\n---\n"}
    assert [item.date for item in found(plan, "2025-10-20", "crayon")] == [date(2025, 11, 16)]
    assert [item.date for item in found(plan, "2025-10-20", "plan")] == [date(2025, 10, 31)]


def test_ram_out_comes_from_the_note_or_from_two_heats() -> None:
    """The planned day, until a note bears it out, since it may have been typed when he went in (common practice, no
    source); without one, 35 days and a question.
    """
    (item,) = found({}, "2025-10-20", "ram out")
    assert (item.date, item.what, item.done, item.sheep) == (date(2025, 11, 19), Deed.RAM_OUT, False, ("S1",))
    assert not found({}, "2025-11-25", "ram out")[0].done
    for path, text in (
        ("events/2025-11-19 remark Sexton.md", "Out, and thin.\n"),
        ("events/2025-11-20 move Sexton.md", "---\nto: Low\n---\n"),
        ("events/2025-11-22 scan.md", "- Wren twins\n"),
    ):
        assert found({path: text}, "2025-11-25", "ram out")[0].done, path
    assert not found({"events/2025-11-10 move Sexton.md": "---\nto: Low\n---\n"}, "2025-11-25", "ram out")[0].done
    (open_,) = found({JOINING: "---\newes: Wren, Rook\n---\n"}, "2025-10-20", "ram out")
    assert (open_.date, "?" in deed_words(open_.what)) == (date(2025, 11, 19), True)


@pytest.mark.parametrize(
    ("days", "day"),
    [(42, date(2026, 1, 28)), (28, date(2026, 2, 11)), (21, date(2026, 2, 18)), (14, date(2026, 2, 25))],
)
def test_plans_before_the_first_due_day(days: int, day: date) -> None:
    """First due 11 March 2026 (ram in 15 October and 147 days): the printed booster dates (Schoenian; EBLEX)."""
    plan = {"plans/jab.md": f"---\nnote: plan\nwhat: booster\nbefore first due: {days} days\ndone by: vaccine\n---\n"}
    (item,) = found(plan, "2026-01-15", "plan")
    assert (item.date, item.done) == (day, False)
    assert found(plan, "2026-01-15", "booster") == []
    given_ = {f"events/{day} treatment hill.md": "---\nmob: hill\nmedicine: clostridial\ndose: 2 ml\n---\n"}
    assert found({**plan, **given_}, (day + timedelta(days=9)).isoformat(), "plan")[0].done
    other = {f"events/{day} treatment hill.md": "---\nmob: hill\nmedicine: penicillin\ndose: 2 ml\n---\n"}
    assert not found({**plan, **other}, (day + timedelta(days=9)).isoformat(), "plan")[0].done


def test_every_way_a_plan_can_be_timed() -> None:
    """From ram in or out, lambing, birth, or every year; a kind of note or the same words tick it off."""
    plans = {
        "plans/a.md": "---\nnote: plan\nwhat: scanner\nafter ram in: 70 days\ndone by: scan\n---\n",
        "plans/b.md": "---\nnote: plan\nwhat: trim the rams\nafter ram out: 1 week\n---\n",
        "plans/c.md": "---\nnote: plan\nwhat: drench her\nafter lambing: 2 weeks\n---\n",
        "plans/d.md": "---\nnote: plan\nwhat: first jab\nafter birth: 42 days\nfor: lambs\n---\n",
        "plans/e.md": "---\nnote: plan\nwhat: bags\nevery year: 5 October\ndone by: check\n---\n",
        "events/2026-03-11 lambing Wren.md": "- ewe 4.0, tag 701\n- ram 4.0, tag 702\n",
    }
    items = {deed_words(item.what): item for item in found(plans, "2026-03-20", "plan")}
    assert (items["drench her"].date, items["drench her"].sheep) == (date(2026, 3, 25), ("C1",))
    assert (items["first jab"].date, items["first jab"].sheep) == (date(2026, 4, 22), ("701", "702"))
    assert items["bags"].date == date(2026, 10, 5)
    early = {deed_words(item.what): item for item in found(plans, "2025-12-01", "plan")}
    assert (early["scanner"].date, early["trim the rams"].date) == (date(2025, 12, 24), date(2025, 11, 26))
    done = {
        "events/2025-12-23 scan.md": "- Wren twins\n- Rook single\n",
        "events/2025-11-27 job.md": "---\ndid: Trim the rams\nsheep: Sexton\n---\n",
    }
    late = {deed_words(item.what): item.done for item in found({**plans, **done}, "2025-12-24", "plan")}
    assert (late["scanner"], late["trim the rams"]) == (True, True)


def test_boosters_are_named_only_where_a_vaccine_is_kept_and_no_plan_is() -> None:
    """Six weeks before the first due day, with the label and the vet first."""
    (item,) = found({}, "2026-01-15", "booster")
    assert item.date == date(2026, 1, 28)
    assert "vet" in deed_words(item.what)
    given_ = {"events/2026-02-05 treatment hill.md": "---\nmob: hill\nmedicine: clostridial\ndose: 2 ml\n---\n"}
    assert found(given_, "2026-02-10", "booster")[0].done


def test_a_course_reminds_of_each_dose_until_it_is_written() -> None:
    """Three days, one given: two are open; `finished` closes all."""
    path = "events/2026-02-02 treatment Wren.md"
    head = "---\nsheep: Wren\nmedicine: penicillin\ndose: 3 ml\ndays: 3\n"
    items = found({path: head + "given: 2 Feb\n---\n"}, "2026-02-03", "course")
    assert [(item.date.day, item.done) for item in items] == [(2, True), (3, False), (4, False)]
    assert found({path: head + "given: 2 Feb, 3 Feb, 4 Feb\n---\n"}, "2026-02-05", "course") == []


def test_a_dose_written_as_given_in_its_own_note_is_given() -> None:
    """The note of the first day is the first dose, a note of the same medicine on the third day is the third; only the
    second is late, and a late dose is a matter for the vet, never to be given and written.
    """
    path = "events/2026-02-02 treatment Wren.md"
    notes = {
        path: "---\nsheep: Wren, Rook\nmedicine: penicillin\ndose: 3 ml\ndays: 3\n---\n",
        "events/2026-02-04 treatment Wren.md": "---\nsheep: Wren\nmedicine: penicillin\ndose: 3 ml\n---\n",
    }
    items = found(notes, "2026-02-05", "course")
    assert [(item.date.day, item.done, item.sheep) for item in items] == [
        (2, True, ("C1", "C2")), (3, False, ("C1", "C2")), (4, False, ("C2",))
    ]  # fmt: skip
    told = [deed_words(item.what) for item in items if not item.done]
    assert all("ask the vet" in text and "then write it" not in text for text in told)
    today = [deed_words(item.what) for item in found(notes, "2026-02-03", "course") if not item.done]
    assert today[0] == "penicillin: dose 2 of 3, then write it as given"


def test_what_is_not_done_stays_however_old_it_is() -> None:
    """An open course, a ram whose day out is not written and a plan of every year stay for months, until a note tells:
    the course by `finished`, the ram by a later joining, the plan by the note that ticks it off, however late.
    """
    notes = {
        JOINING: "---\newes: Wren, Rook\n---\n",
        "events/2026-02-02 treatment Wren.md": "---\nsheep: Wren\nmedicine: penicillin\ndose: 3 ml\ndays: 2\n---\n",
        "plans/bags.md": "---\nnote: plan\nwhat: bags\nevery year: 5 October\nfor: ewes\ndone by: check\n---\n",
    }
    on = "2026-06-20"
    assert [item.date for item in found(notes, on, "course") if not item.done] == [date(2026, 2, 3)]
    assert [item.date for item in found(notes, on, "ram out")] == [date(2025, 11, 19)]
    assert date(2025, 10, 5) in [item.date for item in found(notes, on, "plan") if not item.done]
    done = {
        "events/2026-02-02 treatment Wren.md": notes["events/2026-02-02 treatment Wren.md"].replace(
            "days: 2", "days: 2\nfinished: 2026-02-03"
        ),
        "events/2026-06-01 joining Sexton.md": "---\newes: Wren\n---\n",
        "events/2026-01-05 check.md": "- Wren bcs 3\n- Rook bcs 3\n",
    }
    for kind, day in (("course", date(2026, 2, 3)), ("ram out", date(2025, 11, 19)), ("plan", date(2025, 10, 5))):
        assert day not in [item.date for item in found({**notes, **done}, on, kind) if not item.done]


def test_a_plan_is_ticked_off_sheep_by_sheep() -> None:
    """A hogg's vaccine ticks off no ewe; all are named, then those whom a note left out, with or without a plan."""
    plan = {"plans/jab.md": "---\nnote: plan\nwhat: booster\nbefore first due: 28 days\ndone by: vaccine\n---\n"}
    hogg = {
        "sheep/H1.md": "---\nnote: ewe\nborn: 2025-04-01\n---\n",
        "events/2026-02-09 treatment H1.md": "---\nsheep: H1\nmedicine: clostridial\ndose: 2 ml\n---\n",
    }
    one = {"events/2026-02-12 treatment Wren.md": "---\nsheep: Wren\nmedicine: clostridial\ndose: 2 ml\n---\n"}
    for notes, kind in ((plan, "plan"), ({}, "booster")):
        (missed,) = found({**notes, **hogg}, "2026-02-20", kind)
        assert (missed.done, missed.sheep) == (False, ("C1", "C2"))
        (left,) = found({**notes, **hogg, **one}, "2026-02-20", kind)
        assert (left.done, left.sheep) == (False, ("C2",))


def test_what_is_out_of_date_stays_until_it_is_binned() -> None:
    """A medicine that expired in January is still told of in May, and no more once a stock note says it was binned."""
    old = {"medicines/old.md": "---\nnote: medicine\nname: old jab\nkind: vaccine\nexpires: 2026-01\n---\n"}
    assert [item.done for item in found(old, "2026-05-20", "expiry")] == [False]
    gone = {"events/2026-05-01 stock.md": "---\nmedicine: old jab\nbinned: all of it, at the vet's\n---\n"}
    assert found({**old, **gone}, "2026-05-20", "expiry") == []


def test_the_end_of_a_withdrawal_is_the_first_clear_date() -> None:
    """28 days after 2 February without a time: clear from 3 March, the guard's own date."""
    treated = {"events/2026-02-02 treatment Wren.md": "---\nsheep: Wren, Rook\nmedicine: penicillin\ndose: 3 ml\n---\n"}
    (item,) = found(treated, "2026-02-10", "clear")
    assert (item.date, item.sheep) == (date(2026, 3, 3), ("C1", "C2"))
    guard = read({**FLOCK, **JOINED, **treated}, "2026-02-10").facts.medicine.guard.standing["C1"].meat
    assert guard.until is not None
    assert guard.until.date() == item.date


def test_the_first_birth_ticks_off_the_beginning_of_the_watch() -> None:
    """Watch from day 138; once lambs are there it is done."""
    assert [item.done for item in found(JOINED, "2026-03-10", "watch")] == [False]
    birth = {"events/2026-03-11 0400 lambing Wren.md": "- ewe 4.0\n"}
    assert [item.done for item in found({**JOINED, **birth}, "2026-03-12", "watch")] == [True]


def test_a_helped_ewe_is_looked_at_again() -> None:
    """Until a later note names her, or two days have gone."""
    birth = {"events/2026-03-11 0400 lambing Wren.md": "---\nhelp: hard\n---\n- ewe 4.0\n"}
    assert [item.done for item in found(birth, "2026-03-11T05:00", "recheck")] == [False]
    looked = {"events/2026-03-11 0600 remark Wren.md": "---\nsheep: Wren\n---\nUp and cleansed.\n"}
    assert [item.done for item in found({**birth, **looked}, "2026-03-11T07:00", "recheck")] == [True]


def test_tasks_quarantine_expiry_and_tags() -> None:
    """What was written down, with its own day; tags only where the settings name a country whose rule is known."""
    notes = {
        "events/2026-01-02 task.md": "---\nwhat: mend the dyke\ndue: 2026-01-20\n---\n",
        "events/2026-01-03 purchase.md": "---\nfrom: mart\napart until: 2026-01-24\n---\n- ewe tag B1, born 2022\n",
        "supplies/gel.md": "---\nnote: supply\nname: lubricant\nexpires: 2026-02\n---\n",
        "events/2026-01-05 lambing Rook.md": "- ewe 4.0\n",
    }
    at = "2026-03-01"
    assert [(item.date, item.done) for item in found(notes, at, "task")] == [(date(2026, 1, 20), False)]
    assert [(item.date, item.sheep) for item in found(notes, "2026-01-10", "quarantine")] == [
        (date(2026, 1, 24), ("B1",))
    ]
    assert [item.date for item in found(notes, at, "expiry")] == [date(2026, 2, 28)]
    assert found(notes, at, "tags") == []
    (tags,) = found({**notes, "flock.yaml": "flock: Small\ncountry: GB\n"}, at, "tags")
    assert tags.date == date(2026, 10, 5)
    done = {"events/2026-01-02 task.md": "---\nwhat: mend the dyke\ndue: 2026-01-20\ndone: 2026-01-19\n---\n"}
    assert found({**notes, **done}, "2026-02-01", "task")[0].done


@pytest.mark.parametrize(
    "loss",
    [
        {"events/2026-01-05 tagging.md": "- Wren lost\n"},
        {"events/2026-01-05 check.md": "- Wren bcs 3, tag lost\n"},
    ],
)
def test_a_lost_tag_is_replaced_within_28_days(loss: dict[str, str]) -> None:
    """28 days from noticing (gov.uk and gov.wales), until a tagging note gives her a new one."""
    assert [(item.date, item.done) for item in found(loss, "2026-01-10", "tags")] == [(date(2026, 2, 2), False)]
    assert found(loss, "2026-01-04", "tags") == []
    mended = {**loss, "events/2026-01-09 tagging.md": "- Wren now 977\n"}
    assert [item.done for item in found(mended, "2026-01-10", "tags")] == [True]


def test_the_facts_file_lists_only_what_is_still_to_do() -> None:
    """Keys as the contract names them; what is done is left out."""
    done = {JOINING: JOINED[JOINING] + "- 1 Nov blue\n"}
    rows = facts_object(read({**FLOCK, **done}, "2025-11-02"))["reminders"]
    assert all({"id", "date", "what", "sheep", "because"} <= set(row) for row in rows)
    assert [row["date"] for row in rows if row["kind"] == "crayon"] == ["2025-11-16"]


NOTES = {
    **FLOCK,
    **JOINED,
    "plans/a.md": "---\nnote: plan\nwhat: booster\nbefore first due: 28 days\ndone by: vaccine\n---\n",
    "events/2026-01-02 task.md": "---\nwhat: mend the dyke\ndue: 2026-03-20\n---\n",
    "events/2026-01-12 treatment hill.md": "---\nmob: hill\nmedicine: penicillin\ndose: 3 ml\n---\n",
}


@settings(max_examples=25, deadline=None)
@given(st.permutations(sorted(NOTES)), st.dates(date(2026, 1, 13), date(2026, 2, 8)))
def test_ids_stay_whatever_the_order_of_notes_and_the_day(order: list[str], day: date) -> None:
    """The same notes in any order, read on any day, give the same ids; no id stands twice."""
    usual = {item.id: item.date for item in read(NOTES, "2026-01-20").facts.year.reminders}
    items = read({path: NOTES[path] for path in order}, day.isoformat()).facts.year.reminders
    assert {item.id for item in items} == set(usual)
    assert len({item.id for item in items}) == len(items)


def test_an_id_depends_on_kind_rule_and_animals_only() -> None:
    """In whatever order the animals come."""
    assert stable_id("due", "2026", ("C2", "C1")) == stable_id("due", "2026", ("C1", "C2", "C1"))
    others = {stable_id("due", "2027", ("C1",)), stable_id("due", "2026", ("C1",)), stable_id("clear", "2026", ("C1",))}
    assert len(others) == 3
