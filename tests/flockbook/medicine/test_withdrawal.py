"""The clear-to-sell guard against published counting examples, rule by rule, and against a slow second opinion."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.saying.because import step_words
from tests.flockbook.small import codes, meat, milk, read

EWE = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\n---\n",
}


def medicine(name: str, meat_period: str = "", milk_period: str = "none", more: str = "") -> dict[str, str]:
    """A medicine note."""
    line = f"meat withdrawal: {meat_period}\n" if meat_period else ""
    line += f"milk withdrawal: {milk_period}\n" if milk_period else ""
    return {f"medicines/{name}.md": f"---\nnote: medicine\nname: {name}\n{line}{more}---\n"}


def treated(given: str, product: str = "moxidectin", more: str = "", path: str = "a treatment.md") -> dict[str, str]:
    """A treatment note on C214."""
    doses = f"given: {given}\n" if given else ""
    day = (given.split(",")[0] or "2025-05-01")[:10]
    return {path: f"---\nnote: treatment\ndate: {day}\nsheep: C214\nmedicine: {product}\n{doses}{more}---\n"}


# references/medicines.md §9 rows 1-6 and §1.2 worked dates. The day of 24 hours: US quality-assurance manuals (from
# memory);
# 7 d moxidectin: 21 CFR 520.1454; 72 h levamisole: 21 CFR 520.1242b; 42 d tilmicosin: 21 CFR 522.2471; last dose: Reg.
# (EU) 2019/6 Art. 4.
@pytest.mark.parametrize(
    ("given", "period", "until"),
    [
        ("2025-05-01 08:00", "7 days", "2025-05-08T08:00"),
        ("2025-05-01", "7 days", "2025-05-09"),
        ("2024-02-20 10:00", "28 days", "2024-03-19T10:00"),
        ("2025-02-20 10:00", "28 days", "2025-03-20T10:00"),
        ("2025-06-10 17:30", "72 h", "2025-06-13T17:30"),
        ("2025-12-27 06:15", "9 days", "2026-01-05T06:15"),
        ("2025-03-01 09:00", "42 days", "2025-04-12T09:00"),
        ("2025-05-01 18:00, 2025-05-02 18:00, 2025-05-03 18:00", "9 days", "2025-05-12T18:00"),
        ("2025-06-10", "72 h", "2025-06-14"),
        ("2025-06-10", "60 h", "2025-06-14"),
    ],
)
def test_release_dates(given: str, period: str, until: str) -> None:
    """W1, W2, W5, W10: the published counting examples, leap year and year end included."""
    day = given.rsplit(",", 1)[-1].strip()[:10]
    notes = {"flock.yaml": "flock: Small\ntimezone: UTC\n", **EWE, **medicine("moxidectin", period), **treated(given)}
    seen = read(notes, f"{day}T23:59")
    assert meat(seen, "C214") == f"held {until}"
    assert meat(seen, "C230") == "clear"


def test_the_minute_of_release() -> None:
    """Row 1: clear on 8 May at 08:00, held at 07:59 (21 CFR 520.1454, 7 days)."""
    notes = {**EWE, **medicine("moxidectin", "7 days"), **treated("2025-05-01 08:00")}
    assert meat(read(notes, "2025-05-08T07:59"), "C214") == "held 2025-05-08T08:00"
    assert meat(read(notes, "2025-05-08T08:00"), "C214") == "clear"
    assert meat(read(notes, "2025-05-08"), "C214") == "held 2025-05-08T08:00"
    assert meat(read(notes, "2025-05-01"), "C214") == "held 2025-05-08T08:00"


def test_first_clear_date_says_that_a_day_was_added() -> None:
    """Row 2 (our own cautious rule): a date without a time adds one day, and the working says so."""
    notes = {**EWE, **medicine("moxidectin", "7 days"), **treated("2025-05-01")}
    row = read(notes, "2025-05-08T23:59").facts.medicine.guard.standing["C214"]
    assert (row.meat.state, row.meat.shown) == ("held", "2025-05-09")
    assert row.because[0].rule == "W2"
    assert "one day is added" in step_words(row.because[0])
    assert meat(read(notes, "2025-05-09"), "C214") == "clear"


def test_nought_is_no_hold_and_blank_is_not_nought() -> None:
    """W3 and W6, row 7: `0` and `none` hold nobody; a blank holds without an end."""
    for period in ("0", "none"):
        assert (
            meat(read({**EWE, **medicine("moxidectin", period), **treated("2025-05-01")}, "2025-05-01T12:00"), "C214")
            == "clear"
        )
    seen = read({**EWE, **medicine("moxidectin", ""), **treated("2025-05-01")}, "2035-05-01")
    assert meat(seen, "C214") == "unknown"
    assert "M103" in codes(seen)


def test_the_latest_hold_counts_whatever_was_given_last() -> None:
    """W4, row 6: 42 days from 1 May outlast 7 days from 20 May (42 d: 21 CFR 522.2471)."""
    notes = {
        **EWE, **medicine("A", "42 days"), **medicine("B", "7 days"),
        **treated("2025-05-01 08:00", "A"), **treated("2025-05-20 08:00", "B", path="b treatment.md"),
    }  # fmt: skip
    assert meat(read(notes, "2025-05-21"), "C214") == "held 2025-06-12T08:00"


def test_two_texts_of_one_rule_are_both_honoured() -> None:
    """Row 9: 28 and 42 days typed for one ingredient in two notes; nothing built in overrides either (21 CFR 522.2471,
    old and new).
    """
    notes = {**EWE, **medicine("old", "28 days"), **medicine("new", "42 days"), **treated("2025-05-01 08:00", "old")}
    assert meat(read(notes, "2025-05-02"), "C214") == "held 2025-05-29T08:00"
    assert meat(read({**notes, **treated("2025-05-01 08:00", "new")}, "2025-05-02"), "C214") == "held 2025-06-12T08:00"


def test_a_planned_course_names_no_date() -> None:
    """W5, row 5: `days` without `given` or `finished` is unknown; fewer doses than days too; all of them, or
    `finished`, give the date.
    """
    notes = {**EWE, **medicine("penicillin", "9 days")}
    planned = treated("", "penicillin", "days: 3\n")
    assert meat(read({**notes, **planned}, "2026-05-01"), "C214") == "unknown"
    some = treated("2025-05-01 18:00, 2025-05-02 18:00", "penicillin", "days: 3\n")
    assert meat(read({**notes, **some}, "2025-05-03"), "C214") == "unknown"
    whole = treated("2025-05-01 18:00, 2025-05-02 18:00, 2025-05-03 18:00", "penicillin", "days: 3\n")
    assert meat(read({**notes, **whole}, "2025-05-03T20:00"), "C214") == "held 2025-05-12T18:00"
    finished = treated("", "penicillin", "days: 3\nfinished: 2025-05-03 18:00\n")
    assert meat(read({**notes, **finished}, "2025-05-04"), "C214") == "held 2025-05-12T18:00"


def test_unknown_medicine_is_unknown() -> None:
    """W6 and V11: a product without a note holds without an end and the nearest name is offered; of two notes of one
    name the longest period counts, and one of them without a period leaves it unknown.
    """
    seen = read({**EWE, **medicine("moxidectin", "7 days"), **treated("2025-05-01", "moxydectin")}, "2030-01-01")
    assert meat(seen, "C214") == "unknown"
    assert any("did you mean `moxidectin`" in message.help for message in seen.diagnostics)
    twice = {
        **medicine("moxidectin", "7 days"),
        "medicines/second.md": "---\nnote: medicine\nname: Moxidectin\nmeat withdrawal: 1 day\n---\n",
    }
    assert meat(read({**EWE, **twice, **treated("2025-05-01")}, "2025-05-03"), "C214") == "held 2025-05-09"
    twice["medicines/second.md"] = "---\nnote: medicine\nname: Moxidectin\n---\n"
    assert meat(read({**EWE, **twice, **treated("2025-05-01")}, "2030-01-01"), "C214") == "unknown"


def test_not_for_milk_holds_milk_without_an_end() -> None:
    """W7: meat is dated, milk waits for the vet."""
    seen = read(
        {**EWE, **medicine("moxidectin", "7 days", "not for milk"), **treated("2025-05-01 08:00")}, "2025-06-01"
    )
    assert (meat(seen, "C214"), milk(seen, "C214")) == ("clear", "unknown")


def test_six_milkings_are_discarded() -> None:
    """W8, row 8: 72 h from 07:00 discards six milkings, the last at exactly the limit (21 CFR 526.1698, "6
    milkings").
    """
    notes = {**EWE, **medicine("moxidectin", "none", "72 h"), **treated("2025-03-03 07:00")}
    milkings = [datetime(2025, 3, 3, 7) + timedelta(hours=12 * step) for step in range(1, 9)]
    states = [milk(read(notes, f"{milking:%Y-%m-%dT%H:%M}"), "C214") for milking in milkings]
    assert states == ["held 2025-03-06T07:00"] * 6 + ["clear"] * 2
    assert milk(read(notes, "2025-03-06T07:00"), "C214") == "held 2025-03-06T07:00"
    assert milk(read(notes, "2025-03-06T07:01"), "C214") == "clear"


def test_off_label_needs_a_vet_and_a_period() -> None:
    """W9, row 10: without both an error and unknown; 30 written days are accepted (21 CFR 530.20; Reg. (EU) 2019/6 Art.
    115).
    """
    notes = {**EWE, **medicine("closantel", "20 days")}
    for more in ("", "vet: A. Marram\n", "meat withdrawal: 30 days\n"):
        seen = read({**notes, **treated("2025-05-01", "closantel", "off label: yes\n" + more)}, "2030-01-01")
        assert meat(seen, "C214") == "unknown"
        assert "M105" in codes(seen)
    both = "off label: yes\nvet: A. Marram, letter of 1 May\nmeat withdrawal: 30 days\nmilk withdrawal: 9 days\n"
    seen = read({**notes, **treated("2025-05-01 08:00", "closantel", both)}, "2025-05-02")
    assert meat(seen, "C214") == "held 2025-05-31T08:00"
    assert "M105" not in codes(seen)


def test_another_route_or_age_than_the_label_is_off_label() -> None:
    """W9: the label's period does not count when it was given another way, or to an animal too young for it."""
    notes = {**EWE, **medicine("closantel", "20 days", more="route: by mouth\n")}
    assert (
        meat(read({**notes, **treated("2025-05-01", "closantel", "route: under the skin\n")}, "2030-01-01"), "C214")
        == "unknown"
    )
    assert (
        meat(read({**notes, **treated("2025-05-01", "closantel", "route: drench\n")}, "2030-01-01"), "C214") == "clear"
    )


def test_a_shorter_period_without_a_vet_never_counts() -> None:
    """A period typed in the treatment note shortens the label's only when a vet is named."""
    notes = {**EWE, **medicine("closantel", "20 days")}
    alone = treated("2025-05-01 08:00", "closantel", "meat withdrawal: 2 days\n")
    assert meat(read({**notes, **alone}, "2025-05-04"), "C214") == "held 2025-05-21T08:00"
    signed = treated("2025-05-01 08:00", "closantel", "meat withdrawal: 2 days\nvet: A. Marram\n")
    assert meat(read({**notes, **signed}, "2025-05-04"), "C214") == "clear"


def test_sheep_with_one_tag_hold_each_other() -> None:
    """A tag typed for a second sheep by a slip: whoever looks for the tag must not find it clear while one is held."""
    notes = {
        **EWE,
        **medicine("drench", "28 days"),
        "sheep/731 Dewberry.md": "---\nnote: ewe\nborn: 2025\n---\n",
        "events/2026-06-01 1000 treatment 731.md": "---\nmedicine: drench\n---\n",
        "events/2026-06-05 lambing C214.md": "- ewe 4.1 kg, tag 731\n",
    }
    seen = read(notes, "2026-06-10")
    wearers = [animal.id for animal in seen.linked.animals.values() if animal.tag == "731"]
    assert len(wearers) == 2
    assert [meat(seen, sheep) for sheep in wearers] == ["held 2026-06-29T10:00"] * 2
    assert "L207" in {message.code for message in seen.diagnostics}
    later = read(notes, "2026-06-30")
    assert [meat(later, sheep) for sheep in wearers] == ["clear"] * 2


def test_a_lamb_sucking_a_held_ewe_carries_the_question() -> None:
    """W12: shown, and not a hold."""
    notes = {
        **EWE,
        "2026-04-19 0340 lambing Bramble.md": "- ewe 4.1, tag 731\n",
        **medicine("moxidectin", "14 days"),
        **treated("2026-05-01"),
    }
    row = read(notes, "2026-05-05").facts.medicine.guard.standing["731"]
    assert (row.meat.state, row.sucking) == ("clear", "C214")


def test_a_lamb_that_nothing_weans_is_asked_about_at_five_months_too() -> None:
    """W12: born 19 April, on 25 August 128 days old; hill lambs are weaned at four to six months (common practice)."""
    notes = {
        **EWE,
        "2026-04-19 0340 lambing Bramble.md": "- ewe 4.1, tag 731\n",
        **medicine("moxidectin", "14 days"),
        **treated("2026-08-24"),
    }
    assert read(notes, "2026-08-25").facts.medicine.guard.standing["731"].sucking == "C214"
    weaned = {"2026-08-01 weaning.md": "- 731 28 kg\n"}
    assert read(notes | weaned, "2026-08-25").facts.medicine.guard.standing["731"].sucking is None


def test_sold_while_held_is_an_error_that_says_which_medicine_until_when_and_where() -> None:
    """A sale for slaughter, a private sale and one without a use are errors; a sale to live on is a warning."""
    base = {**EWE, **medicine("moxidectin", "28 days"), **treated("2025-05-01 08:00")}
    for use, code in (
        ("use: slaughter\n", "W101"),
        ("use: private\n", "W101"),
        ("", "W101"),
        ("use: breeding\n", "W103"),
    ):
        seen = read(
            {**base, "2025-05-10 sale mart.md": f"---\nsheep: Bramble, Teasel\ncount: 2\n{use}---\n"}, "2025-06-01"
        )
        told = [message for message in seen.diagnostics if message.code == code]
        assert len(told) == 1
        assert all(
            word in told[0].message for word in ("Bramble (C214)", "moxidectin", "29 May 2025 08:00", "a treatment.md")
        )
        assert (told[0].span.line, told[0].span.column) == (2, 8)


def test_a_sale_while_a_course_is_open_is_an_error() -> None:
    """Unknown is not clear at the gate either."""
    base = {**EWE, **medicine("penicillin", "9 days"), **treated("", "penicillin", "days: 3\n")}
    assert "W102" in codes(
        read({**base, "2026-05-10 sale mart.md": "---\nsheep: C214\nuse: slaughter\n---\n"}, "2026-06-01")
    )


def test_a_correction_replaces_and_stays_in_the_register() -> None:
    """V10: the corrected treatment holds nobody but those whom the new note lacks, until `not dosed` names them; it
    stands struck in the register.
    """
    base = {
        **EWE,
        **medicine("moxidectin", "28 days"),
        "2025-05-01 treatment C214.md": "---\nmedicine: moxidectin\n---\n",
    }
    again = {"2025-05-02 treatment C230.md": "---\nmedicine: moxidectin\ncorrects: 2025-05-01 treatment C214\n---\n"}
    seen = read({**base, **again}, "2025-05-03")
    assert (meat(seen, "C214"), meat(seen, "C230")) == ("unknown", "held 2025-05-31")
    assert "L218" in codes(seen)
    again = {path: text.replace("corrects", "not dosed: C214\ncorrects") for path, text in again.items()}
    seen = read({**base, **again}, "2025-05-03")
    assert (meat(seen, "C214"), meat(seen, "C230")) == ("clear", "held 2025-05-31")
    assert [entry.struck_by for entry in seen.facts.medicine.register] == ["2025-05-02 treatment C230.md", ""]


def test_a_broken_correction_strikes_nothing() -> None:
    """A correcting note with an error in it leaves the first one in force."""
    base = {
        **EWE,
        **medicine("moxidectin", "28 days"),
        "2025-05-01 treatment C214.md": "---\nmedicine: moxidectin\n---\n",
    }
    again = {
        "2025-05-02 treatment C230.md": "---\nmedicine: moxidectin\ndose: 4\ncorrects: 2025-05-01 treatment C214\n---\n"
    }
    assert meat(read({**base, **again}, "2025-05-03"), "C214") == "held 2025-05-30"


def test_records_are_kept_until() -> None:
    """Retention: 1 May 2025 + 5 years = 1 May 2030 (Reg. (EU) 2019/6 Art. 108(5))."""
    seen = read({**EWE, **medicine("moxidectin", "7 days"), **treated("2025-05-01")}, "2026-01-01")
    assert seen.facts.medicine.register[0].keep_until == date(2030, 5, 1)


# A second opinion: W1-W6 in the plainest code, minute by minute where it must, on generated treatments.

PERIODS = st.one_of(
    st.none(),
    st.integers(0, 60).map(lambda days: ("days", days)),
    st.integers(1, 200).map(lambda hours: ("hours", hours)),
)
DOSES = st.lists(
    st.tuples(st.dates(date(2024, 1, 1), date(2025, 12, 31)), st.one_of(st.none(), st.times())), min_size=1, max_size=4
)
COURSES = st.lists(st.tuples(PERIODS, DOSES, st.one_of(st.none(), st.integers(1, 5))), min_size=1, max_size=3)


def oracle(courses: list, at: datetime) -> str:
    """clear, held or unknown at a moment, straight from the rules as written."""
    worst = "clear"
    for period, doses, days in courses:
        if not any(day <= at.date() for day, _ in doses):
            continue
        if period is None or (days is not None and len({day for day, _ in doses}) < days):
            return "unknown"
        ends = [
            datetime.combine(day + timedelta(days=1), time()) if clock is None else datetime.combine(day, clock)
            for day, clock in doses
        ]
        unit, length = period
        if length == 0:
            continue
        free = max(ends) + timedelta(**{unit: length})
        if max(doses, key=lambda dose: datetime.combine(dose[0], dose[1] or time.max))[1] is None:
            free = datetime.combine((free + timedelta(hours=23, minutes=59, seconds=59)).date(), time())
        worst = "held" if at < free else worst
    return worst


@settings(max_examples=250, deadline=None)
@given(COURSES, st.datetimes(datetime(2024, 1, 1), datetime(2026, 3, 1)))
def test_agrees_with_a_slow_second_opinion(courses: list, at: datetime) -> None:
    """On generated flocks the guard and the plain reading of W1-W6 say the same."""
    at = at.replace(second=0, microsecond=0)
    courses = [
        (period, [(day, clock.replace(second=0, microsecond=0) if clock else None) for day, clock in doses], days)
        for period, doses, days in courses
    ]
    notes: dict[str, str] = dict(EWE)
    for number, (period, doses, days) in enumerate(courses):
        typed = "" if period is None else f"{period[1]} {'days' if period[0] == 'days' else 'h'}"
        notes |= medicine(f"product {number}", typed)
        given = ", ".join(f"{day} {clock:%H:%M}" if clock else f"{day}" for day, clock in doses)
        more = f"days: {days}\n" if days else ""
        first = min(day for day, _ in doses)
        notes[f"{number} treatment.md"] = (
            f"---\nnote: treatment\ndate: {first}\nsheep: C214\nmedicine: product {number}\ngiven: {given}\nsure: "
            f"yes\n{more}---\n"
        )
    seen = read(notes, at.strftime("%Y-%m-%dT%H:%M"), clock=date(2026, 12, 31))
    assert seen.facts.medicine.guard.standing["C214"].meat.state == oracle(courses, at)
    assert meat(seen, "C230") == "clear"


@pytest.mark.parametrize(
    ("whom", "lines", "held"),
    [
        ("sheep: 101\n", "", {"101"}),
        ("sheep: 101, 102\n", "", {"101", "102"}),
        ("", "- 101 3.3 ml\n- 102 3.3 ml\n", {"101", "102"}),
        ("sheep: 101, 102, 103\n", "", set()),
    ],
)
def test_one_dose_has_one_answer_alone_and_in_company(whom: str, lines: str, held: set[str]) -> None:
    """V12: 1 mL per 10 kg gives 2.4 and 2.55 mL; 3.3 mL is off the label for both, alone or together. Beside one of
    33 kg it is the dose for the heaviest of the group (common practice, no source).
    """
    notes = {f"sheep/{tag}.md": f"---\nnote: ewe\ntag: {tag}\nborn: 2026-03-20\n---\n" for tag in (101, 102, 103)}
    notes |= {
        "medicines/drench.md": "---\nnote: medicine\nname: drench\nlabel rate: 1 ml per 10 kg\n"
        "meat withdrawal: 4 days\n---\n",
        "2026-08-12 weighing.md": "- 101 24 kg\n- 102 25.5 kg\n- 103 33 kg\n",
        "2026-08-13 treatment.md": f"---\n{whom}medicine: drench\ndose: 3.3 ml\n---\n{lines}",
    }
    standing = read(notes, "2026-08-20").facts.medicine.guard.standing
    assert {tag for tag in ("101", "102", "103") if standing[tag].meat.state == "unknown"} == held
