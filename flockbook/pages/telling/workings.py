"""How it is worked out: every rule and every figure in use, with its source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.breeding.gestation import breed_length, moved_to
from flockbook.derive.breeding.mating import breeds_here, flock_length
from flockbook.derive.choosing.reasons import RULE as CHOOSING_RULE
from flockbook.derive.medicine.guard_rules import RULE_TEXTS as UNTIL_WHEN
from flockbook.derive.season.seasons import EXPOSED_RULE
from flockbook.figures import DEFAULTS
from flockbook.pages.sections import Points, Section, SectionsView
from flockbook.pages.views import Column, Row, Table, Words
from flockbook.pages.wording import quoted
from flockbook.seen import Seen
from flockbook.whom.rules import ANSWERS, UNNOTICED
from flockbook.whom.rules import RULE_TEXTS as WHOM

PATH = "workings.html"
OTHER = (
    ("Due days", "Service day is day 0. Without a service seen, each ewe's chance of having conceived on each day "
        "follows from the joining: first heats spread over one cycle after the ram came, returns a cycle later, a "
        "chance to hold and a chance to leave a mark at each heat; marks seen and not seen are evidence. Ewes that "
        "have not lambed by the day of the book lose the days gone by."),
    ("The gate", "The loading list holds those whose meat is clear by rules W1 to W12 and who suck no ewe that is not. "
        "A sale to come is judged at its own time, or at the start of its day, by every note written so far: whoever "
        "is unknown now is unknown then."),
    ("A case's lambing", "To a ewe's illness belong the lambings from 120 days before it (as long as lambs are taken "
        "to suck; common practice) to the longest that a ewe may carry after its end (159 days at a mean of 147: "
        "Montana Farm Flock Sheep Production Handbook, second hand)."),
    ("Sires", "A litter's possible sires are the rams that were with the ewe between the longest and the shortest "
        "pregnancy before the birth. One is certain, several are all named, none is said to be unexplained."),
    ("Seasons", EXPOSED_RULE),
    ("Who stays", " ".join(CHOOSING_RULE)),
    ("After a birth", "Owed for two days, until a note tells of it: the ewe up within the hour and looked at 1, 6 and "
        "24 hours after help (common practice), the navel dipped at once and after 6 hours (Farm Advisory Service, "
        "Scotland, 2018), the afterbirth (Anexa Vets NZ: 12 to 24 hours), colostrum where a lamb is fed by hand."),
    ("Weights at birth", "Light is under 3.5 kg and heavy over 5.5 kg (Making More From Sheep, tool 10.9); beside it "
        "the flock's own lambs of that litter size: the middle one, and the middle eight in ten where there are ten."),
    ("Lost tags", "A new tag within 28 days of noticing (gov.uk, gov.wales). Your own authority decides."),
    ("Shares", "Ranges of shares are Wilson's 95 % limits (Newcombe 1998). Fewer than 30 are too few for a rate; of "
        "fewer than 10 no percentage is printed."),
    ("Breeding values", "An animal model within the flock: record = season, sex, age of dam and litter + what the "
        "sheep is worth as a parent + the rest (Henderson's equations with inbreeding; Mrode, Linear Models for the "
        "Prediction of Animal Breeding Values). Reliability is 1 - PEV / ((1 + F) additive variance), worked out "
        "exactly. The additive variance follows from the scatter of the records, the share inherited being given; the "
        "range holds the true value 80 times in a hundred, wider the fewer the records (Student's t)."),
    ("One footing", "A lamb's weight at 60, 90 or 120 days (weaned before 75 days, to 100, later: Sheep 201) lies on "
        "the straight line from birth; it is multiplied by factors for its dam's age, its sex, and the litter born and "
        "reared (Penn State Extension). The straight line serves within 7 days of 60 and 28 of 90 (Boggess et al. "
        "1991); for 120 no window is published. A missing birth weight is the flock's mean for sex and litter size. "
        "Without a weaning weight the last one taken between 30 and 180 days stands in, and is said to (our own "
        "choice)."),
    ("Ratios", "Compared are lambs of one season, mob and sex, at one age for all, the one that belongs to their mean "
        "age; 100 is their mean. Once lambs of a group were weighed at weaning, only those are compared. A group of "
        "one has no ratio."),
    ("Target weights", "Reached after (target - last weight) / gain days, rounded up; the gain is that of the last two "
        "weighings at least 14 days apart. The range is what 0.2 kg of the scale at each weighing leaves open (from "
        "memory)."),
    ("Weighings asked about", "Everybody 1.6 to 3.2 times as heavy, or 1.8 to 3.2 times as light, as the weight of at "
        "most nine weeks before leads to expect, with 0.29 kg a day for lambs up to 150 days (Ontario): pounds or "
        "kilograms; they take no part in gains until confirmed. One sheep more than 22 % lighter within 90 days, or "
        "heavier and by more than 0.9 kg a day (gut fill is 10 to 22 % of live weight, OMAFRA 19-009; the rest our own "
        "choice)."),
    ("Gains", "A gain is the difference of two weights over the days between them; from birth it is (weight - birth "
        "weight) / age in days (Penn State Extension). Weights still to confirm take no part."),
)  # fmt: skip


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    figures = [
        Row(
            (
                name.replace("_", " "),
                f"{seen.settings.figure(name):g} {default.unit}",
                Words(seen.settings.source(name)),
            )
        )
        for name, default in DEFAULTS.items()
    ]
    columns = (Column("Figure"), Column("In use"), Column("Source", wide=True))
    sections = (
        Section("Clear to sell: until when", (rule_table(UNTIL_WHEN),), "until-when"),
        Section("Clear to sell: whom a dose concerns", (ANSWERS, rule_table(WHOM)), "whom"),
        Section("What the book cannot notice", (Points(tuple(map(quoted, UNNOTICED))),), "unnoticed", broad=False),
        Section("Everything else", (rule_table(dict(OTHER)),), "everything-else"),
        Section("Figures in use", (Table(columns, (*figures, *breed_rows(seen)), ""),), "figures"),
    )
    lead = (
        "Every figure in this book follows from your notes by these rules. A figure of your own in flock.yaml goes "
        "before the default."
    )
    yield Page(PATH, "sections.html", "How it is worked out", SectionsView(lead, sections))


def breed_rows(seen: Seen) -> Iterator[Row]:
    """How long the ewes of each breed in the notes and settings carry, beside what is published of that breed."""
    typed, whole = seen.settings.breed_lengths, flock_length(seen.settings)
    noted = breeds_here(seen.linked, seen.settings)
    for breed in sorted({*noted, *typed}):
        used = moved_to(typed[breed], whole) if breed in typed else whole
        days = f"{used.mean:g} days, window {used.shortest} to {used.longest}"
        yield Row((f"gestation, {noted.get(breed, breed.title())}", days, Words(breed_source(breed, breed in typed))))


def breed_source(breed: str, typed: bool) -> str:
    """Where a breed's length comes from, and what is published of it."""
    row = breed_length(breed)
    offered = "" if typed else "; write it under `breed gestation` to reckon with it"
    published = (
        f"published: {row.days} days ({row.source}){offered}" if row else "no length of this breed is known here"
    )
    return quoted(f"{'your own setting (flock.yaml)' if typed else 'the flock’s'}; {published}")


def rule_table(texts: Mapping[str, str]) -> Table:
    """Rules by name, each with what it says."""
    rows = tuple(Row((name, Words(quoted(text)))) for name, text in texts.items())
    return Table((Column("Rule"), Column("What it says", wide=True)), rows, "")


PAGES = (PageMaker("workings", make),)
NAVIGATION = (Link("How it is worked out", PATH, "", "The book"),)
