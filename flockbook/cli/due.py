"""`flockbook due`: who is due, in the terminal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from compiler.book import Moment
from flockbook.cli.options import book_findings, folder_argument, on_option
from flockbook.manner import day_words
from flockbook.measures import in_hundred


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
    from flockbook.regional import local

    seen = book_findings(folder, on)
    rows = seen.facts.breeding.due.rows
    if not rows:
        click.echo("no ewe is due")
    else:
        click.echo(f"{'ewe':<24} {'likely':<13} {'10-90 %':<28} {'window':<28} {local('barren'):>6}  basis")
    for row in rows:
        animal, item = seen.linked.animals[row.ewe], row.due
        name = visible(f"{animal.tag or ''} {animal.name or ''}".strip() or animal.id)
        middle, whole = (
            f"{day_or_dash(first)} … {day_or_dash(last)}"
            for first, last in ((item.p10, item.p90), (item.earliest, item.latest))
        )
        barren = f"{in_hundred(item.barren_chance)}%"
        click.echo(
            f"{name:<24} {day_or_dash(item.likely):<13} {middle:<28} {whole:<28} {barren:>5}  {local(item.basis.value)}"
        )
    raise SystemExit(faults.status(seen.diagnostics))


def day_or_dash(day: date | None) -> str:
    """A day in the flock's own order, or a dash."""
    return day_words(day) if day else "-"
