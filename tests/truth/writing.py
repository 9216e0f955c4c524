"""One writing: a world in which the scenarios of one or two ways happen, and the folder that those ways make of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from tests.truth.plain import Files, written
from tests.truth.scenarios import SCENARIOS, world_of
from tests.truth.ways import Way, first_scene, patched
from tests.truth.world import Unfit, World


@dataclass(frozen=True)
class Writing:
    """A world written down."""

    ways: tuple[Way, ...]
    seed: int
    world: World
    idents: tuple[str, ...]  # the dose that each way is about

    def chance(self, way: Way) -> Random:
        """The chance of one way: always the same."""
        return Random(f"{way.name} {self.seed}")

    def files(self) -> Files:
        """The folder as these ways leave it."""
        return self._files

    @cached_property
    def _files(self) -> Files:
        files = self.plain()
        paths: dict[str, tuple[str, ...]] = {}
        touched: set[str] = set()
        for way, ident in zip(self.ways, self.idents, strict=True):
            scene = first_scene(self.world, ident, self.chance(way))
            try:
                patch = way.make(replace(scene, files=files, paths=paths.get(ident, scene.paths)))
            except KeyError as missing:
                raise Unfit(f"no plain note of {missing}") from missing
            files = patched(files, patch)
            if touched & set(patch) - {"flock.yaml"} and way.place != "file":
                raise Unfit("two ways write one file")
            touched |= set(patch)
            if way.place != "around":
                paths[ident] = tuple(path for path, content in patch.items() if content is not None)
        return files

    def plain(self) -> Files:
        """The folder as it should have been written."""
        return written(self.world).files

    @property
    def title(self) -> str:
        """The names of its ways."""
        return " + ".join(way.name for way in self.ways)


def single(way: Way, seed: int) -> Writing:
    """One way in a world of its own."""
    world, idents = world_of((way.of,), seed)
    return Writing((way,), seed, world, idents)


def pair(first: Way, second: Way, seed: int) -> Writing:
    """Two ways: on the same dose where the second reworks the file that the first made, else on two doses."""
    if second.place == "file":
        world, idents = world_of((first.of,), seed)
        return Writing((first, second), seed, world, idents * 2)
    world, idents = world_of((first.of, second.of), seed)
    return Writing((first, second), seed, world, idents)


def fits(first: Way, second: Way) -> bool:
    """Whether two ways can stand in one world: whoever cannot be found out stands alone, and a year has one season."""
    alone = first.otherwise or second.otherwise or first.place == "file" or first.name == second.name
    return not alone and SCENARIOS[first.of].day == SCENARIOS[second.of].day


def pairs(ways: list[Way], chance: Random) -> Iterator[tuple[Way, Way]]:
    """Pairs at random, without an end."""
    while True:
        first, second = chance.choice(ways), chance.choice(ways)
        if fits(first, second):
            yield first, second
