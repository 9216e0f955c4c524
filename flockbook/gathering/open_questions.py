"""What a mapping leaves open, or cannot mean: each question with its answer to type."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from compiler.diagnostics import Diagnostic
from compiler.nearness import did_you_mean
from compiler.shape import replace
from flockbook.gathering.mappings import (
    AS_ABOVE,
    MEANS_NOTHING,
    ONE_FILE,
    REFUSED,
    WAIT_IN_HEADING,
    ColumnUse,
    FileMapping,
    SheetMapping,
    word_line,
)
from flockbook.gathering.targets import (
    DAY_ALONE,
    FATE,
    GATHERED_KINDS,
    IN_FATE,
    MOMENT,
    NO_DOSE,
    NOT_USED,
    OPEN,
    REMARK,
    ROWED,
    Target,
    said_by_each,
    targets_of,
)
from flockbook.trade import EWE

FATE_EXAMPLE = "sold 2025-09-12"


def questions(mapping: FileMapping, one: SheetMapping) -> Iterator[Diagnostic]:
    """What a section leaves open, or cannot mean."""
    if one.kind == OPEN:
        cure = f"write what its rows are, one of {', '.join(GATHERED_KINDS)}, or `{NOT_USED}`"
        yield mapping.told(one.line, f"`as: ?` asks what the rows of {one.sheet or ONE_FILE} are", cure)
    elif one.used:
        yield from open_lines(mapping, one)
        known = targets_of(one.kind)
        for use in one.columns:
            yield from column_questions(mapping, one, use, known)


def open_lines(mapping: FileMapping, one: SheetMapping) -> Iterator[Diagnostic]:
    """The lines of a section that ask."""
    if one.decimal == OPEN:
        yield mapping.told(one.line, "`decimal: ?` asks how 4,1 is meant", "write `decimal: point` or `decimal: comma`")
    mapped = {use.target for use in one.columns} | ({"date"} if any(use.day for use in one.columns) else set())
    for group in said_by_each(one.kind):
        if mapped.isdisjoint(group):
            cure = f"map the column that says it to `{group[0]}`"
            yield mapping.told(one.line, f"no column says {' or '.join(group[:2])}, which each row must say", cure)
    of_notes = [use for use in one.columns if use.target not in (NOT_USED, NO_DOSE, OPEN, REMARK)]
    taken = [(use.target, use.day) for use in of_notes]
    for target, _ in sorted({target for target in taken if taken.count(target) > 1}):
        yield mapping.told(one.line, f"two columns become `{target}`", "make one of them `remark` or `not used`")
    for word in one.words:
        if word.means == OPEN:
            fates = any(use.target == FATE and use.heading == word.heading for use in one.columns)
            keeps = f", or `{REMARK}` to keep the words"
            line = word_line(replace(word, means=FATE_EXAMPLE if fates else EWE))
            cure = f"write such as `{line}`, or `{MEANS_NOTHING}` in its place for nothing{keeps if fates else ''}"
            yield mapping.told(one.line, f"what does `{word.word}` under `{word.heading}` mean?", cure)


def column_asked(one: SheetMapping, use: ColumnUse, known: Mapping[str, Target]) -> tuple[str, str]:
    """What is asked of a column of which nobody knows what it becomes, and how to answer."""
    if one.kind == "weighing":
        cure = "write `weight in lb, on 2025-10-01` with its unit and day, or `not used`"
        return f"{use.called} holds figures, and nothing says whose day they are", cure
    state = "`lamb state`, " if "lamb state" in known else ""
    if FATE in known and known[FATE].part == IN_FATE:
        state = f"`{FATE}` if its cells say who died or was sold and when (each becomes a `death` or `sale` note), "
    cure = f"write what it becomes: {state}`remark`, a field, or `no dose` if no sheep got anything"
    return f"{use.called} may tell of a medicine, or of who died or was sold, and nothing is made of it", cure


def answers_lacking(mapping: FileMapping, one: SheetMapping, use: ColumnUse) -> Iterator[Diagnostic]:
    """What a column leaves open of its days, its blank cells, and its unit."""
    if use.day == OPEN:
        yield mapping.told(one.line, f"{use.called} names no day that is sure", "write its day, as `on 2025-10-01`")
    elif use.day and one.kind not in ROWED:
        cure = f"only the rows of {', '.join(ROWED)} have columns of one day"
        yield mapping.told(one.line, f"{use.called} cannot be `on {use.day}` in a {one.kind} note", cure)
    elif use.day and not {"date", MOMENT, DAY_ALONE}.isdisjoint(each.target for each in one.columns):
        told = f"{use.called} is `on {use.day}`, and another column says the day of each row"
        yield mapping.told(one.line, told, "keep one of them")
    if use.blank == OPEN:
        cure = f"write `blank {AS_ABOVE}` if each means what the row above it says, `blank {REFUSED}` if not"
        yield mapping.told(one.line, f"cells of {use.called} are blank, which each row must say", cure)


def column_questions(
    mapping: FileMapping, one: SheetMapping, use: ColumnUse, known: Mapping[str, Target]
) -> Iterator[Diagnostic]:
    """What a column leaves open, or cannot become."""
    yield from answers_lacking(mapping, one, use)
    if use.target == OPEN:
        yield mapping.told(one.line, *column_asked(one, use, known))
    elif one.kind == "treatment" and use.target in (REMARK, NOT_USED) and WAIT_IN_HEADING.search(use.heading):
        cure = (
            "make it `meat withdrawal in days` or `milk withdrawal in days`; or `no dose`, if your labels say as much"
        )
        yield mapping.told(one.line, f"{use.called} may say how long to wait, and would not be heard", cure)
    elif use.target not in (*known, NOT_USED, NO_DOSE):
        cure = f"{did_you_mean(use.target, known)}write one of: {', '.join(sorted(known))}, {NOT_USED}"
        yield mapping.told(one.line, f"{use.called} cannot become `{use.target}` in a {one.kind} note", cure)
