"""`flockbook compile`: the main job."""

from __future__ import annotations

from pathlib import Path

import click

from compiler.book import Moment
from flockbook.cli.options import FAILED, colour_option, coloured, folder_argument, moment_asked, on_option

DEFAULT_OUTPUT = "book"  # below the notes folder, unless the settings say otherwise


@click.command(
    name="compile",
    help="Read the notes in FOLDER, work everything out, and write the book.",
    epilog="Such as: flockbook compile --on 2026-04-19T03:40",
)
@folder_argument
@click.option(
    "--to",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="BOOK",
    help="Where the book is written (default: FOLDER/book, or `output` in the settings).",
)
@on_option
@click.option(
    "--theme",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="Another theme; it is proved before it is used.",
)
@click.option("--open", "show", is_flag=True, help="Open the book when it is made.")
@colour_option
def command(
    folder: Path, to: Path | None, on: Moment | None, theme: Path | None, show: bool, colour: bool | None
) -> None:
    """Compile, report, and end with the status."""
    from compiler.build import build
    from compiler.folder import lines_of
    from compiler.output import OutputRefused
    from compiler.report import full, summary
    from flockbook.book import BOOK

    place = to or output_of(folder)
    try:
        built = build(folder, BOOK, moment_asked(on, folder), place, theme)
    except (OutputRefused, OSError) as refusal:
        click.echo(f"flockbook: {refusal}", err=True)
        if isinstance(refusal, OutputRefused):
            click.echo(f"    help: {refusal.help}", err=True)
        raise SystemExit(FAILED) from None
    click.echo(full(built.told, lines_of(folder), coloured(colour)), err=True, nl=False)
    written = built.written
    click.echo(summary(built.told, built.findings.collection.read))
    wrote = len(written.made) + len(written.changed)
    click.echo(
        f"wrote {wrote} of {wrote + len(written.kept)} files"
        + (f", removed {len(written.removed)}" if written.removed else "")
    )
    click.echo(f"the book: {place / 'index.html'}")
    if show and not built.findings.failed:
        click.launch(str(place / "index.html"))
    raise SystemExit(built.status)


def output_of(folder: Path) -> Path:
    """Where the settings want the book."""
    from compiler.folder import read_settings_file
    from flockbook.settings_reading import read_settings

    source, _ = read_settings_file(folder, "flock.yaml")
    settings, _ = read_settings(source)
    return folder / (settings.file.output or DEFAULT_OUTPUT)
