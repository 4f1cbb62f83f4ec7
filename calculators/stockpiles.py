"""Where a load can be tipped: how much ground a heap takes, and what the plot leaves of it.

A tipped heap is a cone until it is as high as it may be, and then a ridge with
half a cone at each end.  It stands back from every dig, since its weight pushes
the side in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators import works as w
from calculators.schemes import common
from calculators.site import Site
from calculators.sources import common_practice
from calculators.works import Works

STONE_SLOPE_DEG = common_practice(35.0, "degree", "Crushed stone as it is tipped; 35 to 40 is usual.")
SAND_SLOPE_DEG = common_practice(33.0, "degree", "Damp sand as it is tipped; 30 to 35 is usual.")
SOIL_SLOPE_DEG = common_practice(35.0, "degree", "Topsoil and dug earth, loose; wet clay lies flatter.")
HIGHEST_STONE_M = common_practice(1.5, "m", "What a small tipper makes and a shovel still reaches.")
HIGHEST_SOIL_M = common_practice(2.0, "m", "Topsoil heaped higher is pressed and goes sour; a higher heap of earth slips.")
LOWEST_HEAP_M = common_practice(0.4, "m", "A heap held lower than this is spread over the garden.")
OPEN_END_M = common_practice(1.0, "m", "Where nobody gave a boundary a heap may run so far past each end of the building.")
KEEP_BACK_M = common_practice(1.0, "m", "Nothing is put down nearer to a dig than this, nor nearer than the dig is deep.")

LOOSE_STONE_T_PER_M3 = common_practice(1.6, "t/m3", "Crushed stone as it is tipped; 1.5 to 1.7 is usual.")
LOOSE_SAND_T_PER_M3 = common_practice(1.5, "t/m3", "Sand as it is tipped; 1.4 to 1.6 is usual.")

MOST_HEAP_M3 = 1000.0
DEEP_DIGS = (w.REDUCE_DIG, w.TRENCH_DIG, w.SOFT_SPOT_DIG)
# Where the drain to the outfall crosses is seen on the plan; only what runs along a side keeps heaps off all of it.
DRAINS = (w.DRAIN_DIG, w.DRAIN_STONE)
LAND_DRAIN = "land drain"


@dataclass(frozen=True)
class Heap:
    """A heap at rest: its volume as it lies, m3, its height, and the width and length of the ground it covers, m."""

    volume_m3: float
    height_m: float
    width_m: float
    length_m: float

    @property
    def area_m2(self) -> float:
        """Ground it covers, m2: a circle, or a strip with half a circle at each end.  Source: geometry."""
        return math.pi * self.width_m**2 / 4.0 + self.width_m * (self.length_m - self.width_m)


def cone_radius_m(volume_m3: float, slope_deg: float) -> float:
    """Radius of the circle that a cone of loose stuff covers.

    volume_m3: as it lies, m3, above 0 to 1000.  slope_deg: of its side, degrees, 10 to 60.
    Returns m.
    Raises ValueError outside those ranges.
    Source: geometry: V = pi r2 h / 3 with h = r tan(slope).

    >>> round(cone_radius_m(10.0, 35.0), 2)
    2.39
    """
    _check(volume_m3, slope_deg)
    return (3.0 * volume_m3 / (math.pi * math.tan(math.radians(slope_deg)))) ** (1.0 / 3.0)


def heap_of(volume_m3: float, slope_deg: float, highest_m: float, widest_m: float = math.inf) -> Heap:
    """The heap that a volume makes, no higher and no wider than it may be.

    volume_m3: as it lies, m3, above 0 to 1000.  slope_deg: of its side, degrees, 10 to 60.
    highest_m, widest_m: m, above 0.
    Returns a Heap: m3, m.
    Raises ValueError outside those ranges.
    Source: geometry: a cone, or where that is too high or too wide a ridge with half a cone at each end,
    V = pi r2 h / 3 + r h (length - 2 r).

    >>> cone, ridge = heap_of(2.0, 35.0, 1.5), heap_of(10.0, 35.0, 1.5)
    >>> [round(x, 2) for x in (cone.height_m, cone.width_m, cone.length_m, ridge.height_m, ridge.width_m, ridge.length_m)]
    [0.98, 2.79, 2.79, 1.5, 4.28, 5.15]
    """
    if not (highest_m > 0.0 and widest_m > 0.0):
        raise ValueError(f"a heap must be allowed a height and a width above 0 m, not {highest_m} and {widest_m} m")
    rise = math.tan(math.radians(slope_deg)) if 10.0 <= slope_deg <= 60.0 else 0.0
    radius = cone_radius_m(volume_m3, slope_deg)
    allowed = min(highest_m / rise, widest_m / 2.0)
    if radius <= allowed:
        return Heap(volume_m3, radius * rise, 2.0 * radius, 2.0 * radius)
    height = allowed * rise
    ridge_m = (volume_m3 - math.pi * allowed**2 * height / 3.0) / (allowed * height)
    return Heap(volume_m3, height, 2.0 * allowed, 2.0 * allowed + ridge_m)


def _check(volume_m3: float, slope_deg: float) -> None:
    if not 0.0 < volume_m3 <= MOST_HEAP_M3:
        raise ValueError(f"a heap must be above 0 and at most {MOST_HEAP_M3:g} m3, not {volume_m3} m3")
    if not 10.0 <= slope_deg <= 60.0:
        raise ValueError(f"the side of a heap must be 10 to 60 degrees steep, not {slope_deg} degrees")


@dataclass(frozen=True)
class Room:
    """Ground beside one side of the building where something may be put down.

    `facing` is that of `Site.facing`.  `from_face_m` is how far out it begins, `keep_back_m` how much of that is kept
    clear of the dig.  `width_m` goes out from there, None where no boundary was given; `length_m` runs along, m: from
    boundary to boundary, or a little past an end where none was given.
    """

    side: str
    facing: str
    keep_back_m: float
    from_face_m: float
    width_m: float | None
    length_m: float


def rooms_of(site: Site, works: Works) -> tuple[Room, ...]:
    """The room beside each outermost side of the building, past all that is dug or laid there.

    site; works: m.  Returns one Room for each compass side that the plan has, m; widths may be 0.
    Source: definition; what is kept clear of a dig is common practice, no source.
    """
    boundary = site.scenario.plot.boundary_m
    return tuple(
        Room(side.name, site.facing(side), keep, start, None if side.name not in boundary else max(0.0, boundary[side.name] - start),
             _length_m(side, boundary))
        for side in site.plan.sides if side.name == side.faces
        for keep in [keep_back_m(site, works, side)]
        for start in [max(_reach_m(works, side, DEEP_DIGS) + keep, _reach_m(works, side), _drain_m(works, side))])


def keep_back_m(site: Site, works: Works, side) -> float:
    """How far from the edge of the dig beside a side things are put down.

    site; works; side: of the plan, m.  Returns m: 1 m, or what the dig is deep below the higher end of the side, its
    bed of stone with it.
    Source: common practice, no source (`KEEP_BACK_M`).
    """
    levels = site.corner_levels_m
    highest = max(levels[side.index], levels[(side.index + 1) % len(levels)])
    bed = site.rules.edge_bed_m.value + common.BLINDING_M.value if "edge_width_m" in works.sizes else 0.0
    return max(KEEP_BACK_M.value, highest - works.founding_level_m + bed)


def _reach_m(works: Works, side, parts: Iterable[str] | None = None) -> float:
    """How far outside a side's face the named parts of the works reach, m; all but the drains where none are named."""
    return max((
        -side.inside(point) for solid in works.solids if (solid.part in parts if parts is not None else solid.part not in DRAINS)
        for body in solid.bodies for polygon in body.polygons for point in polygon), default=0.0)


def _drain_m(works: Works, side) -> float:
    """How far outside a side's face the drain reaches that runs along it, m."""
    along = (line for line in works.lines if line.kind == LAND_DRAIN and abs(side.inside(line.start) - side.inside(line.end)) < 1e-6)
    return max((-side.inside(line.start) + common.DRAIN_TRENCH_WIDTH_M.value for line in along), default=0.0)


def _length_m(side, boundary: dict[str, float]) -> float:
    ends = ("east", "west") if side.faces in ("north", "south") else ("north", "south")
    return side.length_m + sum(boundary.get(end, OPEN_END_M.value) for end in ends)


@dataclass(frozen=True)
class Place:
    """A heap and the room it is put in; `room` None where nothing beside the building is wide or long enough."""

    heap: Heap
    room: Room | None


UPHILL_FIRST, DOWNHILL_FIRST = ("uphill", "level", "across", "downhill"), ("across", "level", "downhill", "uphill")


def place_for(volume_m3: float, slope_deg: float, highest_m: float, rooms: Sequence[Room], order: Sequence[str] = UPHILL_FIRST) -> Place:
    """Where a heap goes: the first room, by the way it faces, that holds it; of two that face alike the wider.

    volume_m3: as it lies, m3, above 0 to 1000; slope_deg: degrees; highest_m: m; rooms: m; order: of `Room.facing`, the best first.
    A room whose boundary nobody gave is taken to be wide enough, and is taken last of those that face alike.
    Returns a Place, m.
    Raises ValueError as `heap_of`.
    Source: definition.

    >>> narrow, wide = (Room(side, "level", 1.0, 1.5, width, 6.0) for side, width in (("north", 1.0), ("south", 5.0)))
    >>> place_for(10.0, 35.0, 1.5, (narrow, wide)).room.side, place_for(10.0, 35.0, 1.5, (narrow,)).room
    ('south', None)
    """
    for room in sorted(rooms, key=lambda room: (order.index(room.facing), room.width_m is None, -(room.width_m or 0.0), room.side)):
        width = math.inf if room.width_m is None else room.width_m
        if width <= 0.0:
            continue
        heap = heap_of(volume_m3, slope_deg, highest_m, width)
        # A little stuff makes a low heap of itself; a low heap is wrong only where narrow ground holds it down.
        held_down = heap.height_m < min(LOWEST_HEAP_M.value, cone_radius_m(volume_m3, slope_deg) * math.tan(math.radians(slope_deg))) - 1e-9
        if not held_down and heap.length_m <= room.length_m + 1e-9:
            return Place(heap, room)
    return Place(heap_of(volume_m3, slope_deg, highest_m), None)
