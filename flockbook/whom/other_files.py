"""Files that are no notes: whom one concerns that speaks of a treatment (rule V7)."""

from __future__ import annotations

import re

from compiler.collection import Other
from compiler.source import Span
from flockbook.flock import Concerned
from flockbook.naming import NOT_A_NOTE
from flockbook.whom.days import days_in
from flockbook.whom.dosing_verbs import VACCINATED
from flockbook.whom.dosing_words import DONE, MILK_FED, SENTENCE, TO_DO, WITH_LAMBS
from flockbook.whom.holes import (
    STAMP,
    of_product_alone,
    says_others,
    those_meant,
)
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known, around
from flockbook.whom.lexicon import sheep_of
from flockbook.whom.line_reading import named, read_line
from flockbook.whom.measures import DOSE
from flockbook.whom.pieces import DATE as DAY
from flockbook.whom.pieces import FIGURE, NAME, RANGE, WORD, Piece, taken_apart
from flockbook.whom.reader import EARLY_DAYS, FIELD, LATE_DAYS, groups, is_naming
from flockbook.whom.whereabouts import ALWAYS

TREATS = re.compile(rf"\b(?:treatments?|dosing|{VACCINATED})\b", re.I)
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
A_PAGE = 600  # characters from which a text without a head is read sentence by sentence (our own limit)
LOOKED_AT = 20_000  # characters of a file that is no note (our own limit)


def judge_other(known: Known, other: Other, originals: dict[str, Concerned]) -> tuple[Concerned, Verdict] | None:
    """Whom a file concerns that is not read: one that speaks of a treatment or a product, and of a day or a sheep
    (V7).
    """
    text = words_to_judge(known, other)
    if text is None or not speaks_of_a_dose(known, other, text):
        return None
    said = other.path if is_picture(other) else f"{other.path}\n{text}"
    together = (days_in("-".join(match.groups())) for match in RUN_TOGETHER.finditer(said))
    days = [*days_in(said), *(day for found in together for day in found)]
    verdict = Verdict(known, other.path, around(days, LATE_DAYS, EARLY_DAYS) if days else ALWAYS)
    ids = those_named(verdict, said, text)
    if not ids and not days and not any(piece.sort == DAY for piece in taken_apart(said, known.lexicon)):
        return None
    return held_by_file(verdict, other, ids, originals)


def is_picture(other: Other) -> bool:
    """Whether a file is one to look at."""
    return other.sort == "picture" or other.path.lower().endswith(PICTURES)


def words_to_judge(known: Known, other: Other) -> str | None:
    """What of a file's text can tell of a dose: of a long one the sentences that do, of the settings the remarks that
    name a sheep. None for a file of no concern.
    """
    if other.sort in ("book", "named", "copy") or (other.of_no_concern and not is_picture(other)):
        return None
    text = other.text[:LOOKED_AT]
    if other.sort == "settings":
        return "\n".join(line for line in text.split("\n") if tells_of_her(line, known)) or None
    if about_the_folder(other):
        return None
    if other.sort == "no head" and len(text) > A_PAGE:
        return "\n".join(sentence[0] for sentence in SENTENCE.finditer(text) if tells(sentence[0], known))
    return text


def speaks_of_a_dose(known: Known, other: Other, text: str) -> bool:
    """Whether the name of a file, or its text, speaks of a treatment, a product or an amount."""
    both = f"{other.path} {text}"
    short = other.sort == "no head" and len(other.text) <= A_PAGE
    if short and not tells(both, known) and not treats(both, known):
        return False
    if is_picture(other) and OF_LABELS.search(other.path):
        return False
    plain = both.replace("_", " ").replace("-", " ")
    in_words = TREATS.search(plain) or (short and OF_A_REMEDY.search(plain))
    of_form = has_the_form(other, text) or (other.sort != "no head" and tells(text, known))
    return bool(in_words or of_form or known.products.product(other.path if is_picture(other) else both))


def has_the_form(other: Other, text: str) -> bool:
    """Whether a text looks like one of doses: a table with a column for them, a task done, or an amount."""
    amounts = any(DOSE.search(one[0]) and not MILK_FED.search(one[0]) for one in SENTENCE.finditer(text))
    done = DONE.search(text) is not None and TO_DO.search(text) is not None
    heading = f"{other.path}\n{text.partition(chr(10))[0]}"
    table = other.sort == "table" or other.path.lower().endswith(TABLES)
    return amounts or done or (table and bool(OF_TABLES.search(heading) or TO_DO.search(text)))


def those_named(verdict: Verdict, said: str, text: str) -> list[str]:
    """Whom a file names, with the lambs that it speaks of; everybody is in doubt where a line may hide somebody."""
    known = verdict.known
    found = [names_on(line, known) for line in STAMP.sub(" ", said).split("\n")]
    in_name = taken_apart(STAMP.sub(" ", verdict.path.rpartition("/")[2]), known.lexicon)
    found.append(([piece for piece in in_name if piece.sort == NAME and groups(piece)], False))
    pieces = [piece for named_ones, _ in found for piece in named_ones]
    ids = list(dict.fromkeys(one for piece in pieces for one in those_meant(verdict, piece)))
    if WITH_LAMBS.search(text) or any(piece.whose for piece in pieces):
        ids += [lamb for sheep in ids for lamb in verdict.young_of(sheep)]
    if any(lost for _, lost in found):
        verdict.doubt_everybody(verdict.because("V7", Span(verdict.path), NOT_ALL_NAMED, NO_NOTE_CURE, never=True))
    return ids


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


def tells_of_her(line: str, known: Known) -> bool:
    """Whether a remark in the settings names a sheep beside a dose: others speak of the flock's ways."""
    pieces = taken_apart(line, known.lexicon)
    sheep = any(piece.sort == NAME and piece.proper and sheep_of(piece.bearers) for piece in pieces)
    return sheep and bool(DOSE.search(line) or known.products.product(line) or TREATS.search(line))


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
