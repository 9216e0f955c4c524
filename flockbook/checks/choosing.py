"""The group `choosing` of the settings: rules that the book does not know, and rules set twice."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.figures import CHOOSING, DEFAULTS, read_choice
from flockbook.seen import Seen

NOT_A_RULE = Rule(
    "Q101",
    "choosing-not-read",
    Grade.ERROR,
    "A line of `choosing` in flock.yaml is a rule of that group and a number. One that is neither changes nothing, and "
    "ewes would be kept or sent by a rule you did not set.",
    "choosing:\n  helped brths: 3\n",
)
CHOOSING_TWICE = Rule(
    "Q102",
    "choosing-twice",
    Grade.ERROR,
    "A rule of `choosing` has one figure; where two are written the first one counts.",
    "choosing:\n  - helped births 3\n  - helped births 1\n",
)
RULES = (NOT_A_RULE, CHOOSING_TWICE)
NAMES = tuple(name.removeprefix(CHOOSING).replace("_", " ") for name in DEFAULTS if name.startswith(CHOOSING))


def settings(seen: Seen) -> Iterator[Diagnostic]:
    """Every line of the group that is not used."""
    file, used = seen.settings.file, set[str]()
    for place, text in enumerate(file.choosing):
        span = file.origin.span(f"choosing[{place}]")
        rule = read_choice(text)
        if rule is None:
            words = f"`{text}` is no rule for choosing with a number"
            yield NOT_A_RULE.at(span, words, cure(text), "it changes nothing")
        elif rule[0] in used:
            name = rule[0].removeprefix(CHOOSING).replace("_", " ")
            yield CHOOSING_TWICE.at(span, f"`{name}` is set twice", "keep one of the two lines", "the first one counts")
        else:
            used.add(rule[0])


def cure(text: str) -> str:
    """What to type: the rule that was probably meant, else all of them."""
    words = " ".join(text.lower().split()).rstrip("0123456789.,-: ")
    near = get_close_matches(words, NAMES, 1)
    if near and words == near[0]:
        return f"write a number behind it: `{near[0]}: {DEFAULTS[CHOOSING + near[0].replace(' ', '_')].value:g}`"
    return f"did you mean `{near[0]}`?" if near else f"the rules are: {', '.join(NAMES)}"


CHECKS = (Check("choosing", settings),)
