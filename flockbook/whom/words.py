"""The words of a treatment that name: its prose, `count` and `not dosed` (V1, V10)."""

from __future__ import annotations

import re

from compiler.nearness import clipped
from compiler.shape import replace
from compiler.source import Span
from flockbook.naming import (
    ALSO_NAMED,
    COUNT_DIFFERS,
    NOBODY,
    NOT_DOSED_EMPTY,
)
from flockbook.records.dose_line import DoseLine
from flockbook.roll import key_of
from flockbook.whom.counted import CountReader
from flockbook.whom.doses_said import most_said
from flockbook.whom.dosing_words import ALL_BUT, HANDED, HER_KIN, VERBS, without_negations
from flockbook.whom.kin_beside import dam_word
from flockbook.whom.lexicon import NARROW_LETTERS, SHEEP, folded, letters
from flockbook.whom.line_reading import KIN, NO_NAMES, OTHERS, named
from flockbook.whom.numbers_said import NUMBER_WORDS
from flockbook.whom.pieces import FIGURE, JOINT, NAME, PREFIX, RANGE, WORD, Piece, taken_apart
from flockbook.whom.prose_words import (
    AFTER_ALL,
    DONE_AFTER_ALL,
    MORE_SHEEP,
    NEXT_WORDS,
    NOT_THEM,
    OF_PLACES,
    ONE_OF,
    OTHERS_DONE,
    REST_TOO,
    THE_REST_ALONE,
    THEM_ALL,
    TOTAL,
    WHOLE_LOT,
    was_done,
)
from flockbook.whom.reader import (
    HER_LAMB,
    SHORTEST_TAG,
    THEM,
    TOO,
    WORDS_IN,
    ending_in,
    freed_by,
    placed,
    span_text,
    trade_group,
    words_of,
)
from flockbook.whom.tag_ends import STRANGE_TAG, completed_in_a_row, ends_of_range

ONE_AND_A_HALF = 1.5  # of the doses of those named: more went into others (our own choice)


class WordReader(CountReader):
    """Reads the words."""

    def read_words(self) -> None:
        """Prose, `for` and `site`: another sheep by tag or capital name, or the rest of a mob, is asked about (V1)."""
        origin = self.event.origin
        texts = [*self.prose]
        for name in ("route", "site"):  # no place for a name, however it is written
            for piece in taken_apart(words_of(self.event, name), self.lexicon):
                if piece.sort == NAME and len(piece.text) > NARROW_LETTERS:
                    self.ask_for(
                        piece,
                        [one for one in self.verdict.sheep_meant(piece) if self.verdict.here(one)],
                        origin.span(name),
                    )
        texts += [(text, origin.span(name)) for name in WORDS_IN if (text := words_of(self.event, name))]
        medicine = self.event.medicine or ""
        if not self.verdict.known.flock.medicines.get(key_of(medicine)):
            texts.append((medicine, origin.span("medicine")))
        for text, span in texts:
            if NOT_THEM.fullmatch(text.strip()):
                continue
            pieces = taken_apart(text, self.lexicon)
            self.read_one_of(text, span)
            self.beside = any(one.dose for one in pieces) or self.names_product(pieces)
            for place in range(len(pieces)):
                self.read_word(pieces, place, span)
            self.read_ends(pieces, span)
            self.read_her_lamb(text, span)
            self.read_her_kin(text, span)
            self.read_dam(text, pieces, span)
            self.read_number(text, span)
            self.read_total(text, span)
            self.read_rest(text, pieces, span)
            self.read_amount(text, pieces, span)
            self.read_left_out(text, span)

    def read_one_of(self, text: str, span: Span) -> None:
        """`The ram as well.`: one of a class, without its name."""
        match = ONE_OF.search(text)
        if match and KIN[word := next(one for one in match.groups() if one).lower()]:
            self.read_kin(Piece(WORD, word, match.start(), match.end()), KIN[word], span)

    def read_her_kin(self, text: str, span: Span) -> None:
        """`Her twin too.`, `Her mother too.`: the lambs of one litter, or the dam."""
        match = HER_KIN.search(text)
        if match is None:
            return
        animals = self.verdict.known.flock.animals
        dams = {animals[sheep].dam for sheep in self.counted}
        twins = [animal.id for animal in animals.values() if animal.dam and animal.dam in dams]
        kin = [dam for dam in dams if dam] if match[1].lower() in ("mother", "mum", "dam") else twins
        missing = [
            one for one in kin if one not in self.verdict.dosed and one not in self.spared and self.verdict.here(one)
        ]
        if missing:
            self.ask(Piece(WORD, match[0], match.start(), match.end()), missing, span)

    def read_dam(self, text: str, pieces: list[Piece], span: Span) -> None:
        """`Mother jabbed too.`, `Gave ewe 3 ml`: the dams of the lambs that were dosed."""
        word = dam_word(pieces)
        told = self.beside or TOO.search(text) or VERBS.search(without_negations(text))
        if word is None or not told:
            return
        passed = {*self.verdict.dosed, *self.spared, *self.verdict.doubtful}
        missing = [one for one in self.verdict.dams_of(self.counted) if one not in passed]
        if missing:
            self.ask(word, missing, span)

    def read_number(self, text: str, span: Span) -> None:
        """`two others the same`, `x 4`, `5 done`: more than are named."""
        match = MORE_SHEEP.search(text)
        word = next((group for group in match.groups() if group), "") if match else ""
        number = NUMBER_WORDS.get(word.lower()) or (int(word) if word.isdigit() else 0)
        more = number if match and (match["more"] or match["plus"]) else number - len(self.verdict.dosed)
        if match is None or more <= 0 or self.event.count is not None:
            return
        self.more_told(match[0], span)

    def read_total(self, text: str, span: Span) -> None:
        """`Total 40 ml` beside a dose of 5 ml: more sheep than are named."""
        match = TOTAL.search(text)
        dose = self.event.dose.ml if self.event.dose else 0
        if match and dose and float(match[1].replace(",", ".")) > ONE_AND_A_HALF * dose * len(self.verdict.dosed):
            self.more_told(match[0], span)

    def read_amount(self, text: str, pieces: list[Piece], span: Span) -> None:
        """`She had 30 ml.`: an amount of those dosed whom the words name, else of all who were dosed."""
        amount, own = most_said(text), self.verdict.own.values()
        if amount and not any(isinstance(line, DoseLine) and line.span.line == span.line for line in own):
            named_ = [one for piece in pieces if named(piece) for one in self.verdict.sheep_meant(piece)]
            for sheep in [one for one in named_ if one in self.verdict.dosed] or self.verdict.dosed:
                self.verdict.said[sheep] = max(self.verdict.said.get(sheep, (0.0, 0)), (amount, span.line))

    def read_left_out(self, text: str, span: Span) -> None:
        """`Caught her later and did her.` beside an `except`: those who were left out may be meant."""
        match = DONE_AFTER_ALL.search(text)
        left_out = sorted(one for one in self.spared if one not in self.verdict.dosed)
        if match and left_out:
            names = ", ".join(self.verdict.known.animal(one).called for one in left_out)
            self.ask(Piece(WORD, names, match.start(), match.end()), left_out, span)

    def more_told(self, text: str, span: Span) -> None:
        """Words that tell of more sheep than are named: everybody of those days may be meant."""
        cure = "name them, or write `count: …` with the number that was dosed"
        self.verdict.tell(COUNT_DIFFERS, span, f"`{text}` is more than are named", cure)
        self.verdict.doubt_everybody(self.verdict.because("V3", span, f"“{text}” is more than are named", cure))

    def read_rest(self, text: str, pieces: list[Piece], span: Span) -> None:
        """`The rest got it too.`: everybody of those days, where no mob is named."""
        named_groups = (piece for piece in pieces if folded(piece.text) not in THEM_ALL)
        groups = any(bearer.sort != SHEEP for piece in named_groups for bearer in piece.bearers)
        but = (ALL_BUT.search(text) or THE_REST_ALONE.search(text)) if not self.event.mob else None
        match = (
            but
            or (None if groups else REST_TOO.search(text) or WHOLE_LOT.search(text) or self.others_done(text))
            or trade_group(text, self.lexicon)
        )
        if match is None or self.event.mob:
            return
        cure = "name them, or their mob"
        self.verdict.tell(NOBODY, span, f"`{match[0]}` does not say who", cure)
        self.verdict.doubt_everybody(self.verdict.because("V1", span, f"“{match[0]}” does not say who", cure))

    def others_done(self, text: str) -> re.Match[str] | None:
        """`Did the lot while I was at it`; `both` are those named where two are."""
        match = OTHERS_DONE.search(text)
        both = match is not None and "both" in match[0].lower() and len(self.verdict.dosed) > 1
        return None if both else match

    def read_her_lamb(self, text: str, span: Span) -> None:
        """`Her lamb too.`: the lambs of the ewes that were dosed."""
        match = HER_LAMB.search(text)
        if match is None:
            return
        places = self.verdict.known.places
        lambs = [lamb for sheep in self.counted for lamb in sorted(places.at_foot((sheep,), self.verdict.window))]
        missing = [lamb for lamb in lambs if lamb not in self.verdict.dosed and lamb not in self.spared]
        if missing:
            self.ask(Piece(WORD, match[0], match.start(), match.end()), missing, span)

    def read_word(self, pieces: list[Piece], place: int, span: Span) -> None:
        """One name in prose."""
        piece = pieces[place]
        sheep = [one for one in self.verdict.sheep_meant(piece) if self.verdict.here(one)] if named(piece) else []
        groups = [bearer for bearer in piece.bearers if bearer.sort != SHEEP and folded(piece.text) not in THEM]
        if piece.sort == WORD and (near_ones := self.nearly(piece)):
            self.ask_for(piece, near_ones, span)
        beside = self.beside
        if (
            piece.sort == FIGURE
            and not piece.bearers
            and len(piece.text) >= SHORTEST_TAG
            and self.names_product(pieces)
        ):
            self.verdict.unknown(piece.text, placed(span, piece))
        if piece.sort == FIGURE and not piece.bearers and self.told_of(pieces, place):
            ends = ending_in(piece.text, self.verdict.known) if len(piece.text) >= SHORTEST_TAG else []
            self.ask_for(piece, [one for one in ends if self.verdict.here(one)], span)
        if len(range_said := ends_of_range(piece)) > 0 and self.told_of(pieces, place):
            self.ask_for(piece, [one for end in range_said for one in ending_in(str(end), self.verdict.known)], span)
        if piece.sort == WORD and STRANGE_TAG.fullmatch(piece.text) and self.told_of(pieces, place):
            self.verdict.unknown(piece.text, placed(span, piece))
        if piece.sort == WORD and self.of_the(pieces, place) and TOO.search(span_text(pieces)):
            mobs = [bearer for bearer in self.lexicon.nearly(piece.text) if bearer.sort != SHEEP]
            self.ask_for(piece, [one for bearer in mobs for one in sorted(self.members_of(bearer))], span)
        if groups and (
            self.of_the(pieces, place)
            or was_done(pieces, place)
            or beside
            or TOO.search(span_text(pieces))
            or folded(pieces[0].text) in NEXT_WORDS
        ):
            sheep = [one for bearer in groups for one in sorted(self.members_of(bearer))]
        elif not sheep or not (self.named_in_prose(pieces, place) or self.meant_in_prose(pieces, place, beside)):
            return
        elif piece.whose and piece.of_her is None:
            sheep = [*(sheep if AFTER_ALL.search(span_text(pieces)) else ()), *self.hers(sheep)]
        spared = set() if AFTER_ALL.search(span_text(pieces)) or beside else self.spared
        self.ask_for(piece, [one for one in sheep if one not in spared], span)

    def read_ends(self, pieces: list[Piece], span: Span) -> None:
        """`731/2/3 as well`, `731 2 3 too`: the ends of tags in a row behind a whole one."""
        too = TOO.search(span_text(pieces)) is not None
        for piece, wholes, joined in completed_in_a_row(pieces, self.lexicon):
            for whole in wholes if joined or too else ():
                self.ask_for(replace(piece, text=whole), self.ids_of(whole), span)

    def nearly(self, piece: Piece) -> list[str]:
        """The sheep from whose name a word of the prose is one slip away: `teasle too`."""
        if letters(piece.text) <= NARROW_LETTERS or folded(piece.text) in NO_NAMES:
            return []
        ids = [bearer.name for bearer in self.lexicon.nearly(piece.text) if bearer.sort == SHEEP]
        return [one for one in ids if self.verdict.here(one)]

    def ask_for(self, piece: Piece, sheep: list[str], span: Span) -> None:
        """Those among some sheep who are neither dosed nor asked about yet."""
        missing = [one for one in sheep if one not in self.verdict.dosed and one not in self.verdict.at_foot]
        if missing and not set(missing) <= set(self.verdict.doubtful):
            self.ask(piece, missing, placed(span, piece))

    def meant_in_prose(self, pieces: list[Piece], place: int, beside: bool) -> bool:
        """Whether a name in small letters is meant: beside a dose, or where the words say that it is a further one."""
        told = beside or self.told_of(pieces, place)
        return told and (len(pieces[place].text) > 2 or pieces[place].sort == FIGURE)

    def told_of(self, pieces: list[Piece], place: int) -> bool:
        """Whether the words beside a name say that it is a further one: `and 230`, `did teasel`, `230 as well`."""
        first, before = folded(pieces[0].text), folded(pieces[place - 1].text) if place else ""
        figures = pieces[place].sort in (FIGURE, RANGE) and len(pieces[place].text) >= SHORTEST_TAG
        whole = figures or letters(pieces[place].text) > NARROW_LETTERS or place == 0
        too = whole and TOO.search(span_text(pieces)) is not None
        return too or first in NEXT_WORDS or before in NEXT_WORDS or was_done(pieces, place)

    def names_product(self, pieces: list[Piece]) -> bool:
        """Whether words of a treatment name a product, or what was got or given."""
        text = span_text(pieces)
        return HANDED.search(text) is not None and bool(self.verdict.known.products.product(text))

    def of_the(self, pieces: list[Piece], place: int) -> bool:
        """Whether `rest of`, `all the` or the like stands before a mob or class."""
        before = [folded(piece.text) for piece in pieces[max(0, place - 3) : place]]
        first = folded(pieces[place].text).split()[:1]
        return first == ["every"] or any(word in OTHERS for word in (*before, *first))

    def named_in_prose(self, pieces: list[Piece], place: int) -> bool:
        """Whether a word in prose is written like a name: with a capital, or as a tag of some length."""
        piece = pieces[place]
        if piece.sort == RANGE:
            return True
        if piece.text.isdigit():
            return len(piece.text) >= SHORTEST_TAG or (place > 0 and pieces[place - 1].sort in (PREFIX, JOINT))
        if place + 1 < len(pieces) and folded(pieces[place + 1].text) in OF_PLACES:
            return False
        return piece.proper and folded(piece.text) not in NO_NAMES - {"may", "june", "april", "august", "march"}

    def hers(self, ewes: list[str]) -> list[str]:
        """`Plover's is the worse`: her lambs are meant, and if one of them is dosed it is that one."""
        places = self.verdict.known.places
        lambs = [
            stay.sheep for ewe in ewes for stay in places.lambs.get(ewe, ()) if places.there(stay, self.verdict.window)
        ]
        return [] if set(lambs) & set(self.verdict.dosed) else lambs

    def ask(self, piece: Piece, ids: list[str], span: Span) -> None:
        """A sheep that only the words name."""
        who = ", ".join(self.verdict.known.called(sheep) for sheep in ids[:3]) + (" …" if len(ids) > 3 else "")
        cure = f"add `{piece.text}` to `sheep`, or write `not dosed: {piece.text}`"
        self.verdict.tell(ALSO_NAMED, span, f"`{piece.text}` ({who}) is named here and nowhere as dosed", cure)
        doubt = self.verdict.because("V1", span, f"“{piece.text}” stands in the words of this treatment", cure)
        self.verdict.doubt(ids, replace(doubt, asked=True))

    def answer(self) -> None:
        """`not dosed: NAMES` answers what was asked, never what a field or a line says."""
        answered: set[str] = set()
        for place, text in enumerate(self.event.not_dosed):
            found = self.exactly(text) or freed_by(self.verdict, [text])
            answered |= found
            heard = [sheep for sheep in found if sheep in self.verdict.dosed]
            if heard:
                span, names = self.event.origin.span(f"not_dosed[{place}]"), self.verdict.known.called(heard[0])
                cure = "take the name out of one of them" if heard[0] in self.by_name else f"write `except: {text}` too"
                self.verdict.tell(NOT_DOSED_EMPTY, span, f"{names} is named here as dosed too", cure)
            if not found:
                span = self.event.origin.span(f"not_dosed[{place}]")
                self.verdict.tell(
                    NOT_DOSED_EMPTY,
                    span,
                    f"`{clipped(text)}` answers for nobody",
                    self.verdict.known.guess(text, False, self.verdict.window),
                )
        for sheep in [one for one, doubt in self.verdict.doubtful.items() if doubt.asked and one in answered]:
            del self.verdict.doubtful[sheep]
        if answered:
            self.verdict.told = [item for item in self.verdict.told if not self.is_answered(item.code, item.span)]

    def is_answered(self, code: str, span: Span) -> bool:
        """Whether a question was about sheep that are no longer in doubt."""
        left = {(doubt.line, doubt.text) for doubt in self.verdict.doubtful.values() if doubt.asked}
        return code == ALSO_NAMED.code and span.line not in {line for line, _ in left}
