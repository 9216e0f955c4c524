"""Remarks with a memory: one with markup is read only once in its life."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path

from compiler import prose
from compiler.pages import Html
from compiler.store import Store, code_digest, for_folder

LIBRARIES = ("markdown-it-py",)  # whose version decides what a remark looks like

Render = Callable[[str, str], str]


@contextmanager
def rendering(notes: Path, program: str, cache: Path | None) -> Iterator[Render]:
    """A function (remark, path of its note) → HTML that remembers between runs, in `cache` or the user's own folder."""
    memory = _Memory(notes, program, cache)
    yield lambda text, path: _rendered(text, path, memory)
    memory.save()


class _Memory:
    """The store, opened at the first remark that has any markup."""

    def __init__(self, notes: Path, program: str, cache: Path | None) -> None:
        self.where = notes, program, cache

    @cached_property
    def store(self) -> Store:
        from importlib.metadata import version

        notes, program, cache = self.where
        code = code_digest([Path(prose.__file__)], *(version(name) for name in LIBRARIES))
        return for_folder(notes, program, code, cache)

    def save(self) -> None:
        if "store" in vars(self):
            self.store.save()


def _rendered(text: str, path: str, memory: _Memory) -> str:
    if prose.is_plain(text):
        return Html(prose.render(text))
    digest = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()
    html = memory.store.get(digest)
    if html is None:
        html = prose.render(text)
        memory.store.put(digest, html)
    return Html(prose.rooted(html, path))
