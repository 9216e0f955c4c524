"""`flockbook tend`: the book follows the pen. It is made anew after every save, and open pages renew themselves."""

from __future__ import annotations

import re
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from compiler import serving
from compiler.serving import Server, State
from compiler.watching import Watch
from flockbook.cli.compile import COLOUR_CODES, book_place, now_in
from flockbook.cli.options import FAILED, colour_option, coloured, folder_argument, theme_option, to_option
from flockbook.cli.progress import Progress
from flockbook.cli.tending import Message, Stage, Tended, Tidings, work

if TYPE_CHECKING:
    from multiprocessing.context import SpawnProcess

PORT = 8410  # where it is served unless that is taken
PORTS = 10  # ports tried from there
ANY = 0
EVERYWHERE = "0.0.0.0"
STAMP_SHEET = "stamp.css"
LAST_WAIT = 20.0  # seconds that a book may take to be finished after Ctrl-C
LONGEST_WAIT = 20.0  # seconds without a look at the clock: a machine may have slept, or its clock been set
SHORTEST_WAIT = 1.0
MOST_TOLD = 3  # errors that an open page tells; all stand on its page of problems
HISTORY_SAID = re.compile(r"^[^#\n]*\bhistory\b", re.M)  # settings that may ask for what git knows
RETRY = 2.0  # seconds until notes that could not be read are tried again


@click.command(
    name="tend",
    help="Keep the book of FOLDER fresh: make it anew after every save, and show it.",
    epilog="Such as: flockbook tend --port 8765",
)
@folder_argument
@to_option
@theme_option
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help=f"The port to serve on ({PORT} if free).")
@click.option("--lan", is_flag=True, help="Let others in the network read it too; shows the address and its code.")
@click.option("--open", "show", is_flag=True, help="Open the book in the browser.")
@colour_option
def command(
    folder: Path, to: Path | None, theme: Path | None, port: int | None, lan: bool, show: bool, colour: bool | None
) -> None:
    """Tend until Ctrl-C or until the terminal is closed; status 0 then."""
    place = book_place(to, folder)
    tended = Tended(str(folder), str(place), str(theme or ""))
    state = State(place, STAMP_SHEET)
    with ended_well(), hand(tended) as line:
        server = served(state, port, lan)
        watch = Watch(folder, place, beside=lambda: commits_told(folder))
        try:
            greet(server, lan)
            if watch.trouble:
                click.echo(f"the system gives no word of changes ({watch.trouble}); the folder is looked at instead")
            Tending(line, watch, state, coloured(colour)).follow(address_of(server) if show else "")
        finally:
            server.shutdown()
            watch.close()


def commits_told(folder: Path) -> str:
    """How the repository stands where the settings speak of history: a commit makes the book anew."""
    from compiler.history import head_state, text_of

    return head_state(folder) if HISTORY_SAID.search(text_of(folder / "flock.yaml")) else ""


class Stopped(BaseException):
    """Ctrl-C, or the terminal was closed."""


@contextmanager
def ended_well() -> Iterator[None]:
    """End in good order, with status 0."""

    def stop(number: int, frame: Any) -> None:
        del number, frame
        raise Stopped

    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), stop)
    try:
        yield
    except Stopped:
        sys.stderr.write("\n") if sys.stderr.isatty() else None


@contextmanager
def hand(tended: Tended) -> Iterator[Connection]:
    """The process that makes the book, started before there are threads; it finishes what it is writing."""
    from multiprocessing import get_context

    context = get_context("spawn")
    line, far = context.Pipe()
    helper: SpawnProcess = context.Process(target=work, args=(far, tended), daemon=True)
    helper.start()
    far.close()
    try:
        yield line
    finally:
        line.close()
        helper.join(LAST_WAIT)
        helper.terminate() if helper.is_alive() else None


def served(state: State, port: int | None, lan: bool) -> Server:
    """The server; ends with status 2 where the port is taken."""
    address = serving.own_address() if lan else ""
    names = (*serving.NAMES, *([address] if address else ()))
    host = EVERYWHERE if lan else serving.LOOPBACK
    for one in (port,) if port else (*range(PORT, PORT + PORTS), ANY):
        try:
            return serving.started(host, one, state, names)
        except OSError as error:
            why = error.strerror or str(error)
    click.echo(f"flockbook: port {port} cannot be used: {why.lower()}", err=True)
    click.echo("    help: name another with --port, or leave it out and a free one is taken", err=True)
    raise SystemExit(FAILED)


def address_of(server: Server) -> str:
    """Where the book is, for this machine."""
    return f"http://localhost:{server.server_port}/"


def greet(server: Server, lan: bool) -> None:
    """Where the book is."""
    click.echo(f"the book: {address_of(server)}   (Ctrl-C ends)")
    address = serving.own_address() if lan else ""
    if lan and not address:
        click.echo("this machine has no address in a network: nobody else can read it")
    if address:
        import segno

        there = f"http://{address}:{server.server_port}/"
        click.echo(f"in this network, to read only: {there}")
        segno.make(there, micro=False).terminal(compact=True)


class Tending:
    """The book after each save."""

    def __init__(self, line: Connection, watch: Watch, state: State, colour: bool) -> None:
        """Nothing was made yet."""
        self.line, self.watch, self.state, self.colour = line, watch, state, colour
        self.last, self.again, self.refused = Tidings(), False, ""
        self.progress = Progress()

    def follow(self, show: str) -> None:
        """Make the book now, and whenever notes or time ask for it."""
        while True:
            self.report(self.made())
            if show:
                click.launch(show)
                show = ""
            self.wait()

    def made(self) -> Tidings:
        """The book made by the helper, its progress shown."""
        self.state.busy = True
        try:
            self.line.send(self.state.wanted())
            while isinstance(told := self.line.recv(), Stage):
                self.progress(*told)
        except (EOFError, OSError):
            click.echo("flockbook: the process that makes the book has ended; start it again", err=True)
            raise SystemExit(FAILED) from None
        finally:
            self.state.busy = False
            self.progress.end()
        outcome: Tidings = told
        return outcome

    def wait(self) -> None:
        """Until the notes differ, or the book comes out otherwise without them."""
        while not self.watch.differs(self.patience()):
            if self.is_over():
                return

    def patience(self) -> float:
        """Seconds until the clock is looked at again."""
        if self.again:
            return RETRY
        if not self.last.until:
            return LONGEST_WAIT
        left: float = (time_in(self.last.until) - now_in(self.last.zone)).total_seconds()
        return min(max(left, SHORTEST_WAIT), LONGEST_WAIT)

    def is_over(self) -> bool:
        """Whether the book's moment is over, the clock was set back behind it, or it could not be made."""
        if self.again or not self.last.until:
            return self.again
        return not time_in(self.last.begun) <= now_in(self.last.zone) < time_in(self.last.until)

    def report(self, outcome: Tidings) -> None:
        """What is new, what is gone, and what was written; why no book could be made is said once."""
        unread = bool(outcome.refusal) and not outcome.told  # then nothing is known of the notes
        if not unread:
            self.compare(outcome)
        if outcome.refusal and outcome.refusal != self.refused:
            click.echo(f"flockbook: {outcome.refusal}\n    help: {outcome.cure}", err=True)
        elif not outcome.refusal:
            wrote = f"wrote {outcome.wrote} of {outcome.files} files"
            click.echo(f"{now_in(outcome.zone):%H:%M} {outcome.summary}; {wrote}")
        grave = [one.plain for one in outcome.told if one.plain]
        more = [f"and {len(grave) - MOST_TOLD} more: see Problems and gaps"] if len(grave) > MOST_TOLD else []
        refusal = [f"{outcome.refusal}: {outcome.cure}"] if outcome.refusal else []
        self.state.tell([*refusal, *grave[:MOST_TOLD], *more])
        self.last, self.again, self.refused = self.last if unread else outcome, unread, outcome.refusal

    def compare(self, outcome: Tidings) -> None:
        """The messages that are new, and those that are gone."""
        before, now = {one.short for one in self.last.told}, {one.short for one in outcome.told}
        for one in outcome.told:
            if one.short not in before:
                self.say(one)
        for gone in sorted(before - now):
            click.echo(f"gone: {gone}")

    def say(self, message: Message) -> None:
        """One message in full."""
        click.echo(message.full if self.colour else COLOUR_CODES.sub("", message.full), nl=True)


def time_in(text: str) -> datetime:
    """A time from its ISO text."""
    return datetime.fromisoformat(text)
