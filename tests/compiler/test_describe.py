"""What the declarations say of themselves: field reference, blank note and JSON Schema, none of which can be wrong."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest
import yaml

from compiler.describe import as_text, blank, json_schema, reference
from compiler.schema import Kind
from tests.toybook import KINDS, codes, gather

BOAT, VOYAGE, SOUNDING, REPAIR = KINDS
EVERY = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)


def test_reference() -> None:
    """Every field with its help, its value, whether it must be there, and where else it may stand."""
    told = reference(VOYAGE)
    assert [item.name for item in told.fields] == ["date", "boat", "time", "seen", "crew", "ice", "wind", "sure"]
    assert [item.name for item in told.fields if item.required] == ["date", "boat"]
    assert [item.name for item in told.fields if item.from_name] == ["date", "boat", "time"]
    assert [item.name for item in told.fields if item.many] == ["seen", "crew"]
    boat = told.fields[1]
    assert (boat.help, boat.aliases, boat.value) == ("the boat", ("ship",), "words")
    assert told.fields[5].band is not None
    assert (told.file_name, told.columns, told.bare) == ("DATE [TIME] voyage [BOAT].md", ("buoy", "kg", "note"), False)
    assert (reference(BOAT).file_name, reference(REPAIR).guarded) == ("NUMBER NAME.md", True)


def test_text() -> None:
    """The reference as text names everything that may be written, in lines that fit a terminal."""
    told = as_text(reference(VOYAGE))
    for words in (
        "voyage (also sailed, put to sea): a day at sea",
        "boat *: the boat",
        "also written ship",
        "may stand in the file's name instead",
        "outside 5 to 500 you are asked",
        "several, with commas between",
        "a weight, such as 4.1 kg",
        "- cod 4.1 kg",
        "the columns buoy, kg, note",
        "* must be there",
    ):
        assert words in told
    assert "one of lugger, cutter, bare poles, such as lugger" in as_text(reference(BOAT))
    assert "    b3 12.5" in as_text(reference(SOUNDING))
    assert all(len(line) <= 100 for line in told.split("\n"))


def test_blank_note() -> None:
    """A blank note has a line for what must be written, and the rest as comments."""
    rows = blank(reference(REPAIR)).split("\n")
    assert rows[:5] == ["---", "note: repair", "part:", "# date: 2026-04-19", "# boats:"]
    assert "# below the second line of dashes: - cod 4.1 kg" in blank(reference(VOYAGE))


@EVERY
def test_blank_note_filled_in(kind: Kind[Any]) -> None:
    """A blank note with every comment opened and every blank filled in is a sound note."""
    examples = {item.name: item.example or "Teal" for item in reference(kind).fields}
    rows = []
    for row in blank(reference(kind)).split("\n"):
        name = row.removeprefix("# ").split(":")[0]
        rows.append(f"{name}: {examples[name]}" if name in examples else row if not row.startswith("# ") else "")
    found, told = gather({"x.md": "\n".join(rows)})
    assert codes(told) == []
    assert [record.origin.kind for record in found.records] == [kind.name]


@EVERY
def test_blank_note_untouched(kind: Kind[Any]) -> None:
    """A blank note that nobody filled in says what is missing, and is never taken for a whole one."""
    _, told = gather({"2026-04-19.md": blank(reference(kind))})
    required = {item.name for item in reference(kind).fields if item.required} - ({"date"} if kind.dated else set())
    assert bool(told) == bool(required)
    assert not any(item.name == "words-after-hash" for item in told)


@EVERY
def test_schema_is_a_schema(kind: Kind[Any]) -> None:
    """Each schema follows the metaschema of draft 2020-12, by the library `jsonschema`."""
    jsonschema.Draft202012Validator.check_schema(json_schema(kind))


def problems(kind: Kind[Any], head: str) -> list[str]:
    """What an editor that checks YAML by the schema finds wrong with a head."""
    found = jsonschema.Draft202012Validator(json_schema(kind)).iter_errors(yaml.safe_load(head) or {})
    return sorted(".".join(map(str, item.absolute_path)) or item.validator for item in found)


@pytest.mark.parametrize(
    ("kind", "head"),
    [
        (VOYAGE, "note: voyage\nboat: Teal\nice: 40 kg\nwind: 4\ncrew: Una, Fergus\nsure: yes"),
        (VOYAGE, "ship: 412\ntime: 3:40\ncrew: [Una, 14]"),
        (VOYAGE, "Boat: Teal\nICE: 40"),
        (BOAT, "number: 12\nrig: Bare Poles\nbuilt: 2023"),
        (REPAIR, "part: mast\nboats: Teal\ngiven: 2 Jun, 3 Jun\noff plan: no\nfor: rot"),
    ],
)
def test_schema_takes_sound_heads(kind: Kind[Any], head: str) -> None:
    """What the reader takes, an editor takes too, although its YAML turns words into numbers and truth values."""
    assert problems(kind, head) == []


@pytest.mark.parametrize(
    ("kind", "head", "wrong"),
    [
        (BOAT, "rig: ketch", ["rig"]),
        (REPAIR, "boats: Teal", ["anyOf"]),
        (VOYAGE, "boat: Teal\nwnid: 4", ["additionalProperties"]),
        (VOYAGE, "boat: [Teal]", ["boat"]),
        (REPAIR, "part: mast\ndays: many", ["days"]),
    ],
)
def test_schema_refuses_others(kind: Kind[Any], head: str, wrong: list[str]) -> None:
    """An editor marks a word outside its set, a field that is missing or unknown, and a wrong shape."""
    assert problems(kind, head) == wrong
