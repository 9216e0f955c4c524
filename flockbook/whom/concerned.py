"""The three answers for every note and file: who was dosed, who perhaps, and who not at all (V1 to V14).

Two passes: first who there is and who stood where, unread notes included; then every naming is judged against that.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from compiler.collection import TWO_HEADS, Hole
from compiler.diagnostics import Diagnostic
from compiler.shape import replace
from flockbook.flock import Concerned, Doubt, Flock, Subjects
from flockbook.naming import CORRECTION_LACKS
from flockbook.records.health import Treatment
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of
from flockbook.whom.answers import Course
from flockbook.whom.days import days_in
from flockbook.whom.dosing_words import DONE, TO_DO
from flockbook.whom.elsewhere import doses_told
from flockbook.whom.followed import followed
from flockbook.whom.holes import judge_hole
from flockbook.whom.identities import perhaps_one, tags_half_read, tags_of_a_litter
from flockbook.whom.inbox import LINE_FILES, doses_jotted
from flockbook.whom.judging import Verdict
from flockbook.whom.known import Known
from flockbook.whom.lexicon import SHEEP, Bearer, lexicon_of
from flockbook.whom.medicine_sorts import all_names
from flockbook.whom.other_files import judge_other
from flockbook.whom.products import Products, products_of
from flockbook.whom.reader import freed_by
from flockbook.whom.told_texts import speaks
from flockbook.whom.treatments import judge, window_of
from flockbook.whom.unsure import unsure_stays
from flockbook.whom.whereabouts import present, whereabouts_of


def concern(flock: Flock, clock: date) -> tuple[Flock, tuple[Diagnostic, ...]]:
    """The flock with whom each note concerns, and everything that is to be said of it. `clock` is the day on which the
    program runs, or that it is asked about if that is later: a note dated after it is ahead of its time.
    """
    known = known_of(flock, clock)
    found: dict[str, Concerned] = {}
    told: list[Diagnostic] = []
    for event in flock.collection.of(Treatment):
        answers, verdict = judge(known, event)
        found[event.origin.path] = answers
        told += verdict.told if event.origin.path not in flock.struck else ()
    found, lacking = with_corrections(known, found)
    for hole in flock.collection.holes:
        if is_form(hole):
            continue
        two = hole.reason.code == TWO_HEADS.code
        speaks_of_one = hole.kind not in ("treatment", "medicine", "") and tells_of_a_dose(hole, known.products)
        other_kind = hole.kind == "medicine" and bool(hole.typed.keys() & ONLY_OF_DOSES)
        if speaks_of_one or (
            hole.guarded and (two or other_kind or (hole.kind != "medicine" and not of_a_medicine(hole)))
        ):
            found[hole.path] = judge_hole(known, hole, found)
        elif hole.kind == "medicine" and told_below(hole, known.products):
            found[hole.path] = replace(judge_hole(known, hole, found), everybody=())
    for answers, verdict in told_elsewhere(known, found):
        found[answers.path] = answers
        told += verdict.told
    found = with_those_seen(known, found)
    return settled(known.flock, found), (*told, *lacking)


def with_those_seen(known: Known, found: dict[str, Concerned]) -> dict[str, Concerned]:
    """A doubt about everybody of some days reaches whoever another treatment names on them, also a sheep that by the
    other notes came later: a purchase may be written down days after.
    """
    seen = [(window_of(answers.event), sheep) for answers in found.values() if isinstance(answers.event, Treatment)
            for sheep in answers.dosed]  # fmt: skip
    early = [(days, sheep) for days, sheep in seen if not present(known.animal(sheep), days)]
    for path, answers in found.items() if early else ():
        more = {
            sheep: every.doubt
            for every in answers.everybody
            for days, sheep in early
            if days.meets(every.first, every.last) and sheep not in answers.dosed
        }
        found[path] = replace(answers, doubtful={**more, **answers.doubtful}) if more else answers
    return found


def known_of(flock: Flock, clock: date) -> Known:
    """The finished lexicon and whereabouts of a flock."""
    lexicon = lexicon_of(flock)
    half = (*tags_half_read(flock, lexicon), *tags_of_a_litter(flock))
    for sheep, tag in half:
        lexicon.add(tag, Bearer(SHEEP, sheep), tag=True)
    one = tuple(perhaps_one(flock, lexicon))
    flock = replace(flock, tags_half_read=half, perhaps_one=one) if half or one else flock
    flock = replace(flock, products=products_of(flock))
    first = Known(flock, lexicon, whereabouts_of(flock, lexicon, ()), clock, flock.products)
    unsure = tuple(unsure_stays(first))
    places = whereabouts_of(flock, lexicon, unsure) if unsure else first.places
    return replace(first, places=followed(places, flock, lexicon))


MEDICINES_OWN = frozenset(
    {
        "name",
        "active",
        "strength",
        "label rate",
        "meat withdrawal",
        "milk withdrawal",
        "source",
        "checked",
        "pack",
        "group",
        "expires",
        "batch",
        "form",
        "route",
        "kind",
        "label minimum",
        "minimum age",
    }
)
OF_DOSES = frozenset(
    {
        "sheep",
        "mob",
        "ewe",
        "ewes",
        "lamb",
        "lambs",
        "ram",
        "dose",
        "given",
        "medicine",
        "days",
        "finished",
        "who",
        "date",
    }
)


ONLY_OF_DOSES = OF_DOSES - {"ewe", "ram", "lamb", "dose", "medicine", "days", "date", "who"}


EMPTY_FORMS = re.compile(r"(?<![a-z])(?:templates?|forms?|blanks?|patterns?)(?![a-z])", re.I)


def is_form(hole: Hole) -> bool:
    """Whether a note that cannot be read is an empty form: called one, no day in its name, and nothing typed (V7)."""
    typed = any(text.strip() for key, text in hole.typed.items() if key not in ("note", "kind", "subject"))
    said = any(cell.sort != "head" and cell.text.strip() for cell in hole.lines)
    dated = next(days_in(hole.path), None) is not None
    called = EMPTY_FORMS.search(hole.path) is not None
    return called and not (typed or said or dated or hole.typed.get("subject", "").strip())


def of_a_medicine(hole: Hole) -> bool:
    """Whether a note whose kind was lost is plainly one on a medicine: it says a name and a period, and nobody and no
    day. Whoever had that medicine is held by it, and nobody else.
    """
    typed = {key for key, text in hole.typed.items() if text} - {"subject"}
    withdrawal = any("withdrawal" in key for key in typed)
    return not hole.kind and withdrawal and "name" in typed and not typed & OF_DOSES and typed <= MEDICINES_OWN


def tells_of_a_dose(hole: Hole, products: Products) -> bool:
    """Whether a note of another kind that cannot be read speaks of a medicine or an amount of one (V8, V13)."""
    done = DONE.search(hole.text) is not None and TO_DO.search(hole.text) is not None
    return done or "medicine" in hole.typed or speaks(hole.text, products)


def told_below(hole: Hole, products: Products) -> bool:
    """Whether the words below the head of a medicine note that cannot be read speak of a dose (V8)."""
    return any(cell.sort != "head" and speaks(cell.text, products) for cell in hole.lines)


# Corrections


def with_corrections(known: Known, found: dict[str, Concerned]) -> tuple[dict[str, Concerned], list[Diagnostic]]:
    """A struck treatment holds nobody but those, or the later day, that the note in its place lacks (V10)."""
    told: list[Diagnostic] = []
    for old, new in known.flock.struck.items():
        if old in found:
            found[old], more = lacking(known, found[old], found.get(standing(known.flock, new)))
            told += more
            if new in found and found[old].doubtful:
                found[new] = replace(found[new], doubtful={**found[old].doubtful, **found[new].doubtful})
    return found, told


def standing(flock: Flock, path: str) -> str:
    """The note that stands at the end of a row of corrections; what one between them freed it must free again."""
    seen = {path}
    while (later := flock.struck.get(path)) and later not in seen:
        seen.add(later)
        path = later
    return path


def lacking(known: Known, old: Concerned, new: Concerned | None) -> tuple[Concerned, list[Diagnostic]]:
    """What a correction lacks of the note that it replaces."""
    event, other = old.event, new.event if new else None
    if new is None or not isinstance(event, Treatment) or not isinstance(other, Treatment):
        return replace(old, dosed=(), at_foot=frozenset(), doubtful={}, everybody=()), []
    later = last_day(event) > last_day(other)
    answered = freed_by(Verdict(known, other.origin.path, window_of(event)), other.not_dosed)
    kept = set() if later else {*new.dosed, *new.doubtful}
    perhaps = [sheep for sheep, doubt in old.doubtful.items() if not answers_doubt(new, old, doubt)]
    missing = [sheep for sheep in (*old.dosed, *perhaps) if sheep not in kept | answered]
    if not missing:
        return replace(old, dosed=(), at_foot=frozenset(), doubtful={}, everybody=()), []
    names = ", ".join(known.called(sheep) for sheep in missing[:4]) + (" …" if len(missing) > 4 else "")
    what = "has a later last day" if later else f"also names {names}"
    cure = f"add them here, or write `not dosed: {names}`"
    span = other.origin.span("corrects")
    doubt = Doubt(
        "V10", old.path, event.origin.span("sheep").line, f"the note that {new.path} corrects {what}", cure, asked=True
    )
    message = CORRECTION_LACKS.at(span, f"the note that this one corrects {what}", cure, also=(event.origin.span(),))
    return replace(old, dosed=(), at_foot=frozenset(), doubtful=dict.fromkeys(missing, doubt), everybody=()), [message]


def answers_doubt(new: Concerned, old: Concerned, doubt: Doubt) -> bool:
    """Whether a correction answers a doubt of the note that it replaces: words that named nobody, since it says whom
    they meant; words for one of several, if it names one of these.
    """
    if doubt in [every.doubt for every in old.everybody]:
        return True
    several = {sheep for sheep, other in old.doubtful.items() if other == doubt} | set(old.dosed)
    return doubt.one_of and not several.isdisjoint(new.dosed)


def last_day(event: Treatment) -> date:
    """The last day on which a dose was written as given."""
    return max((when.date for when in event.doses), default=date.min)


# Elsewhere


def told_elsewhere(known: Known, found: Mapping[str, Concerned]) -> Iterator[tuple[Concerned, Verdict]]:
    """Doses told in notes of other kinds and in files that are no notes (V7, V8)."""
    treated: dict[str, list[Course]] = {}
    for answers in found.values():
        if isinstance(answers.event, Treatment) and answers.path not in known.flock.struck:
            window, medicine = window_of(answers.event), key_of(answers.event.medicine or "")
            route = answers.event.route or ""
            free = bool(notes := known.flock.medicines.get(medicine, ())) and all(
                asks_no_waiting(note) for note in notes
            )
            for sheep in answers.dosed:
                dose = getattr(answers.own.get(sheep), "dose", None) or answers.event.dose
                course = Course(
                    window, medicine, dose.ml if dose else None, all_names(answers.event, notes), free,
                    route or route_of(notes),
                )  # fmt: skip
                treated.setdefault(sheep, []).append(course)
    courses_of = {sheep: tuple(courses) for sheep, courses in treated.items()}
    yield from doses_told(known, courses_of, known.flock.collection.records)
    yield from doses_jotted(known, courses_of, dict(found))
    for other in known.flock.collection.others:
        outcome = judge_other(known, other, dict(found)) if other.sort != LINE_FILES else None
        if outcome is not None:
            yield outcome


def route_of(medicines: Sequence[Medicine]) -> str:
    """How a medicine is given by its label, if its notes say one way."""
    routes = {medicine.route or "" for medicine in medicines}
    return routes.pop() if len(routes) == 1 else ""


def asks_no_waiting(medicine: Medicine) -> bool:
    """Whether a label asks for no waiting, for meat and for milk."""
    return all(period is not None and period.zero for period in (medicine.meat_withdrawal, medicine.milk_withdrawal))


# The flock with its answers


def settled(flock: Flock, found: dict[str, Concerned]) -> Flock:
    """Whom treatments are about, as pages show them: those surely dosed, but not lambs held only at foot."""
    subjects = dict(flock.subjects)
    for path, answers in found.items():
        if isinstance(answers.event, Treatment) and path not in flock.struck:
            shown = tuple(sheep for sheep in answers.dosed if sheep not in answers.at_foot)
            doubtful = None if answers.everybody else frozenset(answers.doubtful)
            before = subjects.get(path)
            subjects[path] = Subjects(shown, before.unresolved if before else (), doubtful)
    return replace(flock, subjects=subjects, concerned=found)
