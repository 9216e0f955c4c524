"""What a template is made of, before any of it is turned into a function: what it extends and imports, macros, blocks.

Only what can be told beforehand for certain is taken; a template that goes further is refused, and Jinja2 draws it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from keyword import iskeyword
from typing import Any

from compiler.shape import Value

GIVEN = ("page", "view", "book", "nav")  # the names that every template is given
SPECIAL = frozenset({"loop", "self", "super", "caller", "varargs", "kwargs"})
BEFORE = frozenset({"Import", "FromImport", "Macro"})
IN_CHILDREN = BEFORE | {"Extends", "Block", "Output"}  # what is said outside blocks there is not printed


class Refused(Exception):
    """A template goes beyond what can be turned into a function: `template` is the one that does."""

    def __init__(self, why: str, line: int = 0, template: str = "") -> None:
        """`why` is what the template does, as words that follow its name."""
        super().__init__(why)
        self.why, self.line, self.template = why, line or 0, template


class Bound(Value):
    """What an outer name of a template stands for: a macro of some template, or (with `macro` "") a whole template."""

    template: str
    macro: str = ""


class Outline(Value):
    """One template. `body` is what it prints itself: nothing if it extends another. `needs` are other templates."""

    name: str
    number: int
    parent: str
    bound: Mapping[str, Bound]
    macros: Mapping[str, Any]
    blocks: Mapping[str, Any]
    body: Sequence[Any]
    needs: Mapping[str, int]  # with the line that names them

    @property
    def only_macros(self) -> bool:
        """Whether it can be imported: nothing in it is worked out, or printed but blanks and words."""
        return not self.parent and not self.blocks and all(is_text(node) for node in self.body)

    def function(self, kind: str, name: str = "") -> str:
        """The name of the function of its root, of a macro, or of a block."""
        return f"{kind}{self.number}{name and '_'}{name}"


def kind_of(node: Any) -> str:
    """The name of a node's type."""
    return type(node).__name__


def is_text(node: Any) -> bool:
    """Whether a node is nothing but the template's own text."""
    return kind_of(node) == "Output" and all(kind_of(part) == "TemplateData" for part in node.nodes)


def all_of(tree: Any, *kinds: str) -> Iterator[Any]:
    """All nodes of these kinds, at any depth."""
    for node in tree.iter_child_nodes():
        if kind_of(node) in kinds:
            yield node
        yield from all_of(node, *kinds)


def plain_name(name: str, node: Any) -> str:
    """A name that means the same in Python."""
    if not name.isascii() or not name.isidentifier() or iskeyword(name):
        raise Refused(f"has a name that Python would read otherwise, `{name}`", node.lineno)
    return name


def new_name(name: str, node: Any) -> str:
    """A name that a template makes: none of those that mean something to Jinja2."""
    if name in SPECIAL:
        raise Refused(f"makes a name of its own of `{name}`", node.lineno)
    return plain_name(name, node)


def outlined(name: str, number: int, tree: Any) -> Outline:
    """The outline of one template. Raises `Refused`."""
    parent = _parent(tree)
    if not parent:
        _require_order(tree.body)
    body = [] if parent else [node for node in tree.body if kind_of(node) not in BEFORE]
    needs = dict(_needs(tree))
    return Outline(name, number, parent, _bound(name, tree), _macros(tree), _blocks(tree), body, needs)


def chain(outline: Outline, outlines: Mapping[str, Outline]) -> list[Outline]:
    """A template and those it extends, one after the other."""
    found = [outline]
    while found[-1].parent:
        found.append(outlines[found[-1].parent])
    return found


def require_whole(outline: Outline, outlines: Mapping[str, Outline]) -> None:
    """What a template needs is there, and means the same to each of those that it extends. Raises `Refused`."""
    for other in outline.bound.values():
        if other.template != outline.name and not outlines[other.template].only_macros:
            raise Refused(f"imports `{other.template}`, which is more than macros", outline.needs[other.template])
        if other.macro and other.macro not in outlines[other.template].macros:
            raise Refused(f"imports `{other.macro}`, which is not there", outline.needs[other.template])
    names: dict[str, Bound] = {}
    for one in chain(outline, outlines):
        for name, bound in one.bound.items():
            if names.setdefault(name, bound) != bound:
                raise Refused(f"calls by the name `{name}` something else than what it extends does")


def refusals(outlines: Mapping[str, Outline], refused: Mapping[str, Refused]) -> dict[str, Refused]:
    """The refused templates, and with each all that need it; one that needs itself is refused too."""
    found = dict(refused)
    waiting = [name for name in outlines if name not in found]
    while waiting:
        ready = [name for name in waiting if not any(other in waiting for other in outlines[name].needs)]
        for name in ready or waiting:
            why = _hindrance(outlines[name], outlines, found) if ready else Refused("needs itself", 0, name)
            found.update({name: why} if why else {})
        waiting = [name for name in waiting if ready and name not in ready]
    return found


def _hindrance(outline: Outline, outlines: Mapping[str, Outline], found: Mapping[str, Refused]) -> Refused | None:
    """Why a template cannot have what it needs, if it cannot."""
    for other, line in outline.needs.items():
        if other in found:
            return found[other]
        if other not in outlines:
            return Refused(f"needs `{other}`, which is not there", line, outline.name)
    return None


def _parent(tree: Any) -> str:
    """The template that this one extends, or "". Nothing may be printed beside its blocks."""
    places = [place for place, node in enumerate(tree.body) if kind_of(node) == "Extends"]
    if not places:
        return ""
    for place, node in enumerate(tree.body):
        is_printed = kind_of(node) in ("Output", "Block") and place < places[0] and not _is_empty(node)
        if kind_of(node) not in IN_CHILDREN or is_printed or len(places) > 1:
            raise Refused("does more than fill the blocks of the template that it extends", node.lineno)
    return _template(tree.body[places[0]])


def _is_empty(node: Any) -> bool:
    return is_text(node) and not any(part.data for part in node.nodes)


def _require_order(body: Sequence[Any]) -> None:
    """Macros and imports stand before whatever could call them."""
    begun = False
    for node in body:
        if begun and kind_of(node) in BEFORE:
            raise Refused("has a macro or an import behind what it prints", node.lineno)
        begun = begun or (kind_of(node) not in BEFORE and not is_text(node))


def _template(node: Any) -> str:
    """The template that a node names."""
    name = node.template.value if kind_of(node.template) == "Const" else None
    if not isinstance(name, str):
        raise Refused("names a template in another way than by words in quotes", node.lineno)
    return name


def _needs(tree: Any) -> Iterator[tuple[str, int]]:
    for node in all_of(tree, "Extends", "Import", "FromImport", "Include"):
        yield _template(node), node.lineno


def _bound(name: str, tree: Any) -> dict[str, Bound]:
    """What the outer names of a template stand for, each one thing only."""
    found: dict[str, Bound] = {}
    for node in tree.body:
        for known_as, bound in _named(name, node):
            if known_as in found or known_as in GIVEN:
                raise Refused(f"gives the name `{known_as}` a second meaning", node.lineno)
            found[known_as] = bound
    return found


def _named(name: str, node: Any) -> Iterator[tuple[str, Bound]]:
    kind = kind_of(node)
    if kind == "Macro":
        yield new_name(node.name, node), Bound(name, node.name)
    if kind in ("Import", "FromImport") and node.with_context:
        raise Refused("imports `with context`", node.lineno)
    if kind == "Import":
        yield new_name(node.target, node), Bound(_template(node))
    if kind == "FromImport":
        for item in node.names:
            macro, known_as = item if isinstance(item, tuple) else (item, item)
            yield new_name(known_as, node), Bound(_template(node), macro)


def _macros(tree: Any) -> dict[str, Any]:
    return {node.name: node for node in tree.body if kind_of(node) == "Macro"}


def _blocks(tree: Any) -> dict[str, Any]:
    """The blocks at any depth, each with a name of its own."""
    found: dict[str, Any] = {}
    for node in all_of(tree, "Block"):
        if node.name in found or node.scoped or node.required:
            raise Refused(f"has a block `{node.name}` that is scoped, required or there twice", node.lineno)
        found[plain_name(node.name, node)] = node
    return found
