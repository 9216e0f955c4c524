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
TWICE_ON_ONE = "if the line was written twice, take one out; else correct one of the tags"
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
NAMES_DIFFER = Rule(
    "L211",
    "names-differ",
    Grade.ERROR,
    "The file name says one sheep and the note another. Perhaps both were meant, perhaps one is a slip: until the note "
    "says so, both are held.",
    "2026-06-02 treatment Bess.md with `sheep: Teasel`",
)
ALSO_NAMED = Rule(
    "L212",
    "named-in-words-only",
    Grade.ASK,
    "The words of a treatment name a sheep that neither `sheep`, `mob` nor a line of its own names. If it was treated, "
    "add it; if not, say so with `not dosed`.",
    "---\nnote: treatment\nsheep: Bess\nmedicine: penicillin\n---\nAlso Teasel.\n",
)
LINE_NOT_WHOLE = Rule(
    "L213",
    "line-names-more",
    Grade.ERROR,
    "A line of a treatment names more sheep than it plainly says were dosed, or carries words that could change whom "
    "or what it means.",
    "- C230 2 ml, as did Teasel\n",
)
MOB_AS_SHEEP = Rule(
    "L214",
    "mob-as-sheep",
    Grade.WARNING,
    "A mob stands where sheep are listed. Its members are taken to be dosed; write it as `mob` so that nobody takes it "
    "for a sheep.",
    "sheep: hill\n",
)
EXCEPT_UNKNOWN = Rule(
    "L215",
    "except-nobody",
    Grade.ERROR,
    "`except` only takes away sheep that it names exactly; a name that it cannot find takes nobody away.",
    "mob: hill\nexcept: Brambel\n",
)
DOSE_TOLD = Rule(
    "L216",
    "dose-told-elsewhere",
    Grade.ASK,
    "A note of another kind tells of a medicine, and no treatment note of those days names these sheep. Until one "
    "does, or `not dosed` says that they got none, they are held.",
    "2026-06-02 remark.md: Gave Bess 3 ml of penicillin.\n",
)
NOT_A_NOTE = Rule(
    "L217",
    "file-not-read",
    Grade.ERROR,
    "A file that is no note speaks of a treatment and of a day or a sheep. It is not read, so whoever it could mean is "
    "held.",
    "2026-06-02 treatment Bess.rtf",
)
CORRECTION_LACKS = Rule(
    "L218",
    "correction-lacks",
    Grade.ASK,
    "A corrected treatment names fewer sheep, or an earlier last day, than the note it replaces. Whoever is missing "
    "stays held until `not dosed` names them.",
    "corrects: 2026-06-02 treatment foot\n",
)
NOT_DOSED_EMPTY = Rule(
    "L219",
    "not-dosed-nobody",
    Grade.ERROR,
    "`not dosed` answers a question about sheep and has to name them.",
    "not dosed: Brambel\n",
)
RULES = (
    NAMES_DIFFER,
    ALSO_NAMED,
    LINE_NOT_WHOLE,
    MOB_AS_SHEEP,
    EXCEPT_UNKNOWN,
    DOSE_TOLD,
    NOT_A_NOTE,
    CORRECTION_LACKS,
    NOT_DOSED_EMPTY,
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
