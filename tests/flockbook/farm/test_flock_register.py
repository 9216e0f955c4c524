"""The register: the roll of any day, the balance of any span, movements, deaths and keep-until dates."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from compiler.book import Moment
from compiler.collection import Given, collect, sorting
from compiler.notes import read_note
from compiler.source import read_source
from flockbook.derive.farm.flock_register import FlockRegister, flock_register
from flockbook.flock import Flock, there
from flockbook.handover.facts import facts_object
from flockbook.linking import link
from flockbook.records import KINDS
from flockbook.settings import default_settings
from tests.flockbook.small import Seen, moment, read

DEMO = Path(__file__).parents[3] / "site_demo"
FLOCK: dict[str, str] = {
    "flock.yaml": "flock: Small\nrecords kept: 3\n",
    "sheep/E1 Bramble.md": "---\nnote: ewe\nborn: 2021-04-01\n---\n",
    "sheep/E2.md": "---\nnote: ewe\nborn: about 2020\n---\n",
    "sheep/E3.md": "---\nnote: ewe\nborn: 2022\nbought: 2023-10-02\nfrom: Netherhope\n---\n",
    "sheep/R1 Pike.md": "---\nnote: ram\n---\n",
    "events/2024-04-14 lambing E1.md": "---\nnote: lambing\newe: E1\n---\n- ewe 4 kg, tag 601\n- ram stillborn\n",
    "events/2024-04-20 lambing E3.md": "---\nnote: lambing\newe: E3\n---\n- ram 4 kg, tag 602\n- ewe 3 kg, tag 603\n",
    "events/2024-04-22 death 603.md": "---\nnote: death\nsheep: 603\ncause: exposure\ndisposal: fallen stock\n---\n",
    "events/2024-09-10 sale fat lambs.md": (
        "---\nnote: sale\nsheep: 602\nto: Hask Mart\nuse: slaughter\nprice: 90\ndocument: 24/001\n---\n"
    ),
    "events/2024-10-01 purchase.md": (
        "---\nnote: purchase\nfrom: Lintbrae\n---\n- ewe tag C901, born 2023\n- ewe tag C902, born 2023\n"
    ),
    "events/2025-02-28 death E2.md": "---\nnote: death\nsheep: E2\ncause: old age\n---\n",
}


def register(on: str = "2026-06-10") -> FlockRegister:
    """The register of the small flock."""
    return read(FLOCK, on).facts.farm.register


@cache
def demo() -> Seen:
    """The demo flock, read once."""
    kept = (".md", ".yaml", ".csv")
    found = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*") if path.suffix in kept}
    del found["README.md"]
    return read(found, "2026-11-25")


def test_a_year_in_figures() -> None:
    """2024: four here at New Year; three born alive, two bought, one sold, one dead; one born dead stands apart."""
    year = next(item for item in register().years if item.first == date(2024, 1, 1))
    assert (year.opening, year.born, year.bought, year.sold, year.dead, year.closing) == (4, 3, 2, 1, 1, 7)
    assert (year.born_dead, year.balances) == (1, True)


def test_any_span() -> None:
    """Any days may be asked about: the week of the lambings."""
    week = register().span(date(2024, 4, 20), date(2024, 4, 22))
    assert (week.opening, week.born, week.dead, week.closing, week.balances) == (5, 2, 1, 6, True)


def test_the_roll_is_taken_at_the_start_of_the_day() -> None:
    """A lamb born on the 14th is on the roll of the 15th; one that dies on the 22nd is still on that day's roll."""
    found = register()
    assert "601" not in found.roll(date(2024, 4, 14))
    assert "601" in found.roll(date(2024, 4, 15))
    assert "603" in found.roll(date(2024, 4, 22))
    assert "603" not in found.roll(date(2024, 4, 23))


def test_movements_on_and_off() -> None:
    """Bought by their own note, sold and bought by event notes, in order of time, with the document."""
    found = [(one.day, one.onto, one.sheep, one.party, one.document) for one in register().movements]
    assert found == [
        (date(2023, 10, 2), True, ("E3",), "Netherhope", ""),
        (date(2024, 9, 10), False, ("602",), "Hask Mart", "24/001"),
        (date(2024, 10, 1), True, ("C901", "C902"), "Lintbrae", ""),
    ]


def test_keep_until() -> None:
    """Years run from the day a sheep left (gov.uk, How to keep a holding register: 3 years after it dies or leaves)."""
    found = register()
    assert found.movements[1].keep_until == date(2027, 9, 10)
    assert found.movements[2].keep_until is None  # both are here still
    assert [(one.sheep, one.cause, one.keep_until) for one in found.deaths] == [
        ("603", "exposure", date(2027, 4, 22)),
        ("E2", "old age", date(2028, 2, 28)),
    ]


def test_the_register_never_looks_ahead() -> None:
    """On an earlier day, what came later is not there."""
    found = register("2024-04-21")
    assert not found.deaths
    assert found.years[-1].last == date(2024, 4, 20)
    assert found.years[-1].closing == len(found.roll(date(2024, 4, 21))) == 7


def test_facts_file_holds_the_years() -> None:
    """One row for each calendar year, the last one as far as it has come."""
    rows = facts_object(read(FLOCK, "2026-06-10"))["register"]
    assert [(row["from"], row["to"]) for row in rows][-1] == ("2026-01-01", "2026-06-09")
    assert all(row["balances"] for row in rows)


def test_every_day_of_the_demo_balances() -> None:
    """From the first note to the last, each day's span balances and closes with the next day's roll."""
    found = demo().facts.farm.register
    day, last = found.years[0].first, found.until
    while day < last:
        one = found.span(day, day)
        assert one.balances, day
        assert one.closing == len(found.roll(day + timedelta(1)))
        day += timedelta(1)


def test_the_roll_is_the_living_flock_on_every_seventh_day_of_the_demo() -> None:
    """The roll holds exactly the sheep that the book calls alive and here, but no hired ram, who belongs to somebody
    else; a purchase counts a day later.
    """
    seen = demo()
    bought = {animal.arrived for animal in seen.linked.animals.values()}
    day = date(2024, 1, 5)
    while day < date(2026, 11, 25):
        now = moment(day.isoformat())
        alive = {animal.id for animal in seen.linked.animals.values() if there(animal, now) and not animal.lent}
        own = {animal.id for animal in seen.linked.animals.values() if animal.birthday == day}
        if day not in bought:
            assert set(seen.facts.farm.register.roll(day)) == alive - own
        day += timedelta(7)


def linked(notes: dict[str, str]) -> Flock:
    """The flock of some notes, linked and no further."""
    given_ = [Given(read_note(read_source(path, text.encode())), None) for path, text in notes.items()]
    habits = default_settings().habits
    collection, _ = collect(given_, sorting(KINDS, habits, lambda text, _: text, lambda _: ""))
    return link(collection, default_settings(), moment("2026-11-25"))[0]


EVENTS = st.lists(
    st.tuples(st.integers(0, 400), st.sampled_from(["lambing", "sale", "death", "purchase"]), st.integers(0, 9)),
    max_size=12,
)


@given(EVENTS, st.integers(0, 400), st.integers(0, 400))
def test_opening_plus_changes_is_closing(events: list[tuple[int, str, int]], one: int, other: int) -> None:
    """Whatever is written, sensible or not, opening + born + bought − sold − dead = closing over any span."""
    notes = {f"sheep/E{n}.md": "---\nnote: ewe\nborn: 2022\n---\n" for n in range(10)}
    start = date(2025, 1, 1)
    for place, (after, kind, sheep) in enumerate(events):
        day = start + timedelta(after)
        lines = {
            "lambing": f"- ewe 4 kg, tag L{place}\n- ram stillborn\n",
            "purchase": f"- ewe tag B{place}, born 2023\n",
        }
        who = "" if kind == "purchase" else f"{'ewe' if kind == 'lambing' else 'sheep'}: E{sheep}\n"
        notes[f"events/{day} {kind} {place}.md"] = f"---\nnote: {kind}\n{who}---\n{lines.get(kind, '')}"
    found = flock_register(linked(notes), default_settings(), moment("2026-06-10"))
    first, last = sorted((start + timedelta(one), start + timedelta(other)))
    assert found.span(first, last).balances
    assert all(year.balances for year in found.years)
    joined = [
        found.span(first, first + (last - first) // 2),
        found.span(first + (last - first) // 2 + timedelta(1), last),
    ]
    assert joined[0].closing == joined[1].opening or first == last


def test_timed_questions_hold_the_day_so_far() -> None:
    """Asked about at noon, the register holds that morning's births."""
    notes = dict(FLOCK) | {"events/2026-06-10 0300 lambing C901.md": "---\nnote: lambing\newe: C901\n---\n- ewe 4 kg\n"}
    found = read(notes, "2026-06-10T12:00").facts.farm.register
    assert found.years[-1].born == 1
    assert isinstance(moment("2026-06-10"), Moment)
