"""A note made from what was typed and from what the book knows already; nothing is guessed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from compiler.dates import DATE, TIME
from compiler.schema import Context, Fault, Kind, LineSyntax, declared_keys
from compiler.shape import Value
from flockbook.jotting.note_draft import NoteDraft
from flockbook.jotting.note_paths import NOT_IN_NAMES, NamedBy, fit_subject
from flockbook.jotting.typed_words import BETWEEN_SHEEP, TypedWords, whom_field
from flockbook.records.breeding import Lambing
from flockbook.records.places import Mob
from flockbook.roll import key_of
from flockbook.seen import Seen


class NewNote(Value):
    """A note to be written, and what its name is made of."""

    draft: NoteDraft
    named: NamedBy


def bearers_of_names(seen: Seen) -> dict[str, str]:
    """Every name, tag and mob as it is looked up, with the id of the sheep, or "" for a mob."""
    found: dict[str, str] = {}
    for mob in mobs_known(seen):
        found[key_of(mob)] = ""
    for animal in seen.linked.animals.values():
        for word in (animal.id, animal.name or "", *animal.tags):
            found[key_of(word)] = animal.id
    return {word: sheep for word, sheep in found.items() if word}


def mobs_known(seen: Seen) -> Iterator[str]:
    """The mobs that there are or were."""
    yield from (mob.name for mob in seen.collection.of(Mob) if mob.name)
    yield from (stay.mob for animal in seen.linked.animals.values() for stay in animal.mobs)


def new_note(kind: Kind[Any], typed: TypedWords, seen: Seen, clock: str) -> NewNote:
    """The note of a command, dated the day asked about unless a date was typed; `clock` is the time typed with that
    day. The time at which a note is typed is not that of what it tells, and is not filled in.
    """
    bearers = bearers_of_names(seen)
    fields = [*whom_fields(kind, typed, bearers), *typed.fields]
    if kind.dated:
        fields = [*dated_fields(fields, seen, clock), *fields]
    fields += [(name, text) for name, text in known_fields(kind, dict(fields), seen, bearers) if name not in
               dict(fields)]  # fmt: skip
    lines, words = lines_and_words(kind, typed, seen, bearers)
    draft = NoteDraft(kind.name, tuple(fields), lines, words, kind.lines is not None and kind.lines.bare)
    return NewNote(draft, named_by(kind, draft, seen))


def whom_fields(kind: Kind[Any], typed: TypedWords, bearers: dict[str, str]) -> Iterator[tuple[str, str]]:
    """The sheep typed, in the field in which this kind names them; of an undated note, its own tag and name."""
    if not kind.dated:
        yield from zip(kind.named, typed.sheep, strict=False)
        return
    mobs = [word for word in typed.sheep if bearers.get(key_of(word)) == "" and "mob" in declared_keys(kind.record)]
    sheep = [word for word in typed.sheep if word not in mobs]
    if sheep:
        yield whom_field(kind), ", ".join(sheep)
    if mobs:
        yield "mob", ", ".join(mobs)


def dated_fields(fields: list[tuple[str, str]], seen: Seen, clock: str) -> Iterator[tuple[str, str]]:
    """The day asked about, and the time where one was typed with it, unless the note says them."""
    typed = dict(fields)
    if "date" not in typed:
        yield "date", seen.today.day.isoformat()
        if "time" not in typed and clock:
            yield "time", clock


def known_fields(
    kind: Kind[Any], typed: dict[str, str], seen: Seen, bearers: dict[str, str]
) -> Iterator[tuple[str, str]]:
    """What the book knows for certain: the one ram that a ewe was with."""
    if kind.record is not Lambing:
        return
    ewe = bearers.get(key_of(typed.get("ewe", "")))
    rams = next((row.rams for row in seen.facts.breeding.due.rows if row.ewe == ewe), ()) if ewe else ()
    ram = seen.linked.animals.get(rams[0]) if len(rams) == 1 else None
    if ram is not None:
        yield "sire", ram.tag or ram.called


def lines_and_words(
    kind: Kind[Any], typed: TypedWords, seen: Seen, bearers: dict[str, str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The lines that are data of the kind, or begin with a dash, and the rest, which is a remark."""
    if kind.lines is None:
        return (), typed.lines
    context = Context(seen.settings.habits, seen.today.day)
    dashed = [line for line in typed.lines if line.lstrip().startswith("- ")]
    data = [line for line in typed.lines if line in dashed or is_data(kind.lines, line, context, bearers)]
    return tuple(data), tuple(line for line in typed.lines if line not in data)


def is_data(syntax: LineSyntax, line: str, context: Context, bearers: dict[str, str]) -> bool:
    """Whether the kind takes a line for data, faulty or not; one of a sheep has a figure or begins with her."""
    reading = syntax.read(line, context)
    if reading.remark and not reading.faults:
        return False
    sheep = getattr(reading.value, "sheep", None)
    return syntax.bare or sheep is None or key_of(sheep) in bearers or any(letter.isdigit() for letter in line)


def named_by(kind: Kind[Any], draft: NoteDraft, seen: Seen) -> NamedBy:
    """What the name of the note is made of; a subject that would not fit a file's name is left out."""
    if not kind.dated:
        called = " ".join(draft.typed(name) for name in kind.named).strip()
        return NamedBy(kind, seen.today.day, "", fit_subject(called) or " ".join(NOT_IN_NAMES.sub(" ", called).split()))
    context = Context(seen.settings.habits, seen.today.day)
    day, clock = DATE.read(draft.typed("date"), context), TIME.read(draft.typed("time"), context)
    return NamedBy(
        kind,
        seen.today.day if isinstance(day, Fault) else day,
        "" if isinstance(clock, Fault) or not draft.typed("time") else f"{clock:%H:%M}",
        fit_subject(subject_of(kind, draft)),
    )


def subject_of(kind: Kind[Any], draft: NoteDraft) -> str:
    """What the end of a file's name may say: what it would be read as anyway, or the one sheep or mob."""
    names = [name for name, (attribute, _) in kind.keys().items() if attribute == kind.subject] if kind.subject else []
    said = [draft.typed(name) for name in names or (whom_field(kind), "mob") if draft.typed(name)]
    return said[0] if len(said) == 1 and not BETWEEN_SHEEP.search(said[0]) else ""
