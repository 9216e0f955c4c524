"""`flockbook handover`: the facts for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, asked, folder_argument, on_option

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


@command.command(name="facts", help="Print all facts of FOLDER as one JSON object.")
@folder_argument
@on_option
@file_option
@click.option("--pairs", default="", metavar="A,B …", help="Pairs of sheep whose relationship is wanted.")
def facts(folder: Path, on: Moment | None, to: Path | None, pairs: str) -> None:
    """Print or write the facts."""
    from flockbook.handover.facts import facts_json, names

    findings = found(folder, on)
    give(facts_json(findings, tuple(names(pairs))).encode(), to)
    leave(findings)


@command.command(name="calendar", help="Print what is to be done as a calendar file (iCalendar).")
@folder_argument
@on_option
@file_option
def calendar(folder: Path, on: Moment | None, to: Path | None) -> None:
    """Print or write the calendar."""
    from flockbook.handover.calendar import calendar as made

    findings = found(folder, on)
    give(made(findings), to)
    leave(findings)


@command.command(name="tables", help="Write the facts as tables for a spreadsheet (CSV) into a folder.")
@folder_argument
@on_option
@click.option(
    "--to",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="FOLDER",
    required=True,
    help="A new folder, or one that this command wrote; never among the notes.",
)
def tables(folder: Path, on: Moment | None, to: Path) -> None:
    """Write the tables."""
    from compiler.output import OutputRefused, opened
    from flockbook.handover.facts import facts_object
    from flockbook.handover.tables import tables as made

    findings = found(folder, on)
    files = made(facts_object(findings))
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
    leave(findings)


def found(folder: Path, on: Moment | None) -> Seen:
    """Everything worked out; ends with status 2 where that failed."""
    from compiler.build import proof
    from flockbook.book import BOOK

    findings = proof(folder, BOOK, asked(on))
    if findings.failed:
        click.echo("flockbook: the facts could not be worked out; run `flockbook proof`", err=True)
        raise SystemExit(FAILED)
    return findings


def give(data: bytes, to: Path | None) -> None:
    """Bytes to the terminal or into a file."""
    if to is None:
        click.echo(data, nl=False)
    else:
        to.write_bytes(data)


def leave(findings: Seen) -> None:
    """End with the status of the notes."""
    from compiler import faults

    raise SystemExit(faults.status(findings.diagnostics))
