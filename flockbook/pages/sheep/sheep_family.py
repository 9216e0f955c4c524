"""A sheep's family on its page: three generations of ancestors, and everything that descends from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from compiler.shape import Value
from flockbook.derive.breeding.mating import sires
from flockbook.flock import Animal, there
from flockbook.measures import in_hundred
from flockbook.pages.views import Cell, Column, Directory, Pair, Row, Table, Tag, day
from flockbook.pages.wording import day_words
from flockbook.seen import Seen

GENERATIONS = 3
MOST_KIN_TAGS = 40  # descendants of one generation that are shown by their tags; more are only counted
PARENT_NOT_KNOWN = "not known"
ROLES = {1: "lambs", 2: "their lambs"}

Offspring = Mapping[str, tuple[str, ...]]


class Relative(Value):
    """A parent and its own parents; one that no note names is `not known` and has none."""

    role: str
    sheep: Tag
    parents: tuple[Relative, ...] = ()


class FamilyView(Value):
    """Ancestors, how inbred the sheep is as far as they are known, and its descendants by generation."""

    parents: tuple[Relative, ...]
    inbreeding: str
    descendants: Table


def family_view(seen: Seen, tags: Directory, animal: Animal, young: Offspring) -> FamilyView:
    """One sheep's family."""
    before, after = ancestors(seen, tags, animal, GENERATIONS), descendants(seen, tags, animal, young)
    return FamilyView(before, inbreeding_words(seen, animal), after)


def ancestors(seen: Seen, tags: Directory, animal: Animal, steps: int) -> tuple[Relative, ...]:
    """Dam and sire, and theirs, as far as `steps` go."""
    if steps == 0:
        return ()
    fathers = sires(seen.facts.breeding.matings, animal)
    father = fathers[0] if len(fathers) == 1 else None
    names = [seen.linked.animals[ram].called for ram in fathers] or list(animal.sire_names)
    return (
        relative(seen, tags, Parent("dam", animal.dam, animal.dam_name or ""), steps),
        relative(seen, tags, Parent("sire", father, " or ".join(names)), steps),
    )


class Parent(Value):
    """A dam or a sire: its id where it is in the book (None where it is not), and its name as written."""

    role: str
    sheep: str | None
    name: str


def relative(seen: Seen, tags: Directory, parent: Parent, steps: int) -> Relative:
    """One parent: an animal of the book, else its name as written, else not known."""
    if parent.sheep is None:
        return Relative(parent.role, Tag("", parent.name or PARENT_NOT_KNOWN, "", "untagged"))
    further = ancestors(seen, tags, seen.linked.animals[parent.sheep], steps - 1)
    return Relative(parent.role, tags.tag(parent.sheep), further)


def inbreeding_words(seen: Seen, animal: Animal) -> str:
    """How inbred the sheep is, and on how much of a pedigree that rests."""
    family = seen.facts.family.kin
    share, known = family.inbreeding.get(animal.id), family.generations.get(animal.id, 0.0)
    if share is None:
        return ""
    words = f"Inbreeding {in_hundred(share, 1)}\u00a0%, on {known:.1f} generations known."
    return f"{words} What is not known counts as unrelated."


def offspring(seen: Seen) -> Offspring:
    """The lambs of every sheep: those that a ewe bore, and those that can be no other ram's."""
    found: dict[str, list[str]] = {}
    for animal in seen.linked.animals.values():
        if animal.born is None or animal.born.earliest <= seen.today.day:
            rams = sires(seen.facts.breeding.matings, animal)
            parents = (animal.dam, rams[0] if len(rams) == 1 else None)
            for parent in filter(None, parents):
                found.setdefault(parent, []).append(animal.id)
    return {parent: tuple(sorted(lambs)) for parent, lambs in found.items()}


def descendants(seen: Seen, tags: Directory, animal: Animal, young: Offspring) -> Table:
    """Every generation that descends from a sheep: how many there were, and who is here."""
    columns = (Column("Descendants"), Column("Born", "number"), Column("Here", "number"), Column("Who", wide=True))
    rows = []
    for place, level in enumerate(generations(animal.id, young), 1):
        here = [lamb for lamb in level if there(seen.linked.animals[lamb], seen.today)]
        who: Cell = tags.tags(here) if len(here) <= MOST_KIN_TAGS else "too many to name here"
        role = ROLES.get(place, f"{place} generations on")
        rows.append(Row((role, len(level), len(here), who if here else "nobody")))
    return Table(columns, tuple(rows), "No descendant is written.")


def generations(sheep: str, young: Offspring) -> Iterator[list[str]]:
    """The lambs of a sheep, then theirs, and so on; whoever descends in two ways stands in the nearer generation."""
    met, level = {sheep}, [sheep]
    while level := [lamb for lamb in next_of(level, young) if lamb not in met]:
        met.update(level)
        yield level


def next_of(level: Iterable[str], young: Offspring) -> Iterator[str]:
    """The lambs of several sheep, each once."""
    yield from dict.fromkeys(lamb for sheep in level for lamb in young.get(sheep, ()))


def came_pairs(animal: Animal) -> tuple[Pair, ...]:
    """Whom a hired ram belongs to, and when he stood here; when a sheep was bought."""
    told = [
        f"{f'from {note.from_}, ' if note.from_ else ''}{day_words(note.date) if note.date else 'no day'} to "
        f"{day_words(note.until) if note.until else 'no day written yet'}"
        for note in animal.hires
    ]
    hired = (Pair("Hired", "; ".join(told), wide=True),) if told else ()
    came = None if animal.lent else animal.bought_on or animal.arrived
    return (*hired, Pair("Bought", day(came) or "")) if came else hired
