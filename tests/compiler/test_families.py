"""Families of facts: made when first asked for, once; failures are remembered, named, and passed on."""

from __future__ import annotations

import pytest

from compiler import faults
from compiler.families import Unmade, once
from compiler.shape import Value, field
from compiler.source import Span


class CatchFacts(Value, dict=True):
    """What follows from a list of weights."""

    kg: tuple[float, ...]
    made: list[str] = field(default_factory=list)

    @once
    def total(self) -> float:
        """All of it."""
        self.made.append("total")
        return sum(self.kg)

    @once
    def mean(self) -> float:
        """A fish."""
        self.made.append("mean")
        return self.total / len(self.kg)

    @once
    def words(self) -> str:
        """The mean in words."""
        return f"{self.mean:.1f} kg"

    @once
    def hen(self) -> str:
        """Needs the egg."""
        return self.egg

    @once
    def egg(self) -> str:
        """Needs the hen."""
        return self.hen


def test_a_family_is_made_once_and_only_when_asked_for() -> None:
    """Nothing is made before it is asked for; what is asked for twice, by whomever, is made once."""
    catch = CatchFacts((2.0, 4.0))
    assert catch.made == []
    assert (catch.words, catch.mean, catch.total, catch.words) == ("3.0 kg", 3.0, 6.0, "3.0 kg")
    assert catch.made == ["mean", "total"]
    assert CatchFacts.mean.__doc__ == "A fish."


def test_a_failure_is_remembered_and_passed_on() -> None:
    """A family that fails is not tried again: the same is told to all, by its own name, at the line where it arose."""
    catch = CatchFacts(())
    told = []
    for name in ("mean", "words", "mean"):
        with pytest.raises(Unmade) as caught:
            getattr(catch, name)
        told.append(faults.fault(caught.value, faults.IN_CHECK, "the check x", ""))
    assert catch.made == ["mean", "total"]
    assert told[0] == told[1] == told[2]
    assert told[0].message.startswith("the check x: the facts `catch.mean` could not be made: ZeroDivisionError: ")
    assert told[0].span == Span("tests/compiler/test_families.py", CatchFacts.mean.make.__code__.co_firstlineno + 4)
    assert catch.total == 0


def test_a_family_made_from_itself_is_a_failure() -> None:
    """A circle is told as such, in place of a crash of Python's own."""
    with pytest.raises(Unmade) as caught:
        _ = CatchFacts(()).hen
    message = faults.fault(caught.value, faults.IN_CHECK, "x", "").message
    circle = "RecursionError: `catch.hen` cannot be made from itself"
    assert message == f"x: the facts `catch.egg` could not be made: {circle}"


def test_an_interruption_is_no_failure() -> None:
    """A family that was interrupted is made when it is next asked for."""

    class Slow:
        """Interrupted the first time."""

        tries = 0

        @once
        def value(self) -> int:
            """Made the second time."""
            self.tries += 1
            if self.tries == 1:
                raise KeyboardInterrupt
            return self.tries

    slow = Slow()
    with pytest.raises(KeyboardInterrupt):
        _ = slow.value
    assert slow.value == 2
