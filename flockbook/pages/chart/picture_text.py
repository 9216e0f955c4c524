"""A picture's elements as text, as the library writes them; it looks for namespaces first, which takes as long again as
the writing, and pictures have none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

IN_TEXT = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
IN_ATTRIBUTE = {**IN_TEXT, **str.maketrans({'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"})}
TO_ESCAPE = re.compile(r'[&<>"\r\n\t]')


def picture_text(svg: Element) -> str:
    """An element with all that stands in it."""
    return "".join(_pieces(svg))


def _pieces(one: Element) -> Iterator[str]:
    yield f"<{one.tag}"
    for name, value in one.items():
        yield f' {name}="{value.translate(IN_ATTRIBUTE) if TO_ESCAPE.search(value) else value}"'
    if not one.text and not len(one):
        yield " />"
    else:
        yield f">{(one.text or '').translate(IN_TEXT)}"
        for inner in one:
            yield from _pieces(inner)
        yield f"</{one.tag}>"
    yield (one.tail or "").translate(IN_TEXT)
