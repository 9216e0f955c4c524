"""Remarks with a memory: one with markup is read only once in its life."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.metadata import version
from pathlib import Path

from compiler import prose
from compiler.pages import Html
from compiler.store import Store, code_digest, for_folder

LIBRARIES = ("markdown-it-py",)  # whose version decides what a remark looks like

Render = Callable[[str, str], str]


@contextmanager
def rendering(notes: Path, program: str, cache: Path | None) -> Iterator[Render]:
    """A function (remark, path of its note) → HTML that remembers between runs, in `cache` or the user's own folder."""
    code = code_digest([Path(prose.__file__)], *(version(name) for name in LIBRARIES))
    memory = for_folder(notes, program, code, cache)
    yield lambda text, path: _rendered(text, path, memory)
    memory.save()


def _rendered(text: str, path: str, memory: Store) -> str:
    if prose.is_plain(text):
        return Html(prose.render(text))
    digest = hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()
    html = memory.get(digest)
    if html is None:
        html = prose.render(text)
        memory.put(digest, html)
    return Html(prose.rooted(html, path))
