"""What the name of a note's file says: `DATE [TIME] KIND [SUBJECT]`, or for undated kinds `[KIND] NAME`."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Sequence
from datetime import date
from functools import cached_property
from typing import Any

from compiler.filenames import parted, untouched
from compiler.nearness import near
from compiler.nearness import plain as plain
from compiler.schema import Kind
from compiler.shape import Value, replace

KIND_KEY = "note"  # the field that says the kind, where the file name does not
GAP = r"[-_\s]"
DATED = re.compile(rf"(\d{{4}}){GAP}(\d{{1,2}}){GAP}(\d{{1,2}})(?={GAP}|$)", re.A)
YEAR_LAST = re.compile(rf"(\d{{1,2}})[-_.](\d{{1,2}})[-_.](\d{{4}})(?={GAP}|$)", re.A)
SHORT_YEAR = re.compile(rf"(\d{{1,2}})[-_.](\d{{1,2}})[-_.](\d{{2}})(?={GAP}|$)", re.A)  # `3-14-26`
YEARLESS = re.compile(rf"(\d{{1,2}})[-_.](\d{{1,2}})(?={GAP}|$)", re.A)  # `3-14`, in the folder of a year
YEAR_FOLDER = re.compile(r"(?:19|20)\d{2}", re.A)
CENTURY = "20"  # of a year in two figures
DATE_LIKE = re.compile(r"\d{1,6}[-_ ./]\d{1,2}[-_ ./]\d{1,4}|\d{8}(?!\d)", re.A)
_MONTH = (
    "(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|"
    "nov(?:ember)?|dec(?:ember)?)"
)
_YEAR = r"(?:[-_ .,]{0,2}(?:\d{4}|\d{2})(?!\d))?"
# `Mar 14`, `14 March 2026`, at the beginning of a name.
NAMED_MONTH = re.compile(
    rf"(?:(?P<month>{_MONTH})\.?[-_ ]?(?P<day>\d{{1,2}})(?:st|nd|rd|th)?"
    rf"|(?P<day_first>\d{{1,2}})(?:st|nd|rd|th)?[-_ ]?(?P<month_last>{_MONTH})\.?)"
    rf"(?:,?[-_ ](?P<year>(?:19|20)\d{{2}}))?(?={GAP}|$)",
    re.I | re.A,
)
MONTHS_IN_ORDER = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
# A day in whatever order, anywhere in a name.
DAY = re.compile(
    rf"""(?<![^\W_])(?:
    \d{{4,6}}[-_ .]\d{{1,2}}[-_ .]\d{{1,2}} | (?:19|20)\d{{6}}
    | \d{{1,2}}[-_.]\d{{1,2}}[-_.](?:\d{{4}}|\d{{2}}) | \d{{1,2}}[ ]\d{{1,2}}[ ]\d{{4}}
    | \d{{1,2}}(?:st|nd|rd|th)?[-_ .]{{0,2}}(?:of[ ])?{_MONTH}\.?{_YEAR}
    | {_MONTH}[-_ .]{{0,2}}\d{{1,2}}(?:st|nd|rd|th)?(?!\d){_YEAR}
    )(?![^\W_])""",
    re.I | re.A | re.X,
)
TIMED = re.compile(rf"(?:(\d{{1,2}})[:h.](\d{{2}})|(\d{{2}})(\d{{2}}))(?={GAP}|$)", re.A)
NOON_TIMED = re.compile(rf"(?:12 ?)?noon(?={GAP}|$)", re.I)
HALF_TIMED = re.compile(rf"(1[0-2]|0?[1-9])[:h.]?([0-5]\d)?([ap])m(?={GAP}|$)", re.A | re.I)  # `340am`
# What telephones, shared folders and desktops put behind the name of a file that they copy, or before it.
_COPY = "(?:copy|kopie|kopi|copie|copia|cópia)"
COPY = re.compile(
    rf"\s*\(\d+\)$|[ _-]+(?:{_COPY}|conflicted copy.*?)(?: ?\d+)?$"
    rf"|\s*\((?:{_COPY}(?: \d+)?|[^()]*conflicted copy[^()]*)\)$"
    rf"|\.sync-conflict-.*$|^{_COPY}(?: \(\d+\)| \d+)? (?:of|von|van|de) ",
    re.I,
)
LONG_WORD = re.compile(r"[^\W\d_]{5,}")
SECOND = re.compile(r"(?<=\w) [2-9]$", re.A)


class Name(Value):
    """The parts of a file name, as text; "" where there is none. `words` is the whole name without its ending.

    `date` is in ISO form, `time` as `03:40`. `copy_of` is the path without what a copier put behind the name, or "";
    `second_of` the path without a ` 2` at its end, which may mean a copy too. Of a name without a date in its place,
    `day` is what looks like one, `hint` the kind whose word stands somewhere in it, and `about` the words that remain.
    """

    date: str = ""
    time: str = ""
    kind: str = ""
    subject: str = ""
    words: str = ""
    copy_of: str = ""
    second_of: str = ""
    day: str = ""
    hint: str = ""
    about: str = ""

    @property
    def dated(self) -> bool:
        """Whether it begins with a date."""
        return bool(self.date)


class KindWords:
    """The words by which kinds are known; where two begin alike the longer one counts. `dates` is the order in which
    the settings say that days are typed, or "".
    """

    def __init__(self, kinds: Sequence[Kind[Any]], dates: str = "") -> None:
        """Names and aliases of all kinds; what a kind `says` by other words is no word of a file's name."""
        self.dates = dates
        self.by_word: dict[str, Kind[Any]] = {}
        for kind in kinds:
            for word in (kind.name, *kind.aliases):
                self.by_word[plain(word)] = kind
        self.by_typed = self.by_word | {plain(word): kind for kind in kinds for word in kind.says}
        longest_first = sorted(self.by_word, key=len, reverse=True)
        words = "|".join(rf"{GAP}+".join(map(re.escape, word.split())) for word in longest_first)
        self.pattern = re.compile(rf"({words or '(?!)'})(?:{GAP}+|$)", re.I)
        said = {plain(word): (word, kind) for kind in kinds if kind.dated for word in kind.says}
        self.said = {word: kind for word, (_, kind) in said.items()}
        spelt = "|".join(rf"{GAP}+".join(map(re.escape, word.split())) for word, _ in said.values())
        self.said_pattern = re.compile(rf"({spelt or '(?!)'})(?:{GAP}+|$)", re.I)
        self.anywhere = re.compile(rf"(?<![^\W_])({words or '(?!)'})(?![^\W_])", re.I)

    @cached_property
    def fields(self) -> frozenset[str]:
        """The names of all fields of all kinds, as they are looked up."""
        return frozenset(word for kind in self.by_word.values() for word in map(plain, kind.keys()))

    def find(self, typed: str) -> Kind[Any] | None:
        """The kind typed, without regard to case and blanks."""
        return self.by_typed.get(plain(typed))

    def leading(self, words: str) -> tuple[Kind[Any], str] | None:
        """The kind whose word begins a text, and the rest of the text."""
        match = self.pattern.match(words)
        if match is None and (match := self.said_pattern.match(words)):
            return self.said[plain(match[1])], words[match.end() :]
        return (self.by_word[plain(match[1])], words[match.end() :]) if match else None

    def alone(self, words: str) -> tuple[Kind[Any], str] | None:
        """The dated kind that is said by this word in a head, where a file's name has nothing else behind its day."""
        kind = self.find(words)
        return (kind, "") if kind and kind.dated else None

    def within(self, words: str) -> tuple[Kind[Any], str] | None:
        """The kind whose word stands anywhere in a text, and the rest of it; one that is dated and guarded first."""
        found = [(self.by_word[plain(match[1])], match.span()) for match in self.anywhere.finditer(words)]
        slips = () if found else LONG_WORD.finditer(words)
        found += [(kind, match.span()) for match in slips if (kind := self.slipped(match[0]))]
        if not found:
            return None
        kind, (start, end) = min(found, key=lambda item: (not item[0].guarded, not item[0].dated))
        return kind, f"{words[:start]} {words[end:]}"

    def slipped(self, word: str) -> Kind[Any] | None:
        """The guarded kind that a word names but for a slip."""
        guesses = near(word, (known for known, kind in self.by_word.items() if kind.guarded))
        return self.by_word[guesses[0]] if guesses else None


def read_name(path: str, kinds: KindWords) -> Name:
    """The parts of a note's file name."""
    folder, file = posixpath.split(path)
    stem, ending = parted(untouched(file))
    bare = uncopied(stem)
    found = replace(read_words(bare, kinds, year_of(folder)), words=bare)
    single = ending[: ending.find(".", 1)] if ending.count(".") > 1 else ending
    if bare + single != file:
        return replace(found, copy_of=posixpath.join(folder, bare + single))
    second = SECOND.sub("", bare) if found.subject.partition(" ")[2] or not found.date else bare
    return replace(found, second_of=posixpath.join(folder, second + ending)) if second != bare else found


def year_of(folder: str) -> str:
    """The year that the nearest folder is called by, or ""."""
    return next((part for part in reversed(folder.split("/")) if YEAR_FOLDER.fullmatch(part)), "")


def read_words(bare: str, kinds: KindWords, year: str = "") -> Name:
    """The parts of a name without its ending; `year` is that of its folder, or ""."""
    day, end = leading_day(bare, kinds.dates, year)
    if day:
        return behind_day(bare, day, end, kinds)
    day, end = yearless_day(bare, kinds.dates, year)
    found = behind_day(bare, day, end, kinds) if day else Name()
    return found if found.kind else undated(bare, kinds)


def behind_day(bare: str, day: str, end: int, kinds: KindWords) -> Name:
    """The parts of a name that begins with a day."""
    rest = bare[end:].lstrip(" _-")
    clock, end = leading_clock(rest)
    rest = rest[end:].lstrip(" _-")
    led = kinds.leading(rest) or kinds.alone(rest)
    return Name(
        day,
        clock,
        led[0].name if led else "",
        spaced(led[1] if led else rest, bare),
    )


def leading_day(bare: str, order: str, folder: str = "") -> tuple[str, int]:
    """The day that a name begins with, in ISO form, and where it ends: the year first, or last in the order that the
    settings name; "" for none. `folder` is the year that its folder is called by, or "".
    """
    if match := DATED.match(bare):
        return f"{match[1]}-{int(match[2]):02}-{int(match[3]):02}", match.end()
    match = (YEAR_LAST.match(bare) or SHORT_YEAR.match(bare)) if order else None
    if match is None:
        return "", 0
    if len(match[3]) > 2:
        return in_order(match, order, match[3])
    if begins_with_year(match, folder):
        return (year_first(match), match.end()) if folder else ("", 0)
    return in_order(match, order, CENTURY + match[3])


def begins_with_year(match: re.Match[str], folder: str) -> bool:
    """Whether the first of three short figures may be the year, as in `26-06-20`: the folder says so; or no folder says
    a year, and the last figure would make it an older day.
    """
    first, month, last = match.groups()
    if folder:
        return folder == CENTURY + first.zfill(2) and folder != CENTURY + last
    return int(first) > int(last) > 0 and int(month) <= len(MONTHS_IN_ORDER)


def year_first(match: re.Match[str]) -> str:
    """The day that three short figures say with the year first, in ISO form."""
    return f"{CENTURY}{int(match[1]):02}-{int(match[2]):02}-{int(match[3]):02}"


def in_order(match: re.Match[str], order: str, year: str) -> tuple[str, int]:
    """A month and a day in the order of the settings, in ISO form, and where they end; "" where that is no month."""
    month, day = (match[1], match[2]) if order == "month-day" else (match[2], match[1])
    return (f"{year}-{int(month):02}-{int(day):02}", match.end()) if 1 <= int(month) <= 12 else ("", 0)


def yearless_day(bare: str, order: str, year: str) -> tuple[str, int]:
    """A day that has its month in letters, or its year from the folder; only a kind behind it makes it one."""
    if match := NAMED_MONTH.match(bare):
        month = MONTHS_IN_ORDER.index((match["month"] or match["month_last"])[:3].lower()) + 1
        year = match["year"] or year
        return (f"{year}-{month:02}-{int(match['day'] or match['day_first']):02}", match.end()) if year else ("", 0)
    match = YEARLESS.match(bare) if order and year else None
    return in_order(match, order, year) if match else ("", 0)


def day_begun(path: str, order: str) -> str:
    """The day without its year that a file's name begins with, in ISO form and in the year of its folder; "" for none.
    Whether it is one only she can say: `2-3 loads moved` begins alike.
    """
    folder, file = posixpath.split(path)
    bare = parted(file)[0]
    short = SHORT_YEAR.match(bare)
    if leading_day(bare, order, year_of(folder))[0]:
        return ""
    day = year_first(short) if short and order else yearless_day(bare, order, year_of(folder))[0]
    try:
        return date.fromisoformat(day).isoformat()
    except ValueError:
        return ""


def leading_clock(rest: str) -> tuple[str, int]:
    """The time of day that a text begins with, as `03:40`, and where it ends; "" for none."""
    if match := TIMED.match(rest):
        return f"{int(match[1] or match[3]):02}:{match[2] or match[4]}", match.end()
    if match := NOON_TIMED.match(rest):
        return "12:00", match.end()
    match = HALF_TIMED.match(rest)
    if match is None:
        return "", 0
    return f"{int(match[1]) % 12 + (12 if match[3] in 'pP' else 0):02}:{match[2] or '00'}", match.end()


def undated(bare: str, kinds: KindWords) -> Name:
    """The parts of a name that does not begin with a date: that of a thing, or of a note named in another way."""
    led = kinds.leading(bare)
    kind, rest = (led[0].name, led[1]) if led and not led[0].dated else ("", bare)
    day = DAY.search(bare)
    others = f"{bare[: day.start()]} {bare[day.end() :]}" if day else bare
    within = kinds.within(others)
    about = (within[1] if within else others) if day or (led and led[0].dated) else rest
    hint = within[0].name if within else ""
    return Name("", "", kind, spaced(rest, bare), day=day[0] if day else "", hint=hint, about=spaced(about, bare))


def uncopied(stem: str) -> str:
    """A file name's stem without the signs of having been copied, of which there may be several."""
    bare = COPY.sub("", stem)
    while bare != stem:
        stem, bare = bare, COPY.sub("", bare)
    return bare


def spaced(subject: str, whole: str) -> str:
    """A subject with blanks between its words, whichever sign the name as a whole separates its words with.

    A hyphen in a name that has blanks (or underscores) stays, because it belongs to a tag or a range.
    """
    if " " not in whole:
        subject = subject.replace("_", " ") if "_" in whole else subject.replace("-", " ")
    return " ".join(subject.split()).strip(" _-")


def named_parts(name: Name) -> tuple[tuple[str, str], ...]:
    """What a file name says, also where it does not say it in order."""
    kind, subject = name.kind or name.hint, name.subject if name.date else name.about
    return ("date", name.date or name.day), ("time", name.time), ("kind", kind), ("subject", subject)
