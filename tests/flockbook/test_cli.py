"""Every command as it is typed: what it prints, its exit status, and that the README's table is the truth."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from datetime import UTC, datetime, tzinfo
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from flockbook.cli.main import COMMANDS, main

ROOT = Path(__file__).parents[2]
DEMO, SLIPS = ROOT / "site_demo", ROOT / "tests" / "slips"
ON = ("--on", "2026-11-25")
EWE = "---\nnote: ewe\nborn: 2021\n---\n"
DRENCH = "---\nnote: medicine\nname: drench\nmeat withdrawal: 28 days\nmilk withdrawal: none\n---\n"
DOSED = "---\nsheep: Bramble\nmedicine: drench\ndose: 2 ml\ngiven: 2026-06-02 08:00\n---\n"


def run(*words: object, cwd: Path | None = None) -> Result:
    """One command in this process."""
    before = Path.cwd()
    os.chdir(cwd or before)
    try:
        return CliRunner().invoke(main, [str(word) for word in words])
    finally:
        os.chdir(before)


def folder(place: Path, **more: str) -> Path:
    """A small flock on disk: two ewes, one of them dosed on 2 June 2026 with 28 days to wait."""
    files = {
        "flock.yaml": "flock: Corrie Hask\n",
        "sheep/C214 Bramble.md": EWE,
        "sheep/C230 Teasel.md": EWE,
        "medicines/drench.md": DRENCH,
        "events/2026/2026-06-02 treatment foot.md": DOSED,
        **more,
    }
    for path, text in files.items():
        (place / path).parent.mkdir(parents=True, exist_ok=True)
        (place / path).write_text(text, encoding="utf-8")
    return place


def book_bytes(book: Path) -> dict[Path, bytes]:
    """Every file of a book."""
    return {path.relative_to(book): path.read_bytes() for path in book.rglob("*") if path.is_file()}


def walk(command: click.Command, words: tuple[str, ...] = ()) -> dict[str, click.Command]:
    """Every command that does something, by the words that call it."""
    if isinstance(command, click.Group):
        context = click.Context(command)
        found: dict[str, click.Command] = {}
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            assert below is not None
            found |= walk(below, (*words, name))
        return found
    return {" ".join(words): command}


def table() -> dict[str, set[str]]:
    """Command → options, as the README's table has them."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `flockbook ([a-z]+(?: [a-z]+)?)([^`]*)` \|", text, re.M)
    return {name: set(re.findall(r"--[a-z-]+", rest)) for name, rest in rows}


def test_the_readme_names_every_command() -> None:
    """No command is missing from the README's table, and none stands there that is not made."""
    assert set(table()) == set(walk(main))
    assert set(COMMANDS) == {name.split(" ")[0] for name in walk(main)}


@pytest.mark.parametrize("name", sorted(walk(main)))
def test_the_readme_names_only_options_that_are(name: str) -> None:
    """Every option of the table is taken by its command."""
    taken = {word for option in walk(main)[name].params for word in option.opts}
    assert table()[name] <= taken


@pytest.mark.parametrize("name", ["", *sorted(walk(main))])
def test_each_command_has_help(name: str) -> None:
    """`--help` ends with status 0 and says how to call the command."""
    result = run(*name.split(), "--help")
    assert result.exit_code == 0
    assert "Usage:" in result.output


def test_help_is_light() -> None:
    """`--help` and the list of commands load no template engine, no YAML, no Markdown and no charts."""
    code = (
        "import sys\nfrom flockbook.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "print([name for name in ('jinja2', 'yaml', 'markdown_it', 'plotly', 'numpy', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip().splitlines()[-1] == "[]"


def test_begin_lays_out_a_folder_that_proofs_clean(tmp_path: Path) -> None:
    """A folder fresh from `begin` has no message; a second `begin` there touches nothing and ends with status 2."""
    place = tmp_path / "flock"
    assert run("begin", place).exit_code == 0
    proofed = run("proof", place, "--format", "json")
    assert proofed.exit_code == 0
    assert json.loads(proofed.output) in ([], {"diagnostics": []}) or '"grade"' not in proofed.output
    assert run("compile", place).exit_code == 0
    before = {path: path.read_bytes() for path in place.rglob("*") if path.is_file()}
    again = run("begin", place)
    assert again.exit_code == 2
    assert "not an empty folder" in again.output
    assert {path: path.read_bytes() for path in place.rglob("*") if path.is_file()} == before


def test_proof_has_a_status(tmp_path: Path) -> None:
    """0 for clean notes, 1 where there are errors, 2 where there is no folder."""
    assert run("proof", DEMO, *ON).exit_code == 0
    assert run("proof", SLIPS, "--on", "2026-08-31").exit_code == 1
    assert run("proof", tmp_path / "nowhere").exit_code == 2
    assert run("proof", DEMO, "--on", "yesterday").exit_code == 2


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1989-12-31", "2200-01-01T00:00"])
def test_a_day_too_far_away_is_refused(day: str) -> None:
    """No flock book speaks of such a day: what was typed is a slip, and the message says which days there are."""
    result = run("proof", DEMO, "--on", day)
    assert result.exit_code == 2
    assert "1990-01-01" in result.output
    assert "Traceback" not in result.output


@pytest.mark.parametrize("day", ["1990-01-01", "2199-12-31T23:59"])
def test_the_first_and_the_last_day_of_a_book(tmp_path: Path, day: str) -> None:
    """On the outermost days every page is made."""
    notes = folder(tmp_path / "notes")
    result = run("compile", notes, "--to", tmp_path / "book", "--on", day)
    assert result.exit_code in (0, 1)
    assert "B90" not in result.output


@pytest.mark.parametrize("form", ["full", "short", "json", "github"])
def test_proof_in_every_format(form: str) -> None:
    """Each format names the note, and JSON can be read by a program."""
    result = run("proof", SLIPS, "--on", "2026-08-31", "--format", form, "--no-color")
    assert result.exit_code == 1
    assert "2026-06-03 0800 treatment Floss.md" in result.output
    if form == "json":
        assert json.loads(result.stdout)


def test_proof_of_what_is_staged(tmp_path: Path) -> None:
    """`--staged` shows only what git is about to commit; where there is no git it says so."""
    place = folder(tmp_path, **{"events/2026/2026-06-03 remark Nobody.md": "---\nsheep: Nobody\n---\n"})
    assert run("proof", place, "--on", "2026-06-10").exit_code == 1
    subprocess.run(["git", "init", "-q", str(place)], check=True)
    assert run("proof", place, "--staged", "--on", "2026-06-10").exit_code == 0
    subprocess.run(["git", "-C", str(place), "add", "."], check=True)
    assert run("proof", place, "--staged", "--on", "2026-06-10").exit_code == 1


def test_a_second_compile_writes_nothing(tmp_path: Path) -> None:
    """The first compile writes the book and says where; the second changes no file."""
    place = folder(tmp_path / "notes")
    first = run("compile", place, "--to", tmp_path / "book", "--on", "2026-06-10")
    assert first.exit_code == 0
    assert str(tmp_path / "book" / "index.html") in first.output
    when = {path: path.stat().st_mtime_ns for path in (tmp_path / "book").rglob("*.html")}
    second = run("compile", place, "--to", tmp_path / "book", "--on", "2026-06-10")
    assert "wrote 0 of" in second.output
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "book").rglob("*.html")} == when


def test_compile_makes_the_book_of_notes_with_errors(tmp_path: Path) -> None:
    """Errors never stop the book: it is made, and the status is 1."""
    result = run("compile", SLIPS, "--to", tmp_path / "book", "--on", "2026-08-31")
    assert result.exit_code == 1
    assert (tmp_path / "book" / "index.html").is_file()


def test_compile_refuses_the_notes_themselves(tmp_path: Path) -> None:
    """A book written over the notes is refused with status 2, and the notes stay as they are."""
    place = folder(tmp_path)
    before = {path: path.read_bytes() for path in place.rglob("*") if path.is_file()}
    result = run("compile", place, "--to", place, "--on", "2026-06-10")
    assert result.exit_code == 2
    assert {path: path.read_bytes() for path in place.rglob("*") if path.is_file()} == before


def test_same_bytes_elsewhere(tmp_path: Path) -> None:
    """Tokyo's clock, a plain locale and another hash seed give the same book, byte for byte."""
    place = folder(tmp_path / "notes")
    assert run("compile", place, "--to", tmp_path / "here", "--on", "2026-06-10").exit_code == 0
    command = [
        sys.executable,
        "-m",
        "flockbook",
        "compile",
        str(place),
        "--to",
        str(tmp_path / "there"),
        "--on",
        "2026-06-10",
    ]
    abroad = {**os.environ, "TZ": "Asia/Tokyo", "LC_ALL": "C", "PYTHONHASHSEED": "7", "PYTHONPATH": str(ROOT)}
    subprocess.run(command, env=abroad, check=True, capture_output=True)
    here, there = book_bytes(tmp_path / "here"), book_bytes(tmp_path / "there")
    assert [path for path in here.keys() | there.keys() if here.get(path) != there.get(path)] == []


def test_due_prints_a_list(tmp_path: Path) -> None:
    """The ewe, her most likely day and the basis; or that no ewe is due."""
    joined = {
        "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
        "events/2025/2025-10-15 joining.md": "---\nrams: Sexton\newes: Bramble\nmethod: hand\n---\n",
    }
    result = run("due", folder(tmp_path, **joined), "--on", "2025-12-01")
    assert result.exit_code == 0
    assert re.search(r"C214 Bramble\s+11 Mar 2026.*service", result.output)
    (tmp_path / "events/2025/2025-10-15 joining.md").unlink()
    assert "no ewe is due" in run("due", tmp_path, "--on", "2025-12-01").output


def test_clear_has_a_status(tmp_path: Path) -> None:
    """1 while any named sheep is held or unknown, with the reason; 0 when all are clear; an unknown name is not."""
    place = folder(tmp_path)
    held = run("clear", "Bramble", "--folder", place, "--on", "2026-06-10")
    assert held.exit_code == 1
    assert "C214 Bramble: NOT CLEAR until 30 Jun 2026" in held.output
    assert "2026-06-02 treatment foot.md" in held.output
    assert run("clear", "--folder", place, "--on", "2026-06-10").exit_code == 1
    free = run("clear", "teasel", "--folder", place, "--on", "2026-06-10")
    assert (free.exit_code, "C230 Teasel: clear" in free.output) == (0, True)
    assert run("clear", "--folder", place, "--on", "2026-07-10").exit_code == 0
    nobody = run("clear", "Fern", "--folder", place, "--on", "2026-06-10")
    assert (nobody.exit_code, "UNKNOWN" in nobody.output) == (1, True)
    assert "did you mean" not in nobody.output
    near = run("clear", "Brambel", "c23", "--folder", place, "--on", "2026-06-10").output
    assert "Brambel: UNKNOWN - no living sheep of that tag or name; did you mean Bramble (C214)?" in near
    assert "c23: UNKNOWN - no living sheep of that tag or name; did you mean Teasel (C230)?" in near


class StoppedClock(datetime):
    """A clock that stands at one instant, wherever it is read."""

    instant = datetime(2026, 6, 30, 23, 30, tzinfo=UTC)

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> StoppedClock:
        """That instant by a zone's clock, or by the machine's."""
        local = cls.instant.astimezone(tz)
        return cls.combine(local.date(), local.time(), local.tzinfo)


@pytest.mark.parametrize(
    ("instant", "machine", "state"),
    [
        ("2026-06-30T23:30", "America/New_York", "clear"),  # half past midnight on 1 July in London
        ("2026-06-30T12:30", "Pacific/Auckland", "NOT CLEAR"),  # half past midnight there, the eve in London
        ("2026-06-30T22:59", "UTC", "NOT CLEAR"),
        ("2026-06-30T23:00", "UTC", "clear"),
    ],
)
def test_now_is_by_the_flocks_own_clock(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, instant: str, machine: str, state: str
) -> None:
    """28 days from 2 June without a time: clear from 1 July (W2), when that day begins where the flock is (London is an
    hour before UTC in summer), whatever zone the machine stands in.
    """
    given = {
        "flock.yaml": "flock: Corrie Hask\ntimezone: Europe/London\n",
        "events/2026/2026-06-02 treatment foot.md": DOSED.replace(" 08:00", ""),
    }
    place = folder(tmp_path, **given)
    monkeypatch.setattr(StoppedClock, "instant", datetime.fromisoformat(instant).replace(tzinfo=UTC))
    monkeypatch.setattr("flockbook.cli.options.datetime", StoppedClock)
    with monkeypatch.context() as abroad:
        abroad.setenv("TZ", machine)
        time.tzset()
        printed = run("clear", "Bramble", "--folder", place).output
    time.tzset()
    assert re.search(rf"^C214 Bramble: {state}", printed, re.M)


def test_clear_before_a_later_sale(tmp_path: Path) -> None:
    """On a day before she was sold a ewe is still there, and her state is shown."""
    sold = {"events/2026/2026-08-01 sale Bramble.md": "---\nuse: slaughter\n---\n"}
    result = run("clear", "Bramble", "--folder", folder(tmp_path, **sold), "--on", "2026-06-10")
    assert "C214 Bramble: NOT CLEAR" in result.output
    assert result.exit_code == 1


def test_why() -> None:
    """By code, by name, or the whole list; an unknown code is status 2."""
    assert "unknown-sheep" in run("why", "l201").output
    assert run("why", "unknown-sheep").output == run("why", "L201").output
    assert len(run("why").output.splitlines()) > 60
    assert run("why", "Z999").exit_code == 2


def test_kinds() -> None:
    """The list, the fields of one, a blank note, a JSON Schema; an unknown kind is status 2."""
    assert "lambing" in run("kinds").output
    assert "waters" in run("kinds", "lambing").output
    assert "note: lambing" in run("kinds", "lambing", "--blank").output
    assert json.loads(run("kinds", "lambing", "--schema").output)["properties"]["ewe"]
    assert run("kinds", "lambign").exit_code == 2


KEYS = """format version on flock sheep due forecast labours lambings colostrum clearance doses illness egg_counts
growth kinship pairing merit seasons compare paddocks money supplies reminders register counts reasons diagnostics"""


def test_handover_facts(tmp_path: Path) -> None:
    """One JSON object with every key, the clear sheep among the cleared, and null for what is not known."""
    place = folder(tmp_path / "notes")
    result = run("handover", "facts", place, "--on", "2026-06-10", "--to", tmp_path / "facts.json")
    assert result.exit_code == 0
    text = (tmp_path / "facts.json").read_text(encoding="utf-8")
    assert run("handover", "facts", place, "--on", "2026-06-10").stdout == text
    facts = json.loads(text, parse_constant=pytest.fail)
    assert set(KEYS.split()) <= set(facts)
    assert (facts["format"], facts["version"], facts["on"], facts["flock"]) == (
        "flockbook-facts",
        1,
        "2026-06-10",
        "Corrie Hask",
    )
    states = {row["sheep"]: (row["meat"]["state"], row["meat"]["until"]) for row in facts["clearance"]}
    assert states == {"C214": ("held", "2026-06-30T08:00"), "C230": ("clear", None)}
    assert "unknown" not in json.dumps(facts["sheep"])
    assert run("handover", "facts", SLIPS, "--on", "2026-08-31").exit_code == 1


def test_a_word_that_is_no_command() -> None:
    """It is refused with status 2."""
    assert run("sell").exit_code == 2


def test_handover_facts_tells_how_pairs_are_related() -> None:
    """`--pairs A,B C,D`: a ewe and her daughter 0.5 (Wright), a sheep the book has never heard of null."""
    result = run("handover", "facts", DEMO, *ON, "--pairs", "C214,C214 C214,NOBODY")
    assert result.exit_code == 0
    assert json.loads(result.output)["kinship"] == [
        {"a": "C214", "b": "C214", "relationship": 1.0}, {"a": "C214", "b": "NOBODY", "relationship": None},
    ]  # fmt: skip
    sheep = json.loads(result.output)["sheep"]
    one = next(item for item in sheep if item["dam"] and item["inbreeding"] == 0)
    told = run("handover", "facts", DEMO, *ON, "--pairs", f"{one['id']},{one['dam']}")
    assert json.loads(told.output)["kinship"][0]["relationship"] >= 0.5
