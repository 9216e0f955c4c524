"""The pages on worms, medicines and the gate: who may go, who may not, until when, and that every page fits."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from types import ModuleType
from xml.etree.ElementTree import Element

import html5lib
import pytest

from compiler.templatecheck import check
from compiler.templates import Theme
from flockbook.pages.farm import death_list
from flockbook.pages.farm import register as register_page
from flockbook.pages.health import egg_counts, illness, worms
from flockbook.pages.market import loading
from flockbook.pages.medicine import cupboard, medicine_book
from flockbook.pages.sections import Names, SectionsView
from flockbook.pages.today import neighbour
from flockbook.pages.views import Table
from tests.flockbook.families import DEMO, LEDGER, Frame, blocks_in, demo, drawn, made, one_table, table_in, view
from tests.flockbook.small import Notes, Seen, codes, meat, read

FAMILIES = (worms, egg_counts, cupboard, loading, medicine_book, death_list, neighbour)
MOST_ELEMENTS = 1_400  # our own figure, for an old tablet
EWE, RAM = "---\nnote: ewe\nborn: 2021\n---\n", "---\nnote: ram\nborn: 2020\n---\n"
FARM: Notes = {
    "sheep/C214 Bramble.md": EWE,
    "sheep/C215 Fern.md": EWE,
    "medicines/levamisole oral.md": "---\nnote: medicine\nname: levamisole oral\nmeat withdrawal: 28 days\n"
    "milk withdrawal: none\n---\n",
    "events/2026-06-02 treatment.md": "---\nsheep: Bramble\nmedicine: levamisole oral\ndose: 8 ml\n---\n",
}
SALE = "---\nsheep: [Bramble, Fern]\nuse: slaughter\nto: Hask Mart\n---\n"


@cache
def large() -> Seen:
    """Four hundred ewes, all drenched but a few, checked, sampled, most of them held or unknown, a sale to come."""
    tags = [f"E{number:03}" for number in range(400)]
    notes: dict[str, str | bytes] = {f"sheep/{tag}.md": EWE for tag in tags}
    for name, period in (("one", "meat withdrawal: 60 days\nmilk withdrawal: 60 days"), ("two", "kind: wormer")):
        notes[f"medicines/{name}.md"] = f"---\nnote: medicine\nname: {name}\n{period}\nbatch: B{name}\n---\n"
    day = date(2026, 5, 1)
    for place in range(30):
        shown = day + timedelta(days=place)
        some = ", ".join(tags[place * 10 : place * 10 + 10])
        notes[f"events/{shown} treatment {place}.md"] = (
            f"---\nsheep: [{some}]\nmedicine: {('one', 'two')[place % 2]}\nfor: worms\ndose: 5 ml\n---\n"
        )
        notes[f"events/{shown - timedelta(days=200)} check {place}.md"] = "".join(
            f"- {tag} condition 2.5, eyelid {1 + place % 5}\n" for tag in tags[:20]
        )
    notes["events/2026-06-01 check.md"] = "".join(f"- {tag} eyelid 3, dag 1, condition 3\n" for tag in tags)
    notes["events/2026-06-02 egg count.md"] = "---\nfactor: 50\n---\n" + "".join(f"- {tag} 12 eggs\n" for tag in tags)
    notes["events/2026-07-01 sale.md"] = f"---\nsheep: [{', '.join(tags)}]\nuse: slaughter\n---\n"
    return read(notes, "2026-06-10")


def names(found: Table) -> list[str]:
    """The tags that head a table's rows, or the words."""
    return [row.cells[0] if isinstance(row.cells[0], str) else row.cells[0].tag for row in found.rows]


def may(shown: SectionsView) -> list[str]:
    """Who may go, as printed."""
    return [str(name) for block in blocks_in(shown, "may-go") if isinstance(block, Names) for name in block.items]


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("flock", ["demo", "large", "empty"])
def test_pages_are_well_formed_and_fit(family: ModuleType, flock: str) -> None:
    """A strict reader finds nothing wrong and at most 1,400 elements, with four hundred sheep and with none at all."""
    seen = {"demo": demo, "large": large, "empty": lambda: read({}, "2026-06-10")}[flock]()
    for page in made(seen, family):
        found: Element = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(
            drawn(page, seen, FAMILIES)
        )
        assert sum(1 for _ in found.iter()) <= MOST_ELEMENTS, page.path


@pytest.mark.parametrize("family", FAMILIES)
def test_templates_name_only_what_their_views_hold(family: ModuleType) -> None:
    """The theme's own check follows every field into the typed views."""
    views = {page.template: type(page.view) for page in made(demo(), family)}
    told = [item for item in check(Theme(LEDGER), views, Frame) if item.code != "T108"]
    assert not [item.message for item in told if item.span.path.rsplit("/", 1)[-1] in views]


def test_nobody_is_lost_between_the_pages_of_a_large_flock() -> None:
    """Each of four hundred ewes stands on the lists of the flock and of the sale: refused, or among those who go."""
    seen = large()
    for start in ("loading", "loading-2026-07-01"):
        pages = [page for page in made(seen, loading) if page.path in (f"{start}.html",) or f"{start}-" in page.path]
        pages = [page for page in pages if start != "loading" or "2026" not in page.path]
        first = pages[0].view
        refused = names(table_in(first, "refused"))
        later = [(page.path, row.cells[0].tag) for page in pages[1:] for row in one_table(page.view).rows]
        refused += [tag for path, tag in later if "refused" in path]
        marked = names(table_in(first, "not-milk")) if any(part.id == "not-milk" for part in first.sections) else []
        marked += [tag for path, tag in later if "not-milk" in path]
        assert sorted([*refused, *marked, *may(first)]) == sorted(f"E{number:03}" for number in range(400))


# The gate


@pytest.mark.parametrize(
    ("head", "line", "sure"),
    [
        ("factor: 15\n", "7 eggs", "true count 42 to 216"),  # 2.81 and 14.42 eggs (Garwood 1936) x 15
        ("factor: 15\n", "0 eggs", "true count 0 to 55"),  # 3.69 x 15
        ("factor: 15\n", "105 epg", "true count 42 to 216"),
        ("factor: 15\n", "100 epg", ""),
        ("factor: 50\n", "2 eggs", "repeats lie from 0 to 350"),  # Brambell 1963, as printed by Beef + Lamb NZ
        ("factor: 50\n", "24 eggs", "true count 769 to 1786"),  # 15.377 and 35.710 eggs x 50, above it
        ("", "100 epg", "no range without a factor"),
    ],
)
def test_how_sure_a_count_is_goes_by_the_eggs_seen(head: str, line: str, sure: str) -> None:
    """A slide on which one egg is 15 eggs per gram knows more than one on which it is 50."""
    sheep = {"sheep/A10.md": "---\nnote: ewe\n---\n"}
    seen = read({**sheep, "events/2026-07-10 egg count.md": f"---\n{head}---\n- A10 {line}\n"}, "2026-07-20")
    (row,) = table_in(view(seen, egg_counts), "egg-counts").rows
    assert row.cells[-1].text == sure


def test_a_sale_with_one_held_ewe() -> None:
    """The error names her, the medicine, the release and the note; the loading list leaves her out, the refused list
    shows her (28 days from 2 June without a time: first clear date 1 July by W2; the rule is our own).
    """
    seen = read({**FARM, "events/2026-06-12 sale.md": SALE}, "2026-06-10")
    told = next(item for item in seen.diagnostics if item.code == "W101")
    for word in ("Bramble (C214)", "levamisole oral", "1 Jul 2026", "events/2026-06-02 treatment.md"):
        assert word in told.message
    for path in ("loading.html", "loading-2026-06-12.html"):
        shown = view(seen, loading, path)
        assert may(shown) == ["C215 Fern"]
        row = table_in(shown, "refused").rows[0]
        assert (row.cells[0].tag, row.cells[2]) == ("C214", "levamisole oral")
        assert (getattr(row.cells[1], "until", None) or row.cells[1]).text.removeprefix("not before ") == "1 Jul 2026"
        assert "last dose 2 Jun 2026" in row.cells[3].text


def test_the_page_says_how_a_sale_is_planned() -> None:
    """Without a sale to come it tells how to write one; with one it stands in the list and leads to its sheet."""
    assert "sure: yes" in view(read(FARM, "2026-06-10"), loading).lead
    planned = {"events/2026-06-12 sale.md": SALE.replace("use:", "sure: yes\nuse:")}
    seen = read({**FARM, **planned}, "2026-06-10")
    assert "D101" not in codes(seen)
    assert "W101" in codes(seen)  # the held ewe is told before the day
    row = table_in(view(seen, loading), "sales").rows[0]
    assert (row.cells[0].href, *row.cells[3:]) == ("loading-2026-06-12.html", 1, 1, 0, 0)


def test_after_the_sale_she_stands_among_those_who_went() -> None:
    """A held ewe that was sold is to be told of: where she went, the release, the note and what to do."""
    shown = view(read({**FARM, "events/2026-06-12 sale.md": SALE}, "2026-06-20"), loading)
    row = table_in(shown, "went").rows[0]
    assert (row.cells[0].tag, row.cells[1], row.cells[2].text) == (
        "C214", "12 Jun 2026, Hask Mart", "not before 1 Jul 2026")  # fmt: skip
    assert row.cells[5].text == "tell the buyer and your vet at once (events/2026-06-12 sale.md)"
    assert len(table_in(shown, "went").rows) == 1


def test_a_load_after_the_release_lets_her_go_unless_something_is_unknown() -> None:
    """On the first clear date she may go by what is written; an open course has no date, so she may not on any day."""
    late = {**FARM, "events/2026-07-01 sale.md": SALE}
    assert may(view(read(late, "2026-06-10"), loading, "loading-2026-07-01.html")) == ["C214 Bramble", "C215 Fern"]
    course = {"events/2026-06-02 treatment.md": "---\nsheep: Bramble\nmedicine: levamisole oral\ndays: 3\n---\n"}
    shown = view(read({**late, **course}, "2026-06-10"), loading, "loading-2026-07-01.html")
    assert (may(shown), names(table_in(shown, "refused"))) == (["C215 Fern"], ["C214"])


def test_a_note_that_cannot_be_read_empties_every_load() -> None:
    """A treatment whose sheep cannot be told holds everybody, now and at a sale to come (W11)."""
    broken = {"events/2026-06-03 treatment.md": "---\nmedicine: levamisole oral\nshep: Frn\n---\n"}
    seen = read({**FARM, **broken, "events/2026-09-01 sale.md": SALE}, "2026-06-10")
    for path in ("loading.html", "loading-2026-09-01.html"):
        assert may(view(seen, loading, path)) == []


def test_two_with_one_tag_hold_each_other_at_the_gate() -> None:
    """Whoever loads by the tag cannot tell them apart: both are refused, and the words say why."""
    other = {"sheep/Thrift.md": "---\nnote: ewe\nborn: 2022\ntag: C214\n---\n"}
    seen = read({**FARM, **other}, "2026-06-10")
    assert meat(seen, next(sheep for sheep in seen.linked.animals if sheep != "C215" and sheep != "C214")) != "clear"
    shown = view(seen, loading)
    assert may(shown) == ["C215 Fern"]
    assert any("tag C214 is written for two sheep" in row.cells[3].text for row in table_in(shown, "refused").rows)


def test_a_lamb_that_sucks_a_held_ewe_is_a_question() -> None:
    """Clear by its own notes, but its dam is held: not on the loading list, but to be asked about."""
    born = {"events/2026-05-20 0500 lambing Bramble.md": "- ewe 4.5 kg, tag 700\n"}
    shown = view(read({**FARM, **born}, "2026-06-10"), loading)
    assert may(shown) == ["C215 Fern"]
    row = table_in(shown, "ask").rows[0]
    assert (row.cells[0].tag, row.cells[1].tag) == ("700", "C214")
    weaned = view(read({**FARM, **born, "events/2026-07-01 sale.md": "---\nsheep: 700\n---\n"}, "2026-06-10"), loading,
                  "loading-2026-07-01.html")  # fmt: skip
    assert may(weaned) == ["700"]  # by then the ewe is clear, and so there is no question


def test_whoever_is_not_here_is_left_out_with_the_reason() -> None:
    """A dead ewe and a name that nobody bears stand on the sale's sheet, each with why."""
    dead = {"events/2026-06-05 death Fern.md": "---\ncause: staggers\n---\n"}
    sale = {"events/2026-07-12 sale.md": "---\nsheep: [Bramble, Fern, C999]\n---\n"}
    shown = view(read({**FARM, **dead, **sale}, "2026-06-10"), loading, "loading-2026-07-12.html")
    told = [(row.cells[1].text, row.cells[2].text) for row in table_in(shown, "absent").rows]
    assert told == [
        ("died on 5 Jun 2026", "events/2026-06-05 death Fern.md"),
        ("it cannot be told which living sheep that is", "events/2026-07-12 sale.md"),
    ]
    assert may(shown) == ["C214 Bramble"]


def test_one_that_died_this_morning_is_on_no_load_of_the_afternoon() -> None:
    """Asked at ten, a ewe that died at eight is not loaded for the sale at four."""
    notes = {
        **FARM,
        "events/2026-06-10 0800 death Fern.md": "---\ncause: staggers\n---\n",
        "events/2026-06-10 1600 sale.md": SALE,
    }
    shown = view(read(notes, "2026-06-10T10:00"), loading, "loading-2026-06-10.html")
    assert may(shown) == []
    assert names(table_in(shown, "absent")) == ["C215"]


def test_a_marked_ewe_carries_her_hold_to_the_gate() -> None:
    """A decision that she goes changes nothing of when she may: both stand in her row, and she is refused."""
    cull = {"events/2026-06-04 cull Bramble.md": "---\nwhy: broken mouth\n---\n"}
    shown = view(read({**FARM, **cull}, "2026-06-10"), loading)
    row = table_in(shown, "marked").rows[0]
    assert (row.cells[0].tag, row.cells[1].until.text) == ("C214", "1 Jul 2026")
    assert row.cells[2].text == "broken mouth, 4 Jun 2026"
    assert names(table_in(shown, "refused")) == ["C214"]


@pytest.mark.parametrize("day", ["2024-06-20", "2025-04-20", "2026-03-25", "2026-06-20", "2026-11-25"])
def test_the_lists_are_the_guard_and_nothing_else(day: str) -> None:
    """On days of the demo, those who may go are exactly those whom the guard calls clear, and each stands once."""
    notes = {path.relative_to(DEMO).as_posix(): path.read_bytes() for path in DEMO.rglob("*.md")}
    del notes["README.md"]
    seen = read({**notes, "flock.yaml": (DEMO / "flock.yaml").read_bytes()}, day)
    lists = seen.facts.market.gate.lists
    standing = seen.facts.medicine.guard.standing
    everybody = [row.sheep for row in (*lists.may, *lists.not_milk, *lists.ask, *lists.refused)]
    assert sorted(everybody) == sorted(standing)
    assert {row.sheep for row in lists.refused} == {sheep for sheep, row in standing.items() if not row.clear}
    assert all(row.clear and not row.sucking for row in (*lists.may, *lists.not_milk))


@pytest.mark.parametrize("ahead", [0, 1, 7, 30, 120])
@pytest.mark.parametrize("day", [date(2025, 4, 20), date(2026, 6, 20), date(2026, 11, 25)])
def test_nobody_unknown_or_held_longer_is_on_a_load_to_come(day: date, ahead: int) -> None:
    """A sale of the whole demo flock, so many days ahead: whoever may go then is known now and released by then."""
    sale = day + timedelta(days=ahead)
    files = {path.relative_to(DEMO).as_posix(): path for path in DEMO.rglob("*.md") if path.name != "README.md"}
    notes = {
        name: path.read_bytes()
        for name, path in files.items()
        if not name.startswith("events/") or path.name[:10] < day.isoformat()
    }
    told = {"flock.yaml": (DEMO / "flock.yaml").read_bytes(), f"events/{sale} sale all.md": b"---\nmob: all\n---\n"}
    seen = read({**notes, **told}, day.isoformat(), clock=day)
    loads = seen.facts.market.gate.loads
    load = next(item for item in loads if item.sale.origin.path.endswith("sale all.md"))
    assert load.lists.may
    for row in (*load.lists.may, *load.lists.not_milk, *load.lists.ask):
        now = seen.facts.medicine.guard.standing.get(row.sheep)
        assert now is None or now.meat.state != "unknown"
        assert now is None or now.meat.until is None or now.meat.until <= load.at.at


# The sheets that are kept

MEDICINE = (
    "---\nnote: medicine\nname: penicillin\nactive: procaine benzylpenicillin\nmeat withdrawal: 10 days\n"
    "milk withdrawal: none\nsource: label\nprescription: Marram Vets\nbatch: PP1\nexpires: 2027-05\n---\n"
)
TREATED = (
    "---\nsheep: [Bramble, Fern]\nmedicine: penicillin\ndose: 2.5 ml\ngiven: [2025-05-01 08:00, 2025-05-02 08:00]\n"
    "route: into muscle\nsite: neck\nfor: foot rot\nbatch: PP1\nby: Una\nvet: Mr Marram, letter 30 Apr\n"
    "off label: yes\nmeat withdrawal: 30 days\nmilk withdrawal: 15 days\n---\n"
)
BOUGHT = "---\nmedicine: penicillin\nbought: 100 ml\nbatch: PP1\nexpires: 2027-05\nfrom: Marram Vets, Hask\n---\n"
BINNED = "---\nmedicine: penicillin\nbinned: 20 ml, back to the vet\nbatch: PP1\n---\n"
KEPT: Notes = {
    "flock.yaml": "flock: Small\nkeeper: Una Rae\nholding: 70/999\nvet: {name: Marram Vets, phone: 01632 960457}\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C215 Fern.md": EWE,
    "medicines/penicillin.md": MEDICINE,
    "events/2025-04-20 stock penicillin.md": BOUGHT,
    "events/2025-05-01 treatment.md": TREATED,
    "events/2025-05-09 stock penicillin.md": BINNED,
}


def book_words(seen: Seen) -> str:
    """The words of the medicine book's first sheet."""
    found = html5lib.parse(drawn(next(made(seen, medicine_book)), seen), namespaceHTMLElements=False)
    return " ".join("".join(found.find(".//main").itertext()).split())


@pytest.mark.parametrize(
    "field",
    [
        "Una Rae", "70/999", "Marram Vets, 01632 960457",  # keeper, holding, prescriber's contact
        "2: C214, C215",  # identity and number
        "penicillin; procaine benzylpenicillin", "batch PP1; expires 31 May 2027",  # product, active, batch, expiry
        "1 May 2025 08:00, 2 May 2025 08:00",  # first administration and duration
        "2.5 ml; 10 mL in all", "into muscle; neck",  # quantity each and in all, route and site
        "foot rot; given by Una; vet: Mr Marram, letter 30 Apr; prescription: Marram Vets; OFF THE LABEL",
        "meat 30 days (Mr Marram, letter 30 Apr): clear from 1 Jun 2025 08:00",
        "milk 15 days (Mr Marram, letter 30 Apr): clear from 17 May 2025 08:00",
        "from Marram Vets, Hask", "came: 100 ml", "thrown away: 20 ml, back to the vet",  # whence, disposal
        "keep until 2 May 2030", "20 Apr 2030", "9 May 2030",  # five years: Art. 108(5)
    ],
)  # fmt: skip
def test_the_medicine_book_holds_every_field_asked_for(field: str) -> None:
    """The union of Reg. (EU) 2019/6 Art. 108(2), the Veterinary Medicines Regulations 2013 (AHDB) and 21 CFR 530.5."""
    assert field in book_words(read(KEPT, "2025-06-10"))


def test_a_period_of_nought_is_written_and_unknown_is_loud() -> None:
    """Art. 108(2)(h): the period stands there even if it is zero; what is not known is said in capitals."""
    plain = TREATED.replace("off label: yes\nmeat withdrawal: 30 days\nmilk withdrawal: 15 days\n", "")
    shown = book_words(read({**KEPT, "events/2025-05-01 treatment.md": plain}, "2025-06-10"))
    assert "milk none (label): no hold" in shown
    other = plain.replace("medicine: penicillin", "medicine: penicilin")
    shown = book_words(read({**KEPT, "events/2025-05-01 treatment.md": other}, "2025-06-10"))
    assert "meat not written: UNKNOWN; milk not written: UNKNOWN" in shown


def test_the_entry_is_kept_five_years_and_stays_when_the_sheep_is_gone() -> None:
    """2025-05-01 + 5 years = 2030-05-01 (references: retention); a treated ewe that died keeps her row."""
    note = {"events/2025-05-01 treatment.md": "---\nsheep: Fern\nmedicine: penicillin\ndose: 2.5 ml\n---\n"}
    dead = {"events/2025-05-03 death Fern.md": "---\ncause: unknown\n---\n"}
    shown = book_words(read({**KEPT, **note, **dead}, "2025-06-10"))
    assert "keep until 1 May 2030" in shown
    assert "1: C215" in shown


def test_no_treatment_is_missing_from_the_medicine_book() -> None:
    """Every treatment of the demo, corrected ones too, has one row on one sheet of its year."""
    seen = demo()
    sheets = [page.view for page in made(seen, medicine_book)]
    rows = [row for sheet in sheets for row in table_in(sheet, "treatments").rows]
    assert len(rows) == len(seen.facts.medicine.register)
    struck = sum(row.looks == "struck" for row in rows)
    assert struck == sum(bool(entry.struck_by) for entry in seen.facts.medicine.register) > 0


def test_a_case_of_many_notes_has_one_page() -> None:
    """The demo's lamb that could not stand the light: both notes of it and both medicines on one page, each medicine
    with its own day; the later of the two counts while it is held (the demo's own story).
    """
    shown = view(demo(), illness, "cases/736-photosensitisation-2026-07-04.html")
    assert shown.lead == "Photosensitisation, from 4 Jul 2026; well, 27 Jul 2026: 23 days."
    told, _ = blocks_in(shown, "as-written")
    assert [note.path.split("/")[-1][:15] for note in reversed(told.entries)] == [
        "2026-07-04 1120", "2026-07-04 1230", "2026-07-04 1235", "2026-07-14 1830",
    ]  # fmt: skip
    until = [row.cells[5].text.split(";")[0] for row in table_in(shown, "given-for-it").rows]
    assert until == ["meat 16 Jul 2026 08:15", "meat 3 Aug 2026 12:35"]
    assert meat(demo("2026-07-10"), "736") == "held 2026-08-03T12:35"


def test_a_treatment_without_a_date_has_a_sheet_too() -> None:
    """A day that the calendar does not have hides no treatment: it stands on the sheet without a year."""
    seen = read({**KEPT, "events/2025-02-30 treatment Fern.md": "---\nmedicine: penicillin\ndose: 1 ml\n---\n"})
    total = sum(len(table_in(page.view, "treatments").rows) for page in made(seen, medicine_book))
    assert total == len(seen.facts.medicine.register)


@pytest.mark.parametrize(
    ("batch", "words"),
    [("PP1", "Marram Vets, Hask"), ("PP2", "Ley"), ("", "Marram Vets, Hask"), ("PP9", "a supplier not written")],
)
def test_a_supplier_is_that_of_the_batch_or_of_the_last_purchase(batch: str, words: str) -> None:
    """A treatment with a batch takes that batch's supplier; one without takes the last purchase before it, no later."""
    second = {"events/2025-05-20 stock penicillin.md": BOUGHT.replace("PP1", "PP2").replace("Marram Vets, Hask", "Ley")}
    line = f"batch: {batch}\n" if batch else ""
    given = {"events/2025-05-10 treatment Fern.md": f"---\nmedicine: penicillin\ndose: 1 ml\n{line}---\n"}
    seen = read({**KEPT, **second, **given}, "2025-06-10")
    known = medicine_book.book_sources(seen)
    register = seen.facts.medicine.register
    event = next(entry.event for entry in register if entry.note == "events/2025-05-10 treatment Fern.md")
    assert medicine_book.supplier(known.bought, event) == words


def test_the_death_list_holds_every_death() -> None:
    """Every death of the roll and every lamb born dead of the demo has its row, its years counted, its entry kept."""
    seen = demo()
    shown = view(seen, death_list)
    register = seen.facts.farm.register
    years = table_in(shown, "by-year").rows
    deaths, born_dead = (table_in(shown, ident).rows for ident in ("all-deaths", "never-alive"))
    assert len(deaths) == len(register.deaths) == sum(row.cells[1] for row in years)
    assert len(born_dead) == len(register.born_dead) == sum(row.cells[3] for row in years)
    assert all(row.cells[5] for row in deaths)


def test_a_death_whose_sheep_is_not_found_stays_on_the_list() -> None:
    """A death note with a wrong tag is a death all the same: its name stands as typed, with the note."""
    notes = {**KEPT, "events/2025-06-01 death.md": "---\nsheep: C999\ncause: predator\ndisposal: collector\n---\n"}
    row = table_in(view(read(notes, "2025-06-10"), death_list), "not-found").rows[0]
    assert [getattr(cell, "text", cell) for cell in row.cells] == [
        "1 Jun 2025", "C999", "predator", "events/2025-06-01 death.md",
    ]  # fmt: skip


def test_the_register_and_its_sheet_say_the_same() -> None:
    """Sums, movements and deaths are made once for both, so the two pages cannot come to differ."""
    screen, sheet = (view(demo(), register_page, path) for path in ("register.html", "register-sheet.html"))
    for ident in ("balance-head", "moves-head", "deaths-head"):
        assert blocks_in(screen, ident) == blocks_in(sheet, ident)


# The neighbour's sheet


def sheet_words(seen: Seen, path: str) -> str:
    """The words of a neighbour's sheet."""
    page = next(page for page in made(seen, neighbour) if page.path == path)
    found = html5lib.parse(drawn(page, seen, FAMILIES), namespaceHTMLElements=False)
    return " ".join("".join(found.find(".//main").itertext()).split())


def test_the_neighbours_sheet_covers_its_days_and_no_more() -> None:
    """What is due in four days stands on the sheets for seven and fourteen days, not on that for three; what is late on
    all.
    """
    notes = {
        **FARM,
        "events/2026-06-02 task gate.md": "---\nwhat: mend the gate\ndue: 2026-06-14\n---\n",
        "events/2026-06-01 task trough.md": "---\nwhat: scrub the trough\ndue: 2026-06-05\n---\n",
    }
    seen = read(notes, "2026-06-10", clock=date(2026, 6, 10))
    for path, there in (("neighbour-3.html", False), ("neighbour.html", True), ("neighbour-14.html", True)):
        words = sheet_words(seen, path)
        assert ("mend the gate" in words) is there
        assert "scrub the trough" in words
    assert "10 Jun 2026 to 16 Jun 2026, both days included" in sheet_words(seen, "neighbour.html")


def test_the_neighbours_sheet_says_who_may_not_be_sold() -> None:
    """The held ewe with her release, the lamb that sucks her as a question, and that nobody else goes either."""
    born = {"events/2026-05-20 0500 lambing Bramble.md": "- ewe 4.5 kg, tag 700\n"}
    words = sheet_words(read({**FARM, **born}, "2026-06-10"), "neighbour.html")
    held = words[words.index("Not to be sold") :]
    assert held.index("not before 1 Jul 2026") < held.index("C214") < held.index("levamisole oral")
    assert held.index("ask the vet") < held.index("700")
    assert "whoever does not stand in it stays too" in held


def test_the_neighbour_gives_only_what_is_written() -> None:
    """An open course stands under what is owed, dose by dose on its day, with the amount as typed; the vet's number
    stands at the head.
    """
    course = "---\nsheep: Fern\nmedicine: levamisole oral\ndose: 8 ml\ndays: 3\n---\n"
    notes = {**FARM, "flock.yaml": KEPT["flock.yaml"], "events/2026-06-09 treatment Fern.md": course}
    words = sheet_words(read(notes, "2026-06-10"), "neighbour-3.html")
    assert "levamisole oral: dose 2 of 3 today, then write it as given; 8 ml" in words
    assert "levamisole oral: dose 3 of 3, then write it as given; 8 ml" in words
    assert words.index("Marram Vets: 01632 960457") < words.index("The round")


def test_the_neighbour_asks_before_a_dose_that_follows_a_missed_one_and_gives_none_to_who_has_gone() -> None:
    """A course is the vet's order (common practice, no source): after a missed dose no amount stands there; of a ewe
    that was sold nothing does.
    """
    course = "---\nsheep: Fern\nmedicine: levamisole oral\ndose: 8 ml\ndays: 3\n---\n"
    notes = {**FARM, "events/2026-06-08 treatment Fern.md": course}
    words = sheet_words(read(notes, "2026-06-10"), "neighbour-3.html")
    owed = words[words.index("Owed in these days") : words.index("Not to be sold")]
    assert "levamisole oral: ask the vet before you give more; dose 2 of 3 not written as given" in owed
    assert "late: 9 Jun" in owed
    assert "8 ml" not in owed
    assert "dose 3" not in owed
    sold = {"events/2026-06-09 sale Fern.md": "---\nsheep: Fern\nto: Yards\nsure: yes\n---\n"}
    words = sheet_words(read({**notes, **sold}, "2026-06-10"), "neighbour-3.html")
    assert "levamisole" not in words[words.index("Owed in these days") : words.index("Not to be sold")]


def test_the_neighbours_owed_stand_by_the_hour() -> None:
    """A second lamb looked for within half an hour stands before the afterbirth of twelve hours on."""
    notes = {
        **FARM,
        "events/2026-04-01 scan.md": "---\nby: Kit\n---\n- Fern twins\n",
        "events/2026-06-10 0330 lambing Fern.md": "- ewe 4.5 kg, tag 700\n",
    }
    words = sheet_words(read(notes, "2026-06-10T04:30"), "neighbour-3.html")
    owed = words[words.index("Owed in these days") :]
    assert owed.index("look for another by 04:00") < owed.index("afterbirth not written as seen by 15:30")


def test_nobody_falls_off_a_full_neighbours_sheet() -> None:
    """Sixty ewes due in one week: those without a row of their own stand by tag and day in the line below."""
    tags = [f"E{number:02}" for number in range(60)]
    notes: dict[str, str | bytes] = {f"sheep/{tag}.md": EWE for tag in tags} | {"sheep/R1 Duke.md": RAM}
    notes["events/2026-01-15 joining.md"] = f"---\nrams: Duke\newes: [{', '.join(tags)}]\nmethod: hand\n---\n"
    words = sheet_words(read(notes, "2026-06-10"), "neighbour.html")
    assert "60 entries" in words
    assert all(tag in words for tag in tags)
