"""What is a note, what is a hole, and what is neither: nothing read is missing, and damage makes no note harmless."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compiler.collection import RULES, Collection, Hole, Other
from compiler.diagnostics import Diagnostic, Grade
from compiler.schema import Record
from compiler.source import Span
from tests.toybook import MEANWHILE, Boat, Repair, Voyage, codes, gather

REPAIR = (
    "---\nnote: repair\ndate: 2026-06-02\nboats: Teal, Eel\npart: mast\ngiven: 2 Jun, 3 Jun\n---\nTwo coats of tar.\n"
)


def one(path: str, text: str | bytes) -> tuple[Record | Hole | Other, tuple[Diagnostic, ...]]:
    """What becomes of one file, and what is said of it."""
    found, told = gather({path: text})
    assert found.read == 1
    placed: list[Record | Hole | Other] = [*found.records, *found.holes, *found.others]
    return placed[0], told


def hole(path: str, text: str | bytes) -> Hole:
    """The hole that a file leaves."""
    found, told = one(path, text)
    assert isinstance(found, Hole), found
    assert found.reason in told
    assert found.reason.grade is Grade.ERROR
    return found


def test_a_folder() -> None:
    """Records, holes and other files in order of path, all counted."""
    files = {
        "b/B12 Teal.md": "---\nnote: boat\n---\n",
        "a/2026-04-19 voyage Teal.md": "- cod 4\n",
        "a/2026-04-20 sounding bay.md": "",
        "a/2026-04-20 sounding bay.csv": "buoy,kg\nb1,12\n",
        "README.md": "# Log\n\nRead me.\n",
        "a/x.md": "---\nnote: voyge\n---\n",
    }
    found, told = gather(files)
    assert [record.origin.path for record in found.records] == [
        "a/2026-04-19 voyage Teal.md",
        "a/2026-04-20 sounding bay.md",
        "b/B12 Teal.md",
    ]
    assert [item.path for item in found.holes] == ["a/x.md"]
    assert [item.path for item in found.others] == ["README.md"]
    assert found.companions == ("a/2026-04-20 sounding bay.csv",)
    assert found.read == len(files)
    assert [type(item) for item in found.of(Boat)] == [Boat]
    assert codes(told) == ["kind-unknown"]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("README.md", "# Log\n\nHow we keep it.\n"),
        ("LICENSE.txt", "Permission is hereby granted: free of charge, to any person.\n"),
        ("ideas.md", "- new mast\n- tar\n\nAsk: Fergus\n"),
        ("how.md", "# Notes\n\nNote: write clearly.\n\n```\n---\nnote: repair\nboats: Teal\npart: mast\n---\n```\n"),
        ("letter.txt", "To: the yard\nNotes: none\nNose: cold\nMasts: two\n"),
        ("prices 2026.md", "| what | price |\n|---|---|\n| tar | 12 |\n"),
    ],
)
def test_other_files(path: str, text: str) -> None:
    """A file with neither head nor dated name is no note, and withholds nothing."""
    found, told = one(path, text)
    assert isinstance(found, Other)
    assert told == ()


@pytest.mark.parametrize(
    "text",
    [
        "--\nnote: repair\nboats: Teal\n--\n",
        "-\n",
        "-x-\nwords\n",
        "—-x\nwords\n",
        "note: repair\nboats: Teal\n",
        "nots: repair\nwords\n",
        "note: repiar\nwords\n",
        "-m-\nwords\n",
        "#--\nwords\n",
        "words\nboats: Teal\npart: mast\n",
        "bots: Teal\nprat: mast\nparts: mast\n",
        "---Jnote: repair\nwords\n",
        "",
        " \n\n",
        "\0\0\0",
        "...",
        "n\0o\0te: x",
    ],
)
def test_traces_of_a_lost_head(text: str) -> None:
    """A file without a head is a hole when something in it looks like a note, or when it holds no words."""
    found = hole("foot.md", text)
    assert found.guarded
    assert found.reason.meanwhile == MEANWHILE
    assert found.text == text


@pytest.mark.parametrize(
    "name",
    [
        "20260602 repair mast",
        "02-06-2026 repair",
        "2.6.26 mast",
        "2026.06.02 repair mast",
        "2026-06-02repair",
        "26-6-2",
        "20226-06-02 Teal",
        "2 Jun 2026",
        "June 2nd mast",
    ],
)
def test_names_that_begin_like_a_date(name: str) -> None:
    """A name that begins with a date in another form is not passed over either."""
    assert "`2026-04-19`" in hole(f"{name}.md", "Two coats of tar.\n").reason.help


def test_lost_head_in_a_dated_file() -> None:
    """A dated file whose first fence is damaged is no note without a head, for its fields would be lost."""
    found = hole("2026-06-02 repair.md", REPAIR.replace("---", "-#-", 1))
    assert (found.kind, found.guarded) == ("repair", True)
    assert found.typed["boats"] == "Teal, Eel"
    assert not hole("2026-04-19 voyage.md", "boat: Teal\ncrew: Una\n").guarded


@pytest.mark.parametrize(
    "text", ["Notes: calm.\nNose: cold.\n", "Part: of the way.\nBoats: many.\n", "- cod 4\n\nBoat: dry.\n"]
)
def test_prose_with_colons(text: str) -> None:
    """Words with a colon behind them are no lost head, unless they say the kind or are two of its own fields."""
    found, told = one("2026-04-19 voyage Teal.md", text)
    assert isinstance(found, Voyage)
    assert told == ()


def test_prose_with_colons_in_a_damaged_note() -> None:
    """Nor do they make a damaged harmless note one of much weight."""
    assert not hole("2026-04-19 voyage Teal.md", b"---\ncrew: Una\n---\nNotes: f\xe4r\nNote: x\n").guarded
    assert not hole("2026-04-19 voyage Teal.md", b"Notes: f\xe4r\n").guarded


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("---\nboats: Teal\n---\n", "kind-missing"),
        ("---\nnote: repiar\n---\n", "kind-unknown"),
        ("---\nnote:\n---\n", "kind-unknown"),
        ("---\nnote: [repair]\nnote: x\n---\n", "field-twice"),
        ("---\nnote: repair\nboats: Teal", "fence-left-open"),
        ("---\nnote: repair\nboats: @Teal\n---\n", "head-unreadable"),
        ("---\nnote: repair\nboats: Teal\nBoats: Eel\n---\n", "field-twice"),
        ("---\nnote: repair\nboats: &a Teal\n---\n", "sign-not-allowed"),
        (b"---\nnote: repair\nboats: T\xe4l\n---\n", "bytes-unreadable"),
        ("---\nnote: repair\n<<<<<<< ours\nboats: Teal\n=======\nboats: Eel\n>>>>>>> theirs\n---\n", "two-versions"),
        (REPAIR.encode("utf-16"), "bytes-unreadable"),
        (REPAIR.encode("utf-16-le"), "bytes-unreadable"),
    ],
)
def test_holes(text: str | bytes, rule: str) -> None:
    """A note that cannot be read is a hole, guarded unless it is plainly of no guarded kind."""
    found = hole("x.md", text)
    assert (found.reason.name, found.guarded, found.reason.meanwhile) == (rule, True, MEANWHILE)


def test_everything_wrong_with_a_hole() -> None:
    """All that is wrong with a damaged note is told, also where two things are wrong at one place."""
    _, told = one("x.md", "---\nnote: repair\nboats: @Teal".encode("utf-16"))
    assert codes(told) == ["bytes-unreadable", "fence-left-open", "head-unreadable"]


def test_what_is_typed_in_a_hole() -> None:
    """Whatever can still be read of a damaged note is there, with the parts of its name where the head is silent."""
    found = hole("2026-06-02 0730 repair mast.md", "---\nboats: Teal, Eel\npart: @mast\nTIME: 8:00\n---\nwords\n")
    assert found.typed == {
        "boats": "Teal, Eel", "part": "@mast", "time": "8:00",
        "date": "2026-06-02", "kind": "repair", "subject": "mast",
    }  # fmt: skip
    assert not found.whole
    assert found.kind == "repair"
    assert hole("x.md", "---\nboats: Teal\n---\n").whole


def test_guesses_at_kinds() -> None:
    """A mistyped kind is met with a guess and the list of kinds."""
    help_ = hole("x.md", "---\nnote: repiar\n---\n").reason.help
    assert "did you mean `repair`?" in help_
    assert "the kinds are boat, voyage, sounding, repair" in help_


@pytest.mark.parametrize(
    ("fields", "guarded"),
    [
        ("crew: Una\nice: 40", False),
        ("crew: Una", True),
        ("crew: Una\nice: 40\nboats: Teal", True),
        ("crew: Una\nice: 40\nbotas: Teal", True),
        ("days: 3\ncrew: Una\nice: 4", True),
        ("what: x\nelse: y", True),
        ("date: 2026-04-19\ncrew: Una", True),
    ],
)
def test_notes_that_are_plainly_of_no_guarded_kind(fields: str, guarded: bool) -> None:
    """Two fields of other kinds, and none that is nearly a guarded one's, tell that a note is harmless."""
    assert hole("x.md", f"---\n{fields}\n---\n").guarded is guarded


def test_kind_in_name_and_head_differ() -> None:
    """Where the file name says one kind and the head another, both are shown; if one is guarded the note is."""
    found = hole("2026-06-02 repair mast.md", "---\nnote: voyage\n---\n")
    assert (found.reason.name, found.kind, found.guarded) == ("name-and-head-differ", "repair", True)
    assert hole("2026-06-02 voyage Teal.md", "---\nnote: repair\n---\n").kind == "repair"
    assert isinstance(one("2026-06-02 sailed Teal.md", "---\nnote: voyage\n---\n")[0], Voyage)


def test_damaged_head_that_says_another_kind_than_the_name() -> None:
    """A damaged head that speaks of a guarded kind makes the note one, whatever its name says."""
    found = hole("2026-06-02 voyage Teal.md", "---\nnote: repair\nboats: @Teal\n---\n")
    assert (found.kind, found.guarded) == ("repair", True)
    assert hole("2026-06-02 voyage Teal.md", "---\nnote: repiar\nboats: @Teal\n---\n").guarded
    assert not hole("2026-06-02 voyage Teal.md", "---\nnote: voyage\nboat: @Teal\n---\n").guarded


def test_empty_guarded_note() -> None:
    """An empty note of a guarded kind is a hole; of another it is a gap."""
    assert hole("2026-06-02 repair Teal.md", "").reason.name == "guarded-note-empty"
    assert isinstance(one("2026-06-02 voyage Teal.md", "")[0], Voyage)


def test_damage_in_a_harmless_note() -> None:
    """A harmless note that is damaged is a hole that withholds nothing."""
    found = hole("2026-04-19 voyage Teal.md", b"- cod 4\n\xff\n")
    assert (found.kind, found.guarded, found.reason.meanwhile) == ("voyage", False, "")


COPIES = (
    "2026-06-02 repair (1).md",
    "2026-06-02 repair copy.md",
    "2026-06-02 repair (Una's conflicted copy 2026-06-03).md",
)


@pytest.mark.parametrize("copy", COPIES)
def test_copies(copy: str) -> None:
    """A copy is an error that names both files; the original stays, and a copy that differs is a guarded hole."""
    found, told = gather({"2026-06-02 repair.md": REPAIR, copy: REPAIR.replace("Eel", "Tern")})
    assert [record.origin.path for record in found.records] == ["2026-06-02 repair.md"]
    assert [(item.path, item.kind, item.guarded) for item in found.holes] == [(copy, "repair", True)]
    assert codes(told) == ["copied-note"]
    assert (told[0].span.path, told[0].also, told[0].meanwhile) == (copy, (Span("2026-06-02 repair.md"),), MEANWHILE)


def test_copy_that_says_the_same() -> None:
    """A copy that is the same to the last byte hides nothing: its original says it all."""
    found, told = gather({"2026-06-02 repair.md": REPAIR, "2026-06-02 repair (1).md": REPAIR})
    assert [(item.path, item.sort, item.original) for item in found.others] == [
        ("2026-06-02 repair (1).md", "copy", "2026-06-02 repair.md")
    ]
    assert (found.holes, found.read, told) == ((), 2, ())
    found, told = gather({"old/2026-06-02 repair.md": REPAIR, "new/2026-06-02 repair.md": REPAIR})
    assert [record.origin.path for record in found.records] == ["new/2026-06-02 repair.md"]
    assert [(item.path, item.original) for item in found.others] == [
        ("old/2026-06-02 repair.md", "new/2026-06-02 repair.md")
    ]
    assert [(item.name, item.grade) for item in told] == [("copied-note", Grade.WARNING)]


LEFT_BEHIND = ("{}.md~", "{}.md.orig", "{}.bak", "#{}.md#", "{}.md.txt~", ".{}.md.swp", "{}.md.~2~")


@pytest.mark.parametrize("copy", LEFT_BEHIND)
def test_copies_that_editors_leave(copy: str) -> None:
    """An older version of a guarded note is a hole that knows its original; the same again is only listed."""
    path = copy.format("2026-06-02 repair")
    for ending in (".md", ".txt"):
        original = f"2026-06-02 repair{ending}"
        found, told = gather({original: REPAIR, path: REPAIR.replace("Eel", "Tern")})
        if ending == ".md" or ".md" not in copy:
            assert [(item.path, item.kind, item.original) for item in found.holes] == [(path, "repair", original)]
            assert ("boats: Teal, Tern", 4) in [(cell.text, cell.line) for cell in found.holes[0].lines]
            assert (codes(told), told[0].span.path) == (["copied-note"], path)
    found, told = gather({"2026-06-02 repair.md": REPAIR, path: REPAIR})
    assert [(item.path, item.original) for item in found.others] == [(path, "2026-06-02 repair.md")]
    assert told == ()


def test_copies_on_which_nothing_hangs() -> None:
    """An older version of a harmless note is only listed, and so is a copy whose original is gone."""
    voyage = "2026-04-19 voyage Teal.md"
    found, told = gather({voyage: "- cod 4\n", f"{voyage}~": "- cod 3\n", "2026-06-02 repair.md~": REPAIR})
    originals = {item.path: item.original for item in found.others}
    assert originals == {f"{voyage}~": voyage, "2026-06-02 repair.md~": ""}
    assert (len(found.records), found.read, told) == (1, 3, ())


def test_a_copy_with_a_table_of_its_own() -> None:
    """A copy whose words are the same but whose table is not says something else."""
    files = {"2026-04-20 sounding a.md": "Calm.\n", "2026-04-20 sounding a (1).md": "Calm.\n"}
    found, _ = gather({**files, "2026-04-20 sounding a (1).csv": "buoy,kg\nb1,2\n"})
    assert [(item.path, item.lines[-1].text) for item in found.holes] == [("2026-04-20 sounding a (1).md", "b1 | 2")]


@pytest.mark.parametrize(
    "copy",
    ["{} copy.md", "{} kopie.md", "{} - Copy.md", "{} (copy).md", "{} (2).md", "Copy of {}.md", "{} - Kopie (2).md"],
)
def test_signs_of_copies(copy: str) -> None:
    """Whatever a copier puts behind a name or before it is known."""
    name = "2026-06-02 repair mast"
    found, _ = gather({f"{name}.md": REPAIR, copy.format(name): REPAIR + "More.\n"})
    assert [(item.guarded, item.original) for item in found.holes] == [(True, f"{name}.md")]


def test_a_figure_behind_the_name() -> None:
    """` 2` behind a name is a copier's only where most lines are the same; else it is a second note."""
    name = "2026-06-02 repair mast"
    found, told = gather({f"{name}.md": REPAIR, f"{name} 2.md": REPAIR.replace("Eel", "Tern")})
    assert [(item.path, item.original) for item in found.holes] == [(f"{name} 2.md", f"{name}.md")]
    assert codes(told) == ["copied-note"]
    other = "---\nnote: repair\nboats: Skua\npart: keel\n---\nScraped.\n"
    assert len(gather({f"{name}.md": REPAIR, f"{name} 2.md": other})[0].records) == 2
    assert len(gather({"2026-06-02 repair.md": REPAIR, "2026-06-02 repair 2.md": REPAIR})[0].records) == 2
    same, told = gather({f"{name}.md": REPAIR, f"{name} 2.md": REPAIR})
    assert [item.sort for item in same.others] == ["copy"]
    assert [item.grade for item in told] == [Grade.WARNING]


NAMES_OUT_OF_ORDER = {
    "2 Jun repair Teal": ("2 Jun", "Teal"),
    "repair Teal 2026-06-02": ("2026-06-02", "Teal"),
    "June 2 repair": ("June 2", ""),
    "2nd of June mended Teal": ("2nd of June", "Teal"),
    "2.6.26 repair Teal": ("2.6.26", "Teal"),
    "Teal_repair_02-06-2026": ("02-06-2026", "Teal"),
    "20260602 repairs": ("20260602", ""),
    "repair Teal": ("", "Teal"),
    "repiar Teal 2 Jun": ("2 Jun", "Teal"),
}


@pytest.mark.parametrize("name", NAMES_OUT_OF_ORDER)
def test_a_guarded_name_out_of_order(name: str) -> None:
    """A file without a head whose name speaks of a guarded kind is a hole, with the day and the words of its name."""
    found = hole(f"{name}.md", "Two coats of tar.\n")
    day, subject = NAMES_OUT_OF_ORDER[name]
    assert (found.kind, found.guarded) == ("repair", True)
    assert (found.typed.get("date", ""), found.typed.get("subject", "")) == (day, subject)
    assert "2026-04-19" in found.reason.help
    assert [cell.text for cell in found.lines] == ["Two coats of tar."]


@pytest.mark.parametrize("name", ["voyage Teal", "how a repair is done", "boat B1", "voyage to Skerry 2 Jun 2026"])
def test_a_name_with_a_kind_on_which_less_hangs(name: str) -> None:
    """Where nothing much hangs on the kind, or no day is named, a warning says that the file is not read."""
    found, told = one(f"{name}.md", "Words.\n")
    assert isinstance(found, Other)
    assert (found.sort, found.text) == ("no head", "Words.\n")
    assert [(item.name, item.grade) for item in told] == [("name-like-a-note", Grade.WARNING)]


def test_a_day_first_in_a_name_of_a_harmless_kind() -> None:
    """A name that begins with a day in another form is a hole as before; its kind tells that it withholds nothing."""
    assert not hole("2 Jun voyage Teal.md", "- cod 4\n").guarded
    assert hole("2 Jun 2026 Teal.md", "- cod 4\n").guarded


def test_a_day_with_its_month_in_letters_is_read_where_its_year_is_known() -> None:
    """`2 Jun 2026`, or `Jun 2` in the folder of a year, before the word of a kind; a plain number is no year."""
    names = ("2 Jun 2026 voyage Teal", "logs/2026/Jun 2 voyage Teal", "logs/2026/2nd June 0340 voyage Teal")
    for path in (f"{name}.md" for name in names):
        found, told = one(path, "- cod 4\n")
        assert isinstance(found, Voyage)
        assert (f"{found.date}", told) == ("2026-06-02", ())


@pytest.mark.parametrize("name", ["2 Jun 2026 repair Teal", "repair", "mast of Teal 2.6.26"])
def test_with_a_full_head_the_name_does_not_matter(name: str) -> None:
    """A note whose head says it all is read, whatever its name."""
    found, told = one(f"{name}.md", REPAIR)
    assert isinstance(found, Repair)
    assert (found.boats, told) == (("Teal", "Eel"), ())


def test_the_subject_of_a_name_out_of_order() -> None:
    """Where the head gives day and kind, what else a name says is its subject, without day and kind."""
    found, told = one("19 Apr 2026 voyage Teal.md", "---\nnote: voyage\ndate: 2026-04-19\n---\n")
    assert isinstance(found, Voyage)
    assert (found.boat, told) == ("Teal", ())


SECOND = "---\nnote: repair\ndate: 2026-06-09\nboats: Tern\npart: keel\n---\nScraped.\n"


@pytest.mark.parametrize(
    "second",
    [
        SECOND,
        SECOND.replace("---\n", "", 1),
        SECOND.replace("note: repair\n", ""),
        SECOND.replace("part: keel\n---\n", "part: keel\n"),
        SECOND.replace("note: repair", "note: repiar"),
        SECOND.replace("---", "———"),
        f"\n\n{SECOND}",
    ],
    ids=["whole", "no first fence", "no kind", "no second fence", "a slip", "long dashes", "blank lines"],
)
def test_two_heads(second: str) -> None:
    """Two notes in one file are neither of them half used: the second head's line is told, all fields are kept."""
    found = hole("2026-06-02 repair mast.md", REPAIR + second)
    line = REPAIR.count("\n") + 1 + (2 if second.startswith("\n") else 0)
    assert (found.reason.name, found.reason.span.line, found.guarded) == ("two-heads", line, True)
    assert (found.typed["boats"], found.typed["part"]) == ("Teal, Eel, Tern", "mast, keel")
    assert found.typed["date"] == "2026-06-02, 2026-06-09"
    assert ("boats: Tern", "head") in [(cell.text, cell.sort) for cell in found.lines]
    assert [cell.text for cell in found.lines if cell.sort == "bare"] == ["Two coats of tar.", "Scraped."]


def test_two_heads_of_which_one_is_harmless() -> None:
    """Whichever of the two is of a guarded kind, the file is; if none is, it is harmless."""
    voyage = "---\nnote: voyage\ndate: 2026-04-19\nboat: Teal\n---\n"
    assert (hole("x.md", voyage + SECOND).kind, hole("x.md", SECOND + voyage).kind) == ("repair", "repair")
    assert not hole("x.md", voyage + voyage).guarded


def test_a_note_pasted_twice() -> None:
    """The same text twice is told as well."""
    found = hole("x.md", REPAIR + REPAIR)
    assert (found.reason.name, found.typed["boats"]) == ("two-heads", "Teal, Eel")


@pytest.mark.parametrize(
    "body",
    [
        "---\nTwo coats.\n---\n",
        "First.\n\n---\n\nWind: west\n\n---\nMore.\n",
        "Heading\n---\nWords: so\n",
        "```\n" + SECOND + "```\n",
        "Note: treated with tar.\n",
        "Note: repair was easy\n",
        "* * *\nCrew: Una\n* * *\n",
        "| a | b |\n|---|---|\n| c | d |\n",
    ],
)
def test_rules_between_paragraphs_are_no_heads(body: str) -> None:
    """A line of dashes is a rule or underlines a heading (CommonMark 0.31, 4.1 and 4.3) where no fields follow it."""
    found, told = one("2026-06-02 repair mast.md", REPAIR + body)
    assert isinstance(found, Repair)
    assert told == ()


def test_what_concerns_nobody() -> None:
    """Pictures and the hidden files of tools concern nobody; a hidden note, or one with a day in its name, may."""
    hidden = [Other(".gitignore", "", "*.bak\n", "hidden"), Other(".git", "", "", "hidden")]
    quiet = [Other("a/b.png", "", "", "picture"), *hidden]
    loud = [
        Other(".x.md", "", "", "hidden"),
        Other(".2026-06-02 repair", "", "", "hidden"),
        Other(".x", "", REPAIR, "hidden"),
        Other("x.rtf", "", "", "ending"),
    ]
    assert [item.of_no_concern for item in (*quiet, *loud)] == [True] * 3 + [False] * 4


def test_copies_without_an_original() -> None:
    """Of several copies whose original is gone, one stands for it; a single one is just a note."""
    found, told = gather({"2026-06-02 repair (1).md": REPAIR, "2026-06-02 repair (2).md": REPAIR + "More.\n"})
    assert (len(found.records), len(found.holes), codes(told)) == (1, 1, ["copied-note"])
    assert gather({"2026-06-02 repair (1).md": REPAIR})[1] == ()


def test_same_words_in_different_notes() -> None:
    """Two notes with the same words but other names are two notes."""
    assert len(gather({"2026-06-02 voyage A.md": "", "2026-06-02 voyage B.md": ""})[0].records) == 2
    assert len(gather({"a/README.md": "Read me.\n", "b/README.md": "Read me.\n"})[0].others) == 2


def test_conflict_in_another_file() -> None:
    """Git's marks are told of in any file."""
    found, told = one("README.md", "<<<<<<< ours\nA log.\n=======\nThe log.\n>>>>>>> theirs\n")
    assert isinstance(found, Other)
    assert codes(told) == ["two-versions"]


def test_rules() -> None:
    """Every rule has its own code and name, a reason and an example."""
    assert len({rule.code for rule in RULES}) == len({rule.name for rule in RULES}) == len(RULES)
    assert all(rule.why.endswith(".") and rule.example for rule in RULES)


def says_what_it_says(found: Collection, whole: Repair) -> bool:
    """Whether a damaged repair still says all that it said, or holds every boat that it could concern."""
    if found.holes:
        return all(item.guarded for item in found.holes)
    record = found.records[0]
    if not isinstance(record, Repair):
        return False
    return record == whole or bool(record.origin.broken or record.origin.unread)


@pytest.mark.parametrize("path", ["2026-06-02 repair.md", "foot.md", "2026-06-02.md", "boats/x.md"])
def test_every_truncation(path: str) -> None:
    """Cut off at any byte, a guarded note is a guarded hole, or broken, or still says all that it said."""
    whole = one(path, REPAIR)[0]
    assert isinstance(whole, Repair)
    data = REPAIR.encode()
    body = REPAIR.index("Two coats")
    for end in range(len(data)):
        found, _ = gather({path: data[:end]})
        assert found.read == 1
        assert not found.others, end
        if end < body - 1:
            assert says_what_it_says(found, whole), (end, data[:end])


@pytest.mark.parametrize("path", ["2026-06-02 repair.md", "foot.md"])
def test_every_line_lost(path: str) -> None:
    """Without any one of its lines a guarded note is never passed over, and never another kind of note."""
    lines = REPAIR.split("\n")
    for lost in range(7):
        found, _ = gather({path: "\n".join(lines[:lost] + lines[lost + 1 :])})
        assert not found.others
        assert all(isinstance(record, Repair) for record in found.records)
        assert all(item.guarded for item in found.holes)


@pytest.mark.parametrize("path", ["2026-06-02 repair.md", "foot.md"])
def test_every_bit_flipped(path: str) -> None:
    """With any one bit of its head flipped, a guarded note stays a guarded one: read, broken or a hole.

    Where it is read without a word its fields say what now stands there: the damage is in a value, or in nothing.
    """
    data = bytearray(REPAIR.encode())
    head = REPAIR.index("Two coats")
    names = ("note", "date", "boats", "part", "given")
    for place in range(head):
        for bit in range(8):
            data[place] ^= 1 << bit
            found, told = gather({path: bytes(data)})
            text = bytes(data).decode("utf-8", "replace")
            data[place] ^= 1 << bit
            assert not found.others, text
            assert all(item.guarded for item in found.holes), text
            assert all(isinstance(record, Repair) for record in found.records), text
            if not told:
                assert all(f"\n{name}: " in text.lower() for name in names), text


@pytest.mark.parametrize(
    "coding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp037", "utf-7", "cp1252", "utf-8-sig"]
)
@pytest.mark.parametrize("path", ["2026-06-02 repair.md", "foot.md"])
def test_every_coding(path: str, coding: str) -> None:
    """Saved in whatever coding, a guarded note is read or is a guarded hole."""
    found, _ = gather({path: REPAIR.encode(coding)})
    assert all(item.guarded for item in found.holes)
    assert all(isinstance(record, Repair) for record in found.records)
    assert not found.others


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\u2028"])
def test_every_line_end(end: str) -> None:
    """Whatever the line ends, the note says the same."""
    found, told = one("x.md", REPAIR.replace("\n", end))
    assert isinstance(found, Repair)
    assert (found.boats, told) == (("Teal", "Eel"), ())


BITS = [
    "---\n",
    "note: repair\n",
    "boats: Teal, #Eel\n",
    "- cod 4\n",
    "| buoy | kg |\n|---|---|\n| b1 | 2 |\n",
    "\r",
    "\0",
    "\xff",
    "@",
    "[",
    "{",
    "&a",
    ": ",
    "<<<<<<< x\n",
]
TEXTS = st.lists(st.sampled_from(BITS) | st.text(max_size=8), max_size=12).map("".join)
NAMES = st.sampled_from(
    [
        "2026-04-19 repair x",
        "2026-04-19 voyage x",
        "2026-04-19 sounding",
        "boat B1",
        "x",
        "2026-02-30 9999 repair",
        "x (1)",
        "x copy",
    ]
)


@given(
    st.dictionaries(NAMES.map(lambda name: f"{name}.md"), st.binary(max_size=200) | TEXTS, max_size=4),
    st.none() | st.binary(max_size=60),
)
@settings(max_examples=300, deadline=None)
def test_any_bytes(files: dict[str, str | bytes], table: bytes | None) -> None:
    """Whatever stands in a folder, nothing is raised, every file counts, and every message has a place and words."""
    beside = {f"{path[:-3]}.csv": table for path in list(files)[:1]} if table is not None else {}
    found, told = gather({**files, **beside})
    assert found.read == len(files) + len(beside)
    for item in told:
        assert item.message
        assert item.span.path in {**files, **beside}
        assert item.span.line >= 1
        assert item.span.column >= 1
        assert item.span.length >= 0


@pytest.mark.parametrize(
    "text",
    [
        b"x" * 1_000_000,
        b"---\nnote: repair\nboats: " + b"Teal, " * 150_000 + b"\n---\n",
        b"- cod 4\n" * 20_000,
        b"- cod 4\n  thin\n" * 20_000,
        b"| buoy | kg |\n|---|---|\n" + b"| b1 | 2 |\n" * 20_000,
        b"[" * 100_000,
        b"> " * 50_000,
        b"|" * 100_000 + b"\n" + b"|-" * 50_000,
        b"`" * 100_000,
        b"-" * 100_000,
        b"- " * 50_000,
        b"a: " * 50_000,
        b"\r" * 200_000,
        b"\xff" * 200_000,
        b"---\n" * 50_000,
        b"note:" * 50_000,
        b"(1)" * 50_000,
        b"| a |\n-" + b" " * 50_000 + b"x|\n",
    ],
    ids=lambda text: f"{text[:12]!r}",
)
def test_no_text_takes_long(text: bytes) -> None:
    """A megabyte of anything is read in a few seconds at most."""
    begun = time.process_time()
    for path in ("2026-04-19 voyage x.md", "2026-04-19 sounding x.md", "x.md"):
        found, _ = gather({path: text})
        assert found.read == 1
    assert time.process_time() - begun < 12


LONG_SIGNS = "-|: 1a\"'`~*#>[({,;_.\\/=&!@%\t\u00a0—"
FRAMES = (
    "{}", "- {}", "| a | b |\n{}", "| a | b |\n{}x|", "| a | b |\n|{}", "---\nboat: {}\n---\n", "---\n{}\n",
)  # fmt: skip
PAIRS = [one + other for one in "-|: a" for other in "-|: a1\"'" if one != other]


@pytest.mark.parametrize("unit", [*(sign * 2 for sign in LONG_SIGNS), *PAIRS], ids=repr)
def test_no_line_takes_long(unit: str) -> None:
    """A line of 60,000 signs is read in less than a tenth of a second, wherever it stands (in one of five tries)."""
    line = unit * 30_000
    for frame in FRAMES:
        text = frame.format(line)
        assert any(seconds(text) < 0.1 for _ in range(5)), (unit, frame)


def seconds(text: str) -> float:
    """How long a note with this text takes to be read, alone."""
    begun = time.process_time()
    gather({"2026-04-20 sounding x.md": text})
    return time.process_time() - begun
