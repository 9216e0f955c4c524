"""What a kind of note may hold, declared once: decoding, the field reference, the blank note and JSON Schema follow
from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Generic, Protocol, TypeVar, dataclass_transform

from compiler.diagnostics import Grade
from compiler.shape import Shaping, Value, field
from compiler.source import Span

T_co = TypeVar("T_co", covariant=True)


class Fault(Value):
    """Why a piece of text could not be read: `start` and `length` mark the offending part of the text."""

    message: str
    help: str = ""
    start: int = 0
    length: int | None = None
    grade: Grade = Grade.ERROR


class Habits(Value):
    """How this writer writes values: from the settings file. `units` is "metric" or "us"; `dates` is "", "day-month" or
    "month-day"; `currency` is a code such as `USD`, or "".
    """

    units: str = "metric"
    dates: str = ""
    decimal_comma: bool = False
    currency: str = ""


class Context(Value):
    """What a reader may lean on: the writer's habits, the note's own date (for dates typed without a year), and what
    the note is called in its file's name and its head.
    """

    habits: Habits = Habits()
    date: date | None = None
    called: str = ""


class Reader(Protocol[T_co]):
    """Reads one kind of value from text. `name` and `example` go into the field reference, `schema` into
    JSON Schema.
    """

    @property
    def name(self) -> str:
        """What the value is called."""
        ...

    @property
    def example(self) -> str:
        """One value as it is typed."""
        ...

    def read(self, text: str, context: Context) -> T_co | Fault:
        """The value, or the fault that says what is wrong and what to type."""
        ...

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the text that this reader takes."""
        ...


class Band(Value):
    """The plausible range of a value, in base units; outside it the compiler asks. `source` says where it
    comes from.
    """

    low: float
    high: float
    source: str


class Key(Value):
    """One field of a kind of note, as declared with `key`."""

    help: str
    reader: Reader[Any]
    required: bool = False
    name: str = ""
    band: Band | None = None
    aliases: tuple[str, ...] = ()
    many: bool = False
    instead: tuple[str, ...] = ()
    by_program: bool = False


def key(
    help: str,
    reader: Reader[Any],
    *,
    required: bool = False,
    name: str = "",
    band: Band | None = None,
    aliases: tuple[str, ...] = (),
    many: bool = False,
    instead: tuple[str, ...] = (),
    by_program: bool = False,
) -> Any:
    """Declare a field of a record class.

    `name` is what is typed in the note where it differs from the attribute (underscores read as spaces by default).
    `many` takes a comma list or a YAML sequence and gives a tuple. An absent field is None (a `many` field: an empty
    tuple). `instead` are words that people write for it: they mean nothing, and whoever writes one is told the field.
    A field that is filled in `by_program` is offered to nobody.
    """
    return Key(help, reader, required, name, band, aliases, many, instead, by_program)


class Cell(Value):
    """A piece of text in a note and where it stands.

    Of a whole line, `sort` is what it looks like: "dash", "bare", "indented", "numbered" (its number is part of the
    text), "quoted", "fenced" (in code), "row" (of a table), "cell" (of a row whose other cells were used), "comment"
    or "head". `path` is "" in the note itself, else that of the table beside it.
    """

    text: str
    line: int
    column: int
    sort: str = ""
    path: str = ""


class Origin(Value):
    """Where a record came from. `spans` has a place for every field that was typed or taken from the file name.

    `broken` names the fields whose text could not be read (their value is then absent, not wrong), `asked` those
    outside their plausible band, `unread` the keys that the kind does not know, with their text. `written` is the
    remark as Markdown. `typed` has the text of the broken fields; `rest` is every line that is no field and became no
    data, in order, and `data` every line that became data, as it was typed. `cut` is the number of the last line where
    the file ends without a line end, else 0. `figured` are the dates of fields typed in figures that have no year in
    front, such as `19/4`.
    """

    path: str
    kind: str
    spans: Mapping[str, Span]
    broken: frozenset[str] = frozenset()
    asked: frozenset[str] = frozenset()
    unread: Mapping[str, str] = field(default_factory=dict)
    written: str = ""
    html: str = ""
    rest: tuple[Cell, ...] = ()
    typed: Mapping[str, str] = field(default_factory=dict)
    cut: int = 0
    data: tuple[Cell, ...] = ()
    figured: tuple[Cell, ...] = ()

    def span(self, name: str = "") -> Span:
        """The place of a field, or of the note itself."""
        return self.spans.get(name, Span(self.path))


class Declaring(Shaping):
    """Makes the classes of records: what `key` declared is kept in `__keys__`, and the field gets its default."""

    __keys__: Mapping[str, Key]  # attribute → key, those of the base first

    def __new__(cls, name: str, bases: tuple[type, ...], namespace: dict[str, Any]) -> Declaring:
        """A class of records; its fields are given by name only."""
        own = {attribute: value for attribute, value in namespace.items() if isinstance(value, Key)}
        absent = {attribute: () if declared.many else None for attribute, declared in own.items()}
        made = super().__new__(cls, name, bases, namespace | absent, kw_only=True)
        made.__keys__ = {**getattr(bases[0], "__keys__", {}), **own}
        return made


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
class Record(Value, metaclass=Declaring):
    """One decoded note. Subclasses add fields with `key` (and `lines` where the kind has data lines)."""

    origin: Origin


class LineReading(Value):
    """What a data line gave: its value (or None when it could not be used), its faults, or that it is only a remark."""

    value: Any = None
    faults: tuple[Fault, ...] = ()
    remark: bool = False


class LineSyntax(Value):
    """How a kind reads its data lines.

    `read(text, context)` reads the text after the dash. `read_row(cells, context)` reads one row of a table or CSV,
    given as column name (lower case) → text; faults of a row name no offset. `bare` lets the dash be left out; where it
    may not, a line without one, numbered or further in, is still data if `is_plain(text, context)` says that it surely
    is. `columns` are the table's headings. A value read must have a `span` field: the decoder calls
    `replace(value, span=...)`. Values of the class `aside` go to the record's field `aside_in` instead of `lines`.
    """

    read: Callable[[str, Context], LineReading]
    help: str
    examples: tuple[str, ...]
    read_row: Callable[[Mapping[str, str], Context], LineReading] | None = None
    columns: tuple[str, ...] = ()
    bare: bool = False
    is_plain: Callable[[str, Context], bool] | None = None
    aside: type[Value] | None = None
    aside_in: str = ""

    def by_field(self, values: tuple[Value, ...]) -> dict[str, tuple[Value, ...]]:
        """The values read, by the field of the record that they stand in."""
        if self.aside is None:
            return {"lines": values}
        beside = tuple(value for value in values if isinstance(value, self.aside))
        return {"lines": tuple(value for value in values if value not in beside), self.aside_in: beside}


R_co = TypeVar("R_co", bound=Record, covariant=True)


class Kind(Value, Generic[R_co]):
    """A kind of note.

    `dated` kinds are events: `DATE [TIME] KIND [SUBJECT]` names them; others are named after `named` (("tag",
    "name"): the
    first word of the file name is the tag, the rest the name; ("name",): all of it). `subject` is the field that the
    name's
    subject fills when it was not typed. `guarded` kinds are those whose damage must never be taken lightly: words lost
    after ` #` are errors there, and an empty note is a hole. `aliases` are other words for the kind; `says` has more
    words that only a head may have, each with a field and what would be typed in it (or with none).
    """

    name: str
    record: type[R_co]
    help: str
    dated: bool = True
    named: tuple[str, ...] = ()
    subject: str = ""
    lines: LineSyntax | None = None
    guarded: bool = False
    aliases: tuple[str, ...] = ()
    says: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    def keys(self) -> dict[str, tuple[str, Key]]:
        """Typed name (lower case) → (attribute, key), aliases included, in order of declaration."""
        return declared_keys(self.record)


_declared: dict[type[Record], dict[str, tuple[str, Key]]] = {}  # worked out once for each class


def declared_keys(record: type[Record]) -> dict[str, tuple[str, Key]]:
    """Typed name (lower case) → (attribute, key) of a record class, aliases included. The same dict each time: do not
    change it.
    """
    if record not in _declared:
        _declared[record] = {
            name: (attribute, declared)
            for attribute, declared in record.__keys__.items()
            for name in (declared.name or attribute.rstrip("_").replace("_", " "), *declared.aliases)
        }
    return _declared[record]
