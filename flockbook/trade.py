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
# The sexes that a lamb called so may have in the notes: a buck lamb may have been made a wether.
SEXES_MEANT = {word: (sex,) for word, sex in SEX_SAID.items()} | dict.fromkeys(("male", "buck"), (RAM, WETHER))
# A lamb reared by hand, and one that is fed for sale.
HAND_REARED = ("bummer", "bummer lamb", "bottle lamb", "bottle baby", "pet lamb")
HAND_REARED_MOBS = ("bummers", "bummer lambs", "bottle lambs", "bottle babies", "pet lambs")
FEEDER = ("feeder", "feeder lamb")
REARED_SAID = dict.fromkeys(("bummer", "bottle", "bottle lamb", "hand", "by hand"), "pet")
# Words behind `note:` for a sheep's own note, with what each says besides: a field and its value, or nothing more.
NO_MORE = ("", "")
EWE_SAYS = dict.fromkeys(("female", "yearling ewe", "ewe yearling", "yearling female"), NO_MORE)
RAM_SAYS = dict.fromkeys(("buck", "male", "yearling ram", "yearling buck", "ram yearling", "yearling male"), NO_MORE)
WETHER_SAYS = {"yearling wether": NO_MORE}
LAMB_SAYS = {
    **{f"{word} lamb": ("sex", sex) for word, sex in SEX_SAID.items()},
    **dict.fromkeys(HAND_REARED, ("reared_as", "pet")), **dict.fromkeys((*FEEDER, "yearling"), NO_MORE),
}  # fmt: skip
# Words for several sheep, and the class in which all of them surely are.
CLASSES = {
    "bucks": "rams", "females": "ewes", "males": "rams", "feeders": "lambs", "feeder lambs": "lambs",
    "buck lambs": "ram lambs", **dict.fromkeys(HAND_REARED_MOBS, "lambs"),
}  # fmt: skip
# Those of such words that can mean sheep of another age or sex too, with the further classes.
CLASSES_TOO = {"feeders": ("wethers",), "feeder lambs": ("wethers",), "buck lambs": ("wether lambs",)}
# Parts of those words of which only she knows who of the class is meant: such a word never takes anybody out of a mob.
WIDER_THAN_MEANT = frozenset({"bummer", "bummers", "bottle", "pet", "feeder", "feeders"})
# Words for a mob that only the notes' ages, sexes and rearing tell: by those that are not sure nobody is moved or sold.
AGED = {
    "yearlings": (EWE, RAM, WETHER, None), "yearling ewes": (EWE,), "yearling rams": (RAM,), "yearling bucks": (RAM,),
    "yearling wethers": (WETHER,),
}  # fmt: skip
SEXED = {"females": (EWE,), "males": (RAM, WETHER)}
EYELID_SAID = ("eyelid", "eyelids", "eye", "famacha", "fam")  # the last is the usual name of the published eyelid chart
JUGS = "jug|pen"  # where a ewe stands alone with her newborn lambs
# What stands before an official number where it is put in; the number is one word, and further ones that have figures.
OFFICIAL = (
    r"(?:(?:official|scrapie|usda|flock ?id)(?: ?(?:id|tag|ear ?tag|number|no\.?|#))?)\s*[:#]?\s*"
    r"(?P<official>(?=[A-Z0-9-]*(?:\d|[ -]+[A-Z]*\d))[A-Z0-9][A-Z0-9-]*(?: (?=[A-Z]*\d)[A-Z0-9]+)*)"
)
# What a sheep of an age may be called, before or behind its sex.
AGES_SAID = ("lamb", "yearling", "gimmer", "shearling", "hogg", "hogget", "teg", "aged", "mature", "adult")
# What a bought sheep may be said to be, besides its sex.
BOUGHT_SAID = frozenset(
    {"lamb", "yearling", "lamb yearling", "bred", "open", "exposed", "bred yearling", "in lamb", *HAND_REARED, *FEEDER}
)
