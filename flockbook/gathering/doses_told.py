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

DOSES_CALLED = (
    r"(?:treatments?|medicines?|medications?|meds|vaccinations?|worming|deworming|drench(?:es|ing)?|dosing|injections?"
    r"|shots?|health)"
)
# A title of a sheet of doses, in words that name no sheep, no product and no day; only years may stand with them.
SHEET_TITLE = re.compile(
    rf"(?:\b(?:{DOSES_CALLED}|treated|vaccinated|wormed|dewormed|drenched|dosed|log|book|records?|list|sheet|register"
    r"|diary|history|spring|summer|autumn|fall|winter|season|year|and|for|of|(?:19|20)\d\d)\b|[\s&,:/-])+",
    re.I,
)
# What a book of doses is called, and its year; beside it may stand whose it is.
BOOK_CALLED = re.compile(
    rf"\b{DOSES_CALLED} (?:log|book|records?|list|sheet|register|diary|history)\b|\b(?:19|20)\d\d\b", re.I
)
# A dose by its noun, with a figure or with whom it was given to.
DOSE_OF_MANY = re.compile(
    rf"(?=.*\b{DOSES_CALLED}\b)(?=.*(?:\d|\b(?:all|every\w*|ewes?|rams?|lambs?|wethers?|flock|mob)\b)).*", re.I
)


# Over a column of doses stands what was done, how much of it, or what it was: `drench ml`, `LA`, `treat`.
DOSES_BELOW = re.compile(
    r"\b(?:drench\w*|(?:de-?)?worm(?:ed|er|ers|ing)?|treat\w*|jab\w*|inject\w*|vacc\w*|vax\w*|cdt|shots?|dos(?:e|es|ed)"
    r"|meds?|medic\w*|antibiotics?|abx|oxytet\w*|pour[- ]?on|LA|mls?|ccs?)\b",
    re.I,
)
NOTHING_THERE = frozenset({"", "-", "–", "no", "n", "none", "nil", "0"})


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
        """Whether a cell under its heading may tell of a dose: by its words, or by a heading that calls for doses."""
        if text.strip().casefold() in NOTHING_THERE:
            return False
        return speaks(f"{heading}: {text}", self.products) or self.is_over_doses(heading)

    def is_over_doses(self, heading: str) -> bool:
        """Whether a heading says what was done, how much of it, or names a product."""
        begun = next(self.products.begun(heading), "")
        return bool(DOSES_BELOW.search(heading) or self.products.product(heading) or begun)

    def is_title(self, text: str) -> bool:
        """Whether a text above the headings tells of no dose, or only calls the rows what they are."""
        beside = BOOK_CALLED.sub(" ", text)
        return bool(SHEET_TITLE.fullmatch(text)) or not (self.hears("", beside) or DOSE_OF_MANY.fullmatch(beside))


def product_key(name: str) -> str:
    """The name of a product as it is looked up."""
    return " ".join(name.casefold().split())
