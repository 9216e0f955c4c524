"""A longer waiting than the label's that only the words of a treatment tell of: `Vet says 56 days this time.` (V11)."""

from __future__ import annotations

import re
from collections.abc import Iterable

from compiler.nearness import clipped
from flockbook.whom.course_words import either
from flockbook.whom.numbers_said import NUMBER_WORDS

_MONTH_NAME = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*"
_SOLD = r"(?:go|sold|sell|sale|killed|slaughter\w*|butcher\w*|abattoir|mart|market|eat\w*|the pot|freezer)"
# Waits of a length in words alone, or up to a day.
WITHOUT_DAYS = either(
    r"\b(?:double|twice|longer|extra|extended|treble)\b[^.]{0,20}\b(?:withdrawal|wait\w*|time|period)\b",
    rf"\b(?:not|no|never|don't|can't|mustn't)\b[^.]{{0,25}}\b{_SOLD}\b[^.]{{0,25}}"
    r"\b(?:before|until|till|til|for|this side)\b",
    rf"\bnot (?:before|until|till) (?:\d|{_MONTH_NAME})",
    rf"\b(?:hold|held|keep|kept)\b[^.]{{0,25}}\b(?:before|until|till|til)\b[^.]{{0,12}}(?:\d|{_MONTH_NAME})",
)
OF_A_WAIT = either(
    r"\b(?:meat|milk|withdraw\w*|withhold\w*|label|wait\w*|vet says|vet said|vet(?=:)|w/?d|whp|wdp|mwp)\b",
    rf"\b(?:hold|keep|before|until)\b[^.]*\b(?:her|him|them|back|{_SOLD})\b|\bhold\b",
    rf"\b(?:not|no|never|don't|can't|mustn't|nothing)\b[^.]*\b{_SOLD}\b",
    r"^\W*\d+ ?(?:days?|weeks?|d)\W*$",
)
LENGTH = re.compile(rf"\b(\d{{1,3}}|{'|'.join(NUMBER_WORDS)}|an?) ?(d|days?|h|hours?|hrs?|wks?|weeks?|months?)\b", re.I)
SENTENCE_OF_MEDICINE = re.compile(r"[^.!?\n]+")
BARE_LENGTH = re.compile(  # days without the word: `withdrawal 56`, `WHP 56`
    r"\b(?:meat|milk|withdraw\w*(?: [a-z]+){0,3}?|w/?d|whp|wdp|mwp) ?[:=]? ?(\d{1,3})\b"
    r"(?! ?(?:kg|lb|ml|mls|%|d\b|days?|h\b|hours?|hrs?|w|m|[./:]\d))",
    re.I,
)
IN_DAYS = {"d": 1.0, "h": 1 / 24, "w": 7.0, "m": 28.0}  # a month at its shortest


def wait_in_words(texts: Iterable[str], longest: float) -> str:
    """A sentence that tells of a longer waiting than so many days, or of one whose length it does not say; "" for
    none.
    """
    for text in texts:
        for sentence in SENTENCE_OF_MEDICINE.findall(text):
            days = lengths_told(sentence)
            longer = said_of_a_wait(sentence) and any(day > longest for day in days)
            if longer or (WITHOUT_DAYS.search(sentence) and not days):
                return clipped(sentence.strip())
    return ""


def lengths_told(sentence: str) -> list[float]:
    """The lengths_told of time that a sentence tells, in days; a bare figure behind words of a wait counts days."""
    told = [in_figures(number) * IN_DAYS[unit[0].lower()] for number, unit in LENGTH.findall(sentence)]
    return told + [float(number) for number in BARE_LENGTH.findall(sentence)]


def in_figures(word: str) -> int:
    """A number in figures or letters; `a month` is one."""
    return int(word) if word.isdigit() else NUMBER_WORDS.get(word.lower(), 1)


def said_of_a_wait(sentence: str) -> bool:
    """Whether a sentence, or a clause of it that is nothing but a length, speaks of a wait: `neck, 56 d`."""
    return any(OF_A_WAIT.search(text) for text in (sentence, *sentence.split(",")))
