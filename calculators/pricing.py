"""From quantities to a bill: net, allowance, order in the unit of sale, cash and hours.

`BILL` is the one list of lines.  Each line takes its net amount from the
quantities, adds its allowance, is rounded up to the unit in which the thing
is sold, and meets one rate of the schedule.  Hours are a first-timer's with a
hired digger; a hired gang is quicker and dearer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from calculators import materials
from calculators.barrows import BARROW_M3, barrow_round_h
from calculators.either import Numbers, positive
from calculators.numbers import round_up, steps_up
from calculators.scenario import Scenario
from calculators.schedule import Rate
from calculators.soils import SOILS
from calculators.sources import common_practice
from calculators.works import Works

# All hours: common practice, no source; for orientation.
SETTING_OUT_H = common_practice(12.0, "h", "Setting out: profiles, levels, diagonals; 10 to 14 is usual.")
TIDY_H = common_practice(4.0, "h", "Tidying at the end.")
DIG_H_PER_M3 = common_practice(0.6, "h/m3", "Open dig with a small machine.")
TRENCH_H_PER_M3 = common_practice(0.9, "h/m3", "Trench dig with a small machine.")
HAND_DIG_H_PER_M3 = common_practice(5.0, "h/m3", "Digging by hand.")
NARROW_DIGGER_FACTOR = common_practice(1.8, "", "A digger that fits a narrow gate takes so many times as long.")
BREAK_OUT_H_PER_M3 = common_practice(6.0, "h/m3", "Unreinforced concrete broken by a hired breaker and loaded.")
TRIM_H_PER_M2 = common_practice(0.15, "h/m2", "Trimming and levelling formation.")
STONE_H_PER_M3 = common_practice(1.4, "h/m3", "Stone carried in, spread and compacted in layers.")
BLINDING_H_PER_M3 = common_practice(1.5, "h/m3", "Sand spread and struck off.")
BACKFILL_H_PER_M3 = common_practice(0.8, "h/m3", "Backfill in layers.")
FORM_H_PER_M2 = common_practice(1.2, "h/m2", "Forms made, set, braced and struck.")
SLAB_H_PER_M3 = common_practice(2.0, "h/m3", "Slab concrete placed and levelled.")
FOOTING_H_PER_M3 = common_practice(1.5, "h/m3", "Footing concrete placed and levelled.")
FINISH_H_PER_M2 = common_practice(0.25, "h/m2", "Floating and finishing.")
BLOCK_H_EACH = common_practice(0.15, "h", "A block laid, mortar mixed.")
FABRIC_H_PER_M2 = common_practice(0.08, "h/m2", "Fabric laid, tied, set on spacers.")
CAGE_H_PER_M = common_practice(0.35, "h/m", "Edge cage tied and set.")
MEMBRANE_H_PER_M2 = common_practice(0.05, "h/m2", "Membrane laid, lapped, taped.")
DAMP_STRIP_H_PER_M2 = common_practice(0.4, "h/m2", "Faces cleaned and primed, strip cut and bonded.")
RENDER_H_PER_M2 = common_practice(0.5, "h/m2", "Render and damp-proofing.")
INSULATION_H_PER_M2 = common_practice(0.10, "h/m2", "Boards cut and laid.")
DRAIN_H_PER_M = common_practice(0.2, "h/m", "Pipe laid to a fall.")
CHANNEL_H_PER_M = common_practice(2.0, "h/m", "Channel drain set in concrete.")
STEP_H_EACH = common_practice(2.0, "h", "A step built.")
RAMP_H_PER_M2 = common_practice(1.5, "h/m2", "A ramp of concrete on stone.")
GUARD_H_PER_M = common_practice(1.0, "h/m", "Guard fixed.")
DAY_H = common_practice(7.0, "h", "Working hours in a day.")
LEAST_VISIT_H = common_practice(8.0, "h", "A hired trade is paid for a day at the least.")
HIRED_PACE = common_practice(0.6, "", "A hired gang's hours over a first-timer's.")
PLATE_M3_PER_DAY = common_practice(8.0, "m3", "Stone that one plate compacts in a day.")
CHUTE_REACH_M = common_practice(2.7, "m", "What a lorry's chute reaches.")
DIGGER_GATE_M = common_practice(1.5, "m", "Gate that lets a mini digger through.")
NARROW_DIGGER_GATE_M = common_practice(0.9, "m", "Gate that lets the narrowest digger through; less is dug by hand.")
CONTINGENCY = common_practice(0.10, "", "Contingency for what nobody saw, as a share of the cash.")
CONTINGENCY_MADE_GROUND = common_practice(0.15, "", "Contingency on made ground, as a share of the cash.")

# The lines whose concrete comes by lorry, each in a pour of its own.
POURS = ("footing concrete", "slab concrete")

GROUNDWORK, CONCRETE, BLOCKLAYING = "groundwork", "concrete", "blocklaying"
TRADE_RATE = {GROUNDWORK: "labourer_hour", CONCRETE: "tradesman_hour", BLOCKLAYING: "tradesman_hour"}

# Who does the hours of a task: the owner's share; helpers do the rest.  Common practice, no source.
ALONE, WITH_A_HELPER, WITH_A_CREW = 1.0, 0.6, 0.34


class MissingRate(KeyError):
    """A schedule has no rate that a bill needs; names the rate and the scenario."""

    def __init__(self, key: str, scenario: Scenario):
        super().__init__(key)
        self.sentence = f"The schedule of rates {scenario.schedule.name} has no rate {key}, which the scenario {scenario.slug} needs."

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True)
class Spread:
    """Money at every rate's low, likely and high."""

    low: float
    likely: float
    high: float

    def __add__(self, other: Spread) -> Spread:
        return Spread(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def times(self, factor: float) -> Spread:
        """Each figure times a factor."""
        return Spread(self.low * factor, self.likely * factor, self.high * factor)


NOTHING = Spread(0.0, 0.0, 0.0)


@dataclass(frozen=True)
class BillLine:
    """One line of the bill; cash is at the likely rate, `cash_range` at low, likely and high.

    `net` is in `net_unit` (SI), `order` in `order_unit`, the unit of sale;
    `rate` is money per unit of sale.  A line of work alone has no rate.
    """

    key: str
    item: str
    stage: str
    net: float
    net_unit: str
    allowance_percent: float
    order: float
    order_unit: str
    rate_key: str
    rate: float | None
    rate_unit: str
    rate_from: str
    cash: float
    cash_range: Spread
    own_hours: float
    helper_hours: float
    trade: str


@dataclass(frozen=True)
class Job:
    """What a line may look at besides the net quantities: the works and the scenario."""

    amounts: dict[str, float]
    works: Works
    scenario: Scenario

    def __getitem__(self, key: str) -> float:
        return self.amounts[key]

    @property
    def by_hand(self) -> bool:
        """Whether no digger fits the gate."""
        return self.scenario.plot.access.gate_width_m < NARROW_DIGGER_GATE_M.value

    @property
    def dig_factor(self) -> float:
        """How much slower the digger is that fits the gate."""
        return NARROW_DIGGER_FACTOR.value if self.scenario.plot.access.gate_width_m < DIGGER_GATE_M.value else 1.0

    def dig_hours(self, machine_h_per_m3: float) -> float:
        """Hours per m3 of digging, by what fits the gate."""
        return HAND_DIG_H_PER_M3.value if self.by_hand else machine_h_per_m3 * self.dig_factor

    @property
    def machine_hours(self) -> float:
        """Hours that the digger is wanted; 0 by hand."""
        if self.by_hand:
            return 0.0
        open_dig = self["topsoil_strip_m3"] + self["reduce_dig_m3"] + self["soft_spot_m3"]
        trenches = self["trench_dig_m3"] + self["drain_dig_m3"]
        return self.dig_factor * (DIG_H_PER_M3.value * open_dig + TRENCH_H_PER_M3.value * trenches)

    @property
    def stone_m3(self) -> float:
        """All compacted stone, m3."""
        return self["sub_base_m3"] + self["batter_stone_m3"] + self["trench_stone_m3"] + self["soft_spot_m3"]

    @property
    def stone_t(self) -> float:
        """The same by mass, t."""
        return self.stone_m3 * materials.STONE_COMPACTED_T_PER_M3.value

    @property
    def pours(self) -> float:
        """How many pours there are."""
        return sum(positive(line.net(self)) for line in BILL if line.key in POURS)

    def deliveries(self) -> list[float]:
        """Concrete ordered for each pour, m3: allowance in, rounded to the supplier's step."""
        return [order_si(self, line) for line in BILL if line.key in POURS and line.net(self) > 0.0]

    def short_of_full_m3(self) -> float:
        """Concrete, m3, by which the last lorry of each pour falls short of a full charge."""
        products = self.scenario.schedule.products
        short = 0.0
        for ordered in self.deliveries():
            last = ordered - products.concrete_lorry_m3 * (steps_up(ordered, products.concrete_lorry_m3) - 1)
            short += max(0.0, products.concrete_full_charge_from_m3 - last)
        return short

    def barrow_hours(self) -> float:
        """Hours of pushing barrows from the lorry to the slab; 0 with a pump or within reach of the chute."""
        access = self.scenario.plot.access
        if access.pump or access.lorry_to_slab_m <= CHUTE_REACH_M.value:
            return 0.0
        trips = sum(
            line.net(self) * (1.0 + line.allowance_percent / 100.0) / BARROW_M3.value for line in BILL if line.key in POURS)
        return trips * barrow_round_h(access.lorry_to_slab_m)


@dataclass(frozen=True)
class LineRule:
    """How a line of the bill is made.

    `net` gives the amount in the SI unit of the line's rate (for a line
    without a rate, in `unit`); `hours` the first-timer's hours of the whole
    line.  Where the net amount is itself a count of whole sheets, rolls or
    lorries, `smooth` gives the same without rounding, for costs that are
    compared from level to level.
    """

    key: str
    item: str
    stage: str
    unit: str
    net: Callable[[Job], float]
    rate: Callable[[Job], str | None]
    allowance_percent: float = 0.0
    hours: Callable[[Job], float] = lambda job: 0.0
    own_share: float = ALONE
    trade: str = GROUNDWORK
    smooth: Callable[[Job], float] | None = None


def _rate(key: str) -> Callable[[Job], str | None]:
    return lambda job: key


def _no_rate(job: Job) -> None:
    return None


def _amount(key: str) -> Callable[[Job], float]:
    return lambda job: job[key]


def _block_rate(job: Job) -> str:
    thickness = job.works.sizes.get("block_thickness_m", 0.140)
    return min((abs(thickness - size), key) for size, key in ((0.100, "block_100"), (0.140, "block_140"), (0.215, "block_215")))[1]


def _insulation_rate(job: Job) -> str:
    return "insulation_" + job.scenario.schemes[job.works.scheme].insulation.lower()


def _insulation_m2(job: Job) -> float:
    thickness = job.works.sizes.get("insulation_thickness_m", 0.0)
    return job["insulation_m3"] / thickness if thickness > 0 else 0.0


def _slip_sheet_m2(job: Job) -> float:
    choice = job.scenario.schemes[job.works.scheme]
    over_membrane = job["insulation_m3"] > 0 and materials.INSULATIONS[choice.insulation].over_membrane
    return _insulation_m2(job) if over_membrane else 0.0


def _membrane_rolls(job: Job) -> float:
    products = job.scenario.schedule.products
    return job["membrane_m2"] / (products.membrane_roll_width_m * products.membrane_roll_length_m)


def _fabric_sheets(job: Job) -> float:
    products = job.scenario.schedule.products
    return job["fabric_m2"] / (products.fabric_sheet_length_m * products.fabric_sheet_width_m)


def _soft_access(job: Job) -> float:
    return 1.0 if SOILS[job.scenario.plot.soil].kind in ("clay", "silt", "unknown") or job.scenario.plot.water != "low" else 0.0


PREPARE, DIG, DRAIN, STONE, STEEL, POUR, WALLS, FINISH = (
    "Before digging", "Dig", "Drains", "Stone and membrane", "Forms and steel", "Concrete", "Walls and damp", "Doors and finish",
)

BILL: tuple[LineRule, ...] = (
    LineRule("setting out", "Setting out", PREPARE, "", lambda job: 1.0, _rate("setting_out_sundries"), hours=lambda job: SETTING_OUT_H.value, own_share=WITH_A_HELPER),
    LineRule("fee", "Inspection or permission fee", PREPARE, "", lambda job: 1.0, _rate("inspection_fee")),
    LineRule("ground mats", "Ground mats and making good", PREPARE, "", _soft_access, _rate("ground_mats")),
    LineRule("digger", "Digger hire", DIG, "day", lambda job: job.machine_hours / DAY_H.value, _rate("digger_day")),
    LineRule("plate", "Plate compactor hire", DIG, "day", lambda job: job.stone_m3 / PLATE_M3_PER_DAY.value, _rate("plate_day")),
    LineRule("plant delivery", "Plant brought and fetched", DIG, "", lambda job: (0.0 if job.by_hand else 1.0) + positive(job.stone_m3), _rate("plant_delivery")),
    LineRule("topsoil", "Strip topsoil, stack it, spread it again", DIG, "m3", _amount("topsoil_strip_m3"), _no_rate, hours=lambda job: job["topsoil_strip_m3"] * job.dig_hours(DIG_H_PER_M3.value)),
    LineRule("reduce dig", "Reduce dig", DIG, "m3", _amount("reduce_dig_m3"), _no_rate, hours=lambda job: job["reduce_dig_m3"] * job.dig_hours(DIG_H_PER_M3.value)),
    LineRule("trench dig", "Trench dig", DIG, "m3", _amount("trench_dig_m3"), _no_rate, hours=lambda job: job["trench_dig_m3"] * job.dig_hours(TRENCH_H_PER_M3.value)),
    LineRule("soft spots", "Dig out soft spots", DIG, "m3", _amount("soft_spot_m3"), _no_rate, hours=lambda job: job["soft_spot_m3"] * job.dig_hours(DIG_H_PER_M3.value)),
    LineRule("breaker", "Breaker hire", DIG, "day", lambda job: job["break_out_m3"] * BREAK_OUT_H_PER_M3.value / DAY_H.value, _rate("breaker_day")),
    LineRule("break out", "Break out old concrete", DIG, "m3", _amount("break_out_m3"), _no_rate, hours=lambda job: job["break_out_m3"] * BREAK_OUT_H_PER_M3.value, own_share=WITH_A_HELPER),
    LineRule("rubble", "Broken concrete carted away", DIG, "m3", _amount("rubble_loose_m3"), _rate("rubble_away")),
    LineRule("trim", "Trim and level formation", DIG, "m2", _amount("trim_m2"), _no_rate, hours=lambda job: job["trim_m2"] * TRIM_H_PER_M2.value),
    LineRule("spoil", "Spoil carted away", DIG, "m3", _amount("spoil_loose_m3"), _rate("spoil_away")),
    LineRule("backfill", "Backfill with arisings", DIG, "m3", _amount("backfill_m3"), _no_rate, hours=lambda job: job["backfill_m3"] * BACKFILL_H_PER_M3.value, own_share=WITH_A_HELPER),
    LineRule("drain dig", "Drain trenches", DRAIN, "m3", _amount("drain_dig_m3"), _no_rate, hours=lambda job: job["drain_dig_m3"] * job.dig_hours(TRENCH_H_PER_M3.value)),
    LineRule("land drain", "Land drain", DRAIN, "m", _amount("land_drain_m"), _rate("land_drain"), 5.0, lambda job: job["land_drain_m"] * DRAIN_H_PER_M.value),
    LineRule("drain stone", "Drain stone", DRAIN, "t", lambda job: job["drain_stone_m3"] * materials.DRAIN_STONE_T_PER_M3.value, _rate("drain_stone"), 5.0, lambda job: job["drain_stone_m3"] * STONE_H_PER_M3.value, WITH_A_HELPER),
    LineRule("geotextile", "Geotextile", STONE, "m2", _amount("geotextile_m2"), _rate("geotextile"), 10.0),
    LineRule("stone", "Sub-base stone, with shoulder, batter and trench refill", STONE, "t", lambda job: job.stone_t, _rate("sub_base_stone"), 5.0, lambda job: job.stone_m3 * STONE_H_PER_M3.value, WITH_A_HELPER),
    LineRule("blinding", "Blinding sand", STONE, "t", lambda job: job["blinding_m3"] * materials.SAND_T_PER_M3.value, _rate("blinding_sand"), 10.0, lambda job: job["blinding_m3"] * BLINDING_H_PER_M3.value),
    LineRule("membrane", "Damp-proof membrane", STONE, "", _amount("membrane_rolls"), _rate("membrane"), hours=lambda job: job["membrane_m2"] * MEMBRANE_H_PER_M2.value, own_share=WITH_A_HELPER, smooth=_membrane_rolls),
    LineRule("insulation", "Floor insulation", STONE, "m3", _amount("insulation_m3"), lambda job: _insulation_rate(job), 7.0, lambda job: _insulation_m2(job) * INSULATION_H_PER_M2.value),
    LineRule("slip sheet", "Slip sheet over insulation", STONE, "m2", _slip_sheet_m2, _rate("slip_sheet"), 10.0),
    LineRule("edge board", "Insulated edge board", STONE, "m2", _amount("edge_board_m2"), _rate("edge_board"), 7.0, lambda job: job["edge_board_m2"] * INSULATION_H_PER_M2.value),
    LineRule("isolation strip", "Isolation strip", STONE, "m", _amount("isolation_strip_m"), _rate("isolation_strip"), 5.0),
    LineRule("forms", "Formwork", STEEL, "m2", lambda job: job["formwork_m2"] + job["lost_form_m2"], _rate("formwork_timber"), 10.0, lambda job: (job["formwork_m2"] + job["lost_form_m2"]) * FORM_H_PER_M2.value, WITH_A_HELPER, CONCRETE),
    LineRule("fabric", "Steel fabric", STEEL, "", _amount("fabric_sheets"), _rate("fabric_sheet"), hours=lambda job: job["fabric_m2"] * FABRIC_H_PER_M2.value, own_share=WITH_A_HELPER, trade=CONCRETE, smooth=_fabric_sheets),
    LineRule("spacers", "Spacers and chairs", STEEL, "m2", _amount("fabric_m2"), _rate("spacers")),
    LineRule("bars", "Edge bars and links", STEEL, "t", lambda job: job["bar_kg"] / 1000.0, _rate("reinforcing_bar"), 5.0, lambda job: job["edge_cage_m"] * CAGE_H_PER_M.value, WITH_A_HELPER, CONCRETE),
    LineRule("footing concrete", "Concrete, footings, against earth", POUR, "m3", _amount("footing_concrete_m3"), _rate("ready_mixed_concrete"), 10.0, lambda job: job["footing_concrete_m3"] * FOOTING_H_PER_M3.value, WITH_A_CREW, CONCRETE),
    LineRule("slab concrete", "Concrete, slab and edges, in forms", POUR, "m3", _amount("slab_concrete_m3"), _rate("ready_mixed_concrete"), 5.0, lambda job: job["slab_concrete_m3"] * SLAB_H_PER_M3.value, WITH_A_CREW, CONCRETE),
    LineRule("part load", "Part-load charge", POUR, "m3", lambda job: job.short_of_full_m3(), _rate("part_load_charge"), smooth=lambda job: 0.0),
    LineRule("pump", "Concrete pump", POUR, "", lambda job: job.pours if job.scenario.plot.access.pump else 0.0, _rate("concrete_pump")),
    LineRule("barrowing", "Barrowing concrete from the lorry", POUR, "h", lambda job: job.barrow_hours(), _no_rate, hours=lambda job: job.barrow_hours(), own_share=0.0, trade=CONCRETE),
    LineRule("finish", "Floating and finishing", POUR, "m2", _amount("floor_m2"), _no_rate, hours=lambda job: job["floor_m2"] * FINISH_H_PER_M2.value, own_share=WITH_A_HELPER, trade=CONCRETE),
    LineRule("curing", "Curing sheet", POUR, "m2", _amount("sheet_m2"), _rate("curing_sheet")),
    LineRule("blocks", "Blocks", WALLS, "", _amount("blocks"), _block_rate, 5.0, lambda job: job["blocks"] * BLOCK_H_EACH.value, WITH_A_HELPER, BLOCKLAYING),
    LineRule("mortar", "Mortar", WALLS, "m3", _amount("mortar_m3"), _rate("mortar"), 15.0),
    LineRule("damp-proof course", "Damp-proof course", WALLS, "", lambda job: job["dpc_m"] / job.scenario.schedule.products.damp_proof_course_roll_length_m, _rate("damp_proof_course"), 5.0),
    LineRule("damp strip", "Damp-proof strip at the edge and under sills", WALLS, "m2", lambda job: job["edge_strip_m2"] + job["sill_strip_m2"], _rate("damp_strip"), 10.0, lambda job: (job["edge_strip_m2"] + job["sill_strip_m2"]) * DAMP_STRIP_H_PER_M2.value),
    LineRule("straps", "Holding-down straps", WALLS, "", _amount("wall_straps"), _rate("wall_strap")),
    LineRule("render", "Render and damp-proofing below ground", WALLS, "m2", _amount("render_m2"), _rate("render"), 10.0, lambda job: job["render_m2"] * RENDER_H_PER_M2.value, WITH_A_HELPER, BLOCKLAYING),
    LineRule("channel drain", "Channel drain at doors", FINISH, "m", _amount("channel_drain_m"), _rate("channel_drain"), 0.0, lambda job: job["channel_drain_m"] * CHANNEL_H_PER_M.value),
    LineRule("door steps", "Steps at doors", FINISH, "", _amount("door_steps"), _rate("door_step"), 0.0, lambda job: job["door_steps"] * STEP_H_EACH.value),
    LineRule("door ramp", "Ramp at a step-free door", FINISH, "m2", _amount("door_ramp_m2"), _rate("door_ramp"), 0.0, lambda job: job["door_ramp_m2"] * RAMP_H_PER_M2.value, WITH_A_HELPER, CONCRETE),
    LineRule("guard", "Guard at raised doors", FINISH, "m", _amount("guard_m"), _rate("guard_rail"), 0.0, lambda job: job["guard_m"] * GUARD_H_PER_M.value),
    LineRule("tidy", "Tidy up", FINISH, "", lambda job: 1.0, _no_rate, hours=lambda job: TIDY_H.value),
)


def order_si(job: Job, line: LineRule) -> float:
    """Order of a line in SI: net with allowance, rounded up to the unit of sale's step."""
    rate = _rate_of(job, line)
    net = line.net(job) * (1.0 + line.allowance_percent / 100.0)
    return round_up(net / rate.sale_unit_in_si, rate.step) * rate.sale_unit_in_si


def rate_named(scenario: Scenario, key: str) -> Rate:
    """The rate of a key in the scenario's schedule (money per unit of sale); raises MissingRate."""
    if key not in scenario.schedule.rates:
        raise MissingRate(key, scenario)
    return scenario.schedule.rates[key]


def _rate_of(job: Job, line: LineRule) -> Rate:
    return rate_named(job.scenario, line.rate(job))


@dataclass(frozen=True)
class Priced:
    """A scheme's bill and its four columns: cash, own hours, helpers' hours, hired-out cash.

    `cash` has the contingency in it; `contingency` is its share.  Without the
    rounding to units of sale the same cash is `cash_before_rounding` (likely).
    """

    lines: tuple[BillLine, ...]
    contingency: Spread
    cash: Spread
    cash_before_rounding: float
    own_hours: float
    helper_hours: float
    hired_cash: Spread


def price(works: Works, amounts: dict[str, float], scenario: Scenario) -> Priced:
    """The bill of a scheme's works at the scenario's schedule of rates.

    works; amounts: net quantities by key; scenario.  Returns lines (only
    those with an amount) and totals.  Raises MissingRate.
    """
    job = Job(amounts, works, scenario)
    lines = [_bill_line(job, rule, net) for rule in BILL if (net := rule.net(job)) > 0.0]
    spent = NOTHING
    for line in lines:
        spent = spent + line.cash_range
    contingency = spent.times(contingency_share(scenario))
    cash = spent + contingency
    return Priced(
        lines=tuple(lines),
        contingency=contingency,
        cash=cash,
        cash_before_rounding=math.fsum(stage.cash for stage in before_rounding(works, amounts, scenario).values()),
        own_hours=math.fsum(line.own_hours for line in lines),
        helper_hours=math.fsum(line.helper_hours for line in lines),
        hired_cash=_hired(cash, lines, scenario),
    )


def contingency_share(scenario: Scenario) -> float:
    """Contingency as a share of the bill: more on made ground."""
    return (CONTINGENCY_MADE_GROUND if scenario.plot.soil == "made ground" else CONTINGENCY).value


@dataclass(frozen=True)
class StageCost:
    """Likely cash, contingency in it, and own hours of one stage, before rounding to units of sale."""

    cash: float
    own_hours: float


@dataclass(frozen=True)
class LineCost:
    """One line before rounding to units of sale: its cash without contingency, and its hours; numbers, or arrays of them."""

    rule: LineRule
    cash: Numbers
    own_hours: Numbers
    helper_hours: Numbers


def line_costs(
    job: Job, prices: Mapping[str, Numbers] | None = None, waste: Numbers = 1.0, pace: Mapping[str, Numbers] | None = None,
) -> list[LineCost]:
    """Every line on net amounts with its allowance, before rounding to units of sale.

    job: its amounts may be arrays, one element a draw.  prices: money per unit
    of sale by rate key, instead of the likely rates; waste: allowances times
    this; pace: hours times this, by trade.  Whole loads and sheets make cost a
    staircase; this is the slope under it.  Raises MissingRate.
    """
    found = []
    for rule in BILL:
        net = (rule.smooth or rule.net)(job)
        hours = rule.hours(job) * (pace or {}).get(rule.trade, 1.0)
        cash = 0.0
        # What a plot has nothing of needs no price.
        nothing = isinstance(net, (int, float)) and net <= 0.0
        if not nothing and rule.rate(job) is not None:
            rate = _rate_of(job, rule)
            price = (prices or {}).get(rate.key, rate.likely)
            cash = net * (1.0 + rule.allowance_percent / 100.0 * waste) / rate.sale_unit_in_si * price
        found.append(LineCost(rule, cash, hours * rule.own_share, hours * (1.0 - rule.own_share)))
    return found


def before_rounding(works: Works, amounts: dict[str, float], scenario: Scenario) -> dict[str, StageCost]:
    """Likely cost by stage on net amounts with their allowances, before rounding to units of sale.

    works; amounts: net quantities by key; scenario.  By this levels are
    compared.  Raises MissingRate.
    """
    share = 1.0 + contingency_share(scenario)
    cash: dict[str, float] = {}
    hours: dict[str, float] = {}
    for line in line_costs(Job(amounts, works, scenario)):
        stage = line.rule.stage
        cash[stage] = cash.get(stage, 0.0) + share * line.cash
        hours[stage] = hours.get(stage, 0.0) + line.own_hours
    return {stage: StageCost(cash[stage], hours[stage]) for stage in cash}


def _bill_line(job: Job, rule: LineRule, net: float) -> BillLine:
    hours = rule.hours(job)
    common = dict(
        key=rule.key, item=rule.item, stage=rule.stage, net=net, net_unit=rule.unit, allowance_percent=rule.allowance_percent,
        own_hours=hours * rule.own_share, helper_hours=hours * (1.0 - rule.own_share), trade=rule.trade,
    )
    if rule.rate(job) is None:
        return BillLine(**common, order=net, order_unit=rule.unit, rate_key="", rate=None, rate_unit="",
                        rate_from="", cash=0.0, cash_range=NOTHING)
    rate = _rate_of(job, rule)
    order = round_up(net * (1.0 + rule.allowance_percent / 100.0) / rate.sale_unit_in_si, rate.step)
    return BillLine(
        **common, order=order, order_unit=rate.sale_unit, rate_key=rate.key, rate=rate.likely,
        rate_unit=f"{job.scenario.schedule.currency}/{rate.sale_unit}", rate_from=rate.rate_from,
        cash=order * rate.likely, cash_range=Spread(order * rate.low, order * rate.likely, order * rate.high),
    )


def _hired(cash: Spread, lines: list[BillLine], scenario: Scenario) -> Spread:
    """All the work done by hired trades: their hours at their pace, a day each at the least, with overhead and profit."""
    schedule = scenario.schedule
    labour = NOTHING
    for trade, rate_key in TRADE_RATE.items():
        hours = HIRED_PACE.value * math.fsum(line.own_hours + line.helper_hours for line in lines if line.trade == trade)
        if hours <= 0.0:
            continue
        rate = rate_named(scenario, rate_key)
        paid = max(hours, LEAST_VISIT_H.value)
        labour = labour + Spread(rate.low, rate.likely, rate.high).times(paid / rate.sale_unit_in_si)
    return (cash + labour).times(1.0 + schedule.overhead_percent / 100.0)
