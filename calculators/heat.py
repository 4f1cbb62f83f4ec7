"""Heat through a floor that lies on the ground.

The ground itself is most of the insulation of a wide floor, so heat loss goes
by the floor's area over its exposed perimeter.  The dense slab and the stone
under it are left out, as the method allows (from memory).  B' is the
characteristic dimension and d_t the equivalent thickness of the document.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from calculators.numbers import steps_down
from calculators.sources import MEMORY, QUOTED, READ, Sourced, common_practice

INSIDE_SURFACE_M2K_PER_W = Sourced(0.17, "m2 K/W", "en-iso-6946", "heat flowing down", QUOTED)
OUTSIDE_SURFACE_M2K_PER_W = Sourced(0.04, "m2 K/W", "en-iso-6946", "outside", QUOTED)
DECLARED_STEP_M2K_PER_W = Sourced(0.05, "m2 K/W", "en-13163", "declared thermal resistance", READ)
GREATEST_INSULATION_M = common_practice(0.5, "m", "More insulation than anyone puts under a floor.")
# What a suspended floor is taken to be until somebody measures it.
SUSPENDED_HEIGHT_M = Sourced(0.3, "m", "en-iso-13370", "suspended floor", MEMORY, "Top of the floor above the ground outside.")
UNDERFLOOR_WALL_U_W_PER_M2K = Sourced(1.5, "W/(m2 K)", "en-iso-13370", "suspended floor", MEMORY, "Walls round the space under the floor.")
UNDERFLOOR_VENT_M2_PER_M = Sourced(0.0015, "m2/m", "en-iso-13370", "suspended floor", MEMORY, "Air bricks: 1500 mm2 for each metre of wall.")
WIND_M_PER_S = Sourced(5.0, "m/s", "en-iso-13370", "suspended floor", MEMORY, "Mean wind 10 m above the ground.")
WIND_SHIELDING = Sourced(0.05, "", "en-iso-13370", "suspended floor", MEMORY, "Average; 0.02 sheltered, 0.10 exposed.")
# Per second for each m3 of air and K, with the share of the wind's pressure that drives it.
AIR_J_PER_M3K = Sourced(1450.0, "J/(m3 K)", "en-iso-13370", "suspended floor", MEMORY)


def characteristic_dimension_m(area_m2: float, perimeter_m: float) -> float:
    """Characteristic dimension B' of a floor: area over half its exposed perimeter.

    area_m2: floor area, m2, above 0.  perimeter_m: exposed perimeter, m, above 0 and
    no shorter than a circle round that area.
    Returns B', m.
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017), characteristic dimension of floor.

    >>> characteristic_dimension_m(144.0, 48.0)
    6.0
    """
    if not (area_m2 > 0.0 and perimeter_m > 0.0):
        raise ValueError(f"a floor needs an area and an exposed perimeter above 0, not {area_m2} m2 and {perimeter_m} m")
    if perimeter_m < 2.0 * math.sqrt(math.pi * area_m2) * (1.0 - 1e-9):
        raise ValueError(f"a perimeter of {perimeter_m:g} m cannot go round {area_m2:g} m2")
    return area_m2 / (0.5 * perimeter_m)


def equivalent_thickness_m(
    wall_thickness_m: float,
    ground_conductivity_w_per_mk: float,
    floor_r_m2k_per_w: float,
    inside_surface_m2k_per_w: float = INSIDE_SURFACE_M2K_PER_W.value,
    outside_surface_m2k_per_w: float = OUTSIDE_SURFACE_M2K_PER_W.value,
) -> float:
    """Equivalent thickness d_t: the floor's resistance as a depth of the ground below it.

    wall_thickness_m: full thickness of the walls, m, 0 to 1.
    ground_conductivity_w_per_mk: W/(m K), 0.2 to 5.
    floor_r_m2k_per_w: R of all-over insulation and floor covering, m2 K/W, 0 to 30.
    inside_surface_m2k_per_w, outside_surface_m2k_per_w: m2 K/W, 0 to 1.
    Returns d_t, m.
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017): d_t = w + lambda (Rsi + Rf + Rse).

    >>> round(equivalent_thickness_m(0.3, 1.5, 0.5), 4)
    1.365
    """
    if not 0.0 <= wall_thickness_m <= 1.0:
        raise ValueError(f"a wall must be 0 to 1 m thick, not {wall_thickness_m} m")
    if not 0.2 <= ground_conductivity_w_per_mk <= 5.0:
        raise ValueError(f"ground conducts 0.2 to 5 W/(m K), not {ground_conductivity_w_per_mk} W/(m K)")
    if not 0.0 <= floor_r_m2k_per_w <= 30.0:
        raise ValueError(f"a floor's R must be 0 to 30 m2 K/W, not {floor_r_m2k_per_w} m2 K/W")
    for surface in (inside_surface_m2k_per_w, outside_surface_m2k_per_w):
        if not 0.0 <= surface <= 1.0:
            raise ValueError(f"a surface resistance must be 0 to 1 m2 K/W, not {surface} m2 K/W")
    resistance = inside_surface_m2k_per_w + floor_r_m2k_per_w + outside_surface_m2k_per_w
    return wall_thickness_m + ground_conductivity_w_per_mk * resistance


def ground_floor_u_w_per_m2k(characteristic_m: float, equivalent_m: float, ground_conductivity_w_per_mk: float) -> float:
    """U-value of a slab on ground from its two lengths.

    characteristic_m: B', m, above 0.  equivalent_m: d_t, m, above 0.
    ground_conductivity_w_per_mk: W/(m K), above 0.
    Returns U, W/(m2 K).  The two forms meet at d_t = B' within 0.02 %.
    Raises ValueError for anything of 0 or less.
    Source: EN ISO 13370 (2017), slab-on-ground floor, uninsulated or moderately
    insulated (d_t below B') and well insulated.

    >>> round(ground_floor_u_w_per_m2k(4.0, 0.615, 1.5), 4)
    0.6976
    >>> round(ground_floor_u_w_per_m2k(4.0, 6.0, 1.5), 4)
    0.1916
    """
    if not (characteristic_m > 0.0 and equivalent_m > 0.0 and ground_conductivity_w_per_mk > 0.0):
        raise ValueError(f"B', d_t and conductivity must be above 0, not {characteristic_m}, {equivalent_m} and {ground_conductivity_w_per_mk}")
    if equivalent_m < characteristic_m:
        wide = math.pi * characteristic_m
        return 2.0 * ground_conductivity_w_per_mk / (wide + equivalent_m) * math.log(wide / equivalent_m + 1.0)
    return ground_conductivity_w_per_mk / (0.457 * characteristic_m + equivalent_m)


def slab_on_ground_u_w_per_m2k(
    area_m2: float,
    perimeter_m: float,
    wall_thickness_m: float,
    ground_conductivity_w_per_mk: float,
    floor_r_m2k_per_w: float = 0.0,
    inside_surface_m2k_per_w: float = INSIDE_SURFACE_M2K_PER_W.value,
    outside_surface_m2k_per_w: float = OUTSIDE_SURFACE_M2K_PER_W.value,
) -> float:
    """U-value of a floor slab on the ground, edge insulation apart.

    area_m2, perimeter_m: floor, m2, and its exposed perimeter, m, between inner faces.
    wall_thickness_m: m, 0 to 1.  ground_conductivity_w_per_mk: W/(m K), 0.2 to 5.
    floor_r_m2k_per_w: R of all-over insulation, m2 K/W, 0 to 30.
    inside_surface_m2k_per_w, outside_surface_m2k_per_w: m2 K/W, 0 to 1.
    Returns U, W/(m2 K).
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017).

    >>> round(slab_on_ground_u_w_per_m2k(64.0, 32.0, 0.3, 1.5), 2)
    0.7
    >>> round(slab_on_ground_u_w_per_m2k(64.0, 32.0, 0.3, 1.5, 0.5), 2)
    0.5
    """
    return ground_floor_u_w_per_m2k(
        characteristic_dimension_m(area_m2, perimeter_m),
        equivalent_thickness_m(
            wall_thickness_m, ground_conductivity_w_per_mk, floor_r_m2k_per_w, inside_surface_m2k_per_w, outside_surface_m2k_per_w
        ),
        ground_conductivity_w_per_mk,
    )


def slab_on_ground_u_by_ratio_w_per_m2k(
    perimeter_over_area_per_m: float, wall_thickness_m: float, ground_conductivity_w_per_mk: float, floor_r_m2k_per_w: float = 0.0
) -> float:
    """U-value of a floor slab from the ratio by which tables list it.

    perimeter_over_area_per_m: exposed perimeter over area, 1/m, above 0.
    The rest: m, W/(m K) and m2 K/W as in `slab_on_ground_u_w_per_m2k`.
    Returns U, W/(m2 K).
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017); B' = 2 / (P/A).

    >>> round(slab_on_ground_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5), 2)
    0.7
    """
    if not perimeter_over_area_per_m > 0.0:
        raise ValueError(f"perimeter over area must be above 0 per m, not {perimeter_over_area_per_m}")
    return ground_floor_u_w_per_m2k(
        2.0 / perimeter_over_area_per_m,
        equivalent_thickness_m(wall_thickness_m, ground_conductivity_w_per_mk, floor_r_m2k_per_w),
        ground_conductivity_w_per_mk,
    )


def insulation_r_for_target_u_m2k_per_w(
    target_u_w_per_m2k: float, area_m2: float, perimeter_m: float, wall_thickness_m: float, ground_conductivity_w_per_mk: float
) -> float:
    """R of all-over insulation that brings a floor slab down to a target U-value.

    target_u_w_per_m2k: W/(m2 K), above 0.
    The rest: m2, m, m and W/(m K) as in `slab_on_ground_u_w_per_m2k`.
    Returns R, m2 K/W; 0 where the bare floor already does it.
    Raises ValueError for a target that 30 m2 K/W does not reach, or values out of range.
    Source: EN ISO 13370 (2017), solved for Rf: directly where d_t is not below B', else by halving.

    >>> r = insulation_r_for_target_u_m2k_per_w(0.18, 24.0, 20.0, 0.3, 1.5)
    >>> round(r, 3)
    4.414
    >>> round(slab_on_ground_u_w_per_m2k(24.0, 20.0, 0.3, 1.5, r), 6)
    0.18
    """
    if not target_u_w_per_m2k > 0.0:
        raise ValueError(f"a target U-value must be above 0 W/(m2 K), not {target_u_w_per_m2k}")
    wide_m = characteristic_dimension_m(area_m2, perimeter_m)
    bare_m = equivalent_thickness_m(wall_thickness_m, ground_conductivity_w_per_mk, 0.0)
    if ground_floor_u_w_per_m2k(wide_m, bare_m, ground_conductivity_w_per_mk) <= target_u_w_per_m2k:
        return 0.0
    wanted_m = ground_conductivity_w_per_mk / target_u_w_per_m2k - 0.457 * wide_m
    if wanted_m < wide_m:
        # U falls as d_t grows, so halving between the bare floor and the meeting point finds it.
        low_m, high_m = bare_m, wide_m
        for _ in range(100):
            wanted_m = (low_m + high_m) / 2.0
            if ground_floor_u_w_per_m2k(wide_m, wanted_m, ground_conductivity_w_per_mk) > target_u_w_per_m2k:
                low_m = wanted_m
            else:
                high_m = wanted_m
        wanted_m = high_m
    wanted_r = max(0.0, (wanted_m - bare_m) / ground_conductivity_w_per_mk)
    if wanted_r > 30.0:
        raise ValueError(f"a U-value of {target_u_w_per_m2k:g} W/(m2 K) would ask for an R of {wanted_r:.1f} m2 K/W, which is more than 30")
    return wanted_r


def insulation_thickness_m(r_m2k_per_w: float, conductivity_w_per_mk: float) -> float:
    """Thickness of insulation that gives a resistance, before rounding up to a board.

    r_m2k_per_w: R wanted, m2 K/W, 0 or more.  conductivity_w_per_mk: W/(m K), 0.01 to 0.1.
    Returns thickness, m.
    Raises ValueError outside those ranges, or above 0.5 m.
    Source: EN ISO 6946 (2017): d = R lambda.

    >>> round(insulation_thickness_m(2.5, 0.036), 4)
    0.09
    """
    if not r_m2k_per_w >= 0.0:
        raise ValueError(f"an R must be 0 m2 K/W or more, not {r_m2k_per_w}")
    if not 0.01 <= conductivity_w_per_mk <= 0.1:
        raise ValueError(f"insulation conducts 0.01 to 0.1 W/(m K), not {conductivity_w_per_mk}")
    thickness_m = r_m2k_per_w * conductivity_w_per_mk
    if thickness_m > GREATEST_INSULATION_M.value:
        raise ValueError(f"an R of {r_m2k_per_w:.1f} m2 K/W would take {thickness_m * 1000:.0f} mm of this insulation, which is more than {GREATEST_INSULATION_M.value * 1000:.0f} mm")
    return thickness_m


def layer_r_m2k_per_w(thickness_m: float, conductivity_w_per_mk: float) -> float:
    """Resistance of one layer.

    thickness_m: m, 0 to 2.  conductivity_w_per_mk: W/(m K), above 0.
    Returns R, m2 K/W.
    Raises ValueError outside those ranges.
    Source: EN ISO 6946 (2017): R = d / lambda.

    >>> round(layer_r_m2k_per_w(0.1, 0.036), 3)
    2.778
    """
    if not 0.0 <= thickness_m <= 2.0:
        raise ValueError(f"a layer must be 0 to 2 m thick, not {thickness_m} m")
    if not conductivity_w_per_mk > 0.0:
        raise ValueError(f"a conductivity must be above 0 W/(m K), not {conductivity_w_per_mk}")
    return thickness_m / conductivity_w_per_mk


def layers_r_m2k_per_w(layers: Sequence[tuple[float, float]]) -> float:
    """Resistance of layers one on the other.

    layers: (thickness in m, conductivity in W/(m K)) of each, as in `layer_r_m2k_per_w`.
    Returns R, m2 K/W, surfaces apart.
    Raises ValueError as that does.
    Source: EN ISO 6946 (2017): resistances in series add up.

    >>> round(layers_r_m2k_per_w([(0.1, 0.036), (0.018, 0.13)]), 3)
    2.916
    """
    return math.fsum(layer_r_m2k_per_w(thickness, conductivity) for thickness, conductivity in layers)


def declared_r_m2k_per_w(thickness_m: float, conductivity_w_per_mk: float) -> float:
    """Resistance that a maker may print on a board: rounded down to 0.05.

    thickness_m: m, 0 to 2.  conductivity_w_per_mk: declared, W/(m K), above 0.
    Returns R, m2 K/W.
    Raises ValueError outside those ranges.
    Source: the rule of the insulation product standards (EN 13163 and companions), read.

    >>> declared_r_m2k_per_w(0.05, 0.022)
    2.25
    """
    step = DECLARED_STEP_M2K_PER_W.value
    return steps_down(layer_r_m2k_per_w(thickness_m, conductivity_w_per_mk), step) * step


def heat_flow_w(u_w_per_m2k: float, area_m2: float, difference_k: float) -> float:
    """Steady heat flow through a floor.

    u_w_per_m2k: W/(m2 K), 0 or more.  area_m2: m2, 0 or more.  difference_k: inside over outside, K.
    Returns W; negative when it is colder inside.
    Raises ValueError for a negative U or area.
    Source: definition of the U-value, EN ISO 6946 (2017).

    >>> round(heat_flow_w(0.18, 24.0, 20.0), 3)
    86.4
    """
    if not (u_w_per_m2k >= 0.0 and area_m2 >= 0.0):
        raise ValueError(f"U and area must be 0 or more, not {u_w_per_m2k} W/(m2 K) and {area_m2} m2")
    return u_w_per_m2k * area_m2 * difference_k


def season_heat_kwh(u_w_per_m2k: float, area_m2: float, kelvin_hours: float) -> float:
    """Heat through a floor over a season.

    u_w_per_m2k: W/(m2 K), 0 or more.  area_m2: m2, 0 or more.
    kelvin_hours: sum of the difference between inside and outside, K h, 0 or more
    (24 times the degree-days).
    Returns kWh.
    Raises ValueError for anything negative.
    Source: definition of the U-value, EN ISO 6946 (2017).

    >>> round(season_heat_kwh(0.97, 17.9, 37440.0), 2)
    650.07
    """
    if not kelvin_hours >= 0.0:
        raise ValueError(f"kelvin-hours must be 0 or more, not {kelvin_hours}")
    return heat_flow_w(u_w_per_m2k, area_m2, kelvin_hours) / 1000.0


def extra_equivalent_thickness_m(insulation_thickness_m: float, insulation_conductivity_w_per_mk: float, ground_conductivity_w_per_mk: float) -> float:
    """Extra equivalent thickness d' that insulation along the edge adds, over the ground it stands in for.

    insulation_thickness_m: m, 0 to 0.5.  insulation_conductivity_w_per_mk: W/(m K), 0.01 to 0.1.
    ground_conductivity_w_per_mk: W/(m K), 0.2 to 5.
    Returns d', m.
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017), edge insulation, from memory: d' = lambda (Rn - dn / lambda).

    >>> round(extra_equivalent_thickness_m(0.05, 0.036, 1.5), 4)
    2.0333
    """
    if not 0.0 <= insulation_thickness_m <= GREATEST_INSULATION_M.value:
        raise ValueError(f"edge insulation must be 0 to {GREATEST_INSULATION_M.value:g} m thick, not {insulation_thickness_m} m")
    if not 0.01 <= insulation_conductivity_w_per_mk <= 0.1:
        raise ValueError(f"insulation conducts 0.01 to 0.1 W/(m K), not {insulation_conductivity_w_per_mk}")
    if not 0.2 <= ground_conductivity_w_per_mk <= 5.0:
        raise ValueError(f"ground conducts 0.2 to 5 W/(m K), not {ground_conductivity_w_per_mk} W/(m K)")
    resistance = layer_r_m2k_per_w(insulation_thickness_m, insulation_conductivity_w_per_mk)
    return ground_conductivity_w_per_mk * resistance - insulation_thickness_m


def edge_insulation_psi_w_per_mk(
    equivalent_m: float, extra_equivalent_m: float, ground_conductivity_w_per_mk: float, reach_m: float, vertical: bool
) -> float:
    """What insulation along the edge changes of the heat flow, for each metre of edge and kelvin.

    equivalent_m: d_t of the floor without it, m, above 0.  extra_equivalent_m: d', m, 0 or more.
    ground_conductivity_w_per_mk: W/(m K), above 0.
    reach_m: its width under the floor, or its depth below ground if vertical, m, 0 to 5.
    vertical: True for a board that stands down the outside of the foundation.
    Returns psi, W/(m K): 0 or less, as it saves heat.
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017), horizontal and vertical edge insulation, from memory.
    The document counts a vertical board at twice its depth. On floors as small as these a
    conduction model in three dimensions shows less: about what its depth counted once gives.

    >>> round(edge_insulation_psi_w_per_mk(0.615, 2.0333, 1.5, 0.5, False), 4)
    -0.2015
    >>> round(edge_insulation_psi_w_per_mk(0.615, 2.0333, 1.5, 0.5, True), 4)
    -0.308
    """
    if not (equivalent_m > 0.0 and ground_conductivity_w_per_mk > 0.0):
        raise ValueError(f"d_t and conductivity must be above 0, not {equivalent_m} m and {ground_conductivity_w_per_mk} W/(m K)")
    if not extra_equivalent_m >= 0.0:
        raise ValueError(f"d' must be 0 m or more, not {extra_equivalent_m} m: this edge insulation conducts better than the ground")
    if not 0.0 <= reach_m <= 5.0:
        raise ValueError(f"edge insulation must reach 0 to 5 m, not {reach_m} m")
    path_m = 2.0 * reach_m if vertical else reach_m
    bare = math.log(path_m / equivalent_m + 1.0)
    insulated = math.log(path_m / (equivalent_m + extra_equivalent_m) + 1.0)
    return -ground_conductivity_w_per_mk / math.pi * (bare - insulated)


def floor_with_edge_insulation_u_w_per_m2k(
    area_m2: float,
    perimeter_m: float,
    wall_thickness_m: float,
    ground_conductivity_w_per_mk: float,
    floor_r_m2k_per_w: float,
    edge_thickness_m: float,
    edge_conductivity_w_per_mk: float,
    edge_reach_m: float,
    vertical: bool,
) -> float:
    """U-value of a floor slab on the ground with insulation along its edge as well.

    area_m2, perimeter_m, wall_thickness_m, ground_conductivity_w_per_mk,
    floor_r_m2k_per_w: m2, m, m, W/(m K), m2 K/W, as in `slab_on_ground_u_w_per_m2k`.
    edge_thickness_m: m, 0 to 0.5.  edge_conductivity_w_per_mk: W/(m K), 0.01 to 0.1.
    edge_reach_m: width or depth, m, 0 to 5.  vertical: True for a board down the outside.
    Returns U, W/(m2 K).
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017), from memory: U = U0 + 2 psi / B'.

    >>> round(floor_with_edge_insulation_u_w_per_m2k(24.0, 20.0, 0.3, 1.5, 0.0, 0.05, 0.036, 0.6, True), 3)
    0.669
    >>> round(slab_on_ground_u_w_per_m2k(24.0, 20.0, 0.3, 1.5), 3)
    0.951
    """
    wide_m = characteristic_dimension_m(area_m2, perimeter_m)
    equivalent_m = equivalent_thickness_m(wall_thickness_m, ground_conductivity_w_per_mk, floor_r_m2k_per_w)
    plain = ground_floor_u_w_per_m2k(wide_m, equivalent_m, ground_conductivity_w_per_mk)
    extra_m = extra_equivalent_thickness_m(edge_thickness_m, edge_conductivity_w_per_mk, ground_conductivity_w_per_mk)
    return plain + 2.0 * edge_insulation_psi_w_per_mk(equivalent_m, extra_m, ground_conductivity_w_per_mk, edge_reach_m, vertical) / wide_m


def suspended_floor_u_by_ratio_w_per_m2k(
    perimeter_over_area_per_m: float,
    wall_thickness_m: float,
    ground_conductivity_w_per_mk: float,
    floor_r_m2k_per_w: float,
    height_above_ground_m: float = SUSPENDED_HEIGHT_M.value,
    underfloor_wall_u_w_per_m2k: float = UNDERFLOOR_WALL_U_W_PER_M2K.value,
    vent_m2_per_m: float = UNDERFLOOR_VENT_M2_PER_M.value,
    wind_m_per_s: float = WIND_M_PER_S.value,
    wind_shielding: float = WIND_SHIELDING.value,
) -> float:
    """U-value of a floor that spans over a ventilated space.

    perimeter_over_area_per_m: exposed perimeter over area, 1/m, above 0.
    wall_thickness_m: m, 0 to 1.  ground_conductivity_w_per_mk: W/(m K), 0.2 to 5.
    floor_r_m2k_per_w: R of the spanning floor with its insulation, m2 K/W, 0 to 30.
    height_above_ground_m: floor above the ground outside, m, 0 to 1.5.
    underfloor_wall_u_w_per_m2k: U of the walls round the space, W/(m2 K), 0 to 6.
    vent_m2_per_m: area of the air bricks, m2 per m of wall, 0 to 0.05.
    wind_m_per_s: mean wind 10 m up, m/s, 0 to 20.
    wind_shielding: 0.02 sheltered, 0.05 average, 0.10 exposed (no unit).
    Returns U, W/(m2 K).
    Raises ValueError outside those ranges.
    Source: EN ISO 13370 (2017), suspended floor, from memory:
    1/U = Rsi + Rf + Rsi + 1/(Ug + Ux), Ux = 2 h Uw / B' + 1450 e v fw / B'.

    >>> round(suspended_floor_u_by_ratio_w_per_m2k(0.4, 0.3, 1.5, 0.06 / 0.022 + 0.15), 2)
    0.23
    """
    if not perimeter_over_area_per_m > 0.0:
        raise ValueError(f"perimeter over area must be above 0 per m, not {perimeter_over_area_per_m}")
    if not 0.0 <= floor_r_m2k_per_w <= 30.0:
        raise ValueError(f"a floor's R must be 0 to 30 m2 K/W, not {floor_r_m2k_per_w} m2 K/W")
    if not 0.0 <= height_above_ground_m <= 1.5:
        raise ValueError(f"a suspended floor must lie 0 to 1.5 m above the ground outside, not {height_above_ground_m} m")
    if not 0.0 <= underfloor_wall_u_w_per_m2k <= 6.0:
        raise ValueError(f"the walls under a floor have a U-value of 0 to 6 W/(m2 K), not {underfloor_wall_u_w_per_m2k}")
    if not 0.0 <= vent_m2_per_m <= 0.05:
        raise ValueError(f"air bricks must be 0 to 0.05 m2 for each m of wall, not {vent_m2_per_m}")
    if not 0.0 <= wind_m_per_s <= 20.0:
        raise ValueError(f"the mean wind must be 0 to 20 m/s, not {wind_m_per_s}")
    if not 0.0 <= wind_shielding <= 0.2:
        raise ValueError(f"the wind shielding must be 0 to 0.2, not {wind_shielding}")
    wide_m = 2.0 / perimeter_over_area_per_m
    bare_m = equivalent_thickness_m(wall_thickness_m, ground_conductivity_w_per_mk, 0.0)
    reach_m = math.pi * wide_m
    ground_u = 2.0 * ground_conductivity_w_per_mk / (reach_m + bare_m) * math.log(reach_m / bare_m + 1.0)
    air_u = (2.0 * height_above_ground_m * underfloor_wall_u_w_per_m2k + AIR_J_PER_M3K.value * vent_m2_per_m * wind_m_per_s * wind_shielding) / wide_m
    surfaces = 2.0 * INSIDE_SURFACE_M2K_PER_W.value
    return 1.0 / (surfaces + floor_r_m2k_per_w + 1.0 / (ground_u + air_u))
