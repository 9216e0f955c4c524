"""What several commands share: the folder, the day asked about, colour, and how messages are shown."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from compiler.moment import Moment
    from flockbook.seen import Seen
    from flockbook.settings import Settings

F = TypeVar("F", bound=Callable[..., Any])

EARLIEST_DAY, LAST_DAY = date(1990, 1, 1), date(2199, 12, 31)  # the days that a book can speak of (our own limit)
CLEAN, ERRORS, FAILED = 0, 1, 2  # exit status: nothing wrong, errors in notes, could not do its work


def read_moment(ctx: click.Context, param: click.Parameter, value: str | None) -> Moment | None:
    """`2026-03-01` (the start of that day) or `2026-03-01T14:00`."""
    if value is None:
        return None
    from compiler.moment import Moment

    try:
        timed = len(value) != 10
        at = datetime.fromisoformat(value).replace(tzinfo=None) if timed else midnight(date.fromisoformat(value))
    except ValueError:
        raise click.BadParameter(
            f"{value!r} is not a date such as 2026-03-01 or 2026-03-01T14:00", ctx, param
        ) from None
    if not EARLIEST_DAY <= at.date() <= LAST_DAY:
        message = f"{value!r} is too far away: a book speaks of a day from {EARLIEST_DAY} to {LAST_DAY}"
        raise click.BadParameter(message, ctx, param)
    return Moment(at, timed, clock().date())


def midnight(day: date) -> datetime:
    """The moment at which a day begins."""
    return datetime.combine(day, time.min)


def clock(zone: tzinfo | None = None) -> datetime:
    """The time now in a zone (None: the machine's), to the minute: the only place where the clock is read."""
    return datetime.now(zone).replace(second=0, microsecond=0, tzinfo=None)


def moment_asked(on: Moment | None, folder: Path) -> Moment:
    """The moment asked about: now by the flock's own time zone, unless `--on` says otherwise."""
    from compiler.moment import Moment
    from compiler.shape import replace

    now = clock(zone_in(folder))
    return replace(on, clock=now.date()) if on else Moment(now, timed=True, clock=now.date())


def zone_in(folder: Path) -> tzinfo | None:
    """The time zone that a notes folder's settings name."""
    from flockbook.settings import zone_of

    return zone_of(settings_here(folder))


def settings_here(folder: Path = Path()) -> Settings:
    """The settings of a notes folder, the current one if none is named; the defaults where there are none."""
    from compiler.folder import read_settings_file
    from flockbook.settings_reading import read_settings

    return read_settings(read_settings_file(folder, "flock.yaml")[0])[0]


def book_findings(folder: Path, on: Moment | None, alas: str = "", checked: bool = True) -> Seen:
    """What the notes say, its facts to be asked for; ends with status 2 where no book could be made."""
    from compiler.build import proof
    from compiler.shape import replace
    from flockbook.book import BOOK

    found = proof(folder, BOOK if checked else replace(BOOK, checks=()), moment_asked(on, folder))
    if found.failed:
        click.echo(f"flockbook: the facts could not be worked out{alas}; run `flockbook proof`", err=True)
        raise SystemExit(FAILED)
    return found


@contextmanager
def refusals_told() -> Iterator[None]:
    """A place where nothing may be written ends the command with status 2, and with what to do."""
    from compiler.output import OutputRefused

    try:
        yield
    except OutputRefused as refused:
        click.echo(f"flockbook: {refused.message}\n    help: {refused.help}", err=True)
        raise SystemExit(FAILED) from None


def folder_argument(command: F) -> F:
    """The notes folder; the current one if left out."""
    kind = click.Path(exists=True, file_okay=False, path_type=Path)
    return click.argument("folder", type=kind, default=Path())(command)


def to_option(command: F) -> F:
    """`--to BOOK`."""
    return click.option(
        "--to",
        type=click.Path(file_okay=False, path_type=Path),
        metavar="BOOK",
        help="Where the book is written (default: FOLDER/book, or `output` in the settings).",
    )(command)


def theme_option(command: F) -> F:
    """`--theme FOLDER`."""
    return click.option(
        "--theme",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        metavar="FOLDER",
        help="Another theme; it is proved before it is used.",
    )(command)


def on_option(command: F) -> F:
    """`--on DATE`."""
    return click.option(
        "--on",
        callback=read_moment,
        metavar="DATE",
        help="The day (2026-03-01) or moment (2026-03-01T14:00) to speak of; now if left out.",
    )(command)


def colour_option(command: F) -> F:
    """`--color` and `NO_COLOR`."""
    return click.option(
        "--color/--no-color", "colour", default=None, help="Colour the messages (default: when shown on a screen)."
    )(command)


def coloured(colour: bool | None) -> bool:
    """Whether to use colour: what was asked, else on a screen unless NO_COLOR is set (no-color.org)."""
    if colour is not None:
        return colour
    return sys.stderr.isatty() and not os.environ.get("NO_COLOR")
