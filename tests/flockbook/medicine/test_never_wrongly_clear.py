"""The promise that may never break: no damage to a note ever shows a treated animal as clear."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.build import proof
from compiler.collection import Hole, Other
from compiler.diagnostics import Grade
from flockbook.book import BOOK
from tests.flockbook.small import Seen, moment, read

TREATMENT = "events/2026/2026-06-02 treatment foot abscess.md"
UNDATED = "events/foot.md"
MEDICINE = "medicines/penicillin.md"
FLOCK = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C231 Sorrel.md": "---\nnote: ewe\nborn: 2022\nmob: low\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\nmob: tups\n---\n",
    MEDICINE: "---\nnote: medicine\nname: penicillin\nlabel rate: 1 ml per 20 kg\nroute: muscle\nmeat withdrawal: 28 "
    "days\nmilk withdrawal: 4 days\nsource: label\n---\nFridge door.\n",
    TREATMENT: "---\nsheep: Bramble, C230\nmedicine: penicillin\ndose: 3 ml\nroute: muscle\ngiven: 2 Jun 18:00, 3 "
    "Jun, 4 Jun 07:30\nbatch: K4471\nby: Una\n---\nC230 the worst. Dry pen overnight.\n",
}
BY_MOB = (
    "---\nnote: treatment\ndate: 2026-06-02\nmob: hill\nexcept: Teasel\ncount: 1\nmedicine: penicillin\ndays: "
    "3\nfinished: 2026-06-04\n---\n- C214 62 kg\n"
)
TREATED = ("C214", "C230")


def damaged(text: bytes) -> Iterator[bytes]:
    """A note cut at every byte, with every bit turned, lines lost, doubled and swapped, in wrong encodings, and with a
    conflict in it.
    """
    yield from (text[:end] for end in range(len(text)))
    yield from (
        text[:place] + bytes([text[place] ^ (1 << bit)]) + text[place + 1 :]
        for place in range(len(text))
        for bit in range(8)
    )
    yield from (text[:place] + text[place + 1 :] for place in range(len(text)))
    lines = text.split(b"\n")
    yield from (b"\n".join(lines[:place] + lines[place + 1 :]) for place in range(len(lines)))
    yield from (b"\n".join([*lines[:place], lines[place], *lines[place:]]) for place in range(len(lines)))
    yield from (
        b"\n".join([*lines[:place], lines[place + 1], lines[place], *lines[place + 2 :]])
        for place in range(len(lines) - 1)
    )
    yield text.decode().encode("utf-16")
    yield text.decode().encode("utf-16-le")
    yield text.decode().encode("cp037")
    yield text.replace(b"a", b"\xe4")
    yield from (
        b"\n".join(
            [
                *lines[:place],
                b"<<<<<<< ours",
                lines[place],
                b"=======",
                b"sheep: C231",
                b">>>>>>> theirs",
                *lines[place + 1 :],
            ]
        )
        for place in range(len(lines))
    )


def sound(seen: Seen, path: str) -> bool:
    """Whether a note was read without an error or an ask, so that the book says exactly what it says."""
    placed = any(record.origin.path == path for record in seen.collection.records)
    return placed and not any(
        message.span.path == path and message.grade in (Grade.ERROR, Grade.ASK) for message in seen.diagnostics
    )


def wrongly_clear(notes: dict[str, str | bytes], path: str, treated: tuple[str, ...]) -> list[str]:
    """Treated animals that are shown clear although the damaged note was not read whole."""
    seen = read(notes, "2026-06-10")
    if sound(seen, path):
        return []
    standing = seen.facts.medicine.guard.standing
    return [sheep for sheep in treated if sheep in standing and standing[sheep].clear]


@pytest.mark.parametrize("path", [TREATMENT, MEDICINE])
def test_no_damage_to_treatment_or_medicine_makes_anybody_clear(path: str) -> None:
    """Every truncation, bit, byte, line and encoding of a treatment and of its medicine."""
    text = str(FLOCK[path]).encode()
    found = [
        (variant, wrong)
        for variant in damaged(text)
        if (wrong := wrongly_clear({**FLOCK, path: variant}, path, TREATED))
    ]
    assert found == []


@pytest.mark.parametrize("path", ["events/2026-06-02 treatment.md", UNDATED])
def test_no_damage_to_a_mobs_treatment_makes_anybody_clear(path: str) -> None:
    """The same for a treatment of a mob, with a name that says much and one that says nothing."""
    notes: dict[str, str | bytes] = {other: text for other, text in FLOCK.items() if other != TREATMENT}
    assert not read({**notes, path: BY_MOB}).facts.medicine.guard.standing["C214"].clear
    found = [
        (variant, wrong)
        for variant in damaged(BY_MOB.encode())
        if (wrong := wrongly_clear({**notes, path: variant}, path, ("C214",)))
    ]
    assert found == []


def test_every_damaged_treatment_is_still_a_note_or_a_hole() -> None:
    """A damaged treatment never becomes a file that is passed over."""
    for variant in damaged(BY_MOB.encode()):
        seen = read({**{path: text for path, text in FLOCK.items() if path != TREATMENT}, UNDATED: variant})
        assert UNDATED not in [item.path for item in seen.collection.others], variant


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(sorted(set(FLOCK) - {TREATMENT, MEDICINE})), st.binary(max_size=60))
def test_breaking_or_adding_any_other_note_clears_nobody(path: str, rubbish: bytes) -> None:
    """Whatever becomes of other notes, a treated animal that is still in the book is not clear."""
    for notes in (
        {**FLOCK, path: rubbish},
        {**FLOCK, "events/other.md": rubbish},
        {**FLOCK, "2026-06-05 remark.md": rubbish},
    ):
        standing = read(notes).facts.medicine.guard.standing
        assert not [sheep for sheep in TREATED if sheep in standing and standing[sheep].clear]


def test_what_the_property_means_by_a_hole() -> None:
    """The helper that the property rests on tells a record from a hole and from another file."""
    seen = read({**FLOCK, TREATMENT: b"---\nsheep: Bramble\n"})
    assert not sound(seen, TREATMENT)
    assert isinstance(seen.collection.holes[0], Hole)
    assert all(row.meat.state == "unknown" for row in seen.facts.medicine.guard.standing.values())
    assert not any(isinstance(item, Other) for item in seen.collection.holes)


@pytest.mark.parametrize("named", [TREATMENT, "events/2026-06-03 treatment mob.csv"])
def test_no_setting_takes_a_treatment_out_of_the_book(tmp_path: Path, named: str) -> None:
    """`adjustment factors` may name any file: a note, or the table of one, is read all the same and holds its sheep."""
    files: dict[str, str | bytes] = {
        **FLOCK,
        "events/2026-06-03 treatment mob.md": "---\nmedicine: penicillin\ndose: 3 ml\n---\n",
        "events/2026-06-03 treatment mob.csv": "sheep,kg\nC231,60\n",
        "flock.yaml": f"flock: Small\nadjustment factors: {named}\n",
    }
    for path, text in files.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(text if isinstance(text, bytes) else text.encode())
    seen = proof(tmp_path, BOOK, moment("2026-06-10"))
    plain = read({path: text for path, text in files.items() if path != "flock.yaml"})
    assert "S103" in [message.code for message in seen.diagnostics]
    assert {sheep: row.meat for sheep, row in seen.facts.medicine.guard.standing.items()} == {
        sheep: row.meat for sheep, row in plain.facts.medicine.guard.standing.items()
    }
    assert not any(seen.facts.medicine.guard.standing[sheep].clear for sheep in (*TREATED, "C231"))
