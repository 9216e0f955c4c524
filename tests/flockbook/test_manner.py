"""The flock's manner of speech: her order of days, her clock, her words and her country's law, from notes to book; and
small things that are read as people write them in pounds.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, TypeGuard

import pytest
from click.testing import CliRunner

from compiler.decode import RULES as DECODE_RULES
from compiler.source import read_source
from flockbook.cli.main import main
from flockbook.law import LAWS, Topic, law, law_or_ask, places
from flockbook.manner import (
    Manner,
    clock_words,
    day_span_words,
    long_day_words,
    moment_words,
    short_days_words,
    speaking,
)
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.growth import Weighing
from flockbook.records.health import Treatment
from flockbook.records.pregnancy import Labour
from flockbook.regional import local, local_around
from flockbook.settings_reading import read_settings
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import codes, meat, read

KG_PER_LB = 0.45359237  # NIST SP 811
US = "flock: Larkspur\nunits: us\ndates: month-day\ncountry: US\n"
PEARL = {"sheep/204 Pearl.md": "---\nnote: ewe\nborn: 2022-03\n---\n", "flock.yaml": US}
AMERICAN = Manner("us", True, "US")


@pytest.fixture(autouse=True)
def british_to_begin_with() -> Iterator[None]:
    """Each test begins in the book's own manner, whichever flock was compiled before it."""
    with speaking(Manner()):
        yield


def manner_of(text: str) -> Manner:
    """The manner of a flock's settings."""
    return read_settings(read_source("flock.yaml", text.encode()))[0].manner


@pytest.mark.parametrize(
    ("settings", "words", "month_first"),
    [
        ("flock: a\n", "uk", False), ("units: us\n", "us", True), ("units: us\nwords: uk\n", "uk", False),
        ("words: us\n", "us", True), ("units: us\ndates: day-month\n", "us", False),
        ("dates: month-day\n", "uk", True), ("units: us\nwords: uk\ndates: month-day\n", "uk", True),
    ],
)  # fmt: skip
def test_words_go_with_the_units_unless_they_are_set(settings: str, words: str, month_first: bool) -> None:
    """`words` before `units`; `dates` before both, for days and clock."""
    found = manner_of(settings)
    assert (found.words, found.month_first) == (words, month_first)


def test_days_and_hours_in_either_order() -> None:
    """The two ways as newspapers on either side print them (from memory); noon is 12 p.m., midnight 12 a.m."""
    day, other, moment = date(2026, 3, 9), date(2026, 4, 2), datetime(2026, 3, 9, 15, 40)
    british = (moment_words(moment), day_span_words(day, other), short_days_words(day, other), long_day_words(day))
    assert british == ("9 Mar 2026 15:40", "9 Mar to 2 Apr 2026", "9\u00a0Mar – 2\u00a0Apr", "Monday 9 March 2026")
    with speaking(AMERICAN):
        assert moment_words(moment) == "Mar 9, 2026, 3:40\u00a0p.m."
        assert day_span_words(day, other) == "Mar 9 to Apr 2, 2026"
        assert day_span_words(day, date(2026, 3, 24)) == "Mar 9 to 24, 2026"
        assert short_days_words(day, date(2026, 3, 12)) == "Mar\u00a09–\u206012"
        assert long_day_words(day) == "Monday, March 9, 2026"
        assert [clock_words(time(hour)) for hour in (0, 11, 12, 23)] == [
            "12:00\u00a0a.m.", "11:00\u00a0a.m.", "12:00\u00a0p.m.", "11:00\u00a0p.m.",
        ]  # fmt: skip
    assert moment_words(moment) == british[0]


def test_words_of_the_program_and_never_hers() -> None:
    """A sentence of the book is said in her words; what stands between back-quotes is typed, and stays."""
    assert local("Ring the vet: the gimmers go to the mart.") == "Ring the vet: the gimmers go to the mart."
    with speaking(AMERICAN):
        told = local("Ring the vet: the gimmers go to the mart.")
        assert told == "Call the vet: the yearling ewes go to the auction."
        assert local("IN LABOUR") == "IN LABOR"
        assert local("from 20:00 to 08:00.") == "from 8:00\u00a0p.m. to 8:00\u00a0a.m."
        assert local_around("write `vigour 4` or `19 Apr` for the labour") == (
            "write `vigour 4` or `Apr 19` for the labor"
        )


def test_no_word_is_settled_when_a_module_is_loaded() -> None:
    """A text goes through `local` where it is said: at the top of a module it would keep the words of whichever flock
    was read first.
    """
    root = Path(__file__).parents[2] / "flockbook"
    for path in root.rglob("*.py"):
        for top in ast.parse(path.read_text(encoding="utf-8")).body:
            if not isinstance(top, ast.FunctionDef | ast.ClassDef):
                called = {node.func.id for node in ast.walk(top) if is_plain_call(node)}
                assert not called & {"local", "local_all", "law_here", "day_words"}, path


def is_plain_call(node: ast.AST) -> TypeGuard[Any]:
    """Whether a function is called by its bare name."""
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name)


def test_a_sheep_named_like_a_word_keeps_her_name(tmp_path: Path) -> None:
    """A ewe called Raddle in a mob of hoggs is printed so to whoever typed it."""
    notes = {
        "flock.yaml": US, "mobs/hoggs.md": "---\nnote: mob\nname: hoggs\n---\n",
        "sheep/7 Raddle.md": "---\nnote: ewe\nborn: 4/2022\nmob: hoggs\n---\nAs grey as her mother.\n",
    }  # fmt: skip
    book = Compiled(notes, "2026-06-10", tmp_path)
    assert "Raddle" in book.words("sheep/7.html")
    assert "hoggs" in book.words("sheep/7.html")
    assert "As grey as her mother." in book.words("sheep/7.html")


def test_cures_show_days_in_her_order(tmp_path: Path) -> None:
    """The example in the cure of a day that is none: `Apr 19` to her, `19 Apr` to another."""
    note = {"events/2026-05-01 weaning.md": "---\nsheep: 204\ntime: soon\n---\n"}
    book = Compiled({**PEARL, **note}, "2026-06-10", tmp_path)
    cures = [item.help for item in book.told.diagnostics if item.code in {rule.code for rule in DECODE_RULES}]
    assert "write it as `3:40\u00a0a.m.`, `0340` or `5.40 am`" in cures


# Law


def test_each_law_names_its_place_and_source() -> None:
    """No rule stands without whose it is and who published it; no two of one topic hold in one place."""
    assert all(one.places and one.source and one.words for one in LAWS)
    held = [(one.topic, place) for one in LAWS for place in one.places]
    assert len(held) == len(set(held))


@pytest.mark.parametrize(
    ("country", "topic", "figure"),
    [
        ("GB", Topic.RINGS, 7), ("wales", Topic.RINGS, 7), ("Scotland", Topic.RINGS, None), ("US", Topic.RINGS, None),
        ("England", Topic.LOST_TAG, 28), ("", Topic.LOST_TAG, None), ("England", Topic.MOVE_ENTRY, 36),
        ("Wales", Topic.MOVE_ENTRY, None), ("Ireland", Topic.MEDICINES_KEPT, 5), ("u.s.", Topic.REGISTER_KEPT, 5),
        ("northern ireland", Topic.OFF_LABEL_LEAST, 1.5), ("FR", Topic.OFF_LABEL_LEAST, 1.5),
        ("CA", Topic.OFF_LABEL_LEAST, None), ("NZ", Topic.REGISTER_KEPT, None), ("Narnia", Topic.RINGS, None),
    ],
)  # fmt: skip
def test_law_by_country(country: str, topic: Topic, figure: float | None) -> None:
    """gov.uk and gov.wales (28 days, SMR 8), SI 2009/3219 (36 hours, England), Reg. (EU) 2019/6 (five years, half as
    long again), 9 CFR part 79 with Maine's rule (five years); of the others nothing was read.
    """
    found = law(country, topic)
    assert (found.figure if found else None) == figure
    assert found is not None or law_or_ask(country, topic) == "ask your vet and your authority"


def test_great_britain_means_each_of_its_parts() -> None:
    """A part typed is that part alone."""
    assert places("UK") == {"England", "Wales", "Scotland", "Northern Ireland"}
    assert places("Scotland") == {"Scotland"}
    assert places("Narnia") == set()


@pytest.mark.parametrize(
    ("country", "told"),
    [("GB", "within 28 days of noticing (gov.uk"), ("US", "same sheep's record"), ("NZ", "ask your authority by when")],
)
def test_a_lost_tag_by_her_own_law(country: str, told: str, tmp_path: Path) -> None:
    """The reminder of a new tag names her own law, or whom to ask."""
    notes = {
        "flock.yaml": f"flock: a\ncountry: {country}\n", "sheep/204 Pearl.md": "---\nnote: ewe\nborn: 2022-03\n---\n",
        "events/2026-06-01 tagging.md": "- 204 lost\n",
    }  # fmt: skip
    page = Compiled(notes, "2026-06-10", tmp_path).words("to-do.html")
    assert told in page
    assert ("gov.uk" in page) == (country == "GB")


def test_why_names_her_own_law(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`why` in a notes folder: 21 CFR 530.20 in the United States, whom to ask in New Zealand."""
    monkeypatch.chdir(tmp_path)
    for country, told in (("US", "21 CFR 530.20"), ("NZ", "ask your vet and your authority")):
        (tmp_path / "flock.yaml").write_text(f"country: {country}\n", encoding="utf-8")
        printed = " ".join(CliRunner().invoke(main, ["why", "M105"]).output.split())
        assert told in printed
        assert "2019/6" not in printed


@pytest.mark.parametrize("country", ["Narnia", "BR", "Norway", "XX"])
def test_a_country_outside_the_list_is_told(country: str) -> None:
    """With its line, and the list."""
    seen = read({"flock.yaml": f"flock: a\ncountry: {country}\n"})
    (told,) = [item for item in seen.diagnostics if item.code == "S111"]
    assert told.span.line == 2
    assert "write one of: US, GB (or England, Wales, Scotland, Northern Ireland), IE" in told.help


@pytest.mark.parametrize("place", ["--us", "--uk"])
def test_begin_by_place_proofs_clean_and_speaks_so(place: str, tmp_path: Path) -> None:
    """The folder that `begin` lays out has no error, and its settings say words, units, days, currency and country."""
    folder = tmp_path / "flock"
    runner = CliRunner()
    assert runner.invoke(main, ["begin", str(folder), place]).exit_code == 0
    text = (folder / "flock.yaml").read_text(encoding="utf-8")
    wanted = {
        "--us": ("units: us", "words: us", "dates: month-day", "currency: USD", "country: US", "open years"),
        "--uk": ("units: metric", "words: uk", "dates: day-month", "currency: GBP", "country: GB", "barren years"),
    }[place]  # fmt: skip
    assert all(line in text for line in wanted)
    assert runner.invoke(main, ["proof", str(folder)]).exit_code == 0


# What is read


def test_half_pounds_as_people_write_them() -> None:
    """`9 1/2 lb` at birth, `62 1/2` on the scale."""
    seen = read({
        **PEARL, "events/2026-03-14 lambing 204.md": "- ewe 9 1/2 lb, tag 601\n- buck 9½ lb, tag 602\n",
        "events/2026-05-14 weighing.md": "601 62 1/2 lb\n602 61 3/4\n",
    })  # fmt: skip
    assert [lamb.weight.kg for lamb in seen.collection.of(Lambing)[0].lines if lamb.weight] == pytest.approx(
        [9.5 * KG_PER_LB] * 2
    )
    assert [line.weight.kg for line in seen.collection.of(Weighing)[0].lines] == pytest.approx(
        [62.5 * KG_PER_LB, 61.75 * KG_PER_LB]
    )
    assert not [code for code in codes(seen) if code.startswith("F")]


def test_noon_is_a_time_and_midnight_is_asked() -> None:
    """Noon is twelve o'clock, in a head, behind a day and in a file's name; midnight could begin the day or end it."""
    seen = read({
        **PEARL, "events/2026-03-14 noon labor 204.md": "---\nwaters: noon\n---\n",
        "medicines/x.md": "---\nnote: medicine\nname: drench a\nmeat withdrawal: 14 days\n---\n",
        "events/2026-05-01 treatment 204.md": "---\nmedicine: drench a\ndose: 4 ml\ngiven: 5/1 noon\n---\n",
        "events/2026-05-02 labor 204.md": "---\nwaters: midnight\n---\n",
    })  # fmt: skip
    labour = seen.collection.of(Labour)[0]
    assert (labour.time, labour.waters) == (time(12), time(12))
    assert seen.collection.of(Treatment)[0].given[0].moment == datetime(2026, 5, 1, 12)
    (told,) = [item for item in seen.diagnostics if item.code == "F103"]
    assert told.help == "write `00:00` where the day begins, or `23:59` where it ends"


@pytest.mark.parametrize(("typed", "day"), [("6/15", "Jun 15, 2026"), ("June 15", "Jun 15, 2026"), ("1 Oct", "Oct 1")])
def test_a_plan_for_a_day_of_the_year(typed: str, day: str, tmp_path: Path) -> None:
    """`every year: 6/15`, in the order of the settings, is on the list; a word that is no day is told."""
    plan = f"---\nnote: plan\nwhat: trim the bucks\nevery year: {typed}\nfor: bucks\n---\n"
    ram = {"sheep/B7.md": "---\nnote: buck\nborn: 3/2021\n---\n"}
    book = Compiled({**PEARL, **ram, "plans/trim.md": plan}, "2026-06-10", tmp_path)
    assert f"trim the bucks {day}" in book.words("to-do.html")
    wrong = read({**PEARL, "plans/trim.md": plan.replace(typed, "shearing time")})
    assert "F103" in codes(wrong)


def test_a_file_named_breeding_and_nothing_more() -> None:
    """`2025-09-10 breeding.md` is a joining; with more words in its name, which may tell of a dose, its head must say
    so, and until then everybody stays held.
    """
    note = "---\nbuck: Hank\newes: 204\n---\n"
    hank = {"sheep/B7 Hank.md": "---\nnote: buck\nborn: 3/2021\n---\n"}
    seen = read({**PEARL, **hank, "events/2025-09-10 breeding.md": note})
    assert [joined.rams for joined in seen.collection.of(Joining)] == [("Hank",)]
    held = read({**PEARL, **hank, "events/2025-09-10 breeding ewes drenched.md": ""})
    assert meat(held, "204") == "unknown"


def test_her_words_for_what_was_found(tmp_path: Path) -> None:
    """`vigor`, `necropsy`, `soremouth` are read, printed as she writes them, and soremouth warns people like orf."""
    notes = {
        **PEARL, "events/2026-03-14 lambing 204.md": "- ewe 9 lb, tag 601, vigor 4\n",
        "events/2026-06-01 illness 204.md": "---\nproblem: soremouth\n---\n",
        "events/2026-06-02 death 601.md": "---\nnecropsy: lungs full\n---\n",
    }  # fmt: skip
    book = Compiled(notes, "2026-06-10", tmp_path)
    assert not [item for item in book.told.diagnostics if item.grade.value == "error"]
    told = book.words("sheep/204.html") + book.words("notes-2026.html")
    assert "vigor 4" in told
    assert "necropsy lungs full" in told
    assert "vigour" not in told
    assert "People can catch this through the skin" in book.words("illness.html")


def test_two_flocks_of_one_process_keep_each_its_own_manner(tmp_path: Path) -> None:
    """What is said of a flock in kilograms is the same before and after one in pounds, and the other way round."""
    slips = "601 18x\n602 4000\nfoo\n"
    for name, settings in (("hill", "flock: Hill\ndates: day-month\n"), ("low", US)):
        for path, text in ({**PEARL, "events/2026-03-03 weighing.md": slips, "flock.yaml": settings}).items():
            (tmp_path / name / path).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name / path).write_text(text, encoding="utf-8")
        lambed = "---\nnote: lambing\nsheep: Pearl\ndate: 2026-03-02\n---\n- ewe 41 kg, temp 48 C\n- ram 300 lb\n"
        (tmp_path / name / "events/a.md").write_text(lambed, encoding="utf-8")

    def said(name: str) -> list[str]:
        folder = str(tmp_path / name)
        commands = (["proof", folder], ["clear", "--folder", folder], ["due", "--folder", folder])
        return [CliRunner().invoke(main, [*command, "--on", "2026-04-19"]).output for command in commands]

    told = [(name, said(name)) for name in ("hill", "hill", "low", "hill", "low", "low")]
    for name in ("hill", "low"):
        first, *later = [words for whose, words in told if whose == name]
        assert "lb" in first[0]
        assert later == [first] * len(later)
