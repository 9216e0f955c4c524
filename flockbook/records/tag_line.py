"""One line of a tagging note: which sheep got which tag."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from flockbook.records.sheep_line import is_like_a_sheep
from flockbook.trade import OFFICIAL

NEW_TAG = re.compile(
    r"(?P<sheep>\S(?:.*?\S)??)\s*+(?:=|→|\bnow\b|\bis now\b|\bgot tag\b)\s*(?P<tag>[\w/-]+)"
    r"(?P<rest>.*)",
    re.I,
)
EID_TOLD = re.compile(r"(?<![\w-])eid\s+(?P<eid>[\d ]{5,})", re.I)
OFFICIAL_TOLD = re.compile(rf"(?<![\w-]){OFFICIAL}(?![\w-])", re.I)
TAG_LOST_LINE = re.compile(r"(?P<sheep>\S(?:.*?[^\s,])??),?\s++(?:tag\s++)?lost(?:\s++tag)?\b(?P<rest>.*)", re.I)
TAG_ALONE = re.compile(r"[\w/-]+")
TAG_LINE_CURE = "write `Bramble's ewe lamb = 731`, `0412 now 0977`, `0412 lost`, `731 eid 826 …` or `731 official …`"
NUMBERED = re.compile(r"(?P<sheep>\S(?:.*?[^\s,])??),?\s++eid\s+(?P<eid>.+)", re.I)
MORE_TAGS = re.compile(r"(?:and |& ?|\+ ?|/ ?)?[A-Za-z]{0,3}\d{2,}(?:\s*(?:,|&|and|/)\s*[A-Za-z]{0,3}\d{2,})*")
OFFICIAL_ALONE = re.compile(rf"(?P<sheep>\S(?:.*?[^\s,])??),?\s++{OFFICIAL}(?![\w-])(?P<rest>.*)", re.I)


class TagLine(Value):
    """A sheep as named, the tag it wears from now on (None if it kept its own), its numbers; `lost` when it
    goes without a tag until one is put in.
    """

    sheep: str
    tag: str | None = None
    eid: str | None = None
    official: str | None = None
    remark: str = ""
    lost: bool = False
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `Bramble's ewe lamb = 731`, `0412 now 0977`, `0412 lost`, `731 eid 826 …` or `731 official …`."""
    del context
    if match := NEW_TAG.fullmatch(text.strip()):
        line = with_numbers(match["sheep"].strip(), match["tag"], match["rest"])
        return LineReading(value=line, faults=second_tag(line, text))
    if match := OFFICIAL_ALONE.fullmatch(text.strip()):
        return LineReading(value=with_numbers(match["sheep"].strip(), None, text.strip()[match.end("sheep") :]))
    if match := NUMBERED.fullmatch(text.strip()):
        return LineReading(value=TagLine(match["sheep"].strip(), None, match["eid"].strip()))
    if match := TAG_LOST_LINE.fullmatch(text.strip()):
        return LineReading(value=TagLine(match["sheep"].strip(), remark=match["rest"].strip(" ,"), lost=True))
    return LineReading(faults=(Fault("this line does not say which tag", TAG_LINE_CURE),))


def second_tag(line: TagLine, text: str) -> tuple[Fault, ...]:
    """The question about a further tag behind the new one: `Bess = 733, 734`."""
    more = MORE_TAGS.fullmatch(line.remark)
    if more is None:
        return ()
    cure = f"write a line for each: `{line.sheep}'s ewe lamb = {line.tag}` and so on"
    start = text.rfind(line.remark) if line.remark in text else 0
    return (Fault(f"`{line.remark}` is a further tag, and a sheep gets one", cure, start, len(line.remark), Grade.ASK),)


def with_numbers(sheep: str, tag: str | None, rest: str) -> TagLine:
    """A line with the electronic and the official number that stand behind its tag."""
    found: list[str | None] = []
    for pattern in (OFFICIAL_TOLD, EID_TOLD):
        match = pattern.search(rest)
        rest = f"{rest[: match.start()]} {rest[match.end() :]}" if match else rest
        found.append(match[1].strip() if match else None)
    remark = ", ".join(part for part in (" ".join(one.split()) for one in rest.split(",")) if part)
    return TagLine(sheep, tag, found[1], found[0], remark)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a tag: one sheep, a figure in its new tag, and nothing else."""
    line = read(text, context).value
    if line is None or line.remark or not is_like_a_sheep(line.sheep):
        return False
    one = " " not in line.sheep or "lamb" in line.sheep
    return one and (line.lost or bool(re.search(r"\d", line.tag or line.eid or line.official or "")))


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep`, and `tag`, `eid` or `official`; anything under `note` is a remark."""
    del context
    names = ("sheep", "tag", "eid", "official", "note")
    sheep, tag, eid, official, note = (cells.get(name, "").strip() for name in names)
    if not sheep:
        return LineReading(faults=(Fault("this row names no sheep", "fill in the first column, or take the row out"),))
    if note.lower() == "lost" and not (tag or eid or official):
        return LineReading(value=TagLine(sheep, lost=True))
    if not (tag or eid or official):
        return LineReading(faults=(Fault("this row does not say which tag", "fill in `tag`, `eid` or `official`"),))
    if tag and not TAG_ALONE.fullmatch(tag):
        return LineReading(faults=(Fault(f"`{tag[:40]}` is no tag", "write the tag as printed, without blanks"),))
    return LineReading(value=TagLine(sheep, tag or None, eid or None, official or None, note))
