"""What to type instead of words that run several sheep together: each sheep by itself, so that the note reads whole."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, product

from compiler.nearness import listing, near
from flockbook.records.event import Event, Mention
from flockbook.regional import local
from flockbook.roll import CLASS_WORDS, LAMB_WORDS, Draft, key_of

BETWEEN_NAMES = re.compile(r"\s*(?:[,;&+]|/(?!\d{4}\b))\s*|\s+and\s+", re.I)
# What else stands between sheep by a slip; taken so only where each part is somebody's tag or name as it is.
LOOSELY_BETWEEN = re.compile(r"\s*[.|:\\]\s+|\s*[|\\]\s*|\s+")
LESS = re.compile(r"(?P<all>.+?),? (?:except(?: for)?|but not|not|less|without|minus):? (?P<out>.+)", re.I)
ENDING = re.compile(r"(?:ie|ey|i|ee)$")
MOST_REWRITES = 2  # ways of reading a slip that are printed


def name_cure(mention: Mention, event: Event, living: Sequence[Draft]) -> str:
    """What to type instead of a name that nobody has."""
    if less := LESS.fullmatch(mention.text):
        return f"write `{mention.field.rstrip('_')}: {less['all']}` and on a line below `except: {less['out']}`"
    words = {word: draft for draft in living for word in draft.words}
    guesses = [
        f"`{word}` ({words[word].tag})" if words[word].name == word and words[word].tag else f"`{word}`"
        for word in near(mention.text, words) or sounding_like(mention.text, words)
    ]
    bare = "write its tag, name or official number as in its own note"
    return rewrite(mention, event, living) or (f"did you mean {' or '.join(guesses)}?" if guesses else bare)


def mob_cure(typed: str, mobs: Iterable[str]) -> str:
    """What to type instead of a mob that there is none of: one near it, else those that there are."""
    guesses = near(typed, mobs, slips=2)
    classes = {*CLASS_WORDS, *LAMB_WORDS}
    listed = dict.fromkeys(local(mob) if mob in classes else f"`{mob}`" for mob in sorted(mobs))
    return f"did you mean `{guesses[0]}`?" if guesses else f"the mobs are {', '.join(listed)}"


def sounding_like(text: str, words: Iterable[str]) -> tuple[str, ...]:
    """The words that sound as one typed, whatever their ending is written with: `Dixy` and Dixie."""
    return tuple(word for word in words if ENDING.sub("y", word.casefold()) == ENDING.sub("y", text.casefold()))[:3]


def rewrite(mention: Mention, event: Event, living: Sequence[Draft]) -> str:
    """The words to type where a mention is several names, of which a slip or two may be misspelt; else ""."""
    parts = [part for part in BETWEEN_NAMES.split(mention.text.strip()) if part]
    if len(parts) < 2 and not (parts := known_parts(mention.text, living)):
        return ""
    every = (names for names in product(*meanings(parts, living)) if len(set(names)) == len(names))
    readings = list(islice(every, MOST_REWRITES))
    shape = of_a_line if mention.field == "lines" else of_a_field
    return " or ".join(text for names in readings if (text := shape(mention, event, names)))


def known_parts(text: str, living: Sequence[Draft]) -> list[str]:
    """The parts of words between which stand mere blanks, points or bars, where there are several and each of them is
    called so; else none.
    """
    parts = [part for part in LOOSELY_BETWEEN.split(text.strip(" .|")) if part]
    known = {key_of(word) for draft in living for word in draft.words}
    return parts if len(parts) > 1 and all(key_of(part) in known for part in parts) else []


def meanings(parts: Sequence[str], living: Sequence[Draft]) -> Iterator[tuple[str, ...]]:
    """What each part can mean: itself where somebody is called so, else near words of sheep that are not named yet."""
    words = {word: draft for draft in living for word in draft.words}
    folded = {key_of(word): draft for word, draft in words.items()}
    named = [folded[key_of(part)] for part in parts if key_of(part) in folded]
    others = [word for word, draft in words.items() if draft not in named]
    for part in parts:
        yield (part,) if key_of(part) in folded else near(part, others)


def of_a_line(mention: Mention, event: Event, names: Sequence[str]) -> str:
    """A line for each sheep, with what the line says of them."""
    typed = next((cell.text for cell in event.origin.data if cell.line == mention.span.line), mention.text)
    if mention.text not in typed:
        return ""
    return f"write a line for each: {listing([f'- {typed.replace(mention.text, name, 1)}' for name in names], 'and')}"


def of_a_field(mention: Mention, event: Event, names: Sequence[str]) -> str:
    """The whole field with a comma between the sheep; "" for one that takes a single sheep."""
    listed = getattr(event, mention.field, None)
    if not isinstance(listed, tuple) or mention.text not in listed:
        return ""
    whole = [word for one in listed for word in (names if one == mention.text else (one,))]
    return f"write `{mention.field.rstrip('_')}: {', '.join(whole)}`"
