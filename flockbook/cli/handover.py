"""`flockbook handover`: the facts for other programs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from compiler.shape import replace
from flockbook.cli.options import book_findings, folder_argument, on_option, refusals_told

if TYPE_CHECKING:
    from flockbook.seen import Seen

FILE = click.Path(dir_okay=False, path_type=Path)
CHIEF_TABLE = "sheep.csv"  # the table that every set has
WHERE = "A new file, or one that this command wrote; never among the notes."

file_option = click.option("--to", type=FILE, metavar="FILE", help=f"Not to the terminal but to a file. {WHERE}")
needed_file_option = click.option("--to", type=FILE, metavar="FILE", required=True, help=WHERE)


@click.group(name="handover", help="Give the facts to other programs, and the book to readers that want one file.")
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

    refuse_early(to, folder)
    seen = book_findings(folder, on)
    data = facts_json(seen, tuple(pairs_asked(pairs))).encode()
    give(data, to, folder, lambda head: b'"format": "flockbook-facts"' in head)
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
    from flockbook.handover.calendar import PRODUCT
    from flockbook.handover.calendar import calendar as made

    refuse_early(to, folder)
    seen = book_findings(folder, on)
    give(made(seen), to, folder, lambda head: PRODUCT.encode() in head)
    leave(seen)


@command.command(
    name="database",
    help="Write the facts as a database (SQLite) with views that answer a shepherd's questions.",
    epilog="Such as: flockbook handover database --to ../flock.db",
)
@folder_argument
@on_option
@needed_file_option
def write_database(folder: Path, on: Moment | None, to: Path) -> None:
    """Write the database."""
    from flockbook.handover.database import database, is_ours
    from flockbook.handover.database_layout import QUESTIONS
    from flockbook.handover.facts import facts_object

    refuse_early(to, folder)
    seen = book_findings(folder, on)
    give(database(seen, facts_object(seen)), to, folder, is_ours)
    click.echo(f"the database: {to}\nviews: {', '.join(QUESTIONS)}")
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
    from compiler.output import opened
    from flockbook.handover.facts import facts_object
    from flockbook.handover.tables import tables as made

    refuse_early(to, folder)
    seen = book_findings(folder, on)
    files = made(facts_object(seen))
    with refusals_told(), opened(to, folder, chief=CHIEF_TABLE) as place:
        place.write(files, lambda order: [files[path] for path in order])
    click.echo(f"{len(files)} tables: {to}")
    leave(seen)


@command.command(
    name="epub",
    help="Write the whole book as one file for tablets and readers (EPUB 3).",
    epilog="Such as: flockbook handover epub --to ../flock.epub",
)
@folder_argument
@on_option
@needed_file_option
def write_epub(folder: Path, on: Moment | None, to: Path) -> None:
    """Write the book in one file."""
    from compiler.epub import MARK, epub
    from flockbook.cli.editions import about, bound_book, with_pictures

    refuse_early(to, folder)
    seen = book_findings(folder, on)
    bound, told = bound_book(with_pictures(seen, folder), folder), list(seen.diagnostics)
    give(epub(bound, about(seen), told), to, folder, lambda head: MARK in head)
    click.echo(f"the book in one file: {to}")
    leave(replace(seen, diagnostics=tuple(told)))


def refuse_early(to: Path | None, folder: Path) -> None:
    """No work for a place among the notes."""
    from compiler.outfile import refuse_among

    with refusals_told():
        if to is not None:
            refuse_among(to, folder)


def give(data: bytes, to: Path | None, folder: Path, is_ours: Callable[[bytes], bool]) -> None:
    """Bytes to the terminal or into a file."""
    from compiler.outfile import write_file

    if to is None:
        click.echo(data, nl=False)
        return
    with refusals_told():
        write_file(to, folder, data, is_ours)


def leave(seen: Seen) -> None:
    """End with the status of the notes."""
    from compiler import faults

    raise SystemExit(faults.status(seen.diagnostics))
