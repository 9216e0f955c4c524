"""The pictures on a sheep's page: its life on one line, and how it grew among the lambs of its year."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from compiler.shape import Value
from flockbook.derive.land.whereabouts import Stint
from flockbook.flock import Animal
from flockbook.pages.growth.weighed_crop import WeighedCrop
from flockbook.pages.sheep.lifeline import lifeline
from flockbook.pages.sheep.own_growth import crops_by_lamb, growth_beside_crop
from flockbook.pages.telling.by_sheep import BySheep, by_key
from flockbook.pages.views import Chart, Directory


class Drawable(Value):
    """What is known of every sheep that can be drawn: where it stood, and the crop of each weighed lamb."""

    known: BySheep
    stays: Mapping[str, tuple[Stint, ...]]
    crops: Mapping[str, WeighedCrop]

    def pictures(self, animal: Animal) -> Iterator[Chart]:
        """The pictures of one sheep for which there is enough to draw."""
        found = lifeline(self.known, animal, self.stays.get(animal.id, ())), growth_beside_crop(self.crops, animal)
        yield from (chart for chart in found if chart)


def drawable(known: BySheep, tags: Directory) -> Drawable:
    """Put together once for all pages."""
    stays = by_key((stay.sheep, stay) for stay in known.seen.facts.land.grazing.stints)
    return Drawable(known, stays, crops_by_lamb(known.seen, tags))
