"""`flockbook begin`: a folder to start in."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import click

from compiler.shape import Value, replace
from flockbook.cli.options import FAILED, clock
from flockbook.country_codes import LISTED, VALID, country_code
from flockbook.figures import GESTATION, RECORDS_KEPT

SETTINGS = """\
# The flock's settings. A line without `#` in front is in force; everything left out has a default that the book names.
flock: My flock
# metric or us: the unit of a weight that is typed without one
units: {units}
# uk or us: whose words are printed, and by which clock
{words}
# how 3/4 is meant, and days are printed; without this line write 3 Apr or Apr 3
{dates}
{currency}
# whose rules on tags and records are asked about
{country}
{timezone}
# printed on every card that says "ask your vet"
# vet: {{name: , phone: }}
# gestation: {gestation} days
# breed gestation: {{Merino: 150}}
# records kept: {kept}
# what `flockbook compile --share` leaves out: money, people, buyers, and words of your own
# private: money, people, buyers
# the notes are kept with git: the book tells when they were changed, and by whom
# history: git
# how much hay a sheep eats in a day (or dry matter as a share of its weight: 2.5 %)
# intake: {intake}
# who stays: how often a reason stands before a ewe is to go (0: only to watch)
# choosing: {{helped births: 2, mastitis: 1, {barren} years: 2}}
# folders and files that are not notes
# skip: photos, drafts
"""
NOTES = {
    "sheep/0101 Bluebell.md": "---\nnote: ewe\nborn: {born}\n---\nThe first ewe in the book: write over her with "
    "one of your own.\n",
    "events/{this}/{today} remark first note.md": "The book begins today. A note with a date in its name needs "
    "no head.\n",
    "medicines/example drench.md": (
        "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\nmilk withdrawal: not for "
        "milk\nsource: label\n"
        "checked: {read}\n---\nAn invented product with an invented period: type what YOUR label says. Write one "
        "note for each bottle in the cupboard, from its own label.\n"
    ),
}
# What is set without being asked, and what stands behind `#` as an example where nothing was answered.
PLACES = {
    "metric": ("metric", "", "", "", "", ""),
    "uk": ("metric", "uk", "day-month", "GBP", "GB", ""),
    "us": ("us", "us", "month-day", "USD", "US", ""),
}
EXAMPLES_OF = {
    "uk": {"words": "uk", "dates": "day-month", "currency": "GBP", "country": "GB", "timezone": "Europe/London"},
    "us": {"words": "us", "dates": "month-day", "currency": "USD", "country": "US", "timezone": "America/Chicago"},
}
ZONES = Path("/etc/localtime")
IGNORED = "book/\nbook-shared/\nbook-as-of-*/\n.DS_Store\nThumbs.db\n*~\n"
ATTRIBUTES = "*.md text eol=lf\n*.txt text eol=lf\n*.csv text eol=lf\n"
HOOKS = ".githooks"
HOOK = (
    "#!/bin/sh\n# Proofs the notes before each commit; an error in a note that is about to be committed stops it.\n"
    f"# Switch it on once, in the folder of the notes: git config core.hooksPath {HOOKS}\n"
    "exec flockbook proof --staged\n"
)


class Answers(Value):
    """What a new flock's settings say of the place it is in; "" where nothing is known."""

    units: str
    words: str
    dates: str
    currency: str
    country: str
    timezone: str


@click.command(
    name="begin",
    help="Lay out a notes folder that proofs clean: settings, three example notes, and what git and editors want.",
    epilog="Such as: flockbook begin my-flock --us",
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--us", "place", flag_value="us", help="Pounds, month before day, dollars, United States; ask nothing.")
@click.option("--uk", "place", flag_value="uk", help="Kilograms, day before month, sterling, Britain; ask nothing.")
@click.option("--metric", "place", flag_value="metric", help="Kilograms, and the rest to be filled in; ask nothing.")
def command(folder: Path, place: str | None) -> None:
    """Write the files; nothing that exists is touched."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        click.echo(f"flockbook: {folder} is not an empty folder; nothing was written", err=True)
        raise SystemExit(FAILED)
    answers = unasked(place) if place or not at_a_terminal() else asked()
    try:
        for path, text in files(answers):
            file = folder / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8", newline="\n")
            if file.parent.name == HOOKS:
                file.chmod(0o755)
            click.echo(f"wrote {file}")
    except OSError as refusal:
        click.echo(f"flockbook: {refusal}", err=True)
        raise SystemExit(FAILED) from None
    click.echo(f"next: flockbook compile {folder} --open")


def at_a_terminal() -> bool:
    """Whether somebody sits there who can be asked."""
    return sys.stdin.isatty()


def unasked(place: str | None) -> Answers:
    """The settings of a place, without a question; the machine's time zone where a place was named."""
    answers = Answers(*PLACES[place or "metric"])
    return replace(answers, timezone=machine_zone()) if answers.country else answers


def asked() -> Answers:
    """The settings as they are answered: an empty answer takes what stands in brackets."""
    units = click.prompt("Weights in", type=click.Choice(["metric", "us"]), default="metric")
    other = replace(unasked("metric"), words="uk", dates="day-month", timezone=machine_zone())
    usual = unasked("us") if units == "us" else other
    words = click.prompt("Words as in", type=click.Choice(["uk", "us"]), default=usual.words)
    orders = click.Choice(["day-month", "month-day"])
    dates = click.prompt("How is 3/4 meant", type=orders, default=usual.dates)
    currency = click.prompt("Currency, such as GBP or USD", default=usual.currency, show_default=bool(usual.currency))
    country = click.prompt("Country", default=usual.country, value_proc=known_country)
    zone = click.prompt("Time zone, such as Europe/London", default=usual.timezone, value_proc=known_zone)
    return Answers(units, words, dates, currency.strip(), country, zone)


def known_country(typed: str) -> str:
    """A country that the book knows, or none."""
    if typed.strip() and country_code(typed) not in LISTED:
        raise click.UsageError(f"{typed!r} is no country that the book knows; write one of: {VALID}")
    return typed.strip()


def known_zone(typed: str) -> str:
    """A time zone that there is, or none."""
    if typed.strip() and not is_zone(typed.strip()):
        raise click.UsageError(f"{typed!r} is no time zone; write it as continent and city, such as Europe/London")
    return typed.strip()


def machine_zone() -> str:
    """The time zone that the machine is set to, by its name; "" where that cannot be told."""
    linked = ZONES.resolve().as_posix().partition("zoneinfo/")[2] if ZONES.is_symlink() else ""
    return next((name for name in (os.environ.get("TZ", "").lstrip(":"), linked) if is_zone(name)), "")


def is_zone(name: str) -> bool:
    """Whether there is a time zone of that name, which has a continent in front."""
    try:
        return "/" in name and not name.startswith("Etc/") and ZoneInfo(name).key == name
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False


def files(answers: Answers) -> Iterator[tuple[str, str]]:
    """Path and text of every file."""
    from compiler.describe import json_schema
    from flockbook.records import KINDS

    now = clock().date()
    words = {"today": now.isoformat(), "this": str(now.year), **days_typed(now, answers.dates)}
    yield "flock.yaml", settings_text(answers)
    for path, text in NOTES.items():
        yield path.format(**words), text.format(**words)
    yield ".gitignore", IGNORED
    yield ".gitattributes", ATTRIBUTES
    yield f"{HOOKS}/pre-commit", HOOK
    for kind in KINDS:
        yield f".schema/{kind.name}.json", json.dumps(json_schema(kind), indent=1, ensure_ascii=False) + "\n"


def days_typed(now: date, order: str) -> dict[str, str]:
    """The days in the example notes, in the order in which they are typed here."""
    if order != "month-day":
        return {"born": f"{now.year - 3}-04", "read": now.isoformat()}
    return {"born": f"4/{now.year - 3}", "read": f"{now.month}/{now.day}/{now.year}"}


def settings_text(answers: Answers) -> str:
    """The settings file: what was answered in force, the rest as examples."""
    examples = EXAMPLES_OF["us" if "us" in (answers.words, answers.units) else "uk"]
    lines = {
        name: f"{name}: {getattr(answers, name)}" if getattr(answers, name) else f"# {name}: {example}"
        for name, example in examples.items()
    }
    intake = "4 lb" if answers.units == "us" else "1.8 kg"
    barren = "open" if examples["words"] == "us" else "barren"
    figures = {"barren": barren, "gestation": f"{GESTATION.value:g}", "kept": f"{RECORDS_KEPT.value:g}"}
    return SETTINGS.format(units=answers.units, intake=intake, **figures, **lines)
