"""What a way is, and the list of all of them.

A way is a function scene → patch (the scene holds the event and the chance): it takes the plain writing of one dose,
or of something around it, and gives the files as a tired person would have written them. It may lose form, never
meaning. To add one, write a function in the `ways_*` module of its family:

    @way("V2", of="pair", told="two tags with `and`")
    def head_and(scene: Scene) -> Patch:
        return scene.instead(scene.note.but(sheep=" and ".join(scene.tags), count=None))

`of` names the scenario (`scenarios.py`) that the way needs; `price` says whom the rules themselves withhold beyond
those treated, if anybody, and why; a place of "file" reworks the file that is there (so it pairs with any other way).
A rule of "beyond V5" and the like marks a way of which the rules say nothing, though a person would understand it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import TypeVar

from tests.truth.plain import Content, Files, Note, Plain, in_order, spoken, written
from tests.truth.world import Dosed, Happening, Key, Unfit, World, involved

H = TypeVar("H", bound=Happening)
T = TypeVar("T")
Patch = dict[str, Content | None]


@dataclass(frozen=True)
class Scene:
    """One dose in one world, its plain writing, and the folder as it stands now."""

    world: World
    ident: str
    plain: Plain
    files: Files
    paths: tuple[str, ...]
    chance: Random

    @property
    def dose(self) -> Dosed:
        """The dose."""
        return self.world.dose(self.ident)

    @property
    def note(self) -> Note:
        """Its plain note."""
        if self.ident not in self.plain.notes:
            raise Unfit("another way took this dose away")
        return self.plain.notes[self.ident]

    @property
    def bare(self) -> Note:
        """Its plain note without anybody named."""
        return self.note.but(sheep=None, count=None, mob=None)

    @property
    def keys(self) -> list[Key]:
        """Who was dosed, in order."""
        return in_order(self.world, self.dose.who)

    @property
    def tags(self) -> list[str]:
        """Those by their tags."""
        return [spoken(self.world, key, self.dose.at) for key in self.keys]

    @property
    def names(self) -> list[str]:
        """Those by name where they have one."""
        return [self.call(key) for key in self.keys]

    def call(self, key: Key) -> str:
        """Name, or tag where there is none."""
        return self.world.name(key, self.dose.at) or spoken(self.world, key, self.dose.at)

    def last(self, kind: type[H]) -> H:
        """The last happening of a kind that has to do with those dosed, else the last of all."""
        every = [item for item in self.world.happenings if isinstance(item, kind)]
        hers = [item for item in every if involved(item) & self.dose.who]
        return (hers or every)[-1]

    def instead(self, *notes: Note) -> Patch:
        """The dose told in these notes, and in no other."""
        return {**dict.fromkeys(self.paths), **{note.path: note.text for note in notes}}

    def raw(self, path: str, content: Content) -> Patch:
        """The dose told in one file of these bytes."""
        return {**dict.fromkeys(self.paths), path: content}

    def changed(self, ident: str, note: Note) -> Patch:
        """Another note than the dose's written otherwise."""
        return {self.plain.notes[ident].path: None, note.path: note.text}

    @property
    def settings(self) -> str:
        """What stands in flock.yaml."""
        return str(self.files["flock.yaml"])

    @property
    def path(self) -> str:
        """The file in which the dose is told now."""
        if not self.paths:
            raise Unfit("the dose stands in no file of its own")
        return self.paths[0]

    @property
    def text(self) -> str:
        """What stands in it."""
        content = self.files[self.path]
        if not isinstance(content, str):
            raise Unfit("the dose stands in no text")
        return content


Make = Callable[[Scene], Patch]
Otherwise = Callable[[Scene], World]


@dataclass(frozen=True)
class Way:
    """One way of writing."""

    name: str
    rule: str
    of: str
    told: str
    make: Make
    place: str = "dose"  # dose, around or file
    price: str = ""  # whom the rules withhold beyond those treated, and why; "" for nobody
    otherwise: Otherwise | None = None  # undetectable: the other truth whose plain writing these very files are


WAYS: dict[str, Way] = {}


def enter(made: Way) -> None:
    """Put a way on the list."""
    assert made.name not in WAYS, f"two ways are called {made.name}"
    WAYS[made.name] = made


def way(
    rule: str, *, of: str, told: str, place: str = "dose", price: str = "", otherwise: Otherwise | None = None
) -> Callable[[Make], Make]:
    """Put a function on the list under its own name."""

    def note(make: Make) -> Make:
        enter(Way(make.__name__, rule, of, told, make, place, price, otherwise))
        return make

    return note


def family(rule: str, *, of: str, price: str = "", place: str = "dose") -> Callable[[str, str, Make], None]:
    """A row of ways that differ in one thing: gives a function that enters one of them."""

    def note(name: str, told: str, make: Make) -> None:
        enter(Way(name, rule, of, told, make, place, price))

    return note


def using(value: T, make: Callable[[Scene, T], Patch]) -> Make:
    """A way of a row, with what is its own: `using("foot", lambda scene, word: …)`."""
    return lambda scene: make(scene, value)


def first_scene(world: World, ident: str, chance: Random) -> Scene:
    """The scene before any way has touched it."""
    plain = written(world)
    note = plain.notes.get(ident)
    return Scene(world, ident, plain, plain.files, (note.path,) if note else (), chance)


def patched(files: Files, patch: Patch) -> Files:
    """The folder with a patch on it."""
    return {path: content for path, content in {**files, **patch}.items() if content is not None}
