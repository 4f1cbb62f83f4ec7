"""What every scheme does the same way: topsoil, doors, drains, straps, levels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from calculators import works as w
from calculators.benches import Bench, Ring, risers
from calculators.ground import Flat, LowerOf, Piece, Plane, Raised, Surface, profile
from calculators.numbers import steps_up
from calculators.plan import Polygon, Side, all_without, clip, common, convex_parts
from calculators.site import Site, body, check_at_most, solid
from calculators.sources import common_practice
from calculators.works import Check, Solid, Step, WallLine

BLINDING_M = common_practice(0.050, "m", "Sand under the membrane.")
DRAIN_TRENCH_WIDTH_M = common_practice(0.300, "m", "Land drain trench.")
DRAIN_TRENCH_DEPTH_M = common_practice(0.300, "m", "Land drain trench, below the stripped surface.")
OUTFALL_RUN_M = common_practice(5.0, "m", "From the toe drain to lower ground; measure your own.")
DOOR_RISER_M = common_practice(0.190, "m", "Highest riser at a door; a rise up to this is one step up into the building.")
RAMP_RISE_M = common_practice(0.150, "m", "Rise that a ramp at a step-free door takes.")
RAMP_RUN_PER_RISE = common_practice(12.0, "", "A ramp at a door, 1 in 12.")
STRAP_SPACING_M = common_practice(1.2, "m", "Holding-down straps, and one at each corner.")
GUARD_PER_DOOR_M = common_practice(2.0, "m", "Both sides of the steps at a door.")
CURING_SHEET_BEYOND_M = common_practice(0.300, "m", "Curing sheet past the edge of the slab.")
SILL_TURNED_DOWN_M = common_practice(0.150, "m", "The strip under a door's sill is turned down over the face below it.")
SILL_TURNED_UP_M = common_practice(0.100, "m", "The strip under a door's sill is turned up so far at each end of the opening.")
UPSTAND_BLOCK_M = common_practice(0.140, "m", "Block under a timber frame.")
# The line on which a wall inside is set out, with the levels of the dig and of the concrete under it.
MIDDLE_OF_INSIDE_WALL = "middle of a wall inside"
LINK_SPACING_M = common_practice(0.300, "m", "Links in an edge.")


@dataclass(frozen=True)
class LevelChoice:
    """A floor level, m, and the rule or the reader that set it; `fixed` where it was the reader."""

    level_m: float
    set_by: str
    fixed: bool = False


def highest_of(asks: list[tuple[float, str]], fixed_m: float | None) -> LevelChoice:
    """The lowest level that meets every ask (level m, rule), or the reader's fixed one.

    Raises ValueError without any ask.
    """
    if fixed_m is not None:
        return LevelChoice(fixed_m, "fixed by you", fixed=True)
    level, rule = max(asks, key=lambda ask: ask[0])
    return LevelChoice(level, rule)


# What keeps a floor from going lower, as words after "because".
ABOVE_GROUND_WORDS = "water must run away from the floor"
CLEAR_OF_GROUND_WORDS = "the damp-proof course must stay clear of the ground"
DAYLIGHT_WORDS = "drains must find daylight at the lowest ground"


def door_asks(site: Site) -> list[tuple[float, str]]:
    """The level, m, that each door asks of the floor: above the ground there, less behind a channel drain."""
    rules = site.rules
    drained = site.scenario.building.door_threshold == "channel drain"
    above = (rules.floor_above_ground_at_channel_m if drained else rules.floor_above_ground_at_door_m).value
    return [(door.ground_m + above, f"rain must not run in at the {door.side.name} door") for door in site.doors]


def stripping(site: Site, margin_m: float, batter: Iterable[tuple[Side, Piece]] = ()) -> tuple[Solid, Solid]:
    """Topsoil over the footprint and its margin, joined with the plan of a batter beyond it; and old slabs there, to be broken out.

    margin_m: working margin outside the footprint, m; batter: pieces of stone
    outside the footprint, each in the mitred band of its side, whose plan
    counts where it goes past the margin.  There is no topsoil on a slab.
    """
    polygons: list[Polygon] = list(site.plan.region(-margin_m))
    for side, piece in batter:
        polygons.append(clip(piece.polygon, *side.out_past(-margin_m)))
    slabs = site.existing_slabs
    return (
        solid(site, w.TOPSOIL_STRIP, body(all_without(polygons, slabs), site.stripped, site.ground)),
        solid(site, w.BREAK_OUT, body((common(polygon, slab) for polygon in polygons if polygon for slab in slabs), site.stripped, site.ground)),
    )


def drains(site: Site, toe_from_m: float) -> tuple[tuple[Solid, ...], dict[str, float], tuple[WallLine, ...], tuple[str, ...]]:
    """Land drains: a cut-off drain laid in what is dug uphill anyway, a toe drain in a trench of its own.

    toe_from_m: distance outside the face at which the toe drain starts, m.
    Returns solids, measures, lines for the plan, and assumptions.
    """
    uphill = [side for side in site.plan.sides if site.facing(side) == "uphill"]
    downhill = [side for side in site.plan.sides if site.facing(side) == "downhill"]
    if not downhill:
        return (), {}, (), ()
    near, far = -toe_from_m, -toe_from_m - DRAIN_TRENCH_WIDTH_M.value
    polygons = [side.band(near, far) for side in downhill]
    lines = [WallLine("land drain", side.at(0.0, -0.2), side.at(side.length_m, -0.2)) for side in uphill]
    lines += [WallLine("land drain", side.at(side.span(far)[0], far), side.at(side.span(far)[1], far)) for side in downhill]
    assumptions = []
    boundary = site.scenario.plot.boundary_m
    length = sum(side.length_m for side in uphill + downhill)
    if site.scenario.plot.outfall:
        # From the middle of the longest downhill side straight away from the building.
        side = max(downhill, key=lambda s: round(s.length_m, 9))
        half, middle = DRAIN_TRENCH_WIDTH_M.value / 2.0, side.length_m / 2.0
        run = min(OUTFALL_RUN_M.value, max(0.0, boundary.get(side.name, math.inf) + far))
        end = far - run
        if run > 0.0:
            polygons.append((side.at(middle - half, end), side.at(middle + half, end), side.at(middle + half, far), side.at(middle - half, far)))
            lines.append(WallLine("land drain", side.at(middle, far), side.at(middle, end)))
        length += run
        if run < OUTFALL_RUN_M.value:
            assumptions.append("The toe drain is taken to run as far as the boundary and no further: find lower ground on your own side, or ask its owner.")
        else:
            assumptions.append(f"The toe drain is taken to run {OUTFALL_RUN_M.value:g} m to lower ground. Measure yours.")
    else:
        assumptions.append("The land drains have no lower ground to run to: they need a soakaway or a sump, which is not worked out or priced here.")
    trench = body(polygons, Raised(site.stripped, -DRAIN_TRENCH_DEPTH_M.value), site.stripped)
    solids = (solid(site, w.DRAIN_DIG, trench), solid(site, w.DRAIN_STONE, trench))
    return solids, {"land_drain_m": length}, tuple(lines), tuple(assumptions)


def room_checks(site: Site, margin_m: float, toe_from_m: float, dug: Iterable[Polygon] = ()) -> list[Check]:
    """Whether the work itself stays on the reader's own side of each boundary: the margin, what is dug back from it, and the toe drain.

    margin_m: working margin, m; toe_from_m: where a toe drain starts outside
    the face, m; dug: polygons (m) dug outside the margin.  A check that fails
    does not stop a scheme: a trench can be moved, and a neighbour asked.
    """
    dug, checks = list(dug), []
    for side in site.plan.sides:
        if side.name in site.scenario.plot.boundary_m:
            reach = max([margin_m, *(-side.inside(p) for polygon in dug for p in polygon)])
            if site.facing(side) == "downhill":
                reach = max(reach, toe_from_m + DRAIN_TRENCH_WIDTH_M.value)
            limit = common_practice(site.scenario.plot.boundary_m[side.name], "m", "The boundary you gave.")
            checks.append(replace(
                check_at_most(f"Room for the work at the {side.name} boundary", reach, limit,
                              "The working margin or the land drain reaches over the boundary: work in less room there, lead the drain another way, or ask the neighbour first.", "your neighbour"),
                stops=False))
    return checks


def doors(site: Site, floor_level_m: float) -> tuple[dict[str, float], list[Check], tuple[WallLine, ...]]:
    """Steps, channel drains and guards at the doors, for a floor at a level (m)."""
    building, rules = site.scenario.building, site.rules
    measures = {"door_steps": 0.0, "channel_drain_m": 0.0, "guard_m": 0.0, "door_ramp_m2": 0.0}
    checks, lines = [], []
    for door in site.doors:
        side, name, ground = door.side, door.side.name, door.ground_m
        rise = floor_level_m - ground
        half = building.door_width_m / 2.0
        lines.append(WallLine("door", side.at(door.middle_m - half, 0.0), side.at(door.middle_m + half, 0.0), ground, floor_level_m))
        step_free = name == building.step_free
        if step_free:
            checks.append(check_at_most(
                f"Rise to the step-free {name} door", max(0.0, rise), RAMP_RISE_M,
                "A ramp of 1 in 12 takes no more than this; above it the floor must come down or the door move uphill.", "a builder"))
            if rise > rules.floor_above_ground_at_door_m.value + 1e-9:
                measures["door_ramp_m2"] += rise * RAMP_RUN_PER_RISE.value * building.door_width_m
        level_door = building.door_threshold == "channel drain" and rise < rules.floor_above_ground_at_door_m.value - 1e-9
        if level_door:
            measures["channel_drain_m"] += building.door_width_m
        if rise > DOOR_RISER_M.value and not step_free:
            measures["door_steps"] += steps_up(rise, DOOR_RISER_M.value) - 1
        if rise > rules.guard_from_m.value:
            measures["guard_m"] += GUARD_PER_DOOR_M.value
        limit = rules.floor_above_ground_at_channel_m if level_door else rules.floor_above_ground_at_door_m
        enough = rise >= limit.value - 1e-9
        checks.append(Check(
            f"Floor above the ground at the {name} door", rise, limit.value, "m",
            None, "within" if enough else "outside",
            "Rain must not run in at the door." if enough else "The ground stands above the floor at this door: raise the floor or regrade.",
            limit.citation, limit.mark, "" if enough else "a builder",
        ))
    return measures, checks, tuple(lines)


def steps_along_walls(site: Site, ring: Ring, benches: tuple[Bench, ...], step_m: float, overlap_m: float) -> tuple[Step, ...]:
    """The steps of a ring of benches, each on its wall, chainage from the wall's higher end.

    step_m: height of one step, m; overlap_m: how far the upper bench runs on, m.
    """
    found = []
    starts, total = ring.starts_m(), ring.length_m
    for riser in risers(benches, step_m):
        at = riser.chainage_m % total
        side = max((side for side in site.plan.sides if starts[side.index] <= at + 1e-9), key=lambda s: s.index)
        along = side.span(ring.centre_m)[0] + at - starts[side.index]
        found.append(Step(side.name, along if site.start_is_higher(side) else side.length_m - along, riser.height_m, overlap_m))
    return tuple(sorted(found, key=lambda step: (step.wall, round(step.chainage_m, 9))))


def soft_spots(site: Site, formations: list[tuple[Polygon, Surface]]) -> tuple[Solid, Solid]:
    """Ground dug deeper where it is soft, and the stone that fills it: below formation or the stripped surface, whichever is lower.

    formations: convex polygons (m) of the plan with the formation under each.
    Returns the dig and the stone, equal in volume.
    """
    bodies = []
    for outline, depth in site.scenario.plot.soft_spots_m:
        for spot in convex_parts(outline):
            for polygon, formation in formations:
                bodies.append(body([common(spot, polygon)], Raised(site.stripped, -depth), LowerOf(formation, site.stripped)))
    return solid(site, w.SOFT_SPOT_DIG, *bodies), solid(site, w.SOFT_SPOT_STONE, *bodies)


def strap_count(site: Site) -> float:
    """Holding-down straps: one at each corner and no further apart than their spacing."""
    return float(sum(steps_up(side.length_m, STRAP_SPACING_M.value) for side in site.plan.sides))


def strip_width_m(lap_m: float, trimmed_m: float, upstand_m: float, turned_in_m: float) -> float:
    """Width of the strip that joins the membrane of a raft with its damp-proof course.

    lap_m: on the membrane; trimmed_m: from the membrane's end to the top of the slab; upstand_m: block above the slab;
    turned_in_m: under the damp-proof course; all m, 0 or more.
    Returns the width, m.
    Raises ValueError for anything negative.
    Source: geometry.

    >>> round(strip_width_m(0.15, 0.02, 0.225, 0.1), 6)
    0.495
    """
    parts = (lap_m, trimmed_m, upstand_m, turned_in_m)
    if not all(part >= 0.0 and math.isfinite(part) for part in parts):
        raise ValueError(f"the parts of a strip must be 0 m or more, not {', '.join(f'{part} m' for part in parts)}")
    return sum(parts)


def sill_strips_m2(site: Site, width_m: float) -> float:
    """Strip under the sills of all doors, m2: the width of each opening and what is turned up at both ends, by the width of the strip (m)."""
    building = site.scenario.building
    return len(building.doors) * (building.door_width_m + 2.0 * SILL_TURNED_UP_M.value) * width_m


def needs_geotextile(site: Site) -> bool:
    """Whether stone would sink into the ground without a sheet under it: clay, silt and what is not known."""
    return site.soil.kind in ("clay", "silt", "unknown")


def clearance_check(site: Site, damp_proof_course_m: float) -> Check:
    """Damp-proof course above the highest ground at the outer face."""
    limit = site.rules.dpc_above_ground_m
    enough = damp_proof_course_m >= limit.value - 1e-9
    return Check(
        "Damp-proof course above the highest ground", damp_proof_course_m, limit.value, "m",
        limit.value / damp_proof_course_m if damp_proof_course_m > 0 else None,
        "within" if enough else "outside",
        "The timber's damp-proof course stays clear of splash and soil." if enough else "The timber would stand too near the ground and rot: raise the floor, the upstand or the wall.",
        limit.citation, limit.mark, "" if enough else "a builder",
    )


def mean_face_m2(site: Site, side: Side, from_m: float, to_m: float, bottom_m: float, above_ground_m: float, top_m: float) -> float:
    """Area, m2, of a side's outer face between a level and the ground plus a height, capped at `top_m`.

    side, from_m, to_m: stretch of the outer face, m along it; bottom_m, top_m:
    levels, m; above_ground_m: m.  Exact on ground flat in patches.
    """
    if to_m - from_m < 0.002:
        return 0.0
    area = 0.0
    for (s0, z0), (s1, z1) in stretch_of(profile(site.ground, side.start, side.at(side.length_m, 0.0)), from_m, to_m):
        heights = [z0 + above_ground_m, z1 + above_ground_m]
        cuts = {0.0, 1.0}
        for limit in (bottom_m, top_m):
            if (heights[0] - limit) * (heights[1] - limit) < 0:
                cuts.add((limit - heights[0]) / (heights[1] - heights[0]))
        ordered = sorted(cuts)
        for a, b in zip(ordered, ordered[1:]):
            middle = heights[0] + (heights[1] - heights[0]) * (a + b) / 2
            area += (b - a) * (s1 - s0) * max(0.0, min(middle, top_m) - bottom_m)
    return area


def stretch_of(marks: list[tuple[float, float]], from_m: float, to_m: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The straight pieces ((from m, level m), (to m, level m)) of a profile between two distances along it, m.

    >>> stretch_of([(0.0, 1.0), (2.0, 3.0), (4.0, 3.0)], 1.0, 3.0)
    [((1.0, 2.0), (2.0, 3.0)), ((2.0, 3.0), (3.0, 3.0))]
    """
    pieces = []
    for (s0, z0), (s1, z1) in zip(marks, marks[1:]):
        a, b = max(s0, from_m), min(s1, to_m)
        if b > a:
            rise = (z1 - z0) / (s1 - s0)
            pieces.append(((a, z0 + rise * (a - s0)), (b, z0 + rise * (b - s0))))
    return pieces


def flat(level_m: float) -> Flat:
    """A level surface, m."""
    return Flat.at(level_m)


def sloping_inward(side: Side, at_side_m: float, rise_per_m: float, from_inward_m: float) -> Flat:
    """A plane square to a side: `at_side_m` at a distance `from_inward_m` inside it, rising so much per metre inward."""
    nx, ny = side.inward
    base = nx * side.start[0] + ny * side.start[1] + from_inward_m
    return Flat(Plane(rise_per_m * nx, rise_per_m * ny, at_side_m - rise_per_m * base))
