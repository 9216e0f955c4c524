"""`python -m tests.damage [N] [--seed S] [--scene NAME] [--part K/OF]`: every damage, or N of them drawn by lot."""

from __future__ import annotations

import argparse
import sys

from tests.damage.judging import chosen, told, wrongly_clear
from tests.damage.scenes import SCENES


def main() -> int:
    """Run, print every failure, shortest first, and end with 1 if anybody dosed was shown clear."""
    parser = argparse.ArgumentParser(prog="python -m tests.damage", description=__doc__)
    parser.add_argument("n", type=int, nargs="?", default=0, help="how many (all of them if left out)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scene", action="append", default=[], help="only this scene (may be given again)")
    parser.add_argument("--part", default="1/1", help="only every so-manieth, e.g. 1/4")
    options = parser.parse_args()
    wanted = [scene for scene in SCENES if not options.scene or scene.name in options.scene]
    part, of = (int(figure) for figure in options.part.split("/"))
    some = chosen(wanted, options.n, options.seed)[part - 1 :: of]
    failed = [(case, wrong) for case in some if (wrong := wrongly_clear(case))]
    for case, wrong in sorted(failed, key=lambda item: len(item[0].text)):
        print(told(case, wrong))
    print(f"{len(some)} damaged notes, {len(failed)} with somebody wrongly clear")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
