"""Notes as somebody in Georgia writes them, who keeps her flock in pounds: what she types is read, or she is asked.

The words are common practice in American extension writing, from memory; sheep and medicines are invented.
"""

from __future__ import annotations

import pytest

from flockbook.seen import Seen
from tests.flockbook.small import read

FLOCK = {
    "flock.yaml": "flock: Red Clay\nunits: us\nwords: us\ndates: month-day\ncountry: US\ncurrency: USD\n",
    "sheep/101 Peaches.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/102 Dolly.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/B7 Waylon.md": "---\nnote: ram\nborn: 2020\n---\n",
    "medicines/longacting.md": "---\nlabel rate: 4.5 ml per 100 lb\nroute: SQ\nkind: antibiotic\n"
    "meat withdrawal: 28 days\nmilk withdrawal: not for milk\n---\n",
}


def seen_of(path: str, text: str, on: str = "2026-11-30") -> Seen:
    """The flock with one note more."""
    return read({**FLOCK, path: text}, on)


def record_of(path: str, text: str, on: str = "2026-11-30") -> object:
    """The record that a note became."""
    seen = seen_of(path, text, on)
    return next(one for one in seen.collection.records if one.origin.path == path)


def told(path: str, text: str, on: str = "2026-11-30") -> list[str]:
    """What is said of one note, each message with its help."""
    messages = seen_of(path, text, on).diagnostics
    return [f"{one.code} {one.message} {one.help}" for one in messages if one.span.path == path]


@pytest.mark.parametrize(
    ("line", "lambs"),
    [
        ("101 not bred", 0), ("101 not pregnant", 0), ("101 not in lamb", 0), ("101 unbred", 0), ("101 no lambs", 0),
        ("101 preg", None), ("101 settled", None), ("101 bred", None), ("101 in lamb", None),
    ],
)  # fmt: skip
@pytest.mark.parametrize("dash", ["- ", ""])
def test_a_ewe_scanned_not_bred_is_empty(line: str, lambs: int | None, dash: str) -> None:
    """Words that deny a lamb are never read as one, with a dash or without it."""
    scan = record_of("events/2025-12-15 scan.md", f"{dash}{line}\n")
    assert [(one.sheep, one.lambs) for one in scan.lines] == [("101", lambs)]


def test_a_denial_that_is_not_understood_is_asked_about() -> None:
    """`not sure if in lamb` says neither."""
    assert any("does not say what was seen" in one for one in told("events/2025-12-15 scan.md", "- 101 not sure if bred\n"))
