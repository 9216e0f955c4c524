"""How long ewes carry, by the flock's own figure and by breed: due days, windows, sires, scans and plans from notes."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.telling import workings
from tests.flockbook.compiled import Compiled
from tests.flockbook.families import drawn, made
from tests.flockbook.small import Seen, codes, read

FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C230 Heather.md": "---\nnote: ewe\nborn: 2021\nbreed: merino\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2021\n---\n",
    "2025-10-15 joining Sexton.md": "---\nrams: Sexton\newes: Bramble, Heather\nmethod: hand\n---\n",
}
MERINO = "flock: Small\nbreed gestation: {Merino: 150}\n"


def due(seen: Seen) -> dict[str, tuple[str, str, str]]:
    """Earliest, likely and latest day of each ewe."""
    rows: list[dict[str, Any]] = facts_object(seen)["due"]
    return {row["ewe"]: (row["earliest"], row["likely"], row["latest"]) for row in rows}


def test_each_ewe_is_due_by_her_breed() -> None:
    """Served on 15 October 2025: at 147 days 11 March (D, reproduction references, case 1), at 150 for a Merino
    (Montana handbook, 150-151 d) 14 March, her window three days later too.
    """
    found = due(read({**FLOCK, "flock.yaml": MERINO}, "2026-02-01"))
    assert found == {
        "C214": ("2026-03-06", "2026-03-11", "2026-03-16"),
        "C230": ("2026-03-09", "2026-03-14", "2026-03-19"),
    }


def test_the_flocks_own_breed_is_that_of_whoever_names_none() -> None:
    """`breed: Suffolk` with 146 days (Agriculture Canada): Bramble, without a breed, is due a day before 147; Heather
    is a Merino and keeps the flock's 147.
    """
    text = "flock: Small\nbreed: Suffolk\nbreed gestation: {Suffolk: 146}\n"
    found = due(read({**FLOCK, "flock.yaml": text}, "2026-02-01"))
    assert (found["C214"][1], found["C230"][1]) == ("2026-03-10", "2026-03-11")


def test_printed_pairs() -> None:
    """10 October to 9 March at 150 days, the pair that a breeder prints (reproduction references 1.2)."""
    notes = {name: text for name, text in FLOCK.items() if "joining" not in name}
    notes["2006-10-10 joining Sexton.md"] = "---\nrams: Sexton\newes: Bramble\nmethod: hand\n---\n"
    notes = {name: text.replace("2021", "2003") for name, text in notes.items()}
    found = due(read({**notes, "flock.yaml": "gestation: 150 days\n"}, "2007-01-01"))
    assert found["C214"] == ("2007-03-04", "2007-03-09", "2007-03-14")


@pytest.mark.parametrize(
    ("settings", "ewe", "sires"),
    [
        ("gestation: 150 days\n", "Bramble", ["S1"]),
        ("gestation: 150 days\nlongest gestation: 152 days\n", "Bramble", []),
        ("flock: Small\n", "Bramble", []),
        (MERINO, "Heather", ["S1"]),
        (MERINO, "Bramble", []),
    ],
)
def test_a_birth_at_153_days(settings: str, ewe: str, sires: list[str]) -> None:
    """153 days after her only day with the ram: at a mean of 150 he is the sire, at 147 or a typed 152 nobody is. The
    window of 142 to 152 goes with a mean of 147 (general extension texts).
    """
    birth = {f"2026-03-17 lambing {ewe}.md": "- ewe 4.1 kg, tag 731\n"}
    name = "2025-10-15 joining Sexton.md"
    joining = {name: FLOCK[name].replace("method: hand", "out: 2025-10-15")}
    seen = read({**FLOCK, **joining, **birth, "flock.yaml": settings}, "2026-04-01")
    (found,) = facts_object(seen)["lambings"]
    assert found["sires_possible"] == sires
    assert ("B105" in codes(seen)) is (not sires)


def test_a_scan_alone_reaches_as_far_as_her_own_shortest_pregnancy() -> None:
    """A ewe in no joining, scanned in lamb on 1 February 2026 with no age given, may lamb from that day on, and at
    the latest her longest less 18 days (first heartbeat) after the scan: 15 June at 152, 18 June at 155.
    """
    notes = {name: text for name, text in FLOCK.items() if "joining" not in name}
    notes["2026-02-01 scan.md"] = "- Bramble in lamb\n- Heather in lamb\n"
    found = due(read({**notes, "flock.yaml": MERINO}, "2026-02-02"))
    assert [(found[ewe][0], found[ewe][2]) for ewe in ("C214", "C230")] == [
        ("2026-02-01", "2026-06-15"), ("2026-02-01", "2026-06-18"),
    ]  # fmt: skip


def test_the_joining_and_the_watch_hold_every_ewe() -> None:
    """A mob of two breeds lambs from the first of the shorter to the last of the longer window; close watch begins with
    the shorter (day 138 at 147: Current Therapy in Large Animal Theriogenology).
    """
    (found,) = facts_object(read({**FLOCK, "flock.yaml": MERINO}, "2026-02-01"))["joinings"]
    assert found["lambs"] == {"first": "2026-03-06", "last": "2026-03-19"}
    assert found["watch_from"] == "2026-03-02"


def test_a_plan_for_a_mob_hangs_on_its_own_ewes() -> None:
    """The vet's plan as typed, 28 days before the first ewe is due: for the late mob it counts from that mob's ram, and
    names its ewes; for all ewes from the first ram. 147 days after 15 October and 19 November, less 28 (D).
    """
    plan = "---\nnote: plan\nwhat: booster{}\nbefore first due: 28 days\nfor: {}\ndone by: vaccine\n---\n"
    notes = {
        **FLOCK,
        "sheep/C230 Heather.md": "---\nnote: ewe\nborn: 2021\nmob: late ewes\n---\n",
        "2025-10-15 joining Sexton.md": "---\nrams: Sexton\newes: Bramble\nout: 2025-11-01\n---\n",
        "2025-11-19 joining Sexton.md": "---\nrams: Sexton\newes: Heather\nout: 2025-12-01\n---\n",
        "plans/one.md": plan.format(" for the late ewes", "late ewes"),
        "plans/two.md": plan.format("", "ewes"),
    }
    rows = [row for row in facts_object(read(notes, "2026-01-15"))["reminders"] if row["what"].startswith("booster")]
    assert sorted((row["date"], row["what"], row["sheep"]) for row in rows) == [
        ("2026-02-11", "booster", ["C214", "C230"]), ("2026-03-18", "booster for the late ewes", ["C230"]),
    ]  # fmt: skip


def test_the_page_of_workings_names_each_breed() -> None:
    """Each breed of the flock stands there with the length in use; one not typed with what is published of it."""

    def page(settings: str) -> str:
        seen = read({**FLOCK, "flock.yaml": settings}, "2026-02-01")
        return "".join(drawn(one, seen) for one in made(seen, workings))

    assert "150 days, window 145 to 155" in page(MERINO)
    offered = page("flock: Small\n")
    assert "147 days, window 142 to 152" in offered
    assert "published: 150 days (Montana Farm Flock Sheep Production Handbook" in offered


# Means as printed in the sources of the references (reproduction 1.1): the Arcott study, the abstract on hair sheep
# (148 lies between singles and twins), the Montana handbook (150-151), Cloete et al., Metodiev (150.59), and the
# abstract on Yankasa ewes (151.4).
PRINTED = {
    "Finn": (144, "7,083 ewes"), "Outaouais Arcott": (145, "7,083 ewes"), "Rideau Arcott": (145, "7,083 ewes"),
    "Suffolk": (146, "7,083 ewes"), "Canadian Arcott": (147, "7,083 ewes"), "Dorper": (147, "Cloete"),
    "Barbados Blackbelly": (148, "1,291 gestations"), "St  Croix": (148, "1,291 gestations"),
    "Merino": (150, "Montana"), "rambouillet": (150, "Montana"), "Île-de-France": (150, "Metodiev 2019"),
    "Yankasa": (151, "834 lambings"),
}  # fmt: skip


@pytest.mark.parametrize("breed", PRINTED)
def test_the_page_offers_the_printed_length_and_reckons_with_it_once_typed(breed: str, tmp_path: Path) -> None:
    """A ewe's breed brings its printed mean and source to the workings; written into the settings, she is due that many
    days after her service, and her window moves with it (142-152 at a mean of 147).
    """
    mean, source = PRINTED[breed]
    notes = {
        **{name: text for name, text in FLOCK.items() if not name.startswith("sheep/")},
        "sheep/B1 Bramble.md": f"---\nnote: ewe\nborn: 2021\nbreed: {breed}\n---\n",
        "sheep/B2 Heather.md": "---\nnote: ewe\nborn: 2021\n---\n", "sheep/S1 Sexton.md": "---\nnote: ram\n---\n",
    }  # fmt: skip
    words = Compiled(notes, "2025-12-01", tmp_path).words("workings.html")
    told = words[words.index(f"gestation, {' '.join(breed.split())}") :][:300]
    assert f"published: {mean} days" in told
    assert source in told
    typed = {**notes, "flock.yaml": f"flock: Q\nbreed gestation:\n  {breed}: {mean} days\n"}
    due = {row["ewe"]: row for row in facts_object(read(typed, "2025-12-01"))["due"]}
    days = [(date.fromisoformat(due["B1"][key]) - date(2025, 10, 15)).days for key in ("earliest", "likely", "latest")]
    assert days == [mean - 5, mean, mean + 5]
    assert due["B2"]["likely"] == "2026-03-11"
