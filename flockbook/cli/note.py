"""`flockbook note`: write a note, checked before it is written."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
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
    from flockbook.jotting.filing import InboxLine
    from flockbook.jotting.new_note import NewNote
    from flockbook.seen import Seen
    from flockbook.whom.inbox import UnfiledLine

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
    epilog="Such as: flockbook note lambing Bramble 'ewe 4.1 tag 931' 'ram 4.6 tag 932 assisted one leg back'",
)
@click.argument("kind", required=False, shell_complete=complete_kind)
@click.argument("words", nargs=-1, metavar="[SHEEP]... [FIELD=VALUE]... [LINE]...", shell_complete=complete_word)
@click.option(
    "--folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The notes folder (default: this one).",
)
@click.option("--edit", is_flag=True, help="Open the note in your editor (EDITOR) before it is checked.")
@click.option("--anyway", is_flag=True, help="Write it although it raises an error or a question.")
@click.option("--from-inbox", is_flag=True, help="Show what each line of `inbox/` becomes, or why it stays.")
@click.option("--file", "writes", is_flag=True, help="With --from-inbox: write the notes and take their lines out.")
@on_option
def command(kind: str | None, words: tuple[str, ...], folder: Path, on: Moment | None, **how: bool) -> None:
    """Write one note, or file the inbox."""
    if how["from_inbox"] == bool(kind) or (how["writes"] and not how["from_inbox"]):
        refuse("say which kind of note, or --from-inbox", "see `flockbook note --help`")
    if kind is None:
        file_inbox(folder, moment_asked(on, folder), how["writes"])
    else:
        write_one(kind, words, folder, on, how["edit"], how["anyway"])


def write_one(kind: str, words: tuple[str, ...], folder: Path, on: Moment | None, edit: bool, anyway: bool) -> NoReturn:
    """Make the note, check it, write it, and print its path."""
    from compiler.report import full
    from compiler.source import Source

    found = kind_named(kind)
    if not found:
        refuse(f"there is no kind of note called {kind!r}", "`flockbook kinds` lists them all")
    try:
        seen = findings(folder, moment_asked(on, folder))
        clock = f"{on.at:%H:%M}" if on and on.timed else ""
        note = note_typed(found, with_standard_input(words), seen, clock)
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
    from flockbook.jotting.kind_examples import kind_meant

    return kind_meant(typed).kind


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


def note_typed(kind: Kind[Any], words: Sequence[str], seen: Seen, clock: str) -> NewNote:
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
    return new_note(kind, typed, seen, clock)


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


# The inbox


def file_inbox(folder: Path, moment: Moment, writes: bool) -> NoReturn:
    """Show what becomes of each line; with `writes` file those that are understood whole."""
    from flockbook.jotting.filing import filing_plan, inbox_lines, lines_filed_before

    try:
        seen = findings(folder, moment)
        lines = inbox_lines(seen)
        plan = filing_plan(seen, lines, all_paths(seen), lambda sources: foretold_of_all(seen, folder, sources))
        filed = list(lines_filed_before(seen))
        for line in filed:
            click.echo(f"{line.path}:{line.number}: is filed already")
        for item in plan.stay:
            assert item.why is not None
            click.echo(f"{place_in_inbox(item)}: stays: {visible_text(item.why.message)}")
            click.echo(f"    help: {visible_text(item.why.help)}")
        for item, source in plan.notes:
            path = written_line(folder, seen, item) if writes else source.path
            click.echo(f"{place_in_inbox(item)}: {'filed as' if writes else 'becomes'} {visible_text(path)}")
            click.echo(f"    {visible_text(item.becomes)}")
        if writes:
            take_out(folder, [*filed, *gone_with(lines, plan.notes)])
    except OSError as refusal:
        refuse(str(refusal), "nothing is lost: what is filed is told as filed the next time, and the rest stands")
    left = sum(item.doses for item in plan.stay)
    click.echo(f"{len(plan.notes)} {'filed' if writes else 'to file'}, {len(plan.stay)} stay"
               + (f", of which {left} may be doses and hold whom they name" if left else ""), err=True)  # fmt: skip
    if plan.notes and not writes:
        click.echo("nothing was written; add --file to file them", err=True)
    raise SystemExit(ERRORS if plan.stay else CLEAN)


def all_paths(seen: Seen) -> list[str]:
    """The paths of all files of the notes folder."""
    found = seen.collection
    paths = [*(record.origin.path for record in found.records), *(hole.path for hole in found.holes)]
    return [*paths, *(other.path for other in found.others), *found.companions]


def foretold_of_all(seen: Seen, folder: Path, sources: Sequence[Source]) -> Seen:
    """What the book would say with these notes."""
    from compiler.build import foretell
    from flockbook.book import BOOK
    from flockbook.cli.compile import output_of

    return foretell(folder, BOOK, seen.today, sources, output_of(folder))


def place_in_inbox(item: InboxLine) -> str:
    """Where a line stands, for the terminal."""
    return visible_text(f"{item.line.path}:{item.line.number}")


def visible_text(text: str) -> str:
    """A text as a terminal may be given it."""
    from compiler.report import visible

    return visible(text)


def written_line(folder: Path, seen: Seen, item: InboxLine) -> str:
    """The path under which the note of a line now stands."""
    from flockbook.jotting.note_file import write_new
    from flockbook.jotting.note_paths import path_candidates

    assert item.note is not None
    path = write_new(folder, path_candidates(item.note.named, seen.collection.records), item.note.draft.text)
    if path is None:
        raise FileExistsError(f"every name for the note of {place_in_inbox(item)} is taken")
    return path


def gone_with(lines: Sequence[InboxLine], notes: Sequence[tuple[InboxLine, Source]]) -> Iterator[UnfiledLine]:
    """The lines that notes were made of, and those that go with them."""
    filed = {item.line.span for item, _ in notes}
    for item in lines:
        if item.line.span in filed or (item.goes_with and item.goes_with.span in (*filed, item.line.span)):
            yield item.line


def take_out(folder: Path, lines: Sequence[UnfiledLine]) -> None:
    """Take lines out of their files; one that changed meanwhile stays, and is told as filed the next time."""
    from flockbook.jotting.inbox_file import strike_lines

    files: dict[str, dict[int, str]] = {}
    for line in lines:
        files.setdefault(line.path, {})[line.number] = line.text
    for path, gone in files.items():
        if not strike_lines(folder / path, gone):
            click.echo(f"{visible_text(path)} changed meanwhile: its filed lines are taken out the next time", err=True)
