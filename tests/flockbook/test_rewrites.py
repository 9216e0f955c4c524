"""Sheep run together: the message prints the words to type, and typed as printed the note reads whole."""

from __future__ import annotations

import re

import pytest

from flockbook.records.growth import Weighing
from tests.flockbook.small import Notes, Seen, codes, read

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK: Notes = {
    "sheep/C230 Fern.md": EWE,
    "sheep/C231 Wren.md": EWE,
    "sheep/C232 Rook.md": EWE,
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
}


def told(seen: Seen) -> list[str]:
    """What the messages say is to be typed."""
    return [message.help for message in seen.diagnostics if message.code in ("L201", "F106")]


# Ways of writing two sheep as one: common practice, no source. The first of each is a slip beside a known name; `Fren`
# is near Fern and Wren, and Wren stands beside it already.
@pytest.mark.parametrize(
    ("path", "note", "cure"),
    [
        ("move.md", "---\nsheep: Fren & C231\nto: Sike\n---\n", "sheep: Fern, C231"),
        ("move.md", "---\nsheep: Fren and C231, Rook\nto: Sike\n---\n", "sheep: Fern, C231, Rook"),
        ("sale.md", "---\nsheep: Frn + Wern\n---\n", "sheep: Fern, Wren"),
        ("joining Sexton.md", "---\newes: Frn / C231\n---\n", "ewes: Fern, C231"),
        ("sale.md", "---\nsheep: C230 C231\n---\n", "sheep: C230, C231"),
        ("move.md", "---\nsheep: C230. Wren | C232\nto: Sike\n---\n", "sheep: C230, Wren, C232"),
    ],
)
def test_a_field_is_printed_whole(path: str, note: str, cure: str) -> None:
    """One message, one line to type; with it in place of what was typed nothing is left to tell."""
    where = f"events/2026-06-02 {path}"
    assert told(read({**FLOCK, where: note})) == [f"write `{cure}`"]
    field = cure.split(":")[0]
    mended = read({**FLOCK, where: re.sub(rf"^{field}: .*$", cure, note, flags=re.M)})
    assert "L201" not in codes(mended)
    assert len(mended.linked.who(mended.linked.events[0])) >= cure.count(",") + 1


def test_of_two_readings_both_are_printed() -> None:
    """`Fren` beside Rook can be Fern or Wren: nobody guesses, both lines are printed."""
    seen = read({**FLOCK, "events/2026-06-02 move.md": "---\nsheep: Fren & Rook\nto: Sike\n---\n"})
    assert told(seen) == ["write `sheep: Fern, Rook` or write `sheep: Wren, Rook`"]


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("weighing.md", "- Fern & C231 60 kg"),
        ("weighing.md", "- Fren & C231 60 kg"),
        ("weighing.md", "- Fern, Wren 60 kg"),
        ("check.md", "- Fern & C231 bcs 3"),
        ("scan.md", "- Fern and Wren twins"),
        ("scan.md", "- Fern, C231 twins"),
        ("egg count.md", "- Fern + C231 12 eggs"),
        ("check.md", "- C230/C231 bcs 3"),
    ],
)
def test_one_line_for_two_is_told_and_printed_as_two(path: str, line: str) -> None:
    """What one line says of two was nobody's, without a word; now it is asked for as two, and these read whole."""
    where = f"events/2026-06-02 {path}"
    head = "---\nfactor: 50\n---\n" if path.startswith("egg") else ""
    (cure,) = told(read({**FLOCK, where: f"{head}{line}\n"}))
    lines = re.findall(r"`(- [^`]+)`", cure)
    assert len(lines) == 2
    mended = read({**FLOCK, where: head + "".join(f"{one}\n" for one in lines)})
    assert not {"L201", "F106"} & set(codes(mended))
    (note,) = mended.linked.events
    assert {mended.linked.named(note, one.sheep) for one in note.lines} == {"C230", "C231"}


def test_a_whole_name_beats_the_joint() -> None:
    """A ewe called Salt and Pepper is one ewe (V2), and a remark that begins with `and` is a remark."""
    notes = {**FLOCK, "sheep/C9 Salt and Pepper.md": EWE}
    seen = read({**notes, "events/2026-06-02 weighing.md": "Salt and Pepper 60 kg\nFern 58 kg, and lame\n"})
    assert told(seen) == []
    (note,) = seen.linked.of(Weighing)
    assert set(seen.linked.who(note)) == {"C9", "C230"}
    scan = "- Fern twins and dirty\n- Rook and lamb, single\n"
    assert told(read({**notes, "events/2026-06-02 scan.md": scan})) == []


DRENCH = {"medicines/drench.md": "---\nnote: medicine\nname: drench\nmeat withdrawal: 28 days\n---\n"}


# A stone is 14 pounds of 0.45359237 kg (Weights and Measures Act 1985, Schedule 1): 126 and 130 pounds.
@pytest.mark.parametrize(
    ("typed", "kilograms"), [("9 st 4 lb", "59.0 kg"), ("9 stone", "57.2 kg"), ("9 stones 4 lbs", "59.0 kg")]
)
def test_stones_on_a_line_of_doses_are_told_in_kilograms(typed: str, kilograms: str) -> None:
    """Nine stones were taken for nine kilograms without a word; now the line asks for kilograms and prints them."""
    where = "events/2026-06-02 treatment.md"
    seen = read({**FLOCK, **DRENCH, where: f"---\nmedicine: drench\n---\n- C230 {typed} 6 ml\n"})
    asked = next(message for message in seen.diagnostics if message.code == "F109")
    assert (asked.message, asked.help) == (f"`{typed}` is in stones", f"write `{kilograms}` in its place")
    mended = read({**FLOCK, **DRENCH, where: f"---\nmedicine: drench\n---\n- C230 {kilograms} 6 ml\n"})
    assert "F109" not in codes(mended)
    (line,) = mended.linked.events[0].lines
    assert f"{line.weight.kg:.1f} kg" == kilograms
    assert line.dose.ml == 6
