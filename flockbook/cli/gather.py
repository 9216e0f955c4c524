"""`flockbook gather`: old records made into notes, shown first, and written only when told."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from compiler.book import Moment
from flockbook.cli.note import findings, foretold_of_all, refuse, visible_text
from flockbook.cli.options import CLEAN, ERRORS, moment_asked, on_option

if TYPE_CHECKING:
    from compiler.diagnostics import Diagnostic
    from compiler.source import Span
    from flockbook.gathering.gathering_plan import GatherPlan
    from flockbook.gathering.mappings import FileMapping
    from flockbook.gathering.proposals import Proposing
    from flockbook.gathering.sheets import RowSheet
    from flockbook.seen import Seen

NOTES_SHOWN = 10  # notes that are shown before anything is written
QUESTION = re.compile(r"(?:^|[ :])\?(?=,|$)")
MAPPING_ENDING, HIDDEN = ".mapping", ".gathered"


@click.command(
    name="gather",
    help="Make notes of FILE: a spreadsheet (.xlsx), or rows of text from a spreadsheet, a scale or a reader (.csv, "
    ".txt). The first run proposes a mapping, what each column becomes, and keeps it beside the file: read it and mend "
    "it. The next run shows the first ten notes and lists every row and cell that is not used; --write writes them. "
    "Nothing that exists is overwritten, and the same rows are never gathered twice. KIND is what the rows are: ewe, "
    "sheep, lambing, treatment, weighing, sale …; of a workbook it can be left out.",
    epilog="\b\nSuch as:\n  flockbook gather ewes.csv --as sheep\n  flockbook gather ewes.csv --write\n"
    "  flockbook gather 'old flock.xlsx'",
)
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--as", "kind", metavar="KIND", default="", help="What the rows are; the mapping says it afterwards.")
@click.option("--mapping", "place", type=click.Path(dir_okay=False, path_type=Path), help="Another mapping file.")
@click.option(
    "--folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="The notes folder (default: this one).",
)
@click.option("--write", "writes", is_flag=True, help="Write the notes.")
@on_option
def command(file: Path, kind: str, place: Path | None, folder: Path, on: Moment | None, writes: bool) -> None:
    """Propose a mapping, or show or write what the file becomes by the one that there is."""
    from flockbook.gathering.proposals import Proposing

    place = place or mapping_place(file, folder)
    try:
        data = file.read_bytes()
        seen = findings(folder, moment_asked(on, folder))
        if not place.exists():
            propose(file, data, place, Proposing.of(seen, kind_asked(kind)))
        mapping = mapping_kept(place, kind, lambda read: propose_anew(file, data, place, read, Proposing.of(seen)))
        show_or_write(sheets_in(file, data, mapping), mapping, folder, seen, writes)
    except (OSError, UnicodeDecodeError) as refusal:
        refuse(str(refusal), "what was written stands; give the command again, and it goes on where it stopped")


def mapping_place(file: Path, folder: Path) -> Path:
    """Where the mapping of a file is kept: beside it, but in a hidden folder where the file lies among the notes."""
    if file.resolve().is_relative_to(folder.resolve()):
        return folder / HIDDEN / f"{file.name}{MAPPING_ENDING}"
    return file.with_name(f"{file.name}{MAPPING_ENDING}")


def kind_asked(kind: str) -> str:
    """The kind of rows that a word means; "" for none."""
    from flockbook.cli.note import kind_named
    from flockbook.gathering.targets import GATHERED_KINDS

    found = kind_named(kind) if kind and kind not in GATHERED_KINDS else None
    name = found.name if found else kind
    if name and name not in GATHERED_KINDS:
        refuse(f"rows cannot become {kind!r}", f"write one of: {', '.join(GATHERED_KINDS)}")
    return name


def propose(file: Path, data: bytes, place: Path, by: Proposing) -> NoReturn:
    """Write a mapping for a file that has none, and end: nothing is assumed."""
    from flockbook.gathering.file_reading import mapping_proposed
    from flockbook.gathering.mappings import mapping_text

    sheets = sheets_in(file, data, None)
    text = mapping_text(file.name, mapping_proposed(str(place), sheets, data, by))
    place.parent.mkdir(parents=True, exist_ok=True)
    with place.open("x", encoding="utf-8", newline="\n") as kept:
        kept.write(text)
    tell_proposed(place, text)


def propose_anew(file: Path, data: bytes, place: Path, read: FileMapping, by: Proposing) -> None:
    """Where `as` or `headings in row` was mended: write the columns of these sheets anew, and end."""
    from flockbook.gathering.file_reading import proposed_anew
    from flockbook.gathering.mappings import mapping_text
    from flockbook.jotting.in_place import replace_text

    if any(one.outdated for one in read.sheets):
        text = mapping_text(file.name, proposed_anew(read, sheets_in(file, data, read), by))
        if not replace_text(place, place.read_bytes(), text):
            refuse(f"{place} was written meanwhile", "give the command again")
        tell_proposed(place, text)


def tell_proposed(place: Path, text: str) -> NoReturn:
    """Show what is proposed and what it asks, and end."""
    click.echo(visible_lines(text))
    asked = sum(len(QUESTION.findall(line)) for line in text.splitlines() if not line.startswith("#"))
    answers = f"answer its {asked} `?`" if asked else "it asks nothing"
    told = f"this is proposed, and kept in {place}: read and mend it ({answers}); then give the command again"
    click.echo(f"{told} to see the notes", err=True)
    raise SystemExit(CLEAN)


def visible_lines(text: str) -> str:
    """A text of several lines as a terminal may be given it."""
    return "\n".join(visible_text(line) for line in text.splitlines())


def mapping_kept(place: Path, kind: str, anew: Callable[[FileMapping], None]) -> FileMapping:
    """The mapping of a file, after `anew` proposed what is outdated; ends with the reasons where it leaves something
    open.
    """
    from flockbook.gathering.mapping_reading import read_mapping

    mapping, told = read_mapping(str(place), place.read_text("utf-8"))
    anew(mapping)
    show(told)
    if told:
        refuse("the mapping has open questions", "answer them; nothing was written")
    if kind and len(mapping.sheets) == 1 and mapping.sheets[0].kind != kind_asked(kind):
        refuse(f"the mapping says `as: {mapping.sheets[0].kind}`", f"leave `--as` out, or take {place} away")
    return mapping


def sheets_in(file: Path, data: bytes, mapping: FileMapping | None) -> tuple[RowSheet, ...]:
    """The sheets of the file; ends with the reason where it cannot be read."""
    from flockbook.gathering.file_reading import read_file

    sheets, told = read_file(file.name, data, mapping)
    show(told)
    if told:
        refuse(f"{file.name} was not read", "nothing was written")
    return sheets


def no_line(span: Span) -> str:
    """A message about a file of rows quotes none of its lines."""
    del span
    return ""


def show(told: Iterable[Diagnostic], line_of: Callable[[Span], str] = no_line) -> None:
    """Messages, on standard error."""
    from compiler.report import full

    if told := tuple(told):
        click.echo(full(told, line_of, False), err=True, nl=False)


def show_or_write(
    sheets: tuple[RowSheet, ...], mapping: FileMapping, folder: Path, seen: Seen, writes: bool
) -> NoReturn:
    """Show what every row becomes, and write the notes if told to."""
    from flockbook.gathering.gathering_plan import gather_plan, stops

    plan, told = gather_plan(sheets, mapping, seen, lambda sources: foretold_of_all(seen, folder, sources))
    tell_rows(plan)
    show(told)
    refused = any(item.grade.value == "error" for item in told)
    if stops(told):
        refuse("nothing is written of this file", "mend what is told above, in the file or in the mapping")
    if writes:
        for path in written_notes(plan, folder, seen):
            click.echo(folder / path)
    else:
        tell_notes(plan)
    click.echo(f"{len(plan.notes)} notes {'written' if writes else 'to write'}", err=True)
    if plan.notes and not writes:
        click.echo("nothing was written; add --write to write them", err=True)
    raise SystemExit(ERRORS if refused else CLEAN)


def tell_rows(plan: GatherPlan) -> None:
    """What became of the rows of each sheet, and every cell that is not used."""
    from flockbook.gathering.gathering_plan import fates_counted

    for read, (sheet, fates) in zip(plan.reads, plan.fates, strict=True):
        click.echo(visible_text(f"{sheet.path}, as {read.how.kind}: {fates_counted(fates)}"))
        for line in read.unused:
            click.echo(f"  {visible_text(line)}")


def tell_notes(plan: GatherPlan) -> None:
    """The first notes as they will stand."""
    from flockbook.records.gathered import rows_said

    for note, source in plan.notes[:NOTES_SHOWN]:
        many = "s" if len(note.rows) > 1 else ""
        made_of = f"row{many} {rows_said(note.numbers)}" if note.rows else "new"
        click.echo(visible_text(f"\n{source.path} ({made_of})"))
        click.echo("\n".join(f"    {visible_text(line)}" for line in source.text.splitlines()))
    if len(plan.notes) > NOTES_SHOWN:
        click.echo(f"\nand {len(plan.notes) - NOTES_SHOWN} more")


def written_notes(plan: GatherPlan, folder: Path, seen: Seen) -> Iterable[str]:
    """Write the notes, one after the other, and give the path of each."""
    from flockbook.jotting.note_file import write_new
    from flockbook.jotting.note_paths import path_candidates

    for note, _ in plan.notes:
        path = write_new(folder, path_candidates(note.note.named, seen.collection.records), note.note.draft.text)
        if path is None:
            raise FileExistsError(f"every name for a {note.note.draft.kind} note was taken meanwhile")
        yield path
