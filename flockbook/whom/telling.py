"""Whether a sentence of a note tells of a dose of a medicine (V8)."""

from __future__ import annotations

from flockbook.records.cupboard import MoneyNote, Stock
from flockbook.records.event import Event
from flockbook.records.handling import Job
from flockbook.records.health import Death, EggCount
from flockbook.records.places import Mob
from flockbook.records.rearing import Feeding
from flockbook.records.sheep import Medicine, Sheep
from flockbook.records.trade import Cull, Sale
from flockbook.records.year import Plan, Task
from flockbook.whom.dosing_words import (
    AT_WORK,
    BEFORE_IT,
    BEFORE_OR_AFTER,
    BESIDE_WORDS,
    COLUMN,
    COVERED,
    DONE,
    DONE_IN_WORDS,
    GIVEN,
    HAD_IT,
    HANDED,
    HURRIED,
    MILK_FED,
    NO_SHEEP,
    OF_NO_DOSE,
    PLAIN_VERBS,
    PRONOUN,
    REMEDY,
    REMEDY_BESIDE,
    REMEDY_WORDS,
    REST_DONE,
    THE_REST,
    TICKED,
    TICKED_OFF,
    TO_DO,
    VERBS,
    WAITING,
    dipped,
    is_none,
    without_negations,
)
from flockbook.whom.line_reading import named
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import DATE, Piece, taken_apart
from flockbook.whom.reader import groups
from flockbook.whom.told_names import NameReader
from flockbook.whom.told_objects import EXCEPTING, names_its_object

NEED_MORE = (
    Sale,
    Death,
    Cull,
    MoneyNote,
    Stock,
    EggCount,
)  # they speak of medicines often: an amount, or product and verb
SPEAK_OF_REMEDIES = (*NEED_MORE, Medicine, Task, Plan, Mob)  # a remedy may be named there without being given


class TellingReader(NameReader):
    """Reads whether the sentences of one note tell of a dose."""

    def tells(self, sentence: str) -> bool:
        """Whether a sentence tells of a dose of a medicine."""
        sentence = OF_NO_DOSE.sub("", sentence)
        product = self.products.product(sentence)
        plain = without_negations(sentence)
        verb = bool(VERBS.search(plain) or GIVEN.search(plain) or COLUMN.search(plain) or HURRIED.search(plain))
        verb = verb or dipped(plain) or WAITING.search(plain) is not None
        amount = bool(DOSE.search(sentence))
        if isinstance(self.record, Job):
            verb = verb or bool(TO_DO.search(sentence) or AT_WORK.search(sentence))
        verb = verb or self.names_a_remedy(sentence)
        if TICKED_OFF.search(sentence):
            verb = verb or bool(TO_DO.search(sentence))
        if isinstance(self.record, Task) and self.is_done(self.record):
            verb = verb or bool(TO_DO.search(sentence) or AT_WORK.search(sentence))
        if isinstance(self.record, Stock):
            given = verb or HANDED.search(plain) is not None
            pieces = taken_apart(sentence, self.known.lexicon)
            used = self.record.used is not None and any(groups(piece) for piece in pieces)
            return used or (bool(self.record.medicine or product) and given) or (amount and self.names_anybody())
        if isinstance(self.record, Medicine):
            day = any(piece.sort == DATE for piece in taken_apart(sentence, self.known.lexicon))
            listed = day and any(groups(piece) for piece in taken_apart(sentence, self.known.lexicon))
            return listed or ((verb or amount or day) and self.names_somebody())
        if MILK_FED.search(sentence) and not product and not verb:
            return False
        if NO_SHEEP.search(sentence) and not product and not self.meets_sheep(sentence):
            return False
        if isinstance(self.record, NEED_MORE):
            given = bool(product) and (verb or HANDED.search(plain) is not None)
            surely = VERBS.search(PLAIN_VERBS.sub("", plain)) is not None
            surely = surely and (self.meets_sheep(sentence) or self.of_those_here(sentence))
            surely = surely and not isinstance(self.record, MoneyNote)
            return given or ((amount or surely) and not isinstance(self.record, Stock))
        return bool(product) or verb or (amount and not isinstance(self.record, Feeding))

    def names_its_object(self, pieces: list[Piece]) -> bool:
        """Whether the sentence at hand says straight out who got the dose."""
        text = self.products.without_remainders(self.words)
        found = [match.span() for match in self.products.pattern.finditer(text)]
        return names_its_object(text, pieces, [*found, *((one.start, one.end) for one in pieces if one.dose)])

    def leaves_out(self, pieces: list[Piece]) -> bool:
        """Whether the sentence at hand names whom a dose left out: `the rest of the penicillin`, straight at a name,
        leaves out nobody.
        """
        text = self.products.without_remainders(self.words) if any(map(named, pieces)) else self.words
        plain = text if text != self.words and self.names_its_object(pieces) else self.words
        return EXCEPTING.search(plain) is not None

    def is_about_sheep(self) -> bool:
        """Whether the note itself names whom it is about."""
        return isinstance(self.record, Event) and bool(self.known.flock.who(self.record))

    def of_those_here(self, sentence: str) -> bool:
        """Whether a sentence speaks of those of the note who are still here: `Dosed her.` in an egg count, a reason to
        cull, `Drenched the rest.` beside a death.
        """
        counted = isinstance(self.record, EggCount) and PRONOUN.search(sentence) is not None
        return counted or isinstance(self.record, Cull) or THE_REST.search(sentence) is not None

    def names_a_remedy(self, sentence: str) -> bool:
        """Whether a short sentence, in a sheep's own note a dated one, names a remedy as given."""
        if isinstance(self.record, SPEAK_OF_REMEDIES) or is_none(sentence):
            return False
        had = HAD_IT.search(sentence) is not None
        of_somebody = self.meets_sheep(sentence) or self.is_about_sheep()
        plan = BEFORE_IT.search(sentence) or (BEFORE_OR_AFTER.search(sentence) and not of_somebody)
        if plan and not COVERED.search(sentence) and not had:
            return False
        words = len(sentence.split())
        told = had or REST_DONE.search(sentence) or words <= BESIDE_WORDS
        beside = told and REMEDY_BESIDE.search(sentence) and of_somebody
        if not beside and (words > REMEDY_WORDS or not REMEDY.search(sentence)):
            return False
        pieces = taken_apart(sentence, self.known.lexicon)
        return not isinstance(self.record, Sheep) or any(piece.sort == DATE for piece in pieces)

    def is_done(self, task: Task) -> bool:
        """Whether a task says that it is done, also where `done` could not be read or stands below the head."""
        below = any(DONE.match(cell.text.strip()) or TICKED.search(cell.text) for cell in task.origin.rest)
        said = DONE_IN_WORDS.search(task.what or "") is not None
        return below or said or bool(task.done) or "done" in task.origin.typed
