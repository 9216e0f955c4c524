"""Ewes' shares, sales by weight, factors in use and the weigh sheet, from typed notes to the words on their pages."""

from __future__ import annotations

from typing import Any

import pytest

from flockbook.pages.growth import growth_ewes, growth_footing, growth_sales, growth_sheet
from flockbook.pages.views import Row, Tag, Words
from tests.flockbook.families import pencil_sheet, sentences_in, table_in
from tests.flockbook.small import read

STAMP: Any = None  # these pages do not print the stamp
NOTES = {
    "flock.yaml": "flock: Corrie Hask\ncurrency: GBP\ntargets:\n  sale weight: 40 kg\n",
    "sheep/C214.md": "---\nnote: ewe\nborn: 2021\nmob: hill\nmature weight: 75 kg\n---\n",
    "sheep/C215.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "events/2026-04-01 lambing C214.md": "- ewe 4 kg, tag 901\n- ewe 4 kg, tag 902\n",
    "events/2026-04-01 lambing C215.md": "- ewe 4 kg, tag 903\n- ewe 4 kg, tag 904\n",
    "events/2026-06-15 weighing.md": "901 22\n902 22\n903 22\n",
    "events/2026-07-01 weaning.md": "901 28\n902 26\n903 30\n904 24\n",
}


def page(module: Any, notes: dict[str, str], on: str = "2026-07-02") -> Any:
    """The view of a module's first page."""
    return next(iter(module.make(read(notes, on), STAMP))).view


def texts(row: Row) -> list[str]:
    """The cells of a row that are words, a sheep left out."""
    return [cell.text if isinstance(cell, Words) else str(cell) for cell in row.cells if isinstance(cell, str | Words)]


def test_a_ewes_share_by_the_mature_weight_of_her_note() -> None:
    """54 kg of lamb from a ewe of 75 kg is 72 % (Bevan's ratio, Darlington & Stockton Times)."""
    (row,) = [row for row in read(NOTES, "2026-07-02").facts.growth.reared if row.ewe == "C214"]
    assert (row.litter_kg, row.ewe_kg, row.typed) == (54.0, 75.0, True)
    assert row.share == pytest.approx(0.72)


def test_a_ewe_of_unknown_weight_has_no_share() -> None:
    """Nobody knows what C215 weighs, so nothing is said; the season's row counts one ewe."""
    view = page(growth_ewes, NOTES)
    shares = [texts(row)[-2:] for row in table_in(view, "by-ewe").rows]
    assert shares == [["75.0\u00a0kg, mature weight of her note", "72\u00a0%"], ["not known", ""]]
    assert texts(table_in(view, "by-season").rows[0])[-1] == "72\u00a0% (1 ewe)"


def test_her_own_weighing_goes_before_her_note() -> None:
    """Weighed at 60 kg in the spring: 54 / 60 is 90 % (plain arithmetic); a weighing after weaning is not hers yet."""
    notes = {
        **NOTES,
        "events/2026-05-20 weighing ewes.md": "C214 60\n",
        "events/2026-07-02 weighing ewes.md": "C214 66\n",
    }
    (row,) = [row for row in read(notes, "2026-07-03").facts.growth.reared if row.ewe == "C214"]
    assert (str(row.weighed_on), row.share) == ("2026-05-20", pytest.approx(0.9))


def test_a_litter_that_was_not_all_weighed_has_no_share() -> None:
    """902 was weaned without a weight."""
    notes = {**NOTES, "events/2026-07-01 weaning.md": "---\nlambs: 902\n---\n901 28\n903 30\n904 24\n"}
    (row,) = [row for row in read(notes, "2026-07-02").facts.growth.reared if row.ewe == "C214"]
    assert (row.unweighed, row.share) == (1, None)


def test_a_fostered_lamb_counts_with_the_ewe_that_reared_it() -> None:
    """904 went onto C214: she reared three, 78 kg."""
    notes = {**NOTES, "events/2026-04-02 foster 904.md": "---\nlamb: 904\nonto: C214\n---\n"}
    (row,) = [row for row in read(notes, "2026-07-02").facts.growth.reared if row.ewe == "C214"]
    assert (row.lambs, row.litter_kg) == (("901", "902", "904"), 78.0)


def test_a_bottle_lamb_is_nobodys() -> None:
    """902 on the bottle: C214 reared 28 kg."""
    notes = {**NOTES, "events/2026-04-02 foster 902.md": "---\nlamb: 902\npet: yes\n---\n"}
    (row,) = [row for row in read(notes, "2026-07-02").facts.growth.reared if row.ewe == "C214"]
    assert row.litter_kg == 28.0


@pytest.mark.parametrize(
    ("weight", "kg", "by_note"), [("weight: 40 kg\n", 40.0, True), ("weight: 80 kg\n", 40.0, True), ("", 29.0, False)]
)
def test_a_sale_by_weight(weight: str, kg: float, by_note: bool) -> None:
    """£100 each; two sheep at 40 kg each, 80 kg weighed together, or their last weights (28 and 30 kg) before it."""
    sale = f"---\nsheep: 901, 903\nto: Hask Mart\nuse: slaughter\nprice: 100 each\n{weight}---\n"
    (item,) = read({**NOTES, "events/2026-07-10 sale.md": sale}, "2026-07-11").facts.growth.sale_weights
    assert (item.live_kg, item.by_note, float(item.per_kg)) == (kg, by_note, pytest.approx(100 / kg))


def test_the_page_of_sales() -> None:
    """£100 for 40 kg is £2.50 a kilogram live and £5.00 on the hook at 50 % (Cornell's arithmetic of dressing)."""
    sale = "---\nsheep: 901, 903\nto: Hask Mart\nuse: slaughter\nprice: 100 each\nweight: 40 kg\n---\n"
    notes = {**NOTES, "events/2026-07-10 sale.md": sale}
    view = page(growth_sales, notes, "2026-07-11")
    assert texts(table_in(view, "by-weight").rows[0]) == ["£100.00", "40.0\u00a0kg, by the sale note", "£2.50", "£5.00"]
    half = next(row for row in table_in(view, "on-the-hook").rows if row.cells[0] == "50\u00a0%")
    assert half.cells[1:] == ("20.0\u00a0kg", "0.50", "2.00")


def test_factors_from_memory_are_labelled() -> None:
    """Printed cells and cells from memory are told apart, beside the number of lambs (growth references 1.2)."""
    view = page(growth_footing, NOTES)
    known = {(row.cells[1], row.cells[3]) for row in table_in(view, "in-use").rows}
    assert {("2", "printed"), ("2/2", "printed"), ("ram", "from memory"), ("1", "from memory")} <= known
    assert "9 factors of 14 are from memory" in view.lead
    assert next(row for row in table_in(view, "in-use").rows if row.cells[1] == "2/2").cells[4] == 4


def test_a_small_flock_is_told_that_it_is_too_small() -> None:
    """Four lambs say nothing of differences of their own."""
    assert sentences_in(page(growth_footing, NOTES), "of-its-own")[0].startswith("Too few lambs")


def test_the_weigh_sheet_has_the_last_weight_beside_a_blank() -> None:
    """901: 6 kg in 16 days; 12 kg more at 0.375 ± 0.018 kg a day is 31 to 34 days after 1 July (plain arithmetic)."""
    view = page(growth_sheet, NOTES)
    paper = pencil_sheet(view)
    assert (paper.columns[2].label, paper.columns[2].looks) == ("Weight", "blank")
    lines = {line.cells[0].tag: line.cells[1] for line in paper.rows if isinstance(line.cells[0], Tag)}
    assert lines["901"] == "28.0\u00a0kg, 1\u00a0Jul; 375\u00a0g a day; 40.0\u00a0kg 1 to 4 Aug 2026"
    assert set(lines) == {"901", "902", "903", "904"}


def test_a_lamb_that_may_not_go_says_so_on_the_weigh_sheet() -> None:
    """A treated lamb is held on every sheet on which somebody could draw it out for sale."""
    given = "---\nsheep: 901\nmedicine: example drench\ndose: 2 ml\ngiven: 1 Jul\n---\n"
    notes = {
        **NOTES,
        "medicines/drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n---\n",
        "events/2026-07-01 treatment 901.md": given,
    }
    rows = pencil_sheet(page(growth_sheet, notes)).rows
    said = {row.cells[0].tag: row.cells[1] for row in rows if isinstance(row.cells[0], Tag)}
    assert "NOT CLEAR until" in str(said["901"])
