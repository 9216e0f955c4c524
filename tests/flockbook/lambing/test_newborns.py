"""What newborn lambs and their dams are owed, through typed notes: colostrum, second lambs, weights, fosters."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from flockbook.derive.facts import Facts
from flockbook.derive.lambing.birth_spread import birth_spread
from flockbook.derive.lambing.newborn import BirthWeight, Care
from flockbook.derive.lambing.newborns import Newborn, litters
from flockbook.handover.facts import facts_object
from flockbook.saying.newborns import birth_point_words, by_hand_words
from flockbook.saying.owed import Told, owed_words
from tests.flockbook.small import Notes, read

EWE = "---\nnote: ewe\nborn: 2021\n---\n"
FLOCK = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "2025-10-15 joining Sexton.md": "---\newes: C214, C230\nout: 2025-11-19\n---\n",
}
BIRTH = "2026-03-16 0340 lambing Bramble.md"


def facts(more: Notes, on: str = "2026-03-16T07:00") -> Facts:
    """The facts of the flock with more notes."""
    return read({**FLOCK, **more}, on).facts


def only(found: Facts) -> Newborn:
    """The one newborn lamb."""
    (lamb,) = found.lambing.newborns
    return lamb


def why_by_hand(found: Facts) -> str:
    """Why the one newborn lamb is fed by hand."""
    reason = only(found).by_hand
    return by_hand_words(reason) if reason else ""


def owed(found: Facts, word: str) -> list[tuple[str, str, datetime | None]]:
    """The open items that speak of something."""
    return [
        (item.sheep, birth_point_words(item.what), item.by)
        for item in found.lambing.open_items
        if word in birth_point_words(item.what)
    ]


@pytest.mark.parametrize(
    ("kg", "feed", "day", "low", "high"),
    [(4.0, 200, 800, 720, 840), (5.5, 275, 1100, 990, 1155), (2.5, 125, 500, 450, 525)],
)
def test_colostrum_by_weight(kg: float, feed: float, day: float, low: float, high: float) -> None:
    """Row 9: 50 mL/kg a feed (Vet Times 2018), 200 mL/kg a day (ADAS 1996 prints 800 mL for a twin of 4 kg), 180-210
    (Mellor, Vet. Rec. 1986).
    """
    need = only(facts({BIRTH: f"- ewe {kg} kg, tag 731\n"})).need
    assert need
    assert (need.feed_ml, need.day_ml) == (pytest.approx(feed), pytest.approx(day))
    assert (need.day_low_ml, need.day_high_ml) == (pytest.approx(low), pytest.approx(high))


def test_litres_for_the_litter() -> None:
    """Twins of 4.0 kg: 1.6 litres on the first day; one not weighed is said to be left out, a dead one needs none."""
    twins = facts({BIRTH: "- ewe 4.0, tag 731\n- ram 4.0, tag 732\n"})
    (litter,) = litters(twins.lambing.newborns)
    assert (litter.dam, litter.litres, litter.unweighed) == ("C214", pytest.approx(1.6), 0)
    (part,) = litters(facts({BIRTH: "- ewe 4.0, tag 731\n- ram, tag 732\n- ewe 3.0, dead\n"}).lambing.newborns)
    assert (part.litres, part.unweighed) == (pytest.approx(0.8), 1)


def test_what_was_given_is_taken_off() -> None:
    """150 mL tubed and 100 mL fed of 800 leave 550; milk replacer and feeds after the first day are no colostrum."""
    notes = {
        BIRTH: "- ewe 4.0 kg, tag 731, tubed 150 ml\n",
        "2026-03-16 0600 feeding 731.md": "---\namount: 100 ml\nwhat: frozen\n---\n",
        "2026-03-16 0630 feeding 731 milk.md": "---\nlambs: 731\namount: 200 ml\nwhat: milk replacer\n---\n",
        "2026-03-17 0400 feeding 731 late.md": "---\nlambs: 731\namount: 200 ml\nwhat: frozen\n---\n",
    }
    lamb = only(facts(notes, "2026-03-17T05:00"))
    assert (lamb.recorded_ml, lamb.owed_ml) == (250, 550)
    assert only(facts(notes, "2026-03-16T05:00")).recorded_ml == 150


@pytest.mark.parametrize(
    ("head", "line", "why"),
    [
        ("milk: none", "- ewe 4.0, tag 731", "the ewe's milk is none"),
        ("milk: plenty", "- ewe 4.0, tag 731, weak", "weak"),
        ("milk: plenty", "- ewe 4.0, tag 731, hung", "hung"),
        ("milk: plenty", "- ewe 4.0, tag 731, vigour 2", "weak"),
        ("milk: plenty", "- ewe 4.0, tag 731, tubed 100 ml", "tubed already"),
        ("milk: plenty", "- ewe 4.0, tag 731, vigour 3", ""),
    ],
)
def test_who_cannot_be_left_to_suck(head: str, line: str, why: str) -> None:
    """No milk, weak, hung, low on the five-point scale of vigour (Matheson et al. 2011), or tubed once."""
    found = facts({BIRTH: f"---\n{head}\n---\n{line}\n"})
    assert why_by_hand(found) == why
    assert bool(owed(found, "colostrum")) == bool(why)


def test_first_the_first_feed_then_the_rest_of_the_day() -> None:
    """200 mL within two hours (Vet Times 2018), then 600 mL more by 18 hours; after the day nothing is asked."""
    base = {BIRTH: "---\nmilk: none\n---\n- ewe 4.0 kg, tag 731\n"}
    fed = {**base, "2026-03-16 0500 feeding 731.md": "---\namount: 200 ml\nwhat: ewe colostrum\n---\n"}
    (first,) = owed(facts(base, "2026-03-16T04:00"), "colostrum")
    assert first == (
        "731",
        "200 mL of colostrum for its first feed: the ewe's milk is none",
        datetime(2026, 3, 16, 5, 40),
    )
    (rest,) = owed(facts(fed, "2026-03-16T06:00"), "colostrum")
    assert rest[1].startswith("600 mL of colostrum left for its first day, 200 mL a feed")
    assert rest[2] == datetime(2026, 3, 16, 21, 40)
    assert owed(facts(fed, "2026-03-17T04:00"), "colostrum") == []


def test_an_orphan_and_a_pet_are_fed_by_hand() -> None:
    """Her dam died; or a foster note put her on the bottle."""
    base = {BIRTH: "- ewe 4.0 kg, tag 731\n"}
    dead = {**base, "2026-03-16 0500 death Bramble.md": "---\ncause: hard birth\n---\n"}
    pet = {**base, "2026-03-16 0500 foster 731.md": "---\npet: yes\n---\n"}
    assert why_by_hand(facts(dead)) == "its dam is gone"
    assert why_by_hand(facts(pet)) == "on the bottle"
    assert owed(facts(dead), "afterbirth") == []


def test_a_lamb_that_the_scan_saw_and_nobody_wrote() -> None:
    """Scanned twins, one written: look for another within 30 minutes (E. Gascoigne, Farmers Weekly); two settle it."""
    scan = {"2026-01-10 scan.md": "- C214 twins\n"}
    (item,) = owed(facts({**scan, BIRTH: "- ewe 4.0, tag 731\n"}), "the scan saw")
    assert item == ("C214", "the scan saw 2 lambs, 1 is written: look for another", datetime(2026, 3, 16, 4, 10))
    assert owed(facts({**scan, BIRTH: "- ewe 4.0, tag 731\n- ewe, dead\n"}), "the scan saw") == []
    assert owed(facts({BIRTH: "- ewe 4.0, tag 731\n"}), "the scan saw") == []


def test_an_afterbirth_a_day_late_says_to_ring_the_vet() -> None:
    """12 hours amber, 24 hours red (Anexa Vets NZ: 12-24 h)."""
    base = {BIRTH: "- ewe 4.0, tag 731\n"}
    assert owed(facts(base, "2026-03-16T16:00"), "afterbirth")[0][1] == "afterbirth not written as seen"
    assert "ring the vet" in owed(facts(base, "2026-03-17T03:40"), "afterbirth")[0][1]


@pytest.mark.parametrize(("kg", "flag"), [(3.4, "light"), (3.5, "usual"), (5.5, "usual"), (5.6, "heavy")])
def test_weights_against_the_published_lines(kg: float, flag: str) -> None:
    """Under 3.5 kg at risk of exposure, over 5.5 kg of a hard birth (Making More From Sheep, tool 10.9)."""
    assert only(facts({BIRTH: f"- ewe {kg} kg, tag 731\n"})).line == BirthWeight(flag)


def twins(count: int) -> dict[str, str]:
    """So many twin births of last year, their lambs weighing 4.0, 4.1, 4.2 … kg in turn."""
    notes = {f"sheep/E{place}.md": EWE for place in range(count)}
    for place in range(count):
        one, other = 4 + place % 10 / 10, 4 + (place + 5) % 10 / 10
        notes[f"2025-03-{place + 1:02} lambing E{place}.md"] = f"- ewe {one:.1f} kg\n- ram {other:.1f} kg\n"
    return notes


def test_a_weight_against_the_flocks_own_lambs() -> None:
    """3.6 kg is over the published line and yet the lightest of 22 twins; of 8 nobody can say; singles are others."""
    birth = {BIRTH: "- ewe 3.6 kg, tag 731\n- ram 4.6 kg, tag 732\n"}
    light = facts({**twins(10), **birth}).lambing.newborns[0]
    assert light.spread
    assert (light.line, light.spread.lighter, light.spread.of, light.spread.light) == ("usual", 0, 22, True)
    few = facts({**twins(3), **birth}).lambing.newborns[0]
    assert few.spread
    assert (few.spread.of, few.spread.light) == (8, False)
    single = only(facts({**twins(10), BIRTH: "- ewe 3.6 kg, tag 731\n"}))
    assert single.spread
    assert (single.spread.of, single.spread.light) == (1, False)


def cold(hour: str, celsius: float, on: str = "") -> Facts:
    """A lamb of 4 kg born at 03:40 whose temperature was written at an hour, asked about then or at a later one."""
    feed = f"---\nlambs: 731\ntemp: {celsius} C\n---\n"
    return facts({BIRTH: "- ewe 4.0 kg, tag 731\n", f"2026-03-16 {hour} feeding.md": feed}, f"2026-03-16T{on or hour}")


@pytest.mark.parametrize(
    ("hour", "celsius", "state", "steps"),
    [
        (
            "0940",
            36.0,
            "severe",
            ["dry", "glucose", "warm", "tube once swallowing", "back to ewe", "recheck"],
        ),  # row 10
        ("0540", 36.0, "severe", ["dry", "warm", "tube once swallowing", "back to ewe", "recheck"]),  # row 11
        ("0540", 38.2, "mild", ["dry", "suckle", "shelter", "back to ewe", "recheck"]),  # row 12
        ("0540", 37.0, "mild", ["dry", "suckle", "shelter", "back to ewe", "recheck"]),
        ("0540", 36.9, "severe", ["dry", "warm", "tube once swallowing", "back to ewe", "recheck"]),
        ("0540", 39.0, "normal", ["suckle"]),
        ("0540", 40.1, "fever", ["call vet"]),
    ],
)
def test_the_chilled_lamb_by_its_written_temperature_and_age(
    hour: str, celsius: float, state: str, steps: list[str]
) -> None:
    """Rows 10 to 12: six hours and under 37 °C wants glucose before warmth (Eales et al. 1982, 1984), two hours warmth
    first (NADIS; Rackley); the bands of NADIS and the leaflet. For a lamb that holds its head up: notes do not say.
    """
    warm = only(cold(hour, celsius)).warmth
    assert warm
    assert warm.advice
    assert (warm.celsius, warm.advice.state.value) == (celsius, state)
    assert [step.value for step in warm.advice.steps] == steps


def test_the_steps_are_those_for_its_age_now() -> None:
    """Measured at two hours and asked about at seven, a lamb under 37 °C has used up its own fuel (Eales et al. 1984:
    over five hours): glucose before warmth.
    """
    young, old = (only(cold("0540", 36.0, on)).warmth for on in ("0800", "1040"))
    assert young
    assert old
    assert young.advice
    assert old.advice
    assert "glucose" not in [step.value for step in young.advice.steps]
    assert [step.value for step in old.advice.steps][:3] == ["dry", "glucose", "warm"]


def test_a_chilled_lamb_is_looked_at_again_and_no_dose_is_named() -> None:
    """Two hours on (common practice, no source); the card has the steps, and no item speaks of glucose."""
    found = cold("0940", 36.0)
    assert owed(found, "chilled") == [
        ("731", "badly chilled when last measured, the card has the steps: look again", datetime(2026, 3, 16, 11, 40))
    ]
    assert owed(found, "glucose") == []
    assert owed(cold("0940", 39.4), "look again") == []
    assert only(facts({BIRTH: "- ewe 4.0 kg, tag 731\n"})).warmth is None


def test_the_foster_ledger_keeps_both_dams() -> None:
    """Given on at birth, by a note, to the bottle: dam that bore it, ewe that took it, where it is written."""
    notes = {
        BIRTH: "- ewe 4.0, tag 731, fostered to Teasel\n- ram 4.1, tag 732\n- ram 3.9, tag 733\n",
        "2026-03-18 foster 732.md": "---\nonto: Teasel\n---\n",
        "2026-03-19 foster 733.md": "---\npet: yes\n---\n",
    }
    fosters = facts(notes, "2026-03-20").lambing.fosters
    ledger = [(item.lamb, item.dam, item.onto, item.pet, item.date) for item in fosters]
    assert ledger == [
        ("731", "C214", "C230", False, date(2026, 3, 16)),
        ("732", "C214", "C230", False, date(2026, 3, 18)),
        ("733", "C214", None, True, date(2026, 3, 19)),
    ]
    assert {item.season for item in fosters} == {2026}
    assert len(facts(notes, "2026-03-18").lambing.fosters) == 1


def test_the_facts_file_tells_the_colostrum() -> None:
    """Need by weight, what was written, what is left, and the first feed's hour."""
    notes = {**FLOCK, BIRTH: "- ewe 4.0 kg, tag 731, tubed 150 ml\n"}
    (row,) = facts_object(read(notes, "2026-03-16T07:00"))["colostrum"]
    assert {key: row[key] for key in ("lamb", "per_feed_ml", "day_ml", "recorded_ml", "owed_ml", "first_by")} == {
        "lamb": "731",
        "per_feed_ml": 200,
        "day_ml": 800,
        "recorded_ml": 150,
        "owed_ml": 650,
        "first_by": "2026-03-16T05:40",
    }


def test_birth_weights_of_a_season_by_litter_size() -> None:
    """Middle and eight in ten agree with numpy, an independent library; lines at 3.5 and 5.5 kg (Making More From
    Sheep, tool 10.9); under ten weights only the lightest and the heaviest are told.
    """
    import numpy

    singles = [3.2, 3.5, 4.0, 4.1, 4.4, 4.6, 4.9, 5.0, 5.5, 5.6, 6.1, 6.3]
    notes = {f"sheep/E{place}.md": "---\nnote: ewe\nborn: 2021\n---\n" for place in range(13)}
    notes |= {f"2026-03-16 lambing E{place}.md": f"- ewe {kg}\n" for place, kg in enumerate(singles)}
    notes["2026-03-17 lambing E12.md"] = "- ewe 3.1\n- ram 4.0 stillborn\n"
    one, two = birth_spread(read(notes, "2026-04-01").facts.lambing.births)
    assert (one.size, one.weighed, one.light, one.heavy, one.few) == (1, 12, 1, 3, False)
    low, middle, high = numpy.percentile(singles, (10, 50, 90))
    assert (one.low, one.middle, one.high) == pytest.approx((low, middle, high))
    assert (two.size, two.weighed, two.low, two.high, two.light, two.few) == (2, 2, 3.1, 4.0, 1, True)


@pytest.mark.parametrize(
    ("said", "tubed"),
    [
        ("signs: cannot hold its head up\n---\n", False),
        ("---\nCold, will not lift his head.\n", False),
        ("signs: limp\n---\n", False),
        ("signs: holds its head up\n---\n", True),
    ],
)
def test_a_lamb_that_cannot_hold_its_head_up_is_not_tubed(said: str, tubed: bool) -> None:
    """A leaflet on hypothermia in lambs: never tube an unconscious lamb. Chilled at 36.4 °C, under five hours old."""
    ill = {"2026-03-16 0430 illness 601.md": f"---\nsheep: 601\nproblem: weak lamb\ntemp: 36.4 C\n{said}"}
    found = read({**FLOCK, BIRTH: "- ram 4 kg, tag 601, hung\n", **ill}, "2026-03-16T05:00").facts
    warm = only(found).warmth
    assert warm
    assert warm.advice
    assert (Care.TUBE_ONCE_SWALLOWING in warm.advice.steps, Care.NO_TUBE in warm.advice.steps) == (tubed, not tubed)
    [(_, feed, _)] = owed(found, "first feed")
    assert feed.startswith("only once it is warm" if tubed else "cannot hold its head up: no tube, ring the vet")
    assert ("no tube, ring the vet" in owed(found, "when last measured")[0][1]) is not tubed


def test_of_a_chilled_lamb_whose_head_no_note_names_it_is_asked() -> None:
    """The chilled card has a row for either; the line on Today asks which it is (common practice, no source)."""
    chilled = {"2026-03-16 0430 feeding 601.md": "---\nsheep: 601\ntemp: 36.4 C\n---\n"}
    seen = read({**FLOCK, BIRTH: "- ram 4 kg, tag 601\n", **chilled}, "2026-03-16T05:00")
    told, rows = Told(seen.linked, "metric"), seen.facts.year.owed.rows
    said = [owed_words(told, item, row) for row in rows for item in row.items]
    assert any("Head up? If not: no tube, ring the vet" in words for words in said)
