"""`flockbook proof`: read and check only."""

from __future__ import annotations

from pathlib import Path

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, colour_option, coloured, folder_argument, moment_asked, on_option


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
@click.option("--staged", is_flag=True, help="Show only messages on files that git is about to commit.")
@on_option
@colour_option
def command(folder: Path, form: str, staged: bool, on: Moment | None, colour: bool | None) -> None:
    """Proof, report, and end with the status."""
    from compiler import faults
    from compiler.build import proof
    from compiler.folder import lines_of
    from compiler.report import as_json, full, github, short, summary
    from flockbook.book import BOOK
    from flockbook.cli.compile import output_of

    try:
        findings = proof(folder, BOOK, moment_asked(on, folder), output_of(folder))
    except OSError as refusal:
        click.echo(f"flockbook: {refusal}", err=True)
        raise SystemExit(FAILED) from None
    told = findings.diagnostics
    if staged:
        files = files_to_commit(folder)
        told = tuple(item for item in told if item.span.path in files)
    if form == "full":
        click.echo(full(told, lines_of(folder), coloured(colour)), nl=False)
        click.echo(summary(told, findings.collection.read), err=True)
    else:
        click.echo({"short": short, "json": as_json, "github": github}[form](told), nl=False)
    raise SystemExit(faults.status(told))


def files_to_commit(folder: Path) -> set[str]:
    """Paths, below the notes folder, of what git is about to commit; ends with status 2 where git does not answer."""
    from compiler.history import NoHistory, staged_files

    try:
        return staged_files(folder)
    except NoHistory as why:
        click.echo(f"flockbook: {why}", err=True)
        raise SystemExit(FAILED) from None
