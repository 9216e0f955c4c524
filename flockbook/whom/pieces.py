"""A text taken apart by the lexicon: names, amounts, figures, dates, joints, ranges and words, each with its place."""

from __future__ import annotations

import re

from compiler.shape import Value, replace
from flockbook.trade import SEX_PATTERN
from flockbook.whom.days import day_at_start
from flockbook.whom.lexicon import CLASS, LONG_NUMBER, SHEEP, Bearer, Lexicon, composed, folded, sheep_of, tokens
from flockbook.whom.measures import DOSE, MEASURE, SAID, UNITS, WHEN
from flockbook.whom.ranges import LONGEST_RANGE, RANGE_SIGNS, SPREAD, ends_of

NAME, AMOUNT, FIGURE, DATE, JOINT, WORD, RANGE, PREFIX = (
    "name", "amount", "figure", "date", "joint", "word", "range", "prefix",
)  # fmt: skip
TOKEN = re.compile(r"[^\W_]+")
NUMBER = re.compile(r"\.?\d+(?:[.,]\d+)*", re.A)
PAINTED = re.compile(
    rf"(?:nos?|numbers?|paint|nr|#(?=\d))\.? ?(\d+)(?!\s*(?:{UNITS})(?!\w))(?:/(\d{{4}}))?(?![\w.,]\w)(?!\w)",
    re.I | re.A,
)
AS_WELL_AS = re.compile(r"(?:as well as|together with|along with)\b", re.I)
TIMES_SIGN = re.compile(r"\d\s*x$", re.I)  # `731 x 4 ml` is a tag
LONG = re.compile(r"\d(?:[ -]?\d){8,}(?!\d)", re.A)
YEARED = re.compile(r"/(\d{4})(?!\d)", re.A)
OF_HER = re.compile(
    rf"['’`´]?s?['’`´]?(?:\s+|\s*/\s*)(?:(?P<sex>{SEX_PATTERN})\s+)?(?:lambs?|twins?|triplets?"
    rf"|pair|fosters?|foster lamb|pet)\b(?:\s+(?P<year>\d{{4}}))?(?:\s+(?P<place>\d)(?![\w.,]|\s*(?:{UNITS})(?!\w)))?",
    re.I | re.A,
)
WHOSE = re.compile(r"['’`´]s?(?!\w)")
APART = re.compile(r"([^\W\d_]{1,4})(?:\s?[-–._/#]\s?|\s)(\d+)(?![\w])(?!\s*(?:mls?|cc|kgs?|lbs?)\b)")
GAP = re.compile(r"[\s\-_'’`´.]{0,3}")
JOINED_GAP = re.compile(r"[\s\-_'’`´.&+]{0,3}(?:and )?")  # in a name such as `Salt & Pepper`
BROKEN_GAP = re.compile(r"[\s\-_'’`´./]{0,3}")
JOINTS = frozenset(",;&+/\n|")
JOINT_WORDS = frozenset({"and", "und", "plus", "also", "then", "with", "n"})
PREFIXES = frozenset(
    tokens(
        "from tag tags ewe ewes' ram tup buck lamb wether wedder gimmer hogg hogget sheep no nos number numbers nr "
        "the her his old young both"
    )
)
CROP = re.compile(r",? (?:of )?20\d\d(?!\d)")
MARKUP = re.compile(r"</?\w[^>\n]{0,40}>")
LAMB_OF = re.compile(
    rf"(?:(?P<sex>{SEX_PATTERN}) )?lambs? (?:of|off|out of|from|under|belonging to"
    r"|at(?: the)? foot of|with) ",
    re.I,
)
AND = re.compile(r"\s*[&+]\s*")


class OfHer(Value):
    """`Bramble's ewe lamb 2026 2`: the lambs of a ewe, as far as the words say which."""

    sex: str = ""
    year: int | None = None
    place: int | None = None


class Piece(Value):
    """One piece of a text. `bearers` are all that a name or figure can mean; `born` is the year behind a tag."""

    sort: str
    text: str
    start: int
    end: int
    bearers: tuple[Bearer, ...] = ()
    whose: bool = False
    of_her: OfHer | None = None
    born: int | None = None
    tags: tuple[str, ...] = ()

    @property
    def proper(self) -> bool:
        """Whether a name is written as one: with a capital, or with a figure in it."""
        return self.text[:1].isupper() or any(sign.isdigit() for sign in self.text)

    @property
    def dose(self) -> bool:
        """Whether an amount is one of a medicine."""
        return self.sort == AMOUNT and bool(DOSE.search(self.text))


def taken_apart(text: str, lexicon: Lexicon) -> list[Piece]:
    """The pieces of a text in order. Where a known name holds a joint, the names inside it are given as well."""
    found = lexicon.taken.get(text)
    if found is None:
        found = lexicon.taken[text] = _Cutter(text if text.isascii() else composed(text), lexicon).pieces()
    return list(found)


class _Cutter:
    """The work of taking one text apart."""

    def __init__(self, text: str, lexicon: Lexicon) -> None:
        self.text, self.lexicon = text, lexicon
        self.found: list[Piece] = []
        self.words = frozenset(folded(token) for token in TOKEN.findall(text)) | {"and"}

    def pieces(self) -> list[Piece]:
        place = 0
        while place < len(self.text):
            piece = self.at(place) if self.text[place] != " " else None
            if piece is not None:
                self.found.append(piece)
                self.found += self.inside(piece)
            place = max(piece.end if piece else place, place + 1)
        return self.found

    def at(self, place: int) -> Piece | None:
        """The piece that begins here, or None."""
        sign = self.text[place]
        if sign == "<" and (markup := MARKUP.match(self.text, place)):
            return Piece(JOINT, markup[0], place, markup.end())
        if sign in JOINTS or (sign == "." and self.between_tags(place)):
            return Piece(JOINT, sign, place, place + 1)
        if sign.isdigit() or (sign == "." and self.text[place + 1 : place + 2].isdigit()):
            return self.figure(place)
        if sign == "#" and (paint := PAINTED.match(self.text, place)):
            return self.paint(paint)
        if joint := AS_WELL_AS.match(self.text, place):
            return Piece(JOINT, "and", place, joint.end())
        if sign.isalpha():
            return self.word(place)
        return None

    def long_number(self, place: int, tag: Piece | None) -> re.Match[str] | None:
        """A long number, however it is spaced, unless it is known to nobody and begins with a tag: `731 732 733`."""
        long = LONG.match(self.text, place)
        if long is None or len(re.sub(r"\D", "", long[0])) < LONG_NUMBER:
            return None
        return None if tag is not None and tag.text != long[0] and not self.lexicon.number(long[0]) else long

    def between_tags(self, place: int) -> bool:
        """Whether a full stop stands between two tags: `731.732`."""
        before = self.found[-1] if self.found else None
        if before is None or before.end != place or not sheep_of(before.bearers) or not before.text[-1:].isdigit():
            return False
        after = self.known(place + 1) if self.text[place + 1 : place + 2].isalnum() else None
        return after is not None and bool(sheep_of(after.bearers)) and len(after.text) > 2

    def figure(self, place: int) -> Piece | None:
        """A date, an amount, a range, a tag or a bare figure."""
        mixed = self.known(place)
        if mixed is not None and not mixed.text.isdigit():
            return mixed
        if when := WHEN.match(self.text, place):
            return Piece(DATE, when[0], place, when.end())
        if (long := self.long_number(place, mixed)) is not None:
            tagged = mixed.bearers if mixed is not None and mixed.text == long[0] else ()
            bearers = self.lexicon.number(long[0]) or tagged
            return Piece(NAME if bearers else WORD, long[0], place, long.end(), bearers)
        if (measure := MEASURE.match(self.text, place)) and not (mixed is not None and TIMES_SIGN.search(measure[0])):
            return Piece(AMOUNT, measure[0], place, measure.end())
        if day := self.day_first(place):
            return day
        if spread := self.spread(place):
            return spread
        if mixed is not None:
            return Piece(FIGURE, mixed.text, place, mixed.end, mixed.bearers, mixed.whose, mixed.of_her, mixed.born)
        token = TOKEN.match(self.text, place)
        number = NUMBER.match(self.text, place)
        if number and (also := self.painted_too(number)):
            return also
        if number and (token is None or number.end() >= token.end()):
            return Piece(FIGURE, number[0], place, number.end())
        return Piece(WORD, token[0], place, token.end()) if token else None

    def word(self, place: int) -> Piece:
        """A date, a range, a known name, a paint number, a joint, or some other word."""
        if spread := self.spread(place):
            return spread
        if said := SAID.match(self.text, place):
            return Piece(AMOUNT, said[0], place, said.end())
        known = self.known(place)
        paint = PAINTED.match(self.text, place)
        painted = self.paint(paint) if paint and (known is None or paint.end() > known.end) else None
        if painted is not None:
            also = known.bearers if known is not None else ()  # `No 640` where a ewe is called No
            return replace(painted, bearers=tuple(dict.fromkeys((*painted.bearers, *also))))
        when = WHEN.match(self.text, place)
        if when and (known is None or (when.end() > known.end and not self.amount_at(known.end))):
            return Piece(DATE, when[0], place, when.end())
        if paint and known is None:
            return Piece(WORD, paint[0], place, paint.end())
        if known is not None or (known := self.hers(place) or self.lamb_of(place)) is not None:
            return known
        token = TOKEN.match(self.text, place)
        end = token.end() if token else place + 1
        plain = folded(text := self.text[place:end])
        return Piece(JOINT if plain in JOINT_WORDS else PREFIX if plain in PREFIXES else WORD, text, place, end)

    def day_first(self, place: int) -> Piece | None:
        """`2/6 Teasel 3 ml`: a day with which a line begins, where neither figure is a sheep's."""
        match = day_at_start(self.text, place)
        if match is None or self.known(match.end()) is None:
            return None
        borne = any(self.lexicon.means((one,), one) or self.lexicon.painted.get(one) for one in match.groups())
        return None if borne else Piece(DATE, f"{match[1]}/{match[2]}", place, match.end(2))

    def amount_at(self, place: int) -> bool:
        """Whether an amount begins behind a name: `May 3 ml` is a ewe and her dose, no day."""
        start = len(self.text) - len(self.text[place:].lstrip())
        return bool(MEASURE.match(self.text, start))

    def hers(self, place: int) -> Piece | None:
        """`Roses ewe lamb`: the lamb of a ewe whose apostrophe was left out."""
        token = TOKEN.match(self.text, place)
        if token is None or not folded(token[0]).endswith("s"):
            return None
        bearers = self.lexicon.means(tokens(token[0][:-1]), token[0][:-1])
        piece = Piece(NAME, token[0][:-1], place, token.end() - 1, bearers)
        return self.with_more(piece) if bearers and OF_HER.match(self.text, piece.end) else None

    def lamb_of(self, place: int) -> Piece | None:
        """`ewe lamb of Bramble`: the lamb of a ewe, with her name behind it."""
        match = LAMB_OF.match(self.text, place)
        ewe = self.known(match.end()) if match else None
        if match is None or ewe is None or not sheep_of(ewe.bearers):
            return None
        which = OfHer((match["sex"] or "").lower())
        return Piece(NAME, self.text[place : ewe.end], place, ewe.end, ewe.bearers, True, which)

    def paint(self, match: re.Match[str]) -> Piece | None:
        """`no 7` or `no 7/2026`: a lamb by the number painted on it."""
        lambs = self.lexicon.painted.get(match[1], [])
        tagged = self.lexicon.means((match[1],), match[1])
        bearers = tuple(dict.fromkeys((*(Bearer(SHEEP, lamb.id) for lamb in lambs), *tagged)))
        born = int(match[2]) if match[2] else None
        return Piece(NAME, match[0], match.start(), match.end(), bearers, born=born) if bearers else None

    def painted_too(self, number: re.Match[str]) -> Piece | None:
        """`no 7 and 8`: the second of two numbers painted on lambs."""
        if len(self.found) < 2 or self.found[-1].sort != JOINT or not PAINTED.fullmatch(self.found[-2].text):
            return None
        lambs = self.lexicon.painted.get(number[0], [])
        bearers = tuple(Bearer(SHEEP, lamb.id) for lamb in lambs)
        return Piece(NAME, number[0], number.start(), number.end(), bearers) if bearers else None

    def spread(self, place: int) -> Piece | None:
        """`738-742`, `C230 to C233`: the tags of a range, unless the whole is itself a tag."""
        match = SPREAD.match(self.text, place)
        if match is None or (match[4] and match[4].casefold() != match[1].casefold()):
            return None
        longer = len(match[5]) - len(match[2]) if match[1] and not match[4] else 0
        if longer > 1 or (longer == 1 and int(match[5]) - int(match[2]) > LONGEST_RANGE):
            return None
        if self.lexicon.means(tokens(match[0]), match[0]) or self.two_sheep(match):
            return None
        first, last = ends_of(match[2], match[5])
        tags = tuple(f"{match[1]}{number:0{len(match[2])}}" for number in range(first, last + 1))
        words = (*tags, f"{match[4] or match[1]}{match[5]}", f"{match[4]}{match[5]}")
        bearers = tuple(bearer for tag in words for bearer in self.lexicon.means(tokens(tag), tag))
        plain = int(match[5]) == last and len(tags) > 1 and match["sign"] in RANGE_SIGNS
        return Piece(RANGE, match[0], place, match.end(), tuple(dict.fromkeys(bearers)), tags=tags if plain else ())

    def two_sheep(self, match: re.Match[str]) -> bool:
        """Whether `738/739` is a list of two and no range: nothing lies between them, or a year stands behind a tag."""
        if match["sign"] not in "/_":
            return False
        listed = int(match[2]) > int(match[5]) or self.text[match.end() :].lstrip().startswith("/")
        other = match[1] and not match[4] and self.lexicon.means((match[5],), match[5])
        if other or (listed and match["sign"] == "/"):
            return True
        first, last = ends_of(match[2], match[5])
        year = len(match[5]) == 4 and len(match[2]) != 4
        return year or last - first < 2 or not self.lexicon.means(tokens(match[1] + match[2]), match[1] + match[2])

    def known(self, place: int) -> Piece | None:
        """The longest known name that begins here."""
        token = TOKEN.match(self.text, place)
        if token is None:
            return None
        long = len(token[0]) >= LONG_NUMBER - 1 and sum(sign.isdigit() for sign in token[0]) >= LONG_NUMBER - 1
        if long and (bearers := self.lexicon.number(token[0])):
            return Piece(NAME, token[0], place, token.end(), bearers)
        for key in self.lexicon.heads.get(folded(token[0]), ()):
            end = self.end_of(key, place) if self.words.issuperset(key[1:]) else None
            if end is not None:
                typed = self.text[place:end]
                bearers = self.lexicon.means(key, typed)
                return self.with_more(Piece(NAME, typed, place, end, bearers))
        return self.apart(place)

    def apart(self, place: int) -> Piece | None:
        """`C-230`, `C 230`: a tag written with a blank or a sign between its letters and its figures."""
        match = APART.match(self.text, place)
        if match is None:
            return None
        glued = match[1] + match[2]
        bearers = tuple(bearer for bearer in self.lexicon.means(tokens(glued), glued) if bearer.sort == SHEEP)
        return self.with_more(Piece(NAME, match[0], place, match.end(), bearers)) if bearers else None

    def end_of(self, key: tuple[str, ...], place: int) -> int | None:
        """Where a key ends that begins here, or None if it does not stand here."""
        words = [entry.word for entry in self.lexicon.entries[key]]
        gap = (
            BROKEN_GAP
            if any("/" in word for word in words)
            else JOINED_GAP
            if any("&" in word or "+" in word for word in words)
            else GAP
        )
        at = place
        for number, word in enumerate(key):
            if number:
                space = gap.match(self.text, at)
                at = space.end() if space else at
            if word == "and" and (sign := AND.match(self.text, at)):
                at = sign.end()
                continue
            token = TOKEN.match(self.text, at)
            if token is None or folded(token[0]) != word:
                return None
            at = token.end()
        return at

    def with_more(self, piece: Piece) -> Piece:
        """A name with the birth year, the lamb or the mere possession that follows it."""
        if year := YEARED.match(self.text, piece.end):
            return Piece(
                NAME, self.text[piece.start : year.end()], piece.start, year.end(), piece.bearers, born=int(year[1])
            )
        if all(bearer.sort == CLASS for bearer in piece.bearers) and (crop := CROP.match(self.text, piece.end)):
            return Piece(NAME, self.text[piece.start : crop.end()], piece.start, crop.end(), piece.bearers)
        hers = OF_HER.match(self.text, piece.end)
        if hers and sheep_of(piece.bearers):
            which = OfHer((hers["sex"] or "").lower(), int(hers["year"] or 0) or None, int(hers["place"] or 0) or None)
            plain = bool(re.match(r"['’`´]|s['’`´]?\s", hers[0]))
            return Piece(
                NAME, self.text[piece.start : hers.end()], piece.start, hers.end(), piece.bearers, plain, which
            )
        if whose := WHOSE.match(self.text, piece.end):
            return Piece(NAME, piece.text, piece.start, whose.end(), piece.bearers, True)
        return piece

    def inside(self, piece: Piece) -> list[Piece]:
        """The names within a name that holds a joint (`Salt and Pepper`): if both exist, both are meant (V2)."""
        words = folded(piece.text).split() if piece.sort == NAME else []
        if len(words) < 3 or not JOINT_WORDS & set(words):
            return []
        parts = []
        for part in TOKEN.finditer(piece.text):
            bearers = self.lexicon.means(tokens(part[0]), part[0])
            if bearers:
                parts.append(Piece(NAME, part[0], piece.start + part.start(), piece.start + part.end(), bearers))
        return parts if len(parts) == len([word for word in words if word not in JOINT_WORDS]) else []
