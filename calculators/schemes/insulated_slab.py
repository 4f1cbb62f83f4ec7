"""Insulated floor slab: a low block kerb on a footing, insulation under the slab."""

from __future__ import annotations

from collections.abc import Iterator

from calculators import heat
from calculators import rules as r
from calculators.materials import INSULATIONS
from calculators.numbers import round_up
from calculators.schemes import common as c
from calculators.schemes import wall_on_footing
from calculators.site import Site
from calculators.sources import common_practice
from calculators.works import Check, Works
from calculators.yearly_heat import thickness_for_target_m

ID = "insulated-slab"
TITLE = "Insulated floor slab"

EDGE_BOARD_M = common_practice(0.050, "m", "Insulation between slab and kerb.")
WORKING_MARGIN_M = common_practice(0.500, "m", "Room to work outside the kerb.")


def upstand_m(site: Site) -> float:
    """Height of the kerb above the floor, m: one course unless the reader says otherwise."""
    given = site.scenario.schemes[ID].upstand_m
    return site.scenario.schedule.products.course_m if given is None else given


def insulation_thickness_m(site: Site, floor_level_m: float, choice=None) -> float:
    """Thickness, m: the reader's own, or solved for a resistance or a U-value and rounded up to a made thickness.

    floor_level_m: slab top, m, on which the wall's thickness depends and so
    the floor's size; choice: instead of the scenario's.  Raises ValueError for more insulation than anyone lays.
    """
    choice = choice or site.scenario.schemes[ID]
    board = INSULATIONS[choice.insulation]
    if choice.insulation_thickness_m is not None:
        return choice.insulation_thickness_m
    conductivity, step = board.conductivity_w_per_mk.value, board.thickness_step_m.value
    if choice.insulation_r_m2k_per_w is not None:
        return round_up(heat.insulation_thickness_m(choice.insulation_r_m2k_per_w, conductivity), step)
    wall = wall_on_footing.block_thickness_m(site, choice, floor_level_m)
    return thickness_for_target_m(
        choice.target_u_w_per_m2k, site.plan.area_inset_m2(wall), site.plan.inset_perimeter_m(wall),
        site.scenario.heat.wall_thickness_m, site.scenario.heat.ground_conductivity_w_per_mk, conductivity, step)


def lowest_level(site: Site) -> c.LevelChoice:
    """The lowest slab top, m, that the rules allow: above the highest ground, and the DPC clear of it."""
    rules = site.rules
    rise = rules.floor_above_highest_ground_m.value
    asks = [
        (rise, c.ABOVE_GROUND_WORDS),
        (rules.dpc_above_ground_m.value - upstand_m(site), c.CLEAR_OF_GROUND_WORDS),
    ]
    return c.highest_of(asks, site.scenario.schemes[ID].floor_level_m)


def lay_outs(site: Site, level: c.LevelChoice) -> tuple[Works, ...]:
    """The insulated slab at one floor level, its wall and footing of the usual sizes."""
    return (_lay_out(site, level, site.scenario.schemes[ID]),)


def sturdier(site: Site, level: c.LevelChoice) -> Iterator[Works]:
    """The same with a thicker wall, then on a wider footing too, for where the usual ones do not hold; each dearer than the one before."""
    return wall_on_footing.said_to_be_sturdier(
        _lay_out(site, level, choice) for choice in wall_on_footing.sturdier(site, site.scenario.schemes[ID], level.level_m))


def _lay_out(site: Site, level: c.LevelChoice, choice) -> Works:
    checks: tuple[Check, ...] = ()
    try:
        insulation_m = insulation_thickness_m(site, level.level_m, choice)
    except ValueError as too_much:
        insulation_m = heat.GREATEST_INSULATION_M.value
        checks = (Check(
            "Insulation thickness", None, insulation_m, "m", None, "outside",
            f"{str(too_much)[0].upper()}{str(too_much)[1:]}: ask less of it, or choose a better insulation. The figures are for the most.",
            heat.GREATEST_INSULATION_M.citation, r.COMMON_PRACTICE, "an energy assessor"),)
    build = wall_on_footing.FloorBuild(
        scheme=ID, wall_above_floor_m=upstand_m(site), slab_m=wall_on_footing.slab_thickness_m(site, choice),
        insulation=choice.insulation, insulation_m=insulation_m, edge_board_m=EDGE_BOARD_M.value,
        margin_m=WORKING_MARGIN_M.value, checks=checks,
    )
    return wall_on_footing.lay_out(site, level, build, choice)
