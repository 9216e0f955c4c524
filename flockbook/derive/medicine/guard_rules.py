"""The rules W1 to W13 in words, and what to type where one of them leaves a date unknown.

Whom a dose concerns stands in the rules V1 to V14, `flockbook/whom/rules.py`.
"""

from __future__ import annotations

UNTIL_WHEN = {
    "W1": "The time of the last dose is known: clear from that moment plus the period, a day being a full 24 hours.",
    "W2": "Only the day is known: the dose counts as given at the end of that day, so one day is added and a first "
    "clear date is named.",
    "W3": "A period typed as 0 or `none` holds nobody.",
    "W4": "After several medicines the latest release counts, meat and milk apart.",
    "W5": "The clock starts at the last dose really given. A planned course that is not written as finished names no "
    "date: unknown.",
    "W6": "No period typed, a product without a note, a date that cannot be read: unknown, never clear.",
    "W7": "A product that is not for milk: milk unknown until the vet says otherwise. There is nothing to mend, so the "
    "book says to ask the vet. Milk is asked about only where a sheep could be milked: a female, or one whose sex is "
    "not written, and no lamb.",
    "W8": "Milk: every milking after the dose and up to the limit is thrown away, the one at exactly the limit too.",
    "W9": "Off the label, or given another way, in another dose or to a younger animal than the label says: a vet's "
    "name and a written period are needed, else unknown.",
    "W10": "Hours stay hours. Times are local time by the clock. Whatever has to be rounded is rounded up. Without a "
    "`timezone` in flock.yaml an hour is added wherever clocks go forward in some land meanwhile.",
    "W11": "A treatment or a medicine note that cannot be read whole: every sheep that it could concern is unknown "
    "until it is mended; where it cannot be told whom it concerns, that is the whole flock. Two sheep for whom one tag "
    "is written hold each other.",
    "W12": "A lamb that may be sucking a ewe held for meat or for milk is shown with the question, on every list. It "
    "is not held by it. Where no note weans it, it may suck until it is 180 days old.",
    "W13": "An organic sheep waits by the flock's own `organic withdrawal` (flock.yaml), which can only lengthen the "
    "period of the label or the vet. Without it nothing is longer; one that cannot be read leaves it unknown.",
}
IN_THE_PROBLEMS = "mend what could not be read there; the page of problems shows the place"
CURES = {
    "W5": "write every dose under `given`, or the last one as `finished`",
    "W6": "type `{product} withdrawal` from the label into the medicine's own note",
    "W7": "",
    "W9": "ask the vet, and write `vet` and `{product} withdrawal` into the treatment",
    "W13": "mend `organic withdrawal` in flock.yaml",
    "V9": "write every dose under `given`, or add `dates sure: yes`",
    "V11": "mend the medicine's own note, or write a treatment for each product",
}


NO_MEDICINE = "mend the name of the medicine, or write its own note with the periods from the label"


def cure_of(rule: str, product: str, noted: bool = True) -> str:
    """What to type where a rule leaves it unknown until when a product is held; "" where only the vet can say. `noted`:
    the medicine has a note of its own.
    """
    if rule == "W6" and not noted:
        return NO_MEDICINE
    return CURES.get(rule, IN_THE_PROBLEMS).format(product=product)
