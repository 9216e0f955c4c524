"""The words of the trade for the sheep themselves, each once: whoever reads or means one takes it from here.

American words stand beside British ones (general usage in extension writing on either side, from memory).
"""

from __future__ import annotations

EWE, RAM, WETHER = "ewe", "ram", "wether"
# What a sheep of a sex is called, lamb or grown.
SEX_SAID = {
    "ewe": EWE, "gimmer": EWE, "female": EWE,
    "ram": RAM, "tup": RAM, "buck": RAM, "male": RAM,
    "wether": WETHER, "wedder": WETHER,
}  # fmt: skip
SEX_WORDS = {**SEX_SAID, "f": EWE, "m": RAM}  # and what may stand in a field for it
SEX_PATTERN = "|".join(SEX_SAID)
# A lamb reared by hand, and one that is fed for sale.
HAND_REARED = ("bummer", "bummer lamb", "bottle lamb", "bottle baby", "pet lamb")
FEEDER = ("feeder", "feeder lamb")
YEARLING = "yearling"
REARED_SAID = dict.fromkeys(("bummer", "bottle", "hand", "by hand"), "pet")
# Kinds of note for a sheep: the words for each, and what a word says besides, as (field, value).
EWE_KINDS = ("gimmer", "female", "yearling ewe", "ewe yearling", "yearling female")
RAM_KINDS = ("tup", "buck", "male", "yearling ram", "yearling buck", "ram yearling", "yearling male")
WETHER_KINDS = ("wedder", "yearling wether")
LAMB_SAYS = {
    **{f"{word} lamb": ("sex", sex) for word, sex in SEX_SAID.items()},
    **dict.fromkeys(HAND_REARED, ("reared_as", "pet")),
}
LAMB_KINDS = (*LAMB_SAYS, *FEEDER, YEARLING)
# Words for several sheep, and the class in which all of them surely are.
CLASSES = {
    "bucks": "rams", "females": "ewes", "males": "rams", "bummers": "lambs", "bummer lambs": "lambs",
    "bottle lambs": "lambs", "bottle babies": "lambs", "feeders": "lambs", "feeder lambs": "lambs",
    "buck lambs": "ram lambs",
}  # fmt: skip
# Those of such words that can mean sheep of another age or sex too, with the further classes.
CLASSES_TOO = {"feeders": ("wethers",), "feeder lambs": ("wethers",), "buck lambs": ("wether lambs",)}
EYELID_SAID = ("eyelid", "eyelids", "eye", "famacha")  # the last is the usual name of the published eyelid chart
JUGS = "jug|pen"  # where a ewe stands alone with her newborn lambs
# What stands before an official number where it is put in; the number is one word, and further ones that have figures.
OFFICIAL = (
    r"(?:(?:official|scrapie|usda|flock ?id)(?: ?(?:id|tag|ear ?tag|number|no\.?|#))?)\s*[:#]?\s*"
    r"(?P<official>(?=[A-Z0-9-]*(?:\d|[ -]+[A-Z]*\d))[A-Z0-9][A-Z0-9-]*(?: (?=[A-Z]*\d)[A-Z0-9]+)*)"
)
# What a bought sheep may be said to be, besides its sex.
BOUGHT_AS = frozenset(
    {"lamb", "yearling", "lamb yearling", "bred", "open", "exposed", "bred yearling", "in lamb", *HAND_REARED, *FEEDER}
)
