"""Laying out a folder, asking the program, and judging its answer by what really happened."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from tests.truth.plain import Content, Files, Link
from tests.truth.world import FOREVER, Key, World

Facts = dict[str, Any]
Ask = Callable[[Path, datetime], Facts]


class Desk:
    """A folder that is laid out again and again; only what differs is written."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.lying: Files = {}

    def lay(self, files: Files) -> Path:
        """Make the folder hold exactly these files."""
        for path in [path for path, content in self.lying.items() if files.get(path) != content]:
            self._remove(path)
        for path, content in files.items():
            if path not in self.lying:
                put(self.folder / path, content)
                self.lying[path] = content
        return self.folder

    def _remove(self, path: str) -> None:
        (self.folder / path).unlink()
        del self.lying[path]
        self._sweep((self.folder / path).parent)

    def _sweep(self, place: Path) -> None:
        while place != self.folder and not any(place.iterdir()):
            place.rmdir()
            place = place.parent


def put(path: Path, content: Content) -> None:
    """Write one file, as the bytes it is."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if isinstance(content, Link):
        os.symlink(content.target, path)
    else:
        path.write_bytes(content.encode() if isinstance(content, str) else content)


@dataclass(frozen=True)
class Verdict:
    """What the program said, beside the truth."""

    wrong: tuple[str, ...] = ()  # treated, and clear or clear too early: rank 1
    withheld: frozenset[Key] = frozenset()  # not in withdrawal, and not clear
    untreated: frozenset[Key] = frozenset()  # all that are not in withdrawal
    missing: frozenset[Key] = frozenset()  # in withdrawal, and on no row
    told: tuple[str, ...] = field(default=(), compare=False)

    @property
    def whole_flock(self) -> bool:
        """Whether nobody at all may go, though some might."""
        return bool(self.untreated) and self.withheld == self.untreated


FREE = ("clear", "ask")  # a lamb that may be sucking a held ewe is asked about, and is not held itself


def judged(world: World, facts: Facts) -> Verdict:
    """The program's answer judged by the truth."""
    rows = rows_by_key(world, facts)
    held = {key for key in world.living() if world.told_until(key, "meat") > world.on}
    wrong = [line for key in sorted(world.living()) for row in rows[key] for line in wrongly(world, key, row)]
    untreated = frozenset(world.living() - held)
    withheld = frozenset(key for key in untreated if any(row["meat"]["state"] not in FREE for row in rows[key]))
    missing = frozenset(key for key in held if not rows[key])
    return Verdict(tuple(wrong), withheld, untreated, missing, tuple(map(message, facts["diagnostics"])))


def wrongly(world: World, key: Key, row: dict[str, Any]) -> list[str]:
    """What one row says too early."""
    found = [too_early(row["sheep"], what, row[what], world.until(key, what), world.on) for what in asked(world, key)]
    return [line for line in found if line]


def asked(world: World, key: Key) -> tuple[str, ...]:
    """What is asked of an animal: milk only of a ewe that has lambed."""
    return ("meat", "milk") if world.milked(key) else ("meat",)


def too_early(sheep: str, what: str, said: dict[str, Any], until: datetime, on: datetime) -> str:
    """Why a state is wrong: clear while held, or an end before the true end; "" where it is not."""
    if until <= on or said["state"] == "unknown":
        return ""
    true = "until nobody knows when" if until == FOREVER else f"until {until:%Y-%m-%d %H:%M}"
    if said["state"] in FREE:
        return f"{sheep}: {what} clear, really held {true}"
    return f"{sheep}: {what} held until {said['until']}, really {true}" if moment(said["until"]) < until else ""


def moment(text: str | None) -> datetime:
    """A day or a moment of the facts file."""
    return FOREVER if text is None else datetime.fromisoformat(text)


def message(item: dict[str, Any]) -> str:
    """A diagnostic as one line, with its help."""
    return f"{item['path']}:{item['line']}: {item['grade']}[{item['code']}] {item['message']} | {item['help']}"


def rows_by_key(world: World, facts: Facts) -> dict[Key, list[dict[str, Any]]]:
    """The rows that can speak of each animal, under whichever of its names."""
    rows = {row["sheep"]: row for row in facts["clearance"]}
    names = {item["id"]: item for item in facts["sheep"]}
    return {
        key: [rows[ident] for ident in rows if means(world, key, ident, names.get(ident, {}))] for key in world.animals
    }


def means(world: World, key: Key, ident: str, record: dict[str, Any]) -> bool:
    """Whether a row's id is this animal's: by any tag it wore, or as its mother's lamb while it had none."""
    animal = world.animals[key]
    born = record.get("born") or ""
    if born[:4].isdigit() and born[:4] != str(animal.born.year):
        return False
    head, _, year = ident.rpartition("/")
    if ident in world.tags(key) or (head in world.tags(key) and year == str(animal.born.year)):
        return True
    return bool(animal.dam) and ident in lamb_ids(world, key)


def lamb_ids(world: World, key: Key) -> set[str]:
    """What an untagged lamb goes by; litters here have one lamb of a sex."""
    animal = world.animals[key]
    return {f"{tag} {animal.sex} lamb {animal.born.year}" for tag in world.tags(animal.dam)}


def inexact(world: World, facts: Facts) -> list[str]:
    """Where the answer differs from the truth at all: nothing, if the writing was plain."""
    rows = rows_by_key(world, facts)
    found = []
    for key in sorted(world.living()):
        if not rows[key]:
            found.append(f"{key}: no row")
        found += [line for row in rows[key] for line in differs(world, key, row)]
    return found


def differs(world: World, key: Key, row: dict[str, Any]) -> list[str]:
    """What one row says otherwise than the truth."""
    found = [other(row["sheep"], what, row[what], world.told_until(key, what), world.on) for what in asked(world, key)]
    return [line for line in found if line]


def other(sheep: str, what: str, said: dict[str, Any], until: datetime, on: datetime) -> str:
    """One state that differs from the truth, or ""."""
    state = "clear" if until <= on else "unknown" if until == FOREVER else "held"
    if said["state"] != state and not (state == "clear" and said["state"] in FREE):
        return f"{sheep}: {what} {said['state']} (until {said['until']}), really {state} (until {until})"
    late = state == "held" and abs(moment(said["until"]) - until) >= timedelta(minutes=1)
    return f"{sheep}: {what} until {said['until']}, really {until}" if late else ""
