"""`flockbook handover`: the facts for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, book_findings, folder_argument, on_option

if TYPE_CHECKING:
    from flockbook.seen import Seen

file_option = click.option(
    "--to",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Write to a file in place of the terminal.",
)


@click.group(name="handover", help="Give the facts to other programs.")
def command() -> None:
    """The group itself does nothing."""


@command.command(
    name="facts",
    help="Print all facts of FOLDER as one JSON object.",
    epilog="Such as: flockbook handover facts --to ../facts.json",
)
@folder_argument
@on_option
@file_option
@click.option("--pairs", default="", metavar="A,B …", help="Pairs of sheep whose relationship is wanted.")
def facts(folder: Path, on: Moment | None, to: Path | None, pairs: str) -> None:
    """Print or write the facts."""
    from flockbook.handover.facts import facts_json, pairs_asked

    seen = book_findings(folder, on)
    give(facts_json(seen, tuple(pairs_asked(pairs))).encode(), to)
    leave(seen)


@command.command(
    name="calendar",
    help="Print what is to be done as a calendar file (iCalendar).",
    epilog="Such as: flockbook handover calendar --to ../flock.ics",
)
@folder_argument
@on_option
@file_option
def print_calendar(folder: Path, on: Moment | None, to: Path | None) -> None:
    """Print or write the calendar."""
    from flockbook.handover.calendar import calendar as made

    seen = book_findings(folder, on)
    give(made(seen), to)
    leave(seen)


@command.command(
    name="tables",
    help="Write the facts as tables for a spreadsheet (CSV) into a folder.",
    epilog="Such as: flockbook handover tables --to ../tables",
)
@folder_argument
@on_option
@click.option(
    "--to",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="FOLDER",
    required=True,
    help="A new folder, or one that this command wrote; never among the notes.",
)
def write_tables(folder: Path, on: Moment | None, to: Path) -> None:
    """Write the tables."""
    from compiler.output import OutputRefused, opened
    from flockbook.handover.facts import facts_object
    from flockbook.handover.tables import tables as made

    seen = book_findings(folder, on)
    files = made(facts_object(seen))
    try:
        if folder.resolve() in to.resolve().parents:
            raise OutputRefused(
                f"{to} lies among the notes", "name a folder outside; tables there would be read as notes"
            )
        with opened(to, folder) as place:
            place.write(files, lambda order: [files[path] for path in order])
    except OutputRefused as refused:
        click.echo(f"flockbook: {refused.message}\n    help: {refused.help}", err=True)
        raise SystemExit(FAILED) from None
    click.echo(f"{len(files)} tables: {to}")
    leave(seen)


def give(data: bytes, to: Path | None) -> None:
    """Bytes to the terminal or into a file."""
    if to is None:
        click.echo(data, nl=False)
    else:
        to.write_bytes(data)


def leave(seen: Seen) -> None:
    """End with the status of the notes."""
    from compiler import faults

    raise SystemExit(faults.status(seen.diagnostics))
