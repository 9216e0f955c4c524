"""The money page: season by season what came in, what it cost, what is left for each ewe, what a lamb must fetch."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from compiler.book import PageMaker, Stamp
from compiler.pages import Html, Link, Page
from flockbook.derive.farm.budget import OWN_LABOUR, Budget, Entered, cents
from flockbook.derive.farm.loss_worth import LossOf, SeasonLosses
from flockbook.derive.farm.money import MoneyBook, MoneySeason
from flockbook.derive.farm.payments import Payment, Year
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.sections import Aside, Block, Fold, Look, Section, SectionsView, Subhead
from flockbook.pages.views import Cell, Chart, Column, Pair, Row, Table, Words, day
from flockbook.pages.wording import LONG_MONTHS, NONE, plural
from flockbook.regional import local
from flockbook.saying.because import words_of_reason
from flockbook.saying.money import MONEY_SIGNS, SEASON_BY, sum_words
from flockbook.seen import Seen
from flockbook.settings import Settings

PATH = "money.html"
WHAT_IF = "The margin, had so many lambs been sold at such a price, all else as it was."
BAR = 30.0  # the height of one kind of money in the chart


def make(seen: Seen, stamp: Stamp) -> Iterable[Page]:
    """The money page."""
    del stamp
    found, sign = seen.facts.farm.money, MONEY_SIGNS.get(seen.settings.currency.upper(), "")
    latest = tuple(reversed(found.seasons))
    drawn = money_chart(latest, sign)
    sections = (
        Section("Season by season", (seasons_table(found, sign), *((drawn,) if drawn else ())), "seasons-head"),
        *(season_money(season, found.left_out, sign) for season in latest),
        loss_cost_section(seen, sign),
        Section("Left out of the sums", (left_out_table(found.left_out, sign),), "left-head"),
        Section("How it is counted", rules(found.year), "how-head"),
    )
    yield Page(PATH, "sections.html", "Money", SectionsView(lead(seen.settings), sections), "The farm")


def lead(settings: Settings) -> str:
    """The currency, and where own labour stands."""
    currency = f"All sums in {settings.currency}. " if settings.currency else ""
    own = settings.file.own_hours and settings.file.hour_worth
    return currency + (
        "Margins stand twice: unpaid, and after your own hours, which a season is charged once a ewe is exposed in it."
        if own
        else "Your own hours cost nothing here: write “own hours” and “hour worth” in flock.yaml to count them."
    )


def kind_words(kind: str) -> str:
    """A kind of money: as she typed it, or the book's own one for unpaid work."""
    return local(kind) if kind == OWN_LABOUR else kind


def rules(year: Year) -> tuple[str, ...]:
    """Which season a sum belongs to, and how break-even is reckoned."""
    return (
        "Lambs sold (sheep under a year old) belong to the season they were born in; older sheep to the year they are "
        f"sold in; all else to the lambing year whose money year it falls in. A money year begins on "
        f"{local(f'1 {LONG_MONTHS[year.month - 1]}')}, half a year before lambing begins. “season: 2026” in a "
        "money note has the last word.",
        "Margin is income less costs. Break-even is what each lamb sold had to fetch: costs less all other "
        "income, over the lambs sold (form: Texas A&M AgriLife budgets, 2016). "
        f"Below {local('nought')}, that alone covered them.",
        "Sums are added up unrounded and rounded once, where they are shown. What no note tells of is not here.",
    )


# The seasons


def seasons_table(found: MoneyBook, sign: str) -> Table:
    """One row for each season."""
    columns = (
        Column("Season"),
        Column("Came in", "number"),
        Column("Spent", "number"),
        Column("Without", wide=True),
        Column("Margin", "number"),
        Column("Per ewe", "number"),
        Column("A lamb had to fetch", "number"),
    )
    rows = tuple(
        Row(
            (
                str(season.season),
                sum_words(season.budget.income, sign),
                sum_words(season.budget.costs, sign),
                without_words(season, found.left_out) or NONE,
                sum_words(season.budget.margin, sign),
                sum_words(season.budget.margin_per_ewe, sign),
                price_needed(season.budget.break_even, sign),
            )
        )
        for season in reversed(found.seasons)
    )
    return Table(
        columns,
        rows,
        "No money is written yet: a sale with its price opens the account.",
        "by-season",
    )


def without_words(season: MoneySeason, left_out: Iterable[Payment]) -> str:
    """What a margin stands without: 4 of 6 lambs sold have no sum; 2 sums are left out."""
    missing, sums = season.lambs_sold - season.priced, sum(one.season == season.season for one in left_out)
    lambs = f"{missing} of {plural(season.lambs_sold, 'lamb')} sold have no sum that counts" if missing > 0 else ""
    return "; ".join(filter(None, (lambs, f"{plural(sums, 'sum')} left out, see below" if sums else "")))


LOSS_RULE = (
    "A lost lamb counts as “loss value” in flock.yaml, else as the mean price of that season's lambs sold; a ewe or a "
    "ram only where flock.yaml says what it was worth. It is money that never came in, and stands in no margin."
)


def loss_cost_section(seen: Seen, sign: str) -> Section:
    """What each season's losses cost, and the latest season's by stage and by cause."""
    found = tuple(reversed(seen.facts.farm.losses))
    columns = (Column("Season"), Column("Lost", wide=True), Column("Cost", "number"), Column("For each ewe", "number"))
    rows = tuple(
        Row((
            str(one.season), Words(lost_and_worth(one, sign)), sum_words(one.cost, sign), sum_words(one.each_ewe, sign),
        ))
        for one in found
    )  # fmt: skip
    body: list[Block] = [LOSS_RULE, Table(columns, rows, "No loss is written.", "loss-cost")]
    if found:
        parts = (("stage", found[0].by_stage), ("cause", found[0].by_cause))
        body += [Fold(f"{found[0].season}, by {name}", (loss_parts(name, items, sign),)) for name, items in parts]
    return Section("What each loss cost", tuple(body), "losses-head")


def lost_and_worth(one: SeasonLosses, sign: str) -> str:
    """`5 lambs at £88.00 each; 1 ewe, worth not written`."""
    told = []
    for part in one.sorts:
        worth = f"at {sum_words(part.each, sign)} each" if part.each is not None else "worth not written"
        source = "" if part.typed or part.each is None else " (the crop's mean price)"
        told += [f"{plural(part.heads, part.sort)} {worth}{source}"] if part.heads else []
    return "; ".join(told)


def loss_parts(name: str, parts: Iterable[LossOf], sign: str) -> Table:
    """Lambs lost by one thing."""
    columns = (Column(name.capitalize()), Column("Lambs", "number"), Column("Cost", "number"))
    rows = tuple(Row((part.sort, part.heads, sum_words(part.cost, sign))) for part in parts)
    return Table(columns, rows, "No lamb was lost.")


def season_money(season: MoneySeason, left_out: tuple[Payment, ...], sign: str) -> Section:
    """One season: its figures at a look, the tables behind them, and what-ifs."""
    made = season.budget
    body = (
        Look(money_look(season, left_out, sign)),
        Subhead("By kind"), money_kinds_table(made, sign),
        Subhead("What if"), Aside(WHAT_IF), what_if_shown(season, sign),
        Fold("Every sum of this season", (sums_table(season.payments, sign),)),
    )  # fmt: skip
    return Section(f"Season {season.season}", body, f"season-{season.season}")


def money_look(season: MoneySeason, left_out: tuple[Payment, ...], sign: str) -> tuple[Pair, ...]:
    """The figures at a look; what they stand without; those after own labour only where it is counted."""
    made, without = season.budget, without_words(season, left_out)
    pairs = [
        Pair("Margin", sum_words(made.margin, sign)),
        Pair(
            f"For each of {plural(season.exposed, 'ewe')} {local('put to the ram')}",
            sum_words(made.margin_per_ewe, sign),
        ),
        Pair("A lamb had to fetch", price_needed(made.break_even, sign)),
        Pair(fetched_words(season), sum_words(season.price, sign)),
        *([Pair("Without", without)] if without else []),
    ]
    if made.own_labour:
        pairs += [
            Pair(local("Own labour"), sum_words(made.own_labour, sign)),
            Pair("Margin after it", sum_words(made.margin_after_labour, sign)),
            Pair("For each ewe after it", sum_words(made.margin_per_ewe_after_labour, sign)),
            Pair("A lamb had to fetch with it", price_needed(made.break_even_after_labour, sign)),
        ]
    return tuple(pairs)


def fetched_words(season: MoneySeason) -> str:
    """6 lambs sold, fetched each; 2 of 6 lambs sold have a sum, fetched each."""
    sold = f"{plural(season.lambs_sold, 'lamb')} sold"
    some = season.priced < season.lambs_sold
    return f"{f'{season.priced} of {sold} have a sum' if some else sold}, fetched each"


def price_needed(price: Decimal | None, sign: str) -> str:
    """What each lamb sold had to fetch; below nought the costs were covered without."""
    return "nothing: costs were covered without lambs" if price is not None and price < 0 else sum_words(price, sign)


def money_kinds_table(made: Budget, sign: str) -> Table:
    """Income and costs by kind, each kind's sum and what it is for each ewe put to the ram."""
    columns = (Column("What"), Column("Came in", "number"), Column("Spent", "number"), Column("For each ewe", "number"))
    rows = [
        Row((kind_words(line.kind), sum_words(line.amount, sign), "", for_each_ewe(line, made, sign)))
        for line in made.income_by_kind
    ]
    rows += [
        Row((kind_words(line.kind), "", sum_words(line.amount, sign), for_each_ewe(line, made, sign)))
        for line in made.costs_by_kind
    ]
    spent = made.costs + made.own_labour
    foot: tuple[Cell, ...] = ("Together", sum_words(made.income, sign), sum_words(spent, sign), "")
    return Table(columns, tuple(rows), "No sums.", foot=foot)


def for_each_ewe(line: Entered, made: Budget, sign: str) -> str:
    """A sum for each ewe put to the ram."""
    ewes = made.crop.ewes_exposed
    return sum_words(line.amount / ewes, sign) if ewes else NONE


def what_if_shown(season: MoneySeason, sign: str) -> Table:
    """The margin for more or fewer lambs sold at better or worse prices; all else as it was."""
    prices = season.what_ifs[0] if season.what_ifs else ()
    columns = (Column("Lambs sold"), *(Column(f"at {sum_words(cell.price, sign)}", "number") for cell in prices))
    rows = tuple(
        Row((str(row[0].lambs_sold), *(sum_words(cell.margin, sign) for cell in row))) for row in season.what_ifs
    )
    return Table(columns, rows, "No lambs of this season are sold yet.")


def sums_table(payments: Iterable[Payment], sign: str) -> Table:
    """Every sum with its note; the names of buyers and sellers in a column of their own."""
    columns = (
        Column("Day"),
        Column("What"),
        Column("Head", "number"),
        Column("Came in", "number"),
        Column("Spent", "number"),
        Column("To or from"),
        Column("Why this season"),
    )
    rows = tuple(
        Row(
            (
                day(one.day) or NONE,
                one.kind,
                one.head or "",
                sum_words(one.amount, sign) if one.income else "",
                "" if one.income else sum_words(one.amount, sign),
                one.party or NONE,
                SEASON_BY[one.rule],
            )
        )
        for one in payments
    )
    return Table(columns, rows, "No sums.")


def left_out_table(payments: Iterable[Payment], sign: str) -> Table:
    """Sums that are not counted, and why."""
    columns = (Column("Day"), Column("What"), Column("Sum", "number"), Column("Why it is left out", wide=True))
    rows = tuple(
        Row((day(one.day) or NONE, one.kind, sum_words(one.amount, sign), words_of_reason(one.left_out)))
        for one in payments
        if one.left_out
    )
    return Table(columns, rows, "Every sum is counted.")


# The chart


def money_chart(latest: tuple[MoneySeason, ...], sign: str) -> Chart | None:
    """Money by kind in the last season that sold lambs, else in the last one."""
    season = next((one for one in latest if one.lambs_sold), latest[0] if latest else None)
    if season is None:
        return None
    came, spent = season.budget.income_by_kind, season.budget.costs_by_kind
    kinds = [kind_words(line.kind) for line in (*came, *spent)]
    names = list(dict.fromkeys(reversed(kinds)))
    figure = {
        "data": [money_bars(came, "came in", sign), money_bars(spent, "spent", sign)],
        "layout": {
            "title": {"text": f"Money by kind, season {season.season}"},
            "meta": {"says": "Sums by kind; the table below has them to the penny."},
            "barmode": "overlay" if len(names) == len(kinds) else "group",
            "yaxis": {"type": "category", "categoryorder": "array", "categoryarray": names},
        },
    }
    svg = Html(draw(figure, "kinds", Sheet(420.0, 70 + BAR * len(names))))
    return Chart("kinds", f"Money by kind, season {season.season}", "", svg, money_kinds_table(season.budget, sign))


def money_bars(lines: tuple[Entered, ...], name: str, sign: str) -> dict[str, object]:
    """One side of the account as flat bars with their sums written at the end."""
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "y": [kind_words(line.kind) for line in lines],
        "x": [float(cents(line.amount)) for line in lines],
        "text": [f"{sum_words(line.amount, sign)}\u00a0" for line in lines],  # room for a wide face
    }


PAGES = (PageMaker("money", make),)
NAVIGATION = (Link("Money", PATH, "", "The farm"),)
