"""Two whole books, each at six moments, searched from end to end: to a flock in American words no British word, order
of days, clock or law is said, and the reverse.

Larkspur Bottom (`tests/flocks/larkspur`) is a year of notes as a shepherd in the warm south of the United States would
type them, all invented; Corrie Hask is the demo. Which word is whose is general usage in extension writing on either
side, from memory. What stays is listed, each with its reason, and must still be there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from compiler.build import build
from compiler.report import full
from compiler.shape import Value
from flockbook.book import BOOK
from flockbook.cli.main import main
from tests.flockbook.small import moment

ROOT = Path(__file__).parents[2]
UNSEEN = re.compile(r"<(?:script|style)\b.*?</(?:script|style)>", re.S)
SPOKEN_OF = re.compile(r'\b(?:title|alt|aria-label|placeholder)="([^"]*)"')
APART = re.compile(r"<(?!/?(?:b|i|em|strong|a|span|abbr|time|code)\b)[^>]+>")
MONTH = "(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)(?:[a-z]+)?"
BRITISH_WORDS = (
    r"gimmers?|hoggs?|hoggets?|tups?|tupped|tupping|tegs?|theaves?|shearlings?|wedders?|marts?|hauliers?|haulage|"
    r"ring(?:s|ing)? (?:the|your|at once|sooner)\b|raddled?|in-bye|dagging|crutching|cake|colour\w*|grey|labours?|"
    r"neighbour\w*|favour\w*|behaviour|vigour|centre|litres?|metres?|licence|anaesthetic|anaemi\w*|faec\w*|diarrhoea|"
    r"(?!(?:raised|advised|revised|promised|exercised|surprised)\b)\w+(?:ised|isation|ysed)|"
    r"fortnight\w*|autumn|whilst|served|barren|joinings?|put to (?:a|the) (?:ram|tup)|jabs?|dung|"
    r"tick(?:s|ed) (?:it )?off|post-mortem|orf|twin-lamb disease|pet lambs?|suck(?:s|ed|ing)?|nought|holding register|"
    r"scour|shed|wormers?|telephone|lorry|knackers?|fallen stock"
)
AMERICAN_WORDS = (
    r"auctions?|haulers?|hauling|colors?|colored|gray|neighbors?|labor|centers?|vigor|favors?|"
    r"behavior|yearlings?|feeders?|bummers?|jugs?|dewormers?|manure|necropsy|soremouth|toxemia|diarrhea|"
    r"fecal|anemi[ac]|estrus|edema|liters?|call the vet by|checks (?:it )?off|checked off"
)
BRITISH_LAW = (
    r"gov\.(?:uk|wales|scot)|England|Wales|Scotland|Scottish|Britain|British|\(E[CU]\)|EC 1/2005|European|\bUK\b|"
    r"\bGB\b|SI (?:19|20)\d\d/|GBP|£|Europe/London"
)
AMERICAN_LAW = r"\bCFR\b|USDA|APHIS|scrapie|United States|\bUSA?\b|\bUSD\b|\$|America/"


class Flock(Value):
    """A flock's folder, the moments at which its book is made, what must not be in it, and what may.

    `typed` finds the lines of the inbox, as they are typed.
    """

    notes: Path
    moments: tuple[str, ...]
    wrong: Mapping[str, str]
    stays: Mapping[str, str]
    typed: str = r"(?!)"


LARKSPUR = Flock(
    ROOT / "tests" / "flocks" / "larkspur",
    ("2025-09-20", "2026-02-14T03:00", "2026-03-16T09:30", "2026-06-21", "2026-08-10", "2026-11-20"),
    {
        "word": rf"(?i)(?<![\w/])(?:{BRITISH_WORDS})\b", "day": rf"\b\d{{1,2}}[ \u00a0]{MONTH}\b(?! \d{{1,2}}, )",
        "clock": r"(?<![\d:-])(?:[01]?\d|2[0-3]):[0-5]\d(?![:\d])(?!\s?[ap]\.m)", "law": BRITISH_LAW,
        "two stops": r"[ap]\.m\.\.",
    },
    {
        "scour worms": "the name of a group of worms, in the table of a publisher that calls them so",
        "Scotland's Farm Advisory Service": "who published a figure in use, and no law",
        "Farm Advisory Service, Scotland": "the same",
        "Farmers Weekly (UK)": "who published a limit, and no law",
        "vigour 4": "how a lamb line is typed",
    },
    # a line of the inbox as it is typed: the day and the hour as in the names of files, and the book's own word
    typed=r"\b\d{4}-\d\d-\d\d \d\d:\d\d [^|]*",
)  # fmt: skip
CORRIE_HASK = Flock(
    ROOT / "site_demo",
    ("2025-11-20", "2026-02-10", "2026-04-19T03:20", "2026-06-10", "2026-08-15T09:30", "2026-11-25"),
    {
        "word": rf"(?i)(?<![\w/])(?:{AMERICAN_WORDS})\b", "day": rf"\b{MONTH}[ \u00a0]\d{{1,2}}\b(?![\d:])",
        "clock": r"(?i)\b\d{1,2}(?:[:.]\d\d)?\s?[ap]\.?m\b", "law": AMERICAN_LAW,
    },
    {
        "round bales stand without a feeder": "what bales stand in, and no lamb",
        "a published share, of United States flocks in 2011, is 14 in a hundred": "whose flocks a figure is of, no law",
    },
)  # fmt: skip
FLOCKS = {"Larkspur Bottom": LARKSPUR, "Corrie Hask": CORRIE_HASK}


@cache
def seen_of(flock: str, on: str, place: Path) -> tuple[tuple[str, str], ...]:
    """Everything that a reader of this flock sees at a moment, by where: pages, messages, commands and calendar."""
    of = FLOCKS[flock]
    made = build(of.notes, BOOK, moment(on), place / "book", cache=place / "cache")
    pages = sorted((place / "book").rglob("*.html"))
    found = [(page.name, visible(page.read_text(encoding="utf-8"))) for page in pages]
    return (*found, ("messages", full(made.told, lambda _: "", False)), *commands(of, on))


def visible(html: str) -> str:
    """The words of a page, those that are only spoken too; what stands in one line stays together."""
    bare = UNSEEN.sub(" ", html)
    words = re.sub(r"<[^>]+>", "", APART.sub(" | ", bare))
    return re.sub(r"[^\S\u00a0]+", " ", unescape(" | ".join((words, *SPOKEN_OF.findall(bare)))))


def commands(flock: Flock, on: str) -> Iterator[tuple[str, str]]:
    """What the commands print."""
    for words in ("due", "clear", "handover calendar"):
        printed = CliRunner().invoke(main, [*words.split(), str(flock.notes), "--on", on]).output
        yield words, re.sub(r"\r?\n[ \t]", "", printed) if "calendar" in words else printed


def leaks(flock: Flock, text: str) -> Iterator[str]:
    """Whatever of the other country stands in a text, with what is around it."""
    for stays in flock.stays:
        text = text.replace(stays, "")
    text = re.sub(flock.typed, "", text)
    for sort, pattern in flock.wrong.items():
        for match in re.finditer(pattern, text):
            yield f"{sort} {match[0]!r}: {text[max(0, match.start() - 50) : match.end() + 40]}"


@pytest.mark.parametrize(("name", "on"), [(name, on) for name, flock in FLOCKS.items() for on in flock.moments])
def test_nothing_of_the_other_country(name: str, on: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    """No word, order of days, clock or law of the other country, in no place that she reads."""
    told = seen_of(name, on, tmp_path_factory.mktemp("home"))
    found = [f"{where}: {leak}" for where, text in told for leak in leaks(FLOCKS[name], text)]
    assert found == []


def test_what_is_searched_for_is_found() -> None:
    """Each pattern finds a planted leak, so that the search above can fail."""
    planted = {
        "word": "put to the ram", "day": "on 9 Mar 2026", "clock": "by 15:40", "law": "gov.uk", "two stops": "a.m..",
    }  # fmt: skip
    for sort, text in planted.items():
        assert any(leak.startswith(sort) for leak in leaks(LARKSPUR, text)), sort
    for sort, text in {"word": "yearling", "day": "Mar 9, 2026", "clock": "3:40 a.m.", "law": "9 CFR"}.items():
        assert any(leak.startswith(sort) for leak in leaks(CORRIE_HASK, text)), sort
    assert list(leaks(LARKSPUR, "Mar 9, 2026, 3:40\u00a0a.m. yearling ewe, auction, 9 CFR part 79")) == []


def test_plain_wording_gives_no_error() -> None:
    """Some 85 notes of a year in American wording: no error, and nothing that is only asked because of its words."""
    assert sum(1 for _ in LARKSPUR.notes.rglob("*.md")) > 80
    for on in LARKSPUR.moments:
        printed = CliRunner().invoke(main, ["proof", str(LARKSPUR.notes), "--on", on, "--format", "short"]).output
        assert not re.search(r" (?:error|ask|warning)\[", printed), printed
