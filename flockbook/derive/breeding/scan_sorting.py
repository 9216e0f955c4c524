"""The last scanning day's ewes as they are sorted: by how many lambs they carry, and by the paint they got."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta

from compiler.book import Moment
from compiler.shape import Value, field
from flockbook.derive.breeding.mating import Matings
from flockbook.flock import Flock, happened, there
from flockbook.records.breeding import Lambing
from flockbook.records.pregnancy import Scan

ONE_SCANNING = timedelta(days=60)  # scans this near the last one sort the same ewes (our own choice)


class ScannedEwe(Value):
    """One ewe at her last scan: lambs seen (None: in lamb, not counted), days in lamb, her paint mark or ""."""

    ewe: str
    lambs: int | None
    days: int | None
    mark: str
    note: str
    line: int


class ScanSorting(Value):
    """The ewes still here of the last scanning, and those put to the ram for it that no scan names. `legend`: by mark
    the litters that bear it; one mark on several litters sorts nobody.
    """

    ewes: tuple[ScannedEwe, ...] = ()
    unscanned: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    legend: Mapping[str, tuple[int | None, ...]] = field(default_factory=dict)

    @property
    def mixed(self) -> tuple[str, ...]:
        """The marks that stand for more than one litter."""
        return tuple(mark for mark, litters in self.legend.items() if len(litters) > 1)


def scan_sorting(flock: Flock, found: Matings, today: Moment) -> ScanSorting:
    """The ewes of the last scanning; her latest line counts for each."""
    scans = [event for event in flock.of(Scan) if event.date and happened(event, today)]
    last = max((event.date for event in scans if event.date), default=None)
    if last is None:
        return ScanSorting()
    scans = [event for event in scans if event.date and event.date >= last - ONE_SCANNING]
    rows = {item.ewe: item for item in scanned_ewes(flock, scans)}
    lambed = {ewe for event in flock.of(Lambing) if event.date and event.date > last and happened(event, today)
              for ewe in flock.who(event)}  # fmt: skip
    here = [item for _, item in sorted(rows.items()) if there(flock.animals[item.ewe], today)]
    begun = (year for (ewe, year), one in found.by_ewe.items() if ewe in rows and one.first_in <= last)
    season = max(begun, default=None)
    joined = {mating.ewe for mating in found.of_season(season)} if season else set()
    unseen = sorted(ewe for ewe in joined - rows.keys() - lambed if there(flock.animals[ewe], today))
    return ScanSorting(tuple(here), tuple(unseen), tuple(event.origin.path for event in scans), legend_of(here))


def scanned_ewes(flock: Flock, scans: Iterable[Scan]) -> Iterator[ScannedEwe]:
    """Every line of every scan, in order of time."""
    for event in scans:
        for line in event.lines:
            if ewe := flock.named(event, line.sheep):
                yield ScannedEwe(ewe, line.lambs, line.days, line.mark, event.origin.path, line.span.line)


def legend_of(ewes: Iterable[ScannedEwe]) -> dict[str, tuple[int | None, ...]]:
    """The litters that each mark stands for, in order of the mark's first ewe; those without a mark under ""."""
    found: dict[str, tuple[int | None, ...]] = {}
    for item in ewes:
        litters = found.get(item.mark, ())
        found[item.mark] = litters if item.lambs in litters else (*litters, item.lambs)
    return {mark: litters for mark, litters in found.items() if mark}
