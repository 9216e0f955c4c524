"""Electronic and official numbers against ISO 11784, ISO 3166 and published tag layouts."""

from __future__ import annotations

from importlib.resources import files

import pycountry
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flockbook.country_codes import LETTERS, NUMERIC
from flockbook.derive.farm.official_identity import (
    LARGEST_NUMBER,
    Eid,
    NumberFault,
    OfficialTag,
    read_eid,
    read_official,
    shared_numbers,
)
from flockbook.saying.identity import code_of_nobody, number_cure, number_fault_words

# One tag in four renderings: README of the R package ISO11784Tools.
RENDERINGS = ("999123456789012", "3E7.1CBE991A14", "8000F9DCBE991A14", "2858997D3B9F0001")
UK = Eid(826, 12_345_600_001)

eids = st.builds(Eid, st.integers(1, 998), st.integers(0, LARGEST_NUMBER).filter(lambda number: number % 1_000_000_000))


def fault(found: object) -> str:
    """What is wrong with a number that a reader refused."""
    assert isinstance(found, NumberFault)
    return number_fault_words(found)


def cure(found: object) -> str:
    """What to type in the place of a number that a reader refused."""
    assert isinstance(found, NumberFault)
    return number_cure(found)


def official(found: OfficialTag | NumberFault) -> OfficialTag:
    """The official tag that a reader gave."""
    assert isinstance(found, OfficialTag), found
    return found


def renderings(eid: Eid) -> tuple[str, str, str, str]:
    """One tag in four ways: (1 << 63) + (code << 38) + number and its reversal, as ISO11784Tools states the bits."""
    bits = f"{(1 << 63) + (eid.code << 38) + eid.number:064b}"
    ways = (f"{eid.code:03X}.{eid.number:010X}", *(f"{int(way, 2):016X}" for way in (bits, bits[::-1])))
    return f"{eid.code:03d}{eid.number:012d}", *ways  # type: ignore[return-value]


def test_four_renderings_of_one_tag() -> None:
    """The arithmetic of these tests gives the four printed renderings of one tag (ISO11784Tools)."""
    assert renderings(Eid(999, 123_456_789_012)) == RENDERINGS


@pytest.mark.parametrize("text", RENDERINGS)
def test_test_code_is_refused_in_every_rendering(text: str) -> None:
    """All four are read as one tag and refused, since 999 is for tests only (ICAR, misuse of codes)."""
    found = fault(read_eid(text))
    assert "999123456789012" in found
    assert "999 is a test code" in found


def test_largest_number() -> None:
    """38 bits hold 274 877 906 943 and not one more (ICAR slide, ISO 11784)."""
    assert read_eid("840274877906943") == Eid(840, LARGEST_NUMBER)
    assert "too large" in fault(read_eid("840274877906944"))
    assert LARGEST_NUMBER == 2**38 - 1


@pytest.mark.parametrize(
    "text",
    [
        "826012345600001",
        "0826012345600001",
        "826 0123456 00001",
        "'826012345600001",
        "’826.0123456.00001",
        "826-0123456-00001",
        " 826\u00a0012345600001 ",
        "826012345600001.0",
        "A 00000 0 826 012345600001",
    ],
)
def test_one_number_typed_many_ways(text: str) -> None:
    """Spaces, points, a leading apostrophe or 0 and a reader's line change nothing (UK 7 + 5 digits; reader manual)."""
    assert read_eid(text) == UK


def test_line_of_a_reader() -> None:
    """`A 00000 0 982 000017383201` is the sample of a weigh-indicator manual (p. 38); 982 is a maker's code."""
    found = read_eid("A 00000 0 982 000017383201")
    assert found == Eid(982, 17_383_201)
    assert isinstance(found, Eid)
    assert not found.nobodys


@pytest.mark.parametrize(
    "text", ["8.26012E+14", "8,26012E+14", "8.26012e14", "8E+14", "8.40003e+14", "826012000000000"]
)
def test_numbers_that_a_spreadsheet_rounded_are_refused(text: str) -> None:
    """Digits lost to `E+14` are gone, also when the spreadsheet has opened its own rounding again."""
    assert "spreadsheet has rounded" in cure(read_eid(text))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "15 digits"),
        ("82601234560000", "it has 14 digits"),
        ("8260123456000012", "it has 16 digits"),
        ("8260123456000001", "it has 16 digits"),  # would open as an animal tag if it were taken for base 16
        ("276.0123456001", "it has 13 digits"),  # would be another tag if it were taken for base 16
        ("UK 0123456 00001", "15 digits"),
        ("٨٢٦٠١٢٣٤٥٦٠٠٠٠١", "15 digits"),
        ("8000F9DCBE991A1G", "15 digits"),
        ("C000F9DCBE991A14", "15 digits"),
        ("FFF.1CBE991A14", "15 digits"),
        ("800000000A000001", "15 digits"),  # opens as an animal tag from both ends
    ],
)
def test_what_is_no_electronic_number_says_what_to_type(text: str, words: str) -> None:
    """A slip is never mended into some other sheep's number."""
    assert words in cure(read_eid(text))


@pytest.mark.parametrize(
    ("text", "words"), [("000012345600001", "no country or maker"), ("3E8.1CBE991A14", "no country")]
)
def test_codes_that_nobody_has(text: str, words: str) -> None:
    """`000` is a listed misuse (ICAR); codes above 999 fit the ten bits but are not given out."""
    assert words in fault(read_eid(text))


def test_codes_that_nobody_was_given() -> None:
    """001–899 are countries of ISO 3166, 900–998 makers (animaldata.com; ICAR): others are pointed out, not refused."""
    assert (UK.country, UK.nobodys) == ("GB", False)
    assert Eid(827, 1).nobodys
    assert "827 is no country's code" in code_of_nobody(Eid(827, 1))
    assert not Eid(900, 1).nobodys
    assert (Eid(900, 1).country, Eid(36, 1).digits) == (None, "036000000000001")


def test_country_codes_are_those_of_iso_3166() -> None:
    """All letters and numbers agree with pycountry (Debian iso-codes) and the letters with the tz database."""
    outside = {country.alpha_2: int(country.numeric) for country in pycountry.countries}
    assert {letters: number for letters, number in NUMERIC.items() if letters not in ("UK", "EL")} == outside
    assert {number: letters for letters, number in outside.items()} == LETTERS
    table = files("tzdata").joinpath("zoneinfo", "iso3166.tab").read_text("utf-8")
    assert {line.split("\t")[0] for line in table.splitlines() if line and line[0] != "#"} == set(outside)
    assert (NUMERIC["UK"], NUMERIC["EL"]) == (outside["GB"], outside["GR"])


@pytest.mark.parametrize(
    "text", ["UK 0123456 00001", "uk012345600001", "UK 123456 00001", "GB-0123456-00001", UK.digits]
)
def test_uk_number(text: str) -> None:
    """UK, seven digits of flock mark, five of the animal; the electronic form is 826 and those twelve.

    Sources: Country Smallholding, May 2019; Devon & Somerset Trading Standards.
    """
    assert official(read_official(text)) == OfficialTag("UK 0123456 00001", "012345600001")


@pytest.mark.parametrize("text", ["UK 123456", "UK0123456"])
def test_uk_slaughter_tag_carries_the_flock_mark_only(text: str) -> None:
    """Lambs for slaughter under 12 months may carry just the flock mark (gov.wales, 2024)."""
    assert official(read_official(text)) == OfficialTag("UK 0123456", None)


@pytest.mark.parametrize("text", ["UK 1234", "UK 0123456 0001 234", "UK 12345600", "Bramble", "", "C214"])
def test_a_uk_number_of_another_length_is_refused(text: str) -> None:
    """Anything but 6, 7, 11 or 12 digits is a slip: it is not filled up to some other sheep's number."""
    fault(read_official(text))


def test_other_countries_are_filled_with_noughts_in_front() -> None:
    """At most twelve digits, shorter ones filled between country and number (Reg. (EC) 933/2008, annex A.2)."""
    found = official(read_official("FR 123456", country="FR"))
    assert found == OfficialTag("FR 000000123456", "000000123456")
    assert "13 digits" in fault(read_official("DE 1234567890123"))
    assert "too large" in fault(read_official("DE 999999999999"))


def test_us_forms() -> None:
    """`MEX1234` is a flock identification (docslib 9432853); 840 and twelve digits an animal number (9 CFR 86)."""
    assert official(read_official("MEX1234", "US")) == OfficialTag("MEX1234", None)
    assert official(read_official("mex1234-0056", "US")).animal == "0056"
    assert official(read_official("840003123456789", "US")) == OfficialTag("840003123456789", "003123456789")
    assert "MEX1234" in cure(read_official("QQX1234 12", "US"))
    assert "spreadsheet" in cure(read_official("8.40003E+14", "US"))
    assert "too large" in fault(read_official("840274877906944", "US"))


def test_forms_of_an_unknown_country_are_kept_unchecked() -> None:
    """Where a country has no form known here the text stands as written; what a spreadsheet rounded does not."""
    assert official(read_official("3ABCD123XYZ", "AU")) == OfficialTag("3ABCD123XYZ", "3ABCD123XYZ")
    assert official(read_official("0056", "")) == OfficialTag("0056", "0056")
    for text in ("  ", "8.26E+14", "UK 7.09999E+11", "826012000000000", "709999000000000"):
        fault(read_official(text, "AU"))


def test_one_number_on_two_sheep_is_found() -> None:
    """Two sheep cannot wear one electronic number; one sheep named twice is no fault."""
    other = Eid(826, 5)
    found = shared_numbers(
        (sheep, eid.digits) for sheep, eid in [("C214", UK), ("C230", other), ("731", UK), ("C230", other)]
    )
    assert found == {UK.digits: ("C214", "731")}


@given(eids)
def test_every_rendering_reads_back_or_is_refused(eid: Eid) -> None:
    """The digits always read back. Base 16 gives the same tag; without a letter or fitting both ways it is refused.

    Sixteen digits of base 16 without a letter and with a 0 in front are also a decimal number, and are read as that.
    """
    assert read_eid(eid.digits) == eid
    for text in renderings(eid)[1:]:
        found = read_eid(text)
        if text.replace(".", "").isdigit():
            assert isinstance(found, NumberFault) or found.digits == text[1:]
        else:
            assert found == eid or (isinstance(found, NumberFault) and opens_both_ways(text))


def opens_both_ways(text: str) -> bool:
    """Whether 64 bits open as an animal tag does from either end."""
    bits = f"{int(text, 16):064b}"
    return all(way.startswith("100000000000000") for way in (bits, bits[::-1]))


@given(eids, st.integers(0, 14), st.integers(0, 9))
def test_one_wrong_digit_never_passes_for_the_right_tag(eid: Eid, place: int, digit: int) -> None:
    """A slip gives another number or a fault, and whatever is read has just the digits that were typed."""
    text = eid.digits[:place] + str(digit) + eid.digits[place + 1 :]
    found = read_eid(text)
    assert isinstance(found, NumberFault) or found.digits == text


@given(st.text(max_size=30))
def test_any_text_gives_a_value_or_a_fault(text: str) -> None:
    """No text makes a reader fall over, and every fault has words."""
    for found in (read_eid(text), read_official(text), read_official(text, "US")):
        assert not isinstance(found, NumberFault) or (fault(found) and cure(found))
