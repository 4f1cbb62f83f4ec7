"""Will it stand: the checks of strength on a scheme's works, in plain words, with the working.

Each check sets one figure against one limit.  The sums are those of the
Eurocodes in every region until a region's own are held.  What the reader
knows of the place is the scenario's `Given`; what is not given is a stand-in,
and `stand_assumptions` says which.
"""

from __future__ import annotations

from dataclasses import replace

from calculators import bearing, concrete_section, loads, retaining, slab_on_ground, uplift
from calculators import rules as r
from calculators.materials import bar_area_m2
from calculators.scenario import Given
from calculators.schemes import common, thickened_raft
from calculators.site import Site, check_at_least, check_at_most, worst_of
from calculators.sources import COMMON_PRACTICE, MEMORY, READ, Sourced, common_practice
from calculators.works import Check, Works

METHOD = "strength"
ENGINEER = "a structural engineer"
GROUND_ENGINEER = "a ground engineer"

SOFT_SPAN_M = common_practice(3.0, "m", "Free span that stands for a soft spot of about 2 m, whose rims give as well.")
SOFT_CORNER_M = common_practice(1.5, "m", "Free length that stands for a soft corner of about 1 m, whose rim gives as well.")
RAFT_FCK_MPA = Sourced(28.0, "MPa", "bs-8500", "reinforced foundation, RC28/35", READ)
FLOOR_FCK_MPA = Sourced(25.0, "MPa", "bs-8500", "floor with fabric, RC25/30", READ)
GROUND_KN_PER_M3 = common_practice(18.0, "kN/m3", "Ground under a footing.")
WATER_KN_PER_M3 = common_practice(10.0, "kN/m3", "Taken off where water stands in the ground.")
LEAST_FILL_HELD_M = 0.01
# A wall that holds back more, or fill that stands this far above the footing, is not for a table.
GREATEST_FILL_HELD_M = 3.0
GREATEST_FILL_OVER_FOOTING_M = 5.0


def stand_checks(site: Site, works: Works, given: Given | None = None) -> tuple[Check, ...]:
    """Every check of strength that belongs to a scheme's works.

    site, works: levels and sizes in m.  given: instead of what the scenario says of the place, kPa, kN, degrees, m.
    Returns checks; their units are kN/m, kPa, MPa, kN m, kN, mm2, m.
    Raises ValueError where a figure given is out of its function's range.
    Source: that of each check.
    """
    given = given or site.scenario.given
    raft = "edge_width_m" in works.sizes
    walls = _wall_loads(site, works, given)
    checks = [_wall_load_check(site, walls)]
    checks += _edge_checks(site, works, walls, given) if raft else _footing_checks(site, works, walls, given)
    checks += _inside_wall_checks(site, works, walls, given, raft)
    checks += _slab_checks(site, works, given, raft)
    if not raft:
        checks.append(_joint_check(site, works))
        checks += _fill_checks(site, works)
    checks += _wind_checks(site, works, given, raft)
    return tuple(replace(check, method=METHOD) for check in checks)


def stand_assumptions(site: Site, given: Given | None = None) -> tuple[str, ...]:
    """What the checks of strength had to take for granted, in sentences (kPa, kN, MPa).

    site: the plot and building.  given: instead of what the scenario says of the place.
    Returns sentences that the page must show.
    Source: that of each figure named.
    """
    given = given or site.scenario.given
    building, region = site.scenario.building, site.scenario.region
    words = ["Weights of walls and roof are usual ones, the heavy end where the ground carries them and the light end where wind lifts. Sums of strength are those of the Eurocodes in every region."]
    if given.ground_snow_kpa is None:
        words.append(f"Snow on the ground is taken as {loads.GROUND_SNOW_KPA[region].value:.3g} kPa. {loads.GROUND_SNOW_KPA[region].note}")
    if given.wind_pressure_kpa is None:
        words.append(f"A gust is taken to press with {uplift.WIND_PRESSURE_KPA[region].value:.3g} kPa. {uplift.WIND_PRESSURE_KPA[region].note}")
    if given.foot_kn is None:
        use = loads.floor_use(building.use)
        words.append(f"The heaviest load on one spot of the floor is taken as {use.words}, {use.foot_kn.value:.3g} kN. Heavier ones need a thicker slab: ask {ENGINEER}.")
    words.append("Concrete is taken as RC28/35 in a raft, RC25/30 in a floor and C16/20 in a footing.")
    return tuple(words)


def wall_load_kn_per_m(site: Site, works: Works, given: Given | None = None) -> float:
    """What the heaviest wall brings to the top of the concrete, as tables of footings are entered.

    site, works: m.  given: instead of what the scenario says of the place, kPa.
    Returns kN/m, without factors.
    Raises ValueError for snow out of range.
    Source: `loads.wall_loads`.
    """
    return loads.heaviest(_wall_loads(site, works, given or site.scenario.given)).total_kn_per_m


def _n(value: float) -> str:
    """A figure as it stands in a working: three figures, no exponent."""
    return f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.3g}"


def _not_worked_out(name: str, sentence: str) -> Check:
    return Check(name, None, None, "", None, "not worked out", sentence, "", COMMON_PRACTICE)


def _wall_loads(site: Site, works: Works, given: Given) -> tuple[loads.WallLoad, ...]:
    above = works.sole_plate_m - works.floor_level_m
    if "edge_width_m" in works.sizes:
        masonry, height = common.UPSTAND_BLOCK_M.value, above
    else:
        masonry = works.sizes["block_thickness_m"]
        height = works.sole_plate_m - works.founding_level_m - works.sizes["footing_thickness_m"]
    return loads.wall_loads(
        site.scenario.building, site.plan, site.scenario.region, masonry, max(0.0, height), max(0.0, above), given.ground_snow_kpa,
        loads.eaves_overhang_m(site.scenario.drainage))


def _spread_kpa(site: Site) -> float:
    return loads.floor_use(site.scenario.building.use).spread_kpa.value


def _wall_load_check(site: Site, walls: tuple[loads.WallLoad, ...]) -> Check:
    worst = loads.heaviest(walls)
    parts = " + ".join(f"{part.words} {_n(part.permanent_kn_per_m + part.variable_kn_per_m)}" for part in worst.parts)
    check = check_at_most(
        "Load of the heaviest wall", worst.total_kn_per_m, site.rules.greatest_wall_load_kn_per_m,
        "Tables of footings end here; a heavier wall is for an engineer.", ENGINEER)
    return replace(check, working=f"{worst_of('wall', ((wall.side, wall.total_kn_per_m) for wall in walls))}: {parts} = {_n(worst.total_kn_per_m)} kN/m")


# Bearing


def _bearing_checks(site: Site, what: str, wall: loads.WallLoad, own_kn_per_m: float, floor_kn_per_m: float, width_m: float, depth_m: float, given: Given) -> list[Check]:
    """Pressure against the presumed bearing, and against strengths where they are given."""
    plot, name = site.scenario.plot, f"Pressure on the ground under the {what}"
    total = wall.total_kn_per_m + own_kn_per_m + floor_kn_per_m
    pressure = bearing.bearing_pressure_kpa(total, width_m)
    limit = bearing.presumed(plot.soil)
    if given.presumed_bearing_kpa is not None:
        limit = common_practice(given.presumed_bearing_kpa, "kPa", "The bearing given for this plot.")
    measured = given.friction_deg is not None or given.undrained_strength_kpa is not None
    checks = []
    if limit is not None:
        floor = f" + floor {_n(floor_kn_per_m)}" if floor_kn_per_m > 0.0 else ""
        checks.append(replace(
            check_at_most(name, pressure, limit, "Ground pressed harder than it may be presumed to bear settles, and unevenly.", ENGINEER),
            working=f"q = (wall {_n(wall.total_kn_per_m)} + own weight {_n(own_kn_per_m)}{floor}) kN/m / {_n(width_m)} m = {_n(pressure)} kPa"))
    elif not measured:
        checks.append(_not_worked_out(name, f"No bearing may be presumed for {plot.soil}. Have the ground looked at by {GROUND_ENGINEER} and give what is found."))
    if measured:
        checks.append(_strength_check(site, what, wall, own_kn_per_m, floor_kn_per_m, width_m, depth_m, given))
    return checks


def _strength_check(site, what, wall, own_kn_per_m, floor_kn_per_m, width_m, depth_m, given: Given) -> Check:
    wet = site.scenario.plot.water != "low"
    weight = GROUND_KN_PER_M3.value - (WATER_KN_PER_M3.value if wet else 0.0)
    beside = max(0.0, depth_m) * (bearing.DRY_SAND_KN_PER_M3_LEAST.value - (WATER_KN_PER_M3.value if wet else 0.0))
    permanent, variable = wall.permanent_kn_per_m + own_kn_per_m, wall.variable_kn_per_m + floor_kn_per_m
    used = bearing.strip_utilisation(permanent, variable, width_m, beside, given.friction_deg, given.undrained_strength_kpa, weight)
    limit = Sourced(1.0, "", "en-1997-1", "design approach 1, Annex D", MEMORY)
    strengths = [f"friction {_n(given.friction_deg)} degrees"] if given.friction_deg is not None else []
    strengths += [f"undrained strength {_n(given.undrained_strength_kpa)} kPa"] if given.undrained_strength_kpa is not None else []
    check = check_at_most(f"Share of the ground's strength used under the {what}", used, limit, "Ground loaded past its strength gives way sideways.", GROUND_ENGINEER)
    return replace(check, working=(
        f"B = {_n(width_m)} m, permanent {_n(permanent)} kN/m, variable {_n(variable)} kN/m, {', '.join(strengths)}, "
        f"ground {_n(weight)} kN/m3, beside it {_n(beside)} kPa: the worse of both combinations uses {_n(used)}"))


# Footing


def _footing_checks(site: Site, works: Works, walls: tuple[loads.WallLoad, ...], given: Given) -> list[Check]:
    sizes, worst = works.sizes, loads.heaviest(walls)
    width, thickness, wall_m = sizes["footing_width_m"], sizes["footing_thickness_m"], sizes["block_thickness_m"]
    depth = site.lowest_ground_m - works.founding_level_m
    checks = _bearing_checks(site, "footing", worst, loads.concrete_kn_per_m(width, thickness), 0.0, width, depth, given)
    checks.append(_width_check(site, worst.total_kn_per_m, width))
    projection = max(0.0, (width - wall_m) / 2.0)
    pressure = bearing.bearing_pressure_kpa(worst.factored_kn_per_m, width)
    least = concrete_section.plain_footing_least_thickness_m(projection, pressure, concrete_section.FOOTING_FCK_MPA.value)
    checks.append(replace(
        check_at_least("Footing thickness under its load", thickness, Sourced(least, "m", "en-1992-1-1", "12.9.3", MEMORY),
                       "Plain concrete that projects too far for its thickness breaks off along the wall.", ENGINEER),
        working=f"h >= a sqrt(9 q / fctd) / 0.85 with a = {_n(projection)} m, q = {_n(pressure)} kPa, "
                f"fctd = {_n(concrete_section.plain_tension_mpa(concrete_section.FOOTING_FCK_MPA.value))} MPa: {_n(least)} m"))
    checks.append(_not_worked_out(
        "Footing over a soft spot",
        "A plain strip footing is not made to span. Soft ground found in the trench is dug out and made good before the concrete goes in; ask the inspector to look."))
    return checks


def _width_check(site: Site, load_kn_per_m: float, width_m: float) -> Check:
    name, soil, region = "Footing width for the load worked out", site.scenario.plot.soil, site.rules.region
    table = ("irc", "R403.1.1, R401.4.1", READ) if region == "us" else ("approved-document-a", "2E Table 10", MEMORY)
    sentence = "The softer the ground and the heavier the wall, the wider its footing."
    try:
        least = r.footing_least_width_m(soil, load_kn_per_m, region)
    except ValueError as ends:
        if soil in ("peat", "made ground") or (region == "us" and bearing.presumed(soil) is None):
            return _not_worked_out(name, f"No footing width is held for {soil}: ask {ENGINEER}.")
        limit = Sourced(0.0, "m", *table)
        return Check(name, width_m, None, "m", None, "outside", sentence, limit.citation, limit.mark, ENGINEER, str(ends))
    check = check_at_least(name, width_m, Sourced(least, "m", *table), sentence, ENGINEER)
    return replace(check, working=f"{soil}, {_n(load_kn_per_m)} kN/m: {_n(least)} m")


# Raft's edge


def _edge_checks(site: Site, works: Works, walls: tuple[loads.WallLoad, ...], given: Given) -> list[Check]:
    sizes, worst = works.sizes, loads.heaviest(walls)
    width, depth, slab = sizes["edge_width_m"], sizes["edge_depth_m"], sizes["slab_thickness_m"]
    floor = _spread_kpa(site) * width
    deepest = loads.concrete_kn_per_m(width, sizes["deepest_edge_m"])
    into_ground = site.lowest_ground_m - works.founding_level_m
    checks = _bearing_checks(site, "edge", worst, deepest, floor, width, into_ground, given)

    # The haunch is a triangle that hangs on the edge.
    haunch = max(0.0, depth - slab)
    own = loads.concrete_kn_per_m(width, depth) + loads.concrete_kn_per_m(haunch, haunch / 2.0)
    line = loads.factored_kn_per_m(worst.permanent_kn_per_m + own, worst.variable_kn_per_m + floor)
    spanning = concrete_section.spanning_moment_knm(line, SOFT_SPAN_M.value)
    hanging = concrete_section.hanging_moment_knm(line, SOFT_CORNER_M.value)
    door = site.scenario.building.door_width_m
    post_kn = worst.factored_kn_per_m * door / 2.0
    sums = [
        ("Edge spanning a soft spot", spanning, f"M = w L2 / 8 = {_n(line)} kN/m x ({_n(SOFT_SPAN_M.value)} m)2 / 8 = {_n(spanning)} kN m",
         "An edge has to carry its wall over a soft spot of about 2 m that nobody found."),
        ("Edge hanging over a soft corner", hanging, f"M = w L2 / 2 = {_n(line)} kN/m x ({_n(SOFT_CORNER_M.value)} m)2 / 2 = {_n(hanging)} kN m",
         "An edge has to carry its wall out over a corner that has softened for about 1 m; the upper bars do it."),
    ]
    bed = _bed(site, works)
    if bed is not None:
        stiffness = concrete_section.stiffness_gpa(RAFT_FCK_MPA.value) * 1e6 * width * depth**3 / 12.0
        post = slab_on_ground.beam_on_ground_moment_knm(post_kn, stiffness, bed * 1000.0 * width)
        sums.append((
            "Edge under the post beside a door", post,
            f"P = {_n(worst.factored_kn_per_m)} kN/m x {_n(door)} m / 2 = {_n(post_kn)} kN; M = P / (4 wave) with E I = {_n(stiffness)} kN m2, "
            f"ground {_n(bed)} MN/m3: {_n(post)} kN m",
            "A post beside an opening brings the wall over the door down on one spot."))
    if not thickened_raft.choices(site).edge_bars:
        return checks + [_plain_edge_check(*each, width, depth) for each in sums]

    bars = thickened_raft.EDGE_BARS.value / 2.0
    steel = bars * bar_area_m2(thickened_raft.EDGE_BAR_DIAMETER_M.value)
    to_steel = depth - site.rules.fabric_cover_m.value - thickened_raft.LINK_DIAMETER_M.value - thickened_raft.EDGE_BAR_DIAMETER_M.value / 2.0
    found = concrete_section.bending(steel, width, to_steel, RAFT_FCK_MPA.value)
    capacity = Sourced(found.moment_knm, "kN m", "en-1992-1-1", "3.1.7, 6.1", MEMORY)
    takes = f"; takes {_n(steel * 1e6)} mm2 x 500 / 1.15 MPa x z {_n(found.lever_m)} m = {_n(found.moment_knm)} kN m"
    checks += [replace(check_at_most(name, moment, capacity, sentence, ENGINEER), working=working + takes) for name, moment, working, sentence in sums]
    shear = max(line * SOFT_SPAN_M.value / 2.0, line * SOFT_CORNER_M.value)
    shear_limit = concrete_section.shear_capacity_kn(steel, width, to_steel, RAFT_FCK_MPA.value)
    checks.append(replace(
        check_at_most("Shear in the edge beside a soft spot", shear, Sourced(shear_limit, "kN", "en-1992-1-1", "6.2.2", MEMORY),
                      "Concrete alone has to take it; the links are not counted.", ENGINEER),
        working=f"V = w L / 2 = {_n(line)} kN/m x {_n(SOFT_SPAN_M.value)} m / 2 = {_n(shear)} kN"))
    checks.append(_least_steel_check(steel, width, to_steel, max(spanning, hanging)))
    return checks


def _plain_edge_check(name: str, moment: float, working: str, sentence: str, width: float, depth: float) -> Check:
    """An edge without bars: what plain concrete takes, which is at best close, since it gives no warning."""
    capacity = Sourced(concrete_section.plain_moment_knm(width, depth, RAFT_FCK_MPA.value), "kN m", "en-1992-1-1", "12.3.1", MEMORY)
    check = check_at_most(name, moment, capacity, f"{sentence} Without bars it does so only while it has no crack.", ENGINEER)
    check = replace(check, working=f"{working}; plain concrete takes fctd b h2 / 6 = {_n(capacity.value)} kN m")
    return check if check.verdict == "outside" else replace(check, verdict="close")


def _least_steel_check(steel_m2: float, width: float, to_steel: float, moment: float) -> Check:
    least = concrete_section.least_tension_steel_m2(width, to_steel, RAFT_FCK_MPA.value)
    spare = concrete_section.SPARE_STEEL_SHARE.value * concrete_section.steel_for_moment_m2(moment, to_steel)
    asked = min(least, spare)
    check = check_at_least(
        "Steel in the edge", steel_m2 * 1e6, Sourced(asked * 1e6, "mm2", "en-1992-1-1", "9.2.1.1", MEMORY),
        "Too little steel snaps when the concrete cracks: there must be the least for the section, or a fifth more than the load asks.", ENGINEER)
    return replace(check, working=f"least = {_n(least * 1e6)} mm2; 1.2 x asked = {_n(spare * 1e6)} mm2; the smaller counts")


# Walls inside


def _inside_wall_checks(site: Site, works: Works, walls: tuple[loads.WallLoad, ...], given: Given, raft: bool) -> list[Check]:
    """What lies under a wall inside, which is taken to carry the roof from both sides."""
    lines = [line for line in works.lines if line.kind == common.MIDDLE_OF_INSIDE_WALL]
    if not lines:
        return []
    building = site.scenario.building
    above = max(0.0, works.sole_plate_m - works.floor_level_m)
    deepest = works.sole_plate_m - min(line.top_m for line in lines) if not raft else above
    masonry = common.UPSTAND_BLOCK_M.value if raft else works.sizes["inside_wall_m"]
    roof = next((wall.parts for wall in walls if wall.carries_roof), ())
    wall = loads.WallLoad("inside", True, (
        loads.Part("block wall below the sole plate", loads.blockwork_kn_per_m(masonry, deepest), 0.0),
        loads.Part(f"{building.walls} wall", loads.wall_weight_kpa(building.walls) * max(0.0, building.ridge_height_m - above), 0.0),
        *(replace(part, words=f"{part.words}, both sides", permanent_kn_per_m=2.0 * part.permanent_kn_per_m, variable_kn_per_m=2.0 * part.variable_kn_per_m)
          for part in roof if "wall" not in part.words)))
    underside = min(line.bottom_m for line in lines)
    depth = site.lowest_ground_m - underside
    if raft:
        width, thickness, floor = works.sizes["edge_width_m"], works.sizes["edge_depth_m"], _spread_kpa(site) * works.sizes["edge_width_m"]
        return _bearing_checks(site, "thickening of a wall inside", wall, loads.concrete_kn_per_m(width, thickness), floor, width, depth, given)
    width, thickness = works.sizes["footing_width_m"], works.sizes["footing_thickness_m"]
    return [
        *_bearing_checks(site, "footing of a wall inside", wall, loads.concrete_kn_per_m(width, thickness), 0.0, width, depth, given),
        replace(_width_check(site, wall.total_kn_per_m, width), name="Footing width of a wall inside"),
    ]


# Slab


def _bed(site: Site, works: Works) -> float | None:
    """Stiffness of what the slab lies on, MN/m3; None where no figure is held for the soil."""
    soil = site.scenario.plot.soil
    if soil not in slab_on_ground.BED_BY_SOIL:
        return None
    bed = slab_on_ground.bed_mn_per_m3(soil)
    board_m = works.sizes.get("insulation_thickness_m", 0.0)
    if board_m > 0.0:
        board = site.scenario.schemes[works.scheme].insulation
        bed = slab_on_ground.bed_under_insulation_mn_per_m3(bed, board_m, slab_on_ground.INSULATION_STIFFNESS_MPA[board].value)
    return bed


def _slab_checks(site: Site, works: Works, given: Given, raft: bool) -> list[Check]:
    use = loads.floor_use(site.scenario.building.use)
    bed = _bed(site, works)
    if bed is None:
        return [_not_worked_out("Slab under a load on one spot", f"No stiffness is held for {site.scenario.plot.soil}: ask {ENGINEER}.")]
    load = use.foot_kn.value if given.foot_kn is None else given.foot_kn
    foot = use.foot_m.value if given.foot_m is None else given.foot_m
    words = use.words if given.foot_kn is None else "the load given"
    fck, thickness = (RAFT_FCK_MPA if raft else FLOOR_FCK_MPA).value, works.slab_thickness_m
    spread = slab_on_ground.radius_of_stiffness_m(concrete_section.stiffness_gpa(fck), thickness, bed)
    patch = slab_on_ground.patch_radius_m(foot)
    limit = Sourced(concrete_section.plain_bending_strength_mpa(fck, thickness), "MPa", "en-1992-1-1", "3.1.8, with Westergaard's stresses", MEMORY)
    stresses = [("middle", slab_on_ground.interior_stress_mpa(load, patch, thickness, spread))]
    # A raft has no free edge as thin as its slab.
    if not raft:
        stresses.append(("edge", slab_on_ground.edge_stress_mpa(load, patch, thickness, spread)))
        stresses.append(("corner", slab_on_ground.corner_stress_mpa(load, patch, thickness, spread)))
    factor = loads.VARIABLE_FACTOR.value
    return [
        replace(
            check_at_most(f"Slab under {words}, {where}", factor * stress, limit,
                          "A slab pressed on one spot must stay uncracked, since its fabric only holds cracks together; a thicker slab is the usual cure.", ENGINEER),
            working=f"{_n(factor)} x {_n(stress)} MPa from {_n(load)} kN on a patch of radius {_n(patch)} m, h = {_n(thickness)} m, "
                    f"ground {_n(bed)} MN/m3, radius of stiffness {_n(spread)} m")
        for where, stress in stresses
    ]


def floor_panels(site: Site, works: Works) -> slab_on_ground.Panels:
    """Into how many panels joints cut a floor that lies between walls.

    site, works: of a scheme with walls on footings, m.
    Returns Panels, m; one panel means that its size asks for no joint.
    Raises KeyError for a raft, which has no joints.
    Source: as `slab_on_ground.panels`, with light fabric.
    """
    return slab_on_ground.panels(*_floor_size_m(site, works), slab_on_ground.FABRIC_PANEL_M.value)


def _floor_size_m(site: Site, works: Works) -> tuple[float, float]:
    wall = works.sizes["block_thickness_m"]
    length, breadth = (size - 2.0 * wall for size in site.plan.size_m())
    return length, breadth


def _joint_check(site: Site, works: Works) -> Check:
    """Advice: where a floor wants a joint; close where it wants one, since it holds only once it is cut."""
    limit = slab_on_ground.FABRIC_PANEL_M
    found, (length, breadth) = floor_panels(site, works), _floor_size_m(site, works)
    plain = slab_on_ground.joint_spacing_m(works.slab_thickness_m)
    check = check_at_most(
        "Floor in one piece, without a joint", length, limit,
        "A longer floor, one more than half as long again as it is wide, or one with a corner that points inward cracks of itself: "
        "a joint sawn or formed where the working says puts the crack in a straight line.")
    wanted = found.along > 1 or found.across > 1 or len(site.plan.corners) > 4
    inward = "; one more from each corner that points inward" if len(site.plan.corners) > 4 else ""
    return replace(check, verdict="close" if wanted else "within", ask="", working=(
        f"{_n(length)} x {_n(breadth)} m: {found.along} by {found.across} panels of {_n(found.length_m)} x {_n(found.breadth_m)} m, "
        f"joints: {found.along - 1} across the length, {found.across - 1} along it{inward}; without fabric every {_n(plain[0])} to {_n(plain[1])} m"))


# Fill behind the wall


def _fill_checks(site: Site, works: Works) -> list[Check]:
    sizes, fill = works.sizes, works.low_side_height_m
    if fill <= LEAST_FILL_HELD_M:
        return []
    depth = site.lowest_ground_m - works.founding_level_m
    friction = retaining.BASE_FRICTION_DEG.get(site.scenario.plot.soil)
    wall, width, thickness = sizes["block_thickness_m"], sizes["footing_width_m"], sizes["footing_thickness_m"]
    if friction is None or depth < thickness or fill > GREATEST_FILL_HELD_M or fill + depth > GREATEST_FILL_OVER_FOOTING_M:
        return [_not_worked_out("Wall holding back the fill under the floor", f"The sum does not reach to this ground, depth or height: ask {ENGINEER}.")]
    slab_kpa = loads.concrete_kn_per_m(1.0, works.slab_thickness_m)
    on_top = slab_kpa + _spread_kpa(site)
    above = max(0.0, works.sole_plate_m - works.floor_level_m)
    found, lasting = (retaining.wall_on_footing(wall, above, fill, depth, width, thickness, friction.value, kpa) for kpa in (on_top, slab_kpa))
    tension = retaining.stem_tension_mpa(wall, above, fill, on_top)
    name = "Wall holding back the fill"
    sliding = Sourced(found.grip_kn / retaining.SLIDING_MARGIN.value, "kN/m", None, "", COMMON_PRACTICE)
    turning = Sourced(found.holding_knm / retaining.OVERTURNING_MARGIN.value, "kN m/m", None, "", COMMON_PRACTICE)
    third = common_practice(width / 6.0, "m", "Within the middle third the whole footing stays pressed on the ground.")
    joint = Sourced(retaining.WALL_TENSION_MPA.value / retaining.WALL_FACTOR.value, "MPa", "en-1996-1-1", retaining.WALL_TENSION_MPA.clause, MEMORY)
    fill_words = f"fill {_n(fill)} m above the ground outside, {_n(on_top)} kPa on it"
    return [
        replace(check_at_most(f"{name}: sliding", found.push_kn, sliding, "Fill must not push the wall off its line; the frame's weight is not counted.", ENGINEER),
                working=f"{fill_words}: push {_n(found.push_kn)} kN/m; grip {_n(found.weight_kn)} x tan {_n(friction.value)} = {_n(found.grip_kn)} kN/m, over {_n(retaining.SLIDING_MARGIN.value)}"),
        replace(check_at_most(f"{name}: overturning", found.tipping_knm, turning, "Fill must not tip the wall over its footing's outer edge; the frame's weight is not counted.", ENGINEER),
                working=f"{fill_words}: tips {_n(found.tipping_knm)}, holds {_n(found.holding_knm)} kN m/m, over {_n(retaining.OVERTURNING_MARGIN.value)}"),
        replace(check_at_most(f"{name}: middle third", abs(lasting.off_centre_m), third,
                              "What is always there must come down in the middle third of the footing, or its other side lifts in time; "
                              "a wider footing or a lower floor is the usual cure.", ENGINEER),
                working=f"with {_n(slab_kpa)} kPa on the fill: "
                        f"e = {_n(width)} / 2 - ({_n(lasting.holding_knm)} - {_n(lasting.tipping_knm)}) / {_n(lasting.weight_kn)} = {_n(lasting.off_centre_m)} m; limit {_n(width)} / 6 m"),
        replace(check_at_most(f"{name}: bed joint at the ground outside", tension, joint, "Fill bends the wall outward; its own weight must keep the joint nearly closed.", ENGINEER),
                working=f"{fill_words}: tension {_n(tension)} MPa in a wall {_n(wall)} m thick; limit {_n(retaining.WALL_TENSION_MPA.value)} / {_n(retaining.WALL_FACTOR.value)} MPa"),
    ]


# Wind


def _wind_checks(site: Site, works: Works, given: Given, raft: bool) -> list[Check]:
    building, region, span = site.scenario.building, site.scenario.region, site.plan.size_m()[1]
    pressure = uplift.WIND_PRESSURE_KPA[region].value if given.wind_pressure_kpa is None else given.wind_pressure_kpa
    wide = bool(building.doors) and building.door_width_m >= uplift.WIDE_DOOR_M.value - 1e-9
    coefficient = (uplift.UPLIFT_OPEN if wide else uplift.UPLIFT_CLOSED).value
    above = max(0.0, works.sole_plate_m - works.floor_level_m)
    wall = uplift.light_wall_kn_per_m(building.walls, max(0.0, building.wall_height_m - above))
    roof = uplift.light_roof_kpa(building.roof_covering)
    overhang = loads.eaves_overhang_m(site.scenario.drainage)
    net = uplift.net_uplift_kn_per_m(pressure, coefficient, span, roof, wall, overhang)
    spacing = common.STRAP_SPACING_M.value
    pull = uplift.strap_pull_kn(net, spacing)
    lifts = (f"1.5 x {_n(pressure)} kPa x {_n(coefficient)} x ({_n(span)} / 2 + {_n(overhang)}) m "
             f"- 0.9 x (roof {_n(roof)} kPa and wall {_n(wall)} kN/m) = {_n(net)} kN/m")
    if raft:
        under = loads.concrete_kn_per_m(works.sizes["edge_width_m"], works.sizes["edge_depth_m"]) + loads.blockwork_kn_per_m(common.UPSTAND_BLOCK_M.value, above)
        held = "the edge and its course of block"
    else:
        height = works.sole_plate_m - works.founding_level_m - works.sizes["footing_thickness_m"]
        under = loads.blockwork_kn_per_m(works.sizes["block_thickness_m"], min(max(0.0, height), uplift.MASONRY_HELD_M.value))
        held = f"{_n(min(height, uplift.MASONRY_HELD_M.value))} m of block wall"
    holds = loads.HELPFUL_FACTOR.value * under
    return [
        replace(check_at_most("Pull of the wind in a holding-down strap", pull, uplift.STRAP_KN,
                              "A light building is tied down at the corners and along every wall, or a gale lifts it.", ENGINEER),
                working=f"{lifts}; x {_n(spacing)} m between straps = {_n(pull)} kN"),
        replace(check_at_most("Lift of the wind against what the straps hold on to", net, Sourced(holds, "kN/m", None, "", COMMON_PRACTICE),
                              "A strap is worth the weight that it hangs on to.", ENGINEER),
                working=f"{lifts}; against 0.9 x {_n(under)} kN/m of {held}"),
    ]
