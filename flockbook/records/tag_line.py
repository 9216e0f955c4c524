"""One line of a tagging note: which sheep got which tag."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from compiler.schema import Context, Fault, LineReading
from compiler.source import Span

GIVEN = re.compile(
    r"(?P<sheep>\S(?:.*?\S)??)\s*+(?:=|→|\bnow\b|\bis now\b|\bgot tag\b)\s*(?P<tag>[\w/-]+)"
    r"(?:\s*,?\s*eid\s+(?P<eid>[\d ]{5,}))?\s*(?P<rest>.*)",
    re.I,
)
NUMBERED = re.compile(r"(?P<sheep>\S(?:.*?\S)??)\s++eid\s+(?P<eid>.+)", re.I)


@dataclass(frozen=True, slots=True)
class TagLine:
    """A sheep as named, the tag it wears from now on (None if it kept its own), its electronic number."""

    sheep: str
    tag: str | None = None
    eid: str | None = None
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `Bramble's ewe lamb = 731`, `0412 now 0977` or `731 eid 826 …`."""
    del context
    if match := GIVEN.fullmatch(text.strip()):
        return LineReading(
            value=TagLine(
                match["sheep"].strip(), match["tag"], (match["eid"] or "").strip() or None, match["rest"].strip()
            )
        )
    if match := NUMBERED.fullmatch(text.strip()):
        return LineReading(value=TagLine(match["sheep"].strip(), None, match["eid"].strip()))
    cure = "write `Bramble's ewe lamb = 731`, `0412 now 0977` or `731 eid 826 …`"
    return LineReading(faults=(Fault("this line does not say which tag", cure),))
