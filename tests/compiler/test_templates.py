"""Drawing pages: everything is escaped, unknown names stop the page, nothing computes."""

from __future__ import annotations

import base64
import hashlib
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import TemplateError, TemplateNotFound

from compiler.pages import Html, Link, Page
from compiler.shape import Value
from compiler.templates import Theme, entries


class View(Value):
    """What the page of these tests shows."""

    words: str = "plain"
    drawing: str = ""


def theme(folder: Path, **templates: str) -> Theme:
    """A theme with these templates."""
    (folder / "templates").mkdir(parents=True)
    for name, text in templates.items():
        (folder / "templates" / f"{name}.html").write_text(text)
    return Theme(folder)


def drawn(folder: Path, text: str, view: View | None = None, page: Page | None = None) -> str:
    page = page or Page("sheep/c1.html", "page.html", "Title", view or View())
    return theme(folder, page=text).draw(page, {"name": "B"}, (Link("Front", "index.html", "front"),)).decode()


@given(st.text())
def test_everything_is_escaped(text: str) -> None:
    """No text of a note becomes markup, in an element or in an attribute."""
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        html = drawn(Path(folder), '<p title="{{ view.words }}">{{ view.words }}</p>', View(text))
    inside = html.removeprefix('<p title="').removesuffix("</p>")
    assert not re.search(r"[<>'\"]", inside.replace('">', "", 1))


def test_markup_of_our_own_is_shown_as_it_is(tmp_path: Path) -> None:
    """A drawing or a read remark is markup; anything joined to it by hand is text again."""
    own = Html("<svg></svg>")
    assert drawn(tmp_path / "a", "{{ view.drawing }}", View(drawing=own)) == "<svg></svg>"
    assert drawn(tmp_path / "b", "{{ view.drawing }}", View(drawing=own + "<b>")) == "&lt;svg&gt;&lt;/svg&gt;&lt;b&gt;"


@pytest.mark.parametrize(
    "text",
    ["{{ nothing }}", "{{ view.nothing }}", "{{ view.words.nothing }}", "{% if nothing %}x{% endif %}",
     "{{ view.words|upper }}", "{{ [1, 2]|sum }}", "{{ range(3) }}", "{{ view.words is divisibleby 2 }}",
     '{% include "absent.html" %}', "{{ cycler }}", "{% if %}"],
)  # fmt: skip
def test_what_is_not_given_stops_the_page(tmp_path: Path, text: str) -> None:
    """Unknown names, fields, filters, tests and templates are errors, never empty places on a page."""
    with pytest.raises(TemplateError):
        drawn(tmp_path, text)


def test_missing_template(tmp_path: Path) -> None:
    """A page whose template is missing cannot be drawn."""
    with pytest.raises(TemplateNotFound):
        theme(tmp_path).draw(Page("a.html", "absent.html", "A", View()), None, ())


def test_names_that_every_template_sees(tmp_path: Path) -> None:
    """Title, path, way back to the book's folder, the book's frame and the navigation."""
    text = (
        "{{ page.title }} {{ page.path }} {{ page.root }} {{ page.section }} {{ page.look }} {{ book.name }}"
        "{% for item in nav %} {{ page.root }}{{ item.href }} {{ item.label }} {{ item.current }}{% endfor %}"
    )
    page = Page("sheep/c1.html", "page.html", "C1", View(), "front", look="night")
    assert drawn(tmp_path, text, page=page) == "C1 sheep/c1.html ../ front night B ../index.html Front True"


def test_links_name_files(tmp_path: Path) -> None:
    """A link is written from the page it stands on, and names a file."""
    text = (
        "{{ 'sheep/c2.html'|link }} {{ 'index.html#due'|link }} {{ '#x'|link }} {{ 'a/b.html'|relative('a/c.html') }}"
    )
    assert drawn(tmp_path, text) == "c2.html ../index.html#due #x b.html"


def test_constant_links(tmp_path: Path) -> None:
    """A path written out in the template is linked anew from every page, whichever is drawn first."""
    made = theme(tmp_path, page="{{ 'index.html'|link }}", slow="{% set a %}{% endset %}{{ 'index.html'|link }}")
    for template in ("page.html", "slow.html"):
        for path, href in (("a/b.html", b"../index.html"), ("c.html", b"index.html"), ("d/e.html", b"../index.html")):
            assert made.draw(Page(path, template, "A", View()), None, ()) == href


def test_links_inside_imported_macros(tmp_path: Path) -> None:
    """A macro in another template links from the page that uses it."""
    made = theme(
        tmp_path,
        parts='{% macro to(path) %}<a href="{{ path|link }}">x</a>{% endmacro %}',
        page='{% import "parts.html" as parts %}{{ parts.to("index.html") }}',
    )
    for path, href in (("a/b.html", "../index.html"), ("c.html", "index.html")):
        assert made.draw(Page(path, "page.html", "A", View()), None, ()) == f'<a href="{href}">x</a>'.encode()


def test_current_pages() -> None:
    """The navigation marks the page itself and its section; pages without a section mark nothing else."""
    links = (Link("A", "a.html", "a"), Link("B", "b.html", ""), Link("C", "c.html", ""))
    assert [item.current for item in entries(links, Page("x.html", "", "", None, "a"))] == [True, False, False]
    assert [item.current for item in entries(links, Page("c.html", "", "", None))] == [False, False, True]


def test_single_files_carry_their_style(tmp_path: Path) -> None:
    """A single file holds the style sheet and its digest.

    Source: W3C, Content Security Policy Level 3, hash sources: base64 of SHA-256 of the element's text.
    """
    made = theme(tmp_path, page="<style>{{ page.inline.css }}</style>{{ page.inline.digest }}")
    (tmp_path / "style.css").write_text('p > b { content: "</style>" }')
    html = made.draw(Page("s.html", "page.html", "S", View(), alone=True), None, ()).decode()
    css = html.removeprefix("<style>").split("</style>")[0]
    assert css == 'p > b { content: "<\\/style>" }'
    digest = base64.b64encode(hashlib.sha256(css.encode()).digest()).decode()
    assert html.endswith(f"</style>sha256-{digest.replace('+', '+')}")


def test_other_files_of_the_theme_are_copied(tmp_path: Path) -> None:
    """Style, script and pictures go into the book; templates, hidden files and private ones do not."""
    made = theme(tmp_path, page="x")
    for name in ("style.css", "font/a.txt", ".hidden", "_notes/x.txt", "templates/.x"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(name)
    assert [(asset.path, asset.data) for asset in made.assets()] == [
        ("font/a.txt", b"font/a.txt"),
        ("style.css", b"style.css"),
    ]


def test_odd_characters(tmp_path: Path) -> None:
    """A name from a file system that is no text is shown with a question mark, and stops nothing."""
    assert drawn(tmp_path, "{{ view.words }}", View("a\udcffb")) == "a?b"
