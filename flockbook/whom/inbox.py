"""Jotted lines that are not yet filed (V5, V7, V8): each that speaks of a dose holds whom it names, else everybody,
and each that moves sheep leaves them in both places.

A line that reads whole stands for itself. All others are judged together as well, with the lines that speak of a
dose, as the lines of a file that is not read: one of them may go on with another (`and Teasel`). Only a line that a
note was made from (`jotted`) holds nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from compiler.collection import Collection, Other
from compiler.schema import Cell, Context, Fault, Origin
from compiler.shape import Value, replace
from compiler.source import Span
from flockbook.flock import Concerned, Doubt, Everybody
from flockbook.naming import NOT_A_NOTE
from flockbook.records.event import Event
from flockbook.records.jotted_line import read_jotted
from flockbook.records.jotted_verbs import Jotted
from flockbook.records.remarks import Remark
from flockbook.whom.answers import Course
from flockbook.whom.days import days_in
from flockbook.whom.elsewhere import doses_told
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.lexicon import MOB
from flockbook.whom.other_files import LOOKED_AT, judge_other
from flockbook.whom.pieces import taken_apart
from flockbook.whom.told_moves import COULD_MOVE, SUCKS
from flockbook.whom.told_texts import speaks
from flockbook.whom.unsure_drafts import meant_by_text
from flockbook.whom.whereabouts import ALWAYS, Stay, is_young, stays

LINE_FILES = "lines"  # the sort of a file whose lines are read one by one
MOST_UNFILED = 2000  # lines of the inbox that are read for themselves (our own limit)
UNFILED = "a jotted line that is not filed speaks of a treatment"
UNFILED_CURE = "file it with `flockbook note --from-inbox`, or write a treatment note and take the line out"
NOT_FILED_CURE = "write a treatment note and take the line out; as it stands it cannot be filed: {}"
FULL = "the inbox is full, and a line in it that is not read speaks of a treatment"


class UnfiledLine(Value):
    """A line of the inbox from which no note was made, its place, and what it was read as, if it was understood."""

    path: str
    number: int
    text: str
    jotted: Jotted | None = None
    fault: Fault | None = None

    @property
    def cure(self) -> str:
        """What to do with it: only a line that is understood can be filed."""
        return UNFILED_CURE if self.fault is None else NOT_FILED_CURE.format(f"{self.fault.message}; {self.fault.help}")

    @property
    def span(self) -> Span:
        """The whole line."""
        return Span(self.path, self.number, 1, len(self.text))


def unfiled_lines(collection: Collection, context: Context) -> Iterator[UnfiledLine]:
    """Every line of the inbox that says something and was not filed, file by file."""
    filed = filed_as(collection)
    for other in collection.others:
        day = next(days_in(other.path), None) if other.sort == LINE_FILES else None
        for number, text in enumerate(other.text.split("\n") if other.sort == LINE_FILES else (), 1):
            reading = read_jotted(text, replace(context, date=day)) if text.strip() else None
            fault = reading if isinstance(reading, Fault) else None
            jotted = None if isinstance(reading, Fault) else reading
            if text.strip() and not (jotted and (jotted.note_kind, jotted.plain) in filed):
                yield UnfiledLine(other.path, number, text, jotted, fault)


def filed_as(collection: Collection) -> dict[tuple[str, str], str]:
    """The kind of each note that was made from a jotted line, and that line → the path of the note."""
    return {
        (record.origin.kind, " ".join(record.jotted.split())): record.origin.path
        for record in collection.records
        if isinstance(record, Event) and record.jotted
    }


def stays_jotted(known: Known, line: UnfiledLine) -> Iterator[tuple[str, Stay]]:
    """Where a line puts sheep of which no note was made: in both places, until it is filed (V5). One that is not
    understood may tell of a move wherever it names a mob.
    """
    moving = line.jotted is None or line.jotted.note_kind == "move"
    if not moving and not COULD_MOVE(line.text):
        return
    since = line.jotted.day if line.jotted else next(days_in(f"{line.text} {line.path}"), date.min)
    bearers = [bearer for piece in taken_apart(line.text, known.lexicon) for bearer in piece.bearers]
    ids = meant_by_text(known, line.text)
    for mob in dict.fromkeys(bearer.name for bearer in bearers if bearer.sort == MOB):
        yield from stays(ids, mob, since)
    if SUCKS.search(line.text):
        young = (one for one in ids if is_young(known.animal(one), since if since > date.min else known.clock))
        yield from stays(young, "", since)


def doses_jotted(
    known: Known, treated: Mapping[str, tuple[Course, ...]], originals: dict[str, Concerned]
) -> Iterator[tuple[Concerned, Verdict]]:
    """For every file of the inbox: whom its lines that are not filed hold."""
    if not any(other.sort == LINE_FILES for other in known.flock.collection.others):
        return
    lines = list(unfiled_lines(known.flock.collection, Context()))
    files = {other.path: other for other in known.flock.collection.others if other.sort == LINE_FILES}
    for path, other in files.items():
        held = _Held(Verdict(known, path, ALWAYS), other, treated, originals)
        held.judge([line for line in lines[:MOST_UNFILED] if line.path == path])
        held.judge_beyond([line for line in lines[MOST_UNFILED:] if line.path == path])
        if held.verdict.doubtful or held.verdict.everybody:
            yield held.verdict.settled(), held.verdict


class _Held:
    """The work of judging one file of the inbox."""

    def __init__(
        self, verdict: Verdict, other: Other, treated: Mapping[str, tuple[Course, ...]], originals: dict[str, Concerned]
    ) -> None:
        self.verdict, self.other, self.treated, self.originals = verdict, other, treated, originals
        self.known = verdict.known

    def judge(self, lines: list[UnfiledLine]) -> None:
        """Each line for itself, then those that do not read whole, with the doses that they may go on with."""
        together = []
        for line in lines:
            found = [*self.as_file(line.text), *self.as_remark(line)]
            together += [line] if found or line.jotted is None else []
            for answers, _ in found:
                self.hold(answers, line)
            if found:
                self.tell(line)
        if not together or any(line.jotted is None for line in together):
            self.judge_together(together)

    def judge_together(self, lines: list[UnfiledLine]) -> None:
        """Lines as one text: whoever it holds beyond those who are held already."""
        text = "\n".join(line.text for line in lines)
        first = lines[0] if lines else UnfiledLine(self.other.path, 1, "")
        for start in range(0, max(1, len(text)), LOOKED_AT):
            for answers, _ in self.as_file(text[start : start + LOOKED_AT]):
                if set(answers.doubtful) - set(self.verdict.doubtful) or answers.everybody:
                    self.hold(answers, first)
                    self.tell(replace(first, text=""))

    def judge_beyond(self, lines: list[UnfiledLine]) -> None:
        """Lines beyond those that are read: everybody is held where one speaks of a dose."""
        told = next((line for line in lines if speaks(line.text, self.known.products)), None)
        if told is not None:
            self.verdict.doubt_everybody(self.verdict.because("V7", told.span, FULL, UNFILED_CURE, never=True))
            self.tell(told)

    def as_file(self, text: str) -> Iterator[tuple[Concerned, Verdict]]:
        """Whom a text holds as one that stands in a file which is not read (V7)."""
        outcome = judge_other(self.known, replace(self.other, text=text, sort="no head"), self.originals)
        if outcome is not None:
            yield outcome

    def as_remark(self, line: UnfiledLine) -> Iterator[tuple[Concerned, Verdict]]:
        """Whom a line holds as a remark of its day (V8)."""
        day = line.jotted.day if line.jotted else next(days_in(f"{line.text} {line.path}"), None)
        origin = Origin(path=line.path, kind="remark", spans={}, rest=(Cell(line.text, line.number, 1, "bare"),))
        yield from doses_told(self.known, self.treated, (Remark(origin=origin, date=day),))

    def hold(self, answers: Concerned, line: UnfiledLine) -> None:
        """Those of one judgement, held by the line until it is filed or mended."""
        for sheep, doubt in answers.doubtful.items():
            self.verdict.doubt([sheep], self.by_line(doubt, line))
        for every in answers.everybody:
            self.verdict.everybody.append(Everybody(every.first, every.last, self.by_line(every.doubt, line)))

    def by_line(self, doubt: Doubt, line: UnfiledLine) -> Doubt:
        """A doubt as one that the line raises."""
        return Doubt(doubt.rule, self.other.path, line.number, UNFILED, line.cure, never=True)

    def tell(self, line: UnfiledLine) -> None:
        """Say so, once for each line."""
        if not any(told.span.line == line.number for told in self.verdict.told):
            self.verdict.tell(NOT_A_NOTE, line.span, UNFILED, line.cure)
