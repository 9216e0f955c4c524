"""One happening on one line, as it is jotted on a tablet or typed into the inbox: `DATE TIME WHO VERB rest [tablet-n]`.

`;` parts what follows the verb; commas may belong to the name of a medicine, and part lambs only before a word for a
sex. The line becomes the fields and lines of one note; nothing in it is guessed or left out.
"""

from __future__ import annotations

import re
from datetime import date, time

from compiler.dates import DATE, TIME
from compiler.schema import Context, Fault
from compiler.shape import Value, replace
from flockbook.records.jotted_verbs import GRAMMARS, JOTTED_ID, Jotted, Reading, Stretch

INBOX = "inbox"  # the folder of jotted lines, below the notes folder
GRAMMAR = "DATE TIME WHO VERB rest, `;` between parts: `14 April 2027 03:40 C214 lambed ewe 4.1 kg; ram 4.6 kg`"
LONGEST_JOTTED = 1000  # characters (our own limit)
_MONTHS = "jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec"
LED_BY_DAY = re.compile(
    rf"\s*(\d{{4}}-\d\d-\d\d|\d{{1,2}}\.? (?:{_MONTHS})[a-z]*\.?(?: \d{{4}})?"
    rf"|(?:{_MONTHS})[a-z]*\.? \d{{1,2}}(?:,? \d{{4}})?"
    r"|\d{1,2}/\d{1,2}(?:/\d{2,4})?)(?=\s|$)",
    re.I | re.A,
)
LED_BY_TIME = re.compile(
    r"\s*(\d{1,2}:\d{2}(?!\d)|\d{1,2}(?:[.:]?\d{2})? ?[ap]\.?m\.?(?![a-z])|\d{4}(?=\s|$))", re.I | re.A
)
FOUR_FIGURES = re.compile(r"\d{4}", re.A)
# What is done → the kind of note that tells of it. The longest words stand first.
VERBS_JOTTED = {
    "lambed": "lambing", "in labour": "labour", "labour": "labour", "labor": "labour", "treated": "treatment",
    "dosed": "treatment", "drenched": "treatment", "wormed": "treatment", "injected": "treatment",
    "jabbed": "treatment", "vaccinated": "treatment", "fed": "feeding", "tubed": "feeding", "weighed": "weighing",
    "moved": "move", "found dead": "death", "dead": "death", "died": "death", "tagged": "tagging", "ill": "illness",
    "remark": "remark", "strike": "strike",
}  # fmt: skip
VERB_FOUND = re.compile(rf"(?<!\S)({'|'.join(map(re.escape, VERBS_JOTTED))})(?=[\s,:;]|$)[,:]?", re.I)
WITHOUT_WHO = ("remark", "strike")


def read_jotted(text: str, context: Context) -> Reading:
    """One line; `context.date` is the day of lines that name none (that of the file's name), if there is one."""
    if len(text) > LONGEST_JOTTED:
        return Fault(f"a line may have {LONGEST_JOTTED} characters", "write it as several lines, or as a note")
    if not text.isprintable():
        place = next(place for place, letter in enumerate(text) if not letter.isprintable())
        return Fault("a sign stands here that is no text", "take it out", place, 1)
    marked = JOTTED_ID.search(text)
    said = text[: marked.start()] if marked else text
    outcome = led(said, context)
    return outcome if isinstance(outcome, Fault) else verb_read(outcome, marked[1] if marked else "", context)


class Led(Value):
    """What stands before the verb, and what follows it."""

    day: date
    day_typed: bool
    clock: time | None
    who: Stretch
    verb: str
    rest: Stretch
    whole: str


def led(text: str, context: Context) -> Led | Fault:
    """The day, the time, whom it is about and the verb of a line."""
    found = LED_BY_DAY.match(text)
    day = DATE.read(found[1], context) if found else context.date
    if found and isinstance(day, Fault):
        return replace(day, start=found.start(1), length=len(found[1]))
    if not isinstance(day, date):
        return Fault("the line does not say which day", "begin it with the day: `14 April 2027 03:40 C214 …`", 0, 1)
    start = found.end() if found else 0
    timed = LED_BY_TIME.match(text, start)
    clock = TIME.read(timed[1], context) if timed else None
    if timed and isinstance(clock, Fault):
        return replace(clock, start=timed.start(1), length=len(timed[1]))
    before = Stretch(text[timed.end() if timed else start :], timed.end() if timed else start)
    verb = VERB_FOUND.search(before.text)
    if verb is None:
        return before.fault("no word here says what happened", f"write {GRAMMAR}; the words are {verbs_listed()}")
    who = Stretch(before.text[: verb.start()], before.start).bare
    rest = Stretch(before.text[verb.end() :], before.start + verb.end())
    assert not isinstance(clock, Fault)
    return sure_of_time(Led(day, found is not None, clock, who, verb[1].lower(), rest, text), Stretch(
        timed[1], timed.start(1)) if timed else Stretch("", 0))  # fmt: skip


def sure_of_time(led_by: Led, timed: Stretch) -> Led | Fault:
    """The same, unless four figures could be a time or a tag, or nobody is named."""
    bare = FOUR_FIGURES.fullmatch(timed.text) is not None
    if bare and FOUR_FIGURES.fullmatch(led_by.who.text):
        return timed.fault(f"`{timed.text}` or `{led_by.who.text}` could be the time", "write the time as `03:40`")
    if led_by.who.text or led_by.verb in WITHOUT_WHO:
        return led_by
    if bare:
        cure = f"write `{timed.text[:2]}:{timed.text[2:]}` and whom if it is a time, `tag {timed.text}` if it is a tag"
        return timed.fault(f"`{timed.text}` could be a time or a tag", cure)
    return led_by.rest.fault(f"nobody is named before `{led_by.verb}`", f"write {GRAMMAR}")


def verbs_listed() -> str:
    """The words that say what happened."""
    return ", ".join(f"`{verb}`" for verb in VERBS_JOTTED)


def verb_read(led_by: Led, id: str, context: Context) -> Reading:
    """What follows the verb, read by the grammar of that verb."""
    plain = " ".join(led_by.whole.split())
    plain = plain if led_by.day_typed else f"{led_by.day.isoformat()} {plain}"
    kind = VERBS_JOTTED[led_by.verb]
    who = led_by.who.text[4:].strip() if led_by.who.text.lower().startswith("tag ") else led_by.who.text
    begun = Jotted(led_by.day, kind, f"{plain} [{id}]" if id else plain, led_by.clock, who, id)
    begun = begun.with_field("how", "tube") if led_by.verb == "tubed" else begun
    return GRAMMARS[kind](begun, led_by.rest, replace(context, date=led_by.day))
