"""Blanks and curly quotes that telephones and web pages set, undone character by character."""

from __future__ import annotations

import re

# Blanks that telephones and web pages set, and marks of no width: each is a blank (Unicode 15, categories Zs and Cf).
BLANKS = dict.fromkeys((0xA0, 0x1680, *range(0x2000, 0x200C), 0x202F, 0x205F, 0x2060, 0x3000, 0xFEFF), " ")
CURLY = re.compile("(:\\s+)(?:[“”„]([^“”„]*)[“”]|[‘’]([^‘’]*)[‘’])(\\s*)$")


def straightened(lines: list[str]) -> list[str]:
    """Lines with the damage of telephones undone, character by character: odd blanks, curly quotes around a value."""
    if all(map(str.isascii, lines)):
        return lines
    return [CURLY.sub(requoted, line.translate(BLANKS)) for line in lines]


def requoted(match: re.Match[str]) -> str:
    """A value in curly quotes, in straight ones, unless it holds signs that mean something inside those."""
    inner = match[2] if match[2] is not None else match[3]
    quote = next((sign for sign in ("'", '"') if sign not in inner and (sign == "'" or "\\" not in inner)), "")
    return f"{match[1]}{quote}{inner}{quote}{match[4]}" if quote else match[0]


def uncurled(text: str) -> str:
    """A value without the curly quotes around the whole of it."""
    pair = text[0] + text[-1]
    inner = text[1:-1]
    signs = "“„‘" if pair == "‘’" else "“„‘”"  # a single one that closes is an apostrophe
    whole = pair in ("“”", "„“", "„”", "‘’") and not set(inner) & set(signs)
    return inner if whole and len(text) > 1 else text
