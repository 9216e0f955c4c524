"""Corrections that take away what was true (V10): the first note told the truth, the second lacks something."""

from __future__ import annotations

from datetime import timedelta

from tests.truth.plain import Note, note_text
from tests.truth.ways import Make, Patch, Scene, family

LACKS = "an animal or a later day that the correction lacks stays held (V10)"
two = family("V10", of="pair", price=LACKS)


def with_correction(correction: Make) -> Make:
    """The plain note, and a second one that corrects it."""
    return lambda scene: {scene.note.path: scene.note.text, **correction(scene)}


def second(scene: Scene, corrects: str, **changes: str | None) -> Note:
    """A later note with `corrects:`, which names only the first sheep unless told otherwise."""
    more: dict[str, str | None] = {"sheep": scene.tags[0], "count": "1", "corrects": corrects, **changes}
    return scene.note.but(**more).filed(f"{scene.dose.at:%Y-%m-%d} 2100 treatment put right.md")


def one_more(corrects: str = "{file}", **changes: str | None) -> Make:
    """The plain note, and such a second one."""

    def make(scene: Scene) -> Patch:
        file = scene.note.file
        note = second(scene, corrects.format(file=file, stem=file.removesuffix(".md"), path=scene.note.path), **changes)
        return {note.path: note.text}

    return with_correction(make)


two("corrects_lacks_sheep", "the correction leaves one out", one_more())
two("corrects_lacks_sheep_path", "the same, told by its whole path", one_more("{path}"))
two("corrects_lacks_sheep_stem", "the same, without the ending", one_more("{stem}"))
two("corrects_slip", "the correction misspells the note that it corrects", one_more("{stem}x"))
two("corrects_vague", "`corrects: treatment`, which fits two notes", one_more("treatment"))
two("corrects_words", "`corrects: yesterday's`", one_more("yesterday's"))
two("corrects_yes", "`corrects: yes`", one_more("yes"))
two("corrects_two", "`corrects:` two notes at once", one_more("{file}, 2026-01-01 remark.md"))
two("corrects_other_sheep", "the correction names a third sheep in place of both", one_more(sheep="12"))
two("corrects_nobody", "the correction names nobody", one_more(sheep=None, count=None))
two("corrects_no_dose", "the correction has no dose", one_more(dose=None))
two(
    "corrects_earlier_day",
    "the correction has an earlier day for both",
    lambda s: {
        s.note.path: s.note.text,
        **{
            note.path: note.text
            for note in [
                second(
                    s,
                    s.note.file,
                    sheep=", ".join(s.tags),
                    count="2",
                    given=f"{s.dose.at - timedelta(days=9):%Y-%m-%d}",
                )
            ]
        },
    },
)
two(
    "corrects_as_remark",
    "a remark with `corrects:` and no words",
    lambda s: {
        s.note.path: s.note.text,
        f"events/2026/{s.dose.at:%Y-%m-%d} 2100 remark.md": note_text(
            {"note": "remark", "corrects": s.note.file}, f"Not the {s.dose.ml}.\n"
        ),
    },
)
two(
    "corrects_as_weighing",
    "a weighing corrects a treatment by a slip of the file name",
    lambda s: {
        s.note.path: s.note.text,
        f"events/2026/{s.dose.at:%Y-%m-%d} weighing.md": note_text(
            {"note": "weighing", "corrects": s.note.file}, f"- {s.tags[0]} 62\n"
        ),
    },
)
two("corrects_itself", "the note corrects itself", lambda s: s.instead(s.note.but(corrects=s.note.file)))
two(
    "corrects_ring",
    "two notes correct each other",
    lambda s: {
        s.note.path: s.note.but(corrects=f"{s.dose.at:%Y-%m-%d} 2100 treatment put right.md").text,
        **{note.path: note.text for note in [second(s, s.note.file)]},
    },
)
two(
    "corrects_ring_remark",
    "a remark and the note correct each other",
    lambda s: {
        s.note.path: s.note.but(corrects=f"{s.dose.at:%Y-%m-%d} remark.md").text,
        f"events/2026/{s.dose.at:%Y-%m-%d} remark.md": f"---\nnote: remark\ncorrects: {s.note.file}\n---\nx\n",
    },
)
two(
    "corrects_chain",
    "a third note corrects the correction, without saying more",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path: note.text for note in [second(s, s.note.file)]},
        f"events/2026/{s.dose.at:%Y-%m-%d} 2200 remark.md": note_text(
            {"note": "remark", "corrects": f"{s.dose.at:%Y-%m-%d} 2100 treatment put right.md"},
            "The first was right.\n",
        ),
    },
)
two(
    "corrects_misspelt_key",
    "`correct:` for `corrects:`",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path: note.text for note in [second(s, s.note.file).keyed("corrects", "correct")]},
    },
)
two(
    "corrects_earlier_note_same_name",
    "two notes of one file name in two folders, `corrects:` their name",
    lambda s: {
        s.note.path: s.note.text,
        f"phone/{s.note.file}": s.note.but(sheep="12", count="1").text,
        **{note.path: note.text for note in [second(s, s.note.file)]},
    },
)
two(
    "corrects_unreadable",
    "the correction itself cannot be read",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path: note.text.replace("count: 1", "count: [1") for note in [second(s, s.note.file)]},
    },
)
two(
    "corrects_dated_ahead",
    "the correction is dated a year ahead",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path.replace("/2026-", "/2027-"): note.text for note in [second(s, s.note.file)]},
    },
)

course = family("V10", of="course", price=LACKS)
course(
    "corrects_lacks_days",
    "the correction has the first of three days only",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path: note.text for note in [second(s, s.note.file, given=f"{s.dose.at:%Y-%m-%d %H:%M}")]},
    },
)
course(
    "corrects_open_course",
    "the correction says `days: 3` and no `given:`",
    lambda s: {
        s.note.path: s.note.text,
        **{note.path: note.text for note in [second(s, s.note.file, given=None, days="3")]},
    },
)

mob = family("V10", of="mob", price=LACKS)
mob(
    "corrects_mob_by_one",
    "a treatment of the hill is corrected by one of a single ewe",
    lambda s: {s.note.path: s.bare.but(mob="hill").text, **{note.path: note.text for note in [second(s, s.note.file)]}},
)
mob(
    "corrects_mob_except",
    "a correction adds `except:` one of those that were done",
    lambda s: {
        s.note.path: s.bare.but(mob="hill").text,
        **{
            note.path: note.text
            for note in [second(s, s.note.file, sheep=None, count=None, mob="hill", **{"except": s.tags[0]})]
        },
    },
)

not_ = family("V8", of="pair_named", price=LACKS)
not_(
    "not_dosed_slip",
    "`not dosed: Brambel` in the note that dosed both",
    lambda s: s.instead(s.note.but(not_dosed="Brambel")),
)
not_("not_dosed_none", "`not dosed: none`", lambda s: s.instead(s.note.but(not_dosed="none")))
not_(
    "not_dosed_and_dosed",
    "`not dosed: Teasel` in a remark, though the treatment names her",
    lambda s: {
        s.note.path: s.note.text,
        f"events/2026/{s.dose.at:%Y-%m-%d} remark.md": "---\nnote: remark\nnot dosed: Teasel\n---\nShe got out.\n",
    },
)
