"""Worms: scores over time, who needs a look, who is drenched again and again, who never was, and who was left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from flockbook.derive.health.worms import TREAT_LINES, Drenched, GroupDrench, Score, WormCheck
from flockbook.pages.chart.plate import chart
from flockbook.pages.long_tables import Seat, over_pages
from flockbook.pages.sections import Names, Section, SectionsView
from flockbook.pages.telling.cautions import MEDICINE_CAUTION, WORM_TESTS
from flockbook.pages.views import (
    Cell,
    Chart,
    Column,
    Directory,
    Row,
    Table,
    Words,
    day,
    directory,
    share_view,
)
from flockbook.pages.wording import day_words, plural
from flockbook.regional import local, local_all
from flockbook.saying.worms import PUBLISHERS, WORMS
from flockbook.seen import Seen
from flockbook.targets import worm_rule

PATH = "worms.html"
EYELID_SCORES = (1, 2, 3, 4, 5)
FEW_SHEEP_NAMED = 12  # sheep of one drench shown as ear tags; more are counted
MOST_AS_TAGS = 40  # sheep never drenched that are shown as ear tags; the rest stand in a line of words
CHARTED = 8  # the latest checks are drawn; the table holds them all
ROOM = 300  # elements of one long table on this page, which has several
EYELID_WORDS = (
    "Eyelid 1 is red, 5 white. It tells of blood-feeding worms only. Published guides treat at 4 and 5, mostly leave "
    "1 and 2, and let "
    "3 depend (sheep101.info; Cornell 2020). In one published flock that line alone brought the share treated from 45 "
    "to 13 in a hundred. Eyelid and condition of a check are means of the sheep that have a score."
)
LEAVE_WORDS = (
    "Published advice leaves 10 to 20 in a hundred of a mob undrenched, and marked, so that worms the drench can kill "
    "remain (Vet Times, "
    "13 Jan 2025). It also warns against drenching and moving to clean ground (SCOPS)."
)
POINT_WORDS = (
    "Eye: eyelid 4 or 5. Jaw: swelling under it. Back: condition 2 or less. Tail: dags 3 or more. Nose: "
    "discharge (Cornell 2020)."
)
CHECK_LINE_WORDS = (
    "These published lines differ tenfold between places and worms. None is an instruction; your own rule "
    "and your vet go first."
)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page, and where its long tables go on."""
    del stamp
    found, tags = seen.facts.health.worms, directory(seen.linked, seen.today)
    seat = Seat(PATH, "Worms", "Health", ROOM)
    checks, more_checks = over_pages(sessions_table(found.sessions), seat)
    last = last_five_points(found.sessions)
    points, more_points = over_pages(points_table(last, tags), seat)
    drenches, more_drenches = over_pages(drench_table(found.group_drenches, tags), seat)
    sections = (
        *next_look(seen),
        Section("Scores, check by check", (EYELID_WORDS, *score_charts(found.sessions), checks), "scores"),
        *([Section("The last look at five points", (POINT_WORDS, points), "last-look", day_words(last.date))]
          if last else []),
        Section(local("Drenched again and again"), (offenders_table(found.offenders, tags),), "offenders",
                f"since the {found.season} season began"),
        never_section([row.sheep for row in found.never], tags),
        Section("Left undrenched", (local_all(LEAVE_WORDS), drenches), "left"),
        Section("Published lines beside your rule", (CHECK_LINE_WORDS, own_rule(seen), lines_table()), "lines"),
    )  # fmt: skip
    yield Page(
        PATH, "sections.html", "Worms", SectionsView(lead(seen), sections, (WORM_TESTS, MEDICINE_CAUTION)), "Health"
    )
    yield from (*more_checks, *more_points, *more_drenches)


def next_look(seen: Seen) -> tuple[Section, ...]:
    """When eyelids were last looked at, and when by published advice they are again; nothing where nobody ever did."""
    found = seen.facts.health.worms.next_look
    if found is None:
        return ()
    ago = (seen.today.day - found.last).days
    late = " That is past." if seen.today.day > found.latest else ""
    words = (
        f"Eyelids were last looked at on {day_words(found.last)}, {plural(ago, 'day')} ago. In warm wet months that is "
        f"done again after one to three weeks (American Consortium for Small Ruminant Parasite Control): from "
        f"{day_words(found.earliest)} to {day_words(found.latest)}.{late} In dry or cold weeks your own rule decides."
    )
    return (Section("The next look", (words,), "next-look"),)


def lead(seen: Seen) -> str:
    """This season in a sentence."""
    found = seen.facts.health.worms
    done = sum(row.times > 0 for row in found.drenched)
    often = plural(len(found.offenders), "sheep", "sheep")
    return local(
        f"Since the {found.season} season began {done} of {len(found.drenched)} sheep were drenched; {often} "
        f"twice or more and more often than the middle sheep of its kind."
    )


# Scores


def score_charts(sessions: Sequence[WormCheck]) -> tuple[Chart, ...]:
    """Eyelids as counts of each score, condition as a mean, check by check."""
    eyed = [item for item in sessions if item.eyelids][-CHARTED:]
    fat = [item for item in sessions if item.conditions][-CHARTED:]
    charts = []
    if eyed:
        charts.append(eyelid_chart(eyed))
    if len(fat) > 1:
        charts.append(condition_chart(fat))
    return tuple(charts)


def eyelid_chart(sessions: Sequence[WormCheck]) -> Chart:
    """Stacked counts of each eyelid score."""
    days = [day_words(item.date) for item in sessions]
    data: list[dict[str, Any]] = [
        {"type": "bar", "name": f"eyelid {score}", "x": days, "y": [item.eyelids.get(score, 0) for item in sessions]}
        for score in EYELID_SCORES
        if any(item.eyelids.get(score) for item in sessions)
    ]
    says = "; ".join(
        f"{shown}: {', '.join(f'{count} of score {score}' for score, count in item.eyelids.items())}"
        for shown, item in zip(days, sessions, strict=True)
    )
    layout = {
        "title": "Eyelid scores",
        "meta": {"says": says},
        "barmode": "stack",
        "yaxis": {"title": "sheep"},
        "xaxis": {"type": "category"},
    }
    columns = (Column("Check"), *(Column(f"Score {score}", "number") for score in EYELID_SCORES))
    rows = tuple(
        Row((shown, *(item.eyelids.get(score, 0) for score in EYELID_SCORES)))
        for shown, item in zip(days, sessions, strict=True)
    )
    return chart("eyelids", "Eyelid scores, sheep of each", {"data": data, "layout": layout}, Table(columns, rows, ""))


def condition_chart(sessions: Sequence[WormCheck]) -> Chart:
    """Mean condition with the lowest and the highest."""
    means = [round(item.mean_condition or 0, 2) for item in sessions]
    title = "Condition, mean with lowest and highest"
    return chart("condition", title, condition_figure(sessions, means), condition_table(sessions, means))


def condition_figure(sessions: Sequence[WormCheck], means: Sequence[float]) -> dict[str, Any]:
    """A line through the means, with the reach of each check."""
    spread = {
        "type": "data",
        "symmetric": False,
        "array": [max(item.conditions) - mean for item, mean in zip(sessions, means, strict=True)],
        "arrayminus": [mean - min(item.conditions) for item, mean in zip(sessions, means, strict=True)],
    }
    trace = {
        "type": "scatter",
        "mode": "lines+markers",
        "name": "condition",
        "x": [item.date.isoformat() for item in sessions],
        "y": means,
        "error_y": spread,
    }
    says = "; ".join(f"{day_words(item.date)}: mean {mean}" for item, mean in zip(sessions, means, strict=True))
    layout = {
        "title": "Condition",
        "meta": {"says": says},
        "yaxis": {"title": "score", "range": [1, 5]},
        "xaxis": {"type": "date"},
    }
    return {"data": [trace], "layout": layout}


def condition_table(sessions: Sequence[WormCheck], means: Sequence[float]) -> Table:
    """The same in figures."""
    columns = (
        Column("Check"), Column("Sheep", "number"), Column("Lowest", "number"), Column("Mean", "number"),
        Column("Highest", "number"),
    )  # fmt: skip
    rows = []
    for item, mean in zip(sessions, means, strict=True):
        head, found = sum(item.conditions.values()), item.conditions
        rows.append(Row((day_words(item.date), head, f"{min(found):g}", f"{mean:.2f}", f"{max(found):g}")))
    return Table(columns, tuple(rows), "")


def sessions_table(sessions: Sequence[WormCheck]) -> Table:
    """Each check read back."""
    columns = (
        Column("Check"),
        Column("For"),
        Column("Sheep", "number"),
        Column("Eyelid", "number"),
        Column("Condition", "number"),
        Column("To look at again", wide=True),
    )
    rows = [
        Row(
            (
                day(item.date) or "",
                item.purpose,
                len(item.scores),
                mean_words(item.mean_eyelid),
                mean_words(item.mean_condition),
                share_view(item.attention) if item.attention.of else "eyelids and dags not looked at",
            )
        )
        for item in reversed(sessions)
    ]
    return Table(columns, tuple(rows), "No check is written.", "checks")


def mean_words(value: float | None) -> str:
    """A mean score."""
    return "" if value is None else f"{value:.2f}"


def last_five_points(sessions: Sequence[WormCheck]) -> WormCheck | None:
    """The last check that looked for the five points."""
    return next((item for item in reversed(sessions) if item.attention.of), None)


def points_table(last: WormCheck | None, tags: Directory) -> Table:
    """The five points of one check, those with most of them first."""
    columns = (
        Column("Sheep"), Column("Eyelid", "number"), Column("Change", "number"), Column("Condition", "number"),
        Column("Change", "number"), Column("Dags", "number"), Column("Points", wide=True),
    )  # fmt: skip
    scores = sorted(last.scores, key=lambda item: (-len(item.points), item.sheep)) if last else ()
    rows = tuple(Row((tags.tag(item.sheep), *score_cells(item))) for item in scores)
    return Table(columns, rows, "", "five-points")


def score_cells(item: Score) -> tuple[str | Words, ...]:
    """One sheep's scores and their change."""
    line = item.line
    return (
        str(line.eyelid or ""),
        signed_change(item.eyelid_change),
        "" if line.condition is None else f"{line.condition:g}",
        signed_change(item.condition_change),
        "" if line.dag is None else str(line.dag),
        Words(", ".join(item.points) or "none"),
    )


def signed_change(value: float | None) -> str:
    """A change with its sign; a true minus, as printed."""
    if value is None:
        return ""
    return f"{value:+g}".replace("-", "−") if value else "same"


# Drenching


def never_section(sheep: Sequence[str], tags: Directory) -> Section:
    """Sheep that no note says were ever drenched: the first as ear tags, every other in a line of words."""
    rest = ", ".join(written(tags, item) for item in sheep[MOST_AS_TAGS:])
    words = (f"{len(sheep) - MOST_AS_TAGS} beside the first {MOST_AS_TAGS}: {rest}.",) if rest else ()
    named = Names(tuple(tags.tag(item) for item in sheep[:MOST_AS_TAGS]))
    return Section(local("Never drenched in this book"), (*words, named), "never", plural(len(sheep), "sheep", "sheep"))


def written(tags: Directory, sheep: str) -> str:
    """A sheep in running text: its tag, else what it is called."""
    found = tags.tag(sheep)
    return found.tag or found.name


def offenders_table(rows: Sequence[Drenched], tags: Directory) -> Table:
    """Sheep that need it again and again: candidates to breed from last."""
    columns = (
        Column("Sheep"),
        Column("Times", "number"),
        Column("The middle sheep of its kind", "number"),
        Column("Days", wide=True),
    )
    found = [
        Row((tags.tag(row.sheep), row.times, row.usual, Words(", ".join(day_words(when) for when in row.days))))
        for row in rows
    ]
    return Table(columns, tuple(found), local("No sheep was drenched more often than its kind."), "repeat")


def drench_table(drenches: Sequence[GroupDrench], tags: Directory) -> Table:
    """Each drench of a mob with who was left."""
    columns = (
        Column("Drench"), Column("Mob, medicine", wide=True), Column("Treated", "number"), Column("Left", wide=True),
        Column("Who", wide=True),
    )  # fmt: skip
    rows = tuple(Row(group_cells(item, tags)) for item in reversed(drenches))
    return Table(columns, rows, "No drench of a mob is written.", "group-drenches")


def group_cells(item: GroupDrench, tags: Directory) -> tuple[Cell, ...]:
    """One drench of a mob; the share left is a fact and no estimate, so it has no range."""
    left = share_view(item.share_left)
    share = f"{left.part}{', ' if left.rate else ''}{left.rate}; advised {item.advised[0]} to {item.advised[1]}"
    who: Cell = tags.tags(item.left) if len(item.left) <= FEW_SHEEP_NAMED else f"{len(item.left)} sheep"
    mob = ", ".join(word for word in (item.mob or "several", item.medicine) if word)
    return (day(item.date) or "", Words(mob), len(item.treated), Words(share), who)


def own_rule(seen: Seen) -> str:
    """The shepherd's own rule, where the targets name one."""
    rules = [text for text in seen.settings.file.targets if worm_rule(text)]
    return (
        f"Your rule: {'; '.join(rules)}."
        if rules
        else "Your rule: none is written (under targets in flock.yaml, such as eyelid 4)."
    )


def lines_table() -> Table:
    """Published treat lines as ranges."""
    columns = (Column("Worm"), Column("Eggs per gram", "number"), Column("Who says so, and where", wide=True))
    rows = tuple(
        Row((
            local_all(WORMS[item.worm]), f"{item.low}" if item.low == item.high else f"{item.low} to {item.high}",
            Words(PUBLISHERS[item.where]),
        ))
        for item in TREAT_LINES
    )  # fmt: skip
    return Table(columns, rows, "", "treat-lines")


PAGES = (PageMaker("worms", make),)
NAVIGATION = (Link("Worms", PATH, "", "Health"),)
