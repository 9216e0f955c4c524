"""The feed page: hay and other feed in hand, how many days the hay lasts and whom, and what sources say sheep eat."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.land.feed import HAY_DRY, ClassNeed, Feed, FeedBook, Lasting
from flockbook.derive.land.forage import as_fed
from flockbook.derive.land.paces import Pace
from flockbook.derive.plain.days import YEAR
from flockbook.derive.weights.weaning import WEANED_DAYS
from flockbook.measures import measures_of
from flockbook.pages.farm.kit import kit_amount, to_buy
from flockbook.pages.sections import Pager, Section, SectionsView
from flockbook.pages.views import Column, PageLink, Row, Table
from flockbook.pages.wording import (
    NONE,
    as_sentence,
    day_span_words,
    day_words,
    grown_words,
    plural,
    quoted,
    weight_words,
)
from flockbook.regional import local, local_all
from flockbook.saying.kit import amount_fault_words
from flockbook.seen import Seen

PATH, KIT, GRASS = "feed.html", "kit.html", "grass.html"
NO_HAY = (
    "No hay is written yet: a note in `supplies/` with `note: supply`, `name: hay` and `have: 96 bales of {18 kg}` "
    "opens the count."
)
NO_BALE = "What a bale weighs is not written, so no day can be named: write it once, as in `have: 96 bales of {18 kg}`."
NO_WEIGHT = "No day can be named: write `intake: {1.8 kg}` in flock.yaml, or weigh some sheep of each class."
NO_FEED = (
    "No feed is written yet: a note in `supplies/` with `note: supply`, and with hay, cake, nuts or the like in its "
    "`name`, opens the list."
)
PRINTED_RULES = (
    "Hay in hand is “have” in its supply note, then every stock note in order: bought is added, used and binned are "
    "taken off, counted starts anew. Bales weigh what was written (“96 bales of {18 kg}”): each load its own, one "
    "without a weight as the lightest before it; what is taken off, that of its sort, else the mean of what is there.",
    "It is reckoned as the only feed, given to all from today, in whole days; it runs out on the first day without a "
    "full feed. Grass and cake make it last longer, waste shorter: a tenth more goes where round bales stand without "
    "a feeder (humblebee-farm 2013, a small farm’s own note).",
    f"A published share is dry matter by live weight. Hay is taken as {HAY_DRY * 100:.0f} % dry (from memory: 85 to "
    "90). Rams and wethers stand with dry ewes, as no figure of their own was read.",
    f"Lambs eat from weaning, or {WEANED_DAYS} days of age. Grown sheep weigh what they weighed in the last "
    f"{YEAR.days} days, else the mature weight of their note, else the mean of their sex and age.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The feed page."""
    del stamp
    found, units = seen.facts.land.feed, seen.settings.units
    head = "Hay, mob by mob" if seen.linked.keeps_mobs else "How long the hay lasts"
    sections = (
        Section(head, (*reckoned_by(seen), lasting_table(found, units)), "lasting"),
        Section("In hand by kind", (*paces(seen), *amount_doubts(seen), feeds_table(found.feeds, units)), "kinds"),
        Section(
            "What sheep eat, as published",
            (*sources(found.classes), published_table(found.classes, units)),
            "published",
        ),
        Section("How it is reckoned", local_all(tuple(map(said_by(seen), PRINTED_RULES))), "how"),
    )
    others = (PageLink("Kit", KIT), PageLink("Grass", GRASS))
    yield Page(PATH, "sections.html", "Feed", SectionsView(lead(seen), sections, foot=(Pager(others),)), "The farm")


# In words


def lead(seen: Seen) -> str:
    """How much hay there is, how many days it lasts, when it runs out; or what to write so that this can be said."""
    found, said = seen.facts.land.feed, said_by(seen)
    if found.hay_kg is None:
        return said(NO_BALE if any(one.hay for one in found.feeds) else NO_HAY)
    if not found.hay_kg:
        return f"No hay is left.{unweighed_kinds(found)}"
    there = f"{mass_words(found.hay_kg, seen.settings.units)} of hay in hand"
    whole = found.lasting[0] if found.lasting else None
    if whole is None:
        return f"{there}, and nobody here to eat it."
    if whole.gone is None:
        return said(f"{there}. {NO_WEIGHT}")
    return (
        f"{there}: {feed_days(*whole.days or (0, 0))} for all {plural(whole.head, 'sheep', 'sheep')} that eat, if "
        f"they are fed nothing else from today. It runs out {gone_words(whole)}{age_words(seen)}."
        f"{unweighed_kinds(found)}"
    )


def said_by(seen: Seen) -> Callable[[str], str]:
    """How a text for every flock is said to this one: what may be typed in its units, in the marks that print."""
    return lambda text: quoted(seen.settings.measures.example(text))


def unweighed_kinds(found: FeedBook) -> str:
    """That some hay is left out, because its bales have no weight."""
    names = [one.supply.name for one in found.feeds if one.hay and one.kg is None]
    return f" Not in it: {', '.join(names)}, as nobody wrote what a bale weighs." if names else ""


def reckoned_by(seen: Seen) -> tuple[str, ...]:
    """By whose figure it is reckoned, and whose weight was taken from others."""
    found, intake = seen.facts.land.feed, seen.settings.file.intake
    if not found.lasting or found.lasting[0].days is None:
        return ()
    own = f"By your own figure, {intake.text} a sheep a day (flock.yaml)." if intake else (
        "By what is published for each class of sheep, from the lowest to the highest. Your own figure goes before it: "
        "write `intake: {1.8 kg}` (hay) or `intake: 2.5 %` (dry matter by weight) in flock.yaml."
    )  # fmt: skip
    whole = found.lasting[0]
    like = f"{plural(whole.unweighed, 'sheep', 'sheep')} without a weight took the mean of their like."
    if whole.by_others:
        like += f" {by_others_words(whole.by_others)}"
    return tuple(filter(None, (said_by(seen)(own), like if whole.unweighed else "")))


def by_others_words(head: int) -> str:
    """3 of them took the mean of other sexes, as none of their own was weighed."""
    return f"Of these, {head} took the mean of other sexes, as none of their own sex and age has a weight."


def age_words(seen: Seen) -> str:
    """, or as early as 9 Dec 2026 if they have been fed since it was last written (19 Nov 2026)."""
    found = seen.facts.land.feed
    first = found.fed_since(found.lasting[0])
    if found.since is None or first is None:
        return ""
    written = day_words(found.since)
    return f", or as early as {day_words(first)} if they have been fed since it was last written ({written})"


def paces(seen: Seen) -> tuple[str, ...]:
    """For each feed that was counted twice: how fast it went, and when the rest is gone at that pace."""
    feeds = seen.facts.land.feed.feeds
    return tuple(pace_words(one, one.pace) for one in feeds if one.pace and one.pace.gone >= seen.today.day)


def amount_doubts(seen: Seen) -> tuple[str, ...]:
    """What of the amounts could not be read or compared, so that no figure here looks surer than it is."""
    feeds = seen.facts.land.feed.feeds
    return tuple(
        quoted(f"{one.supply.name}, not counted: {amount_fault_words(doubt)}.")
        for one in feeds
        for doubt in one.supply.doubts
    )


def pace_words(one: Feed, pace: Pace) -> str:
    """One feed's pace."""
    went, each = kit_amount(pace.went, one.supply.unit), kit_amount(pace.each_day, one.supply.unit)
    name, days = as_sentence(one.supply.name).rstrip("."), f"{day_words(pace.first)} to {day_words(pace.last)}"
    return f"{name}: {went} went from {days}, {each} a day. At that pace it runs out on {day_words(pace.gone)}."


def gone_words(row: Lasting) -> str:
    """on 17 Dec 2026; between 13 and 17 Dec 2026."""
    first, last = row.gone or (None, None)
    if first is None or last is None:
        return ""
    if first == last:
        return f"on {day_words(first)}"
    return f"between {day_span_words(first, last).replace(' to ', ' and ')}"


def feed_days(low: int, high: int) -> str:
    """22 days; 18 to 22 days."""
    return plural(low, "day") if low == high else f"{low} to {plural(high, 'day')}"


def mass_words(kg: float, units: str) -> str:
    """A heap of feed in the flock's unit, in whole ones: 1,728 kg or 3,810 lb."""
    return measures_of(units).mass(kg)


# In tables


def lasting_table(found: FeedBook, units: str) -> Table:
    """All sheep together, then each mob as if it alone were fed."""
    columns = (
        Column("Fed"), Column("Sheep", "number"), Column("Hay a day", "number"), Column("Days", "number"),
        Column("Runs out"),
    )  # fmt: skip
    rows = tuple(Row(lasting_cells(row, units)) for row in found.lasting)
    return Table(columns, rows, "Nothing to reckon with yet.", "lasting-table")


def lasting_cells(row: Lasting, units: str) -> tuple[str | int, ...]:
    """One mob's cells."""
    fed = f"{row.mob} alone" if row.mob else "all sheep"
    if row.need is None or row.days is None or row.gone is None:
        return fed, row.head, NONE, NONE, "no weights"
    low, high = (mass_words(one, units) for one in row.need)
    days = f"{row.days[0]}" if row.days[0] == row.days[1] else f"{row.days[0]}–{row.days[1]}"
    return fed, row.head, low if low == high else f"{low.split()[0]}–{high}", days, day_span_words(*row.gone)


def feeds_table(feeds: Iterable[Feed], units: str) -> Table:
    """Every feed: how much, its weight, whether it is enough, and when it was last written."""
    columns = (
        Column("Feed"), Column("There is", "number"), Column("Weighs", "number"), Column("Short", "number"),
        Column("Last written"),
    )  # fmt: skip
    return Table(columns, tuple(Row(kind_cells(one, units)) for one in feeds), quoted(local(NO_FEED)), "kinds-table")


def kind_cells(one: Feed, units: str) -> tuple[str | int, ...]:
    """One feed's cells."""
    item = one.supply
    weighs = NONE if one.kg is None else mass_words(one.kg, units)
    if one.bale_kg is not None and one.kg:
        weighs = f"{weighs}, {measures_of(units).short(one.bale_kg)} each"
    short = "cannot be told" if item.doubts else NONE
    if item.short is not None:
        short = to_buy(item.short, item.unit) if item.short else "enough"
    written = day_words(one.since) if one.since else "in its own note"
    where = f" ({item.note.where})" if item.note and item.note.where else ""
    return f"{item.name}{where}", kit_amount(item.have, item.unit), weighs, short, written


def sources(classes: Iterable[ClassNeed]) -> tuple[str, ...]:
    """Where the shares of the table come from, each source once with its classes."""
    by_source: dict[str, list[str]] = {}
    for row in classes:
        by_source.setdefault(row.source, []).append(row.sort)
    said = ((source, as_sentence(local(", ".join(sorts))).rstrip(".")) for source, sorts in by_source.items())
    return tuple(f"{sorts}: {source}." for source, sorts in said)


def published_table(classes: Iterable[ClassNeed], units: str) -> Table:
    """Each class that is here beside what sources print, and the hay that this comes to."""
    columns = (
        Column("Class"), Column("Here", "number"), Column("Mean weight", "number"), Column("Of its weight", "number"),
        Column("Hay a day", "number"),
    )  # fmt: skip
    rows = tuple(Row(class_cells(row, units)) for row in classes)
    return Table(columns, rows, "No sheep is here that eats.", "published-table")


def class_cells(row: ClassNeed, units: str) -> tuple[str | int, ...]:
    """One class's cells."""
    share = " to ".join(dict.fromkeys(f"{value * 100:g}" for value in (row.low, row.high)))
    hay = NONE
    if row.kg is not None:
        eaten = (weight_words(as_fed(row.kg * value, HAY_DRY), units) for value in (row.low, row.high))
        hay = " to ".join(dict.fromkeys(eaten))
    weight = grown_words(row.kg, units) or NONE
    return local(row.sort), row.head, weight, f"{share} %", hay


PAGES = (PageMaker("feed", make),)
NAVIGATION = (Link("Feed", PATH, "", "The farm"),)
