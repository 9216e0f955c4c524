"""What a day costs: `python -m tests.bench.everyday [SIZE …]`, by default 350 3000.

For each size, medians of several runs of the program as it is called: a cold compile, one with nothing changed, one
with one note changed (wall and processor seconds); then `tend`, from the save to the whole book, by kind of note.
Beside it a general site generator on the same notes (MkDocs, `pip install mkdocs`), which checks and works out
nothing; where it is not installed that is skipped with a word.
"""

from __future__ import annotations

import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

from tests.bench.make_flock import write

SIZES, RUNS, SAVES, LONGEST = (350, 3000), 5, 3, 600.0
ON = ("--on", "2026-11-24")
KINDS = {"remark": "One more line.", "weighing": "", "treatment": "Quiet.", "lambing": "Up by herself."}


def timed(words: list[str], place: Path) -> tuple[float, float]:
    """Wall and processor seconds of one run of a program."""
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(place / "cache")}
    before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(words, env=surroundings, capture_output=True, check=False)
    wall, after = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def medians(run: Callable[[int], tuple[float, float]], runs: int) -> str:
    """The medians of several runs, in words."""
    found = [run(number) for number in range(runs)]
    wall, cpu = (statistics.median(each) for each in zip(*found, strict=True))
    return f"{wall:8.2f} s wall {cpu:8.2f} s processor"


def compiles(place: Path, runs: int) -> None:
    """Cold, nothing changed, one note changed."""
    words = [sys.executable, "-m", "flockbook", "compile", str(place / "notes"), "--to"]
    books = [str(place / f"book {number}") for number in range(runs)]
    print("  cold          ", medians(lambda number: timed([*words, books[number], *ON], place), runs))
    time.sleep(4)  # until no file is a recent one
    print("  nothing       ", medians(lambda number: timed([*words, books[number], *ON], place), runs))
    note = sorted((place / "notes").glob("events/*/*remark*.md"))[0]

    def changed(number: int) -> tuple[float, float]:
        note.write_text(f"{note.read_text()}Line {number}.\n")
        return timed([*words, books[0], *ON], place)

    print("  one note      ", medians(changed, runs))


def tended(place: Path) -> None:
    """From the save to the stamp, after which the whole book is right, by kind of note."""
    said = place / "said.txt"
    words = [sys.executable, "-u", "-m", "flockbook", "tend", str(place / "notes"), "--to", str(place / "tended")]
    surroundings = {**os.environ, "XDG_CACHE_HOME": str(place / "cache")}
    with said.open("w") as out:
        process = subprocess.Popen(words, stdout=out, stderr=subprocess.STDOUT, env=surroundings)
    try:
        until(said, 1)
        time.sleep(4)
        made = 1
        for kind, more in KINDS.items():
            waits = []
            for number in range(SAVES):
                note = sorted((place / "notes").glob(f"events/*/*{kind}*.md"))[number]
                text, begun = note.read_text(), time.perf_counter()
                note.write_text(re.sub(r"\b4", "5", text, count=1) if kind == "weighing" else f"{text}{more}\n")
                made = until(said, made + 1)
                waits.append(time.perf_counter() - begun)
            print(f"  tend {kind:<10}{statistics.median(waits):8.2f} s from the save to the whole book")
    finally:
        process.terminate()
        process.wait()


def until(said: Path, times: int) -> int:
    """Wait until so many books were made; gives how many were."""
    end = time.monotonic() + LONGEST
    while (count := len(re.findall(r"^\d\d:\d\d .*; wrote ", said.read_text(), re.M))) < times:
        assert time.monotonic() < end, said.read_text()[-2000:]
        time.sleep(0.01)
    return count


def peer(place: Path, runs: int) -> None:
    """MkDocs on the same notes."""
    if find_spec("mkdocs") is None:
        print("  MkDocs is not installed: skipped")
        return
    (place / "mkdocs.yml").write_text("site_name: Notes\ndocs_dir: notes\nuse_directory_urls: false\n")
    words = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--config-file", str(place / "mkdocs.yml")]
    print("  MkDocs cold   ", medians(lambda number: timed([*words, "--site-dir", f"{place}/m{number}"], place), runs))
    again = [*words, "--dirty", "--site-dir", f"{place}/m0"]
    print("  MkDocs nothing", medians(lambda _: timed(again, place), runs), "(its incomplete mode)")


def main(sizes: tuple[int, ...]) -> None:
    """Measure every size."""
    for size in sizes:
        with tempfile.TemporaryDirectory() as name:
            place, runs = Path(name), RUNS if size <= 10_000 else 1
            print(f"\n{write(size, place / 'notes')} notes, medians of {runs}")
            compiles(place, runs)
            tended(place)
            peer(place, runs)


if __name__ == "__main__":
    main(tuple(int(word) for word in sys.argv[1:]) or SIZES)
