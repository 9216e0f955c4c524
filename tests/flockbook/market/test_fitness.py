"""The gate beside the medicines: illness, lambing, age, quarantine, numbers, from notes to the pages and hand-overs."""

from __future__ import annotations

from pathlib import Path

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.market import loading
from flockbook.pages.sections import Names, SectionsView
from flockbook.pages.sheep import sheep_page
from flockbook.pages.views import TagList, Words
from tests.flockbook.compiled import Compiled
from tests.flockbook.families import blocks_in, made, table_in, view
from tests.flockbook.small import Notes, Seen, meat, milk, read
from tests.flockbook.test_cli import run

EWE, RAM = "---\nnote: ewe\nborn: 2021\n---\n", "---\nnote: ram\nborn: 2020\n---\n"
GB = "flock: Small\ncountry: GB\n"
FLOCK: Notes = {
    "flock.yaml": GB,
    "sheep/C1 Wren.md": EWE,
    "sheep/C2 Rook.md": EWE,
    "sheep/S1 Sexton.md": RAM,
}
# Council Regulation (EC) 1/2005, Annex I, chapter I, 2 (c): a service by
# hand on 10 October 2025 and a mean of 147 days are unfit from 20 February 2026; at 150 days from 22 February.
SERVED = {"events/2025-10-10 joining Sexton.md": "---\newes: Wren\nmethod: hand\n---\n"}
BORN = {"events/2026-03-05 0400 lambing Wren.md": "- ewe 4.5 kg, tag 700\n"}


def cells_of(found: SectionsView, part: str) -> dict[str, str]:
    """The words beside each tag of a table of the loading list; {} where that part is not there."""
    if part not in [section.id for section in found.sections]:
        return {}
    told = {}
    for row in table_in(found, part).rows:
        who, words = row.cells[0], row.cells[-1]
        assert isinstance(words, Words)
        told.update({tag.tag: words.text for tag in (who.sheep if isinstance(who, TagList) else (who,))})
    return told


def barred(seen: Seen, path: str = "loading.html") -> dict[str, str]:
    """Who may not go for another reason than medicine, with why."""
    return cells_of(view(seen, loading, path), "barred")


def asked(seen: Seen, path: str = "loading.html") -> dict[str, str]:
    """Of whom somebody is to be asked first, with what."""
    return cells_of(view(seen, loading, path), "ask-first")


def going(seen: Seen, path: str = "loading.html") -> list[str]:
    """The tags of those who may go."""
    shown = view(seen, loading, path)
    names = [block for block in blocks_in(shown, "may-go") if isinstance(block, Names)]
    return [str(item).split()[0] for block in names for item in block.items]


@pytest.mark.parametrize(
    ("more", "before", "since"),
    [("", "2026-02-19", "2026-02-20"), ("gestation: 150 days\n", "2026-02-21", "2026-02-22")],
)
def test_a_served_ewe_is_unfit_from_nine_tenths_of_her_time(more: str, before: str, since: str) -> None:
    """Regulation 1/2005, 2 (c): from day 133 after service at a mean of 147, day 135 at 150, and not a day sooner."""
    notes = {**FLOCK, **SERVED, "flock.yaml": GB + more}
    assert "C1" not in barred(read(notes, before))
    assert "by law not fit to travel" in barred(read(notes, since))["C1"]
    assert "10 Oct 2025" in barred(read(notes, since))["C1"]


def test_of_a_window_the_earliest_service_counts() -> None:
    """With the ram from 1 to 30 November without marks she may have held on the first day: 1 Nov + 133 = 14 Mar."""
    ran = {"events/2025-11-01 joining Sexton.md": "---\newes: Wren\nout: 2025-11-30\n---\n"}
    assert "C1" not in barred(read({**FLOCK, **ran}, "2026-03-13"))
    assert "near lambing since 14 Mar 2026" in barred(read({**FLOCK, **ran}, "2026-03-14"))["C1"]


def test_after_lambing_she_and_her_lamb_stay_a_week() -> None:
    """Regulation 1/2005, 2 (c) and (e): born on 5 March, a week is full in the course of the 12th; from the 13th both
    may go by the law, and nothing else is written against them.
    """
    notes = {**FLOCK, **SERVED, **BORN}
    for day in ("2026-03-06", "2026-03-12"):
        assert set(barred(read(notes, day))) == {"C1", "700"}
        assert "not until 13 Mar 2026" in barred(read(notes, day))["700"]
    assert going(read(notes, "2026-03-13")) == ["700", "C1", "C2", "S1"]


@pytest.mark.parametrize("country", ["", "country: US\n", "country: NZ\n"])
def test_no_law_is_named_but_the_countrys_own(country: str) -> None:
    """Elsewhere, and where no country is written, the same ewes are asked about: your vet and your authority."""
    notes = {**FLOCK, **SERVED, **BORN, "flock.yaml": f"flock: Small\n{country}"}
    seen = read(notes, "2026-03-06")
    assert barred(seen) == {}
    for tag in ("C1", "700"):
        assert "ask your vet and your authority" in asked(seen)[tag]
    assert "by law" not in str(view(seen, loading))
    assert "EC 1/2005" not in str(view(seen, loading)) + asked(seen)["C1"]


@pytest.mark.parametrize(
    ("note", "refused"),
    [
        ("problem: lameness\nside: near fore\n", True),
        ("problem: lameness\nseverity: slight\n", False),
        ("problem: prolapse\n", True),
        ("problem: pneumonia\nsigns: cannot stand\n", True),
        ("problem: scour\n", False),
        ("problem: mastitis\nseverity: bad\n", True),
    ],
)
def test_the_ill_stay_or_are_asked_about(note: str, refused: bool) -> None:
    """Regulation 1/2005, 2 (a), (b) and 3: whoever cannot move without pain stays; the slightly ill only after asking;
    once well she may go again.
    """
    path = "events/2026-06-01 illness Wren.md"
    seen = read({**FLOCK, path: f"---\n{note}---\n"}, "2026-06-10")
    told = (barred if refused else asked)(seen)
    assert set(told) == {"C1"}
    assert path in told["C1"]
    assert going(seen) == ["C2", "S1"]
    well = read({**FLOCK, path: f"---\n{note}recovered: 2026-06-08\n---\n"}, "2026-06-10")
    assert going(well) == ["C1", "C2", "S1"]


def test_the_bought_stay_while_they_are_kept_apart() -> None:
    """By the day that the purchase names, that day included; common practice, no source."""
    note = "---\nfrom: Hask\napart until: 2026-06-22\n---\n- ewe tag P9, born 2023\n"
    bought = {"events/2026-06-01 purchase.md": note}
    assert "until 22 Jun 2026" in barred(read({**FLOCK, **bought}, "2026-06-22"))["P9"]
    assert "P9" in going(read({**FLOCK, **bought}, "2026-06-23"))


def test_an_aborted_ewe_stays_by_her_note_or_is_asked_about() -> None:
    """Until the day written; without one she is kept apart three weeks at least (Severn Edge Vets) and asked about
    until she goes to the ram again, or a year is over (our own choice).
    """
    path = "events/2026-02-01 abortion Wren.md"
    written = read({**FLOCK, path: "---\nisolated until: 2026-03-01\n---\n"}, "2026-03-01")
    assert "since she lost her lambs, until 1 Mar 2026" in barred(written)["C1"]
    for day, tags in (("2026-02-22", {"C1"}), ("2026-02-23", {"C1"}), ("2027-02-01", {"C1"}), ("2027-02-02", set())):
        assert set(asked(read({**FLOCK, path: "---\n---\n"}, day))) == tags


def test_a_ewe_that_ran_with_a_ram_is_asked_about_until_a_scan() -> None:
    """Whether she is in lamb is not known; scanned empty she may go, scanned in lamb she is asked about for meat and
    may be sold to live on. Common practice, no source.
    """
    scan = "events/2026-01-05 scan.md"
    notes = {**FLOCK, **SERVED}
    assert "whether she is in lamb is not known" in asked(read(notes, "2026-01-10"))["C1"]
    assert going(read({**notes, scan: "- C1 empty\n"}, "2026-01-10")) == ["C1", "C2", "S1"]
    twins = {**notes, scan: "- C1 twins\n"}
    assert "in lamb by the scan" in asked(read(twins, "2026-01-10"))["C1"]
    for use, tags in (("breeding", ["C1", "C2"]), ("slaughter", ["C2"])):
        sale = {"events/2026-01-20 sale.md": f"---\nsheep: [Wren, Rook]\nuse: {use}\nsure: yes\n---\n"}
        assert going(read({**twins, **sale}, "2026-01-10"), "loading-2026-01-20.html") == tags


def test_a_planned_sale_is_judged_at_its_own_day() -> None:
    """Sold on 20 February she is unfit; on the 19th she is not, whatever the day of the book. Regulation 1/2005."""
    sale = "---\nsheep: [Wren, Rook]\nuse: breeding\nto: Hask Mart\nsure: yes\n---\n"
    scan = {"events/2026-01-05 scan.md": "- C1 twins\n"}
    for day, tags, counts in (("2026-02-19", ["C1", "C2"], (2, 0, 0, 0)), ("2026-02-20", ["C2"], (1, 1, 0, 0))):
        seen = read({**FLOCK, **SERVED, **scan, f"events/{day} sale.md": sale}, "2026-02-01")
        assert going(seen, f"loading-{day}.html") == tags
        assert table_in(view(seen, loading), "sales").rows[0].cells[3:] == counts


def test_a_grown_sheep_without_a_number_among_numbered_ones() -> None:
    """Where the others have theirs in the notes it is asked about; where nobody has one there is nothing to ask, and a
    lamb's tag goes in before it leaves (gov.wales 2024).
    """
    number = EWE.replace("born", "official: UK 0123456 00001\nborn")
    notes = {**FLOCK, **BORN, "sheep/C1 Wren.md": number}
    assert set(asked(read(notes, "2026-06-10"))) == {"C2", "S1"}
    assert asked(read({**FLOCK, **BORN}, "2026-06-10")) == {}
    worn = {"events/2026-06-01 tagging.md": "- C2 eid 826012345600002\n- S1 eid 826012345600003\n"}
    assert going(read({**notes, **worn}, "2026-06-10")) == ["700", "C1", "C2", "S1"]


def test_an_official_number_counts_wherever_it_was_put_in() -> None:
    """On a line of a tagging, of a purchase or of a birth; one that can be no such number counts nowhere."""
    lines = {
        "events/2025-04-01 0400 lambing Wren.md": "- ewe 4.5 kg, tag 600, official UK 0123456 00600\n",
        "events/2026-05-20 tagging.md": "- C1 official UK 0123456 00001\n- C2 official UK 01234\n",
        "events/2026-05-21 purchase.md": "---\nfrom: Dale\n---\n- ewe tag D1, born 2022, official UK 0765432 00001\n",
    }
    seen = read({**FLOCK, **lines}, "2026-06-10")
    assert set(asked(seen)) == {"C2", "S1"}
    assert going(seen) == ["600", "C1", "D1"]


DRENCH = {
    "medicines/drench.md": "---\nnote: medicine\nname: drench\nmeat withdrawal: {}\nmilk withdrawal: {}\n---\n",
    "events/2026-06-05 treatment.md": "---\nsheep: [Wren, Rook, Sexton]\nmedicine: drench\ndose: 8 ml\n---\n",
}
LAME = {"events/2026-06-01 illness Wren.md": "---\nproblem: lameness\n---\n"}


def drenched(meat_days: str, milk_days: str) -> Notes:
    """The flock, all of it drenched, one ewe of it lame."""
    return {**FLOCK, **LAME, **{path: text.format(meat_days, milk_days) for path, text in DRENCH.items()}}


def test_the_gate_never_changes_what_is_clear_of_medicine() -> None:
    """A lame ewe clear of medicine stays clear in every state; one that is held is refused with both reasons."""
    clear = read({**FLOCK, **LAME}, "2026-06-10")
    assert (meat(clear, "C1"), milk(clear, "C1")) == ("clear", "clear")
    held = read(drenched("28 days", "none"), "2026-06-10")
    refused = cells_of(view(held, loading), "refused")
    assert set(refused) == {"C1", "C2", "S1"}
    assert "also lameness since 1 Jun 2026" in refused["C1"]
    assert "lameness" not in refused["C2"]
    assert barred(held) == {}


def test_milk_is_asked_only_where_somebody_could_milk() -> None:
    """A drench not for milk: a ram is never asked about, a ewe sold to live on is, one that is slaughtered is not."""
    notes = drenched("none", "not for milk")
    sale = "---\nsheep: [Rook, Sexton]\nuse: {}\nsure: yes\n---\n"
    path = "loading-2026-06-10.html"
    for use, may, milk_not in (("slaughter", ["C2", "S1"], set()), ("breeding", ["S1"], {"C2"})):
        seen = read({**notes, "events/2026-06-10 sale.md": sale.format(use)}, "2026-06-09")
        assert going(seen, path) == may
        assert cells_of(view(seen, loading, path), "not-milk").keys() == milk_not
    assert going(read(notes, "2026-06-09")) == ["C2", "S1"]


def test_the_sheeps_page_the_hand_over_and_the_marked_say_it_too() -> None:
    """One reason, in the same words, wherever somebody asks whether she may go."""
    cull = {"events/2026-06-04 cull Wren.md": "---\nwhy: feet\n---\n"}
    seen = read({**FLOCK, **LAME, **cull}, "2026-06-10")
    page = next(page for page in made(seen, sheep_page) if page.path == "sheep/c1.html")
    pair = next(pair for pair in page.view.look if pair.label == "To sell or send")
    assert pair.value.text.startswith("may not go: lameness since 1 Jun 2026")
    assert pair.value.text in table_in(view(seen, loading), "marked").rows[0].cells[3].text
    facts = facts_object(seen)
    assert [(item["sheep"], item["answer"]) for item in facts["going"]] == [("C1", "may not go")]
    state = next(row for row in facts["clearance"] if row["sheep"] == "C1")
    assert state["meat"]["state"] == "clear"


def test_the_command_and_the_book_tell_it(tmp_path: Path) -> None:
    """`flockbook clear` calls a lame ewe clear, with status 0, and adds that she may not go; so do the pages."""
    book = Compiled({name: str(text) for name, text in {**FLOCK, **LAME}.items()}, "2026-06-10", tmp_path)
    told = run("clear", "--folder", tmp_path / "notes", "--on", "2026-06-10", "Wren")
    assert told.exit_code == 0
    assert told.stdout.splitlines()[0] == "C1 Wren: clear"
    assert "to sell or send: may not go: lameness since 1 Jun 2026" in told.stdout
    assert "Of those clear of medicine, 1 for another reason may not go" in book.words("clear-to-sell.html")
    assert "May NOT go for another reason 1 sheep" in book.words("loading.html")
