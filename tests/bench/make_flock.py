"""Writes a seeded, realistic flock of N notes: `python -m tests.bench.make_flock N OUT`.

Sheep, joinings with marks, lambings, treatments, weighings, moves, deaths, sales and remarks over years. The same N
gives the same
bytes on every machine. Everything in it is invented.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

LAST_YEAR = 2026
NOTES_A_EWE = 2.55  # notes that one ewe brings in one year, all kinds together
WORDS = (
    "up by herself", "slow to rise", "sucking within the hour", "wind in the east", "bag tight on "
        "one side", "moved to the dry pen", "nothing amiss",
    "limped a little at the gate", "both full by morning", "the burn was over the track", "frost on the trough",
    "quiet night", "fed at the wall", "looked twice",
)  # fmt: skip
MEDICINES = {
    "moxidectin oral": ("14 days", "not for milk"),
    "penicillin": ("9 days", "4 days"),
    "levamisole oral": ("72 h", "3 days"),
    "vaccine": ("none", "none"),
}


class Maker:
    """A flock while its notes are being made up."""

    def __init__(self, wanted: int) -> None:
        """`wanted` notes, give or take a few in a hundred; the last ones are remarks that make the number exact."""
        self.wanted, self.dice = wanted, random.Random(wanted)
        self.years = 10 if wanted >= 2000 else 3
        self.ewes = [f"A{number:04}" for number in range(max(5, round(wanted / self.years / NOTES_A_EWE)))]
        self.size, self.next_tag, self.notes = len(self.ewes), 1, 0

    def all(self) -> Iterator[tuple[str, str]]:
        """Path and text of every note, and the settings file first."""
        yield "flock.yaml", "flock: Bench\nunits: metric\ndates: day-month\n"
        for path, text in self.told():
            self.notes += 1
            yield path, text
        for number in range(self.wanted - self.notes):
            day = date(LAST_YEAR, 1, 1) + timedelta(days=number % 300)
            yield f"events/{day.year}/{day} remark filler {number:06}.md", f"{self.prose()}\n"

    def told(self) -> Iterator[tuple[str, str]]:
        """The notes proper, never more than wanted."""
        for name, (meat, milk) in MEDICINES.items():
            yield (
                f"medicines/{name}.md",
                f"---\nnote: medicine\nname: {name}\nlabel rate: 1 ml per 10 kg\nmeat withdrawal: {meat}\nmilk "
                f"withdrawal: {milk}\nsource: label\n---\n",
            )
        for ram in ("R1 Rowan", "R2 Alder"):
            yield f"sheep/{ram}.md", "---\nnote: ram\nborn: 2014\n---\n"
        for ewe in self.ewes:
            yield (
                f"sheep/{ewe}.md",
                f"---\nnote: ewe\nborn: {LAST_YEAR - self.years - self.dice.randint(2, 5)}\nmob: "
                f"{self.dice.choice(('hill', 'low'))}\n---\n",
            )
        for year in range(LAST_YEAR - self.years + 1, LAST_YEAR + 1):
            for path, text in self.year(year):
                if self.notes >= self.wanted:
                    return
                yield path, text

    def year(self, year: int) -> Iterator[tuple[str, str]]:
        """One year: joined the autumn before, lambed, treated, weighed, moved, sold."""
        yield from self.joinings(year)
        lambs: list[tuple[str, date, str]] = []
        for ewe in list(self.ewes):
            yield self.lambing(ewe, year, lambs)
            if self.dice.random() < 0.4:
                yield self.treatment(ewe, date(year, 6, 1) + timedelta(days=self.dice.randint(0, 60)))
            if self.dice.random() < 0.55:
                day = date(year, 5, 1) + timedelta(days=self.dice.randint(0, 150))
                yield (
                    f"events/{year}/{day} remark {ewe} {self.dice.randint(0, 9999):04}.md",
                    f"---\nsheep: {ewe}\n---\n{self.prose()}\n",
                )
        for month in (6, 8, 9):
            rows = "\n".join(
                f"{tag} {4 + (date(year, month, 14) - born).days * self.dice.gauss(0.25, 0.03):.1f}"
                for tag, born, _ in lambs
            )
            if rows:
                yield f"events/{year}/{year}-{month:02}-14 weighing lambs.md", rows + "\n"
        kept = [tag for tag, _, sex in lambs if sex == "ewe"][: self.size // 6]
        yield from self.leavings(year, kept, [tag for tag, _, _ in lambs if tag not in set(kept)])

    def joinings(self, year: int) -> Iterator[tuple[str, str]]:
        """Two rams, half the ewes each, with marks."""
        for number, ram in enumerate(("R1", "R2")):
            ewes = self.ewes[number::2]
            marks = "\n".join(
                f"- {date(year - 1, 11, 10) + timedelta(days=step)} {', '.join(ewes[step::17])}"
                for step in range(17)
                if ewes[step::17]
            )
            yield (
                f"events/{year - 1}/{year - 1}-11-08 joining {ram}.md",
                f"---\newes: {', '.join(ewes)}\nout: {year - 1}-12-20\n---\n{marks}\n",
            )

    def lambing(self, ewe: str, year: int, lambs: list[tuple[str, date, str]]) -> tuple[str, str]:
        """One to three lambs."""
        place = self.ewes.index(ewe) // 2 % 17
        day = date(year - 1, 11, 10) + timedelta(days=place + 147 + round(self.dice.gauss(0, 2)))
        lines = []
        for _ in range(self.dice.choices((1, 2, 3), (40, 52, 8))[0]):
            tag = f"{year % 100:02}-{self.next_tag:05}"
            self.next_tag += 1
            help = self.dice.choices(("", ", assisted, one leg back", ", stillborn"), (90, 6, 4))[0]
            sex = self.dice.choice(("ewe", "ram"))
            lines.append(f"- {sex} {max(2.2, self.dice.gauss(4.2, 0.7)):.1f} kg, tag {tag}{help}")
            if "stillborn" not in help:
                lambs.append((tag, day, sex))
        clock = f"{self.dice.randint(0, 23):02}{self.dice.randint(0, 59):02}"
        return f"events/{year}/{day} {clock} lambing {ewe}.md", "\n".join(lines) + f"\n\n{self.prose()}\n"

    def treatment(self, ewe: str, day: date) -> tuple[str, str]:
        """A course of one to three days."""
        doses = ", ".join(str(day + timedelta(days=step)) for step in range(self.dice.randint(1, 3)))
        head = (
            f"sheep: {ewe}\nmedicine: {self.dice.choice(list(MEDICINES))}\ndose: {self.dice.uniform(4, 7):.1f} "
            f"ml\ngiven: {doses}\nbatch: K{self.dice.randint(100, 999)}"
        )
        return f"events/{day.year}/{day} treatment {ewe}.md", f"---\n{head}\n---\n{self.prose()}\n"

    def leavings(self, year: int, kept: list[str], sold: list[str]) -> Iterator[tuple[str, str]]:
        """Most lambs sold in October; some ewes die or go, ewe lambs take their place."""
        for number in range(0, len(sold), 40):
            part = sold[number : number + 40]
            yield (
                f"events/{year}/{year}-10-20 sale lambs {number:05}.md",
                f"---\nsheep: {', '.join(part)}\ncount: {len(part)}\nuse: slaughter\nprice: 92 each\n---\n",
            )
        for place, ewe in enumerate(self.ewes[: len(kept)]):
            if place % 3 == 0:
                yield f"events/{year}/{year}-10-01 death {ewe}.md", f"---\ncause: old age\n---\n{self.prose()}\n"
            else:
                yield (
                    f"events/{year}/{year}-10-21 sale {ewe}.md",
                    f"---\nsheep: {ewe}\nuse: store\nprice: 60 each\n---\n",
                )
        self.ewes = self.ewes[len(kept) :] + kept

    def prose(self) -> str:
        """A remark of some words."""
        return ". ".join(self.dice.choice(WORDS).capitalize() for _ in range(self.dice.randint(2, 7))) + "."


def write(wanted: int, out: Path) -> int:
    """Write the flock; gives the number of notes."""
    written = 0
    for path, text in Maker(wanted).all():
        place = out / path
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(text, encoding="utf-8")
        written += path != "flock.yaml"
    return written


if __name__ == "__main__":
    print(write(int(sys.argv[1]), Path(sys.argv[2])), "notes")
