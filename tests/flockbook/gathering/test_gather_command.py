"""`flockbook gather`: old records become notes that the book reads, every row written, refused or listed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from compiler.build import build, proof
from compiler.collection import Collection
from flockbook.book import BOOK
from flockbook.cli.main import main
from flockbook.records.breeding import Lambing
from flockbook.records.growth import Weighing
from flockbook.records.health import Treatment
from flockbook.records.sheep import Sheep
from flockbook.seen import Seen
from tests.flockbook.gathering import old_flock
from tests.flockbook.gathering.workbooks import Uncounted, Wrong, workbook
from tests.flockbook.small import meat, moment

ON = ("--on", "2026-07-01")
EWE = "---\nnote: ewe\nborn: 2022-04\n---\n"
NOTES = {
    "flock.yaml": "flock: Corrie Hask\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
}
DRENCHED = "Date,Sheep,Product,Dose\n2026-06-20,C214,example drench,8 ml\n"


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """A small flock on disk."""
    for path, text in NOTES.items():
        (tmp_path / "my" / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "my" / path).write_text(text, encoding="utf-8")
    return tmp_path / "my"


def typed(folder: Path, *words: str) -> Result:
    """The command, as typed in a shell."""
    return CliRunner().invoke(main, ["gather", *words, "--folder", str(folder), *ON])


def gathered(folder: Path, name: str, data: str | bytes, kind: str, *mended: tuple[str, str]) -> Result:
    """A file gathered and written, its proposed mapping mended by hand as `mended` says, if there was none before."""
    file = folder.parent / name
    file.write_bytes(data.encode() if isinstance(data, str) else data)
    mapping = file.with_name(f"{name}.mapping")
    if not mapping.exists():
        assert typed(folder, str(file), *(("--as", kind) if kind else ())).exit_code == 0
    for old, new in mended:
        text = mapping.read_text("utf-8")
        assert old in text, text
        mapping.write_text(text.replace(old, new), encoding="utf-8")
    return typed(folder, str(file), "--write")


def seen_in(folder: Path) -> Seen:
    """What the book says of the folder."""
    return proof(folder, BOOK, moment(ON[1]))


def files_in(folder: Path) -> dict[str, str]:
    """All files, path by path."""
    return {str(path.relative_to(folder)): path.read_text("utf-8") for path in folder.rglob("*") if path.is_file()}


def lines_of_kind(found: Collection, kind: type[Lambing | Weighing | Treatment]) -> int:
    """How many data lines the notes of a kind have."""
    return sum(len(record.lines) for record in found.of(kind))


# A whole old flock


@pytest.fixture(scope="module")
def old_book(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Result]]:
    """The invented flock of sixty ewes, from an empty folder to a book by five commands as they are typed."""
    place = tmp_path_factory.mktemp("old")
    folder, file = place / "my", place / "flock.xlsx"
    file.write_bytes(workbook(old_flock.sheets()))
    commands = [
        ["begin", str(folder), "--uk"],
        ["gather", str(file), "--folder", str(folder), *ON],
        ["gather", str(file), "--folder", str(folder), *ON, "--write"],
        ["proof", str(folder), *ON],
        ["compile", str(folder), "--to", str(place / "book"), *ON],
    ]
    return place, [CliRunner().invoke(main, words) for words in commands]


def test_five_commands_lead_from_a_spreadsheet_to_a_book_without_errors(old_book: tuple[Path, list[Result]]) -> None:
    """No command fails, and proof has nothing to say."""
    place, results = old_book
    assert [result.exit_code for result in results] == [0] * 5, [result.output for result in results]
    assert not re.search(r"error|ask\[", results[3].output)
    assert (place / "book" / "index.html").is_file()


def test_the_book_counts_what_the_spreadsheet_counts(old_book: tuple[Path, list[Result]]) -> None:
    """Sheep, lambs, weights and doses are as many as the rows of the sheets, counted there by themselves."""
    found = seen_in(old_book[0] / "my")
    records, sheets = found.collection, old_flock.sheets()
    lambs, living = sheets["Lambings"][1:], [row for row in sheets["Lambings"][1:] if row[5] == "alive"]
    assert sum(bool(one.gathered) for one in records.of(Sheep)) == old_flock.EWES + 2
    assert len(list(records.of(Lambing))) == old_flock.EWES * len(old_flock.SEASONS)
    assert lines_of_kind(records, Lambing) == len(lambs)
    assert lines_of_kind(records, Weighing) == len(sheets["Weights"]) - 1 == len(living)
    doses = sum(len(one.sheep) for one in records.of(Treatment))
    assert doses == len(sheets["Treatments"]) - 1
    season = {one.season: one.counts for one in found.facts.season.seasons}[2026]
    assert (season.born, season.alive) == (len(lambs) // 2, len(living) // 2)


def test_a_gathered_treatment_holds(old_book: tuple[Path, list[Result]]) -> None:
    """Twenty-eight days from 20 June, and one for the hour that nobody wrote (rule W2)."""
    found = seen_in(old_book[0] / "my")
    assert meat(found, "0205") == "held 2026-07-19"
    assert meat(found, "0206") == "clear"


def test_the_pages_show_the_gathered_ewe(old_book: tuple[Path, list[Result]]) -> None:
    """Her page has her dam, her lambs of both years, and where her note came from."""
    pages = (old_book[0] / "book").rglob("*.html")
    hers = next(path.read_text("utf-8") for path in pages if path.name.startswith("0250"))
    assert all(tag in hers for tag in ("0210", "25491", "26492", "flock.xlsx, sheet Ewes and rams, row 55"))


def test_the_same_file_again_adds_nothing(old_book: tuple[Path, list[Result]]) -> None:
    """Neither the whole file nor half of each sheet adds a note, or changes one."""
    place, _ = old_book
    before = files_in(place / "my")
    half = {name: rows[: len(rows) // 2 + 3] for name, rows in old_flock.sheets().items()}
    for sheets in (old_flock.sheets(), half):
        (place / "flock.xlsx").write_bytes(workbook(sheets))
        assert "0 notes written" in typed(place / "my", str(place / "flock.xlsx"), "--write").output
    assert files_in(place / "my") == before


# What is asked and refused


def test_nothing_is_written_before_it_is_told(notes: Path) -> None:
    """The first run writes the mapping, the second shows the notes; both leave the notes folder as it is."""
    before = files_in(notes)
    file = notes.parent / "doses.csv"
    file.write_text(DRENCHED)
    assert "B: Sheep -> sheep" in typed(notes, str(file), "--as", "treatment").output
    shown = typed(notes, str(file)).output
    assert "events/2026/2026-06-20 treatment C214.md (row 2)" in shown
    assert "medicine: example drench" in shown
    assert "--write" in shown
    assert files_in(notes) == before


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("some time in June", "not a date"),
        ("", "does not say date"),
        ("01/06/2026", "does not say their order"),
        ("=TODAY()", "is a formula"),
        ("#N/A", "error of the spreadsheet"),
        ("46193", "not a date"),
    ],
)
def test_a_dose_that_cannot_be_used_stops_everything(notes: Path, cell: str, said: str) -> None:
    """The other row could be written, and is not: a book that knows one dose of two would show a treated ewe clear."""
    before = files_in(notes)
    result = gathered(notes, "doses.csv", f"{DRENCHED}{cell},C230,example drench,8 ml\n", "treatment",
                      *((("dates: ?", "dates: written out"),) if cell[:1] == "0" else ()))  # fmt: skip
    assert result.exit_code == 2
    assert said in result.output
    assert "[Y104]" in result.output
    assert files_in(notes) == before


def test_a_dose_in_a_row_called_total_is_no_total(notes: Path) -> None:
    """A ewe called Count without a day: her row names a medicine, so it stops the gathering."""
    result = gathered(notes, "doses.csv", "Sheep,Date,Product\nC214,2026-06-20,example drench\nCount,,example drench\n",
                      "treatment")  # fmt: skip
    assert result.exit_code == 2
    assert "doses.csv:3:1" in result.output


def test_a_dose_of_an_unknown_sheep_stops_until_it_is_left_out(notes: Path) -> None:
    """The way on that the message names is the way on."""
    rows = f"{DRENCHED}2026-06-20,X9,example drench,8 ml\n"
    result = gathered(notes, "doses.csv", rows, "treatment")
    assert result.exit_code == 2
    assert "`leave out: 3`" in result.output
    (notes.parent / "doses.csv.mapping").open("a").write("leave out: 3\n")
    assert gathered(notes, "doses.csv", rows, "treatment").exit_code == 0
    assert meat(seen_in(notes), "C214") == "held 2026-07-19"


def test_a_product_without_a_note_holds_until_its_label_is_typed(notes: Path) -> None:
    """The mapping names it as new; the note that is made of it has no period, and none is assumed."""
    rows = DRENCHED.replace("example drench", "yellow pour-on")
    assert gathered(notes, "doses.csv", rows, "treatment").exit_code == 0
    assert "new medicine: yellow pour-on" in (notes.parent / "doses.csv.mapping").read_text("utf-8")
    found = seen_in(notes)
    assert meat(found, "C214") == "unknown"
    assert not [item for item in found.diagnostics if item.grade.value in ("error", "ask")]
    assert "0 notes written" in gathered(notes, "doses.csv", rows, "treatment").output


def test_a_column_that_speaks_of_doses_is_asked_about(notes: Path) -> None:
    """A list of ewes with a column `Wormed` is not gathered before it is said what becomes of it."""
    rows = "Tag,Born,Wormed\nC301,2023,20 June 2026\n"
    file = notes.parent / "ewes.csv"
    file.write_text(rows)
    assert "C: Wormed -> ?" in typed(notes, str(file), "--as", "ewe").output
    assert "may tell of a medicine" in typed(notes, str(file), "--write").output
    stopped = gathered(notes, "ewes.csv", rows, "ewe", ("-> ?", "-> not used"))
    assert "[Y104]" in stopped.output
    assert gathered(notes, "ewes.csv", rows, "ewe", ("-> not used", "-> remark")).exit_code == 0
    assert "clear" not in meat(seen_in(notes), "C301")


def test_a_column_of_waits_is_never_only_a_remark(notes: Path) -> None:
    """`Clear from` in a medicine book may be longer than the label: it becomes a period, or is answered for."""
    rows = "Date,Sheep,Product,Dose,Wait,Clear from\n2026-06-01,C214,example drench,8 ml,56,27 July 2026\n"
    result = gathered(notes, "doses.csv", rows, "treatment", ("Clear from -> ?", "Clear from -> remark"))
    assert "may say how long to wait" in result.output
    answers = (("Clear from -> remark", "Clear from -> no dose"), ("Wait -> ?", "Wait -> meat withdrawal in days"))
    assert gathered(notes, "doses.csv", rows, "treatment", *answers).exit_code == 0
    assert meat(seen_in(notes), "C214") == "held 2026-07-28"


def test_days_that_can_be_read_two_ways_are_refused_by_row(notes: Path) -> None:
    """3/4 may be March or April: the row is named, and the mapping says which; a day of the other order is refused."""
    rows = "Date,Tag,Weight kg\n03/04/2026,C214,61.5\n05/04/2026,C230,58\n"
    result = gathered(notes, "w.csv", rows, "weighing", ("dates: ?", "dates: written out"))
    assert "w.csv:2:1" in result.output
    assert "dates: day-month" in result.output
    assert gathered(notes, "w.csv", rows, "weighing", ("dates: written out", "dates: day-month")).exit_code == 0
    assert sorted(one.date.isoformat() for one in seen_in(notes).collection.of(Weighing) if one.date) == [
        "2026-04-03", "2026-04-05",
    ]  # fmt: skip
    turned = gathered(notes, "w.csv", f"{rows}04/25/2026,C214,62\n", "weighing")
    assert "cannot be day-month" in turned.output


def test_units_and_decimals_are_declared(notes: Path) -> None:
    """A figure without a unit asks for one; a comma is refused where the mapping says that points are used."""
    rows = "Date;Tag;Weight\n2026-04-03;C214;61,5\n"
    no_unit = gathered(notes, "w.csv", rows, "weighing")
    assert "has no unit" in no_unit.output
    assert gathered(notes, "w.csv", rows, "weighing", ("weight in ?", "weight in lb")).exit_code == 0
    (line,) = next(iter(seen_in(notes).collection.of(Weighing))).lines
    assert round(line.weight.kg, 2) == round(61.5 * 0.45359237, 2)  # the international pound (NIST SP 811)
    other = gathered(notes, "v.csv", rows, "weighing", ("weight in ?", "weight in kg"), ("comma\nA", "point\nA"))
    assert "another decimal mark" in other.output


def test_tags_keep_their_noughts_and_numbers_their_digits(notes: Path) -> None:
    """`0412` stays, in text and where a workbook only shows it; an electronic number that was rounded is refused."""
    rows = "Tag,Born,EID\n0412,2023,826012345600001\n0413,2023,8.26012E+14\n"
    result = gathered(notes, "ewes.csv", rows, "ewe")
    assert result.exit_code == 1
    assert "rounded" in result.output
    assert "sheep/0412.md" in files_in(notes)
    assert "sheep/0413.md" not in files_in(notes)


def test_what_a_workbook_hides_is_a_question(notes: Path) -> None:
    """Errors and formulas without a value are asked about, though the reader of the file shows them as empty."""
    rows: old_flock.Rows = [["Tag", "Born", "Name"], ["C301", 2023, Wrong("#N/A")], ["C302", Uncounted("B2+1"), "Fern"]]
    result = gathered(notes, "ewes.xlsx", workbook({"Ewes": rows}), "")
    assert "`#N/A` is an error" in result.output
    assert "`=B2+1` has no value" in result.output
    assert "0 notes written" in result.output


def test_an_unclosed_quote_is_found(notes: Path) -> None:
    """The row in which it begins is named, and nothing behind it is swallowed."""
    file = notes.parent / "w.csv"
    file.write_text('Tag,Born,Remarks\nC301,2023,"a torn ear\nC302,2023,\nC303,2023,well\n')
    result = typed(notes, str(file), "--as", "ewe")
    assert result.exit_code == 2
    assert "w.csv:2:1" in result.output


@pytest.mark.parametrize(
    "cell",
    [
        '"=HYPERLINK(""http://shop.invalid"";""x"")"', "@sum(A1)", "'@sum(A1)", "---", "<script>alert(1)</script>",
        '"first line\n- ewe 4.1 kg, tag 999\n---\nnote: treatment"', "| sheep | kg |", "- ewe 4.1 kg", "> quoted",
        "```",
        "note: treatment",
    ],
)  # fmt: skip
def test_no_cell_becomes_more_than_its_words(notes: Path, cell: str) -> None:
    """Whatever stands in a remark is a remark, or its row is refused: no second head, no lamb, no formula."""
    rows = f"Ewe,Date,Lamb sex,Birth weight kg,Lamb tag,Remarks\nC214,2026-04-19,F,4.1,731,{cell}\n"
    result = gathered(notes, "lambs.csv", rows, "lambing")
    found = seen_in(notes)
    assert result.exit_code == (1 if "HYPERLINK" in cell else 0), result.output
    assert lines_of_kind(found.collection, Lambing) == result.output.count("lambing C214.md")
    assert not found.collection.holes
    assert not [item for item in found.diagnostics if item.grade.value in ("error", "ask")]


@pytest.mark.parametrize("cell", ["731, stillborn", "731 - ram 9 kg", '"731\nram"', "=731", "731|732"])
def test_a_cell_of_a_lamb_says_one_thing(notes: Path, cell: str) -> None:
    """A tag that would be read as more than a tag refuses its row."""
    text = cell if cell.startswith('"') else f'"{cell}"'
    result = gathered(notes, "lambs.csv", f"Ewe,Date,Lamb sex,Lamb tag\nC214,2026-04-19,F,{text}\n", "lambing")
    assert result.exit_code == 1
    assert "0 notes written" in result.output


def test_rows_beside_the_data_are_listed(notes: Path) -> None:
    """Titles, totals, blank rows, headings again and unused cells are each told; equal rows are counted, not merged."""
    rows = (
        "Lambs of the hill,,,\n\nEwe,Date,Lamb sex,Paint\nC214,2026-04-19,F,red\nC214,2026-04-19,F,red\n,,,\n"
        "Ewe,Date,Lamb sex,Paint\nTotal,,2,\n"
    )
    result = gathered(notes, "lambs.csv", rows, "lambing", ("Paint -> not used", "Paint -> not used"))
    for said in ("`Lambs of the hill`", "rows 2, 6: blank", "row 7: the headings again", "`Total | 2`",
                 "column D `Paint` is not used: `red` in rows 4, 5", "rows 4, 5 say the same"):  # fmt: skip
        assert said in result.output
    assert lines_of_kind(seen_in(notes).collection, Lambing) == 2


def test_a_mapping_that_no_longer_fits_is_refused(notes: Path) -> None:
    """A column that was not there when the mapping was made is named; it might tell of anything."""
    assert gathered(notes, "doses.csv", DRENCHED, "treatment").exit_code == 0
    more = "Date,Sheep,Product,Dose,Clear from\n2026-06-20,C230,example drench,8 ml,2026-12-01\n"
    result = gathered(notes, "doses.csv", more, "treatment")
    assert result.exit_code == 2
    assert "column E" in result.output


def test_a_row_altered_since_is_no_second_note(notes: Path) -> None:
    """A weight corrected in the file is told: the note stands as it is, and the row can be left out."""
    rows = "Date,Tag,Weight kg\n2026-04-03,C214,61.5\n"
    assert gathered(notes, "w.csv", rows, "weighing").exit_code == 0
    result = gathered(notes, "w.csv", rows.replace("61.5", "62.5"), "weighing")
    assert "[Y107]" in result.output
    assert lines_of_kind(seen_in(notes).collection, Weighing) == 1


def test_births_before_the_first_note_are_one_table(notes: Path) -> None:
    """A lambing book of past years becomes seasons of their own, its ewes long gone."""
    rows = "Date,Ewe,Sex,Weight kg,Fate\n2019-04-12,Old Bess,F,4.1,sold\n2019-04-12,Old Bess,M,4.3,died\n"
    assert gathered(notes, "old.csv", rows, "past lambings").exit_code == 0
    past = seen_in(notes).facts.lambing.past
    assert [(one.season, one.lambs, one.alive) for one in past.seasons] == [(2019, 2, 2)]


def test_a_written_book_of_them(notes: Path) -> None:
    """Moves, sales and deaths become notes of their own, and a book is made of them."""
    assert gathered(notes, "moves.csv", "Date,Sheep,Moved to\n2026-06-20,C214,Top field\n", "move").exit_code == 0
    assert (
        gathered(notes, "sales.csv", "Date,Tag,Sold to,Price each\n2026-06-21,C214,Hallam,92\n", "sale").exit_code == 0
    )
    assert gathered(notes, "deaths.csv", "Date,Tag,Cause of death\n2026-06-22,C230,old age\n", "death").exit_code == 0
    built = build(notes, BOOK, moment(ON[1]), notes.parent / "book", cache=notes.parent / "cache")
    assert built.status < 2
    assert "Hallam" in (notes.parent / "book" / "sheep" / "c214.html").read_text("utf-8")


@pytest.mark.parametrize("example", ["ewes.csv --as sheep", "ewes.csv --write", "'old flock.xlsx'"])
def test_the_examples_of_the_help_run(notes: Path, example: str) -> None:
    """Each example of `gather --help` runs as it stands."""
    assert example in CliRunner().invoke(main, ["gather", "--help"]).output
    if "xlsx" in example:
        data, name = workbook({"Ewes": [["Tag", "Born"], ["C301", 2023]]}), "old flock.xlsx"
    else:
        data, name = b"Tag,Sex,Born\nC301,F,2023\n", "ewes.csv"
    (notes.parent / name).write_bytes(data)
    assert typed(notes, str(notes.parent / name), *example.split(name)[1].strip("' ").split()).exit_code == 0


@pytest.mark.parametrize(
    ("kind", "rows", "target"),
    [
        ("lambing", "Date,Ewe,Lamb sex,Lamb weight,Notes\n2026-04-01,C214,ewe,4.1,dead\n", "lamb state"),
        ("lambing", "Date,Ewe,Lamb sex,Lamb weight,Notes\n2026-04-01,C214,ewe,4.1,red dot\n", ""),
        ("ewe", "Tag,Born,Status\nC300,2023,twins then SOLD 9/12/25\n", "death"),
        ("ewe", "Tag,Born,Status\nC300,2023,good\n", ""),
    ],
)  # fmt: skip
def test_a_column_that_tells_who_died_or_was_sold_is_asked_about(
    notes: Path, kind: str, rows: str, target: str
) -> None:
    """`dead` under Notes would stay a remark of a lamb that lives; no note is written until it is said what it is."""
    file = notes.parent / "old.csv"
    file.write_text(rows, encoding="utf-8")
    typed(notes, str(file), "--as", kind)
    outcome = typed(notes, str(file), "--write")
    assert ("who died or was sold" in outcome.output) == bool(target), outcome.output
    assert (f"`{target}`" in outcome.output) == bool(target)
