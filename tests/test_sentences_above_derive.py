"""Sentences stand above `derive`: what a wing of facts hands on is figures, days and tags; `flockbook/saying` has the
words.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

DERIVE = Path(__file__).parents[1] / "flockbook" / "derive"
WINGS = ("farm", "lambing", "growth", "breeding", "land", "family", "plain", "weights", "season", "choosing")
# The texts of rules, which the page of workings prints from beside the rule; and who says a figure, beside the figure.
RULES = re.compile(r"[A-Z_]+_RULE")
SOURCES = {"LIMIT_SOURCES", "NO_TUBE_SOURCE", "_ANEXA", "_GASCOIGNE", "_NADIS", "_RACKLEY", "_CLUTHA", "_EALES",
    "_LEAFLET", "_LIFESTYLE", "PUBLISHED_INTAKES", "ARCOTT", "HAIR_SHEEP", "FINE_WOOL", "BREEDS",
    "PUBLISHED_FOR"}  # fmt: skip
# Names of groups, classes and kinds, by which tables and the facts file know them; what is read of what people type.
NAMES = {
    "LITTER_CLASSES", "AGES", "OLD",  # classes that a breeding value is corrected for
    "LOSSES_BY", "PATTERNS_BY", "OF_THE_LAMB", "NOTHING_SAID",  # groups of births
    "UNBORN, DEAD_AT_BIRTH", "FIRST_HOURS, TWO_WEEKS, TO_WEANING",  # stages of a loss
    "EWE_IN_MILK, EWE_IN_LAMB, DRY_EWE, WEANED_LAMB",  # classes of sheep that eat alike
    "SHEEP_SOLD, SHEEP_BOUGHT, SHEEP_NOT_IN_BOOK",  # kinds of money, beside those of the shepherd's own notes
    "_STATES",  # codes
    "RING_VET", "TUBE_ONCE_SWALLOWING", "BACK_TO_EWE",  # values of enums, as the facts file has them
}  # fmt: skip
NAMED_BY = {
    "parity_label", "sire_label", "litter_label",  # names of groups of births
    "trials", "weaning_weights",  # names of the effects and groups that a record is corrected for
    "parentage",  # the id of a parent that is not in the book
    "days_old",  # the word beside a number, which whoever words a sentence asks for
    "marked_to_go", "marked_step",  # a reason's key in the facts file
    "__post_init__",  # what a caller gave that cannot be
}  # fmt: skip
WORD, THREE_WORDS = re.compile(r"[a-z]{2,}"), re.compile(r"[A-Za-z]{2,}[,;:]? (?:[A-Za-z]+[,;:]? )+[A-Za-z]{2,}")


@pytest.mark.parametrize("wing", WINGS)
def test_facts_hand_on_no_sentence(wing: str) -> None:
    """No text with figures in it and no three words in a row stand where things are worked out."""
    modules = sorted((DERIVE / wing).glob("*.py"))
    assert len(modules) > 2
    assert [f"{path.stem}:{said}" for path in modules for said in sentences(ast.parse(path.read_text("utf-8")))] == []


@pytest.mark.parametrize(
    ("planted", "found"),
    [
        ('def why(day: date) -> str:\n    return f"held until {day}"', ["2 held until "]),
        ('WHY = {"a": "the course is open"}', ["1 the course is open"]),
        ('class Row:\n    text: str = "not yet written"', ["2 not yet written"]),
        ('OTHER_RULE = f"Whoever weighs {KG:g} kg stays here."', []),
        ('def made(kg: float) -> None:\n    raise ValueError(f"no factor from {kg} kg")', []),
        ('def row(one: str) -> str:\n    """One line of a row."""\n    return f"{one}-{one}"', []),
        ('AGAIN = re.compile(rf"(?:and so|the same) {DAY}")', []),
        ('def parity_label() -> str:\n    return "age not known"', []),
    ],
)
def test_a_planted_sentence_is_found(planted: str, found: list[str]) -> None:
    """A sentence is found in texts and in texts with figures; rules, faults of a caller, patterns and names are not."""
    assert list(sentences(ast.parse(planted))) == found


def test_what_may_stand_is_there() -> None:
    """Every name that is let through still stands in some module: the list only shrinks."""
    nodes = [node for path in DERIVE.rglob("*.py") for node in ast.walk(ast.parse(path.read_text("utf-8")))]
    held = {target for node in nodes for target in targets(node)} | {
        node.name for node in nodes if isinstance(node, ast.FunctionDef)
    }
    assert held >= SOURCES | NAMES | NAMED_BY


def sentences(module: ast.Module) -> Iterator[str]:
    """The texts of a module that say something to a reader, each with its line."""
    kept = {part for node in ast.walk(module) if may_speak(node) for part in ast.walk(node)}
    kept |= {part for node in ast.walk(module) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(module):
        if node not in kept and isinstance(node, ast.Constant | ast.JoinedStr) and (said := sentence(node)):
            yield f"{node.lineno} {said}"


def may_speak(node: ast.AST) -> bool:
    """Whether all texts below a node may stand: a docstring, a fault of the caller's, a pattern, a rule, a name."""
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Constant)
    if isinstance(node, ast.Call):
        return ast.unparse(node.func).startswith(("re.", "_require_"))
    if isinstance(node, ast.FunctionDef):
        return node.name in NAMED_BY
    return isinstance(node, ast.Raise) or any(
        RULES.fullmatch(target) or target in SOURCES | NAMES for target in targets(node)
    )


def targets(node: ast.AST) -> tuple[str, ...]:
    """The names that a statement gives a value to."""
    if isinstance(node, ast.AnnAssign):
        return (ast.unparse(node.target),)
    return tuple(ast.unparse(target).strip("()") for target in node.targets) if isinstance(node, ast.Assign) else ()


def sentence(node: ast.Constant | ast.JoinedStr) -> str:
    """What a text says: three words or more, or one beside a figure; "" for a name or no words at all."""
    if isinstance(node, ast.JoinedStr):
        said = "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
        return said if WORD.search(said) else ""
    return node.value if isinstance(node.value, str) and THREE_WORDS.search(node.value) else ""
