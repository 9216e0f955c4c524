"""The watch board: labours, ewes in due order with what to fear, newborns and what they are owed; the shed's sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.lambing.labour_limits import LabourClock, longer_than_published
from flockbook.derive.lambing.labours import OpenLabour, limits_of
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.lambing.newborns import FIRST_DAYS, LitterNeed, Newborn, litters
from flockbook.flock import happened
from flockbook.law import births_source
from flockbook.measures import measures
from flockbook.pages.breeding.due_page import likely_cell
from flockbook.pages.lambing.chilled import cold, cold_table, warmth_words
from flockbook.pages.lambing.nights import nights_note, nights_table
from flockbook.pages.sections import Aside, Block, Fold, PencilSheet, Points, Section, SectionsView, pencil_row
from flockbook.pages.views import FIRST, SPARE, Caution, Cell, Column, Day, Directory, Row, Table, Words, day, directory
from flockbook.pages.wording import (
    clock_words,
    day_words,
    plural,
    short_day_words,
    short_days_words,
    short_moment_words,
    weight_words,
)
from flockbook.regional import local, local_all
from flockbook.saying.breeding import over_words
from flockbook.saying.fears import fears_words
from flockbook.saying.newborns import birth_point_words, birth_weight_words, by_hand_words
from flockbook.saying.owed import ASKS
from flockbook.seen import Seen

PATH, SHED_SHEET = "watch.html", "shed-sheet.html"
WATCHED_DAYS = 21  # ewes due later than this are not watched for yet (our own choice)
WITHIN = plural(WATCHED_DAYS // 7, "week")
JUST_PAST = f"the last {plural(FIRST_DAYS.days, 'day')}"
NOBODY_SOON = f"Nobody is due within {WITHIN}."
ROOMY_LINES = 14  # rows that a landscape side holds with room for a thick pencil (tried out on A4 and Letter)
NOBODY_PREGNANT = "Nobody who is or may be pregnant comes in here."
KEEP_AWAY = Caution(
    "People who are or may be pregnant",
    (
        "keep away from lambing ewes, newborn lambs, afterbirth and bedding, and from clothes worn there; a doctor at "
        "once after contact or with a fever. More on the cards.",
    ),
    grave=True,
)
SHED_COLUMNS = (
    Column("Ewe"), Column("Due"), Column("Lambs"), Column("What to fear", looks="history"),
    Column("Time", looks="blank"), Column("Lambs born", looks="blank roomy"), Column("Help", looks="blank"),
    Column("Sucked", looks="blank"), Column("Note", looks="blank roomy"),
)  # fmt: skip
SCANNED_WORDS = {None: "not scanned", 1: "single", 2: "twins", 3: "triplets"}


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """Board and sheet."""
    del stamp
    tags, rows = directory(seen.linked, seen.today), watch_order(seen)
    chilled = cold_table(seen, tags)
    young = (newborns_table(seen, tags), litters_table(litters(seen.facts.lambing.newborns), tags))
    labours = Section(local("In labour"), (labours_table(seen, tags), *ring_and_limits(seen)), "labours")
    cold_lambs = (Section("Cold or feverish lambs", (chilled,), "cold"),) if chilled.rows else ()
    in_order = Section("In due order", (board_table(seen, rows, tags),), "in-order")
    now = seen.facts.lambing.labours
    owed, fostered, nights = owed_table(seen, tags), fosters_table(seen, tags), nights_table(seen.facts.lambing.nights)
    later = (
        Section("Owed after birth", (owed,), "owed"),
        Section(f"Born in {JUST_PAST}", young, "newborns"),
        Section("Fostered this season", (fostered,), "fosters"),
        Section("Looks by night", (nights, Aside(nights_note(seen))), "nights"),
    )
    sections = (
        *((labours, *cold_lambs, in_order) if now else (*cold_lambs, in_order, labours)),
        *(section for section in later if first_table(section).rows),
    )
    nothing = tuple(table.empty for section in later if not (table := first_table(section)).rows)
    foot = (*((Points(nothing, "quiet"),) if nothing else ()), replace(KEEP_AWAY, source=births_source()))
    yield Page(PATH, "sections.html", "Watch board", SectionsView(lead(seen, rows), sections, foot=foot))
    yield Page(SHED_SHEET, "sections.html", local("Shed sheet"), shed_sheet(seen, rows, tags))


def first_table(section: Section) -> Table:
    """The table that a section is about."""
    return next(block for block in section.body if isinstance(block, Table))


def shed_sheet(seen: Seen, rows: Sequence[DueRow], tags: Directory) -> SectionsView:
    """The printed sheet; many rows stand nearer together, so that it stays one side of paper."""
    head = f"{seen.settings.flock}, {day_words(seen.today.day)}: ewes in due order. Pencil now, notes later."
    caption = f"{head} Vet: {vet_words(seen)}. {NOBODY_PREGNANT}"
    columns = local_all(SHED_COLUMNS)
    lines = tuple(pencil_row(shed_cells(seen, row, tags), columns) for row in rows)
    sheet = PencilSheet(caption, columns, lines, NOBODY_SOON, close=len(lines) > ROOMY_LINES)
    return SectionsView("", top=(sheet,), paper="landscape one-sheet")


def watch_order(seen: Seen) -> list[DueRow]:
    """The ewes past their window first of all, then those that may lamb soon in due order."""
    last = seen.today.day + timedelta(days=WATCHED_DAYS)
    rows = seen.facts.breeding.due.rows
    return [
        *(row for row in rows if row.odds.overdue),
        *(row for row in rows if not row.odds.overdue and row.due.p10 and row.due.p10 <= last),
    ]


def lead(seen: Seen, rows: list[DueRow]) -> str:
    """Who is to be watched, and from when."""
    if rows:
        late = sum(row.odds.overdue for row in rows)
        past = f" {plural(late, 'is', 'are')} past the last day and stand first." if late > 1 else ""
        past = " One is past her last day and stands first." if late == 1 else past
        return f"{plural(len(rows), 'ewe')} may lamb within {WITHIN}.{past}"
    joined = [item.watch_from for item in seen.facts.breeding.joinings if item.season == seen.facts.breeding.due.season]
    if not joined:
        return "No ewe is in lamb as far as the notes tell."
    return f"{NOBODY_SOON} Watch from {day_words(min(joined))}."


def clock_view(value: datetime) -> Day:
    """A time of day with its day, without the year."""
    return Day(value.strftime("%Y-%m-%dT%H:%M"), short_moment_words(value))


def hour(value: datetime, after: datetime) -> Day:
    """A time of day, with its day only where that is another than the one of the time before it."""
    return (
        Day(value.strftime("%Y-%m-%dT%H:%M"), clock_words(value)) if value.date() == after.date() else clock_view(value)
    )


def labours_table(seen: Seen, tags: Directory) -> Table:
    """Labours that no lambing note has closed; what the clock asked for is that of the moment the book was made."""
    columns = (
        Column("Ewe"), Column("When made"), Column("Since"), Column("Look again by"), Column("Step in by"),
        Column(local("Ring the vet by")), Column("Last looked"),
    )  # fmt: skip
    rows = [
        Row((
            tags.tag(item.ewe), local_all(ASKS[item.standing]) if item.standing else "–",
            hour(item.clock.said(item.clock.since), seen.today.at),
            *(hour(item.clock.said(at), item.clock.since) for at in limits_in_order(item.clock)),
            last_look(item),
        ))
        for item in seen.facts.lambing.labours
    ]  # fmt: skip
    return Table(columns, tuple(rows), local("No ewe is in labour as far as the notes tell."))


def limits_in_order(clock: LabourClock) -> tuple[datetime, datetime, datetime]:
    """Look again, step in, ring the vet."""
    return clock.look_again, clock.step_in, clock.ring_vet


def last_look(item: OpenLabour) -> Words:
    """When somebody last wrote of her, and what showed."""
    at = short_moment_words(item.last_looked)
    change = "; the clocks change in these hours, each time says by which" if item.clock.clocks_change else ""
    early = local(": ring the vet early") if item.amiss else ""
    if item.clock.helped:
        change = f"; hands in since {clock_words(item.clock.said(item.clock.helped))}{change}"
    return Words(f"{at}: {item.shows}{early}{change}" if item.shows else f"{at}{change}")


def vet_words(seen: Seen) -> str:
    """The vet's name and number, as far as they are written in the settings."""
    name, phone = seen.settings.file.vet or "your vet", seen.settings.file.vet_phone
    return f"{name}, {phone}" if phone else f"{name} (write the number into flock.yaml)"


def ring_and_limits(seen: Seen) -> tuple[Block, ...]:
    """Whom to ring, and the limits behind a line that opens: what they come to for each ewe stands in her row."""
    ring = Aside(f"{local('Ring the vet')}: {vet_words(seen)}.", "")
    return ring, Fold("When to look again, step in and ring", (Aside(limit_words(seen)),))


def limit_words(seen: Seen) -> str:
    """The limits in force, where they come from, and whose word wins."""
    minutes = {name: seen.settings.figure(name) * 60 for name in ("look_again", "step_in", "call_vet")}
    sources = dict.fromkeys(seen.settings.source(name) for name in minutes)
    ring = local("ring the vet").removesuffix(" the vet")
    long = [row.field.replace("_", " ") for row in longer_than_published(limits_of(seen.settings))]
    beyond = f" Longer than any published limit: {', '.join(long)}; ask your vet." if long else ""
    return (
        f"Look again {minutes['look_again']:.0f} minutes after the water bag; step in after {minutes['step_in']:.0f} "
        f"without progress; {ring} {vet_words(seen)}, after {minutes['call_vet']:.0f} minutes of trying "
        f"without progress. From: {'; '.join(sources)}.{beyond} When in doubt, {local('ring sooner')}: your vet's word "
        "goes before these limits."
    )


def board_table(seen: Seen, rows: list[DueRow], tags: Directory) -> Table:
    """Ewes in due order."""
    columns = (
        Column("Ewe"), Column("Most likely", looks=FIRST), Column("Lambs"), Column("8 times in 10", looks=SPARE),
        Column("Last note", looks=SPARE), Column("What to fear", wide=True),
    )  # fmt: skip
    found = []
    for row in rows:
        item = row.due
        between = short_days_words(item.p10, item.p90) if item.p10 and item.p90 else "–"
        likely = likely_cell(row, seen.today.day)
        told = fears_words(seen.facts.lambing.fears.get(row.ewe, ()))
        fear = Words(told) if told else ""
        found.append(Row((tags.tag(row.ewe), likely, lambs_words(row), between, last_note(seen, row.ewe), fear)))
    return Table(columns, tuple(found), NOBODY_SOON, "board", lines=True)


def last_note(seen: Seen, sheep: str) -> str:
    """The day of the last note that names her: the last time anybody wrote of her."""
    days = [note.date for note in seen.linked.by_animal.get(sheep, ()) if note.date and happened(note, seen.today)]
    return short_day_words(max(days)) if days else "none"


def lambs_words(row: DueRow) -> str:
    """What the scan saw."""
    return SCANNED_WORDS.get(row.lambs_scanned, f"{row.lambs_scanned} lambs")


def newborns_table(seen: Seen, tags: Directory) -> Table:
    """Colostrum by weight, what is written as given by hand, and what to look at."""
    columns = (
        Column("Lamb"), Column("Dam"), Column("Weight"), Column("Colostrum", wide=True), Column("First by"),
        Column("Look at", wide=True),
    )  # fmt: skip
    rows = [
        Row((
            tags.tag(item.lamb.id), tags.tag(item.lamb.dam or ""), newborn_words(item, seen.settings.units),
            Words(colostrum_words(item, seen.settings.measures.drink)),
            clock_view(item.first.by) if item.first else "", Words(look_at(seen, item)),
        ))
        for item in seen.facts.lambing.newborns
    ]  # fmt: skip
    return Table(columns, tuple(rows), f"No lamb was born in {JUST_PAST}.")


def newborn_words(item: Newborn, units: str) -> str:
    """A newborn's weight."""
    line = item.lamb.birth.line if item.lamb.birth else None
    if line is None or line.weight is None:
        return "not weighed"
    return weight_words(line.weight.kg, units) if item.need else f"{line.weight.text.strip()} written: to confirm"


def colostrum_words(item: Newborn, drink: Callable[[float], str]) -> str:
    """What a newborn needs, at one time and in all, and what is written as given by hand."""
    given = f"{drink(item.recorded_ml)} given by hand" if item.recorded_ml else "none given by hand"
    if item.need is None:
        line = item.lamb.birth.line if item.lamb.birth else None
        return f"{'confirm its weight' if line and line.weight else 'weigh it'} to know; {given}"
    if item.day_over:
        return f"its first day is over, milk now; {given}"
    short = item.first if item.need.left_of_first_feed(item.recorded_ml) else None
    latest = f", the first at the latest by {clock_words(short.latest)}" if short else ""
    return f"{drink(item.need.feed_ml)} a feed{latest}; {drink(item.need.day_ml)} the first day; {given}"


def look_at(seen: Seen, item: Newborn) -> str:
    """Why a newborn wants looking at: cold or feverish when last measured, fed by hand, light or heavy."""
    units = seen.settings.units
    words = [f"{warmth_words(item, units)}: steps above"] if cold(item) else []
    words += [f"feed by hand: {by_hand_words(item.by_hand)}"] if item.by_hand else []
    if item.line in (BirthWeight.LIGHT, BirthWeight.HEAVY):
        words.append(f"{item.line.value} ({birth_weight_words(item.line, seen.facts.lambing.birth_lines, units)})")
    spread = item.spread
    if spread and (spread.light or spread.heavy):
        side = "lightest" if spread.light else "heaviest"
        words.append(f"among the {side} tenth of your own {spread.of} lambs of such litters")
    return "; ".join(words) or "–"


def litters_table(needs: tuple[LitterNeed, ...], tags: Directory) -> Table:
    """Litres of colostrum for each litter's first day."""
    columns = (Column("Dam"), Column("Litter's first day", "number"), Column("Not in it", wide=True))
    rows = [
        Row((
            tags.tag(item.dam), measures().drinks(item.litres),
            f"{plural(item.unweighed, 'lamb')} without a sure weight" if item.unweighed else "–",
        ))
        for item in needs
    ]  # fmt: skip
    return Table(columns, tuple(rows), f"No litter of {JUST_PAST}.")


def owed_table(seen: Seen, tags: Directory) -> Table:
    """What is still owed after the births of the last two days; what a litter is owed at one time is one row."""
    together: dict[tuple[str, str, datetime | None], list[str]] = {}
    for item in seen.facts.lambing.open_items:
        together.setdefault((item.note, birth_point_words(item.what), item.by), []).append(item.sheep)
    rows = [
        Row((tags.tags(sheep), Words(what), clock_view(by) if by else "when you can"))
        for (_, what, by), sheep in together.items()
    ]
    columns = (Column("Sheep"), Column("What", wide=True), Column("By"))
    return Table(columns, tuple(rows), f"No open point after a birth of {JUST_PAST}.")


def fosters_table(seen: Seen, tags: Directory) -> Table:
    """Lambs given away this season; the dam that bore them stays their dam."""
    season = max((birth.season for birth in seen.facts.lambing.births), default=0)
    columns = (Column("Lamb"), Column("Born to"), Column("Given to"), Column("Since"))
    rows = [
        Row((
            tags.tag(item.lamb), tags.tag(item.dam or ""), tags.tag(item.onto) if item.onto else "the bottle",
            day(item.date) or "",
        ))
        for item in seen.facts.lambing.fosters if item.season == season
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No lamb is fostered this season.")


def shed_cells(seen: Seen, row: DueRow, tags: Directory) -> tuple[Cell, ...]:
    """What is known in one row of the printed sheet."""
    shown = over_words(row, seen.today.day) or (short_day_words(row.due.likely) if row.due.likely else "overdue")
    return tags.tag(row.ewe), shown, lambs_words(row), fears_words(seen.facts.lambing.fears.get(row.ewe, ()))


PAGES = (PageMaker("watch board", make),)
NAVIGATION = (
    Link("Watch", PATH, "Watch"),
    Link("Shed sheet", SHED_SHEET, "", "On paper"),
)
