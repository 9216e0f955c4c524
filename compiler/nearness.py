"""Words that are nearly other words: a slip or two of the finger apart."""

from __future__ import annotations

from collections.abc import Iterable


def near(typed: str, known: Iterable[str], most: int = 3, slips: int = 1) -> tuple[str, ...]:
    """Up to `most` of the known words within `slips` edits (or swaps of neighbours) of the typed one, nearest first."""
    lower = typed.lower()
    found = [
        (steps, word)
        for word in dict.fromkeys(known)
        if abs(len(word) - len(typed)) <= slips and (steps := distance(lower, word.lower(), slips)) <= slips
    ]
    return tuple(word for _, word in sorted(found, key=lambda item: item[0]))[:most]


def did_you_mean(typed: str, known: Iterable[str], slips: int = 1) -> str:
    """``did you mean `X` or `Y`? `` with a blank behind it, or "" when nothing is near."""
    guesses = near(typed, known, slips=slips)
    return f"did you mean {listing(guesses)}? " if guesses else ""


def listing(words: Iterable[str], joint: str = "or") -> str:
    """Words in backquotes as a sentence has them: `A`, `B` or `C`."""
    *most, last = (f"`{word}`" for word in words)
    return f"{', '.join(most)} {joint} {last}" if most else last


def distance(one: str, other: str, most: int) -> int:
    """Edits and swaps of neighbours between two words, or `most` + 1 when more (Damerau 1964; optimal alignment).

    What the two share at either end is left out first, which decides nearly every pair at once.
    """
    one, other = without_shared_ends(one, other)
    longest = max(len(one), len(other))
    if abs(len(one) - len(other)) > most or longest > 40 * most or (most == 1 and longest > len("ab")):
        return most + 1  # one slip leaves a letter, or two that were swapped
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        earlier, before, row = before, row, [i]
        for j, sign in enumerate(other, 1):
            steps = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != sign))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == sign:
                steps = min(steps, earlier[j - 2] + 1)
            row.append(steps)
        if min(row) > most and min(before) > most:
            return most + 1
    return min(row[-1], most + 1)


def without_shared_ends(one: str, other: str) -> tuple[str, str]:
    """Two words without the letters that both begin with, and both end with."""
    short = min(len(one), len(other))
    head = next((i for i in range(short) if one[i] != other[i]), short)
    rest = short - head
    tail = next((i for i in range(rest) if one[-1 - i] != other[-1 - i]), rest)
    return one[head : len(one) - tail], other[head : len(other) - tail]


def plain(text: str) -> str:
    """A name as it is looked up: lower case, with any run of blanks, hyphens and underscores as one blank."""
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


def clipped(text: str, most: int = 40) -> str:
    """Text as a message quotes it: on one line, and cut short when it is long."""
    line = " ".join(text[: 10 * most].split())
    return line if len(line) <= most else f"{line[: most - 1]}…"
