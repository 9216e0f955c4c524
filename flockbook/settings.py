"""The flock's settings: `flock.yaml`, with a default and its source for everything that is left out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Mapping as Files
from functools import cached_property
from posixpath import normpath
from typing import Any
from unicodedata import normalize
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from compiler.amounts import Duration
from compiler.decode import decode_fields
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.frontmatter import Entry, Mapping, Node, Scalar, read_yaml
from compiler.names import plain
from compiler.schema import Habits, Key, Record, key
from compiler.shape import Value, field, replace
from compiler.source import Source, Span
from compiler.values import CHOICE, COUNT, FLAG, NUMBER, SPAN_OF_TIME, TEXT
from flockbook.factors import Factors, Unfit, generic_factors, parse_factors
from flockbook.heritabilities import Heritabilities, merged
from flockbook.records.rations import INTAKE, Intake

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
HERITABILITY_UNUSABLE = Rule(
    "S104", "heritability-unusable", Grade.ERROR, "Breeding values rest on how much of a trait is inherited; a figure "
        "that cannot be leaves the published one in use.", "heritabilities: birth weight 18\n"
)  # fmt: skip
RULES = (NO_SETTINGS, SETTINGS_DAMAGED, FACTORS_FILE, HERITABILITY_UNUSABLE)


class Default(Value):
    """A figure used where the settings give none, and where it comes from."""

    value: float
    unit: str
    source: str


# Every default stands here once, with its source; the book prints them beside the figures they produced.
DEFAULTS: dict[str, Default] = {
    "gestation": Default(147, "days", "New Mexico State University, Normal Breeding Habits of Sheep (mean 147 d)"),
    "gestation_spread": Default(
        2.3, "days", "worked out from Metodiev 2019 (2.0 d) and the Arcott flocks' 2 % (2.9 d); no printed value found"
    ),
    "shortest_gestation": Default(142, "days", "general extension texts: 142-152 d"),
    "longest_gestation": Default(152, "days", "general extension texts: 142-152 d"),
    "cycle": Default(17, "days", "New Mexico State University: 17 d (14-19)"),
    "records_kept": Default(
        5, "years", "Reg. (EU) 2019/6 Art. 108(5); five years in Great Britain too; your own authority decides"
    ),
    "no_cycle": Default(0.04, "share of ewes", "from memory"),
    "conceive": Default(0.75, "chance at each heat", "a model: 0.70-0.85 are used; none is a published distribution"),
    "mark_seen": Default(
        0.9, "chance", "J. Morgan, Sheep Canada 2011: marks identify the fertile mating about 90 % of the time"
    ),
    "look_again": Default(0.5, "hours", "published: 30-60 min after the water bag (Utah State University AH/Sheep/12)"),
    "step_in": Default(1.0, "hours", "published: 30-60 min without progress (Utah State University AH/Sheep/12)"),
    "call_vet": Default(0.5, "hours", "unattributed university guide: 30 min of skilled effort without progress"),
    "look_every": Default(
        4.0, "hours", "checks each 4-6 h (Current Therapy in Large Animal Theriogenology); shepherds report 2-6 h"
    ),
    "inbreeding_limit": Default(0.0625, "inbreeding of the lamb", "common practice"),
    # Who stays and who goes: the group `choosing`. A count of 0 leaves a reason standing, but never as one to go.
    "choosing_helped_births": Default(2, "births with help", "common practice"),
    "choosing_mastitis": Default(1, "years with mastitis or a hard udder", "common practice"),
    "choosing_udder_lumps": Default(
        0, "handlings with a lump", "watch only; lambs of such ewes died at 4.9 times the odds (Griffiths et al. 2019)"
    ),
    "choosing_prolapse": Default(1, "cases", "common practice"),
    "choosing_broken_mouth_below": Default(
        2.5,
        "condition",
        "a hill ewe's condition at joining (Scotland's Farm Advisory Service, 9 Dec 2024); hill 2.5, "
        "upland 3.0, lowland 3.5",
    ),
    "choosing_barren_years": Default(2, "years with no lamb", "common practice"),
    "choosing_poor_mother": Default(1, "births with mothering 1 or 2 of 5", "common practice"),
    "choosing_short_milk": Default(0, "births with little milk", "watch only; common practice"),
    "choosing_lost_all": Default(2, "years that lost every lamb", "common practice"),
    "choosing_lameness": Default(0, "cases of lameness", "watch only; common practice"),
    "choosing_weaned_a_year": Default(1, "lambs weaned a year that speak for her", "common practice"),
}
CHOOSING = "choosing_"  # before the names of the rules by which ewes are kept or go


class SettingsFile(Record):
    """What may stand in `flock.yaml`."""

    flock: str | None = key("the flock's name", TEXT)
    units: str | None = key("metric or us: the unit of weights typed without one", CHOICE("metric", "us"))
    currency: str | None = key("for example GBP", TEXT)
    dates: str | None = key("how `19/4` is meant", CHOICE("day-month", "month-day"))
    decimal_comma: bool | None = key("`yes` when weights are typed as 4,1", FLAG)
    timezone: str | None = key("for example Europe/London", TEXT)
    gestation: Duration | None = key("mean length of pregnancy", SPAN_OF_TIME)
    gestation_spread: Duration | None = key("its standard deviation", SPAN_OF_TIME)
    shortest_gestation: Duration | None = key("shortest pregnancy to expect", SPAN_OF_TIME)
    longest_gestation: Duration | None = key("longest pregnancy to expect", SPAN_OF_TIME)
    cycle: Duration | None = key("days between heats", SPAN_OF_TIME)
    look_again: Duration | None = key("after the water bag: look again", SPAN_OF_TIME)
    step_in: Duration | None = key("after the water bag: step in", SPAN_OF_TIME)
    call_vet: Duration | None = key("after hands went in: call the vet", SPAN_OF_TIME)
    look_every: Duration | None = key("through a lambing night: how long the ewes may go unseen", SPAN_OF_TIME)
    vet: str | None = key("the vet's name", TEXT)
    vet_phone: str | None = key("the vet's telephone number", TEXT)
    keeper: str | None = key("who keeps the flock", TEXT)
    holding: str | None = key("holding number", TEXT)
    records_kept: float | None = key("years that records must be kept", NUMBER)
    country: str | None = key("whose record rules apply", TEXT)
    conceive: float | None = key("chance to conceive at a heat", NUMBER)
    no_cycle: float | None = key("share of ewes that do not cycle", NUMBER)
    mark_seen: float | None = key("chance that a mating leaves a mark that is seen", NUMBER)
    inbreeding_limit: float | None = key("the most inbreeding wanted in a lamb, as a share", NUMBER)
    own_hours: float | None = key("own hours of work a year", NUMBER)
    hour_worth: float | None = key("what an own hour is worth", NUMBER)
    intake: Intake | None = key("what a sheep eats in a day: hay as `1.8 kg`, or `2.5 %` of its weight", INTAKE)
    private: tuple[str, ...] = key("what a shared edition leaves out", TEXT, many=True)
    skip: tuple[str, ...] = key("folders and files that are not notes", TEXT, many=True)
    output: str | None = key("where the book is written", TEXT)
    targets: tuple[str, ...] = key("targets, such as `lambs weaned 1.5`", TEXT, many=True)
    adjustment_factors: str | None = key("a file in the notes folder with your own adjustment factors", TEXT)
    heritabilities: tuple[str, ...] = key("such as `birth weight 0.18`", TEXT, many=True)
    breed_gestation: tuple[str, ...] = key("length by breed, such as `Merino 150`", TEXT, many=True)
    years: int | None = key("how many seasons to compare", COUNT)
    choosing: tuple[str, ...] = key("who goes: a group such as `helped births: 2`; 0 only watches", TEXT, many=True)


class Settings(Value, dict=True):
    """The settings in force. `file` is what was typed."""

    file: SettingsFile
    typed: frozenset[str] = field(default_factory=frozenset)
    own_factors: Factors | None = None

    @property
    def flock(self) -> str:
        """The flock's name."""
        return self.file.flock or "The flock"

    @property
    def units(self) -> str:
        """metric or us."""
        return self.file.units or "metric"

    @property
    def currency(self) -> str:
        """The currency's code, or ""."""
        return self.file.currency or ""

    @cached_property
    def habits(self) -> Habits:
        """How values are typed in this flock."""
        return Habits(self.units, self.file.dates or "", bool(self.file.decimal_comma))

    @cached_property
    def factors(self) -> Factors:
        """The factors that bring lambs' weights to one footing: the flock's own, else the generic table."""
        return self.own_factors or generic_factors()

    @property
    def factors_file(self) -> str:
        """The path of the flock's own table in the notes folder, or "" where none is named or it lies outside."""
        name = normalize("NFC", (self.file.adjustment_factors or "").strip().replace("\\", "/"))
        path = normpath(name) if name else ""
        outside = path.startswith(("/", "../")) or path in ("", ".", "..") or ":" in path
        return "" if outside else path

    @cached_property
    def heritabilities(self) -> Heritabilities:
        """How much of each trait is inherited: the flock's own figures, else the published ones."""
        return merged(self.file.heritabilities)[0]

    @cached_property
    def chosen(self) -> dict[str, float]:
        """The rules of the group `choosing` that were read, by the names of their defaults; the first one counts."""
        found: dict[str, float] = {}
        for text in self.file.choosing:
            rule = read_choice(text)
            if rule is not None:
                found.setdefault(*rule)
        return found

    def typed_figure(self, name: str) -> Duration | float | None:
        """A figure as the shepherd set it, or None."""
        return self.chosen.get(name) if name.startswith(CHOOSING) else getattr(self.file, name)

    def figure(self, name: str) -> float:
        """A figure in the unit of its default: the shepherd's own, else the default."""
        typed = self.typed_figure(name)
        if typed is None:
            return DEFAULTS[name].value
        if isinstance(typed, Duration):
            return typed.hours / 24 if DEFAULTS[name].unit == "days" else typed.hours
        return float(typed)

    def source(self, name: str) -> str:
        """Where that figure comes from."""
        return "your own setting (flock.yaml)" if self.typed_figure(name) is not None else DEFAULTS[name].source


def read_choice(text: str) -> tuple[str, float] | None:
    """`helped births 2` as (`choosing_helped_births`, 2.0); None where it names no rule or no number."""
    match = re.fullmatch(r"([a-z][a-z -]*?)[ :=]+(\d{1,3}(?:\.\d{1,2})?)", " ".join(text.lower().split()))
    name = CHOOSING + re.sub(r"[ -]+", "_", match[1]) if match else ""
    return (name, float(match[2])) if match and name in DEFAULTS else None


def default_settings() -> Settings:
    """Settings of a folder that has no `flock.yaml`."""
    from compiler.schema import Origin

    return Settings(SettingsFile(origin=Origin("flock.yaml", "settings", {})))


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
    values, origin, more = decode_fields(source.path, flattened(fields), SettingsFile, Habits())
    settings = Settings(SettingsFile(origin=origin, **values), frozenset(values))
    return settings, (*told, *more, *wrong_heritabilities(settings))


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


def flattened(fields: Mapping) -> Mapping:
    """Fields with groups opened: `vet: {name: …, phone: …}` reads as `vet` and `vet phone`; `breed gestation: {Merino:
    150}` as a list.
    """
    from compiler.frontmatter import Sequence

    entries: list[Entry] = []
    for entry in fields.entries:
        if not isinstance(entry.value, Mapping):
            entries.append(entry)
            continue
        name = plain(entry.key.text)
        if name == "vet":
            for part in entry.value.entries:
                word = plain(part.key.text)
                entries.append(
                    Entry(
                        Scalar("vet" if word == "name" else f"vet {word}", part.key.line, part.key.column), part.value
                    )
                )
            continue
        items = tuple(
            Scalar(f"{part.key.text} {text_of(part.value)}", part.key.line, part.key.column)
            for part in entry.value.entries
        )
        entries.append(Entry(entry.key, Sequence(items, entry.value.line, entry.value.column)))
    return Mapping(tuple(entries), fields.line, fields.column)


def text_of(value: Node) -> str:
    """What stands behind a name inside a group: a value as typed; more than one value, which has no place there, in
    words that no setting takes, so that it is told and not lost.
    """
    return value.text if isinstance(value, Scalar) else "(several values)"


def settings_keys() -> dict[str, tuple[str, Key]]:
    """Every setting by its typed name, for the reference page."""
    from compiler.schema import declared_keys

    return declared_keys(SettingsFile)


__all__ = [
    "DEFAULTS", "RULES", "Any", "Default", "Settings", "default_settings", "read_settings", "settings_keys",
    "with_factors",
]  # fmt: skip


def zone_of(settings: Settings) -> ZoneInfo | None:
    """The settings' time zone, or None where it is missing or unknown."""
    try:
        return ZoneInfo(settings.file.timezone) if settings.file.timezone else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None
