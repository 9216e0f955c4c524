"""What goes with a load: who carries it and where to, and what a buyer's papers say of each sheep."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from flockbook.derive.farm.electronic_numbers import official_numbers, typed_numbers
from flockbook.derive.medicine.withdrawal import Clearance
from flockbook.flock import Animal
from flockbook.pages.sections import Blanks, Block, Look
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Column, Pair, Row, Table
from flockbook.pages.wording import NONE, partial_words
from flockbook.records.trade import Sale
from flockbook.regional import local, local_all
from flockbook.saying.identity import electronic_words, official_words
from flockbook.seen import Seen

LOAD_BLANKS = ("Buyer or mart", "Haulier", "Document", "Heads counted on", "Signed")
CARRIED = (
    ("Buyer or mart", "to"), ("Holding they go to", "holding"), ("Haulier", "haulier"), ("Vehicle", "vehicle"),
    ("Document", "document"),
)  # fmt: skip
BUYERS = (
    "What the notes say of them for whoever buys them to live on. Organic is what each sheep's own note says; whether "
    "the buyer may call it so is for the two control bodies."
)


def carriage(seen: Seen, sale: Sale) -> tuple[Block, ...]:
    """Where the load goes from and to, who carries it and by which paper, as far as it is written."""
    told = [Pair(local(label), value) for label, name in CARRIED if (value := getattr(sale, name))]
    own = seen.settings.file.holding
    return (Look((*([Pair(local("Holding they leave"), own)] if own else []), *told)),) if told else ()


def load_blanks(sale: Sale | None) -> Blanks:
    """What is still to be filled in by pencil: all but what the sale's note says."""
    written = {label for label, name in CARRIED if sale and getattr(sale, name)}
    return Blanks(local_all(tuple(label for label in LOAD_BLANKS if label not in written)))


def buyers_table(seen: Seen, rows: Iterable[Clearance], told: Teller) -> Table:
    """The papers of those who may go: numbers, birth, registry, genotype, organic; nobody of whom none is written."""
    columns = (
        Column("Sheep"), Column("Numbers", wide=True), Column("Born"), Column("Sire and dam", wide=True),
        Column("Registry"), Column("Genotype"), Column("Organic"),
    )  # fmt: skip
    numbers = dict(numbers_of(seen))
    animals = [seen.linked.animals[row.sheep] for row in rows]
    found = tuple(
        Row((told.tags.tag(one.id), numbers.get(one.id, NONE), born_told(one), kin_told(seen, one), *paper_cells(one)))
        for one in animals
        if one.note and (one.note.registry or one.note.genotype or one.note.organic)
    )
    return Table(columns, found, "", "buyers-papers")


def paper_cells(one: Animal) -> tuple[str, str, str]:
    """Registry, genotype and organic state as its note has them."""
    note = one.note
    said = (note.registry, note.genotype, note.organic) if note else (None, None, None)
    return said[0] or NONE, said[1] or NONE, said[2] or NONE


def born_told(one: Animal) -> str:
    """When it was born, as far as that is known."""
    return partial_words(one.born) if one.born else NONE


def kin_told(seen: Seen, one: Animal) -> str:
    """Its parents where they are known."""
    animals = seen.linked.animals
    dam = animals[one.dam].called_in_full if one.dam else one.dam_name
    sires = seen.facts.breeding.matings.sires_of.get(one.birth.note.origin.path, ()) if one.birth else ()
    sire = " or ".join([animals[ram].called_in_full for ram in (*one.declared_sires, *sires)] or list(one.sire_names))
    return " × ".join(part for part in (sire, dam) if part) or NONE


def numbers_of(seen: Seen) -> Iterator[tuple[str, str]]:
    """The official and the electronic number of each sheep that has any."""
    country, official = seen.settings.file.country or "", official_numbers(seen.linked)
    electronic = {item.sheep: electronic_words(item.text) for item in typed_numbers(seen.linked)}
    for sheep in {**official, **electronic}:
        words = official_words(official[sheep][-1], country) if sheep in official else ""
        yield sheep, ", ".join(part for part in (words, electronic.get(sheep, "")) if part)
