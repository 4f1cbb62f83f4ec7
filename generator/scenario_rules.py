"""What several keys of a scenario have to say together.

Each rule is a named function that yields the problems it finds in a draft (a
scenario half read, see `generator.scenario`).  A rule is run unless one of
its keys could not be read, so every problem is reported at once and none twice.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from calculators.plan import Plan, polygon_area_m2
from generator.inputs import BY_KEY, SCHEME_IDS
from generator.problems import Problem, listed
from generator.quantities import parse, parse_slope

if TYPE_CHECKING:
    from generator.scenario import Draft

SAME_PLACE_M = 0.005
"""Two points nearer than a tape can tell are one point."""

LEAST_AREA_M2, LARGEST_AREA_M2 = 4.0, 200.0
STEEPEST = BY_KEY["plot.slope"].most

INSULATION_WAYS = (
    "schemes.insulated-slab.insulation_thickness",
    "schemes.insulated-slab.insulation_r",
    "schemes.insulated-slab.target_u",
)


def corners_of(values: Mapping[str, object]) -> tuple[tuple[float, float], ...] | None:
    """The corners anticlockwise from the start of the south side, or None when there is no rectangle."""
    if "plot.footprint" in values:
        east, north = values["plot.footprint"]
        return ((0.0, 0.0), (east, 0.0), (east, north), (0.0, north))
    points = values.get("plot.corners")
    if points is None or not _is_rectangle(points):
        return None
    if polygon_area_m2(points) < 0:
        points = points[::-1]
    start = Plan(points).side("south").index
    return points[start:] + points[:start]


def _is_rectangle(points: tuple[tuple[float, float], ...]) -> bool:
    """Whether four points in order round a building make a rectangle, as near as a tape can tell."""
    sides = [math.dist(points[i], points[(i + 1) % 4]) for i in range(4)]
    diagonals = math.dist(points[0], points[2]), math.dist(points[1], points[3])
    return (
        min(sides) > SAME_PLACE_M
        and abs(sides[0] - sides[2]) <= SAME_PLACE_M
        and abs(sides[1] - sides[3]) <= SAME_PLACE_M
        and abs(diagonals[0] - diagonals[1]) <= SAME_PLACE_M
        and min(diagonals) > max(sides)
    )


def levels_at(corners: tuple[tuple[float, float], ...], levels: tuple[tuple[float, float, float], ...]) -> tuple[tuple[float, float, float], ...]:
    """The levels in the order of the corners; empty when they do not lie one at each corner."""
    ordered = []
    for x, y in corners:
        here = [z for px, py, z in levels if math.dist((px, py), (x, y)) <= SAME_PLACE_M]
        if len(here) != 1:
            return ()
        ordered.append((x, y, here[0]))
    return tuple(ordered)


Rule = Callable[["Draft"], Iterator[Problem]]
RULES: list[tuple[tuple[str, ...], Rule]] = []


def _rule(*keys: str) -> Callable[[Rule], Rule]:
    def register(rule: Rule) -> Rule:
        RULES.append((keys, rule))
        return rule

    return register


@_rule("plot.footprint", "plot.corners")
def one_outline(draft: Draft) -> Iterator[Problem]:
    """The building is given by its footprint or by its corners."""
    if draft.given("plot.footprint") and draft.given("plot.corners"):
        yield draft.problem("plot.corners", "both footprint and corners are given", "keep one of the two", "")
    elif not draft.given("plot.footprint") and not draft.given("plot.corners"):
        yield draft.problem("plot.footprint", "nothing is given", "write the outer size of the building")


@_rule("plot.corners")
def corners_make_a_rectangle(draft: Draft) -> Iterator[Problem]:
    """Corners make a rectangle, with sides such as a footprint may have."""
    points = draft.values.get("plot.corners")
    if points is None:
        return
    if not _is_rectangle(points):
        yield draft.problem("plot.corners", "these four corners do not make a rectangle",
                            "only rectangles are worked out so far; give the corners in order round the building, with square angles")
        return
    item = BY_KEY["plot.footprint"]
    for i in (0, 1):
        side = math.dist(points[i], points[i + 1])
        if not parse(item.least, "length") <= side <= parse(item.most, "length"):
            yield draft.problem("plot.corners", f"a side is {side:.3f} m long", f"each side must be from {item.least} to {item.most}")


@_rule("plot.footprint", "plot.corners")
def area_in_range(draft: Draft) -> Iterator[Problem]:
    """The building is neither a cupboard nor a barn."""
    if draft.corners is None:
        return
    area = polygon_area_m2(draft.corners)
    if not LEAST_AREA_M2 <= area <= LARGEST_AREA_M2:
        key = "plot.footprint" if draft.given("plot.footprint") else "plot.corners"
        yield draft.problem(key, f"the building covers {area:.4g} m^2", f"the guide works out small buildings, from {LEAST_AREA_M2:g} to {LARGEST_AREA_M2:g} m^2")


@_rule("plot.slope", "plot.falls_to", "plot.levels")
def one_ground(draft: Draft) -> Iterator[Problem]:
    """The ground is a slope with its direction, or levels."""
    slope, levels = draft.given("plot.slope"), draft.given("plot.levels")
    if slope and levels:
        yield draft.problem("plot.levels", "both slope and levels are given", "keep one of the two", "")
    elif levels and draft.given("plot.falls_to"):
        yield draft.problem("plot.falls_to", "both levels and falls_to are given", "take falls_to out: the levels say where the ground falls", "")
    elif not slope and not levels:
        yield draft.problem("plot.slope", "nothing is given", "write the slope of the ground (0 for level ground), or the levels of the corners")
    elif slope and draft.values["plot.slope"] > 0 and not draft.given("plot.falls_to"):
        yield draft.problem("plot.falls_to", "nothing is given", "write which way is downhill, as a compass point or a bearing")


@_rule("plot.footprint", "plot.corners", "plot.levels")
def levels_at_the_corners(draft: Draft) -> Iterator[Problem]:
    """Levels lie one at each corner and are no steeper than a slope may be."""
    if draft.corners is None or "plot.levels" not in draft.values:
        return
    levels = levels_at(draft.corners, draft.values["plot.levels"])
    if not levels:
        places = ", ".join(f"({x:g} m, {y:g} m)" for x, y in draft.corners)
        yield draft.problem("plot.levels", "these do not lie one at each corner of the building",
                            f"only levels at the four corners are worked out so far; give them at {places}", "")
        return
    for i, here in enumerate(levels):
        for there in levels[i + 1 :]:
            if abs(here[2] - there[2]) > parse_slope(STEEPEST) * math.dist(here[:2], there[:2]):
                yield draft.problem("plot.levels", f"the ground between two corners is steeper than {STEEPEST}", f"the guide works out nothing steeper than {STEEPEST}; look for a slip in the levels", "")
                return


@_rule("building.wall_height", "building.ridge_height")
def ridge_not_below_eaves(draft: Draft) -> Iterator[Problem]:
    """The roof's highest point is not below the eaves."""
    if draft.values["building.ridge_height"] < draft.values["building.wall_height"]:
        yield draft.problem("building.ridge_height", f"{draft.shown('building.ridge_height')} is lower than the walls, {draft.shown('building.wall_height')}",
                            "write the height from finished floor to the highest point of the roof")


@_rule("plot.footprint", "plot.corners", "building.doors", "building.door_width")
def doors_fit_their_sides(draft: Draft) -> Iterator[Problem]:
    """The doors of a side are narrower than the side."""
    if draft.corners is None:
        return
    lengths = {side.name: side.length_m for side in Plan(draft.corners).sides}
    doors = draft.values["building.doors"]
    for name, length in lengths.items():
        if doors.count(name) * draft.values["building.door_width"] > length:
            yield draft.problem("building.door_width", f"{draft.shown('building.door_width')} is too wide for the doors of the {name} side, which is {length:.3g} m long",
                                "write a smaller width or fewer doors")


@_rule("currency", "hour_worth")
def one_currency(draft: Draft) -> Iterator[Problem]:
    """Nothing is changed from one currency into another."""
    if draft.schedule is None:
        return
    currency = draft.schedule.currency
    if draft.values["currency"] not in (None, currency):
        yield draft.problem("currency", f"{draft.shown('currency')} is not the currency of the schedule of rates {draft.schedule.name}",
                            f"write {currency}, or name a schedule of rates in your currency", "")
    hour = draft.values["hour_worth"]
    if hour is not None and hour[0] not in (None, currency):
        yield draft.problem("hour_worth", f"{draft.shown('hour_worth')} is in another currency than the schedule of rates",
                            f"write it in {currency}", f"{hour[1]:g} {currency}")


@_rule(*INSULATION_WAYS)
def insulation_given_one_way(draft: Draft) -> Iterator[Problem]:
    """Insulation is given by thickness, resistance or target, not by two of them."""
    ways = [key for key in INSULATION_WAYS if draft.given(key) and draft.values[key] is not None]
    if len(ways) > 1:
        names = listed([BY_KEY[key].name for key in ways], "and")
        yield draft.problem(ways[-1], f"{names} are all given" if len(ways) > 2 else f"both {names} are given", "keep one of them", "")


@_rule("schemes.strip-and-block.knee_height", "schemes.thickened-raft.upstand", "schemes.insulated-slab.upstand")
def whole_courses(draft: Draft) -> Iterator[Problem]:
    """Walls of blocks are whole courses high, made up by at most 5 mm a course in the joints (common practice, no source)."""
    if draft.schedule is None:
        return
    course = draft.schedule.products.course_m
    for key in ("schemes.thickened-raft.upstand", "schemes.strip-and-block.knee_height", "schemes.insulated-slab.upstand"):
        height = draft.values[key]
        if height is None:
            continue
        courses = round(height / course)
        if abs(height - courses * course) > 0.005 * courses + 1e-9:
            near = sorted({max(math.floor(height / course), 0), math.ceil(height / course)})
            sizes = listed([f"{n * course * 1000:.4g} mm" for n in near])
            yield draft.problem(key, f"{draft.shown(key)} is not a whole number of courses, which are {course * 1000:.4g} mm high with the blocks of {draft.schedule.name}", f"write {sizes}", "")


@_rule("schemes.thickened-raft.edge_depth", "schemes.thickened-raft.slab_thickness")
def edge_deeper_than_slab(draft: Draft) -> Iterator[Problem]:
    """An edge thickening is thicker than the slab."""
    depth = draft.values["schemes.thickened-raft.edge_depth"]
    if depth is not None and depth <= draft.values["schemes.thickened-raft.slab_thickness"]:
        yield draft.problem("schemes.thickened-raft.edge_depth", f"{draft.shown('schemes.thickened-raft.edge_depth')} is not deeper than the slab, {draft.shown('schemes.thickened-raft.slab_thickness')}",
                            "write the depth from the top of the slab to the underside of the edge")


@_rule("plot.footprint", "plot.corners", "schemes.thickened-raft.edge_width")
def edge_narrower_than_half(draft: Draft) -> Iterator[Problem]:
    """The edges of a raft do not meet in the middle."""
    if draft.corners is None:
        return
    breadth = Plan(draft.corners).size_m()[1]
    if draft.values["schemes.thickened-raft.edge_width"] >= breadth / 2:
        yield draft.problem("schemes.thickened-raft.edge_width", f"{draft.shown('schemes.thickened-raft.edge_width')} is half of the building, which is {breadth:.3g} m broad, or more",
                            "write a smaller width")


@_rule(*(f"schemes.{scheme}.{name}" for scheme in SCHEME_IDS[1:] for name in ("block_thickness", "footing_width")))
def footing_wider_than_wall(draft: Draft) -> Iterator[Problem]:
    """A footing is wider than the wall on it."""
    for scheme in SCHEME_IDS[1:]:
        width, wall = f"schemes.{scheme}.footing_width", f"schemes.{scheme}.block_thickness"
        if draft.values[width] is not None and draft.values[wall] is not None and draft.values[width] <= draft.values[wall]:
            yield draft.problem(width, f"{draft.shown(width)} is not wider than the wall, {draft.shown(wall)}", "write a footing wider than the wall")
