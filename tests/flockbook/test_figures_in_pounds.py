"""Figures of a flock in pounds, each worked out with a pencil and looked for where she reads it.

Every row gives the page (or `proof`), the words that stand there, and the sum behind the figure in them. 1 lb is
0.45359237 kg (NIST SP 811), a US fluid ounce 29.5735 mL, a quart 946.353 mL (NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.flockbook.compiled import Compiled
from tests.flockbook.small import read

Books = dict[str, Compiled]
LB, FL_OZ, QUART = 0.45359237, 29.5735, 946.353  # kg, mL, mL
NOTES = {
    "flock.yaml": "flock: Pencil\nunits: us\ncurrency: USD\ndates: month-day\ntimezone: America/Chicago\ncountry: US\n"
    "targets: [sale weight 90 lb]\n",
    "sheep/201.md": "---\nnote: ewe\nborn: 2/1/2022\nmature weight: 150 lb\n---\n",
    "sheep/202.md": "---\nnote: ewe\nborn: 3/2024\n---\n",
    "sheep/203.md": "---\nnote: ewe\nborn: about 2020\n---\n",
    "sheep/B7.md": "---\nnote: buck\nborn: 3/2022\n---\n",
    "paddocks/Creek.md": "---\nnote: paddock\narea: 4 acres\nrest: 30 days\nlimit: 7 days\n---\n",
    "supplies/hay.md": "---\nnote: supply\nname: hay\nhave: 20 bales of 45 lb\n---\n",
    "medicines/long shot.md": "---\nnote: medicine\nname: long shot\nlabel rate: 4.5 ml per 100 lb\n"
    "meat withdrawal: 28 days\nmilk withdrawal: not for milk\npack: 100 ml\nmax per site: 5 ml\n---\n",
    "medicines/clear drench.md": "---\nnote: medicine\nname: clear drench\nlabel rate: 1 ml per 11 lb\n"
    "meat withdrawal: 14 days\nmilk withdrawal: not for milk\npack: 500 ml\n---\n",
    "events/2025-10-05 joining B7.md": "---\newes: 201, 202, 203\nout: 11/20/2025\n---\n",
    "events/2026-01-05 weighing.md": "- 201 154\n- 202 143\n- 203 165\n",
    "events/2026-01-10 move.md": "---\nsheep: 201, 202, 203\nto: Creek\nsward: 6 in\n---\n",
    "events/2026-01-20 move.md": "---\nsheep: 201, 202, 203\nto: barn\n---\n",
    "events/2026-03-01 0510 lambing 201.md": "- ewe 8 lb, tag 601\n- buck 9 lb, tag 602\n",
    "events/2026-03-01 0640 lambing 202.md": "- ewe 10 lb, tag 603\n",
    "events/2026-03-01 0720 lambing 203.md": "- buck 12 lb 8 oz, tag 604\n",
    "events/2026-03-01 0800 feeding.md": "---\nlambs: 601\namount: 4 oz\nhow: tube\n---\n",
    "events/2026-03-01 1000 feeding.md": "---\nlambs: 602\namount: 20 oz\nhow: tube\ntemp: 98.2\n---\n",
    "events/2026-04-30 weaning.md": "- 601 44\n- 602 47\n- 603 58\n- 604 62.5\n",
    "events/2026-05-30 weighing.md": "- 601 56\n- 602 61\n- 603 70\n- 604 78\n",
    "events/2026-05-02 check.md": "- 201 bcs 3, famacha 2, 105.1 F\n",
    "events/2026-05-03 treatment 201.md": "---\nmedicine: long shot\ndose: 30 ml\nfor: mastitis\n---\n"
    "- 201 150 lb 30 ml\n",
    "events/2026-06-05 sale 602.md": "---\nto: auction\nuse: slaughter\nprice: $2.45/lb\nweight: 62 lb\n---\n",
    "events/2026-06-06 sale 601.md": "---\nto: neighbor\nuse: breeding\nprice: 185 per cwt\nweight: 57 lb\n---\n",
    "events/2026-06-01 money feed.md": "---\namount: 40 bales at $6.50\nfor: feed\n---\n",
    "events/2026-06-02 treatment.md": "---\nmedicine: clear drench\nsheep: 203\ndose: 0.25 ml\nsure: yes\n---\n",
    "events/2026-06-07 weighing.md": "- 202 143\n- 203 110\n",
    "events/2026-06-08 egg count.md": "- 202 before 300\n",
}
SUMMER, NIGHT = "2026-06-10", "2026-03-01T10:30"
# Page, its words, the sum, and to how many places it is printed.
FIGURES: tuple[tuple[str, str, float, int], ...] = (
    # Births: singles of 10 lb and 12 lb 8 oz, twins of 8 and 9 lb.
    ("crop-2026.html", "Singles: 2 weighed, the middle one 11.3 lb", (10 + 12.5) / 2, 1),
    ("crop-2026.html", "all from 10.0 lb to 12.5 lb; none light, 1 heavy", 12 + 8 / 16, 1),
    ("crop-2026.html", "Twins: 2 weighed, the middle one 8.5 lb", (8 + 9) / 2, 1),
    # Published 3.5 and 5.5 kg are 7.716 and 12.125 lb; 7.72 is the first hundredth not light, 12.12 the last not heavy.
    ("crop-2026.html", "Light is under 7.72 lb", 3.5 / LB + 0.005, 2),
    ("crop-2026.html", "heavy over 12.12 lb (Making More From Sheep", 5.5 / LB - 0.005, 2),
    # Gains a day from birth to the last weighing, 90 days old.
    ("crop-2026.html", "8.0 56.0 0.53", (56 - 8) / 90, 2),
    ("crop-2026.html", "9.0 61.0 0.58", (61 - 9) / 90, 2),
    ("crop-2026.html", "10.0 70.0 0.67", (70 - 10) / 90, 2),
    ("crop-2026.html", "12.5 78.0 0.73", (78 - 12.5) / 90, 2),
    # Weighings: 44, 47, 58 and 62.5 lb at weaning, thirty days on 56, 61, 70 and 78.
    ("growth.html", "52.9 lb (44.0 lb to 62.5 lb)", (44 + 47 + 58 + 62.5) / 4, 1),
    ("growth.html", "66.3 lb (56.0 lb to 78.0 lb)", (56 + 61 + 70 + 78) / 4, 1),
    ("growth.html", "0.45 lb a day (4 in both)", (12 + 14 + 12 + 15.5) / 4 / 30, 2),
    ("growth.html", "last 11.8 lb over the mean of 4", 78 - 66.25, 1),
    ("growth.html", "last 10.3 lb under the mean of 4", 66.25 - 56, 1),
    # On one footing at 60 days (generic factors): dam of 4 years, ewe lamb, twin; the same, ram; dam of 2 years, ewe
    # lamb, single; dam of about 2020, so of 6 years, ram, single.
    ("growth.html", "601 44.0 lb, 60 d 53.2 lb", 44 * 1.00 * 1.00 * 1.21, 1),
    ("growth.html", "602 47.0 lb, 60 d 51.8 lb", 47 * 1.00 * 0.91 * 1.21, 1),
    ("growth.html", "603 58.0 lb, 60 d 62.6 lb", 58 * 1.08 * 1.00 * 1.00, 1),
    ("growth.html", "604 62.5 lb, 60 d 56.9 lb", 62.5 * 1.00 * 0.91 * 1.00, 1),
    ("growth.html", "57.9 lb at 60 days", (53.24 + 62.64) / 2, 1),
    ("growth.html", "54.3 lb at 60 days", (51.7517 + 56.875) / 2, 1),
    ("growth.html", "62.6 lb 108 (of 2)", 100 * 62.64 / 57.94, 0),
    ("growth.html", "what ± 0.4 lb of the scale", 0.2 / LB, 1),
    ("growth.html", "under 0.44 lb a day (200 g a day as published)", 0.2 / LB, 2),
    # Weaned: 44 + 47 + 58 + 62.5 lb by ewes of 154, 143 and 165 lb.
    ("growth-ewes.html", "weaned 212 lb of lamb", 44 + 47 + 58 + 62.5, 0),
    ("growth-ewes.html", "weigh 462 lb themselves", 154 + 143 + 165, 0),
    ("growth-ewes.html", "46 % of their own weight", 100 * 211.5 / 462, 0),
    ("growth-ewes.html", "212 lb 70.5 lb 46 % (3 ewes)", 211.5 / 3, 1),
    ("growth-ewes.html", "59 %", 100 * (44 + 47) / 154, 0),
    ("growth-ewes.html", "41 %", 100 * 58 / 143, 0),
    ("seasons.html", "211.5 for 3 , 70.50 each", 211.5 / 3, 2),
    # Sold: 62 lb at $2.45 a pound, 57 lb at $185 the hundredweight of 100 lb; half of it on the hook.
    ("growth-sales.html", "$151.90 62.0 lb", 62 * 2.45, 2),
    ("growth-sales.html", "$2.45 $4.90", 2.45 / 0.50, 2),
    ("growth-sales.html", "$105.45 57.0 lb", 57 * 185 / 100, 2),
    ("growth-sales.html", "$1.85 $3.70", 1.85 / 0.50, 2),
    ("growth-sales.html", "44 % 39.6 lb", 90 * 0.44, 1),
    ("money.html", "$257.35", 151.90 + 105.45, 2),
    ("money.html", "$260.00", 40 * 6.50, 2),
    ("money.html", "A lamb had to fetch $130.00", 260 / 2, 2),
    ("money.html", "fetched each $128.68", 257.35 / 2, 2),
    ("money.html", "−$0.88", (260 - 257.35) / 3, 2),
    # Grass: three ewes for ten nights on four acres; rested from January 20 to June 10.
    ("grass.html", "Creek, 4.0 ac rested 141 nights", 11 + 28 + 31 + 30 + 31 + 10, 0),
    ("grass.html", "10 (3 over) 3 30", 3 * 10, 0),
    ("grass.html", "8 barn grazed, 141 nights", 3 * 10 / 4, 0),
    # Hay: 20 bales of 45 lb. Dry ewes of 154, 143 and 110 lb eat 2 to 2.5 % of it in dry matter, lambs of 70 and 78 lb
    # 4 % (UConn), and hay is 88 % dry; the buck nobody weighed counts as their mean.
    ("feed.html", "900 lb of hay in hand", 20 * 45, 0),
    ("feed.html", "dry ewe 4 136 lb", (154 + 143 + 110) / 3, 0),
    ("feed.html", "3.1 lb to 3.9 lb", 135.6667 * 0.02 / 0.88, 1),
    ("feed.html", "3.1 lb to 3.9 lb", 135.6667 * 0.025 / 0.88, 1),
    ("feed.html", "lamb 2 74 lb", (70 + 78) / 2, 0),
    ("feed.html", "4 % 3.4 lb", 74 * 0.04 / 0.88, 1),
    ("feed.html", "19–22 lb", 4 * 3.0833 + 2 * 3.3636, 0),
    ("feed.html", "19–22 lb", 4 * 3.8542 + 2 * 3.3636, 0),
    ("feed.html", "40 to 47 days", 900 / 22.144 - 0.5, 0),
    ("feed.html", "40 to 47 days", 900 / 19.061 - 0.5, 0),
    # Doses for the heaviest of a group, 78 and 143 lb, at 1 mL for 11 lb and 4.5 mL for 100 lb.
    ("dose-sheet.html", "7.09 mL", 78 / 11, 2),
    ("dose-sheet.html", "13 mL", 143 / 11, 0),
    ("dose-sheet.html", "3.51 mL", 78 * 4.5 / 100, 2),
    ("dose-sheet.html", "6.44 mL", 143 * 4.5 / 100 + 0.0001, 2),
    ("clear-to-sell.html", "twice the label's 6.75 mL for 150 lb", 150 * 4.5 / 100, 2),
    ("proof", "30 mL was recorded where the rate gives 6.75 mL", 150 * 4.5 / 100, 2),
    ("medicine-book.html", "0.25 ml; 0.25 mL in all", 0.25, 2),
    ("index.html", "202: before 300 eggs per gram", 300, 0),
    # Colostrum, 50 mL a kilogram a feed and 200 the first day, for lambs of 8 and 9 lb.
    ("cards.html", "8.0 lb 6.1 fl oz (181 mL) 24.5 fl oz (726 mL)", 8 * LB * 50 / FL_OZ, 1),
    ("cards.html", "8.0 lb 6.1 fl oz (181 mL) 24.5 fl oz (726 mL)", 8 * LB * 200, 0),
    ("cards.html", "9.0 lb 6.9 fl oz (204 mL)", 9 * LB * 50, 0),
    ("proof", "20 fl oz (591 mL) at one time; the published most is 6.9 fl oz (204 mL) for 9.0 lb", 20 * FL_OZ, 0),
    # Degrees: 37.0, 39.0 and 40.0 °C are 98.6, 102.2 and 104.0 °F.
    ("cards.html", "98.6 °F to under 102.2 °F", 39 * 1.8 + 32, 1),
    ("cards.html", "102.2 °F to 104.0 °F", 40 * 1.8 + 32, 1),
)  # fmt: skip
AT_NIGHT: tuple[tuple[str, str, float, int], ...] = (
    ("watch.html", "98.2 °F at", 98.2, 1),
    ("watch.html", "glucose 20 %, 40.8 mL", 9 * LB * 10, 1),
    ("watch.html", "it has had 20 fl oz (591 mL)", 20 * FL_OZ, 0),
    ("watch.html", "8.0 lb 6.1 fl oz (181 mL) a feed", 8 * LB * 50, 0),
    ("watch.html", "4 fl oz (118 mL) given by hand", 4 * FL_OZ, 0),
    ("watch.html", "1.6 qt (1,542 mL)", (8 + 9) * LB * 200 / QUART, 1),
    ("watch.html", "heavy (over 12.12 lb)", 5.5 / LB - 0.005, 2),
)


@pytest.fixture(scope="module")
def books() -> Iterator[Books]:
    """The book in summer, and in the night after the births, from the notes that were written by then."""
    with TemporaryDirectory() as place:
        yield {
            on: Compiled(
                {name: text for name, text in NOTES.items() if name[:7] != "events/" or name[7:17] <= on[:10]},
                on, Path(place) / on[:10],
            )
            for on in (SUMMER, NIGHT)
        }  # fmt: skip


def half_up(value: float, places: int) -> str:
    """A figure as it is printed: a half goes up."""
    found = Decimal(f"{value:.6f}").quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    return f"{found:,}"


@pytest.mark.parametrize(
    ("on", "page", "says", "value", "places"),
    [*((SUMMER, *row) for row in FIGURES), *((NIGHT, *row) for row in AT_NIGHT)],
)
def test_a_figure_in_pounds(books: Books, on: str, page: str, says: str, value: float, places: int) -> None:
    """What the book says has the figure that the sum gives, and the page says it."""
    assert half_up(value, places) in says
    told = [message.message for message in books[on].told.diagnostics]
    assert says in (" ".join(told) if page == "proof" else books[on].words(page))


EWES = {
    "flock.yaml": NOTES["flock.yaml"],
    **{f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 2022\n---\n" for ewe in (201, 202)},
    "medicines/se.md": "---\nnote: medicine\nname: se\nlabel rate: 1 ml per 40 lb\nmeat withdrawal: none\n"
    "milk withdrawal: none\n---\n",
}


@pytest.mark.parametrize(
    ("notes", "says"),
    [
        # 120 to 80 lb is a third less, 150 to 230 more than half: both over the 22 % of gut fill (OMAFRA 19-009).
        ({"events/2026-06-01 weighing.md": "- 201 120\n", "events/2026-06-08 weighing.md": "- 201 80\n"},
         "201: 80.0 lb, 7 days after 120 lb"),
        ({"events/2026-06-01 weighing.md": "- 201 150\n", "events/2026-06-08 weighing.md": "- 201 230\n"},
         "201: 230 lb, 7 days after 150 lb"),
        # 10 mL at 1 mL for 40 lb is the dose of 10 x 40 = 400 lb.
        ({"events/2026-06-08 treatment 201.md": "---\nmedicine: se\ndose: 10 ml\n---\n"},
         "would fit a sheep of 400 lb"),
        # 38.6 and 40.0 °C are 101.48 and 104.0 °F.
        ({"events/2026-06-09 check.md": "- 201 105.1 F\n"},
         "105.1 °F is above a published range for grown sheep (101.5 to 104.0 °F)"),
        ({"events/2026-06-09 illness 201.md": "---\nproblem: off her feed\ntemp: 99.5\n---\n"},
         "99.5 °F is below a published range for grown sheep (101.5 to 104.0 °F)"),
    ],
)  # fmt: skip
def test_a_message_in_pounds(notes: dict[str, str], says: str) -> None:
    """What proof asks about is told in her own units."""
    told = " ".join(item.message for item in read({**EWES, **notes}, SUMMER).diagnostics)
    assert says in told
