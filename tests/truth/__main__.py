"""`python -m tests.truth N [--seed S] [--pairs] [--way NAME] [--report FILE] [--open]`: as many writings as wanted."""

from __future__ import annotations

import argparse
import sys

from tests.truth.tally import Tally, report, table
from tests.truth.trials import run


def main() -> int:
    """Run, print the table by way, and end with 1 if anybody treated was shown clear."""
    parser = argparse.ArgumentParser(prog="python -m tests.truth", description=__doc__)
    parser.add_argument("n", type=int, help="how many writings")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--pairs", action="store_true", help="two ways at a time")
    parser.add_argument("--way", action="append", default=[], help="only this way (may be given again)")
    parser.add_argument("--small", type=int, default=3, help="how many failures are made small and printed")
    parser.add_argument("--report", default="", metavar="FILE", help="write the outcome of every way, with examples")
    parser.add_argument("--open", action="store_true", help="print only the names of the ways that fail, a line each")
    options = parser.parse_args()
    tally = Tally()
    for outcome in run(options.n, options.seed, pairs=options.pairs, only=options.way):
        tally.add(outcome)
    if options.open:
        print("\n".join(sorted(tally.failed)))
        return 1 if tally.failed else 0
    print(table(tally))
    print(report(tally.failed, options.small))
    if options.report:
        with open(options.report, "w", encoding="utf-8") as file:
            file.write(table(tally) + "\n\n" + report(tally.failed, len(tally.failed)))
    return 1 if tally.failed else 0


sys.exit(main())
