"""What was seen at scanning and lost by abortion, and the season to which it belongs."""

from __future__ import annotations

from datetime import date, timedelta

from compiler.book import Moment
from flockbook.derive.breeding.mating import Matings
from flockbook.derive.breeding.pregnancies import ewes_scanned
from flockbook.derive.breeding.rounds import tells_of
from flockbook.flock import Flock, happened
from flockbook.records.pregnancy import Abortion, Scan

# A scan of a ewe with no joining written belongs to the lambing that many days on (about half a pregnancy).
SCAN_TO_LAMBING = 75
LONGEST_SCAN = 180  # days from ram in within which a scan belongs to that joining (our own choice)


def scans_by_season(flock: Flock, found: Matings, today: Moment) -> dict[int, dict[str, int | None]]:
    """Season → ewe → lambs at her last scan (0 empty, None in lamb but not counted)."""
    seen: dict[int, dict[str, int | None]] = {}
    for event in flock.of(Scan):
        if event.date is None or not happened(event, today):
            continue
        for ewe, line in ewes_scanned(flock, event):
            season = season_of_scan(found, ewe, event.date)
            if tells_of(found, season, event.date):
                seen.setdefault(season, {})[ewe] = line.lambs
    return seen


def season_of_scan(found: Matings, ewe: str, day: date) -> int:
    """The season a scan belongs to: that of the last joining before it."""
    fitting = [
        mating
        for year in (day.year, day.year + 1)
        if (ewe, year) in found.by_ewe
        for mating in found.turns_of(ewe, year)
        if 0 <= (day - mating.first_in).days <= LONGEST_SCAN
    ]
    return fitting[-1].season if fitting else (day + timedelta(days=SCAN_TO_LAMBING)).year


def abortions(flock: Flock, found: Matings, year: int, today: Moment) -> dict[str, int]:
    """Ewe → lambs lost by abortion in a season, 1 where the note does not say how many."""
    lost: dict[str, int] = {}
    for event in flock.events:
        if isinstance(event, Abortion) and event.date and happened(event, today):
            ewes = [ewe for ewe in flock.who(event) if season_of_scan(found, ewe, event.date) == year]
            lost |= dict.fromkeys(ewes, event.lambs or 1) if tells_of(found, year, event.date) else {}
    return lost
