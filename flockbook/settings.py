"""The flock's settings as they are in force: what `flock.yaml` may say, and the default for everything left out."""

from __future__ import annotations

from decimal import Decimal
from functools import cached_property
from math import floor
from posixpath import normpath
from unicodedata import normalize
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from compiler.amounts import Duration, Weight
from compiler.schema import Context, Habits, Record, key
from compiler.shape import Value
from compiler.values import CHOICE, COUNT, FLAG, HOURS, NUMBER, SHARE, SPAN_OF_TIME, TEXT, WEIGHT
from flockbook.country_codes import VALID, country_code
from flockbook.factors import Factors, generic_factors
from flockbook.figures import CHOOSING, DEFAULTS, GESTATION, Figure, read_breed_length, read_choice
from flockbook.heritabilities import Heritabilities, merged
from flockbook.law import Topic, law
from flockbook.manner import UK, US, Manner
from flockbook.measures import Measures, measures_of
from flockbook.records.labels import LENGTHENING, Lengthening
from flockbook.records.prices import MONEY, Money
from flockbook.records.rations import INTAKE, Intake

MONEY_SORT, PEOPLE_SORT, BUYERS_SORT = PRIVATE_SORTS = ("money", "people", "buyers")  # what a shared book leaves out
WINDOW = ("shortest_gestation", "longest_gestation")


class SettingsFile(Record):
    """What may stand in `flock.yaml`."""

    flock: str | None = key("the flock's name", TEXT)
    units: str | None = key("metric or us: the unit of weights typed without one", CHOICE("metric", "us"))
    words: str | None = key("uk or us: whose words are printed; left out, those of the units", CHOICE(UK, US))
    currency: str | None = key("for example GBP", TEXT)
    dates: str | None = key("how `19/4` is meant, and days are printed", CHOICE("day-month", "month-day"))
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
    holding: str | None = key("holding number", TEXT, aliases=("premises",))
    records_kept: float | None = key("years that records must be kept", NUMBER)
    country: str | None = key(f"whose record rules apply: {VALID}", TEXT)
    conceive: float | None = key("chance to conceive at a heat", SHARE)
    no_cycle: float | None = key("share of ewes that do not cycle", SHARE)
    mark_seen: float | None = key("chance that a mating leaves a mark that is seen", SHARE)
    inbreeding_limit: float | None = key("the most inbreeding wanted in a lamb, as a share", SHARE)
    own_hours: float | None = key("own hours of work a year", HOURS)
    hour_worth: float | None = key("what an own hour is worth", NUMBER)
    intake: Intake | None = key("what a sheep eats in a day: hay as `1.8 kg`, or `2.5 %` of its weight", INTAKE)
    organic: str | None = key(
        "yes or converting, for sheep whose own note does not say", CHOICE("yes", "converting", "no")
    )
    organic_withdrawal: Lengthening | None = key(
        "how much longer organic sheep wait: `twice`, or `twice, at least 48 h`; it may only lengthen", LENGTHENING
    )
    loss_value: tuple[str, ...] = key(
        "what a lost sheep was worth, as `lamb 95`, `ewe 160`; left out, a lamb counts as the crop's mean price",
        TEXT,
        many=True,
    )
    neighbour: str | None = key("what else a neighbour must know every time", TEXT, aliases=("neighbor",))
    neighbour_water: str | None = key("for the neighbour: where water is turned off", TEXT)
    neighbour_feed: str | None = key("for the neighbour: what is fed, how much, where it stands", TEXT)
    neighbour_fence: str | None = key("for the neighbour: the fence, its switch", TEXT)
    neighbour_fuse: str | None = key("for the neighbour: the fuse box", TEXT)
    neighbour_dog: str | None = key("for the neighbour: the dog, gates, the key", TEXT)
    neighbour_decides: str | None = key("for the neighbour: who decides, and up to what cost", TEXT)
    neighbour_reach: str | None = key("for the neighbour: where to be reached", TEXT)
    by: tuple[str, ...] = key("who works with the sheep, by the names that `by` has in notes", TEXT, many=True)
    skip: tuple[str, ...] = key("folders and files that are not notes", TEXT, many=True)
    output: str | None = key("where the book is written", TEXT)
    history: str | None = key("git: the book tells when notes were changed, and by whom", CHOICE("git"))
    private: tuple[str, ...] = key(
        "what `compile --share` leaves out: money, people, buyers, or words of your own; left out, these three",
        TEXT,
        many=True,
    )
    targets: tuple[str, ...] = key("targets, such as `lambs weaned 1.5`", TEXT, many=True)
    adjustment_factors: str | None = key("a file in the notes folder with your own adjustment factors", TEXT)
    light_lamb: Weight | None = key("a lamb that weighs less at birth counts as light", WEIGHT)
    heavy_lamb: Weight | None = key("a lamb that weighs more at birth counts as heavy", WEIGHT)
    heritabilities: tuple[str, ...] = key("such as `birth weight 0.18`", TEXT, many=True)
    breed: str | None = key("the flock's own breed, for sheep whose note names none", TEXT)
    breed_gestation: tuple[str, ...] = key("length by breed, such as `Merino 150`", TEXT, many=True)
    years: int | None = key("how many seasons to compare", COUNT)
    choosing: tuple[str, ...] = key("who goes: a group such as `helped births: 2`; 0 only watches", TEXT, many=True)


# What a neighbour asks first: the setting that answers it, and the words that may stand for it in `neighbour`.
NEIGHBOUR_ASKS = {
    "neighbour_reach": ("reach", "reached", "phone"), "neighbour_decides": ("decides", "who decides"),
    "neighbour_feed": ("feed", "hay"), "neighbour_water": ("water",),
    "neighbour_fence": ("fence", "switch", "energiser", "energizer", "charger"), "neighbour_fuse": ("fuse", "fuse box"),
    "neighbour_dog": ("dog", "dogs", "gates", "gate", "key", "keys"),
}  # fmt: skip
LOSS_OF = {"lamb": "lamb", "lambs": "lamb", "ewe": "ewe", "ewes": "ewe", "ram": "ram", "rams": "ram"}


def read_loss(text: str, habits: Habits) -> tuple[str, Decimal] | None:
    """`lamb 95`, `ewe 160 each`, or `95` alone, which is a lamb's; None for what is no such thing."""
    head, _, rest = text.strip().partition(" ")
    of = LOSS_OF.get(head.lower().rstrip(":"))
    worth = MONEY.read((rest if of else text).strip(), Context(habits))
    plain = isinstance(worth, Money) and worth.basis in ("", "each")
    return (of or "lamb", worth.amount) if isinstance(worth, Money) and plain else None


class Settings(Value, dict=True):
    """The settings in force. `file` is what was typed."""

    file: SettingsFile
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
    def private(self) -> tuple[str, ...]:
        """What a shared book leaves out: as it is typed, else all that is known to be private."""
        return tuple(sort.strip() for sort in self.file.private if sort.strip()) or PRIVATE_SORTS

    @property
    def measures(self) -> Measures:
        """How the flock's figures are printed."""
        return measures_of(self.units)

    @property
    def currency(self) -> str:
        """The currency's code, or ""."""
        return self.file.currency or ""

    @cached_property
    def habits(self) -> Habits:
        """How values are typed in this flock."""
        return Habits(self.units, self.file.dates or "", bool(self.file.decimal_comma), self.currency)

    @cached_property
    def manner(self) -> Manner:
        """The manner in which the book speaks: the words asked for, else those of the units; days as they are typed."""
        words = self.file.words or (US if self.units == "us" else UK)
        month_first = self.file.dates == "month-day" if self.file.dates else words == US
        return Manner(words, month_first, self.file.country or "")

    @property
    def country(self) -> str:
        """The two letters of the flock's country, or "" where none is written or nobody knows it."""
        return country_code(self.file.country or "")

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

    @cached_property
    def breed_lengths(self) -> dict[str, float]:
        """The mean lengths of pregnancy typed for breeds, by the breed's folded name; the first one counts."""
        found: dict[str, float] = {}
        for text in self.file.breed_gestation:
            if length := read_breed_length(text):
                found.setdefault(*length)
        return found

    @cached_property
    def loss_values(self) -> dict[str, Decimal]:
        """What a lost sheep was worth, by what it was; the first figure of each counts."""
        found: dict[str, Decimal] = {}
        for text in self.file.loss_value:
            if worth := read_loss(text, self.habits):
                found.setdefault(*worth)
        return found

    @cached_property
    def answers(self) -> dict[str, str]:
        """The standing answers for a neighbour by their setting, in the order in which they are asked."""
        names = (*NEIGHBOUR_ASKS, "neighbour")
        return {name: text for name in names if (text := getattr(self.file, name))}

    def typed_figure(self, name: str) -> Duration | float | None:
        """A figure as the shepherd set it, or None."""
        return self.chosen.get(name) if name.startswith(CHOOSING) else getattr(self.file, name)

    def figure(self, name: str) -> float:
        """A figure in the unit of its default: the shepherd's own, else the default."""
        typed = self.typed_figure(name)
        if typed is None:
            return DEFAULTS[name].value + self.moved(name)
        return in_unit(typed, DEFAULTS[name])

    def moved(self, name: str) -> int:
        """The days by which a window that is not typed moves with the flock's own mean length of pregnancy."""
        return floor(self.figure("gestation") + 0.5) - round(GESTATION.value) if name in WINDOW else 0

    def source(self, name: str) -> str:
        """Where that figure comes from."""
        if self.typed_figure(name) is not None:
            return "your own setting (flock.yaml)"
        if name == "records_kept":
            return records_source(self.file.country or "")
        moved = f"; moved by {self.moved(name):+d} with your own mean (flock.yaml)" if self.moved(name) else ""
        return DEFAULTS[name].source + moved


def records_source(country: str) -> str:
    """Whose law the years are that records are kept."""
    found = law(country, Topic.MEDICINES_KEPT)
    own = f"{found.source}: {found.words}" if found else DEFAULTS["records_kept"].source
    return f"{own}; your own authority decides"


def in_unit(typed: Duration | float, figure: Figure) -> float:
    """A figure as it was typed, in the unit of its default."""
    if isinstance(typed, Duration):
        return typed.hours / 24 if figure.unit == "days" else typed.hours
    return float(typed)


def default_settings() -> Settings:
    """Settings of a folder that has no `flock.yaml`."""
    from compiler.schema import Origin

    return Settings(SettingsFile(origin=Origin("flock.yaml", "settings", {})))


def zone_of(settings: Settings) -> ZoneInfo | None:
    """The settings' time zone, or None where it is missing or unknown."""
    try:
        return ZoneInfo(settings.file.timezone) if settings.file.timezone else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return None
