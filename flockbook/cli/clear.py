"""`flockbook clear`: may they be sold, in the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from flockbook.cli.options import CLEAN, ERRORS, FAILED, asked, on_option

if TYPE_CHECKING:
    from flockbook.flock import Animal


@click.command(
    name="clear",
    help="Show whether SHEEP (all living ones if none is named) may go for meat. Status 1 if any is held or unknown.",
)
@click.argument("sheep", nargs=-1)
@click.option(
    "--folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The notes folder (default: this one).",
)
@on_option
def command(sheep: tuple[str, ...], folder: Path, on: Moment | None) -> None:
    """Print each animal's state and why."""
    from compiler.build import proof
    from compiler.report import visible
    from flockbook.book import BOOK
    from flockbook.flock import Flock

    if len(sheep) == 1 and folder == Path() and (Path(sheep[0]) / "flock.yaml").is_file():
        folder, sheep = Path(sheep[0]), ()
    findings = proof(folder, BOOK, asked(on))
    if findings.failed:
        click.echo("flockbook: the facts could not be worked out, so nobody is clear; run `flockbook proof`", err=True)
        raise SystemExit(FAILED)
    flock: Flock = findings.linked
    standing = findings.facts.guard.standing
    living = [flock.animals[item] for item in standing]
    wanted = [item for name in sheep for item in matching(living, name)] if sheep else sorted(standing)
    missing = [name for name in sheep if not matching(living, name)]
    for name in missing:
        click.echo(f"{visible(name)}: UNKNOWN - no living sheep of that tag or name")
    refused = bool(missing)
    for item in wanted:
        row = standing.get(item)
        if row is None:
            continue
        animal = flock.animals[item]
        refused = refused or not row.clear
        until = f" until {row.meat.shown.replace('T', ' ')}" if row.meat.shown else ""
        click.echo(
            visible(f"{animal.tag or animal.id} {animal.name or ''}".strip()) + f": {words(row.meat.state)}{until}"
        )
        for reason in row.because:
            click.echo(f"    {reason.rule}: {visible(reason.text)} ({visible(reason.note)})")
        if row.sucking:
            click.echo(f"    W12: sucking a treated ewe ({visible(row.sucking)})")
    click.echo("The label and your vet's written instruction win over this list.", err=True)
    raise SystemExit(ERRORS if refused else CLEAN)


def matching(living: Iterable[Animal], name: str) -> list[str]:
    """Ids of the animals of a tag, name or id, among those that live on the day asked about."""
    wanted = " ".join(name.casefold().split())
    return [
        animal.id for animal in living if name in (animal.id, *animal.tags) or (animal.name or "").casefold() == wanted
    ]


def words(state: str) -> str:
    """A state as printed."""
    return {"clear": "clear", "held": "NOT CLEAR"}.get(state, "UNKNOWN")
