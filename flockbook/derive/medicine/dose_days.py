"""Days of a medicine that look like a slip, so that nobody knows from when to count (V9)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from flockbook.derive.medicine.hold_reasons import (
    Early,
    FinishedBefore,
    FinishedShort,
    Further,
    InLaterYear,
    LongBeforeNote,
    LongBeforeYear,
    MoreDaysTold,
    NoteAheadOfDoses,
    ToldInWords,
)
from flockbook.derive.plain.because import Reason
from flockbook.records.health import Treatment
from flockbook.whom.course_words import ONE_SENTENCE, WEEKDAY, WEEKDAY_WORDS, tells_of_a_course
from flockbook.whom.days import days_told
from flockbook.whom.dosing_words import HANDED
from flockbook.whom.measures import DOSE, WHEN
from flockbook.whom.numbers_said import NUMBER_WORDS
from flockbook.whom.reader import WORDS_IN, words_of
from flockbook.whom.treatments import YEAR_FOLDER

LONG_BEFORE_DAYS = 60  # days before its note from which a dose is taken for a slip (our own choice)
DOSE_AGAIN = re.compile(
    r"\b(?:again|repeat(?:ed|s)?|same|second|2nd|third|3rd|another|further|more|twice"
    r"|other half|topped|top-?up|finished|till|until|then)\b",
    re.I,
)
LATER_DAY_WORDS = re.compile(
    r"\b(?:mon|tues|wednes|thurs|fri|satur|sun)day\b|\bweekend\b|\b(?:yesterday|tomorrow)\b"
    r"|\bnext (?:day|morning|evening|week)\b"
    r"|\b(?:next|for|another|over|more) (?:\d|two|three|four|five|six|seven) (?:more )?(?:days|nights)\b|\btwice\b"
    r"|\b(?:\d|two|three|four|five|six|seven) (?:days?|nights?|hours?|h) (?:later|after|on)\b"
    r"|\bin a (?:week|fortnight|month)\b|\ba (?:week|fortnight|month) (?:on|later|after)\b"
    r"|\b(?:\d|two|three|four|five|six|seven) (?:more )?(?:more days|times|doses|mornings|evenings)\b",
    re.I,
)
_MANY = r"(\d{1,2}|two|three|four|five|six|seven)"
_LONG = "([3-9]|three|four|five|six|seven)"  # two doses weeks apart are how vaccines are given
RUN = re.compile(
    rf"\b(?:for|over|course of|x)\s*{_MANY}(?: more)? ?(?:days|d)\b"
    rf"|\b{_MANY} days (?:running|in a row)\b|^{_MANY} days?\.?$|\bday \d+ of {_MANY}\b|\b{_MANY} days\.?$"
    rf"|\b{_MANY} ?-?days? course\b|\b(?:\d|one|first|1st) of {_LONG}\b"
    r"(?! (?:the|lambs|ewes|sheep|twins|them))"
    rf"|\bcourse of {_MANY}\b|^{_MANY} doses?\.?$",
    re.I,
)
DAILY = re.compile(
    r"\b(?:daily|every (?:other |second )?day|each day|twice a day|once a day|until (?:better|well|clear))\b"
    r"|\bfollowed (?:it |her |them )?up\b|\bevery \d+ ?(?:h|hours?|d|days?)\b|\bday (?:1|one)\b|\bdose 1 of\b"
    r"|\b\d+ ?(?:h|hours|days) later\b|\bgave the (?:second|other)\b"
    r"|\b(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*(?:, | and | & |/)(?:mon|tue|wed|thu|fri|sat|sun)"
    r"|\bnext day too\b|\brepeated\b|\brepeat in \d+ ?(?:h|hours?|d|days?)\b"
    r"|\bbi?d\b|\bx ?2\b|\b[2-9]d\b|\bcourse (?:done|finished) on\b|\bwent on with it\b",
    re.I,
)
NAMES_AND_NUMBERS = ("vet", "batch")  # names and numbers, unless more is said there
# A day beside these is that of a paper or of the bottle: `letter of 6 Jul`, `exp 30 Jun`.
OF_PAPERS = re.compile(
    r"\b(?:exp\w*|use[- ]by|best before|letters?|scripts?|prescri\w+|invoices?|bills?|bought|opened|visit\w*|phone\w*"
    r"|e-?mails?|called|spoke|advice|advised|cascade|seen)\b[^,;]*",
    re.I,
)
ALSO_ON = re.compile(
    r"\b(?:and|also|rest|more) (?:\w+ )?(?:on )?(?:the )?\d{1,2}(?:st|nd|rd|th)\b"
    r"|\b(?:mon|tues|wednes|thurs|fri|satur|sun)day (?:as well|too|also)\b|\b(?:and|also) (?:on )?"
    r"(?:mon|tues|wednes|thurs|fri|satur|sun)day\b",
    re.I,
)
EVENING = re.compile(  # later on the day of a dose that is timed before the afternoon
    r"\b(?:gave|given|did|done|dosed|drenched|wormed|injected|jabbed|treated) (?:\w+ ){0,3}"
    r"(?:in the evening|this evening|tonight|last thing|at night|after dark)\b",
    re.I,
)
AFTERNOON = 15  # o'clock
ONLY_A_DAY = re.compile(rf"\s*{WEEKDAY}\W*$", re.I)
ON_THE = re.compile(r"\b(?:on|actually|it was|not) (?:\w+ )?(?:the )?(\d{1,2})(?:st|nd|rd|th)\b", re.I)
BARE_DAYS = re.compile(r"\b\d{1,2}(?:st|nd|rd|th)?\b(?! ?[\w/.:]?(?:ml|kg|cc|mg|lb|%|\d))", re.I)


def slip_of_days(event: Treatment, clock: date) -> Reason | None:
    """Why the days of a treatment cannot be trusted; None where they can."""
    return next(slips(event, clock), None)


def further_dose(event: Treatment) -> Reason | None:
    """What the words of a treatment tell of doses that it does not write as given; None where they tell of none."""
    days = [when.date for when in event.doses]
    return next(told_doses(event, days), None) if event.days is None else None


def slips(event: Treatment, clock: date) -> Iterator[Reason]:
    """Every slip of days."""
    days = [when.date for when in event.doses]
    if event.date is not None and event.date > clock and any(day <= clock for day in days):
        yield NoteAheadOfDoses(event.date)
    if days:
        yield from early_doses(event, min(days))
    yield from course_doubts(event)
    if event.days is None:
        yield from told_doses(event, days)


def early_doses(event: Treatment, first: date) -> Iterator[Reason]:
    """A dose long before its note, or before the year of the folder that the note lies in."""
    if event.date is not None and (event.date - first).days > LONG_BEFORE_DAYS:
        yield LongBeforeNote(first, event.date)
    year = YEAR_FOLDER.search(event.origin.path)
    if year is None:
        return
    if first < date(int(year[1]), 1, 1) - timedelta(days=LONG_BEFORE_DAYS):
        yield LongBeforeYear(first)
    elif event.date is not None and event.date.year < int(year[1]):
        yield InLaterYear(event.date, int(year[1]))


def course_doubts(event: Treatment) -> Iterator[Reason]:
    """A course that ends before it begins, or before its days are full."""
    if event.finished is None:
        return
    given = [when.date for when in event.given]
    starts = given or ([event.date] if event.date else [])
    if given and event.finished.date < max(given):
        yield FinishedBefore(event.finished.date, Early.LAST_DOSE)
    elif starts and event.finished.date < min(starts):
        yield FinishedBefore(event.finished.date, Early.NOTE)
    elif starts and event.days and (event.finished.date - min(starts)).days + 1 < event.days:
        yield FinishedShort(event.days)


# Further doses that only the words tell of


def told_doses(event: Treatment, days: list[date]) -> Iterator[Reason]:
    """A later day in its words, a course of more days than are written, or “again” with a day, a dose or a number."""
    if not days:
        return
    for text in treatment_texts(event):
        if any(later_day(day, max(days)) for day in days_told(text, (event.date or days[0]).year)):
            yield ToldInWords(Further.LATER_DAY)
        if ONLY_A_DAY.match(text) and text.strip()[:3].lower() not in {f"{day:%a}".lower() for day in days}:
            yield ToldInWords(Further.OTHER_DAY)
        if len({word[:3].lower() for word in WEEKDAY_WORDS.findall(text)}) > 1 and DOSE.search(text):
            yield ToldInWords(Further.WEEKDAYS)
        run = max((days_said(match) for match in RUN.finditer(text)), default=0)
        if run > len(set(days)) and run > (max(days) - min(days)).days + 1:
            yield MoreDaysTold(run, len(set(days)))
        if len(set(days)) == 1 and (DAILY.search(text) or ALSO_ON.search(text)):
            yield ToldInWords(Further.DAYS)
        if any(other_day(match, days) for match in ON_THE.finditer(text)):
            yield ToldInWords(Further.OTHER_DAY)
        if len(set(days)) == 1 and tells_of_a_course(text, days):
            yield ToldInWords(Further.DAYS)
        if EVENING.search(text) and any(when.time and when.time.hour < AFTERNOON for when in event.doses):
            yield ToldInWords(Further.DOSE)
        if any(again(sentence[0], days) for sentence in ONE_SENTENCE.finditer(text)):
            yield ToldInWords(Further.DOSE)


def treatment_texts(event: Treatment) -> Iterator[str]:
    """Everything in words that a treatment says."""
    yield from (cell.text for cell in event.origin.rest)
    yield from (line.text or line.remark for line in event.lines)
    yield from (cell.text for cell in event.origin.data)
    yield event.subject or ""
    for name in WORDS_IN:
        text = words_of(event, name)
        bare = name in NAMES_AND_NUMBERS and not HANDED.search(text) and not ON_THE.search(text)
        yield said_beside(text) if bare else text


def said_beside(text: str) -> str:
    """What a field for a name or a number says beyond it: nothing in one word alone, nor of a letter or a bottle."""
    return OF_PAPERS.sub(" ", text) if len(text.split()) > 1 else ""


def later_day(day: date, last: date) -> bool:
    """Whether a day in words lies behind the last dose and yet near enough to be one."""
    return last < day <= last + timedelta(days=LONG_BEFORE_DAYS)


def other_day(match: re.Match[str], days: list[date]) -> bool:
    """Whether `on the 5th` is none of the days of the doses."""
    return int(match[1]) not in {day.day for day in days}


def days_said(match: re.Match[str]) -> int:
    """How many days a text says."""
    word = next(group for group in match.groups() if group).lower()
    return NUMBER_WORDS.get(word) or int(word)


def again(sentence: str, days: list[date]) -> bool:
    """Whether a sentence says “again” or the like with a dose, some days, or bare numbers that are none of the
    doses'.
    """
    if not DOSE_AGAIN.search(sentence) or len(set(days)) > 1:
        return False
    if LATER_DAY_WORDS.search(sentence) or DOSE.search(sentence):
        return True
    bare = [int(re.sub(r"\D", "", word)) for word in BARE_DAYS.findall(WHEN.sub(" ", sentence))]
    return any(1 <= figure <= 31 and figure not in {day.day for day in days} for figure in bare)
