"""What a note says, in words: its heading, its fields as they were typed, its data lines. Nothing of it is left out."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date, time
from typing import Any

from compiler.amounts import Amount, Temperature, Volume, Weight
from compiler.dates import PartialDate, When
from compiler.fields import attributes
from compiler.schema import Record
from compiler.shape import replace
from compiler.words import Choice
from flockbook.flock import Flock
from flockbook.measures import measures_of
from flockbook.pages.wording import and_listed, clock_words, day_words, girth_words, partial_words, when_words
from flockbook.records import lamb_line
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.check_line import LOOKED, CheckLine
from flockbook.records.dose_line import DoseLine
from flockbook.records.egg_line import EggLine
from flockbook.records.event import Event
from flockbook.records.fleece_line import FleeceLine
from flockbook.records.handling import Tagging
from flockbook.records.lamb_line import LambLine
from flockbook.records.mark_line import MarkLine
from flockbook.records.new_sheep_line import NewSheepLine
from flockbook.records.past_line import PastLine
from flockbook.records.prices import SoldWeight
from flockbook.records.scan_line import ScanLine
from flockbook.records.tag_line import TagLine
from flockbook.records.weight_line import WeightLine
from flockbook.regional import local, scan_local
from flockbook.saying.identity import electronic_words, official_words

# Fields that an entry shows in its place, and those shown as the sheep it is about where its kind reads them so.
PLACED = frozenset({"date", "time", "sure", "lines"})
WHO = frozenset({"sheep", "ewe", "ewes", "lamb", "lambs"})
# Numbers that a spreadsheet may have rounded: then they are not shown as numbers.
NUMBERS: dict[str, Callable[[str], str]] = {"eid": electronic_words, "official": official_words}
# The field that goes into the heading of an entry, by kind of note.
HEADED = {
    "treatment": "medicine",
    "illness": "problem",
    "death": "cause",
    "move": "to",
    "draft": "into",
    "job": "did",
    "task": "what",
    "check": "for_",
    "weighing": "stage",
    "count": "mob",
    "cull": "why",
    "money": "for_",
    "plan": "what",
    "page": "title",
    "paddock": "name",
    "mob": "name",
    "supply": "name",
    "hire": "ram",
}
SCANNED_AS = ("", "single", "twins", "triplets", "four lambs", "five lambs", "six lambs")
SCANNED = ("empty", "single", "twins", "triplets", "four lambs")
HAS_UNIT = re.compile(r"[a-z°%#]", re.I)


def heading(record: Record) -> str:
    """What kind of note it is, and the one thing most wanted of it: `Treatment: penicillin`, `Lambing: twins`."""
    kind = record.origin.kind
    head = local(f"{kind[:1].upper()}{kind[1:]}")
    if isinstance(record, Lambing):
        return f"{head}: {litter(len(record.lines))}"
    value = getattr(record, HEADED.get(kind, ""), None)
    return f"{head}: {value}" if value else head


def litter(count: int) -> str:
    """single, twins, triplets; `lambs to be written` where no lamb is."""
    return (
        SCANNED_AS[count] if 0 < count < len(SCANNED_AS) else f"{count} lambs" if count else "lambs still to be written"
    )


def typed_fields(record: Record, units: str) -> Iterator[tuple[str, str]]:
    """Every field that was typed and is shown neither in the heading nor as the sheep: its name, its value in words."""
    headed = HEADED.get(record.origin.kind, "")
    for attribute, (name, declared) in attributes(type(record)).items():
        value = getattr(record, attribute)
        if value not in (None, ()) and attribute != headed and not is_placed(record, attribute):
            asked = " (to confirm)" if attribute in record.origin.asked else ""
            words = NUMBERS[attribute](value) if attribute in NUMBERS else value_words(value, units)
            yield local(name), (local(words) if isinstance(declared.reader, Choice) else words) + asked


def is_placed(record: Record, attribute: str) -> bool:
    """Whether an entry shows a field in a place of its own; one that may name sheep, if its kind reads it for that."""
    if attribute not in WHO:
        return attribute in PLACED
    return isinstance(record, Event) and any(mention.field == attribute for mention in record.mentions())


def field_words(record: Record, units: str) -> str:
    """The fields of a note in one line: `dose 5 mL; for lameness; by Una`."""
    return "; ".join(f"{name} {value}" for name, value in typed_fields(record, units))


def unread_words(record: Record) -> str:
    """What of a note could not be read or has no place in it, or ""."""
    origin = record.origin
    lost = sorted(name.rstrip("_").replace("_", " ") for name in origin.broken)
    parts = [f"could not be read: {and_listed(lost)}"] if lost else []
    parts += [f"not understood: {name} {text}".rstrip() for name, text in sorted(origin.unread.items())]
    return "; ".join(parts)


def beside_words(record: Record) -> str:
    """What stands beside the fields of a note, as a comment in its head or a row that gave nothing in the table beside
    it, or "".
    """
    left = [cell for cell in record.origin.rest if cell.sort == "comment" or (cell.path and cell.sort != "cell")]
    return "; ".join(cell.text for cell in left)


def value_words(value: Any, units: str) -> str:
    """A value as it was typed, with the unit that it was read in."""
    if isinstance(value, tuple):
        return ", ".join(value_words(item, units) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, When):
        return when_words(value)
    if isinstance(value, date):
        return day_words(value)
    if isinstance(value, PartialDate):
        return partial_words(value)
    if isinstance(value, time):
        return clock_words(value)
    if isinstance(value, Weight | Volume | Temperature):
        return amount_words(value, units)
    if isinstance(value, SoldWeight) and units and not HAS_UNIT.search(value.text):
        return f"{value.text} ({measures_of(units).weight_unit})"
    if isinstance(value, float):
        return f"{value:g}"
    return str(getattr(value, "text", "") or value)


def amount_words(value: Weight | Volume | Temperature, units: str) -> str:
    """An amount as typed; a bare figure gets the unit that the settings gave it, none where they are not known ("")."""
    text = value.text.strip()
    if text and (HAS_UNIT.search(text) or not units):
        return text
    if isinstance(value, Weight):
        return f"{text or f'{value.kg:g}'} {'lb' if units == 'us' and text else 'kg'}"
    if isinstance(value, Volume):
        return f"{text or f'{value.ml:g}'} mL"
    return measures_of(units).degrees(value.celsius)


# Data lines


def line_words(record: Record, line: Any, units: str) -> str:
    """A data line in words, without the sheep that it begins with."""
    return comma_joined(LINE_WORDS[type(line)](confirmed(record, line), units), *other_cells(record, line))


def confirmed(record: Record, line: Any) -> Any:
    """A line whose weight nobody need confirm any more where its note says `sure: yes`."""
    sure = getattr(record, "sure", None) and getattr(line, "unlikely", False)
    return replace(line, unlikely=False) if sure else line


def other_cells(record: Record, line: Any) -> Iterator[str]:
    """What stands in the row of a table beside a note, under headings that its kind does not know."""
    for cell in record.origin.rest:
        if cell.sort == "cell" and cell.path and (cell.path, cell.line) == (line.span.path, line.span.line):
            yield cell.text


def named_line(record: Record, line: Any, units: str) -> str:
    """A data line in words, with the sheep as it is named there."""
    words = line_words(record, line, units)
    sheep = getattr(line, "sheep", "")
    return f"{sheep}: {words}" if sheep and words else sheep or words


def own_lines(flock: Flock, event: Event, sheep: str) -> tuple[Any, ...]:
    """The data lines of a note that speak of one sheep; all lambs of a ewe's own lambing, one lamb's own line."""
    lines = getattr(event, "lines", ())
    if isinstance(event, Lambing):
        birth = flock.animals[sheep].birth
        return (birth.line,) if birth and birth.note is event else lines
    if isinstance(event, Joining):
        return flock.marked_lines.get((event.origin.path, sheep), ())
    if isinstance(event, Tagging):
        return tuple(line for line in event.lines if renames(flock, event, line, sheep))
    return flock.own_lines.get((event.origin.path, sheep), ())


def renames(flock: Flock, event: Tagging, line: TagLine, sheep: str) -> bool:
    """Whether a line of a tagging note is about a sheep: by the name it bore, or by the tag it got."""
    return flock.named(event, line.sheep) == sheep or line.tag in flock.animals[sheep].tags


def comma_joined(*parts: str) -> str:
    """The parts that say something, commas between."""
    return ", ".join(part for part in parts if part)


def lamb_words(line: LambLine, units: str) -> str:
    """`ewe lamb, 4.1 kg, tag 731, helped, one leg back`."""
    return comma_joined(*(local(words).format(value_words(value, units)) for words, value in lamb_line.said(line)))


def mark_words(line: MarkLine, units: str) -> str:
    """`21 Nov 2025: Bramble, C230`, or the new colour of the crayon."""
    del units
    told = f"crayon {line.colour}" if line.colour else comma_joined(*(name.text for name in line.ewes))
    return f"{day_words(line.date)}: {told}{' again' if line.again else ''}"


def scan_words(line: ScanLine, units: str) -> str:
    """`twins, 80 days`."""
    del units
    lambs = "in lamb, not counted" if line.lambs is None else SCANNED[line.lambs]
    return comma_joined(scan_local(lambs), f"{line.days} days" if line.days is not None else "", line.mark, line.also)


def weight_line_words(line: WeightLine, units: str) -> str:
    """`27.5 kg, dirty behind`."""
    return comma_joined(
        f"{amount_words(line.weight, units)}{' (unusual: to confirm)' if line.unlikely else ''}",
        line.remark,
    )


def dose_words(line: DoseLine, units: str) -> str:
    """`62 kg, 2.5 mL`."""
    weight = amount_words(line.weight, units) if line.weight else ""
    return comma_joined(weight, amount_words(line.dose, units) if line.dose else "", line.remark)


def check_words(line: CheckLine, units: str) -> str:
    """`condition 2.5, eyelid 3, udder lump left`."""
    return comma_joined(
        *(looked_words(line, one.field) for one in LOOKED if not one.girth),
        f"scrotal {girth_typed(line.scrotal, units)}" if line.scrotal else "",
        amount_words(line.temperature, units) if line.temperature else "",
        amount_words(line.weight, units) if line.weight else "",
        line.remark,
    )


def girth_typed(girth: Amount, units: str) -> str:
    """A girth as typed; a bare figure gets the unit in which it was read."""
    return girth.text if HAS_UNIT.search(girth.text) else girth_words(girth.amount, units)


def looked_words(line: CheckLine, name: str) -> str:
    """`condition 2.5`; `udder lump left`."""
    found = getattr(line, name)
    if found is None or found == "":
        return ""
    side = f" {line.udder_side}" if name == "udder" and line.udder_side else ""
    return f"{name} {found:g}" if isinstance(found, int | float) else f"{name} {found}{side}"


def egg_words(line: EggLine, units: str) -> str:
    """`12 eggs counted`; `before 3500, after 200 eggs per gram`."""
    del units
    spans = [
        f"{name} {value:g}" for name, value in (("before", line.before), ("after", line.after)) if value is not None
    ]
    return comma_joined(
        f"{line.eggs} eggs counted" if line.eggs is not None else "",
        f"{line.epg:g} eggs per gram" if line.epg is not None else "",
        f"{', '.join(spans)} eggs per gram" if spans else "",
        line.also,
    )


def tag_words(line: TagLine, units: str) -> str:
    """`now 731`; `tag lost`."""
    del units
    return comma_joined(
        "tag lost" if line.lost else "",
        f"now {line.tag}" if line.tag else "",
        f"electronic {electronic_words(line.eid)}" if line.eid else "",
        f"official {official_words(line.official)}" if line.official else "",
        line.remark,
    )


def fleece_words(line: FleeceLine, units: str) -> str:
    """`fleece 2.1 kg, class fine`."""
    classed = f"class {line.fleece_class}" if line.fleece_class else ""
    return comma_joined(f"fleece {amount_words(line.weight, units)}", classed, line.remark)


def old_birth_words(line: PastLine, units: str) -> str:
    """`12 Apr 2019, Bramble: ewe lamb, 4.1 kg, tag 531, sold`."""
    weight = amount_words(line.weight, units) if line.weight else ""
    helped = "" if line.helped is None else "helped" if line.helped else "not helped"
    sex, tag = f"{line.sex} lamb" if line.sex else "lamb", f"tag {line.tag}" if line.tag else ""
    told = comma_joined(sex, weight, tag, line.fate, helped, line.remark)
    return f"{comma_joined(partial_words(line.date), line.ewe or 'ewe not known')}: {told}"


def new_sheep_words(line: NewSheepLine, units: str) -> str:
    """`ram, Pike, born 2024-04`."""
    del units
    return comma_joined(
        line.sex or "",
        line.name or "",
        f"born {partial_words(line.born)}" if line.born else "",
        f"electronic {electronic_words(line.eid)}" if line.eid else "",
        f"official {official_words(line.official)}" if line.official else "",
        line.remark,
    )


LINE_WORDS: dict[type, Callable[[Any, str], str]] = {
    LambLine: lamb_words,
    MarkLine: mark_words,
    ScanLine: scan_words,
    WeightLine: weight_line_words,
    DoseLine: dose_words,
    CheckLine: check_words,
    EggLine: egg_words,
    TagLine: tag_words,
    NewSheepLine: new_sheep_words,
    FleeceLine: fleece_words,
    PastLine: old_birth_words,
}
