"""Wind that lifts a light roof, and what holds it down.

A small timber building on a loose course of blocks can be blown off it.  The
wind's push and its coefficients are stand-ins from memory; a roof near a crest,
on the coast or under tall neighbours takes far more.
"""

from __future__ import annotations

from calculators.loads import EAVES_OVERHANG_M, HELPFUL_FACTOR, ROOFS, VARIABLE_FACTOR, roof_line_load_kn_per_m, wall_weight_kpa
from calculators.sources import MEMORY, Sourced, common_practice

AIR_KG_PER_M3 = Sourced(1.25, "kg/m3", "en-1991-1-4", "4.5", MEMORY, "Recommended density of air.")

_ASK_WIND = "A stand-in for sheltered low ground, well inland. Ask locally."
WIND_PRESSURE_KPA: dict[str, Sourced] = {
    "england": common_practice(0.6, "kPa", _ASK_WIND),
    "ireland": common_practice(0.8, "kPa", _ASK_WIND),
    "us": common_practice(0.7, "kPa", _ASK_WIND + " Hurricane country has two or three times this."),
    "eurocode": common_practice(0.6, "kPa", _ASK_WIND),
}

UPLIFT_CLOSED = Sourced(1.0, "", "en-1991-1-4", "7.2.3 to 7.2.5 and 7.2.9, averaged over a small roof", MEMORY, "Suction over the roof and a little pressure inside, doors shut.")
UPLIFT_OPEN = Sourced(1.4, "", "en-1991-1-4", "7.2.3 to 7.2.5 and 7.2.9, averaged over a small roof", MEMORY, "Suction over the roof and pressure inside through a wide door that stands open.")
WIDE_DOOR_M = common_practice(1.8, "m", "A door from this width up counts as standing open in a gale.")

STRAP_KN = common_practice(4.0, "kN", "A light galvanised strap, 30 x 2.5 mm, fully nailed; use the maker's figure.")
MASONRY_HELD_M = common_practice(1.0, "m", "A strap carried this far down a block wall hangs on to that height of it; more does not come with it for certain.")


def wind_pressure_kpa(gust_m_per_s: float) -> float:
    """Pressure of a gust brought to rest.

    gust_m_per_s: m/s, 0 to 80.  Returns kPa.
    Raises ValueError outside that range.
    Source: EN 1991-1-4 (2005), 4.5, from memory: half the density of air times speed squared.

    >>> wind_pressure_kpa(40.0)
    1.0
    """
    if not 0.0 <= gust_m_per_s <= 80.0:
        raise ValueError(f"a gust must be 0 to 80 m/s, not {gust_m_per_s} m/s")
    return 0.5 * AIR_KG_PER_M3.value * gust_m_per_s**2 / 1000.0


def net_uplift_kn_per_m(
    pressure_kpa: float,
    coefficient: float,
    span_m: float,
    roof_kpa: float,
    wall_kn_per_m: float,
    overhang_m: float = EAVES_OVERHANG_M.value,
) -> float:
    """What pulls an eaves wall up once the weight above the strap is taken off.

    pressure_kpa: of the gust, kPa, 0 to 5.  coefficient: 0 to 3, no unit.  span_m: between eaves walls, m, above 0.
    roof_kpa: light end of the roof's weight on plan, kPa, 0 or more.  wall_kn_per_m: light end of the wall's, kN/m, 0 or more.
    overhang_m: m, 0 to 1.5.
    Returns kN per m of wall, with factors; 0 where the weight is enough.
    Raises ValueError outside those ranges.
    Source: statics; factors of EN 1990 (2002): 1.5 on wind, 0.9 on weight, from memory.

    >>> round(net_uplift_kn_per_m(0.7, 1.2, 4.2, 0.25, 0.6), 3)
    1.944
    >>> net_uplift_kn_per_m(0.7, 1.2, 4.2, 0.8, 6.0)
    0.0
    """
    if not (0.0 <= pressure_kpa <= 5.0 and 0.0 <= coefficient <= 3.0 and roof_kpa >= 0.0 and wall_kn_per_m >= 0.0):
        raise ValueError(
            "wind must be 0 to 5 kPa, its coefficient 0 to 3, and weights 0 or more, "
            f"not {pressure_kpa} kPa, {coefficient}, {roof_kpa} kPa and {wall_kn_per_m} kN/m")
    lift = VARIABLE_FACTOR.value * roof_line_load_kn_per_m(pressure_kpa * coefficient, span_m, overhang_m)
    holds = HELPFUL_FACTOR.value * (roof_line_load_kn_per_m(roof_kpa, span_m, overhang_m) + wall_kn_per_m)
    return max(0.0, lift - holds)


def strap_pull_kn(uplift_kn_per_m: float, spacing_m: float) -> float:
    """Pull in one strap.

    uplift_kn_per_m: kN/m, 0 or more.  spacing_m: m, above 0 and at most 3.
    Returns kN.
    Raises ValueError outside those ranges.
    Source: statics.

    >>> round(strap_pull_kn(1.944, 1.2), 3)
    2.333
    """
    if not (uplift_kn_per_m >= 0.0 and 0.0 < spacing_m <= 3.0):
        raise ValueError(f"uplift must be 0 kN/m or more and straps above 0 and at most 3 m apart, not {uplift_kn_per_m} kN/m and {spacing_m} m")
    return uplift_kn_per_m * spacing_m


def light_roof_kpa(covering: str) -> float:
    """Light end of a roof's weight.

    covering: light, felt, tiled or green (words).  Returns kPa.
    Raises ValueError for another word.
    Source: common practice, no source.

    >>> light_roof_kpa("felt")
    0.25
    """
    if covering not in ROOFS:
        raise ValueError(f"a roof is covered with {', '.join(ROOFS)}, not {covering!r}")
    return ROOFS[covering].light.value


def light_wall_kn_per_m(walls: str, height_m: float) -> float:
    """Light end of the weight of a wall above the sole plate.

    walls: timber frame or block.  height_m: m, 0 or more.  Returns kN/m.
    Raises ValueError for another word or a negative height.
    Source: common practice, no source.

    >>> round(light_wall_kn_per_m("timber frame", 2.0), 3)
    0.6
    """
    if not height_m >= 0.0:
        raise ValueError(f"a wall must be 0 m or more high, not {height_m} m")
    return wall_weight_kpa(walls, light=True) * height_m
