"""Finds out which animals the notes speak of, in order of time, so that a name means what it meant that day."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise

from compiler.book import Moment
from compiler.collection import Collection
from compiler.dates import PartialDate
from compiler.diagnostics import Diagnostic
from compiler.nearness import near
from compiler.schema import Record
from compiler.shape import replace
from compiler.source import Span
from flockbook.corrections import corrections
from flockbook.flock import Birth, Departure, Flock, Membership, Subjects
from flockbook.manner import speak_as
from flockbook.measures import measure_in
from flockbook.naming import (
    COUNT_DIFFERS,
    NOBODY,
    NOT_THERE,
    PARENT_MISSPELT,
    RANGE_UNCOUNTED,
    RULES,
    TAG_TWICE,
    TWICE_ON_ONE,
    TWO_SHEEP,
    UNKNOWN_MOB,
    UNKNOWN_SHEEP,
)
from flockbook.records.breeding import Hire, Joining, Lambing
from flockbook.records.event import Event, Mention, listed
from flockbook.records.handling import Tagging
from flockbook.records.health import Death, Treatment
from flockbook.records.places import Drafting as Sorting
from flockbook.records.rearing import Foster
from flockbook.records.sheep import EWE, RAM, Medicine, Sheep, sex_of
from flockbook.records.trade import Purchase, Sale
from flockbook.rewrites import mob_cure, name_cure
from flockbook.roll import (
    CLASS_WORDS,
    LAMB_WORDS,
    Draft,
    Roll,
    described,
    frozen,
    give_ids,
    gone_before,
    key_of,
    origin_of,
    shown,
    unique,
)
from flockbook.sequence import CHANGING, HELD_BY, Coming, comings, grown_alone, in_time_order, mere_number, of_them
from flockbook.settings import Settings, zone_of
from flockbook.whom.concerned import concern
from flockbook.whom.ranges import LONGEST_RANGE

TAG_ROW = re.compile(r"(\D*?)(\d+)\s*(?:[-–—]|to|thru|through)\s*\1?(\d+)", re.A | re.I)
NAME_JOINT = re.compile(r"\s*(?:[;&+]|/(?!\d{4}\b))\s*|\s+and\s+", re.I)


def link(collection: Collection, settings: Settings, today: Moment) -> tuple[Flock, tuple[Diagnostic, ...]]:
    """The flock that the notes speak of, and whom each of them concerns."""
    speak_as(settings.manner)
    measure_in(settings.units)
    flock, told = Linker(collection).link()
    flock, more = concern(replace(flock, zone=zone_of(settings)), max(today.day, today.clock or today.day))
    return flock, (*told, *more)


class Linker:
    """The work of linking one collection."""

    def __init__(self, collection: Collection) -> None:
        """Nothing is linked yet."""
        self.collection = collection
        self.roll = Roll()
        self.told: list[Diagnostic] = []
        self.who: dict[str, tuple[list[Draft], tuple[Mention, ...]]] = {}
        self.names: dict[tuple[str, str], Draft] = {}
        self.merged: dict[int, Draft] = {}
        self.absorbed: list[Draft] = []
        self.coming: dict[str, Coming] = {}

    def link(self) -> tuple[Flock, tuple[Diagnostic, ...]]:
        """Sheep notes first, then every event in order of time, then parents and ids."""
        for sheep in self.collection.of(Sheep):
            self.add_sheep(sheep)
        struck, told = corrections(self.collection)
        for message, event in told:
            self.tell(message, event)
        events = in_time_order((e for e in self.collection.of(Event) if e.origin.path not in struck), self.roll.same)
        self.coming = comings(events)
        for event in events:
            self.take(event)
        self.parents()
        return self.flock(tuple(events), struck), tuple(self.told)

    # Animals

    def add_sheep(self, sheep: Sheep) -> None:
        """An animal with a note of its own."""
        draft = Draft(sex_of(sheep), sheep.born, sheep.tag, sheep.name, sheep, arrived=sheep.bought)
        draft.tags = [sheep.tag] if sheep.tag else []
        draft.dam_name = sheep.dam
        draft.sire_names = (sheep.sire,) if sheep.sire else sheep.sires
        if sheep.mob:
            draft.mobs.append(Membership(sheep.mob, None, sheep.origin.path))
        self.roll.drafts.append(draft)
        self.roll.enter(draft)

    def add_litter(self, event: Lambing, dam: Draft | None) -> list[Draft]:
        """The lambs of a lambing note, each merged with its own note where it has one."""
        litter: list[Draft] = []
        if event.date is None:
            return litter
        born = PartialDate(event.date.year, event.date.month, event.date.day)
        for place, line in enumerate(event.lines):
            draft = self.kept_lamb(line.tag, event.date) if line.tag else None
            if draft is None:
                draft = Draft(line.sex, born, line.tag)
                self.roll.drafts.append(draft)
            draft.birth, draft.dam, draft.number = Birth(event, line, place), dam, line.number
            draft.sex, draft.born = draft.sex or line.sex, born
            if line.tag and line.tag not in draft.tags:
                draft.tags.append(line.tag)
            if dam is not None and not draft.mobs and (mob := dam.mob_on(event.date)):
                draft.mobs.append(Membership(mob, event.date, event.origin.path))
            if not line.alive:
                draft.left = Departure("born dead", event.date, event)
            self.roll.enter(draft)
            litter.append(draft)
        return litter

    def kept_lamb(self, tag: str, born: date) -> Draft | None:
        """The sheep note of a lamb born on that day, if it has one."""
        for draft in self.roll.index.get(key_of(tag), []):
            fits = draft.born is None or draft.born.earliest <= born <= draft.born.latest
            if draft.note is not None and draft.birth is None and draft.tag == tag and fits and draft.arrived is None:
                return draft
        return None

    def add_bought(self, event: Purchase) -> None:
        """The sheep that came with a purchase, each merged with its own note where it has one."""
        for line in event.lines:
            own = [
                draft
                for draft in self.roll.index.get(key_of(line.sheep), [])
                if draft.note and draft.birth is None and draft.tag == line.sheep
            ]
            if self.roll.buy_hired(line.sheep, event.date):
                continue
            back = next((draft for draft in own if gone_before(draft, event.date)), None)
            fresh = next((draft for draft in own if draft.arrived in (None, event.date) and draft is not back), None)
            if fresh is None:
                fresh = Draft(line.sex, line.born, line.sheep, line.name)
                fresh.tags = [line.sheep]
                self.roll.drafts.append(fresh)
                if back is not None:
                    fresh.name, fresh.sex, fresh.born = (
                        fresh.name or back.name,
                        fresh.sex or back.sex,
                        fresh.born or back.born,
                    )
            fresh.arrived = event.date or fresh.arrived
            fresh.sex, fresh.born, fresh.name = fresh.sex or line.sex, fresh.born or line.born, fresh.name or line.name
            if event.into and event.date:
                fresh.mobs.append(Membership(event.into, event.date, event.origin.path))
            self.roll.enter(fresh)

    def retag(self, event: Tagging) -> None:
        """New tags: the old one still names the sheep, the new one is what it is called."""
        for line in event.lines:
            draft = self.names.get((event.origin.path, line.sheep))
            if draft is None or not line.tag:
                continue
            own = (
                self.kept_lamb(line.tag, draft.born.exact)
                if draft.note is None and draft.born and draft.born.exact
                else None
            )
            if own is not None and own is not draft:
                self.absorb(draft, own)
            draft.tag = line.tag
            if line.tag not in draft.tags:
                draft.tags.append(line.tag)
            self.roll.enter(draft)

    def absorb(self, lamb: Draft, own: Draft) -> None:
        """A lamb and the sheep note it later got are one animal."""
        lamb.note, lamb.name, lamb.sex = own.note, lamb.name or own.name, lamb.sex or own.sex
        lamb.dam_name, lamb.sire_names, lamb.mobs = own.dam_name, own.sire_names, [*lamb.mobs, *own.mobs]
        self.merged[id(own)] = lamb
        self.absorbed.append(own)
        self.roll.drafts.remove(own)
        for known in self.roll.index.values():
            if own in known:
                known[known.index(own)] = lamb

    # Names

    def resolve(self, mention: Mention, event: Event) -> Draft | None:
        """The animal a mention means; otherwise an error is told."""
        found = self.roll.find(mention.text, event.date)
        if found.one is not None:
            self.names[(event.origin.path, mention.text)] = found.one
            if event.of_the_living and not found.one.present(event.date):
                self.not_there(mention, event, found.one)
                return None
            return found.one
        if came := [draft for draft in found.several if isinstance(event, Purchase) and draft.arrived == event.date]:
            self.names[(event.origin.path, mention.text)] = came[0]
            return came[0]
        if found.several:
            bearers = " or ".join(sorted(described(draft) for draft in found.several)[:4])
            cure = "write tag and birth year, as in `731/2026`"
            self.tell(
                TWO_SHEEP.at(mention.span, f"`{mention.text}` fits {len(found.several)} sheep: {bearers}", cure), event
            )
        else:
            self.unknown(mention, event)
        return None

    def unknown(self, mention: Mention, event: Event) -> None:
        """A name that nobody has."""
        day = f" on {shown(event.date)}" if event.date else ""
        cure = name_cure(mention, event, [draft for draft in self.roll.drafts if draft.present(event.date)])
        if later := self.coming.get(key_of(mention.text)):
            cure = f"it is in the book from {shown(later.day)} ({later.note}): correct the date or the sheep"
        self.tell(UNKNOWN_SHEEP.at(mention.span, f"no living sheep called `{mention.text[:40]}`{day}", cure), event)

    def not_there(self, mention: Mention, event: Event, draft: Draft) -> None:
        """An animal that was not yet there, or no more."""
        where: tuple[Span, ...] = ()
        if draft.left is not None and event.date and draft.left.date < event.date:
            gone = f"{described(draft)} {draft.left.how} on {shown(draft.left.date)}"
            where = (draft.left.note.origin.span(),)
        else:
            come = draft.arrived or (draft.born.earliest if draft.born else None)
            gone = f"{described(draft)} was not there before {shown(come)}"
        message = f"{gone}; this note is of {shown(event.date)}"
        self.tell(NOT_THERE.at(mention.span, message, "correct the date or the sheep", also=where), event)

    def tell(self, message: Diagnostic, event: Event) -> None:
        """Say something of a note, and what it means for doses where the note moves sheep."""
        of_ram = isinstance(event, Lambing) and message.span == event.origin.span("ram")
        meanwhile = next((text for kind, text in HELD_BY.items() if isinstance(event, kind) and not of_ram), "")
        self.told.append(message if message.meanwhile else replace(message, meanwhile=meanwhile))

    # Events

    def take(self, event: Event) -> None:
        """One event: whom it is about, and what it changes."""
        if isinstance(event, Purchase):
            self.add_bought(event)
        if isinstance(event, Hire) and event.tag:
            self.roll.hire(event)
        if isinstance(event, Treatment):
            return
        self.who[event.origin.path] = self.subjects(event)
        drafts, _ = self.who[event.origin.path]
        about = {mention.text for mention in event.mentions()}
        for mention in event.all_mentions():
            told = mention.text in about or mention.field == "except_" or isinstance(event, Lambing)
            if not told:
                self.resolve(mention, event)
        if isinstance(event, Lambing):
            self.fosters(event, self.add_litter(event, drafts[0] if drafts else None))
        elif isinstance(event, Foster):
            self.foster(event, drafts)
        elif isinstance(event, Sorting) and event.into and event.date:
            for draft in drafts:
                draft.mobs.append(Membership(event.into, event.date, event.origin.path))
        elif isinstance(event, Tagging):
            self.retag(event)
        elif isinstance(event, Death | Sale) and event.date:
            how = "died" if isinstance(event, Death) else "sold"
            for draft in drafts:
                draft.left = draft.left or Departure(how, event.date, event)

    def fosters(self, event: Lambing, litter: list[Draft]) -> None:
        """Foster mothers and a named ram in a lambing note."""
        for mention in event.all_mentions():
            if mention.field != "ewe":
                self.resolve(mention, event)
        for draft in litter:
            onto = draft.birth.line.fostered_to if draft.birth else None
            if onto and (ewe := self.names.get((event.origin.path, onto))):
                draft.nursings.append((ewe, event))

    def foster(self, event: Foster, lambs: list[Draft]) -> None:
        """A lamb given to another ewe, or to the bottle; one given to a ewe that was not found stays where it was."""
        ewe = self.names.get((event.origin.path, event.onto)) if event.onto else None
        for lamb in lambs if ewe or event.pet else ():
            lamb.nursings.append((ewe, event))

    def subjects(self, event: Event) -> tuple[list[Draft], tuple[Mention, ...]]:
        """Whom a note is about, and what in it was not found."""
        found: list[Draft] = []
        unresolved: list[Mention] = []
        mentions = list(event.mentions()) or self.from_name(event)
        for mention in [part for whole in mentions for part in self.parted(whole, event)]:
            drafts = self.expanded(mention, event)
            if drafts is None:
                unresolved.append(mention)
            found += drafts or []
        if event.mob:
            found += self.with_mob(event)
        spared = self.spared(event)
        found = [draft for draft in found if id(draft) not in spared]
        named = len(unique(found)) - (len(event.rams) if isinstance(event, Joining) else 0)
        fits = event.count in (None, named, grown_alone(event, found))
        if not fits and not unresolved and not mere_number(event, named):
            less = ", less those under `except`, " if spared else " "
            message = f"the note says {event.count} sheep; those named{less}come to {named}{of_them(event, found)}"
            self.tell(COUNT_DIFFERS.at(event.origin.span("count"), message, "correct the count or the names"), event)
        if isinstance(event, Death | Sale) and not mentions and not event.mob:
            message, cure = f"this {event.origin.kind} note names no sheep", "add `sheep: …` or `mob: …`"
            self.tell(NOBODY.at(event.origin.span(), message, cure), event)
        elif spared and not found:
            message, cure = "`except` takes away every sheep of this note", "correct `except`, or the sheep"
            self.tell(NOBODY.at(event.origin.span("except_"), message, cure), event)
        return unique(found), tuple(unresolved)

    def from_name(self, event: Event) -> list[Mention]:
        """The sheep that only the file's name gives."""
        named = not event.mob and event.subject and event.whom == "sheep"
        if named and event.subject and self.roll.find(event.subject, event.date).one:
            return [Mention(event.subject, event.origin.span("subject"), "sheep")]
        return []

    def parted(self, mention: Mention, event: Event) -> list[Mention]:
        """A mention taken apart at `;` `&` `+` `/` and `and`, if it is no name itself and every part is known. A line
        tells of one sheep, and what it says of two is nobody's.
        """
        if mention.field == "lines" or self.roll.candidates(mention.text, event.date):
            return [mention]
        joints = [match.span() for match in NAME_JOINT.finditer(mention.text)]
        starts, ends = [0, *(end for _, end in joints)], [*(start for start, _ in joints), len(mention.text)]
        parts = [
            Mention(mention.text[start:end], mention.span.shifted(start, end - start), mention.field)
            for start, end in zip(starts, ends, strict=True)
        ]
        return parts if all(self.roll.candidates(part.text, event.date) for part in parts) else [mention]

    def expanded(self, mention: Mention, event: Event) -> list[Draft] | None:
        """The animals of one mention, a range opened; None when it could not be resolved whole."""
        match = TAG_ROW.fullmatch(mention.text)
        if match is None or self.roll.candidates(mention.text, event.date):
            one = self.resolve(mention, event)
            return None if one is None else [one]
        first, last = int(match[2]), int(match[3])
        if event.count is None:
            cure = "add `count: …` with the number of sheep meant"
            self.tell(RANGE_UNCOUNTED.at(mention.span, f"`{mention.text}` is a range", cure), event)
            return None
        if not first <= last <= first + LONGEST_RANGE:
            message = f"`{mention.text}` is no range of tags"
            self.tell(UNKNOWN_SHEEP.at(mention.span, message, "write the lower tag first"), event)
            return None
        tags = [f"{match[1]}{number:0{len(match[2])}}" for number in range(first, last + 1)]
        drafts = [
            found.one
            for tag in tags
            if (found := self.roll.find(tag, event.date)).one is not None and found.one.present(event.date)
        ]
        for draft in drafts:
            if draft is not None and draft.tag:
                self.names[(event.origin.path, draft.tag)] = draft
        return [draft for draft in drafts if draft is not None]

    def spared(self, event: Event) -> frozenset[int]:
        """Those under `except`, by tag, name, range, mob or class; what a line of the note itself says of one stays."""
        parts = [part for one in listed(event, "except_") for part in self.parted(one, event)]
        out = [draft for part in parts for draft in self.mob_or(part, event)]
        by_line = {mention.text for mention in event.mentions() if mention.field == "lines"}
        kept = {id(draft) for text in by_line if (draft := self.names.get((event.origin.path, text)))}
        return frozenset(map(id, out)) - kept

    def mob_or(self, mention: Mention, event: Event) -> list[Draft]:
        """Who is meant by a word under `except`: a sheep or a range of tags, else a mob or a class."""
        if not self.roll.candidates(mention.text, event.date):
            word = mention.text.lower().removeprefix("the ")
            if members := self.roll.mob_members(word, event.date) or self.roll.told_apart(word, event.date):
                return members
        return self.expanded(mention, event) or []

    def with_mob(self, event: Event) -> list[Draft]:
        """A mob as it stood that day."""
        assert event.mob is not None
        members = self.roll.mob_members(event.mob, event.date)
        if not members and not isinstance(event, CHANGING):
            members = self.roll.told_apart(event.mob, event.date)
        if not members:
            mobs = {item.mob for draft in self.roll.drafts for item in draft.mobs} | set(CLASS_WORDS) | set(LAMB_WORDS)
            cure = mob_cure(event.mob, mobs)
            cure = "it was empty on that day: correct the day or the mob" if event.mob in mobs else cure
            message = f"no sheep were in a mob called `{event.mob[:40]}` that day"
            self.tell(UNKNOWN_MOB.at(event.origin.span("mob"), message, cure), event)
        return members

    def parents(self) -> None:
        """Dams and sires as typed in sheep notes and lambing notes."""
        for draft in self.roll.drafts:
            day = draft.born.latest if draft.born else None
            if draft.dam is None and draft.dam_name:
                draft.dam = self.parent(draft, draft.dam_name, "dam", day)
            for name in draft.sire_names:
                sire = self.parent(draft, name, "sire", day)
                if sire is not None:
                    draft.sires.append(sire)
            typed = draft.birth.note.sire if draft.birth else None
            if (
                typed
                and not draft.sires
                and draft.birth
                and (sire := self.names.get((draft.birth.note.origin.path, typed)))
            ):
                draft.sires, draft.sire_names = [sire], (typed,)

    def parent(self, draft: Draft, name: str, role: str, day: date | None) -> Draft | None:
        """A parent named in a sheep note: in the book, or from outside (kept as a name)."""
        fits = [
            item
            for item in self.roll.candidates(name, day)
            if item is not draft and item.sex in (None, EWE if role == "dam" else RAM)
        ]
        alive = [item for item in fits if day is None or item.born is None or item.born.earliest <= day]
        if len(alive) == 1:
            return alive[0]
        if not fits and draft.note is not None:
            words = [word for item in self.roll.drafts for word in item.words if item is not draft]
            guesses = near(name, [word for word in words if key_of(word) != key_of(name)])
            if guesses:
                message = f"no sheep in the book is called `{name[:40]}`"
                self.told.append(
                    PARENT_MISSPELT.at(
                        draft.note.origin.span(role),
                        message,
                        f"did you mean `{guesses[0]}`?",
                        "it is kept as a name only",
                    )
                )
        return None

    # The result

    def flock(self, events: tuple[Event, ...], struck: dict[str, str]) -> Flock:
        """Ids given, everything frozen."""
        give_ids(self.roll.drafts)
        self.tags_worn_twice()
        for own in self.absorbed:
            own.id = self.merged[id(own)].id
        animals = {draft.id: frozen(draft) for draft in sorted(self.roll.drafts, key=lambda item: item.id)}
        place = {id(draft): draft.id for draft in (*self.roll.drafts, *self.absorbed)}
        subjects = {
            path: Subjects(tuple(place[id(draft)] for draft in drafts), unresolved)
            for path, (drafts, unresolved) in self.who.items()
        }
        medicines: dict[str, list[Medicine]] = {}
        for medicine in self.collection.of(Medicine):
            medicines.setdefault(key_of(medicine.name or ""), []).append(medicine)
        return Flock(
            self.collection, animals, events, struck, subjects,
            {where: draft.id for where, draft in self.names.items()},
            {name: tuple(items) for name, items in medicines.items()},
        )  # fmt: skip

    def tags_worn_twice(self) -> None:
        """Two living animals with one tag."""
        by_tag: dict[str, list[Draft]] = {}
        for draft in self.roll.drafts:
            if draft.tag:
                by_tag.setdefault(draft.tag, []).append(draft)
        for tag, drafts in sorted(by_tag.items()):
            later = sorted(
                (item for item in drafts if item.note or item.birth),
                key=lambda item: item.born.earliest if item.born else date.min,
            )
            for one, other in pairwise(later):
                start = other.arrived or (other.born.latest if other.born else None)
                if start is None or one.present(start):
                    here, there = (origin_of(other), origin_of(one))
                    self.told.append(
                        TAG_TWICE.at(
                            here,
                            f"tag `{tag}` is already worn by {described(one)}",
                            TWICE_ON_ONE if here.path == there.path else "correct one of the tags",
                            "notes that name this tag are not used",
                            (there,),
                        )
                    )


__all__ = ["RULES", "Linker", "Record", "link"]
