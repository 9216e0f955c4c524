"""`flockbook kinds`: what may be written."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from flockbook.cli.options import FAILED, settings_here

if TYPE_CHECKING:
    from compiler.schema import Kind
    from flockbook.settings import Settings


@click.command(
    name="kinds",
    help="List the kinds of note, or show what may be written in KIND, found by its name or by another word for it "
    "(worming, docking, market): its fields, a filled example, a blank note, or its JSON Schema.",
    epilog="Such as: flockbook kinds worming --example",
)
@click.argument("kind", required=False)
@click.option("--example", "form", flag_value="example", help="Print a filled example, and how its lines are written.")
@click.option("--blank", "form", flag_value="blank", help="Print a blank note to fill in.")
@click.option("--schema", "form", flag_value="schema", help="Print the JSON Schema of its head.")
def command(kind: str | None, form: str | None) -> None:
    """Print what the declarations say."""
    from compiler.describe import as_text, blank, json_schema, reference
    from flockbook.jotting.kind_examples import at_home, fitting, kind_meant
    from flockbook.manner import speak_as
    from flockbook.records import KINDS
    from flockbook.regional import kind_in_words, local

    settings = settings_here()
    speak_as(settings.manner)
    if kind is None:
        for item in KINDS:
            click.echo(f"{local(item.name):<12} {local(item.help)}")
        return
    meant = kind_meant(kind)
    found = meant.kind
    if found is None:
        guess = f"did you mean {' or '.join(meant.near)}? " if meant.near else ""
        message = f"there is no kind of note called {kind!r}; {guess}`flockbook kinds` lists them all"
        click.echo(f"flockbook: {message}", err=True)
        raise SystemExit(FAILED)
    if form == "schema":
        click.echo(json.dumps(json_schema(found), indent=2, ensure_ascii=False))
    elif form == "example":
        click.echo(settings.measures.typed("\n".join(example_lines(found, settings))))
    else:
        told = at_home(fitting(reference(found)), settings)
        text = blank(kind_in_words(told)) if form == "blank" else as_text(kind_in_words(told))
        click.echo(settings.measures.typed(local(text)), nl=False)


def example_lines(kind: Kind[Any], settings: Settings) -> Iterator[str]:
    """A filled note with the name of its file, its lines, and the same as a jotted line."""
    from compiler.describe import blank, line_rows, reference
    from flockbook.jotting.kind_examples import at_home, filled_example, jotted_verbs_of
    from flockbook.records.jotted_line import GRAMMAR, INBOX
    from flockbook.regional import local

    path, text = filled_example(kind.name) or ("", blank(reference(kind)))
    yield f"{path}:" if path else "a blank note:"
    yield from ("", *(f"    {line}" for line in text.rstrip("\n").split("\n")))
    yield from (local(row) for row in line_rows(at_home(reference(kind), settings)) if not row.startswith("  *"))
    if verbs := jotted_verbs_of(kind.name):
        yield from ("", f"  jotted on one line in {INBOX}/, with {' or '.join(verbs)}: {GRAMMAR}")
