"""Proves a theme before it is used: every template parses, is used, and holds to what `templatewalk` asks of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule, settled
from compiler.templates import Theme
from compiler.templatewalk import (
    ARITHMETIC,
    MISSING_TEMPLATE,
    UNKNOWN_CALL,
    UNKNOWN_FIELD,
    UNKNOWN_FILTER,
    UNKNOWN_NAME,
    Macro,
    Parsed,
    Walk,
    place_of_template,
)

UNPARSED = Rule(
    "T101",
    "template-unreadable",
    Grade.ERROR,
    "A template that cannot be parsed draws no page.",
    "{% if view.title %}",
)
UNUSED = Rule(
    "T108",
    "template-unused",
    Grade.WARNING,
    "No page and no other template uses this template.",
    "old-front.html",
)
SLOW = Rule(
    "T109",
    "template-drawn-slowly",
    Grade.WARNING,
    "Plain templates are turned into functions once and for all. One that is not so plain is read anew in every "
    "compile, and pages that need it take several times as long to draw; they look the same.",
    "{% call parts.box() %}{{ view.title }}{% endcall %}",
)
RULES = (
    *(UNPARSED, ARITHMETIC, UNKNOWN_NAME, UNKNOWN_FIELD, MISSING_TEMPLATE, UNKNOWN_CALL, UNKNOWN_FILTER, UNUSED),
    SLOW,
)


def check(theme: Theme, views: Mapping[str, type[Any] | None], frame: type[Any] | None) -> tuple[Diagnostic, ...]:
    """Everything wrong with a theme. `views` gives each page's template the type of its view; `frame` is `book`'s."""
    told: list[Diagnostic] = []
    parsed = {name: tree for name in theme.names() if (tree := _parsed(theme, name, told)) is not None}
    known = set(theme.names())
    for name in sorted(set(views) - known):
        told.append(
            MISSING_TEMPLATE.at(place_of_template(name, 1), f"there is no template `{name}`", "add it to the theme")
        )
    for template in parsed.values():
        told += _missing(template, known)
        told += Walk(template, parsed, views.get(template.name), frame, _is_imported(template.name, parsed)).told()
    return settled([*told, *_unused(parsed, views)])


def proved(theme: Theme, views: Mapping[str, type[Any] | None], frame: type[Any] | None) -> tuple[Diagnostic, ...]:
    """Everything to be told of somebody else's theme: what is wrong, else, once, what is drawn the slower way."""
    told = check(theme, views, frame)
    is_wrong = any(message.grade is Grade.ERROR for message in told)
    return told if is_wrong else settled([*told, *slow(theme, views)])


def slow(theme: Theme, views: Iterable[str]) -> Iterator[Diagnostic]:
    """The first template that no function could be made of, if pages need it."""
    left = [refusal for refusal in theme.functions.refused if refusal[0] in set(views)]
    if left:
        _, name, line, why = left[0]
        message = f"this template {why}, so these draw their pages the slower way: {', '.join(one[0] for one in left)}"
        yield SLOW.at(
            place_of_template(name, max(line, 1)), message, "they are right all the same; plainer ones are quicker"
        )


def _parsed(theme: Theme, name: str, told: list[Diagnostic]) -> Parsed | None:
    from jinja2 import TemplateSyntaxError, nodes

    try:
        tree = theme.environment.parse(theme.source(name))
    except (TemplateSyntaxError, OSError, UnicodeDecodeError) as error:
        told.append(UNPARSED.at(place_of_template(name, getattr(error, "lineno", 1)), str(error), "mend the template"))
        return None
    macros = {
        macro.name: Macro(
            tuple(word.name for word in macro.args),
            len(macro.args) - len(macro.defaults),
            any(found.name in ("varargs", "kwargs") for found in macro.find_all(nodes.Name)),
        )
        for macro in tree.find_all(nodes.Macro)
    }
    naming: Any = (nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport)
    named: list[Any] = [node for node in tree.find_all(naming) if isinstance(node.template, nodes.Const)]
    alone = {str(node.template.value) for node in named if not getattr(node, "with_context", True)}
    return Parsed(
        name, tree, macros, tuple((str(node.template.value), node.lineno) for node in named), frozenset(alone)
    )


def _missing(template: Parsed, known: set[str]) -> Iterator[Diagnostic]:
    for other, line in template.names:
        if other not in known:
            yield MISSING_TEMPLATE.at(
                place_of_template(template.name, line), f"there is no template `{other}`", "mend its name"
            )


def _is_imported(name: str, parsed: Mapping[str, Parsed]) -> bool:
    return any(name in template.imports for template in parsed.values())


def _unused(parsed: Mapping[str, Parsed], views: Iterable[str]) -> Iterator[Diagnostic]:
    used, waiting = set[str](), [*views]
    while waiting:
        name = waiting.pop()
        if name not in used:
            used.add(name)
            waiting += [other for other, _ in parsed[name].names] if name in parsed else []
    for name in sorted(set(parsed) - used):
        yield UNUSED.at(place_of_template(name, 1), f"`{name}` is used by no page", "remove it, or use it")
