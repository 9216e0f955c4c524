"""A dose told where nobody looks for one: in a remark, a weighing, a task, a lambing (rule V8)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import Any

from compiler.nearness import clipped, near
from compiler.shape import Value, replace
from compiler.source import Span
from flockbook.flock import Concerned
from flockbook.naming import DOSE_TOLD
from flockbook.records.cupboard import MoneyNote, Stock
from flockbook.records.event import Event
from flockbook.records.handling import Job
from flockbook.records.health import Death, EggCount, Treatment
from flockbook.records.places import Mob
from flockbook.records.rearing import Feeding
from flockbook.records.remarks import Remark
from flockbook.records.sheep import Medicine, Sheep
from flockbook.records.trade import Cull, Purchase, Sale
from flockbook.records.year import Plan, Task
from flockbook.roll import key_of
from flockbook.whom.days import days_told
from flockbook.whom.dosing_words import (
    AGAIN,
    ALL_BUT,
    AT_WORK,
    BESIDE_WORDS,
    BY_MOUTH,
    BY_NEEDLE,
    COLUMN,
    DONE,
    DONE_IN_WORDS,
    EACH_OR_AGAIN,
    FURTHER,
    GIVEN,
    HANDED,
    HURRIED,
    IN_ML,
    IN_MOUTH,
    IN_NEEDLE,
    INTO_NO_SHEEP,
    LONG_AGO,
    MILK_FED,
    MORE_THAN_NAMED,
    NO_SHEEP,
    NOT_GIVEN,
    PLAIN_VERBS,
    PRONOUN,
    REMEDY,
    REMEDY_BESIDE,
    REMEDY_WORDS,
    SAME_AS_ABOVE,
    SENTENCE,
    SIDE,
    TO_DO,
    TRADE_GROUPS,
    VERBS,
    WAITING,
    WITH_LAMBS,
    dipped,
    without_negations,
)
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.line_reading import named
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import DATE, taken_apart
from flockbook.whom.reader import groups
from flockbook.whom.told_names import NameReader, and_first, has_stray_tag
from flockbook.whom.told_texts import is_mistaken, speaks, texts_of
from flockbook.whom.whereabouts import Window

PRODUCT_WORDS = 8  # words up to which a remark that names a product tells of a dose (our own choice)
ANSWER_DAYS = 7  # days within which a treatment of the same sheep answers a dose told elsewhere (our own choice)
LATE_WORD = 3  # days after a treatment within which other notes still speak of it (our own choice)
SAME_ML = 0.01  # ml by which one dose may be written in two ways (our own choice)
NEED_MORE = (
    Sale,
    Death,
    Cull,
    MoneyNote,
    Stock,
    EggCount,
)  # they speak of medicines often: an amount, or product and verb
SPEAK_OF_REMEDIES = (*NEED_MORE, Medicine, Task, Plan, Mob)  # a remedy may be named there without being given


class Course(Value):
    """A treatment that a sheep had: its days, its medicine as it is looked up, and its dose in ml if one is written."""

    window: Window
    medicine: str
    ml: float | None = None
    free: bool = False  # its label asks for no waiting at all: it answers nothing that names no product
    route: str = ""

    def answers(self, product: str, mls: tuple[float, ...], text: str = "") -> bool:
        """Whether it can be the dose that some words tell of: no other product, no other amount, no other way in."""
        if product not in ("", self.medicine) or (not product and self.free):
            return False
        if not product and self.route:
            by_mouth, by_needle = BY_MOUTH.search(self.route), BY_NEEDLE.search(self.route)
            if (by_mouth and IN_NEEDLE.search(text)) or (by_needle and IN_MOUTH.search(text)):
                return False
        return self.ml is None or not mls or any(abs(self.ml - ml) < SAME_ML for ml in mls)


def doses_told(known: Known, treated: Mapping[str, tuple[Course, ...]]) -> Iterator[tuple[Concerned, Verdict]]:
    """For every note that tells of a dose and is no treatment: whom it could mean, less those whom one names."""
    for record in known.flock.collection.records:
        if isinstance(record, Treatment) or record.origin.path in known.flock.struck:
            continue
        to_do = isinstance(record, Task | Job)
        found = [
            (text, span)
            for text, span in texts_of(record)
            if speaks(text, known.products)
            or (to_do and (TO_DO.search(text) or AT_WORK.search(text)))
            or isinstance(record, Medicine)
            or (not isinstance(record, SPEAK_OF_REMEDIES) and REMEDY_BESIDE.search(text))
        ]
        if found:
            found += [(text, span) for text, span in texts_of(record) if SAME_AS_ABOVE.search(text)]
        if isinstance(record, Purchase) and (
            named_ := [name for name in record.origin.unread if near(name, ("treated",))]
        ):
            found.append((f"treated: {record.origin.unread[named_[0]]}", record.origin.span(named_[0])))
        if found or is_mistaken(record):
            outcome = _Told(known, record, treated).judge(found)
            if outcome is not None:
                yield outcome


class _Told(NameReader):
    """The work of judging one note that may tell of a dose."""

    def __init__(self, known: Known, record: Any, treated: Mapping[str, tuple[Course, ...]]) -> None:
        super().__init__(known, record)
        self.treated, self.product = treated, ""
        self.mls: tuple[float, ...] = ()

    def judge(self, found: list[tuple[str, Span]]) -> tuple[Concerned, Verdict] | None:
        """Every sentence that tells of a dose; None where none does."""
        mistaken = is_mistaken(self.record)
        if mistaken:
            found = list(texts_of(self.record))
        for text, span in found:
            told, before = mistaken, ""
            for match in SENTENCE.finditer(text):
                further = FURTHER.search(match[0]) if told else SAME_AS_ABOVE.search(match[0])
                if self.tells(match[0]) or (told and mistaken) or further:
                    of_her = before if PRONOUN.search(match[0]) else ""  # `Bramble lame. Jabbed her.`
                    self.sentence(match[0], span, of_her)
                    told = True
                before = match[0]
        if not self.verdict.doubtful and not self.verdict.everybody:
            return None
        return self.verdict.settled(), self.verdict

    def tells(self, sentence: str) -> bool:
        """Whether a sentence tells of a dose of a medicine."""
        product = self.products.product(sentence)
        plain = without_negations(sentence)
        verb = bool(VERBS.search(plain) or GIVEN.search(plain) or COLUMN.search(plain) or HURRIED.search(plain))
        verb = verb or dipped(plain) or WAITING.search(plain) is not None
        amount = bool(DOSE.search(sentence))
        if isinstance(self.record, Job):
            verb = verb or bool(TO_DO.search(sentence) or AT_WORK.search(sentence))
        verb = verb or self.names_a_remedy(sentence)
        if isinstance(self.record, Task) and self.is_done(self.record):
            verb = verb or bool(TO_DO.search(sentence))
        if isinstance(self.record, Stock):
            given = verb or HANDED.search(plain) is not None
            return (bool(self.record.medicine or product) and given) or (amount and self.names_anybody())
        if isinstance(self.record, Medicine):
            day = any(piece.sort == DATE for piece in taken_apart(sentence, self.known.lexicon))
            listed = day and any(groups(piece) for piece in taken_apart(sentence, self.known.lexicon))
            return listed or ((verb or amount or day) and self.names_somebody())
        if MILK_FED.search(sentence) and not product and not verb:
            return False
        if NO_SHEEP.search(sentence) and not product and not self.meets_sheep(sentence):
            return False
        if isinstance(self.record, NEED_MORE):
            return (amount and not isinstance(self.record, Stock)) or (
                bool(product) and (verb or HANDED.search(plain) is not None)
            )
        return bool(product) or verb or (amount and not isinstance(self.record, Feeding))

    def names_a_remedy(self, sentence: str) -> bool:
        """Whether a short sentence, in a sheep's own note a dated one, names a remedy as given."""
        if isinstance(self.record, SPEAK_OF_REMEDIES) or NOT_GIVEN.search(SIDE.sub("", sentence)):
            return False
        words = len(sentence.split())
        beside = words <= BESIDE_WORDS and REMEDY_BESIDE.search(sentence) and self.meets_sheep(sentence)
        if not beside and (words > REMEDY_WORDS or not REMEDY.search(sentence)):
            return False
        pieces = taken_apart(sentence, self.known.lexicon)
        return not isinstance(self.record, Sheep) or any(piece.sort == DATE for piece in pieces)

    def is_done(self, task: Task) -> bool:
        """Whether a task says that it is done, also where `done` could not be read or stands below the head."""
        below = any(DONE.match(cell.text.strip()) for cell in task.origin.rest)
        said = DONE_IN_WORDS.search(task.what or "") is not None
        return below or said or bool(task.done) or "done" in task.origin.typed

    def sentence(self, text: str, span: Span, before: str = "") -> None:
        """The sheep of one sentence, and of the one before where it speaks of her, are held, else those whom the note
        is about.
        """
        sure = bool(self.products.product(text) or DOSE.search(text))
        pieces = taken_apart(text, self.known.lexicon)
        self.words = text
        earlier = taken_apart(before, self.known.lexicon) if before else []
        ids = self.named_by((*earlier, *pieces), sure) + self.by_ends(pieces)
        days = [day for year in (self.known.clock.year, self.known.clock.year - 1) for day in days_told(text, year)]
        week = timedelta(days=ANSWER_DAYS)
        self.told_on = (max(days) - week, max(days) + week) if days and self.day is None else None
        if not ids or PRONOUN.search(text) or and_first(pieces):
            ids = [*ids, *self.about()]
        if "dose" in self.record.origin.unread:
            ids = [*ids, *self.named_in_words()]
        lost = self.known.flock.subjects.get(self.record.origin.path)
        if lost is not None and lost.unresolved and isinstance(self.record, Event):
            ids = [*ids, *self.about()]
        if WITH_LAMBS.search(text) or any(piece.whose for piece in pieces if named(piece)):
            ids = [*ids, *(lamb for sheep in ids for lamb in self.verdict.young_of(sheep))]
        again = bool(AGAIN.search(text) or DOSE.search(text))
        stray = self.joins_a_stranger(pieces) or has_stray_tag(pieces)
        stray = stray or any(words.search(text) for words in (TRADE_GROUPS, MORE_THAN_NAMED, ALL_BUT))
        ids = [*ids, *self.kin_of(ids, text)]
        if (not ids and not stray and not self.anybody(text)) or self.frees_all:
            return
        own = self.record.name if isinstance(self.record, Medicine) else None
        own = self.record.medicine if isinstance(self.record, Stock) else own
        self.product = key_of(self.products.called(self.products.product(text)) or own or "")
        self.mls = tuple(float(figure.replace(",", ".")) for figure in IN_ML.findall(text))
        left = [sheep for sheep in dict.fromkeys(ids) if not self.answered(sheep, again)]
        unnamed = lost is not None and bool(lost.unresolved) and not isinstance(self.record, NEED_MORE)
        unnamed = unnamed or stray
        if ids and not left and not unnamed:
            return
        words = clipped(text.strip(), 60)
        names = ", ".join(self.known.called(sheep) for sheep in left[:4]) + (" …" if len(left) > 4 else "")
        cure = f"write a treatment note for {names or 'those who got it'}, or add `not dosed: {names or 'all'}` here"
        if not isinstance(self.record, Event):
            cure = f"write a treatment note for {names or 'those who got it'}, or word it without the medicine"
        doubt = replace(
            self.verdict.because("V8", span, f"“{words}” tells of a medicine that no treatment note names", cure, True),
            asked=True,
        )
        self.verdict.tell(DOSE_TOLD, span, f"`{words}` tells of a medicine{f' for {names}' if names else ''}", cure)
        self.verdict.doubt(left, doubt)
        if not left or unnamed:
            self.verdict.doubt_everybody(doubt)

    def anybody(self, text: str) -> bool:
        """Whether a sentence that names nobody, in a note about nobody, could yet mean any sheep: an event that plainly
        tells of a dose, with no treatment in the same week.
        """
        if not isinstance(self.record, Event) or isinstance(self.record, NEED_MORE):
            return False
        at_work = isinstance(self.record, Job) and AT_WORK.search(text) is not None
        verb = at_work or VERBS.search(PLAIN_VERBS.sub("", without_negations(text))) is not None
        if not EACH_OR_AGAIN.search(text) and (LONG_AGO.search(text) or (not verb and INTO_NO_SHEEP.search(text))):
            return False
        jotted = isinstance(self.record, Remark) and self.names_a_remedy(text)
        if not verb and not DOSE.search(text) and not (jotted or self.is_todays_product(text)):
            return False
        if self.day is None:
            return True
        week = Window(self.day - timedelta(days=ANSWER_DAYS), self.day + timedelta(days=ANSWER_DAYS))
        return not any(one.window.meets(week.first, week.last) for courses in self.treated.values() for one in courses)

    def is_todays_product(self, text: str) -> bool:
        """Whether a short remark is a product and little else: `Example drench today.`"""
        short = isinstance(self.record, Remark) and len(text.split()) <= PRODUCT_WORDS
        return short and bool(self.products.product(text)) and not NOT_GIVEN.search(text)

    def answered(self, sheep: str, again: bool) -> bool:
        """Whether a treatment within a week names this sheep, or the note says that it got none. Where the words tell
        of a dose `again`, the treatment must reach to their day.
        """
        if sheep in self.freed:
            return True
        courses = [
            course for course in self.treated.get(sheep, ()) if course.answers(self.product, self.mls, self.words)
        ]
        windows = [course.window for course in courses]
        if self.day is None and isinstance(self.record, Event):
            return False
        if self.day is None:
            return bool(windows) if not self.told_on else any(window.meets(*self.told_on) for window in windows)
        around_it = Window(self.day - timedelta(days=ANSWER_DAYS), self.day + timedelta(days=ANSWER_DAYS))
        near = [window for window in windows if window.meets(around_it.first, around_it.last)]
        since = self.day if again else self.day - timedelta(days=LATE_WORD)
        return any(window.last >= since for window in near)
