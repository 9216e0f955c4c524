"""Notes on joining and lambing, and the grammar of their data lines."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time
from typing import Any

from compiler.schema import Kind, LineSyntax, Record, key
from compiler.source import Span
from compiler.values import CHOICE, DATE, SCORE, TEXT, TIME
from compiler.words import Choice
from flockbook.records import lamb_line, mark_line, past_line
from flockbook.records.event import Event, Mention, listed, single
from flockbook.records.gathered import GATHERED, GatheredFrom
from flockbook.records.lamb_line import LambLine
from flockbook.records.mark_line import MarkLine
from flockbook.records.past_line import PastLine
from flockbook.records.prices import MONEY, Money
from flockbook.trade import NO_MORE

HELP = ("none", "slight", "hard", "vet", "caesarean")
HELP_CALLED = dict.fromkeys(
    ("c-section", "c section", "csection", "cesarean", "caesarian", "cesarian", "caesar", "cesarean section"), HELP[-1]
)
MILK_CALLED = {"good": "enough", "lots": "plenty", "low": "short"}
MILK_WORDS = ("plenty", "enough", "short", "none", "one side")


class Joining(Event):
    """Rams put to ewes. The note's date is the day the ram went in."""

    rams: tuple[str, ...] = key("the rams", TEXT, required=True, many=True, aliases=("ram", "buck", "bucks"))
    ewes: tuple[str, ...] = key("the ewes (or `mob`)", TEXT, many=True)
    out: date | None = key("the day the ram came out", DATE)
    paddock: str | None = key("where they ran", TEXT)
    method: str | None = key("paddock, hand (service seen) or AI; paddock if left out", CHOICE("paddock", "hand", "AI"))
    lines: tuple[MarkLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The ewes and the rams."""
        yield from listed(self, "rams")
        yield from listed(self, "ewes")
        yield from listed(self, "sheep")

    def all_mentions(self) -> Iterator[Mention]:
        """The ewes, the rams, and every ewe in the marks."""
        yield from self.mentions()
        yield from listed(self, "except_")
        for line in self.lines:
            for name in line.ewes:
                yield Mention(name.text, name.span(line.span), "lines")


class Hire(Event):
    """A ram that stands here for a while and belongs to somebody else: never bought, never sold."""

    ram: str | None = key("his tag, and his name: `H7 Hector`", TEXT, required=True)
    from_: str | None = key("whom he belongs to, such as `Coldbeck`", TEXT, instead=("owner", "lender"))
    into: str | None = key("the mob he runs with", TEXT)
    until: date | None = key("the day he went back", DATE)
    price: Money | None = key("what his hire cost", MONEY, instead=("fee", "cost", "paid"))
    document: str | None = key("movement document or licence number", TEXT)
    holding: str | None = key("number of the holding he came from, such as `70/999/0041`", TEXT, aliases=("premises",))
    haulier: str | None = key("who carried him, such as `Fergus`", TEXT, aliases=("hauler", "carrier"))

    def mentions(self) -> Iterator[Mention]:
        """The ram, by the tag that stands first."""
        if self.ram:
            yield Mention(self.tag, self.origin.span("ram"), "ram")

    @property
    def tag(self) -> str:
        """His tag: the first word."""
        return (self.ram or "").split(maxsplit=1)[0] if self.ram else ""

    @property
    def name(self) -> str | None:
        """His name: whatever stands behind the tag."""
        words = (self.ram or "").split(maxsplit=1)
        return words[1].strip("() ") or None if len(words) > 1 else None


class Lambing(Event):
    """One birth: a ewe and her litter, a dash line for each lamb."""

    ewe: str | None = key("the ewe that lambed", TEXT, required=True)
    waters: time | None = key("when the water bag was seen", TIME)
    helped: time | None = key("when hands went in", TIME)
    born: time | None = key("when the first lamb was born", TIME)
    help: str | None = key("none, slight, hard, vet or caesarean", Choice(HELP, same=HELP_CALLED))
    milk: str | None = key("her milk: plenty, enough, short, none or one side", Choice(MILK_WORDS, same=MILK_CALLED))
    mothering: float | None = key("mothering, 1 (walks away) to 5 (will not leave them)", SCORE(1, 5, 1))
    sire: str | None = key("the ram, when he is known for certain", TEXT)
    afterbirth: time | None = key("when the afterbirth was seen", TIME)
    lines: tuple[LambLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The ewe."""
        yield from single(self, "ewe")

    def all_mentions(self) -> Iterator[Mention]:
        """The ewe, the ram if named, and foster mothers."""
        yield from self.mentions()
        yield from single(self, "sire")
        for line in self.lines:
            if line.fostered_to:
                yield Mention(line.fostered_to, line.span, "lines")


class PastLambings(Record):
    """Births of before the first note, from old records: a table, or a CSV file with this note's own name. They are
    counted as seasons of their own; nobody comes to life by them.
    """

    source: str | None = key("where they come from: the notebook of 2015 to 2019, a spreadsheet …", TEXT)
    gathered: GatheredFrom | None = key("the file, rows and ids that it was gathered from", GATHERED)
    lines: tuple[PastLine, ...] = ()


LAMB_LINES = LineSyntax(
    read=lamb_line.read,
    is_plain=lamb_line.is_plain,
    help=lamb_line.LAMB_LINE_HELP,
    examples=("ewe 4.1 kg, tag 731", "ram 4.6 kg, tag 732, assisted, one leg back", "ewe stillborn"),
)
MARKS = LineSyntax(
    read=mark_line.read,
    is_plain=mark_line.is_plain,
    help="marks seen on a day, or a new crayon colour: `- 21 Nov Bramble, C230`, `- 5 Dec blue`, `- 9 Dec C255 again`",
    examples=("21 Nov Bramble, C230", "5 Dec blue", "9 Dec C255 again"),
)
PAST_LINES = LineSyntax(
    read=past_line.read,
    is_plain=past_line.is_plain,
    read_row=past_line.read_row,
    columns=past_line.PAST_COLUMNS,
    help="one lamb a line or row: date, ewe, sex, weight, tag, fate (born dead, died, sold, kept, weaned), help",
    examples=("2019-04-12 Bramble, ewe 4.1 kg, tag 531, sold", "2019-04 C102, ram, born dead"),
)
KINDS: tuple[Kind[Any], ...] = (
    Kind(
        "joining", Joining, "a ram put to ewes", subject="rams", lines=MARKS,
        aliases=("joined", "tupping"), says=dict.fromkeys(("breeding", "bred"), NO_MORE),
    ),
    Kind("hire", Hire, "a ram that stands here without belonging", subject="ram", aliases=("hired",)),
    Kind("lambing", Lambing, "a birth", subject="ewe", lines=LAMB_LINES, aliases=("lambed",)),
    Kind(
        "past lambings", PastLambings, "births of before the first note, from old records", dated=False,
        lines=PAST_LINES, aliases=("past births", "old lambings"),
    ),
)  # fmt: skip
__all__ = ["HELP", "KINDS", "Joining", "LambLine", "Lambing", "MarkLine", "Span"]
