"""`flockbook compile`: the main job."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from compiler import finished
from compiler.finished import Asked, Finished, Look
from flockbook.cli.options import (
    FAILED,
    clock,
    colour_option,
    coloured,
    folder_argument,
    moment_asked,
    on_option,
    refusals_told,
    theme_option,
    to_option,
)

if TYPE_CHECKING:
    from compiler.build import Built
    from compiler.moment import Moment

DEFAULT_OUTPUT = "book"  # below the notes folder, unless the settings say otherwise
HOME = Path(__file__).resolve().parents[2]
CODE = tuple(HOME / name for name in ("compiler", "flockbook", "themes") if (HOME / name).is_dir())
COLOUR_CODES = re.compile("\x1b\\[[0-9;]*m")


@click.command(
    name="compile",
    help="Read the notes in FOLDER, work everything out, and write the book.",
    epilog="\b\nSuch as:\n  flockbook compile --on 2026-04-19T03:40\n  flockbook compile --share --to ../for-the-vet",
)
@folder_argument
@to_option
@on_option
@theme_option
@click.option("--share", is_flag=True, help="Leave out what `private` in the settings lists; stands in book-shared.")
@click.option("--as-of", metavar="REVISION", help="Of the notes as git has them at a revision, such as HEAD~3.")
@click.option("--open", "show", is_flag=True, help="Open the book when it is made.")
@colour_option
def command(folder: Path, on: Moment | None, show: bool, colour: bool | None, **how: Any) -> None:
    """Compile, report, and end with the status."""
    to, theme = how["to"], how["theme"]
    if how["share"] and how["as_of"]:
        raise click.UsageError("give --share or --as-of, not both")
    if how["share"]:
        raise SystemExit(shared_book(folder, moment_asked(on, folder), Wanted(to, theme, show)))
    if how["as_of"]:
        raise SystemExit(of_then(folder, how["as_of"], on, Wanted(to, theme, show)))
    asked = Asked(folder, str(to or ""), str(theme or ""), f"{on.at} {on.timed}" if on else "", CODE, "flockbook")
    kept = finished.recall(asked)
    if kept and kept.speaks_of(asked.on, now_in(kept.zone)) and finished.stands(asked, kept):
        report(kept, 0, colour)
        click.echo(f"nothing has changed since {kept.made:%Y-%m-%d %H:%M}")
    else:
        kept = compiled(asked, on, colour)
    place = Path(kept.place)
    click.echo(f"the book: {place / 'index.html'}")
    if show and kept.files:
        click.launch(str(place / "index.html"))
    raise SystemExit(kept.status)


class Wanted(NamedTuple):
    """Where a book is wanted, in which theme, and whether it is to be opened."""

    to: Path | None
    theme: Path | None
    show: bool


def shared_book(folder: Path, moment: Moment, wanted: Wanted) -> int:
    """The book without what is private; gives the status."""
    from compiler import faults
    from compiler.report import summary
    from flockbook.cli.editions import left_out_words, write_shared

    with refusals_told():
        place = place_apart(wanted.to, folder, "shared")
        made = write_shared(folder, moment, place, wanted.theme)
    if made is None:
        click.echo("flockbook: the book could not be made; run `flockbook proof`", err=True)
        return FAILED
    click.echo("\n".join((summary(made.seen.diagnostics, made.seen.collection.read), *left_out_words(made))))
    click.echo(f"the book to share: {place / 'index.html'}")
    if wanted.show:
        click.launch(str(place / "index.html"))
    return faults.status(made.seen.diagnostics)


def of_then(folder: Path, asked: str, on: Moment | None, wanted: Wanted) -> int:
    """The book of the notes of an earlier revision; gives the status."""
    from compiler.report import summary
    from flockbook.cli.as_of import NUMBER_SHOWN, build_then, notes_then

    with notes_then(folder, asked) as then, refusals_told():
        short = then.number[:NUMBER_SHOWN]
        place = place_apart(wanted.to, folder, f"as-of-{short}")
        built = build_then(then, folder, place, on)
    click.echo(summary(built.told, built.findings.collection.read))
    click.echo(f"the book as of {then.moment.at:%Y-%m-%d %H:%M} ({short}): {place / 'index.html'}")
    if wanted.show:
        click.launch(str(place / "index.html"))
    return built.status


def compiled(asked: Asked, on: Moment | None, colour: bool | None) -> Finished:
    """The book made, told, and remembered if it is sound."""
    from compiler.build import Manner, build
    from compiler.output import OutputRefused
    from flockbook.book import BOOK
    from flockbook.cli.progress import Progress

    place = book_place(Path(asked.to) if asked.to else None, asked.notes)
    progress, theme = Progress(), Path(asked.theme) if asked.theme else None
    try:
        look, moment = notes_seen(asked, place), moment_asked(on, asked.notes)
        built = build(asked.notes, BOOK, moment, place, theme, manner=Manner(tell=progress))
    except (OutputRefused, OSError) as refusal:
        progress.end()
        click.echo(f"flockbook: {refusal}", err=True)
        if isinstance(refusal, OutputRefused):
            click.echo(f"    help: {refusal.help}", err=True)
        raise SystemExit(FAILED) from None
    finally:
        progress.end()
    done = result(asked, place, built, look)
    report(done, len(built.written.made) + len(built.written.changed), colour, len(built.written.removed))
    return done


def result(asked: Asked, place: Path, built: Built[Any, Any, Any], look: Look | None) -> Finished:
    """A compile as it is told; remembered unless the program failed or the notes could not be looked at."""
    from compiler.folder import CHANGING, lines_of
    from compiler.history import head_state
    from compiler.horizon import plainly
    from compiler.report import full, summary

    settings, moment, written = built.findings.settings, built.findings.today, built.written
    said = full(built.told, lines_of(asked.notes), True)
    counts = summary(built.told, built.findings.collection.read)
    files = len(written.made) + len(written.changed) + len(written.kept)
    sound = look and built.until and built.status < FAILED and not any(m.code == CHANGING.code for m in built.told)
    begun, clock_day = plainly(moment.at).isoformat(), (moment.clock or moment.day).isoformat()
    done = Finished(
        asked.on, settings.file.timezone or "", begun, str(built.until and built.until.isoformat()), clock_day,
        look.taken if look else 0, look.notes if look else "", look.theme if look else "", str(place),
        finished.book_digest(place) if sound else "", said, counts, files, built.status,
        head_state(asked.notes) if settings.file.history else "",
    )  # fmt: skip
    if sound:
        finished.remember(asked, done)
    return done


def notes_seen(asked: Asked, place: Path) -> Look | None:
    """How the notes stand before they are read, or None where that cannot be told."""
    import time

    try:
        return finished.looked(asked, place, time.time_ns())
    except OSError:
        return None


def report(done: Finished, wrote: int, colour: bool | None, removed: int = 0) -> None:
    """What a compile has to say."""
    click.echo(done.said if coloured(colour) else COLOUR_CODES.sub("", done.said), err=True, nl=False)
    click.echo(done.summary)
    click.echo(f"wrote {wrote} of {done.files} files" + (f", removed {removed}" if removed else ""))


def now_in(zone: str) -> datetime:
    """The time now in a zone of the settings."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        return clock(ZoneInfo(zone) if zone else None)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return clock()


def book_place(to: Path | None, notes: Path, usual: Path | None = None) -> Path:
    """Where the book is to be written; ends with status 2 for a place among the notes that is not the usual one."""
    from compiler.outfile import refuse_among

    usual = usual or output_of(notes)
    if to is None or to.resolve() == usual.resolve():
        return usual
    with refusals_told():
        refuse_among(to, notes)
    return to


def place_apart(to: Path | None, notes: Path, word: str) -> Path:
    """Where a book of another sort stands: beside the usual one, in whose place it is refused. Raises OutputRefused."""
    from compiler.output import OutputRefused

    usual = output_of(notes)
    place = book_place(to, notes, usual.with_name(f"{usual.name}-{word}"))
    if place.resolve() == usual.resolve():
        raise OutputRefused(f"{place} is the place of the usual book", "name another folder with --to")
    return place


def output_of(folder: Path) -> Path:
    """Where the settings want the book."""
    from compiler.folder import read_settings_file
    from flockbook.settings_reading import read_settings

    source, _ = read_settings_file(folder, "flock.yaml")
    settings, _ = read_settings(source)
    return folder / (settings.file.output or DEFAULT_OUTPUT)
