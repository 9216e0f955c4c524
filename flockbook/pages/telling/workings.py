"""How it is worked out: every rule and every figure in use, with its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.breeding.conception import DUE_RULE
from flockbook.derive.breeding.due import UNSETTLED_RULE
from flockbook.derive.breeding.gestation import breed_length, moved_to_length
from flockbook.derive.breeding.mating import SIRES_RULE, breeds_here, flock_length
from flockbook.derive.choosing.reasons import CHOOSING_RULE as CHOOSING_RULE
from flockbook.derive.family.merit import MERIT_RULE
from flockbook.derive.growth.adjusted_weights import FOOTING_RULE, RATIOS_RULE
from flockbook.derive.growth.projection import TARGET_RULE
from flockbook.derive.health.cases import CASE_LAMBING_RULE
from flockbook.derive.lambing.after_birth import AFTER_BIRTH_RULE
from flockbook.derive.lambing.newborn import BIRTH_WEIGHT_RULE
from flockbook.derive.market.fitness import FITNESS_RULE
from flockbook.derive.market.leaving import GATE_RULE
from flockbook.derive.medicine.guard_rules import UNTIL_WHEN as UNTIL_WHEN
from flockbook.derive.plain.intervals import SHARES_RULE
from flockbook.derive.season.seasons import EXPOSED_RULE
from flockbook.derive.weights.gains import GAINS_RULE
from flockbook.derive.weights.sessions import ASKED_RULE
from flockbook.derive.weights.unlikely import UNLIKELY_RULE
from flockbook.derive.weights.weaning import WEANED_RULE
from flockbook.derive.year.early_losses import EARLY_LOSS_RULE
from flockbook.figures import DEFAULTS
from flockbook.law import Topic, law_or_ask
from flockbook.manner import manner
from flockbook.pages.sections import Points, Section, SectionsView
from flockbook.pages.views import Column, Row, Table, Words
from flockbook.pages.wording import and_listed, as_sentence, quoted
from flockbook.regional import local
from flockbook.saying.owed import LAME_RULE
from flockbook.seen import Seen
from flockbook.whom.rules import ANSWERS, UNNOTICED
from flockbook.whom.rules import RULE_TEXTS as WHOM

PATH = "workings.html"
OTHER_RULES = {
    "Due days": DUE_RULE,
    "Past her last day": UNSETTLED_RULE,
    "Called lame": LAME_RULE,
    "The gate": GATE_RULE,
    "Fit to go": FITNESS_RULE,
    "A case's lambing": CASE_LAMBING_RULE,
    "Sires": SIRES_RULE,
    "Seasons": EXPOSED_RULE,
    "Weaned": WEANED_RULE,
    "Who stays": " ".join(CHOOSING_RULE),
    "After a birth": AFTER_BIRTH_RULE,
    "Weights at birth": BIRTH_WEIGHT_RULE,
    "Lost before their time": EARLY_LOSS_RULE,
    "Shares": SHARES_RULE,
    "Breeding values": MERIT_RULE,
    "One footing": FOOTING_RULE,
    "Ratios": RATIOS_RULE,
    "Target weights": TARGET_RULE,
    "Weighings asked about": ASKED_RULE,
    "Unlikely weights": UNLIKELY_RULE,
    "Gains": GAINS_RULE,
}


# How days scatter, as `derive/breeding/gestation.py` reckons; no source prints either shape.
SHAPES_OF_CHANCE = {
    "shape of pregnancy": (
        "a normal curve, day by day",
        "Our own choice: a normal curve about the mean with the spread above, by whole days, cut 9 below and 12 above "
        "the mean (or at the window, where that is wider) and brought back to a whole.",
    ),
    "shape of the return to heat": (
        "a binomial count of days",
        "Our own choice: the shortest return and a binomial count over the rest of the band, so that its mean is the "
        "cycle; of 14 to 19 days with a mean of 17 they are 1, 8, 23, 35, 26 and 8 in a hundred.",
    ),
}


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    figures = [
        Row(
            (
                local(name.replace("_", " ")),
                f"{seen.settings.figure(name):g} {default.unit}",
                Words(local(seen.settings.source(name))),
            )
        )
        for name, default in DEFAULTS.items()
    ]
    columns = (Column("Figure"), Column("In use"), Column("Source", wide=True))
    sections = (
        Section("Clear to sell: until when", (rule_table(UNTIL_WHEN),), "until-when"),
        Section("Clear to sell: whom a dose concerns", (ANSWERS, rule_table(WHOM)), "whom"),
        Section("What the book cannot notice", (Points(tuple(map(quoted, UNNOTICED))),), "unnoticed", broad=False),
        Section("Everything else", (rule_table(own_rules(seen)),), "everything-else"),
        Section("A book to be shared", (sharing_words(seen),), "sharing", broad=False),
        Section("Figures in use", (Table(columns, (*figures, *breed_rows(seen), *shape_rows()), ""),), "figures"),
    )
    lead = (
        "Every figure in this book follows from your notes by these rules. A figure of your own in flock.yaml goes "
        "before the default."
    )
    yield Page(PATH, "sections.html", "How it is worked out", SectionsView(lead, sections))


def sharing_words(seen: Seen) -> str:
    """What `compile --share` leaves out."""
    return f"flockbook compile --share leaves out {and_listed(list(seen.settings.private))}."


def laws_named() -> dict[str, str]:
    """What the law of the flock's own country says, as far as it was read here, or whom to ask."""
    return {f"Law: {topic.value}": f"{as_sentence(law_or_ask(manner().country, topic))}" for topic in Topic}


def breed_rows(seen: Seen) -> Iterator[Row]:
    """How long the ewes of each breed in the notes and settings carry, beside what is published of that breed."""
    typed, whole = seen.settings.breed_lengths, flock_length(seen.settings)
    noted = breeds_here(seen.linked, seen.settings)
    for breed in sorted({*noted, *typed}):
        used = moved_to_length(typed[breed], whole) if breed in typed else whole
        days = f"{used.mean:g} days, window {used.shortest} to {used.longest}"
        yield Row((f"gestation, {noted.get(breed, breed.title())}", days, Words(breed_source(breed, breed in typed))))


def shape_rows() -> Iterator[Row]:
    """How days scatter about the figures above, as the forecast reckons with them."""
    for name, (in_use, source) in SHAPES_OF_CHANCE.items():
        yield Row((name, in_use, Words(source)))


def breed_source(breed: str, typed: bool) -> str:
    """Where a breed's length comes from, and what is published of it."""
    row = breed_length(breed)
    offered = "" if typed else "; write it under `breed gestation` to reckon with it"
    published = (
        f"published: {row.days} days ({row.source}){offered}" if row else "no length of this breed is known here"
    )
    return quoted(f"{'your own setting (flock.yaml)' if typed else 'the flock’s'}; {published}")


def own_rules(seen: Seen) -> dict[str, str]:
    """The rules of everything else, their figures in the flock's units."""
    return {name: seen.settings.measures.said(text) for name, text in {**OTHER_RULES, **laws_named()}.items()}


def rule_table(texts: Mapping[str, str]) -> Table:
    """Rules by name, each with what it says."""
    rows = tuple(Row((name, Words(quoted(local(text))))) for name, text in texts.items())
    return Table((Column("Rule"), Column("What it says", wide=True)), rows, "")


PAGES = (PageMaker("workings", make),)
NAVIGATION = (Link("How it is worked out", PATH, "", "The book"),)
