"""Ewes that lost their lambs and are kept apart: who puts a lamb onto one, or her among the others."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.farm.head_counts import names_itself
from flockbook.derive.market.apart import LET_OUT, Keeping, keepings, lost_lately
from flockbook.derive.plain.days import day_words
from flockbook.flock import happened
from flockbook.records.event import Event
from flockbook.records.pregnancy import Abortion
from flockbook.records.rearing import Foster
from flockbook.seen import Seen

FOSTER_APART = Rule(
    "B311", "foster-onto-who-lost-hers", Grade.ASK,
    "What made a ewe lose her lambs before their time may be in her milk and her bed, and a ewe lamb that it infects "
    "may lose her own lambs years later. No lamb goes onto her before the vet knows the cause (common practice).",
    "a foster onto a ewe three weeks after her abortion",
)  # fmt: skip
LET_OUT_APART = Rule(
    "B312", "let-out-while-apart", Grade.WARNING,
    "A ewe that lost her lambs is kept apart at least three weeks, or as long as her note says, because others catch "
    "most of what causes it from her and from where she lay (Severn Edge Vets).",
    "a move that names a ewe two weeks after her abortion",
)  # fmt: skip
LATELY = 120  # days after a loss in which a ewe may have milk from it (our own choice)
RULES = (FOSTER_APART, LET_OUT_APART)


def fosters_onto_losers(seen: Seen) -> Iterator[Diagnostic]:
    """Lambs given to a ewe that lost hers before their time, of this lambing."""
    for event in seen.linked.of(Foster):
        onto = seen.linked.named(event, event.onto) if event.onto and happened(event, seen.today) else None
        if onto and not event.sure:
            yield from (told_of_foster(seen, event, onto, lost) for lost in lost_before(seen, event, onto))


def lost_before(seen: Seen, event: Foster, ewe: str) -> Iterator[Abortion]:
    """The notes of lambs that a ewe lost not long before one was given to her."""
    for lost in seen.linked.of(Abortion):
        days = (event.date - lost.date).days if event.date and lost.date else -1
        if 0 <= days <= LATELY and ewe in seen.linked.who(lost):
            yield lost


def told_of_foster(seen: Seen, event: Foster, ewe: str, lost: Abortion) -> Diagnostic:
    """The question at the foster note."""
    assert lost.date is not None
    found = f"and the laboratory found {lost.result}" if lost.result else "and no cause is written"
    words = f"{seen.linked.animals[ewe].called_in_full} lost her lambs on {day_words(lost.date)}, {found}"
    cure = "ask your vet before a lamb sucks her; `sure: yes` once the vet says so"
    return FOSTER_APART.at(event.origin.span("onto"), words, cure, also=(lost.origin.span("ewe"),))


def put_among_others(seen: Seen) -> Iterator[Diagnostic]:
    """Moves, drafts and joinings that name a ewe herself while her note, or the three weeks, keep her apart."""
    losses = {note.origin.path for note in seen.linked.of(Abortion)}
    for kept in (*keepings(seen.linked, seen.today), *lost_lately(seen.linked, seen.today)):
        if kept.because.note in losses:
            yield from (warning_of(seen, kept, note, ewe) for ewe in kept.sheep for note in too_soon(seen, kept, ewe))


def too_soon(seen: Seen, kept: Keeping, ewe: str) -> Iterator[Event]:
    """The notes that put a ewe elsewhere on a day on which she is to be apart."""
    for note in seen.linked.by_animal.get(ewe, ()):
        moved = isinstance(note, LET_OUT) and not note.sure and happened(note, seen.today)
        in_time = kept.since and note.date and kept.since < note.date <= kept.until
        if moved and in_time and names_itself(seen.linked, note, ewe):
            yield note


def warning_of(seen: Seen, kept: Keeping, note: Event, ewe: str) -> Diagnostic:
    """The warning on the note that puts her among others."""
    words = f"{seen.linked.animals[ewe].called_in_full} lost her lambs and is kept apart until {day_words(kept.until)}"
    cure = "if she goes to a place of her own, add `sure: yes`; else bring her back and ask your vet about the others"
    return LET_OUT_APART.at(note.origin.span(), words, cure)


CHECKS = (
    Check("fosters onto ewes that lost theirs", fosters_onto_losers),
    Check("let out while apart", put_among_others),
)
