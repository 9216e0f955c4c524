"""Notes on sheep that have a history of their own, and on medicines."""

from __future__ import annotations

from datetime import date
from typing import Any

from compiler.schema import Band, Kind, Record, key
from compiler.values import (
    CHOICE,
    COUNT,
    DATE,
    FLAG,
    PARTIAL_DATE,
    SPAN_OF_TIME,
    TEXT,
    VOLUME,
    WEIGHT,
    Choice,
    Duration,
    PartialDate,
    Volume,
    Weight,
)
from flockbook.records.gathered import GATHERED, GatheredFrom
from flockbook.records.labels import DOSE_RATE, WITHDRAWAL, DoseRate, Withdrawal
from flockbook.trade import (
    EWE,
    EWE_SAYS,
    LAMB_SAYS,
    RAM,
    RAM_SAYS,
    REARED_SAID,
    SEX_WORDS,
    WETHER,
    WETHER_SAYS,
)

MATURE_WEIGHT = Band(25, 180, "common practice: hill ewes about 45 kg to large rams about 150 kg")
BORN_AS = ("single", "twin", "triplet", "quad")
ORGANIC = ("yes", "converting", "no")


class Sheep(Record):
    """A sheep with a note of its own. `sex` comes from the kind of note, or from the field in a `lamb` note."""

    tag: str | None = key("the tag it is known by, exactly as printed on it", TEXT, required=True)
    name: str | None = key("its name", TEXT)
    sex: str | None = key("ewe, ram or wether (only needed in a `lamb` note)", Choice(tuple(SEX_WORDS)))
    born: PartialDate | None = key("date of birth; `2023-04`, `2023` or `about 2021` will do", PARTIAL_DATE)
    breed: str | None = key("breed, where it is not the flock's own", TEXT)
    dam: str | None = key("its mother", TEXT, instead=("mother", "mom"))
    sire: str | None = key("its father, when he is sure", TEXT, instead=("father", "dad"))
    sires: tuple[str, ...] = key("the rams that may be its father", TEXT, many=True)
    born_as: str | None = key("litter it was born in", CHOICE(*BORN_AS))
    reared_as: str | None = key(
        "how it was reared: single, twin, triplet or pet",
        Choice(("single", "twin", "triplet", "pet"), same=REARED_SAID),
    )
    official: str | None = key("official number", TEXT, instead=("scrapie tag", "scrapie", "scrapie id", "usda tag"))
    eid: str | None = key("electronic number, 15 digits", TEXT, instead=("rfid", "electronic id", "840 tag"))
    mob: str | None = key("the mob it belongs to until a `draft` note says otherwise", TEXT)
    bought: date | None = key("the day it was bought", DATE)
    from_: str | None = key("whom it was bought from", TEXT, instead=("breeder", "seller"))
    marks: str | None = key("what to know it by", TEXT, instead=("markings", "color", "colour"))
    temperament: str | None = key("what it is like to handle", TEXT)
    mature_weight: Weight | None = key("weight when full grown", WEIGHT, band=MATURE_WEIGHT)
    registry: str | None = key(
        "its number in the breed society's book, such as `KH 12345`", TEXT, aliases=("registration",)
    )
    genotype: str | None = key("what a test found, such as `ARR/ARR` or `codon 171 RR`", TEXT)
    organic: str | None = key(
        "`yes`, `converting` or `no`: which waiting periods are longer is `organic withdrawal` in flock.yaml",
        CHOICE(*ORGANIC),
    )
    sure: bool | None = key("`yes` confirms an unusual value", FLAG)
    gathered: GatheredFrom | None = key("the file, row and id that it was gathered from", GATHERED)


class Medicine(Record):
    """A product in the cupboard, as its label reads. The program ships no dose and no withdrawal: both are typed
    here.
    """

    name: str | None = key("what treatment notes call it", TEXT, required=True)
    active: str | None = key("active ingredient", TEXT)
    strength: str | None = key("strength, e.g. `300,000 units/mL`", TEXT)
    form: str | None = key("drench, injection, pour-on, spray …", TEXT)
    label_rate: DoseRate | None = key("dose for the weight as the label gives it, e.g. `1 ml per 20 kg`", DOSE_RATE)
    label_minimum: Volume | None = key("the least dose that the label allows", VOLUME)
    minimum_age: Duration | None = key("youngest age on the label", SPAN_OF_TIME)
    route: str | None = key("by mouth, under the skin, into muscle …", TEXT)
    max_per_site: Volume | None = key("most to inject in one place", VOLUME)
    meat_withdrawal: Withdrawal | None = key(
        "from the label or the vet's letter: `28 days`, `72 h`, `none`", WITHDRAWAL
    )
    milk_withdrawal: Withdrawal | None = key("`7 days`, `72 h`, `none` or `not for milk`", WITHDRAWAL)
    source: str | None = key("where the periods were read: label or vet's letter", TEXT)
    checked: date | None = key("the day the label was last read", DATE)
    prescription: str | None = key("prescription or vet, where one is needed", TEXT)
    group: str | None = key("drench family", TEXT)
    batch: tuple[str, ...] = key("batch number", TEXT, many=True)
    expires: PartialDate | None = key("expiry date; `2027-06` counts to the end of the month", PARTIAL_DATE)
    pack: Volume | None = key("size of the pack", VOLUME)
    opened: date | None = key("the day the pack was opened", DATE)
    use_within: Duration | None = key("how long it keeps once opened", SPAN_OF_TIME)
    trace: str | None = key("trace mineral in it, e.g. `selenium 1 mg/mL`", TEXT)
    kind: str | None = key("vaccine, wormer, antibiotic, vitamin, pain relief …", TEXT)
    gathered: GatheredFrom | None = key("the file, row and id that it was gathered from", GATHERED)


SHEEP_WORDS: dict[str, str | None] = {"ewe": EWE, "ram": RAM, "wether": WETHER, "lamb": None}
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "ewe",
        Sheep,
        "a ewe with a history of her own",
        dated=False,
        named=("tag", "name"),
        aliases=("gimmer",),
        says=EWE_SAYS,
    ),
    Kind("ram", Sheep, "a ram", dated=False, named=("tag", "name"), aliases=("tup",), says=RAM_SAYS),
    Kind("wether", Sheep, "a wether", dated=False, named=("tag", "name"), aliases=("wedder",), says=WETHER_SAYS),
    Kind("lamb", Sheep, "a kept lamb", dated=False, named=("tag", "name"), says=LAMB_SAYS),
    Kind(
        "medicine",
        Medicine,
        "a product in the cupboard, as its label reads",
        dated=False,
        named=("name",),
        guarded=True,
    ),
)


def sex_of(sheep: Sheep) -> str | None:
    """ewe, ram, wether, or None when a `lamb` note does not say."""
    return SHEEP_WORDS.get(sheep.origin.kind) or SEX_WORDS.get((sheep.sex or "").lower())


__all__ = ["COUNT", "EWE", "KINDS", "RAM", "SEX_WORDS", "WETHER", "Medicine", "Sheep", "sex_of"]
