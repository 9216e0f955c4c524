"""The year from ram in to weaning: what the notes of joining, scanning, labour, birth and fostering say against each
other, and what is still to be written.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.source import Span
from flockbook.derive.breeding.pregnancies import Scanned, carried, read_together
from flockbook.derive.lambing.labours import FORGOTTEN, as_it_passed
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.newborn import FEED_ML_PER_KG
from flockbook.derive.lambing.newborns import FIRST_DAY
from flockbook.derive.plain.days import day_words
from flockbook.derive.weights.gains import birth_weight
from flockbook.figures import LONGEST_GESTATION
from flockbook.flock import Animal, happened
from flockbook.law import Topic, law
from flockbook.measures import Measures
from flockbook.records.breeding import Lambing
from flockbook.records.event import Event
from flockbook.records.handling import Job, Tagging
from flockbook.records.health import Death
from flockbook.records.pregnancy import Abortion, Labour
from flockbook.records.rearing import Feeding, Foster
from flockbook.records.sheep import EWE
from flockbook.records.trade import Sale
from flockbook.regional import local
from flockbook.roll import ONE_YEAR
from flockbook.seen import Seen
from flockbook.settings import zone_of

LAMBED_EMPTY = Rule(
    "B301", "lambed-though-empty", Grade.WARNING,
    "The scan said empty and yet she lambed. About one empty result in twenty-five is wrong (Vet. Quarterly 1985); as "
        "often it is another ewe's tag.",
    "`- C231 empty` in January and a lambing by C231 in April",
)  # fmt: skip
FEWER_THAN_SCANNED = Rule(
    "B302", "fewer-than-scanned", Grade.GAP,
    "The scan saw more lambs than the note has. One may still be inside her, or was born dead and not written; or the "
        "scan miscounted (it counts about 8 litters in 10 right, Vet. Quarterly 1985).",
    "`- C214 twins` at scanning and one lamb line",
)  # fmt: skip
LABOUR_OPEN = Rule(
    "B303", "labour-left-open", Grade.GAP,
    "A labour ends with lambs, with a loss, or was a false start. After two days without a word it leaves the watch "
        "board, and nobody can tell what came of it.",
    "a labour note in April and no lambing note of that ewe after it",
)  # fmt: skip
LABOUR_AFTER = Rule(
    "B304", "labour-after-lambing", Grade.WARNING,
    "A ewe cannot carry again so soon. Either the day is wrong (a labour before midnight belongs to the day before its "
        "birth), or there is another lamb or an afterbirth in her: look at her, and ring the vet.",
    "a labour at 23:55 on the day on which she lambed at 01:00",
)  # fmt: skip
RAM_LEFT_IN = Rule(
    "B305", "ram-out-not-written", Grade.GAP,
    f"The last lambs can come {LONGEST_GESTATION.value:g} days after the ram is out, or your own limit. While no "
        "day is written he counts as still in, and every unmarked ewe stays possible.",
    "a joining of eight weeks ago without `out`",
)  # fmt: skip
FOSTER_ODD = Rule(
    "B306", "foster-onto-itself", Grade.WARNING,
    "A lamb is fostered onto another ewe: its own dam, a ram or a lamb is probably a slip of the tag.",
    "`onto: Bramble` for Bramble's own lamb",
)  # fmt: skip
FOSTER_DRY = Rule(
    "B307", "foster-onto-a-dry-ewe", Grade.ASK,
    "No lambing of this ewe is written in the last four months, so she has no milk as far as the notes tell.",
    "a foster onto a ewe that was empty",
)  # fmt: skip
TAGGED_AGAIN = Rule(
    "B308", "tagged-again", Grade.ASK,
    "`=` gives a lamb its first tag, and this one wears a tag already. A lost tag is written as `731 now 745`; else "
        "two lambs have been taken for one.",
    "`- Bramble's ewe lamb = 745` when she is 731 already",
)  # fmt: skip
TOO_MUCH_AT_ONCE = Rule(
    "B309", "feed-too-large", Grade.ASK,
    "A newborn's stomach holds about a twentieth of what it weighs (Vet Times 2018); more by tube at one time can "
        "run back into the lungs.",
    "`tubed 900 ml` on the line of a small twin",
)  # fmt: skip
RINGS_LATE = Rule(
    "B310", "rings-too-late", Grade.WARNING,
    "Where the law of the flock's country says until what age a rubber ring may be put on without an anaesthetic, "
        "lambs older than that are asked about. Your own law and your vet decide.",
    "`did: rings` on lambs nine days old",
)  # fmt: skip
RULES = (
    LAMBED_EMPTY, FEWER_THAN_SCANNED, LABOUR_OPEN, LABOUR_AFTER, RAM_LEFT_IN, FOSTER_ODD, FOSTER_DRY, TAGGED_AGAIN,
    TOO_MUCH_AT_ONCE, RINGS_LATE,
)  # fmt: skip

RAM_DAYS = 56  # eight weeks: the longest joining that is published as usual (NZ hill flocks 1967-73)
# After a week a lamb that the scan saw is no longer asked for; the season counts it as lost before birth (our choice).
ASK_DAYS = 7
MILK_DAYS = 120  # a ewe that lambed longer ago is taken to be dry (our own choice)
# Feeds are rounded to the marks on a syringe or bottle; published tables print up to a fifth over the rule (ADAS 1996).
FEED_SLACK = 1.2
RUBBER_RING = "ring"


def against_scan(seen: Seen) -> Iterator[Diagnostic]:
    """Births of ewes that were scanned empty or with more lambs."""
    told = seen.facts.breeding.evidence
    for birth in seen.facts.lambing.births:
        if birth.event.date is None or birth.event.sure:
            continue
        scans = [item for item in told.scans.get(birth.ewe or "", ()) if carried(item.scan.day, birth.event.date)]
        yield from birth_against_scans(birth, scans, seen.today.day)


def birth_against_scans(birth: LambingFact, scans: list[Scanned], today: date) -> Iterator[Diagnostic]:
    """One birth against the scans of its pregnancy."""
    scan, day = read_together(scans), birth.event.date
    if scan is None or scan.lambs is None or day is None:
        return
    last = f"scanned on {day_words(scan.day)}"
    if scan.lambs == 0:
        cure = "correct the ewe here or in the scan, or add `sure: yes`"
        yield LAMBED_EMPTY.at(birth.event.origin.span("ewe"), f"she was {last} and said to be empty", cure)
    elif birth.detailed and birth.born < scan.lambs and (today - day).days <= ASK_DAYS:
        cure = "look at her; write the other as `stillborn` or `mummified`, or add `sure: yes`"
        words = f"{scan.lambs} lambs were {last}, {birth.born} {'is' if birth.born == 1 else 'are'} written"
        yield FEWER_THAN_SCANNED.at(birth.event.origin.span("ewe"), words, cure)


def labours(seen: Seen) -> Iterator[Diagnostic]:
    """Labours that nothing closed, and those of ewes that have just lambed."""
    terms, zone = seen.facts.breeding.matings.terms, zone_of(seen.settings)
    for event in seen.linked.of(Labour):
        if not happened(event, seen.today):
            continue
        for ewe in seen.linked.who(event):
            notes, shortest = seen.linked.by_animal.get(ewe, ()), timedelta(days=terms.of(ewe).shortest)
            births = [note for note in notes if isinstance(note, Lambing)]
            before = [note for note in births if timedelta() < lapse(note, event, zone) < shortest]
            if before:
                yield after_lambing(seen, event, before[-1])
            elif seen.today.at - noted(event) >= FORGOTTEN and not closed(notes, event, zone) and not event.sure:
                called = seen.linked.animals[ewe].called_in_full
                words = f"{called}: nothing is written of how this {local('labour')} ended"
                cure = "write the lambing, or `sure: yes` here for a false start"
                yield LABOUR_OPEN.at(event.origin.span("ewe"), words, cure)


def after_lambing(seen: Seen, event: Labour, birth: Lambing) -> Diagnostic:
    """A labour that begins when the lambs are there."""
    ewe = seen.linked.animals[next(iter(seen.linked.who(birth)))]
    day = day_words(birth.date) if birth.date else "?"
    words = f"{ewe.called_in_full} lambed on {day}, before this {local('labour')}"
    cure = "correct the day, or look at her at once: another lamb may be in her"
    return LABOUR_AFTER.at(event.origin.span("date"), words, cure, also=(birth.origin.span(),))


def noted(event: Event) -> datetime:
    """When a note was written: at its time, else when its day began."""
    assert event.date is not None
    return datetime.combine(event.date, event.time or datetime.min.time())


def lapse(note: Event, event: Event, zone: ZoneInfo | None = None) -> timedelta:
    """How much later an event is than a note; a note without a time on the same day counts as no earlier."""
    if note.date is None or event.date is None:
        return timedelta()
    if note.time is None or event.time is None:
        return event.date - note.date
    passed = [as_it_passed(noted(one), zone, not isinstance(one, Labour)) for one in (event, note)]
    return passed[0] - passed[1]


def closed(notes: tuple[Event, ...], event: Labour, zone: ZoneInfo | None) -> bool:
    """Whether a birth, a loss or her leaving came within two days of a labour."""
    ends = (Lambing, Abortion, Death, Sale)
    later = [lapse(event, note, zone) for note in notes if isinstance(note, ends) and note.date]
    again = [lapse(event, note, zone) for note in notes if isinstance(note, Labour) and note is not event]
    whole = timedelta(days=1)  # a note without a time is of any hour of its day
    return any(timedelta() <= span <= FORGOTTEN + whole for span in later) or any(
        timedelta() < span < FORGOTTEN for span in again
    )


def rams_left_in(seen: Seen) -> Iterator[Diagnostic]:
    """Joinings whose end nobody has written."""
    events = {event.origin.path: event for event in seen.linked.events}
    for item in seen.facts.breeding.joinings:
        if item.still_in is not None and item.still_in > RAM_DAYS:
            event = events[item.note]
            words = f"ram in {item.still_in} days ago, and no ram out is written"
            yield RAM_LEFT_IN.at(event.origin.span("rams"), words, "add `out: …` with the day the ram came out")


def fosters(seen: Seen) -> Iterator[Diagnostic]:
    """Lambs given to their own dam, to no ewe, or to a ewe without milk."""
    for event in seen.linked.of(Foster):
        if not event.onto or not happened(event, seen.today):
            continue
        onto = seen.linked.named(event, event.onto)
        if onto is None:
            continue
        ewe, here = seen.linked.animals[onto], event.origin.span("onto")
        for lamb in seen.linked.who(event):
            if onto in (lamb, seen.linked.animals[lamb].dam) or ewe.sex not in (EWE, None):
                yield FOSTER_ODD.at(here, odd_words(seen.linked.animals[lamb], ewe), "correct the ewe or the lamb")
            elif not event.sure and not in_milk(seen, onto, event):
                words = f"no lambing of {ewe.called_in_full} is written in the last {MILK_DAYS} days"
                yield FOSTER_DRY.at(here, words, "write her lambing, correct the ewe, or add `sure: yes`")


def odd_words(lamb: Animal, ewe: Animal) -> str:
    """Why a foster mother is none."""
    if lamb.dam == ewe.id:
        return f"{ewe.called_in_full} is the lamb's own dam"
    return f"{ewe.called_in_full} is the lamb itself" if lamb.id == ewe.id else f"{ewe.called_in_full} is a {ewe.sex}"


def in_milk(seen: Seen, ewe: str, event: Foster) -> bool:
    """Whether she lambed (or lost her lambs) not long before, or on that very day."""
    assert event.date is not None
    days = [
        (event.date - note.date).days
        for note in seen.linked.by_animal.get(ewe, ())
        if isinstance(note, Lambing | Abortion) and note.date
    ]
    return any(0 <= day <= MILK_DAYS for day in days)


def first_tags(seen: Seen) -> Iterator[Diagnostic]:
    """First tags for lambs that wear one."""
    worn: dict[str, str] = {
        animal.id: animal.birth.line.tag
        for animal in seen.linked.animals.values()
        if animal.birth and animal.birth.line.tag
    }
    for event in seen.linked.of(Tagging):
        if not happened(event, seen.today):
            continue
        for line in event.lines:
            sheep = seen.linked.named(event, line.sheep)
            if sheep is None or line.tag is None:
                continue
            old = worn.get(sheep)
            if old and old != line.tag and old != line.sheep and not event.sure:
                words = f"{line.sheep} already wears {old}"
                yield TAGGED_AGAIN.at(line.span, words, f"write `{old} now {line.tag}`, or correct the lamb")
            worn[sheep] = line.tag


def feeds(seen: Seen) -> Iterator[Diagnostic]:
    """Feeds by tube or bottle on the first day of life that are more than the lamb can hold."""
    for birth in seen.facts.lambing.births:
        for lamb in birth.lambs:
            weight = birth_weight(lamb)
            for ml, span in feeds_given(seen, birth, lamb) if weight else ():
                yield from too_large(seen.settings.measures, lamb.called_in_full, (ml, weight or 0.0), span)


def feeds_given(seen: Seen, birth: LambingFact, lamb: Animal) -> Iterator[tuple[float, Span]]:
    """Every feed of a lamb's first day in mL, and where it is written; what was confirmed is left out."""
    line = lamb.birth.line if lamb.birth else None
    if line and line.tubed_ml and not birth.event.sure:
        yield line.tubed_ml, line.span
    for note in seen.linked.by_animal.get(lamb.id, ()):
        if isinstance(note, Feeding) and note.amount and not note.sure and newborn(birth.event, note):
            yield note.amount.ml, note.origin.span("amount")


def newborn(birth: Lambing, note: Event) -> bool:
    """Whether a note is of a lamb's first day."""
    return timedelta() <= lapse(birth, note) <= FIRST_DAY


def too_large(measures: Measures, lamb: str, fed: tuple[float, float], where: Span) -> Iterator[Diagnostic]:
    """One feed in mL against the lamb's weight in kg."""
    ml, kg = fed
    if ml > kg * FEED_ML_PER_KG * FEED_SLACK:
        most = f"{measures.drink(kg * FEED_ML_PER_KG)} for {measures.weight(kg)}"
        words = f"{lamb}: {measures.drink(ml)} at one time; the published most is {most}"
        yield TOO_MUCH_AT_ONCE.at(where, words, "correct it, write each feed apart, or add `sure: yes`")


def rings(seen: Seen) -> Iterator[Diagnostic]:
    """Rings put on lambs older than the law of the flock's country allows."""
    if not (rule := law(seen.settings.file.country or "", Topic.RINGS)):
        return
    for event in seen.linked.of(Job):
        if RUBBER_RING in (event.did or "").lower() and event.date and not event.sure:
            ages = [
                (event.date - born).days
                for sheep in seen.linked.who(event)
                if (born := seen.linked.animals[sheep].birthday) and (event.date - born).days < ONE_YEAR
            ]
            late = [age for age in ages if age >= (rule.figure or 0)]
            if late:
                were = "lamb was" if len(ages) == 1 else "lambs were"
                words = f"{len(late)} of {len(ages)} {were} {min(late)} days old or more; {rule.in_full}"
                cure = "correct the day or the lambs, or write how it was done and add `sure: yes`"
                yield RINGS_LATE.at(event.origin.span("did"), words, cure)


CHECKS = (
    Check("births against scans", against_scan), Check("labours", labours), Check("rams left in", rams_left_in),
    Check("foster mothers", fosters), Check("tags given again", first_tags), Check("feeds of newborns", feeds),
    Check("rings", rings),
)  # fmt: skip
