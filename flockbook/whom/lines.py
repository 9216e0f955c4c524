"""The lines of a treatment: dash lines, rows of tables, and lines of any other shape (V1, V2)."""

from __future__ import annotations

import re
from datetime import timedelta
from itertools import pairwise

from compiler.nearness import clipped
from compiler.schema import Cell, Context, Fault
from compiler.shape import replace
from compiler.source import Span
from compiler.values import WEIGHT
from flockbook.naming import (
    LINE_NOT_WHOLE,
)
from flockbook.records.dose_line import DoseLine
from flockbook.records.labels import DOSE_TEXT
from flockbook.roll import ONE_YEAR
from flockbook.whom.days import days_in, days_told
from flockbook.whom.fields import FieldReader
from flockbook.whom.lexicon import SHEEP, folded, sheep_of
from flockbook.whom.line_reading import (
    KIN,
    NAMING_WORDS,
    NOISE,
    Group,
    LineRead,
    is_sheep,
    named,
    only_names,
    read_line,
)
from flockbook.whom.line_words import (
    AND_MORE,
    BRACKETED,
    LATER,
    LIST_HEAD,
    OF_CLOCK,
    OF_GROUPS,
    TAGS_ALONE,
    YEARLINGS,
    follows,
    lone_kin,
)
from flockbook.whom.pieces import DATE, FIGURE, JOINT, NAME, PREFIX, WORD, Piece, taken_apart
from flockbook.whom.reader import (
    BUT_NOT,
    FIELD,
    groups,
    is_dash,
    is_naming,
    placed,
)
from flockbook.whom.strangers import dosed_stranger
from flockbook.whom.tag_ends import completed

MONTH = timedelta(days=31)  # how far behind the last dose a day on a line is one of a later dose (our choice)
OR_A_REMARK = "; a remark stands below as a sentence, without a dash and in no table"
LIGHT = 40  # kg below which no grown sheep weighs (our own limit)


class LineReader(FieldReader):
    """Reads the lines."""

    def read_lines(self) -> None:
        """Every line that can be data: dash lines, rows of tables, and lines of any other shape."""
        for line in self.event.lines:
            if line.text:
                self.read_line(line.text, line.span, True, line)
            else:
                self.read_row(line)
        for cell in self.event.origin.rest:
            span = Span(cell.path or self.event.origin.path, cell.line, cell.column, len(cell.text))
            if cell.sort == "comment":
                self.read_comment(cell.text, span)
            elif cell.sort == "cell":
                self.read_cell(cell.text, span)
                self.day_of_row(cell, span)
            else:
                self.read_line(cell.text, span, is_dash(cell), None)
                if cell.path:
                    self.hidden_in_row(cell.text, span)

    def read_comment(self, text: str, span: Span) -> None:
        """Words lost behind a `#` in the head: a list where the field above them is one for sheep."""
        lost = self.event.origin.broken & {"sheep", "mob"}
        if lost or TAGS_ALONE.fullmatch(text):
            self.read_list(text.replace("#", " "), span)
        elif text.lstrip("# ").isdigit():
            self.verdict.unknown(text.lstrip("# "), span)
        else:
            self.read_loosely(text, span)

    def hidden_in_row(self, text: str, span: Span) -> None:
        """A word with figures in a row that could not be used may hide a name: `3 mlC231`."""
        for piece in taken_apart(text, self.lexicon):
            if piece.sort == WORD and any(sign.isdigit() for sign in piece.text):
                self.verdict.unknown(piece.text, placed(span, piece))

    def read_cell(self, text: str, span: Span) -> None:
        """A cell of a table that could not be used: a name in it counts, and a word with figures may hide one."""
        self.hidden_in_row(text, span)
        for piece in taken_apart(text, self.lexicon):
            if piece.sort == NAME and piece.proper:
                self.take(piece, placed(span, piece))

    def day_of_row(self, cell: Cell, span: Span) -> None:
        """A day or a time in a row of doses: of whoever the row names."""
        line = next((one for one in self.event.lines if one.span.line == cell.line), None)
        if line is not None:
            names = [piece for piece in taken_apart(line.sheep, self.lexicon) if named(piece)]
            days = [piece for piece in taken_apart(cell.text, self.lexicon) if piece.sort == DATE]
            self.days_apart(Group(names=names, days=days), span)
            self.later_words(cell.text, names, span)

    def read_row(self, line: DoseLine) -> None:
        """A row of a table: its first cell may list several."""
        before = set(self.verdict.dosed)
        self.read_list(line.sheep, line.span)
        for sheep in [one for one in self.verdict.dosed if one not in before] or self.ids_of(line.sheep):
            self.verdict.own[sheep] = line
        self.read_cell(line.remark, line.span)
        self.later_words(line.remark, taken_apart(line.sheep, self.lexicon), line.span)

    def read_line(self, text: str, span: Span, dash: bool, line: DoseLine | None) -> None:
        """One line: data, a field that stands below the head, or a remark whose words are looked at later."""
        if line is None and self.field_below(text, span):
            return
        dash = dash or self.is_a_list(text)
        read = read_line(LIST_HEAD.sub("", text) if dash else text, self.lexicon, dash)
        if dash:
            self.read_lone_kin(text, span)
        if read.others is not None and dash:
            self.others_told(read.others, text, span)
        elif read.data and (more := AND_MORE.search(text)):
            self.others_told(Piece(WORD, more[0], more.start(), more.end()), text, span)
        if not read.data and not dash and self.is_of_groups(text):
            self.read_but_some(text.strip(" ."), span)
            return
        if not read.data:
            if not dash and (strange := dosed_stranger(text, self.lexicon, self.verdict.known.products)):
                self.verdict.unknown(strange, span)
            self.prose.append((text, span))
            return
        self.read_foot(taken_apart(text, self.lexicon), span)
        self.ends_too(taken_apart(text, self.lexicon), span)
        self.so_many(taken_apart(text, self.lexicon), span)
        several = sum(len(group.names) for group in read.groups) > 1
        for place, group in enumerate(read.groups):
            names = [] if several and place > 0 and not read.whole else group.names if read.whole else group.names[:1]
            self.read_group(group, names, span, line)
            self.later_words(text, names, span)
            self.ends_or_weights(group, span)
        for piece in read.unknown:
            self.verdict.unknown(piece.text, placed(span, piece), more=OR_A_REMARK if dash else "")
        if several and not read.whole:
            self.not_whole(read, text, span)
        elif not several:
            self.prose.append((text[read.groups[0].names[0].end :] if read.groups[0].names else text, span))

    def is_a_list(self, text: str) -> bool:
        """Whether a line without a dash is nothing but sheep with figures, or one with a word in brackets: `12 teasel`,
        `Total 3: bess teasel plover`, `4 (lame)`.
        """
        pieces = taken_apart(BRACKETED.sub(" ", LIST_HEAD.sub("", text)), self.lexicon)
        return only_names(pieces) and any(
            is_sheep(piece) or (piece.sort == FIGURE and piece.bearers) for piece in pieces
        )

    def is_of_groups(self, text: str) -> bool:
        """Whether a bare line is a mob or a class with what narrows it, no sentence: `hill ewes`, `all but Duke`."""
        pieces = taken_apart(BUT_NOT.split(text)[0], self.lexicon)
        words = [piece for piece in pieces if piece.sort != JOINT]
        plain = all(
            named(piece) or piece.sort in (PREFIX, FIGURE, DATE) or folded(piece.text) in OF_GROUPS for piece in words
        )
        told = [piece for piece in words if groups(piece)]
        return plain and bool(told) and (len(words) > 1 or BUT_NOT.search(text) is not None)

    def read_lone_kin(self, text: str, span: Span) -> None:
        """`- ram 2 ml`: one of a class, unless the note names one of it and nobody else, or all of it: it is theirs."""
        pieces = taken_apart(text, self.lexicon)
        word, dosed = lone_kin(pieces), self.verdict.dosed.keys()
        if not word:
            return
        of_class = KIN[word] or "lambs"
        found = self.verdict.known.places.of_class(of_class, self.verdict.window)
        meant = found.sure | found.perhaps
        own = (len(dosed) == 1 and dosed <= meant and word not in YEARLINGS) or (bool(meant) and meant <= dosed)
        if not (own and any(piece.dose for piece in pieces)):
            self.read_kin(Piece(WORD, word, 0, len(text)), of_class, span)

    def field_below(self, text: str, span: Span) -> bool:
        """A line such as `mob: hill` that is none of the head: whoever it names counts, as there."""
        match = FIELD.match(text)
        if match is None or ":" not in text[: match.start(2)] or not is_naming(match[1]):
            return False
        pieces = [piece for piece in taken_apart(text, self.lexicon) if piece.start >= match.start(2)]
        over = [piece for piece in pieces if not named(piece) and piece.sort not in (JOINT, PREFIX)]
        plain = match[1].strip().lower() in ("sheep", "mob", "mobs", "ewes", "rams")
        if not pieces or (over and not (plain and len(over) <= NAMING_WORDS)):
            return False
        for piece in pieces:
            if piece in over:
                self.verdict.unknown(piece.text, placed(span, piece), match[1].strip().lower().startswith("mob"))
            elif named(piece):
                self.take(piece, placed(span, piece))
        return True

    def read_group(self, group: Group, names: list[Piece], span: Span, line: DoseLine | None) -> None:
        """The sheep of one group that are plainly named are dosed, each with the amounts written for them."""
        if not group.names or self.at_odds(group.names, span):
            return
        for piece in names:
            surely = self.take(piece, placed(span, piece))
            perhaps = [one for one in self.verdict.sheep_meant(piece) if one in self.verdict.doubtful]
            own = self.line_of(piece, group, span, line)
            self.verdict.own.update(dict.fromkeys((*surely, *perhaps), own))
        self.days_apart(group, span)

    def ends_or_weights(self, group: Group, span: Span) -> None:
        """`C214, 31`: no weight of a grown sheep, and the end of another's tag."""
        tag = group.names[-1].text if group.names else ""
        self.tags_or_figures(group, span)
        for piece in group.amounts if tag[-1:].isdigit() else ():
            whole = next(iter(completed(tag, piece.text, self.lexicon)), "") if piece.sort == FIGURE else ""
            if not whole or not (follows(tag, whole) or (int(piece.text) < LIGHT and self.is_grown(group.names[-1]))):
                continue
            cure = f"write `{tag}, {whole} …` if both are meant, `{piece.text} kg` if it is a weight"
            text = f"`{piece.text}` can be {whole}"
            self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), text, cure)
            self.verdict.doubt(self.ids_of(whole), self.verdict.because("V2", span, text.replace("`", "“", 1), cure))

    def so_many(self, pieces: list[Piece], span: Span) -> None:
        """`- 12 ewes` where a ewe is called 12: she, or twelve of them."""
        for before, piece in pairwise(pieces):
            if before.sort != FIGURE or not before.bearers or not groups(piece):
                continue
            cure = f"write `{before.text}` alone, or `mob: …` with `count: {before.text}`"
            text = f"`{before.text} {piece.text}` can be one sheep or so many"
            self.verdict.tell(LINE_NOT_WHOLE, placed(span, before), text, cure)
            ids = [one for bearer in piece.bearers if bearer.sort != SHEEP for one in self.members_of(bearer)]
            self.verdict.doubt(sorted(ids), self.verdict.because("V2", span, text.replace("`", "“", 1), cure))

    def tags_or_figures(self, group: Group, span: Span) -> None:
        """`- Fern 12` where a sheep is called 12: a figure without a unit that is a tag."""
        for piece in group.amounts if group.names else ():
            ids = [one for one in sheep_of(piece.bearers) if self.verdict.here(one)] if piece.sort == FIGURE else []
            if ids:
                cure = f"put a comma before {piece.text} if that sheep is meant, or the unit behind it"
                text = f"`{piece.text}` can be a sheep or a figure"
                self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), text, cure)
                self.verdict.doubt(ids, self.verdict.because("V2", span, text.replace("`", "“", 1), cure))

    def is_grown(self, piece: Piece) -> bool:
        """Whether those named are sheep of more than a year."""
        born = [self.verdict.known.animal(sheep).born for sheep in self.verdict.sheep_meant(piece)]
        return bool(born) and all(
            one is None or (self.verdict.window.first - one.latest).days > ONE_YEAR for one in born
        )

    def line_of(self, piece: Piece, group: Group, span: Span, line: DoseLine | None) -> DoseLine:
        """The weight and the dose that a group's amounts give each of its sheep."""
        made = replace(line, sheep=piece.text) if line else DoseLine(piece.text, span=span)
        doses = [DOSE_TEXT.read(amount.text, Context()) for amount in group.amounts if amount.dose]
        read = [dose for dose in doses if not isinstance(dose, Fault)]
        made = replace(made, dose=max(read, key=lambda dose: dose.ml)) if read else made
        for amount in group.amounts:
            weight = WEIGHT.read(amount.text, Context()) if not amount.dose else None
            made = made if weight is None or isinstance(weight, Fault) else replace(made, weight=weight)
        return made

    def days_apart(self, group: Group, span: Span) -> None:
        """A day on a line that is later than the doses of the note: from when to count cannot be told."""
        if not group.days:
            return
        doses = self.event.doses
        last = max((when.date for when in doses), default=None)
        timed = [when.time for when in doses if when.date == last and when.time]
        for piece in group.days:
            day = next(days_in(piece.text), None)
            if day is None and OF_CLOCK.fullmatch(piece.text):
                if not timed or piece.text.rjust(5, "0") <= f"{max(timed):%H:%M}":
                    continue
            elif day is not None and last is not None and day <= last:
                continue
            cure = "write every dose under `given`, with its day"
            self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), f"`{piece.text}` on a line is not read", cure)
            doubt = self.verdict.because("V9", span, f"“{piece.text}” stands on a line and is not read", cure, True)
            for sheep in self.ids(group.names):
                self.verdict.trouble[sheep] = doubt

    def later_words(self, text: str, names: list[Piece], span: Span) -> None:
        """A weekday, `next day` or `22nd` on a line, other than the day of the doses: from when to count is unknown."""
        last = max((when.date for when in self.event.doses), default=None)
        match = LATER.search(text)
        if last is not None and any(last < day <= last + MONTH for day in days_told(text, last.year)):
            match = match or re.match(r".*", text)
        if match is None or last is None:
            return
        word = match[0].lower()
        if word[:3] == f"{last:%a}".lower() or re.sub(r"\D", "", word) == str(last.day):
            return
        cure = "write every dose under `given`, with its day"
        self.verdict.tell(LINE_NOT_WHOLE, span, f"`{match[0]}` on a line is not read", cure)
        doubt = self.verdict.because("V9", span, f"“{match[0]}” stands on a line and is not read", cure, True)
        self.verdict.trouble.update(dict.fromkeys(self.ids([piece for piece in names if named(piece)]), doubt))

    def others_told(self, piece: Piece, text: str, span: Span) -> None:
        """A dash line that speaks of the others: everybody of those days may be meant."""
        cure = "name them, or their mob"
        self.verdict.tell(LINE_NOT_WHOLE, placed(span, piece), f"`{clipped(text)}` does not say who", cure)
        self.verdict.named = True
        self.verdict.doubt_everybody(self.verdict.because("V1", span, f"“{clipped(text)}” does not say who", cure))

    def not_whole(self, read: LineRead, text: str, span: Span) -> None:
        """Further sheep on a line that does not read whole are held, with the line to type."""
        names = [piece for group in read.groups for piece in group.names]
        cure = f"put a comma between them and a dose behind: `{', '.join(piece.text for piece in names)} …`"
        over = ", ".join(dict.fromkeys(piece.text for piece in read.left if folded(piece.text) not in NOISE))
        self.verdict.tell(LINE_NOT_WHOLE, span, f"`{clipped(text)}` names several sheep; not understood: {over}", cure)
        self.verdict.doubt(
            [sheep for sheep in self.ids(names) if sheep not in self.verdict.dosed],
            self.verdict.because("V2", span, f"“{clipped(text)}” could mean this sheep too", cure),
        )
