"""Everything that is worked out, family by family."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property

from compiler.book import Moment
from compiler.diagnostics import Diagnostic
from compiler.shape import Value, field
from flockbook.derive.breeding.due import DueList, due_list
from flockbook.derive.breeding.forecast import forecast
from flockbook.derive.breeding.joining_dates import JoiningDates, joining_dates
from flockbook.derive.breeding.lambing_odds import Forecast
from flockbook.derive.breeding.mating import Matings, matings
from flockbook.derive.breeding.pregnancies import Evidence, evidence
from flockbook.derive.choosing.ewe_file import Testimony
from flockbook.derive.choosing.ewe_years import EweYears, Grounds, ewe_years
from flockbook.derive.choosing.ram_record import RamBook, ram_book
from flockbook.derive.choosing.reasons import Choice, choices
from flockbook.derive.family.family import Family, family
from flockbook.derive.family.merit_records import Known as Recorded
from flockbook.derive.family.merits import Merits
from flockbook.derive.farm.flock_register import FlockRegister, flock_register
from flockbook.derive.farm.head_counts import CountFact, head_counts
from flockbook.derive.farm.kit import Kit, kit
from flockbook.derive.farm.money import MoneyBook, money
from flockbook.derive.growth.adjusted_weights import Adjusted, adjusted_weights, grounds
from flockbook.derive.growth.ewe_efficiency import Reared, reared
from flockbook.derive.growth.own_effects import OwnEffects, own_effects
from flockbook.derive.growth.sale_weights import SaleWeight, sale_weights
from flockbook.derive.health.cases import Cases, cases
from flockbook.derive.health.worms import Worms, worms
from flockbook.derive.lambing.after_birth import OpenItem, Ward, open_items
from flockbook.derive.lambing.fosters import Fostering, fosterings
from flockbook.derive.lambing.history import histories
from flockbook.derive.lambing.labours import OpenLabour, limits_of, open_labours, zone_of
from flockbook.derive.lambing.lambings import LambingFact, lambing_facts
from flockbook.derive.lambing.looks import Night, nights
from flockbook.derive.lambing.newborns import Newborn, newborns
from flockbook.derive.lambing.patterns import Patterns, patterns
from flockbook.derive.land.grazing import Grazing, grazing
from flockbook.derive.medicine.cupboard import Cupboard, cupboard
from flockbook.derive.medicine.doses import DoseFact, dose_facts
from flockbook.derive.medicine.medicine_register import Entry, medicine_register
from flockbook.derive.medicine.withdrawal import Guard, guard
from flockbook.derive.season.compare import Comparisons, comparisons
from flockbook.derive.season.season_days import season_days
from flockbook.derive.season.seasons import Season, seasons
from flockbook.derive.weights.gains import Growth
from flockbook.derive.weights.sessions import Session, growth_and_sessions, slipped
from flockbook.derive.weights.weaning import weanings
from flockbook.derive.year.reminder import Known, Reminder
from flockbook.derive.year.reminders import reminders
from flockbook.flock import Flock
from flockbook.settings import Settings


class Facts(Value, dict=True):
    """All facts on one day. Each family is described in its own file."""

    matings: Matings = field(default_factory=Matings)
    joinings: tuple[JoiningDates, ...] = ()
    evidence: Evidence = field(default_factory=Evidence)
    due: DueList = field(default_factory=DueList)
    forecast: Forecast = field(default_factory=lambda: Forecast((), (), 0.0))
    labours: tuple[OpenLabour, ...] = ()
    nights: tuple[Night, ...] = ()
    newborns: tuple[Newborn, ...] = ()
    open_items: tuple[OpenItem, ...] = ()
    fosters: tuple[Fostering, ...] = ()
    fears: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    lambings: tuple[LambingFact, ...] = ()
    patterns: Patterns = field(default_factory=Patterns)
    doses: Mapping[tuple[str, str], DoseFact] = field(default_factory=dict)
    guard: Guard = field(default_factory=Guard)
    medicines: tuple[Entry, ...] = ()
    growth: Mapping[str, Growth] = field(default_factory=dict)
    adjusted: Mapping[str, Adjusted] = field(default_factory=dict)
    weaned_on: Mapping[str, date] = field(default_factory=dict)
    sessions: tuple[Session, ...] = ()
    reared: tuple[Reared, ...] = ()
    sale_weights: tuple[SaleWeight, ...] = ()
    seasons: tuple[Season, ...] = ()
    head_counts: tuple[CountFact, ...] = ()
    reminders: tuple[Reminder, ...] = ()
    grazing: Grazing = field(default_factory=Grazing)
    money: MoneyBook = field(default_factory=MoneyBook)
    kit: Kit = field(default_factory=Kit)
    register: FlockRegister = field(default_factory=FlockRegister)
    cases: Cases = field(default_factory=Cases)
    worms: Worms = field(default_factory=Worms)
    cupboard: Cupboard = field(default_factory=Cupboard)

    years: EweYears = field(default_factory=EweYears)
    choices: tuple[Choice, ...] = ()
    rams: RamBook = field(default_factory=RamBook)
    family: Family = field(default_factory=Family)
    merit: Merits = field(default_factory=Merits)

    @cached_property
    def own_effects(self) -> OwnEffects:
        """What dam's age, sex and rearing are worth here; worked out when first asked for, since it needs numpy."""
        return own_effects(self.adjusted)

    @cached_property
    def compare(self) -> Comparisons:
        """The seasons held against each other; worked out when first asked for, since its exact limits need scipy."""
        return comparisons(self.seasons)


def derive(flock: Flock, settings: Settings, today: Moment) -> tuple[Facts, tuple[Diagnostic, ...]]:
    """All facts of a flock at a moment."""
    found = matings(flock, settings, today)
    births = lambing_facts(flock, found, today)
    doses = dose_facts(flock)
    held = guard(flock, doses, today)
    grew, weighed = growth_and_sessions(flock, today)
    weaned = weanings(flock, today, slipped(weighed))
    lambed = seasons(flock, found, births, weaned, today)
    days = season_days(lambed)
    told = evidence(flock, today)
    awaited, grazed = due_list(flock, found, told, today), grazing(flock, today)
    zone = zone_of(settings)
    young = newborns(flock, births, zone, today)
    ward = Ward(flock, found, told, limits_of(settings), zone, today)
    ill, given = cases(flock, lambed, days, today), fosterings(flock, births, today)
    years = ewe_years(Grounds(flock, found, lambed, told, given, weaned, today))
    footing = grounds(flock, settings.factors, (grew, weaned, days), today)
    adjusted, kin = adjusted_weights(footing), family(flock, found, today)
    return Facts(
        family=kin,
        merit=Merits(kin, settings.heritabilities, Recorded(footing, adjusted, lambed, today)),
        matings=found,
        joinings=joining_dates(flock, found, today),
        evidence=told,
        due=awaited,
        forecast=forecast(awaited),
        labours=open_labours(flock, settings, today),
        nights=nights(flock, settings, (awaited, births), today),
        newborns=young,
        open_items=open_items(ward, births, young),
        fosters=given,
        fears=histories(flock, births, awaited.rows, today),
        lambings=births,
        patterns=patterns(flock, births),
        doses=doses,
        guard=held,
        medicines=medicine_register(flock, held, settings),
        growth=grew,
        adjusted=adjusted,
        weaned_on=weaned.days,
        sessions=weighed,
        reared=reared(footing),
        sale_weights=sale_weights(flock, grew, today),
        seasons=lambed,
        head_counts=head_counts(flock, today),
        reminders=reminders(flock, Known(settings, found, awaited, births, held, grazed), today),
        grazing=grazed,
        money=money(flock, settings, (found, births, lambed), today),
        kit=kit(flock, awaited, lambed, today),
        register=flock_register(flock, settings, today),
        cases=ill,
        worms=worms(flock, days, today),
        cupboard=cupboard(flock, doses, today),
        years=years,
        choices=choices(Testimony(flock, years, ill, weaned, grew, held, settings, today)),
        rams=ram_book(flock, lambed, weaned, today),
    ), ()
