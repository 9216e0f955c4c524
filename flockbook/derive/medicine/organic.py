"""The longer waiting periods of organic sheep, as the flock's own rule in the settings has them (W13).

No period is assumed: without `organic withdrawal` the label's or the vet's counts, and nothing is ever shortened.
"""

from __future__ import annotations

from compiler.shape import Value, replace
from flockbook.derive.medicine.periods import longer
from flockbook.flock import Animal, Flock
from flockbook.records.labels import Lengthening, Withdrawal
from flockbook.settings import Settings

ORGANIC_STATES = ("yes", "converting")


class OrganicRule(Value):
    """Who is organic and how much longer their waiting periods are; `unread`: the setting could not be read."""

    sheep: frozenset[str] = frozenset()
    by: Lengthening | None = None
    unread: bool = False

    @property
    def acts(self) -> bool:
        """Whether it changes anything for anybody."""
        return bool(self.sheep) and (self.by is not None or self.unread)

    def of(self, sheep: str) -> OrganicRule | None:
        """The rule as it bears on one sheep."""
        return self if self.acts and sheep in self.sheep else None

    def lengthened(self, period: Withdrawal) -> Withdrawal:
        """A period by this rule, never shorter than it was."""
        return longer(period, by_rule(period, self.by)) if self.by and not period.never else period


def by_rule(period: Withdrawal, rule: Lengthening) -> Withdrawal:
    """What a rule makes of a period: so many times as long, and at least so long."""
    if period.hours is not None:
        made = Withdrawal(hours=period.hours * rule.times)
    else:
        made = Withdrawal(days=-int(-(period.days or 0) * rule.times // 1))
    made = longer(made, rule.least) if rule.least else made
    return replace(made, text=f"{period.text} ({rule.text})")


def organic_rule(flock: Flock, settings: Settings) -> OrganicRule:
    """The flock's rule and whom it bears on."""
    file = settings.file
    found = frozenset(animal.id for animal in flock.animals.values() if is_organic(animal, file.organic))
    return OrganicRule(found, file.organic_withdrawal, "organic_withdrawal" in file.origin.broken)


def is_organic(animal: Animal, flock_is: str | None) -> bool:
    """Whether a sheep is organic or converting: by its own note, else by the settings. A word that could not be read
    counts as yes: that can only hold it longer.
    """
    note = animal.note
    if note is not None and "organic" in note.origin.broken:
        return True
    said = note.organic if note is not None and note.organic else flock_is
    return said in ORGANIC_STATES
