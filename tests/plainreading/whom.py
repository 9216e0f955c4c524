"""Whom a treatment concerns: V1 to V4 and V6, V13, word by word."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache

from tests.plainreading.flock import Animal, Flock, days, plain
from tests.plainreading.paper import Note, days_unread, parted
from tests.plainreading.until import doses

YEAR, NEAR_LIMIT = 365, 60  # V4: lambs are younger than a year; doubtful within 60 days of it
CROP = 200  # days up to which lambs are of this year's crop (common practice)
CLASSES: dict[str, tuple[tuple[str, ...], bool | None]] = {
    "all": (("ewe", "ram", "wether", ""), None),
    "ewes": (("ewe",), False), "rams": (("ram",), False), "wethers": (("wether",), False),
    "lambs": (("ewe", "ram", "wether", ""), True), "ewe lambs": (("ewe",), True), "ram lambs": (("ram",), True),
}  # fmt: skip


@dataclass
class Whom:
    """Animals surely dosed, animals that the words could mean, and all that a word which names nobody could mean."""

    dosed: list[Animal] = field(default_factory=list)
    perhaps: list[Animal] = field(default_factory=list)
    anybody: list[Animal] = field(default_factory=list)
    heads: int = 0  # how many were named by words that fit several
    one_of: list[list[Animal]] = field(default_factory=list)  # those of whom a word means one

    def add(self, other: Whom) -> None:
        """All that the other means too (V1: the union)."""
        self.dosed += other.dosed
        self.perhaps += other.perhaps
        self.anybody += other.anybody
        self.heads += other.heads
        self.one_of += other.one_of


def window(note: Note) -> tuple[date, date]:
    """V4: from the first dose to the last, the note's own day and the days of a planned course included.

    V13: a note whose days, or a field of no known meaning, cannot be read might speak of any day until now, and of as
    many days before as V9 lets pass.
    """
    told = [when.day for when in doses(note)]
    assert note.when is not None
    told.append(note.when.day)
    if "finished" not in note.head:
        told.append(min(told) + timedelta(days=max(int(note.head.get("days", "1")), 1) - 1))
    if days_unread(note):
        return min(told) - timedelta(days=60), max(*told, note.asked)
    return min(told), max(told)


def concerned(flock: Flock, note: Note) -> Whom:
    """All whom a treatment concerns."""
    first, last = window(note)
    whom, left_out = Whom(), excepted(flock, note, first, last)
    for word in (*note.listed("sheep"), *lines(note)):
        whom.add(meaning(flock, note, word, left_out))
    for word in note.listed("mob"):
        whom.add(meaning(flock, note, word, left_out, of_mobs=True))
    whom.add(file_name(flock, note, whom, left_out))
    nobody = not whom.dosed and not whom.perhaps and not whom.anybody  # nothing was named, or `except` left nobody
    if nobody or counted_otherwise(flock, note, whom):
        whom.anybody += whole_flock(flock, first, last)
    return whom


def lines(note: Note) -> list[str]:
    """The first word of every dash line, and the first cell of every row of a table."""
    dashes = [
        re.sub(r"( [\d.]+ (kg|ml))+$", "", line.removeprefix("- ")) for line in note.body if line.startswith("- ")
    ]
    rows = [line.split("|")[1].strip() for line in note.body if line.startswith("|")]
    return [*dashes, *(cell for cell in rows if cell != "sheep" and not cell.startswith("-"))]


def file_name(flock: Flock, note: Note, head: Whom, left_out: list[Animal]) -> Whom:
    """V1: the union of what the file name and the head say; whom only the name of a file with a head says: held."""
    found = Whom()
    for word in in_file_name(flock, note):
        found.add(meaning(flock, note, word, left_out))
    if not {"sheep", "mob"} & set(note.head):
        return found
    otherwise = [animal for animal in (*found.dosed, *found.perhaps) if animal not in head.dosed]
    return Whom([], otherwise, found.anybody, one_of=[otherwise])


def in_file_name(flock: Flock, note: Note) -> list[str]:
    """V1: sheep and mobs in the file name; a class only if the head names neither. Other words there say what for."""
    headed = {"sheep", "mob"} & set(note.head)
    return [
        word
        for word in {note.subject, *note.subject.split()} - {""}
        if known(flock, word) and not (word in CLASSES and headed)
    ]


def excepted(flock: Flock, note: Note, first: date, last: date) -> list[Animal]:
    """V1: `except` takes away by exact names; `lambs` those at foot."""
    found: list[Animal] = []
    for word in whole_words(flock, note.head.get("except", "")):
        named = (*flock.bearers(word), *flock.lambs(word))
        bearers = [animal for animal in named if animal.there(first, last)]
        found += bearers if len(bearers) == 1 else []
        if word == "lambs":
            found += flock.feet(flock.animals, first, last)
    return found


def whole_words(flock: Flock, text: str) -> list[str]:
    """V2: a comma parts always; other joints only where every part is known."""
    parts = [(part, parted(part)) for part in text.split(",")]
    whole = [words if all(known(flock, word) for word in words) else [part.strip()] for part, words in parts]
    return [word for words in whole for word in words]


def known(flock: Flock, word: str) -> bool:
    """Whether a word is a sheep, a lamb, a mob or a class."""
    return bool(flock.bearers(word) or flock.lambs(word)) or plain(word) in flock.mobs or word in CLASSES


def counted_otherwise(flock: Flock, note: Note, whom: Whom) -> bool:
    """A count above that of the animals named; for a mob, any other count: it might have held others then.

    The rules do not speak of counts; the program holds the whole flock, and so does this reading.
    """
    if "count" not in note.head or ranges(note):
        return False
    count, named = int(note.head["count"]), len({id(animal) for animal in whom.dosed}) + whom.heads
    of_mob = any(plain(word) in flock.mobs for word in (*note.listed("mob"), *note.listed("sheep")))
    return count > named or (of_mob and count != named)


def ranges(note: Note) -> list[str]:
    """The ranges among its words."""
    return [word for word in note.listed("sheep") if re.fullmatch(r"\w*\d-\w*\d+", word)]


def meaning(flock: Flock, note: Note, word: str, left_out: list[Animal], of_mobs: bool = False) -> Whom:
    """V3: whom one word means; in the field `mob` a mob or class of that name, whatever sheep is called so."""
    first, last = window(note)
    group = plain(word) in flock.mobs or word in CLASSES
    sheep = [] if of_mobs and group else [*flock.bearers(word), *flock.lambs(word)]
    sheep = [animal for animal in sheep if animal.there(first, last)]
    whom = members(flock, word, first, last, left_out) if group else Whom()
    sheep = without(sheep, left_out) if group else sheep
    if len(sheep) == 1 and not group:
        return Whom(sheep)
    if sheep or whom.dosed:
        one_of = [] if group else [sheep]
        return Whom(whom.dosed, [*whom.perhaps, *sheep], heads=0 if group else len(sheep), one_of=one_of)
    if group and not (word in CLASSES and whom.perhaps) and flock.held_nobody(word, first, last):
        # So the word might mean another mob, but nobody that is excepted, or the day be wrong.
        others = [*whole_flock(flock, first, last), *(ever_of(flock, note, word) if not whom.perhaps else [])]
        return Whom([], whom.perhaps, without(others, left_out) if whom.perhaps else others)
    if group:
        return whom
    if re.fullmatch(r"\w*\d-\w*\d+", word):
        return row_of_tags(flock, note, word)
    if gone_or_to_come := flock.bearers(word):
        # The rules name nobody here, since nobody of that name was there; the program holds the whole flock, and her.
        return Whom([], gone_or_to_come, whole_flock(flock, first, last))
    near = narrowed(flock, note, word)
    if len(near) == 1:
        found = meaning(flock, note, near[0], left_out)
        meant = [*found.dosed, *found.perhaps]
        lambs = flock.feet(meant, first, last)  # it might have been "Bramble's lamb"
        meant += without(lambs, left_out)
        return Whom([], meant, found.anybody, one_of=[meant])
    return Whom([], [], whole_flock(flock, first, last))


def members(flock: Flock, word: str, first: date, last: date, left_out: list[Animal]) -> Whom:
    """V4: a class, a mob with the lambs at its ewes' feet, or both where they bear one name."""
    whom = Whom()
    if word in CLASSES:
        whom.add(of_class(flock, word, first, last))
    if plain(word) in flock.mobs:
        sure, perhaps = flock.in_mob(word, first, last)
        whom.add(Whom([*sure, *flock.feet(sure, first, last)], [*perhaps, *flock.feet(perhaps, first, last)]))
    return Whom(without(whom.dosed, left_out), without(whom.perhaps, left_out))


def ever_of(flock: Flock, note: Note, word: str) -> list[Animal]:
    """V13: whoever was ever put into a mob, or was of a class on any day since: an exact name beats "came later"."""
    first, last = window(note)
    found = [
        animal for animal in flock.animals for claim in animal.claims
        if plain(word) in flock.mobs and plain(claim.mob) == plain(word)
    ]  # fmt: skip
    later = of_class(flock, word, first, max(last, note.asked)) if word in CLASSES else Whom()
    return [*found, *later.dosed, *later.perhaps]


def without(animals: Iterable[Animal], left_out: list[Animal]) -> list[Animal]:
    """Those that were not left out."""
    return [animal for animal in animals if all(animal is not other for other in left_out)]


def of_class(flock: Flock, word: str, first: date, last: date) -> Whom:
    """V4: by sex and age on those days; sex unknown, or an age near the limit: doubtful.

    Who is of the class by the calendar though near the limit is dosed for the program; by the text it is doubtful.
    Where lambs of a younger crop are here, last year's are hoggs (the program's own rule, common practice).
    """
    sexes, young = CLASSES[word]
    whom, crop = Whom(), any(0 <= (last - animal.born).days <= CROP for animal in whole_flock(flock, first, last))
    for animal in flock.animals:
        here = [day for day in days(first, last) if animal.there(day, day)]
        if not here or (animal.sex and animal.sex not in sexes):
            continue
        ages = [(day - animal.born).days for day in here]
        fits = young is None or any((age < YEAR) == young for age in ages)
        near = young is not None and any(abs(age - YEAR) <= NEAR_LIMIT for age in ages)
        unsexed = not animal.sex and "" not in sexes
        if fits and not unsexed:
            whom.dosed.append(animal)
        elif fits or (near and not (young and crop)):
            whom.perhaps.append(animal)
    return whom


def row_of_tags(flock: Flock, note: Note, word: str) -> Whom:
    """V3: every tag inside it; surely if the count says so."""
    first, last = window(note)
    low, high = (int(re.sub(r"\D", "", end)) for end in word.split("-"))
    stem = re.sub(r"\d+$", "", word.split("-")[0])
    tags = [f"{stem}{number}" for number in range(low, high + 1)]
    inside = [animal for animal in flock.animals if animal.there(first, last) and set(tags) & set(animal.tags)]
    if not inside:
        return Whom([], [], whole_flock(flock, first, last))
    rest = [named for other in note.listed("sheep") if other != word for named in flock.bearers(other)]
    if "count" not in note.head:
        return Whom([], inside)
    if int(note.head["count"]) > len(inside) + len(rest):
        return Whom(inside, [], whole_flock(flock, first, last))
    return Whom(inside)


def whole_flock(flock: Flock, first: date, last: date) -> list[Animal]:
    """V3, V13: everybody that was there on any of those days."""
    return [animal for animal in flock.animals if animal.there(first, last)]


def narrowed(flock: Flock, note: Note, word: str) -> list[str]:
    """V3: the bearers of words near to this one, when nearness may decide."""
    if len(word) < 4 or re.search(r"\d", word) or used_elsewhere(flock, note, word):
        return []
    slips = 2 if len(word) >= 7 else 1
    words = {each for animal in flock.animals for each in animal.words()} | flock.mobs | set(CLASSES)
    near = sorted({each for each in words if slip(word.lower(), each.lower()) <= slips})
    return near if sum(max(len(flock.bearers(each)), 1) for each in near) == 1 else []


def used_elsewhere(flock: Flock, note: Note, word: str) -> bool:
    """Whether another note uses the word too: then it is no slip."""
    return any(
        word in [*other.listed("sheep"), *other.listed("mob"), *lines(other)]
        for other in flock.notes
        if other is not note
    )


@cache
def slip(one: str, other: str) -> int:
    """How many letters must be added, lost, changed or swapped with the next."""
    if not one or not other:
        return len(one) + len(other)
    if one[-1] == other[-1]:
        return slip(one[:-1], other[:-1])
    ways = [slip(one[:-1], other), slip(one, other[:-1]), slip(one[:-1], other[:-1])]
    if len(one) > 1 and one[-2:] == other[-2:][::-1]:
        ways.append(slip(one[:-2], other[:-2]))
    return 1 + min(ways)
