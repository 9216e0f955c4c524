"""What was found, fleeced, frozen and counted of old, held against what can be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import did_you_mean, near
from flockbook.checks.breeding import PUBERTY_DAYS, SHORTEST
from flockbook.derive.lambing.colostrum_store import COLOSTRUM, FROZEN, names_ever
from flockbook.derive.lambing.past_births import PastBirth, near_birth
from flockbook.derive.plain.days import day_words
from flockbook.flock import Animal, happened
from flockbook.manner import clock_words
from flockbook.measures import measures
from flockbook.records.breeding import Lambing, PastLambings
from flockbook.records.cupboard import Stock
from flockbook.records.handling import Check as Handling
from flockbook.records.handling import Job
from flockbook.records.health import Illness
from flockbook.records.past_line import PastLine
from flockbook.records.pregnancy import Labour
from flockbook.records.rearing import Feeding
from flockbook.records.sheep import EWE, RAM
from flockbook.regional import local
from flockbook.roll import key_of
from flockbook.seen import Seen

SCROTAL_OF_A_EWE = Rule(
    "R101", "scrotal-girth-of-no-ram", Grade.ERROR, "Only a ram has one: the tag is probably that of another sheep.",
    "- C230 scrotal 34 cm",
)  # fmt: skip
RESULT_EARLY = Rule(
    "R102", "result-before-its-sample", Grade.ASK,
    "A laboratory's result comes after the sample, and with words of what was found.",
    "2026-02-10 illness.md with `result date: 2026-01-10`",
)  # fmt: skip
MARK_OF_TWO = Rule(
    "R103", "one-mark-two-litters", Grade.WARNING,
    "Ewes are sorted later by the paint they got. One mark on ewes with different litters sorts nobody.",
    "- C230 twins, red dot\n- C231 single, red dot\n",
)  # fmt: skip
SHORN_TWICE = Rule(
    "R104", "fleece-weighed-twice", Grade.ASK, "A sheep has one fleece at a shearing; a second line doubles it.",
    "two fleeces of C230 within three months",
)  # fmt: skip
DONOR_UNKNOWN = Rule(
    "R105", "colostrum-of-whom", Grade.WARNING,
    "Frozen colostrum is kept by the ewe that gave it. A name a slip away from a ewe's opens a bag of nobody's.",
    "supply: frozen colostrum\nbought: 200 ml\nfrom: Bramlbe\n",
)  # fmt: skip
FROZEN_ODD = Rule(
    "R106", "frozen-of-something-else", Grade.ASK,
    "`frozen` is the day on which colostrum went into the freezer: before it is used, and of colostrum alone.",
    "supply: hay\nbought: 40 bales\nfrozen: 2026-04-02\n",
)  # fmt: skip
BAG_OVERDRAWN = Rule(
    "R107", "more-colostrum-than-was-frozen", Grade.ASK, "More of a bag was used than was put into it.",
    "100 ml put in, 150 ml fed",
)  # fmt: skip
HANDS_FIRST = Rule(
    "R108", "hands-in-before-labour", Grade.ASK,
    "Hands go in after labour has begun. The time to ring the vet counts from there, so a slip makes it wrong.",
    "waters: 03:30\nhelped: 03:05\n",
)  # fmt: skip
PRICE_OF_NOTHING = Rule(
    "R109", "stock-price-without-amount", Grade.ASK,
    "A price in a stock note is for what was bought. A note that only counts or uses something has no price.",
    "supply: hay\nused: 4 bales\nprice: 26\n",
)  # fmt: skip
HELPER_MISSPELT = Rule(
    "R110", "helper-perhaps-misspelt", Grade.WARNING,
    "The settings say by which names people stand in notes; one a slip away from them is a person more on every list.",
    "by: Ferguss, and `by: Una, Fergus` in flock.yaml",
)  # fmt: skip
PAST_TWICE = Rule(
    "R111", "old-birth-written-twice", Grade.ASK,
    "A birth of old records that a lambing note tells as well, or a tag that stands twice in one year, counts once.",
    "a row `2024-04-14, Bramble` and a lambing note of Bramble of that week",
)  # fmt: skip
PAST_IMPOSSIBLE = Rule(
    "R112", "old-birth-that-cannot-be", Grade.ERROR,
    "A row of old records whose ewe was not old enough, is no ewe, or whose day is still to come.",
    "2021-04-11, C003 (born 2020-12)",
)  # fmt: skip
PAST_EWE_MISSPELT = Rule(
    "R113", "old-ewe-perhaps-misspelt", Grade.WARNING,
    "A ewe of old records need not be in the book; one a slip away from a ewe that is would not get her lambings.",
    "2021-04-11, Bramlbe",
)  # fmt: skip
OLD_TABLE = Rule(
    "R114", "old-births-in-a-lambing-note", Grade.ASK,
    "A lambing note is one birth of one ewe. A table of many births of old is a note of the kind `past lambings`.",
    "note: lambing, with a table headed date, ewe, sex",
)  # fmt: skip
RULES = (
    SCROTAL_OF_A_EWE, RESULT_EARLY, MARK_OF_TWO, SHORN_TWICE, DONOR_UNKNOWN, FROZEN_ODD, BAG_OVERDRAWN, HANDS_FIRST,
    PRICE_OF_NOTHING, HELPER_MISSPELT, PAST_TWICE, PAST_IMPOSSIBLE, PAST_EWE_MISSPELT, OLD_TABLE,
)  # fmt: skip
ONE_SHEARING = timedelta(days=90)  # two fleeces of a sheep this near are one (our own choice)
EWE_LAMB_DAYS = timedelta(days=PUBERTY_DAYS + SHORTEST)


def handled(seen: Seen) -> Iterator[Diagnostic]:
    """Scrotal girths of ewes."""
    for event in seen.linked.of(Handling):
        for line in event.lines:
            sheep = seen.linked.named(event, line.sheep)
            if line.scrotal and sheep and seen.linked.animals[sheep].sex not in (RAM, None):
                text = f"{seen.linked.animals[sheep].called_in_full} is no ram"
                yield SCROTAL_OF_A_EWE.at(line.span, text, "correct the tag", "it stands on no ram's page")


def fleeces(seen: Seen) -> Iterator[Diagnostic]:
    """Fleeces that are written twice."""
    shorn: dict[str, date] = {}
    for event in seen.linked.of(Job):
        for line in event.lines if event.date else ():
            sheep = seen.linked.named(event, line.sheep)
            before = shorn.get(sheep or "")
            if sheep and before and event.date and event.date - before < ONE_SHEARING and not event.sure:
                text = f"{seen.linked.animals[sheep].called_in_full} was shorn on {day_words(before)} already"
                yield SHORN_TWICE.at(line.span, text, "keep one of the lines, or add `sure: yes`", "both count")
            if sheep and event.date:
                shorn[sheep] = event.date


def results(seen: Seen) -> Iterator[Diagnostic]:
    """Results before their sample, still to come, or without a word of what was found."""
    for event in seen.linked.of(Illness):
        day = event.result_date
        if day is None or event.sure or event.date is None:
            continue
        what = ""
        if day < event.date:
            what = f"the result of {day_words(day)} is older than this note"
        elif day > seen.today.day and happened(event, seen.today):
            what = f"the result of {day_words(day)} is still to come"
        elif not event.result:
            what = "a day of the result is written and no result"
        if what:
            yield RESULT_EARLY.at(event.origin.span("result_date"), what, "correct the day, or write `result: …`")


def paint_marks(seen: Seen) -> Iterator[Diagnostic]:
    """Paint marks of the last scanning that stand for more than one litter."""
    found = seen.facts.breeding.scan_sorting
    for mark in found.mixed:
        last = [item for item in found.ewes if item.mark == mark][-1]
        event = next(note for note in seen.linked.events if note.origin.path == last.note)
        span = next(line.span for line in getattr(event, "lines", ()) if line.span.line == last.line)
        text = f"`{mark}` stands for more than one litter here"
        yield MARK_OF_TWO.at(span, text, "correct the count or the mark", "both groups stand on the sorting list")


def frozen_store(seen: Seen) -> Iterator[Diagnostic]:
    """Frozen colostrum of a ewe that nobody knows, of a ram, of another thing, used too early, overdrawn."""
    names = names_ever(seen.linked)
    for event in seen.linked.events:
        if not isinstance(event, Stock | Feeding):
            continue
        of_it = COLOSTRUM.match(event.supply or "") if isinstance(event, Stock) else event.what == FROZEN
        if event.frozen and not of_it:
            text = "this note is not of frozen colostrum"
            cure = "name the supply `frozen colostrum`" if isinstance(event, Stock) else "write `what: frozen`"
            yield FROZEN_ODD.at(event.origin.span("frozen"), text, f"{cure}, or take `frozen` out")
        elif event.frozen and event.date and event.frozen > event.date:
            text = f"frozen on {day_words(event.frozen)}, after this note"
            yield FROZEN_ODD.at(event.origin.span("frozen"), text, "correct one of the days")
        if of_it and event.from_:
            yield from donor(seen, event, names.get(key_of(event.from_), ""))
    for item in seen.facts.lambing.colostrum_store.lots:
        out = [one for one in seen.facts.lambing.colostrum_store.entries if one.lot == item.lot and not one.into]
        gone = sum(one.ml or 0.0 for one in out)
        if gone > item.put_in:
            text = f"{measures().drink(gone)} were taken of {measures().drink(item.put_in)}"
            span = out[-1].note.origin.span("amount" if isinstance(out[-1].note, Feeding) else "used")
            yield BAG_OVERDRAWN.at(span, text, "correct an amount, or write what was put in", "none is left of it")


def donor(seen: Seen, event: Stock | Feeding, sheep: str) -> Iterator[Diagnostic]:
    """A donor that is no ewe, or a slip away from one."""
    animals = seen.linked.animals
    if sheep and animals[sheep].sex not in (EWE, None):
        text = f"{animals[sheep].called_in_full} is no ewe"
        yield DONOR_UNKNOWN.at(event.origin.span("from_"), text, "correct the name", "the bag stands by that name")
    elif not sheep:
        ewes = [word for one in animals.values() if one.sex == EWE for word in (one.name, one.tag) if word]
        if near(event.from_ or "", ewes):
            text = f"no ewe was ever called `{(event.from_ or '')[:40]}`"
            cure = f"{did_you_mean(event.from_ or '', ewes)}if it came from elsewhere, say so in other words"
            yield DONOR_UNKNOWN.at(event.origin.span("from_"), text, cure, "the bag stands by that name")


def hands(seen: Seen) -> Iterator[Diagnostic]:
    """Hands that went in before the labour began, as far as the times of one note tell."""
    for event in seen.linked.of(Labour):
        begun = event.waters or event.seen
        same_night = begun and event.helped and abs(begun.hour - event.helped.hour) < 12
        if begun and event.helped and same_night and event.helped < begun and not event.sure:
            text = f"hands in at {clock_words(event.helped)}, {local('labour')} since {clock_words(begun)}"
            yield HANDS_FIRST.at(event.origin.span("helped"), text, "correct one of the times, or add `sure: yes`")


def stock_prices(seen: Seen) -> Iterator[Diagnostic]:
    """Prices in stock notes that buy nothing."""
    for event in seen.linked.of(Stock):
        if event.price and not event.bought and not event.sure:
            text = "a price, and nothing bought"
            yield PRICE_OF_NOTHING.at(event.origin.span("price"), text, "add `bought: …`", "it counts as spent")


def helpers_known(seen: Seen) -> Iterator[Diagnostic]:
    """Names in `by` a slip away from one in the settings."""
    known = seen.settings.file.by
    for event in seen.linked.events if known else ():
        if event.by and event.by.casefold() not in {name.casefold() for name in known} and near(event.by, known):
            cure = f"{did_you_mean(event.by, known)}add the name to `by` in flock.yaml if it is another's"
            yield HELPER_MISSPELT.at(event.origin.span("by"), f"nobody is called `{event.by[:40]}` there", cure)


# Old records


def past_births(seen: Seen) -> Iterator[Diagnostic]:
    """Births of old that are noted as well, cannot be, or whose ewe is a slip away from one in the book."""
    by_line = {(item.note, item.lambs[0].span.line): item for item in seen.facts.lambing.past.births}
    for record in seen.linked.collection.of(PastLambings):
        tags: dict[tuple[str, int], PastLine] = {}
        for line in record.lines:
            if line.tag and tags.setdefault((line.tag, line.date.year), line) is not line:
                text = f"tag `{line.tag}` of {line.date.year} stands here twice"
                yield PAST_TWICE.at(line.span, text, "keep one of the rows", "it counts once")
            if line.date.earliest > seen.today.day:
                text = f"{line.date.shown} is still to come"
                yield PAST_IMPOSSIBLE.at(line.span, text, "correct the date", UNCOUNTED)
            item = by_line.get((record.origin.path, line.span.line))
            yield from past_ewe(seen, line, item)


UNCOUNTED = "it is not counted"


def past_ewe(seen: Seen, line: PastLine, item: PastBirth | None) -> Iterator[Diagnostic]:
    """What is odd of the ewe of one row; said once for a litter."""
    if item is None:
        return
    if item.doubled:
        day = next((event.date for event in seen.linked.of(Lambing) if event.date and near_birth(line.date, event.date)
                    and item.ewe in seen.linked.who(event)), None)  # fmt: skip
        told = f"a lambing note of {day_words(day)} tells of this birth as well" if day else "a note tells of it"
        yield PAST_TWICE.at(line.span, told, "take the rows out", "the note counts")
    ewe = seen.linked.animals.get(item.ewe or "")
    if ewe is not None and (wrong := cannot_be(ewe, line)):
        yield PAST_IMPOSSIBLE.at(line.span, wrong, "correct the ewe or the date", "it counts in its year all the same")
    ewes = [word for one in seen.linked.animals.values() if one.sex == EWE for word in (one.name, one.tag) if word]
    if ewe is None and line.ewe and any(one.isalpha() for one in line.ewe) and near(line.ewe, ewes):
        cure = f"{did_you_mean(line.ewe, ewes)}a ewe that was never in the book may stand here"
        yield PAST_EWE_MISSPELT.at(line.span, f"no ewe in the book is called `{line.ewe[:40]}`", cure)


def cannot_be(ewe: Animal, line: PastLine) -> str:
    """Why a ewe cannot have lambed then; "" where she can."""
    if ewe.sex not in (EWE, None):
        return f"{ewe.called_in_full} is no ewe"
    if ewe.born and line.date.latest - ewe.born.earliest < EWE_LAMB_DAYS:
        return f"{ewe.called_in_full} was born in {ewe.born.shown}, and could not lamb in {line.date.shown}"
    return ""


def old_tables(seen: Seen) -> Iterator[Diagnostic]:
    """Lambing notes with a table of many births."""
    for event in seen.linked.of(Lambing):
        for cell in event.origin.rest:
            heads = [part.strip().lower() for part in cell.text.replace("|", ",").split(",")]
            if "ewe" in heads and "date" in heads:
                cure = "write `note: past lambings` in its head, or a note for each birth"
                yield OLD_TABLE.at(event.origin.span("note"), "this lambing note has a table of births", cure)
                break


CHECKS = (
    Check("what was handled", handled), Check("fleeces", fleeces), Check("results", results),
    Check("paint marks", paint_marks),
    Check("frozen colostrum", frozen_store), Check("hands in", hands), Check("prices of stock", stock_prices),
    Check("helpers", helpers_known), Check("old records", past_births), Check("old tables", old_tables),
)  # fmt: skip
