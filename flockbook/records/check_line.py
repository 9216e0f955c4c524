"""One sheep at a handling: condition, eyelid, udder, feet, mouth, dag, temperature."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from compiler.diagnostics import Grade
from compiler.nearness import clipped
from compiler.schema import Band, Context, Fault, LineReading
from compiler.scores import Score
from compiler.shape import Value, field, replace
from compiler.source import Span
from compiler.values import LENGTH, SCORE, TEMPERATURE, WEIGHT, Amount, Temperature, Weight
from flockbook.records.sheep_line import is_like_a_sheep, opening, second_sheep
from flockbook.trade import EYELID_SAID

CONDITION = SCORE(1, 5, 0.25)  # Russel, Doney & Gunn 1969 (0-5); common use is 1-5 in quarters
EYELID = SCORE(1, 5, 1)  # 1 red to 5 white
DAG = SCORE(0, 5, 1)
UDDERS = ("ok", "normal", "lump", "hard")  # Griffiths et al. 2019: normal, lump, hard
GIRTH, GIRTHS = LENGTH, (10.0, 60.0)  # centimetres that a ram's scrotum can measure round (our own bounds)
HOW_GIRTH = "write it as `scrotal {34 cm}`, measured round at the widest"
BODY_SIGNS = ("jaw", "nose", "back", "tail")  # with the eyelid, the five points


SWOLLEN_JAW = re.compile(r"\b(?:bottle|swell\w*|swollen|puffy|lump\w*)\b.*\bjaw\b", re.I)
# A figure by itself, with what may stand before it, in a note called after what is scored by it.
EYELID_NOTE = re.compile(rf"\b(?:{'|'.join(EYELID_SAID)})s?\b", re.I)
SCORE_ALONE = re.compile(r"[\s:=–—-]*(?P<score>[1-5])(?![\w.,/-])(?P<rest>(?:\s+[^\d\s,;][^,;]*)?)$", re.A)
NO_SIGN = re.compile(r"\b(?:no|not|without|never|gone)\b", re.I)


CONDITION_SAID = ("condition score", "body condition", "body condition score", "body score")


class Looked(Value):
    """One thing that is looked at: its field, which is also how it is told; the words it is typed by, that of a column
    first; and the score it takes, None where it takes words or is a `girth`.
    """

    field: str
    typed: tuple[str, ...]
    score: Score | None = None
    girth: bool = False


# Every word of a line is declared here: how it is read, the column it has in a table, and how it is told.
LOOKED = (
    Looked("condition", ("bcs", "condition", *CONDITION_SAID), CONDITION),
    Looked("eyelid", EYELID_SAID, EYELID),
    Looked("dag", ("dag", "dags"), DAG),
    Looked("udder", ("udder", "bag")),
    Looked("feet", ("feet", "foot")),
    Looked("mouth", ("mouth", "teeth")),
    Looked("scrotal", ("scrotal",), girth=True),
)
CHECK_COLUMNS = ("sheep", *(word for one in LOOKED for word in one.typed), "temp", "temperature", "kg", "lb", "note")
BY_WORD = {word: one for one in LOOKED for word in one.typed}
LOOKED_PART = re.compile(
    rf"(?P<word>{'|'.join(sorted(BY_WORD, key=len, reverse=True))})"
    r"(?P<gap>\s*[:=]\s*|\s+(?:of\s+|is\s+)?)(?P<value>.+)",
    re.I,
)
# A comma between two figures is a decimal one, or a slip; a word with its score may follow without one.
SCORED = "|".join(word for word, one in BY_WORD.items() if one.score)
FINDINGS_APART = re.compile(rf";|,(?!(?<=\d,)\d)|(?<=[^\s,;]) (?=(?:{SCORED}|temp(?:erature)?)\s+\d)", re.I)
DEGREES_TOLD = re.compile(
    r"temp(?:erature)?\.?\s*:?\s*[\d.,]+ ?°? ?[cf]?|[\d.,]+ ?(?:°|deg(?:rees)?) ?[cf]?|[\d.,]+ ?[cf]", re.I
)
TYPED_WARMTH = re.compile(r"temp(?:erature)?\.?\s*:?\s*", re.I)
# A bare figure with a part that is in the band of a sheep's temperature in one unit: 38 to 42.9 °C, 100.4 to 109.2 °F.
PERHAPS_WARM = re.compile(r"(?:3[89]|4[0-2])\.\d|10[0-9]\.\d", re.A)
LEFT_OVER = re.compile(r"(?=.*\d).*\b(?:bcs|condition|eyelid|dags?|temp)\b.*|[\d.,]+(?: ?(?!ml|cc)[a-z]{1,2})?", re.I)
# The one band of a body's temperature in every kind of note: below it no sheep lives, nor above.
TEMPERATURE_BAND = Band(
    30, 43.5, "our own line for asking; published 38.6-40.0 C for a grown sheep (New Bolton Center)"
)
HIGHEST_C = 45  # °C; a figure above is one of Fahrenheit
NOT_READ = "write it as `bcs 2.5`, `eyelid 3`, `dag 2`, `{39.2 C}`, `{62 kg}`"
# The signs as they are spoken of, at the beginning of what is said; `bottle jaw gone` is none.
SOMEWHAT = r"(?:(?:slight|mild|bad|some|a bit of|a little) )*"
NOT_GONE = r"(?!.*\b(?:gone|ok|no|none|clear|better)\b)"
SIGNS_SAID = {
    name: re.compile(rf"{SOMEWHAT}(?:{words})\b{NOT_GONE}", re.I)
    for name, words in (
        ("jaw", r"bottle[- ]?jaw|(?:swelling|swollen|swelled|lump)(?: under)?(?: (?:the|her|his|its))? jaw"),
        ("nose", r"(?:snotty|runny|dirty) nose"),
        ("tail", r"(?:dirty|messy|mucky) (?:butt|rear|tail|bum|behind)"),
    )
}
WEIGHT_TOLD = re.compile(
    r"[\d.,]+ ?(?:(?:kg|lb)s?|(?:st|stones?)(?: ?\d+(?: ?lbs?)?)?)"
    r"|(?:weight|weighs|wt\.?) ?:? ?[\d.,]+ ?(?:(?:kg|lb)s?|#)?",
    re.I,
)
WEIGHT_WORD = re.compile(r"^(?:weight|weighs|wt\.?) ?:? ?", re.I)
MOST_PLAIN_WORDS = 3
USUAL_FINDING = re.compile(r"\d|\b(?:ok|normal|lump|hard|broken|full|sound|good|bad|left|right|both)$", re.I)


class CheckLine(Value):
    """What was found on one sheep; None for what was not looked at. `signs` are the five-point signs found (jaw, nose,
    back, tail).
    """

    sheep: str
    condition: float | None = None
    eyelid: int | None = None
    dag: int | None = None
    udder: str | None = None
    udder_side: str | None = None
    feet: str | None = None
    mouth: str | None = None
    temperature: Temperature | None = None
    weight: Weight | None = None
    signs: tuple[str, ...] = ()
    scrotal: Amount | None = None
    remark: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `C230 bcs 2.5, eyelid 3, udder lump left, feet ok, mouth broken, dag 2, 39.2 C`; parts stand between
    commas.
    """
    start = opening(text)
    if start is None:
        return LineReading(remark=True)
    if two := second_sheep(start):
        return LineReading(faults=(two,))
    line, faults, place = CheckLine(start.sheep), [], start.start
    for number, part in enumerate(FINDINGS_APART.split(text[start.start :])):
        alone = eyelid_alone(line, part, context) if number == 0 else None
        outcome = alone or check_taken(line, part.strip(), context)
        if PERHAPS_WARM.fullmatch(part.strip()) and not isinstance(outcome, Fault):
            faults.append(warm_asked(part, place))
        elif not isinstance(outcome, Fault) and outcome.temperature is not line.temperature:
            faults += warmth_asked(outcome.temperature, part, place)
        if isinstance(outcome, Fault):
            shift = place + len(part) - len(part.lstrip())
            faults.append(replace(outcome, start=shift + outcome.start, length=outcome.length or len(part.strip())))
        else:
            line = outcome
        place += len(part) + 1
    return LineReading(value=line, faults=tuple(faults))


def eyelid_alone(line: CheckLine, part: str, context: Context) -> CheckLine | None:
    """In a note that is called after the eyelid chart a figure of its scale by itself is the eyelid."""
    match = SCORE_ALONE.match(part) if EYELID_NOTE.search(context.called) else None
    if match is None:
        return None
    return replace(line, eyelid=int(match["score"]), remark=two_remarks(line.remark, match["rest"].strip()))


def warm_asked(part: str, place: int) -> Fault:
    """The question about a bare figure that is taken for a temperature, and could be a weight."""
    typed = part.strip()
    unit = "C" if float(typed) < HIGHEST_C else "F"
    cure = f"write `{typed} {unit}`, or its unit behind it if it is a weight; or add `sure: yes` to the note"
    start = place + len(part) - len(part.lstrip())
    return Fault(f"`{typed}` is taken for a temperature", cure, start, len(typed), Grade.ASK)


def warmth_asked(value: Temperature | None, part: str, place: int) -> list[Fault]:
    """The question about a temperature that no living sheep has."""
    if value is None or TEMPERATURE_BAND.low <= value.celsius <= TEMPERATURE_BAND.high:
        return []
    start, typed = place + len(part) - len(part.lstrip()), part.strip()
    cure = "correct it, or add `sure: yes` to the note"
    return [Fault(f"`{typed}` is unusual here", cure, start, len(typed), Grade.ASK)]


def check_taken(line: CheckLine, part: str, context: Context) -> CheckLine | Fault:
    """One part of a line."""
    if sign := next((name for name, words in SIGNS_SAID.items() if words.match(part)), ""):
        return replace(line, signs=(*line.signs, sign), remark=two_remarks(line.remark, part))
    if match := LOOKED_PART.fullmatch(part):
        outcome = worded(line, match["word"].lower(), match["value"], context)
        longer = len(match["gap"]) - 1
        return replace(outcome, start=outcome.start + longer) if longer and isinstance(outcome, Fault) else outcome
    if DEGREES_TOLD.fullmatch(part) or (PERHAPS_WARM.fullmatch(part) and line.temperature is None):
        typed = TYPED_WARMTH.sub("", part)
        value = TEMPERATURE.read(typed, context)
        return value if isinstance(value, Fault) else replace(line, temperature=value)
    if WEIGHT_TOLD.fullmatch(part):
        weight = WEIGHT.read(WEIGHT_WORD.sub("", part), context)
        return weight if isinstance(weight, Fault) else replace(line, weight=weight)
    if part.lower().split(" ")[0] in BODY_SIGNS:
        return replace(line, signs=(*line.signs, part.lower().split(" ")[0]), remark=two_remarks(line.remark, part))
    if SWOLLEN_JAW.search(part) and not NO_SIGN.search(part):
        return replace(line, signs=(*line.signs, "jaw"), remark=two_remarks(line.remark, part))
    if LEFT_OVER.fullmatch(part):
        return Fault(f"`{clipped(part)}` is not understood", NOT_READ)
    return replace(line, remark=two_remarks(line.remark, part))


def worded(line: CheckLine, word: str, typed: str, context: Context) -> CheckLine | Fault:
    """A part that begins with what was looked at."""
    looked = BY_WORD[word]
    if looked.score is not None:
        value = looked.score.read(typed, context)
        if isinstance(value, Fault):
            return replace(value, start=len(word) + 1 + value.start)
        kept: dict[str, Any] = {looked.field: int(value) if looked.score.step == 1 else value}
        return replace(line, **kept)
    if looked.field == "udder":
        side = re.search(r"\b(left|right|both)\b", typed, re.I)
        state = next((item for item in UDDERS if re.search(rf"\b{item}", typed, re.I)), typed)
        return replace(line, udder="normal" if state == "ok" else state, udder_side=side[1].lower() if side else None)
    if looked.girth:
        girth = girth_read(typed, context)
        if isinstance(girth, Fault):
            return replace(girth, start=len(word) + 1 + girth.start)
        return replace(line, scrotal=girth)
    said: dict[str, Any] = {looked.field: typed.strip().lower()}
    return replace(line, **said)


INCH_MARK = re.compile(r"\s*(?:[\"”″]|'')$")


def girth_read(typed: str, context: Context) -> Amount | Fault:
    """The girth of a ram's scrotum in centimetres; what no ram has is refused."""
    girth = GIRTH.read(INCH_MARK.sub(" in", typed), context)
    if isinstance(girth, Fault):
        return Fault(girth.message.replace("a height", "a girth"), HOW_GIRTH, girth.start, girth.length)
    low, high = GIRTHS
    return girth if low <= girth.amount <= high else Fault(f"`{clipped(typed)}` cannot be a ram's", HOW_GIRTH)


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a sheep: its first part, of three words at most, names what was
    looked at; behind a name that is a figure or one of the usual words.
    """
    start = opening(text)
    if start is None or not is_like_a_sheep(start.sheep):
        return False
    part = FINDINGS_APART.split(text[start.start :])[0].strip()
    bare = CheckLine(start.sheep)
    outcome = eyelid_alone(bare, part, context) or check_taken(bare, part, context)
    told = outcome != CheckLine(start.sheep, remark=part) and len(part.split()) <= MOST_PLAIN_WORDS
    return told and bool(re.search(r"\d", start.sheep) or USUAL_FINDING.search(part))


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """A table row whose headings are the words of a line: sheep, bcs, eyelid, udder, feet, mouth, dag, temp, kg or lb,
    note.
    """
    sheep = cells.get("sheep", "").strip()
    if not sheep:
        return LineReading(remark=True)
    parts = [
        f"{name} {cells[name].strip()}"
        for one in LOOKED
        for name in dict.fromkeys((one.typed[0], one.field, *one.typed))
        if cells.get(name, "").strip()
    ]
    parts += [f"temp {cells[name].strip()}" for name in ("temp", "temperature") if cells.get(name, "").strip()]
    parts += [f"{cells[unit].strip()} {unit}" for unit in ("kg", "lb") if cells.get(unit, "").strip()]
    parts += [cells["note"].strip()] if cells.get("note", "").strip() else []
    reading = read(f"{sheep}, {', '.join(parts)}", context)
    return replace(reading, value=replace(reading.value, sheep=sheep)) if reading.value is not None else reading


def two_remarks(one: str, other: str) -> str:
    """Two remarks."""
    return ", ".join(part for part in (one, other) if part)
