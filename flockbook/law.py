"""The law on sheep, by country: each rule once, with whose it is and where it was read.

A page, sheet or message that names a law takes it from here by the flock's own `country`; where nothing was read of
that country, or none is written, it says whom to ask (`ASK_AUTHORITY`), and no other country's rule stands as hers.
"""

from __future__ import annotations

from enum import Enum

from compiler.shape import Value
from flockbook.country_codes import EUROPEAN_UNION, country_code
from flockbook.manner import UK, manner

ASK_AUTHORITY = "ask your vet and your authority"


class Topic(Enum):
    """What a rule of law is about."""

    LOST_TAG = "a lost tag"
    TAG_LAMBS = "when lambs are tagged"
    OFFICIAL_NUMBER = "who carries an official number"
    RINGS = "rubber rings"
    MOVE_ENTRY = "how soon a move is written down"
    REGISTER_KEPT = "how long the register is kept"
    MEDICINES_KEPT = "how long the medicine record is kept"
    OFF_LABEL = "use off the label"
    OFF_LABEL_LEAST = "the least period for use off the label"
    TRANSPORT = "who is not fit to travel"
    BIRTHS = "people near ewes at lambing"


class Law(Value):
    """One rule: where it holds, in words, by whom it was published; `figure` is what can be reckoned with."""

    topic: Topic
    places: tuple[str, ...]
    words: str
    source: str
    figure: float | None = None

    @property
    def in_full(self) -> str:
        """The rule with its source."""
        return f"{self.words} ({self.source})"


BRITISH_PARTS = ("England", "Wales", "Scotland", "Northern Ireland")
ENGLAND_WALES = ("England", "Wales")
UNION = tuple(sorted(EUROPEAN_UNION))
TRANSPORT_ANNEX = "EC 1/2005, Annex I, chapter I, 2"  # Council Regulation (EC) No 1/2005
LAWS = (
    Law(Topic.LOST_TAG, ENGLAND_WALES, "a lost tag is replaced within 28 days of noticing", "gov.uk, gov.wales", 28),
    Law(Topic.LOST_TAG, ("US",), "the new official tag's number goes into the same sheep's record, and no official tag "
        "is taken out", "eradicatescrapie.org, requirements; APHIS, Dec 2020"),
    Law(Topic.TAG_LAMBS, ENGLAND_WALES, "lambs are tagged by nine months, six where housed at night, and before they "
        "leave the holding of birth", "gov.uk and gov.wales, SMR 8", 273),
    Law(Topic.OFFICIAL_NUMBER, ENGLAND_WALES, "two identifiers of one number, one of them electronic; lambs for "
        "slaughter under a year one electronic tag", "gov.uk, types and combinations of identifier; gov.wales 2024"),
    Law(Topic.OFFICIAL_NUMBER, ("US",), "breeding sheep, and all sheep over 18 months, carry official identification "
        "when they change owner; your state says who is excepted", "9 CFR part 79; Nebraska Sheep & Goat Producers "
        "2021"),
    Law(Topic.RINGS, ENGLAND_WALES, "a rubber ring may be put on without an anaesthetic only in a lamb's first week",
        "National Farmers' Union; Permitted Procedures Regulations 2007", 7),
    Law(Topic.MOVE_ENTRY, ("England",), "a move is entered within 36 hours", "SI 2009/3219, art. 21", 36),
    Law(Topic.MOVE_ENTRY, ("AU",), "a move is recorded within 48 hours in Queensland, within 7 days in South Australia",
        "ablis.business.gov.au; South Australia's rule of 2010"),
    Law(Topic.REGISTER_KEPT, BRITISH_PARTS, "the register is kept for three years after the last animal has gone",
        "gov.uk, How to keep a holding register", 3),
    Law(Topic.REGISTER_KEPT, ("US",), "papers of official identification, sales and purchases are kept for five years",
        "9 CFR part 79; letter of APHIS; Maine 01-001 CMR ch. 202", 5),
    Law(Topic.MEDICINES_KEPT, BRITISH_PARTS, "five years", "Veterinary Medicines Regulations 2013", 5),
    Law(Topic.MEDICINES_KEPT, UNION, "five years", "Reg. (EU) 2019/6 Art. 108(5)", 5),
    Law(Topic.MEDICINES_KEPT, ("US",), "five years for official identification; a vet's record of extra-label use two",
        "9 CFR part 79; 21 CFR 530.5", 5),
    Law(Topic.OFF_LABEL, BRITISH_PARTS, "only on a vet's order, with a waiting period in writing",
        "SI 2013/2033 Sch. 4"),
    Law(Topic.OFF_LABEL, UNION, "only on a vet's order, with a waiting period in writing", "Reg. (EU) 2019/6 Art. 115"),
    Law(Topic.OFF_LABEL, ("US",), "only on a vet's order; the vet sets a substantially extended withdrawal",
        "21 CFR 530.20"),
    Law(Topic.OFF_LABEL_LEAST, BRITISH_PARTS, "at least half as long again as the longest period on the label",
        "SI 2013/2033 Sch. 4", 1.5),
    Law(Topic.OFF_LABEL_LEAST, UNION, "at least half as long again as the longest period on the label",
        "Reg. (EU) 2019/6 Art. 115", 1.5),
    # The parts of Great Britain and Northern Ireland kept the regulation (from memory).
    Law(Topic.TRANSPORT, (*BRITISH_PARTS, *UNION), "unfit to travel by law", f"Council Regulation {TRANSPORT_ANNEX}"),
    Law(Topic.BIRTHS, BRITISH_PARTS, "advice on animals that are giving birth", "gov.uk and gov.scot"),
)  # fmt: skip


# Whose law stands behind the messages of these codes.
LAW_OF_RULES = {
    "B310": Topic.RINGS, "I105": Topic.OFFICIAL_NUMBER, "I106": Topic.OFFICIAL_NUMBER, "M105": Topic.OFF_LABEL,
    "M106": Topic.OFF_LABEL_LEAST,
}  # fmt: skip


def places(country: str) -> frozenset[str]:
    """The places whose law is meant by a country as somebody typed it; Great Britain alone means each of its parts."""
    code = country_code(country)
    part = next((one for one in BRITISH_PARTS if one.casefold() == " ".join(country.casefold().split())), "")
    return frozenset({part} if part else BRITISH_PARTS if code == "GB" else {code} - {""})


def law(country: str, topic: Topic) -> Law | None:
    """The rule of the flock's own country on a topic, or None where none was read."""
    here = places(country)
    return next((one for one in LAWS if one.topic is topic and here.intersection(one.places)), None)


def law_here(topic: Topic) -> Law | None:
    """The rule of the country in whose manner the book speaks now."""
    return law(manner().country, topic)


def births_source(more: str = "") -> str:
    """Who says what people keep from at lambing. It is advice and no law, so outside Britain the source stands as
    published there; not to a flock in American words, which asks at home.
    """
    published = next(one for one in LAWS if one.topic is Topic.BIRTHS)
    own = f"{published.source}, {published.words}"
    if law_here(Topic.BIRTHS) is None:
        at_home = "advice of health authorities: ask your doctor"
        own = f"published in Britain: {own}" if manner().words == UK else at_home
    return f"{own}{f'; {more}' if more else ''}"


def law_or_ask(country: str, topic: Topic) -> str:
    """The rule in words with its source, or whom to ask."""
    found = law(country, topic)
    return found.in_full if found else ASK_AUTHORITY
