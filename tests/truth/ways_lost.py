"""Ways that nobody can find out: their files are, byte for byte, the plain writing of another truth.

Each gives that other truth too, and the trial compares the folders; so no way is here as an excuse.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.truth.plain import Files, written
from tests.truth.ways import Otherwise, Patch, Scene, Way, enter
from tests.truth.world import Dosed, Drafted, Medicine, Period, World


def lost(name: str, of: str, told: str, otherwise: Otherwise) -> None:
    """Enter a way that writes the other truth."""
    enter(Way(name, "none", of, told, lambda scene: difference(scene, otherwise), otherwise=otherwise))


def difference(scene: Scene, otherwise: Otherwise) -> Patch:
    """What makes the folder that of the other truth."""
    after: Files = written(otherwise(scene)).files
    gone: Patch = {path: None for path in scene.files if path not in after}
    return gone | {path: content for path, content in after.items() if scene.files.get(path) != content}


def redosed(scene: Scene, dose: Dosed) -> World:
    """The world with another dose in its place."""
    told = tuple(dose if item.ident == dose.ident else item for item in scene.world.happenings)
    return replace(scene.world, happenings=told)


def other_sheep(tag: str) -> Otherwise:
    """The dose went to the wearer of this tag."""

    def make(scene: Scene) -> World:
        key = next(key for key in scene.world.animals if scene.world.tag(key) == tag)
        return redosed(scene, replace(scene.dose, who=frozenset({key})))

    return make


def one_less(scene: Scene) -> World:
    """The last of them was not dosed."""
    return redosed(scene, replace(scene.dose, who=scene.dose.who - {scene.keys[-1]}))


def days_before(scene: Scene) -> World:
    """It was a week sooner."""
    moments = tuple(at - timedelta(days=7) for at in scene.dose.moments)
    return redosed(scene, replace(scene.dose, moments=moments))


def undrafted(scene: Scene) -> World:
    """Nobody was sorted on to the hill, so they were not there when it was done."""
    ident = next(item.ident for item in scene.world.happenings if isinstance(item, Drafted) and item.into == "hill")
    less = scene.world.short_of(ident)
    who = less.pen("hill", scene.dose.at)
    return redosed(replace(scene, world=less), replace(scene.dose, who=who))


def began_below(scene: Scene) -> World:
    """One that always stood on the hill began in the low mob instead."""
    key = next(key for key in scene.keys if scene.world.animals[key].mob == "hill")
    animals = {**scene.world.animals, key: replace(scene.world.animals[key], mob="low")}
    less = replace(scene.world, animals=animals)
    return redosed(replace(scene, world=less), replace(scene.dose, who=less.pen("hill", scene.dose.at)))


def shorter_label(scene: Scene) -> World:
    """Its label really says three days."""
    label = scene.world.medicines[scene.dose.medicine]
    short = Medicine(label.name, Period("3 days"), label.milk, label.rate)
    return replace(scene.world, medicines={**scene.world.medicines, label.name: short})


lost("lost_not_written", "one_long", "the dose is not written down at all", lambda s: s.world.short_of(s.ident))
lost("lost_other_tag", "one_long", "another ewe's tag is written", other_sheep("C214"))
lost("lost_one_left_out", "several", "one of several is left out, and the count fits", one_less)
lost("lost_day_sooner", "one_long", "the day is a week too early, all over", days_before)
lost(
    "lost_other_medicine",
    "one_long",
    "another medicine of the cupboard, with a shorter period",
    lambda s: redosed(s, replace(s.dose, medicine="procaine penicillin")),
)
lost("lost_label_short", "one_long", "the label's period is typed as three days", shorter_label)
lost("lost_draft", "told_as_mob", "a draft is not written down, and the mob is done", undrafted)
lost("lost_mob_changed", "told_as_mob", "a ewe's own note says she began in another mob", began_below)
