"""Whether words of a file may tell of a dose: then they hold their sheep, or stop the gathering; they are never
dropped.
"""

from __future__ import annotations

import re

from compiler.shape import Value
from flockbook.records.sheep import Medicine
from flockbook.seen import Seen
from flockbook.whom.products import Products
from flockbook.whom.told_texts import speaks

# What a title calls the rows of a sheet of doses, and its year.
SHEET_TITLE = re.compile(
    r"\b(?:treatments?|medicines?|medications?|vaccinations?|worming|deworming|drench(?:ing)?|dosing|health|meds)"
    r"(?: (?:log|book|records?|list|sheet|register|diary|history))?\b|\b(?:19|20)\d\d\b",
    re.I,
)
# A title of such words alone names no sheep, no product and no day.
TITLE_ALONE = re.compile(r"(?:(?:wormed|dosed|drenched|vaccinated|shots?|injections?|wormers?|and|&|,)\s*)+", re.I)


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

    def is_title(self, text: str) -> bool:
        """Whether a text tells of no dose but for what it calls the rows of a sheet."""
        return TITLE_ALONE.fullmatch(text) is not None or not self.hears("", SHEET_TITLE.sub(" ", text))


def product_key(name: str) -> str:
    """The name of a product as it is looked up."""
    return " ".join(name.casefold().split())
