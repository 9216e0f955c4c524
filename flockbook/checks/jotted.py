"""The inbox: what each jotted line becomes or why it stays, and pictures that are to be written up."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.source import Span
from flockbook.jotting.filing import InboxLine, inbox_lines
from flockbook.jotting.new_note import bearers_of_names
from flockbook.records.jotted_line import INBOX
from flockbook.roll import key_of
from flockbook.seen import Seen
from flockbook.whom.days import days_in
from flockbook.whom.inbox import MOST_UNFILED

NOT_FILED = Rule(
    "J101", "jotted-line-not-filed", Grade.GAP,
    "A jotted line counts for nothing until a note is made of it: the book shows what it becomes, and "
    "`flockbook note --from-inbox` files it. Until then a line that may be a dose holds whom it names.",
    "inbox/2026-04-19.txt with `03:40 Bramble lambed ewe 4.1; ram 4.6`",
)  # fmt: skip
LINE_STAYS = Rule(
    "J102", "jotted-line-stays", Grade.ASK,
    "A line of the inbox is filed only where all of it is understood; any other stays where it is until it is mended "
    "or written as a note.",
    "`0412 lambed ewe 4.1`: a time or a tag?",
)  # fmt: skip
INBOX_FULL = Rule(
    "J103", "inbox-full", Grade.ASK,
    f"The inbox takes {MOST_UNFILED} lines that are not filed. Those beyond are not read, and everybody is held where "
    "one of them may be a dose.",
    "a file of ten thousand lines in `inbox/`",
)  # fmt: skip
PICTURE_WAITS = Rule(
    "J104", "picture-to-write-up", Grade.GAP,
    "A picture in the inbox whose name says a day and a sheep is a happening that somebody meant to write down.",
    "inbox/2026-04-19 Bramble.jpg",
)  # fmt: skip
RULES = (NOT_FILED, LINE_STAYS, INBOX_FULL, PICTURE_WAITS)
FILES = "`flockbook note --from-inbox` shows what it would file, and files it with `--file`"
WORDS_IN_NAME = re.compile(r"[^\W_][\w'’-]*")


def lines_waiting(seen: Seen) -> Iterator[Diagnostic]:
    """What becomes of every line that is not filed."""
    lines = inbox_lines(seen)
    for line in lines[:MOST_UNFILED]:
        yield message_of(line)
    if len(lines) > MOST_UNFILED:
        span, message = lines[MOST_UNFILED].line.span, f"{len(lines)} lines of the inbox are not filed"
        yield INBOX_FULL.at(span, message, "file them with `flockbook note --from-inbox --file`, then compile again")


def message_of(found: InboxLine) -> Diagnostic:
    """What is said of one line, at the place in it that stands in the way."""
    span = found.line.span
    if found.why is None:
        return NOT_FILED.at(span, f"this line becomes {found.becomes}" if found.note else f"it {found.becomes}", FILES)
    length = found.why.length or max(1, span.length - found.why.start)
    meanwhile = "whom it names is held until it is filed" if found.doses else ""
    return LINE_STAYS.at(span.shifted(found.why.start, length), found.why.message, found.why.help, meanwhile)


def pictures_waiting(seen: Seen) -> Iterator[Diagnostic]:
    """Pictures in the inbox that are named after a day and a sheep."""
    pictures = [other.path for other in seen.collection.others if other.path.startswith(f"{INBOX}/")
                and other.sort == "picture" and next(days_in(other.path), None)]  # fmt: skip
    bearers = bearers_of_names(seen) if pictures else {}
    for path in pictures:
        name = path.rpartition("/")[2].rpartition(".")[0]
        sheep = next((word for word in WORDS_IN_NAME.findall(name) if bearers.get(key_of(word))), None)
        if sheep:
            cure = f"write what it shows as a note on {sheep}, and put the picture into `photos/`"
            yield PICTURE_WAITS.at(Span(path), "this picture is still to write up", cure)


CHECKS = (Check("lines of the inbox", lines_waiting), Check("pictures of the inbox", pictures_waiting))
