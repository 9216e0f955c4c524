"""Who is wrongly clear after damage to one note."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from random import Random

from compiler.diagnostics import Grade
from flockbook.seen import Seen
from tests.damage.scenes import ON, Scene
from tests.damage.variants import damaged
from tests.flockbook.small import read, unchecked


@dataclass(frozen=True)
class Case:
    """One note of a scene, damaged."""

    scene: Scene
    path: str
    text: bytes

    @property
    def notes(self) -> dict[str, str | bytes]:
        """The folder with the damaged note in it."""
        return {**self.scene.notes, self.path: self.text}


def chosen(scenes: Sequence[Scene], count: int, seed: int) -> list[Case]:
    """So many cases drawn by lot, as many from each note as from the next; all of them for nought."""
    heaps = [[case for case in cases(scene) if case.path == path] for scene in scenes for path in scene.notes]
    share = -(-count // len(heaps))
    lot = Random(seed)
    return [case for heap in heaps for case in (lot.sample(heap, min(share, len(heap))) if count else heap)]


def cases(scene: Scene) -> Iterator[Case]:
    """Every note of a scene with every damage."""
    for path, text in scene.notes.items():
        yield from (Case(scene, path, variant) for variant in damaged(text.encode()) if variant != text.encode())


def grave(seen: Seen) -> list[str]:
    """The messages that say something was not read, or must be confirmed."""
    return [
        f"{item.span.path}: {item.code} {item.message}"
        for item in seen.diagnostics
        if item.grade in (Grade.ERROR, Grade.ASK)
    ]


@cache
def held(scene: Scene) -> frozenset[tuple[str, str]]:
    """Of whom, dosed in a scene, the meat or the milk is held while nothing is damaged."""
    before = states(unchecked(scene.notes, ON))
    return frozenset(key for key, state in before.items() if key[0] in scene.dosed and state == "held")


def states(seen: Seen) -> dict[tuple[str, str], str]:
    """`clear`, `held` or `unknown`, by sheep and by meat and milk."""
    rows = seen.facts.medicine.guard.standing.items()
    return {(name, use): getattr(row, use).state for name, row in rows for use in ("meat", "milk")}


def wrongly_clear(case: Case) -> list[str]:
    """Animals really dosed that are shown clear, although the folder was not read without an error or an ask.

    A scene is without either when it is whole; so one that stands there now, in whatever note, was made by the damage.
    The checks take the longest and only add messages: they are asked when somebody is clear.
    """
    now = states(unchecked(case.notes, ON))
    clear = sorted({name for name, use in held(case.scene) if now.get((name, use)) == "clear"})
    return clear if clear and grave(read(case.notes, ON)) else []


def told(case: Case, wrong: list[str]) -> str:
    """One failure, with all that is needed to see it again."""
    said = "; ".join(grave(read(case.notes, ON)))
    return f"{case.scene.name} | {case.path}\n    {case.text!r}\n    clear: {', '.join(wrong)}\n    said: {said}"
