"""Cards for the shed wall and the pocket: how a lamb lies, limits of a labour, colostrum, the chilled lamb, abortion.
Ask your vet.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.lambing.labour_limits import HOUR, PUBLISHED, PublishedLimit, longer_than_published
from flockbook.derive.lambing.labours import limits_of
from flockbook.derive.lambing.newborn import FIRST_FEED, FIRST_FEED_LATEST, colostrum_need
from flockbook.law import births_source
from flockbook.measures import measures_of, rounded
from flockbook.pages.lambing.chilled import chilled_table, glucose_table
from flockbook.pages.lambing.lying_drawn import drawn_lying
from flockbook.pages.sections import Aside, Section, SectionsView
from flockbook.pages.views import Caution, Column, Row, Table, Words
from flockbook.pages.wording import and_listed, weight_words
from flockbook.regional import local, local_all
from flockbook.saying.newborns import COUNTS_FROM
from flockbook.seen import Seen

PATH = "cards.html"
# How a lamb lies, in the trade's names, and common practice for each in our own words.
LIES = (
    ("normal", "nose on two forefeet", "leave her to it while she gets on"),
    ("one leg back", "nose and one foot", "find the missing knee and bring the foot round, cupped in your hand, "
        "between her pains"),
    ("both legs back", "a head and no feet; it swells", "she cannot do it alone; the head may have to go back to find "
        "the legs: ring the vet early"),
    ("head only", "as both legs back", "keep the nose clear and moist, work gently, ring the vet early"),
    ("head back", "two forefeet and no nose", "never pull on the feet alone: push back, find the jaw, turn the head"),
    ("elbow lock", "nose level with the feet, and stuck", "straighten each leg in turn"),
    ("backwards", "two hind feet, soles up", "once it is coming it must not wait: the cord is pinched"),
    ("breech", "a tail, or nothing, and she gives up", "push forward, bring up each hind foot cupped: many "
        "need the vet"),
    ("crosswise", "a back or a side", "ring the vet"),
    ("tangled", "more than two legs", "follow each leg to its body before you pull anything"),
    ("tight", "all as it should be and too big", "plenty of lubricant, one leg at a time; no force: ring the vet"),
)  # fmt: skip
LIES_SOURCE = (
    "Names: University of Florida, Visual Guide to Ovine Reproduction; Purdue University sheep course. What to do is "
    "common practice and no lesson: have your vet show you. About 95 in 100 come nose and two forefeet first (Backyard "
    "Sheep, a weak source)."
)
LIMITS = {
    "look_again": "look again", "step_in": "step in", "call_vet": "ring the vet", "between_lambs": "next lamb",
    "afterbirth_amber": "afterbirth: ask", "afterbirth_red": "afterbirth: ring the vet",
}  # fmt: skip
CARD_WEIGHTS = {"metric": (2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5), "us": (5, 6, 7, 8, 9, 10, 11, 12)}  # in the flock's unit
FIRST_FEED_WORDS = f"First feed within {FIRST_FEED // HOUR} hours, at the latest by {FIRST_FEED_LATEST // HOUR}"
ABORTION = Caution(
    "Lambs lost before their time, and people who are or may be pregnant",
    (
        "Anyone who is or may be pregnant keeps away from ewes at lambing, from newborn and lost lambs, afterbirth, "
        "bedding, and from clothes and boots worn there. "
        "See a doctor at once after contact, or with a fever.",
        "Gloves for everybody. Keep the ewe apart, keep lamb and afterbirth for the vet, ring the vet, write it down. "
        "More than two in a hundred is more than usual.",
        "Wash, and neither eat nor drink in the pens.",
    ),
    grave=True,
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    vet, phone = seen.settings.file.vet or "Your vet", seen.settings.file.vet_phone or "write the number here"
    ring = Caution(
        f"{vet}: {phone}",
        (
            "These cards show what is published, with who says so. They are no advice for the animal in front of you: "
            "ask your vet, before the night you need it.",
        ),
    )
    units = seen.settings.units
    sections = (
        Section("How a lamb lies", (lying_table(),), "lies"),
        Section("How long to wait", (limits_table(seen), Aside(beyond(seen))), "limits"),
        Section("Colostrum", (colostrum_table(units),), "colostrum"),
        Section("The chilled lamb", (chilled_table(units), glucose_table(card_weights(units), units)), "chilled"),
    )
    lead = local("To be read before lambing, and hung up in the shed.")
    yield Page(PATH, "sections.html", "Cards", SectionsView(lead, sections, (ring, abortion_caution())))


def abortion_caution() -> Caution:
    """The caution on early losses, with who says so."""
    return replace(local_all(ABORTION), source=births_source("Severn Edge Vets (2 in 100, three weeks apart)"))


def lying_table() -> Table:
    """How a lamb lies, what shows of it, and what is commonly done."""
    columns = (
        Column("How it lies"), Column("Drawn"), Column("What you see or feel", wide=True),
        Column("Common practice", wide=True),
    )  # fmt: skip
    rows = tuple(
        Row((name, drawn_lying(way, name), Words(shows), Words(words)))
        for (way, *_), (name, shows, words) in zip(LIES, local_all(LIES), strict=True)
    )
    return Table(columns, rows, "", caption=LIES_SOURCE)


def limits_table(seen: Seen) -> Table:
    """Limits in force beside the published bands."""
    columns = (
        Column("What"),
        Column("Yours", "number"),
        Column("Published", "number"),
        Column("Counted from", wide=True),
        Column("Who says so", wide=True),
    )
    own = limits_of(seen.settings)
    rows = [
        Row(
            (
                local_all(LIMITS[item.field]),
                limit_span(getattr(own, item.field)),
                published_band(item),
                Words(COUNTS_FROM[item.counts_from]),
                Words(item.source),
            )
        )
        for item in PUBLISHED
    ]
    return Table(columns, tuple(rows), "")


def beyond(seen: Seen) -> str:
    """What is said of limits of the flock's own that run past every published one."""
    long = [local_all(LIMITS[row.field]) for row in longer_than_published(limits_of(seen.settings))]
    if not long:
        return "None of your limits is longer than the published ones."
    return f"Longer than any published limit: {and_listed(long)}. Keep to that only on your vet's word."


def published_band(item: PublishedLimit) -> str:
    """A published band."""
    return limit_span(item.low) if item.low == item.high else f"{limit_span(item.low)} to {limit_span(item.high)}"


def limit_span(span: timedelta) -> str:
    """45 min, 12 h."""
    minutes = int(span.total_seconds() // 60)
    return f"{minutes // 60} h" if minutes % 60 == 0 else f"{minutes} min"


def card_weights(units: str) -> list[float]:
    """The weights of lambs on the cards, in kg: whole and half kilograms, or whole pounds."""
    return [measures_of(units).to_kg(figure) for figure in CARD_WEIGHTS[units]]


def colostrum_table(units: str) -> Table:
    """Colostrum by weight: Mellor 1986 (180-210 mL a kg in 18 h), Vet Times 2018 (50 mL a kg a feed)."""
    columns = (
        Column("Lamb"),
        Column("A feed, at most", "number"),
        Column("In the first day", "number"),
        Column("Published range", "number"),
    )
    measures = measures_of(units)
    needs = [(kg, colostrum_need(kg)) for kg in card_weights(units)]
    rows = [
        Row(
            (
                weight_words(kg, units),
                measures.drink(need.feed_ml),
                measures.drink(need.day_ml),
                f"{rounded(need.day_low_ml, 0)}–{rounded(need.day_high_ml, 0)} mL",
            )
        )
        for kg, need in needs
    ]
    return Table(
        columns,
        tuple(rows),
        "",
        caption=f"{FIRST_FEED_WORDS} (Mellor, Vet. Rec. 1986; Vet Times, 2018).",
    )


PAGES = (PageMaker("cards", make),)
NAVIGATION = (Link("Cards", PATH, "", "Lambing"),)
