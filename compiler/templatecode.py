"""Templates written as Python: one plain function for each template, each block and each macro.

A function adds texts to a list, in order. Jinja2 reads the templates; it stays the language and the last word: a
template that holds anything whose meaning here is not certain is refused, with all that need it, and Jinja2 draws it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from compiler.expressions import Expressions, Loop, Scope, given_names, own_text
from compiler.outlines import GIVEN, Outline, Refused, chain, kind_of, new_name, outlined, refusals, require_whole
from compiler.printing import TABLE
from compiler.shape import Value

DEEPEST = 15  # blocks in blocks; Python itself takes 20
SEEN = ", ".join(("out", "here", "blocks", *GIVEN))  # what the functions of roots and blocks are given
Lines = list[str]


class Code(Value):
    """The templates in Python, and why others are not there: (template, the one that hinders, its line, why)."""

    source: str
    refused: tuple[tuple[str, str, int, str], ...]


def written(names: Iterable[str], parsed: Callable[[str], Any]) -> Code:
    """All templates as functions; `parsed` gives the syntax tree of one, and may raise anything."""
    refused: dict[str, Refused] = {}
    outlines: dict[str, Outline] = {}
    for number, name in enumerate(names):
        with _Refusing(name, refused):
            outlines[name] = outlined(name, number, _tree(parsed, name))
    refused = refusals(outlines, refused)
    sources: dict[str, Lines] = {}
    for name in outlines.keys() - refused.keys():
        with _Refusing(name, refused):
            require_whole(outlines[name], outlines)
            sources[name] = Writer(outlines[name], outlines).functions()
    refused = refusals(outlines, refused)
    usable = [outline for name, outline in outlines.items() if name not in refused]
    lines = [line for outline in usable for line in sources[outline.name]]
    told = sorted((name, why.template, why.line, why.why) for name, why in refused.items())
    return Code("\n".join([*lines, f"{TABLE} = {{", *_table(usable, outlines), "}", ""]), tuple(told))


class _Refusing:
    """Notes why a template is refused."""

    def __init__(self, name: str, refused: dict[str, Refused]) -> None:
        self.name, self.refused = name, refused

    def __enter__(self) -> None:
        """Nothing yet."""

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        if isinstance(error, RecursionError):
            error = Refused("goes too deep")
        if isinstance(error, Refused):
            self.refused[self.name] = Refused(error.why, error.line, error.template or self.name)
        return isinstance(error, Refused)


def _tree(parsed: Callable[[str], Any], name: str) -> Any:
    try:
        return parsed(name)
    except Exception as error:  # no template, or no text at all: the proof of the theme says what is wrong with it
        raise Refused(f"cannot be read: {error}", getattr(error, "lineno", 0)) from error


def _table(usable: Iterable[Outline], outlines: Mapping[str, Outline]) -> Iterator[str]:
    for outline in usable:
        yield f"    {outline.name!r}: ({', '.join(_drawing(outline, outlines))}),"


def _drawing(outline: Outline, outlines: Mapping[str, Outline]) -> tuple[str, str]:
    """The root that a template is drawn from and the blocks that fill it: its own, and those that it extends."""
    whole = chain(outline, outlines)
    blocks = {name: one.function("block", name) for one in reversed(whole) for name in one.blocks}
    filled = ", ".join(f"{name!r}: {function}" for name, function in blocks.items())
    return whole[-1].function("root"), f"{{{filled}}}"


class Writer(Expressions):
    """Writes the functions of one template."""

    def __init__(self, outline: Outline, outlines: Mapping[str, Outline]) -> None:
        """`outlines` are those of all templates of the theme."""
        super().__init__(outline, outlines)
        self.count = 0  # of names made so far
        self.parts: Lines = []  # functions for parts that are drawn once

    def functions(self) -> Lines:
        """All functions of the template."""
        outline, found = self.outline, list[str]()
        for name, macro in outline.macros.items():
            found += self.function_of_macro(name, macro)
        for name, block in outline.blocks.items():
            scope = Scope(given_names(), name)
            found += function(outline.function("block", name), SEEN, self.lines(block.body, scope))
        if not outline.parent:
            found += function(outline.function("root"), SEEN, self.lines(outline.body, Scope(given_names(), "")))
        return [*self.parts, *found]

    def function_of_macro(self, name: str, macro: Any) -> Lines:
        """A macro, which sees nothing but what it is given."""
        words = [new_name(word.name, macro) for word in macro.args]
        if len(set(words)) < len(words):
            raise Refused(f"has a macro `{name}` that takes a word twice", macro.lineno)
        scope = Scope({word: f"v_{word}" for word in words}, None, set(words))
        defaults = [""] * (len(words) - len(macro.defaults)) + [self.default(node) for node in macro.defaults]
        given = "".join(f", v_{word}{default}" for word, default in zip(words, defaults, strict=True))
        return function(self.outline.function("macro", name), f"out, here{given}", self.lines(macro.body, scope))

    def default(self, node: Any) -> str:
        """What a macro takes where it is given nothing: a constant."""
        if kind_of(node) != "Const":
            raise Refused("works out what a macro takes by default", node.lineno)
        return f"={self.value(node, Scope({}, None))}"

    def lines(self, nodes: Iterable[Any], scope: Scope) -> Lines:
        """Statements, one after the other. Texts that follow each other are added in one go."""
        found: Lines = []
        texts = Texts()
        for node in nodes:
            if kind_of(node) == "Output":
                found += self.output(node, scope, texts)
            else:
                found += [*texts.taken(), *self.statement(node, scope)]
        return [*found, *texts.taken()] or ["pass"]

    def output(self, node: Any, scope: Scope, texts: Texts) -> Lines:
        """What is printed waits in `texts`, but for macros, which print by themselves."""
        found: Lines = []
        for part in node.nodes:
            if (text := own_text(part)) is not None:
                texts.own += text
            elif call := self.call(part, scope):
                found += [*texts.taken(), call]
            else:
                texts.add(self.printed(part, scope))
        return found

    def call(self, node: Any, scope: Scope) -> str:
        """The call of a macro or of `super()` where its result is printed; "" for anything else."""
        if kind_of(node) != "Call":
            return ""
        if macro := self.macro(node.node, scope):
            return f"{macro}(out, here{self.given(node, scope)})"
        if kind_of(node.node) == "Name" and node.node.name == "super" and scope.block:
            return f"{self.block_above(scope.block, node)}({SEEN})"
        return ""

    def block_above(self, name: str, node: Any) -> str:
        """The function of the same block in the nearest template that this one extends."""
        for outline in chain(self.outline, self.outlines)[1:]:
            if name in outline.blocks and not (node.args or node.kwargs):
                return outline.function("block", name)
        raise Refused("calls `super` where there is nothing above", node.lineno)

    def statement(self, node: Any, scope: Scope) -> Lines:
        """One statement."""
        way = getattr(self, f"do_{kind_of(node).lower()}", None)
        if way is None:
            raise Refused(f"holds a `{kind_of(node)}`", node.lineno)
        found: Lines = way(node, scope)
        if max(len(line) - len(line.lstrip()) for line in found) > DEEPEST * 4:
            raise Refused("goes too deep", node.lineno)
        return found

    def do_if(self, node: Any, scope: Scope) -> Lines:
        """`if`, `elif`, `else`."""
        found: Lines = []
        for word, case in (("if", node), *(("elif", other) for other in node.elif_)):
            found += [f"{word} {self.value(case.test, scope)}:", *indented(self.lines(case.body, scope.branch()))]
        if node.else_:
            found += ["else:", *indented(self.lines(node.else_, scope.branch()))]
        return found

    def do_for(self, node: Any, scope: Scope) -> Lines:
        """A loop; one through the navigation that shows nothing else is drawn once for a folder."""
        is_of_nav = kind_of(node.iter) == "Name" and scope.names.get(node.iter.name) == "nav"
        if is_of_nav and scope.loop is None:
            try:
                return self.once(node)
            except Refused:
                pass  # it shows something of the page
        return self.loop(node, scope)

    def once(self, node: Any) -> Lines:
        """A loop through the navigation as a function of its own."""
        lines = self.loop(node, Scope({"nav": "nav"}, None))
        self.count += 1
        name = self.outline.function("part", str(self.count))
        self.parts += function(name, "out, here, nav", lines)
        return [f"out += (here.once({name}),)"]

    def loop(self, node: Any, scope: Scope) -> Lines:
        """`for`, with `if` and `else`."""
        if node.recursive:
            raise Refused("has a recursive loop", node.lineno)
        loop, names = Loop(self.numbered()), self.targets(node.target)
        items, target = f"items{loop.number}", together(node.target, names)
        found = [f"{items} = several({self.value(node.iter, scope)})"]
        if node.test is not None:
            inner = Scope({**scope.names, **names}, scope.block)
            found.append(f"{items} = [{target} for {target} in {items} if {self.value(node.test, inner)}]")
        body = indented(self.lines(node.body, scope.inside(names, loop)))
        found += [*head(loop, items, target), *body]
        if node.else_:
            found += [f"if not {items}:", *indented(self.lines(node.else_, scope.inside({})))]
        return found

    def do_assign(self, node: Any, scope: Scope) -> Lines:
        """`set`, of a name that means nothing yet, or was set here."""
        value, target = self.value(node.node, scope), node.target
        if kind_of(target) != "Name" or (scope.block == "" and self.outline.blocks):
            raise Refused("sets a name that other blocks may see, or several at once", node.lineno)
        name = target.name
        if name in self.outline.bound or (name in scope.names and name not in scope.own):
            raise Refused(f"sets `{name}`, which means something outside", node.lineno)
        python = scope.names[name] if name in scope.own else self.targets(target)[name]
        scope.names[name] = python
        scope.own.add(name)
        return [f"{python} = {value}"]

    def do_with(self, node: Any, scope: Scope) -> Lines:
        """`with`: names for its body."""
        found: Lines = []
        known: dict[str, str] = {}
        for target, value in zip(node.targets, node.values, strict=True):
            names = self.targets(target)
            found.append(f"{together(target, names)} = {self.value(value, scope)}")
            known.update(names)
        return [*found, *self.lines(node.body, scope.inside(known))]

    def do_block(self, node: Any, scope: Scope) -> Lines:
        """A block: what the template that is drawn, or the nearest that it extends, puts there."""
        if scope.block is None:
            raise Refused("has a block in a macro", node.lineno)
        return [f"blocks[{node.name!r}]({SEEN})"]

    def do_include(self, node: Any, scope: Scope) -> Lines:
        """Another template, which sees what this one was given."""
        if scope.block is None or any(scope.names[name] != name for name in GIVEN):
            raise Refused("includes a template where names mean something else", node.lineno)
        if node.ignore_missing or not node.with_context:
            raise Refused("includes a template in an unusual way", node.lineno)
        root, blocks = _drawing(self.outlines[node.template.value], self.outlines)
        return [f"{root}(out, here, {blocks}, {', '.join(GIVEN)})"]

    def targets(self, target: Any) -> dict[str, str]:
        """The names that a loop or an assignment gives, each with one of its own in Python."""
        names = [target] if kind_of(target) == "Name" else list(getattr(target, "items", ()))
        if not names or any(kind_of(name) != "Name" for name in names):
            raise Refused("gives a name in an unusual way", target.lineno)
        found = {name.name: f"v{self.numbered()}_{new_name(name.name, target)}" for name in names}
        if len(found) < len(names):
            raise Refused("gives one name twice", target.lineno)
        return found

    def numbered(self) -> int:
        """The next number."""
        self.count += 1
        return self.count


@dataclass(slots=True)
class Texts:
    """Texts to be printed one after the other: some in Python, and the template's own text behind them."""

    waiting: Lines = field(default_factory=list)
    own: str = ""

    def add(self, python: str) -> None:
        """A text that is worked out."""
        self.waiting += [*([repr(self.own)] if self.own else []), python]
        self.own = ""

    def taken(self) -> Lines:
        """The line that prints what waits, if anything does."""
        texts = [*self.waiting, *([repr(self.own)] if self.own else [])]
        self.waiting, self.own = [], ""
        return [f"out += ({', '.join(texts)},)"] if texts else []


def function(name: str, given: str, lines: Lines) -> Lines:
    """A function in Python."""
    return [f"def {name}({given}):", *indented(lines)]


def indented(lines: Lines) -> Lines:
    """Lines one step further in."""
    return [f"    {line}" for line in lines]


def together(target: Any, names: Mapping[str, str]) -> str:
    """The names of a target in Python."""
    listed = ", ".join(names.values())
    return listed if kind_of(target) == "Name" else f"({listed},)"


def head(loop: Loop, items: str, target: str) -> Lines:
    """The head of a loop, with what its body needs."""
    ways = {"count": f"count{loop.number} = len({items})", "changed": f"changed{loop.number} = Changes()"}
    found = [line for word, line in ways.items() if word in loop.needs]
    if "index" in loop.needs:
        return [*found, f"for index{loop.number}, {target} in enumerate({items}):"]
    return [*found, f"for {target} in {items}:"]
