"""Every word that can mean a sheep, a mob or a class, and whom it means: finished before any note is judged by it.

A tag given in June leads to the same lamb in a note of May (V6), and no word needs the order of the notes.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from compiler.nearness import near
from compiler.shape import Value
from flockbook.flock import Animal, Flock
from flockbook.records.breeding import Hire
from flockbook.records.event import Event
from flockbook.records.handling import Tagging
from flockbook.records.places import Drafting, Mob
from flockbook.records.sheep import Sheep
from flockbook.records.trade import Purchase
from flockbook.roll import CLASS_WORDS, KEYS_KEPT, LAMB_WORDS
from flockbook.trade import CLASSES, CLASSES_TOO

SHEEP, MOB, CLASS = "sheep", "mob", "class"
PLAIN_WORD = re.compile(r"[^\W_]+")
# Words for everybody, beside the classes that linking knows (common practice).
EVERYBODY_WORDS = (
    "all",
    "whole flock",
    "flock",
    "everybody",
    "everyone",
    "everything",
    "all sheep",
    "the lot",
    "all of them",
    "whole lot",
    "the whole lot",
    "the whole flock",
    "all of the flock",
    "every sheep",
    "every one",
    "all hands",
)
# How a mob is called in a sentence, beside its bare name.
MOB_PHRASES = (
    "{}", "the {}", "all {}", "all the {}", "all of the {}", "whole {}", "the whole {}", "{} mob", "the {} mob",
    "{} lot",
    "the {} lot", "{} sheep", "{} group", "{} bunch", "{} flock", "{} ones", "mob {}", "all {} mob", "all the {} mob",
    "whole {} mob", "everything in {}", "all in {}", "all on {}", "all on the {}", "everything on {}",
)  # fmt: skip
CLASS_NAMES = frozenset((*CLASS_WORDS, *LAMB_WORDS)) - frozenset(CLASSES)  # those by which a slip may be narrowed
CLASS_SYNONYMS = {
    **CLASSES, "girls": "ewes", "boys": "rams",
    "youngsters": "lambs", "young ones": "lambs", "little ones": "lambs", "wedders": "wethers",
    "weaners": "lambs", "mothers": "ewes", "mums": "ewes", "dams": "ewes", "lamb crop": "lambs",
}  # fmt: skip
# Words that mean lambs as well as grown sheep.
OF_EVERY_AGE = {
    "females": ("ewe lambs",), "girls": ("ewe lambs",),
    **CLASSES_TOO,
    "males": ("ram lambs", "wethers", "wether lambs"), "boys": ("ram lambs", "wethers", "wether lambs"),
}  # fmt: skip
FIGURED = re.compile(r"\d")
NARROW_LETTERS, LONG_LETTERS = 4, 7  # letters from which a name may be one slip away, and two (V3; our own limits)
SHORT_NUMBER = 5  # figures of the last part of an official number, by which a sheep may be called
LONG_NUMBER = 9  # figures from which a number is an official or electronic one, whatever its blanks

Key = tuple[str, ...]


class Bearer(Value):
    """Whom a word can mean: a sheep (by id), a mob (by key) or a class (by its word)."""

    sort: str
    name: str


class Entry(Value):
    """One word of one bearer; a tag keeps its letters' case, so that `c1` and `C1` can be two sheep."""

    word: str
    bearer: Bearer
    tag: bool = False
    phrase: bool = False  # a way of speaking of a mob, which nobody misspells letter by letter


@dataclass(slots=True)
class Lexicon:
    """All words of a flock, by their tokens; `heads` gives the keys that begin with a token, the longest first."""

    entries: dict[Key, list[Entry]] = field(default_factory=dict)
    heads: dict[str, list[Key]] = field(default_factory=dict)
    numbers: dict[str, list[Bearer]] = field(default_factory=dict)
    painted: dict[str, list[Animal]] = field(default_factory=dict)
    mobs: dict[str, str] = field(default_factory=dict)  # key → as it was first written
    declared: set[str] = field(default_factory=set)
    animals: Mapping[str, Animal] = field(default_factory=dict)
    # Remembered until a word is added: texts that were taken apart, words of letters alone, and what is near a word.
    taken: dict[str, list[Any]] = field(default_factory=dict)
    of_letters: dict[str, list[Bearer]] = field(default_factory=dict)
    near_words: dict[tuple[str, int], tuple[Bearer, ...]] = field(default_factory=dict)

    def add(self, word: str | None, bearer: Bearer, tag: bool = False, phrase: bool = False) -> None:
        """Make a bearer findable by a word."""
        for remembered in (self.taken, self.of_letters, self.near_words):
            remembered.clear()
        key = tokens(word or "")
        entry = Entry(" ".join((word or "").split()), bearer, tag, phrase)
        if key and entry not in self.entries.setdefault(key, []):
            self.entries[key].append(entry)
            keys = self.heads.setdefault(key[0], [])
            if key not in keys:
                keys.append(key)
                keys.sort(key=len, reverse=True)

    def means(self, key: Key, typed: str) -> tuple[Bearer, ...]:
        """Whom a word means; where a tag is written exactly so, tags that differ in case are not meant."""
        found = self.entries.get(key, [])
        plain = " ".join(typed.split())
        exact = any(entry.tag and entry.word == plain for entry in found)
        return tuple(dict.fromkeys(item.bearer for item in found if not (exact and item.tag and item.word != plain)))

    def number(self, text: str) -> tuple[Bearer, ...]:
        """Whom an official or an electronic number means, however it is spaced."""
        return tuple(self.numbers.get(bare(text), ()))

    def nearly(self, text: str, slips: int = 1) -> tuple[Bearer, ...]:
        """Whoever has a word of letters within so many slips of a text."""
        asked = (folded(text), slips)
        if asked not in self.near_words:
            words = self.spelt()
            found = near(asked[0], words, most=len(words) or 1, slips=slips)
            self.near_words[asked] = tuple(dict.fromkeys(bearer for word in found for bearer in words[word]))
        return self.near_words[asked]

    def spelt(self) -> dict[str, list[Bearer]]:
        """The words of letters alone, with whoever has them; gathered once."""
        for entry in (one for entries in self.entries.values() for one in entries) if not self.of_letters else ():
            plain = entry.bearer.sort != CLASS or entry.word in CLASS_NAMES
            if plain and not entry.phrase and not FIGURED.search(entry.word):
                self.of_letters.setdefault(folded(entry.word), []).append(entry.bearer)
        return self.of_letters

    def mob_key(self, text: str) -> str | None:
        """The key of a mob called so, or None."""
        key = " ".join(tokens(text))
        return key if key in self.mobs else None


def tokens(text: str) -> Key:
    """The words of a text as they are looked up: no case, accents, blanks, apostrophes or dashes."""
    return tuple(PLAIN_WORD.findall(folded(text)))


@lru_cache(KEYS_KEPT)
def folded(text: str) -> str:
    """A text without case and accents."""
    if text.isascii():
        return text.casefold()
    apart = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in apart if not unicodedata.combining(sign)).casefold()


INVISIBLE = dict.fromkeys((0xAD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF))  # signs of no width: no part of a name


def composed(text: str) -> str:
    """A text without signs of no width, its accents on their letters."""
    return unicodedata.normalize("NFC", text).translate(INVISIBLE)


def bare(text: str) -> str:
    """A number without blanks and signs."""
    return re.sub(r"[\W_]", "", text).casefold()


def lexicon_of(flock: Flock) -> Lexicon:
    """The lexicon of a linked flock."""
    found = Lexicon(animals=flock.animals)
    for animal in flock.animals.values():
        own = Bearer(SHEEP, animal.id)
        for word, tag in names_of_sheep(animal):
            found.add(word, own, tag)
        for number in (animal.note.official, animal.note.eid) if animal.note else ():
            enter_number(found, number, own)
        if animal.note and animal.note.official and len(end := tokens(animal.note.official)[-1]) >= SHORT_NUMBER:
            found.add(end, own)
        if animal.number:
            found.painted.setdefault(animal.number, []).append(animal)
    for sheep, eid in numbers_told(flock):
        enter_number(found, eid, Bearer(SHEEP, sheep))
    enter_mobs(found, flock)
    for word in EVERYBODY_WORDS:
        found.add(word, Bearer(CLASS, "all"))
    for word in (*CLASS_WORDS, *LAMB_WORDS, *CLASS_SYNONYMS):
        if word not in EVERYBODY_WORDS:
            enter_class(found, word)
    return found


def enter_class(found: Lexicon, word: str) -> None:
    """A class by its word, alone and behind the words that go with it."""
    bearer = Bearer(CLASS, CLASS_SYNONYMS.get(word, word))
    for before in (
        "",
        "all ",
        "all the ",
        "all my ",
        "the ",
        "my ",
        "every ",
        "this year's ",
        "all of the ",
        "all this year's ",
    ):
        found.add(before + word, bearer)
    for before in ("every", "each"):
        found.add(f"{before} {word.removesuffix('s')}", bearer)
    for young in OF_EVERY_AGE.get(word, ()):
        for before in ("", "all ", "all the ", "the "):
            found.add(before + word, Bearer(CLASS, young))


def names_of_sheep(animal: Animal) -> Iterator[tuple[str, bool]]:
    """All that a sheep can be called by, with whether it is a tag; the words of its note's file name are among them."""
    for tag in dict.fromkeys((*animal.tags, animal.tag)):
        if tag:
            yield tag, True
    if animal.name:
        yield animal.name, False
    if animal.note is not None:
        tag, _, name = file_words(animal.note).partition(" ")
        if re.search(r"\d", tag):
            yield tag, True
            yield name, False
        else:
            yield file_words(animal.note), False
    if not animal.tag and not animal.name:
        yield animal.id, False


def file_words(sheep: Sheep) -> str:
    """The name of a sheep note's file without folder, ending and kind."""
    stem = sheep.origin.path.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    return re.sub(rf"^{sheep.origin.kind}[ _-]+", "", stem, flags=re.I)


def enter_number(found: Lexicon, number: str | None, bearer: Bearer) -> None:
    """An official or electronic number, as a word and without its blanks."""
    if number and bare(number):
        found.add(number, bearer)
        found.numbers.setdefault(bare(number), []).append(bearer)


def numbers_told(flock: Flock) -> Iterator[tuple[str, str]]:
    """Electronic numbers that tagging and purchase notes give, by the sheep's id."""
    events = [one for one in flock.events if isinstance(one, Tagging | Purchase)]
    for one in events:
        for line in one.lines:
            sheep = flock.named(one, line.sheep)
            if sheep and line.eid:
                yield sheep, line.eid


def enter_mobs(found: Lexicon, flock: Flock) -> None:
    """Every mob that a note declares or that a sheep ever belonged to."""
    for mob in flock.collection.of(Mob):
        if mob.name:
            found.declared.add(" ".join(tokens(mob.name)))
    for name in mob_names(flock):
        key = " ".join(tokens(name))
        if key and key not in found.mobs:
            found.mobs[key] = name
            for phrase in MOB_PHRASES:
                found.add(phrase.format(name), Bearer(MOB, key), phrase=phrase != "{}")


def mob_names(flock: Flock) -> Iterator[str]:
    """Names of mobs as written: in mob notes first, then where sheep were put into them."""
    yield from (mob.name for mob in flock.collection.of(Mob) if mob.name)
    yield from (item.mob for animal in flock.animals.values() for item in animal.mobs)
    for event in flock.collection.of(Event):
        into = event.into if isinstance(event, Drafting | Purchase | Hire) else None
        if into:
            yield into


def letters(text: str) -> int:
    """How many letters a word has; 0 if it has a figure, since a tag is never narrowed by nearness (V3)."""
    return 0 if re.search(r"\d", text) else sum(sign.isalpha() for sign in text)


def sheep_of(bearers: Iterable[Bearer]) -> tuple[str, ...]:
    """The ids of the sheep among bearers."""
    return tuple(bearer.name for bearer in bearers if bearer.sort == SHEEP)
