"""Who is out of whom: parents put in order, with every impossible link taken out and reported.

A link is impossible where it contradicts itself: an animal entered twice with different parents, an animal as its own
parent or its own ancestor, one animal as both parents of a lamb, one animal as sire here and as dam there. Nothing
says which of the contradicting links is the slip, so all of them are dropped: those parents count as unknown, and
the animals that lost a parent, with everything bred from them, are listed as doubted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import Enum, auto
from operator import attrgetter, itemgetter
from types import MappingProxyType
from typing import TypeVar

from compiler.shape import Value

Item = TypeVar("Item")

NO_PARENT = -1  # the position of an unknown parent


class Parentage(Value):
    """One animal and its parents by id; None (or an empty id) is an unknown parent."""

    id: str
    sire: str | None = None
    dam: str | None = None


class FaultKind(Enum):
    """What is wrong with a set of links."""

    ENTERED_TWICE = auto()
    OWN_PARENT = auto()
    ONE_PARENT_TWICE = auto()
    SIRE_AND_DAM = auto()
    OWN_ANCESTOR = auto()


class Link(Value, order=True):
    """`parent` as the sire or the dam of `animal`."""

    animal: str
    role: str
    parent: str


class PedigreeFault(Value):
    """One contradiction: the animals it is about, and the links dropped for it (none if two entries agree)."""

    kind: FaultKind
    animals: tuple[str, ...]
    dropped: tuple[Link, ...]


class Pedigree(Value):
    """Animals in an order where parents stand before lambs; made by `order_pedigree` only.

    `sires` and `dams` hold the position of each animal's parents in `ids`, `UNKNOWN` where not known. `position` finds
    an id again. `doubted` holds the ids that lost a parent to a fault, and all their descendants.
    """

    ids: tuple[str, ...]
    sires: tuple[int, ...]
    dams: tuple[int, ...]
    doubted: frozenset[str]
    position: Mapping[str, int]

    def find(self, animal: str) -> int:
        """The position of an animal. Raises KeyError, naming it, for an id the pedigree has never heard of."""
        if animal not in self.position:
            raise KeyError(f"{animal} is not in the pedigree")
        return self.position[animal]


def order_pedigree(entries: Iterable[Parentage]) -> tuple[Pedigree, tuple[PedigreeFault, ...]]:
    """Order animals so that parents come first: by the longest known line behind them, then by id.

    The result does not depend on the order of the entries. A parent without an entry of its own joins as an animal
    with unknown parents. Never raises: a link that cannot be true is dropped and stands in a fault.
    """
    animals, links, faults = _merge(entries)
    for rule in PEDIGREE_TESTS:
        found = tuple(sorted(rule(links), key=attrgetter("animals")))
        links -= _dropped(found)
        faults += found
    return _ordered(animals, links, _dropped(faults)), faults


def unknown_parents(pedigree: Pedigree) -> dict[str, int]:
    """How many of each animal's two parents are not known: 0, 1 or 2."""
    pairs = zip(pedigree.ids, pedigree.sires, pedigree.dams, strict=True)
    return {animal: (sire == NO_PARENT) + (dam == NO_PARENT) for animal, sire, dam in pairs}


def pedigree_depth(pedigree: Pedigree) -> dict[str, int]:
    """The longest known line behind each animal, in generations: 0 with no known parent, 1 with no grandparent."""
    depth = [*[0] * len(pedigree.ids), NO_PARENT]  # the last stands for an unknown parent
    for i, (sire, dam) in enumerate(zip(pedigree.sires, pedigree.dams, strict=True)):
        depth[i] = 1 + max(depth[sire], depth[dam])
    return dict(zip(pedigree.ids, depth, strict=False))


def generations_known(pedigree: Pedigree) -> dict[str, float]:
    """How many complete generations the known pedigree of each animal is worth.

    The sum over all known ancestors of one half per generation between: both parents make 1, all four grandparents
    another 1, one known parent alone 0.5. An inbreeding of 0 means little where this is small. The usual definition of
    complete-generation equivalents (Boichard, Maignel & Verrier 1997, Genet. Sel. Evol. 29:5–23; from memory).
    """
    known = [*[0.0] * len(pedigree.ids), -1.0]  # the last stands for an unknown parent, and cancels its own half
    for i, (sire, dam) in enumerate(zip(pedigree.sires, pedigree.dams, strict=True)):
        known[i] = (1 + known[sire]) / 2 + (1 + known[dam]) / 2
    return dict(zip(pedigree.ids, known, strict=False))


def _merge(entries: Iterable[Parentage]) -> tuple[set[str], set[Link], tuple[PedigreeFault, ...]]:
    """All animals, the links that no other entry contradicts, and a fault for every animal entered more than once."""
    together: dict[str, list[Parentage]] = {}
    for entry in entries:
        together.setdefault(entry.id, []).append(entry)
    links = {link for several in together.values() for entry in several for link in _links(entry)}
    faults = tuple(_twice(several) for _, several in sorted(together.items()) if len(several) > 1)
    return {*together, *(link.parent for link in links)}, links - _dropped(faults), faults


def _links(entry: Parentage) -> Iterator[Link]:
    if entry.sire:
        yield Link(entry.id, "sire", entry.sire)
    if entry.dam:
        yield Link(entry.id, "dam", entry.dam)


def _twice(several: list[Parentage]) -> PedigreeFault:
    """Entries must agree on a parent, also on its being unknown: a link that is not in all of them is dropped."""
    said = Counter(link for entry in several for link in _links(entry))
    return _fault(FaultKind.ENTERED_TWICE, [several[0].id], [link for link in said if said[link] < len(several)])


def _own_parents(links: set[Link]) -> Iterator[PedigreeFault]:
    wrong = [link for link in links if link.animal == link.parent]
    for animal, own in _grouped((link.animal, link) for link in wrong):
        yield _fault(FaultKind.OWN_PARENT, [animal], own)


def _one_parent_twice(links: set[Link]) -> Iterator[PedigreeFault]:
    for animal, own in _grouped((link.animal, link) for link in links):
        if len(own) == 2 and own[0].parent == own[1].parent:
            yield _fault(FaultKind.ONE_PARENT_TWICE, [animal, own[0].parent], own)


def _both_roles(links: set[Link]) -> Iterator[PedigreeFault]:
    for parent, own in _grouped((link.parent, link) for link in links):
        if len({link.role for link in own}) == 2:
            yield _fault(FaultKind.SIRE_AND_DAM, [parent], own)


def _circles(links: set[Link]) -> Iterator[PedigreeFault]:
    """Each knot of animals that are ancestors of one another: every link inside it is dropped."""
    knot = _knots(links)
    inside = [link for link in links if knot[link.animal] == knot[link.parent]]
    for _, own in _grouped((knot[link.animal], link) for link in inside):
        yield _fault(FaultKind.OWN_ANCESTOR, {link.animal for link in own}, own)


PEDIGREE_TESTS: tuple[Callable[[set[Link]], Iterator[PedigreeFault]], ...] = (
    _own_parents,
    _one_parent_twice,
    _both_roles,
    _circles,
)


def _knots(links: set[Link]) -> dict[str, str]:
    """Each animal's strongly connected component, named by one of its members (Kosaraju's two searches)."""
    up = _grouped((link.animal, link.parent) for link in links)
    down = dict(_grouped((link.parent, link.animal) for link in links))
    lambs_last = _parents_first((animal for animal, _ in up), dict(up), set())
    visited: set[str] = set()
    knots = ((start, _parents_first([start], down, visited)) for start in reversed(lambs_last))
    return {animal: start for start, members in knots for animal in members}


def _parents_first(starts: Iterable[str], up: Mapping[str, list[str]], visited: set[str]) -> list[str]:
    """Everything reached from `starts`, each after all it leads to; adds it to `visited`, and skips what is there."""
    finished: list[str] = []
    for start in starts:
        stack = [] if start in visited else [(start, iter(up.get(start, ())))]
        visited.add(start)
        while stack:
            fresh = next((other for other in stack[-1][1] if other not in visited), None)
            if fresh is None:
                finished.append(stack.pop()[0])
            else:
                visited.add(fresh)
                stack.append((fresh, iter(up.get(fresh, ()))))
    return finished


def _ordered(animals: set[str], links: set[Link], dropped: set[Link]) -> Pedigree:
    up = dict(_grouped((link.animal, link.parent) for link in links))
    doubted = {link.animal for link in dropped}
    depth: dict[str, int] = {}
    for animal in _parents_first(animals, up, set()):
        parents = up.get(animal, ())
        depth[animal] = max((1 + depth[parent] for parent in parents), default=0)
        if not doubted.isdisjoint(parents):
            doubted.add(animal)
    ids = tuple(sorted(animals, key=lambda animal: (depth[animal], animal)))
    position = {animal: i for i, animal in enumerate(ids)}
    sire, dam = ({e.animal: position[e.parent] for e in links if e.role == role} for role in ("sire", "dam"))
    sires, dams = (tuple(known.get(animal, NO_PARENT) for animal in ids) for known in (sire, dam))
    return Pedigree(ids, sires, dams, frozenset(doubted), MappingProxyType(position))


def _grouped(pairs: Iterable[tuple[str, Item]]) -> list[tuple[str, list[Item]]]:
    """Values by key, keys in order."""
    groups: dict[str, list[Item]] = {}
    for key, value in pairs:
        groups.setdefault(key, []).append(value)
    return sorted(groups.items(), key=itemgetter(0))


def _dropped(faults: Iterable[PedigreeFault]) -> set[Link]:
    return {link for fault in faults for link in fault.dropped}


def _fault(kind: FaultKind, animals: Iterable[str], dropped: Iterable[Link]) -> PedigreeFault:
    return PedigreeFault(kind, tuple(sorted(animals)), tuple(sorted(dropped)))
