"""What to type instead of words that run several sheep together: each sheep by itself, so that the note reads whole."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import islice, product

from compiler.nearness import listing, near
from flockbook.records.event import Event, Mention
from flockbook.roll import Draft, key_of

BETWEEN_NAMES = re.compile(r"\s*(?:[,;&+]|/(?!\d{4}\b))\s*|\s+and\s+", re.I)
# What else stands between sheep by a slip; taken so only where each part is somebody's tag or name as it is.
LOOSELY_BETWEEN = re.compile(r"\s*[.|:\\]\s+|\s*[|\\]\s*|\s+")
MOST_REWRITES = 2  # ways of reading a slip that are printed


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
