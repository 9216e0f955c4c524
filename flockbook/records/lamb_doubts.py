"""What is asked about the words of a lamb line that turn another round, or miss what they announce."""

from __future__ import annotations

import re

from compiler.diagnostics import Grade
from compiler.nearness import did_you_mean
from compiler.schema import Fault
from flockbook.trade import SEX_PATTERN, SEX_SAID, SEX_WORDS

# What turns the word behind it round; and what may stand around the word `tag` where there is none.
NEGATED = re.compile(r"\b(?:not|never|isn['’]?t|wasn['’]?t)(?: (?:yet|quite|very|at all|an?))? $", re.I)
NO_TAG = re.compile(
    r"\b(?:no|not|without|lost)\b[^,;]*\btag|\btag(?:ged)?\b[^,;]*\b(?:lost|later|missing|follows|tomorrow)", re.I
)
SEXLESS = Fault(
    "this reads like a lamb without a sex, so no lamb is counted",
    "write ewe, ram or wether (or female, male, buck) into the line; if it is a remark, leave out the dash",
)
DOUBT_HELP = (
    "if it is a lamb, put a comma after the sex (`ewe, small`) or give a weight; if it is a remark, leave out the dash"
)
TURNED_CURE = "leave the words out, or add `sure: yes` to the note"


def turned(negation: re.Match[str], match: re.Match[str]) -> Fault:
    """The question about a word with `not` before it: it is not counted."""
    doubt = f"`{negation[0]}{match[0]}` is not read: the lamb does not count as {match[0]}"
    return Fault(doubt, TURNED_CURE, match.start(), len(match[0]), Grade.ASK)


def tagless(rest: str) -> list[Fault]:
    """The word `tag` without one behind it, where nothing says that there is none."""
    match = re.search(r"\btag(?:ged)?\b", rest, re.I)
    if match is None or NO_TAG.search(rest):
        return []
    doubt = "`tag` stands here, and no tag behind it"
    return [Fault(doubt, "write `tag 731`, or `no tag yet`", match.start(), len(match[0]), Grade.ASK)]


# A line that begins with the sex of a lamb, or with its place in the litter and the sex.
SEX_BEGUN = re.compile(rf"\s*(?:(?:single|twin|triplet|first|second|third|big|small) )?(?:{SEX_PATTERN})\b", re.I)
SEVERAL = re.compile(rf"\s*(?:\d|two|three|four)\s+(?P<sex>{SEX_PATTERN})(?:s|\s+lambs)\b", re.I)
UNIT_ALONE = re.compile(r"\b(?:pounds?|lbs?|kgs?|kilos?|kilograms?|ounces?|oz)\b", re.I)


def several_lambs(text: str) -> Fault | None:
    """What is wrong with a line that tells of several lambs at once."""
    match = SEVERAL.match(text)
    if match is None:
        return None
    cure = f"write each lamb on a line of its own: `- {match['sex'].lower()} 8 lb`"
    return Fault("several lambs on one line", cure, match.start(), len(match[0]))


def figureless(rest: str) -> list[Fault]:
    """A unit of weight without a figure: a weight that was written in words is not read."""
    match = UNIT_ALONE.search(rest)
    if match is None:
        return []
    doubt = f"`{match[0]}` stands here, and no figure before it, so no weight is kept"
    cure = "write the weight in figures, as in `{4.1 kg}`"
    return [Fault(doubt, cure, match.start(), len(match[0]), Grade.ASK)]


def misspelt_sex(rest: str) -> list[Fault]:
    """A word that is nearly a sex, in a line that speaks of a lamb."""
    for match in re.finditer(r"[a-z]{3,}", rest, re.I):
        if guess := did_you_mean(match[0], SEX_SAID):
            told = f"`{match[0]}` is no sex, so no lamb is counted"
            return [Fault(told, f"{guess}write ewe, ram or wether", match.start(), len(match[0]))]
    return []


def strange_words(text: str) -> list[str]:
    """The words left over that are not mere joints."""
    return [word for word in re.findall(r"[^\s,;.()]+", text) if word.lower() not in LAMB_JOINTS]


LAMB_JOINTS = frozenset({"lamb", "a", "the", "and", "was", "one", "-", "–", "—", ":", "+", "kg", "with", "born"})


def lamb_remark(rest: str) -> str:
    """What remains when every known piece has been taken, as a remark."""
    parts = [" ".join(part.split()) for part in re.split(r"[,;]", rest)]
    return ", ".join(part for part in parts if strange_words(part))


def strange_sex(text: str, sex: str | None) -> list[Fault]:
    """A line that names two sexes."""
    words = re.findall(r"[a-z]+", text.split("fostered")[0].lower())
    named = {SEX_SAID[word] for word in words if word in SEX_SAID}
    named |= {SEX_WORDS[word] for word in words[:1] if word in ("f", "m")}
    if len(named) < 2 or sex is None:
        return []
    return [Fault("two sexes on one line", "write each lamb on a line of its own")]
