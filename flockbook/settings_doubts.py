"""What is odd of the words in `flock.yaml` that stand for people and for what is lost."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.names import plain
from compiler.nearness import near
from flockbook.figures import GESTATION, read_breed_length
from flockbook.settings import NEIGHBOUR_ASKS, PRIVATE_SORTS, Settings, SettingsFile, read_loss

BREED_LENGTH = Rule(
    "S107", "breed-length-unread", Grade.ERROR,
    "A line of `breed gestation` is a breed and the mean length of its pregnancies in days; ewes of that breed are due "
    "by it. One that cannot be read would leave them due by the flock's length.",
    "breed gestation: {Merino: 15}\n",
)  # fmt: skip
LOSS_UNREAD = Rule(
    "S118", "loss-value-unread", Grade.ERROR,
    "`loss value` says what a lost lamb, ewe or ram was worth, each once. One that cannot be read leaves the crop's "
    "mean price in force.",
    "loss value: {lamb: a lot}\n",
)  # fmt: skip
HELPER_TWICE = Rule(
    "S117", "helper-named-twice", Grade.WARNING,
    "`by` lists who works with the sheep by the names that notes have; one name twice is a slip of the pen.",
    "by: Una, una\n",
)  # fmt: skip
PRIVATE_SLIP = Rule(
    "S119", "private-slip", Grade.ERROR,
    "`private` lists what a book to be shared leaves out: money, people, buyers, and words of your own. A slip of the "
    "pen in one of the three would be taken for a word of your own, and the book would tell what you wanted kept.",
    "private: mony, people\n",
)  # fmt: skip
RULES = (BREED_LENGTH, LOSS_UNREAD, HELPER_TWICE, PRIVATE_SLIP)


def wrong_losses(settings: Settings) -> Iterator[Diagnostic]:
    """A message for every worth that is none, and for a kind of sheep that has two."""
    used = set[str]()
    for place, text in enumerate(settings.file.loss_value):
        span, worth = settings.file.origin.span(f"loss_value[{place}]"), read_loss(text, settings.habits)
        if worth is None:
            words = f"`{text[:40]}` does not say what a lost sheep was worth"
            yield LOSS_UNREAD.at(span, words, "write `lamb 95`, `ewe 160` or `ram 400`", "the crop's mean price counts")
        elif worth[0] in used:
            words = f"a lost {worth[0]} has two worths here"
            yield LOSS_UNREAD.at(span, words, "keep one of the two", "the first one counts")
        else:
            used.add(worth[0])


def helpers_twice(file: SettingsFile) -> Iterator[Diagnostic]:
    """A message for every helper who is named again."""
    known = set[str]()
    for place, name in enumerate(file.by):
        if name.casefold() in known:
            yield HELPER_TWICE.at(file.origin.span(f"by[{place}]"), f"`{name[:40]}` stands here twice", "keep one")
        known.add(name.casefold())


def private_slips(settings: Settings) -> Iterator[Diagnostic]:
    """A message for a word that is nearly one of the sorts that a shared book leaves out."""
    for place, text in enumerate(settings.file.private):
        meant = () if text.strip() in PRIVATE_SORTS else near(text.strip(), PRIVATE_SORTS, 1, 2)
        if meant:
            span = settings.file.origin.span(f"private[{place}]")
            words = f"`{text[:40]}` is none of the sorts that the book knows"
            yield PRIVATE_SLIP.at(span, words, f"write `{meant[0]}`")


def answer_field(word: str) -> str:
    """The setting that a word within `neighbour` names; one that nobody knows is told as it stands."""
    typed = plain(word)
    found = next((name for name, words in NEIGHBOUR_ASKS.items() if typed in words), "")
    return found.replace("_", " ") if found else f"neighbour {word}"


def wrong_lengths(file: SettingsFile) -> Iterator[Diagnostic]:
    """A message for every length by breed that is none, and for a breed that has two."""
    used = set[str]()
    for place, text in enumerate(file.breed_gestation):
        span, length = file.origin.span(f"breed_gestation[{place}]"), read_breed_length(text)
        if length is None:
            least, most = f"{GESTATION.least:g}", f"{GESTATION.most:g}"
            words = f"`{text}` is not a breed and its mean length of pregnancy"
            cure = f"write for example `Merino 150`, a length from {least} to {most} days"
            yield BREED_LENGTH.at(span, words, cure, "it changes nothing")
        elif length[0] in used:
            words = f"`{length[0]}` stands here twice"
            yield BREED_LENGTH.at(span, words, "keep one of the two", "the first one counts")
        else:
            used.add(length[0])
