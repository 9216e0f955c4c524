"""The plain, correct writing of a world: all by their tags, one note for each thing, nothing left to guess."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime

from tests.truth.world import (
    Animal,
    Born,
    Bought,
    Dosed,
    Drafted,
    Fostered,
    Happening,
    Key,
    Left,
    Medicine,
    Renamed,
    Tagged,
    Weighed,
    World,
)


@dataclass(frozen=True)
class Link:
    """A symbolic link, where a file is expected."""

    target: str


Content = str | bytes | Link
Files = dict[str, Content]

SETTINGS = """flock: Nether Yarrow
units: metric
currency: GBP
dates: day-month
timezone: Europe/London
"""
WORDS = ("worms", "foot", "cough", "eyes", "scour", "lame")


@dataclass(frozen=True)
class Note:
    """A note by its parts, so that a way can change one of them."""

    path: str
    head: tuple[tuple[str, str], ...]
    body: str = ""

    @property
    def folder(self) -> str:
        """The folder it lies in."""
        return self.path.rpartition("/")[0]

    @property
    def file(self) -> str:
        """Its file name."""
        return self.path.rpartition("/")[2]

    @property
    def text(self) -> str:
        """The note as it stands in its file."""
        lines = "".join(f"{key}: {value}".rstrip() + "\n" for key, value in self.head)
        return f"---\n{lines}---\n{self.body}" if self.head else self.body

    def value(self, key: str) -> str:
        """One value of the head."""
        return dict(self.head)[key]

    def but(self, **changes: str | None) -> Note:
        """With other values; None drops a line, an underscore stands for a blank, a new key comes last."""
        wanted = {key.replace("_", " "): value for key, value in changes.items()}
        kept = [(key, wanted.pop(key, value)) for key, value in self.head]
        return replace(self, head=tuple((key, value) for key, value in (*kept, *wanted.items()) if value is not None))

    def keyed(self, old: str, new: str) -> Note:
        """With another key on a line."""
        return replace(self, head=tuple((new if key == old else key, value) for key, value in self.head))

    def saying(self, body: str) -> Note:
        """With another body."""
        return replace(self, body=body if body.endswith("\n") or not body else body + "\n")

    def filed(self, file: str) -> Note:
        """Under another file name."""
        return replace(self, path=f"{self.folder}/{file}")


@dataclass(frozen=True)
class Plain:
    """All notes of a world by what they are about: `sheep KEY`, `medicine NAME`, `mob NAME`, or a happening's name."""

    notes: dict[str, Note] = field(default_factory=dict)

    @property
    def files(self) -> Files:
        """The folder."""
        return {"flock.yaml": SETTINGS, **{note.path: note.text for note in self.notes.values()}}


def note_text(head: dict[str, str], body: str = "") -> str:
    """The text of a note that stands beside the plain ones."""
    return Note("", tuple(head.items()), body).text


def written(world: World) -> Plain:
    """The plain writing of a world."""
    notes: dict[str, Note] = {}
    for animal in world.animals.values():
        if not animal.dam and not animal.bought:
            notes[f"sheep {animal.key}"] = sheep_note(world, animal)
    notes.update({f"medicine {item.name}": medicine_note(item) for item in world.medicines.values()})
    notes.update({f"mob {name}": Note(f"mobs/{name}.md", (("note", "mob"), ("name", name))) for name in world.mobs})
    for item in world.happenings:
        note = event_note(world, item)
        if note is not None:
            notes[item.ident] = note
    return Plain(notes)


def sheep_note(world: World, animal: Animal) -> Note:
    """The note of an animal that has one."""
    name = world.name(animal.key)
    head = [("note", animal.sex), ("tag", animal.tag), ("name", name), ("born", animal.born.isoformat())]
    more = [("mob", animal.mob), ("official", animal.official), ("eid", animal.eid)]
    file = f"{animal.tag} {name}".strip().replace("/", "-")
    return Note(f"sheep/{file}.md", tuple((key, value) for key, value in head + more if value))


def medicine_note(item: Medicine) -> Note:
    """The note of a bottle."""
    head = [
        ("note", "medicine"), ("name", item.name), ("label rate", item.rate), ("meat withdrawal", item.meat.text),
        ("milk withdrawal", item.milk.text), ("source", "label"), ("checked", "2025-01-04"),
    ]  # fmt: skip
    return Note(f"medicines/{item.name}.md", tuple((key, value) for key, value in head if value))


def event_note(world: World, item: Happening) -> Note | None:
    """The note of a happening; None where the plain writing tells it elsewhere."""
    match item:
        case Dosed():
            return None if sellers(world, item) else treatment(world, item)
        case Drafted():
            return event(item.at, "draft", [*sheep_lines(world, item.who, item.at), ("into", item.into)])
        case Tagged():
            return event(item.at, "tagging", [], f"- {tagging_line(world, item)}\n")
        case Renamed():
            return None  # her own note says the newer name
        case Born():
            return event(item.at, "lambing", [("ewe", spoken(world, item.dam, item.at))], litter_lines(world, item))
        case Fostered():
            lamb, onto = spoken(world, item.lamb, item.at), spoken(world, item.onto, item.at)
            return event(item.at, "foster", [("lamb", lamb), ("onto", onto)])
        case Left():
            return leaving(world, item)
        case Bought():
            return purchase(world, item)
        case Weighed():
            lines = "".join(f"{spoken(world, key, item.at)} {kilos}\n" for key, kilos in item.kilos)
            return event(item.at, "weighing", [], lines)


def event(at: datetime, kind: str, head: list[tuple[str, str]], body: str = "") -> Note:
    """A note under the plain name of its day, time and kind."""
    path = f"events/{at:%Y}/{at:%Y-%m-%d %H%M} {kind}.md"
    return Note(path, (("note", kind), *head), body)


def treatment(world: World, dose: Dosed) -> Note:
    """The plain note of a dose."""
    subject = [("mob", dose.mob)] if dose.mob else sheep_lines(world, dose.who, dose.at)
    shape = "%Y-%m-%d %H:%M" if dose.timed else "%Y-%m-%d"
    given = ", ".join(moment.strftime(shape) for moment in dose.moments)
    head = [("note", "treatment"), *subject, ("medicine", dose.medicine), ("dose", dose.ml), ("given", given)]
    stamp = f"{dose.at:%Y-%m-%d %H%M}" if dose.timed else f"{dose.at:%Y-%m-%d}"
    word = WORDS[[item.ident for item in world.doses()].index(dose.ident) % len(WORDS)]
    return Note(f"events/{dose.at:%Y}/{stamp} treatment {word}.md", tuple(head))


def sheep_lines(world: World, who: frozenset[Key], at: datetime) -> list[tuple[str, str]]:
    """`sheep` and `count`."""
    return [("sheep", ", ".join(spoken(world, key, at) for key in in_order(world, who))), ("count", str(len(who)))]


def in_order(world: World, who: frozenset[Key]) -> list[Key]:
    """Keys in the order of the flock."""
    return [key for key in world.animals if key in who]


def spoken(world: World, key: Key, at: datetime) -> str:
    """What names it without a doubt on a day: its tag, with the year of birth where the tag was worn twice."""
    tag, animal = world.tag(key, at), world.animals[key]
    if not tag:
        return f"no {animal.paint}/{animal.born.year}"
    twice = any(tag in world.tags(other) for other in world.animals if other != key)
    return f"{tag}/{animal.born.year}" if twice else tag


def tagging_line(world: World, item: Tagged) -> str:
    """A first tag, or a new one for a lost one."""
    before = [tag for tag in world.tags(item.who) if tag != item.tag]
    if before:
        return f"{before[-1]} now {item.tag}"
    animal = world.animals[item.who]
    return f"no {animal.paint}/{animal.born.year} = {item.tag}"


def litter_lines(world: World, birth: Born) -> str:
    """A line for each lamb."""
    return "".join(f"- {lamb_line(world.animals[key])}\n" for key in birth.lambs)


def lamb_line(lamb: Animal) -> str:
    """One lamb, with its tag or its paint number."""
    mark = f"tag {lamb.tag}" if lamb.tag else f"no {lamb.paint}"
    return f"{lamb.sex} 4.{lamb.born.day % 10} kg, {mark}"


def leaving(world: World, item: Left) -> Note:
    """A death or a sale."""
    if item.dead:
        head = [("sheep", ", ".join(spoken(world, key, item.at) for key in item.who)), ("cause", "unknown")]
        return event(item.at, "death", head)
    return event(item.at, "sale", [*sheep_lines(world, item.who, item.at), ("to", "Hawick"), ("use", "store")])


def purchase(world: World, item: Bought) -> Note:
    """Bought sheep, a line each, with what their seller gave them before they came."""
    lines = "".join(f"- {bought_line(world, key, item.at)}\n" for key in in_order(world, item.who))
    head = [("from", "Over Yarrow"), ("into", item.into)]
    told = [dose for dose in world.doses() if sellers(world, dose) and dose.who <= item.who]
    head += [("treated", f"{dose.medicine}, {dose.moments[-1]:%Y-%m-%d}") for dose in told]
    return event(item.at, "purchase", head, lines)


def bought_line(world: World, key: Key, at: datetime) -> str:
    """One bought sheep."""
    animal = world.animals[key]
    words = f"{world.tag(key, at)} {world.name(key, at)}".strip()
    return f"{words}, {animal.sex}, born {animal.born.isoformat()}"


def sellers(world: World, dose: Dosed) -> bool:
    """Whether it was given before they came, by whoever sold them."""
    return not any(world.here(key, dose.at) for key in dose.who)
