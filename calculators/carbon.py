"""What the materials, the lorries and the spoil of a scheme emit.

Each line is a mass times a factor, or a mass times a distance times a factor.
The factors are the open ones of the United Kingdom for the use of materials,
which is about from the quarry to the factory gate; a reader's own replace any
of them.  Masses come from the same amounts as the bill, with its allowances.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from calculators import materials
from calculators.pricing import BILL, Job
from calculators.rules import rules_for
from calculators.scenario import Scenario
from calculators.soils import soil_named
from calculators.sources import MEMORY, QUOTED, Sourced, common_practice
from calculators.works import Works

_PER_T, _PER_T_KM, _PER_KWH, _PER_L = "kgCO2e/t", "kgCO2e/(t km)", "kgCO2e/kWh", "kgCO2e/l"


def _uk(value: float, unit: str, what: str, mark: str = QUOTED, note: str = "") -> Sourced:
    return Sourced(value, unit, "ghg-factors", f"2025, {what}", mark, note)


CONCRETE = _uk(118.79, _PER_T, "material use, concrete")
AGGREGATES = _uk(7.79, _PER_T, "material use, aggregates")
BRICKS = _uk(241.79, _PER_T, "material use, bricks", note="Of fired clay.")
INSULATION = _uk(1861.8, _PER_T, "material use, insulation", note="All kinds together; boards of plastic foam emit more for each tonne than wool.")
WOOD = _uk(269.50, _PER_T, "material use, wood", note="What the tree took up is not taken off.")
PLASTIC_FILM = _uk(2916.5, _PER_T, "material use, plastic film")
SOIL_TO_LANDFILL = _uk(19.55, _PER_T, "waste disposal, soils to landfill")
LORRY = _uk(0.17146, _PER_T_KM, "freighting goods, rigid lorry over 17 t, average load")
ELECTRICITY = _uk(0.177, _PER_KWH, "electricity")
DIESEL = _uk(2.571, _PER_L, "fuels, diesel with its usual share of biofuel", MEMORY)
BLOCKS = _uk(118.79, _PER_T, "material use, concrete", note="A dense block is concrete, so the factor for concrete is taken, not that for fired bricks.")
MORTAR = _uk(118.79, _PER_T, "material use, concrete", note="No factor is held for mortar; that for concrete is taken.")
STEEL = common_practice(1990.0, _PER_T, "Reinforcing steel; 500 to 2000 by how it was made. A maker's declaration is better.")


@dataclass(frozen=True)
class FactorSet:
    """Emission factors by key, with the name and date of the set; `own` are the keys a reader replaced."""

    name: str
    dated: str
    factors: Mapping[str, Sourced]
    own: frozenset[str] = field(default_factory=frozenset)

    def __getitem__(self, key: str) -> Sourced:
        return self.factors[key]


DEFAULT = FactorSet("UK Government conversion factors, material use (about A1 to A3)", "2025", {
    "concrete": CONCRETE, "aggregates": AGGREGATES, "bricks": BRICKS, "blocks": BLOCKS, "mortar": MORTAR, "steel": STEEL,
    "insulation": INSULATION, "wood": WOOD, "plastic_film": PLASTIC_FILM, "soil_to_landfill": SOIL_TO_LANDFILL,
    "lorry": LORRY, "electricity": ELECTRICITY, "diesel": DIESEL,
})
LEAST_FACTOR, MOST_FACTOR = -3000.0, 50000.0

# Masses that the factors want.  A scheme's density of concrete is a load's; this is an order's.
CONCRETE_T_PER_M3 = common_practice(2.4, "t/m3", "Concrete in place.")
MORTAR_T_PER_M3 = common_practice(1.9, "t/m3", "Mortar in joints.")
SUBSOIL_T_PER_M3 = common_practice(1.8, "t/m3", "Subsoil in the ground, damp.")
PLASTIC_KG_PER_M3 = common_practice(940.0, "kg/m3", "Polythene.")
INSULATION_KG_PER_M3 = {
    "EPS": common_practice(20.0, "kg/m3", "Grade 100."),
    "XPS": common_practice(33.0, "kg/m3", "Grade 300."),
    "PIR": common_practice(32.0, "kg/m3", "Foil-faced board."),
}
MEMBRANE_LAPS = common_practice(0.15, "", "Laps and offcuts of membrane and sheet, over the area covered.")
DPC_M = common_practice(0.0005, "m", "Thickness of damp-proof course.")
DPC_WIDTH_M = common_practice(0.14, "m", "Where no wall says how wide.")
CURING_SHEET_M = common_practice(0.000125, "m", "500 gauge.")
GEOTEXTILE_KG_PER_M2 = common_practice(0.14, "kg/m2", "Light needle-punched sheet.")
LAND_DRAIN_KG_PER_M = common_practice(0.45, "kg/m", "Perforated coil of 100 mm.")
FORM_TIMBER_M = common_practice(0.035, "m", "Boards of 25 mm with pegs and braces, over the face; bought for this job and used once.")
EDGE_BOARD_M = common_practice(0.050, "m", "Insulation round the slab.")
DIESEL_L_PER_H = common_practice(3.0, "l/h", "A mini digger at work.")

# Loaded km by lorry from where each thing is made or tipped.
DISTANCES_KM: dict[str, Sourced] = {
    "concrete": common_practice(15.0, "km", "From a plant near by."),
    "stone and sand": common_practice(30.0, "km", "From a quarry or a merchant."),
    "blocks and mortar": common_practice(60.0, "km", "From the works by way of a merchant."),
    "steel": common_practice(150.0, "km", "From the mill by way of a merchant."),
    "insulation and plastic": common_practice(150.0, "km", "From the works by way of a merchant."),
    "wood": common_practice(60.0, "km", "From a merchant."),
    "spoil": common_practice(20.0, "km", "To a tip."),
}

MATERIALS, TRANSPORT, SPOIL, MACHINES = "materials", "transport", "spoil", "machines"
LEFT_OUT = (
    "straps, spacers, tape, nails, pegs and profile boards", "channel drains, door steps, ramps and guards", "render and damp-proof strips",
    "ground mats, tools and travel of people", "the empty way back of lorries beyond what the factor holds",
    "what the building above the floor emits, and the timber wall that masonry stands in for",
)


@dataclass(frozen=True)
class CarbonLine:
    """One line: what, in which group, how much (t, t km, l), the factor, and kgCO2e."""

    key: str
    item: str
    group: str
    amount: float
    unit: str
    factor: Sourced
    factor_from: str
    kgco2e: float


@dataclass(frozen=True)
class CarbonResult:
    """All lines of a scheme, kgCO2e; the set of factors; what was assumed and what is left out."""

    factor_set: str
    dated: str
    lines: tuple[CarbonLine, ...]
    total_kgco2e: float
    by_group_kgco2e: dict[str, float]
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]


def with_own_factors(own: Mapping[str, float], base: FactorSet = DEFAULT) -> FactorSet:
    """A set of factors with some replaced by a reader's own.

    own: factor by key, in the unit of the one it replaces (kgCO2e for each t, t km, kWh or l), -3000 to 50000.
    base: the set to start from.
    Returns a FactorSet that says which are the reader's.
    Raises ValueError for a key that the set does not have, or a factor out of range; all are named.
    Source: the reader.

    >>> with_own_factors({"concrete": 95.0})["concrete"].value
    95.0
    >>> with_own_factors({"cement": 95.0})
    Traceback (most recent call last):
    ...
    ValueError: no factor is called 'cement'; there are concrete, aggregates, bricks, blocks, mortar, steel, insulation, wood, plastic_film, soil_to_landfill, lorry, electricity, diesel
    """
    problems = [f"no factor is called {key!r}; there are {', '.join(base.factors)}" for key in own if key not in base.factors]
    problems += [f"the factor {key} must be {LEAST_FACTOR:g} to {MOST_FACTOR:g}, not {value}" for key, value in own.items()
                 if not LEAST_FACTOR <= value <= MOST_FACTOR]
    if problems:
        raise ValueError("; ".join(problems))
    mine = {key: common_practice(value, base[key].unit, "Your own factor.") for key, value in own.items()}
    return FactorSet(base.name, base.dated, {**base.factors, **mine}, base.own | frozenset(own))


def material_kgco2e(mass_t: float, factor_kgco2e_per_t: float) -> float:
    """What a mass of a material emits until it leaves the factory.

    mass_t: t, 0 or more.  factor_kgco2e_per_t: kgCO2e/t.
    Returns kgCO2e.
    Raises ValueError for a negative mass.
    Source: definition of an emission factor.

    >>> round(material_kgco2e(2.4, CONCRETE.value), 1)
    285.1
    """
    if not mass_t >= 0.0:
        raise ValueError(f"a mass must be 0 t or more, not {mass_t} t")
    return mass_t * factor_kgco2e_per_t


def lorry_kgco2e(mass_t: float, distance_km: float, factor: float = LORRY.value) -> float:
    """What a mass emits on its way by lorry.

    mass_t: t, 0 or more.  distance_km: loaded, km, 0 to 5000.  factor: kgCO2e for each t km.
    Returns kgCO2e.
    Raises ValueError outside those ranges.
    Source: definition; the factor is for an average load and counts the way back as it usually is.

    >>> round(lorry_kgco2e(10.0, 30.0), 2)
    51.44
    """
    if not (mass_t >= 0.0 and 0.0 <= distance_km <= 5000.0):
        raise ValueError(f"a load must be 0 t or more and go 0 to 5000 km, not {mass_t} t and {distance_km} km")
    return mass_t * distance_km * factor


def heating_kgco2e(heat_kwh: float, factor: float = ELECTRICITY.value, efficiency: float = 1.0) -> float:
    """What a year's heat emits.

    heat_kwh: heat given out, kWh, 0 or more.  factor: kgCO2e/kWh of what is paid for.
    efficiency: heat over what is paid for, 0.3 to 6 (no unit).
    Returns kgCO2e a year, at this year's factor.
    Raises ValueError outside those ranges.
    Source: definition; UK Government factor for electricity, 2025, as quoted.

    >>> round(heating_kgco2e(400.0), 1)
    70.8
    """
    if not heat_kwh >= 0.0:
        raise ValueError(f"heat must be 0 kWh or more, not {heat_kwh} kWh")
    if not 0.3 <= efficiency <= 6.0:
        raise ValueError(f"a heater gives 0.3 to 6 kWh of heat for each kWh, not {efficiency}")
    return heat_kwh / efficiency * factor


@dataclass(frozen=True)
class _Material:
    """What is brought: its factor, the distance it comes by, the bill line whose allowance it shares, and its net mass, t."""

    key: str
    item: str
    factor: str
    distance: str
    bill_line: str
    net_t: Callable[[Job], float]


def _sheet_t(area_m2: float, thickness_m: float) -> float:
    """Mass of polythene with its laps, t."""
    return area_m2 * (1.0 + MEMBRANE_LAPS.value) * thickness_m * PLASTIC_KG_PER_M3.value / 1000.0


def _insulation_kg_per_m3(job: Job) -> float:
    insulation = getattr(job.scenario.schemes[job.works.scheme], "insulation", None)
    return 0.0 if insulation is None else INSULATION_KG_PER_M3[insulation].value


def _fabric_t(job: Job) -> float:
    products = job.scenario.schedule.products
    return job["fabric_sheets"] * products.fabric_sheet_length_m * products.fabric_sheet_width_m * products.fabric_kg_per_m2 / 1000.0


def _block_t(job: Job) -> float:
    """Blocks alone: the wall less its mortar."""
    wall_m3 = job["blockwork_m2"] * job.works.sizes.get("block_thickness_m", DPC_WIDTH_M.value)
    return max(0.0, wall_m3 - job["mortar_m3"]) * materials.DENSE_BLOCK_KG_PER_M3.value / 1000.0


def _membrane_m(job: Job) -> float:
    return rules_for(job.scenario.region).membrane_thickness_m.value


_BROUGHT: tuple[_Material, ...] = (
    _Material("footing concrete", "Concrete, footings", "concrete", "concrete", "footing concrete", lambda job: job["footing_concrete_m3"] * CONCRETE_T_PER_M3.value),
    _Material("slab concrete", "Concrete, slab and edges", "concrete", "concrete", "slab concrete", lambda job: job["slab_concrete_m3"] * CONCRETE_T_PER_M3.value),
    _Material("stone", "Sub-base stone", "aggregates", "stone and sand", "stone", lambda job: materials.stone_t(job.stone_m3)),
    _Material("drain stone", "Drain stone", "aggregates", "stone and sand", "drain stone", lambda job: job["drain_stone_m3"] * materials.DRAIN_STONE_T_PER_M3.value),
    _Material("blinding", "Blinding sand", "aggregates", "stone and sand", "blinding", lambda job: job["blinding_m3"] * materials.SAND_T_PER_M3.value),
    _Material("blocks", "Blocks", "blocks", "blocks and mortar", "blocks", _block_t),
    _Material("mortar", "Mortar", "mortar", "blocks and mortar", "mortar", lambda job: job["mortar_m3"] * MORTAR_T_PER_M3.value),
    _Material("fabric", "Steel fabric", "steel", "steel", "fabric", _fabric_t),
    _Material("bars", "Edge bars and links", "steel", "steel", "bars", lambda job: job["bar_kg"] / 1000.0),
    _Material("insulation", "Floor insulation", "insulation", "insulation and plastic", "insulation", lambda job: job["insulation_m3"] * _insulation_kg_per_m3(job) / 1000.0),
    _Material("edge board", "Edge board", "insulation", "insulation and plastic", "edge board", lambda job: job["edge_board_m2"] * EDGE_BOARD_M.value * _insulation_kg_per_m3(job) / 1000.0),
    _Material("membrane", "Damp-proof membrane", "plastic_film", "insulation and plastic", "", lambda job: _sheet_t(job["membrane_m2"], _membrane_m(job))),
    _Material("damp-proof course", "Damp-proof course", "plastic_film", "insulation and plastic", "damp-proof course",
              lambda job: job["dpc_m"] * job.works.sizes.get("block_thickness_m", DPC_WIDTH_M.value) * DPC_M.value * PLASTIC_KG_PER_M3.value / 1000.0),
    _Material("curing", "Curing sheet", "plastic_film", "insulation and plastic", "", lambda job: _sheet_t(job["sheet_m2"], CURING_SHEET_M.value)),
    _Material("geotextile", "Geotextile", "plastic_film", "insulation and plastic", "geotextile", lambda job: job["geotextile_m2"] * GEOTEXTILE_KG_PER_M2.value / 1000.0),
    _Material("land drain", "Land drain", "plastic_film", "insulation and plastic", "land drain", lambda job: job["land_drain_m"] * LAND_DRAIN_KG_PER_M.value / 1000.0),
    _Material("forms", "Formwork timber", "wood", "wood", "forms",
              lambda job: (job["formwork_m2"] + job["lost_form_m2"]) * FORM_TIMBER_M.value * materials.SOFTWOOD_KG_PER_M3.value / 1000.0),
)


def carbon_of(
    amounts: Mapping[str, float],
    works: Works,
    scenario: Scenario,
    factors: FactorSet = DEFAULT,
    distances_km: Mapping[str, float] | None = None,
) -> CarbonResult:
    """What a scheme emits: materials with the bill's allowances, their way by lorry, spoil and the digger.

    amounts: net quantities by key, m, m2, m3, t, kg.  works: as laid out.  scenario.
    factors: the set to use.  distances_km: km by key of `DISTANCES_KM`, for those a reader knows.
    Returns a CarbonResult, kgCO2e.
    Raises ValueError for a distance that is unknown or out of range.
    Source: UK Government conversion factors 2025, as quoted; distances and densities are common practice, no source.
    """
    own_km = dict(distances_km or {})
    unknown = set(own_km) - set(DISTANCES_KM)
    if unknown:
        raise ValueError(f"no distance is called {', '.join(sorted(unknown))}; there are {', '.join(DISTANCES_KM)}")
    km = {key: own_km.get(key, usual.value) for key, usual in DISTANCES_KM.items()}
    allowance = {rule.key: rule.allowance_percent / 100.0 for rule in BILL}
    job = Job(dict(amounts), works, scenario)
    lines, loads = [], dict.fromkeys(DISTANCES_KM, 0.0)
    for brought in _BROUGHT:
        mass_t = brought.net_t(job) * (1.0 + (allowance[brought.bill_line] if brought.bill_line else 0.0))
        if mass_t > 0.0:
            emitted = material_kgco2e(mass_t, factors[brought.factor].value)
            lines.append(_line(brought.key, brought.item, MATERIALS, mass_t, "t", factors, brought.factor, emitted))
            loads[brought.distance] += mass_t
    spoil_t = amounts["spoil_loose_m3"] / soil_named(scenario.plot.soil).bulking.value * SUBSOIL_T_PER_M3.value
    if spoil_t > 0.0:
        emitted = material_kgco2e(spoil_t, factors["soil_to_landfill"].value)
        lines.append(_line("spoil", "Spoil to landfill", SPOIL, spoil_t, "t", factors, "soil_to_landfill", emitted))
        loads["spoil"] += spoil_t
    for key, mass_t in loads.items():
        if mass_t > 0.0:
            group = SPOIL if key == "spoil" else TRANSPORT
            emitted = lorry_kgco2e(mass_t, km[key], factors["lorry"].value)
            lines.append(_line(f"lorry {key}", f"Lorry, {key}, {km[key]:g} km", group, mass_t * km[key], "t km", factors, "lorry", emitted))
    litres = job.machine_hours * DIESEL_L_PER_H.value
    if litres > 0.0:
        lines.append(_line("digger", "Digger", MACHINES, litres, "l", factors, "diesel", litres * factors["diesel"].value))
    return CarbonResult(
        factor_set=factors.name,
        dated=factors.dated,
        lines=tuple(lines),
        total_kgco2e=math.fsum(line.kgco2e for line in lines),
        by_group_kgco2e={group: math.fsum(line.kgco2e for line in lines if line.group == group)
                         for group in (MATERIALS, TRANSPORT, SPOIL, MACHINES)},
        assumptions=_assumptions(km, own_km),
        left_out=LEFT_OUT,
    )


def _line(key: str, item: str, group: str, amount: float, unit: str, factors: FactorSet, factor: str, emitted: float) -> CarbonLine:
    used = factors[factor]
    whose = "yours" if factor in factors.own else used.citation
    return CarbonLine(key, item, group, amount, unit, used, whose, emitted)


def _assumptions(km: Mapping[str, float], own_km: Mapping[str, float]) -> tuple[str, ...]:
    """Sentences about what was taken for want of better."""
    taken = ", ".join(f"{key} {distance:g} km" for key, distance in km.items() if key not in own_km)
    words = [f"Distances by lorry, common practice, no source: {taken}."] if taken else []
    words.append("All spoil that leaves the plot is taken to go to landfill.")
    words.append(f"Blocks and mortar take the factor for concrete. Steel takes {STEEL.value:g} kgCO2e/t, common practice, no source.")
    words.append("Densities of insulation, plastic and subsoil, and the digger's fuel, are common practice, no source.")
    return tuple(words)
