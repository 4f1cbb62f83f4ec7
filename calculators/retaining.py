"""A low wall on its footing that holds back fill, a metre of it, without the building on top.

Fill under the floor pushes the wall outward on the low side.  The ground outside
pushes back no harder than ground that nobody has disturbed; it could do far
more, but only once the wall had moved.  Neither slab nor return walls help.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.bearing import DRY_SAND_KN_PER_M3_LEAST, active_pressure_coefficient
from calculators.loads import blockwork_kn_per_m, concrete_kn_per_m
from calculators.materials import HARDCORE_KN_PER_M3_LEAST, HARDCORE_KN_PER_M3_MOST
from calculators.sources import MEMORY, Sourced, common_practice

FILL_FRICTION_DEG = common_practice(38.0, "degrees", "Crushed stone with fines, compacted in layers; 35 to 45 is usual.")
SLIDING_MARGIN = common_practice(1.5, "", "Grip over push.")
OVERTURNING_MARGIN = common_practice(2.0, "", "Moment that holds over moment that tips.")
WALL_TENSION_MPA = Sourced(0.10, "MPa", "en-1996-1-1", "3.6.3, plane of failure along the bed joints", MEMORY, "Mortar of 5 MPa or more.")
WALL_FACTOR = common_practice(3.0, "", "On the strength of a wall built by somebody new to it.")

# Friction between a footing cast on the ground and the ground, degrees.
BASE_FRICTION_DEG: dict[str, Sourced] = {
    soil: common_practice(degrees, "degrees", "Cautious, for ground that stays wet.")
    for soil, degrees in (
        ("rock", 35.0), ("gravel", 35.0), ("dense sand", 35.0), ("medium sand", 32.0), ("loose sand", 28.0), ("stiff clay", 24.0),
        ("firm clay", 22.0), ("soft clay", 18.0), ("silt", 24.0), ("unknown", 18.0),
    )
}


def active_thrust_kn_per_m(friction_deg: float, weight_kn_per_m3: float, height_m: float, surcharge_kpa: float = 0.0) -> float:
    """Push of level dry fill on an upright wall, a metre of it.

    friction_deg: of the fill, degrees, 0 to 45.  weight_kn_per_m3: kN/m3, 5 to 25.
    height_m: m, 0 to 5.  surcharge_kpa: on top of the fill, kPa, 0 or more.
    Returns kN/m: Ka (w H2 / 2 + q H).
    Raises ValueError outside those ranges.
    Source: Rankine; a solved exercise was read.

    >>> round(active_thrust_kn_per_m(30.0, 20.0, 3.0), 6)
    30.0
    """
    _fill(weight_kn_per_m3, height_m, surcharge_kpa)
    return active_pressure_coefficient(friction_deg) * (weight_kn_per_m3 * height_m**2 / 2.0 + surcharge_kpa * height_m)


def active_tipping_knm_per_m(friction_deg: float, weight_kn_per_m3: float, height_m: float, surcharge_kpa: float = 0.0) -> float:
    """Moment of that push about the foot of the fill, a metre of wall.

    Inputs and errors as `active_thrust_kn_per_m` (degrees, kN/m3, m, kPa).
    Returns kN m per m: the fill's push acts at a third of its height, a surcharge's at half.
    Source: Rankine; a solved exercise was read.

    >>> round(active_tipping_knm_per_m(30.0, 20.0, 3.0), 6)
    30.0
    """
    _fill(weight_kn_per_m3, height_m, surcharge_kpa)
    return active_pressure_coefficient(friction_deg) * (weight_kn_per_m3 * height_m**3 / 6.0 + surcharge_kpa * height_m**2 / 2.0)


def at_rest_pressure_coefficient(friction_deg: float) -> float:
    """Sideways over downward pressure in ground that nobody has disturbed.

    friction_deg: degrees, 0 to 45.  Returns K0, no unit.
    Raises ValueError outside that range.
    Source: EN 1997-1 (2004), 9.5.2, from memory: 1 - sin phi.

    >>> round(at_rest_pressure_coefficient(30.0), 6)
    0.5
    """
    _tangent(friction_deg)
    return 1.0 - math.sin(math.radians(friction_deg))


def _fill(weight_kn_per_m3: float, height_m: float, surcharge_kpa: float) -> None:
    if not (5.0 <= weight_kn_per_m3 <= 25.0 and 0.0 <= height_m <= 5.0 and surcharge_kpa >= 0.0):
        raise ValueError(f"fill must weigh 5 to 25 kN/m3, stand 0 to 5 m high and carry 0 kPa or more, not {weight_kn_per_m3} kN/m3, {height_m} m and {surcharge_kpa} kPa")


@dataclass(frozen=True)
class Stability:
    """A metre of wall and footing under the push of its fill.

    `push_kn` sideways, `grip_kn` against it; `tipping_knm` and `holding_knm`
    about the outer edge of the footing; `weight_kn`; `off_centre_m` is how far
    outside the middle of the footing the weight comes down.
    """

    push_kn: float
    grip_kn: float
    tipping_knm: float
    holding_knm: float
    weight_kn: float
    off_centre_m: float


def wall_on_footing(
    wall_m: float,
    wall_above_fill_m: float,
    fill_above_ground_m: float,
    footing_depth_m: float,
    footing_width_m: float,
    footing_thickness_m: float,
    base_friction_deg: float,
    surcharge_kpa: float = 0.0,
    fill_friction_deg: float = FILL_FRICTION_DEG.value,
) -> Stability:
    """A block wall in the middle of its footing, fill inside, lower ground outside.

    wall_m: thickness, m, 0.05 to 0.6.  wall_above_fill_m: m, 0 or more.  fill_above_ground_m:
    top of the fill above the ground outside, m, 0 to 3.  footing_depth_m: underside below the ground
    outside, m, no less than the footing is thick.  footing_width_m: m, no less than the wall.
    footing_thickness_m: m, above 0.  base_friction_deg, fill_friction_deg: degrees, 0 to 45.
    surcharge_kpa: slab and floor load on the fill, kPa, 0 or more; as weight it is not counted.
    Returns a Stability, kN and kN m for a metre of wall.
    Raises ValueError outside those ranges.
    Source: statics and Rankine; no share of the building's weight.

    >>> found = wall_on_footing(0.14, 0.45, 0.45, 0.45, 0.45, 0.15, 32.0)
    >>> round(found.push_kn, 2), round(found.grip_kn / found.push_kn, 2), round(found.holding_knm / found.tipping_knm, 2)
    (1.16, 4.29, 4.36)
    """
    grip = _tangent(base_friction_deg)
    if not (0.05 <= wall_m <= footing_width_m and wall_above_fill_m >= 0.0 and 0.0 < footing_thickness_m <= footing_depth_m + 1e-9):
        raise ValueError(
            "a wall must be at least 0.05 m thick, no wider than its footing, and the footing no thicker than it is deep, "
            f"not {wall_m} m on {footing_width_m} m, {footing_thickness_m} m thick and {footing_depth_m} m deep")
    if not 0.0 <= fill_above_ground_m <= 3.0:
        raise ValueError(f"the fill must stand 0 to 3 m above the ground outside, not {fill_above_ground_m} m")
    heavy, light = HARDCORE_KN_PER_M3_MOST.value, HARDCORE_KN_PER_M3_LEAST.value
    inside, outside = fill_above_ground_m + footing_depth_m, footing_depth_m
    # The ground outside can at most cancel the push; it never pulls the wall.
    back = at_rest_pressure_coefficient(base_friction_deg) * DRY_SAND_KN_PER_M3_LEAST.value * outside**2 / 2.0
    push = max(0.0, active_thrust_kn_per_m(fill_friction_deg, heavy, inside, surcharge_kpa) - back)
    tipping = max(0.0, active_tipping_knm_per_m(fill_friction_deg, heavy, inside, surcharge_kpa) - back * outside / 3.0)
    projection = (footing_width_m - wall_m) / 2.0
    middle = footing_width_m / 2.0
    wall = blockwork_kn_per_m(wall_m, wall_above_fill_m + inside - footing_thickness_m)
    footing = concrete_kn_per_m(footing_width_m, footing_thickness_m)
    on_heel = light * projection * (inside - footing_thickness_m)
    on_toe = light * projection * (outside - footing_thickness_m)
    weight = wall + footing + on_heel + on_toe
    holding = (wall + footing) * middle + on_heel * (footing_width_m - projection / 2.0) + on_toe * projection / 2.0
    return Stability(push, weight * grip, tipping, holding, weight, middle - (holding - tipping) / weight)


def stem_tension_mpa(
    wall_m: float,
    wall_above_fill_m: float,
    fill_above_ground_m: float,
    surcharge_kpa: float = 0.0,
    fill_friction_deg: float = FILL_FRICTION_DEG.value,
) -> float:
    """Tension that the push of the fill leaves in a bed joint of the wall, level with the ground outside.

    wall_m: thickness, m, 0.05 to 0.6.  wall_above_fill_m: m, 0 or more.  fill_above_ground_m: m, 0 to 3.
    surcharge_kpa: kPa, 0 or more.  fill_friction_deg: degrees, 0 to 45.
    Returns MPa at the inner face: bending less the wall's own weight; 0 where the joint stays squeezed.
    Raises ValueError outside those ranges.
    Source: statics and Rankine; the wall stands free, without the building, slab or returns.

    >>> round(stem_tension_mpa(0.14, 0.45, 0.45), 4), stem_tension_mpa(0.3, 0.45, 0.3)
    (0.0039, 0.0)
    """
    if not 0.05 <= wall_m <= 0.6:
        raise ValueError(f"a wall must be 50 to 600 mm thick, not {wall_m * 1000:g} mm")
    if not (wall_above_fill_m >= 0.0 and 0.0 <= fill_above_ground_m <= 3.0):
        raise ValueError(f"the fill must stand 0 to 3 m above the ground and the wall end no lower, not {fill_above_ground_m} m and {wall_above_fill_m} m above it")
    tipping = active_tipping_knm_per_m(fill_friction_deg, HARDCORE_KN_PER_M3_MOST.value, fill_above_ground_m, surcharge_kpa)
    weight = blockwork_kn_per_m(wall_m, wall_above_fill_m + fill_above_ground_m)
    return max(0.0, 6.0 * tipping / wall_m**2 - weight / wall_m) / 1000.0


def _tangent(friction_deg: float) -> float:
    if not 0.0 <= friction_deg <= 45.0:
        raise ValueError(f"a friction angle must be 0 to 45 degrees, not {friction_deg} degrees")
    return math.tan(math.radians(friction_deg))
