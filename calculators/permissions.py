"""What may have to be asked, and of whom, before digging starts.

Figures of the region against figures of this building; nothing here grants or
refuses anything.  Rules change, towns amend them, and the people named decide:
every record ends with "check locally".
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.ground import profile
from calculators.scenario import Neighbour
from calculators.site import CLOSE_FROM, TOLERANCE, Site, height_check
from calculators.sources import COMMON_PRACTICE, MEMORY, READ, Sourced
from calculators.works import Check, Works

# Verdicts, in words for a reader.
ASK = "ask before you start"
CLOSE = "close to the figure: ask"
BELOW = "below the figure: check locally"
NOT_WORKED_OUT = "not worked out: ask"

FLOOR_AREA_EXEMPT_M2 = Sourced(15.0, "m2", "building-regulations", "Schedule 2 class 6", READ, "Nobody sleeps in it. Floor between the inner faces of the walls.")
FLOOR_AREA_EXEMPT_APART_M2 = Sourced(30.0, "m2", "building-regulations", "Schedule 2 class 6", READ, "Nobody sleeps in it, and it stands 1 m from the boundary or is substantially non-combustible.")
APART_FROM_BOUNDARY_M = Sourced(1.0, "m", "building-regulations", "Schedule 2 class 6", READ)
US_FLOOR_AREA_M2 = Sourced(18.580608, "m2", "irc", "R105.2", READ, "200 square feet, one storey; towns amend it, and zoning is asked apart.")
IRELAND_FLOOR_AREA_M2 = Sourced(25.0, "m2", "planning-regulations-ireland", "Schedule 2 Part 1 Class 3", MEMORY, "All sheds of the house together.")
RAISED_PLATFORM_M = Sourced(0.3, "m", "gpdo", "interpretation of Part 1", MEMORY)
NOTICE_NEAR_M = Sourced(3.0, "m", "party-wall-act", "section 6(1)", READ, "A dig deeper than the neighbour's foundations.")
NOTICE_FAR_M = Sourced(6.0, "m", "party-wall-act", "section 6(2)", READ, "A dig that meets a line falling at 45 degrees from the bottom of the neighbour's foundations.")

AREA_LIMIT_M2: dict[str, Sourced] = {"us": US_FLOOR_AREA_M2, "ireland": IRELAND_FLOOR_AREA_M2}


@dataclass(frozen=True)
class Permission:
    """One thing that may have to be asked: what, of whom, this building's figure against the limit.

    `figure` and `limit` are in `unit`, None where there is none.  `verdict` is
    one of the words above.  `source` is where the limit comes from, `mark` how
    well it is known.
    """

    what: str
    of_whom: str
    figure: float | None
    limit: float | None
    unit: str
    verdict: str
    sentence: str
    source: str
    mark: str


def exempt_area_limit(nearest_boundary_m: float, non_combustible: bool, sleeping: bool) -> Sourced | None:
    """Floor area up to which England's building regulations do not ask for an application.

    nearest_boundary_m: m, 0 or more.  non_combustible: built substantially of what does not burn.
    sleeping: somebody sleeps in it.
    Returns a Sourced area, m2; None where no area is exempt.
    Raises ValueError for a negative distance.
    Source: Building Regulations (England) 2010, Schedule 2 class 6 (read).  Check locally.

    >>> exempt_area_limit(0.5, False, False).value, exempt_area_limit(1.0, False, False).value
    (15.0, 30.0)
    >>> exempt_area_limit(5.0, True, True) is None
    True
    """
    if not nearest_boundary_m >= 0.0:
        raise ValueError(f"the distance to a boundary must be 0 m or more, not {nearest_boundary_m} m")
    if sleeping:
        return None
    apart = nearest_boundary_m >= APART_FROM_BOUNDARY_M.value - TOLERANCE
    return FLOOR_AREA_EXEMPT_APART_M2 if apart or non_combustible else FLOOR_AREA_EXEMPT_M2


def notice_distance_m(dig_depth_m: float, neighbour_depth_m: float, distance_m: float) -> float:
    """Within which of the two distances a dig beside a neighbour's building asks for notice.

    dig_depth_m, neighbour_depth_m: below the same ground, m, 0 or more.
    distance_m: from the neighbour's wall to the dig, m, 0 or more.
    Returns 3 or 6 (m), the rule that asks for it; 0 where neither does.
    Raises ValueError for anything negative.
    Source: Party Wall etc. Act 1996 (England and Wales), section 6 (read).

    >>> notice_distance_m(1.0, 0.6, 2.5), notice_distance_m(1.0, 0.6, 4.0), notice_distance_m(5.0, 0.6, 4.0)
    (3.0, 0.0, 6.0)
    """
    if not (dig_depth_m >= 0.0 and neighbour_depth_m >= 0.0 and distance_m >= 0.0):
        raise ValueError(f"depths and distance must be 0 m or more, not {dig_depth_m}, {neighbour_depth_m} and {distance_m} m")
    deeper_m = dig_depth_m - neighbour_depth_m
    # Exactly at a distance counts as within it, which is the cautious reading.
    if distance_m <= NOTICE_NEAR_M.value + TOLERANCE and deeper_m > TOLERANCE:
        return NOTICE_NEAR_M.value
    if distance_m <= NOTICE_FAR_M.value + TOLERANCE and deeper_m > distance_m + TOLERANCE:
        return NOTICE_FAR_M.value
    return 0.0


def permissions_of(
    site: Site, works: Works, neighbours: tuple[Neighbour, ...] | None = None, sleeping: bool = False, non_combustible: bool = False
) -> tuple[Permission, ...]:
    """What has to be asked of whom for one scheme on one plot.

    site; works: as laid out, levels in m.  neighbours: buildings near; None where nobody has said,
    and then each boundary is taken for a neighbour's wall.  sleeping: somebody sleeps in it.
    non_combustible: built substantially of what does not burn.
    Returns Permissions: lengths m, areas m2.
    Raises ValueError for negative distances.
    Source: each record names its own; the order is that in which they are asked.
    """
    found = [_height(site, works)]
    if site.rules.region == "england":
        found += [_eaves(site, works), _raised_platform(site, works)]
    found.append(_floor_area(site, sleeping, non_combustible))
    found.append(_adjoining(site, works, neighbours))
    found.append(Permission(
        "Drains and sewers under or beside the plot", "the owner of any drain, often the water company", None, None, "", NOT_WORKED_OUT,
        "Building over or beside a drain that serves others needs its owner's consent. Lift covers and look at drawings.", "", COMMON_PRACTICE))
    if site.scenario.plot.trees == "near":
        found.append(Permission(
            "Work near trees", site.rules.planning_authority, None, None, "", NOT_WORKED_OUT,
            "Some trees are protected, and so are their roots.", "", COMMON_PRACTICE))
    return tuple(found)


def _verdict(figure: float, limit: float) -> str:
    if figure > limit + TOLERANCE:
        return ASK
    return CLOSE if figure > CLOSE_FROM * limit + TOLERANCE else BELOW


def _against(what: str, of_whom: str, figure: float, limit: Sourced, sentence: str) -> Permission:
    return Permission(what, of_whom, figure, limit.value, limit.unit, _verdict(figure, limit.value), sentence, limit.citation, limit.mark)


def _height(site: Site, works: Works) -> Permission:
    check: Check = height_check(site, works.floor_level_m)
    verdict = NOT_WORKED_OUT if check.required is None else _verdict(check.provided, check.required)
    return Permission(
        "Planning: overall height", site.rules.planning_authority, check.provided, check.required, "m", verdict,
        "Measured from the highest ground beside the building to the top of the roof; a higher floor makes a higher building.", check.source, check.mark)


def _eaves(site: Site, works: Works) -> Permission:
    eaves_m = works.floor_level_m + site.scenario.building.wall_height_m
    return _against("Planning: height of the eaves", site.rules.planning_authority, eaves_m, site.rules.height.eaves_m,
                    "Measured from the highest ground beside the building.")


def _raised_platform(site: Site, works: Works) -> Permission:
    rise_m = max([0.0] + [works.floor_level_m - door.ground_m for door in site.doors])
    return _against("Planning: a landing or deck at a door", site.rules.planning_authority, rise_m, RAISED_PLATFORM_M,
                    "A platform level with the floor counts as raised above this height over the ground.")


def _floor_area(site: Site, sleeping: bool, non_combustible: bool) -> Permission:
    region = site.rules.region
    inside_m2 = site.plan.area_inset_m2(site.scenario.heat.wall_thickness_m)
    if region == "england":
        nearest = min(site.scenario.plot.boundary_m.values(), default=math.inf)
        limit = exempt_area_limit(nearest, non_combustible, sleeping)
        what = "Building regulations: floor area"
        if limit is None:
            return Permission(what, site.rules.building_authority, inside_m2, None, "m2", ASK,
                              "A building in which somebody sleeps is not exempt, whatever its size.", FLOOR_AREA_EXEMPT_M2.citation, FLOOR_AREA_EXEMPT_M2.mark)
        return _against(what, site.rules.building_authority, inside_m2, limit,
                        "Up to 15 m2 a detached building without sleeping is exempt; up to 30 m2 where it also stands 1 m from the boundary "
                        "or is substantially non-combustible. Its electrical work is not exempt.")
    if region in AREA_LIMIT_M2:
        # The whole footprint is the cautious figure where the rule does not say which area.
        whom = site.rules.building_authority if region == "us" else site.rules.planning_authority
        what = "Building permit: floor area" if region == "us" else "Planning: floor area"
        return _against(what, whom, site.plan.area_m2, AREA_LIMIT_M2[region],
                        "Above this area a permit or permission is asked for; below it other rules still hold.")
    return Permission("Building permit: floor area", site.rules.building_authority, site.plan.area_m2, None, "m2", NOT_WORKED_OUT,
                      "No area is held for this region.", "", COMMON_PRACTICE)


def _adjoining(site: Site, works: Works, neighbours: tuple[Neighbour, ...] | None) -> Permission:
    """Digging beside a neighbour's foundations."""
    what, whom = "Digging beside a neighbour's foundations", "the neighbour, in writing, and a surveyor"
    sentence = "A dig deeper than a neighbour's foundations can bring a wall down; the neighbour is told before, with drawings."
    near = neighbours
    if near is None:
        near = tuple(Neighbour(distance) for distance in site.scenario.plot.boundary_m.values())
        sentence += " Each boundary you gave is taken for a neighbour's wall."
    depth = dig_depth_m(site, works)
    nearest = min((each.distance_m for each in near), default=math.inf)
    if site.rules.region != "england":
        verdict = NOT_WORKED_OUT if nearest <= NOTICE_FAR_M.value + TOLERANCE else BELOW
        return Permission(what, whom, None if math.isinf(nearest) else nearest, NOTICE_FAR_M.value, "m", verdict,
                          sentence + " The distance is that of England and Wales; ask for the rule here.", NOTICE_FAR_M.citation, NOTICE_FAR_M.mark)
    if math.isinf(nearest):
        return Permission(what, whom, None, NOTICE_FAR_M.value, "m", BELOW, sentence + " No boundary or building was said to be near.",
                          NOTICE_FAR_M.citation, NOTICE_FAR_M.mark)
    # Foundations that nobody has seen are taken to have no depth: every dig is then deeper.
    asked = [notice_distance_m(depth, each.foundation_depth_m or 0.0, each.distance_m) for each in near]
    limit = NOTICE_FAR_M if max(asked) == NOTICE_FAR_M.value else NOTICE_NEAR_M
    verdict = ASK if max(asked) > 0.0 else BELOW
    return Permission(what, whom, nearest, limit.value, "m", verdict, sentence, limit.citation, limit.mark)


def dig_depth_m(site: Site, works: Works) -> float:
    """Depth of the deepest dig below the highest ground beside the building, m.

    site; works: as laid out.  Raises nothing.
    Source: geometry; cautious, since the highest ground may be on another side than the deepest dig.
    """
    highest = max(level for side in site.plan.sides for _, level in profile(site.ground, side.at(0.0, 0.0), side.at(side.length_m, 0.0)))
    return max(0.0, highest - works.founding_level_m)
