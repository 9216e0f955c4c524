"""An invented flock of sixty ewes in pounds, as one shepherd kept it in a spreadsheet: titles above the headings, units
in them, days across, the second twin without her mother, and who is gone in a column of its own.
"""

from __future__ import annotations

from datetime import date, timedelta

from tests.flockbook.gathering.old_flock import Rows
from tests.flockbook.gathering.workbooks import WorkbookCell

EWES, FIRST = 60, 101
GONE = {7: "SOLD 9/12/25", 19: "died 3/4/2025", 33: "sold 10/20/25 to Henderson"}
DEAD_LAMB = 13  # of so many ewes one lost a lamb


def ewes() -> Rows:
    """The list of ewes."""
    rows: Rows = [["Hollow Creek ewes"], ["Tag #", "Name", "DOB", "Breed", "Sire", "Status"]]
    for number in range(EWES):
        here = "active" if number % 2 else None
        born, sire = date(2021 + number % 3, 3, 1 + number % 20), "R1" if number > 40 else None
        rows.append([FIRST + number, "Rose" if number == 3 else None, born, "Katahdin", sire, GONE.get(number, here)])
    return rows


def lambings() -> Rows:
    """A row for each lamb: every fourth ewe has a single; the mother and the day stand beside the first alone."""
    rows: Rows = [["LAMBING"], ["Ewe", "Date", "Sex", "BW lbs", "Lamb tag", "Notes"]]
    for season in (2025, 2026):
        for number in range(EWES):
            if number not in (19, *(GONE if season == 2026 else ())):
                rows += litter(season, number)
    return rows


def litter(season: int, number: int) -> Rows:
    """The lambs of one ewe."""
    first: list[WorkbookCell] = [FIRST + number, date(season, 3, 5) + timedelta(number // 3)]
    found: Rows = []
    for place in range(1 if number % 4 == 0 else 2):
        dead = place == 1 and number % DEAD_LAMB == 5
        tag = None if dead else f"{season % 100}{number:02}{place + 1}"
        sex, weight = "ER"[(number + place) % 2], round(7.2 + number % 9 / 5, 1)
        found.append([*(first if place == 0 else [None, None]), sex, weight, tag, "dead" if dead else None])
    return found


def weights() -> Rows:
    """The lambs on three days, each day a column; only the first heading has the unit."""
    tags = [str(row[4]) for row in lambings()[2:] if row[4]]
    rows: Rows = [["Tag", "6/1/25 (lbs)", "9/1/25", "6/1/26"]]
    for place, tag in enumerate(tags):
        figures: list[WorkbookCell] = [62 + place % 7, 88 + place % 5] if tag < "26" else [None, None, 60 + place % 8]
        rows.append([tag, *figures])
    return rows


def treatments() -> Rows:
    """The whole flock once a year, and one lame ewe whose wait is not over."""
    rows: Rows = [["Treatment log 2025 and 2026"], ["Date", "Tag", "Product", "Amt (cc)", "Reason"]]
    rows += [[date(season, 2, 1), "all ewes", "CDT toxoid", 2, "before lambing"] for season in (2025, 2026)]
    return [*rows, [date(2026, 6, 20), 110, "oxytetracycline", 9, "foot"]]


def sales() -> Rows:
    """Ten lambs to the sale barn."""
    head: list[WorkbookCell] = ["Date", "Tag", "Buyer", "Lbs", "Price"]
    return [head, *([date(2025, 9, 20), f"25{one:02}1", "Nash sale barn", 90, 185] for one in range(2, 22, 2))]


def sheets() -> dict[str, Rows]:
    """The whole workbook."""
    rams: Rows = [["Tag #", "Name", "DOB", "Breed"], ["R1", "Duke", date(2020, 2, 1), "Katahdin"]]
    return {
        "Ewes": ewes(), "Rams": rams, "Lambing": lambings(), "Weights": weights(), "Treatments": treatments(),
        "Sales": sales(),
    }  # fmt: skip
