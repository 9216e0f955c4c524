"""Faults in this program: each is a message about one part, and the rest of the book is made."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.families import Unmade
from compiler.source import Span

_WHY = "Something in the program itself went wrong. It is not the notes' fault; please report the message as it stands."

IN_READING = Rule("B901", "fault-in-reading", Grade.ERROR, f"{_WHY} The note counts as not read.", "")
IN_LINKS = Rule("B902", "fault-in-links", Grade.ERROR, f"{_WHY} No page could be made.", "")
IN_FACTS = Rule("B903", "fault-in-facts", Grade.ERROR, f"{_WHY} No page could be made.", "")
IN_CHECK = Rule("B904", "fault-in-check", Grade.ERROR, f"{_WHY} This one check is missing.", "")
IN_PAGES = Rule("B905", "fault-in-pages", Grade.ERROR, f"{_WHY} This group of pages is missing from the book.", "")
IN_DRAWING = Rule("B906", "fault-in-drawing", Grade.ERROR, f"{_WHY} This page says only that it could not be made.", "")
IN_PATHS = Rule("B907", "page-without-place", Grade.ERROR, f"{_WHY} Two pages want one place in the book.", "")
RULES = (IN_READING, IN_LINKS, IN_FACTS, IN_CHECK, IN_PAGES, IN_DRAWING, IN_PATHS)

HELP = "this is a fault in the program, not in your notes; please report it"
HOME = Path(__file__).resolve().parents[1]

T = TypeVar("T")


def attempt(call: Callable[[], T], rule: Rule, part: str, meanwhile: str) -> T | Diagnostic:
    """What a call gives, or the message that this part of the program failed."""
    try:
        return call()
    except Exception as error:  # whatever it is, the other parts go on
        return fault(error, rule, part, meanwhile)


def fault(error: Exception, rule: Rule, part: str, meanwhile: str) -> Diagnostic:
    """The message about an error in one part, at the line of our own code where it arose; of a family of facts that
    could not be made it says which.
    """
    root = error.__cause__ if isinstance(error, Unmade) and error.__cause__ else error
    said = " ".join(str(root).split())[:300]
    family = f"{error}: " if isinstance(error, Unmade) else ""
    message = f"{part}: {family}{type(root).__name__}{f': {said}' if said else ''}"
    return rule.at(_arose(root), message, HELP, meanwhile)


def status(told: Iterable[Diagnostic]) -> int:
    """The program's exit status: 0 for no errors, 1 for errors in notes, 2 for a fault in the program itself."""
    ours = {rule.code for rule in RULES}
    graves = [2 if message.code in ours else 1 for message in told if message.grade is Grade.ERROR]
    return max(graves, default=0)


def _arose(error: BaseException) -> Span:
    places = [(Path(frame.filename), frame.lineno or 1) for frame in traceback.extract_tb(error.__traceback__)]
    ours = [(path, line) for path, line in places if path.is_relative_to(HOME) and "site-packages" not in path.parts]
    path, line = ours[-1] if ours else (HOME / ".", 1)
    return Span(path.relative_to(HOME).as_posix(), line)
