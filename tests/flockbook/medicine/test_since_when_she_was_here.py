"""Where a sheep was and since when, where notes that say so are slips, late or missing: drafts, births, purchases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from compiler.build import proof
from flockbook.book import BOOK
from tests.flockbook.medicine.test_as_people_jot import Files, moment
from tests.flockbook.medicine.test_on_other_farms import standing

DAY = "2026-06-10"  # eight days after the dose of the 2nd, of 28
LABEL = (
    "---\nnote: medicine\nname: oxytet LA\nactive: oxytetracycline\nlabel rate: 1 ml per 10 kg\n"
    "meat withdrawal: 28 days\nmilk withdrawal: 8 days\nsource: label\nchecked: 2026-01-05\n---\n"
)
FARM = {
    "flock.yaml": "units: metric\ndates: day-month\ntimezone: Europe/London\n",
    "medicines/oxytet LA.md": LABEL,
    "sheep/R1 Hector.md": "---\nnote: ram\nborn: 2021-03-01\nmob: rams\n---\n",
    **{
        f"sheep/{name}.md": f"---\nnote: ewe\nborn: 2022-04-10\nmob: {mob}\n---\n"
        for name, mob in (("C231 Plover", "hill"), ("C240 Sorrel", "hill"), ("C255 Curlew", "low"))
    },
}
Case = tuple[str, Files, str]


def event(name: str, text: str) -> Files:
    """A note of an event."""
    return {f"events/2026/{name}.md": text}


def dosed(who: str = "mob: hill") -> Files:
    """The treatment of 2 June."""
    return event("2026-06-02 treatment", f"---\n{who}\nmedicine: oxytet LA\ndose: 2 ml\n---\n")


def lambs_of_nobody() -> Iterator[Case]:
    """The dam is not known, and a later draft, or a mob on the lamb's own note, takes no foot away."""
    draft = event("2026-06-05 draft", "---\nsheep: 741\ninto: weaners\n---\n")
    for ewe in ("Plovr", "C299", "C231 Plovr"):
        born = event("2026-04-20 lambing", f"---\newe: {ewe}\n---\n- ewe 4.0 kg, tag 741\n")
        yield f"lambing of {ewe}", {**dosed(), **born, **draft}, "741"
        yield f"sucking, {ewe}", {**dosed("sheep: Plover"), **born}, "741"
    for dam in ("C231 Plover", "Curlw"):
        own = f"---\nnote: lamb\nsex: ewe\nborn: 2026-04-20\ndam: {dam}\nmob: weaners\n---\n"
        yield f"own note, {dam}", {**dosed(), "sheep/741.md": own}, "741"


def back_again() -> Iterator[Case]:
    """Bought back by her tag, where no sale of hers is read."""
    back = event("2026-06-06 purchase", "---\nfrom: Low Farm\n---\n- C231 ewe\n")
    sale = event("2026-06-03 sale", "---\nsheep: Plovr\nto: Low Farm\nuse: store\nprice: 90\n---\n")
    yield "sale not read", {**dosed(), **sale, **back}, "C231"
    yield "no sale", {**dosed(), **back}, "C231"
    ram = event("2026-06-06 purchase", "---\nfrom: Low Farm\n---\n- R1 Hector ram\n")
    for who in ("sheep: all", "sheep: rams", "sheep: Xyz"):
        yield f"ram home, {who}", {**dosed(who), **ram}, "R1"


def named_before() -> Iterator[Case]:
    """Weighed, moved or lambed before the day on which she is written as come or born."""
    bought = event("2026-06-06 purchase", "---\nfrom: Low Farm\nmob: hill\n---\n- C500 ewe\n")
    for name, text in (
        ("2026-05-20 weighing", "C500 60 kg\n"), ("2026-05-20 draft", "---\nsheep: C500\ninto: hill\n---\n"),
        ("2026-04-20 lambing C500", "- ewe 4 kg, tag 741\n"),
    ):  # fmt: skip
        yield name, {**dosed(), **bought, **event(name, text)}, "C500"
    late = event("2026-06-05 lambing Plover", "- ewe 4.1 kg, tag 731\n")
    other = event("2026-04-16 lambing Curlew", "- ram 4 kg, tag 736\n")
    weighed = event("2026-05-20 weighing", "731 14 kg\n")
    yield "birth written late", {**dosed("sheep: lambs"), **late, **other, **weighed}, "731"
    slip = {"sheep/C231 Plover.md": "---\nnote: ewe\nborn: 2026-06-05\nmob: hill\n---\n"}
    yield "born ahead", {**dosed(), **slip, **event("2026-04-20 lambing Plover", "- ewe 4 kg, tag 741\n")}, "C231"


def words() -> Iterator[Case]:
    """More words of a dose."""
    for text in (
        "Curlew - jag", "Curlew tx", "Put a pessary up Curlew", "CIDR in Curlew", "Ivermectin for Curlew",
        "Oxytocin for Curlew", "Vet gave Curlew something for the pain", "Gave 6 to Curlew",
    ):  # fmt: skip
        yield text, event("2026-06-02 remark", f"{text}\n"), "C255"


CASES = [*lambs_of_nobody(), *back_again(), *named_before(), *words()]


@pytest.mark.parametrize(("files", "tag"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_whoever_may_have_been_dosed_is_not_clear(tmp_path: Path, files: Files, tag: str) -> None:
    """Neither for meat, nor as a lamb that may suck a held ewe."""
    standing(tmp_path, {**FARM, **files}, DAY)
    seen = proof(tmp_path, BOOK, moment(DAY))
    row = next(one for one in seen.linked.animals.values() if tag in one.tags)
    clearance = seen.facts.medicine.guard.standing[row.id]
    assert clearance.meat.state != "clear" or clearance.sucking


@pytest.mark.parametrize("sale", ["Plover (C231)", "C231 Plover", "tag C231", "ewe Plover", "#C231"])
def test_a_sheep_by_two_of_her_words_is_one_sheep(tmp_path: Path, sale: str) -> None:
    """In a sale as in a treatment: she has left."""
    sold = event("2026-06-03 sale", f'---\nsheep: "{sale}"\nto: Low Farm\nuse: store\nprice: 90\n---\n')
    assert "C231" not in standing(tmp_path, {**FARM, **sold}, DAY)


def test_a_name_that_begins_like_a_month_is_no_day(tmp_path: Path) -> None:
    """`- Juniper 6 ml` is her dose, and ends when a dose of that day ends."""
    own = {"sheep/C600 Juniper.md": "---\nnote: ewe\nborn: 2022-04-10\nmob: low\n---\n"}
    note = event("2026-06-02 treatment", "---\nmedicine: oxytet LA\n---\n- Juniper 6 ml\n")
    assert standing(tmp_path, {**FARM, **own, **note}, DAY)["C600"] == "held"


def test_without_any_dose_all_are_clear(tmp_path: Path) -> None:
    """The farm alone, so that the others prove something."""
    assert set(standing(tmp_path, FARM, DAY).values()) == {"clear"}
