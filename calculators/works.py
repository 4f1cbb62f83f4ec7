"""What is built where: the one description that take-off, prices, checks and drawings all read.

A scheme lays out its `Works` for one floor level.  Earth, stone, concrete and
insulation are `Solid`s made of exact prisms; what is sold by face, length or
piece is a measure under its key from `calculators.quantities`.  All levels are
metres above the highest existing ground under the footprint.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

from calculators.fill import FillTables
from calculators.ground import Piece, Surface, between
from calculators.plan import Point, Polygon

# Parts of the works: what each solid is, and whether it is dug away or put in.
TOPSOIL_STRIP = "topsoil strip"
REDUCE_DIG = "reduce dig"
TRENCH_DIG = "trench dig"
DRAIN_DIG = "drain dig"
BREAK_OUT = "breaking out"
SOFT_SPOT_DIG = "soft spot dig"
SOFT_SPOT_STONE = "soft spot stone"
SUB_BASE = "sub-base"
BATTER = "batter and shoulder"
TRENCH_STONE = "trench refill in stone"
BACKFILL = "backfill in arisings"
DRAIN_STONE = "drain stone"
BLINDING = "blinding"
INSULATION = "insulation"
EDGE_BOARD = "edge board"
SLAB = "slab"
FOOTING = "footing"
BLOCKWORK = "blockwork"

DIGS = (TOPSOIL_STRIP, REDUCE_DIG, TRENCH_DIG, DRAIN_DIG, SOFT_SPOT_DIG)

# What each part is made of, by the words a drawing's key and a carbon factor use.
MATERIAL_OF = {
    TOPSOIL_STRIP: "topsoil",
    REDUCE_DIG: "subsoil",
    TRENCH_DIG: "subsoil",
    DRAIN_DIG: "subsoil",
    BREAK_OUT: "old concrete",
    SOFT_SPOT_DIG: "subsoil",
    SOFT_SPOT_STONE: "stone",
    SUB_BASE: "stone",
    BATTER: "stone",
    TRENCH_STONE: "stone",
    BACKFILL: "subsoil",
    DRAIN_STONE: "drain stone",
    BLINDING: "sand",
    INSULATION: "insulation",
    EDGE_BOARD: "insulation",
    SLAB: "concrete",
    FOOTING: "concrete",
    BLOCKWORK: "block",
}


NOTHING_M3 = 1e-6


@dataclass(frozen=True)
class Body:
    """What lies over convex polygons (m), above `bottom` and under `top`."""

    polygons: tuple[Polygon, ...]
    bottom: Surface
    top: Surface


@dataclass(frozen=True)
class Solid:
    """One part of the works: bodies, their volume by the plot's tables, and the same as exact prisms."""

    part: str
    bodies: tuple[Body, ...]
    tables: FillTables = field(repr=False, compare=False)

    @property
    def material(self) -> str:
        """What it is made of, or what is dug."""
        return MATERIAL_OF[self.part]

    @cached_property
    def volume_m3(self) -> float:
        """Volume, m3, in place; what is less than a cubic centimetre is what rounding leaves of nothing."""
        found = math.fsum(self.tables.volume_m3(body.polygons, body.bottom, body.top) for body in self.bodies)
        return found if found > NOTHING_M3 else 0.0

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The solid as exact prisms, for drawings and for whoever wants to see where it lies."""
        return tuple(piece for body in self.bodies for piece in between(body.polygons, body.bottom, body.top))


@dataclass(frozen=True)
class Step:
    """A step in a footing or a deepened edge.

    `chainage_m` runs along the wall's outer face from its higher end.
    """

    wall: str
    chainage_m: float
    height_m: float
    overlap_m: float


@dataclass(frozen=True)
class WallLine:
    """A line drawn on the plan: from one point to another (m), what it is, and its levels if it has any."""

    kind: str
    start: Point
    end: Point
    bottom_m: float | None = None
    top_m: float | None = None


@dataclass(frozen=True)
class Check:
    """One figure against one limit.

    `ratio` is 1 or less when within: provided / required where less is
    better, required / provided where more is.  `verdict` is within, close,
    outside or not worked out.  `ask` says whom, when outside.  `working` is
    the formula with its numbers in it, SI; `method` the name of the page
    that explains it.  `stops` says that a scheme which is outside is not to be
    built as it is; a check of what can be put right beside it does not stop it.
    """

    name: str
    provided: float | None
    required: float | None
    unit: str
    ratio: float | None
    verdict: str
    sentence: str
    source: str
    mark: str
    ask: str = ""
    working: str = ""
    method: str = "rules"
    stops: bool = True


@dataclass(frozen=True)
class Works:
    """All of one scheme at one floor level, laid out one way.

    `variant` names the way where a scheme has several ("batter",
    "deepened edge").  `measures` holds areas, lengths, masses and counts by
    quantity key; volumes come from `solids`.  `sole_plate_m` is the level of
    the top of the damp-proof course, where every scheme is compared.
    `assumptions` are sentences that the page must show.
    """

    scheme: str
    variant: str
    floor_level_m: float
    level_set_by: str
    sole_plate_m: float
    slab_thickness_m: float
    fill_depth_m: float
    low_side_height_m: float
    founding_level_m: float
    solids: tuple[Solid, ...]
    measures: dict[str, float]
    steps: tuple[Step, ...]
    lines: tuple[WallLine, ...]
    sizes: dict[str, float]
    checks: tuple[Check, ...]
    assumptions: tuple[str, ...] = field(default=())

    def volume_m3(self, *parts: str) -> float:
        """Volume, m3, of all solids of the named parts; 0 where there are none."""
        return math.fsum(solid.volume_m3 for solid in self.solids if solid.part in parts)

    @property
    def outside(self) -> tuple[Check, ...]:
        """The checks that stop this from being built as it is."""
        return tuple(check for check in self.checks if check.verdict == "outside" and check.stops)
