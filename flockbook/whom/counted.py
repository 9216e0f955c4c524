"""Whether a treatment names as many as it says, whether its file is whole, and whether it names anybody (V3)."""

from __future__ import annotations

from compiler.nearness import clipped
from flockbook.naming import COUNT_DIFFERS, NOBODY
from flockbook.whom.file_names import FileNameReader
from flockbook.whom.line_reading import named
from flockbook.whom.pieces import NAME, WORD, Piece, taken_apart
from flockbook.whom.prose_words import IS_ILL, MORE_SHEEP


class CountReader(FileNameReader):
    """Holds those who were found against what the note says of them."""

    def check_count(self) -> None:
        """`count` against those named: more than are named means that somebody is missing."""
        count = self.event.count
        named_ = len(self.verdict.dosed)
        if count is None or count in (named_, named_ + len(self.verdict.at_foot), self.grown()) or self.verdict.lost:
            return
        span, cure = self.event.origin.span("count"), "correct the count or the names"
        self.verdict.tell(COUNT_DIFFERS, span, f"the note says {count} sheep; those named come to {named_}", cure)
        if count > named_ or len(self.counted) < named_:
            self.verdict.doubt_everybody(
                self.verdict.because("V3", span, f"the note says {count} sheep and names {named_}", cure)
            )

    def grown(self) -> int:
        """How many of those named are no lambs at the foot of others of them: a mob is often counted so."""
        feet = self.verdict.known.places.at_foot(self.verdict.dosed, self.verdict.window)
        return len([sheep for sheep in self.verdict.dosed if sheep not in feet])

    def check_end(self) -> None:
        """An unknown name in the last line of a file that ends without a line end: the file may have been cut there."""
        last = self.event.origin.cut
        text, span = next(((text, span) for text, span in self.verdict.lost if span.line == last), ("", None))
        if last and span is not None:
            why = f"the file ends in “{clipped(text)}” and may have been cut off"
            self.verdict.doubt_everybody(self.verdict.because("W11", span, why, "write the line whole, and end it"))

    def require_somebody(self) -> None:
        """A treatment that names nobody could be anybody's."""
        if self.verdict.dosed or self.verdict.at_foot or self.verdict.doubtful or self.verdict.everybody:
            return
        span, cure = self.event.origin.span(), "add `sheep: …` or `mob: …`"
        what = (
            "nobody is left of those that this treatment names"
            if self.verdict.named
            else "this treatment note names no sheep"
        )
        if ill := self.said_to_be_ill():
            cure = f"add `sheep: {ill.text}`"
        self.verdict.tell(NOBODY, span, what, cure)
        doubt = self.verdict.because("V3", span, "it cannot be told which sheep this treatment was given to", cure)
        if ill:
            self.verdict.doubt(self.ids([ill]), doubt)
        else:
            self.verdict.doubt_everybody(doubt)

    def said_to_be_ill(self) -> Piece | None:
        """`Teasel has foot rot again.`: the one sheep whom all the words of a treatment that names nobody speak of."""
        pieces = [piece for text, _ in self.prose for piece in taken_apart(text, self.lexicon)]
        names = [piece for piece in pieces if named(piece) or (piece.proper and piece.sort == WORD)]
        first = pieces[0] if pieces else None
        if first is None or names != [first] or first.sort != NAME or first.whose or len(self.ids([first])) != 1:
            return None
        told = len(self.prose) == 1 and IS_ILL.match(self.prose[0][0][first.end :]) is not None
        return first if told and not self.verdict.named and not MORE_SHEEP.search(self.prose[0][0]) else None
