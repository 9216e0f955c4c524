"""Official and electronic numbers that cannot be, numbers on two sheep, a bought sheep with a tag worn here already."""

from __future__ import annotations

from collections.abc import Iterator

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from flockbook.derive.farm.electronic_numbers import Typed, typed_numbers, typed_officials
from flockbook.derive.farm.official_identity import NumberFault, read_eid, read_official, shared_numbers
from flockbook.flock import Animal
from flockbook.records.new_sheep_line import NewSheepLine
from flockbook.records.trade import Purchase
from flockbook.saying.identity import code_of_nobody, number_cure, number_fault_words
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
OFFICIAL_WRONG = Rule(
    "I105", "official-number-wrong", Grade.ERROR,
    "An official number has the form that the flock's `country` prints on its tags: which that is "
    "stands in the message. Spreadsheets round long numbers.", "official: 8.26012E+14",
)  # fmt: skip
OFFICIAL_SHARED = Rule(
    "I106", "official-number-on-two", Grade.ERROR,
    "No two sheep carry one official number: one of them was read or typed wrong.",
    "one number behind `official` in two sheep notes",
)  # fmt: skip
RULES = (EID_WRONG, EID_ODD, EID_SHARED, BOUGHT_TAG_WORN, OFFICIAL_WRONG, OFFICIAL_SHARED)
NOT_FOUND = "the sheep is not found by this number"


def electronic(seen: Seen) -> Iterator[Diagnostic]:
    """Every electronic number, each by itself and all together."""
    good: list[tuple[Typed, str]] = []
    for item in typed_numbers(seen.linked):
        eid = read_eid(item.text)
        if isinstance(eid, NumberFault):
            yield EID_WRONG.at(item.span, number_fault_words(eid), number_cure(eid), NOT_FOUND)
            continue
        if eid.nobodys:
            yield EID_ODD.at(item.span, code_of_nobody(eid), "read the tag again")
        good.append((item, eid.digits))
    yield from on_two(seen, EID_SHARED, good)


def officials(seen: Seen) -> Iterator[Diagnostic]:
    """Every official number by the forms of the flock's country, and all together."""
    good: list[tuple[Typed, str]] = []
    for item in typed_officials(seen.linked):
        tag = read_official(item.text, seen.settings.file.country or "")
        if isinstance(tag, NumberFault):
            yield OFFICIAL_WRONG.at(item.span, number_fault_words(tag), number_cure(tag), NOT_FOUND)
        elif tag.animal:
            good.append((item, tag.text))
    yield from on_two(seen, OFFICIAL_SHARED, good)


def on_two(seen: Seen, rule: Rule, good: list[tuple[Typed, str]]) -> Iterator[Diagnostic]:
    """Numbers that more than one sheep carries; the last of each sheep is where it is told."""
    last = {item.sheep: item for item, _ in good}
    for number, sheep in shared_numbers((item.sheep, number) for item, number in good).items():
        names = " and ".join(seen.linked.animals[one].called_in_full for one in sheep)
        also = tuple(last[one].span for one in sheep[:-1])
        yield rule.at(last[sheep[-1]].span, f"{number} is on {names}", "read both tags again", also=also)


def bought_tags_worn(seen: Seen) -> Iterator[Diagnostic]:
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
    if other.bought_on == event.date:
        return False  # the hired ram himself
    if other.arrived != event.date:
        return other.present(event.date) and not (other.left and other.left.date == event.date)
    own = other.note
    if own is None or own.bought == event.date:
        return False
    if line.born and own.born and (line.born.latest < own.born.earliest or own.born.latest < line.born.earliest):
        return True
    return bool(line.sex and other.sex and line.sex != other.sex)


CHECKS = (
    Check("electronic numbers", electronic), Check("official numbers", officials),
    Check("bought tags", bought_tags_worn),
)  # fmt: skip
