"""Flocks of any size typed as notes from numbers: so many ewes, so many lambs, so many lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from compiler.shape import Value

Notes = dict[str, str]


class Ewe(Value):
    """One ewe's season. `lambs` are lines without tags (None: she did not lamb); `scan` is the word at scanning."""

    lambs: tuple[str, ...] | None = None
    day: date | None = None
    scan: str = ""
    help: str = ""
    sire: str = "S1"
    place: str = ""
    breed: str = ""
    born: str = "2019"


def litter(size: int, dead: int = 0) -> tuple[str, ...]:
    """Lamb lines of a litter of which some were born dead."""
    return ("ewe",) * (size - dead) + ("ewe stillborn",) * dead


def season(ewes: Sequence[Ewe], year: int = 2024, first_tag: str = "E") -> tuple[Notes, list[tuple[str, date]]]:
    """The notes of one season, and the live lambs' tags with their birthdays, in order of the ewes.

    Joined from 1 October to 10 December of the year before by the ram S1; a ewe's tag is `first_tag` and her place.
    """
    notes: Notes = {}
    born: list[tuple[str, date]] = []
    for ram in sorted({"S1", *(ewe.sire for ewe in ewes)}):
        notes[f"sheep/{ram}.md"] = "---\nnote: ram\nborn: 2018\n---\n"
        mates = [f"{first_tag}{place}" for place, ewe in enumerate(ewes) if ewe.sire == ram]
        head = f"note: joining\nrams: {ram}\newes: [{', '.join(mates)}]\nout: {year - 1}-12-10"
        if mates:
            notes[f"events/{year - 1}-10-01 joining {ram}.md"] = f"---\n{head}\n---\n"
    for place, ewe in enumerate(ewes):
        tag = f"{first_tag}{place}"
        breed = f"breed: {ewe.breed}\n" if ewe.breed else ""
        notes[f"sheep/{tag}.md"] = f"---\nnote: ewe\nborn: {ewe.born}\n{breed}---\n"
        if ewe.lambs is not None:
            day = ewe.day or date(year, 3, 15)
            notes[f"events/{day} lambing {tag}.md"] = lambing(ewe, tag, year, day, born)
    scans = [f"- {first_tag}{place} {ewe.scan}" for place, ewe in enumerate(ewes) if ewe.scan]
    if scans:
        notes[f"events/{year}-01-15 scan.md"] = "\n".join(scans) + "\n"
    return notes, born


def lambing(ewe: Ewe, tag: str, year: int, day: date, born: list[tuple[str, date]]) -> str:
    """One lambing note; live lambs are tagged `year` and a running number."""
    lines = []
    for line in ewe.lambs or ():
        alive = "stillborn" not in line and "dead" not in line
        lines.append(f"- {line}" + (f", tag {year}{len(born):05d}" if alive else ""))
        if alive:
            born.append((f"{year}{len(born):05d}", day))
    head = [
        f"ewe: {tag}",
        *([f"help: {ewe.help}"] if ewe.help else []),
        *([f"place: {ewe.place}"] if ewe.place else []),
    ]
    return "---\n" + "\n".join(head) + "\n---\n" + "\n".join(lines) + "\n"


def deaths(lost: Sequence[tuple[str, date]], cause: str = "exposure") -> Notes:
    """A death note for each tag on its day."""
    return {f"events/{day} death {tag}.md": f"---\nsheep: {tag}\ncause: {cause}\n---\n" for tag, day in lost}


def weaning(tags: Sequence[str], day: date, kg: float | None = None) -> Notes:
    """One weaning note: a list, or a line with a weight for each lamb."""
    if kg is None:
        return {f"events/{day} weaning.md": f"---\nlambs: [{', '.join(tags)}]\n---\n"}
    return {f"events/{day} weaning.md": "".join(f"{tag} {kg}\n" for tag in tags)}


def spread_over(first: date, last: date, count: int) -> Iterator[date]:
    """So many days from the first to the last, evenly."""
    for place in range(count):
        yield first + timedelta(days=round((last - first).days * place / max(1, count - 1)))
