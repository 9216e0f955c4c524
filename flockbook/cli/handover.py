"""`flockbook handover`: the facts for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, asked, folder_argument, on_option


@click.group(name="handover", help="Give the facts to other programs.")
def command() -> None:
    """The group itself does nothing."""


@command.command(name="facts", help="Print all facts of FOLDER as one JSON object.")
@folder_argument
@on_option
@click.option(
    "--to",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Write to a file in place of the terminal.",
)
@click.option("--pairs", default="", metavar="A,B …", help="Pairs of sheep whose relationship is wanted.")
def facts(folder: Path, on: Moment | None, to: Path | None, pairs: str) -> None:
    """Print or write the facts."""
    from compiler import faults
    from compiler.build import proof
    from flockbook.book import BOOK
    from flockbook.handover.facts import facts_json, names

    findings = proof(folder, BOOK, asked(on))
    if findings.failed:
        click.echo("flockbook: the facts could not be worked out; run `flockbook proof`", err=True)
        raise SystemExit(FAILED)
    text = facts_json(findings, tuple(names(pairs)))
    if to is None:
        click.echo(text, nl=False)
    else:
        to.write_text(text, encoding="utf-8")
    raise SystemExit(faults.status(findings.diagnostics))
