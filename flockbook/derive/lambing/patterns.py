"""How lambs lay, over all seasons: which way how often, and whether any group of births had it harder than the rest.

Lambs that lay wrong and lambs born dead are counted of lambs, births helped of births. Every group is held against all
the others with Newcombe's limits and Fisher's test. The more groups are looked at, the likelier one of them differs by
chance alone; so a group stands out only if its p, times the number of comparisons (Bonferroni, common practice), is
still below 0.05. What is below 0.05 by itself is a hint. Lambs of one litter are not independent, so limits are
too narrow rather than too wide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum

from compiler.shape import Value
from flockbook.derive.lambing.birth_lines import BirthLines, Births
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.lambing.losses import ALARM, FIRST_LAMBING, LEAST_GROUP, litter_label, parity_label, sire_label
from flockbook.derive.lambing.newborn import HEAVY_OVER_KG, BirthWeight
from flockbook.derive.plain.intervals import Difference, Share, compare, wilson
from flockbook.derive.weights.gains import birth_weight
from flockbook.flock import Animal, Flock
from flockbook.records.lamb_line import NORMAL

NOT_WEIGHED, NOT_WRITTEN = "not weighed", "not written"
# Groups of what is not known are counted and never compared: a dead lamb, for one, is often not weighed.
NOTHING_SAID = frozenset({NOT_WEIGHED, NOT_WRITTEN, "age not known", "ewe not known", "sire not known"})


class Outcome(StrEnum):
    """What is counted of a group."""

    LAY_WRONG = "lay wrong"
    HELPED = "births helped"
    BORN_DEAD = "born dead"


class LambCase(Value):
    """One lamb as it was born, with the group it belongs to in each view."""

    birth: LambingFact
    lamb: Animal
    lay: str
    dead: bool
    groups: tuple[str, ...]

    @property
    def wrong(self) -> bool:
        """Whether it lay otherwise than it should."""
        return self.lay != NORMAL


class Against(Value):
    """A group held against all others of its view; `p_all` is Fisher's p times the number of comparisons, at most 1."""

    outcome: Outcome
    difference: Difference
    p_all: float

    @property
    def stands_out(self) -> bool:
        """Whether it differs by more than chance would do, however many groups were looked at."""
        return self.p_all < ALARM

    @property
    def hint(self) -> bool:
        """Whether it would differ if it were the only one looked at."""
        return (self.difference.fisher_p or 0.0) < ALARM and not self.stands_out


class PatternGroup(Value):
    """One group of lambs and births. `against` holds what could be compared: groups too small are only counted."""

    label: str
    shares: tuple[tuple[Outcome, Share], ...]
    against: tuple[Against, ...] = ()

    def share(self, outcome: Outcome) -> Share:
        """The share of one outcome."""
        return dict(self.shares)[outcome]


class View(Value):
    """All lambs by one thing: the ewe's lambing, litter size, sire, birth weight, sex, season."""

    by: str
    groups: tuple[PatternGroup, ...]


class Lie(Value):
    """One way of lying: lambs, births helped because of it or not, lambs born dead; and by litter size."""

    lay: str
    lambs: int
    helped: int
    dead: int
    first_lambings: int
    heavy: int
    over_published: int
    litters: tuple[tuple[str, int], ...]
    sires: tuple[tuple[str, int], ...]


class Patterns(Value):
    """The whole picture. `comparisons` says how many groups were held against the rest."""

    cases: tuple[LambCase, ...] = ()
    births: int = 0
    lies: tuple[Lie, ...] = ()
    views: tuple[View, ...] = ()
    comparisons: int = 0
    unwritten: int = 0

    @property
    def found(self) -> tuple[tuple[View, PatternGroup, Against], ...]:
        """The groups that stand out, and the hints after them, the surest first."""
        every = [(view, group, item) for view in self.views for group in view.groups for item in group.against]
        told = [entry for entry in every if entry[2].stands_out or entry[2].hint]
        return tuple(sorted(told, key=lambda entry: (entry[2].p_all, entry[2].difference.fisher_p or 0.0)))

    @property
    def wrong(self) -> tuple[LambCase, ...]:
        """The lambs that lay wrong, the latest first."""
        return tuple(case for case in reversed(self.cases) if case.wrong)


class LabelGround(Value):
    """What a lamb's labels are read from besides its birth."""

    flock: Flock
    lines: BirthLines


LambLabel = Callable[[LabelGround, LambingFact, Animal], str]
OF_THE_LAMB = frozenset({"birth weight", "sex of the lamb"})  # views in which a litter falls apart: no births counted
PATTERNS_BY: tuple[tuple[str, LambLabel], ...] = (
    ("the ewe's lambing", lambda ground, birth, _: parity_label(ground.flock, birth)),
    ("litter size", lambda _, birth, __: litter_label(birth)),
    ("sire", lambda ground, birth, _: sire_label(ground.flock, birth)),
    ("birth weight", lambda ground, _, lamb: weight_label(lamb, ground.lines)),
    ("sex of the lamb", lambda _, __, lamb: (lamb.birth.line.sex if lamb.birth else None) or NOT_WRITTEN),
    ("season", lambda _, birth, __: str(birth.season)),
)


def weight_label(lamb: Animal, lines: BirthLines) -> str:
    """Where a birth weight lies against the lines in force."""
    weight = birth_weight(lamb)
    return lines.of(weight).value if weight else NOT_WEIGHED


def patterns(flock: Flock, births: Births) -> Patterns:
    """All births whose lambs are written."""
    ground = LabelGround(flock, births.lines)
    told = [birth for birth in births.told if birth.detailed]
    cases = tuple(one_case(ground, birth, lamb) for birth in told for lamb in birth.lambs if lamb.birth)
    bare = [View(by, tuple(groups_of(cases, place, by))) for place, (by, _) in enumerate(PATTERNS_BY)]
    asked = [(view, group, outcome) for view in bare for group in view.groups for outcome in comparable(view, group)]
    count = len(asked)
    views = tuple(View(view.by, tuple(with_others(view, group, count) for group in view.groups)) for view in bare)
    return Patterns(cases, len(told), lies(cases), views, count, len(births.told) - len(told))


def one_case(ground: LabelGround, birth: LambingFact, lamb: Animal) -> LambCase:
    """One lamb."""
    assert lamb.birth is not None
    line = lamb.birth.line
    return LambCase(
        birth, lamb, line.presentation, not line.alive, tuple(label(ground, birth, lamb) for _, label in PATTERNS_BY)
    )


def groups_of(cases: Iterable[LambCase], place: int, by: str) -> Iterable[PatternGroup]:
    """The groups of one view, the largest first; never ordered by a share, since most are small."""
    found: dict[str, list[LambCase]] = {}
    for case in cases:
        found.setdefault(case.groups[place], []).append(case)
    for label in sorted(found, key=lambda label: (-len(found[label]), label)):
        shares = group_counts(found[label])
        yield PatternGroup(
            label, tuple(item for item in shares if item[0] is not Outcome.HELPED or by not in OF_THE_LAMB)
        )


def group_counts(cases: list[LambCase]) -> tuple[tuple[Outcome, Share], ...]:
    """What is counted of one group."""
    births = {case.birth.note: case.birth.helped for case in cases}
    return (
        (Outcome.LAY_WRONG, wilson(sum(case.wrong for case in cases), len(cases))),
        (Outcome.HELPED, wilson(sum(births.values()), len(births))),
        (Outcome.BORN_DEAD, wilson(sum(case.dead for case in cases), len(cases))),
    )


def rest_of(view: View, group: PatternGroup, outcome: Outcome) -> Share:
    """All known groups of a view but one, taken together."""
    shares = [item.share(outcome) for item in known_groups(view) if item is not group]
    return wilson(sum(share.count for share in shares), sum(share.of for share in shares))


def known_groups(view: View) -> tuple[PatternGroup, ...]:
    """The groups that say something."""
    return tuple(group for group in view.groups if group.label not in NOTHING_SAID)


def comparable(view: View, group: PatternGroup) -> tuple[Outcome, ...]:
    """What of a group can be held against the others: enough on both sides, and the group the smaller of the two, since
    a large one that differs only says again that the rest do.
    """
    if group not in known_groups(view):
        return ()
    pairs = [(outcome, mine.of, rest_of(view, group, outcome).of) for outcome, mine in group.shares]
    return tuple(outcome for outcome, mine, rest in pairs if LEAST_GROUP <= mine <= rest)


def with_others(view: View, group: PatternGroup, comparisons: int) -> PatternGroup:
    """A group with what came of holding it against the others."""
    held = []
    for outcome in comparable(view, group):
        difference = compare(group.share(outcome), rest_of(view, group, outcome))
        held.append(Against(outcome, difference, min(1.0, (difference.fisher_p or 1.0) * comparisons)))
    return PatternGroup(group.label, group.shares, tuple(held))


def lies(cases: tuple[LambCase, ...]) -> tuple[Lie, ...]:
    """Every way of lying, those that are not normal first, the commonest first."""
    found: dict[str, list[LambCase]] = {}
    for case in cases:
        found.setdefault(case.lay, []).append(case)
    order = sorted(found, key=lambda lay: (lay == NORMAL, -len(found[lay]), lay))
    return tuple(one_lie(lay, found[lay]) for lay in order)


def one_lie(lay: str, cases: list[LambCase]) -> Lie:
    """One way of lying, counted."""
    place = {by: index for index, (by, _) in enumerate(PATTERNS_BY)}
    return Lie(
        lay, len(cases), len({case.birth.note for case in cases if case.birth.helped}),
        sum(case.dead for case in cases),
        sum(case.groups[place["the ewe's lambing"]] == FIRST_LAMBING for case in cases),
        sum(case.groups[place["birth weight"]] == BirthWeight.HEAVY for case in cases),
        sum((birth_weight(case.lamb) or 0) > HEAVY_OVER_KG for case in cases),
        label_counts(case.groups[place["litter size"]] for case in cases),
        label_counts(case.groups[place["sire"]] for case in cases),
    )  # fmt: skip


def label_counts(labels: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """Each label and how often it comes, the commonest first."""
    found: dict[str, int] = {}
    for label in labels:
        found[label] = found.get(label, 0) + 1
    return tuple(sorted(found.items(), key=lambda item: (-item[1], item[0])))
