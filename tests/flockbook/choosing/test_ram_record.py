"""Each ram's record: certain births only, counts with their limits, means with their number, losses by stage."""

from __future__ import annotations

import pytest

from flockbook.derive.choosing.ram_record import RamRecord
from flockbook.handover.facts import facts_object
from tests.flockbook.small import Notes, Seen, read

TODAY = "2026-10-20"
RAMS: Notes = {
    "sheep/R1.md": "---\nnote: ram\nborn: 2019\n---\n",
    "sheep/R2.md": "---\nnote: ram\nborn: 2019\n---\n",
}


def births(sire: str, count: int, line: str, more: str = "") -> Notes:
    """So many ewes that lambed on 1 April 2026 with one lamb each; `sire` "" for none written."""
    notes: dict[str, str] = {}
    for place in range(count):
        tag = f"{sire or 'N'}{place}"
        notes[f"sheep/E{tag}.md"] = "---\nnote: ewe\nborn: 2020\n---\n"
        head = f"ewe: E{tag}\n" + (f"sire: {sire}\n" if sire else "") + more
        notes[f"events/2026-04-01 lambing E{tag}.md"] = f"---\n{head}---\n{line.format(f'L{tag}')}\n"
    return notes


def record(seen: Seen, ram: str) -> RamRecord:
    """One ram's record."""
    return next(item for item in seen.facts.choosing.rams.rams if item.ram == ram)


def test_counts_weights_gains_and_losses() -> None:
    """Three lambs of R1 at 4 kg, two weaned at 34 kg after 100 days, one dead on the third day: worked by hand."""
    notes = {**RAMS, **births("R1", 3, "- ewe 4.0 kg, tag {0}", "help: slight\n")}
    notes["events/2026-04-04 death LR12.md"] = "---\nsheep: LR12\ncause: exposure\n---\n"
    notes["events/2026-07-10 weaning.md"] = "LR10 34\nLR11 34\n"
    found = record(read(notes, TODAY), "R1")
    assert (found.ewes, found.helped.count, found.helped.of) == (3, 3, 3)
    assert (found.alive.count, found.alive.of, found.weaned.count, found.weaned.of) == (3, 3, 2, 3)
    assert found.birth_kg.n == 3
    assert found.birth_kg.mean == pytest.approx(4.0)
    assert found.gain_kg.n == 2
    assert found.gain_kg.mean == pytest.approx(0.3)
    assert found.lost == {"born dead": 0, "birth to 48 h": 0, "48 h to 14 d": 1, "14 d to weaning": 0}


def test_limits_are_wilsons() -> None:
    """None helped of 20 births: 0 to 0.1611, as printed by Newcombe 1998, Statist. Med. 17:857, table I."""
    found = record(read({**RAMS, **births("R1", 20, "- ewe 4.0 kg, tag {0}")}, TODAY), "R1")
    assert (found.helped.count, found.helped.of) == (0, 20)
    assert found.helped.low == 0
    assert found.helped.high == pytest.approx(0.1611, abs=5e-5)
    assert found.helped.few


def test_either_and_unknown_sires_are_counted_apart() -> None:
    """A birth that two rams explain is perhaps either's and neither's; one that none explains belongs to nobody."""
    notes = {**RAMS, **births("", 2, "- ewe 4.0 kg, tag {0}")}
    notes["events/2025-11-01 joining both.md"] = "---\nrams: [R1, R2]\newes: [EN0]\nout: 2025-12-10\n---\n"
    seen = read(notes, TODAY)
    book = seen.facts.choosing.rams
    assert (book.births, book.shared, book.unexplained) == (2, 1, 1)
    assert [(item.helped.of, item.shared_births) for item in book.rams] == [(0, 1), (0, 1)]
    handed = facts_object(seen)["rams"]
    assert (handed["births"], handed["several_possible"], handed["unexplained"]) == (2, 1, 1)


def test_every_birth_is_somewhere() -> None:
    """Births of one ram alone, of several, and of none are all births there are."""
    both = {**births("R1", 4, "- ram 4.0 kg, tag {0}"), **births("R2", 3, "- ewe stillborn")}
    notes = {**RAMS, **both, **births("", 2, "")}
    book = read(notes, TODAY).facts.choosing.rams
    assert sum(item.helped.of for item in book.rams) + book.shared + book.unexplained == book.births == 9
    assert record(read(notes, TODAY), "R2").alive.count == 0


def test_a_ram_without_lambs_has_no_data() -> None:
    """A new ram is listed with nothing of anything, and no mean."""
    found = record(read(RAMS, TODAY), "R1")
    assert (found.helped.value, found.birth_kg.mean, found.birth_kg.n) == (None, None, 0)
