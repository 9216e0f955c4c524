"""`flockbook note`: write a note, checked before it is written."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click
from click.shell_completion import CompletionItem

from compiler.book import Moment
from flockbook.cli.options import CLEAN, ERRORS, FAILED, moment_asked, on_option

if TYPE_CHECKING:
    from compiler.diagnostics import Diagnostic
    from compiler.schema import Kind
    from compiler.source import Source, Span
    from flockbook.jotting.new_note import NewNote
    from flockbook.seen import Seen

STANDARD_INPUT = "-"


def complete_kind(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The kinds of note that begin so, for the shell."""
    del ctx, param
    from flockbook.records import KINDS

    return [CompletionItem(kind.name, help=kind.help) for kind in KINDS if kind.name.startswith(incomplete.lower())]


def complete_word(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The fields of the kind, and the tags and names of the living, that begin so."""
    del param
    from flockbook.flock import there

    kind = kind_named(ctx.params.get("kind") or "")
    declared = kind.keys().items() if kind else ()
    fields = [CompletionItem(f"{name}=", help=key.help) for name, (_, key) in declared]
    folder = ctx.params.get("folder") or Path()
    seen = findings(folder, moment_asked(None, folder))
    living = [one for one in seen.linked.animals.values() if there(one, seen.today)]
    sheep = [CompletionItem(word, help=one.called_in_full) for one in living for word in (one.tag, one.name) if word]
    return [item for item in (*fields, *sheep) if item.value.lower().startswith(incomplete.lower())]


@click.command(
    name="note",
    help="Write a note of KIND, named and put as its like are: SHEEP by tag or name, FIELD=VALUE as it would be typed, "
    "and each LINE in quotes (`-` takes the lines of standard input). What the book knows already is filled in. The "
    "whole flock is read with the new note first: an error or question that it raises is shown, and nothing written.",
    epilog="Such as: flockbook note lambing Bramble 'ewe 4.1 tag 731' 'ram 4.6 tag 732 assisted one leg back'",
)
@click.argument("kind", shell_complete=complete_kind)
@click.argument("words", nargs=-1, metavar="[SHEEP]... [FIELD=VALUE]... [LINE]...", shell_complete=complete_word)
@click.option(
    "--folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The notes folder (default: this one).",
)
@click.option("--edit", is_flag=True, help="Open the note in your editor (EDITOR) before it is checked.")
@click.option("--anyway", is_flag=True, help="Write it although it raises an error or a question.")
@on_option
def command(kind: str, words: tuple[str, ...], folder: Path, edit: bool, anyway: bool, on: Moment | None) -> None:
    """Make the note, check it, write it, and print its path."""
    from compiler.report import full
    from compiler.source import Source

    found = kind_named(kind)
    if not found:
        refuse(f"there is no kind of note called {kind!r}", "`flockbook kinds` lists them all")
    try:
        seen = findings(folder, moment_asked(on, folder))
        note = note_typed(found, with_standard_input(words), seen)
        text = edited(note.draft.text) if edit else note.draft.text
        new = Source(free_path_for(seen, folder, note), text, "")
        told = foretold_of(seen, folder, new)
        if told:
            click.echo(full(told, quoting(folder, new), False), err=True, nl=False)
        if told and not anyway:
            click.echo("nothing was written; mend it, or add --anyway to write it as it is", err=True)
            raise SystemExit(ERRORS)
        click.echo(folder / written_note(folder, seen, note, text))
    except OSError as refusal:
        refuse(str(refusal), "nothing was written")
    raise SystemExit(ERRORS if told else CLEAN)


def refuse(message: str, help: str) -> NoReturn:
    """End with status 2, saying why and what to do."""
    click.echo(f"flockbook: {message}; {help}", err=True)
    raise SystemExit(FAILED)


def kind_named(typed: str) -> Kind[Any] | None:
    """The kind of note that a word means."""
    from compiler.names import KindWords
    from flockbook.records import KINDS

    return KindWords(KINDS).find(typed)


def findings(folder: Path, moment: Moment) -> Seen:
    """What the notes say now."""
    from compiler.build import proof
    from flockbook.book import BOOK
    from flockbook.cli.compile import output_of

    seen = proof(folder, BOOK, moment, output_of(folder))
    if seen.failed:
        refuse("the notes could not be linked, so a new one cannot be checked", "run `flockbook proof`")
    return seen


def with_standard_input(words: tuple[str, ...]) -> list[str]:
    """The words, with the lines of standard input in the place of `-`."""
    if STANDARD_INPUT not in words:
        return list(words)
    place = words.index(STANDARD_INPUT)
    typed = sys.stdin.read().splitlines()
    return [*words[:place], *(line for line in typed if line.strip()), *words[place + 1 :]]


def note_typed(kind: Kind[Any], words: Sequence[str], seen: Seen) -> NewNote:
    """The note that these words make."""
    from compiler.schema import Context, Fault
    from flockbook.jotting.new_note import bearers_of_names, new_note
    from flockbook.jotting.typed_words import WordSorter

    if unfit := next((word for word in words if "\n" in word or not word.isprintable()), None):
        refuse(f"{unfit!r} holds signs that no line may have", "write each line by itself")
    context = Context(seen.settings.habits, seen.today.day)
    typed = WordSorter(kind, frozenset(bearers_of_names(seen)), context).sort(words)
    if isinstance(typed, Fault):
        refuse(typed.message, typed.help)
    return new_note(kind, typed, seen)


def edited(text: str) -> str:
    """The text as it came back from the editor."""
    outcome = click.edit(text, extension=".md", require_save=False)
    if not outcome or not outcome.strip():
        refuse("the editor gave back no text", "nothing was written")
    return str(outcome).replace("\r\n", "\n")


def paths_for(seen: Seen, note: NewNote) -> list[str]:
    """The paths that the note may have, the best first."""
    from flockbook.jotting.note_paths import path_candidates

    return list(path_candidates(note.named, seen.collection.records))


def free_path_for(seen: Seen, folder: Path, note: NewNote) -> str:
    """The path that the note will have."""
    from flockbook.jotting.note_file import paths_taken
    from flockbook.jotting.note_paths import free_path

    paths = paths_for(seen, note)
    cure = "add `time=03:40`, or write into that note"
    path = free_path(paths, paths_taken(folder, paths))
    if path is None:
        refuse(f"there is a note `{paths[0]}` already, and others of that day", cure)
    return path


def foretold_of(seen: Seen, folder: Path, new: Source) -> tuple[Diagnostic, ...]:
    """The errors and questions that the note would cause, in itself and in others."""
    from compiler.build import foretell
    from flockbook.book import BOOK
    from flockbook.cli.compile import output_of
    from flockbook.jotting.foretold import caused

    after = foretell(folder, BOOK, seen.today, [new], output_of(folder))
    return caused(seen.diagnostics, after.diagnostics)


def quoting(folder: Path, new: Source) -> Callable[[Span], str]:
    """A function that gives the line of a message, in the new note too."""
    from compiler.folder import lines_of

    lines, on_disk = ["", *new.text.split("\n"), ""], lines_of(folder)
    return lambda span: lines[min(span.line, len(lines) - 1)] if span.path == new.path else on_disk(span)


def written_note(folder: Path, seen: Seen, note: NewNote, text: str) -> str:
    """The path under which the note now stands."""
    from flockbook.jotting.note_file import write_new

    path = write_new(folder, paths_for(seen, note), text)
    if path is None:
        refuse("other notes took every name meanwhile", "nothing was written")
    return path

