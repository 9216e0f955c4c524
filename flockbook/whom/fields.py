"""The fields of a treatment that name: lists of sheep, mobs and classes, and what of them could not be read (V1 to
V3).
"""

from __future__ import annotations

import re

from compiler.nearness import clipped, near
from compiler.shape import replace
from compiler.source import Span
from flockbook.naming import (
    EXCEPT_UNKNOWN,
    LINE_NOT_WHOLE,
    NAMES_DIFFER,
)
from flockbook.whom.dosing_words import ALL_BUT
from flockbook.whom.kin_beside import LAMBS, kin_beside
from flockbook.whom.lexicon import CLASS, FIGURED, MOB, folded, sheep_of
from flockbook.whom.line_reading import KIN, named, nameless_kin, strangers_in
from flockbook.whom.pieces import AMOUNT, DATE, FIGURE, JOINT, NAME, PREFIX, RANGE, WORD, Piece, taken_apart
from flockbook.whom.reader import (
    BUT_NOT,
    MORE_WORDS,
    OPEN_ENDED,
    SHORTEST_TAG,
    TOO,
    Reader,
    as_mob,
    ending_in,
    is_naming,
    placed,
    stretches,
)
from flockbook.whom.strangers import TOO_WORDS
from flockbook.whom.tag_ends import completed, shortened
from flockbook.whom.whereabouts import Members

OF_DAYS = ("given", "finished")  # fields in which `5/25 - 5/29` is days and no range of tags
DAY_OF_MONTH = re.compile(r"(?<![\w/.-])\d{1,2}[/.]\d{1,2}(?:[/.]\d{2,4})?(?![\w/])")
SHORTEST_RANGE = 5  # signs of a range of tags, `230-231`; days of a month are shorter
OF_A_MOB = frozenset({"of", "in", "on", "from", "the"})  # `ewes of hill`
BRACKETED_NAME = re.compile(r"[^()\d]+ \([^()]+\)")  # `Tessie (C230)`
AMOUNT_ALONE = re.compile(r"^\W*\d[\d.,]*\s*(?:mls?|ccs?|tab\w*)\b", re.I)
ALL_OF_IT = re.compile(r"(?<=\w )\((?:all|all of them|the lot|whole mob|every one|everyone)\)", re.I)  # `hill (all)`


class FieldReader(Reader):
    """Reads the fields that name."""

    def read_fields(self) -> None:
        """`sheep` and `mob`, also what of them could not be read."""
        for place, text in enumerate(self.event.sheep):
            self.read_but_some(text, self.event.origin.span(f"sheep[{place}]"))
        if self.event.mob:
            self.read_but_some(self.event.mob, self.event.origin.span("mob"), mob=True)
        for name in ("sheep", "mob"):
            if name in self.event.origin.broken:
                self.read_list(self.event.origin.typed.get(name, ""), self.event.origin.span(name), name == "mob")
        for name, text in self.event.origin.typed.items():
            if name not in ("sheep", "mob", "except_", "date", "medicine", "lines"):
                sought = DAY_OF_MONTH.sub(lambda day: " " * len(day[0]), text) if name in OF_DAYS else text
                self.read_loosely(sought, self.event.origin.span(name))

    def read_but_some(self, text: str, span: Span, mob: bool = False) -> None:
        """`hill except Teasel`: what stands behind such a word is taken away, if it is named exactly and the rest of
        the line reads without an error.
        """
        match, lost = BUT_NOT.search(text), len(self.verdict.lost)
        found = self.exactly(text[match.end() :]) if match else set()
        self.spared |= found
        self.read_list(text[: match.start()] if match and found else text, span, mob)
        if found and len(self.verdict.lost) > lost:
            self.spared -= found
            why = f"“{clipped(text)}” is not understood as a whole, so nobody on it is certain to have been left out"
            cure = "write the tags of all that were dosed, one by one"
            self.verdict.doubt(sorted(found), self.verdict.because("V2", span, why, cure))

    def read_list(self, text: str, span: Span, mob: bool = False) -> None:
        """A list of sheep, mobs and classes: every part must be known, or it is a word that names nobody (V2, V3)."""
        text = ALL_OF_IT.sub(lambda match: " " * len(match[0]), text)
        pieces = taken_apart(text, self.lexicon)
        if OPEN_ENDED.search(text):
            self.verdict.unknown(text.strip(), span, mob)
        if self.as_one_name(pieces, text, span, mob):
            return
        self.read_foot(pieces, span)
        self.ends_too(pieces, span)
        for stretch in sorted(stretches(pieces), key=lambda part: not any(named(piece) for piece in part)):
            names = [piece for piece in stretch if named(piece)]
            self.read_stretch(stretch, names, text, span, mob)
        if not any(named(piece) or piece.sort in (WORD, FIGURE) for piece in pieces) and text.strip():
            self.verdict.unknown(text.strip(), span, mob)

    def ends_too(self, pieces: list[Piece], span: Span) -> None:
        """`102/3` where 3 and 103 both live: both readings are meant (V2)."""
        for tag, joint, piece in zip(pieces, pieces[1:], pieces[2:], strict=False):
            if joint.sort != JOINT or piece.sort != FIGURE or not piece.bearers or not tag.text[-1:].isdigit():
                continue
            if not shortened(tag.text, piece.text, joint.text):
                continue
            for whole in completed(tag.text, piece.text, self.lexicon):
                ids = [one for one in self.ids_of(whole) if one not in self.verdict.dosed]
                cure = f"write `{tag.text}, {whole}` or `{tag.text}, {piece.text}`, whichever was dosed"
                text = f"`{piece.text}` behind `{tag.text}` can be {whole} too"
                self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), text, cure)
                self.verdict.doubt(ids, self.verdict.because("V2", span, text.replace("`", "“", 1), cure))

    def read_foot(self, pieces: list[Piece], span: Span) -> None:
        """`C230 and lamb`, `Harrow and tup`: the lambs of a ewe named before, or one of a class, without a name."""
        for name, word, whom in kin_beside(pieces):
            self.read_kin_beside(name, word, self.lambs_beside(name) if whom == LAMBS else self.dams_of(name), span)
        for ewe, piece, of_class in nameless_kin(pieces):
            if of_class:
                self.read_kin(piece, of_class, span)
                continue
            lambs = [*self.litter_mates(ewe), *self.dams_of(ewe)]
            lambs += [lamb for sheep in self.verdict.sheep_meant(ewe) for lamb in self.verdict.young_of(sheep)]
            cure = f"name the lamb: `{ewe.text}'s lamb`, or its tag"
            self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), f"`{piece.text}` does not say which", cure)
            self.verdict.doubt(
                lambs, self.verdict.because("V6", span, f"“{ewe.text} and {piece.text}” means her lambs", cure)
            )

    def lambs_beside(self, name: Piece) -> list[str]:
        """The lambs of the ewes that a name means, where it means a grown sheep."""
        grown = [one for one in self.verdict.sheep_meant(name) if not self.verdict.of_the_year(one)]
        return [lamb for sheep in grown for lamb in self.verdict.young_of(sheep)]

    def read_kin_beside(self, name: Piece, word: Piece, ids: list[str], span: Span) -> None:
        """`gimmer C214`, `731's dam`: the one who is named, or her lamb, or its dam."""
        if not ids:
            return
        cure = "write the tag or the name of each that was dosed, and no other"
        text = f"`{clipped(name.text)}` and `{word.text}` together can mean another sheep"
        self.verdict.tell(LINE_NOT_WHOLE, placed(span, word), text, cure)
        self.verdict.doubt(ids, self.verdict.because("V6", span, text.replace("`", "“", 1).replace("`", "”", 1), cure))

    def litter_mates(self, piece: Piece) -> list[str]:
        """The others of the litters of those named: `731 and twin`."""
        animals = self.verdict.known.flock.animals
        dams = {animals[sheep].dam for sheep in self.verdict.sheep_meant(piece) if animals[sheep].dam}
        return [one.id for one in animals.values() if one.dam in dams and self.verdict.here(one.id)]

    def dams_of(self, piece: Piece) -> list[str]:
        """The dams of those named: `731 and mother`."""
        animals = self.verdict.known.flock.animals
        return [
            dam for sheep in self.verdict.sheep_meant(piece) if (dam := animals[sheep].dam) and self.verdict.here(dam)
        ]

    def read_kin(self, piece: Piece, of_class: str, span: Span) -> None:
        """One of a class that is not named: any of them may be meant."""
        cure = f"name it: the tag of the {piece.text}"
        self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), f"`{piece.text}` does not say which", cure)
        found = self.verdict.known.places.of_class(of_class, self.verdict.window)
        ids = sorted((found.sure | found.perhaps) - self.verdict.dosed.keys())
        self.verdict.doubt(ids, self.verdict.because("V3", span, f"“{piece.text}” does not say which", cure))

    def as_one_name(self, pieces: list[Piece], text: str, span: Span, mob: bool) -> bool:
        """Whether the whole text is one known name, joints and all."""
        whole = pieces[0] if pieces else None
        if whole is None or whole.sort != NAME or len(text.strip()) != whole.end - whole.start:
            return False
        for piece in pieces:
            if named(piece):
                self.take(as_mob(piece) if mob else piece, span, as_list=not mob)
        return True

    def read_stretch(self, stretch: list[Piece], names: list[Piece], text: str, span: Span, mob: bool) -> None:
        """What stands between two joints: names of one sheep, several names, or words that name nobody."""
        unknown = [piece for piece in stretch if piece.sort == WORD or (piece.sort == FIGURE and not piece.bearers)]
        if self.at_odds(names, span) or self.classes_of_a_mob(stretch, names, span):
            return
        if unknown and self.mere_words(stretch, unknown, text):
            cure = "write such words into the body of the note"
            over = text[unknown[0].start : unknown[-1].end]
            self.verdict.tell(
                LINE_NOT_WHOLE, placed(span, unknown[0]), f"`{clipped(over)}` stands among the names", cure
            )
            unknown = []
        for piece in names:
            self.take(as_mob(piece) if mob else piece, placed(span, piece), as_list=not mob)
        if unknown:
            first, last = unknown[0], unknown[-1]
            self.verdict.unknown(text[first.start : last.end], placed(span, first), mob and not names)
        self.amounts_among_names(stretch, names, span)

    def classes_of_a_mob(self, stretch: list[Piece], names: list[Piece], span: Span) -> bool:
        """`hill ewes`, `ewes of hill`: those of the class in the mob (V4)."""
        between = {folded(piece.text) for piece in stretch if piece not in names}
        sorts = {piece: {bearer.sort for bearer in piece.bearers} for piece in names}
        mob = next((piece for piece in names if sorts[piece] == {MOB}), None)
        of_class = next((piece for piece in names if sorts[piece] == {CLASS}), None)
        if len(names) != 2 or mob is None or of_class is None:
            return False
        if not between <= (OF_A_MOB if mob is names[1] else {"the"}):
            return False
        return self.take_of_class(mob, of_class, span)

    def take_of_class(self, mob: Piece, of_class: Piece, span: Span) -> bool:
        """Those of a class in a mob are dosed, or in doubt where either is not sure; whether there is anybody."""
        found = [[self.verdict.members(bearer) for bearer in piece.bearers] for piece in (mob, of_class)]
        one, other = (members_of_all(members) for members in found)
        in_mob, of_it = one.sure | one.at_foot, other.sure
        sure = in_mob & of_it
        perhaps = ((in_mob | one.perhaps) & (of_it | other.perhaps)) - sure
        if not sure and not perhaps:
            return False
        self.verdict.named = True
        self.verdict.dose(sorted(sure))
        self.count_in(sorted(sure))
        self.verdict.doubt_members(perhaps, [*mob.bearers, *of_class.bearers], mob, span)
        return True

    def mere_words(self, stretch: list[Piece], unknown: list[Piece], text: str) -> bool:
        """Whether unknown words beside names are a remark: small letters, no figure, in brackets or several together,
        and none of them a slip away from anybody's name.
        """
        over = text[unknown[0].start : unknown[-1].end]
        bracketed = text[: unknown[0].start].rstrip().endswith("(") and text[unknown[-1].end :].lstrip().startswith(")")
        alone = not any(named(piece) for piece in stretch)
        if self.tag_decides(stretch, unknown, text):
            return True
        if any(piece.sort == FIGURE or piece.proper for piece in unknown) or not (self.verdict.named or not alone):
            return False
        if not (bracketed or (alone and len(unknown) > 1)):
            return False
        if any(folded(piece.text) in MORE_WORDS or (not bracketed and folded(piece.text) in KIN) for piece in unknown):
            return False
        if not bracketed and any(piece.sort == PREFIX and folded(piece.text) in KIN for piece in stretch):
            return False
        near_any = [piece for piece in unknown if self.lexicon.nearly(piece.text, 1)]
        return not near_any and not self.lexicon.nearly(over, 2)

    def tag_decides(self, stretch: list[Piece], unknown: list[Piece], text: str) -> bool:
        """`Tessie (C230)`: a pet name that is nobody's, nor a slip from another's, before one tag in brackets."""
        names = [piece for piece in stretch if named(piece)]
        if len(names) != 1 or len(sheep_of(names[0].bearers)) != 1 or not FIGURED.search(names[0].text):
            return False
        bracketed = BRACKETED_NAME.fullmatch(text[stretch[0].start : stretch[-1].end + 1].strip(" ,;"))
        if bracketed is None or any(piece.sort != WORD for piece in unknown) or stretch[-1] is not names[0]:
            return False
        over = text[unknown[0].start : unknown[-1].end]
        words = (over, *(piece.text for piece in unknown))
        return {one for word in words for one in self.lexicon.nearly(word, 2)} <= set(names[0].bearers)

    def at_odds(self, names: list[Piece], span: Span) -> bool:
        """`Bramble (C230)` where Bramble is C214: an error, both held."""
        if len(names) != 2 or any(piece.sort == RANGE for piece in names):
            return False
        one, other = (set(self.verdict.sheep_meant(piece)) for piece in names)
        figured = [any(sign.isdigit() for sign in piece.text) for piece in names]
        if not one or not other or one & other or figured[0] == figured[1]:
            if one & other:
                common = tuple(sorted(one & other))
                self.verdict.named = True
                self.count_in(self.verdict.take_sheep(common, names[0], span))
                return True
            return False
        both = sorted(one | other)
        text = f"`{names[0].text}` and `{names[1].text}` are not one sheep"
        cure = f"put a comma between them if both are meant: `{names[0].text}, {names[1].text}`"
        self.verdict.tell(NAMES_DIFFER, span, text, cure)
        self.verdict.named = True
        doubt = self.verdict.because("V1", span, f"{text.replace('`', '“', 1)}", cure)
        self.verdict.doubt(both, replace(doubt, one_of=True))
        return True

    def amounts_among_names(self, stretch: list[Piece], names: list[Piece], span: Span) -> None:
        """An amount or a day in a list of sheep is not read: whose it is cannot be told."""
        over = [piece for piece in stretch if piece.sort in (AMOUNT, DATE)]
        if not over or not names:
            return
        cure = f"write it on a line of its own: `- {names[0].text} {over[0].text}`"
        self.verdict.tell(LINE_NOT_WHOLE, span, f"`{over[0].text}` stands among the names", cure)
        doubt = self.verdict.because("V1", span, f"“{over[0].text}” stands among the names and is not read", cure, True)
        for sheep in self.ids(names):
            self.verdict.trouble[sheep] = doubt

    def read_loosely(self, text: str, span: Span) -> None:
        """A value that could not be read, such as `dose: 3 ml Bramble, 4 ml Teasel`: whoever it names is dosed."""
        pieces = taken_apart(text, self.lexicon)
        for piece in pieces:
            tag = piece.sort in (FIGURE, RANGE) and bool(piece.bearers) and len(piece.text) >= SHORTEST_TAG
            if tag or (piece.sort == NAME and (piece.proper or len(piece.text) > SHORTEST_TAG)):
                self.take(piece, span)
            elif piece.sort == WORD and piece.proper and self.lexicon.nearly(piece.text):
                self.verdict.unknown(piece.text, span)
        also = TOO.search(text) is not None
        if ALL_BUT.search(text) and not self.event.mob:
            self.verdict.unknown(text.strip(), span)
        if folded(text.split()[-1] if text.split() else "") in ("all", "everybody", "everyone") and not self.event.mob:
            self.verdict.unknown(text.strip(), span)  # `dose: 12 ml all`
        for piece in pieces:
            ends = piece.sort == FIGURE and not piece.bearers and ending_in(piece.text, self.verdict.known)
            stray_end = bool(ends) and len(piece.text) >= SHORTEST_TAG
            if stray_end or (piece.sort == RANGE and not piece.bearers and len(piece.text) > SHORTEST_RANGE):
                self.verdict.unknown(piece.text, placed(span, piece))
        for piece in pieces:
            stray = piece.sort == FIGURE and not piece.bearers and len(piece.text) >= SHORTEST_TAG
            if (stray and also) or (piece.sort == FIGURE and piece in strangers_in(pieces, self.lexicon)):
                self.verdict.unknown(piece.text, span)
        too = {folded(piece.text) for piece in pieces}
        if not too.isdisjoint(KIN) and not too.isdisjoint(TOO_WORDS):
            self.verdict.unknown(text.strip(), span)

    def read_unknown_fields(self) -> None:
        """Fields that the kind does not know: a list where their name is one for sheep, else only plain names."""
        for name, text in self.event.origin.unread.items():
            span = self.event.origin.span(name)
            tags = all(named(piece) or piece.sort == FIGURE for piece in taken_apart(name, self.lexicon))
            if tags and (not text.strip() or AMOUNT_ALONE.search(text)):
                self.read_list(name, span)  # `{sheep: C230, C231}`, where a comma ends the field
            elif self.verdict.known.products.product(text):
                self.read_loosely(text, span)
            elif is_naming(name):
                self.read_list(text, span)
            elif near(name, ("except",)):
                continue
            else:
                self.read_loosely(text, span)

    def read_except(self) -> None:
        """`except` takes away only sheep and classes that it names exactly."""
        for place, text in enumerate(self.event.except_):
            span = self.event.origin.span(f"except_[{place}]")
            found = self.exactly(text)
            if found:
                self.spared |= found
                continue
            cure = self.verdict.known.guess(text, False, self.verdict.window)
            self.verdict.tell(EXCEPT_UNKNOWN, span, f"`{clipped(text)}` takes nobody away", cure)

    def spare(self) -> None:
        """Those excepted are taken out of mobs and classes; whoever a name or a line means stays (V1)."""
        for sheep in self.spared - set(self.by_name):
            for found in (self.verdict.dosed, self.verdict.at_foot, self.verdict.doubtful):
                found.pop(sheep, None)


def members_of_all(groups: list[Members]) -> Members:
    """Everybody of several mobs or classes."""
    none = frozenset[str]()
    sure, perhaps = none.union(*(one.sure for one in groups)), none.union(*(one.perhaps for one in groups))
    return Members(sure, perhaps - sure, none.union(*(one.at_foot for one in groups)) - sure)
