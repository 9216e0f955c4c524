"""What can stand against a ewe: one to go where it meets the flock's rule in full, else one to watch."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import date
from enum import Enum

from compiler.shape import replace
from flockbook.derive.choosing.ewe_file import EweFile, EweReason, Instance
from flockbook.derive.health.cases import Case
from flockbook.derive.lambing.history import POOR_MILK, POOR_MOTHERING
from flockbook.derive.lambing.lambings import LambingFact
from flockbook.derive.plain.because import Because, Reason, Stated
from flockbook.records.breeding import HELP
from flockbook.records.check_line import CheckLine
from flockbook.records.event import Event
from flockbook.records.handling import Check
from flockbook.records.health import MASTITIS
from flockbook.records.trade import Cull

PROLAPSES, LAME = ("prolapse", "bearing"), ("lame", "foot rot", "footrot", "scald")
HARD, LUMP = "hard", "lump"
# A mouth that cannot graze as it should; "full", "ok" and teeth that tell the age are none (the trade's words).
BROKEN = re.compile(r"\b(broken|gap|gaps|gappy|missing|loose|short|worn|gone|no teeth|gummy)\b")
REPEATED = 2  # cases of lameness worth a word (our own choice)


class BirthField(Enum):
    """The field of a lambing note that a reason rests on."""

    HELP = "help"
    MOTHERING = "mothering"
    MILK = "milk"
    NO_HELP = "ewe"


class AtBirth(Reason):
    """What a birth's note says in a field: a word, or a score of 5."""

    season: int
    field: BirthField
    words: str
    score: float | None


class IllSince(Reason):
    """A case of illness from its first day."""

    problem: str
    since: date


class SeenAt(Reason):
    """What a check found on a day: a word with what was looked at, or its score."""

    words: tuple[str, ...]
    day: date
    score: float | None


def helped(file: EweFile) -> EweReason | None:
    """Births at which anybody had to help."""
    births = all_births(file)
    had = [birth for birth in births if birth.helped]
    if not had:
        return None
    told = tuple(Instance(birth.season, tuple(help_told(birth))) for birth in had)
    notes = tuple(birth_note(birth, BirthField.HELP, HELP[birth.help - 1]) for birth in had)
    return EweReason("helped", told, len(had), len(births), seasons_of(had), notes, file.met("helped_births", len(had)))


def help_told(birth: LambingFact) -> list[str]:
    """`hard, one leg back`."""
    lay = [line.lay_wrong for line in birth.event.lines if line.lay_wrong]
    return [HELP[birth.help - 1], *dict.fromkeys(lay)]


def bad_udder(file: EweFile) -> EweReason | None:
    """Mastitis, or an udder found hard, in how many years."""
    ill = [case for case in file.cases if MASTITIS in case.problem]
    found = [(note, line) for note, line in file.looks if line.udder == HARD]
    if not ill and not found:
        return None
    told = [Instance(case.since.year, words_of_case(MASTITIS, case)) for case in ill]
    told += [Instance(day_year(note), ("udder", *side(line))) for note, line in found]
    years = {case.since.year for case in ill} | {day_year(note) for note, _ in found}
    notes = (*map(case_note, ill), *(look_note(note, line, ("udder", *side(line))) for note, line in found))
    looked = years | {day_year(note) for note, line in file.looks if line.udder}
    full = file.met("mastitis", len(years))
    return EweReason("udder", tuple(told), len(years), len(looked), tuple(sorted(years)), notes, full)


def lumps(file: EweFile) -> EweReason | None:
    """A lump in the udder at the last looks, since it was last found sound."""
    looks = [(note, line) for note, line in file.looks if line.udder]
    since: list[tuple[Check, CheckLine]] = []
    for note, line in looks:
        since = [*since, (note, line)] if line.udder == LUMP else []
    if not since:
        return None
    told = tuple(Instance(day_year(note), ("udder", *side(line)), note.date) for note, line in since)
    notes = tuple(look_note(note, line, ("udder", *side(line))) for note, line in since)
    years = tuple(sorted({day_year(note) for note, _ in since}))
    return EweReason("lump", told, len(since), len(looks), years, notes, file.met("udder_lumps", len(since)))


def prolapse(file: EweFile) -> EweReason | None:
    """Prolapse, of whatever part."""
    ill = [case for case in file.cases if any(word in case.problem for word in PROLAPSES)]
    return of_cases(file, "prolapse", ill) if ill else None


def lameness(file: EweFile) -> EweReason | None:
    """Lameness; what came once, and is over, is named and no more."""
    ill = [case for case in file.cases if is_lameness(case)]
    slight = len(ill) < REPEATED and not any(case.open for case in ill)
    return replace(of_cases(file, "lameness", ill), slight=slight) if ill else None


def is_lameness(case: Case) -> bool:
    """Whether a case is one of lameness."""
    return any(word in case.problem for word in LAME)


def lame_by_words(file: EweFile) -> EweReason | None:
    """That a line calls her lame, and none since sound."""
    found = [item for item in file.all.lame if item.sheep == file.ewe.id]
    if not found:
        return None
    told = tuple(Instance(item.day.year if item.day else 0, (item.words,), item.day) for item in found)
    years = tuple(item.day.year for item in found if item.day)
    notes = tuple(Because(item.note, item.line, "lame", reason=Stated.AS_WRITTEN) for item in found)
    return EweReason("called lame", told, len(found), len(found), years, notes)


def other_illness(file: EweFile) -> EweReason | None:
    """Every illness that no other reason names; what is over is named and no more."""
    named = (MASTITIS, *PROLAPSES)
    ill = [case for case in file.cases if not is_lameness(case) and not any(word in case.problem for word in named)]
    slight = not any(case.open for case in ill)
    return replace(of_cases(file, "illness", ill), slight=slight) if ill else None


def of_cases(file: EweFile, rule: str, ill: list[Case]) -> EweReason:
    """Cases of one kind, of all her cases."""
    years = tuple(sorted({case.since.year for case in ill}))
    told = tuple(Instance(case.since.year, words_of_case(case.problem, case)) for case in ill)
    full = rule != "illness" and file.met(rule, len(ill))
    return EweReason(rule, told, len(ill), len(file.cases), years, tuple(map(case_note, ill)), full)


def mouth(file: EweFile) -> EweReason | None:
    """A broken mouth at its last look; one to go when her last condition was low too."""
    looks = [(note, line) for note, line in file.looks if line.mouth]
    scores = [(note, line) for note, line in file.looks if line.condition is not None]
    if not looks or not BROKEN.search(looks[-1][1].mouth or ""):
        return None
    note, line = looks[-1]
    mouth_words = ("mouth", line.mouth or "")
    told, notes, thin = [Instance(day_year(note), mouth_words)], [look_note(note, line, mouth_words)], False
    if scores:
        scored, condition = scores[-1]
        told.append(Instance(day_year(scored), ("condition",), scored.date, condition.condition))
        notes.append(look_note(scored, condition, ("condition",), condition.condition))
        thin = (condition.condition or 0.0) < file.all.limit("broken_mouth_below")
    bad = sum(bool(BROKEN.search(line.mouth or "")) for _, line in looks)
    return EweReason("mouth", tuple(told), bad, len(looks), (day_year(note),), tuple(notes), thin)


def barren(file: EweFile) -> EweReason | None:
    """Years at the ram with no lamb at all."""
    known = [year for year in file.years if year.empty is not None]
    empty = [year for year in known if year.empty]
    if not empty:
        return None
    years = tuple(year.season for year in empty)
    notes = tuple(note for year in empty for note in year.because)
    told = tuple(map(Instance, years))
    return EweReason("barren", told, len(empty), len(known), years, notes, file.met("barren_years", len(empty)))


def lost_all_years(file: EweFile) -> EweReason | None:
    """Years in which she lost every lamb, before birth or before weaning."""
    known = [year for year in file.years if year.births or year.aborted]
    lost = [year for year in known if year.lost_all]
    if not lost:
        return None
    told = tuple(Instance(year.season, early=bool(year.aborted)) for year in lost)
    notes = tuple(note for year in lost for note in year.because)
    years = tuple(year.season for year in lost)
    return EweReason("lost all", told, len(lost), len(known), years, notes, file.met("lost_all", len(lost)))


def mothering(file: EweFile) -> EweReason | None:
    """Births at which she was a poor mother, by the score."""
    scored = [birth for birth in all_births(file) if birth.event.mothering is not None]
    poor = [birth for birth in scored if (birth.event.mothering or 0) <= POOR_MOTHERING]
    if not poor:
        return None
    told = tuple(Instance(birth.season, (), None, birth.event.mothering) for birth in poor)
    notes = tuple(birth_note(birth, BirthField.MOTHERING, "", birth.event.mothering) for birth in poor)
    return EweReason(
        "mother", told, len(poor), len(scored), seasons_of(poor), notes, file.met("poor_mother", len(poor))
    )


def milk(file: EweFile) -> EweReason | None:
    """Births after which she had too little milk."""
    looked = [birth for birth in all_births(file) if birth.event.milk]
    short = [birth for birth in looked if birth.event.milk in POOR_MILK]
    if not short:
        return None
    told = tuple(Instance(birth.season, (birth.event.milk or "",)) for birth in short)
    notes = tuple(birth_note(birth, BirthField.MILK, birth.event.milk or "") for birth in short)
    return EweReason(
        "milk", told, len(short), len(looked), seasons_of(short), notes, file.met("short_milk", len(short))
    )


def few_weaned(file: EweFile) -> EweReason | None:
    """Fewer lambs weaned a year than the flock wants; by itself never a reason to go."""
    told = [year for year in file.years if year.known]
    weaned = sum(year.weaned or 0 for year in told)
    if not told or weaned >= file.all.limit("weaned_a_year") * len(told):
        return None
    notes = tuple(note for year in told for note in year.because)
    return EweReason("few weaned", (), weaned, len(told), tuple(year.season for year in told), notes)


def marked_to_go(file: EweFile) -> EweReason | None:
    """The shepherd's own note that she goes."""
    notes = [note for note in file.notes if isinstance(note, Cull)]
    if not notes:
        return None
    last = notes[-1]
    told = (Instance(day_year(last), (last.why,) if last.why else (), last.date),)
    because = tuple(marked_step(note) for note in notes)
    years = tuple(sorted({day_year(note) for note in notes}))
    return EweReason("marked to go", told, len(notes), len(notes), years, because, full=True)


AGAINST: tuple[Callable[[EweFile], EweReason | None], ...] = (
    marked_to_go, bad_udder, prolapse, mouth, helped, barren, lost_all_years, mothering, lumps, milk, lameness,
    lame_by_words, other_illness, few_weaned,
)  # fmt: skip


# Words and places


def all_births(file: EweFile) -> list[LambingFact]:
    """Her births in order."""
    return [birth for year in file.years for birth in year.births]


def seasons_of(births: Iterable[LambingFact]) -> tuple[int, ...]:
    """The seasons of some births."""
    return tuple(dict.fromkeys(birth.season for birth in births))


def birth_note(birth: LambingFact, field: BirthField, words: str = "", score: float | None = None) -> Because:
    """The place in a lambing note."""
    origin = birth.event.origin
    line = origin.span(field.value).line or origin.span("ewe").line
    return Because(birth.note, line, "lambing", reason=AtBirth(birth.season, field, words, score))


def case_note(case: Case) -> Because:
    """The note with which a case begins."""
    origin = case.notes[0].origin
    return Because(origin.path, origin.span("problem").line, "illness", reason=IllSince(case.problem, case.since))


def look_note(note: Check, line: CheckLine, words: tuple[str, ...], score: float | None = None) -> Because:
    """The line of a check."""
    assert note.date is not None
    return Because(note.origin.path, line.span.line, "check", reason=SeenAt(words, note.date, score))


def marked_step(note: Cull) -> Because:
    """The note that she goes, and why as it was typed."""
    line = note.origin.span("why").line
    return Because(note.origin.path, line, "marked to go", note.why or "", None if note.why else Stated.SHE_GOES)


def side(line: CheckLine) -> tuple[str, ...]:
    """`hard`, `left`."""
    return tuple(word for word in (line.udder, line.udder_side) if word)


def words_of_case(problem: str, case: Case) -> tuple[str, ...]:
    """The trouble, and the side where one is written."""
    return (problem, case.side) if case.side else (problem,)


def day_year(note: Event) -> int:
    """The year of a note that has happened."""
    return (note.date or date.min).year
