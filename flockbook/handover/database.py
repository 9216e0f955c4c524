"""The facts as one SQLite file that any query tool opens: typed tables, foreign keys, views named after questions, and
a table to search all remarks (`SELECT * FROM search WHERE search MATCH 'limping'`).

It is made in memory and handed out whole: no journal is left beside it, and the same notes and day give the same bytes.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing
from typing import Any

from compiler.collection import Collection
from flockbook.handover.database_layout import QUESTIONS, SQL_TABLES
from flockbook.seen import Seen

SQLITE = b"SQLite format 3\x00"
APPLICATION = 0x464C4B42  # "FLKB" in the head of files of ours (sqlite.org, `application_id`)
LAYOUT = 2  # grows when a table or a column changes

GATE_COLUMNS = ("sheep", "answer", "text", "note")

SqlRow = tuple[Any, ...]
SqlRows = Iterator[tuple[str, SqlRow]]


def database(seen: Seen, facts: Mapping[str, Any]) -> bytes:
    """The file's bytes; `facts` is the object of `handover facts`."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as made:
        made.execute(f"PRAGMA application_id = {APPLICATION}")
        made.execute(f"PRAGMA user_version = {LAYOUT}")
        made.executescript(SQL_TABLES)
        made.execute("BEGIN")
        for table, row in all_rows(seen, facts):
            made.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(row))})", [as_sql(value) for value in row])
        for name, words in QUESTIONS.items():
            made.execute(f"CREATE VIEW {name} AS {words}")
        for table, column in references(made):
            made.execute(f"CREATE INDEX {table}_{column} ON {table} ({column})")
        made.execute("COMMIT")
        made.execute("VACUUM")
        return made.serialize()


def is_ours(head: bytes) -> bool:
    """Whether a file that begins so was made here."""
    return head.startswith(SQLITE) and head[68:72] == APPLICATION.to_bytes(4, "big")


def references(made: sqlite3.Connection) -> list[tuple[str, str]]:
    """Every column that names a row of another table."""
    names = [name for (name,) in made.execute("SELECT name FROM sqlite_schema WHERE sql LIKE '%REFERENCES%'")]
    return [
        (name, column)
        for name in sorted(names)
        for column in sorted({row[3] for row in made.execute(f"PRAGMA foreign_key_list({name})")})
    ]


def all_rows(seen: Seen, facts: Mapping[str, Any]) -> SqlRows:
    """Every row with its table."""
    yield "book", (facts["flock"], facts["on"], seen.settings.units, seen.settings.currency or None)
    yield from rows_of_notes(seen)
    yield from rows_of_files(seen.collection)
    yield from rows_of_sheep(facts)
    yield from birth_rows(facts)
    yield from growth_rows(facts)
    yield from treatment_rows(seen, facts)
    yield from health_rows(facts)
    yield from season_rows(facts)
    yield from movement_rows(facts)
    yield from work_rows(facts)


def rows_of_notes(seen: Seen) -> SqlRows:
    """Every note, whom it speaks of, and its words to search in."""
    flock = seen.linked
    for record in seen.collection.records:
        origin = record.origin
        day, time = getattr(record, "date", None), getattr(record, "time", None)
        shown = day.isoformat() if day else None
        clock = time.strftime("%H:%M") if time else None
        by = getattr(record, "by", None)
        replaced = flock.struck.get(origin.path)
        yield "note", (origin.path, origin.kind, shown, clock, by, origin.written, replaced)
        named = flock.subjects.get(origin.path)
        who = dict.fromkeys(named.ids) if named else {}
        yield from (("note_sheep", (origin.path, sheep)) for sheep in who)
        called = ", ".join(flock.animals[sheep].called_in_full for sheep in who)
        yield "search", (origin.path, origin.kind, shown, called, origin.written)


def rows_of_files(found: Collection) -> SqlRows:
    """Every file that is no note or could not be read, with its text: a sheep may be held because of it."""
    texts = dict.fromkeys(found.companions, ("table", ""))
    texts |= {other.path: ("other file", other.text) for other in found.others}
    texts |= {hole.path: ("unreadable", hole.text) for hole in found.holes}
    for path, (kind, text) in texts.items():
        yield "note", (path, kind, None, None, None, text, None)
        yield "search", (path, kind, None, "", text)


def picked(rows: Iterable[Mapping[str, Any]], table: str, *keys: str) -> SqlRows:
    """The named values of each row, in the order of the table's columns."""
    return ((table, tuple(row[key] for key in keys)) for row in rows)


def as_sql(value: Any) -> Any:
    """Yes and no as 1 and 0; text as UTF-8 can hold it; everything else as it is."""
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    return int(value) if isinstance(value, bool) else value


def rows_of_sheep(facts: Mapping[str, Any]) -> SqlRows:
    """Every animal, and who may be its sire."""
    yield from picked(
        facts["sheep"], "sheep", "id", "tag", "name", "sex", "born", "dam", "sire", "status", "left", "mob", "paddock",
        "inbreeding", "parity",
    )  # fmt: skip
    for row in facts["sheep"]:
        yield from (("possible_sire", (row["id"], sire)) for sire in dict.fromkeys(row["sires_possible"]))


def birth_rows(facts: Mapping[str, Any]) -> SqlRows:
    """Who is due, and every birth with its lambs."""
    yield from picked(facts["due"], "due", "ewe", "season", "basis", "earliest", "likely", "latest", "lambs_scanned")
    for number, row in enumerate(facts["lambings"], 1):
        told = ("ewe", "date", "time", "season", "help", "born", "alive", "gestation_days", "note")
        yield "lambing", (number, *(row[key] for key in told))
        yield from (("lambing_lamb", (number, lamb)) for lamb in dict.fromkeys(row["lambs"]))


def growth_rows(facts: Mapping[str, Any]) -> SqlRows:
    """Every weight, and what each sheep gains."""
    yield from picked(facts["growth"], "growth", "lamb", "birth_kg", "adg_kg", "adjusted_kg", "target_age")
    for row in facts["growth"]:
        yield from (("weight", (row["lamb"], one["date"], one["kg"])) for one in row["weights"])


def treatment_rows(seen: Seen, facts: Mapping[str, Any]) -> SqlRows:
    """Every treatment, and who is clear."""
    for entry in seen.facts.medicine.register:
        day, kept = entry.event.date, entry.keep_until
        dates = [one.isoformat() if one else None for one in (day, kept)]
        yield "treatment", (entry.note, dates[0], entry.event.medicine, entry.total_ml, dates[1])
        yield from (("treatment_sheep", (entry.note, sheep)) for sheep in dict.fromkeys(entry.sheep))
    for row in facts["clearance"]:
        states = (row[product][key] for product in ("meat", "milk") for key in ("state", "until", "words"))
        yield "clearance", (row["sheep"], *states)
        for step in row["because"]:
            yield "clearance_reason", (row["sheep"], step["rule"], step["text"], step["note"] or None, step["line"])
    yield from picked(({**row, "note": row["note"] or None} for row in facts["going"]), "going", *GATE_COLUMNS)


def health_rows(facts: Mapping[str, Any]) -> SqlRows:
    """Every case of illness."""
    told = ("sheep", "problem", "since", "recovered", "open", "sample", "result")
    return picked(facts["illness"], "illness", *told)


def season_rows(facts: Mapping[str, Any]) -> SqlRows:
    """Every season's counts and money."""
    counted = ("exposed", "lambed", "born", "alive", "weaned", "helped")
    for row in facts["seasons"]:
        yield "season", (row["season"], *(row["counts"][key] for key in counted), row["running"], row["month"])
    yield from picked(facts["money"], "season_money", "season", "income", "costs", "margin", "per_ewe_exposed")


def movement_rows(facts: Mapping[str, Any]) -> SqlRows:
    """Every movement on and off the holding."""
    told = ("date", "way", "head", "party", "document", "holding", "haulier", "vehicle", "note")
    for number, row in enumerate(facts["movements"], 1):
        yield "movement", (number, *(row[key] for key in told))
        yield from (("movement_sheep", (number, sheep)) for sheep in dict.fromkeys(row["sheep"]))


def work_rows(facts: Mapping[str, Any]) -> SqlRows:
    """What is to be done, and what the notes are asked."""
    yield from picked(facts["reminders"], "reminder", "id", "date", "what", "kind", "ticked_by")
    for row in facts["reminders"]:
        yield from (("reminder_sheep", (row["id"], sheep)) for sheep in dict.fromkeys(row["sheep"]))
    yield from picked(facts["diagnostics"], "problem", "code", "grade", "path", "line", "message", "help")
