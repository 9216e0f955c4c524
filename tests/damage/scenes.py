"""Small flocks, each with one dose written in one way, and who was really dosed.

The writings are those of `tests/flockbook/medicine` and of the contract's own examples; all sheep are invented.
"""

from __future__ import annotations

from dataclasses import dataclass

ON = "2026-06-10"
SETTINGS = "flock: Small\nunits: metric\ndates: day-month\ntimezone: Europe/London\n"
DRENCH = {
    "medicines/penicillin.md": "---\nnote: medicine\nname: penicillin\nlabel rate: 1 ml per 20 kg\nroute: muscle\n"
    "meat withdrawal: 28 days\nmilk withdrawal: 20 days\nsource: label\n---\nFridge door.\n"
}
EWES = {
    "sheep/C214 Bramble.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C230 Teasel.md": "---\nnote: ewe\nborn: 2021\nmob: hill\n---\n",
    "sheep/C231 Sorrel.md": "---\nnote: ewe\nborn: 2022\nmob: low\n---\n",
}
RAM = {"sheep/S1 Sexton.md": "---\nnote: ram\nborn: 2020\nmob: tups\n---\n"}
BIRTH = {
    "events/2026-04-19 0340 lambing Bramble.md": "---\newe: Bramble\nhelp: none\n---\n- ewe 4.1 kg, tag 731\n"
    "- ram 4.6 kg, tag 732\n"
}
OTHER_BIRTH = {"events/2026-04-21 0700 lambing Sorrel.md": "- ewe 4.4 kg, tag 751\n- ram 4.0 kg, no 7\n"}


@dataclass(frozen=True, eq=False)
class Scene:
    """Notes, the path of the one that tells the dose, the ids of all that got it, and of all that surely did not."""

    name: str
    treatment: str
    notes: dict[str, str]
    dosed: tuple[str, ...]
    spared: tuple[str, ...] = ()

    @property
    def others(self) -> tuple[str, ...]:
        """All notes but the treatment."""
        return tuple(path for path in self.notes if path != self.treatment)


def scene(name: str, path: str, notes: dict[str, str], dosed: str, spared: str) -> Scene:
    """A scene with settings and the medicine."""
    return Scene(
        name, path, {"flock.yaml": SETTINGS, **DRENCH, **notes}, tuple(dosed.split(", ")), tuple(spared.split(", "))
    )


def listed() -> Scene:
    """Two ewes by name and tag, three doses."""
    path = "events/2026/2026-06-02 treatment foot abscess.md"
    text = (
        "---\nsheep: Bramble, C230\nmedicine: penicillin\ndose: 3 ml\nroute: muscle\ngiven: 2 Jun 18:00, 3 Jun, "
        "4 Jun 07:30\nbatch: K4471\nby: Una\n---\nC230 the worst. Dry pen overnight.\n"
    )
    return scene("list", path, {**EWES, **RAM, path: text}, "C214, C230", "C231, S1")


def of_a_mob() -> Scene:
    """A mob but for one, by a course of days, in a file whose name says nothing."""
    path = "events/foot.md"
    text = (
        "---\nnote: treatment\ndate: 2026-06-02\nmob: hill\nexcept: Teasel\ncount: 1\nmedicine: penicillin\ndays: 3\n"
        "finished: 2026-06-04\n---\n- C214 62 kg\n"
    )
    return scene("mob", path, {**EWES, **RAM, path: text}, "C214", "C230, C231, S1")


def with_lambs() -> Scene:
    """A mob with the lambs at its ewes' feet, one of them a foster lamb; a ewe drafted in the day before."""
    path = "events/2026-06-02 treatment.md"
    notes = {
        **EWES,
        **BIRTH,
        **OTHER_BIRTH,
        "events/2026-04-22 lambing Teasel.md": "- dead\n",
        "events/2026-04-23 foster.md": "---\nlamb: 751\nonto: Teasel\n---\nTook to her at once.\n",
        "events/2026-06-01 draft.md": "---\nsheep: Sorrel\ninto: top park\n---\n",
        "mobs/top park.md": "---\nnote: mob\nname: top park\n---\n",
        path: "---\nmob: hill\nmedicine: penicillin\ndose: 2 ml\n---\nAll through the race.\n",
    }
    return scene("lambs at foot", path, notes, "C214, C230, 731, 732, 751", "C231")


def drafted() -> Scene:
    """A mob that one ewe had joined the day before; its name with capitals and a doubled blank."""
    path = "events/2026-06-02 0900 treatment.md"
    notes = {
        **EWES,
        **RAM,
        "mobs/top park.md": "---\nnote: mob\nname: top park\n---\nBehind the barn.\n",
        "events/2026-05-30 draft.md": "---\nsheep: Teasel, Sorrel\ncount: 2\ninto: top park\n---\n",
        path: "---\nmob: Top  Park\nmedicine: penicillin\ngiven: 2026-06-02 09:00\n---\n",
    }
    return scene("draft", path, notes, "C230, C231", "C214, S1")


def ranged() -> Scene:
    """A row of tags with their count; the tags were put in by a tagging note."""
    path = "events/2026-06-02 treatment lambs.md"
    notes = {
        **EWES,
        "events/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg, no 5\n- ram 4.6 kg, no 6\n",
        "events/2026-04-20 lambing Teasel.md": "- ewe 3.9 kg, tag 741\n",
        "events/2026-05-01 tagging.md": "- no 5 = 738\n- no 6 = 739\n- 741 now 740\n",
        path: "---\nsheep: 738-740\ncount: 3\nmedicine: penicillin\ndose: 1 ml\n---\n",
    }
    return scene("range", path, notes, "738, 739, 740", "C214, C230, C231")


def lined() -> Scene:
    """A line for each, with and without a dash, a lamb by its dam's name and one by its paint number."""
    path = "events/2026-06-02 treatment.md"
    notes = {
        **EWES,
        "events/2026-04-19 lambing Bramble.md": "- ewe 4.1 kg\n",
        "events/2026-04-21 lambing Sorrel.md": "- ram 4.0 kg, no 7\n",
        path: "---\nmedicine: penicillin\n---\n- Bramble's ewe lamb 20 kg 1 ml\n- no 7 18 kg\n- C230 61 kg 3 ml\n",
    }
    return scene("lines", path, notes, "C230, C231 ram lamb 2026, C214 ewe lamb 2026", "C214, C231")


def tabled() -> Scene:
    """A table in the note."""
    path = "events/2026-06-02 treatment feet.md"
    text = (
        "---\nmedicine: penicillin\nfinished: 2026-06-02 17:00\n---\n| sheep | kg | dose |\n|---|---|---|\n"
        "| C214 | 62 | 3 ml |\n| Teasel | 58 | 3 ml |\n"
    )
    return scene("table", path, {**EWES, **RAM, path: text}, "C214, C230", "C231, S1")


def beside() -> Scene:
    """A table beside the note."""
    path = "events/2026-06-02 treatment race.md"
    notes = {
        **EWES,
        **RAM,
        path: "---\nmedicine: penicillin\n---\n",
        "events/2026-06-02 treatment race.csv": "sheep,kg,dose\nC214,62,3 ml\nC231,55,3 ml\n",
    }
    return scene("table beside", path, notes, "C214, C231", "C230, S1")


def classed() -> Scene:
    """A class: all the ewes."""
    path = "events/2026-06-02 treatment.md"
    text = "---\nmob: ewes\nexcept: Sorrel\nmedicine: penicillin\n---\n"
    return scene("class", path, {**EWES, **RAM, path: text}, "C214, C230", "C231, S1")


def by_old_tag() -> Scene:
    """Dosed under a tag that was lost afterwards, and under a name; the day in the flock's own order."""
    path = "events/treatment.md"
    notes = {
        **EWES,
        "events/2026-06-05 tagging.md": "---\nby: Una\n---\n- C230 now C777\n",
        "events/2026-05-02 purchase.md": "---\nfrom: Over Yarrow\ninto: hill\n---\n- ewe tag P900 Pike, born 2023\n",
        path: "---\nnote: treatment\ndate: 3/6/2026\nsheep: C230; Pike\nmedicine: penicillin\n---\n",
    }
    return scene("retagged", path, notes, "C777, P900", "C214, C231")


def vetted() -> Scene:
    """Off label, with a vet's own periods."""
    path = "events/2026-06-02 treatment Teasel.md"
    text = (
        "---\nmedicine: penicillin\noff label: yes\nvet: A. Marram, letter of 1 Jun\nmeat withdrawal: 35 days\n"
        "milk withdrawal: 27 days\n---\n"
    )
    return scene("off label", path, {**EWES, path: text}, "C230", "C214, C231")


def corrected() -> Scene:
    """A note that named the wrong ewe, and the one that puts it right."""
    path = "events/2026-06-03 treatment Teasel.md"
    notes = {
        **EWES,
        "events/2026-06-02 treatment Bramble.md": "---\nmedicine: penicillin\ndose: 3 ml\n---\n",
        path: "---\ngiven: 2026-06-02\nmedicine: penicillin\ndose: 3 ml\ncorrects: 2026-06-02 treatment Bramble\n"
        "not dosed: Bramble\n---\n",
    }
    return scene("corrected", path, notes, "C230", "C214, C231")


SCENES: tuple[Scene, ...] = (
    listed(), of_a_mob(), with_lambs(), drafted(), ranged(), lined(), tabled(), beside(), classed(), by_old_tag(),
    vetted(), corrected(),
)  # fmt: skip
