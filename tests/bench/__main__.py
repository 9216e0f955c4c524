"""Seconds by stage and peak memory of compiles: `python -m tests.bench [SIZE …]`, by default 350 1000 10000.

Each size is compiled cold (no memory, no book), warm (nothing changed) and with one note changed, in a process of
its own, and the
growth exponent of every stage between the sizes is printed, so that nothing quadratic hides. Report medians of
several runs.
"""

from __future__ import annotations

import json
import math
import resource
import subprocess
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path

from compiler.book import Moment
from compiler.build import build
from tests.bench.make_flock import write

SIZES = (350, 1000, 10000)


def once(folder: Path, cache: Path) -> dict[str, float]:
    """One compile in this process: seconds by stage, whole seconds, files written, peak memory in MB."""
    begun = time.perf_counter()
    from flockbook.book import BOOK

    built = build(folder, BOOK, Moment(datetime(2026, 11, 24)), folder / "book", cache=cache)
    whole = time.perf_counter() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    changed = len(built.written.made) + len(built.written.changed)
    size = sum(path.stat().st_size for path in (folder / "book").rglob("*") if path.is_file()) / 1e6
    helpers = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = time.process_time() + helpers.ru_utime + helpers.ru_stime
    figures = {"WHOLE": whole, "CPU": cpu, "files written": changed, "book MB": size, "peak MB": peak}
    return {**built.seconds, **figures}


def apart(folder: Path, cache: Path) -> dict[str, float]:
    """The same in a process of its own."""
    code = (
        "import json; from pathlib import Path; from tests.bench.__main__ import once; "
        f"print(json.dumps(once(Path({str(folder)!r}), Path({str(cache)!r}))))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    figures: dict[str, float] = json.loads(done.stdout)
    return figures


def main(sizes: tuple[int, ...]) -> None:
    """Measure every size and print the table."""
    before: dict[str, float] = {}
    before_size = 0
    for size in sizes:
        with tempfile.TemporaryDirectory() as place:
            folder, cache = Path(place, "notes"), Path(place, "cache")
            write(size, folder)
            cold, warm = apart(folder, cache), apart(folder, cache)
            note = next(iter(sorted(folder.glob("events/*/*remark*.md"))))
            note.write_text(note.read_text() + "One more line.\n")
            changed = apart(folder, cache)
        print(f"\n{size} notes{'':<14} {'cold':>9} {'warm':>9} {'1 changed':>9}  growth")
        for name, value in cold.items():
            growth = (
                f"n^{math.log(value / before[name]) / math.log(size / before_size):.2f}"
                if before.get(name, 0) > 0.005 and value > 0
                else ""
            )
            print(f"  {name:<20} {value:9.2f} {warm.get(name, 0):9.2f} {changed.get(name, 0):9.2f}  {growth}")
        before, before_size = cold, size


if __name__ == "__main__":
    main(tuple(int(word) for word in sys.argv[1:]) or SIZES)
