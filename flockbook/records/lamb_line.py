"""One lamb in a lambing note: sex, weight, tag, state and how it lay, in any order."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.values import VOLUME, WEIGHT, Weight

# The trade's names for how a lamb lies (University of Florida, Visual Guide to Ovine Reproduction; Purdue sheep
# course).
PRESENTATIONS: tuple[tuple[str, str], ...] = (
    ("both legs back", r"(?:both|two) (?:fore ?)?legs back"),
    ("one leg back", r"(?:one |a |near |off |left |right |fore)?(?: ?fore)? ?leg back"),
    ("head only", r"head only"),
    ("head back", r"head (?:turned )?back"),
    ("backwards", r"backwards?"),
    ("breech", r"breech"),
    ("crosswise", r"cross ?wise"),
    ("tangled", r"tangled(?: up)?|two at once"),
    ("tight", r"tight"),
    ("elbow lock", r"elbow(?:s)? lock(?:ed)?"),
    ("normal", r"(?:came |presented )?normal(?:ly)?"),
)
SEXES = {"ewe": "ewe", "gimmer": "ewe", "ram": "ram", "tup": "ram", "wether": "wether", "wedder": "wether"}
BORN_DEAD = ("stillborn", "mummified", "dead")
PLAUSIBLE = (
    1.5,
    8.0,
)  # kg; our own lines for asking, published flags being 3.5 and 5.5 (Making More From Sheep, tool 10.9)
# Never begun inside another number, and given up whole, so that a long run of figures costs no time.
NUMBER = r"(?<!\d)(?<!\d[.,])(?:\d++(?:[.,]\d++|(?![.,]\d))|[.,]\d++(?![.,]\d))"
WEIGHED = rf"(?P<weight>{NUMBER}\s*(?:kgs?|lbs?|pounds?)\b(?:\s*\d+\s*oz\b)?|(?<![\w/.]){NUMBER}(?![\w/]|\.\d|\s*ml))"


class LambLine(Value):
    """One lamb as written. `state` is alive, dead, stillborn or mummified; one written `dead` counts as born dead."""

    sex: str | None = None
    weight: Weight | None = None
    tag: str | None = None
    number: str | None = None
    state: str = "alive"
    weak: bool = False
    hung: bool = False
    assisted: bool = False
    presentation: str = "normal"
    presented: bool = False
    vigour: int | None = None
    tubed_ml: float | None = None
    fostered_to: str | None = None
    malformed: bool = False
    unlikely: bool = False
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))

    @property
    def alive(self) -> bool:
        """Whether it was born alive."""
        return self.state == "alive"


Take = Callable[[LambLine, re.Match[str], Context], "LambLine | Fault"]


def read(text: str, context: Context) -> LineReading:
    """Read one dash line of a lambing note; a line that speaks of no lamb is a remark."""
    lamb, rest, faults, taken = LambLine(), text, [], 0
    for pattern, take in PIECES:
        match = pattern.search(rest)
        if match is None:
            continue
        outcome = take(lamb, match, context)
        if isinstance(outcome, Fault):
            faults.append(replace(outcome, start=match.start() + outcome.start, length=outcome.length or len(match[0])))
        else:
            lamb, taken = outcome, taken + 1
        rest = rest[: match.start()] + " " * len(match[0]) + rest[match.end() :]
    faults += [*second_weight(rest, lamb), *strange_sex(text, lamb)]
    return verdict(replace(lamb, remark=leftover(rest)), rest, taken, faults)


def verdict(lamb: LambLine, rest: str, taken: int, faults: list[Fault]) -> LineReading:
    """Whether the pieces found make a lamb: a sex or a state of death, and more than a word of prose."""
    if lamb.sex is None and lamb.alive:
        return LineReading(remark=True, faults=tuple(faults) if lamb.weight else ())
    if taken == 1 and words(rest.split(",")[0]):
        doubt = Fault("this reads like a remark, so no lamb was counted", DOUBT_HELP, grade=Grade.ASK)
        return LineReading(remark=True, faults=(doubt,))
    if lamb.unlikely and lamb.weight:
        heavy = f"a lamb of {lamb.weight.text.strip()} would be unusual"
        faults.append(Fault(heavy, "correct it, or add `sure: yes` to the note", grade=Grade.ASK))
    return LineReading(value=lamb, faults=tuple(faults))


DOUBT_HELP = (
    "if it is a lamb, put a comma after the sex (`ewe, small`) or give a weight; if it is a remark, leave out the dash"
)


def second_weight(rest: str, lamb: LambLine) -> list[Fault]:
    """A second bare number could be a tag or a weight: nobody guesses."""
    match = re.search(WEIGHED, rest, re.I)
    if match is None or lamb.weight is None:
        return []
    return [
        Fault(
            f"two numbers: `{lamb.weight.text.strip()}` and `{match[0].strip()}`; either could be a tag or a weight",
            f"write `tag {match[0].strip()}`",
            match.start(),
            len(match[0]),
        )
    ]


def strange_sex(text: str, lamb: LambLine) -> list[Fault]:
    """A line that names two sexes."""
    named = {SEXES[word] for word in re.findall(r"[a-z]+", text.split("fostered")[0].lower()) if word in SEXES}
    if len(named) < 2 or lamb.sex is None:
        return []
    return [Fault("two sexes on one line", "write each lamb on a line of its own")]


def words(text: str) -> list[str]:
    """The words left over that are not mere joints."""
    return [word for word in re.findall(r"[^\s,;.()]+", text) if word.lower() not in JOINTS]


JOINTS = frozenset({"lamb", "a", "the", "and", "was", "one", "-", "–", "—", ":", "+", "kg", "with", "born"})


def leftover(rest: str) -> str:
    """What remains when every known piece has been taken, as a remark."""
    parts = [" ".join(part.split()) for part in re.split(r"[,;]", rest)]
    return ", ".join(part for part in parts if words(part))


def take_sex(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine:
    """ewe, gimmer, ram, tup or wether."""
    del context
    return replace(lamb, sex=SEXES[match["sex"].lower()])


def take_weight(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """A weight with or without its unit; a leading dot is refused by the weight reader."""
    typed = match["weight"]
    value = WEIGHT.read(typed.strip(), context)
    if isinstance(value, Fault):
        return value
    return replace(lamb, weight=value, unlikely=not PLAUSIBLE[0] <= value.kg <= PLAUSIBLE[1])


def take_tubed(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """`tubed 150 ml`."""
    value = VOLUME.read(match["tubed"].strip(), context)
    return (
        replace(value, start=match.start("tubed") - match.start())
        if isinstance(value, Fault)
        else replace(lamb, tubed_ml=value.ml)
    )


def take_vigour(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """`vigour 4`, on the published five-point scale."""
    del context
    value = int(match["vigour"])
    return (
        replace(lamb, vigour=value)
        if 1 <= value <= 5
        else Fault(f"vigour {value} is off the scale", "1 (weak) to 5 (up at once)")
    )


def text_piece(name: str) -> Take:
    """A piece whose words are kept as they stand."""

    def take(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine:
        del context
        kept: dict[str, Any] = {name: match[name].strip(" .)")}
        return replace(lamb, **kept)

    return take


def fixed_piece(**values: Any) -> Take:
    """A piece that stands for a fixed value."""

    def take(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine:
        del match, context
        return replace(lamb, **values)

    return take


def piece(pattern: str, take: Take) -> tuple[re.Pattern[str], Take]:
    """One piece of the grammar."""
    return re.compile(rf"(?<![\w-])(?:{pattern})(?![\w-])", re.I), take


# Longer and more telling pieces first; each is taken out of the line before the next is looked for.
PIECES: tuple[tuple[re.Pattern[str], Take], ...] = (
    piece(r"foster(?:ed)? (?:on)?to (?P<fostered_to>[^,;]+)", text_piece("fostered_to")),
    piece(r"tag(?:ged)?[ :]+(?P<tag>[\w/-]+)", text_piece("tag")),
    piece(r"(?:no\.?|number|paint) ?(?P<number>\d+)", text_piece("number")),
    piece(rf"tubed (?P<tubed>{NUMBER} ?\w*)", take_tubed),
    piece(r"vigour (?P<vigour>\d+)", take_vigour),
    *(
        piece(rf"\(?(?:{pattern})\)?", fixed_piece(presentation=name, presented=True))
        for name, pattern in PRESENTATIONS
    ),
    *(piece(word, fixed_piece(state=word)) for word in BORN_DEAD),
    piece("still born|born dead", fixed_piece(state="stillborn")),
    piece("weak", fixed_piece(weak=True)),
    piece("hung", fixed_piece(hung=True)),
    piece("assisted|helped", fixed_piece(assisted=True)),
    piece("malformed|deformed", fixed_piece(malformed=True)),
    piece(rf"(?P<sex>{'|'.join(SEXES)})", take_sex),
    (re.compile(WEIGHED, re.I), take_weight),
)
