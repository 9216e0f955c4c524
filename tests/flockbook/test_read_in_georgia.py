"""Notes as somebody in Georgia writes them, who keeps her flock in pounds: what she types is read, or she is asked.

The words are common practice in American extension writing, from memory; sheep and medicines are invented.
"""

from __future__ import annotations

from typing import Any

import pytest

from flockbook.seen import Seen
from tests.flockbook.small import meat, read

FLOCK = {
    "flock.yaml": "flock: Red Clay\nunits: us\nwords: us\ndates: month-day\ncountry: US\ncurrency: USD\n",
    "sheep/101 Peaches.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/102 Dolly.md": "---\nnote: ewe\nborn: 2021\n---\n",
    "sheep/B7 Waylon.md": "---\nnote: ram\nborn: 2020\n---\n",
    "medicines/longacting.md": "---\nnote: medicine\nlabel rate: 4.5 ml per 100 lb\nroute: SQ\nkind: antibiotic\n"
    "meat withdrawal: 28 days\nmilk withdrawal: not for milk\n---\n",
}


def seen_of(path: str, text: str, on: str = "2026-11-30") -> Seen:
    """The flock with one note more."""
    return read({**FLOCK, path: text}, on)


def record_of(path: str, text: str, on: str = "2026-11-30") -> Any:
    """The record that a note became."""
    seen = seen_of(path, text, on)
    return next(one for one in seen.collection.records if one.origin.path == path)


def told(path: str, text: str, on: str = "2026-11-30") -> list[str]:
    """What is said of one note, each message with its help."""
    messages = seen_of(path, text, on).diagnostics
    return [f"{one.code} {one.message} {one.help}" for one in messages if one.span.path == path]


@pytest.mark.parametrize(
    ("line", "lambs"),
    [
        ("101 not bred", 0), ("101 not pregnant", 0), ("101 not in lamb", 0), ("101 unbred", 0), ("101 no lambs", 0),
        ("101 preg", None), ("101 settled", None), ("101 bred", None), ("101 in lamb", None),
    ],
)  # fmt: skip
@pytest.mark.parametrize("dash", ["- ", ""])
def test_a_ewe_scanned_not_bred_is_empty(line: str, lambs: int | None, dash: str) -> None:
    """Words that deny a lamb are never read as one, with a dash or without it."""
    scan = record_of("events/2025-12-15 scan.md", f"{dash}{line}\n")
    assert [(one.sheep, one.lambs) for one in scan.lines] == [("101", lambs)]


def test_a_denial_that_is_not_understood_is_asked_about() -> None:
    """`not sure if in lamb` says neither."""
    messages = told("events/2025-12-15 scan.md", "- 101 not sure if bred\n")
    assert any("does not say what was seen" in one for one in messages)


def lamb_of(line: str) -> Any:
    """The one lamb of a lambing note."""
    return record_of("events/2026-03-18 lambing Peaches.md", f"- {line}\n", "2026-03-19").lines[0]


def told_of_lamb(line: str) -> str:
    """All that is said of one lamb's line."""
    return "\n".join(told("events/2026-03-18 lambing Peaches.md", f"- {line}\n", "2026-03-19"))


@pytest.mark.parametrize("line", ["ewe 11 lb, temp 102.9", "ewe 11 lb, temp 102.9 F", "ewe 11 lb, 102.9 F"])
def test_a_lamb_s_temperature_stands_on_its_line(line: str) -> None:
    """It is read as degrees of Fahrenheit (102.9 F is 39.4 C), and nothing is said of a second tag."""
    lamb = lamb_of(line)
    assert (round(lamb.temperature.celsius, 1), lamb.weight.text.strip()) == (39.4, "11 lb")


def test_no_tag_is_offered_that_has_a_point_or_a_unit() -> None:
    """A second figure is asked about; pounds and ounces with a hyphen are named as such."""
    assert "write `tag" not in told_of_lamb("ewe 11 lb, 102.9") + told_of_lamb("ram 9-2, tag 228")
    assert "9 lb 2 oz" in told_of_lamb("ram 9-2, tag 228")
    assert "several lambs on one line" in told_of_lamb("2 bucks, 8 lb each")


def test_f_and_m_are_sexes_and_a_weight_in_words_is_asked_about() -> None:
    """`f 8.25 lb tag 227` is a ewe lamb; `eight pounds` is no weight, and that is said."""
    assert (lamb_of("f 8.25 lb tag 227").sex, lamb_of("m, 9 lb").sex) == ("ewe", "ram")
    assert "no figure before it" in told_of_lamb("ewe lamb, eight pounds, tag 227")


@pytest.mark.parametrize("typed", ["C-section", "c section", "cesarean"])
def test_a_cesarean_is_known_by_its_names(typed: str) -> None:
    """However it is called, it is help of that sort; good milk is milk enough."""
    text = f"---\nhelp: {typed}\nmilk: good\n---\n- ewe 8 lb\n"
    birth = record_of("events/2026-03-18 lambing Peaches.md", text, "2026-03-19")
    assert (birth.help, birth.milk) == ("caesarean", "enough")


def test_no_word_for_a_class_is_a_bought_sheep_s_tag() -> None:
    """`yearling ewe K1` is K1; two on a line are asked for apart."""
    bought = record_of("events/2026-07-20 bought.md", "- yearling ewe K1, born 2025\n- ewe lamb K2\n")
    assert [(one.sheep, one.sex) for one in bought.lines] == [("K1", "ewe"), ("K2", "ewe")]
    messages = told("events/2026-07-20 bought.md", "- 2 yearling ewes, tags K1 and K2\n")
    assert any("a line for each" in one for one in messages)


@pytest.mark.parametrize(
    ("said", "signs"),
    [
        ("famacha 4, bottle jaw", ("jaw",)), ("swelling under jaw", ("jaw",)), ("bottlejaw", ("jaw",)),
        ("snotty nose", ("nose",)), ("dirty butt", ("tail",)), ("no bottle jaw", ()),
    ],
)  # fmt: skip
def test_signs_of_worms_as_they_are_spoken_of(said: str, signs: tuple[str, ...]) -> None:
    """Each is its point of the five; what is denied is none."""
    assert record_of("events/2026-06-01 check.md", f"- 101 {said}\n").lines[0].signs == signs


def test_other_words_of_a_check() -> None:
    """`bag` is the udder, `fam` the eyelid, `weight 143` a weight in her pounds (64.9 kg)."""
    line = record_of("events/2026-06-01 check.md", "- 101 fam 3, bag lump right, weight 143\n").lines[0]
    assert (line.eyelid, line.udder, line.udder_side, round(line.weight.kg, 1)) == (3, "lump", "right", 64.9)


@pytest.mark.parametrize("name", ["breeding Waylon", "bred Waylon", "breeding B7", "joining Waylon"])
def test_a_breeding_names_its_buck_in_the_file_s_name(name: str) -> None:
    """The words by which the kind is called are read with words behind them."""
    path = f"events/2025-09-20 {name}.md"
    assert type(record_of(path, "---\newes: 101, 102\n---\n")).__name__ == "Joining"
    assert [one for one in told(path, "---\newes: 101, 102\n---\n", "2025-10-01") if "L201" in one] == []


def test_famacha_scores_are_a_check() -> None:
    """`famacha scores` is the check that `famacha` is."""
    assert told("events/2026-05-02 famacha scores.md", "- 101 eyelid 2\n") == []


@pytest.mark.parametrize("name", ["joining ewes drenched", "bred ewes drenched", "breeding ewes drenched"])
def test_a_dose_in_such_a_name_holds_as_before(name: str) -> None:
    """A file's name that tells of a dose holds the ewes, whichever kind it begins with."""
    seen = seen_of(f"events/2026-11-20 {name}.md", "---\nrams: Waylon\newes: 101\n---\n")
    assert [meat(seen, one) for one in ("101", "102")] == ["unknown", "unknown"]


@pytest.mark.parametrize(("label", "given"), [
    ("SQ", "subq"), ("SQ", "under the skin"), ("SQ", "under skin"), ("subcutaneous", "SQ"), ("sub-Q", "SubQ"),
    ("SC", "SQ"),
    ("PO", "by mouth"), ("pour-on", "poured on"),
])  # fmt: skip
def test_one_route_under_many_names(label: str, given: str) -> None:
    """A dose by the label's own route is on label, whatever that route is called; by another it is not."""
    treated = f"---\nsheep: 101\nmedicine: longacting\ndose: 6 cc\nroute: {given}\n---\n"
    notes = {**FLOCK, "medicines/longacting.md": FLOCK["medicines/longacting.md"].replace("SQ", label)}
    path = "events/2026-11-20 treatment.md"
    assert meat(read({**notes, path: treated}, "2026-11-30"), "101") == "held 2026-12-19"
    other = treated.replace(f"route: {given}", "route: in the muscle")
    assert meat(read({**notes, path: other}, "2026-11-30"), "101") == "unknown"


def test_a_white_spot_on_her_nose_is_no_medicine() -> None:
    """A spot-on with its hyphen still is."""
    seen = seen_of("events/2026-11-20 remark 101.md", "White spot on her nose.\n")
    assert meat(seen, "101") == "clear"
    assert meat(seen_of("events/2026-11-20 remark 101.md", "Spot-on today.\n"), "101") == "unknown"
