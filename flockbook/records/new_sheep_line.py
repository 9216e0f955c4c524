"""One bought sheep in a purchase note."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.dates import PARTIAL_DATE, PartialDate
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, replace
from compiler.source import Span
from flockbook.records.sheep import SEX_WORDS

SEX = re.compile(rf"\b({'|'.join(word for word in SEX_WORDS if len(word) > 1)})\b", re.I)
TAG_AFTER = re.compile(r"\btag\s+([\w/-]+)", re.I)
BORN_WHEN = re.compile(r"\bborn\s+((?:about )?\d{4}(?:-\d{1,2}){0,2})", re.I)
EID = re.compile(r"\beid\s+([\d ]{5,})", re.I)


class NewSheepLine(Value):
    """A sheep that came with a purchase: tag, name, sex, birth."""

    sheep: str
    name: str | None = None
    sex: str | None = None
    born: PartialDate | None = None
    eid: str | None = None
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `ram tag P233 Pike, born 2024-04`: words in any order, the tag after `tag` or first."""
    sex, tag, born, eid = SEX.search(text), TAG_AFTER.search(text), BORN_WHEN.search(text), EID.search(text)
    rest = text
    for match in (sex, tag, born, eid):
        rest = rest.replace(match[0], " ", 1) if match else rest
    words = [word for word in re.split(r"[\s,]+", rest) if word]
    name_words = words if tag else words[1:]
    if tag is None and not words:
        return LineReading(faults=(Fault("this line names no tag", "write `ewe tag C901, born 2023`"),))
    line = NewSheepLine(
        tag[1] if tag else words[0],
        " ".join(name_words) or None,
        SEX_WORDS[sex[1].lower()] if sex else None,
        eid=eid[1].strip() if eid else None,
    )
    if born is None:
        return LineReading(value=line)
    day = PARTIAL_DATE.read(born[1], context)
    return (
        LineReading(faults=(replace(day, start=born.start(1)),))
        if isinstance(day, Fault)
        else LineReading(value=replace(line, born=day))
    )


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a bought sheep: its sex, and `tag` with a figure behind it."""
    tag, reading = TAG_AFTER.search(text), read(text, context)
    named = tag is not None and re.search(r"\d", tag[1]) is not None and SEX.search(text) is not None
    return named and reading.value is not None and len((reading.value.name or "").split()) <= 2


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep` (the tag), and `name`, `sex`, `born`, `eid` as far as they are known."""
    tag, name, sex, born, eid = (cells.get(word, "").strip() for word in ("sheep", "name", "sex", "born", "eid"))
    if not tag:
        return LineReading(faults=(Fault("this row names no tag", "fill in the first column, or take the row out"),))
    if sex and sex.lower() not in SEX_WORDS:
        return LineReading(faults=(Fault(f"`{sex[:40]}` is no sex", "write ewe, ram or wether"),))
    day = PARTIAL_DATE.read(born, context) if born else None
    if isinstance(day, Fault):
        return LineReading(faults=(day,))
    return LineReading(value=NewSheepLine(tag, name or None, SEX_WORDS.get(sex.lower()), day, eid or None))
