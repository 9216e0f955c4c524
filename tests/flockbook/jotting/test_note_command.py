"""`flockbook note`: what is typed at the command line becomes a note that the book reads, or nothing at all."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from compiler.book import Moment
from compiler.build import proof
from flockbook.book import BOOK
from flockbook.cli.main import main
from flockbook.seen import Seen
from tests.flockbook.small import meat, moment

EWE = "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n"
NOTES = {
    "flock.yaml": "flock: Corrie Hask\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/R7 Harrow.md": "---\nnote: ram\nborn: 2022-04\n---\n",
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
    "events/2025/2025-11-20 joining Harrow.md": "---\nrams: Harrow\newes: Bramble\nout: 2025-12-10\n---\n",
    "events/2026/2026-03-01 remark frost.md": "Hard frost.\n",
}
ON = ("--on", "2026-04-19T03:40")


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """A small flock on disk."""
    for path, text in NOTES.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    return tmp_path


def typed(folder: Path, *words: str, on: tuple[str, str] = ON, given: str | None = None) -> Result:
    """The command, as typed in a shell."""
    return CliRunner().invoke(main, ["note", *words, "--folder", str(folder), *on], input=given)


def read(folder: Path, on: str = "2026-04-20") -> Seen:
    """What the book says of the folder."""
    today: Moment = moment(on)
    return proof(folder, BOOK, today)


def files(folder: Path) -> dict[str, str]:
    """All notes, path by path."""
    return {str(path.relative_to(folder)): path.read_text() for path in folder.rglob("*") if path.is_file()}


def test_a_lambing_is_named_filled_and_read_by_the_book(notes: Path) -> None:
    """The command of the design becomes a note with both lambs, the ram she was with alone, and her day and time."""
    done = typed(notes, "lambing", "Bramble", "ewe 4.1 tag 731", "ram 4.6 tag 732 assisted one leg back")
    assert done.exit_code == 0, done.output
    path = "events/2026/2026-04-19 0340 lambing Bramble.md"
    assert done.output.strip() == str(notes / path)
    assert (notes / path).read_text() == (
        "---\nnote: lambing\ndate: 2026-04-19\ntime: 03:40\newe: Bramble\nsire: R7\n---\n"
        "- ewe 4.1 tag 731\n- ram 4.6 tag 732 assisted one leg back\n"
    )
    seen = read(notes)
    lambs = {one.tag: one for one in seen.linked.animals.values() if one.dam == "C214"}
    assert set(lambs) == {"731", "732"}
    assert lambs["732"].birth is not None
    assert lambs["732"].birth.line.lay == "one leg back"


def test_a_treatment_holds_her_and_no_dose_is_filled_in(notes: Path) -> None:
    """What was typed is written and nothing more; the ewe is held for the 28 days of the label (19 April + 28 days)."""
    done = typed(notes, "treatment", "Bramble", "medicine=example drench", "dose=6 ml", "Near hind.")
    assert done.exit_code == 0, done.output
    # Without a zone an hour more: clocks go forward somewhere between the dose and its end.
    assert meat(read(notes), "C214") == "held 2026-05-17T04:40"
    again = typed(notes, "treatment", "Teasel", "medicine=example drench", "--anyway")
    assert "dose" not in Path(again.output.split("\n")[-2]).read_text()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("treatment", "Brambel", "medicine=example drench", "dose=6 ml"), "did you mean `Bramble` (C214)?"),
        (("lambing", "Bramble", "ewe 41 kg"), "a lamb of 41 kg would be unusual"),
        (("lambing", "Bramble", "ewe 4.1 tag C230"), "tag `C230` is already worn"),
        (("lambign", "Bramble"), "there is no kind of note called 'lambign'"),
        (("treatment", "Bramble", "medcine=example drench"), "did you mean `medicine`?"),
        (("remark", "Bramble", "two\nlines"), "holds signs that no line may have"),
    ],
)
def test_what_proof_would_mend_is_shown_and_not_written(notes: Path, words: tuple[str, ...], said: str) -> None:
    """The same words that proof would say of the note stand there, and the folder is as it was."""
    before = files(notes)
    done = typed(notes, *words)
    assert done.exit_code in (1, 2)
    assert said in done.output
    assert files(notes) == before


def test_trouble_that_was_there_before_is_no_hindrance(notes: Path) -> None:
    """Only what the new note itself causes stops it: an old error elsewhere does not."""
    (notes / "events/2026/2026-03-02 remark.md").write_text("---\nsheep: Nobody\n---\n")
    assert typed(notes, "remark", "Bramble", "Limping on the near fore.").exit_code == 0


def test_anyway_writes_and_says_what_is_wrong(notes: Path) -> None:
    """A note that must stand goes in with `--anyway`; the message is told all the same, and the status is 1."""
    done = typed(notes, "lambing", "Bramble", "ewe 41 kg", "--anyway")
    assert done.exit_code == 1
    assert "would be unusual" in done.output
    assert "ewe 41 kg" in files(notes)["events/2026/2026-04-19 0340 lambing Bramble.md"]


def test_nothing_is_overwritten_not_even_by_case(notes: Path) -> None:
    """A note of that name stands already, with other capitals: the new one takes the next free name."""
    taken = notes / "events/2026/2026-04-19 0340 REMARK bramble.md"
    taken.write_text("Mine.\n")
    done = typed(notes, "remark", "Bramble", "Up and sucking.")
    assert done.exit_code == 0, done.output
    assert taken.read_text() == "Mine.\n"
    assert done.output.strip().endswith("2026-04-19 0340 remark Bramble second note.md")
    assert read(notes).linked.named(read(notes).linked.events[-1], "Bramble") == "C214"


def test_a_further_note_of_that_minute_has_a_name_of_its_own(notes: Path) -> None:
    """Where the plain names are taken, one that says nothing but the kind and the day is used."""
    assert typed(notes, "lambing", "Bramble", "ewe 4.1").exit_code == 0
    (notes / "events/2026/2026-04-19 0340 lambing.md").write_text("")
    done = typed(notes, "lambing", "Bramble", "ewe 4.1", "--anyway")
    assert "lambing of 2026-04-19 no 2.md" in done.output


def test_the_folder_s_own_way_of_naming_is_kept(notes: Path) -> None:
    """Hyphens, months as folders and `.txt`, as all notes of this folder have them."""
    (notes / "events/2026/2026-03-01 remark frost.md").unlink()
    (notes / "events/2025/2025-11-20 joining Harrow.md").unlink()
    for day in ("05", "06"):
        place = notes / f"diary/2026/03/2026-03-{day}-remark-frost.txt"
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text("Hard frost.\n")
    done = typed(notes, "remark", "Bramble", "Thin.", on=("--on", "2026-04-19"))
    assert done.output.strip() == str(notes / "diary/2026/04/2026-04-19-remark-Bramble.txt")


def test_lines_come_from_standard_input_too(notes: Path) -> None:
    """`-` takes a line for each line that is piped in, as from a scale."""
    done = typed(notes, "weighing", "-", on=("--on", "2026-08-14"), given="C214 62\nC230 58.5\n")
    assert done.exit_code == 0, done.output
    weights = [line for event in read(notes, "2026-08-20").linked.events for line in getattr(event, "lines", ())]
    assert [(line.sheep, line.weight.kg) for line in weights] == [("C214", 62), ("C230", 58.5)]


def test_a_mob_is_a_mob_and_a_range_of_words_is_one_line(notes: Path) -> None:
    """A word that is a mob fills `mob`; `weighing C214 62` without quotes is one line."""
    moved = typed(notes, "move", "hill", "to=Low Field")
    assert "mob: hill" in Path(moved.output.strip()).read_text()
    assert "C214 62" in Path(typed(notes, "weighing", "C214", "62").output.strip()).read_text()


def test_a_new_ewe_and_a_new_medicine_have_notes_of_their_own(notes: Path) -> None:
    """Undated kinds are named after what they are, and go where their like are."""
    ewe = typed(notes, "ewe", "C255", "Sorrel", "born=2024-04")
    assert ewe.output.strip() == str(notes / "sheep/C255 Sorrel.md")
    assert "C255" in read(notes).linked.animals
    product = ("medicine", "example: pour-on", "meat withdrawal=10 days", "milk withdrawal=none", "source=label")
    other = typed(notes, *product, "checked=2026-01-02")
    assert other.exit_code == 0, other.output
    assert "name: 'example: pour-on'" in Path(other.output.strip()).read_text()
    assert "example: pour-on" in {note.name for notes_ in read(notes).linked.medicines.values() for note in notes_}


def test_the_editor_has_the_last_word(notes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With `--edit` the note goes through the editor, and what comes back is checked and written."""
    editor = notes.parent / "editor.py"
    editor.write_text("import sys\nopen(sys.argv[1], 'a').write('Written in the editor.\\n')\n")
    monkeypatch.setenv("EDITOR", f"{sys.executable} {editor}")
    done = typed(notes, "remark", "Bramble", "--edit")
    assert done.exit_code == 0, done.output
    assert Path(done.output.strip()).read_text().endswith("Written in the editor.\n")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
@pytest.mark.parametrize(
    ("words", "wanted"),
    [(["la"], "lambing"), (["lambing", "Br"], "Bramble"), (["treatment", "med"], "medicine="), (["cull", "R"], "R7")],
)
def test_the_shell_completes(notes: Path, shell: str, words: list[str], wanted: str) -> None:
    """Kinds, fields and living sheep are completed in bash, zsh and fish (click's own protocol, from its handbook)."""
    line = " ".join(["flockbook", "note", *words])
    asked = {"_FLOCKBOOK_COMPLETE": f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": words[-1]}
    if shell != "fish":
        asked["COMP_CWORD"] = str(len(words) + 1)
    code = "from flockbook.cli.main import main; main(prog_name='flockbook')"
    root = str(Path(__file__).parents[3])
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=notes, env={**os.environ, **asked, "PYTHONPATH": root},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert wanted in done.stdout, done.stderr


def test_the_hour_of_typing_is_not_filled_in(notes: Path) -> None:
    """Without `--on` the note is of today and has no time: a dose typed at breakfast may be given at noon."""
    done = CliRunner().invoke(main, ["note", "remark", "Bramble", "Thin.", "--folder", str(notes)])
    assert done.exit_code == 0, done.output
    assert "time:" not in Path(done.output.strip()).read_text()
