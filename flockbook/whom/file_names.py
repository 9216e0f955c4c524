"""The name of a treatment's file, and of its folders, as far as they name (V1, V7)."""

from __future__ import annotations

from itertools import pairwise

from compiler.shape import replace
from compiler.source import Span
from flockbook.naming import NAMES_DIFFER
from flockbook.whom.dosing_words import AND_CO, MORE_THAN_NAMED
from flockbook.whom.lexicon import MOB, NARROW_LETTERS, SHEEP, Bearer, Lexicon, letters, sheep_of
from flockbook.whom.line_reading import named
from flockbook.whom.lines import LineReader
from flockbook.whom.pieces import FIGURE, JOINT, NAME, PREFIX, WORD, Piece, taken_apart
from flockbook.whom.reader import SHORTEST_TAG, ending_in
from flockbook.whom.tag_ends import completed

PLAIN_QUOTES = str.maketrans("“”", "``")  # as messages have them


class FileNameReader(LineReader):
    """Reads the file's name."""

    def read_file_name(self) -> None:
        """A sheep or declared mob in the file name counts; a class only where nothing else names (V1)."""
        subject, span = self.event.subject or "", self.event.origin.span("subject")
        pieces = [*taken_apart(subject, self.lexicon), *self.of_folders()]
        others = set(self.verdict.dosed) | set(self.verdict.doubtful) | set(self.verdict.at_foot)
        head = self.event.sheep or self.event.mob
        self.read_foot(pieces, span)
        for piece in joined_strangers(pieces, self.lexicon):
            self.verdict.unknown(piece.text, span)
        for piece in pieces:
            bearers = self.counted_in_name(piece, pieces, bool(head or others))
            if not bearers:
                continue
            found = replace(piece, bearers=bearers)
            ids = set(self.ids([found]))
            if not head and not others:
                self.take(found, span)
            elif ids and not ids & (others | self.spared) and not self.lambs_named(found, others):
                self.name_differs(found, sorted(ids), span)
            elif any(bearer.sort == MOB for bearer in bearers) and ids - others - self.spared:
                self.name_differs(found, sorted(ids - others - self.spared), span)
        self.slip_in_name(pieces, others, span)
        if match := AND_CO.search(subject):
            lambs = [lamb for piece in pieces if named(piece) for lamb in self.lambs_beside(piece)]
            text, cure = f"“{match[0]}” in the file name can mean her lambs", "name every one that was dosed in `sheep`"
            self.verdict.tell(NAMES_DIFFER, span, text.translate(PLAIN_QUOTES), cure)
            self.verdict.doubt(
                [one for one in lambs if one not in others], self.verdict.because("V1", span, text, cure)
            )
        if more := MORE_THAN_NAMED.search(subject):
            self.others_told(Piece(WORD, more[0], more.start(), more.end()), subject, span)

    def slip_in_name(self, pieces: list[Piece], others: set[str], span: Span) -> None:
        """A word of the file's name, written as a name, that is one slip from that of a sheep whom nothing names."""
        for piece in pieces:
            if (
                piece.sort == WORD
                and not letters(piece.text)
                and any(named(one) for one in pieces)
                and self.like_a_tag(piece)
            ):
                self.verdict.unknown(piece.text, span)
            elif piece.sort == FIGURE and not piece.bearers and len(piece.text) >= SHORTEST_TAG:
                ends = [one for one in ending_in(piece.text, self.verdict.known) if self.verdict.here(one)]
                if ends and not set(ends) & others:
                    self.name_differs(piece, ends, span)
        for before, piece in pairwise(pieces):
            tag = before.text if named(before) else ""
            for whole in completed(tag, piece.text, self.lexicon) if piece.sort == FIGURE and not piece.bearers else ():
                ends = self.ids_of(whole)
                if not set(ends) & others:
                    self.name_differs(replace(piece, text=whole), ends, span)
        for piece in pieces:
            size = letters(piece.text) if piece.sort == WORD else 0
            if size < NARROW_LETTERS or (size == NARROW_LETTERS and not piece.proper):
                continue
            ids = sheep_of(self.lexicon.nearly(piece.text))
            meant = [one for one in ids if self.verdict.here(one)]
            if meant and not set(meant) & (others | self.spared):
                self.name_differs(piece, meant, span)

    def like_a_tag(self, piece: Piece) -> bool:
        """Whether a word looks like the tags of this flock: as long, and with their first letter."""
        tags = (tag for animal in self.verdict.known.flock.animals.values() for tag in animal.tags)
        return any(len(tag) == len(piece.text) and tag[:1].casefold() == piece.text[:1].casefold() for tag in tags)

    def of_folders(self) -> list[Piece]:
        """The sheep that the names of the note's folders name (V7): they count like the file's own."""
        folders = self.event.origin.path.split("/")[:-1]
        pieces = [piece for folder in folders for piece in taken_apart(folder, self.lexicon)]
        return [piece for piece in pieces if piece.sort == NAME and piece.proper and sheep_of(piece.bearers)]

    def counted_in_name(self, piece: Piece, pieces: list[Piece], taken: bool) -> tuple[Bearer, ...]:
        """What of a word's bearers a file name can name."""
        whole = len([one for one in pieces if one.sort not in (PREFIX, JOINT)]) == 1
        place = pieces.index(piece)
        joint = any(one.sort == JOINT for one in (*pieces[max(0, place - 1) : place], *pieces[place + 1 : place + 2]))
        joint = joint or all(one.sort in (FIGURE, JOINT, PREFIX) for one in pieces)
        if piece.sort == FIGURE and not whole and not joint and len(piece.text) < SHORTEST_TAG:
            return ()
        declared = self.lexicon.declared
        return tuple(
            bearer
            for bearer in (piece.bearers if named(piece) else ())
            if bearer.sort == SHEEP
            or (bearer.sort == MOB and bearer.name in declared)
            or (bearer.sort != SHEEP and not taken and not self.event.sheep and not self.event.mob)
        )

    def lambs_named(self, piece: Piece, others: set[str]) -> bool:
        """Whether a ewe in a file name stands for lambs of hers that the note names (`Plover's`), or for their dam."""
        ewes = self.verdict.sheep_meant(piece) if piece.of_her is None else ()
        lambs = {stay.sheep for ewe in ewes for stay in self.verdict.known.places.lambs.get(ewe, ())}
        return piece.whose and bool(lambs & others)

    def name_differs(self, piece: Piece, ids: list[str], span: Span) -> None:
        """A file name and a note that name different sheep: all are held."""
        text = f"the file name says {piece.text}, the note does not"
        cure = f"add `{piece.text}` to `sheep`, or take it out of the file name"
        self.verdict.tell(NAMES_DIFFER, span, text, cure)
        self.verdict.doubt(ids, replace(self.verdict.because("V1", span, text, cure), one_of=True))


def joined_strangers(pieces: list[Piece], lexicon: Lexicon) -> list[Piece]:
    """The words of a file's name that stand where a name should: joined by `and` or a comma to a sheep, and written
    as a name, with a figure, or one slip from somebody's.
    """
    return [
        piece
        for place, piece in enumerate(pieces)
        if place > 1
        and pieces[place - 1].sort == JOINT
        and any(named(one) for one in pieces[:place])
        and not named(piece)
        and (piece.sort == FIGURE or (piece.sort == WORD and (piece.proper or lexicon.nearly(piece.text))))
    ]
