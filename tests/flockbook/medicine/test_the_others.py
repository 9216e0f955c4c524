"""`Wormed the rest.`, `as well` beside a dose that she had, a file named by a short year, and waits told only in words.

What each writing means is common practice, no source.
"""

from __future__ import annotations

import pytest

from flockbook.derive.medicine.withdrawal import CLEAR
from tests.flockbook.small import Notes, unchecked

EWE = "---\nnote: ewe\nborn: 2022\nmob: {}\n---\n"
FARM: Notes = {
    "flock.yaml": "flock: Small\n",
    "mobs/hill.md": "---\nnote: mob\n---\n",
    "mobs/low.md": "---\nnote: mob\n---\n",
    "sheep/110 Rose.md": EWE.format("hill"),
    "sheep/105 Pearl.md": EWE.format("hill"),
    "sheep/106 Dixie.md": EWE.format("hill"),
    "sheep/107 Lily.md": EWE.format("low"),
    "medicines/penicillin.md": "---\nnote: medicine\nmeat withdrawal: 9 days\nmilk withdrawal: not for milk\n---\n",
}


def clear(notes: Notes, on: str) -> set[str]:
    """Whose meat is clear."""
    standing = unchecked(FARM | notes, on).facts.medicine.guard.standing
    return {sheep for sheep, one in standing.items() if one.meat.state == CLEAR}


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("famacha", "---\n---\n- Rose 2\n- Pearl 2\nWormed the rest.\n"),
        ("remark", "Rose and Pearl stay in the jug. Wormed the rest 6 cc.\n"),
        ("remark", "Rose and Pearl looked fine. Penicillin 6 cc to the others.\n"),
        ("remark", "Rose is in the jug. Drenched everybody else.\n"),
    ],
)
def test_the_others_are_everybody_it_can_mean(name: str, text: str) -> None:
    """Those named are the ones that were not dosed: nobody else may be clear either."""
    assert clear({f"events/2026-05-30 {name}.md": text}, "2026-06-02") & {"106", "107"} == set()


@pytest.mark.parametrize(
    ("text", "free"),
    [
        ("Gave the rest of the penicillin to Rose.", {"105", "106", "107"}),
        ("Gave Rose the rest of the penicillin.", {"105", "106", "107"}),
        ("Rose had some; gave the rest of the penicillin to Pearl and Lily.", {"106"}),
        ("Gave the rest of the penicillin to Rose and the rest.", set()),
        ("Gave the rest of the penicillin lot to Rose.", set()),
        ("Rose fine, gave the rest of the penicillin.", set()),
        ("Gave the rest of them penicillin.", set()),
    ],
)  # fmt: skip
def test_the_rest_of_a_medicine_is_no_sheep(text: str, free: set[str]) -> None:
    """The rest of a bottle, given to somebody who is named, leaves out nobody; the rest of them are the others."""
    assert clear({"events/2026-05-30 remark.md": f"{text}\n"}, "2026-06-02") == free


def test_the_rest_of_a_medicine_is_a_dose_more() -> None:
    """A treatment of the day before does not answer for what was given of it afterwards."""
    dose = "---\nsheep: Rose\nmedicine: penicillin\ndose: 3 ml\n---\n"
    words = "Gave the rest of the penicillin to Rose.\n"
    notes = {"events/2026-05-30 treatment.md": dose, "events/2026-05-31 remark.md": words}
    assert clear(notes, "2026-06-12") == {"105", "106", "107"}


def test_a_flock_that_is_well_is_clear() -> None:
    """The rest of them fine, and no dose told: everybody is clear."""
    assert clear({"events/2026-05-30 remark.md": "Rose lame, the rest fine.\n"}, "2026-06-02") == {
        "110", "105", "106", "107"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "free"),
    [
        ("45 day withdrawal.", False), ("Vet says 45 days.", False), ("Do not sell her for 45 days.", False),
        ("Hold 45 days.", False), ("9 day withdrawal.", True), ("Hold her in the pen 5 days.", True),
    ],
)  # fmt: skip
def test_a_longer_wait_in_words_holds_beside_milk_that_is_never_clear(words: str, free: bool) -> None:
    """30 May and 9 days are long over on 20 June; 45 days are not, and the words alone say so."""
    text = f"---\nsheep: Rose\nmedicine: penicillin\ndose: 6 ml\ndates sure: yes\n---\n{words}\n"
    assert ("110" in clear({"events/2026-05-30 treatment.md": text}, "2026-06-20")) is free


OXYTET = "---\nnote: medicine\nmeat withdrawal: 28 days\nmilk withdrawal: 7 days\n---\n"
DOSED = "---\nsheep: {}\nmedicine: {}\ndose: 2 ml\n---\n"


@pytest.mark.parametrize(
    ("words", "free"),
    [("Dosed her as well, 2 ml.", False), ("Same for her.", False), ("Penicillin 2 ml for her as well.", True)],
)
def test_as_well_may_be_any_medicine_of_that_day(words: str, free: bool) -> None:
    """Pearl had penicillin with Rose; oxytetracycline only Rose had, by its note, and the words may mean that one."""
    notes = {
        "medicines/oxytetracycline.md": OXYTET,
        "events/2026-05-21 treatment foot.md": DOSED.format("Rose, Pearl", "penicillin"),
        "events/2026-05-21 treatment cough.md": DOSED.format("Rose", "oxytetracycline"),
        "events/2026-05-21 remark Pearl.md": f"---\n---\n{words}\n",
    }
    assert ("105" in clear(notes, "2026-06-02")) is free


@pytest.mark.parametrize("path", ["events/2026/26-05-21 treatment.md", "events/26-05-21 treatment.md"])
def test_a_name_that_begins_with_a_short_year_is_no_day_of_long_ago(path: str) -> None:
    """`26-05-21` is 21 May 2026 in the folder of 2026, and without one it is not guessed to be 26 May 2021."""
    settings = {"flock.yaml": "flock: Small\ndates: day-month\n"}
    assert "110" not in clear(settings | {path: DOSED.format("Rose", "penicillin")}, "2026-05-28")


def test_one_flock_number_on_two_tags_joins_nobody() -> None:
    """Official numbers begin with the number of the flock (9 CFR 79, scrapie flock identification numbers): two sheep
    that share it are two sheep, and the dose of one holds the other not.
    """
    notes = {
        "events/2026-05-01 tagging.md": "---\n---\n- 110 official GA1234 0604\n- 105 official GA1234 0608\n",
        "events/2026-05-21 treatment Rose.md": DOSED.format("Rose", "oxytetracycline"),
        "medicines/oxytetracycline.md": OXYTET,
    }
    assert clear(notes, "2026-06-02") == {"105", "106", "107"}
    official = {"events/2026-05-21 treatment Rose.md": DOSED.format("GA1234 0604", "oxytetracycline")}
    assert "110" not in clear(notes | official, "2026-06-02")
