"""Trials: writings laid out, asked about and judged, one after the other."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from itertools import islice
from pathlib import Path
from random import Random

from tests.truth.catalogue import WAYS
from tests.truth.cure import Cure, cured
from tests.truth.plain import written
from tests.truth.product import Failed, facts_of
from tests.truth.trial import Desk, Verdict, inexact, judged
from tests.truth.ways import Way, first_scene
from tests.truth.world import Dosed, Unfit, World
from tests.truth.writing import Writing, pair, pairs, single

QUICK = Path("/dev/shm")
BACK, TAGGED = ("back_after_dose", "bought_back"), ("retagged", "retagged_before", "to_come")
SAME_WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Outcome:
    """One writing and what came of it."""

    writing: Writing
    verdict: Verdict
    fault: str = ""  # the program gave up, or an undetectable way is none

    @property
    def wrong(self) -> tuple[str, ...]:
        """What is wrong with rank 1; a way that really cannot be found out has nothing wrong."""
        if self.fault:
            return (self.fault,)
        return () if any(way.otherwise for way in self.writing.ways) else self.verdict.wrong


@cache
def place() -> tempfile.TemporaryDirectory[str]:
    """A folder that is gone when this process ends."""
    return tempfile.TemporaryDirectory(prefix="truth-", dir=QUICK if QUICK.is_dir() else None)


@cache
def desk() -> Desk:
    """The one folder of this process, laid out anew for each writing."""
    return Desk(Path(place().name))


def tried(writing: Writing) -> Outcome:
    """One writing, judged."""
    try:
        verdict = judged(writing.world, facts_of(desk().lay(writing.files()), writing.world.on))
    except Failed as failed:
        return Outcome(writing, Verdict(), f"the program gave up: {failed}")
    return Outcome(writing, verdict, "".join(excuse(writing, way) for way in writing.ways if way.otherwise))


def mended(writing: Writing) -> list[str]:
    """Where the answer differs from the truth after the plain notes have been put in place of the way's."""
    return inexact(writing.world, facts_of(desk().lay(writing.plain()), writing.world.on))


def after_cure(writing: Writing, cures: dict[str, Cure] | None = None) -> list[str]:
    """Where it differs after what the messages say has been typed (`cure.CURES` unless others are given)."""
    facts = facts_of(desk().lay(writing.files()), writing.world.on)
    typed = cured(writing.files(), facts["diagnostics"], cures)
    return inexact(writing.world, facts_of(desk().lay(typed), writing.world.on))


def excuse(writing: Writing, way: Way) -> str:
    """Why a way that calls itself undetectable is not; "" if its files are the plain writing of the other truth."""
    assert way.otherwise is not None
    scene = first_scene(writing.world, writing.idents[0], writing.chance(way))
    other = way.otherwise(scene)
    if writing.files() != written(other).files:
        return f"{way.name}: its files are not the plain writing of the other truth"
    sooner = any(
        other.until(key, "meat") < writing.world.until(key, "meat") for key in scene.dose.who if key in other.animals
    )
    return "" if sooner else f"{way.name}: the other truth frees nobody sooner"


def run(count: int, seed: int, *, pairs: bool = False, only: list[str] | None = None) -> Iterator[Outcome]:
    """So many writings of one seed."""
    chosen = [WAYS[name] for name in only or WAYS]
    writings = in_pairs(chosen, seed) if pairs else in_turn(chosen, seed)
    return (tried(item) for item in islice(fitting(writings), count))


def fitting(writings: Iterator[Writing]) -> Iterator[Writing]:
    """Those whose ways fit their world and each other."""
    for writing in writings:
        with suppress(Unfit, UnicodeEncodeError):  # a curly quote has no place in a file of old letters
            writing.files()
            yield writing


def in_turn(ways: list[Way], seed: int) -> Iterator[Writing]:
    """Every way in turn, each time in another world."""
    turn = 0
    while True:
        yield from (single(way, seed * 1000 + turn) for way in ways)
        turn += 1


def in_pairs(ways: list[Way], seed: int) -> Iterator[Writing]:
    """Pairs at random."""
    for number, (first, second) in enumerate(pairs(ways, Random(seed))):
        with suppress(Unfit, UnicodeEncodeError):
            made = pair(first, second, seed * 1000 + number)
            if not read_as_one(made) and not name_gone(made) and not two_lives(made):
                yield made


def two_lives(writing: Writing) -> bool:
    """Whether one ewe both left and came back and got another tag, of which each way tells only half: of such a pair no
    reader can say which tag went to whom.
    """
    lives = {"back" if way.of in BACK else "tagged" for way in writing.ways if way.of in (*BACK, *TAGGED)}
    return len(lives) > 1


def name_gone(writing: Writing) -> bool:
    """Whether one way took a former name out of all notes and the other calls her by nothing else."""
    gone = [way.name for way in writing.ways if way.of == "renamed"]
    plain = writing.plain()
    changed = " ".join(f"{path} {text!s}" for path, text in writing.files().items() if plain.get(path) != text)
    return len(gone) == 1 and writing.idents[0] != writing.idents[1] and "Teasel" in changed


def reach(world: World, dose: Dosed) -> frozenset[str]:
    """Those who were dosed, and all who stood with one of them: the note may read as if it meant these too."""
    pens = [world.pen(mob, dose.at) for mob in world.mobs]
    met = [pen for pen in pens if pen & dose.who]
    return dose.who.union(*(pens if len(met) > 1 else met))


def read_as_one(writing: Writing) -> bool:
    """Whether a dose told elsewhere, with no other product and no other amount, lies in one week with another of the
    same animal: whoever reads both takes them for one dose (V8), so that the pair decides nothing.
    """
    here, there = (writing.world.dose(ident) for ident in writing.idents)
    if here is there or abs(here.at - there.at) > SAME_WEEK:
        return False
    if not reach(writing.world, here) & reach(writing.world, there):
        return False
    told_elsewhere = [way.rule.endswith("V8") for way in writing.ways]
    return (told_elsewhere[0] and tells_no_other(writing, here, there)) or (
        told_elsewhere[1] and tells_no_other(writing, there, here)
    )


def tells_no_other(writing: Writing, here: Dosed, there: Dosed) -> bool:
    """Whether the words that tell of one dose say neither its product nor its amount where another differs in them."""
    plain, other = writing.plain(), written(writing.world).notes.get(there.ident)
    changed = {
        path: str(text)
        for path, text in writing.files().items()
        if plain.get(path) != text and other and path != other.path
    }
    told = " ".join((*changed, *changed.values()))
    other_product = here.medicine != there.medicine and here.medicine in told
    other_amount = here.ml != there.ml and bool(re.search(rf"{re.escape(here.ml)}\s*(?:ml|cc)", told))
    return not other_product and not other_amount
