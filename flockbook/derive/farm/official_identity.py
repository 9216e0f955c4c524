"""Official numbers: the fifteen digits of an electronic tag (ISO 11784) and the tag forms that authorities prescribe.

Every reader gives the value or a `NumberFault`: what is wrong and how such a number is written, in words in
`flockbook.saying.identity`; no digit is ever guessed or mended.
Numbers are text from the moment they are typed, so nothing is lost to a spreadsheet's or a float's rounding here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import Enum, auto

from compiler.shape import Value
from flockbook.country_codes import LETTERS, NUMERIC, country_code
from flockbook.derive.plain.because import Reason

# ISO 11784: 64 bits = animal flag, 14 reserved, data flag, 10 of country or maker, 38 of number (ICAR slides).
NUMBER_BITS, CODE_BITS, ALL_BITS = 38, 10, 64
LARGEST_NUMBER = (1 << NUMBER_BITS) - 1  # 274 877 906 943
CODE_MASK = (1 << CODE_BITS) - 1
# The first sixteen bits of an animal tag without and with a data block.
ANIMAL_HEADS = (0x8000, 0x8001)
FIRST_MAKER = 900  # 900 shared by small makers, 901–998 one maker each (ICAR)
TEST_CODE = 999  # ICAR, misuse of codes
# Nine noughts at the end are what "8.26012E+14" leaves behind when a spreadsheet opens it again.
ROUNDED_TAIL = "0" * 9
# An electronic number: three digits of country or maker, twelve of the animal (ISO 11784).
ALL_DIGITS = 15
# UK: seven digits of flock mark (0 and six), five of the animal (Country Smallholding, May 2019).
MARK_DIGITS, ANIMAL_DIGITS = 7, 5
# Reg. (EC) 933/2008, annex A.2: country and at most twelve digits, filled with noughts in front.
MOST_DIGITS = 12
UNITED_STATES, UNITED_KINGDOM = 840, 826
# Two-letter codes that open a US flock identification: states and territories, USPS Publication 28 (from memory).
_STATES = (
    "AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH OK OR"
    " PA RI SC SD TN TX UT VT VA WA WV WI WY AS GU MP PR VI"
)
STATES = frozenset(_STATES.split())

_ROUNDED = re.compile(r"(?<![0-9A-Z])(?:[A-Z]{2})?[0-9](?:[.,][0-9]*)?E\+?[0-9]{1,2}(?![0-9A-Z])", re.ASCII)
_DOTTED_HEX = re.compile(r"([0-9A-F]{3})\.([0-9A-F]{10})", re.ASCII)
_WHOLE_FLOAT = re.compile(r"([0-9]{15})\.0+", re.ASCII)
_READER_LINE = re.compile(r"A[0-9]{6}([0-9]{15})", re.ASCII)
_HEX = re.compile(r"[0-9A-F]{16}", re.ASCII)
_DIGITS = re.compile(r"[0-9]+", re.ASCII)
_COUNTRY_TAG = re.compile(r"([A-Z]{2})([0-9]+)", re.ASCII)
_FLOCK_TAG = re.compile(r"([A-Z]{2}[A-Z0-9]{1,6}[0-9])(?:[ -]+([A-Z0-9]{1,8}))?", re.ASCII)
_FIFTEEN = re.compile(r"0?[0-9]{15}", re.ASCII)


class Amiss(Enum):
    """What is wrong with a number."""

    DIGITS_LOST = auto()
    NO_ELECTRONIC = auto()
    NO_OFFICIAL = auto()
    TOO_LARGE = auto()
    CODE_TOO_LARGE = auto()
    TEST_CODE = auto()
    NO_CODE = auto()
    NOUGHTS = auto()
    COUNTRY_DIGITS = auto()


class Form(Enum):
    """How a number is to be written."""

    FIFTEEN = auto()
    UK = auto()
    US = auto()
    AT_MOST = auto()


class Eid(Value):
    """An electronic tag: `code` of country or maker (1–998), `number` 0–274 877 906 943. Equal means one tag."""

    code: int
    number: int

    @property
    def digits(self) -> str:
        """The fifteen digits: the form to keep, always as text."""
        return f"{self.code:03d}{self.number:012d}"

    @property
    def country(self) -> str | None:
        """The country's two letters; None for a maker's code or one that no country has."""
        return LETTERS.get(self.code)

    @property
    def nobodys(self) -> bool:
        """Whether its code is neither a country's nor a maker's: a digit may be wrong."""
        return self.country is None and self.code < FIRST_MAKER


class NumberFault(Reason):
    """Why a text can be no number of a tag: `shown` as it was typed, `read` the tag that its digits would make.

    `digits` counts those that were typed, where their count is what is wrong (0: it is not).
    """

    what: Amiss
    shown: str
    form: Form = Form.FIFTEEN
    digits: int = 0
    read: Eid | None = None


# Countries whose forms are all known here.
FORMS = {"GB": Form.UK, "US": Form.US}


class OfficialTag(Value):
    """An official number as printed on a tag: `text` in the country's own form, or as written where no form is known.

    `animal` is the part that tells one sheep from another, None on a tag that carries the flock's number alone.
    """

    text: str
    animal: str | None


def read_eid(text: str) -> Eid | NumberFault:
    """An electronic number in any of its usual renderings, or why it cannot be one.

    Takes fifteen digits (spaces, dots, hyphens, a leading apostrophe or 0 allowed), the line of a reader
    (`A 00000 0 982 000017383201`), `3E7.1CBE991A14`, and the 64 bits in base 16 in either direction. Text
    without a letter is always decimal: base 16 that happens to have none is refused, or taken as the digits it shows.
    Sources: ISO 11784; renderings as in the R package ISO11784Tools; misuse of codes: ICAR.
    """
    shown = text.strip()
    plain = re.sub(r"\s", "", shown).lstrip("'’").upper()
    if _ROUNDED.fullmatch(plain):
        return NumberFault(Amiss.DIGITS_LOST, shown)
    found = _dotted(plain) or _decimal(plain) or _hexadecimal(plain)
    if found is None:
        return NumberFault(Amiss.NO_ELECTRONIC, shown, digits=_wrong_count(plain))
    return _checked(shown, found)


def read_official(text: str, country: str = "GB") -> OfficialTag | NumberFault:
    """An official number as the flock's `country` prints it, or why it cannot be one.

    Where the forms of a country are not known here (or no country is set) only what a spreadsheet has rounded and
    fifteen digits that no tag carries are refused. Sources: Reg. (EC) 933/2008 annex A.2; UK number of 7 + 5 digits;
    9 CFR part 79 and the flock identification forms of APHIS. Raises nothing.
    """
    shown = text.strip()
    upper = shown.lstrip("'’").upper()
    joined = re.sub(r"[\s.-]", "", upper)
    form = FORMS.get(country_code(country))
    flock = _FLOCK_TAG.fullmatch(upper) if form is Form.US else None
    if flock and upper[:2] in STATES:
        return _flock_tag(flock[1], flock[2])
    if (tag := _COUNTRY_TAG.fullmatch(joined)) and tag[1] in NUMERIC:
        return _country_tag(shown, NUMERIC[tag[1]], tag[2])
    if _ROUNDED.search(re.sub(r"\s", "", upper)) or joined.endswith(ROUNDED_TAIL):
        return NumberFault(Amiss.DIGITS_LOST, shown)
    if _FIFTEEN.fullmatch(joined):
        return _electronic_tag(read_eid(shown))
    if form or not joined:
        return NumberFault(Amiss.NO_OFFICIAL, shown, form or Form.FIFTEEN)
    return OfficialTag(shown, joined)


def shared_numbers(worn: Iterable[tuple[str, str]]) -> dict[str, tuple[str, ...]]:
    """Numbers that more than one sheep carries, from pairs of sheep and number, with those sheep in the order given."""
    wearers: dict[str, tuple[str, ...]] = {}
    for sheep, number in worn:
        wearers[number] = tuple(dict.fromkeys((*wearers.get(number, ()), sheep)))
    return {number: sheep for number, sheep in wearers.items() if len(sheep) > 1}


def _dotted(plain: str) -> Eid | None:
    """Three and ten digits of base 16. Without a letter it could be a short decimal number, so it is not taken."""
    found = _DOTTED_HEX.fullmatch(plain)
    return Eid(int(found[1], 16), int(found[2], 16)) if found and _has_letter(plain) else None


def _decimal(plain: str) -> Eid | None:
    """Fifteen digits, or sixteen with a leading 0."""
    line = _WHOLE_FLOAT.fullmatch(plain) or _READER_LINE.fullmatch(plain)
    digits = line[1] if line else re.sub(r"[.-]", "", plain)
    if len(digits) == ALL_DIGITS + 1 and digits.startswith("0"):
        digits = digits[1:]
    return Eid(int(digits[:3]), int(digits[3:])) if len(digits) == ALL_DIGITS and _DIGITS.fullmatch(digits) else None


def _hexadecimal(plain: str) -> Eid | None:
    """Sixteen digits of base 16, in whichever direction opens as an animal tag does; None when neither or both do.

    Without a letter they could be a decimal number with a digit too many, so they are not taken.
    """
    if not _HEX.fullmatch(plain) or not _has_letter(plain):
        return None
    bits = int(plain, 16)
    fitting = [way for way in (bits, _mirrored(bits)) if way >> (ALL_BITS - 16) in ANIMAL_HEADS]
    if len(fitting) != 1:
        return None
    return Eid(fitting[0] >> NUMBER_BITS & CODE_MASK, fitting[0] & LARGEST_NUMBER)


def _checked(shown: str, eid: Eid) -> Eid | NumberFault:
    """The tag, unless no sheep can wear it."""
    wrong = (
        (eid.number > LARGEST_NUMBER, Amiss.TOO_LARGE), (eid.code > TEST_CODE, Amiss.CODE_TOO_LARGE),
        (eid.code == TEST_CODE, Amiss.TEST_CODE), (eid.code == 0, Amiss.NO_CODE),
        (eid.digits.endswith(ROUNDED_TAIL), Amiss.NOUGHTS),
    )  # fmt: skip
    return next((NumberFault(what, shown, read=eid) for found, what in wrong if found), eid)


def _wrong_count(plain: str) -> int:
    """How many digits a text of digits alone has; 0 for any other text."""
    digits = re.sub(r"[.-]", "", plain)
    return len(digits) if _DIGITS.fullmatch(digits) else 0


def _country_tag(shown: str, code: int, digits: str) -> OfficialTag | NumberFault:
    """Letters and at most twelve digits; the UK's are a flock mark alone, or mark and animal, and no other length."""
    if code == UNITED_KINGDOM and len(digits) in (MARK_DIGITS - 1, MARK_DIGITS):
        return OfficialTag(f"UK {digits.zfill(MARK_DIGITS)}", None)
    fewest = MOST_DIGITS - 1 if code == UNITED_KINGDOM else 1
    if not fewest <= len(digits) <= MOST_DIGITS:
        form = Form.UK if code == UNITED_KINGDOM else Form.AT_MOST
        return NumberFault(Amiss.COUNTRY_DIGITS, shown, form, len(digits))
    return _electronic_tag(_checked(shown, Eid(code, int(digits))))


def _electronic_tag(eid: Eid | NumberFault) -> OfficialTag | NumberFault:
    """The official number that an electronic one stands for."""
    if isinstance(eid, NumberFault):
        return eid
    number = eid.digits[3:]
    if eid.code == UNITED_KINGDOM:
        return OfficialTag(f"UK {number[:MARK_DIGITS]} {number[MARK_DIGITS:]}", number)
    letters = eid.country
    return OfficialTag(eid.digits if letters is None or eid.code == UNITED_STATES else f"{letters} {number}", number)


def _flock_tag(flock: str, animal: str | None) -> OfficialTag:
    return OfficialTag(flock if animal is None else f"{flock} {animal}", animal)


def _has_letter(plain: str) -> bool:
    return any("A" <= letter <= "F" for letter in plain)


def _mirrored(bits: int) -> int:
    """The same 64 bits, last one first."""
    return int(f"{bits:064b}"[::-1], 2)
