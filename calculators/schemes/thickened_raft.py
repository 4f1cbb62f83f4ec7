"""Thickened raft: one slab with its edge thickened all round, poured at once.

On the low side the stone either runs out past the edge to a shoulder and a
batter, or the edge is deepened into firm ground, stepping along the side
walls.  Both are laid out; the cheaper one that is allowed is taken unless the
reader chooses.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from calculators import materials
from calculators import rules as r
from calculators import works as w
from calculators.benches import Bench, Ring, lay_benches, least_depth_m
from calculators.ground import (
    Flat,
    HigherOf,
    LowerOf,
    Piece,
    Raised,
    between,
    highest_m,
    lowest_m,
)
from calculators.numbers import round_up
from calculators.plan import ClosesUp, Plan, Side, Stretch
from calculators.schemes import common as c
from calculators.schemes import inside_walls
from calculators.sheets import fabric_sheets, membrane_rolls
from calculators.site import (
    Site,
    body,
    check_at_least,
    check_at_most,
    clay_check,
    height_check,
    plot_assumptions,
    solid,
    stop_checks,
)
from calculators.sources import common_practice
from calculators.works import Body, Check, WallLine, Works

ID = "thickened-raft"
TITLE = "Thickened raft"

# A reader's own upstand may be left out; the standard one is a course of block.
EDGE_DEPTH_GRANULAR_M = common_practice(0.300, "m", "Edge depth below slab top on undisturbed granular ground.")
EDGE_DEPTH_OTHER_M = common_practice(0.450, "m", "Edge depth below slab top on clay, fill or unknown ground.")
EDGE_INTO_STRIPPED_M = common_practice(0.100, "m", "A deepened edge goes this far below the stripped surface.")
EDGE_DEPTH_STEP_M = common_practice(0.025, "m", "Edge depths are rounded up to this.")
WORKING_MARGIN_M = common_practice(0.500, "m", "Room to work outside the edge.")
PLUMB_FACE_M = common_practice(0.600, "m", "A dug face higher than this is cut back 1 to 1.")
MEMBRANE_BELOW_TOP_M = common_practice(0.020, "m", "The membrane is trimmed below the slab top: sun eats it.")
EDGE_STRIP_LAP_M = common_practice(0.150, "m", "Self-adhesive strip bonded over the end of a membrane.")
EDGE_BARS = common_practice(4.0, "", "Bars along each edge.")
EDGE_BAR_DIAMETER_M = common_practice(0.012, "m", "Bars along each edge.")
LINK_DIAMETER_M = common_practice(0.008, "m", "Links round the edge bars.")
LAP_DIAMETERS = common_practice(40.0, "", "Lap of a bar, in diameters.")
BAR_LENGTH_M = common_practice(6.0, "m", "Length in which bars are bought.")
# The deepened edge steps by a height that a spade can follow; it is one pour to the top, so it needs no overlap.
EDGE_STEP_M = common_practice(0.225, "m", "Steps in the underside of a deepened edge.")
LEAST_BENCH_M = common_practice(0.750, "m", "Shortest level stretch of a deepened edge.")
HAUNCH_ROOM = common_practice(0.9, "", "A haunch takes no more than this share of the room between the edge and the middle of the slab.")

FAR_STEP_M = 0.5

BATTER_REACH = "Batter's reach towards the"

BATTER, DEEPENED = "batter", "deepened"
VARIANT_TITLES = {BATTER: "stone batter on the low side", DEEPENED: "edge deepened on the low side"}


def choices(site: Site):
    """The reader's choices for this scheme."""
    return site.scenario.schemes[ID]


def upstand_m(site: Site) -> float:
    """Height of the upstand, m: one block course unless the reader says otherwise; 0 for none."""
    given = choices(site).upstand_m
    return site.scenario.schedule.products.course_m if given is None else given


def lowest_level(site: Site) -> c.LevelChoice:
    """The lowest slab top, m, that the rules allow: above the highest ground, and the DPC clear of it."""
    rules = site.rules
    rise = rules.floor_above_highest_ground_m.value
    clearance = rules.dpc_above_ground_m.value - upstand_m(site)
    return c.highest_of(
        [
            (rise, c.ABOVE_GROUND_WORDS),
            (clearance, c.CLEAR_OF_GROUND_WORDS),
        ],
        choices(site).floor_level_m,
    )


def standard_edge_depth_m(site: Site) -> float:
    """Edge depth, m, below slab top, as the ground alone asks: reader's own, or by soil."""
    given = choices(site).edge_depth_m
    if given is not None:
        return given
    granular = site.soil.kind in ("granular", "rock")
    return EDGE_DEPTH_GRANULAR_M.value if granular else EDGE_DEPTH_OTHER_M.value


def edge_depth_m(site: Site, floor_level_m: float) -> float:
    """Edge depth, m, all round: the standard, or what frost asks at the highest ground, rounded up to 25 mm.

    floor_level_m: slab top, m.
    """
    standard = standard_edge_depth_m(site)
    if choices(site).edge_depth_m is not None or site.frost_required_m <= 0.0:
        return standard
    return max(standard, round_up(max(0.0, floor_level_m) + site.frost_required_m, EDGE_DEPTH_STEP_M.value))


def edge_strip_lap_m(edge_depth_m: float) -> float:
    """How far the strip over the edge laps the membrane turned up outside it, m: its usual lap, or all that the upturn has.

    edge_depth_m: slab top to underside, m.
    """
    return max(0.0, min(EDGE_STRIP_LAP_M.value, edge_depth_m - MEMBRANE_BELOW_TOP_M.value))


@dataclass(frozen=True)
class _Edge:
    """The raft's edge for one variant: sizes in m and the benches of its underside."""

    width_m: float
    haunch_depth_m: float
    depth_m: float
    slab_m: float
    ring: Ring
    benches: tuple[Bench, ...]

    @property
    def haunch_width_m(self) -> float:
        return self.haunch_depth_m - self.slab_m

    @property
    def toe_inset_m(self) -> float:
        return self.width_m + self.haunch_width_m


def lay_outs(site: Site, level: c.LevelChoice) -> tuple[Works, ...]:
    """The raft at one floor level, each allowed way of making its low side.

    level: slab top.  Where the ground asks neither, both come out alike.
    Raises ValueError for an edge wider than half the building.
    """
    wanted = choices(site).low_side
    if wanted == BATTER:
        return (_lay_out(site, level, BATTER),)
    deepened = _lay_out(site, level, DEEPENED)
    if wanted == DEEPENED:
        return (deepened,)
    try:
        batter = _lay_out(site, level, BATTER)
    except ClosesUp:
        words = "Stone at a batter would meet itself in a recess of the plan, so the low side is the deepened edge."
        return (replace(deepened, assumptions=deepened.assumptions + (words,)),)
    if any(check.name.startswith(BATTER_REACH) for check in batter.outside):
        deepened = replace(deepened, assumptions=deepened.assumptions + ("Stone at a batter would run out over a boundary, so the low side is the deepened edge.",))
    return (batter, deepened)


def sturdier(site: Site, level: c.LevelChoice) -> Iterator[Works]:
    """Nothing: a raft has nothing that grows by itself, its sizes are the reader's."""
    return iter(())


def _lay_out(site: Site, level: c.LevelChoice, variant: str) -> Works:
    choice, rules, plan = choices(site), site.rules, site.plan
    top = level.level_m
    depth = edge_depth_m(site, top)
    ring = Ring(plan, choice.edge_width_m / 2.0, choice.edge_width_m)
    haunch_depth = min(depth, standard_edge_depth_m(site))
    room = choice.slab_thickness_m + HAUNCH_ROOM.value * (plan.size_m()[1] / 2.0 - choice.edge_width_m)
    if variant == DEEPENED:
        allowed = Raised(site.ground, -max(site.scenario.plot.topsoil_m + EDGE_INTO_STRIPPED_M.value, site.frost_required_m))
        benches = lay_benches(ring, allowed, top - depth, EDGE_STEP_M.value, LEAST_BENCH_M.value)
    else:
        benches = (Bench(0.0, ring.length_m, 0, top - depth),)
    edge = _Edge(choice.edge_width_m, min(haunch_depth, room), depth, choice.slab_thickness_m, ring, benches)

    inner = plan.region(edge.toe_inset_m)
    underside = _undersides(plan, edge, top)
    inside = inside_walls.lines_of(site)
    for line in inside:
        underside = inside_walls.thickened(underside, line, edge.width_m, top, edge.slab_m, edge.haunch_depth_m)
    stone_under = c.BLINDING_M.value + rules.least_sub_base_m.value
    margin = WORKING_MARGIN_M.value

    concrete, blinding, sub_base, reduce_dig = [], [], [], []
    for polygon, surface in underside:
        formation, blinding_bottom = Raised(surface, -stone_under), Raised(surface, -c.BLINDING_M.value)
        concrete.append(body([polygon], surface, Flat.at(top)))
        blinding.append(body([polygon], blinding_bottom, surface))
        sub_base.append(body([polygon], LowerOf(formation, site.stripped), blinding_bottom))
        reduce_dig.append(body([polygon], formation, site.stripped))
    refill_stone, refill_arisings = [], []
    for bench in benches:
        formation = Flat.at(bench.underside_m - stone_under)
        for side, a, b in ring.parts(bench.from_m, bench.to_m):
            dug = body([side.band(0.0, -margin, a, b)], formation, site.stripped)
            reduce_dig.append(dug)
            (refill_stone if site.facing(side) == "uphill" else refill_arisings).append(dug)
    cut_backs = [part for side in plan.sides for part in _cut_back(site, side, benches, ring, stone_under)]
    reduce_dig += cut_backs
    refill_arisings += cut_backs

    batter = _batter(site, top - depth) if variant == BATTER else NO_BATTER

    drain_solids, drain_measures, drain_lines, drain_words = c.drains(site, max(margin, batter.reach_m))
    door_measures, door_checks, door_lines = c.doors(site, top)
    up = upstand_m(site)
    block_thickness = c.UPSTAND_BLOCK_M.value
    stands_on = [side.band(0.0, block_thickness) for side in plan.sides]
    stands_on += [part for own in inside_walls.apart(inside, block_thickness / 2.0, 0.0, plan.region(block_thickness)) for part in own]
    upstand = body(stands_on if up > 0.0 else (), Flat.at(top), Flat.at(top + up))
    solids = (
        *c.stripping(site, margin, batter.pieces),
        solid(site, w.REDUCE_DIG, *reduce_dig),
        solid(site, w.SUB_BASE, *sub_base),
        solid(site, w.BATTER, *batter.bodies),
        solid(site, w.BACKFILL, *refill_arisings),
        solid(site, w.BLINDING, *blinding),
        solid(site, w.SLAB, *concrete),
        solid(site, w.DRAIN_STONE, *refill_stone),
        solid(site, w.BLOCKWORK, upstand),
        *c.soft_spots(site, [(polygon, Raised(surface, -stone_under)) for polygon, surface in underside]),
        *drain_solids,
    )
    measures = _measures(site, edge, top, up, block_thickness) | drain_measures | door_measures
    dug = [piece.polygon for part in cut_backs for piece in between(part.polygons, part.bottom, part.top)] if site.scenario.plot.boundary_m else ()
    room_checks = c.room_checks(site, margin, max(margin, batter.reach_m), dug)
    checks = _checks(site, edge, top, up, variant, batter, stone_under) + tuple(door_checks) + tuple(room_checks)
    steps = c.steps_along_walls(site, ring, benches, EDGE_STEP_M.value, 0.0)
    lines = [WallLine("edge", side.at(0.0, 0.0), side.at(side.length_m, 0.0)) for side in plan.sides]
    toe = plan.inset(edge.toe_inset_m)
    lines += [WallLine("haunch", start, end) for start, end in zip(toe, toe[1:] + toe[:1])]
    lines += [WallLine(c.MIDDLE_OF_INSIDE_WALL, line.start, line.end, top - edge.haunch_depth_m - stone_under, top - edge.haunch_depth_m) for line in inside]
    lines += inside_walls.plan_lines(inside, block_thickness / 2.0, "wall inside", plan.region(block_thickness))
    lines += inside_walls.plan_lines(inside, edge.width_m / 2.0, "thickening inside", plan.region(edge.toe_inset_m))
    lines += list(drain_lines) + list(door_lines)
    assumptions = [*plot_assumptions(site), *drain_words]
    if haunch_depth > room:
        assumptions.append("The haunches of opposite edges would meet: they are cut short, and the inner face of the edge goes down plumb from there against a lost form.")
    fill = max(0.0, top - edge.slab_m - lowest_m(site.stripped, inner))
    return Works(
        scheme=ID,
        variant=variant,
        floor_level_m=top,
        level_set_by=level.set_by,
        sole_plate_m=top + up,
        slab_thickness_m=edge.slab_m,
        fill_depth_m=fill,
        low_side_height_m=top - site.lowest_ground_m,
        founding_level_m=min(bench.underside_m for bench in benches),
        solids=tuple(part for part in solids if part.volume_m3 > 0.0),
        measures=measures,
        steps=steps,
        lines=tuple(lines),
        sizes={
            "slab_thickness_m": edge.slab_m,
            "edge_width_m": edge.width_m,
            "edge_depth_m": edge.depth_m,
            "deepest_edge_m": top - min(bench.underside_m for bench in benches),
            "upstand_m": up,
            "shoulder_m": batter.shoulder_m,
        },
        checks=checks,
        assumptions=tuple(assumptions),
    )


def _undersides(plan: Plan, edge: _Edge, top: float):
    """Every part of the footprint with the flat or sloping underside of its concrete."""
    parts = [(polygon, Flat.at(top - edge.slab_m)) for polygon in plan.region(edge.toe_inset_m)]
    for side in plan.sides:
        haunch = side.band(edge.width_m, edge.toe_inset_m)
        parts.append((haunch, c.sloping_inward(side, top - edge.haunch_depth_m, 1.0, edge.width_m)))
    for bench in edge.benches:
        for polygon in edge.ring.bands(0.0, edge.width_m, bench.from_m, bench.to_m):
            parts.append((polygon, Flat.at(bench.underside_m)))
    return [(polygon, surface) for polygon, surface in parts if polygon]


def _cut_back(site: Site, side, benches, ring: Ring, stone_under: float) -> list[Body]:
    """What is dug outside the margin of one side where its face would be too high to stand plumb."""
    margin = WORKING_MARGIN_M.value
    stretches = [(bench.underside_m - stone_under, a, b) for bench in benches
                 for s, a, b in ring.parts(bench.from_m, bench.to_m) if s.index == side.index]
    thin = 1e-6
    lowest = min((level for level, _, _ in stretches), default=math.inf)
    # The thin band beyond the margin is as much higher than its edge as the ground rises over it.
    if not stretches or highest_m(site.stripped, [side.band(-margin, -margin - thin)]) - lowest <= PLUMB_FACE_M.value + thin:
        return []
    bands = [(level, side.band(-margin, -margin - thin, a, b)) for level, a, b in stretches]
    faces = [highest_m(site.stripped, [band]) - level for level, band in bands if band]
    if max(faces, default=0.0) <= PLUMB_FACE_M.value + thin:
        return []
    # 1 to 1 meets ground rising less steeply than that within this distance, at a corner rising
    # along both sides at once; steeper ground is refused before.
    far = margin + max(faces) / (1.0 - min(0.9, math.sqrt(2.0) * site.steepest_gradient_around))
    bodies = []
    for level, a, b in stretches:
        slope = c.sloping_inward(side, level, -1.0, -margin)
        bodies.append(body([side.band(-margin, -min(far, side.closes_out_m), a, b)], slope, site.stripped))
    if site.plan.closes_out_m < far:
        _keep_out_of_recesses(site, (-side.inside(p) for part in bodies for piece in between(part.polygons, part.bottom, part.top) for p in piece.polygon))
    return bodies


@dataclass(frozen=True)
class _Batter:
    """Stone outside the edge: its bodies and, side by side, its pieces, the width of its shoulder and how far it reaches, m, in all and by side."""

    bodies: tuple[Body, ...]
    pieces: tuple[tuple[Side, Piece], ...]
    shoulder_m: float
    reach_m: float
    reach_by_side_m: dict[str, float]


def _batter(site: Site, level: float) -> _Batter:
    """Shoulder and batter outside the low edges, from a level, m, at the edge."""
    run = site.rules.batter_run_per_rise.value
    along_edge = [side.band(0.0, 1e-6) for side in site.plan.sides]
    highest_fill = level - lowest_m(site.stripped, along_edge)
    if highest_fill <= 1e-9:
        return NO_BATTER
    shoulder = r.least_shoulder_m(max(0.0, highest_fill), site.rules.region)
    # At a mitred corner the ground may fall away along both sides at once.
    steep = min(math.sqrt(2.0) * site.steepest_gradient_around, 0.9 / run)
    far = shoulder + (highest_fill + steep * shoulder) * run / (1.0 - steep * run) + 0.01
    # The same round distance from level to level finds the ground already cut.
    far = round_up(far, FAR_STEP_M)
    bodies: list[Body] = []
    pieces: list[tuple[Side, Piece]] = []
    reach: dict[str, float] = {}
    for side in site.plan.sides:
        # How far it may reach is a bound, mostly far beyond where it does.
        whole = side.band(0.0, -min(far, side.closes_out_m))
        own = (
            body([Stretch.cut(whole, (side.in_past(-shoulder),))], site.stripped, Flat.at(level)),
            body([Stretch.cut(whole, (side.out_past(-shoulder),))], site.stripped, c.sloping_inward(side, level, 1.0 / run, -shoulder)),
        )
        found = [piece for part in own for piece in between(part.polygons, part.bottom, part.top)]
        bodies += own
        pieces += [(side, piece) for piece in found]
        reach[side.name] = max((-side.inside(p) for piece in found for p in piece.polygon), default=0.0)
    _keep_out_of_recesses(site, reach.values())
    return _Batter(tuple(bodies), tuple(pieces), shoulder, max(reach.values()), reach)


def _keep_out_of_recesses(site: Site, reaches_m: Iterable[float]) -> None:
    """Raises ClosesUp where something reaches so far out that in a recess it would meet itself."""
    reach = max(reaches_m, default=0.0)
    if reach > site.plan.closes_out_m + 1e-9:
        raise ClosesUp(f"A recess {2.0 * site.plan.closes_out_m:.2f} m wide is too narrow for what reaches {reach:.2f} m out from its faces")


NO_BATTER = _Batter((), (), 0.0, 0.0, {})


def _measures(site: Site, edge: _Edge, top: float, up: float, block_thickness: float) -> dict[str, float]:
    plan, ring, products, rules = site.plan, edge.ring, site.scenario.schedule.products, site.rules
    formwork = lost = 0.0
    upturn = 0.0
    for bench in edge.benches:
        outer = ring.length_along_m(0.0, bench.from_m, bench.to_m)
        formwork += outer * (top - bench.underside_m)
        lost += ring.length_along_m(edge.width_m, bench.from_m, bench.to_m) * max(0.0, top - edge.haunch_depth_m - bench.underside_m)
        upturn += outer * (top - MEMBRANE_BELOW_TOP_M.value - bench.underside_m)
    haunch_extra = (math.sqrt(2.0) - 1.0) * (plan.area_inset_m2(edge.width_m) - plan.area_inset_m2(edge.toe_inset_m))
    deepest = top - min(bench.underside_m for bench in edge.benches)
    unfolded = 2.0 * (deepest - MEMBRANE_BELOW_TOP_M.value + (math.sqrt(2.0) - 1.0) * edge.haunch_width_m
                      + deepest - edge.haunch_depth_m)
    mats = plan.rectangles(rules.fabric_cover_m.value)
    door_width = site.scenario.building.door_width_m * len(site.scenario.building.doors)
    wall_length = plan.inset_perimeter_m(block_thickness / 2.0)
    inside = inside_walls.lines_of(site)
    inside_m = inside_walls.area_m2(inside_walls.apart(inside, block_thickness / 2.0, 0.0, plan.region(block_thickness))) / block_thickness
    thickened_m = inside_walls.area_m2(inside_walls.apart(inside, edge.width_m / 2.0, 0.0, plan.region(edge.width_m))) / edge.width_m
    block_m2 = max(0.0, (wall_length - door_width) * up) + inside_m * up
    lap, turned_in = edge_strip_lap_m(edge.depth_m), min(block_thickness, rules.dpc_lap_m.value)
    strip_m, strip_at_door_m = (c.strip_width_m(lap, MEMBRANE_BELOW_TOP_M.value, height, turned_in) for height in (up, 0.0))
    bars = 0.0
    if choices(site).edge_bars:
        length = (ring.length_m + thickened_m) * EDGE_BARS.value
        laps = LAP_DIAMETERS.value * EDGE_BAR_DIAMETER_M.value / BAR_LENGTH_M.value
        bars = length * (1.0 + laps) * materials.bar_kg_per_m(EDGE_BAR_DIAMETER_M.value)
        inside_cover = rules.fabric_cover_m.value
        for bench in edge.benches:
            link = 2.0 * (edge.width_m - 2 * inside_cover) + 2.0 * (top - bench.underside_m - 2 * inside_cover)
            bars += bench.length_m / c.LINK_SPACING_M.value * link * materials.bar_kg_per_m(LINK_DIAMETER_M.value)
        link = 2.0 * (edge.width_m - 2 * inside_cover) + 2.0 * (edge.haunch_depth_m - 2 * inside_cover)
        bars += thickened_m / c.LINK_SPACING_M.value * link * materials.bar_kg_per_m(LINK_DIAMETER_M.value)
    return {
        "formwork_m2": formwork,
        "lost_form_m2": lost,
        "membrane_m2": plan.area_m2 + haunch_extra + lost + upturn + 2.0 * (math.sqrt(2.0) - 1.0) * edge.haunch_width_m * thickened_m,
        "membrane_rolls": float(membrane_rolls(plan.rectangles(0.0), unfolded, products.membrane_roll_width_m,
                                               products.membrane_roll_length_m, rules.membrane_lap_m.value)),
        "geotextile_m2": plan.area_m2 if c.needs_geotextile(site) else 0.0,
        "fabric_m2": plan.area_inset_m2(rules.fabric_cover_m.value),
        "fabric_sheets": float(fabric_sheets(mats, products.fabric_sheet_length_m,
                                             products.fabric_sheet_width_m, rules.fabric_lap_m.value)),
        "bar_kg": bars,
        "edge_cage_m": ring.length_m + thickened_m if choices(site).edge_bars else 0.0,
        "blockwork_m2": block_m2,
        "mortar_m3": block_m2 * materials.MORTAR_M3_PER_M2_OF_140.value * block_thickness / 0.140,
        "dpc_m": max(0.0, wall_length - door_width) + inside_m,
        "edge_strip_m2": max(0.0, plan.perimeter_m - door_width) * strip_m,
        "sill_strip_m2": c.sill_strips_m2(site, block_thickness + strip_at_door_m),
        "wall_straps": c.strap_count(site) + inside_walls.straps(inside),
        "trim_m2": plan.area_inset_m2(-WORKING_MARGIN_M.value),
        "floor_m2": plan.area_m2,
        "sheet_m2": plan.area_inset_m2(-c.CURING_SHEET_BEYOND_M.value),
    }


def _checks(site: Site, edge: _Edge, top: float, up: float, variant: str, batter: _Batter, stone_under: float) -> tuple[Check, ...]:
    rules, plan, choice = site.rules, site.plan, choices(site)
    engineer = "a structural engineer"
    checks = list(stop_checks(site))
    checks.append(c.clearance_check(site, top + up))
    checks.append(check_at_least(
        "Floor above the highest ground", top, rules.floor_above_highest_ground_m,
        "Water must run away from the slab, not over it.", "a builder"))
    inner = plan.region(edge.toe_inset_m)
    fill = max(0.0, top - edge.slab_m - lowest_m(site.stripped, inner))
    checks.append(check_at_most(
        "Fill under the slab", fill, rules.greatest_fill_m,
        "Stone deeper than this settles: the floor must be suspended, or the scheme changed.", engineer))
    long_m, _ = plan.size_m()
    checks.append(check_at_most("Longest side without a joint", long_m, rules.greatest_raft_side_m,
                                "No joint may be cut through a raft's steel, and a longer one cracks where it likes.", engineer))
    checks.append(check_at_least("Slab thickness", edge.slab_m, rules.least_slab_m,
                                 "A thinner slab is not a floor.", engineer))
    deepest_stone = -stone_under - least_depth_m(edge.ring, site.stripped, edge.benches)
    checks.append(_edge_stone_check(site, deepest_stone))
    checks += _founding_checks(site, edge, top, variant, stone_under)
    checks += _boundary_checks(site, batter)
    if site.soil.shrinkable:
        depth = min(lowest_m(site.ground, edge.ring.bands(0.0, 1e-6, bench.from_m, bench.to_m)) - bench.underside_m for bench in edge.benches)
        checks.append(clay_check(site, "Depth of the edge in shrinkable clay", depth, choice.accept_clay_movement, "raft"))
    checks.append(height_check(site, top))
    return tuple(checks)


def _edge_stone_check(site: Site, stone_m: float) -> Check:
    """Stone under the edge beyond its bed: within, close, or outside."""
    rules = site.rules
    stone = max(0.0, stone_m)
    close = rules.edge_stone_close_m
    check = check_at_most("Stone under the edge beyond its bed", stone, close,
                          "A loaded edge on deep fresh stone tips outward.", "a structural engineer")
    if check.verdict == "outside":
        return check
    verdict = "within" if stone <= rules.edge_stone_within_m.value + 1e-9 else "close"
    return replace(check, verdict=verdict)


def _founding_checks(site: Site, edge: _Edge, top: float, variant: str, stone_under: float) -> list[Check]:
    """Frost: the concrete deep enough, or drained stone that frost does not lift down to that depth."""
    required = site.frost_required_m
    if required <= 0.0:
        return []
    limit = site.founding_rules["frost"]
    outer = [(bench, edge.ring.bands(0.0, 1e-6, bench.from_m, bench.to_m)) for bench in edge.benches]
    concrete = min(lowest_m(site.ground, bands) - bench.underside_m for bench, bands in outer)
    check = check_at_least("Depth of the edge against frost", concrete, limit,
                           "Frost-lifted ground under an edge cracks the raft.", "a structural engineer")
    if check.verdict != "outside":
        return [check]
    # Drained stone from the finished surface down counts, but only as a near thing.
    least_stone = math.inf
    for bench, bands in outer:
        formation = Flat.at(bench.underside_m - stone_under)
        finished = HigherOf(site.ground, Flat.at(bench.underside_m)) if variant == BATTER else site.ground
        for band in bands:
            for part, low in LowerOf(formation, site.stripped).over(band):
                for patch, high in finished.over(part):
                    least_stone = min(least_stone, min(high.z(p) - low.z(p) for p in patch))
    if least_stone >= required - 1e-9:
        return [replace(check, verdict="close", provided=least_stone, ratio=required / least_stone, ask="",
                        sentence="The concrete is shallower than frost asks, but drained stone that frost does not lift goes down that far.")]
    return [check]


def _boundary_checks(site: Site, batter: _Batter) -> list[Check]:
    """Whether the batter stays on the reader's own side of each boundary."""
    checks = []
    for side in site.plan.sides:
        distance, reach = site.scenario.plot.boundary_m.get(side.name), batter.reach_by_side_m.get(side.name, 0.0)
        if distance is not None and reach > 1e-9:
            limit = r.Sourced(distance, "m", None, "", r.COMMON_PRACTICE, "Your own boundary.")
            checks.append(check_at_most(f"{BATTER_REACH} {side.name} boundary", reach, limit,
                                        "Stone must not run out over the boundary.", "your neighbour and a surveyor"))
    return checks
