"""A dose told where nobody looks for one: in a remark, a weighing, a task, a lambing (rule V8)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise, zip_longest
from typing import Any

from compiler.nearness import clipped, near
from compiler.schema import Cell, Record
from compiler.shape import Value, field_names, replace
from compiler.source import Span
from flockbook.flock import Concerned
from flockbook.naming import DOSE_TOLD
from flockbook.records.breeding import Lambing
from flockbook.records.cupboard import MoneyNote, Stock
from flockbook.records.event import Event
from flockbook.records.handling import Job
from flockbook.records.health import Death, EggCount, Treatment
from flockbook.records.places import Mob
from flockbook.records.rearing import Feeding
from flockbook.records.remarks import Remark
from flockbook.records.sheep import Medicine, Sheep
from flockbook.records.trade import Cull, Purchase, Sale
from flockbook.records.year import Task
from flockbook.roll import key_of
from flockbook.whom.days import days_in, days_told
from flockbook.whom.dosing_words import (
    AGAIN,
    AND_FIRST,
    AT_WORK,
    BY_MOUTH,
    BY_NEEDLE,
    COLUMN,
    DONE,
    DONE_IN_WORDS,
    FURTHER,
    GIVEN,
    HANDED,
    HURRIED,
    IN_FIELD,
    IN_ML,
    IN_MOUTH,
    IN_NEEDLE,
    LONG_AGO,
    MILK_FED,
    NO_SHEEP,
    NONE_GIVEN,
    NOT_DONE,
    NOT_GIVEN,
    PLAIN_VERBS,
    PRONOUN,
    REMEDY,
    REMEDY_FIELDS,
    REMEDY_WORDS,
    SENTENCE,
    TO_DO,
    VERBS,
    WAITING,
    WITH_LAMBS,
    dipped,
)
from flockbook.whom.judging import Known, Verdict, around
from flockbook.whom.lexicon import NARROW_LETTERS, SHEEP, folded, letters, sheep_of, tokens
from flockbook.whom.line_reading import NO_NAMES, named, stands_for_name
from flockbook.whom.pieces import DATE, DOSE, FIGURE, JOINT, NAME, PREFIX, WORD, Piece, taken_apart
from flockbook.whom.products import Products
from flockbook.whom.reader import FIELD, everyone, freed_by, groups, is_naming
from flockbook.whom.tag_ends import completed
from flockbook.whom.whereabouts import Window

OF_TAGS = frozenset({"ewe", "tag", "no", "number", "ram", "tup", "lamb", "sheep", "hogg", "gimmer", "wether"})
ANSWER_DAYS = 7  # days within which a treatment of the same sheep answers a dose told elsewhere (our own choice)
LATE_WORD = 3  # days after a treatment within which other notes still speak of it (our own choice)
SAME_ML = 0.01  # ml by which one dose may be written in two ways (our own choice)
MEDICINE_FIELDS = ("medicine",)
NEED_MORE = (
    Sale,
    Death,
    Cull,
    MoneyNote,
    Stock,
    EggCount,
)  # they speak of medicines often: an amount, or product and verb
SPEAK_OF_REMEDIES = (*NEED_MORE, Medicine, Task, Mob)  # a remedy may be named there without being given
OF_TREATMENTS = frozenset(
    {"medicine", "dose", "given"}
)  # two of these in a note of another kind: a treatment by mistake
NOT_TEXT = ("origin", "lines", "corrects", "subject", "not_dosed", "except_", "document", "official", "eid")


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
            or (not isinstance(record, SPEAK_OF_REMEDIES) and REMEDY.search(text))
        ]
        if isinstance(record, Purchase) and (
            named_ := [name for name in record.origin.unread if near(name, ("treated",))]
        ):
            found.append((f"treated: {record.origin.unread[named_[0]]}", record.origin.span(named_[0])))
        if found or is_mistaken(record):
            outcome = _Told(known, record, treated).judge(found)
            if outcome is not None:
                yield outcome


def is_mistaken(record: Record) -> bool:
    """Whether a note of another kind has fields of a treatment, or one for a medicine that says one."""
    unread = record.origin.unread.keys()
    if len(unread & OF_TREATMENTS) > 1 or "dose" in unread:
        return True
    if isinstance(record, Medicine | Stock | EggCount | MoneyNote | Task):
        return False
    return any(
        (" ".join(name.lower().split()) in REMEDY_FIELDS or VERBS.search(name) or REMEDY.search(name))
        and text.strip().lower() not in NONE_GIVEN
        for name, text in record.origin.unread.items()
    )


def speaks(text: str, products: Products) -> bool:
    """Whether a text could tell of a dose at all: a quick look before it is taken apart."""
    told = VERBS.search(text) or GIVEN.search(text) or DOSE.search(text) or COLUMN.search(text) or HURRIED.search(text)
    told = told or WAITING.search(text)
    return bool(told or products.product(text) or dipped(text))


def texts_of(record: Record) -> Iterator[tuple[str, Span]]:
    """Everything in words that a note says: its remark line by line, its text fields, what its lines have left over."""
    for cell, text in headed(record.origin.rest):
        yield text, Span(cell.path or record.origin.path, cell.line, cell.column, len(cell.text))
    for name in field_names(type(record)):
        value = getattr(record, name)
        if name not in NOT_TEXT and isinstance(value, str) and not own_medicine(record, name):
            yield value, record.origin.span(name)
    for name, text in (*record.origin.unread.items(), *record.origin.typed.items()):
        yield text, record.origin.span(name)
    for line in getattr(record, "lines", ()):
        remark = getattr(line, "remark", "") or (
            getattr(line, "name", None) or "" if isinstance(record, Purchase) else ""
        )
        if remark:
            yield f"{getattr(line, 'sheep', '')} {remark}", line.span
    told = {line.span.line: remark for line in getattr(record, "lines", ()) if (remark := getattr(line, "remark", ""))}
    for cell in record.origin.data:
        lost = DOSE.search(cell.text) and not DOSE.search(told.get(cell.line, ""))
        if cell.line not in told or cell.path or lost or IN_FIELD.search(cell.text):
            yield cell.text, Span(cell.path or record.origin.path, cell.line, cell.column, len(cell.text))


def headed(cells: Sequence[Cell]) -> Iterator[tuple[Cell, str]]:
    """Lines with their texts; the cells of a table's row behind the headings of its first: `sheep C214, ml 3`."""
    heads: list[str] = []
    for cell in cells:
        row = [part.strip() for part in cell.text.strip().strip("|").split("|")] if cell.sort == "row" else []
        if heads and row:
            yield cell, ", ".join(f"{head} {part}".strip() for head, part in zip_longest(heads, row, fillvalue=""))
        else:
            yield cell, cell.text
        heads = (heads or row) if row else []


def own_medicine(record: Record, name: str) -> bool:
    """Stock and egg-count notes may have their medicine field."""
    return name in MEDICINE_FIELDS and isinstance(record, Stock | EggCount)


class _Told:
    """The work of judging one note that may tell of a dose."""

    def __init__(self, known: Known, record: Any, treated: Mapping[str, tuple[Course, ...]]) -> None:
        self.known, self.products, self.record, self.treated = known, known.products, record, treated
        event = record if isinstance(record, Event) else None
        self.day: date | None = event_day(event, known.clock) if event else None
        self.told_on: tuple[date, date] | None = None
        self.product, self.words = "", ""
        self.mls: tuple[float, ...] = ()
        given = [day for name in ("given", "finished") for day in days_in(record.origin.unread.get(name, ""))]
        window = around([self.day, *given]) if self.day else Window(date.min, known.clock)
        self.verdict = Verdict(known, record.origin.path, window, event, self.day)
        self.freed = freed_by(self.verdict, event.not_dosed if event else ())

    def judge(self, found: list[tuple[str, Span]]) -> tuple[Concerned, Verdict] | None:
        """Every sentence that tells of a dose; None where none does."""
        mistaken = is_mistaken(self.record)
        if mistaken:
            found = list(texts_of(self.record))
        for text, span in found:
            told, before = mistaken, ""
            for match in SENTENCE.finditer(text):
                if self.tells(match[0]) or (told and (mistaken or FURTHER.search(match[0]))):
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
        plain = NOT_DONE.sub("", sentence)
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

    def meets_sheep(self, sentence: str) -> bool:
        """Whether a sentence names a sheep, a mob or a class."""
        pieces = taken_apart(sentence, self.known.lexicon)
        return any(piece.sort == NAME and (piece.proper or groups(piece)) for piece in pieces)

    def names_a_remedy(self, sentence: str) -> bool:
        """Whether a short sentence, in a sheep's own note a dated one, names a remedy as given."""
        if isinstance(self.record, SPEAK_OF_REMEDIES) or len(sentence.split()) > REMEDY_WORDS:
            return False
        if not REMEDY.search(sentence) or NOT_GIVEN.search(sentence):
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
        earlier = taken_apart(before, self.known.lexicon) if before else []
        ids = [sheep for piece in (*earlier, *pieces) for sheep in self.meant(piece, sure)] + self.by_ends(pieces)
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
        if not ids and not stray and not self.anybody(text):
            return
        own = self.record.name if isinstance(self.record, Medicine) else None
        own = self.record.medicine if isinstance(self.record, Stock) else own
        self.product = key_of(self.products.called(self.products.product(text)) or own or "")
        self.mls = tuple(float(figure.replace(",", ".")) for figure in IN_ML.findall(text))
        self.words = text
        left = [sheep for sheep in dict.fromkeys(ids) if not self.answered(sheep, again)]
        unnamed = lost is not None and bool(lost.unresolved) and not isinstance(self.record, NEED_MORE)
        unnamed = unnamed or stray
        if ids and not left and not unnamed:
            return
        words = clipped(text.strip(), 60)
        names = ", ".join(self.known.called(sheep) for sheep in left[:4]) + (" …" if len(left) > 4 else "")
        cure = f"write a treatment note for {names or 'those who got it'}, or add `not dosed: NAMES` here"
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

    def anybody(self, text: str) -> bool:
        """Whether a sentence that names nobody, in a note about nobody, could yet mean any sheep: an event that plainly
        tells of a dose, with no treatment in the same week.
        """
        if not isinstance(self.record, Event) or isinstance(self.record, NEED_MORE):
            return False
        verb = VERBS.search(PLAIN_VERBS.sub("", NOT_DONE.sub("", text)))
        if LONG_AGO.search(text) or (not verb and NOT_GIVEN.search(text)):
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
        short = isinstance(self.record, Remark) and len(text.split()) <= REMEDY_WORDS
        return short and bool(self.products.product(text)) and not NOT_GIVEN.search(text)

    def meant(self, piece: Piece, sure: bool) -> list[str]:
        """Whom one piece of the sentence means: names with a capital or figure; others only beside a product or
        amount.
        """
        if not named(piece) or (piece.sort == FIGURE and len(piece.text) < 3):
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
            elif named(piece):
                tag = piece.text if piece.text[-1:].isdigit() else ""
            elif piece.sort == FIGURE and len(piece.text) > 2 and not tag:
                found += self.ending_in(piece.text)
        return [sheep for sheep in found if self.verdict.here(sheep)]

    def ending_in(self, figures: str) -> list[str]:
        """The sheep whose tags end in these figures, as `214` for C214."""
        return [
            animal.id
            for animal in self.known.flock.animals.values()
            if any(tag.endswith(figures) and not tag[: -len(figures)].isdigit() for tag in animal.tags)
        ]

    def about(self) -> list[str]:
        """Those whom the note as a whole is about."""
        if isinstance(self.record, Sheep):
            own = self.known.flock.animals.values()
            return [animal.id for animal in own if animal.note is self.record]
        if isinstance(self.record, Lambing):
            lambs = self.known.flock.litters.get(self.record.origin.path, ())
            return [*self.known.flock.who(self.record), *(lamb.id for lamb in lambs)]
        if isinstance(self.record, Mob):
            key = " ".join(tokens(self.record.name or ""))
            members = self.known.places.members(key, Window(*(self.told_on or (date.min, self.known.clock))))
            return [*self.named_in_words(), *everyone(members)]
        if isinstance(self.record, Event) and (about := list(self.known.flock.who(self.record))):
            key = " ".join(tokens(self.record.mob or ""))
            return [*about, *everyone(self.known.places.members(key, self.verdict.window))]
        return self.named_in_words()

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


def event_day(event: Event, clock: date) -> date | None:
    """The day of an event; where its head gives none, that of its file's name in any writing."""
    return event.date or next(days_told(event.origin.path, clock.year), None)
