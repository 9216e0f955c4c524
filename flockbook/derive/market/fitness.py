"""Whether a sheep is fit to go, whatever the medicines say: illness, lambing, age, quarantine, numbers.

This is a question beside that of clearance and never changes it. The law that is named is that of the flock's own
`country`; elsewhere, and without a country, whatever the law would decide is asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import cached_property
from math import ceil

from compiler.book import Moment
from compiler.shape import Value
from flockbook.country_codes import country_code
from flockbook.derive.breeding.due import DueList, DueRow, WhyNot
from flockbook.derive.breeding.gestation import Gestation, Terms, shift
from flockbook.derive.farm.electronic_numbers import official_numbers, sound_numbers, typed_numbers
from flockbook.derive.farm.official_identity import FORMS, NumberFault, read_eid, read_official
from flockbook.derive.health.cases import Case
from flockbook.derive.health.lame_words import WALKS_LAME, LameLine
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.market.apart import APART_AFTER_LOSS, keepings
from flockbook.derive.market.barriers import (
    Barrier,
    CalledLame,
    Going,
    InLamb,
    JustBorn,
    JustLambed,
    LostHerLambs,
    NearLambing,
    NoNumber,
    OnHire,
    PerhapsInLamb,
    StillIll,
)
from flockbook.derive.plain.ages import may_be_lamb
from flockbook.derive.plain.because import Because, Reason
from flockbook.flock import Flock, happened, there
from flockbook.law import Topic, law
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.event import Event
from flockbook.records.pregnancy import Abortion

# Council Regulation (EC) 1/2005, Annex I, chapter I, 2 (c) to (e): 90 % of the expected pregnancy, the week after
# birth, lambs under a week.
CARRIED_SHARE, FIRST_WEEK = 0.9, timedelta(days=7)
TOLD_AFTER_LOSS = timedelta(days=365)  # whoever asks after an abortion is told of it so long (our own choice)
# Words for a sheep that cannot walk without pain, or has an open wound or a prolapse: the same, 2 (a) and (b).
UNFIT = re.compile(
    r"\bprolaps|\bbearing out|\b(?:is|went|gone|lies|lying) down\b|\bdowner\b|\b(?:can ?not|can't|could not|unable to|"
    r"will not|won't) (?:stand|walk|rise|get up|bear)|\bnot bearing|\bthree legs|\bon its knees|\bon her knees|"
    r"\bbroken (?:leg|bone|foot|fore|hind)|\bfractur|\bopen wound|\bbleeding",
    re.I,
)
SLIGHTLY, BADLY = ("slight", "mild", "little"), ("bad", "severe")
# What the page of workings prints of it.
FITNESS_RULE = (
    "Clear of medicine is not yet fit to go. Whoever is ill, near lambing (from 90 % of the mean pregnancy after the "
    "earliest service that can be, by the ram's own days), within a week after lambing, less than a week old, kept "
    "apart, of no number or perhaps in lamb is asked about. Whom the law of the flock's own country calls unfit may "
    "not go; where no such law was read they are asked about."
)


class Ways(Value, dict=True):
    """What fitness is worked out from."""

    flock: Flock
    country: str
    open_cases: tuple[Case, ...]
    lame: tuple[LameLine, ...]
    due: DueList
    births: tuple[LambingFact, ...]
    terms: Terms
    today: Moment

    @property
    def ruled(self) -> bool:
        """Whether the regulation is the law of the flock's own country."""
        return law(self.country, Topic.TRANSPORT) is not None

    @property
    def by_law(self) -> Going:
        """What becomes of those whom the regulation calls unfit."""
        return Going.MAY_NOT if self.ruled else Going.ASK_FIRST

    @cached_property
    def numbered(self) -> frozenset[str]:
        """The sheep that have an official or electronic number."""
        return frozenset(numbered(self.flock, self.country))


def barriers(ways: Ways, day: date) -> dict[str, tuple[Barrier, ...]]:
    """Whatever speaks against each living sheep's going on a day, by what is written so far; what forbids it first."""
    told = (
        *still_ill(ways), *called_lame(ways), *carrying(ways, day), *just_lambed(ways, day), *just_born(ways, day),
        *still_apart(ways, day), *lately_lost(ways, day), *without_number(ways, day), *on_hire(ways),
    )  # fmt: skip
    found: dict[str, list[Barrier]] = {}
    for item in told:
        if there(ways.flock.animals[item.sheep], ways.today):
            found.setdefault(item.sheep, []).append(item)
    return {
        sheep: tuple(sorted(items, key=lambda item: item.grade is not Going.MAY_NOT)) for sheep, items in found.items()
    }


def on_hire(ways: Ways) -> Iterator[Barrier]:
    """Rams that stand here without belonging: nobody sells another's sheep."""
    for animal in ways.flock.animals.values():
        if animal.lent:
            note = animal.hires[-1]
            because = Because(note.origin.path, note.origin.span("ram").line, "gate", reason=OnHire(note.from_ or ""))
            yield Barrier(animal.id, Going.MAY_NOT, because)


# Illness


def still_ill(ways: Ways) -> Iterator[Barrier]:
    """Open cases: a sheep that cannot walk sound, or is in a bad way, is unfit; any other is a question for the vet."""
    for case in ways.open_cases:
        bad = unfit(case)
        note = case.notes[-1]
        reason = StillIll(case.problem, case.since, bad, ways.ruled)
        why = Because(note.origin.path, note.origin.span("problem").line, "gate", reason=reason)
        yield Barrier(case.sheep, ways.by_law if bad else Going.ASK_FIRST, why)


def unfit(case: Case) -> bool:
    """Whether the words of a case are those of a sheep unfit to travel: lame, unless the last word is that it is
    slight; prolapsed, wounded, down, or written as bad.
    """
    grade = next((note.severity for note in reversed(case.notes) if note.severity), "").casefold()
    words = f"{case.problem} {case.notes[-1].signs or ''}"
    if UNFIT.search(words) or any(word in grade for word in BADLY):
        return True
    return bool(WALKS_LAME.search(words)) and not any(word in grade for word in SLIGHTLY)


def called_lame(ways: Ways) -> Iterator[Barrier]:
    """Sheep that a line calls lame, and no later one sound: somebody looks at them first."""
    for item in ways.lame:
        why = Because(item.note, item.line, "gate", reason=CalledLame(item.words, item.day, ways.ruled))
        yield Barrier(item.sheep, Going.ASK_FIRST, why)


# Breeding


def unfit_from(service: date, gestation: Gestation) -> date:
    """The first day on which nine tenths of a pregnancy have passed: day 133 at a mean of 147."""
    return shift(service, ceil(CARRIED_SHARE * gestation.mean))


def carrying(ways: Ways, day: date) -> Iterator[Barrier]:
    """Ewes near lambing, in lamb, or of whom nobody knows."""
    for row in ways.due.rows:
        if row.odds.window:
            service = shift(row.odds.window.first, -ways.terms.of(row.ewe).shortest)
            yield from of_a_ewe(ways, row, service, day)
    for out in ways.due.not_expected:
        if out.why is WhyNot.PAST_LAST_DAY:
            yield Barrier(out.ewe, Going.ASK_FIRST, resting_on(out.because, PerhapsInLamb(out.since, True)))


def of_a_ewe(ways: Ways, row: DueRow, service: date, day: date) -> Iterator[Barrier]:
    """One ewe that has not lambed, by the first service that can be hers."""
    since = unfit_from(service, ways.terms.of(row.ewe))
    latest = row.due.latest or since
    if row.lambs_scanned == 0:
        yield Barrier(row.ewe, Going.ASK_FIRST, resting_on(row.because, PerhapsInLamb(service, False, True)))
    elif day > latest + FIRST_WEEK and day > ways.today.day:
        yield Barrier(row.ewe, Going.ASK_FIRST, resting_on(row.because, PerhapsInLamb(latest, True)))
    elif day >= since:
        yield Barrier(row.ewe, ways.by_law, resting_on(row.because, NearLambing(since, service, ways.ruled)))
    elif not any(step.rule == "scan" for step in row.because):
        yield Barrier(row.ewe, Going.ASK_FIRST, resting_on(row.because, PerhapsInLamb(service, False)))
    else:
        yield Barrier(row.ewe, Going.ASK_FIRST, resting_on(row.because, InLamb(since)))


def resting_on(steps: Iterable[Because], reason: Reason) -> Because:
    """A reason that rests on the last note of a working."""
    notes = [step for step in steps if step.note]
    return Because(notes[-1].note if notes else "", notes[-1].line if notes else None, "gate", reason=reason)


def just_lambed(ways: Ways, day: date) -> Iterator[Barrier]:
    """Ewes in the week after they lambed, the seventh day included: hours are not always written."""
    for birth in ways.births:
        when = birth.event.date
        if birth.ewe and when and not_longer_after(when, day, FIRST_WEEK):
            reason = JustLambed(when, first_day_after(when, FIRST_WEEK), ways.ruled)
            yield Barrier(birth.ewe, ways.by_law, Because(birth.note, 1, "gate", reason=reason))


def just_born(ways: Ways, day: date) -> Iterator[Barrier]:
    """Lambs of less than a week, the seventh day included."""
    for animal in ways.flock.animals.values():
        born = animal.birthday
        note = animal.birth.note if animal.birth else animal.note
        if born and note and not_longer_after(born, day, FIRST_WEEK):
            reason = JustBorn(born, first_day_after(born, FIRST_WEEK), ways.ruled)
            yield Barrier(animal.id, ways.by_law, Because(note.origin.path, 1, "gate", reason=reason))


def not_longer_after(start: date, day: date, span: timedelta) -> bool:
    """Whether a day lies no more than so long after another."""
    return timedelta() <= day - start <= span


def first_day_after(start: date, span: timedelta) -> date:
    """The first day after a span that began on a day."""
    return start + span + timedelta(days=1)


# Kept apart


def still_apart(ways: Ways, day: date) -> Iterator[Barrier]:
    """Bought sheep in quarantine, and ewes that lost their lambs, until the day that their note names."""
    for kept in keepings(ways.flock, ways.today):
        if day <= kept.until:
            yield from (Barrier(sheep, Going.MAY_NOT, kept.because) for sheep in kept.sheep)


def lately_lost(ways: Ways, day: date) -> Iterator[Barrier]:
    """Ewes that lost their lambs, once the day is over to which their note keeps them apart, if it names one: until
    they go to the ram again or lamb, or a year is over. A cause that is known frees nobody: the buyer is told of it.
    """
    for event in ways.flock.of(Abortion):
        written = event.isolated_until
        if event.date is None or (written and day <= written) or not happened(event, ways.today):
            continue
        apart = written or event.date + APART_AFTER_LOSS
        if not_longer_after(event.date, day, TOLD_AFTER_LOSS):
            reason = LostHerLambs(event.date, apart, written is not None, event.result or "")
            why = Because(event.origin.path, event.origin.span("ewe").line, "gate", reason=reason)
            open_still = (ewe for ewe in ways.flock.who(event) if not bred_since(ways.flock, ewe, event, ways.today))
            yield from (Barrier(ewe, Going.ASK_FIRST, why) for ewe in open_still)


def bred_since(flock: Flock, ewe: str, event: Event, today: Moment) -> bool:
    """Whether a ewe was joined or lambed after a note."""
    later = (note for note in flock.by_animal.get(ewe, ()) if note.date and event.date and note.date > event.date)
    return any(isinstance(note, Joining | Lambing) and happened(note, today) for note in later)


# Numbers


def numbered(flock: Flock, country: str) -> Iterator[str]:
    """The sheep that have a number in their own note, on a line of a birth, a tagging or a purchase, or on the tag they
    are called by.
    """
    forms, officials = country_code(country) in FORMS, official_numbers(flock)
    for typed in typed_numbers(flock):
        if not isinstance(read_eid(typed.text), NumberFault):
            yield typed.sheep
    for animal in flock.animals.values():
        official = forms and any(not isinstance(read_official(tag, country), NumberFault) for tag in animal.tags)
        if official or next(sound_numbers(animal, officials.get(animal.id, ()), country), None):
            yield animal.id


def without_number(ways: Ways, day: date) -> Iterator[Barrier]:
    """Grown sheep without a number, in a flock whose other grown sheep have theirs in the notes; a lamb may be waiting
    for the tag that it leaves with (gov.wales 2024: slaughter lambs under 12 months).
    """
    old = [item for item in ways.flock.animals.values() if there(item, ways.today) and not may_be_lamb(item, day)]
    if not any(item.id in ways.numbered for item in old):
        return
    for animal in old:
        if animal.id not in ways.numbered:
            note = animal.note.origin.path if animal.note else ""
            yield Barrier(animal.id, Going.ASK_FIRST, Because(note, 1 if note else None, "gate", reason=NoNumber()))
