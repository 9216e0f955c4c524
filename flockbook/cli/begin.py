"""`flockbook begin`: a folder to start in."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import click

from flockbook.cli.options import FAILED, clock
from flockbook.figures import GESTATION, RECORDS_KEPT

SETTINGS = f"""\
# The flock's settings. A line without `#` in front is in force; everything left out has a default that the book names.
flock: My flock
# metric or us: the unit of a weight that is typed without one
units: metric
# how 19/4 is meant; without this line write 19 Apr
# dates: day-month
# timezone: Europe/London
# printed on every card that says "ask your vet"
# vet: {{name: , phone: }}
# gestation: {GESTATION.value:g} days
# breed gestation: {{Merino: 150}}
# records kept: {RECORDS_KEPT.value:g}
# how much hay a sheep eats in a day (or dry matter as a share of its weight: 2.5 %)
# intake: 1.8 kg
# who stays: how often a reason stands before a ewe is to go (0: only to watch)
# choosing: {{helped births: 2, mastitis: 1, barren years: 2}}
# folders and files that are not notes
# skip: photos, drafts
"""
NOTES = {
    "sheep/0101 Bluebell.md": "---\nnote: ewe\nborn: {year}-04\n---\nThe first ewe in the book: write over her with "
    "one of your own.\n",
    "events/{this}/{today} remark first note.md": "The book begins today. A note with a date in its name needs "
    "no head.\n",
    "medicines/example drench.md": (
        "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\nmilk withdrawal: not for "
        "milk\nsource: label\n"
        "checked: {today}\n---\nAn invented product with an invented period: type what YOUR label says. Write one "
        "note for each bottle in the cupboard, from its own label.\n"
    ),
}
IGNORED = "book/\n.DS_Store\nThumbs.db\n*~\n"
ATTRIBUTES = "*.md text eol=lf\n*.txt text eol=lf\n*.csv text eol=lf\n"
HOOK = (
    "# Proof the notes before each commit: https://pre-commit.com\nrepos:\n  - repo: local\n    hooks:\n      - "
    "id: flockbook-proof\n        name: flockbook proof\n        entry: flockbook proof --staged\n        language: "
    "system\n        pass_filenames: false\n"
)


@click.command(
    name="begin",
    help="Lay out a notes folder that proofs clean: settings, three example notes, and what git and editors want.",
)
@click.argument("folder", type=click.Path(path_type=Path))
def command(folder: Path) -> None:
    """Write the files; nothing that exists is touched."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        click.echo(f"flockbook: {folder} is not an empty folder; nothing was written", err=True)
        raise SystemExit(FAILED)
    try:
        for path, text in files():
            place = folder / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(text, encoding="utf-8", newline="\n")
            click.echo(f"wrote {place}")
    except OSError as refusal:
        click.echo(f"flockbook: {refusal}", err=True)
        raise SystemExit(FAILED) from None
    click.echo(f"next: flockbook compile {folder} --open")


def files() -> Iterator[tuple[str, str]]:
    """Path and text of every file."""
    from compiler.describe import json_schema
    from flockbook.records import KINDS

    now = clock().date()
    words = {"today": now.isoformat(), "this": str(now.year), "year": str(now.year - 3)}
    yield "flock.yaml", SETTINGS
    for path, text in NOTES.items():
        yield path.format(**words), text.format(**words)
    yield ".gitignore", IGNORED
    yield ".gitattributes", ATTRIBUTES
    yield ".pre-commit-config.yaml", HOOK
    for kind in KINDS:
        yield f".schema/{kind.name}.json", json.dumps(json_schema(kind), indent=1, ensure_ascii=False) + "\n"
