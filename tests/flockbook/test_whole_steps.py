"""Fields of whole steps, each from a note that a shepherd could write to the page, the message and the hand-over.

A hire, paint marks, fleeces, frozen colostrum, samples, papers, organic sheep, old records, the year ahead.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from flockbook.handover.facts import facts_object
from flockbook.pages.breeding import scan_page
from flockbook.pages.choosing import choose_rams
from flockbook.pages.farm import ages_page, fleece_page, kit, money, register
from flockbook.pages.health import illness, review_page, worms
from flockbook.pages.lambing import colostrum_page, watch
from flockbook.pages.market import loading
from flockbook.pages.season import seasons
from flockbook.pages.sheep import sheep_page
from flockbook.pages.today import week, year_ahead
from flockbook.records import KINDS
from tests.flockbook.compiled import Compiled
from tests.flockbook.families import drawn, made
from tests.flockbook.small import Notes, Seen, codes, meat, milk, read

EWE, RAM = "---\nnote: ewe\nborn: 2021-04\nmob: hill\n---\n", "---\nnote: ram\nborn: 2020-04\nmob: tups\n---\n"
FLOCK: dict[str, str] = {
    "flock.yaml": "flock: Small\ncurrency: GBP\nholding: 70/999/0041\n",
    "sheep/C1 Wren.md": EWE, "sheep/C2 Rook.md": EWE, "sheep/S1 Sexton.md": RAM,
    "medicines/moxidectin.md": (
        "---\nnote: medicine\nname: moxidectin\nkind: wormer\nmeat withdrawal: 14 days\nmilk withdrawal: none\n---\n"
    ),
}  # fmt: skip


def flock(on: str = "2026-06-10", **notes: str) -> Seen:
    """The small flock with further notes, path → text."""
    return read({**FLOCK, **notes}, on)


def facts(seen: Seen) -> dict[str, Any]:
    """What is handed over."""
    return facts_object(seen)


def page(seen: Seen, family: Any, path: str = "") -> str:
    """A page as HTML: the first of its family, or the one at a path."""
    found = list(made(seen, family))
    return drawn(next((item for item in found if item.path == path), found[0]), seen, (family,))


# Hire


HIRE = {"events/2025-10-20 hire.md": "---\nram: H7 Hector\nfrom: Coldbeck\nuntil: 2025-12-01\nprice: 150\n---\n"}
JOINED = {
    "events/2025-10-21 joining Hector.md": "---\nrams: Hector\newes: Wren\nout: 2025-11-28\n---\n",
    "events/2026-03-20 lambing Wren.md": "- ewe 4 kg, tag 731\n",
}


def test_a_hired_ram_sires_and_is_neither_bought_nor_sold() -> None:
    """He is the sire of the lamb born 150 days after he met her; the register counts him nowhere, and shows him come
    and go; his hire is money spent.
    """
    seen = flock(**HIRE, **JOINED)
    assert [one for one in seen.diagnostics if one.grade.value == "error"] == []
    assert seen.facts.breeding.matings.sires_of["events/2026-03-20 lambing Wren.md"] == ("H7",)
    year = seen.facts.farm.register.years[0]
    assert (year.bought, year.sold, year.closing) == (0, 0, 3)
    shown = page(seen, register)
    assert "1\u00a0on,\u00a0hired" in shown
    assert "1\u00a0back" in shown
    assert [one.kind for season in seen.facts.farm.money.seasons for one in season.payments] == ["ram hire"]
    assert facts(seen)["hired"][0]["from"] == "Coldbeck"
    assert next(row["status"] for row in facts(seen)["sheep"] if row["id"] == "H7") == "returned"


def test_a_hired_ram_who_is_bought_is_bought_on_that_day() -> None:
    """One animal: hired from October, bought on 1 December; what he got in between still holds him."""
    bought = {"events/2025-12-01 purchase.md": "---\nfrom: Coldbeck\nprice: 400\n---\n- ram tag H7 Hector, born 2022\n"}
    dose = {"events/2025-11-25 treatment.md": "---\nsheep: H7\nmedicine: moxidectin\ndose: 5 ml\n---\n"}
    seen = flock("2025-12-05", **HIRE, **bought, **dose)
    assert [one.message for one in seen.diagnostics if one.grade.value == "error"] == []
    assert meat(seen, "H7") == "held 2025-12-10"
    year = seen.facts.farm.register.years[0]
    assert (year.bought, year.closing, year.balances) == (1, 4, True)
    own = {"sheep/H7 Hector.md": "---\nnote: ram\nborn: 2022\nbought: 2025-12-01\n---\n"}
    later = flock("2025-12-05", **HIRE, **own, **dose)
    assert (later.facts.farm.register.years[0].bought, meat(later, "H7")) == (1, "held 2025-12-10")


def test_a_hired_ram_may_not_go_and_is_held_like_any() -> None:
    """While he stands here a dose holds him, by name or with a mob of which nobody says that he is not in it; and the
    loading list says whose he is.
    """
    dose = "---\nsheep: H7\nmedicine: moxidectin\ndose: 5 ml\n---\n"
    named = flock("2025-11-05", **HIRE, **{"events/2025-11-01 treatment.md": dose})
    assert meat(named, "H7") == "held 2025-11-16"
    mob = dose.replace("sheep: H7", "mob: hill")
    assert meat(flock("2025-11-05", **HIRE, **{"events/2025-11-01 treatment.md": mob}), "H7") != "clear"
    assert "he goes back, and is not yours to sell" in page(flock("2025-11-05", **HIRE), loading)


# Labour, scan, checks, illness


def test_hands_in_set_the_time_to_ring_the_vet() -> None:
    """Waters at 02:30: step in by 03:30, ring by 04:00 (Utah State University's half hour to an hour, and half an hour
    of effort); hands in at 02:45 brings it to 03:15, and nobody is told to step in again.
    """
    note = {"events/2026-04-03 0250 labour Wren.md": "---\nwaters: 02:30\n---\n"}
    bare = flock("2026-04-03T03:00", **note)
    assert f"{bare.facts.lambing.labours[0].clock.ring_vet:%H:%M}" == "04:00"
    helped = {path: text.replace("waters: 02:30", "waters: 02:30\nhelped: 02:45") for path, text in note.items()}
    seen = flock("2026-04-03T03:00", **helped)
    labour = seen.facts.lambing.labours[0]
    assert (f"{labour.clock.ring_vet:%H:%M}", labour.standing and labour.standing.value) == ("03:15", "helped")
    assert "hands in since 02:45" in page(seen, watch)
    assert flock("2026-04-03T03:20", **helped).facts.lambing.labours[0].standing == "ring the vet"


def test_the_sorting_list_goes_by_litter_and_by_paint() -> None:
    """Twins with a red dot, a single with none, and the ewe whom nobody scanned."""
    third = {"sheep/C3 Fern.md": EWE, "events/2025-10-21 joining Sexton.md":
             "---\nrams: Sexton\newes: Wren, Rook, Fern\nout: 2025-11-28\n---\n"}  # fmt: skip
    seen = flock("2026-02-10", **third, **{"events/2026-02-04 scan.md": "- Wren twins, red dot\n- Rook single\n"})
    found = seen.facts.breeding.scan_sorting
    assert [(item.ewe, item.lambs, item.mark) for item in found.ewes] == [("C1", 2, "red dot"), ("C2", 1, "")]
    assert found.unscanned == ("C3",)
    assert "Red dot: twins." in page(seen, scan_page)
    assert facts(seen)["scan_sorting"][0]["mark"] == "red dot"


@pytest.mark.parametrize(("units", "shown"), [("metric", "34.3 cm"), ("us", "13.5 in")])
def test_the_girth_of_a_ram_stands_on_his_page_of_rams(units: str, shown: str) -> None:
    """13.5 inches are 34.29 cm (NIST SP 811: 2.54 cm to the inch), shown in the flock's unit."""
    notes = {**FLOCK, "flock.yaml": f"flock: Small\nunits: {units}\n"}
    seen = read({**notes, "events/2026-05-01 check.md": "- S1 bcs 3.5, scrotal 13.5 in\n"})
    assert shown in page(seen, choose_rams)


def test_a_sample_and_its_result_stand_on_the_case() -> None:
    """The case page and the year's sheet for the vet have both."""
    ill = "---\nsheep: Wren\nproblem: pneumonia\nsample: nasal swab\n---\n"
    seen = flock(**{"events/2026-05-01 illness.md": ill})
    case = next(item.path for item in made(seen, illness) if item.path.startswith("cases/"))
    assert "still to come" in page(seen, illness, case)
    done = ill.replace("nasal swab", "nasal swab\nresult: Mannheimia\nresult date: 2026-05-09")
    seen = flock(**{"events/2026-05-01 illness.md": done})
    assert "Mannheimia (9 May 2026)" in page(seen, illness, case)
    assert "Mannheimia" in page(seen, review_page)
    assert facts(seen)["illness"][0]["result_date"] == "2026-05-09"


# Stores


def test_frozen_colostrum_is_kept_by_ewe_and_day() -> None:
    """300 mL of Wren's go in, 130 mL are fed: 170 mL are left of that bag; no such amount is a dose of anybody's."""
    notes = {
        "events/2026-04-10 stock.md": (
            "---\nsupply: frozen colostrum\nput in: 300 ml\nfrom: Wren\nfrozen: 2026-04-10\n---\n"
        ),
        "events/2026-04-11 lambing Rook.md": "- ewe 4 kg, tag 731\n",
        "events/2026-04-11 feeding.md": (
            "---\nlambs: 731\namount: 130 ml\nwhat: frozen\nfrom: Wren\nfrozen: 2026-04-10\n---\n"
        ),
    }
    seen = flock(**notes)
    store = seen.facts.lambing.colostrum_store
    assert [(item.lot.donor, item.left) for item in store.lots] == [("C1", 170)]
    assert meat(seen, "C1") == "clear"
    assert "170 mL of frozen colostrum left" in page(seen, colostrum_page)
    told = notes["events/2026-04-10 stock.md"].replace("300 ml", "300 ml; 5 ml moxidectin for Wren")
    assert meat(flock(**{**notes, "events/2026-04-10 stock.md": told}), "C1") == "unknown"


@pytest.mark.parametrize(("units", "typed", "shown"), [("metric", "2.1 kg", "2.1 kg"), ("us", "6.5 lb", "6.5 lb")])
def test_fleeces_are_summed_by_year_and_class(units: str, typed: str, shown: str) -> None:
    """A line for one, the field for the others together, and what the wool brought for each."""
    notes = {
        **FLOCK,
        "flock.yaml": f"flock: Small\nunits: {units}\ncurrency: GBP\n",
        "events/2026-06-01 job.md": (
            f"---\ndid: shearing\nsheep: Wren, Rook\nfleece: {typed}\n---\n- Wren fleece {typed}, class fine\n"
        ),
        "events/2026-06-05 money.md": "---\namount: 8\nfor: wool\nin: yes\n---\n",
    }
    seen = read(notes)
    year = seen.facts.farm.fleeces[0]
    assert (year.heads, [(name, heads) for name, heads, _ in year.by_class]) == (2, [("fine", 1), ("", 1)])
    shown_page = page(seen, fleece_page).replace("\u00a0", " ")
    assert shown in shown_page
    assert "£4.00" in shown_page


def test_a_price_of_stock_enters_money_by_kind() -> None:
    """Forty bales at 6.50 are 260.00 of feed; the same sum in a money note a day later is not counted again."""
    hay = {"events/2026-01-10 stock.md": "---\nsupply: hay\nbought: 40 bales\nprice: 40 bales at 6.50\n---\n"}
    again = {"events/2026-01-11 money.md": "---\namount: 260\nfor: feed\n---\n"}
    made_of = flock(**hay).facts.farm.money.seasons[0]
    assert [(one.kind, float(one.amount)) for one in made_of.payments] == [("feed", 260.0)]
    twice = flock(**hay, **again)
    assert (len(twice.facts.farm.money.left_out), "C102" in codes(twice)) == (1, True)


# Papers


SOLD = {
    "events/2026-06-20 sale.md": (
        "---\nsheep: Wren\nto: Cauldside\nuse: breeding\nprice per kg: 2\nweight: 60 kg\ncommission: 5 %\n"
        "haulier: Fergus\nvehicle: AB12 CDE\nholding: 70/111/0002\ndocument: 70/26/9\nsure: yes\n---\n"
    )
}
PAPERS = {
    "sheep/C1 Wren.md": EWE.replace("mob: hill", "mob: hill\nregistry: KH 17\ngenotype: ARR/ARR\norganic: yes"),
}


def test_a_load_carries_haulier_vehicle_holding_and_the_buyers_papers() -> None:
    """On the sheet of a sale to come; what is written is no blank any more."""
    seen = flock(**PAPERS, **SOLD)
    sheet = page(seen, loading, "loading-2026-06-20.html")
    for words in ("Fergus", "AB12 CDE", "70/111/0002", "70/999/0041", "KH 17", "ARR/ARR"):
        assert words in sheet
    blanks = sheet[sheet.index("Heads counted on") - 400 :]
    assert "Haulier" not in blanks


def test_a_sale_by_weight_less_commission_is_money() -> None:
    """60 kg at 2.00 are 120.00; five in a hundred of it, 6.00, the mart kept."""
    gone = {"events/2026-06-01 sale.md": SOLD["events/2026-06-20 sale.md"].replace("sure: yes\n", "")}
    sums = [one for season in flock(**gone).facts.farm.money.seasons for one in season.payments]
    assert sorted((one.kind, float(one.amount), one.income) for one in sums) == [
        ("commission", 6.0, False), ("ewes", 120.0, True),
    ]  # fmt: skip
    shown = page(flock(**gone), register)
    assert "holding 70/111/0002, document 70/26/9, carried by Fergus, vehicle AB12 CDE" in shown


def test_what_the_seller_gave_holds_until_a_note_says_it_in_full() -> None:
    """`treated` alone names no date; a treatment note of the day they came, with the seller's day, does: 14 days after
    30 May, and one because no hour is known, is 14 June (rule W2).
    """
    bought = {"events/2026-06-01 purchase.md": (
        "---\nfrom: Netherhope\ndocument: N 77\nholding: 70/111/0003\ntreated: moxidectin, 2026-05-30\n---\n"
        "- ewe tag C901, born 2023\n"
    )}  # fmt: skip
    assert (meat(flock(**bought), "C901"), meat(flock(**bought), "C1")) == ("unknown", "clear")
    told = "---\nsheep: C901\nmedicine: moxidectin\ndose: 5 ml\ngiven: 30 May\n---\n"
    answered = flock(**bought, **{"events/2026-06-01 treatment.md": told})
    assert meat(answered, "C901") == "held 2026-06-14"
    assert "holding 70/111/0003, document N 77" in page(answered, register)


DOSED = {"events/2026-06-01 treatment.md": "---\nsheep: Wren, Rook\nmedicine: moxidectin\ndose: 5 ml\n---\n"}


@pytest.mark.parametrize(
    ("rule", "hers"),
    [
        ("", "held 2026-06-16"),
        ("organic withdrawal: twice\n", "held 2026-06-30"),
        ("organic withdrawal: 3 days\n", "held 2026-06-16"),
        ("organic withdrawal: 30 days\n", "held 2026-07-02"),
        ("organic withdrawal: never mind\n", "unknown"),
    ],
)
def test_the_organic_rule_only_lengthens_and_only_for_organic_sheep(rule: str, hers: str) -> None:
    """Twice the label's period, and 48 hours at least, is what Regulation (EU) 2018/848 asks for (Annex II, part II,
    1.5.2.5; from memory); here it is whatever was typed. Rook, whose note says nothing, waits by the label; a rule that
    cannot be read leaves the organic ewe unknown (W13).
    """
    notes = {**FLOCK, **PAPERS, **DOSED, "flock.yaml": f"flock: Small\n{rule}"}
    seen = read(notes)
    assert (meat(seen, "C1"), meat(seen, "C2")) == (hers, "held 2026-06-16")


def test_a_period_of_nought_is_lengthened_only_by_a_least_time() -> None:
    """Twice nothing is nothing; at least 48 hours after 1 June, its hour not known, is 4 June."""
    notes = {**FLOCK, **PAPERS, **DOSED, "flock.yaml": "flock: Small\norganic withdrawal: twice, at least 48 h\n"}
    assert milk(read(notes, "2026-06-03"), "C1") == "held 2026-06-04"
    bare = {**notes, "flock.yaml": "flock: Small\norganic withdrawal: twice\n"}
    assert milk(read(bare, "2026-06-03"), "C1") == "clear"


def test_a_doubt_about_everybody_reaches_the_organic_for_longer() -> None:
    """A word that names nobody holds the whole flock; the organic ewe as long as her own rule says."""
    doubtful = {"events/2026-06-01 treatment.md": "---\nsheep: Zzyzx\nmedicine: moxidectin\ndose: 5 ml\n---\n"}
    notes = {**FLOCK, **PAPERS, **doubtful, "flock.yaml": "flock: Small\norganic withdrawal: twice\n"}
    assert (meat(read(notes, "2026-06-20"), "C1"), meat(read(notes, "2026-06-20"), "C2")) == ("unknown", "clear")


# Old records, founders, the year


OLD = {
    "old/past lambings.md": "---\nnote: past lambings\nsource: the red notebook\n---\n",
    "old/past lambings.csv": (
        "date,ewe,sex,weight,tag,fate,help\n2023-04-12,Wren,ewe,4.1,531,sold,\n2023-04-12,Wren,ram,4.2,532,died,helped\n"
        "2023-04,Old Nan,ewe,,,born dead,\n"
    ),
}


def test_old_births_are_seasons_of_their_own_and_make_nobody_live() -> None:
    """Two ewes, three lambs, two born alive, beside the book's seasons; Wren is no maiden, nobody is on the roll."""
    joined = {"events/2025-10-21 joining Sexton.md": "---\nrams: Sexton\newes: Wren, Rook\nout: 2025-11-28\n---\n"}
    seen = flock("2026-02-01", **OLD, **joined)
    (season,) = seen.facts.lambing.past.seasons
    assert (season.season, season.ewes, season.lambs, season.alive) == (2023, 2, 3, 2)
    assert season.fates == {"sold": 1, "died": 1, "born dead": 1}
    assert sorted(seen.linked.animals) == ["C1", "C2", "S1"]
    assert "from old records" in page(seen, seasons)
    assert "Lambings from old records" in page(seen, sheep_page, "sheep/c1.html")
    assert seen.facts.season.seasons == ()
    assert next(row["parity"] for row in facts(seen)["sheep"] if row["id"] == "C1") == 1


def test_every_word_of_an_old_row_shows(tmp_path: Path) -> None:
    """Date, ewe, sex, weight, tag, fate and help stand where the note is told, and with the ewe."""
    rows = "date,ewe,sex,weight,tag,fate,help,note\n2023-04-12,Wren,ram,4.25 kg,532,died,helped,by the dyke\n"
    notes = {**FLOCK, **OLD, "old/past lambings.csv": rows}
    book = Compiled(notes, "2026-02-01", tmp_path)
    words = "ram lamb, 4.25 kg, tag 532, died, helped, by the dyke"
    assert f"12 Apr 2023, Wren: {words}" in book.words("things.html")
    assert words in book.words("sheep/c1.html")


def test_a_sheep_note_alone_is_a_founder() -> None:
    """Three notes of their own open the register; what is born after the first dated note is born here."""
    later = {"sheep/C9.md": "---\nnote: ewe\nborn: 2026-05-05\n---\n", "events/2026-03-01 remark.md": "Snow.\n"}
    found = flock(**later).facts.farm.register
    assert found.founders == ("C1", "C2", "S1")
    assert (found.years[0].opening, found.years[0].born, found.years[0].bought) == (3, 1, 0)
    assert all(one.balances for one in found.years)
    assert "opens with 3 founders" in page(flock(**later), register)


def test_a_planned_joining_gives_the_days_of_the_year() -> None:
    """In on 1 November, out on 10 December: lambs from 23 March (142 days) to 11 May (152 days), close watch from the
    138th day, 19 March (extension texts; New Mexico State University).
    """
    ahead = {"events/2026-11-01 joining.md": "---\nrams: Sexton\nmob: hill\nout: 2026-12-10\nsure: yes\n---\n"}
    seen = flock("2026-10-01", **ahead)
    rows = {(row["what"], row["first"], row["last"]) for row in facts(seen)["year_wheel"]}
    assert {("ram in", "2026-11-01", "2026-11-01"), ("lambs", "2027-03-23", "2027-05-11"),
            ("ram out", "2026-12-10", "2026-12-10")} <= rows  # fmt: skip
    assert ("watch", "2027-03-19", "2027-05-11") in rows
    assert "Planned: for the lambs of 2027, by Sexton" in page(seen, year_ahead)
    assert seen.facts.breeding.due.rows == ()


# Books of the year


LOST = {
    "events/2025-10-21 joining Sexton.md": "---\nrams: Sexton\newes: Wren, Rook\nout: 2025-11-28\n---\n",
    "events/2026-03-20 lambing Wren.md": "- ewe 4 kg, tag 731\n- ram 4 kg, tag 732\n",
    "events/2026-03-22 death 732.md": "---\ncause: exposure\n---\n",
    "events/2026-05-20 death Rook.md": "---\ncause: accident\n---\n",
    "events/2026-05-30 sale 731.md": "---\nprice: 90 each\nto: Hask Mart\nuse: store\n---\n",
}


@pytest.mark.parametrize(("typed", "cost"), [("", 90.0), ("loss value: {lamb: 95, ewe: 160}\n", 255.0)])
def test_each_loss_has_its_cost(typed: str, cost: float) -> None:
    """A lamb at the crop's mean price of 90; with the flock's own figures 95 for it, and 160 for the ewe."""
    seen = read({**FLOCK, **LOST, "flock.yaml": f"flock: Small\ncurrency: GBP\n{typed}"})
    (season,) = seen.facts.farm.losses
    assert float(season.cost or 0) == cost
    assert "What each loss cost" in page(seen, money)
    assert facts(seen)["losses"][0]["per_ewe_exposed"] == cost / 2


def test_ages_and_who_went() -> None:
    """Wren is five whole years old; of two ewes put to the ram one died."""
    seen = flock(**LOST)
    assert [(band.years, band.ewes) for band in seen.facts.farm.ages.bands] == [(5, ("C1",))]
    (rate,) = seen.facts.farm.ages.rates
    assert ((rate.left.count, rate.left.of), (rate.died.count, rate.died.of)) == ((0, 2), (1, 2))
    assert "Customary is to cull about 15 in a hundred" in page(seen, ages_page)


def test_kit_by_last_seasons_use_and_a_list_for_a_first_year() -> None:
    """One birth used 20 ml of iodine; one ewe is due again: 20 ml; in a first year the published lists stand there."""
    iodine = {"supplies/iodine.md": "---\nname: navel iodine\nhave: 100 ml\n---\n",
              "events/2026-03-21 stock.md": "---\nsupply: navel iodine\nused: 20 ml\n---\n"}  # fmt: skip
    again = {"events/2026-10-21 joining Sexton.md": "---\nrams: Sexton\newes: Wren\nout: 2026-11-28\n---\n"}
    seen = flock("2026-12-10", **{**LOST, **iodine, **again})
    (use,) = seen.facts.farm.used
    assert (float(use.used), use.births, use.expected, float(use.need)) == (20.0, 1, 1, 20.0)
    assert "By last season&#39;s use" in page(seen, kit)
    assert "For a first year" in page(flock(), kit)


def test_the_week_names_who_does_what() -> None:
    """A task with `by` has its name, one without a blank."""
    tasks = {
        "events/2026-06-09 task hurdle.md": "---\nwhat: mend the hurdle\ndue: 2026-06-12\nby: Fergus\n---\n",
        "events/2026-06-09 task gate.md": "---\nwhat: hang the gate\ndue: 2026-06-13\n---\n",
    }
    shown = page(flock(**tasks), week)
    assert shown.index("Mend the hurdle") < shown.index("Fergus")
    assert "Fri\u00a012\u00a0Jun: Mend the hurdle" in shown
    assert "______________" in shown


def test_the_vets_review_sets_two_seasons_beside_each_other() -> None:
    """A case, a drench and a lamb lost of this season, and none of the one before."""
    before = {
        "events/2024-10-21 joining Sexton.md": "---\nrams: Sexton\newes: Wren\nout: 2024-11-28\n---\n",
        "events/2025-03-20 lambing Wren.md": "- ewe 4 kg, tag 631\n",
    }
    ill = {"events/2026-05-01 illness.md": "---\nsheep: Wren\nproblem: lameness\n---\n"}
    seen = flock(**before, **LOST, **ill, **DOSED)
    rows = {row["season"]: row for row in facts(seen)["health_review"]}
    assert (rows[2026]["cases"], rows[2025]["cases"]) == ({"lameness": 1}, {})
    assert rows[2026]["medicines"][0]["kind"] == "wormer"
    assert rows[2026]["dead_by_stage"]["48 h to 14 d"] == 1
    assert "season 2026 beside 2025" in page(seen, review_page)


def test_the_next_look_at_eyelids_is_named_from_the_last() -> None:
    """One to three weeks in warm wet months (American Consortium for Small Ruminant Parasite Control)."""
    seen = flock(**{"events/2026-06-01 check.md": "- Wren eyelid 2\n"})
    assert facts(seen)["next_worm_check"] == {"last": "2026-06-01", "first": "2026-06-08", "latest": "2026-06-22"}
    assert "from 8 Jun 2026 to 22 Jun 2026" in page(seen, worms)


def test_money_and_illness_stand_among_what_changed(tmp_path: Path) -> None:
    """Two seasons with sums and cases, in the whole book."""
    more = {
        "events/2024-10-21 joining Sexton.md": "---\nrams: Sexton\newes: Wren\nout: 2024-11-28\n---\n",
        "events/2025-03-20 lambing Wren.md": "- ewe 4 kg, tag 631\n",
        "events/2025-05-20 sale 631.md": "---\nprice: 70 each\nto: Hask Mart\nuse: store\n---\n",
        "events/2025-05-01 illness.md": "---\nsheep: Wren\nproblem: lameness\nrecovered: 2025-05-09\n---\n",
    }
    notes: Notes = {**FLOCK, **LOST, **more}
    shown = Compiled({path: str(text) for path, text in notes.items()}, "2026-09-01", tmp_path).words("seasons.html")
    assert "£90.00 came in in 2026, £70.00 in 2025, £20.00 more." in shown
    assert "Lameness: 0 cases in 2026, 1 in 2025." in shown


def test_each_new_field_has_an_example_in_its_kind() -> None:
    """What `flockbook kinds` prints of a field says how it is typed, or what it is for."""
    new = {
        "hire": ("ram", "until", "price"), "labour": ("helped",), "illness": ("sample", "result", "result date"),
        "feeding": ("from", "frozen"), "stock": ("frozen", "price"), "purchase": ("document", "holding", "treated"),
        "sale": ("haulier", "vehicle", "holding", "price per kg", "price per lb", "commission"),
        "job": ("fleece", "fleece class"), "ewe": ("registry", "genotype", "organic"), "past lambings": ("source",),
    }  # fmt: skip
    kinds = {kind.name: kind.keys() for kind in KINDS}
    assert [(kind, name) for kind, names in new.items() for name in names if not kinds[kind][name][1].help] == []
