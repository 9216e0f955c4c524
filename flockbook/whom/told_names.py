"""Whom the words of a note of any kind name, as far as a dose could be told of them (V8)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import Any

from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.places import Mob
from flockbook.records.rearing import Foster
from flockbook.records.sheep import Sheep
from flockbook.whom.days import days_in, days_told
from flockbook.whom.dosing_verbs import VACCINATED
from flockbook.whom.dosing_words import HER_KIN, VERBS
from flockbook.whom.holes import STAMP
from flockbook.whom.judging import Verdict
from flockbook.whom.kin_beside import LAMBS, kin_beside
from flockbook.whom.known import Known, around
from flockbook.whom.lexicon import CLASS, EVERYBODY_WORDS, MOB, NARROW_LETTERS, SHEEP, folded, letters, sheep_of, tokens
from flockbook.whom.line_reading import NO_NAMES, NOISE, named, stands_for_name
from flockbook.whom.pieces import FIGURE, JOINT, NAME, PREFIX, WORD, Piece, taken_apart
from flockbook.whom.reader import FIELD, ending_in, everyone, freed_by, groups, is_naming
from flockbook.whom.tag_ends import completed, ends_of_range
from flockbook.whom.told_objects import OF_MANY
from flockbook.whom.told_texts import texts_of
from flockbook.whom.treatments import YEAR_FOLDER, moved_to
from flockbook.whom.whereabouts import Window

OF_TAGS = frozenset({"ewe", "tag", "no", "number", "ram", "tup", "buck", "lamb", "sheep", "hogg", "gimmer", "wether"})
AMONG = re.compile(r"\s*(?:,|&|\+|/|:|(?:and|too|also|as well)\b|\d)", re.I)  # behind a short tag: more of them
NO_AND_FIGURES = re.compile(r"(?:nos?\.?|numbers?|#)\s*(\d{3,})", re.I)
DONE_TO = re.compile(rf"\s+(?:\w+,? )?(?:{VACCINATED})\b", re.I)
LAST_WORD = re.compile(r"\w+$")
AND_FIRST = frozenset({"and", "&", "+", "plus", "also"})


class NameReader:
    """Reads whom the words of one note name, on the days that it can speak of."""

    def __init__(self, known: Known, record: Any) -> None:
        self.known, self.products, self.record = known, known.products, record
        event = record if isinstance(record, Event) else None
        self.day: date | None = event_day(event, known.clock) if event else None
        self.told_on: tuple[date, date] | None = None
        self.words, self.earlier = "", ""
        given = [day for name in ("given", "finished") for day in days_in(record.origin.unread.get(name, ""))]
        given += in_other_years(event, self.day) if event and self.day else []
        window = around([self.day, *given]) if self.day else Window(date.min, known.clock)
        self.verdict = Verdict(known, record.origin.path, window, event, self.day)
        later = known.flock.struck.get(record.origin.path)
        new = next((one for one in known.flock.events if one.origin.path == later), None) if later else None
        said = (*(event.not_dosed if event else ()), *(new.not_dosed if new else ()))
        self.freed = freed_by(self.verdict, said)
        self.frees_all = any(folded(text.strip()) in (*EVERYBODY_WORDS, "nobody") for text in said)

    def lists_names(self, text: str) -> bool:
        """Whether a line or a short sentence is nothing but names: it goes on with the list before it."""
        pieces = taken_apart(text, self.known.lexicon)
        passed = NOISE | AND_FIRST | NO_NAMES
        plain = all(
            named(piece) or piece.sort in (JOINT, PREFIX) or piece.dose or folded(piece.text) in passed
            for piece in pieces
        )
        return plain and any(named(piece) and (piece.proper or groups(piece)) for piece in pieces)

    def meets_sheep(self, sentence: str) -> bool:
        """Whether a sentence names a sheep, a mob or a class."""
        pieces = taken_apart(sentence, self.known.lexicon)
        tags = any(piece.sort == FIGURE and piece.bearers and len(piece.text) > 2 for piece in pieces)
        return tags or any(piece.sort == NAME and self.is_written(piece) for piece in pieces)

    def is_written(self, piece: Piece) -> bool:
        """Whether a piece is written as a name: with a capital, as a mob or class, or as one of some length."""
        return piece.proper or groups(piece) or len(piece.text) > NARROW_LETTERS

    def kin_of(self, ids: list[str], text: str) -> list[str]:
        """`731 and its dam`: the dams, or the others of the litter, of those named."""
        match = HER_KIN.search(text) if ids else None
        if match is None:
            return []
        animals = self.known.flock.animals
        dams = {animals[sheep].dam for sheep in ids}
        if match[1].lower() in ("mother", "mum", "dam", "ewe"):
            return [dam for dam in dams if dam]
        return [animal.id for animal in animals.values() if animal.dam and animal.dam in dams]

    def kin_named(self, pieces: list[Piece]) -> list[str]:
        """`the mother of 731`, `gimmer C214`: dams of those named, or lambs."""
        found: list[str] = []
        for name, _, whom in kin_beside(pieces):
            for sheep in self.verdict.sheep_meant(name):
                dam = self.known.animal(sheep).dam
                found += self.verdict.young_of(sheep) if whom == LAMBS else [dam] if dam else []
        return found

    def joins_a_stranger(self, pieces: list[Piece]) -> bool:
        """Whether a name stands there that nobody bears: one slip from somebody's, or joined by `and` to a name."""
        return any(
            piece.proper
            and piece.sort == WORD
            and folded(piece.text) not in NO_NAMES
            and not self.products.product(piece.text)
            and (
                self.known.lexicon.nearly(piece.text)
                or (
                    pieces[place - 1].sort == JOINT
                    and pieces[place - 1].text.lower() in ("and", "&", "+")
                    and stands_for_name(pieces, place, self.known.lexicon)
                )
            )
            for place, piece in enumerate(pieces)
            if place or letters(piece.text) > NARROW_LETTERS
        )

    def named_by(self, pieces: Sequence[Piece], sure: bool) -> list[str]:
        """Whom the pieces of a sentence mean, or nearly mean; a mob or a ewe straight before a class narrows it."""
        narrow = self.narrowed(pieces)
        found = [sheep for ids in narrow.values() for sheep in ids]
        rest = [piece for place, piece in enumerate(pieces) if place not in narrow]
        return [*(sheep for piece in rest for sheep in (*self.meant(piece, sure), *self.nearly(piece))), *found]

    def narrowed(self, pieces: Sequence[Piece]) -> dict[int, list[str]]:
        """`the hill ewes`, `Bramble and lambs`: the places of such words, with those whom they mean together."""
        found: dict[int, list[str]] = {}
        for place, (mob, of_class) in enumerate(pairwise(pieces)):
            if is_all(mob, MOB) and is_all(of_class, CLASS) and of_class.start - mob.end == 1:
                ids = set(self.everybody_of(mob)) & set(self.everybody_of(of_class))
                found |= {place: sorted(ids), place + 1: []} if ids else {}
        for place, (ewe, joint, lambs) in enumerate(zip(pieces, pieces[1:], pieces[2:], strict=False)):
            if joint.sort == JOINT and folded(joint.text) in AND_FIRST and folded(lambs.text) == "lambs":
                young = [one for sheep in self.verdict.sheep_meant(ewe) for one in self.verdict.young_of(sheep)]
                found |= {place + 2: young} if young and is_all(ewe, SHEEP) and is_all(lambs, CLASS) else {}
        return found

    def nearly(self, piece: Piece) -> list[str]:
        """The sheep from whose name a word in lower case is one slip away: `Drenched Bramble and teasle.`"""
        if piece.sort != WORD or piece.proper or letters(piece.text) <= NARROW_LETTERS:
            return []
        return [one for one in sheep_of(self.known.lexicon.nearly(piece.text)) if self.verdict.here(one)]

    def meant(self, piece: Piece, sure: bool) -> list[str]:
        """Whom one piece of the sentence means: names with a capital or figure; others only beside a product or
        amount.
        """
        if not named(piece) or (piece.sort == FIGURE and len(piece.text) < 3 and not self.is_joined(piece)):
            return []
        if not piece.proper and not sure and not (len(piece.text) > 3 and any(b.sort == SHEEP for b in piece.bearers)):
            groups = [bearer for bearer in piece.bearers if bearer.sort != SHEEP]
            if not groups:
                return []
        sheep = [one for one in self.verdict.sheep_meant(piece) if self.verdict.here(one)]
        if piece.of_her is not None and not piece.whose:  # `Bramble twins` may be what she carries
            sheep += [one for one in sheep_of(piece.bearers) if self.verdict.here(one)]
        return sheep + [
            one for bearer in piece.bearers if bearer.sort != SHEEP for one in everyone(self.verdict.members(bearer))
        ]

    def by_ends(self, pieces: list[Piece]) -> list[str]:
        """`C214, 230`: sheep of whom only the end of the tag is written, behind another's whole tag."""
        found: list[str] = []
        tag = ""
        lexicon = self.known.lexicon
        for place, piece in enumerate(pieces):
            joint = place > 0 and pieces[place - 1].sort == JOINT
            if tag and piece.sort == FIGURE and not piece.bearers and (joint or len(piece.text) > 2):
                wholes = [whole for figures in piece.text.split(",") for whole in completed(tag, figures, lexicon)]
                found += [one for whole in wholes for one in sheep_of(lexicon.means(tokens(whole), whole))]
            elif ends := ends_of_range(piece):
                found += [one for end in ends for one in ending_in(str(end), self.known)]
            elif numbered := NO_AND_FIGURES.fullmatch(piece.text):
                found += ending_in(numbered[1], self.known)
            elif named(piece):
                tag = piece.text if piece.text[-1:].isdigit() else ""
            elif piece.sort == FIGURE and len(piece.text) > 2 and not tag:
                found += ending_in(piece.text, self.known)
        return [sheep for sheep in found if self.verdict.here(sheep)]

    def is_joined(self, piece: Piece) -> bool:
        """Whether a short figure that is a tag stands behind a joint in the sentence at hand: `Fern and 12`."""
        before, behind = self.words[: piece.start].rstrip().lower(), self.words[piece.end :]
        last = LAST_WORD.search(before)
        dosed = last is not None and (last[0].isdigit() or VERBS.search(last[0]) is not None)
        joined = before.endswith(("and", ",", "&", "+", "/", "#", "ewe", "tag", "no", "nos", "to"))
        first = not before or before.endswith((".", ";", ","))  # `4 drenched, 5 drenched`
        return dosed or joined or AMONG.match(behind) is not None or (first and DONE_TO.match(behind) is not None)

    def about(self) -> list[str]:
        """Those whom the note as a whole is about."""
        if isinstance(self.record, Sheep):
            own = self.known.flock.animals.values()
            return [animal.id for animal in own if animal.note is self.record]
        if isinstance(self.record, Lambing):
            lambs = self.known.flock.litters.get(self.record.origin.path, ())
            return [*self.known.flock.who(self.record), *(lamb.id for lamb in lambs)]
        if isinstance(self.record, Foster):
            given = self.known.flock.who(self.record)
            onto = self.known.flock.named(self.record, self.record.onto or "")
            return [*given, *self.verdict.dams_of(given), *((onto,) if onto else ())]
        if isinstance(self.record, Mob):
            key = " ".join(tokens(self.record.name or ""))
            members = self.known.places.members(key, Window(*(self.told_on or (date.min, self.known.clock))))
            return [*self.named_in_words(), *everyone(members)]
        if isinstance(self.record, Event) and (about := list(self.known.flock.who(self.record))):
            key = " ".join(tokens(self.record.mob or ""))
            return [*about, *everyone(self.known.places.members(key, self.verdict.window))]
        if isinstance(self.record, Event):
            return self.named_by_file() or self.named_before()
        return self.named_in_words() or self.named_by_file()

    def named_before(self) -> list[str]:
        """Those whom the note names before the sentence at hand, or in lists; nobody where only one is named before
        words of work on many: `Fern lame. Drenching done.`
        """
        texts = (text for text, _ in texts_of(self.record) if self.words not in text)
        lists = [text for text in texts if self.lists_names(text)]
        before = taken_apart(self.earlier, self.known.lexicon)
        pieces = [*before, *(piece for text in lists for piece in taken_apart(text, self.known.lexicon))]
        found = list(dict.fromkeys(one for piece in pieces if self.is_name(piece) for one in self.everybody_of(piece)))
        alone = not lists and len(found) == 1 and OF_MANY.search(self.words) is not None
        return [] if alone else found

    def everybody_of(self, piece: Piece) -> list[str]:
        """The sheep that a name means, and everybody of its mobs and classes."""
        sheep = [one for one in self.verdict.sheep_meant(piece) if self.verdict.here(one)]
        others = [bearer for bearer in piece.bearers if bearer.sort != SHEEP]
        return sheep + [one for bearer in others for one in everyone(self.verdict.members(bearer))]

    def is_name(self, piece: Piece) -> bool:
        """Whether a piece is written as a name of a sheep, or names a mob or class."""
        plain = piece.proper and (piece.sort != FIGURE or len(piece.text) > 2 or self.is_listed(piece))
        return named(piece) and (plain or groups(piece))

    def is_listed(self, piece: Piece) -> bool:
        """Whether a short tag stands beside a joint in the words before: `Lame today: 12, 5.`"""
        behind, before = self.earlier[piece.end :].lstrip(), self.earlier[: piece.start].rstrip()
        return AMONG.match(behind) is not None or before.endswith((",", "and", "&", "+"))

    def named_by_file(self) -> list[str]:
        """The sheep, and everybody of the mobs, that the name of the note's file names: `job hill`."""
        stem = self.record.origin.path.rpartition("/")[2].rpartition(".")[0]
        pieces = taken_apart(STAMP.sub(" ", stem).removeprefix(self.record.origin.kind), self.known.lexicon)
        ids = [one for piece in pieces if piece.proper for one in self.verdict.sheep_meant(piece)]
        found = [one for one in ids if self.verdict.here(one)]
        mobs = [bearer for piece in pieces for bearer in piece.bearers if bearer.sort == MOB]
        return found + [one for mob in mobs for one in everyone(self.verdict.members(mob))]

    def names_anybody(self) -> bool:
        """Whether the words of the note name a sheep, a mob or a class."""
        if isinstance(self.record, Event) and (self.record.mob or any(True for _ in self.record.mentions())):
            return True
        texts = (text for text, _ in texts_of(self.record))
        pieces = (piece for text in texts for piece in taken_apart(text, self.known.lexicon))
        return any(piece.sort == NAME and (piece.proper or groups(piece)) for piece in pieces)

    def names_somebody(self) -> bool:
        """Whether the words of the note name a sheep."""
        return bool(self.named_in_words())

    def named_in_words(self) -> list[str]:
        """The sheep that the words of the note name anywhere."""
        found: list[str] = []
        listed_ = [item.text for item in self.record.mentions()] if isinstance(self.record, Event) else []
        for text in (*listed_, *(text for text, _ in texts_of(self.record))):
            field = FIELD.match(text)
            listed = field is not None and is_naming(field[1])
            for piece in taken_apart(text, self.known.lexicon):
                plain = piece.proper and (piece.sort != FIGURE or len(piece.text) > 2)
                if named(piece) and (plain or listed):
                    found += [one for one in self.verdict.sheep_meant(piece) if self.verdict.here(one)]
        return list(dict.fromkeys(found))


def is_all(piece: Piece, sort: str) -> bool:
    """Whether a name can mean nothing but a mob, a class or a sheep."""
    return named(piece) and bool(piece.bearers) and all(bearer.sort == sort for bearer in piece.bearers)


def has_stray_tag(pieces: list[Piece]) -> bool:
    """Whether a figure that nobody bears stands behind a word for sheep: `ewe 230`."""
    return any(
        before.sort == PREFIX and before.text.lower() in OF_TAGS and piece.sort == FIGURE and not piece.bearers
        for before, piece in pairwise(pieces)
    )


def and_first(pieces: list[Piece]) -> bool:
    """Whether the first name of a sentence is a further one: `Drenched, and Teasel.`"""
    place = next((place for place, piece in enumerate(pieces) if named(piece)), 0)
    return place > 0 and pieces[place - 1].text.lower() in AND_FIRST


def in_other_years(event: Event, day: date) -> list[date]:
    """The day of a note in the year of the folder that it lies in, where that is a later one (V9)."""
    years = [int(year[1]) for year in YEAR_FOLDER.finditer(event.origin.path)]
    return [moved_to(day, year) for year in years if year > day.year]


def event_day(event: Event, clock: date) -> date | None:
    """The day of an event; where its head gives none, that of its file's name in any writing."""
    return event.date or next(days_told(event.origin.path, clock.year), None)
