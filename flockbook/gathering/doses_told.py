"""Whether words of a file may tell of a dose: then they hold their sheep, or stop the gathering; they are never
dropped.
"""

from __future__ import annotations

from compiler.shape import Value
from flockbook.whom.products import Products
from flockbook.whom.told_texts import speaks


class DoseEar(Value):
    """What doses are heard by: the products that the flock knows."""

    products: Products

    def hears(self, heading: str, text: str) -> bool:
        """Whether a cell under its heading may tell of a dose."""
        return bool(text.strip()) and speaks(f"{heading}: {text}", self.products)
