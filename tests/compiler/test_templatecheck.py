"""A theme is proved before it is used: what would stop a page, or compute, is found without drawing one."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pytest

from compiler.shape import Value
from compiler.templatecheck import RULES, check, proved
from compiler.templates import Theme


class Lamb(Value):
    """One of several."""

    tag: str
    sex: str | None

    @property
    def label(self) -> Words:
        """Its label."""
        return Words(self.tag)


class Words(Value):
    """A kind of cell."""

    kind: str
    text: str = ""


class View(Value):
    """The view of these tests."""

    title: str
    lambs: tuple[Lamb, ...]
    best: Lamb | None
    cells: tuple[Words | Lamb, ...]
    loose: Iterable[object]


class Frame(Value):
    """What every page shows."""

    name: str


def codes(folder: Path, page: str, **others: str) -> list[tuple[str, int]]:
    """What is wrong with a theme of these templates: code and line."""
    (folder / "templates").mkdir(parents=True)
    for name, text in {"page": page, **others}.items():
        (folder / "templates" / f"{name}.html").write_text(text)
    views = {"page.html": View}
    return [(message.code, message.span.line) for message in check(Theme(folder), views, Frame)]


PARTS = "{% macro tag(lamb, root, size='') %}{{ root }}{{ lamb.tag }}{{ size }}{% endmacro %}"


@pytest.mark.parametrize(
    "page",
    [
        "{{ view.title }} {{ page.root }} {{ book.name }} {% for item in nav %}{{ item.label }}{% endfor %}",
        "{% for lamb in view.lambs %}{{ loop.index }} {{ lamb.tag }} {{ lamb.label.text }}{% else %}none{% endfor %}",
        "{% if view.best and view.best.sex == 'ewe' %}{{ view.best.tag ~ '!' }}{% endif %}",
        "{% for cell in view.cells %}{{ cell.kind if cell is not string else cell }}{{ cell.tag }}{% endfor %}",
        "{% for thing in view.loose %}{{ thing.anything.at.all }}{% endfor %}",
        "{% set a = view.best %}{{ a.tag }}{% set b %}x{% endset %}{{ b }}{{ view.lambs[0].tag }}",
        "{% with a = view.best %}{{ a.tag }}{% endwith %}{{ {'a': 1}.get('a') }}{{ [view.title]|join(' ') }}",
        "{% block main %}{{ view.title }}{{ super() }}{% endblock %}{{ self.main() }}",
        "{% macro m(x) %}{{ x.anything }}{{ caller() }}{% endmacro %}{% call m(1) %}{{ view.title }}{% endcall %}",
        "{% macro m() %}{{ varargs|join }}{% endmacro %}{{ m(1, 2) }}",
        "{{ '<b>'|safe }}{{ ' class=x' if view.best }}",
        "{% set rows = [] %}{% set _ = rows.append(1) %}{{ rows|join }}",
    ],
)
def test_what_is_right_passes(tmp_path: Path, page: str) -> None:
    """Nothing is said against a template that only shows what it is given."""
    assert codes(tmp_path, page) == []


@pytest.mark.parametrize(
    ("page", "code"),
    [
        ("{{ view.title", "T101"),
        ("{% for %}", "T101"),
        ("{{ 1 + 1 }}", "T102"),
        ("{{ view.lambs|length }}", "T107"),
        ("{% if view.title %}{{ loop.index - 1 }}{% endif %}", "T102"),
        ("{% for l in view.lambs %}{{ loop.index * 2 }}{% endfor %}", "T102"),
        ("{{ -1 }}", "T102"),
        ("{{ 7 // 2 }}", "T102"),
        ("{{ 7 % 2 }}", "T102"),
        ("{{ veiw.title }}", "T103"),
        ("{% if nothing %}{% endif %}", "T103"),
        ("{% for lamb in view.lambs %}{% endfor %}{{ lamb.tag }}", "T103"),
        ("{{ loop.index }}", "T103"),
        ("{% macro m(x) %}{% endmacro %}{{ x }}", "T103"),
        ("{{ view.titel }}", "T104"),
        ("{{ page.titel }}", "T104"),
        ("{{ book.flock }}", "T104"),
        ("{% for item in nav %}{{ item.url }}{% endfor %}", "T104"),
        ("{% for lamb in view.lambs %}{{ lamb.tga }}{% endfor %}", "T104"),
        ("{% for lamb in view.lambs %}{{ lamb.label.txet }}{% endfor %}", "T104"),
        ("{% for lamb in view.lambs %}{{ loop.idx }}{% endfor %}", "T104"),
        ("{{ view.best.tga }}", "T104"),
        ("{{ view.lambs[0].tga }}", "T104"),
        ("{% set a = view.best %}{{ a.tga }}", "T104"),
        ("{% for cell in view.cells %}{{ cell.nothing }}{% endfor %}", "T104"),
        ("{{ view.title.nothing }}", "T104"),
        ('{% extends "absent.html" %}', "T105"),
        ('{% include "absent.html" %}', "T105"),
        ('{% import "absent.html" as a %}', "T105"),
        ("{% import view.title as a %}", "T105"),
        ('{% import "parts.html" as p %}{{ p.tga(view.best, "") }}', "T106"),
        ('{% from "parts.html" import tga %}', "T106"),
        ('{% import "parts.html" as p %}{{ p.tag(view.best) }}', "T106"),
        ('{% import "parts.html" as p %}{{ p.tag(view.best, "", "", "") }}', "T106"),
        ('{% import "parts.html" as p %}{{ p.tag(view.best, "", colour="red") }}', "T106"),
        ('{% from "parts.html" import tag as t %}{{ t() }}', "T106"),
        ("{{ view.title.upper() }}", "T106"),
        ("{{ view() }}", "T106"),
        ("{{ view.title|upper }}", "T107"),
        ("{{ view.title|safe }}", "T107"),
        ("{{ view.title is divisibleby 2 }}", "T107"),
    ],
)
def test_what_is_wrong_is_found(tmp_path: Path, page: str, code: str) -> None:
    """Each slip is found on its line."""
    assert (code, 2) in codes(tmp_path, f"first line\n{page}", parts=PARTS)


def test_names_inside_imported_templates(tmp_path: Path) -> None:
    """A macro that is imported without its user's names may not use them; one imported with them may."""
    shy = "{% macro m() %}{{ view.title }}{% endmacro %}"
    assert codes(tmp_path / "a", '{% import "shy.html" as s %}{{ s.m() }}', shy=shy) == [("T103", 1)]
    assert codes(tmp_path / "b", '{% import "shy.html" as s with context %}{{ s.m() }}', shy=shy) == []


def test_unused_templates(tmp_path: Path) -> None:
    """A template that no page reaches, by whatever way, is named."""
    used = '{% extends "base.html" %}{% block a %}{% include "in.html" %}{% endblock %}'
    others = {"base": "{% block a %}{% endblock %}", "in": "x", "old": "x"}
    assert codes(tmp_path, used, **others) == [("T108", 1)]


def test_missing_page_template(tmp_path: Path) -> None:
    """A page whose template is not there is told before it is drawn."""
    (tmp_path / "templates").mkdir()
    (message,) = check(Theme(tmp_path), {"page.html": View}, Frame)
    assert (message.code, message.span.path) == ("T105", "templates/page.html")


def test_slow_templates_are_told_once(tmp_path: Path) -> None:
    """A theme that is right but goes beyond the plain part of the language: one word about it, with the place."""
    called = '{% import "parts.html" as p %}\n{% call p.tag(view.best, "") %}{{ view.title }}{% endcall %}'
    assert codes(tmp_path, called, parts=PARTS, other='{% include "page.html" %}') == [("T108", 1)]
    views = {"page.html": View, "other.html": View}
    told = proved(Theme(tmp_path), views, Frame)
    assert [(message.code, message.span.path, message.span.line) for message in told] == [
        ("T109", "templates/page.html", 2)
    ]
    assert "page.html" in told[0].message
    assert "other.html" in told[0].message


def test_nothing_is_said_of_speed_where_something_is_wrong(tmp_path: Path) -> None:
    """What stops a page is told alone; a theme of plain templates is told nothing."""
    (tmp_path / "a").mkdir()
    codes(tmp_path / "a", "{{ view.tilte }}{% set a %}x{% endset %}")
    assert [message.code for message in proved(Theme(tmp_path / "a"), {"page.html": View}, Frame)] == ["T104"]
    codes(tmp_path / "b", "{{ view.title }}")
    assert proved(Theme(tmp_path / "b"), {"page.html": View}, Frame) == ()


def test_every_rule_explains_itself() -> None:
    """Each rule has words for `why`, an example, and a code of its own."""
    assert len({rule.code for rule in RULES}) == len(RULES)
    assert all(rule.why and rule.example for rule in RULES)
