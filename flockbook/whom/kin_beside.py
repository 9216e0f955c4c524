"""Words of kin beside a name: `gimmer C214`, `Bramble (ewe lamb)` mean a lamb of hers, `731's dam` the ewe (V6)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from flockbook.trade import SEX_SAID
from flockbook.whom.lexicon import folded, sheep_of
from flockbook.whom.pieces import JOINT, PREFIX, WORD, Piece

LAMBS, DAMS = "lambs", "dams"
YOUNG_WORDS = frozenset({"gimmer", "lamb", "lambs", "twin", "twins"})
OF_A_SEX = frozenset(SEX_SAID)
DAM_WORDS = frozenset({"dam", "mother", "mum", "ewe"})
DAMS_TOO = DAM_WORDS | {"mam", "mom", "mammy", "mummy"}
OF_WORDS = frozenset({"of", "with"})


def kin_beside(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, str]]:
    """Every name with a word of kin before or behind it: the name, the word, and whom it means, her lambs or a dam."""
    for place, piece in enumerate(pieces):
        if not sheep_of(piece.bearers) or piece.of_her is not None:
            continue
        before, behind = said_before(pieces, place), said_behind(pieces, place)
        if piece.whose and behind and folded(behind[0].text) in DAM_WORDS:
            yield piece, behind[0], DAMS
        elif len(before) > 1 and folded(before[-1].text) in OF_WORDS and folded(before[-2].text) in DAM_WORDS:
            yield piece, before[-2], DAMS
        elif young := young_word(before[-1:]) or young_word(behind[:1]) or young_word(behind[1:2], behind[:1]):
            yield piece, young, LAMBS


def dam_word(pieces: Sequence[Piece]) -> Piece | None:
    """A word that means the ewe whose lamb is spoken of: `Mother jabbed`; not `ewe 731`, nor `ewe lamb`."""
    for place, piece in enumerate(pieces):
        behind = pieces[place + 1] if place + 1 < len(pieces) else None
        names_her = behind is not None and (bool(behind.bearers) or folded(behind.text) in YOUNG_WORDS)
        if folded(piece.text) in DAMS_TOO and piece.sort in (WORD, PREFIX) and not names_her:
            return piece
    return None


def said_before(pieces: Sequence[Piece], place: int) -> list[Piece]:
    """The words straight before a piece, up to a joint."""
    found: list[Piece] = []
    for piece in reversed(pieces[:place]):
        if piece.sort not in (WORD, PREFIX):
            break
        found.insert(0, piece)
    return found


def said_behind(pieces: Sequence[Piece], place: int) -> list[Piece]:
    """The words straight behind a piece, up to a joint or an amount."""
    found: list[Piece] = []
    for piece in pieces[place + 1 :]:
        if piece.sort == JOINT or piece.sort not in (WORD, PREFIX):
            break
        found.append(piece)
    return found


def young_word(words: Sequence[Piece], before: Sequence[Piece] = ()) -> Piece | None:
    """The word for a lamb among these, if one stands there; behind another word only where that one tells its sex."""
    if not words or folded(words[0].text) not in YOUNG_WORDS:
        return None
    return words[0] if not before or folded(before[0].text) in OF_A_SEX else None
