"""Typing what a message says to type: the place where help texts are applied literally.

`CURES` holds, by the code of a message, a function that does to the folder what the message's help tells a shepherd to
do; it gives None where it finds nothing to do. A cure knows only what the message says: path, line, column and help.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.truth.plain import Files

Message = dict[str, Any]
Cure = Callable[[Files, Message], Files | None]
CURES: dict[str, Cure] = {}


def cured(files: Files, messages: list[Message], cures: dict[str, Cure] | None = None) -> Files:
    """The folder after each message with a cure has been answered, in order of the messages."""
    table = CURES if cures is None else cures
    for message in messages:
        cure = table.get(message["code"])
        files = (cure(files, message) if cure else None) or files
    return files
