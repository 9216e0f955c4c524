"""The words by which the prose of a treatment tells of further sheep (V1)."""

from __future__ import annotations

import re
from collections.abc import Sequence

from flockbook.whom.dosing_verbs import DOSED, TREATED
from flockbook.whom.lexicon import folded
from flockbook.whom.pieces import FIGURE, JOINT, Piece

AFTER_ALL = re.compile(
    r"\b(?:too|after all|anyway|later|had hers|had his|caught|got|found|turned up|went through|in the end|tomorrow"
    r"|next day|the lot|\d ?ml|(?:mon|tues|wednes|thurs|fri|satur|sun)day"
    rf"|{DOSED}|did|done)\b",
    re.I,
)
_IN_THE_END = r"later|after all|in the end|eventually|afterwards?|anyway|next (?:day|morning)|then"
DONE_AFTER_ALL = re.compile(  # who was left out, and had it all the same
    rf"\b(?:caught|got|did|done|had|given|gave|{TREATED})\b[^.]*\b(?:{_IN_THE_END})\b"
    rf"|\b(?:{_IN_THE_END})\b[^.]*\b(?:caught|got|did|done|had|given|gave|{TREATED})\b",
    re.I,
)
REST_TOO = re.compile(
    r"(?:^|[.!?] )(?:and )?(?:the )?(?:rest|others|all of them)\b[^.]{0,20}\b(?:too|got it|had it|as well|done)\b"
    r"|(?:^|[.!?] )same for the\b"
    r"|\b(?:all )?(?:the )?others? (?:\w+ )?(?:too|the same|as well|done|likewise)\b"
    r"|\beverything in the\b|\bpen ?mates?\b"
    r"|\bother (?:\w+ )?(?:ewe|lamb|sheep|one)\b|\b(?:did|done|dosed) (?:them )?all\b|\bothers too\b|\bneighbour in\b"
    r"|\bone more (?:ewe|lamb|sheep)\b|\ball ewes\b"
    rf"|\b(?:did|done|{TREATED}|then|and|plus|also) (?:all )?(?:of )?the"
    r" (?:rest|others|remainder)\b",
    re.I,
)
WHOLE_LOT = re.compile(  # more than the sheep that a note names
    r"\b(?:whole|entire|all the|every) (?:mob|lot|flock|pen|group|bunch|gang|field|one of them)\b", re.I
)
_TOO = r"(?:too|as well|also|likewise|the same|same)"
_ALL_OF = r"(?:both|(?:the |whole )?lot|everything|everybody|everyone|them all)"
_ONES = r"(?:(?!(?:this|her|his|its|no|each|every|other)\b)\w+ )(?:ewes(?! lambs)|ones|sheep)"
_ONE = r"(?:the|that|another) (?:\w+ )?(?:ewe(?! lamb)|one|sheep)"
_MARK = r"(?:red|blue|green|orange|yellow|purple|pink|black|white) (?:no\.? ?|number )?\d{1,3}"
OTHERS_DONE = re.compile(  # `Did the lot while I was at it`, `Also the old ewe`, `red 1 too`: whom nobody can tell
    rf"\b(?:did|done|also|ran|put) (?:{_ALL_OF}(?! (?:feet|sides|eyes|ears|legs|teats|horns|halves|quarters|ends)\b)"
    rf"|{_ONES}|{_ONE}|{_MARK})\b"
    rf"|^\W*(?:{_ALL_OF}|{_ONES}|{_ONE}|{_MARK}) {_TOO}\b",
    re.I,
)
ONE_OF = re.compile(
    r"\b(?:the|a|our|my|old) (tup|ram|buck|wether|wedder|hogg|hogget|gimmer) (?:\w+ )?"
    r"(?:too|also|as well|likewise|got|had|same)\b"
    r"|\b(?:did|done|caught|grabbed|got|jabbed|dosed|drenched|injected) (?:the|a|our|my) (?:old )?"
    r"(tup|ram|buck|wether|wedder|hogg|hogget|gimmer)\b"
    r"|(?:\b(?:including|incl\.?|with|and|plus|not forgetting|also)|[+&]) (?:the |our |old )?(tup|ram|buck)\b"
    r"(?! (?:harness|raddle|lambs?|paddock|field|pen))"
    r"|\b(tup|ram|buck) (?:too|as well|also|likewise|in with)\b",
    re.I,
)
# What is said of the sheep that a treatment is for: `Teasel has foot rot again.`, with nobody else in it.
IS_ILL = re.compile(
    r" (?:has|had|is|was|got|looks|went|still|again|very|bad|lame|limping|scouring|coughing|off)\b"
    rf"(?! (?:with|the same|not|clear|{TREATED}))"
    r"(?![^.]*\b(?:others?|rest|all|both|too|twins?|lambs?|mother|dam|with|mates?|lot|mob|flock|them|they|more|and|no|not|fine|well|sold|watched|better)\b)"
    r"[^.!?\n]*[.!?]?\s*$",
    re.I,
)
THEM_ALL = frozenset({"all", "all of them", "everything", "everyone", "the lot"})  # of no mob or class of their own
DID_WORDS = frozenset(
    {"did", "done", "gave", "given", "caught", "grabbed", "got", "ran", "took"}
    | {"jabbed", "dosed", "drenched", "injected"}
)
# Between what was done and to whom: `did half of low`, `did the ewes and lambs`.
SOME_OF = frozenset({"half", "some", "most", "all", "of", "the", "both", "my", "our", "whole", "rest", "every", "few"})
OF_OTHER_WORK = frozenset({"feet", "tails", "tags", "ears", "dags", "weights", "scores", "rings", "fleeces", "count"})
NEXT_WORDS = frozenset({"and", "ditto", "then", "plus", "also", "next", "now", "finished", "followed"})
# Behind a name, these make it one of a thing or a place: `Willow gate left open`.
OF_PLACES = frozenset({"gate", "hedge", "lane", "wall", "dog", "field", "stick", "fence", "trough", "road", "barn"})
# Who was let off, and nothing else: `Plover not done.`
THE_REST_ALONE = re.compile(  # a line or a sentence that is nothing but the others
    r"(?:^|[.!?;] ?)\W*(?:and |then |did )?(?:(?:all |both )?(?:of )?(?:the )?(?:rest|others|remainder|lot"
    r"|other (?:two|three|few|ones?))"
    r"|all of them|all in the (?!all)\w+|everybody|everyone|everything|\d+ (?:more|others))"
    r"(?: (?:too|as well|also|likewise|the same|after|then))?\W*(?:$|[.!?;])",
    re.I,
)
NOT_THEM = re.compile(rf"[\w' ,&]{{2,40}} not (?:done|{TREATED})\W*", re.I)
TOTAL = re.compile(r"\b(?:total|in all|altogether)\b\D{0,8}(\d+(?:[.,]\d+)?) ?(?:mls?|cc)\b", re.I)
_NUMBER = r"\d{1,3}|one|two|three|four|five|six|seven|eight|nine|ten"
MORE_SHEEP = re.compile(
    rf"\b(?P<more>{_NUMBER}) (?:others?|more) (?:the same|too|from|of|done|dosed|drenched|as well)\b"
    rf"|\b(?:plus|and|did|then|also|with) (?P<plus>{_NUMBER}) (?:others?|more)\b"
    r"(?! (?:ml|cc|dose|day|time|week|tablet))"
    rf"|^\W*(?:all|did|both) ({_NUMBER})\b(?! (?:feet|quarters|teats|eyes|sides|legs))"
    rf"|\b({_NUMBER}) head\b|\b(\d{{1,3}}) x \d[\d.]* ?(?:ml|cc)\b"
    rf"|^\s*x ?(\d{{1,3}})\s*\.?$|^\s*({_NUMBER}) (?:done|dosed|drenched|jabbed|injected)\b",
    re.I,
)


def was_done(pieces: Sequence[Piece], place: int) -> bool:
    """Whether words say that it was done to whom a name means: `did half of low`, `so did hill`, `put low through
    the race`; not `did their feet`.
    """
    words = {folded(piece.text) for piece in pieces}
    before = [
        folded(piece.text)
        for piece in pieces[:place]
        if not (piece.sort in (JOINT, FIGURE) or piece.bearers or folded(piece.text) in SOME_OF)
    ]
    done = bool(before) and (before[-1] in DID_WORDS or (before[-1] == "put" and "through" in words))
    return done and OF_OTHER_WORK.isdisjoint(words)
