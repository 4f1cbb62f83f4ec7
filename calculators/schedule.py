"""A schedule of rates: what things cost, in the unit in which they are sold.

`RATE_ITEMS` is the one list of everything the bill can ask a price for.  A
schedule gives a low, likely and high rate for each, per unit of sale, and the
sizes in which products come.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators import materials


@dataclass(frozen=True)
class RateItem:
    """One thing with a price: its key in schedules and quotes, its words, its kind of unit.

    `unit_kind` is one of volume (SI: m3), mass (t), area (m2), length (m),
    time (hour or day as written), count (each).
    """

    key: str
    label: str
    unit_kind: str


RATE_ITEMS: tuple[RateItem, ...] = (
    RateItem("ready_mixed_concrete", "Ready-mixed concrete", "volume"),
    RateItem("part_load_charge", "Part-load charge, by the volume a lorry is short of full", "volume"),
    RateItem("concrete_pump", "Concrete pump, a visit", "count"),
    RateItem("sub_base_stone", "Sub-base stone, delivered", "mass"),
    RateItem("drain_stone", "Clean drainage stone, delivered", "mass"),
    RateItem("blinding_sand", "Blinding sand, delivered", "mass"),
    RateItem("membrane", "Damp-proof membrane, a roll", "count"),
    RateItem("damp_proof_course", "Damp-proof course, a roll", "count"),
    RateItem("damp_strip", "Self-adhesive damp-proof strip at the edge and under sills", "area"),
    RateItem("geotextile", "Geotextile under the stone", "area"),
    RateItem("fabric_sheet", "Steel fabric, a sheet", "count"),
    RateItem("reinforcing_bar", "Reinforcing bar, cut and bent", "mass"),
    RateItem("spacers", "Spacers and chairs, by area of fabric", "area"),
    RateItem("formwork_timber", "Formwork boards, pegs and braces", "area"),
    RateItem("block_100", "Concrete block 100 mm", "count"),
    RateItem("block_140", "Concrete block 140 mm", "count"),
    RateItem("block_215", "Concrete block 215 mm", "count"),
    RateItem("mortar", "Mortar, materials", "volume"),
    RateItem("wall_strap", "Holding-down strap", "count"),
    RateItem("render", "Render and damp-proofing to the outer face below ground", "area"),
    RateItem("insulation_eps", "Expanded polystyrene floor insulation", "volume"),
    RateItem("insulation_xps", "Extruded polystyrene floor insulation", "volume"),
    RateItem("insulation_pir", "Rigid polyisocyanurate floor insulation", "volume"),
    RateItem("slip_sheet", "Slip sheet over insulation", "area"),
    RateItem("edge_board", "Insulated edge board", "area"),
    RateItem("isolation_strip", "Isolation strip round a slab", "length"),
    RateItem("land_drain", "Perforated land drain, wrapped", "length"),
    RateItem("channel_drain", "Channel drain at a door, with grating", "length"),
    RateItem("door_step", "Concrete or block step at a door, each riser", "count"),
    RateItem("door_ramp", "Ramp at a step-free door, concrete on stone", "area"),
    RateItem("guard_rail", "Guard along a drop", "length"),
    RateItem("curing_sheet", "Curing sheet", "area"),
    RateItem("setting_out_sundries", "Pegs, profile boards and line", "count"),
    RateItem("digger_day", "Mini digger, a day's hire", "time"),
    RateItem("plate_day", "Plate compactor, a day's hire", "time"),
    RateItem("plant_delivery", "Plant delivered and collected", "count"),
    RateItem("ground_mats", "Ground mats and making good the lawn", "count"),
    RateItem("spoil_away", "Spoil carted away, by loose volume", "volume"),
    RateItem("breaker_day", "Concrete breaker, a day's hire", "time"),
    RateItem("rubble_away", "Broken concrete carted away, by loose volume", "volume"),
    RateItem("inspection_fee", "Inspection or permission fee", "count"),
    RateItem("labourer_hour", "Labourer, an hour", "time"),
    RateItem("tradesman_hour", "Tradesman, an hour", "time"),
    RateItem("frame_wall", "Timber frame wall, clad", "area"),
    RateItem("block_wall", "Block wall above the floor", "area"),
    RateItem("floating_floor", "Floating insulated floor, boards on insulation", "area"),
    RateItem("lorry_waiting_hour", "Lorry waiting, an hour", "time"),
    RateItem("volumetric_concrete", "Concrete mixed on the lorry, paid by what comes out", "volume"),
    RateItem("volumetric_visit", "Call-out of a lorry that mixes", "count"),
    RateItem("bagged_concrete", "Concrete mixed by hand from bags, materials", "volume"),
    RateItem("levelling_compound", "Levelling compound, from bags", "mass"),
    RateItem("grinder_day", "Floor grinder, a day's hire", "time"),
)

RATE_KEYS: tuple[str, ...] = tuple(item.key for item in RATE_ITEMS)

BESIDE_THE_BILL: tuple[str, ...] = (
    "lorry_waiting_hour", "volumetric_concrete", "volumetric_visit", "bagged_concrete", "levelling_compound", "grinder_day",
)
"""Rates that no line of a bill asks for: they price the day of a pour, and what may be done about a floor that is not flat."""


@dataclass(frozen=True)
class Rate:
    """A price per unit of sale.

    `sale_unit_in_si` is how much of the SI unit of the item's kind one unit
    of sale holds (a cubic yard: 0.764555), `step` the least amount by which
    an order grows, in units of sale.  `rate_from` says whose figure it is:
    the schedule's name, or "yours" for a reader's quote.
    """

    key: str
    low: float
    likely: float
    high: float
    sale_unit: str
    sale_unit_in_si: float
    step: float
    rate_from: str


@dataclass(frozen=True)
class Products:
    """The sizes in which things are sold where the schedule applies, in metres, kg and m3."""

    block_length_m: float
    block_height_m: float
    mortar_joint_m: float
    fabric_name: str
    fabric_sheet_length_m: float
    fabric_sheet_width_m: float
    fabric_kg_per_m2: float
    membrane_roll_width_m: float
    membrane_roll_length_m: float
    damp_proof_course_roll_length_m: float
    concrete_lorry_m3: float
    concrete_full_charge_from_m3: float
    spoil_load_m3: float

    @property
    def course_m(self) -> float:
        """Height of one block course with its joint, m."""
        return self.block_height_m + self.mortar_joint_m

    @property
    def blocks_per_m2(self) -> float:
        """Blocks in a square metre of wall face, joints included."""
        return materials.blocks_per_m2(self.block_length_m, self.block_height_m, self.mortar_joint_m)


@dataclass(frozen=True)
class Schedule:
    """Rates and products under one name, in one currency, of one date."""

    name: str
    title: str
    currency: str
    dated: str
    tax_included: bool
    tax_percent: float
    invented: bool
    overhead_percent: float
    units: str
    products: Products
    rates: dict[str, Rate]
