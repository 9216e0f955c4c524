"""Truth-known writing: nobody who was really treated is shown clear, however it was written (way 1 of `clear.md`).

The source of every "really" here is the world itself, which shares no code with the program; its own days are checked
against cases worked by hand. `python -m tests.truth 100000` runs as many writings as wanted.
"""

from __future__ import annotations

import ast
import copy
import json
from dataclasses import replace
from datetime import date, datetime
from itertools import islice
from pathlib import Path

import pytest
from click.testing import CliRunner

from flockbook.cli.main import main as flockbook
from tests.truth import trials
from tests.truth.catalogue import WAYS
from tests.truth.cure import Message
from tests.truth.plain import Files, written
from tests.truth.product import facts_of
from tests.truth.scenarios import SCENARIOS, world_of
from tests.truth.shrink import smallest
from tests.truth.tally import Tally, report
from tests.truth.trial import judged, put
from tests.truth.ways import Way
from tests.truth.world import FOREVER, Animal, Born, Dosed, Drafted, Fostered, Left, Medicine, Period, World
from tests.truth.writing import Writing, single

HERE = Path(__file__).parent
OPEN = set((HERE / "open.txt").read_text("utf-8").split())  # ways that are not yet read safely; may only grow shorter
OPEN_SCENARIOS = set((HERE / "open_scenarios.txt").read_text("utf-8").split())  # the same of plain writings
SINGLES, PAIRS = 1600, 400


def one_ewe(medicine: Medicine, *moments: datetime, timed: bool = True) -> World:
    """A world of one ewe and one dose."""
    dose = Dosed("dose", moments, frozenset({"ewe"}), medicine.name, "3 ml", timed)
    ewe = Animal("ewe", "ewe", date(2022, 4, 1), "C1", "Bell", "hill")
    return World({"ewe": ewe}, {medicine.name: medicine}, ("hill",), (dose,), datetime(2026, 12, 1))


def label(meat: str, milk: str = "none") -> Medicine:
    """A bottle with these periods."""
    return Medicine("drench", Period(meat), Period(milk))


# Worked by hand on a calendar, by the rules W1, W2, W3 and W10 of the design.
BY_HAND = [
    (label("14 days"), [datetime(2026, 6, 2, 10, 30)], True, datetime(2026, 6, 16, 10, 30)),
    (label("14 days"), [datetime(2026, 6, 2, 10, 30)], False, datetime(2026, 6, 17)),
    (label("72 hours"), [datetime(2026, 6, 2, 10, 30)], True, datetime(2026, 6, 5, 10, 30)),
    (label("72 hours"), [datetime(2026, 6, 2, 10, 30)], False, datetime(2026, 6, 6)),
    (label("60 hours"), [datetime(2026, 6, 2, 10, 30)], False, datetime(2026, 6, 6)),
    (label("28 days"), [datetime(2026, 6, 2, 18), datetime(2026, 6, 4, 18, 30)], True, datetime(2026, 7, 2, 18, 30)),
    (label("28 days"), [datetime(2025, 12, 30, 9)], True, datetime(2026, 1, 27, 9)),
    (label("35 days"), [datetime(2028, 2, 1, 9)], True, datetime(2028, 3, 7, 9)),  # over a 29th of February
    (label("96 hours"), [datetime(2026, 3, 28, 18)], True, datetime(2026, 4, 1, 19)),  # clocks went forward on the 29th
    (label("72 hours"), [datetime(2026, 10, 24, 18)], True, datetime(2026, 10, 27, 18)),  # and back on the 25th
    (label("none"), [datetime(2026, 6, 2, 10, 30)], True, datetime.min),
]


@pytest.mark.parametrize(("medicine", "moments", "timed", "end"), BY_HAND)
def test_the_worlds_own_days_agree_with_cases_worked_by_hand(
    medicine: Medicine, moments: list[datetime], timed: bool, end: datetime
) -> None:
    """Days and hours are added up right."""
    assert one_ewe(medicine, *moments, timed=timed).told_until("ewe", "meat") == end


def test_meat_and_milk_go_apart_and_the_later_of_two_doses_counts() -> None:
    """`not for milk` has no end; an older, longer dose may end later than a newer one (W4, W7)."""
    world = one_ewe(label("14 days", "not for milk"), datetime(2026, 6, 10, 8))
    long = Dosed("long", (datetime(2026, 6, 2, 8),), frozenset({"ewe"}), "long", "3 ml")
    medicines = {**world.medicines, "long": Medicine("long", Period("35 days"), Period("none"))}
    world = replace(world, medicines=medicines, happenings=(*world.happenings, long))
    assert world.until("ewe", "meat") == datetime(2026, 7, 7, 8)
    assert world.until("ewe", "milk") == FOREVER


def test_pens_are_what_they_were_hour_by_hour() -> None:
    """A draft, a foster, a sale: who stood where, told by hand."""
    animals = {
        "a": Animal("a", "ewe", date(2022, 4, 1), "1", "", "hill"),
        "b": Animal("b", "ewe", date(2022, 4, 1), "2", "", "low"),
        "l": Animal("l", "ram", date(2026, 4, 9), "", dam="a", paint=1),
    }
    told = (
        Born("birth", datetime(2026, 4, 9, 5), "a", ("l",)),
        Drafted("draft", datetime(2026, 5, 1, 14), frozenset({"a"}), "low"),
        Fostered("foster", datetime(2026, 4, 12, 9), "l", "b"),
        Left("sale", datetime(2026, 6, 1, 9), frozenset({"b"}), dead=False),
    )
    world = World(animals, {}, ("hill", "low"), told, datetime(2026, 7, 1))
    assert world.pen("hill", datetime(2026, 4, 9, 4)) == {"a"}
    assert world.pen("hill", datetime(2026, 4, 10)) == {"a", "l"}
    assert world.pen("low", datetime(2026, 4, 13)) == {"b", "l"}
    assert world.pen("hill", datetime(2026, 5, 1, 13)) == {"a"}
    assert world.pen("low", datetime(2026, 5, 1, 15)) == {"a", "b", "l"}
    assert "b" not in world.pen("low", datetime(2026, 6, 2))


def test_same_seed_same_world() -> None:
    """Everything comes from the seed."""
    for name in SCENARIOS:
        assert world_of((name,), 5) == world_of((name,), 5)
    assert world_of(("several",), 5) != world_of(("several",), 6)


def test_only_one_module_knows_the_program() -> None:
    """Nothing else of these shares code with what it judges."""
    for path in HERE.glob("*.py"):
        names = {name.split(".")[0] for node in ast.walk(ast.parse(path.read_text("utf-8"))) for name in imported(node)}
        assert not names & {"flockbook", "compiler"} or path.name in ("product.py", "test_truth.py"), path.name


def imported(node: ast.AST) -> list[str]:
    """The modules that a statement imports."""
    if isinstance(node, ast.Import):
        return [item.name for item in node.names]
    return [node.module or ""] if isinstance(node, ast.ImportFrom) else []


def test_what_is_asked_in_this_process_is_what_the_command_says(tmp_path: Path) -> None:
    """Sheep, clearance and messages are those of `flockbook handover facts`."""
    writing = single(WAYS["line_and"], 3)
    for path, content in writing.files().items():
        put(tmp_path / "notes" / path, content)
    on = f"{writing.world.on:%Y-%m-%dT%H:%M}"
    CliRunner().invoke(
        flockbook, ["handover", "facts", str(tmp_path / "notes"), "--on", on, "--to", str(tmp_path / "facts.json")]
    )
    told = json.loads((tmp_path / "facts.json").read_text("utf-8"))
    asked = json.loads(json.dumps(facts_of(tmp_path / "notes", writing.world.on)))
    assert {key: told[key] for key in asked} == asked


def held_row() -> tuple[World, dict[str, object], dict[str, object]]:
    """A plain writing's facts, and the row of somebody held in them."""
    world, idents = world_of(("one_long",), 3)
    facts = facts_of(trials.desk().lay(written(world).files), world.on)
    tag = world.tag(next(iter(world.dose(idents[0]).who)))
    row = next(row for row in facts["clearance"] if row["sheep"] == tag)
    assert row["meat"]["state"] == "held"
    assert not judged(world, facts).wrong
    return world, facts, row


def test_a_planted_clear_is_found() -> None:
    """Facts that were doctored to set a treated ewe free are judged wrong."""
    world, facts, row = held_row()
    row["meat"] = {"state": "clear", "until": None}
    assert "really held until" in judged(world, facts).wrong[0]


def test_a_planted_early_end_is_found() -> None:
    """A minute too early is too early."""
    world, facts, row = held_row()
    end = max(world.until(key, "meat") for dose in world.doses() for key in dose.who if world.tag(key) == row["sheep"])
    row["meat"] = {"state": "held", "until": end.replace(hour=0, minute=0).isoformat()}
    assert judged(world, facts).wrong


def test_a_planted_withholding_is_counted() -> None:
    """The price of caution sees everybody who is withheld without need."""
    world, facts, _ = held_row()
    doctored = copy.deepcopy(facts)
    for row in doctored["clearance"]:  # type: ignore[attr-defined]
        row["meat"] = {"state": "unknown", "until": None}
    assert judged(world, doctored).whole_flock
    assert not judged(world, facts).whole_flock


def test_ways_are_many_and_each_changes_something() -> None:
    """At least 130, each with its scenario, and none that leaves the plain writing as it is."""
    assert len(WAYS) >= 130
    plain = {"seller_field", "clocks_plain", "overdose_head"}  # the rules ask that the plain writing itself be read
    for way in WAYS.values():
        writing = single(way, 4)
        assert way.of in SCENARIOS
        assert (writing.files() == writing.plain()) == (way.name in plain), way.name


def test_what_cannot_be_found_out_really_cannot() -> None:
    """Its files equal, byte for byte, the plain writing of a truth in which somebody is free sooner."""
    lost = [way for way in WAYS.values() if way.otherwise]
    assert len(lost) >= 5
    for way in lost:
        assert trials.excuse(single(way, 2), way) == ""


def test_an_excuse_is_refused() -> None:
    """A way that could be found out cannot be put on the list of those that cannot."""
    lost = WAYS["lost_not_written"]
    excused = Way("excused", "none", "one_long", "an excuse", WAYS["late_week"].make, otherwise=lost.otherwise)
    world, idents = world_of(("one_long",), 2)
    assert "not the plain writing" in trials.tried(Writing((excused,), 2, world, idents)).fault


def test_a_failure_is_made_small() -> None:
    """A planted failure shrinks to the dosed ewe and the note of her dose."""
    writing = single(WAYS["name_alone"], 2)
    small = smallest(
        writing,
        lambda one: any("sheep: Teasel" in str(text) or "sheep: Bramble" in str(text) for text in one.files().values()),
    )
    assert len(small.world.animals) == 1
    assert len(small.world.happenings) == 1


def test_a_failure_is_printed_with_its_folder() -> None:
    """The report names the way, what is wrong and the files, without needing the program to fail."""
    writing = single(WAYS["name_alone"], 2)
    tally = Tally()
    tally.add(
        trials.Outcome(
            writing, judged(writing.world, facts_of(trials.desk().lay(writing.files()), writing.world.on)), "planted"
        )
    )
    text = report(tally.failed, 1)
    assert "name_alone (V6)" in text
    assert "sheep: Bramble" in text or "sheep: Teasel" in text


def test_a_cure_is_typed_and_asked_again() -> None:
    """A cure that does what a message says leads to exactly the truth; one that does nothing does not."""
    writing = single(WAYS["name_slip_drop"], 2)

    def retype(files: Files, message: Message) -> Files:
        text = str(files[message["path"]])
        wanted = dict(writing.plain())[message["path"]] if message["path"] in writing.plain() else text
        return {**files, message["path"]: wanted}

    codes = {
        message["code"] for message in facts_of(trials.desk().lay(writing.files()), writing.world.on)["diagnostics"]
    }
    assert trials.after_cure(writing, dict.fromkeys(codes, retype)) == []
    assert trials.after_cure(writing, {}) != []


@pytest.mark.parametrize("name", sorted(set(SCENARIOS) - OPEN_SCENARIOS))
def test_the_plain_writing_is_read_exactly(name: str) -> None:
    """After everything is mended, the book says the truth, to the minute, of everybody."""
    for seed in range(3):
        assert trials.mended(Writing((), seed, *world_of((name,), seed))) == [], f"{name} {seed}"


def test_nobody_treated_is_shown_clear_in_a_sample_of_writings() -> None:
    """Every way at least once, and pairs: dosed and clear have nobody in common."""
    tally = Tally()
    for outcome in trials.run(SINGLES, 11):
        tally.add(outcome)
    closed = [name for name in WAYS if name not in OPEN]
    for outcome in trials.run(PAIRS, 11, pairs=True, only=closed):
        tally.add(outcome)
    failed = {name: outcome for name, outcome in tally.failed.items() if name not in OPEN}
    assert not failed, report(failed, 3)


def test_pairs_stay_on_one_farm() -> None:
    """Where two ways are in one world, each dose is still of the animals that its own scenario chose."""
    for writing in islice(trials.fitting(trials.in_pairs(list(WAYS.values()), 3)), 60):
        assert len(writing.ways) == len(writing.idents) == 2
        assert all(writing.world.dose(ident).who <= set(writing.world.animals) for ident in writing.idents)
        same = writing.ways[1].place == "file"
        assert (len(set(writing.idents)) == 1) == same
