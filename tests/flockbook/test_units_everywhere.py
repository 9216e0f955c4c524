"""Everything that a flock is shown is in its own units: the whole book, its messages, its terminal and its tables."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from flockbook.cli.main import main
from tests.flockbook.compiled import Compiled
from tests.flockbook.pound_flock import MOMENTS, larkspur

DEMO = Path(__file__).parents[2] / "site_demo"
DEMO_MOMENTS = ("2025-11-20", "2026-01-20", "2026-03-20T03:20", "2026-04-19T03:20", "2026-06-25", "2026-08-30")
FIGURE = r"(?<![\w.,])[\d.,]+[\s\u00a0]?"
OF_OTHERS = {
    "us": re.compile(
        rf"\bkgs?\b|\bkilo(?:s|gram)?|{FIGURE}(?:g|km|m|L|ha|cm|mm|l)\b(?!/)|°C|\d\.\d ?C\b|\bcelsius|\bhectares?"
        r"|\b(?:kilo)?met(?:re|er)s?\b|\blit(?:re|er)s?\b|[£€]|\bpence\b|\bstones?\b|(?<!per )\bgrams?\b|\btonnes?\b",
        re.I,
    ),
    "metric": re.compile(
        rf"\blbs?\b|\bounces?\b|{FIGURE}(?:oz|ft|ac|gal|qt|pt)\b|\boz\b|°F|\d\.\d ?F\b|\bfahrenheit|\bacres?\b"
        r"|\$\d|\bgallons?\b|\bquarts?\b|\bpints?\b|\bcwt\b|\binch(?:es)?\b|\bmiles?\b|\bpounds?\b|\bdollars?\b",
        re.I,
    ),
}
# What may stand in the book of the other unit, and why.
BOTH_NAMED = (
    (
        r"The same weights in (?:kilogram|pound)s(?:;? group \d+: [\d.]+ (?:kg|lb)(?: to [\d.]+ (?:kg|lb))?)*",
        "a fold of the dose sheet: the other unit on demand",
    ),
    (r"pounds or kilograms|kilograms or pounds|pounds differ from kilograms|1 kg is 2\.2 lb", "one or the other"),
    (r"38\.6 to 40\.0 °C, 101\.5 to 104\.0 °F|41\.2 C, or 106\.2 F", "`why` knows no flock: both"),
    (
        r"`?39\.2 C`? or `?102\.[59] F`?|`62 kg` or `150 lb`|`1\.8 kg` or `4 lb`|headed `kg` or `lb`",
        "how either is typed",
    ),
)
EXCEPTIONS: dict[str, tuple[tuple[str, str], ...]] = {
    "us": (
        *BOTH_NAMED,
        (r"eggs? per gram|per gram", "eggs are counted in a gram of dung everywhere"),
        (r"[\d.]+ (?:kg|g)(?: a day)? as published", "a published figure, named so, with the flock's own beside it"),
        (r"20 g in 100 mL is 20 %", "the strength of a solution, as labels print it"),
        (r"J Junebug 207 M", "a letter of the index by name"),
    ),
    "metric": (
        *BOTH_NAMED,
        (
            r"an inch(?: of water)?|an inch and|half a pint|[Dd]rew a pint|a pound less|eighteen pounds|to the ounce",
            "remarks in her own words",
        ),
    ),
}
SHOWN = re.compile(r"\b(?:title|aria-label|alt|placeholder)=\"([^\"]*)\"")
UNSEEN = re.compile(r"<(?:script|style).*?</(?:script|style)>|<[^>]+>", re.S)


def demo() -> dict[str, str]:
    """The demo flock's notes, without its pictures."""
    texts = (path for path in sorted(DEMO.rglob("*")) if path.suffix in (".md", ".yaml", ".csv"))
    return {path.relative_to(DEMO).as_posix(): path.read_text(encoding="utf-8") for path in texts}


FLOCKS: dict[str, tuple[Mapping[str, str], tuple[str, ...]]] = {
    "us": (larkspur(), MOMENTS), "metric": (demo(), DEMO_MOMENTS),
}  # fmt: skip


def shown(html: str) -> str:
    """All that a reader of a page can see, hear or hover over, tables cell by cell."""
    return " ".join(unescape(UNSEEN.sub(" ", html) + " " + " · ".join(SHOWN.findall(html))).split())


def printed(book: Compiled, on: str) -> Iterator[tuple[str, str]]:
    """Every page, and what the terminal, the calendar and the tables say."""
    for path in sorted(book.folder.rglob("*.html")):
        yield path.relative_to(book.folder).as_posix(), shown(path.read_text(encoding="utf-8"))
    notes = str(book.folder.parent / "notes")
    for words in (["due"], ["clear"], ["handover", "calendar"], ["proof"]):
        where = ["--folder", notes] if words == ["clear"] else [notes]
        told = CliRunner().invoke(main, [*words, *where, "--on", on])
        yield " ".join(words), re.sub(r"\r?\n ", "", told.output)  # a calendar goes on behind a blank
    for code in sorted({one.code for one in book.told.diagnostics}):
        yield f"why {code}", CliRunner().invoke(main, ["why", code]).output


def leaks(units: str, told: Iterator[tuple[str, str]]) -> list[str]:
    """Every place that speaks the other unit, with the words around it."""
    known = [re.compile(words) for words, _ in EXCEPTIONS[units]]
    found = []
    for name, text in told:
        allowed = [match.span() for one in known for match in one.finditer(text)]
        for match in OF_OTHERS[units].finditer(text):
            if not any(start <= match.start() and match.end() <= end for start, end in allowed):
                found.append(f"{name}: …{text[max(0, match.start() - 60) : match.end() + 30]}…".replace("\n", " "))
    return found


@pytest.mark.parametrize(("units", "on"), [(units, on) for units, (_, days) in FLOCKS.items() for on in days])
def test_no_unit_of_the_other(units: str, on: str, tmp_path: Path) -> None:
    """The whole output of a flock in pounds and of one in kilograms, at six moments of the year."""
    book = Compiled(FLOCKS[units][0], on, tmp_path)
    assert leaks(units, printed(book, on)) == []
