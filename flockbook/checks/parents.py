"""Parents that cannot be: too young, of the wrong sex, two dams for one lamb, a sheep among its own forebears."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.shape import Value
from flockbook.checks.breeding import PUBERTY_DAYS
from flockbook.derive.family.pedigree import PedigreeFault
from flockbook.flock import Animal
from flockbook.records.sheep import EWE, RAM
from flockbook.saying.family import CANNOT_BE
from flockbook.seen import Seen

PARENT_TOO_YOUNG = Rule(
    "A101", "parent-too-young", Grade.ERROR,
    "Nobody is born before its parents are five months old and, for its dam, a pregnancy older (New Mexico State "
    "University: puberty at five months at the earliest). Inbreeding and breeding values would rest on a slip.",
    "born: 2024-04-01\\ndam: a ewe born in 2024",
)  # fmt: skip
WRONG_SEX = Rule(
    "A102", "parent-of-wrong-sex", Grade.ERROR,
    "A dam is a ewe and a sire is a ram; the two may have been typed in each other's place.", "dam: Sexton",
)  # fmt: skip
TWO_DAMS = Rule(
    "A103", "two-dams", Grade.ERROR,
    "A lamb is born of the ewe whose lambing note has it. Another dam in the lamb's own note means that one of the two "
    "notes is about another lamb.",
    "the tag of Bramble's lamb in a note that says `dam: Teasel`",
)  # fmt: skip
CONTRADICTION = Rule(
    "A104", "pedigree-contradiction", Grade.ERROR,
    "A sheep cannot be its own forebear, nor one animal both parents of a lamb. Inbreeding, pairings and breeding "
    "values are worked out without the links that contradict each other.",
    "sheep C1 with `dam: C2` and sheep C2 with `dam: C1`",
)  # fmt: skip
SIRE_AND_SIRES = Rule(
    "A105", "sire-and-sires", Grade.WARNING,
    "`sire` is for a father who is sure, `sires` for several who may be. With both, `sire` is believed.",
    "sire: Sexton\nsires: Sexton, Harrow",
)  # fmt: skip
RULES = (PARENT_TOO_YOUNG, WRONG_SEX, TWO_DAMS, CONTRADICTION, SIRE_AND_SIRES)

KEPT_AS_NAME = "it is kept as a name only"
PARENT_CURE = "correct the name, or when one of the two was born"


class Role(Value):
    """The sex that a parent must have, and the field that names it."""

    sex: str
    field: str


def typed_parents(seen: Seen) -> Iterator[Diagnostic]:
    """Parents named in sheep notes, held against everyone who goes by that name."""
    known = by_word(seen)
    terms = seen.facts.breeding.matings.terms
    for animal in seen.linked.animals.values():
        note = animal.note
        if note is None:
            continue
        dams = known.get(note.dam.casefold(), ()) if note.dam else ()
        pregnancy = min((terms.of(dam.id).shortest for dam in dams), default=terms.flock.shortest)
        if note.dam:
            yield from typed_parent(animal, dams, Role(EWE, "dam"), PUBERTY_DAYS + pregnancy)
            yield from other_dam(seen, animal, known)
        for place, sire in enumerate((note.sire,) if note.sire else note.sires):
            role = Role(RAM, "sire" if note.sire else f"sires[{place}]")
            yield from typed_parent(animal, known.get(sire.casefold(), ()), role, PUBERTY_DAYS + pregnancy)
        if note.sire and note.sires:
            cure = "take one of the two lines out"
            yield SIRE_AND_SIRES.at(note.origin.span("sires"), "`sire` and `sires` both stand here", cure)


def own_parents(seen: Seen) -> Iterator[Diagnostic]:
    """Sheep whose own tag stands as one of their parents. A name alone may be that of another sheep, from outside."""
    for animal in seen.linked.animals.values():
        note = animal.note
        tags = {word.casefold() for word in (animal.id, *animal.tags)}
        typed = [("dam", note.dam), ("sire", note.sire), *enumerated(note.sires)] if note else []
        for field, name in typed:
            if note and name and name.casefold() in tags and not worn_by_others(seen, animal, name):
                message = f"{animal.called_in_full} cannot be its own parent"
                cure = "write the parent's tag or name here"
                yield CONTRADICTION.at(note.origin.span(field), message, cure, KEPT_AS_NAME)


def enumerated(sires: tuple[str, ...]) -> list[tuple[str, str]]:
    """Each of several possible sires, with the place where it is typed."""
    return [(f"sires[{place}]", sire) for place, sire in enumerate(sires)]


def worn_by_others(seen: Seen, animal: Animal, tag: str) -> bool:
    """Whether another sheep wears, or once wore, this tag."""
    others = (other for other in seen.linked.animals.values() if other is not animal)
    return any(tag.casefold() in {word.casefold() for word in (other.id, *other.tags)} for other in others)


def by_word(seen: Seen) -> Mapping[str, tuple[Animal, ...]]:
    """Everyone by tag and by name, as names are typed."""
    found: dict[str, dict[str, Animal]] = {}
    for animal in seen.linked.animals.values():
        for word in {animal.id, animal.name or "", *animal.tags} - {""}:
            found.setdefault(word.casefold(), {})[animal.id] = animal
    return {word: tuple(animals.values()) for word, animals in found.items()}


def typed_parent(animal: Animal, named: tuple[Animal, ...], role: Role, least: int) -> Iterator[Diagnostic]:
    """One parent: of those who go by the name, one must be of the right sex and old enough; nobody is from outside."""
    sex = role.sex
    assert animal.note is not None
    here = animal.note.origin.span(role.field)
    others = [one for one in named if one is not animal]
    right = [one for one in others if one.sex in (sex, None)]
    if others and not right:
        message = f"{others[0].called_in_full} is a {others[0].sex}, not a {sex}"
        yield WRONG_SEX.at(here, message, "correct the name, or put it where it belongs", KEPT_AS_NAME)
    elif right and not any(old_enough(one, animal, least) for one in right):
        born = right[0].born.shown if right[0].born else ""
        message = f"{right[0].called_in_full}, born {born}, is too young to be a parent of {animal.called_in_full}"
        yield PARENT_TOO_YOUNG.at(here, message, PARENT_CURE, "do not rely on what is said of its family")


def old_enough(parent: Animal, animal: Animal, least: int) -> bool:
    """Whether a parent can have been at least so many days old at the birth; unknown days are given every doubt."""
    born: date | None = animal.born.latest if animal.born else None
    return born is None or parent.born is None or parent.born.earliest + timedelta(days=least) <= born


def other_dam(seen: Seen, animal: Animal, known: Mapping[str, tuple[Animal, ...]]) -> Iterator[Diagnostic]:
    """A dam in the sheep's own note who is not the ewe whose lambing note has it."""
    if animal.note is None or animal.birth is None or animal.dam is None or not animal.note.dam:
        return
    name = animal.note.dam.casefold().partition("/")[0]  # `731/2024` is 731, born in 2024
    named = known.get(name, ())
    if "lamb" not in name and all(one.id != animal.dam for one in named):
        lambing, dam = animal.birth.note.origin, seen.linked.animals[animal.dam].called_in_full
        message = f"`{animal.note.dam}` is not {dam}, who has it in {lambing.path}"
        cure = "correct the dam here, or the tag in the lambing note"
        yield TWO_DAMS.at(
            animal.note.origin.span("dam"), message, cure, "the lambing note is believed", (lambing.span(),)
        )


def contradictions(seen: Seen) -> Iterator[Diagnostic]:
    """What the pedigree says of itself that cannot be, told at the first note behind it."""
    for fault in seen.facts.family.kin.ordered[1]:
        notes = [animal.note for name in fault.animals if (animal := seen.linked.animals.get(name)) and animal.note]
        if not notes:
            continue
        here = notes[0].origin
        field = next((link.role for link in fault.dropped if link.animal == fault.animals[0]), "dam")
        also = tuple(note.origin.span() for note in notes[1:])
        yield CONTRADICTION.at(
            here.span(field), ancestor_words(fault), "correct the parents in one of these notes",
            "these links are left out: the parents count as not known", also,
        )  # fmt: skip


def ancestor_words(fault: PedigreeFault) -> str:
    """`its own ancestor: C1, C2`."""
    return f"{CANNOT_BE[fault.kind]}: {', '.join(fault.animals)}"


CHECKS = (
    Check("typed parents", typed_parents),
    Check("own parents", own_parents),
    Check("pedigree", contradictions),
)
