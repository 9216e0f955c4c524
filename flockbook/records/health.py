"""Notes on illness, treatments, egg counts and deaths."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time
from typing import Any

from compiler.schema import Kind, LineSyntax, key
from compiler.values import COUNT, DATE, DATES, FLAG, NUMBER, TEMPERATURE, TEXT, TIME, Temperature, Volume, When
from flockbook.records import dose_line, egg_line
from flockbook.records.check_line import TEMPERATURE_BAND
from flockbook.records.dose_line import DoseLine
from flockbook.records.egg_line import SLIDE, EggLine, Slide
from flockbook.records.event import Event, Mention, listed
from flockbook.records.labels import DOSE_RATE, DOSE_TEXT, WITHDRAWAL, DoseRate, Withdrawal
from flockbook.trade import NO_MORE

MASTITIS = "mastitis"  # the word in `problem` that the book counts udders by
CAUSES = (
    "abortion", "stillbirth", "hard birth", "birth injury", "starved", "exposure", "infection", "predator", "accident",
    "malformed", "worms", "old age", "put down", "unknown",
)  # fmt: skip


class Treatment(Event):
    """A medicine given. `given` are the doses really given; `days` without them is a plan, and nobody is clear on a
    plan.
    """

    medicine: str | None = key("the product, as a `medicine` note calls it", TEXT, required=True, aliases=("product",))
    dose: Volume | None = key("dose for each animal, e.g. `2.5 ml`", DOSE_TEXT)
    rate: DoseRate | None = key("dose for the weight, e.g. `1 ml per 20 kg` (needs weights)", DOSE_RATE)
    given: tuple[When, ...] = key("the dates, or dates and times, on which it was really given", DATES, many=True)
    days: int | None = key(
        "how many days the course is meant to last; nobody is clear until `given` or `finished`", COUNT
    )
    route: str | None = key("by mouth, under the skin, into muscle …", TEXT)
    site: str | None = key("where on the animal", TEXT)
    for_: str | None = key("what for", TEXT)
    batch: str | None = key("batch number", TEXT)
    off_label: bool | None = key(
        "`yes` when dose, route, animal or use is not on the label: needs `vet` and written periods", FLAG
    )
    vet: str | None = key("the vet who ordered it, and how", TEXT)
    meat_withdrawal: Withdrawal | None = key("the vet's written meat period, in place of the label's", WITHDRAWAL)
    milk_withdrawal: Withdrawal | None = key("the vet's written milk period, in place of the label's", WITHDRAWAL)
    finished: When | None = key("the day of the last dose of a course", DATES)
    lines: tuple[DoseLine, ...] = ()

    @property
    def doses(self) -> tuple[When, ...]:
        """Every dose written as given; the note's own date when it lists none."""
        doses = (*self.given, *([self.finished] if self.finished else []))
        return doses or ((When(self.date, self.time),) if self.date else ())

    def mentions(self) -> Iterator[Mention]:
        """The sheep listed, and those that have a line of their own."""
        yield from listed(self, "sheep")
        for line in self.lines:
            yield Mention(line.sheep, line.span, "lines")


class Illness(Event):
    """Something wrong with a sheep; the case is open until `recovered`, a sale or a death."""

    problem: str | None = key(
        "mastitis, lameness, prolapse, twin-lamb disease, scour, pneumonia, orf, flystrike, bloat …",
        TEXT,
        required=True,
    )
    side: str | None = key("left, right or both", TEXT)
    signs: str | None = key("what was seen", TEXT)
    temp: Temperature | None = key("temperature", TEMPERATURE, band=TEMPERATURE_BAND)
    ketones: float | None = key("ketones in the blood, mmol/L", NUMBER)
    severity: str | None = key("slight, middling or bad", TEXT)
    sample: str | None = key("what was sent to the laboratory, such as `milk, left half`", TEXT)
    result: str | None = key("what the laboratory found, such as `Staphylococcus aureus`", TEXT)
    result_date: date | None = key("the day the result came", DATE)
    recovered: date | None = key("the day it was well again", DATE)
    outcome: str | None = key("how it ended", TEXT)


class EggCount(Event):
    """A worm egg count; `test` joins the counts before and after a drench."""

    factor: float | None = key("eggs per gram for each egg counted (McMaster factor)", NUMBER)
    slide: Slide | None = key("how the slide was made, where no factor is known: dung, dung and fluid, counted", SLIDE)
    test: str | None = key("a name that joins before and after notes", TEXT)
    medicine: str | None = key("the drench tested", TEXT)
    pooled: bool | None = key("`yes` when the sample was mixed from several sheep", FLAG)
    lines: tuple[EggLine, ...] = ()

    def mentions(self) -> Iterator[Mention]:
        """The sheep sampled; a pooled sample names nobody."""
        yield from listed(self, "sheep")
        for line in self.lines:
            if not line.sheep.lower().startswith("pool"):
                yield Mention(line.sheep, line.span, "lines")


class Death(Event):
    """A sheep found dead, put down, or lost."""

    cause: str | None = key("cause of death: " + ", ".join(CAUSES), TEXT)
    found: time | None = key("when it was found", TIME)
    disposal: str | None = key("what became of the body", TEXT)
    post_mortem: str | None = key(
        "what was found inside", TEXT, name="post-mortem", aliases=("post mortem", "necropsy")
    )


DOSES = LineSyntax(
    read=dose_line.read,
    read_row=dose_line.read_row,
    columns=("sheep", "kg", "dose"),
    help="a line for each sheep that has a weight or a dose of its own: `- C230 62 kg`, `- C231 55 kg 2.5 ml`",
    examples=("C230 62 kg", "C231 55 kg 2.5 ml"),
)
EGG_LINES = LineSyntax(
    read=egg_line.read,
    is_plain=egg_line.is_plain,
    read_row=egg_line.read_row,
    columns=("sheep", "eggs", "epg", "before", "after"),
    help="one sample a line: `731 12 eggs` (with `factor`), or `731 before 3500 after 200` in eggs per gram",
    examples=("731 12 eggs", "731 before 3500 after 200"),
)
EGG_COUNT_SAID = ("fecal egg count", "faecal egg count", "worm egg count", "egg counts", "fec", "fecal", "fecals")
TREATMENT_SAID = (
    "vaccination", "vaccinated", "worming", "wormed", "deworming", "dewormed", "drenching", "drenched",
)  # fmt: skip
KINDS: tuple[Kind[Any], ...] = (
    Kind("illness", Illness, "something wrong with a sheep", aliases=("ill", "sick")),
    Kind("egg count", EggCount, "a worm egg count", lines=EGG_LINES, says=dict.fromkeys(EGG_COUNT_SAID, NO_MORE)),
    Kind(
        "treatment",
        Treatment,
        "a medicine given",
        lines=DOSES,
        guarded=True,
        aliases=("treated", "dosed", "injected"),
        says=dict.fromkeys(TREATMENT_SAID, NO_MORE),
    ),
    Kind("death", Death, "a sheep that died", subject="sheep", aliases=("died",)),
)
