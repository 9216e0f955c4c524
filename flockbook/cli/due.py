"""`flockbook due`: who is due, in the terminal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from compiler.book import Moment
from flockbook.cli.options import book_findings, folder_argument, on_option


@click.command(
    name="due",
    help="Show the ewes of FOLDER that are due, the most likely day first.",
    epilog="Such as: flockbook due --on 2026-03-01",
)
@folder_argument
@on_option
def command(folder: Path, on: Moment | None) -> None:
    """Print the due list."""
    from compiler import faults
    from compiler.report import visible

    seen = book_findings(folder, on)
    rows = seen.facts.breeding.due.rows
    if not rows:
        click.echo("no ewe is due")
    else:
        click.echo(f"{'ewe':<24} {'likely':<12} {'10-90 %':<24} {'window':<24} {'barren':>6}  basis")
    for row in rows:
        animal, item = seen.linked.animals[row.ewe], row.due
        name = visible(f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id)
        middle, whole = (
            f"{iso_or_dash(first)} … {iso_or_dash(last)}"
            for first, last in ((item.p10, item.p90), (item.earliest, item.latest))
        )
        click.echo(
            f"{name:<24} {iso_or_dash(item.likely):<12} {middle:<24} {whole:<24} {item.barren_chance:>5.0%}  "
            f"{item.basis.value}"
        )
    raise SystemExit(faults.status(seen.diagnostics))


def iso_or_dash(day: date | None) -> str:
    """An ISO date, or a dash."""
    return day.isoformat() if day else "-"
