"""What several keys of a scenario have to say together.

Each rule is a named function that yields the problems it finds in a draft (a
scenario half read, see `generator.scenario`).  A rule is run unless one of
its keys could not be read, so every problem is reported at once and none twice.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from calculators import survey, water
from calculators.flatness import floor_of, levels_that_disagree
from calculators.job import calendar_of
from calculators.plan import Plan, polygon_area_m2
from calculators.barrows import LONGEST_RUN_M
from calculators.pricing import CHUTE_REACH_M
from calculators.programme import LONGEST_BREAK_DAYS, LONGEST_JOB_DAYS, POURING, VISIT, Task, schedule
from calculators.scenario import Drainage, LevelRun, ProgrammeGiven
from calculators.survey import SAME_PLACE_M, Level, Polygon, Triangle
from generator.inputs import BY_KEY, CORNER_NAMES, PIECES, SCHEME_IDS
from generator.problems import Problem, as_shown, listed
from generator.quantities import parse, parse_slope

if TYPE_CHECKING:
    from generator.scenario import Draft

LEAST_AREA_M2, LARGEST_AREA_M2 = 4.0, 200.0
LEAST_SIDE_M = 0.5
# Working margin and a drain outside a face; an edge with its haunch inside it.
ROOM_OUTSIDE_M, ROOM_INSIDE_M = 0.8, 0.8
LEAST_ANGLE_DEG, LARGEST_ANGLE_DEG = 30.0, 330.0
STEEPEST = BY_KEY["plot.slope"].most

UNCOVERED_M = 0.050
"""A corner may stick out of a survey so far: the width of a peg."""
FARTHEST_LEVEL_M = 100.0
"""A level further from the building than this is a slip of the pen."""

BESIDE_M = 0.5
"""Soft ground further from the building than its working margin carries nothing of it (common practice, no source)."""
WALL_OUTSIDE_M = 0.050
LEAST_WALL_M = 0.5

GROUND_KEYS = ("plot.slope", "plot.levels", "plot.level_book", "plot.corner_drops")
"""The ways in which the ground may be given."""
OUTLINE_KEYS = ("plot.footprint", "plot.corners")

INSULATION_WAYS = (
    "schemes.insulated-slab.insulation_thickness",
    "schemes.insulated-slab.insulation_r",
    "schemes.insulated-slab.target_u",
)


def corners_of(values: Mapping[str, object]) -> Polygon | None:
    """The corners anticlockwise, or None when they make no outline.

    A rectangle starts with its south side, any other plan at its most south-western corner.
    """
    if "plot.footprint" in values:
        east, north = values["plot.footprint"]
        return ((0.0, 0.0), (east, 0.0), (east, north), (0.0, north))
    points = values.get("plot.corners")
    if points is None or outline_fault(points):
        return None
    corners = survey.from_south_west(points)
    if not _is_rectangle(corners):
        return corners
    start = Plan(corners).side("south").index
    return corners[start:] + corners[:start]


def outline_fault(points: Polygon) -> tuple[str, str] | None:
    """What keeps corners from making an outline: what is given and what is wanted; None when they do."""
    slip = "give the corners in order round the building, each once"
    for i, here in enumerate(points):
        there = points[(i + 1) % len(points)]
        if math.dist(here, there) < LEAST_SIDE_M:
            return f"the side from {place_words(here)} to {place_words(there)} is {math.dist(here, there):.3f} m long", f"each side must be at least {LEAST_SIDE_M:g} m: {slip}"
    crossing = survey.sides_that_meet(points)
    if crossing:
        first, second = (f"the side from {place_words(points[i])} to {place_words(points[(i + 1) % len(points)])}" for i in crossing)
        return f"{first} meets {second}", slip
    for i, angle in enumerate(survey.interior_angles_deg(points)):
        if survey.corner_off_line_m(points, i) <= SAME_PLACE_M:
            return f"the corner at {place_words(points[i])} lies on a straight side", "take it out: a corner is where a wall turns"
        if not LEAST_ANGLE_DEG <= angle <= LARGEST_ANGLE_DEG:
            return f"the corner at {place_words(points[i])} has {angle:.0f} degrees inside", f"the guide works out corners from {LEAST_ANGLE_DEG:g} to {LARGEST_ANGLE_DEG:g} degrees"
    return None


def place_words(point: tuple[float, ...]) -> str:
    """A point on the plot as a sentence has it.

    >>> place_words((6.6, 0.0))
    '(6.6 m, 0 m)'
    """
    x, y = (f"{round(value, 3) + 0.0:.7g} m" for value in point[:2])
    return f"({x}, {y})"


def _is_rectangle(points: Polygon) -> bool:
    """Whether points in order round a building make a rectangle, as near as a tape can tell."""
    if len(points) != 4:
        return False
    sides = [math.dist(points[i], points[(i + 1) % 4]) for i in range(4)]
    diagonals = math.dist(points[0], points[2]), math.dist(points[1], points[3])
    return (
        min(sides) > SAME_PLACE_M
        and abs(sides[0] - sides[2]) <= SAME_PLACE_M
        and abs(sides[1] - sides[3]) <= SAME_PLACE_M
        and abs(diagonals[0] - diagonals[1]) <= SAME_PLACE_M
        and min(diagonals) > max(sides)
    )


def levels_at(corners: Polygon, levels: tuple[Level, ...]) -> tuple[Level, ...]:
    """The levels in the order of the corners of a rectangle; empty when they do not lie one at each corner and nowhere else."""
    if len(levels) != 4 or not _is_rectangle(corners):
        return ()
    ordered = []
    for x, y in corners:
        here = [z for px, py, z in levels if math.dist((px, py), (x, y)) <= SAME_PLACE_M]
        if len(here) != 1:
            return ()
        ordered.append((x, y, here[0]))
    return tuple(ordered)


@dataclass(frozen=True)
class Ground:
    """The spot levels of a plot by whichever key they were given, each place once, and what is drawn between them.

    `typed` are the points as given; `triangles` and `beyond` are empty for
    the four corners of a rectangle, and for levels that no rule passes.
    """

    key: str
    typed: tuple[Level, ...]
    levels: tuple[Level, ...]
    triangles: tuple[Triangle, ...] = ()
    beyond: tuple[Level, ...] = ()
    run: LevelRun | None = None


def ground_of(values: Mapping[str, object], corners: Polygon | None) -> Ground | None:
    """The spot levels in a scenario, from levels, a level book or drops; None where there are none."""
    key = next((key for key in GROUND_KEYS[1:] if values.get(key) is not None), None)
    if key is None:
        return None
    given, run = values[key], None
    if key == "plot.level_book":
        book = survey.reduce_readings(given)
        given, run = book.levels_m, book.run
    elif isinstance(given, dict):
        if corners is None or not _is_rectangle(corners):
            return None
        given = tuple((x, y, -given[name]) for (x, y), name in zip(corners, CORNER_NAMES))
    elif key == "plot.corner_drops":
        given = tuple((x, y, -drop) for x, y, drop in given)
    # A drop of nothing is level 0, not minus 0.
    given = tuple((x, y, z + 0.0) for x, y, z in given)
    levels = survey.settled_levels(given)
    at_corners = levels_at(corners, levels) if corners else ()
    if at_corners:
        return Ground(key, given, at_corners, run=run)
    if survey.breadth_m([level[:2] for level in levels]) < survey.LEAST_BREADTH_M:
        return Ground(key, given, levels, run=run)
    beyond = survey.beyond_survey(levels)
    return Ground(key, given, levels, survey.triangles_through(levels, beyond), beyond, run)


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
def corners_make_an_outline(draft: Draft) -> Iterator[Problem]:
    """Corners make one outline, with sides and angles that the guide works out."""
    points = draft.values.get("plot.corners")
    if points is None:
        return
    fault = outline_fault(points)
    if fault:
        yield draft.problem("plot.corners", *fault, "")
        return
    item = BY_KEY["plot.footprint"]
    longest = max(math.dist(points[i - 1], points[i]) for i in range(len(points)))
    if longest > parse(item.most, "length"):
        yield draft.problem("plot.corners", f"a side is {longest:.3f} m long", f"each side must be at most {item.most}")
    if _is_rectangle(points):
        shortest = min(math.dist(points[i - 1], points[i]) for i in range(4))
        if shortest < parse(item.least, "length"):
            yield draft.problem("plot.corners", f"a side is {shortest:.3f} m long", f"each side of a rectangle must be at least {item.least}")


@_rule("plot.corners")
def sides_leave_room(draft: Draft) -> Iterator[Problem]:
    """A cut corner is long enough for a wall inside it, and a recess wide enough to work in: narrower ones close up."""
    if draft.corners is None or "plot.corners" not in draft.values:
        return
    plan = Plan(draft.corners)
    # What is too small altogether is told as that.
    for side in plan.sides if plan.area_m2 >= LEAST_AREA_M2 else ():
        if side.closes_out_m < ROOM_OUTSIDE_M:
            yield draft.problem("plot.corners", f"the recess with the {side.name} side at its bottom is {2.0 * side.closes_out_m:.2f} m wide",
                                f"a recess needs {2.0 * ROOM_OUTSIDE_M:g} m to dig and lay drains in: make it wider, or leave it out")
        if side.closes_in_m < ROOM_INSIDE_M:
            yield draft.problem("plot.corners", f"the {side.name} side, {side.length_m:.2f} m long between two corners, is too short for a wall and its footing inside it",
                                "make it longer, or draw the corner square")


@_rule("plot.footprint", "plot.corners")
def area_in_range(draft: Draft) -> Iterator[Problem]:
    """The building is neither a cupboard nor a barn."""
    if draft.corners is None:
        return
    area = polygon_area_m2(draft.corners)
    if not LEAST_AREA_M2 <= area <= LARGEST_AREA_M2:
        key = "plot.footprint" if draft.given("plot.footprint") else "plot.corners"
        yield draft.problem(key, f"the building covers {area:.4g} m^2", f"the guide works out small buildings, from {LEAST_AREA_M2:g} to {LARGEST_AREA_M2:g} m^2")


@_rule(*GROUND_KEYS, "plot.falls_to")
def one_ground(draft: Draft) -> Iterator[Problem]:
    """The ground is a slope with its direction, or levels, or a level book, or drops."""
    ways = [key for key in GROUND_KEYS if draft.given(key)]
    names = [BY_KEY[key].name for key in ways]
    if len(ways) > 1:
        yield draft.problem(ways[-1], f"{'both' if len(ways) == 2 else 'all of'} {listed(names, 'and')} are given", "keep one of them", "")
    elif ways and ways != ["plot.slope"] and draft.given("plot.falls_to"):
        yield draft.problem("plot.falls_to", f"both {names[0]} and falls_to are given", "take falls_to out: the levels say where the ground falls", "")
    elif not ways:
        yield draft.problem("plot.slope", "nothing is given", "write the slope of the ground (0 for level ground), or levels, a level_book or corner_drops")
    elif ways == ["plot.slope"] and draft.values["plot.slope"] > 0 and not draft.given("plot.falls_to"):
        yield draft.problem("plot.falls_to", "nothing is given", "write which way is downhill, as a compass point or a bearing")


@_rule(*OUTLINE_KEYS, "plot.corner_drops")
def named_corners_are_those_of_a_rectangle(draft: Draft) -> Iterator[Problem]:
    """Drops by the name of the corner are for a rectangle."""
    if isinstance(draft.values.get("plot.corner_drops"), dict) and draft.corners and not _is_rectangle(draft.corners):
        yield draft.problem("plot.corner_drops", f"corners by name are given, and this building has {len(draft.corners)} corners that are no rectangle's",
                            "write x, y and drop of each corner", "[[0 m, 0 m, 420 mm], [4.2 m, 6 m, 60 mm], [0 m, 6 m, 80 mm]]")


@_rule(*OUTLINE_KEYS, *GROUND_KEYS, "plot.levels_checked")
def survey_holds(draft: Draft) -> Iterator[Problem]:
    """Spot levels can be drawn through, cover the building, and hold no slip that shows."""
    ground = draft.ground
    if ground is None:
        return

    def problem(given: str, wanted: str) -> Problem:
        return draft.problem(ground.key, given, wanted, "")

    twice = survey.two_levels_at_one_point(ground.typed)
    if twice:
        yield problem(f"the point {place_words(twice[0])} has two levels, {twice[0][2]:.3f} m and {twice[1][2]:.3f} m", "keep the one that is right")
    if len(ground.levels) < 3:
        yield problem(f"there {'is' if len(ground.levels) == 1 else 'are'} {len(ground.levels) or 'no'} different point{'' if len(ground.levels) == 1 else 's'} with a level", "give three or more")
        return
    if survey.breadth_m([level[:2] for level in ground.levels]) < survey.LEAST_BREADTH_M:
        yield problem("all the points lie on one line", "give points on all sides of the building")
        return
    if draft.corners:
        far = [level for level in ground.levels if survey.distance_outside_m(level[:2], draft.corners) > FARTHEST_LEVEL_M]
        for level in far:
            yield problem(f"the point {place_words(level)} is more than {FARTHEST_LEVEL_M:g} m from the building", "look for a slip in x and y, or leave it out")
        if far:
            return
        outline = survey.hull(level[:2] for level in ground.levels)
        for corner in draft.corners:
            out = survey.distance_outside_m(corner, outline)
            if out > UNCOVERED_M:
                yield problem(f"the corner of the building at {place_words(corner)} lies {out:.2f} m outside the outermost points", "give levels at or beyond every corner of the building")
    if twice:
        return
    wild = survey.wild_level(ground.levels) if ground.triangles else None
    if wild and not draft.values["plot.levels_checked"]:
        index, off = wild
        yield problem(f"the level at {place_words(ground.levels[index])}, {ground.levels[index][2]:.3f} m, is {abs(off):.2f} m {'above' if off > 0 else 'below'} what its neighbours say",
                      "look for a slip: if you have measured it again and it is so, write levels_checked: yes below plot")
        return
    # Where four corners have a middle of their own, any two of them count as neighbours.
    gradient, i, j = survey.steepest(ground.levels, ground.triangles or ((0, 1, 2), (0, 2, 3), (0, 1, 3)))
    if gradient > parse_slope(STEEPEST):
        yield problem(f"the ground between {place_words(ground.levels[i])} and {place_words(ground.levels[j])} is steeper than {STEEPEST}",
                      f"the guide works out nothing steeper than {STEEPEST}: look for a slip in the levels")


@_rule("plot.level_book", "plot.levels_checked")
def level_book_closes(draft: Draft) -> Iterator[Problem]:
    """A run of levels comes back to where it began, or to a known level, as near as it can be read."""
    if draft.values.get("plot.level_book") is None:
        return
    readings = draft.values["plot.level_book"]
    first, last = readings[0], readings[-1]
    if last.level_m is not None and survey.same_mark(first, last) and abs(last.level_m - (first.level_m or 0.0)) > survey.SAME_LEVEL_M:
        yield draft.problem("plot.level_book", f"the first line and the last are of one mark, with the known levels {first.level_m or 0.0:.3f} m and {last.level_m:.3f} m",
                            "give its level once, at the first line", "")
        return
    missed = survey.reduce_readings(readings).run.misclosure_m
    most = survey.MISCLOSURE_AT_MOST_M.value
    if missed is not None and abs(missed) > most + 1e-9 and not draft.values["plot.levels_checked"]:
        yield draft.problem("plot.level_book", f"the run of levels misses its closing level by {abs(missed) * 1000:.0f} mm, which is more than {most * 1000:.0f} mm",
                            "look for a misread metre or two figures changed about, and level again: if the closing mark itself is in doubt, write levels_checked: yes below plot", "")


@_rule(*OUTLINE_KEYS, "plot.soft_spots")
def soft_spots_under_the_building(draft: Draft) -> Iterator[Problem]:
    """Soft spots are outlines of their own, under the building or close beside it."""
    yield from _pieces_hold(draft, "plot.soft_spots")


@_rule(*OUTLINE_KEYS, "plot.hollows")
def hollows_under_the_building(draft: Draft) -> Iterator[Problem]:
    """So are hollows."""
    yield from _pieces_hold(draft, "plot.hollows")


@_rule(*OUTLINE_KEYS, "plot.existing_slabs")
def existing_slabs_under_the_building(draft: Draft) -> Iterator[Problem]:
    """So are existing slabs."""
    yield from _pieces_hold(draft, "plot.existing_slabs")


@_rule(*OUTLINE_KEYS, *PIECES)
def pieces_of_ground_lie_apart(draft: Draft) -> Iterator[Problem]:
    """No piece of ground is of two kinds."""
    if draft.corners is None:
        return
    earlier: list[tuple[str, Polygon]] = []
    for key in PIECES:
        here = _sound_pieces(draft, key)
        for what, outline in here:
            for other, before in earlier:
                if _overlap(outline, before):
                    yield draft.problem(key, f"{what} and {other} overlap", "give every piece of ground once: as a soft spot, as a hollow or as a slab to be broken out")
        earlier += here


def _named_pieces(draft: Draft, key: str) -> Iterator[tuple[str, Polygon]]:
    """The pieces of ground of a key, each with its kind and number."""
    for number, (outline, _) in enumerate(draft.values[key], start=1):
        yield f"{PIECES[key].called} {number}", outline


def _fault_of_piece(outline: Polygon, what: str) -> tuple[str, str] | None:
    """What keeps corners from being the outline of a piece of ground; None when nothing does."""
    short = min(math.dist(outline[i - 1], outline[i]) for i in range(len(outline)))
    if short <= SAME_PLACE_M or abs(polygon_area_m2(outline)) < survey.LEAST_BREADTH_M**2:
        return f"{what} has no room in it", "give the corners of its outline in order, each once"
    if survey.sides_that_meet(outline):
        return f"two sides of {what} cross", "give the corners of its outline in order"
    return None


def _sound_pieces(draft: Draft, key: str) -> list[tuple[str, Polygon]]:
    """Those whose outlines are sound, anticlockwise."""
    return [(what, survey.from_south_west(outline)) for what, outline in _named_pieces(draft, key) if not _fault_of_piece(outline, what)]


def _overlap(first: Polygon, second: Polygon) -> bool:
    return survey.overlap_m2(first, second) > SAME_PLACE_M**2


def _pieces_hold(draft: Draft, key: str) -> Iterator[Problem]:
    """Pieces of ground of one kind are sound outlines, under the building or close beside it, and lie apart."""
    if draft.corners is None:
        return
    for what, outline in _named_pieces(draft, key):
        fault = _fault_of_piece(outline, what)
        if fault:
            yield draft.problem(key, *fault)
    sound = _sound_pieces(draft, key)
    for place, (what, outline) in enumerate(sound):
        gap = survey.gap_m(outline, draft.corners)
        if gap > BESIDE_M:
            yield draft.problem(key, f"{what} is {gap:.2f} m from the building", "leave out what lies further off than half a metre: nothing of the building stands on it")
        for other, before in sound[:place]:
            if _overlap(outline, before):
                yield draft.problem(key, f"{what} and {other} overlap", f"give every piece of ground once, with its own {PIECES[key].size_key}")


# Ground in which undrained strength has no meaning: its water leaves as fast as it is loaded.
DRAINS_FREELY = ("rock", "gravel", "dense sand", "medium sand", "loose sand")


@_rule("plot.soil", "plot.undrained_strength")
def undrained_strength_of_clay(draft: Draft) -> Iterator[Problem]:
    """Undrained strength is a figure of clay and silt."""
    soil = draft.values["plot.soil"]
    if draft.values["plot.undrained_strength"] is not None and soil in DRAINS_FREELY:
        yield draft.problem("plot.undrained_strength", f"an undrained strength is given for {soil}, which has none",
                            "write the friction angle instead, or look again at the soil", "friction_angle: 32 deg")


@_rule(*OUTLINE_KEYS, "plot.boundary", "building.doors", "building.step_free")
def sides_are_there(draft: Draft) -> Iterator[Problem]:
    """Boundaries and doors are at sides that the building has, and the step-free side has a door."""
    if draft.corners is None:
        return
    names = [side.name for side in Plan(draft.corners).sides]
    doors = [side for side, _ in draft.values["building.doors"]]
    step_free = draft.values["building.step_free"]
    for key, sides in (("plot.boundary", draft.values["plot.boundary"]), ("building.doors", doors), ("building.step_free", [step_free] if step_free else [])):
        for side in dict.fromkeys(sides):
            if side not in names:
                yield draft.problem(key, f"the building has no {side} side", f"its sides are {listed(names, 'and')}", "")
    if step_free in names and step_free not in doors:
        yield draft.problem("building.step_free", f"the {step_free} side has no door", "name a side with a door, or give that side a door", "")


@_rule(*OUTLINE_KEYS, "building.internal_walls")
def walls_lie_inside(draft: Draft) -> Iterator[Problem]:
    """Walls inside run within the outline, each of them once."""
    if draft.corners is None:
        return
    walls = draft.values["building.internal_walls"]
    for number, (start, end) in enumerate(walls, start=1):
        words = f"wall {number}, from {place_words(start)} to {place_words(end)},"
        if math.dist(start, end) < LEAST_WALL_M:
            yield draft.problem("building.internal_walls", f"{words} is {math.dist(start, end):.3f} m long", f"a wall is at least {LEAST_WALL_M:g} m long")
            continue
        out = survey.farthest_outside_m(start, end, draft.corners)
        if out > WALL_OUTSIDE_M:
            yield draft.problem("building.internal_walls", f"{words} runs {out:.2f} m outside the building", "give the two ends of a wall inside it")
        for other, before in enumerate(walls[: number - 1], start=1):
            if survey.lines_run_together(before, (start, end)):
                yield draft.problem("building.internal_walls", f"{words} lies along wall {other}", "give each wall once")


@_rule("building.wall_height", "building.ridge_height")
def ridge_not_below_eaves(draft: Draft) -> Iterator[Problem]:
    """The roof's highest point is not below the eaves."""
    if draft.values["building.ridge_height"] < draft.values["building.wall_height"]:
        yield draft.problem("building.ridge_height", f"{draft.shown('building.ridge_height')} is lower than the walls, {draft.shown('building.wall_height')}",
                            "write the height from finished floor to the highest point of the roof")


@_rule(*OUTLINE_KEYS, "building.doors", "building.door_width")
def doors_fit_their_sides(draft: Draft) -> Iterator[Problem]:
    """The doors of a side are narrower than the side, and each lies within it clear of the others."""
    if draft.corners is None:
        return
    width = draft.values["building.door_width"]
    for side in Plan(draft.corners).sides:
        places = [at for name, at in draft.values["building.doors"] if name == side.name]
        if len(places) * width > side.length_m:
            yield draft.problem("building.door_width", f"{draft.shown('building.door_width')} is too wide for the doors of the {side.name} side, which is {side.length_m:.3g} m long",
                                "write a smaller width or fewer doors")
            continue
        for at in places:
            if at is not None and not width / 2 - SAME_PLACE_M <= at <= side.length_m - width / 2 + SAME_PLACE_M:
                yield draft.problem("building.doors", f"a door {width:g} m wide with its middle {at:g} m along the {side.name} side does not fit, for that side is {side.length_m:.3g} m long",
                                    "write how far the middle of the door is from the left end of the side, seen from outside", "")
        if any(at is not None for at in places):
            middles = sorted(side.length_m / 2 if at is None else at for at in places)
            if any(after - before < width - SAME_PLACE_M for before, after in zip(middles, middles[1:])):
                yield draft.problem("building.doors", f"two doors of the {side.name} side overlap", "move one of them along the side", "")


@_rule("heat.energy_price")
def energy_in_one_currency(draft: Draft) -> Iterator[Problem]:
    """Energy is paid for in the currency of the schedule of rates."""
    price = draft.values["heat.energy_price"]
    if draft.schedule is None or price is None:
        return
    currency = draft.schedule.currency
    if price[0] not in (None, currency):
        yield draft.problem("heat.energy_price", f"{draft.shown('heat.energy_price')} is in another currency than the schedule of rates",
                            f"write it in {currency}", f"{price[1]:g} {currency}/kWh")


@_rule("futures")
def wishes_in_one_currency(draft: Draft) -> Iterator[Problem]:
    """Later wishes are priced in the currency of the schedule of rates, and have names of their own."""
    wishes = draft.values["futures"]
    names = [name for name, _, _ in wishes]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        yield draft.problem("futures", f"{as_shown(name)} is given more than once", "give each wish a name of its own")
    if draft.schedule is None:
        return
    currency = draft.schedule.currency
    for name, costs, _ in wishes:
        for scheme, (typed, amount) in costs.items():
            if typed not in (None, currency):
                yield draft.problem("futures", f"what {as_shown(name)} costs under {scheme} is in another currency than the schedule of rates", f"write it in {currency}", f"{amount:g} {currency}")


@_rule("pour.second_places", "pour.cold_joint_cost")
def pour_in_one_currency(draft: Draft) -> Iterator[Problem]:
    """What a place for surplus is worth, and what running short costs, are in the currency of the schedule of rates; concrete is worth no more than its price."""
    if draft.schedule is None:
        return
    currency, price = draft.schedule.currency, draft.schedule.rates["ready_mixed_concrete"]
    joint = draft.values["pour.cold_joint_cost"]
    if joint is not None and joint[0] not in (None, currency):
        yield draft.problem("pour.cold_joint_cost", f"{draft.shown('pour.cold_joint_cost')} is in another currency than the schedule of rates", f"write it in {currency}", f"{joint[1]:g} {currency}")
    for name, _, worth in draft.values["pour.second_places"] or ():
        if worth is None:
            continue
        typed, per_m3 = worth
        if typed not in (None, currency):
            yield draft.problem("pour.second_places", f"what concrete is worth in {as_shown(name)} is in another currency than the schedule of rates", f"write it in {currency}", f"{per_m3:g} {currency}/m^3")
        elif per_m3 > price.likely / price.sale_unit_in_si * (1.0 + 1e-9):
            yield draft.problem("pour.second_places", f"concrete in {as_shown(name)} is worth more than its price, {price.likely:g} {currency}/{price.sale_unit}",
                                "write less: what is wanted that much is ordered with the rest", f"{price.likely / 2:g} {currency}/{price.sale_unit}")


@_rule("plot.access.lorry_to_slab", "plot.access.pump", "pour.way", "pour.run")
def concrete_gets_to_the_slab(draft: Draft) -> Iterator[Problem]:
    """A chute reaches the slab, a barrow run is not too long, and a pump is in the price if one is to come."""
    way, pump = draft.values["pour.way"], draft.values["plot.access.pump"]
    at, far = ("pour.run", draft.values["pour.run"]) if draft.values["pour.run"] is not None else ("plot.access.lorry_to_slab", draft.values["plot.access.lorry_to_slab"])
    # What was not typed for the day of a pour is no slip of its keys.
    key = at if draft.given("pour.run") else "pour.way"
    where = f"the way from lorry to slab, {draft.shown(at)},"
    if way == "pump" and not pump:
        yield draft.problem("pour.way", "the concrete goes by pump, and below plot no pump is to come", "write pump: yes in access below plot, so that it is in the price, or another way", "barrow")
    elif way in ("barrow", "chute") and pump:
        yield draft.problem("pour.way", f"the concrete goes by {way}, and below plot a pump is to come", "write pump: no in access below plot, so that it is not in the price, or way: pump", "pump")
    elif way == "chute" and far > CHUTE_REACH_M.value:
        yield draft.problem(key, f"{where} is longer than the chute of a lorry, which reaches {CHUTE_REACH_M.value:g} m", "write how far it is to the slab, or way: barrow", "run: 2 m")
    elif (way == "barrow" or at == "pour.run" and not pump) and far > LONGEST_RUN_M.value:
        yield draft.problem(key, f"{where} is too long for barrows, which are wheeled {LONGEST_RUN_M.value:g} m at most",
                            "bring the lorry nearer, or write way: pump, and pump: yes in access below plot", "run: 40 m")


@_rule("plot.access.lorry_to_slab", "plot.access.pump", "pour.way", "pour.run", "pour.people", "pour.barrows")
def hands_enough(draft: Draft) -> Iterator[Problem]:
    """Where concrete goes by barrow there is one, and somebody to place what it brings."""
    way, people, barrows = (draft.values[f"pour.{name}"] for name in ("way", "people", "barrows"))
    far = draft.values["plot.access.lorry_to_slab"] if draft.values["pour.run"] is None else draft.values["pour.run"]
    if way in ("chute", "pump") or way is None and (draft.values["plot.access.pump"] or far <= CHUTE_REACH_M.value) or barrows is None:
        return
    if barrows == 0:
        yield draft.problem("pour.barrows", "there are no barrows, and the concrete goes by barrow", "write how many there are, 3 or 4 are usual, or another way")
    elif people is not None and barrows >= people > 1:
        yield draft.problem("pour.barrows", f"{draft.shown('pour.barrows')} barrows take everybody of {draft.shown('pour.people')}, and nobody is left to place the concrete",
                            "write fewer barrows or more people", f"{people // 2}")


# Pours with a visit after each use every kind of day that a job needs.
_POURS_TRIED = 20
_TRIED = tuple(
    task for n in range(_POURS_TRIED)
    for task in (Task(f"pour {n}", kind=POURING, own_hours=1.0, after=(f"visit {n - 1}",) if n else ()), Task(f"visit {n}", kind=VISIT, days=1.0, after=(f"pour {n}",))))


LARGE_JOB = Task("a large job", own_hours=1000.0)
"""About the most hours of one's own that a plot of the sizes taken here asks for."""


@_rule("programme.days", "programme.hours_a_day", "programme.holidays", "programme.months_off")
def some_days_to_work_on(draft: Draft) -> Iterator[Problem]:
    """Days off and months off leave days to work on, and to have lorries and inspectors on."""
    holidays = draft.values["programme.holidays"]
    calendar = calendar_of(ProgrammeGiven(**{name: draft.values[f"programme.{name}"] for name in ("days", "hours_a_day", "holidays", "months_off")}))
    # Months off alone leave a month of every year, so only a break with a holiday in it can be too long.
    day = None
    for holiday in holidays:
        before = holiday - timedelta(days=LONGEST_BREAK_DAYS)
        day = before if day is None else max(day, before)
        while day <= holiday:
            try:
                day = schedule(_TRIED, day, calendar).finish + timedelta(days=1)
            except ValueError:
                yield draft.problem("programme.holidays", f"with days off and months off there is no day to build on, or none with lorries or inspectors, for {LONGEST_BREAK_DAYS} days about {holiday}",
                                    "give fewer of them", "[2027-08-01 to 2027-08-14]")
                return
    told = [key for key in ("programme.months_off", "programme.hours_a_day") if draft.given(key)]
    if told and draft.schedule is not None:
        year = draft.values["programme.start"].year if draft.values.get("programme.start") else int(draft.schedule.dated[:4])
        try:
            schedule([LARGE_JOB], date(year, 1, 1), calendar)
        except ValueError:
            yield draft.problem(told[0], f"{draft.shown(told[0])} leaves so little time that a job of {LARGE_JOB.hours:g} hours would go on for more than {LONGEST_JOB_DAYS // 365} years",
                                "give more hours a day, more days or fewer months off")


FLOOR_AT_MOST_M = 0.5
"""Levels of one floor that differ by more are a slip in a unit, even on a floor laid to falls (common practice, no source)."""


@_rule(*OUTLINE_KEYS, "floor.levels")
def floor_can_be_drawn_through(draft: Draft) -> Iterator[Problem]:
    """The levels of a floor make a surface, and hold no slip that shows."""
    levels = draft.values["floor.levels"]
    if not levels:
        return
    heights = [z for _, _, z in levels]
    if max(heights) - min(heights) > FLOOR_AT_MOST_M:
        yield draft.problem("floor.levels", f"the highest level lies {max(heights) - min(heights):.3f} m above the lowest, which is no floor", "look for a slip in the units, such as m for mm")
        return
    twice = levels_that_disagree(levels)
    if twice:
        yield draft.problem("floor.levels", f"the point {place_words(twice[0])} has two levels, {twice[0][2]:.3f} m and {twice[1][2]:.3f} m", "keep the one that is right", "")
        return
    try:
        floor_of(levels, draft.corners)
    except ValueError as error:
        yield draft.problem("floor.levels", str(error), "give levels at four points or more all over the floor, x and y as for the corners of the building")


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


SOAKAWAY_DETAILS = ("drainage.soakaway_voids", "drainage.soakaway_distance", "drainage.soakaway_rate", "drainage.soakaway_pit")
PIT_TOLERANCE = 1.02
"""Sizes typed to a centimetre make a volume that differs by no more than this."""


@_rule("plot.outfall", "drainage.soakaway", *SOAKAWAY_DETAILS)
def soakaway_of_one_size(draft: Draft) -> Iterator[Problem]:
    """What is told of a soakaway belongs to one, and its volume fits into its pit."""
    size, pit = draft.values["drainage.soakaway"], draft.values["drainage.soakaway_pit"]
    told = [key for key in SOAKAWAY_DETAILS if draft.values[key] is not None]
    if told and size is None and draft.values["plot.outfall"]:
        names = listed([BY_KEY[key].name for key in told], "and")
        yield draft.problem(told[0], f"{names} {'is' if len(told) == 1 else 'are'} given, but no soakaway",
                            "write soakaway, the size of its pit, below drainage, or outfall: no below plot", "soakaway: 3 m^3")
    if size is not None and pit is not None and size > math.prod(pit) * PIT_TOLERANCE:
        yield draft.problem("drainage.soakaway", f"{draft.shown('drainage.soakaway')} does not fit into the pit, {draft.shown('drainage.soakaway_pit')}, which holds {math.prod(pit):.3g} m^3",
                            "write the size of the pit below the pipe", f"{math.prod(pit):.3g} m^3")


OF_CLADDING = ("edge.cladding_past_face", "edge.cladding_below_dpc")


@_rule("building.walls", *OF_CLADDING)
def cladding_of_a_frame(draft: Draft) -> Iterator[Problem]:
    """Cladding is told of where the guide has some: on a timber frame."""
    told = [key for key in OF_CLADDING if draft.values[key] is not None]
    if told and draft.values["building.walls"] != "timber frame":
        names = listed([BY_KEY[key].name for key in told], "and")
        yield draft.problem(told[0], f"{names} {'is' if len(told) == 1 else 'are'} given, but the walls are {draft.shown('building.walls')}",
                            "take it out: the guide checks cladding on a timber frame only", "")


UNDER_THE_SLAB = ("drainage.tie_spacing", "drainage.tie_strength")


@_rule("drainage.under_slab_cover", *UNDER_THE_SLAB)
def ties_hold_a_pipe_under_the_slab(draft: Draft) -> Iterator[Problem]:
    """Ties hold down a pipe that passes under the slab."""
    told = [key for key in UNDER_THE_SLAB if draft.values[key] is not None]
    if told and draft.values["drainage.under_slab_cover"] is None:
        names = listed([BY_KEY[key].name for key in told], "and")
        yield draft.problem(told[0], f"{names} {'is' if len(told) == 1 else 'are'} given, but no pipe under the slab",
                            "write under_slab_cover too: how deep below the slab the pipe lies", "under_slab_cover: 100 mm")


@_rule("drainage.pipe", "drainage.pipe_outside", "drainage.pipe_mass", "drainage.under_slab_cover")
def pipe_sizes_go_together(draft: Draft) -> Iterator[Problem]:
    """A pipe is wider outside than inside, and lighter than the concrete that may surround it."""
    bore, outside, mass = (draft.values[f"drainage.{name}"] for name in ("pipe", "pipe_outside", "pipe_mass"))
    usual = water.with_usual(Drainage(pipe_m=bore, pipe_outside_m=outside, pipe_kg_per_m=mass))
    under_slab = draft.values["drainage.under_slab_cover"] is not None
    if outside is None and not under_slab:
        return
    if usual.pipe_outside_m <= usual.pipe_m:
        yield draft.problem("drainage.pipe_outside", f"{draft.shown('drainage.pipe_outside')} is not wider than the pipe is inside, {usual.pipe_m * 1000:g} mm", "write the width of the pipe with its walls")
    elif water.float_uplift_kn_per_m(usual.pipe_outside_m, usual.pipe_kg_per_m) <= 0.0:
        yield draft.problem("drainage.pipe_mass", f"{draft.shown('drainage.pipe_mass')} is more than as much concrete as that pipe, {usual.pipe_outside_m * 1000:g} mm wide, takes the place of",
                            "write the mass of one metre of the empty pipe, and pipe_outside, its width with its walls")
