"""A chart with the table of its figures, as it stands in a section."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from compiler.pages import Html
from flockbook.pages.chart.drawing import draw
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.views import Chart, Table

SIZE = Sheet(520, 240)


def chart(name: str, title: str, figure: Mapping[str, Any], table: Table) -> Chart:
    """A chart of a section, with the table of its figures under it."""
    return Chart(f"{name}-chart", title, "", Html(draw(figure, name, SIZE)), table)
