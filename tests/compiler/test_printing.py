"""What the functions of templates call means exactly what it means in Jinja2 and MarkupSafe, the references."""

from __future__ import annotations

import builtins
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib.util import find_spec, module_from_spec
from types import ModuleType
from typing import Any
from unittest.mock import patch

import jinja2.tests
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from jinja2.filters import do_join
from jinja2.nodes import EvalContext
from jinja2.runtime import LoopContext, StrictUndefined, markup_join
from markupsafe import Markup, escape

from compiler import printing
from compiler.pages import Html
from compiler.printing import Changes, Here, has, joined, listed, made, several, shown


class Loud:
    """A thing that is markup in its own way."""

    def __html__(self) -> str:
        return "<loud & clear>"

    def __str__(self) -> str:
        return "<quiet>"


class Tag(str):
    """A text of a kind of its own: no markup."""

    __slots__ = ()


TEXTS = st.text() | st.text(st.sampled_from("<>&'\"a\U0001f411\udc80{}")) | st.builds("".join, st.lists(st.text()))
ANYTHING = st.one_of(
    TEXTS,
    TEXTS.map(Html),
    TEXTS.map(Markup),
    TEXTS.map(Tag),
    st.none() | st.booleans() | st.integers() | st.floats() | st.decimals(),
    st.lists(TEXTS, max_size=2),
    st.builds(Loud),
)


@given(ANYTHING)
@example("&amp;<b>'\"")
@example(Html("<svg/>"))
def test_a_value_is_escaped_as_by_the_reference(value: Any) -> None:
    """Any value in any place stands on the page as MarkupSafe writes it."""
    assert shown(value) == str(escape(value))


@given(TEXTS)
def test_no_text_of_a_note_becomes_markup(text: str) -> None:
    """None of the five characters of markup comes through, but in the five references; read back, the text is whole."""
    page = shown(text)
    assert not set("<>'\"") & set(page)
    assert Markup(page).unescape() == Markup(escape(text)).unescape()
    for mark, reference in (("&lt;", "<"), ("&gt;", ">"), ("&#39;", "'"), ("&#34;", '"'), ("&amp;", "&")):
        page = page.replace(mark, reference)
    assert page == text


@cache
def without_the_quick_part() -> ModuleType:
    """The module as it is loaded where MarkupSafe has no quick part."""

    def refuse(name: str, *rest: Any, **more: Any) -> Any:
        if name == "markupsafe._speedups":
            raise ImportError(name)
        return real(name, *rest, **more)

    real = builtins.__import__
    spec = find_spec("compiler.printing")
    assert spec is not None
    assert spec.loader is not None
    slow = module_from_spec(spec)
    with patch.object(builtins, "__import__", refuse):
        spec.loader.exec_module(slow)
    return slow


@given(TEXTS)
def test_escaping_without_the_quick_part(text: str) -> None:
    """Where MarkupSafe has no quick part, our own few lines do the same."""
    slow = without_the_quick_part()
    assert slow.escaped.__module__ == "compiler.printing"
    assert slow.escaped(text) == printing.escaped(text) == str(escape(text))


@given(st.lists(ANYTHING, min_size=1, max_size=4))
def test_joining(values: list[Any]) -> None:
    """`~` and the filter `join` give what Jinja2 gives, of the same kind: markup or text."""
    context = EvalContext(jinja2.Environment(autoescape=True))
    assert (joined(*values), _is_markup(joined(*values))) == (markup_join(values), _is_markup(markup_join(values)))
    for between in ("", " < "):
        one, other = listed(values, between), do_join(context, values, between)
        assert (one, _is_markup(one)) == (other, _is_markup(other))


def _is_markup(text: str) -> bool:
    return hasattr(text, "__html__")


@given(ANYTHING)
def test_tests_of_a_value(value: Any) -> None:
    """The tests are those of Jinja2."""
    assert printing.is_number(value) == jinja2.tests.test_number(value)
    assert printing.is_mapping(value) == jinja2.tests.test_mapping(value)
    assert printing.is_sequence(value) == jinja2.tests.test_sequence(value)
    assert printing.same(value, None) == jinja2.tests.test_none(value)


@pytest.mark.parametrize("value", [Decimal(1), Fraction(1, 3), 1j, True, {}, {1: 2}, (), range(3), "a", Loud(), Loud])
def test_tests_of_rare_values(value: Any) -> None:
    """Numbers of all kinds, mappings and sequences are told apart as by Jinja2."""
    assert printing.is_number(value) == jinja2.tests.test_number(value)
    assert printing.is_mapping(value) == jinja2.tests.test_mapping(value)
    assert printing.is_sequence(value) == jinja2.tests.test_sequence(value)


@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 1))))
def test_changes_in_a_loop(values: list[tuple[int, int]]) -> None:
    """`loop.changed` answers as in Jinja2, the first time too."""
    reference, changes = LoopContext([], StrictUndefined), Changes()
    assert [changes(*value) for value in values] == [reference.changed(*value) for value in values]
    assert Changes()()


def test_defined_fields() -> None:
    """A field is there as an attribute, or else as an item, as Jinja2 looks for it."""
    environment = jinja2.Environment(undefined=StrictUndefined)
    for owner in (Loud(), {"a": 1}, "abc", None, [1], Html("x")):
        for name in ("a", "__html__", "items", "0"):
            assert has(owner, name) == jinja2.tests.test_defined(environment.getattr(owner, name))


def test_what_a_loop_goes_through() -> None:
    """Anything that can be gone through again; a generator is not touched."""
    for values in ((1, 2), [1, 2], {1: 0, 2: 0}, range(1, 3), {1: 0, 2: 0}.keys()):
        assert list(several(values)) == [1, 2]
    once = (number for number in (1, 2))
    with pytest.raises(TypeError):
        several(once)
    assert list(once) == [1, 2]


def test_what_a_macro_prints_is_markup() -> None:
    """As a value it is shown as it is, and anything joined to it is escaped."""

    def macro(out: list[str], _: Here, word: str) -> None:
        out += ("<b>", shown(word), "</b>")

    value = made(macro, Here("a.html", (), {}), "<")
    assert type(value) is Markup
    assert shown(value) == "<b>&lt;</b>"
    assert value + "<" == "<b>&lt;</b>&lt;"
