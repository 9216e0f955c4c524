"""The rams side by side: births with help, lambs alive and weaned, weights, gains, losses, all with their counts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.choosing.ram_record import Mean, RamBook, RamRecord
from flockbook.derive.plain.intervals import FEW
from flockbook.flock import there
from flockbook.pages.long_tables import links
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.views import Caution, Cell, Column, Directory, LinkView, Row, Table, Words, directory, share_view
from flockbook.pages.wording import NONE, day_words, gain_words, girth_words, plural, weight_words
from flockbook.records.sheep import RAM
from flockbook.regional import local
from flockbook.seen import Seen

PATH, TITLE = "choose-rams.html", "Rams' lambs"
PER_PAGE = 25  # rams on one page, each in three tables
CAUTION = Caution(
    "What a difference between rams can be",
    (
        "Each ram had his own ewes, fields and years, and lambs of one litter and one dam go the same way: the true "
        "range is wider than the one printed (in a published field study of 75 herds about 1.4 times as wide). Means "
        f"are of the lambs as weighed, singles and twins together. Fewer than {FEW} births say little of a ram.",
    ),
    "Djallonké lambs in 75 herds (data set `dja` of the package aod): dispersion between herds 2.06, its root 1.44",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, and those where its lists go on."""
    del stamp
    tags, book = directory(seen.linked, seen.today), seen.facts.choosing.rams
    parts = [book.rams[start : start + PER_PAGE] for start in range(0, len(book.rams), PER_PAGE)] or [()]
    names = [PATH if number == 1 else f"choose-rams-{number}.html" for number in range(1, len(parts) + 1)]
    for name, part in zip(names, parts, strict=True):
        last = replace(ram_weights_table(seen, part, tags), pager=links(names, name))
        sections = (
            Section("Births", (ram_births_table(part, tags),), "births"),
            Section("Lambs", (ram_lambs_table(part, tags),), "alive"),
            Section("Weights and losses", (last,), "weighed"),
            *(
                (Section("Scrotal girth and papers", (GIRTH_WORDS, girth_table(seen, tags)), "girth"),)
                if name == PATH
                else ()
            ),
        )
        yield Page(name, "sections.html", TITLE, SectionsView(lead(book), sections, (CAUTION,), paper="landscape"))


GIRTH_WORDS = (
    "As measured at checks, round the widest part. No published line was read that fits every breed and age, so none "
    "stands here: ask your vet what a ram of yours should measure before he goes in. Registry and genotype are those "
    "of his own note."
)

NO_GIRTH = "No ram is measured: in a check, ‘- S9 scrotal {34 cm}’."


def girth_table(seen: Seen, tags: Directory) -> Table:
    """Every living ram with what was measured of him, the latest first, and his papers."""
    columns = (Column("Ram", sort=True), Column("Scrotal girth", wide=True), Column("Registry"), Column("Genotype"))
    units, rows = seen.settings.units, []
    for animal in seen.linked.animals.values():
        scores = seen.facts.health.worms.scores.get(animal.id, ())
        told = [
            f"{girth_words(score.line.scrotal.amount, units)}, {day_words(score.date)}"
            for score in reversed(scores)
            if score.line.scrotal
        ]
        note = animal.note
        papers = ((note.registry if note else None) or NONE, (note.genotype if note else None) or NONE)
        if animal.sex == RAM and there(animal, seen.today) and (told or papers != (NONE, NONE)):
            rows.append(Row((tags.tag(animal.id), Words("; ".join(told) or "not measured"), *papers)))
    return Table(columns, tuple(rows), seen.settings.measures.example(NO_GIRTH), "girths")


def lead(book: RamBook) -> str:
    """How many births there are, and how many stand with no ram alone."""
    words = (
        f"{plural(book.births, 'birth')}; a ram answers only for those that no other can have sired. His seasons lead "
        "to his lambs, and these to their notes."
    )
    if book.shared:
        words += f" {plural(book.shared, 'birth')} may be of one of several rams: counted apart, as perhaps his."
    if book.unexplained:
        words += f" {plural(book.unexplained, 'birth')} no ram explains: counted for none."
    return words


def ram_births_table(rams: Sequence[RamRecord], tags: Directory) -> Table:
    """Births, help, and how lambs lay."""
    columns = (
        Column("Ram", sort=True),
        Column("Seasons"),
        Column("Ewes", "number"),
        Column("Births helped", wide=True),
        Column(local("Lambs that lay wrong"), wide=True),
        Column("Perhaps his", "number"),
    )
    rows = tuple(Row(birth_cells(item, tags)) for item in rams)
    return Table(columns, rows, "No ram is in the book yet.")


def birth_cells(item: RamRecord, tags: Directory) -> tuple[Cell, ...]:
    """One ram's births."""
    return (
        tags.tag(item.ram),
        his_lambs(item, tags),
        item.ewes,
        share_view(item.helped),
        share_view(item.malpresented),
        item.shared_births,
    )


def his_lambs(item: RamRecord, tags: Directory) -> Cell:
    """The seasons of his lambs, leading to all of them, each of which leads to its notes."""
    path = tags.paths.get(item.ram, "")
    return LinkView(", ".join(map(str, item.seasons)), f"{path}#sired") if item.seasons and path else "none yet"


def ram_lambs_table(rams: Sequence[RamRecord], tags: Directory) -> Table:
    """Lambs alive and weaned."""
    columns = (
        Column("Ram", sort=True),
        Column("Alive, of all born", wide=True),
        Column("Weaned, of those alive whose fate is known", wide=True),
    )
    rows = tuple(Row((tags.tag(item.ram), share_view(item.alive), share_view(item.weaned))) for item in rams)
    return Table(columns, rows, "No ram is in the book yet.")


def ram_weights_table(seen: Seen, rams: Sequence[RamRecord], tags: Directory) -> Table:
    """Mean weights and gains with their range, and the lambs lost at each stage."""
    columns = (
        Column("Ram", sort=True),
        Column("Weight at birth", wide=True),
        Column("Gain to weaning", wide=True),
        Column("Lost, of all born", wide=True),
    )
    units = seen.settings.units
    rows = tuple(
        Row(
            (
                tags.tag(item.ram),
                Words(ram_mean_words(item.birth_kg, [weight_words(value, units) for value in figures(item.birth_kg)])),
                Words(ram_mean_words(item.gain_kg, [gain_words(value, units) for value in figures(item.gain_kg)])),
                Words(lost_words(item)),
            )
        )
        for item in rams
    )
    return Table(columns, rows, "No ram is in the book yet.")


def lost_words(item: RamRecord) -> str:
    """`7 of 68: 2 born dead, 5 birth to 48 h`."""
    stages = [f"{count} {stage}" for stage, count in item.lost.items() if count]
    total = sum(item.lost.values())
    if not item.alive.of:
        return "none born"
    return f"{total} of {item.alive.of}" + (f": {', '.join(stages)}" if stages else "")


def figures(item: Mean) -> list[float]:
    """Mean, least, most; none of them where nothing was weighed."""
    return [value for value in (item.mean, item.low, item.high) if value is not None]


def ram_mean_words(item: Mean, words: list[str]) -> str:
    """`mean 4.2 kg of 72 lambs (2.4 kg to 5.1 kg)`."""
    if not words:
        return "none written"
    return f"mean {words[0]} of {plural(item.n, 'lamb')} ({words[1]} to {words[2]})"


PAGES = (PageMaker("rams' lambs", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The flock"),)
