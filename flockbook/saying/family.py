"""What cannot be in a pedigree, and what breeding values leave out, in words."""

from __future__ import annotations

from flockbook.derive.family.merit import Dropped, LeftOut
from flockbook.derive.family.merit_records import NoAge
from flockbook.derive.family.pedigree import FaultKind

CANNOT_BE = {
    FaultKind.ENTERED_TWICE: "entered twice",
    FaultKind.OWN_PARENT: "its own parent",
    FaultKind.ONE_PARENT_TWICE: "sire and dam are one animal",
    FaultKind.SIRE_AND_DAM: "a sire here and a dam there",
    FaultKind.OWN_ANCESTOR: "its own ancestor",
}
LEFT_OUT = {
    LeftOut.NO_NUMBER: "the value is not a number",
    LeftOut.NOT_IN_PEDIGREE: "the animal is not in the pedigree",
    LeftOut.SEVERAL: "the animal has several records of a trait it shows once",
}
NO_AGE = {
    NoAge.NO_BIRTHDAY: "its day of birth is not known, so its weight cannot be brought to one age",
    NoAge.NO_BIRTH_WEIGHT: "no birth weight, its own or of its like, so its weight cannot be brought to one age",
}


def dropped_words(drop: Dropped) -> str:
    """Why a level could not be allowed for."""
    if not drop.beside:
        return "all records have it"
    others = ", ".join(f"{other.effect} {other.name}" for other in drop.beside)
    return f"these records cannot tell it apart from {others}"
