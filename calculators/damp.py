"""Will it stay dry: the way of membrane and damp-proof course from the ground to the timber, and the checks on it.

A path is drawn in the cross-section of one wall: x inward from the outer face
and z up, m, with levels as everywhere above the highest existing ground.
`damp_path` and `door_path` follow what is laid out; `damp_checks` holds it
against the rules.  What nobody can know before it is built is an instruction,
not a verdict.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from calculators import works as w
from calculators.ground import Surface, profile
from calculators.plan import Point, Polygon, Side
from calculators.rules import rules_for
from calculators.scenario import EdgeDetails
from calculators.schemes import common, thickened_raft
from calculators.site import TOLERANCE, Door, Site, check_at_least, check_at_most, worst_of
from calculators.sources import COMMON_PRACTICE, READ, Sourced, common_practice
from calculators.works import Check, Works

METHOD = "damp"
BUILDER = "a builder"
SPECIALIST = "a specialist in keeping water out of buildings"

STEP_NEEDS_WATERPROOFING_M = Sourced(0.150, "m", "nhbc-standards", "5.1.19, 5.1.20", READ, "A floor further than this below the ground beside it is made waterproof.")
CLADDING_PAST_FACE_M = common_practice(0.025, "m", "Outer face of the cladding past the face of the slab or block below it, so that drops fall clear.")
CLADDING_BELOW_DPC_M = common_practice(0.025, "m", "Cladding hangs this far below the damp-proof course, so that rain is not blown in over it.")
CLADDING_OUT_M = common_practice(0.045, "m", "A batten of 25 mm and a board of 20 mm, on a frame that stands flush with the face below.")
SOLE_PLATE_M = common_practice(0.140, "m", "Sole plate no wider than this, flush with the outer face of the block.")
PAVING_FALL = common_practice(1.0 / 40.0, "gradient", "Paving falls away from a wall.")

SHEET = "polythene sheet"
STRIP = "self-adhesive bitumen strip"
COURSE = "polythene or bitumen strip, as wide as the wall"
RENDER = "waterproof render or bitumen coat"
TIMBER = "treated timber"

UNDER_SLAB = "membrane under the slab"
UNDER_EDGE = "membrane under the edge"
TURNED_UP = "membrane turned up"
EDGE_STRIP = "strip over the slab edge"
DAMP_PROOF_COURSE = "damp-proof course"
SILL_STRIP = "strip under the sill"
SOLE_PLATE = "sole plate"
BLOCK_WALL = "block wall"
SILL = "door sill"
BURIED_FACE = "render on the buried face"

SHOWN_INSIDE_M = 0.6
"""How much of the membrane under the floor belongs to a path."""
CLEAR_OF_CORNER_M = 1.0
"""A cross-section keeps this far from a corner where the side is long enough, or it would run along the next wall."""


@dataclass(frozen=True)
class Segment:
    """One length of what keeps damp out, or the timber that it protects.

    `points` are (inward from the outer face, level), m, on the way from the
    ground to the timber.  `lap_m` is how far it is lapped with the next one;
    None where the next one lies on it or there is none.  `added` is True for
    a strip bonded on afterwards, without which the next length lies bare.
    """

    what: str
    points: tuple[Point, ...]
    material: str
    lap_m: float | None = None
    added: bool = False


@dataclass(frozen=True)
class DampPath:
    """The way of membrane and damp-proof course through one wall, and the ground outside it.

    `along_m` is the place of the cross-section, m from the start of the side,
    `ground_m` the finished ground there at the outer face: the existing, or
    the stone laid outside the edge where that stands higher.  `highest_m` and
    `lowest_m` are those of the whole side.  `floor` goes from the middle of
    the floor to the timber, `face` up the buried outer face.
    """

    side: Side
    along_m: float
    ground_m: float
    highest_m: float
    lowest_m: float
    floor_m: float
    dpc_m: float
    floor: tuple[Segment, ...]
    face: tuple[Segment, ...]


# Formulas.


def least_dpc_level_m(highest_ground_m: float, region: str = "england") -> float:
    """Lowest level at which a damp-proof course may lie.

    highest_ground_m: highest finished ground against the wall, m, any level.  region: its rules.
    Returns a level, m, on the same datum.
    Raises ValueError for a ground that is no number, or an unknown region.
    Source: NHBC Standards 5.1.19 and 5.1.20 (read), borrowed elsewhere.

    >>> round(least_dpc_level_m(-0.3), 6)
    -0.15
    """
    _finite("ground", highest_ground_m)
    return highest_ground_m + rules_for(region).dpc_above_ground_m.value


def greatest_paving_level_m(dpc_m: float, region: str = "england") -> float:
    """Highest level of paving, stone or soil against a wall.

    dpc_m: level of the damp-proof course, m, any level.  region: its rules.
    Returns a level, m, on the same datum.
    Raises ValueError for a level that is no number, or an unknown region.
    Source: NHBC Standards 5.1.19 and 5.1.20 (read), borrowed elsewhere.

    >>> round(greatest_paving_level_m(0.275), 6)
    0.125
    """
    _finite("damp-proof course", dpc_m)
    return dpc_m - rules_for(region).dpc_above_ground_m.value


def face_top_m(ground_m: float, dpc_m: float, region: str = "england") -> float:
    """How high the damp-proofing of a buried outer face goes: to the splash line, or to the damp-proof course below it.

    ground_m, dpc_m: levels, m, any.  region: its rules.
    Returns a level, m.
    Raises ValueError for a level that is no number, or an unknown region.
    Source: the height that a damp-proof course keeps above the ground, NHBC Standards 5.1.19 (read), taken as the height of splash.

    >>> round(face_top_m(0.0, 0.45), 6), round(face_top_m(0.0, 0.1), 6)
    (0.15, 0.1)
    """
    _finite("damp-proof course", dpc_m)
    return min(least_dpc_level_m(ground_m, region), dpc_m)


def cladding_foot_m(highest_ground_m: float, dpc_m: float, region: str = "england") -> float:
    """Lower edge of the cladding: hanging below the damp-proof course where there is room above the ground, else level with it.

    highest_ground_m, dpc_m: levels, m, any.  region: its rules.
    Returns a level, m.
    Raises ValueError for a level that is no number, or an unknown region.
    Source: common practice for how far it hangs; the height that a damp-proof course keeps above the ground, NHBC Standards 5.1.19 (read), taken for the boards too.

    >>> round(cladding_foot_m(0.0, 0.275), 6), round(cladding_foot_m(0.0, 0.16), 6)
    (0.25, 0.16)
    """
    _finite("damp-proof course", dpc_m)
    lower = dpc_m - CLADDING_BELOW_DPC_M.value
    return lower if lower >= least_dpc_level_m(highest_ground_m, region) - TOLERANCE else dpc_m


def patch_side_m(tear_m: float, lap_m: float) -> float:
    """Side of the patch that makes a torn membrane good: the tear, and a lap all round it.

    tear_m: longest reach of the tear, m, 0 or more.  lap_m: m, above 0.
    Returns the side of a square, m.
    Raises ValueError outside those ranges.
    Source: laps of NHBC Standards 5.1.20 (read), on every side of the tear (geometry).

    >>> round(patch_side_m(0.05, 0.3), 6)
    0.65
    """
    if not (tear_m >= 0.0 and lap_m > 0.0 and math.isfinite(tear_m + lap_m)):
        raise ValueError(f"a tear must be 0 m or longer and a lap longer than 0 m, not {tear_m} m and {lap_m} m")
    return tear_m + 2.0 * lap_m


def gap_m(segments: tuple[Segment, ...]) -> float:
    """Greatest distance between one segment and the next: what neither covers.

    segments: in order, points in m.
    Returns m; 0 where each meets or laps the next.
    Raises ValueError for fewer than two segments.
    Source: geometry.

    >>> sheet = Segment("sheet", ((0.0, 0.0), (0.0, 0.3)), "polythene")
    >>> strip = Segment("strip", ((0.0, 0.2), (0.0, 0.5)), "bitumen")
    >>> course = Segment("course", ((0.0, 0.5), (0.14, 0.5)), "polythene")
    >>> round(gap_m((sheet, course)), 6), gap_m((sheet, strip, course))
    (0.2, 0.0)
    """
    if len(segments) < 2:
        raise ValueError("a path has at least two segments")
    return max(_apart_m(here, following) for here, following in zip(segments, segments[1:]))


def _finite(name: str, value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"the level of the {name} must be a number of metres, not {value}")


def _apart_m(here: Segment, there: Segment) -> float:
    """Between two segments, m; 0 where they touch or lap."""
    return min([_distance_m(point, there.points) for point in here.points] + [_distance_m(point, here.points) for point in there.points])


def _distance_m(point: Point, line: tuple[Point, ...]) -> float:
    """From a point to the nearest place on a line through points, m."""
    nearest = math.inf
    for (xa, za), (xb, zb) in zip(line, line[1:]):
        dx, dz = xb - xa, zb - za
        square = dx * dx + dz * dz
        share = 0.0 if square == 0.0 else min(1.0, max(0.0, ((point[0] - xa) * dx + (point[1] - za) * dz) / square))
        nearest = min(nearest, math.hypot(point[0] - xa - share * dx, point[1] - za - share * dz))
    return nearest if nearest > TOLERANCE else 0.0


# Paths.


def damp_paths(site: Site, works: Works) -> tuple[DampPath, ...]:
    """The path at each side of the plan, in the plan's order, where its ground is highest.

    site; works: as laid out, levels in m.
    Returns a DampPath for each side, m.
    Raises ValueError for a scheme without a slab on the ground.
    Source: the schemes' own layout; details are common practice.
    """
    return tuple(damp_path(site, works, side) for side in site.plan.sides)


def damp_path(site: Site, works: Works, side: Side, along_m: float | None = None) -> DampPath:
    """The path of membrane and damp-proof course through one wall.

    site; works: as laid out, m.  side: of the plan.  along_m: place along it, m; None for where its ground is highest.
    Returns a DampPath; the cross-section is moved clear of the corners.
    Raises ValueError for a scheme without a slab on the ground.
    Source: the schemes' own layout; details are common practice.
    """
    along_m = clear_of_corners_m(side, highest_at_m(site, side) if along_m is None else along_m)
    ground = ground_m(site, side, along_m)
    dpc = works.sole_plate_m
    if is_raft(works):
        floor = (*_raft_sheet(site, works, side, along_m), _edge_strip(site, works, side, along_m, dpc),
                 Segment(DAMP_PROOF_COURSE, ((0.0, dpc), (wall_m(works), dpc)), COURSE), _stands_on(site, works))
        return _path(site, works, side, along_m, ground, floor, ())
    course = Segment(DAMP_PROOF_COURSE, ((0.0, dpc), (wall_m(works), dpc)), COURSE)
    floor = (*_sheet_in_walls(site, works, side, along_m, dpc), course, _stands_on(site, works))
    return _path(site, works, side, along_m, ground, floor, _buried_face(site, works, side, along_m, ground, dpc))


def door_path(site: Site, works: Works, door: Door) -> DampPath:
    """The path through the wall at a door, where upstand or knee wall stop at the floor.

    site; works: as laid out, m.  door: of the site.
    Returns a DampPath whose timber is the sill; m.
    Raises ValueError for a scheme without a slab on the ground.
    Source: the schemes' own layout; details are common practice.
    """
    side, along_m, floor_m = door.side, clear_of_corners_m(door.side, door.middle_m), works.floor_level_m
    wall = wall_m(works)
    down = max(0.0, min(common.SILL_TURNED_DOWN_M.value, floor_m - _foot_m(works, side, along_m)))
    sill = Segment(SILL, ((0.0, floor_m), (wall, floor_m)), "hardwood, metal or concrete")
    if is_raft(works):
        strip = Segment(SILL_STRIP, ((wall, floor_m), (0.0, floor_m)), STRIP)
        floor = (*_raft_sheet(site, works, side, along_m), _edge_strip(site, works, side, along_m, floor_m), strip, sill)
        return _path(site, works, side, along_m, door.ground_m, floor, ())
    strip = Segment(SILL_STRIP, ((wall, floor_m), (0.0, floor_m), (0.0, floor_m - down)), STRIP, down, added=True)
    floor = (*_sheet_in_walls(site, works, side, along_m, floor_m), strip, sill)
    return _path(site, works, side, along_m, door.ground_m, floor, _buried_face(site, works, side, along_m, door.ground_m, floor_m))


def is_raft(works: Works) -> bool:
    """Whether the walls stand on the slab itself; otherwise they stand on a footing (sizes in m).

    Raises ValueError for a scheme without a slab on the ground.  Source: the layout.
    """
    if "edge_width_m" in works.sizes:
        return True
    if "block_thickness_m" in works.sizes:
        return False
    raise ValueError(f"no path of damp-proofing is held for {works.scheme}")


def wall_m(works: Works) -> float:
    """Thickness of the block under the damp-proof course, m.  Source: the layout."""
    return common.UPSTAND_BLOCK_M.value if is_raft(works) else works.sizes["block_thickness_m"]


def clear_of_corners_m(side: Side, along_m: float) -> float:
    """A place along a side, m, moved clear of its corners, or to its middle.  Source: geometry."""
    keep = min(CLEAR_OF_CORNER_M, side.length_m / 2.0)
    return min(max(along_m, keep), side.length_m - keep)


def highest_at_m(site: Site, side: Side) -> float:
    """Where along a side, m, the existing ground at its face is highest.  Source: the survey."""
    return max(_ground_along(site, side), key=lambda mark: mark[1])[0]


def lowest_at_m(site: Site, side: Side) -> float:
    """Where along a side, m, the existing ground at its face is lowest.  Source: the survey."""
    return min(_ground_along(site, side), key=lambda mark: mark[1])[0]


def ground_m(site: Site, side: Side, along_m: float) -> float:
    """Existing ground, m, at the outer face so far along a side (m).  Source: the survey."""
    marks = _ground_along(site, side)
    ((_, z0), (_, z1)), *_ = common.stretch_of(marks, max(0.0, along_m - 0.001), min(side.length_m, along_m + 0.001))
    return (z0 + z1) / 2.0


def _ground_along(site: Site, side: Side) -> list[tuple[float, float]]:
    return profile(site.ground, side.start, side.at(side.length_m, 0.0))


def _path(site: Site, works: Works, side: Side, along_m: float, ground: float, floor, face) -> DampPath:
    levels = [z for _, z in _ground_along(site, side)]
    highest, lowest, here = (_finished_m(site, works, level) for level in (max(levels), min(levels), ground))
    return DampPath(side, along_m, here, highest, lowest, works.floor_level_m, works.sole_plate_m, tuple(floor), tuple(face))


def _finished_m(site: Site, works: Works, existing_m: float) -> float:
    """Ground outside an edge when all is done, m: a raft's stone, laid on the stripped ground, may stand above it."""
    if works.sizes.get("shoulder_m", 0.0) <= 0.0:
        return existing_m
    stone = works.floor_level_m - works.sizes["edge_depth_m"]
    return max(existing_m, stone) if stone > existing_m - site.scenario.plot.topsoil_m else existing_m


def _raft_sheet(site: Site, works: Works, side: Side, along_m: float) -> tuple[Segment, ...]:
    """The sheet under a raft and up outside its edge, trimmed below the top."""
    top, width = works.floor_level_m, works.sizes["edge_width_m"]
    underside = top - works.slab_thickness_m
    edge = _foot_m(works, side, along_m)
    haunch = max(_level(surface, side.at(along_m, width)) for surface in _undersides(works, side.at(along_m, width + 1e-4)))
    toe = width + underside - haunch
    # A deepened edge goes down plumb from the end of its haunch.
    plumb = ((width, edge),) if haunch - edge > TOLERANCE else ()
    lap = site.rules.membrane_lap_m.value
    return (
        Segment(UNDER_SLAB, ((toe + SHOWN_INSIDE_M, underside), (toe, underside)), SHEET, lap),
        Segment(UNDER_EDGE, ((toe, underside), (width, haunch), *plumb, (0.0, edge)), SHEET, lap),
        Segment(TURNED_UP, ((0.0, edge), (0.0, top - thickened_raft.MEMBRANE_BELOW_TOP_M.value)), SHEET, strip_lap_m(works, side, along_m)),
    )


def strip_lap_m(works: Works, side: Side, along_m: float) -> float:
    """How far the strip over a raft's edge can lap the membrane's upturn, m.

    works: m; side, along_m: the place, m.  Source: common practice, no more than the upturn is high.
    """
    return thickened_raft.edge_strip_lap_m(works.floor_level_m - _foot_m(works, side, along_m))


def _edge_strip(site: Site, works: Works, side: Side, along_m: float, to_m: float) -> Segment:
    """The strip from the membrane's end up over slab edge and block, and in under what lies on them."""
    trimmed = works.floor_level_m - thickened_raft.MEMBRANE_BELOW_TOP_M.value
    turned_in = min(wall_m(works), site.rules.dpc_lap_m.value)
    points = ((0.0, trimmed - strip_lap_m(works, side, along_m)), (0.0, to_m), (turned_in, to_m))
    return Segment(EDGE_STRIP, points, STRIP, turned_in, added=True)


def _sheet_in_walls(site: Site, works: Works, side: Side, along_m: float, to_m: float) -> tuple[Segment, ...]:
    """The sheet on the blinding and up to the head of the wall, with an edge board on its damp side if there is one."""
    wall, top = wall_m(works), works.floor_level_m
    bed = top - works.slab_thickness_m - works.sizes.get("insulation_thickness_m", 0.0)
    board = _edge_board_m(works, side, along_m)
    over_head = min(wall, site.rules.dpc_lap_m.value)
    up = [(wall + board, bed)]
    if board > 0.0:
        up += [(wall + board, top), (wall, top)]
    if to_m > up[-1][1] + TOLERANCE:
        up.append((wall, to_m))
    up.append((wall - over_head, to_m))
    return (
        Segment(UNDER_SLAB, ((wall + board + SHOWN_INSIDE_M, bed), (wall + board, bed)), SHEET, site.rules.membrane_lap_m.value),
        Segment(TURNED_UP, tuple(up), SHEET, over_head),
    )


def _buried_face(site: Site, works: Works, side: Side, along_m: float, ground: float, to_m: float) -> tuple[Segment, ...]:
    foot, top = _foot_m(works, side, along_m), face_top_m(ground, to_m, site.rules.region)
    if top <= foot + TOLERANCE:
        return ()
    return (Segment(BURIED_FACE, ((0.0, foot), (0.0, top)), RENDER),)


def _stands_on(site: Site, works: Works) -> Segment:
    timber = site.scenario.building.walls == "timber frame"
    wide = min(wall_m(works), SOLE_PLATE_M.value) if timber else wall_m(works)
    points = ((0.0, works.sole_plate_m), (wide, works.sole_plate_m))
    return Segment(SOLE_PLATE, points, TIMBER) if timber else Segment(BLOCK_WALL, points, "bedded on the damp-proof course")


def _foot_m(works: Works, side: Side, along_m: float) -> float:
    """Underside of a raft's edge, or top of the footing under the block wall, m, at a place along a side."""
    if is_raft(works):
        return min(_level(surface, side.at(along_m, 1e-3)) for surface in _undersides(works, side.at(along_m, 1e-3)))
    middle = side.at(along_m, works.sizes["block_thickness_m"] / 2.0)
    return min(_level(body.bottom, middle) for body in _bodies_at(works, w.BLOCKWORK, middle))


def _undersides(works: Works, point: Point) -> list[Surface]:
    return [body.bottom for body in _bodies_at(works, w.SLAB, point)]


def _edge_board_m(works: Works, side: Side, along_m: float) -> float:
    """Thickness of the board between slab and wall, m; 0 where there is none."""
    inside = [side.inside(p) for solid in works.solids if solid.part == w.EDGE_BOARD for body in solid.bodies for polygon in body.polygons
              if _holds(polygon, side.at(along_m, wall_m(works) + 1e-3)) for p in polygon]
    return max(inside) - wall_m(works) if inside else 0.0


def _bodies_at(works: Works, part: str, point: Point) -> list[w.Body]:
    found = [body for solid in works.solids if solid.part == part for body in solid.bodies if any(_holds(polygon, point) for polygon in body.polygons)]
    if not found:
        raise ValueError(f"there is no {part} at {point[0]:.3f}, {point[1]:.3f} m")
    return found


def _holds(polygon: Polygon, point: Point) -> bool:
    """Whether a convex anticlockwise polygon (m) has a point (m) in it or on its edge."""
    return all((xb - xa) * (point[1] - ya) - (yb - ya) * (point[0] - xa) >= -TOLERANCE
               for (xa, ya), (xb, yb) in zip(polygon, polygon[1:] + polygon[:1]))


def _level(surface: Surface, point: Point) -> float:
    x, y = point
    around = ((x - 1e-3, y - 1e-3), (x + 1e-3, y - 1e-3), (x + 1e-3, y + 1e-3), (x - 1e-3, y + 1e-3))
    return surface.over(around)[0][1].z(point)


# Checks.


def damp_checks(site: Site, works: Works, details: EdgeDetails | None = None) -> tuple[Check, ...]:
    """Whether damp finds a way to the timber or the floor, check by check.

    site; works: as laid out, m.  details: instead of what the scenario says is settled or measured at the edge, m; what is None becomes an instruction.
    Returns Checks: lengths m, falls as gradients.  Only the clearance of the damp-proof course stops a scheme.
    Raises ValueError for a scheme without a slab on the ground.
    Source: NHBC Standards 5.1.19 and 5.1.20 through the region's rules; the rest common practice, each named in its check.
    """
    details = details or site.scenario.edge
    paths = damp_paths(site, works)
    checks = [_continuity_check(paths)]
    clearances = [_clearance_check(site, path) for path in paths]
    checks += _lap_checks(site, works, paths, details)
    checks += _cladding_checks(site, paths, details) if site.scenario.building.walls == "timber frame" else [_render_check()]
    checks += _outside_checks(site, works, paths, details)
    if not is_raft(works):
        checks += _buried_checks(site, works, paths)
    checks += [_door_check(site, works, door) for door in site.doors]
    beside = [replace(check, stops=False) for check in checks]
    return tuple(replace(check, method=METHOD) for check in [beside[0], *clearances, *beside[1:]])


def _instruction(name: str, sentence: str, limit: Sourced | None, working: str) -> Check:
    """What has to be done and cannot be seen from a plan."""
    source, mark = (limit.citation, limit.mark) if limit else ("", COMMON_PRACTICE)
    return Check(name, None, limit.value if limit else None, limit.unit if limit else "", None, "not worked out", sentence, source, mark, working=working)


def _at_least(name: str, given: float | None, limit: Sourced, sentence: str, ask: str, working: str, required: float | None = None) -> Check:
    """A least value, where somebody has said what there is; else an instruction."""
    least = limit.value if required is None else required
    if given is None:
        return replace(_instruction(name, sentence, limit, f"at least {working}"), required=least)
    return replace(check_at_least(name, given, limit, sentence, ask, required=least), working=f"{given:.3f} {limit.unit} against {working}")


def _least(limit: Sourced) -> str:
    return f"{limit.value:g} {limit.unit}"


def _z(level_m: float) -> str:
    """A level as it stands in a working; below nought in brackets, since levels are taken from each other."""
    words = f"{level_m:.3f}"
    return "0.000" if words == "-0.000" else f"({words})" if words.startswith("-") else words


def _worst(paths: tuple[DampPath, ...], how_bad: Callable[[DampPath], tuple[float, ...]]) -> tuple[DampPath, str]:
    """The path that is worst, by figures of which the first that differs counts, and its side in words.

    Figures that differ by less than a millionth are alike.
    """
    ranked = [(tuple(round(figure, 6) for figure in how_bad(path)), path) for path in paths]
    worst = max(rank for rank, _ in ranked)
    alike = [path for rank, path in ranked if rank == worst]
    return alike[0], worst_of("side", ((path.side.name, 0.0) for path in alike))


def _highest_ground(paths: tuple[DampPath, ...]) -> tuple[DampPath, str]:
    """The side whose ground is highest, and its words; of several, the one that stays high."""
    return _worst(paths, lambda path: (path.highest_m, path.lowest_m))


def _continuity_check(paths: tuple[DampPath, ...]) -> Check:
    name = "Membrane and damp-proof course meet"
    verdicts = ("within", "close", "outside")

    def found(path: DampPath) -> tuple[str, float, float]:
        """Verdict, the bare length, and the level at which it begins, m."""
        laid = tuple(segment for segment in path.floor if not segment.added)
        gap, closed = gap_m(laid), gap_m(path.floor) <= TOLERANCE
        ends = next((here.points[-1][1] for here, following in zip(laid, laid[1:]) if _apart_m(here, following) > TOLERANCE), path.dpc_m)
        return "within" if gap <= TOLERANCE else "close" if closed and ends - path.highest_m > TOLERANCE else "outside", gap, ends

    def how_bad(path: DampPath) -> tuple[float, ...]:
        verdict, _, ends = found(path)
        return verdicts.index(verdict), path.highest_m - ends, path.lowest_m

    path, side = _worst(paths, how_bad)
    verdict, gap, ends = found(path)
    sentence = {
        "within": "Each length laps or lies on the next, as drawn. Look at every one before it is covered.",
        "close": "The membrane is trimmed below the top of the slab and turned up outside the edge; the damp-proof course lies on the block above. Between them slab edge and block are bare and draw "
                 "water in, and only the damp-proof course, as wide as the block, keeps it from the timber. A self-adhesive strip over the membrane's end, up edge and block and in under the "
                 "damp-proof course, joins them: it is in the quantities, and it does so only where it is bonded without a break to clean, dry faces.",
        "outside": "The bare length between membrane and damp-proof course lies in the ground, which feeds it with water: raise the floor, or take ground away from that side.",
    }[verdict]
    working = f"{side}: " + (
        f"no length without cover from the floor at {_z(path.floor_m)} m to the damp-proof course at {_z(path.dpc_m)} m" if verdict == "within" else
        f"bare from {_z(ends)} m to {_z(path.dpc_m)} m: {gap:.3f} m; highest ground {_z(path.highest_m)} m")
    return Check(name, gap, 0.0, "m", None, verdict, sentence, COMMON_PRACTICE, COMMON_PRACTICE, BUILDER if verdict == "outside" else "", working)


def _clearance_check(site: Site, path: DampPath) -> Check:
    limit, rise = site.rules.dpc_above_ground_m, path.dpc_m - path.highest_m
    check = check_at_least(
        f"Damp-proof course above the ground, {path.side.name} side", rise, limit,
        "Splash and soil must stay below the damp-proof course: raise the floor or the wall, or take ground away.", BUILDER)
    return replace(check, working=f"{_z(path.dpc_m)} - {_z(path.highest_m)} = {rise:.3f} m against {_least(limit)}; the ground on this side goes down to {_z(path.lowest_m)} m")


def _lap_checks(site: Site, works: Works, paths: tuple[DampPath, ...], details: EdgeDetails) -> list[Check]:
    rules = site.rules
    if is_raft(works):
        path, side = _worst(paths, lambda path: (-strip_lap_m(works, path.side, path.along_m),))
        lap = strip_lap_m(works, path.side, path.along_m)
        check = check_at_least("Lap of the edge strip on the membrane", lap, thickened_raft.EDGE_STRIP_LAP_M,
                               "A membrane turned up too little leaves the strip nothing to hold to: a deeper edge, or a wider upturn laid flat, gives it room.", BUILDER)
        turned_in = min(wall_m(works), rules.dpc_lap_m.value)
        upstand = works.sole_plate_m - works.floor_level_m
        trimmed = thickened_raft.MEMBRANE_BELOW_TOP_M.value
        wide = common.strip_width_m(lap, trimmed, upstand, turned_in)
        joint = replace(check, working=f"{lap:.3f} m of the upturn ({side}) against {_least(thickened_raft.EDGE_STRIP_LAP_M)}; "
                                       f"width of the strip {lap:.3f} + {trimmed:.3f} + {upstand:.3f} + {turned_in:.3f} = {wide:.3f} m")
    else:
        wall = wall_m(works)
        check = check_at_least("Lap of the membrane under the damp-proof course", wall, rules.dpc_lap_m,
                               "The membrane is turned over the head of the wall and the damp-proof course is bedded on it. A thinner wall leaves too little to lap.", BUILDER)
        joint = replace(check, working=f"{wall:.3f} m of wall against {_least(rules.dpc_lap_m)}")
    return [
        joint,
        _at_least("Laps of the membrane", details.membrane_lap_m, rules.membrane_lap_m,
                  "Lap the sheets, tape both edges of the lap and press it down dry and clean. The rolls in the quantities allow for this lap.", BUILDER, _least(rules.membrane_lap_m)),
        _at_least("Laps of the damp-proof course", details.dpc_lap_m, rules.dpc_lap_m,
                  "Lap it at joints and corners over the full width of the wall, bedded in mortar. Where a strap goes through it, bed the strap in mastic.", BUILDER, _least(rules.dpc_lap_m)),
        _torn_check(site, details),
    ]


def _torn_check(site: Site, details: EdgeDetails) -> Check:
    lap = site.rules.membrane_lap_m
    return _at_least(
        "Patch on a torn membrane", details.patch_lap_m, lap,
        "Look along every edge before the pour. Patch a tear with the same sheet, lapped past it on every side and taped all round, on a dry clean face. Torn above the concrete after the pour: "
        "clean the face and bond a strip over tear and slab edge.",
        BUILDER, f"{_least(lap)} on every side; for a tear of 0.05 m a patch of {patch_side_m(0.05, lap.value):.2f} m square")


def _cladding_checks(site: Site, paths: tuple[DampPath, ...], details: EdgeDetails) -> list[Check]:
    limit = site.rules.dpc_above_ground_m
    path, side = _highest_ground(paths)
    below = CLADDING_BELOW_DPC_M.value if details.cladding_below_dpc_m is None else details.cladding_below_dpc_m
    rise = path.dpc_m - path.highest_m
    lower = check_at_least("Lower edge of the cladding above the ground", rise - below, limit, "Boards that hang nearer to the ground than this stay wet from splash and rot from below.", BUILDER)
    if lower.verdict == "outside" and rise >= limit.value - TOLERANCE:
        # The timber itself is clear: only the boards must be shortened.
        lower = replace(lower, verdict="close", ask="", ratio=None,
                        sentence="There is no room for the boards to hang below the damp-proof course: end them level with it, on a metal drip that turns down past it.")
    lower = replace(lower, working=f"{side}: {_z(path.dpc_m)} - {below:.3f} - {_z(path.highest_m)} = {rise - below:.3f} m against {_least(limit)}")
    insulation = details.outside_insulation_m or 0.0
    past = _at_least(
        "Cladding past the face below it", details.cladding_past_face_m, CLADDING_PAST_FACE_M,
        "The cladding's outer face must stand past slab edge or block, past any insulation outside it too, and end in a drip. Otherwise rain runs down it onto the ledge and in under the damp-proof course.",
        BUILDER, f"{insulation:.3f} + {CLADDING_PAST_FACE_M.value:g} = {insulation + CLADDING_PAST_FACE_M.value:.3f} m", insulation + CLADDING_PAST_FACE_M.value)
    return [lower, past]


def _render_check() -> Check:
    return _instruction("Render over the damp-proof course",
                        "Render must not run down across the damp-proof course: end it above, on a bead that throws water off. Below it a separate coat goes down to the ground.", None,
                        "seen on the wall, not on the plan")


def _outside_checks(site: Site, works: Works, paths: tuple[DampPath, ...], details: EdgeDetails) -> list[Check]:
    limit = site.rules.dpc_above_ground_m
    path, side = _highest_ground(paths)
    highest = greatest_paving_level_m(path.dpc_m, site.rules.region)
    room = highest - path.highest_m
    checks = [
        _at_least("Paving, stone or soil below the damp-proof course", details.paving_below_dpc_m, limit,
                  "Nothing laid against the wall later may come nearer to the damp-proof course than this: not paving, gravel, decking or a flower bed.", BUILDER,
                  f"{_least(limit)}: no higher than {_z(path.dpc_m)} - {limit.value:g} = {_z(highest)} m, which is {_z(room)} m over the highest ground ({side})"),
        _at_least("Fall of paving away from the wall", details.paving_fall, PAVING_FALL, "Rain that runs towards the wall stands against it.", BUILDER, f"{PAVING_FALL.value:g}"),
        _instruction(
            "Insulation carried down outside the edge",
            "None is counted. If you add it: a board that takes up no water, from the cladding down past the edge without a break; a hard cover over all that shows and down into the ground; "
            "and a metal strip over its top from behind the cladding, or rain runs in behind it. A block or a slab edge that stands out past it is a bridge for heat.",
            None, f"{details.outside_insulation_m or 0.0:.3f} m given; not counted in heat or quantities"),
    ]
    if works.sizes.get("insulation_thickness_m", 0.0) > 0.0 and site.scenario.schemes[works.scheme].insulation == "PIR":
        checks.append(Check(
            "Edge board on the damp side of the membrane", None, None, "", None, "close",
            "PIR takes up water, and the edge board stands between membrane and block: put EPS or XPS there, or take the membrane up behind the board.",
            COMMON_PRACTICE, COMMON_PRACTICE, working="insulation is PIR"))
    return checks


def _buried_checks(site: Site, works: Works, paths: tuple[DampPath, ...]) -> list[Check]:
    """The outer face in the ground, and a floor below the ground outside it."""
    drained = works.measures.get("land_drain_m", 0.0) > 0.0 and site.scenario.plot.outfall
    path, side = _highest_ground(paths)
    rise = path.highest_m - works.floor_level_m
    step = check_at_most("Ground outside above the floor", rise, STEP_NEEDS_WATERPROOFING_M,
                         "A floor this far below the ground beside it needs waterproofing that somebody has designed. Raise the floor, or drain the ground to an outfall.", SPECIALIST)
    if step.verdict == "outside" and drained:
        step = replace(step, verdict="close", ask="", ratio=None,
                       sentence="The ground stands above the floor. It holds while the outer face is damp-proofed from the footing up, the stone against it is clean, and the drain below runs to its outfall.")
    elif step.verdict == "close":
        step = replace(step, sentence="The ground stands above the floor: damp-proof the outer face, and keep the drain in the stone against it running.")
    step = replace(step, working=f"{side}: {_z(path.highest_m)} - {_z(works.floor_level_m)} = {rise:.3f} m against {_least(STEP_NEEDS_WATERPROOFING_M)}")
    buried = tuple(path for path in paths if path.face)
    if not buried:
        return [step]
    deepest, side = _worst(buried, lambda path: (path.ground_m - path.face[0].points[0][1], path.ground_m))
    foot, top = deepest.face[0].points[0][1], deepest.face[0].points[-1][1]
    face = _instruction(
        "Outer face of the wall in the ground",
        "Render or coat it from the footing to splash height above the ground, before the trench is refilled; let it harden and protect it from the stone. "
        "On the inner face the membrane goes up to the damp-proof course, with a lining over it." + (" The stone outside is drained." if drained else ""),
        None, f"{side}: from {_z(foot)} m to {_z(top)} m = {top - foot:.3f} m, of which {deepest.ground_m - foot:.3f} m in the ground; "
              f"{works.measures.get('render_m2', 0.0):.1f} m2 in all")
    return [step, face]


def _door_check(site: Site, works: Works, door: Door) -> Check:
    """A sill nearer to the ground than a damp-proof course may be, and what makes up for it."""
    rules, name = site.rules, f"Damp-proofing at the {door.side.name} door"
    ground = _finished_m(site, works, door.ground_m)
    limit, rise = rules.dpc_above_ground_m, works.floor_level_m - ground
    channel = site.scenario.building.door_threshold == "channel drain"
    drained = channel and rise < rules.floor_above_ground_at_door_m.value - TOLERANCE
    least = rules.floor_above_ground_at_channel_m if channel else rules.floor_above_ground_at_door_m
    check = check_at_least(name, rise, limit, "The ground stands above the sill: raise the floor, take ground away, or move the door.", BUILDER)
    lower = "the strip under the sill joins the membrane below and is turned up at its back and ends"
    if check.verdict == "within":
        check = replace(check, sentence=f"Far enough above the ground; {lower}.")
        if rise > common.DOOR_RISER_M.value:
            check = replace(check, sentence=f"{check.sentence[:-1]}. Steps stand clear of the wall, or a damp-proof strip goes down behind them.")
    elif rise >= least.value - TOLERANCE:
        sentence = (
            f"A level threshold: {lower}, and goes down behind the channel drain, whose near side is the wall's own damp-proofing. The channel must run to an outfall and be kept clean." if drained
            else f"Nearer to the ground than a damp-proof course should be, as most doors are: {lower}; no timber below it, and a grating or clean gravel outside against splash.")
        check = replace(check, verdict="close", ask="", ratio=None, sentence=sentence)
    return replace(check, working=f"{_z(works.floor_level_m)} - {_z(ground)} = {rise:.3f} m against {_least(limit)}, at a door {_least(least)}")


def damp_assumptions(site: Site, works: Works) -> tuple[str, ...]:
    """What the damp-proofing takes for granted, in sentences (levels in m).

    site; works: as laid out.  Returns sentences that the page must show.  Source: common practice.
    """
    if site.scenario.building.walls != "timber frame":
        return ()
    words = (f"The frame is taken to stand flush with the face below it, its cladding {CLADDING_OUT_M.value * 1000:.0f} mm out, "
             f"hanging {CLADDING_BELOW_DPC_M.value * 1000:.0f} mm below the damp-proof course where there is room.")
    edge = site.scenario.edge
    if edge.cladding_past_face_m is None and edge.cladding_below_dpc_m is None:
        return (words,)
    return (f"{words} The drawings show it so; the checks take what you gave.",)
