"""What a small building weighs on its foundation: walls, roof, snow, floor.

Worked out from plain choices, since the building above is seldom designed when
its foundation is.  Every weight has a light end, for wind that lifts, and a
heavy end, for ground that carries.  Snow, wind and floor loads differ from
place to place: those given here are stand-ins until somebody local is asked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from calculators.materials import DENSE_BLOCK_KG_PER_M3, REINFORCED_CONCRETE_KN_PER_M3
from calculators.plan import Plan, Side
from calculators.scenario import Building, Drainage
from calculators.sources import MEMORY, QUOTED, Sourced, common_practice

GRAVITY_KN_PER_T = 9.81

PERMANENT_FACTOR = Sourced(1.35, "", "en-1990", "Table A1.2(B), expression 6.10", MEMORY, "On what is always there, where it does harm.")
VARIABLE_FACTOR = Sourced(1.5, "", "en-1990", "Table A1.2(B), expression 6.10", MEMORY, "On what comes and goes, where it does harm.")
HELPFUL_FACTOR = Sourced(0.9, "", "en-1990", "Table A1.2(A)", MEMORY, "On weight that holds the building down.")

# Snow
SNOW_FULL_TO_DEG = Sourced(30.0, "degrees", "en-1991-1-3", "5.3, Table 5.2", MEMORY)
SNOW_NONE_FROM_DEG = Sourced(60.0, "degrees", "en-1991-1-3", "5.3, Table 5.2", MEMORY)
SNOW_SHAPE = Sourced(0.8, "", "en-1991-1-3", "5.3, Table 5.2", MEMORY, "Roof snow over ground snow on slopes up to 30 degrees.")
_ASK_SNOW = "A stand-in: high ground and the east and north have more. Ask locally."
GROUND_SNOW_KPA: dict[str, Sourced] = {
    "england": common_practice(0.6, "kPa", f"Low ground. {_ASK_SNOW}"),
    "ireland": common_practice(0.5, "kPa", f"Low ground. {_ASK_SNOW}"),
    "us": Sourced(1.43640776, "kPa", "irc", "R403.1(1), the column for 30 psf", QUOTED, "A stand-in; snow runs from nothing to several times this. Ask locally."),
    "eurocode": common_practice(1.0, "kPa", "A stand-in; mountains and the north have several times this. Ask locally."),
}

# People and ladders on the roof; never together with snow
_UK_ROOF = Sourced(0.6, "kPa", "uk-na-1991-1-1", "roofs reached for repair only", MEMORY)
ROOF_ACCESS_KPA: dict[str, Sourced] = {
    "england": _UK_ROOF,
    "ireland": _UK_ROOF,
    "us": Sourced(0.95760518, "kPa", "irc", "R301.6", MEMORY, "20 psf."),
    "eurocode": Sourced(0.4, "kPa", "en-1991-1-1", "Table 6.10", MEMORY),
}

EAVES_OVERHANG_M = common_practice(0.3, "m", "Roof beyond the face of the wall.")


def eaves_overhang_m(drainage: Drainage) -> float:
    """How far the roof stands out beyond the walls: as the reader says for the rain it catches, or the usual.

    drainage: of the scenario, m.  Returns m.  Raises nothing.
    Source: the reader, or common practice.

    >>> eaves_overhang_m(Drainage()), eaves_overhang_m(Drainage(overhang_m=0.5))
    (0.3, 0.5)
    """
    return EAVES_OVERHANG_M.value if drainage.overhang_m is None else drainage.overhang_m


@dataclass(frozen=True)
class Weight:
    """Weight of a square metre: its light end and its heavy end, kPa."""

    light: Sourced
    heavy: Sourced


def _weight(light_kpa: float, heavy_kpa: float, of: str) -> Weight:
    return Weight(common_practice(light_kpa, "kPa", f"{of}, light end."), common_practice(heavy_kpa, "kPa", f"{of}, heavy end."))


ROOFS: dict[str, Weight] = {
    "light": _weight(0.15, 0.35, "Profiled sheet on timber"),
    "felt": _weight(0.25, 0.45, "Felt or rubber sheet on boards and timber"),
    "tiled": _weight(0.65, 1.00, "Tiles or slates on battens and timber"),
    "green": _weight(0.80, 2.00, "Planted roof on timber, dry and soaked"),
}

FRAME_WALL = _weight(0.30, 0.60, "Timber frame with cladding, boards and insulation")
BLOCK_WALL_LIGHT_M = common_practice(0.140, "m", "Block walls above the floor, light end.")
BLOCK_WALL_HEAVY_M = common_practice(0.215, "m", "Block walls above the floor, heavy end.")
WALL_FINISH_KPA = common_practice(0.5, "kPa", "Render or cladding on a block wall, both faces, heavy end.")


@dataclass(frozen=True)
class FloorUse:
    """What a use puts on its floor: spread, kPa, or on one foot or wheel, kN on a square of `foot_m` a side."""

    spread_kpa: Sourced
    foot_kn: Sourced
    foot_m: Sourced
    words: str


GARAGE_SPREAD_KPA = Sourced(2.5, "kPa", "uk-na-1991-1-1", "garages for cars", QUOTED)
GARAGE_AXLE_KN = Sourced(10.0, "kN", "uk-na-1991-1-1", "garages for cars", QUOTED, "Instead of the spread load.")

FLOOR_USES: dict[str, FloorUse] = {
    "storage": FloorUse(
        common_practice(5.0, "kPa", "Shelves stacked to about 2 m."), common_practice(2.5, "kN", "One foot of a loaded rack."),
        common_practice(0.080, "m", "Side of the plate under the foot."), "one foot of a loaded rack"),
    "workshop": FloorUse(
        common_practice(2.5, "kPa", "A hobby workshop."), common_practice(2.5, "kN", "The heaviest of four feet of a machine of about 0.6 t. Heavier machines: ask."),
        common_practice(0.080, "m", "Side of the foot."), "one foot of a machine"),
    "studio": FloorUse(
        common_practice(2.5, "kPa", "As an office."), common_practice(2.0, "kN", "A safe, a kiln on legs or a full bookcase."),
        common_practice(0.050, "m", "Side of the foot."), "one foot of a heavy piece of furniture"),
    "garage": FloorUse(
        GARAGE_SPREAD_KPA, Sourced(GARAGE_AXLE_KN.value / 2.0, "kN", "en-1991-1-1", "6.3.3.2", MEMORY, "Half of an axle."),
        Sourced(0.100, "m", "en-1991-1-1", "6.3.3.2", MEMORY, "Side of the square under a wheel."), "one wheel of a car"),
}


@dataclass(frozen=True)
class Part:
    """One share of a wall's load: what it is, and kN per metre run that is permanent and that is variable."""

    words: str
    permanent_kn_per_m: float
    variable_kn_per_m: float


@dataclass(frozen=True)
class WallLoad:
    """What one wall brings down to the top of the concrete, kN per metre run.

    `side` names it; `carries_roof` is True for an eaves wall.
    """

    side: str
    carries_roof: bool
    parts: tuple[Part, ...]

    @property
    def permanent_kn_per_m(self) -> float:
        """What is always there."""
        return math.fsum(part.permanent_kn_per_m for part in self.parts)

    @property
    def variable_kn_per_m(self) -> float:
        """What comes and goes."""
        return math.fsum(part.variable_kn_per_m for part in self.parts)

    @property
    def total_kn_per_m(self) -> float:
        """Both, without factors, as tables of footings and presumed bearings are entered."""
        return self.permanent_kn_per_m + self.variable_kn_per_m

    @property
    def factored_kn_per_m(self) -> float:
        """Both with their factors, as sections are checked."""
        return factored_kn_per_m(self.permanent_kn_per_m, self.variable_kn_per_m)


def factored_kn_per_m(permanent_kn_per_m: float, variable_kn_per_m: float) -> float:
    """A line load with the factors for strength.

    permanent_kn_per_m, variable_kn_per_m: kN/m, 0 or more.
    Returns kN/m: 1.35 times the permanent and 1.5 times the variable load.
    Raises ValueError for a negative load.
    Source: EN 1990 (2002), expression 6.10, from memory.

    >>> round(factored_kn_per_m(10.0, 2.0), 3)
    16.5
    """
    if not (permanent_kn_per_m >= 0.0 and variable_kn_per_m >= 0.0):
        raise ValueError(f"loads must be 0 kN/m or more, not {permanent_kn_per_m} and {variable_kn_per_m} kN/m")
    return PERMANENT_FACTOR.value * permanent_kn_per_m + VARIABLE_FACTOR.value * variable_kn_per_m


def roof_pitch_deg(shape: str, span_m: float, rise_m: float) -> float:
    """Slope of a roof from what it spans and how far it rises above the eaves.

    shape: pitched (two slopes), mono-pitch or flat.  span_m: between eaves walls, m,
    above 0.  rise_m: highest point above the eaves, m, 0 or more.
    Returns degrees, 0 to 90; 0 for a flat roof whatever its rise.
    Raises ValueError outside those ranges or for another shape.
    Source: geometry.

    >>> round(roof_pitch_deg("pitched", 4.0, 2.0), 3), round(roof_pitch_deg("mono-pitch", 4.0, 0.7), 2)
    (45.0, 9.93)
    """
    runs = {"pitched": 0.5, "mono-pitch": 1.0, "flat": math.inf}
    if shape not in runs:
        raise ValueError(f"a roof is {', '.join(runs)}, not {shape!r}")
    if not (span_m > 0.0 and rise_m >= 0.0):
        raise ValueError(f"a roof needs a span above 0 m and a rise of 0 m or more, not {span_m} m and {rise_m} m")
    return 0.0 if shape == "flat" else math.degrees(math.atan2(rise_m, runs[shape] * span_m))


def snow_shape_factor(pitch_deg: float) -> float:
    """Snow on a roof over snow on the ground, mu1, without drifting.

    pitch_deg: slope, degrees, 0 to 90.
    Returns a ratio (no unit): 0.8 to 30 degrees, falling to 0 at 60 degrees.
    Raises ValueError outside that range.
    Source: EN 1991-1-3 (2003), Table 5.2, from memory; 0.8 follows from a worked example that was read.

    >>> snow_shape_factor(17.0), round(snow_shape_factor(45.0), 6), snow_shape_factor(60.0)
    (0.8, 0.4, 0.0)
    """
    if not 0.0 <= pitch_deg <= 90.0:
        raise ValueError(f"a roof must slope 0 to 90 degrees, not {pitch_deg} degrees")
    full, none = SNOW_FULL_TO_DEG.value, SNOW_NONE_FROM_DEG.value
    return SNOW_SHAPE.value * min(1.0, max(0.0, (none - pitch_deg) / (none - full)))


def roof_snow_kpa(ground_snow_kpa: float, pitch_deg: float, drifted_half: bool = False) -> float:
    """Snow on a roof, on plan.

    ground_snow_kpa: snow on the ground, kPa, 0 to 10.  pitch_deg: degrees, 0 to 90.
    drifted_half: True for the slope that the wind has blown half bare.
    Returns kPa of plan area; exposure and heat through the roof count as 1.
    Raises ValueError outside those ranges.
    Source: EN 1991-1-3 (2003), 5.2 and 5.3.3, from memory; checked with a worked example that was read.

    >>> round(roof_snow_kpa(0.65, 6.0), 3), round(roof_snow_kpa(0.65, 6.0, drifted_half=True), 3)
    (0.52, 0.26)
    """
    if not 0.0 <= ground_snow_kpa <= 10.0:
        raise ValueError(f"snow on the ground must be 0 to 10 kPa, not {ground_snow_kpa} kPa")
    return snow_shape_factor(pitch_deg) * ground_snow_kpa * (0.5 if drifted_half else 1.0)


def roof_line_load_kn_per_m(load_kpa: float, span_m: float, overhang_m: float = EAVES_OVERHANG_M.value) -> float:
    """What one eaves wall takes of a roof that rests on two.

    load_kpa: load on plan, kPa, 0 or more.  span_m: between the walls, m, above 0.
    overhang_m: roof beyond the wall, m, 0 to 1.5.
    Returns kN per m of wall: half the span and the overhang.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> round(roof_line_load_kn_per_m(1.0, 4.2, 0.3), 3)
    2.4
    """
    if not (load_kpa >= 0.0 and span_m > 0.0 and 0.0 <= overhang_m <= 1.5):
        raise ValueError(f"a roof needs a load of 0 kPa or more, a span above 0 m and an overhang of 0 to 1.5 m, not {load_kpa} kPa, {span_m} m and {overhang_m} m")
    return load_kpa * (span_m / 2.0 + overhang_m)


def blockwork_kn_per_m(thickness_m: float, height_m: float) -> float:
    """Weight of a wall of dense block.

    thickness_m: m, 0 to 0.6.  height_m: m, 0 or more.
    Returns kN per m of wall, render apart.
    Raises ValueError outside those ranges.
    Source: common practice, no source (2000 kg/m3, mortar counted as block).

    >>> round(blockwork_kn_per_m(0.14, 1.0), 3)
    2.747
    """
    if not (0.0 <= thickness_m <= 0.6 and height_m >= 0.0):
        raise ValueError(f"a block wall must be 0 to 0.6 m thick and 0 m or more high, not {thickness_m} m and {height_m} m")
    return thickness_m * height_m * DENSE_BLOCK_KG_PER_M3.value / 1000.0 * GRAVITY_KN_PER_T


def concrete_kn_per_m(width_m: float, thickness_m: float) -> float:
    """Weight of a metre of footing or edge.

    width_m, thickness_m: m, 0 or more.  Returns kN per m run.
    Raises ValueError for a negative size.
    Source: EN 1991-1-1 (2002), Annex A (read): 25 kN/m3, which is a little heavy for concrete without steel.

    >>> concrete_kn_per_m(0.4, 0.5)
    5.0
    """
    if not (width_m >= 0.0 and thickness_m >= 0.0):
        raise ValueError(f"sizes must be 0 m or more, not {width_m} m and {thickness_m} m")
    return width_m * thickness_m * REINFORCED_CONCRETE_KN_PER_M3.value


def floor_use(use: str) -> FloorUse:
    """What a use of the building puts on its floor.

    use: storage, workshop, studio or garage (words, no unit).
    Returns a FloorUse: kPa, kN and m, each with its source.
    Raises ValueError for any other word.
    Source: see each figure.

    >>> floor_use("garage").spread_kpa.value, floor_use("garage").foot_kn.value
    (2.5, 5.0)
    """
    if use not in FLOOR_USES:
        raise ValueError(f"no floor load is held for {use!r}; the use must be one of {', '.join(FLOOR_USES)}")
    return FLOOR_USES[use]


def roof_variable(region: str, pitch_deg: float, ground_snow_kpa: float | None = None) -> tuple[float, str]:
    """Snow or people on the roof, whichever is more; the two are not added.

    region: england, ireland, us or eurocode.  pitch_deg: degrees, 0 to 90.
    ground_snow_kpa: the reader's own snow on the ground, kPa, 0 to 10, or None for the region's stand-in.
    Returns kPa on plan, and which it is in words.
    Raises ValueError for another region or a figure out of range.
    Source: EN 1991-1-3 and EN 1991-1-1 (6.3.4), from memory; the stand-ins carry their own.

    >>> roof_variable("england", 10.0)
    (0.6, 'people on the roof')
    >>> roof_variable("england", 10.0, 1.5)[1]
    'snow'
    """
    if region not in GROUND_SNOW_KPA:
        raise ValueError(f"no snow is held for {region!r}; the region must be one of {', '.join(GROUND_SNOW_KPA)}")
    snow = roof_snow_kpa(GROUND_SNOW_KPA[region].value if ground_snow_kpa is None else ground_snow_kpa, pitch_deg)
    access = ROOF_ACCESS_KPA[region].value
    return (snow, "snow") if snow > access else (access, "people on the roof")


def carries_roof(plan: Plan, side: Side) -> bool:
    """Whether a side is an eaves wall: the roof spans the shorter way across the plan.

    plan: corners in m.  side: one of its sides.
    Returns True for sides nearer to the long way than to the short way, no unit; on a
    square plan every side counts, since nobody has said which way the roof runs.
    Source: common practice, no source.

    >>> plan = Plan(((0, 0), (6, 0), (6, 4), (0, 4)))
    >>> [carries_roof(plan, side) for side in plan.sides]
    [True, False, True, False]
    """
    long_m, short_m = plan.size_m()
    if long_m - short_m <= 1e-6:
        return True
    return abs(math.fsum(a * b for a, b in zip(side.direction, _long_way(plan)))) >= math.sqrt(0.5) - 1e-9


@lru_cache(maxsize=64)
def _long_way(plan: Plan) -> tuple[float, float]:
    """Unit vector along the longer size of a plan."""
    longest = max(plan.sides, key=lambda side: round(side.length_m, 9))
    along = [longest.along(corner) for corner in plan.corners]
    inside = [longest.inside(corner) for corner in plan.corners]
    return longest.direction if max(along) - min(along) >= max(inside) - min(inside) else longest.inward


def wall_loads(
    building: Building,
    plan: Plan,
    region: str,
    masonry_m: float = 0.0,
    masonry_height_m: float = 0.0,
    masonry_above_floor_m: float = 0.0,
    ground_snow_kpa: float | None = None,
    overhang_m: float = EAVES_OVERHANG_M.value,
) -> tuple[WallLoad, ...]:
    """What each wall brings down to the top of the concrete under it.

    building: walls, roof and heights, m.  plan: outer face, m.  region: its rules.
    masonry_m: thickness of the block wall that the frame or wall stands on, m;
    masonry_height_m: from the top of the concrete to the sole plate, m; masonry_above_floor_m:
    the part of that above the floor, m, which the wall above is shorter by.
    ground_snow_kpa: as `roof_variable` takes it.  overhang_m: roof beyond the walls, m, 0 to 1.5.
    Returns a WallLoad for each side, in the order of the plan's sides.
    Raises ValueError for negative heights and as the functions it uses do.
    Source: common practice for the weights (each says so); EN 1990 for the split into
    permanent and variable.  The heavy end of every weight is taken.
    """
    if not (masonry_height_m >= 0.0 and masonry_above_floor_m >= 0.0):
        raise ValueError(f"heights must be 0 m or more, not {masonry_height_m} m and {masonry_above_floor_m} m")
    span = plan.size_m()[1]
    rise = max(0.0, building.ridge_height_m - building.wall_height_m)
    pitch = roof_pitch_deg(building.roof_shape, span, rise)
    # A covering lies along the slope; a load on plan is that much more.
    covering = ROOFS[building.roof_covering].heavy.value / math.cos(math.radians(pitch))
    variable_kpa, variable_words = roof_variable(region, pitch, ground_snow_kpa)
    wall_kpa = wall_weight_kpa(building.walls)
    eaves_m = max(0.0, building.wall_height_m - masonry_above_floor_m)
    # The triangle of a gable, or the wedge under one slope, is half its height on average;
    # nobody has said which side of a mono-pitch is the high one, so both count as it.
    over_eaves = {"pitched": 0.0, "mono-pitch": rise, "flat": 0.0}[building.roof_shape]
    over_gable = 0.0 if building.roof_shape == "flat" else rise / 2.0
    under = Part("block wall below the sole plate", blockwork_kn_per_m(masonry_m, masonry_height_m), 0.0)
    loads = []
    for side in plan.sides:
        eaves = carries_roof(plan, side)
        parts = [under, Part(f"{building.walls} wall", wall_kpa * (eaves_m + (over_eaves if eaves else over_gable)), 0.0)]
        if eaves:
            parts.append(Part(f"{building.roof_covering} roof", roof_line_load_kn_per_m(covering, span, overhang_m), 0.0))
            parts.append(Part(variable_words, 0.0, roof_line_load_kn_per_m(variable_kpa, span, overhang_m)))
        loads.append(WallLoad(side.name, eaves, tuple(part for part in parts if part.permanent_kn_per_m + part.variable_kn_per_m > 0.0)))
    return tuple(loads)


def wall_weight_kpa(walls: str, light: bool = False) -> float:
    """Weight of a square metre of wall above the sole plate.

    walls: timber frame or block.  light: True for the light end.
    Returns kPa of wall face.
    Raises ValueError for another word.
    Source: common practice, no source.

    >>> wall_weight_kpa("timber frame"), round(wall_weight_kpa("block"), 2)
    (0.6, 4.72)
    """
    if walls == "timber frame":
        return (FRAME_WALL.light if light else FRAME_WALL.heavy).value
    if walls == "block":
        if light:
            return blockwork_kn_per_m(BLOCK_WALL_LIGHT_M.value, 1.0)
        return blockwork_kn_per_m(BLOCK_WALL_HEAVY_M.value, 1.0) + WALL_FINISH_KPA.value
    raise ValueError(f"walls are timber frame or block, not {walls!r}")


def heaviest(loads: tuple[WallLoad, ...]) -> WallLoad:
    """The wall that brings most, without factors.

    loads: at least one, kN/m.  Returns a WallLoad.
    Raises ValueError for none.
    Source: definition.

    >>> heaviest((WallLoad("south", True, (Part("wall", 3.0, 1.0),)), WallLoad("east", False, (Part("wall", 2.0, 0.0),)))).side
    'south'
    """
    if not loads:
        raise ValueError("there is no wall to take the heaviest of")
    return max(loads, key=lambda load: load.total_kn_per_m)
