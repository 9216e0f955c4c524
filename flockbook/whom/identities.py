"""Who is who, where notes leave it open: tags that a line gives half read, and records that may be one animal (V6)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date

from compiler.nearness import near
from compiler.schema import Cell
from flockbook.flock import Animal, Flock
from flockbook.records.handling import Tagging
from flockbook.records.trade import Purchase
from flockbook.roll import key_of
from flockbook.trade import SEX_PATTERN
from flockbook.whom.lexicon import Lexicon, sheep_of
from flockbook.whom.line_reading import marked
from flockbook.whom.pieces import FIGURE, NAME, WORD, Piece, taken_apart

WAS = re.compile(r"\b(?:was|formerly|used to be|previously|old (?:tag|number)|ex)\b[ :=]*", re.I)
WAS_FIELDS = ("was", "old tag", "former", "formerly", "old number", "replaces")  # fields that a sheep's note might have
LARGEST_LITTER = 3  # new tags on a line that may be those of one litter (our own choice)
TWO_FIGURES = re.compile(r"\d{2,}")
OF_A_LAMB = re.compile(rf"\b(?:{SEX_PATTERN}|lambs?|twins?)\b", re.I)
SHORT_REMARK = 8  # words below which a line of a sheep's own note may say what she was called (our own choice)


def tags_half_read(flock: Flock, lexicon: Lexicon) -> Iterator[tuple[str, str]]:
    """New tags on lines of tagging notes that could not be read: one sheep who was here, and one word with figures that
    nobody bore who was here.
    """
    for cell, day in lines_of_taggings(flock):
        pieces = [piece for piece in taken_apart(cell.text, lexicon) if piece.start >= marked(cell.text)]
        held = [(piece, [one for one in sheep_of(piece.bearers) if here_on(flock, one, day)]) for piece in pieces]
        sheep = {one for _, ids in held for one in ids}
        fresh = {piece.text for piece, ids in held if not ids and piece.sort in (WORD, FIGURE, NAME) and figured(piece)}
        if len(sheep) == 1 and 0 < len(fresh) <= LARGEST_LITTER:
            one = sheep.pop()
            hers = any(piece.of_her is not None or piece.whose for piece in pieces)
            also = len(fresh) > 1 or OF_A_LAMB.search(cell.text) is not None
            lambs = [lamb.id for lamb in flock.lambs_of.get(one, ()) if hers or also]
            yield from ((each, tag) for tag in sorted(fresh) for each in (*lambs, *(() if hers else (one,))))


def tags_of_a_litter(flock: Flock) -> Iterator[tuple[str, str]]:
    """`Bess = 733, 734`: the tag taken for hers may be one of her lambs'."""
    for event in flock.collection.of(Tagging):
        for line in event.lines:
            ewe = flock.named(event, line.sheep) if line.tag and TWO_FIGURES.search(line.remark) else None
            yield from ((lamb.id, line.tag or "") for lamb in flock.lambs_of.get(ewe or "", ()))


def perhaps_one(flock: Flock, lexicon: Lexicon) -> Iterator[tuple[str, str]]:
    """Sheep with a record each that may be one animal: both stand on a line of a tagging note that was not read, or one
    of them says what she `was`.
    """
    for cell, _ in lines_of_taggings(flock):
        pieces = [piece for piece in taken_apart(cell.text, lexicon) if piece.start >= marked(cell.text)]
        tags = [piece for piece in pieces if piece.sort in (NAME, FIGURE) and figured(piece)]
        two = list(dict.fromkeys(one for piece in tags for one in sheep_of(piece.bearers)))
        if len(two) == 2:
            yield two[0], two[1]
    yield from bought_back(flock)
    yield from called_as_bought(flock, lexicon)
    for sheep, text in said_she_was(flock):
        match = WAS.search(text)
        for piece in taken_apart(text[match.end() :], lexicon)[:1] if match else ():
            yield from ((sheep, one) for one in sheep_of(piece.bearers) if one != sheep)


def bought_back(flock: Flock) -> Iterator[tuple[str, str]]:
    """Sheep bought under the name of one who had been sold alive: they may be one."""
    sold: dict[str, list[Animal]] = {}
    for animal in flock.animals.values():
        if animal.name and animal.left and not animal.left.dead:
            sold.setdefault(key_of(animal.name), []).append(animal)
    for animal in flock.animals.values():
        for before in sold.get(key_of(animal.name or ""), ()) if animal.arrived else ():
            if before is not animal and before.left and animal.arrived and before.left.date <= animal.arrived:
                yield animal.id, before.id


def called_as_bought(flock: Flock, lexicon: Lexicon) -> Iterator[tuple[str, str]]:
    """`our old Teasel` on the line of a purchase: one who was sold alive may be back under another tag."""
    for sheep, words, day in lines_of_purchases(flock):
        said = sheep_of(bearer for piece in taken_apart(words, lexicon) for bearer in piece.bearers)
        for one in dict.fromkeys(said):
            left = flock.animals[one].left
            if one != sheep and left and not left.dead and day and left.date <= day:
                yield sheep, one


def lines_of_purchases(flock: Flock) -> Iterator[tuple[str, str, date | None]]:
    """The sheep of every line of a purchase, with the line as it is typed and its day."""
    for event in flock.collection.of(Purchase):
        typed = {cell.line: cell.text for cell in event.origin.data}
        for line in event.lines:
            if sheep := flock.named(event, line.sheep):
                yield sheep, typed.get(line.span.line, ""), event.date


def said_she_was(flock: Flock) -> Iterator[tuple[str, str]]:
    """What sheep's own notes, and lines of purchases, say of what a sheep was called before."""
    for animal in flock.animals.values():
        if animal.note is None:
            continue
        for name, text in animal.note.origin.unread.items():
            if near(name, WAS_FIELDS):
                yield animal.id, f"was {text}"
        yield from ((animal.id, cell.text) for cell in animal.note.origin.rest if len(cell.text.split()) < SHORT_REMARK)
    yield from ((sheep, words) for sheep, words, _ in lines_of_purchases(flock))


def lines_of_taggings(flock: Flock) -> Iterator[tuple[Cell, date | None]]:
    """The lines of tagging notes that became no data, or name nobody: each alone, then all of a note as one; with its
    day.
    """
    for event in flock.collection.of(Tagging):
        cells = list(event.origin.rest)
        for line in event.lines:
            half = TWO_FIGURES.search(line.remark) is not None  # `Bess = 733, 734`: of her lambs
            if half or not flock.named(event, line.sheep) or not (line.tag or line.eid or line.official):
                typed = next((cell.text for cell in event.origin.data if cell.line == line.span.line), "")
                cells.append(Cell(typed or f"{line.sheep} = {line.tag or ''} {line.remark}", line.span.line, 1))
        yield from ((cell, event.date) for cell in (*cells, *joined(cells)))
    for hole in flock.collection.holes:
        if hole.kind == "tagging":
            yield from ((cell, None) for cell in (*hole.lines, *joined(hole.lines)))


def joined(cells: Sequence[Cell]) -> list[Cell]:
    """Several lines as one: what was lost may stand on one, and what came in its place on the next."""
    return [Cell("; ".join(cell.text for cell in cells), cells[0].line, 1)] if len(cells) > 1 else []


def here_on(flock: Flock, sheep: str, day: date | None) -> bool:
    """Whether a sheep can be one of those who were here before a day, also if it has just left."""
    animal = flock.animals[sheep]
    return day is None or not (
        (animal.arrived and animal.arrived > day) or (animal.born and animal.born.earliest > day)
    )


def figured(piece: Piece) -> bool:
    """Whether a piece has a figure in it."""
    return any(sign.isdigit() for sign in piece.text)
