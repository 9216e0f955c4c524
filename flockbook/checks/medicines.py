"""Medicines and courses that are not written down whole."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from compiler.book import Check
from compiler.diagnostics import Diagnostic, Grade, Rule
from compiler.source import Span
from flockbook.derive.medicine.dose_arithmetic import off_label_floor
from flockbook.derive.medicine.guard_rules import cure_of
from flockbook.derive.medicine.hold_reasons import LongerInWords, LongerWait, NamedAsWell
from flockbook.derive.medicine.medicines import longer_in_words, longer_wait, medicines_called
from flockbook.derive.medicine.periods import MEAT, MILK, label_periods, open_course, own_period
from flockbook.derive.medicine.troubles import general_trouble
from flockbook.derive.plain.because import Because, Reason
from flockbook.derive.plain.numbers import days_words
from flockbook.flock import happened
from flockbook.law import Topic, law
from flockbook.records.health import Treatment
from flockbook.records.labels import Withdrawal
from flockbook.records.sheep import Medicine
from flockbook.saying.because import words_of_reason
from flockbook.seen import Seen

UNKNOWN_MEDICINE = Rule(
    "M101", "unknown-medicine", Grade.ERROR, "Every product has a note with its label, so that its waiting period is "
        "known. Without it nobody treated is clear.",
    "---\nnote: treatment\nsheep: Bramble\nmedicine: moxydectin\n---\n",
)  # fmt: skip
MEDICINE_TWICE = Rule(
    "M102",
    "medicine-twice",
    Grade.ERROR,
    "Two notes on one product may give two waiting periods.",
    "two medicine notes called `levamisole oral`",
)
NO_PERIOD = Rule(
    "M103", "no-waiting-period", Grade.GAP, "The label's waiting period is not typed. A blank is not nought: whoever "
        "gets the product stays unknown.",
    "---\nnote: medicine\nname: levamisole oral\n---\n",
)  # fmt: skip
COURSE_OPEN = Rule(
    "M104", "course-open", Grade.GAP, "A planned course stays open, and its sheep unknown, until `given` lists all "
        "its days or `finished` names the last.", "days: 3\n"
)  # fmt: skip
OFF_LABEL = Rule(
    "M105", "off-label-unsigned", Grade.ERROR,
    "Off-label use needs a vet's order and a waiting period in writing. "
    "The label's own period does not count.",
    "off label: yes\n",
)  # fmt: skip
OFF_LABEL_SHORT = Rule(
    "M106", "off-label-period-short", Grade.WARNING,
    "Some countries' law sets the least period that a vet may write for use off the label; a shorter one is asked "
    "about where the flock's country has such a law. Your own law decides.",
    "off label: yes, vet: …, meat withdrawal: 28 days, where the label says 28 days",
)  # fmt: skip
WAIT_IN_WORDS = Rule(
    "M107", "longer-wait-in-words", Grade.GAP,
    "Words of a treatment, or of a medicine's note, tell of a longer waiting than is typed. Which of them holds nobody "
    "can say but who wrote it, so nobody is clear until the period is typed.",
    "`Vet says 56 days this time.` under a treatment whose label says 28 days",
)  # fmt: skip
DOSE_IN_DOUBT = Rule(
    "M108", "dose-in-doubt", Grade.ASK,
    "A treatment whose words, or whose days, tell of more than it writes: a second product, a further dose, a day that "
    "looks like a slip. Nobody can say from when to count, so nobody in it is clear until it is settled.",
    "`Penicillin as well.` under a treatment with oxytetracycline",
)  # fmt: skip
RULES = (
    UNKNOWN_MEDICINE, MEDICINE_TWICE, NO_PERIOD, COURSE_OPEN, OFF_LABEL, OFF_LABEL_SHORT, WAIT_IN_WORDS, DOSE_IN_DOUBT,
)  # fmt: skip
NOBODY_CLEAR = "nobody in this note is shown as clear to sell"


def treatment_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Unknown products, unsigned off-label use, open courses."""
    for event in seen.linked.of(Treatment):
        if event.medicine and not medicines_called(seen.linked, event.medicine):
            yield unknown_product(seen, event, event.medicine)
        signed = {"`vet`": event.vet, "`meat withdrawal`": own_period(event, MEAT)}
        if event.off_label and not all(signed.values()):
            missing = " and ".join(word for word, there in signed.items() if not there)
            cure = "add who ordered it and the period in writing"
            yield OFF_LABEL.at(event.origin.span("off_label"), f"off-label use without {missing}", cure, NOBODY_CLEAR)
        if open_course(event) and happened(event, seen.today):
            given = len({when.date for when in event.given})
            text = f"a course of {days_words(event.days or 0)} is open: {given} written as given"
            cure = "add `given: …` with every dose, or `finished: …`"
            yield COURSE_OPEN.at(event.origin.span("days"), text, cure, NOBODY_CLEAR)


def waits_told(seen: Seen) -> Iterator[Diagnostic]:
    """Treatments, and medicines, whose words tell of a longer waiting than is typed: who got it is not clear (V11)."""
    for event in seen.linked.of(Treatment):
        wait = longer_wait(seen.linked, event) if event.meat_withdrawal is None else ""
        if wait:
            cure = "type the longer period in this note as the vet or the label has it: `meat withdrawal: … days`"
            text = f"{event.medicine or 'this treatment'}: {words_of_reason(LongerWait(wait))}"
            yield WAIT_IN_WORDS.at(event.origin.span("medicine"), text, cure, NOBODY_CLEAR)
    for medicine in seen.collection.of(Medicine):
        if longer := longer_in_words(medicine):
            text = words_of_reason(LongerInWords(medicine.name or "", longer))
            cure = "type the longer period in the medicine's note, or take the sentence out"
            yield WAIT_IN_WORDS.at(medicine.origin.span("name"), text, cure, NOBODY_CLEAR)


def doses_in_doubt(seen: Seen) -> Iterator[Diagnostic]:
    """Treatments whose days, or whose words, leave it in doubt what was given and when (V9, V11)."""
    for event in seen.linked.of(Treatment):
        found = general_trouble(seen.linked, event, MEAT, seen.today) if holds_somebody(seen, event) else None
        if found is None or not isinstance(found.reason, Reason):
            continue
        if found.rule != "V9" and not isinstance(found.reason, NamedAsWell):
            continue
        cure = cure_of(found.rule, MEAT)
        if isinstance(found.reason, NamedAsWell):
            word = found.reason.product
            done = word.endswith("ed")  # `Drenched while in`
            what, none = ("what it was", f"Not {word.lower()}.") if done else (f"`{word}`", f"No {word}.")
            cure = f"write a treatment with {what} for the same sheep too, or here `{none}` in its place"
        yield DOSE_IN_DOUBT.at(words_at(event, found), words_of_reason(found.reason), cure, NOBODY_CLEAR)


def holds_somebody(seen: Seen, event: Treatment) -> bool:
    """Whether a treatment that was given is one of sheep that are still here."""
    answers = seen.linked.concerned.get(event.origin.path)
    dosed = answers.dosed if answers and happened(event, seen.today) else ()
    return any(seen.linked.animals[sheep].left is None for sheep in dosed)


def words_at(event: Treatment, found: Because) -> Span:
    """Where a treatment says what is in doubt: the words, where they can be found; else the day of the dose."""
    product = found.reason.product.casefold() if isinstance(found.reason, NamedAsWell) else ""
    for cell in event.origin.rest if product else ():
        if (start := cell.text.casefold().find(product)) >= 0:
            return Span(cell.path or event.origin.path, cell.line, cell.column + start, len(product))
    return event.origin.span("given" if event.given else "medicine")


def off_label_periods(seen: Seen) -> Iterator[Diagnostic]:
    """Periods that a vet wrote for use off the label and that are shorter than the law of the country has it."""
    if law(seen.settings.file.country or "", Topic.OFF_LABEL_LEAST) is None:
        return
    for event in seen.linked.of(Treatment):
        for product in (MEAT, MILK) if event.off_label and not event.sure else ():
            labels = label_periods(medicines_called(seen.linked, event.medicine), product)
            written = own_period(event, product)
            longest = max((hours_of(label) for label in labels if label and not label.never), default=0.0)
            if written and not written.never and hours_of(written) < off_label_floor(longest):
                words = f"{product} {written.text} is less than half as long again as the label's longest period"
                cure = "read the vet's letter again and ask; `sure: yes` if it says so"
                yield OFF_LABEL_SHORT.at(event.origin.span(f"{product}_withdrawal"), words, cure)


def hours_of(period: Withdrawal) -> float:
    """A period in hours."""
    return period.hours if period.hours is not None else (period.days or 0) * 24.0


def unknown_product(seen: Seen, event: Treatment, medicine: str) -> Diagnostic:
    """A product that no note describes, and those that are called nearly so: by its first word, since many products
    end alike, and another product has another waiting period.
    """
    known = sorted(item.name for item in seen.collection.of(Medicine) if item.name)
    first = medicine.casefold().split()[:1]
    alike = [name for name in known if get_close_matches(name.casefold().split()[0], first)]
    near = get_close_matches(medicine, alike, n=2)
    cure = f"did you mean `{'` or `'.join(near)}`?" if near else "write a medicine note with what its label says"
    words = f"there is no medicine called `{medicine[:60]}`"
    return UNKNOWN_MEDICINE.at(event.origin.span("medicine"), words, cure, NOBODY_CLEAR)


def product_faults(seen: Seen) -> Iterator[Diagnostic]:
    """Products written twice, or without their period."""
    for notes in seen.linked.medicines.values():
        for other in notes[1:]:
            yield MEDICINE_TWICE.at(
                other.origin.span("name"), f"`{other.name}` has a note already "
                    f"({notes[0].origin.path})", "keep one of the two",
                "nobody who got it is shown as clear to sell", (notes[0].origin.span("name"),),
            )  # fmt: skip
        for medicine in notes:
            if medicine.meat_withdrawal is None and "meat_withdrawal" not in medicine.origin.broken:
                yield NO_PERIOD.at(
                    medicine.origin.span("name"), f"no meat withdrawal is typed for `{medicine.name}`",
                    "read the label and add `meat withdrawal: …` (`none` where it says so)", "whoever gets it is "
                        "shown as unknown",
                )  # fmt: skip


CHECKS = (
    Check("treatments", treatment_faults), Check("off-label periods", off_label_periods),
    Check("medicines", product_faults), Check("waits told in words", waits_told),
    Check("doses in doubt", doses_in_doubt),
)  # fmt: skip
