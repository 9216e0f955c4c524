"""What scans and losses say of each ewe's pregnancy, up to the moment asked about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from compiler.book import Moment
from compiler.shape import Value, field, replace
from flockbook.derive.breeding.conception import NEGLIGIBLE, Posterior
from flockbook.derive.breeding.gestation import Gestation, Terms
from flockbook.derive.breeding.scanning import EweScan
from flockbook.derive.plain.because import Because, Reason
from flockbook.figures import LONGEST_GESTATION
from flockbook.flock import Flock, happened
from flockbook.records.pregnancy import Abortion
from flockbook.records.pregnancy import Scan as ScanNote
from flockbook.records.scan_line import ScanLine

# A scan or an abortion this long after ram in still belongs to that joining: ten weeks in and the longest pregnancy.
CARRIED_DAYS = 70 + round(LONGEST_GESTATION.value)


class ScannedAs(Reason):
    """What a scan saw: `lambs` None in lamb, not counted; `days_on` how far on they were, where that was given."""

    day: date
    lambs: int | None
    days_on: int | None


class LostLambs(Reason):
    """That a ewe lost her lambs before their time."""

    day: date


class Scanned(Value):
    """One ewe's scan and where it is written."""

    scan: EweScan
    because: Because


class Loss(Value):
    """A ewe lost her lambs on a day."""

    day: date
    because: Because


class Evidence(Value):
    """All scans and losses by ewe, each in order of time."""

    scans: Mapping[str, tuple[Scanned, ...]] = field(default_factory=dict)
    losses: Mapping[str, tuple[Loss, ...]] = field(default_factory=dict)

    def scans_of(self, ewe: str, first_in: date) -> tuple[Scanned, ...]:
        """The scans that can be of the pregnancy of a joining that began on `first_in`."""
        return tuple(item for item in self.scans.get(ewe, ()) if carried(first_in, item.scan.day))

    def before(self, ewe: str, until: date) -> Evidence:
        """What is said of one ewe before a day."""
        scans = tuple(item for item in self.scans.get(ewe, ()) if item.scan.day < until)
        return Evidence({ewe: scans}, {ewe: tuple(item for item in self.losses.get(ewe, ()) if item.day < until)})

    def loss_of(self, ewe: str, first_in: date) -> Loss | None:
        """The last loss that can be of that pregnancy."""
        fitting = [item for item in self.losses.get(ewe, ()) if carried(first_in, item.day)]
        return fitting[-1] if fitting else None


def evidence(flock: Flock, terms: Terms, today: Moment) -> Evidence:
    """Every scan and every loss that had happened."""
    scans: dict[str, list[Scanned]] = {}
    losses: dict[str, list[Loss]] = {}
    for event in flock.events:
        if event.date is None or not happened(event, today):
            continue
        if isinstance(event, ScanNote):
            for ewe, line in ewes_scanned(flock, event):
                scans.setdefault(ewe, []).append(scanned(event, line, terms.of(ewe)))
        elif isinstance(event, Abortion):
            place = event.origin.span("ewe").line
            why = Because(event.origin.path, place, "abortion", reason=LostLambs(event.date))
            for ewe in flock.who(event):
                losses.setdefault(ewe, []).append(Loss(event.date, why))
    return Evidence(
        {ewe: tuple(items) for ewe, items in scans.items()}, {ewe: tuple(items) for ewe, items in losses.items()}
    )


def ewes_scanned(flock: Flock, event: ScanNote) -> Iterator[tuple[str, ScanLine]]:
    """The ewes of a scanning day that are in the book, each with her line."""
    for line in event.lines:
        if ewe := flock.named(event, line.sheep):
            yield ewe, line


def scanned(event: ScanNote, line: ScanLine, gestation: Gestation) -> Scanned:
    """One line of a scanning day, of a ewe who carries so long."""
    day = event.date
    assert day is not None
    because = Because(event.origin.path, line.span.line, "scan", reason=ScannedAs(day, line.lambs, line.days))
    return Scanned(EweScan(day, line.lambs, line.days, gestation, bool(event.sure)), because)


def carried(first_in: date, day: date) -> bool:
    """Whether a scan or a loss on that day can be of a joining that began on `first_in`."""
    return first_in < day <= first_in + timedelta(days=CARRIED_DAYS)


def read_together(scans: Sequence[Scanned]) -> EweScan | None:
    """Several scans of one pregnancy as one: the last word on empty or in lamb; the last count; the last age given.

    What was seen before a scan that said empty no longer counts, nor does an empty scan that a later one overruled.
    """
    if not scans:
        return None
    last = scans[-1].scan
    if last.lambs == 0:
        return last
    empties = [place for place, item in enumerate(scans) if item.scan.lambs == 0]
    since = [item.scan for item in scans[empties[-1] + 1 if empties else 0 :]]
    lambs = next((scan.lambs for scan in reversed(since) if scan.lambs is not None), None)
    dated = next((scan for scan in reversed(since) if scan.age is not None), last)
    return replace(dated, lambs=lambs)


def after_loss(posterior: Posterior, day: date) -> Posterior:
    """The chances that are left once she has lost her lambs: only a service after that day, or none at all."""
    gone = day.toordinal() - posterior.start.toordinal()
    kept = [chance if place > gone else 0.0 for place, chance in enumerate(posterior.chances)]
    total = sum(kept) + posterior.barren
    if sum(kept) <= NEGLIGIBLE:
        return replace(posterior, chances=(), barren=1.0, served=None)
    served = posterior.served if posterior.served and posterior.served > day else None
    chances = tuple(chance / total for chance in kept)
    return replace(posterior, chances=chances, barren=posterior.barren / total, served=served)
