"""What a note says beside its data and perhaps should count: lines that begin with a sheep, and notes that say nothing
of what they are for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.nearness import clipped
from compiler.schema import Cell, Context, LineSyntax
from compiler.shape import Value, field_names
from compiler.source import Span
from flockbook.flock import Animal, happened
from flockbook.records import KINDS
from flockbook.records.breeding import Joining, Lambing
from flockbook.records.check_line import CHECK_COLUMNS
from flockbook.records.cupboard import Stock
from flockbook.records.event import Event
from flockbook.records.growth import Weighing
from flockbook.records.handling import Check as Handling
from flockbook.records.handling import Tagging
from flockbook.records.health import EggCount, Treatment
from flockbook.records.lamb_doubts import SEX_BEGUN
from flockbook.records.places import Drafting, HeadCount, Move
from flockbook.records.pregnancy import Scan
from flockbook.records.rearing import Feeding, Foster, Weaning
from flockbook.records.trade import Cull, Purchase
from flockbook.regional import local
from flockbook.roll import key_of
from flockbook.seen import Seen

NO_DATA = Rule(
    "F112", "line-perhaps-data", Grade.WARNING,
    "The line begins like the data of this kind of note, yet it is not written so that it can be counted. It is kept "
    "as a remark.",
    "`C214 twins I think, or three` in a scan, without a dash",
)  # fmt: skip
SAYS_NOTHING = Rule(
    "F113", "note-without-its-matter", Grade.ASK,
    "A note of this kind is there for its lines, or for one of its fields, and has none of them: something was perhaps "
    "meant for the page and not written.",
    "---\nnote: lambing\newe: Bramble\n---\nWent well.\n",
)  # fmt: skip
SECOND_NAMED = Rule(
    "F114", "line-with-two-sheep", Grade.ASK,
    "Behind what is said of one sheep the line names another, and a figure for it: only the first has data.",
    "- Bramble 62 Teasel 58\n",
)  # fmt: skip
RULES = (NO_DATA, SAYS_NOTHING, SECOND_NAMED)
SYNTAXES = {kind.record: kind.lines for kind in KINDS if kind.lines is not None and kind.record is not Treatment}
LINE_SORTS = ("bare", "numbered", "indented", "quoted")
BEGINNING = re.compile(r"(?:\d{1,3}[.)]\s+)?(?P<sheep>[^\s,:=]+)(?P<rest>.*)", re.S)
MOST_DATA_WORDS, SENTENCES = 8, re.compile(r"[.!?]\s+\S")  # words; what is longer, or more than a sentence, is prose
TOLD_BESIDE = ("sheep", "remark", "also", "span", "text")

# What each kind lives by: any of these fields will do; what is asked for where all are missing.
MATTERS: dict[type[Event], tuple[tuple[str, ...], str, str]] = {
    Lambing: (("lines",), "no lamb is written", "write a line for each lamb, `- ewe {4.1 kg}`, the dead ones too"),
    Joining: (
        ("ewes", "sheep", "mob", "lines"), "no ewe is named, so nobody is in lamb",
        "add `ewes: …` or `mob: …`; a ram that only moves is a `move` note",
    ),
    Scan: (("lines",), "nothing says what was seen", "write a line for each ewe, `- C230 twins`"),
    Handling: (("lines",), "no sheep is written", "write a line for each sheep, `- C230 bcs 2.5`"),
    EggCount: (("lines",), "no count is written", "write a line for each sample, `- 731 12 eggs`"),
    Tagging: (("lines",), "no tag is written", "write a line for each sheep, `- 0412 now 0977`"),
    Weighing: (("lines",), "no weight is written", "write a line for each sheep, `731 27.5`"),
    Weaning: (
        ("lines", "unweighed", "lambs", "sheep", "mob", "count"), "no lamb is named", "add `lambs: …` or `mob: …`",
    ),
    Purchase: (("lines", "sheep", "count"), "no sheep is named", "write a line for each, `- ewe tag C901, born 2023`"),
    HeadCount: (("count", "seen"), "no number is written", "add `count: …`, or `seen: …` with the tags"),
    Foster: (("onto", "pet"), "nothing says where the lamb went", "add `onto: …` with the ewe, or `pet: yes`"),
    Stock: (
        ("bought", "used", "binned", "counted"), "no amount is written",
        "add `bought: …`, `used: …`, `binned: …` or `counted: …`",
    ),
    Cull: (("sheep", "mob"), "no sheep is named", "add `sheep: …`"),
    Drafting: (("sheep", "mob"), "no sheep is named", "add `sheep: …`"),
    Feeding: (("lambs", "sheep", "mob"), "no lamb is named", "add `lambs: …`"),
    Move: (("sheep", "mob"), "no sheep is named, so nobody moves", "add `mob: …` or `sheep: …`, as in `mob: ewes`"),
}  # fmt: skip


def lines(seen: Seen) -> Iterator[Diagnostic]:
    """Lines that begin with a sheep of that day, in a lambing like a lamb, where data are expected, and are remarks."""
    named = by_name(seen)
    for event in seen.linked.events:
        syntax = SYNTAXES.get(type(event))
        if syntax is None or not event.date:
            continue
        for cell in event.origin.rest:
            short = len(cell.text.split()) <= MOST_DATA_WORDS and not SENTENCES.search(cell.text)
            short = short or (isinstance(event, Lambing) and SEX_BEGUN.match(cell.text) is not None)
            if cell.sort in LINE_SORTS and short and looks_like_data(event, cell, syntax, Here(seen, named)):
                place = Span(event.origin.path, cell.line, cell.column, len(cell.text))
                how = seen.settings.measures.typed(syntax.help)
                cure = f"write it as this kind's lines are written ({how}), or in other words"
                yield NO_DATA.at(place, f"`{clipped(cell.text)}` looks like data and counts for nothing", cure)


# A name behind a figure or a joint, with a figure of its own: `140 Dolly 155`, `feet ok, Dolly bcs 2`.
NAMED_BEHIND = re.compile(
    r"(?:\d[½¼¾]?\s*(?:lbs?|kgs?|#|epg|eggs?)?\.?|[,;/&+]|\band)\s+(?P<sheep>[A-Z][\w'’-]*(?: [A-Z][\w'’-]*)?)"
    rf"[\s:=–-]+(?:(?:{'|'.join(CHECK_COLUMNS[1:-1])})\s+)?\d"
)


def two_sheep(seen: Seen) -> Iterator[Diagnostic]:
    """Lines of data in which another sheep of that day has its name, and a figure behind it."""
    named = by_name(seen)
    for event in seen.linked.events:
        if not isinstance(event, Handling | Weighing | Weaning | EggCount) or event.sure or not event.date:
            continue
        for cell in event.origin.data:
            other = next(named_behind(cell.text, named, event.date), None)
            if other:
                first = cell.text.strip().split()[0].strip(",:")
                cure = f"write a line for {first} and a line for {other}; or add `sure: yes` to the note"
                place = Span(event.origin.path, cell.line, cell.column, len(cell.text))
                yield SECOND_NAMED.at(place, f"this line names two sheep, and {other} has nothing of it", cure)


def named_behind(text: str, named: Mapping[str, list[Animal]], day: date) -> Iterator[str]:
    """Sheep there that day whom a line names behind a figure, with a figure of their own."""
    for match in NAMED_BEHIND.finditer(text):
        for name in dict.fromkeys((match["sheep"], match["sheep"].split(" ")[-1])):
            if any(animal.present(day) for animal in named.get(key_of(name), ())):
                yield name


class Here(Value):
    """What a line is held against: all that was found, and who is called what."""

    seen: Seen
    named: Mapping[str, list[Animal]]


def by_name(seen: Seen) -> dict[str, list[Animal]]:
    """The animals by every tag and name that they bear."""
    found: dict[str, list[Animal]] = {}
    for animal in seen.linked.animals.values():
        for word in {key_of(one) for one in (animal.name, *animal.tags) if one}:
            found.setdefault(word, []).append(animal)
    return found


def looks_like_data(event: Event, cell: Cell, syntax: LineSyntax, here: Here) -> bool:
    """Whether a line that is a remark begins like data: with a sheep and a figure, or something that the kind knows."""
    context = Context(here.seen.settings.habits, event.date)
    if isinstance(event, Lambing):
        reading = syntax.read(cell.text, context)
        lamb = reading.value
        figures = lamb is not None and (reading.faults or re.search(r"\d", lamb.remark))
        tagged = lamb is not None and lamb.tag is not None and figures
        born = lamb is not None and lamb.sex is not None and (lamb.weight is not None or tagged)
        return bool(born) or cell.text.lower().startswith("tag ")
    match = BEGINNING.match(cell.text)
    known = here.named.get(key_of(match["sheep"]), ()) if match else ()
    if match is None or not event.date or not any(animal.present(event.date) for animal in known):
        return False
    reading = syntax.read(cell.text[match.start("sheep") :], context)
    return bool(re.search(r"\d", match["rest"])) or (reading.value is not None and says(reading.value))


def says(value: Value) -> bool:
    """Whether a line's value says anything besides whom it is about."""
    names = (name for name in field_names(type(value)) if name not in TOLD_BESIDE)
    return any(getattr(value, name) not in (None, "", (), False) for name in names)


def matters(seen: Seen) -> Iterator[Diagnostic]:
    """Notes that say nothing of what their kind is for; an empty one is a gap already."""
    for event in seen.linked.events:
        fields, message, cure = MATTERS.get(type(event), ((), "", ""))
        if not fields or event.sure or not happened(event, seen.today) or event.origin.broken & {*fields, "date"}:
            continue
        tells = any(getattr(event, name) not in (None, ()) for name in fields)
        by_name = event.subject and "sheep" in fields and not isinstance(event, Joining | Move)
        if not tells and not tells_nothing(event) and not by_name:
            typed = seen.settings.measures.example(cure)
            yield SAYS_NOTHING.at(event.origin.span(), f"{message} in this {local(event.origin.kind)} note", typed)


def tells_nothing(event: Event) -> bool:
    """Whether a note is a file name and nothing else: its details are to follow."""
    own = [span for span in event.origin.spans.values() if span != Span(event.origin.path)]
    return not (own or event.origin.rest or event.origin.data)


CHECKS = (
    Check("lines that may be data", lines),
    Check("lines with two sheep", two_sheep),
    Check("notes without their matter", matters),
)
