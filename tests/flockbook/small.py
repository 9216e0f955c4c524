"""Small flocks typed as text, read through the real stages."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from compiler.book import Findings, Moment
from compiler.collection import Given, Other, collect, sorting
from compiler.filenames import is_note, sort_of
from compiler.notes import read_csv, read_note
from compiler.prose import render
from compiler.shape import replace
from compiler.source import plain_text, read_source
from flockbook.checks import CHECKS
from flockbook.derive.facts import derive
from flockbook.linking import link
from flockbook.records import KINDS
from flockbook.records.jotted_line import INBOX
from flockbook.seen import Seen
from flockbook.settings_reading import read_settings, with_factors

Notes = Mapping[str, str | bytes]


def moment(text: str, clock: date | None = None) -> Moment:
    """`2026-06-10` (the start of that day) or `2026-06-10T14:00`."""
    timed = "T" in text
    at = datetime.fromisoformat(text)
    return Moment(at, timed, clock or at.date())


def read(notes: Notes, on: str = "2026-06-10", clock: date | None = None) -> Seen:
    """Everything found in a folder of notes given as path → text; `flock.yaml` holds the settings."""
    seen = unchecked(notes, on, clock)
    checked = [message for check in CHECKS for message in check.run(seen)]
    told = (*seen.diagnostics, *checked)
    return Findings(seen.settings, seen.collection, seen.linked, seen.facts, seen.today, told)


def unchecked(notes: Notes, on: str = "2026-06-10", clock: date | None = None) -> Seen:
    """The same without the checks, which add nothing but messages and take the longest."""
    data = {path: text.encode() if isinstance(text, str) else text for path, text in notes.items()}
    settings_data = data.pop("flock.yaml", b"flock: Small\n")
    settings, told = read_settings(read_source("flock.yaml", settings_data))
    named = settings.factors_file
    settings, more = with_factors(settings, {named: read_source(named, data.pop(named))} if named in data else {})
    tables = {path: read_csv(read_source(path, text)) for path, text in data.items() if path.endswith(".csv")}
    given = [
        Given(read_note(read_source(path, text)), tables.get(path.rsplit(".", 1)[0] + ".csv"))
        for path, text in data.items()
        if is_note(path)
    ]
    names = {path: sort_of(path.rpartition("/")[2]) for path in data if not (is_note(path) or path in tables)}
    asides = [Other(path, why, plain_text(data[path]), sort) for path, (sort, why) in names.items()]
    how = sorting(KINDS, settings.habits, lambda text, _: render(text), lambda _: "nobody is shown as clear")
    how = replace(how, lines_in=INBOX)
    collection, decoded = collect(given, how, asides)
    flock, linked = link(collection, settings, moment(on, clock))
    today = moment(on, clock)
    facts, derived = derive(flock, settings, today)
    return Findings(settings, collection, flock, facts, today, (*told, *more, *decoded, *linked, *derived))


def meat(seen: Seen, sheep: str) -> str:
    """The state of an animal's meat, with its release: `clear`, `held 2026-06-30`, `unknown`."""
    state = seen.facts.medicine.guard.standing[sheep].meat
    return f"{state.state} {state.shown}" if state.shown else state.state


def milk(seen: Seen, sheep: str) -> str:
    """The same of its milk."""
    state = seen.facts.medicine.guard.standing[sheep].milk
    return f"{state.state} {state.shown}" if state.shown else state.state


def codes(seen: Seen) -> list[str]:
    """The codes of all messages, in order of place."""
    return [message.code for message in sorted(seen.diagnostics, key=lambda message: message.order)]
