"""How lambs lay: counts by every thing, groups held against the rest, and honest words when nothing stands out."""

from __future__ import annotations

import pytest
from scipy import stats

from flockbook.derive.lambing.birth_lines import PUBLISHED_LINES
from flockbook.derive.lambing.patterns import Outcome, Patterns, View
from flockbook.handover.facts import facts_object
from flockbook.pages.lambing import patterns as page
from tests.flockbook.small import Notes, Seen, read

RAM = "---\nnote: ram\nborn: 2020\n---\n"
JOINING = "---\newes: {ewes}\nout: 2024-11-19\n---\n"


def flock(first: int, later: int, wrong: int) -> dict[str, str]:
    """So many ewes lambing a single for the first time, of which `wrong` lambs have a leg back, and so many older ewes
    all of whose lambs lie right.
    """
    young, old = [f"Y{place:02}" for place in range(first)], [f"O{place:02}" for place in range(later)]
    notes = {"sheep/S1 Sexton.md": RAM, "2024-10-15 joining Sexton.md": JOINING.format(ewes=", ".join([*young, *old]))}
    notes |= {f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 2023\n---\n" for ewe in young}
    notes |= {f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 2019\n---\n" for ewe in old}
    for place, ewe in enumerate([*young, *old]):
        lay = ", one leg back, assisted" if ewe in young[:wrong] else ""
        notes[f"2025-03-{10 + place % 20} lambing {ewe}.md"] = f"- ewe 4.5 kg{lay}\n"
    return notes


def told(notes: Notes, on: str = "2025-06-01") -> Patterns:
    """The patterns of a flock."""
    return read(notes, on).facts.lambing.patterns


def view(found: Patterns, by: str) -> View:
    """One way of sorting."""
    return next(item for item in found.views if item.by == by)


def counts(found: Patterns, by: str, outcome: Outcome) -> dict[str, tuple[int, int]]:
    """Count and whole of each group."""
    return {
        group.label: (share.count, share.of)
        for group in view(found, by).groups
        for kind, share in group.shares
        if kind is outcome
    }


MIXED = {
    **{f"sheep/C{number}.md": "---\nnote: ewe\nborn: 2020\n---\n" for number in range(1, 5)},
    "sheep/S1 Sexton.md": RAM,
    "sheep/S2 Harrow.md": RAM,
    "2024-10-15 joining Sexton.md": "---\newes: C1, C2\nout: 2024-11-19\n---\n",
    "2024-10-15 joining Harrow.md": "---\newes: C3, C4\nout: 2024-11-19\n---\n",
    "2025-03-14 lambing C1.md": "- ewe 4.0 kg\n- ram 4.2 kg, one leg back, assisted\n",
    "2025-03-15 lambing C2.md": "---\nhelp: hard\n---\n- ram 6.0 kg, head back, dead\n",
    "2025-03-16 lambing C3.md": "- ewe 3.0 kg\n- ewe 3.1 kg\n- ram, backwards\n",
    "2025-03-17 lambing C4.md": "- ram 4.4 kg\n",
}


def test_every_way_of_lying_is_counted() -> None:
    """Lambs, births helped, born dead, over 5.5 kg, by litter size and sire; the normal ones last."""
    found = told(MIXED)
    lies = {lie.lay: (lie.lambs, lie.helped, lie.dead, lie.heavy) for lie in found.lies}
    assert lies == {
        "backwards": (1, 0, 0, 0),
        "head back": (1, 1, 1, 1),
        "one leg back": (1, 1, 0, 0),
        "normal": (4, 1, 0, 0),
    }
    assert found.lies[-1].lay == "normal"
    assert found.lies[-1].litters == (("triplets", 2), ("single", 1), ("twins", 1))
    assert found.lies[-1].sires == (("Harrow", 3), ("Sexton", 1))
    assert (found.births, len(found.cases), len(found.wrong)) == (4, 7, 3)


def test_lambs_by_parity_litter_sire_weight_and_sex() -> None:
    """Each lamb stands once in every view; births are counted once, and only where a litter stays together."""
    found = told(MIXED)
    assert counts(found, "litter size", Outcome.LAY_WRONG) == {"triplets": (1, 3), "single": (1, 2), "twins": (1, 2)}
    assert counts(found, "litter size", Outcome.HELPED) == {"triplets": (0, 1), "single": (1, 2), "twins": (1, 1)}
    assert counts(found, "sire", Outcome.HELPED) == {"Harrow": (0, 2), "Sexton": (2, 2)}
    assert counts(found, "birth weight", Outcome.LAY_WRONG) == {
        "usual": (1, 3),
        "light": (0, 2),
        "not weighed": (1, 1),
        "heavy": (1, 1),
    }
    assert counts(found, "birth weight", Outcome.HELPED) == {}
    assert counts(found, "sex of the lamb", Outcome.BORN_DEAD) == {"ram": (1, 4), "ewe": (0, 3)}
    assert all(
        sum(share.of for g in item.groups for o, share in g.shares if o is Outcome.LAY_WRONG) == 7
        for item in found.views
    )


def test_a_birth_whose_lambs_are_to_be_written_is_not_counted() -> None:
    """An empty lambing note is no birth of nought lambs."""
    found = told({**MIXED, "sheep/C5.md": "---\nnote: ewe\n---\n", "2025-03-20 lambing C5.md": ""})
    assert (found.births, found.unwritten) == (4, 1)


def test_what_stands_out_is_said_with_its_range() -> None:
    """8 of 12 maidens' lambs against 0 of 20: Fisher's p is scipy's, the limits are Newcombe's, and the p times the
    number of comparisons is still under 0.05.
    """
    found = told(flock(12, 20, 8))
    (group,) = [item for item in view(found, "the ewe's lambing").groups if item.label == "first lambing"]
    lay = next(item for item in group.against if item.outcome is Outcome.LAY_WRONG)
    exact = stats.fisher_exact([[8, 4], [0, 20]]).pvalue
    assert lay.difference.fisher_p == pytest.approx(exact, rel=1e-6)
    assert lay.p_all == pytest.approx(exact * found.comparisons)
    assert lay.stands_out
    assert not lay.hint
    sentence = page.held_against(*found.found[0], page.Lined(PUBLISHED_LINES, "metric"))
    assert sentence.startswith("The ewe's lambing, first lambing: 8 of 12")
    assert "0 of 20 of all others: more, by somewhere between" in sentence


def test_what_chance_alone_could_do_is_a_hint_and_no_finding() -> None:
    """3 of 12 against 0 of 20 has p 0.044 by itself; with several comparisons it is only a hint, and that is said."""
    found = told(flock(12, 20, 3))
    hints = [item for _, _, item in found.found]
    assert found.comparisons > 1
    assert hints
    assert all(item.hint and not item.stands_out for item in hints)
    exact = stats.fisher_exact([[3, 9], [0, 20]]).pvalue
    assert min(item.difference.fisher_p or 1 for item in hints) == pytest.approx(exact, rel=1e-6)
    assert page.nothing(found)[0].startswith("Nothing stands out")
    assert "by chance" in page.caution(found)


def test_nothing_at_all_is_said_plainly() -> None:
    """No lamb lay wrong: nothing stands out, and no hints."""
    found = told(flock(12, 20, 0))
    assert found.found == ()
    assert page.nothing(found) == (
        f"Nothing stands out: of {found.comparisons} comparisons none shows more than chance alone would do.",
    )


def test_too_few_births_are_counted_and_not_compared() -> None:
    """Four against four: no comparison, and that is said."""
    found = told(flock(4, 4, 3))
    assert found.comparisons == 0
    assert "Too few births" in page.nothing(found)[0]
    assert counts(found, "the ewe's lambing", Outcome.LAY_WRONG)["first lambing"] == (3, 4)


def test_groups_of_what_is_not_known_are_never_compared() -> None:
    """Lambs not weighed are mostly those that died; they are counted and left out of the others too."""
    notes = flock(12, 20, 0)
    for place in range(6):
        notes[f"2025-03-{10 + place} lambing Y{place:02}.md"] = "- ewe, dead\n"
    found = told(notes)
    assert counts(found, "birth weight", Outcome.BORN_DEAD)["not weighed"] == (6, 6)
    assert all(group.against == () for group in view(found, "birth weight").groups)


def test_no_birth_yet() -> None:
    """A flock without a lambing has an empty picture and a sentence."""
    found = told({"sheep/C1.md": "---\nnote: ewe\n---\n"})
    assert (found.lies, found.found, found.comparisons) == ((), (), 0)
    assert page.lead(found) == "No lamb is written yet."
    assert page.nothing(found) == ()


def seen(notes: Notes) -> Seen:
    """A small flock, read."""
    return read(notes, "2025-06-01")


def test_every_lamb_that_lay_wrong_is_listed_with_its_ewe() -> None:
    """The latest first: how it lay, its weight, the help, what became of it."""
    from flockbook.pages.views import Tag, directory

    found = seen(MIXED)
    table = page.wrong_table(found, found.facts.lambing.patterns.wrong, directory(found.linked, found.today))
    rows = [[cell.tag if isinstance(cell, Tag) else cell for cell in row.cells] for row in table.rows]
    assert [(row[0], row[2], row[3], row[4], row[5]) for row in rows] == [
        ("C3", "backwards", "not weighed", "none", "lives"),
        ("C2", "head back", "6.0\u00a0kg", "hard", "born dead"),
        ("C1", "one leg back", "4.2\u00a0kg", "helped", "lives"),
    ]


def test_the_facts_file_tells_the_patterns() -> None:
    """Ways of lying and groups, each with its share and what it was held against."""
    row = facts_object(seen(flock(12, 20, 8)))["patterns"]
    assert (row["births"], row["lambs"]) == (32, 32)
    assert row["lies"][0]["lay"] == "one leg back"
    group = next(item for item in row["groups"] if item["group"] == "first lambing")
    assert (group["lay_wrong"]["count"], group["lay_wrong"]["of"]) == (8, 12)
    assert any(item["stands_out"] for item in group["against"])
