"""What all notes are judged by: the flock, its lexicon, and who stood where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta
from functools import cached_property

from compiler.nearness import near
from compiler.shape import Value
from compiler.source import Span
from flockbook.flock import Animal, Flock
from flockbook.records.event import Event
from flockbook.records.places import Move
from flockbook.whom.late_comers import late_comers
from flockbook.whom.lexicon import LONG_LETTERS, NARROW_LETTERS, Bearer, Lexicon, folded, letters, tokens
from flockbook.whom.products import Products
from flockbook.whom.whereabouts import Whereabouts, Window, present

OTHER_TAG = "write its tag, name or official number as in its own note; if it wore this tag then, write a tagging note"


class Known(Value, dict=True):
    """What all notes are judged by: the flock, its lexicon, and who stood where."""

    flock: Flock
    lexicon: Lexicon
    places: Whereabouts
    clock: date
    products: Products

    @cached_property
    def typed(self) -> Counter[str]:
        """How often each word is typed where notes name sheep: one that two notes use is no slip of the finger."""
        return Counter(
            folded(text) for event in self.flock.events for text in {item.text for item in event.all_mentions()}
        )

    @cached_property
    def late(self) -> dict[str, date]:
        """The sheep whose birth or purchase was written up late, with the earlier day that its words tell."""
        return late_comers(self.flock)

    @cached_property
    def mob_words(self) -> tuple[tuple[str, ...], ...]:
        """The words of the name of each mob."""
        return tuple(tuple(key.split()) for key in self.lexicon.mobs)

    @cached_property
    def mobs_named(self) -> Counter[str]:
        """How often each mob is named, by key, as a mob or as where sheep go."""
        events = self.flock.collection.of(Event)
        names = (
            name for event in events for name in (event.mob, getattr(event, "into", None), getattr(event, "to", None))
        )
        return Counter(" ".join(tokens(name)) for name in names if name)

    def animal(self, sheep: str) -> Animal:
        """One animal."""
        return self.flock.animals[sheep]

    def called(self, sheep: str) -> str:
        """What an animal is called in a message."""
        return self.animal(sheep).called_in_full

    def only_bearer(self, text: str, listed: bool) -> Bearer | None:
        """The one bearer whom a word can be a slip of: a word of letters, which no other note uses (V3); `listed`
        says that its own note lists it where names stand.
        """
        size = letters(text)
        if size < NARROW_LETTERS or self.typed[folded(text)] > (1 if listed else 0):
            return None
        found = self.lexicon.nearly(text, 2 if size >= LONG_LETTERS else 1)
        return found[0] if len(found) == 1 else None

    def guess(self, text: str, mob: bool, window: Window) -> str:
        """What to type instead of a word that names nobody. Beside a tag that nobody wears none is proposed that is
        nearly it: who wore it then may wear another now, and what is proposed would free her. A place means the mobs
        that were put there.
        """
        if put := sorted({one.mob for one in self.flock.of(Move) if one.mob and tokens(one.to or "") == tokens(text)}):
            names = ", ".join(put)
            return f"it is a place, and {names} went there: write `mob: {names}` if that was dosed"
        if mob:
            guesses = near(text, [*self.lexicon.mobs.values(), "ewes", "rams", "lambs", "all"], slips=2)
            names = ", ".join(sorted(self.lexicon.mobs.values()))
            return f"did you mean `{guesses[0]}`?" if guesses else f"the mobs are {names}"
        words = {
            word: animal
            for animal in self.flock.animals.values()
            if present(animal, window)
            for word in (*animal.tags, animal.name or "")
            if word
        }
        if any(sign.isdigit() for sign in text):
            return OTHER_TAG
        guesses = near(text, words)
        named = [
            f"`{word}` ({words[word].tag})" if words[word].name == word and words[word].tag else f"`{word}`"
            for word in guesses
        ]
        return (
            f"did you mean {' or '.join(named)}?"
            if named
            else "write its tag, name or official number as in its own note"
        )


def what_leaves_open(place: Span, name: str) -> str:
    """The cure of a stay that is not sure: the note that leaves it open, what settles that it was there, or the word
    that lets the sheep off.
    """
    return (
        f"mend {place.path}:{place.line}, which leaves that open, or write a draft note of its day with "
        f"`sheep: {name}` and `into:` its mob, or write `except: {name}` here if it was not there"
    )


def told(animal: Animal) -> str:
    """An animal as a message calls it, with the year of its birth."""
    return f"{animal.called_in_full}{f' born {animal.born.year}' if animal.born else ''}"


def born_in(animal: Animal, year: int) -> bool:
    """Whether an animal was born in a year."""
    return animal.born is not None and animal.born.year == year


def around(days: Iterable[date], before: int = 0, after: int = 0) -> Window:
    """The window from the first to the last of some days, widened by so many days."""
    known = sorted(days)
    if not known:
        return Window(date.min, date.max)
    first = known[0] - timedelta(days=before) if (known[0] - date.min).days > before else date.min
    last = known[-1] + timedelta(days=after) if (date.max - known[-1]).days > after else date.max
    return Window(first, last)
