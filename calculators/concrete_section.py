"""A concrete edge or footing as a section: what it is made of and what it takes.

Stresses in MPa, forces in kN, moments in kN m.  One layer of steel in tension,
rectangular section; compression steel is left out, which is the cautious way.
Crack widths and deflections are not worked out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.sources import MEMORY, Sourced, common_practice

STEEL_YIELD_MPA = Sourced(500.0, "MPa", "bs-4449", "grade B500", MEMORY)
STEEL_FACTOR = Sourced(1.15, "", "en-1992-1-1", "Table 2.1N", MEMORY, "On the yield of steel.")
CONCRETE_FACTOR = Sourced(1.5, "", "en-1992-1-1", "Table 2.1N", MEMORY, "On the strength of concrete.")
LONG_LOAD_FACTOR = Sourced(0.85, "", "en-1992-1-1", "3.1.6, as the United Kingdom sets it", MEMORY, "For load that stays; the document itself recommends 1.")
PLAIN_TENSION_FACTOR = Sourced(0.8, "", "en-1992-1-1", "12.3.1", MEMORY, "Plain concrete gives no warning.")
LOWER_TENSION_SHARE = Sourced(0.7, "", "en-1992-1-1", "Table 3.1", MEMORY, "Strength that 95 in 100 reach, over the mean.")
STRESS_BLOCK_DEPTH = Sourced(0.8, "", "en-1992-1-1", "3.1.7(3)", MEMORY, "Depth of the stress block over that of the squeezed part, to 50 MPa.")
GREATEST_SQUEEZED_SHARE = Sourced(0.45, "", "en-1992-1-1", "5.5", MEMORY, "Of the depth to the steel; past it the section fails without warning.")
GREATEST_LEVER_SHARE = common_practice(0.95, "", "Lever arm over depth to the steel; a thin skin of poor concrete at the face is not counted on.")
SPARE_STEEL_SHARE = Sourced(1.2, "", "en-1992-1-1", "9.2.1.1 note 2", MEMORY, "A secondary member may hold this times what strength asks, instead of the least steel.")

HARDENING_BY_CEMENT: dict[str, Sourced] = {
    "rapid": Sourced(0.20, "", "en-1992-1-1", "3.1.2(6)", MEMORY),
    "normal": Sourced(0.25, "", "en-1992-1-1", "3.1.2(6)", MEMORY),
    "slow": Sourced(0.38, "", "en-1992-1-1", "3.1.2(6)", MEMORY),
}

LEAST_FCK_MPA, GREATEST_FCK_MPA = 12.0, 50.0
FOOTING_FCK_MPA = common_practice(16.0, "MPa", "C16/20, a mix stronger than the weakest that is poured in trenches.")


def mean_tension_mpa(fck_mpa: float) -> float:
    """Mean tensile strength of concrete, fctm.

    fck_mpa: cylinder strength at 28 days, MPa, 12 to 50.  Returns MPa.
    Raises ValueError outside that range.
    Source: EN 1992-1-1 (2004), Table 3.1: 0.30 fck^(2/3), as quoted.

    >>> round(mean_tension_mpa(25.0), 3)
    2.565
    """
    return 0.30 * _fck(fck_mpa) ** (2.0 / 3.0)


def stiffness_gpa(fck_mpa: float) -> float:
    """Mean stiffness of concrete, Ecm.

    fck_mpa: MPa, 12 to 50.  Returns GPa.
    Raises ValueError outside that range.
    Source: EN 1992-1-1 (2004), Table 3.1: 22 ((fck + 8)/10)^0.3, as quoted.

    >>> round(stiffness_gpa(30.0), 1)
    32.8
    """
    return 22.0 * ((_fck(fck_mpa) + 8.0) / 10.0) ** 0.3


def strength_share_at_age(age_days: float, cement: str = "normal") -> float:
    """Mean strength at an age over that at 28 days, cured at 20 degrees: beta_cc.

    age_days: days, above 0.  cement: rapid, normal or slow hardening (words).
    Returns a ratio, no unit.
    Raises ValueError for an age of 0 or less, or another cement.
    Source: EN 1992-1-1 (2004), 3.1.2(6), as quoted: exp(s (1 - sqrt(28/t))).

    >>> round(strength_share_at_age(9.0), 7), strength_share_at_age(28.0)
    (0.8261668, 1.0)
    """
    if not age_days > 0.0:
        raise ValueError(f"concrete must be older than 0 days, not {age_days} days")
    if cement not in HARDENING_BY_CEMENT:
        raise ValueError(f"cement is {', '.join(HARDENING_BY_CEMENT)}, not {cement!r}")
    return math.exp(HARDENING_BY_CEMENT[cement].value * (1.0 - math.sqrt(28.0 / age_days)))


def plain_bending_strength_mpa(fck_mpa: float, thickness_m: float) -> float:
    """Tension that plain concrete may be asked to take in bending, with its factor.

    fck_mpa: MPa, 12 to 50.  thickness_m: m, above 0 and at most 2.
    Returns MPa: thin sections take more than thick ones, up to 1.6 m less the thickness.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 3.1.8 and 2.4.2.4, from memory.

    >>> round(plain_bending_strength_mpa(25.0, 0.1), 3), round(plain_bending_strength_mpa(25.0, 0.9), 3)
    (1.795, 1.197)
    """
    if not 0.0 < thickness_m <= 2.0:
        raise ValueError(f"a section must be above 0 and at most 2 m thick, not {thickness_m} m")
    return max(1.6 - thickness_m, 1.0) * LOWER_TENSION_SHARE.value * mean_tension_mpa(fck_mpa) / CONCRETE_FACTOR.value


def plain_tension_mpa(fck_mpa: float) -> float:
    """Design tension of plain concrete, fctd,pl.

    fck_mpa: MPa, 12 to 50.  Returns MPa.
    Raises ValueError outside that range.
    Source: EN 1992-1-1 (2004), 12.3.1, from memory.

    >>> round(plain_tension_mpa(16.0), 3)
    0.711
    """
    return PLAIN_TENSION_FACTOR.value * LOWER_TENSION_SHARE.value * mean_tension_mpa(fck_mpa) / CONCRETE_FACTOR.value


def plain_moment_knm(width_m: float, thickness_m: float, fck_mpa: float) -> float:
    """Moment that a plain rectangular section takes before it may crack.

    width_m, thickness_m: m, above 0.  fck_mpa: MPa, 12 to 50.
    Returns kN m; past it there is nothing.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 12.3.1, from memory: fctd b h2 / 6.

    >>> round(plain_moment_knm(0.45, 0.3, 28.0), 2)
    6.97
    """
    if not (width_m > 0.0 and thickness_m > 0.0):
        raise ValueError(f"a section needs a width and a thickness above 0 m, not {width_m} m and {thickness_m} m")
    return plain_tension_mpa(fck_mpa) * 1000.0 * width_m * thickness_m**2 / 6.0


def least_tension_steel_m2(width_m: float, depth_m: float, fck_mpa: float, yield_mpa: float = STEEL_YIELD_MPA.value) -> float:
    """Least steel in tension in a beam or suspended slab, so that it bends before it breaks.

    width_m: of the tension zone, m, above 0.  depth_m: from the squeezed face to the steel, m, above 0.
    fck_mpa: MPa, 12 to 50.  yield_mpa: MPa, 400 to 600.
    Returns m2.  It is not for fabric in a slab that lies on the ground.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 9.2.1.1, from memory: the greater of 0.26 fctm/fyk and 0.0013, times b d.

    >>> round(least_tension_steel_m2(1.0, 0.11, 25.0) * 1e6, 1)
    146.7
    """
    _sizes(width_m, depth_m)
    return max(0.26 * mean_tension_mpa(fck_mpa) / _yield(yield_mpa), 0.0013) * width_m * depth_m


def has_least_tension_steel(steel_m2: float, width_m: float, depth_m: float, fck_mpa: float) -> bool:
    """Whether a section holds the least steel.

    steel_m2: m2, 0 or more.  width_m, depth_m, fck_mpa: as `least_tension_steel_m2`.
    Returns True or False.
    Raises ValueError as that does, and for less than no steel.
    Source: EN 1992-1-1 (2004), 9.2.1.1, from memory.

    >>> has_least_tension_steel(141.4e-6, 1.0, 0.11, 25.0), has_least_tension_steel(192.4e-6, 1.0, 0.11, 25.0)
    (False, True)
    """
    if not steel_m2 >= 0.0:
        raise ValueError(f"steel must be 0 m2 or more, not {steel_m2} m2")
    return steel_m2 >= least_tension_steel_m2(width_m, depth_m, fck_mpa)


@dataclass(frozen=True)
class Bending:
    """A section bent until its steel yields: moment, kN m, lever arm and squeezed depth, m."""

    moment_knm: float
    lever_m: float
    squeezed_m: float


def bending(
    steel_m2: float,
    width_m: float,
    depth_m: float,
    fck_mpa: float,
    yield_mpa: float = STEEL_YIELD_MPA.value,
    long_load_factor: float = LONG_LOAD_FACTOR.value,
    greatest_lever_share: float = GREATEST_LEVER_SHARE.value,
) -> Bending:
    """A rectangular section with steel in tension only, bent to its design strength.

    steel_m2: m2, above 0.  width_m: of the squeezed face, m, above 0.
    depth_m: from that face to the steel, m, above 0.  fck_mpa: MPa, 12 to 50.
    yield_mpa: MPa, 400 to 600.  long_load_factor: 0.8 to 1.  greatest_lever_share: 0.5 to 1.
    Returns moment kN m, lever arm m and squeezed depth m.
    Raises ValueError outside those ranges, or where so much steel would crush the concrete first.
    Source: EN 1992-1-1 (2004), 3.1.7 and 6.1, rectangular stress block, from memory.

    >>> found = bending(226.2e-6, 0.45, 0.236, 28.0)
    >>> round(found.moment_knm, 2), round(found.lever_m, 4), round(found.squeezed_m, 4)
    (22.05, 0.2242, 0.0172)
    """
    _sizes(width_m, depth_m)
    if not (steel_m2 > 0.0 and 0.8 <= long_load_factor <= 1.0 and 0.5 <= greatest_lever_share <= 1.0):
        raise ValueError(f"bending needs steel above 0 m2, a long load factor of 0.8 to 1 and a lever share of 0.5 to 1, not {steel_m2} m2, {long_load_factor} and {greatest_lever_share}")
    pull_kn = steel_m2 * _yield(yield_mpa) / STEEL_FACTOR.value * 1000.0
    push_kn_per_m = STRESS_BLOCK_DEPTH.value * width_m * long_load_factor * _fck(fck_mpa) / CONCRETE_FACTOR.value * 1000.0
    squeezed = pull_kn / push_kn_per_m
    if squeezed > GREATEST_SQUEEZED_SHARE.value * depth_m:
        raise ValueError(f"with so much steel the concrete crushes first: {squeezed / depth_m:.2f} of the depth is squeezed, and the limit is {GREATEST_SQUEEZED_SHARE.value:g}")
    lever = min(depth_m - STRESS_BLOCK_DEPTH.value * squeezed / 2.0, greatest_lever_share * depth_m)
    return Bending(pull_kn * lever, lever, squeezed)


def moment_capacity_knm(
    steel_m2: float,
    width_m: float,
    depth_m: float,
    fck_mpa: float,
    yield_mpa: float = STEEL_YIELD_MPA.value,
) -> float:
    """Design moment of a rectangular section with steel in tension only.

    Inputs and errors as `bending` (m2, m, MPa).
    Returns kN m.
    Source: EN 1992-1-1 (2004), 3.1.7 and 6.1, from memory.

    >>> round(moment_capacity_knm(226.2e-6, 0.45, 0.386, 28.0), 1)
    36.1
    """
    return bending(steel_m2, width_m, depth_m, fck_mpa, yield_mpa).moment_knm


def steel_for_moment_m2(moment_knm: float, depth_m: float, yield_mpa: float = STEEL_YIELD_MPA.value) -> float:
    """Steel that a moment asks for in a lightly loaded section, whose lever arm is at its greatest.

    moment_knm: kN m, 0 or more.  depth_m: m, above 0.  yield_mpa: MPa, 400 to 600.
    Returns m2.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 6.1, from memory.

    >>> round(steel_for_moment_m2(22.05, 0.236) * 1e6, 1)
    226.2
    """
    if not moment_knm >= 0.0:
        raise ValueError(f"a moment must be 0 kN m or more, not {moment_knm} kN m")
    _sizes(1.0, depth_m)
    return moment_knm / 1000.0 / (_yield(yield_mpa) / STEEL_FACTOR.value * GREATEST_LEVER_SHARE.value * depth_m)


def shear_capacity_kn(steel_m2: float, width_m: float, depth_m: float, fck_mpa: float) -> float:
    """Shear that a section takes without links, V Rd,c.

    steel_m2: in tension, m2, 0 or more.  width_m, depth_m: m, above 0.  fck_mpa: MPa, 12 to 50.
    Returns kN.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 6.2.2, recommended values, from memory.

    >>> round(shear_capacity_kn(226.2e-6, 0.45, 0.236, 28.0), 1)
    52.4
    """
    _sizes(width_m, depth_m)
    if not steel_m2 >= 0.0:
        raise ValueError(f"steel must be 0 m2 or more, not {steel_m2} m2")
    size = min(2.0, 1.0 + math.sqrt(0.2 / depth_m))
    share = min(0.02, steel_m2 / (width_m * depth_m))
    by_steel = 0.18 / CONCRETE_FACTOR.value * size * (100.0 * share * _fck(fck_mpa)) ** (1.0 / 3.0)
    least = 0.035 * size**1.5 * math.sqrt(fck_mpa)
    return max(by_steel, least) * width_m * depth_m * 1000.0


def plain_footing_least_thickness_m(projection_m: float, pressure_kpa: float, fck_mpa: float) -> float:
    """Least thickness of a plain footing for what the ground pushes up on its projection.

    projection_m: concrete beyond the wall on one side, m, 0 or more.
    pressure_kpa: with factors, kPa, 0 or more.  fck_mpa: MPa, 12 to 50.
    Returns m.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), 12.9.3, from memory: 0.85 h/a >= sqrt(9 pressure / fctd).

    >>> round(plain_footing_least_thickness_m(0.155, 60.0, 16.0), 3)
    0.159
    """
    if not (projection_m >= 0.0 and pressure_kpa >= 0.0):
        raise ValueError(f"a projection and a pressure must be 0 or more, not {projection_m} m and {pressure_kpa} kPa")
    return projection_m * math.sqrt(9.0 * pressure_kpa / 1000.0 / plain_tension_mpa(fck_mpa)) / 0.85


def spanning_moment_knm(load_kn_per_m: float, span_m: float) -> float:
    """Moment in a beam that spans a soft spot and rests freely on both sides.

    load_kn_per_m: kN/m, 0 or more.  span_m: m, 0 to 6.  Returns kN m: w L2 / 8.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> spanning_moment_knm(16.0, 3.0)
    18.0
    """
    _beam(load_kn_per_m, span_m)
    return load_kn_per_m * span_m**2 / 8.0


def hanging_moment_knm(load_kn_per_m: float, reach_m: float) -> float:
    """Moment in a beam that hangs out over a soft corner.

    load_kn_per_m: kN/m, 0 or more.  reach_m: m, 0 to 6.  Returns kN m: w L2 / 2.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> hanging_moment_knm(16.0, 1.5)
    18.0
    """
    _beam(load_kn_per_m, reach_m)
    return load_kn_per_m * reach_m**2 / 2.0


def _beam(load_kn_per_m: float, length_m: float) -> None:
    if not (load_kn_per_m >= 0.0 and 0.0 <= length_m <= 6.0):
        raise ValueError(f"a load must be 0 kN/m or more and a length 0 to 6 m, not {load_kn_per_m} kN/m and {length_m} m")


def _fck(fck_mpa: float) -> float:
    if not LEAST_FCK_MPA <= fck_mpa <= GREATEST_FCK_MPA:
        raise ValueError(f"cylinder strength must be {LEAST_FCK_MPA:g} to {GREATEST_FCK_MPA:g} MPa, not {fck_mpa} MPa")
    return fck_mpa


def _yield(yield_mpa: float) -> float:
    if not 400.0 <= yield_mpa <= 600.0:
        raise ValueError(f"the yield of steel must be 400 to 600 MPa, not {yield_mpa} MPa")
    return yield_mpa


def _sizes(width_m: float, depth_m: float) -> None:
    if not (width_m > 0.0 and depth_m > 0.0):
        raise ValueError(f"a section needs a width and a depth to the steel above 0 m, not {width_m} m and {depth_m} m")
