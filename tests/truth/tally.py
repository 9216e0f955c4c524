"""Counting outcomes by way, and printing them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.truth.plain import Content, Files, Link
from tests.truth.shrink import smallest
from tests.truth.trials import Outcome, tried
from tests.truth.ways import Way
from tests.truth.writing import Writing


@dataclass
class Row:
    """What came of the writings of one way, or of one pair."""

    ways: tuple[Way, ...] = ()
    tried: int = 0
    wrong: int = 0
    flock: int = 0
    gone: int = 0
    withheld: int = 0
    failure: Outcome | None = None

    def add(self, outcome: Outcome) -> None:
        """Count one."""
        self.tried += 1
        self.wrong += bool(outcome.wrong)
        self.flock += outcome.verdict.whole_flock
        self.gone += bool(outcome.verdict.missing)
        self.withheld += len(outcome.verdict.withheld)
        self.failure = self.failure or (outcome if outcome.wrong else None)

    @property
    def hidden(self) -> bool:
        """Whether one of its ways cannot be found out."""
        return any(way.otherwise for way in self.ways)

    @property
    def dear(self) -> bool:
        """Whether it withholds somebody where the rules ask for nobody."""
        return bool(self.withheld) and bool(self.ways) and not any(way.price for way in self.ways)


@dataclass
class Tally:
    """Rows by the name of their ways, and one for all."""

    rows: dict[str, Row] = field(default_factory=dict)
    all: Row = field(default_factory=Row)

    def add(self, outcome: Outcome) -> None:
        """Count one."""
        self.rows.setdefault(outcome.writing.title, Row(outcome.writing.ways)).add(outcome)
        self.all.add(outcome)

    @property
    def failed(self) -> dict[str, Outcome]:
        """The first failure of each way that has one."""
        return {name: row.failure for name, row in self.rows.items() if row.failure}


def table(tally: Tally) -> str:
    """A line for each way: tried, wrongly clear, whole flock withheld, mean number of untreated withheld."""
    lines = [f"{'way':44} {'rule':10} tried wrong flock  gone untreated withheld"]
    lines += [line(name, row) for name, row in sorted(tally.rows.items())]
    return "\n".join([*lines, line("all", tally.all), summary(tally)])


def line(name: str, row: Row) -> str:
    """One way."""
    rule = row.ways[0].rule if row.ways else ""
    counts = f"{row.tried:5} {row.wrong:5} {row.flock:5} {row.gone:5} {row.withheld / row.tried:8.1f}"
    return f"{name:44} {rule:10} {counts}{' *' if row.hidden else ''}{' !' if row.dear else ''}"


def summary(tally: Tally) -> str:
    """The price of caution, way by way."""
    rows = tally.rows.values()
    return (
        f"{len(rows)} ways; {len(tally.failed)} wrongly clear somewhere; "
        f"{sum(row.flock * 2 > row.tried for row in rows)} withhold the whole flock; "
        f"{sum(row.dear for row in rows)} withhold somebody where the rules ask for nobody (!)\n"
        "* cannot be found out; gone: a treated animal stands on no row"
    )


def report(failures: dict[str, Outcome], most: int) -> str:
    """The first failures, each made as small as it goes."""
    return "\n".join(example(outcome) for outcome in list(failures.values())[:most])


def example(outcome: Outcome) -> str:
    """One failure: its ways, what is wrong, the messages, and the smallest folder that shows it."""
    small = tried(smallest(outcome.writing, lambda writing: bool(tried(writing).wrong)))
    ways = [f"{way.name} ({way.rule}): {way.told}" for way in small.writing.ways]
    told = [f"  told: {item}" for item in small.verdict.told] or ["  nothing told"]
    on = f"  asked on {small.writing.world.on:%Y-%m-%dT%H:%M} (seed {small.writing.seed})"
    return "\n".join(["", *ways, on, *(f"  {item}" for item in small.wrong), *told, *shown(small.writing), ""])


def shown(writing: Writing) -> Iterable[str]:
    """The folder: what the ways changed in full, whatever is plain on one line."""
    files, plain = writing.files(), writing.plain()
    other = [path for path in files if plain.get(path) != files[path]]
    same = [f"  = {path}: {brief(files[path])}" for path in files if path not in other]
    return [*(text_of(path, files) for path in other), *same]


def text_of(path: str, files: Files) -> str:
    """A file, indented."""
    return f"  ## {path}\n" + "\n".join(f"     {row}" for row in readable(files[path]).splitlines())


def brief(content: Content) -> str:
    """A plain file on one line."""
    return " | ".join(row for row in readable(content).splitlines() if row != "---")


def readable(content: Content) -> str:
    """Text, whatever it is kept as."""
    if isinstance(content, Link):
        return f"(a link to {content.target})"
    return content if isinstance(content, str) else content.decode("utf-8", "backslashreplace")
