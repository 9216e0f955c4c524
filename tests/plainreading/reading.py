"""Who is clear, held or not known at a moment: every treatment against every animal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tests.plainreading.flock import ASKED_AT_FOOT, Animal, Flock, gather, ident
from tests.plainreading.paper import Note, hole, read_note
from tests.plainreading.until import NEVER, NOT_AT_ALL, Release, ends, last_dose
from tests.plainreading.whom import Whom, concerned, members, whole_words, window, without

USES = ("meat", "milk")


@dataclass(frozen=True)
class State:
    """`clear`, `held` with a time, or `unknown`."""

    state: str
    until: str | None = None


@dataclass(frozen=True)
class Standing:
    """One animal: its meat, its milk, and the held ewe that it sucks."""

    meat: State
    milk: State
    sucks: str = ""


@dataclass(frozen=True)
class Hold:
    """What one treatment means for one animal and one use."""

    animal: Animal
    use: str
    release: Release
    sure: bool


def standings(files: Mapping[str, str], on: datetime) -> dict[str, Standing]:
    """Every living animal of a folder at a moment."""
    notes = [read_note(path, text, on.date()) for path, text in sorted(files.items()) if path.endswith(".md")]
    flock, zone = gather(notes), zone_of(files)
    holds = [hold for note in notes if note.kind == "treatment" for hold in held_by(flock, note, zone)]
    living = [animal for animal in flock.animals if living_on(animal, on)]
    alone = {id(animal): {use: state(holds, animal, use, on) for use in USES} for animal in living}
    return {
        ident(flock, animal): Standing(**alone[id(animal)], sucks=sucking(flock, animal, alone, on))
        for animal in living
    }


def zone_of(files: Mapping[str, str]) -> ZoneInfo | None:
    """The flock's own time, if it says so."""
    pairs = (line.partition(": ") for line in files.get("flock.yaml", "").splitlines())
    name = {key: value for key, _, value in pairs}.get("timezone")
    return ZoneInfo(name) if name else None


def living_on(animal: Animal, on: datetime) -> bool:
    """Whether it is there now."""
    return max(animal.born, animal.came or animal.born) <= on.date() and (
        animal.left is None or animal.left > on.date()
    )


def held_by(flock: Flock, note: Note, zone: ZoneInfo | None) -> list[Hold]:
    """All holds of one treatment."""
    corrected_by = corrections_of(flock, note)
    if corrected_by:
        return [hold for other in corrected_by for hold in left_over(flock, note, other, zone)]
    whom = concerned(flock, note)
    holds = []
    for use in USES:
        release = end_of(flock, note, use, zone)
        holds += [Hold(animal, use, release, sure=True) for animal in whom.dosed]
        unsure = [*without(whom.perhaps, whom.dosed), *whom.anybody]
        holds += [Hold(animal, use, release, sure=False) for animal in unsure]
    return holds


def end_of(flock: Flock, note: Note, use: str, zone: ZoneInfo | None) -> Release:
    """When a treatment ends for one use."""
    called = note.head.get("medicine", "").lower()
    bottles = [other for other in flock.notes if other.kind == "medicine" and other.head["name"].lower() == called]
    return Release(NEVER) if hole(note) else ends(note, bottles, use, zone)


def corrections_of(flock: Flock, note: Note) -> list[Note]:
    """V10: the notes that correct this one: each leads to exactly one note, and none has a fault of its own."""
    return [
        other for other in flock.notes
        if other.kind == "treatment" and other.head.get("corrects") == note.stem and not hole(other)
        and len([each for each in flock.notes if each.stem == note.stem]) == 1
    ]  # fmt: skip


def left_over(flock: Flock, note: Note, other: Note, zone: ZoneInfo | None) -> list[Hold]:
    """V10: an animal, dosed or perhaps dosed, or a later day, that the correction lacks stays held until `not dosed`
    names it; being a doubt about whom, it ends when the old dose would end, and the new one, which might be hers.
    """
    was, now = concerned(flock, note), concerned(flock, other)
    later = last_dose(note).day > last_dose(other).day
    spared = freed(flock, other, note)
    answered = [group for group in was.one_of if any(animal in now.dosed for animal in (*group, *was.dosed))]
    perhaps = [animal for animal in was.perhaps if all(animal not in group for group in answered)]
    longest = {use: max(end_of(flock, each, use, zone) for each in (note, other)) for use in USES}
    return [
        Hold(animal, use, longest[use], sure=False)
        for animal in (*was.dosed, *perhaps) for use in USES
        if animal not in spared and (later or animal not in (*now.dosed, *now.perhaps))
    ]  # fmt: skip


def freed(flock: Flock, other: Note, old: Note) -> list[Animal]:
    """V10: whom `not dosed` names, exactly: one sheep, or everybody of a mob or class on the days of the old note."""
    first, last = window(old)
    found: list[Animal] = []
    for word in whole_words(flock, other.head.get("not dosed", "")):
        named = [*flock.bearers(word), *flock.lambs(word)]
        named = [animal for animal in named if animal.there(first, last)] or named
        found += named if len(named) == 1 or "'s " in word else []
        group = members(flock, word, first, last, []) if word != "all" else Whom()
        found += [*group.dosed, *group.perhaps]
    return found


def state(holds: list[Hold], animal: Animal, use: str, on: datetime) -> State:
    """W4: the latest of all; not known if anything about it is not known."""
    mine = [hold for hold in holds if hold.animal is animal and hold.use == use and binding(hold, on)]
    if not mine or (use == "milk" and not milked(animal, on)):
        return State("clear")
    if any(not hold.sure or hold.release.moment == NEVER for hold in mine):
        return State("unknown")
    return State("held", max((hold.release for hold in mine), key=lambda release: release.moment).text)


def binding(hold: Hold, on: datetime) -> bool:
    """W8: the milking at the very end is thrown away too; meat is free at the minute."""
    if hold.release.moment == NOT_AT_ALL:
        return False
    return on < hold.release.moment or (hold.use == "milk" and on == hold.release.moment)


def milked(animal: Animal, on: datetime) -> bool:
    """Milk is asked of females that could be milked: the grown ones."""
    return animal.sex == "ewe" and on.date() - animal.born >= timedelta(days=365)


def sucking(flock: Flock, animal: Animal, alone: dict[int, dict[str, State]], on: datetime) -> str:
    """W12: the ewe that it sucks and that is not clear: one that took it, or its own dam, whom it may still find. Asked
    about to 180 days, where nothing weans it.
    """
    for ewe in reversed(animal.at_foot_of(on.date(), ASKED_AT_FOOT)):
        if any(state.state != "clear" for state in alone.get(id(ewe), {}).values()):
            return ident(flock, ewe)
    return ""


__all__ = ["Standing", "State", "standings"]
