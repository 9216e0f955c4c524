"""One state and one time for each animal, wherever the book, the hand-overs and the commands show it."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import html5lib
import pytest

from compiler.shape import Value
from tests.flockbook.test_cli import run

ON = ("--on", "2026-05-05T12:00")
EWE = "---\nnote: ewe\nborn: 2021\n---\n"
MEDICINE = "---\nnote: medicine\nname: {}\nmeat withdrawal: {}\nmilk withdrawal: {}\n---\n"
FLOCK = {
    "flock.yaml": "flock: Small\ntargets: [sale weight 40 kg]\n",
    "sheep/A1 Ash.md": EWE,
    "sheep/A2 Birch.md": EWE,
    "sheep/A3 Cedar.md": EWE,
    "sheep/A4 Dell.md": EWE,
    "sheep/A5 Elm.md": EWE,
    "sheep/A7 Gorse.md": EWE,
    "sheep/R1 Duke.md": "---\nnote: ram\nborn: 2020\n---\n",
    "medicines/drench.md": MEDICINE.format("drench", "7 days", "none"),
    "medicines/jab.md": MEDICINE.format("jab", "7 days", "none"),
    "medicines/pour.md": MEDICINE.format("pour", "20 days", "none"),
    "medicines/dip.md": "---\nnote: medicine\nname: dip\n---\n",
    "medicines/dry cow.md": MEDICINE.format("wash", "none", "not for milk"),
    "events/2026-04-10 lambing Birch.md": "- ewe 4.1 kg, tag 731\n",
    "events/2026-04-11 weighing.md": "731 4.5 kg\n",
    "events/2026-05-01 treatment Ash.md": "---\nmedicine: drench\ndose: 9 ml\n---\n",
    "events/2026-05-01 0800 treatment Birch.md": "---\nmedicine: jab\ndose: 2 ml\ngiven: 2026-05-01 08:00\n---\n",
    "events/2026-05-02 treatment flies.md": "---\nsheep: [Duke, Cedarr]\nmedicine: pour\ndose: 9 ml\n---\n",
    "events/2026-05-03 treatment Dell.md": "---\nmedicine: dip\ndose: 9 ml\n---\n",
    "events/2026-05-03 treatment Gorse.md": "---\nmedicine: wash\ndose: 9 ml\n---\n",
    "events/2026-05-04 illness Birch.md": "---\nproblem: lame\nsigns: near fore\n---\n",
    "events/2026-05-04 cull Ash.md": "---\nwhy: broken mouth\n---\n",
    "events/2026-05-04 cull 731.md": "---\nwhy: small\n---\n",
    "events/2026-01-10 joining.md": "---\nrams: Duke\newes: [Ash, Cedar, Elm]\nout: 2026-02-20\n---\n",
    "events/2026-05-06 sale.md": "---\nsheep: [Ash, Birch, Cedar, Dell, Elm, Gorse, Duke, 731]\nto: Hask Mart\n"
    "use: slaughter\n---\n",
}
# By W1 (7 days from 1 May 08:00), W2 (7 days from the end of 1 May, 20 from the end of 2 May), W6, W7, V3 and V14.
MEAT = {
    "A1": "until 9 May 2026", "A2": "until 8 May 2026 08:00", "A3": "unknown: mend", "A4": "unknown: mend",
    "A5": "clear", "A7": "clear", "R1": "until 23 May 2026", "731": "ask",
}  # fmt: skip
MILK = {"A3": "clear", "A4": "unknown: mend", "A7": "unknown: ask"}
SAID = re.compile(
    r"(?:NOT CLEAR until|not before|is clear from)\s+(?P<day>\d{1,2} \w{3} \d{4}(?: \d\d:\d\d)?)"
    r"|(?P<unknown>UNKNOWN)(?:\W{1,4}(?P<do>mend|ask))?|(?P<ask>ASK THE VET|ask the vet)"
)
BEYOND = "1 sheep withheld beyond those dosed, by 1 note"
SLIP = "events/2026-05-02 treatment flies.md"
LISTS = {
    "index.html", "clear-to-sell.html", "sheep.html", "loading.html", "loading-2026-05-06.html", "neighbour.html",
    "choose.html", "choose-sheet.html", "choose-lambs.html", "race-pre-joining.html", "race-vaccination.html",
    "race-worms.html", "weigh-sheet.html", "to-do.html",
}  # fmt: skip


class Said(Value):
    """What one place says of one animal: `place` is a page and what stands there."""

    place: str
    sheep: str
    state: str
    product: str = "meat"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The notes and the whole book of them, on disk."""
    place = tmp_path_factory.mktemp("flock")
    for path, text in FLOCK.items():
        (place / path).parent.mkdir(parents=True, exist_ok=True)
        (place / path).write_text(text, encoding="utf-8")
    assert run("compile", place, "--to", place.parent / "book", *ON).exit_code in (0, 1)
    return place.parent / "book"


def notes(book: Path) -> Path:
    """The folder of notes that a book was made from."""
    return next(path for path in book.parent.iterdir() if path.name.startswith("flock") and path.is_dir())


def spoken(text: str) -> list[str]:
    """The states that a text names."""
    found = []
    for match in SAID.finditer(" ".join(text.split())):
        if match["day"]:
            found.append(f"until {match['day']}")
        elif match["unknown"]:
            found.append(f"unknown: {match['do'] or '?'}")
        else:
            found.append("ask")
    return found


# The pages


def main_of(html: str) -> Any:
    """The main part of a page."""
    return html5lib.parse(html, namespaceHTMLElements=False).find(".//main")


def words(node: Any) -> str:
    """All words of an element."""
    return " ".join("".join(node.itertext()).split())


def tags_in(node: Any) -> list[str]:
    """The numbers on the ear tags in an element."""
    tags = [found for found in node.iter() if "ear-tag" in found.get("class", "").split()]
    return list(dict.fromkeys(number for tag in tags if (number := tag.findtext("b"))))


def on_page(path: str, html: str) -> Iterator[Said]:
    """What one page says: rows and items by the tags in them, boxes of a sheep's own page, plain lists of the clear."""
    main = main_of(html)
    own = tag_of_page(path)
    for box in main.findall(".//ul[@class='states']/li"):
        about = words(box.find("span")).lower()
        yield from (Said(path, own, state, about) for state in in_box(words(box)[len(about) :]))
    for row in (*main.iter("tr"), *main.iter("li")):
        whole = all(inner.tag not in ("li", "tr") for inner in row.iter() if inner is not row)
        if whole and not under(main, row, ("withheld", "timeline")):
            yield from in_row(path, row)


def under(main: Any, node: Any, names: tuple[str, ...]) -> bool:
    """Whether an element stands inside one of a class."""
    return any(node in part.iter() for part in main.iter() if set(names) & set(part.get("class", "").split()))


def tag_of_page(path: str) -> str:
    """The sheep that a page is about."""
    match = re.fullmatch(r"(?:sheep|cases)/([a-z0-9]+)(?:-.*)?\.html", path)
    return match[1].upper() if match else ""


def in_box(text: str) -> list[str]:
    """A state that stands alone."""
    return spoken(text) or [text.strip()]


def in_row(path: str, row: Any) -> Iterator[Said]:
    """What a row says of the sheep in it: its cells of meat and milk, a lone state, and states in running words."""
    sheep = tags_in(row) or re.findall(r"\b(?:A\d|R1|731)\b", words(row) if row.get("class") != "struck" else "")[:1]
    cells = [cell for cell in row if cell.tag in ("th", "td")]
    for cell in cells:
        label = cell.get("data-label", "")
        product = "milk" if label == "Milk" else "meat"
        found = [words(cell)] if words(cell) == "clear" else spoken(words(cell))
        yield from (Said(f"{path} {label}", one, state, product) for one in sheep for state in found)
    if not cells:
        yield from (Said(path, one, state) for one in sheep for state in spoken(words(row)))


def may_go(path: str, html: str) -> Iterator[Said]:
    """Who stands on a list of the clear: the loading list's pens, and the clear list's tags without a reason."""
    main = main_of(html)
    for item in main.findall(".//ul[@class='index tick']/li"):
        yield Said(f"{path} may go", words(item).split()[0], "clear")
    if path.startswith("clear-to-sell"):
        for item in main.findall(".//ul[@class='index']/li"):
            yield from (Said(f"{path} list", sheep, "clear") for sheep in tags_in(item))


def of_pages(book: Path) -> Iterator[Said]:
    """What all pages say."""
    for file in sorted(book.rglob("*.html")):
        path, html = file.relative_to(book).as_posix(), file.read_text(encoding="utf-8")
        yield from on_page(path, html)
        yield from may_go(path, html)


# Hand-overs and commands


def of_facts(text: str) -> Iterator[Said]:
    """What the facts file says, in its states and in its words."""
    for row in json.loads(text)["clearance"]:
        for product in ("meat", "milk"):
            said = row[product]
            yield Said("facts words", row["sheep"], (spoken(said["words"]) or [said["words"]])[0], product)
            state = by_keys(said["state"], said["until"], row["sucking"], said["words"])
            yield Said("facts state", row["sheep"], state, product)


def by_keys(state: str, until: str | None, sucking: str | None, said: str) -> str:
    """A state of the facts file in the words of this test."""
    if until:
        day, _, clock = until.partition("T")
        year, month, number = day.split("-")
        name = ("Jan", "Feb", "Mar", "Apr", "May", "Jun")[int(month) - 1]
        return f"until {int(number)} {name} {year}{f' {clock}' if clock else ''}"
    if state == "unknown":
        return f"unknown: {'mend' if 'mend' in said else 'ask'}"
    return "ask" if state == "ask" or (sucking and said != "clear") else state


def of_tables(place: Path) -> Iterator[Said]:
    """What the tables say."""
    text = (place / "clearance.csv").read_text(encoding="utf-8-sig")
    for row in csv.DictReader(io.StringIO(text)):
        for product in ("meat", "milk"):
            said = row[f"{product} words"]
            yield Said("table words", row["sheep"], (spoken(said) or [said])[0], product)
            state = by_keys(row[f"{product} state"], row[f"{product} until"], row["sucking"], said)
            yield Said("table state", row["sheep"], state, product)


def of_calendar(text: str) -> Iterator[Said]:
    """What the calendar says."""
    for entry in text.replace("\r\n ", "").split("BEGIN:VEVENT")[1:]:
        told = re.search(r"DESCRIPTION:(.*)", entry)
        sheep = re.findall(r"\b(?:A\d|R1|731)\b", told[1].split(".md")[0] if told else "")
        yield from (Said("calendar", one, state) for one in sheep for state in spoken(entry))


def of_command(text: str) -> Iterator[Said]:
    """What `flockbook clear` says."""
    sheep = ""
    for line in text.splitlines():
        head = re.match(r"(A\d|R1|731)\b[^:]*: (.*)", line)
        if head:
            sheep = head[1]
            yield Said("clear", sheep, told_by_command(head[2]))
        elif line.startswith("    milk: "):
            yield Said("clear", sheep, told_by_command(line[10:]), "milk")


def told_by_command(text: str) -> str:
    """A state as the command prints it."""
    iso = re.fullmatch(r"NOT CLEAR until (\d{4}-\d\d-\d\d)(?: (\d\d:\d\d))?", text)
    if iso:
        return by_keys("held", f"{iso[1]}{f'T{iso[2]}' if iso[2] else ''}", None, "")
    return (spoken(text) or [text])[0]


def disagreements(found: list[Said]) -> list[Said]:
    """Whatever is not the state that the animal has."""
    wrong = []
    for said in found:
        right = (MEAT if said.product == "meat" else {**dict.fromkeys(MEAT, "clear"), **MILK}).get(said.sheep)
        if right is None or said.state != right:
            wrong.append(said)
    return wrong


# The tests


def test_every_page_says_one_state_and_one_time(book: Path) -> None:
    """Hours stay hours (W10), a first clear date stays a date (W2), and each place says what the rules say."""
    found = list(of_pages(book))
    assert disagreements(found) == []
    assert LISTS - {said.place.split(" ")[0] for said in found} == set()
    told = {(said.sheep, said.place.split(" ")[0]) for said in found}
    for sheep in MEAT:
        own = f"sheep/{sheep.lower()}.html"
        assert {(sheep, own), (sheep, "clear-to-sell.html"), (sheep, "sheep.html"), (sheep, "loading.html")} <= told


def test_hand_overs_and_commands_say_the_same(book: Path, tmp_path: Path) -> None:
    """Facts, tables, calendar, `clear` and `due` agree with the pages."""
    place = notes(book)
    run("handover", "tables", place, "--to", tmp_path / "tables", *ON)
    found = [
        *of_facts(run("handover", "facts", place, *ON).stdout),
        *of_tables(tmp_path / "tables"),
        *of_calendar(run("handover", "calendar", place, *ON).stdout),
        *of_command(run("clear", "--folder", place, *ON).stdout),
    ]
    assert disagreements(found) == []
    for where in ("facts words", "facts state", "table words", "table state", "clear"):
        assert {said.sheep for said in found if said.place == where} == set(MEAT), where
    assert {said.sheep for said in found if said.place == "calendar"} == {"A1", "A2", "R1"}
    assert spoken(run("due", place, *ON).stdout) == []


def test_the_hour_stands_beside_its_day_everywhere(book: Path) -> None:
    """No page speaks of the day on which A2 is clear without the hour; a reminder's own day alone is a plain day."""
    for file in sorted(book.rglob("*.html")):
        main = main_of(file.read_text(encoding="utf-8"))
        for cell in [cell for row in main.iter("tr") for cell in row if cell.get("data-label") == "When"]:
            cell.clear()
        assert re.findall(r"\b8 May 2026(?! 08:00)", words(main)) == [], file.name


@pytest.mark.parametrize(
    ("page", "old", "new"),
    [
        ("race-worms.html", "8 May 2026 08:00", "8 May 2026"),
        ("to-do.html", "8 May 2026 08:00", "8 May 2026"),
        ("sheep.html", 'class="state asked"><b>ASK THE VET</b> <span class="nobreak">– sucking</span>', ">clear<"),
        ("clear-to-sell.html", "9 May 2026", "8 May 2026"),
        ("loading.html", "mend the note", "ask the vet"),
    ],
)
def test_a_doctored_page_is_found(book: Path, page: str, old: str, new: str) -> None:
    """This test's own eye: a page that says another time or another state disagrees."""
    html = (book / page).read_text(encoding="utf-8")
    assert old in html
    changed = html.replace(old, new if new != ">clear<" else 'class="state clear">clear')
    assert disagreements(list(on_page(page, changed))) != []


def test_what_is_to_be_mended_stands_first(book: Path) -> None:
    """The first page, the clear list and `clear` begin with whom a doubt withholds, note, line, and what to type."""
    for page in ("index.html", "clear-to-sell.html"):
        main = main_of((book / page).read_text(encoding="utf-8"))
        box = main.find(".//section[@class='withheld']")
        said = words(main)[len(words(main.find(".//h1"))) :].strip()
        assert said.startswith(words(box)), page
        for text in (BEYOND, "Cedar (A3)", f"{SLIP}, line 2", "Did you mean Cedar"):
            assert text in words(box), (page, text)
    printed = run("clear", "--folder", notes(book), *ON).stdout
    assert printed.startswith(BEYOND)
    assert f"in {SLIP}, line 2" in printed
    assert "to mend: did you mean `Cedar` (A3)?" in printed


def test_after_the_mend_it_is_gone(tmp_path: Path) -> None:
    """With the name put right, and the period of the dip, the box is gone, and she is held like the ram."""
    for path, text in FLOCK.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    note = tmp_path / SLIP
    note.write_text(note.read_text(encoding="utf-8").replace("Cedarr", "Cedar"), encoding="utf-8")
    (tmp_path / "medicines/dip.md").write_text(MEDICINE.format("dip", "none", "none"), encoding="utf-8")
    printed = run("clear", "--folder", tmp_path, *ON).stdout
    assert "withheld" not in printed
    assert "A3 Cedar: NOT CLEAR until 23 May 2026" in printed
    run("compile", tmp_path, "--to", tmp_path.parent / "mended", *ON)
    for page in ("index.html", "clear-to-sell.html"):
        assert 'class="withheld"' not in (tmp_path.parent / "mended" / page).read_text(encoding="utf-8")
