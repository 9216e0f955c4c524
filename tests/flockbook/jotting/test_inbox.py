"""The inbox: jotted lines become notes and show in the book; none is lost, filed twice, or frees an animal."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from flockbook.cli import note as note_command
from flockbook.cli.main import main
from flockbook.jotting.filing import inbox_lines, without_lines
from flockbook.seen import Seen
from tests.flockbook.compiled import Compiled
from tests.flockbook.small import meat, moment, read

EWE = "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n"
NOTES = {
    "flock.yaml": "flock: Corrie Hask\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "sheep/C255 Sorrel.md": EWE,
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
}
FILE = "inbox/2026-06-02 yard.txt"
DOSE = "07:00 Bramble treated example drench; 6 ml"
FILED = "---\nsheep: Bramble\nmedicine: example drench\ndose: 6 ml\njotted: 2026-06-02 07:00 Bramble treated example " \
    "drench; 6 ml\n---\n"  # fmt: skip
PATH = "events/2026/2026-06-02 0700 treatment Bramble.md"


def book(*lines: str, **more: str) -> Seen:
    """The book of a flock with these lines in its inbox, eight days later."""
    return read({**NOTES, FILE: "\n".join(lines) + "\n", **more})


def states(seen: Seen) -> list[str]:
    """Where the three ewes stand."""
    return [meat(seen, sheep) for sheep in ("C214", "C230", "C255")]


# Who is clear: the rules V7 and V8 of the design


def test_a_line_that_is_a_dose_holds_whom_it_names_and_nobody_else() -> None:
    """Before it is filed it holds her without an end; filed, it holds her for the label's 28 days (2 to 30 June)."""
    assert states(book(DOSE, "08:00 Teasel lambed ewe 4.1")) == ["unknown", "clear", "clear"]
    filed = book(DOSE, "08:00 Teasel lambed ewe 4.1", **{PATH: FILED.replace("jotted", "time: 07:00\njotted")})
    assert states(filed) == ["held 2026-06-30T07:00", "clear", "clear"]


@pytest.mark.parametrize(
    ("lines", "held"),
    [
        (("07:00 Brambel treated example drench; 6 ml",), "all"),
        (("drenched the lot",), "all"),
        (("2 ml each:", "Bramble", "Teasel"), "all"),
        (("0412 Bramble and Teasel wormed with example drench",), "C214 C230"),
        (("gave Bramble LA",), "C214"),
        (("07:00 Bramble weighed 61; 08:00 jabbed Teasel 2 ml",), "C214 C230"),
        (("07:00 Bramble remark lame, so jabbed her",), "C214"),
        (("2026-06-02 07:00 Teasel ill lameness; 3 ml example drench",), "C230"),
        ((DOSE, "and Teasel"), "C214 C230"),
        ((DOSE, "08:00 Sorrel weighed 61", "Teasel the same"), "C214 C230"),
        (("The following got 2 ml:", "2026-06-02 08:00 Teasel weighed 61"), "all"),
        (("07:00 hill treated example drench; 6 ml",), "all"),
        (("07:00 Bramble treated example drench; 6 ml [a-1]", "strike a-1"), "C214"),
        (("07:00 Bramble treated example drench; 6 ml [a-1]", "07:10 strike a-1 [a-2]"), "C214"),
        (("07:00 Bramble lambed ewe 4.1 tubed 150 ml", "08:00 Teasel fed 150 ml ewe colostrum"), ""),
        (("07:00 Bramble moved to Low Field", "Teasel looking thin"), ""),
    ],
)
def test_every_unfiled_line_that_speaks_of_a_dose_holds(lines: tuple[str, ...], held: str) -> None:
    """Whom it names, else everybody; striking frees nobody, and lines without a dose hold nobody."""
    wanted = {"all": "C214 C230 C255"}.get(held, held).split()
    found = [sheep for sheep, state in zip(("C214", "C230", "C255"), states(book(*lines)), strict=True)
             if state != "clear"]  # fmt: skip
    assert found == wanted


@pytest.mark.parametrize(
    "note",
    [
        FILED.replace("medicine: example drench\ndose: 6 ml\n", "note: remark\n"),
        FILED.replace("6 ml\n---", "7 ml\n---"),
        FILED.replace("---\nsheep", "---\nnote: tretment\nsheep"),
        FILED.replace("jotted: 2026-06-02 07:00 Bramble treated example drench; 6 ml\n", ""),
    ],
)  # fmt: skip
def test_only_a_note_of_that_very_line_and_kind_lets_go_of_it(note: str) -> None:
    """A remark with the same `jotted`, another text, a note that cannot be read: the line goes on holding her."""
    path = PATH.replace("treatment", "remark") if "remark" in note else PATH
    assert meat(book(DOSE, **{path: note}), "C214").startswith("unknown")


def test_where_a_note_came_from_never_names_anybody() -> None:
    """`jotted` may say Teasel: the note is on Bramble, and Teasel is not concerned."""
    note = "---\nsheep: Bramble\nmedicine: example drench\ndose: 6 ml\njotted: 07:00 Teasel dosed 6 ml\n---\n"
    assert states(read({**NOTES, PATH: note})) == ["held 2026-06-30", "clear", "clear"] or meat(
        read({**NOTES, PATH: note}), "C230") == "clear"  # fmt: skip
    remark = "---\nsheep: Bramble\njotted: Teasel jabbed 2 ml\n---\nThin.\n"
    assert states(read({**NOTES, "events/2026/2026-06-02 remark.md": remark})) == ["clear", "clear", "clear"]


def test_an_inbox_that_is_too_full_holds_everybody_where_a_dose_lies_beyond() -> None:
    """Of 2,001 lines the last is not read for itself; it is a dose, so nobody is clear, and the book says why."""
    seen = book(*(["08:00 Teasel remark thin"] * 2000), DOSE)
    assert set(states(seen)) == {"unknown"}
    assert "J103" in {told.code for told in seen.diagnostics}


def test_a_file_of_the_inbox_that_is_a_note_or_no_text_is_held_as_before() -> None:
    """A treatment note dropped there is a note; one named so without a head, or an editor's copy, holds too."""
    assert meat(read({**NOTES, "inbox/2026-06-02 treatment Bramble.md": FILED}), "C214").startswith("held")
    for path in ("inbox/treatment 2 Jun.txt", "inbox/2026-06-02 doses", "inbox/2026-06-02 yard.txt~"):
        assert meat(read({**NOTES, path: f"{DOSE}\n"}), "C214") == "unknown", path


# What proof and the pages say


def test_proof_shows_what_each_line_becomes_or_why_not() -> None:
    """One message for each line: a gap with the note in words, or a question at the place that stands in the way."""
    seen = book("03:40 Bramble lambed ewe 4.1; ram 4.6", "0412 lambed ewe 4", "05:00 Teazel remark thin", DOSE)
    told = {(item.span.line, item.span.column, item.code): item.message for item in seen.diagnostics}
    assert told[1, 1, "J101"] == (
        "this line becomes a lambing note: ewe Bramble; date 2026-06-02; time 03:40; ewe 4.1; ram 4.6"
    )
    assert "time or a tag" in told[2, 1, "J102"]
    assert told[3, 7, "J102"] == "nobody here is called `Teazel`"
    assert (4, 1, "J101") in told
    assert (4, 1, "L217") in told


def test_today_counts_what_is_not_filed(tmp_path: Path) -> None:
    """The front page says how many lines wait, and the problems page says each of them with its place."""
    made = Compiled({**NOTES, FILE: f"08:00 Teasel remark thin\nwhat was this\n{DOSE}\n"}, "2026-06-10", tmp_path)
    assert "3 jotted lines not yet filed" in made.words("index.html")
    problems = made.words("problems.html")
    assert "this line becomes a remark note: sheep Teasel" in problems
    assert f"{FILE}:2:1" in problems
    assert "UNKNOWN" in made.words("clear-to-sell.html")


def test_pictures_of_a_day_and_a_sheep_are_to_write_up() -> None:
    """A picture in the inbox named after both is listed; one without a sheep or a day is not."""
    pictures = ("2026-06-02 Bramble foot.jpg", "gate 2026-06-02.jpg", "Bramble.jpg")
    seen = read({**NOTES, **{f"inbox/{name}": b"\xff\xd8\xff\0" for name in pictures}})
    assert [item.span.path for item in seen.diagnostics if item.code == "J104"] == [f"inbox/{pictures[0]}"]


# Filing


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """The flock on disk."""
    for path, text in NOTES.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    return tmp_path


def jot(folder: Path, *lines: str, path: str = FILE) -> Path:
    """Lines put into the inbox."""
    (folder / path).parent.mkdir(exist_ok=True)
    (folder / path).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder / path


def file_them(folder: Path, *more: str) -> Result:
    """`flockbook note --from-inbox`."""
    return CliRunner().invoke(main, ["note", "--from-inbox", *more, "--folder", str(folder), "--on", "2026-06-10"])


def events(folder: Path) -> dict[str, str]:
    """The event notes on disk."""
    return {path.name: path.read_text() for path in folder.rglob("events/**/*.md")}


def test_the_dry_run_writes_nothing_and_file_files_what_is_understood(notes: Path) -> None:
    """The first run only shows; with `--file` notes stand there, their lines are gone, the others as they were."""
    inbox = jot(notes, "03:40 Bramble lambed ewe 4.1 tag 742; ram 4.6 tag 743 [m-1]", "0412 lambed ewe 4", DOSE,
                "05:00 742 tubed 150 ml; ewe colostrum")  # fmt: skip
    before = inbox.read_bytes()
    shown = file_them(notes)
    assert "3 to file, 1 stay" in shown.output
    assert (inbox.read_bytes(), events(notes)) == (before, {})
    done = file_them(notes, "--file")
    assert "3 filed, 1 stay" in done.output
    assert inbox.read_text() == "0412 lambed ewe 4\n"
    assert events(notes)["2026-06-02 0340 lambing Bramble.md"] == (
        "---\nnote: lambing\newe: Bramble\ndate: 2026-06-02\ntime: 03:40\n"
        "jotted: 2026-06-02 03:40 Bramble lambed ewe 4.1 tag 742; ram 4.6 tag 743 [m-1]\n---\n"
        "- ewe 4.1 tag 742\n- ram 4.6 tag 743\n"
    )
    seen = note_command.findings(notes, moment("2026-06-10"))
    assert meat(seen, "C214") == "held 2026-06-30T07:00"
    assert {one.tag for one in seen.linked.animals.values() if one.dam == "C214"} == {"742", "743"}


def test_a_line_whose_note_would_be_wrong_stays_with_the_reason(notes: Path) -> None:
    """What only the whole flock tells: a tag that is worn, a lamb of 41 kg, a ewe who is nobody; the rest is filed."""
    jot(notes, "03:40 Bramble lambed ewe 4.1 tag C230", "04:00 Teasel lambed ewe 41", "05:00 Sorrel lambed ram 5")
    done = file_them(notes, "--file")
    assert "1 filed, 2 stay" in done.output
    assert "tag `C230` is already worn" in done.output
    assert "would be unusual" in done.output
    assert list(events(notes)) == ["2026-06-02 0500 lambing Sorrel.md"]


def test_a_dose_is_not_filed_while_another_line_may_go_on_with_it(notes: Path) -> None:
    """`and Teasel` below a dose: filing the dose alone would let go of Teasel, so both stay and both are held; a line
    that stands for itself stops nothing.
    """
    inbox = jot(notes, DOSE, "08:00 Sorrel remark thin", "and Teasel")
    assert "1 filed, 2 stay" in file_them(notes, "--file").output
    assert inbox.read_text() == f"{DOSE}\nand Teasel\n"
    seen = note_command.findings(notes, moment("2026-06-10"))
    assert [meat(seen, sheep) for sheep in ("C214", "C230", "C255")] == ["unknown", "unknown", "clear"]
    jot(notes, DOSE, "07:00 Teasel treated example drench; 6 ml", "09:00 Sorrel jumped")
    assert "2 filed, 1 stay" in file_them(notes, "--file").output
    seen = note_command.findings(notes, moment("2026-06-10"))
    assert [meat(seen, sheep).split("T")[0] for sheep in ("C214", "C230")] == ["held 2026-06-30", "held 2026-06-30"]


@pytest.mark.parametrize("sign", list("#:'\"[]{}%@&*!|>\\-?,`~=’“é🐑"))
def test_whatever_signs_a_line_has_its_note_is_known_again(sign: str) -> None:
    """A line with signs that mean something in a head: its note reads back as made from that very line, once."""
    lines = [f"08:00 Teasel remark {words}" for words in (f"a {sign}b", f"a{sign} b", f"{sign}", f"a: {sign} #{sign}'")]
    found = [item for item in inbox_lines(book(*lines)) if item.note]
    assert found
    texts = [item.note.draft.text for item in found if item.note]
    made = {f"events/2026/2026-06-02 0800 remark no {at}.md": text for at, text in enumerate(texts)}
    assert inbox_lines(book(*(item.line.text for item in found), **made)) == ()


def test_killed_between_note_and_line_nothing_is_filed_twice(notes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The note is there and the line too: the next run takes the line out and writes nothing; she is held once."""
    inbox = jot(notes, DOSE, "08:00 Teasel remark thin [m-2]")
    with monkeypatch.context() as patched:
        patched.setattr(note_command, "take_out", lambda *_: (_ for _ in ()).throw(OSError("killed")))
        assert file_them(notes, "--file").exit_code == 2
    written = events(notes)
    assert len(written) == 2
    assert meat(note_command.findings(notes, moment("2026-06-10")), "C214") == "held 2026-06-30T07:00"
    again = file_them(notes, "--file")
    assert "is filed already" in again.output
    assert events(notes) == written
    assert not inbox.exists()


def test_the_same_export_twice_files_nothing_twice(notes: Path) -> None:
    """A tablet gives out all its lines again, and a second one its own: only what is new becomes a note."""
    first = ["2026-06-02 08:00 Teasel remark thin [m-1]", "2026-06-02 08:10 Bramble weighed 61 [m-2]"]
    jot(notes, *first)
    assert file_them(notes, "--file").exit_code == 0
    jot(notes, *first, "2026-06-02 09:00 Sorrel weighed 64 [m-3]", path="inbox/jot (1).txt")
    jot(notes, "2026-06-02 09:00 Sorrel remark up [t-1]", path="inbox/jot-t.txt")
    assert "2 filed, 0 stay" in file_them(notes, "--file").output
    assert len(events(notes)) == 4
    assert list((notes / "inbox").iterdir()) == []


def test_ids_and_texts_that_repeat_are_told_apart(notes: Path) -> None:
    """Same id and text: once. Same id, other text: both stay. Same text without an id: the second stays. A filed id
    with another text stays.
    """
    jot(notes, "08:00 Teasel remark thin [m-1]", "08:00 Teasel remark thin [m-1]", "08:05 Teasel remark up [m-2]",
        "08:05 Sorrel remark up [m-2]", "09:00 Bramble remark lame", "09:00 Bramble remark lame")  # fmt: skip
    done = file_them(notes, "--file")
    assert "2 filed, 3 stay" in done.output
    assert "two different lines bear the id `m-2`" in done.output
    assert "line 5 of" in done.output
    jot(notes, "08:00 Teasel remark fat [m-1]")
    assert "its id is that of a line already filed" in file_them(notes, "--file").output


def test_strike_takes_a_line_out_and_keeps_its_words(notes: Path) -> None:
    """A struck remark is not filed: what it said stands in a remark; given out again, both are known. A struck dose and
    a strike of what is filed stay.
    """
    lines = ["08:00 Teasel weighed 61 [m-1]", "08:05 strike m-1 [m-2]"]
    inbox = jot(notes, *lines)
    assert "1 filed, 0 stay" in file_them(notes, "--file").output
    assert "Struck out, not filed: 08:00 Teasel weighed 61 [m-1]" in events(notes)["2026-06-02 0805 remark.md"]
    jot(notes, *lines)
    assert "0 filed, 0 stay" in file_them(notes, "--file").output
    assert not inbox.exists()
    jot(notes, f"{DOSE} [m-3]", "07:05 strike m-3 [m-4]", "07:06 strike m-9 [m-5]")
    done = file_them(notes, "--file")
    assert "0 filed, 3 stay" in done.output
    assert "striking frees nobody" in done.output
    assert meat(note_command.findings(notes, moment("2026-06-10")), "C214") == "unknown"


def test_an_inbox_that_cannot_be_written_or_changed_meanwhile_loses_nothing(notes: Path) -> None:
    """A line that changed between reading and taking out stays; the rest of the file keeps its bytes and line ends."""
    from flockbook.jotting.inbox_file import strike_lines

    inbox = notes / "inbox.txt"
    inbox.write_bytes(b"\xef\xbb\xbfone\r\ntwo\r\nthree")
    assert not strike_lines(inbox, {2: "zwei"})
    assert strike_lines(inbox, {2: "two"})
    assert inbox.read_bytes() == b"\xef\xbb\xbfone\r\nthree"
    assert without_lines("a\nb\n\nc", {2}) == "a\n\nc"


def test_sixty_weights_of_one_minute_are_sixty_notes(notes: Path) -> None:
    """At the scale the clock stands still: each line has a note of its own all the same."""
    jot(notes, *(f"08:00 {sheep} weighed 6{place}" for place, sheep in enumerate(("Bramble", "Teasel", "Sorrel"))))
    assert "3 filed, 0 stay" in file_them(notes, "--file").output
    assert len(events(notes)) == 3
    assert file_them(notes).exit_code == 0


def generated(count: int, seed: int) -> list[str]:
    """Lines as they are jotted and mistyped, drawn by lot."""
    lot = random.Random(seed)
    ewes = ["Bramble", "C214", "Teasel", "C230", "Sorrel", "Brambel", "hill", "0412", "742"]
    told = ["remark thin", "weighed 61", "weighed sixty", "lambed ewe 4.1", "lambed twins, ewe and ram",
            "moved to Low Field", "treated example drench; 6 ml", "treated exmple drench; 6 ml",
            "fed 150 ml; bottle", "jumped", "dead", "labour", "strike m-7", "ill lameness; near fore"]  # fmt: skip
    lines = []
    for number in range(count):
        clock = f"{lot.randrange(24):02}:{lot.randrange(60):02}" if lot.random() < 0.8 else f"{lot.randrange(2400):04}"
        mark = f" [m-{lot.randrange(count)}]" if lot.random() < 0.5 else ""
        lines.append(f"{clock} {lot.choice(ewes)} {lot.choice(told)}{mark}" if number % 50 else "2026-06-02")
    return lines


def test_of_a_full_inbox_each_line_is_filed_or_kept() -> None:
    """2,000 lines: each becomes a note, stays with a reason, or goes with another; none is lost."""
    lines = generated(2000, 3)
    found = inbox_lines(book(*lines))
    assert Counter(item.line.text for item in found) == Counter(lines)
    for item in found:
        assert sum((item.note is not None, item.why is not None, item.goes_with is not None)) == 1


def test_filed_and_kept_are_all_on_disk_too(notes: Path) -> None:
    """Forty lines drawn by lot, filed for real: what notes were made of and what is left are all lines there were."""
    lines = generated(40, 7)
    inbox = jot(notes, *lines)
    file_them(notes, "--file")
    left = inbox.read_text().splitlines() if inbox.exists() else []
    seen = note_command.findings(notes, moment("2026-06-10"))
    made = [record.jotted.removeprefix("2026-06-02 ") for record in seen.linked.events if record.jotted]
    remarks = [record.origin.written for record in seen.linked.events]
    struck = [text.split("filed: ")[1] for text in remarks if "Struck" in text]
    assert Counter([*left, *made, *struck]) == Counter(lines)
    assert made
    assert left
    before = events(notes)
    file_them(notes, "--file")
    assert events(notes) == before
