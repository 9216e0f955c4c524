"""The command `flockbook`: finds the command asked for and loads only that."""

from __future__ import annotations

import importlib
from typing import Any

import click

from compiler.families import Unmade

# Command → its help line, so that `--help` loads no command.
COMMANDS = {
    "begin": "Lay out a new notes folder.",
    "note": "Write a note: named, filled in and checked before it is written.",
    "compile": "Read the notes, work everything out, and write the book.",
    "tend": "Keep the book fresh: make it anew after every save, and show it.",
    "proof": "Read and check the notes; write nothing.",
    "tidy": "Put notes into their plain form; no fact and no word changes.",
    "due": "Show which ewes are due, and when.",
    "clear": "Show which sheep may be sold; status 1 if any may not.",
    "why": "Explain a message by its code.",
    "kinds": "Show the kinds of note and their fields.",
    "gather": "Make notes of old records: spreadsheets, scales, readers.",
    "handover": "Give the facts to other programs.",
}


class Commands(click.Group):
    """A group that knows its commands by name and loads each when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of a day's work."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, loaded."""
        del ctx
        if cmd_name not in COMMANDS:
            return None
        module: Any = importlib.import_module(f"flockbook.cli.{cmd_name}")
        command: click.Command = module.command
        return command

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; it ends with status 2 where facts that it asks for cannot be made."""
        try:
            return super().invoke(ctx)
        except Unmade as failure:
            from compiler.faults import IN_FACTS, fault
            from flockbook.cli.options import FAILED

            told = fault(failure, IN_FACTS, str(ctx.invoked_subcommand), "")
            click.echo(f"flockbook: {told.message} ({told.span.path}:{told.span.line}); {told.help}", err=True)
            raise SystemExit(FAILED) from None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without loading them."""
        del ctx
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=Commands,
    help="A flock book from a shepherd's own notes. Write a short text file for each ewe and for each thing that "
    "happens, in a folder of your own; this program reads and checks them, works out who is due, who is whose and what "
    "the lambs gain, and above all who may be sold and who may not yet, and writes pages that open on a tablet with no "
    "network.",
    epilog="\b\nSuch as:\n  flockbook begin my-flock\n  flockbook note remark Bramble 'Thin; watch her.'\n"
    "  flockbook compile --on 2026-11-25\n  flockbook clear\n  flockbook kinds worming --example",
)
@click.version_option(package_name="flockbook", prog_name="flockbook")
def main() -> None:
    """The group itself does nothing."""
