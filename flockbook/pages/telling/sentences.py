"""Comparisons in plain sentences: counts first, then the difference as a range in a hundred, never a verdict alone."""

from __future__ import annotations

from flockbook.derive.lambing.losses import Standout
from flockbook.derive.plain.intervals import Difference, RateRatio, Share
from flockbook.derive.plain.numbers import days_words
from flockbook.derive.season.compare import Comparison, RateComparison
from flockbook.measures import in_hundred
from flockbook.saying.season import did_words, season_words

TOO_FEW_FOR_RATE = "Too few for a rate."
TWO_MINDS = (
    "Two methods, two answers, and no contradiction: the range leaves out no difference at all, Fisher's test "
    "(p = {p:.2f}) does not. Take it as a hint."
)
PAIRS = (
    "The more pairs are looked at, the likelier one of them seems to differ by chance. Lambs of one litter, mob or "
    "field share their luck, so the true range is wider than any printed here."
)


def compared(item: Comparison) -> str:
    """`9 of 10 helped in 2024, 3 of 10 in 2025: fewer, by somewhere between 17 and 81 in a hundred.`"""
    old, new = item.difference.b, item.difference.a
    did = did_words(item.index)
    head = f"{part(old)} {did} in {season_words(item.from_)}, {part(new)} in {season_words(item.to)}"
    return sentence(head, item.difference, item.two_minds)


def sentence(head: str, difference: Difference, two_minds: bool) -> str:
    """A head, and what its two shares can say of each other."""
    words = [f"{head}: {difference_words(difference)}."]
    words += [none_seen(share) for share in (difference.b, difference.a) if share.count == 0 and share.of]
    if two_minds:
        words.append(TWO_MINDS.format(p=difference.fisher_p or 0.0))
    if difference.few:
        words.append(TOO_FEW_FOR_RATE)
    return " ".join(dict.fromkeys(words))


def part(share: Share) -> str:
    """`9 of 10`, or that there is no data."""
    return f"{share.count} of {share.of}" if share.of else "no data"


def difference_words(difference: Difference) -> str:
    """Fewer or more, by how much at least and at most; or that chance alone could do it."""
    low, high = difference.low, difference.high
    if low is None or high is None:
        return "nothing to compare"
    if low > 0 or high < 0:
        word, near, far = ("more", low, high) if low > 0 else ("fewer", -high, -low)
        return f"{word}, by somewhere between {in_hundred(near)} and {in_hundred(far)} in a hundred"
    return (
        f"chance alone could do that; anything from {in_hundred(-low)} fewer to {in_hundred(high)} more in a hundred "
        "fits"
    )


def none_seen(share: Share) -> str:
    """0 of n is not never: its upper limit."""
    return f"None of {share.of} is not never: up to {in_hundred(share.high or 0.0)} in a hundred fits."


HELPER = "helper"
FETCHED = "That proves nothing of who helped: a helper is fetched because help is needed."


def stands_out(item: Standout) -> str:
    """`Sike Field: 6 of 9 lambs lost, 4 of 38 of all others: more, by somewhere between 22 and 78 in a hundred.`"""
    mine, rest = item.difference.a, item.difference.b
    what = "births helped" if item.what == "helped" else "lambs lost"
    told = sentence(f"{item.label}: {part(mine)} {what}, {part(rest)} of all others", item.difference, two_minds=False)
    return f"{told} {FETCHED}" if item.what == "helped" and HELPER in item.by else told


def deaths_compared(item: RateComparison) -> str:
    """Lamb deaths in two seasons up to the same age, for the time the lambs lived, with exact Poisson limits."""
    old, new = item.ratio.b, item.ratio.a
    before = f"{old.events} lambs died in {old.time:.1f} lamb-years in {season_words(item.from_)}"
    after = f"{new.events} in {new.time:.1f} in {season_words(item.to)}"
    head = f"Up to an age of {days_words(item.age)}, {before}, {after}"
    return f"{head}: {times_as_many(item.ratio)}." + (f" {TOO_FEW_FOR_RATE}" if item.ratio.few else "")


def times_as_many(ratio: RateRatio) -> str:
    """How many times as many, and what range fits."""
    if ratio.value is None or ratio.low is None or ratio.high is None:
        return "nothing to compare"
    if ratio.high == float("inf"):
        return f"at least {ratio.low:.2f} times as many for the time they lived"
    range_ = f"anything from {ratio.low:.2f} to {ratio.high:.2f} times fits"
    return f"{ratio.value:.2f} times as many for the time they lived; {range_}"
