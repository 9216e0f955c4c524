"""A walk through one template: it computes nothing, names only what it is given, and calls only what may be called.

Where the types of the views are known, `view.place.name` is followed field by field, through loops and assignments.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.shape import Value
from compiler.source import Span
from compiler.templates import FILTERS, FOLDER, NAMES, TESTS, Drawn, Entry
from compiler.viewtypes import attribute, element

ARITHMETIC = Rule(
    "T102",
    "template-computes",
    Grade.ERROR,
    "Sums stand in the pages' code, where they are typed and tested; a template only shows what it is given.",
    "{{ view.births + 1 }}",
)
UNKNOWN_NAME = Rule(
    "T103",
    "template-name-unknown",
    Grade.ERROR,
    "A template may only use the names it is given; an unknown one would stop the page.",
    "{{ veiw.title }}",
)
UNKNOWN_FIELD = Rule(
    "T104",
    "view-field-unknown",
    Grade.ERROR,
    "The page's view has no such field, so the page would stop there.",
    "{{ view.tilte }}",
)
MISSING_TEMPLATE = Rule(
    "T105",
    "template-missing",
    Grade.ERROR,
    "A page, or another template, needs a template that is not in the theme.",
    '{% extends "bas.html" %}',
)
UNKNOWN_CALL = Rule(
    "T106",
    "template-call-unknown",
    Grade.ERROR,
    "A template may call only macros that the theme defines, with the words that they take.",
    "{{ parts.tabel(view.table) }}",
)
UNKNOWN_FILTER = Rule(
    "T107",
    "template-filter-unknown",
    Grade.ERROR,
    "Only filters and tests that compute nothing are allowed, and `safe` only behind words in the template itself.",
    "{{ view.births|sum }}",
)

SUMS = frozenset({"Add", "Sub", "Mul", "Div", "FloorDiv", "Mod", "Pow", "Neg", "Pos"})
LOOP = frozenset({"first", "last", "index", "index0", "length", "changed", "cycle", "previtem", "nextitem", "depth"})
METHODS = frozenset(
    {"get", "append", "items", "keys", "values", "changed", "cycle"}
)  # of lists and dicts, and of `loop`
IN_MACROS = frozenset({"caller", "varargs", "kwargs"})


class Macro(Value):
    """A macro's words: those it takes, and how many of them must be given."""

    takes: tuple[str, ...]
    needs: int
    open: bool = False  # it also takes whatever else it is given


class Module(Value):
    """An imported template: its macros by name."""

    macros: Mapping[str, Macro]


@dataclass(slots=True)
class Parsed:
    """One template: its syntax tree, its macros, and the templates it names."""

    name: str
    tree: Any
    macros: dict[str, Macro] = field(default_factory=dict)
    names: tuple[tuple[str, int], ...] = ()
    imports: frozenset[str] = frozenset()  # templates imported without this one's names


class Walk:
    """A walk through one template, with what each name means on the way (its type, or None where that is unknown)."""

    def __init__(
        self,
        template: Parsed,
        parsed: Mapping[str, Parsed],
        view: type[Any] | None,
        frame: type[Any] | None,
        bare: bool,
    ) -> None:
        """`bare` templates are imported without their user's names, so that their macros know none."""
        self.template, self.parsed = template, parsed
        given = {"page": Drawn, "view": view, "book": frame, "nav": tuple[Entry, ...]}
        self.names: dict[str, Any] = {} if bare else {name: given[name] for name in NAMES}
        self.names.update(template.macros, self=None)
        self.found: list[Diagnostic] = []

    def told(self) -> list[Diagnostic]:
        """Everything wrong in the template."""
        for node in self.template.tree.body:
            if type(node).__name__ in ("Import", "FromImport", "Assign"):
                self.visit(node)
        for node in self.template.tree.body:
            if type(node).__name__ not in ("Import", "FromImport", "Assign"):
                self.visit(node)
        return self.found

    def visit(self, node: Any) -> Any:
        """Check a node and everything in it; gives the type of an expression, or None."""
        name = type(node).__name__
        if name in SUMS:
            self.tell(ARITHMETIC, node, "a template may not do sums", "work it out in the page's view")
        way = getattr(self, f"visit_{name.lower()}", None)
        return way(node) if way else self.visit_inside(node)

    def visit_inside(self, node: Any) -> None:
        """Check all parts of a node."""
        for part in node.iter_child_nodes():
            self.visit(part)

    def within(self, nodes: Iterable[Any], **names: Any) -> None:
        """Check nodes with some names known; what they assign is forgotten afterwards."""
        before = dict(self.names)
        self.names.update(names)
        for node in nodes:
            self.visit(node)
        self.names = before

    def visit_name(self, node: Any) -> Any:
        """A name must be known."""
        if node.ctx == "load" and node.name not in self.names:
            self.tell(
                UNKNOWN_NAME, node, f"`{node.name}` is not a name that a template is given", known_here(self.names)
            )
        return self.names.get(node.name)

    def visit_getattr(self, node: Any) -> Any:
        """A field must be one of the view's type, where that is known."""
        owner = self.visit(node.node)
        if isinstance(owner, Module | Macro) or owner is None:
            if isinstance(owner, Module) and node.attr not in owner.macros:
                self.tell(UNKNOWN_CALL, node, f"there is no macro `{node.attr}`", known_here(owner.macros))
            return owner.macros.get(node.attr) if isinstance(owner, Module) else None
        if owner is LOOP:
            return self.visit_loop(node)
        known, kind = attribute(owner, node.attr)
        if not known:
            label = getattr(owner, "__name__", str(owner))
            self.tell(UNKNOWN_FIELD, node, f"{label} has no field `{node.attr}`", "mend the template or the view")
        return kind

    def visit_loop(self, node: Any) -> None:
        """A field of `loop`."""
        if node.attr not in LOOP:
            self.tell(UNKNOWN_FIELD, node, f"`loop` has no `{node.attr}`", known_here(LOOP))

    def visit_getitem(self, node: Any) -> Any:
        """One of several."""
        self.visit(node.arg)
        return element(self.visit(node.node))

    def visit_filter(self, node: Any) -> None:
        """A filter must be allowed; markup may be called safe only where the template itself holds it."""
        if node.name not in FILTERS:
            self.tell(UNKNOWN_FILTER, node, f"the filter `{node.name}` is not allowed", known_here(FILTERS))
        if node.name == "safe" and type(node.node).__name__ != "Const":
            help = "let the view hold `Html`, which is shown as it is"
            self.tell(UNKNOWN_FILTER, node, "`safe` would let anything through unescaped", help)
        self.visit_inside(node)

    def visit_test(self, node: Any) -> None:
        """A test must be allowed."""
        if node.name not in TESTS:
            self.tell(UNKNOWN_FILTER, node, f"the test `{node.name}` is not allowed", known_here(TESTS))
        self.visit_inside(node)

    def visit_call(self, node: Any) -> None:
        """A call must be of a macro, with words that it takes."""
        called = self.visit(node.node)
        for part in (*node.args, *(word.value for word in node.kwargs)):
            self.visit(part)
        if isinstance(called, Macro):
            self.check_words(node, called)
        elif not self.is_method(node.node):
            self.tell(UNKNOWN_CALL, node, "only macros may be called", "put the work into the page's view")

    def is_method(self, node: Any) -> bool:
        """Whether this is `super`, `caller`, a block, or a method of a list, a dict or `loop`."""
        if type(node).__name__ == "Name":
            return node.name in ("super", "caller") or node.name not in self.names
        if type(node).__name__ != "Getattr":
            return False
        owner = getattr(node.node, "name", "")
        return node.attr in METHODS or owner == "self" or isinstance(self.names.get(owner), Module)

    def check_words(self, node: Any, macro: Macro) -> None:
        """What a macro is given, against what it takes."""
        named = [word.key for word in node.kwargs]
        strange = [] if macro.open else [name for name in named if name not in macro.takes]
        missing = [name for name in macro.takes[len(node.args) : macro.needs] if name not in named]
        if node.dyn_args or node.dyn_kwargs:
            return
        if strange or missing or (len(node.args) > len(macro.takes) and not macro.open):
            takes = ", ".join(macro.takes)
            self.tell(UNKNOWN_CALL, node, f"the macro is given other words than it takes ({takes})", "mend the call")

    def visit_for(self, node: Any) -> None:
        """In a loop, the target is one of what is gone through."""
        kind = element(self.visit(node.iter))
        targets = self.targets(node.target, kind)
        tests = [node.test] if node.test is not None else []
        self.within([*tests, *node.body], **targets, loop=LOOP)
        self.within(node.else_)

    def visit_assign(self, node: Any) -> None:
        """`set` gives a name the type of its value."""
        self.names.update(self.targets(node.target, self.visit(node.node)))

    def visit_assignblock(self, node: Any) -> None:
        """`set` with a body gives a name some markup."""
        self.within(node.body)
        self.names.update(self.targets(node.target, None))

    def visit_with(self, node: Any) -> None:
        """`with` gives names for its body."""
        pairs = zip(node.targets, node.values, strict=True)
        named = [self.targets(target, self.visit(value)) for target, value in pairs]
        self.within(node.body, **{name: kind for group in named for name, kind in group.items()})

    def visit_macro(self, node: Any) -> None:
        """In a macro, its words are known, of any type."""
        for default in node.defaults:
            self.visit(default)
        self.within(node.body, **dict.fromkeys((*IN_MACROS, *(word.name for word in node.args))))

    def visit_callblock(self, node: Any) -> None:
        """A call with a body."""
        self.visit(node.call)
        self.within(node.body, **dict.fromkeys(word.name for word in node.args))

    def visit_block(self, node: Any) -> None:
        """A block of the page."""
        self.within(node.body, super=None)

    def visit_import(self, node: Any) -> None:
        """`import … as name`."""
        self.names[node.target] = Module(self.macros_of(node))

    def visit_fromimport(self, node: Any) -> None:
        """`from … import macro`."""
        macros = self.macros_of(node)
        for item in node.names:
            name, known_as = item if isinstance(item, tuple) else (item, item)
            if name not in macros and self.is_there(node):
                self.tell(UNKNOWN_CALL, node, f"there is no macro `{name}` to import", known_here(macros))
            self.names[known_as] = macros.get(name)

    def macros_of(self, node: Any) -> Mapping[str, Macro]:
        """The macros of a template that is named."""
        name = str(getattr(node.template, "value", ""))
        if not name:
            self.tell(
                MISSING_TEMPLATE, node, "the name of a template must be written out", "write it as text in quotes"
            )
        return self.parsed[name].macros if name in self.parsed else {}

    def is_there(self, node: Any) -> bool:
        """Whether the template that is named could be parsed."""
        return getattr(node.template, "value", None) in self.parsed

    def targets(self, target: Any, kind: Any) -> dict[str, Any]:
        """The names that an assignment or a loop gives, with their types."""
        if type(target).__name__ == "Name":
            return {target.name: kind}
        return {item.name: None for item in getattr(target, "items", ()) if type(item).__name__ == "Name"}

    def tell(self, rule: Rule, node: Any, message: str, help: str) -> None:
        """Note what is wrong."""
        self.found.append(rule.at(place_of_template(self.template.name, node.lineno), message, help))


def known_here(names: Iterable[str]) -> str:
    """The names that would be known, in a message."""
    return f"known here: {', '.join(sorted(names)) or 'none'}"


def place_of_template(name: str, line: int) -> Span:
    """The place of a line of a template."""
    return Span(f"{FOLDER}/{name}", line)
