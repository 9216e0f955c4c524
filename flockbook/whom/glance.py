"""A quick look whether a pattern could be found in a text at all: letters without which none of its ways is met.

A pattern of many words is slow on every text, and few texts have any of them. The letters are taken from the pattern
itself, so nothing is said twice: where they are missing the pattern is nowhere, where they stand it is looked for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache, cached_property, lru_cache
from itertools import chain

EDGE = r"\b"  # of a word
FEWEST_LETTERS = 2  # letters that a look needs; with one it would find nearly every text
MOST_LETTERS = 3  # letters in a row by which a word is looked up: with more it would be cut up for longer than it saves
WORDS_MET = 100_000  # words of which it is remembered what could be met in them
BLANK = " "
COMMON_FIRST = (
    " etaoinsrhldcumfpgwybvkxjqz"  # letters of English text, the most common first (common knowledge, no source)
)
BRACKET = "(?:"
COUNTED_SIGNS = ("?", "*", "+", "{")
COUNT = re.compile(r"(?:(?:[?*+]|\{\d*,?\d*\})[?+]?)?")  # behind a part of a pattern: how often
NEED_NOT_BE = ("?", "*", "{0", "{,")
GROUP = re.compile(r"\((?:\?:|\?P<\w+>|(?!\?))")  # one whose words stand in the text; no look ahead or behind
NO_LETTER = frozenset(".^$")
Way = tuple[str, int]  # a pattern and its flags
Sign = tuple[str, Way]  # letters that stand where a way of speaking is met ("" for any), and that way
Needles = frozenset[str] | None  # None: nothing is certain to stand there


class Glance:
    """Several patterns, any of which is looked for."""

    def __init__(self, *patterns: re.Pattern[str]) -> None:
        """The patterns are read when they are first looked for."""
        self.patterns = patterns

    @cached_property
    def signs(self) -> Mapping[str, tuple[Sign, ...]]:
        """The ways of speaking by a few letters of theirs that stand in one word; by none where nothing is certain."""
        found: dict[str, list[Sign]] = {}
        for pattern in self.patterns:
            for way in _ways(pattern.pattern):
                for needle in needles(way) or [""]:
                    found.setdefault(_letters(needle), []).append((needle, (way, pattern.flags)))
        return {letters: tuple(signs) for letters, signs in found.items()}

    @cached_property
    def met(self) -> Callable[[str], tuple[Sign, ...]]:
        """What could be met in a text because of one of its words; remembered, since words come again and again."""
        return lru_cache(WORDS_MET)(self._met)

    def _met(self, word: str) -> tuple[Sign, ...]:
        signs = (sign for letters in self.signs.keys() & _in_a_row(word) for sign in self.signs[letters])
        return tuple(sign for sign in signs if _part(sign[0]) in word)

    def __call__(self, text: str) -> bool:
        """Whether any of the patterns is found in a text."""
        if not text.isascii():  # other letters have several forms that count as one
            return any(pattern.search(text) for pattern in self.patterns)
        low = text.lower()
        signs = chain(self.signs.get("", ()), *map(self.met, low.split()))
        return any(needle in low and _compiled(*way).search(text) for needle, way in signs)


@cache
def _compiled(way: str, flags: int) -> re.Pattern[str]:
    return re.compile(way, flags)


def _ways(pattern: str) -> list[str]:
    """The ways of speaking that a pattern joins, each a pattern of its own."""
    found = []
    for way in alternatives(pattern):
        inner, behind = _bracketed(way.removeprefix(EDGE)) if way.startswith(EDGE) else ("", "")
        choices = alternatives(inner) if inner and not behind.startswith(COUNTED_SIGNS) else []
        parts = [f"{EDGE}(?:{choice}){behind}" if behind else EDGE + choice for choice in choices]
        found += [one for part in parts for one in _ways(part)] if len(choices) > 1 else [way]
    return found


def _bracketed(way: str) -> tuple[str, str]:
    """What stands in the bracket with which a pattern begins, and what behind it."""
    if not way.startswith(BRACKET):
        return "", ""
    end = _end_of(way, 0)
    return way[len(BRACKET) : end - 1], way[end:]


def _part(needle: str) -> str:
    """The longest part of some letters that stands in one word."""
    return max(needle.split(), key=len, default="")


def _letters(needle: str) -> str:
    """The letters in a row of one word that are met least, by which a text is looked up."""
    part = _part(needle)
    places = range(max(len(part) - MOST_LETTERS, 0) + 1)
    return max((part[at : at + MOST_LETTERS] for at in places), key=_rarity)


def _in_a_row(word: str) -> set[str]:
    """All letters in a row of a word, as many as a look needs or fewer."""
    return {word[at : at + many] for many in range(1, MOST_LETTERS + 1) for at in range(len(word) - many + 1)}


def _rarity(text: str) -> int:
    """How seldom letters are met, roughly."""
    return sum(COMMON_FIRST.find(letter) for letter in text)


def alternatives(way: str) -> list[str]:
    """The alternatives of a pattern, those within brackets left whole."""
    found, depth, start, place = list[str](), 0, 0, 0
    while place < len(way):
        sign = way[place]
        place += 2 if sign == "\\" else way.index("]", place + 2) - place + 1 if sign == "[" else 1
        depth += (sign == "(") - (sign == ")")
        if sign == "|" and not depth:
            found.append(way[start : place - 1])
            start = place
    return [*found, way[start:]]


def needles(way: str) -> Needles:
    """Texts in small letters, one of which stands in every text of ASCII letters in which a pattern is found."""
    each = [max((found for found in _each(one) if found), key=_worth, default=None) for one in alternatives(way)]
    return None if any(one is None for one in each) else frozenset(text for one in each for text in one or ())


def _worth(found: frozenset[str]) -> tuple[int, int]:
    return min(_rarity(_letters(needle)) for needle in found), -len(found)


def _parts(way: str) -> Iterator[tuple[str, str]]:
    """The parts of a pattern without alternatives, each with the sign of how often it stands there."""
    place = 0
    while place < len(way):
        end = _end_of(way, place)
        count = COUNT.match(way, end)
        often = count[0] if count else ""
        yield way[place:end], often
        place = end + len(often)


def _end_of(way: str, place: int) -> int:
    """Where the part of a pattern ends that begins at a place: a group, a set of signs, an escape or one sign."""
    depth, start = 0, place
    while place < len(way):
        sign = way[place]
        depth += (sign == "(") - (sign == ")")
        place += 2 if sign == "\\" else way.index("]", place + 2) - place + 1 if sign == "[" else 1
        if not depth:
            return place
    raise ValueError(f"a bracket is not closed in {way[start:]}")


def _letter(part: str) -> str:
    """The one sign that a part of a pattern stands for, in small letters; "" for any other part."""
    sign = part[1:] if part[0] == "\\" else "" if part in NO_LETTER else part
    return "" if len(sign) != 1 or (part[0] == "\\" and sign.isalnum()) else sign.lower()


def _each(way: str) -> Iterator[Needles]:
    """What is certain by each part of a sequence: letters in a row, choices behind them, repeats, groups."""
    run = frozenset({""})  # letters in a row, up to here
    for part, often in _parts(way):
        if (letter := _letter(part)) and not often:
            run = frozenset(text + letter for text in run)
            continue
        inside = _inside(part)
        heads = [_head(one) for one in alternatives(inside)] if inside and not often else [""]
        if all(heads):
            yield _telling(frozenset(text + head for text in run for head in heads))
        yield _telling(run)
        yield needles(inside) if inside and not often.startswith(NEED_NOT_BE) else None
        run = frozenset({""})
    yield _telling(run)


def _inside(part: str) -> str:
    """What stands in a group; "" for any other part."""
    match = GROUP.match(part)
    return part[match.end() : -1] if match else ""


def _head(way: str) -> str:
    """The letters in a row with which a choice begins."""
    found = ""
    for part, often in _parts(way):
        if often or not _letter(part):
            break
        found += _letter(part)
    return found


def _telling(found: Needles) -> Needles:
    return found if found and all(len(needle.strip(BLANK)) >= FEWEST_LETTERS for needle in found) else None
