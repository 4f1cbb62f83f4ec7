"""What a floor loses in a year and costs to keep warm, and what its insulation has to carry.

The U-value comes from `calculators.heat`.  A year's weather is a sum of
degree-days; how often the building is heated is a pattern.  Insulation under
a slab is squeezed for ever, so it is judged by what it carries for fifty
years at one or two per cent of its thickness, not by its strength on a label.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from calculators import heat
from calculators.loads import floor_use
from calculators.materials import INSULATIONS, REINFORCED_CONCRETE_KN_PER_M3
from calculators.numbers import round_up
from calculators.site import Site, check_at_most
from calculators.sources import COMMON_PRACTICE, MEMORY, READ, Sourced, common_practice
from calculators.works import EDGE_BOARD, Check, Works

HOURS_IN_A_DAY = 24.0
HOURS_IN_A_WEEK = 168.0

UK_DEGREE_DAYS = Sourced(2462.0, "K day", "energy-texts", "standard year of the United Kingdom, base 15.5 degrees", READ, "Another copy has 2463. Ask for those of your own place.")
ENERGY_PRICE_PER_KWH = common_practice(0.25, "money/kWh", "Invented. Put in your own tariff.")
HEATER_EFFICIENCY = common_practice(1.0, "", "Heat given out for each kWh paid for: 1 for a plain electric heater, about 3 for a heat pump.")
HELD_BETWEEN_SPELLS = common_practice(0.3, "", "Share of the difference in temperature that a light building keeps, on average, while its heating is off.")

# Hours of heating in a week, by pattern.
HEATING_PATTERNS: dict[str, Sourced] = {
    "always": common_practice(168.0, "h", "Day and night."),
    "working week": common_practice(50.0, "h", "Ten hours on each of five days, warming up counted."),
    "evenings and weekends": common_practice(35.0, "h", "Three hours on five evenings, ten on each day of the weekend."),
    "now and then": common_practice(12.0, "h", "One long day, or a few evenings."),
}

# Stress at 10 % strain that the label states, kPa, where the reader says nothing of the grade.
USUAL_STRENGTH_KPA: dict[str, Sourced] = {
    "EPS": common_practice(100.0, "kPa", "Grade 100, common under a slab."),
    "XPS": common_practice(300.0, "kPa", "Grade 300, common under a slab."),
    "PIR": common_practice(120.0, "kPa", "A usual declared value; use the one on the pack."),
}
# What may stay on it for fifty years at 2 % strain, over the stress at 10 %.
LONG_TERM_SHARE: dict[str, Sourced] = {
    "EPS": Sourced(0.30, "", "en-13163", "annex on compressive creep", MEMORY, "Fifty years, 2 % strain."),
    "XPS": common_practice(0.35, "", "Makers give 0.35 to 0.45 for fifty years at 2 % strain."),
    "PIR": common_practice(0.20, "", "Makers give 0.20 to 0.25 for fifty years at 2 % strain."),
}


def heating_share(hours_a_week: float, held: float = HELD_BETWEEN_SPELLS.value) -> float:
    """Mean difference in temperature over a week, as a share of that of a building heated always.

    hours_a_week: h, 0 to 168.  held: share kept on average while the heating is off, 0 to 1 (no unit).
    Returns the share, no unit.
    Raises ValueError outside those ranges.
    Source: weighted mean, definition; what is held is common practice, no source.

    >>> round(heating_share(50.0), 3), heating_share(168.0)
    (0.508, 1.0)
    """
    if not 0.0 <= hours_a_week <= HOURS_IN_A_WEEK:
        raise ValueError(f"hours of heating must be 0 to 168 h a week, not {hours_a_week}")
    if not 0.0 <= held <= 1.0:
        raise ValueError(f"what is held between spells must be 0 to 1, not {held}")
    if hours_a_week == 0.0:
        return 0.0
    heated = hours_a_week / HOURS_IN_A_WEEK
    return heated + (1.0 - heated) * held


def pattern_share(pattern: str) -> float:
    """The share of `heating_share` for a pattern by its name.

    pattern: always, working week, evenings and weekends, or now and then.
    Returns the share, no unit.
    Raises ValueError for any other word.
    Source: hours are common practice, no source.

    >>> pattern_share("always")
    1.0
    """
    if pattern not in HEATING_PATTERNS:
        raise ValueError(f"no heating pattern is called {pattern!r}; it must be one of {', '.join(HEATING_PATTERNS)}")
    return heating_share(HEATING_PATTERNS[pattern].value)


def kelvin_hours(degree_days: float, share: float = 1.0) -> float:
    """Sum of the difference between inside and outside over a year.

    degree_days: K day, 0 to 10000.  share: what `heating_share` gives, 0 to 1.
    Returns K h (24 h in a day).
    Raises ValueError outside those ranges.
    Source: definition of a degree-day.

    >>> kelvin_hours(2462.0)
    59088.0
    """
    if not 0.0 <= degree_days <= 10000.0:
        raise ValueError(f"degree-days must be 0 to 10000 K day, not {degree_days}")
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"the share of heating must be 0 to 1, not {share}")
    return degree_days * HOURS_IN_A_DAY * share


def floor_heat_kwh(u_w_per_m2k: float, area_m2: float, degree_days: float = UK_DEGREE_DAYS.value, share: float = 1.0) -> float:
    """Heat that a floor loses in a year.

    u_w_per_m2k: W/(m2 K), 0 or more.  area_m2: m2, 0 or more.
    degree_days: K day, 0 to 10000.  share: what `heating_share` gives, 0 to 1.
    Returns kWh a year.
    Raises ValueError outside those ranges.
    Source: U A times kelvin-hours, definition of the U-value, EN ISO 6946 (2017).

    >>> round(floor_heat_kwh(0.25, 24.0), 1)
    354.5
    """
    return heat.season_heat_kwh(u_w_per_m2k, area_m2, kelvin_hours(degree_days, share))


def heat_cost(kwh: float, price_per_kwh: float = ENERGY_PRICE_PER_KWH.value, efficiency: float = HEATER_EFFICIENCY.value) -> float:
    """What that heat costs.

    kwh: heat given out, kWh, 0 or more.  price_per_kwh: money for each kWh paid for, 0 or more.
    efficiency: heat over what is paid for, 0.3 to 6 (no unit).
    Returns money a year.
    Raises ValueError outside those ranges.
    Source: definition; the price when none is given is invented.

    >>> heat_cost(400.0, 0.25, 2.0)
    50.0
    """
    if not (kwh >= 0.0 and price_per_kwh >= 0.0):
        raise ValueError(f"heat and its price must be 0 or more, not {kwh} kWh and {price_per_kwh}")
    if not 0.3 <= efficiency <= 6.0:
        raise ValueError(f"a heater gives 0.3 to 6 kWh of heat for each kWh, not {efficiency}")
    return kwh * price_per_kwh / efficiency


@dataclass(frozen=True)
class YearlyHeat:
    """One floor over one year: U, W/(m2 K); heat, kWh; money; and what was taken for them."""

    u_w_per_m2k: float
    area_m2: float
    kwh: float
    cost: float
    working: str
    assumptions: tuple[str, ...]


def yearly_heat(
    u_w_per_m2k: float,
    area_m2: float,
    pattern: str = "always",
    degree_days: float | None = None,
    price_per_kwh: float | None = None,
    efficiency: float | None = None,
) -> YearlyHeat:
    """Heat and money that a floor takes in a year.

    u_w_per_m2k: W/(m2 K), 0 or more.  area_m2: m2, 0 or more.  pattern: a key of `HEATING_PATTERNS`.
    degree_days: K day, 0 to 10000.  price_per_kwh: money/kWh.  efficiency: no unit.  None takes the stand-in.
    Returns a YearlyHeat: kWh and money a year.
    Raises ValueError outside those ranges.
    Source: degree-days; see `floor_heat_kwh` and `heat_cost`.

    >>> year = yearly_heat(0.25, 24.0)
    >>> round(year.kwh, 1), round(year.cost, 2)
    (354.5, 88.63)
    """
    price_words = "" if price_per_kwh is not None else ", invented"
    degree_days = UK_DEGREE_DAYS.value if degree_days is None else degree_days
    price_per_kwh = ENERGY_PRICE_PER_KWH.value if price_per_kwh is None else price_per_kwh
    efficiency = HEATER_EFFICIENCY.value if efficiency is None else efficiency
    share = pattern_share(pattern)
    kwh = floor_heat_kwh(u_w_per_m2k, area_m2, degree_days, share)
    working = (
        f"Q = U A 24 DD f / 1000 = {u_w_per_m2k:.3g} W/(m2 K) x {area_m2:.4g} m2 x 24 h x {degree_days:.4g} K day x {share:.3g} / 1000 = {kwh:.4g} kWh")
    return YearlyHeat(u_w_per_m2k, area_m2, kwh, heat_cost(kwh, price_per_kwh, efficiency), working, (
        f"Weather: {degree_days:g} degree-days on a base of 15.5 degrees.",
        f"Heating: {pattern}, {HEATING_PATTERNS[pattern].value:g} hours a week. Between spells a light building is taken to keep "
        f"{HELD_BETWEEN_SPELLS.value:.0%} of the difference in temperature (common practice, no source).",
        f"Each kWh costs {price_per_kwh:g}{price_words}, and gives {efficiency:g} kWh of heat.",
    ))


# Thickness for a target.


def thickness_for_target_m(
    target_u_w_per_m2k: float,
    area_m2: float,
    perimeter_m: float,
    wall_thickness_m: float,
    ground_conductivity_w_per_mk: float,
    insulation_conductivity_w_per_mk: float,
    step_m: float = 0.005,
) -> float:
    """Thickness of board, as it is made, that brings a floor slab down to a target U-value.

    target_u_w_per_m2k: W/(m2 K), above 0.  area_m2, perimeter_m, wall_thickness_m: m2, m, m.
    ground_conductivity_w_per_mk: W/(m K), 0.2 to 5.  insulation_conductivity_w_per_mk: W/(m K), 0.01 to 0.1.
    step_m: steps in which the board is made, m, above 0.
    Returns thickness, m; 0 where the bare floor does it.  The R that may be printed on the board,
    rounded down to 0.05, reaches the target too.
    Raises ValueError where more than 0.5 m would be wanted, or values are out of range.
    Source: EN ISO 13370 (2017) solved for the floor's R; declared R by EN 13163 and companions (read).

    >>> thickness_for_target_m(0.18, 24.0, 20.0, 0.3, 1.5, 0.036)
    0.165
    """
    wanted_r = heat.insulation_r_for_target_u_m2k_per_w(target_u_w_per_m2k, area_m2, perimeter_m, wall_thickness_m, ground_conductivity_w_per_mk)
    thickness_m = round_up(heat.insulation_thickness_m(wanted_r, insulation_conductivity_w_per_mk), step_m)
    while heat.declared_r_m2k_per_w(thickness_m, insulation_conductivity_w_per_mk) < wanted_r - 1e-9:
        thickness_m = round_up(thickness_m + step_m, step_m)
        if thickness_m > heat.GREATEST_INSULATION_M.value:
            raise ValueError(f"a U-value of {target_u_w_per_m2k:g} W/(m2 K) would take more than {heat.GREATEST_INSULATION_M.value:g} m of this insulation")
    return thickness_m


# What the insulation carries.


def long_term_stress_kpa(insulation: str, strength_kpa: float | None = None) -> float:
    """Pressure that may stay on a board for fifty years.

    insulation: EPS, XPS or PIR.  strength_kpa: stress at 10 % strain from its label, kPa, 30 to 1000;
    None for the usual grade.
    Returns kPa, at which it creeps to 2 % of its thickness.
    Raises ValueError for another name or a strength out of range.
    Source: EN 13163 annex on creep, from memory, for EPS; common practice, no source, for the others.

    >>> long_term_stress_kpa("EPS"), long_term_stress_kpa("EPS", 200.0)
    (30.0, 60.0)
    """
    if insulation not in LONG_TERM_SHARE:
        raise ValueError(f"no insulation is called {insulation!r}; it must be one of {', '.join(LONG_TERM_SHARE)}")
    strength = USUAL_STRENGTH_KPA[insulation].value if strength_kpa is None else strength_kpa
    if not 30.0 <= strength <= 1000.0:
        raise ValueError(f"the stress at 10 % strain must be 30 to 1000 kPa, not {strength} kPa")
    return LONG_TERM_SHARE[insulation].value * strength


def pressure_on_insulation_kpa(slab_thickness_m: float, imposed_kpa: float) -> float:
    """Pressure on insulation under a slab with a spread load on it.

    slab_thickness_m: m, 0.05 to 1.  imposed_kpa: kPa, 0 to 50.
    Returns kPa: the slab's weight and the load, without factors.
    Raises ValueError outside those ranges.
    Source: statics; reinforced concrete 25 kN/m3 by EN 1991-1-1 Annex A (read).

    >>> pressure_on_insulation_kpa(0.1, 5.0)
    7.5
    """
    if not 0.05 <= slab_thickness_m <= 1.0:
        raise ValueError(f"a slab must be 0.05 to 1 m thick, not {slab_thickness_m} m")
    if not 0.0 <= imposed_kpa <= 50.0:
        raise ValueError(f"a spread load must be 0 to 50 kPa, not {imposed_kpa} kPa")
    return slab_thickness_m * REINFORCED_CONCRETE_KN_PER_M3.value + imposed_kpa


# The scheme on its plot.


METHOD = "heat"


def scheme_u_w_per_m2k(site: Site, works: Works, plain_u_w_per_m2k: float) -> float:
    """The floor's U-value with the scheme's edge board counted.

    site; works: as laid out; plain_u_w_per_m2k: U without edge insulation, W/(m2 K), above 0.
    Returns W/(m2 K); the plain one where the scheme has no edge board.
    Raises ValueError for a U of 0 or less.
    Source: EN ISO 13370 (2017), edge insulation, from memory, to the depth of the board below the floor,
    counted once, which a conduction model of small floors bears out; the document counts it twice.
    The board stands inside the kerb; what the kerb leads past it is not counted.
    """
    if not plain_u_w_per_m2k > 0.0:
        raise ValueError(f"a U-value must be above 0 W/(m2 K), not {plain_u_w_per_m2k}")
    boards = [solid for solid in works.solids if solid.part == EDGE_BOARD]
    if not boards or works.measures.get("edge_board_m2", 0.0) <= 0.0:
        return plain_u_w_per_m2k
    wall = works.sizes.get("block_thickness_m", 0.0)
    area, perimeter = site.plan.area_inset_m2(wall), site.plan.inset_perimeter_m(wall)
    depth = works.measures["edge_board_m2"] / perimeter
    thickness = boards[0].volume_m3 / works.measures["edge_board_m2"]
    board = INSULATIONS[site.scenario.schemes[works.scheme].insulation].conductivity_w_per_mk.value
    given = site.scenario.heat
    floor_r = 0.0 if works.sizes.get("insulation_thickness_m", 0.0) <= 0.0 else works.sizes["insulation_thickness_m"] / board
    equivalent = heat.equivalent_thickness_m(given.wall_thickness_m, given.ground_conductivity_w_per_mk, floor_r)
    extra = heat.extra_equivalent_thickness_m(thickness, board, given.ground_conductivity_w_per_mk)
    psi = heat.edge_insulation_psi_w_per_mk(equivalent, extra, given.ground_conductivity_w_per_mk, depth, False)
    return plain_u_w_per_m2k + 2.0 * psi / heat.characteristic_dimension_m(area, perimeter)


def warm_checks(
    site: Site,
    works: Works,
    u_w_per_m2k: float,
    target_u_w_per_m2k: float | None = None,
    strength_kpa: float | None = None,
    imposed_kpa: float | None = None,
) -> tuple[Check, ...]:
    """The floor's warmth against the target, and its insulation against what lies on it.

    site; works: as laid out; u_w_per_m2k: of the floor, W/(m2 K), above 0.
    target_u_w_per_m2k: W/(m2 K), or None for the scheme's own, if it has one.
    strength_kpa: stress at 10 % strain from the label, kPa, or None for the scenario's, or the usual grade.
    imposed_kpa: spread load, kPa, or None for the use's.
    Returns Checks: U-values W/(m2 K), pressures kPa.
    Raises ValueError for a strength or a load out of range.
    Source: EN ISO 13370 (2017); EN 13163 on creep, from memory; EN 1991-1-1.
    """
    choice = site.scenario.schemes[works.scheme]
    target = getattr(choice, "target_u_w_per_m2k", None) if target_u_w_per_m2k is None else target_u_w_per_m2k
    checks = [_u_check(site, u_w_per_m2k, target)]
    thickness = works.sizes.get("insulation_thickness_m", 0.0)
    if thickness > 0.0:
        load = floor_use(site.scenario.building.use).spread_kpa if imposed_kpa is None else common_practice(imposed_kpa, "kPa", "The load given.")
        allowed = long_term_stress_kpa(choice.insulation, choice.insulation_strength_kpa if strength_kpa is None else strength_kpa)
        share = LONG_TERM_SHARE[choice.insulation]
        pressure = pressure_on_insulation_kpa(works.slab_thickness_m, load.value)
        strength = allowed / share.value
        check = check_at_most(
            "Insulation under a lasting load", pressure, replace(share, value=allowed, unit="kPa"),
            "Insulation is squeezed for fifty years: what counts is its load at 2 % of its thickness, not its strength on the label.",
            "a structural engineer")
        checks.append(replace(
            check, method=METHOD,
            working=f"p = t x 25 kN/m3 + q = {works.slab_thickness_m:g} m x 25 kN/m3 + {load.value:g} kPa = {pressure:.3g} kPa; "
                    f"allowed {share.value:g} x {strength:g} kPa = {allowed:.3g} kPa. q: {load.citation}"))
        if site.scenario.building.use == "garage":
            checks.append(Check(
                "Insulation under a wheel", None, None, "kPa", None, "not worked out",
                "A wheel presses harder than a spread load; the slab spreads it, by how much is not worked out here: ask a structural engineer.",
                "", COMMON_PRACTICE, method=METHOD))
    return tuple(checks)


def _u_check(site: Site, u_w_per_m2k: float, target: float | None) -> Check:
    name = "U-value of the floor"
    if target is None:
        words = "No target is held. Where the building is heated, ask what U-value is wanted of its floor." if site.scenario.building.heated else "The building is not heated, so no U-value is asked of its floor."
        return Check(name, u_w_per_m2k, None, "W/(m2 K)", None, "not worked out", words, "", COMMON_PRACTICE,
                     working=f"U = {u_w_per_m2k:.3g} W/(m2 K)", method=METHOD)
    limit = common_practice(target, "W/(m2 K)", "The target given.")
    check = check_at_most(name, u_w_per_m2k, limit, "A floor that loses more than its target wants more insulation, or insulation along its edge.", "an energy assessor")
    if check.verdict == "close":
        # Insulation is rounded up to boards that are made; a target that is met is met.
        check = replace(check, verdict="within")
    return replace(check, working=f"U = {u_w_per_m2k:.3g} W/(m2 K) against {target:.3g} W/(m2 K)", method=METHOD)
