"""One lamb of old records: a birth of before the first note, on a line or in a row of a table."""

from __future__ import annotations

import re
from collections.abc import Mapping

from compiler.dates import PARTIAL_DATE, PartialDate
from compiler.diagnostics import Grade
from compiler.nearness import clipped, did_you_mean
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from compiler.values import WEIGHT, Weight
from flockbook.records.sheep_line import opening
from flockbook.trade import SEX_PATTERN, SEX_WORDS

PAST_COLUMNS = ("date", "ewe", "sex", "weight", "kg", "lb", "tag", "fate", "help", "note")
# What became of a lamb, by the words that people write (our own choice): what it counts as.
BORN_DEAD_SAID, DIED_SAID, SOLD_SAID, KEPT_SAID, WEANED_SAID = "born dead", "died", "sold", "kept", "weaned"
FATES_SAID = {
    **dict.fromkeys(("born dead", "stillborn", "still born", "dead at birth", "mummified"), BORN_DEAD_SAID),
    **dict.fromkeys(("died", "dead", "lost", "found dead", "put down", "killed", "fox", "dog"), DIED_SAID),
    **dict.fromkeys(("sold", "fat", "slaughter", "killed for the house", "store", "market", "mart"), SOLD_SAID),
    **dict.fromkeys(("kept", "retained", "replacement", "in the flock", "here"), KEPT_SAID),
    **dict.fromkeys(("weaned", "reared", "alive", "lived"), WEANED_SAID),
}
HELP_SAID = {"none": False, "no": False, "unassisted": False, "0": False, "1": False}
DAY_FIRST = re.compile(
    r"(?P<date>(?:about )?\d{4}(?:-\d{1,2}(?:-\d{1,2})?)?|\d{1,2} [a-z]{3,9}\.? \d{4}|\d{1,2}/\d{1,2}/\d{4})[\s,:]+"
    r"(?P<rest>.+)",
    re.I,
)
HOW_PAST = "write `2019-04-12 Bramble, ewe {4.1 kg}, tag 531, sold`"


class PastLine(Value):
    """One lamb: when it was born, of which ewe ("" where nobody knows), what it was and what became of it (`fate` as
    counted, "" unknown). `helped` None: not written.
    """

    date: PartialDate
    ewe: str
    sex: str | None = None
    weight: Weight | None = None
    tag: str | None = None
    fate: str = ""
    helped: bool | None = None
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `2019-04-12 Bramble, ewe 4.1 kg, tag 531, sold`; a line that begins with no date is a remark."""
    match = DAY_FIRST.match(text)
    start = opening(match["rest"]) if match else None
    if match is None or start is None:
        return LineReading(remark=True)
    cells = {"date": match["date"], "ewe": start.sheep}
    rest = start.rest
    for name, pattern in (
        ("tag", r"\btag\s+(?P<found>[\w/-]+)"), ("sex", rf"(?<![\w-])(?P<found>{SEX_PATTERN})(?![\w-])"),
        ("weight", r"(?<![\w.])(?P<found>\d+(?:[.,]\d+)? ?(?:kg|lbs?)(?: ?\d+ ?oz)?)\b"),
        ("help", r"\b(?P<found>assisted|helped|unassisted)\b"),
    ):  # fmt: skip
        if part := re.search(pattern, rest, re.I):
            cells[name] = part["found"]
            rest = rest[: part.start()] + " " + rest[part.end() :]
    cells["fate"] = " ".join(re.sub(r"[,;.]", " ", rest).split())
    return read_row(cells, context)


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `date`, `ewe`, `sex`, `weight` (or `kg`, `lb`), `tag`, `fate`, `help`."""
    got = {name: " ".join(text.split()) for name, text in cells.items()}
    if not any(got.get(name) for name in PAST_COLUMNS):
        return LineReading(remark=True)
    if not got.get("date"):
        return LineReading(faults=(Fault("this row names no day of birth", HOW_PAST),))
    day = PARTIAL_DATE.read(got["date"], context)
    if isinstance(day, Fault):
        return LineReading(faults=(Fault(f"`{clipped(got['date'])}`: {day.message}", day.help),))
    sex = got.get("sex", "").lower().removesuffix(" lamb")
    if sex and sex not in SEX_WORDS:
        return LineReading(faults=(Fault(f"`{clipped(sex)}` is no sex", "write ewe, ram or wether"),))
    weight = past_weight(got, context)
    if isinstance(weight, Fault):
        return LineReading(faults=(weight,))
    fate, told = fate_read(got.get("fate", ""))
    helped = got.get("help", "").lower()
    line = PastLine(
        day, got.get("ewe", "").strip("?"), SEX_WORDS[sex] if sex else None, weight, got.get("tag") or None, fate,
        HELP_SAID.get(helped, True) if helped else None,
        ", ".join(part for part in (got.get("note", ""), "" if fate else got.get("fate", "")) if part),
    )  # fmt: skip
    return LineReading(value=line, faults=told)


def past_weight(got: Mapping[str, str], context: Context) -> Weight | Fault | None:
    """The weight at birth, under whichever heading it stands."""
    for name in ("weight", "kg", "lb"):
        if typed := got.get(name):
            value = WEIGHT.read(typed if name == "weight" else f"{typed} {name}", context)
            return Fault(f"`{clipped(typed)}` is no weight", value.help) if isinstance(value, Fault) else value
    return None


def fate_read(text: str) -> tuple[str, tuple[Fault, ...]]:
    """What a fate counts as, and the question about words that the book does not know."""
    plain = text.lower().strip(" .")
    if not plain or plain in ("?", "unknown", "not known"):
        return "", ()
    found = next((fate for words, fate in FATES_SAID.items() if plain == words or plain.startswith(f"{words} ")), "")
    if found:
        return found, ()
    near = did_you_mean(plain, FATES_SAID, slips=2)
    cure = f"{near}write died, born dead, sold, kept or weaned; it is kept as a remark"
    return "", (Fault(f"`{clipped(text)}` is no fate that can be counted", cure, grade=Grade.ASK),)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a birth: a day in front, and a sex or a tag behind the ewe."""
    line = read(text, context).value
    return line is not None and (line.sex is not None or line.tag is not None)
