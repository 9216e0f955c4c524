"""`flockbook proof`: read and check only."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NoReturn

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, colour_option, coloured, folder_argument, moment_asked, on_option

if TYPE_CHECKING:
    from flockbook.seen import Seen


@click.command(
    name="proof",
    help="Read and check the notes in FOLDER; write nothing. Status 1 if there are errors.",
    epilog="Such as: flockbook proof --format short",
)
@folder_argument
@click.option(
    "--format",
    "form",
    type=click.Choice(["full", "short", "json", "github"]),
    default="full",
    help="How messages are shown.",
)
@click.option("--staged", is_flag=True, help="Read the notes as git is about to commit them; tell of what it changes.")
@on_option
@colour_option
def command(folder: Path, form: str, staged: bool, on: Moment | None, colour: bool | None) -> None:
    """Proof, report, and end with the status."""
    from compiler import faults
    from compiler.folder import lines_of
    from compiler.report import as_json, full, github, short, summary

    try:
        with notes_proofed(folder, staged) as notes:
            findings = findings_in(notes, on)
            line_of = lines_of(notes)
            told = findings.diagnostics
            if staged:
                files = files_to_commit(folder)
                told = tuple(item for item in told if item.span.path in files)
            shown = full(told, line_of, coloured(colour)) if form == "full" else ""
    except OSError as refusal:
        click.echo(f"flockbook: {refusal}", err=True)
        raise SystemExit(FAILED) from None
    if form == "full":
        click.echo(shown, nl=False)
        click.echo(summary(told, findings.collection.read), err=True)
    else:
        click.echo({"short": short, "json": as_json, "github": github}[form](told), nl=False)
    raise SystemExit(faults.status(told))


def findings_in(notes: Path, on: Moment | None) -> Seen:
    """What the notes say."""
    from compiler.build import proof
    from flockbook.book import BOOK
    from flockbook.cli.compile import output_of

    return proof(notes, BOOK, moment_asked(on, notes), output_of(notes))


@contextmanager
def notes_proofed(folder: Path, staged: bool) -> Iterator[Path]:
    """The notes themselves; or, in a folder that lasts as long as the block, what git is about to commit of them."""
    if not staged:
        yield folder
        return
    from compiler.history import NoHistory, notes_staged

    with TemporaryDirectory() as made:
        try:
            notes_staged(folder, Path(made))
        except NoHistory as why:
            refuse_staged(why)
        yield Path(made)


def files_to_commit(folder: Path) -> set[str]:
    """Paths, below the notes folder, of what git is about to commit; ends with status 2 where git does not answer."""
    from compiler.history import NoHistory, staged_files

    try:
        return staged_files(folder)
    except NoHistory as why:
        refuse_staged(why)


def refuse_staged(why: Exception) -> NoReturn:
    """End with status 2: git did not say what it is about to commit."""
    click.echo(f"flockbook: {why}", err=True)
    raise SystemExit(FAILED) from None
