"""Templates as functions: remembered from an earlier run, or written now."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Mapping
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from types import CodeType
from typing import Any

from compiler import codestore
from compiler.printing import NAMES, TABLE, Print
from compiler.shape import Value
from compiler.store import code_digest

# The files that decide what a template does: our own, and those by which Jinja2 reads it.
OURS = ("expressions", "functions", "outlines", "pages", "printing", "templatecode", "templates")
JINJA = ("lexer", "nodes", "parser")

Drawing = tuple[Print, Mapping[str, Print]]  # the root that a template is drawn from, and the blocks that fill it
Refusal = tuple[str, str, int, str]  # template, the one that hinders it, its line, what that one does


class Functions(Value):
    """The functions of a theme by template, and which templates are left to Jinja2."""

    drawings: Mapping[str, Drawing]
    refused: tuple[Refusal, ...] = ()


class Asked(Value):
    """What is asked for: the templates' texts, how one is read, where to remember, and the theme's name there."""

    texts: Mapping[str, str]
    parsed: Callable[[str], Any]
    place: Path | None
    name: str


def functions(asked: Asked) -> Functions:
    """The templates as functions. Never raises: what cannot be had is left to Jinja2."""
    digest = digest_of(asked.texts)
    known = _ready(codestore.recall(asked.place, asked.name, digest))
    if known is None:
        fresh = _written(asked)
        codestore.remember(asked.place, asked.name, digest, fresh)
        known = _ready(fresh)
    return known or Functions({})


def digest_of(texts: Mapping[str, str]) -> str:
    """A digest of everything that decides what the functions are."""
    whole = hashlib.sha256(f"{sys.version}\0{_program()}".encode())
    for name, text in sorted(texts.items()):
        whole.update(f"\0{len(name)} {len(text)} {name}{text}".encode("utf-8", "surrogatepass"))
    return whole.hexdigest()


@lru_cache(maxsize=1)
def _program() -> str:
    """A digest of the code, ours and that part of Jinja2 that reads templates; it is not imported for that."""
    here, found = Path(__file__).parent, find_spec("jinja2")
    files = [here / f"{name}.py" for name in OURS]
    for folder in (found and found.submodule_search_locations) or ():
        files += [Path(folder, f"{name}.py") for name in JINJA]
    return code_digest(files)


def _written(asked: Asked) -> tuple[CodeType, tuple[Refusal, ...]]:
    """The code of all templates, and what was refused."""
    from compiler.templatecode import written

    code = written(asked.texts, asked.parsed)
    try:
        return compile(code.source, f"<templates of {asked.name}>", "exec"), code.refused
    except (SyntaxError, RecursionError, ValueError, MemoryError) as error:  # more than Python takes
        told = tuple((name, name, 0, f"is more than Python takes: {error}") for name in sorted(asked.texts))
        return compile(f"{TABLE} = {{}}", "<templates>", "exec"), told


def _ready(found: Any) -> Functions | None:
    """The functions of code that was remembered or written, or None if it is of no use."""
    try:
        code, refused = found
        names: dict[str, Any] = dict(NAMES)
        exec(code, names)
        return Functions(names[TABLE], refused)
    except Exception:  # as if nothing had been remembered
        return None
