"""A block wall on a strip footing round a slab on the ground: what two schemes share.

The strip scheme carries its wall to knee height; the insulated slab stops a
course above the floor and puts insulation under it.  Footing, benches,
trench, refill and slab are worked out once, here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from calculators import bearing, concrete_section, loads, materials
from calculators import rules as r
from calculators import works as w
from calculators.benches import (
    Bench,
    Ring,
    greatest_depth_m,
    lay_benches,
    least_depth_m,
)
from calculators.ground import Flat, HigherOf, LowerOf, Raised, lowest_m
from calculators.numbers import round_up, steps_up
from calculators.plan import Polygon, all_without, common, polygon_area_m2
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
from calculators.works import Check, WallLine, Works

THIN_BLOCK_M = common_practice(0.140, "m", "Dense block under a light frame.")
THICK_BLOCK_M = common_practice(0.215, "m", "Block that holds back more than 450 mm of ground, or carries block walls.")
THIN_BLOCK_HOLDS_M = common_practice(0.450, "m", "More ground than this and the thicker block is taken.")
WALL_AND_FOOTING_M = common_practice(0.300, "m", "A footing is this much wider than its wall.")
DEEP_BLOCKWORK_FROM_M = common_practice(0.600, "m", "Blocks laid deeper than this need room for a person.")
DEEP_BLOCKWORK_WIDTH_M = common_practice(0.600, "m", "Trench in which a person can lay blocks.")
SLAB_M = common_practice(0.100, "m", "Slab of a light outbuilding.")
SLAB_UNDER_CARS_M = common_practice(0.150, "m", "Slab under the wheels of a car.")
STURDY_WIDTH_M = common_practice(0.600, "m", "Footing under a thicker wall that holds back fill.")
STEPPED_THICKNESS_M = common_practice(0.225, "m", "Footing thickness where it steps.")
THICKNESS_STEP_M = common_practice(0.025, "m", "Footing thicknesses are rounded up to this.")
FOOTING_INTO_STRIPPED_M = common_practice(0.100, "m", "A footing goes this far below the stripped surface, however deep the topsoil.")
BENCH_BEYOND_OVERLAP_M = common_practice(0.300, "m", "A bench is this much longer than its overlap.")

# Steps come and go as the floor rises over the courses, and this rule with them.
THICK_ENOUGH_TO_STEP = "Footing thickness at its steps"


@dataclass(frozen=True)
class FloorBuild:
    """What differs between the schemes on a footing; lengths in m.

    `wall_above_floor_m` is from slab top to the damp-proof course.
    `insulation` names the board, or is None.  `margin_m` is the room to work
    outside the wall.  `checks` are the scheme's own, about what it adds.
    """

    scheme: str
    wall_above_floor_m: float
    slab_m: float
    insulation: str | None
    insulation_m: float
    edge_board_m: float
    margin_m: float
    checks: tuple[Check, ...] = ()


@dataclass(frozen=True)
class _Footing:
    """Sizes of wall and footing, m, and the benches of its underside."""

    wall_m: float
    width_m: float
    thickness_m: float
    course_m: float
    overlap_m: float
    ring: Ring
    benches: tuple[Bench, ...]

    def top_m(self, bench: Bench) -> float:
        return bench.underside_m + self.thickness_m


def lay_out(site: Site, level: c.LevelChoice, build: FloorBuild, choice) -> Works:
    """Wall, footing and slab at one floor level.

    level: slab top; build: what the scheme adds; choice: the reader's choices
    (block_thickness_m, footing_width_m, footing_thickness_m, founding_depth_m).
    Raises ValueError when the footings meet in the middle.
    """
    plan, rules = site.plan, site.rules
    top = level.level_m
    dpc = top + build.wall_above_floor_m
    formation_m = top - build.slab_m - build.insulation_m - c.BLINDING_M.value - rules.least_sub_base_m.value
    footing = _footing(site, choice, dpc, formation_m, top)
    ring, wall = footing.ring, footing.wall_m
    formation, blinding_bottom = Flat.at(formation_m), Flat.at(formation_m + rules.least_sub_base_m.value)
    blinding_top = Flat.at(formation_m + rules.least_sub_base_m.value + c.BLINDING_M.value)
    dug_inside = LowerOf(site.stripped, formation)
    room, inner_face = plan.region(wall), plan.inset(wall)
    board = build.edge_board_m
    inside = _inside(site, footing, choice, board, dpc, formation_m)
    # Where a wall inside meets the outer one it stands on the outer footing.
    meets = inside.walls_within(plan.region(wall))
    floor = all_without(plan.region(wall + board), inside.floor_gaps)

    concrete, trench, backfill, drain_fill, trench_stone, blocks = [], [], [], [], [], []
    sub_base = [body(all_without(plan.region(ring.inner_m), inside.all_footings), dug_inside, blinding_bottom)]
    for own in inside.under:
        underside, footing_top = Flat.at(own.underside_m), Flat.at(own.underside_m + footing.thickness_m)
        beside = all_without(own.footing, meets)
        concrete.append(body(own.footing, underside, footing_top))
        trench.append(body(own.footing, underside, dug_inside))
        trench_stone.append(body(beside, footing_top, dug_inside))
        sub_base.append(body(beside, HigherOf(footing_top, dug_inside), blinding_bottom))
        blocks.append(body((common(part, strip) for part in own.footing for strip in meets), footing_top, Flat.at(dpc)))
    for bench in footing.benches:
        underside, footing_top = Flat.at(bench.underside_m), Flat.at(footing.top_m(bench))
        outside = ring.bands(ring.outer_m, wall, bench.from_m, bench.to_m)
        within = ring.bands(wall, ring.inner_m, bench.from_m, bench.to_m)
        concrete.append(body(outside + within, underside, footing_top))
        trench.append(body(outside, underside, site.stripped))
        trench.append(body(within, underside, dug_inside))
    for from_m, to_m, footing_top_m in _tops(footing):
        footing_top = Flat.at(footing_top_m)
        within = ring.bands(wall, ring.inner_m, from_m, to_m)
        beside = all_without(within, meets)
        trench_stone.append(body(beside, footing_top, dug_inside))
        sub_base.append(body(beside, HigherOf(footing_top, dug_inside), blinding_bottom))
        blocks.append(body((common(part, strip) for part in within for strip in meets), footing_top, Flat.at(dpc)))
        blocks.append(body(ring.bands(0.0, wall, from_m, to_m), footing_top, Flat.at(dpc)))
        for side, a, b in ring.parts(from_m, to_m):
            filled = body([side.band(ring.outer_m, 0.0, a, b)], footing_top, site.stripped)
            (drain_fill if site.facing(side) == "uphill" else backfill).append(filled)
    for from_m, to_m, bottom_m, top_m in _overlaps(footing):
        concrete.append(body(ring.bands(ring.outer_m, ring.inner_m, from_m, to_m), Flat.at(bottom_m), Flat.at(top_m)))

    slab_bottom = Flat.at(top - build.slab_m)
    # A footing that reaches past the margin has its trench stripped too.
    margin = max(build.margin_m, -ring.outer_m)
    drain_solids, drain_measures, drain_lines, drain_words = c.drains(site, margin)
    door_measures, door_checks, door_lines = c.doors(site, top)
    board_polygons = []
    if board > 0.0:
        board_polygons = all_without((side.band(wall, wall + board) for side in plan.sides), inside.floor_gaps)
        board_polygons += all_without(inside.floor_gaps, meets)
    solids = (
        *c.stripping(site, margin),
        solid(site, w.REDUCE_DIG, body(room, formation, site.stripped)),
        solid(site, w.TRENCH_DIG, *trench),
        solid(site, w.SUB_BASE, *sub_base),
        solid(site, w.TRENCH_STONE, *trench_stone),
        solid(site, w.BACKFILL, *backfill),
        solid(site, w.DRAIN_STONE, *drain_fill),
        solid(site, w.BLINDING, body(floor, blinding_bottom, blinding_top)),
        solid(site, w.INSULATION, body(floor if build.insulation_m > 0 else (), blinding_top, slab_bottom)),
        solid(site, w.EDGE_BOARD, body(board_polygons, blinding_bottom, Flat.at(top))),
        solid(site, w.SLAB, body(floor, slab_bottom, Flat.at(top))),
        solid(site, w.FOOTING, *concrete),
        solid(site, w.BLOCKWORK, *blocks),
        *c.soft_spots(site, [(polygon, formation) for polygon in all_without(plan.region(ring.inner_m), inside.all_footings)]
                      + [(polygon, Flat.at(own.underside_m)) for own in inside.under for polygon in own.footing]
                      + [(polygon, Flat.at(bench.underside_m)) for bench in footing.benches
                         for polygon in ring.bands(ring.outer_m, ring.inner_m, bench.from_m, bench.to_m)]),
        *drain_solids,
    )
    steps = c.steps_along_walls(site, ring, footing.benches, footing.course_m, footing.overlap_m)
    lines = [WallLine("wall", side.at(0.0, 0.0), side.at(side.length_m, 0.0)) for side in plan.sides]
    lines += [WallLine("inner face", start, end) for start, end in zip(inner_face, inner_face[1:] + inner_face[:1])]
    for distance in (ring.outer_m, ring.inner_m):
        edge = plan.inset(distance)
        lines += [WallLine("footing", start, end) for start, end in zip(edge, edge[1:] + edge[:1])]
    lines += [WallLine(c.MIDDLE_OF_INSIDE_WALL, line.start, line.end, own.underside_m, own.underside_m + footing.thickness_m)
              for line, own in zip(inside.lines, inside.under)]
    lines += inside_walls.plan_lines(inside.lines, inside.thickness_m / 2.0, "wall inside", room)
    lines += inside_walls.plan_lines(inside.lines, footing.width_m / 2.0, "footing", plan.region(ring.inner_m))
    assumptions = [*plot_assumptions(site), *drain_words]
    if inside.lines:
        assumptions.append("A wall inside stands on a level footing of its own, as wide and thick as the outer one, up to the same damp-proof course. Openings in it are not counted.")
    underside_of_build = top - build.slab_m - build.insulation_m
    return Works(
        scheme=build.scheme,
        variant="",
        floor_level_m=top,
        level_set_by=level.set_by,
        sole_plate_m=dpc,
        slab_thickness_m=build.slab_m,
        fill_depth_m=max(0.0, underside_of_build - lowest_m(site.stripped, room)),
        low_side_height_m=top - site.lowest_ground_m,
        founding_level_m=min(bench.underside_m for bench in footing.benches),
        solids=tuple(part for part in solids if part.volume_m3 > 0.0),
        measures=_measures(site, footing, build, top, dpc, len(steps), inside, math.fsum(map(polygon_area_m2, floor))) | drain_measures | door_measures,
        steps=steps,
        lines=tuple(lines) + drain_lines + door_lines,
        sizes={
            "slab_thickness_m": build.slab_m,
            "block_thickness_m": wall,
            "footing_width_m": footing.width_m,
            "footing_thickness_m": footing.thickness_m,
            "wall_above_floor_m": build.wall_above_floor_m,
            "insulation_thickness_m": build.insulation_m,
        } | ({"inside_wall_m": inside.thickness_m} if inside.lines else {}),
        checks=_checks(site, footing, build, choice, top, dpc, underside_of_build) + tuple(door_checks) + tuple(c.room_checks(site, margin, margin)),
        assumptions=tuple(assumptions),
    )


def retained_m(site: Site, floor_level_m: float) -> float:
    """Greatest height of ground, or of fill under the floor, that the wall holds back, m.

    floor_level_m: slab top.  Uphill the ground pushes in, downhill the fill
    under the floor pushes out.
    """
    return max(0.0 - floor_level_m, floor_level_m - site.lowest_ground_m, 0.0)


def block_thickness_m(site: Site, choice, floor_level_m: float) -> float:
    """Thickness of the block wall, m: the reader's own, or by what it holds back and carries."""
    if choice.block_thickness_m is not None:
        return choice.block_thickness_m
    holds_much = retained_m(site, floor_level_m) > THIN_BLOCK_HOLDS_M.value + 1e-9
    heavy = site.scenario.building.walls == "block"
    return (THICK_BLOCK_M if holds_much or heavy else THIN_BLOCK_M).value


def slab_thickness_m(site: Site, choice) -> float:
    """Thickness of the slab, m: the reader's own, or by what stands on it."""
    if choice.slab_thickness_m is not None:
        return choice.slab_thickness_m
    return (SLAB_UNDER_CARS_M if site.scenario.building.use == "garage" else SLAB_M).value


def sturdier(site: Site, choice, floor_level_m: float) -> tuple:
    """Choices with a thicker wall, and with a wider footing under it, where the reader left both open.

    choice: the reader's choices; floor_level_m: slab top, m.  Empty where
    nothing is left open, or the wall is thick and its footing wide already.
    """
    if choice.block_thickness_m is not None:
        return ()
    thick = replace(choice, block_thickness_m=THICK_BLOCK_M.value)
    found = [thick] if block_thickness_m(site, choice, floor_level_m) < THICK_BLOCK_M.value else []
    if choice.footing_width_m is None:
        found.append(replace(thick, footing_width_m=STURDY_WIDTH_M.value))
    return tuple(found)


def said_to_be_sturdier(laid_out: Iterable[Works]) -> Iterator[Works]:
    """Works with a sturdier wall, each with a sentence that says so, laid out when they are asked for."""
    words = "The usual wall and footing would not hold back the fill here: a thicker wall is taken, on a wider footing where that is needed too."
    return (replace(works, assumptions=works.assumptions + (words,)) for works in laid_out)


def _heaviest_wall(site: Site, wall_m: float, dpc: float, lowest_m: float, floor_level_m: float) -> loads.WallLoad:
    """What the heaviest wall brings to its footing, if it goes down to a level, m."""
    scenario = site.scenario
    return loads.heaviest(loads.wall_loads(
        scenario.building, site.plan, scenario.region, wall_m, max(0.0, dpc - lowest_m), max(0.0, dpc - floor_level_m), scenario.given.ground_snow_kpa,
        loads.eaves_overhang_m(scenario.drainage)))


def _table_width_m(site: Site, load: loads.WallLoad) -> float | None:
    """Least width, m, by load and soil; None where no table holds for either."""
    try:
        # A load guessed to be past the end of the table may yet turn out to be inside it.
        soil, region = site.scenario.plot.soil, site.rules.region
        return r.footing_least_width_m(soil, min(load.total_kn_per_m, r.greatest_footing_load_kn_per_m(soil, region)), region)
    except ValueError:
        return None


def _footing(site: Site, choice, dpc: float, formation_m: float, floor_level_m: float) -> _Footing:
    """Width, thickness and benches; widened once where blocks must be laid deep, and once where the wall turns out heavier than thought.

    How heavy it is depends on how deep it goes, and that on the footing.
    """
    wall = block_thickness_m(site, choice, floor_level_m)
    course = site.scenario.schedule.products.course_m
    load = _heaviest_wall(site, wall, dpc, min(site.lowest_ground_m - _founding_m(site, choice), formation_m) - course, floor_level_m)
    # A footing asked to be narrower than its wall is laid out as wide as the wall, for scale; a check says so.
    widths = [max(wall, choice.footing_width_m or 0.0)]
    if choice.footing_width_m is None:
        usual = max(_table_width_m(site, load) or 0.0, wall + WALL_AND_FOOTING_M.value, site.rules.least_footing_width_m.value)
        # Rounded so that a wall and its projections make a whole number of millimetres.
        widths = [usual, max(usual, DEEP_BLOCKWORK_WIDTH_M.value)]
    for width in widths:
        footing = _stepped(site, choice, dpc, formation_m, wall, width, load)
        deepest_blocks = greatest_depth_m(Ring(site.plan, wall / 2.0, wall), site.ground, footing.benches) - footing.thickness_m
        if deepest_blocks <= DEEP_BLOCKWORK_FROM_M.value + 1e-9:
            break
    load = _heaviest_wall(site, wall, dpc, min(bench.underside_m for bench in footing.benches) + footing.thickness_m, floor_level_m)
    wanted = _table_width_m(site, load) or 0.0
    if choice.footing_width_m is None and wanted > footing.width_m:
        footing = _stepped(site, choice, dpc, formation_m, wall, wanted, load)
    return footing


def _founding_m(site: Site, choice) -> float:
    """How far, m, a footing's underside goes below the ground: the reader's own depth or the rules', and well into what is stripped."""
    depth = site.founding_depth_m if choice.founding_depth_m is None else choice.founding_depth_m
    return max(depth, site.scenario.plot.topsoil_m + FOOTING_INTO_STRIPPED_M.value)


def _stepped(site: Site, choice, dpc: float, formation_m: float, wall: float, width: float, load: loads.WallLoad) -> _Footing:
    """Benches for one width: level if the ground lets it be, else thick enough to step."""
    course = site.scenario.schedule.products.course_m
    depth = _founding_m(site, choice)
    ring = Ring(site.plan, wall / 2.0, width)
    projection = max(0.0, (width - wall) / 2.0)
    for_load = concrete_section.plain_footing_least_thickness_m(
        projection, bearing.bearing_pressure_kpa(load.factored_kn_per_m, width), concrete_section.FOOTING_FCK_MPA.value)
    plain = round_up(max(r.footing_least_thickness_m(projection, site.rules.region), for_load), THICKNESS_STEP_M.value)
    stepped = max(plain, round_up(max(STEPPED_THICKNESS_M.value, course), 0.005))
    tried = (choice.footing_thickness_m,) if choice.footing_thickness_m is not None else (plain, stepped)
    for thickness in tried:
        overlap = max(2.0 * course, thickness, site.rules.least_step_overlap_m.value)
        # Nothing is dug deeper beside a footing than its underside, which would undermine it;
        # and its top comes no higher than the stone inside, or it would stand in the slab.
        highest = min(formation_m, formation_m + site.rules.least_sub_base_m.value - thickness)
        courses_down = steps_up(max(0.0, dpc - thickness - highest), course)
        # A bench with a step up at both ends carries two overlaps.
        benches = lay_benches(ring, Raised(site.ground, -depth), dpc - thickness - courses_down * course, course, overlap + BENCH_BEYOND_OVERLAP_M.value,
                              2.0 * overlap + BENCH_BEYOND_OVERLAP_M.value)
        footing = _Footing(wall, width, thickness, course, overlap if len(benches) > 1 else 0.0, ring, benches)
        if len(benches) == 1:
            break
    return footing


def _tops(footing: _Footing) -> list[tuple[float, float, float]]:
    """Stretches of the footing's top as the wall finds it: (from, to, level), m, overlaps counted with the upper bench."""
    benches = footing.benches
    count = len(benches)
    if count == 1:
        return [(benches[0].from_m, benches[0].to_m, footing.top_m(benches[0]))]
    stretches = []
    for i, bench in enumerate(benches):
        before, after = benches[i - 1], benches[(i + 1) % count]
        start = bench.from_m + (footing.overlap_m if before.steps_down < bench.steps_down else -footing.overlap_m)
        end = bench.to_m + (footing.overlap_m if after.steps_down > bench.steps_down else -footing.overlap_m)
        stretches += _on_ring(start, end, footing.ring.length_m, footing.top_m(bench))
    return stretches


def _overlaps(footing: _Footing) -> list[tuple[float, float, float, float]]:
    """Extra concrete at each step: (from, to, bottom, top), m: the upper bench run on over the lower."""
    benches = footing.benches
    if len(benches) == 1:
        return []
    found = []
    for here, following in zip(benches, benches[1:] + benches[:1]):
        lower, upper = sorted((here, following), key=lambda bench: bench.underside_m)
        start = here.to_m if following is lower else here.to_m - footing.overlap_m
        for a, b, top in _on_ring(start, start + footing.overlap_m, footing.ring.length_m, footing.top_m(upper)):
            found.append((a, b, footing.top_m(lower), top))
    return found


def _on_ring(start: float, end: float, total: float, value: float) -> list[tuple[float, float, float]]:
    """A stretch of chainage moved so that it starts on the first lap."""
    lap = total * (start // total)
    return [(start - lap, end - lap, value)]


@dataclass(frozen=True)
class _Under:
    """What one wall inside stands on: its own part of footing, as convex polygons, m, and its underside, m."""

    footing: list[Polygon]
    underside_m: float


@dataclass(frozen=True)
class _Inside:
    """The walls inside: their centre lines, thickness, m, what each stands on, and the strips that the floor leaves out."""

    lines: tuple[inside_walls.Line, ...]
    thickness_m: float
    under: tuple[_Under, ...]
    floor_gaps: list[Polygon]

    @property
    def all_footings(self) -> list[Polygon]:
        return [polygon for own in self.under for polygon in own.footing]

    def walls_within(self, region) -> list[Polygon]:
        """The walls in plan, each part once, inside convex polygons, m."""
        return [part for own in inside_walls.apart(self.lines, self.thickness_m / 2.0, 0.0, region) for part in own]


def _inside(site: Site, footing: _Footing, choice, board_m: float, dpc: float, formation_m: float) -> _Inside:
    """Each wall inside on one level of footing, as deep as the ground under it asks, on the course grid of the outer one."""
    lines = inside_walls.lines_of(site)
    if not lines:
        return _Inside((), 0.0, (), [])
    thickness = footing.wall_m if site.scenario.building.walls == "block" else THIN_BLOCK_M.value
    half = footing.width_m / 2.0
    highest = min(formation_m, formation_m + site.rules.least_sub_base_m.value - footing.thickness_m)
    under = []
    for line, parts in zip(lines, inside_walls.apart(lines, half, half - thickness / 2.0, site.plan.region(footing.ring.inner_m))):
        # A wall so short that it stands wholly on the outer footing, or on another wall's, needs none of its own.
        reached = parts or [line.strip(-half, half)]
        allowed = min(highest, lowest_m(site.ground, reached) - _founding_m(site, choice))
        down = steps_up(max(0.0, dpc - footing.thickness_m - allowed), footing.course_m)
        under.append(_Under(parts, dpc - footing.thickness_m - down * footing.course_m))
    gaps = inside_walls.apart(lines, thickness / 2.0 + board_m, board_m, site.plan.region(footing.wall_m))
    return _Inside(lines, thickness, tuple(under), [part for own in gaps for part in own])


def _measures(
    site: Site, footing: _Footing, build: FloorBuild, top: float, dpc: float, step_count: int, inside: _Inside, slab_m2: float,
) -> dict[str, float]:
    plan, ring, rules, products = site.plan, footing.ring, site.rules, site.scenario.schedule.products
    wall, building = footing.wall_m, site.scenario.building
    door_width = building.door_width_m * len(building.doors)
    tops = _tops(footing)
    block_m2 = sum(ring.length_along_m(wall / 2.0, a, b) * (dpc - level) for a, b, level in tops)
    block_m2 -= door_width * build.wall_above_floor_m
    render = sum(
        c.mean_face_m2(site, side, max(a, 0.0), min(b, side.length_m), level, rules.dpc_above_ground_m.value, dpc)
        for start, end, level in tops for side, a, b in ring.parts(start, end))
    inner_m = wall + build.edge_board_m
    mat_m = inner_m + rules.fabric_cover_m.value
    upturn = dpc - (top - build.slab_m - build.insulation_m)
    room_perimeter = plan.inset_perimeter_m(wall)
    fabric_m2 = plan.area_inset_m2(mat_m)
    inside_m = mortar_inside = 0.0
    if inside.lines:
        meets = inside.walls_within(plan.region(wall))
        inside_m = math.fsum(map(polygon_area_m2, meets)) / inside.thickness_m
        stands = sum(math.fsum(polygon_area_m2(common(part, strip)) for part in own.footing for strip in meets if common(part, strip))
                     * (dpc - own.underside_m - footing.thickness_m) for own in inside.under)
        stands += sum(math.fsum(polygon_area_m2(common(band, strip)) for band in ring.bands(wall, ring.inner_m, a, b) for strip in meets if common(band, strip))
                      * (dpc - level) for a, b, level in tops)
        inside_m2 = stands / inside.thickness_m
        block_m2 += inside_m2
        mortar_inside = inside_m2 * (materials.mortar_m3_per_m2(inside.thickness_m) - materials.mortar_m3_per_m2(wall))
        # Both faces of a wall inside are faces of the room.
        room_perimeter += 2.0 * inside_m
        fabric_m2 -= 2.0 * (inside.thickness_m / 2.0 + build.edge_board_m + rules.fabric_cover_m.value) * inside_m
    return {
        "formwork_m2": step_count * footing.width_m * footing.course_m,
        "membrane_m2": slab_m2 + room_perimeter * upturn,
        "membrane_rolls": float(membrane_rolls(plan.rectangles(inner_m), 2 * upturn, products.membrane_roll_width_m,
                                               products.membrane_roll_length_m, rules.membrane_lap_m.value)),
        "geotextile_m2": plan.area_inset_m2(wall) if c.needs_geotextile(site) else 0.0,
        "fabric_m2": fabric_m2,
        "fabric_sheets": float(fabric_sheets(plan.rectangles(mat_m), products.fabric_sheet_length_m,
                                             products.fabric_sheet_width_m, rules.fabric_lap_m.value)),
        "blockwork_m2": block_m2,
        "mortar_m3": block_m2 * materials.mortar_m3_per_m2(wall) + mortar_inside,
        "dpc_m": ring.length_m - door_width + inside_m,
        "sill_strip_m2": c.sill_strips_m2(site, wall + c.SILL_TURNED_DOWN_M.value),
        "wall_straps": c.strap_count(site) + inside_walls.straps(inside.lines),
        "render_m2": render,
        "edge_board_m2": room_perimeter * (build.slab_m + build.insulation_m + c.BLINDING_M.value) if build.edge_board_m > 0 else 0.0,
        "isolation_strip_m": 0.0 if build.edge_board_m > 0 else room_perimeter,
        "trim_m2": plan.area_inset_m2(wall) + ring.length_m * footing.width_m + math.fsum(map(polygon_area_m2, inside.all_footings)),
        "floor_m2": slab_m2,
        "sheet_m2": slab_m2,
    }


def _checks(site: Site, footing: _Footing, build: FloorBuild, choice, top: float, dpc: float, underside_m: float) -> tuple[Check, ...]:
    rules, plan = site.rules, site.plan
    engineer = "a structural engineer"
    checks = list(stop_checks(site))
    checks += build.checks
    checks.append(c.clearance_check(site, dpc))
    checks.append(check_at_least("Floor above the lowest ground", top - site.lowest_ground_m, rules.floor_above_lowest_ground_m,
                                 "Drains must find daylight.", "a builder"))
    fill = max(0.0, underside_m - lowest_m(site.stripped, plan.region(footing.wall_m)))
    checks.append(check_at_most("Fill under the slab", fill, rules.greatest_fill_m,
                                "Stone deeper than this settles: the floor must be suspended, or the scheme changed.", engineer))
    checks.append(check_at_most("Ground held back by the wall", retained_m(site, top), rules.retained_height_per_thickness,
                                "A low wall holds back ground up to four times its thickness; more asks for a thicker wall, another level, or one that is worked out.", engineer,
                                required=r.retained_ground_limit_m(footing.wall_m, rules.region), unit="m"))
    for why, depth in site.founding_rules.items():
        founded = least_depth_m(footing.ring, site.ground, footing.benches)
        name = {"any soil": "Depth of the footing", "frost": "Depth of the footing against frost", "clay": "Depth of the footing in shrinkable clay"}[why]
        checks.append(check_at_least(name, founded, depth, {"any soil": "Loose top ground must not carry a wall.", "frost": "Ground that freezes lifts what stands on it.", "clay": "Above this depth clay shrinks and swells with the seasons."}[why], engineer))
    if choice.footing_width_m is not None and choice.footing_width_m < footing.wall_m:
        under_wall = r.Sourced(footing.wall_m, "m", None, "", r.COMMON_PRACTICE, "The wall stands on it.")
        checks.append(check_at_least("Footing as wide as its wall", choice.footing_width_m, under_wall,
                                     "The wall would overhang its footing: write a wider footing or a thinner wall.", engineer))
    projection = max(0.0, (footing.width_m - footing.wall_m) / 2.0)
    checks.append(check_at_least("Footing thickness", footing.thickness_m, rules.least_footing_thickness_m,
                                 "No thinner than it projects past the wall.", engineer,
                                 required=r.footing_least_thickness_m(projection, rules.region)))
    if len(footing.benches) > 1:
        checks.append(check_at_least(THICK_ENOUGH_TO_STEP, footing.thickness_m, rules.least_footing_thickness_m,
                                    "A step is no higher than the footing is thick.", engineer,
                                    required=footing.course_m))
    checks.append(check_at_least("Slab thickness", build.slab_m, rules.least_slab_m, "A thinner slab is not a floor.", engineer))
    if site.soil.shrinkable:
        # The slab bears on the ground inside, however deep the footing round it goes.
        depth = lowest_m(site.ground, plan.region(footing.wall_m)) - underside_m
        checks.append(clay_check(site, "Slab on shrinkable clay", depth, choice.accept_clay_movement, "slab"))
    checks.append(height_check(site, top))
    return tuple(checks)
