"""Maps of which scheme is cheapest over the slope of the ground and the area of the floor.

For the soil, the prices and the rules of one plot, or of a typical one.  At
every place of the map a rectangle on an even slope is laid out and priced
like any other plot, each scheme at its own best level.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from calculators.compare import compare
from calculators.plan import Plan
from calculators.scenario import SIDES, Scenario
from calculators.site import Site

SLOPES: tuple[float, ...] = (0.0, 1 / 50, 1 / 30, 1 / 20, 1 / 14, 1 / 10, 1 / 8, 1 / 6)
AREAS_M2: tuple[float, ...] = (10.0, 16.0, 24.0, 36.0, 48.0, 60.0)
# A plan no squarer than this and no longer, length over breadth.
PROPORTIONS = (1.0, 2.0)
# A margin under this share of the cost is too close to call; from the second on it is clear.
CLOSE_SHARE, CLEAR_SHARE = 0.05, 0.15
OWN, HIRED = "own labour", "hired"


@dataclass(frozen=True)
class Cell:
    """One place of a map: its gradient and area, m2; the cheapest scheme and its lead over the next as a share of its cost.

    `first` is None where nothing can be built inside the limits; `lead` is
    None where nothing else can.
    """

    gradient: float
    area_m2: float
    first: str | None
    lead: float | None


@dataclass(frozen=True)
class Map:
    """A map: slopes and areas (m2) of its rows and columns, its cells by slope then area, and where the plot itself lies, None for a typical one."""

    slopes: tuple[float, ...]
    areas_m2: tuple[float, ...]
    cells: tuple[tuple[Cell, ...], ...]
    you: tuple[float, float] | None

    def firsts(self) -> tuple[str, ...]:
        """The schemes that are cheapest somewhere."""
        return tuple(dict.fromkeys(cell.first for row in self.cells for cell in row if cell.first))


@dataclass(frozen=True)
class Band:
    """On one line of a map, from one slope to another, one scheme is cheapest; None where nothing can be built."""

    first: str | None
    from_gradient: float
    to_gradient: float


def place(scenario: Scenario, gradient: float, area_m2: float, proportion: float, falls_to_deg: float) -> Scenario:
    """The scenario moved to an even slope, with a rectangle of an area in a proportion.

    gradient: 0 to 0.5; area_m2: m2, above 0; proportion: length over breadth;
    falls_to_deg: bearing of downhill.  What is told of single spots of the
    plot is left out: hollows, slabs, soft spots, walls inside, places of doors.
    Raises ValueError for an area of 0 or less.  Source: definition of the guide (maps).
    """
    if area_m2 <= 0.0:
        raise ValueError(f"an area must be above 0 m2, not {area_m2}")
    north = math.sqrt(area_m2 / proportion)
    east = area_m2 / north
    plot, building = scenario.plot, scenario.building

    def faces(name: str) -> str:
        return name.split()[0]

    doors = tuple(dict.fromkeys(faces(name) for name in building.doors))
    boundary: dict[str, float] = {}
    for name, distance in plot.boundary_m.items():
        boundary[faces(name)] = min(distance, boundary.get(faces(name), math.inf))
    return replace(
        scenario,
        plot=replace(
            plot, corners_m=((0.0, 0.0), (east, 0.0), (east, north), (0.0, north)), gradient=gradient, falls_to_deg=falls_to_deg, levels_m=(), triangles=(), beyond_m=(),
            level_run=None, soft_spots_m=(), hollows_m=(), existing_slabs_m=(), boundary_m={name: boundary[name] for name in SIDES if name in boundary}),
        building=replace(
            building, doors=doors, door_positions_m=(), internal_walls_m=(), step_free=faces(building.step_free) if building.step_free else None),
        schemes={scheme: replace(choices, floor_level_m=None) for scheme, choices in scenario.schemes.items()})


def places(scenario: Scenario, site: Site, slopes: Sequence[float] = SLOPES, areas_m2: Sequence[float] = AREAS_M2) -> list[Scenario]:
    """The scenarios of a map, slope by slope and area by area (m2).

    scenario, site: whose soil, prices, rules, direction and proportions are taken, m.
    Source: definition of the guide (maps).
    """
    long_m, short_m = site.plan.size_m()
    proportion = min(max(long_m / short_m, PROPORTIONS[0]), PROPORTIONS[1])
    east, north = (max(p[i] for p in site.plan.corners) - min(p[i] for p in site.plan.corners) for i in (0, 1))
    if north > east:
        proportion = 1.0 / proportion
    falls_to = math.degrees(math.atan2(site.downhill[0], site.downhill[1])) % 360.0 if site.gradient > 0.0 else 180.0
    return [place(scenario, gradient, area, proportion, falls_to) for gradient in slopes for area in areas_m2]


def cheapest_in(scenario: Scenario) -> dict[str, Cell]:
    """The cell of one place, own labour and all of it hired.

    scenario: as `place` makes it.  Returns a Cell for each, its area in m2;
    costs are like for like, own labour before rounding to units of sale.
    Source: definition of the guide (maps).
    """
    built = [result for result in compare(scenario).schemes if result.buildable]
    credits = {result.id: math.fsum(credit.amount.likely for credit in result.credits) for result in built}
    costs = {
        OWN: {result.id: result.priced.cash_before_rounding + credits[result.id] for result in built},
        HIRED: {result.id: result.hired_cash.likely + credits[result.id] for result in built},
    }
    area = Plan(scenario.plot.corners_m).area_m2
    return {whose: _cell(scenario.plot.gradient, area, cost) for whose, cost in costs.items()}


def _cell(gradient: float, area_m2: float, costs: dict[str, float]) -> Cell:
    order = sorted(costs, key=lambda scheme: (round(costs[scheme], 6), scheme))
    lead = (costs[order[1]] - costs[order[0]]) / costs[order[0]] if len(order) > 1 and costs[order[0]] > 0.0 else None
    return Cell(gradient, area_m2, order[0] if order else None, lead)


def map_of(cells: Iterable[Cell], slopes: Sequence[float] = SLOPES, areas_m2: Sequence[float] = AREAS_M2, you: tuple[float, float] | None = None) -> Map:
    """A map of cells that come slope by slope and area by area (m2).

    you: gradient and area, m2, of the plot itself.  Raises ValueError for any other number of cells.
    Source: definition of the guide (maps).
    """
    cells = list(cells)
    if len(cells) != len(slopes) * len(areas_m2):
        raise ValueError(f"{len(slopes) * len(areas_m2)} cells make this map, not {len(cells)}")
    rows = tuple(tuple(cells[i * len(areas_m2):(i + 1) * len(areas_m2)]) for i in range(len(slopes)))
    return Map(tuple(slopes), tuple(areas_m2), rows, you)


def drawn(scenario: Scenario, site: Site, each: Callable[[Callable[[Scenario], dict[str, Cell]], list[Scenario]], Iterable[dict[str, Cell]]] = map) -> dict[str, Map]:
    """The maps of one plot, own labour and hired.

    each: works out every place, like `map`; several at a time where somebody
    knows how.  Returns maps with areas in m2.  Source: definition of the guide (maps).
    """
    found = list(each(cheapest_in, places(scenario, site)))
    you = site.gradient, site.plan.area_m2
    return {whose: map_of((cells[whose] for cells in found), you=you) for whose in (OWN, HIRED)}


def bands(found: Map, area_m2: float) -> tuple[Band, ...]:
    """What is cheapest from slope to slope at the area of the map nearest to one, m2; a border lies half way between two slopes of the map.  Source: definition of the guide (maps)."""
    column = min(range(len(found.areas_m2)), key=lambda i: abs(found.areas_m2[i] - area_m2))
    firsts = [row[column].first for row in found.cells]
    result: list[Band] = []
    start = found.slopes[0]
    for i in range(1, len(firsts) + 1):
        if i == len(firsts) or firsts[i] != firsts[i - 1]:
            end = found.slopes[-1] if i == len(firsts) else (found.slopes[i - 1] + found.slopes[i]) / 2.0
            result.append(Band(firsts[i - 1], start, end))
            start = end
    return tuple(result)
