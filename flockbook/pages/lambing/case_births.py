"""What a ewe carried or reared while she was ill: the lambings that belong to a case's story, and their lambs."""

from __future__ import annotations

from datetime import timedelta

from flockbook.derive.health.cases import Case
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.pages.telling.by_sheep import BySheep
from flockbook.pages.telling.sheep_tables import lamb_cells
from flockbook.pages.telling.timeline import Teller
from flockbook.pages.views import Column, Directory, Row, Table
from flockbook.pages.wording import day_words, plural
from flockbook.records.breeding import HELP
from flockbook.regional import local
from flockbook.seen import Seen
from flockbook.whom.whereabouts import SUCKING_DAYS

CASE_LAMB_COLUMNS = (
    Column("Lamb"), Column("Born"), Column("At birth", "number"), Column("Last weight"), Column("A day", "number"),
    Column("Now", wide=True),
)  # fmt: skip


def births_of(seen: Seen, case: Case) -> tuple[LambingFact, ...]:
    """Her lambings from as long before the case as lambs suck to as long after its end as a pregnancy can last."""
    longest = seen.facts.breeding.matings.terms.of(case.sheep).extremes[1]
    last = (case.end or seen.today.day) + timedelta(days=longest)
    first = case.since - timedelta(days=SUCKING_DAYS)
    return tuple(
        birth
        for birth in seen.facts.lambing.births
        if birth.ewe == case.sheep and birth.event.date and first <= birth.event.date <= last
    )


def birth_words(case: Case, birth: LambingFact) -> str:
    """One lambing beside the case: when, how many, how she was helped, and by which note."""
    assert birth.event.date is not None
    days = (birth.event.date - case.since).days
    when = (
        f"{plural(abs(days), 'day')} {'after' if days > 0 else 'before'} it was first written" if days else "that day"
    )
    litter = f"{plural(birth.born, 'lamb')}, {birth.alive} alive" if birth.detailed else "lambs still to be written"
    helped = local(HELP[birth.help - 1])
    return f"Lambed {day_words(birth.event.date)}, {when}: {litter}; help: {helped} ({birth.note})."


def case_lambs_table(seen: Seen, births: tuple[LambingFact, ...], tags: Directory) -> Table:
    """The lambs of those lambings, and what became of each."""
    known, told = BySheep(seen), Teller(tags, seen.settings.units)
    lambs = [lamb for birth in births for lamb in birth.lambs]
    return Table(
        CASE_LAMB_COLUMNS, tuple(Row(lamb_cells(known, told, lamb)) for lamb in lambs), "No lamb is written.", "lambs"
    )
