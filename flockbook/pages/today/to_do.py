"""What is to be done: late, today, this week, later; and the counts of heads held against the roll."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import replace
from flockbook.derive.farm.head_counts import CountFact, LastSeen
from flockbook.derive.year.owings import OwedRow
from flockbook.derive.year.reminder import Reminder
from flockbook.pages.sections import Aside, Fold, Rows, Section, SectionsView
from flockbook.pages.telling.owed_rows import owed_views
from flockbook.pages.views import FIRST, Column, Directory, Row, Table, TagList, Words, day, directory
from flockbook.pages.wording import day_words, plural, quoted
from flockbook.regional import local
from flockbook.saying.because import step_words
from flockbook.saying.year import deed_words, ticks_words
from flockbook.seen import Seen

TO_DO_PATH, COUNTS = "to-do.html", "counts.html"
MOST_TAGS = 6  # more sheep than that in one line are counted
NEXT_DAYS, SEASON = timedelta(7), timedelta(92)
LEFT_OPEN = "Of long ago: write how it ended"
MEDICINES_FIRST = "For every medicine the label and your vet come before this list."


def make_list(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The list of what is to be done."""
    del stamp
    where, today = directory(seen.linked, seen.today), seen.today.day
    open_, owed = still_to_do(seen), seen.facts.year.owed
    limits = (
        ("Late", None, today),
        ("Today", today, today + timedelta(1)),
        ("In the next seven days", today + timedelta(1), today + NEXT_DAYS + timedelta(1)),
        ("In the next three months", today + NEXT_DAYS + timedelta(1), today + SEASON),
        ("Later", today + SEASON, None),
    )
    bundles = [
        (head, reminders_table([item for item in open_ if in_stretch(item.date, start, end)], where, today))
        for head, start, end in limits
    ]
    ticked = [item for item in seen.facts.year.reminders if item.done and item.date <= today]
    now = (("Now", owed.now), ("In the next hours", owed.in_hours(seen.today.at)))
    first = tuple(owed_section(seen, where, head, rows) for head, rows in now if rows)
    old = tuple(owed_section(seen, where, head, rows) for head, rows in ((LEFT_OPEN, owed.old),) if rows)
    shown = (*first, *(stretch(head, rows) for head, rows in bundles if rows.rows), *old)
    nothing = () if shown else (Aside("Nothing to do that the notes know of.", "empty"),)
    done = (Fold("Done in the last month", (reminders_table(ticked, where, today),)),) if ticked else ()
    view = SectionsView(lead(bundles, len(owed.now)), shown, nothing, (MEDICINES_FIRST, *done))
    yield Page(TO_DO_PATH, "sections.html", "To do", view)


def in_stretch(on: date, start: date | None, end: date | None) -> bool:
    """Whether a day lies from one day on and before another; None sets no bound."""
    return (start is None or on >= start) and (end is None or on < end)


def stretch(head: str, table: Table) -> Section:
    """One stretch of time."""
    return Section(head, (table,), head.lower().replace(" ", "-"), broad=False)


def lead(bundles: list[tuple[str, Table]], now: int) -> str:
    """How much cannot wait, how much is late, for today, and for the week."""
    late, today, week = (len(table.rows) for _, table in bundles[:3])
    first = f"{now} that cannot wait, " if now else ""
    return f"{first}{late} late, {today} for today, {week} this week."


def still_to_do(seen: Seen) -> list[Reminder]:
    """The reminders that are not done and do not stand among what is owed now."""
    told = seen.facts.year.owed.stands_for
    return [item for item in seen.facts.year.reminders if not item.done and item.id not in told]


def owed_section(seen: Seen, where: Directory, head: str, rows: tuple[OwedRow, ...]) -> Section:
    """What is owed, a line for each ewe."""
    lines = Rows(tuple(owed_views(seen, where, rows)))
    return Section(head, (lines,), head.lower().replace(" ", "-"), str(len(rows)), broad=False)


def reminders_table(items: list[Reminder], where: Directory, today: date) -> Table:
    """What is to be done in one stretch of time."""
    columns = (
        Column("What"),
        Column("When", looks=FIRST),
        Column("Sheep", wide=True),
        Column(local("Why, and what ticks it off"), wide=True),
    )
    rows = [
        Row((quoted(deed_words(item.what)), day(item.date) or "", animals(item, where), reminder_reasons(item)))
        for item in gathered(items, today)
    ]
    return Table(columns, tuple(rows), "Nothing.", lines=True)


def gathered(items: list[Reminder], today: date) -> list[Reminder]:
    """Ewes due on one day as one line, and so what is late by one plan, from its first day."""
    found: dict[tuple[str, str, str], Reminder] = {}
    for item in items:
        late_plan = item.kind == "plan" and item.date < today and not item.done
        key = (item.kind, deed_words(item.what), "" if late_plan else item.date.isoformat())
        key = key if late_plan or item.kind == "due" else (item.kind, "", item.id)
        old = found.get(key)
        found[key] = replace(old, sheep=(*old.sheep, *item.sheep)) if old else item
    return list(found.values())


def reminder_reasons(item: Reminder) -> str:
    """What a reminder rests on, and what ticks it off."""
    reason = step_words(item.because[0]) if item.because and item.kind not in ("due", "task") else ""
    ticked = f"{local('ticked off')} by {quoted(ticks_words(item.ticked_by))}" if item.ticked_by else ""
    words = [quoted(reason), ticked]
    return "; ".join(word for word in words if word)


def animals(item: Reminder, where: Directory) -> TagList | str:
    """The sheep of a reminder; many are counted, and shown on a tap."""
    folded = f"{len(item.sheep)} sheep" if len(item.sheep) > MOST_TAGS else ""
    return replace(where.tags(item.sheep), folded=folded) if item.sheep else ""


def make_counts(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page of counts; before the first it says that there is none, because every page's contents lead to it."""
    del stamp
    facts = tuple(reversed(seen.facts.farm.head_counts))
    where = directory(seen.linked, seen.today)
    short = [fact for fact in facts if not fact.agrees]
    words = f"{plural(len(facts), 'count')}; {len(facts) - len(short)} agree with the notes."
    unsettled = [fact for fact in short if fact.put_right is None and (fact.missing or fact.begin_with)]
    counted = Section("", (count_table(facts),), "every-count")
    view = SectionsView(words, (counted, *(who(fact, where) for fact in unsettled)))
    yield Page(COUNTS, "sections.html", "Counts", view)


def count_table(facts: tuple[CountFact, ...]) -> Table:
    """Every count, the latest first."""
    columns = (
        Column("Mob", sort=True),
        Column("Day", sort=True),
        Column("Counted", "number"),
        Column("By the notes", "number"),
        Column("So", wide=True),
    )
    rows = [
        Row((fact.mob or "all", day(fact.date) or "", fact.counted, len(fact.expected), count_verdict(fact)))
        for fact in facts
    ]
    return Table(columns, tuple(rows), "No count is written.", "counts")


def count_verdict(fact: CountFact) -> Words | str:
    """What a count says."""
    if fact.agrees:
        return "all there"
    more = f"{-fact.short} more than the notes say" if fact.short < 0 else "the right number, but not the right sheep"
    after = f"; a count of {day_words(fact.put_right)} agrees again" if fact.put_right else ""
    return Words((f"{fact.short} short" if fact.short > 0 else more) + after)


def who(fact: CountFact, where: Directory) -> Section:
    """Who is missing, or where to begin looking, with when each was last seen."""
    columns = (Column("Sheep"), Column("Last seen"), Column("In the note", wide=True))
    seen: tuple[LastSeen, ...] = fact.missing or fact.begin_with
    rows = [Row((where.tag(item.sheep), day(item.date) or "never", item.note)) for item in seen]
    what = "not seen" if fact.missing else "no tags were read; these have gone longest without a note"
    head = f"{fact.mob}, {day_words(fact.date)}: {what}"
    return Section(head, (Table(columns, tuple(rows), ""),), f"count-{fact.date.isoformat()}-{len(fact.expected)}")


PAGES = (PageMaker("to do", make_list), PageMaker("counts", make_counts))
NAVIGATION = (Link("To do", TO_DO_PATH, ""), Link("Counts", COUNTS, "", "The year"))
