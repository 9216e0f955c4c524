"""The days that a text names, as shepherds write them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from compiler.dates import MONTH_OF
from compiler.nearness import near
from flockbook.whom.measures import WHEN

ISO = re.compile(r"(?<!\d)(\d{4})-(\d{1,2})-(\d{1,2})(?!\d)")
DOTTED = re.compile(r"(?<![\d/.])(\d{1,2})\.(\d{1,2})\.(?!\d)")  # `4.6.`
RANGE_END = re.compile(r"\s*(?:[-–,&+]|to|and)\s*(\d{1,2})(?:st|nd|rd|th)?(?![\w/.:-])")
FULL_DAY = re.compile(r"(?<![\d/.-])(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})(?!\d)")  # `08/06/26`
OF_A_YEAR = re.compile(
    r"\b(?:in|during|back in)(?: (?:early|late|mid|the (?:spring|summer|autumn|fall|winter) of))?"
    r" (?:(?P<month>[a-z]{3,9})\.? )?(?P<year>20\d\d)(?![\d/-])",
    re.I,
)
SLASHED = re.compile(r"(?<![\d/.])(\d{1,2})[/.](\d{1,2})(?![\d/]|\.\d|\s*(?:ml|kg|cc|lb))")


def days_in(text: str) -> Iterator[date]:
    """The ISO days in a text."""
    for year, month, day in ISO.findall(text):
        yield from made(int(year), int(month), int(day))


def days_told(text: str, year: int) -> Iterator[date]:
    """Every day that a text names; those without a year in this year, and `4/6` in either order."""
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
