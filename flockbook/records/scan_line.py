"""One ewe at scanning: how many lambs, and how far on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from compiler.diagnostics import Grade
from compiler.nearness import did_you_mean
from compiler.schema import Context, Fault, LineReading
from compiler.shape import Value, field
from compiler.source import Span
from flockbook.records.mark_line import COLOURS
from flockbook.records.sheep_line import is_like_a_sheep, opening, second_sheep

LITTERS = {
    "empty": 0, "barren": 0, "dry": 0, "open": 0, "single": 1, "singles": 1, "one": 1, "twin": 2, "twins": 2, "two": 2,
    "triplet": 3, "triplets": 3, "three": 3, "quad": 4, "quads": 4, "quadruplets": 4, "four": 4,
    "quintuplets": 5, "quins": 5, "five": 5, "sextuplets": 6, "six": 6, "septuplets": 7, "seven": 7,
}  # fmt: skip
# Words for a ewe in lamb whose lambs were not counted; and how the same is denied: she is empty.
IN_LAMB = frozenset({"lamb", "pregnant", "preg", "bred", "settled"})
NOT_IN_LAMB = re.compile(
    r"\b(?:(?:not|never|isn['’]?t|wasn['’]?t)(?: yet)? (?:in lamb|pregnant|preg|bred|settled|carrying)"
    r"|(?:un|non[- ]?)(?:bred|pregnant|preg|settled)|no lambs?)\b",
    re.I,
)
DENIED = re.compile(rf"\b(?:no|not|never|isn['’]?t|wasn['’]?t|un)\b[^,;]*\b(?:{'|'.join(sorted(IN_LAMB))})\b", re.I)
MOST_UNASKED = 4  # lambs; five and more are born, and hardly ever counted right (our own line; notes take up to seven)
SCANNED_DAYS = re.compile(r"(?<!\d)(\d{1,3})\s*(?:days?|d)\b", re.I)
# The paint that a ewe got at the scanner's, by which she is sorted later: `red`, `red dot`, `two blue stripes`.
PAINT_SHAPES = "dots?|spots?|marks?|stripes?|bars?|cross|lines?|rings?"
PAINT_SPOTS = "head|neck|poll|shoulders?|rump|hips?|back|loins?|left|right|near|off|side|on|the|of"
PAINT = re.compile(
    rf"(?:\b(?:two|double|three|a|one)\s+)?\b(?:{'|'.join(sorted(COLOURS))})\b(?!\s*(?:faced?|legs?|ewe|nosed?|eared?|ears?))"
    rf"(?:\s+(?:{PAINT_SHAPES}|{PAINT_SPOTS})\b)*",
    re.I,
)
NO_PAINT = re.compile(rf"\b(?!(?:a|one|two|double|three|no|the|with)\b)(?P<word>[a-z]+)\s+(?:{PAINT_SHAPES})\b", re.I)
LIKELY_DAYS = (20, 150)  # days in lamb that a scan can show


class ScanLine(Value):
    """A ewe as named, lambs seen (0 empty, None in lamb but not counted), days in lamb if the scanner said, the paint
    `mark` she got. `also` is the rest of the line with its figures, `remark` without them.
    """

    sheep: str
    lambs: int | None
    days: int | None = None
    mark: str = ""
    remark: str = ""
    also: str = ""
    span: Span = field(default_factory=lambda: Span(""))


def read(text: str, context: Context) -> LineReading:
    """Read `C230 twins`, `C231 empty`, `C214 single, 80 days`."""
    del context
    start = opening(text)
    if start is None:
        return LineReading(remark=True)
    if two := second_sheep(start):
        return LineReading(faults=(two,))
    typed = NOT_IN_LAMB.sub("empty", start.rest)
    seen = re.findall(r"[a-z]+|\d+", typed.lower())
    litters = [LITTERS[word] for word in seen if word in LITTERS]
    in_lamb = not (IN_LAMB.isdisjoint(seen) or DENIED.search(typed))
    bare = None if litters else re.match(r"([0-7])(?!\d)(?!\s*d)", typed)
    if bare:
        litters = [int(bare[1])]
    if len(set(litters)) != 1 and not in_lamb:
        what = "this line does not say what was seen" if not litters else "this line says two things"
        return LineReading(
            faults=(Fault(what, "write `C230 twins`, `C231 empty` or `C214 single, 80 days`", start.start),)
        )
    age = SCANNED_DAYS.search(typed)
    days = int(age[1]) if age else None
    if days is not None and not LIKELY_DAYS[0] <= days <= LIKELY_DAYS[1]:
        return LineReading(faults=(Fault(f"{days} days in lamb cannot be", "write the days since she was served"),))
    rest = SCANNED_DAYS.sub("", typed)
    rest, mark = paint_taken(rest[bare.end() :] if bare else rest)
    words = [word for word in re.split(r"[\s,]+", rest) if word and word.lower() not in LITTERS]
    remark = " ".join(word for word in words if not word.isdigit())
    line = ScanLine(start.sheep, litters[0] if litters else None, days, mark, remark, " ".join(words))
    faults = (*many_asked(line, start.start), *left_over(words, text), *no_paint(" ".join(words), text))
    return LineReading(value=line, faults=faults)


def paint_taken(rest: str) -> tuple[str, str]:
    """A line without its paint marks, and these in one text, small and single-spaced."""
    marks = [" ".join(match[0].lower().split()) for match in PAINT.finditer(rest)]
    return PAINT.sub(" ", rest) if marks else rest, ", ".join(dict.fromkeys(marks))


def no_paint(rest: str, text: str) -> Iterator[Fault]:
    """`bleu dot`: the shape of a mark without a colour that anybody knows."""
    match = NO_PAINT.search(rest)
    if match is None:
        return
    cure = f"{did_you_mean(match['word'].lower(), COLOURS, slips=2)}write the colour, as in `C230 twins, red dot`"
    place = max(text.lower().find(match["word"].lower()), 0)
    yield Fault(f"`{match[0]}` is no paint mark that can be sorted by", cure, place, len(match[0]), Grade.ASK)


def many_asked(line: ScanLine, start: int) -> Iterator[Fault]:
    """The question about a litter of more than four."""
    if line.lambs and line.lambs > MOST_UNASKED:
        doubt = f"{line.lambs} lambs in {line.sheep} would be unusual"
        yield Fault(doubt, "correct it, or add `sure: yes` to the note", start, grade=Grade.ASK)


def left_over(words: list[str], text: str) -> Iterator[Fault]:
    """A figure that is no count and no number of days: nobody guesses what it means."""
    for word in words:
        if word.isdigit():
            doubt, place = f"`{word}` is not understood", text.rindex(word)
            yield Fault(doubt, "write `80 days`, or say in words what it is", place, len(word), Grade.ASK)
            return


# What stands beside a count in a line that says nothing else.
BESIDE = COLOURS | IN_LAMB | {
    "in", "lamb", "lambs", "with", "carrying", "pregnant", "at", "about", "and", "day", "days", "d", "dot",
    "spot", "mark", "x",
}  # fmt: skip


def is_plain(text: str, context: Context) -> bool:
    """Whether a line without a dash surely tells of a ewe: a tag and what was seen, or a name and nothing else."""
    start, reading = opening(text), read(text, context)
    if start is None or reading.value is None or not is_like_a_sheep(start.sheep):
        return False
    words = re.findall(r"[a-z]+|\d+", NOT_IN_LAMB.sub("empty", start.rest).lower())
    known = [word in LITTERS or word in BESIDE or word.isdigit() for word in words]
    return all(known) or (bool(known) and known[0] and any(letter.isdigit() for letter in start.sheep))


def read_row(cells: Mapping[str, str], context: Context) -> LineReading:
    """Read a table row: `sheep`, `lambs` (a word or a figure), `days`, `mark`."""
    days, mark = cells.get("days", "").strip(), cells.get("mark", "").strip()
    text = f"{cells.get('sheep', '').strip()} {cells.get('lambs', '').strip()} {days + ' days' if days else ''}"
    return read(f"{text.strip()}{', ' + mark if mark else ''}", context)
