"""Whom a note concerns that cannot be read, and a file that is no note (rules V7, V13 and W11)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from compiler import collection, copies, decode, frontmatter, notes
from compiler.collection import Hole, Other
from compiler.dates import DATE
from compiler.schema import Cell, Context, Fault, declared_keys
from compiler.shape import replace
from compiler.source import Span
from flockbook.flock import Concerned, Doubt, Everybody
from flockbook.naming import NOT_A_NOTE
from flockbook.records.health import Treatment
from flockbook.whom.days import days_in
from flockbook.whom.dosing_words import DONE, MILK_FED, SENTENCE, TO_DO, WITH_LAMBS
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known, around
from flockbook.whom.lexicon import SHEEP, folded, sheep_of
from flockbook.whom.line_reading import OTHERS, named, nameless_kin, passed_over, read_line
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import DATE as DAY
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
TREATS = re.compile(r"\b(?:treatments?|treated|dosed|dosing|drenched|wormed|injected|jabbed|vaccinated)\b", re.I)
OF_A_REMEDY = re.compile(
    r"\b(?:drench\w*|worm(?:er|ing|ed)|jab\w*|antibiotics?|penicillin|inject\w*|vaccin\w*"
    r"|dos(?:e|ed|ing)|medicines?)\b",
    re.I,
)
# A day without its year, a month, or the day of a week.
DAY_TOLD = re.compile(
    r"\b\d{1,2}[/.]\d{1,2}\b|\b\d{1,2}(?:st|nd|rd|th)\b"
    r"|\b(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\b"
    r"|\b(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\b|\btoday\b|\bweek \d+\b|^\W*\d{1,2}\b",
    re.I | re.M,
)
OF_TABLES = re.compile(  # headings and names of tables of doses
    r"\b(?:ml|mls|dos(?:e|es|ing)|drench\w*|jab\w*|worm(?:er|ing|ed)|medicine|product|drug|treat\w*|vaccin\w*|inject\w*)\b",
    re.I,
)
OF_LABELS = re.compile(r"\b(?:label|leaflet|data ?sheet|datasheet|invoice|receipt|box|bottle)s?\b", re.I)
PICTURES = (".jpg", ".jpeg", ".png", ".gif", ".webp", ".heic", ".svg", ".pdf", ".tif", ".tiff", ".bmp", ".mp4", ".mov")
TABLES = (".tsv", ".tab", ".dif")
NO_NOTE_CURE = "make it a note (`2026-06-02 treatment Bess.md`, with the fields of one), or move it out of the notes"
NOT_ALL_NAMED = "a file that is not read speaks of a treatment, and some of its words name nobody"
ABOUT = re.compile(
    r"(?:readme|licen[cs]e|contributing|changelog)(?:\.\w+)?", re.I
)  # as folders kept with git have them
OWN_FACTS = '"format": "flockbook-facts"'
RUN_TOGETHER = re.compile(r"(?<!\d)(20\d{2})(\d{2})(\d{2})(?!\d)")
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
A_PAGE = 600  # characters from which a text without a head is read sentence by sentence (our own limit)
LOOKED_AT = 20_000  # characters of a file that is no note (our own limit)


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


# Files that are no notes


def judge_other(known: Known, other: Other, originals: dict[str, Concerned]) -> tuple[Concerned, Verdict] | None:
    """Whom a file concerns that is not read: one that speaks of a treatment or a product, and of a day or a sheep
    (V7).
    """
    path, text = other.path, other.text[:LOOKED_AT]
    picture = other.sort == "picture" or path.lower().endswith(PICTURES)
    if other.sort in ("book", "named", "copy") or (other.of_no_concern and not picture) or about_the_folder(other):
        return None
    short = other.sort == "no head" and len(text) <= A_PAGE
    if short and not tells(f"{path} {text}", known) and not treats(f"{path} {text}", known):
        return None
    if other.sort == "no head" and len(text) > A_PAGE:
        text = "\n".join(sentence[0] for sentence in SENTENCE.finditer(text) if tells(sentence[0], known))
    said = path if picture else f"{path}\n{text}"
    plain = f"{path} {text}".replace("_", " ").replace("-", " ")
    in_words = TREATS.search(plain) or (short and OF_A_REMEDY.search(plain))
    amounts = any(DOSE.search(one[0]) and not MILK_FED.search(one[0]) for one in SENTENCE.finditer(text))
    done = DONE.search(text) is not None and TO_DO.search(text) is not None
    heading = f"{path}\n{text.partition(chr(10))[0]}"
    in_table = (other.sort == "table" or path.lower().endswith(TABLES)) and bool(
        OF_TABLES.search(heading) or TO_DO.search(text)
    )
    of_form = in_table or done or amounts or (other.sort != "no head" and tells(text, known))
    speaks = in_words or known.products.product(said) or of_form
    if not speaks or (picture and OF_LABELS.search(path)):
        return None
    days = [
        *days_in(said),
        *(day for match in RUN_TOGETHER.finditer(said) for day in days_in("-".join(match.groups()))),
    ]
    verdict = Verdict(known, path, around(days, LATE_DAYS, EARLY_DAYS) if days else ALWAYS)
    found = [names_on(line, known) for line in STAMP.sub(" ", said).split("\n")]
    in_name = taken_apart(STAMP.sub(" ", path.rpartition("/")[2]), known.lexicon)
    found.append(([piece for piece in in_name if piece.sort == NAME and groups(piece)], False))
    named_ = [piece for pieces, _ in found for piece in pieces]
    ids = list(dict.fromkeys(one for piece in named_ for one in those_meant(verdict, piece)))
    if WITH_LAMBS.search(text) or any(piece.whose for piece in named_):
        ids += [lamb for sheep in ids for lamb in verdict.young_of(sheep)]
    if any(lost for _, lost in found):
        verdict.doubt_everybody(verdict.because("V7", Span(path), NOT_ALL_NAMED, NO_NOTE_CURE, never=True))
    if not ids and not days and not any(piece.sort == DAY for piece in taken_apart(said, known.lexicon)):
        return None
    return held_by_file(verdict, other, ids, originals)


def about_the_folder(other: Other) -> bool:
    """Whether a file is no record of the flock: a long paper about the folder itself, or facts that this program handed
    over.
    """
    name = other.path.rpartition("/")[2]
    paper = ABOUT.fullmatch(name) is not None and len(other.text) > A_PAGE
    return paper or (name.endswith(".json") and OWN_FACTS in other.text[:200])


def names_on(line: str, known: Known) -> tuple[list[Piece], bool]:
    """Whom a line of a file names, and whether somebody may be lost in it: all of a field for sheep and of a line of
    doses, else names written like names, and mobs beside an amount.
    """
    field = FIELD.match(line)
    if field and is_naming(field[1]):
        pieces = taken_apart(field[2], known.lexicon)
        over = [piece for piece in pieces if piece.sort in (WORD, RANGE) or (piece.sort == FIGURE and not named(piece))]
        return [piece for piece in pieces if named(piece)], bool(over)
    if of_product_alone(line, known):
        return [], False
    read = read_line(line, known.lexicon, line.lstrip().startswith(("-", "*", "|")))
    pieces = taken_apart(line, known.lexicon)
    if read.data:
        return [piece for piece in pieces if named(piece)], bool(read.unknown) or read.others is not None
    of_mobs = DOSE.search(line) is not None or any(says_others(piece) for piece in pieces)
    of_mobs = of_mobs or TREATS.search(line) is not None
    return [piece for piece in pieces if named(piece) and (piece.proper or (of_mobs and groups(piece)))], False


def tells(sentence: str, known: Known) -> bool:
    """Whether a sentence of a long text tells of one dose: a sheep or a day, with an amount or a product, or with a
    verb of dosing and both.
    """
    pieces = taken_apart(sentence, known.lexicon)
    sheep = any(piece.sort == NAME and (piece.proper or groups(piece)) for piece in pieces)
    day = any(piece.sort == DAY for piece in pieces)
    day = day or DAY_TOLD.search(sentence) is not None
    if DOSE.search(sentence) or known.products.product(sentence):
        return sheep or day
    return bool(TREATS.search(sentence) or OF_A_REMEDY.search(sentence)) and sheep and day


def treats(text: str, known: Known) -> bool:
    """Whether a short text says that a sheep was treated: `Wormed Bramble at last.`"""
    pieces = taken_apart(text, known.lexicon) if TREATS.search(text) or OF_A_REMEDY.search(text) else []
    return any(piece.sort == NAME and (piece.proper or groups(piece)) for piece in pieces)


def held_by_file(
    verdict: Verdict, other: Other, ids: list[str], originals: dict[str, Concerned]
) -> tuple[Concerned, Verdict] | None:
    """Those whom a file holds, with what is said of it; a copy holds only whom it names beyond its original."""
    original = originals.get(other.original)
    if original is not None:
        ids = [sheep for sheep in ids if sheep not in original.dosed]
        if not ids:
            return None
    span = Span(other.path)
    verdict.tell(NOT_A_NOTE, span, f"this file is not read ({other.why}), and it speaks of a treatment", NO_NOTE_CURE)
    doubt = verdict.because("V7", span, "a file that is not read speaks of a treatment", NO_NOTE_CURE, never=True)
    if ids:
        verdict.doubt(ids, doubt)
    else:
        verdict.doubt_everybody(doubt)
    return verdict.settled(), verdict
