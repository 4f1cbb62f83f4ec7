"""Strip footing, block wall to knee height, slab on the ground inside."""

from __future__ import annotations

from collections.abc import Iterator

from calculators.schemes import common as c
from calculators.schemes import wall_on_footing
from calculators.site import Site
from calculators.sources import common_practice
from calculators.works import Works

ID = "strip-and-block"
TITLE = "Strip footing, block and slab"

KNEE_COURSES = 2
WORKING_MARGIN_M = common_practice(0.300, "m", "Room to work outside the wall.")


def knee_height_m(site: Site) -> float:
    """Height of the wall above the floor, m: two courses unless the reader says otherwise."""
    given = site.scenario.schemes[ID].knee_height_m
    return KNEE_COURSES * site.scenario.schedule.products.course_m if given is None else given


def lowest_level(site: Site) -> c.LevelChoice:
    """The lowest slab top, m, that the rules allow."""
    rules = site.rules
    asks = [
        (rules.dpc_above_ground_m.value - knee_height_m(site), c.CLEAR_OF_GROUND_WORDS),
        (site.lowest_ground_m + rules.floor_above_lowest_ground_m.value, c.DAYLIGHT_WORDS),
    ]
    return c.highest_of(asks + c.door_asks(site), site.scenario.schemes[ID].floor_level_m)


def lay_outs(site: Site, level: c.LevelChoice) -> tuple[Works, ...]:
    """The strip scheme at one floor level, its wall and footing of the usual sizes."""
    return (_lay_out(site, level, site.scenario.schemes[ID]),)


def sturdier(site: Site, level: c.LevelChoice) -> Iterator[Works]:
    """The same with a thicker wall, then on a wider footing too, for where the usual ones do not hold; each dearer than the one before."""
    return wall_on_footing.said_to_be_sturdier(
        _lay_out(site, level, choice) for choice in wall_on_footing.sturdier(site, site.scenario.schemes[ID], level.level_m))


def _lay_out(site: Site, level: c.LevelChoice, choice) -> Works:
    build = wall_on_footing.FloorBuild(
        scheme=ID, wall_above_floor_m=knee_height_m(site), slab_m=wall_on_footing.slab_thickness_m(site, choice),
        insulation=None, insulation_m=0.0, edge_board_m=0.0, margin_m=WORKING_MARGIN_M.value,
    )
    return wall_on_footing.lay_out(site, level, build, choice)
