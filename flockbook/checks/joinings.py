"""Marks and scans that do not fit the joining they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from math import ceil

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.breeding.conception import Exposure
from flockbook.derive.breeding.gestation import scan_window
from flockbook.derive.breeding.joined import PUBERTY_DAYS, rams_of, too_young_ram
from flockbook.derive.breeding.mating import Mating
from flockbook.derive.breeding.pregnancies import carried
from flockbook.derive.breeding.scanning import REACH_LIMITS, age_limit
from flockbook.derive.family.family import close_pairs
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import days_old
from flockbook.figures import INBREEDING_LIMIT
from flockbook.flock import happened
from flockbook.measures import in_hundred
from flockbook.records.breeding import Joining
from flockbook.records.pregnancy import Scan
from flockbook.regional import local
from flockbook.seen import Seen

MARK_OUTSIDE = Rule(
    "B201",
    "mark-outside-joining",
    Grade.WARNING,
    "A ram marks nobody before he is in or after he is out; the day of the mark or of the joining is wrong.",
    "2025-11-14 joining Sexton.md with `- 10 Nov Bramble`",
)
SCAN_OUTSIDE = Rule(
    "B202",
    "scan-outside-window",
    Grade.WARNING,
    "Scanning tells most from 45 days after the rams left to 100 days after they came (Rural News NZ, advice of "
    "Massey University and "
    "Beef + Lamb New Zealand). Earlier it misses late ewes, later it miscounts.",
    "a scan three weeks after ram out",
)
SCAN_UNJOINED = Rule(
    "B203",
    "scan-without-joining",
    Grade.WARNING,
    "A ewe was scanned that no joining of that season names, so her lambs have no known sire and no due day but "
    "the scan's.",
    "a scan line on a ewe that was in no joining",
)
CLOSE_KIN = Rule(
    "B204",
    "joining-of-close-kin",
    Grade.WARNING,
    f"Lambs of a ram and a ewe who are near of kin are inbred. Over the flock's own limit (by default "
    f"{INBREEDING_LIMIT.value:.2%}, {INBREEDING_LIMIT.source}) they are told, so that the ewe or the ram can still be "
    "changed; the limit itself is allowed.",
    "a joining of Hector with his own daughter",
)
SCAN_AGE = Rule(
    "B205",
    "scan-age-outside-joining",
    Grade.ASK,
    "Lambs of the age that the scan gave were conceived when no ram was with her: the age, the ewe, or the days of the "
    "joining are wrong. The due dates leave such an age out; with `sure: yes` on the scan they keep both, half and "
    "half.",
    "rams out on 10 December, and on 5 February `C214 single, 20 days`",
)
RAM_TOO_YOUNG = Rule(
    "B206",
    "ram-too-young",
    Grade.ASK,
    f"No ram gets lambs before he is five months old, {PUBERTY_DAYS} days (New Mexico State University: puberty at "
    "five months at the earliest). Until then he is the sire of no litter of this joining: his birth, the ram, or the "
    "day is wrong.",
    "a ram born on 1 December, and a joining by him from 4 December to 10 January",
)
RULES = (MARK_OUTSIDE, SCAN_OUTSIDE, SCAN_UNJOINED, CLOSE_KIN, SCAN_AGE, RAM_TOO_YOUNG)
NAMED = 5  # pairs named in one message


def marks(seen: Seen) -> Iterator[Diagnostic]:
    """Marks before ram in or after ram out."""
    for event in seen.linked.of(Joining):
        if event.date is None:
            continue
        for line in event.lines:
            if line.ewes and line.date < event.date:
                text = f"marks on {day_words(line.date)}, the ram went in on {day_words(event.date)}"
                yield MARK_OUTSIDE.at(line.span, text, local("correct the day of the marks or of the joining"))
            elif line.ewes and event.out and line.date > event.out + timedelta(days=1):
                text = f"marks on {day_words(line.date)}, the ram came out on {day_words(event.out)}"
                yield MARK_OUTSIDE.at(line.span, text, "correct the day of the marks, or `out`")


def scans(seen: Seen) -> Iterator[Diagnostic]:
    """Scans outside the window of the joining they belong to; each note is told once."""
    found = seen.facts.breeding.matings
    matings = found.every
    for event in seen.linked.of(Scan):
        if event.date is None or not happened(event, seen.today):
            continue
        ewes = set(seen.linked.who(event))
        day = event.date
        fitting = [
            item for item in matings
            if item.ewe in ewes and carried(item.first_in, day) and day < found.seen_until(item)
        ]  # fmt: skip
        yield from outside(event, [exposure for item in fitting for exposure in item.exposures])
        yield from () if event.sure else ages_scanned(seen, event, fitting)
        for line in event.lines:
            ewe = seen.linked.named(event, line.sheep)
            if ewe and line.lambs != 0 and matings and ewe not in {item.ewe for item in fitting}:
                yield SCAN_UNJOINED.at(
                    line.span,
                    f"{line.sheep} was in no {local('joining')} of this season",
                    local("write the joining, or correct the ewe"),
                )


def ages_scanned(seen: Seen, event: Scan, matings: Sequence[Mating]) -> Iterator[Diagnostic]:
    """Ages of lambs that none of the ewe's joinings explains, each within twice the published limits of such an age."""
    for line in event.lines:
        ewe = seen.linked.named(event, line.sheep)
        stays = [stay for item in matings if item.ewe == ewe for stay in item.exposures]
        if line.days is None or event.date is None or not stays:
            continue
        served = event.date - timedelta(days=line.days)
        reach = timedelta(days=ceil(REACH_LIMITS * age_limit(line.days)))
        if not any(stay.ram_in <= served + reach and served - reach <= (stay.ram_out or served) for stay in stays):
            there = " and ".join(ram_there(stay) for stay in stays)
            told = f"{line.days} days on {day_words(event.date)} would be a service of {day_words(served)}; {there}"
            cure = local("correct the days, the ewe or the joining; or add `sure: yes` to the note")
            yield SCAN_AGE.at(line.span, told, cure)


def ram_there(stay: Exposure) -> str:
    """When a ram was with her."""
    until = f" to {day_words(stay.ram_out)}" if stay.ram_out else " on"
    return f"a ram was with her from {day_words(stay.ram_in)}{until}"


def outside(event: Scan, exposures: list[Exposure]) -> Iterator[Diagnostic]:
    """One scanning day against the window of its joinings."""
    if not exposures or event.date is None:
        return
    first, last = min(item.ram_in for item in exposures), max(item.ram_out or item.ram_in for item in exposures)
    window = scan_window(first, last)
    where = event.origin.span("date")
    if window is None:
        yield SCAN_OUTSIDE.at(
            where,
            f"rams in from {day_words(first)} to {day_words(last)}: so long a {local('joining')} "
            "leaves no good day to scan",
            "scan twice, or ask your scanner",
        )
    elif not window.first <= event.date <= window.last:
        text = (
            f"scanned on {day_words(event.date)}; for rams in from {day_words(first)} to {day_words(last)} the window "
            f"is {day_words(window.first)} to {day_words(window.last)}"
        )
        yield SCAN_OUTSIDE.at(where, text, "ask your scanner what the result is worth")


def kin(seen: Seen) -> Iterator[Diagnostic]:
    """Joinings whose lambs are still to come, with rams and ewes too near of kin; each note is told once."""
    family, limit = seen.facts.family.kin, seen.settings.figure("inbreeding_limit")
    for item in seen.facts.breeding.joinings:
        pairs = close_pairs(family, item.rams, item.ewes, limit) if item.lambs.last >= seen.today.day else ()
        if pairs:
            called = {
                sheep: seen.linked.animals[sheep].called_in_full for pair in pairs for sheep in (pair.ram, pair.ewe)
            }
            named = [
                f"{called[one.ram]} with {called[one.ewe]} ({in_hundred(one.inbreeding, 1)}%)" for one in pairs[:NAMED]
            ]
            more = f" and {len(pairs) - NAMED} more" if len(pairs) > NAMED else ""
            told = (
                f"close kin: {', '.join(named)}{more}; lambs would be more inbred than {limit:.2%}, the flock's limit"
            )
            where = next(
                event.origin.span("rams") for event in seen.linked.of(Joining) if event.origin.path == item.note
            )
            yield CLOSE_KIN.at(where, told, "put the ewe to another ram, or leave it so: it is shown on the due list")


def young_rams(seen: Seen) -> Iterator[Diagnostic]:
    """Rams of a joining that come out of it before they can get lambs."""
    for event in seen.linked.of(Joining):
        last = event.out or event.date
        for ram in rams_of(seen.linked, event) if last else ():
            animal = seen.linked.animals[ram]
            if last and animal.born and too_young_ram(animal, last):
                days = (last - animal.born.earliest).days
                age = days_old(max(0, days))
                told = f"{animal.called_in_full} is {age} on {day_words(last)}, too young to get lambs"
                yield RAM_TOO_YOUNG.at(event.origin.span("rams"), told, "correct when he was born, the ram, or the day")


CHECKS = (
    Check("rams too young", young_rams),
    Check("joinings of close kin", kin),
    Check("marks outside the joining", marks),
    Check("scans outside their window", scans),
)
