"""`flock.yaml` read: every value held against what it can be, and a message with its line for what is not used."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as Files
from typing import Any

from compiler.decode import decode_fields
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import read_yaml
from compiler.nearness import did_you_mean
from compiler.schema import Habits
from compiler.shape import replace
from compiler.source import Source, Span
from flockbook import settings_doubts
from flockbook.country_codes import CODE_CALLED, LISTED, VALID, country_code
from flockbook.factors import Unfit, parse_factors
from flockbook.figures import CHOOSING, DEFAULTS, Figure
from flockbook.heritabilities import merged
from flockbook.records.lamb_line import BIRTH_KG
from flockbook.settings import WINDOW, Settings, SettingsFile, default_settings, in_unit, zone_of
from flockbook.settings_doubts import helpers_twice, private_slips, wrong_lengths, wrong_losses
from flockbook.settings_text import groups_opened
from flockbook.targets import TARGET_KG, known_target, target_kg

NO_SETTINGS = Rule(
    "S101", "no-settings", Grade.GAP,
    "A notes folder has a file `flock.yaml` with the flock's name, its units and the vet's telephone number. Without "
    "it the defaults are used.",
    "",
)  # fmt: skip
SETTINGS_DAMAGED = Rule(
    "S102", "settings-damaged", Grade.ERROR, "The settings could not be read, so every figure in the book rests on "
        "the defaults.", "units: [metric\n"
)  # fmt: skip
FACTORS_FILE = Rule(
    "S103", "factors-file", Grade.ERROR,
    "The settings name a file with adjustment factors of your own, but it is not there or not such a table, so lambs' "
    "weights are compared by the generic factors.",
    "adjustment factors: my factors.csv",
)  # fmt: skip
GENERIC_USED = "the generic factors are used"
OUT_OF_BOUNDS = Rule(
    "S105", "setting-out-of-bounds", Grade.ERROR,
    "A figure in the settings that no flock can have is a slip of the pen. It is not used, so that nothing in the book "
    "rests on it.",
    "records kept: 9000\n",
)  # fmt: skip
CROSSED = Rule(
    "S106", "window-without-mean", Grade.ERROR,
    "The shortest and the longest pregnancy lie either side of the mean. A window left out moves with the mean.",
    "gestation: 150 days\nshortest gestation: 152 days\n",
)  # fmt: skip
ZONE_UNKNOWN = Rule(
    "S108", "timezone-unknown", Grade.ERROR,
    "The time zone says when the clocks change, so that hours in a labour or a waiting period are hours that pass.",
    "timezone: Europe/Lodnon\n",
)  # fmt: skip
TARGET_UNREAD = Rule(
    "S109", "target-unread", Grade.ERROR,
    "A target that the book does not know stands beside no figure.", "targets: {lambs weand: 1.5}\n",
)  # fmt: skip
HALF_WORK = Rule(
    "S110", "half-of-own-work", Grade.GAP,
    "Own work is counted as hours times what an hour is worth; one without the other counts nothing.",
    "own hours: 400\n",
)  # fmt: skip
HERITABILITY_UNUSABLE = Rule(
    "S104", "heritability-unusable", Grade.ERROR, "Breeding values rest on how much of a trait is inherited; a figure "
        "that cannot be leaves the published one in use.", "heritabilities: birth weight 18\n"
)  # fmt: skip
IN_MONTHS = Rule(
    "S113", "days-typed-in-months", Grade.ERROR,
    "Pregnancies and heats are counted in days, and a month has 28 to 31 of them.", "gestation: 5 months\n",
)  # fmt: skip
STEPS_CROSSED = Rule(
    "S114", "step-in-before-look-again", Grade.ASK,
    "Both are counted from the water bag: first one looks again, then one steps in.",
    "look again: 60 min\nstep in: 30 min\n",
)  # fmt: skip
TARGET_ODD = Rule(
    "S115", "target-odd", Grade.ASK, "A weight at which no lamb is weaned or sold is often a slip of the point.",
    "targets: {weaning weight: 3}\n",
)  # fmt: skip
COUNTRY_UNKNOWN = Rule(
    "S111", "country-unknown", Grade.ERROR,
    "The country decides whose rules on tags, records and rings are asked about, and by which form official numbers "
    "are read. A country that the book does not know has none of them.",
    "country: Narnia\n",
)  # fmt: skip
CURRENCY_UNKNOWN = Rule(
    "S112", "currency-unknown", Grade.WARNING,
    "A currency is a code of three letters or its sign; a sum typed with another sign is told by it.",
    "currency: sheep\n",
)  # fmt: skip
BIRTH_LINES = Rule(
    "S116",
    "birth-lines-cannot-be",
    Grade.ERROR,
    "Below one weight a lamb counts as light at birth, above another as heavy; the first must be the smaller, and both "
    "the weight of a lamb.",
    "light lamb: 12 lb\nheavy lamb: 6 lb\n",
)
RULES = (
    NO_SETTINGS, SETTINGS_DAMAGED, FACTORS_FILE, HERITABILITY_UNUSABLE, OUT_OF_BOUNDS, CROSSED,
    ZONE_UNKNOWN, TARGET_UNREAD, HALF_WORK, COUNTRY_UNKNOWN, CURRENCY_UNKNOWN,
    IN_MONTHS, STEPS_CROSSED, TARGET_ODD, BIRTH_LINES, *settings_doubts.RULES,
)  # fmt: skip
KNOWN_NAMES = [name for name, code in CODE_CALLED.items() if code in LISTED]
LINES = ("light_lamb", "heavy_lamb")
KNOWN_TARGETS = (
    "the targets are `lambs weaned 1.3`, `sale weight {40 kg}`, `weaning weight {31 kg}`, and a rule for worms such as "
    "`eyelid 4`"
)
CURRENCY = re.compile(r"[A-Za-z]{3}|[$£€]")
# Settings that have no default and are plain figures, with their bounds.
PLAIN_FIGURES = {
    "own_hours": Figure(0, "hours", "", 0, 8784),
    "hour_worth": Figure(0, "an hour", "", 0, 10_000),
    "years": Figure(0, "seasons", "", 1, 100),
}


def read_settings(source: Source | None) -> tuple[Settings, tuple[Diagnostic, ...]]:
    """Settings from `flock.yaml`. Damaged: all defaults and an error; a wrong value: its own default."""
    if source is None:
        return default_settings(), (
            NO_SETTINGS.at(
                Span("flock.yaml"),
                "there is no `flock.yaml` here",
                "run `flockbook begin` in an empty folder to see one",
            ),
        )
    fields, told = read_yaml(source.path, source.text.split("\n"), 1)
    if fields is None:
        damaged = [SETTINGS_DAMAGED.at(item.span, item.message, item.help, "the defaults are used") for item in told]
        return default_settings(), tuple(damaged)
    values, origin, more = decode_fields(source.path, groups_opened(fields), SettingsFile, Habits())
    file, months = without_months(SettingsFile(origin=origin, **values))
    file, refused = within_bounds(file)
    file, crossed = settings_window(file)
    file, askew = birth_lines_that_can_be(file)
    settings = Settings(file)
    return settings, (
        *told, *more, *months, *refused, *crossed, *askew, *wrong_heritabilities(settings), *wrong_words(settings),
        *odd_figures(settings), *wrong_losses(settings), *helpers_twice(file), *private_slips(settings),
    )  # fmt: skip


def without_months(file: SettingsFile) -> tuple[SettingsFile, list[Diagnostic]]:
    """The settings without lengths in days that were typed in months, and a message for each of these."""
    typed = {name: getattr(file, name) for name, figure in DEFAULTS.items() if figure.unit == "days"}
    wrong = [name for name, span in typed.items() if span is not None and "month" in span.text.lower()]
    told = [
        IN_MONTHS.at(
            file.origin.span(name), f"`{plain_name(name)}` in months can be read several ways",
            f"write days, such as `{DEFAULTS[name].value:g} days`", "the default is used",
        )
        for name in wrong
    ]  # fmt: skip
    return dropped(file, wrong), told


def within_bounds(file: SettingsFile) -> tuple[SettingsFile, list[Diagnostic]]:
    """The settings without figures that cannot be, and a message for each of these."""
    told: list[Diagnostic] = []
    bounds = {name: figure for name, figure in {**DEFAULTS, **PLAIN_FIGURES}.items() if not name.startswith(CHOOSING)}
    for name, figure in bounds.items():
        typed = getattr(file, name)
        if typed is None or figure.least <= in_unit(typed, figure) <= figure.most:
            continue
        words, least, most = plain_name(name), f"{figure.least:g}", f"{figure.most:g} {figure.unit}"
        told.append(
            OUT_OF_BOUNDS.at(
                file.origin.span(name), f"`{words}` cannot be {in_unit(typed, figure):g} {figure.unit}",
                f"write a figure from {least} to {most}", "the default is used",
            )
        )  # fmt: skip
        file = dropped(file, [name])
    return file, told


def dropped(file: SettingsFile, names: Iterable[str]) -> SettingsFile:
    """The settings with some of them as if they had not been typed."""
    nothing: dict[str, Any] = dict.fromkeys(names)
    return replace(file, **nothing)


def settings_window(file: SettingsFile) -> tuple[SettingsFile, list[Diagnostic]]:
    """The settings without a typed window that leaves out the mean length of pregnancy, and a message for it."""
    settings = Settings(file)
    shortest, mean, longest = (settings.figure(name) for name in ("shortest_gestation", "gestation", WINDOW[1]))
    if shortest <= mean <= longest:
        return file, []
    typed = [name for name in WINDOW if getattr(file, name) is not None]
    words = f"a window of {shortest:g} to {longest:g} days leaves out the mean of {mean:g} days"
    cure = "correct the window or `gestation`; a window that is left out moves with the mean"
    told = [CROSSED.at(file.origin.span(name), words, cure, "the window that goes with the mean is used")
            for name in typed]  # fmt: skip
    return dropped(file, typed), told


def birth_lines_that_can_be(file: SettingsFile) -> tuple[SettingsFile, list[Diagnostic]]:
    """The settings without lines for the weights of lambs that cannot be, and a message for each of these."""
    typed = {name: weight for name in LINES if (weight := getattr(file, name)) is not None}
    wrong = [name for name, weight in typed.items() if not BIRTH_KG[0] <= weight.kg <= BIRTH_KG[1]]
    if not wrong and len(typed) == len(LINES) and typed[LINES[0]].kg >= typed[LINES[1]].kg:
        wrong = list(LINES)
    told = [
        BIRTH_LINES.at(
            file.origin.span(name), f"`{plain_name(name)}: {typed[name].text}` cannot be a line for lambs at birth",
            "write the weight with its unit, the light one below the heavy one", "it is left out",
        )
        for name in wrong
    ]  # fmt: skip
    return dropped(file, wrong), told


def wrong_words(settings: Settings) -> Iterator[Diagnostic]:
    """A message for every time zone, target, length by breed and half of own work that changes nothing as it stands."""
    file = settings.file
    if file.timezone and zone_of(settings) is None:
        yield ZONE_UNKNOWN.at(
            file.origin.span("timezone"), f"`{file.timezone}` is no time zone",
            "write it as continent and city, such as `Europe/London`", "changes of the clocks are not reckoned with",
        )  # fmt: skip
    yield from wrong_place(file)
    for place, text in enumerate(file.targets):
        if not known_target(text):
            yield TARGET_UNREAD.at(
                file.origin.span(f"targets[{place}]"), f"`{text}` is no target that the book knows",
                settings.measures.example(KNOWN_TARGETS), "it changes nothing",
            )  # fmt: skip
    yield from wrong_lengths(file)
    for name, other in (("own_hours", "hour_worth"), ("hour_worth", "own_hours")):
        if getattr(file, name) is not None and getattr(file, other) is None:
            yield HALF_WORK.at(
                file.origin.span(name), f"`{plain_name(name)}` counts only beside `{plain_name(other)}`",
                f"write `{plain_name(other)}` too", "own work costs nothing",
            )  # fmt: skip


def odd_figures(settings: Settings) -> Iterator[Diagnostic]:
    """A question for a step in before the second look, and for a target at which no lamb is weaned or sold."""
    file, (look, step) = settings.file, map(settings.figure, ("look_again", "step_in"))
    if step < look:
        yield STEPS_CROSSED.at(
            file.origin.span("step_in" if file.step_in else "look_again"),
            f"`step in` ({step * 60:.0f} min) comes before `look again` ({look * 60:.0f} min)",
            "correct one of the two", "both are used as typed",
        )  # fmt: skip
    for place, text in enumerate(file.targets):
        kg = target_kg((text,), settings.measures.weight_unit)
        if kg is not None and not TARGET_KG[0] <= kg <= TARGET_KG[1]:
            yield TARGET_ODD.at(
                file.origin.span(f"targets[{place}]"), f"`{text}` would be unusual for lambs weaned or sold",
                "correct the weight or its unit", "it is used as typed",
            )  # fmt: skip


def wrong_place(file: SettingsFile) -> Iterator[Diagnostic]:
    """A message for a country that nobody knows, and for a currency that is neither code nor sign."""
    if file.country and country_code(file.country) not in LISTED:
        near_one = did_you_mean(file.country.casefold(), KNOWN_NAMES, slips=2)
        cure = f"{near_one}write one of: {VALID}"
        yield COUNTRY_UNKNOWN.at(
            file.origin.span("country"), f"`{file.country[:40]}` is no country that the book knows", cure,
            "no country's rules are asked about",
        )  # fmt: skip
    if file.currency and not CURRENCY.fullmatch(file.currency):
        yield CURRENCY_UNKNOWN.at(
            file.origin.span("currency"), f"`{file.currency[:40]}` is no currency",
            "write its code, such as `USD`, `GBP` or `EUR`", "it is printed as it stands",
        )  # fmt: skip


def plain_name(name: str) -> str:
    """A setting's name as it is typed."""
    return name.replace("_", " ")


def wrong_heritabilities(settings: Settings) -> Iterator[Diagnostic]:
    """A message for every figure that cannot be used."""
    for fault in merged(settings.file.heritabilities)[1]:
        yield HERITABILITY_UNUSABLE.at(
            settings.file.origin.span("heritabilities"), fault,
            "write for example `birth weight 0.2`, or `lambs born 0.1 0.18` (the second: how far it repeats)",
            "the published figure is used",
        )  # fmt: skip


def with_factors(settings: Settings, files: Files[str, Source]) -> tuple[Settings, tuple[Diagnostic, ...]]:
    """The settings with the flock's own adjustment factors. A file that is missing or no such table gives a message
    and the generic factors.
    """
    name, path = settings.file.adjustment_factors, settings.factors_file
    if not name:
        return settings, ()
    if path not in files:
        where = settings.file.origin.span("adjustment_factors")
        what = f"`{path}` is not there" if path else f"`{name.strip()}` is no file of the notes folder"
        cure = "save the table in the notes folder, and write its path as seen from `flock.yaml`"
        return settings, (FACTORS_FILE.at(where, what, cure, GENERIC_USED),)
    try:
        return replace(settings, own_factors=parse_factors(files[path].text)), ()
    except Unfit as fault:
        return settings, (FACTORS_FILE.at(Span(path, fault.line), str(fault), fault.cure, GENERIC_USED),)
