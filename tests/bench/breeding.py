"""Seconds for a pedigree of so many animals: `python -m tests.bench.breeding [ANIMALS …]`, by default 1000 5000.

Twenty crops out of random rams and ewes of the crop before, every animal weighed once: inbreeding (Meuwissen & Luo),
then breeding values with exact reliabilities. The median of five runs.
"""

from __future__ import annotations

import random
import statistics
import sys
import time

from flockbook.derive.family.kinship import inbreeding
from flockbook.derive.family.merit import MeritRecord, Trial, evaluate
from flockbook.derive.family.pedigree import Parentage, Pedigree, order_pedigree
from flockbook.heritabilities import HERITABILITIES

CROPS, RUNS = 20, 5


def made(animals: int, seed: int = 7) -> Pedigree:
    """A closed flock of so many animals."""
    chance, crop = random.Random(seed), animals // CROPS
    entries = [Parentage(f"0-{n}") for n in range(crop)]
    for year in range(1, CROPS):
        rams = [f"{year - 1}-{n}" for n in range(0, crop, 25)]
        ewes = [f"{year - 1}-{n}" for n in range(crop) if n % 25]
        entries += [Parentage(f"{year}-{n}", chance.choice(rams), chance.choice(ewes)) for n in range(crop)]
    return order_pedigree(entries)[0]


def main(sizes: tuple[int, ...]) -> None:
    """Measure every size."""
    for size in sizes:
        pedigree, chance = made(size), random.Random(1)
        records = tuple(MeritRecord(name, chance.gauss(30, 4), (name.split("-")[0],)) for name in pedigree.ids)
        times: tuple[list[float], list[float]] = ([], [])
        for _ in range(RUNS):
            begun = time.perf_counter()
            inbred = inbreeding(pedigree)
            times[0].append(time.perf_counter() - begun)
            begun = time.perf_counter()
            evaluate(pedigree, inbred, Trial(("season",), records), HERITABILITIES["weaning_weight"])
            times[1].append(time.perf_counter() - begun)
        middle = [statistics.median(several) for several in times]
        print(f"{size} animals: inbreeding {middle[0]:.2f} s, values {middle[1]:.2f} s")


if __name__ == "__main__":
    main(tuple(int(word) for word in sys.argv[1:]) or (1000, 5000))
