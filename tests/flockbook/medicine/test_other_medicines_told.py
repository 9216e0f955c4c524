"""A dose told in words is answered only by a medicine that it can have been; and a second one, told in the words of a
treatment, leaves those treated in doubt.

What each writing means is common practice, no source.
"""

from __future__ import annotations

import pytest

from flockbook.derive.medicine.withdrawal import CLEAR
from tests.flockbook.small import Notes, read, unchecked

EWE = "---\nnote: ewe\nborn: 2022\n---\n"
LABEL = "---\nnote: medicine\nname: {}\nmeat withdrawal: {}\nmilk withdrawal: not for milk\n---\n"
FARM: Notes = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C215 Teasel.md": EWE,
    "medicines/mox.md": LABEL.format("moxidectin oral 1 mg/mL", "14 days"),
    "medicines/oxy.md": LABEL.format("oxytetracycline 200 mg/mL", "28 days"),
    "medicines/clo.md": LABEL.format("clostridial vaccine", "none"),
    "medicines/cyp.md": LABEL.format("cypermethrin pour-on", "8 days"),
}
TREATMENT = "---\nsheep: Bramble\nmedicine: {}\ndose: 2 ml\n---\n{}\n"
VACCINE, WORMER = "clostridial vaccine", "moxidectin oral 1 mg/mL"


def clear(notes: Notes, on: str = "2026-06-20") -> set[str]:
    """Whose meat is clear."""
    standing = unchecked(FARM | notes, on).facts.medicine.guard.standing
    return {sheep for sheep, one in standing.items() if one.meat.state == CLEAR}


def told(words: str, day: str, medicine: str) -> Notes:
    """A dose of 2 June in words, and a treatment of a day."""
    return {
        "events/2026-06-02 remark Bramble.md": f"{words}\n",
        f"events/2026-06-{day} treatment Bramble.md": TREATMENT.format(medicine, ""),
    }


@pytest.mark.parametrize("medicine", [VACCINE, "cypermethrin pour-on"])
@pytest.mark.parametrize(
    "words", ["Jab of oxytet.", "antibiotic", "wormed", "drenched", "dosed", "Wormed and vaccinated"]
)
def test_another_medicine_is_no_answer(words: str, medicine: str) -> None:
    """A vaccine or a pour-on, the same day or after, is not the wormer or the antibiotic that a note tells of."""
    assert [clear(told(words, day, medicine)) for day in ("02", "03", "07")] == [{"C215"}] * 3


@pytest.mark.parametrize("stocked", [True, False])
def test_one_antibiotic_is_no_answer_for_another(stocked: bool) -> None:
    """Penicillin of that day answers for no oxytetracycline, in the words of a treatment or of a remark, whether the
    cupboard has that or not; it answers for `antibiotic`.
    """
    farm = {"medicines/pen.md": LABEL.format("procaine penicillin", "9 days")}
    farm |= {} if stocked else {"medicines/oxy.md": LABEL.format("levamisole", "20 days")}
    pen = farm | {"events/2026-06-02 treatment b.md": TREATMENT.format("procaine penicillin", "")}
    for words, free in (("Oxytet too.", {"C215"}), ("Antibiotic too.", {"C214", "C215"})):
        assert clear(pen | {"events/2026-06-02 treatment.md": TREATMENT.format(VACCINE, words)}) == free
        assert clear(pen | {"events/2026-06-02 remark Bramble.md": f"{words}\n"}) == free


@pytest.mark.parametrize(
    ("words", "medicine"),
    [("wormed", WORMER), ("drenched", WORMER), ("dosed", WORMER), ("mox 8", WORMER), ("vaccinated", VACCINE)],
)
def test_the_medicine_that_is_told_of_answers(words: str, medicine: str) -> None:
    """Words and a treatment that agree are one dose."""
    assert clear(told(words, "02", medicine)) == {"C214", "C215"}


@pytest.mark.parametrize("words", ["mox 8", "Mox'd", "moxi'd today", "had mox", "done with mox"])
def test_the_beginning_of_a_product_is_the_product(words: str) -> None:
    """Nobody writes the whole name of a wormer in the race."""
    assert clear({"events/2026-06-12 remark Teasel.md": f"{words}\n"}) == {"C214"}


@pytest.mark.parametrize("words", ["pen 3", "Gate closed.", "Penned 3", "Comb ok, 3 teats", "Tried milk."])
def test_a_word_of_every_day_is_no_product(words: str) -> None:
    """Names of products begin with words of every day."""
    farm = {
        f"medicines/{name}.md": LABEL.format(name, "9 days") for name in ("penicillin", "closantel", "triclabendazole")
    }
    assert clear({**farm, "events/2026-06-12 remark Teasel.md": f"{words}\n"}) == {"C214", "C215"}


@pytest.mark.parametrize(
    "words",
    [
        "Oxytet too.", "Had oxytet same time", "foot sprayed w oxytet", "and 3 ml oxytet", "Also gave 3 ml oxytet.",
        "Poured too", "Long acting antibiotic", "She had an antibiotic as well", "Stitched, antibiotic cover.",
    ],
)  # fmt: skip
@pytest.mark.parametrize("medicine", [VACCINE, WORMER])
def test_a_second_medicine_in_a_treatment_is_in_doubt(words: str, medicine: str) -> None:
    """She had it beside the one that is written; nobody else did."""
    assert clear({"events/2026-06-02 treatment.md": TREATMENT.format(medicine, words)}) == {"C215"}


@pytest.mark.parametrize("words", ["plus mox", "mox at same time", "Drenched while in", "with a drench", "wormed too"])
@pytest.mark.parametrize("text", [TREATMENT, "---\nmedicine: {}\n---\n- Bramble 2 ml, {}\n"])
def test_a_wormer_beside_a_vaccine_is_in_doubt(words: str, text: str) -> None:
    """In prose as behind her dose."""
    assert clear({"events/2026-06-02 treatment.md": text.format(VACCINE, words)}) == {"C215"}


@pytest.mark.parametrize("words", ["Not wormed.", "No oxytet.", "Will drench next week", "Booster due in a month"])
def test_what_was_not_given_is_no_second_medicine(words: str) -> None:
    """Said to be left out, or yet to come."""
    assert clear({"events/2026-06-02 treatment.md": TREATMENT.format(VACCINE, words)}) == {"C214", "C215"}


def test_proof_asks_at_the_words_and_what_it_prints_frees() -> None:
    """The ask stands at the word; its own treatment, or the words to type, settle it."""
    notes = {"events/2026-06-02 treatment.md": TREATMENT.format(VACCINE, "Drenched while in.")}
    asked = next(one for one in read(FARM | notes, "2026-06-20").diagnostics if one.code == "M108")
    assert (asked.span.line, asked.span.column) == (6, 1)
    assert "`Not drenched.`" in asked.help
    assert clear({"events/2026-06-02 treatment.md": TREATMENT.format(VACCINE, "Not drenched.")}) == {"C214", "C215"}
    drench = {"events/2026-06-02 treatment worms.md": TREATMENT.format(WORMER, "")}
    assert clear(notes | drench) == {"C214", "C215"}
