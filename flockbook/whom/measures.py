"""Days, times and amounts as a text has them."""

from __future__ import annotations

import re

_MONTH = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\b"
WHEN = re.compile(
    rf"\d{{4}}-\d{{1,2}}-\d{{1,2}}(?:[T ]\d{{1,2}}:\d{{2}})?|\d{{1,2}}(?:st|nd|rd|th)?[ -]?{_MONTH}\.?(?:,? \d{{4}})?"
    rf"|{_MONTH}\.? \d{{1,2}}(?:st|nd|rd|th)?(?![\w/.])(?:,? \d{{4}})?|\d{{1,2}}[:h]\d{{2}}(?: ?[ap]\.?m\b)?"
    r"|\d{1,2}[.]\d{2} ?[ap]\.?m\b|\d{1,2} ?[ap]\.?m\b|\d{1,2}[/.]\d{1,2}[/.]\d{2,4}",
    re.I | re.A,
)
UNITS = (
    r"mls?|mill?s?|m\.l\.|millilit(?:re|er)s?|ccs?|c\.c\.|mgs?|kgs?|kilos?|lbs?|pounds?|stone|st|g|oz|ounces?|tablets?|tabs?|bolus(?:es)?|capsules?|drops?"
    r"|°? ?[cf]|%|days?|d|hours?|hrs?|h|weeks?|wks?|months?|years?|yrs?|mins?|minutes?|times|x|eggs|epg|each|heads?"
)
MEASURE = re.compile(
    rf"\.?\d+(?:[.,]\d+)*\s*(?:{UNITS})(?![\w])(?:\s*/\s*(?:{UNITS}|head|sheep|animal|\d+\s*(?:{UNITS}))(?!\w))?",
    re.I | re.A,
)
_NUMBERS = (
    r"one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|twenty[- ]five|thirty|half an?|an?"
)
SAID = re.compile(  # an amount in words: `three mil`, `half a tablet`
    rf"(?:{_NUMBERS})(?: and a half| point \w+)?\s(?:mls?|mill?s?|millilit(?:re|er)s?|ccs?"
    r"|tablets?|tabs?|bolus(?:es)?|capsules?)(?!\w)",
    re.I | re.A,
)
DOSE = re.compile(
    r"(?:\d|\b(?:one|two|three|four|half|a))\s*(?:tablets?|tabs?|bolus(?:es)?|capsules?)(?![\w])"
    r"|[\d½¼¾](?:\s*|-|ish ?)(?:mls?|m\.l|mill?s?|millis|millilit(?:re|er)s?|ccs?|c\.c|m l|cl|fl\.? ?oz)(?![\w])"
    r"|(?:\d|\b(?:one|two|a)) ?(?:sachets?|caplets?)(?![\w])"
    rf"|\b{SAID.pattern}"
    r"|(?:\d|\b(?:one|two|three|half|a|a full)) ?(?:a )?(?:syringe(?:ful)?|pump|squirt|capful|spoonful)s?\b"
    r"|\b(?:capful|spoonful) (?:to|for|into)\b|\btubes? (?:to|into|up)\b",
    re.I | re.A,
)
