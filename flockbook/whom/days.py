"""The days that a text names, as shepherds write them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from compiler.dates import MONTH_OF
from compiler.nearness import near
from flockbook.whom.measures import WHEN
from flockbook.whom.numbers_said import NUMBER_WORDS

ANY_DIGIT = re.compile(r"\d")
ISO = re.compile(r"(?<!\d)(\d{4})-(\d{1,2})-(\d{1,2})(?!\d)")
DOTTED = re.compile(r"(?<![\d/.])(\d{1,2})\.(\d{1,2})\.(?!\d)")  # `4.6.`
RANGE_END = re.compile(r"\s*(?:[-–,&+]|to|and)\s*(\d{1,2})(?:st|nd|rd|th)?(?![\w/.:-])")
FULL_DAY = re.compile(r"(?<![\d/.-])(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})(?!\d)")  # `08/06/26`
OF_A_YEAR = re.compile(
    r"\b(?:in|during|back in)(?: (?:early|late|mid|the (?:spring|summer|autumn|fall|winter) of))?"
    r" (?:(?P<month>[a-z]{3,9})\.? )?(?P<year>20\d\d)(?![\d/-])",
    re.I,
)
DAYS_IN_SHORT = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
NAMED_DAY = re.compile(r"\b(mon|tue|wed|thu|fri|sat|sun)(?:s|nes|rs?|ur)?(?:day)?\b", re.I)
AGO = re.compile(r"\b(\d{1,2}|an?|one|two|three|four|five|six|seven|few|couple of|last) (day|week)s?\b", re.I)
DAY_BESIDE = re.compile(
    r"\b(?:yesterday|last night|(?:day|night|evening) before"
    r"|(?P<next>tomorrow|(?:day|morning) after|next (?:day|morning)))\b",
    re.I,
)
WRITTEN_LATE = re.compile(
    r"\b(?:late|belated\w*|written up|wrote (?:it |this )?up|catching up|from memory|last week|weekend)\b", re.I
)
A_FEW = 4  # days that `a few days ago` may mean (our own choice)
DAY_AT_START = re.compile(r"(\d{1,2})/(\d{1,2})(?:: *| +)(?=[^\W\d_])", re.A)
LINE_MARKS = " \t-*•+>"
LONGEST_MONTH = 31
SLASHED = re.compile(r"(?<![\d/.])(\d{1,2})[/.](\d{1,2})(?![\d/]|\.\d|\s*(?:ml|kg|cc|lb))")


def days_in(text: str) -> Iterator[date]:
    """The ISO days in a text."""
    for year, month, day in ISO.findall(text):
        yield from made(int(year), int(month), int(day))


def days_told(text: str, year: int) -> Iterator[date]:
    """Every day that a text names; those without a year in this year, and `4/6` in either order."""
    if not ANY_DIGIT.search(text):
        return
    yield from days_in(text)
    for match in WHEN.finditer(text):
        words = [word[:3].lower() for word in re.findall(r"[A-Za-z]{3,}", match[0])]
        whole = [word.lower() for word in re.findall(r"[A-Za-z]{3,}", match[0])]
        month = next((MONTH_OF[word] for word, full in zip(words, whole, strict=True) if names_a_month(word, full)), 0)
        figures = [int(word) for word in re.findall(r"\d+", match[0])]
        if month and figures and figures[0] <= 31:
            told = figures[1] if len(figures) > 1 and figures[1] > 999 else year
            yield from made(told, month, figures[0])
            yield from last_of_range(text[match.end() :], told, month)
    for match in FULL_DAY.finditer(text):
        told = int(match[4]) % 100 + 2000
        yield from made(told, int(match[3]), int(match[1]))
        yield from made(told, int(match[1]), int(match[3]))
    for match in (*SLASHED.finditer(text), *DOTTED.finditer(text)):
        yield from made(year, int(match[2]), int(match[1]))
        yield from made(year, int(match[1]), int(match[2]))


def days_near(text: str, day: date) -> Iterator[date]:
    """The days about a day that a text means by a weekday or by how long ago, either side where it does not say:
    `Two days ago.`, `Done on Sunday really.`; a week and a day before it where only “late” is said.
    """
    for match in AGO.finditer(text):
        count = NUMBER_WORDS.get(match[1].lower()) or (int(match[1]) if match[1].isdigit() else A_FEW)
        yield day - timedelta(days=count * (7 if match[2].lower() == "week" else 1))
    for match in NAMED_DAY.finditer(text):
        behind = (day.weekday() - DAYS_IN_SHORT.index(match[1].lower())) % 7
        if behind:
            yield from (day - timedelta(days=behind), day + timedelta(days=7 - behind))
    if beside := DAY_BESIDE.search(text):
        yield day + timedelta(days=1 if beside["next"] else -1)
    if WRITTEN_LATE.search(text):
        yield day - timedelta(days=8)


def day_at_start(text: str, place: int) -> re.Match[str] | None:
    """`2/6 Teasel`: two figures that can be a day and its month, with which a line begins, before a word."""
    match = DAY_AT_START.match(text, place) if not text[:place].strip(LINE_MARKS) else None
    if match is None:
        return None
    one, other = sorted((int(match[1]), int(match[2])))
    return match if 0 < one <= len(set(MONTH_OF.values())) and other <= LONGEST_MONTH else None


def months_told(text: str) -> Iterator[date]:
    """The last day of every month or year that a text names as such: `in May 2025`, `in 2024`."""
    for match in OF_A_YEAR.finditer(text):
        place = MONTH_OF.get((match["month"] or "dec").lower())
        if place:
            yield date(int(match["year"]) + place // 12, place % 12 + 1, 1) - timedelta(days=1)


def names_a_month(start: str, word: str) -> bool:
    """Whether a word that begins like a month's name is one, but for a slip: `Juniper` is none."""
    full = next((name for name, place in MONTH_OF.items() if len(name) > 4 and place == MONTH_OF.get(start)), start)
    return start in MONTH_OF and (full.startswith(word) or bool(near(word, (full, start), slips=2)))


def last_of_range(behind: str, year: int, month: int) -> Iterator[date]:
    """`June 2-4`: the last of some days behind the month."""
    if match := RANGE_END.match(behind):
        yield from made(year, month, int(match[1]))


def made(year: int, month: int, day: int) -> Iterator[date]:
    """A day, if there is such a day."""
    try:
        yield date(year, month, day)
    except ValueError:
        return
