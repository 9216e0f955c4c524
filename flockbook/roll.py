"""The roll while the notes are being read: every animal found so far, and how it is found by a name on a day."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from compiler.dates import PartialDate
from compiler.shape import Value
from compiler.source import Span
from flockbook.flock import WENT_BACK, Animal, Birth, Departure, Membership, Nursing
from flockbook.manner import day_words
from flockbook.records.breeding import Hire
from flockbook.records.event import Event
from flockbook.records.sheep import Sheep
from flockbook.trade import AGED, EWE, HAND_REARED_MOBS, RAM, SEX_PATTERN, SEXED, SEXES_MEANT, WETHER
from flockbook.two_words import by_two_words

LAMB_OF_HER = re.compile(
    rf"(?P<dam>.+?)['’]s (?:(?P<sex>{SEX_PATTERN}) )?lamb(?: (?P<year>\d{{4}}))?(?: (?P<place>\d))?", re.I
)
PAINT_NUMBER = re.compile(r"no\.? ?(?P<number>\d+)(?:/(?P<year>\d{4}))?", re.I)
WITH_YEAR = re.compile(r"(?P<tag>.+)/(?P<year>\d{4})")
CLASS_WORDS = {
    "all": (EWE, RAM, WETHER, None), "whole flock": (EWE, RAM, WETHER, None), "flock": (EWE, RAM, WETHER, None),
    "ewes": (EWE,), "rams": (RAM,), "tups": (RAM,), "bucks": (RAM,), "wethers": (WETHER,),
}  # fmt: skip
LAMB_WORDS = {
    "lambs": (EWE, RAM, WETHER, None), "ewe lambs": (EWE,), "ram lambs": (RAM,), "buck lambs": (RAM,),
    "wether lambs": (WETHER,),
}  # fmt: skip
KEYS_KEPT = 20_000  # words of which it is remembered how they are looked up
ONE_YEAR = 365  # days; "lambs" as a mob are sheep younger than this that are not named as a mob (common practice)


@dataclass(eq=False, slots=True)
class Draft:
    """An animal while the notes are still being read."""

    sex: str | None
    born: PartialDate | None
    tag: str | None = None
    name: str | None = None
    note: Sheep | None = None
    birth: Birth | None = None
    dam: Draft | None = None
    number: str | None = None
    arrived: date | None = None
    left: Departure | None = None
    tags: list[str] = field(default_factory=list)
    mobs: list[Membership] = field(default_factory=list)
    nursings: list[tuple[Draft | None, Event]] = field(default_factory=list)
    sires: list[Draft] = field(default_factory=list)
    dam_name: str | None = None
    sire_names: tuple[str, ...] = ()
    hires: list[Hire] = field(default_factory=list)
    bought_on: date | None = None
    id: str = ""

    @property
    def words(self) -> list[str]:
        """All that it can be called by."""
        official = [self.note.official, self.note.eid] if self.note else []
        return [word for word in (*self.tags, self.name, *official) if word]

    def present(self, day: date | None) -> bool:
        """Whether it had come and had not left before that day."""
        if day is None:
            return True
        come = (self.born is None or self.born.earliest <= day) and (self.arrived is None or self.arrived <= day)
        return come and (self.left is None or self.left.date >= day)

    def mob_on(self, day: date | None) -> str | None:
        """Its mob on a day."""
        held = [item.mob for item in self.mobs if item.since is None or day is None or item.since <= day]
        return held[-1] if held else None


class Found(Value):
    """What a name led to: one animal, or the several that fit, or none."""

    one: Draft | None = None
    several: tuple[Draft, ...] = ()


class Roll:
    """All animals found so far, findable by every word that they go by."""

    def __init__(self) -> None:
        """Nobody yet."""
        self.drafts: list[Draft] = []
        self.index: dict[str, list[Draft]] = {}

    def hire(self, event: Hire) -> None:
        """A ram that stands here for a while: the one of that tag who came before, has a note, or is new. He counts as
        here from the first hire to the end of the last, so that nothing given in between is lost.
        """
        known = [draft for draft in self.index.get(key_of(event.tag), []) if event.tag in draft.tags]
        lent = [draft for draft in known if draft.hires or is_not_ours_yet(draft, event.date)]
        if known and not lent:
            return  # one of the flock's own: a check tells it
        ram = lent[0] if lent else Draft(RAM, None, event.tag, event.name, tags=[event.tag])
        if not lent:
            self.drafts.append(ram)
        if ram.arrived and not ram.hires:
            ram.bought_on = ram.arrived
        ram.arrived = min((day for day in (ram.arrived, event.date) if day), default=None)
        ram.sex, ram.name = ram.sex or RAM, ram.name or event.name
        ends = event.until and event.date and event.until >= event.date
        back = ends and event.until and not ram.bought_on
        ram.left = Departure(WENT_BACK, event.until, event) if back and event.until else None
        ram.hires.append(event)
        if event.into and event.date:
            ram.mobs.append(Membership(event.into, event.date, event.origin.path))
        self.enter(ram)

    def buy_hired(self, tag: str, day: date | None) -> bool:
        """Whether the tag of a bought sheep is that of a hired ram, who belongs to the flock from that day on."""
        hired = next((draft for draft in self.index.get(key_of(tag), []) if draft.hires and tag in draft.tags), None)
        if hired is not None:
            hired.left, hired.bought_on = None, day or hired.bought_on
        return hired is not None

    def enter(self, draft: Draft) -> None:
        """Make an animal findable by all its words."""
        for word in draft.words:
            known = self.index.setdefault(key_of(word), [])
            if draft not in known:
                known.append(draft)

    def find(self, text: str, day: date | None) -> Found:
        """What a tag, a name or a number means on a day: living animals first."""
        called = self.candidates(text, day)
        fits = [one for one in called if day is None or one.born is None or one.born.earliest <= day]
        living = [draft for draft in fits if draft.present(day)]
        if len(living) == 1:
            return Found(living[0])
        if living:
            return Found(several=tuple(living))
        return Found(fits[0]) if len(fits) == 1 else Found(several=tuple(fits))

    def candidates(self, text: str, day: date | None) -> list[Draft]:
        """All animals that a text could name, on whatever day."""
        plain = " ".join(text.split())
        exact = [draft for draft in self.index.get(key_of(plain), []) if fits_word(draft, plain)]
        if exact:
            return exact
        if match := PAINT_NUMBER.fullmatch(plain):
            year = int(match["year"]) if match["year"] else (day.year if day else None)
            return [draft for draft in self.drafts if draft.number == match["number"] and born_that_year(draft, year)]
        if match := LAMB_OF_HER.fullmatch(plain):
            return self.lambs_called(match, day)
        if match := WITH_YEAR.fullmatch(plain):
            return [
                draft
                for draft in self.index.get(key_of(match["tag"]), [])
                if match["tag"] in draft.tags and born_that_year(draft, int(match["year"]))
            ]
        return by_two_words(plain, lambda word: self.index.get(key_of(word), []))

    def same(self, one: str, other: str) -> bool:
        """Whether two words can mean one sheep."""
        fits = self.candidates(other, None)
        return key_of(one) == key_of(other) or any(draft in fits for draft in self.candidates(one, None))

    def lambs_called(self, match: re.Match[str], day: date | None) -> list[Draft]:
        """`Bramble's ewe lamb 2026`, with a number where there are several."""
        year = int(match["year"]) if match["year"] else (day.year if day else None)
        dams = [draft for draft in self.index.get(key_of(match["dam"]), []) if fits_word(draft, match["dam"])]
        sexes = SEXES_MEANT.get((match["sex"] or "").lower(), ())
        lambs = [
            draft
            for draft in self.drafts
            if draft.dam in dams and born_that_year(draft, year) and (not sexes or draft.sex in sexes)
        ]
        if match["place"]:
            return lambs[int(match["place"]) - 1 : int(match["place"])]
        return lambs

    def mob_members(self, mob: str, day: date | None) -> list[Draft]:
        """The living members of a mob on a day; words like `ewes` or `lambs` when no mob is called so."""
        word = " ".join(mob.lower().split())
        living = [draft for draft in self.drafts if draft.present(day)]
        members = [draft for draft in living if (draft.mob_on(day) or "").lower() == word]
        if members:
            return members
        if word in CLASS_WORDS:
            young = (
                set()
                if word in ("all", "whole flock", "flock")
                else {id(draft) for draft in living if is_lamb(draft, day)}
            )
            return [draft for draft in living if draft.sex in CLASS_WORDS[word] and id(draft) not in young]
        return [
            draft for draft in living if word in LAMB_WORDS and draft.sex in LAMB_WORDS[word] and is_lamb(draft, day)
        ]

    def told_apart(self, mob: str, day: date | None) -> list[Draft]:
        """Those that a word such as `yearlings` or `bummers` means as far as the notes tell: whoever is not sure by
        age, sex or rearing is not among them, so nobody may be moved between mobs or sold by it.
        """
        word = " ".join(mob.lower().split())
        living = [draft for draft in self.drafts if draft.present(day)]
        if word in HAND_REARED_MOBS:
            return [draft for draft in living if is_lamb(draft, day) and is_hand_reared(draft)]
        if word in AGED:
            return [draft for draft in living if draft.sex in AGED[word] and is_yearling(draft, day)]
        return [draft for draft in living if draft.sex in SEXED.get(word, ())]


def gone_before(draft: Draft, day: date | None) -> bool:
    """Whether an animal had left before a day on which it is bought: it came back, and is a record of its own."""
    return draft.left is not None and day is not None and draft.left.date <= day and not draft.left.dead


def is_not_ours_yet(draft: Draft, day: date | None) -> bool:
    """Whether a sheep with a note of its own did not belong to the flock on a day: not born here, bought later."""
    later = draft.arrived is None or (day is not None and draft.arrived > day)
    return draft.note is not None and draft.birth is None and later


def is_yearling(draft: Draft, day: date | None) -> bool:
    """Whether an animal was between one year old and two."""
    born = draft.born.earliest if draft.born else None
    return day is not None and born is not None and ONE_YEAR <= (day - born).days < 2 * ONE_YEAR


def is_hand_reared(draft: Draft) -> bool:
    """Whether an animal is said to be reared by hand: by the last note of who reared it, its own, or that of its
    birth.
    """
    if draft.nursings:
        return draft.nursings[-1][0] is None
    noted = draft.note is not None and draft.note.reared_as == "pet"
    return noted or (draft.birth is not None and draft.birth.line.by_hand)


@lru_cache(KEYS_KEPT)
def key_of(word: str) -> str:
    """How a word is looked up: without case, blanks single."""
    return " ".join(word.casefold().split())


def fits_word(draft: Draft, text: str) -> bool:
    """Tags and numbers match exactly, names without case."""
    if text in draft.tags or (draft.name and key_of(draft.name) == key_of(text)):
        return True
    bare = re.sub(r"\W", "", text)
    return draft.note is not None and any(
        bare == re.sub(r"\W", "", item) for item in (draft.note.official, draft.note.eid) if item
    )


def born_that_year(draft: Draft, year: int | None) -> bool:
    """Whether an animal was born in a year (None: any)."""
    return year is None or (draft.born is not None and draft.born.year == year)


def is_lamb(draft: Draft, day: date | None) -> bool:
    """Whether an animal was younger than a year."""
    return day is not None and draft.born is not None and (day - draft.born.earliest).days < ONE_YEAR


def give_ids(drafts: list[Draft]) -> None:
    """Tag; tag and birth year where a tag was used twice; otherwise what it is called until it is tagged."""
    worn: dict[str, int] = {}
    for draft in drafts:
        if draft.tag:
            worn[draft.tag] = worn.get(draft.tag, 0) + 1
    taken: set[str] = set()
    litters: dict[int, list[Draft]] = {}
    for draft in drafts:
        if draft.birth:
            litters.setdefault(id(draft.birth.note), []).append(draft)
    for draft in (
        *(item for item in drafts if item.tag),
        *(item for item in drafts if not item.tag),
    ):
        wanted = (
            draft.tag
            if draft.tag and worn[draft.tag] == 1
            else f"{draft.tag}/{draft.born.year if draft.born else 'x'}"
            if draft.tag
            else untagged(draft, litters)
        )
        number = 1
        while (draft.id or wanted) in taken or not draft.id:
            draft.id = wanted if number == 1 else f"{wanted} {number}"
            number += 1
            if draft.id not in taken:
                break
        taken.add(draft.id)


def untagged(draft: Draft, litters: Mapping[int, list[Draft]]) -> str:
    """`<dam id> <ewe|ram> lamb <year> [n]`, as long as a lamb wears no tag."""
    if draft.note is not None and draft.name:
        return draft.name
    litter = (
        [item for item in litters.get(id(draft.birth.note), []) if item.sex == draft.sex and not item.tag]
        if draft.birth
        else []
    )
    dam = (
        draft.dam.id if draft.dam else (draft.birth.note.ewe if draft.birth and draft.birth.note.ewe else "unknown ewe")
    )
    words = [dam, *([draft.sex] if draft.sex else []), "lamb", str(draft.born.year if draft.born else "")]
    return " ".join([*words, str(litter.index(draft) + 1)] if len(litter) > 1 else words).strip()


def frozen(draft: Draft) -> Animal:
    """The animal a draft has become."""
    return Animal(
        draft.id, draft.tag, draft.name, draft.sex, draft.born,
        draft.dam.id if draft.dam else None,
        tuple(Nursing(ewe.id if ewe else None, note) for ewe, note in draft.nursings),
        tuple(sire.id for sire in draft.sires), draft.dam_name, draft.sire_names, draft.note, draft.birth,
        tuple(draft.tags), draft.number, draft.arrived, draft.left, tuple(draft.mobs), tuple(draft.hires),
        draft.bought_on,
    )  # fmt: skip


def described(draft: Draft) -> str:
    """How an animal is called in a message."""
    parts = [part for part in (draft.name, draft.tag) if part]
    year = f" born {draft.born.year}" if draft.born else ""
    return (
        f"{parts[0]} ({parts[1]})" if len(parts) == 2 else parts[0] if parts else draft.id or "an untagged lamb"
    ) + year


def origin_of(draft: Draft) -> Span:
    """Where an animal is written down."""
    if draft.note is not None:
        return draft.note.origin.span("tag")
    return draft.birth.line.span if draft.birth else Span("")


def shown(day: date | None) -> str:
    """A day as it stands in messages: 2 Jun 2026."""
    return day_words(day) if day else "an unknown day"


def unique(drafts: list[Draft]) -> list[Draft]:
    """Each animal once, in order of naming."""
    return list({id(draft): draft for draft in drafts}.values())
