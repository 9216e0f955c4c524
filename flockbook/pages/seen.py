"""What every page maker is given, by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from compiler.book import Findings, Stamp
from compiler.pages import Asset, Page
from flockbook.derive.facts import Facts
from flockbook.flock import Flock
from flockbook.settings import Settings

Seen = Findings[Settings, Flock, Facts]
Make = Callable[[Seen, Stamp], Iterable[Page | Asset]]
