"""Abortions, from a note to the first page, the ewe's page and the page of early losses; diseases that people catch."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from statsmodels.stats.proportion import proportion_confint  # type: ignore[import-untyped]

from flockbook.handover.facts import facts_object
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import Notes, read

NAMES = {f"C{number}": f"sheep/C{number}.md" for number in range(1, 41)}
EWE = "---\nnote: ewe\nborn: 2021\n---\n"
LOST = "events/2026-02-03 abortion C1.md"
FLOCK: Notes = {
    "flock.yaml": "flock: Small\ncountry: GB\nvet:\n  name: Marram Vets\n  phone: 01632 960457\n",
    **dict.fromkeys(NAMES.values(), EWE),
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
    "events/2025-10-10 joining Sexton.md": f"---\newes: [{', '.join(NAMES)}]\nout: 2025-10-27\n---\n",
    "events/2026-01-10 scan.md": "".join(f"- {tag} {'empty' if tag == 'C40' else 'single'}\n" for tag in NAMES),
    "events/2026-01-11 move.md": "---\nsheep: [C1, C2, C3, C40]\nto: Sike Field\n---\n",
    "events/2026-01-11 move rest.md": "---\nsheep: [C4, C5]\nto: Long Rigg\n---\n",
    # C3 is fetched away before the loss, C4 comes after it; S1 is driven in and out before it.
    "events/2026-01-30 move.md": "---\nsheep: C3\nto: Long Rigg\n---\n",
    "events/2026-02-05 move.md": "---\nsheep: C4\nto: Sike Field\n---\n",
}


def book(more: Notes, on: str, place: Path) -> Compiled:
    """The flock with an abortion, as a book."""
    return Compiled({path: str(text) for path, text in {**FLOCK, LOST: "", **more}.items()}, on, place)


def test_an_abortion_is_red_on_today_and_on_the_ewes_page(tmp_path: Path) -> None:
    """People at risk (gov.uk, gov.scot), apart for three weeks (Severn Edge Vets), the laboratory: at once seen."""
    shown = book({}, "2026-02-06", tmp_path)
    assert 'class="caution grave"' in shown.html("index.html")
    for words in ("Danger to people 1", "pregnant keeps away", "apart until 24 Feb 2026", "to the laboratory"):
        assert words in shown.words("index.html")
    assert shown.words("index.html").index("Danger to people") < shown.words("index.html").index("Due these days")
    own = shown.words("sheep/c1.html")
    told = ("On 3 Feb 2026 she lost her lambs", "pregnant keeps", "Keep her apart until 24 Feb 2026", "Severn Edge")
    for words in told:
        assert words in own
    assert "pregnant keeps away" not in shown.words("sheep/c2.html")
    page = shown.words("lost-before-their-time.html")
    assert "Marram Vets: 01632 960457" in page
    assert "Foster no lamb onto her" in page


def test_it_stays_red_to_the_day_of_its_note(tmp_path: Path) -> None:
    """`isolated until` goes before three weeks; the day after nothing is red, and the page still tells of it."""
    note = {LOST: "---\nisolated until: 2026-03-20\nsample: foetus and cleansing\n---\n"}
    for day, red in (("2026-03-20", True), ("2026-03-21", False)):
        shown = book(note, day, tmp_path / day)
        assert ("Danger to people" in shown.words("index.html")) is red
        assert ("she lost her lambs" in shown.words("sheep/c1.html")) is red
        assert "foetus and cleansing" in shown.words("lost-before-their-time.html")


def test_the_flocks_rate_against_two_in_a_hundred() -> None:
    """One of the 39 not scanned empty, with Wilson's limits (statsmodels); more than 2 in 100 (Severn Edge Vets)."""
    (loss,) = read({**FLOCK, LOST: ""}, "2026-02-06").facts.year.early_losses
    assert (loss.rate.count, loss.rate.of) == (1, 39)
    low, high = proportion_confint(1, 39, method="wilson")
    assert (loss.rate.low, loss.rate.high) == (pytest.approx(low), pytest.approx(high))
    assert loss.above_usual


def test_the_rate_in_words(tmp_path: Path) -> None:
    """One of 39 is above what is usual; three are a storm (over 5 in 100, Australian advice)."""
    one = book({}, "2026-02-06", tmp_path / "one").words("lost-before-their-time.html")
    assert "1 of 39 ewes that may have been in lamb for 2026 (2.6 in 100" in one
    assert "In so small a flock one alone is more" in one
    more = {f"events/2026-02-04 abortion {tag}.md": "" for tag in ("C7", "C8")}
    three = book(more, "2026-02-06", tmp_path / "three")
    assert "3 of 39 ewes" in three.words("lost-before-their-time.html")
    assert "over 5 in 100 is called a storm" in three.words("lost-before-their-time.html")
    assert "Danger to people 3" in three.words("index.html")


def test_who_stood_with_her_on_that_day_or_since() -> None:
    """By the moves: C2 and the empty C40 were there, C4 came two days after; C3 had left four days before."""
    (loss,) = read({**FLOCK, LOST: ""}, "2026-02-06").facts.year.early_losses
    assert (loss.carrying, loss.others) == (("C2", "C4"), ("C40",))
    (before,) = read({**FLOCK, LOST: ""}, "2026-02-05").facts.year.early_losses
    assert before.carrying == ("C2",)


def test_without_a_move_her_mob_is_named(tmp_path: Path) -> None:
    """Where no note says on which ground she stood, those of her mob are named, and the page says why."""
    hill = {path: EWE.replace("born", "mob: hill\nborn") for path in (NAMES["C1"], NAMES["C2"])}
    notes = {path: text for path, text in {**FLOCK, **hill, LOST: ""}.items() if " move" not in path}
    (loss,) = read(notes, "2026-02-06").facts.year.early_losses
    assert (loss.ground, loss.carrying, loss.others) == ("", ("C2",), ())
    shown = Compiled({path: str(text) for path, text in notes.items()}, "2026-02-06", tmp_path)
    assert "in her mob; no note says on which ground" in shown.words("lost-before-their-time.html")


def test_days_before_her_time_as_written_or_by_the_service() -> None:
    """A service by hand on 1 October and 147 days make 25 February: on 3 February she was 22 days early (own sum)."""
    joined = {"events/2025-10-01 joining.md": "---\nrams: Sexton\newes: C1\nmethod: hand\n---\n"}
    notes = {path: text for path, text in FLOCK.items() if "joining" not in path and "scan" not in path}
    (loss,) = read({**notes, **joined, LOST: ""}, "2026-02-06").facts.year.early_losses
    assert date(2025, 10, 1) + timedelta(147) - date(2026, 2, 3) == timedelta(loss.before_due or 0)
    (typed,) = read({**notes, **joined, LOST: "---\ndays: 30\n---\n"}, "2026-02-06").facts.year.early_losses
    assert typed.before_due == 30
    assert facts_object(read({**notes, LOST: ""}, "2026-02-06"))["early_losses"][0]["before_due"] is None


@pytest.mark.parametrize(
    ("problem", "words"),
    [
        ("orf", "People can catch this through the skin"),
        ("ringworm", "People can catch this through the skin"),
        ("aborting", "People at risk: this can harm an unborn child"),
    ],
)
def test_what_people_catch_is_said_wherever_the_case_is(problem: str, words: str, tmp_path: Path) -> None:
    """Orf and ringworm pass to people (common practice): said on Today, the case, the list and the ewe, while open."""
    path = "events/2026-02-03 illness C2.md"
    open_ = Compiled({**{p: str(t) for p, t in FLOCK.items()}, path: f"---\nproblem: {problem}\n---\n"}, "2026-02-06",
                     tmp_path / "open")  # fmt: skip
    pages = ("index.html", "illness.html", "sheep/c2.html", f"cases/c2-{problem}-2026-02-03.html")
    assert all(words in open_.words(page) for page in pages)
    well = f"---\nproblem: {problem}\nrecovered: 2026-02-05\n---\n"
    closed = Compiled({**{p: str(t) for p, t in FLOCK.items()}, path: well}, "2026-02-06", tmp_path / "closed")
    assert not any(words in closed.words(page) for page in pages)


def test_scour_warns_people_only_of_lambs(tmp_path: Path) -> None:
    """Some causes of scour in lambs pass to people (common practice); a scouring ewe brings no such box."""
    lamb = {"events/2026-01-20 lambing C6.md": "- ewe 4 kg, tag 700\n"}
    ill = {f"events/2026-02-03 illness {who}.md": "---\nproblem: scour\n---\n" for who in ("C2", "700")}
    shown = book({**lamb, **ill}, "2026-02-06", tmp_path)
    assert "Some causes of scour in lambs make people ill" in shown.words("sheep/700.html")
    assert "Some causes of scour" not in shown.words("sheep/c2.html")


def test_the_vets_year_has_what_was_given_and_lost_in_lamb_with_its_lambing() -> None:
    """A booster before lambing is for the lambs to come (common practice, no source), and an abortion is of its own
    pregnancy; six weeks before the first birth both were counted into the year before.
    """
    more = {
        "medicines/booster.md": "---\nnote: medicine\nname: booster\nkind: vaccine\nmeat withdrawal: 0 days\n---\n",
        "events/2025-03-20 lambing C30.md": "- ewe 4 kg, tag 90\n",
        "events/2026-02-14 treatment.md": "---\nsheep: [C10, C11]\nmedicine: booster\ndose: 2 ml\n---\n",
        "events/2026-03-18 lambing C30.md": "- ewe 4 kg, tag 91\n",
    }
    found = read({**FLOCK, LOST: "", **more}, "2026-06-01").facts.year.health_review
    assert [(year.season, year.abortions, sum(use.heads for use in year.medicines)) for year in found.years] == [
        (2025, 0, 0),
        (2026, 1, 2),
    ]
