"""The words by which a treatment tells, in passing, of more doses than it writes as given (V9)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from flockbook.whom.glance import EDGE, alternatives


def either(*ways: str) -> re.Pattern[str]:
    """One pattern of several ways of speaking. Those that begin at the edge of a word share it, so that it is looked
    for once at each place of a text.
    """
    single = [part for way in ways for part in alternatives(way)]
    at_edge = [part.removeprefix(EDGE) for part in single if part.startswith(EDGE)]
    others = [part for part in single if not part.startswith(EDGE)]
    return re.compile("|".join([f"{EDGE}(?:{'|'.join(at_edge)})", *others] if at_edge else others), re.I)


ONE_SENTENCE = re.compile(r"[^.!?\n]+(?:\.(?=\d|\w\.|(?<=\b\w\.)\w?)[^.!?\n]*)*")
_MONTH_NAMED = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*"
_COUNT = r"(?:[2-9]|1\d|two|three|four|five|six|seven|eight|ten)"
WEEKDAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:r|rs)?|fri|sat(?:ur)?|sun)(?:day)?"
OF_MONTH = re.compile(
    r"\b(\d{1,2})(?:st|nd|rd|th)\b(?! (?:ewe|lamb|ram|sheep|time|row|pen|crop|lambing|quarter|year))", re.I
)
WEEKDAY_WORDS = re.compile(rf"\b{WEEKDAY}\b", re.I)
_DOSES = r"(?:doses?|jabs?|shots?|injections?|goes|go|lots|times|tubes|mornings|evenings|nights|drenches)"
_GAVE = r"gave|give|given|had|did|do|done|got|needed|jab\w*|dos\w+|inject\w*|drench\w*|treat\w*"
_MORNING, _EVENING = r"(?:morning|a\.?m)", r"(?:night|evening|p\.?m)"
# Words of one dose after another.
OF_A_COURSE = either(
    r"(?<!of )\bcourse\b(?! by)",
    rf"\b{_COUNT} (?:\w+ )?(?:running|in a row)\b",
    rf"\b{_COUNT} {_DOSES}\b(?! (?:left|spilt|in the|ago))",
    r"\b(?:twice|thrice|a couple of times|several times)\b",
    r"\b(?:every|each) (?:morning|evening|night|day|\d+ ?(?:h|hours?|d|days?))\b",
    r"\b(?:mornings|evenings|nights)\b",
    r"\b(?:daily|nightly|hourly|weekly|fortnightly|monthly)\b",
    r"\balternate (?:days?|nights?|mornings?)\b",
    r"\b(?:ml|mls|cc|\d|once|twice|times?) ?(?:a|per|each|every|/) ?(?:day|week|month|d)\b",
    r"\b(?:b\.?i\.?d|s\.?i\.?d|t\.?i\.?d|e\.?o\.?d|p\.?r\.?n|q\.?\d{1,2} ?h?)\b",
    rf"\b{_MORNING}\.?\W{{0,2}}(?:&|and|\+)\W{{0,2}}{_EVENING}\b",
    rf"\b{_EVENING}\.?\W{{0,2}}(?:&|and|\+)\W{{0,2}}{_MORNING}\b",
    r"\b(?:p\.?m\.?|evening|tonight|night|morning) (?:too|as well|also)\b",
    r"\b(?:M|T|W|F)(?:[ ,/](?:M|Tu?|W|Th|F|Sa|Su))+\b",
    r"\bdays? ?\d(?: ?[,&+/-] ?| and )\d|\b[dD]\d\b.*\b[dD]\d\b",
    r"\b(?:ongoing|continu\w+|carr(?:y|ying|ied) on|still (?:going|on it|getting))\b",
    r"(?:^|[,;.]\s*)day ?[2-9]\b[ :,-]*(?:ok|done|given|dosed?|jab\w*|same|too|also|\d[\d.]* ?ml|✓|x|$)",
    r"\bke(?:ep|eps|eping|pt) (?:it )?going\b",
    r"\b(?:as|when|if) (?:needed|required|necessary)\b|\bon and off\b",
)
# Words of a further dose, done or meant to be done.
OF_ANOTHER = either(
    r"\b(?:rpt\w*|redo|re-?done|re-?dos\w+|re-?jab\w*|follow(?:ed|ing)?[- ]?up)\b",
    r"\brep(?:eat\w*|\.)? ?(?:in|on|at|after|\d|twice|mon|tue|wed|thu|fri|sat|sun)",
    r"\bon the (?:third|fourth|fifth|sixth|seventh|eighth|ninth|\w*tenth|eleventh|twelfth|\w+teenth|\w*-?\w*tieth)\b",
    rf"\b(?:{_GAVE})\b[^.]*\b(?:another|second|2nd|third|3rd)\b(?! (?:ewe|lamb|ram|sheep|time this))",
    r"\b(?:gave|had|got|needed) (?:\w+ )?more\b",
    rf"\b(?:{_GAVE}) (?:\w+ ){{0,2}}again\b(?! today)",
    r"\bagain (?:this|after|tonight|at|later|on)\b",
    r"\b(?:after|until|till|missed) the (?:second|third|fourth|last|2nd|3rd|4th)\b",
    r"^\W*(?:and |then )?another(?: one)?\W*$",
    rf"\bafter {_COUNT}\b(?! (?:weeks?|months?|years?|lambs|in|o'clock|pm|am))",
    rf"\b{_COUNT} (?:more )?to (?:go|come|do|follow)\b|\bone down\b",
    r"\bfirst (?:jab|go|dose|half|shot|injection|tube)\b(?! (?:of the|ever|this|in her|in his))",
    r"\bhad (?:two|three|four|[2-9])(?: so far| now| in all| already|(?=[.,;!]|$))",
    r"\bhalf (?:now|today|tonight)\b|\b(?:rest|other half|remainder) (?:of it )?(?:on|later|tomorrow|tonight)\b",
    r"\bonce more\b|\b[2-9] ?x\b(?! ?\d)",
    r"\b(?:two|three|four|five|six|[2-9]) in all\b|\blast (?:jab|dose|shot|injection|one)\b"
    r"(?! (?:of|in) the| was (?:in|on|last|before|back))",
    r"\b(?:written|writing|wrote (?:it|this)?) ?up late\b",
    rf"\b(?:in|over) {_COUNT} (?:goes|lots|halves)\b|\bsplit (?:over|into|between)\b",
    r"\bstart(?:ed|ing) (?:\w+ )?on\b(?! (?:the (?:ewes|lambs|left|right|feet|far)))",
    r"\bput (?:her|him|them) on (?:it|antib|peni)",
    rf"\b(?:started|began|begun) (?:on )?(?=\d|{WEEKDAY})|\bskipped (?:a|one|the)\b",
    r"\b(?:ml|cc),? (?:and |then )?later\b",
    r"\bdoubled?\b|\btwice the dose\b|\boff[- ]label\b",
    r"(?:^|[(,;.]|\bml)\s*x ?[2-9]\b(?! ?(?:ml|cc|lambs|ewes|sheep))|\bx ?[2-9]\W*$",
)
_NO_SPAN = r"(?! (?:to|before|till|off|from|ago|old))"
# How long it went on.
HOW_LONG = either(
    rf"\b(?:for the|all|most of the|the whole|a|one|two|another) (?:week|fortnight)s?\b{_NO_SPAN}",
    rf"\bfortnight\b{_NO_SPAN}|^\W*weeks?\W*$",
    rf"\b(?:several|some|(?:a |the |few )?(?:few|couple)(?: of)?(?: more)?|{_COUNT}) (?:more )?(?:days|d|weeks)\b",
    r"\b\d{1,2} ?(?:h|hrs?|hours?|d|days?) (?:apart|between|later)\b",
    r"\bnext (?:day|morning|night|evening)\b",
    rf"\b(?:{_GAVE}) (?:\w+ ){{0,2}}(?:(?:the )?(?:day|morning|night|week)s? after|after the weekend)\b",
    rf"\b(?:\w*-?\w+(?:th|nd|rd|st)|first|second|third) of {_MONTH_NAMED}\b",
)
UNTIL = re.compile(r"\b(?:until|till|til|through to)\b", re.I)
PART_OF = re.compile(r"(?<![\d/.,])([1-9])(?:/| von )([2-9])(?![\d/.,]| ?(?:ml|cc|tab|of|bottle|st))", re.I)
# Of an ailment, an age, a wait, a look or a place: how long these last is no course.
OF_HER_STATE = re.compile(
    r"\b(?:lame\w*|ill|poorly|scour\w*|cough\w*|limp\w*|off (?:her|his|their|feed|colour)|old|ago|since|before|due|born"
    r"|withdrawal|wait\w*|clear|sold|sell|sale|slaughter\w*|kill\w*|hold|weigh\w*|check\w*|look\w*|see|watch\w*|seen|saw"
    r"|noticed|found|down|bad|straining|lambed|weaned|housed|kept|keep|penned|stay\w*|left|bought|be right|coming|year"
    r"|last (?:year|spring|summer|autumn|winter|month|week|time|was)"
    r"|ring|call|rain|work|job|turn(?:ed)? out|in lamb|carrying)\b",
    re.I,
)
OF_A_STAY = re.compile(
    r"\b(?:withdrawal|wait\w*|clear|sold|sell|sale|slaughter\w*|kill\w*"
    r"|hold|kept|keep|penned|stay\w*|housed|in|dark|dry)\b",
    re.I,
)
CLAUSE = re.compile(r"[,;]| - | – ")
NO_FURTHER = re.compile(
    r"\b(?:no|not|never|without|don't|didn't|won't)\b(?: \w+)? (?:second|third|repeat\w*|more|further|again|another"
    r"|course|follow|needed)\b|^\W*if\b",
    re.I,
)
DONE_WORDS = re.compile(r"\b(?:gave|given|did|had|got|done|jabbed|dosed|injected|drenched|repeated)\b", re.I)


def tells_of_a_course(text: str, days: list[date]) -> bool:
    """Whether a text of a treatment tells of more doses than one on these days."""
    return any(sentence_tells(found[0], days) for found in ONE_SENTENCE.finditer(text))


def sentence_tells(sentence: str, days: list[date]) -> bool:
    """Whether one sentence does."""
    if NO_FURTHER.search(sentence) and not DONE_WORDS.search(sentence):
        return False
    if OF_A_COURSE.search(sentence) or OF_ANOTHER.search(sentence):
        return True
    if any(one < many for one, many in parts_of(sentence, days)):
        return True
    if UNTIL.search(sentence) and not OF_A_STAY.search(sentence):
        return True
    clauses = [clause for clause in CLAUSE.split(sentence) if not OF_HER_STATE.search(clause)]
    return any(HOW_LONG.search(clause) or on_another_day(clause, days) for clause in clauses)


def parts_of(sentence: str, days: list[date]) -> Iterator[tuple[int, int]]:
    """`1/3`, `dose 2/5`: which dose of how many; not where that is the day of a dose."""
    dosed = {frozenset((day.day, day.month)) for day in days}
    for match in PART_OF.finditer(sentence):
        if frozenset((int(match[1]), int(match[2]))) not in dosed:
            yield int(match[1]), int(match[2])


def on_another_day(sentence: str, days: list[date]) -> bool:
    """Whether a weekday, or an `8th`, stands there that is none of the doses'."""
    dosed = {f"{day:%a}".lower() for day in days}
    of_month = {day.day for day in days}
    return any(word[:3].lower() not in dosed for word in WEEKDAY_WORDS.findall(sentence)) or any(
        int(number) not in of_month for number in OF_MONTH.findall(sentence)
    )
