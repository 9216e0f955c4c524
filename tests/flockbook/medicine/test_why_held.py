"""Why a sheep is held, as a shepherd reads it: each reason that the guard can give, out of a note that leads to it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from compiler.shape import field_names
from flockbook.derive.medicine import hold_reasons
from flockbook.derive.plain.because import Reason
from flockbook.saying.because import step_words
from flockbook.seen import Seen
from tests.flockbook.small import Notes, read

EWE, ONE_BIRTHDAY = "---\nnote: ewe\nborn: 2021\n---\n", "---\nnote: ewe\nborn: 2021-04-02\n---\n"
FLOCK = {"sheep/C214 Bramble.md": EWE, "sheep/C230 Teasel.md": EWE}
LABEL = "label rate: 1 ml per 20 kg\nroute: mouth\n"
DIP = "---\nnote: medicine\nname: dip\nmeat withdrawal: 28 days\nmilk withdrawal: {}\n"
GIVEN, NOT_FOR_MILK = "given: 2026-06-01\n", DIP.format("not for milk")
HEAD = "---\nnote: treatment\ndate: {}\nsheep: C214\nmedicine: dip\n"
CORRECTED = f"{HEAD.format('2026-06-01')}{GIVEN}corrects: a treatment.md\n---\n"
WEIGHED = {"2026-05-30 weighing.md": "---\nnote: weighing\n---\n- C214 40 kg\n"}


def dipped(more: str = GIVEN, words: str = "", date: str = "2026-06-01", path: str = "a treatment.md") -> Notes:
    """A dip of C214 in a note with these lines in its head and these words below, and the dip's own note."""
    return {**FLOCK, "medicines/dip.md": f"{NOT_FOR_MILK}{LABEL}---\n", path: f"{HEAD.format(date)}{more}---\n{words}"}


def lamb(found: Notes) -> Notes:
    """The same notes with a lamb in place of C214."""
    young = "---\nnote: ewe\nborn: 2026-05-20\n---\n"
    text = str(found["a treatment.md"]).replace("C214", "L1")
    dip = f"{NOT_FOR_MILK}minimum age: 42 days\n---\n"
    return {**found, "sheep/L1 Mite.md": young, "a treatment.md": text, "medicines/dip.md": dip}


DOSES_TOLD = "its words tell of "
IN_WRITING = "a vet's name and a written meat period are needed"
OLD_NOTE = "events/2026/a treatment.md"
# The words are our own; the rules W1 to W12, V6, V9, V11 and V12 of the book say when.
CASES: dict[str, tuple[Notes, str, str]] = {
    "day": (dipped(), "W2", "last dose 1 Jun 2026, no time written, so one day is added; meat 28 days: first clear "
        "date 30 Jun 2026"),
    "hour": (dipped("given: 2026-06-01 08:00\n"), "W1", "last dose 1 Jun 2026 08:00; meat 28 days: clear from 29 Jun "
        "2026 08:00"),
    "unread": (dipped(f"{GIVEN}dose: a splash\n"), "W11", "part of this note could not be read (dose)"),
    "ahead": (dipped("given: 2026-06-01, 2026-08-01\n"), "W11", "this treatment is dated in the future (1 Aug 2026)"),
    "no note": ({path: text for path, text in dipped().items() if path != "medicines/dip.md"}, "W6",
        "there is no medicine note called “dip”"),
    "course": (dipped(f"{GIVEN}days: 3\n"), "W5", "the course is still open: neither “given” for all its days nor "
        "“finished” is written"),
    "off label": (dipped(f"{GIVEN}off label: yes\n"), "W9", f"used off the label: {IN_WRITING}"),
    "route": (dipped(f"{GIVEN}route: back\n"), "W9", f"given back, the label says mouth: {IN_WRITING}"),
    "no period": ({**dipped(), "medicines/dip.md": "---\nnote: medicine\nname: dip\n---\n"}, "W6",
        "no meat period is typed for dip"),
    "organic": ({**dipped(), "flock.yaml": "flock: Small\norganic: yes\norganic withdrawal: half\n"}, "W13",
        "an organic sheep, and “organic withdrawal” in flock.yaml could not be read"),
    "never": (dipped(), "W7", "dip is not for milk until the vet says otherwise"),
    "over": ({**dipped(f"{GIVEN}dose: 9 ml\n"), **WEIGHED}, "W9", "9 mL was recorded where the rate gives 2 mL; 9 mL "
        "is over twice the label's 2 mL for 40 kg (not weighed then: the most that its last weight and its growth "
        f"allow): {IN_WRITING}"),
    "words": (dipped(f"{GIVEN}dose: 2 ml\n", words="She had 9 ml.\n"), "W9", "its words tell of 9 mL, over twice "
        f"the 2 mL written as the dose: {IN_WRITING}"),
    "rate": (dipped(f"{GIVEN}rate: 2 ml per 20 kg\n"), "W9", "the rate in this note is over the label's: "
        f"{IN_WRITING}"),
    "least": ({**dipped(f"{GIVEN}dose: 2 ml\n"), **WEIGHED, "medicines/dip.md": f"{NOT_FOR_MILK}{LABEL}label minimum: "
        "2.5 ml\n---\n"}, "W9", f"2 mL is under the label's least dose of 2.5 mL: {IN_WRITING}"),
    "young": (lamb(dipped()), "W9", f"12 days old, the label begins at 42 days: {IN_WRITING}"),
    "medicine": ({**dipped(), "medicines/dip.md": f"{NOT_FOR_MILK}pack: a boxful\n---\n"}, "W11",
        "the note on dip could not be read whole"),
    "longer": ({**dipped(), "medicines/dip.md": f"{DIP.format('3 days')}---\nMeat withdrawal is 60 days.\n"}, "V11",
        "the note on dip says “Meat withdrawal is 60 days” in its words, which is longer than typed"),
    "wait": ({**dipped(words="Vet says 56 days this time.\n"), "medicines/dip.md": f"{DIP.format('3 days')}---\n"},
        "V11", "its words say “Vet says 56 days this time”, which is longer than the label's"),
    "another file": ({**dipped(), "medicines/dip2.md": "---\nnote: medicine\nname: dip\nmeat withdrawal 60 days\n"},
        "V11", "another file on dip cannot be used (medicines/dip2.md)"),
    "as well": ({**dipped(words="Also penicillin in the leg.\n"), "medicines/pen.md": "---\nnote: medicine\nname: "
        "penicillin\nmeat withdrawal: 9 days\n---\n"}, "V11", "the words of this treatment name penicillin as well"),
    "note ahead": (dipped(date="2026-08-01"), "V9", "the note is dated ahead (1 Aug 2026) and its doses are not"),
    "before note": (dipped("given: 2026-01-05\n"), "V9", "a dose is written for 5 Jan 2026, long before its note of 1 "
        "Jun 2026"),
    "before year": (dipped("given: 2025-09-05\n", date="2025-09-05", path=OLD_NOTE), "V9", "a dose is written for 5 "
        "Sep 2025, long before the year of its folder"),
    "year": (dipped("given: 2025-12-30\n", date="2025-12-30", path=OLD_NOTE), "V9", "the note is of 30 Dec 2025 and "
        "lies in the folder of 2026"),
    "last dose": (dipped("given: 2026-06-01, 2026-06-03\nfinished: 2026-06-02\n"), "V9", "it was finished on 2 Jun "
        "2026, before its last dose"),
    "the note": (dipped("finished: 2026-05-31\ndays: 3\n"), "V9", "it was finished on 31 May 2026, before the note "
        "itself"),
    "short": (dipped("finished: 2026-06-02\ndays: 3\n"), "V9", "it was finished before its 3 days were full"),
    "later": (dipped(words="And the rest of it on 4 June.\n"), "V9", f"{DOSES_TOLD}a later day than `given` has"),
    "other day": (dipped(words="on the 3rd\n"), "V9", f"{DOSES_TOLD}another day than `given` has"),
    "weekdays": (dipped(words="2 ml mon and 2 ml wed\n"), "V9", f"{DOSES_TOLD}doses on several weekdays"),
    "run": (dipped(words="for 3 days\n"), "V9", f"{DOSES_TOLD}3 days, `given` has 1"),
    "further": (dipped(words="daily\n"), "V9", f"{DOSES_TOLD}further days than `given` has"),
    "again": (dipped(words="and the same again tomorrow\n"), "V9", f"{DOSES_TOLD}a further dose that `given` does not "
        "have"),
    "corrected": ({**dipped(words="for 3 days\n"), "2026-06-01 treatment C214.md": CORRECTED}, "V9", "of the note that "
        f"it corrects {DOSES_TOLD}3 days, `given` has 1"),
    "one tag": ({**dipped(), "sheep/C214 Other.md": "---\nnote: ewe\ntag: C214\nname: Other\n---\n"}, "V3", "tag "
        "C214 is written for two sheep, and of the other: “C214” in this note fits 2 sheep"),
    "one sheep": ({**dipped(), "sheep/C214 Bramble.md": ONE_BIRTHDAY, "sheep/C231.md": ONE_BIRTHDAY}, "W2", "C214 and "
        "C231 may be one sheep, and of the other: last dose 1 Jun 2026, no time written, so one day is added; meat 28 "
        "days: first clear date 30 Jun 2026"),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_why_a_sheep_is_held(name: str) -> None:
    """Each reason is said as it always was, with days in words, of a sheep whose notes lead to it."""
    notes, rule, words = CASES[name]
    assert (rule, words) in said(read(notes))


def test_every_reason_is_led_to() -> None:
    """No reason that the guard knows of is without a note that leads to it."""
    known = {kind for kind in vars(hold_reasons).values() if isinstance(kind, type) and issubclass(kind, Reason)}
    told = {type(reason) for notes, _, _ in CASES.values() for reason in reasons(read(notes))}
    assert known - {Reason} - told == set()


def said(seen: Seen) -> set[tuple[str, str]]:
    """Every reason of every sheep with its rule, in words."""
    return {(one.rule, step_words(one)) for row in seen.facts.medicine.guard.standing.values() for one in row.because}


def reasons(seen: Seen) -> Iterator[Reason]:
    """Every reason of every sheep, and those inside of them."""
    for row in seen.facts.medicine.guard.standing.values():
        for one in row.because:
            yield from inside(one.reason)


def inside(reason: object) -> Iterator[Reason]:
    """A reason and those that it holds."""
    if isinstance(reason, Reason):
        yield reason
        for part in (getattr(reason, name) for name in field_names(type(reason))):
            for one in part if isinstance(part, tuple) else (part,):
                yield from inside(one)
