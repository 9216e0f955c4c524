"""How close two sheep are, and how inbred a lamb is or would be, from the recorded pedigree.

Everything counts back to animals without known parents, which are taken as unrelated and not inbred. So a low figure
is only as good as the pedigree behind it: show `generations_known` beside it, and say which animals are doubted.

Relationship is the numerator relationship a of Wright and Henderson (1 + F with oneself, 0.5 with a parent that is not
inbred); the inbreeding F of a lamb is half the relationship of its parents. Both are shares, 0 to 1 (a: 0 to 2).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import heappop, heappush
from itertools import product

from compiler.shape import Value
from flockbook.derive.family.pedigree import (
    NO_PARENT,
    FaultKind,
    Link,
    Parentage,
    Pedigree,
    PedigreeFault,
    generations_known,
    order_pedigree,
    pedigree_depth,
    unknown_parents,
)

__all__ = [
    "CommonAncestor",
    "FaultKind",
    "Link",
    "Pairing",
    "Parentage",
    "Pedigree",
    "PedigreeFault",
    "common_ancestors",
    "effective_size",
    "generations_known",
    "inbreeding",
    "inbreeding_rate",
    "inverse_relationship",
    "kinship_grid",
    "order_pedigree",
    "pedigree_depth",
    "relationship",
    "relationships",
    "sampling_variances",
    "unknown_parents",
]


class Pairing(Value):
    """A ram, a ewe, and the inbreeding (0–1) their lamb would have."""

    ram: str
    ewe: str
    inbreeding: float


class CommonAncestor(Value):
    """An animal both parents go back to, and its part (0–1) of the inbreeding of their lamb."""

    ancestor: str
    inbreeding: float


def inbreeding(pedigree: Pedigree) -> dict[str, float]:
    """F (0–1) of every animal; 0 where a parent is unknown. Memory grows with the number of animals only.

    Source: Meuwissen & Luo 1992, Genet. Sel. Evol. 24:305–313.
    """
    return dict(zip(pedigree.ids, _coefficients(pedigree, range(len(pedigree.ids))), strict=False))


def relationship(pedigree: Pedigree, a: str, b: str) -> float:
    """The relationship of two animals; 1 + F of an animal with itself. Raises KeyError for an id not in the
    pedigree.
    """
    return relationships(pedigree, [(a, b)])[0]


def relationships(pedigree: Pedigree, pairs: Sequence[tuple[str, str]]) -> tuple[float, ...]:
    """The relationship of each pair, in their order. Costs one pass over their ancestors per different first animal."""
    lines = _ancestry(pedigree, {animal for pair in pairs for animal in pair})
    inbred = _coefficients(pedigree, lines)
    column = {a: _relatives(pedigree, inbred, lines, pedigree.find(a)) for a in {a for a, _ in pairs}}
    return tuple(column[a][pedigree.find(b)] for a, b in pairs)


def kinship_grid(pedigree: Pedigree, rams: Sequence[str], ewes: Sequence[str]) -> tuple[Pairing, ...]:
    """The inbreeding of the lamb of every ram with every ewe, ram by ram. Raises KeyError for an unheard-of id."""
    pairs = list(product(rams, ewes))
    related = relationships(pedigree, pairs)
    return tuple(Pairing(ram, ewe, a / 2) for (ram, ewe), a in zip(pairs, related, strict=True))


def common_ancestors(pedigree: Pedigree, sire: str, dam: str) -> tuple[CommonAncestor, ...]:
    """Where the inbreeding of a lamb of these two would come from, largest part first; the parts add up to its F.

    Each part is Wright's sum over the paths from sire to dam that turn at that ancestor, (1/2)^(n1+n2+1) (1 + F). For
    the few pairings that need explaining: the work grows with the square of the number of ancestors.
    """
    lines = _ancestry(pedigree, {sire, dam})
    pair = pedigree.find(sire), pedigree.find(dam)
    parts = _turning_points(pedigree, _coefficients(pedigree, lines), lines, pair)
    return tuple(sorted(parts, key=lambda part: (-part.inbreeding, part.ancestor)))


def effective_size(rams: int, ewes: int) -> float:
    """4 Nm Nf / (Nm + Nf): the flock with equal sexes that would lose variety as fast. 0 where one sex is missing.

    Source: FAO, The State of the World's Animal Genetic Resources. Raises ValueError for a negative count.
    """
    if rams < 0 or ewes < 0:
        raise ValueError(f"a flock cannot have {rams} rams and {ewes} ewes")
    return 4 * rams * ewes / (rams + ewes) if rams and ewes else 0.0


def inbreeding_rate(size: float) -> float | None:
    """The expected rise of inbreeding (0–1) per generation at an effective size, 1 / 2Ne; None for a size of 0."""
    return 1 / (2 * size) if size else None


def sampling_variances(pedigree: Pedigree, inbred: Mapping[str, float]) -> tuple[float, ...]:
    """The part of each animal's genetic variance its parents leave open (D of A = TDT'), in the order of `ids`.

    Both parents known ½ − ¼(F_s + F_d), one known ¾ − ¼F, none 1; `inbred` is F by id.
    Source: Mrode, Linear Models for the Prediction of Animal Breeding Values, ch. 2.
    """
    known = [
        *(inbred[animal] for animal in pedigree.ids),
        -1.0,
    ]  # -1 makes an unknown parent leave all of its half open
    return tuple(_open(known, pair) for pair in zip(pedigree.sires, pedigree.dams, strict=True))


def inverse_relationship(pedigree: Pedigree, inbred: Mapping[str, float]) -> Iterator[tuple[int, int, float]]:
    """The inverse of the relationship matrix as (row, column, value) by position; entries of one cell add up.

    Source: rules of Henderson 1976 and Quaas 1976, as in Mrode ch. 2: 1/D to (i,i), −1/2D to (i, parent), 1/4D to
    (parent, parent).
    """
    variances = sampling_variances(pedigree, inbred)
    for i, (sire, dam, variance) in enumerate(zip(pedigree.sires, pedigree.dams, variances, strict=True)):
        parts = [(i, 1.0), *((parent, -0.5) for parent in (sire, dam) if parent != NO_PARENT)]
        for (row, a), (column, b) in product(parts, repeat=2):
            yield row, column, a * b / variance


def _coefficients(pedigree: Pedigree, lines: Iterable[int]) -> list[float]:
    """F by position for `lines` (ascending, with all their ancestors) and 0 elsewhere; −1 last, the unknown parent."""
    inbred = [*[0.0] * len(pedigree.ids), -1.0]
    variances = [1.0] * len(pedigree.ids)
    litters: dict[tuple[int, int], float] = {}
    for i in lines:
        parents = pedigree.sires[i], pedigree.dams[i]
        variances[i] = _open(inbred, parents)
        if NO_PARENT in parents:
            continue
        if parents not in litters:
            litters[parents] = _with_itself(pedigree, variances, i) - 1
        inbred[i] = litters[parents]
    return inbred


def _open(inbred: Sequence[float], parents: tuple[int, int]) -> float:
    return 0.5 - 0.25 * (inbred[parents[0]] + inbred[parents[1]])


def _with_itself(pedigree: Pedigree, variances: Sequence[float], animal: int) -> float:
    """a_ii: the squared share of every ancestor times what its own parents leave open, youngest ancestor first."""
    share, waiting, total = {animal: 1.0}, [-animal], 0.0
    while waiting:
        i = -heappop(waiting)
        part = share.pop(i)
        total += part * part * variances[i]
        for parent in (pedigree.sires[i], pedigree.dams[i]):
            if parent in share:
                share[parent] += part / 2
            elif parent != NO_PARENT:
                share[parent] = part / 2
                heappush(waiting, -parent)
    return total


def _ancestry(pedigree: Pedigree, animals: Iterable[str]) -> list[int]:
    """Positions of these animals and of all their ancestors, parents first."""
    waiting = [pedigree.find(animal) for animal in animals]
    found = {NO_PARENT}
    while waiting:
        i = waiting.pop()
        if i not in found:
            found.add(i)
            waiting += pedigree.sires[i], pedigree.dams[i]
    return sorted(found - {NO_PARENT})


def _relatives(pedigree: Pedigree, inbred: Sequence[float], lines: Sequence[int], animal: int) -> list[float]:
    """The relationship of one animal with all of `lines`, by position: T D T' times its unit vector, in two passes.

    Source: Colleau 2002, Genet. Sel. Evol. 34:409–421.
    """
    sires, dams = pedigree.sires, pedigree.dams
    share, related = [0.0] * len(inbred), [0.0] * len(inbred)  # the last of each stands for an unknown parent
    share[animal] = 1.0
    for i in reversed(lines):
        share[sires[i]] += share[i] / 2
        share[dams[i]] += share[i] / 2
    for i in lines:
        related[i] = share[i] * _open(inbred, (sires[i], dams[i])) + (related[sires[i]] + related[dams[i]]) / 2
    return related


def _turning_points(
    pedigree: Pedigree, inbred: Sequence[float], lines: Sequence[int], pair: tuple[int, int]
) -> Iterator[CommonAncestor]:
    """Follow both lines back, always from the younger animal, until they meet: what each meeting place adds to F."""
    ahead: defaultdict[int, defaultdict[int, float]] = defaultdict(lambda: defaultdict(float))
    ahead[max(pair)][min(pair)] = 1.0
    for young in reversed(lines):
        parents = [parent for parent in (pedigree.sires[young], pedigree.dams[young]) if parent != NO_PARENT]
        meeting = ahead[young].pop(young, 0.0)
        if meeting:
            yield CommonAncestor(pedigree.ids[young], meeting * (1 + inbred[young]) / 2)
        for (old, part), parent in product(ahead.pop(young).items(), parents):
            ahead[max(old, parent)][min(old, parent)] += part / 2
