"""Breeding values from typed notes: which records count, what they are corrected for, what may be shown."""

from __future__ import annotations

from typing import Any

import pytest

from compiler.pages import Page
from flockbook.derive.family import mixedmodel
from flockbook.derive.family.merit import LEAST_RELIABILITY, Trial
from flockbook.handover.facts import facts_object
from flockbook.heritabilities import HERITABILITIES, merged
from flockbook.pages.choosing import merit as page
from flockbook.pages.sections import SectionsView
from flockbook.seen import Seen
from tests.flockbook.families import one_table, sentences_in, table_in
from tests.flockbook.small import codes, read
from tests.flockbook.typed_flock import Ewe, season

STAMP: Any = None
EASY = "heritabilities: weaning weight 0.45\n"  # so that a few records tell something


def two_crops() -> dict[str, str]:
    """Ten ewes, two rams; singles and twins with birth and weaning weights, those of S2 heavier; and a second year."""
    ewes = [
        Ewe((f"ewe {4 + n % 3 / 10} kg", f"ram {4.2 + n % 2 / 10} kg")[: 1 + n % 2], sire="S1" if n < 5 else "S2")
        for n in range(10)
    ]
    first, born = season(ewes)
    second, _ = season(ewes[:4], 2025)
    lines = {
        "events/2024-07-01 weaning.md": "".join(
            f"{tag} {28 + 3 * (n > 6) + n % 3}\n" for n, (tag, _) in enumerate(born)
        )
    }
    return {**second, **first, **lines}


def records(found: Seen, trait: str) -> dict[str, tuple[float, tuple[str, ...]]]:
    """The records of a trait by animal; the last of several."""
    trial: Trial = found.facts.family.merit.trials[trait]
    return {item.animal: (item.value, item.levels) for item in trial.records}


def view(found: Seen) -> SectionsView:
    """The page of breeding values."""
    first = next(item for item in page.make(found, STAMP) if isinstance(item, Page) and item.path == page.PATH)
    assert isinstance(first.view, SectionsView)
    return first.view


def test_a_birth_weight_stands_with_its_season_sex_dam_and_litter() -> None:
    """Every live lamb weighed at birth counts once; wethers count as the ram lambs they were born as."""
    notes = {
        "sheep/C1.md": "---\nnote: ewe\nborn: 2022-04-01\n---\n",
        "events/2024-04-02 lambing C1.md": "- wether 4.4 kg, tag 1\n- ewe 3.9 kg, tag 2\n- ewe 3.0 kg dead\n",
        "sheep/C2.md": "---\nnote: ewe\nborn: 2017\n---\n",
        "events/2024-04-03 lambing C2.md": "- ram 41 kg, tag 3\n",
        "sheep/C3.md": "---\nnote: ewe\n---\n",
        "events/2024-04-04 lambing C3.md": "- ram 5 kg, tag 4\n",
    }
    assert records(read(notes), "birth_weight") == {
        "1": (4.4, ("2024", "ram", "2 years", "triplet or more")),
        "2": (3.9, ("2024", "ewe", "2 years", "triplet or more")),
        "4": (5.0, ("2024", "ram", "not known", "single")),
    }


def test_a_weaning_weight_is_brought_to_one_age_but_to_nothing_else() -> None:
    """Straight line to the target age; the group is season, mob and age; litter born and reared stands beside it."""
    notes = {
        "sheep/C1.md": "---\nnote: ewe\nborn: 2020\nmob: hill\n---\n",
        "events/2024-04-01 lambing C1.md": "- ewe 4 kg, tag 1\n- ram 4 kg, tag 2\n",
        "events/2024-04-20 death 2.md": "---\nsheep: 2\n---\n",
        "events/2024-07-10 weaning.md": "1 24\n",
    }
    value, levels = records(read(notes), "weaning_weight")["1"]
    assert value == pytest.approx(4 + 20 / 100 * 90)
    assert levels == ("2024, hill, at 90 days", "ewe", "3 to 6 years", "twin, single")


def test_litters_count_for_the_ewe_and_fostered_lambs_for_the_one_that_reared_them() -> None:
    """Lambs born: all of the litter. Lambs weaned: those she reared; nothing while the fate of one is open."""
    notes = {
        "sheep/C1.md": "---\nnote: ewe\nborn: 2020\n---\n",
        "sheep/C2.md": "---\nnote: ewe\nborn: 2020\n---\n",
        "events/2024-04-01 lambing C1.md": "- ewe, tag 1\n- ram, tag 2\n- ewe, tag 3\n",
        "events/2024-04-02 lambing C2.md": "- ewe stillborn\n",
        "events/2024-04-02 1000 foster 3.md": "---\nlamb: 3\nonto: C2\n---\n",
        "events/2024-05-01 death 2.md": "---\nsheep: 2\n---\n",
        "events/2024-07-20 weaning.md": "1 30\n3 31\n",
    }
    found = read(notes)
    assert {ewe: value for ewe, (value, _) in records(found, "lambs_born").items()} == {"C1": 3.0, "C2": 1.0}
    assert {ewe: value for ewe, (value, _) in records(found, "lambs_weaned").items()} == {"C1": 1.0, "C2": 1.0}
    assert records(read(notes, "2024-05-10"), "lambs_weaned") == {}


def test_the_day_asked_about_bounds_the_records() -> None:
    """A book of an earlier day rests on the weights written by then."""
    notes = two_crops()
    assert records(read(notes, "2024-07-02"), "weaning_weight")
    assert records(read(notes, "2024-06-30"), "weaning_weight") == {}
    assert {levels[0] for _, levels in records(read(notes, "2024-12-01"), "birth_weight").values()} == {"2024"}


def test_the_facts_file_tells_value_and_reliability() -> None:
    """Every animal and trait with its reliability; traits by their names in the contract."""
    rows = facts_object(read(two_crops()))["merit"]
    assert {row["trait"] for row in rows} == {"birth_weight", "weaning_weight", "lambs_born", "lambs_weaned"}
    ram = next(row for row in rows if row["sheep"] == "S2" and row["trait"] == "weaning_weight")
    other = next(row for row in rows if row["sheep"] == "S1" and row["trait"] == "weaning_weight")
    assert ram["value"] > 0 > other["value"]
    assert 0 < ram["reliability"] < 1
    assert (ram["records"], ram["telling"]) == (0, ram["reliability"] >= LEAST_RELIABILITY)


def test_no_bare_rank_on_the_page() -> None:
    """Each value shown has its range, reliability, records and unknown parents beside it; the rest are counted."""
    found = read({**two_crops(), "flock.yaml": EASY})
    shown = view(found)
    table = table_in(shown, "of-weaning_weight")
    assert table
    assert table.rows
    labels = [column.label for column in table.columns]
    assert labels == [
        "Sheep",
        "Worth as a parent",
        "Range, 80 in a hundred",
        "Reliability",
        "Own records",
        "Its parents",
    ]
    here = len(page.living(found))
    counts = {part.id: part.count for part in shown.sections}
    assert counts["of-weaning_weight"] == f"{len(table.rows)} of {here} can be told"
    told = f"Of {here - len(table.rows)} of the {here} living sheep: too little to say."
    assert told in sentences_in(shown, "of-weaning_weight")
    assert "have a parent who is not known" in view(found).lead


def test_a_doubtful_value_does_not_stand_above_a_sure_one() -> None:
    """Rows stand in the order of the lower end of the range."""
    found = read({**two_crops(), "flock.yaml": EASY})
    made = found.facts.family.merit.evaluations["weaning_weight"]
    assert made.reach
    low = {item.animal: item.value - made.reach * (item.error or 0) for item in made.merits}
    table = table_in(view(found), "of-weaning_weight")
    assert table
    order = [low[row.cells[0].tag] for row in table.rows if hasattr(row.cells[0], "tag")]
    assert len(order) > 1
    assert order == sorted(order, reverse=True)


def test_effects_that_cannot_be_told_apart_are_named() -> None:
    """One litter size in one season, another in the next: the page says what it could not allow for."""
    ewes = [Ewe((f"ewe {4 + n / 10} kg",)) for n in range(4)]
    first, _ = season(ewes)
    second, _ = season([Ewe(("ewe 3.5 kg", "ewe 3.6 kg"), sire="S1") for _ in range(3)], 2025, "F")
    found = read({**first, **second})
    said = sentences_in(view(found), "of-birth_weight")
    assert any("Not to be told apart in these records" in text for text in said)


def test_without_the_libraries_the_page_says_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    """No numpy, no scipy: no value, no crash, a sentence that says what to install."""
    monkeypatch.setattr(mixedmodel, "import_module", lambda name: (_ for _ in ()).throw(ImportError(name)))
    found = read(two_crops())
    assert "`merit` extra" in view(found).lead
    assert [part.id for part in view(found).sections] == ["how", "allowed", "left-out"]
    assert facts_object(found)["merit"] == []


def test_a_flock_without_weights() -> None:
    """Nothing to go by is said, not shown as zeros."""
    found = read({"sheep/C1.md": "---\nnote: ewe\n---\n"})
    assert view(found).lead == "Nothing to go by yet: no weight of a lamb and no litter is written."
    assert found.facts.family.merit.of("C1") == ()


def test_the_flocks_own_heritabilities() -> None:
    """`flock.yaml` changes them, the page prints them with their source, and values follow."""
    notes = two_crops()
    own = {**notes, "flock.yaml": "heritabilities:\n  weaning weight: 0.45\n  lambs born: 0.12 0.2\n"}
    before, after = read(notes), read(own)
    assert after.settings.heritabilities["weaning_weight"].h2 == 0.45
    assert after.settings.heritabilities["lambs_born"].repeatability == 0.2
    assert after.settings.heritabilities["birth_weight"] == HERITABILITIES["birth_weight"]
    said = sentences_in(view(after), "of-weaning_weight")
    assert "0.45 is taken to be inherited (your own setting (flock.yaml))" in said[0]
    reliability = [
        next(told.merit.reliability for told in found.facts.family.merit.of("S2") if told.trait == "weaning_weight")
        for found in (before, after)
    ]
    assert reliability[0] < reliability[1]


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("birth weight 18", "a heritability of 18 cannot be"),
        ("birth weight", "one figure is wanted"),
        ("birth weight 0.2 0.3", "one figure is wanted"),
        ("lambs born 0.2 0.1", "a repeatability of 0.1 cannot be"),
        ("lambs born 0,2", "`0,2` is no figure"),
        ("fleece weight 0.4", "the traits worked out are birth weight, weaning weight, lambs born, lambs weaned"),
        ("lambs born -0.1", "a heritability of -0.1 cannot be"),
    ],
)
def test_a_figure_that_cannot_be(typed: str, why: str) -> None:
    """A slip is named with its reason, and the published figure stays in use."""
    found, wrong = merged([typed])
    assert found == HERITABILITIES
    assert wrong == (f"`{typed}`: {wrong[0].partition(': ')[2]}",)
    assert why in wrong[0]


def test_a_slip_in_the_settings_is_told_with_its_place() -> None:
    """Path, line, reason and cure."""
    found = read({"flock.yaml": "flock: Small\nheritabilities: birth weight 18\n"})
    told = next(item for item in found.diagnostics if item.code == "S104")
    assert (told.span.path, told.span.line) == ("flock.yaml", 2)
    assert "birth weight 0.2" in (told.help or "")
    assert codes(found).count("S104") == 1


def test_the_published_figures_are_those_of_the_references() -> None:
    """Safe defaults of the published rows: 0.18; 0.20; 0.10 and 0.18; 0.07 and 0.17 (references, growth §2.1)."""
    shown = {trait: (item.h2, item.repeatability) for trait, item in HERITABILITIES.items()}
    assert shown == {
        "birth_weight": (0.18, None), "weaning_weight": (0.20, None), "lambs_born": (0.10, 0.18),
        "lambs_weaned": (0.07, 0.17),
    }  # fmt: skip
    assert all(item.source for item in HERITABILITIES.values())


def test_a_proof_works_out_no_breeding_value() -> None:
    """They are worked out when a page asks for them."""
    found = read(two_crops())
    assert "evaluations" not in vars(found.facts.family.merit)
    assert found.facts.family.merit.of("S2")
    assert "evaluations" in vars(found.facts.family.merit)


def test_a_weaning_weight_that_cannot_be_used_is_named() -> None:
    """A weight without a birthday is left out, and the page says which and why."""
    notes = {
        "sheep/C1.md": "---\nnote: ewe\nborn: 2020\n---\n",
        "sheep/X8.md": "---\nnote: ewe\nborn: 2024\ndam: C1\n---\n",
        "events/2024-04-01 lambing C1.md": "- ewe 4 kg, tag 1\n",
        "events/2024-07-10 weaning.md": "1 24\nX8 23\n",
    }
    found = read(notes)
    assert list(records(found, "weaning_weight")) == ["1"]
    table = table_in(view(found), "left-out")
    assert table
    told = [row.cells[2] for row in table.rows if getattr(row.cells[1], "tag", "") == "X8"]
    assert [getattr(cell, "text", "").replace("\u00a0", " ") for cell in told] == [
        "its day of birth is not known, so its weight cannot be brought to one age (23.0 kg)"
    ]


def test_a_pedigree_that_contradicts_itself_gives_no_figure() -> None:
    """Each the other's dam: neither inbreeding, relationship nor breeding value, of either or of what they bred."""
    circle = {
        **two_crops(),
        "sheep/K1.md": "---\nnote: ewe\nborn: 2020\ndam: K2\n---\n",
        "sheep/K2.md": "---\nnote: ewe\nborn: 2020\ndam: K1\n---\n",
        "events/2024-04-05 lambing K1.md": "- ewe 4 kg, tag 901\n",
    }
    found = read({**circle, "flock.yaml": "heritabilities: birth weight 0.9\n"})
    shown = {row["id"]: row["inbreeding"] for row in facts_object(found)["sheep"]}
    assert [shown[name] for name in ("K1", "K2", "901", "S1")] == [None, None, None, 0.0]
    made = found.facts.family.merit.evaluations["birth_weight"].merits
    assert next(item.reliability for item in made if item.animal == "901") >= LEAST_RELIABILITY
    assert [found.facts.family.merit.of(name) for name in ("K1", "K2", "901")] == [(), (), ()]
    table = table_in(view(found), "of-birth_weight")
    assert table
    assert "901" not in {getattr(row.cells[0], "tag", "") for row in table.rows}
    assert "Of 3 living sheep nothing is told" in view(found).lead
    told = facts_object(found, [("K1", "901"), ("S1", "901"), ("S1", "S2")])
    assert [row["relationship"] for row in told["kinship"]] == [None, None, 0.0]
    pairs = {(row["ram"], row["ewe"]): row["inbreeding"] for row in told["pairing"]}
    assert pairs["S1", "K1"] is None
    assert any(share == 0.0 for share in pairs.values())


def test_what_is_left_out_goes_on_over_pages() -> None:
    """Many weights that cannot be used: each is named once, on the page or where its table goes on."""
    names = [f"X{n}" for n in range(120)]
    notes = {f"sheep/{name}.md": "---\nnote: ewe\nborn: 2024\n---\n" for name in names}
    lines = "".join(f"{name} 23\n" for name in names)
    found = read({**two_crops(), **notes, "events/2024-07-10 weaning.md": lines})
    pages = [item for item in page.make(found, STAMP) if isinstance(item, Page)]
    tables = [table_in(view(found), "left-out")]
    tables += [one_table(item.view) for item in pages if item.path.startswith("merit-not-used")]
    told = [getattr(row.cells[1], "tag", "") for table in tables if table for row in table.rows]
    assert len(tables) > 1
    assert sorted(name for name in told if name.startswith("X")) == sorted(names)
