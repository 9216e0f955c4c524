"""Seeded edits of an invented notes folder, as an afternoon at the desk makes them."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from pathlib import Path

Edit = Callable[[Path, random.Random], object]


def notes_in(folder: Path, ending: str = "*.md") -> list[Path]:
    """The notes, in the order of their names."""
    return sorted(path for path in folder.rglob(ending) if "book" not in path.relative_to(folder).parts)


def picked(folder: Path, chance: random.Random) -> Path:
    """One note."""
    return chance.choice(notes_in(folder))


def a_remark(folder: Path, chance: random.Random) -> None:
    """A remark that names somebody, or nobody."""
    day = f"2026-{chance.randint(1, 11):02}-{chance.randint(1, 28):02}"
    who = chance.choice(["", f"sheep: A{chance.randint(1, 60):04}\n", "sheep: nobody at all\n"])
    said = chance.choice(["Lame behind.", "Gave her a jab.", "Moved to the low field.", "**Quiet**, [see](x.md)."])
    (folder / "events" / f"{day} remark {chance.randint(0, 99)}.md").write_text(f"---\n{who}---\n{said}\n")


def a_sheep(folder: Path, chance: random.Random) -> None:
    """A new sheep, or one whose note is written over."""
    tag = f"A{chance.randint(1, 90):04}"
    (folder / "sheep" / f"{tag}.md").write_text(f"---\nnote: ewe\nborn: {chance.randint(2015, 2025)}\n---\n")


def a_dose(folder: Path, chance: random.Random) -> None:
    """A treatment, sometimes of a medicine that nobody has."""
    day = f"2026-11-{chance.randint(1, 27):02}"
    product = chance.choice(["penicillin", "moxidectin oral", "levamisole oral", "something else"])
    head = f"sheep: A{chance.randint(1, 60):04}\nmedicine: {product}\ndose: 4 ml\n"
    (folder / "events" / f"{day} treatment {chance.randint(0, 99)}.md").write_text(f"---\n{head}---\n")


def a_medicine(folder: Path, chance: random.Random) -> None:
    """Another waiting period on a label."""
    place = folder / "medicines" / "penicillin.md"
    place.write_text(
        f"---\nnote: medicine\nname: penicillin\nmeat withdrawal: {chance.randint(1, 40)} days\nsource: label\n---\n"
    )


def the_settings(folder: Path, chance: random.Random) -> None:
    """Other settings, some of them broken."""
    more = chance.choice(["", "gestation: 146\n", "dates: month-day\n", "units: us\n", "skip: sheep\n", "vet: [\n"])
    (folder / "flock.yaml").write_text(f"flock: Bench {chance.randint(0, 9)}\nunits: metric\n{more}")


def one_gone(folder: Path, chance: random.Random) -> None:
    """A note deleted."""
    picked(folder, chance).unlink()


def one_renamed(folder: Path, chance: random.Random) -> None:
    """A note renamed, also into a copy of itself."""
    place = picked(folder, chance)
    place.rename(place.with_name(chance.choice([f"x {place.name}", f"{place.stem} copy.md", f"{place.stem}.txt"])))


def one_copied(folder: Path, chance: random.Random) -> None:
    """A note beside its copy."""
    place = picked(folder, chance)
    place.with_name(f"{place.stem} (1).md").write_bytes(place.read_bytes())


def one_damaged(folder: Path, chance: random.Random) -> None:
    """A byte of a note lost, another put in, or its end cut off."""
    place = picked(folder, chance)
    data = place.read_bytes()
    at = chance.randrange(len(data) + 1)
    place.write_bytes(chance.choice([data[:at], data[:at] + b"\xff" + data[at:], data[:at] + data[at + 1 :]]))


def same_size_same_time(folder: Path, chance: random.Random) -> None:
    """A figure in a note changed, its time set back to what it was."""
    place = picked(folder, chance)
    before, data = place.stat(), place.read_bytes()
    place.write_bytes(data.replace(b"4", b"5") if b"4" in data else data.replace(b"1", b"2"))
    os.utime(place, ns=(before.st_atime_ns, before.st_mtime_ns))


def a_table(folder: Path, chance: random.Random) -> None:
    """A table beside a weighing, or alone."""
    place = chance.choice([*notes_in(folder / "events", "*weighing*.md"), folder / "events" / "alone.md"])
    place.with_suffix(".csv").write_text(f"sheep,weight\nA{chance.randint(1, 60):04},{chance.randint(20, 60)}\n")


def a_picture(folder: Path, chance: random.Random) -> None:
    """A remark with a picture that is there, or not."""
    (folder / "gate.png").write_bytes(b"\x89PNG\r\n\x1a\nno picture" if chance.random() < 0.5 else b"")
    (folder / "events" / "2026-10-10 remark gate.md").write_text("---\n---\n![The gate](../gate.png)\n")


EDITS: tuple[Edit, ...] = (
    a_remark, a_sheep, a_dose, a_medicine, the_settings, one_gone, one_renamed, one_copied, one_damaged,
    same_size_same_time, a_table, a_picture,
)  # fmt: skip
