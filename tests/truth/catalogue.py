"""All ways, gathered: importing this module fills the list."""

from __future__ import annotations

from tests.truth import (
    ways_files,
    ways_lines,
    ways_lists,
    ways_lost,
    ways_medicines,
    ways_mending,
    ways_mobs,
    ways_when,
    ways_who,
    ways_words,
)
from tests.truth.ways import WAYS

MODULES = (
    ways_lists,
    ways_lines,
    ways_mobs,
    ways_who,
    ways_files,
    ways_words,
    ways_when,
    ways_mending,
    ways_medicines,
    ways_lost,
)

__all__ = ["MODULES", "WAYS"]
