"""The book as it would have been made of the notes of an earlier revision."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from compiler.book import Moment
from compiler.build import Built, Manner, build
from compiler.history import NoHistory, Tracked, notes_of, revision_of
from compiler.shape import Value, replace
from flockbook.book import BOOK
from flockbook.cli.options import FAILED, clock, settings_here
from flockbook.derive.facts import Facts
from flockbook.flock import Flock
from flockbook.settings import Settings, zone_of

NUMBER_SHOWN = 8  # figures of a revision's number in the name of its book


class Then(Value):
    """The notes of an earlier revision in a folder of their own, and the moment at which it was committed."""

    notes: Path
    number: str
    moment: Moment


@contextmanager
def notes_then(folder: Path, asked: str) -> Iterator[Then]:
    """The notes of a revision, for as long as the block lasts; ends with status 2 where git does not have it."""
    with TemporaryDirectory() as made:
        try:
            number, when = revision_of(folder, asked)
            notes_of(folder, number, Path(made))
        except (NoHistory, OSError) as why:
            click.echo(f"flockbook: {why}\n    help: name a revision that `git log` shows, such as HEAD~3", err=True)
            raise SystemExit(FAILED) from None
        zone = zone_of(settings_here(Path(made)))
        at = datetime.fromisoformat(when)
        local = (at.astimezone(zone) if zone else at).replace(second=0, microsecond=0, tzinfo=None)
        yield Then(Path(made), number, Moment(local, timed=True, clock=clock(zone).date()))


def build_then(then: Then, folder: Path, to: Path, on: Moment | None) -> Built[Settings, Flock, Facts]:
    """The book of that revision, as of when it was committed or of another moment. Raises OSError, OutputRefused."""
    moment = replace(on, clock=then.moment.clock) if on else then.moment
    return build(then.notes, BOOK, moment, to, manner=Manner(tracked=Tracked(folder, then.number)))
