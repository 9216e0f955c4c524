"""Figures of a season that stand beside each other say the same: losses by stage, by cause and by age; halves; sums."""

from __future__ import annotations

import pytest

from flockbook.handover.season import season as handed_over
from flockbook.pages.chart.drawing import measure
from flockbook.pages.chart.panels import panels
from flockbook.pages.chart.sheet import Sheet
from flockbook.pages.season import season_page, seasons
from flockbook.pages.season.season_figures import spread_figure
from tests.flockbook.small import Notes, unchecked
from tests.flockbook.year.test_twenty_moments import page_of, words

EWES = [f"E{number:02d}" for number in range(1, 41)]
FLOCK: Notes = {
    "mobs/home.md": "---\nnote: mob\n---\n",
    "sheep/R1 Boaz.md": "---\nnote: ram\nborn: 2022\n---\n",
    **{f"sheep/{ewe}.md": "---\nnote: ewe\nborn: 2020\nmob: home\n---\n" for ewe in EWES},
    "events/2025-10-15 joining Boaz.md": "---\nmob: home\nout: 2025-12-01\n---\n",
    "events/2026-01-18 scan.md": "- E06 twins\n- E07 single\n",
    "events/2026-03-10 abortion E06.md": "Two.\n",
    "events/2026-03-15 2300 lambing E01.md": "- ewe 4 kg, tag 601\n- ram 4 kg, tag 602\n",
    "events/2026-03-16 lambing E02.md": "- ewe 4 kg, tag 603\n- ram stillborn\n",
    "events/2026-03-17 lambing E03.md": "- ewe 4 kg, tag 604\n",
    "events/2026-03-18 lambing E04.md": "- ewe 4 kg, tag 605\n",
    "events/2026-03-19 lambing E05.md": "- ewe 4 kg, tag 606\n",
    "events/2026-03-17 2200 death 601.md": "---\ncause: exposure\n---\n",
    "events/2026-03-18 death 603.md": "---\ncause: exposure\n---\n",
    "events/2026-03-31 death 604.md": "---\ncause: fox\n---\n",
    "events/2026-07-20 weaning.md": "- 602 31\n- 605 27.5\n- 606 30\n",
}


def test_losses_by_cause_are_as_many_as_by_stage() -> None:
    """Two aborted, one seen at scanning and never born, one stillborn, two of exposure, one by a fox: seven."""
    seen = unchecked(FLOCK, "2026-08-01")
    (season,) = seen.facts.season.seasons
    assert season.counts.unborn == {"abortion": 2, "not written": 1}
    worth = seen.facts.farm.losses[0]
    assert sum(one.heads for one in worth.by_cause) == sum(one.heads for one in worth.by_stage) == 7
    page = words(page_of(seen, seasons, "seasons.html"))
    assert "abortion 2" in page


def test_who_lived_two_days_is_counted_by_the_hours_that_part_the_stages() -> None:
    """601 lived 47 hours, 603 two days by its days, 604 fourteen: of the six born alive one was lost before 48 h and
    two before fourteen days (Kaplan & Meier 1958: five and four of six, 83 and 67 in a hundred).
    """
    seen = unchecked(FLOCK, "2026-08-01")
    stages = seen.facts.season.seasons[0].counts.dead_by_stage
    assert (stages["birth to 48 h"], stages["48 h to 14 d"], stages["14 d to weaning"]) == (1, 1, 1)
    page = words(page_of(seen, seasons, "seasons.html"))
    assert "1 lost: 83 in a hundred lived" in page
    assert "2 lost: 67 in a hundred lived" in page


def test_a_share_at_the_half_goes_up_and_a_sum_of_weights_is_as_weighed() -> None:
    """Five of forty are 12.5 %, told as 13 %; 31, 27.5 and 30 kg are 88.5 for forty ewes, 2.21 each."""
    seen = unchecked(FLOCK, "2026-08-01")
    page = words(page_of(seen, season_page, "season-2026.html"))
    assert "5 of 40 , 13 %" in page
    assert "88.5 for 40 , 2.21 each" in page
    told = handed_over(seen.facts.season.seasons[0])["indices"]["weight_weaned_per_exposed"]
    assert told["count"] / told["of"] == pytest.approx(told["value"])


def test_seasons_above_each_other_have_one_scale() -> None:
    """A ewe is as high in the plot of either year, though only the lower one names the days."""
    later: Notes = {
        "events/2026-10-15 joining Boaz.md": "---\nmob: home\nout: 2026-12-01\n---\n",
        "events/2027-03-17 lambing E02.md": "- ewe 4 kg, tag 703\n",
    }
    found = unchecked({**FLOCK, **later}, "2027-06-01").facts.season.seasons
    parts = [(part, measure(part.figure, part.sheet)) for part in panels(spread_figure(found), Sheet(360, 240))]
    above, below = (part.sheet.height - inset.top - inset.bottom for part, inset in parts)
    assert above == pytest.approx(below)
