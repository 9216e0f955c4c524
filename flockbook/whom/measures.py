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
    r"mls?|mils?|m\.l\.|millilit(?:re|er)s?|cc|mgs?|kgs?|kilos?|lbs?|pounds?|stone|st|g|oz|ounces?|tablets?|tabs?|bolus(?:es)?|capsules?|drops?"
    r"|°? ?[cf]|%|days?|d|hours?|hrs?|h|weeks?|wks?|months?|years?|yrs?|mins?|minutes?|times|x|eggs|epg|each|heads?"
)
MEASURE = re.compile(
    rf"\.?\d+(?:[.,]\d+)*\s*(?:{UNITS})(?![\w])(?:\s*/\s*(?:{UNITS}|head|sheep|animal|\d+\s*(?:{UNITS}))(?!\w))?",
    re.I | re.A,
)
DOSE = re.compile(
    r"(?:\d|\b(?:one|two|three|four|half|a))\s*(?:tablets?|tabs?|bolus(?:es)?|capsules?)(?![\w])"
    r"|(?:\d|\b(?:one|two|three|four|five|six|seven|eight|ten))\s*(?:mls?|mils?|millilit(?:re|er)s?|cc)(?![\w])"
    r"|(?:\d|\b(?:one|two|three|half|a|a full)) ?(?:a )?syringe(?:ful)?s?\b",
    re.I | re.A,
)
