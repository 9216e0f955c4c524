"""What the facts of every wing are worked out from."""

from __future__ import annotations

from compiler.book import Moment
from compiler.shape import Value
from flockbook.flock import Flock
from flockbook.settings import Settings


class Wing(Value, dict=True):
    """One wing's facts: each family is made when it is first asked for, from these three and from wings to the left."""

    flock: Flock
    settings: Settings
    today: Moment
