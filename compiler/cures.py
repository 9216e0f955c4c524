"""YAML's complaints in a note-taker's words: which line is to blame, what is wrong with it, and what to type."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.nearness import clipped
from compiler.shape import Value

QUOTE = "put quotes around the value, or move the words to the body below the second `---`"
MOVE = "write `field: value`, or move the words to the body below the second `---`"
FIELD = r"[^:]+:\s+"


class Trouble(Value):
    """What is wrong with a line of a head: the line (from 0), the column (from 0), and what to type."""

    line: int
    column: int
    message: str
    cure: str


# What stands on a line, what is wrong with it, what to type. The first that fits explains the line; one without a group
# blames the line as a whole.
CAUSES: tuple[tuple[re.Pattern[str], str, str], ...] = tuple(
    (re.compile(pattern), what, cure)
    for pattern, what, cure in (
        (r"\s*?(\t)", "a tab stands at the start of the line", "use blanks, or begin at the edge"),
        (FIELD + r"([@`%&*!|>\]},])", "a value cannot begin with `{0}`", QUOTE),
        (FIELD + r"(-)\s", "a value cannot begin with a dash and a blank", QUOTE),
        (FIELD + r"([\[{])(?!.*[\]}]\s*$)", "`{0}` opens a list that is never closed", QUOTE),
        (FIELD + r"([\"'])(?!.*\1\s*$)", "`{0}` opens a quotation that does not close at the end of the value", QUOTE),
        (FIELD + r".*?(:)(?:\s|$)", "there is a second colon on the line", QUOTE),
        (r"\s*[^\s:][^:]*:\S", "there is no blank after the colon", ""),
        (r"\s*[^\s:#-][^:]*$", "this line is not `field: value`", ""),
    )
)
DASHED = re.compile(r"\s*[-–—*•]\s")


def diagnosed(error: Exception, lines: list[str]) -> Trouble:
    """The likely cause of a YAML error in a head of these lines."""
    blamed = tuple(blamed_lines(error, len(lines)))
    for line in blamed:
        if trouble := cause(lines, line):
            return trouble
    line = blamed[0]
    typed = lines[line] if lines else ""
    cure = "lines that begin with a dash stand in the body, below the second `---`" if DASHED.match(typed) else MOVE
    return Trouble(line, len(typed) - len(typed.lstrip()), f"the head cannot be read near `{clipped(typed)}`", cure)


def cause(lines: list[str], line: int) -> Trouble | None:
    """What is wrong with one line, if anything can be seen."""
    for pattern, what, cure in CAUSES:
        if match := pattern.match(lines[line]):
            told = f"the head cannot be read: {what.format(*match.groups())}"
            column = match.start(1) if match.groups() else len(lines[line]) - len(lines[line].lstrip())
            return Trouble(line, column, told, cure or not_a_field(lines[line]))
    return None


def blamed_lines(error: Exception, count: int) -> Iterator[int]:
    """The line where what could not be read began, the line where reading stopped, and those above it."""
    last = max(count - 1, 0)
    began, stopped = (getattr(error, name, None) for name in ("context_mark", "problem_mark"))
    if began is not None and "block mapping" not in str(getattr(error, "context", "")):
        yield min(began.line, last)
    line = min(stopped.line, last) if stopped is not None else 0
    yield from range(line, max(-1, line - 4), -1)


def not_a_field(line: str) -> str:
    """What to type instead of a line that is no field."""
    if match := re.match(r"\s*([^\s:][^:]*):(\S.*)", line):
        return f"put a blank after the colon: `{match[1]}: {clipped(match[2])}`"
    return MOVE
