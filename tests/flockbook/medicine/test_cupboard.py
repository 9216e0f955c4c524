"""The medicine cupboard: what is left, what expires, what was never bought, second doses, trace minerals."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from compiler.amounts import Volume
from flockbook.derive.medicine.cupboard import StockAmount, Stocked, stock_quantity
from tests.flockbook.small import Seen, read

EWES = {f"sheep/C{n}.md": f"---\nnote: ewe\ntag: C{n}\nborn: 2022-04-01\n---\n" for n in (1, 2, 3)}
BOTTLE = (
    "---\nnote: medicine\nname: penicillin\nkind: antibiotic\nmeat withdrawal: 10 days\npack: 100 ml\nbatch: A1\n"
    "expires: 2026-09\nopened: 2026-06-01\nuse within: 28 days\n---\n"
)


def flock(on: str = "2026-06-10", bottle: str = BOTTLE, **events: str) -> Seen:
    """Three ewes, one product, and events by `d2026_06_01_kind`."""
    files = {**EWES, "medicines/p.md": bottle}
    for name, text in events.items():
        year, month, day, kind = name[1:].split("_", 3)
        kind, _, number = kind.partition("_")
        files[f"events/{year}-{month}-{day} {kind} {number}.md"] = (
            f"---\nnote: {kind}\nmedicine: penicillin\n{text}---\n"
        )
    return read(files, on)


def shelf(seen: Seen) -> Stocked:
    """The one product."""
    (found,) = seen.facts.medicine.cupboard.shelves
    return found


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("8 ml", (8, True)), ("1 L", (1000, True)), ("2 x 100 ml", (200, True)), ("3 bottles of 50 ml", (150, True)),
        ("2", (200, True)), ("2 bottles", (200, True)),
        ("8 ml, in the vet's bin", (8, True)), ("12 tablets", (12, False)),
        ("some", None), ("1,5 L", None),
    ],
)  # fmt: skip
def test_amounts_as_they_are_typed(text: str, meant: tuple[float, bool] | None) -> None:
    """Volumes become mL, whole packs take the pack's size, anything else is a plain count or nothing."""
    assert stock_quantity(text, Volume(100)) == (StockAmount(*meant) if meant else None)


def test_bought_less_used_less_binned() -> None:
    """Two bottles bought, 3 ewes at 4 ml on two days, 6 ml binned: 200 - 24 - 6 = 170 mL, all of batch A1."""
    seen = flock(
        d2026_05_01_stock="bought: 2\nbatch: A1\n",
        d2026_06_02_treatment="sheep: C1, C2, C3\ndose: 4 ml\ngiven: 2026-06-02, 2026-06-03\nbatch: A1\n",
        d2026_06_04_stock="binned: 6 ml\nbatch: A1\n",
    )
    found = shelf(seen)
    assert (found.bought_ml, found.used_ml, found.binned_ml, found.left_ml) == (200, 24, 6, 170)
    (batch,) = found.batches
    assert (batch.bought, batch.used, batch.binned, batch.expires) == (200, 24, 6, date(2026, 9, 30))


def test_a_count_starts_afresh_and_nothing_known_is_not_nought() -> None:
    """Without a purchase or a count nobody can say what is left; a count is where the sum begins again."""
    dose = "sheep: C1\ndose: 4 ml\n"
    assert shelf(flock(d2026_06_02_treatment=dose)).left_ml is None
    counted = shelf(
        flock(d2026_05_01_stock="bought: 2\n", d2026_06_01_stock="counted: 50 ml\n", d2026_06_02_treatment=dose)
    )
    assert (counted.left_ml, counted.since) == (46, date(2026, 6, 1))
    over = shelf(flock(d2026_05_01_stock="bought: 3 ml\n", d2026_06_02_treatment=dose))
    assert over.left_ml == -1


def test_what_cannot_be_read_or_reckoned_is_listed() -> None:
    """An amount in words and a dose without a volume are shown, not dropped."""
    found = shelf(flock(d2026_05_01_stock="bought: a boxful\n", d2026_06_02_treatment="sheep: C1\n"))
    assert [item.text for item in found.unread] == ["a boxful"]
    assert found.uncounted == 1


def test_a_batch_that_never_came() -> None:
    """A treatment with a batch that neither the medicine note nor a purchase knows was never bought as far as the
    notes tell.
    """
    used = "sheep: C1\ndose: 4 ml\nbatch: Z9\n"
    assert [item.batch for item in shelf(flock(d2026_06_02_treatment=used)).unbought] == ["Z9"]
    bought = flock(d2026_05_01_stock="bought: 1\nbatch: z9\n", d2026_06_02_treatment=used)
    assert not shelf(bought).unbought


@pytest.mark.parametrize(
    ("day", "expiring", "expired"),
    [
        ("2026-08-30", False, False),
        ("2026-08-31", True, False),
        ("2026-09-30", True, False),
        ("2026-10-01", False, True),
    ],
)
def test_expiring_is_within_thirty_days(day: str, expiring: bool, expired: bool) -> None:
    """A month on the label counts to its end: 30 September."""
    found, on = shelf(flock(day)), date.fromisoformat(day)
    assert (found.expiring(on), found.expired(on)) == (expiring, expired)


def test_an_opened_pack_ends() -> None:
    """Opened on 1 June and good for 28 days: to the end of 29 June (day of opening not counted)."""
    found = shelf(flock())
    assert found.use_by == datetime(2026, 6, 30)
    assert found.closing(datetime(2026, 6, 10))
    assert not found.opened_too_long(datetime(2026, 6, 30))
    assert found.opened_too_long(datetime(2026, 6, 30, 0, 1))
    assert shelf(flock(bottle=BOTTLE.replace("opened: 2026-06-01\n", ""))).use_by is None


VACCINE = BOTTLE.replace("kind: antibiotic", "kind: vaccine")


def test_a_second_dose_is_owed_until_it_is_written() -> None:
    """First of two on 1 May: owed from 29 May to 12 June (4-6 weeks, common practice); C2 had hers, C3 has gone."""
    first = "sheep: C1, C2, C3\ndose: 2 ml\nfor: first of two\n"
    seen = read(
        {
            **EWES,
            "medicines/p.md": VACCINE,
            "events/2026-05-01 treatment.md": f"---\nnote: treatment\nmedicine: penicillin\n{first}---\n",
            "events/2026-05-30 treatment.md": "---\nnote: treatment\nmedicine: penicillin\nsheep: C2\n---\n",
            "events/2026-06-01 sale C3.md": "---\nnote: sale\nsheep: C3\nuse: breeding\n---\n",
        }
    )
    (owed,) = seen.facts.medicine.cupboard.seconds
    assert (owed.sheep, owed.due_from, owed.due_by) == ("C1", date(2026, 5, 29), date(2026, 6, 12))


def minerals(second_day: str, second_dose: str = "2 ml", trace: str = "selenium 0.5 mg/mL") -> Seen:
    """Selenium by needle on 1 May and in a drench later."""
    note = "---\nnote: medicine\nname: {}\nmeat withdrawal: 21 days\ntrace: {}\n---\n"
    dose = "---\nnote: treatment\nsheep: C1\nmedicine: {}\ndose: {}\n---\n"
    return read(
        {
            **EWES,
            "medicines/s.md": note.format("needle", "selenium 1 mg/mL"),
            "medicines/d.md": note.format("mineral drench", trace),
            "events/2026-05-01 treatment.md": dose.format("needle", "3 ml"),
            f"events/{second_day} treatment.md": dose.format("mineral drench", second_dose),
        },
        "2026-12-01",
    )


def test_selenium_from_every_source_is_added_up() -> None:
    """3 mL at 1 mg/mL and 2 mL at 0.5 mg/mL six weeks later: 4 mg; a day later they no longer meet."""
    (found,) = minerals("2026-06-12").facts.medicine.cupboard.overlaps
    assert (found.sheep, found.mineral, found.mg) == ("C1", "selenium", 4.0)
    assert not minerals("2026-06-13").facts.medicine.cupboard.overlaps


def test_other_minerals_and_unknown_strengths_are_not_mixed() -> None:
    """Cobalt is not selenium; a capsule counts by the dose; an unknown volume makes the sum unknown, not smaller."""
    assert not minerals("2026-06-01", trace="cobalt 2 mg/mL").facts.medicine.cupboard.overlaps
    (each,) = minerals("2026-06-01", trace="copper 5 mg/mL, selenium 50 mg each").facts.medicine.cupboard.overlaps
    assert each.mg == 53.0
