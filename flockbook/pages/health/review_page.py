"""The year's health on two sides for the vet: losses, cases, medicines by kind, worms and condition, with last season's
figures beside this one's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.health.reduction_tests import ReductionTest
from flockbook.derive.year.health_review import HealthReview, MedicineUse, ReviewYear
from flockbook.pages.sections import Blanks, Section, SectionsView
from flockbook.pages.views import Caution, Column, Directory, Row, Table, Words, directory
from flockbook.pages.wording import NONE, day_words, plural
from flockbook.regional import local
from flockbook.seen import Seen

PATH, TITLE = "health-review.html", "Year's health for the vet"
REVIEW_BLANKS = ("What we change", "Vaccines and tests agreed", "Looked at again on", "Vet", "Keeper")
MOST_PROBLEMS_SHOWN = 8  # cases and kinds of medicine on the sheet; the rest stands in a line below


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheet."""
    del stamp
    yield Page(PATH, "sections.html", TITLE, view_of(seen), "Health")


def view_of(seen: Seen) -> SectionsView:
    """What stands on it."""
    found, tags = seen.facts.year.health_review, directory(seen.linked, seen.today)
    if found.now is None:
        return SectionsView("Nothing is written yet.")
    file = seen.settings.file
    ring = Caution(f"{file.vet or 'Your vet'}: {file.vet_phone or '______________'}", (
        "Counts are those of the notes: what nobody wrote is not in them. A diagnosis is yours to make.",
    ))  # fmt: skip
    sections = (
        Section("Ewes, lambs and losses", (two_years(found, loss_rows(found), "losses"),), "losses", broad=False),
        Section("Cases", (two_years(found, case_rows(found), "cases"), *open_words(found.now)), "cases", broad=False),
        Section("Medicines by kind", (two_years(found, medicine_rows(found), "medicines"),), "medicines", broad=False),
        Section("Worms", (two_years(found, worm_rows(found), "worms"), *falls(found)), "worms", broad=False),
        Section("Condition, check by check", (conditions_beside(found),), "condition", broad=False),
        Section("Samples and results", (sample_table(found, tags),), "samples", broad=False),
        Section("To agree", (Blanks(REVIEW_BLANKS),), "agree", broad=False),
    )
    return SectionsView(lead(seen, found), sections, (ring,), paper="two-sides")


def lead(seen: Seen, found: HealthReview) -> str:
    """Whose flock, and which seasons."""
    years = " beside ".join(str(year.season) for year in reversed(found.years))
    keeper = f" Keeper: {seen.settings.file.keeper}." if seen.settings.file.keeper else ""
    return f"{seen.settings.flock}, season {years}, as at {day_words(seen.today.day)}.{keeper}"


def two_years(found: HealthReview, rows: Iterable[tuple[str, ...]], name: str) -> Table:
    """A table with a column for each season, the earlier first."""
    columns = (Column("What"), *(Column(str(year.season), "number") for year in found.years))
    return Table(columns, tuple(Row(row) for row in rows), "Nothing is written.", f"review-{name}")


def loss_rows(found: HealthReview) -> Iterator[tuple[str, ...]]:
    """Ewes, lambs, and what was lost."""
    years = found.years
    yield local("Ewes put to the ram"), *(str(year.exposed) for year in years)
    yield "Ewes that lambed", *(str(year.lambed) for year in years)
    yield "Lambs born, and alive", *(f"{year.born}, {year.alive}" for year in years)
    for stage in dict.fromkeys(stage for year in years for stage in year.dead_by_stage):
        yield f"Lambs lost: {stage}", *(str(year.dead_by_stage.get(stage, 0)) for year in years)
    yield local("Ewes lost before the next joining"), *(str(year.ewe_deaths) for year in years)
    yield "Ewes that aborted", *(str(year.abortions) for year in years)


def case_rows(found: HealthReview) -> Iterator[tuple[str, ...]]:
    """Cases by problem, the commonest of this season first."""
    years = found.years
    problems = list(dict.fromkeys(problem for year in reversed(years) for problem in year.cases))
    for problem in problems[:MOST_PROBLEMS_SHOWN]:
        yield problem.capitalize(), *(str(year.cases.get(problem, 0)) for year in years)
    if rest := problems[MOST_PROBLEMS_SHOWN:]:
        yield f"Others: {', '.join(rest)}", *(str(sum(year.cases.get(one, 0) for one in rest)) for year in years)
    yield "All cases", *(str(sum(year.cases.values())) for year in years)


def open_words(now: ReviewYear) -> tuple[str, ...]:
    """How many are not written as recovered."""
    return (f"{plural(now.open_cases, 'case')} not written as recovered.",) if now.open_cases else ()


def medicine_rows(found: HealthReview) -> Iterator[tuple[str, ...]]:
    """Treatments by the kind of medicine."""
    uses = [{use.kind: use for use in year.medicines} for year in found.years]
    kinds = list(dict.fromkeys(kind for year in reversed(uses) for kind in year))
    for kind in kinds:
        yield (kind or "kind not written").capitalize(), *(use_words(year.get(kind)) for year in uses)


def use_words(use: MedicineUse | None) -> str:
    """`4 notes, 38 head, 95 mL`."""
    if use is None:
        return NONE
    amount = f", {use.ml:.0f} mL" if use.ml else ""
    return f"{plural(use.treatments, 'note')}, {use.heads} head{amount}"


def worm_rows(found: HealthReview) -> Iterator[tuple[str, ...]]:
    """Looks at eyelids, drenches of mobs, and tests of a drench."""
    years = found.years
    yield "Checks with eyelids", *(str(sum(bool(item.eyelids) for item in year.worm_checks)) for year in years)
    yield "Mean eyelid, all checks", *(mean_eyelid(year) for year in years)
    yield local("Mobs drenched"), *(str(year.group_drenches) for year in years)
    yield "Drench tests", *(str(len(year.egg_tests)) for year in years)


def falls(found: HealthReview) -> tuple[str, ...]:
    """What each tested drench did, the latest season first."""
    tested = [f"{year.season}: {fall_words(test)}." for year in reversed(found.years) for test in year.egg_tests]
    return (" ".join(tested),) if tested else ()


def fall_words(test: ReductionTest) -> str:
    """`moxidectin oral: 98 % fewer eggs`."""
    result = test.result
    fall = f"{result.reduction:.0f} % fewer eggs" if result and result.reduction is not None else "not known yet"
    return f"{test.medicine or test.name}: {fall}"


def mean_eyelid(year: ReviewYear) -> str:
    """Over all sheep scored in a season."""
    scored = [(score, count) for item in year.worm_checks for score, count in item.eyelids.items()]
    heads = sum(count for _, count in scored)
    return f"{sum(score * count for score, count in scored) / heads:.1f} of {heads}" if heads else NONE


def conditions_beside(found: HealthReview) -> Table:
    """Mean condition of each check, the latest first."""
    columns = (Column("Check"), Column("Day"), Column("Scored", "number"), Column("Mean", "number"),
               Column("Two or less", "number"))  # fmt: skip
    checks = [item for year in reversed(found.years) for item in reversed(year.worm_checks) if item.conditions]
    rows = tuple(
        Row((
            item.purpose or "check", day_words(item.date), sum(item.conditions.values()),
            f"{item.mean_condition:.2f}" if item.mean_condition is not None else NONE,
            sum(count for score, count in item.conditions.items() if score <= 2),
        ))
        for item in checks
    )  # fmt: skip
    return Table(columns, rows, "No condition is scored.", "review-condition")


def sample_table(found: HealthReview, tags: Directory) -> Table:
    """What was sent away, and what came back."""
    columns = (Column("Sheep"), Column("Ill with"), Column("Sample"), Column("Result"))
    rows = tuple(
        Row((
            tags.tag(case.sheep), case.problem,
            Words("; ".join(note.sample for note in case.notes if note.sample) or NONE),
            Words("; ".join(note.result for note in case.notes if note.result) or "still to come"),
        ))
        for year in reversed(found.years) for case in reversed(year.samples)
    )  # fmt: skip
    return Table(columns, rows, "No sample is written.", "review-samples")


PAGES = (PageMaker("health review", make),)
NAVIGATION = (Link(TITLE, PATH, "", "Health"),)
