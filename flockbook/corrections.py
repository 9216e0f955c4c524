"""Notes that replace earlier ones: the old note is struck out, and stays in the book and in its registers."""

from __future__ import annotations

import re

from compiler.collection import Collection
from compiler.diagnostics import Diagnostic
from flockbook.naming import CORRECTS_NOTHING
from flockbook.records.event import Event

NAME_IT = "write the file name of the note that this one replaces"


def corrections(collection: Collection) -> tuple[dict[str, str], list[tuple[Diagnostic, Event]]]:
    """Corrected note → the note that replaces it, and what is wrong. Only a sound note of the same kind strikes out
    another.
    """
    events = collection.of(Event)
    by_name = {stem_of(item.origin.path): item for item in events}
    struck: dict[str, str] = {}
    told: list[tuple[Diagnostic, Event]] = []
    for event in events:
        if not event.corrects:
            continue
        old, where = by_name.get(stem_of(event.corrects)), event.origin.span("corrects")
        if old is None or not fits(event, old):
            what = f"there is no earlier {event.origin.kind} note called `{event.corrects[:60]}`"
            if old is not None and type(old) is not type(event):
                what = f"a {event.origin.kind} note cannot replace a {old.origin.kind} note: nothing is struck out"
            told.append((CORRECTS_NOTHING.at(where, what, NAME_IT), event))
        elif struck.get(event.origin.path) == old.origin.path:
            told.append((CORRECTS_NOTHING.at(where, "two notes correct each other", "take one `corrects` out"), event))
            del struck[event.origin.path]
        else:
            struck[old.origin.path] = event.origin.path
    return struck, told


def fits(event: Event, old: Event) -> bool:
    """Whether a note can stand in another's place."""
    return type(old) is type(event) and old is not event and not event.origin.broken and not event.origin.unread


def stem_of(path: str) -> str:
    """A note's name without folders and ending."""
    return re.sub(r"\.(md|markdown|txt)$", "", path.replace("\\", "/").rsplit("/", 1)[-1].strip(), flags=re.I).lower()
