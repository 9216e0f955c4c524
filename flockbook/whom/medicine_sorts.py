"""Of what sort a medicine was by the words that tell of it, and by its own name: `wormed` is no vaccine (V8, V11)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import cache

from compiler.shape import Value
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine


class MedicineSort(StrEnum):
    """What a medicine is for, as far as the words of a race tell it."""

    VACCINE = "vaccine"
    WORMER = "wormer"
    ANTIBIOTIC = "antibiotic"
    OUTSIDE = "outside"
    MINERAL = "mineral"
    PAIN = "pain"


# By its name, active ingredient, kind, form and group; what is in two of them is both: an avermectin to pour on.
SORT_OF_NAME = {
    MedicineSort.VACCINE: re.compile(r"vaccin|vax|clostrid|toxoid|bacterin", re.I),
    MedicineSort.WORMER: re.compile(r"worm|fluk|ectin|dazole|misole|antel|azuril", re.I),
    MedicineSort.ANTIBIOTIC: re.compile(
        r"antibiotic|cillin|c[yi]cline|m[yi]cin\b|floxacin|sulf|sulph|tilmicosin|tylosin|\bcef|fenicol", re.I
    ),
    MedicineSort.OUTSIDE: re.compile(
        r"pour[- ]?on|spot[- ]?on|methrin|\bdip\b|dicyclanil|cyromazine|\bfly\b|\blice\b|spray", re.I
    ),
    MedicineSort.MINERAL: re.compile(
        r"selenium|cobalt|copper|zinc|iodine|vitamin|calcium|magnesium|mineral|glucose", re.I
    ),
    MedicineSort.PAIN: re.compile(r"pain|meloxicam|flunixin|ketoprofen|inflam|steroid|dexameth|nsaid", re.I),
}
DRENCH = re.compile(r"\bdrench\b", re.I)


class SaidOf(Value):
    """Words that tell of a dose, the sorts of which the medicine may have been, and, for words of a way in, what says
    of a product that it goes in so.
    """

    words: re.Pattern[str]
    sorts: frozenset[MedicineSort]
    way: re.Pattern[str] | None = None

    def fits(self, name: str) -> bool:
        """Whether a product can be meant, by all that it is called: one whose name says nothing may be any."""
        own = sorts_of(name)
        return not own or not self.sorts.isdisjoint(own) or (self.way is not None and bool(self.way.search(name)))


def _said(words: str, *sorts: MedicineSort, way: str = "") -> SaidOf:
    """Whole words of a dose."""
    return SaidOf(re.compile(rf"\b(?:{words})\b", re.I), frozenset(sorts), re.compile(way, re.I) if way else None)


ANY_WAY = _said(r"dos(?:ed|ing)", MedicineSort.WORMER, MedicineSort.ANTIBIOTIC, MedicineSort.MINERAL, MedicineSort.PAIN)
SAID_OF = (
    _said(r"(?:de-?)?wormed|(?:de-?)?wormers?|worming|fluk(?:ed|icide|ing)|anthelmintics?", MedicineSort.WORMER),
    _said(
        r"dr\w{1,3}ch(?:ed|es|ing)?|drench['’]d",
        MedicineSort.WORMER,
        MedicineSort.MINERAL,
        way=r"\b(?:drench|oral\w*|mouth)\b",
    ),
    _said(r"antibiotics?|abx|long[- ]acting|LA(?= ?\d)", MedicineSort.ANTIBIOTIC),
    _said(r"penicillin|pen[- ]?(?:&|and)?[- ]?strep", way=r"cillin\b"),  # one antibiotic is no answer for another
    _said(r"oxytet\w*", way=r"tetrac[yi]cline"),
    _said(r"vaccinated|vaccinating|vaccines?|vaccs?|vaxed|boosters?", MedicineSort.VACCINE),
    _said(r"pour(?:ed|[- ]?on)", MedicineSort.OUTSIDE, way=r"\bpour"),
    _said(r"steroids?|pain ?(?:relief|killers?)|anti-?inflam\w*|nsaids?", MedicineSort.PAIN),
    ANY_WAY,
)


@cache
def sorts_of(name: str) -> frozenset[MedicineSort]:
    """Of what sorts a product is, by all that it is called; none where that does not say."""
    found = frozenset(sort for sort, words in SORT_OF_NAME.items() if words.search(name))
    return found or frozenset({MedicineSort.WORMER} if DRENCH.search(name) else ())


def sorts_told(text: str) -> Iterator[tuple[re.Match[str], SaidOf]]:
    """Every word of a text that tells of what sort a dose was."""
    for said in SAID_OF:
        if match := said.words.search(text):
            yield match, said


def all_names(event: Treatment, notes: Iterable[Medicine]) -> str:
    """All that a treatment, and the notes on its medicine, say of what it is and how it goes in."""
    fields = (text for one in notes for text in (one.name, one.active, one.kind, one.form, one.group, one.route))
    return " ".join(text for text in (event.medicine, event.route, *fields) if text)
