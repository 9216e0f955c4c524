"""The idiom of pages: a page is sections, a section is a heading and blocks in order, a block has one look."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.pages import Html
from compiler.shape import Value
from flockbook.pages.views import (
    Caution,
    Cell,
    Chart,
    Column,
    Count,
    Day,
    PageLink,
    Pair,
    Row,
    RowView,
    StateView,
    Table,
    Tag,
    TagList,
    WorkingStep,
)

PENCIL = "Made to be printed. Write in pencil and type the notes up in the same order."


class Aside(Value):
    """A paragraph in another voice: `quiet`, `quiet small`, `loud`, `empty`, or `words` for what was found."""

    text: str
    looks: str = "quiet"
    kind: str = "aside"


class Points(Value):
    """Sentences with a dot before each; `looks` as those of an aside."""

    texts: tuple[str, ...]
    looks: str = ""
    kind: str = "points"


class Subhead(Value):
    """A heading within a section."""

    text: str
    kind: str = "subhead"


class Rows(Value):
    """Lines that are tapped as a whole, or the words that stand where there is none."""

    rows: tuple[RowView, ...]
    empty: str = ""
    kind: str = "rows"


class Look(Value):
    """What is known at a look: labels above values."""

    pairs: tuple[Pair, ...]
    kind: str = "look"


class Tally(Value):
    """Figures and what they count."""

    counts: tuple[Count, ...]
    kind: str = "tally"


class Names(Value):
    """Short things in columns: ear tags, links, names; with a box before each where `tick` them off."""

    items: tuple[Cell, ...]
    tick: bool = False
    kind: str = "names"


class Working(Value):
    """How a figure came about: folded, with the notes it rests on."""

    words: str
    steps: tuple[WorkingStep, ...]
    kind: str = "working"


class Said(Value):
    """The shepherd's own words, as safe markup."""

    remark: Html
    kind: str = "said"


class Whence(Value):
    """The path of the note that says so."""

    path: str
    kind: str = "whence"


class AsTyped(Value):
    """A whole note or file, letter by letter."""

    text: str
    kind: str = "typed"


class NoteEntry(Value):
    """One note in a timeline; `remark` is safe HTML in the shepherd's own words. `id` is its place on the page, or "".

    `struck_by` is the path of the note that replaces a `corrected` one.
    """

    day: Day
    clock: str
    kind: str
    href: str
    facts: tuple[Cell, ...]
    remark: Html
    path: str
    line: int
    corrected: bool
    id: str = ""
    struck_by: str = ""

    @property
    def weight(self) -> int:
        """About how many bytes it takes on a page."""
        tags = sum(150 * len(fact.sheep) for fact in self.facts if isinstance(fact, TagList))
        texts = sum(len(fact.encode()) + 30 for fact in self.facts if isinstance(fact, str))
        return 450 + len(self.remark.encode()) + 2 * len(self.path.encode()) + tags + texts


class Timeline(Value):
    """Notes in order of time."""

    entries: tuple[NoteEntry, ...]
    kind: str = "timeline"


class Excerpt(Value):
    """A line of a note with the marked part."""

    before: str
    marked: str
    after: str


class Problem(Value):
    """One message on the problems page."""

    grade: str
    code: str
    message: str
    help: str
    meanwhile: str
    place: str
    excerpt: Excerpt | None
    kind: str = "problem"


class Standings(Value):
    """Where meat and milk of a sheep stand."""

    meat: StateView
    milk: StateView | None = None
    kind: str = "standings"


class Blanks(Value):
    """Lines to be filled in by pencil."""

    names: tuple[str, ...]
    kind: str = "blanks"


class PencilSheet(Value):
    """A table for paper and pencil; columns look `blank`, `blank roomy` or `history`.

    `close` rows fit one side, `big` tags are read from afar. Where nobody stands on it, its heads are printed all the
    same, unless there are words to stand in its place.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str = ""
    close: bool = False
    big: bool = False
    kind: str = "sheet"


class Pager(Value):
    """Buttons that lead to other pages."""

    links: tuple[PageLink, ...]
    kind: str = "pager"


class Fold(Value):
    """Blocks behind a line that opens."""

    summary: str
    body: tuple[Block, ...]
    kind: str = "fold"


Block = (
    str
    | Aside
    | Points
    | Subhead
    | Caution
    | Table
    | Chart
    | Rows
    | Look
    | Tally
    | Names
    | TagList
    | Working
    | Said
    | Whence
    | AsTyped
    | Timeline
    | Problem
    | Standings
    | Blanks
    | PencilSheet
    | Pager
    | Fold
)


class Section(Value):
    """One part of a page. `broad` ones take the whole width; others have their heading in the margin of wide glass."""

    head: str
    body: tuple[Block, ...]
    id: str = ""
    count: str = ""
    broad: bool = True


class SectionsView(Value):
    """A page of sections, what stands on top of them and at the foot.

    A page about one sheep has its ear tag for a heading; `paper` is how it is made to be printed.
    """

    lead: str
    sections: tuple[Section, ...] = ()
    top: tuple[Block, ...] = ()
    foot: tuple[Block, ...] = ()
    sheep: Tag | None = None
    paper: str = ""


def pager(links: Sequence[PageLink]) -> tuple[Block, ...]:
    """Buttons where there is more than nothing to lead to."""
    return (Pager(tuple(links)),) if links else ()


def how_worked_out(steps: Sequence[WorkingStep], words: str = "How this was worked out") -> tuple[Block, ...]:
    """The working of a figure, where there is any."""
    return (Working(words, tuple(steps)),) if steps else ()


def pencil_row(known: Sequence[Cell], columns: Sequence[Column]) -> Row:
    """A row of a sheet: what is known, and room for the pencil under the other columns."""
    return Row((*known, *[""] * (len(columns) - len(known))))
