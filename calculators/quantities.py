"""The one list of what is taken off: key, words, unit, and how it is measured.

The comparison, its JSON and its schema, the text table, the bill and the pages
all take their names and units from here.  Net amounts, in place, zero where
there is none.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators import materials
from calculators import works as w
from calculators.scenario import Scenario
from calculators.soils import bank_for_backfill_m3, loose_m3
from calculators.works import Works


@dataclass(frozen=True)
class Quantity:
    """One thing that is measured; `unit` is m, m2, m3, t, kg or "" for a count."""

    key: str
    label: str
    unit: str
    measured: str


QUANTITIES: tuple[Quantity, ...] = (
    Quantity("topsoil_strip_m3", "Topsoil stripped", "m3", "Plan of the footprint with its working margin, joined with the plan of any batter, times the depth of topsoil, measured plumb."),
    Quantity("reduce_dig_m3", "Reduce dig", "m3", "Subsoil between the stripped surface and formation, in the ground, before it bulks."),
    Quantity("trench_dig_m3", "Trench dig", "m3", "Width of the footing, from the stripped surface (inside: from formation where that is lower) to the underside of the concrete."),
    Quantity("drain_dig_m3", "Drain trenches", "m3", "Trench for the land drains and their run to the outfall."),
    Quantity("soft_spot_m3", "Soft spots dug out and filled with stone", "m3", "Below formation or the stripped surface, whichever is lower, to the depth given."),
    Quantity("break_out_m3", "Old concrete broken out", "m3", "Plan of the existing slabs inside what is stripped, times their thickness."),
    Quantity("rubble_loose_m3", "Broken concrete carted, loose", "m3", "What is broken out, bulked once."),
    Quantity("backfill_m3", "Backfill with what was dug", "m3", "Outside of trenches and margins filled with arisings, in place."),
    Quantity("sub_base_m3", "Sub-base", "m3", "Compacted stone under the footprint: from formation or the stripped surface, whichever is lower, to the underside of the blinding."),
    Quantity("sub_base_t", "Sub-base by mass", "t", "Compacted volume times 2.1 t/m3."),
    Quantity("batter_stone_m3", "Shoulder and batter", "m3", "Compacted stone outside the footprint on the low side."),
    Quantity("trench_stone_m3", "Stone refill inside trenches", "m3", "Inner part of the trench, above the footing, up to formation or the stripped surface, whichever is lower."),
    Quantity("drain_stone_m3", "Drain stone", "m3", "Clean stone in the uphill margin and round the land drains."),
    Quantity("blinding_m3", "Blinding sand", "m3", "50 mm, measured plumb, under the membrane."),
    Quantity("geotextile_m2", "Geotextile", "m2", "Under the stone where it lies on soft or clayey ground."),
    Quantity("membrane_m2", "Membrane", "m2", "Area covered, with its upturns, without laps."),
    Quantity("membrane_rolls", "Membrane rolls", "", "Whole rolls for strips of a roll's width with 300 mm laps."),
    Quantity("concrete_m3", "Concrete", "m3", "All concrete, net, in place."),
    Quantity("slab_concrete_m3", "of which slab and edges", "m3", "Slab, with a raft's edge thickenings and haunches, corners counted once."),
    Quantity("footing_concrete_m3", "of which footings", "m3", "Trench concrete with the overlaps at steps."),
    Quantity("formwork_m2", "Formwork", "m2", "Outer faces of concrete that stand free, with stop boards at footing steps."),
    Quantity("lost_form_m2", "Lost inner forms", "m2", "Boards left in behind the vertical inner face of a deepened edge."),
    Quantity("fabric_m2", "Fabric", "m2", "Area covered inside 50 mm cover, without laps."),
    Quantity("fabric_sheets", "Fabric sheets", "", "Whole sheets with 400 mm laps, the better of the two ways round."),
    Quantity("bar_kg", "Reinforcing bar", "kg", "Edge bars and links with laps, net."),
    Quantity("edge_cage_m", "Edge cage", "m", "Length of edge with bars and links, on its centre line."),
    Quantity("blockwork_m2", "Blockwork", "m2", "Wall length on its centre line times height, bench by bench, less openings above the threshold."),
    Quantity("blocks", "Blocks", "", "Blockwork times the blocks in a square metre; not rounded here."),
    Quantity("mortar_m3", "Mortar", "m3", "0.010 m3 a square metre of 140 mm wall, in proportion for others."),
    Quantity("dpc_m", "Damp-proof course", "m", "Wall length less door openings."),
    Quantity("edge_strip_m2", "Strip over the slab edge", "m2", "Edge of a raft less door openings, times the width from the membrane's upturn over slab and block to under the damp-proof course."),
    Quantity("sill_strip_m2", "Strip under sills", "m2", "Each door opening and 100 mm turned up at both ends, times the thickness of the wall and what is turned down over the face below."),
    Quantity("wall_straps", "Holding-down straps", "", "At corners and every 1.2 m."),
    Quantity("render_m2", "Render and damp-proofing below ground", "m2", "Outer face from the footing to 150 mm above the ground."),
    Quantity("insulation_m3", "Insulation", "m3", "Under the slab, net."),
    Quantity("edge_board_m2", "Insulated edge board", "m2", "Round the slab from its top to the sub-base."),
    Quantity("isolation_strip_m", "Isolation strip", "m", "Round the slab where it meets the wall."),
    Quantity("land_drain_m", "Land drain", "m", "Along the uphill and the downhill sides, with a run to the outfall."),
    Quantity("channel_drain_m", "Channel drain", "m", "Across each door that is level with its threshold."),
    Quantity("door_steps", "Door steps", "", "Steps to build at the doors: one fewer than the risers, none up to 190 mm."),
    Quantity("door_ramp_m2", "Door ramp", "m2", "Rise to a step-free door times twelve, by the width of the door."),
    Quantity("guard_m", "Guarding", "m", "Along a drop of more than 600 mm at a door."),
    Quantity("trim_m2", "Trimming and compacting formation", "m2", "Plan area of formation and trench bottoms."),
    Quantity("floor_m2", "Floor finished", "m2", "Top of slab."),
    Quantity("sheet_m2", "Curing sheet", "m2", "Top of slab and 300 mm beyond."),
    Quantity("spoil_loose_m3", "Spoil carted, loose", "m3", "Subsoil that leaves the plot, bulked once."),
)

QUANTITY_BY_KEY = {quantity.key: quantity for quantity in QUANTITIES}


@dataclass(frozen=True)
class Earth:
    """Where the dug ground goes, all in the ground's own (bank) volume, m3.

    dug = backfilled + spread + carted.
    """

    dug_bank_m3: float
    backfilled_bank_m3: float
    spread_bank_m3: float
    carted_bank_m3: float


def balance_earth(works: Works, scenario: Scenario) -> Earth:
    """What is dug and where it goes, bank m3.

    Topsoil is all spread again.  Subsoil refills margins and trenches (a cubic
    metre in place takes 1/0.95 of bank), is spread on the plot as far as the
    reader has room, and the rest is carted.  Source: definitions of the guide
    (measuring); 0.95 common practice.
    """
    topsoil = works.volume_m3(w.TOPSOIL_STRIP)
    subsoil = works.volume_m3(w.REDUCE_DIG, w.TRENCH_DIG, w.DRAIN_DIG, w.SOFT_SPOT_DIG)
    backfilled = min(subsoil, bank_for_backfill_m3(works.volume_m3(w.BACKFILL)))
    spread = min(subsoil - backfilled, scenario.plot.spoil_spread_m3)
    return Earth(
        dug_bank_m3=topsoil + subsoil,
        backfilled_bank_m3=backfilled,
        spread_bank_m3=topsoil + spread,
        carted_bank_m3=subsoil - backfilled - spread,
    )


def take_off(works: Works, scenario: Scenario) -> tuple[dict[str, float], Earth]:
    """Net quantities of a scheme's works by key of `QUANTITIES`, and its earth balance.

    Volumes come from the solids, the rest from the works' own measures.
    Raises KeyError for a measure that the list of quantities does not know.
    """
    unknown = set(works.measures) - set(QUANTITY_BY_KEY)
    if unknown:
        raise KeyError(f"Not in the list of quantities: {sorted(unknown)}")
    earth = balance_earth(works, scenario)
    products = scenario.schedule.products
    amounts = {quantity.key: 0.0 for quantity in QUANTITIES}
    amounts.update(works.measures)
    sub_base = works.volume_m3(w.SUB_BASE)
    broken_out = works.volume_m3(w.BREAK_OUT)
    amounts.update(
        break_out_m3=broken_out,
        rubble_loose_m3=broken_out * materials.RUBBLE_BULKING.value,
        topsoil_strip_m3=works.volume_m3(w.TOPSOIL_STRIP),
        reduce_dig_m3=works.volume_m3(w.REDUCE_DIG),
        trench_dig_m3=works.volume_m3(w.TRENCH_DIG),
        soft_spot_m3=works.volume_m3(w.SOFT_SPOT_DIG),
        drain_dig_m3=works.volume_m3(w.DRAIN_DIG),
        backfill_m3=works.volume_m3(w.BACKFILL),
        sub_base_m3=sub_base,
        sub_base_t=materials.stone_t(sub_base),
        batter_stone_m3=works.volume_m3(w.BATTER),
        trench_stone_m3=works.volume_m3(w.TRENCH_STONE),
        drain_stone_m3=works.volume_m3(w.DRAIN_STONE),
        blinding_m3=works.volume_m3(w.BLINDING),
        concrete_m3=works.volume_m3(w.SLAB, w.FOOTING),
        slab_concrete_m3=works.volume_m3(w.SLAB),
        footing_concrete_m3=works.volume_m3(w.FOOTING),
        insulation_m3=works.volume_m3(w.INSULATION),
        blocks=amounts["blockwork_m2"] * products.blocks_per_m2,
        spoil_loose_m3=loose_m3(scenario.plot.soil, earth.carted_bank_m3),
    )
    return amounts, earth
