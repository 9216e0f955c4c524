"""What every check is given, by name."""

from __future__ import annotations

from compiler.book import Findings
from flockbook.derive.facts import Facts
from flockbook.flock import Animal, Flock
from flockbook.settings import Settings

Seen = Findings[Settings, Flock, Facts]


def called(animal: Animal) -> str:
    """An animal as it is called in a message."""
    return animal.called_in_full
