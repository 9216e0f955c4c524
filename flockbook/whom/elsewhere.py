"""A dose told where nobody looks for one: in a remark, a weighing, a task, a lambing (rule V8)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from compiler.nearness import clipped, near
from compiler.schema import Record
from compiler.shape import replace
from compiler.source import Span
from flockbook.flock import Concerned
from flockbook.naming import DOSE_TOLD
from flockbook.records.breeding import Lambing
from flockbook.records.cupboard import Stock
from flockbook.records.event import Event
from flockbook.records.handling import Job
from flockbook.records.health import Treatment
from flockbook.records.remarks import Remark
from flockbook.records.sheep import Medicine
from flockbook.records.trade import Purchase
from flockbook.records.year import Plan, Task
from flockbook.roll import key_of
from flockbook.whom.answers import Course, ToldDose, is_answered, is_the_dose, says_the_same, told_dose
from flockbook.whom.days import days_told, months_told
from flockbook.whom.dosing_words import (
    ALL_BUT,
    AT_WORK,
    CONFIRMED,
    EACH_OR_AGAIN,
    FURTHER,
    HANDED,
    HURRIED,
    INTO_NO_SHEEP,
    LONG_AGO,
    MORE_THAN_NAMED,
    NO_SHEEP,
    NOT_GIVEN,
    PLAIN_VERBS,
    PRONOUN,
    REMEDY_BESIDE,
    SAME_AS_ABOVE,
    SENTENCE,
    THE_EWE,
    THE_REST_OF_THEM,
    TICKED_OFF,
    TO_DO,
    TREATED_SHEEP,
    VERBS,
    WITH_LAMBS,
    dipped,
    without_negations,
)
from flockbook.whom.glance import Glance
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.lexicon import CLASS, EVERYBODY_WORDS, folded
from flockbook.whom.line_reading import named
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import Piece, taken_apart
from flockbook.whom.products import Products
from flockbook.whom.reader import FIELD, everyone, groups, is_naming, trade_group
from flockbook.whom.telling import NEED_MORE, SPEAK_OF_REMEDIES, TellingReader
from flockbook.whom.told_names import and_first, has_stray_tag
from flockbook.whom.told_texts import corrects_a_dose, is_mistaken, speaks, texts_of

SHORT_LIST = 4  # sheep up to which they are named one by one in a message (our own choice)
NAMES_A_REMEDY, NAMES_WORK = Glance(REMEDY_BESIDE), Glance(TO_DO)
OF_THE_ONE_BEFORE = 2  # words up to which a sentence speaks of the sheep before it: `230 scours. Drenched.`
LONG_SINCE = 365  # days after which a dose told without its product holds nobody any more (our own choice)
SINCE_THEN = re.compile(
    r"\b(?:again|too|now|today|tonight|yesterday|this|last|and|then|also|but|as|like|same|just|week|morning|evening"
    r"|night|\w+day|due|overdue|not)\b",
    re.I,
)
# All that may stand beside a product in the words of work to come; any other word may tell that it was given.
OF_WORK_TO_COME = re.compile(
    r"(?:\W|\b(?:a|an|the|to|for|of|with|and|all|each|every|before|at|in|their|give|dose|drench|worm|jab|inject|"
    r"vaccinate|treat|wormer|dewormer|vaccines?|vaccination|boosters?|shots?|injection|yearly|annual|pre|first|"
    r"ewes?|lambs?|rams?|bucks?|tups?|hoggs?|hoggets?|yearlings?|gimmers?|shearlings?|sheep|flock|"
    r"lambing|weaning|joining|tupping|turnout|spring|summer|autumn|fall|winter)\b)*",
    re.I,
)
SENTENCE_ENDS = " .!?,;:-\n\t"
PRODUCT_WORDS = 8  # words up to which a remark that names a product tells of a dose (our own choice)


def doses_told(
    known: Known, treated: Mapping[str, tuple[Course, ...]], records: Sequence[Record]
) -> Iterator[tuple[Concerned, Verdict]]:
    """For every note that tells of a dose and is no treatment: whom it could mean, less those whom one names."""
    for record in records:
        if isinstance(record, Treatment):
            continue
        to_do, said = isinstance(record, Task | Job), list(told_by_record(record, known.products))
        found = [
            (text, span)
            for text, span in said
            if speaks(text, known.products)
            or says_the_same(record, text, treated)
            or (NAMES_WORK(text) and (TICKED_OFF.search(text) or CONFIRMED.search(text)))
            or (to_do and (TO_DO.search(text) or AT_WORK.search(text)))
            or isinstance(record, Medicine | Stock)
            or (not isinstance(record, SPEAK_OF_REMEDIES) and NAMES_A_REMEDY(text))
        ]
        if found:
            found += [(text, span) for text, span in said if SAME_AS_ABOVE.search(text)]
        if isinstance(record, Purchase) and record.treated:
            found.append((f"treated: {record.treated}", record.origin.span("treated")))
        elif isinstance(record, Purchase) and (
            named_ := [name for name in record.origin.unread if near(name, ("treated",))]
        ):
            found.append((f"treated: {record.origin.unread[named_[0]]}", record.origin.span(named_[0])))
        if found or is_mistaken(record) or corrects_a_dose(record):
            outcome = _Told(known, record, treated).judge(found)
            if outcome is not None:
                yield outcome


def told_by_record(record: Record, products: Products) -> Iterator[tuple[str, Span]]:
    """Everything in words that a note says, less what a plan names as work to come."""
    ahead = set(work_to_come(record, products)) if isinstance(record, Plan) else set()
    return (item for item in texts_of(record) if item not in ahead)


def work_to_come(plan: Plan, products: Products) -> Iterator[tuple[str, Span]]:
    """The work of a plan and the product that ticks it off, where the note says nothing more: no word but those of
    work to come, no line below its fields and no field that it does not know.
    """
    if plan.origin.rest or plan.origin.unread or plan.origin.typed:
        return
    for name, text in (("what", plan.what or ""), ("done_by", plan.done_by or "")):
        if OF_WORK_TO_COME.fullmatch(products.pattern.sub(" ", text)):
            yield text, plan.origin.span(name)


class _Told(TellingReader):
    """The work of judging one note that may tell of a dose."""

    def __init__(self, known: Known, record: Any, treated: Mapping[str, tuple[Course, ...]]) -> None:
        super().__init__(known, record)
        self.treated, self.told = treated, self.told_by("")

    def judge(self, found: list[tuple[str, Span]]) -> tuple[Concerned, Verdict] | None:
        """Every sentence that tells of a dose; None where none does."""
        mistaken = is_mistaken(self.record) or corrects_a_dose(self.record)
        if mistaken:
            found = list(texts_of(self.record))
        listed = [*self.lists_behind(found), *self.fields_below(found)]
        going_on = {span for _, span in listed}
        for text, span in sorted((*found, *listed), key=lambda item: item[1].line):
            told, before = mistaken or span in going_on, ""
            for match in SENTENCE.finditer(text):
                if CONFIRMED.fullmatch(match[0].strip(SENTENCE_ENDS)) and TO_DO.search(before):
                    self.sentence(before, span)
                    told = True
                elif self.tells(match[0]) or (told and mistaken) or self.goes_on(match[0], told):
                    self.earlier = "\n".join((*self.lines_before(span), text[: match.start()]))
                    short = len(match[0].split()) <= OF_THE_ONE_BEFORE and self.is_about_somebody()
                    of_her = before if short or PRONOUN.search(match[0]) else ""  # `Bramble lame. Jabbed her.`
                    self.sentence(match[0], span, of_her)
                    told = True
                before = match[0]
        if not self.verdict.doubtful and not self.verdict.everybody:
            return None
        return self.verdict.settled(), self.verdict

    def lines_before(self, span: Span) -> list[str]:
        """The lines of the note's body before a place."""
        return [cell.text for cell in self.record.origin.rest if cell.line < span.line]

    def is_about_somebody(self) -> bool:
        """Whether the note, or the name of its file, says whom it is about."""
        return self.is_about_sheep() or bool(self.named_by_file())

    def goes_on(self, sentence: str, told: bool) -> bool:
        """Whether a sentence goes on with the dose that those before it told of."""
        if not told:
            return SAME_AS_ABOVE.search(sentence) is not None
        field = FIELD.match(sentence)
        if field and is_naming(field[1]):
            return True
        return FURTHER.search(sentence) is not None or self.lists_names(sentence)

    def lists_behind(self, found: list[tuple[str, Span]]) -> list[tuple[str, Span]]:
        """The lines behind words of a dose that are nothing but names, in a note that has no lines of its own."""
        if hasattr(self.record, "lines") or not found:
            return []
        lines = sorted({span.line: (text, span) for text, span in texts_of(self.record)}.items())
        told, listed = {span.line for _, span in found}, list[tuple[str, Span]]()
        open_ = False
        for line, (text, span) in lines:
            goes_on = open_ and line not in told and self.lists_names(text)
            listed += [(text, span)] if goes_on else []
            open_ = line in told or goes_on or (open_ and not text.strip())
        return listed

    def fields_below(self, found: list[tuple[str, Span]]) -> list[tuple[str, Span]]:
        """Lines such as `sheep: Teasel` below the head of a note whose other lines tell of a dose."""
        told = {span.line for _, span in found}
        lines = [(cell.text, Span(self.record.origin.path, cell.line, cell.column)) for cell in self.record.origin.rest]
        fields = ((text, span, FIELD.match(text)) for text, span in lines if told and span.line not in told)
        return [(text, span) for text, span, field in fields if field and is_naming(field[1])]

    def sentence(self, text: str, span: Span, before: str = "") -> None:
        """The sheep of one sentence, and of the one before where it speaks of her, are held, else those whom the note
        is about.
        """
        self.words, self.told = text, self.told_by(text)
        pieces = taken_apart(text, self.known.lexicon)
        earlier = taken_apart(before, self.known.lexicon) if before else []
        sure = bool(self.products.product(text) or DOSE.search(text))
        named_ones = self.named_by((*earlier, *pieces), sure) + self.by_ends(earlier) + self.by_ends(pieces)
        ids = self.with_kin(self.with_others(named_ones, pieces), pieces)
        stray = self.is_stray(pieces)
        if (not ids and not stray and not self.anybody(text)) or (self.frees_all and not self.names_one(pieces)):
            return
        if self.is_of_another_year(text) and not stray:
            return
        left = [sheep for sheep in dict.fromkeys(ids) if not self.is_answered(sheep)]
        everybody = stray or (self.names_lost() and not isinstance(self.record, NEED_MORE))
        if left or everybody or not ids:
            self.hold(left, everybody or not left, self.called_so(left, pieces), span)

    def names_one(self, pieces: list[Piece]) -> bool:
        """Whether a sentence names a sheep, or a mob or class that is not everybody: `not dosed: all` answers `Dipped
        all`.
        """
        return any(named(piece) and folded(piece.text) not in EVERYBODY_WORDS for piece in pieces)

    def told_by(self, text: str) -> ToldDose:
        """The dose that a sentence tells of."""
        own = self.record.name if isinstance(self.record, Medicine) else None
        own = self.record.medicine if isinstance(self.record, Stock) else own
        product = key_of(self.products.called(self.products.product(text)) or own or "")
        return told_dose(text, self.day, isinstance(self.record, Event), product, self.known.clock)

    def with_others(self, ids: list[str], pieces: list[Piece]) -> list[str]:
        """Those named, and those whom the note is about where nobody is, or more are meant."""
        around = self.told.around() if self.day is None else None
        self.told_on = (around.first, around.last) if around else None
        lost = self.names_lost() and isinstance(self.record, Event)
        lost = lost or (isinstance(self.record, Lambing) and THE_EWE.search(self.words) is not None)
        others = not self.names_its_object(pieces) or self.leaves_out(pieces)
        about = self.about() if not ids or PRONOUN.search(self.words) or and_first(pieces) or lost or others else []
        return [*ids, *about, *(self.named_in_words() if "dose" in self.record.origin.unread else ())]

    def with_kin(self, ids: list[str], pieces: list[Piece]) -> list[str]:
        """These, and their lambs, litter mates or dams where the words speak of them."""
        if WITH_LAMBS.search(self.words) or any(piece.whose for piece in pieces if named(piece)):
            ids = [*ids, *(lamb for sheep in ids for lamb in self.verdict.young_of(sheep))]
        return [*ids, *self.kin_of(ids, self.words), *self.kin_named(pieces)]

    def is_stray(self, pieces: list[Piece]) -> bool:
        """Whether the words speak of somebody who cannot be told."""
        left_out = self.leaves_out(pieces) and not any(groups(piece) for piece in pieces)
        if left_out and isinstance(self.record, Event) and not self.about():
            return True
        if trade_group(self.words, self.known.lexicon) or self.names_an_empty_class(pieces):
            return True
        of_a_mob = isinstance(self.record, Event) and bool(self.record.mob) and not isinstance(self.record, NEED_MORE)
        words = (MORE_THAN_NAMED, ALL_BUT, *(() if of_a_mob else (THE_REST_OF_THEM,)))
        return self.joins_a_stranger(pieces) or has_stray_tag(pieces) or any(one.search(self.words) for one in words)

    def names_an_empty_class(self, pieces: list[Piece]) -> bool:
        """Whether a class is named of which nobody was here: sheep of another class were called so."""
        classes = [
            bearer for piece in pieces for bearer in piece.bearers if bearer.sort == CLASS and bearer.name != "all"
        ]
        return any(not everyone(self.verdict.members(bearer)) for bearer in classes)

    def names_lost(self) -> bool:
        """Whether the note itself names somebody who was not found."""
        lost = self.known.flock.subjects.get(self.record.origin.path)
        return lost is not None and bool(lost.unresolved)

    def called_so(self, ids: list[str], pieces: list[Piece]) -> str:
        """What to call these in the line to type: as the sentence does where that means them all, else by name."""
        means = {piece.text: set(self.meant(piece, True)) for piece in pieces if named(piece)}
        if self.narrowed(pieces):
            return ", ".join(self.known.called(sheep) for sheep in ids)
        said = {text: who for text, who in means.items() if who & set(ids)}
        if len(ids) > SHORT_LIST and set(ids) <= set().union(*said.values()):
            return ", ".join(said)
        return ", ".join(self.known.called(sheep) for sheep in ids)

    def hold(self, left: list[str], everybody: bool, names: str, span: Span) -> None:
        """Those of one sentence are in doubt until a treatment names them or the note frees them."""
        words = clipped(self.words.strip(), 60)
        cure = f"write a treatment note for {names or 'those who got it'}, or add `not dosed: {names or 'all'}` here"
        if isinstance(self.record, Purchase) and self.words.startswith("treated:"):
            cure = f"write a treatment note for {names or 'those'}, or take `treated` out if nothing was given"
        if not isinstance(self.record, Event):
            cure = f"write a treatment note for {names or 'those who got it'}, or word it without the medicine"
        text = f"“{words}” tells of a medicine that no treatment note names"
        doubt = replace(self.verdict.because("V8", span, text, cure, True), asked=True)
        self.verdict.tell(DOSE_TOLD, span, f"`{words}` tells of a medicine{f' for {names}' if names else ''}", cure)
        self.verdict.doubt(left, doubt)
        if everybody:
            self.verdict.doubt_everybody(doubt)

    def is_answered(self, sheep: str) -> bool:
        """Whether a treatment names this sheep, or the note says that it got none."""
        return sheep in self.freed or is_answered(self.told, self.treated, sheep)

    def anybody(self, text: str) -> bool:
        """Whether a dose that names nobody, in an event about nobody, may be any sheep's: none of that week answers."""
        if not isinstance(self.record, Event) or isinstance(self.record, NEED_MORE):
            return False
        if is_mistaken(self.record):
            return True
        hurried = HURRIED.search(without_negations(text)) is not None or dipped(text)
        treated = hurried or TREATED_SHEEP.search(text) is not None or self.gives_a_product(text)
        of_work = AT_WORK.search(text) or TO_DO.search(text)
        worked = isinstance(self.record, Job) or (isinstance(self.record, Task) and self.is_done(self.record))
        at_work = worked and of_work is not None and not NO_SHEEP.search(text)
        verb = treated or at_work or VERBS.search(PLAIN_VERBS.sub("", without_negations(text))) is not None
        if not EACH_OR_AGAIN.search(text) and (LONG_AGO.search(text) or (not verb and INTO_NO_SHEEP.search(text))):
            return False
        jotted = isinstance(self.record, Remark) and self.names_a_remedy(text)
        if not verb and not DOSE.search(text) and not (jotted or self.is_todays_product(text)):
            return False
        if self.day is None:
            return True
        return not any(is_the_dose(self.told, courses) for courses in self.treated.values())

    def is_of_another_year(self, text: str) -> bool:
        """Whether a sentence without an amount speaks of a month or a year long past, and of nothing since."""
        ends = list(months_told(text))
        past = bool(ends) and self.day is not None and (self.day - max(ends)).days > LONG_SINCE
        past = past and self.day is not None and not list(days_told(text, self.day.year))
        return past and not DOSE.search(text) and not SINCE_THEN.search(text)

    def gives_a_product(self, text: str) -> bool:
        """Whether a sentence says that a product was given: `so I gave her some example drench`."""
        return HANDED.search(text) is not None and bool(self.products.product(text)) and not NOT_GIVEN.search(text)

    def is_todays_product(self, text: str) -> bool:
        """Whether a short remark is a product and little else: `Example drench today.`"""
        done = isinstance(self.record, Task) and self.is_done(self.record)
        short = (done or isinstance(self.record, Remark)) and len(text.split()) <= PRODUCT_WORDS
        return short and bool(self.products.product(text)) and not NOT_GIVEN.search(text)
