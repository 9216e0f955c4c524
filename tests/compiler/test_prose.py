"""Remarks: what a shepherd typed is shown whole, and nothing in it can do harm."""

from __future__ import annotations

import re
import time
from collections import Counter
from html import unescape
from html.parser import HTMLParser

import html5lib
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from compiler import prose

MARKS = st.sampled_from(
    [
        "a",
        "b7",
        "731",
        " ",
        "  ",
        "\n",
        "\n\n",
        "*",
        "_",
        "`",
        "```",
        "[",
        "]",
        "(",
        ")",
        "![",
        "](",
        "<",
        ">",
        "&",
        "&amp;",
        "#",
        "- ",
        "1. ",
        "7) ",
        "> ",
        "|",
        "|-|-|",
        ":",
        "\\",
        "---",
        "===",
        '"',
        "'",
        "http://x.y",
        "javascript:",
        "..",
        "/",
        "\t",
        "é",
        "½",
        "<script>",
        "onerror=",
        "[r]: z",
        "\u00a0",
        "\u2028",
        "\0",
    ]
)
PLAIN_MARKS = st.sampled_from(
    [
        "a",
        "B7",
        "731",
        "0.25",
        " ",
        "  ",
        "\n",
        "\n\n",
        ".",
        ",",
        ";",
        ":",
        "?",
        "!",
        "(",
        ")",
        '"',
        "'",
        "“",
        "”",
        "-",
        "–",
        "#",
        "=",
        "+",
        "/",
        "~",
        "@",
        "$",
        "%",
        "{",
        "}",
        "½",
        "é",
        "1.",
        "2)",
        "\u00a0",
        "°",
        "http://x.y",
        "^",
    ]
)


class Elements(HTMLParser):
    """Every element of a piece of HTML, with its attributes."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def elements(html: str) -> list[tuple[str, dict[str, str | None]]]:
    return Elements(html).found


def finished(text: str) -> str:
    """A remark all the way to a page, where the folder's `photos/` are shown."""
    html = prose.rooted(prose.render(text), "events/2026/note.md")
    return prose.placed(html, lambda path: f"../{path}" if path.startswith("photos/") else None)


PLAIN_LINE = st.tuples(
    st.sampled_from(["a", "B7", "12", "“é", "(", "1.", "- ", "#", "`"]),
    st.lists(PLAIN_MARKS, max_size=8).map("".join),
    st.sampled_from(["z", "9", ".", '."', "?", "%", ")", " ", "-"]),
).map("".join)


@given(st.lists(PLAIN_LINE, min_size=1, max_size=5).map("\n".join))
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
def test_short_way_is_the_long_way(text: str) -> None:
    """The short way gives, byte for byte, the HTML of markdown-it-py (an independent reader of CommonMark)."""
    assume(prose._PLAIN.match(text))
    whole = MarkdownIt("commonmark", {"html": False, "xhtmlOut": False}).enable("table").render(text)
    assert prose.render(text) == whole


@pytest.mark.parametrize(
    "text",
    [
        "Foot and nose at three, no second foot.",
        "Up and sucking by four.\nEwe restless\n\nBoth fed.",
        "12 lambs (3 weak)",
        'She said "no".',
        "0.25 mL/20 kg = 1 mL; see p. 4!",
        "“Quiet” – she’s well.",
    ],
)
def test_short_way_is_taken(text: str) -> None:
    """Ordinary sentences do take the short way."""
    assert prose._PLAIN.match(text)


@given(st.lists(MARKS, max_size=40).map("".join))
@settings(max_examples=1500, deadline=None)
def test_no_word_is_lost(text: str) -> None:
    """Every word and figure that was typed can be read in the finished HTML, numbers of lists included."""
    html = finished(text)
    values = " ".join(
        str(value) for _, attributes in elements(html) for value in attributes.values() if value is not None
    )
    numbers = " ".join(_list_numbers(html))
    shown = Counter(re.findall(r"[^\W_]+", unescape(re.sub(r"<[^>]*>", " ", html)) + " " + values + " " + numbers))
    typed = Counter(re.findall(r"[^\W_]+", unescape(text)))
    assert set(typed) <= set(shown)


def _list_numbers(html: str) -> list[str]:
    """The numbers a browser prints before list items (HTML Living Standard, 4.4.8: `start`, `value`, else one more)."""
    numbers: list[str] = []
    counts: list[int | None] = []
    for part in re.findall(r"</?(?:ol|ul|li)[^>]*>", html):
        given_number = re.search(r'(?:start|value)="(\d+)"', part)
        if part.startswith("<ol"):
            counts.append(int(given_number[1]) if given_number else 1)
        elif part.startswith("<ul"):
            counts.append(None)
        elif part.startswith(("</ol", "</ul")):
            counts.pop()
        elif part.startswith("<li") and counts[-1] is not None:
            here = int(given_number[1]) if given_number else counts[-1]
            numbers.append(str(here))
            counts[-1] = here + 1
    return numbers


@given(st.one_of(st.lists(MARKS, max_size=40).map("".join), st.text(max_size=200)))
@settings(max_examples=1500, deadline=None)
def test_nothing_harmful_comes_through(text: str) -> None:
    """Whatever is typed gives known elements without handlers, and links and pictures from allowed places."""
    for tag, attributes in elements(finished(text)):
        assert tag in SAFE_TAGS
        assert set(attributes) <= {"href", "src", "alt", "title", "class", "start", "value", "style", "rel", "loading"}
        assert re.fullmatch(r"text-align:(left|right|center)", attributes.get("style") or "text-align:left")
        assert re.match(r"https?://|mailto:|tel:|\.\./photos/", (attributes.get("href") or "tel:").lower())
        assert (attributes.get("src") or "../photos/").startswith("../photos/")


SAFE_TAGS = frozenset(
    [
        "p",
        "em",
        "strong",
        "a",
        "img",
        "code",
        "pre",
        "ul",
        "ol",
        "li",
        "blockquote",
        "h4",
        "h5",
        "h6",
        "hr",
        "br",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
        "span",
    ]
)


@given(st.lists(MARKS, max_size=40).map("".join))
@settings(max_examples=400, deadline=None)
def test_html_is_well_formed(text: str) -> None:
    """html5lib (an independent parser of the HTML standard) in strict mode finds no fault in the page."""
    html = finished(text.replace("\0", ""))
    page = f"<!DOCTYPE html><html><head><title>t</title></head><body>{html}</body></html>"
    html5lib.HTMLParser(strict=True).parse(page)


@pytest.mark.parametrize(
    ("text", "html"),
    [
        ("a *b* **c**", "<p>a <em>b</em> <strong>c</strong></p>\n"),
        ("- a\n- b", "<ul>\n<li>a</li>\n<li>b</li>\n</ul>\n"),
        ("> a", "<blockquote>\n<p>a</p>\n</blockquote>\n"),
        ("a  \nb", "<p>a<br>\nb</p>\n"),
        ("`a<b`", "<p><code>a&lt;b</code></p>\n"),
        (
            "| a | b |\n| --- | --: |\n| 1 | 2 |",
            '<table>\n<thead>\n<tr>\n<th>a</th>\n<th style="text-align:right">b</th>\n</tr>\n</thead>\n'
            '<tbody>\n<tr>\n<td>1</td>\n<td style="text-align:right">2</td>\n</tr>\n</tbody>\n</table>\n',
        ),
        ("", ""),
        ("\n \n", ""),
    ],
)
def test_markdown(text: str, html: str) -> None:
    """CommonMark 0.31 (after its sections 5 and 6); tables after GitHub Flavored Markdown, section 4.10."""
    assert prose.render(text) == html


def test_headings_stand_below_the_pages_own() -> None:
    """A heading in a remark never outranks the headings of the page."""
    assert prose.render("# One\n\n###### Six") == "<h4>One</h4>\n<h6>Six</h6>\n"


def test_raw_html_is_shown_as_text() -> None:
    """Tags that somebody typed are read, not run."""
    assert prose.render("<b onclick=x>5</b>\n\n<script>alert(1)</script>") == (
        "<p>&lt;b onclick=x&gt;5&lt;/b&gt;</p>\n<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>\n"
    )


@pytest.mark.parametrize(
    "target",
    [
        "javascript:alert(1)",
        "JaVaScRiPt:alert(1)",
        "java&Tab;script:alert(1)",
        "&#106;avascript:alert(1)",
        "data:text/html,x",
        "vbscript:x",
        "file:///etc/passwd",
        "//other.example/x",
        "/etc/passwd",
        "\\\\server\\share",
        "%2f%2fother.example",
        "x:y",
        "http:",
        "C:/x",
        "../../../secret.md",
        "%2e%2e/%2e%2e/%2e%2e/secret",
        "#top",
        "?x",
    ],
)
def test_links_to_other_places_are_dropped(target: str) -> None:
    """No script, data link, other host by a trick or path out of the notes becomes a link or a picture."""
    for text in (f"[words]({target})", f"![words]({target})", f"<{target}>", f"[words]\n\n[words]: {target}"):
        html = finished(text)
        assert "<a" not in html
        assert "<img" not in html
        assert "words" in html or "words" not in text


def test_links_that_are_kept() -> None:
    """Web, mail and telephone links work, and say nothing of where the reader came from."""
    for target in ("https://example.org/a?b=c", "http://example.org", "mailto:una@example.org", "tel:+441234567"):
        assert f'<a href="{target}" rel="noopener noreferrer">' in prose.render(f"[x]({target})")


def test_pictures_of_the_folder() -> None:
    """A picture is found from the note's own place in the folder; one that is not there is named in words."""
    assert finished('![at birth](<../../photos/a "b".jpg> "day 1")') == (
        '<p><img src="../photos/a%20%22b%22.jpg" alt="at birth" title="day 1" loading="lazy"></p>\n'
    )
    assert finished("![at birth](../x.jpg)") == '<p><span class="no-picture">at birth (events/x.jpg)</span></p>\n'


def test_pictures_from_elsewhere_become_links() -> None:
    """Opening a page fetches nothing from another place."""
    assert finished("![eye](https://example.org/e.png)") == (
        '<p><a href="https://example.org/e.png" rel="noopener noreferrer">eye</a></p>\n'
    )
    assert "<img" not in finished("[![eye](https://example.org/e.png)](../../photos/e.jpg)")


def test_targets() -> None:
    """The compiler can ask which files of the folder a remark shows."""
    html = prose.rooted(prose.render("![a](<p q.jpg>) [b](../c.md#x) [c](../../..)"), "events/2026/n.md")
    assert prose.targets(html) == ("events/2026/p q.jpg", "events/c.md")


def test_typed_note_links_are_not_the_programs_own() -> None:
    """Text that looks like the program's mark for a link of the folder stays text."""
    html = finished('<a href="note:photos/x.jpg">x</a> "note:photos/y.jpg"\n\n[z](note:photos/x.jpg)')
    assert "<a" not in html
    assert "note:photos/y.jpg" in html


def test_lists_keep_the_numbers_typed() -> None:
    """`731.` and `738.` stay 731 and 738: a browser would count 731, 732."""
    assert prose.render("731. lame\n738. sound") == (
        '<ol start="731">\n<li>lame</li>\n<li value="738">sound</li>\n</ol>\n'
    )


@pytest.mark.parametrize(
    "text",
    [
        "[C214]: limped",
        "| a | b |\n|---|---|\n| 1 | 2 | three |",
        ">" * 40 + " deep",
        "``` treat now please\nx\n```",
        "- " * 60 + "deep",
        "*" * 300 + "deep" + "*" * 300,
    ],
)
def test_what_markdown_would_swallow_is_shown(text: str) -> None:
    """Link definitions, cells beyond the last column, words after a fence, text nested too deep."""
    html = prose.render(text)
    assert set(re.findall(r"\w+", text)) <= set(re.findall(r"\w+", html))


@pytest.mark.parametrize(
    "piece", ["[", "*a ", "> ", "`a", "|", "[a](", "_a_*", "&", "<", "![", "1. ", "- a\n", "word ", "\t"]
)
def test_odd_input_takes_no_longer_than_a_blink(piece: str) -> None:
    """The longest remark that Markdown reads, made of one mark, is done in seconds; a longer one is shown as typed."""
    begun = time.process_time()
    prose.render(piece * (prose.LONGEST // len(piece)))
    assert time.process_time() - begun < 10
    assert prose.render("a*" * prose.LONGEST).startswith('<pre class="as-typed">')
