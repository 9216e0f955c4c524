"""Whom a note concerns that cannot be read, and a file that is no note (rules V7, V13 and W11)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from compiler import collection, copies, decode, frontmatter, notes
from compiler.collection import Hole
from compiler.dates import DATE
from compiler.schema import Cell, Context, Fault, declared_keys
from compiler.shape import replace
from flockbook.flock import Concerned, Doubt, Everybody
from flockbook.records.health import Treatment
from flockbook.whom.days import days_in
from flockbook.whom.dosing_words import WITH_LAMBS
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known, around
from flockbook.whom.lexicon import SHEEP, folded, sheep_of
from flockbook.whom.line_reading import OTHERS, named, nameless_kin, passed_over, read_line
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import FIGURE, JOINT, NAME, RANGE, WORD, Piece, taken_apart
from flockbook.whom.reader import EARLY_DAYS, FIELD, LATE_DAYS, NAMING_FIELDS, OPEN_ENDED, groups, is_dash, is_naming
from flockbook.whom.whereabouts import ALWAYS, Window

# Faults of form: every line still stands as it was typed. Any other may have taken words away.
OF_FORM = frozenset(
    rule.code
    for rule in (
        frontmatter.NOT_YAML, frontmatter.DUPLICATE, frontmatter.REFUSED, notes.CONFLICT, collection.KIND_MISSING,
        collection.KIND_UNKNOWN, collection.TRACES, collection.NAMED_ALIKE, collection.TWO_HEADS, copies.COPY,
        decode.DIFFERS,
    )
)  # fmt: skip
FIELDS_APART = re.compile(r"[;,]\s+(?=[A-Za-z][\w -]{0,24}:)")  # between two fields on one line
STAMP = re.compile(r"(?<!\d)(?:\d{4}-\d\d-\d\d|20\d{6})(?:[ T_-]\d{4}(?!\d))?")  # day and time, which name nobody
BARE_FIELD = re.compile(r"\s*([A-Za-z]+)\s*[-–—]?\s+(.*)")  # a field whose colon was forgotten
FIELD_WORDS = frozenset(
    ("note", "into", *NAMING_FIELDS, *(word for key in declared_keys(Treatment) for word in key.split()[:1]))
)
ALL_THE_TIME = re.compile(  # `all` of a time or of a state, of no sheep
    r"\ball (?:day|night|morning|afternoon|evening|week|month|winter|spring|summer|autumn|year|along|the time|the while"
    r"|right|well|fine|quiet)\b|\bat all\b",
    re.I,
)


def judge_hole(known: Known, hole: Hole, originals: dict[str, Concerned]) -> Concerned:
    """Whom a note could concern that cannot be read: those whom its whole lines name, else everybody of its days."""
    found = _Hole(known, hole)
    found.read()
    doubt = found.doubt()
    original = originals.get(hole.original)
    ids = [sheep for sheep in found.ids if original is None or sheep not in original.dosed]
    everybody = () if found.whole else (Everybody(found.window.first, found.window.last, doubt),)
    return Concerned(hole.path, None, found.day, (), frozenset(), dict.fromkeys(ids, doubt), everybody)


class _Hole:
    """The work of judging one hole."""

    def __init__(self, known: Known, hole: Hole) -> None:
        self.hole, self.lexicon = hole, known.lexicon
        self.window = window_of_hole(hole)
        self.verdict = Verdict(known, hole.path, self.window)
        self.ids: dict[str, None] = {}
        self.lost = False

    def read(self) -> None:
        """Every line, and the name of the file."""
        fenced = any(cell.sort == "head" for cell in self.hole.lines)
        for cell in (part for line in self.hole.lines for part in fields_apart(line)):
            match = FIELD.match(cell.text) if cell.sort == "head" or not fenced else None
            if match and says_a_field(cell.text[match.start() : match.start(2)], match[1]):
                self.field(match[1], match[2])
            elif not any(sign.isalnum() for sign in cell.text):
                continue  # a line of dashes or plus signs
            elif cell.sort == "head":
                self.in_head(cell)
            else:
                self.line(cell)
        self.name(piece for piece in taken_apart(self.hole.typed.get("subject", ""), self.lexicon) if named(piece))

    def doubt(self) -> Doubt:
        """Why they are held, which has no end until the note is mended."""
        reason = self.hole.reason
        who = "this note cannot be read"
        if not self.whole:
            who = "a note that may be a treatment cannot be read, nor for which sheep it was"
        return Doubt("W11", self.hole.path, reason.span.line, f"{who}: {reason.message}", reason.help, never=True)

    @property
    def day(self) -> date | None:
        """The day of the note as far as it can be read."""
        typed = typed_day(self.hole)
        return typed or next(days_in(self.hole.path), None)

    @property
    def whole(self) -> bool:
        """Whether those named are all that it can concern (V13)."""
        return bool(self.ids) and not self.lost and self.hole.reason.code in OF_FORM and bool(self.hole.text)

    def field(self, name: str, text: str) -> None:
        """A field: a list where its name is one for sheep, else whole names only."""
        plain = " ".join(name.lower().split())
        if is_naming(name):
            pieces = taken_apart(text.strip("[]{}()<>|*&!%@`\"'“”‘’ \t"), self.lexicon)
            self.name(piece for piece in pieces if named(piece))
            self.with_lambs(text)
            self.lost = self.lost or any(of_class for _, _, of_class in nameless_kin(pieces))
            over = [piece for piece in pieces if piece.sort == WORD or (piece.sort == FIGURE and not piece.bearers)]
            self.lost = self.lost or bool(over) or not pieces or bool(OPEN_ENDED.search(text))
        elif plain not in ("note", "date", "medicine", "except"):
            pieces = taken_apart(text, self.lexicon)
            self.name(pieces if pieces and all(named(piece) for piece in pieces) else ())
            self.loosely(text)

    def in_head(self, cell: Cell) -> None:
        """A line of the head that is no field: an item of a list, or one whose field is lost."""
        bare = BARE_FIELD.match(cell.text)
        pieces = taken_apart(cell.text, self.lexicon)
        if notes.MARKERS.match(cell.text):
            return
        if bare and bare[1].lower() in FIELD_WORDS:
            self.field(bare[1], bare[2])
        elif cell.text.lstrip().startswith("-") or all(named(piece) or piece.sort == JOINT for piece in pieces):
            self.field("sheep", cell.text.lstrip(" -"))
        else:
            self.loosely(cell.text)
            self.lost = True

    def line(self, cell: Cell) -> None:
        """A line of the body, as a line of doses."""
        text = ALL_THE_TIME.sub(lambda match: " " * len(match[0]), cell.text)
        read = read_line(text, self.lexicon, is_dash(cell))
        pieces = taken_apart(text, self.lexicon)
        found = [piece for piece in pieces if named(piece)]
        others = read.others is not None or any(says_others(piece) for piece in pieces)
        dosed = may_dose(text, is_dash(cell)) and not self.of_product_alone(text)
        lost = (dosed and (others or (not read.data and not found))) or (others and any(map(groups, pieces)))
        unknown = bool(read.unknown) and not self.of_product_alone(text)
        self.lost = self.lost or unknown or lost or any(kin[2] for kin in nameless_kin(pieces))
        if read.data:
            self.name(found)
        else:
            self.loosely(cell.text)
        self.with_lambs(cell.text)

    def of_product_alone(self, text: str) -> bool:
        """Whether a line says a product and an amount, and not a word more: `moxidectin oral 2 ml`."""
        return of_product_alone(text, self.verdict.known)

    def with_lambs(self, text: str) -> None:
        """`12 and lamb`: the lambs of those named."""
        if WITH_LAMBS.search(text):
            self.ids.update(dict.fromkeys(lamb for sheep in list(self.ids) for lamb in self.verdict.young_of(sheep)))

    def loosely(self, text: str) -> None:
        """Whole names written like names."""
        pieces = [piece for piece in taken_apart(text, self.lexicon) if piece.sort == NAME and piece.proper]
        self.name(piece for piece in pieces if any(bearer.sort == SHEEP for bearer in piece.bearers))

    def name(self, pieces: Iterable[Piece]) -> None:
        """These pieces name somebody; a range, or a name of nobody who was here, may hide somebody else."""
        for piece in pieces:
            ids = those_meant(self.verdict, piece)
            if piece.whose:
                ids += [lamb for sheep in ids for lamb in self.verdict.young_of(sheep)]
            self.lost = self.lost or not ids or piece.sort == RANGE
            self.ids.update(dict.fromkeys(ids))


def says_a_field(text: str, name: str) -> bool:
    """Whether what stands before a value is the name of a field: any word with a colon, else one of a treatment."""
    return ":" in text.replace("：", ":") or name.lower() in FIELD_WORDS


def of_product_alone(text: str, known: Known) -> bool:
    """Whether a line names a product of the cupboard and, beside amounts, days and words of dosing, nothing else."""
    match = known.products.pattern.search(text)
    if match is None:
        return False
    rest = text[: match.start()] + " " * len(match[0]) + text[match.end() :]
    pieces = taken_apart(rest, known.lexicon)
    return all(passed_over(piece) for piece in pieces) and not any(says_others(piece) for piece in pieces)


def says_others(piece: Piece) -> bool:
    """Whether `rest`, `all`, `all the ewes` or the like stands there."""
    return not OTHERS.isdisjoint(folded(piece.text).split())


def fields_apart(cell: Cell) -> list[Cell]:
    """A line of a head that holds several fields (`note: treatment; mob: hill`) as one for each."""
    parts = [part for part in FIELDS_APART.split(cell.text) if part.strip()] if cell.sort == "head" else []
    if any(part.split(":")[0].split()[0].lower() not in FIELD_WORDS for part in parts[1:]):
        return [cell]  # `sheep: Bramble, Salt medicine: …`
    return [replace(cell, text=part) for part in parts] if len(parts) > 1 else [cell]


def may_dose(text: str, dash: bool) -> bool:
    """Whether a line that speaks of others can be one of doses: an item, or one with an amount."""
    return dash or DOSE.search(text) is not None


def those_meant(verdict: Verdict, piece: Piece) -> list[str]:
    """Everybody that a piece can mean on the days of a note."""
    sheep = [one for one in verdict.sheep_meant(piece) if verdict.here(one)]
    if piece.of_her is not None and not piece.whose:  # `C902 twins` may be what she carries
        sheep += [one for one in sheep_of(piece.bearers) if verdict.here(one)]
    for bearer in piece.bearers:
        if bearer.sort != SHEEP:
            found = verdict.members(bearer)
            sheep += sorted(found.sure | found.perhaps | found.at_foot)
    return sheep


def typed_day(hole: Hole) -> date | None:
    """The day in the head, if it can be read."""
    typed = DATE.read(hole.typed.get("date", ""), Context())
    return None if isinstance(typed, Fault) else typed


def window_of_hole(hole: Hole) -> Window:
    """The days that an unreadable note can speak of: those it says, and some before and after; always, if it says
    none.
    """
    typed = typed_day(hole)
    days = [*days_in(hole.path), *([typed] if typed else [])]
    return around([*days, *days_in(hole.text)], LATE_DAYS, EARLY_DAYS) if days else ALWAYS
