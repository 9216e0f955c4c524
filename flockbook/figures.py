"""The figures that a flock's settings may change: each once, with its source and the bounds within which it is taken.

Whatever works with one of them, or names it in a sentence, takes it from here.
"""

from __future__ import annotations

import re
from unicodedata import normalize

from compiler.shape import Value


class Figure(Value):
    """A figure used where the settings give none, where it comes from, and the least and the most that is taken for it.

    The bounds are our own: what lies outside is a slip of the pen.
    """

    value: float
    unit: str
    source: str
    least: float
    most: float


_NMSU = "New Mexico State University, Normal Breeding Habits of Sheep"
UTAH = "Utah State University Extension AH/Sheep/12 (Bagley 1997)"
_WINDOW = "general extension texts: 142-152 d"
_COMMON = "common practice"

# How long ewes carry. No source prints a spread: 2.03 d follows from Metodiev 2019 (77.21 % of pregnancies of
# Île-de-France ewes at 149-153 d), about 2.9 d from the Arcott study's "2 % variability"; 2.3 d stands between them
# and is ours.
GESTATION = Figure(147, "days", f"{_NMSU} (mean 147 d)", 130, 170)
GESTATION_SPREAD = Figure(
    2.3, "days", "worked out from Metodiev 2019 (2.0 d) and the Arcott flocks' 2 % (2.9 d); no printed value found",
    0.1, 30,
)  # fmt: skip
SHORTEST_GESTATION = Figure(142, "days", _WINDOW, 100, 200)
LONGEST_GESTATION = Figure(152, "days", _WINDOW, 100, 200)
CYCLE = Figure(17, "days", f"{_NMSU}: 17 d (14-19)", 10, 30)

# When ewes take the ram. 0.75 lies between 0.60-0.70 reported for return services (an unattributed extension text) and
# the 84.5 % of synchronised Targhee ewes that conceived (Anim. Sci., 204 ewes).
NO_CYCLE = Figure(0.04, "share of ewes", "from memory", 0, 0.99)
CONCEIVE = Figure(
    0.75, "chance at each heat", "a model: 0.70-0.85 are used; none is a published distribution", 0.01, 0.99
)
MARK_SEEN = Figure(
    0.9, "chance", "J. Morgan, Sheep Canada 2011: marks identify the fertile mating about 90 % of the time", 0.01, 0.99
)

# How long a labour may run: `derive/lambing/labour_limits.py` holds the published bands beside these.
LOOK_AGAIN = Figure(0.5, "hours", f"published: 30-60 min after the water bag ({UTAH})", 0.01, 24)
STEP_IN = Figure(1.0, "hours", f"published: 30-60 min without progress ({UTAH})", 0.01, 24)
CALL_VET = Figure(0.5, "hours", "unattributed university guide: 30 min of skilled effort without progress", 0.01, 24)
LOOK_EVERY = Figure(
    4.0, "hours", "checks each 4-6 h (Current Therapy in Large Animal Theriogenology); shepherds report 2-6 h", 0.1, 72
)

RECORDS_KEPT = Figure(5, "years", "the longest that was read of any country", 1, 100)
INBREEDING_LIMIT = Figure(0.0625, "inbreeding of the lamb", f"{_COMMON} (the lamb of first cousins)", 0, 1)

CHOOSING = "choosing_"  # before the names of the rules by which ewes are kept or go
TIMES = 999  # the most that a rule for choosing counts
DEFAULTS: dict[str, Figure] = {
    "gestation": GESTATION,
    "gestation_spread": GESTATION_SPREAD,
    "shortest_gestation": SHORTEST_GESTATION,
    "longest_gestation": LONGEST_GESTATION,
    "cycle": CYCLE,
    "records_kept": RECORDS_KEPT,
    "no_cycle": NO_CYCLE,
    "conceive": CONCEIVE,
    "mark_seen": MARK_SEEN,
    "look_again": LOOK_AGAIN,
    "step_in": STEP_IN,
    "call_vet": CALL_VET,
    "look_every": LOOK_EVERY,
    "inbreeding_limit": INBREEDING_LIMIT,
    # Who stays and who goes: the group `choosing`. A count of 0 leaves a reason standing, but never as one to go.
    "choosing_helped_births": Figure(2, "births with help", _COMMON, 0, TIMES),
    "choosing_mastitis": Figure(1, "years with mastitis or a hard udder", _COMMON, 0, TIMES),
    "choosing_udder_lumps": Figure(
        0, "handlings with a lump", "watch only; lambs of such ewes died at 4.9 times the odds (Griffiths et al. 2019)",
        0, TIMES,
    ),
    "choosing_prolapse": Figure(1, "cases", _COMMON, 0, TIMES),
    "choosing_broken_mouth_below": Figure(
        2.5, "condition", "a hill ewe's condition at joining (Scotland's Farm Advisory Service, 9 Dec 2024); hill 2.5, "
        "upland 3.0, lowland 3.5", 0, 5,
    ),
    "choosing_barren_years": Figure(2, "years with no lamb", _COMMON, 0, TIMES),
    "choosing_poor_mother": Figure(1, "births with mothering 1 or 2 of 5", _COMMON, 0, TIMES),
    "choosing_short_milk": Figure(0, "births with little milk", f"watch only; {_COMMON}", 0, TIMES),
    "choosing_lost_all": Figure(2, "years that lost every lamb", _COMMON, 0, TIMES),
    "choosing_lameness": Figure(0, "cases of lameness", f"watch only; {_COMMON}", 0, TIMES),
    "choosing_weaned_a_year": Figure(1, "lambs weaned a year that speak for her", _COMMON, 0, 10),
}  # fmt: skip


def read_choice(text: str) -> tuple[str, float] | None:
    """`helped births 2` as (`choosing_helped_births`, 2.0); None where it names no rule, or no number that can be."""
    match = re.fullmatch(r"([a-z][a-z -]*?)[ :=]+(\d{1,3}(?:\.\d{1,2})?)", " ".join(text.lower().split()))
    name = CHOOSING + re.sub(r"[ -]+", "_", match[1]).replace("open_years", "barren_years") if match else ""
    if match is None or name not in DEFAULTS:
        return None
    rule, number = DEFAULTS[name], float(match[2])
    return (name, number) if rule.least <= number <= rule.most else None


def folded_breed(breed: str) -> str:
    """A breed's name as it is looked up: without case or spare blanks, letters with marks as one letter."""
    return normalize("NFC", " ".join(breed.split()).casefold())


def read_breed_length(text: str) -> tuple[str, float] | None:
    """`Merino 150 days` as (`merino`, 150.0); None where it is not a breed and a length that a pregnancy can have."""
    match = re.fullmatch(r"(.*[^\d\s:=.,])[ :=]+(\d{1,3}(?:\.\d{1,2})?)(?: ?d(?:ays?)?\.?)?", text.strip(), re.I)
    if match is None or not GESTATION.least <= float(match[2]) <= GESTATION.most:
        return None
    return folded_breed(match[1]), float(match[2])
