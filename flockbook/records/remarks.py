"""Notes that only say something worth keeping."""

from __future__ import annotations

from typing import Any, ClassVar

from compiler.schema import Kind
from flockbook.records.event import Event


class Remark(Event):
    """Anything worth keeping, about some sheep or none."""

    of_the_living: ClassVar[bool] = False


KINDS: tuple[Kind[Any], ...] = (Kind("remark", Remark, "anything worth keeping"),)
