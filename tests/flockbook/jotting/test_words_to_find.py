"""Words to find: another word leads to its kind, examples proof clean, and every printed command runs."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from flockbook.cli.main import main
from flockbook.jotting.kind_examples import FILLED_EXAMPLES, LOOKED_FOR, kind_meant
from flockbook.records import KINDS
from tests.flockbook.compiled import Compiled
from tests.flockbook.gathering.workbooks import workbook
from tests.flockbook.small import meat, read
from tests.flockbook.test_cli import DEMO, ROOT, run, walk

SAYS_EXAMPLE = re.compile(r"^\s*(?:Such as: )?(flockbook [^\n]+(?:\n {2,}(?!flockbook)[^\n]+)*)", re.M)
FLOCK = {
    path: text
    for kind, (path, text) in FILLED_EXAMPLES.items()
    if kind in ("ewe", "ram", "medicine", "joining", "paddock", "mob")
} | {
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n",
    "events/2026/2026-04-01 0200 lambing Teasel.md": "- ewe 4.1 kg, tag 731\n",
}  # fmt: skip


@pytest.mark.parametrize(
    ("word", "kind"),
    [("worming", "treatment"), ("drench", "treatment"), ("mating", "joining"),
     ("hire", "hire"), ("marking", "job"), ("Docking", "job"),
     ("market", "sale"), ("colostrum", "feeding"), ("lambed", "lambing"), ("egg count", "egg count")],
)  # fmt: skip
def test_another_word_finds_its_kind(word: str, kind: str) -> None:
    """What people look for leads to the kind that holds it; a slip is told with the words near it."""
    assert run("kinds", word).output.startswith((f"{kind} (also ", f"{kind}: "))
    assert "did you mean worming" in run("kinds", "wormin").output
    assert run("kinds", "xyzzy").exit_code == 2


def test_no_word_is_for_two_kinds() -> None:
    """Each word to look for leads to one kind, and a kind's own word always to itself."""
    words = [word for all_words in LOOKED_FOR.values() for word in all_words]
    assert len(words) == len(set(words))
    for kind in KINDS:
        assert kind_meant(kind.name).kind is kind


@pytest.mark.parametrize("kind", [kind.name for kind in KINDS if kind.name in FILLED_EXAMPLES])
def test_each_example_is_a_note_that_the_book_takes(kind: str) -> None:
    """The example that `kinds KIND --example` prints, saved under its name in a small flock, is read as that kind and
    raises neither an error nor a question.
    """
    path, text = FILLED_EXAMPLES[kind]
    shown = run("kinds", kind, "--example").output
    assert shown.startswith(f"{path}:")
    typed = "\n".join(line.removeprefix("    ") for line in shown.split("\n\n")[1:][0].split("\n"))
    assert typed in text
    seen = read({**{other: said for other, said in FLOCK.items() if other != path}, path: text}, "2026-10-30")
    records = [one for one in seen.collection.records if one.origin.path == path]
    assert [one.origin.kind for one in records] == [kind]
    grave = [item.message for item in seen.diagnostics if item.grade in ("error", "ask") and item.span.path == path]
    assert grave == []


def test_the_line_grammar_stands_beside_the_example() -> None:
    """`kinds lambing --example` says how a lamb's line is written and how the same is jotted on one line."""
    shown = run("kinds", "lambing", "--example").output
    assert "one lamb a line" in shown
    assert "jotted on one line in inbox/, with lambed" in shown


@pytest.mark.parametrize(
    ("kind", "fits", "hidden"),
    [("lambing", "ewe", "sheep"), ("money", "amount", "mob"), ("treatment", "dates sure", "jotted"),
     ("remark", "sheep", "dates sure")],
)  # fmt: skip
def test_fields_that_do_not_fit_are_not_shown(kind: str, fits: str, hidden: str) -> None:
    """A birth has no list of sheep, money no mob; what the program fills in itself is not offered."""
    fields = re.findall(r"^  ([a-z -]+?)(?: \*)?:", run("kinds", kind).output, re.M)
    assert fits in fields
    assert hidden not in fields


def test_a_name_with_a_slip_is_told_with_those_near_it() -> None:
    """`clear Brambel` says Bramble; one who is gone is named with what became of her."""
    assert "did you mean Bramble (C214)?" in run("clear", "Brambel", "--folder", DEMO, "--on", "2026-11-25").output
    gone = run("clear", "teasel", "--folder", DEMO, "--on", "2026-11-25").output
    assert "did you mean Teasel (C902), sold 2026-10-06?" in gone


# Help


def examples() -> list[str]:
    """Every command line that a help prints as an example."""
    groups = {"": main, "handover": main.get_command(click.Context(main), "handover")}
    said = [command for command in (*walk(main).values(), *groups.values()) if command]
    texts = [re.sub(r"[\b]", "", command.epilog or "") for command in said]
    return [" ".join(found.split()) for text in texts for found in re.findall(r"flockbook [^\n]+", text)]


def test_every_command_has_an_example() -> None:
    """The help of each command, and of the program, ends with one."""
    assert [name for name, command in walk(main).items() if "flockbook " not in (command.epilog or "")] == []
    assert "who may be sold and who may not yet" in " ".join(run("--help").output.split())
    assert len(examples()) > 14


@pytest.mark.parametrize("line", sorted(line for line in set(examples()) if not line.startswith("flockbook tend")))
def test_every_printed_example_runs(line: str, tmp_path: Path) -> None:
    """Typed in the demo's folder as it is printed, each ends without a traceback; `tend` runs until told."""
    place = tmp_path / "demo"
    shutil.copytree(DEMO, place)
    (place / "ewes.csv").write_text("Tag,Sex,Born\nC951,F,2023\n")
    (place / "old flock.xlsx").write_bytes(workbook({"Ewes": [["Tag", "Born"], ["C951", 2023]]}))
    done = run(*shlex.split(line)[1:], cwd=place)
    assert done.exit_code in (0, 1), done.output
    assert "Traceback" not in done.output
    assert done.exception is None or isinstance(done.exception, SystemExit)


# The README


def readme() -> str:
    """The README."""
    return (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_readme_s_first_notes_make_the_book_that_it_says(tmp_path: Path) -> None:
    """The notes of the ten minutes, saved under their names and compiled on the day it names: the ewe's page has her
    lambs, and she is held until the day that the README says.
    """
    part = readme().split("## Ten minutes")[1].split("\n## ")[0]
    named = re.findall(r"`my-flock/((?:sheep|events|medicines)/[^`]+\.md)`", part)
    blocks = [re.sub(r"(?m)^   ", "", block) for block in re.findall(r"(?s)```\n(.*?)   ```", part)]
    notes = dict(zip(named, blocks, strict=True))
    day = re.search(r"compile my-flock --on (\S+)", part)
    assert day
    made = Compiled({"flock.yaml": "flock: Mine\n", **notes}, day[1], tmp_path)
    assert "731" in made.words("sheep/c214.html")
    until = re.search(r"NOT CLEAR until (\d+ \w+ \d{4})", part)
    assert until
    assert until[0].lower() in made.words("clear-to-sell.html").lower()
    assert meat(read({"flock.yaml": "flock: Mine\n", **notes}, day[1]), "C214").startswith("held")


def commands_of_the_readme() -> list[str]:
    """Every command line that stands in the README by itself or in a sentence."""
    said = re.findall(r"`(?:\.venv/bin/)?(flockbook [^`]+)`", readme().split("## Commands")[0])
    return sorted({line for line in said if "[" not in line and "FOLDER" not in line})


@pytest.mark.parametrize("line", commands_of_the_readme())
def test_commands_of_the_tutorial_are_known(line: str) -> None:
    """Each command of the tutorial is one that there is, with options that it takes."""
    words = shlex.split(line)
    known = walk(main)
    name = " ".join(words[1:3]) if " ".join(words[1:3]) in known else words[1]
    taken = {word for option in known[name].params for word in option.opts}
    assert {word for word in words if word.startswith("--")} <= taken


def test_no_dash_is_said() -> None:
    """What the README says of a lamb without its dash is so: with a sex and a weight it counts all the same."""
    assert "without its dash" in readme()
    lambing = "events/2026/2026-04-19 0340 lambing Bramble.md"
    seen = read({"sheep/C214 Bramble.md": "---\nnote: ewe\n---\n", lambing: "ewe 4.1 kg, tag 731\n"}, "2026-05-01")
    assert "731" in {one.tag for one in seen.linked.animals.values()}
    made: Result = CliRunner().invoke(main, ["kinds", "lambing", "--example"])
    assert "- ewe 4.1 kg, tag 733" in made.output
