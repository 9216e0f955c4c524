"""The holding register: the balance of every year, today's roll, movements on and off, deaths, how long to keep it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.farm.electronic_numbers import official_numbers, typed_numbers
from flockbook.derive.farm.flock_register import Balance, DeathEntry, FlockRegister, RegisterMovement
from flockbook.derive.plain.days import DAY
from flockbook.flock import Flock
from flockbook.law import ASK_AUTHORITY, Topic, law, law_here
from flockbook.pages.farm.grass import unbroken
from flockbook.pages.sections import Look, Pager, Section, SectionsView, Tally
from flockbook.pages.views import Caution, Column, Count, Directory, PageLink, Pair, Row, Table, Tag, Words, directory
from flockbook.pages.wording import NONE, as_sentence, day_words, partial_words, plural
from flockbook.regional import local, local_all
from flockbook.saying.identity import electronic_words, official_words
from flockbook.seen import Seen
from flockbook.settings import Settings

PATH, REGISTER_SHEET = "register.html", "register-sheet.html"
LAW = Caution(
    "Your own authority decides",
    (
        "What a holding register must hold, how soon a move is to be entered and reported, and how long papers are "
        "kept differs from place to place. The years here are “records kept” in flock.yaml, counted from the day a "
        "sheep died or left.",
    ),
)
REGISTER_TOPICS = (Topic.MOVE_ENTRY, Topic.REGISTER_KEPT, Topic.OFFICIAL_NUMBER)
PRINTED_RULES = (
    "Opening + born + bought − sold − dead = closing, each counted on its own at the start of the day.",
    "Lambs born dead are neither born nor dead in these sums: they never stood on the roll and have their own column.",
    "A sheep with a note of its own, but no lambing note and no day of purchase, is a founder: the register opens with "
    "it, neither bought nor born. One born after the book's first dated note counts as born here on the first day its "
    "note allows.",
    "A hired ram belongs to somebody else: he stands in no sum and is on the holding from his first hire's day to the "
    "day he went back.",
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The register and its sheet."""
    del stamp
    found, where = seen.facts.farm.register, directory(seen.linked, seen.today)
    here = found.roll(found.until + DAY)
    lead = f"{plural(len(here), 'sheep', 'sheep')} on the roll at the end of {day_words(found.until)}{opened(found)}."
    both, kept = sums_moves_deaths(seen, where), Look(holding(seen.settings, found))
    counted = (kept, law_of_register(), *local_all(PRINTED_RULES))
    how = Section("How it is counted, how long it is kept", counted, "how-head")
    counts, way = Tally(roll_by_sex(seen.linked, here)), Pager((PageLink("The sheet to print", REGISTER_SHEET),))
    yield Page(PATH, "sections.html", "Register", SectionsView(lead, (*both, how), (counts, way)), "The farm")
    roll = Section("The roll", (roll_table(seen, here, where),), "roll-head")
    sheet = SectionsView(lead, (*both, roll), (kept,), (law_of_register(),), paper="landscape")
    yield Page(REGISTER_SHEET, "sections.html", local("Holding register"), sheet, "The farm")


def law_of_register() -> Caution:
    """Who decides, and what was read of the flock's own country."""
    read = [one.in_full for topic in REGISTER_TOPICS if (one := law_here(topic))]
    return replace(local_all(LAW), source=as_sentence("; ".join(read) or ASK_AUTHORITY))


def opened(found: FlockRegister) -> str:
    """With how many founders the register opened, and who only stands here."""
    guests = sum(item.on_roll(found.until + DAY) for item in found.guests)
    lent = f", and {plural(guests, 'hired ram')} beside them" if guests else ""
    return f"; the register opens with {plural(len(found.founders), 'founder')}{lent}" if found.founders else lent


def sums_moves_deaths(seen: Seen, where: Directory) -> tuple[Section, ...]:
    """What the register and its sheet for paper show alike, the latest entries first."""
    found = seen.facts.farm.register
    return (
        Section("The balance of each year", (balance_table(found.years), sums_verdict(found.years)), "balance-head"),
        Section(local("On and off the holding"), (movement_table(found.movements, where),), "moves-head"),
        Section("Deaths", (death_table(found.deaths, where),), "deaths-head"),
    )


def roll_by_sex(flock: Flock, here: Iterable[str]) -> tuple[Count, ...]:
    """Who is on the roll, by sex."""
    sexes = Counter(flock.animals[sheep].sex or "" for sheep in here)
    named = {"ewe": "ewe", "ram": "ram", "wether": "wether", "": "of unwritten sex"}
    return tuple(
        Count(str(sexes[sex]), word if sexes[sex] == 1 or not sex else f"{word}s")
        for sex, word in named.items()
        if sexes[sex]
    )


def holding(settings: Settings, found: FlockRegister) -> tuple[Pair, ...]:
    """The head of the register."""
    file = settings.file
    return (
        Pair("Keeper", file.keeper or "not written in flock.yaml"),
        Pair(local("Holding"), file.holding or "not written in flock.yaml"),
        Pair("Country", country_words(settings)),
        Pair("Papers kept", f"{found.keep_years:g} years after they go"),
    )


def country_words(settings: Settings) -> str:
    """Whose rules are asked about."""
    country = settings.file.country
    if not country:
        return "not written in flock.yaml, so no country's rules are asked about"
    read = any(law(country, topic) for topic in Topic)
    known = "its rules are asked about, as far as they were read" if read else ASK_AUTHORITY
    return f"{country}: {known}"


def balance_table(years: Iterable[Balance]) -> Table:
    """One row for each calendar year."""
    columns = (
        Column("Year"),
        Column("Opening", "number"),
        Column("Born", "number"),
        Column("Bought", "number"),
        Column("Sold", "number"),
        Column("Dead", "number"),
        Column("Closing", "number"),
        Column("Born dead", "number"),
    )
    rows = tuple(
        Row(
            (
                register_span(one),
                one.opening,
                one.born,
                one.bought,
                one.sold,
                one.dead,
                one.closing,
                one.born_dead,
            )
        )
        for one in reversed(tuple(years))
    )
    return Table(columns, rows, "No dated note yet.", "balance")


def sums_verdict(years: Iterable[Balance]) -> str:
    """Whether the sums come out, year by year."""
    wrong = [register_span(one) for one in years if not one.balances]
    return f"THE SUMS DO NOT COME OUT: {', '.join(wrong)}." if wrong else "The sums of every year come out."


def register_span(one: Balance) -> str:
    """A whole year by its number; the one that is running ends with the day before the one asked about."""
    whole = (one.last.month, one.last.day) == (12, 31)
    return str(one.first.year) if whole else unbroken(f"{one.first.year} so far")


def movement_table(movements: Iterable[RegisterMovement], where: Directory) -> Table:
    """Every movement; the other party and the document in a column of their own."""
    columns = (Column("Day"), Column("Way"), Column("Sheep", wide=True), Column("From or to"), Column("Keep until"))
    rows = tuple(
        Row(
            (
                unbroken(day_words(one.day)),
                way_words(one),
                Words(", ".join(short_name(where.tag(sheep)) for sheep in one.sheep) or NONE),
                party_words(one),
                paper_kept(one),
            )
        )
        for one in reversed(tuple(movements))
    )
    return Table(columns, rows, "No sheep was bought or sold.", "movements")


def party_words(one: RegisterMovement) -> str:
    """Whom the sheep came from or went to, the paper that went with them, and who carried them."""
    said = (
        (local("holding"), one.holding), ("document", one.document), ("carried by", one.haulier),
        ("vehicle", one.vehicle),
    )  # fmt: skip
    return ", ".join([one.party or "not written", *(f"{name} {text}" for name, text in said if text)])


def way_words(one: RegisterMovement) -> str:
    """How many came or went; a hired ram neither bought nor sold."""
    way = ("on,\u00a0hired" if one.onto else "back") if one.hired else "on" if one.onto else "off"
    return f"{one.head}\u00a0{way}"


def short_name(sheep: Tag) -> str:
    """A sheep in a long row of them: its tag and its name."""
    return f"{sheep.tag} {sheep.name}".strip()


def paper_kept(one: RegisterMovement) -> str:
    """Until when the paper is kept; as long as any of the sheep is here the years have not begun."""
    return unbroken(day_words(one.keep_until)) if one.keep_until else "while here"


def death_table(deaths: Iterable[DeathEntry], where: Directory) -> Table:
    """Every death."""
    columns = (
        Column("Day"),
        Column("Sheep"),
        Column("Cause"),
        Column("Body"),
        Column("Found inside"),
        Column("Keep until"),
    )
    rows = tuple(
        Row(
            (
                unbroken(day_words(one.day)),
                where.tag(one.sheep),
                one.cause or "not written",
                one.disposal or "not written",
                Words(one.post_mortem or NONE),
                unbroken(day_words(one.keep_until)) if one.keep_until else NONE,
            )
        )
        for one in reversed(tuple(deaths))
    )
    return Table(columns, rows, "No death on the roll.", "deaths")


def roll_table(seen: Seen, here: Iterable[str], where: Directory) -> Table:
    """Everyone on the roll, with the official and electronic numbers that are written."""
    columns = (
        Column("Sheep", sort=True),
        Column("Sex"),
        Column("Born"),
        Column("Came"),
        Column("Official number"),
        Column("Electronic number"),
    )
    flock, country = seen.linked, seen.settings.file.country or ""
    entered = {item.sheep: item for item in seen.facts.farm.register.standings}
    numbered = {item.sheep: electronic_words(item.text) for item in typed_numbers(flock)}
    written = official_numbers(flock)
    rows = []
    register = seen.facts.farm.register
    guests = {item.sheep: item for item in register.guests if item.on_roll(register.until + DAY)}
    for sheep in (*sorted(here), *sorted(guests)):
        animal, item = flock.animals[sheep], entered.get(sheep) or guests[sheep]
        dated = item.how_in in ("bought", "hired") and item.entered
        came = f"{item.how_in} {day_words(item.entered)}" if dated and item.entered else item.how_in
        official = official_words(written[sheep][-1], country) if sheep in written else NONE
        numbers = official, numbered.get(sheep, NONE)
        rows.append(
            Row(
                (
                    where.tag(sheep),
                    animal.sex or NONE,
                    partial_words(animal.born) if animal.born else NONE,
                    came,
                    *numbers,
                )
            )
        )
    return Table(columns, tuple(rows), "Nobody is on the roll.", "roll", filter="Sift the roll")


PAGES = (PageMaker("register", make),)
NAVIGATION = (Link("Register", PATH, "", "The farm"),)
