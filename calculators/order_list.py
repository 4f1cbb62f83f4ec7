"""The order list of a scheme: what is ordered from whom, for which day, and where it is put down.

Every line of the bill with a price goes into one delivery.  What is asked for
is that line's order; of concrete it is the pour's own, which knows how uncertain
the volume is.  Words hold braces where a figure of this plot stands: `figures`
says which.
"""

from __future__ import annotations

import math
import string
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from calculators import materials, stockpiles, yearly_heat
from calculators import order_words as ow
from calculators import pricing
from calculators import rules as r
from calculators.barrows import BARROW_M3
from calculators.numbers import round_up, steps_up
from calculators.order_volume import filled
from calculators.plot_cautions import BOARD_M2, BRACED_FORM_FROM_M, LORRY_WITH_MIRRORS_M, WORK_FOR_TWO_KG, Amount
from calculators.pours import Pour
from calculators.pricing import BillLine
from calculators.programme import (
    BLOCK_LEAD_DAYS, CONCRETE_LEAD_DAYS, MONDAY_TO_FRIDAY, PLANT_LEAD_DAYS, SHEET_LEAD_DAYS, STONE_LEAD_DAYS, Dates, last_lorry_day,
)
from calculators.schemes import common, insulated_slab, thickened_raft
from calculators.site import Site
from calculators.soils import SOILS, loose_m3
from calculators.sources import Sourced, common_practice
from calculators.yardsticks import RAFT, STONE_LORRY_T

NOTICE_LEAD_DAYS = common_practice(14.0, "day", "From the notice to the first spade; a full application takes weeks more.")

# Lorries.  A large tipper takes what the yardsticks count by.
SMALL_TIPPER_T = common_practice(3.5, "t", "On a small tipper.")
SMALL_TIPPER_GATE_M = common_practice(2.6, "m", "Way in for a small tipper.")
MOST_SMALL_LOADS = common_practice(2.0, "", "More loads of a small tipper cost more than moving a large one's heap.")
BULK_BAG_T = common_practice(0.8, "t", "Stone or sand in a bulk bag; it says so on the ticket.")
FEW_BAGS_T = common_practice(3.2, "t", "Up to so much comes in bulk bags: a tipper's least load costs more.")
CRANE_LORRY_T = common_practice(8.0, "t", "Bags and packs on a lorry with a crane.")
VAN_T = common_practice(0.2, "t", "Up to so much fits a van or a trailer.")
GRAB_REACH_M = common_practice(6.0, "m", "From the middle of a grab lorry, over a fence.")
HOSE_M3 = common_practice(0.15, "m3", "What stays in a pump and its hose.")

# Pieces in which things are bought.
PACK_BLOCKS: dict[str, Sourced] = {
    "block_100": common_practice(72.0, "", "Blocks in a pack; ask, since makers differ."),
    "block_140": common_practice(50.0, "", "Blocks in a pack; ask, since makers differ."),
    "block_215": common_practice(32.0, "", "Blocks in a pack; ask, since makers differ."),
}
MORTAR_SAND_PARTS = common_practice(4.5, "", "Parts of sand to one of cement, by volume; 4 to 5 is usual, and 4 1/2 with half a part of lime.")
DRY_OVER_WET = common_practice(38.0 / 27.0, "", "Dry stuff over the mortar it makes: 38 cubic feet for a cubic yard, the rule of military builders' manuals, from memory.")
CEMENT_KG_PER_M3 = common_practice(1506.0, "kg/m3", "94 pounds to the cubic foot.")
LIME_KG_PER_M3 = common_practice(641.0, "kg/m3", "40 pounds of hydrated lime to the cubic foot.")
# (cement, lime) in a bag, kg; lime in the mortar, parts.
BAGS_KG, US_BAGS_KG = (25.0, 25.0), (42.64, 22.68)
US_LIME_PARTS = 0.5
MORTAR_SAND_STEP_T = 0.05
GEOTEXTILE_LAP_M = common_practice(0.300, "m", "Lap of geotextile.")
SPACERS_APART_M = common_practice(0.8, "m", "Spacers under fabric, both ways.")
FORM_KG_PER_M2 = common_practice(15.0, "kg/m2", "Boards, pegs and braces, by area of form.")

_VAN = "A van or your own trailer will do."
_GRAB = " A grab reaches about {reach} from its lorry, over a fence but under no wire; a skip stands on boards, and on a road only with leave."
_DUMPSTER = " A digger loads the truck where it stands; a dumpster stands on boards, and on a road only with leave."
_WIRES = " Nothing is tipped or lifted under a wire."
_FACING = {"uphill": "which is uphill", "downhill": "which is downhill", "across": "across the fall"}


@dataclass(frozen=True)
class Piece:
    """What a line comes as, where it is not bought in the unit of the bill: how many or how much (SI, in `unit`; empty for a count) of what."""

    what: str
    amount: float
    unit: str = ""


@dataclass(frozen=True)
class OrderLine:
    """One thing to ask for.

    `key` is that of the bill's line; `ask_for` are the words to the supplier;
    `net` and `order` in the unit of sale (`unit`), `spare` = order less net;
    `spare_goes` says where what is left over goes.  `bill_order` is what the
    bill has where that is another amount, or None.  `cost` is likely money.  `comes_as` has the pieces in which it is
    bought.  Both texts name their `figures` in braces.  `source` and `mark` are those of the words.
    """

    key: str
    what: str
    ask_for: str
    net: float
    order: float
    unit: str
    spare: float
    spare_goes: str
    bill_order: float | None = None
    cost: float = 0.0
    comes_as: tuple[Piece, ...] = ()
    figures: Mapping[str, Amount] = field(default_factory=dict)
    source: str = ""
    mark: str = ""


@dataclass(frozen=True)
class Delivery:
    """What one supplier brings, or takes away, on one day.

    `order_by` is the last weekday on which it can be ordered to come on the day; no
    later than the programme needs.  `confirm_on` is the weekday on which it is confirmed, None where it need not be.
    `arrives` the day on which it is wanted, or the last before it on which lorries come; `until` the last day on which what is hired is wanted.
    `loads` is how many lorries, `load_words` how they divide.  `put_down` says where it can be tipped or
    stacked on this plot, `for_task` is the key of the task of the programme it is for.
    Both texts name their `figures` in braces.
    """

    supplier: str
    for_task: str
    order_by: date
    arrives: date
    lead_days: float
    loads: int
    load_words: str
    put_down: str
    lines: tuple[OrderLine, ...]
    confirm_on: date | None = None
    until: date | None = None
    figures: Mapping[str, Amount] = field(default_factory=dict)

    @property
    def cost(self) -> float:
        """Likely money for all of it, contingency apart.  Source: the bill's rates."""
        return math.fsum(line.cost for line in self.lines)


@dataclass(frozen=True)
class _Group:
    """Lines that come together: from whom, for which tasks (the first to begin counts), how long before, and the programme's own order for it."""

    supplier: str
    tasks: tuple[str, ...]
    lines: tuple[str, ...]
    lead: Sourced
    order_task: str = ""


_BOARDS = ("membrane", "insulation", "slip sheet", "edge board", "isolation strip", "fabric", "spacers", "bars", "curing")
_GROUPS: tuple[_Group, ...] = (
    _Group(ow.AUTHORITY, ("set out",), ("fee",), NOTICE_LEAD_DAYS),
    _Group(ow.MERCHANT, ("set out",), ("setting out",), SHEET_LEAD_DAYS),
    _Group(ow.HIRE, ("break out",), ("breaker",), PLANT_LEAD_DAYS, "order plant"),
    _Group(ow.AWAY, ("break out",), ("rubble",), PLANT_LEAD_DAYS, "order plant"),
    _Group(ow.HIRE, ("dig",), ("ground mats", "digger"), PLANT_LEAD_DAYS, "order plant"),
    _Group(ow.AWAY, ("dig",), ("spoil",), PLANT_LEAD_DAYS, "order plant"),
    _Group(ow.MERCHANT, ("drains", "stone"), ("land drain", "geotextile"), SHEET_LEAD_DAYS, "order sheets"),
    _Group(ow.QUARRY, ("drains",), ("drain stone",), STONE_LEAD_DAYS, "order stone"),
    _Group(ow.QUARRY, ("stone",), ("stone",), STONE_LEAD_DAYS, "order stone"),
    _Group(ow.HIRE, ("stone",), ("plate",), PLANT_LEAD_DAYS, "order plant"),
    _Group(ow.QUARRY, ("membrane",), ("blinding",), STONE_LEAD_DAYS, "order stone"),
    _Group(ow.MERCHANT, ("doors",), ("channel drain", "door steps", "door ramp", "guard"), SHEET_LEAD_DAYS, "order sheets"),
)
_WALL_LINES = ("blocks", "mortar", "damp-proof course", "damp strip", "render")
# Straps of a raft are cast into its slab.
_GROUPS_RAFT = _GROUPS + (
    _Group(ow.MERCHANT, ("forms", "membrane", "steel"), ("forms", *_BOARDS, "straps"), SHEET_LEAD_DAYS, "order sheets"),
    _Group(ow.MERCHANT, ("walls", "damp"), _WALL_LINES, BLOCK_LEAD_DAYS, "order blocks"),
)
# Between walls only the ends at the steps of a footing are formed.
_GROUPS_WALLS = _GROUPS + (
    _Group(ow.MERCHANT, ("footing pour",), ("forms",), SHEET_LEAD_DAYS, "order sheets"),
    _Group(ow.MERCHANT, ("membrane", "steel"), _BOARDS, SHEET_LEAD_DAYS, "order sheets"),
    _Group(ow.MERCHANT, ("walls", "damp"), (*_WALL_LINES, "straps"), BLOCK_LEAD_DAYS, "order blocks"),
)
# What is paid for each pour, and for each thing that is hired.
_BY_POUR = (*pricing.POURS, "part load", "pump")
_BY_HIRE = ("plant delivery",)
# Of hired things, these are brought on a trailer that the bill pays for.
_BROUGHT = ("digger", "plate")
# What is too long for a van, however light.
_LONG = {"fabric", "bars", "insulation"}


def placed_keys(scheme_id: str) -> tuple[str, ...]:
    """The lines of the bill that the order list of a scheme knows a place for.

    scheme_id: of the comparison.  Returns keys of `pricing.BILL` (words, no unit), each once.
    Source: definition.
    """
    groups = _GROUPS_RAFT if scheme_id == RAFT else _GROUPS_WALLS
    return tuple(key for group in groups for key in group.lines) + _BY_POUR + _BY_HIRE


def deliveries_of(site: Site, result, pours: Sequence[Pour], dates: Dates) -> tuple[Delivery, ...]:
    """Everything of a scheme's bill that is bought, hired or carted, by delivery.

    site; result: of the comparison; pours: of the scheme; dates: of its programme.
    Returns deliveries in order of arrival: amounts in the unit of sale, figures in SI (m, m2, m3, t, kg), money, dates.
    Raises MissingRate for a rate that is not in the schedule.
    Source: the bill and the pours; lead times, loads and words are common practice unless a line says otherwise.
    """
    maker = _Maker(site, result, dates)
    found = [delivery for group in (_GROUPS_RAFT if result.id == RAFT else _GROUPS_WALLS) if (delivery := maker.delivery(group))]
    for pour in pours:
        found += maker.of_pour(pour)
    return tuple(sorted(found, key=lambda delivery: (delivery.arrives, delivery.order_by)))


def day_to_order(arrives: date, lead_days: float, holidays: Collection[date] = ()) -> date:
    """The last weekday on which something can be ordered that takes some days to come.

    arrives: date; lead_days: days of the calendar, 0 or more; holidays: dates.  Returns a date, no unit, no later than so many days before.
    Raises ValueError for a lead outside that range.
    Source: definition; nobody answers on a weekend or a holiday.

    >>> day_to_order(date(2027, 4, 24), 7.0).isoformat(), day_to_order(date(2027, 4, 27), 3.0, [date(2027, 4, 23)]).isoformat()
    ('2027-04-16', '2027-04-22')
    """
    if not lead_days >= 0.0:
        raise ValueError(f"a lead time must be 0 days or more, not {lead_days} days")
    day = arrives - timedelta(days=steps_up(lead_days, 1.0))
    while day.weekday() not in MONDAY_TO_FRIDAY or day in holidays:
        day -= timedelta(days=1)
    return day


def mortar_part_m3(mortar_m3: float, parts: float) -> float:
    """Volume of one part of the dry stuff that goes into mortar.

    mortar_m3: wet, m3, 0 to 50.  parts: of cement, lime and sand together, by volume, 2 to 13, no unit.
    Returns m3.
    Raises ValueError outside those ranges.
    Source: 38 cubic feet of dry stuff for a cubic yard, the rule of military builders' manuals, from memory.

    >>> round(mortar_part_m3(1.0, 5.5), 3)
    0.256
    """
    if not (0.0 <= mortar_m3 <= 50.0 and 2.0 <= parts <= 13.0):
        raise ValueError(f"mortar must be 0 to 50 m3 of 2 to 13 parts in all, not {mortar_m3} m3 of {parts}")
    return mortar_m3 * DRY_OVER_WET.value / parts


@dataclass(frozen=True)
class MortarStuff:
    """What goes into mortar, dry: cement and lime in kg, sand in t."""

    cement_kg: float
    lime_kg: float
    sand_t: float


def mortar_stuff(mortar_m3: float, sand_parts: float = MORTAR_SAND_PARTS.value, lime_parts: float = 0.0) -> MortarStuff:
    """Cement, lime and sand for mortar, mixed by volume with one part of cement.

    mortar_m3: wet, m3, 0 to 50.  sand_parts: 1 to 9, lime_parts: 0 to 3, to one of cement, no unit.
    Returns kg of cement and lime, t of sand.
    Raises ValueError outside those ranges.
    Source: `mortar_part_m3`; densities common practice, no source.

    >>> stuff = mortar_stuff(1.0)
    >>> round(stuff.cement_kg), stuff.lime_kg, round(stuff.sand_t, 2)
    (385, 0.0, 1.73)
    """
    if not (1.0 <= sand_parts <= 9.0 and 0.0 <= lime_parts <= 3.0):
        raise ValueError(f"mortar has 1 to 9 parts of sand and 0 to 3 of lime to one of cement, not {sand_parts} and {lime_parts}")
    part_m3 = mortar_part_m3(mortar_m3, 1.0 + sand_parts + lime_parts)
    return MortarStuff(
        part_m3 * CEMENT_KG_PER_M3.value, lime_parts * part_m3 * LIME_KG_PER_M3.value, sand_parts * part_m3 * stockpiles.LOOSE_SAND_T_PER_M3.value)


@dataclass(frozen=True)
class Lorries:
    """How loose stone or sand comes: in bulk `bags` (0 for none), or tipped; on so many lorries, `each_t` at the most; `passes` says that they get in at the gate."""

    bags: int
    loads: int
    each_t: float
    passes: bool


def lorries_for(mass_t: float, gate_m: float) -> Lorries:
    """The lorry that brings loose stone or sand.

    mass_t: t, above 0.  gate_m: width of the way in, m, above 0.
    Returns Lorries: a little in bulk bags; a large tipper, or a load or two of a small one, where it passes the gate; else bags
    as far as one crane lorry goes, and a large tipper that tips where it stands.
    Raises ValueError outside those ranges.
    Source: common practice, no source.

    >>> lorries_for(2.0, 3.5).bags, lorries_for(18.0, 3.5).loads, lorries_for(7.0, 2.7).loads, lorries_for(7.0, 1.0).bags, lorries_for(18.0, 1.0).passes
    (3, 2, 2, 9, False)
    """
    if not (mass_t > 0.0 and gate_m > 0.0):
        raise ValueError(f"a load and a gate must be above 0, not {mass_t} t and {gate_m} m")
    large = gate_m >= LORRY_WITH_MIRRORS_M.value
    small = not large and gate_m >= SMALL_TIPPER_GATE_M.value and mass_t <= MOST_SMALL_LOADS.value * SMALL_TIPPER_T.value
    if mass_t <= FEW_BAGS_T.value or (mass_t <= CRANE_LORRY_T.value and not (large or small)):
        return Lorries(steps_up(mass_t, BULK_BAG_T.value), steps_up(mass_t, CRANE_LORRY_T.value), BULK_BAG_T.value, False)
    each = (SMALL_TIPPER_T if small else STONE_LORRY_T).value
    return Lorries(0, steps_up(mass_t, each), min(each, mass_t), large or small)


def _many(count: float, one: str, after: str = "") -> str:
    """What so many of a thing are called."""
    return f"{one}{'' if count == 1 else 's'}{after}"


def _with_words(words: str, names: Mapping[str, str]) -> str:
    """Words with other words put in for their names in braces, and with no brace in these."""
    for name, said in names.items():
        words = words.replace("{" + name + "}", _plain(said))
    return words


def _plain(words: str) -> str:
    """Somebody's words, in which no figure has a name."""
    return words.replace("{", "(").replace("}", ")")


def _named(figures: Mapping[str, tuple[float, str]], *texts: str) -> dict[str, Amount]:
    """The figures that texts name, in the order in which they do."""
    names = dict.fromkeys(name for text in texts for _, name, _, _ in string.Formatter().parse(text) if name)
    return {name: Amount(*figures[name]) for name in names}


class _Maker:
    """One scheme on its plot, while its deliveries are put together."""

    def __init__(self, site: Site, result, dates: Dates):
        self.site, self.result, self.dates, self.scenario = site, result, dates, site.scenario
        self.works, self.products, self.region = result.works, site.scenario.schedule.products, site.rules.region
        self.access = site.scenario.plot.access
        self.bill: dict[str, BillLine] = {line.key: line for line in result.priced.lines if line.rate is not None}
        self.raft = result.id == RAFT
        self.tasks = {dated.task.key: dated for dated in dates.tasks}
        self.rooms = stockpiles.rooms_of(site, result.works)
        # Topsoil lies there until the end; it bulks like common earth, as ground that nobody knows is taken to.
        topsoil_m3 = result.quantities["topsoil_strip_m3"]
        self.topsoil = None if topsoil_m3 <= 0.0 else stockpiles.place_for(
            loose_m3("unknown", topsoil_m3), stockpiles.SOIL_SLOPE_DEG.value, stockpiles.HIGHEST_SOIL_M.value, self.rooms, stockpiles.DOWNHILL_FIRST)
        self.rooms_left = tuple(room for room in self.rooms if self.topsoil is None or room is not self.topsoil.room)
        self.words = {"soil": site.scenario.plot.soil, "authority": site.rules.building_authority, "fabric": self.products.fabric_name}
        self.figures = self._figures()

    def _figures(self) -> dict[str, tuple[float, str]]:
        rules, sizes, products, amounts, m = self.site.rules, self.works.sizes, self.products, self.result.quantities, "m"
        sheet_m2 = products.fabric_sheet_length_m * products.fabric_sheet_width_m
        roll_m2 = products.membrane_roll_width_m * products.membrane_roll_length_m
        cover, wall = rules.fabric_cover_m.value, self.wall_m
        found = {
            "run": (self.access.lorry_to_slab_m, m), "gate": (self.access.gate_width_m, m),
            "bucket": (sizes.get("footing_width_m", common.DRAIN_TRENCH_WIDTH_M.value), m), "lift": (rules.stone_lift_m.value, m),
            "plate": (r.PLATE_PASSES[0][0], "kg/m2"), "cloth_lap": (GEOTEXTILE_LAP_M.value, m),
            "membrane": (rules.membrane_thickness_m.value, m), "membrane_lap": (rules.membrane_lap_m.value, m), "membrane_m2": (amounts["membrane_m2"], "m2"),
            "membrane_left": (amounts["membrane_rolls"] * roll_m2 - amounts["membrane_m2"], "m2"),
            "roll_width": (products.membrane_roll_width_m, m), "roll_length": (products.membrane_roll_length_m, m),
            "slab": (self.works.slab_thickness_m, m), "form_deep": (sizes.get("deepest_edge_m", 0.0), m), "brace_from": (BRACED_FORM_FROM_M.value, m),
            "fabric_mass": (products.fabric_kg_per_m2, "kg/m2"), "sheet_long": (products.fabric_sheet_length_m, m), "sheet_wide": (products.fabric_sheet_width_m, m),
            "sheet_kg": (sheet_m2 * products.fabric_kg_per_m2, "kg"), "fabric_lap": (rules.fabric_lap_m.value, m), "cover": (cover, m),
            "spacer_apart": (SPACERS_APART_M.value, m), "bar_lap": (thickened_raft.LAP_DIAMETERS.value * thickened_raft.EDGE_BAR_DIAMETER_M.value, m),
            "link_wide": (sizes.get("edge_width_m", 0.0) - 2.0 * cover, m), "link_high": (sizes.get("edge_depth_m", 0.0) - 2.0 * cover, m),
            "curing_m2": (amounts["sheet_m2"], "m2"), "wall": (wall, m), "block_long": (products.block_length_m, m), "block_high": (products.block_height_m, m),
            "dpc_roll": (products.damp_proof_course_roll_length_m, m), "dpc_lap": (rules.dpc_lap_m.value, m),
            "cement_bag": (self.bags_kg[0], "kg"), "lime_bag": (self.bags_kg[1], "kg"), "board_m2": (BOARD_M2.value, "m2"),
            "strap_apart": (common.STRAP_SPACING_M.value, m), "render_above": (rules.dpc_above_ground_m.value, m), "riser": (common.DOOR_RISER_M.value, m),
            "hose": (HOSE_M3.value, "m3"), "edge_board": (insulated_slab.EDGE_BOARD_M.value, m), "reach": (GRAB_REACH_M.value, m),
            "pack_kg": (self.pack_blocks * self.block_kg, "kg"), "block_kg": (self.block_kg, "kg"), "heavy": (WORK_FOR_TWO_KG.value, "kg"),
            "keep": (max((room.keep_back_m for room in self.rooms), default=stockpiles.KEEP_BACK_M.value), m),
        }
        board_m = sizes.get("insulation_thickness_m", 0.0)
        if board_m > 0.0:
            choice = self.scenario.schemes[self.result.id]
            board = materials.INSULATIONS[choice.insulation]
            strength = choice.insulation_strength_kpa or yearly_heat.USUAL_STRENGTH_KPA[choice.insulation].value
            self.words["insulation"] = board.name[:1].upper() + board.name[1:]
            found |= {
                "board": (board_m, m), "board_kpa": (strength, "kPa"),
                "edge_deep": (self.works.slab_thickness_m + board_m + common.BLINDING_M.value, m)}
        return found

    @property
    def wall_m(self) -> float:
        return self.works.sizes.get("block_thickness_m", common.UPSTAND_BLOCK_M.value)

    @property
    def block_kg(self) -> float:
        return materials.block_kg(self.products.block_length_m, self.products.block_height_m, self.wall_m)

    @property
    def bags_kg(self) -> tuple[float, float]:
        return US_BAGS_KG if self.region == ow.US else BAGS_KG

    @property
    def pack_blocks(self) -> float:
        line = self.bill.get("blocks")
        return PACK_BLOCKS[line.rate_key].value if line else PACK_BLOCKS["block_140"].value

    # Lines.

    def line(self, line: BillLine, share: float = 1.0) -> OrderLine:
        """The order of a line of the bill, or a share of it."""
        si = pricing.rate_named(self.scenario, line.rate_key).sale_unit_in_si
        said = ow.SAID[self._said_key(line.key)]
        ask, spare = (_with_words(words, self.words) for words in (said.asked(self.region), said.spare))
        net, order = line.net / si * share, line.order * share
        return OrderLine(
            line.key, line.item, ask, net, order, line.order_unit, order - net, spare, None, line.cash * share, self.pieces(line.key, order * si),
            _named(self.figures, ask, spare), *self._source(said))

    def _source(self, said: ow.Said) -> tuple[str, str]:
        source = said.source(self.region)
        return source.citation, source.mark

    def _said_key(self, key: str) -> str:
        if key == "digger" and self.access.gate_width_m < pricing.DIGGER_GATE_M.value:
            return "narrow digger"
        return "stop boards" if key == "forms" and not self.raft else key

    def pieces(self, key: str, order_si: float) -> tuple[Piece, ...]:
        """What a line comes as; order_si: m, m2, m3, t or a count."""
        if key == "blocks":
            packs = int(order_si // self.pack_blocks)
            loose = order_si - packs * self.pack_blocks
            whole = (Piece(_many(packs, "pack", f" of {self.pack_blocks:.0f}"), packs),) if packs else ()
            return whole + ((Piece(_many(loose, "single block"), loose),) if loose >= 1.0 else ())
        if key == "mortar":
            us = self.region == ow.US
            stuff = mortar_stuff(order_si, lime_parts=US_LIME_PARTS if us else 0.0)
            cement_kg, lime_kg = self.bags_kg
            bags, lime_bags = steps_up(stuff.cement_kg, cement_kg), steps_up(stuff.lime_kg, lime_kg)
            lime = (Piece(_many(lime_bags, "bag", " of lime"), lime_bags),) if us else ()
            return (Piece(_many(bags, "bag", " of cement"), bags), *lime, Piece("of sand", round_up(stuff.sand_t, MORTAR_SAND_STEP_T), "t"))
        if key in ("stone", "drain stone", "blinding"):
            bags = lorries_for(order_si, self.access.gate_width_m).bags
            return (Piece(_many(bags, "bulk bag"), bags),) if bags else ()
        if key == "insulation":
            board_m3 = BOARD_M2.value * self.works.sizes["insulation_thickness_m"]
            boards = steps_up(order_si, board_m3)
            return (Piece(_many(boards, "board"), boards),)
        if key == "bars":
            cage_m, raft = self.result.quantities["edge_cage_m"], thickened_raft
            links = steps_up(cage_m, common.LINK_SPACING_M.value)
            laps = 1.0 + raft.LAP_DIAMETERS.value * raft.EDGE_BAR_DIAMETER_M.value / raft.BAR_LENGTH_M.value
            return (Piece("long bars", steps_up(raft.EDGE_BARS.value * cage_m * laps, raft.BAR_LENGTH_M.value)), Piece("links", links))
        return ()

    # Deliveries.

    def delivery(self, group: _Group) -> Delivery | None:
        """A group's delivery; None where the bill has nothing of it."""
        bill = [self.bill[key] for key in group.lines if key in self.bill]
        tasks = [self.tasks[key] for key in group.tasks if key in self.tasks]
        if not bill or not tasks:
            return None
        task = min(tasks, key=lambda dated: dated.start)
        lines = [self.line(line) for line in bill]
        hired = group.supplier == ow.HIRE
        if hired and "plant delivery" in self.bill:
            brought = [line for line in bill if line.key in _BROUGHT]
            if brought:
                lines.append(self.line(self.bill["plant delivery"], len(brought) / sum(key in self.bill for key in _BROUGHT)))
        loads, load_words, put_down, figures = self._where(group, lines)
        return self._dated(
            group.supplier, task.task.key, task.start, group.lead, group.order_task, tuple(lines), loads, load_words, put_down, figures,
            until=max(dated.finish for dated in tasks) if hired else None)

    def _dated(self, supplier, task, arrives, lead, order_task, lines, loads, load_words, put_down, figures, confirm=False, until=None) -> Delivery:
        lead_days = self.tasks[order_task].task.days if order_task in self.tasks else lead.value
        holidays = self.scenario.programme.holidays
        if loads:
            arrives = last_lorry_day(arrives, holidays)
        load_words, put_down = (_with_words(words, self.words) for words in (load_words, put_down))
        return Delivery(
            ow.supplier_words(supplier, self.region), task, day_to_order(arrives, lead_days, holidays), arrives, lead_days, loads, load_words, put_down, lines,
            day_to_order(arrives, 1.0, holidays) if confirm else None, until, _named(self.figures | figures, load_words, put_down))

    def _where(self, group: _Group, lines: list[OrderLine]) -> tuple[int, str, str, dict[str, tuple[float, str]]]:
        """Loads, how they divide, where they are put down, and figures for both."""
        if group.supplier == ow.AUTHORITY:
            return 0, "", "", {}
        if group.supplier == ow.QUARRY:
            return self._loose(lines[0])
        if group.supplier == ow.AWAY:
            return self._away(lines[0])
        if group.supplier == ow.HIRE:
            return self._hire(lines)
        return self._merchant(lines)

    def _si(self, line: OrderLine) -> float:
        return line.order * pricing.rate_named(self.scenario, self.bill[line.key].rate_key).sale_unit_in_si

    def _loose(self, line: OrderLine):
        order_t = self._si(line)
        found = lorries_for(order_t, self.access.gate_width_m)
        sand = line.key == "blinding"
        figures = {"each": (found.each_t, "t"), "bag": (BULK_BAG_T.value, "t")}
        if found.bags:
            # As many as one crane lorry carries; more are tipped.
            put_down = "Set down by the crane where the lorry stands, {run} from the slab, on boards, and wheeled from there." + _WIRES
            return found.loads, "Bulk bags of about {bag} each, on one lorry with a crane.", put_down, figures
        words = "One tipper of {each}." if found.loads == 1 else f"{found.loads} tippers of {{each}} at the most, one after the other: the next when the last is spread."
        density = {"drain stone": materials.DRAIN_STONE_T_PER_M3, "blinding": stockpiles.LOOSE_SAND_T_PER_M3}.get(line.key, stockpiles.LOOSE_STONE_T_PER_M3).value
        loose_m3_each = found.each_t / density
        slope = (stockpiles.SAND_SLOPE_DEG if sand else stockpiles.STONE_SLOPE_DEG).value
        figures["trips"] = (steps_up(order_t / density, BARROW_M3.value), "")
        if not found.passes:
            heap = stockpiles.heap_of(loose_m3_each, slope, stockpiles.HIGHEST_STONE_M.value)
            return found.loads, words, (
                "A large tipper does not pass a gate of {gate}: it tips where it stands, {run} from the slab, and about {trips} barrows take it from there. "
                "A load covers {heap_long} by {heap_wide}, {heap_high} high. Ask first whose ground that is: on a road, a verge or a shared drive nothing may lie without leave.") + _WIRES, figures | _heap_figures(heap)
        place = stockpiles.place_for(loose_m3_each, slope, stockpiles.HIGHEST_STONE_M.value, self.rooms_left)
        downhill = " Tipped uphill, barrows run down with it." if place.room and place.room.facing == "uphill" else ""
        return found.loads, words, self._beside(place, "A load") + downhill + _WIRES, figures | _heap_figures(place.heap) | _room_figures(place)

    def _beside(self, place: stockpiles.Place, what: str) -> str:
        """Where a heap lies beside the building; that there is no room, where there is none."""
        size = f"{what} covers {{heap_long}} by {{heap_wide}}, {{heap_high}} high"
        if place.room is None:
            return (f"{size}, and no side of the building has that much between the dig and the boundary: "
                    "have it brought or taken a little at a time, in bags, or heaped where the lorry stands.")
        unknown = "" if place.room.width_m is not None else " (no boundary is given there: see that it is yours)"
        facing = "" if place.room.facing == "level" else f", {_FACING[place.room.facing]}"
        return f"{size}: on the {place.room.side} side{facing}, from {{heap_from}} out from the face{unknown}."

    def _away(self, line: OrderLine):
        order_m3, load_m3 = self._si(line), self.products.spoil_load_m3
        loads = steps_up(order_m3, load_m3)
        figures = {"load": (min(load_m3, order_m3), "m3")}
        if loads == 1:
            words = "One load of {load}, loose." + (" So little is worth no lorry: ask for a small skip, or spread it." if order_m3 < load_m3 / 3.0 else "")
        else:
            words = f"{loads} loads of {{load}} at the most, loose."
        place = stockpiles.place_for(min(load_m3, order_m3), stockpiles.SOIL_SLOPE_DEG.value, stockpiles.HIGHEST_SOIL_M.value, self.rooms_left, stockpiles.DOWNHILL_FIRST)
        return loads, words, (
            self._beside(place, "What waits for a load") + (_GRAB if self.region != ow.US else _DUMPSTER)), (
            figures | _heap_figures(place.heap) | _room_figures(place))

    def _hire(self, lines: list[OrderLine]):
        figures: dict[str, tuple[float, str]] = {}
        keys = {line.key for line in lines}
        words = "Brought and fetched." if "plant delivery" in keys else "Fetch it yourself, or let it come with the next thing that is hired."
        if "digger" not in keys:
            mats_only = not keys & {"plate", "breaker"}
            put_down = "Laid from where the lorry stands to the dig." if mats_only else "Lifted off by two, or rolled down a ramp; the gate is {gate}. Ask what it weighs."
            return int("plant delivery" in keys), words, put_down, figures
        worked, hired = len(self.tasks["dig"].worked), next(line.order for line in lines if line.key == "digger")
        if worked > hired:
            figures |= {"worked": (float(worked), ""), "hired": (hired, "")}
            words += " The programme digs on {worked} days and the bill has {hired} of hire: ask for weekends, or bring somebody who drives it all day."
        put_down = "It comes off a trailer where the lorry stands and goes in at a gate of {gate}; measure it, and what is under and over the way."
        return 1, words, put_down + self._topsoil_words(), figures | self._topsoil_figures()

    def _topsoil_words(self) -> str:
        return "" if self.topsoil is None else " Topsoil is heaped apart, to be spread again. " + self._beside(self.topsoil, "Its heap")

    def _topsoil_figures(self) -> dict[str, tuple[float, str]]:
        return {} if self.topsoil is None else _heap_figures(self.topsoil.heap) | _room_figures(self.topsoil)

    def _merchant(self, lines: list[OrderLine]):
        mass_t = math.fsum(self._mass_t(line) for line in lines)
        figures = {"mass": (mass_t, "t")}
        keys = {line.key for line in lines}
        if mass_t <= VAN_T.value and not keys & _LONG:
            put_down = "Under cover, dry and out of the sun."
            if "setting out" in keys and "digger" not in self.bill:
                # Without a digger there is no other delivery with which the dig begins.
                return 1, _VAN, put_down + self._topsoil_words(), figures | self._topsoil_figures()
            return 1, _VAN, put_down, figures
        loads = steps_up(mass_t, CRANE_LORRY_T.value)
        words = "One lorry with a crane, about {mass} in all." if loads == 1 else f"{loads} lorries with a crane, about {{mass}} in all."
        put_down = []
        if "blocks" in keys:
            put_down.append(
                "Packs of about {pack_kg} are set down by the crane where it stands, {run} from the slab, on level boards, and go by hand from there, "
                "one block of {block_kg} at a time.")
            if self.block_kg > WORK_FOR_TWO_KG.value:
                put_down.append("Over {heavy} that is work for two.")
            put_down.append("Cement dry, off the ground.")
        if "fabric" in keys:
            put_down.append("Fabric flat on battens; a sheet of {sheet_kg} is carried by two in gloves. Membrane and boards under cover, out of the sun and weighed down.")
        return loads, words, " ".join(put_down or ["On battens, under cover, weighed down."]) + _WIRES, figures

    def _mass_t(self, line: OrderLine) -> float:
        """Mass of what is heavy, t; what is light counts as nothing."""
        order = self._si(line)
        if line.key == "blocks":
            return order * self.block_kg / 1000.0
        if line.key == "mortar":
            stuff = mortar_stuff(order, lime_parts=US_LIME_PARTS if self.region == ow.US else 0.0)
            return (stuff.cement_kg + stuff.lime_kg) / 1000.0 + stuff.sand_t
        if line.key == "fabric":
            return order * self.figures["sheet_kg"][0] / 1000.0
        if line.key in ("forms", "bars"):
            return order if line.key == "bars" else order * FORM_KG_PER_M2.value / 1000.0
        return 0.0

    # Pours.

    def of_pour(self, pour: Pour) -> list[Delivery]:
        """The concrete of one pour, and its pump."""
        key = pour.key.replace("pour", "concrete")
        found = [self._concrete(pour, self.bill[key])]
        if pour.route.way == "pump":
            found.append(self._pump(pour))
        return found

    def _concrete(self, pour: Pour, line: BillLine) -> Delivery:
        rate = pricing.rate_named(self.scenario, line.rate_key)
        loads = pour.chosen.loads_m3
        net, order = pour.net_m3 / rate.sale_unit_in_si, pour.chosen.order_m3 / rate.sale_unit_in_si
        said = ow.CONCRETE[ow.FOOTING if key_is_footing(pour.key) else ow.RAFT_SLAB if self.raft else ow.FLOOR_SLAB]
        ask = said.asked(self.region) + self._asked_besides(pour)
        names, rooms = [], {}
        all_m3 = math.fsum(place.room_m3 for place in pour.terms.places)
        for number, (place, room_m3) in enumerate(filled(all_m3, pour.terms.places)[0], start=1):
            names.append(f"{_plain(place.name)} (room for {{place_{number}}})")
            rooms[f"place_{number}"] = (room_m3, "m3")
        spare = f"First into {', then '.join(names)}; what fits in none is paid for to be taken away."
        if not names:
            spare = "No place is named for it (pour.places): what is left is paid for to be taken away."
        ask = _with_words(ask, self.words)
        lines = [OrderLine(
            line.key, line.item, ask, net, order, line.order_unit, order - net, spare, line.order if abs(line.order - order) > 1e-9 else None, order * rate.likely, (),
            _named(self.figures | rooms, ask, spare), *self._source(said))]
        short_m3 = max(0.0, pour.terms.full_from_m3 - loads[-1])
        if short_m3 > 1e-9:
            charge = pricing.rate_named(self.scenario, "part_load_charge")
            short = round_up(short_m3 / charge.sale_unit_in_si, charge.step)
            words = ow.SAID["part load"]
            lines.append(OrderLine(
                "part load", "Part-load charge", words.ask, short_m3 / charge.sale_unit_in_si, short, charge.sale_unit, 0.0, words.spare, None, short * charge.likely, (), {},
                *self._source(words)))
        figures = {f"load_{number}": (load, "m3") for number, load in enumerate(loads, start=1)}
        listed = ", ".join(f"{{{name}}}" for name in figures)
        load_words = ("One lorry of {load_1}." if len(loads) == 1 else f"{len(loads)} lorries: {listed}; the last can be changed by telephone while the one before is emptied.")
        load_words += " Ask how long a lorry may stand, and what waiting costs after that."
        return self._dated(
            ow.PLANT, pour.key, pour.date, CONCRETE_LEAD_DAYS, f"order {line.key}", tuple(lines), len(loads), load_words, self._poured_from(pour), figures, confirm=True)

    def _asked_besides(self, pour: Pour) -> str:
        words = ""
        in_ground = self.raft or key_is_footing(pour.key)
        if in_ground and SOILS[self.scenario.plot.soil].kind not in ("granular", "rock"):
            words += ow.ASK_SULFATE
        if not key_is_footing(pour.key) and (pour.surface == "brushed" or self.scenario.building.use == "garage"):
            words += ow.ASK_AIR.get(self.region, ow.ASK_AIR_ELSEWHERE)
        if pour.route.way == "pump":
            words += ow.ASK_PUMPABLE
        return words + ow.NO_WATER

    def _poured_from(self, pour: Pour) -> str:
        way = {
            "chute": "Straight from the chute: the lorry comes as near as that, with no wheel nearer to a dig than {keep}.",
            "barrow": "Barrowed from where the lorry stands, {run} from the slab, over boards that are laid the day before.",
            "pump": "Pumped: the lorry backs up to the pump, where the ground carries both.",
        }[pour.route.way]
        return way + " Have a lined hollow ready in which chute and barrows are washed: no drain, ditch or soakaway. Somebody sees the lorry back."

    def _pump(self, pour: Pour) -> Delivery:
        rate = pricing.rate_named(self.scenario, "concrete_pump")
        said = ow.SAID["pump"]
        figures = {"load": (pour.chosen.order_m3, "m3")}
        line = OrderLine(
            "pump", "Concrete pump", said.ask, 1.0, 1.0, rate.sale_unit, 0.0, said.spare, None, rate.likely, (), _named(self.figures | figures, said.ask, said.spare),
            *self._source(said))
        return self._dated(
            ow.PUMP, pour.key, pour.date, CONCRETE_LEAD_DAYS, f"order {pour.key.replace('pour', 'concrete')}", (line,), 1, "One visit, there before the first lorry.",
            "On ground that carries it, its legs on boards, no nearer to a dig than {keep}." + _WIRES, {}, confirm=True)


def key_is_footing(pour_key: str) -> bool:
    """Whether a pour is that of the footings.

    pour_key: a key of a `Pour` (words, no unit).  Returns True or False.  Source: definition.

    >>> key_is_footing("footing pour"), key_is_footing("slab pour")
    (True, False)
    """
    return pour_key.startswith("footing")


def _heap_figures(heap: stockpiles.Heap) -> dict[str, tuple[float, str]]:
    return {"heap_long": (heap.length_m, "m"), "heap_wide": (heap.width_m, "m"), "heap_high": (heap.height_m, "m")}


def _room_figures(place: stockpiles.Place) -> dict[str, tuple[float, str]]:
    return {} if place.room is None else {"heap_from": (place.room.from_face_m, "m")}
