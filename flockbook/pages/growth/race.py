"""Race sheets to print: every mob by tag, what to know of her, and blank columns for the pencil."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.medicine.medicines import medicines_called
from flockbook.derive.medicine.withdrawal import UNKNOWN
from flockbook.derive.plain.ages import may_be_lamb
from flockbook.derive.plain.days import YEAR
from flockbook.flock import Animal, happened, there
from flockbook.pages.sections import PENCIL, PencilSheet, SectionsView, pencil_row
from flockbook.pages.views import Caution, Column, Directory, directory
from flockbook.pages.wording import day_words, plural
from flockbook.records.check_line import LOOKED, CheckLine
from flockbook.records.handling import Check
from flockbook.records.health import Illness, Treatment
from flockbook.regional import local, local_all
from flockbook.saying.breeding import over_words
from flockbook.saying.standing import standing_words
from flockbook.seen import Seen

NO_MOB_NAMED = "In no mob"
IN_ORDER = frozenset({"ok", "good", "fine", "normal", "full", "sound", "clean"})  # findings that need no word
LABEL_FIRST = Caution(
    "Before the race",
    ("The label and your vet say what is given, to whom and how much. Weigh, or dose to the heaviest of the group.",),
)
SCORES_CAUTION = Caution(
    "Scores",
    (
        "Condition 1 to 5 in quarters, by hand over the loin. Eyelid 1 (red) to 5 (white). The line at which you act "
        "is yours and your vet's.",
    ),
)


History = Callable[[Seen, Animal], list[str]]


class SheetPlan(Value):
    """How one sheet is made: whom it lists, what is printed of them, what is left blank."""

    path: str
    title: str
    who: Callable[[Seen, Animal], bool]
    known: str
    history: History
    blanks: tuple[str, ...]
    caution: Caution


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """Every sheet; one that lists nobody says so, because every page's contents lead to it."""
    del stamp
    where = directory(seen.linked, seen.today)
    for plan in SHEETS:
        yield Page(plan.path, "sections.html", local(plan.title), sheet(seen, plan, where), local("Race sheets"))


def sheet(seen: Seen, plan: SheetPlan, where: Directory) -> SectionsView:
    """One sheet, mob by mob, in order of tags as they are read aloud."""
    listed = [animal for animal in seen.linked.animals.values() if there(animal, seen.today) and plan.who(seen, animal)]
    blanks = tuple(Column(blank, looks="blank") for blank in plan.blanks)
    columns = (Column("Sheep"), Column(plan.known, looks="history"), *blanks)
    mobs: dict[str, list[Animal]] = {}
    for one in sorted(listed, key=by_tag):
        mobs.setdefault(one.mob_on(seen.today.day) or "", []).append(one)
    sheets = [
        PencilSheet(mob_caption(seen, mob, len(mobs[mob])), columns, tuple(
            pencil_row((where.tag(one.id), "; ".join(plan.history(seen, one))), columns) for one in mobs[mob]
        ))
        for mob in sorted(mobs, key=lambda mob: (not mob, mob))
    ]  # fmt: skip
    lead = f"{plural(len(listed), 'sheep', 'sheep')}, by {'mob and ' if seen.linked.keeps_mobs else ''}tag."
    return SectionsView(
        lead, top=(local_all(plan.caution), *(sheets or [PencilSheet(PENCIL, columns, ())])), paper="landscape"
    )


def mob_caption(seen: Seen, mob: str, head: int) -> str:
    """What stands over the sheep of one mob, in a flock that has mobs."""
    if not seen.linked.keeps_mobs:
        return PENCIL
    return f"{mob or NO_MOB_NAMED}: {head}. {PENCIL}"


def by_tag(animal: Animal) -> tuple[bool, tuple[tuple[int, str], ...], str]:
    """Numbers inside a tag in order of size; the untagged last."""
    parts = re.findall(r"\d+|\D+", animal.tag or "")
    return (not animal.tag, tuple((int(part), "") if part.isdigit() else (0, part) for part in parts), animal.id)


# Whom a sheet lists


def breeding_ewe(seen: Seen, animal: Animal) -> bool:
    """Ewes of a year and more."""
    return animal.sex == "ewe" and not is_lamb_now(seen, animal)


def on_due_list(seen: Seen, animal: Animal) -> bool:
    """Ewes that are still to lamb."""
    return any(row.ewe == animal.id for row in seen.facts.breeding.due.rows)


def anybody(seen: Seen, animal: Animal) -> bool:
    """Every living sheep."""
    del seen, animal
    return True


def is_lamb_now(seen: Seen, animal: Animal) -> bool:
    """Whether a sheep is under a year old."""
    return may_be_lamb(animal, seen.today.day)


# What is printed of them


def before_joining(seen: Seen, animal: Animal) -> list[str]:
    """Her bag, her last lambing, her mouth, her condition, and whether she is clear to go."""
    return [
        *lame_by_line(seen, animal),
        *udder(seen, animal),
        *last_birth(seen, animal),
        *last_of_each(seen, animal, ("mouth", "condition")),
        *held_words(seen, animal),
    ]


def lame_by_line(seen: Seen, animal: Animal) -> list[str]:
    """That a line calls her lame, and no later one sound."""
    found = [item for item in seen.facts.health.lame if item.sheep == animal.id]
    return [f"“{item.words}”{f', {day_words(item.day)}' if item.day else ''}" for item in found]


def before_lambing(seen: Seen, animal: Animal) -> list[str]:
    """When she is due, what was scanned, her last lambing, her bag and her condition."""
    rows = [row for row in seen.facts.breeding.due.rows if row.ewe == animal.id]
    today = seen.today.day
    due = [over_words(row, today) or f"due {day_words(row.due.likely)}" for row in rows if row.due.likely]
    due += [over_words(row, today) for row in rows if not row.due.likely]
    lambs = [plural(row.lambs_scanned, "lamb") + " scanned" for row in rows if row.lambs_scanned]
    return [*due, *lambs, *last_birth(seen, animal), *udder(seen, animal), *last_of_each(seen, animal, ("condition",))]


def vaccinated(seen: Seen, animal: Animal) -> list[str]:
    """When and with what she was last vaccinated; whether something else is still in her."""
    given = [event for event in treatments_of(seen, animal) if is_kind(seen, event, "vaccin")]
    last = (
        [f"last {given[-1].medicine}, {day_words(given[-1].date)}"]
        if given and given[-1].date
        else ["no vaccine written"]
    )
    return [*last, *held_words(seen, animal)]


def wormed(seen: Seen, animal: Animal) -> list[str]:
    """Her last scores, and how often she was dosed for worms within a year."""
    since = seen.today.day - YEAR
    given = [
        event for event in treatments_of(seen, animal) if event.date and event.date >= since and is_worming(seen, event)
    ]
    times = (
        f"dosed {plural(len(given), 'time')} in a year, last {day_words(given[-1].date)}"
        if given and given[-1].date
        else "not dosed in a year"
    )
    return [*last_of_each(seen, animal, ("eyelid", "condition", "dag")), times, *held_words(seen, animal)]


def udder(seen: Seen, animal: Animal) -> list[str]:
    """Mastitis ever, and the last finding on her bag that was not in order."""
    ill = [
        event
        for event in notes_of(seen, animal)
        if isinstance(event, Illness) and "mastitis" in (event.problem or "").lower()
    ]
    words = [
        f"mastitis {day_words(event.date)}{' ' + event.side if event.side else ''}" for event in ill[-1:] if event.date
    ]
    found = [line for line in checks(seen, animal) if line.udder]
    bad = [
        f"udder {line.udder}{' ' + line.udder_side if line.udder_side else ''}"
        for line in found[-1:]
        if line.udder not in IN_ORDER
    ]
    return [*words, *bad]


def last_birth(seen: Seen, animal: Animal) -> list[str]:
    """Help and milk at her last lambing, where they were worth a word."""
    births = seen.facts.lambing.births_of.get(animal.id, ())
    if not births:
        return ["maiden by the book"] if animal.birth else []
    event, year = births[-1].event, births[-1].season
    helped = [f"helped {year}"] if births[-1].helped else []
    return [*helped, *([f"milk {event.milk} {year}"] if event.milk in ("short", "none", "one side") else [])]


def last_of_each(seen: Seen, animal: Animal, fields: tuple[str, ...]) -> list[str]:
    """The last of each finding that was written."""
    words = {one.field: one.typed[0] for one in LOOKED}
    found = []
    for name in fields:
        values = [value for line in checks(seen, animal) if (value := getattr(line, name)) is not None]
        if values and values[-1] not in IN_ORDER:
            found.append(
                f"{words[name]} {values[-1]:g}"
                if isinstance(values[-1], int | float)
                else f"{words[name]} {values[-1]}"
            )
    return found


def held_words(seen: Seen, animal: Animal) -> list[str]:
    """That her meat is not clear, and until when, to the hour; that a lamb may be sucking a ewe who is not."""
    row = seen.facts.medicine.guard.standing.get(animal.id)
    if row is None or row.plainly_clear:
        return []
    words = standing_words(seen.linked, row)
    return [f"NOT CLEAR, {words}" if row.meat.state == UNKNOWN else words]


# Her notes


def notes_of(seen: Seen, animal: Animal) -> list[object]:
    """The notes on a sheep so far."""
    return [event for event in seen.linked.by_animal.get(animal.id, ()) if happened(event, seen.today)]


def treatments_of(seen: Seen, animal: Animal) -> list[Treatment]:
    """The treatments of a sheep so far."""
    return [event for event in notes_of(seen, animal) if isinstance(event, Treatment)]


def checks(seen: Seen, animal: Animal) -> list[CheckLine]:
    """What was found on a sheep at each handling so far."""
    handled = [event for event in notes_of(seen, animal) if isinstance(event, Check)]
    return [line for event in handled for line in event.lines if seen.linked.named(event, line.sheep) == animal.id]


def is_kind(seen: Seen, event: Treatment, word: str) -> bool:
    """Whether a treatment gave a medicine of a kind."""
    products = medicines_called(seen.linked, event.medicine)
    return any(word in (product.kind or "").lower() for product in products)


def is_worming(seen: Seen, event: Treatment) -> bool:
    """Whether a treatment was for worms."""
    return is_kind(seen, event, "worm") or "worm" in (event.for_ or "").lower()


SHEETS = (
    SheetPlan(
        "race-pre-joining.html",
        "Race sheet: before joining",
        breeding_ewe,
        "To know",
        before_joining,
        ("BCS", "Bag", "Feet", "Mouth", "Ram"),
        SCORES_CAUTION,
    ),
    SheetPlan(
        "race-pre-lambing.html",
        "Race sheet: before lambing",
        on_due_list,
        "To know",
        before_lambing,
        ("BCS", "Bag", "Given", "Pen or mob"),
        LABEL_FIRST,
    ),
    SheetPlan(
        "race-vaccination.html",
        "Race sheet: vaccination",
        anybody,
        "Last time",
        vaccinated,
        ("Given", "Not given: why"),
        LABEL_FIRST,
    ),
    SheetPlan(
        "race-worms.html",
        "Race sheet: worms",
        anybody,
        "Last time",
        wormed,
        ("Eyelid", "BCS", "Dag", "Weight", "Dosed", "Left"),
        SCORES_CAUTION,
    ),
)
PAGES = (PageMaker("race sheets", make),)
NAVIGATION = (
    Link("Before joining", "race-pre-joining.html", "", "On paper"),
    Link("Before lambing", "race-pre-lambing.html", "", "On paper"),
    Link("Vaccination", "race-vaccination.html", "", "On paper"),
    Link("Worms in the race", "race-worms.html", "", "On paper"),
)
