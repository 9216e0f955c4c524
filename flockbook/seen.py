"""What every check, page maker and handover is given, by name."""

from __future__ import annotations

from compiler.book import Findings
from flockbook.derive.facts import Facts
from flockbook.flock import Flock
from flockbook.settings import Settings

Seen = Findings[Settings, Flock, Facts]
