"""What a book to be shared leaves out: money, people, buyers, and words of the flock's own choice.

Sums of money are taken out of the notes before anything is worked out from them; who is dosed and until when does not
rest on them. Names are known from the fields in which people stand, and struck wherever they stand in the book, so that
what is worked out stays as it was. A name that stands in no field is not known: `private` may list it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from typing import Any

from compiler.collection import Collection
from compiler.pages import slug
from compiler.schema import Record
from compiler.shape import Value, replace
from flockbook.flock import Flock
from flockbook.records.breeding import Hire
from flockbook.records.cupboard import MoneyNote
from flockbook.records.event import Event
from flockbook.records.health import Treatment
from flockbook.records.places import Mob, Paddock
from flockbook.records.prices import Commission, Money
from flockbook.records.sheep import Sheep
from flockbook.records.trade import Purchase, Sale
from flockbook.settings import BUYERS_SORT, MONEY_SORT, PEOPLE_SORT, PRIVATE_SORTS, Settings, SettingsFile

LEFT_BLANK = "___"  # what stands in the place of a word that was left out

PRIVATE_FIELDS: Mapping[str, tuple[tuple[type[Record], tuple[str, ...]], ...]] = {
    MONEY_SORT: (
        (Record, ("price", "price_per_kg", "price_per_lb", "amount", "commission")),
    ),  # what could not be read
    PEOPLE_SORT: (
        (Event, ("by",)),
        (Treatment, ("vet",)),
        (Sale, ("haulier", "vehicle")),
        (Hire, ("haulier",)),
        (SettingsFile, ("keeper", "vet", "vet_phone", "by")),
    ),
    BUYERS_SORT: (
        (Sale, ("to", "holding", "document")),
        (Purchase, ("from_", "holding", "document")),
        (Hire, ("from_", "holding", "document")),
        (MoneyNote, ("to",)),
        (Sheep, ("from_",)),
        (SettingsFile, ("holding",)),
    ),
}
NEIGHBOUR_ANSWERS = tuple(name for name in SettingsFile.__keys__ if name.startswith("neighbour"))
WHAT_IS_WORTH = {"hour_worth": None, "loss_value": ()}
NAMES_NOBODY = frozenset({
    "me", "us", "i", "self", "vet", "the vet", "mart", "the mart", "dad", "mum", "contractor", "shearer", "neighbour",
    "neighbor", "market", "the market", "sale", "farm", "farmer", "scanner", "the scanner", "home", "here",
})  # fmt: skip
# Words that often begin with a capital and name nobody; days and months stand in dates all over the book.
COMMON_WORDS = frozenset({
    "the", "and", "for", "from", "sale", "mart", "market", "farm", "farms", "vet", "vets", "visit", "letter", "phone",
    "attended", "store", "draft", "mrs", "miss", "lamb", "lambs", "ewe", "ewes", "ram", "rams", "jan", "feb", "mar",
    "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "january", "february", "march", "april", "june",
    "july", "august", "september", "october", "november", "december", "mon", "tue", "wed", "thu", "fri", "sat", "sun",
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "with", "all",
})  # fmt: skip
# By these the book says who may be sold: they are never struck, whoever is called so.
OF_STANDING = frozenset({
    "not", "clear", "held", "unknown", "ask", "until", "no", "yes", "meat", "milk", "never", "dosed", "may", "go",
    "sold", "sell", "mend",
})  # fmt: skip
NO_MATCH = r"(?!)"  # the pattern that is nowhere
CAPITALISED = re.compile(r"\b[A-Z][\w'’-]{2,}")
TOO_SHORT = 1  # letters of a text that is too short to hold a word to be struck
KNOWN_NUMBER = 5  # figures from which on a number is known however it is parted
SUM_OF_MONEY = (
    r"(?:[$£€]\s?\d[\d,]*(?:\.\d+)?|\b\d[\d,]*(?:\.\d+)?\s?(?:{words})\b|\b(?:GBP|EUR|USD|AUD|NZD|CAD)\s?\d[\d,.]*)"
)
COIN_WORDS = (
    "GBP",
    "EUR",
    "USD",
    "AUD",
    "NZD",
    "CAD",
    "quid",
    "guineas?",
    "gns",
    "dollars?",
    "euros?",
    "pence",
    "cents?",
)
MARKUP_OR_TEXT = re.compile(r"(<[^>]*>)")
TELLING_MARKUP = re.compile(r' (id|href|alt|title|aria-label|aria-labelledby|data-label|data-filter)="([^"]*)"')
STRING = re.compile(r'"((?:[^"\\]|\\.)*)"')


class Strike(Value):
    """The words that are struck: in text, and in places on pages, which are written as `slug` has them."""

    text: re.Pattern[str]
    place: re.Pattern[str]

    def page(self, html: str) -> str:
        """A page without these words; its files keep their names."""
        parts = MARKUP_OR_TEXT.split(html)  # texts, and between them tags
        parts[::2] = [self.text.sub(LEFT_BLANK, text) if len(text) > TOO_SHORT else text for text in parts[::2]]
        parts[1::2] = [self.tag(tag) if '="' in tag else tag for tag in parts[1::2]]
        return "".join(parts)

    def tag(self, markup: str) -> str:
        """A tag whose words and places are struck too."""

        def shown(found: re.Match[str]) -> str:
            name, words = found[1], found[2]
            if name in ("id", "aria-labelledby"):
                return f' {name}="{self.place.sub(LEFT_BLANK, words)}"'
            if name == "href":
                file, mark, place = words.partition("#")
                return f' href="{file}{mark}{self.place.sub(LEFT_BLANK, place)}"'
            return f' {name}="{self.text.sub(LEFT_BLANK, words)}"'

        return TELLING_MARKUP.sub(shown, markup)

    def data(self, script: str) -> str:
        """A script file of data without these words: texts lose the words, links the places named after them."""

        def string(found: re.Match[str]) -> str:
            file, mark, place = found[1].partition("#")
            if mark and file.endswith(".html"):
                return f'"{file}{mark}{self.place.sub(LEFT_BLANK, place)}"'
            return f'"{self.text.sub(LEFT_BLANK, found[1])}"'

        return STRING.sub(string, script)


def without_money(collection: Collection) -> Collection:
    """The notes without a sum of money."""
    return replace(collection, records=tuple(map(unpriced, collection.records)))


def unquoted(collection: Collection) -> Collection:
    """The notes without the texts that nobody has sorted into fields."""
    holes = tuple(replace(hole, text="") for hole in collection.holes)
    return replace(collection, holes=holes, others=tuple(replace(other, text="") for other in collection.others))


def unpriced(record: Record) -> Record:
    """A note without its sums."""
    priced = [name for name in type(record).__keys__ if isinstance(getattr(record, name), Money | Commission)]
    sums: dict[str, Any] = dict.fromkeys(priced)
    return replace(record, **sums) if sums else record


def settings_to_share(settings: Settings) -> Settings:
    """The settings without what is private and no name: what things are worth, and what a neighbour is told."""
    sorts = settings.private
    left_out: dict[str, Any] = dict(WHAT_IS_WORTH) if MONEY_SORT in sorts else {}
    left_out |= dict.fromkeys(NEIGHBOUR_ANSWERS) if PEOPLE_SORT in sorts else {}
    return replace(settings, file=replace(settings.file, **left_out))


def strike_of(settings: Settings, flock: Flock) -> Strike:
    """The words to be struck from the book of a flock."""
    sorts = settings.private
    words = sorted(private_words(settings, flock), key=lambda word: (-len(word), word))
    texts = [words_pattern(words), *filter(None, map(however_parted, words))]
    coins = (*COIN_WORDS, *(("pounds?",) if settings.units == "metric" else ()))
    texts += [SUM_OF_MONEY.format(words="|".join(coins))] if MONEY_SORT in sorts else []
    places = [re.escape(place) for word in words if len(place := slug(word)) > 2]
    return Strike(any_of(texts), any_of([rf"(?<![a-z0-9]){place}(?![a-z0-9])" for place in places]))


def any_of(ways: Sequence[str]) -> re.Pattern[str]:
    """Any of these patterns; of none, nothing."""
    return re.compile("|".join(ways) or NO_MATCH, re.IGNORECASE)


def words_pattern(words: Iterable[str]) -> str:
    """Any of these words as the book may have it; its first letter is looked at first, which costs the least."""
    forms = sorted({form for word in words for form in forms_of(word)}, key=lambda form: (-len(form), form))
    begun = re.escape("".join(sorted({form[0] for form in forms})))
    ways = "|".join(r"\s+".join(map(re.escape, form.split())) for form in forms)
    return rf"(?=[{begun}])(?<!\w)(?:{ways})(?!\w)" if forms else NO_MATCH


def forms_of(word: str) -> tuple[str, ...]:
    """A word as typed, as markup has it, and as a script has it."""
    return word, escape(word), escape(word, quote=False), json.dumps(word)[1:-1]


def however_parted(word: str) -> str:
    """A long number (of a holding, of a telephone) however its figures are parted; "" for any other word."""
    figures = re.sub(r"\D", "", word)
    is_number = len(figures) >= KNOWN_NUMBER and not re.search("[A-Za-z]", word)
    return rf"(?<!\d){'[ /.-]?'.join(figures)}(?!\d)" if is_number else ""


def private_words(settings: Settings, flock: Flock) -> set[str]:
    """Every word to be struck; the words by which the flock calls its sheep and its ground stay."""
    own = words_that_stay(settings, flock)
    found = {text for text in settings.private if text not in PRIVATE_SORTS}
    for sort in settings.private:
        for text in typed_in(sort, settings, flock):
            found |= {text} if text.casefold() not in NAMES_NOBODY | own else set()
            found |= {name for name in CAPITALISED.findall(text) if name.casefold() not in COMMON_WORDS | own}
    return {text for text in found if not OF_STANDING.issuperset(text.casefold().split())}


def also_sheep(settings: Settings, flock: Flock) -> list[str]:
    """Names of people that are also words for a sheep or its ground, and so stay in the book."""
    own = words_that_stay(settings, flock)
    typed = {text for sort in settings.private for text in typed_in(sort, settings, flock)}
    names = {name for text in typed for name in (text, *CAPITALISED.findall(text))}
    return sorted(name for name in names if name.casefold() in own - COMMON_WORDS)


def typed_in(sort: str, settings: Settings, flock: Flock) -> Iterator[str]:
    """The texts that stand in the fields of a sort, also where they could not be read."""
    for record in (settings.file, *flock.collection.records):
        for kind, names in PRIVATE_FIELDS.get(sort, ()):
            if isinstance(record, kind):
                yield from texts_in(record, names)
        if sort in PRIVATE_SORTS:
            yield from (text.strip() for text in record.origin.unread.values() if text.strip())


def texts_in(record: Record, names: Iterable[str]) -> Iterator[str]:
    """The texts of these fields."""
    for name in names:
        typed = getattr(record, name, None) or record.origin.typed.get(name)
        texts = (typed,) if isinstance(typed, str) else typed if isinstance(typed, tuple) else ()
        yield from (text.strip() for text in texts)


def words_that_stay(settings: Settings, flock: Flock) -> frozenset[str]:
    """The words by which the flock calls its sheep, its mobs, its ground and itself, and by which the book says who is
    clear, in small letters.
    """
    words = {word for animal in flock.animals.values() for word in (animal.id, animal.tag, animal.name, *animal.tags)}
    words |= {record.name for record in flock.collection.records if isinstance(record, Paddock | Mob)}
    words |= {getattr(record, "mob", None) for record in flock.collection.records}
    whole = {word for word in words if word} | {settings.flock}
    return OF_STANDING | {part.casefold() for word in whole for part in (word, *word.split())}
