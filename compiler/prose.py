"""Remarks: Markdown that anybody may have typed, to HTML that is safe to show anywhere.

Raw HTML is shown as text. Links go to http(s), mail, telephone or a place in the notes folder; pictures come only from
the folder. A link into the folder reads `note:PATH` until the page it stands on is known: see `rooted` and `placed`. No
word is ever lost: where Markdown would swallow some, the remark is shown as it was typed.
"""

from __future__ import annotations

import posixpath
import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from html import escape, unescape
from typing import TYPE_CHECKING
from urllib.parse import quote, unquote

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

LONGEST = 100_000  # characters; a longer remark is shown as typed, because Markdown takes quadratic time on odd input
DEEPEST = 20  # quotes and lists inside one another; what stands deeper is shown as typed
HEADINGS_START_AT = 4  # a remark stands below the page's, the section's and the note's own headings

# A remark that no rule of Markdown touches: lines that start with a letter, or a figure that starts no numbered list,
# hold no mark that Markdown knows inside a line, and end without a space.
_PLAIN_LINE = (
    r"(?!\d+[.)](?:\s|$))[“‘(\"']?[^\W_]"
    r"(?:[^\x00-\x1f\x7f\\`*_\[\]<>&|]*[^\W_])?[.,;:?!)'\"’”%]*"
)
_PLAIN = re.compile(rf"{_PLAIN_LINE}(?:\n{_PLAIN_LINE})*(?:\n\n+{_PLAIN_LINE}(?:\n{_PLAIN_LINE})*)*\Z")
_ABSOLUTE = re.compile(r"(?:https?://|mailto:|tel:)[^\s]", re.IGNORECASE)
_RELATIVE = re.compile(r"(?![/\\#?])(?!%2f|%5c)[^:]*\Z", re.IGNORECASE)
_NOTE_TARGET = re.compile(r'"note:([^"]*)"')
_NOTE_LINK = re.compile(r'<a href="note:([^"]*)"([^>]*)>(.*?)</a>', re.DOTALL)
_NOTE_PICTURE = re.compile(r'<img src="note:([^"]*)" alt="([^"]*)"([^>]*)>')
_WORD = re.compile(r"[^\W_]+")
_MARKUP = re.compile(r'</?\w+|\s(?:(?:style|rel|loading)="[^"]*"|(?:class|href|src|alt|title|start|value)=")')


def render(text: str) -> str:
    """A remark as HTML. Links into the notes folder read `note:PATH`, relative to the note."""
    trimmed = text.strip("\n")
    if not trimmed.strip():
        return ""
    return _short_way(trimmed) if is_plain(trimmed) else _long_way(trimmed)


def is_plain(text: str) -> bool:
    """Whether a remark has no markup, so that reading it costs next to nothing."""
    return len(text) < LONGEST and _PLAIN.match(text.strip("\n")) is not None


def rooted(html: str, note: str) -> str:
    """The same HTML with its `note:` links relative to the notes folder, for a remark of the note at path `note`.

    A link that would leave the folder leads nowhere (`note:` alone).
    """
    if '"note:' not in html:
        return html
    return _NOTE_TARGET.sub(lambda found: f'"note:{_from_folder(found[1], posixpath.dirname(note))}"', html)


def targets(html: str) -> tuple[str, ...]:
    """The paths in the notes folder that a `rooted` remark links to or shows."""
    return tuple(_decoded(found) for found in _NOTE_TARGET.findall(html) if found)


def placed(html: str, where: Callable[[str], str | None]) -> str:
    """A page's HTML with every `note:` link resolved: `where` gives the link to a path in the notes folder, or None.

    What leads nowhere is shown as text, with the path it named.
    """
    if '"note:' not in html:
        return html
    pictured = _NOTE_PICTURE.sub(lambda found: _picture_tag(found, where), html)
    return _NOTE_LINK.sub(lambda found: _link_tag(found, where), pictured)


def as_typed(text: str) -> str:
    """Text shown exactly as it was typed."""
    return f'<pre class="as-typed">{escape(text.replace(chr(0), chr(0xFFFD)), quote=False)}</pre>\n'


def _short_way(text: str) -> str:
    paragraphs = re.split(r"\n\n+", text.replace('"', "&quot;"))
    return "".join(f"<p>{paragraph}</p>\n" for paragraph in paragraphs)


def _long_way(text: str) -> str:
    if len(text) > LONGEST:
        return as_typed(text)
    for parser in (_markdown(), _markdown_without_swallowing()):
        tokens = parser.parse(text)
        if _deepest(tokens) < DEEPEST:
            html = str(parser.renderer.render(_tamed(tokens), parser.options, {}))
            if _complete(text, html, tokens):
                return html
    return as_typed(text)


@cache
def _markdown() -> MarkdownIt:
    from markdown_it import MarkdownIt

    parser = MarkdownIt("commonmark", {"html": False, "xhtmlOut": False, "maxNesting": DEEPEST + 1}).enable("table")
    parser.validateLink = _allowed  # type: ignore[method-assign] # the library's own way of narrowing links
    return parser


@cache
def _markdown_without_swallowing() -> MarkdownIt:
    """Markdown without the rules that can drop words: link definitions, cells beyond a table's last column."""
    parser: MarkdownIt = _markdown.__wrapped__()
    return parser.disable(["table", "reference"])


def _allowed(url: str) -> bool:
    return bool(_ABSOLUTE.match(url) or _RELATIVE.match(url))


def _deepest(tokens: Sequence[Token]) -> int:
    """The deepest level of blocks, or of emphasis inside one paragraph."""
    inner = (child.level for token in tokens for child in token.children or ())
    return max((*(token.level for token in tokens), *inner), default=0)


def _complete(text: str, html: str, tokens: Iterable[Token]) -> bool:
    """Whether every word and figure of the text can be read in the HTML."""
    shown = Counter(_WORD.findall(unquote(unescape(_MARKUP.sub(" ", html)))))
    shown.update(word for token in tokens if token.type == "list_item_open" for word in _WORD.findall(token.info))
    typed = Counter(_WORD.findall(unquote(unescape(text))))
    return typed <= shown


def _tamed(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with headings below the page's own, numbers of lists as typed, and links of the notes' kind."""
    expected: list[int] = []
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, int(token.tag[1]) + HEADINGS_START_AT - 1)}"
        elif token.type == "ordered_list_open":
            expected.append(int(token.attrs.get("start", 1)))
        elif token.type == "ordered_list_close":
            expected.pop()
        elif token.type == "list_item_open" and token.info:
            expected[-1] = _numbered(token, expected[-1])
        elif token.children:
            token.children = _tamed_words(token.children)
    return list(tokens)


def _numbered(item: Token, expected: int) -> int:
    """Keep the number that was typed (a reader's browser would count on by itself); gives the next number expected."""
    typed = int(item.info)
    if typed != expected:
        item.attrSet("value", str(typed))
    return typed + 1


def _tamed_words(children: Sequence[Token]) -> list[Token]:
    tamed: list[Token] = []
    inside_link = False
    for token in children:
        if token.type == "link_open":
            token.attrs = _link_attributes(token)
        inside_link = token.type == "link_open" or (inside_link and token.type != "link_close")
        tamed.extend(_tamed_picture(token, inside_link) if token.type == "image" else [token])
    return tamed


def _link_attributes(token: Token) -> dict[str, str | int | float]:
    href = str(token.attrs["href"])
    if _ABSOLUTE.match(href):
        return {**token.attrs, "rel": "noopener noreferrer"}
    return {**token.attrs, "href": f"note:{href}"}


def _tamed_picture(token: Token, inside_link: bool) -> list[Token]:
    """A picture of the folder; one from elsewhere becomes a link (nothing is fetched unless the reader taps it)."""
    source = str(token.attrs["src"])
    if not _ABSOLUTE.match(source):
        token.attrs = {**token.attrs, "src": f"note:{source}", "loading": "lazy"}
        return [token]
    words = _words(f"{token.content} ({source})" if inside_link else token.content or source)
    return [words] if inside_link else _linked(words, source)


def _words(content: str) -> Token:
    from markdown_it.token import Token

    return Token("text", "", 0, content=content)


def _linked(words: Token, href: str) -> list[Token]:
    from markdown_it.token import Token

    opening = Token("link_open", "a", 1, attrs={"href": href, "rel": "noopener noreferrer"})
    return [opening, words, Token("link_close", "a", -1)]


def _from_folder(target: str, folder: str) -> str:
    """A link's target as an encoded path from the notes folder; "" when it leaves it."""
    path = _decoded(target)
    whole = posixpath.normpath(posixpath.join(folder, path))
    outside = whole.startswith(("../", "/")) or whole in ("..", ".") or any(mark in path for mark in "\\:\0")
    return "" if outside or not path else escape(quote(whole))


def _decoded(target: str) -> str:
    return unquote(unescape(target).split("#")[0].split("?")[0])


def _picture_tag(found: re.Match[str], where: Callable[[str], str | None]) -> str:
    link = where(_decoded(found[1])) if found[1] else None
    if link is None:
        return f'<span class="no-picture">{found[2]} ({escape(_decoded(found[1])) or "outside the notes"})</span>'
    return f'<img src="{escape(quote(link))}" alt="{found[2]}"{found[3]}>'


def _link_tag(found: re.Match[str], where: Callable[[str], str | None]) -> str:
    link = where(_decoded(found[1])) if found[1] else None
    if link is None:
        return f'<span class="no-link" title="{escape(_decoded(found[1]))}">{found[3]}</span>'
    return f'<a href="{escape(quote(link))}"{found[2]}>{found[3]}</a>'
