"""The products of a flock: what they are called, also in a sentence, and which files about them cannot be used."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache

from compiler.nearness import near
from compiler.shape import Value, field
from flockbook.flock import Flock
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of
from flockbook.whom.lexicon import LONG_LETTERS, tokens

SHORT_WORD = 4  # letters up to which a word alone is not taken for a product's name (our own choice)
SLIP_LETTERS = 6  # letters of a product's name from which a word may be a slip of it (our own choice)
SHORTEST_START = 3  # letters of the beginning of a product's name (our own choice)
LONG_WORD = re.compile(rf"[^\W\d_]{{{SLIP_LETTERS - 1},}}")
WITH_THE = re.compile(r"\b(?:done|did|do|through|drenched|dosed|treated|over)\b[^.]*\bwith the (\w+)\b", re.I)
TWO_WORDS = re.compile(r"(?=\b([^\W\d_]{2,}) ([^\W\d_]{2,})\b)")
LETTER_RUNS = re.compile(r"[^\W\d_]{2,}")
VERB_ENDINGS = (re.compile("e?d$"), re.compile("ing$"), re.compile(r"(?<=(\w))\1(?:ed|ing)$"))  # `oxytetted`
APOSTROPHED = re.compile(r"(?<![\w'’])([^\W\d_]{3,})['’]e?d\b")  # `moxi'd`
SHORT_START = re.compile(r"(?<![\w'’-])[^\W\d_]{3,4}(?![\w'’-])")
BEFORE_A_START = re.compile(
    r"(?:^\W*|[+&,/] ?|\b(?:with|w|of|plus|and|had|has|got|gave|given|some|by|on)/? |\d ?(?:mls?|cc)? )$", re.I
)
BEHIND_A_START = re.compile(
    r"\W{0,3}\d|\W*$| (?:too|as well|also|at|same|today|yesterday|done|again|given|jab|drench|inject\w*|shot)\b", re.I
)
# Words of every day with which the name of a product may begin.
NO_START = frozenset(
    tokens(
        "all and aug back bad bar bat bay bee blue both calf call calm clos comb come cont copy cost cow dec deep dip "
        "dog drop dry ear ewe ewes exam extra eye eyes fat feb feed feet fen flu fly foot for fort fri glu goat good "
        "half hay head heel her hill hoof jan jun lamb lambs left lev lice low man mar mas max may med met mild milk "
        "min mob mon multi new nor not nov oat oats oct oil old one oral out over own pan par pen pens pet pig pro "
        "rain ram rams red rest sal salt sat sep sheep sick six skin spot straw sun super tab tag tail ten the thu "
        "tick top tot tri trim tub tue tup two ultra wed well worm"
    )
)
SAYS_NO = re.compile(r"\b(?:no|not|without|didn['’]t)\b", re.I)
_NONE_OF = r"(?:no|without|did(?: not|n['’]t) (?:use|give)(?: any)?|not given)"
_REST = r"(?:rest|remainder) of"
OF_A_REMAINDER = re.compile(_REST, re.I)
NAME_FIELD = re.compile(r"^\s*name\s*:\s*(.+?)\s*$", re.M)


class Products(Value):
    """The names of all products as one pattern, what each is called in its note, and, by looked-up name, a file about
    it that cannot be used.
    """

    pattern: re.Pattern[str]
    names: Mapping[tuple[str, ...], str]
    unread: Mapping[str, str]
    long_names: tuple[str, ...] = ()
    beginnings: frozenset[str] = frozenset()  # of the long names: what may stand before a blank within one
    names_here: frozenset[str] = frozenset()  # words by which sheep and mobs are called: none is a slip of a product
    slips: dict[str, str] = field(default_factory=dict)  # long words that were looked at, with what they are a slip of

    def product(self, text: str) -> str:
        """The product that a text names, or ""."""
        match = self.pattern.search(text) or ("-" in text and self.pattern.search(text.replace("-", ""))) or None
        if match:
            return match[0]
        found = next(self.misspelt(text), "") or next(self.split(text), "") or self.by_colour(text)
        return found or next(self.begun(text), "")

    def begun(self, text: str) -> Iterator[str]:
        """Words of a text that are only the beginning of a product's name: `oxytet`, `mox 8`, `moxi'd`."""
        for word in LONG_WORD.findall(text):
            yield from self.begins(word, SLIP_LETTERS - 1)
        for match in APOSTROPHED.finditer(text):
            yield from self.begins(match[1], SHORTEST_START)
        for match in SHORT_START.finditer(text):
            if match[0].casefold() in self.beginnings and stands_as_product(text, match):
                yield from self.begins(match[0], SHORTEST_START)

    def begins(self, word: str, fewest: int) -> Iterator[str]:
        """A word of so many letters or more, if a product's name begins with it and it is no word of every day."""
        start = word.casefold()
        if len(start) >= fewest and start in self.beginnings and start not in NO_START | self.names_here:
            yield word

    def without_those_not_given(self, text: str) -> str:
        """A text without the sentences that say no more than which product was not given: `No penicillin.`"""
        return not_given(self.pattern.pattern).sub("", text)

    def without_remainders(self, text: str) -> str:
        """A text in which `the rest of the penicillin` is penicillin and nobody: every sign else keeps its place."""
        if not OF_A_REMAINDER.search(text):
            return text
        return remainder(self.pattern.pattern).sub(lambda match: " " * len(match[0]), text)

    def by_colour(self, text: str) -> str:
        """`Ewes done with the white`: a product by the first word of its name; "" for none, or where none was given."""
        match = WITH_THE.search(text) if " the " in text.lower() else None
        word = match[1].casefold() if match else ""
        return next((name for name in self.names.values() if word and name.split()[0].casefold() == word), "")

    def split(self, text: str) -> Iterator[str]:
        """The names of products that stand in a text in two halves: `leva misole`."""
        halves = not self.beginnings.isdisjoint(map(str.casefold, LETTER_RUNS.findall(text)))
        for match in TWO_WORDS.finditer(text) if halves else ():
            if (name := (match[1] + match[2]).casefold()) in self.long_names:
                yield name

    def misspelt(self, text: str) -> Iterator[str]:
        """The names of products of which a long word of a text is one slip, or that it has made a verb of."""
        for word in LONG_WORD.findall(text):
            if word not in self.slips:
                self.slips[word] = self.slip_of(word.casefold())
            if self.slips[word]:
                yield self.slips[word]

    def slip_of(self, word: str) -> str:
        """The product whose name, or a verb made of it, a word is but for a slip; "" for none: `Moxidexed`."""
        if word in self.names_here:
            return ""
        stems = [word[: verb.start()] for ending in VERB_ENDINGS if (verb := ending.search(word))]
        whole = next((stem for stem in stems if len(stem) > SHORT_WORD and (stem,) in self.names), "")
        stems = [stem for stem in stems if len(stem) >= SLIP_LETTERS - 1]
        return whole or next((name for stem in (word, *stems) for name in near(stem, self.long_names)), "")

    def called(self, word: str) -> str:
        """The name of the product that a word, or the beginning of one, means, as its note gives it."""
        start = word.casefold()
        whole = next((name for name in self.long_names if start in self.beginnings and name.startswith(start)), start)
        return self.names.get(tokens(word)) or self.names.get(tokens(whole), word)


def stands_as_product(text: str, word: re.Match[str]) -> bool:
    """Whether a short word stands in a text as a product does: behind `with` or `had`, beside a figure, or last."""
    before, behind = BEFORE_A_START.search(text[: word.start()]), BEHIND_A_START.match(text, word.end())
    return before is not None or behind is not None


@cache
def not_given(name: str) -> re.Pattern[str]:
    """Sentences that only say which of the products that a pattern finds was not given."""
    plain = rf"{_NONE_OF} {name}(?: (?:used|given|needed))?|{name} not (?:used|given|needed)"
    return re.compile(rf"(?:^|(?<=[.!?;]))[ \t]*(?:{plain})[ \t]*(?=[.!?;]|$)", re.I | re.M)


@cache
def remainder(name: str) -> re.Pattern[str]:
    """What makes a remainder of a product, or of what holds one, that goes into somebody who is named, or stands last:
    not `the rest of the penicillin lot`.
    """
    holds = "bottle|tube|vial|pack|tub|jar|medicine|drench|wormer|dewormer|antibiotics?|jab|course"
    return re.compile(
        rf"\b{_REST} (?=(?:(?:the|that|this|our|my) )?(?:{name}|{holds})(?:\W*$|[.,;!] | (?:in)?to\b))", re.I
    )


def products_of(flock: Flock) -> Products:
    """The products by their whole names, and those that have a note, read or not, by the first word where that is a
    word of its own.
    """
    notes = flock.collection.of(Medicine)
    noted = [medicine.name or "" for medicine in notes]
    for hole in flock.collection.holes:
        if hole.kind == "medicine":
            noted += [hole.typed.get("name", ""), hole.typed.get("subject", "")]
    names: dict[str, str] = {}
    for name in noted:
        for word in spoken(name):
            names.setdefault(word.casefold(), name)
    for event in flock.collection.of(Treatment):
        whole = " ".join((event.medicine or "").split())
        if len(whole) > SHORT_WORD and whole.casefold() not in PLAIN_WORDS:
            names.setdefault(whole.casefold(), whole)
    for medicine in notes:
        for word in substances(medicine.active or ""):
            names.setdefault(word, medicine.name or "")
    longest_first = sorted(names, key=len, reverse=True)
    long_names = tuple(name for name in names if name.isalpha() and len(name) >= SLIP_LETTERS)
    pattern = "|".join(r"\s*".join(map(re.escape, name.split())) for name in longest_first) or r"(?!)"
    return Products(
        re.compile(rf"(?<!\w)(?:{pattern})(?!\w)", re.I),
        {tokens(name): product for name, product in names.items()},
        dict(unread_notes(flock)),
        long_names,
        frozenset(name[:end] for name in long_names for end in range(2, len(name))),
        frozenset(names_in(flock)),
    )


def names_in(flock: Flock) -> Iterator[str]:
    """The words by which sheep and mobs are called."""
    for animal in flock.animals.values():
        for name in (animal.name or "", *(item.mob for item in animal.mobs)):
            yield from name.casefold().split()


def unread_notes(flock: Flock) -> Iterator[tuple[str, str]]:
    """The looked-up names of products about which a file speaks that cannot be used, each with its path (V11)."""
    for other in flock.collection.others:
        if "withdrawal" in other.text and other.sort != "book":
            typed = NAME_FIELD.search(other.text)
            yield from ((name, other.path) for name in names_of(other.path, typed[1] if typed else ""))
    for hole in flock.collection.holes:
        if hole.kind in ("medicine", "") and hole.guarded:
            words = (hole.typed.get("name", ""), hole.typed.get("subject", ""))
            yield from ((name, hole.path) for name in names_of(hole.path, *words))


def names_of(path: str, *typed: str) -> set[str]:
    """What a file about a medicine may call it: in its fields, or by its own name."""
    stem = path.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    return {key_of(word) for word in (*typed, stem) if word}


PLAIN_WORDS = frozenset(
    tokens(
        "calcium vitamin selenium iodine vaccine drench injection oral spray wormer fluke pour fly pain relief "
        "liquid solution suspension tablet tablets powder paste bolus rumen sheep lambs cattle acetate combined "
        "injectable "
        "wormer treatment purple clear strong plain yellow white orange summer winter general first second large small "
        "copper zinc cobalt magnesium glucose milk colostrum clostridial"
    )
)


def substances(active: str) -> Iterator[str]:
    """The active ingredients by which a product is spoken of: each one long word, as in `levamisole, closantel`."""
    for part in re.split(r"[,;+&]|\band\b", active.casefold()):
        word = part.strip()
        if len(word) >= LONG_LETTERS and word.isalpha() and word not in PLAIN_WORDS:
            yield word


def spoken(name: str) -> Iterator[str]:
    """What a product is called in a sentence: its whole name, and its first word where that names nothing else."""
    name = " ".join(name.split())
    if len(name) > 2:
        yield name
        for word in re.split(r"[\s,+]", name):
            if re.fullmatch(r"[A-Z]{2,}[-&/][A-Z]+", word):  # a code such as CD-T
                yield word
                yield re.sub(r"[-&/]", "&", word)
            if len(word) > SHORT_WORD and word.isalpha() and word.casefold() not in PLAIN_WORDS:
                yield word
