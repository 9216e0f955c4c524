"""What newborns and their dams are owed, and the limits around a birth, in words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from math import ceil, floor
from typing import Any

from flockbook.derive.lambing.after_birth import BirthPoint, StillOwed
from flockbook.derive.lambing.birth_lines import BirthLine, BirthLines, LineFrom
from flockbook.derive.lambing.labour_limits import HOUR, CountsFrom
from flockbook.derive.lambing.newborn import PUBLISHED_FOR, BirthWeight, LambState
from flockbook.derive.lambing.newborns import ByHand, WhyByHand
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import DAY
from flockbook.measures import HAIR, measures, measures_of
from flockbook.regional import local

GLUCOSE_CAUTION = "vet-taught technique; ask your vet"
COUNTS_FROM = {
    CountsFrom.WATERS_OR_STRAINING: "water bag, else first straining, with no progress",
    CountsFrom.HELPING: "start of helping, with no progress",
    CountsFrom.LAST_LAMB_OF_MORE: "birth of the last lamb, with another expected",
    CountsFrom.LAST_LAMB: "birth of the last lamb",
}
MEASURED = {
    LambState.SEVERE: "badly chilled when last measured, the card has the steps",
    LambState.MILD: "chilled when last measured, the card has the steps",
    LambState.FEVER: "feverish when last measured, ask your vet",
    LambState.NORMAL: "warm when last measured",
}
MEASURED_THEN = {LambState.SEVERE: "badly chilled", LambState.MILD: "chilled", LambState.FEVER: "feverish"}


def light_line(lines: BirthLines, units: str) -> str:
    """3.5 kg; in pounds the first hundredth that is not light, 7.72 lb."""
    figure = ceil(measures_of(units).in_weight(lines.light.kg) * 100 - HAIR) / 100
    return f"{figure:g} {measures_of(units).weight_unit}"


def heavy_line(lines: BirthLines, units: str) -> str:
    """5.5 kg; in pounds the last hundredth that is not heavy, 12.12 lb."""
    figure = floor(measures_of(units).in_weight(lines.heavy.kg) * 100 + HAIR) / 100
    return f"{figure:g} {measures_of(units).weight_unit}"


def birth_weight_words(kind: BirthWeight, lines: BirthLines, units: str) -> str:
    """under 3.5 kg; 3.5 to 5.5 kg; over 5.5 kg."""
    if kind is BirthWeight.LIGHT:
        return f"under {light_line(lines, units)}"
    heavy = heavy_line(lines, units)
    return f"over {heavy}" if kind is BirthWeight.HEAVY else f"{light_line(lines, units).split()[0]} to {heavy}"


def birth_lines_words(lines: BirthLines, units: str) -> str:
    """`Light is under 3.5 kg, heavy over 5.5 kg (Making More From Sheep, tool 10.9 …).`, each with whose line it is."""
    light, heavy = light_line(lines, units), heavy_line(lines, units)
    if (lines.light.whose, lines.light.lambs) == (lines.heavy.whose, lines.heavy.lambs):
        return f"Light is under {light}, heavy over {heavy} ({whose_line(lines.light)})."
    return f"Light is under {light} ({whose_line(lines.light)}), heavy over {heavy} ({whose_line(lines.heavy)})."


def whose_line(line: BirthLine) -> str:
    """Whose a line is: the shepherd's, her own lambs', or a publication's, with its breed."""
    said = {
        LineFrom.SETTING: "your own setting, flock.yaml",
        LineFrom.OWN_LAMBS: f"the lightest and heaviest tenth of your own {line.lambs} lambs weighed at birth",
        LineFrom.PUBLISHED: PUBLISHED_FOR,
    }
    return said[line.whose]


def group_words(label: str, lines: BirthLines, units: str) -> str:
    """A group of lambs by its name; groups by weight say between which lines."""
    kind = next((kind for kind in BirthWeight if kind.value == label), None)
    return birth_weight_words(kind, lines, units) if kind else label


def by_hand_words(reason: ByHand) -> str:
    """Why a lamb cannot be left to suck."""
    said = {
        WhyByHand.ON_THE_BOTTLE: "on the bottle",
        WhyByHand.DAM_GONE: "its dam is gone",
        WhyByHand.HELPLESS: reason.word,
        WhyByHand.LITTLE_MILK: f"the ewe's milk is {reason.word}",
        WhyByHand.TUBED: "tubed already",
    }
    return said[reason.why]


def birth_point_words(owed: StillOwed) -> str:
    """One thing owed after a birth."""
    return OWED[owed.what](owed)


def another_words(owed: StillOwed) -> str:
    """the scan saw 2 lambs, 1 is written: look for another."""
    written = f"{owed.born} {'is' if owed.born == 1 else 'are'} written"
    return f"the scan saw {owed.scanned} lambs, {written}: look for another"


def afterbirth_words(owed: StillOwed) -> str:
    """That nobody wrote of it, and since when that is too long."""
    late = f", {time_on(owed.late)}: {local('ring the vet')}" if owed.late else ""
    return f"afterbirth not written as seen{late}"


def time_on(length: timedelta) -> str:
    """a whole day on; 18 h on."""
    return "a whole day on" if length == DAY else f"{length / HOUR:g} h on"


def navel_words(owed: StillOwed) -> str:
    """navel dip at once; navel dip after 6 h."""
    return f"navel dip {f'after {owed.hours} h' if owed.hours else 'at once'}"


def warmth_owed_words(owed: StillOwed) -> str:
    """That a lamb was cold or feverish."""
    return f"{MEASURED[owed.state]}: {f'{limp_words()}, ' if owed.limp else ''}look again"


def limp_words() -> str:
    """What is done with a lamb that cannot hold its head up: one that lies so is never tubed."""
    return local("cannot hold its head up: no tube, ring the vet")


def with_care(words: str, owed: StillOwed) -> str:
    """A feed that is owed, and what comes before it for a lamb that is limp, or cold."""
    if owed.limp:
        return f"{limp_words()}; {words}, as the vet says"
    return f"only once it is warm, holds its head up and swallows: {words}" if owed.cold else words


def first_feed_words(owed: StillOwed) -> str:
    """200 mL of colostrum for its first feed: weak."""
    return with_care(f"{measures().drink(owed.ml)} of colostrum for its first feed{told_by_hand(owed)}", owed)


def colostrum_left_words(owed: StillOwed) -> str:
    """600 mL of colostrum left for its first day, 200 mL a feed: weak."""
    left, feed = measures().drink(owed.ml), measures().drink(owed.feed_ml)
    return with_care(f"{left} of colostrum left for its first day, {feed} a feed{told_by_hand(owed)}", owed)


def unfed_words(owed: StillOwed) -> str:
    """That the time of colostrum has passed without a feed written: milk, and the vet."""
    fed = f"only {measures().drink(owed.ml)} written as fed on" if owed.ml else "not written as fed for"
    return f"{fed} its first day: milk, and {local('ring the vet')}{told_by_hand(owed)}"


def told_by_hand(owed: StillOwed) -> str:
    """: weak."""
    return f": {by_hand_words(owed.by_hand)}" if owed.by_hand else ""


OWED: dict[BirthPoint, Callable[[StillOwed], str]] = {
    BirthPoint.ANOTHER_LAMB: another_words,
    BirthPoint.AFTERBIRTH: afterbirth_words,
    BirthPoint.UP: lambda _: "not written as up and minding them",
    BirthPoint.LOOK_AGAIN: lambda owed: f"look at her again, {owed.hours} h after help",
    BirthPoint.NAVEL: navel_words,
    BirthPoint.NUMBER: lambda _: "neither tagged nor numbered",
    BirthPoint.WEIGHT: lambda _: "not weighed",
    BirthPoint.WARMTH: warmth_owed_words,
    BirthPoint.FIRST_FEED: first_feed_words,
    BirthPoint.COLOSTRUM: colostrum_left_words,
    BirthPoint.UNFED: unfed_words,
}
SAID: dict[type[Reason], Callable[[Any], str]] = {ByHand: by_hand_words, StillOwed: birth_point_words}
