"""Pedigree and inbreeding against textbook pedigrees, path counting, and typed notes."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path
from typing import Any

import networkx as nx
import numpy as np
import pytest

from flockbook.derive.family.kinship import (
    effective_size,
    inbreeding,
    inbreeding_rate,
    inverse_relationship,
    relationship,
)
from flockbook.derive.family.pedigree import Parentage, Pedigree, order_pedigree
from tests.flockbook.small import read

DATA = Path(__file__).parent / "data" / "ped44.csv"


def pedigree(*entries: tuple[str, str, str]) -> Pedigree:
    """A pedigree of (animal, sire, dam), "" for an unknown parent."""
    ordered, faults = order_pedigree([Parentage(animal, sire or None, dam or None) for animal, sire, dam in entries])
    assert faults == ()
    return ordered


MRODE = (("1", "", ""), ("2", "", ""), ("3", "1", "2"), ("4", "1", ""), ("5", "4", "3"), ("6", "5", "2"))


def test_mrodes_first_pedigree() -> None:
    """F5 = F6 = 0.125 and the printed relationships (Mrode, Linear Models, 3rd ed. 2014, Table 2.1 and p. 32)."""
    found = pedigree(*MRODE)
    assert inbreeding(found) == pytest.approx({"1": 0, "2": 0, "3": 0, "4": 0, "5": 0.125, "6": 0.125})
    printed = {("4", "5"): 0.625, ("1", "5"): 0.5, ("5", "5"): 1.125, ("5", "6"): 0.6875, ("3", "6"): 0.5625}
    for (one, other), value in printed.items():
        assert relationship(found, one, other) == pytest.approx(value)


# Printed percentages 25, 12.5, 6.25 (livestock probability page citing Boggess); the others follow by the tabular
# method.
@pytest.mark.parametrize(
    ("entries", "f"),
    [
        ((("d", "s", "x"), ("lamb", "s", "d")), 0.25),
        ((("r", "x", "d"), ("lamb", "r", "d")), 0.25),
        ((("a", "s", "m"), ("b", "s", "m"), ("lamb", "a", "b")), 0.25),
        ((("a", "s", "m"), ("b", "s", "n"), ("lamb", "a", "b")), 0.125),
        ((("a", "s", "m"), ("b", "a", "n"), ("lamb", "s", "b")), 0.125),
        ((("a", "s", "m"), ("b", "s", "m"), ("c", "b", "y"), ("lamb", "a", "c")), 0.125),
        (
            (("a", "s", "m"), ("b", "s", "m"), ("p", "t", "n"), ("q", "t", "n"), ("c", "a", "p"), ("d", "b", "q"),
             ("lamb", "c", "d")), 0.125,
        ),
        ((("m", "u", "v"), ("n", "u", "v"), ("a", "s", "m"), ("b", "s", "n"), ("lamb", "a", "b")), 0.1875),
        ((("a", "s", "m"), ("b", "s", "m"), ("c", "a", "x"), ("d", "b", "y"), ("lamb", "c", "d")), 0.0625),
        ((("a", "s", "m"), ("b", "s", "n"), ("c", "b", "y"), ("lamb", "a", "c")), 0.0625),
        ((("a", "s", "m"), ("b", "s", "n"), ("c", "a", "x"), ("d", "b", "y"), ("lamb", "c", "d")), 0.03125),
        (
            (("a", "s", "m"), ("b", "s", "m"), ("c", "a", "x"), ("d", "b", "y"), ("e", "c", "w"), ("f", "d", "z"),
             ("lamb", "e", "f")), 0.015625,
        ),
    ],
    ids=[
        "sire and daughter", "dam and son", "full sibs", "half sibs", "grandparent and grandchild", "uncle and niece",
        "double first cousins", "three-quarter sibs", "first cousins", "half-uncle and niece", "half first cousins",
        "second cousins",
    ],
)  # fmt: skip
def test_standard_matings(entries: tuple[tuple[str, str, str], ...], f: float) -> None:
    """F of the lamb of each textbook mating."""
    parents = {name for _, sire, dam in entries for name in (sire, dam)} - {animal for animal, _, _ in entries}
    found = pedigree(*((name, "", "") for name in sorted(parents)), *entries)
    assert inbreeding(found)["lamb"] == pytest.approx(f)


def test_a_ram_on_his_daughters_again_and_again() -> None:
    """0, 0.25, 0.375, 0.4375, 0.46875 on successive daughters (references, growth §3.3, by four methods)."""
    entries = [("s", "", ""), ("e0", "", "")] + [(f"e{n}", "s", f"e{n - 1}") for n in range(1, 6)]
    values = inbreeding(pedigree(*entries))
    assert [values[f"e{n}"] for n in range(1, 6)] == pytest.approx([0, 0.25, 0.375, 0.4375, 0.46875])


def seeded() -> list[tuple[str, str, str]]:
    """The 44-animal flock of the references."""
    with DATA.open() as file:
        rows = list(csv.reader(file))
    return [tuple("" if cell in ("-", "–", "0") else cell for cell in row[:3]) for row in rows[1:]]  # type: ignore[misc]


def by_paths(entries: list[tuple[str, str, str]]) -> dict[str, float]:
    """Wright's sum over pairs of paths that share only the ancestor, counted with networkx: an independent method."""
    graph = nx.DiGraph()
    for animal, sire, dam in entries:
        graph.add_node(animal)
        graph.add_edges_from((animal, parent) for parent in (sire, dam) if parent)
    found: dict[str, float] = {}

    def f(animal: str) -> float:
        if animal not in found:
            sire, dam = next((s, d) for a, s, d in entries if a == animal)
            found[animal] = 0.0 if not (sire and dam) else sum(common(sire, dam))
        return found[animal]

    def common(sire: str, dam: str) -> list[float]:
        shared = (nx.descendants(graph, sire) | {sire}) & (nx.descendants(graph, dam) | {dam})
        terms = []
        for ancestor in shared:
            ups = [[sire]] if sire == ancestor else list(nx.all_simple_paths(graph, sire, ancestor))
            downs = [[dam]] if dam == ancestor else list(nx.all_simple_paths(graph, dam, ancestor))
            terms += [
                0.5 ** (len(one) + len(other) - 1) * (1 + f(ancestor))
                for one in ups
                for other in downs
                if set(one) & set(other) == {ancestor}
            ]
        return terms

    return {animal: f(animal) for animal, _, _ in entries}


def test_the_seeded_flock_agrees_with_path_counting_and_the_frozen_figures() -> None:
    """44 animals: every F equals Wright's path counting; mean, highest and three frozen values of the references."""
    entries = seeded()
    values = inbreeding(pedigree(*entries))
    assert values == pytest.approx(by_paths(entries))
    assert (values["L25"], values["L33"], values["L15"]) == pytest.approx((0.359375, 0.30859375, 0.15625))
    assert max(values.values()) == values["L25"]
    assert sum(values.values()) / len(values) == pytest.approx(0.0912642045, abs=1e-9)


def test_a_line_of_full_sibs() -> None:
    """0, 0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375: brother to sister, generation after generation (printed as 25,
    37.5 and 50 by a livestock probability page citing Boggess; references, growth §3.3).
    """
    entries = [("r0", "", ""), ("e0", "", "")]
    for n in range(1, 8):
        entries += [(f"r{n}", f"r{n - 1}", f"e{n - 1}"), (f"e{n}", f"r{n - 1}", f"e{n - 1}")]
    values = inbreeding(pedigree(*entries))
    assert [values[f"e{n}"] for n in range(1, 8)] == [0, 0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375]


def test_the_inverse_of_mrodes_relationship_matrix() -> None:
    """A inverse with inbreeding: (2,2) 2.033333, (5,5) 2.533333, (6,6) 2.133333, (5,6) -1.066667, and times A it is 1
    (numpy; rules of Mrode p. 27; references, growth §3.2).
    """
    found = pedigree(*MRODE)
    places = {name: place for place, name in enumerate(found.ids)}
    inverse = np.zeros((6, 6))
    for row, column, value in inverse_relationship(found, inbreeding(found)):
        inverse[row, column] += value
    printed = {("2", "2"): 2.033333, ("5", "5"): 2.533333, ("6", "6"): 2.133333, ("5", "6"): -1.066667}
    for (one, other), value in printed.items():
        assert inverse[places[one], places[other]] == pytest.approx(value, abs=1e-6)
    assert inverse @ matrix(found) == pytest.approx(np.eye(6), abs=1e-12)


def test_the_relationships_of_the_seeded_flock() -> None:
    """All elements of A add up to 470.728515625 (sgkit, frozen; references, growth §3.4), and no direction of A is
    negative (numpy).
    """
    with DATA.open(encoding="utf-8") as file:
        found = pedigree(*((row["id"], row["sire"], row["dam"]) for row in csv.DictReader(file)))
    whole = matrix(found)
    assert whole.sum() == pytest.approx(470.728515625, abs=1e-9)
    assert np.linalg.eigvalsh(whole).min() > 0


def matrix(found: Pedigree) -> Any:
    """A, animal by animal."""
    return np.array([[relationship(found, one, other) for other in found.ids] for one in found.ids])


def test_order_of_entry_changes_nothing() -> None:
    """The same animals in reverse order, or called by other names, have the same inbreeding."""
    entries = seeded()
    plain = inbreeding(pedigree(*entries))
    assert inbreeding(pedigree(*reversed(entries))) == pytest.approx(plain)
    renamed = pedigree(*((one[::-1], two[::-1], three[::-1]) for one, two, three in entries))
    assert {name[::-1]: value for name, value in inbreeding(renamed).items()} == pytest.approx(plain)


def test_a_circle_is_a_fault_and_never_a_figure() -> None:
    """An animal that is its own ancestor is reported, and its links are left out."""
    ordered, faults = order_pedigree([Parentage("a", "b"), Parentage("b", "a")])
    assert faults
    assert all(value == 0 for value in inbreeding(ordered).values())


def test_effective_size() -> None:
    """10 + 10 rams and ewes: 20; 1 + 10: 3.636364; 2 + 30: 7.5 (Christensen, KVL genetics notes 3.6)."""
    found = [effective_size(10, 10), effective_size(1, 10), effective_size(2, 30)]
    assert found == pytest.approx([20, 3.636364, 7.5], abs=1e-6)
    rates = [inbreeding_rate(size) or 0 for size in found]
    assert [rates[0], rates[2]] == pytest.approx([0.025, 0.06666667], abs=1e-7)
    assert all(one != other for one, other in pairwise(found))


def test_a_daughter_of_the_ram_in_use_through_notes() -> None:
    """Her lamb by her own sire would be a quarter inbred; a litter with two possible sires has none."""
    notes = {
        "sheep/C1 Bramble.md": "---\nnote: ewe\nborn: 2020\nsire: Sexton\n---\n",
        "sheep/C2 Fern.md": "---\nnote: ewe\nborn: 2021\nsires: Sexton, Harrow\n---\n",
        "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2018\n---\n",
        "sheep/S2 Harrow.md": "---\nnote: ram\nborn: 2018\n---\n",
    }
    pairs = {(item.ram, item.ewe): item.inbreeding for item in read(notes).facts.family.kin.pairings}
    assert pairs == pytest.approx({("S1", "C1"): 0.25, ("S1", "C2"): 0.0, ("S2", "C1"): 0.0, ("S2", "C2"): 0.0})
