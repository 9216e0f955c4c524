"""What each line of the inbox that is not filed becomes, or why it stays."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from compiler.diagnostics import Diagnostic
from compiler.names import KindWords
from compiler.nearness import clipped, did_you_mean
from compiler.schema import Context, Fault, Kind, declared_keys
from compiler.shape import Value, replace
from compiler.source import Source
from compiler.values import DATE
from flockbook.jotting.foretold import caused
from flockbook.jotting.new_note import NewNote, bearers_of_names, named_by
from flockbook.jotting.note_draft import NoteDraft
from flockbook.jotting.note_paths import free_path, path_candidates
from flockbook.jotting.typed_words import BETWEEN_SHEEP, whom_field
from flockbook.records import KINDS
from flockbook.records.jotted_line import LED_BY_DAY, VERB_FOUND, read_jotted
from flockbook.records.jotted_verbs import JOTTED_ID, Jotted
from flockbook.records.remarks import Remark
from flockbook.roll import key_of
from flockbook.seen import Seen
from flockbook.whom.days import days_in
from flockbook.whom.inbox import LINE_FILES, MOST_UNFILED, UnfiledLine, filed_as, unfiled_lines

OF_ONE_DAY_ONLY = ("weighing", "tagging")  # kinds whose line names the sheep itself
TAGGED_IN_LINE = re.compile(r"\btag\s+([\w/-]+)", re.I)
CALLED_BY_DAM = re.compile(r"['’]s\b")
STRIKES = re.compile(r"\bstrike \S+", re.I)
STANDS_ALONE = re.compile(r"\s*(?:\d{4}-\d\d-\d\d|\d{1,2}:\d\d)(?!\d)", re.A)
GOES_ON = re.compile(r"\b(?:same|also|too|ditto|again|another|likewise|above|below|both|rest|others?|and)\b|[&+]", re.I)
STRUCK = "struck"
NO_PLACE = Fault("every name that its note could have is taken", "give the line a time of its own")


def may_go_on(text: str) -> bool:
    """Whether a line not understood may go on with another: it has no day, time or verb, or says `too`."""
    alone = STANDS_ALONE.match(text) or VERB_FOUND.search(text)
    return alone is None or GOES_ON.search(text) is not None


class InboxLine(Value):
    """A line that is not filed: the note that it becomes, or why it stays. One that `goes_with` another line is told
    twice, or struck: it leaves the inbox with that other line, and no note is made of it. `doses` says that it is
    held to speak of a medicine.
    """

    line: UnfiledLine
    note: NewNote | None = None
    why: Fault | None = None
    goes_with: UnfiledLine | None = None
    doses: bool = False

    @property
    def becomes(self) -> str:
        """The note that it becomes, in a few words."""
        if self.note is None:
            return f"is struck, with line {self.goes_with.number}" if self.goes_with else ""
        draft = self.note.draft
        parts = [*(f"{name} {text}" for name, text in draft.fields if name != "jotted"), *draft.lines, *draft.words]
        return f"a {draft.kind} note: {'; '.join(parts)}"


def inbox_lines(seen: Seen) -> tuple[InboxLine, ...]:
    """Every line of the inbox that is not filed, in order of file and line."""
    lines = tuple(unfiled_lines(seen.collection, Context(seen.settings.habits)))
    if not lines:
        return ()
    sorter = _Sorter(seen, lines)
    return tuple(sorter.sorted_line(line, place) for place, line in enumerate(lines))


class _Sorter:
    """The work of sorting the lines of one inbox."""

    def __init__(self, seen: Seen, lines: tuple[UnfiledLine, ...]) -> None:
        self.seen, self.lines = seen, lines
        self.words = KindWords(KINDS)
        understood = [line.jotted for line in lines if line.jotted]
        self.texts = Counter[str]()
        self.ids = {one.id: {other.plain for other in understood if other.id == one.id} for one in understood if one.id}
        self.filed = {plain: path for (_, plain), path in filed_as(seen.collection).items()}
        ids = {path: JOTTED_ID.search(plain) for plain, path in self.filed.items()}
        self.filed_ids = {found[1]: path for path, found in ids.items() if found}
        self.hanging = {one.path: one for one in lines if one.jotted is None and may_go_on(one.text)}
        self.bearers = bearers_of_names(seen)
        remarks = [record for record in seen.collection.of(Remark) if STRIKES.search(record.jotted or "")]
        self.struck_before = {" ".join(record.origin.written.split()) for record in remarks}
        born = (tag for one in understood for line in one.lines for tag in TAGGED_IN_LINE.findall(line))
        self.bearers |= {key_of(tag): tag for tag in born if key_of(tag) not in self.bearers}
        strikes = [line for line in lines if line.jotted and line.jotted.kind == "strike"]
        self.strikes = {dict(line.jotted.fields)[STRUCK]: line for line in strikes if line.jotted}
        self.held = {
            (path, doubt.line)
            for path, answers in seen.linked.concerned.items()
            for doubt in (*answers.doubtful.values(), *(every.doubt for every in answers.everybody))
        }

    def sorted_line(self, line: UnfiledLine, place: int) -> InboxLine:
        """One line with what becomes of it."""
        found = InboxLine(line, doses=(line.path, line.number) in self.held)
        if place >= MOST_UNFILED:
            why = f"the inbox is full: it takes {MOST_UNFILED} lines that are not filed"
            return replace(found, why=Fault(why, "file those first: `flockbook note --from-inbox`"))
        if line.jotted is None:
            return replace(found, why=self.unread(line))
        outcome = self.told_before(found, line.jotted) or self.struck(found, line.jotted)
        return outcome or self.as_note(found, line.jotted)

    def unread(self, line: UnfiledLine) -> Fault:
        """Why a line could not be read."""
        day = next(days_in(line.path), None)
        outcome = read_jotted(line.text, Context(self.seen.settings.habits, day))
        if not isinstance(outcome, Fault):
            return Fault("it cannot be read", "write it as a note")
        led = LED_BY_DAY.match(line.text) if day is None else None
        nearest = DATE.read(led[1], Context(self.seen.settings.habits, self.seen.today.day)) if led else None
        if led is None or outcome.start != led.start(1) or not isinstance(nearest, date):
            return outcome
        return replace(outcome, help=f"begin the line with its whole day: `{nearest.isoformat()}`, if that is meant")

    def told_before(self, found: InboxLine, jotted: Jotted) -> InboxLine | None:
        """A line that is told twice, or whose id belongs to another."""
        self.texts[jotted.plain] += 1
        if jotted.id in self.filed_ids:
            cure = f"`{jotted.id}` is {self.filed_ids[jotted.id]}: mend that, or give this line another id"
            return replace(found, why=Fault("its id is that of a line already filed", cure))
        if len(self.ids.get(jotted.id, ())) > 1:
            why = f"two different lines bear the id `{jotted.id}`"
            return replace(found, why=Fault(why, "give one of them another id, or none"))
        if self.texts[jotted.plain] == 1:
            return None
        first = next(line for line in self.lines if line.jotted and line.jotted.plain == jotted.plain)
        if jotted.id:
            return replace(found, goes_with=first)
        cure = "give it a time of its own if it happened twice, or take it out"
        return replace(found, why=Fault(f"line {first.number} of {first.path} says the same", cure))

    def struck(self, found: InboxLine, jotted: Jotted) -> InboxLine | None:
        """A line that another strikes, or one that strikes; nobody is freed by it."""
        if self.struck_words(found.line) in self.struck_before and not found.doses:
            return replace(found, goes_with=found.line)
        if jotted.id in self.strikes and not found.doses:
            return replace(found, goes_with=self.strikes[jotted.id])
        if jotted.id in self.strikes:
            cure = "if nobody had it take both lines out; else take out the line that strikes it"
            return replace(found, why=Fault("it is struck, but it may have been a dose: striking frees nobody", cure))
        return self.strike(found, jotted) if jotted.kind == "strike" else None

    def strike(self, found: InboxLine, jotted: Jotted) -> InboxLine:
        """A line that strikes another: a remark that keeps what was struck, word for word."""
        id = dict(jotted.fields)[STRUCK]
        if id in self.filed_ids:
            cure = f"mend {self.filed_ids[id]}, or write a note that `corrects` it; then take this line out"
            return replace(found, why=Fault(f"`{id}` is filed already", cure))
        target = next((line for line in self.lines if line.jotted and line.jotted.id == id), None)
        if target is None:
            return replace(found, why=Fault(f"no line here bears the id `{id}`", "take it out, or mend the id"))
        if (target.path, target.number) in self.held:
            why = "it strikes what may have been a dose, which frees nobody"
            return replace(found, why=Fault(why, "see the line that it names"))
        remark = replace(jotted, kind="remark", fields=(), words=(self.struck_words(target),))
        return replace(found, note=self.note_of(remark, ()))

    def struck_words(self, target: UnfiledLine) -> str:
        """What is kept of a line that is struck."""
        return f"Struck out, not filed: {' '.join(target.text.split())}"

    def as_note(self, found: InboxLine, jotted: Jotted) -> InboxLine:
        """A line that becomes a note of its own, if whom it names is known."""
        going_on = self.hanging.get(found.line.path)
        if going_on and (found.doses or jotted.kind == "treatment"):
            words = clipped(going_on.text.strip())
            why = f"it may be a dose, and line {going_on.number}, “{words}”, may go on with it"
            return replace(found, why=Fault(why, f"write line {going_on.number} so that it stands for itself"))
        fields = tuple(self.whom(jotted))
        if jotted.who and not fields and jotted.kind not in OF_ONE_DAY_ONLY:
            return replace(found, why=self.nobody(jotted, found.line))
        if jotted.kind in OF_ONE_DAY_ONLY and not self.is_known(jotted.who):
            return replace(found, why=self.nobody(jotted, found.line))
        return replace(found, note=self.note_of(jotted, fields))

    def whom(self, jotted: Jotted) -> Iterator[tuple[str, str]]:
        """The field that names whom a line is about."""
        if not jotted.who or jotted.kind in OF_ONE_DAY_ONLY or not self.is_known(jotted.who):
            return
        kind = self.kind(jotted)
        mob = self.bearers.get(key_of(jotted.who)) == "" and "mob" in declared_keys(kind.record)
        yield "mob" if mob else whom_field(kind), jotted.who

    def is_known(self, who: str) -> bool:
        """Whether every part of a name is borne by somebody, or is a lamb called by its dam."""
        parts = [who] if key_of(who) in self.bearers else BETWEEN_SHEEP.split(who)
        return all(key_of(part) in self.bearers or CALLED_BY_DAM.search(part) for part in parts)

    def nobody(self, jotted: Jotted, line: UnfiledLine) -> Fault:
        """What is said of a name that is nobody's."""
        start = line.text.find(jotted.who)
        known = [word for one in self.seen.linked.animals.values() for word in (one.name or "", *one.tags) if word]
        guess = did_you_mean(jotted.who, known)
        cure = f"{guess}write a tag or a name that the book knows"
        return Fault(f"nobody here is called `{jotted.who}`", cure, max(0, start), len(jotted.who))

    def note_of(self, jotted: Jotted, whom: tuple[tuple[str, str], ...]) -> NewNote:
        """The note in its plain form, with the line that it was made from."""
        kind = self.kind(jotted)
        clock = (("time", f"{jotted.clock:%H:%M}"),) if jotted.clock else ()
        day = ("date", jotted.day.isoformat())
        fields = (*whom, day, *clock, *jotted.fields, ("jotted", jotted.plain))
        bare = kind.lines is not None and kind.lines.bare
        draft = NoteDraft(kind.name, fields, jotted.lines, jotted.words, bare)
        return NewNote(draft, named_by(kind, draft, self.seen))

    def kind(self, jotted: Jotted) -> Kind[Any]:
        """The kind of note that a line becomes."""
        found = self.words.find(jotted.kind)
        assert found is not None
        return found


def lines_filed_before(seen: Seen) -> Iterator[UnfiledLine]:
    """The lines of which notes were made before, and that stand in the inbox still or again."""
    left = {line.span for line in unfiled_lines(seen.collection, Context(seen.settings.habits))}
    for other in seen.collection.others:
        for number, text in enumerate(other.text.split("\n") if other.sort == LINE_FILES else (), 1):
            line = UnfiledLine(other.path, number, text)
            if text.strip() and line.span not in left:
                yield line


# What can be filed


NotePlaced = tuple[InboxLine, Source]


class FilingPlan(Value):
    """The notes to be written, each with its path, and the lines that stay, each with its reason."""

    notes: tuple[NotePlaced, ...] = ()
    stay: tuple[InboxLine, ...] = ()


def filing_plan(
    seen: Seen, lines: Sequence[InboxLine], taken: Iterable[str], after: Callable[[Sequence[Source]], Seen]
) -> FilingPlan:
    """Which lines can be filed: those understood whose notes, all together, raise no error and no question."""
    stay = [line for line in lines if line.why is not None]
    placed = list(with_paths(seen, [line for line in lines if line.note is not None], taken))
    stay += [replace(line, note=None, why=NO_PLACE) for line, source in placed if not source.path]
    trial = _Trial(seen, after)
    notes = trial.accepted([pair for pair in placed if pair[1].path], [])
    stay += trial.refused
    return FilingPlan(tuple(notes), tuple(sorted(stay, key=lambda item: (item.line.path, item.line.number))))


class _Trial:
    """Which notes can be written together, found by reading the whole flock with them."""

    def __init__(self, seen: Seen, after: Callable[[Sequence[Source]], Seen]) -> None:
        self.seen, self.after = seen, after
        self.refused: list[InboxLine] = []

    def accepted(self, notes: list[NotePlaced], before: list[NotePlaced]) -> list[NotePlaced]:
        """Those of some notes that can be added to those accepted before; the reason is kept of the others."""
        while notes:
            sources = [source for _, source in (*before, *notes)]
            told = caused(self.seen.diagnostics, self.after(sources).diagnostics)
            if not told:
                return notes
            left = [pair for pair in notes if not self.refuse(pair, first_message(told, pair[1]))]
            if len(left) == len(notes):  # nothing says which note is to blame
                return self.accepted_by_halves(notes, before, told[0])
            notes = left
        return []

    def accepted_by_halves(
        self, notes: list[NotePlaced], before: list[NotePlaced], why: Diagnostic
    ) -> list[NotePlaced]:
        """The same where a message stands elsewhere: the first half is tried, then the rest with what went in."""
        if len(notes) == 1:
            self.refuse(notes[0], why)
            return []
        middle = len(notes) // 2
        first = self.accepted(notes[:middle], before)
        return [*first, *self.accepted(notes[middle:], [*before, *first])]

    def refuse(self, pair: NotePlaced, why: Diagnostic | None) -> bool:
        """Keep a line back, where there is a reason."""
        if why is not None:
            self.refused.append(replace(pair[0], note=None, why=Fault(why.message, why.help)))
        return why is not None


def first_message(told: Iterable[Diagnostic], source: Source) -> Diagnostic | None:
    """The first message about a note, or that points at it."""
    return next((item for item in told if source.path in (item.span.path, *(span.path for span in item.also))), None)


def with_paths(seen: Seen, lines: Iterable[InboxLine], taken: Iterable[str]) -> Iterator[tuple[InboxLine, Source]]:
    """Each line that becomes a note with the path that it will have; no two have the same."""
    known = set(taken)
    for line in lines:
        assert line.note is not None
        path = free_path(path_candidates(line.note.named, seen.collection.records), known)
        known.add(path or "")
        yield line, Source(path or "", line.note.draft.text, "")


def without_lines(text: str, gone: Iterable[int]) -> str:
    """A text without the lines of these numbers (from 1), all others as they stand."""
    numbers = set(gone)
    pieces = re.split("(\r\n?|\n|\x85|\u2028|\u2029)", text)
    lines = ["".join(pieces[place : place + 2]) for place in range(0, len(pieces), 2)]
    return "".join(line for number, line in enumerate(lines, 1) if number not in numbers)
