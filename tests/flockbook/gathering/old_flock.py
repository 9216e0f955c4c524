"""An invented flock of sixty ewes as its spreadsheet had it: two seasons of lambings, weights and treatments."""

from __future__ import annotations

from datetime import date, timedelta

from tests.flockbook.gathering.workbooks import Padded, WorkbookCell

EWES, SEASONS = 60, (2025, 2026)
Rows = list[list[WorkbookCell]]


# Invented products with invented periods.
MEDICINES: Rows = [
    ["Product name", "Active", "Meat WD (days)", "Milk WD", "Source", "Label read"],
    ["clostridial vaccine", "toxoids", 0, "none", "label", date(2025, 1, 2)],
    ["oxytetracycline 20 %", "oxytetracycline", 28, "not for milk", "label", date(2026, 1, 2)],
]


def ewes() -> Rows:
    """The list of sheep: tags with noughts, three sires of their own, dams among the older ones."""
    rows: Rows = [["Corrie Hask flock"], [], ["Tag", "Name", "Sex", "DOB", "Dam", "Sire", "Colour"]]
    rows += [[Padded(ram), f"Ram{ram}", "M", date(2019, 4, 1), None, None, None] for ram in (1, 2)]
    for number in range(EWES):
        dam = Padded(201 + number - 40) if number >= 40 else None
        born = date(2019, 4, 3) if number < 40 else date(2022, 4, 9)
        rows.append([Padded(201 + number), None, "F", born, dam, Padded(1) if dam else None, "dark face"])
    return [*rows, [], ["Total", EWES + 2]]


def lambings() -> Rows:
    """A row for each lamb: every third ewe has a single, the others twins."""
    rows: Rows = [["Ewe", "Date lambed", "Lamb sex", "Birth wt (kg)", "Lamb tag", "Status", "Ease", "Remarks"]]
    for season in SEASONS:
        for number in range(EWES):
            day = date(season, 4, 1) + timedelta(number // 3)
            for place in range(1 if number % 3 == 0 else 2):
                dead = place == 1 and number % 15 == 1
                tag = None if dead else f"{season % 100}{number:02}{place + 1}"
                status = "stillborn" if dead else "alive"
                rows.append([
                    Padded(201 + number), day, "FM"[(number + place) % 2], 4.1 + number % 7 / 10, tag, status, "none",
                    "came backwards" if dead else None,
                ])  # fmt: skip
    return rows


def weights() -> Rows:
    """The lambs of both seasons that lived, at eight weeks."""
    rows: Rows = [["Date", "Lamb", "Weight kg", "Notes"]]
    for row in lambings()[1:]:
        ewe, born, tag = row[0], row[1], row[4]
        assert isinstance(born, date)
        assert isinstance(ewe, Padded)
        note = "dirty behind" if ewe.number % 20 == 0 else None
        rows += [[date(born.year, 6, 10), tag, 17.5 + ewe.number % 9, note]] if tag else []
    return rows


def treatments() -> Rows:
    """Every ewe before lambing, in both years, and one lame ewe whose wait is not over."""
    rows: Rows = [["Date", "Animal", "Product", "Dose", "Batch", "Reason", "Meat WD (days)", "Vet said"]]
    for season in SEASONS:
        rows += [
            [date(season, 3, 1), Padded(201 + number), "clostridial vaccine", "2 ml", "B7", "before lambing", 0, None]
            for number in range(EWES)
        ]
    return [*rows, [date(2026, 6, 20), Padded(205), "oxytetracycline 20 %", "6 ml", "X1", "lame", 28, "once"]]


def sheets() -> dict[str, Rows]:
    """The whole workbook."""
    return {
        "Ewes and rams": ewes(), "Lambings": lambings(), "Weights": weights(), "Medicines": MEDICINES,
        "Treatments": treatments(),
    }  # fmt: skip
