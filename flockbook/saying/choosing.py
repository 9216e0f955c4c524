"""What speaks for and against a ewe in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from flockbook.derive.choosing.ewe_file import EweReason, Instance
from flockbook.derive.choosing.reasons_against import AtBirth, BirthField, IllSince, SeenAt
from flockbook.derive.choosing.reasons_for import WeanedBeside
from flockbook.derive.plain.because import Reason
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.numbers import plural
from flockbook.measures import measures_of
from flockbook.regional import local

BEFORE_THEIR_TIME = "before their time"
TOO_LITTLE_KNOWN = "too little is known of her"


def ewe_reason_words(reason: EweReason) -> str:
    """A reason as a clause: what, of how many, and when."""
    return BY_RULE[reason.rule](reason)


def helped_at_words(reason: EweReason) -> str:
    """helped at 2 of 3 lambings (2024 hard, one leg back; 2025 slight)."""
    told = clauses(local(f"{one.year} {', '.join(one.words)}") for one in reason.told)
    return f"helped at {reason.count} of {plural(reason.of, 'lambing')} ({told})"


def years_after(reason: EweReason) -> str:
    """mastitis left 2025; udder hard 2026."""
    return clauses(f"{' '.join(one.words)} {one.year}" for one in reason.told)


def lump_words(reason: EweReason) -> str:
    """udder lump left at 2 looks, last on 5 Sep 2026."""
    last = reason.told[-1]
    return f"{' '.join(last.words)} at {plural(reason.count, 'look')}, last on {when(last)}"


def mouth_words(reason: EweReason) -> str:
    """mouth broken 2026, condition 2 on 5 Sep 2026."""
    mouth, *scores = reason.told
    scored = [f"{' '.join(one.words)} {one.score:g} on {when(one)}" for one in scores]
    return ", ".join((f"{' '.join(mouth.words)} {mouth.year}", *scored))


def barren_words(reason: EweReason) -> str:
    """no lamb in 1 of 3 years (2025)."""
    years = clauses(str(one.year) for one in reason.told)
    return f"no lamb in {reason.count} of {plural(reason.of, 'year')} ({years})"


def lost_all_words(reason: EweReason) -> str:
    """lost all her lambs in 1 of 3 years (2025 before their time)."""
    years = clauses(f"{one.year}{f' {BEFORE_THEIR_TIME}' if one.early else ''}" for one in reason.told)
    return f"lost all her lambs in {reason.count} of {plural(reason.of, 'year')} ({years})"


def mother_words(reason: EweReason) -> str:
    """poor mother at 1 of 3 births scored (2025 mothering 2 of 5)."""
    told = clauses(f"{one.year} mothering {one.score:g} of 5" for one in reason.told)
    return f"poor mother at {reason.count} of {reason.of} births scored ({told})"


def milk_words(reason: EweReason) -> str:
    """milk wanting at 1 of 3 births looked at (2025 short)."""
    told = clauses(f"{one.year} {' '.join(one.words)}" for one in reason.told)
    return f"milk wanting at {reason.count} of {reason.of} births looked at ({told})"


def weaned_words(reason: EweReason) -> str:
    """weaned 5 lambs in 3 years (1.7 a year)."""
    each = reason.count / reason.of
    return f"weaned {plural(reason.count, 'lamb')} in {plural(reason.of, 'year')} ({each:.1f} a year)"


def marked_to_go_words(reason: EweReason) -> str:
    """your own note of 5 Sep 2026: she goes (broken mouth)."""
    last = reason.told[-1]
    return f"your own note of {when(last)}: she goes{f' ({last.words[0]})' if last.words else ''}"


def crop_weight_words(reason: EweReason) -> str:
    """How often her crop weighed as much as the middle ewe's."""
    years = f"{reason.count} of {plural(reason.of, 'year')} weighed"
    return f"weaned as much weight as the middle ewe, or more, in {years}"


def alone_words(reason: EweReason) -> str:
    """never helped in 3 lambings."""
    return f"never helped in {reason.of} lambings"


def untreated_words(reason: EweReason) -> str:
    """never ill or treated by herself since 2 Mar 2024."""
    return f"never ill or treated by herself since {when(reason.told[0])}"


def by_line_words(reason: EweReason) -> str:
    """called lame on 1 Oct 2025 (near fore)."""
    last = reason.told[-1]
    day = f" on {when(last)}" if last.day else " in her own note"
    return f"called lame{day} (“{last.words[0]}”), and not called sound since"


def at_birth_words(reason: AtBirth) -> str:
    """2025: mothering 2 of 5."""
    said = {
        BirthField.HELP: local(reason.words),
        BirthField.MOTHERING: f"mothering {reason.score or 0:g} of 5",
        BirthField.MILK: f"milk {reason.words}",
        BirthField.NO_HELP: "no help",
    }
    return f"{reason.season}: {said[reason.field]}"


def ill_words(reason: IllSince) -> str:
    """mastitis from 8 Apr 2026."""
    return f"{reason.problem} from {day_words(reason.since)}"


def seen_words(reason: SeenAt) -> str:
    """udder lump left, 5 Sep 2026."""
    found = reason.words if reason.score is None else (*reason.words, f"{reason.score:g}")
    return f"{' '.join(found)}, {day_words(reason.day)}"


def beside_middle_words(reason: WeanedBeside) -> str:
    """2026: 61.0 kg, middle of 22 ewes 34.5 kg; 731 30.5 kg."""
    hers, theirs = in_units(reason.weaned_kg, reason.units), in_units(reason.middle_kg, reason.units)
    lamb = f"{reason.lamb} {in_units(reason.lamb_kg, reason.units)}"
    return f"{reason.season}: {hers}, middle of {reason.ewes} ewes {theirs}; {lamb}"


def in_units(kg: float, units: str) -> str:
    """A weight in the flock's unit."""
    return measures_of(units).weight(kg)


def when(one: Instance) -> str:
    """The day of an instance, else its year."""
    return day_words(one.day) if one.day else str(one.year)


def clauses(found: Iterable[str]) -> str:
    """a; b; c."""
    return "; ".join(found)


SAID: dict[type[Reason], Callable[[Any], str]] = {
    AtBirth: at_birth_words,
    IllSince: ill_words,
    SeenAt: seen_words,
    WeanedBeside: beside_middle_words,
}
BY_RULE: dict[str, Callable[[EweReason], str]] = {
    "helped": helped_at_words, "udder": years_after, "lump": lump_words, "prolapse": years_after,
    "lameness": years_after, "called lame": by_line_words, "illness": years_after, "mouth": mouth_words,
    "barren": barren_words, "lost all": lost_all_words, "mother": mother_words, "milk": milk_words,
    "few weaned": weaned_words, "marked to go": marked_to_go_words, "weaned": weaned_words,
    "weight": crop_weight_words, "alone": alone_words, "untreated": untreated_words,
}  # fmt: skip
