"""What becomes of a whole file: the notes that can be written, and the fate of every row. Nothing is written here."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from compiler.collection import Hole
from compiler.diagnostics import Diagnostic, Grade
from compiler.schema import Context, Record
from compiler.shape import Value, replace
from compiler.source import Source
from flockbook.checks.leaving import SOLD_UNKNOWN
from flockbook.gathering.doses_told import DoseEar
from flockbook.gathering.file_reading import misfits
from flockbook.gathering.mappings import FileMapping
from flockbook.gathering.note_making import GatheredNote, makers
from flockbook.gathering.row_reading import (
    GATHERED_BEFORE,
    ROW_KEPT_BACK,
    ROW_PARTLY,
    ROW_WRITTEN,
    RowFate,
    RowRead,
    SheetRead,
    or_left_out,
    read_rows,
    told_of_rows,
)
from flockbook.gathering.rules import ALL_STOPS, DOSE_STOPS, NO_NOTE_OF_IT, ROW_ALTERED, STOPPING
from flockbook.gathering.sheets import RowSheet
from flockbook.jotting.foretold import caused
from flockbook.jotting.new_note import bearers_of_names
from flockbook.jotting.note_paths import folded_path, path_candidates
from flockbook.records.gathered import GatheredFrom, read_gathered, rows_said
from flockbook.seen import Seen

NOT_READ_BACK = "the note would not be read as the row says it"
HOW_BY_HAND = "write this note by hand, and leave the row out in the mapping"

HOW_CLEARED = (
    "; if a label is not typed yet, type it in the medicine's note, or behind its `new medicine:` in the mapping: "
    "`; meat withdrawal: 21 days; milk withdrawal: not for milk; source: label`"
)

DraftPlaced = tuple[GatheredNote, Source]
Foretelling = Callable[[Sequence[Source]], Seen]


class GatherPlan(Value):
    """The notes to be written, each with its path, what was read of each sheet, and the fate of every row."""

    notes: tuple[DraftPlaced, ...]
    reads: tuple[SheetRead, ...]
    fates: tuple[tuple[RowSheet, tuple[RowFate, ...]], ...]


Planned = tuple[GatherPlan, tuple[Diagnostic, ...]]


def stops(told: Iterable[Diagnostic]) -> bool:
    """Whether nothing at all may be written: something may be a dose, or the file was not read whole."""
    return any(item.code in STOPPING for item in told)


def gather_plan(sheets: Sequence[RowSheet], mapping: FileMapping, seen: Seen, after: Foretelling) -> Planned:
    """What becomes of every row of a file: one function for the dry run and the real one."""
    told = list(misfits(mapping, sheets))
    if told:
        return GatherPlan((), (), ()), tuple(told)
    context, ear = Context(seen.settings.habits, seen.today.day), DoseEar.of(seen)
    hows = [(sheet, how) for sheet in sheets if (how := mapping.of(sheet.name))]
    outcomes = [read_rows(sheet, how, context, ear) for sheet, how in hows]
    told += [item for _, items in outcomes for item in items]
    known = _Known(seen)
    reads = []
    for read, _ in outcomes:
        fresh, altered = known.fresh(read)
        reads.append(fresh)
        told += altered
    made = [one for maker in makers(reads, seen, bearers_of_names(seen)) for one in maker.made()]
    told += [one for one in made if isinstance(one, Diagnostic)]
    trial = _Written(seen, after)
    notes = trial.accepted(list(placed_notes(once([one for one in made if isinstance(one, GatheredNote)]), seen)))
    told += trial.told
    return GatherPlan(tuple(notes), tuple(reads), tuple(fates_of(reads, notes))), tuple(told)


class _Known:
    """What was gathered before, by the notes that say so, read or not."""

    def __init__(self, seen: Seen) -> None:
        origins = [origin for item in seen.collection.records if (origin := gathered_in(item))]
        origins += [origin for hole in seen.collection.holes for origin in gathered_in_hole(hole)]
        self.ids = {id for origin in origins for id in origin.ids}
        pairs = [(one, row, id) for one in origins for row, id in zip(one.rows, one.ids, strict=True)]
        self.places: dict[tuple[str, str, int], set[str]] = {}
        for one, row, id in pairs:
            self.places.setdefault((one.file, one.sheet, row), set()).add(id)

    def fresh(self, read: SheetRead) -> tuple[SheetRead, list[Diagnostic]]:
        """A sheet without the rows that were gathered before, and a message for each that has other words now."""
        here = {row.id for row in read.rows}
        before = [row for row in read.rows if row.id in self.ids]
        places = {row.number: (read.sheet.file, read.sheet.name, row.number) for row in read.rows}
        altered = [
            row for row in read.rows
            if row not in before and self.places.get(places[row.number], set()) - here
        ]  # fmt: skip
        rows = tuple(row for row in read.rows if row not in before and row not in altered)
        kept_back = {row.number for row in altered}
        done = {row.number for row in before} - kept_back - {row.number for row in rows}
        fates = [RowFate(number, GATHERED_BEFORE) for number in sorted(done)]
        fates += [RowFate(number, ROW_KEPT_BACK) for number in sorted(kept_back - {row.number for row in rows})]
        whole = replace(read, rows=rows, fates=(*read.fates, *fates))
        return whole, [self.told(read, row) for row in altered]

    def told(self, read: SheetRead, row: RowRead) -> Diagnostic:
        """What is said of a row that was altered since; one that may be a dose stops the gathering."""
        rule, meanwhile = (DOSE_STOPS, ALL_STOPS) if row.dose else (ROW_ALTERED, NO_NOTE_OF_IT)
        cure = f"mend the note that was made of it, then write `leave out: {row.number}` in the mapping"
        message = "a note was made of this row when it had other words"
        return rule.at(read.sheet.span(row.number), message, cure, meanwhile)


def gathered_in(record: Record) -> GatheredFrom | None:
    """Where a note was gathered."""
    found: GatheredFrom | None = getattr(record, "gathered", None)
    return found


def gathered_in_hole(hole: Hole) -> Iterator[GatheredFrom]:
    """The same of a note that cannot be read now."""
    for line in hole.text.split("\n"):
        key, _, text = line.partition(":")
        found = read_gathered(text.strip().strip("'").replace("''", "'"), Context())
        if key.strip().lower() == "gathered" and isinstance(found, GatheredFrom):
            yield found


# What can be written


def once(notes: Iterable[GatheredNote]) -> Iterator[GatheredNote]:
    """The notes, that of a new medicine only where it is named first."""
    named = set()
    for note in notes:
        if note.rows or note.note.draft.text not in named:
            named.add(note.note.draft.text)
            yield note


def placed_notes(notes: Iterable[GatheredNote], seen: Seen) -> Iterator[DraftPlaced]:
    """Each note with the path that it will have; no two have the same, and none that a file has."""
    records = seen.collection.records
    taken = {folded_path(path) for path in paths_of(seen)}
    for note in notes:
        free = (path for path in path_candidates(note.note.named, records) if folded_path(path) not in taken)
        path = next(free, "")
        taken.add(folded_path(path))
        yield note, Source(path, note.note.draft.text, "")


def paths_of(seen: Seen) -> Iterator[str]:
    """The paths of all files of the notes folder."""
    found = seen.collection
    yield from (record.origin.path for record in found.records)
    yield from (hole.path for hole in found.holes)
    yield from (other.path for other in found.others)
    yield from found.companions


class _Written:
    """Which notes can be written together, found by reading the whole flock with them."""

    def __init__(self, seen: Seen, after: Foretelling) -> None:
        self.seen, self.after = seen, after
        self.told: list[Diagnostic] = []

    def accepted(self, notes: list[DraftPlaced]) -> list[DraftPlaced]:
        """The notes that raise no error and are read as their rows say; the reason is told of the others."""
        self.refuse([(pair, no_place(pair[0])) for pair in notes if not pair[1].path])
        notes = [pair for pair in notes if pair[1].path]
        while notes:
            after = self.after([source for _, source in notes])
            told = caused(self.seen.diagnostics, after.diagnostics)
            errors = [item for item in told if item.grade is Grade.ERROR]
            wrong = [(pair, why) for pair in notes if (why := self.amiss(pair, errors, after))]
            if not wrong and not errors:
                self.told += told
                return notes
            if not wrong:
                self.told += errors
                wrong = [(pair, (errors[0].message, errors[0].help)) for pair in notes]
            self.refuse(wrong)
            refused = {pair[1].path for pair, _ in wrong}
            notes = [pair for pair in notes if pair[1].path not in refused]
        return []

    def amiss(self, pair: DraftPlaced, errors: Sequence[Diagnostic], after: Seen) -> tuple[str, str] | None:
        """Why a note cannot stand: an error about it, or one that it is not read back as it was meant."""
        path = pair[1].path
        error = next((item for item in errors if path in (item.span.path, *(one.path for one in item.also))), None)
        if error:
            return error.message, f"{error.help}{HOW_CLEARED if error.code == SOLD_UNKNOWN.code else ''}"
        record = next((item for item in after.collection.records if item.origin.path == path), None)
        if record is None or len(getattr(record, "lines", ())) != pair[0].lines or record.origin.unread:
            return NOT_READ_BACK, HOW_BY_HAND
        return None

    def refuse(self, wrong: Sequence[tuple[DraftPlaced, tuple[str, str]]]) -> None:
        """Keep notes back, each row with the reason."""
        for (note, _), (message, cure) in wrong:
            rows, dose = rows_said(note.numbers), not note.rows or any(row.dose for row in note.rows)
            said = f"rows {rows}: {message}" if len(note.rows) > 1 else message
            self.told.append(
                told_of_rows(dose, note.sheet.span(next(iter(note.numbers), 1)), said, or_left_out(cure, rows))
            )


def no_place(note: GatheredNote) -> tuple[str, str]:
    """Why a note has no path."""
    return f"every name that a {note.note.draft.kind} note could have is taken", HOW_BY_HAND


def fates_of(
    reads: Sequence[SheetRead], notes: Sequence[DraftPlaced]
) -> Iterator[tuple[RowSheet, tuple[RowFate, ...]]]:
    """The fate of every row of every sheet, in order."""
    written = {(note.sheet.path, row.id) for note, _ in notes for row in note.rows}
    for read in reads:
        stand: dict[int, list[bool]] = {}
        for row in read.rows:
            stand.setdefault(row.number, []).append((read.sheet.path, row.id) in written)
        rest = [RowFate(number, fate_of_parts(parts)) for number, parts in stand.items()]
        yield read.sheet, tuple(sorted((*read.fates, *rest), key=lambda one: one.number))


def fate_of_parts(written: Sequence[bool]) -> str:
    """What became of a row, by what of it stands in a note."""
    return ROW_WRITTEN if all(written) else ROW_PARTLY if any(written) else ROW_KEPT_BACK


def fates_counted(fates: Sequence[RowFate]) -> str:
    """`60 written, 1 blank, 1 a total`: every row of a sheet once."""
    return ", ".join(f"{many} {fate}" for fate, many in Counter(one.fate for one in fates).items())
