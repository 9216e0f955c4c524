"""What notes that are not yet written would do to the book: the messages that they cause."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from compiler.diagnostics import Diagnostic, Grade

GRAVE = (Grade.ERROR, Grade.ASK)


def caused(before: Iterable[Diagnostic], after: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """The errors and asks that are told only with the new notes."""
    known = Counter(said_without_place(item) for item in before)
    new = []
    for item in after:
        if item.grade in GRAVE and not known[said_without_place(item)]:
            new.append(item)
        known[said_without_place(item)] -= 1
    return tuple(new)


def said_without_place(told: Diagnostic) -> tuple[str, str, int, str]:
    """What makes a message the same as before."""
    return told.code, told.span.path, told.span.line, told.message
