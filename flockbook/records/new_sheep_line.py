"""One bought sheep in a purchase note."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.dates import PARTIAL_DATE, PartialDate
from compiler.diagnostics import Grade
from compiler.nearness import clipped
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from flockbook.records.sheep_line import taken_out
from flockbook.trade import AGES_SAID, BOUGHT_SAID, OFFICIAL, SEX_PATTERN, SEX_WORDS

SEX = re.compile(rf"(?<![\w-])({SEX_PATTERN})(?![\w-])", re.I)
TAG_AFTER = re.compile(r"\btag\s+([\w/-]+)", re.I)
BORN_WHEN = re.compile(r"\bborn\s+(?P<words>\S.*)", re.I)
EID = re.compile(r"\beid\s+([\d ]{5,})", re.I)
OFFICIAL_NUMBER = re.compile(rf"(?<![\w-]){OFFICIAL}(?![\w-])", re.I)
MOST_DAY_WORDS, MOST_NAME_WORDS = 4, 3
A_NAME = re.compile(r"[^\W\d_][^\W\d_'’-]*(?: [^\W\d_][^\W\d_'’-]*)*")
LEFT_CURE = "a name stands behind the tag, with a capital; write anything else into its own note, or add `sure: yes`"
WORDS_OF = re.compile(r"[^\s,;]+")
TAGLESS = Fault("this line names no tag", "write `ewe tag C901, born 2023`")


ONE_A_LINE = Fault("several sheep on one line", "write a line for each: `- ewe tag K1, born 2025`")
# Words for what a sheep is: none is a tag.
NEVER_A_TAG = frozenset(word for words in (*BOUGHT_SAID, *SEX_WORDS, *AGES_SAID) for word in words.split())
MANY_BOUGHT = re.compile(
    rf"\s*(?:\d{{1,3}}|two|three|four|five|six)\s+(?:(?:{'|'.join(AGES_SAID)}|bred|open)\s+)*"
    rf"(?:(?:{SEX_PATTERN})s|(?:{SEX_PATTERN})?\s*lambs|yearlings)\b",
    re.I,
)


class NewSheepLine(Value):
    """A sheep that came with a purchase: tag, name, sex, birth, numbers; and what else is said of it."""

    sheep: str
    name: str | None = None
    sex: str | None = None
    born: PartialDate | None = None
    eid: str | None = None
    official: str | None = None
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `ram tag P233 Pike, born 2024-04, official …`: words in any order, the tag after `tag` or first."""
    if MANY_BOUGHT.match(text):
        return LineReading(faults=(ONE_A_LINE,))
    born, rest, faults = born_read(text, context)
    found: list[str | None] = []
    for pattern in (OFFICIAL_NUMBER, EID, SEX, TAG_AFTER):
        match = pattern.search(rest)
        rest = taken_out(rest, match) if match else rest
        found.append(match[1].strip() if match else None)
    official, eid, sex, tag = found
    if tag is None:
        first = next((word for word in WORDS_OF.finditer(rest) if word[0].lower() not in NEVER_A_TAG), None)
        if first is None:
            return LineReading(faults=(*faults, TAGLESS))
        tag, rest = first[0], taken_out(rest, first)
    name, left = name_among(rest)
    line = NewSheepLine(tag, name, SEX_WORDS[sex.lower()] if sex else None, born, eid, official, ", ".join(left))
    return LineReading(value=line, faults=(*faults, *(left_told(text, one) for one in left if one not in BOUGHT_SAID)))


def born_read(text: str, context: Context) -> tuple[PartialDate | None, str, tuple[Fault, ...]]:
    """The birth that a line tells, the line without it, and the fault of one that is no date."""
    match = BORN_WHEN.search(text)
    if match is None:
        return None, text, ()
    words = match["words"].split(" ")[:MOST_DAY_WORDS]
    for many in range(len(words), 0, -1):
        typed = " ".join(words[:many]).rstrip(" ,;")
        day = PARTIAL_DATE.read(typed, context)
        if not isinstance(day, Fault):
            end = match.start("words") + len(typed)
            return day, text[: match.start()] + " " * (end - match.start()) + text[end:], ()
    typed = re.split(r"[,;]", match["words"])[0]
    day = PARTIAL_DATE.read(typed, context)
    told = Fault(day.message, day.help, match.start("words"), len(typed)) if isinstance(day, Fault) else TAGLESS
    end = match.start("words") + len(typed)
    return None, text[: match.start()] + " " * (end - match.start()) + text[end:], (told,)


def name_among(rest: str) -> tuple[str | None, list[str]]:
    """The name among what is left of a line, and the parts that are none: each as it was typed, blanks single."""
    parts = [" ".join(part.split()) for part in re.split(r"[,;]", rest)]
    name, left = None, []
    for part in (one for whole in parts if whole for one in said_apart(whole)):
        plain = part.lower() not in BOUGHT_SAID and len(part.split()) <= MOST_NAME_WORDS
        if name is None and plain and A_NAME.fullmatch(part) and part[0].isupper():
            name = part
        else:
            left.append(part)
    return name, left


def said_apart(part: str) -> list[str]:
    """A part of a line without the words for what the sheep is, and each of these."""
    if part.lower() in BOUGHT_SAID:
        return [part]
    words = part.split()
    rest = " ".join(word for word in words if word.lower() not in BOUGHT_SAID)
    return [*(word for word in words if word.lower() in BOUGHT_SAID), *([rest] if rest else [])]


def left_told(text: str, part: str) -> Fault:
    """The question about words of a line that are nothing which it can say."""
    start = max(text.find(part), 0)
    told = f"`{clipped(part)}` is not understood, and is kept as a remark"
    return Fault(told, LEFT_CURE, start, len(part), Grade.ASK)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a bought sheep: its sex, and `tag` with a figure behind it."""
    tag, reading = TAG_AFTER.search(text), read(text, context)
    named = tag is not None and re.search(r"\d", tag[1]) is not None and SEX.search(text) is not None
    return named and reading.value is not None and not reading.value.remark


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep` (the tag), and `name`, `sex`, `born`, `eid`, `official` as far as they are known."""
    names = ("sheep", "name", "sex", "born", "eid", "official")
    tag, name, sex, born, eid, official = (cells.get(word, "").strip() for word in names)
    if not tag:
        return LineReading(faults=(Fault("this row names no tag", "fill in the first column, or take the row out"),))
    if sex and sex.lower() not in SEX_WORDS:
        return LineReading(faults=(Fault(f"`{sex[:40]}` is no sex", "write ewe, ram or wether"),))
    day = PARTIAL_DATE.read(born, context) if born else None
    if isinstance(day, Fault):
        return LineReading(faults=(day,))
    said = SEX_WORDS.get(sex.lower())
    return LineReading(value=NewSheepLine(tag, name or None, said, day, eid or None, official or None))
