"""`flockbook kinds`: what may be written."""

from __future__ import annotations

import json

import click

from flockbook.cli.options import FAILED, settings_here


@click.command(
    name="kinds", help="List the kinds of note, or show the fields of KIND, a blank note, or its JSON Schema."
)
@click.argument("kind", required=False)
@click.option("--blank", "form", flag_value="blank", help="Print a blank note to fill in.")
@click.option("--schema", "form", flag_value="schema", help="Print the JSON Schema of its head.")
def command(kind: str | None, form: str | None) -> None:
    """Print what the declarations say."""
    from compiler.describe import as_text, blank, json_schema, reference
    from compiler.names import KindWords
    from flockbook.manner import speak_as
    from flockbook.records import KINDS
    from flockbook.regional import kind_in_words, local

    speak_as(settings_here().manner)
    if kind is None:
        for item in KINDS:
            click.echo(f"{local(item.name):<12} {local(item.help)}")
        return
    found = KindWords(KINDS).find(kind)
    if found is None:
        click.echo(f"flockbook: there is no kind of note called {kind!r}; `flockbook kinds` lists them all", err=True)
        raise SystemExit(FAILED)
    if form == "schema":
        click.echo(json.dumps(json_schema(found), indent=2, ensure_ascii=False))
    else:
        click.echo(blank(found) if form == "blank" else local(as_text(kind_in_words(reference(found)))), nl=False)
