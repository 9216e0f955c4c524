"""Joinings and lambings that cannot be right."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import did_you_mean
from flockbook.derive.breeding.joined import PUBERTY_DAYS as PUBERTY_DAYS
from flockbook.derive.breeding.mating import breeds_here
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_old, days_words
from flockbook.figures import LONGEST_GESTATION, SHORTEST_GESTATION, read_breed_length
from flockbook.flock import Animal, happened
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.sheep import EWE, RAM
from flockbook.regional import local
from flockbook.seen import Seen

RARE_DAYS = 190  # our own line: reproduction texts give no published least interval
SHORTEST = round(SHORTEST_GESTATION.value)
NOT_A_EWE = Rule(
    "B101",
    "lambing-by-no-ewe",
    Grade.ERROR,
    "Only ewes lamb; the tag is probably that of another sheep.",
    "2026-04-19 lambing Sexton.md",
)
LAMBED_TOO_YOUNG = Rule(
    "B102", "lambing-too-young", Grade.ERROR,
    f"Ewe lambs come into heat at five months at the earliest (New Mexico State University), and pregnancy takes "
    f"{SHORTEST} days at the shortest (or your own limit), so no ewe can lamb younger than about "
    f"{PUBERTY_DAYS + SHORTEST} days.", "a lambing by a ewe born five months before",
)  # fmt: skip
TOO_SOON = Rule(
    "B103", "lambing-too-soon", Grade.ERROR,
    f"Two births by one ewe lie at least a whole pregnancy apart ({SHORTEST} days, or your own "
    "limit). Two notes within a few days are mostly one birth written twice.",
    "two lambing notes of one ewe in one week",
)  # fmt: skip
LAMBED_SOON = Rule(
    "B104", "lambing-soon", Grade.ASK, f"A ewe that lambs again within {RARE_DAYS} days conceived almost at once, "
        "which is rare.", "lambings on 1 Apr and 20 Sep"
)  # fmt: skip
NOT_EXPLAINED = Rule(
    "B105", "sire-not-explained", Grade.WARNING,
    f"No joining puts a ram with this ewe between {SHORTEST} and {LONGEST_GESTATION.value:g} days (or "
    "your own limits) before the birth, so the lambs have no known sire.",
    "a lambing without a joining note",
)  # fmt: skip
OUT_BEFORE_IN = Rule(
    "B106",
    "ram-out-before-in",
    Grade.ERROR,
    "A ram cannot come out before he went in.",
    "2026-11-18 joining Sexton.md with `out: 2026-11-01`",
)
NO_RAM = Rule("B107", "joining-by-no-ram", Grade.ERROR, "The sheep named as ram is not one.", "rams: Bramble")
BREED_UNKNOWN = Rule(
    "B108", "breed-of-no-ewe", Grade.WARNING,
    "A length of pregnancy that is written for a breed acts for the ewes whose notes name that breed, and for all "
    "others if it is the flock's own (`breed` in flock.yaml). Where no sheep is of it, nobody is due by it.",
    "breed gestation: {Merinos: 150}\n",
)  # fmt: skip
RULES = (NOT_A_EWE, LAMBED_TOO_YOUNG, TOO_SOON, LAMBED_SOON, NOT_EXPLAINED, OUT_BEFORE_IN, NO_RAM, BREED_UNKNOWN)


def mothers(seen: Seen) -> Iterator[Diagnostic]:
    """Lambings by a ram, by a ewe too young, or too soon after the last."""
    last: dict[str, Lambing] = {}
    terms = seen.facts.breeding.matings.terms
    for event in seen.linked.of(Lambing):
        if event.date is None:
            continue
        for ewe in seen.linked.who(event):
            animal, shortest = seen.linked.animals[ewe], terms.of(ewe).shortest
            here = event.origin.span("ewe")
            if not can_lamb(animal):
                yield NOT_A_EWE.at(here, f"{animal.called_in_full} is a {animal.sex}", "correct the ewe")
            if animal.born and too_young(animal, event.date, shortest):
                age = (event.date - animal.born.earliest).days
                yield LAMBED_TOO_YOUNG.at(
                    here,
                    f"{animal.called_in_full} was at most {days_old(age)}",
                    "correct the ewe, the date, or when she was born",
                )
            if ewe in last:
                yield from interval(last[ewe], event, shortest)
            last[ewe] = event


def interval(before: Lambing, event: Lambing, shortest: int) -> Iterator[Diagnostic]:
    """Two births by one ewe, held against the shortest pregnancy."""
    assert before.date is not None
    assert event.date is not None
    days = (event.date - before.date).days
    also = (before.origin.span(),)
    if days < shortest:
        cure = "put all lambs of one birth into one note" if days <= 10 else "correct the ewe or the date"
        yield TOO_SOON.at(
            event.origin.span("ewe"),
            f"she lambed {days_words(days)} before ({before.origin.path})",
            cure,
            "both notes are shown and counted",
            also,
        )
    elif days < RARE_DAYS and not event.sure:
        yield LAMBED_SOON.at(
            event.origin.span("ewe"), f"she lambed {days} days before", "correct it, or add `sure: yes`", also=also
        )


def can_lamb(animal: Animal) -> bool:
    """Whether an animal is a ewe, or its sex is not written."""
    return animal.sex in (EWE, None)


def too_young(animal: Animal, day: date, shortest: int) -> bool:
    """Whether a ewe cannot have lambed by a day: born less than five months and a pregnancy before it."""
    return animal.born is not None and day < animal.born.earliest + timedelta(days=PUBERTY_DAYS + shortest)


def unexplained(seen: Seen) -> Iterator[Diagnostic]:
    """Litters without any possible sire, as long as the book knows joinings at all. Where the dam herself cannot be
    right, that alone is told.
    """
    if not seen.facts.breeding.matings.by_ewe:
        return
    first = min(mating.first_in for mating in seen.facts.breeding.matings.by_ewe.values())
    terms = seen.facts.breeding.matings.terms
    for birth in seen.facts.lambing.births:
        day, ewe = birth.event.date, seen.linked.animals.get(birth.ewe or "")
        if day is None or day <= first or birth.note not in seen.facts.breeding.matings.unexplained:
            continue
        if ewe is None or (can_lamb(ewe) and not too_young(ewe, day, terms.of(ewe.id).shortest)):
            yield NOT_EXPLAINED.at(
                birth.event.origin.span("ewe"),
                local("no joining explains this birth"),
                local("write the joining, or `sire: …` here if he is known"),
            )


def joinings(seen: Seen) -> Iterator[Diagnostic]:
    """Rams that are none, and rams out before they were in."""
    for event in seen.linked.of(Joining):
        if event.date is None:
            continue
        if event.out and event.out < event.date:
            yield OUT_BEFORE_IN.at(
                event.origin.span("out"),
                f"ram out {day_words(event.out)}, ram in {day_words(event.date)}",
                "correct one of the two",
            )
        for place, text in enumerate(event.rams):
            ram = seen.linked.named(event, text)
            if ram and seen.linked.animals[ram].sex not in (RAM, None) and happened(event, seen.today):
                yield NO_RAM.at(
                    event.origin.span(f"rams[{place}]"),
                    f"{seen.linked.animals[ram].called_in_full} is no ram",
                    "correct the ram",
                )


def breeds(seen: Seen) -> Iterator[Diagnostic]:
    """Lengths of pregnancy by breed that act for no sheep."""
    file = seen.settings.file
    here = breeds_here(seen.linked, seen.settings) if file.breed_gestation else {}
    for place, text in enumerate(file.breed_gestation):
        length = read_breed_length(text)
        if length and length[0] not in here:
            guess = did_you_mean(length[0], sorted(here.values()), slips=2).strip()
            cure = guess or "write the breed as in the sheep's notes, or as `breed` in flock.yaml"
            yield BREED_UNKNOWN.at(
                file.origin.span(f"breed_gestation[{place}]"), f"`{text}`: no sheep is of that breed", cure,
                "it changes nothing",
            )  # fmt: skip


CHECKS = (
    Check("mothers", mothers),
    Check("sires not explained", unexplained),
    Check("joinings", joinings),
    Check("breeds", breeds),
)
