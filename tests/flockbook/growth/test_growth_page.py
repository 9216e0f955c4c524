"""What the growth pages say: weighings, who is behind, lambs on one footing, when a target is reached."""

from __future__ import annotations

from typing import Any

from flockbook.pages.growth import growth
from flockbook.pages.sections import SectionsView
from flockbook.pages.views import Chart, Table, Tag, Words
from tests.flockbook.families import blocks_in, table_in
from tests.flockbook.small import read

STAMP: Any = None  # these pages do not print the stamp


def notes(**more: str) -> dict[str, str]:
    """Four ewe lambs of two ewes; 904 gains little."""
    return {
        "flock.yaml": "flock: Corrie Hask\ntargets:\n  weaning weight: 40 kg\n",
        "sheep/C214.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "sheep/C215.md": "---\nnote: ewe\nborn: 2021\n---\n",
        "events/2026-04-01 lambing C214.md": "- ewe 4 kg, tag 901\n- ewe 4 kg, tag 902\n",
        "events/2026-04-01 lambing C215.md": "- ewe 4 kg, tag 903\n- ewe 4 kg, tag 904\n",
        "events/2026-06-01 weighing 8 weeks.md": "901 20\n902 20\n903 20\n904 18\n",
        "events/2026-07-01 weaning.md": "901 28\n902 28\n903 28\n904 20\n",
        **{f"events/{name}.md": text for name, text in more.items()},
    }


def view(text: dict[str, str], on: str = "2026-07-02") -> SectionsView:
    """The page of the newest crop."""
    page = next(iter(growth.make(read(text, on), STAMP)))
    assert page.path == "growth.html"  # type: ignore[union-attr]
    made: SectionsView = page.view  # type: ignore[union-attr, assignment]
    return made


def lambs(table: Table) -> list[str]:
    """The tags that head a table's rows."""
    return [row.cells[0].tag for row in table.rows if isinstance(row.cells[0], Tag)]


def words(table: Table, row: int, cell: int) -> str:
    """The words in a cell."""
    found = table.rows[row].cells[cell]
    return (found.text if isinstance(found, Words) else str(found)).replace("\u00a0", " ")


def test_who_is_behind_and_why() -> None:
    """904 gained 2 kg in 30 days where the four gained 6.5 on average, and stands below 90 (plain arithmetic)."""
    found = table_in(view(notes()), "behind-head")
    assert lambs(found) == ["904"]
    assert "67 g a day up to 1 Jul 2026, when the others gained 217 g a day on average" in words(found, 0, 1)
    assert "where its group of 4 is 100" in words(found, 0, 1)


def test_after_weaning_the_line_for_sucking_lambs_is_not_used() -> None:
    """All at 150 g a day in autumn: nobody is named, for 200 g is the line for lambs on their mothers (EBLEX)."""
    text = notes()
    text["events/2026-07-01 weaning.md"] = "901 28\n902 28\n903 28\n904 27\n"
    text["events/2026-09-29 weighing autumn.md"] = "901 41.5\n902 41.5\n903 41.5\n904 40.5\n"
    assert lambs(table_in(view(text, "2026-10-01"), "behind-head")) == []


def test_before_weaning_it_is() -> None:
    """All at 150 g a day between nine and thirteen weeks, and still sucking: all are named."""
    text = notes()
    del text["events/2026-07-01 weaning.md"]
    text["events/2026-07-01 weighing.md"] = "901 24.5\n902 24.5\n903 24.5\n904 22.5\n"
    found = table_in(view(text), "behind-head")
    assert sorted(lambs(found)) == ["901", "902", "903", "904"]
    assert words(found, 0, 1).endswith("still sucking")


def test_the_weighings_newest_first() -> None:
    """26 kg on average at weaning, 217 g a day since; 904's lambs of 20 to 28 kg (plain arithmetic)."""
    newest = table_in(view(notes()), "weighings-head").rows[0].cells
    assert newest[1] == "4, weaning"
    assert [cell.text for cell in newest[2:] if isinstance(cell, Words)] == [
        "26.0\u00a0kg (20.0\u00a0kg to 28.0\u00a0kg)",
        "217\u00a0g a day (4 in both); nobody missed",
    ]


def test_lambs_on_one_footing_with_the_day_they_are_ready() -> None:
    """28 kg after 8 kg in 30 days: 12 kg more at 0.267 ± 0.009 kg a day is 44 to 47 days (growth references 6)."""
    found = table_in(view(notes()), "lambs-head")
    assert lambs(found)[:3] == ["901", "902", "903"]
    assert words(found, 0, 4) == "last 2.0 kg over the mean of 4; 40.0 kg 14 to 17 Aug 2026"


def test_what_holds_for_all_is_said_once() -> None:
    """Before weaning no lamb has a weaning weight: said above the table, not in every row."""
    text = notes()
    del text["events/2026-07-01 weaning.md"]
    found = table_in(view(text, "2026-06-02"), "lambs-head")
    assert "not a weaning weight" in found.caption
    assert not any("weaning weight" in words(found, row, 4) for row in range(4))


def test_a_flock_that_was_never_weighed() -> None:
    """The page is there and says so."""
    made = view({"sheep/C214.md": "---\nnote: ewe\nborn: 2021\n---\n"})
    assert made.lead == "No lamb has been weighed since its birth."
    assert not any(isinstance(block, Chart) for block in blocks_in(made, "weighings-head"))


def test_a_slip_of_the_unit_is_asked_about() -> None:
    """Weighed in pounds a week later: the row asks instead of naming a gain (1 kg = 2.2046 lb)."""
    slip = {"2026-07-08 weighing": "901 62\n902 62\n903 62\n904 45\n"}
    newest = table_in(view(notes(**slip), "2026-07-10"), "weighings-head").rows[0].cells
    assert isinstance(newest[3], Words)
    assert newest[3].text == "2.1 times what was to be expected: pounds or kilograms; nobody missed"
