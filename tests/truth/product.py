"""The program, asked in this process: the only module of these that imports it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

from compiler.book import Moment
from compiler.build import proof
from flockbook.book import BOOK
from flockbook.handover.facts import clearance, diagnostic, sheep

Facts = dict[str, Any]


class Failed(Exception):
    """The program could not do its work."""


def facts_of(folder: Path, on: datetime) -> Facts:
    """What `flockbook handover facts FOLDER --on MOMENT` says of sheep, clearance and messages.

    The other facts of the file are left out, for speed; a test compares this with the whole command.
    """
    seen = proof(folder, BOOK, Moment(on, timed=True, clock=on.date()))
    if seen.failed:
        raise Failed("; ".join(item.message for item in seen.diagnostics[:3]))
    return {
        "sheep": [sheep(seen, animal) for animal in seen.linked.animals.values()],
        "clearance": [clearance(seen.linked, row) for _, row in sorted(seen.facts.medicine.guard.standing.items())],
        "diagnostics": [diagnostic(item) for item in seen.diagnostics],
    }
