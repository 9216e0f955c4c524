"""Random edit sequences: `python -m tests.tended [SEQUENCES [NOTES]]`, by default 300 sequences at 350 notes.

After every edit the book that a tending process makes, and the one of a warm memory on the disk, are compared with a
cold compile, byte for byte.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
from contextvars import Context
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

from compiler.build import Manner, build
from compiler.memory import Memory
from compiler.moment import Moment
from flockbook.book import BOOK
from tests.bench.make_flock import write
from tests.tended.edits import EDITS

AT = datetime(2026, 11, 24, 10, 20)
EDITS_EACH = 4


def tree(folder: Path) -> dict[str, bytes]:
    """Every file of a book."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def differences(seed: int, notes: int, place: Path) -> list[str]:
    """What differs between tended, warm and cold after each edit of one sequence."""
    chance, memory, found = random.Random(seed), Memory(), list[str]()
    folder, moment = place / "notes", AT
    shutil.rmtree(place, ignore_errors=True)
    write(notes, folder)
    told = []
    for number in range(EDITS_EACH):
        moment += timedelta(minutes=chance.choice([0, 1, 600, 2000]))
        asked = Moment(moment, True, moment.date())
        make = partial(build, folder, BOOK, asked)
        tending = Manner(("index.html",), memory)
        Context().run(make, place / "tended", cache=place / "cache", manner=tending)  # as a process that starts afresh
        Context().run(make, place / "warm", cache=place / "cache")
        shutil.rmtree(place / "cold", ignore_errors=True)
        Context().run(make, place / "cold", cache=place / f"cache {number}")
        cold = tree(place / "cold")
        for way in ("tended", "warm"):
            made = tree(place / way)
            wrong = [path for path in sorted({*made, *cold}) if made.get(path) != cold.get(path)]
            found += [f"seed {seed}, {way} after {told}: {wrong[:5]}"] if wrong else []
        for edit in chance.sample(EDITS, chance.randint(1, 3)):
            edit(folder, chance)
            told.append(edit.__name__)
    return found


def main(sequences: int, notes: int) -> int:
    """Run so many sequences; 1 if any book differs."""
    wrong = 0
    with tempfile.TemporaryDirectory() as place:
        for seed in range(sequences):
            for line in differences(seed, notes, Path(place, "flock")):
                wrong += 1
                print(line)
    print(f"{sequences} sequences at {notes} notes: {wrong} books differ")
    return int(wrong > 0)


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:]]
    sys.exit(main(*asked, *(300, 350)[len(asked) :]))
