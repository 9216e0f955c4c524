"""Lambs lost before their time: who is at risk, what is to be done, how often it happens, who stood with the ewe."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from compiler.book import PageMaker, Stamp
from compiler.pages import Link, Page
from compiler.shape import Value
from flockbook.derive.health.cases import Case
from flockbook.derive.plain.ages import may_be_lamb
from flockbook.derive.year.early_losses import EarlyLoss
from flockbook.law import births_source
from flockbook.pages.sections import Block, Look, Points, Section, SectionsView, Subhead, Whence
from flockbook.pages.views import Caution, Directory, Pair, RowView, Words, day, directory
from flockbook.pages.wording import day_words, plural
from flockbook.regional import local, local_all
from flockbook.saying.owed import names_words
from flockbook.saying.people import (
    AFTER_LOSS,
    Risk,
    apart_until_words,
    company_words,
    loss_rate_words,
    lost_in_a_line,
    risk_source,
    risks,
    sample_words,
    steps,
)
from flockbook.seen import Seen

PATH = "lost-before-their-time.html"
NO_ABORTION = "No abortion is written. One line would do: `2026-02-03 abortion Bramble.md`."


class RiskBox(Value):
    """What stands red on the first page: warnings to people, then a line for each sheep that they can catch it from;
    `line` is all of it in a line, for the hour in which a ewe or a lamb comes first, and `href` where it leads.
    """

    people: tuple[Caution, ...]
    rows: tuple[RowView, ...]
    count: str
    line: str
    href: str


def warning(risk: Risk) -> Caution:
    """A warning to people as it stands on a page."""
    return local_all(Caution(risk.head, risk.lines, risk_source(risk), grave=True))


def fresh_losses(seen: Seen) -> tuple[EarlyLoss, ...]:
    """Those whose ewe is still to be kept apart."""
    return tuple(loss for loss in seen.facts.year.early_losses if loss.fresh)


def risk_box(seen: Seen, tags: Directory) -> RiskBox | None:
    """The red box of the first page: ewes kept apart that lost lambs, then open cases that people can catch; None
    where there is neither.
    """
    lost = [
        RowView(tags.tag(loss.ewe), PATH, lost_in_a_line(loss), day(loss.day), loss_line(loss))
        for loss in fresh_losses(seen)
    ]
    ill = [case for case in seen.facts.health.cases.open if case_risks(seen, case)]
    cases = [RowView(tags.tag(case.sheep), "illness.html", case.problem, day(case.since), "open case") for case in ill]
    told = [*([AFTER_LOSS] if lost else []), *(risk for case in ill for risk in case_risks(seen, case))]
    rows = (*lost, *cases)
    if not rows:
        return None
    heads = tuple(map(warning, dict.fromkeys(told)))
    sheep = dict.fromkeys([*(loss.ewe for loss in fresh_losses(seen)), *(one.sheep for one in ill)])
    line = f"{names_words(seen.linked, sheep)}: {heads[0].head}"
    return RiskBox(heads, rows, str(len(rows)), line, PATH if lost else "illness.html")


def case_risks(seen: Seen, case: Case) -> tuple[Risk, ...]:
    """What people must know beside a case of illness, by its problem and its signs."""
    words = " ".join([case.problem, *(note.signs or "" for note in case.notes)])
    return risks(words, may_be_lamb(seen.linked.animals[case.sheep], seen.today.day))


def people_warned(seen: Seen, cases: Iterable[Case]) -> tuple[Caution, ...]:
    """The warnings of cases, each once."""
    found = (risk for case in cases if case.open for risk in case_risks(seen, case))
    return tuple(map(warning, dict.fromkeys(found)))


def loss_line(loss: EarlyLoss) -> str:
    """What is to be done, in a line."""
    sample = "the sample is sent" if loss.event.sent else local("ring the vet: lamb and afterbirth to the laboratory")
    so_far = local(f"{loss.rate.count} of {loss.rate.of} in lamb so far")
    return f"apart until {day_words(loss.apart_until)}; {sample}; {so_far}"


def sheep_warnings(seen: Seen, sheep: str) -> tuple[Caution, ...]:
    """The red boxes on one sheep's page: what it lost, and what people can catch from it."""
    lost = (loss_caution(loss) for loss in fresh_losses(seen) if loss.ewe == sheep)
    return (*lost, *people_warned(seen, seen.facts.health.cases.by_sheep.get(sheep, ())))


def loss_caution(loss: EarlyLoss) -> Caution:
    """The red box on the page of a ewe that is kept apart."""
    head = f"On {day_words(loss.day)} she {lost_in_a_line(loss)}"
    lines = (*AFTER_LOSS.lines, apart_until_words(loss), sample_words(loss), loss_rate_words(loss.rate, loss.season))
    return Caution(head, lines, f"{births_source()}; {loss.note}", grave=True)


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The page."""
    del stamp
    tags, found = directory(seen.linked, seen.today), seen.facts.year.early_losses
    fresh = fresh_losses(seen)
    sections = tuple(loss_section(seen, tags, loss) for loss in found)
    lead = f"{plural(len(fresh), 'ewe')} kept apart, {len(found)} in all." if found else NO_ABORTION
    view = SectionsView(lead, sections, tuple(top(seen, fresh)))
    yield Page(PATH, "sections.html", "Lost before their time", view, "Illness")


def top(seen: Seen, fresh: tuple[EarlyLoss, ...]) -> Iterator[Block]:
    """The warning to people, whom to ring, and how often."""
    yield warning(AFTER_LOSS)
    if fresh:
        vet, number = seen.settings.file.vet or "Your vet", seen.settings.file.vet_phone or "write the number here"
        yield Caution(f"{vet}: {number}", (loss_rate_words(fresh[0].rate, fresh[0].season),))


def loss_section(seen: Seen, tags: Directory, loss: EarlyLoss) -> Section:
    """One ewe's."""
    ground = seen.facts.land.grazing.ground.get(loss.ground)
    where = ground.name if ground else loss.ground
    look = Look(tuple(look_at_loss(tags, loss)))
    todo: tuple[Block, ...] = (Subhead("To do now"), Points(tuple(steps(loss)))) if loss.fresh else ()
    company: tuple[Block, ...] = (Subhead("Who stood with her"), company_words(loss, where))
    if loss.carrying:
        company = (*company, tags.tags(loss.carrying))
    head = f"{seen.linked.animals[loss.ewe].called_in_full}, {day_words(loss.day)}"
    body = (look, *todo, *company, Whence(loss.note))
    return Section(head, body, f"loss-{loss.ewe.lower()}-{loss.day.isoformat()}".replace(" ", "-"), broad=False)


def look_at_loss(tags: Directory, loss: EarlyLoss) -> Iterator[Pair]:
    """What is known of one, at a look."""
    yield Pair("Ewe", tags.tag(loss.ewe))
    yield Pair("Lost", day(loss.day) or "")
    if loss.before_due is not None:
        yield Pair("Before her time", plural(loss.before_due, "day"))
    if loss.event.lambs:
        yield Pair("Lambs", str(loss.event.lambs))
    yield Pair("Apart until", day(loss.apart_until) or "")
    yield Pair("Sample", Words(loss.event.sample or "none written"))
    if loss.event.result:
        yield Pair("The laboratory found", Words(loss.event.result), wide=True)
    yield Pair("How often", Words(loss_rate_words(loss.rate, loss.season)), wide=True)


PAGES = (PageMaker("early losses", make),)
# The way to it is on the page of illness, and on Today while it is red
NAVIGATION: tuple[Link, ...] = ()
