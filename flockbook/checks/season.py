"""Counts and weanings that do not agree with the notes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time

from compiler.book import Check, Moment
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.checks.growth import MOST_NAMED
from flockbook.derive.farm.head_counts import CountFact, LastSeen
from flockbook.derive.plain.days import day_words
from flockbook.derive.weights.weaning import REARED_DAYS, Cohort, alive_by, counts_as_lamb, weaned, weaning_notes
from flockbook.flock import Animal, there
from flockbook.records.growth import Weighing
from flockbook.records.rearing import Weaning
from flockbook.seen import Seen

SHORT = Rule(
    "H101",
    "count-short",
    Grade.WARNING,
    "Fewer sheep were counted than the notes say the mob holds: somebody is missing, or a death, a sale or a draft is "
    "not written down yet.",
    "---\nnote: count\nmob: hill\ncount: 33\n---\n",
)
OVER = Rule(
    "H102",
    "count-over",
    Grade.WARNING,
    "More sheep were counted than the notes say the mob holds: a stranger is among them, or a draft, a purchase or a "
    "lambing is not written down yet.",
    "---\nnote: count\nmob: hill\ncount: 36\n---\n",
)
SWAPPED = Rule(
    "H103",
    "count-strangers",
    Grade.WARNING,
    "The heads come to the right number, and yet a tag was seen that belongs elsewhere or one that belongs here was "
    "not seen.",
    "mob: hill\nseen: C214, C999\n",
)
TOO_MANY_WEANED = Rule(
    "H104",
    "weaned-more-than-live",
    Grade.WARNING,
    "A weaning cannot take in more lambs than are alive on that day: a lambing may not be written down, or the number "
    "is a slip.",
    "---\nnote: weaning\nmob: lambs\ncount: 48\n---\n",
)
OLD_AT_WEANING = Rule(
    "H105",
    "weaned-no-lamb",
    Grade.WARNING,
    "A sheep older than a year stands among the weaned lambs; the tag is probably that of another.",
    "- C214 31.5\n",
)
WEANING_LEFT_OUT = Rule(
    "H106",
    "weaning-left-out",
    Grade.GAP,
    "The season's lambs were weaned, and nothing says what became of these: they are counted neither as weaned nor as "
    "lost, so that every share of the season is of fewer lambs.",
    "lambs 1 to 4 born, and a weaning note that names 1, 3 and 4",
)
RULES = (SHORT, OVER, SWAPPED, TOO_MANY_WEANED, OLD_AT_WEANING, WEANING_LEFT_OUT)


def count_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Each count that differs from the roll. One that a later count of the same mob put right says nothing any more."""
    for fact in seen.facts.farm.head_counts:
        if not fact.agrees and fact.put_right is None:
            yield disagreement(seen, fact)


def disagreement(seen: Seen, fact: CountFact) -> Diagnostic:
    """One count in words, naming who is missing or where to begin looking."""
    event = next(event for event in seen.linked.events if event.origin.path == fact.note)
    where = event.origin.span("count" if event.count is not None else "seen")
    heads = f"{fact.counted} counted in {fact.mob or 'the whole flock'}, {len(fact.expected)} by the notes"
    strangers = ", ".join(seen.linked.animals[sheep].called_in_full for sheep in fact.strangers[:MOST_NAMED])
    extra = f"; seen but of another mob: {strangers}" if strangers else ""
    cure = "look for them; then write the death, sale, move or draft that explains it, or count again"
    if fact.missing:
        rule = SHORT if fact.short > 0 else SWAPPED
        return rule.at(where, f"{heads}: missing {last_sightings(seen, fact.missing)}{extra}", cure)
    if fact.short > 0:
        begin = last_sightings(seen, fact.begin_with)
        return SHORT.at(where, f"{heads}: {fact.short} short. No tags were read; longest without a note: {begin}", cure)
    if fact.short < 0:
        cure = "read their tags; write the draft or purchase that brought them"
        return OVER.at(where, f"{heads}: {-fact.short} more{extra}", cure)
    return SWAPPED.at(where, f"{heads}{extra}", "write the draft that moved them")


def last_sightings(seen: Seen, missing: tuple[LastSeen, ...]) -> str:
    """Sheep and when each was last seen."""
    words = [
        f"{seen.linked.animals[item.sheep].called_in_full} "
        f"({'last seen ' + day_words(item.date) if item.date else 'never seen'})"
        for item in missing[:MOST_NAMED]
    ]
    more = len(missing) - len(words)
    return ", ".join(words) + (f" and {more} more" if more > 0 else "")


def weaning_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Weanings of more lambs than live, or of a grown sheep."""
    for event in weaning_notes(seen.linked, seen.today):
        assert event.date is not None
        living, told = lambs_on(seen, event.date), max(event.count or 0, written_in(event))
        if told > living and not event.sure:
            alive = "1 lamb is" if living == 1 else f"{living} lambs are"
            text = f"{told} weaned, but {alive} alive by the notes"
            cure = "correct the number, or write the lambings that are missing"
            yield TOO_MANY_WEANED.at(event.origin.span("count"), text, cure)
        for sheep in seen.linked.who(event):
            animal = seen.linked.animals[sheep]
            if not counts_as_lamb(animal, event.date) and not event.mob:
                text = f"{animal.called_in_full} is more than a year old"
                yield OLD_AT_WEANING.at(event.origin.span("lines"), text, "correct the tag")


def written_in(event: Weaning | Weighing) -> int:
    """How many sheep stand in lines of their own."""
    return len(event.lines) + (len(event.unweighed) if isinstance(event, Weaning) else 0)


def lambs_left_out(seen: Seen) -> Iterator[Diagnostic]:
    """Lambs old enough on their season's last weaning day that no weaning, sale, death or later note names."""
    weanings = seen.facts.weights.weanings
    notes = {event.origin.path: event for event in weaning_notes(seen.linked, seen.today)}
    for season in seen.facts.season.years:
        if season.weaned_on is None or seen.today.day <= season.weaned_on:
            continue
        cohort = Cohort(seen.linked, weanings, season.weaned_on, seen.today)
        lambs = [lamb for birth in season.births for lamb in birth.lambs if alive_by(lamb, seen.today)]
        lost = [lamb for lamb in lambs if weaned(lamb, cohort) is None and meant_to_be_weaned(lamb, season.weaned_on)]
        lost = [lamb for lamb in lost if there(lamb, seen.today)]
        last = [event for event in notes.values() if event.date == season.weaned_on]
        if lost and last and not last[-1].sure:
            names = ", ".join(lamb.called_in_full for lamb in lost[:MOST_NAMED])
            more = f" and {len(lost) - MOST_NAMED} more" if len(lost) > MOST_NAMED else ""
            text = f"{names}{more} {'is' if len(lost) == 1 else 'are'} in no weaning, sale or death note"
            cure = "add each to the weaning, with its weight or without, or write the sale or the death"
            kept = "their fate is not known, and they stand in no share"
            yield WEANING_LEFT_OUT.at(last[-1].origin.span(), text, cure, kept)


def meant_to_be_weaned(lamb: Animal, day: date) -> bool:
    """Whether a lamb was so old on a weaning day that it was meant to be weaned then."""
    return lamb.birthday is not None and (day - lamb.birthday).days >= REARED_DAYS


def lambs_on(seen: Seen, day: date) -> int:
    """Sheep under a year old that were alive on a day."""
    at = Moment(datetime.combine(day, time.min))
    return sum(
        bool(animal.born) and counts_as_lamb(animal, day) and there(animal, at)
        for animal in seen.linked.animals.values()
    )


CHECKS = (
    Check("head counts", count_faults), Check("weanings", weaning_faults),
    Check("lambs left out of a weaning", lambs_left_out),
)  # fmt: skip
