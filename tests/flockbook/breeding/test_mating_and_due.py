"""Which ram a litter can be from, and which ewe is due when, through typed notes and the facts."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.breeding import due_page
from tests.flockbook.growth.test_growth_page import STAMP
from tests.flockbook.small import Seen, codes, read

FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2003\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2003\n---\n",
    "sheep/S2 Pike.md": "---\nnote: ram\nborn: 2003\n---\n",
}


def joining(day: str, out: str = "", ram: str = "Sexton", method: str = "") -> dict[str, str]:
    """One joining note of Bramble."""
    more = (f"out: {out}\n" if out else "") + (f"method: {method}\n" if method else "")
    return {f"{day} joining {ram}.md": f"---\nrams: {ram}\newes: Bramble\n{more}---\n"}


def row(seen: Seen) -> dict[str, object]:
    """The only row of the due list, as handed over."""
    (found,) = facts_object(seen)["due"]
    assert isinstance(found, dict)
    return found


def sires(notes: dict[str, str], born: str) -> tuple[list[str], list[str]]:
    """The possible sires of a litter as handed over, and the codes told."""
    seen = read({**FLOCK, **notes, f"{born} lambing Bramble.md": "- ewe 4.1 kg, tag 731\n"}, "2026-06-10")
    lamb = next(item for item in facts_object(seen)["sheep"] if item["id"] == "731")
    (birth,) = facts_object(seen)["lambings"]
    assert lamb["sires_possible"] == birth["sires_possible"]
    assert lamb["sire"] == (lamb["sires_possible"][0] if len(lamb["sires_possible"]) == 1 else None)
    return lamb["sires_possible"], codes(seen)


def test_one_ram_alone() -> None:
    """With one ram in the window of 142-152 days before the birth, he is the sire."""
    found, told = sires(joining("2025-10-15", "2025-11-19"), "2026-03-11")
    assert found == ["S1"]
    assert "B105" not in told


def test_either_of_two_rams() -> None:
    """Where one ram followed another inside the window, both are possible and neither is the sire."""
    found, _ = sires(
        {**joining("2025-10-01", "2025-10-14"), **joining("2025-10-14", "2025-11-19", "Pike")}, "2026-03-10"
    )
    assert set(found) == {"S1", "S2"}


@pytest.mark.parametrize(("born", "ram"), [("2026-03-05", "S1"), ("2026-03-16", "S2")])
def test_the_edges_of_the_window(born: str, ram: str) -> None:
    """Sexton out on 14 Oct and Pike in on the 15th: 142 days after the 14th is 5 March, 152 days after it 15 March."""
    notes = {**joining("2025-10-01", "2025-10-14"), **joining("2025-10-15", "2025-11-19", "Pike")}
    assert sires(notes, born)[0] == [ram]


def test_a_birth_that_no_joining_explains() -> None:
    """A birth 120 days after ram in has no known sire, and the book says so."""
    found, told = sires(joining("2025-10-15", "2025-11-19"), "2026-02-12")
    assert found == []
    assert "B105" in told


# Born so many days after a service that was seen: 142-152 d are usual, 138 and 159 d the extremes of single ewes
# (Montana Farm Flock Sheep Production Handbook and Schoenian, second hand).
SERVED_DAYS = [
    (137, False), (138, True), (141, True), (142, True), (147, True), (152, True), (153, True), (159, True),
    (160, False), (165, False), (175, False), (187, False), (190, False),
]  # fmt: skip


@pytest.mark.parametrize("method", ["hand", "AI"])
@pytest.mark.parametrize(("days", "explained"), SERVED_DAYS)
def test_a_service_that_was_seen_is_one_day(method: str, days: int, explained: bool) -> None:
    """Its ram is the sire of a birth within the extremes of pregnancy after it, and of no other; both are told."""
    born = date(2025, 10, 20) + timedelta(days=days)
    found, told = sires(joining("2025-10-20", method=method), born.isoformat())
    assert (found, "B105" in told) == ((["S1"], False) if explained else ([], True))


def test_the_day_of_a_service_is_that_of_its_mark() -> None:
    """Served on 2 November by a note of 20 October: 146 days later it is his, 150 days after the note not."""
    served = {"2025-10-20 joining Sexton.md": "---\newes: Bramble\nmethod: hand\n---\n- 2 Nov Bramble\n"}
    assert sires(served, "2026-03-28")[0] == ["S1"]
    assert sires(served, "2026-03-19")[0] == []


@pytest.mark.parametrize(
    ("born", "rams"), [("2026-03-16", ["S1"]), ("2026-03-26", ["S1"]), ("2026-03-28", ["S1", "S2"]),
    ("2026-03-30", ["S2"]), ("2026-04-03", ["S2"])],
)  # fmt: skip
def test_a_ram_that_follows_an_insemination(born: str, rams: list[str]) -> None:
    """Sexton's semen on 20 October, Pike in from 6 November: day 147 and 157 are Sexton's, day 161 and 165 Pike's alone
    (144 and 148 days after he came); on day 159, his 142nd, it can be either.
    """
    notes = {**joining("2025-10-20", method="AI"), **joining("2025-11-06", "2025-12-01", "Pike")}
    assert sires(notes, born)[0] == rams


def test_a_service_is_told_as_one_in_the_book() -> None:
    """The due list tells the day of the service, and of no ram that is still in; nobody is told to take him out."""
    seen = read({**FLOCK, **joining("2025-10-20", method="hand")}, "2025-12-01")
    told = "\n".join(map(str, facts_object(seen)["due"]))
    (page,) = [page for maker in due_page.PAGES for page in maker.make(seen, STAMP)]
    assert "served by Sexton, seen on 20 Oct 2025" in str(page.view)
    assert "35 days assumed" not in str(page.view) + told
    assert not [item for item in seen.facts.year.reminders if item.kind == "ram out"]


def test_a_ram_left_to_serve_by_hand_on_days_not_written() -> None:
    """Between in and out of a note `method: hand` without a day of service, every day is possible."""
    found, told = sires(joining("2025-10-20", "2025-11-10", method="hand"), "2026-04-01")
    assert (found, "B105" in told) == (["S1"], False)
    seen = read({**FLOCK, **joining("2025-10-20", "2025-11-10", method="hand")}, "2025-12-01")
    assert (row(seen)["earliest"], row(seen)["latest"]) == ("2026-03-11", "2026-04-11")


def test_a_ram_that_the_note_names() -> None:
    """`sire` in a lambing note decides between two."""
    notes = {**joining("2025-10-01", "2025-11-19"), **joining("2025-10-02", "2025-11-19", "Pike")}
    birth = {"2026-03-11 lambing.md": "---\newe: Bramble\nsire: Pike\n---\n- ewe 4.1 kg, tag 731\n"}
    assert read({**FLOCK, **notes, **birth}).linked.animals["731"].declared_sires == ("S2",)


@pytest.mark.parametrize(
    ("service", "days", "likely"),
    [
        ("2025-10-15", 147, "2026-03-11"),  # row 1: New Mexico State University's mean of 147 d
        ("2023-10-15", 147, "2024-03-10"),  # row 2: the same over a leap day
        ("2006-09-29", 150, "2007-02-26"),  # row 3: printed pairs, Peeper Hollow
        ("2006-10-10", 150, "2007-03-09"),
        ("2011-09-20", 145, "2012-02-12"),  # row 4: Derby Farm, February 2012
    ],
)
def test_services_that_were_seen(service: str, days: int, likely: str) -> None:
    """Check cases 1-4 of the reproduction references: service and length of pregnancy give the day."""
    how = {"flock.yaml": f"flock: Corrie Hask\ngestation: {days} days\n"}
    year = date.fromisoformat(service)
    seen = read({**FLOCK, **how, **joining(service, service, method="hand")}, year.replace(month=12, day=1).isoformat())
    found = row(seen)
    assert found["likely"] == likely
    assert found["basis"] == "service"


def test_the_window_of_a_service() -> None:
    """Row 1: 142-152 days after 15 Oct 2025 is 6 to 16 March 2026 (general extension texts)."""
    found = row(read({**FLOCK, **joining("2025-10-15", "2025-10-15", method="hand")}, "2025-12-01"))
    assert (found["earliest"], found["latest"]) == ("2026-03-06", "2026-03-16")


def test_a_joining_without_marks() -> None:
    """Row 6: ram in 15 Oct, out 19 Nov 2025: first 6 March, last 20 April 2026 (142 d after ram in, 152 d after ram
    out).
    """
    found = row(read({**FLOCK, **joining("2025-10-15", "2025-11-19")}, "2025-12-01"))
    assert (found["earliest"], found["latest"], found["basis"]) == ("2026-03-06", "2026-04-20", "joining")
    assert found["rams"] == ["S1"]


def test_the_flock_s_own_length_of_pregnancy() -> None:
    """A flock of fine wool sets 150 days (Rambouillet 150-151 d, Montana handbook, second hand), and the day moves by
    three.
    """
    own = {"flock.yaml": "flock: Corrie Hask\ngestation: 150 days\n"}
    served = joining("2025-10-15", "2025-10-15", method="hand")
    assert row(read({**FLOCK, **served}, "2025-12-01"))["likely"] == "2026-03-11"
    assert row(read({**FLOCK, **own, **served}, "2025-12-01"))["likely"] == "2026-03-14"


def test_october_rams_bring_march_lambs() -> None:
    """A ram put in in the second week of October gives lambs in the first two weeks of March (common practice, no
    source).
    """
    for day in ("2025-10-08", "2025-10-14"):
        found = row(read({**FLOCK, **joining(day, day, method="hand")}, "2025-12-01"))
        assert "2026-03-01" <= str(found["likely"]) <= "2026-03-14"
    found = row(read({**FLOCK, **joining("2025-10-08", "2025-11-19")}, "2025-12-01"))
    assert "2026-02-27" <= str(found["earliest"]) <= "2026-03-02"


def test_who_has_lambed_or_gone_is_not_due() -> None:
    """A lambing, a death or an empty scan takes a ewe off the list."""
    base = {**FLOCK, **joining("2025-10-15", "2025-11-19")}
    for note in (
        {"2026-03-01 lambing Bramble.md": "- ewe 4.1 kg\n"},
        {"2026-01-01 death Bramble.md": "---\ncause: accident\n---\n"},
        {"2026-01-10 scan.md": "- Bramble empty\n"},
    ):
        assert facts_object(read({**base, **note}, "2026-03-02"))["due"] == []
