"""What a pregnancy scan adds to the dates of a joining: who is empty, who is in lamb, and from when.

The age of the lambs that the person scanning gives is uncertain by ± 2 days at 40–45 days and ± 4 days at 80 (95 %
limits), so it multiplies the joining's chances by a normal curve of that width rather than replacing them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import exp
from statistics import NormalDist

from compiler.shape import Value, field, replace
from flockbook.derive.breeding.conception import LOOK, NEGLIGIBLE, Assumed, DateBasis, Posterior
from flockbook.derive.breeding.gestation import Gestation, shift

# 95 % limits from head length: ± 2 d at day 40, ± 4 d at day 80, Kelly & Newnham 1989, Aust. J. Agric. Res. 40:1293.
# Held at ± 2 d up to day 45, linear from there; after day 80 the same line goes on (ours).
AGE_FINE, AGE_COARSE = (45, 2.0), (80, 4.0)
LIMIT_SDS = NormalDist().inv_cdf(0.975)
# Further from the scanned age than twice its limits counts as disagreement. Ours.
REACH_LIMITS = 2
# Scans across the belly were 99.2 % right on lambs from day 29: Vet. Quarterly 1985, 724 ewes scanned at days 29–89.
EMPTY_SURE = 29
# Heartbeat from day 18: transrectal study in Theriogenology (abstract).
SEEN_FROM = 18


class EweScan(Value):
    """One ewe's scan: `lambs` 0 is empty, None in lamb but not counted; `fetal_days` the lambs' age where given.
    `gestation` is how long she carries; `sure`: her keeper stands by the age, whatever the joining says.
    """

    day: date
    lambs: int | None = None
    fetal_days: int | None = None
    gestation: Gestation = field(default_factory=Gestation)
    sure: bool = False

    @property
    def age(self) -> int | None:
        """The lambs' age in days; None where none was given, or one that lambs in the womb cannot have: younger than
        the first heartbeat, or older than the longest that one ewe may carry (our own choice).
        """
        return self.fetal_days if self.fetal_days in range(SEEN_FROM, self.gestation.extremes[1] + 1) else None


def age_limit(fetal_days: float) -> float:
    """95 % limits of a scanned age, in days either side."""
    (from_day, fine), (to_day, coarse) = AGE_FINE, AGE_COARSE
    return fine + max(0, fetal_days - from_day) * (coarse - fine) / (to_day - from_day)


def narrow_by_scan(posterior: Posterior, scan: EweScan) -> Posterior:
    """The posterior after one scan. Pass the joining's posterior, not one narrowed before, when a ewe is scanned again.

    Empty: barren, save for a service within 29 days before the scan, which no scan can see. In lamb: not barren; where
    an age was given its curve multiplies the days. An age that no day of the joining fits is left out, unless her
    keeper is sure of it: then, as where lambs cannot be seen yet, both stay in, half and half. A scan that is a year
    off is not used, nor an age that lambs in the womb cannot have. `doubts` tells of all these.
    """
    if scan.lambs == 0:
        return _found_empty(posterior, scan)
    found = _found_in_lamb(posterior, scan)
    return found if scan.age == scan.fetal_days else replace(found, doubts=(*found.doubts, Assumed.SCAN_AGE))


def scan_alone(scan: EweScan) -> Posterior:
    """Dates from a scan that saw lambs, with no joining to go with it (a ewe bought in lamb).

    Without an age she may have conceived on any day from her shortest pregnancy to 18 days before the scan, each as
    likely (our own choice).
    """
    if scan.age is None:
        ages = range(scan.gestation.shortest, SEEN_FROM - 1, -1)
    else:
        reach = int(REACH_LIMITS * age_limit(scan.age))
        ages = range(scan.age + reach, scan.age - reach - 1, -1)
    start = shift(scan.day, -ages[0])
    return Posterior(start, _share_out([_age_weight(scan, age) for age in ages]), 0.0, DateBasis.SCAN)


def _found_empty(posterior: Posterior, scan: EweScan) -> Posterior:
    too_late = scan.day.toordinal() - EMPTY_SURE - posterior.start.toordinal()
    kept = [chance if place > too_late else 0.0 for place, chance in enumerate(posterior.chances)]
    if sum(kept) <= NEGLIGIBLE:
        return Posterior(posterior.start, (), 1.0, DateBasis.SCAN, doubts=posterior.doubts)
    *chances, barren = _share_out([*kept, posterior.barren])
    return _kept_service(replace(posterior, chances=tuple(chances), barren=barren), Assumed.SCAN_EARLY)


def _found_in_lamb(posterior: Posterior, scan: EweScan) -> Posterior:
    first = scan.day.toordinal() - posterior.start.toordinal()
    weights = [chance * _age_weight(scan, first - place) for place, chance in enumerate(posterior.chances)]
    if sum(weights) <= 0:
        return _unlike(posterior, scan)
    basis = posterior.basis if scan.age is None else DateBasis.SCAN
    return _kept_service(replace(posterior, chances=_share_out(weights), barren=0.0, basis=basis))


def _unlike(posterior: Posterior, scan: EweScan) -> Posterior:
    """The joining and a scan that fits no day of it."""
    kept = _both(posterior, scan_alone(scan))
    if scan.age is None or scan.sure or kept.doubts[-1] is Assumed.SCAN_FAR or sum(posterior.chances) <= NEGLIGIBLE:
        return kept
    ageless = _found_in_lamb(posterior, replace(scan, fetal_days=None))
    return replace(ageless, doubts=(*ageless.doubts, Assumed.SCAN_AGE_OUTSIDE))


def _age_weight(scan: EweScan, age: int) -> float:
    """How well a service `age` days before the scan agrees with it; 0 where it does not."""
    if scan.age is None:
        return 1.0 if age >= SEEN_FROM else 0.0
    limit, off = age_limit(scan.age), age - scan.age
    return exp(-((off / limit * LIMIT_SDS) ** 2) / 2) if abs(off) <= REACH_LIMITS * limit else 0.0


def _both(joining: Posterior, scanned: Posterior) -> Posterior:
    """Half of each, in lamb for certain; the scan alone if the joining has no day, the joining if it is a year off."""
    if sum(joining.chances) <= NEGLIGIBLE:
        return replace(scanned, doubts=(*joining.doubts, Assumed.SCAN_DISAGREES))
    start, other = sorted((joining.start.toordinal(), scanned.start.toordinal()))
    if other - start > LOOK:
        return replace(joining, doubts=(*joining.doubts, Assumed.SCAN_FAR))
    days = _share_out(joining.chances)
    places = range(start, max(p.start.toordinal() + len(p.chances) for p in (joining, scanned)))
    halves = replace(joining, chances=days, barren=0.0), scanned
    chances = tuple(sum(half.chance_on(date.fromordinal(place)) for half in halves) / 2 for place in places)
    both = Posterior(date.fromordinal(start), chances, 0.0, DateBasis.SCAN, joining.served, joining.doubts)
    return _kept_service(both, Assumed.SCAN_DISAGREES)


def _kept_service(posterior: Posterior, *doubts: Assumed) -> Posterior:
    """With the doubts added, and without its last service where the scan made that the lesser day."""
    served = posterior.served
    if served is not None and posterior.chance_on(served) * 2 < max(posterior.chances):
        served = None
    return replace(posterior, served=served, doubts=(*posterior.doubts, *doubts))


def _share_out(weights: Sequence[float]) -> tuple[float, ...]:
    """The weights scaled to sum to 1."""
    total = sum(weights)
    return tuple(weight / total for weight in weights)
