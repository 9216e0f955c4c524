"""The ewe lambs to choose from, each with her litter, her dam, her weight, her inbreeding and her breeding values."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.choosing.replacements import Candidate, DamRecord, Nursery, candidates
from flockbook.derive.family.merits import ToldValue
from flockbook.derive.plain.because import Reason
from flockbook.derive.weights.gains import birth_weight
from flockbook.measures import in_hundred
from flockbook.pages.long_tables import links
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.views import Caution, Cell, Column, Directory, Row, Table, Words, directory, meat_view
from flockbook.pages.wording import as_sentence, gain_words, plural, weight_words
from flockbook.regional import local_all
from flockbook.saying.because import words_of_reason
from flockbook.saying.ewe_lambs import LACKING
from flockbook.seen import Seen

PATH, TITLE = "choose-lambs.html", "Ewe lambs to choose"
PER_PAGE = 40  # ewe lambs on one page, each in two tables
CAUTION = Caution(
    "Reasons, and no ranking",
    (
        "The list is in order of crop and tag. A weight of 100 is the mean of the lambs of her season, mob and sex, "
        "and a few points apart say nothing. A breeding value says little without its reliability. Inbreeding counts "
        "only what is written: on few known generations a low figure says little.",
    ),
)
PRINTED_RULES = (
    "For her: born a twin or more, a weight at or above her group's mean, a dam who was never helped and weans at "
    "least a lamb a year. Against her: a lighter weight than the mean, help at birth or to suck, illness, a dam who "
    "was helped or has a reason to go, inbreeding at the limit. What is looked at follows published advice (Schoenian, "
    "University of Maryland Extension, 3 Oct 2017; Vipond, SAC, in Farmers Weekly); where the lines lie is common "
    "practice. Reared as: how many lambs the ewe that reared her weaned that year.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, and those where its list goes on."""
    del stamp
    tags = directory(seen.linked, seen.today)
    found = candidates(nursery_of(seen))
    crops = sorted({item.season for item in found}, reverse=True)
    lead = f"{plural(len(found), 'ewe lamb')} of {' and '.join(map(str, crops))}." if found else "No ewe lamb is here."
    parts = [found[start : start + PER_PAGE] for start in range(0, len(found), PER_PAGE)] or [()]
    names = [PATH if number == 1 else f"choose-lambs-{number}.html" for number in range(1, len(parts) + 1)]
    for name, part in zip(names, parts, strict=True):
        pager = links(names, name)
        sections = (
            Section("What they are", (origins_table(seen, part, tags),), "origins"),
            Section("For and against", (replace(reasons_table(seen, part, tags), pager=pager),), "reasons"),
            Section("What is looked at", local_all(PRINTED_RULES), "rule"),
        )
        yield Page(name, "sections.html", TITLE, SectionsView(lead, sections, (CAUTION,), paper="landscape"))


def nursery_of(seen: Seen) -> Nursery:
    """What the ewe lambs are judged from."""
    facts = seen.facts
    return Nursery(
        seen.linked, facts.breeding.matings, facts.lambing.births, facts.choosing.years,
        {choice.ewe: choice for choice in facts.choosing.choices},
        facts.health.cases, facts.growth.adjusted, facts.family.kin, seen.settings, seen.today,
    )  # fmt: skip


def origins_table(seen: Seen, found: Iterable[Candidate], tags: Directory) -> Table:
    """Litter, dam and weights of every ewe lamb."""
    columns = (
        Column("Ewe lamb", sort=True),
        Column("Born, reared as"),
        Column("Dam"),
        Column("Dam's record", wide=True),
        Column("Weights", wide=True),
    )
    rows = tuple(
        Row(
            (
                tags.tag(item.lamb),
                f"{size_words(item.born)}, {size_words(item.reared)}",
                tags.tag(item.dam.ewe) if item.dam else "not known",
                Words(dam_words(item.dam)),
                Words(weight_line(seen, item)),
            )
        )
        for item in found
    )
    return Table(columns, rows, "No ewe lamb is here.", "lambs", filter="Narrow the list")


def reasons_table(seen: Seen, found: Iterable[Candidate], tags: Directory) -> Table:
    """What speaks for and against every ewe lamb, and what her pedigree tells."""
    columns = (
        Column("Ewe lamb", sort=True),
        Column("For her", wide=True),
        Column("Against her", wide=True),
        Column("Inbreeding and breeding values", wide=True),
        Column("Meat"),
    )
    rows = tuple(Row(reason_cells(seen, item, tags)) for item in found)
    return Table(columns, rows, "No ewe lamb is here.", "for-and-against")


def reason_cells(seen: Seen, item: Candidate, tags: Directory) -> tuple[Cell, ...]:
    """One ewe lamb's reasons."""
    standing = seen.facts.medicine.guard.standing.get(item.lamb)
    unknown = f" Not known: {', '.join(LACKING[one] for one in item.unknown)}." if item.unknown else ""
    merit = merit_words(seen.facts.family.merit.of(item.lamb), seen.settings.units)
    return (
        tags.tag(item.lamb),
        Words((sentences(item.for_) or "Nothing written.") + unknown),
        Words(sentences(item.against) or "Nothing written."),
        Words(f"Inbreeding {inbred_on(item)}. Breeding values: {merit}."),
        meat_view(standing, "clear-to-sell.html") if standing else "",
    )


def sentences(reasons: Iterable[Reason]) -> str:
    """Reasons as sentences."""
    return " ".join(as_sentence(words_of_reason(reason)) for reason in reasons)


def size_words(size: int | None) -> str:
    """single, twin, triplet, 4, or not known."""
    return {None: "not known", 1: "single", 2: "twin", 3: "triplet"}.get(size, str(size))


def dam_words(dam: DamRecord | None) -> str:
    """Her lambings, how many with help, and what she weaned."""
    if dam is None:
        return ""
    words = f"{plural(dam.lambings, 'lambing')}, helped at {dam.helped}"
    if dam.years:
        words += f"; weaned {dam.weaned} in {plural(dam.years, 'year')}"
    return f"{words}; suggested: {dam.suggest}" if dam.suggest else words


def weight_line(seen: Seen, item: Candidate) -> str:
    """Her weights at birth and last, her gain, and her weight beside her group's mean."""
    units, grown = seen.settings.units, seen.facts.weights.gains.get(item.lamb)
    lamb = seen.linked.animals[item.lamb]
    born = birth_weight(lamb)
    words = [f"born {weight_words(born, units)}"] if born is not None else []
    sure = [weight for weight in grown.weights if weight.sure] if grown else []
    if sure:
        words.append(f"last {weight_words(sure[-1].kg, units)}")
    if grown and grown.adg is not None:
        words.append(gain_words(grown.adg, units))
    row = item.adjusted
    if row and row.ratio is not None:
        words.append(f"{row.ratio:.0f} of a mean of 100 among {row.group_size}")
    return ", ".join(words) or "not weighed"


def inbred_on(item: Candidate) -> str:
    """`0.0 % on 1.5 generations`."""
    if item.inbreeding is None:
        return "not known"
    return f"{in_hundred(item.inbreeding, 1)}\u00a0% on {item.generations or 0.0:.1f} generations"


def merit_words(told: Iterable[ToldValue], units: str) -> str:
    """Each value that says something, with its reliability; for the others that it is too little to say."""
    words, quiet = [], 0
    for item in told:
        if item.telling:
            shown = f"{item.merit.value:+.2f}" if "lambs" in item.trait else signed_weight(item.merit.value, units)
            words.append(f"{item.trait.replace('_', ' ')} {shown}, reliability {item.merit.reliability:.2f}")
        else:
            quiet += 1
    if quiet:
        words.append(f"{plural(quiet, 'trait')} too little to say")
    return "; ".join(words) or "none"


def signed_weight(kg: float, units: str) -> str:
    """`+0.4 kg`."""
    return f"{'-' if round(kg, 1) < 0 else '+'}{weight_words(abs(kg), units)}"


PAGES = (PageMaker("ewe lambs to choose", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The flock"),)
