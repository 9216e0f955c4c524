"""Every message can be explained: its rule is registered once, says why, and has a code of its own."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from compiler.diagnostics import Rule
from flockbook.book import RULES

ROOT = Path(__file__).parents[2]
CODE = re.compile(r"[A-Z]\d{3}")


def declared() -> list[tuple[str, str]]:
    """Code and file of every `Rule(...)` written anywhere in the two packages."""
    found = []
    for path in sorted([*(ROOT / "compiler").rglob("*.py"), *(ROOT / "flockbook").rglob("*.py")]):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Rule":
                code = node.args[0]
                assert isinstance(code, ast.Constant), f"{path.name}: a rule's code is not written out"
                found.append((str(code.value), str(path.relative_to(ROOT))))
    return found


def test_codes_and_names_are_unique() -> None:
    """A code or a name leads to one rule."""
    assert [code for code, times in Counter(rule.code for rule in RULES).items() if times > 1] == []
    assert [name for name, times in Counter(rule.name for rule in RULES).items() if times > 1] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_each_rule_explains_itself(rule: Rule) -> None:
    """A rule has a code, a name in plain words, and a reason in a whole sentence."""
    assert CODE.fullmatch(rule.code)
    assert re.fullmatch(r"[a-z][a-z0-9-]+", rule.name)
    assert len(rule.why) > 25
    assert rule.why.rstrip().endswith((".", "`", ")", "?"))


def test_every_rule_that_is_written_is_registered() -> None:
    """A message that may be shown can be looked up: no rule of the packages is missing from the book's list."""
    known = {rule.code for rule in RULES}
    missing = [(code, path) for code, path in declared() if code not in known]
    assert missing == []
