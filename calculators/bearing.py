"""Whether the ground carries it: pressure, presumed bearing, bearing worked out from strengths.

Presumed figures are for light buildings on ground that somebody has looked
at.  The sums from strengths hold for level ground, a level base and a load in
its middle; settlement is not in them.
"""

from __future__ import annotations

import math

from calculators import soils
from calculators.loads import PERMANENT_FACTOR, VARIABLE_FACTOR
from calculators.materials import REINFORCED_CONCRETE_KN_PER_M3
from calculators.sources import MEMORY, READ, Sourced

STRENGTH_FACTOR = Sourced(1.25, "", "en-1997-1", "Table A.4, set M2", MEMORY, "On the tangent of the friction angle.")
UNDRAINED_STRENGTH_FACTOR = Sourced(1.4, "", "en-1997-1", "Table A.4, set M2", MEMORY, "On undrained strength.")
VARIABLE_FACTOR_2 = Sourced(1.3, "", "en-1997-1", "Table A.3, set A2", MEMORY, "On variable load in the second combination.")
RESISTANCE_FACTOR = Sourced(1.4, "", "en-1997-1", "Table A.5, set R2", MEMORY, "On bearing resistance in design approach 2.")

# Ground beside a footing helps by its weight, so its light end is counted.
DRY_SAND_KN_PER_M3_LEAST = Sourced(15.0, "kN/m3", "en-1991-1-1", "Annex A", READ, "For loads, not for orders.")
DRY_SAND_KN_PER_M3_MOST = Sourced(16.0, "kN/m3", "en-1991-1-1", "Annex A", READ, "For loads, not for orders.")

GREATEST_FRICTION_DEG = 45.0

# The design approaches of the document: factors on permanent load, on variable load, on strength and on resistance.
_A1 = (PERMANENT_FACTOR.value, VARIABLE_FACTOR.value)
_A2 = (1.0, VARIABLE_FACTOR_2.value)
DESIGN_APPROACHES: dict[str, tuple[float, float, float, float]] = {
    "DA1-1": (*_A1, 1.0, 1.0),
    "DA1-2": (*_A2, STRENGTH_FACTOR.value, 1.0),
    "DA2": (*_A1, 1.0, RESISTANCE_FACTOR.value),
    "DA3": (*_A1, STRENGTH_FACTOR.value, 1.0),
}


def bearing_pressure_kpa(load_kn_per_m: float, width_m: float) -> float:
    """Pressure under a strip with its load in the middle.

    load_kn_per_m: everything that comes down on the ground, kN/m, 0 or more.
    width_m: m, above 0.
    Returns kPa.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> bearing_pressure_kpa(18.0, 0.45)
    40.0
    """
    if not (load_kn_per_m >= 0.0 and width_m > 0.0):
        raise ValueError(f"a strip needs a load of 0 kN/m or more and a width above 0 m, not {load_kn_per_m} kN/m and {width_m} m")
    return load_kn_per_m / width_m


def presumed(soil: str) -> Sourced | None:
    """Bearing pressure that may be presumed for a soil, with its source.

    soil: its name (no unit).  Returns a Sourced, kPa, or None where nothing may be presumed.
    Raises ValueError for an unknown name.
    Source: IBC 1806.2 and IRC R401.4.1 (read), borrowed in every other region.

    >>> round(presumed("firm clay").value, 1), presumed("soft clay")
    (71.8, None)
    """
    return soils.soil_named(soil).presumed_bearing_kpa


def bearing_factor_nq(friction_deg: float) -> float:
    """Bearing factor for what presses on the ground beside the base.

    friction_deg: angle of shearing resistance, degrees, 0 to 45.  Returns Nq, no unit.
    Raises ValueError outside that range.
    Source: EN 1997-1 (2004), Annex D.4: exp(pi tan phi) tan2(45 + phi/2).

    >>> round(bearing_factor_nq(30.0), 1), bearing_factor_nq(0.0)
    (18.4, 1.0)
    """
    phi = _radians(friction_deg)
    return math.exp(math.pi * math.tan(phi)) * (1.0 + math.sin(phi)) / (1.0 - math.sin(phi))


def bearing_factor_nc(friction_deg: float) -> float:
    """Bearing factor for cohesion.

    friction_deg: degrees, 0 to 45.  Returns Nc, no unit; pi + 2 without friction.
    Raises ValueError outside that range.
    Source: EN 1997-1 (2004), Annex D.4: (Nq - 1) cot phi.

    >>> round(bearing_factor_nc(30.0), 1), round(bearing_factor_nc(0.0), 3)
    (30.1, 5.142)
    """
    phi = _radians(friction_deg)
    # Below this the quotient is lost in rounding, and its limit is the undrained factor.
    if phi < 1e-6:
        return math.pi + 2.0
    return (bearing_factor_nq(friction_deg) - 1.0) / math.tan(phi)


def bearing_factor_ngamma(friction_deg: float) -> float:
    """Bearing factor for the ground's own weight, under a rough base.

    friction_deg: degrees, 0 to 45.  Returns N gamma, no unit.
    Raises ValueError outside that range.
    Source: EN 1997-1 (2004), Annex D.4: 2 (Nq - 1) tan phi.

    >>> round(bearing_factor_ngamma(30.0), 1)
    20.1
    """
    return 2.0 * (bearing_factor_nq(friction_deg) - 1.0) * math.tan(_radians(friction_deg))


def drained_bearing_kpa(
    friction_deg: float,
    width_m: float,
    weight_kn_per_m3: float,
    overburden_kpa: float,
    length_m: float = math.inf,
    cohesion_kpa: float = 0.0,
) -> float:
    """Bearing resistance of ground that lets its water go, without factors.

    friction_deg: degrees, 0 to 45.  width_m: the shorter side, m, above 0.
    weight_kn_per_m3: of the ground under the base, kN/m3, 5 to 25; less water where it stands in it.
    overburden_kpa: what presses on the ground beside the base at its level, kPa, 0 or more.
    length_m: the longer side, m; infinite for a strip.  cohesion_kpa: kPa, 0 or more.
    Returns kPa, for a load in the middle and straight down.
    Raises ValueError outside those ranges.
    Source: EN 1997-1 (2004), Annex D.4, as the forms are quoted in a Spanish guide of 2002.

    >>> round(drained_bearing_kpa(35.0, 1.5, 18.0, 9.0, 2.5), 1)
    903.5
    """
    if not (0.0 < width_m <= length_m):
        raise ValueError(f"a base needs a width above 0 m and a length no shorter, not {width_m} m by {length_m} m")
    if not (5.0 <= weight_kn_per_m3 <= 25.0 and overburden_kpa >= 0.0 and cohesion_kpa >= 0.0):
        raise ValueError(f"the ground must weigh 5 to 25 kN/m3, and overburden and cohesion be 0 kPa or more, not {weight_kn_per_m3} kN/m3, {overburden_kpa} kPa and {cohesion_kpa} kPa")
    nq, ratio = bearing_factor_nq(friction_deg), width_m / length_m
    shape_q = 1.0 + ratio * math.sin(_radians(friction_deg))
    shape_weight = 1.0 - 0.3 * ratio
    # Without friction the shape for cohesion tends to that of the undrained case.
    shape_c = (shape_q * nq - 1.0) / (nq - 1.0) if nq > 1.0 + 1e-9 else 1.0 + 0.2 * ratio
    return (
        cohesion_kpa * bearing_factor_nc(friction_deg) * shape_c
        + overburden_kpa * nq * shape_q
        + 0.5 * weight_kn_per_m3 * width_m * bearing_factor_ngamma(friction_deg) * shape_weight
    )


def undrained_bearing_kpa(undrained_strength_kpa: float, overburden_kpa: float, width_m: float = 1.0, length_m: float = math.inf) -> float:
    """Bearing resistance of clay loaded faster than its water can leave, without factors.

    undrained_strength_kpa: cu, kPa, above 0 and at most 300.  overburden_kpa: kPa, 0 or more.
    width_m, length_m: m, length no shorter; infinite for a strip.
    Returns kPa, for a load in the middle and straight down.
    Raises ValueError outside those ranges.
    Source: EN 1997-1 (2004), Annex D.3: (pi + 2) cu (1 + 0.2 B/L) + q, from memory.

    >>> round(undrained_bearing_kpa(40.0, 8.0), 1)
    213.7
    """
    if not (0.0 < undrained_strength_kpa <= 300.0 and overburden_kpa >= 0.0):
        raise ValueError(f"undrained strength must be above 0 and at most 300 kPa and overburden 0 kPa or more, not {undrained_strength_kpa} kPa and {overburden_kpa} kPa")
    if not (0.0 < width_m <= length_m):
        raise ValueError(f"a base needs a width above 0 m and a length no shorter, not {width_m} m by {length_m} m")
    return (math.pi + 2.0) * undrained_strength_kpa * (1.0 + 0.2 * width_m / length_m) + overburden_kpa


def factored_friction_deg(friction_deg: float) -> float:
    """Friction angle with the factor on its tangent.

    friction_deg: degrees, 0 to 45.  Returns degrees.
    Raises ValueError outside that range.
    Source: EN 1997-1 (2004), Table A.4, from memory.

    >>> round(factored_friction_deg(35.0), 2)
    29.26
    """
    return math.degrees(math.atan(math.tan(_radians(friction_deg)) / STRENGTH_FACTOR.value))


def pad_utilisation(
    approach: str,
    permanent_kn: float,
    variable_kn: float,
    width_m: float,
    length_m: float,
    thickness_m: float,
    friction_deg: float,
    weight_kn_per_m3: float,
) -> float:
    """Share of its design bearing resistance that a pad uses, founded as deep as it is thick.

    approach: DA1-1, DA1-2, DA2 or DA3 (words).  permanent_kn, variable_kn: kN, 0 or more.
    width_m, length_m, thickness_m: m, above 0, length no shorter than width.
    friction_deg: degrees, 0 to 45.  weight_kn_per_m3: of the ground, kN/m3, 5 to 25.
    Returns a ratio, no unit; over 1 the ground is asked for more than it has.
    Raises ValueError outside those ranges or for another approach.
    Source: EN 1997-1 (2004), 2.4.7.3 and Annex D.4; factors from memory.

    >>> [round(pad_utilisation(a, 800.0, 450.0, 1.5, 2.5, 0.5, 35.0, 18.0), 2) for a in DESIGN_APPROACHES]
    [0.54, 0.97, 0.75, 1.23]
    """
    if approach not in DESIGN_APPROACHES:
        raise ValueError(f"a design approach is {', '.join(DESIGN_APPROACHES)}, not {approach!r}")
    if not (permanent_kn >= 0.0 and variable_kn >= 0.0 and thickness_m > 0.0):
        raise ValueError(f"loads must be 0 kN or more and a thickness above 0 m, not {permanent_kn} kN, {variable_kn} kN and {thickness_m} m")
    on_permanent, on_variable, on_strength, on_resistance = DESIGN_APPROACHES[approach]
    friction = friction_deg if on_strength == 1.0 else factored_friction_deg(friction_deg)
    resistance = drained_bearing_kpa(friction, width_m, weight_kn_per_m3, weight_kn_per_m3 * thickness_m, length_m) / on_resistance
    own = width_m * length_m * thickness_m * REINFORCED_CONCRETE_KN_PER_M3.value
    demand = (on_permanent * (permanent_kn + own) + on_variable * variable_kn) / (width_m * length_m)
    return demand / resistance


def strip_utilisation(
    permanent_kn_per_m: float,
    variable_kn_per_m: float,
    width_m: float,
    overburden_kpa: float,
    friction_deg: float | None = None,
    undrained_strength_kpa: float | None = None,
    weight_kn_per_m3: float = 18.0,
) -> float:
    """Share of its design bearing resistance that a strip uses; the worse of drained and undrained, and of both combinations.

    permanent_kn_per_m (with the strip's own weight), variable_kn_per_m: kN/m, 0 or more.
    width_m: m, above 0.  overburden_kpa: least pressure beside the base, kPa, 0 or more.
    friction_deg: degrees, 0 to 45, or None; undrained_strength_kpa: kPa, or None; at least one.
    weight_kn_per_m3: of the ground, kN/m3, 5 to 25.
    Returns a ratio, no unit.
    Raises ValueError outside those ranges or with neither strength.
    Source: EN 1997-1 (2004), design approach 1 and Annex D; factors from memory.

    >>> round(strip_utilisation(18.0, 4.0, 0.45, 8.0, undrained_strength_kpa=50.0), 3)
    0.269
    """
    if friction_deg is None and undrained_strength_kpa is None:
        raise ValueError("give the friction angle or the undrained strength of the ground, or both")
    worst = 0.0
    for approach in ("DA1-1", "DA1-2"):
        on_permanent, on_variable, on_strength, _ = DESIGN_APPROACHES[approach]
        demand = bearing_pressure_kpa(on_permanent * permanent_kn_per_m + on_variable * variable_kn_per_m, width_m)
        factored = on_strength != 1.0
        if friction_deg is not None:
            friction = factored_friction_deg(friction_deg) if factored else friction_deg
            worst = max(worst, demand / drained_bearing_kpa(friction, width_m, weight_kn_per_m3, overburden_kpa))
        if undrained_strength_kpa is not None:
            strength = undrained_strength_kpa / (UNDRAINED_STRENGTH_FACTOR.value if factored else 1.0)
            worst = max(worst, demand / undrained_bearing_kpa(strength, overburden_kpa))
    return worst


def active_pressure_coefficient(friction_deg: float) -> float:
    """Sideways pressure over downward pressure behind a smooth upright wall that gives a little.

    friction_deg: of what is held back, degrees, 0 to 45.  Returns Ka, no unit, for a level top.
    Raises ValueError outside that range.
    Source: Rankine: (1 - sin phi) / (1 + sin phi); a solved exercise was read.

    >>> round(active_pressure_coefficient(30.0), 6)
    0.333333
    """
    sine = math.sin(_radians(friction_deg))
    return (1.0 - sine) / (1.0 + sine)


def _radians(friction_deg: float) -> float:
    if not 0.0 <= friction_deg <= GREATEST_FRICTION_DEG:
        raise ValueError(f"a friction angle must be 0 to {GREATEST_FRICTION_DEG:g} degrees, not {friction_deg} degrees")
    return math.radians(friction_deg)
