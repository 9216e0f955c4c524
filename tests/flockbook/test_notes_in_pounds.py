"""Notes as a shepherd in pounds, dollars and days with the month first writes them: what the book then knows."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from flockbook.cli import begin
from flockbook.cli.main import main
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.growth import Weighing
from flockbook.records.handling import Check, Tagging
from flockbook.records.pregnancy import Labour, Scan
from flockbook.records.rearing import Feeding
from flockbook.records.sheep import Medicine, Sheep, sex_of
from flockbook.records.trade import Purchase
from flockbook.seen import Seen
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import meat, read

KG_PER_LB, OZ_PER_LB = 0.45359237, 16  # NIST SP 811, Appendix B
FL_OZ = 29.5735295625  # mL: a US gallon of 3785.411784 mL has 128 (NIST Handbook 44, Appendix C)
SETTINGS = """flock: Larkspur
units: us
currency: USD
dates: month-day
timezone: America/Chicago
country: US
"""
FLOCK = {
    "flock.yaml": SETTINGS,
    "sheep/203 Dolly.md": "---\nnote: female\nborn: 3/1/2022\nmob: ewes\n---\n",
    "sheep/204 Pearl.md": "---\nnote: ewe\nborn: 3/2022\nmob: ewes\n---\n",
    "sheep/B7 Hank.md": "---\nnote: buck\nborn: 3/2021\n---\n",
    "events/2026-02-20 lambing 203.md": "- female 9 lb, tag 601\n- buck 10 lb, tag 602\n",
    "medicines/drench a.md": "---\nnote: medicine\nname: drench a\nmeat withdrawal: 14 days\nmilk withdrawal: "
    "not for milk\nsource: label\nchecked: 3/14/26\nexpires: 6/2027\npack: 8 fl oz\n---\n",
}
LAMBING = "events/3-14-2026 340am lambing Pearl.md"


def found(notes: dict[str, str], on: str = "2026-06-10") -> Seen:
    """The flock with further notes; nothing in them is refused."""
    seen = read(FLOCK | notes, on)
    assert [item.message for item in seen.diagnostics if item.grade.value == "error"] == []
    return seen


def pounds(lb: float, oz: float = 0) -> Any:
    """Pounds and ounces in kilograms."""
    return pytest.approx((lb + oz / OZ_PER_LB) * KG_PER_LB)


@pytest.mark.parametrize(
    ("line", "sex", "kg"),
    [
        ("ewe 9 lb 2 oz", "ewe", pounds(9, 2)), ("female 9lb2oz", "ewe", pounds(9, 2)),
        ("male 9.5", "ram", pounds(9.5)),
        ("buck 9 lb. 2 oz.", "ram", pounds(9, 2)), ("buck lamb 9# 2oz", "ram", pounds(9, 2)),
        ("ewe 9 pounds, 2 ounces", "ewe", pounds(9, 2)), ("ram 146 oz", "ram", pounds(0, 146)),
        ("wether 10#, in jug 3", "wether", pounds(10)), ("ewe, pen 3, 9 lb, gave 4 oz colostrum", "ewe", pounds(9)),
    ],
)  # fmt: skip
def test_lambs_in_pounds_and_ounces(line: str, sex: str, kg: Any) -> None:
    """One weight and one sex, whatever word they are written by; the day stands last in the file's name."""
    seen = found({LAMBING: f"- {line}\n"})
    note = next(one for one in seen.collection.of(Lambing) if one.ewe == "Pearl")
    assert (note.date, note.time) == (date(2026, 3, 14), time(3, 40))
    assert [(lamb.sex, lamb.weight.kg) for lamb in note.lines] == [(sex, kg)]


@pytest.mark.parametrize(
    ("typed", "ml"), [("4 oz", 4 * FL_OZ), ("6 fl oz", 6 * FL_OZ), ("150 ml", 150), ("5oz.", 5 * FL_OZ)]
)
def test_tubed_by_the_ounce(typed: str, ml: float) -> None:
    """An ounce of milk is a fluid one."""
    seen = found({LAMBING: f"- ewe 9 lb, tubed {typed}\n"})
    lamb = next(one for one in seen.collection.of(Lambing) if one.ewe == "Pearl").lines[0]
    assert lamb.tubed_ml == pytest.approx(ml)


@pytest.mark.parametrize(
    ("typed", "ml"),
    [("4 oz", 118.294), ("8 fl oz", 236.588), ("1 pt", 473.176), ("1 qt", 946.353), ("0.25 gal", 946.353)],
)
def test_feeds_by_the_pint(typed: str, ml: float) -> None:
    """US measures (NIST Handbook 44, Appendix C: 1 pt = 473.176 mL, 1 qt = 946.353 mL)."""
    seen = found({"events/2026-03-14 feeding.md": f"---\nlambs: 601\namount: {typed}\n---\n"})
    amount = seen.collection.of(Feeding)[0].amount
    assert amount is not None
    assert amount.ml == pytest.approx(ml, abs=0.001)


def test_a_medicine_by_her_days_and_her_bottle() -> None:
    """`3/14/26`, `6/2027` and fluid ounces on a label."""
    note = found({}).collection.of(Medicine)[0]
    assert note.checked == date(2026, 3, 14)
    assert note.expires is not None
    assert note.expires.latest == date(2027, 6, 30)
    assert note.pack is not None
    assert note.pack.ml == pytest.approx(8 * FL_OZ)


@pytest.mark.parametrize(
    ("name", "head", "until"),
    [
        ("2026-06-02 treatment 203", "given: 6/1", "2026-06-16"),
        ("2026-06-02 treatment 203", "given: 6/1/26", "2026-06-16"),
        ("2026-06-02 treatment 203", "given: 6-1-2026", "2026-06-16"),
        ("2026-06-02 treatment 203", "given: 6/1 340am, 6/2/26 3:40 a.m.", "2026-06-16T03:40"),
        ("6-1-2026 treatment 203", "", "2026-06-16"),
        ("6-1-2026 340pm treatment 203", "", "2026-06-15T15:40"),
    ],
)
def test_a_dose_by_her_days(name: str, head: str, until: str) -> None:
    """14 days from the last dose, to the hour where it is known, else clear the day after them (rule W2)."""
    seen = found({f"events/{name}.md": f"---\nmedicine: drench a\nsheep: 203\n{head}\n---\n".replace("\n\n", "\n")})
    assert meat(seen, "203") == f"held {until}"
    assert meat(seen, "204") == "clear"


def test_a_short_year_in_front_is_never_taken_for_an_old_dose() -> None:
    """`26/6/1` in a flock with the day first could be 26 June 2001: it is told, and holds without an end."""
    for order, typed in (("day-month", "26/6/1"), ("day-month", "26/6/01"), ("month-day", "26/6/01")):
        note = f"---\nmedicine: drench a\nsheep: 203\ngiven: {typed}\n---\n"
        text = SETTINGS.replace("month-day", order)
        seen = read(FLOCK | {"flock.yaml": text, "events/2026-06-02 treatment.md": note}, "2026-06-28")
        assert not meat(seen, "203").startswith("clear"), typed


@pytest.mark.parametrize(
    ("price", "total"),
    [
        ("2.45 per lb", "347.90"), ("$1.85/lb", "262.70"), ("185 per cwt", "262.70"), ("$1,234.50", "1234.50"),
        ("$120/head", "120"), ("120 ea", "120"), ("$90 apiece", "90"), ("1,250 total", "1250"), ("120 USD", "120"),
    ],
)  # fmt: skip
def test_prices(price: str, total: str) -> None:
    """A ewe of 142 lb: 142 × 2.45 = 347.90; 142 × 1.85 = 262.70; a hundredweight is 100 lb, 1.42 × 185 = 262.70."""
    note = f"---\nsheep: 203\nto: auction\nuse: slaughter\nprice: {price}\nweight: 142 lb\nsure: yes\n---\n"
    seen = found({"events/2026-05-14 sale.md": note})
    sums = [one.amount for season in seen.facts.farm.money.seasons for one in season.payments]
    assert sums == [Decimal(total)]


def test_bales_by_the_piece() -> None:
    """40 bales at 6.50 are 260.00; `6.50 a bale` alone is left out of the sums and asked about."""
    seen = found({
        "events/2026-05-14 money.md": "---\namount: 40 bales at $6.50\nfor: feed\n---\n",
        "events/2026-05-15 money.md": "---\namount: 6.50 a bale\nfor: feed\n---\n",
    })  # fmt: skip
    money = seen.facts.farm.money
    assert [one.amount for season in money.seasons for one in season.payments] == [Decimal("260.00")]
    assert [one.note.origin.path for one in money.left_out] == ["events/2026-05-15 money.md"]


def test_a_weight_that_could_be_of_each_or_of_both_makes_no_sum() -> None:
    """Two sheep and 120 lb: 60 lb each, or 120 lb each. Nothing is guessed."""
    note = "---\nsheep: 203, 204\nto: auction\nuse: slaughter\nprice: 2 per lb\nweight: {}\n---\n"
    for weight, left_out in (("120 lb", 1), ("500 lb", 0)):
        seen = found({"events/2026-05-14 sale.md": note.format(weight)})
        assert len(seen.facts.farm.money.left_out) == left_out, weight


@pytest.mark.parametrize("heading", ["lb", "lbs", "pounds", "weight"])
def test_a_table_in_pounds(heading: str) -> None:
    """A table headed by its unit, or by `weight` alone in a flock in pounds."""
    seen = found({"events/2026-05-14 weighing.md": f"| tag | {heading} |\n|---|---|\n| 601 | 62.5 |\n"})
    assert [line.weight.kg for note in seen.collection.of(Weighing) for line in note.lines] == [pounds(62.5)]


@pytest.mark.parametrize(
    "line", ["203 bcs 3, famacha 2, 102.9 F", "203 bcs 3 FAMACHA 2 temp 102.9", "203 eyelids 2, bcs 3, temp 102.9F"]
)
def test_a_check_by_the_usual_name_of_the_chart(line: str) -> None:
    """The eyelid score by the chart's usual name, the temperature by its band: (102.9 − 32) / 1.8 = 39.39 °C."""
    seen = found({"events/2026-05-14 check.md": f"- {line}\n"})
    (check,) = (line for note in seen.collection.of(Check) for line in note.lines)
    assert (check.condition, check.eyelid, check.remark) == (3, 2, "")
    assert check.temperature.celsius == pytest.approx(39.3889, abs=1e-4)
    table = "| sheep | bcs | famacha | temp | lb |\n|---|---|---|---|---|\n| 203 | 3 | 2 | 102.9 | 150 |\n"
    seen = found({"events/2026-05-14 check.md": table})
    (row,) = (line for note in seen.collection.of(Check) for line in note.lines)
    assert (row.condition, row.eyelid, row.weight.kg) == (3, 2, pounds(150))


@pytest.mark.parametrize(
    ("word", "kind", "sex", "reared"),
    [
        ("buck", "ram", "ram", None), ("male", "ram", "ram", None), ("female", "ewe", "ewe", None),
        ("yearling ewe", "ewe", "ewe", None), ("yearling buck", "ram", "ram", None), ("bummer", "lamb", None, "pet"),
        ("bottle lamb", "lamb", None, "pet"), ("feeder", "lamb", None, None), ("buck lamb", "lamb", "ram", None),
        ("female lamb", "lamb", "ewe", None), ("yearling", "lamb", None, None),
    ],
)  # fmt: skip
def test_her_words_behind_note(word: str, kind: str, sex: str | None, reared: str | None) -> None:
    """What a sheep is called tells its kind of note, and what else the word says."""
    seen = found({"sheep/910 Bo.md": f"---\nnote: {word}\nborn: 2025\n---\n"})
    note = next(one for one in seen.collection.of(Sheep) if one.tag == "910")
    assert (note.origin.kind, sex_of(note), note.reared_as) == (kind, sex, reared)


def test_a_bought_sheep_with_all_her_numbers() -> None:
    """Birth with the month first, official and electronic number, and nothing of it in the name."""
    line = "- yearling ewe tag C901 Fern, born 3/1/2025, official TN0001 0045, eid 840003123456789, bred\n"
    seen = found({"events/2026-05-14 purchase.md": f"---\nfrom: Dale\n---\n{line}"})
    (one,) = (line for note in seen.collection.of(Purchase) for line in note.lines)
    assert (one.sheep, one.name, one.sex, one.official, one.eid) == (
        "C901", "Fern", "ewe", "TN0001 0045", "840003123456789",
    )  # fmt: skip
    assert one.born.exact == date(2025, 3, 1)
    assert one.remark == "yearling, bred"


@pytest.mark.parametrize(
    ("line", "tag", "official"),
    [
        ("601 = 701 official TN0001 0045", "701", "TN0001 0045"), ("601 scrapie tag TN0001 12", None, "TN0001 12"),
        ("601 now 702, official 840003123456789", "702", "840003123456789"),
    ],
)  # fmt: skip
def test_official_numbers_in_a_tagging(line: str, tag: str | None, official: str) -> None:
    """With a new tag, or alone."""
    seen = found({"events/2026-05-14 tagging.md": f"- {line}\n"})
    (one,) = (line for note in seen.collection.of(Tagging) for line in note.lines)
    assert (one.sheep, one.tag, one.official, one.remark) == ("601", tag, official, "")


def test_official_numbers_on_the_papers(tmp_path: Path) -> None:
    """Wherever one was put in, it stands in the register and on the loading list."""
    notes = {
        "events/2026-03-14 lambing Pearl.md": "- ewe 9 lb, tag 733, official TN0001 0733\n",
        "events/2026-05-14 tagging.md": "- 203 official TN0001 0203\n",
        "events/2026-05-15 purchase.md": "---\nfrom: Dale\n---\n- ewe tag C901, born 2023, official TN0002 0901\n",
    }
    book = Compiled(FLOCK | notes, "2026-06-10", tmp_path)
    for page in ("register-sheet.html", "loading.html"):
        words = book.words(page)
        assert [one for one in ("TN0001 0733", "TN0001 0203", "TN0002 0901") if one not in words] == [], page


@pytest.mark.parametrize(
    ("mob", "held"),
    [
        ("bucks", {"B7"}), ("buck lambs", {"602"}), ("bummers", {"601", "602"}), ("bottle lambs", {"601", "602"}),
        ("feeders", {"601", "602"}),
    ],
)  # fmt: skip
def test_classes_by_her_words(mob: str, held: set[str]) -> None:
    """Whoever the word could mean is not clear: all lambs where only she knows which of them are hand-reared."""
    note = f"---\nmob: {mob}\nmedicine: drench a\ndose: 2 ml\n---\n"
    seen = found({"events/2026-06-01 treatment.md": note})
    assert {one for one in seen.linked.animals if meat(seen, one) != "clear"} == held


@pytest.mark.parametrize("word", ["buck", "ram"])
def test_a_lamb_beside_its_dam_or_alone(word: str) -> None:
    """`Dolly (buck lamb)` can mean her lambs; a line that names nobody but one of a class asks which."""
    beside = f"---\nsheep: Dolly ({word} lamb)\nmedicine: drench a\ndose: 2 ml\n---\n"
    seen = read(FLOCK | {"events/2026-06-01 treatment.md": beside})
    assert {one for one in seen.linked.animals if meat(seen, one) != "clear"} == {"203", "601", "602"}
    for line, held in ((f"{word} 2 ml", {"203", "B7"}), (f"{word} lamb 2 ml", {"203", "601", "602"})):
        note = f"---\nsheep: Dolly\nmedicine: drench a\ndose: 2 ml\n---\n- {line}\n"
        seen = read(FLOCK | {"events/2026-06-01 treatment.md": note})
        assert {one for one in seen.linked.animals if meat(seen, one) != "clear"} == held, line


def test_a_line_of_the_one_that_the_note_names() -> None:
    """`- ewe 2 ml` below a ewe's name is her own dose: nobody else is asked about."""
    note = "---\nsheep: Dolly\nmedicine: drench a\ndose: 2 ml\n---\n- ewe 2 ml\n"
    seen = found({"events/2026-06-01 treatment.md": note})
    assert {one for one in seen.linked.animals if meat(seen, one) != "clear"} == {"203"}


def test_stones_and_ounces_on_one_line() -> None:
    """The stones are read and asked about, the ounces behind them are asked about: nothing is half read."""
    note = "---\nmedicine: drench a\ndose: 2 ml\n---\n- Dolly 9 st 4 oz\n"
    seen = found({"events/2026-06-01 treatment.md": note})
    told = " ".join(item.message for item in seen.diagnostics)
    assert "`9 st` is in stones" in told
    assert "`4 oz` is read neither as a dose nor as a weight" in told


def test_a_dams_lamb_by_her_words() -> None:
    """`Dolly's buck lamb` is her ram lamb, or the wether he became."""
    note = "---\nsheep: Dolly's buck lamb\nmedicine: drench a\n---\n"
    seen = found({"events/2026-06-01 treatment.md": note})
    assert (meat(seen, "602"), meat(seen, "601")) == ("held 2026-06-16", "clear")
    wether = FLOCK | {
        "events/2026-02-20 lambing 203.md": "- female 9 lb, tag 601\n- wether 10 lb, tag 602\n",
        "events/2026-06-01 treatment.md": note.replace("buck", "male"),
    }
    assert meat(read(wether), "602") == "held 2026-06-16"


def test_yearlings_and_bummers_as_a_mob() -> None:
    """By age and by rearing, where nobody is moved between mobs: a count, a move. A draft by such a word is refused."""
    young = {"sheep/300.md": "---\nnote: ewe\ntag: 300\nborn: 3/1/2025\n---\n"}
    seen = found(young | {"events/2026-05-14 move.md": "---\nmob: yearlings\nto: home\n---\n"})
    move = next(one for one in seen.linked.events if one.origin.kind == "move")
    assert seen.linked.who(move) == ("300",)
    bottle = {"events/2026-03-01 foster.md": "---\nlamb: 602\nbummer: yes\n---\n"}
    seen = found(bottle | {"events/2026-05-14 move.md": "---\nmob: bummers\nto: barn\n---\n"})
    move = next(one for one in seen.linked.events if one.origin.kind == "move")
    assert seen.linked.who(move) == ("602",)
    refused = read(FLOCK | bottle | {"events/2026-05-14 draft.md": "---\nmob: bummers\ninto: sale\n---\n"})
    assert "L205" in [item.code for item in refused.diagnostics]


def test_a_word_for_a_sheep_behind_a_day_hides_no_dose() -> None:
    """A file named `DAY ram wormed` is no note on a ram: nobody is clear until it says who was dosed."""
    for word in ("ram", "ewe", "lamb", "buck", "feeder"):
        seen = read(FLOCK | {f"events/2026-06-01 {word} wormed.md": ""})
        assert {meat(seen, one) for one in ("203", "204", "B7", "601", "602")} == {"unknown"}, word


def test_a_joining_by_her_words() -> None:
    """`buck:` is the ram, and a note headed `breeding` a joining."""
    note = "---\nnote: breeding\nbuck: Hank\newes: 204\n---\n"
    seen = found({"events/2026-05-14.md": note})
    joined = seen.collection.of(Joining)[0]
    assert (joined.rams, joined.ewes) == (("Hank",), ("204",))
    assert "204" in {row.ewe for row in seen.facts.breeding.due.rows}


@pytest.mark.parametrize(("line", "lambs"), [("203 open", 0), ("203 twins", 2), ("203 bred", None)])
def test_a_scan_by_her_words(line: str, lambs: int | None) -> None:
    """`open` is empty; `bred` is in lamb, not counted."""
    seen = found({"events/2026-05-14 scan.md": f"- {line}\n"})
    assert [(one.sheep, one.lambs) for note in seen.collection.of(Scan) for one in note.lines] == [("203", lambs)]


def test_a_labour_spelt_her_way() -> None:
    """`labor` in a file's name, and the hour as `215am`."""
    seen = found({"events/2026-03-14 labor Pearl.md": "---\nwaters: 215am\n---\n"})
    (labour,) = seen.collection.of(Labour)
    assert (labour.ewe, labour.waters) == ("Pearl", time(2, 15))


def test_about_a_year_counts_as_that_year() -> None:
    """A dam born `about 2020` is five years old in 2025 when her lamb's weight is brought to one footing, not six."""
    from flockbook.derive.growth.own_litter import dam_years

    seen = found({
        "sheep/205 May.md": "---\nnote: ewe\nborn: about 2020\n---\n",
        "events/2025-03-14 lambing May.md": "- ewe 9 lb, tag 533\n",
    })  # fmt: skip
    assert dam_years(seen.linked, seen.linked.animals["533"]) == 5


def test_begin_for_the_united_states(tmp_path: Path) -> None:
    """`--us` sets what is hers, the example notes follow, and the folder proofs clean."""
    place = tmp_path / "flock"
    run = CliRunner()
    assert run.invoke(main, ["begin", str(place), "--us"]).exit_code == 0
    text = (place / "flock.yaml").read_text(encoding="utf-8")
    for line in ("units: us", "dates: month-day", "currency: USD", "country: US"):
        assert f"\n{line}\n" in text
    assert "\nborn: 4/" in (place / "sheep/0101 Bluebell.md").read_text(encoding="utf-8")
    assert "no problems" in run.invoke(main, ["proof", str(place)]).output


def test_begin_asks_at_a_terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each answer stands in the settings; a country and a time zone that nobody knows are asked for again."""
    monkeypatch.setattr(begin, "at_a_terminal", lambda: True)
    monkeypatch.setattr(begin, "machine_zone", lambda: "America/Denver")
    place = tmp_path / "flock"
    typed = "us\n\n\n\nNarnia\n\nMars/Rim\n\n"
    done = CliRunner().invoke(main, ["begin", str(place)], input=typed)
    assert done.exit_code == 0, done.output
    assert "no country that the book knows" in done.output
    assert "no time zone" in done.output
    text = (place / "flock.yaml").read_text(encoding="utf-8")
    assert "\ncountry: US\n" in text
    assert "\ntimezone: America/Denver\n" in text
    metric = tmp_path / "other"
    answers = "\n\n\nGBP\nEngland\nEurope/London\n"
    assert CliRunner().invoke(main, ["begin", str(metric)], input=answers).exit_code == 0
    text = (metric / "flock.yaml").read_text(encoding="utf-8")
    for line in (
        "units: metric", "words: uk", "dates: day-month", "currency: GBP", "country: England",
        "timezone: Europe/London",
    ):  # fmt: skip
        assert f"\n{line}\n" in text


@pytest.mark.parametrize(
    ("spared", "clear"),
    [
        ("lambs", {"601", "602"}), ("buck lambs", {"602"}), ("ewe lambs", {"601"}), ("bummers", set()),
        ("the bottle lambs", set()), ("feeders", set()), ("bucks", {"B7"}), ("females", {"203", "204", "601"}),
    ],
)  # fmt: skip
def test_who_was_left_out_by_her_words(spared: str, clear: set[str]) -> None:
    """`except` frees those whom the word surely means and nobody else: not all lambs, where it says bummers."""
    note = f"---\nmob: all\nmedicine: drench a\ndose: 2 ml\nexcept: {spared}\n---\n"
    seen = read(FLOCK | {"events/2026-06-01 treatment.md": note})
    assert {one for one in seen.linked.animals if meat(seen, one) == "clear"} == clear
