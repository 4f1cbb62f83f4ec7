"""The rules of each region as data, and the small sums that they ask for.

A rule is a figure with its document, clause and mark, so that a page can show
what was taken and how well it is known.  A region without a figure of its own
borrows the British one and the note says that it is borrowed.  Nothing here
decides what may be built: local codes and the people who enforce them do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from calculators.soils import presumed_bearing_kpa, soil_named
from calculators.sources import (
    COMMON_PRACTICE,
    MEMORY,
    QUOTED,
    READ,
    Sourced,
    common_practice,
)

# Levels and loads come out of sums; a figure that meets a limit must not fall
# over it by the last binary digit.
TOLERANCE = 1e-9


@dataclass(frozen=True)
class WidthRow:
    """Least footing widths of one group of soils: (greatest wall load in kN/m, width in m), by rising load."""

    soils: tuple[str, ...]
    widths_m: tuple[tuple[float, float], ...]
    note: str = ""


@dataclass(frozen=True)
class HeightRule:
    """Greatest overall heights without planning permission, in metres above the highest ground beside the building."""

    near_boundary_m: Sourced
    low_m: Sourced
    dual_pitch_m: Sourced
    other_roof_m: Sourced
    eaves_m: Sourced


@dataclass(frozen=True)
class RuleSet:
    """Every rule of one region; lengths in metres, slopes as a gradient (rise over run)."""

    region: str
    title: str
    # Who to ask, in the words of the region
    building_authority: str
    planning_authority: str
    # Damp
    dpc_above_ground_m: Sourced
    floor_above_highest_ground_m: Sourced
    floor_above_ground_at_door_m: Sourced
    floor_above_ground_at_channel_m: Sourced
    floor_above_lowest_ground_m: Sourced
    membrane_thickness_m: Sourced
    membrane_lap_m: Sourced
    dpc_lap_m: Sourced
    # Stone and fill
    least_sub_base_m: Sourced
    greatest_fill_m: Sourced
    greatest_formation_gradient: Sourced
    edge_bed_m: Sourced
    edge_stone_within_m: Sourced
    edge_stone_close_m: Sourced
    least_shoulder_m: Sourced
    batter_run_per_rise: Sourced
    stone_lift_m: Sourced
    greatest_fill_layer_m: Sourced
    # How deep
    least_founding_depth_m: Sourced
    frost_depth_m: Sourced | None
    clay_depths_m: Mapping[str, Sourced]
    # Slabs and footings
    least_slab_m: Sourced
    least_footing_width_m: Sourced
    least_footing_thickness_m: Sourced
    footing_widths: tuple[WidthRow, ...]
    greatest_wall_load_kn_per_m: Sourced
    least_step_overlap_m: Sourced
    fabric_lap_m: Sourced
    fabric_cover_m: Sourced
    greatest_raft_side_m: Sourced
    # Walls that hold back ground, drops, slopes, heights
    retained_height_per_thickness: Sourced
    guard_from_m: Sourced
    greatest_clay_gradient: Sourced
    greatest_gradient: Sourced
    height: HeightRule | None


_TABLE_10 = (
    WidthRow(("rock", "gravel", "dense sand", "medium sand", "stiff clay"),
             ((20.0, 0.25), (30.0, 0.30), (40.0, 0.40), (50.0, 0.50), (60.0, 0.60), (70.0, 0.65)),
             "Rock is taken with gravel, which asks no less."),
    WidthRow(("firm clay",),
             ((20.0, 0.30), (30.0, 0.35), (40.0, 0.45), (50.0, 0.60), (60.0, 0.75), (70.0, 0.85))),
    WidthRow(("loose sand",), ((20.0, 0.40), (30.0, 0.60))),
    WidthRow(("soft clay", "silt", "unknown"), ((20.0, 0.45), (30.0, 0.65)),
             "Unknown ground is taken as soft clay."),
)

_BORROWED = "Borrowed: this region's own figure was not found. Check locally."


def _borrowed(figure: Sourced) -> Sourced:
    """The same figure in a region that its document does not rule."""
    return replace(figure, note=f"{figure.note} {_BORROWED}".strip())


ENGLAND = RuleSet(
    region="england",
    title="England",
    building_authority="the local authority's building control, or a registered approver",
    planning_authority="the local planning authority",
    dpc_above_ground_m=Sourced(0.150, "m", "nhbc-standards", "5.1.19, 5.1.20", READ),
    floor_above_highest_ground_m=common_practice(0.050, "m", "Slab top above the highest finished ground, for a raft or an insulated slab, so that water runs away."),
    floor_above_ground_at_door_m=common_practice(0.050, "m", "Floor above the ground at a door without a channel drain."),
    floor_above_ground_at_channel_m=common_practice(0.0, "m", "Floor level with the ground at a door, behind a channel drain."),
    floor_above_lowest_ground_m=common_practice(0.050, "m", "So that drains find daylight."),
    membrane_thickness_m=Sourced(0.0003, "m", "nhbc-standards", "5.1.20", READ, "Sold as 1200 gauge; 1000 gauge is 0.25 mm."),
    membrane_lap_m=Sourced(0.300, "m", "nhbc-standards", "5.1.20", READ, "Other documents ask for 150 mm."),
    dpc_lap_m=Sourced(0.100, "m", "nhbc-standards", "5.1.20", READ),
    least_sub_base_m=Sourced(0.150, "m", "tgd-c", "3.1.4(b)", READ, "Irish guidance; common practice in England, where no least figure in law was found."),
    greatest_fill_m=Sourced(0.600, "m", "nhbc-standards", "5.1.4, 5.1.7", READ, "Deeper at any point: a suspended floor over the whole area."),
    greatest_formation_gradient=common_practice(0.1, "gradient", "Steeper than 1 in 10 the formation is cut into benches."),
    edge_bed_m=common_practice(0.150, "m", "Stone bed under a raft's edge."),
    edge_stone_within_m=common_practice(0.150, "m", "Stone under an edge beyond its bed that raises no question."),
    edge_stone_close_m=common_practice(0.300, "m", "Stone under an edge beyond its bed above which an engineer is asked."),
    least_shoulder_m=common_practice(0.500, "m", "Level stone outside an edge, and no less than the fill is high under it."),
    batter_run_per_rise=common_practice(1.5, "", "Sloped face of stone: 1 up to 1.5 out."),
    stone_lift_m=common_practice(0.100, "m", "The layer a hired plate can compact."),
    greatest_fill_layer_m=Sourced(0.225, "m", "nhbc-standards", "5.1.8", READ, "The most that any plant may be given to compact in one layer."),
    least_founding_depth_m=common_practice(0.450, "m", "Underside of a footing below the lower of existing and finished ground, whatever the soil."),
    frost_depth_m=Sourced(0.450, "m", "nhbc-standards", "4.3.3, 4.4.3", READ, "For ground that frost lifts; rafts too. Colder places need more."),
    clay_depths_m={
        "low": Sourced(0.75, "m", "nhbc-standards", "4.3.3 Table 1", MEMORY, "No trees near, now or lately."),
        "medium": Sourced(0.90, "m", "nhbc-standards", "4.3.3 Table 1", MEMORY, "No trees near, now or lately."),
        "high": Sourced(1.00, "m", "nhbc-standards", "4.3.3 Table 1", MEMORY, "No trees near, now or lately."),
    },
    least_slab_m=Sourced(0.100, "m", "approved-document-c", "ground-supported floors", MEMORY),
    least_footing_width_m=common_practice(0.450, "m", "A digger's trenching bucket."),
    least_footing_thickness_m=Sourced(0.150, "m", "approved-document-a", "2E", MEMORY),
    footing_widths=_TABLE_10,
    greatest_wall_load_kn_per_m=Sourced(70.0, "kN/m", "approved-document-a", "2E Table 10", MEMORY, "The table ends here."),
    least_step_overlap_m=Sourced(0.300, "m", "nhbc-standards", "4.3.8", READ),
    fabric_lap_m=common_practice(0.400, "m", "Two squares of mesh."),
    fabric_cover_m=common_practice(0.050, "m", "Concrete between steel and form or blinding."),
    greatest_raft_side_m=common_practice(10.0, "m", "A raft without a joint through its steel."),
    retained_height_per_thickness=Sourced(4.0, "", "nhbc-standards", "5.1.4", READ, "Ground held back below the damp-proof course, in wall thicknesses."),
    guard_from_m=Sourced(0.600, "m", "approved-document-k", "K2", MEMORY, "Drop at which a guard is priced."),
    greatest_clay_gradient=common_practice(1.0 / 7.0, "gradient", "Clay steeper than this may creep: ask an engineer."),
    greatest_gradient=common_practice(1.0 / 5.0, "gradient", "Any ground steeper than this: ask an engineer."),
    height=HeightRule(
        near_boundary_m=Sourced(2.0, "m", "gpdo", "E.1", QUOTED),
        low_m=Sourced(2.5, "m", "gpdo", "E.1", QUOTED, "Within 2 m of a boundary."),
        dual_pitch_m=Sourced(4.0, "m", "gpdo", "E.1", QUOTED),
        other_roof_m=Sourced(3.0, "m", "gpdo", "E.1", QUOTED),
        eaves_m=Sourced(2.5, "m", "gpdo", "E.1", QUOTED),
    ),
)


def _borrow_all(rules: RuleSet, **own: object) -> RuleSet:
    """England's rules, each published figure marked as borrowed, with a region's own put in."""
    borrowed: dict[str, object] = {}
    for name, figure in vars(rules).items():
        if isinstance(figure, Sourced) and figure.document is not None:
            borrowed[name] = _borrowed(figure)
    borrowed["clay_depths_m"] = {key: _borrowed(depth) for key, depth in rules.clay_depths_m.items()}
    borrowed["height"] = None
    return replace(rules, **(borrowed | own))


IRELAND = _borrow_all(
    ENGLAND,
    region="ireland",
    title="Ireland",
    building_authority="the local building control authority",
    planning_authority="the local planning authority",
    least_sub_base_m=Sourced(0.150, "m", "tgd-c", "3.1.4(b)", READ),
)

EUROCODE = _borrow_all(
    ENGLAND,
    region="eurocode",
    title="Eurocode countries",
    building_authority="the local building authority",
    planning_authority="the local planning authority",
    frost_depth_m=Sourced(0.450, "m", None, "", COMMON_PRACTICE,
                          "A mild coast. Frost goes to 0.8 m and deeper in much of Europe: ask locally and give the depth."),
)

US = _borrow_all(
    ENGLAND,
    region="us",
    title="United States",
    building_authority="the local building department",
    planning_authority="the local zoning office",
    greatest_fill_m=Sourced(0.6096, "m", "irc", "R506.2.1", MEMORY, "24 in of sand or gravel. Earth fill only to 8 in."),
    least_founding_depth_m=Sourced(0.3048, "m", "irc", "R403.1.4", READ, "12 in below undisturbed ground."),
    # A frost line belongs to a place, not to a country, so the reader must give it.
    frost_depth_m=None,
    least_slab_m=Sourced(0.0889, "m", "irc", "R506.1", READ, "3.5 in."),
    least_footing_width_m=Sourced(0.3048, "m", "irc", "R403.1.1", READ, "12 in."),
    least_footing_thickness_m=Sourced(0.1524, "m", "irc", "R403.1.1", READ, "6 in."),
    greatest_formation_gradient=Sourced(0.1, "gradient", "irc", "R403.1.5", READ, "Steeper than 1 in 10 the bottom is stepped."),
    guard_from_m=common_practice(0.600, "m", "Drop at which a guard is priced; the code asks for one from 30 in, from memory."),
)

RULES: dict[str, RuleSet] = {rules.region: rules for rules in (ENGLAND, IRELAND, US, EUROCODE)}

# The exception of IRC R403.1.4.1 for small accessory buildings.
FROST_EXCEPTION_AREA_M2 = Sourced(55.741824, "m2", "irc", "R403.1.4.1", MEMORY, "600 square feet.")
FROST_EXCEPTION_EAVES_M = Sourced(3.048, "m", "irc", "R403.1.4.1", MEMORY, "10 ft.")

TRENCH_FILL_LEAST_OVERLAP_M = Sourced(1.0, "m", "nhbc-standards", "4.3.8", READ)
TRENCH_FILL_LEAST_THICKNESS_M = Sourced(0.500, "m", "approved-document-a", "2E", MEMORY)
WARRANTY_OVERLAP_THICKNESS_CAP_M = Sourced(0.500, "m", "nhbc-standards", "4.3.8", READ, "The warranty rule counts no more thickness than this; it is not used here, which is the cautious way.")
US_LEAST_PROJECTION_M = Sourced(0.0508, "m", "irc", "R403.1.1", READ, "2 in.")

# (plate's mass per area from, kg/m2) -> {lift in m: passes}; a lift that is missing must not be used.
PLATE_PASSES: tuple[tuple[float, dict[float, int]], ...] = (
    (1800.0, {0.100: 3, 0.150: 5, 0.200: 7}),
    (1400.0, {0.100: 5}),
)
PLATE_PASSES_SOURCE = Sourced(1800.0, "kg/m2", "sror", "Table A8.1", READ, "Granular layers; passes by mass of plate and thickness of layer.")


def rules_for(region: str) -> RuleSet:
    """The rules of a region.

    region: england, ireland, us or eurocode (words, no unit).
    Returns a RuleSet: lengths in m, loads in kN/m, each with its source.
    Raises ValueError for any other word.
    Source: see each figure.

    >>> rules_for("england").greatest_fill_m.value
    0.6
    >>> rules_for("mars")
    Traceback (most recent call last):
    ...
    ValueError: no rules are held for 'mars'; the region must be one of england, ireland, us, eurocode
    """
    if region not in RULES:
        raise ValueError(f"no rules are held for {region!r}; the region must be one of {', '.join(RULES)}")
    return RULES[region]


def frost_susceptible(soil: str) -> bool:
    """Whether frost lifts a soil.

    soil: its name (no unit).  Returns True or False; unknown ground counts as True.
    Raises ValueError for an unknown name.
    Source: common practice, no source; the reason is in the soil's record.

    >>> frost_susceptible("silt"), frost_susceptible("gravel")
    (True, False)
    """
    return bool(soil_named(soil).frost_susceptible.value)


def frost_depth_excepted(region: str, heated: bool, area_m2: float, eaves_height_m: float, light_frame: bool) -> bool:
    """Whether a small outbuilding is let off the frost depth.

    region: its rules.  heated: True when it is kept warm; the exception is then not used.
    area_m2: plan area, m2, above 0.  eaves_height_m: floor to eaves, m, above 0.
    light_frame: True for timber or light steel framing.
    Returns True only in the us, up to 600 square feet and 10 ft of eaves, inclusive.
    Raises ValueError for an area or height of 0 or less, or an unknown region.
    Source: IRC R403.1.4.1, from memory; towns amend it, so check locally.

    >>> frost_depth_excepted("us", False, 28.0, 2.4, True)
    True
    >>> frost_depth_excepted("us", True, 28.0, 2.4, True)
    False
    >>> frost_depth_excepted("england", False, 28.0, 2.4, True)
    False
    """
    if area_m2 <= 0.0 or eaves_height_m <= 0.0:
        raise ValueError(f"area and eaves height must be above 0, not {area_m2} m2 and {eaves_height_m} m")
    return (
        rules_for(region).region == "us"
        and not heated
        and light_frame
        and area_m2 <= FROST_EXCEPTION_AREA_M2.value + TOLERANCE
        and eaves_height_m <= FROST_EXCEPTION_EAVES_M.value + TOLERANCE
    )


def frost_founding_depth_m(region: str, soil: str, given_frost_depth_m: float | None = None, excepted: bool = False) -> float:
    """Depth to which a foundation must go because of frost.

    region, soil: their names.  given_frost_depth_m: the reader's own frost depth, m,
    0 to 3, or None.  excepted: what `frost_depth_excepted` said.
    Returns depth below ground, m; 0 where frost asks nothing: ground that frost does
    not lift (outside the us), rock, or an excepted building.
    Raises ValueError where the region has no frost depth and none is given, or the
    depth given is out of range.
    Source: NHBC Standards 4.3.3 and 4.4.3 (read); IRC R403.1.4 for a frost line that
    holds whatever the soil (read), rock excepted (from memory).

    >>> frost_founding_depth_m("england", "firm clay")
    0.45
    >>> frost_founding_depth_m("england", "gravel")
    0.0
    >>> frost_founding_depth_m("us", "gravel", 1.0668)
    1.0668
    >>> frost_founding_depth_m("us", "gravel")
    Traceback (most recent call last):
    ...
    ValueError: United States has no single frost depth: give the frost depth of the place, which the local building department will tell you
    """
    rules = rules_for(region)
    lifts = frost_susceptible(soil)
    if given_frost_depth_m is not None and not 0.0 <= given_frost_depth_m <= 3.0:
        raise ValueError(f"a frost depth must be 0 to 3 m, not {given_frost_depth_m} m")
    if excepted or soil == "rock":
        return 0.0
    if rules.frost_depth_m is None:
        if given_frost_depth_m is None:
            raise ValueError(
                f"{rules.title} has no single frost depth: give the frost depth of the place, which {rules.building_authority} will tell you"
            )
        return given_frost_depth_m
    if not lifts:
        return 0.0
    return rules.frost_depth_m.value if given_frost_depth_m is None else given_frost_depth_m


def clay_depth_m(shrinkage: str, region: str = "england") -> float:
    """Least founding depth in shrinkable clay without trees.

    shrinkage: low, medium, high or unknown; unknown counts as high.  region: its rules.
    Returns depth below ground, m.
    Raises ValueError for any other word.
    Source: NHBC Standards 4.3.3 Table 1, from memory (the ends as quoted elsewhere).

    >>> clay_depth_m("low"), clay_depth_m("unknown")
    (0.75, 1.0)
    """
    return clay_depth_rule(shrinkage, region).value


def clay_depth_rule(shrinkage: str, region: str = "england") -> Sourced:
    """The figure behind `clay_depth_m`, with its source.

    shrinkage: low, medium, high or unknown.  region: its rules.
    Returns a Sourced depth, m.
    Raises ValueError for any other word.
    Source: NHBC Standards 4.3.3 Table 1, from memory.

    >>> clay_depth_rule("medium").citation
    'NHBC Standards, 4.3.3 Table 1 (memory)'
    """
    depths = rules_for(region).clay_depths_m
    counted_as = "high" if shrinkage == "unknown" else shrinkage
    if counted_as not in depths:
        raise ValueError(f"shrinkage must be low, medium, high or unknown, not {shrinkage!r}")
    return depths[counted_as]


def founding_depth_rules(
    region: str, soil: str, shrinkage: str, given_frost_depth_m: float | None = None, frost_excepted: bool = False
) -> dict[str, Sourced]:
    """Every founding depth that applies to a footing, by reason; the deepest governs.

    region, soil, shrinkage: their names.  given_frost_depth_m: m, 0 to 3, or None.
    frost_excepted: what `frost_depth_excepted` said.
    Returns depths, m, under the keys "any soil", "frost", "clay"; a reason that does
    not apply is left out.
    Raises ValueError as `frost_founding_depth_m` and `clay_depth_rule` do.
    Source: that of each figure returned; a reader's own frost depth carries none.

    >>> {why: depth.value for why, depth in founding_depth_rules("england", "firm clay", "medium").items()}
    {'any soil': 0.45, 'frost': 0.45, 'clay': 0.9}
    >>> list(founding_depth_rules("england", "gravel", "low"))
    ['any soil']
    """
    rules = rules_for(region)
    depths = {"any soil": rules.least_founding_depth_m}
    frost_m = frost_founding_depth_m(region, soil, given_frost_depth_m, frost_excepted)
    if frost_m > 0.0:
        own = common_practice(frost_m, "m", "The frost depth given for this place.")
        depths["frost"] = own if given_frost_depth_m is not None or rules.frost_depth_m is None else rules.frost_depth_m
    if soil_named(soil).shrinkable:
        depths["clay"] = clay_depth_rule(shrinkage, region)
    return depths


def retained_ground_limit_m(wall_thickness_m: float, region: str = "england") -> float:
    """Greatest height of ground a wall below the damp-proof course may hold back.

    wall_thickness_m: m, 0.05 to 0.6.  region: its rules.
    Returns height, m: four thicknesses; above that an engineer is asked.
    Raises ValueError outside that range.
    Source: NHBC Standards 5.1.4 (read).

    >>> retained_ground_limit_m(0.14)
    0.56
    """
    if not 0.05 <= wall_thickness_m <= 0.6:
        raise ValueError(f"a wall must be 50 to 600 mm thick for this rule, not {wall_thickness_m * 1000:g} mm")
    return rules_for(region).retained_height_per_thickness.value * wall_thickness_m


def greatest_footing_load_kn_per_m(soil: str, region: str = "england") -> float:
    """The greatest wall load for which a footing's width is held on a soil.

    soil: its name.  region: its rules.  Returns kN per m run.
    Raises KeyError for a region that is not known.
    Source: as `footing_least_width_m`.

    >>> greatest_footing_load_kn_per_m("loose sand"), greatest_footing_load_kn_per_m("firm clay")
    (30.0, 70.0)
    """
    rules = rules_for(region)
    ends = [row.widths_m[-1][0] for row in rules.footing_widths if soil in row.soils]
    return min([rules.greatest_wall_load_kn_per_m.value, *ends])


def footing_least_width_m(soil: str, load_kn_per_m: float, region: str = "england") -> float:
    """Least width of a strip footing for the soil under it and the load of its wall.

    soil: its name.  load_kn_per_m: wall load, kN per m run, 0 to 70.  region: its rules.
    Returns width, m.  Loads between columns of the table take the next column up.
    The us width is load over the presumed bearing of the soil, and 12 in at least.
    Raises ValueError above the last load of the table for that soil, for peat and made
    ground, and in the us for soils without a presumed bearing.
    Source: Approved Document A (2004, amended 2013) 2E Table 10, from memory;
    IRC R403.1.1 and R401.4.1 (read) for the us.

    >>> footing_least_width_m("firm clay", 20.0)
    0.3
    >>> footing_least_width_m("firm clay", 21.0)
    0.35
    >>> footing_least_width_m("loose sand", 45.0)
    Traceback (most recent call last):
    ...
    ValueError: on loose sand the table of footing widths ends at 30 kN/m, and this wall brings 45 kN/m: ask an engineer
    """
    rules = rules_for(region)
    if not load_kn_per_m >= 0.0:
        raise ValueError(f"a wall load must be 0 kN/m or more, not {load_kn_per_m} kN/m")
    if load_kn_per_m > rules.greatest_wall_load_kn_per_m.value + TOLERANCE:
        raise ValueError(f"no width is given for a wall load over {rules.greatest_wall_load_kn_per_m.value:g} kN/m, and this wall brings {load_kn_per_m:g} kN/m: ask an engineer")
    if rules.region == "us":
        return max(rules.least_footing_width_m.value, load_kn_per_m / presumed_bearing_kpa(soil))
    soil_named(soil)  # refuses a name that is no soil, as the table alone would not
    row = next((row for row in rules.footing_widths if soil in row.soils), None)
    if row is None:
        raise ValueError(f"no footing width is given for {soil}: ask an engineer")
    for greatest_load, width_m in row.widths_m:
        if load_kn_per_m <= greatest_load + TOLERANCE:
            return width_m
    raise ValueError(f"on {soil} the table of footing widths ends at {row.widths_m[-1][0]:g} kN/m, and this wall brings {load_kn_per_m:g} kN/m: ask an engineer")


def footing_least_thickness_m(projection_m: float, region: str = "england") -> float:
    """Least thickness of a plain strip footing, so that load spreads at 45 degrees.

    projection_m: concrete beyond the face of the wall on one side, m, 0 or more.
    region: its rules.
    Returns thickness, m: the projection, and 150 mm at least (6 in in the us).
    Raises ValueError for a negative projection.
    Source: Approved Document A (2004, amended 2013) 2E, from memory; IRC R403.1.1 (read).

    >>> footing_least_thickness_m(0.155)
    0.155
    >>> footing_least_thickness_m(0.1)
    0.15
    """
    if not projection_m >= 0.0:
        raise ValueError(f"a footing's projection must be 0 m or more, not {projection_m} m")
    return max(projection_m, rules_for(region).least_footing_thickness_m.value)


def footing_greatest_step_m(thickness_m: float) -> float:
    """Greatest height of one step in a strip footing.

    thickness_m: thickness of the footing, m, above 0.
    Returns step height, m: no more than the thickness.
    Raises ValueError for a thickness of 0 or less.
    Source: Approved Document A (2004, amended 2013) 2E, from memory; NHBC Standards 4.3.8 (read).

    >>> footing_greatest_step_m(0.225)
    0.225
    """
    if not thickness_m > 0.0:
        raise ValueError(f"a footing's thickness must be above 0 m, not {thickness_m} m")
    return thickness_m


def footing_step_overlap_m(step_m: float, thickness_m: float, region: str = "england") -> float:
    """Length by which the upper bench of a strip footing runs over the lower one at a step.

    step_m: height of the step, m, above 0 and at most the thickness.
    thickness_m: thickness of the footing, m, above 0.  region: its rules.
    Returns overlap, m: the greatest of two steps, the thickness, and 300 mm.
    Raises ValueError for a step of 0 or less, or higher than the footing is thick.
    Source: NHBC Standards 4.3.8 (read) without its cap on the thickness;
    Approved Document A (2004, amended 2013) 2E, from memory.

    >>> footing_step_overlap_m(0.15, 0.2)
    0.3
    >>> footing_step_overlap_m(0.225, 0.225)
    0.45
    """
    if not 0.0 < step_m <= footing_greatest_step_m(thickness_m) + TOLERANCE:
        raise ValueError(f"a step must be above 0 and no higher than the footing is thick ({thickness_m:g} m), not {step_m:g} m")
    return max(2.0 * step_m, thickness_m, rules_for(region).least_step_overlap_m.value)


def trench_fill_step_overlap_m(step_m: float) -> float:
    """Length by which the upper bench of a trench fill footing runs over the lower one at a step.

    step_m: height of the step, m, above 0 and at most 2.
    Returns overlap, m: two steps, and 1 m at least.
    Raises ValueError outside that range.
    Source: NHBC Standards 4.3.8 (read).

    >>> trench_fill_step_overlap_m(0.3)
    1.0
    """
    if not 0.0 < step_m <= 2.0:
        raise ValueError(f"a step must be above 0 and at most 2 m, not {step_m:g} m")
    return max(2.0 * step_m, TRENCH_FILL_LEAST_OVERLAP_M.value)


def least_shoulder_m(fill_under_edge_m: float, region: str = "england") -> float:
    """Least level width of stone outside an edge before the batter starts.

    fill_under_edge_m: stone under the edge, m, 0 or more.  region: its rules.
    Returns width, m: as much as the fill is high, and 500 mm at least.
    Raises ValueError for a negative height.
    Source: common practice, no source.

    >>> least_shoulder_m(0.3), least_shoulder_m(0.7)
    (0.5, 0.7)
    """
    if not fill_under_edge_m >= 0.0:
        raise ValueError(f"fill under an edge must be 0 m or more, not {fill_under_edge_m} m")
    return max(rules_for(region).least_shoulder_m.value, fill_under_edge_m)


def overall_height_limit(region: str, boundary_distance_m: float, roof_shape: str) -> Sourced | None:
    """Greatest overall height without asking for planning permission.

    region: its rules.  boundary_distance_m: nearest boundary, m, 0 or more (infinity
    where none is near).  roof_shape: pitched (two slopes), mono-pitch or flat.
    Returns a Sourced height, m, above the highest ground beside the building, or None
    where no figure is held for the region.
    Raises ValueError for a negative distance.
    Source: General Permitted Development Order (England), Class E, as quoted in guidance.
    It changes: check locally.

    >>> overall_height_limit("england", 1.5, "pitched").value
    2.5
    >>> overall_height_limit("england", 3.0, "pitched").value
    4.0
    >>> overall_height_limit("england", 3.0, "flat").value
    3.0
    >>> overall_height_limit("ireland", 3.0, "flat") is None
    True
    """
    if not boundary_distance_m >= 0.0:
        raise ValueError(f"the distance to a boundary must be 0 m or more, not {boundary_distance_m} m")
    height = rules_for(region).height
    if height is None:
        return None
    # A building exactly at the distance counts as near, which is the cautious reading.
    if boundary_distance_m <= height.near_boundary_m.value + TOLERANCE:
        return height.low_m
    return height.dual_pitch_m if roof_shape == "pitched" else height.other_roof_m


def overall_height_limit_m(region: str, boundary_distance_m: float, roof_shape: str) -> float:
    """The figure of `overall_height_limit` alone; infinite where no figure is held.

    region, boundary_distance_m (m), roof_shape: as there.
    Returns height, m, above the highest ground beside the building.
    Raises ValueError for a negative distance.
    Source: General Permitted Development Order (England), Class E, as quoted in guidance.

    >>> overall_height_limit_m("england", 2.0, "mono-pitch")
    2.5
    """
    limit = overall_height_limit(region, boundary_distance_m, roof_shape)
    return math.inf if limit is None else limit.value


def compaction_passes(plate_kg_per_m2: float, lift_m: float) -> int:
    """Passes of a plate compactor over one layer of granular stone.

    plate_kg_per_m2: mass of the plate over its area, kg/m2, 1400 or more.
    lift_m: compacted thickness of the layer, m, above 0 and at most 0.2.
    Returns the number of passes (no unit); a layer between rows counts as the thicker.
    Raises ValueError for a plate too light to be in the table, or a layer it cannot compact.
    Source: Specification for the Reinstatement of Openings in Roads (Scotland), Table A8.1 (read).

    >>> compaction_passes(1900.0, 0.15)
    5
    >>> compaction_passes(1500.0, 0.1)
    5
    >>> compaction_passes(1500.0, 0.15)
    Traceback (most recent call last):
    ...
    ValueError: a plate of 1500 kg/m2 must not be used on a layer of 150 mm; it can do 100 mm
    """
    if not lift_m > 0.0:
        raise ValueError(f"a layer must be thicker than 0 m, not {lift_m} m")
    for index, (from_kg_per_m2, passes_by_lift) in enumerate(PLATE_PASSES):
        # The heaviest class is above its mass, the next from its mass up.
        in_class = plate_kg_per_m2 > from_kg_per_m2 if index == 0 else plate_kg_per_m2 >= from_kg_per_m2
        if in_class:
            for row_lift_m, passes in passes_by_lift.items():
                if lift_m <= row_lift_m + TOLERANCE:
                    return passes
            raise ValueError(f"a plate of {plate_kg_per_m2:g} kg/m2 must not be used on a layer of {lift_m * 1000:g} mm; it can do {max(passes_by_lift) * 1000:g} mm")
    raise ValueError(f"a plate of {plate_kg_per_m2:g} kg/m2 is too light for the table, which starts at {PLATE_PASSES[-1][0]:g} kg/m2")
