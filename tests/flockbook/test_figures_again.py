"""Figures that a second reckoning by hand found wrong, or that could not be and were taken without a word."""

from __future__ import annotations

from types import ModuleType

import pytest

from compiler.pages import Page
from flockbook.handover.calendar import calendar
from flockbook.handover.facts import facts_object
from flockbook.pages.farm import feed, kit, money
from flockbook.pages.health import egg_counts
from flockbook.pages.lambing import watch
from flockbook.pages.medicine import dose_sheet
from flockbook.pages.telling import workings
from flockbook.pages.today import front, neighbour
from flockbook.pages.views import Day
from flockbook.saying.owed import late_words
from flockbook.seen import Seen
from tests.flockbook.families import made, sentences_in, table_in
from tests.flockbook.growth.test_growth_page import STAMP
from tests.flockbook.small import codes, read

# Hay


def hay_days(ewe_kg: str, ram: str) -> tuple[int, int]:
    """How long 900 kg of hay last five ewes in lamb that were weighed, five open ones that were not, and a ram."""
    ewes = {f"sheep/A{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(1, 11)}
    marked = "A6, A7, A8, A9, A10"
    notes = {
        **ewes, "sheep/R1.md": f"---\nnote: ram\nborn: 2021\nmature weight: {ram}\n---\n",
        "supplies/hay.md": "---\nnote: supply\nhave: 50 bales of 18 kg\n---\n",
        "events/2026-10-20 joining R1.md": f"---\newes: {marked}\n---\n",
        "events/2026-11-29 weighing.md": "".join(f"A{place} {ewe_kg}\n" for place in range(6, 11)),
        "events/2026-11-28 scanning.md": "".join(f"- A{place} 2\n" for place in range(6, 11)),
        "events/2026-11-28 0900 scanning.md": "".join(f"- A{place} 0\n" for place in range(1, 6)),
    }  # fmt: skip
    (row, *_) = read(notes, "2026-11-30").facts.land.feed.lasting
    assert row.days is not None
    return row.days


def test_an_open_ewe_without_a_weight_weighs_what_ewes_weigh() -> None:
    """(10 x 60 + 110) kg at 2 to 2.5 % of dry matter, hay 88 % dry: 900 kg last 44 to 55 days (reckoned by hand)."""
    assert hay_days("60", "110 kg") == (44, 55)


def test_where_no_ewe_was_weighed_the_page_says_whose_weight_was_taken() -> None:
    """A mean of rams for ewes is better than none, but nobody is to take it for theirs."""
    notes = {
        "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "sheep/R1.md": "---\nnote: ram\nborn: 2021\nmature weight: 110 kg\n---\n",
        "supplies/hay.md": "---\nnote: supply\nhave: 50 bales of 18 kg\n---\n",
    }
    (page,) = feed.make(read(notes, "2026-11-30"), STAMP)
    assert "Of these, 1 took the mean of other sexes" in " ".join(sentences_in(page.view, "lasting"))


# A labour on the night on which the clocks go back


LONDON = {"flock.yaml": "flock: Q\ntimezone: Europe/London\n", "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n"}
WATERS = {"events/2026-10-25 0050 labour A1.md": "---\nwaters: 00:50\n---\n"}


def test_each_time_of_a_night_of_changing_clocks_says_by_which_clock_it_is() -> None:
    """00:50 BST is 23:50 UTC: 00:20 UTC is 01:20 BST, 00:50 UTC is 01:50 BST, 01:20 UTC is 01:20 GMT."""
    seen = read({**LONDON, **WATERS}, "2026-10-25T00:55")
    (row, *_) = [one for page in watch.make(seen, STAMP) if page.path == watch.PATH for one in labour_rows(page)]
    assert row == ["00:50\u00a0BST", "01:20\u00a0BST", "01:50\u00a0BST", "01:20\u00a0GMT"]
    for words in (page_words(seen, neighbour), calendar_text(seen), page_words(seen, front)):
        assert "step in by 01:50\u00a0BST, ring the vet by 01:20\u00a0GMT" in words


def labour_rows(page: Page) -> list[list[str]]:
    """The times of each labour on the watch page, as printed."""
    table = table_in(page.view, "labours")
    return [[cell.text for cell in row.cells if isinstance(cell, Day)] for row in table.rows]


def page_words(seen: Seen, family: ModuleType) -> str:
    """All that the pages of a family say."""
    return " ".join(page_text(page.view) for page in made(seen, family))


def page_text(view: object) -> str:
    """A view as Python writes it, its hard spaces as they are."""
    return repr(view).replace("\\xa0", "\u00a0")


def calendar_text(seen: Seen) -> str:
    """The calendar, its long lines joined again."""
    return calendar(seen).decode().replace("\r\n ", "").replace("\\,", ",").replace("\\;", ";")


def test_the_facts_give_the_offset_of_each_time() -> None:
    """BST is an hour before UTC, GMT none; on any other night nothing needs saying."""
    (labour,) = facts_object(read({**LONDON, **WATERS}, "2026-10-25T00:55"))["labours"]
    assert labour["offsets"] == {"since": "+0100", "look_again": "+0100", "step_in": "+0100", "ring_vet": "+0000"}


def test_a_limit_is_late_by_the_time_that_has_passed() -> None:
    """At 01:10, which may be 01:10 GMT, the limit of 01:50 BST is 20 minutes over (00:50 and 01:10 UTC)."""
    (row, *_) = read({**LONDON, **WATERS}, "2026-10-25T01:10").facts.year.owed.rows
    assert late_words(row.items[0].late) == "20 min late"


def test_hands_in_on_such_a_night_ring_the_vet_by_the_sooner_limit() -> None:
    """Hands in at 01:10 BST and 20 minutes of trying: 01:30 BST comes before 01:20 GMT, though its hands say later."""
    helped = {"events/2026-10-25 0115 labour A1.md": "---\nwaters: 00:50\nhelped: 01:10\n---\n"}
    settings = {"flock.yaml": "flock: Q\ntimezone: Europe/London\ncall vet: 20 min\n"}
    (labour,) = facts_object(read({**LONDON, **settings, **helped}, "2026-10-25T01:15"))["labours"]
    assert (labour["ring_vet"], labour["offsets"]["ring_vet"]) == ("2026-10-25T01:30", "+0100")


# Lambs sold without a sum


LAMBS = {
    "sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "events/2026-04-01 lambing A1.md": "".join(f"- ewe 4 kg, tag 73{place}\n" for place in range(6)),
    "events/2026-05-01 money feed.md": "---\namount: 260\nfor: feed\n---\n",
    "events/2026-09-01 sale a.md": "---\nsheep: 730, 731\nprice: 90 each\n---\n",
    "events/2026-09-02 sale b.md": "---\nsheep: 732, 733, 734\nprice: 2.45 per kg\n---\n",
    "events/2026-09-03 sale c.md": "---\nsheep: 735\n---\n",
}


def test_a_lamb_had_to_fetch_its_share_of_all_that_were_sold() -> None:
    """260 of costs over six lambs sold is 43.33 each (by hand), though the sums of two alone are known."""
    seen = read(LAMBS, "2026-11-30")
    (row,) = facts_object(seen)["money"]
    assert (row["lambs_sold"], row["lambs_priced"], row["break_even_per_lamb"]) == (6, 2, 43.33)
    words = page_words(seen, money)
    assert "4 of 6 lambs sold have no sum that counts; 1 sum left out, see below" in words
    assert "2 of 6 lambs sold have a sum, fetched each" in words


# Weights of lambs


EWE = {"sheep/A1.md": "---\nnote: ewe\nborn: 2021\n---\n"}


def litter(*lines: str) -> Seen:
    """A litter as it is typed."""
    return read({**EWE, "events/2026-04-01 lambing A1.md": "".join(f"- {line}\n" for line in lines)}, "2026-05-01")


def spoken(seen: Seen) -> str:
    """All messages with their cures."""
    return " | ".join(f"{one.code} {one.message} / {one.help}" for one in seen.diagnostics)


def test_a_sign_before_a_weight_is_told_and_the_weight_not_counted() -> None:
    """No lamb weighs less than nothing; a dash that stands apart from the figure is none."""
    seen = litter("ewe -4 kg, tag 731")
    assert "`-4 kg` has a sign before it" in spoken(seen)
    assert seen.linked.animals["731"].birth is not None
    assert facts_object(seen)["growth"] == [] or facts_object(seen)["growth"][0]["birth_kg"] is None
    assert "sign" not in spoken(litter("ewe - 4 kg, tag 731"))


def test_a_question_about_a_bare_weight_names_its_unit() -> None:
    """4200 is read as kilograms in a flock of kilograms."""
    assert "a lamb of 4200 (read as kg) would be unusual" in spoken(litter("ewe 4200, tag 731"))


def test_no_slip_is_proposed_that_would_be_asked_about_itself() -> None:
    """A ewe of 240 kg is over the 180 kg of the largest ram (common practice)."""
    words = spoken(read({**EWE, "events/2026-05-01 weighing.md": "A1 24\n"}, "2026-06-01"))
    assert "A1" in words
    assert "did you mean 240" not in words


# Egg counts, ketones


def test_egg_counts_that_cannot_be_are_asked_about() -> None:
    """Chambers have factors of 15 to 100; no count comes near a million eggs per gram (our own lines)."""
    notes = {**EWE, "events/2026-05-01 egg count.md": "---\nfactor: 5000\n---\n- A1 99999 eggs\n"}
    seen = read(notes, "2026-06-01")
    words = spoken(seen)
    assert "a factor of 5,000 would be unusual" in words
    assert "499,995,000 eggs per gram: no count can be as high as that" in words
    assert "'5,000'" in page_words(seen, egg_counts)
    sure = {**EWE, "events/2026-05-01 egg count.md": "---\nfactor: 5000\nsure: yes\n---\n- A1 99999 eggs\n"}
    assert "U109" not in codes(read(sure, "2026-06-01"))


def test_ketones_beyond_any_meter_are_asked_about() -> None:
    """Hand-held meters end at 8 mmol/L (from memory)."""
    note = "---\nsheep: A1\nproblem: twin-lamb disease\nketones: {}\n---\n"
    found = {value: codes(read({**EWE, "events/2026-05-01 illness.md": note.format(value)})) for value in (99, 4.1)}
    assert ("U110" in found[99], "U110" in found[4.1]) == (True, False)


def test_a_test_with_its_first_sample_alone_has_its_mean_in_the_facts() -> None:
    """(600 + 670) / 2 is 635."""
    notes = {
        **EWE, "sheep/A2.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "events/2026-05-01 egg count.md": "---\ntest: t3\nwhen: before\n---\n- A1 before 600\n- A2 before 670\n",
    }  # fmt: skip
    (row,) = facts_object(read(notes, "2026-05-03"))["egg_counts"]
    assert (row["before_mean"], row["after_mean"]) == (635, None)


# Stock, ground, weights on common footing, workings


def test_stock_below_nothing_is_shown_as_none() -> None:
    """The message says that it counts as none left, and so do the page and the facts."""
    notes = {
        "supplies/hay.md": "---\nnote: supply\nhave: 100 bales of 18 kg\n---\n",
        "events/2026-05-01 stock hay.md": "---\nsupply: hay\nused: 500\n---\n",
    }
    seen = read(notes, "2026-05-03")
    assert "C107" in codes(seen)
    assert "-400" not in page_words(seen, feed) + page_words(seen, kit)
    assert {row["have"] for row in facts_object(seen)["supplies"]} == {0}


def test_rests_and_limits_of_years_are_asked_about() -> None:
    """A rest of 9000 days is nobody's plan (our own line); a rest of 60 is."""
    note = "---\nnote: paddock\narea: 2 ha\nrest: {}\nlimit: {}\n---\n"
    assert spoken(read({"paddocks/P.md": note.format("9000 days", "4000 days")})).count("unusual here") == 2
    assert "unusual" not in spoken(read({"paddocks/P.md": note.format("60 days", "7 days")}))


def test_the_workings_print_the_shapes_of_pregnancy_and_return() -> None:
    """Whoever reckons the forecast again needs the shape as well as the spread."""
    words = page_words(read(EWE), workings)
    assert "a normal curve, day by day" in words
    assert "a binomial count of days" in words


def test_the_window_in_the_facts_is_that_of_the_age_beside_it() -> None:
    """73 days is more than 7 from its own target of 60, and within 28 of 90, the age of its group (Sheep 201)."""
    notes = {
        **EWE, "sheep/A2.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "events/2026-03-27 lambing A1.md": "- ewe 4 kg, tag 731\n- ewe 4 kg, tag 732\n",
        "events/2026-03-09 lambing A2.md": "- ewe 4 kg, tag 741\n- ewe 4 kg, tag 742\n",
        "events/2026-06-08 weaning.md": "731 25\n732 26\n741 30\n742 31\n",
    }  # fmt: skip
    rows = {row["lamb"]: row for row in facts_object(read(notes, "2026-07-01"))["growth"]}
    assert [rows["731"][name] for name in ("target_age", "in_window")] == [60, False]
    assert [rows["731"][name] for name in ("group_target_age", "group_in_window")] == [90, True]


# Figures and days that cannot be


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        ("events/2026-05-02 illness A1.md", "problem: lameness\nrecovered: 2026-04-20", "X101 well on 20 Apr 2026"),
        ("sheep/C3.md", "note: ewe\nborn: 2026-04-01\nbought: 2025-03-01", "X101 bought on 1 Mar 2025, before"),
        ("events/2026-05-02 0310 labour A1.md", "waters: 02:10\nhelped: 01:10", "X101 `helped` at 01:10 comes before"),
        ("sheep/C1.md", "note: ewe\nborn: 1999", "X102 C1 would be at least 26 years old"),
        ("sheep/B32.md", "note: ewe\nborn: 2027-04-01", "X102 B32: its day of birth is still to come"),
        ("events/2026-05-02 money feed.md", "amount: 9999999\nfor: feed", "X104 a sum of 9,999,999"),
        ("events/2026-05-02 money feed.md", "amount: 0\nfor: feed", "X104 this is no more than a penny"),
        ("events/2026-05-02 sale.md", "sheep: A1\nprice: 0.92 each", "X104 less than 1 for each sheep"),
        ("events/2026-05-02 sale.md", "sheep: A1\nprice: 80 each\nweight: 600 kg", "X105 600.0 kg would be unusual"),
        ("supplies/hay.md", "note: supply\nhave: 100 bales of 1800 kg", "X106 a bale of 1800.0 kg"),
        ("supplies/milk.md", "note: supply\nhave: 2\nexpires: 1970-01", "X106 it went off by 31 Jan 1970"),
        ("medicines/w.md", "note: medicine\nlabel rate: 900 ml per 1 kg", "X107 `900 ml per 1 kg`"),
        ("medicines/w.md", "note: medicine\npack: 900000 ml", "X107 `900000 ml`"),
        ("medicines/w.md", "note: medicine\nmeat withdrawal: 9000 days", "X107 `9000 days`"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_asked_about(path: str, text: str, words: str) -> None:
    """Each passed without a word (our own lines for asking)."""
    assert words in spoken(read({**EWE, path: f"---\n{text}\n---\n"}, "2026-11-30"))


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("events/2026-05-02 illness A1.md", "problem: lameness\nrecovered: 2026-05-02"),
        ("events/2026-05-02 0310 labour A1.md", "waters: 23:50\nhelped: 00:40"),
        ("sheep/C1.md", "note: ewe\nborn: 2013"),
        ("events/2026-05-02 money feed.md", "amount: 4800\nfor: feed"),
        ("events/2026-05-02 sale.md", "sheep: A1\nprice: 80 each\nweight: 160 kg"),
        ("supplies/hay.md", "note: supply\nhave: 10 bales of 600 kg"),
        ("medicines/w.md", "note: medicine\nlabel rate: 1 ml per 5 kg\nmeat withdrawal: 104 days\npack: 5000 ml"),
    ],
)  # fmt: skip
def test_what_can_be_is_not_asked_about(path: str, text: str) -> None:
    """True values on the near side of each line."""
    assert not [code for code in codes(read({**EWE, path: f"---\n{text}\n---\n"}, "2026-11-30")) if code[0] == "X"]


def test_litters_that_no_ewe_carries_are_asked_about() -> None:
    """Nine lambs; three of 7.9 kg, more than a third of 66 kg; three of 6 kg are heavy, and born (our own lines)."""
    assert "9 lambs in one litter" in spoken(litter(*(f"ewe 4.1 kg, tag 73{place}" for place in range(9))))
    assert "3 lambs of 23.7 kg together" in spoken(litter(*(f"ewe 7.9 kg, tag 73{place}" for place in range(3))))
    assert "X103" not in codes(litter(*(f"ewe 6 kg, tag 73{place}" for place in range(3))))


def test_a_count_of_sheep_in_no_mob_is_a_sentence() -> None:
    """`1 in no mob`, never `1 of in no mob`."""
    weighed = {"events/2026-04-30 weighing.md": "A1 60\n", "sheep/A2.md": "---\nnote: ewe\nborn: 2021\n---\n"}
    words = page_words(read({**EWE, **weighed}, "2026-05-01"), dose_sheet)
    assert "1 in no mob" in words
    assert "of in no mob" not in words
