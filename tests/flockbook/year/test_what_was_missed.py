"""Moments at which a shepherd was left without the row she needed: from notes to Today, To do and the loading list."""

from __future__ import annotations

import pytest

from flockbook.pages.market import loading
from flockbook.pages.today import front, to_do
from tests.flockbook.families import made
from tests.flockbook.small import Notes, codes, read, unchecked
from tests.flockbook.year.test_twenty_moments import Line, page_of, rows, sections, words

US = "flock: Small\nunits: us\nwords: us\ndates: month-day\ncountry: US\ncurrency: USD\n"
EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK: Notes = {"flock.yaml": US, "sheep/1 Edith.md": EWE, "sheep/2 Kit.md": EWE}
SOLD = "---\nsheep: Edith\nto: Auction\nuse: slaughter\nsure: yes\n{}---\n"
LAME: Notes = {
    **FLOCK,
    "events/2026-03-22 illness Edith.md": "---\nproblem: lameness\n---\n",
    "events/2026-03-26 sale Edith.md": SOLD.format(""),
}


def now(notes: Notes, on: str) -> list[Line]:
    """The rows under Now on Today, which are those of To do."""
    seen = unchecked(notes, on)
    found = list(rows(sections(page_of(seen, front, "index.html")).get("Now")))
    assert found == list(rows(sections(page_of(seen, to_do, "to-do.html")).get("Now")))
    return found


def told(notes: Notes, on: str) -> str:
    """All rows under Now, in words."""
    return " | ".join(f"{row.who} {row.what} {row.more}" for row in now(notes, on))


def today(notes: Notes, on: str) -> str:
    """The words of Today."""
    return words(page_of(unchecked(notes, on), front, "index.html"))


# A sale to come


@pytest.mark.parametrize("on", ["2026-03-25T20:00", "2026-03-26T06:00", "2026-03-26T23:30"])
def test_a_planned_sale_without_an_hour_is_to_come_until_its_day_is_over(on: str) -> None:
    """Common practice, no source: on the morning of the sale the lame ewe, her list and the warning stand."""
    assert "asked before Auction on Mar 26, 2026" in told(LAME, on)
    assert "loading-2026-03-26.html" in {page.path for page in made(unchecked(LAME, on), loading)}
    assert "W104" in codes(read(LAME, on))
    assert "2 sheep on the roll" in today(LAME, on)


def test_it_went_at_its_hour_or_when_its_day_is_over() -> None:
    """An hour in the note is the hour at which it goes; without one it has gone on the next day."""
    timed = {**LAME, "events/2026-03-26 sale Edith.md": SOLD.format("time: 14:00\n")}
    assert "asked before" in told(timed, "2026-03-26T13:59")
    for notes, on in ((timed, "2026-03-26T14:00"), (LAME, "2026-03-27")):
        assert "asked before" not in told(notes, on)
        assert "1 sheep on the roll" in today(notes, on)


def test_a_ram_that_a_medicine_holds_may_not_go_in_the_row_as_in_the_list() -> None:
    """The row says what the list of that day says: may NOT go, and not before which day; a ram sold to breed too."""
    notes = {
        **FLOCK,
        "flock.yaml": f"{US}timezone: America/Chicago\n",
        "sheep/9 Buckshot.md": "---\nnote: ram\nborn: 2022\n---\n",
        "medicines/pour.md": "---\nnote: medicine\nname: levamisole\nmeat withdrawal: 10 days\n---\n",
        "events/2026-09-18 treatment Buckshot.md": "---\nmedicine: levamisole\ndose: 10 mL\n---\n",
        "events/2026-09-20 sale Buckshot.md": "---\nto: Lew Orr\nuse: breeding\nsure: yes\n---\n",
    }
    for on in ("2026-09-19T20:00", "2026-09-20T07:00"):
        assert "9 Buckshot may NOT go to Lew Orr on Sep 20, 2026, not before Sep 29, 2026" in told(notes, on)
    assert "tell the buyer" not in told(notes, "2026-09-20T07:00")


# Lambs lost


def gate(notes: Notes, on: str) -> str:
    """The words of the loading list of the whole flock."""
    return words(page_of(unchecked(notes, on), loading, "loading.html"))


def test_a_cause_that_is_not_known_is_asked_about_after_the_day_of_isolation_too() -> None:
    """Common practice, no source: the day to which she is kept apart says nothing of the cause; what
    the laboratory found is told to vet and buyer, and frees nobody.
    """
    lost = "---\newe: Edith\ndays: 40\nisolated until: Mar 20\nsample: sent\n{}---\n"
    notes = {**FLOCK, "events/2026-02-18 abortion Edith.md": lost.format("")}
    asked = "as long as the cause is not known"
    assert "kept apart since she lost her lambs" in gate(notes, "2026-03-20T08:00")
    for on in ("2026-03-21T08:00", "2026-06-21T08:00"):
        assert asked in gate(notes, on)
    known = {**FLOCK, "events/2026-02-18 abortion Edith.md": lost.format("result: Campylobacter\n")}
    assert "kept apart since she lost her lambs" in gate(known, "2026-03-20T08:00")
    after = gate(known, "2026-03-21T08:00")
    assert asked not in after
    assert "the laboratory found: Campylobacter. Ask your vet before she goes, and tell the buyer" in after


# Lambs of the first hour

BORN: Notes = {**FLOCK, "events/2026-03-18 0430 lambing Edith.md": "- ewe 8.5 lb, tag 604\n- ram 9 lb, tag 605\n"}
ILL = "events/2026-03-18 0500 illness 604.md"
MEASURED = {
    "an illness": {ILL: "---\nproblem: weak lamb\ntemp: 97.8\n---\nCold and flat, will not stand.\n"},
    "a check": {"events/2026-03-18 0500 check.md": "- 604 97.8 F\n"},
    "a feeding": {"events/2026-03-18 0500 feeding 604.md": "---\nlambs: 604\namount: 4 oz\ntemp: 97.8\n---\n"},
    "its line": {"events/2026-03-18 0430 lambing Edith.md": "- ewe 8.5 lb, tag 604, 97.8 F\n- ram 9 lb, tag 605\n"},
    "its line, in words": {
        "events/2026-03-18 0430 lambing Edith.md": "- ewe 8.5 lb, tag 604, temp 97.8\n- ram 9 lb, tag 605\n"
    },
}


@pytest.mark.parametrize("how", MEASURED)
def test_a_chilled_lamb_goes_through_the_lamb_table_whatever_note_tells_it(how: str) -> None:
    """Below 37 °C: dry and warm it (NADIS 2006; Rackley), first of all rows, and nothing of grown sheep."""
    notes = {**BORN, **MEASURED[how]}
    (first, *_) = now(notes, "2026-03-18T06:00")
    assert first.who == "604"
    assert first.what.startswith("97.8 °F at")
    assert "badly chilled" in first.what
    assert "dry it first" in first.what
    assert not any("grown sheep" in message.message for message in read(notes, "2026-03-18T06:00").diagnostics)


@pytest.mark.parametrize("problem", ["weak lamb", "chilled", "cold", "hypothermia", "flat"])
def test_a_lamb_called_cold_without_a_figure_is_measured_first(problem: str) -> None:
    """Common practice, no source: the row asks for the temperature, until one is written."""
    notes = {**BORN, ILL: f"---\nproblem: {problem}\n---\n"}
    (first, *_) = now(notes, "2026-03-18T06:00")
    assert (first.who, "take its temperature now" in first.what) == ("604", True)
    fed = {"events/2026-03-18 0530 feeding 604.md": "---\nlambs: 604\namount: 4 oz\ntemp: 102.6\n---\n"}
    assert "take its temperature" not in told({**notes, **fed}, "2026-03-18T06:00")


# Worms, and fevers


@pytest.mark.parametrize(
    "line", ["eyelid 5, bottle jaw", "eyelid 4", "swelling under jaw", "jaw swollen", "eyelid 2, bottle jaw"]
)
def test_a_pale_eyelid_or_a_bottle_jaw_stands_until_something_is_written(line: str) -> None:
    """The five-point check treats at 4 and 5 and at a bottle jaw (Cornell CCE 2020; Maryland)."""
    notes = {**FLOCK, "events/2026-05-20 check worms.md": f"- Edith {line}\n- Kit bcs 3, eyelid 1\n"}
    for on in ("2026-05-20T18:00", "2026-06-20"):
        (row,) = now(notes, on)
        assert (row.who, "decide with your vet" in row.what) == ("1 Edith", True)
        assert ("jaw swollen" in row.what) == ("jaw" in line)
    for path, text in {
        "events/2026-05-21 remark Edith.md": "The vet said wait.\n",
        "events/2026-05-27 check.md": "- Edith eyelid 2\n",
        "events/2026-05-21 treatment Edith.md": "---\nmedicine: levamisole\nfor: worms\ndose: 9 mL\n---\n",
    }.items():
        assert "decide with your vet" not in told({**notes, path: text}, "2026-06-20")


def test_no_bottle_jaw_is_none() -> None:
    """A jaw that is written as not swollen is no sign."""
    notes = {**FLOCK, "events/2026-05-20 check worms.md": "- Edith eyelid 2, no bottle jaw\n"}
    assert now(notes, "2026-05-20T18:00") == []


def test_a_cold_bag_and_a_fever_stand_first_with_their_signs() -> None:
    """A bag that dies kills within a day or two (common practice); 38.6 to 40.0 °C (New Bolton Center)."""
    ill = "events/2026-03-19 0710 illness Kit.md"
    lame = {"events/2026-03-19 0720 illness Edith.md": "---\nproblem: lameness\n---\n"}
    for head, body in (("temp: 106.2\n", ""), ("", "Blue and cold bag.\n"), ("temp: 106.2\n", "Blue and cold bag.\n")):
        note = f"---\nproblem: mastitis\nside: left\n{head}---\n{body}"
        first, second = now({**FLOCK, **lame, ill: note}, "2026-03-19T08:00")
        assert (first.who, second.who) == ("2 Kit", "1 Edith")
        assert "call the vet" in f"{first.what} {first.more}"
        assert ("106.2 °F" in first.more, "Blue and cold bag" in first.more) == (bool(head), bool(body))
        assert "vet" not in second.what


def test_a_fever_at_a_check_is_on_today_until_something_is_written() -> None:
    """Outside 38.6 to 40.0 °C (New Bolton Center) the vet is called; it stands above a limping ewe."""
    notes = {**FLOCK, "events/2026-03-17 check.md": "- Kit 105.5 F, udder hard\n- Edith feet limping\n"}
    first, second = now(notes, "2026-03-18T03:00")
    assert (first.who, second.who) == ("2 Kit", "1 Edith")
    assert first.what.startswith("105.5 °F, udder hard, on Mar 17, 2026: call the vet now")
    done = {"events/2026-03-18 0200 remark Kit.md": "The vet came.\n"}
    assert "105.5" not in told({**notes, **done}, "2026-03-18T03:00")


# Plans

CDT = "---\nnote: medicine\nname: CD&T vaccine\nkind: vaccine\nmeat withdrawal: 21 days\n---\n"
VACCINE = {"medicines/cdt.md": CDT}
PLAN = "---\nnote: plan\nwhat: {}\nbefore first due: 4 weeks\nfor: ewes\ndone by: {}\n---\n{}"


@pytest.mark.parametrize(
    ("what", "by"),
    [
        ("CD&T for the ewes", "vaccine"),
        ("CD&T vaccine booster", "vaccine"),
        ("booster", "CD&T vaccine"),
        ("give CD&T vaccine to the ewes", "CD&T vaccine"),
    ],
)
def test_a_plan_that_names_a_product_doses_nobody(what: str, by: str) -> None:
    """What is to be done was not done: nobody is in doubt for it, and no treatment is asked for."""
    seen = unchecked({**FLOCK, **VACCINE, "plans/booster.md": PLAN.format(what, by, "")}, "2026-03-01")
    assert [seen.facts.medicine.guard.standing[one].meat.state for one in ("1", "2")] == ["clear", "clear"]


@pytest.mark.parametrize(
    ("what", "below"),
    [
        ("CD&T vaccine for the ewes, done", ""),
        ("CD&T vaccine given to the ewes", ""),
        ("vaccinated the ewes with CD&T vaccine", ""),
        ("CD&T vaccine 20 Feb", ""),
        ("CD&T vaccine 2 mL", ""),
        ("booster for the ewes", "CD&T vaccine to the ewes, 20 Feb.\n"),
    ],
)
def test_a_plan_that_tells_of_a_dose_given_still_holds(what: str, below: str) -> None:
    """Whatever in a plan says that the product was given holds as before."""
    seen = unchecked({**FLOCK, **VACCINE, "plans/booster.md": PLAN.format(what, "check", below)}, "2026-03-01")
    assert seen.facts.medicine.guard.standing["1"].meat.state != "clear"


def test_twins_in_a_plan_are_two_or_more_and_no_one_else() -> None:
    """Who carries three needs it most; who lost hers, is empty or was not scanned has no count of two."""
    names = ["Ann", "Bea", "Cat", "Dot", "Eve", "Fay"]
    notes = {
        "flock.yaml": US,
        **{f"sheep/{tag} {name}.md": EWE for tag, name in enumerate(names, 1)},
        "sheep/9 Tully.md": "---\nnote: ram\nborn: 2021\n---\n",
        "events/2025-10-20 joining Tully.md": f"---\newes: {', '.join(names)}\nout: Nov 24\n---\n",
        "events/2026-01-15 scan.md": "- Ann twins\n- Bea triplets\n- Cat single\n- Dot empty\n- Eve twins\n",
        "events/2026-01-25 abortion Eve.md": "---\nisolated until: Feb 20\n---\n",
        "plans/grain.md": "---\nnote: plan\nwhat: grain to the twins\nbefore first due: 6 weeks\nfor: ewes\n---\n",
    }

    def named(notes: Notes, on: str) -> set[str]:
        found = unchecked(notes, on).facts.year.reminders
        return {sheep for one in found if one.kind == "plan" for sheep in one.sheep}

    assert named(notes, "2026-02-05") == {"1", "2"}
    lambed = {
        "events/2026-03-18 lambing Ann.md": "- ewe 8 lb, tag 61\n- ram 8 lb, tag 62\n",
        "events/2026-03-19 lambing Bea.md": "- ewe 8 lb, tag 63\n- ram 8 lb, tag 64\n",
    }
    assert named({**notes, **lambed}, "2026-04-15") == set()


@pytest.mark.parametrize("day", ["Nov 21", "21 Nov", "11/21", "November 21st"])
@pytest.mark.parametrize("order", ["dates: month-day\n", ""])
def test_a_mark_is_read_however_its_day_is_written(day: str, order: str) -> None:
    """A mark on 21 November puts the due day about 147 days on, 17 April, and not that of the ram's first day."""
    notes = {
        "flock.yaml": f"flock: Small\n{order}" if "/" not in day else US,
        "sheep/1 Kit.md": EWE, "sheep/9 Tully.md": "---\nnote: ram\nborn: 2021\n---\n",
        "events/2025-10-20 joining Tully.md": f"---\nrams: Tully\newes: Kit\n---\n- {day} Kit\n",
    }  # fmt: skip
    seen = read(notes, "2026-02-01")
    (row,) = seen.facts.breeding.due.rows
    assert row.due.likely
    assert (row.due.likely.month, row.due.likely.day) == (4, 17)
    assert "F107" not in codes(seen)


# The hour of a birth


def test_in_the_hour_of_a_birth_her_row_stands_first_and_the_danger_is_a_line() -> None:
    """Common practice, no source: who strains now comes before what was lost a month ago; people are still warned."""
    lost = {"events/2026-03-10 abortion Kit.md": "---\ndays: 40\n---\n"}
    labour = {"events/2026-03-18 0230 labor Edith.md": "---\nseen: 1:00 am\n---\n"}
    quiet = today({**FLOCK, **lost}, "2026-03-18T03:00")
    assert quiet.index("Danger to people 1") < quiet.index("Now 1")
    page = today({**FLOCK, **lost, **labour}, "2026-03-18T03:00")
    assert "Danger to people 1" not in page
    order = ["Now 2", "1 Edith", "Danger to people: Kit (2):", "aborted on"]
    assert sorted(order, key=page.index) == order
    assert [row.who for row in now({**FLOCK, **lost, **labour}, "2026-03-18T03:00")] == ["1 Edith", "2 Kit"]


# Money


@pytest.mark.parametrize(
    ("bought", "price"),
    [
        ("40 bales at 6.50", "40 bales at 6.50"),
        ("40 bales of 45 lb at 6.50", "40 bales at 6.50"),
        ("40 bales at $6.50 each", "40 bales at 6.50"),
        ("40 bales for $260", "260 total"),
    ],
)
def test_a_price_in_what_was_bought_is_told(bought: str, price: str) -> None:
    """The sums count `price` alone: a price that stands elsewhere is not passed over without a word."""
    path = "events/2025-10-01 stock hay.md"
    notes = {**FLOCK, path: f"---\nsupply: hay\nbought: {bought}\n---\n"}
    (message,) = [one for one in read(notes, "2025-10-02").diagnostics if "is not counted as money" in one.message]
    assert f"`price: {price}`" in message.help
    mended = read({**FLOCK, path: f"---\nsupply: hay\nbought: 40 bales\nprice: {price}\n---\n"}, "2025-10-02")
    assert mended.facts.farm.money.seasons
    assert "is not counted as money" not in " ".join(one.message for one in mended.diagnostics)


# Kept apart


def test_a_ewe_that_aborted_is_kept_apart_to_one_day_in_all_places() -> None:
    """Severn Edge Vets: three weeks at least, in the danger to people, under Now and among those kept apart."""
    notes = {**FLOCK, "events/2026-02-23 abortion Edith.md": "---\ndays: 40\n---\n"}
    page = sections(page_of(unchecked(notes, "2026-02-25T10:00"), front, "index.html"))
    for part in ("Danger to people", "Now", "Kept apart"):
        assert "Mar 16, 2026" in words(page[part])
    later = sections(page_of(unchecked(notes, "2026-03-18T10:00"), front, "index.html"))
    assert "three weeks apart were over on Mar 16, 2026" in words(later["Now"])
    assert not {"Danger to people", "Kept apart"} & set(later)


def test_bought_sheep_stay_on_the_list_until_their_move_is_written() -> None:
    """What is not done stays until it is: the end of a quarantine says what to do, and stands until a move."""
    notes = {
        **FLOCK,
        "events/2025-10-15 purchase.md": "---\nfrom: Ames\napart until: Nov 9\n---\n- ewe tag 116, born 2023\n",
    }
    for on in ("2025-11-10", "2025-12-20", "2026-03-01"):
        assert "look it over, then write the move" in today(notes, on)
    moved = {"events/2025-11-12 move.md": "---\nsheep: 116\nto: Fold\n---\n"}
    assert "write the move" not in today({**notes, **moved}, "2025-12-20")
