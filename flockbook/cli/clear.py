"""`flockbook clear`: may they be sold, in the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from flockbook.cli.options import CLEAN, ERRORS, findings, on_option

if TYPE_CHECKING:
    from flockbook.flock import Animal
    from flockbook.seen import Seen


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
    if len(sheep) == 1 and folder == Path() and (Path(sheep[0]) / "flock.yaml").is_file():
        folder, sheep = Path(sheep[0]), ()
    seen = findings(folder, on, ", so nobody is clear", checked=False)
    wanted, missing = asked_about(seen, sheep)
    for line in (*map(unknown, missing), *(line for item in wanted for line in told(seen, item))):
        click.echo(line)
    click.echo("The label and your vet's written instruction win over this list.", err=True)
    standing = seen.facts.medicine.guard.standing
    raise SystemExit(CLEAN if not missing and all(standing[item].clear for item in wanted) else ERRORS)


def asked_about(seen: Seen, names: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """The ids of the living animals asked about (all of them where none is named), and the names that are nobody's."""
    standing = seen.facts.medicine.guard.standing
    living = [seen.linked.animals[item] for item in standing]
    found = {name: matching(living, name) for name in names}
    wanted = [item for name in names for item in found[name]] if names else sorted(standing)
    return wanted, [name for name in names if not found[name]]


def told(seen: Seen, sheep: str) -> Iterator[str]:
    """An animal's state and why, line by line."""
    from compiler.report import visible

    row, animal = seen.facts.medicine.guard.standing[sheep], seen.linked.animals[sheep]
    until = f" until {row.meat.shown.replace('T', ' ')}" if row.meat.shown else ""
    yield visible(f"{animal.tag or animal.id} {animal.name or ''}".strip()) + f": {words(row.meat.state)}{until}"
    for reason in row.because:
        yield f"    {reason.rule}: {visible(reason.text)} ({visible(reason.note)})"
    if row.sucking:
        yield f"    W12: sucking a treated ewe ({visible(row.sucking)})"


def unknown(name: str) -> str:
    """The line about a name that is nobody's."""
    from compiler.report import visible

    return f"{visible(name)}: UNKNOWN - no living sheep of that tag or name"


def matching(living: Iterable[Animal], name: str) -> list[str]:
    """Ids of the animals of a tag, name or id, among those that live on the day asked about."""
    wanted = " ".join(name.casefold().split())
    return [
        animal.id for animal in living if name in (animal.id, *animal.tags) or (animal.name or "").casefold() == wanted
    ]


def words(state: str) -> str:
    """A state as printed."""
    return {"clear": "clear", "held": "NOT CLEAR"}.get(state, "UNKNOWN")
