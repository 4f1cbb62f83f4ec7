"""Weights and heat properties of what is built in.

Densities turn a volume into an order in tonnes; conductivities feed the heat
calculation.  Figures without a document behind them say so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.sources import MEMORY, QUOTED, READ, Sourced, common_practice

STONE_COMPACTED_T_PER_M3 = common_practice(2.1, "t/m3", "Crushed stone with fines, compacted. A quarry's own figure is better.")
STONE_COMPACTED_LEAST_T_PER_M3 = common_practice(1.9, "t/m3", "The light end for compacted stone.")
STONE_COMPACTED_MOST_T_PER_M3 = common_practice(2.3, "t/m3", "The heavy end for compacted stone.")
RUBBLE_BULKING = common_practice(1.5, "", "Broken concrete, loose over in place.")
DRAIN_STONE_T_PER_M3 = common_practice(1.6, "t/m3", "Clean single-size stone, tipped; 1.4 to 1.7 is usual.")
SAND_T_PER_M3 = common_practice(1.7, "t/m3", "Sand, trodden or lightly compacted.")
REINFORCED_CONCRETE_KN_PER_M3 = Sourced(25.0, "kN/m3", "en-1991-1-1", "Annex A", READ)
HARDCORE_KN_PER_M3_LEAST = Sourced(18.5, "kN/m3", "en-1991-1-1", "Annex A", READ, "For loads, not for orders.")
HARDCORE_KN_PER_M3_MOST = Sourced(19.5, "kN/m3", "en-1991-1-1", "Annex A", READ, "For loads, not for orders.")
SOFTWOOD_KG_PER_M3 = Sourced(500.0, "kg/m3", "en-1991-1-1", "Annex A", READ)
STEEL_KG_PER_M3 = Sourced(7850.0, "kg/m3", "bs-4449", "nominal mass", MEMORY)
DENSE_BLOCK_KG_PER_M3 = common_practice(2000.0, "kg/m3", "Dense aggregate block; makers give 1900 to 2200.")

MORTAR_M3_PER_M2_OF_140 = common_practice(0.010, "m3/m2", "Beds and joints of a wall 140 mm thick in blocks 440 x 215 mm.")

CONCRETE_W_PER_MK_BY_DENSITY: tuple[tuple[float, Sourced], ...] = tuple(
    (density, Sourced(conductivity, "W/(m K)", "en-iso-10456", f"table 3, concrete of {density:.0f} kg/m3", READ))
    for density, conductivity in ((1800.0, 1.15), (2000.0, 1.35), (2200.0, 1.65), (2400.0, 2.00))
)
REINFORCED_CONCRETE_W_PER_MK = Sourced(2.3, "W/(m K)", "en-iso-10456", "table 3, concrete with 1 % of steel", READ)
SOFTWOOD_W_PER_MK = Sourced(0.13, "W/(m K)", "en-iso-10456", "table 3, timber of 500 kg/m3", READ)


@dataclass(frozen=True)
class Insulation:
    """A floor insulation board: its name in full, conductivity, and the steps in which it is made.

    `over_membrane` says that it must lie over the membrane, under a slip sheet.
    """

    name: str
    conductivity_w_per_mk: Sourced
    thickness_step_m: Sourced
    over_membrane: bool


_BOARD_STEP = common_practice(0.005, "m", "Boards come in steps of 5 mm or coarser.")

INSULATIONS: dict[str, Insulation] = {
    "EPS": Insulation("expanded polystyrene", common_practice(0.036, "W/(m K)", "A usual declared value; use the one on the pack."), _BOARD_STEP, False),
    "XPS": Insulation("extruded polystyrene", common_practice(0.033, "W/(m K)", "A usual declared value; use the one on the pack."), _BOARD_STEP, False),
    "PIR": Insulation("polyisocyanurate", common_practice(0.022, "W/(m K)", "A usual declared value for foil-faced board; use the one on the pack."), _BOARD_STEP, True),
}


@dataclass(frozen=True)
class Fabric:
    """A square mesh of steel: bar diameter and spacing, both ways, in metres."""

    bar_m: float
    spacing_m: float
    source: Sourced


def _fabric(bar_mm: float) -> Fabric:
    return Fabric(bar_mm / 1000.0, 0.2, Sourced(bar_mm / 1000.0, "m", "bs-4483", "table of preferred fabrics", QUOTED))


FABRICS: dict[str, Fabric] = {"A142": _fabric(6.0), "A193": _fabric(7.0), "A252": _fabric(8.0), "A393": _fabric(10.0)}
FABRIC_SHEET_LENGTH_M = Sourced(4.8, "m", "bs-4483", "sheet size", QUOTED)
FABRIC_SHEET_WIDTH_M = Sourced(2.4, "m", "bs-4483", "sheet size", QUOTED)


def bar_area_m2(diameter_m: float) -> float:
    """Cross-section of a round bar.

    diameter_m: m, 0.002 to 0.05.  Returns area, m2.
    Raises ValueError outside that range.
    Source: geometry.

    >>> round(bar_area_m2(0.012) * 1e6, 1)
    113.1
    """
    if not 0.002 <= diameter_m <= 0.05:
        raise ValueError(f"a bar must be 2 to 50 mm thick, not {diameter_m * 1000:g} mm")
    return math.pi * diameter_m**2 / 4.0


def bar_kg_per_m(diameter_m: float) -> float:
    """Mass of a metre of round steel bar.

    diameter_m: m, 0.002 to 0.05.  Returns kg per m.
    Raises ValueError outside that range.
    Source: BS 4449 (2005), nominal density 7850 kg/m3, from memory.

    >>> round(bar_kg_per_m(0.012), 3)
    0.888
    """
    return bar_area_m2(diameter_m) * STEEL_KG_PER_M3.value


def fabric_steel_m2_per_m(bar_m: float, spacing_m: float) -> float:
    """Steel in one direction of a mesh, per metre of width.

    bar_m: bar diameter, m, 0.002 to 0.05.  spacing_m: m, 0.05 to 0.4.
    Returns m2 per m.
    Raises ValueError outside those ranges.
    Source: geometry; sizes of BS 4483 (2005) as quoted.

    >>> round(fabric_steel_m2_per_m(0.006, 0.2) * 1e6, 1)
    141.4
    """
    if not 0.05 <= spacing_m <= 0.4:
        raise ValueError(f"bars of a mesh must be 50 to 400 mm apart, not {spacing_m * 1000:g} mm")
    return bar_area_m2(bar_m) / spacing_m


def fabric_kg_per_m2(bar_m: float, spacing_m: float) -> float:
    """Mass of a square metre of mesh with the same bars both ways.

    bar_m: bar diameter, m, 0.002 to 0.05.  spacing_m: m, 0.05 to 0.4.
    Returns kg per m2, laps apart.
    Raises ValueError outside those ranges.
    Source: geometry; density of BS 4449 (2005), from memory.

    >>> round(fabric_kg_per_m2(0.007, 0.2), 2)
    3.02
    """
    return 2.0 * fabric_steel_m2_per_m(bar_m, spacing_m) * STEEL_KG_PER_M3.value


def block_kg(length_m: float, height_m: float, thickness_m: float) -> float:
    """Mass of a dense concrete block.

    length_m, height_m, thickness_m: m, each above 0 and at most 1.
    Returns kg.
    Raises ValueError outside that range.
    Source: common practice, no source (2000 kg/m3).

    >>> round(block_kg(0.44, 0.215, 0.14), 1)
    26.5
    """
    if not all(0.0 < size <= 1.0 for size in (length_m, height_m, thickness_m)):
        raise ValueError(f"a block's sides must be above 0 and at most 1 m, not {length_m:g} x {height_m:g} x {thickness_m:g} m")
    return length_m * height_m * thickness_m * DENSE_BLOCK_KG_PER_M3.value


def blocks_per_m2(length_m: float, height_m: float, joint_m: float) -> float:
    """Blocks in a square metre of wall face.

    length_m, height_m: face of the block, m, above 0.  joint_m: mortar joint, m, 0 or more.
    Returns blocks per m2.
    Raises ValueError for a size of 0 or less, or a negative joint.
    Source: geometry.

    >>> round(blocks_per_m2(0.44, 0.215, 0.01), 3)
    9.877
    """
    if length_m <= 0.0 or height_m <= 0.0 or joint_m < 0.0:
        raise ValueError(f"a block needs a face above 0 and a joint of 0 or more, not {length_m:g} x {height_m:g} m with {joint_m:g} m")
    return 1.0 / ((length_m + joint_m) * (height_m + joint_m))


def mortar_m3_per_m2(thickness_m: float) -> float:
    """Mortar in a square metre of block wall, waste apart.

    thickness_m: wall thickness, m, 0.05 to 0.5.  Returns m3 per m2.
    Raises ValueError outside that range.
    Source: common practice, no source: 0.010 m3/m2 at 140 mm, in proportion to thickness.

    >>> round(mortar_m3_per_m2(0.14), 6)
    0.01
    """
    if not 0.05 <= thickness_m <= 0.5:
        raise ValueError(f"a block wall must be 50 to 500 mm thick, not {thickness_m * 1000:g} mm")
    return MORTAR_M3_PER_M2_OF_140.value * thickness_m / 0.140


def stone_t(compacted_m3: float) -> float:
    """Tonnes of stone for a compacted volume; it is never bulked as well.

    compacted_m3: m3, 0 or more.  Returns tonnes.
    Raises ValueError for a negative volume.
    Source: common practice, no source (2.1 t/m3, range 1.9 to 2.3).

    >>> stone_t(10.0)
    21.0
    """
    if compacted_m3 < 0.0:
        raise ValueError(f"a volume of stone must be 0 m3 or more, not {compacted_m3} m3")
    return compacted_m3 * STONE_COMPACTED_T_PER_M3.value


def concrete_conductivity_w_per_mk(density_kg_per_m3: float) -> float:
    """Conductivity of plain concrete, between the rows of the table in a straight line.

    density_kg_per_m3: kg/m3, 1800 to 2400.  Returns W/(m K).
    Raises ValueError outside that range.
    Source: EN ISO 10456 (2007), table 3 (read).

    >>> concrete_conductivity_w_per_mk(2400.0)
    2.0
    >>> round(concrete_conductivity_w_per_mk(2300.0), 3)
    1.825
    """
    rows = CONCRETE_W_PER_MK_BY_DENSITY
    for (lower, below), (upper, above) in zip(rows, rows[1:]):
        if lower <= density_kg_per_m3 <= upper:
            share = (density_kg_per_m3 - lower) / (upper - lower)
            return below.value + share * (above.value - below.value)
    raise ValueError(f"plain concrete must weigh {rows[0][0]:.0f} to {rows[-1][0]:.0f} kg/m3 for this table, not {density_kg_per_m3:g} kg/m3")
