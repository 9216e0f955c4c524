"""What the indices of a season count, and of what, in words."""

from __future__ import annotations

from flockbook.derive.season.season_indices import FIRST_CYCLE_DAYS, YearIndex
from flockbook.derive.season.seasons import SeasonName
from flockbook.manner import LONG_MONTHS
from flockbook.measures import measures_of
from flockbook.regional import local, local_all

EXPOSED, LAMBED = "ewes exposed", "ewes that lambed"
LAMBS_BORN, FATES = "lambs born, dead ones too", "lambs born whose fate is known"
COUNTED_OF = {
    "fertility": ("ewes that lambed", EXPOSED),
    "barren": ("ewes that did not lamb", EXPOSED),
    "scanned_empty": ("ewes scanned empty", "ewes scanned"),
    "first_cycle": (f"ewes that lambed in the first {FIRST_CYCLE_DAYS} days", EXPOSED),
    "assisted": ("births helped", LAMBED),
    "mastitis": ("ewes with mastitis", LAMBED),
    "ewe_deaths": ("ewes that died before the next joining", EXPOSED),
    "replacement": ("ewes put to a ram here for the first time", EXPOSED),
    "scanning": ("lambs scanned", EXPOSED),
    "scanned_per_in_lamb": ("lambs scanned", "ewes scanned in lamb"),
    "prolificacy": (LAMBS_BORN, LAMBED),
    "born_per_exposed": (LAMBS_BORN, EXPOSED),
    "alive_per_exposed": ("lambs born alive", EXPOSED),
    "stillbirth": ("lambs born dead", "lambs born"),
    "malpresentation": ("lambs that lay wrong", "lambs born"),
    "preweaning_loss": ("lambs lost before weaning", "lambs born alive whose fate is known"),
    "birth_to_weaning_loss": ("lambs born dead or lost before weaning", FATES),
    "weaned_per_exposed": ("lambs weaned", EXPOSED),
    "weight_weaned_per_exposed": ("kg weaned", EXPOSED),
}
# What those counted did, after "9 of 10".
DID = {
    "fertility": "lambed",
    "barren": "did not lamb",
    "scanned_empty": "were empty at scanning",
    "first_cycle": f"lambed in the first {FIRST_CYCLE_DAYS} days",
    "assisted": "helped",
    "mastitis": "had mastitis",
    "ewe_deaths": "died",
    "replacement": "were new",
    "stillbirth": "born dead",
    "malpresentation": "lay wrong",
    "preweaning_loss": "lost before weaning",
    "birth_to_weaning_loss": "born dead or lost before weaning",
}


def season_words(name: SeasonName) -> str:
    """2026; or 2026 · December, where the flock lambed twice for that year."""
    return f"{name.year} · {LONG_MONTHS[name.month - 1]}" if name.month else str(name.year)


def counted_of_words(index: YearIndex, units: str) -> str:
    """lambs weaned, of ewes exposed; kg weaned (174 of 180 lambs weighed), of ewes exposed."""
    counted, of = local_all(COUNTED_OF[index.name])
    counted = counted.replace("kg", measures_of(units).weight_unit)
    known = f" ({index.weighed[0]} of {index.weighed[1]} lambs weighed)" if index.weighed else ""
    return f"{counted}{known}, of {of}"


def did_words(index: YearIndex) -> str:
    """What those counted did, after "9 of 10"."""
    return local(DID.get(index.name, COUNTED_OF[index.name][0]))
