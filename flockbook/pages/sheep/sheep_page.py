"""One sheep: what is wanted at a look, then her lambings, lambs, weights, treatments, family, and every note on her."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from compiler.book import Many, PageMaker, Stamp
from compiler.pages import Html, Link, Page
from compiler.shape import Value
from flockbook.derive.breeding.due import DueRow
from flockbook.derive.breeding.mating import sires
from flockbook.derive.choosing.reasons import Choice
from flockbook.derive.medicine.periods import MEAT, MILK
from flockbook.derive.medicine.withdrawal import Clearance
from flockbook.flock import Animal, gone, nurse_of, there
from flockbook.pages.breeding.due_page import due_pairs
from flockbook.pages.choosing.choose import StayView, stay_view
from flockbook.pages.health.cases import case_paths, sheep_cases
from flockbook.pages.health.early_losses_page import sheep_warnings
from flockbook.pages.medicine.clear_page import mend_place
from flockbook.pages.sections import NoteEntry, Pager, SectionsView, Timeline
from flockbook.pages.sheep.sheep_family import FamilyView, Offspring, came_pairs, family_view, offspring
from flockbook.pages.sheep.sheep_pictures import Drawable, drawable
from flockbook.pages.telling.by_sheep import BySheep, Flag, by_sheep, flags
from flockbook.pages.telling.changes_page import Changes, changes_of, sheep_changes
from flockbook.pages.telling.notes_page import note_places
from flockbook.pages.telling.owed_rows import own_rows
from flockbook.pages.telling.sheep_tables import (
    fate,
    lambings_table,
    lambs_table,
    old_births_table,
    sired_table,
    treatments_table,
    weights_table,
)
from flockbook.pages.telling.telling import beside_words, typed_fields, unread_words
from flockbook.pages.telling.timeline import Teller, dates_of, entry_for, notes_by_sheep, portions
from flockbook.pages.views import (
    Caution,
    Cell,
    Chart,
    PageLink,
    Pair,
    RowView,
    StateView,
    Table,
    Tag,
    Words,
    WorkingStep,
    directory,
    meat_view,
    reasons,
    reasons_and_cures,
    state_view,
)
from flockbook.pages.wording import (
    age_class,
    as_sentence,
    day_words,
    partial_words,
    plural,
    told_apart,
)
from flockbook.records.sheep import EWE, RAM
from flockbook.regional import local
from flockbook.saying.breeding import ASSUMED
from flockbook.saying.going import going_words
from flockbook.saying.standing import question
from flockbook.seen import Seen

SECTION = "Sheep"
FIRST_FULL, FIRST_MOST = 18_500, 36  # bytes and number of notes on the sheep's own page
NEXT_FULL, NEXT_MOST = 42_000, 80  # and on each page of older notes
LONG_STORY = 40  # characters of a value that take the whole width
# Fields of a sheep's own note that stand elsewhere on its page.
SHOWN_ELSEWHERE = frozenset({"tag", "name", "sex", "born", "dam", "sire", "sires", "bought"})


class StateBox(Value):
    """Whether one product may be sold."""

    about: str
    state: StateView


class TablePart(Value):
    """A table under its heading."""

    id: str
    head: str
    table: Table


class SheepView(Value):
    """One sheep's page; a part that says nothing of her is empty. `left` says how she went, `question` is V14's."""

    sheep: Tag
    lead: str
    left: str
    now: tuple[RowView, ...]
    warnings: tuple[Caution, ...]
    states: tuple[StateBox, ...]
    why: tuple[WorkingStep, ...]
    question: str
    flags: tuple[Flag, ...]
    look: tuple[Pair, ...]
    due: tuple[WorkingStep, ...]
    own: Html
    own_path: str
    pictures: tuple[Chart, ...]
    tables: tuple[TablePart, ...]
    stay: StayView | None
    family: FamilyView
    notes: tuple[NoteEntry, ...]
    notes_count: str
    older: tuple[PageLink, ...]
    jump: tuple[PageLink, ...]


class Subject(Value):
    """The sheep whose page is made, and what is known; `cases` is where each case of illness has its page."""

    known: BySheep
    told: Teller
    animal: Animal
    path: str
    cases: Mapping[str, str]
    offspring: Offspring
    choices: Mapping[str, Choice]
    changes: Changes
    drawable: Drawable
    title: str

    @property
    def seen(self) -> Seen:
        """Everything found."""
        return self.known.seen


def make(seen: Seen, stamp: Stamp) -> Many:
    """A page for every animal that there ever was, and pages of its older notes where they do not fit."""
    del stamp
    told = Teller(directory(seen.linked, seen.today), seen.settings.units, note_places(seen.linked))
    known, notes, cases = by_sheep(seen), notes_by_sheep(seen.linked), case_paths(seen)
    young, choices = offspring(seen), {choice.ewe: choice for choice in seen.facts.choosing.choices}
    changes, drawn, animals = changes_of(seen), drawable(known, told.tags), seen.linked.animals
    titles = dict(
        zip(told.tags.paths, told_apart(page_title(animals[sheep]) for sheep in told.tags.paths), strict=True)
    )

    def pages(sheep: str) -> Iterator[Page]:
        animal, path = animals[sheep], told.tags.paths[sheep]
        entries = [entry_for(told, event, sheep) for event in reversed(notes[sheep])]
        about = Subject(known, told, animal, path, cases, young, choices, changes, drawn, titles[sheep])
        return pages_of(about, entries)

    return Many(tuple(told.tags.paths), pages)


def pages_of(subject: Subject, entries: Sequence[NoteEntry]) -> Iterator[Page]:
    """One sheep's page and those of its older notes."""
    animal = subject.animal
    first = portions(entries, FIRST_MOST, FIRST_FULL)[:1]
    shown = first[0] if first else ()
    rest = portions(entries[len(shown) :], NEXT_MOST, NEXT_FULL)
    stem = subject.path.removesuffix(".html")
    older = tuple(PageLink(dates_of(part), f"{stem}-notes-{place}.html") for place, part in enumerate(rest, 2))
    own = (animal.note.origin.path,) if animal.note else ()
    yield Page(subject.path, "sheep.html", subject.title, view_of(subject, shown, len(entries), older), SECTION, own)
    for link, part in zip(older, rest, strict=True):
        links = (
            PageLink(subject.title, subject.path),
            *(PageLink(other.label, other.href, other is link) for other in older),
        )
        top = (Pager(links), Timeline(tuple(part)), Pager(links))
        view = SectionsView("Older notes.", top=top, sheep=own_tag(subject))
        yield Page(link.href, "sections.html", f"{subject.title}: older notes", view, SECTION)


def page_title(animal: Animal) -> str:
    """What she is called in full, or how the book calls her."""
    return " ".join(word for word in (animal.tag, animal.name) if word) or animal.id


def own_tag(subject: Subject) -> Tag:
    """The sheep's tag on its own page, where it leads nowhere."""
    tag = subject.told.tags.tag(subject.animal.id)
    return Tag(tag.tag, tag.name, "", tag.status)


def view_of(subject: Subject, notes: tuple[NoteEntry, ...], count: int, older: tuple[PageLink, ...]) -> SheepView:
    """The page's view."""
    animal = subject.animal
    standing = subject.seen.facts.medicine.guard.standing.get(animal.id)
    due = subject.known.due.get(animal.id)
    tables = tuple(part for part in tables_of(subject) if part.table.rows)
    return SheepView(
        sheep=own_tag(subject),
        lead=lead(subject),
        left=as_sentence(fate(subject.known, subject.told, animal)) if gone(animal, subject.seen.today) else "",
        now=tuple(own_rows(subject.seen, animal.id)),
        warnings=sheep_warnings(subject.seen, animal.id),
        states=tuple(states_of(subject, standing)) if standing else (),
        why=reasons_and_cures(standing) if standing else (),
        question=sucking_question(subject, standing),
        flags=flags(subject.known, animal),
        look=tuple(sheep_look(subject, due)),
        due=(
            *reasons(due.because),
            *(WorkingStep(as_sentence(local(ASSUMED[doubt])), "", 0) for doubt in due.odds.doubts),
        )
        if due
        else (),
        own=Html(animal.note.origin.html if animal.note else ""),
        own_path=animal.note.origin.path if animal.note else "",
        pictures=tuple(subject.drawable.pictures(animal)),
        tables=tables,
        stay=stay_view(subject.choices.get(animal.id)),
        family=family_view(subject.seen, subject.told.tags, animal, subject.offspring),
        notes=notes,
        notes_count=plural(count, "note"),
        older=older,
        jump=(
            *(PageLink(part.head, f"#{part.id}") for part in tables),
            *((PageLink("Stay or go", "#stay"),) if animal.id in subject.choices else ()),
            PageLink("Family", "#family"),
            PageLink(f"Notes ({count})", "#notes"),
        ),
    )


# At a look


def lead(subject: Subject) -> str:
    """What she is and where she belongs, in one sentence."""
    animal, today = subject.animal, subject.seen.today
    left = gone(animal, today)
    if left is None and not there(animal, today):
        return "Not in the flock on this day."
    mob = None if left else animal.mob_on(today.day)
    return as_sentence(f"{age_class(animal, left.date if left else today.day)}{f', mob {mob}' if mob else ''}")


def states_of(subject: Subject, standing: Clearance) -> Iterator[StateBox]:
    """Meat always; milk where it is asked about."""
    yield StateBox("Meat", meat_view(standing, mend_place(subject.told, standing, MEAT)))
    if standing.milked:
        yield StateBox("Milk", state_view(standing.milk, mend_place(subject.told, standing, MILK)))


def sucking_question(subject: Subject, standing: Clearance | None) -> str:
    """The question that a lamb carries at the foot of a ewe who is not clear (V14)."""
    if standing is None or standing.sucking is None:
        return ""
    guard = subject.seen.facts.medicine.guard
    return f"It {question(subject.told.flock, standing, guard.standing)}. Ask your vet before it is sold or killed."


def sheep_look(subject: Subject, due: DueRow | None) -> Iterator[Pair]:
    """What is wanted at a look; every field of its own note that stands nowhere else on the page."""
    animal = subject.animal
    yield from due_pairs(due, subject.seen.today.day) if due else ()
    if there(animal, subject.seen.today):
        yield from going_pairs(subject)
        yield Pair("Where", where(subject))
    if animal.born:
        yield Pair("Born", partial_words(animal.born))
    yield from family_pairs(subject)
    yield from came_pairs(animal)
    if len(animal.tags) > 1:
        yield Pair("Tags", ", ".join(animal.tags))
    if animal.number:
        yield Pair("Painted number", animal.number)
    yield from note_pairs(subject)


def going_pairs(subject: Subject) -> Iterator[Pair]:
    """Whatever besides medicines speaks against its going."""
    against = subject.seen.facts.market.gate.fitness.get(subject.animal.id, ())
    if against:
        yield Pair("To sell or send", Words(going_words(against)), wide=True)


def note_pairs(subject: Subject) -> Iterator[Pair]:
    """What its own note says besides."""
    note = subject.animal.note
    if note is None:
        return
    for name, value in typed_fields(note, subject.told.units):
        if name not in SHOWN_ELSEWHERE:
            yield Pair(f"{name[:1].upper()}{name[1:]}", value, wide=len(value) > LONG_STORY)
    if beside := beside_words(note):
        yield Pair("Also written", beside, wide=True)
    if unread := unread_words(note):
        yield Pair("To mend", unread, wide=True)


def where(subject: Subject) -> str:
    """The paddock, and since when."""
    grazing = subject.seen.facts.land.grazing
    at = grazing.places.get(subject.animal.id)
    if at is None:
        return "no note says"
    ground = grazing.ground.get(at.place)
    return f"{ground.name if ground else at.place}, since {day_words(at.since)}"


def family_pairs(subject: Subject) -> Iterator[Pair]:
    """Dam, who reared it, and sire with what is sure about him."""
    animal, tags = subject.animal, subject.told.tags
    dam: Cell = tags.tag(animal.dam) if animal.dam else animal.dam_name or "not written"
    yield Pair("Dam", dam)
    nurse = nurse_of(animal, subject.seen.today)
    if nurse and nurse != animal.dam:
        yield Pair("Reared by", tags.tag(nurse))
    rams = sires(subject.seen.facts.breeding.matings, animal)
    if len(rams) > 1:
        yield Pair("Sire, one of these", tags.tags(rams), wide=True)
    else:
        yield Pair("Sire", tags.tag(rams[0]) if rams else no_sire(subject))


def no_sire(subject: Subject) -> str:
    """What is said of a sire that is none of the flock's."""
    animal = subject.animal
    if animal.sire_names:
        return " or ".join(animal.sire_names)
    return local("not explained by any joining") if animal.birth else "not written"


def tables_of(subject: Subject) -> Iterator[TablePart]:
    """Everything that can be said of her in rows."""
    known, told, animal = subject.known, subject.told, subject.animal
    if animal.sex != RAM:
        yield TablePart("lambings", "Lambings", lambings_table(known, told, animal.id))
        yield TablePart("old-lambings", "Lambings from old records", old_births_table(known, told, animal.id))
        yield TablePart("lambs", "Lambs", lambs_table(known, told, animal.id))
    if animal.sex != EWE:
        yield TablePart("sired", "His lambs", sired_table(known, told, animal.id))
    yield TablePart("illness", "Illness", sheep_cases(subject.seen, animal.id, subject.cases))
    yield TablePart("weights", "Weights", weights_table(subject.seen.facts.weights.gains.get(animal.id), told))
    yield TablePart("treatments", "Treatments", treatments_table(known, told, animal.id))
    yield TablePart("changes", "Changes of these notes", sheep_changes(subject.seen, subject.changes, animal))


PAGES = (PageMaker("sheep", make, shared=True),)
NAVIGATION: tuple[Link, ...] = ()
