"""What the compiler has to say about a note: one value, many renderings."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from compiler.shape import Value, replace
from compiler.source import Span


class Grade(StrEnum):
    """How grave a message is: see `design` of messages in DEVELOPERS.md."""

    ERROR = "error"  # this note or field is not used
    ASK = "ask"  # used on pages, left out of averages until confirmed
    WARNING = "warning"  # used, likely wrong
    GAP = "gap"  # something still to be written


class Diagnostic(Value):
    """One message: where, what was read, what to type, and what the book did meanwhile."""

    code: str
    name: str
    grade: Grade
    message: str
    span: Span
    help: str = ""
    meanwhile: str = ""
    also: tuple[Span, ...] = ()

    @property
    def order(self) -> tuple[str, int, int, str, str]:
        """Sort key: by place, then code, so that output never depends on the order of work."""
        return (self.span.path, self.span.line, self.span.column, self.code, self.message)

    def graded(self, grade: Grade) -> Diagnostic:
        """The same message at another grade."""
        return replace(self, grade=grade)


class Rule(Value):
    """A kind of message, declared beside the check that raises it.

    `why` is the text of `why CODE`; `example` is a note (or a line of one) that raises it.
    """

    code: str
    name: str
    grade: Grade
    why: str
    example: str

    def at(
        self, span: Span, message: str, help: str = "", meanwhile: str = "", also: tuple[Span, ...] = ()
    ) -> Diagnostic:
        """This rule broken at one place."""
        return Diagnostic(self.code, self.name, self.grade, message, span, help, meanwhile, also)


def settled(told: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Messages in their stable order, each said once."""
    return tuple(sorted(dict.fromkeys(told), key=lambda message: message.order))
