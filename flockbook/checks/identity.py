"""Electronic numbers that cannot be, numbers on two sheep, and a bought sheep with a tag that is worn here already."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.schema import Fault
from flockbook.derive.farm.electronic_numbers import Typed, typed_numbers
from flockbook.derive.farm.official_identity import Eid, read_eid, shared_eids
from flockbook.flock import Animal
from flockbook.records.new_sheep_line import NewSheepLine
from flockbook.records.trade import Purchase
from flockbook.seen import Seen

EID_WRONG = Rule(
    "I101", "electronic-number-wrong", Grade.ERROR,
    "An electronic tag has 15 digits: three of a country or maker, twelve of the animal, at most 274877906943 (ISO "
    "11784). Spreadsheets round long numbers, and may lose the noughts in front.", "eid: 8.26012E+14",
)  # fmt: skip
EID_ODD = Rule(
    "I102", "electronic-number-odd", Grade.WARNING,
    "The first three digits name the country (ISO 3166) or the maker of the tag.",
    "eid: 001012345600001",
)  # fmt: skip
EID_SHARED = Rule(
    "I103", "electronic-number-on-two", Grade.ERROR,
    "No two sheep carry one electronic number: one of them was read or typed wrong.",
    "the same eid in two sheep notes",
)  # fmt: skip
BOUGHT_TAG_WORN = Rule(
    "I104", "bought-tag-worn-here", Grade.ERROR,
    "A sheep that is bought cannot wear the tag of one that is alive here; notes that name the tag could mean either.",
    "- ewe tag C214, born 2023 (while C214 Bramble is alive)",
)  # fmt: skip
RULES = (EID_WRONG, EID_ODD, EID_SHARED, BOUGHT_TAG_WORN)


def electronic(seen: Seen) -> Iterator[Diagnostic]:
    """Every electronic number, each by itself and all together."""
    good: dict[str, Typed] = {}
    pairs: list[tuple[str, Eid]] = []
    for item in typed_numbers(seen.linked):
        eid = read_eid(item.text)
        if isinstance(eid, Fault):
            yield EID_WRONG.at(item.span, eid.message, eid.help, "the sheep is not found by this number")
            continue
        for warning in eid.warnings if eid.country is None and eid.code < 900 else ():
            yield EID_ODD.at(item.span, warning, "read the tag again")
        good[item.sheep] = item
        pairs.append((item.sheep, eid))
    for shared, sheep in shared_eids(pairs).items():
        names = " and ".join(seen.linked.animals[one].called_in_full for one in sheep)
        also = tuple(good[one].span for one in sheep[:-1])
        yield EID_SHARED.at(good[sheep[-1]].span, f"{shared.digits} is on {names}", "read both tags again", also=also)


def bought(seen: Seen) -> Iterator[Diagnostic]:
    """Purchases of a tag that another living sheep wears."""
    by_tag: dict[str, list[str]] = {}
    for animal in seen.linked.animals.values():
        for tag in animal.tags:
            by_tag.setdefault(tag, []).append(animal.id)
    for event in seen.linked.of(Purchase):
        if event.date is None:
            continue
        for line in event.lines:
            here = (seen.linked.animals[one] for one in by_tag.get(line.sheep, ()))
            for other in (one for one in here if worn_by_another(line, event, one)):
                words = f"tag `{line.sheep}` is worn here already by {other.called_in_full}"
                cure = "correct the tag, or write in her own note when she was bought"
                yield BOUGHT_TAG_WORN.at(line.span, words, cure, "notes on this tag may mean either")


def worn_by_another(line: NewSheepLine, event: Purchase, other: Animal) -> bool:
    """Whether a tag in a purchase is that of a sheep that was here already, not that of the one that came."""
    assert event.date is not None
    if other.arrived != event.date:
        return other.present(event.date)
    own = other.note
    if own is None or own.bought == event.date:
        return False
    if line.born and own.born and (line.born.latest < own.born.earliest or own.born.latest < line.born.earliest):
        return True
    return bool(line.sex and other.sex and line.sex != other.sex)


CHECKS = (Check("electronic numbers", electronic), Check("bought tags", bought))
