"""What the functions made from templates call: escaping, markup, loops and links, each exactly as Jinja2 has them.

What Jinja2 would forgive (a name that is not there) raises here; then the page is drawn by Jinja2, whose word is final.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from numbers import Number
from typing import Any

from markupsafe import Markup, escape

from compiler.pages import Html, linked, relative_to, slug

try:
    from markupsafe._speedups import _escape_inner as escaped
except ImportError:  # a version that has no such part, or none for this machine

    def escaped(text: str, /) -> str:
        """A text with the five characters of markup replaced, as `markupsafe` replaces them."""
        plain = text.replace("&", "&amp;").replace(">", "&gt;").replace("<", "&lt;")
        return plain.replace("'", "&#39;").replace('"', "&#34;")


TABLE = "TEMPLATES"  # what the functions' own code calls the table of each template's root and blocks
Print = Callable[..., None]  # (out, here, …): adds texts to the list `out`


def shown(value: object) -> str:
    """A value as it stands on a page: escaped, unless it is markup."""
    kind = type(value)
    if kind is str:
        return escaped(value)  # type: ignore[arg-type]
    if kind is Html or kind is Markup:
        return value  # type: ignore[return-value]
    return escape(value)


def joined(*parts: Any) -> str:
    """`a ~ b`: markup if any part is, and then the others are escaped."""
    for part in parts:
        if type(part) is not str:
            return joined_by("", [part if isinstance(part, str) else str(part) for part in parts])
    return "".join(parts)


def listed(values: Iterable[object], between: str = "") -> str:
    """The filter `join`."""
    return joined_by(between, [value if hasattr(value, "__html__") else str(value) for value in several(values)])


def joined_by(between: str, values: Sequence[Any]) -> str:
    """Texts with another between them: markup if any is."""
    is_markup = any(hasattr(value, "__html__") for value in values)
    return escape(between).join(values) if is_markup else between.join(values)


def several(values: Iterable[Any]) -> Sequence[Any]:
    """What a loop goes through. Something that can be gone through only once is left untouched, for Jinja2."""
    if type(values) is tuple or type(values) is list:
        return values
    if iter(values) is values:
        raise TypeError("this can be gone through only once")
    return list(values)


def made(macro: Print, here: Here, *given: Any, **named: Any) -> Markup:
    """What a macro prints, as a value."""
    out: list[str] = []
    macro(out, here, *given, **named)
    return str.__new__(Markup, "".join(out))


def same(one: object, other: object) -> bool:
    """The tests `none`, `true`, `false` and `sameas`."""
    return one is other


def is_number(value: object) -> bool:
    """The test `number`."""
    return type(value) is int or isinstance(value, Number)


def is_mapping(value: object) -> bool:
    """The test `mapping`."""
    return isinstance(value, Mapping)


def is_sequence(value: Any) -> bool:
    """The test `sequence`."""
    try:
        len(value)
        value.__getitem__  # noqa: B018
    except Exception:  # whatever the value says to it
        return False
    return True


def has(owner: Any, name: str) -> bool:
    """The test `defined` of `owner.name`."""
    if hasattr(owner, name):
        return True
    try:
        owner[name]
    except (TypeError, LookupError, AttributeError):
        return False
    return True


class Changes:
    """`loop.changed`: whether it is given other values than the last time."""

    __slots__ = ("last",)

    def __init__(self) -> None:
        """Nothing was given yet."""
        self.last: object = Changes  # no loop gives this

    def __call__(self, *values: object) -> bool:
        """Whether these are others than the last ones."""
        if self.last != values:
            self.last = values
            return True
        return False


class Here:
    """A folder of the book and a navigation as seen from it: links are written, and parts of the page drawn, once."""

    __slots__ = ("kept", "links", "nav", "page")

    def __init__(self, page: str, nav: tuple[Any, ...], links: dict[str, str]) -> None:
        """The folder of the page at the path `page`; `links` are those of this folder that are already known."""
        self.page, self.nav, self.links = page, nav, links
        self.kept: dict[Print, str] = {}

    def link(self, path: str) -> str:
        """The filter `link`."""
        if type(path) is not str:  # markup may equal a text, but is linked otherwise
            return linked(self.page, path)
        link = self.links.get(path)
        if link is None:
            link = self.links[path] = linked(self.page, path)
        return link

    def once(self, part: Print) -> str:
        """What a part prints that depends on nothing but the navigation and the folder."""
        text = self.kept.get(part)
        if text is None:
            out: list[str] = []
            part(out, self, self.nav)
            text = self.kept[part] = "".join(out)
        return text


NAMES: Mapping[str, object] = {
    named.__name__: named
    for named in (
        Changes, Markup, escape, has, is_mapping, is_number, is_sequence, joined, listed, made, relative_to, same,
        several, shown, slug,
    )
}  # fmt: skip
