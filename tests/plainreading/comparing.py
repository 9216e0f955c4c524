"""The program and the plain reading, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from tests.flockbook.small import unchecked
from tests.plainreading.generator import made
from tests.plainreading.reading import Standing, State, standings

NEEDED = ("---", "note:", "born:", "name:", "ewe:", "lamb:", "onto:", "sheep:", "into:", "from:", "medicine:")


def read_by_program(files: Mapping[str, str], on: datetime) -> dict[str, Standing]:
    """What the program says of every living animal."""
    rows = unchecked(files, f"{on:%Y-%m-%dT%H:%M}").facts.medicine.guard.standing
    return {
        name: Standing(State(row.meat.state, row.meat.shown), State(row.milk.state, row.milk.shown), row.sucking or "")
        for name, row in rows.items()
    }


def differences(files: Mapping[str, str], on: datetime) -> list[str]:
    """Every animal of which they do not say the same."""
    program, plain = read_by_program(files, on), standings(files, on)
    return [
        f"{name}: program {told(program.get(name))}, plain reading {told(plain.get(name))}"
        for name in sorted(set(program) | set(plain))
        if program.get(name) != plain.get(name)
    ]


def told(row: Standing | None) -> str:
    """One animal in words."""
    if row is None:
        return "not there"
    states = " / ".join(f"{item.state} {item.until or ''}".strip() for item in (row.meat, row.milk))
    return f"{states}{' sucks ' + row.sucks if row.sucks else ''}"


def small(files: dict[str, str], on: datetime) -> dict[str, str]:
    """The same difference with as few notes and lines as will show it."""
    for path in sorted(files):
        without = {other: text for other, text in files.items() if other != path}
        if differs(without, on):
            return small(without, on)
    for path, text in sorted(files.items()):
        lines = text.splitlines(keepends=True)
        for place in range(len(lines)):
            less = {**files, path: "".join([*lines[:place], *lines[place + 1 :]])}
            if not lines[place].startswith(NEEDED) and differs(less, on):
                return small(less, on)
    return files


def differs(files: Mapping[str, str], on: datetime) -> bool:
    """Whether they differ; a folder that the plain reading cannot read is no example."""
    try:
        return bool(differences(files, on))
    except (AssertionError, IndexError, KeyError, ValueError):
        return False


def example(seed: int) -> str:
    """The smallest folder that shows what a seed showed, with both readings."""
    files, on = made(seed)
    less = small(files, on)
    notes = "".join(f"  == {path}\n{indented(text)}" for path, text in less.items())
    return f"seed {seed}, on {on:%Y-%m-%dT%H:%M}\n{notes}" + "".join(f"  -> {line}\n" for line in differences(less, on))


def indented(text: str) -> str:
    """A note, a little to the right."""
    return "".join(f"     {line}\n" for line in text.splitlines())
