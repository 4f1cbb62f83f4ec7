"""A slab that lies on the ground, under a wheel, a machine's foot or a post; and its joints.

The ground counts as a bed of springs.  The formulas are for a slab much wider
than its radius of stiffness, uncracked, all of it touching the ground; curling
and shrinking add stresses that are not worked out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.numbers import steps_up
from calculators.sources import QUOTED, READ, Sourced, common_practice

POISSON = common_practice(0.15, "", "Sideways over lengthways strain of concrete, as the formulas are usually entered.")


def _bed(low: float, high: float, of: str, read: bool = True) -> tuple[Sourced, Sourced]:
    if read:
        return tuple(Sourced(value, "MN/m3", "bowles", "Table 9-1", READ, f"{of}, {end} end.") for value, end in ((low, "soft"), (high, "stiff")))
    return tuple(common_practice(value, "MN/m3", f"{of}, {end} end.") for value, end in ((low, "soft"), (high, "stiff")))


# Stiffness of the ground as a bed of springs: soft end, stiff end.
BED_BY_SOIL: dict[str, tuple[Sourced, Sourced]] = {
    "rock": _bed(64.0, 128.0, "Taken as dense sand, which is softer", read=False),
    "gravel": _bed(64.0, 128.0, "Taken as dense sand", read=False),
    "dense sand": _bed(64.0, 128.0, "Dense sand"),
    "medium sand": _bed(9.6, 80.0, "Medium dense sand"),
    "loose sand": _bed(4.8, 16.0, "Loose sand"),
    "stiff clay": _bed(12.0, 48.0, "Clay"),
    "firm clay": _bed(12.0, 48.0, "Clay"),
    "soft clay": _bed(4.8, 16.0, "Taken as loose sand", read=False),
    "silt": _bed(4.8, 16.0, "Taken as loose sand", read=False),
    "unknown": _bed(4.8, 16.0, "Taken as loose sand", read=False),
}

INSULATION_STIFFNESS_MPA: dict[str, Sourced] = {
    "EPS": common_practice(4.0, "MPa", "Squeezed slightly, for good; use the maker's figure."),
    "XPS": common_practice(10.0, "MPa", "Squeezed slightly, for good; use the maker's figure."),
    "PIR": common_practice(4.0, "MPa", "Squeezed slightly, for good; use the maker's figure."),
}

JOINT_SPACING_LEAST = Sourced(24.0, "", "aci-302", "table of joint spacing", QUOTED, "In thicknesses of the slab.")
JOINT_SPACING_MOST = Sourced(36.0, "", "aci-302", "table of joint spacing", QUOTED, "In thicknesses of the slab.")
JOINT_SPACING_GREATEST_M = Sourced(5.4864, "m", "aci-302", "table of joint spacing", QUOTED, "18 ft, however thick.")
FABRIC_PANEL_M = common_practice(6.0, "m", "Longest panel with light fabric in it; from memory of British practice.")
PANEL_ASPECT = Sourced(1.5, "", "aci-302", "shape of panels", QUOTED, "Longer side over shorter.")


def bed_mn_per_m3(soil: str) -> float:
    """Stiffness of a soil as a bed of springs, at its soft end.

    soil: its name (no unit).  Returns MN/m3.
    Raises ValueError for peat, made ground and names that are no soil.
    Source: Bowles, Table 9-1 (read) for sand and clay; the rest says what it is taken as.

    >>> bed_mn_per_m3("firm clay")
    12.0
    """
    if soil not in BED_BY_SOIL:
        raise ValueError(f"no stiffness is held for {soil!r}: ask an engineer")
    return BED_BY_SOIL[soil][0].value


def bed_stiff_end_mn_per_m3(soil: str) -> float:
    """Stiffness of a soil as a bed of springs, at its stiff end.

    soil: its name (no unit).  Returns MN/m3.
    Raises ValueError as `bed_mn_per_m3` does.
    Source: as there.

    >>> bed_stiff_end_mn_per_m3("firm clay")
    48.0
    """
    bed_mn_per_m3(soil)
    return BED_BY_SOIL[soil][1].value


def bed_under_insulation_mn_per_m3(bed_mn_per_m3: float, insulation_m: float, stiffness_mpa: float) -> float:
    """Stiffness of ground and insulation together: two beds of springs, one on the other.

    bed_mn_per_m3: of the ground, MN/m3, above 0.  insulation_m: m, 0 to 0.5.
    stiffness_mpa: of the board, MPa, above 0.
    Returns MN/m3.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> round(bed_under_insulation_mn_per_m3(40.0, 0.1, 4.0), 6)
    20.0
    """
    if not (bed_mn_per_m3 > 0.0 and 0.0 <= insulation_m <= 0.5 and stiffness_mpa > 0.0):
        raise ValueError(f"stiffnesses must be above 0 and the insulation 0 to 0.5 m, not {bed_mn_per_m3} MN/m3, {stiffness_mpa} MPa and {insulation_m} m")
    return 1.0 / (1.0 / bed_mn_per_m3 + insulation_m / stiffness_mpa)


def radius_of_stiffness_m(stiffness_gpa: float, thickness_m: float, bed_mn_per_m3: float, poisson: float = POISSON.value) -> float:
    """Radius of relative stiffness: how far a slab spreads a load.

    stiffness_gpa: of the concrete, GPa, 5 to 60.  thickness_m: m, 0.05 to 1.
    bed_mn_per_m3: of the ground, MN/m3, 1 to 500.  poisson: 0 to 0.4.
    Returns m.
    Raises ValueError outside those ranges.
    Source: Westergaard (1926), as in Huang: (E h3 / (12 (1 - v2) k))^(1/4).

    >>> round(radius_of_stiffness_m(31.0, 0.1, 12.0), 3)
    0.685
    """
    if not (5.0 <= stiffness_gpa <= 60.0 and 0.05 <= thickness_m <= 1.0 and 1.0 <= bed_mn_per_m3 <= 500.0 and 0.0 <= poisson <= 0.4):
        raise ValueError(
            "a slab needs concrete of 5 to 60 GPa, a thickness of 0.05 to 1 m, ground of 1 to 500 MN/m3 and a Poisson's ratio of 0 to 0.4, "
            f"not {stiffness_gpa} GPa, {thickness_m} m, {bed_mn_per_m3} MN/m3 and {poisson}")
    return (stiffness_gpa * 1000.0 * thickness_m**3 / (12.0 * (1.0 - poisson**2) * bed_mn_per_m3)) ** 0.25


def interior_stress_mpa(load_kn: float, contact_radius_m: float, thickness_m: float, radius_m: float, poisson: float = POISSON.value) -> float:
    """Greatest tension under a load in the middle of a slab, at its underside.

    load_kn: kN, 0 or more.  contact_radius_m: of a round patch, m, above 0 and under the radius of stiffness.
    thickness_m: m, above 0.  radius_m: radius of stiffness, m, above 0.  poisson: 0 to 0.4.
    Returns MPa.
    Raises ValueError outside those ranges.
    Source: Westergaard (1926), as in Huang; inputs of his example read, results from memory and worked out again.

    >>> round(interior_stress_mpa(5.0, 0.056, 0.1, 0.685), 2)
    0.86
    """
    _patch(load_kn, contact_radius_m, thickness_m, radius_m, poisson)
    # Under a small patch a thick slab does not act as a plate; the patch counts as wider.
    b = contact_radius_m
    if contact_radius_m < 1.724 * thickness_m:
        b = math.sqrt(1.6 * contact_radius_m**2 + thickness_m**2) - 0.675 * thickness_m
    return 3.0 * (1.0 + poisson) * load_kn / 1000.0 / (2.0 * math.pi * thickness_m**2) * (math.log(radius_m / b) + 0.6159)


def edge_stress_mpa(load_kn: float, contact_radius_m: float, thickness_m: float, radius_m: float, poisson: float = POISSON.value) -> float:
    """Greatest tension under a load that touches a free edge, at its underside.

    Inputs and errors as `interior_stress_mpa` (kN, m).  Returns MPa.
    Source: Westergaard (1948) as corrected by Ioannides (1985), in Huang, for a round patch.

    >>> round(edge_stress_mpa(5.0, 0.056, 0.1, 0.685), 2)
    1.75
    """
    _patch(load_kn, contact_radius_m, thickness_m, radius_m, poisson)
    share = contact_radius_m / radius_m
    # The printed logarithm of E h3 / (100 k a4) is this, with the radius of stiffness put in.
    logarithm = math.log(12.0 * (1.0 - poisson**2) / 100.0) - 4.0 * math.log(share)
    return 3.0 * (1.0 + poisson) * load_kn / 1000.0 / (math.pi * (3.0 + poisson) * thickness_m**2) * (
        logarithm + 1.84 - 4.0 * poisson / 3.0 + (1.0 - poisson) / 2.0 + 1.18 * (1.0 + 2.0 * poisson) * share
    )


def corner_stress_mpa(load_kn: float, contact_radius_m: float, thickness_m: float, radius_m: float) -> float:
    """Greatest tension from a load in a free corner, at the top, some way in.

    Inputs and errors as `interior_stress_mpa` (kN, m).  Returns MPa.
    Source: Westergaard (1926), as in Huang: 3 P / h2 (1 - (a sqrt 2 / l)^0.6).

    >>> round(corner_stress_mpa(5.0, 0.056, 0.1, 0.685), 2)
    1.09
    """
    _patch(load_kn, contact_radius_m, thickness_m, radius_m, POISSON.value)
    return max(0.0, 3.0 * load_kn / 1000.0 / thickness_m**2 * (1.0 - (contact_radius_m * math.sqrt(2.0) / radius_m) ** 0.6))


def _patch(load_kn: float, contact_radius_m: float, thickness_m: float, radius_m: float, poisson: float) -> None:
    if not (load_kn >= 0.0 and thickness_m > 0.0 and 0.0 < contact_radius_m < radius_m and 0.0 <= poisson <= 0.4):
        raise ValueError(
            "a patch needs a load of 0 kN or more, a slab thicker than 0 m, a radius above 0 and under the slab's radius of stiffness, "
            f"and a Poisson's ratio of 0 to 0.4, not {load_kn} kN, {thickness_m} m, {contact_radius_m} m of {radius_m} m, and {poisson}")


def patch_radius_m(side_m: float) -> float:
    """Radius of the round patch of the same area as a square foot.

    side_m: m, above 0.  Returns m.
    Raises ValueError for 0 or less.
    Source: geometry.

    >>> round(patch_radius_m(0.1), 4)
    0.0564
    """
    if not side_m > 0.0:
        raise ValueError(f"a foot must be wider than 0 m, not {side_m} m")
    return side_m / math.sqrt(math.pi)


def beam_on_ground_moment_knm(load_kn: float, beam_knm2: float, springs_kn_per_m2: float, length_m: float = math.inf) -> float:
    """Moment under a post in the middle of a beam that lies on the ground.

    load_kn: kN, 0 or more.  beam_knm2: stiffness E I of the beam, kN m2, above 0.
    springs_kn_per_m2: of the ground under it, kN per m of length and m of sinking, above 0.
    length_m: m, above 0, its ends resting on supports free to turn; infinite for a long one.
    Returns kN m.
    Raises ValueError outside those ranges.
    Source: Hetenyi (1946), beam on an elastic foundation, from memory; checked with an example of McGuire,
    Gallagher and Ziemian.

    >>> round(beam_on_ground_moment_knm(10.0, 30000.0, 5000.0), 2)
    5.53
    """
    wave = _wave_per_m(load_kn, beam_knm2, springs_kn_per_m2, length_m)
    turn = wave * length_m
    # Past this the ends no longer matter, and the hyperbolic functions overflow.
    share = 1.0 if turn > 50.0 else (math.sinh(turn) + math.sin(turn)) / (math.cosh(turn) + math.cos(turn))
    return load_kn / (4.0 * wave) * share


def beam_on_ground_sinking_m(load_kn: float, beam_knm2: float, springs_kn_per_m2: float, length_m: float = math.inf) -> float:
    """How far a beam that lies on the ground sinks under a post in its middle.

    Inputs and errors as `beam_on_ground_moment_knm` (kN, kN m2, kN/m2, m).  Returns m.
    Source: as there.

    >>> round(beam_on_ground_sinking_m(10.0, 30000.0, 5000.0) * 1000, 3)
    0.452
    """
    wave = _wave_per_m(load_kn, beam_knm2, springs_kn_per_m2, length_m)
    turn = wave * length_m
    share = 1.0 if turn > 50.0 else (math.sinh(turn) - math.sin(turn)) / (math.cosh(turn) + math.cos(turn))
    return load_kn * wave / (2.0 * springs_kn_per_m2) * share


def _wave_per_m(load_kn: float, beam_knm2: float, springs_kn_per_m2: float, length_m: float) -> float:
    if not (load_kn >= 0.0 and beam_knm2 > 0.0 and springs_kn_per_m2 > 0.0 and length_m > 0.0):
        raise ValueError(f"a load must be 0 kN or more and stiffnesses and length above 0, not {load_kn} kN, {beam_knm2} kN m2, {springs_kn_per_m2} kN/m2 and {length_m} m")
    return (springs_kn_per_m2 / (4.0 * beam_knm2)) ** 0.25


def joint_spacing_m(thickness_m: float) -> tuple[float, float]:
    """Spacing of joints in a plain slab: where it is sure not to crack between them, and where it may.

    thickness_m: m, 0.05 to 0.5.
    Returns m: 24 and 36 thicknesses, neither over 18 ft.
    Raises ValueError outside that range.
    Source: ACI 302.1R (1996), as quoted.

    >>> [round(spacing, 4) for spacing in joint_spacing_m(0.1)]
    [2.4, 3.6]
    """
    if not 0.05 <= thickness_m <= 0.5:
        raise ValueError(f"a slab must be 0.05 to 0.5 m thick for this rule, not {thickness_m} m")
    greatest = JOINT_SPACING_GREATEST_M.value
    return (min(greatest, JOINT_SPACING_LEAST.value * thickness_m), min(greatest, JOINT_SPACING_MOST.value * thickness_m))


@dataclass(frozen=True)
class Panels:
    """A floor cut by joints into equal panels: how many along and across, and the size of one, m."""

    along: int
    across: int
    length_m: float
    breadth_m: float

    @property
    def aspect(self) -> float:
        """Longer side of a panel over its shorter one."""
        return max(self.length_m, self.breadth_m) / min(self.length_m, self.breadth_m)


def panels(length_m: float, breadth_m: float, greatest_m: float, greatest_aspect: float = PANEL_ASPECT.value) -> Panels:
    """Fewest equal panels whose sides and shape a floor's joints ask for.

    length_m, breadth_m: of the floor, m, above 0.  greatest_m: longest side of a panel, m, above 0.
    greatest_aspect: longer side of a panel over its shorter one, 1.42 or more, since below that joints need not reach it.
    Returns Panels; one panel means no joint.
    Raises ValueError outside those ranges.
    Source: ACI 302.1R (1996), as quoted, for the shape.

    >>> panels(6.3, 3.9, 6.0)
    Panels(along=2, across=1, length_m=3.15, breadth_m=3.9)
    >>> panels(4.8, 3.6, 6.0).along
    1
    """
    if not (length_m > 0.0 and breadth_m > 0.0 and greatest_m > 0.0 and greatest_aspect >= math.sqrt(2.0)):
        raise ValueError(f"a floor and its panels must be longer than 0 m and the shape 1.42 or more, not {length_m} m, {breadth_m} m, {greatest_m} m and {greatest_aspect}")
    along, across = max(1, steps_up(length_m, greatest_m)), max(1, steps_up(breadth_m, greatest_m))
    found = Panels(along, across, length_m / along, breadth_m / across)
    # Cutting the longer side of a panel in two brings it nearer to a square, or turns it no longer than this allows.
    while found.aspect > greatest_aspect + 1e-9:
        if found.length_m >= found.breadth_m:
            along += 1
        else:
            across += 1
        found = Panels(along, across, length_m / along, breadth_m / across)
    return found
