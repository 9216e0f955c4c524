"""The messages about files from which notes are gathered."""

from __future__ import annotations

from compiler.diagnostics import Grade, Rule

FILE_UNREADABLE = Rule(
    "Y101", "file-not-gathered", Grade.ERROR,
    "A file from which notes are to be gathered cannot be read as the mapping says, so nothing was taken from it.",
    "C001,\"a note that is not closed\nC002,24.5\n",
)  # fmt: skip
MAPPING_WRONG = Rule(
    "Y102", "mapping-unfit", Grade.ERROR,
    "The mapping of a file is not answered, or does not fit the file, so nothing was taken from it.",
    "dates: ?\n",
)  # fmt: skip
ROW_REFUSED = Rule(
    "Y103", "row-refused", Grade.ERROR,
    "A row of a file cannot be used whole, so no note is made of it.", "C001,13/13/2024,24.5\n",
)  # fmt: skip
DOSE_STOPS = Rule(
    "Y104", "row-may-be-a-dose", Grade.ERROR,
    "A row of a file that may tell of a dose cannot be used whole. Dropped, it would show a treated sheep as clear, so "
    "nothing of the file is written until the row is mended, or left out by name in the mapping.",
    "C001,some time in May,moxidectin oral\n",
)  # fmt: skip
ROWS_ALIKE = Rule(
    "Y105", "rows-alike", Grade.ASK,
    "Several rows of a file say the same to the last sign. Both are counted, for twins may be alike; if one row was "
    "typed twice, take it out of the file or leave it out in the mapping.",
    "C001,2024-04-19,ewe\nC001,2024-04-19,ewe\n",
)  # fmt: skip
CELLS_EMPTY = Rule(
    "Y106", "cells-empty", Grade.ASK,
    "Cells are empty in a column that becomes a field: the notes of these rows do not say it.", "C001,,24.5\n",
)  # fmt: skip
ROW_ALTERED = Rule(
    "Y107", "row-altered", Grade.ERROR,
    "A row stood in this file with other words when its note was made, so it is not made into a second note.",
    "C001,2024-04-19,27.5\n",
)  # fmt: skip
RULES = (FILE_UNREADABLE, MAPPING_WRONG, ROW_REFUSED, DOSE_STOPS, ROWS_ALIKE, CELLS_EMPTY, ROW_ALTERED)
STOPPING = frozenset(rule.code for rule in (FILE_UNREADABLE, MAPPING_WRONG, DOSE_STOPS))  # nothing is written
NO_NOTE_OF_IT = "no note is made of this row"
ALL_STOPS = "nothing is written of this file"
