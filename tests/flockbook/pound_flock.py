"""Larkspur Bottom: a flock in pounds, dollars and days with the month first, two years of notes of every kind.

The farm, its people, sheep, prices and medicines are invented. Every weight is what simple rules make of a ewe's
number, so that whoever reads a figure on a page can work it out with a pencil.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

SETTINGS = """flock: Larkspur Bottom
keeper: Dale Mercer
units: us
currency: USD
dates: month-day
timezone: America/Chicago
country: US
vet: {name: Ridge Road Vets, phone: 555-0142}
breed: Katahdin
intake: 4 lb
inbreeding limit: 0.0625
targets: [lambs weaned 1.6, weaning weight 55 lb, sale weight 90 lb]
"""
EWES = tuple(range(201, 225))
NAMES = {203: "Dolly", 204: "Pearl", 207: "Junebug", 211: "Maybelle", 216: "Hazel", 220: "Clementine"}
SIXTY = timedelta(days=60)
MOMENTS = ("2025-11-12", "2026-01-20", "2026-03-05T05:10", "2026-04-20", "2026-05-25", "2026-07-15")
MEDICINES = {
    "white drench": "label rate: 1 ml per 25 lb\nroute: by mouth\ngroup: 1-BZ\nform: drench\nkind: wormer\n"
    "meat withdrawal: 7 days\nmilk withdrawal: not for milk\npack: 500 ml\nbatch: W12\nexpires: 6/2027\n",
    "clear drench": "label rate: 1 ml per 11 lb\nroute: by mouth\ngroup: 3-ML\nform: drench\nkind: wormer\nlabel "
    "minimum: 1 ml\nmeat withdrawal: 14 days\nmilk withdrawal: not for milk\npack: 1 qt\nbatch: C7\nexpires: 6/2026\n",
    "long shot": "label rate: 4.5 ml per 100 lb\nroute: under the skin\nform: injection\nkind: antibiotic\nmax per "
    "site: 5 ml\nmeat withdrawal: 28 days\nmilk withdrawal: not for milk\npack: 100 ml\nbatch: L3\nexpires: 9/2026\n",
    "cd shot": "label rate: 2 ml each\nroute: under the skin\nform: injection\nkind: vaccine\nmeat withdrawal: 21 days"
    "\nmilk withdrawal: none\npack: 100 ml\nbatch: V5\nexpires: 12/2026\n",
    "selenium shot": "label rate: 1 ml per 40 lb\nroute: under the skin\nform: injection\nkind: vitamin\ntrace: "
    "selenium 1 mg/mL\nmeat withdrawal: 14 days\nmilk withdrawal: none\npack: 50 ml\nbatch: S2\nexpires: 1/2027\n",
}


MOVES = (
    ("03-28", "Creek", "6 in"), ("04-04", "Hilltop", "7 in"), ("04-12", "Bottom", "5 in"), ("04-17", "Creek", "6 in"),
    ("05-20", "Orchard", "8 in"), ("07-10", "Hilltop", "6 in"),
)  # fmt: skip


def lamb_tags(year: int, ewe: int) -> tuple[str, ...]:
    """A ewe's lambs by their tags: twins for even numbers, a single for odd ones, none for every twelfth."""
    if ewe % 12 == 0:
        return ()
    first = (year - 2020) * 100 + 2 * (ewe - 201)
    return (str(first), str(first + 1)) if ewe % 2 == 0 else (str(first),)


def birthday(year: int, ewe: int) -> date:
    """The day a ewe lambs: one a day from February 20, in the order of their numbers."""
    return date(year, 2, 20) + timedelta(days=ewe - 201)


def birth_lb(year: int, ewe: int, place: int) -> float:
    """What a lamb weighs at birth: singles 10 to 12 lb, twins 8 to 10 lb; half a pound more in odd years."""
    return (10 if ewe % 2 else 8) + (ewe % 5) / 2 - place / 2 + (year % 2) / 2


def sixty_lb(year: int, ewe: int, place: int) -> float:
    """What a lamb weighs about its sixtieth day."""
    return (54 if ewe % 2 else 46) + (ewe % 7) - place * 2 + year % 2


def slashed(day: date) -> str:
    """3/4/2026."""
    return f"{day.month}/{day.day}/{day.year}"


def dashed(day: date) -> str:
    """A day in the name of a file."""
    return day.isoformat()


def note(*head: str, body: str = "") -> str:
    """A note with a head."""
    return "---\n" + "".join(f"{line}\n" for line in head) + f"---\n{body}"


def larkspur() -> dict[str, str]:
    """Path and text of every note."""
    told = {"flock.yaml": SETTINGS, **dict(things())}
    for year in (2025, 2026):
        told |= dict(season(year)) | dict(year_round(year))
    return told | dict(this_spring())


def things() -> Iterator[tuple[str, str]]:
    """Sheep, medicines, pastures, mobs, plans and supplies."""
    for ewe in EWES:
        born = "about 2020" if ewe % 8 == 1 else f"3/{2019 + ewe % 4}"
        name = f" {NAMES[ewe]}" if ewe in NAMES else ""
        yield (
            f"sheep/{ewe}{name}.md",
            note("note: ewe", f"born: {born}", "mob: ewes", "mature weight: 150 lb", "breed: Katahdin"),
        )
    yield "sheep/B7 Hank.md", note("note: buck", "born: 3/2021", "mob: bucks", "mature weight: 220 lb")
    yield "sheep/B9 Otis.md", note("note: buck", "born: 3/2022", "mob: bucks")
    for name, label in MEDICINES.items():
        yield (
            f"medicines/{name}.md",
            note("note: medicine", f"name: {name}", label + "source: label\nchecked: 1/5/2025"),
        )
    for name, acres in (("Creek", "4 acres"), ("Hilltop", "6.5 acres"), ("Bottom", "2.5 ac"), ("Orchard", "3 acres")):
        yield f"paddocks/{name}.md", note("note: paddock", f"area: {acres}", "rest: 30 days", "limit: 7 days")
    for name in ("ewes", "bucks", "weaned lambs"):
        yield f"mobs/{name}.md", note("note: mob")
    yield (
        "plans/shots.md",
        note("note: plan", "what: cd shots, all ewes", "before first due: 28 days", "for: ewes", "done by: cd shot"),
    )
    yield "supplies/hay.md", note("note: supply", "name: hay", "need: 5 per ewe", "have: 140 bales of 45 lb")
    yield "supplies/corn.md", note("note: supply", "name: corn", "need: 20 lb per ewe", "have: 100 lb")
    yield (
        "supplies/colostrum.md",
        note("note: supply", "name: colostrum replacer", "need: 4", "have: 3", "expires: 2/2026"),
    )


def season(year: int) -> Iterator[tuple[str, str]]:
    """One season: bred in the fall before, scanned, lambed, docked, weighed about 60 days old, weaned and sold."""
    bred, scanned = date(year - 1, 9, 26), date(year - 1, 12, 29)
    body = "".join(f"- {(bred + timedelta(days=step)).month}/{(bred + timedelta(days=step)).day} {ewe}\n"
                   for ewe, step in ((203, 2), (204, 3), (207, 6), (211, 10), (216, 15), (220, 19)))  # fmt: skip
    yield (
        f"events/{dashed(bred)} joined Hank.md",
        note("mob: ewes", f"out: {slashed(bred + timedelta(days=45))}", body=body),
    )
    yield f"events/{dashed(bred)} weighing ewes.md", "".join(f"- {ewe} {ewe_lb(year, ewe)}\n" for ewe in EWES)
    yield (
        f"events/{dashed(scanned)} scan.md",
        "".join(f"- {ewe} {('empty', 'single', 'twins')[len(lamb_tags(year, ewe))]}\n" for ewe in EWES),
    )
    for ewe in EWES:
        if tags := lamb_tags(year, ewe):
            yield lambing(year, ewe, tags)
    docked, weaned = date(year, 3, 25), date(year, 5, 10)
    whole = [tag for ewe in EWES for tag in lamb_tags(year, ewe) if tag not in lost(year)]
    yield f"events/{dashed(docked)} job docked.md", note("did: tails, rings", f"sheep: {', '.join(whole)}")
    for ewe in EWES:
        kept = [(place, tag) for place, tag in enumerate(lamb_tags(year, ewe)) if tag not in lost(year)]
        day = birthday(year, ewe) + SIXTY
        lines = "".join(f"- {tag} {sixty_lb(year, ewe, place):g}\n" for place, tag in kept)
        if kept and day < weaned:
            yield f"events/{dashed(day)} weighing litter {ewe}.md", lines
    yield f"events/{dashed(weaned)} weaning.md", note(f"lambs: {', '.join(whole)}")
    later = "".join(f"- {tag} {60 + int(tag) % 9}\n" for tag in whole)
    yield f"events/{dashed(date(year, 6, 8))} weighing lambs.md", later
    yield from goings(year, whole)


def ewe_lb(year: int, ewe: int) -> int:
    """A ewe's weight in the fall."""
    return 140 + ewe % 9 * 3 + year % 2 * 2


def lost(year: int) -> tuple[str, ...]:
    """The lambs that died."""
    return (lamb_tags(year, 206)[1], lamb_tags(year, 218)[1])


def lambing(year: int, ewe: int, tags: tuple[str, ...]) -> tuple[str, str]:
    """A birth with its lambs; every fifth had help."""
    sexes = ("ewe", "buck") if ewe % 4 < 2 else ("buck", "ewe")
    more = ", assisted, one leg back" if ewe % 5 == 0 else ", tubed 4 oz" if ewe % 7 == 0 else ""
    lines = "".join(
        f"- {sexes[place]} {birth_lb(year, ewe, place):g} lb, tag {tag}{'' if place else more}\n"
        for place, tag in enumerate(tags)
    )
    return f"events/{dashed(birthday(year, ewe))} 0510 lambing {ewe}.md", lines


def goings(year: int, whole: list[str]) -> Iterator[tuple[str, str]]:
    """Deaths, sales, a purchase and a cull."""
    for tag, cause in zip(lost(year), ("chilled", "coyote"), strict=True):
        day = birthday(year, 206 if tag == lost(year)[0] else 218) + timedelta(days=3)
        yield f"events/{dashed(day)} death {tag}.md", note(f"cause: {cause}")
    sold = ", ".join(whole[:8])
    yield (
        f"events/{year}-06-20 sale.md",
        note(f"sheep: {sold}", "to: Cullen auction", "use: slaughter", "price: $2.45/lb", "weight: 512 lb"),
    )
    yield f"events/{year}-06-22 sale.md", note(
        f"sheep: {whole[8]}", "to: neighbor", "use: breeding", "price: 185 per cwt", "weight: 64 lb",
    )  # fmt: skip
    yield (
        f"events/{year}-07-01 purchase.md",
        note(
            "from: Dale",
            "price: 250",
            body=f"- yearling ewe tag P{year}, born 3/1/{year - 1}, official TN0001 0{year - 2000}01\n",
        ),
    )


def year_round(year: int) -> Iterator[tuple[str, str]]:
    """Handlings, doses, moves, money, hay."""
    yield f"events/{year}-01-15 treatment ewes.md", note("medicine: cd shot", "mob: ewes", "dose: 2 ml", "for: booster")
    yield f"events/{year}-01-05 stock hay.md", note("supply: hay", "bought: 60 bales of 50 lb")
    yield f"events/{year}-02-05 stock hay.md", note("supply: hay", "counted: 110")
    yield f"events/{year}-01-10 money feed.md", note("amount: 60 bales at $6.50", "for: feed")
    yield f"events/{year}-02-12 money vet.md", note("amount: $185.40", "for: vet")
    yield (
        f"events/{year}-02-01 check pre-lambing.md",
        "".join(f"- {ewe} bcs {2 + ewe % 4 / 2:g}, famacha {1 + ewe % 3}\n" for ewe in EWES),
    )
    yield (
        f"events/{year}-05-15 check worms.md",
        "".join(f"- {ewe} bcs {2 + ewe % 3 / 2:g}, famacha {1 + ewe % 5}, 10{2 + ewe % 2}.4\n" for ewe in EWES[:12]),
    )
    yield (
        f"events/{year}-05-15 treatment 203 207.md",
        note(
            "medicine: clear drench",
            "sheep: 203, 207",
            "rate: 1 ml per 11 lb",
            "for: worms",
            body="- 203 154 lb 14 ml\n- 207 143 lb 13 ml\n",
        ),
    )
    yield (
        f"events/{year}-05-15 egg count before.md",
        note(
            f"test: clear drench {year}",
            "medicine: clear drench",
            body="".join(f"- {ewe} before {100 + ewe}\n" for ewe in EWES[:6]),
        ),
    )
    yield (
        f"events/{year}-05-29 egg count after.md",
        note(
            f"test: clear drench {year}",
            "medicine: clear drench",
            body="".join(f"- {ewe} after {ewe % 3 * 50}\n" for ewe in EWES[:6]),
        ),
    )
    yield f"events/{year}-04-02 illness 211.md", note("problem: mastitis", "side: left", "temp: 105.1", "severity: bad")
    yield (
        f"events/{year}-04-02 treatment 211.md",
        note("medicine: long shot", "sheep: 211", "dose: 7 ml", "for: mastitis", "by: Dale"),
    )
    for day, ground, sward in MOVES:
        yield f"events/{year}-{day} move ewes.md", note("mob: ewes", f"to: {ground}", f"sward: {sward}")
    yield f"events/{year}-05-10 draft weaned.md", note("mob: lambs", "into: weaned lambs")
    yield f"events/{year}-02-06 count ewes.md", note("mob: ewes", f"count: {len(EWES)}")


def this_spring() -> Iterator[tuple[str, str]]:
    """What a night in the barn brings in 2026: a cold lamb, a labor, milk by hand, a foster, slips of the pencil."""
    chilled, weak = lamb_tags(2026, 214)[0], lamb_tags(2026, 213)[0]
    yield (
        "events/2026-03-05 0430 feeding.md",
        note(f"lambs: {chilled}", "amount: 2 oz", "what: ewe colostrum", "how: tube", "temp: 99.1"),
    )
    yield "events/2026-03-04 2330 feeding.md", note(f"lambs: {weak}", "amount: 20 oz", "how: tube", "temp: 98.2 F")
    yield "events/2026-03-05 0450 labor 215.md", note("waters: 0440", "shows: bag")
    foster = lamb_tags(2026, 210)[1]
    yield f"events/2026-03-02 foster {foster}.md", note("onto: 209")
    yield "events/2026-02-10 abortion 219.md", note("lambs: 1")
    yield "events/2026-02-11 remark 219.md", "Watch her. She gets 3 lb of corn.\n"
    # 211 loses a third in a week and 205 gains it; 221 is read off a scale set to the other unit.
    yield "events/2026-06-01 weighing some.md", "- 211 120\n- 205 150\n"
    yield "events/2026-06-08 weighing some.md", "- 211 80\n- 205 230\n"
    yield (
        "events/2026-06-09 treatment 216.md",
        note("medicine: long shot", "dose: 30 ml", "for: pneumonia", body="- 216 150 lb 30 ml\n"),
    )
    yield (
        "events/2026-06-12 treatment 220.md",
        note("medicine: selenium shot", "dose: 10 ml", "rate: 1 ml per 40 lb", "for: white muscle", "sheep: 220"),
    )
    yield "events/2026-04-10 tagging.md", f"- {lamb_tags(2026, 203)[0]} official TN0001 0733\n"
    yield "events/2026-06-25 cull.md", note("sheep: 213", "why: bad bag")
    yield "events/2026-04-21 job feet.md", note("did: feet", "sheep: 212, 214")
