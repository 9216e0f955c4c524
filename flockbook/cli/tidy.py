"""`flockbook tidy`: notes in their plain form, without changing a fact or a word."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from compiler.book import Moment
from flockbook.cli.note import findings, foretold_of_all, refuse, visible_text
from flockbook.cli.options import CLEAN, ERRORS, moment_asked, on_option

COLUMN_TOLD = re.compile(r'"column": \d+')

if TYPE_CHECKING:
    from compiler.schema import Record
    from compiler.source import Source
    from flockbook.seen import Seen


@click.command(
    name="tidy",
    help="Put notes (FILES, or all of the folder) into their plain form: line ends, fences, the keys and blanks of the "
    "head, the dashes of data lines. No fact and no word changes; a note in which one would is left as it is.",
    epilog="Such as: flockbook tidy --check",
)
@click.argument("files", nargs=-1, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The notes folder (default: this one).",
)
@click.option("--check", is_flag=True, help="Write nothing; status 1 if a note is not in its plain form.")
@on_option
def command(files: tuple[Path, ...], folder: Path, check: bool, on: Moment | None) -> None:
    """Say which notes change, and change them."""
    try:
        seen = findings(folder, moment_asked(on, folder))
        unlike = unlike_plain(seen, folder, paths_asked(files, folder))
        same = without_harm(seen, folder, [source for tries in unlike.values() for source in tries[:1]])
        left = {path: tries[1] for path, tries in unlike.items() if path not in same and len(tries) > 1}
        same |= without_harm(seen, folder, list(left.values()))
        for path in unlike:
            if path not in same:
                click.echo(f"{visible_text(path)}: left as it is: its plain form would change a word or a fact")
            elif check or write_over(folder / path, same[path].text):
                click.echo(f"{visible_text(path)}: {'not in its plain form' if check else 'tidied'}")
            else:
                click.echo(f"{visible_text(path)}: left as it is: it changed meanwhile")
    except OSError as refusal:
        refuse(str(refusal), "the notes that are not told above are as they were")
    raise SystemExit(ERRORS if check and same else CLEAN)


def paths_asked(files: Sequence[Path], folder: Path) -> set[str]:
    """The files asked about, by their paths in the notes folder; none where all are meant."""
    root, found = folder.resolve(), set()
    for file in files:
        place = file.resolve()
        if not place.is_relative_to(root):
            refuse(f"{file} does not lie in {folder}", "name the notes folder with --folder")
        found.add(place.relative_to(root).as_posix())
    return found


def unlike_plain(seen: Seen, folder: Path, wanted: set[str]) -> dict[str, list[Source]]:
    """The notes that are not in their plain form, each with that form, and with one that leaves its data lines."""
    from compiler.source import Source
    from flockbook.jotting.plain_form import plain_form

    found = {}
    for record in seen.collection.records:
        path = record.origin.path
        if wanted and path not in wanted:
            continue
        data = (folder / path).read_bytes()
        forms = dict.fromkeys(plain_form(data, record, lines_too) for lines_too in (True, False))
        if data.decode("utf-8") not in list(forms)[:1]:
            found[path] = [Source(path, text, "") for text in forms if text.encode() != data]
    return found


def without_harm(seen: Seen, folder: Path, sources: Sequence[Source]) -> dict[str, Source]:
    """Those of some texts that change no fact, no message and no word: all at once, else one by one."""
    if not sources:
        return {}
    after = foretold_of_all(seen, folder, sources)
    if all(same_note(seen, after, folder, source) for source in sources) and same_book(seen, after):
        return {source.path: source for source in sources}
    alone = [source for source in sources if len(sources) > 1 and without_harm(seen, folder, [source])]
    return {source.path: source for source in alone}


def same_note(seen: Seen, after: Seen, folder: Path, source: Source) -> bool:
    """Whether a note says the same words, and is told and read as before."""
    from flockbook.jotting.plain_form import words_of_note

    before = (folder / source.path).read_bytes().decode("utf-8")
    one, other = (record_of(found, source.path) for found in (seen, after))
    if one is None or other is None or words_of_note(before) != words_of_note(source.text):
        return False
    return (one.origin.html, one.origin.kind, one.origin.broken, one.origin.unread) == (
        other.origin.html, other.origin.kind, other.origin.broken, other.origin.unread
    )  # fmt: skip


def record_of(seen: Seen, path: str) -> Record | None:
    """The record of a note."""
    return next((record for record in seen.collection.records if record.origin.path == path), None)


def same_book(seen: Seen, after: Seen) -> bool:
    """Whether all facts and all messages are those of before."""
    told = [Counter((item.code, item.span.path, item.span.line, item.message) for item in found.diagnostics)
            for found in (seen, after)]  # fmt: skip
    return told[0] == told[1] and facts_without_columns(seen) == facts_without_columns(after)


def facts_without_columns(seen: Seen) -> str:
    """All facts as they are handed over, but for the columns at which messages stand: a dash moves them."""
    from flockbook.handover.facts import facts_json

    return COLUMN_TOLD.sub("", facts_json(seen, ()))


def write_over(place: Path, text: str) -> bool:
    """Put a text in the place of a note, whole or not at all; not if the note changed meanwhile to other words."""
    from flockbook.jotting.in_place import replace_text
    from flockbook.jotting.plain_form import words_of_note

    was = place.read_bytes()
    return words_of_note(was.decode("utf-8")) == words_of_note(text) and replace_text(place, was, text)
