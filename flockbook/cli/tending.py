"""The process that makes the book while `flockbook tend` runs: it has no threads, keeps the notes that it read, and
ends when the one that started it does.
"""

from __future__ import annotations

import gc
import signal
from contextlib import suppress
from contextvars import Context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from flockbook.cli.options import moment_asked

if TYPE_CHECKING:
    from compiler.diagnostics import Diagnostic


class Tended(NamedTuple):
    """The notes, the book, and the theme that somebody named ("" for the book's own)."""

    notes: str
    book: str
    theme: str


class Stage(NamedTuple):
    """How far a book is."""

    name: str
    done: int
    of: int


class Message(NamedTuple):
    """One message: as it is shown in full, in one line, and in plain words for an open page, "" for all but errors."""

    full: str
    short: str
    plain: str


class Tidings(NamedTuple):
    """A book that was made, or why it was not: `refusal` and what to do about it.

    `until` is when it would come out otherwise without any note, as ISO text; `begun` the moment that it speaks of.
    """

    told: tuple[Message, ...] = ()
    summary: str = ""
    wrote: int = 0
    files: int = 0
    removed: int = 0
    begun: str = ""
    until: str = ""
    zone: str = ""
    refusal: str = ""
    cure: str = ""


def work(line: Connection, tended: Tended) -> None:
    """Make the book whenever the pages that are open are sent, until the line ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process answers for an interruption
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    from compiler.memory import Memory

    memory = Memory()
    with suppress(EOFError, OSError):
        while True:
            wanted: tuple[str, ...] = line.recv()
            line.send(Context().run(made_once, line, tended, memory, wanted))  # words and units as at a fresh start
            gc.collect()


def made_once(line: Connection, tended: Tended, memory: object, wanted: tuple[str, ...]) -> Tidings:
    """The book made once."""
    from compiler.build import Manner, build
    from compiler.memory import Memory
    from compiler.output import OutputRefused
    from flockbook.book import BOOK

    assert isinstance(memory, Memory)
    notes, theme = Path(tended.notes), Path(tended.theme) if tended.theme else None
    manner = Manner(wanted, memory, lambda *stage: line.send(Stage(*stage)))
    try:
        return outcome(notes, build(notes, BOOK, moment_asked(None, notes), Path(tended.book), theme, manner=manner))
    except OutputRefused as refusal:
        return Tidings(refusal=refusal.message, cure=refusal.help)
    except OSError as refusal:
        return Tidings(refusal=str(refusal), cure="put it back; it is looked for again and again")


def outcome(notes: Path, built: object) -> Tidings:
    """What is to be said of a book."""
    from compiler.build import OLD_BOOK, Built
    from compiler.folder import lines_of
    from compiler.horizon import plainly
    from compiler.report import full, short, summary

    assert isinstance(built, Built)
    line_of, written, findings = lines_of(notes), built.written, built.findings
    told = tuple(Message(full([one], line_of, True), short([one]).rstrip("\n"), plain_words(one)) for one in built.told)
    files = len(written.made) + len(written.changed) + len(written.kept)
    return Tidings(
        told, summary(built.told, findings.collection.read), len(written.made) + len(written.changed), files,
        len(written.removed), plainly(findings.today.at).isoformat(), built.until.isoformat() if built.until else "",
        findings.settings.file.timezone or "", OLD_BOOK if findings.failed else "",
        "see the messages above" if findings.failed else "",
    )  # fmt: skip


def plain_words(message: Diagnostic) -> str:
    """An error as an open page says it."""
    from compiler.diagnostics import Grade
    from compiler.report import visible

    span = message.span
    return visible(f"{span.path}, line {span.line}: {message.message}") if message.grade is Grade.ERROR else ""
