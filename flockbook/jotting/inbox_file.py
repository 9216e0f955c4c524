"""Taking filed lines out of a file of the inbox: whole or not at all, and never a line that changed meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from compiler.source import LINE_ENDS
from flockbook.jotting.filing import without_lines
from flockbook.jotting.in_place import replace_text


def strike_lines(place: Path, filed: Mapping[int, str]) -> bool:
    """Take lines out by their number, if each still says the same; a file of which nothing is left is removed.

    Gives whether it was done. Raises OSError where the file cannot be written.
    """
    data = place.read_bytes()
    text = data.decode("utf-8")
    lines = dict(enumerate(LINE_ENDS.sub("\n", text.removeprefix("\ufeff")).split("\n"), 1))
    if any(lines.get(number) != said for number, said in filed.items()):
        return False
    left = without_lines(text, filed)
    if not left.strip("\ufeff \t\r\n"):
        place.unlink()
        return True
    return replace_text(place, data, left)
