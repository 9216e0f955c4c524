"""A flock in pounds from notes to book: what she types is counted as she means it, or she is asked.

Figures are worked out by hand beside each check. Units: 1 lb = 0.45359237 kg, 1 fl oz = 29.5735 mL, a cup is 8 and a
pint 16 of them (NIST Handbook 44, Appendix C). The wording is common practice, no source; all data are invented.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from compiler.schema import Context, Fault, Habits
from flockbook.book import message_in_words
from flockbook.records.labels import DOSE_RATE, DOSE_TEXT, DoseRate
from flockbook.seen import Seen
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import meat, read
from tests.flockbook.test_cli import run

LB = 0.45359237
FL_OZ = 3785.411784 / 128
US = Context(Habits(units="us", dates="month-day"))
SHEEP = {f"sheep/{tag} {name}.md": "---\nnote: ewe\nborn: 2021\n---\n" for tag, name in (
    (101, "Peaches"), (102, "Dolly"), (103, "Dixie"), (104, "Loretta"), (105, "Patsy"),
)}  # fmt: skip
FLOCK = {
    "flock.yaml": "flock: Red Clay\nunits: us\nwords: us\ndates: month-day\ncountry: US\ncurrency: USD\n",
    **SHEEP,
    "sheep/B7 Waylon.md": "---\nnote: buck\nborn: 2020\n---\n",
    "sheep/301.md": "---\nnote: lamb\nsex: ram\nborn: 3/1/2026\n---\n",
    "sheep/302.md": "---\nnote: lamb\nsex: ewe\nborn: 3/2/2026\n---\n",
    "medicines/longacting.md": "---\nnote: medicine\nlabel rate: 4.5 cc/100#\nroute: SQ\nkind: antibiotic\n"
    "meat withdrawal: 28 days\nmilk withdrawal: not for milk\n---\n",
}


def seen_with(path: str, text: str, on: str = "2026-11-30") -> Seen:
    """The flock with one note more."""
    return read({**FLOCK, path: text}, on)


def who(path: str, head: str) -> tuple[list[str], list[str]]:
    """Whom a note with this head is about, and the codes of what is said of it."""
    seen = seen_with(path, f"---\n{head}\n---\n")
    event = next(one for one in seen.linked.events if one.origin.path == path)
    return sorted(seen.linked.who(event)), [one.code for one in seen.diagnostics if one.span.path == path]


def record_of(path: str, text: str) -> Any:
    """The record that a note became."""
    return next(one for one in seen_with(path, text).collection.records if one.origin.path == path)


def told(path: str, text: str) -> list[str]:
    """What is said of one note, in the flock's own words and units."""
    seen = seen_with(path, text)
    here = [one for one in seen.diagnostics if one.span.path == path]
    return [f"{one.code} {one.message} {one.help}" for one in (message_in_words(seen.settings, one) for one in here)]


SOLD, BRED = "events/2026/2026-06-15 sold.md", "events/2026/2026-10-20 breeding.md"


@pytest.mark.parametrize(
    ("head", "gone"),
    [
        ("sheep: 101, 102\nexcept: 102", "101"), ("sheep: 101-105\nexcept: 103\ncount: 4", "101 102 104 105"),
        ("sheep: 101-105\nexcept: 102-104\ncount: 2", "101 105"), ("sheep: 101 thru 105\ncount: 5\nexcept: 101 and 105",
         "102 103 104"), ("mob: ewes\nexcept: Dolly, 105", "101 103 104"),
        ("mob: all\nexcept: the lambs", "101 102 103 104 105 B7"), ("mob: all\nexcept: bucks, 301, 302",
         "101 102 103 104 105"), ("sheep: 101 to 103\ncount: 3", "101 102 103"),
        ("sheep: 101—103\ncount: 3", "101 102 103"),
    ],
)  # fmt: skip
def test_whoever_is_excepted_stays(head: str, gone: str) -> None:
    """`except` takes out of names, ranges, mobs and classes alike, and `count` counts after it."""
    sheep, codes = who(SOLD, f"{head}\nprice: 100 each")
    assert sheep == gone.split()
    wrong_count = "count: 5" in head
    assert ("L203" in codes) == wrong_count


def test_a_range_of_ewes_put_to_the_ram_less_two() -> None:
    """`ewes: 101-105`, `except: 102, 105`, `count: 3`: three ewes are exposed, two are not."""
    sheep, codes = who(BRED, "ram: Waylon\newes: 101-105\nexcept: 102, 105\ncount: 3\nout: 11/20/2026")
    assert (sheep, codes) == (["101", "103", "104", "B7"], [])


def test_except_of_everybody_and_in_words_is_told() -> None:
    """Nobody left is an error; `101-105 except 103` in one field is told how to be written."""
    assert who(SOLD, "sheep: 101\nexcept: 101")[1] == ["L210"]
    words = told(SOLD, "---\nsheep: 101-105 except 103\ncount: 4\n---\n")
    assert any("write `sheep: 101-105` and on a line below `except: 103`" in one for one in words)


def test_a_treatment_frees_nobody_who_is_named_and_says_so() -> None:
    """V1: `except` only takes out of mobs and classes; Dolly, who is named, is held, and the note says that."""
    path = "events/2026/2026-11-20 treated.md"
    text = "---\nsheep: 101-103\nexcept: 102\ncount: 3\nmedicine: longacting\n---\n"
    seen = seen_with(path, text)
    assert [meat(seen, sheep).split()[0] for sheep in ("101", "102", "103")] == ["held"] * 3
    assert any(one.startswith("M205") and "Dolly (102) counts as dosed" in one for one in told(path, text))


@pytest.mark.parametrize(
    ("name", "day"),
    [
        ("3-14 lambing Peaches", "2026-03-14"), ("3-14-26 lambing Peaches", "2026-03-14"),
        ("3.14.26 lambed Peaches", "2026-03-14"), ("3_14 340am lambing Peaches", "2026-03-14"),
        ("Mar 14 lambing Peaches", "2026-03-14"), ("March 14, 2025 lambing Peaches", "2025-03-14"),
        ("14 Mar 0340 lambing Peaches", "2026-03-14"),
    ],
)  # fmt: skip
def test_half_a_date_in_a_name_takes_its_year_from_the_folder(name: str, day: str) -> None:
    """Under month-day, and only where the word of a kind stands behind it."""
    lambing = record_of(f"events/2026/{name}.md", "- ewe 8 lb, tag 3\n")
    assert (lambing.date.isoformat(), lambing.ewe, len(lambing.lines)) == (day, "Peaches", 1)


@pytest.mark.parametrize(
    "path",
    [
        "events/2026/13-14 lambing Peaches.md", "events/3-14 lambing Peaches.md",
        "events/2026/2026-03-18 1am lambing Peaches",
    ],
)  # fmt: skip
def test_a_birth_whose_file_is_no_note_is_an_error(path: str) -> None:
    """No such month, no year, no ending: the name speaks of a lambing, so it is told as one."""
    seen = seen_with(path, "- ewe 8 lb, tag 3\n")
    assert [(one.code, one.grade.value) for one in seen.diagnostics if one.span.path == path] == [("N125", "error")]


@pytest.mark.parametrize(
    ("sheep", "weight", "price", "total"),
    [
        ("101, 102", "248 lb total", "$1.85/lb", "458.80"),  # 248 x 1.85
        ("101, 102", "124 lb each", "$1.85/lb", "458.80"), ("101, 102", "124 a head", "1.85 per lb", "458.80"),
        ("101, 102", "2 @ 124 lb", "1.85 per lb", "458.80"), ("101, 102", "avg 124", "1.85 per lb", "458.80"),
        ("101, 102", "130 lb + 118 lb", "1.85 per lb", "458.80"), ("101, 102", "130 and 118", "1.85 per lb", "458.80"),
        ("101, 102", "248# for both", "185 per cwt", "458.80"),  # 2.48 hundredweight x 185
        ("301, 302", "248 lb", "1.85 per lb", "458.80"),  # no lamb weighs 248 lb, so it is both together
        ("101-103", "1,240 lb total", "0.50 per lb", "620.00"), ("101", "124 lb", "1.85 per lb", "229.40"),
    ],
)  # fmt: skip
def test_a_sale_by_the_pound(sheep: str, weight: str, price: str, total: str) -> None:
    """Each, together, one by one: the check from the auction is in the sums."""
    count = 3 if "-" in sheep else sheep.count(",") + 1
    text = f"---\nsheep: {sheep}\ncount: {count}\nweight: {weight}\nprice: {price}\n---\n"
    money = seen_with("events/2026/2026-11-15 sold.md", text).facts.farm.money
    assert [str(sum(one.amount for one in season.payments)) for season in money.seasons] == [total]


def test_a_weight_that_could_be_of_each_or_of_both_is_asked_with_both_answers() -> None:
    """248 lb for two grown ewes: the cure says both readings, and `sure: yes` takes it as theirs together."""
    head = "sheep: 101, 102\nweight: 248 lb\nprice: $1.85/lb"
    path = "events/2026/2026-11-15 sold.md"
    words = told(path, f"---\n{head}\n---\n")
    assert any("`weight: 248 lb total`" in one and "`weight: 248 lb each`" in one for one in words)
    money = seen_with(path, f"---\n{head}\nsure: yes\n---\n").facts.farm.money
    assert str(money.seasons[0].payments[0].amount) == "458.80"


@pytest.mark.parametrize(
    ("notes", "pounds", "bales"),
    [
        (("bought: 6 round bales of 900 lb",), 20 * 50 + 6 * 900, 26),
        (("bought: 6 round bales of 900 lb", "used: 2 round bales"), 20 * 50 + 4 * 900, 24),
        (("bought: 6 round bales of 900 lb", "used: 13 bales"), (1000 + 5400) * 13 / 26, 13),  # by the mean of them all
        (("counted: 12 bales of 60 lb", "bought: 3 bales of 40 lb"), 12 * 60 + 3 * 40, 15),
        (("used: 30",), 0, -10),
    ],
)  # fmt: skip
def test_each_load_of_hay_keeps_the_weight_of_its_bales(notes: tuple[str, ...], pounds: float, bales: int) -> None:
    """20 square bales of 50 lb to begin with."""
    heads = {day: f"---\nsupply: hay\n{text}\n---\n" for day, text in enumerate(notes, 1)}
    loads = {f"events/2026/2026-10-0{day} stock hay.md": text for day, text in heads.items()}
    hay = {"supplies/hay.md": "---\nnote: supply\nhave: 20 square bales of 50 lb\n---\n"}
    found = read({**FLOCK, **hay, **loads}, "2026-11-30").facts.land.feed
    assert found.hay_kg == pytest.approx(pounds * LB)
    assert found.feeds[0].supply.have == bales


@pytest.mark.parametrize(
    ("typed", "ml"),
    [
        ("1/2 cc", 0.5), ("1 1/2 cc", 1.5), ("2½ ml", 2.5), ("half a cc", 0.5), ("1 and 1/4 cc", 1.25),
        ("3/4 ml", 0.75),
        ("2.5 cc each", 2.5), ("2 cc/head", 2), ("3 mls", 3), ("1 fl oz", FL_OZ), ("1/2 fl oz", FL_OZ / 2),
        ("11/2 cc", None), ("1 oz", None), ("1/2", None), ("2 tsp", None), ("1/2/26 cc", None),
    ],
)  # fmt: skip
def test_a_dose_in_halves_and_fluid_ounces(typed: str, ml: float | None) -> None:
    """As syringes and drench guns are marked; what can be read two ways is refused."""
    found = DOSE_TEXT.read(typed, US)
    assert found.ml == pytest.approx(ml) if not isinstance(found, Fault) else ml is None


@pytest.mark.parametrize(
    ("typed", "ml", "pounds"),
    [
        ("6 ml/100#", 6, 100), ("3 mL per cwt", 3, 100), ("1cc/20#", 1, 20), ("1 fl oz per 200 lb", FL_OZ, 200),
        ("4.5 mL per 100 lbs body weight", 4.5, 100), ("1/2 cc per 10 lb", 0.5, 10),
        ("1 ml per hundred pounds", 1, 100),
        ("3 ml per 2 cwt", 3, 200), ("1 cc for every 25 pounds", 1, 25), ("2 cc per head", 2, None),
    ],
)  # fmt: skip
def test_a_rate_as_the_label_has_it(typed: str, ml: float, pounds: float | None) -> None:
    """A hundredweight is 100 lb here (NIST Handbook 44)."""
    rate = DOSE_RATE.read(typed, US)
    assert isinstance(rate, DoseRate)
    assert (rate.ml, rate.per_kg) == (pytest.approx(ml), pounds if pounds is None else pytest.approx(pounds * LB))


@pytest.mark.parametrize(
    ("line", "dose"), [("101 1/2 cc", "0.5 cc"), ("101 140 lb 2 1/2 cc", "2.5 cc"), ("101 2½ ml", "2.5 ml")]
)
def test_a_half_in_a_line_of_doses_is_asked_about(line: str, dose: str) -> None:
    """Lines are read for figures alone, so that nobody is freed by a misreading."""
    words = told("events/2026/2026-11-15 treated.md", f"---\nmedicine: longacting\n---\n- {line}\n")
    assert any(one.startswith("F109") and f"write `{dose}`" in one for one in words)


@pytest.mark.parametrize(
    ("typed", "ounces"),
    [("1/2 pint", 8), ("1 cup", 8), ("half a cup", 4), ("2 1/2 oz", 2.5), ("1 pt", 16), ("1/4 qt", 8)],
)
def test_a_feed_in_cups_and_pints(typed: str, ounces: float) -> None:
    """A cup is 8 fl oz, a pint 16, a quart 32."""
    feeding = record_of("events/2026/2026-03-09 fed 301.md", f"---\namount: {typed}\n---\n")
    assert feeding.amount.ml == pytest.approx(ounces * FL_OZ)


def test_a_feed_that_is_not_understood_is_cured_in_her_measures() -> None:
    """No list of centilitres and litres for somebody who feeds by the ounce."""
    words = told("events/2026/2026-03-09 fed 301.md", "---\namount: 2 dollops\n---\n")
    assert any("`8 fl oz`" in one and "pints" in one and "cl," not in one for one in words)


@pytest.mark.parametrize("dash", ["- ", ""])
def test_a_bare_score_in_a_famacha_note_is_the_eyelid(dash: str) -> None:
    """Nothing else can be meant; 7 is no score, and in another check a bare figure stays an error."""
    text = "".join(f"{dash}{line}\n" for line in ("101 2", "102 – 3", "Dixie: 4", "104 5 pale"))
    assert [one.eyelid for one in record_of("events/2026/2026-05-02 famacha.md", text).lines] == [2, 3, 4, 5]
    assert told("events/2026/2026-05-02 famacha.md", "- 101 7\n")[0].startswith("F106")
    assert told("events/2026/2026-05-02 check.md", "- 101 2\n")[0].startswith("F106")


@pytest.mark.parametrize(
    "part", ["bcs 2 1/2", "BCS: 2.5", "bcs=2.5", "bcs 2½", "body condition 2.5", "condition score: 2.5", "bcs of 2.5"]
)
def test_a_condition_however_it_is_set_down(part: str) -> None:
    """Two and a half."""
    assert record_of("events/2026/2026-05-02 check.md", f"- 101 {part}, feet ok\n").lines[0].condition == 2.5


def test_a_move_whose_name_says_to_where() -> None:
    """`moved ewes to hill` goes to Hill; who moves is asked, because the name of a file moves nobody."""
    path = "events/2026/2026-05-02 moved ewes to hill.md"
    assert record_of(path, "---\nmob: ewes\n---\n").to == "hill"
    assert any(one.startswith("F113") and "nobody moves" in one for one in told(path, "Moved everybody up.\n"))


@pytest.mark.parametrize(
    ("name", "kind"),
    [("shots", "treatment"), ("hooves trimmed", "job"), ("adopted", "foster"), ("butchered", "sale"),
     ("rotated pasture", "move"), ("bucks in", "breeding")],
)  # fmt: skip
def test_a_name_that_says_no_kind_is_told_the_likely_one(name: str, kind: str) -> None:
    """The likely kind first, in her words; the list of all of them behind it."""
    words = told(f"events/2026/2026-05-02 {name}.md", "---\nsheep: 101\n---\n")
    likely = f"is it a {kind} note? then add the line `note: {kind}`"
    assert any(one.startswith("N120") and likely in one for one in words)


@pytest.mark.parametrize(
    ("name", "kind"),
    [("dewormed", "treatment"), ("preg check", "scan"), ("grafted", "foster"), ("fecal egg count", "egg count")],
)
def test_a_name_in_her_own_word_for_a_kind_says_it(name: str, kind: str) -> None:
    """No question of what kind of note it is, but of what else that kind asks for."""
    words = told(f"events/2026/2026-05-02 {name}.md", "---\nplace: shed\n---\n")
    assert not any(one.startswith("N120") for one in words)
    assert record_of(f"events/2026/2026-05-02 {name}.md", "---\nplace: shed\n---\n").origin.kind == kind


@pytest.mark.parametrize("word", ["meat", "butcher", "cull", "processor"])
def test_words_for_a_sale_to_be_killed_run_the_guard(word: str) -> None:
    """A sale for meat is one to slaughter, so whoever is held is refused."""
    dosed = {"events/2026/2026-11-10 treated.md": "---\nsheep: 101\nmedicine: longacting\n---\n"}
    sold = {"events/2026/2026-11-15 sold.md": f"---\nsheep: 101\nuse: {word}\n---\n"}
    assert "W101" in [one.code for one in read({**FLOCK, **dosed, **sold}, "2026-11-30").diagnostics]


def test_kinds_speak_pounds_in_her_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No kilogram, no centimetre, no British word in what may be written, in examples and in blank notes."""
    (tmp_path / "flock.yaml").write_text(FLOCK["flock.yaml"], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    kinds = ("lambing", "check", "treatment", "feeding", "weighing", "breeding", "sale", "ewe", "paddock", "supply")
    shown = "".join(run("kinds", kind, *form).output for kind in kinds for form in ((), ("--example",), ("--blank",)))
    hers = shown.replace("price per kg", "").replace("`kg` or `lb`", "")
    foreign = (" kg", "39.2 C", "34 cm", "1.2 ha", "150 ml", "joining", "haulier", "caesarean", "27.5", "colour")
    assert [word for word in foreign if word in hers] == []
    own = ("ewe 9 lb", "102.5 F", "13.5 in", "tubed 5 oz", "1 ml per 40 lb", "55.1 lb to 397 lb", "note: breeding")
    assert [word for word in own if word not in shown] == []


def test_the_book_prints_what_she_typed(tmp_path: Path) -> None:
    """`tubed 4 oz` stays 4 oz, each dose of a line stands in the medicine book, and her words are on the pages."""
    notes = {
        **FLOCK,
        "events/2026/3-14 lambing Peaches.md": "---\nhelp: C-section\n---\n- ewe 8 lb 2 oz tag 3, tubed 4 oz\n",
        "events/2026/11-15 treated.md": "---\nmedicine: longacting\n---\n- 101 140 lb 6.3 cc\n- 102 132 lb 6 cc\n",
    }
    book = Compiled(notes, "2026-11-30", tmp_path)
    ewe = book.words("sheep/101.html")
    assert "tubed 4 oz" in ewe
    assert "118" not in ewe
    assert "cesarean" in ewe
    assert "101 6.3 cc at 140 lb, 102 6 cc at 132 lb" in book.words("medicine-book.html")
    assert "Before the tailgate closes" in book.words("loading.html")


@pytest.mark.parametrize("line", ["301 = 42 1/2", "301 - 42.5 lbs", "301 … 42.5#", "301 weighed 42.5", "301: 42.5"])
def test_a_weight_behind_whatever_sign(line: str) -> None:
    """42.5 lb; a dash with blanks around it is no minus, and one that touches the figure is none of these."""
    found = record_of("events/2026/2026-05-01 weighed.md", f"{line}\n").lines[0]
    assert (found.sheep, found.weight.kg) == ("301", pytest.approx(42.5 * LB))
    assert record_of("events/2026/2026-05-01 weighed.md", "301 -42.5\n").lines == ()


def test_a_lamb_dead_on_arrival_is_born_dead() -> None:
    """`DOA` behind its weight."""
    lambs = record_of("events/2026/3-14 lambing Peaches.md", "- ewe 8 lb 4 oz, tag #603\n- buck 7 lbs. DOA\n").lines
    assert [one.state for one in lambs] == ["alive", "dead"]


@pytest.mark.parametrize(
    ("price", "total"),
    [("$275/hd", "550"), ("$550 for both", "550"), ("$550 for the pair", "550"), ("550 for 2", "550")],
)
def test_a_price_a_head_or_for_both(price: str, total: str) -> None:
    """2 x 275 = 550."""
    text = f"---\nsheep: 101, 102\nprice: {price}\n---\n"
    money = seen_with("events/2026/2026-11-15 sold.md", text).facts.farm.money
    assert str(sum(one.amount for one in money.seasons[0].payments)) == total


@pytest.mark.parametrize("size", ["acres: 4.5", "size: 4 1/2 acres", "area: 4.5", "acres: 4.5 ac"])
def test_a_pasture_by_the_acre(size: str) -> None:
    """4.5 acres of 0.40468564224 ha (NIST SP 811)."""
    paddock = record_of("paddocks/Hill.md", f"---\nnote: paddock\n{size}\n---\n")
    assert paddock.hectares == pytest.approx(4.5 * 0.40468564224)


@pytest.mark.parametrize(
    ("path", "head", "cure"),
    [
        ("events/2026/3-20 banded.md", "note: job\ndid: rings", "add `date: 2026-03-20`, if its file's name begins"),
        ("events/2026/11-5 hoof trim.md", "sheep: 101", "a job note? then add the line `note: job` and, if its name"),
        ("events/2026/7-6 Loretta sold.md", "sheep: 104", "is it a sale note? then add the line `note: sale` and, if"),
        ("events/2026/5-12 worm count.md", "sheep: 104", "is it an egg count note?"),
        ("events/2026/6-1 count.md", "mob: ewes\ncounted: 6", "did you mean `count`?"),
        ("events/2026/2026-03-06 fostered 301.md", "to: Dixie", "did you mean `onto`?"),
        ("sheep/106.md", "note: ewe\nscrapie tag: GA1234 0007", "did you mean `official`?"),
        ("inbox/phone.txt", "11/20 101 bcs 3", "begin the line with its whole day: `2026-11-20`"),
    ],
)
def test_a_note_half_said_is_told_its_own_line(path: str, head: str, cure: str) -> None:
    """The day that its name begins with, the kind that its name is about, the field that is meant."""
    text = head if path.startswith("inbox") else f"---\n{head}\n---\n"
    assert any(cure in one for one in told(path, text))


@pytest.mark.parametrize(
    ("line", "state"), [("buck 8,5 tag 603", "write 8.5"), ("buck .85 tag 603", "write 0.85"), ("ewe 8,5", "write 8.5")]
)
def test_a_lamb_without_a_dash_whose_weight_is_ill_written_counts_and_is_told(line: str, state: str) -> None:
    """The litter has both lambs, and the message stands at the figure."""
    path, text = "events/2026/3-14 lambing Peaches.md", f"ewe 7.5 tag 602\n{line}\n"
    assert [one.sex for one in record_of(path, text).lines] == ["ewe", "ewe" if line.startswith("ewe") else "ram"]
    assert any(one.startswith("F106") and state in one for one in told(path, text))


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("famacha", "101 2, Dolly 4"), ("famacha", "- Peaches 2 Dolly 4"), ("weighed", "- Peaches 140 Dolly 155"),
        ("weighed", "101 140 lb, Dolly 155 lb"), ("check", "- 101 bcs 3, Dolly bcs 2"),
    ],
)  # fmt: skip
def test_two_sheep_on_a_line_are_asked_about(name: str, line: str) -> None:
    """Dolly's figure would be lost, or be that of Peaches."""
    words = told(f"events/2026/2026-05-02 {name}.md", f"{line}\n")
    assert any(one.startswith("F114") and "write a line for" in one and "Dolly" in one for one in words)
    assert not any("F114" in one for one in told("events/2026/2026-05-02 weighed.md", "- 101 140 lb, by Dolly\n"))


@pytest.mark.parametrize(
    ("line", "code", "counted"),
    [
        ("101 -3 eggs", "F106", 0), ("101 before -200 after 100", "F106", 0), ("101 9000 eggs", "F109", 1),
        ("101 before 3500 after 900000", "F109", 1), ("101 60,000 epg", "", 1), ("101 - 300 epg", "", 1),
    ],
)  # fmt: skip
def test_a_count_of_eggs_that_cannot_be(line: str, code: str, counted: int) -> None:
    """A minus is refused; more eggs than a chamber of common practice shows (no source) are asked about."""
    path = "events/2026/2026-07-06 egg count.md"
    assert [one[:4] for one in told(path, f"---\nfactor: 50\n---\n- {line}\n")] == ([code] if code else [])
    assert len(record_of(path, f"---\nfactor: 50\n---\n- {line}\n").lines) == counted


@pytest.mark.parametrize(("temp", "read"), [("temp 118 F", False), ("temp 66 F", False), ("temp 70 F", True)])
def test_a_newborn_has_no_temperature_of_no_lamb(temp: str, read: bool) -> None:
    """118 F is 47.8 C, 66 F 18.9 C; one of 21.1 C may still be warmed (our own bounds, 20 and 43.5 C)."""
    path, text = "events/2026/3-14 lambing Peaches.md", f"- buck 8.5 tag 603, {temp}\n"
    assert (record_of(path, text).lines[0].temperature is not None) == read
    assert any("no living lamb is at" in one for one in told(path, text)) != read


@pytest.mark.parametrize(("line", "asked"), [("101 single 20 days", True), ("102 twins 140 days", True),
                                             ("101 single 60 days", False), ("102 twins 88 d", False)])  # fmt: skip
def test_a_scanned_age_is_held_against_the_days_of_the_buck(line: str, asked: bool) -> None:
    """Buck in Nov 3 to Dec 10, scanned Feb 5: 20 days before is Jan 16, 140 is Sep 18; 60 is Dec 7, 88 is Nov 9."""
    bred = {"events/2025/2025-11-03 breeding.md": "---\nram: Waylon\newes: 101, 102\nout: 12/10/2025\n---\n"}
    scan = {"events/2026/2026-02-05 scan.md": f"- {line}\n"}
    told_codes = [one.code for one in read({**FLOCK, **bred, **scan}, "2026-03-01").diagnostics]
    assert ("B205" in told_codes) == asked


@pytest.mark.parametrize(
    ("path", "head", "called"),
    [("plans/lamb cdt.md", "note: plan\nevery year: Oct 1\nfor: lambs", "lamb cdt"),
     ("paddocks/Ewe pasture.md", "note: paddock\nacres: 3", "Ewe pasture"),
     ("plans/plan cdt.md", "every year: Oct 1", "cdt")],
)  # fmt: skip
def test_a_plan_or_a_field_may_be_called_after_sheep(path: str, head: str, called: str) -> None:
    """Where the head says `note: plan`, a word for a sheep in the file's name is part of what it is called."""
    found = record_of(path, f"---\n{head}\n---\n")
    assert (found.what if "plan" in path else found.name) == called
    assert told(path, f"---\n{head}\n---\n") == []
