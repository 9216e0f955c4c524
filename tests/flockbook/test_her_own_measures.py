"""What a flock does not do is not asked for; its own lines, its guesses and its slips of the unit, from typed notes."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from flockbook.handover.facts import facts_object
from flockbook.handover.tables import tables
from flockbook.measures import IN_KILOGRAMS, IN_POUNDS, rounded, trimmed
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

SETTINGS = "flock: Hair\nunits: us\ncurrency: USD\ndates: month-day\ntimezone: America/Chicago\ncountry: US\n"
EWES = range(201, 209)
HAIR = {
    "flock.yaml": SETTINGS,
    "sheep/B7 Hank.md": "---\nnote: buck\nborn: 3/2021\n---\n",
    **{f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 3/2021\n---\n" for ewe in EWES},
    "events/2025-10-01 joining Hank.md": f"---\newes: {', '.join(map(str, EWES))}\nout: 11/20/2025\n---\n",
    **{
        f"events/2026-03-{ewe - 199:02} 0510 lambing {ewe}.md": f"- ewe 9 lb, tag {ewe}1\n- buck 9.5 lb, tag {ewe}2\n"
        for ewe in EWES
    },
    "events/2026-05-10 weighing.md": "".join(f"- {ewe}1 {ewe - 150}\n" for ewe in EWES),
}
# What a flock of hair sheep in one bunch, whose buck wears no crayon, never wrote of.
UNDONE = ("Crayon", "no mark seen", "leave a mark", "no mob", "in no mob", "By mob", "shear", "shorn", "fleece")


@pytest.mark.parametrize("on", ["2025-11-10", "2026-02-10", "2026-03-05T05:00", "2026-06-10", "2026-10-20"])
def test_nothing_nags_about_what_she_does_not_do(on: str, tmp_path: Path) -> None:
    """No message, heading, column or reminder of marks, mobs or shearing in a flock that never wrote one."""
    notes = {name: text for name, text in HAIR.items() if name[:7] != "events/" or name[7:17] <= on[:10]}
    book = Compiled(notes, on, tmp_path)
    assert [message.message for message in book.told.diagnostics] == []
    pages = ("index.html", "due.html", "sheep.html", "to-do.html", "growth.html", "weigh-sheet.html", "kit.html",
             "race-pre-joining.html", "sheep/201.html", "feed.html", "money.html")  # fmt: skip
    assert [(page, word) for page in pages for word in UNDONE if word in book.words(page)] == []
    assert '<th scope="col">Mob' not in book.html("sheep.html")


def test_what_she_does_is_shown(tmp_path: Path) -> None:
    """One mob and one mark bring their columns back."""
    more = {
        "sheep/201.md": "---\nnote: ewe\nborn: 3/2021\nmob: hill\n---\n",
        "events/2025-10-01 joining Hank.md": f"{HAIR['events/2025-10-01 joining Hank.md']}- 10/9 201\n",
    }
    notes = {name: text for name, text in (HAIR | more).items() if name[:7] != "events/" or name[7:17] <= "2025-11-10"}
    book = Compiled(notes, "2025-11-10", tmp_path)
    assert "Crayon" in book.words("due.html")
    assert "leave a mark" in book.words("due.html")
    assert "By mob 1 in hill 8 in no mob" in book.words("index.html")


def test_a_joining_without_ewes_is_asked_about() -> None:
    """Nobody is due by it, and proof says so at its place with what to write."""
    seen = read(HAIR | {"events/2025-10-01 joining Hank.md": "---\nout: 11/20/2025\n---\n"}, "2026-02-10")
    (told,) = [item for item in seen.diagnostics if item.code == "F113"]
    assert told.span.path == "events/2025-10-01 joining Hank.md"
    assert "no ewe is named, so nobody is in lamb" in told.message
    assert "ewes: …" in told.help
    assert seen.facts.breeding.due.rows == ()


@pytest.mark.parametrize("lambs", [149, 150])
def test_her_own_lambs_draw_the_lines_once_there_are_enough(lambs: int, tmp_path: Path) -> None:
    """Weights from 6.00 to 10.47 lb in steps of three hundredths of a pound, 150 of them: a tenth of the way up lies
    the weight 14.9 steps from the lightest, 6 + 14.9 x 0.03 = 6.447 lb, and so 10.47 - 0.447 = 10.023 lb from the top.
    """
    lines = {
        f"events/2026-03-{1 + at // 10:02} lambing E{at}.md": f"- ewe {6 + at * 0.03:.2f} lb, tag L{at}\n"
        for at in range(lambs)
    }
    ewes = {f"sheep/E{at}.md": "---\nnote: ewe\nborn: 3/2021\n---\n" for at in range(lambs)}
    words = Compiled({"flock.yaml": SETTINGS} | ewes | lines, "2026-04-10", tmp_path).words("crop-2026.html")
    if lambs < 150:
        assert "Light is under 7.72 lb, heavy over 12.12 lb (Making More From Sheep, tool 10.9, of Australian" in words
    else:
        own = "the lightest and heaviest tenth of your own 150 lambs weighed at birth"
        assert f"Light is under 6.45 lb, heavy over 10.02 lb ({own})." in words


def test_her_settings_go_before_every_other_line(tmp_path: Path) -> None:
    """`light lamb: 9 lb 4 oz` is 9.25 lb: the ewe lambs of 9 lb are light, the bucks of 9.5 lb heavy over 9.4."""
    settings = f"{SETTINGS}light lamb: 9 lb 4 oz\nheavy lamb: 9.4 lb\n"
    book = Compiled(HAIR | {"flock.yaml": settings}, "2026-06-10", tmp_path)
    words = book.words("crop-2026.html")
    assert "Light is under 9.25 lb, heavy over 9.4 lb (your own setting, flock.yaml)." in words
    assert words.count("twin, ewe, light") == len(EWES) == words.count("twin, ram, heavy")
    assert "9.25 to 9.4 lb" not in book.words("patterns.html")
    assert "under 9.25 lb" in book.words("patterns.html")


@pytest.mark.parametrize("typed", ["light lamb: 12 lb\nheavy lamb: 6 lb\n", "light lamb: 90 lb\n"])
def test_lines_that_cannot_be_are_told(typed: str) -> None:
    """The wrong way round, or no weight of a newborn: told at their place, and left out."""
    seen = read(HAIR | {"flock.yaml": SETTINGS + typed}, "2026-06-10")
    told = [item for item in seen.diagnostics if item.code == "S116"]
    assert [item.span.line for item in told] == list(range(7, 7 + typed.count("\n")))
    assert seen.facts.lambing.birth_lines.light.kg == pytest.approx(3.5)


@pytest.mark.parametrize(("born", "doubt"), [("about 2020", True), ("2020", False)])
def test_a_guessed_year_counts_as_that_year(born: str, doubt: bool, tmp_path: Path) -> None:
    """A dam of about 2020 is two years old in spring 2022, factor 1.08, and the page says that her year is a guess."""
    notes = {
        "flock.yaml": SETTINGS,
        "sheep/203.md": f"---\nnote: ewe\nborn: {born}\n---\n",
        "events/2022-02-20 lambing 203.md": "- ewe 9 lb, tag 601\n",
        "events/2022-04-21 weaning.md": "- 601 50\n",
    }
    row = read(notes, "2022-06-10").facts.growth.adjusted["601"]
    assert (row.classes[0], row.factors[0]) == ("2", 1.08)
    assert ("year of birth a guess" in Compiled(notes, "2022-06-10", tmp_path).words("growth.html")) is doubt


BAD = {
    "events/2026-05-10 weighing.md": ("- 2011 62 lb\n- 2012 63 lb\n- 2021 30 kg\n", "K108", 3, "one unit"),
    "events/2026-05-11 money.md": ("---\namount: £120\nfor: feed\n---\n", "F103", 2, "USD"),
    "events/2026-05-12 money.md": ("---\namount: 1.234\nfor: feed\n---\n", "F103", 2, "write 1234, or 1.23"),
    "events/2026-05-13 sale.md": ("---\nsheep: 2011\nuse: breeding\nprice: 1.234\n---\n", "F103", 4, "1234"),
    "events/2026-05-14 weighing.md": ("---\nby: Dale\n---\n- 2011 9 lb 20 oz\n", "F106", 4, "fewer than 16 ounces"),
    "events/2026-05-15 feeding.md": ("---\nlambs: 2011\namount: 4\n---\n", "F103", 3, "ml"),
    "events/2026-05-16 move.md": ("---\nsheep: 201\nto: Creek\n---\n", "", 0, ""),
    "medicines/x.md": ("---\nnote: medicine\nname: x\nlabel rate: 1 per 20\nmeat withdrawal: none\n---\n",
                       "F103", 4, "1 ml per 40 lb"),
    "paddocks/y.md": ("---\nnote: paddock\narea: big\n---\n", "F103", 3, "3 acres"),
    "sheep/300.md": ("---\nnote: ewe\nmature weight: heavy\n---\n", "F103", 3, "9.5 lb"),
}  # fmt: skip


@pytest.mark.parametrize("path", [path for path, (_, code, _, _) in BAD.items() if code])
def test_a_slip_is_told_with_its_place_and_cure(path: str) -> None:
    """Mixed units, a sign that is not hers, a sum that can be read two ways: nothing is taken silently."""
    text, code, line, cure = BAD[path]
    told = [item for item in read(HAIR | {path: text}, "2026-06-10").diagnostics if item.span.path == path]
    assert [(item.span.line, cure in item.help) for item in told if item.code == code] == [(line, True)]


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [(0.25, 1, "0.3"), (0.25, 2, "0.25"), (62.5, 0, "63"), (2.5, 0, "3"), (-0.25, 1, "-0.3"), (-0.04, 1, "0.0"),
     (1234.5, 0, "1235"), (2.675, 2, "2.68")],
)  # fmt: skip
def test_a_half_goes_up(value: float, places: int, shown: str) -> None:
    """As everybody rounds by hand, also where the binary figure lies a hair below the half."""
    assert rounded(value, places) == shown


def test_pounds_there_and_back() -> None:
    """A weight typed in pounds and held in kilograms prints as it was typed; from a hundred pounds on in whole ones."""
    for lb in (7.72, 9.5, 44.0, 62.5, 99.9):
        assert IN_POUNDS.weight(lb * 0.45359237) == f"{rounded(lb, 1)} lb"
    assert IN_POUNDS.weight(154 * 0.45359237) == "154 lb"
    assert (IN_POUNDS.short(45 * 0.45359237), IN_KILOGRAMS.short(18.0), IN_KILOGRAMS.weight(27.5)) == (
        "45 lb",
        "18 kg",
        "27.5 kg",
    )
    assert (IN_POUNDS.gain(0.2), IN_KILOGRAMS.gain(0.285)) == ("0.44 lb a day", "285 g a day")
    assert trimmed(4.0, 1) == "4"


def test_the_tables_carry_both_units() -> None:
    """Each column in kilograms has one in pounds beside it: 9 lb are 4.0823 kg."""
    made = tables(facts_object(read(HAIR, "2026-06-10")))
    growth = list(csv.DictReader(io.StringIO(made["growth.csv"].decode("utf-8-sig"))))
    row = next(row for row in growth if row["lamb"] == "2011")
    assert (float(row["birth_lb"]), round(float(row["birth_kg"]), 4)) == (9.0, 4.0823)
    weights = list(csv.DictReader(io.StringIO(made["growth-weights.csv"].decode("utf-8-sig"))))
    assert [float(row["lb"]) for row in weights if row["of"] == "2011"] == [51.0]
    for name, data in made.items():
        columns = next(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
        alone = [one for one in columns if one.split(" ")[0].endswith("kg") and one.replace("kg", "lb") not in columns]
        assert alone == [], name
