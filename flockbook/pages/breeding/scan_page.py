"""The sorting list of the last scan: the ewes by how many lambs they carry, and by the paint they got."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.breeding.scan_sorting import ScannedEwe, ScanSorting
from flockbook.pages.sections import Aside, Block, Section, SectionsView, Whence
from flockbook.pages.views import Cell, Column, Directory, Row, Table, TagList, Words, directory
from flockbook.pages.wording import and_listed, plural
from flockbook.regional import local, local_all, scan_local
from flockbook.seen import Seen

PATH, TITLE = "scan-list.html", "Scan and sort"
LITTER_SAID = {0: "Empty", 1: "Single", 2: "Twins", 3: "Triplets", 4: "Four lambs", None: "In lamb, not counted"}
LITTER_ORDER = (3, 4, 2, 1, None, 0)
MOST_TAGGED = 60  # ewes of one group shown as ear tags; more are written out
NO_SCAN = "No scan is written yet: a line for each ewe, ‘- C230 twins, red dot’, makes this list."
NO_PAINT_WRITTEN = "No paint mark is written: put it behind the count, as in ‘- C230 twins, red dot’."
SORTING_RULES = (
    "Each ewe stands by her latest line of the last scanning (notes within sixty days of it), as long as she is here.",
    "Not scanned are the ewes put to the ram for the same lambing of whom no line speaks.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sorting list."""
    del stamp
    found, tags = seen.facts.breeding.scan_sorting, directory(seen.linked, seen.today)
    if not found.notes:
        yield Page(PATH, "sections.html", TITLE, SectionsView(NO_SCAN), "Lambing")
        return
    sections = (
        Section("By litter", (litter_table(found, tags),), "by-litter"),
        Section("By paint", (*legend_words(found), mark_table(found, tags)), "by-mark"),
        Section("How it is sorted", local_all(SORTING_RULES), "how"),
    )
    whence = tuple(Whence(note) for note in found.notes)
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead(found), sections, whence), "Lambing")


def lead(found: ScanSorting) -> str:
    """How many were scanned, and what they carry."""
    lambs = sum(item.lambs or 0 for item in found.ewes)
    empty = sum(item.lambs == 0 for item in found.ewes)
    missed = f"; {plural(len(found.unscanned), 'ewe')} {local('put to the ram')} and not scanned"
    rest = missed if found.unscanned else ""
    return f"{plural(len(found.ewes), 'ewe')} scanned, {lambs} lambs seen, {empty} {scan_local('empty')}{rest}."


def litter_table(found: ScanSorting, tags: Directory) -> Table:
    """One row for each litter size, those with most to eat first."""
    columns = (Column("Carries"), Column("Ewes", "number"), Column("Paint"), Column("Who", wide=True))
    rows = []
    for litter in LITTER_ORDER:
        ewes = [item for item in found.ewes if item.lambs == litter]
        if ewes:
            marks = and_listed(list(dict.fromkeys(item.mark for item in ewes if item.mark))) or "none written"
            said = scan_local(LITTER_SAID[litter])
            rows.append(Row((said, len(ewes), marks, ewes_cell(tags, [item.ewe for item in ewes]))))
    if found.unscanned:
        rows.append(Row(("Not scanned", len(found.unscanned), "", ewes_cell(tags, found.unscanned))))
    return Table(columns, tuple(rows), NO_SCAN, "litters")


def mark_table(found: ScanSorting, tags: Directory) -> Table:
    """One row for each mark."""
    columns = (Column("Paint"), Column("Stands for"), Column("Ewes", "number"), Column("Who", wide=True))
    marked = [item for item in found.ewes if item.mark]
    rows = [Row(mark_cells(found, mark, marked, tags)) for mark in found.legend]
    bare = [item.ewe for item in found.ewes if not item.mark]
    if rows and bare:
        rows.append(Row(("none", "", len(bare), ewes_cell(tags, bare))))
    return Table(columns, tuple(rows), NO_PAINT_WRITTEN, "marks")


def mark_cells(found: ScanSorting, mark: str, marked: Iterable[ScannedEwe], tags: Directory) -> tuple[Cell, ...]:
    """One mark."""
    ewes = [item.ewe for item in marked if item.mark == mark]
    return mark, litters_meant(found, mark), len(ewes), ewes_cell(tags, ewes)


def litters_meant(found: ScanSorting, mark: str) -> str:
    """What a mark stands for."""
    return and_listed([LITTER_SAID[litter].lower() for litter in found.legend[mark]])


def legend_words(found: ScanSorting) -> tuple[Block, ...]:
    """The legend in a line, and what is wrong with it."""
    if not found.legend:
        return ()
    legend = "; ".join(f"{mark}: {litters_meant(found, mark)}" for mark in found.legend)
    mixed = f"{and_listed(list(found.mixed))} stands for more than one litter: nobody can be sorted by it."
    return (f"{legend[:1].upper()}{legend[1:]}.", *((Aside(mixed, "loud"),) if found.mixed else ()))


def ewes_cell(tags: Directory, ewes: Sequence[str]) -> TagList | Words:
    """Ewes as ear tags; a great many in words."""
    if len(ewes) <= MOST_TAGGED:
        return tags.tags(ewes)
    found = [tags.tag(ewe) for ewe in ewes]
    return Words(", ".join(f"{item.tag} {item.name}".strip() for item in found))


PAGES = (PageMaker("scan and sort", make),)
NAVIGATION = (Link(TITLE, PATH, "", "Lambing"),)
