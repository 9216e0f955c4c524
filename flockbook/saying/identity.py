"""Official and electronic numbers in words: what is wrong with one, and how it is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flockbook.derive.farm.official_identity import (
    ALL_DIGITS,
    ANIMAL_DIGITS,
    LARGEST_NUMBER,
    MARK_DIGITS,
    MOST_DIGITS,
    ROUNDED_TAIL,
    UNITED_STATES,
    Amiss,
    Eid,
    Form,
    NumberFault,
    read_eid,
    read_official,
)
from flockbook.derive.plain.because import Reason
from flockbook.regional import local
from flockbook.saying.spelling import in_letters

NO_NUMBER = "no number: to mend"  # in the place of a number that cannot be one
ROUNDED_CURE = "a spreadsheet has rounded this; set the column to text and read the tag again"
WRITE_AS = {
    Form.FIFTEEN: f"read the tag again and write all {ALL_DIGITS} digits, as in 826012345600001",
    Form.UK: (
        f"write UK 0123456 00001: {in_letters(MARK_DIGITS)} digits of flock mark, "
        f"{in_letters(ANIMAL_DIGITS)} of the animal"
    ),
    Form.US: (
        f"write {ALL_DIGITS} digits that begin with {UNITED_STATES}, or the flock's number first, as in MEX1234 0056"
    ),
    Form.AT_MOST: f"write at most {MOST_DIGITS} digits",
}
OTHER_CURES = {
    Amiss.DIGITS_LOST: ROUNDED_CURE, Amiss.NOUGHTS: ROUNDED_CURE, Amiss.TEST_CODE: "ask whoever supplied the tag",
}  # fmt: skip
# A number that begins with a 0 or two, opened as a figure.
NOUGHTS_DROPPED = (ALL_DIGITS - 2, ALL_DIGITS - 1)


def number_fault_words(fault: NumberFault) -> str:
    """What is wrong with a number."""
    if fault.read:
        return tag_fault_words(fault, fault.read)
    said = {
        Amiss.DIGITS_LOST: "has lost its last digits",
        Amiss.NO_ELECTRONIC: "is not an electronic number",
        Amiss.NO_OFFICIAL: "is not an official number",
        Amiss.COUNTRY_DIGITS: f"has {fault.digits} digits after the country",
    }
    return f"`{fault.shown}` {said[fault.what]}"


def tag_fault_words(fault: NumberFault, read: Eid) -> str:
    """What is wrong with a number whose digits can be read: why no sheep wears such a tag."""
    said = {
        Amiss.TOO_LARGE: f" is too large: the last {in_letters(MOST_DIGITS)} digits go up to {LARGEST_NUMBER}",
        Amiss.CODE_TOO_LARGE: f" opens with {read.code}, which no country or maker has",
        Amiss.TEST_CODE: f": {read.code} is a test code, no sheep may wear it",
        Amiss.NO_CODE: " has no country or maker in front",
        Amiss.NOUGHTS: f" ends in {len(ROUNDED_TAIL)} {local('noughts')}",
    }
    shown = f"`{fault.shown}`" if read.digits in fault.shown else f"`{fault.shown}` ({read.digits})"
    return f"{shown}{said[fault.what]}"


def number_cure(fault: NumberFault) -> str:
    """What to type in its place."""
    if fault.what in OTHER_CURES:
        return OTHER_CURES[fault.what]
    counted = f"it has {fault.digits} digits and a tag has {ALL_DIGITS}"
    lost = "; a spreadsheet may have dropped a leading 0" if fault.digits in NOUGHTS_DROPPED else ""
    told = f"{counted}{lost}; " if fault.digits and fault.what is Amiss.NO_ELECTRONIC else ""
    return f"{told}{WRITE_AS[fault.form]}"


def code_of_nobody(eid: Eid) -> str:
    """That the first three digits name neither a country nor a maker."""
    return f"{eid.code:03d} is no country's code in ISO 3166; is a digit wrong?"


def electronic_words(text: str) -> str:
    """An electronic number as it was typed; of one that no tag can carry only that it is to be mended."""
    return NO_NUMBER if isinstance(read_eid(text), NumberFault) else text


def official_words(text: str, country: str = "") -> str:
    """The same of an official number, by the forms of the flock's country where it is given."""
    return NO_NUMBER if isinstance(read_official(text, country), NumberFault) else text


SAID: dict[type[Reason], Callable[[Any], str]] = {NumberFault: number_fault_words}
