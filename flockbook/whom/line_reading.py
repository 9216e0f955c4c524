"""One line of a treatment: whom it names, what each got, and whether it reads whole (rules V1 and V2)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from flockbook.whom.lexicon import NARROW_LETTERS, SHEEP, Lexicon, folded, letters, tokens
from flockbook.whom.pieces import AMOUNT, DATE, FIGURE, JOINT, NAME, PREFIX, RANGE, WORD, Piece, taken_apart
from flockbook.whom.tag_ends import completes, shortened

MARKER = re.compile(
    r"(?:\s|>|[-*+•–—](?=\s|[^\W\d_]|#)|\[[ xX]?\]|\||<[^>\n]{0,40}>)*(?:(?:\d{1,2}|[a-hA-H]|[ivx]{1,4})[.)]\s+)?"
)
# Words that may stand in a line of doses and say nothing of whom.
NOISE = frozenset(
    tokens(
        "to today done did give gave given drenched treated wormed jabbed vaccinated for side front hind near off fore "
        "morning evening night was were only first "
        "each apiece per head dose doses dosed got had given gave of at the a in im sc s c i m wt weight about "
        "approx oral both all same too likewise into under over by mouth skin muscle drench drenched injection "
        "injected left right side neck shoulder leg"
    )
)
# Headings of a table's columns: a row of nothing else names nobody.
HEADINGS = frozenset(
    tokens(
        "sheep ewe ewes ram rams lamb lambs tag tags name names animal animals who ml mls kg lb dose doses weight wt "
        "amount medicine what how where why which result when date day time note notes remark remarks no mob mobs group"
    )
)
OTHERS = frozenset(tokens("rest others other remaining remainder everybody everyone all both whole"))
# Words with a capital that are no names of sheep, also where nobody is called so.
NO_NAMES = frozenset(
    tokens(
        "monday tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun january february "
        "march april may june july august september october november december i am pm im sc iv"
    )
)
NAMING_WORDS = 2  # a line of so few unknown words is a name that nobody has, not a remark (our own choice)


@dataclass(slots=True)
class Group:
    """Sheep named together, and the amounts and days written behind them."""

    names: list[Piece] = field(default_factory=list)
    amounts: list[Piece] = field(default_factory=list)
    days: list[Piece] = field(default_factory=list)


@dataclass(slots=True)
class LineRead:
    """What a line says: groups in order, words that name nobody but stand where a name should, words left over.

    `data` is False for prose. `whole` says that nothing is left over that could matter.
    """

    data: bool = False
    groups: list[Group] = field(default_factory=list)
    unknown: list[Piece] = field(default_factory=list)
    left: list[Piece] = field(default_factory=list)
    others: Piece | None = None

    @property
    def whole(self) -> bool:
        """Whether every word of the line is accounted for."""
        return not [piece for piece in self.left if folded(piece.text) not in NOISE]


def read_line(text: str, lexicon: Lexicon, dash: bool) -> LineRead:
    """Read one line. A bare line is data if it begins with somebody known and carries an amount or nothing else."""
    start = marked(text)
    pieces = [piece for piece in taken_apart(text, lexicon) if piece.start >= start]
    first = next((piece for piece in pieces if not passed_over(piece)), None)
    words = [piece for piece in pieces if piece.sort != JOINT]
    alone = len(words) == 1 and (named(words[0]) or (dash and folded(words[0].text) in KIN))
    if first is None or (not alone and all(folded(piece.text) in HEADINGS for piece in words)):
        return LineRead(data=False)
    if not dash and pieces[0].sort == JOINT and pieces[0].text.isalpha():
        return LineRead(data=False)
    figure_first = first.sort == FIGURE and not first.bearers
    if named(first):
        found = grouped(pieces, lexicon)
        amounts = any(group.amounts for group in found.groups)
        found.data = dash or amounts or (found.whole and not first.whose)
        return found
    if not dash and not (figure_first and too_heavy(first) and counted(pieces)):
        return LineRead(data=False)
    if figure_first:
        return LineRead(data=True, groups=[Group()], unknown=[first]) if counted(pieces) else LineRead(data=False)
    return nameless(pieces, lexicon)


def counted(pieces: Sequence[Piece]) -> bool:
    """Whether a line of figures looks like a line of doses: no words but those of doses."""
    return not [piece for piece in pieces if piece.sort == WORD and folded(piece.text) not in NOISE]


def passed_over(piece: Piece) -> bool:
    """Whether a piece may stand before the first name of a line."""
    return piece.sort in (AMOUNT, DATE, JOINT, PREFIX) or (piece.sort == WORD and folded(piece.text) in NOISE)


def marked(text: str) -> int:
    """Where the words of a line begin behind its dash, number, quotation mark or box."""
    match = MARKER.match(text)
    return match.end() if match else 0


def named(piece: Piece) -> bool:
    """Whether a piece can name somebody."""
    return piece.sort in (NAME, RANGE) or (piece.sort == FIGURE and bool(piece.bearers))


def grouped(pieces: Sequence[Piece], lexicon: Lexicon) -> LineRead:
    """The groups of a line that begins with somebody known."""
    found = LineRead(groups=[Group()])
    strangers = strangers_in(pieces, lexicon)
    only = only_names(pieces)
    for place, piece in enumerate(pieces):
        group = found.groups[-1]
        if counts_as_name(pieces, place, bool(group.names)) or (only and is_sheep(piece)):
            if group.amounts and group.names:
                found.groups.append(Group())
            found.groups[-1].names.append(piece)
        elif piece in strangers or (piece.sort == FIGURE and tag_like(pieces, place, group)):
            found.unknown.append(piece)
        elif piece.sort in (AMOUNT, FIGURE):
            group.amounts.append(piece)
        elif piece.sort == DATE:
            group.days.append(piece)
        elif stands_for_name(pieces, place, lexicon):
            found.unknown.append(piece)
        elif piece.sort in (WORD, NAME):
            found.left.append(piece)
    return found


def only_names(pieces: Sequence[Piece]) -> bool:
    """Whether a line is nothing but names of sheep and figures: then those in lower case are names too."""
    return all(
        is_sheep(piece) or piece.sort in (JOINT, PREFIX, AMOUNT, FIGURE, DATE) or folded(piece.text) in NOISE
        for piece in pieces
    )


def is_sheep(piece: Piece) -> bool:
    """Whether a piece is a sheep's name."""
    return piece.sort == NAME and any(bearer.sort == SHEEP for bearer in piece.bearers)


def strangers_in(pieces: Sequence[Piece], lexicon: Lexicon) -> list[Piece]:
    """Words of a line of doses that are one slip from a name or look like a tag, and figures that are the end of one:
    `Bramble Thistel 3 ml`, `C214 C2l5`, `731 32 33`.
    """
    tags = [piece.text for piece in pieces if named(piece) and piece.text[-1:].isdigit()]
    figures = [piece for piece in pieces if piece.sort == FIGURE and not piece.bearers]
    ends = [piece for piece in figures if any(completes(tag, piece.text, lexicon) for tag in tags)]
    words = [piece for piece in pieces if piece.sort == WORD and folded(piece.text) not in NOISE]
    slips = [
        piece
        for piece in words
        if (letters(piece.text) > NARROW_LETTERS and piece.proper and lexicon.nearly(piece.text))
        or (
            tags
            and piece.text[0].isalpha()
            and any(sign.isdigit() for sign in piece.text)
            and piece.text[0] == tags[0][0]
        )
    ]
    sure = [piece for piece in ends if len(figures) > 1 or len(piece.text) > 2 or behind_a_joint(pieces, piece)]
    return [*sure, *slips]


def behind_a_joint(pieces: Sequence[Piece], piece: Piece) -> bool:
    """Whether a piece stands behind a joint that no weight stands behind."""
    return before(pieces, pieces.index(piece)).text.lower() in ("/", "&", "+", "and")


LAST_FIGURES = re.compile(r"\d{1,4}(?:,\d{1,4})+")  # the last figures of further tags: `731,2,3`


def tag_like(pieces: Sequence[Piece], place: int, group: Group) -> bool:
    """Whether a figure that nobody bears stands for a tag: behind a joint, too large for a weight, or after other
    tags.
    """
    piece = pieces[place]
    if place == 0 or before(pieces, place).sort != JOINT:
        return False
    if LAST_FIGURES.fullmatch(piece.text) and group.names and not group.amounts:
        return group.names[-1].text[-1:].isdigit() and before(pieces, place).text == ","
    if piece.bearers or not piece.text.isdigit():
        return False
    if group.names and not group.amounts and shortened(group.names[-1].text, piece.text, before(pieces, place).text):
        return True
    after_tags = bool(group.names) and all(name.text.isdigit() for name in group.names) and not group.amounts
    alone = next_sort(pieces, place) in ("", JOINT)
    return too_heavy(piece) or (after_tags and alone and len(piece.text) >= len(group.names[0].text))


def counts_as_name(pieces: Sequence[Piece], place: int, later: bool) -> bool:
    """Whether a piece names somebody where it stands: after the first, only a whole word counts (V2)."""
    piece = pieces[place]
    if not named(piece):
        return False
    if not later:
        return True
    jointed = place > 0 and before(pieces, place).sort == JOINT
    if piece.sort == FIGURE:
        return jointed or too_heavy(piece)
    if any(bearer.sort == SHEEP for bearer in piece.bearers) and (piece.proper or piece.of_her):
        return True
    return jointed or next_sort(pieces, place) in (AMOUNT, FIGURE)


KIN = {
    **dict.fromkeys(("lamb", "twin", "twins", "lambs", "brother", "sister", "sibling", "mother", "dam", "mum"), ""),
    **dict.fromkeys(("tup", "ram", "buck"), "rams"),
    **dict.fromkeys(("wether", "wedder"), "wethers"),
    **dict.fromkeys(("ewe", "gimmer", "hogg", "hogget"), "ewes"),
}  # words that mean one sheep without naming it: a lamb of the ewe named before, or one of a class


def nameless_kin(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, str]]:
    """`Bramble and ewe lamb`, `Harrow and tup`: the name before, the word, and the class of those it can mean; "" for
    lambs of the ewe before.
    """
    stretch: list[Piece] = []
    last: Piece | None = None
    for piece in (*pieces, None):
        if piece is not None and piece.sort != JOINT:
            stretch.append(piece)
            continue
        word = kin_of(stretch)
        if word is not None and last is not None:
            yield last, word, KIN[folded(word.text)]
        last = next((one for one in reversed(stretch) if named(one)), last)
        stretch = []


def kin_of(stretch: Sequence[Piece]) -> Piece | None:
    """The word of kin that a stretch without a name ends with, amounts and days aside."""
    said = [piece for piece in stretch if piece.sort not in (AMOUNT, FIGURE, DATE) and folded(piece.text) not in NOISE]
    if not said or any(named(piece) for piece in said) or len(said) > NAMING_WORDS + 1:
        return None
    return said[-1] if folded(said[-1].text) in KIN else None


def before(pieces: Sequence[Piece], place: int) -> Piece:
    """The piece before this one, prefixes such as `tag` left out; itself at the start."""
    for piece in reversed(pieces[:place]):
        if piece.sort != PREFIX:
            return piece
    return pieces[place]


def next_sort(pieces: Sequence[Piece], place: int) -> str:
    """The sort of the next piece."""
    return pieces[place + 1].sort if place + 1 < len(pieces) else ""


HEAVIEST = 200  # kg: no sheep weighs more (our own limit), so a bare figure above it that is a tag is one


def too_heavy(piece: Piece) -> bool:
    """Whether a bare figure can only be a tag."""
    return piece.text.isdigit() and (int(piece.text) > HEAVIEST or piece.text.startswith("0"))


def stands_for_name(pieces: Sequence[Piece], place: int, lexicon: Lexicon) -> bool:
    """Whether a word that nobody bears stands in the place of a name: behind a joint, written as a name, or before an
    amount, or one slip from somebody's name.
    """
    piece = pieces[place]
    if piece.sort != WORD or folded(piece.text) in NO_NAMES | NOISE:
        return False
    if before(pieces, place).sort != JOINT:
        return between_doses(pieces, place)
    if next_sort(pieces, place) == AMOUNT or piece.proper:
        return True
    end = next_sort(pieces, place) in ("", JOINT)
    return end and letters(piece.text) >= NARROW_LETTERS and bool(lexicon.nearly(piece.text))


def between_doses(pieces: Sequence[Piece], place: int) -> bool:
    """Whether a word stands behind one dose and before the next: `Bramble 3 ml tea soul 3 ml`."""
    behind = next((piece for piece in pieces[place:] if piece.sort != WORD), None)
    return pieces[place - 1].dose and behind is not None and behind.dose


OF_A_REMARK = frozenset(  # how a sheep or a bottle is: a dash line of nothing else names nobody
    tokens(
        "better worse bad good finished bottle empty looked looks evening morning hot swollen sound stiff walking "
        "eating slightly still quite very poor ok fine clean dirty sore healing smelly weeping again today tonight lame"
    )
)


def nameless(pieces: Sequence[Piece], lexicon: Lexicon) -> LineRead:
    """A dash line whose first word nobody bears: a misspelt name where it carries a dose or is short, else a remark."""
    words = [piece for piece in pieces if piece.sort == WORD and folded(piece.text) not in NOISE]
    others = next((piece for piece in pieces if folded(piece.text) in OTHERS), None)
    weighed = any(piece.sort in (AMOUNT, FIGURE) for piece in pieces)
    first = next((piece for piece in words), None)
    if words and not weighed and all(folded(piece.text) in OF_A_REMARK and not piece.proper for piece in words):
        return LineRead(data=False, others=others, left=words)
    if any(piece.sort == DATE for piece in pieces[:2]) and not (first and first.proper and weighed):
        return LineRead(data=False, others=others, left=words)
    if first is not None and (
        weighed or len(words) <= NAMING_WORDS or (first.proper and any(s.isdigit() for s in first.text))
    ):
        found = grouped(pieces, lexicon)
        found.data, found.others = True, others
        found.unknown = [first, *(piece for piece in found.unknown if piece is not first)]
        found.left = [piece for piece in found.left if piece is not first]
        return found
    return LineRead(data=False, others=others, left=words)
