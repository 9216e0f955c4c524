"""Data lines as tired people write them: without a dash, numbered, indented or in a list within a list; what is prose
stays a remark. A line reads the same with or without its dash.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.flockbook.small import codes, read

FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C230 Fern.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C231.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/R9 Hector.md": "---\nnote: ram\nborn: 2020\n---\n",
    "events/2026-03-20 lambing Bramble.md": "- ewe 4.1 kg, tag 741\n- ram 4.6 kg, tag 742\n",
}
WAYS: dict[str, Callable[[int, str], str]] = {
    "bare": lambda _, line: line,
    "numbered": lambda number, line: f"{number}. {line}",
    "bracketed": lambda number, line: f"{number}) {line}",
    "indented": lambda _, line: f"    {line}",
    "tabbed": lambda _, line: f"\t{line}",
    "bullet": lambda _, line: f"• {line}",
    "within": lambda number, line: f"- {line}" if number == 1 else f"  - {line}",
}
KINDS = {
    "2026-01-20 scan": ("", ["C214 twins", "Fern empty", "C231 single, 80 days"]),
    "2026-05-20 check": ("", ["C214 bcs 2.5", "Fern eyelid 3, dag 1", "C231 feet ok, 39.2 C"]),
    "2026-05-21 egg count": ("---\nfactor: 50\n---\n", ["C214 12 eggs", "pooled 3 eggs"]),
    "2026-05-22 tagging": ("", ["741 now 841", "742 lost"]),
    "2026-05-23 weighing": ("", ["741 20.5 dirty behind", "742 22"]),
    "2026-05-24 weaning": ("", ["741 20.5", "742 22 kg"]),
    "2026-04-02 lambing Fern": ("", ["ewe 4.1 kg, tag 751", "ram 4 kg tag 752"]),
    "2025-11-01 joining": ("---\nrams: Hector\newes: C214, C230, C231\n---\n", ["3 Nov Bramble", "5 Nov Fern, C231"]),
    "2026-02-01 purchase": ("", ["ewe tag D1, born 2024", "ram tag D2 Duke"]),
}


def lines_of(name: str, body: str) -> list[str]:
    """The data of one note of a flock, without their places."""
    path = f"events/{name}.md"
    seen = read({**FLOCK, path: body}, "2026-06-10")
    assert "F112" not in codes(seen)
    record = next(item for item in seen.collection.records if item.origin.path == path)
    return [str(line).partition(", span=")[0] for line in getattr(record, "lines", ())]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", KINDS)
def test_a_line_reads_the_same_without_its_dash(name: str, way: str) -> None:
    """Every kind with data lines, every way of setting them down (common practice, no source)."""
    head, lines = KINDS[name]
    plain = lines_of(name, head + "".join(f"- {line}\n" for line in lines))
    assert len(plain) == len(lines)
    assert lines_of(name, head + "".join(f"{WAYS[way](place, line)}\n" for place, line in enumerate(lines, 1))) == plain


@pytest.mark.parametrize(
    ("name", "prose"),
    [
        ("2026-01-20 scan", "All twins this year, the man was pleased.\nMost of them were quiet.\nTwo empty."),
        ("2026-05-20 check", "Best condition they have been in with me.\nPoor feet all round after the wet."),
        (
            "2026-04-02 lambing Fern",
            "The ewe was up at once and the ram lamb sucked by four.\nA ewe needs much water.",
        ),
        ("2025-11-01 joining", "5 Dec rain all day\n12 Dec Snow\n20 Dec moved them to the low park"),
        ("2026-05-22 tagging", "She is now an old lady\nThe red tags are lost"),
    ],
)
def test_prose_stays_a_remark(name: str, prose: str) -> None:
    """Words that are no data make no data, and no message about sheep that nobody has."""
    head, lines = KINDS[name]
    path = f"events/{name}.md"
    body = f"{head}- {lines[0]}\n\n{prose}\n"
    seen = read({**FLOCK, path: body}, "2026-06-10")
    told = [message for message in seen.diagnostics if message.span.path == path and message.grade.value != "gap"]
    assert [message.message for message in told if message.span.line and message.span.line > body.count("\n") - 3] == []


def test_a_scan_without_dashes_is_counted() -> None:
    """24 ewes scanned, not one dash: 24 scans, and the season has their lambs (2 x 12 and 1 x 12 are 36)."""
    ewes = {f"sheep/E{place:02}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(24)}
    joined = (
        "---\nrams: Hector\newes: [" + ", ".join(f"E{place:02}" for place in range(24)) + "]\nout: 2025-12-10\n---\n"
    )
    text = "".join(f"E{place:02} {'twins' if place % 2 else 'single'}\n" for place in range(24))
    notes = {**ewes, "sheep/R9 Hector.md": FLOCK["sheep/R9 Hector.md"], "events/2025-11-01 joining.md": joined}
    seen = read({**notes, "events/2026-01-25 scan.md": text}, "2026-02-01")
    season = seen.facts.season.seasons[-1]
    assert (season.counts.ewes_scanned, season.counts.scanned) == (24, 36)


def test_a_dose_told_on_a_bare_line_still_holds() -> None:
    """A line that became data keeps what it says of a medicine: whoever may have had it is not clear."""
    notes = {**FLOCK, "events/2026-05-20 check.md": "C230 bcs 2.5, drenched with moxidectin 3 ml\n"}
    standing = read(notes, "2026-05-21").facts.medicine.guard.standing
    assert standing["C230"].meat.state != "clear"
