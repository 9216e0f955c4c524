"""`flockbook tidy`: the plain form of a note, in which no fact and no word changes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from flockbook.cli.main import main
from flockbook.cli.note import findings
from flockbook.cli.tidy import facts_without_columns
from flockbook.handover.facts import facts_json
from flockbook.jotting.plain_form import plain_form, words_of_note
from flockbook.seen import Seen
from tests.flockbook.small import moment, read

EWE = "---\nnote: ewe\nborn: 2022-04\nmob: hill\n---\n"
NOTES = {
    "flock.yaml": "flock: Corrie Hask\n",
    "sheep/C214 Bramble.md": EWE,
    "sheep/C230 Teasel.md": EWE,
    "medicines/example drench.md": "---\nnote: medicine\nname: example drench\nmeat withdrawal: 28 days\n"
    "milk withdrawal: not for milk\nsource: label\nchecked: 2026-01-02\n---\n",
}
LAMBING = "events/2026/2026-04-19 0340 lambing Bramble.md"
MESSY = "\ufeff–––\r\nNote:lambing  \r\nEwe :   “Bramble”\r\n---\r\n* ewe  4.1 kg, tag 731\r\n" \
    "ram 4.6 kg, tag 732\r\n\r\nFoot and nose at three.  \r\nBoth sucking by four.\r\n\r\n\r\n"  # fmt: skip
PLAIN = "---\nnote: lambing\newe: 'Bramble'\n---\n- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732\n\n" \
    "Foot and nose at three.  \nBoth sucking by four.\n"  # fmt: skip


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """The flock on disk."""
    for path, text in NOTES.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    return tmp_path


def put(folder: Path, path: str, text: str) -> Path:
    """A note on disk, byte for byte."""
    place = folder / path
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(text.encode())
    return place


def tidy(folder: Path, *words: str) -> Result:
    """The command."""
    return CliRunner().invoke(main, ["tidy", *words, "--folder", str(folder), "--on", "2026-06-10"])


def facts(folder: Path) -> str:
    """All facts of the folder."""
    return facts_json(findings(folder, moment("2026-06-10")), ())


def test_a_note_as_a_telephone_left_it_gets_its_plain_form(notes: Path) -> None:
    """Mark, line ends, fences, keys, quotes and dashes are put right; words, facts and the remark stay."""
    place = put(notes, LAMBING, MESSY.replace("Note:lambing", "Note:  lambing"))
    before = facts(notes)
    checked = tidy(notes, "--check")
    assert (checked.exit_code, place.read_bytes()[:3]) == (1, b"\xef\xbb\xbf")
    done = tidy(notes, str(place))
    assert done.exit_code == 0
    assert place.read_text() == PLAIN
    assert facts(notes) == before
    assert "731" in before
    assert tidy(notes, "--check").exit_code == 0


def test_only_the_files_named_are_changed(notes: Path) -> None:
    """A hook names files; one that lies elsewhere is refused."""
    one = put(notes, LAMBING, PLAIN.replace("- ewe", "* ewe"))
    other = put(notes, "sheep/C255.md", EWE.replace("\n", "\r\n"))
    assert tidy(notes, str(one)).exit_code == 0
    assert b"\r\n" in other.read_bytes()
    outside = put(notes.parent, "elsewhere.md", PLAIN)
    assert tidy(notes, str(outside)).exit_code == 2


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("events/2026/2026-06-02 treatment Bramble.md", "---\nmedicine: example drench\ndose: 2.5 ml\n---\n"),
        ("events/2026/2026-06-02 remark.md", "Thin.\n\n    a line\n    of code\n\n* one\n* two\n"),
        ("events/2026/2026-06-02 weighing.md", "C214  61\nC230 58\n"),
        ("events/2026/2026-06-02 scan.md", "1. C214 twins\n2. C230 single\n"),
    ],
)
def test_what_is_plain_or_belongs_to_the_remark_is_left(notes: Path, path: str, text: str) -> None:
    """A plain note, code and lists in a remark, lines that need no dash, numbers: nothing is touched."""
    place = put(notes, path, text)
    assert tidy(notes).output == ""
    assert place.read_text() == text


def test_a_note_whose_facts_would_change_is_left_as_it_is(notes: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the plain form would lose a lamb (here by a fault put in on purpose), the note stays and is told."""
    import flockbook.jotting.plain_form as module

    place = put(notes, LAMBING, PLAIN.replace("- ewe", "* ewe"))
    before = place.read_bytes()
    monkeypatch.setattr(module, "with_dash", lambda lines, at, _: [*lines[:at], "", *lines[at + 1 :]])
    done = tidy(notes)
    assert "left as it is" in done.output
    assert place.read_bytes() == before


SPOILED = st.lists(
    st.sampled_from(["crlf", "mark", "fence", "caps", "blanks", "star", "bare", "indent", "end", "nbsp", "odd"]),
    max_size=6,
)
BODIES = st.lists(
    st.sampled_from(
        ["- ewe 4.1 kg, tag 731", "- ram 4.6 kg, tag 732, assisted", "- ewe stillborn", "- not a lamb at all", "",
         "Foot and nose at three.", "She *pushed*.  ", "    code", "1. ewe 3.9", "| a | b |", "> ewe 4.0", "tag 744"]
    ),
    max_size=6,
)  # fmt: skip


def spoiled(text: str, ways: list[str]) -> str:
    """A note as hands, telephones and old systems leave it."""
    for way in ways:
        text = {
            "crlf": lambda said: said.replace("\n", "\r\n"),
            "mark": lambda said: "\ufeff" + said.removeprefix("\ufeff"),
            "fence": lambda said: said.replace("---", "———"),
            "caps": lambda said: said.replace("note:", "Note:").replace("ewe:", "EWE:"),
            "blanks": lambda said: said.replace(": ", ":    "),
            "star": lambda said: re.sub(r"(?m)^- ", "* ", said),
            "bare": lambda said: re.sub(r"(?m)^- ", "", said),
            "indent": lambda said: re.sub(r"(?m)^- ", "  - ", said),
            "end": lambda said: said + "\n\n  \n",
            "nbsp": lambda said: said.replace(": ", ":\u00a0"),
            "odd": lambda said: said.replace(", ", ",   "),
        }[way](text)
    return text


@settings(max_examples=120, deadline=None)
@given(BODIES, SPOILED)
def test_no_fact_and_no_word_changes(body: list[str], ways: list[str]) -> None:
    """Of any note, however spoiled: what tidy would write has the same words; where it reads to the same messages and
    remark, the facts are the same, and its plain form is itself.
    """
    text = spoiled("---\nnote: lambing\newe: Bramble\n---\n" + "\n".join(body) + "\n", ways)
    before = read({**NOTES, LAMBING: text.encode()})
    record = next((one for one in before.collection.records if one.origin.path == LAMBING), None)
    if record is None:
        return
    form = plain_form(text.encode(), record)
    assert words_of_note(form) == words_of_note(text)
    after = read({**NOTES, LAMBING: form})
    if rendered(before) == rendered(after):
        assert facts_without_columns(after) == facts_without_columns(before)
        again = next(one for one in after.collection.records if one.origin.path == LAMBING)
        assert plain_form(form.encode(), again) == form


def rendered(seen: Seen) -> list[str]:
    """The remark of the note as the book shows it, and what was told of the note."""
    records = [one for one in seen.collection.records if one.origin.path == LAMBING]
    told = [f"{item.code} {item.span.line} {item.message}" for item in seen.diagnostics]
    return [*(one.origin.html for one in records), *sorted(told)]
