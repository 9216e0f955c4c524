"""What can be wrong with the way a note names sheep: the messages of linking."""

from __future__ import annotations

from compiler.diagnostics import Grade, Rule

UNKNOWN_SHEEP = Rule(
    "L201", "unknown-sheep", Grade.ERROR, "A note may only speak of sheep that are in the book on that day, by tag, "
        "name or official number.",
    "---\nnote: treatment\nsheep: Brambel\n---\n",
)  # fmt: skip
TWO_SHEEP = Rule(
    "L202", "two-sheep-fit", Grade.ERROR, "The tag or name fits more than one sheep on that day. `731/2026` (tag and "
        "birth year) tells them apart.",
    "---\nnote: remark\nsheep: 731\n---\n",
)  # fmt: skip
COUNT_DIFFERS = Rule(
    "L203", "count-differs", Grade.ERROR, "`count` says how many sheep are meant; when the names come to another "
        "number, one of the two is wrong.",
    "sheep: 738-742\ncount: 7\n",
)  # fmt: skip
RANGE_UNCOUNTED = Rule(
    "L204", "range-without-count", Grade.ERROR, "A range of tags can hide a tag that is missing or strange, so it "
        "needs `count` beside it.", "sheep: 738-742\n"
)  # fmt: skip
UNKNOWN_MOB = Rule(
    "L205", "unknown-mob", Grade.ERROR, "No sheep belonged to a mob of that name on that day.", "mob: hil\n"
)
PARENT_MISSPELT = Rule(
    "L206", "parent-perhaps-misspelt", Grade.WARNING, "A parent that is not in the book is kept as a name; this one "
        "is nearly the name of one that is.", "dam: Sorel\n"
)  # fmt: skip
TAG_TWICE = Rule(
    "L207", "tag-on-two", Grade.ERROR, "Two living sheep cannot wear the same tag: notes on either could mean "
        "the other.", "sheep/C214 Bramble.md and sheep/C214 Fern.md"
)  # fmt: skip
CORRECTS_NOTHING = Rule(
    "L208", "corrects-nothing", Grade.ERROR, "`corrects` names the file of an earlier note of the same kind; nothing "
        "is struck out until it does.", "corrects: 2026-06-02 tretment foot\n"
)  # fmt: skip
NOT_THERE = Rule(
    "L209", "sheep-not-there", Grade.ERROR, "Nothing can happen to a sheep before it is born or after it has died or "
        "been sold.", "2026-08-01 treatment of a ewe that died in May"
)  # fmt: skip
NOBODY = Rule(
    "L210",
    "nobody-named",
    Grade.ERROR,
    "This kind of note is about sheep and names none.",
    "2026-06-02 treatment foot abscess.md without `sheep`",
)
RULES = (
    UNKNOWN_SHEEP,
    TWO_SHEEP,
    COUNT_DIFFERS,
    RANGE_UNCOUNTED,
    UNKNOWN_MOB,
    PARENT_MISSPELT,
    TAG_TWICE,
    CORRECTS_NOTHING,
    NOT_THERE,
    NOBODY,
)
