"""Typed values: what each reader takes, what it refuses and what it says to type instead."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler import values
from compiler.schema import Context, Fault, Habits, Reader
from compiler.values import (
    AREA,
    CHOICE,
    COUNT,
    DATE,
    DATE_OR_SPAN,
    FLAG,
    LENGTH,
    LENGTH_IN_DAYS,
    NUMBER,
    PARTIAL_DATE,
    PERCENT,
    SCORE,
    SPAN_OF_TIME,
    TEMPERATURE,
    TEXT,
    TIME,
    VOLUME,
    WEIGHT,
    WHEN,
    Duration,
    PartialDate,
    When,
)

JUNE = Context(Habits(), date(2026, 6, 2))
PLAIN = Context()
COMMA = Context(Habits(decimal_comma=True), date(2026, 6, 2))
US = Context(Habits("us", "month-day"), date(2026, 6, 2))
DAY_MONTH = Context(Habits(dates="day-month"), date(2026, 6, 2))
READERS: tuple[Reader[Any], ...] = (
    AREA, CHOICE("ewe", "ram"), COUNT, DATE, DATE_OR_SPAN, FLAG, LENGTH, LENGTH_IN_DAYS, NUMBER, PARTIAL_DATE, PERCENT,
    SCORE(1, 5, 0.25), SPAN_OF_TIME, TEMPERATURE, TEXT, TIME, VOLUME, WEIGHT, WHEN,
)  # fmt: skip
ABSURD = ("9" * 5000, "9" * 400 + "." + "9" * 400, "0." + "0" * 5000 + "1", "1" * 310)
ANY_TEXT = st.text(max_size=30) | st.from_regex(r"\A[0-9.,]{1,6} ?(kg|lb|ml|days|h|C|F|Jun|am)?( ?per ?)?[0-9]{0,4}\Z")


def fault(reader: Reader[Any], text: str, context: Context = JUNE) -> Fault:
    """The fault that a reader finds in a text."""
    found = reader.read(text, context)
    assert isinstance(found, Fault), found
    return found


def survives(reader: Reader[Any], figures: str) -> None:
    """Thousands of figures are refused (or are words)."""
    for unit in ("", " kg", " ml", " days", " C", " each"):
        found = reader.read(figures + unit, JUNE)
        assert isinstance(found, Fault | str)
        assert not isinstance(found, Fault) or len(found.message) < 200


def reads_its_own_examples(reader: Reader[Any]) -> None:
    """What the reference page prints is read."""
    assert reader.name
    for example in (*reader.schema().get("examples", ()), *([reader.example] if reader.example else [])):
        assert not isinstance(reader.read(example, JUNE), Fault)


def points_into_the_text(reader: Reader[Any], text: str) -> None:
    """A fault lies inside the text and says something."""
    for context in (JUNE, PLAIN, COMMA, US):
        found = reader.read(text, context)
        if isinstance(found, Fault):
            assert found.message
            assert 0 <= found.start <= len(text)
            assert found.length is None or found.start + found.length <= len(text)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-04-19", (2026, 4, 19)),
        ("2026-4-9", (2026, 4, 9)),
        ("19 Apr", (2026, 4, 19)),
        ("19 April 2026", (2026, 4, 19)),
        ("19 apr. 2025", (2025, 4, 19)),
        ("19th April", (2026, 4, 19)),
        ("1st Sept 2025", (2025, 9, 1)),
        ("19-Apr-2026", (2026, 4, 19)),
        ("Apr 19", (2026, 4, 19)),
        ("April 19, 2026", (2026, 4, 19)),
        ("  19   Apr ", (2026, 4, 19)),
        ("29 Feb 2024", (2024, 2, 29)),
    ],
)
def test_dates(typed: str, day: tuple[int, int, int]) -> None:
    """A date as people write it; the year is the note's when it is left out."""
    assert DATE.read(typed, JUNE) == date(*day)


@pytest.mark.parametrize(
    "typed",
    [
        "2027-02-30",
        "31 Jun",
        "29 Feb 2026",
        "2026-13-01",
        "19 Foo",
        "19",
        "19 Apr 26",
        "yesterday",
        "0000-01-01",
        "9999-01-01",
        "",
        "19 Apr 1026",
        "0202-04-19",
        "20226-04-19",
        "19 April 20226",
        "Apr 19 20226",
    ],
)
def test_no_dates(typed: str) -> None:
    """A day that is not in the calendar, or not surely meant, is a fault with a cure."""
    assert fault(DATE, typed).help


def test_date_order_must_be_declared() -> None:
    """`3/4` is two days; only the settings can say which."""
    assert "`dates: day-month`" in fault(DATE, "3/4").help
    assert DATE.read("3/4", DAY_MONTH) == date(2026, 4, 3)
    assert DATE.read("3/4", US) == date(2026, 3, 4)
    assert DATE.read("19.4.2026", DAY_MONTH) == date(2026, 4, 19)
    assert "no such month" in fault(DATE, "13/14", DAY_MONTH).message
    assert fault(DATE, "0/4", US).help


@pytest.mark.parametrize("context", [JUNE, DAY_MONTH, US])
def test_a_date_in_figures_is_plain_where_one_of_them_is_no_month(context: Context) -> None:
    """There is no eighteenth month, so 18/4 and 4/18 are one day in any country (common practice, no source)."""
    assert [DATE.read(typed, context) for typed in ("18/4", "4/18", "18.4.2026")] == [date(2026, 4, 18)] * 3


@pytest.mark.parametrize(
    ("typed", "kg"), [("9 st 4 lb", 58.967), ("9 stone 4", 58.967), ("9st4lb", 58.967), ("9 st", 57.153)]
)
def test_stones(typed: str, kg: float) -> None:
    """A stone is 14 pounds of 0.45359237 kg (Weights and Measures Act 1985, Schedule 1): 130 lb and 126 lb."""
    read = WEIGHT.read(typed, JUNE)
    assert not isinstance(read, Fault)
    assert read.kg == pytest.approx(kg, abs=5e-4)


def test_a_time_of_three_figures_is_asked_about() -> None:
    """`310` is ten past three, in the night or after noon: the cure shows both."""
    assert fault(TIME, "310").help == "write `0310`, or `3.10 pm` if it was in the afternoon"


@pytest.mark.parametrize(
    ("note", "typed", "year"),
    [
        (date(2026, 6, 2), "2 Jan", 2026),
        (date(2026, 6, 2), "30 Nov", 2026),
        (date(2025, 12, 30), "1 Jan", 2026),
        (date(2025, 11, 18), "5 Jan", 2026),
        (date(2026, 1, 5), "28 Dec", 2025),
        (date(2025, 12, 30), "29 Dec", 2025),
    ],
)
def test_year_left_out(note: date, typed: str, year: int) -> None:
    """A year that is left out is the note's, but for days just over the new year, never eleven months away."""
    found = DATE.read(typed, Context(Habits(), note))
    assert isinstance(found, date)
    assert found.year == year


@pytest.mark.parametrize(
    ("note", "typed"), [(date(2026, 11, 1), "19 Apr"), (date(2026, 1, 5), "1 Sep"), (date(2026, 12, 30), "3 Apr")]
)
def test_year_that_must_be_typed(note: date, typed: str) -> None:
    """Where two years could be meant nothing is guessed."""
    assert "add the year" in fault(DATE, typed, Context(Habits(), note)).help


def test_year_without_a_note_date() -> None:
    """Without a date of the note there is no year to take."""
    assert "add the year" in fault(DATE, "19 Apr", PLAIN).help


@given(st.dates(date(1990, 1, 1), date(2099, 12, 31)), st.integers(-91, 91))
def test_near_days_come_back(note: date, away: int) -> None:
    """Any day within a season of the note, typed without its year, is read as that very day."""
    day = date.fromordinal(note.toordinal() + away)
    assert DATE.read(f"{day.day} {day:%b}", Context(Habits(), note)) == day


@pytest.mark.parametrize(
    ("typed", "part", "first", "last"),
    [
        ("2023-04-19", (2023, 4, 19), date(2023, 4, 19), date(2023, 4, 19)),
        ("2023-04", (2023, 4, None), date(2023, 4, 1), date(2023, 4, 30)),
        ("April 2023", (2023, 4, None), date(2023, 4, 1), date(2023, 4, 30)),
        ("2023", (2023, None, None), date(2023, 1, 1), date(2023, 12, 31)),
        ("2024-02", (2024, 2, None), date(2024, 2, 1), date(2024, 2, 29)),
        ("about 2021", (2021, None, None), date(2020, 1, 1), date(2022, 12, 31)),
        ("about Feb 2024", (2024, 2, None), date(2023, 2, 1), date(2025, 2, 28)),
    ],
)
def test_partial_dates(typed: str, part: tuple[int, int | None, int | None], first: date, last: date) -> None:
    """Parts of dates reach from their first to their last day; a guess reaches a year further."""
    found = PARTIAL_DATE.read(typed, JUNE)
    assert isinstance(found, PartialDate)
    assert (found.year, found.month, found.day) == part
    assert (found.earliest, found.latest) == (first, last)
    assert found.about == typed.startswith("about")
    assert (found.exact is not None) == (part[2] is not None)
    assert found.text == typed


@pytest.mark.parametrize(
    "typed", ["2023-13", "23", "0023", "2023-02-30", "spring", "about", "Foo 2023", "0202", "20226", "May 20226"]
)
def test_no_partial_dates(typed: str) -> None:
    """What is no part of a date is a fault with a cure."""
    assert fault(PARTIAL_DATE, typed).help


@pytest.mark.parametrize(
    ("typed", "clock"),
    [
        ("03:40", time(3, 40)), ("3:40", time(3, 40)), ("0340", time(3, 40)), ("5.40 am", time(5, 40)),
        ("5.40pm", time(17, 40)),
        ("5 am", time(5)), ("12 am", time(0)), ("12:30 pm", time(12, 30)), ("23:10", time(23, 10)),
        ("18h30", time(18, 30)),
        ("00:00", time(0)), ("03:40:20", time(3, 40, 20)), ("3.40", time(3, 40)),
    ],
)  # fmt: skip
def test_times(typed: str, clock: time) -> None:
    """A time of day as people write it; in YAML 1.1 `3:40` is 220 (measured)."""
    assert TIME.read(typed, JUNE) == clock


@pytest.mark.parametrize(
    "typed", ["24:00", "12:60", "340", "5", "13 pm", "0 am", "midnight", "3:4", "2560", "12:30:70", "", "03:40Z"]
)
def test_no_times(typed: str) -> None:
    """What no clock shows is a fault with a cure."""
    assert fault(TIME, typed).help


@pytest.mark.parametrize(
    ("typed", "day", "clock"),
    [
        ("2 Jun", date(2026, 6, 2), None),
        ("2026-06-02", date(2026, 6, 2), None),
        ("2026-06-02 18:00", date(2026, 6, 2), time(18)),
        ("2026-06-02T18:00", date(2026, 6, 2), time(18)),
        ("2 Jun 18:00", date(2026, 6, 2), time(18)),
        ("2 Jun 1800", date(2026, 6, 2), time(18)),
        ("2 Jun 0740", date(2026, 6, 2), time(7, 40)),
        ("2 Jun 2026", date(2026, 6, 2), None),
        ("2 Jun 2026 6 pm", date(2026, 6, 2), time(18)),
        ("2 Jun at 6.30 am", date(2026, 6, 2), time(6, 30)),
    ],
)
def test_moments(typed: str, day: date, clock: time | None) -> None:
    """A day with or without a time of day."""
    found = WHEN.read(typed, JUNE)
    assert found == When(day, clock, typed)


def test_a_year_that_may_be_a_time() -> None:
    """`2 Jun 2015` in a note of 2026 is 20:15 or eleven years ago: nobody guesses at doses."""
    found = fault(WHEN, "2 Jun 2015")
    assert "`2 Jun 20:15`" in found.help
    assert "`2015-06-02`" in found.help
    assert (found.start, found.length) == (6, 4)


def test_moment_of_a_day_is_its_end() -> None:
    """A day without a time ends at its end."""
    assert When(date(2026, 6, 2)).moment == datetime.combine(date(2026, 6, 2), time.max)
    assert When(date(2026, 6, 2), time(18)).moment == datetime(2026, 6, 2, 18)


@pytest.mark.parametrize("typed", ["2 Jun 25:00", "30 Feb 18:00", "18:00", "2 Jun 18", "soon"])
def test_no_moments(typed: str) -> None:
    """What is neither day nor moment is a fault with a cure."""
    assert fault(WHEN, typed).help


# NIST Special Publication 811 (2008), Appendix B.9: 1 lb (avoirdupois) = 4.535 924 E-01 kg, 1 oz = 2.834 952 E-02 kg.
@pytest.mark.parametrize(
    ("typed", "kg"),
    [
        ("4.1 kg", 4.1),
        ("4.1kg", 4.1),
        ("4.1", 4.1),
        ("4.10", 4.1),
        ("410 g", 0.41),
        ("9.5 lb", 4.3091275),
        ("9 lb 8 oz", 4.3091275),
        ("1 LB", 0.4535924),
        ("0 lb 1 oz", 0.02834952),
        ("4.1 kg.", 4.1),
    ],
)
def test_weights(typed: str, kg: float) -> None:
    """A weight in kilograms, whatever its unit."""
    found = WEIGHT.read(typed, JUNE)
    assert not isinstance(found, Fault)
    assert found.kg == pytest.approx(kg, rel=1e-6)
    assert found.amount == found.kg
    assert found.text == typed


def test_bare_weight_is_in_the_flocks_unit() -> None:
    """A number alone is in the unit of the settings."""
    metric, us = WEIGHT.read("9.5", JUNE), WEIGHT.read("9.5", US)
    assert not isinstance(metric, Fault)
    assert not isinstance(us, Fault)
    assert metric.kg == 9.5
    assert us.kg == pytest.approx(4.3091275)


@pytest.mark.parametrize(
    ("typed", "cure"),
    [
        (".25", "write 0.25"), (".25 kg", "write 0.25"), ("9,5", "write 9.5"), ("1,204,5", "without commas"),
        ("4.1 stone", "stones and pounds"), ("9 st 14 lb", "14 pounds"), ("9 st 4,5", "write 4.5"), ("4.1 sacks", "kg"),
        ("4..1", "figures"), ("4.1.2", "figures"), ("9 lb 16 oz", "16 ounces"), ("heavy", "4.1 kg"),
        ("-4", "4.1 kg"), ("", "4.1 kg"),
        ("4⅚", "4.1 kg"), ("1e3", "kg"), ("４", "figures"), ("4.1 kg or so", "4.1 kg"),
    ],
)  # fmt: skip
def test_no_weights(typed: str, cure: str) -> None:
    """What is no weight is a fault that says what to type."""
    assert cure in fault(WEIGHT, typed).help


def test_decimal_comma() -> None:
    """`9,5` is read only where the settings say that it is the habit."""
    assert "decimal comma: yes" in fault(WEIGHT, "9,5").help
    found = WEIGHT.read("9,5 kg", COMMA)
    assert not isinstance(found, Fault)
    assert found.kg == 9.5
    assert isinstance(WEIGHT.read("9.5", COMMA), type(found))
    assert "write 0.25" in fault(WEIGHT, ",25", COMMA).help
    assert fault(WEIGHT, "1.204,5", COMMA)


@pytest.mark.parametrize("figures", ABSURD)
@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_absurd_numbers_do_not_crash(figures: str, reader: Reader[Any]) -> None:
    """Thousands of figures are a fault (or words), never an error of the program."""
    survives(reader, figures)


@pytest.mark.parametrize(("typed", "ml"), [("2 ml", 2), ("0.25 mL", 0.25), ("1 l", 1000), ("2cc", 2), ("150 ML", 150)])
def test_volumes(typed: str, ml: float) -> None:
    """A volume in millilitres."""
    found = VOLUME.read(typed, JUNE)
    assert not isinstance(found, Fault)
    assert (found.ml, found.amount, found.text) == (ml, ml, typed)


def test_a_volume_needs_its_unit() -> None:
    """`4` could be anything: what to type is shown with the figure in it."""
    assert "`4 ml`" in fault(VOLUME, "4").help


# 39.2 °C = 102.56 °F and 102.5 °F = 39.17 °C: NIST SP 811, Appendix B.9, t/°C = (t/°F − 32)/1.8.
@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("39.2 C", 39.2),
        ("39.2°C", 39.2),
        ("102.5 F", 39.1666667),
        ("102.5 °f", 39.1666667),
        ("39 deg C", 39),
        ("39.2", 39.2),
        ("102.5", 39.1666667),
        ("86", 30),
        ("45", 45),
    ],
)
def test_temperatures(typed: str, celsius: float) -> None:
    """A temperature in degrees Celsius."""
    found = TEMPERATURE.read(typed, JUNE)
    assert not isinstance(found, Fault)
    assert found.celsius == pytest.approx(celsius)
    assert found.amount == found.celsius


@pytest.mark.parametrize("typed", ["60", "39,2 C", "hot", "39.2 K", ""])
def test_no_temperatures(typed: str) -> None:
    """A temperature without its scale is a fault with a cure."""
    assert fault(TEMPERATURE, typed).help


@pytest.mark.parametrize(
    ("typed", "hours", "days"),
    [
        ("28 days", 672, 28), ("28 d", 672, 28), ("1 day", 24, 1), ("6 weeks", 1008, 42), ("72 h", 72, None),
        ("72 hours", 72, None),
        ("45 min", 0.75, None), ("1.5 days", 36, None), ("none", 0, 0), ("0", 0, 0), ("0 h", 0, 0),
        ("1 month", 744, 31), ("24 h", 24, None),
    ],
)  # fmt: skip
def test_lengths_of_time(typed: str, hours: float, days: int | None) -> None:
    """Hours stay hours and days stay days: 24 h is not a day."""
    assert SPAN_OF_TIME.read(typed, JUNE) == Duration(hours, days, typed)


@pytest.mark.parametrize("typed", ["28", "28 dags", "a while", "-3 days", "1,5 days", ".5 days", "28 days or so", ""])
def test_no_lengths_of_time(typed: str) -> None:
    """A length without its unit is a fault with a cure."""
    assert fault(SPAN_OF_TIME, typed).help


def test_fault_offsets() -> None:
    """A fault marks the part of the text that is wrong."""
    assert (fault(WEIGHT, "4 oz").start, fault(WEIGHT, "4 oz").length) == (2, 2)
    assert (fault(WEIGHT, "  4 oz").start, fault(WEIGHT, "  4 oz").length) == (4, 2)
    assert (fault(WEIGHT, "9 lb 8,5 oz").start, fault(WEIGHT, "9 lb 8,5 oz").length) == (5, 3)
    assert (fault(DATE, "19 Jux 2026").start, fault(DATE, "19 Jux 2026").length) == (3, 3)
    assert (fault(WHEN, "2 Jun 25:00").start, fault(WHEN, "2 Jun 25:00").length) == (6, None)


@pytest.mark.parametrize(("typed", "truth"), [("yes", True), ("Y", True), ("No", False), ("n", False), ("true", True)])
def test_flags(typed: str, truth: bool) -> None:
    """Yes or no."""
    assert FLAG.read(typed, JUNE) is truth


@pytest.mark.parametrize("typed", ["maybe", "on", "1", "", "yes?"])
def test_no_flags(typed: str) -> None:
    """Anything else is asked about."""
    assert "`yes` or `no`" in fault(FLAG, typed).help


def test_choice() -> None:
    """One word of a set, without regard to case; a slip is met with a guess, and the whole set."""
    reader = CHOICE("none", "one side", "AI")
    assert reader.read("One  Side", JUNE) == "one side"
    assert reader.read("ai", JUNE) == "AI"
    assert "did you mean `none`?" in fault(reader, "nine").help
    assert "none, one side, AI" in fault(reader, "other").help


def test_score() -> None:
    """A score lies on its scale and on one of its steps."""
    condition, eyelid = SCORE(1, 5, 0.25), SCORE(1, 5, 1)
    assert condition.read("2.75", JUNE) == 2.75
    assert "steps of 0.25" in fault(condition, "2.8").help
    assert "from 1 to 5" in fault(eyelid, "6").help
    assert fault(eyelid, "2.5")
    assert SCORE(0, 1, 0.1).read("0.3", JUNE) == 0.3


def test_numbers() -> None:
    """Whole numbers, numbers, shares, areas, heights, and days."""
    assert COUNT.read("07", JUNE) == 7
    assert fault(COUNT, "7.5").help
    assert COUNT.read("1000000", JUNE) == 1_000_000
    assert fault(COUNT, "1000001").help
    assert NUMBER.read("4.5", JUNE) == 4.5
    assert PERCENT.read("25%", JUNE) == values.Amount(25, "25%")
    # NIST SP 811, Appendix B.9: 1 acre (based on US survey foot) = 4.046 873 E+03 m²
    acres = AREA.read("2 acres", JUNE)
    assert not isinstance(acres, Fault)
    assert acres.amount == pytest.approx(2 * 0.4046873, rel=1e-5)
    assert AREA.read("1.2", US) != AREA.read("1.2", JUNE)
    assert LENGTH.read("8", JUNE) == values.Amount(8, "8")
    assert (
        LENGTH_IN_DAYS.read("147 days", JUNE)
        == LENGTH_IN_DAYS.read("147", JUNE)
        == LENGTH_IN_DAYS.read("21 weeks", JUNE)
        == 147
    )
    assert fault(LENGTH_IN_DAYS, "36 h").help
    assert LENGTH_IN_DAYS.read("36525 days", JUNE) == 36_525
    for typed in ("36526 days", "999999999 weeks", "876601 h", "100000000 months"):
        assert "hundred years" in fault(LENGTH_IN_DAYS, typed).message
    assert DATE_OR_SPAN.read("6 weeks", JUNE) == Duration(1008, 42, "6 weeks")
    assert DATE_OR_SPAN.read("19 Apr", JUNE) == date(2026, 4, 19)
    assert fault(DATE_OR_SPAN, "soon").help


def test_text() -> None:
    """Words stay as typed, but a field is no place for a book."""
    assert TEXT.read(" 0412 ", JUNE) == "0412"
    assert "body" in fault(TEXT, "x" * 3000).help
    assert fault(TEXT, "   ")


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_each_reader_reads_its_own_examples(reader: Reader[Any]) -> None:
    """The reference page prints these: they must be right."""
    reads_its_own_examples(reader)


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
@given(ANY_TEXT)
def test_any_text(reader: Reader[Any], text: str) -> None:
    """No text makes a reader raise; a fault lies inside the text and says something."""
    points_into_the_text(reader, text)


@given(st.floats(0.001, 99_999, allow_nan=False).map(lambda value: f"{value:.3f}"))
def test_weights_come_back(figures: str) -> None:
    """A number typed with three decimals is read exactly."""
    found = WEIGHT.read(figures, JUNE)
    assert not isinstance(found, Fault)
    assert f"{found.kg:.3f}" == figures


def test_values_are_frozen() -> None:
    """Values cannot be changed once read."""
    found = WEIGHT.read("4.1 kg", JUNE)
    with pytest.raises(AttributeError):
        found.kg = 5  # type: ignore[misc,union-attr]
