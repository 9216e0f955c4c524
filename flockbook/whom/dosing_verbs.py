"""The verbs of a dose in the past, each once; all patterns that name them are made from here."""

from __future__ import annotations

GIVEN_SO = r"drenched|wormed|injected|jabbed"  # ways of giving
DOSED = rf"dosed|{GIVEN_SO}"
TREATED = rf"{DOSED}|treated"
VACCINATED = rf"{TREATED}|vaccinated"
