"""Every kind of message, raised by a note that has the slip in it: code, place and gist (see `cases/README.md`)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from compiler.diagnostics import Diagnostic
from compiler.shape import Value
from flockbook.book import RULES
from flockbook.settings_reading import read_settings
from tests.flockbook.small import read

CASES = Path(__file__).parent / "cases"
FENCE = re.compile(r"(`{3,})(.*)")
EXPECT = re.compile(r"expect: (\S+) (\d+):(\d+) (.+)")
CODE = re.compile(r"[A-Z]\d{3}")
KNOWN = {rule.code: rule for rule in RULES}

# Messages that no text of a note raises through the stages read here: first letters of the code → why, where tested.
ELSEWHERE = {
    "B9": "faults of the program itself, raised by breaking it (compiler/test_build.py)",
    "C111": "a price beside what was bought (flockbook/year/test_what_was_missed.py)",
    "J103": "an inbox of more than 2,000 lines (flockbook/jotting/test_inbox.py)",
    "N13": "the folder on the disk: rights, sizes, links, folders, lonely tables (compiler/test_folder.py)",
    "N14": "pictures, copied when the book is written (compiler/test_pictures.py)",
    "U109": "egg counts that cannot be (flockbook/test_figures_again.py)",
    "U110": "ketones that cannot be (flockbook/test_figures_again.py)",
    "X1": "what cannot be, each from its note (flockbook/test_figures_again.py)",
    "Y1": "files from which notes are gathered (flockbook/gathering/)",
    "T1": "templates of the theme (compiler/test_templatecheck.py)",
}


class Expected(Value):
    """One message that must be told."""

    code: str
    path: str
    line: int
    column: int
    gist: str


@dataclass
class Case:
    """One case as written: path → text of its files, and what must and must not be told."""

    title: str
    files: dict[str, bytes] = field(default_factory=dict)
    on: str = "2026-06-10"
    expected: list[Expected] = field(default_factory=list)
    never: list[str] = field(default_factory=list)
    unsettled: bool = False

    @property
    def code(self) -> str:
        """The rule that it is about."""
        return self.title.split(" ", 1)[0]

    def told(self) -> tuple[Diagnostic, ...]:
        """All that the stages say of its files; of settings that are not there, what their reader says."""
        missing = read_settings(None)[1] if self.unsettled else ()
        return (*missing, *read(self.files, self.on).diagnostics)


def cases_of(text: str) -> Iterator[Case]:
    """The cases of one file. Raises ValueError where the grammar is broken."""
    common = case = Case("common part")
    path, lines = "", iter(text.split("\n"))
    for line in lines:
        if fence := FENCE.match(line):
            path, data = block(fence[2].strip(), list(inside(lines, fence[1])))
            case.files[path] = data
        elif line.startswith("## "):
            if case is not common:
                yield case
            case, path = Case(line[3:].strip(), dict(common.files), common.on), ""
        else:
            path = instruct(case, line, path)
    yield case


def inside(lines: Iterator[str], fence: str) -> Iterator[str]:
    """The lines up to the end of a fenced block."""
    for line in lines:
        if line.rstrip() == fence:
            return
        yield line
    raise ValueError("a block without an end")


def block(info: str, lines: list[str]) -> tuple[str, bytes]:
    """Path and bytes of a fenced block."""
    word, _, path = info.partition(" ")
    if word not in ("note", "latin-1", "table", "settings") or bool(path) == (word == "settings"):
        raise ValueError(f"no block of ours: {info}")
    text = "".join(f"{line}\n" for line in lines)
    return path or "flock.yaml", text.encode("latin-1" if word == "latin-1" else "utf-8")


def instruct(case: Case, line: str, path: str) -> str:
    """A line that says something of the case; any other is for the reader. Gives the file that is spoken of next."""
    word, _, rest = line.partition(":")
    if word == "about":
        return rest.strip()
    if word == "on":
        case.on = rest.strip()
    elif word == "settings" and rest.strip() == "none":
        case.unsettled = True
    elif word == "never":
        case.never.append(rest.strip())
    elif word == "expect":
        found = EXPECT.fullmatch(line.strip())
        if not found or not path:
            raise ValueError(f"{case.title}: {line}")
        case.expected.append(Expected(found[1], path, int(found[2]), int(found[3]), found[4]))
    return path


ALL = [(file.name, case) for file in sorted(CASES.glob("[a-z]*.md")) for case in cases_of(file.read_text("utf-8"))]
IDS = [f"{name}: {case.title}" for name, case in ALL]


@pytest.mark.parametrize(("name", "case"), ALL, ids=IDS)
def test_a_case_is_told_as_written(name: str, case: Case) -> None:
    """Each expected message is there with its code, place and gist, and no message that the case rules out."""
    told = case.told()
    shown = "\n".join(f"{m.code} {m.span.path}:{m.span.line}:{m.span.column} {m.message} | {m.help}" for m in told)
    for want in case.expected:
        place = (want.code, want.path, want.line, want.column)
        words = [f"{m.message}\n{m.help}" for m in told if (m.code, m.span.path, m.span.line, m.span.column) == place]
        assert any(want.gist in found for found in words), f"{name}: {want} is not among\n{shown}"
    assert not {m.code for m in told} & set(case.never), f"{name}: {case.never}, yet\n{shown}"


@pytest.mark.parametrize(("name", "case"), ALL, ids=IDS)
def test_a_case_is_about_the_rule_it_names(name: str, case: Case) -> None:
    """The heading names a rule of the book, and the case expects it or rules it out."""
    assert CODE.fullmatch(case.code), name
    assert case.code in KNOWN, name
    assert case.code in {want.code for want in case.expected} | set(case.never), name
    assert {want.code for want in case.expected} | set(case.never) <= set(KNOWN), name


def test_every_rule_that_notes_can_break_has_a_case() -> None:
    """No message of the book stands without a note that raises it, but for those of ELSEWHERE."""
    shown = {want.code for _, case in ALL for want in case.expected}
    missing = {code for code in KNOWN if not code.startswith(tuple(ELSEWHERE))} - shown
    assert not missing, sorted(missing)
    assert all(any(code.startswith(letters) for code in KNOWN) for letters in ELSEWHERE), "a reason without a rule"


def test_every_rule_has_a_code_a_name_and_a_reason_of_its_own() -> None:
    """Codes and names are unique, and `why` says something."""
    assert len({rule.code for rule in RULES}) == len(RULES)
    assert len({rule.name for rule in RULES}) == len(RULES)
    assert not [rule.code for rule in RULES if len(rule.why.strip()) < 20 or not CODE.fullmatch(rule.code)]
