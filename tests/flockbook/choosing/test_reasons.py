"""Who stays: every rule both ways, no reason without a note, and a suggestion that changes only with a reason."""

from __future__ import annotations

import random
import re

import pytest

from compiler.shape import replace
from flockbook.derive.choosing.ewe_file import EweReason
from flockbook.derive.choosing.reasons import CULL, KEEP, WATCH, Choice, suggestion
from flockbook.figures import CHOOSING, DEFAULTS
from flockbook.handover.facts import facts_object
from flockbook.saying.because import step_words
from flockbook.saying.choosing import ewe_reason_words
from tests.flockbook.small import Notes, Seen, read

TODAY = "2026-10-20"
BASE: Notes = {
    "sheep/E1.md": "---\nnote: ewe\nborn: 2020\n---\n",
    "sheep/E2.md": "---\nnote: ewe\nborn: 2020\n---\n",
    "sheep/R1.md": "---\nnote: ram\nborn: 2019\n---\n",
    "medicines/penicillin.md": "---\nnote: medicine\nmeat withdrawal: 30 days\nmilk withdrawal: 5 days\n---\n",
}


def year(season: int, lines: str = "- ewe 4.0 kg, tag {0}1\n- ram 4.2 kg, tag {0}2\n", head: str = "") -> Notes:
    """One season of E1: joined, lambed on 1 April with these lambs, and a weaning of the tagged ones in August."""
    born = lines.format(season)
    tags = re.findall(rf"tag ({season}\d)", born)
    notes: Notes = {
        f"events/{season - 1}-11-01 joining R1.md": f"---\nrams: R1\newes: [E1]\nout: {season - 1}-12-10\n---\n",
        f"events/{season}-04-01 lambing E1.md": f"---\newe: E1\n{head}---\n{born}",
    }
    weaned = f"---\nlambs: [{', '.join(tags)}]\n---\n"
    return {**notes, **({f"events/{season}-08-01 weaning.md": weaned} if tags else {})}


def barren(season: int) -> Notes:
    """A season in which E1 was put to the ram and bore nothing."""
    return {f"events/{season - 1}-11-01 joining R1.md": f"---\nrams: R1\newes: [E1]\nout: {season - 1}-12-10\n---\n"}


def flock(*parts: Notes, on: str = TODAY, choosing: str = "") -> Seen:
    """The small flock with some more notes and its own rules."""
    notes = {**BASE, "flock.yaml": f"flock: Small\n{choosing}"}
    for part in parts:
        notes |= part
    return read(notes, on)


def of(seen: Seen, ewe: str = "E1") -> Choice:
    """One ewe's choice."""
    return next(choice for choice in seen.facts.choosing.choices if choice.ewe == ewe)


def against(seen: Seen) -> dict[str, EweReason]:
    """What stands against E1, by rule."""
    return {reason.rule: reason for reason in of(seen).against}


def check(day: str, line: str) -> Notes:
    """A handling of E1."""
    return {f"events/{day} check.md": f"---\nfor: bags\n---\n- E1 {line}\n"}


def ill(day: str, problem: str, more: str = "") -> Notes:
    """An illness of E1."""
    return {f"events/{day} illness E1 {problem}.md": f"---\nsheep: E1\nproblem: {problem}\n{more}---\n"}


GOOD = (year(2025), year(2026))
HELP = "help: slight\n"
# Rule → notes by which it is met in full, and notes by which it only asks to watch ({} where any case is enough).
RULES: dict[str, tuple[tuple[Notes, ...], tuple[Notes, ...]]] = {
    "helped": ((year(2025, head=HELP), year(2026, head=HELP)), (year(2025), year(2026, head=HELP))),
    "udder": ((*GOOD, ill("2026-04-20", "mastitis")), ()),
    "prolapse": ((*GOOD, ill("2026-03-20", "prolapse")), ()),
    "mouth": (
        (*GOOD, check("2026-10-10", "mouth broken, bcs 2.25")), (*GOOD, check("2026-10-10", "mouth broken, bcs 2.5")),
    ),
    "barren": ((barren(2025), barren(2026)), (year(2025), barren(2026))),
    "mother": ((year(2025), year(2026, head="mothering: 2\n")), ()),
    "lost all": (
        (year(2025, "- ewe stillborn\n"), year(2026, "- ram dead\n")), (year(2025), year(2026, "- ram dead\n")),
    ),
    "lump": ((), (*GOOD, check("2026-09-10", "udder lump left"))),
    "milk": ((), (year(2025), year(2026, head="milk: short\n"))),
    "lameness": ((), (*GOOD, ill("2025-06-01", "lameness"), ill("2026-06-01", "lameness"))),
    "marked to go": ((*GOOD, {"events/2026-09-20 cull E1.md": "---\nsheep: E1\nwhy: teeth\n---\n"}), ()),
}  # fmt: skip


@pytest.mark.parametrize("rule", [rule for rule, (full, _) in RULES.items() if full])
def test_a_rule_met_in_full_is_a_reason_to_go(rule: str) -> None:
    """Each rule of the flock, met, suggests that she goes (facts of design: common practice, no source)."""
    seen = flock(*RULES[rule][0])
    assert against(seen)[rule].full
    assert of(seen).suggest == CULL


@pytest.mark.parametrize("rule", [rule for rule, (_, part) in RULES.items() if part])
def test_half_a_rule_asks_to_watch(rule: str) -> None:
    """What does not meet the rule in full stands against her, yet never sends her (common practice, no source)."""
    seen = flock(*RULES[rule][1])
    assert not against(seen)[rule].full
    assert of(seen).suggest == WATCH


def test_nothing_against_and_something_for_keeps() -> None:
    """Two pairs of twins weaned without help: kept, and the reasons say how many in how many years."""
    choice = of(flock(*GOOD))
    assert choice.suggest == KEEP
    assert not choice.against
    weaned = next(reason for reason in choice.for_ if reason.rule == "weaned")
    assert (weaned.count, weaned.of, weaned.seasons) == (4, 2, (2025, 2026))
    assert "2.0 a year" in ewe_reason_words(weaned)
    assert {reason.rule for reason in choice.for_} == {"weaned", "alone", "untreated"}


def test_too_little_known_says_so() -> None:
    """A ewe never put to a ram is watched, and too little is said to be known of her."""
    choice = of(flock(), "E2")
    assert (choice.suggest, choice.little, choice.for_, choice.against) == (WATCH, True, (), ())


@pytest.mark.parametrize("rule", RULES)
def test_the_suggestion_changes_only_with_a_reason(rule: str) -> None:
    """Wherever the suggestion is not that of the sound ewe, a reason against stands that the sound ewe has not."""
    sound = of(flock(*GOOD))
    for notes in RULES[rule]:
        found = of(flock(*notes)) if notes else sound
        if found.suggest != sound.suggest:
            assert {reason.rule for reason in found.against} - {reason.rule for reason in sound.against}


def test_the_rule_itself() -> None:
    """Any reason in full: go. Any other against: watch. Only reasons for, and a season known: keep. Else watch."""
    one = EweReason("x", "x", 1, 1, (), ())
    assert suggestion((one,), (one, replace(one, full=True)), True) == CULL
    assert suggestion((one,), (one,), True) == WATCH
    assert suggestion((one,), (), True) == KEEP
    assert suggestion((one,), (), False) == WATCH
    assert suggestion((), (), True) == WATCH


@pytest.mark.parametrize("rule", RULES)
def test_no_reason_without_a_note(rule: str) -> None:
    """Every reason names at least one note of the folder, with a line in it, and counts no more than it counts of."""
    for notes in RULES[rule]:
        seen = flock(*notes)
        known = {record.origin.path for record in seen.collection.records}
        for reason in (*of(seen).for_, *of(seen).against):
            assert reason.because, reason
            assert {item.note for item in reason.because} <= known
            assert all(item.line is None or item.line >= 1 for item in reason.because)
            assert reason.count <= reason.of or reason.rule in ("weaned", "few weaned")
            assert reason.seasons


def test_any_order_of_the_notes() -> None:
    """The same reasons, however the files are handed over (seed 4)."""
    parts = {path: text for full, part in RULES.values() for notes in (*full, *part) for path, text in notes.items()}
    names = list({**BASE, **parts})
    expected = flock(parts).facts.choosing.choices
    shuffled = random.Random(4)
    for _ in range(3):
        shuffled.shuffle(names)
        mixed = {name: {**BASE, **parts}[name] for name in names}
        assert read({**mixed, "flock.yaml": "flock: Small\n"}, TODAY).facts.choosing.choices == expected


def test_the_flocks_own_rules_come_first() -> None:
    """Three helped births where the flock says three; a rule set to 0 only watches; a lump may be made a rule."""
    helped = RULES["helped"][0]
    assert of(flock(*helped, choosing="choosing:\n  helped births: 3\n")).suggest == WATCH
    assert of(flock(*helped, choosing="choosing:\n  helped births: 0\n")).suggest == WATCH
    lump = RULES["lump"][1]
    assert of(flock(*lump, choosing="choosing:\n  udder lumps: 1\n")).suggest == CULL
    thin = RULES["mouth"][1]
    assert of(flock(*thin, choosing="choosing:\n  broken mouth below: 3\n")).suggest == CULL


def test_a_hole_in_the_settings_leaves_the_default() -> None:
    """A line that is no rule changes nothing (and is told, see the cases of `choosing`)."""
    seen = flock(*RULES["helped"][0], choosing="choosing:\n  helped brths: 9\n")
    assert of(seen).suggest == CULL
    assert [message.code for message in seen.diagnostics if message.code.startswith("Q")] == ["Q101"]


def test_every_rule_has_a_default_with_its_source() -> None:
    """Each figure of `choosing` stands among the defaults and says where it is from."""
    rules = [name for name in DEFAULTS if name.startswith(CHOOSING)]
    assert len(rules) == 11
    assert all(DEFAULTS[name].source and DEFAULTS[name].unit for name in rules)


def test_a_condition_at_joining_is_the_published_one() -> None:
    """Hill ewes want condition 2.5 at joining: Scotland's Farm Advisory Service, 9 Dec 2024, table 1."""
    assert DEFAULTS["choosing_broken_mouth_below"].value == 2.5


def test_teeth_that_tell_the_age_are_no_broken_mouth() -> None:
    """`full mouth`, `ok` and `4 teeth` say nothing against her; a mouth mended by a later look neither."""
    for mouth in ("full", "ok", "4 teeth", "two tooth"):
        assert "mouth" not in against(flock(*GOOD, check("2026-10-10", f"mouth {mouth}, bcs 2")))
    later = check("2026-10-12", "mouth ok")
    assert "mouth" not in against(flock(*GOOD, check("2026-10-10", "mouth broken, bcs 2"), later))


def test_a_lump_that_is_gone_is_no_reason() -> None:
    """Only the looks since the udder was last found sound count."""
    gone = check("2026-10-10", "udder ok")
    assert "lump" not in against(flock(*GOOD, check("2026-09-10", "udder lump left"), gone))


def test_a_ewe_still_to_lamb_is_not_barren() -> None:
    """While she may lamb nothing is said; a scan that says empty says it; and a loss is no barren year."""
    early = "2026-03-20"
    assert "barren" not in against(flock(year(2025), barren(2026), on=early))
    scan: Notes = {"events/2026-01-20 scan.md": "- E1 empty\n"}
    assert against(flock(year(2025), barren(2026), scan, on=early))["barren"].seasons == (2026,)
    lost: Notes = {"events/2026-02-20 abortion E1.md": "---\newe: E1\nlambs: 1\n---\n"}
    found = against(flock(year(2025), barren(2026), lost))
    assert "barren" not in found
    assert found["lost all"].seasons == (2026,)


def test_a_birth_without_its_ewe_calls_nobody_barren() -> None:
    """A lambing whose ewe cannot be found may be hers: until it is mended no year of that season is called empty."""
    other: Notes = {"events/2026-04-02 lambing E9.md": "---\newe: E9\n---\n- ewe 4 kg\n"}
    assert "barren" not in against(flock(year(2025), barren(2026), other))


@pytest.mark.parametrize(
    "note",
    [b"---\newe: E1\n  - [\n---\n", b"---\newe: E1\ndate: the 40th of May\n---\n- ewe 4 kg\n", b"\xff\x00\x81"],
    ids=["broken head", "no day", "no text"],
)
def test_a_birth_that_cannot_be_read_calls_nobody_barren(note: bytes) -> None:
    """A damaged lambing note of that year may be hers; notes of another year change nothing."""
    damaged: Notes = {"events/2026-04-02 lambing E1.md": note}
    assert "barren" not in against(flock(year(2025), barren(2026), damaged))
    elsewhere: Notes = {"events/2024-04-02 lambing E1.md": note}
    assert "barren" in against(flock(year(2025), barren(2026), elsewhere))


def test_a_treatment_that_cannot_be_read_may_be_hers() -> None:
    """While any note of a treatment or an illness is damaged, nobody whom it could mean is called never treated."""
    assert "untreated" in {reason.rule for reason in of(flock(*GOOD)).for_}
    damaged: list[Notes] = [
        {"events/2026-06-01 treatment.md": b"---\nsheep: [\n---\n"},
        {"events/2026-06-01 treatment foot.md": "---\nsheep: E99\nmedicine: penicillin\ngiven: 2026-06-01\n---\n"},
        {"events/2026-06-01 illness.md": b"---\nsheep: [\n---\n"},
    ]
    for notes in damaged:
        assert "untreated" not in {reason.rule for reason in of(flock(*GOOD, notes)).for_}


def test_lambs_count_for_the_ewe_that_reared_them() -> None:
    """A lamb fostered onto E2 and weaned speaks for E2; E1 who gave it away did not lose it."""
    foster: Notes = {"events/2026-04-02 foster 20261.md": "---\nlamb: 20261\nonto: E2\n---\n"}
    seen = flock(year(2026, "- ewe 4.0 kg, tag 20261\n"), foster)
    years = seen.facts.choosing.years
    assert [item.weaned for item in years.of("E1")] == [0]
    assert [item.weaned for item in years.of("E2")] == [1]
    assert "lost all" not in against(seen)


def test_weight_weaned_stands_beside_the_middle_ewe() -> None:
    """Six ewes' single lambs of 30 to 40 kg: the three heaviest are at or above the middle of 35 kg, worked by hand."""
    notes: dict[str, str] = {}
    for place in range(6):
        notes[f"sheep/W{place}.md"] = "---\nnote: ewe\nborn: 2020\n---\n"
        notes[f"events/2026-04-01 lambing W{place}.md"] = f"---\newe: W{place}\n---\n- ewe 4 kg, tag L{place}\n"
    notes["events/2026-08-01 weaning.md"] = "".join(f"L{place} {30 + 2 * place}\n" for place in range(6))
    seen = flock(notes)
    above = {
        choice.ewe: step_words(reason.because[0])
        for choice in seen.facts.choosing.choices
        for reason in choice.for_
        if reason.rule == "weight"
    }
    assert sorted(above) == ["W3", "W4", "W5"]
    assert above["W3"] == "2026: 36.0 kg, middle of 6 ewes 35.0 kg; L3 36.0 kg"


def test_a_ewe_to_go_shows_that_she_is_not_clear() -> None:
    """Food safety: what the guard says of her meat stands beside the suggestion, with its day."""
    given = "---\nsheep: E1\nmedicine: penicillin\ndose: 2 ml\ngiven: 2026-10-10\n---\n"
    dose: Notes = {"events/2026-10-10 treatment E1.md": given}
    seen = flock(*RULES["udder"][0], dose)
    row = next(row for row in facts_object(seen)["reasons"] if row["ewe"] == "E1")
    assert row["suggest"] == CULL
    assert row["meat"] == {"state": "held", "until": "2026-11-10"}
    assert row["meat"]["until"] == next(
        item["meat"]["until"] for item in facts_object(seen)["clearance"] if item["sheep"] == "E1"
    )


def test_a_suggestion_of_every_grown_ewe_and_of_nobody_else() -> None:
    """Living ewes of a year and more, and younger ones that were put to a ram; no rams, no lambs, nobody gone."""
    gone: Notes = {"events/2026-09-01 death E2.md": "---\nsheep: E2\ncause: old age\n---\n"}
    seen = flock(*GOOD, gone)
    assert [choice.ewe for choice in seen.facts.choosing.choices] == ["20251", "E1"]
