"""One lamb in a lambing note, its words in any order: how each is read, said and counted stands here and nowhere else.

A new word is a field of `LambLine`, in the place where it is to be said, and a row of `WORDS`; if it counts for more
than its number, one of the properties of a line knows it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from compiler.diagnostics import Grade
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field, field_names, replace
from compiler.source import Span
from compiler.values import DRINK, TEMPERATURE, Temperature, Volume, Weight
from flockbook.records.lamb_doubts import (
    DOUBT_HELP,
    NEGATED,
    SEX_BEGUN,
    SEXLESS,
    figureless,
    lamb_remark,
    misspelt_sex,
    several_lambs,
    strange_sex,
    strange_words,
    tagless,
    turned,
)
from flockbook.records.lamb_weight import LAMB_WEIGHED, NUMERAL, SOME, second_weight, unit_taken, weight_read
from flockbook.records.sheep_line import taken_out
from flockbook.records.weight_line import perhaps
from flockbook.trade import HAND_REARED, JUGS, OFFICIAL, SEX_PATTERN, SEX_WORDS

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
NORMAL = "normal"
WEAK_VIGOUR = 2  # of 5; a lamb scored so is taken for one that may not suck by itself (our own choice)
CAUSE_OF_STATE = {"stillborn": "stillbirth", "mummified": "died before birth"}  # of a lamb born dead, by its state
# kg; our own lines for asking, published flags being 3.5 and 5.5 (Making More From Sheep, tool 10.9). Asking from
# 1.5 kg down questioned 24 of the 882 lambs of an open data set, so it begins lower.
SIGNED = re.compile(r"(?:^|[\s,;(])([-−–+])$")  # a sign that touches the figure behind it
BIRTH_KG = (0.8, 8.0)
NEWBORN_C = (20.0, 43.5)  # °C; far colder than a lamb that is revived, far hotter than a fever (our own line)
FIGURE_BEGUN = re.compile(r"[-−–+]?[.,]?\d", re.A)
# A tag has a figure in it, or is a few capitals: `tag yet` is none.
TAG = r"(?=[A-Za-z/-]*\d)[\w/-]+|(?<=[ :])(?-i:[A-Z]{1,4})(?![\w/-])"


class LambLine(Value):
    """One lamb as written, its fields in the order in which they are said. `state` is alive, dead, stillborn or
    mummified; one written `dead` counts as born dead. `lay` is how it is written to have lain.
    """

    sex: str | None = None
    weight: Weight | None = None
    tag: str | None = None
    number: str | None = None
    state: str = "alive"
    weak: bool = False
    hung: bool = False
    malformed: bool = False
    assisted: bool = False
    lay: str | None = None
    vigour: int | None = None
    tubed: Volume | None = None
    temperature: Temperature | None = None
    fostered_to: str | None = None
    by_hand: bool = False
    pen: str | None = None
    official: str | None = None
    remark: str = ""
    unlikely: bool = False
    span: Span = field(default_factory=lambda: Span(""))

    @property
    def alive(self) -> bool:
        """Whether it was born alive."""
        return self.state == "alive"

    @property
    def tubed_ml(self) -> float | None:
        """How much it was tubed, in millilitres."""
        return self.tubed.ml if self.tubed else None

    @property
    def of_one(self) -> bool:
        """Whether the line says something that is only said of a single lamb."""
        own = self.weight, self.tag, self.number, self.official, self.vigour, self.tubed_ml, self.temperature
        return self.by_hand or any(one is not None for one in own)

    @property
    def presentation(self) -> str:
        """How it lay; normal where nothing is written."""
        return self.lay or NORMAL

    @property
    def lay_wrong(self) -> str:
        """How it lay if that was not as it should; else ""."""
        return "" if self.presentation == NORMAL else self.presentation

    @property
    def helpless(self) -> str:
        """Why it may not suck by itself, or ""."""
        low = self.vigour is not None and self.vigour <= WEAK_VIGOUR
        return "hung" if self.hung else "weak" if self.weak or low else ""

    @property
    def cause(self) -> str:
        """Why it was born dead, as far as the line says."""
        return "malformed" if self.malformed else CAUSE_OF_STATE.get(self.state, "born dead")

    @property
    def hard_start(self) -> Iterator[str]:
        """What of its birth speaks against keeping it."""
        yield from ("helped into the world",) if self.assisted else ()
        yield from ("tubed at birth",) if self.tubed_ml else ()
        yield from ("malformed",) if self.malformed else ()


TURNABLE = frozenset({"state", "weak", "hung", "malformed", "assisted", "lay", "by_hand"})
Take = Callable[[LambLine, re.Match[str], Context], "LambLine | Fault"]


class Word(Value):
    """One thing that a line may say of a lamb: the field that keeps it and the pattern by which it is read.

    `value` is what it stands for; else `read` takes it from the text, or what is found is kept as it stands. `said`
    has `{}` in the place of the value. A crop's lambs are counted by `counted`, unless that is "". `example` is for
    the reference. A word that is not `apart` may touch others.
    """

    field: str
    written: str
    said: str
    counted: str = ""
    example: str = ""
    value: Any = None
    read: Take | None = None
    apart: bool = True

    @property
    def turned(self) -> bool:
        """Whether `not` before it turns it round."""
        return self.field in TURNABLE

    @property
    def pattern(self) -> re.Pattern[str]:
        """The pattern by which it is found in a line."""
        return re.compile(rf"(?<![\w-])(?:{self.written})(?![\w-])" if self.apart else self.written, re.I)

    def take(self, lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
        """The lamb with what this word says of it."""
        if self.read:
            return self.read(lamb, match, context)
        kept: dict[str, Any] = {self.field: self.value or match[self.field].strip(" .)")}
        return replace(lamb, **kept)


def read(text: str, context: Context) -> LineReading:
    """Read one dash line of a lambing note; a line that speaks of no lamb is a remark."""
    if many := several_lambs(text):
        return LineReading(faults=(many,))
    lamb, rest, faults, taken = LambLine(), text, [], 0
    for pattern, word in PIECES:
        match = pattern.search(rest)
        if match is None:
            continue
        if word.turned and (negation := NEGATED.search(text[: match.start()])):
            faults.append(turned(negation, match))
            rest = taken_out(rest, match)
            continue
        outcome = word.take(lamb, match, context)
        if isinstance(outcome, Fault):
            faults.append(replace(outcome, start=match.start() + outcome.start, length=outcome.length or len(match[0])))
        else:
            lamb, taken = outcome, taken + 1
        rest = taken_out(rest, match)
    faults += [*second_weight(rest, lamb.weight), *strange_sex(text, lamb.sex), *tagless(rest)]
    faults += figureless(rest) if lamb.sex and not lamb.weight else []
    return is_a_lamb(replace(lamb, remark=lamb_remark(rest)), rest, taken, faults)


def is_plain(text: str, context: Context) -> bool:
    """Whether a bare line surely is a lamb: first a sex, weight and tag; or a sex, one of them and no other word."""
    reading = read(text, context)
    lamb = reading.value
    if lamb is None or lamb.sex is None or lamb.remark or lamb.unlikely:
        return bool(lamb and lamb.weight and lamb.tag and SEX_BEGUN.match(text))
    figures = [FIGURE_BEGUN.match(text, fault.start) is not None for fault in reading.faults]  # ill written: told
    return all(figures) and (lamb.weight is not None or lamb.tag is not None or bool(figures))


def is_a_lamb(lamb: LambLine, rest: str, taken: int, faults: list[Fault]) -> LineReading:
    """Whether the pieces found make a lamb: a sex or a state of death, and more than a word of prose."""
    if lamb.sex is None and lamb.alive:
        told = misspelt_sex(rest) or [SEXLESS] if lamb.of_one else []
        return LineReading(remark=True, faults=(*told, *(faults if lamb.weight else ())))
    if taken == 1 and strange_words(rest.split(",")[0]):
        doubt = Fault("this reads like a remark, so no lamb was counted", DOUBT_HELP, grade=Grade.ASK)
        return LineReading(remark=True, faults=(doubt,))
    if lamb.unlikely and lamb.weight:
        typed = lamb.weight.text.strip()
        in_full = typed if not typed[-1:].isdigit() else f"{typed} ({unit_taken(lamb.weight)})"
        heavy = f"a lamb of {in_full} would be unusual"
        cure = perhaps(lamb.weight, BIRTH_KG) + "correct it, or add `sure: yes` to the note"
        faults.append(Fault(heavy, cure, grade=Grade.ASK))
    return LineReading(value=lamb, faults=tuple(faults))


def take_sex(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine:
    """Any of the words for a sex."""
    del context
    return replace(lamb, sex=SEX_WORDS[match["sex"].lower()])


def take_weight(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """A weight with or without its unit; a leading dot is refused by the weight reader."""
    typed = match["weight"]
    if signed := SIGNED.search(match.string[: match.start("weight")]):
        return Fault(f"`{signed[1]}{typed}` has a sign before it", "write the weight without it", -1, len(typed) + 1)
    value = weight_read(typed.strip(), context)
    if isinstance(value, Fault):
        return value
    return replace(lamb, weight=value, unlikely=not BIRTH_KG[0] <= value.kg <= BIRTH_KG[1])


def take_tubed(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """`tubed 150 ml`, `tubed 4 oz`."""
    value = DRINK.read(match["tubed"].strip(), context)
    shift = match.start("tubed") - match.start()
    return replace(value, start=shift) if isinstance(value, Fault) else replace(lamb, tubed=value)


def take_warmth(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """`temp 102.9`, `temp 39.2 C`, `102.9 F`."""
    typed = (match["warm"] or match["degrees"]).strip()
    value = TEMPERATURE.read(typed, context)
    if isinstance(value, Fault) or NEWBORN_C[0] <= value.celsius <= NEWBORN_C[1]:
        return value if isinstance(value, Fault) else replace(lamb, temperature=value)
    return Fault(f"no living lamb is at `{typed}`", "write its temperature as the thermometer showed it")


def take_vigour(lamb: LambLine, match: re.Match[str], context: Context) -> LambLine | Fault:
    """`vigour 4`, on the published five-point scale."""
    del context
    value = int(match["vigour"])
    return (
        replace(lamb, vigour=value)
        if 1 <= value <= 5
        else Fault(f"vigour {value} is off the scale", "1 (weak) to 5 (up at once)")
    )


def flag_word(field: str, written: str = "", said: str = "") -> Word:
    """A word that is there or not; said and counted as it is called, unless other words are given."""
    return Word(field, written or field, said or field, said or field, (written or field).split("|")[0], True)


# Longer and more telling words first; each is taken out of the line before the next is looked for.
WORDS: tuple[Word, ...] = (
    Word(
        "fostered_to", r"foster(?:ed)? (?:on)?to (?P<fostered_to>[^,;]+)", "fostered to {}", "fostered",
        "`fostered to Teasel`",
    ),
    Word("official", OFFICIAL, "official {}", "with an official number", "`official TN0001 0045`"),
    Word("pen", rf"(?:in )?(?P<pen>(?:{JUGS}) ?(?:no\.? ?|#)?\d+)", "{}", "in a pen", "`jug 3`"),
    flag_word("by_hand", "|".join(HAND_REARED), "reared by hand"),
    Word(
        "tag",
        r"tag(?:ged)?[ :]*(?:(?:no\.?|number|#) ?)?"
        rf"(?P<tag>{TAG})", "tag {}", example="`tag 731`",
    ),
    Word("number", r"(?:no\.?|number|paint) ?(?P<number>\d+)", "no {}", example="`no 7`"),
    Word(
        "tubed", rf"tubed (?P<tubed>{SOME} ?(?:fl\.? ?oz|\w*)\.?)", "tubed {}", "tubed", "`tubed 150 ml`",
        read=take_tubed,
    ),
    Word(
        "temperature",
        rf"temp(?:erature)?\.? ?:? ?(?P<warm>{NUMERAL}(?: ?°? ?[cf](?![a-z]))?)|"
        rf"(?P<degrees>{NUMERAL} ?°? ?[cf](?![a-z]))",
        "{}", "temperature written", "`temp 39.2 C`", read=take_warmth,
    ),
    Word("vigour", r"vigou?r (?P<vigour>\d+)", "vigour {}", "vigour {}", "`vigour 4`", read=take_vigour),
    *(Word("lay", rf"\(?(?:{pattern})\)?", "lay {}", "lay {}", name, name) for name, pattern in PRESENTATIONS),
    Word("state", "stillborn", "{}", "stillborn", "stillborn", "stillborn"),
    Word("state", "mummified", "{}", "mummified", "mummified", "mummified"),
    Word("state", "dead", "born dead", "born dead", "dead", "dead"),
    Word("state", "doa", "born dead", "born dead", value="dead"),
    Word("state", "still born|born dead", "{}", value="stillborn"),
    flag_word("weak"),
    flag_word("hung"),
    flag_word("assisted", "assisted|helped", "helped"),
    flag_word("malformed", "malformed|deformed"),
    Word("sex", rf"(?P<sex>{SEX_PATTERN})", "{} lamb", example="sex", read=take_sex),
    Word("sex", r"^\s*(?P<sex>[fm])(?=[\s,:])", "{} lamb", read=take_sex, apart=False),
    Word("weight", LAMB_WEIGHED, "{}", example="weight", read=take_weight, apart=False),
)  # fmt: skip
PIECES: tuple[tuple[re.Pattern[str], Word], ...] = tuple((word.pattern, word) for word in WORDS)
FIELD_ORDER = {name: place for place, name in enumerate(field_names(LambLine))}
WORDS_BY_FIELD = tuple(
    (name, tuple(word for word in WORDS if word.field == name))
    for name in sorted({word.field for word in WORDS}, key=FIELD_ORDER.__getitem__)
)
LAMB_LINE_HELP = (
    f"one lamb a line: {', '.join(word.example for word in reversed(WORDS) if word.example)}; words in any order"
)


# What a line says


def words_said(line: LambLine) -> Iterator[tuple[Word, Any]]:
    """Every word that a line has, in the order in which it is said, with what it says."""
    for name, words in WORDS_BY_FIELD:
        value = getattr(line, name)
        told = words if value not in (None, False, "alive") else ()
        if word := next((word for word in told if word.value in (None, value)), None):
            yield word, value


def said(line: LambLine) -> Iterator[tuple[str, Any]]:
    """What a line says, with `{}` in the place of a value, and the value; the remark last."""
    yield from () if line.sex else (("lamb", None),)
    for word, value in words_said(line):
        yield word.said + (" (to confirm)" if word.field == "weight" and line.unlikely else ""), value
    yield "{}", line.remark


def lambs_with_word(lines: Iterable[LambLine]) -> Counter[str]:
    """How many lambs each word is written of."""
    return Counter(word.counted.format(value) for line in lines for word, value in words_said(line) if word.counted)
