"""What the columns of a file can become: the fields of a kind of note, the columns of its data lines, its lambs, or a
remark.
"""

from __future__ import annotations

import re
from typing import Any

from compiler.schema import Kind, Reader, declared_keys
from compiler.shape import Value
from compiler.values import DATE, DATES, PARTIAL_DATE, SPAN_OF_TIME, TEXT, TIME, VOLUME, WEIGHT, WHEN
from flockbook.jotting.kind_examples import ALWAYS_HIDDEN
from flockbook.records import KINDS
from flockbook.records.labels import DOSE_TEXT, WITHDRAWAL
from flockbook.records.prices import LIVE_WEIGHT, MONEY

SHEEP_BY_SEX = "sheep"  # stands for ewe, ram and wether, each row being what its sex says
NOT_USED, NO_DOSE, REMARK, OPEN = "not used", "no dose", "remark", "?"
MOMENT, DAY_ALONE = "date and time", "date without its time"
# The parts of a note that a target goes into.
IN_HEAD, IN_TABLE, ON_LAMB_LINE, IN_REMARK, IN_FATE = "field", "column", "lamb", "words", "fate"
GATHERED_KINDS = (
    "ewe", "ram", "wether", "lamb", SHEEP_BY_SEX, "medicine", "lambing", "past lambings", "treatment", "weighing",
    "weaning", "check", "scan", "tagging", "egg count", "move", "draft", "sale", "purchase", "death", "remark",
)  # fmt: skip
# Kinds of which one note takes many rows.
ROWED = ("weighing", "weaning", "check", "scan", "tagging", "egg count", "purchase", "past lambings")
OWN_NOTES = ("ewe", "ram", "wether", "lamb", SHEEP_BY_SEX)  # kinds of which a row is one sheep
FATE = "fate"  # a column that tells who died or was sold: each becomes a note of its own
NAMED_TOGETHER = ("treatment", "move", "draft", "sale")  # kinds of which one note names many sheep alike
LAMB_TARGETS = ("lamb sex", "lamb weight", "lamb tag", "lamb number", "lamb state", "lamb words")
LAMB_READERS: dict[str, Reader[Any]] = {"lamb weight": WEIGHT}
COLUMN_READERS: dict[str, Reader[Any]] = {"weight": WEIGHT, "born": PARTIAL_DATE, "date": PARTIAL_DATE}
SAME_COLUMNS = {"tag", "kg", "lb", "kgs", "kilos", "lbs", "pounds", "note", "remark"}  # other words for columns of ours
DAYS_READ = (DATE, DATES, WHEN, PARTIAL_DATE)
# The units that a figure of a column may have, by how its value is read.
UNITS_READ: tuple[tuple[Reader[Any], tuple[str, ...]], ...] = (
    (WEIGHT, ("kg", "lb")), (DOSE_TEXT, ("ml",)), (VOLUME, ("ml",)), (WITHDRAWAL, ("days", "h")),
    (SPAN_OF_TIME, ("days", "h", "weeks")), (MONEY, ("each", "total")),
    (LIVE_WEIGHT, ("lb each", "kg each", "lb total", "kg total")),
)  # fmt: skip
# What a row must say, besides the fields that the kind requires: one of each group.
ALSO_NEEDED: dict[str, tuple[tuple[str, ...], ...]] = {
    "treatment": (("sheep", "mob"),), "weighing": (("sheep",), ("weight",)), "weaning": (("sheep",),),
    "check": (("sheep",),), "scan": (("sheep",), ("lambs",)), "tagging": (("sheep",), ("tag", "eid", "official")),
    "egg count": (("sheep",), ("eggs", "epg", "before", "after")),
    "move": (("sheep", "mob"),), "draft": (("sheep", "mob"),),
    "sale": (("sheep", "mob"),), "death": (("sheep",),), "purchase": (("sheep",),),
    "past lambings": (("date",), ("ewe",)), SHEEP_BY_SEX: (("sex",),),
    "lambing": (("lamb sex", "lamb 1 sex", "lamb state", "lamb 1 state"),),
}  # fmt: skip
# Words over a column of the numbers that sheep are known by.
NUMBERS_CALLED = (
    "ewe id",
    "ram id",
    "lamb id",
    "sheep id",
    "ram no",
    "lamb no",
    "sheep no",
    "vid",
    "visual id",
    "tag id",
    "flock no",
)
# Words that stand over columns, by what they become; the names of the fields themselves are known without this.
OVER_COLUMNS: dict[str, tuple[str, ...]] = {
    "tag": ("tag no", "tag number", "ear tag", "eartag", "number", "no", "id", "animal", "animal id",
            "ewe no", "ewe", "sheep", *NUMBERS_CALLED),
    "sheep": (
        "tag", "tag no", "tag number", "ear tag", "eartag", "animal", "animal id", "animals", "id", "ewe", "lamb",
        "who",
        *NUMBERS_CALLED, "eid",
    ),
    "ewe": ("dam", "mother", "mom", "mum", "tag", "ewe tag", "ewe no", "dam tag"),
    "dam": ("mother", "mom", "mum", "dam tag"), "sire": ("father", "ram", "sire tag", "tup"),
    "name": ("pet name", "nickname", "called", "ewe name", "ram name", "product", "product name"),
    "sex": ("gender", "m f", "e r", "ewe ram"),
    "born": ("date of birth", "dob", "birth date", "born on", "year of birth", "year born", "birth"),
    "date": ("day", "when", "date given", "date treated", "date lambed", "lambing date", "date of sale",
             "weigh date", "scan date", "date scanned", "date sold", "sale date", "date tagged", "sampled", "lambed",
             "born", "birth date", "date of birth", "dob"),
    "eid": ("electronic id", "electronic number", "rfid"),
    "official": ("official number", "official id", "uk number", "scrapie tag", "scrapie"),
    "lambs": ("result", "scan result", "scan", "scanned", "litter", "no of lambs", "lambs seen", "foetuses", "fetuses"),
    "days": ("days in lamb", "days gone"), "mark": ("paint", "spray", "colour", "color"),
    "eggs": ("eggs counted", "counted"), "epg": ("eggs per gram", "fec", "result", "count"),
    "mob": ("group", "flock", "batch of sheep"),
    "medicine": ("product", "drug", "product name", "medicine used", "treatment", "med", "meds", "what"),
    "dose": ("dose given", "amount", "amt", "dosage", "how much", "ml", "cc"),
    "for": ("reason", "condition", "why", "treated for"),
    "batch": ("batch no", "batch number", "lot"), "meat withdrawal": ("meat wd", "withdrawal", "meat period"),
    "milk withdrawal": ("milk wd", "milk period"), "by": ("who", "given by", "administered by", "operator"),
    "weight": ("wt", "live weight", "liveweight", "kg", "lb", "lbs"), "help": ("ease", "assistance", "assisted"),
    "to": ("buyer", "sold to", "moved to", "where", "destination"), "price": ("amount", "value", "sale price"),
    "cause": ("cause of death", "why"),
    "bought": ("date bought", "purchased", "date purchased", "purchase date"), "from": ("seller", "bought from"),
    "remark": ("remarks", "notes", "note", "comment", "comments"), "fate": ("what became", "outcome"),
    "lamb sex": ("sex", "gender", "m f", "e r", "ewe ram", "ram ewe", "kind"),
    "lamb weight": ("weight", "birth weight", "birthweight", "wt", "birth wt", "bw", "b wt", "bwt", "lb", "lbs", "kg"),
    "lamb tag": ("tag of lamb", "lamb no", "lamb id", "lamb", "lamb ear tag", "tag", "id", "ear tag"),
    "lamb state": ("alive", "status", "state", "alive dead", "fate"),
    "checked": ("label read", "date checked"),
}  # fmt: skip


class Target(Value):
    """What a column becomes: the part of a note, its name there, and how its value is read."""

    name: str
    part: str = IN_HEAD
    reader: Reader[Any] = TEXT

    @property
    def is_day(self) -> bool:
        """Whether its value is a day."""
        return self.reader in DAYS_READ or self.name in (MOMENT, DAY_ALONE)

    @property
    def units(self) -> tuple[str, ...]:
        """The units that a bare figure may have; none where it needs none."""
        return next((units for reader, units in UNITS_READ if reader == self.reader), ())

    @property
    def figured(self) -> bool:
        """Whether its value is a figure, with or without a unit."""
        return self.reader not in (TEXT, TIME, *DAYS_READ)


def kind_of_note(name: str) -> Kind[Any]:
    """The kind of note; of `sheep` that of a ewe, whose fields all sheep have."""
    return next(kind for kind in KINDS if kind.name == ("ewe" if name == SHEEP_BY_SEX else name))


def targets_of(name: str) -> dict[str, Target]:
    """Everything that a column can become in a kind of note, by name; `?`, `not used` and `no dose` are not in it."""
    kind = kind_of_note(name)
    columns = kind.lines.columns if kind.lines and name in ROWED else ()
    found = {
        typed: Target(typed, IN_HEAD, key.reader)
        for typed, (_, key) in declared_keys(kind.record).items()
        if typed not in ALWAYS_HIDDEN and typed not in declared_aliases(kind)
    }
    same = SAME_COLUMNS - ({"tag"} if name == "tagging" else set())
    found |= {one: Target(one, IN_TABLE, COLUMN_READERS.get(one, TEXT)) for one in columns if one not in same}
    if name in ROWED and columns:
        found["sheep" if "sheep" in columns else "ewe"] = Target("sheep" if "sheep" in columns else "ewe", IN_TABLE)
    if name == "past lambings":
        found |= {"tag": Target("tag", IN_TABLE)}
    if name == "lambing":
        found |= {
            one: Target(one, ON_LAMB_LINE, LAMB_READERS.get(re.sub(r" \d", "", one), TEXT)) for one in lamb_targets()
        }
    if name in OWN_NOTES:
        found |= {FATE: Target(FATE, IN_FATE)}
    if kind.dated:
        found |= {MOMENT: Target(MOMENT), DAY_ALONE: Target(DAY_ALONE)}
    return {**found, REMARK: Target(REMARK, IN_REMARK)}


def lamb_targets() -> tuple[str, ...]:
    """The targets of a row for one lamb, and those of a row for a litter."""
    return (*LAMB_TARGETS, *(one.replace("lamb", f"lamb {place}") for place in range(1, 6) for one in LAMB_TARGETS))


def said_by_each(name: str) -> tuple[tuple[str, ...], ...]:
    """What a row of a kind must say: one target of each group."""
    kind = kind_of_note(name)
    own = [typed for typed, (_, key) in declared_keys(kind.record).items() if key.required]
    first = [typed for typed in own if typed not in declared_aliases(kind)]
    groups = [(one, MOMENT, DAY_ALONE) if one == "date" else (one,) for one in first]
    return (*groups, *ALSO_NEEDED.get(name, ()))


def declared_aliases(kind: Kind[Any]) -> set[str]:
    """The other names of the fields of a kind."""
    return {alias for _, key in declared_keys(kind.record).values() for alias in key.aliases}
