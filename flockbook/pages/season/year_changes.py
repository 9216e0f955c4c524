"""Money and illness of a season beside the season before, and the seasons of old records."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from flockbook.derive.farm.money import MoneySeason
from flockbook.derive.health.cases import Incidence
from flockbook.derive.lambing.past_births import PastSeason
from flockbook.derive.season.seasons import Season
from flockbook.pages.sections import Points, Section, Subhead
from flockbook.pages.views import Column, Row, Table, Words
from flockbook.pages.wording import plural
from flockbook.regional import local
from flockbook.saying.money import MONEY_SIGNS, sum_words
from flockbook.seen import Seen

MONEY_AND_ILLNESS = (
    "Sums and cases as they are written, season beside season. A sum is no matter of chance; of illness the counts "
    "stand first, and few cases say little."
)
OLD_RULE = (
    "From old records (notes of the kind “past lambings”): births of before the first note. Who was put to the ram "
    "then is not known, so they stand beside the seasons of the book and no share of ewes exposed is made of them."
)
MOST_PROBLEMS = 6  # problems told of one season; the rest are on the page of illness


def changes_beside(seen: Seen, shown: tuple[Season, ...]) -> tuple[Section, ...]:
    """What changed in money and illness, the latest pair of seasons first."""
    body: list[str | Subhead | Points] = []
    for before, after in reversed(list(pairwise(shown))):
        told = (*money_changed(seen, before.season, after.season), *illness_changed(seen, before.season, after.season))
        if told:
            body += [Subhead(f"{before.season} and {after.season}"), Points(tuple(told), "words")]
    return (Section("Money and illness, what changed", (MONEY_AND_ILLNESS, *body), "money-illness"),) if body else ()


def money_changed(seen: Seen, before: int, after: int) -> Iterator[str]:
    """What came in, what was spent, and what is left for each ewe."""
    sign, found = MONEY_SIGNS.get(seen.settings.currency.upper(), ""), seen.facts.farm.money.seasons
    old, new = (next((item for item in found if item.season == year), None) for year in (before, after))
    if old is None or new is None:
        return
    for what, of in (("came in", "income"), ("was spent", "costs"), ("was left (the margin)", "margin")):
        was, now = getattr(old.budget, of), getattr(new.budget, of)
        more = "more" if now > was else "less"
        by = f", {sum_words(abs(now - was), sign)} {more}" if now != was else ", the same"
        yield f"{sum_words(now, sign)} {what} in {after}, {sum_words(was, sign)} in {before}{by}."
    yield per_ewe(old, new, sign)


def per_ewe(old: MoneySeason, new: MoneySeason, sign: str) -> str:
    """The margin for each ewe put to the ram."""
    was, now = (sum_words(item.budget.margin_per_ewe, sign) for item in (old, new))
    return f"{local('For each ewe put to the ram')} {now} was left in {new.season}, {was} in {old.season}."


def illness_changed(seen: Seen, before: int, after: int) -> Iterator[str]:
    """Each problem's cases, the commonest of the later season first."""
    found: dict[tuple[int, str], Incidence] = {
        (item.season, item.problem): item for item in seen.facts.health.cases.incidence
    }
    problems = {problem for year, problem in found if year in (before, after)}
    both = {one: (cases_of(found.get((after, one))), cases_of(found.get((before, one)))) for one in problems}
    order = sorted(problems, key=lambda one: (-both[one][0], -both[one][1], one))
    for problem in order[:MOST_PROBLEMS]:
        now, was = found.get((after, problem)), found.get((before, problem))
        yield f"{problem.capitalize()}: {plural(cases_of(now), 'case')} in {after}, {cases_of(was)} in {before}."
    if len(order) > MOST_PROBLEMS:
        yield f"{plural(len(order) - MOST_PROBLEMS, 'problem')} more stand on the page of illness."


def cases_of(item: Incidence | None) -> int:
    """How many cases a season had of a problem."""
    return item.cases if item else 0


def old_seasons(seen: Seen) -> tuple[Section, ...]:
    """The seasons of old records, the latest first; nothing where there are none."""
    found = seen.facts.lambing.past.seasons
    if not found:
        return ()
    columns = (
        Column("Season"), Column("Ewes that lambed", "number"), Column("Born", "number"), Column("Alive", "number"),
        Column("Litters"), Column("What became of them", wide=True),
    )  # fmt: skip
    rows = tuple(Row(old_cells(item)) for item in reversed(found))
    return (Section("From old records", (local(OLD_RULE), Table(columns, rows, "", "old-seasons")), "old-head"),)


def old_cells(item: PastSeason) -> tuple[str | int | Words, ...]:
    """One season of old records."""
    litters = ", ".join(f"{count} of {size}" for size, count in item.litters.items())
    fates = ", ".join(f"{count} {fate or 'not written'}" for fate, count in item.fates.items())
    helped = f"; helped {item.helped} of {item.help_written} written" if item.help_written else ""
    born = f"{item.lambs} ({item.lambs / item.ewes:.2f} each)" if item.ewes else str(item.lambs)
    return f"{item.season}, from old records", item.ewes, born, item.alive, litters, Words(f"{fates}{helped}")
