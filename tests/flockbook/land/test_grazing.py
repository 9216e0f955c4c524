"""Who is where, how long ground was grazed, and how long it has rested, from notes as a shepherd types them."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from flockbook.derive.land.grazing import Grazing
from flockbook.handover.facts import facts_object
from tests.flockbook.small import read

EWES = {f"sheep/E{n} Ewe{n}.md": "---\nnote: ewe\nborn: 2022-04-01\nmob: hill\n---\n" for n in range(1, 5)}
GROUND = {
    "paddocks/Haugh.md": "---\nnote: paddock\narea: 2 ha\nrest: 21 days\nlimit: 10 days\n---\n",
    "paddocks/Rigg.md": "---\nnote: paddock\narea: 4 ha\n---\n",
}


def move(day: str, to: str, more: str = "mob: hill") -> dict[str, str]:
    """One move note."""
    return {f"events/{day} move {to} {len(more)}.md": f"---\nnote: move\n{more}\nto: {to}\n---\n"}


def found(*moves: dict[str, str], on: str = "2026-06-10") -> Grazing:
    """Four ewes, two paddocks, some moves."""
    notes = {**EWES, **GROUND}
    for one in moves:
        notes |= one
    return read(notes, on).facts.land.grazing


def test_day_in_counts_day_out_does_not() -> None:
    """From 1 to 6 May are five nights; no source says which day counts, so nights are our choice (references, 1.6)."""
    haugh = found(move("2026-05-01", "Haugh"), move("2026-05-06", "Rigg")).ground["haugh"]
    assert [(one.entered, one.left, one.nights) for one in haugh.periods] == [(date(2026, 5, 1), date(2026, 5, 6), 5)]
    assert haugh.sheep_days == 20
    assert haugh.per_hectare == 10


def test_rest_and_earliest_return() -> None:
    """Rested nights count from the day they left; the paddock's own rest gives the first day back."""
    haugh = found(move("2026-05-01", "Haugh"), move("2026-05-06", "Rigg")).ground["haugh"]
    assert (haugh.rested, haugh.return_from) == (35, date(2026, 5, 27))
    assert haugh.standing == ()


def test_eight_paddocks_three_days_rest_three_weeks() -> None:
    """Farm Advisory Service Scotland, New Entrants: Rotational grazing (2019): 8 paddocks × 3 days rest 21."""
    ground = {f"paddocks/P{n}.md": "---\nnote: paddock\nrest: 21 days\n---\n" for n in range(8)}
    start = date(2026, 4, 1)
    round_ = [move((start + timedelta(3 * n)).isoformat(), f"P{n % 8}") for n in range(9)]
    seen = read({**EWES, **ground, **{k: v for one in round_ for k, v in one.items()}}, "2026-04-26")
    grazing = seen.facts.land.grazing
    first = grazing.ground["p0"]
    assert first.periods[-1].rested == 21
    assert first.periods[0].nights == 3


def test_stock_days_of_a_herd_that_changes() -> None:
    """Head × days are summed, as in the grazing-planning handbook (app. 2.C: 450 × 60 + 300 × 45 + 375 × 95)."""
    haugh = found(
        move("2026-05-01", "Haugh"), move("2026-05-04", "Rigg", "sheep: E1"), move("2026-05-06", "Rigg")
    ).ground["haugh"]
    assert haugh.sheep_days == 4 * 3 + 3 * 2
    assert haugh.periods[0].head == 4


def test_over_its_limit() -> None:
    """A paddock with a limit of ten days, entered on the first, should be left by the eleventh."""
    haugh = found(move("2026-05-01", "Haugh"), on="2026-05-15").ground["haugh"]
    assert (haugh.leave_by, haugh.over) == (date(2026, 5, 11), 4)
    assert haugh.now is not None
    assert haugh.rested is None
    assert haugh.return_from is None


def test_mobs_that_follow_on_the_same_day_leave_no_rest() -> None:
    """One mob out and another in on one day is one unbroken time of grazing."""
    grazing = found(move("2026-05-01", "Haugh", "sheep: E1, E2"), move("2026-05-05", "Rigg", "sheep: E1, E2"),
                    move("2026-05-05", "Haugh", "sheep: E3"))  # fmt: skip
    assert len(grazing.ground["haugh"].periods) == 1


def test_moves_of_the_day_asked_about_have_not_happened() -> None:
    """States on a day are those at its start, so a move of that day counts only when a later time is asked about."""
    notes = {**EWES, **GROUND, **move("2026-05-01", "Haugh"), **move("2026-05-06", "Rigg")}
    assert read(notes, "2026-05-06").facts.land.grazing.place_of("E1") == "Haugh"
    assert read(notes, "2026-05-06T23:59").facts.land.grazing.place_of("E1") == "Rigg"


def test_lambs_lie_where_their_dam_does() -> None:
    """A lamb is born where its dam stands, and goes with its mob."""
    notes = {
        **EWES, **GROUND, **move("2026-04-01", "Haugh"),
        "events/2026-04-10 lambing E1.md": "---\nnote: lambing\newe: E1\n---\n- ewe 4 kg, tag 901\n",
    }  # fmt: skip
    assert read(notes, "2026-04-20").facts.land.grazing.place_of("901") == "Haugh"
    assert read({**notes, **move("2026-04-21", "Rigg")}, "2026-04-30").facts.land.grazing.place_of("901") == "Rigg"


def test_the_dead_and_the_sold_leave_the_ground() -> None:
    """A paddock whose last sheep died or was sold is empty from that day on."""
    grazing = found(
        move("2026-05-01", "Haugh", "sheep: E1"),
        {"events/2026-05-08 death E1.md": "---\nnote: death\nsheep: E1\ncause: accident\n---\n"},
    )
    assert grazing.ground["haugh"].last_left == date(2026, 5, 8)
    assert "E1" not in grazing.places


def test_a_joining_names_its_paddock() -> None:
    """Ewes and ram stand where the joining says from the day the ram went in."""
    ram = {"sheep/R1 Pike.md": "---\nnote: ram\nborn: 2023\n---\n"}
    joining = {"events/2026-05-02 joining Pike.md": "---\nnote: joining\nrams: Pike\nmob: hill\npaddock: Rigg\n---\n"}
    grazing = found(ram, joining)
    assert grazing.place_of("R1") == grazing.place_of("E2") == "Rigg"


def test_a_draft_goes_where_the_mob_stands() -> None:
    """A sheep drafted into a mob that stands somewhere joins it there; the mob's own members stay put."""
    other = {"sheep/H1 Hogg.md": "---\nnote: ewe\nborn: 2025\nmob: hoggs\n---\n"}
    draft = {"events/2026-05-03 draft into hill.md": "---\nnote: draft\nsheep: H1\ninto: hill\n---\n"}
    grazing = found(other, move("2026-05-01", "Haugh"), draft)
    assert grazing.place_of("H1") == "Haugh"


def test_nobody_is_forgotten() -> None:
    """Living sheep of which no note says where are listed, never guessed."""
    grazing = found(move("2026-05-01", "Haugh", "sheep: E1"))
    assert grazing.nowhere == ("E2", "E3", "E4")


def test_facts_file_holds_the_ground() -> None:
    """The facts file has one row for each paddock, and each sheep its paddock."""
    facts = facts_object(read({**EWES, **GROUND, **move("2026-05-01", "Haugh")}, "2026-05-11"))
    row = next(row for row in facts["paddocks"] if row["paddock"] == "Haugh")
    assert (row["mob"], row["since"], row["days_grazed"], row["sheep_days_per_area"]) == ("hill", "2026-05-01", 10, 20)
    assert {sheep["paddock"] for sheep in facts["sheep"]} == {"Haugh"}


@given(st.lists(st.tuples(st.integers(0, 60), st.sampled_from(["Haugh", "Rigg", "Pen"])), min_size=1, max_size=8))
def test_every_night_is_somewhere(moves: list[tuple[int, str]]) -> None:
    """Whatever the moves, four ewes spend four sheep-nights a night from the first move on, in the grid too."""
    start = date(2026, 4, 1)
    days = dict(moves)
    notes = [move((start + timedelta(day)).isoformat(), place) for day, place in days.items()]
    grazing = found(*notes, on="2026-06-10")
    nights = (date(2026, 6, 10) - (start + timedelta(min(days)))).days
    assert sum(ground.sheep_days for ground in grazing.ground.values()) == 4 * nights
    assert sum(grazing.grid.values()) == 4 * nights
    assert not hasattr(grazing, "clean")


def test_sheep_days_are_those_of_the_last_year() -> None:
    """Nights more than 365 days ago stand in the list of stays, and are left out of the sheep-days."""
    grazing = found(move("2025-06-01", "Haugh"), move("2025-06-15", "Rigg"), on="2026-06-10")
    haugh = grazing.ground["haugh"]
    assert haugh.periods[0].nights == 14
    assert haugh.sheep_days == 4 * 5
