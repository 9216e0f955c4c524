"""Invented flocks, and notes about them that mix well-written doses with slips of a tired hand, from one seed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from random import Random

NAMES = ("Bramble", "Teasel", "Sorrel", "Fern", "Heather", "Thrift", "Clover", "Yarrow", "Tansy", "Campion")
MOBS = ("hill", "low", "top park")
JOINTS = (", ", "; ", " & ", " + ", " and ")
PERIODS = ("28 days", "28 days", "35 days", "7 days", "42 days", "72 h", "700 h", "none", "0", "")
MILK = ("12 days", "15 days", "30 days", "5 days", "296 h", "96 h", "none", "not for milk", "")
ZONES = ("Europe/London", "America/Chicago", "Australia/Adelaide", "")
DAYS = (  # the clock goes forward or back, a leap day, the year's end, and days like any other
    date(2026, 3, 27), date(2025, 10, 24), date(2026, 3, 6), date(2024, 2, 27), date(2025, 12, 29), date(2026, 6, 2),
    date(2026, 7, 14), date(2025, 9, 20),
)  # fmt: skip


@dataclass
class Sheep:
    """What the maker knows of an animal: words that name it, and from when to when it is there."""

    words: list[str]
    sex: str
    born: date
    came: date
    lambed: date = date.min
    left: bool = False
    lamb: bool = False


@dataclass
class Maker:
    """One flock in the making."""

    chance: Random
    day: date
    files: dict[str, str] = field(default_factory=dict)
    sheep: list[Sheep] = field(default_factory=list)
    told: int = 0

    def note(self, path: str, head: list[str], body: str = "") -> None:
        """A note, under a name of its own."""
        text = "".join(f"{line}\n" for line in head)
        self.files[path] = f"---\n{text}---\n{body}" if head else body

    def event(self, day: date, kind: str, head: list[str], body: str = "", subject: str = "") -> str:
        """A dated note; sometimes with a time. Gives its name without ending."""
        self.told += 1
        clock = f"{self.chance.randint(6, 20):02}{self.chance.choice(('00', '15', '40'))}"
        stamp = f"{day} {clock}" if self.chance.random() < 0.5 else f"{day}"
        name = f"{stamp} {kind}{' ' + subject if subject else ''}"
        if f"events/{name}.md" in self.files:
            name = f"{day} {5 + self.told // 60:02}{self.told % 60:02} {kind}{' ' + subject if subject else ''}"
        self.note(f"events/{name}.md", head, body)
        return name

    def ago(self, low: int, high: int) -> date:
        """A day so long before the day of the doses."""
        return self.day - timedelta(days=self.chance.randint(low, high))

    def living(self, day: date) -> list[Sheep]:
        """Those there on a day, and not going away later."""
        return [sheep for sheep in self.sheep if sheep.came <= day and not sheep.left]

    def some(self, day: date, most: int = 3) -> list[Sheep]:
        """A few of them."""
        here = self.living(day)
        return self.chance.sample(here, min(len(here), self.chance.randint(1, most)))

    def word(self, sheep: Sheep) -> str:
        """One of the words for it."""
        return self.chance.choice(sheep.words)

    def words(self, sheep: list[Sheep]) -> str:
        """A list of them with a joint."""
        return self.chance.choice(JOINTS).join(self.word(each) for each in sheep)


def made(seed: int) -> tuple[dict[str, str], datetime]:
    """A folder, and the moment asked about."""
    chance = Random(seed)
    maker = Maker(chance, chance.choice(DAYS) + timedelta(days=chance.randint(0, 3)))
    zone = chance.choice(ZONES)
    maker.files["flock.yaml"] = "flock: Nether Yarrow\n" + (f"timezone: {zone}\n" if zone else "")
    stock(maker)
    happenings(maker)
    cupboard(maker)
    for _ in range(chance.choice((1, 1, 2, 3))):
        treatment(maker)
    late = maker.day + timedelta(days=chance.choice((6, 8, 10, 14, 30, 45, 80)))
    clock = time(chance.randint(0, 23), chance.choice((0, 15, 40))) if chance.random() < 0.6 else time()
    return maker.files, datetime.combine(late, clock)


# -- who there is


def stock(maker: Maker) -> None:
    """Ewes, a ram, a wether near a year old, lambs."""
    names = maker.chance.sample(NAMES, 6)
    for turn in range(maker.chance.randint(3, 5)):
        grown(maker, "ewe", f"C{210 + turn}", names[turn] if maker.chance.random() < 0.8 else "")
    if maker.chance.random() < 0.6:
        grown(maker, "ram", "S1", names[5])
    if maker.chance.random() < 0.15:
        grown(maker, "ewe", "C260", names[0])  # a second sheep of one name
    if maker.chance.random() < 0.05:
        grown(maker, "ewe", "C261", "Low")  # called as a mob is
    if maker.chance.random() < 0.5:
        grown(maker, "wether", "W7", "", maker.ago(280, 450))
    births(maker)


def grown(maker: Maker, sex: str, tag: str, name: str, born: date | None = None) -> None:
    """A sheep with a note."""
    birthday = born or date(maker.day.year - maker.chance.randint(3, 7), 4, 9)
    text = f"{birthday}" if born else f"{birthday.year}"
    mob = maker.chance.choice(MOBS)
    maker.note(f"sheep/{f'{tag} {name}'.strip()}.md", [f"note: {sex}", f"born: {text}", f"mob: {mob}"])
    maker.sheep.append(Sheep([word for word in (tag, name) if word], sex, birthday, birthday))


def births(maker: Maker) -> None:
    """Litters, tagged in a row or with paint numbers, some of them near 120 days old at the dose."""
    number = 0
    for ewe in [sheep for sheep in maker.sheep if sheep.sex == "ewe"][: maker.chance.randint(0, 3)]:
        day, body = maker.ago(3, 135), ""
        for sex in maker.chance.sample(("ewe", "ram"), maker.chance.randint(1, 2)):
            number += 1
            mark, word = (
                (f"tag {730 + number}", f"{730 + number}")
                if maker.chance.random() < 0.7
                else (f"no {number}", f"no {number}/{day.year}")
            )
            body += f"- {sex} 4.{number} kg, {mark}\n"
            maker.sheep.append(Sheep([word], sex, day, day, lamb=True))
        maker.event(day, "lambing", [f"ewe: {ewe.words[0]}"], body)
        ewe.lambed = max(day, ewe.lambed)


# -- what happened to them


def happenings(maker: Maker) -> None:
    """Somebody goes; then a few drafts, fosters, tags, weanings, a purchase of the others."""
    if maker.chance.random() < 0.4:
        leave(maker)
    doing = (draft, draft, slipped_draft, foster, tagging, wean, purchase)
    for do in maker.chance.sample(doing, maker.chance.randint(1, 5)):
        do(maker)


def near_days(maker: Maker) -> date:
    """A day about the dose."""
    return maker.day - timedelta(days=maker.chance.choice((-2, -1, 0, 0, 1, 2, 9, 30)))


def draft(maker: Maker) -> None:
    """Sheep into a mob."""
    day = near_days(maker)
    who = maker.some(day)
    count = [f"count: {len(who)}"] if maker.chance.random() < 0.5 else []
    maker.event(day, "draft", [f"sheep: {maker.words(who)}", *count, f"into: {maker.chance.choice(MOBS)}"])


def slipped_draft(maker: Maker) -> None:
    """A draft with a word that names nobody, rarely; else a whole one."""
    if maker.chance.random() > 0.2:
        return draft(maker)
    day = near_days(maker)
    words = [maker.word(maker.some(day, 1)[0]), maker.chance.choice(("Zebedee", "C299"))]
    return void(maker.event(day, "draft", [f"sheep: {', '.join(words)}", f"into: {maker.chance.choice(MOBS)}"]))


def void(_: object) -> None:
    """Nothing."""


def foster(maker: Maker) -> None:
    """A lamb onto another ewe."""
    here = maker.living(maker.day)
    lambs, ewes = (
        [sheep for sheep in here if sheep.lamb],
        [sheep for sheep in here if sheep.sex == "ewe" and not sheep.lamb],
    )
    if lambs and ewes:
        lamb = maker.chance.choice(lambs)
        day = max(lamb.born, *(ewe.came for ewe in ewes)) + timedelta(days=1)
        maker.event(day, "foster", [f"lamb: {lamb.words[0]}", f"onto: {maker.chance.choice(ewes).words[0]}"])


def tagging(maker: Maker) -> None:
    """A first tag or another one; the earlier word goes on meaning the sheep."""
    sheep = maker.some(maker.day, 1)[0]
    day = max(sheep.came + timedelta(days=1), near_days(maker))
    joint = "=" if sheep.words[0].startswith("no ") else "now"
    maker.event(day, "tagging", [], f"- {sheep.words[0]} {joint} 8{maker.told + 10}\n")
    if day <= maker.day - timedelta(days=1):
        sheep.words.append(f"8{maker.told + 9}")


def wean(maker: Maker) -> None:
    """Lambs from their mothers."""
    lambs = [sheep for sheep in maker.living(maker.day) if sheep.lamb]
    if lambs:
        some = maker.chance.sample(lambs, 1)
        day = max(near_days(maker), some[0].born + timedelta(days=1))
        maker.event(day, "weaning", [f"lambs: {some[0].words[0]}"])


def purchase(maker: Maker) -> None:
    """Bought sheep."""
    day = near_days(maker)
    maker.event(
        day, "purchase", ["from: Over Yarrow", f"into: {maker.chance.choice(MOBS)}"], "- ewe tag P900 Pike, born 2022\n"
    )
    maker.sheep.append(Sheep(["P900", "Pike"], "ewe", date(2022, 1, 1), day))


def leave(maker: Maker) -> None:
    """One sold or dead."""
    sheep = maker.chance.choice(maker.sheep)
    sheep.left = True
    day = max(near_days(maker), max(sheep.came, sheep.lambed) + timedelta(days=1))
    kind, more = maker.chance.choice((("death", []), ("sale", ["to: Hawick", "use: store"])))
    maker.event(day, kind, [f"sheep: {sheep.words[0]}", *more])


# -- what was given


def cupboard(maker: Maker) -> None:
    """Two bottles; rarely two notes of one."""
    for name in ("pen", "drench"):
        bottle(maker, name, name)
    if maker.chance.random() < 0.1:
        bottle(maker, "second pen", "pen")


def bottle(maker: Maker, path: str, name: str) -> None:
    """A medicine note."""
    meat, milk = maker.chance.choice(PERIODS), maker.chance.choice(MILK)
    told = [f"meat withdrawal: {meat}"] * bool(meat) + [f"milk withdrawal: {milk}"] * bool(milk)
    route = ["route: by mouth"] * (maker.chance.random() < 0.3)
    maker.note(f"medicines/{path}.md", ["note: medicine", f"name: {name}", *told, *route])


def treatment(maker: Maker) -> None:
    """One dose, told in one of many ways, sometimes with a slip, sometimes corrected afterwards."""
    day = maker.day + timedelta(days=maker.chance.choice((0, 0, 0, 1, -1, -20)))
    plainly = maker.chance.random() < 0.6
    who, body, subject = maker.chance.choice(PLAIN_WRITINGS if plainly else WRITINGS)(maker, day)
    product = maker.chance.choice(("pen", "drench"))
    tired = [*what(maker), *when(maker, day), *slips(maker)]
    head = [*who, *([f"medicine: {product}", *plain_days(maker, day)] if plainly else tired)]
    name = maker.event(day, "treatment", head, body, subject)
    if maker.chance.random() < 0.12:
        correction(maker, day, name)


def correction(maker: Maker, day: date, name: str) -> None:
    """The same again with other sheep."""
    who = maker.some(day, 2)
    spared = [f"not dosed: {maker.words(maker.some(day, 3))}"] if maker.chance.random() < 0.4 else []
    head = [f"sheep: {maker.words(who)}", "medicine: pen", f"given: {day}", f"corrects: {name}", *spared]
    maker.event(day + timedelta(days=2), "treatment", head)


Told = tuple[list[str], str, str]


def by_list(maker: Maker, day: date) -> Told:
    """`sheep: Bramble, C230`."""
    who = maker.some(day, 4)
    count = [f"count: {len(who) + (maker.chance.random() < 0.1)}"] * (maker.chance.random() < 0.4)
    return [f"sheep: {maker.words(who)}", *count], "", maker.chance.choice(("", "foot", "worms"))


def by_bad_list(maker: Maker, day: date) -> Told:
    """A list with a word that names nobody, or nearly somebody."""
    wrong = maker.chance.choice(
        ("Zebedee", "C29", "Bramblo", "Heathr", "Tansie", "Fen", "Camipon", "hil", "lowe", "wethrs")
    )
    words = [*(maker.word(sheep) for sheep in maker.some(day, 2)), wrong]
    return [f"sheep: {', '.join(words)}"], "", ""


def by_mob(maker: Maker, day: date) -> Told:
    """`mob: hill`, with somebody left out."""
    mob = maker.chance.choice((*MOBS, *MOBS, "Hill", "Top  Park", "hill, low", "nowhere", "topp park"))
    left = maker.chance.choice(([], [], ["except: lambs"], [f"except: {maker.words(maker.some(day, 2))}"]))
    return [f"mob: {mob}", *left], "", ""


def by_class(maker: Maker, day: date) -> Told:
    """`mob: ewes`."""
    word = maker.chance.choice(("ewes", "lambs", "all", "rams", "wethers", "ewe lambs", "ram lambs"))
    left = [f"except: {maker.words(maker.some(day, 1))}"] * (maker.chance.random() < 0.3)
    return [f"mob: {word}", *left], "", ""


def by_range(maker: Maker, day: date) -> Told:
    """`sheep: 731-734` with or without its count."""
    del day
    low = maker.chance.randint(730, 733)
    count = maker.chance.choice(([], ["count: 2"], ["count: 3"], ["count: 1"]))
    return [f"sheep: {low}-{low + maker.chance.randint(1, 4)}", *count], "", "lambs worms"


def by_lines(maker: Maker, day: date) -> Told:
    """A line for each, beside a mob or a list or alone."""
    rows = [*(maker.word(sheep) for sheep in maker.some(day, 3)), *["Zebedee"] * (maker.chance.random() < 0.1)]
    body = "".join(f"- {word}{maker.chance.choice((' 62 kg', ' 60 kg 3 ml', ' 3 ml'))}\n" for word in rows)
    head = maker.chance.choice(
        ([], [], [f"mob: {maker.chance.choice(MOBS)}"], [f"sheep: {maker.word(maker.some(day, 1)[0])}"])
    )
    return head, body, ""


def by_table(maker: Maker, day: date) -> Told:
    """A table in the note."""
    rows = "".join(f"| {maker.word(sheep)} | 62 | 3 ml |\n" for sheep in maker.some(day, 3))
    return [], f"| sheep | kg | dose |\n|---|---|---|\n{rows}", ""


def by_name(maker: Maker, day: date) -> Told:
    """Named in the file name alone, or with another in the head."""
    named = [sheep for sheep in maker.living(day) if "/" not in sheep.words[0]]
    head = [f"mob: {maker.chance.choice(MOBS)}"] * (maker.chance.random() < 0.2)
    return head, "", maker.chance.choice(named).words[0]


PLAIN_WRITINGS = (by_list, by_list, by_mob, by_mob, by_class, by_lines, by_table, by_name)
WRITINGS = (*PLAIN_WRITINGS, by_bad_list, by_bad_list, by_range, by_mob)


def what(maker: Maker) -> list[str]:
    """The medicine, and what a vet ordered."""
    product = maker.chance.choice(
        ("pen", "pen", "Pen", "drench", "drench", "elixir" if maker.chance.random() < 0.3 else "pen")
    )
    head = [
        f"medicine: {product}",
        *maker.chance.choice(([], [], [], ["dose: 3 ml"], ["dose: 3 ml"], ["dose: plenty"])),
    ]
    off = maker.chance.random() < 0.12
    vet = maker.chance.random() < (0.6 if off else 0.1)
    meat, milk = maker.chance.choice(("", "35 days", "3 days", "50 h")), maker.chance.choice(("", "9 days", "30 h"))
    typed = [f"meat withdrawal: {meat}"] * bool(meat) + [f"milk withdrawal: {milk}"] * bool(milk)
    route = maker.chance.choice(([], [], [], ["route: by mouth"], ["route: under the skin"]))
    return [
        *head,
        *["off label: yes"] * off,
        *["vet: A. Marram"] * vet,
        *(typed if off or vet or maker.chance.random() < 0.1 else []),
        *route,
    ]


def plain_days(maker: Maker, day: date) -> list[str]:
    """The note's own day, or doses that are all told."""
    stamps = [spelled(maker, day + timedelta(days=step)) for step in range(maker.chance.randint(1, 3))]
    return maker.chance.choice(([], [f"given: {', '.join(stamps)}"]))


def when(maker: Maker, day: date) -> list[str]:
    """The days and times, or a course of days."""
    stamps = [spelled(maker, day + timedelta(days=step)) for step in range(maker.chance.randint(1, 3))]
    finished = f"finished: {spelled(maker, day + timedelta(days=maker.chance.choice((1, 2, 2, 3))))}"
    given = f"given: {', '.join(stamps)}"
    early = [f"given: {day - timedelta(days=days)}" for days in (60, 61, 70)]
    return maker.chance.choice((
        [], [], [], [given], [given], [given, "days: 2"],
        ["days: 3", finished], ["days: 3"], [finished], ["days: 3", finished, "dates sure: yes"],
        ["finished: soon"], ["given: yesterday"], [early[0]], [early[1]], [early[2], "dates sure: yes"],
    ))  # fmt: skip


def spelled(maker: Maker, day: date) -> str:
    """A day, or a day with a time, often near the hour at which clocks change."""
    clock = maker.chance.choice(("", "", " 00:30", " 01:30", " 02:30", " 08:00", " 18:15", " 23:45"))
    return f"{day}{clock}"


def slips(maker: Maker) -> list[str]:
    """Rarely, a line of no known meaning."""
    return [maker.chance.choice(("colour: red", "vet meat: 3"))] * (maker.chance.random() < 0.06)
