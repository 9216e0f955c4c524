"""The words by which people look for a kind of note, a filled example of each, and the fields that fit it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from compiler.describe import FieldReference, KindReference
from compiler.names import KindWords
from compiler.nearness import near, plain
from compiler.schema import Kind, declared_keys
from compiler.shape import Value, replace
from flockbook.derive.plain.numbers import plural
from flockbook.measures import Measures
from flockbook.records import KINDS
from flockbook.records.event import Event
from flockbook.records.jotted_line import VERBS_JOTTED
from flockbook.regional import local
from flockbook.settings import Settings

# Other words for what a kind is about. They find its reference; in a note and in a file's name they mean nothing.
LOOKED_FOR = {
    "treatment": ("dewormed", "deworming", "vaccinated", "shots", "shot", "meds", "drenched", "jabbed", "poured",
                  "worming", "drench", "drenching", "wormed", "dose", "dosing", "medicine given", "jab", "injection",
                  "vaccination", "vaccine", "footbath", "pour-on", "dipping", "antibiotic"),
    "medicine": ("product", "label", "bottle", "drug", "withdrawal", "cupboard"),
    "joining": ("ram turned in", "ram turned out", "bucks in", "buck in", "turned in", "exposed", "ram in",
                "marking harness", "raddle", "crayon", "mating", "service", "tup in"),
    "job": ("trimmed", "trimming", "hooves", "banded", "banding", "docked", "castrated", "sheared", "shorn",
            "marking", "docking", "tailing", "castration", "rings", "shearing", "crutching", "dagging", "feet",
            "hoof"),
    "lambing": ("birth", "born", "stillborn", "twins", "kidding"),
    "labour": ("waters", "started", "water bag"),
    "scan": ("ultrasound", "pregnancy check", "preg check", "preg checked", "sonogram", "open or bred"),
    "feeding": ("colostrum", "milk", "bottle feed", "stomach tube"),
    "foster": ("adopt", "adopted", "set on", "wet graft", "grafted", "graft", "bottle lamb", "bummer"),
    "weighing": ("weigh", "scale", "scales", "weight"),
    "check": ("body scored", "scored", "five point", "condition score", "bcs", "body condition", "udder", "teeth",
              "eyelid", "dag"),
    "illness": ("mastitis", "lame", "lameness", "scour", "prolapse", "fly", "orf"),
    "egg count": ("fecals", "fec", "faecal", "fecal", "worm count", "dung sample"),
    "death": ("found dead", "coyote", "died", "dead", "loss", "put down", "fallen stock"),
    "abortion": ("slipped", "aborted"),
    "move": ("rotated", "rotation", "pasture change", "grazing", "shift", "field change", "turnout"),
    "draft": ("sort", "sorting", "sorted", "separate", "drafted off"),
    "sale": ("butchered", "processed", "auction", "sale barn", "hauled", "shipped", "sell", "market", "mart",
             "abattoir", "slaughter", "sent off"),
    "purchase": ("buy", "bought in", "new sheep", "quarantine"),
    "stock": ("bales", "feed", "inventory", "feed bought", "hay", "stocktaking"),
    "money": ("expense", "income", "bill", "invoice", "cost"),
    "tagging": ("ear tag", "eid", "retag", "lost tag"),
    "task": ("todo", "to do", "reminder"),
    "remark": ("note", "diary", "comment", "weather"),
    "ewe": ("sheep", "animal"),
    "ram": ("buck", "sire"),
    "paddock": ("field", "pasture"),
    "supply": ("kit", "equipment"),
}  # fmt: skip
# One note of each kind as a shepherd writes it: the name of its file, and what stands in it.
FILLED_EXAMPLES = {
    "ewe": ("sheep/C214 Bramble.md", "---\nnote: ewe\nborn: 2023-04\nmob: hill\n---\nTorn left ear.\n"),
    "ram": ("sheep/R7 Harrow.md", "---\nnote: ram\nborn: 2022-04\n---\n"),
    "wether": ("sheep/W12.md", "---\nnote: wether\nborn: 2025-04\n---\n"),
    "lamb": ("sheep/731 Dewberry.md", "---\nnote: lamb\nsex: ewe\nborn: 2026-04-01\ndam: Teasel\n---\n"),
    "medicine": ("medicines/example drench.md", "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
                 "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n"),
    "joining": ("events/2025/2025-11-20 joining Harrow.md", "---\nrams: Harrow\newes: Bramble\nout: 2025-12-20\n---\n"
                "- 21 Nov Bramble\n"),
    "lambing": ("events/2026/2026-04-19 0340 lambing Bramble.md", "- ewe 4.1 kg, tag 733\n- ram 4.6 kg, tag 734, "
                "assisted, one leg back\n\nBoth sucking by four.\n"),
    "scan": ("events/2026/2026-02-10 scan.md", "- Bramble twins\n"),
    "labour": ("events/2026/2026-04-19 0310 labour Bramble.md", "---\nwaters: 03:10\n---\n"),
    "abortion": ("events/2026/2026-03-01 abortion Bramble.md", "---\nlambs: 2\n---\nGloves on, ewe apart, vet rung.\n"),
    "foster": ("events/2026/2026-04-20 foster 731.md", "---\nonto: Teasel\n---\n"),
    "feeding": ("events/2026/2026-04-19 0500 feeding 731.md", "---\namount: 150 ml\nwhat: ewe colostrum\n"
                "how: tube\n---\n"),
    "weaning": ("events/2026/2026-08-01 weaning.md", "731 27.5\n"),
    "check": ("events/2026/2026-10-01 check pre-joining.md", "- Bramble bcs 3, feet ok\n- Teasel bcs 2.5\n"),
    "job": ("events/2026/2026-05-20 job shearing.md", "---\nsheep: Bramble, Teasel\n---\n"),
    "tagging": ("events/2026/2026-05-01 tagging.md", "- Teasel now C256\n"),
    "illness": ("events/2026/2026-05-02 illness Teasel.md", "---\nsheep: Teasel\nproblem: lameness\n---\nNear fore.\n"),
    "egg count": ("events/2026/2026-06-01 egg count.md", "---\nfactor: 50\n---\n- Bramble 12 eggs\n"),
    "treatment": ("events/2026/2026-06-02 0700 treatment Bramble.md", "---\nmedicine: example drench\ndose: 2.5 ml\n"
                  "route: by mouth\nfor: worms\n---\n"),
    "death": ("events/2026/2026-06-03 death Teasel.md", "---\ncause: predator\n---\nBy the wall.\n"),
    "weighing": ("events/2026/2026-06-20 weighing.md", "Bramble 61\n731 17.5\n"),
    "paddock": ("paddocks/Low Field.md", "---\nnote: paddock\narea: 1.2 ha\n---\n"),
    "mob": ("mobs/hill.md", "---\nnote: mob\n---\nAll that go to the hill.\n"),
    "move": ("events/2026/2026-05-03 move hill.md", "---\nmob: hill\nto: Low Field\n---\n"),
    "draft": ("events/2026/2026-05-04 draft.md", "---\nsheep: Teasel\ninto: low\n---\n"),
    "count": ("events/2026/2026-05-05 count hill.md", "---\nmob: hill\ncount: 3\n---\n"),
    "plan": ("plans/feet.md", "---\nnote: plan\nwhat: look at all feet\nevery year: 1 Oct\n---\n"),
    "task": ("events/2026/2026-06-01 task gate.md", "---\nwhat: mend the far gate\ndue: 2026-06-20\n---\n"),
    "page": ("pages/water.md", "---\nnote: page\ntitle: Where the water is\n---\nThe trough by the ash.\n"),
    "sale": ("events/2026/2026-06-05 sale.md", "---\nsheep: Teasel\nto: the mart\nuse: store\nprice: 92 each\n---\n"),
    "purchase": ("events/2026/2026-06-01 purchase.md", "---\nfrom: a neighbour\nprice: 120 each\n---\n"
                 "- ewe tag C901, born 2023\n"),
    "cull": ("events/2026/2026-06-04 cull Teasel.md", "---\nwhy: bad feet, twice this year\n---\n"),
    "supply": ("supplies/lambing rope.md", "---\nnote: supply\nneed: 2\nhave: 3\n---\n"),
    "stock": ("events/2026/2026-06-01 stock hay.md", "---\nsupply: hay\ncounted: 40 bales of 18 kg\n---\n"),
    "money": ("events/2026/2026-06-01 money feed.md", "---\namount: 92.50\nfor: feed\n---\n"),
    "remark": ("events/2026/2026-06-01 remark.md", "---\nsheep: Bramble\n---\nThin; watch her.\n"),
}  # fmt: skip
# Fields that every dated note takes, and the kinds that they do not fit.
OF_ONE_EWE = ("lambing", "labour", "abortion", "foster", "feeding")
OF_LINES = ("scan", "tagging", "purchase")
OF_NO_SHEEP = ("money", "stock")
UNFIT_FIELDS = {
    **dict.fromkeys(OF_ONE_EWE, frozenset({"sheep", "mob", "except", "count"})),
    **dict.fromkeys(OF_LINES, frozenset({"sheep", "mob", "except"})),
    **dict.fromkeys(OF_NO_SHEEP, frozenset({"sheep", "mob", "except", "count"})),
    "joining": frozenset({"sheep", "count"}),
}
ALWAYS_HIDDEN = frozenset(name for name, (_, declared) in declared_keys(Event).items() if declared.by_program)
ONLY_IN_TREATMENTS = frozenset({"dates sure"})


def kind_of_name(path: str) -> str:
    """The kind that a word in a file's name is about, where one is: `dewormed` is a treatment; else ""."""
    name = f" {plain(path.rpartition('/')[2].rpartition('.')[0])} "
    found = [(word, kind) for word, kind in words_of_kinds() if f" {word} " in name]
    return max(found, key=lambda one: len(one[0]))[1] if found else ""


@cache
def words_of_kinds() -> tuple[tuple[str, str], ...]:
    """Every word that a kind of note is about, and of happenings the words that are their own: `Loretta sold`."""
    own = [(word, kind.name) for kind in KINDS if kind.dated for word in (kind.name, *kind.aliases, *kind.says)]
    about = [(word, kind) for kind, words in LOOKED_FOR.items() for word in words]
    return tuple((plain(word), kind) for word, kind in (*own, *about))


class KindFound(Value):
    """The kind that a word means, if it means one, and the words that are near it."""

    kind: Kind[Any] | None = None
    near: tuple[str, ...] = ()


def kind_meant(typed: str) -> KindFound:
    """The kind of note that a word names or is about."""
    words = KindWords(KINDS)
    found = words.find(typed)
    if found is None:
        about = {plain(word): name for name, all_words in LOOKED_FOR.items() for word in all_words}
        known = [*about, *words.by_typed]
        found = words.find(about.get(plain(typed), ""))
        return KindFound(found, () if found else near(plain(typed), known, slips=2 if len(typed) > 4 else 1))
    return KindFound(found)


def fitting(told: KindReference) -> KindReference:
    """A field reference without the fields that do not fit the kind."""
    hidden = UNFIT_FIELDS.get(told.name, frozenset()) | ALWAYS_HIDDEN
    hidden |= frozenset() if told.name == "treatment" else ONLY_IN_TREATMENTS
    also = dict.fromkeys((*told.aliases, *LOOKED_FOR.get(told.name, ())))
    return replace(told, fields=tuple(item for item in told.fields if item.name not in hidden), aliases=tuple(also))


def at_home(told: KindReference, settings: Settings) -> KindReference:
    """A field reference with its examples and bounds in the flock's units and order of days."""
    return replace(
        told, fields=tuple(field_at_home(item, settings) for item in told.fields),
        columns=columns_at_home(told.columns) if settings.measures.us else told.columns,
    )  # fmt: skip


def columns_at_home(columns: tuple[str, ...]) -> tuple[str, ...]:
    """The headings of a table for a flock in pounds: `lb` stands where `kg` did."""
    headed = ("lb" if word == "kg" else word for word in columns if word not in ("kgs", "kilos"))
    return tuple(dict.fromkeys(headed))


def field_at_home(item: FieldReference, settings: Settings) -> FieldReference:
    """One field of it."""
    day = MONTH_FIRST.get(item.example, item.example) if settings.manner.month_first else item.example
    value = local(item.value)
    if value.startswith("one of "):
        value = f"one of {', '.join(dict.fromkeys(value.removeprefix('one of ').split(', ')))}"
    low_high = (item.band.low, item.band.high) if item.band else (0.0, 0.0)
    said = IN_UNITS.get(item.value)
    asked = " to ".join(said(settings.measures, one) for one in low_high) if item.band and said else item.asked
    return replace(item, example=settings.measures.typed(day), value=value, asked=asked)


def filled_example(kind: str) -> tuple[str, str] | None:
    """The filled example of a kind with the words for its kind and its findings as the flock has them."""
    found = FILLED_EXAMPLES.get(kind)
    if found is None:
        return None
    path, text = found
    folder, _, name = path.rpartition("/")
    return f"{folder}/{local(name)}", local(text)


# Bounds in words, by what a field holds: `55 to 397 lb` is asked about, and `2 hours to 731 days`.
IN_UNITS: dict[str, Callable[[Measures, float], str]] = {
    "a weight": lambda measures, kg: measures.short(kg),
    "a volume to drink": lambda measures, ml: measures.drink(ml),
    "a temperature": lambda measures, celsius: measures.degrees(celsius),
    "an area": lambda measures, hectares: measures.area(hectares) if hectares >= 1 else "a speck",
    "a length of time": lambda _, hours: f"{hours / 24:g} days" if hours >= 24 else plural(int(hours), "hour"),
}
MONTH_FIRST = {
    "2026-04-19": "4/19/2026",
    "2023-04": "4/2023",
    "2026-06-02 18:00": "6/2/2026 18:00",
}


def jotted_verbs_of(kind: str) -> tuple[str, ...]:
    """The verbs of a jotted line that becomes a note of this kind."""
    return tuple(verb for verb, name in VERBS_JOTTED.items() if name == kind)
