"""Checks on courses, bottles, cases, scores and egg counts, and the gate of a sale with one held ewe."""

from __future__ import annotations

import pytest

from flockbook.checks import courses, health
from tests.flockbook.small import Seen, codes, read

EWES = {
    f"sheep/C{n} {name}.md": f"---\nnote: ewe\ntag: C{n}\nname: {name}\nborn: 2022-04-01\n---\n"
    for n, name in ((1, "Bramble"), (2, "Teasel"), (3, "Curlew"))
}
BOTTLE = (
    "---\nnote: medicine\nname: penicillin\nkind: antibiotic\nmeat withdrawal: 10 days\nmilk withdrawal: 4 days\n"
    "pack: 100 ml\nbatch: A1\nexpires: 2026-05\n---\n"
)


def flock(on: str = "2026-06-10", bottle: str = BOTTLE, **events: str) -> Seen:
    """Three ewes, one product, and events by `d2026_06_01_kind`."""
    files = {**EWES, "medicines/p.md": bottle}
    for name, text in events.items():
        year, month, day, kind = name[1:].split("_", 3)
        kind, _, number = kind.partition("_")
        spoken = {"egg": "egg count"}.get(kind, kind)
        files[f"events/{year}-{month}-{day} {spoken} {number}.md"] = f"---\nnote: {spoken}\n{text}"
    return read(files, on)


def dose(**fields: str) -> str:
    """A treatment of Bramble with penicillin."""
    given = {"sheep": "Bramble", "medicine": "penicillin", "dose": "2 ml", **fields}
    return "".join(f"{name}: {value}\n" for name, value in given.items()) + "---\n"


def told(seen: Seen) -> list[str]:
    """The codes of this family."""
    mine = {rule.code for rule in (*courses.RULES, *health.RULES)}
    return [code for code in codes(seen) if code in mine]


def test_a_course_written_twice_is_asked_about() -> None:
    """Two notes of one product over the same days; `sure: yes` ends the question, another day or product never raises
    it.
    """
    first = dose(given="2026-05-01, 2026-05-02, 2026-05-03")
    assert told(flock(d2026_05_01_treatment_a=first, d2026_05_02_treatment_b=dose(given="2026-05-03"))) == ["M301"]
    sure = dose(given="2026-05-03", sure="yes")
    assert told(flock(d2026_05_01_treatment_a=first, d2026_05_02_treatment_b=sure)) == []
    assert told(flock(d2026_05_01_treatment_a=first, d2026_05_04_treatment_b=dose())) == []
    assert told(flock(d2026_05_01_treatment_a=first, d2026_05_02_treatment_b=dose(sheep="Teasel"))) == []


def test_two_timed_doses_of_one_day_are_one_course() -> None:
    """Morning and evening, each in a note of its own."""
    morning, evening = dose(time="08:00"), dose(time="20:00")
    assert told(flock(d2026_05_01_treatment_a=morning, d2026_05_01_treatment_b=evening)) == []


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        ({"given": "2026-05-01, 2026-05-02, 2026-05-03"}, False),
        ({"given": "2026-05-01, 2026-05-12, 2026-05-03"}, True),
        ({"given": "2026-05-01, 2026-05-02", "finished": "2026-05-01"}, True),
        ({"given": "2026-05-01, 2026-05-02", "finished": "2026-05-03"}, False),
    ],
)
def test_doses_out_of_order_are_asked_about(fields: dict[str, str], asked: bool) -> None:
    """A date before the one typed ahead of it, or a last day before the last dose."""
    assert told(flock(d2026_05_01_treatment=dose(**fields), on="2026-05-20")) == (["M302"] if asked else [])


def test_a_batch_that_nobody_bought_is_a_gap() -> None:
    """Named in no medicine note and no purchase; a stock note with it closes the gap."""
    used = dose(batch="Z9")
    assert told(flock(d2026_05_01_treatment=used)) == ["M303"]
    bought = "medicine: penicillin\nbought: 1\nbatch: Z9\n---\n"
    assert told(flock(d2026_04_01_stock=bought, d2026_05_01_treatment=used)) == []


def test_an_expired_bottle_is_a_warning() -> None:
    """`2026-05` lasts to 31 May; a stock note's own batch has its own day."""
    assert told(flock(d2026_05_31_treatment=dose())) == []
    assert told(flock(d2026_06_01_treatment=dose())) == ["M304"]
    fresh = "medicine: penicillin\nbought: 1\nbatch: B2\nexpires: 2027-01\n---\n"
    assert told(flock(d2026_05_20_stock=fresh, d2026_06_01_treatment=dose(batch="B2"))) == []


def test_a_pack_open_too_long_is_asked_about() -> None:
    """Opened on 1 April and good for 28 days: through 29 April; a dose before the opening was from another pack."""
    bottle = BOTTLE.replace("---\n", "---\nopened: 2026-04-01\nuse within: 28 days\n", 1)
    assert told(flock(bottle=bottle, d2026_04_29_treatment=dose())) == []
    assert told(flock(bottle=bottle, d2026_05_02_treatment=dose())) == ["M305"]
    assert told(flock(bottle=bottle, d2026_03_30_treatment=dose())) == []


def test_more_used_than_came_and_amounts_in_words() -> None:
    """3 mL bought, 4 mL used: a purchase is missing. `a boxful` is no volume."""
    little = "medicine: penicillin\nbought: 3 ml\n---\n"
    assert told(flock(d2026_04_01_stock=little, d2026_05_01_treatment=dose(dose="4 ml"))) == ["M306"]
    assert told(flock(d2026_04_01_stock="medicine: penicillin\nbought: a boxful\n---\n")) == ["M307"]


def test_selenium_from_two_bottles_is_a_warning() -> None:
    """Six weeks of both add up, in milligrams, and the message says how much."""
    bottle = BOTTLE.replace("---\n", "---\ntrace: selenium 1 mg/mL\n", 1)
    seen = flock(bottle=bottle, d2026_04_01_treatment_a=dose(), d2026_05_01_treatment_b=dose())
    assert told(seen) == ["M308"]
    assert "selenium" in next(item.message for item in seen.diagnostics if item.code == "M308")
    assert "4 mg in all" in next(item.message for item in seen.diagnostics if item.code == "M308")


def ill(**fields: str) -> str:
    """An illness of Bramble."""
    return "sheep: Bramble\n" + "".join(f"{name}: {value}\n" for name, value in fields.items()) + "---\n"


def test_a_case_forgotten_is_a_gap() -> None:
    """Thirty days without a word are let be, thirty-one are not; a recovery ends it."""
    assert told(flock("2026-05-31", d2026_05_01_illness=ill(problem="lameness"))) == []
    assert told(flock("2026-06-01", d2026_05_01_illness=ill(problem="lameness"))) == ["U101"]
    assert told(flock("2026-06-01", d2026_05_01_illness=ill(problem="lameness", recovered="2026-05-09"))) == []


def test_temperature_and_ketones_outside_the_published_range() -> None:
    """104.2 F and 0.9 mmol/L with nothing done: gentle notes. 102.5 F is 39.167 C and silent, and so is a blank."""
    seen = flock("2026-05-03", d2026_05_01_illness=ill(problem="dull", temp="104.2 F", ketones="0.9"))
    assert told(seen) == ["U103", "U104"]
    assert {item.grade.value for item in seen.diagnostics if item.code in ("U103", "U104")} == {"gap"}
    quiet = flock("2026-05-03", d2026_05_01_illness=ill(problem="dull", temp="102.5 F"))
    assert told(quiet) == []
    (case,) = quiet.facts.health.cases.all
    assert case.notes[0].temp
    assert case.notes[0].temp.celsius == pytest.approx(39.167, abs=5e-4)
    done = flock("2026-05-03", d2026_05_01_illness=ill(problem="dull", temp="104.2 F"), d2026_05_01_treatment=dose())
    assert told(done) == []


@pytest.mark.parametrize(
    ("found", "told_of"), [("eyelid 3", []), ("eyelid 4", ["U102"]), ("41.2 C", ["U103"]), ("bcs 2", [])]
)
def test_findings_of_a_check(found: str, told_of: list[str]) -> None:
    """Eyelid 4-5 (sheep101, Cornell CCE 2020) and a fever, when nothing was written after; old ones are history."""
    check = f"---\n- Bramble {found}\n"
    assert told(flock("2026-05-10", d2026_05_01_check=check)) == told_of
    assert told(flock("2026-07-10", d2026_05_01_check=check)) == []


def test_a_drench_or_a_remark_answers_a_pale_eyelid() -> None:
    """What was decided is written: no gap. A needle for a foot is no answer to an eyelid."""
    drench = BOTTLE.replace("kind: antibiotic", "kind: wormer")
    check = "---\n- Bramble eyelid 4\n"
    assert told(flock("2026-05-10", drench, d2026_05_01_check=check, d2026_05_02_treatment=dose())) == []
    assert told(flock("2026-05-10", d2026_05_01_check=check, d2026_05_02_treatment=dose())) == ["U102"]
    remark = "sheep: Bramble\n---\nLeft her, vet says wait.\n"
    assert told(flock("2026-05-10", d2026_05_01_check=check, d2026_05_02_remark=remark)) == []


def test_egg_counts_without_factor_that_do_not_fit_or_come_too_soon() -> None:
    """Eggs without a factor, 230 epg at factor 50, and a second sample on the fifth day."""
    assert told(flock(d2026_05_01_egg="---\n- Bramble 12 eggs\n- Teasel 3 eggs\n")) == ["U105"]
    assert told(flock(d2026_05_01_egg="factor: 50\n---\n- Bramble 230 epg\n")) == ["U106"]
    before = "test: spring\nfactor: 50\n---\n- Bramble 12 eggs\n"
    assert told(flock(d2026_05_01_egg_a=before, d2026_05_06_egg_b=before)) == ["U107"]
    assert told(flock(d2026_05_01_egg_a=before, d2026_05_11_egg_b=before)) == []


def test_the_gate_names_the_one_ewe_that_is_held() -> None:
    """Three sold, one treated eight days before with ten to wait: the error names her, the medicine, the day and the
    note.
    """
    sale = "sheep: Bramble, Teasel, Curlew\ncount: 3\nuse: slaughter\n---\n"
    seen = flock("2026-06-10", d2026_05_31_treatment=dose(given="2026-05-31 08:00"), d2026_06_08_sale=sale)
    (error,) = [item for item in seen.diagnostics if item.code == "W101"]
    assert error.grade.value == "error"
    assert "Bramble (C1)" in error.message
    assert "penicillin" in error.message
    assert "10 Jun 2026 08:00" in error.message
    assert "events/2026-05-31 treatment .md" in error.message
    assert "Teasel" not in error.message
