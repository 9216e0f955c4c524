"""`flockbook why`: what a message means."""

from __future__ import annotations

import textwrap

import click

from flockbook.cli.options import FAILED, settings_here


@click.command(name="why", help="Explain the message with CODE (such as L201), or list all codes.")
@click.argument("code", required=False)
def command(code: str | None) -> None:
    """Print one rule, or all of them in a line each."""
    from flockbook.book import RULES
    from flockbook.law import LAW_OF_RULES, law_or_ask
    from flockbook.manner import speak_as
    from flockbook.regional import local_around

    if code is None:
        for rule in sorted(RULES, key=lambda item: item.code):
            click.echo(f"{rule.code}  {rule.grade.value:<8} {rule.name}")
        return
    found = next((rule for rule in RULES if code.lower() in (rule.code.lower(), rule.name)), None)
    if found is None:
        click.echo(f"flockbook: there is no message with the code {code!r}; `flockbook why` lists them all", err=True)
        raise SystemExit(FAILED)
    click.echo(f"{found.code} {found.name} ({found.grade.value})\n")
    manner = settings_here().manner
    speak_as(manner)
    click.echo(textwrap.fill(local_around(found.why), 96))
    if found.code in LAW_OF_RULES:
        law = law_or_ask(manner.country, LAW_OF_RULES[found.code])
        click.echo(textwrap.fill(f"Your own law: {law}.", 96))
    if found.example.strip():
        example = local_around(found.example.rstrip("\n"))
        click.echo("\nFor example:\n" + textwrap.indent(example, "    "))
