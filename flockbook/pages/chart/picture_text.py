"""A picture's elements as text, as the library writes them; it looks for namespaces first, which takes as long again as
the writing, and pictures have none.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from xml.etree.ElementTree import Element

IN_TEXT = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
IN_ATTRIBUTE = {**IN_TEXT, **str.maketrans({'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"})}
TO_ESCAPE = re.compile(r'[&<>"\r\n\t]')


def picture_text(svg: Element) -> str:
    """An element with all that stands in it."""
    parts = list[str]()
    _write(svg, parts.append)
    return "".join(parts)


def _write(one: Element, write: Callable[[str], None]) -> None:
    write(f"<{one.tag}")
    for name, value in one.items():
        write(f' {name}="{value.translate(IN_ATTRIBUTE) if TO_ESCAPE.search(value) else value}"')
    if not one.text and not len(one):
        write(" />")
    else:
        write(f">{(one.text or '').translate(IN_TEXT)}")
        for inner in one:
            _write(inner, write)
        write(f"</{one.tag}>")
    if one.tail:
        write(one.tail.translate(IN_TEXT))
