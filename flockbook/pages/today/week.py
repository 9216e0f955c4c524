"""Who does what in the next seven days: a sheet for the wall, with a name where the notes have one and a blank else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.year.reminder import Reminder
from flockbook.flock import Flock
from flockbook.manner import WEEKDAYS
from flockbook.pages.sections import Section, SectionsView
from flockbook.pages.today.to_do import animals, gathered, still_to_do
from flockbook.pages.views import Column, Directory, Row, Table, TagList, Words, directory
from flockbook.pages.wording import and_listed, as_sentence, day_words, plural, quoted, short_day_words
from flockbook.records.event import Event
from flockbook.saying.owed import Told, owed_words
from flockbook.saying.year import deed_words
from flockbook.seen import Seen

PATH, TITLE = "week.html", "Who does what this week"
DAYS_SHOWN = 7
NOBODYS_YET = "______________"
WEEK_RULES = (
    "What is late or falls into these seven days, from the same list as To do. The name is `by` in the note that it "
    "rests on (a task, a course); where none is written a blank stands for the pencil.",
    "Who works here is `by` in flock.yaml. For every medicine the label and your vet come first.",
)


class WeekJob(Value):
    """One thing to be done: the day, the words, the sheep, and who does it ("" where nobody is named)."""

    day: date
    what: str
    sheep: TagList | str
    who: str


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The sheet."""
    del stamp
    tags = directory(seen.linked, seen.today)
    jobs = sorted(jobs_of(seen, tags), key=lambda job: (job.day, job.what))
    last = seen.today.day + timedelta(days=DAYS_SHOWN - 1)
    days = [seen.today.day + timedelta(days=number) for number in range(DAYS_SHOWN)]
    late = [job for job in jobs if job.day < seen.today.day]
    parts = [("Late", late), *((day_head(day), [job for job in jobs if job.day == day]) for day in days)]
    sections = (
        *(
            Section(head, (jobs_table(found),), f"day-{number}", broad=False)
            for number, (head, found) in enumerate(parts)
            if found
        ),
        *own_section(jobs),
        Section("How it is made", tuple(rule.replace("`", "") for rule in WEEK_RULES), "how"),
    )
    lead = f"{day_words(seen.today.day)} to {day_words(last)}: {plural(len(jobs), 'thing')} to do{who_works(seen)}."
    yield Page(PATH, "sections.html", TITLE, SectionsView(lead, sections), "The year")


def own_section(jobs: Iterable[WeekJob]) -> tuple[Section, ...]:
    """By name what each does, where the notes name anybody."""
    named = [job for job in jobs if job.who]
    return (Section("Each one's own", (by_name_table(named),), "own", broad=False),) if named else ()


def who_works(seen: Seen) -> str:
    """Who works here."""
    return f", among {and_listed(list(seen.settings.file.by))}" if seen.settings.file.by else ""


def day_head(day: date) -> str:
    """Mon 4 May."""
    return f"{WEEKDAYS[day.weekday()][:3]}\u00a0{short_day_words(day)}"


def jobs_of(seen: Seen, tags: Directory) -> Iterator[WeekJob]:
    """What is owed now, then what falls into the week."""
    told, today = Told(seen.linked, seen.settings.units), seen.today.day
    for row in seen.facts.year.owed.rows:
        for item in row.items:
            day = item.by.date() if item.by else today
            if day <= today + timedelta(days=DAYS_SHOWN - 1):
                words = quoted(as_sentence(owed_words(told, item, row)))
                yield WeekJob(day, words, tags.tags(item.sheep) if item.sheep else "", by_of(seen.linked, item.note))
    last = today + timedelta(days=DAYS_SHOWN - 1)
    for reminder in gathered([item for item in still_to_do(seen) if item.date <= last], today):
        words = quoted(as_sentence(deed_words(reminder.what)))
        yield WeekJob(reminder.date, words, animals(reminder, tags), by_reminder(seen.linked, reminder))


def by_reminder(flock: Flock, item: Reminder) -> str:
    """Who is named in the note that a reminder rests on."""
    return by_of(flock, item.because[0].note) if item.because else ""


def by_of(flock: Flock, path: str) -> str:
    """Who is named in a note that asks for something to be done."""
    note = next((event for event in flock.events if event.origin.path == path), None)
    asks = isinstance(note, Event) and note.origin.kind in ("task", "treatment")
    return (note.by or "") if note is not None and asks else ""


def jobs_table(jobs: Iterable[WeekJob]) -> Table:
    """The things of one day."""
    columns = (Column("What", wide=True), Column("Sheep", wide=True), Column("Who"), Column("Done"))
    rows = tuple(Row((Words(job.what), job.sheep, job.who or NOBODYS_YET, "")) for job in jobs)
    return Table(columns, rows, "Nothing.")


def by_name_table(jobs: Iterable[WeekJob]) -> Table:
    """By name what each does."""
    found: dict[str, list[WeekJob]] = {}
    for job in jobs:
        if job.who:
            found.setdefault(job.who, []).append(job)
    told = {who: " ".join(f"{day_head(job.day)}: {job.what}" for job in mine) for who, mine in sorted(found.items())}
    rows = tuple(Row((who, Words(text))) for who, text in told.items())
    return Table((Column("Who"), Column("What", wide=True)), rows, "")


PAGES = (PageMaker("who does what", make),)
NAVIGATION = (Link(TITLE, PATH, "", "The year"),)
