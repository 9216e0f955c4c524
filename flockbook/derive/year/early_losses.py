"""Lambs lost before their time: until when the ewe is kept apart, how often it happens here, and who stood with her."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from compiler.book import Moment
from compiler.shape import Value
from flockbook.derive.breeding.due import DueList, conceived
from flockbook.derive.breeding.lambing_odds import due_summary, lambing_distribution
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import Evidence, read_together
from flockbook.derive.land.whereabouts import Stint
from flockbook.derive.market.apart import APART_AFTER_LOSS
from flockbook.derive.plain.intervals import Share, wilson
from flockbook.derive.season.season_scans import season_of_scan
from flockbook.flock import Flock, happened, there
from flockbook.records.pregnancy import Abortion
from flockbook.records.sheep import EWE

# Of a hundred ewes in lamb: more than two is a reason to look further (Severn Edge Vets); 1.5 to 2 is called usual and
# more than five a storm elsewhere (Australian advice, a weak source).
USUAL_LOSS, LOSS_STORM = 0.02, 0.05
# What the page of workings prints of it.
EARLY_LOSS_RULE = (
    "Ewes that lost lambs before their time, of the season's ewes put to a ram and not scanned empty. More than "
    f"{USUAL_LOSS * 100:.0f} in a hundred is more than usual (Severn Edge Vets); over {LOSS_STORM * 100:.0f} is called "
    "a storm. "
    f"The ewe stays red until the day of her note, else for {APART_AFTER_LOSS.days} days. With her stood whoever was "
    "on the same ground on that day or since; where no note says which ground, whoever was in her mob."
)


class EarlyLoss(Value):
    """One ewe's abortion. `before_due` is None where nothing tells; `ground` "" where no note says where she stood, and
    then `carrying` (ewes that may be in lamb) and `others` are those of her mob. `sent` is what went to the laboratory.
    """

    ewe: str
    day: date
    event: Abortion
    apart_until: date
    before_due: int | None
    season: int
    rate: Share
    ground: str
    carrying: tuple[str, ...]
    others: tuple[str, ...]
    fresh: bool

    @property
    def note(self) -> str:
        """The path of its note."""
        return self.event.origin.path

    @property
    def above_usual(self) -> bool:
        """Whether the flock's share is above what is called usual."""
        return self.rate.value is not None and self.rate.value > USUAL_LOSS


class Pasture(Value):
    """What early losses are worked out from."""

    flock: Flock
    found: Matings
    seen: Evidence
    due: DueList
    stints: tuple[Stint, ...]
    today: Moment


def early_losses(here: Pasture) -> tuple[EarlyLoss, ...]:
    """Every abortion up to the moment asked about, the latest first."""
    events = [event for event in here.flock.of(Abortion) if event.date and happened(event, here.today)]
    return tuple(loss_of_one(here, event, ewe) for event in reversed(events) for ewe in here.flock.who(event))


def loss_of_one(here: Pasture, event: Abortion, ewe: str) -> EarlyLoss:
    """One ewe's."""
    day = event.date
    assert day is not None
    until = event.isolated_until or day + APART_AFTER_LOSS
    season = season_of_scan(here.found, ewe, day)
    ground, company = who_stood(here, ewe, day)
    due = {row.ewe for row in here.due.rows}
    return EarlyLoss(
        ewe, day, event, until, days_early(here, event, ewe, season), season, rate_of(here, season), ground,
        tuple(one for one in company if one in due), tuple(one for one in company if one not in due),
        here.today.day <= until,
    )  # fmt: skip


def days_early(here: Pasture, event: Abortion, ewe: str, season: int) -> int | None:
    """How many days before she was most likely to lamb: as written, else by her joining."""
    mating = here.found.by_ewe.get((ewe, season))
    if event.days is not None or mating is None or event.date is None:
        return event.days
    likely = due_summary(lambing_distribution(conceived(mating, here.found, here.today), mating.gestation)).likely
    return max((likely - event.date).days, 0) if likely else None


def rate_of(here: Pasture, season: int) -> Share:
    """How many of a season's ewes lost their lambs: of those put to a ram and not scanned empty, and those that did."""
    days = ((ewe, loss.day) for ewe, losses in here.seen.losses.items() for loss in losses)
    losers = {ewe for ewe, day in days if season_of_scan(here.found, ewe, day) == season}
    joined = {mating.ewe for mating in here.found.of_season(season) if not empty(here, mating.ewe, mating.first_in)}
    return wilson(len(losers), len(joined | losers))


def empty(here: Pasture, ewe: str, first_in: date) -> bool:
    """Whether the scans of a joining say that she holds nothing."""
    scan = read_together(here.seen.scans_of(ewe, first_in))
    return scan is not None and scan.lambs == 0


def who_stood(here: Pasture, ewe: str, day: date) -> tuple[str, tuple[str, ...]]:
    """The ground where she stood and those that stood there with her on that day or since; else those of her mob."""
    hers = [stint for stint in here.stints if stint.sheep == ewe and touches(stint, day, here.today.day)]
    if not hers:
        return "", tuple(still_here(here, in_her_mob(here.flock, ewe, day)))
    company = [other.sheep for stint in hers for other in here.stints if beside_her(stint, other, day)]
    place = next((stint.place for stint in hers if stint.entered <= day), hers[0].place)
    return place, tuple(still_here(here, (one for one in company if one != ewe)))


def touches(stint: Stint, first: date, last: date) -> bool:
    """Whether a stay touches the days from one to another."""
    return stint.entered <= last and (stint.left is None or stint.left >= first)


def beside_her(hers: Stint, other: Stint, day: date) -> bool:
    """Whether another stood on her ground, while she did, on a day or after it."""
    first, last = max(hers.entered, day), hers.left or date.max
    return hers.place == other.place and touches(other, first, last)


def in_her_mob(flock: Flock, ewe: str, day: date) -> Iterator[str]:
    """Those that belong to her mob on a day."""
    mob = flock.animals[ewe].mob_on(day)
    for animal in flock.animals.values() if mob else ():
        if animal.id != ewe and animal.mob_on(day) == mob and animal.present(day):
            yield animal.id


def still_here(here: Pasture, sheep: Iterable[str]) -> Iterator[str]:
    """Those that are here still, each once, the females first."""
    animals = here.flock.animals
    kept = [one for one in dict.fromkeys(sheep) if there(animals[one], here.today)]
    yield from sorted(kept, key=lambda one: (animals[one].sex != EWE, one))
