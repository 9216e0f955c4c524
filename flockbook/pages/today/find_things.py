"""What can be found besides sheep and notes: pages by everyday words, illnesses, medicines, places, mobs, settings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from compiler.pages import Link
from compiler.shape import Value
from flockbook.figures import DEFAULTS
from flockbook.pages.health.cases import case_paths
from flockbook.pages.telling.notes_page import anchors
from flockbook.pages.views import Directory
from flockbook.pages.wording import day_words, plural
from flockbook.records.event import Event
from flockbook.records.health import Treatment
from flockbook.records.places import Mob, Move, Paddock
from flockbook.records.sheep import Medicine
from flockbook.regional import local
from flockbook.seen import Seen

# In the order in which they are listed. The script knows them by these figures.
FOUND_PAGE, FOUND_SHEEP, FOUND_ILLNESS, FOUND_MEDICINE, FOUND_PADDOCK, FOUND_MOB, FOUND_SETTING, FOUND_NOTE = range(8)
SHELVES = {
    FOUND_ILLNESS: "Illness", FOUND_MEDICINE: "Medicines", FOUND_PADDOCK: "Paddocks", FOUND_MOB: "Mobs",
    FOUND_SETTING: "Settings",
}  # fmt: skip
SEARCHED = ("problem", "side", "medicine", "for_", "place", "to", "mob", "cause", "vaccine", "batch")
# What people type who do not know how a page is called.
EVERYDAY = {
    "index.html": "now home start urgent front",
    "watch.html": "lambing shed labour look again expecting",
    "jot.html": "write new note enter record",
    "due.html": "when lambing date expecting pregnant",
    "to-do.html": "jobs tasks late owed reminders",
    "sheep.html": "flock ewes rams lambs list all animals here",
    "clear-to-sell.html": "withdrawal withheld held not clear sale slaughter abattoir meat milk",
    "pages.html": "contents menu index map",
    "night.html": "dark labour shed",
    "forecast.html": "how many lambs weeks expected births",
    "choose.html": "cull culling keep cast sort draft",
    "choose-lambs.html": "replacements ewe lambs keep",
    "choose-rams.html": "rams tups sires",
    "pairings.html": "mating inbreeding relationship which ram tup joining put",
    "merit.html": "ebv genetic index breeding values pedigree",
    "ages.html": "age old teeth cull culling",
    "seasons.html": "years compare lambing percentage scanning",
    "patterns.html": "presentation malpresentation backwards breech head back leg lie",
    "growth.html": "weights weighing gain behind weaning",
    "cards.html": "help emergency presentation malpresentation chilled cold lamb abortion colostrum vet breech",
    "illness.html": "ill sick disease cases lame lameness mastitis sick bay",
    "worms.html": "drench parasites famacha eyelids condition score",
    "egg-counts.html": "fec worms faecal drench resistance",
    "medicines.html": "drugs label withdrawal antibiotic vaccine",
    "medicine-register.html": "drugs treatments given doses record vet inspection",
    "medicine-book.html": "drugs treatments record inspection paper",
    "cupboard.html": "stock drugs batch expiry out of date bottle",
    "dose-sheet.html": "dose dosing how much ml drench weight",
    "health-review.html": "vet flock health plan year",
    "grass.html": "paddocks fields grazing where rest moves map",
    "feed.html": "hay cake ration silage minerals",
    "kit.html": "equipment stock tools supplies buy",
    "money.html": "sales costs profit prices accounts income",
    "register.html": "holding movement movements flock register inspection law",
    "death-list.html": "dead deaths losses died",
    "fleeces.html": "wool shearing clip",
    "gone.html": "sold dead left died",
    "year-ahead.html": "calendar plan coming diary",
    "week.html": "rota who people jobs",
    "colostrum.html": "freezer first milk",
    "scan-list.html": "scanning scanner twins triplets singles",
    "loading.html": "haulier lorry transport sale load market",
    "neighbour.html": "holiday away help stand in relief",
    "print.html": "paper sheets printing all",
    "shed-sheet.html": "print paper lambing watch",
    "weigh-sheet.html": "print paper weights weighing",
    "choose-sheet.html": "print paper sort draft cull",
    "pocket-cards.html": "print paper cards",
    "shed.html": "copy phone send whole",
    "clear-to-sell-copy.html": "copy send withdrawal",
    "problems.html": "errors mistakes mend warnings missing",
    "workings.html": "formulas sources settings rules why figures",
    "notes.html": "diary written remarks all notes",
    "find.html": "search tags index",
    "counts.html": "how many number head tally mobs",
    "race-vaccination.html": "print paper vaccine vaccines jab",
    "race-worms.html": "print paper drench drenching",
    "race-pre-lambing.html": "print paper booster",
    "race-pre-joining.html": "print paper joining",
}


class FindRow(Value):
    """One thing that can be found: its title, its page, further words, and what sort of thing it is."""

    title: str
    href: str
    words: str
    sort: int

    def packed(self) -> list[str | int]:
        """The row as the script reads it."""
        return [self.title, self.href, self.words, self.sort]


def pages_found(links: Iterable[Link]) -> Iterator[FindRow]:
    """Every page of the navigation, by its name and by what people call it."""
    for link in links:
        yield FindRow(link.label, link.path, f"{local(EVERYDAY.get(link.path, ''))} {link.group}".strip(), FOUND_PAGE)


def things_found(seen: Seen) -> Iterator[FindRow]:
    """What has a place of its own in the book and is neither sheep nor note."""
    yield from illnesses_found(seen)
    yield from medicines_found(seen)
    yield from places_found(seen)
    for mob in each_once(named_mobs(seen)):
        yield FindRow(mob, "sheep.html", "mob", FOUND_MOB)
    for name, default in DEFAULTS.items():
        said = f"{seen.settings.figure(name):g} {default.unit}"
        yield FindRow(local(name.replace("_", " ")), "workings.html#figures", said, FOUND_SETTING)


def illnesses_found(seen: Seen) -> Iterator[FindRow]:
    """Each illness that was ever written."""
    cases = Counter(case.problem.casefold() for case in seen.facts.health.cases.all if case.problem)
    for problem, count in sorted(cases.items()):
        yield FindRow(problem[:1].upper() + problem[1:], "illness.html#cases", plural(count, "case"), FOUND_ILLNESS)


def cases_found(seen: Seen, tags: Directory) -> Iterator[FindRow]:
    """Each case of illness, by the sheep that had it; the latest first."""
    paths = case_paths(seen)
    for case in sorted(seen.facts.health.cases.all, key=lambda case: case.since, reverse=True):
        tag = tags.tag(case.sheep)
        title = f"{tag.tag} {tag.name}".strip()
        words = f"{case.problem}, {day_words(case.since)}"
        yield FindRow(f"{title}: {case.problem}", paths[case.id], words, FOUND_ILLNESS)


def medicines_found(seen: Seen) -> Iterator[FindRow]:
    """Each product of the cupboard by its label, and what was given without a label."""
    labels = seen.collection.of(Medicine)
    places = anchors(label.origin.path for label in labels)
    for label in labels:
        yield FindRow(
            label.name or label.origin.path, f"medicines.html#{places[label.origin.path]}", "its label", FOUND_MEDICINE
        )
    known = {(label.name or "").casefold() for label in labels}
    given = (one.medicine for one in seen.linked.of(Treatment) if one.medicine)
    for name in each_once(one for one in given if one.casefold() not in known):
        yield FindRow(name, "medicine-register.html", "medicine given, no label written", FOUND_MEDICINE)


def places_found(seen: Seen) -> Iterator[FindRow]:
    """Each paddock, whether it has a note or sheep were only moved to it."""
    written = [paddock.name for paddock in seen.collection.of(Paddock) if paddock.name]
    moved = [move.to for move in seen.linked.of(Move) if move.to]
    for name in each_once([*written, *moved]):
        yield FindRow(name, "grass.html#where", "paddock, who stands where", FOUND_PADDOCK)


def named_mobs(seen: Seen) -> Iterator[str]:
    """The mobs as notes and sheep name them."""
    yield from (mob.name for mob in seen.collection.of(Mob) if mob.name)
    yield from (stay.mob for animal in seen.linked.animals.values() for stay in animal.mobs if stay.mob)


def each_once(names: Iterable[str]) -> list[str]:
    """Names, each once however it is written, in order of the alphabet."""
    return sorted({name.casefold(): name for name in reversed(list(names))}.values(), key=str.casefold)


def looked_for(event: Event) -> str:
    """What fields of a note say that people look for."""
    texts = (getattr(event, name, None) for name in SEARCHED)
    return " ".join(str(text) for text in texts if isinstance(text, str))
