"""What follows the verb of a jotted line, by the grammar of that verb: fields, lines and words of one note."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date, time

from compiler.dates import TIME
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from flockbook.records import lamb_line, weight_line
from flockbook.records.health import CAUSES
from flockbook.records.labels import DOSE_RATE, DOSE_TEXT
from flockbook.records.rearing import FEEDS
from flockbook.trade import SEX_PATTERN

JOTTED_ID = re.compile(r"\s*\[([A-Za-z0-9][\w.]*-\d{1,9})\]\s*$", re.A)
PARTS_BETWEEN, LAMBS_PARTED = re.compile(r";"), re.compile(rf",(?=\s*(?:{SEX_PATTERN})\b)|;", re.I)
LAMB_APART = "write each lamb by itself, with a weight where there is one: `lambed ewe 4.1; ram 4.6`"
LITTER_WORDS = {"single": 1, "twins": 2, "triplets": 3, "quads": 4}
LITTER_TOLD = re.compile(rf"\s*({'|'.join(LITTER_WORDS)})\s*[:,]?\s*$|\s*({'|'.join(LITTER_WORDS)})\s*[:,]\s*", re.I)
SAID_DEAD = re.compile(r",\s*(stillborn|still born|born dead|dead|mummified)\b", re.I)
SEX_SAID_IN = re.compile(rf"\b(?:{SEX_PATTERN})\b", re.I)
AMOUNT_FIRST = re.compile(r"\s*(\d[\d.,]*\s*(?:ml|cc|oz|fl\.? ?oz))\b(?:\s+of)?[ ,]*(.*)", re.I | re.S)
AMOUNT_LAST = re.compile(r"(.*\S)[ ,]+(\d[\d.,]*\s*(?:ml|cc))\s*$", re.I | re.S)
SAID_OF_A_DOSE = re.compile(r"(for|batch|route|site|vet|by)\s+(.+)", re.I | re.S)
SAID_OF_A_LABOUR = re.compile(r"(seen|waters|shows)\b\s*(.*)", re.I | re.S)


class Stretch(Value):
    """A piece of a jotted line, and where it begins in it."""

    text: str
    start: int

    @property
    def bare(self) -> Stretch:
        """The piece without blanks around it."""
        return Stretch(self.text.strip(), self.start + len(self.text) - len(self.text.lstrip()))

    def fault(self, message: str, help: str) -> Fault:
        """What is wrong with this piece."""
        return Fault(message, help, self.bare.start, max(1, len(self.bare.text)))


class Jotted(Value):
    """A line that was understood: the day, the time, whom it names, and the note that it becomes.

    `fields` and `lines` are typed as in that note, those that name its sheep left out; `id` is what a tablet gave it.
    `plain` is the line as it is known again: one blank between words, its day in front.
    """

    day: date
    kind: str
    plain: str
    clock: time | None = None
    who: str = ""
    id: str = ""
    fields: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    @property
    def note_kind(self) -> str:
        """The kind of note that it becomes: one that strikes another becomes a remark."""
        return "remark" if self.kind == "strike" else self.kind

    def with_field(self, name: str, text: str) -> Jotted:
        """The same with a further field."""
        return replace(self, fields=(*self.fields, (name, text)))

    def with_words(self, text: str) -> Jotted:
        """The same with further words."""
        return replace(self, words=(*self.words, text))


Reading = Jotted | Fault


def rest_parts(rest: Stretch) -> Iterator[Stretch]:
    """The parts between `;` that say something."""
    place = 0
    for text in PARTS_BETWEEN.split(rest.text):
        part = Stretch(text, rest.start + place).bare
        if part.text:
            yield part
        place += len(text) + 1


# What becomes of each kind of line


def read_birth(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """The lambs of a litter, each by the grammar of a lambing note; other parts are its remark."""
    said, litter = rest, 0
    if match := LITTER_TOLD.match(rest.text):
        litter = LITTER_WORDS[(match[1] or match[2]).lower()]
        said = Stretch(rest.text[match.end() :], rest.start + match.end())
    for part in lambs_apart(said):
        outcome = with_lamb(line, part, context)
        if isinstance(outcome, Fault):
            return outcome
        line = outcome
    if not line.lines:
        return rest.fault("no lamb is told", "write each lamb, the dead ones too: `lambed ewe 4.1; ram 4.6`")
    if litter and litter != len(line.lines):
        return rest.fault(f"{litter} are said, and {len(line.lines)} told", "write each lamb between `;`")
    return line


def lambs_apart(rest: Stretch) -> Iterator[Stretch]:
    """The parts of a birth: between `;`, and between commas before a word for a sex."""
    place = 0
    for match in [*LAMBS_PARTED.finditer(rest.text), None]:
        end = match.start() if match else len(rest.text)
        part = Stretch(rest.text[place:end], rest.start + place).bare
        if part.text:
            yield part
        place = match.end() if match else end


def with_lamb(line: Jotted, part: Stretch, context: Context) -> Reading:
    """A birth with one more lamb, or with words that are none."""
    dead = SAID_DEAD.search(part.text)
    if dead and SEX_SAID_IN.search(part.text[: dead.start()]):
        cure = "write `ewe 4.1 stillborn` for one lamb, `ewe 4.1; stillborn` for two"
        return Stretch(dead[1], part.start + dead.start(1)).fault(f"`{dead[1]}` may be this lamb or a second one", cure)
    reading = lamb_line.read(part.text, context)
    if reading.faults:
        first = reading.faults[0]
        cure = LAMB_APART if "dash" in first.help else first.help
        return replace(first, help=cure, start=part.start + first.start, length=first.length or len(part.text))
    if reading.value is None:
        return line.with_words(part.text)
    return replace(line, lines=(*line.lines, part.text))


def read_labour(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`labour`, `labour waters`, `labour seen 03:20; shows one foot`: at the line's time, where no other is given."""
    now = f"{line.clock:%H:%M}" if line.clock else ""
    for part in rest_parts(rest):
        match = SAID_OF_A_LABOUR.fullmatch(part.text)
        name, said = (match[1].lower(), match[2].strip()) if match else ("", "")
        clock = TIME.read(said, context) if name in ("seen", "waters") and said else None
        if isinstance(clock, Fault):
            return part.fault(f"`{said}` is no time", "write `waters 03:20`, or other words behind a `;`")
        line = line.with_field(name, said or now) if match and (said or now) else line.with_words(part.text)
    told_of = {name for name, _ in line.fields}
    return line if told_of & {"seen", "waters"} or not now else line.with_field("seen", now)


def read_treatment(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """The medicine first, with its dose before or behind it or in a part of its own; then what is said of the dose."""
    parts = list(rest_parts(rest))
    if not parts:
        return rest.fault("no medicine is named", "write `treated example drench; 2.5 ml`")
    name = parts[0].text[5:] if parts[0].text.lower().startswith("with ") else parts[0].text
    first, last = AMOUNT_FIRST.fullmatch(name), AMOUNT_LAST.fullmatch(name)
    if first and first[2]:
        line = line.with_field("medicine", first[2].strip(" ,")).with_field("dose", first[1])
    elif last:
        line = line.with_field("medicine", last[1].strip(" ,")).with_field("dose", last[2])
    else:
        line = line.with_field("medicine", name.strip(" ,"))
    for part in parts[1:]:
        outcome = with_dose(line, part, context)
        if isinstance(outcome, Fault):
            return outcome
        line = outcome
    return line


def with_dose(line: Jotted, part: Stretch, context: Context) -> Reading:
    """A treatment with its dose, its rate, or what is said of it; no word is left over."""
    said = SAID_OF_A_DOSE.fullmatch(part.text)
    name = said[1].lower() if said else ""
    if not name and not isinstance(DOSE_TEXT.read(part.text, context), Fault):
        name = "dose"
    if not name and not isinstance(DOSE_RATE.read(part.text, context), Fault):
        name = "rate"
    if not name:
        cure = "write the dose as `2.5 ml`, and other words as `for foot`, `batch 12`, `route by mouth`, `site neck`"
        return part.fault(f"`{part.text}` is not read as part of a dose", cure)
    if name in dict(line.fields):
        return part.fault(f"the {name} is told twice", "write it once")
    return line.with_field(name, said[2] if said else part.text)


def read_feed(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`fed {150 ml} ewe colostrum; bottle`, `tubed 150 ml frozen`."""
    del context
    for part in rest_parts(rest):
        match = AMOUNT_FIRST.fullmatch(part.text)
        line = line.with_field("amount", match[1]) if match else line
        said = (match[2] if match else part.text).strip()
        if said.lower() in FEEDS:
            line = line.with_field("what", said)
        elif said.lower() in ("tube", "bottle", "teat"):
            line = line.with_field("how", said)
        elif said.lower() in ("colostrum", "milk"):
            line = line.with_words(said)
        elif said:
            cure = f"write one of {', '.join(FEEDS)}, and `tube`, `bottle` or `teat`"
            return part.fault(f"`{said}` is no feed", cure)
    names = [name for name, _ in line.fields]
    if len(names) > len(set(names)):
        return rest.fault("the same is told twice", "write each feed on a line of its own")
    return line if "amount" in names else rest.fault("no amount is told", "write `fed {150 ml} ewe colostrum; bottle`")


def read_weight(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`weighed 27.5`, `weighed 61 lb dirty behind`: one line of a weighing."""
    said = f"{line.who} {' '.join(rest.text.split())}"
    reading = weight_line.read(said, context)
    if reading.faults or reading.value is None or reading.value.sheep != line.who:
        first = reading.faults[0] if reading.faults else Fault("no weight is told", "write `weighed 27.5`")
        return rest.fault(first.message, first.help)
    return replace(line, lines=(said,))


def read_move(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`moved to Low Field`."""
    del context
    parts = list(rest_parts(rest))
    where = parts[0].text.removeprefix("to ").strip() if parts else ""
    if not where:
        return rest.fault("no place is told", "write `moved to Low Field`")
    return replace(line.with_field("to", where), words=tuple(part.text for part in parts[1:]))


def read_death(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`dead`, `died worms; buried on the farm`: a cause that the book knows, and a remark."""
    del context
    for part in rest_parts(rest):
        known = part.text.lower() in CAUSES and "cause" not in dict(line.fields)
        line = line.with_field("cause", part.text.lower()) if known else line.with_words(part.text)
    return line


def read_tagged(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`tagged 742`: one line of a tagging."""
    del context
    tag = rest.text.strip()
    if not re.fullmatch(r"[\w/-]+", tag):
        return rest.fault("the new tag is not told", "write `Bramble's ewe lamb tagged 742`")
    return replace(line, lines=(f"{line.who} = {tag}",))


def read_ill(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`ill mastitis left; hot and hard`: the problem, and a remark."""
    del context
    parts = list(rest_parts(rest))
    if not parts:
        return rest.fault("what is wrong is not told", "write `ill lameness; near fore`")
    return replace(line.with_field("problem", parts[0].text), words=tuple(part.text for part in parts[1:]))


def read_remark(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """All that follows, as it stands."""
    del context
    said = rest.bare.text
    return line.with_words(said) if said else rest.fault("nothing is told", "write the remark behind the word")


def read_strike(line: Jotted, rest: Stretch, context: Context) -> Reading:
    """`strike mtr-4`: an earlier line is not to be filed."""
    del context
    id = rest.bare.text.strip("[] ")
    if not JOTTED_ID.fullmatch(f"[{id}]") or line.who:
        return rest.fault("no line is named to be struck", "write the id that stands at its end: `strike mtr-4`")
    return line.with_field("struck", id)


GRAMMARS: dict[str, Callable[[Jotted, Stretch, Context], Reading]] = {
    "lambing": read_birth, "labour": read_labour, "treatment": read_treatment, "feeding": read_feed,
    "weighing": read_weight, "move": read_move, "death": read_death, "tagging": read_tagged, "illness": read_ill,
    "remark": read_remark, "strike": read_strike,
}  # fmt: skip
