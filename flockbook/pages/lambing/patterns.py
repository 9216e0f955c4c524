"""How lambs lay over all seasons: counts first, whether any group had it harder, and every lamb that lay wrong."""

from __future__ import annotations

from collections.abc import Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.lambing.birth_lines import BirthLines
from flockbook.derive.lambing.losses import ALARM, LEAST_GROUP
from flockbook.derive.lambing.newborn import BirthWeight
from flockbook.derive.lambing.patterns import Against, LambCase, Lie, Outcome, PatternGroup, Patterns, View
from flockbook.derive.weights.gains import birth_weight
from flockbook.flock import gone
from flockbook.pages.lambing.pattern_notes import PATTERN_NOTES
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Aside, Block, Fold, Pager, Section, SectionsView
from flockbook.pages.telling.sentences import part, sentence
from flockbook.pages.views import (
    Cell,
    Column,
    Directory,
    LinkView,
    PageLink,
    Row,
    Table,
    Words,
    day,
    directory,
    share_view,
)
from flockbook.pages.wording import plural, weight_words
from flockbook.regional import local
from flockbook.saying.newborns import birth_weight_words, group_words
from flockbook.seen import Seen

PATH = "patterns.html"
TOLD = {
    Outcome.LAY_WRONG: "lambs lay wrong", Outcome.HELPED: "births helped", Outcome.BORN_DEAD: "lambs born dead"
}  # fmt: skip
HEADS = {Outcome.LAY_WRONG: "Lay wrong", Outcome.HELPED: "Births helped", Outcome.BORN_DEAD: "Born dead"}
SHARED_FATE = (
    "Lambs of one litter share their fate, and so do the births of one ewe; the true ranges are wider than printed."
)


class Lined(Value):
    """How birth weights are told here: by which lines, in which units."""

    lines: BirthLines
    units: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    told, tags = seen.facts.lambing.patterns, directory(seen.linked, seen.today)
    lined = Lined(seen.facts.lambing.birth_lines, seen.settings.units)
    wrong, more = over_pages(wrong_table(seen, told.wrong, tags), Seat(PATH, "How lambs lay"))
    behind = Pager((PageLink("The lambs and births counted, and their notes", PATTERN_NOTES),))
    sections = (
        Section("What stands out", what_stands_out(told, lined), "found"),
        Section("Every way of lying", (lies_table(told.lies, lined),), "lies"),
        *(Section(f"By {view.by}", (view_table(view, lined),)) for view in told.views if len(view.groups) > 1),
        Section(local("Every lamb that lay wrong"), (wrong,), "wrong"),
    )
    yield Page(PATH, "sections.html", "How lambs lay", SectionsView(lead(told), sections, foot=(behind,)))
    yield from more


def what_stands_out(told: Patterns, lined: Lined) -> tuple[Block, ...]:
    """The groups that stand out, how they were judged, and folded those that chance alone could bring."""
    found = [held_against(*row, lined) for row in told.found if row[-1].stands_out] or nothing(told)
    hints = tuple(Aside(held_against(*row, lined), "words") for row in told.found if not row[-1].stands_out)
    fold = (Fold("Hints that chance alone could give", hints),) if hints else ()
    return (*(Aside(text, "words") for text in found), Aside(caution(told)), *fold)


def lead(told: Patterns) -> str:
    """How many births, lambs, and lambs that lay wrong."""
    if not told.cases:
        return "No lamb is written yet."
    wrong, seasons = len(told.wrong), len({case.birth.season for case in told.cases})
    more = f" Of {plural(told.unwritten, 'birth')} the lambs are still to write." if told.unwritten else ""
    return (
        f"{plural(len(told.cases), 'lamb')} in {plural(told.births, 'birth')} of {plural(seasons, 'season')}; {wrong} "
        f"lay otherwise than nose and two forefeet first.{more}"
    )


def held_against(view: View, group: PatternGroup, item: Against, lined: Lined) -> str:
    """A group held against all others, in a sentence."""
    mine, rest = item.difference.a, item.difference.b
    name = group_words(group.label, lined.lines, lined.units)
    head = f"{view.by.capitalize()}, {name}: {part(mine)} {TOLD[item.outcome]}"
    return sentence(f"{head}, {part(rest)} of all others", item.difference, two_minds=False)


def nothing(told: Patterns) -> tuple[str, ...]:
    """What is said when no group stands out."""
    if not told.comparisons:
        words = f"Too few births to hold any group against the others: {LEAST_GROUP} on each side are wanted."
        return (words,) if told.cases else ()
    return (
        f"Nothing stands out: of {plural(told.comparisons, 'comparison')} none shows more than chance alone would do.",
    )


def caution(told: Patterns) -> str:
    """What looking at many groups does."""
    if not told.comparisons:
        return SHARED_FATE
    alarms = told.comparisons * ALARM
    return (
        f"{plural(told.comparisons, 'comparison')} were made. If nothing at all lay behind any of them, about "
        f"{alarms:.0f} would still look like something by chance. So a group is said to stand out only if its p, times "
        f"{told.comparisons}, is under {ALARM:g}; the rest are hints to watch, not findings. {SHARED_FATE}"
    )


def lies_table(lies: tuple[Lie, ...], lined: Lined) -> Table:
    """Every way of lying, counted."""
    columns = (
        Column("How it lay"), Column("Lambs", "number"), Column("Helped", "number"), Column("Born dead", "number"),
        Column("First lambing", "number"),
        Column(birth_weight_words(BirthWeight.HEAVY, lined.lines, lined.units).capitalize(), "number"),
        Column("Litters, sires", wide=True),
    )  # fmt: skip
    rows = [
        Row((
            LinkView(lie.lay, PATTERN_NOTES), lie.lambs, lie.helped, lie.dead, lie.first_lambings, lie.heavy,
            Words(f"{counts_words(lie.litters)}; {counts_words(lie.sires)}"),
        ))
        for lie in lies
    ]  # fmt: skip
    return Table(columns, tuple(rows), "No lamb is written yet.")


def counts_words(counted: tuple[tuple[str, int], ...]) -> str:
    """twins 3, single 2."""
    return ", ".join(f"{label} {count}" for label, count in counted)


def view_table(view: View, lined: Lined) -> Table:
    """One way of sorting: shares with their ranges, the largest group first."""
    outcomes = [outcome for outcome, _ in view.groups[0].shares]
    columns = (Column(view.by.capitalize()), *(Column(local(HEADS[outcome])) for outcome in outcomes))
    rows = [
        Row((LinkView(group_words(group.label, lined.lines, lined.units), PATTERN_NOTES), *shares(group, outcomes)))
        for group in view.groups
    ]
    return Table(columns, tuple(rows), "")


def shares(group: PatternGroup, outcomes: list[Outcome]) -> list[Cell]:
    """The shares of one group."""
    return [share_view(group.share(outcome)) for outcome in outcomes]


def wrong_table(seen: Seen, cases: tuple[LambCase, ...], tags: Directory) -> Table:
    """Every lamb that lay wrong, the latest first."""
    columns = (
        Column("Ewe"), Column("Day"), Column("How it lay"), Column("Weight"), Column("Help"), Column("The lamb"),
        Column("Her lambing, litter, sire", wide=True),
    )  # fmt: skip
    rows = [
        Row((
            tags.tag(case.birth.ewe or ""), day(case.birth.event.date) or "", case.lay,
            weight_words(birth_weight(case.lamb), seen.settings.units) or "not weighed",
            local(case.birth.event.help or "") or ("helped" if case.birth.helped else "none"), fate_of_case(seen, case),
            Words(", ".join(case.groups[:3])),
        ))
        for case in cases
    ]  # fmt: skip
    return Table(columns, tuple(rows), "Every lamb lay as it should.", "cases")


def fate_of_case(seen: Seen, case: LambCase) -> str:
    """What became of a lamb."""
    if case.dead:
        return "born dead"
    left = gone(case.lamb, seen.today)
    return left.how if left else "lives"


PAGES = (PageMaker("how lambs lay", make),)
NAVIGATION = (Link("How lambs lay", PATH, "", "Lambing"),)
