"""Rain off the roof and the paving, the pipe that takes it away, and where it goes.

Full pipes by the formula of Colebrook and White, channels by Manning's.  A
small soakaway by the simple rule of the guidance; anything larger is for
somebody who designs drains.  Ground is to fall away from every wall.
"""

from __future__ import annotations

import math
from dataclasses import replace

from calculators.ground import profile
from calculators.loads import EAVES_OVERHANG_M
from calculators.scenario import Drainage
from calculators.site import LEVEL_GROUND_GRADIENT, TOLERANCE, Site, check_at_least, check_at_most, worst_of
from calculators.sources import COMMON_PRACTICE, MEMORY, QUOTED, READ, Sourced, common_practice
from calculators.works import Check, Works

GRAVITY_M_PER_S2 = 9.80665

RAIN_ON_ROOFS_M_PER_S = Sourced(2.1e-5, "m/s", "en-12056-3", "as used with Approved Document H3", QUOTED, "0.021 litres a second on each square metre: 75 mm in an hour.")
RAIN_ON_PAVING_M_PER_S = Sourced(1.4e-5, "m/s", "approved-document-h", "H3", QUOTED, "0.014 litres a second on each square metre: 50 mm in an hour.")
STEEPEST_ROOF_DEG = Sourced(70.0, "degree", "approved-document-h", "H3", MEMORY, "Steeper roofs count as walls.")

PIPE_SIZES_M = (0.075, 0.100, 0.150, 0.225, 0.300)
ROUGHNESS_M = common_practice(0.0006, "m", "A drain in use, slimed and jointed; new plastic is smoother.")
VISCOSITY_M2_PER_S = common_practice(1.14e-6, "m2/s", "Water at 15 degrees.")
PIPE_GRADIENT = common_practice(1.0 / 80.0, "gradient", "A fall that is easily laid by hand.")
LEAST_PIPE_M = Sourced(0.075, "m", "approved-document-h", "H3", MEMORY)
# (bore up to, m): flattest gradient.
LEAST_FALLS: tuple[tuple[float, Sourced], ...] = (
    (0.100, Sourced(1.0 / 100.0, "gradient", "approved-document-h", "H3", MEMORY, "Rainwater drains to 100 mm.")),
    (0.150, Sourced(1.0 / 150.0, "gradient", "approved-document-h", "H3", MEMORY, "Rainwater drains of 150 mm.")),
    (0.300, Sourced(1.0 / 225.0, "gradient", "approved-document-h", "H3", MEMORY, "Rainwater drains of 225 mm and more.")),
)
COVER_UNDER_SLAB_M = Sourced(0.300, "m", "approved-document-h", "H1 drains under buildings", MEMORY, "Nearer to the slab than this the pipe is cast in concrete with it.")
COVER_IN_GARDEN_M = Sourced(0.600, "m", "approved-document-h", "H1 flexible pipes", MEMORY, "Plastic pipe under a garden, without protection.")

WET_CONCRETE_KG_PER_M3 = common_practice(2400.0, "kg/m3", "Fresh concrete before it sets.")
WATER_KG_PER_M3 = common_practice(1000.0, "kg/m3", "What a filled pipe holds.")
HOLD_DOWN_FACTOR = common_practice(1.5, "", "Ties hold this many times the uplift.")

SOAKAWAY_SMALL_ROOF_M2 = Sourced(25.0, "m2", "approved-document-h", "H3, small soakaways", READ)
SOAKAWAY_SMALL_RAIN_M = Sourced(0.010, "m", "approved-document-h", "H3, small soakaways", READ, "10 mm in 5 minutes.")
SOAKAWAY_ROOF_M2 = common_practice(100.0, "m2", "Larger areas are designed from a soakage test.")
SOAKAWAY_DEPTH_M = Sourced(50.0 / 3000.0, "m", "soakaway-guidance", "area times 50 over 3000", READ, "Metres of water over the area drained.")
RUBBLE_VOIDS = Sourced(0.3, "", "soakaway-guidance", "rubble", READ, "Share of a pit full of clean rubble that water can fill.")
SOAKAWAY_DISTANCE_M = Sourced(5.0, "m", "approved-document-h", "H3", READ, "From any building; further on clay or below you.")
HALF_EMPTY_H = Sourced(24.0, "h", "bre-365", "time to half empty", MEMORY)

FALL_FROM_WALLS = Sourced(0.05, "gradient", "irc", "R401.3", READ, "6 in over the first 10 ft.")
FALL_FROM_WALLS_OVER_M = Sourced(3.048, "m", "irc", "R401.3", READ, "10 ft.")


# Rain.


def effective_roof_factor(pitch_deg: float) -> float:
    """How much more rain a sloping roof catches than its plan, when wind drives it.

    pitch_deg: slope of the roof, degrees, 0 to 70.
    Returns effective area over plan area, no unit.
    Raises ValueError outside that range.
    Source: Approved Document H3 and EN 12056-3, as quoted: W L + H L / 2 over W L.

    >>> [round(effective_roof_factor(pitch), 2) for pitch in (30.0, 45.0, 60.0)]
    [1.29, 1.5, 1.87]
    """
    if not 0.0 <= pitch_deg <= STEEPEST_ROOF_DEG.value:
        raise ValueError(f"a roof's pitch must be 0 to {STEEPEST_ROOF_DEG.value:g} degrees for this rule, not {pitch_deg}")
    return 1.0 + math.tan(math.radians(pitch_deg)) / 2.0


def effective_roof_area_m2(width_m: float, length_m: float, rise_m: float) -> float:
    """Effective area of one slope of a roof, for driven rain.

    width_m: plan of the slope from eaves to ridge, m, above 0.  length_m: along the eaves, m, above 0.
    rise_m: from eaves to ridge, m, 0 or more.
    Returns area, m2.
    Raises ValueError outside those ranges, or for a slope above 70 degrees.
    Source: Approved Document H3 and EN 12056-3, as quoted: W L + H L / 2.

    >>> round(effective_roof_area_m2(2.1, 6.6, 0.8), 2)
    16.5
    """
    if not (width_m > 0.0 and length_m > 0.0 and rise_m >= 0.0):
        raise ValueError(f"a roof slope needs a width and a length above 0 and a rise of 0 m or more, not {width_m}, {length_m} and {rise_m} m")
    return effective_roof_factor(math.degrees(math.atan2(rise_m, width_m))) * width_m * length_m


def run_off_m3_per_s(
    effective_roof_m2: float,
    paving_m2: float = 0.0,
    rain_on_roof_m_per_s: float = RAIN_ON_ROOFS_M_PER_S.value,
    rain_on_paving_m_per_s: float = RAIN_ON_PAVING_M_PER_S.value,
) -> float:
    """Water that a heavy storm brings, all of it running off.

    effective_roof_m2: m2, 0 or more.  paving_m2: m2, 0 or more.
    rain_on_roof_m_per_s, rain_on_paving_m_per_s: m3 a second on each m2, 0 to 0.0001.
    Returns flow, m3/s.
    Raises ValueError outside those ranges.
    Source: Approved Document H3 and EN 12056-3, as quoted.

    >>> round(run_off_m3_per_s(35.0, 10.0) * 1000, 3)
    0.875
    """
    if not (effective_roof_m2 >= 0.0 and paving_m2 >= 0.0):
        raise ValueError(f"areas must be 0 m2 or more, not {effective_roof_m2} and {paving_m2} m2")
    for rain in (rain_on_roof_m_per_s, rain_on_paving_m_per_s):
        if not 0.0 <= rain <= 1e-4:
            raise ValueError(f"rain must be 0 to 0.0001 m/s (0.1 litres a second on each m2), not {rain} m/s")
    return effective_roof_m2 * rain_on_roof_m_per_s + paving_m2 * rain_on_paving_m_per_s


# Pipes.


def full_bore_m_per_s(
    diameter_m: float, gradient: float, roughness_m: float = ROUGHNESS_M.value, viscosity_m2_per_s: float = VISCOSITY_M2_PER_S.value
) -> float:
    """Speed of water in a round pipe running just full.

    diameter_m: bore, m, 0.02 to 3.  gradient: fall over length, above 0 and at most 0.5.
    roughness_m: m, 0 to 0.01.  viscosity_m2_per_s: m2/s, 5e-7 to 2e-6.
    Returns speed, m/s.
    Raises ValueError outside those ranges, or where the flow is not turbulent.
    Source: Colebrook and White, as in the Sewerage Manual (Hong Kong) design sheet:
    V = -2 a log10(k / (3.7 D) + 2.51 v / (D a)), a = sqrt(2 g D S).

    >>> round(full_bore_m_per_s(0.3, 1 / 200), 2)
    1.11
    """
    if not 0.02 <= diameter_m <= 3.0:
        raise ValueError(f"a pipe's bore must be 0.02 to 3 m, not {diameter_m} m")
    if not 0.0 < gradient <= 0.5:
        raise ValueError(f"a pipe's fall must be above 0 and at most 0.5, not {gradient}")
    if not 0.0 <= roughness_m <= 0.01:
        raise ValueError(f"a pipe's roughness must be 0 to 0.01 m, not {roughness_m} m")
    if not 5e-7 <= viscosity_m2_per_s <= 2e-6:
        raise ValueError(f"the viscosity of water is 5e-7 to 2e-6 m2/s, not {viscosity_m2_per_s} m2/s")
    free_m_per_s = math.sqrt(2.0 * GRAVITY_M_PER_S2 * diameter_m * gradient)
    speed = -2.0 * free_m_per_s * math.log10(roughness_m / (3.7 * diameter_m) + 2.51 * viscosity_m2_per_s / (diameter_m * free_m_per_s))
    if speed * diameter_m / viscosity_m2_per_s < 4000.0:
        raise ValueError(f"water creeps too slowly in a pipe of {diameter_m} m at a fall of {gradient} for this formula")
    return speed


def full_bore_m3_per_s(
    diameter_m: float, gradient: float, roughness_m: float = ROUGHNESS_M.value, viscosity_m2_per_s: float = VISCOSITY_M2_PER_S.value
) -> float:
    """Flow of water in a round pipe running just full.

    diameter_m, gradient, roughness_m, viscosity_m2_per_s: m, no unit, m, m2/s, as in `full_bore_m_per_s`.
    Returns flow, m3/s.
    Raises ValueError as that does.
    Source: Colebrook and White, as there; flow is speed times the area of the bore.

    >>> round(full_bore_m3_per_s(0.3, 1 / 200) * 1000, 1)
    78.2
    """
    return full_bore_m_per_s(diameter_m, gradient, roughness_m, viscosity_m2_per_s) * math.pi * diameter_m**2 / 4.0


def manning_m_per_s(hydraulic_radius_m: float, gradient: float, roughness: float) -> float:
    """Speed of water in an open channel or a ditch.

    hydraulic_radius_m: wet area over wetted edge, m, above 0 and at most 10.
    gradient: fall over length, above 0 and at most 0.5.  roughness: Manning's n, 0.008 to 0.2.
    Returns speed, m/s.
    Raises ValueError outside those ranges.
    Source: Manning, as in Cengel and Cimbala, Fluid Mechanics: V = R^(2/3) sqrt(S) / n.

    >>> round(manning_m_per_s(0.2859, 0.005236, 0.03), 4)
    1.0468
    """
    if not 0.0 < hydraulic_radius_m <= 10.0:
        raise ValueError(f"a hydraulic radius must be above 0 and at most 10 m, not {hydraulic_radius_m} m")
    if not 0.0 < gradient <= 0.5:
        raise ValueError(f"a channel's fall must be above 0 and at most 0.5, not {gradient}")
    if not 0.008 <= roughness <= 0.2:
        raise ValueError(f"Manning's n must be 0.008 to 0.2, not {roughness}")
    return hydraulic_radius_m ** (2.0 / 3.0) * math.sqrt(gradient) / roughness


def least_fall_rule(diameter_m: float) -> Sourced:
    """Flattest fall of a rainwater drain of a size, with its source.

    diameter_m: bore, m, 0.05 to 0.3.
    Returns a Sourced gradient, no unit.
    Raises ValueError outside that range.
    Source: Approved Document H3, from memory.

    >>> 1 / least_fall_rule(0.1).value, 1 / least_fall_rule(0.15).value
    (100.0, 150.0)
    """
    if not 0.05 <= diameter_m <= LEAST_FALLS[-1][0] + TOLERANCE:
        raise ValueError(f"falls are held for pipes of 0.05 to {LEAST_FALLS[-1][0]:g} m, not {diameter_m} m")
    return next(fall for largest_m, fall in LEAST_FALLS if diameter_m <= largest_m + TOLERANCE)


def least_pipe_m(flow_m3_per_s: float, gradient: float, roughness_m: float = ROUGHNESS_M.value) -> float:
    """Smallest drain sold that takes a flow when it runs just full.

    flow_m3_per_s: m3/s, 0 or more.  gradient: fall over length, above 0 and at most 0.5.
    roughness_m: m, 0 to 0.01.
    Returns bore, m: one of 75, 100, 150, 225 and 300 mm that may be laid so flat.
    Raises ValueError for a flow that none of them takes at that fall.
    Source: Colebrook and White, as in `full_bore_m_per_s`; least size and falls by Approved Document H3, from memory.

    >>> least_pipe_m(0.0012, 1 / 80), least_pipe_m(0.009, 1 / 80)
    (0.075, 0.15)
    """
    if not flow_m3_per_s >= 0.0:
        raise ValueError(f"a flow must be 0 m3/s or more, not {flow_m3_per_s} m3/s")
    for size_m in PIPE_SIZES_M:
        if gradient >= least_fall_rule(size_m).value - TOLERANCE and full_bore_m3_per_s(size_m, gradient, roughness_m) >= flow_m3_per_s:
            return size_m
    raise ValueError(f"no drain up to {PIPE_SIZES_M[-1]:g} m takes {flow_m3_per_s} m3/s at a fall of {gradient:.4g}: ask a drainage designer")


def drop_m(length_m: float, gradient: float) -> float:
    """How much lower a pipe ends than it begins.

    length_m: m, 0 or more.  gradient: fall over length, 0 to 0.5.
    Returns drop, m.
    Raises ValueError outside those ranges.
    Source: geometry.

    >>> round(drop_m(12.0, 1 / 80), 3)
    0.15
    """
    if not (length_m >= 0.0 and 0.0 <= gradient <= 0.5):
        raise ValueError(f"a pipe needs a length of 0 m or more and a fall of 0 to 0.5, not {length_m} m and {gradient}")
    return length_m * gradient


def cover_m(surface_m: float, invert_m: float, outside_diameter_m: float, wall_m: float = 0.0) -> float:
    """Depth from a surface, or the underside of a slab, down to the top of a pipe.

    surface_m, invert_m: levels, m, any datum; the invert is the lowest point inside the pipe.
    outside_diameter_m: m, above 0 and at most 1.  wall_m: thickness of the pipe, m, 0 to half of that.
    Returns cover, m; negative where the pipe stands out.
    Raises ValueError outside those ranges.
    Source: geometry.

    >>> round(cover_m(0.0, -0.6, 0.11, 0.003), 3)
    0.493
    """
    if not 0.0 < outside_diameter_m <= 1.0:
        raise ValueError(f"a pipe must be above 0 and at most 1 m across, not {outside_diameter_m} m")
    if not 0.0 <= wall_m < outside_diameter_m / 2.0:
        raise ValueError(f"a pipe's wall must be 0 m or more and less than half its size, not {wall_m} m")
    return surface_m - (invert_m - wall_m + outside_diameter_m)


def float_uplift_kn_per_m(outside_diameter_m: float, pipe_kg_per_m: float, water_inside_m2: float = 0.0,
                          fluid_kg_per_m3: float = WET_CONCRETE_KG_PER_M3.value) -> float:
    """Upward force on a pipe, for each metre of it, while wet concrete surrounds it.

    outside_diameter_m: m, above 0 and at most 1.  pipe_kg_per_m: its own mass, kg/m, 0 or more.
    water_inside_m2: area of the bore that is filled with water, m2, 0 or more.
    fluid_kg_per_m3: what surrounds it, kg/m3, 900 to 3000.
    Returns force, kN/m; negative where it sinks.
    Raises ValueError outside those ranges.
    Source: Archimedes; a fluid of 2400 kg/m3 for wet concrete is common practice.

    >>> round(float_uplift_kn_per_m(0.11, 1.5), 3)
    0.209
    >>> round(float_uplift_kn_per_m(0.11, 1.5, 0.00849), 3)
    0.126
    """
    if not 0.0 < outside_diameter_m <= 1.0:
        raise ValueError(f"a pipe must be above 0 and at most 1 m across, not {outside_diameter_m} m")
    if not (pipe_kg_per_m >= 0.0 and 0.0 <= water_inside_m2 <= math.pi * outside_diameter_m**2 / 4.0):
        raise ValueError(f"a pipe's mass must be 0 kg/m or more and the water must fit inside, not {pipe_kg_per_m} kg/m and {water_inside_m2} m2")
    if not 900.0 <= fluid_kg_per_m3 <= 3000.0:
        raise ValueError(f"the fluid must be 900 to 3000 kg/m3, not {fluid_kg_per_m3} kg/m3")
    pushed_aside = fluid_kg_per_m3 * math.pi * outside_diameter_m**2 / 4.0
    return (pushed_aside - pipe_kg_per_m - WATER_KG_PER_M3.value * water_inside_m2) * GRAVITY_M_PER_S2 / 1000.0


def tie_spacing_m(uplift_kn_per_m: float, tie_kn: float, factor: float = HOLD_DOWN_FACTOR.value) -> float:
    """How far apart ties may be that hold a pipe down in wet concrete.

    uplift_kn_per_m: kN/m, above 0.  tie_kn: what one tie with its stake holds, kN, above 0.
    factor: how many times the uplift must be held, 1 or more (no unit).
    Returns spacing, m.
    Raises ValueError outside those ranges.
    Source: statics; the factor is common practice, no source.

    >>> round(tie_spacing_m(0.209, 0.3), 2)
    0.96
    """
    if not (uplift_kn_per_m > 0.0 and tie_kn > 0.0 and factor >= 1.0):
        raise ValueError(f"uplift and tie must be above 0 and the factor 1 or more, not {uplift_kn_per_m} kN/m, {tie_kn} kN and {factor}")
    return tie_kn / (factor * uplift_kn_per_m)


# Soakaways.


def soakaway_storage_m3(drained_m2: float) -> float:
    """Water that a small soakaway must hold.

    drained_m2: roof and paving drained to it, m2, 0 to 100.
    Returns volume of water, m3: 10 mm over the area up to 25 m2; above that area x 50 / 3000.
    Raises ValueError outside that range: a larger one is designed from a soakage test.
    Source: Approved Document H3 (read); council guidance (read).

    >>> round(soakaway_storage_m3(50.0), 2), soakaway_storage_m3(25.0)
    (0.83, 0.25)
    """
    if not drained_m2 >= 0.0:
        raise ValueError(f"the area drained must be 0 m2 or more, not {drained_m2} m2")
    if drained_m2 <= SOAKAWAY_SMALL_ROOF_M2.value + TOLERANCE:
        return drained_m2 * SOAKAWAY_SMALL_RAIN_M.value
    if drained_m2 <= SOAKAWAY_ROOF_M2.value + TOLERANCE:
        return drained_m2 * SOAKAWAY_DEPTH_M.value
    raise ValueError(f"a soakaway for {drained_m2:g} m2 is past this rule, which ends at {SOAKAWAY_ROOF_M2.value:g} m2: ask a drainage designer")


def soakaway_pit_m3(drained_m2: float, voids: float = RUBBLE_VOIDS.value) -> float:
    """Size of the pit that holds that water.

    drained_m2: m2, 0 to 100.  voids: share of the pit that water can fill, above 0 and at most 1
    (0.3 for clean rubble, about 0.95 for plastic crates).
    Returns volume below the incoming pipe, m3.
    Raises ValueError outside those ranges.
    Source: council guidance (read): the water over 0.3 for rubble.

    >>> round(soakaway_pit_m3(50.0), 1)
    2.8
    """
    if not 0.0 < voids <= 1.0:
        raise ValueError(f"the voids of a soakaway's filling must be above 0 and at most 1, not {voids}")
    return soakaway_storage_m3(drained_m2) / voids


def infiltration_m_per_s(length_m: float, width_m: float, effective_depth_m: float, fall_time_s: float) -> float:
    """How fast the ground takes water, from a test pit filled and left to empty.

    length_m, width_m: the pit, m, above 0.  effective_depth_m: from its bottom to the full mark, m, above 0.
    fall_time_s: time in which the water fell from three quarters to a quarter of that depth, s, above 0.
    Returns rate, m/s.
    Raises ValueError for anything of 0 or less.
    Source: BRE Digest 365: half the volume over the wetted area at half depth, bottom included, and the time.

    >>> round(infiltration_m_per_s(1.0, 0.75, 1.0, 56 * 60.0) * 1e5, 3)
    4.464
    """
    if not (length_m > 0.0 and width_m > 0.0 and effective_depth_m > 0.0 and fall_time_s > 0.0):
        raise ValueError(f"a test pit needs sizes and a time above 0, not {length_m} x {width_m} x {effective_depth_m} m and {fall_time_s} s")
    fell_m3 = length_m * width_m * effective_depth_m / 2.0
    wetted_m2 = length_m * width_m + 2.0 * (length_m + width_m) * effective_depth_m / 2.0
    return fell_m3 / (wetted_m2 * fall_time_s)


def half_empty_h(storage_m3: float, pit_length_m: float, pit_width_m: float, effective_depth_m: float, soaks_m_per_s: float) -> float:
    """Time in which a full soakaway empties to half, through its sides alone.

    storage_m3: water it holds, m3, above 0.  pit_length_m, pit_width_m, effective_depth_m: m, above 0.
    soaks_m_per_s: rate from a test, m/s, above 0.
    Returns hours.
    Raises ValueError for anything of 0 or less.
    Source: BRE Digest 365, from memory: half the storage over the rate and the sides to half depth;
    the bottom is left out, because silt closes it.

    >>> round(half_empty_h(0.83, 1.6, 1.2, 1.45, 4.464e-5), 2)
    0.64
    """
    if not all(value > 0.0 for value in (storage_m3, pit_length_m, pit_width_m, effective_depth_m, soaks_m_per_s)):
        raise ValueError("a soakaway's storage, sizes and rate must be above 0")
    sides_m2 = 2.0 * (pit_length_m + pit_width_m) * effective_depth_m / 2.0
    return storage_m3 / 2.0 / (sides_m2 * soaks_m_per_s) / 3600.0


# The plot.


OUTSIDE_OVER_BORE = common_practice(1.1, "", "Plastic drain pipe: 110 mm outside for 100 mm inside, and other sizes in proportion.")
PIPE_KG_PER_M3 = common_practice(125.0, "kg/m3", "Plastic drain pipe: mass of a metre over the square of its outside, 1.5 kg/m at 110 mm; a wider pipe has a thicker wall in proportion.")

# What stands in for what nobody has said of the drains, by field of `Drainage`; outside and mass of the pipe go with its bore.
USUAL_DRAINAGE: dict[str, Sourced] = {
    "pipe_m": common_practice(0.100, "m", "The usual size under a garden."),
    "gradient": PIPE_GRADIENT,
    "overhang_m": EAVES_OVERHANG_M,
    "roughness_m": ROUGHNESS_M,
    "soakaway_voids": RUBBLE_VOIDS,
    "tie_kn": common_practice(0.3, "kN", "One wire tie with its stake in firm ground."),
}


def with_usual(drainage: Drainage) -> Drainage:
    """The same drains with the usual figure wherever nothing was said and one is held.

    drainage: m, m2, m3, m/s, kN.  Raises nothing.
    Source: `USUAL_DRAINAGE`; a pipe's outside and mass by `OUTSIDE_OVER_BORE` and `PIPE_KG_PER_M3`, common practice.

    >>> with_usual(Drainage(pipe_m=0.15)).pipe_m, with_usual(Drainage()).pipe_m
    (0.15, 0.1)
    >>> wide = with_usual(Drainage(pipe_m=0.15))
    >>> round(wide.pipe_outside_m, 6), round(wide.pipe_kg_per_m, 2)
    (0.165, 3.4)
    """
    known = replace(drainage, **{name: usual.value for name, usual in USUAL_DRAINAGE.items() if getattr(drainage, name) is None})
    outside_m = known.pipe_m * OUTSIDE_OVER_BORE.value if known.pipe_outside_m is None else known.pipe_outside_m
    kg_per_m = PIPE_KG_PER_M3.value * outside_m**2 if known.pipe_kg_per_m is None else known.pipe_kg_per_m
    return replace(known, pipe_outside_m=outside_m, pipe_kg_per_m=kg_per_m)


METHOD = "water"
DESIGNER = "a drainage designer"


def roof_plan_m2(site: Site, overhang_m: float = EAVES_OVERHANG_M.value) -> float:
    """Plan of the roof, m2: the footprint with its eaves.

    site; overhang_m: beyond the walls, all round, m, 0 to 1.5.
    Raises ValueError outside that range.
    Source: geometry.
    """
    if not 0.0 <= overhang_m <= 1.5:
        raise ValueError(f"eaves must overhang 0 to 1.5 m, not {overhang_m} m")
    return site.plan.area_inset_m2(-overhang_m)


def site_effective_roof_m2(site: Site, overhang_m: float = EAVES_OVERHANG_M.value) -> float:
    """Effective area of the scenario's whole roof for driven rain, m2.

    site; overhang_m: m, 0 to 1.5.  Both slopes of a pitched roof are counted as
    driven on, and the eaves as long as the longest side, which errs to the wet side.
    Raises ValueError outside that range.
    Source: Approved Document H3 and EN 12056-3, as quoted: plan + H L / 2 for each slope.
    """
    building = site.scenario.building
    plan_m2 = roof_plan_m2(site, overhang_m)
    slopes = {"flat": 0, "mono-pitch": 1, "pitched": 2}[building.roof_shape]
    rise_m = max(0.0, building.ridge_height_m - building.wall_height_m)
    eaves_m = max(side.length_m for side in site.plan.sides) + 2.0 * overhang_m
    return plan_m2 + slopes * rise_m * eaves_m / 2.0


def water_checks(site: Site, works: Works, drainage: Drainage | None = None) -> tuple[Check, ...]:
    """What rain does with this building on this plot, check by check.

    site; works: as laid out; drainage: instead of what the scenario says of the drains (m, m2, m3, m/s, kN).
    Returns Checks: flows m3/s, speeds m/s, falls as gradients, volumes m3, lengths m, forces kN/m.
    Raises ValueError for drains out of range.
    Source: Approved Document H3, BRE Digest 365, IRC R401.3, each named in its check.
    """
    drainage = with_usual(site.scenario.drainage if drainage is None else drainage)
    checks = _pipe_checks(site, drainage)
    if site.scenario.plot.outfall:
        checks.append(_explained(Check(
            "Outfall of the drains", None, None, "", None, "within", "Drains need lower ground, a ditch or a sewer to run to; its owner's consent may be needed.",
            "common practice, no source", COMMON_PRACTICE), "plot.outfall is yes"))
    checks += _soakaway_checks(site, drainage)
    checks += _ground_checks(site, works)
    checks += _under_slab_checks(drainage)
    return tuple(checks)


def _explained(check: Check, working: str) -> Check:
    return replace(check, working=working, method=METHOD)


def _pipe_checks(site: Site, drainage: Drainage) -> list[Check]:
    roof_m2 = site_effective_roof_m2(site, drainage.overhang_m)
    flow = run_off_m3_per_s(roof_m2, drainage.paving_m2)
    takes = full_bore_m3_per_s(drainage.pipe_m, drainage.gradient, drainage.roughness_m)
    capacity = Sourced(takes, "m3/s", "hong-kong-sewerage", "Colebrook-White, full bore", READ)
    least = least_fall_rule(drainage.pipe_m)
    return [
        _explained(
            check_at_most("Rain off the roof and paving in one pipe", flow, capacity,
                          "A pipe that runs over its full bore backs up to the gutters; a wider or steeper one, or a second, carries more.", DESIGNER),
            f"Q = A q = {roof_m2:.4g} m2 x {RAIN_ON_ROOFS_M_PER_S.value:.3g} m/s + {drainage.paving_m2:.4g} m2 x {RAIN_ON_PAVING_M_PER_S.value:.3g} m/s = {flow:.3g} m3/s; "
            f"full pipe of D = {drainage.pipe_m:g} m at S = {drainage.gradient:.4g}, k = {drainage.roughness_m:g} m: {takes:.3g} m3/s"),
        _explained(
            check_at_least("Fall of the drain", drainage.gradient, least, "A drain laid flatter than this silts up.", DESIGNER),
            f"S = {drainage.gradient:.4g} against {least.value:.4g} for a bore of {drainage.pipe_m:g} m"),
    ]


def _soakaway_checks(site: Site, drainage: Drainage) -> list[Check]:
    """Size, distance and emptying of a soakaway, where one is meant or there is no outfall."""
    if drainage.soakaway_m3 is None and site.scenario.plot.outfall:
        return []
    drained = roof_plan_m2(site, drainage.overhang_m) + drainage.paving_m2
    checks = []
    name = "Size of the soakaway"
    sentence = "A pit that is too small floods in a storm; this rule is for ground that takes water, which a soakage test shows."
    if drained > SOAKAWAY_ROOF_M2.value + TOLERANCE:
        checks.append(_explained(Check(name, drainage.soakaway_m3, None, "m3", None, "not worked out",
                                       f"The simple rule ends at {SOAKAWAY_ROOF_M2.value:g} m2 drained: ask {DESIGNER}.", "", COMMON_PRACTICE),
                                 f"A = {drained:.4g} m2"))
    else:
        wanted = soakaway_pit_m3(drained, drainage.soakaway_voids)
        small = drained <= SOAKAWAY_SMALL_ROOF_M2.value + TOLERANCE
        rule = replace(SOAKAWAY_SMALL_RAIN_M if small else SOAKAWAY_DEPTH_M, value=wanted, unit="m3")
        depth = SOAKAWAY_SMALL_RAIN_M.value if small else SOAKAWAY_DEPTH_M.value
        working = f"V = A x {depth:.4g} m / voids = {drained:.4g} m2 x {depth:.4g} m / {drainage.soakaway_voids:g} = {wanted:.3g} m3"
        if drainage.soakaway_m3 is None:
            checks.append(_explained(Check(name, None, wanted, "m3", None, "not worked out", sentence, rule.citation, rule.mark), working))
        else:
            checks.append(_explained(check_at_least(name, drainage.soakaway_m3, rule, sentence, DESIGNER), working))
    name, sentence = "Distance of the soakaway from the building", "Water let into the ground nearer than this softens what the footings stand on."
    if drainage.soakaway_distance_m is None:
        distance = Check(name, None, SOAKAWAY_DISTANCE_M.value, "m", None, "not worked out", sentence, SOAKAWAY_DISTANCE_M.citation, SOAKAWAY_DISTANCE_M.mark)
        working = f"at least {SOAKAWAY_DISTANCE_M.value:g} m"
    else:
        distance = check_at_least(name, drainage.soakaway_distance_m, SOAKAWAY_DISTANCE_M, sentence, DESIGNER)
        working = f"{drainage.soakaway_distance_m:.4g} m against {SOAKAWAY_DISTANCE_M.value:g} m"
    checks.append(_explained(distance, working))
    name, sentence = "Soakaway half empty again", "A soakaway that empties more slowly is still full when the next storm comes."
    if drainage.soaks_m_per_s is None or drainage.pit_m is None or drainage.soakaway_m3 is None:
        checks.append(_explained(Check(name, None, HALF_EMPTY_H.value, "h", None, "not worked out", sentence, HALF_EMPTY_H.citation, HALF_EMPTY_H.mark),
                                 "needs the pit and the rate of a soakage test"))
    else:
        length, width, depth = drainage.pit_m
        storage = drainage.soakaway_m3 * drainage.soakaway_voids
        hours = half_empty_h(storage, length, width, depth, drainage.soaks_m_per_s)
        checks.append(_explained(
            check_at_most(name, hours, HALF_EMPTY_H, sentence, DESIGNER),
            f"t = 0.5 x {storage:.3g} m3 / ({length + width:.3g} m x {depth:.3g} m x {drainage.soaks_m_per_s:.3g} m/s) / 3600 = {hours:.3g} h"))
    return checks


def _ground_checks(site: Site, works: Works) -> list[Check]:
    """Fall of the existing ground away from each wall, the worst side; and the drain that makes up for it uphill."""
    falls = [(side.name, _fall_outward(site, side)) for side in site.plan.sides]
    worst = min(fall for _, fall in falls)
    check = check_at_least(
        "Ground falling away from the walls", worst, FALL_FROM_WALLS,
        "Rain must run away from every wall, over the first 3 m; where the ground stands higher it is reshaped, or a drain there catches the water.",
        "a builder")
    drained = works.measures.get("land_drain_m", 0.0) > 0.0 and site.scenario.plot.outfall
    reshaped = worst >= -LEVEL_GROUND_GRADIENT
    if check.verdict == "outside" and (drained or reshaped):
        # It holds on a condition: a drain with an outfall, or ground that is nearly level and easily raked to a fall.
        check = replace(check, verdict="close", ask="", ratio=None)
    return [_explained(check, f"{worst_of('side', ((name, -fall) for name, fall in falls))}: {worst:.3g} over {FALL_FROM_WALLS_OVER_M.value:.3g} m of existing ground, less than 0 towards the wall; at least {FALL_FROM_WALLS.value:g}")]


def _fall_outward(site: Site, side) -> float:
    """Fall of existing ground away from the middle of a side, over the first 10 ft; a gradient, negative towards the wall."""
    middle, reach = side.length_m / 2.0, FALL_FROM_WALLS_OVER_M.value
    marks = profile(site.ground, side.at(middle, 0.0), side.at(middle, -reach))
    return (marks[0][1] - marks[-1][1]) / reach


def _under_slab_checks(drainage: Drainage) -> list[Check]:
    """Cover over a pipe under the slab, and what holds it down where concrete surrounds it."""
    if drainage.under_slab_cover_m is None:
        return []
    check = check_at_least(
        "Cover over the drain under the slab", drainage.under_slab_cover_m, COVER_UNDER_SLAB_M,
        "A pipe with less stone over it is cast in concrete with the slab, and tied down so that it does not float.", DESIGNER)
    cast_in = check.verdict == "outside"
    if cast_in and drainage.under_slab_cover_m >= 0.0:
        check = replace(check, verdict="close", ask="")
    found = [_explained(check, f"{drainage.under_slab_cover_m:.3g} m against {COVER_UNDER_SLAB_M.value:g} m")]
    if not cast_in:
        return found
    uplift = float_uplift_kn_per_m(drainage.pipe_outside_m, drainage.pipe_kg_per_m)
    name, sentence = "Pipe held down during the pour", "An empty pipe floats in wet concrete; ties to stakes hold it, and filling it with water helps."
    apart = tie_spacing_m(uplift, drainage.tie_kn)
    working = (
        f"F = ({WET_CONCRETE_KG_PER_M3.value:g} x pi x {drainage.pipe_outside_m:.4g}^2 / 4 - {drainage.pipe_kg_per_m:.3g}) x 0.00981 = {uplift:.3g} kN/m; "
        f"ties of {drainage.tie_kn:g} kN no further apart than {drainage.tie_kn:g} / ({HOLD_DOWN_FACTOR.value:g} x {uplift:.3g}) = {apart:.3g} m")
    if drainage.tie_spacing_m is None:
        tied = Check(name, None, apart, "m", None, "not worked out", sentence, HOLD_DOWN_FACTOR.citation, HOLD_DOWN_FACTOR.mark)
    else:
        limit = common_practice(apart, "m", "Spacing of ties.")
        tied = check_at_most(name, drainage.tie_spacing_m, limit, sentence, "a builder")
    return [*found, _explained(tied, working)]
