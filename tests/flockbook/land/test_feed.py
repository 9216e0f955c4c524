"""Hay and other feed in hand, and the day on which the hay is gone, from notes to the page and the facts file."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.derive.land.feed import FeedBook
from flockbook.handover.facts import facts_object
from flockbook.pages.farm import feed
from tests.flockbook.families import drawn, made, sentences_in, table_in, view
from tests.flockbook.small import Notes, codes, read, unchecked

LB = 0.45359237  # NIST SP 811


def ewes(count: int, more: str = "", mob: str = "hill") -> dict[str, str]:
    """So many grown ewes with a mature weight."""
    return {
        f"sheep/{mob}{n}.md": f"---\nnote: ewe\nborn: 2021-04-01\nmob: {mob}\n{more}\n---\n"
        for n in range(1, count + 1)
    }


def supply(name: str, have: str) -> dict[str, str]:
    """One supply note."""
    return {f"supplies/{name.replace(' ', '')}.md": f"---\nnote: supply\nname: {name}\nhave: {have}\n---\n"}


def stock(day: str, text: str, name: str = "hay") -> dict[str, str]:
    """One stock note."""
    return {f"events/{day} stock {name}.md": f"---\nnote: stock\nsupply: {name}\n{text}\n---\n"}


def lead(notes: Notes, on: str = "2026-01-10") -> str:
    """The first words of the feed page."""
    return str(view(read(notes, on), feed).lead)


def book(notes: Notes, on: str = "2026-01-10") -> FeedBook:
    """The feed found."""
    return unchecked(notes, on).facts.land.feed


def test_the_printed_example_lasts_its_150_days() -> None:
    """5 ewes of 200 lb at 4 % eat 6,000 lb in 150 days: 172 bales of 35 lb, 120 of 50 (humblebee-farm 2013).

    It counts hay as eaten, 8 lb a ewe a day. 150 days from 10 January 2026 is 9 June.
    """
    for bales, weighs in ((172, 35), (120, 50)):
        notes = {
            "flock.yaml": "units: us\nintake: 8 lb\n",
            **ewes(5),
            **supply("hay", f"{bales} bales of {weighs} lb"),
        }
        assert lead(notes) == (
            f"{bales * weighs:,} lb of hay in hand: 150 days for all 5 sheep that eat, if they are fed nothing else "
            "from today. It runs out on Jun 9, 2026."
        )
    one_short = {"flock.yaml": "units: us\nintake: 8 lb\n", **ewes(5), **supply("hay", "171 bales of 35 lb")}
    assert book(one_short).lasting[0].days == (149, 149)


def test_in_kilograms_and_by_a_share_of_weight() -> None:
    """A 70 kg ewe at 2.5 % eats 1.75 kg of dry matter (Dugdale prints 1.75 kg); in hay of 88 % that is 1.989 kg."""
    notes = {"flock.yaml": "intake: 2.5 %\n", **ewes(10, "mature weight: 70 kg"), **supply("hay", "1.5 t")}
    found = book(notes).lasting[0]
    assert found.need == (pytest.approx(10 * 1.75 / 0.88), pytest.approx(10 * 1.75 / 0.88))
    assert found.days == (75, 75)  # 1,500 / 19.886
    assert "By your own figure, 2.5 % a sheep a day" in drawn(next(made(read(notes, "2026-01-10"), feed)), read(notes))


def test_without_a_figure_of_her_own_published_shares_make_a_range() -> None:
    """Ten dry ewes of 70 kg: 2 % (UConn) to 2.5 % (ATTRA) of weight, 14 to 17.5 kg dry; 1,000 kg last 50 to 62 days."""
    notes = {**ewes(10, "mature weight: 70 kg"), **supply("hay", "50 bales of 20 kg")}
    assert "50 to 62 days for all 10 sheep that eat" in lead(notes)
    assert "runs out between 1 and 13 Mar 2026" in lead(notes)
    html = drawn(next(made(read(notes, "2026-01-10"), feed)), read(notes))
    assert "2 to 2.5 %" in html
    assert "UConn Extension, Four steps to rotational grazing; ATTRA, Grazier&#39;s Math" in html


def test_ewes_in_milk_eat_more_and_their_lambs_nothing_until_weaned() -> None:
    """3.5 % (Dugdale) to 5 % (UConn) while her lamb sucks; after the weaning she is dry, the lamb eats 4 % (UConn)."""
    notes = {
        **ewes(1, "mature weight: 70 kg"), **supply("hay", "100 bales of 20 kg"),
        "events/2026-04-10 lambing hill1.md": "---\nnote: lambing\newe: hill1\n---\n- ewe 4 kg, tag 901\n",
    }  # fmt: skip
    milked = book(notes, "2026-05-10")
    assert [(row.sort, row.head, row.low, row.high) for row in milked.classes] == [("ewe in milk", 1, 0.035, 0.05)]
    weaned = {**notes, "events/2026-06-20 weaning.md": "---\nnote: weaning\n---\n901 26.5\n"}
    after = {row.sort: (row.head, row.kg) for row in book(weaned, "2026-07-01").classes}
    assert after == {"dry ewe": (1, 70.0), "lamb": (1, 26.5)}
    assert {row.sort for row in book(notes, "2026-07-25").classes} == {"dry ewe", "lamb"}  # past a hundred days


def test_ewes_that_are_due_are_ewes_in_lamb() -> None:
    """A ewe on the due list stands in the class of ewes in lamb, 2 to 2.5 % (Dugdale)."""
    notes = {
        **ewes(2, "mature weight: 70 kg"), **supply("hay", "10 bales of 20 kg"),
        "sheep/R1 Pike.md": "---\nnote: ram\nborn: 2022-04-01\n---\n",
        "events/2025-11-15 joining.md": "---\nnote: joining\nrams: Pike\nmob: hill\nout: 2025-12-20\n---\n",
    }  # fmt: skip
    assert {row.sort: row.head for row in book(notes, "2026-02-01").classes} == {"ewe in lamb": 2, "dry ewe": 1}


def test_each_mob_alone() -> None:
    """12 sheep eat 2 kg each of 480 kg: 20 days; the 4 hoggs alone 60, the 8 of the hill alone 30 (worked by hand)."""
    notes = {"flock.yaml": "intake: 2 kg\n", **ewes(8), **ewes(4, mob="hogg"), **supply("hay", "24 bales at 20kg")}
    table = table_in(view(read(notes, "2026-01-10"), feed), "lasting")
    assert [(row.cells[0], row.cells[1], row.cells[3], row.cells[4]) for row in table.rows] == [
        ("all sheep", 12, "20", "30 Jan 2026"),
        ("hill alone", 8, "30", "9 Feb 2026"),
        ("hogg alone", 4, "60", "11 Mar 2026"),
    ]


def test_stock_notes_add_take_and_count_anew() -> None:
    """96 of 20 kg counted and 30 of 18 kg bought are 2,460 kg; 12 of the mean weight go: 2,460 x 114 / 126."""
    notes = {
        "flock.yaml": "intake: 2 kg\n", **ewes(10), **supply("hay", "400 bales of 25 kg"),
        **stock("2025-12-01", "counted: 96 bales of 20 kg"), **stock("2025-12-10", "bought: 30 bales of 18 kg"),
        **stock("2025-12-20", "used: 10"), **stock("2025-12-24", "binned: 2, wet"),
    }  # fmt: skip
    found = book(notes)
    assert (found.feeds[0].supply.have, found.feeds[0].bale_kg) == (114, None)
    assert found.hay_kg == pytest.approx(2460 * 114 / 126)
    assert found.since == date(2025, 12, 24)


def test_an_old_count_is_told_with_the_day_it_may_run_out() -> None:
    """10 ewes at 2 kg on 600 kg: 30 days. Counted on 1 January and fed since, it is gone on the 31st, no later."""
    notes = {"flock.yaml": "intake: 2 kg\n", **ewes(10), **stock("2026-01-01", "counted: 30 bales of 20 kg")}
    page = view(read(notes, "2026-01-10"), feed)
    early = "or as early as 31 Jan 2026 if they have been fed since it was last written (1 Jan 2026)."
    assert f"runs out on 9 Feb 2026, {early}" in page.lead
    assert not [words for words in sentences_in(page, "lasting") if words.startswith(",")]


def test_the_pace_between_two_counts() -> None:
    """100 counted, 20 bought, 90 counted 15 days on: 30 went, 2 a day, so 90 last 45 days (worked by hand)."""
    notes = {
        **ewes(3), **stock("2026-01-01", "counted: 100"), **stock("2026-01-05", "bought: 20"),
        **stock("2026-01-16", "counted: 90 bales"),
    }  # fmt: skip
    words = sentences_in(view(read(notes, "2026-01-20"), feed), "kinds")
    assert words == (
        "Hay: 30 bales went from 1 Jan 2026 to 16 Jan 2026, 2 bales a day. At that pace it runs out on 2 Mar 2026.",
    )


@pytest.mark.parametrize("counts", [("100",), ("100", "100"), ("100", "120"), ("100", "a few"), ("100", "0")])
def test_no_pace_without_less_at_the_second_count(counts: tuple[str, ...]) -> None:
    """One count, two alike, more than before, or one that cannot be read: no pace; none left: nothing to run out."""
    notes: dict[str, str] = {}
    for place, text in enumerate(counts, 1):
        notes |= stock(f"2026-01-0{place}", f"counted: {text}")
    assert book(notes).feeds[0].pace is None


def test_feed_by_kind_and_nothing_else() -> None:
    """Hay first, then cake; gloves and iodine are no feed. Cake is never counted as hay."""
    notes = {
        **ewes(4), **supply("ewe cake", "400 kg"), **supply("long gloves", "85"), **supply("haylage", "6 bales"),
        **supply("big bale hay", "4 bales, 250 kg each"), **supply("hay", "10 bales of 20 kg"),
    }  # fmt: skip
    seen = read(notes, "2026-01-10")
    rows = table_in(view(seen, feed), "kinds").rows
    assert [(row.cells[0], row.cells[1], row.cells[2]) for row in rows] == [
        ("big bale hay", "4 bales", "1,000 kg, 250 kg each"),
        ("hay", "10 bales", "200 kg, 20 kg each"),
        ("ewe cake", "400 kg", "400 kg"),
        ("haylage", "6 bales", "–"),
    ]
    assert seen.facts.land.feed.hay_kg == 1200


@pytest.mark.parametrize(
    ("typed", "kg"),
    [
        ("96 bales of 18 kg", 1728), ("96 bales @ 18kg", 1728), ("96 small bales at about 18 kg", 1728),
        ("96 x 18 kg", 1728), ("96 x 18 kg bales", 1728),
        ("96 bales, 18 kg each", 1728), ("96 bales (18 kg each)", 1728), ("96 18kg bales", 1728), ("1.7 t", 1700),
        ("12 round bales of 250 kilos", 3000), ("6 big round bales, 250 kg a bale", 1500), ("1700 kg", 1700),
        ("96 bales", None), ("96 bales, 1700 kg", None), ("96, moved 200 kg to the neighbour", None),
        ("96 bales of hay", None),
    ],
)  # fmt: skip
def test_ways_to_write_what_bales_weigh(typed: str, kg: int | None) -> None:
    """The usual ways are read; a weight that could be that of all of them together is not taken for one of each."""
    found = book({**ewes(2), **supply("hay", typed)})
    assert (found.hay_kg, found.feeds[0].supply.doubts) == (kg, ())


def test_what_only_holds_feed_is_no_feed() -> None:
    """Hay nets, feed buckets' scoops and a mineral drench are kit; mineral buckets are licked empty."""
    names = ("hay nets", "feed scoop", "mineral drench", "hay knife", "creep feeder", "mineral buckets")
    notes = {path: text for name in names for path, text in supply(name, "3").items()}
    assert [one.supply.name for one in book(notes).feeds] == ["mineral buckets"]


def test_the_day_it_runs_out_is_among_what_is_to_be_done() -> None:
    """At the pace of two counts hay has a day on the list, with both counts; hay bought moves it, under the same id."""
    notes = {**ewes(3), **stock("2026-01-01", "counted: 100"), **stock("2026-01-11", "counted: 80")}
    more = {**notes, **stock("2026-01-12", "bought: 20")}
    first, later = (
        next(item for item in facts_object(read(each, "2026-01-20"))["reminders"] if item["kind"] == "feed")
        for each in (notes, more)
    )
    assert (first["date"], later["date"]) == ("2026-02-20", "2026-03-03")  # 80 and 100 at 2 a day
    assert first["what"] == "hay runs out, at the pace of its last two counts"
    assert [step["text"] for step in first["because"]] == ["counted 80 on 11 Jan 2026", "counted 100 on 1 Jan 2026"]
    assert first["id"] == later["id"]
    assert not [item for item in facts_object(read(notes, "2026-03-01"))["reminders"] if item["kind"] == "feed"]


def test_an_amount_that_cannot_be_read_stands_beside_the_figures() -> None:
    """What was binned cannot be told from `some wet ones`: the page says so, and the proof does too (C106)."""
    seen = read({**ewes(2), **supply("hay", "30 bales of 20 kg"), **stock("2026-01-05", "binned: some wet ones")})
    words = sentences_in(view(seen, feed), "kinds")
    assert words[0].startswith("hay, not counted: ‘some wet ones’ is not an amount")
    assert "C106" in codes(seen)


def test_what_is_missing_is_said_with_what_to_type() -> None:
    """No hay, bales without a weight, sheep without a weight: each says what to write, and no day is named."""
    assert "‘have: 96 bales of 18 kg’ opens the count" in lead(ewes(2))
    assert "What a bale weighs is not written" in lead({**ewes(2), **supply("hay", "96")})
    unweighed = lead({**ewes(2), **supply("hay", "96 kg")})
    assert "96 kg of hay in hand. No day can be named: write ‘intake: 1.8 kg’" in unweighed
    some = {**ewes(2, "mature weight: 70"), **supply("hay", "96 kg"), **supply("old hay", "3 bales")}
    assert "Not in it: old hay, as nobody wrote what a bale weighs." in lead(some)
    assert "nobody here to eat it" in lead(supply("hay", "96 kg"))
    assert lead({"flock.yaml": "intake: 2 kg\n", **ewes(2), **supply("hay", "0")}) == "No hay is left."


def test_sheep_without_a_weight_take_the_mean_of_their_like() -> None:
    """One of two ewes has a weight: the page says that the other took it."""
    light = {"sheep/E2.md": "---\nnote: ewe\nborn: 2020\n---\n"}
    notes = {**ewes(1, "mature weight: 70"), **light, **supply("hay", "1 t")}
    page = view(read(notes, "2026-01-10"), feed)
    assert "1 sheep without a weight took the mean of their like." in sentences_in(page, "lasting")
    assert book(notes).classes[0].kg == 70


def test_a_weighing_goes_before_the_mature_weight() -> None:
    """A ewe weighed this year counts with that; a weighing as a lamb, or two years ago, does not count."""
    notes = {
        **ewes(1, "mature weight: 70 kg"),
        "events/2021-10-01 weighing.md": "---\nnote: weighing\n---\nhill1 31\n",
        "events/2023-10-01 weighing.md": "---\nnote: weighing\n---\nhill1 61\n",
    }
    assert book(notes).classes[0].kg == 70
    assert book({**notes, "events/2025-10-01 weighing.md": "---\nnote: weighing\n---\nhill1 66\n"}).classes[0].kg == 66


@pytest.mark.parametrize("typed", ["2", "0 kg", "25 %", "40 kg", "plenty", "2 bales"])
def test_an_intake_that_cannot_be_is_told_with_its_line(typed: str) -> None:
    """A figure without a unit, nothing, or more than a sheep eats is an error in flock.yaml; published shares stay."""
    notes = {"flock.yaml": f"flock: Small\nintake: {typed}\n", **ewes(2, "mature weight: 70"), **supply("hay", "1 t")}
    seen = read(notes)
    told = next(item for item in seen.diagnostics if item.span.path == "flock.yaml")
    assert (told.grade.value, told.span.line) == ("error", 2)
    assert seen.facts.land.feed.lasting[0].need == pytest.approx((140 * 0.02 / 0.88, 140 * 0.025 / 0.88))
    assert codes(read({"flock.yaml": "flock: Small\nintake: 4.5 lb\n", **ewes(2)})) == codes(read(ewes(2)))


def test_pounds_on_the_page() -> None:
    """In a flock that counts in pounds the page does too: 2 bales of 1,000 lb are 2,000 lb."""
    notes = {"flock.yaml": "units: us\nintake: 4 lb\n", **ewes(10), **supply("hay", "2 bales @ 1000 lb")}
    assert lead(notes).startswith("2,000 lb of hay in hand: 50 days")
    assert book(notes).hay_kg == pytest.approx(2000 * LB)


def test_the_facts_file_holds_the_feed() -> None:
    """Feed by kind in kilograms, and the day the hay is gone for all and for each mob."""
    notes = {"flock.yaml": "intake: 2 kg\n", **ewes(10), **supply("hay", "30 bales of 20 kg")}
    facts = facts_object(read(notes, "2026-01-10"))
    assert (facts["feed"][0]["supply"], facts["feed"][0]["kg"], facts["feed"][0]["bale_kg"]) == ("hay", 600, 20)
    assert facts["hay"][0] == {
        "mob": None, "head": 10, "kg_a_day": {"low": 20, "high": 20}, "days": {"low": 30, "high": 30},
        "gone": {"first": "2026-02-09", "last": "2026-02-09"},
    }  # fmt: skip
    assert facts["hay"][1]["mob"] == "hill"


def test_a_store_for_ever_breaks_nothing() -> None:
    """A slip that makes a million bales of it is still a day in the calendar."""
    notes = {"flock.yaml": "intake: 0.1 kg\n", **ewes(1), **supply("hay", "999999999 bales of 900 kg")}
    assert book(notes).lasting[0].gone == (date.max, date.max)


@given(st.integers(0, 900), st.integers(5, 400), st.integers(1, 30), st.integers(5, 60))
@settings(max_examples=40, deadline=None)
def test_the_hay_feeds_them_on_every_day_but_the_last(bales: int, weighs: int, head: int, tenths: int) -> None:
    """So many days are covered by the hay, and one more would not be."""
    notes = {
        "flock.yaml": f"intake: {tenths / 10} kg\n", **ewes(head), **supply("hay", f"{bales} bales of {weighs} kg"),
    }  # fmt: skip
    days = (book(notes).lasting[0].days or (0, 0))[0]
    assert days * head * tenths <= bales * weighs * 10 < (days + 1) * head * tenths
