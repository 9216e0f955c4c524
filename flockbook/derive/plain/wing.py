"""What the facts of every wing are worked out from."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.book import Moment
from flockbook.flock import Flock
from flockbook.settings import Settings


@dataclass(frozen=True)
class Wing:
    """One wing's facts: each family is made when it is first asked for, from these three and from wings to the left."""

    flock: Flock
    settings: Settings
    today: Moment
