"""What reading a treatment is made of: whom a piece means, who was named one by one, and where a piece stands."""

from __future__ import annotations

import re
from collections.abc import Iterable

from compiler.nearness import clipped, near
from compiler.schema import Cell
from compiler.shape import replace
from compiler.source import Span
from flockbook.naming import (
    MOB_AS_SHEEP,
)
from flockbook.records.health import Treatment
from flockbook.roll import LAMB_WORDS
from flockbook.trade import WIDER_THAN_MEANT
from flockbook.whom.dosing_verbs import DOSED
from flockbook.whom.dosing_words import TRADE_GROUPS
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.lexicon import CLASS, SHEEP, Bearer, Lexicon, tokens
from flockbook.whom.line_reading import named
from flockbook.whom.pieces import FIGURE, JOINT, NAME, PREFIX, RANGE, Piece, taken_apart
from flockbook.whom.whereabouts import Members

SHEEP_FIELDS = ("sheep", "mob", "ewe", "ewes", "ram", "rams", "lamb", "lambs", "wether")  # also where they are misspelt
NAMING_FIELDS = (
    *SHEEP_FIELDS, "who", "whom", "also", "animal", "animals", "tag", "tags", "name", "names", "which", "mobs", "group",
    "others", "and", "plus",
)  # fmt: skip
FIELD = re.compile(r"\s*[^\w\n]{0,4}([A-Za-z][\w -]{0,24}?)\s*[:：;=]\s*(.*)")
# Words by which further sheep are meant without being named.
MORE_WORDS = frozenset(
    tokens("next between other others rest both same all one ones lot two three four few her his their")
)
OPEN_ENDED = re.compile(
    r"[<>≥≤](?!/?\w+>)|\betc\b|(?:\.{3}|…)\s*$|\?|\d\s*[+-]\s*(?=,|;|$)|\d\s*(?:& up|and up|up|upwards|onwards?|on)\b",
    re.I,
)  # signs of more than is named
BUT_NOT = re.compile(r"\s(?:except(?: for)?|but(?: not)?|apart from|bar|minus|without)\s", re.I)
HER_LAMB = re.compile(
    r"(?<!dead )(?<!lost )(?<!stillborn )\b(?:lambs?|twins?|triplets?|pair|hers|gimmers?|tup lamb|daughters?"
    r"|sons?|youngsters?)\b"
    r"|\b(?:her|all|the|both of her) (?:two|three|both)\b"
    r"|\bboth\b(?! (?:feet|hinds?|fronts?|fores?|eyes?|sides?|ears?|legs?|teats?|horns?|knees?|quarters?|hips?))",
    re.I,
)
THEM = frozenset({"all", "all of them", "flock", "the lot"})  # in prose these mean those just spoken of
TOO = re.compile(
    rf"\b(?:too|also|as well|likewise|done|{DOSED}|same"
    r"|next(?! (?:week|time|day|month|year|spring|autumn)))\b",
    re.I,
)
WORDS_IN = ("for_", "site", "by", "place", "route", "batch", "vet")  # fields whose words may name another sheep
LATE_DAYS, EARLY_DAYS = 60, 31  # days around a note within which a dose that cannot be read may lie (our own choice)
SHORTEST_TAG = 3  # figures that a bare number in prose must have to be a tag (our own choice)


EXACT = (NAME, FIGURE, RANGE, JOINT, PREFIX)  # what a list may hold that takes away


class Reader:
    """The work of reading one treatment: what its parts share."""

    def __init__(self, verdict: Verdict, event: Treatment) -> None:
        self.verdict, self.event = verdict, event
        self.lexicon = verdict.known.lexicon
        self.spared: set[str] = set()
        self.prose: list[tuple[str, Span]] = []
        self.beside = False  # whether the words at hand stand beside a dose or a product
        self.counted: list[str] = []  # those dosed by name, range or mob, against whom `count` is held

    @property
    def by_name(self) -> list[str]:
        """Those whom a name or a line of their own means, whatever `except` says."""
        return [sheep for sheep in self.counted if sheep in self.verdict.dosed]

    def take(self, piece: Piece, span: Span, as_list: bool = False) -> tuple[str, ...]:
        """Whoever a piece means; a mob in the place of a sheep is told."""
        found = self.verdict.take(piece, span, self.event.count is not None)
        groups = any(bearer.sort != SHEEP for bearer in piece.bearers) and piece.sort == NAME
        if not groups:
            self.count_in(found)
        elif as_list and found:
            told = f"`{clipped(piece.text)}` is a {piece.bearers[0].sort}"
            self.verdict.told.append(MOB_AS_SHEEP.at(span, told, f"write `mob: {piece.text}`"))
            self.near_sheep(piece, span)
        return found

    def near_sheep(self, piece: Piece, span: Span) -> None:
        """A mob's name among sheep, one slip from a sheep's: that sheep may be meant."""
        ids = [bearer.name for bearer in self.lexicon.nearly(piece.text) if bearer.sort == SHEEP]
        here = [sheep for sheep in ids if self.verdict.here(sheep)]
        cure = f"write `mob: {piece.text}`, or the sheep's tag"
        self.verdict.doubt(
            here, self.verdict.because("V3", span, f"“{piece.text}” is a mob, and nearly this sheep", cure)
        )

    def count_in(self, ids: Iterable[str]) -> None:
        """These are named one by one."""
        self.counted += ids

    def ids(self, names: Iterable[Piece]) -> list[str]:
        """Everybody that some names can mean on the days of the note."""
        found: list[str] = []
        for piece in names:
            found += [sheep for sheep in self.verdict.sheep_meant(piece) if self.verdict.here(sheep)]
            found += [
                one for bearer in piece.bearers if bearer.sort != SHEEP for one in sorted(self.members_of(bearer))
            ]
        return list(dict.fromkeys(found))

    def ids_of(self, text: str) -> list[str]:
        """Everybody that the names of a text can mean."""
        return self.ids([piece for piece in taken_apart(text, self.lexicon) if named(piece)])

    def members_of(self, bearer: Bearer) -> frozenset[str]:
        """Everybody of a mob or class, sure or not."""
        found = self.verdict.members(bearer)
        return found.sure | found.perhaps | found.at_foot

    def everybody_here(self) -> frozenset[str]:
        """Everybody who was here on the days of the note."""
        return self.verdict.known.places.everybody(self.verdict.window)

    def exactly(self, text: str) -> set[str]:
        """The sheep that a text names exactly and wholly, a class spelled out."""
        pieces = exact(text, self.lexicon)
        found: set[str] = set()
        for piece in pieces:
            if piece.sort in (JOINT, PREFIX):
                continue
            ids = [sheep for sheep in self.verdict.sheep_meant(piece) if self.verdict.here(sheep)]
            classes = [bearer for bearer in piece.bearers if bearer.sort == CLASS]
            if not WIDER_THAN_MEANT.isdisjoint(tokens(piece.text)):
                return set()
            if classes:
                feet = self.verdict.known.places.at_foot(self.everybody_here(), self.verdict.window)
                ids = []
                for bearer in classes:
                    sure = self.verdict.members(bearer).sure
                    ids += sorted(sure & feet if bearer.name in LAMB_WORDS else sure)
            elif piece.sort != RANGE and len(ids) != 1:
                return set()
            found |= set(ids)
        return found


def exact(text: str, lexicon: Lexicon) -> list[Piece]:
    """The pieces of a text that is nothing but a list of names; none of any other, since what takes away must be
    certain.
    """
    pieces = taken_apart(text, lexicon)
    whole = "?" not in text and all(piece.sort in EXACT for piece in pieces)
    return pieces if whole else []


def freed_by(verdict: Verdict, texts: Iterable[str]) -> set[str]:
    """Those whom `not dosed` frees: sheep by names that fit no other, and everybody of the mobs and classes that it
    names (V10); `all` is no name.
    """
    found: set[str] = set()
    for piece in (piece for text in texts for piece in exact(text, verdict.known.lexicon)):
        sheep = verdict.sheep_meant(piece)
        sheep = tuple(one for one in sheep if verdict.here(one)) or sheep
        members = [verdict.members(one) for one in piece.bearers if one.sort != SHEEP and one.name != "all"]
        if len(sheep) == 1 or piece.sort == RANGE or piece.of_her is not None:
            found.update(sheep)
        found.update(one for group in members for one in everyone(group))
    return found


def ending_in(figures: str, known: Known) -> list[str]:
    """The sheep whose tags are letters with these figures at the end, as `214` for C214."""
    animals = known.flock.animals.values()
    return [
        one.id
        for one in animals
        if any(tag.endswith(figures) and not tag[: -len(figures)].isdigit() for tag in one.tags)
    ]


def trade_group(text: str, lexicon: Lexicon) -> re.Match[str] | None:
    """Words of the trade for sheep that no mob here is called by: `the gimmers too`."""
    match = TRADE_GROUPS.search(text)
    return match if match and not any(lexicon.mob_key(word) for word in match[0].split()) else None


def everyone(members: Members) -> list[str]:
    """All who surely or perhaps stood in a mob, and the lambs at their foot."""
    return sorted(members.sure | members.perhaps | members.at_foot)


def span_text(pieces: Iterable[Piece]) -> str:
    """The words of some pieces in a row."""
    return " ".join(piece.text for piece in pieces)


def words_of(event: Treatment, name: str) -> str:
    """The text of a field."""
    value = getattr(event, name)
    return ", ".join(value) if isinstance(value, tuple) else value or ""


def stretches(pieces: Iterable[Piece]) -> list[list[Piece]]:
    """The pieces between joints."""
    found: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.sort == JOINT:
            found.append([])
        else:
            found[-1].append(piece)
    return [stretch for stretch in found if stretch]


def as_mob(piece: Piece) -> Piece:
    """A name in a `mob` field: a mob or a class where there is one of that name."""
    groups = tuple(bearer for bearer in piece.bearers if bearer.sort != SHEEP)
    return replace(piece, bearers=groups) if groups else piece


def placed(span: Span, piece: Piece) -> Span:
    """The place of a piece in the text at a span, where that text stands as typed."""
    if span.length < piece.end:
        return span
    return span.shifted(piece.start, piece.end - piece.start)


def is_dash(cell: Cell) -> bool:
    """Whether a line is marked as an item: with a dash, a number, or as a row of a table."""
    return cell.sort in ("dash", "numbered", "row") or bool(re.match(r"\s*(?:>\s*)*[-*+•–—]\s*\S", cell.text))


def is_naming(name: str) -> bool:
    """Whether a field's name is one for sheep, but for a slip."""
    plain = " ".join(name.lower().split())
    return plain in NAMING_FIELDS or (len(plain) > 2 and bool(near(plain, SHEEP_FIELDS)))


def groups(piece: Piece) -> bool:
    """Whether a name can mean a mob or a class."""
    return any(bearer.sort != SHEEP for bearer in piece.bearers)
