"""Which sheep a note means: tags, names, ranges, mobs, lambs without a tag, and the ids they get."""

from __future__ import annotations

import pytest

from flockbook.records import KINDS
from flockbook.records.growth import Weighing
from flockbook.records.remarks import Remark
from flockbook.records.trade import Sale
from tests.flockbook.small import Seen, codes, read

EWES = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/012 Dot.md": "---\nnote: ewe\nborn: 2022\n---\n",
    "sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\n---\n",
}
LAMBING = "events/2026/2026-04-19 0340 lambing Bramble.md"


def remark(sheep: str, **more: str) -> str:
    """A remark on sheep, with any other fields."""
    fields = "".join(f"{name.rstrip('_')}: {text}\n" for name, text in more.items())
    return f"---\nsheep: {sheep}\n{fields}---\nSeen.\n"


def about(seen: Seen, path: str) -> tuple[str, ...]:
    """The ids that one note is about."""
    return next(seen.linked.who(event) for event in seen.linked.events if event.origin.path == path)


def asked(sheep: str, day: str = "2026-06-01", notes: dict[str, str] | None = None, **more: str) -> tuple[str, ...]:
    """Whom a remark of a day is about."""
    path = f"{day} remark.md"
    return about(read({**EWES, **(notes or {}), path: remark(sheep, **more)}), path)


def said(seen: Seen, code: str) -> str:
    """Message and help of the only message with a code."""
    (one,) = [item for item in seen.diagnostics if item.code == code]
    return f"{one.message} | {one.help}"


@pytest.mark.parametrize(
    ("typed", "whom"), [("C214", "C214"), ("bramble", "C214"), ("BRAMBLE", "C214"), ("012", "012")]
)
def test_a_name_without_case_a_tag_exactly(typed: str, whom: str) -> None:
    """`bramble` is Bramble; a tag is found as it is written."""
    assert asked(typed) == (whom,)


@pytest.mark.parametrize("joint", ["; ", " & ", "&", " + ", " / ", "/", " and "])
def test_every_joint_between_known_sheep_parts_them(joint: str) -> None:
    """Between sheep `,` `;` `&` `+` `/` and `and` all separate when every part is known (the contract's own list)."""
    whom = asked(f"C214{joint}Teasel, S1")
    assert whom == ("C214", "C230", "S1")


def test_a_joint_beside_a_word_that_names_nobody_parts_nothing() -> None:
    """With one part unknown the whole is one word that is asked about, and nobody is half read."""
    seen = read({**EWES, "2026-06-01 remark.md": remark("Bramble and Zebedee")})
    assert about(seen, "2026-06-01 remark.md") == ()
    assert "`Bramble and Zebedee`" in said(seen, "L201")


def test_a_part_that_fits_two_is_asked_about_alone() -> None:
    """Every part is known, so they part; only the one that fits two is an error."""
    two = {"sheep/C241 Teasel.md": "---\nnote: ewe\nborn: 2021\n---\n"}
    seen = read({**EWES, **two, "2026-06-01 remark.md": remark("Teasel and Bramble")})
    assert about(seen, "2026-06-01 remark.md") == ("C214",)
    assert "`Teasel` fits 2 sheep" in said(seen, "L202")


def test_a_name_with_a_joint_in_it_is_one_sheep() -> None:
    """A whole known name beats the joints."""
    both = {"sheep/C240 Salt and Pepper.md": "---\nnote: ewe\nborn: 2021\n---\n"}
    assert asked("Salt and Pepper", notes=both) == ("C240",)


def test_sheep_drafted_with_an_and_between_them_are_moved() -> None:
    """A draft of two ewes joined by `and` moves both, and nobody is in doubt for it."""
    draft = {"2026-05-30 draft.md": "---\nsheep: Teasel and Bramble\ncount: 2\ninto: low\n---\n"}
    seen = read({**EWES, **draft, "2026-06-02 treatment.md": "---\nmob: low\nmedicine: pen\n---\n"})
    standing = seen.facts.medicine.guard.standing
    assert {name for name, row in standing.items() if not row.clear} == {"C214", "C230"}


@pytest.mark.parametrize("typed", ["12", "c214", "0012"])
def test_a_tag_is_text(typed: str) -> None:
    """`12` is not `012`, and `c214` not `C214`."""
    seen = read({**EWES, "2026-06-01 remark.md": remark(typed)})
    assert about(seen, "2026-06-01 remark.md") == ()
    assert "L201" in codes(seen)


def test_a_near_guess() -> None:
    """A name one swap away is offered with its tag, and at most three are."""
    many = {f"sheep/70{n}.md": "---\nnote: ewe\nborn: 2021\n---\n" for n in range(1, 7)}
    seen = read({**EWES, **many, "2026-06-01 remark.md": remark("Brambel")})
    assert "`Bramble` (C214)" in said(seen, "L201")
    assert said(read({**many, "2026-06-01 remark.md": remark("700")}), "L201").count("`70") in (2, 3, 4)


TWICE = {
    "sheep/a.md": "---\nnote: ewe\ntag: 731\nborn: 2019-04-02\n---\n",
    "sheep/b.md": "---\nnote: ewe\ntag: 731\nborn: 2025-04-02\n---\n",
    "2024-11-01 death.md": "---\nsheep: 731\ncause: old age\n---\n",
}


def test_a_tag_used_again_is_told_apart_by_the_day() -> None:
    """Before the first one's death the tag is hers, after the second one's birth it is the second one's."""
    assert asked("731", "2023-06-01", TWICE) == ("731/2019",)
    assert asked("731", "2026-06-01", TWICE) == ("731/2025",)


def test_a_tag_with_its_year_of_birth() -> None:
    """`731/2025` is the sheep born in 2025; both ids carry the year."""
    assert asked("731/2025", "2026-06-01", TWICE) == ("731/2025",)
    assert {"731/2019", "731/2025"} <= set(read(TWICE).linked.animals)
    assert "L207" not in codes(read(TWICE))


def test_two_candidates_are_both_named() -> None:
    """Two living sheep of one name: an error that lists both, and nobody is meant."""
    fern = {f"sheep/C30{n} Fern.md": f"---\nnote: ewe\nborn: 202{n}\n---\n" for n in (1, 2)}
    seen = read({**fern, "2026-06-01 remark.md": remark("Fern")})
    text = said(seen, "L202")
    assert "C301" in text
    assert "C302" in text
    assert about(seen, "2026-06-01 remark.md") == ()


def test_one_tag_on_two_living_sheep() -> None:
    """Two living sheep cannot wear one tag; the message names the other."""
    seen = read(
        {
            "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\n---\n",
            "sheep/C214 Fern.md": "---\nnote: ewe\nborn: 2022\n---\n",
        }
    )
    assert "Bramble" in said(seen, "L207") or "Fern" in said(seen, "L207")


def test_a_range_needs_its_count() -> None:
    """A range opens to the living sheep that wear its tags; without `count`, or with another, it is an error."""
    flock = {f"sheep/{tag}.md": "---\nnote: ewe\nborn: 2022\n---\n" for tag in (738, 739, 741, 742)}
    assert asked("738-742", notes=flock, count="4") == ("738", "739", "741", "742")
    assert asked("Bramble, 738-739", notes=flock, count="3") == ("C214", "738", "739")
    bare = read({**flock, "2026-06-01 remark.md": remark("738-742")})
    assert "L204" in codes(bare)
    wrong = read({**flock, "2026-06-01 remark.md": remark("738-742", count="5")})
    assert "5 sheep" in said(wrong, "L203")


def test_a_mob_is_frozen_on_the_day_of_the_note() -> None:
    """Who is sorted out of a mob later was in it before."""
    notes = {"2026-06-10 draft.md": "---\nsheep: Teasel\ninto: shed\n---\n"}
    before, after = "2026-06-01 job.md", "2026-06-20 job.md"
    job = "---\nmob: hill\ndid: feet\n---\n"
    seen = read({**EWES, **notes, before: job, after: job}, "2026-07-01")
    assert about(seen, before) == ("C214", "C230")
    assert about(seen, after) == ("C214",)


def test_except_and_an_unknown_mob() -> None:
    """`except` leaves sheep out; a mob that nobody is in is an error with a guess."""
    path = "2026-06-01 job.md"
    assert about(read({**EWES, path: "---\nmob: hill\nexcept: Teasel\ndid: feet\n---\n"}), path) == ("C214",)
    assert "`hill`" in said(read({**EWES, path: "---\nmob: hil\ndid: feet\n---\n"}), "L205")


def test_words_for_a_class_of_sheep() -> None:
    """`ewes`, `lambs`, `ram lambs` and `all` stand for the living sheep of that sort on the day."""
    born = {LAMBING: "- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732\n- ram stillborn\n"}
    path = "2026-06-01 job.md"
    found = {
        mob: set(about(read({**EWES, **born, path: f"---\nmob: {mob}\ndid: feet\n---\n"}), path))
        for mob in ("ewes", "lambs", "ram lambs", "rams", "all")
    }
    assert found["ewes"] == {"C214", "C230", "012"}
    assert found["lambs"] == {"731", "732"}
    assert found["ram lambs"] == {"732"}
    assert found["rams"] == {"S1"}
    assert found["all"] == {"C214", "C230", "012", "S1", "731", "732"}


def test_a_corrected_note_is_struck() -> None:
    """`corrects` takes the earlier note out of the events and keeps it; one that names nothing is an error."""
    old, new = "2026-06-01 remark Bramble.md", "2026-06-02 remark Teasel.md"
    seen = read({**EWES, old: "Lame.\n", new: "---\ncorrects: 2026-06-01 remark Bramble\n---\nLame.\n"})
    assert old in seen.linked.struck
    assert old not in [event.origin.path for event in seen.linked.events]
    wrong = read({**EWES, old: "Lame.\n", new: "---\ncorrects: 2026-06-01 remark Brambel\n---\nLame.\n"})
    assert "L208" in codes(wrong)
    assert not wrong.linked.struck


def test_a_bought_sheep_comes_on_the_day() -> None:
    """A purchase line makes a sheep, one with its own note is the same animal, and it was not there before."""
    bought = {
        "2026-05-01 purchase.md": "- ram tag P233 Pike, born 2024-04\n- ewe tag C901, born 2023\n",
        "sheep/C901 Sorrel.md": "---\nnote: ewe\nborn: 2023\n---\n",
    }
    assert asked("Pike", notes=bought) == ("P233",)
    assert asked("Sorrel", notes=bought) == ("C901",)
    early = read({**EWES, **bought, "2026-04-02 illness.md": "---\nsheep: P233\nproblem: scour\n---\n"})
    assert {"L209", "L201"} & set(codes(early))


def test_lambs_until_they_are_tagged() -> None:
    """Ids of untagged lambs: dam, sex, year, and a number only where there are several of that sex."""
    seen = read({**EWES, LAMBING: "- ewe 4.1 kg\n- ewe 3.9 kg\n- ram 4.6 kg, no 7\n"})
    assert {"C214 ewe lamb 2026 1", "C214 ewe lamb 2026 2", "C214 ram lamb 2026"} <= set(seen.linked.animals)
    born = {LAMBING: "- ewe 4.1 kg\n- ram 4.6 kg, no 7\n"}
    assert asked("Bramble's ewe lamb 2026", notes=born) == ("C214 ewe lamb 2026",)
    assert asked("no 7/2026", notes=born) == ("C214 ram lamb 2026",)
    assert asked("no 7", notes=born) == ("C214 ram lamb 2026",)


def test_tagging_and_a_tag_that_is_replaced() -> None:
    """The new tag is what it is called; the old one still names it; its own note is the same animal."""
    notes = {
        LAMBING: "- ewe 4.1 kg\n",
        "2026-04-25 tagging.md": "- Bramble's ewe lamb = 731\n- 012 now 0977\n",
        "sheep/731 Clover.md": "---\nnote: lamb\nsex: ewe\n---\n",
    }
    seen = read({**EWES, **notes, "2026-06-01 remark.md": remark("731, 0977, Clover")})
    animal = seen.linked.animals["731"]
    assert (animal.dam, animal.name, animal.birth is not None) == ("C214", "Clover", True)
    assert about(seen, "2026-06-01 remark.md") == ("731", "0977")
    assert asked("012", notes=notes) == ("0977",)
    assert len(seen.linked.animals) == len(EWES) + 1


def test_a_foster_mother_rears_and_the_dam_stays() -> None:
    """Fostering, by note or in the lambing line, changes who rears the lamb and not who bore it."""
    notes = {
        LAMBING: "- ewe 4.1 kg, tag 731\n- ram 4.6 kg, tag 732, fostered to Teasel\n",
        "2026-04-21 foster.md": "---\nlamb: 731\nonto: 012\n---\n",
    }
    animals = read({**EWES, **notes}).linked.animals
    assert (animals["731"].dam, animals["731"].nursings[-1].ewe) == ("C214", "012")
    assert (animals["732"].dam, animals["732"].nursings[-1].ewe) == ("C214", "C230")


@pytest.mark.parametrize(
    "leaving",
    [
        "---\nnote: death\ndate: 2026-05-03\nsheep: Bramble\ncause: accident\n---\n",
        "---\nnote: sale\ndate: 2026-05-03\nsheep: Bramble\nuse: breeding\n---\n",
    ],
)
def test_nothing_happens_to_a_sheep_that_has_gone(leaving: str) -> None:
    """A weighing after a death or a sale is an error that says when it left."""
    seen = read({**EWES, "2026-05-03 gone.md": leaving, "2026-06-01 weighing.md": "- C214 61 kg\n"})
    assert "3 May 2026" in said(seen, "L209")


def test_nothing_happens_to_a_sheep_before_its_birth() -> None:
    """A lamb that is born in April is not weighed in March."""
    seen = read({**EWES, LAMBING: "- ewe 4.1 kg, tag 731\n", "2026-03-01 weighing.md": "- 731 20 kg\n"})
    assert {"L201", "L209"} & set(codes(seen))
    assert "731" not in about(seen, "2026-03-01 weighing.md")


def test_parents_in_the_book_and_from_outside() -> None:
    """A dam by name becomes an id; an unknown sire stays a name, with a warning only where it is nearly another."""
    lamb = "---\nnote: lamb\nborn: 2025-04-02\ndam: {dam}\nsire: {sire}\n---\n"
    seen = read({**EWES, "sheep/731.md": lamb.format(dam="Bramble", sire="Old Harry")})
    animal = seen.linked.animals["731"]
    assert (animal.dam, animal.declared_sires, animal.sire_names) == ("C214", (), ("Old Harry",))
    assert "L206" not in codes(seen)
    assert "`Sexton`" in said(read({**EWES, "sheep/731.md": lamb.format(dam="Bramble", sire="Sextn")}), "L206")


@pytest.mark.parametrize("companion", [False, True])
def test_tags_and_bought_sheep_in_a_table_or_a_csv_file(companion: bool) -> None:
    """A table whose first column is `sheep`, in the note or in a file of the note's own name, stands for the lines."""
    rows = {
        "2026-01-10 purchase": ["sheep,name,sex,born", "P233,Pike,ram,2024-04", "C901,,ewe,2023"],
        "2026-02-10 tagging": ["sheep,tag,eid", "P233,0977,", "C901,,826 001234567890"],
    }
    notes: dict[str, str] = {}
    for name, lines in rows.items():
        notes[f"{name}.md"] = ""
        if companion:
            notes[f"{name}.csv"] = "\n".join(lines) + "\n"
        else:
            table = [f"|{line.replace(',', '|')}|" for line in lines]
            notes[f"{name}.md"] = "\n".join([table[0], "|" + "---|" * (lines[0].count(",") + 1), *table[1:]]) + "\n"
    seen = read(notes, "2026-03-01")
    assert {sheep: animal.name for sheep, animal in seen.linked.animals.items()} == {"0977": "Pike", "C901": None}
    assert seen.linked.animals["0977"].sex == "ram"
    assert not [message for message in seen.diagnostics if message.grade.value in ("error", "warning")]


def test_notes_of_one_class_are_all_there_in_order() -> None:
    """A sheep's notes are found by their class as by looking at each; no kind is a special case of another, which would
    then be missed.
    """
    events = {
        "2026-05-02 remark 412.md": "a second word",
        "2026-05-01 remark 412.md": "a word",
        "2026-05-03 weighing.md": "---\n---\n- 412 61 kg\n",
    }
    flock = read({"sheep/412.md": "---\nsex: ewe\n---\n", **events}).linked
    assert [event.origin.path for event in flock.of(Remark)] == ["2026-05-01 remark 412.md", "2026-05-02 remark 412.md"]
    assert flock.of(Weighing) == tuple(event for event in flock.events if isinstance(event, Weighing)) != ()
    assert flock.of(Sale) == ()
    classes = {kind.record for kind in KINDS}
    assert [(one, other) for one in classes for other in classes if one is not other and issubclass(one, other)] == []
