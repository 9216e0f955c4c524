"""`flockbook clear`: may they be sold, in the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from compiler.families import Unmade
from flockbook.cli.options import CLEAN, ERRORS, book_findings, on_option
from flockbook.roll import key_of

if TYPE_CHECKING:
    from flockbook.derive.medicine.withdrawal import Clearance, State
    from flockbook.flock import Animal
    from flockbook.seen import Seen


@click.command(
    name="clear",
    help="Show whether SHEEP (all living ones if none is named) are clear of medicines to go for meat, and what else "
    "speaks against their going. Status 1 if any is held, unknown, or a question for the vet by its medicines.",
    epilog="Such as: flockbook clear Bramble C230",
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
    """Print what is to be mended first, then each animal's state and why."""
    if len(sheep) == 1 and folder == Path() and (Path(sheep[0]) / "flock.yaml").is_file():
        folder, sheep = Path(sheep[0]), ()
    seen = book_findings(folder, on, ", so nobody is clear", checked=False)
    wanted, missing = asked_about(seen, sheep)
    unknown_names = (unknown_name(seen, name) for name in missing)
    for line in (*mend_first(seen), *unknown_names, *(line for one in wanted for line in lines_of(seen, one))):
        click.echo(line)
    if missed := not_asked(seen):
        click.echo(missed, err=True)
    click.echo("The label and your vet's written instruction win over this list.", err=True)
    standing = seen.facts.medicine.guard.standing
    raise SystemExit(CLEAN if not missing and all(standing[item].plainly_clear for item in wanted) else ERRORS)


def asked_about(seen: Seen, names: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """The ids of the living animals asked about (all of them where none is named), and the names that are nobody's."""
    standing = seen.facts.medicine.guard.standing
    living = [seen.linked.animals[item] for item in standing]
    found = {name: matching(living, name) for name in names}
    wanted = [item for name in names for item in found[name]] if names else sorted(standing)
    return wanted, [name for name in names if not found[name]]


def mend_first(seen: Seen) -> Iterator[str]:
    """What is said once, on top: by which notes sheep are withheld, on which line, and what to type."""
    from compiler.report import visible
    from flockbook.derive.medicine.withheld import MOST_ROWS, withheld_list
    from flockbook.regional import local_around
    from flockbook.saying.because import step_words
    from flockbook.saying.withheld import mend_where, whom, withheld_also, withheld_head

    found = withheld_list(seen.facts.medicine.guard)
    if not found:
        return
    also = withheld_also(found)
    yield f"{withheld_head(found)}{f'; {also}' if also else ''}"
    for row in found.rows[:MOST_ROWS]:
        yield f"  {visible(whom(seen.linked, row, found.living))}"
        yield f"    in {visible(mend_where(row))}"
        yield f"    {visible(step_words(row.why))}"
        yield f"    to mend: {visible(local_around(row.cure))}"
    left = len(found.rows) - MOST_ROWS
    if left > 0:
        yield f"  and {left} more: `flockbook proof` shows them all"
    yield ""


def lines_of(seen: Seen, sheep: str) -> Iterator[str]:
    """An animal's state, and one line for each reason and each cure."""
    from compiler.report import visible
    from flockbook.regional import local_around
    from flockbook.saying.because import step_words

    row, animal = seen.facts.medicine.guard.standing[sheep], seen.linked.animals[sheep]
    yield visible(f"{animal.tag or animal.id} {animal.name or ''}".strip()) + f": {meat_words(row)}"
    if row.milk.state != "clear":
        yield f"    milk: {state_printed(row.milk)}"
    cures = {hold.because: hold.cure for hold in reversed(row.holds)}
    for reason in row.because:
        line = f":{reason.line}" if reason.line else ""
        yield f"    {reason.rule}: {visible(step_words(reason))} ({visible(reason.note)}{line})"
        if cures.get(reason):
            yield f"    to mend: {visible(local_around(cures[reason]))}"
    if row.sucking:
        from flockbook.saying.standing import question

        yield f"    V14: {visible(question(seen.linked, row, seen.facts.medicine.guard.standing))}"
    with suppress(Unmade):  # told once, at the end
        yield from going_lines(seen, sheep)


def not_asked(seen: Seen) -> str:
    """That nothing but medicines could be asked about; "" where all could."""
    from compiler.faults import HELP

    try:
        _ = seen.facts.market.gate
    except Unmade as failure:
        return f"Only medicines were looked at; what else speaks against going was not: {failure}; {HELP}."
    return ""


def going_lines(seen: Seen, sheep: str) -> Iterator[str]:
    """Whatever besides medicines speaks against an animal's going: a further question, which changes no state."""
    from compiler.report import visible
    from flockbook.saying.going import going_words

    against = seen.facts.market.gate.fitness.get(sheep, ())
    if against:
        yield f"    to sell or send: {visible(going_words(against))}"


def meat_words(row: Clearance) -> str:
    """Where an animal's meat stands; a lamb at the foot of a ewe who is not clear is never plainly clear."""
    return "ASK THE VET" if row.sucking and row.meat.state == "clear" else state_printed(row.meat)


def state_printed(state: State) -> str:
    """A state as printed."""
    from flockbook.saying.standing import release_words, to_do

    if state.until:
        return f"NOT CLEAR until {release_words(state)}"
    return "clear" if state.state == "clear" else f"UNKNOWN - {to_do(state)}"


def unknown_name(seen: Seen, name: str) -> str:
    """The line about a name that is nobody's, with the names that are near it."""
    from compiler.nearness import near
    from compiler.report import visible

    standing = seen.facts.medicine.guard.standing
    animals = sorted(seen.linked.animals.values(), key=lambda animal: animal.id not in standing)  # the living first
    known: dict[str, Animal] = {}
    for animal in animals:
        for word in (*animal.tags, animal.name or "", animal.id):
            known.setdefault(word, animal)
    gone = [word for word in known if key_of(word) == key_of(name)]
    guesses = gone or near(name, known, slips=2 if len(name) > 3 else 1)
    meant = dict.fromkeys(called_with_fate(known[word], known[word].id in standing) for word in guesses if word)
    more = f"; did you mean {visible(' or '.join(list(meant)[:3]))}?" if meant else ""
    return f"{visible(name)}: UNKNOWN - no living sheep of that tag or name{more}"


def called_with_fate(animal: Animal, here: bool) -> str:
    """An animal as it is suggested, with what became of it where it is gone."""
    left = animal.left
    fate = f", {left.how} {left.date.isoformat()}" if left and not here else ""
    return f"{animal.called_in_full}{fate}"


def matching(living: Iterable[Animal], name: str) -> list[str]:
    """Ids of the animals of a tag, name or id, among those that live on the day asked about."""
    wanted = key_of(name)
    return [
        animal.id
        for animal in living
        if wanted in (animal.id.casefold(), *(tag.casefold() for tag in animal.tags), (animal.name or "").casefold())
    ]
