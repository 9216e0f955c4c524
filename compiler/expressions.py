"""The expressions of a template as Python: only those that a strict template may hold, each with Jinja2's meaning."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from compiler.outlines import GIVEN, Bound, Outline, Refused, all_of, kind_of, plain_name
from compiler.printing import shown

COMPARISONS = {"eq": "==", "ne": "!=", "lt": "<", "lteq": "<=", "gt": ">", "gteq": ">=", "in": "in", "notin": "not in"}
TESTS = {
    "none": "same({}, None)",
    "true": "same({}, True)",
    "false": "same({}, False)",
    "string": "isinstance({}, str)",
    "number": "is_number({})",
    "mapping": "is_mapping({})",
    "sequence": "is_sequence({})",
    "sameas": "same({}, {})",
    "in": "({} in {})",
}
FILTERS = {
    "link": "here.link({})",
    "relative": "relative_to({}, {})",
    "slug": "slug({})",
    "escape": "escape({})",
    "e": "escape({})",
}
MARKUP = frozenset({"escape", "e", "join", "safe"})  # filters that may give markup
METHODS = frozenset({"get", "items", "keys", "values"})  # of dicts: they change nothing
OWNERS = frozenset({"Name", "Getattr", "Getitem", "Call", "Dict"})  # what a field or a place may be asked of


@dataclass(slots=True)
class Loop:
    """The Python names of a loop, and which of them its body needs."""

    number: int
    needs: set[str] = field(default_factory=set)

    def name(self, word: str) -> str:
        """`index3`, `count3` or `changed3`, which is needed from now on."""
        self.needs.add(word)
        return f"{word}{self.number}"


@dataclass(slots=True)
class Scope:
    """What names mean at one place. `own` may be set again here; `block` is the block around, None inside a macro."""

    names: dict[str, str]
    block: str | None
    own: set[str] = field(default_factory=set)
    loop: Loop | None = None

    def branch(self) -> Scope:
        """The inside of an `if`: what is named there is known only there."""
        return Scope(dict(self.names), self.block, set(self.own), self.loop)

    def inside(self, names: Mapping[str, str], loop: Loop | None = None) -> Scope:
        """The inside of a loop or a `with`, where these names are given."""
        return Scope({**self.names, **names}, self.block, set(names), loop or self.loop)


class Expressions:
    """The expressions of one template. Whatever is not known is refused."""

    def __init__(self, outline: Outline, outlines: Mapping[str, Outline]) -> None:
        """`outlines` are those of all templates of the theme."""
        self.outline, self.outlines = outline, outlines

    def value(self, node: Any, scope: Scope) -> str:
        """An expression, as a value."""
        way = getattr(self, f"value_{kind_of(node).lower()}", None)
        if way is None:
            raise Refused(f"holds a `{kind_of(node)}`", getattr(node, "lineno", 0))
        python: str = way(node, scope)
        return python

    def values(self, nodes: Iterable[Any], scope: Scope) -> str:
        """Several expressions, with commas."""
        return ", ".join(self.value(node, scope) for node in nodes)

    def printed(self, node: Any, scope: Scope) -> str:
        """An expression, as a text that stands on the page as it is."""
        text = own_text(node)
        if text is not None:
            return repr(text)
        if kind_of(node) == "CondExpr":
            return self.choice(node, scope, self.printed)
        return f"shown({self.value(node, scope)})"

    def choice(self, node: Any, scope: Scope, way: Any) -> str:
        """`a if b else c`; where it is printed, no `else` means nothing."""
        other = way(node.expr2, scope) if node.expr2 is not None else "''"
        return f"({way(node.expr1, scope)} if {self.value(node.test, scope)} else {other})"

    def macro(self, node: Any, scope: Scope) -> str:
        """The name of the function of the macro that is named, or ""."""
        kind = kind_of(node)
        if kind == "Name" and node.name not in scope.names:
            bound = self.outline.bound.get(node.name)
            return self.function(bound) if bound and bound.macro else ""
        owner = node.node.name if kind == "Getattr" and kind_of(node.node) == "Name" else ""
        if owner in scope.names:
            return ""
        module = self.outline.bound.get(owner)
        return self.function(Bound(module.template, node.attr)) if module and is_offered(module, node.attr) else ""

    def function(self, bound: Bound) -> str:
        """The name of the function of a macro."""
        outline = self.outlines[bound.template]
        if bound.macro not in outline.macros:
            raise Refused(f"calls `{bound.macro}`, which is not there")
        return outline.function("macro", bound.macro)

    def given(self, node: Any, scope: Scope) -> str:
        """What a macro is given, each with a comma before it."""
        require_plain(node)
        if len({word.key for word in node.kwargs}) < len(node.kwargs):
            raise Refused("gives a macro one word twice", node.lineno)
        named = [f"v_{plain_name(word.key, node)}={self.value(word.value, scope)}" for word in node.kwargs]
        return "".join(f", {word}" for word in (*(self.value(part, scope) for part in node.args), *named))

    def value_const(self, node: Any, _: Scope) -> str:
        """A text, a number, true, false or none."""
        if type(node.value) not in (str, int, float, bool, type(None)):
            raise Refused("holds a constant of another kind", node.lineno)
        return repr(node.value)

    def value_name(self, node: Any, scope: Scope) -> str:
        """A name that is given here."""
        if node.name not in scope.names:
            raise Refused(f"uses the name `{node.name}` where it may mean anything or nothing", node.lineno)
        return scope.names[node.name]

    def value_getattr(self, node: Any, scope: Scope) -> str:
        """A field."""
        if is_loop(node.node, scope):
            return self.of_loop(node, scope)
        return f"{self.owner(node, scope)}.{plain_name(node.attr, node)}"

    def value_getitem(self, node: Any, scope: Scope) -> str:
        """One of several."""
        return f"{self.owner(node, scope)}[{self.value(node.arg, scope)}]"

    def owner(self, node: Any, scope: Scope) -> str:
        """What is asked for a field or a place."""
        if kind_of(node.node) not in OWNERS:
            raise Refused(f"asks a `{kind_of(node.node)}` for a part", node.lineno)
        return self.value(node.node, scope)

    def of_loop(self, node: Any, scope: Scope) -> str:
        """A field of `loop`."""
        loop = scope.loop
        if loop is None or node.attr not in ("index0", "index", "first", "last", "length"):
            raise Refused(f"uses `loop.{node.attr}`", node.lineno)
        if node.attr == "length":
            return loop.name("count")
        index = loop.name("index")
        ways = {"index0": index, "index": f"({index} + 1)", "first": f"({index} == 0)"}
        return ways.get(node.attr) or f"({index} == {loop.name('count')} - 1)"

    def value_call(self, node: Any, scope: Scope) -> str:
        """What a macro prints, a method of a dict, or `loop.changed`."""
        if macro := self.macro(node.node, scope):
            return f"made({macro}, here{self.given(node, scope)})"
        require_plain(node)
        called = node.node
        if node.kwargs or kind_of(called) != "Getattr":
            raise Refused("calls what is no macro", node.lineno)
        given = self.values(node.args, scope)
        if is_loop(called.node, scope) and called.attr == "changed" and scope.loop:
            return f"{scope.loop.name('changed')}({given})"
        if called.attr not in METHODS:
            raise Refused(f"calls `{called.attr}`", node.lineno)
        return f"{self.value(called, scope)}({given})"

    def value_filter(self, node: Any, scope: Scope) -> str:
        """A filter."""
        require_plain(node)
        if node.node is None or node.kwargs:
            raise Refused(f"uses the filter `{node.name}` in an unusual way", node.lineno)
        if node.name == "safe" and own_text(node) is not None:
            return f"Markup({own_text(node)!r})"
        if node.name == "join" and all(kind_of(part) == "Const" and type(part.value) is str for part in node.args):
            return f"listed({self.values((node.node, *node.args), scope)})"
        return self.by_form(FILTERS, node, scope)

    def value_test(self, node: Any, scope: Scope) -> str:
        """A test."""
        require_plain(node)
        if node.name != "defined" or node.args:
            return self.by_form(TESTS, node, scope)
        if kind_of(node.node) != "Getattr" or is_loop(node.node.node, scope):
            raise Refused("asks whether something else than a field is defined", node.lineno)
        return f"has({self.owner(node.node, scope)}, {node.node.attr!r})"

    def by_form(self, forms: Mapping[str, str], node: Any, scope: Scope) -> str:
        """A filter or a test, by its form in Python."""
        form = forms.get(node.name, "")
        if form.count("{}") != len(node.args) + 1 or node.kwargs:
            raise Refused(f"uses `{node.name}`", node.lineno)
        return form.format(self.value(node.node, scope), *(self.value(part, scope) for part in node.args))

    def value_condexpr(self, node: Any, scope: Scope) -> str:
        """`a if b else c`; without `else` only where it is printed."""
        if node.expr2 is None:
            raise Refused("leaves out the `else` of a value", node.lineno)
        return self.choice(node, scope, self.value)

    def value_concat(self, node: Any, scope: Scope) -> str:
        """`a ~ b`. Jinja2 joins constant markup in a way of its own, so none may stand here."""
        if any(filtered.name in MARKUP for filtered in all_of(node, "Filter")):
            raise Refused("joins markup by `~`", node.lineno)
        return f"joined({', '.join(self.part(part, scope) for part in node.nodes)})"

    def part(self, node: Any, scope: Scope) -> str:
        """What is joined."""
        return self.choice(node, scope, self.part) if kind_of(node) == "CondExpr" else self.value(node, scope)

    def value_not(self, node: Any, scope: Scope) -> str:
        """`not a`."""
        return f"(not {self.value(node.node, scope)})"

    def value_and(self, node: Any, scope: Scope) -> str:
        """`a and b`."""
        return f"({self.value(node.left, scope)} and {self.value(node.right, scope)})"

    def value_or(self, node: Any, scope: Scope) -> str:
        """`a or b`."""
        return f"({self.value(node.left, scope)} or {self.value(node.right, scope)})"

    def value_compare(self, node: Any, scope: Scope) -> str:
        """`a == b`, and longer ones."""
        others = [f"{COMPARISONS[operand.op]} {self.value(operand.expr, scope)}" for operand in node.ops]
        return f"({' '.join((self.value(node.expr, scope), *others))})"

    def value_dict(self, node: Any, scope: Scope) -> str:
        """`{'a': b}`."""
        pairs = [f"{self.value(pair.key, scope)}: {self.value(pair.value, scope)}" for pair in node.items]
        return f"{{{', '.join(pairs)}}}"

    def value_list(self, node: Any, scope: Scope) -> str:
        """`[a, b]`."""
        return f"[{self.values(node.items, scope)}]"

    def value_tuple(self, node: Any, scope: Scope) -> str:
        """`(a, b)`."""
        return f"({self.values(node.items, scope)},)" if node.items else "()"


def own_text(node: Any) -> str | None:
    """The text that a template prints by itself: its own, or a constant, escaped unless it says `safe`."""
    kind = kind_of(node)
    if kind == "TemplateData":
        return str(node.data)
    if kind == "Const" and type(node.value) is str:
        return shown(node.value)
    is_safe = kind == "Filter" and node.name == "safe" and kind_of(node.node) == "Const"
    return node.node.value if is_safe and type(node.node.value) is str and not (node.args or node.kwargs) else None


def is_loop(node: Any, scope: Scope) -> bool:
    """Whether this is the `loop` of the loop around."""
    return kind_of(node) == "Name" and node.name == "loop" and scope.loop is not None


def is_offered(module: Bound, name: str) -> bool:
    """Whether an imported template offers a name to others: those with `_` before them it keeps."""
    return not module.macro and not name.startswith("_")


def require_plain(node: Any) -> None:
    """Nothing may be given by `*` or `**`."""
    if node.dyn_args is not None or node.dyn_kwargs is not None:
        raise Refused("gives words by `*`", node.lineno)


def given_names() -> dict[str, str]:
    """The names that every template is given, in Python the same."""
    return {name: name for name in GIVEN}
