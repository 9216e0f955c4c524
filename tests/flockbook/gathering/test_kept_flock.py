"""Sheets as shepherds keep them: proposed, answered once, and gathered whole."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from compiler.amounts import KG_PER_LB
from compiler.build import proof
from flockbook.book import BOOK
from flockbook.cli.main import main
from flockbook.records.breeding import Lambing
from flockbook.records.growth import Weighing
from flockbook.records.handling import Tagging
from flockbook.records.health import Death, EggCount, Treatment
from flockbook.records.pregnancy import Scan
from flockbook.records.trade import Sale
from flockbook.seen import Seen
from tests.flockbook.gathering import kept_flock
from tests.flockbook.gathering.test_gather_command import NOTES, files_in, gathered, notes, seen_in, typed
from tests.flockbook.gathering.workbooks import workbook
from tests.flockbook.small import meat, moment

__all__ = ("notes",)
ON = ("--on", "2026-07-01")
LABEL = "; meat withdrawal: 21 days; milk withdrawal: not for milk; source: label; checked: 2026-06-01"
# The answers to what the proposed mapping asks, and the labels, as somebody types them.
ANSWERS = (
    (r"blank \?", "blank as above"), (r"Notes -> \?", "Notes -> lamb state"), (r"(new medicine: .+)", rf"\1{LABEL}"),
)  # fmt: skip


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Result]]:
    """The workbook from an empty folder to a book, by five commands and one mending of the mapping."""
    place = tmp_path_factory.mktemp("kept")
    folder, file = place / "my", place / "flock.xlsx"
    file.write_bytes(workbook(kept_flock.sheets()))
    done = [CliRunner().invoke(main, words) for words in (["begin", str(folder), "--us"], command(folder, file))]
    mapping = file.with_name("flock.xlsx.mapping")
    text = mapping.read_text("utf-8")
    head, body = text[: text.index("\n[")], text[text.index("\n[") :]
    for asked, answer in ANSWERS:
        body = re.sub(asked, answer, body)
    mapping.write_text(head + body, encoding="utf-8")
    commands = (
        command(folder, file, "--write"), ["proof", str(folder), *ON],
        ["compile", str(folder), "--to", str(place / "book"), *ON],
    )  # fmt: skip
    return place, [*done, *(CliRunner().invoke(main, words) for words in commands)]


def command(folder: Path, file: Path, *more: str) -> list[str]:
    """`gather`, as it is typed."""
    return ["gather", str(file), "--folder", str(folder), *ON, *more]


def found_in(place: Path) -> Seen:
    """What the gathered notes say."""
    return proof(place / "my", BOOK, moment(ON[1]))


def test_six_commands_lead_to_a_book_without_errors(kept: tuple[Path, list[Result]]) -> None:
    """No command fails, and proof has nothing to say of any note that gather wrote."""
    _, done = kept
    assert [one.exit_code for one in done] == [0] * 5, [one.output[-600:] for one in done if one.exit_code]
    assert "answer its 3 `?`" in done[1].output
    assert "no problems" in done[3].output


def test_every_row_of_every_sheet_is_in_the_book(kept: tuple[Path, list[Result]]) -> None:
    """Lambs born and dead, weights of each day, doses, sales and deaths are as many as the sheets have."""
    records = found_in(kept[0]).collection
    rows = kept_flock.lambings()[2:]
    lambs = [line for record in records.of(Lambing) if record.date != date(2026, 4, 19) for line in record.lines]
    states = Counter(line.state for line in lambs if line.tag is None or len(line.tag) == 5)
    assert (states["dead"], states["alive"]) == (
        sum(row[5] == "dead" for row in rows), sum(row[5] is None for row in rows),
    )  # fmt: skip
    weighed = {one.date: [line.weight.kg for line in one.lines if line.weight] for one in records.of(Weighing)}
    for column, day in ((1, date(2025, 6, 1)), (2, date(2025, 9, 1)), (3, date(2026, 6, 1))):
        told = [row[column] for row in kept_flock.weights()[1:] if len(row) > column and row[column]]
        said = sorted(round(kg / KG_PER_LB) for kg in weighed[day])
        assert said == sorted(told), day  # type: ignore[type-var]
    assert sum(record.gathered is not None for record in records.of(Treatment)) == 3
    assert (len([*records.of(Sale)]), len([*records.of(Death)])) == (12, 1)


def test_those_who_are_gone_are_not_on_the_roll(kept: tuple[Path, list[Result]]) -> None:
    """`SOLD 9/12/25` and `died 3/4/2025` under Status become a sale and a death on their days, and her page says so."""
    linked = found_in(kept[0]).linked
    assert [left.date for tag in ("108", "120", "134") if (left := linked.animals[tag].left)] == [
        date(2025, 9, 12), date(2025, 3, 4), date(2025, 10, 20),
    ]  # fmt: skip
    page = (kept[0] / "book" / "sheep" / "120.html").read_text("utf-8")
    assert "died 3/4/2025" in page


def test_a_gathered_dose_holds(kept: tuple[Path, list[Result]]) -> None:
    """Twenty-one days from 20 June are not over on 1 July; the ewe beside her is clear of February's vaccine."""
    found = found_in(kept[0])
    assert meat(found, "110") != "clear"
    assert meat(found, "111") == "clear"


def test_the_same_workbook_again_adds_nothing(kept: tuple[Path, list[Result]]) -> None:
    """Rows of several days and of a fate are known again by what each of them says."""
    before = files_in(kept[0] / "my")
    again = CliRunner().invoke(main, command(kept[0] / "my", kept[0] / "flock.xlsx", "--write"))
    assert "0 notes written" in again.output
    assert files_in(kept[0] / "my") == before


# One thing at a time


def proposed(folder: Path, rows: str, kind: str = "", name: str = "old.csv") -> str:
    """The mapping that a file is given, without its head."""
    (folder.parent / name).write_text(rows, encoding="utf-8")
    said = typed(folder, str(folder.parent / name), *(("--as", kind) if kind else ())).output
    return said[said.index("\n[") :]


@pytest.mark.parametrize(
    ("heading", "cell", "becomes"),
    [
        ("BW lbs", "8.1", "lamb weight in lb"), ("Wt kg", "4.1", "lamb weight in kg"),
        ("BW", "8.1", "lamb weight in ?"),
        ("Sex", "E", "lamb sex"), ("ID", "604", "lamb tag"),
    ],
)  # fmt: skip
def test_headings_of_lambs(notes: Path, heading: str, cell: str, becomes: str) -> None:
    """Abbreviations, and units in the heading (common practice, no source)."""
    assert f"C: {heading} -> {becomes}\n" in proposed(notes, f"Ewe,Date,{heading}\nC214,2026-04-19,{cell}\n", "lambing")


def test_a_dose_in_cc_is_in_its_heading(notes: Path) -> None:
    """`Amt (cc)` holds bare figures: they are millilitres, and the dose is as it was typed."""
    rows = "Date,Tag,Product,Amt (cc)\n2026-06-20,C214,example drench,8\n"
    assert "Amt (cc) -> dose in ml" in proposed(notes, rows, "treatment", "doses.csv")
    assert gathered(notes, "doses.csv", rows, "").exit_code == 0
    assert [str(one.dose and one.dose.text) for one in seen_in(notes).collection.of(Treatment)] == ["8 ml"]


def test_one_message_for_a_column_without_a_unit(notes: Path) -> None:
    """It names the first cell and every row, and not each row again."""
    rows = "Date,Tag,Weight\n" + "".join(f"2026-06-{day:02},C214,61.5\n" for day in range(1, 21))
    proposed(notes, rows, "weighing")
    told = typed(notes, str(notes.parent / "old.csv")).output
    assert told.count("no unit") == 1
    assert "`61.5` and 19 more cells (rows 2-21)" in told


@pytest.mark.parametrize(
    "title", ["Treatment log 2026", "Hollow Creek treatment log 2026", "Wormed and shots", "Treatments"]
)
def test_a_title_above_doses_is_a_title(notes: Path, title: str) -> None:
    """A lone cell without a sheep, a product or a day is listed, and stops nothing; the headings are below it."""
    done = gathered(notes, "doses.csv", f"{title}\nDate,Sheep,Product,Dose\n2026-06-20,C214,example drench,8 ml\n", "")
    assert done.exit_code == 0, done.output
    assert f"above the headings: `{title}`" in done.output
    assert meat(seen_in(notes), "C214") != "clear"


@pytest.mark.parametrize(
    "title",
    [
        "Wormed Bess 3 May",
        "Ivermectin drench all ewes",
        "Drench 3 May",
        "Wormed the flock",
        "example drench all ewes",
        "Wormed C230",
        "Gave all 8 ml 3 May",
    ],
)
def test_a_dose_above_the_headings_is_no_title(notes: Path, title: str) -> None:
    """A sheep, a product or a day beside the words of a dose stops the gathering."""
    done = gathered(notes, "doses.csv", f"{title}\nDate,Sheep,Product,Dose\n2026-06-20,C214,example drench,8 ml\n",
                    "treatment")  # fmt: skip
    assert done.exit_code == 2
    assert "[Y104]" in done.output


def test_columns_are_proposed_anew_for_other_rows(notes: Path) -> None:
    """Where `as` or `headings in row` is mended the columns follow, and nothing else of the file does."""
    said = proposed(notes, "red,blue\nDate,Ewe,lb\n2026-06-01,C214,130\n", "", "zz.csv")
    mapping = notes.parent / "zz.csv.mapping"
    assert "as: weighing" in said
    mapping.write_text(mapping.read_text("utf-8").replace("as: weighing", "as: check"), encoding="utf-8")
    anew = typed(notes, str(notes.parent / "zz.csv")).output
    assert "columns are for: check, row 2" in anew
    mapping.write_text(mapping.read_text("utf-8").replace("in row: 2", "in row: 1"), encoding="utf-8")
    assert "A: red -> " in typed(notes, str(notes.parent / "zz.csv")).output


def test_a_sheet_of_which_nothing_is_known_is_asked_and_then_proposed(notes: Path) -> None:
    """After `as: ?` is answered the columns are proposed, with the headings below the title."""
    assert "as: ?" in proposed(notes, "Old book\nAnimal,Nonsense\nC300,x\n", "", "zz.csv")
    mapping = notes.parent / "zz.csv.mapping"
    mapping.write_text(mapping.read_text("utf-8").replace("as: ?", "as: ewe"), encoding="utf-8")
    anew = typed(notes, str(notes.parent / "zz.csv")).output
    assert "headings in row: 2" in anew
    assert "A: Animal -> tag" in anew


def test_letters_for_a_sex_are_proposed_and_strange_ones_asked_once(notes: Path) -> None:
    """`E` and `R` are proposed as words; `Q` is one question, however many rows have it."""
    rows = "Ewe,Date,Sex\n" + "".join(f"C214,202{year}-04-19,{sex}\n" for year in (3, 4) for sex in "ERQ")
    said = proposed(notes, rows, "lambing")
    for line in ("word E under Sex -> ewe", "word R under Sex -> ram", "word Q under Sex -> ?"):
        assert line in said
    told = typed(notes, str(notes.parent / "old.csv")).output
    assert told.count("what does `Q` under `Sex` mean?") == 1


def test_a_blank_cell_is_the_row_above_only_where_it_is_said(notes: Path) -> None:
    """The second twin has neither mother nor day: asked; as above they are twins, refused there is one lamb."""
    rows = "Ewe,Date,Lamb sex\nC214,2026-04-19,ewe\n,,ram\n\n,,ram\n"
    said = proposed(notes, rows, "lambing", "l.csv")
    assert ("A: Ewe -> ewe, blank ?" in said, "B: Date -> date, blank ?" in said) == (True, True)
    done = gathered(notes, "l.csv", rows, "", ("Ewe -> ewe, blank ?", "Ewe -> ewe, blank as above"),
                    ("Date -> date, blank ?", "Date -> date, blank as above"))  # fmt: skip
    assert "l.csv:5:1: error[Y103]: the row does not say date" in done.output  # a blank row stands between
    assert [len(record.lines) for record in seen_in(notes).collection.of(Lambing)] == [2]


def test_a_dose_below_its_day_stops_until_it_is_answered(notes: Path) -> None:
    """A blank day in a treatment is never taken from above unasked; the message says how."""
    rows = "Date,Sheep,Product\n2026-06-20,C214,example drench\n,C230,example drench\n"
    stopped = gathered(notes, "doses.csv", rows, "treatment")
    assert (stopped.exit_code, "`date, blank as above`" in stopped.output) == (2, True)
    assert gathered(notes, "doses.csv", rows, "", ("-> date", "-> date, blank as above")).exit_code == 0
    assert meat(seen_in(notes), "C230") != "clear"


def test_one_text_day_does_not_stop_a_column_of_real_days(notes: Path) -> None:
    """Real days after the twelfth were not turned round; where all could have been, or for doses, the file stops."""
    late = [["Date", "Tag", "Weight lb"], [date(2026, 4, 19), "C214", 130], ["5/14/2026", "C230", 128]]
    assert gathered(notes, "late.xlsx", workbook({"Weights": late}), "").exit_code == 0
    early = [["Date", "Tag", "Weight lb"], [date(2026, 4, 3), "C214", 131], ["5/15/2026", "C230", 129]]
    stopped = gathered(notes, "early.xlsx", workbook({"Weights": early}), "")
    assert (stopped.exit_code, "turned round" in stopped.output) == (2, True)
    doses = [["Date", "Tag", "Product"], [date(2026, 4, 19), "C214", "example drench"],
             ["5/14/2026", "C230", "example drench"]]  # fmt: skip
    assert "turned round" in gathered(notes, "d.xlsx", workbook({"Treatments": doses}), "").output


def test_the_days_of_a_file_are_those_of_the_flock_but_for_doses(notes: Path) -> None:
    """`3/4/26` is proposed in the order that the settings have; where a dose is told it is asked."""
    (notes / "flock.yaml").write_text("flock: Hollow Creek\ndates: month-day\n", encoding="utf-8")
    assert "dates: month-day" in proposed(notes, "Date,Tag,Weight lb\n3/4/26,C214,130\n", "weighing", "w.csv")
    assert "dates: ?" in proposed(notes, "Date,Tag,Product\n3/4/26,C214,example drench\n", "treatment", "d.csv")


def test_a_class_of_sheep_is_written_as_a_mob(notes: Path) -> None:
    """`all ewes` in a treatment: proof has nothing to say of what gather wrote, and both ewes are held."""
    rows = "Date,Sheep,Product,Dose\n2026-06-20,all ewes,example drench,8 ml\n"
    assert gathered(notes, "doses.csv", rows, "treatment").exit_code == 0
    found = seen_in(notes)
    assert [item.code for item in found.diagnostics] == []
    assert "clear" not in (meat(found, sheep) for sheep in ("C214", "C230"))


@pytest.mark.parametrize(
    ("cell", "line", "kind"),
    [("Sold", "sold 2025-10-04", Sale), ("coyote got her", "died 2025-12-01", Death)],
)
def test_a_fate_without_a_day_is_asked_as_a_word(
    notes: Path, cell: str, line: str, kind: type[Sale] | type[Death]
) -> None:
    """Whoever is gone is not left on the roll: each strange word in a column of fates is one question."""
    rows = f"Tag,Born,Status\nC300,2021,{cell}\nC301,2021,died 2025-06-01\n"
    assert f"word {cell} under Status -> ?" in proposed(notes, rows, "ewe", "e.csv")
    asked = (f"word {cell} under Status -> ?", f"word {cell} under Status -> {line}")
    assert gathered(notes, "e.csv", rows, "", asked).exit_code == 0
    told = [record for record in seen_in(notes).collection.of(kind) if "C300" in record.sheep]
    assert [str(record.date) for record in told] == [line.split()[1]]


def test_words_beside_a_fate_are_kept(notes: Path) -> None:
    """`remark` keeps what is no fate in her note."""
    rows = "Tag,Born,Status\nC300,2021,bad foot\nC301,2021,died 2025-06-01\n"
    proposed(notes, rows, "ewe", "e.csv")
    assert (
        gathered(notes, "e.csv", rows, "", ("bad foot under Status -> ?", "bad foot under Status -> remark")).exit_code
        == 0
    )
    assert "Status: bad foot" in (notes / "sheep" / "C300.md").read_text("utf-8")


def test_scans_taggings_and_egg_counts_are_gathered(notes: Path) -> None:
    """One workbook: what was seen, which numbers, how many eggs; each row is in the book."""
    sheets = {
        "Scanning": [["Scan 2026"], ["Ewe", "Scan date", "Result", "Days"], ["C214", date(2026, 1, 20), "Twins", 80],
                     ["C230", date(2026, 1, 20), "Empty", None]],
        "Tagging": [["Date", "Sheep", "EID"], [date(2026, 5, 2), "C214", "826012345600001"]],
        "Egg counts": [["Date", "Tag", "epg"], [date(2026, 6, 10), "C214", 300]],
    }  # fmt: skip
    assert gathered(notes, "book.xlsx", workbook(sheets), "").exit_code == 0
    found = seen_in(notes)
    assert [(line.sheep, line.lambs, line.days) for record in found.collection.of(Scan) for line in record.lines] == [
        ("C214", 2, 80), ("C230", 0, None),
    ]  # fmt: skip
    assert [line.eid for record in found.collection.of(Tagging) for line in record.lines] == ["826012345600001"]
    assert [line.epg for record in found.collection.of(EggCount) for line in record.lines] == [300]
    assert not [item for item in found.diagnostics if item.span.path not in NOTES]


@pytest.mark.parametrize("heading", ["drench ml", "oxytet", "LA", "ml", "treat", "Worm", "vacc"])
def test_a_column_over_doses_is_asked_about_and_never_left_out(notes: Path, heading: str) -> None:
    """Figures under what was given are doses in a sheet of weights too (common practice, no source); only `no dose`
    leaves them out.
    """
    rows = f"Date,Tag,Weight kg,{heading}\n2026-06-20,C214,61.5,8\n"
    assert f"{heading} -> ?" in proposed(notes, rows, "weighing")
    left_out = gathered(notes, "old.csv", rows, "weighing", (f"{heading} -> ?", f"{heading} -> not used"))
    assert left_out.exit_code == 2
    assert "may tell of a dose" in left_out.output
    assert seen_in(notes).collection.of(Weighing) == ()
