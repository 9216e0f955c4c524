"""Cases of illness in words and in tables, for the page of illness, for a case's own page and for a sheep's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from compiler.pages import slug
from flockbook.derive.health.cases import Case, outside_range, raised_ketones
from flockbook.pages.views import Column, Directory, LinkView, Row, Table, Words, day
from flockbook.pages.wording import day_words
from flockbook.saying.holding import ketone_words, temperature_words
from flockbook.seen import Seen

ENDS = {
    "recovered": "well", "dead": "died", "sold": "sold", "returned": "went back",
    "followed": "not written; it began again",
}  # fmt: skip
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


def case_paths(seen: Seen) -> dict[str, str]:
    """Where each case's page is: `cases/c231-lameness-2026-11-21.html`."""
    paths: dict[str, str] = {}
    taken: set[str] = set()
    for case in seen.facts.health.cases.all:
        name = base = slug(case.id)
        number = 1
        while name in taken:
            number += 1
            name = f"{base}-{number}"
        taken.add(name)
        paths[case.id] = f"cases/{name}.html"
    return paths


def problem_link(case: Case, paths: Mapping[str, str]) -> LinkView:
    """The problem, leading to the story."""
    return LinkView(f"{case.problem}{', ' + case.side if case.side else ''}", paths[case.id])


def given_words(case: Case) -> str:
    """What was given for it, in a line."""
    return (
        "; ".join(f"{event.medicine}{', ' + event.dose.text if event.dose else ''}" for event in case.treatments)
        or "nothing written"
    )


def before_words(case: Case) -> list[str]:
    """That she had it before."""
    if not case.earlier:
        return []
    often = ORDINALS[case.earlier] if case.earlier < len(ORDINALS) else f"{case.earlier + 1}th"
    season = (
        f", the {ORDINALS[case.earlier_this_season]} this season"
        if 0 < case.earlier_this_season < len(ORDINALS)
        else ""
    )
    return [f"the {often} time{season}"]


def notices(case: Case) -> list[str]:
    """Figures outside a published range."""
    hot = [found for note in case.notes if (found := outside_range(note.temp.celsius if note.temp else None))]
    raised = [much for note in case.notes if (much := raised_ketones(note.ketones))]
    return [*map(temperature_words, hot), *map(ketone_words, raised)]


def end_words(case: Case) -> str:
    """How and when it ended."""
    return f"{ENDS[case.ended]}, {day_words(case.end)}" if case.end else "open"


def cases_table(cases: Iterable[Case], tags: Directory, paths: Mapping[str, str]) -> Table:
    """Every case, the latest first."""
    columns = (
        Column("Sheep", sort=True),
        Column("Problem", wide=True, sort=True),
        Column("From", sort=True),
        Column("How it ended"),
        Column("Days", "number", sort=True),
        Column("Given", wide=True),
        Column("Before"),
    )
    rows = [
        Row(
            (
                tags.tag(case.sheep),
                problem_link(case, paths),
                day(case.since) or "",
                ENDS[case.ended] if case.ended else "open",
                case.days,
                Words(given_words(case)),
                "; ".join(before_words(case)),
            )
        )
        for case in reversed(tuple(cases))
    ]
    return Table(columns, tuple(rows), "No illness is written.", "cases", filter="Narrow the cases")


def sheep_cases(seen: Seen, sheep: str, paths: Mapping[str, str]) -> Table:
    """The cases of one sheep, for its own page."""
    columns = (Column("Problem", wide=True), Column("From"), Column("How it ended"), Column("Given", wide=True))
    rows = [
        Row((problem_link(case, paths), day(case.since) or "", end_words(case), Words(given_words(case))))
        for case in reversed(seen.facts.health.cases.by_sheep.get(sheep, ()))
    ]
    return Table(columns, tuple(rows), "")
