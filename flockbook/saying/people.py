"""What people must know of a disease that they can catch, and of lambs lost before their time."""

from __future__ import annotations

import re
from collections.abc import Iterator

from compiler.shape import Value
from flockbook.derive.plain.days import day_words
from flockbook.derive.plain.intervals import Share
from flockbook.derive.plain.numbers import plural
from flockbook.derive.year.early_losses import LOSS_STORM, USUAL_LOSS, EarlyLoss
from flockbook.law import births_source
from flockbook.measures import in_hundred
from flockbook.regional import local


class Risk(Value):
    """A warning to people: its heading, its sentences, and who says so."""

    head: str
    lines: tuple[str, ...]
    source: str


AFTER_LOSS = Risk(
    "People at risk: this can harm an unborn child",
    (
        "Anyone who is or may be pregnant keeps away from her, from lost and newborn lambs, afterbirth and bedding, "
        "and from clothes and boots worn there. After contact, or with a fever, see a doctor at once and tell of the "
        "sheep.",
        "Everybody else: gloves, wash hands and arms, neither eat nor drink in the pen; wash the clothes hot.",
    ),
    "",
)
SKIN = Risk(
    "People can catch this through the skin",
    (
        "Gloves, wash hands and arms after every touch, cover cuts, keep it from children's faces. With a sore or a "
        "ring on the skin see a doctor, and tell of the sheep.",
    ),
    "common practice, no source",
)
GUT = Risk(
    "Some causes of scour in lambs make people ill",
    ("Gloves, wash before eating and drinking; children, and whoever is ill or pregnant, keep away from the pen.",),
    "common practice, no source",
)
OF_BIRTHS = re.compile(r"\babort|\bslipp?ed (?:her )?lamb|\bstill ?birth|\bstill ?born|\benzootic", re.I)
OF_THE_SKIN = re.compile(r"\borf\b|\b(?:scabby|sore) ?mouth\b|\bring ?worm\b", re.I)
OF_THE_GUT = re.compile(r"\bscour|\bwatery mouth\b|\bdiarrhoe?a", re.I)


def risk_source(risk: Risk) -> str:
    """Who says so; of births an authority of the flock's own country."""
    return risk.source or births_source()


def risks(problem: str, of_lamb: bool) -> tuple[Risk, ...]:
    """What people must know beside a case of illness; scour only of a lamb."""
    words = ((OF_BIRTHS, AFTER_LOSS), (OF_THE_SKIN, SKIN), *(((OF_THE_GUT, GUT),) if of_lamb else ()))
    return tuple(risk for pattern, risk in words if pattern.search(problem))


# A loss before its time


def apart_until_words(loss: EarlyLoss) -> str:
    """Until when she is kept apart."""
    until = day_words(loss.apart_until)
    why = "by her note" if loss.event.isolated_until else "three weeks at least (Severn Edge Vets), or as your vet says"
    return f"Keep her apart until {until}: {why}. What stood, lay or was born with her stays apart too."


def sample_words(loss: EarlyLoss) -> str:
    """What goes to the laboratory, what went, or what it found."""
    if loss.event.result:
        return f"The laboratory found: {loss.event.result}. Ask your vet what that asks of you and of the others."
    if loss.event.sent:
        return f"Sent to the laboratory: {loss.event.sample}. Ask your vet for the answer before the others lamb."
    return (
        f"{local('Ring your vet')} before anything is thrown away: the lamb and the afterbirth, clean, cool and well "
        "wrapped, go to the laboratory that your vet names. Then write “sample: …” into her note."
    )


def loss_rate_words(rate: Share, season: int) -> str:
    """How often it happened, against what is called usual."""
    if rate.value is None or rate.low is None or rate.high is None:
        return local("How many are in lamb is not known.")
    of = local(f"{rate.count} of {plural(rate.of, 'ewe')} that may have been in lamb for {season}")
    low, high = in_hundred(rate.low, 1), in_hundred(rate.high, 1)
    share = f"{in_hundred(rate.value, 1)} in 100; by chance anything from {low} to {high} fits"
    return f"{of} ({share}). {against_usual(rate)}"


def against_usual(rate: Share) -> str:
    """A share against the published bounds."""
    share, bound = rate.value or 0.0, f"{USUAL_LOSS * 100:.0f} in 100"
    if share > LOSS_STORM and rate.count > 1:
        storm = f"over {LOSS_STORM * 100:.0f} in 100 is called a storm"
        return f"More than {bound} is more than usual (Severn Edge Vets), {storm}: {local('ring your vet')} today."
    if share <= USUAL_LOSS:
        return f"Up to {bound} is usual (Severn Edge Vets); every one is worth your vet's look all the same."
    few = " In so small a flock one alone is more." if rate.count == 1 else ""
    return f"More than {bound} is more than usual (Severn Edge Vets).{few}"


def company_words(loss: EarlyLoss, ground: str) -> str:
    """With whom she stood."""
    where = f"on {ground}, on that day or since" if ground else "in her mob; no note says on which ground"
    if not loss.carrying and not loss.others:
        return f"Nobody stood with her {where}." if ground else "No note says where she stood or with whom."
    many = f"{plural(len(loss.carrying), 'ewe')} that may be in lamb" if loss.carrying else "no ewe that is in lamb"
    carrying = local(many)
    more = f", and {plural(len(loss.others), 'other')}" if loss.others else ""
    told = "Watch them; move none of them among other ewes before your vet says so."
    return f"With her {where}: {carrying}{more}. {told}"


def steps(loss: EarlyLoss) -> Iterator[str]:
    """What is to be done while it is fresh."""
    yield apart_until_words(loss)
    yield sample_words(loss)
    yield "Foster no lamb onto her before your vet knows the cause (common practice)."
    yield "Whether your authority must be told is a rule of your country: ask your vet."


def lost_in_a_line(loss: EarlyLoss) -> str:
    """lost her lambs, 32 days before her time."""
    many = f"lost {plural(loss.event.lambs, 'lamb')}" if loss.event.lambs else "lost her lambs"
    return f"{many}, {plural(loss.before_due, 'day')} before her time" if loss.before_due else f"{many} before her time"
