"""`python -m tests.plainreading N [--seed S]`: so many flocks, read twice; what differs is printed small."""

from __future__ import annotations

import argparse
import sys

from tests.plainreading.comparing import differences, example
from tests.plainreading.generator import made


def main() -> int:
    """Run, and end with 1 if the readings differ."""
    parser = argparse.ArgumentParser(prog="python -m tests.plainreading", description=__doc__)
    parser.add_argument("n", type=int, help="how many flocks")
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    parser.add_argument("--small", type=int, default=5, help="how many differences are made small and printed")
    options = parser.parse_args()
    seeds = range(options.seed, options.seed + options.n)
    differing = [seed for seed in seeds if differences(*made(seed))]
    for seed in differing[: options.small]:
        print(example(seed))
    print(f"{options.n} flocks, {len(differing)} read otherwise: {differing[:40]}")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
