"""What is asked about the words of a lamb line that turn another round, or miss what they announce."""

from __future__ import annotations

import re

from compiler.diagnostics import Grade
from compiler.schema import Fault

# What turns the word behind it round; and what may stand around the word `tag` where there is none.
NEGATED = re.compile(r"\b(?:not|never|isn['’]?t|wasn['’]?t)(?: (?:yet|quite|very|at all))? $", re.I)
NO_TAG = re.compile(
    r"\b(?:no|not|without|lost)\b[^,;]*\btag|\btag(?:ged)?\b[^,;]*\b(?:lost|later|missing|follows|tomorrow)", re.I
)
TURNED_CURE = "leave the words out, or add `sure: yes` to the note"


def turned(negation: re.Match[str], match: re.Match[str]) -> Fault:
    """The question about a word with `not` before it: it is not counted."""
    doubt = f"`{negation[0]}{match[0]}` is not read: the lamb does not count as {match[0]}"
    return Fault(doubt, TURNED_CURE, match.start(), len(match[0]), Grade.ASK)


def tagless(rest: str) -> list[Fault]:
    """The word `tag` without one behind it, where nothing says that there is none."""
    match = re.search(r"\btag(?:ged)?\b", rest, re.I)
    if match is None or NO_TAG.search(rest):
        return []
    doubt = "`tag` stands here, and no tag behind it"
    return [Fault(doubt, "write `tag 731`, or `no tag yet`", match.start(), len(match[0]), Grade.ASK)]
