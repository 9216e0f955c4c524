"""What can speak against a sheep's going, as figures and days; `flockbook.saying.going` has the words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from enum import Enum, auto

from compiler.shape import Value
from flockbook.derive.plain.because import Because, Reason


class Going(Enum):
    """What becomes of a sheep against whose going something speaks."""

    MAY_NOT = auto()
    ASK_FIRST = auto()


class StillIll(Reason):
    """An open case; `unfit` by the words written of it, `ruled` where the regulation is the country's own law."""

    problem: str
    since: date
    unfit: bool
    ruled: bool


class CalledLame(Reason):
    """A sheep that a line calls lame, in so many words; None is the day of its own note, which has none."""

    words: str
    day: date | None
    ruled: bool


class NearLambing(Reason):
    """A ewe past nine tenths of her pregnancy, counted from a service or from the first that can be."""

    since: date
    service: date
    ruled: bool


class JustLambed(Reason):
    """A ewe in the week after she lambed; `free` is the first day after it."""

    day: date
    free: date
    ruled: bool


class JustBorn(Reason):
    """A lamb of less than a week; `free` is the first day after it."""

    day: date
    free: date
    ruled: bool


class KeptApart(Reason):
    """A sheep kept apart until a day that a note names; `lost` its lambs, else it was bought."""

    until: date
    lost: bool


class LostHerLambs(Reason):
    """A ewe that lost her lambs: kept apart until `apart_until`, by her note where it is `written`, else at least so
    long; `found` is what the laboratory found, "" where nothing is written of it.
    """

    day: date
    apart_until: date
    written: bool = False
    found: str = ""


class PerhapsInLamb(Reason):
    """A ewe that was with a ram and was never scanned; `late` past her last possible day with no lambing written;
    `empty` where a scan saw no lamb and the ram was in too near it to be sure.
    """

    since: date
    late: bool
    empty: bool = False


class InLamb(Reason):
    """A ewe scanned in lamb and not near her time yet."""

    not_from: date


class OnHire(Reason):
    """A hired ram: he belongs to somebody else, "" where nobody is written."""

    owner: str


class NoNumber(Reason):
    """That a grown sheep has no official or electronic number in the notes, though others have."""


class Barrier(Value):
    """Why one sheep may not go, or what is to be asked first."""

    sheep: str
    grade: Going
    because: Because


Fitness = Mapping[str, tuple[Barrier, ...]]  # by sheep; whoever is fit is not in it


def for_meat_only(item: Barrier) -> bool:
    """Whether something is asked only of sheep that go for meat: one in lamb may be sold to live on."""
    return isinstance(item.because.reason, InLamb)


def may_not(found: Iterable[Barrier]) -> bool:
    """Whether anything forbids it."""
    return any(item.grade is Going.MAY_NOT for item in found)
