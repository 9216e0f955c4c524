"""Heads counted against the roll: who is missing and when each was last seen."""

from __future__ import annotations

from datetime import date

from flockbook.derive.farm.head_counts import CountFact
from flockbook.derive.year.owings import CountShort
from flockbook.handover.facts import facts_object
from tests.flockbook.small import Seen, codes, read

HILL = {
    f"sheep/C{place} {name}.md": "---\nnote: ewe\nborn: 2020\nmob: hill\n---\n"
    for place, name in enumerate(("Wren", "Rook", "Jay", "Kite"))
}
LOW = {"sheep/D1 Dove.md": "---\nnote: ewe\nborn: 2020\nmob: low\n---\n"}
SEEN_ROOK = {"events/2026-02-01 check hill.md": "- Rook bcs 3\n- Wren bcs 2.5\n"}


def counted(
    text: str, more: dict[str, str] | None = None, name: str = "2026-03-01 count hill.md"
) -> tuple[CountFact, Seen]:
    """The last count of the hill mob."""
    seen = read(
        {**HILL, **LOW, **SEEN_ROOK, **(more or {}), f"events/{name}": f"---\nmob: hill\n{text}\n---\n"}, "2026-06-01"
    )
    return seen.facts.farm.head_counts[-1], seen


def test_a_count_that_agrees_says_nothing() -> None:
    """Four of four."""
    fact, seen = counted("count: 4")
    assert (fact.counted, fact.expected, fact.agrees) == (4, ("C0", "C1", "C2", "C3"), True)
    assert not [code for code in codes(seen) if code.startswith("H")]


def test_with_tags_read_the_missing_are_named_with_when_they_were_last_seen() -> None:
    """Rook was last named in February, Jay never."""
    fact, seen = counted("count: 2\nseen: Wren, Kite")
    assert [(item.sheep, item.date) for item in fact.missing] == [("C2", None), ("C1", date(2026, 2, 1))]
    (told,) = [item for item in seen.diagnostics if item.code == "H101"]
    assert "Jay (C2) (never seen), Rook (C1) (last seen 1 Feb 2026)" in told.message
    row = facts_object(seen)["counts"][-1]
    assert {key: row[key] for key in ("mob", "date", "counted", "expected", "missing")} == {
        "mob": "hill", "date": "2026-03-01", "counted": 2, "expected": 4, "missing": ["C2", "C1"]
    }  # fmt: skip


def test_without_tags_nobody_is_called_missing() -> None:
    """Heads alone cannot tell who: those longest without a note are named as where to begin, and no more than that."""
    fact, seen = counted("count: 3")
    assert (fact.short, fact.missing) == (1, ())
    assert [item.sheep for item in fact.begin_with] == ["C2", "C3", "C0", "C1"]
    (told,) = [item for item in seen.diagnostics if item.code == "H101"]
    assert "1 short. No tags were read; longest without a note: Jay (C2)" in told.message


def test_a_note_on_the_whole_mob_is_no_sighting_of_one() -> None:
    """Moving the mob names nobody: Rook was last seen in February."""
    fact, _ = counted("seen: Wren, Kite, Jay", {"events/2026-02-20 move Corrie Hill.md": "---\nmob: hill\n---\n"})
    assert [(item.sheep, item.date) for item in fact.missing] == [("C1", date(2026, 2, 1))]


def test_those_who_left_are_not_expected() -> None:
    """Dead the day before, sold, drafted to another mob; found dead that morning, but not that evening."""
    gone = {
        "events/2026-02-28 death Wren.md": "---\ncause: unknown\n---\n",
        "events/2026-02-20 draft.md": "---\nsheep: Rook\ninto: low\n---\n",
    }
    assert counted("count: 2", gone)[0].agrees
    morning = {"events/2026-03-01 0600 death Wren.md": "---\ncause: unknown\n---\n"}
    evening = {"events/2026-03-01 1900 death Wren.md": "---\ncause: unknown\n---\n"}
    assert counted("count: 3", morning, "2026-03-01 0800 count hill.md")[0].agrees
    assert counted("count: 4", evening, "2026-03-01 0800 count hill.md")[0].agrees
    assert counted("count: 3", evening)[0].agrees


def test_more_heads_than_the_roll_and_strangers_by_tag() -> None:
    """Five of four is a warning; a tag of another mob is named; right number and wrong sheep is told too."""
    fact, seen = counted("count: 5")
    assert fact.short == -1
    assert "H102" in codes(seen)
    fact, seen = counted("seen: Wren, Rook, Jay, Dove")
    assert (fact.short, fact.strangers, [item.sheep for item in fact.missing]) == (0, ("D1",), ["C3"])
    assert "H103" in codes(seen)


def test_a_later_count_puts_an_earlier_one_right() -> None:
    """Found next morning: the facts keep both counts, the warning goes."""
    first = {"events/2026-02-28 count hill.md": "---\nmob: hill\ncount: 3\n---\n"}
    _, seen = counted("count: 4", first)
    assert [fact.agrees for fact in seen.facts.farm.head_counts] == [False, True]
    assert "H101" not in codes(seen)


def test_weaning_more_lambs_than_live_is_told() -> None:
    """Two lambs live and three are weaned; a grown ewe among the lambs is told too."""
    lambs = {"events/2026-03-10 lambing Wren.md": "- ewe 4.0, tag 701\n- ram 4.2, tag 702\n"}
    wrong = {**HILL, **lambs, "events/2026-07-10 weaning.md": "---\nlambs: 701, 702\ncount: 3\n---\n"}
    assert "H104" in codes(read(wrong, "2026-08-01"))
    right = {**HILL, **lambs, "events/2026-07-10 weaning.md": "701 30\n702 31\n"}
    assert not [code for code in codes(read(right, "2026-08-01")) if code.startswith("H")]
    grown = {**HILL, **lambs, "events/2026-07-10 weaning.md": "701 30\nC3 31\n"}
    assert "H105" in codes(read(grown, "2026-08-01"))


def test_a_count_without_a_mob_is_of_the_whole_flock() -> None:
    """Five sheep are written and four are counted: one short, and no stranger (common practice, no source)."""
    count = {"events/2026-03-01 count.md": "---\ncount: 4\n---\n"}
    seen = read({**HILL, **LOW, **count}, "2026-06-01")
    (fact,) = seen.facts.farm.head_counts
    assert (fact.short, len(fact.expected)) == (1, 5)
    (told,) = [item for item in seen.diagnostics if item.code in ("H101", "H102")]
    assert "4 counted in the whole flock, 5 by the notes: 1 short" in told.message
    assert any(isinstance(item.what, CountShort) for row in seen.facts.year.owed.rows for item in row.items)
