"""Who there is, and where each stood on each day (V4, V5, V6), from the notes in order of time."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from tests.plainreading.paper import Note, parted

AT_FOOT = timedelta(days=120)
ASKED_AT_FOOT = timedelta(days=180)
ROLL = ("ewe", "ram", "wether", "lamb")
MOVERS = ("draft", "lambing", "foster", "tagging", "sale", "purchase", "weaning", "death")
LINE = re.compile(r"- (?:(ewe|ram) )?[\d.]+ kg(?:, tag (\w+))?(?:, no (\d+))?")
BOUGHT = re.compile(r"- (ewe|ram) tag (\w+)(?: (\w+))?, born (\d{4})")


@dataclass
class Claim:
    """A note that says where an animal belongs from a day on; `sure` is False when it might mean another (V5)."""

    mob: str
    since: date | None
    sure: bool = True
    one_of: bool = False  # the note's word fits several: one of them surely went there
    also: bool = False  # in a note not read whole: it stands where it stood as well


@dataclass(eq=False)
class Animal:
    """One animal, with everything it was ever called."""

    sex: str
    born: date
    tags: list[str] = field(default_factory=list)
    name: str = ""
    paint: str = ""
    dam: Animal | None = None
    place: int = 0
    came: date | None = None
    left: date | None = None
    weaned: date | None = None
    claims: list[Claim] = field(default_factory=list)
    nurses: list[tuple[date, Animal | None]] = field(default_factory=list)

    def words(self) -> list[str]:
        """Tags, former tags and name."""
        return [*self.tags, *([self.name] if self.name else [])]

    def there(self, first: date, last: date) -> bool:
        """Whether it was there on any of these days, the day it came and the day it went included."""
        return max(self.born, self.came or self.born) <= last and (self.left is None or self.left >= first)

    def lamb_on(self, day: date, longest: timedelta = AT_FOOT) -> bool:
        """Whether it may still suck: 120 days old at most, and not weaned before that day."""
        return self.dam is not None and day - self.born <= longest and (self.weaned is None or self.weaned >= day)

    def at_foot_of(self, day: date, longest: timedelta = AT_FOOT) -> list[Animal]:
        """V4: its birth dam and the ewes that had taken it by then, while it sucks."""
        if not self.lamb_on(day, longest) or self.dam is None:
            return []
        ewes = [self.dam, *(ewe for since, ewe in self.nurses if ewe is not None and since <= day)]
        return [ewe for ewe in ewes if ewe.there(day, day)]

    def mobs(self, day: date) -> list[Claim]:
        """V4, V5: the last claims before a day, both of two for one day, and all of the day itself whatever the clock
        says.
        """
        held: list[Claim] = []
        for claim in sorted(self.claims, key=lambda claim: claim.since or date.min):
            since = claim.since or date.min
            if since > day:
                break
            moved = claim.sure and not claim.also and since < day
            held = [each for each in held if not moved or each.since == since] + [claim]
        return held

    def went_beside(self, mob: str, day: date) -> bool:
        """V5: it stood there beside a ewe that it sucked, and no note has moved it itself since."""
        ewes = [(self.born, self.dam), *self.nurses]
        for given, ewe in ewes:
            for claim in ewe.claims if ewe else ():
                start = max(given, claim.since or given)
                moved = any(one.sure and one.since and start < one.since <= day for one in self.claims)
                beside = ewe in self.at_foot_of(start) and any(one is claim for one in (ewe.mobs(start) if ewe else ()))
                if start <= day and beside and not moved and plain(claim.mob) == plain(mob):
                    return True
        return False


@dataclass(eq=False)
class Flock:
    """All animals, and the mobs that some note declares or fills."""

    animals: list[Animal] = field(default_factory=list)
    mobs: set[str] = field(default_factory=set)
    notes: list[Note] = field(default_factory=list)

    def bearers(self, word: str) -> list[Animal]:
        """All that ever bore a word, exactly: tags letter by letter, names without case."""
        return [
            animal
            for animal in self.animals
            if word in animal.tags or (animal.name and animal.name.lower() == word.lower())
        ]

    def called(self, word: str, day: date) -> list[Animal]:
        """Whom a word means on a day: its bearers that were there then; lambs by paint number or by their dam."""
        return [animal for animal in (*self.bearers(word), *self.lambs(word)) if animal.there(day, day)]

    def lambs(self, word: str) -> list[Animal]:
        """`no 7/2026`, `Bramble's ewe lamb`."""
        if match := re.fullmatch(r"no (\d+)/(\d{4})", word):
            return [lamb for lamb in self.animals if (lamb.paint, str(lamb.born.year)) == match.groups()]
        match = re.fullmatch(r"(.+)'s (?:(ewe|ram) )?lamb", word)
        if match is None:
            return []
        return [
            lamb
            for dam in self.bearers(match[1])
            for lamb in self.animals
            if lamb.dam is dam and match[2] in (None, lamb.sex)
        ]

    def in_mob(self, mob: str, first: date, last: date) -> tuple[list[Animal], list[Animal]]:
        """Who stood in a mob on any of these days, surely and perhaps, day by day."""
        sure: list[Animal] = []
        perhaps: list[Animal] = []
        for day in days(first, last):
            for animal in self.animals:
                if animal.there(day, day):
                    here = [claim for claim in animal.mobs(day) if plain(claim.mob) == plain(mob)]
                    sure += [animal] * any(claim.sure for claim in here)
                    perhaps += [animal] * (any(not claim.sure for claim in here) or animal.went_beside(mob, day))
        return sure, [animal for animal in perhaps if animal not in sure]

    def held_nobody(self, mob: str, first: date, last: date) -> bool:
        """Whether it is not certain that anybody stood there on any of these days."""
        told = [
            claim
            for day in days(first, last)
            for animal in self.animals
            if animal.there(day, day)
            for claim in animal.mobs(day)
        ]
        return not any(plain(claim.mob) == plain(mob) and (claim.sure or claim.one_of) for claim in told)

    def feet(self, ewes: list[Animal], first: date, last: date) -> list[Animal]:
        """The lambs at their feet on any of these days."""
        return [
            lamb
            for lamb in self.animals
            if any(
                lamb.there(day, day) and any(ewe in ewes for ewe in lamb.at_foot_of(day)) for day in days(first, last)
            )
        ]


def days(first: date, last: date) -> list[date]:
    """Every day from first to last."""
    return [first + timedelta(days=step) for step in range((last - first).days + 1)]


def plain(mob: str) -> str:
    """V4: mob names are compared without case and doubled blanks."""
    return " ".join(mob.lower().split())


def gather(notes: list[Note]) -> Flock:
    """The flock that all notes speak of: animals first, then what happened to them in order of time."""
    flock = Flock(notes=notes)
    flock.mobs = {plain(note.head["name"]) for note in notes if note.kind == "mob"}
    for note in notes:
        if note.kind in ROLL:
            flock.animals.append(founder(note))
    told = [note for note in notes if note.kind in MOVERS and note.when is not None]
    for note in sorted(told, key=order):
        happen(flock, note)
    flock.mobs |= {plain(claim.mob) for animal in flock.animals for claim in animal.claims}
    return flock


def order(note: Note) -> tuple[date, bool, time]:
    """By day; on one day who comes is there for all that happens; then by the clock."""
    assert note.when is not None
    return note.when.day, note.kind not in ("lambing", "purchase"), note.when.order[1]


def founder(note: Note) -> Animal:
    """An animal with a note of its own: `C214 Bramble.md`. An undated `mob:` is where it began (V5)."""
    tag, _, name = note.stem.partition(" ")
    claims = [Claim(note.head["mob"], None)] if "mob" in note.head else []
    return Animal(note.kind, birthday(note.head["born"]), [tag], name, claims=claims)


def birthday(text: str) -> date:
    """`2021` or `2021-04-03`; the generator gives whole dates to all that are near a limit of age."""
    return date.fromisoformat(text if len(text) > 4 else f"{text}-07-01")


def happen(flock: Flock, note: Note) -> None:
    """What one note does to the animals."""
    doing = {
        "draft": draft, "lambing": lambing, "foster": foster, "tagging": tagging, "sale": leave, "death": leave,
        "purchase": purchase, "weaning": wean,
    }[note.kind]  # fmt: skip
    doing(flock, note)


def day_of(note: Note) -> date:
    """The day of a note that has one."""
    assert note.when is not None
    return note.when.day


def draft(flock: Flock, note: Note) -> None:
    """Sheep into another mob. V5: if it cannot be read whole, whoever it could move is in both places: those it names
    and, for a word that names nobody, everybody that was there.
    """
    day, into = day_of(note), note.head["into"]
    words = parts_of(flock, note)  # V5: a draft that names nobody could move everybody
    means = [flock.called(word, day) for word in words]
    whole = (
        bool(means)
        and all(len(found) == 1 for found in means)
        and note.head.get("count", str(len(words))) == str(len(words))
    )
    for fits in means:
        for animal in fits:
            animal.claims.append(Claim(into, day, len(fits) == 1, len(fits) > 1, also=not whole))
    if not means or not all(means):
        for animal in flock.animals:
            if animal.there(day, day):
                animal.claims.append(Claim(into, day, False))


def parts_of(flock: Flock, note: Note) -> list[str]:
    """V2: a comma parts always; other joints only where every part is known."""
    commas = [(part.strip(), parted(part)) for part in note.head.get("sheep", "").split(",") if part.strip()]
    called = [(part, words, all(flock.called(word, day_of(note)) for word in words)) for part, words in commas]
    return [word for part, words, known in called for word in (words if known else [part])]


def lambing(flock: Flock, note: Note) -> None:
    """Lambs, which begin where their dam stands."""
    day, mother = day_of(note), note.head.get("ewe") or note.subject
    dam = flock.called(mother, day)[0]
    for line in note.body:
        match = LINE.fullmatch(line)
        if match is None:
            continue
        lamb = Animal(match[1] or "", day, [match[2]] if match[2] else [], paint=match[3] or "", dam=dam)
        lamb.claims = [Claim(claim.mob, day, claim.sure) for claim in dam.mobs(day)]
        lamb.place = len([other for other in flock.animals if other.dam is dam and other.born == day])
        flock.animals.append(lamb)


def foster(flock: Flock, note: Note) -> None:
    """A lamb onto another ewe, or on the bottle."""
    lamb = flock.called(note.head["lamb"], day_of(note))[0]
    ewe = flock.called(note.head["onto"], day_of(note))[0] if "onto" in note.head else None
    lamb.nurses.append((day_of(note), ewe))


def tagging(flock: Flock, note: Note) -> None:
    """`- no 7 = 731`, `- C230 now C777`. V6: every tag leads to the animal on every day."""
    for line in note.body:
        old, new = re.split(r" = | now ", line.removeprefix("- "))
        flock.called(old, day_of(note))[0].tags.append(new)


def leave(flock: Flock, note: Note) -> None:
    """Sold or dead."""
    for word in note.listed("sheep"):
        flock.called(word, day_of(note))[0].left = day_of(note)


def purchase(flock: Flock, note: Note) -> None:
    """New sheep, a line each, into a mob."""
    for line in note.body:
        match = BOUGHT.fullmatch(line)
        assert match is not None
        animal = Animal(match[1], birthday(match[4]), [match[2]], match[3] or "", came=day_of(note))
        animal.claims = [Claim(note.head["into"], day_of(note))]
        flock.animals.append(animal)


def wean(flock: Flock, note: Note) -> None:
    """Lambs taken from their mothers."""
    for word in note.listed("lambs"):
        flock.called(word, day_of(note))[0].weaned = day_of(note)


def ident(flock: Flock, animal: Animal) -> str:
    """What the facts file calls it: its tag, else by its dam."""
    if animal.tags:
        return animal.tags[-1]
    assert animal.dam is not None
    sex = f"{animal.sex} " if animal.sex else ""
    wanted = f"{ident(flock, animal.dam)} {sex}lamb {animal.born.year}"
    alike = [
        other
        for other in flock.animals
        if not other.tags and other.dam is animal.dam and other.sex == animal.sex and other.born == animal.born
    ]
    return wanted if len(alike) == 1 else f"{wanted} {alike.index(animal) + 1}"


__all__ = ["Animal", "Flock", "days", "gather", "ident", "parted", "plain"]
