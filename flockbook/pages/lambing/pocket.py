"""Pocket cards, eight to a sheet of paper, no letter under 9 points: what the shed wall's cards say, cut small, each
with its source and the vet.

Nothing here is worked out anew: limits, colostrum and the chilled lamb come from the same tables as the cards.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.lambing.after_birth import FIRST_FEED_HOURS, LAST_FEED_HOURS, NAVEL_HOURS, RECHECK_HOURS, UP_HOURS
from flockbook.derive.lambing.labour_limits import PUBLISHED, LabourLimits
from flockbook.derive.lambing.labours import limits_of
from flockbook.derive.lambing.newborn import (
    CHILLED_LAMB_TABLE,
    FIRST_FEED,
    FIRST_FEED_LATEST,
    SPENT_FROM,
    Advice,
    LambState,
    colostrum_need,
)
from flockbook.measures import Measures, measures_of
from flockbook.pages.lambing.cards import LIES, LIMITS, abortion_caution, card_weights, limit_span
from flockbook.pages.lambing.chilled import band_words, care_words
from flockbook.pages.lambing.lying_drawn import drawn_lying
from flockbook.pages.views import Drawing
from flockbook.pages.wording import weight_words
from flockbook.regional import local, local_all
from flockbook.saying.newborns import COUNTS_FROM
from flockbook.seen import Seen

PATH = "pocket-cards.html"
NO_ADVICE = "No advice for the animal in front of you: ask your vet."
PENCILLED = {"metric": ("4.1 kg", "4.6 kg", "3.2 kg", "150 ml"), "us": ("9 lb", "10.5 lb", "7 lb", "5 oz")}
MOST_LINES_DRAWN = 3  # ways of lying, or of treating the cold lamb, on one card
# Short forms of the sources that stand in full on the page of cards.
COMMON = "Common practice and no lesson: have your vet show you. Names: University of Florida; Purdue University."
COUNTED_FROM = (
    "Utah State University AH/Sheep/12; Anexa Vets NZ; E. Gascoigne. Counted from the water bag, else straining."
)
BY_WEIGHT = (
    f"First feed within {limit_span(FIRST_FEED)}, at the latest by {limit_span(FIRST_FEED_LATEST)}. "
    "Mellor 1986; Vet Times 2018."
)
COLD = "Eales 1982 and 1984; NADIS 2006; D. Rackley. Never tube a lamb that cannot hold its head up."
OWED_SOURCES = "Farm Advisory Service, Scotland, 2018 (navel); Vet Times 2018 (colostrum); the looks: common practice."
WRITTEN = "One birth, one note; one lamb, one line. A note may be empty: its name says what and when."


class CardRow(Value):
    """One row: what, and what to do or to know; a way of lying is drawn."""

    what: str
    words: str
    drawn: Drawing | str = ""


class PocketCard(Value):
    """One card; `grave` stands in a heavy frame."""

    head: str
    rows: tuple[CardRow, ...]
    source: str
    grave: bool = False


class PocketView(Value):
    """The cards, and what stands at the foot of each."""

    lead: str
    cards: tuple[PocketCard, ...]
    foot: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheet."""
    del stamp
    vet, phone = seen.settings.file.vet or "Your vet", seen.settings.file.vet_phone or "________________"
    limits, units = limits_of(seen.settings), seen.settings.units
    cut = (
        waiting(limits), *lying(), colostrum(units), *chilled(units), abortion(), after_birth(limits),
        writing(units),
    )  # fmt: skip
    view = PocketView("Eight cards to a sheet: print, cut, keep them dry.", cut, f"{vet}: {phone}. {NO_ADVICE}")
    yield Page(PATH, "pocket-cards.html", "Pocket cards", view)


def waiting(limits: LabourLimits) -> PocketCard:
    """The limits of a labour in force."""
    rows = tuple(
        CardRow(
            f"{local(LIMITS[item.field])}: {limit_span(getattr(limits, item.field))}",
            f"after {COUNTS_FROM[item.counts_from]}",
        )
        for item in PUBLISHED
    )
    return PocketCard("How long to wait", rows, COUNTED_FROM)


def lying() -> tuple[PocketCard, ...]:
    """How a lamb lies, drawn and in words, on several cards."""
    rows = [
        CardRow(name, f"{shows}. {words[:1].upper()}{words[1:]}.", drawn_lying(way, name))
        for (way, *_), (name, shows, words) in zip(LIES, local_all(LIES), strict=True)
    ]
    return dealt("How a lamb lies", rows, COMMON)


def dealt(head: str, rows: Sequence[CardRow], source: str) -> tuple[PocketCard, ...]:
    """Rows on as many cards as they need, as even as can be."""
    count = -(-len(rows) // MOST_LINES_DRAWN)
    each = -(-len(rows) // count)
    parts = [tuple(rows[place * each : (place + 1) * each]) for place in range(count)]
    return tuple(PocketCard(f"{head}, {place} of {count}", part, source) for place, part in enumerate(parts, 1))


def colostrum(units: str) -> PocketCard:
    """Colostrum by weight."""
    rows = tuple(colostrum_line(kg, measures_of(units)) for kg in card_weights(units))
    return PocketCard("Colostrum", rows, BY_WEIGHT)


def colostrum_line(kg: float, measures: Measures) -> CardRow:
    """What a lamb of one weight needs."""
    need = colostrum_need(kg)
    words = f"{measures.drink(need.feed_ml)} a feed at most, {measures.drink(need.day_ml)} in the first day"
    return CardRow(weight_words(kg, measures.units), words)


def chilled(units: str) -> tuple[PocketCard, ...]:
    """The cold or feverish lamb; a normal one needs no card."""
    rows = [advised(item, units) for item in CHILLED_LAMB_TABLE if item.state is not LambState.NORMAL]
    return dealt("The chilled lamb", rows, COLD)


def advised(item: Advice, units: str) -> CardRow:
    """One row of the table of the chilled lamb."""
    spent = limit_span(SPENT_FROM)
    age = f", {spent} or older" if item.spent else f", under {spent}" if item.state is LambState.SEVERE else ""
    head = "head up" if item.head_up else "head down"
    steps = ", ".join(care_words(step, units) for step in item.steps)
    return CardRow(f"{band_words(item.state, units)}{age}, {head}", steps)


def abortion() -> PocketCard:
    """The warning, word for word."""
    warned = abortion_caution()
    return PocketCard(warned.head, tuple(CardRow("", line) for line in warned.lines), warned.source, grave=True)


def after_birth(limits: LabourLimits) -> PocketCard:
    """What is owed after each birth, as the watch board asks for it."""
    hours = ", ".join(str(item) for item in RECHECK_HOURS)
    rows = (
        CardRow("ewe", f"up and minding them within {UP_HOURS} h"),
        CardRow("navel", f"dip it whole at once, and again after {NAVEL_HOURS[1]} h"),
        CardRow("colostrum", f"first feed within {FIRST_FEED_HOURS} h; all of the first day’s by {LAST_FEED_HOURS} h "
            "where fed by hand"),
        CardRow("another lamb", f"look within {limit_span(limits.between_lambs)} if one more is expected"),
        CardRow("afterbirth", f"ask at {limit_span(limits.afterbirth_amber)}, {local('ring the vet')} at "
            f"{limit_span(limits.afterbirth_red)}"),
        CardRow("after help", f"look at her again after {hours} h"),
        CardRow("lamb", "weigh it, tag or paint it, write it down"),
    )  # fmt: skip
    return PocketCard("Owed after each birth", rows, OWED_SOURCES)


def writing(units: str) -> PocketCard:
    """A note in twenty seconds, in the flock's units."""
    ewe, ram, small, drink = PENCILLED[units]
    rows = (
        CardRow("file name", "2026-04-19 0340 lambing Bramble"),
        CardRow("a lamb", f"- ewe {ewe}, tag 731"),
        CardRow("helped", f"- ram {ram}, tag 732, assisted, one leg back"),
        CardRow("dead", "- ewe stillborn"),
        CardRow("tubed", f"- ram {small}, no 7, weak, tubed {drink}"),
        CardRow(local("in labour"), local("2026-04-19 0300 labour Bramble, and in it waters: 02:45")),
        CardRow("lost her lambs", "2026-03-02 abortion Bramble"),
    )
    return PocketCard("A note in twenty seconds", rows, WRITTEN)


PAGES = (PageMaker("pocket cards", make),)
NAVIGATION = (Link("Pocket cards", PATH, "", "On paper"),)
