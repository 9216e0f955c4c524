"""How much of what a sheep shows is inherited: the published figures in use, each with its source, and the flock's own.

`flock.yaml` changes them: `heritabilities: {birth weight: 0.2, lambs born: 0.1 0.18}`; the second figure is the
repeatability of a trait that a ewe shows every year.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from compiler.shape import Value, replace

OWN = "your own setting (flock.yaml)"


class Heritability(Value):
    """The share of a trait's variance that is inherited (h²), and the share that repeats in one animal (r).

    `repeatability` is None for a trait an animal shows once. Raises ValueError unless 0 < h2 < 1 and h2 <= r < 1.
    """

    trait: str
    h2: float
    repeatability: float | None
    source: str

    def __post_init__(self) -> None:
        if not 0 < self.h2 < 1:
            raise ValueError(f"a heritability of {self.h2:g} cannot be; it lies between 0 and 1")
        if self.repeatability is not None and not self.h2 <= self.repeatability < 1:
            raise ValueError(
                f"a repeatability of {self.repeatability:g} cannot be; it lies between the heritability "
                f"({self.h2:g}) and 1"
            )

    @property
    def ratio(self) -> float:
        """Variance of the rest over the inherited variance (α of the mixed model equations)."""
        return (1 - (self.repeatability or self.h2)) / self.h2

    @property
    def lasting(self) -> float:
        """Variance that is lasting but not inherited over the variance of the rest; 0 for a trait shown once."""
        return 0.0 if self.repeatability is None else (self.repeatability - self.h2) / (1 - self.repeatability)


Heritabilities = Mapping[str, Heritability]

HERITABILITIES: Heritabilities = MappingProxyType(
    {
        h.trait: h
        for h in (
            Heritability("birth_weight", 0.18, None, "Barki flock: 0.18 ± 0.10; published range 0.18–0.33"),
            Heritability("weaning_weight", 0.20, None, "chosen within the published range 0.07–0.45"),
            Heritability("lambs_born", 0.10, 0.18, "Jafaroghli et al. 2019, Iran. J. Appl. Anim. Sci. 9:651–657"),
            Heritability(
                "lambs_weaned",
                0.07,
                0.17,
                "h² Baker & Steine 1986, WCGALP XI:84–89; repeatability Jafaroghli et al. 2019",
            ),
        )
    }
)


def merged(typed: Iterable[str]) -> tuple[Heritabilities, tuple[str, ...]]:
    """The figures in use: those typed (`birth weight 0.2`) in place of the published, and what is wrong with others."""
    found, wrong = dict(HERITABILITIES), []
    for text in typed:
        try:
            own = read(text)
        except ValueError as fault:
            wrong.append(f"`{text}`: {fault}")
        else:
            found[own.trait] = own
    return MappingProxyType(found), tuple(wrong)


def read(text: str) -> Heritability:
    """One line as typed. Raises ValueError, in words, for an unknown trait, a missing figure, or one out of bounds."""
    words = [word.strip(",;:") for word in text.split()]
    figures = [word for word in words if word[:1].isdigit() or word[:1] in "-.+"]
    trait = "_".join(word.lower() for word in words if word not in figures)
    if trait not in HERITABILITIES:
        known = ", ".join(name.replace("_", " ") for name in HERITABILITIES)
        raise ValueError(f"the traits worked out are {known}")
    published = HERITABILITIES[trait]
    most = 1 if published.repeatability is None else 2
    if not 1 <= len(figures) <= most:
        raise ValueError("one figure is wanted" if most == 1 else "one figure is wanted, or two")
    h2, *more = (share_typed(word) for word in figures)
    if not more and 0 < h2 < 1 and h2 > (published.repeatability or 1):
        raise ValueError(
            f"it is above the published repeatability ({published.repeatability:g}); write both figures, the share "
            "inherited and how far it repeats"
        )
    return replace(published, h2=h2, repeatability=more[0] if more else published.repeatability, source=OWN)


def share_typed(word: str) -> float:
    """A share as typed. Raises ValueError, in words, for anything else."""
    try:
        return float(word)
    except ValueError:
        raise ValueError(f"`{word}` is no figure; write it like 0.15") from None
