"""Whether words of a file may tell of a dose: then they hold their sheep, or stop the gathering; they are never
dropped.
"""

from __future__ import annotations

from compiler.shape import Value
from flockbook.records.sheep import Medicine
from flockbook.seen import Seen
from flockbook.whom.products import Products
from flockbook.whom.told_texts import speaks


class DoseEar(Value):
    """What doses are heard by: the products that the flock knows, and the names of those that have a note."""

    products: Products
    noted: frozenset[str] = frozenset()

    @staticmethod
    def of(seen: Seen) -> DoseEar:
        """What doses are heard by in a flock."""
        noted = (product_key(one.name or "") for one in seen.collection.of(Medicine))
        return DoseEar(seen.linked.products, frozenset(noted))

    def hears(self, heading: str, text: str) -> bool:
        """Whether a cell under its heading may tell of a dose."""
        return bool(text.strip()) and speaks(f"{heading}: {text}", self.products)


def product_key(name: str) -> str:
    """The name of a product as it is looked up."""
    return " ".join(name.casefold().split())
