"""Which ewes ran with which rams, season by season, and which ram a litter can be from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.breeding.conception import Exposure, JoiningModel
from flockbook.derive.breeding.gestation import (
    CYCLE_EARLY,
    CYCLE_LATE,
    EXTREME_EARLY,
    EXTREME_LATE,
    Cycle,
    Gestation,
    Terms,
    moved_to_length,
)
from flockbook.derive.breeding.joined import JOIN_DAYS as JOIN_DAYS
from flockbook.derive.breeding.joined import SCAN_SEES, JoinedGroup, apart_enough, in_turns
from flockbook.derive.breeding.joined import came_out as came_out
from flockbook.derive.breeding.joined import ewes_of as ewes_of
from flockbook.derive.breeding.joined import rams_of as rams_of
from flockbook.derive.breeding.joined import taken_until as taken_until
from flockbook.derive.breeding.joined import told_out as told_out
from flockbook.derive.breeding.joined import too_young_ram as too_young_ram
from flockbook.derive.plain.because import Because, Reason
from flockbook.figures import folded_breed
from flockbook.flock import Animal, Flock, happened
from flockbook.records.breeding import Joining, Lambing
from flockbook.settings import Settings

# A lambing belongs to a joining's season when it falls between the individual extremes of pregnancy (138-159 d, Montana
# Farm Flock Sheep Production Handbook, second hand) after ram in and ram out, with room for an unrecorded straggler
# (eleven days, ours).
STRAGGLER = 11
# Ways of joining in which the day of the service is seen.
BY_HAND = ("hand", "AI")
# What the page of workings prints of the sire of a litter.
SIRES_RULE = (
    "A litter's possible sires are the rams that were with the ewe between the longest and the shortest pregnancy "
    "before the birth. A service seen, by hand or by insemination, is its day alone; it counts as far as the rarest "
    f"pregnancies go ({EXTREME_EARLY} days under the mean to {EXTREME_LATE} over it). One is certain, several are all "
    "named, none is said to be unexplained."
)
EweSeason = tuple[str, int]  # a ewe, and the year of the lambs that she was joined for


class Mating(Value):
    """One ewe's part in one season's joinings. `season` is the lambing year; `served` are the services that were seen,
    and `times` has them by joining.
    """

    ewe: str
    season: int
    joinings: tuple[Joining, ...]
    exposures: tuple[Exposure, ...]
    rams: tuple[str, ...]
    served: tuple[date, ...] = ()
    because: tuple[Because, ...] = ()
    gestation: Gestation = field(default_factory=Gestation)
    times: tuple[tuple[Joining, tuple[date, ...]], ...] = ()

    @property
    def first_in(self) -> date:
        """The day the first ram went in."""
        return min(exposure.ram_in for exposure in self.exposures)

    def explains(self, lambing: date) -> bool:
        """Whether a lambing on that day can come from this season's joinings."""
        fewest, most = self.gestation.extremes
        late = timedelta(days=most + STRAGGLER)
        last = max(exposure.ram_out or exposure.ram_in + late for exposure in self.exposures)
        return self.first_in + timedelta(days=fewest) <= lambing <= last + late


class Joined(Reason):
    """A ewe's time with the ram, and the days on which she was marked; or, where they were seen, the days on which she
    was served. Without a crayon (`watched` is False) no mark is missed. `taken`: where no end is written, until when
    the rams are taken to have been in; `told` where another note tells of it.
    """

    rams: tuple[str, ...]
    since: date
    out: date | None
    marks: tuple[date, ...]
    served: tuple[date, ...] = ()
    watched: bool = True
    taken: date | None = None
    told: bool = False


class Matings(Value):
    """Every mating by (ewe, season), and every litter's possible sires by path of the lambing note. `ahead` are matings
    that are planned: nobody is exposed by them yet. `turns` are the matings of ewes that are joined more than once for
    the lambs of one year, so far apart that a pregnancy lies between. `rounds` are the days on which the rounds of a
    year began, where it has more than one (see `rounds`); `within`: of that year only that round is in here.
    """

    by_ewe: Mapping[EweSeason, Mating] = field(default_factory=dict)
    season_of: Mapping[str, int] = field(default_factory=dict)
    sires_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unexplained: frozenset[str] = frozenset()
    terms: Terms = field(default_factory=Terms)
    model: JoiningModel = field(default_factory=JoiningModel)
    ahead: Mapping[EweSeason, Mating] = field(default_factory=dict)
    turns: Mapping[EweSeason, tuple[Mating, ...]] = field(default_factory=dict)
    rounds: Mapping[int, tuple[date, ...]] = field(default_factory=dict)
    within: tuple[int, date] | None = None

    @property
    def whole(self) -> Matings:
        """The same with the planned matings among the others, for what is reckoned ahead."""
        again = {
            key: (*self.turns_of(*key), mating)
            for key, mating in self.ahead.items()
            if key in self.by_ewe and apart_enough(self.turns_of(*key)[-1].first_in, mating.first_in, mating.gestation)
        }
        turns = {**self.turns, **again}
        return replace(self, by_ewe={**self.ahead, **self.by_ewe}, turns=turns) if self.ahead else self

    def turns_of(self, ewe: str, season: int) -> tuple[Mating, ...]:
        """A ewe's matings for the lambs of one year, in order."""
        return self.turns.get((ewe, season)) or (self.by_ewe[ewe, season],)

    @property
    def every(self) -> tuple[Mating, ...]:
        """Every mating, turn by turn."""
        return tuple(turn for key in self.by_ewe for turn in self.turns_of(*key))

    def seen_until(self, mating: Mating) -> date:
        """Until when a scan or a loss speaks of this mating, and not yet of the ewe's next turn."""
        nexts = [one.first_in for one in self.turns_of(mating.ewe, mating.season) if one.first_in > mating.first_in]
        return min(nexts) + timedelta(days=SCAN_SEES) if nexts else date.max

    def latest(self, season: int) -> tuple[Mating, ...]:
        """The matings of one season, by ewe; where ewes are joined again for it, those of the last time alone."""
        keys = [key for key in sorted(self.by_ewe) if key[1] == season]
        most = max((len(self.turns_of(*key)) for key in keys), default=0)
        return tuple(self.turns_of(*key)[-1] for key in keys if len(self.turns_of(*key)) == most)

    def of_season(self, season: int) -> tuple[Mating, ...]:
        """The matings of one season, by ewe."""
        return tuple(mating for (_, year), mating in sorted(self.by_ewe.items()) if year == season)


def flock_length(settings: Settings) -> Gestation:
    """The flock's own length of pregnancy."""
    shortest, longest = round(settings.figure("shortest_gestation")), round(settings.figure("longest_gestation"))
    return Gestation(settings.figure("gestation"), settings.figure("gestation_spread"), shortest, longest)


def terms_of(flock: Flock, settings: Settings) -> Terms:
    """How long each ewe carries: by the length typed for her breed (her note's, else the flock's), else the flock's."""
    lengths = settings.breed_lengths
    whole = flock_length(settings)
    if not lengths:
        return Terms(whole)
    moved = {breed: moved_to_length(mean, whole) for breed, mean in lengths.items()}
    usual = folded_breed(settings.file.breed or "")
    breeds = {animal.id: breed_of(animal) or usual for animal in flock.animals.values()}
    most = moved.get(usual, whole)
    own = {sheep: term for sheep, breed in breeds.items() if (term := moved.get(breed, whole)) != most}
    return Terms(most, own)


def breeds_here(flock: Flock, settings: Settings) -> dict[str, str]:
    """The breeds that notes name, and the flock's own: as each is looked up → as it was first written."""
    written = [animal.note.breed for animal in flock.animals.values() if animal.note and animal.note.breed]
    found: dict[str, str] = {}
    for breed in (*written, settings.file.breed or ""):
        if breed.strip():
            found.setdefault(folded_breed(breed), breed.strip())
    return found


def breed_of(animal: Animal) -> str:
    """The breed that an animal's note names, as it is looked up; "" without one."""
    return folded_breed((animal.note.breed if animal.note else None) or "")


def model_of(settings: Settings) -> JoiningModel:
    """The flock's own joining model."""
    mean = round(settings.figure("cycle"))
    cycle = Cycle(mean, mean - CYCLE_EARLY, mean + CYCLE_LATE)
    return JoiningModel(settings.figure("no_cycle"), settings.figure("conceive"), settings.figure("mark_seen"), cycle)


def matings(flock: Flock, settings: Settings, today: Moment) -> Matings:
    """All matings that had begun by the moment asked about, and the sires of all litters."""
    found = Matings(terms=terms_of(flock, settings), model=model_of(settings))
    joinings = [event for event in flock.of(Joining) if event.date and rams_of(flock, event)]
    by_ewe, turns = mated(flock, [event for event in joinings if happened(event, today)], found, today)
    ahead, _ = mated(flock, [event for event in joinings if is_planned(event, today)], found, today)
    litters = sired(flock, by_ewe, today)
    return Matings(by_ewe, litters.seasons, litters.sires, litters.unexplained, found.terms, found.model, ahead, turns)


def is_planned(event: Joining, today: Moment) -> bool:
    """Whether a joining is written ahead and confirmed: it becomes real when its day has come."""
    return bool(event.sure) and event.date is not None and event.date > today.day


def mated(
    flock: Flock, joinings: Iterable[Joining], found: Matings, today: Moment
) -> tuple[dict[EweSeason, Mating], dict[EweSeason, tuple[Mating, ...]]]:
    """Every ewe's part in these joinings, season by season; and turn by turn where a season has more than one."""
    joined: dict[EweSeason, list[JoinedGroup]] = {}
    for event in joinings:
        season = season_for(event, found.terms.flock, found.model.cycle)
        marks = marks_by_ewe(flock, event, today)
        group = JoinedGroup(event, rams_of(flock, event), marks, told_out(flock, event, today))
        for ewe in ewes_of(flock, event):
            joined.setdefault((ewe, season), []).append(group)

    def mating(ewe: str, season: int, groups: list[JoinedGroup]) -> Mating:
        return replace(one_mating(ewe, season, groups, today), gestation=found.terms.of(ewe))

    parted = {key: in_turns(groups, found.terms.of(key[0])) for key, groups in joined.items()}
    turns = {key: tuple(mating(*key, turn) for turn in each) for key, each in parted.items() if len(each) > 1}
    return {key: mating(*key, groups) for key, groups in joined.items()}, turns


def season_for(event: Joining, gestation: Gestation, cycle: Cycle) -> int:
    """The lambing year of a joining: that of the birth half a cycle after ram in, by the flock's length of pregnancy,
    so that one joining has one season.
    """
    assert event.date is not None
    return (event.date + timedelta(days=gestation.mean + cycle.mean / 2)).year


def one_mating(ewe: str, season: int, groups: list[JoinedGroup], today: Moment) -> Mating:
    """One ewe in one season."""
    exposures: list[Exposure] = []
    served: list[date] = []
    reasons = []
    for group in groups:
        event, marks = group.event, group.marks.get(ewe, ())
        seen = services(event, marks)
        served += seen
        exposures += [Exposure(day, day, (day,), True) for day in seen] or [with_the_ram(group, marks, today)]
        step = joining_step(group, marks, seen, today)
        reasons.append(Because(event.origin.path, event.origin.span("rams").line, "joining", reason=step))
    rams = tuple(dict.fromkeys(ram for group in groups for ram in group.rams))
    return Mating(
        ewe, season, tuple(group.event for group in groups), tuple(exposures), rams, tuple(sorted(served)),
        tuple(reasons), times=tuple((group.event, services(group.event, group.marks.get(ewe, ()))) for group in groups),
    )  # fmt: skip


def services(event: Joining, marks: tuple[date, ...]) -> tuple[date, ...]:
    """The days on which a ewe was seen served: those of her marks, else that of the note; none where she ran with the
    ram, or was served by hand on some day of several.
    """
    assert event.date is not None
    if event.method not in BY_HAND or (not marks and event.out and event.out > event.date):
        return ()
    return marks or (event.date,)


def with_the_ram(group: JoinedGroup, marks: tuple[date, ...], today: Moment) -> Exposure:
    """A ewe's time with the ram."""
    begins = group.event.date
    assert begins is not None
    out = group.event.out or group.told_out or taken_until(begins, today)
    return Exposure(begins, max(out, begins), marks, bool(group.marks))


def joining_step(group: JoinedGroup, marks: tuple[date, ...], seen: tuple[date, ...], today: Moment) -> Joined:
    """One joining of one ewe: rams, days, and the marks or the services seen."""
    event = group.event
    assert event.date is not None
    taken = None if event.out else group.told_out or taken_until(event.date, today)
    told = group.told_out is not None
    return Joined(event.rams, event.date, event.out, marks, seen, bool(group.marks), taken, told)


def marks_by_ewe(flock: Flock, event: Joining, today: Moment) -> dict[str, tuple[date, ...]]:
    """The days on which each ewe was seen marked, up to the day asked about."""
    found: dict[str, set[date]] = {}
    for line in event.lines:
        for name in line.ewes if line.date <= today.day else ():
            ewe = flock.named(event, name.text)
            if ewe:
                found.setdefault(ewe, set()).add(line.date)
    return {ewe: tuple(sorted(days)) for ewe, days in found.items()}


class Litters(Value):
    """Season and possible sires of every litter by path of its note, and the litters that no joining explains."""

    seasons: Mapping[str, int]
    sires: Mapping[str, tuple[str, ...]]
    unexplained: frozenset[str]


def sired(flock: Flock, by_ewe: Mapping[EweSeason, Mating], today: Moment) -> Litters:
    """Which joining explains each litter."""
    seasons: dict[str, int] = {}
    sires: dict[str, tuple[str, ...]] = {}
    of_ewe: dict[str, list[Mating]] = {}
    for mating in by_ewe.values():
        of_ewe.setdefault(mating.ewe, []).append(mating)
    for event in flock.events:
        if not isinstance(event, Lambing) or event.date is None or not happened(event, today):
            continue
        dam = next(iter(flock.who(event)), None)
        fitting = [mating for mating in of_ewe.get(dam or "", []) if mating.explains(event.date)]
        seasons[event.origin.path] = fitting[0].season if fitting else event.date.year
        sires[event.origin.path] = possible_sires(flock, event, fitting)
    return Litters(seasons, sires, frozenset(path for path, rams in sires.items() if not rams))


def possible_sires(flock: Flock, event: Lambing, fitting: Iterable[Mating]) -> tuple[str, ...]:
    """The ram that the note names, else every ram that was with the ewe between longest and shortest pregnancy before
    the birth, or was seen to serve her within the extremes of pregnancy; but for one too young for it.
    """
    assert event.date is not None
    named = flock.named(event, event.sire) if event.sire else None
    if named:
        return (named,)
    found: list[str] = []
    for mating in fitting:
        for joining, seen in mating.times:
            if may_have_got(joining, seen, mating.gestation, event.date):
                last = min(joining.out or event.date, mating.gestation.sire_window(event.date).last)
                found += [ram for ram in rams_of(flock, joining) if not too_young_ram(flock.animals[ram], last)]
    return tuple(dict.fromkeys(found))


def may_have_got(joining: Joining, seen: tuple[date, ...], gestation: Gestation, born: date) -> bool:
    """Whether the rams of a joining can have got a litter: a service seen lies within the extremes of pregnancy before
    the birth; without one, they were with the ewe within the usual window.
    """
    if seen:
        return any(day in gestation.sire_extremes(born) for day in seen)
    window = gestation.sire_window(born)
    return (joining.date or born) <= window.last and (joining.out or born) >= window.first


def sires(found: Matings, animal: Animal) -> tuple[str, ...]:
    """The rams that can be an animal's sire: its own note first, else its litter's."""
    if animal.declared_sires:
        return animal.declared_sires
    if animal.sire_names:
        return ()
    return found.sires_of.get(animal.birth.note.origin.path, ()) if animal.birth else ()
