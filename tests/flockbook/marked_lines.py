"""Notes whose data lines and table rows hold every word that their grammar knows, each line on a sheep of its own."""

from __future__ import annotations

from compiler.shape import Value
from flockbook.records import lamb_line

# Of a kind of note: the field of a line, the line with its sheep as {0}, and what the book must say of it.
LINED: dict[str, tuple[tuple[str, str, str], ...]] = {
    "joining": (
        ("date", "7 Nov 2025 {0}", "7 Nov 2025"),
        ("ewes", "8 Nov 2025 {0}", "8 Nov 2025: {0}"),
        ("colour", "9 Nov 2025 turquoise", "9 Nov 2025: crayon turquoise"),
        ("again", "10 Nov 2025 {0} again", "{0} again"),
    ),
    "scan": (
        ("lambs", "{0} triplets", "triplets"),
        ("days", "{0} single, 83 days", "83 days"),
        ("mark", "{0} twins, red dot left shoulder", "twins, red dot left shoulder"),
        ("remark", "{0} twins, restless", "twins, restless"),
        ("also", "{0} empty 3 times", "empty, 3 times"),
    ),
    "weaning": (
        ("weight", "{0} 27.3", "27.3 kg"),
        ("remark", "{0} 27.4 dirty behind", "dirty behind"),
    ),
    "weighing": (
        ("weight", "{0} 61.3", "61.3 kg"),
        ("remark", "{0} 61.4 lame off fore", "lame off fore"),
    ),
    "check": (
        ("condition", "{0} bcs 2.25", "condition 2.25"),
        ("eyelid", "{0} eyelid 4", "eyelid 4"),
        ("dag", "{0} dag 3", "dag 3"),
        ("udder", "{0} udder lump", "udder lump"),
        ("udder_side", "{0} udder hard left", "udder hard left"),
        ("feet", "{0} feet overgrown", "feet overgrown"),
        ("mouth", "{0} mouth broken", "mouth broken"),
        ("temperature", "{0} 39.7 C", "39.7 C"),
        ("weight", "{0} 58.3 kg", "58.3 kg"),
        ("signs", "{0} jaw bottled", "jaw bottled"),
        ("scrotal", "{0} scrotal 34 cm", "scrotal 34 cm"),
        ("remark", "{0} bcs 3, cut behind the ear", "cut behind the ear"),
    ),
    "job": (
        ("weight", "{0} fleece 2.3 kg", "fleece 2.3 kg"),
        ("fleece_class", "{0} fleece 2.4 kg, class fine", "fleece 2.4 kg, class fine"),
        ("remark", "{0} fleece 2.5 kg, cotted", "cotted"),
    ),
    "tagging": (
        ("tag", "{0} now {0}N", "now {0}N"),
        ("eid", "{0} eid 826000000012349", "electronic 826000000012349"),
        ("official", "{0} official UK 0123456 00349", "official UK 0123456 00349"),
        ("lost", "{0} lost", "tag lost"),
        ("remark", "{0} lost, ear torn", "ear torn"),
    ),
    "treatment": (
        ("weight", "{0} 62.3 kg", "62.3 kg"),
        ("dose", "{0} 2.7 ml", "2.7 ml"),
        ("remark", "{0} 60.1 kg spat some out", "spat some out"),
    ),
    "egg count": (
        ("eggs", "{0} 17 eggs", "17 eggs counted"),
        ("epg", "{0} 650 epg", "650 eggs per gram"),
        ("before", "{0} before 3550", "before 3550"),
        ("after", "{0} after 250", "after 250"),
        ("also", "{0} 19 eggs, loose", "loose"),
    ),
    "purchase": (
        ("name", "ewe tag {0} Whinny", "Whinny"),
        ("sex", "ram tag {0}", "ram"),
        ("born", "ewe tag {0}, born 2023-02", "born Feb 2023"),
        ("eid", "ewe tag {0}, eid 826000000012350", "electronic 826000000012350"),
        ("official", "ewe tag {0}, official UK 0123456 00350", "official UK 0123456 00350"),
        ("remark", "ewe tag {0}, bred", "bred"),
    ),
}  # fmt: skip
# Of a kind of note: what stands in a row of a table under each heading, and what the book must say of it.
ROWS: dict[str, dict[str, tuple[str, str]]] = {
    "scan": {"lambs": ("quads", "four lambs"), "days": ("79", "79 days"), "mark": ("blue stripe", "blue stripe")},
    "job": {"fleece": ("2.7 kg", "fleece 2.7 kg"), "class": ("coarse", "class coarse"), "note": ("dingy", "dingy")},
    "weaning": {"kg": ("26.7", "26.7 kg"), "note": ("hairy", "hairy")},
    "weighing": {"kg": ("57.7", "57.7 kg"), "note": ("wet", "wet")},
    "check": {
        "bcs": ("2.75", "condition 2.75"), "eyelid": ("5", "eyelid 5"), "udder": ("hard right", "udder hard right"),
        "feet": ("rotten", "feet rotten"), "mouth": ("gappy", "mouth gappy"), "dag": ("1", "dag 1"),
        "kg": ("59.7", "59.7 kg"), "note": ("coughs", "coughs"), "scrotal": ("33 cm", "scrotal 33 cm"),
    },
    "tagging": {
        "tag": ("{0}N", "now {0}N"), "eid": ("826000000012351", "826000000012351"), "note": ("sore", "sore"),
        "official": ("UK 0123456 00351", "UK 0123456 00351"),
    },
    "treatment": {"kg": ("63.7", "63.7 kg"), "dose": ("2.9", "2.9 ml")},
    "egg count": {"eggs": ("23", "23 eggs counted"), "before": ("3560", "before 3560"), "after": ("260", "after 260")},
    "purchase": {
        "name": ("Bracket", "Bracket"), "sex": ("ram", "ram"), "born": ("2024-03", "born Mar 2024"),
        "eid": ("826000000012352", "826000000012352"), "official": ("UK 0123456 00352", "UK 0123456 00352"),
    },
}  # fmt: skip
# Further headings, each of which stands in the place of another.
WEIGHED_BY = {
    "kgs": ("57.8", "57.8 kg"), "kilos": ("57.6", "57.6 kg"), "lb": ("57.9", "57.9 lb"), "lbs": ("58.1", "58.1 lb"),
    "pounds": ("58.4", "58.4 lb"), "weight": ("57.5", "57.5 kg"),
}  # fmt: skip
OTHER_HEADINGS: dict[str, dict[str, tuple[str, str]]] = {
    "job": {"kg": ("2.6", "fleece 2.6 kg"), "lb": ("5.7", "fleece 5.7 lb")},
    "weaning": WEIGHED_BY, "weighing": WEIGHED_BY, "egg count": {"epg": ("660", "660 eggs per gram")},
    "check": {
        "condition": ("2.25", "condition 2.25"), "eyelids": ("4", "eyelid 4"), "eye": ("3", "eyelid 3"),
        "famacha": ("2", "eyelid 2"), "dags": ("2", "dag 2"), "foot": ("long", "feet long"),
        "teeth": ("short", "mouth short"), "temp": ("39.3", "39.3 C"), "temperature": ("39.6", "39.6 C"),
        "lb": ("128", "128 lb"), "fam": ("1", "eyelid 1"), "bag": ("soft", "udder soft"),
        "condition score": ("1.75", "condition 1.75"), "body condition": ("3.25", "condition 3.25"),
        "body condition score": ("3.75", "condition 3.75"), "body score": ("4.25", "condition 4.25"),
    },
}  # fmt: skip
HEADS = {
    "job": "did: shearing\n",
    "joining": "rams: Stag\n", "treatment": "medicine: lined drench\n", "egg count": "factor: 50\n",
    "weighing": "stage: post-weaning\n",
}  # fmt: skip
PLAIN = "ewe 4.1, tag {0}"  # a lamb's line before the word in question
PLAIN_FIELDS = ("sex", "weight", "tag")  # what a plain line already says
LITTER = 3


class Lined(Value):
    """One line or one cell: the note it stands in, its sheep, the field or heading, and the words that must show."""

    note: str
    sheep: str
    field: str
    words: str


def notes_of_lines() -> tuple[dict[str, str], tuple[Lined, ...]]:
    """For each grammar a note of dash lines, one with a table, and one with a CSV file beside it."""
    notes: dict[str, str] = {}
    found: list[Lined] = []
    for place, (kind, lines) in enumerate(LINED.items()):
        tags = [f"K{place}{number:02}" for number in range(len(lines))]
        body = "".join(f"- {line.format(tag)}\n" for tag, (_, line, _) in zip(tags, lines, strict=True))
        notes |= note_of(kind, "lines", body) | ({} if kind == "purchase" else ewes(tags))
        path = path_of(kind, "lines")
        found += [Lined(path, tag, name, words.format(tag)) for tag, (name, _, words) in zip(tags, lines, strict=True)]
    for place, (kind, cells) in enumerate(ROWS.items()):
        for way in ("table", "file"):
            tag = f"{way[0].upper()}{place}"
            notes |= tabled(kind, way, tag) | ({} if kind == "purchase" else ewes([tag]))
            found += [Lined(path_of(kind, way), tag, name, words.format(tag)) for name, (_, words) in cells.items()]
            if way == "file":
                found.append(Lined(path_of(kind, way), tag, "an unknown heading", f"grey{place}"))
    for kind, headings in OTHER_HEADINGS.items():
        tables, path = "", path_of(kind, "headings")
        for place, (name, (typed, words)) in enumerate(headings.items()):
            tag = f"H{kind[:3]}{place}"
            tables += f"| sheep | {name} |\n|---|---|\n| {tag} | {typed} |\n\n"
            notes |= ewes([tag])
            found.append(Lined(path, tag, name, words))
        notes |= note_of(kind, "headings", tables)
    return notes, tuple(found)


def tabled(kind: str, way: str, tag: str) -> dict[str, str]:
    """A note with one row of data in a table, or in the file beside it, where one heading is not known."""
    cells = {"sheep": tag, **{name: typed.format(tag) for name, (typed, _) in ROWS[kind].items()}}
    if way == "table":
        rows = (cells, ["---"] * len(cells), cells.values())
        return note_of(kind, way, "".join(f"| {' | '.join(row)} |\n" for row in rows))
    cells["looks"] = f"grey{list(ROWS).index(kind)}"
    beside = {path_of(kind, way).replace(".md", ".csv"): f"{','.join(cells)}\n{','.join(cells.values())}\n"}
    return note_of(kind, way, "") | beside


def path_of(kind: str, way: str) -> str:
    """Where a note stands."""
    return f"lined/2025-11-20 {kind} {way}.md"


def note_of(kind: str, way: str, body: str) -> dict[str, str]:
    """One note of a kind."""
    return {path_of(kind, way): f"---\nnote: {kind}\n{HEADS.get(kind, '')}---\n{body}"}


def ewes(tags: list[str]) -> dict[str, str]:
    """A note for each ewe."""
    return {f"sheep/ewe {tag}.md": f"---\ntag: {tag}\nborn: 2020\n---\n" for tag in tags}


class Lamb(Value):
    """One lamb with one word on its line: its birth note, its dam, its tag, and what must be said of it."""

    note: str
    dam: str
    tag: str
    typed: str
    word: lamb_line.Word


def lambs() -> tuple[Lamb, ...]:
    """A lamb for every word that a lamb's line knows, three to a ewe."""
    every = [word for word in lamb_line.WORDS if word.example and word.field not in PLAIN_FIELDS]
    found = []
    for place, word in enumerate(every):
        dam, tag = f"D{place // LITTER}", f"L{place}"
        typed = f"{PLAIN.format(tag)}, {word.example.strip('`')}"
        found.append(Lamb(f"lined/2025-04-{place // LITTER + 10} lambing {dam}.md", dam, tag, typed, word))
    return tuple(found)


def lined_flock() -> dict[str, str]:
    """All notes of this flock by path."""
    notes = notes_of_lines()[0] | ewes(["Teasel", *dict.fromkeys(lamb.dam for lamb in lambs())])
    notes["sheep/ram Stag.md"] = "---\ntag: Stag\nborn: 2020\n---\n"
    notes["medicines/lined drench.md"] = (
        "---\nname: lined drench\nmeat withdrawal: 5 days\nmilk withdrawal: 5 days\n---\n"
    )
    for lamb in lambs():
        notes[lamb.note] = notes.get(lamb.note, f"---\newe: {lamb.dam}\n---\n") + f"- {lamb.typed}\n"
    return notes
