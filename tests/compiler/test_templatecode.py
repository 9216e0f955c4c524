"""Templates as functions: what they draw is, byte for byte, what Jinja2 (the reference) draws, or they draw nothing."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jinja2 import TemplateError
from markupsafe import Markup

from compiler import expressions, outlines, templates
from compiler.pages import Html, Link, Page
from compiler.shape import Value, field
from compiler.templates import Theme

NAVIGATION = (
    Link("Today <1>", "index.html", "Today"),
    Link("Boats", "boats/index.html", "Boats", "At sea"),
    Link("Nets", "nets.html", "Nets", "At sea"),
)
PARTS = """{% macro tag(boat, size='') %}<b{% if size %} class="{{ size }}"{% endif %}>{{ boat }}</b>{% endmacro %}
{% macro two(a, b) %}{{ _inner(a) }}{{ tag(b, size='big') }}{% endmacro %}
{% macro _inner(a) %}[{{ a }}]{% endmacro %}{% macro to(path) %}{{ path|link }}{% endmacro %}"""
BASE = """<h1>{% block title %}{{ page.title }}{% endblock %}</h1>{% block main %}base{{ view.words }}{% endblock %}
{% for item in nav if not item.group %}{{ item.href|link }} {{ item.label }}{{ '*' if item.current }}{% endfor %}"""
OTHERS = {
    "parts": PARTS,
    "base": BASE,
    "middle": '{% extends "base.html" %}{% block main %}middle {{ super() }}{% endblock %}',
    "in": '{% import "parts.html" as parts %}in {{ view.words }} {{ parts.tag(page.title) }}',
    "whole": '{% extends "base.html" %}{% block title %}whole{% endblock %}',
    "round": '{% include "round.html" %}',
}


class View(Value):
    """What the pages of these tests show."""

    words: Any = "a < b & 'c' \"d\" {{ e }} {% f %} \U0001f411"
    own: Any = field(default_factory=lambda: Html("<i>&amp;</i>"))
    none: Any = None
    empty: Any = ""
    number: Any = 4.5
    exact: Any = Decimal("1.10")
    yes: Any = True
    rows: Any = ("x", "<y>", 3)
    pairs: Any = ((1, "<"), (2, ">"))
    none_at_all: Any = ()
    table: Any = field(default_factory=lambda: {"a": "<a>", "b": 2})


def theme(folder: Path, page: str, **others: str) -> Theme:
    """A theme of one page and others."""
    (folder / "templates").mkdir(parents=True, exist_ok=True)
    for name, text in {**OTHERS, **others, "page": page}.items():
        (folder / "templates" / f"{name}.html").write_text(text, "utf-8")
    return Theme(folder)


def page_at(path: str = "boats/a.html", view: Any = None, section: str = "") -> Page:
    return Page(path, "page.html", "Title <&>", view or View(), section)


def both(made: Theme, page: Page) -> tuple[bytes, bytes]:
    """A page drawn in both ways."""
    book = {"name": "<Log>"}
    return made.drawn_by_functions(page, book, NAVIGATION), made.drawn_by_jinja(page, book, NAVIGATION)


PLAIN = [
    "plain text { } {{ '{{' }} \" ' \\ \\n",
    "{{ view.words }}{{ view.own }}{{ view.none }}{{ view.empty }}{{ view.number }}{{ view.exact }}{{ view.yes }}",
    '<a title="{{ view.words }}">{{ "<" }}{{ 3 }}{{ none }}{{ true }}{{ "<b>"|safe }}</a>',
    "{{ view.words|e }}{{ view.own|escape }}{{ (view.words|e)|e }}",
    "{{ view.rows|join }}{{ view.rows|join(' < ') }}{{ [view.own, view.words]|join(' < ') }}{{ view.words|join('-') }}",
    "{{ view.words|slug }}{{ 'a b.html'|link }}{{ 'index.html'|link }}{{ '#x'|link }}{{ 'a/b'|relative('c.html') }}",
    "{{ view.words ~ view.own }}{{ view.own ~ '<' ~ 3 }}{{ 'a' ~ (' <b' if view.yes) ~ (' c' if view.none) }}",
    "{{ 'x' if view.yes }}{{ 'x<' if view.none }}{{ view.words if view.none else view.own }}",
    "{% if view.none %}a{% elif view.yes %}b{% else %}c{% endif %}{% if not view.rows %}d{% endif %}",
    "{{ view.empty or '<none>' }}{{ view.yes and view.words }}{{ not view.yes }}",
    "{{ view.number > 4 }}{{ 1 < view.number <= 4.5 }}{{ view.words == 'a' }}{{ 'x' in view.rows }}{{ 1 not in (1,) }}",
    "{% if view.words is string and view.number is number and view.exact is number %}s{% endif %}",
    "{{ view.none is none }}{{ view.yes is true }}{{ view.yes is false }}{{ view.table is mapping }}",
    "{{ view.rows is sequence }}{{ view.rows is sameas view.rows }}{{ 'x' is in view.rows }}{{ view.yes is number }}",
    "{{ view.words is defined }}{{ view.x is defined }}{{ view.table.a is defined }}{{ view.table.c is defined }}",
    "{% for row in view.rows %}{{ loop.index }}{{ loop.index0 }}{{ loop.first }}{{ loop.last }}{{ loop.length }}"
    "{% else %}none{% endfor %}",
    "{% for row in view.none_at_all %}x{% else %}<none>{% endfor %}",
    "{% for a, b in view.pairs if a == 2 %}{{ loop.index }}{{ a }}{{ b }}{% else %}none{% endfor %}",
    "{% for a in view.rows %}{% for b in view.rows %}{{ loop.changed(a) }}{{ loop.last }}{% endfor %}{{ loop.last }}"
    "{% endfor %}",
    "{% for key, value in view.table.items() %}{{ key }}{{ value }}{% endfor %}{{ view.table.get('a', 'x') }}",
    "{{ view.rows[1] }}{{ view.table['a'] }}{{ {'a': '<', 'b': view.own}['b'] }}{{ {'a': '<'}.get('c', view.words) }}",
    "{% set a = view.words %}{% if view.yes %}{% set a = 'b' ~ a %}{% endif %}{{ a }}",
    "{% for row in view.rows %}{% set a = row ~ '!' %}{{ a }}{% endfor %}",
    "{% with a = view.words, b = 2 %}{{ a }}{{ b }}{% set c = a %}{{ c }}{% endwith %}",
    '{% import "parts.html" as parts %}{{ parts.tag(view.words) }}{{ parts.two(view.own, b=view.words) }}',
    '{% import "parts.html" as parts %}{% set a = parts.tag("<") %}{{ a }}{{ a ~ "<" }}{{ parts.tag(a) }}',
    '{% import "parts.html" as parts %}{{ parts.to("boats/index.html#x") }}{{ parts.tag(parts.tag(1), "a<") }}',
    '{% from "parts.html" import tag, two as both %}{{ tag(view.words) }}{{ both(1, 2) }}{{ tag("x") if view.yes }}',
    "{% macro own(a, view='<') %}{% for b in a %}{{ b }}{{ view }}{% endfor %}{% endmacro %}{{ own(view.rows) }}",
    "{% macro again(a) %}{{ a }}{% if a < 3 %}{{ again({1: 2, 2: 3}[a]) }}{% endif %}{% endmacro %}{{ again(1) }}",
    '{% extends "base.html" %}{% import "parts.html" as p %}{% block main %}{{ p.tag(view.own) }}{% endblock %}',
    '{% extends "middle.html" %}{% block title %}<{{ super() }}>{% endblock %}',
    '{% extends "middle.html" %}{% block main %}{{ super() }}!{{ super() }}{% endblock %}',
    '{% extends "middle.html" %}ignored {{ view.words }}',
    '{% extends "base.html" %}{% block main %}{% block inner %}x{{ view.words }}{% endblock %}{% endblock %}',
    '{% include "in.html" %}{% for row in view.rows %}{% include "in.html" %}{% endfor %}{% include "whole.html" %}',
    "{% for item in nav %}{{ item.href|link }}{{ item.current }}{{ loop.changed(item.group) }}{% endfor %}",
    "{% for item in nav %}{{ item.label }}{{ page.path }}{{ view.words }}{% endfor %}",
    "{% for page in view.rows %}{{ page }}{% for item in nav %}{{ item.label }}{{ page }}{% endfor %}{% endfor %}",
    "{% for nav in ['ab', '<'] %}{% for item in nav %}{{ item }}{% endfor %}{% endfor %}",
    "{# nothing #}",
    "",
]  # fmt: skip


@pytest.mark.parametrize("text", PLAIN)
@pytest.mark.parametrize("path", ["boats/a.html", "index.html", "nets.html"])
def test_plain_templates_are_drawn_by_functions(tmp_path: Path, text: str, path: str) -> None:
    """Everything that the plain part of the language holds is drawn without Jinja2, and to the same bytes."""
    made = theme(tmp_path, text)
    one, other = both(made, page_at(path, section="Boats"))
    assert one == other


def test_pages_after_one_another(tmp_path: Path) -> None:
    """One theme draws pages of several folders and sections; what is drawn once for a folder stays in it."""
    made = theme(
        tmp_path, '{% extends "base.html" %}{% block main %}{{ "index.html"|link }}{{ view.words|link }}{% endblock %}'
    )
    seen = set()
    for path in ("a.html", "boats/a.html", "boats/index.html", "index.html", "a/b/c.html", "boats/b.html"):
        for section in ("", "Today", "Boats", "elsewhere"):
            for words in ("boats/a.html#b", Markup("boats/a.html#b"), Html("boats/a.html#b<"), Markup("x#<&")):
                one, other = both(made, page_at(path, View(words), section))
                assert one == other
                seen.add(one)
    assert len(seen) == 18  # what differs: folder, mark and words


LEFT_TO_JINJA = [
    "{% set a %}x{% endset %}{{ a }}",
    "{% macro m() %}{{ caller() }}{% endmacro %}{% call m() %}{{ view.words }}{% endcall %}",
    "{% macro m() %}{{ varargs|join }}{% endmacro %}{{ m(1, 2) }}",
    "{% macro m() %}{{ view.words }}{% endmacro %}{{ m() }}",
    "{% macro m(a, b=a) %}{{ b }}{% endmacro %}{{ m(1) }}",
    "{% macro m(a) %}{{ a }}{% endmacro %}{{ m(*view.rows[:1]) }}",
    "{{ view.words[1:3] }}",
    "{% set rows = [] %}{% set _ = rows.append(1) %}{{ rows|join }}",
    "{% for a in view.rows recursive %}{{ a }}{% endfor %}",
    "{% for a in view.rows %}{{ loop.cycle('a', 'b') }}{{ loop.previtem is defined }}{% endfor %}",
    "{% set a = 1 %}{% for b in view.rows %}{{ a }}{% set a = b %}{% endfor %}{{ a }}",
    "{% for b in view.rows %}{% if b == 'x' %}{% set a = b %}{% endif %}{{ a is defined }}{% endfor %}",
    "{% block main %}{{ view.words }}{% endblock %}{{ self.main() }}",
    "{% set a = 1 %}{% block main %}{{ a }}{% endblock %}",
    '{% include ["absent.html", "in.html"] %}',
    '{% include "absent.html" ignore missing %}',
    '{% extends "base.html" if view.yes else "middle.html" %}',
    '{% extends "base.html" %}{% set a = view.words %}{% block main %}{{ a }}{% endblock %}',
    '{% import "parts.html" as parts with context %}{{ parts.tag(1) }}',
    '{% filter slug %}{{ view.words }}{% endfilter %}',
    "{{ ('<b>'|safe) ~ '<' }}{{ '<b>'|safe ~ view.words }}",
    "{% autoescape false %}{{ view.words }}{% endautoescape %}",
    "{{ view.class_ is defined or view.words }}{{ view.words.__class__.__name__ }}{{ 'abc'.upper is defined }}",
    "{% if view.none %}{{ view.words|upper }}{% endif %}",
    "{% if view.none %}{{ view.ﬁeld }}{{ view.class }}{% endif %}",
    "{% set loop = 1 %}{% for a in view.rows %}{{ loop }}{% endfor %}",
]  # fmt: skip


@pytest.mark.parametrize("text", LEFT_TO_JINJA)
def test_the_rest_is_left_to_jinja(tmp_path: Path, text: str) -> None:
    """A template that goes further is refused, and drawn by Jinja2."""
    made = theme(tmp_path, text)
    told = {name: (hinders, line, why) for name, hinders, line, why in made.functions.refused}
    hinders, line, why = told["page.html"]
    assert hinders == "page.html"
    assert line == (0 if "autoescape" in text else 1)  # which Jinja2 gives no line
    assert why
    assert made.draw(page_at(), None, NAVIGATION) == made.drawn_by_jinja(page_at(), None, NAVIGATION)


WRONG = [
    "{{ nothing }}", "{{ view.nothing }}", "{{ view.words.nothing }}", "{{ view.rows[9] }}", "{{ view.none[0] }}",
    "{% if nothing %}x{% endif %}", "{{ view.words|upper }}", "{{ view.words is divisibleby 2 }}", "{% if %}",
    "{% for a in view.none %}x{% endfor %}", "{{ view.none|link }}", "{{ view() }}", "{{ loop.index }}",
    "{% for a in view.rows %}{% endfor %}{{ a }}", "{% block a %}{% endblock %}{% block a %}{% endblock %}",
    '{% include "absent.html" %}', '{% extends "absent.html" %}', '{% import "absent.html" as a %}',
    '{% import "parts.html" as p %}{{ p._inner(1) }}', '{% import "parts.html" as p %}{{ p.absent(1) }}',
    '{% import "parts.html" as p %}{{ p.tag() }}', '{% import "parts.html" as p %}{{ p.tag(1, 2, 3) }}',
    '{% import "parts.html" as p %}{{ p.tag(1, colour=2) }}', '{% from "parts.html" import absent %}{{ absent() }}',
    "{{ m() }}{% macro m() %}x{% endmacro %}",
    '{% include "round.html" %}', "{% block a %}{{ super() }}{% endblock %}",
]  # fmt: skip


@pytest.mark.parametrize("text", WRONG)
def test_what_is_wrong_is_told_by_jinja(tmp_path: Path, text: str) -> None:
    """What stops a page stops it as before, with Jinja2's own words; the functions never go on in silence."""
    made = theme(tmp_path, text)
    with pytest.raises(Exception) as reference:  # noqa: PT011
        made.drawn_by_jinja(page_at(), None, NAVIGATION)
    with pytest.raises(type(reference.value)) as drawn:
        made.draw(page_at(), None, NAVIGATION)
    assert str(drawn.value) == str(reference.value)
    assert isinstance(reference.value, TemplateError | AttributeError | RecursionError | TypeError)


def test_those_that_need_a_refused_template_are_refused(tmp_path: Path) -> None:
    """The refusal names the template that hinders, its line, and what it does; others are not touched by it."""
    others = {"parts": "\n{% macro tag(a) %}{{ caller() }}{% endmacro %}", "alone": "{{ view.words }}"}
    made = theme(tmp_path, '{% extends "middle.html" %}{% import "parts.html" as p %}', **others)
    told = {name: rest for name, *rest in made.functions.refused}
    assert told["page.html"] == told["in.html"] == ["parts.html", 2, "calls what is no macro"]
    assert told["round.html"] == ["round.html", 0, "needs itself"]
    assert {"alone.html", "base.html", "middle.html"} <= set(made.functions.drawings)


def test_a_name_with_two_meanings(tmp_path: Path) -> None:
    """Jinja2 lets a template that is extended change what its child has imported; such a pair is left to it."""
    base = '{% import "in2.html" as p %}{% block main %}{% endblock %}'
    page = '{% extends "base2.html" %}{% import "parts.html" as p %}{% block main %}{{ p.tag(1) }}{% endblock %}'
    made = theme(tmp_path, page, base2=base, in2="{% macro tag(a) %}other{% endmacro %}")
    assert made.draw(page_at(), None, NAVIGATION) == made.drawn_by_jinja(page_at(), None, NAVIGATION) == b"other"
    assert "page.html" not in made.functions.drawings


def test_what_can_be_gone_through_once(tmp_path: Path) -> None:
    """A generator in a view is not used up by a function that gives up: nothing vanishes from the page."""
    made = theme(tmp_path, "{{ view.words }}{% for row in view.rows %}{{ row }}{% endfor %}")
    view = View(rows=(letter for letter in "abc"), words="")
    assert made.draw(page_at(view=view), None, NAVIGATION) == b"abc"


def test_more_than_python_takes(tmp_path: Path) -> None:
    """Loops in loops beyond what Python allows are left to Jinja2, which says so, and nothing else is lost."""
    deep = "{% for a in view.rows %}" * 18 + "{% endfor %}" * 18
    made = theme(tmp_path, deep, flat="{{ view.words }}")
    assert [line[0] for line in made.functions.refused] == ["page.html", "round.html"]
    assert "flat.html" in made.functions.drawings


def test_files_that_are_no_templates(tmp_path: Path) -> None:
    """A picture or a torn text among the templates hinders only those that need it."""
    made = theme(tmp_path, '{% include "torn.html" %}', good="{{ view.words }}")
    (tmp_path / "templates" / "torn.html").write_bytes(b"\xff\xfe\x00<")
    assert "good.html" in made.functions.drawings
    with pytest.raises(UnicodeDecodeError):
        made.draw(page_at(), None, NAVIGATION)


def test_no_theme_at_all(tmp_path: Path) -> None:
    """A folder without templates has no functions, and says nothing before a page is asked for."""
    assert Theme(tmp_path / "absent").functions.drawings == {}


def test_the_names_are_those_of_the_proof() -> None:
    """Filters, tests and given names are the ones that the proof of a theme allows, none more."""
    assert {*expressions.FILTERS, "join", "safe"} == templates.FILTERS
    assert {*expressions.TESTS, "defined"} == templates.TESTS
    assert set(outlines.GIVEN) == templates.NAMES


def test_many_threads_draw_alike(tmp_path: Path) -> None:
    """Pages of several folders drawn at the same time keep their own links."""
    from concurrent.futures import ThreadPoolExecutor

    made = theme(tmp_path, '{% extends "base.html" %}{% block main %}{{ view.words|link }}{% endblock %}')
    pages = [page_at(path, View("boats/a.html")) for path in ("a.html", "boats/b.html", "c/d/e.html") * 50]
    one = [made.drawn_by_functions(page, None, NAVIGATION) for page in pages]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda page: made.drawn_by_functions(page, None, NAVIGATION), pages)) == one


# Random templates: whatever the functions draw, Jinja2 draws the same.
VALUES = st.one_of(
    st.sampled_from([None, "", 0, True, (), ("a", "<"), [1, 2], {"a": "<"}, Html("<i>"), Markup("&"), Decimal(2)]),
    st.lists(st.sampled_from(["<", "a", 1, None, Html("<i>"), ("x", "y"), ["&"]]), max_size=3),
    st.text(max_size=6),
)
OF_TWO = (
    "({} ~ {})",
    "({} or {})",
    "({} and {})",
    "[{}, {}]",
    "({}, {})",
    "({} == {})",
    "({} != {})",
)
OF_ONE = (
    *(
        "{}|e",
        "(not {})",
        "({} is string)",
        "({} is none)",
        "(view.a is defined) ~ {}",
        "({} is sequence)",
        "{}|join('<')",
        "{}|join",
    ),
    *(
        "({} if page.title else '<')",
        "('a' ~ ({} if page.look))",
        "{{'a': {}}}.get('a')",
        "{{'a': {}}}['a']",
        "{}[0]",
        "{}|link",
    ),
)
CALLS = ("m({})", "m(x={})", "m(y={})", "p.tag({})", "p.two({}, b='<')", "p.to('a#b')", "p.tag('<', {})")
OF_LOOP = ("loop.index", "loop.index0", "loop.first", "loop.last", "loop.length")
WILD = (
    "nothing",
    "view.nothing",
    "nav",
    "loop",
    "z",
    "super()",
    "view.a|safe",
    "view.a|upper",
    "book",
    "view.a.b",
    "'<'|safe",
)


class Place(Value):
    """Where a random template is being written: the names that are known, and what may be said there."""

    names: tuple[str, ...]
    calls: tuple[str, ...] = CALLS
    is_in_loop: bool = False
    may_block: bool = False
    is_outside: bool = True  # of loops and macros
    sees_nav: bool = True


@st.composite
def expression(draw: st.DrawFn, at: Place, depth: int = 2) -> str:
    """An expression, now and then of a name that is not there or means nothing."""
    dice = draw(st.integers(0, 99))
    if dice == 0:
        return draw(st.sampled_from(WILD))
    if depth and dice < 30:
        form = draw(st.sampled_from((*OF_TWO, *OF_ONE, *at.calls, *(["loop.changed({})"] if at.is_in_loop else []))))
        return form.format(*(draw(expression(at, depth - 1)) for _ in range(form.count("{}"))))
    more = OF_LOOP if at.is_in_loop else ()
    return draw(st.sampled_from((*at.names, *at.names, *more, "'<'", "2", "none")))


@st.composite
def body(draw: st.DrawFn, at: Place, depth: int = 3) -> str:
    """Some statements, one after the other."""
    return "".join(draw(st.lists(statement(at, depth), max_size=3)))


@st.composite
def statement(draw: st.DrawFn, at: Place, depth: int) -> str:
    """One statement."""
    kinds = ["print", "print", "print", "text", "set"]
    kinds += ["if", "if", "for", "for", "filtered", "two", "with"] if depth else []
    kind = draw(
        st.sampled_from(
            [
                *kinds,
                *(["block"] if at.may_block and depth else []),
                *(["include"] if at.is_outside else []),
                *(["nav"] if depth and at.sees_nav else []),
            ]
        )
    )
    one = draw(expression(at))
    if kind in ("print", "text", "set", "include"):
        ways = {"print": f"{{{{ {one} }}}}", "text": "<p>", "include": '{% include "in.html" %}'}
        return (
            ways.get(kind)
            or f"{{% set {draw(st.sampled_from(['x', 'y', 'z']) if at.is_outside else st.just('z'))} = {one} %}}"
        )
    target = draw(st.sampled_from(["i", "i", "i", "i", "x", "x", "view"]))
    names = (*at.names, target) if target != "view" else ("view", "page.title")
    inner = Place(names, at.calls, kind in ("for", "filtered", "nav", "two"), at.may_block, False, at.sees_nav)
    held = draw(body(inner if kind != "if" else at, depth - 1))
    other = draw(body(at, depth - 1))
    ways = {
        "if": f"{{% if {one} %}}{held}{{% else %}}{other}{{% endif %}}",
        "for": f"{{% for {target} in {one} %}}{held}{{% else %}}{other}{{% endfor %}}",
        "filtered": f"{{% for {target} in [{one}, 2, 3] if {target} != 3 %}}{held}{{% endfor %}}",
        "two": f"{{% for {target}, k in {one} %}}{held}{{{{ k }}}}{{% endfor %}}",
        "with": f"{{% with {target} = {one} %}}{held}{{% endwith %}}",
        "nav": f"{{% for {target} in nav %}}{held}{{{{ {target}.label }}}}{{% endfor %}}{other}",
        "block": f"{{% block b{draw(st.integers(0, 99))} %}}{held}{{% endblock %}}{{{{ {one} }}}}",
    }
    return ways[kind]


@st.composite
def template(draw: st.DrawFn) -> str:
    """Imports and a macro, then what is printed, by the template itself or in the blocks of a child."""
    imports = '{% import "parts.html" as p %}'
    macro = draw(body(Place(("x", "y"), CALLS[3:], is_outside=False, sees_nav=False), 2)).replace("page.", "x.")
    own = f'{imports}{{% macro m(x="&", y="<") %}}{macro}{{{{ x }}}}{{% endmacro %}}'
    known = "{% set x = view.a %}{% set y = view.b %}"
    at = Place(("view.a", "view.b", "view.c", "x", "y", "page.title"))
    parent = draw(st.sampled_from(["", "", "base", "middle"]))
    if not parent:
        may_block = draw(st.booleans())
        at = Place(at.names[: 3 if may_block else 6], may_block=may_block)
        return f"{own}{'' if may_block else known}{draw(body(at))}"
    blocks = "".join(
        f"{{% block {name} %}}{known}{draw(body(at))}{draw(st.sampled_from(['', '{{ super() }}']))}{{% endblock %}}"
        for name in draw(st.sampled_from([("title",), ("main",), ("main", "title"), ("other",)]))
    )
    return f'{{% extends "{parent}.html" %}}{own}{blocks}'


class Random(Value):
    """A view of random values."""

    a: Any
    b: Any
    c: Any
    words: str = "<w>"


@settings(max_examples=150, deadline=None)
@given(text=template(), view=st.builds(Random, VALUES, VALUES, VALUES))
def test_what_functions_draw_is_what_jinja_draws(text: str, view: Random) -> None:
    """For any template and any values: a function draws the very bytes of Jinja2, or it draws nothing."""
    with TemporaryDirectory() as folder:
        made = theme(Path(folder), text)
        for path in ("boats/a.html", "b.html"):
            drawn = next(_drawn(made, page_at(path, view)), None)
            if drawn is not None:
                assert drawn == made.drawn_by_jinja(page_at(path, view), None, NAVIGATION)


def _drawn(made: Theme, page: Page) -> Iterator[bytes]:
    try:
        yield made.drawn_by_functions(page, None, NAVIGATION)
    except Exception:  # given up: Jinja2 draws the page, or says why it cannot
        return


WITHOUT_JINJA = """
import sys
from pathlib import Path
from compiler.pages import Page
from compiler.templates import Theme
drawn = Theme(Path(sys.argv[1]), Path(sys.argv[2])).draw(Page("a.html", "page.html", "T", None), None, ())
print(drawn.decode(), "jinja2" in sys.modules)
"""


def test_remembered_functions_need_no_jinja(tmp_path: Path) -> None:
    """In the second process Jinja2 is not even loaded; after a change to a template the new text is drawn."""
    import compiler

    def drawn() -> str:
        command = [sys.executable, "-c", WITHOUT_JINJA, str(tmp_path / "theme"), str(tmp_path / "memory")]
        home = Path(compiler.__file__).parents[1]
        return subprocess.run(command, cwd=home, capture_output=True, text=True, check=True).stdout.strip()

    theme(tmp_path / "theme", "one {{ page.title }}")
    assert [drawn(), drawn()] == ["one T True", "one T False"]
    theme(tmp_path / "theme", "two {{ page.title }}")
    assert [drawn(), drawn()] == ["two T True", "two T False"]
    assert len(list((tmp_path / "memory").iterdir())) == 1
