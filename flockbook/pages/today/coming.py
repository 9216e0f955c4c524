"""What is coming, for Today: tomorrow and the next days; and who is kept apart, until when, and what comes then."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from flockbook.derive.market.apart import Keeping
from flockbook.derive.market.barriers import KeptApart
from flockbook.derive.market.leaving import Load, asked_of, kept_from, named_in
from flockbook.derive.year.deeds import SecondDue
from flockbook.derive.year.reminder import Reminder
from flockbook.pages.market.loading import load_paths
from flockbook.pages.today.to_do import gathered, still_to_do
from flockbook.pages.views import Directory, RowView, day
from flockbook.pages.wording import day_words, plural, quoted
from flockbook.saying.owed import names_words
from flockbook.saying.year import deed_words
from flockbook.seen import Seen

COMING_DAYS = 7  # so many days from tomorrow on (our own choice)
FEED_AHEAD = 28  # a feed that runs out is told so long before: hay must be found and carried (our own choice)
FEW_NAMES = 6  # more sheep than that are counted, and named on a tap
# Common practice, no source.
SEE_LAST = "Away from the others: its own trough and water, seen to last, hands and boots washed after."


def coming_rows(seen: Seen, tags: Directory) -> tuple[RowView, ...]:
    """Every thing that falls to tomorrow or the next days, in order of its day; ewes due have a list of their own."""
    dated = [*sale_rows(seen), *((begins(item), deed_row(seen, tags, item)) for item in near_items(seen))]
    return tuple(row for _, row in sorted(dated, key=lambda one: one[0]))


def coming_words(seen: Seen, rows: tuple[RowView, ...]) -> str:
    """Tomorrow and the next 7 days: 5 entries, 2 of them tomorrow."""
    tomorrow = (seen.today.day + timedelta(1)).isoformat()
    first = sum(getattr(row.when, "iso", "") == tomorrow for row in rows)
    of_them = f", {first} of them tomorrow" if first else ", nothing tomorrow"
    return f"Tomorrow and the next {COMING_DAYS} days: {plural(len(rows), 'entry', 'entries')}{of_them}"


def near_items(seen: Seen) -> Iterator[Reminder]:
    """The reminders of these days; a feed that runs out somewhat earlier."""
    today = seen.today.day
    ahead = [item for item in still_to_do(seen) if item.kind != "due" and begins(item) > today]
    near = [
        item for item in ahead if (begins(item) - today).days <= (FEED_AHEAD if item.kind == "feed" else COMING_DAYS)
    ]
    yield from gathered(near, today)


def begins(item: Reminder) -> date:
    """The day from which a thing may be done."""
    return item.what.due_from if isinstance(item.what, SecondDue) else item.date


def deed_row(seen: Seen, tags: Directory, item: Reminder) -> RowView:
    """One thing to be done: for one sheep under her tag, for several with their names, many counted and folded."""
    one = tags.tag(item.sheep[0]) if len(item.sheep) == 1 else None
    names = names_words(seen.linked, item.sheep) if len(item.sheep) > 1 else ""
    many = len(item.sheep) > FEW_NAMES
    return RowView(
        one, "to-do.html", quoted(deed_words(item.what)), day(begins(item)), "" if many else names,
        many=plural(len(item.sheep), "sheep", "sheep") if many else "", named=names if many else "",
    )  # fmt: skip


def sale_rows(seen: Seen) -> Iterator[tuple[date, RowView]]:
    """The sales of these days, each with its loading list."""
    loads = seen.facts.market.gate.loads
    for load, path in zip(loads, load_paths(loads), strict=True):
        if 0 <= (load.at.day - seen.today.day).days <= COMING_DAYS:
            to = f" to {load.sale.to}" if load.sale.to else ""
            yield load.at.day, RowView(None, path, f"sale{to}: the loading list", day(load.at.day), sale_heads(load))


def sale_heads(load: Load) -> str:
    """How many are named, how many of them may not go, and of how many somebody is to be asked first."""
    barred, asked = len(kept_from(load)), len(asked_of(load))
    told = [f"{plural(sum(1 for _ in named_in(load)), 'sheep', 'sheep')} named"]
    told += [f"{barred} may not go"] if barred else []
    told += [f"of {asked} somebody is to be asked first"] if asked else []
    return ", ".join(told)


def apart_rows(seen: Seen, tags: Directory) -> Iterator[RowView]:
    """Who is kept apart, until when, and what comes at the end."""
    for item in seen.facts.market.apart:
        one = tags.tag(item.sheep[0]) if len(item.sheep) == 1 else None
        names = names_words(seen.linked, item.sheep) if len(item.sheep) > 1 else ""
        lines = tuple(line for line in (names, f"At its end: {apart_end(seen, item)}") if line)
        why = f"kept apart {apart_why(item)}, until {day_words(item.until)}, that day included"
        yield RowView(one, "", why, day(item.until), SEE_LAST, lines, deed=one is not None)


def apart_why(item: Keeping) -> str:
    """since it was bought."""
    reason = item.because.reason
    lost = isinstance(reason, KeptApart) and reason.lost
    return "since she lost her lambs" if lost else "since it was bought"


def apart_end(seen: Seen, item: Keeping) -> str:
    """into rams; second dose …, 2 Nov 2026."""
    then = [f"into {item.into}"] if item.into else []
    first, last = item.since or seen.today.day, item.until + timedelta(COMING_DAYS)
    then += [
        f"{deed_words(one.what)}, {day_words(begins(one))}"
        for one in still_to_do(seen)
        if one.kind not in ("quarantine", "due") and set(one.sheep) & set(item.sheep) and first <= begins(one) <= last
    ]
    return "; ".join(then) if then else "look it over, then write the move"
