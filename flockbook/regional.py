"""The words that differ between countries, each once: as the book's own sentences have them, and as they are said to a
flock with `words: us`.

`local` takes a text of the program's own and gives it in the flock's words, its days and hours in her order too. What
she typed never goes through it: her own words, names and notes are printed as they stand.
General usage in extension writing on either side, from memory.
"""

from __future__ import annotations

import re
from datetime import date, time
from functools import cache
from typing import TypeVar, cast

from compiler.describe import KindReference
from compiler.shape import Value, field_names, replace
from flockbook.manner import LONG_MONTHS, MONTHS, US, Manner, clock_words, day_words, in_manner, manner, short_day_words

Spoken = TypeVar("Spoken")

# As the book writes it → as it is said in the United States; the longer phrase counts before the shorter.
AMERICAN_WORDS = {
    "gimmer": "yearling ewe", "gimmers": "yearling ewes",
    "gimmer hogg": "yearling ewe", "hogg": "yearling", "hoggs": "yearlings",
    "hogget": "yearling", "hoggets": "yearlings",
    "shearling": "yearling", "shearlings": "yearlings",
    "tup": "ram", "tups": "rams", "tupped": "bred", "tupping": "breeding",
    "put to a ram": "exposed to a ram", "put to the ram": "exposed to the ram", "ram put to ewes": "ram put with ewes",
    "put to the tup": "exposed to the ram", "bred from": "bred", "served": "bred",
    "joining": "breeding", "joinings": "breedings", "joined": "exposed", "pre-joining": "pre-breeding",
    "slaughter, breeding, store or private": "slaughter, breeding, feeder or private",
    "slaughter, breeding, store, private": "slaughter, breeding, feeder, private",
    "barren": "open", "barren years": "open years",
    "mart": "auction", "haulier": "hauler", "hauliers": "haulers", "haulage": "hauling",
    "store lambs": "feeder lambs",
    "ring the vet": "call the vet", "ring your vet": "call your vet", "rings the vet": "calls the vet",
    "ring the shepherd": "call the shepherd", "ring at once": "call at once",
    "ring sooner": "call sooner", "telephone": "phone",
    "caesarean": "cesarean",
    "labour": "labor", "labours": "labors", "colour": "color", "colours": "colors", "coloured": "colored",
    "grey": "gray", "neighbour": "neighbor", "neighbours": "neighbors", "vigour": "vigor", "favours": "favors",
    "behaviour": "behavior", "centre": "center", "licence": "license", "anaesthetic": "anesthetic",
    "litre": "liter", "litres": "liters", "metre": "meter", "metres": "meters",
    "raddle": "marking paint", "dung": "manure", "cake": "feed", "in-bye": "home pasture",
    "dung counts": "fecal egg counts", "blown up": "bloated",
    "fortnight": "two weeks", "autumn": "fall", "jabs": "shots", "jab": "shot",
    "ticked off": "checked off", "ticks it off": "checks it off", "ticks off": "checks off",
    "post-mortem": "necropsy", "scour": "scours", "scour worms": "scour worms", "orf": "soremouth",
    "twin-lamb disease": "pregnancy toxemia",
    "pet lamb": "bottle lamb", "pet lambs": "bottle lambs",
    "holding": "premises", "holding register": "flock register",
    "sucking": "nursing", "sucks": "nurses", "sucked": "nursed", "suck": "nurse", "shed": "barn",
    "nought": "zero", "noughts": "zeros", "millilitre": "milliliter", "millilitres": "milliliters",
    "in lamb": "bred", "ewe in lamb": "bred ewe", "ewes in lamb": "bred ewes",
    "scanned empty": "scanned open", "empty ewes": "open ewes", "empty, of ewes scanned": "open, of ewes scanned",
    "empty at scanning": "open at scanning", "scan said empty": "scan said open", "empty result": "open result",
    "drenched": "dewormed", "undrenched": "untreated", "drenching": "deworming",
    "in the race": "in the chute", "before the race": "before the chute", "race sheet": "chute sheet",
    "race sheets": "chute sheets", "before the ramp goes up": "before the tailgate closes",
    "that lay wrong": "malpresented", "lay wrong": "malpresented",
    "sward": "forage", "binned": "thrown out", "pet": "bottle lamb",
    "wormer": "dewormer", "wormers": "dewormers",
}  # fmt: skip
_WORD = re.compile(
    rf"(?<![\w`‘-])(?:{'|'.join(sorted(map(re.escape, AMERICAN_WORDS), key=len, reverse=True))})(?![\w`-]|’(?!s))", re.I
)
_MONTH_NAMES = "|".join(dict.fromkeys((*LONG_MONTHS, *MONTHS)))
_DAY = re.compile(rf"(?<![\w.-])(\d{{1,2}})[ \u00a0]({_MONTH_NAMES})(?:,? (\d{{4}}))?(?!\w)")
_CLOCK = re.compile(r"(?<![\w:.-])([01]?\d|2[0-3]):([0-5]\d)(?![\w:])")


def local(text: str) -> str:
    """A text of the program's own in the flock's words."""
    spoken = manner()
    return _local(text, spoken) if spoken.month_first or spoken.words == US else text


@cache
def _local(text: str, spoken: Manner) -> str:
    if spoken.words == US:
        text = _WORD.sub(lambda match: _cased(match[0], AMERICAN_WORDS[match[0].lower()]), text)
    return in_manner(spoken, lambda: days_local(text)) if spoken.month_first else text


def local_around(text: str) -> str:
    """A text in which what is to be typed, or was, stands between back-quotes: words around them in the flock's own,
    days and hours everywhere in its order.
    """
    typed = days_local if manner().month_first else str
    return "`".join(typed(part) if place % 2 else local(part) for place, part in enumerate(text.split("`")))


def kind_in_words(kind: KindReference) -> KindReference:
    """A kind of note as the flock calls it, without the names that are said elsewhere."""
    name = local(kind.name)
    aliases = tuple(alias for alias in kind.aliases if local(alias) == alias != name)
    return replace(kind, name=name, aliases=aliases)


def scan_local(word: str) -> str:
    """A word for what a scan saw: `empty` is said of a ewe in other words than of a note."""
    said = local(f"scanned {word[:1].lower()}{word[1:]}").removeprefix("scanned ")
    return said[:1].upper() + said[1:] if word[:1].isupper() else said


def days_local(text: str) -> str:
    """The days and hours of a text with the month first, by a clock of twice twelve hours."""
    text = _DAY.sub(lambda match: _day(match[1], match[2], match[3]), text)
    text = _CLOCK.sub(lambda match: clock_words(time(int(match[1]), int(match[2]))), text)
    return text.replace(".m..", ".m.")


def _cased(typed: str, word: str) -> str:
    if len(typed) > 1 and typed.isupper():
        return word.upper()
    return word[:1].upper() + word[1:] if typed[:1].isupper() else word


def _day(day: str, month: str, year: str | None) -> str:
    number = MONTHS.index(month[:3]) + 1
    try:
        when = date(int(year or 2024), number, int(day))
    except ValueError:
        return f"{day} {month}{f' {year}' if year else ''}"
    words = day_words(when) if year else short_day_words(when).replace("\u00a0", " ")
    return words.replace(MONTHS[number - 1], month)


def local_all(value: Spoken) -> Spoken:
    """A value that holds nothing but the program's own texts, such as a caution, with all of them in the flock's
    words.
    """
    if isinstance(value, str):
        return cast(Spoken, local(value))
    if isinstance(value, tuple):
        return cast(Spoken, tuple(map(local_all, value)))
    if isinstance(value, dict):
        return cast(Spoken, {key: local_all(item) for key, item in value.items()})
    if isinstance(value, Value):
        return replace(value, **{name: local_all(getattr(value, name)) for name in field_names(type(value))})
    return value
