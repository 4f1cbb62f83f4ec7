"""One plot as every scheme sees it: plan, ground, rules and depths, resolved once.

The ground is moved so that its highest point under the footprint is level 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from calculators import rules as r
from calculators.fill import FillTables
from calculators.ground import Dented, Raised, Surface, highest_m, lowest_m, profile
from calculators.plan import Plan, Polygon, Side, convex_parts, polygon_centroid
from calculators.scenario import Scenario
from calculators.soils import SOILS, Soil
from calculators.survey import ground_of, survey_assumptions
from calculators.works import Body, Check, Solid

# Ground falling less than this counts as level: no uphill side, no land drains.
LEVEL_GROUND_GRADIENT = 0.02
# A side faces uphill or downhill when it is within 70 degrees of square to the
# fall: a plot that falls a little askew has one uphill side, not two.
FACING_COSINE = math.cos(math.radians(70.0))
# A verdict of close: more than this share of a limit used up.
CLOSE_FROM = 0.9
TOLERANCE = 1e-9
# A strip so thin along the outer face is the face.
ON_THE_FACE_M = 1e-6
# Half the side of a square round the building that nothing of it reaches out of.
AROUND_M = 60.0


@dataclass(frozen=True)
class Door:
    """A door: its side, its middle along the side, m, and the existing ground there, m."""

    side: Side
    middle_m: float
    ground_m: float


@dataclass(frozen=True)
class Site:
    """What a scheme needs to lay itself out.

    `ground` and `stripped` are surfaces with the highest existing ground
    under the footprint at level 0; `corner_levels_m` are in the order of the
    plan's corners and `lowest_ground_m` is the lowest along the outer face: a
    hollow inside is filled and does not make the floor stand high.  `gradient` and `downhill` are those of the best plane
    through the corners.  `founding_rules` gives each depth that a footing must
    reach, by its reason; clay of unknown shrinkage counts as high there, and as
    medium where depths are laid out for quantities.
    """

    scenario: Scenario
    plan: Plan
    rules: r.RuleSet
    soil: Soil
    ground: Surface
    stripped: Surface
    tables: FillTables
    corner_levels_m: tuple[float, ...]
    lowest_ground_m: float
    gradient: float
    downhill: tuple[float, float]
    founding_rules: dict
    frost_required_m: float
    frost_excepted: bool
    frost_unknown: bool

    @cached_property
    def steepest_gradient(self) -> float:
        """Gradient of the steepest flat patch of ground under the footprint: a saddle is steep though its best plane is level."""
        return self._steepest_over(self.plan.region(0.0))

    @cached_property
    def steepest_gradient_around(self) -> float:
        """Gradient of the steepest flat patch of ground wherever stone or a dig may reach."""
        x, y = polygon_centroid(self.plan.corners)
        far = AROUND_M
        return self._steepest_over([((x - far, y - far), (x + far, y - far), (x + far, y + far), (x - far, y + far))])

    def _steepest_over(self, polygons: Iterable[Polygon]) -> float:
        return max(math.hypot(plane.east, plane.north) for polygon in polygons for _, plane in self.ground.over(polygon))

    def facing(self, side: Side) -> str:
        """Whether a side faces uphill, downhill or across the fall; "level" on level ground."""
        if self.gradient < LEVEL_GROUND_GRADIENT:
            return "level"
        outward_fall = -(side.inward[0] * self.downhill[0] + side.inward[1] * self.downhill[1])
        # Exactly 70 degrees is across, whatever the last binary digit says.
        if outward_fall > FACING_COSINE + TOLERANCE:
            return "downhill"
        return "uphill" if outward_fall < -FACING_COSINE - TOLERANCE else "across"

    @cached_property
    def existing_slabs(self) -> tuple[Polygon, ...]:
        """Old slabs to be broken out, as convex polygons, m."""
        return tuple(part for outline, _ in self.scenario.plot.existing_slabs_m for part in convex_parts(outline))

    def start_is_higher(self, side: Side) -> bool:
        """Whether the ground at the start of a side is no lower than at its end: from there chainages run."""
        levels = self.corner_levels_m
        return levels[side.index] >= levels[(side.index + 1) % len(levels)] - TOLERANCE

    @cached_property
    def doors(self) -> tuple[Door, ...]:
        """Where the doors are, with the existing ground at each."""
        found = []
        for name, at in self.scenario.building.placed_doors:
            side = self.plan.side(name)
            middle = side.length_m / 2.0 if at is None else at
            # Read over the last centimetre before the middle of the door: a profile needs two points.
            ground = profile(self.ground, side.at(middle - 0.01, 0.0), side.at(middle, 0.0))[-1][1]
            found.append(Door(side, middle, ground))
        return tuple(found)

    @property
    def founding_depth_m(self) -> float:
        """Depth, m, of a footing's underside below existing ground as laid out: the deepest of the rules."""
        return max(depth.value for depth in self._laid_out_rules.values())

    @property
    def _laid_out_rules(self) -> dict:
        if "clay" not in self.founding_rules or self.scenario.plot.shrinkage != "unknown":
            return self.founding_rules
        return self.founding_rules | {"clay": r.clay_depth_rule("medium", self.scenario.region)}

    @property
    def founding_reason(self) -> str:
        """Which rule sets the founding depth."""
        return max(self._laid_out_rules, key=lambda why: self._laid_out_rules[why].value)


def site_of(scenario: Scenario) -> Site:
    """Everything about the plot that does not depend on the scheme.

    Raises ValueError for a plan with no area.
    """
    plot, building = scenario.plot, scenario.building
    plan = Plan(plot.corners_m)
    rules = r.rules_for(scenario.region)
    raw = ground_of(plot)
    if plot.hollows_m:
        raw = Dented(raw, _dents(plot.hollows_m, 0.0))
    highest = highest_m(raw, plan.region(0.0))
    ground, under_topsoil = Raised(raw, -highest), raw
    if plot.existing_slabs_m:
        # Where a slab is broken out there is no topsoil under it; the tables follow the surface that is left.
        under_topsoil = Dented(raw, _dents(plot.existing_slabs_m, plot.topsoil_m))
    corner_levels = tuple(_level_at(ground, plan, i) for i in range(len(plan.corners)))
    gradient, downhill = _best_plane(plan, corner_levels)
    excepted = r.frost_depth_excepted(
        scenario.region, building.heated, plan.area_m2, building.wall_height_m, building.walls == "timber frame"
    )
    frost_unknown = rules.frost_depth_m is None and plot.frost_depth_m is None and not excepted
    # Where nobody has said how deep frost goes, the rest of the rules still hold and the page says what is missing.
    frost_given = 0.0 if frost_unknown else plot.frost_depth_m
    return Site(
        scenario=scenario,
        plan=plan,
        rules=rules,
        soil=SOILS[plot.soil],
        ground=ground,
        tables=FillTables(under_topsoil),
        stripped=Raised(under_topsoil, -highest - plot.topsoil_m),
        corner_levels_m=corner_levels,
        lowest_ground_m=lowest_m(ground, [side.band(0.0, ON_THE_FACE_M) for side in plan.sides]),
        gradient=gradient,
        downhill=downhill,
        founding_rules=r.founding_depth_rules(scenario.region, plot.soil, plot.shrinkage, frost_given, excepted),
        frost_required_m=r.frost_founding_depth_m(scenario.region, plot.soil, frost_given, excepted),
        frost_excepted=excepted and r.frost_susceptible(plot.soil),
        frost_unknown=frost_unknown,
    )


def _dents(outlines: tuple[tuple[Polygon, float], ...], less_m: float) -> tuple[tuple[Polygon, float], ...]:
    """Outlines with depths (m) as convex dents, each shallower by so many m."""
    return tuple((part, depth - less_m) for outline, depth in outlines for part in convex_parts(outline))


def _level_at(ground: Surface, plan: Plan, corner: int) -> float:
    side = plan.sides[corner]
    return profile(ground, side.start, side.at(side.length_m, 0.0))[0][1]


def _best_plane(plan: Plan, levels: tuple[float, ...]) -> tuple[float, tuple[float, float]]:
    """Gradient and unit downhill direction of the least-squares plane through the corners."""
    count = len(levels)
    cx = sum(x for x, _ in plan.corners) / count
    cy = sum(y for _, y in plan.corners) / count
    cz = sum(levels) / count
    xx = sum((x - cx) ** 2 for x, _ in plan.corners)
    yy = sum((y - cy) ** 2 for _, y in plan.corners)
    xy = sum((x - cx) * (y - cy) for x, y in plan.corners)
    xz = sum((x - cx) * (z - cz) for (x, _), z in zip(plan.corners, levels))
    yz = sum((y - cy) * (z - cz) for (_, y), z in zip(plan.corners, levels))
    across = xx * yy - xy * xy
    east, north = (xz * yy - yz * xy) / across, (yz * xx - xz * xy) / across
    gradient = math.hypot(east, north)
    if gradient < TOLERANCE:
        return 0.0, (0.0, 0.0)
    return gradient, (-east / gradient, -north / gradient)


def worst_of(kind: str, sides: Iterable[tuple[str, float]]) -> str:
    """Which side a worst figure belongs to, in words: its name, or that several are alike.

    kind: what it is one of ("wall", "side"); sides: (name, how bad) of each.

    >>> worst_of("wall", [("south", 4.0), ("east", 3.0)]), worst_of("side", [("south", 4.0), ("north", 4.0)])
    ('south wall', 'more than one side')
    """
    sides = list(sides)
    most = max(how_bad for _, how_bad in sides)
    names = [name for name, how_bad in sides if how_bad >= most - TOLERANCE]
    return f"{names[0]} {kind}" if len(names) == 1 else f"more than one {kind}"


def check_at_most(name: str, provided: float, limit: r.Sourced, sentence: str, ask: str = "",
                  required: float | None = None, unit: str | None = None) -> Check:
    """A check where less is better: outside above the limit, close above 90 % of it.

    provided: in the limit's unit.  required overrides the limit's own value
    where the limit is a factor of something else.
    """
    bound = limit.value if required is None else required
    ratio = max(0.0, provided) / bound if bound > 0 else (0.0 if provided <= TOLERANCE else math.inf)
    check = _check(name, provided, bound, limit, ratio, sentence, ask)
    return check if unit is None else replace(check, unit=unit)


def check_at_least(name: str, provided: float, limit: r.Sourced, sentence: str, ask: str = "", required: float | None = None) -> Check:
    """A check where more is better: outside below the limit.

    A dimension that was chosen to meet a least value is not a close call, so
    this is never "close" by itself.
    """
    bound = limit.value if required is None else required
    ratio = bound / provided if provided > 0 else (0.0 if bound <= TOLERANCE else math.inf)
    check = _check(name, provided, bound, limit, ratio, sentence, ask)
    return check if check.verdict == "outside" else replace(check, verdict="within")


def _check(name, provided, bound, limit, ratio, sentence, ask) -> Check:
    verdict = "outside" if ratio > 1.0 + TOLERANCE else "close" if ratio > CLOSE_FROM + TOLERANCE else "within"
    return Check(
        # Nothing provided, or nothing allowed, is outside without a ratio to show.
        name=name, provided=provided, required=bound, unit=limit.unit, ratio=ratio if math.isfinite(ratio) else None, verdict=verdict,
        sentence=sentence, source=limit.citation, mark=limit.mark, ask=ask if verdict == "outside" else "",
    )


def stop_checks(site: Site) -> tuple[Check, ...]:
    """Signs on the plot that stop every scheme until somebody who knows the ground has looked.

    Source: the figures in the rules; the signs themselves are common practice.
    """
    plot = site.scenario.plot
    engineer = "a ground engineer"
    checks = []
    if plot.soil in ("peat", "made ground"):
        checks.append(_sign("Ground that carries", f"The ground is {plot.soil}: nothing in this guide may be built on it as it is.", engineer))
    clay_like = site.soil.kind in ("clay", "unknown")
    limit = site.rules.greatest_clay_gradient if clay_like else site.rules.greatest_gradient
    # A plane of 1 in 5 typed as degrees or percent must land on the same side.
    checks.append(check_at_most(
        "Slope of the ground", max(site.gradient, site.steepest_gradient), limit,
        f"Ground steeper than 1 in {1 / limit.value:.0f} on {plot.soil} may creep or slip.", engineer,
    ))
    if plot.trees != "none" and site.soil.shrinkable:
        words = "Trees or hedges near, on ground that may be shrinkable clay" if plot.trees == "near" else "Trees lately removed from ground that may be shrinkable clay, which then swells"
        checks.append(_sign("Trees on clay", f"{words}: the depths in this guide do not hold.", engineer))
    if plot.water == "high":
        checks.append(_sign("Water in the ground", "Water stands high in the ground: trenches will not stay open and the stone will not drain.", engineer))
    if site.frost_unknown:
        checks.append(Check(
            "Depth against frost", None, None, "m", None, "not worked out",
            f"This region has no single frost depth. Ask {site.rules.building_authority} and give it (plot.frost_depth).", "", r.COMMON_PRACTICE))
    return tuple(checks)


def plot_assumptions(site: Site) -> tuple[str, ...]:
    """Sentences about the plot that hold for every scheme and must be shown."""
    plot = site.scenario.plot
    words = list(survey_assumptions(plot))
    if site.frost_excepted:
        words.append(
            "The frost depth is not asked of a small unheated outbuilding with a light frame here. That exception is from memory "
            f"and towns change it: ask {site.rules.building_authority}.")
    if plot.shrinkage == "unknown" and site.soil.shrinkable:
        words.append("The clay's shrinkage is not known: it counts as high in the checks and as medium in the quantities. Have it tested.")
    if site.gradient > site.rules.greatest_formation_gradient.value:
        words.append("Formation that falls steeper than 1 in 10 is cut into benches before the stone goes in. That trimming is in the hours, not in the volumes.")
    if plot.water != "low" and not plot.outfall:
        words.append("Water comes and the drains have nowhere to go: a stone bed cut into the slope fills like a bath. Find an outfall first.")
    return tuple(words)


def clay_check(site: Site, name: str, depth_m: float, accepted: bool, words: str) -> Check:
    """A raft or a slab on shrinkable clay above the depth at which clay stays still.

    depth_m: its underside below the lowest ground it bears on, m; accepted:
    whether the reader takes the movement, which counts only without trees;
    words: what it is ("raft", "slab").
    """
    check = check_at_least(
        name, max(0.0, depth_m), site.founding_rules["clay"],
        f"Above this depth shrinkable clay rises and falls with the seasons, and the {words} with it. "
        "If no tree is near and you accept that, say so in the scenario (accept_clay_movement: yes).", "a structural engineer")
    if check.verdict == "outside" and accepted and site.scenario.plot.trees == "none":
        return replace(check, verdict="close", ask="",
                       sentence=f"The {words} is above the depth at which clay stays still. You accept that it moves with the seasons.")
    return check


def _sign(name: str, sentence: str, ask: str) -> Check:
    return Check(name, None, None, "", None, "outside", sentence, "common practice, no source", r.COMMON_PRACTICE, ask)


def solid(site: Site, part: str, *bodies: Body) -> Solid:
    """A part of the works, its volumes read from the plot's tables."""
    return Solid(part, tuple(body for body in bodies if body.polygons), site.tables)


def body(polygons: Iterable[Polygon], bottom: Surface, top: Surface) -> Body:
    """What lies over convex polygons (m), empty ones left out, above `bottom` and under `top`."""
    return Body(tuple(polygon for polygon in polygons if polygon), bottom, top)


def height_check(site: Site, floor_level_m: float) -> Check:
    """Overall height above the highest ground beside the building against the region's limit.

    floor_level_m: top of slab, m.  Source: as the limit cites; check locally.
    """
    scenario = site.scenario
    overall = floor_level_m + scenario.building.ridge_height_m
    nearest = min(scenario.plot.boundary_m.values(), default=math.inf)
    limit = r.overall_height_limit(scenario.region, nearest, scenario.building.roof_shape)
    name = "Overall height above the highest ground"
    if limit is None:
        return Check(name, overall, None, "m", None, "not worked out",
                     f"No height limit is held for this region: ask {site.rules.planning_authority}.", "", r.COMMON_PRACTICE)
    authority = site.rules.planning_authority
    if scenario.plot.planning_permission and overall > limit.value:
        return Check(name, overall, limit.value, "m", overall / limit.value, "close",
                     "Higher than may be built without planning permission here; you say that permission is in hand.", limit.citation, limit.mark)
    return check_at_most(
        name, overall, limit,
        "Anything higher asks for planning permission at this distance from the boundary. "
        "With permission in hand, say so in the scenario (planning_permission: yes). Check locally.",
        authority,
    )


def centre_of(plan: Plan) -> tuple[float, float]:
    """Centre of area of the plan (x, y), m."""
    return polygon_centroid(plan.corners)
