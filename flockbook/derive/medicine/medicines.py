"""Which medicine notes a treatment rests on, and when they leave in doubt what was given (V11)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from math import inf

from compiler.nearness import clipped
from compiler.shape import Value
from flockbook.derive.medicine.hold_reasons import (
    LongerInWords,
    LongerWait,
    MedicineUnread,
    NamedAsWell,
    OtherFileUnused,
)
from flockbook.derive.medicine.waits_in_words import SENTENCE_OF_MEDICINE, lengths_told, wait_in_words
from flockbook.derive.plain.because import Reason
from flockbook.flock import Flock, name_and_strength
from flockbook.records.health import Treatment
from flockbook.records.labels import Withdrawal
from flockbook.records.sheep import Medicine
from flockbook.roll import key_of
from flockbook.whom.dosing_verbs import GIVEN_SO
from flockbook.whom.dosing_words import COLUMN, IN_ML, without_negations
from flockbook.whom.medicine_sorts import ANY_WAY, all_names, sorts_of, sorts_told
from flockbook.whom.products import SAYS_NO, Products, products_of, substances
from flockbook.whom.reader import WORDS_IN, words_of

# Another bottle without its name: `and 2 ml of the red bottle`.
OTHER_BOTTLE = re.compile(
    r"\b(?:and|also|plus|then) \d[\d.,]* ?(?:mls?|cc) of (?!(?:it|this|that|the same)\b)[^.\n]{2,30}"
    r"|\b(?:and|then|also) (?:wormed|drenched|injected)\b(?=[^.\n]{0,12}(?:[.\n]|$))"
    rf"|\b(?:then|also) (?:{GIVEN_SO}|vaccinated)\b"
    r"|\b(?:and|plus|also|then|vet gave) (?:\w+ ){0,2}(?:jabs?|injections?|pain ?killers?|pain ?relief|antibiotics?"
    r"|anti-?inflam\w*|steroids?|something)\b|\bin the vein\b|^\W*pain ?(?:relief|killer)\b"
    rf"|(?:^|[.!?]\s*)(?:anti-?inflam\w*|pain ?(?:relief|killer)|{GIVEN_SO}|vaccinated"
    r"|fluked|antibiotics?|vaccine|(?:an? )?(?:\w+ )?jab)"
    r"(?: \w+)? (?:too|as well|also|at the same time|likewise)\b",
    re.I | re.M,
)
SOMETHING_ELSE = re.compile(
    r"\b(?:wormed|drenche?d|dosed|poured|fluked|drench|wormer|antibiotics?|penicillin|pen"
    r"|oxytet\w*|steroid|pain ?relief)\b|^\W*(?:dipped|sprayed)\b(?! (?:navels?|cords?))|\bfly ?spray\b"
    r"|\b(?:injected|jabbed|gave|given)\b[^.\n]*\b(?:too|as well|also)\b|\b(?:a|her|his|their) jabs?\b",
    re.I | re.M,
)
PARTS_SAID = re.compile(r"[^.!?;\n]+")
# What is yet to be given, or was not: `Booster due in a month`, `no drench`.
YET_TO_COME = re.compile(
    r"\b(?:will|to be|should|must|needs?|due|next|tomorrow|plan\w*|order\w*|bought|buy|ask|if|before|resist\w*|gun"
    r"|race)\b|\?",
    re.I,
)
NONE_BEFORE = re.compile(r"\b(?:no|not|never|without|instead of|rather than)(?: \w+){0,2} ?$", re.I)
LONGEST_CODE = 4  # letters of a code at the end of a name, as LA (our own choice)
SAME = 0.01  # ml by which one dose may be written in two ways (our own choice)
OF_WAITING = re.compile(
    r"\b(?:meat|milk|withdraw\w*|withhold\w*|label|sheep|lambs|ewes|rams|slaughter|vet|w/?d|whp)\b", re.I
)
OF_AGE = re.compile(
    r"\b(?:old|age|under|over(?! \d+ ?(?:kg|lb))|younger|older|repeat\w*|again|after|before|between|every|opened"
    r"|broach\w*|lasts?|keeps?"
    r"|works?|protects?|immun\w*|use within)\b",
    re.I,
)


class MedicineDoubt(Value):
    """Why it is not known what was given: the rule, and the reason."""

    rule: str
    reason: Reason


def medicines_called(flock: Flock, name: str | None) -> tuple[Medicine, ...]:
    """The medicine notes of a name, without regard to case, blanks, points, dashes, and a strength that only one of
    them has.
    """
    plain, strength = name_and_strength(name or "")
    noted = flock.medicines_plainly.get(plain, ()) if plain else ()
    return tuple(one for one in noted if not strength or name_and_strength(one.name or "")[1] in ("", strength))


def medicine_in_doubt(flock: Flock, event: Treatment) -> MedicineDoubt | None:
    """Why the periods of a treatment's medicine cannot be trusted: a note of it not read whole, a copy of it that
    cannot be used, or a second product in the words of the treatment.
    """
    name = event.medicine or ""
    for medicine in medicines_called(flock, name):
        if medicine.origin.broken or medicine.origin.unread:
            return MedicineDoubt("W11", MedicineUnread(name))
        if longer := longer_in_words(medicine):
            return MedicineDoubt("V11", LongerInWords(name, longer))
    if event.meat_withdrawal is None and (wait := longer_wait(flock, event)):
        return MedicineDoubt("V11", LongerWait(wait))
    if path := products(flock).unread.get(key_of(name)):
        return MedicineDoubt("V11", OtherFileUnused(name, path))
    second = second_product(flock, event)
    return MedicineDoubt("V11", NamedAsWell(second)) if second else None


def longer_in_words(medicine: Medicine) -> str:
    """A sentence of a medicine's own note that speaks of a longer waiting than the note types; "" for none."""
    typed = typed_lengths((medicine,))
    for cell in medicine.origin.rest if typed else ():
        for sentence in SENTENCE_OF_MEDICINE.findall(cell.text):
            told = OF_WAITING.search(sentence) and not OF_AGE.search(sentence)
            days = lengths_told(sentence) if told else []
            if any(day > max(typed) for day in days):
                return clipped(sentence.strip())
    return ""


def longer_wait(flock: Flock, event: Treatment) -> str:
    """A sentence of a treatment that speaks of a longer waiting than the label's; "" for none."""
    return wait_in_words(words_in(event), max(typed_lengths(medicines_called(flock, event.medicine)), default=0))


def typed_lengths(notes: Iterable[Medicine]) -> list[float]:
    """The waiting periods of these notes in days. Milk that is never to be used says nothing of how long meat waits."""
    milk = [length(one.milk_withdrawal) for one in notes if one.milk_withdrawal and not one.milk_withdrawal.never]
    return milk + [length(one.meat_withdrawal) for one in notes if one.meat_withdrawal]


def length(period: Withdrawal) -> float:
    """A waiting period in days; one without end is longer than any other."""
    return inf if period.never else (period.days or 0) + (period.hours or 0) / 24


def second_product(flock: Flock, event: Treatment) -> str:
    """A product of the cupboard, another than the treatment's own, that its words name; "" for none, or where another
    treatment of that day gives it to the same sheep.
    """
    found = dict.fromkeys(given_as_well(flock, event))
    return next((word for word in found if not has_its_own_note(flock, event, word)), "")


def has_its_own_note(flock: Flock, event: Treatment, word: str) -> bool:
    """Whether a treatment with what a word means, of the day of this one and no earlier hour, names all who had this
    one.
    """
    last = max((when.moment for when in event.doses), default=None)
    days = {when.date for when in event.doses}
    had = set(flock.concerned[event.origin.path].dosed) if event.origin.path in flock.concerned else set()
    others = (
        flock.concerned[other.origin.path].dosed
        for other in flock.of(Treatment)
        if other is not event and days == {one.date for one in other.doses} and is_the_medicine(flock, other, word)
        if other.origin.path in flock.concerned and last and all(one.moment >= last for one in other.doses)
    )
    return bool(had) and any(had <= set(dosed) for dosed in others)


def is_the_medicine(flock: Flock, event: Treatment, word: str) -> bool:
    """Whether the medicine of a treatment is the one that a word of another means: by its name, or by its sort."""
    if key_of(event.medicine or "") == key_of(products(flock).called(word)):
        return True
    named = all_names(event, medicines_called(flock, event.medicine))
    return any(said.fits(named) for _, said in sorts_told(word)) and bool(sorts_of(named))


def given_as_well(flock: Flock, event: Treatment) -> Iterator[str]:
    """Words of a treatment that name a product, another than its own, or tell of another sort of medicine."""
    written = "\n".join(text for text in words_in(event) if text)
    written = products(flock).without_those_not_given(written) if SAYS_NO.search(written) else written
    own = {word for one in medicines_called(flock, event.medicine) for word in substances(one.active or "")}
    for match in products(flock).pattern.finditer(written) if written else ():
        product = products(flock).called(match[0])
        if key_of(product) != key_of(event.medicine or "") and match[0].casefold() not in own:
            yield match[0]
    for name in products(flock).misspelt(written):
        if key_of(products(flock).called(name)) != key_of(event.medicine or "") and name not in own:
            yield name
    for sentence in PARTS_SAID.findall(written):
        begun = (word for word in products(flock).begun(sentence) if not begins_one_of(word, event, own))
        yield from (word for word in begun if not NONE_BEFORE.search(sentence[: sentence.find(word)]))
    yield from of_another_sort(flock, event, written)
    if code := another_by_its_end(flock, event, written):
        yield code
    yield from (found[0] for row in of_other_columns(event) if (found := COLUMN.search(row)))
    if other := OTHER_BOTTLE.search(written) or (no_waiting(flock, event) and other_dose(event, written)):
        yield other[0]


def begins_one_of(word: str, event: Treatment, own: Iterable[str]) -> bool:
    """Whether the treatment's own medicine, or one of its ingredients, is called by a word that begins so."""
    return any(name.startswith(word.casefold()) for name in (*(event.medicine or "").casefold().split(), *own))


def of_another_sort(flock: Flock, event: Treatment, written: str) -> Iterator[str]:
    """Words that tell of a dose which the treatment's own medicine cannot be: `Drenched while in` beside a vaccine."""
    named = all_names(event, medicines_called(flock, event.medicine))
    for sentence in PARTS_SAID.findall(written) if sorts_of(named) else ():
        plain = "" if YET_TO_COME.search(sentence) else without_negations(sentence)
        for match, said in sorts_told(plain):
            if said is not ANY_WAY and not said.fits(named) and not NONE_BEFORE.search(plain[: match.start()]):
                yield match[0]


def another_by_its_end(flock: Flock, event: Treatment, written: str) -> str:
    """`It was the LA.`: another product of the cupboard by the capitals at the end of its name; "" for none."""
    own = (event.medicine or "").split()
    ends = {name.split()[-1] for notes in flock.medicines.values() for one in notes if (name := one.name or "")}
    codes = [end for end in ends if end.isupper() and 1 < len(end) <= LONGEST_CODE and end not in own]
    return next((code for code in codes if re.search(rf"\b{re.escape(code)}\b", written)), "")


def no_waiting(flock: Flock, event: Treatment) -> bool:
    """Whether the labels of a treatment's medicine ask for no waiting at all: then its words may tell of one that
    does.
    """
    periods = [
        period
        for one in medicines_called(flock, event.medicine)
        for period in (one.meat_withdrawal, one.milk_withdrawal)
    ]
    return bool(periods) and all(period is not None and period.zero for period in periods)


def other_dose(event: Treatment, written: str) -> re.Match[str] | None:
    """Words that tell of a dose of something else, beside a medicine without waiting."""
    doses = [dose.ml for dose in (event.dose, *(line.dose for line in event.lines)) if dose]
    amounts = (
        match
        for match in IN_ML.finditer(written)
        if all(abs(float(match[1].replace(",", ".")) - ml) > SAME for ml in doses)
    )
    return SOMETHING_ELSE.search(written) or next(amounts, None)


def words_in(event: Treatment) -> Iterator[str]:
    """Everything in words that a treatment says, but for its medicine and where it came from."""
    yield from (cell.text for cell in event.origin.rest)
    yield from (line.text or line.remark for line in event.lines)
    yield from of_other_columns(event)
    yield from (words_of(event, name) for name in WORDS_IN)
    yield from event.origin.unread.values()
    yield from (text for name, text in event.origin.typed.items() if name != "medicine")
    yield event.subject or ""


def of_other_columns(event: Treatment) -> Iterator[str]:
    """The rows of a table of doses that has further columns, each cell behind its heading: `oxytet la 3`, `jab x`."""
    further = {cell.line for cell in event.origin.rest if cell.sort == "cell"}
    yield from (cell.text for cell in event.origin.data if cell.line in further)


def products(flock: Flock) -> Products:
    """The products of a flock, gathered once."""
    return flock.products if isinstance(flock.products, Products) else products_of(flock)
