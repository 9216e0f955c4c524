"""The words by which people tell of a dose, in passing and in haste, and those that look like it and are none (V8)."""

from __future__ import annotations

import re

from flockbook.whom.course_words import either
from flockbook.whom.dosing_verbs import VACCINATED

VERBS = either(
    rf"\b(?:re-?|de-?)?(?:{VACCINATED}|drenchd|treating|poured|medicated)\b",
    r"\b(?:injecting|drenching|dosing|jabbing|worming|vaccinating) (?:her|him|them|it)\b",
    r"\b(?:after|before|while|when) (?:inject|drench|dos|jab|worm|vaccinat)ing (?=[A-Z#\d])|\badministered\b",
    r"\bjags?\b|\b(?:tx|rx)\b|\bvet (?:gave|saw to|jabbed|injected) (?=[A-Z#\d])|\bgave \d[\d.]* to (?=[A-Z#\d])",
    r"\b(?:had to|managed to|helped (?:\w+ )?to|got the vet to|went and|got round to)"
    r" (?:inject|drench|dose|jab|worm|vaccinate|treat)\b",
    r"\b(?:over|under)dosed|\b(?:inoculated|immuni[sz]ed)\b|\b(?:two|three|\d) doses\b(?! (?:left|per|in|a|spilt))",
    r"^\W*treatment (?=[A-Z\d])",
    r"\b(?:another|half|second|last|2nd) dose\b|^\W*repeated\b|\bgot the same as\b|\bgave \w+ another\b",
    r"\bgave shots\b|\bvacc?s done\b|\b(?:fluke|dose|worm) and (?:worm|fluke|dose)\b",
    r"\b(?:bolused|sponged(?! down)|sedated|anaestheti[sz]ed|vet induced|dried off with)\b",
    r"\b(?:jab|injection|dose|drench|boosters?) (?:done|given|in)\b",
    r"\b(?:drentch\w*|jagg?ed|plunge dip\w*|showered|vax done|on pen)\b",
    r"\b(?:tubes?|tubed) (?:in|both|up|down)\b(?! of)",
    r"\b(?:put|started) \w+ on (?:a|the) course\b|\bonly \w+ left to (?:drench|dose|worm|jab|inject|do)\b",
    r"\bcorrection\b[^.]*\bnot\b|\bwrong (?:ewe|sheep|lamb|ram|tag|one|name)\b",
    r"\b(?:did|done) (?:(?!feet)\w+ ){0,4}(?:for|against) (?:\w+ and )?"
    r"(?:worms?|fluke|lice|scab|keds?|ticks?|fly|flies|strike)\b",
    r"\bfinished (?:\w+ )?(?:her|his|their|the|\w+'s) (?:course|jabs|injections)\b",
    r"\bcourse (?:finished|done|ended|over)\b|\bday \d+ of (?:the|her|his|a) course\b|\bdone again\b",
    r"\blast (?:jab|dose|shot|injection|one (?:today|this|tonight))\b(?! was)",
    r"\bwrong (?:ewe|sheep|lamb|ram|tag|one|name)\b[^.]*\b(?:drench|dose|jab|treat|inject|vaccin|worm)\w*",
    r"\b(?:bottle|jabs?|dose|drench|syringe|tube|vaccine|penicillin)\b[^.]*\blast (?:one |of it |drop )?(?:in)?to "
    r"(?!(?:the|a|come|go|leave|lamb|be|eat|get)\b)",
    r"\bday of (?:her|his|their) (?:jabs|injections|course)\b|\bscratched (?:\w+ ){0,3}for orf\b",
)
NOUNS = (
    r"drench|jabs?|shots?|medicine|meds|injections?|antibiotics?|dose|bolus|vaccine|wormer|pour-?on|penicillin"
    r"|pain ?relief|LA"
)
GIVEN = re.compile(
    rf"\b(?:gave|given|give|had|got|needed|poured|put)\b[^.!?]{{0,40}}\b(?:{NOUNS})\b|\b(?:poured on|worm dose)\b", re.I
)
COLUMN = re.compile(  # a column of a table that a kind does not know, with its cell: `drench yes`, `ml 3`
    r"\b(?:drench|jab|vaccine|wormer?|treat(?:ment)?|inject(?:ion)?|dose|medicine|pour-?on|ml)(?: \w+)?"
    r" (?:yes|y|x|✓|✔|√|\+|done|ok|given|\d[\d.,]*)(?=,|$)",
    re.I,
)
IN_FIELD = re.compile(rf"\d[ (]+(?:{VACCINATED})\b", re.I)  # `bcs 3 drenched`
# A waiting that runs: `In withdrawal.`, `Not clear till 20 June.`
_A_DAY = r"(?:\d|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)"
WAITING = re.compile(
    rf"\b(?:not (?:to )?(?:go|for (?:eating|sale|slaughter|the butcher))|cannot be (?:killed|sold|eaten))\b[^.]*"
    r"\b(?:till|until|before)\b"
    rf"|\bhold (?:\w+ )?(?:till|until|to) {_A_DAY}|\bclear (?:from|on|after) {_A_DAY}|\bnone clear\b"
    r"|\bwithdrawal (?:period )?(?:of )?\d|\b(?:meat|milk) \d+ ?d|\bwithhold (?:milk|meat)\b|"
    r"\b(?:in|under|on) (?:meat |milk )?withdrawal\b"
    r"|\bwithdrawal (?:period )?(?:until|till|to|ends|is up|runs|finishes)\b"
    r"|\bnot (?:to )?(?:be )?(?:clear|sold|sell\w*|slaughter\w*|killed|eaten) (?:till|until|before)\b",
    re.I,
)
DIPPED = re.compile(r"\bdipped\b", re.I)
OF_PARTS = re.compile(r"\b(?:navels?|cords?|iodine|feet|foot|toes?|fingers?|umbilic\w*|tags?|bread|biscuits?)\b", re.I)
HANDED = re.compile(r"\b(?:gave|given|got|had)\b", re.I)
# What was not done, or not yet: `Never dosed this year.`, `Hoggs to be wormed on Friday.`
NOT_DONE = re.compile(
    r"\b(?:nobody|no one|none|nothing|never|not(?: yet)?|hasn't|haven't|wasn't|weren't|isn't|aren't"
    r"|to be|must be|should be|will be|needs?(?: to be)?|due to be|can be|may be|before being)"
    r"(?: (?:was|were|has|have|got|been|be|yet|being|to be|needed))*"
    rf" (?:{VACCINATED}|medicated)\b",
    re.I,
)
# Behind these, what was not done to some was done to others, or later: `Nobody drenched but Bramble.`
YET_DONE = re.compile(
    r"\b(?:but|except|apart|bar|rest|others?|only|until|till|before|then|later|after|since|done|did)\b"
    r"|[,;.-] ?(?:\w+ ){0,2}(?:was|were|today|yesterday|now)\b|\b(?:was|were) (?:today|yesterday|now)\b",
    re.I,
)
# Work that is a dose, as jobs are called: `fly treatment`, `dipped`.
AT_WORK = re.compile(
    r"\b(?:dosing|drenching|worming|injecting|jabbing|vaccinating|treating|treatment|dipped|dipping|fly spray\w*"
    r"|fluke|worms|dip|spray(?:ed|ing)?|vaccines?|vaccinations?|injections?|scab|lice|fluking|fluked|plunge|showered)\b",
    re.I,
)
# Dosing words as hurried hands write them.
HURRIED = re.compile(
    r"\bpen['’]d\b|\b(?:on|got|had|given) pen\b(?! \d)|\bpen \d?[.,]\d+\b|\d of pen\b|^[^\s,;:]+ pen\W*$"
    r"|^\W*pen \d\d?[/.]\d\d?\b|^pour[- ]?on\b|(?<=[.;,] )pour[- ]?on\b|"
    r"\b(?:worm|drench|jab|dose|inject)['’]d\b|\b(?:injeted|injectd|drechned|drencehd|vacinnated|drnehced|injetced|vaccinatd|vacinated|innoculated)\b"
    r"|\b(?:drn?e?n?ch?e?d|dre?nchd|dosd|doesd|dosded|wromed|wormd|wrmd|inj(?:ctd|cted|d)?|injeced|jabed|vaxed"
    r"|vac+(?:d|inted|inated|cinated)?|needled|fluked"
    r"|deloused|sprayed(?! (?:lamb )?numbers)|fluke dose|trtd|treatd|medd)\b",
    re.I,
)
REMEDY_FIELDS = (
    "medicine", "product", "drug", "treatment", "treated", "treated with", "given", "injection", "injected", "jab",
    "withdrawal", "meat withdrawal", "milk withdrawal", "drench", "drenched", "wormer", "vaccine", "antibiotic",
    "remedy", "dosed", "meds",
)  # fmt: skip
NONE_GIVEN = frozenset({"", "none", "no", "nothing", "nil", "-", "n/a"})
PLAIN_VERBS = re.compile(r"\b(?:re-?)?treated\b", re.I)  # also said of posts and floors
# A spot-on; `white spot on her nose` is a mark: a colour stands before it and a part of the head or leg behind it.
SPOT_ON = (
    r"spot[- ]?on(?:(?<!white spot on)(?<!black spot on)(?<!brown spot on)(?<!pink spot on)"
    r"|(?! (?:her |his |its |the |a |one )?(?:nose|face|head|ear|chin|forehead|cheek|leg|knee|hock)s?\b))"
)
TO_DO = re.compile(
    r"\b(?:dose|dosing|drench|worm|wormer|de-?worm\w*|inject|injections?|jabs?|shots?|vaccinate|vaccines?|vaccs?|treat"
    rf"|medicate|pour[- ]?on|{SPOT_ON}|dip|bolus(?:es)?|antibiotics?)\b",
    re.I,
)
# What was treated was a sheep: `The lame one was treated`, `Treated the three with foot rot`.
TREATED_SHEEP = re.compile(
    r"\btreated (?:the |all |both )?(?:her|him|them|it|one|ones|two|three|four|five|six|\d+|lame|others?|rest|both|all"
    r"|sheep)\b"
    r"|\b(?:one|ones|two|three|four|both|all|others?|rest|sheep|she|he|they) (?:was|were|got|been) treated\b",
    re.I,
)
IN_ML = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:mls?|millilit(?:re|er)s?|ccs?)(?!\w)", re.I)
DONE_IN_WORDS = re.compile(r"\bdone\b", re.I)
DONE = re.compile(r"^(?:(?:all |now )?done\b|note\s*:\s*job)", re.I | re.M)  # a task that is done, or a job
# A remedy alone, as people jot it down: `Jab today`, `Long-acting antibiotic.`
REMEDY = re.compile(
    r"\b(?:dosing|drenching|worming|injecting|jabbing|vaccinating|penicillin|antibiotics?|vaccine|bolus(?:es)?|pills?"
    r"|tablets?|pour[- ]?on|jabs?|injections?|wormer|drench(?:es)?|flukicide|steroids?|pain ?relief"
    r"|anti-?inflammator\w*|oxytet\w*|pen[- ]?(?:&|and)?[- ]?strep|(?:mastitis|dry cow|intramammary) tubes?)\b",
    re.I,
)
# What is a remedy where a sheep, a mob or a class stands beside it.
REMEDY_BESIDE = either(
    REMEDY.pattern,
    r"\b(?:pessar(?:y|ies)|CIDRs?|coccidiostat\w*|(?:for|against) cocci\w*|\w+mectin|oxytocin|bute)\b",
    r"\b(?:antibiotic tubes?|intramammar\w+|LA|long[- ]acting|pour[- ]on|wormers|boosters?)\b",
    rf"\b{SPOT_ON}",
    r"\b(?:blue|purple|foot|antibiotic|fly\w*|strike) spray\b",
    r"\beye (?:ointment|drops|cream|powder|puffer)\b",
    r"\b(?:puffer|calcium|magnesium|pain ?killers?|anti[- ]?inflam\w*|hormones?|sponges|PMSG|sedative)\b",
    r"\b(?:(?<!long )shots?(?! of the)|de-?worm\w*|anthelmintics?|vacc?s|abx|nsaids?|medicines?)\b",
    r"\b(?:treatment (?:for|to)|selenium|vitamins?)\b",
    r"\b(?:2nd |second |first )?dose (?!rate)\w+|\bdr\w{0,3}ch\b|\b(?:fluke|worm) (?:ewes|lambs|rams|tups|all)\b",
    r"\b(?:ewes|lambs|rams|tups) fluke\b",
    r"\b(?:anaesthetic|epidural|meds|medication|vaccinations?|backline[dr]?|dose (?:for|to)|needle)\b",
    r"\b(?:(?:mouth|worm|fluke|iron|scour|cocci\w*) dose)\b",
)
_REMEDY_WORD = (
    r"(?:\w+ )?(?:jabs?|injections?|drench|dose|dosing|drenching|worming|wormer|vaccines?|antibiotics?|penicillin"
    r"|boosters?|shot)"
)
# Nothing of it was given: `no drench needed`, `not for dosing`.
NONE_OF_IT = either(
    r"\b(?:no|not|never|without|none)(?: (?:more|further|need|for|of|a|any|the|yet|another|given|had|due|to))*"
    rf" {_REMEDY_WORD}",
    r"\b(?:no|not|never|none)\b[^.,;]*\b(?:given|dosed|done|needed)\b",
)
# It was given before: `after the injection`, `did not like the drench`, `second jab, no better`.
HAD_IT = either(
    r"\b(?:after|since|from|following|like|likes|hate|hates|took|takes|with|to|on|for|been)"
    rf" (?:(?:the|that|her|his|a|two|three|\d) )+{_REMEDY_WORD}\b",
    rf"\b(?:second|third|another|2nd|3rd) {_REMEDY_WORD}\b",
)
# What of a sentence was done, whatever else of it was not or will be.
REST_DONE = either(
    r"\b(?:gave|did|tried) (?:it|them|hers)\b|- done\b|\bhalfway through\b|\bafter (?:doing|dosing)\b|\btoday and\b",
    r"[,;.] ?(?:\w+ ){0,4}(?:done|was|were|did|had (?:it|hers|theirs)|got)\b",
)
# A race, a gun and what is read or spoken about: the words of a dose in them tell of none.
OF_NO_DOSE = re.compile(
    r"\b(?:dosing|drench(?:ing)?|worming) (?:race|crate|resistance|records?|book)\b"
    r"|\b(?:about|on|against) (?:worming|drenching|dosing|vaccinating|drench resistance)\b"
    r"|\b(?:ordered|bought|collected|delivered)\b[^.;]*\d ?(?:ml|l|litres?) each\b",
    re.I,
)
NOT_GIVEN = re.compile(
    r"\b(?:order(?:ed)?|marked|read about|course on|buy|bought|opened|good for|in the post|box of"
    r"|needs?|due|ask|tomorrow|next|plan|gun|left|out of|empty"
    r"|delivered|arrived|fridge|batch|expir\w*|cost|price|if|when|binned|spilt|bleach|washed|disinfect\w*"
    r"|last year|years? ago|should|must|want|may|might|will|get|fetch|book|date|lump|site|reaction)\b|\?",
    re.I,
)
BEFORE_IT = re.compile(  # what is yet to be given: `Weigh Teasel before worming.`
    r"\bbefore (?:(?:the|a|her|his|their|any|next|we|I) )?"
    r"(?:dos|drench|worm|inject|jab|vaccin|treat|shot|pour|bolus|penicillin|antibiotic)\w*",
    re.I,
)
BEFORE_OR_AFTER = re.compile(r"\b(?:before|after)\b", re.I)
COVERED = re.compile(r"\b(?:covered|gave|given|had|got|put|on)\b", re.I)
SIDE = re.compile(r"(?:,|\bon the|\bin the|\bnear) left\b", re.I)  # of her, and no remainder
REMEDY_WORDS = 6  # words up to which a sentence that names a remedy tells of a dose (our own choice)
BESIDE_WORDS = 10  # and up to which it does where it names a sheep, a mob or a class (our own choice)
_GROUPS = "gimmers|hoggets|shearlings|twins|culls|two-?tooths|tegs|theaves|stores|sheep|flock"
_GROUPS += r"|youngsters|yearlings|feeders|bummers|hoggs|chilvers|maidens|replacements|fats|finishers|castrates|milkers"
_GROUPS += r"|singles|triplets|pets|cades|orphans|shearling ewes|ram hoggs|ewe hoggs|head"
_DOSES_THEM = r"dos\w+|drench\w*|worm\w*|inject\w*|jab\w*|vaccin\w*|treat\w*|medicat\w*|deworm\w*|bolus\w*|dip\w*"
TRADE_GROUPS = re.compile(  # words of the trade for sheep that no class or mob here is called
    rf"\b(?:and|all|also|plus|then) (?:all )?(?:of )?(?:the )?(?:{_GROUPS})\b"
    rf"|\b(?:{_GROUPS}) (?:too|as well|also|done|{VACCINATED}|next)\b"
    rf"|\b(?:{_DOSES_THEM}) (?:all |both |my |our |the |these |\d+ |\w+ly )*(?:{_GROUPS})\b",
    re.I,
)
HER_KIN = re.compile(r"\b(?:her|his|its|their) (twin|twins|mother|mum|dam|ewe(?! lamb)|brother|sister)\b", re.I)
MORE_THAN_NAMED = re.compile(
    r"\b(?:and|plus|&|\+) (?:\d{1,2}|one|two|three|four|five|six|another) (?:others?|more)\b"
    r"|\b(?:and|&) (?:another|others)\b",
    re.I,
)
ALL_BUT = re.compile(r"\b(?:all|whole|every\w*|lot|mob|flock)\b[^.;]*\b(?:but|bar|except\w*|apart from|save)\b", re.I)
SAME_FOR = r"\W*(?:and )?(?:the )?(?:same|ditto|likewise)(?: again)?(?: (?:for|to|with|as|on) \S+(?: \S+)?)?\W*$"
SAME_AS_ABOVE = re.compile(rf"(?:\bsame\b|\bditto\b|[\"”〃])\W*$|^{SAME_FOR}", re.I)
SAME_ALONE = re.compile(SAME_FOR, re.I)  # `Same for her.`
WAITING_FIELD = re.compile(
    r"\bwithdr\w*|\b(?:meat|milk) until\b|\bnot before\b|\bclear (?:on|from|until|till|date)|\bsell|\bslaughter"
    r"|\bhold until",
    re.I,
)
BY_MOUTH = re.compile(r"\b(?:mouth|oral\w*|drench|bolus)\b", re.I)  # as labels have it
BY_NEEDLE = re.compile(r"\b(?:skin|muscle|vein|inject\w*|s/?c|i/?m|i/?v|subcut\w*|intramuscular\w*)\b", re.I)
IN_MOUTH = re.compile(r"\b(?:drench\w*|wormed|bolus\w*)\b", re.I)  # as people tell it
IN_NEEDLE = re.compile(r"\b(?:inj\w*|jab\w*|needled|shot|antibiotics?|penicillin)\b", re.I)
# What went into no sheep: `Vet left 50 ml`, `Washed the jugs, 100 ml bleach`; but not with words of a dose for each.
INTO_NO_SHEEP = re.compile(
    r"\b(?:calibrat\w*|\d+ ?ml (?:syringes?|ones|needles?)|counted syringes?|left|empty|binned"
    r"|spilt|bleach|washed|disinfect\w*|order(?:ed)?|bought|cost|price|due|mixed|made up|foot ?bath|shelf)\b",
    re.I,
)
EACH_OR_AGAIN = re.compile(
    r"\b(?:each|apiece|a ?head|per head|all|every\w*|them|used|again"
    r"|like|as|than|unlike|same|too|now|today|gave|given)\b",
    re.I,
)
LONG_AGO = re.compile(r"\b(?:last year|years? ago|in (?:19|20)\d\d)\b", re.I)
AGAIN = re.compile(
    r"\b(?:course|last (?:jab|dose|shot|injection|one)|day \d+|again|re-?dosed|re-?treated|re-?jabbed|re-?drenched"
    r"|repeat(?:ed)?|same|second|third|another|more|top-?up|topped|(?:rest|remainder) of)\b",
    re.I,
)
THE_REST = re.compile(r"\bthe (?:rest|others|remainder)\b", re.I)
# The others of the flock, not of a bottle: `Wormed the rest.`, `6 cc to the others`, `rest drenched`.
THE_REST_OF_THEM = re.compile(
    r"\b(?:the|all) (?:rest|others|remainder|remaining)\b(?! of\b)|\bevery(?:one|body|thing) else\b"
    r"|^\W*(?:rest|others)\b",
    re.I,
)
THE_EWE = re.compile(r"\b(?:ewe(?! lamb)|mother|mum|dam|she|her|both|all)\b", re.I)  # beside her lambs
# Work in words that was done: `Worm Teasel: done`, `[x] worm Teasel`, `Meant to worm Plover; did Teasel`.
TICKED_OFF = re.compile(
    r"\[[xX✓✔]\]|[✓✔√]|(?:[:,;–-]|\?) ?(?:all )?(?:done|ok(?:ay)?|yes|Done|OK|Yes)\b|\b[dD]one\W*$"
    r"|[;,.] ?(?:but )?did (?:\w+ )?(?=[A-Z#\d])"
)
CONFIRMED = re.compile(r"\b(?:all |both )?(?:done|yes|ok(?:ay)?|did (?:it|that|them|her|him))\b(?: today| now)?", re.I)
TICKED = re.compile(r"\[[xX✓✔]\]")
FURTHER = re.compile(r"\b(?:same|too|also|then|as well|likewise|another)\b", re.I)
PRONOUN = re.compile(r"\b(?:her|him|it|them|both|she|he|they|each|all)\b", re.I)
AND_CO = re.compile(r"(?:&|\band) (?:co|family|hers|all)\b", re.I)  # of a ewe: her lambs
WITH_LAMBS = re.compile(r"\b(?:lambs?|hers|twins|pair|at (?:the )?foot|family)\b|(?:&|\band) co\b", re.I)
MILK_FED = re.compile(  # what goes in or out by the ml and is no remedy
    r"\b(?:tubed|colostrum|milk|replacer|fed|feed|sucked|water|bloods?|samples?|bottle for)\b", re.I
)
# What else is dosed, sprayed or measured on a farm.
NO_SHEEP = re.compile(
    r"\b(?:dogs?|bitch|pups?|cats?|cows?|cattle|calf|calves|bull|horses?|pony|ponies|hens?|pigs?|goats?|diesel|petrol|oil"
    r"|rain|gauge|coffee|docks?|weeds?|thistles|nettles|knapsack"
    r"|my (?:back|head|knees?|cold|arm|flu)|my own (?:flu|jab|tablets|pills)|myself"
    r"|concrete|grease|bearings?|tractor|quad|trailer|chlorine|water tank|spring tank|trough"
    r"|children|kids|baby|grandchildren|poured out|came home|to the skin)\b"
    r"|\bneighbour\w*\b[^.]*\b(?:his|her|their) (?:own )?(?:sheep|flock|ewes|lambs)\b"
    r"|'s own (?:sheep|flock|ewes|lambs)\b",
    re.I,
)
SENTENCE = re.compile(  # a full stop in a figure, behind one letter, or behind a title ends none
    r"[^.!?\n]+(?:\.(?=\d|\.\w|(?<=\b\w\.) ?[a-z]|(?<=\b[Nn]o\.) ?\d|(?<=\b[Nn]os\.) ?\d"
    r"|(?<=\bM[rs]\.) [A-Z]|(?<=\bMrs\.) [A-Z]|(?<=\b[SD][tr]\.) [A-Z])\.?[^.!?\n]*)*[.!?]?"
)


def is_none(text: str) -> bool:
    """Whether words of a remedy say that nothing of it was given, or not yet."""
    if HAD_IT.search(text) or REST_DONE.search(text):
        return False
    return bool(NONE_OF_IT.search(text) or NOT_GIVEN.search(SIDE.sub("", text)))


def without_negations(text: str) -> str:
    """A text without the doses that it says were not given; all of it where it may tell of one all the same."""
    text = OF_NO_DOSE.sub("", text)
    plain = NOT_DONE.sub("", text)
    return text if YET_DONE.search(plain) else plain


def dipped(text: str) -> bool:
    """Whether a text says that sheep were dipped, and not navels or feet."""
    return DIPPED.search(text) is not None and OF_PARTS.search(text) is None
