"""Maps of what is cheapest: places, their cells, and borders.

A cell is held against a whole comparison of the same plot; borders are worked
out by hand on maps made by hand.  Laws need no source.
"""

import math
from dataclasses import replace

import pytest

from calculators import maps
from calculators.compare import compare
from calculators.maps import HIRED, OWN, Band, Cell, Map, bands, cheapest_in, drawn, map_of, place, places
from calculators.plan import Plan
from calculators.site import site_of


def sides(scenario):
    xs, ys = zip(*scenario.plot.corners_m)
    return max(xs) - min(xs), max(ys) - min(ys)


def a_map(*firsts, slopes=(0.0, 0.1, 0.2), areas=(10.0, 40.0)):
    """A map of given schemes, slope by slope."""
    pairs = [(slope, area) for slope in slopes for area in areas]
    return map_of((Cell(slope, area, first, 0.1 if first else None) for (slope, area), first in zip(pairs, firsts, strict=True)), slopes, areas)


# Places.


@pytest.mark.parametrize(("area", "proportion"), [(10.0, 1.0), (27.72, 6.6 / 4.2), (60.0, 2.0), (24.0, 0.5)])
def test_a_place_has_its_area_and_proportion(make_scenario, area, proportion):
    moved = place(make_scenario(), 0.07, area, proportion, 200.0)
    east, north = sides(moved)
    assert Plan(moved.plot.corners_m).area_m2 == pytest.approx(area, rel=1e-12) and east / north == pytest.approx(proportion, rel=1e-12)
    site = site_of(moved)
    assert site.gradient == pytest.approx(0.07) and math.degrees(math.atan2(*site.downhill)) % 360.0 == pytest.approx(200.0)


@pytest.mark.parametrize("area", [0.0, -1.0])
def test_no_place_without_an_area(make_scenario, area):
    with pytest.raises(ValueError, match="an area must be above 0 m2"):
        place(make_scenario(), 0.1, area, 1.0, 180.0)


def test_what_is_told_of_single_spots_is_left_out_and_the_rest_stays(make_scenario):
    corners = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    scenario = make_scenario(
        corner_levels_m=(0.0, 0.1, 0.3, 0.2),
        plot=dict(soft_spots_m=((corners, 0.3),), hollows_m=((corners, 0.4),), existing_slabs_m=((corners, 0.1),), boundary_m={"south": 1.5, "east": 0.5, "east 2": 0.2}),
        building=dict(doors=("south", "east 2", "south"), door_positions_m=(1.0, None, None), internal_walls_m=(((3.3, 0.0), (3.3, 4.2)),), step_free="east 2"))
    scenario = replace(scenario, schemes={name: replace(choices, floor_level_m=0.2) for name, choices in scenario.schemes.items()})
    moved = place(scenario, 0.1, 24.0, 1.5, 180.0)
    plot, building = moved.plot, moved.building
    assert plot.levels_m == plot.triangles == plot.beyond_m == plot.soft_spots_m == plot.hollows_m == plot.existing_slabs_m == () and plot.level_run is None
    # Sides of a plan with more corners become the four; the nearest boundary counts.
    assert plot.boundary_m == {"south": 1.5, "east": 0.2} and building.doors == ("south", "east") and building.step_free == "east"
    assert building.door_positions_m == () == building.internal_walls_m
    assert all(choices.floor_level_m is None for choices in moved.schemes.values())
    assert (plot.soil, plot.topsoil_m, plot.access, moved.schedule, moved.region) == (scenario.plot.soil, scenario.plot.topsoil_m, scenario.plot.access, scenario.schedule, scenario.region)
    # And it can be compared as it stands.
    assert cheapest_in(moved)[OWN].first in moved.schemes


def test_places_go_slope_by_slope_and_area_by_area(make_scenario):
    scenario = make_scenario(gradient=0.1, falls_to_deg=225.0)
    found = places(scenario, site_of(scenario), (0.0, 0.1), (10.0, 20.0, 30.0))
    assert [(p.plot.gradient, round(Plan(p.plot.corners_m).area_m2, 9)) for p in found] == [(0.0, 10.0), (0.0, 20.0), (0.0, 30.0), (0.1, 10.0), (0.1, 20.0), (0.1, 30.0)]
    assert all(p.plot.falls_to_deg == pytest.approx(225.0) for p in found)


@pytest.mark.parametrize(("size", "proportion"), [((6.6, 4.2), 6.6 / 4.2), ((4.2, 6.6), 4.2 / 6.6), ((9.0, 3.0), 2.0), ((3.0, 9.0), 0.5), ((5.0, 5.0), 1.0)])
def test_a_place_is_as_long_as_the_plot_but_no_longer_than_two_to_one(make_scenario, size, proportion):
    scenario = make_scenario(size_m=size)
    east, north = sides(places(scenario, site_of(scenario), (0.0,), (20.0,))[0])
    assert east / north == pytest.approx(proportion)


def test_surveyed_ground_gives_its_direction_and_level_ground_has_one_to_take(make_scenario):
    # Lower in the west by hand: 0 on the west corners, 0.5 on the east.
    west = make_scenario(corner_levels_m=(0.0, 0.5, 0.5, 0.0))
    assert places(west, site_of(west), (0.1,), (20.0,))[0].plot.falls_to_deg == pytest.approx(270.0)
    level = make_scenario(gradient=0.0, falls_to_deg=None)
    assert places(level, site_of(level), (0.1,), (20.0,))[0].plot.falls_to_deg == 180.0


# Cells.


@pytest.mark.parametrize("gradient", [0.0, 1 / 14])
def test_a_cell_is_what_a_comparison_of_that_plot_says(make_scenario, make_schedule, gradient):
    # Sold by the thousandth of a unit, a bill is as good as not rounded.
    scenario = make_scenario(gradient=gradient, schedule=make_schedule(0.001))
    found = cheapest_in(place(scenario, gradient, 27.72, 6.6 / 4.2, 180.0))
    comparison = compare(scenario)
    assert found[OWN].first == comparison.decision.order[0] and found[OWN].lead == pytest.approx(comparison.decision.margin_share, rel=0.03)
    hired = {result.id: result.hired_cash.likely + sum(credit.amount.likely for credit in result.credits) for result in comparison.schemes if result.buildable}
    least, next_least = sorted(hired.values())[:2]
    assert hired[found[HIRED].first] == pytest.approx(least, rel=1e-9) and found[HIRED].lead == pytest.approx(next_least / least - 1.0, rel=1e-6)
    for cell in found.values():
        assert cell.gradient == gradient and cell.area_m2 == pytest.approx(27.72)


def test_where_nothing_or_one_scheme_can_be_built(make_scenario):
    alone = cheapest_in(place(make_scenario(schemes=("strip-and-block",)), 0.05, 24.0, 1.5, 180.0))
    assert {(cell.first, cell.lead) for cell in alone.values()} == {("strip-and-block", None)}
    nothing = cheapest_in(place(make_scenario(plot=dict(soil="peat")), 0.05, 24.0, 1.5, 180.0))
    assert {(cell.first, cell.lead) for cell in nothing.values()} == {(None, None)}


# Maps.


def test_a_map_is_its_cells_in_rows():
    found = a_map("a", "b", "a", None, "b", None)
    assert [[cell.first for cell in row] for row in found.cells] == [["a", "b"], ["a", None], ["b", None]]
    assert found.firsts() == ("a", "b") and found.you is None and (found.slopes, found.areas_m2) == ((0.0, 0.1, 0.2), (10.0, 40.0))
    for row, slope in zip(found.cells, found.slopes):
        assert [(cell.gradient, cell.area_m2) for cell in row] == [(slope, 10.0), (slope, 40.0)]


@pytest.mark.parametrize("count", [0, 5, 7])
def test_a_map_of_another_number_of_cells_is_refused(count):
    with pytest.raises(ValueError, match=f"6 cells make this map, not {count}"):
        map_of([Cell(0.0, 10.0, "a", 0.1)] * count, (0.0, 0.1, 0.2), (10.0, 40.0))


@pytest.mark.parametrize(("area", "expected"), [
    # The border lies half way between two slopes of the map.
    (10.0, (Band("a", 0.0, 0.15), Band("b", 0.15, 0.2))),
    (24.9, (Band("a", 0.0, 0.15), Band("b", 0.15, 0.2))),
    (25.1, (Band("b", 0.0, 0.05), Band(None, 0.05, 0.2))),
    (500.0, (Band("b", 0.0, 0.05), Band(None, 0.05, 0.2))),
])
def test_bands_by_hand(area, expected):
    found = bands(a_map("a", "b", "a", None, "b", None), area)
    assert [band.first for band in found] == [band.first for band in expected]
    for band, hand in zip(found, expected):
        assert (band.from_gradient, band.to_gradient) == (pytest.approx(hand.from_gradient), pytest.approx(hand.to_gradient))


def test_bands_cover_the_map_end_to_end():
    for firsts in ("aaa", "aba", "abc", "abb"):
        found = bands(a_map(*firsts, areas=(10.0,)), 10.0)
        assert found[0].from_gradient == 0.0 and found[-1].to_gradient == 0.2
        assert all(one.to_gradient == two.from_gradient and one.first != two.first for one, two in zip(found, found[1:]))
    assert bands(a_map("a", slopes=(0.1,), areas=(10.0,)), 10.0) == (Band("a", 0.1, 0.1),)


def test_drawn_hands_every_place_over_and_marks_the_plot(make_scenario):
    scenario = make_scenario(gradient=1 / 14)
    asked = []

    def each(work, wanted):
        assert work is cheapest_in
        asked.extend(wanted)
        return [{OWN: Cell(p.plot.gradient, Plan(p.plot.corners_m).area_m2, "a", 0.1), HIRED: Cell(p.plot.gradient, 1.0, None, None)} for p in wanted]

    found = drawn(scenario, site_of(scenario), each)
    assert list(found) == [OWN, HIRED] and all(isinstance(each_map, Map) for each_map in found.values())
    assert len(asked) == len(maps.SLOPES) * len(maps.AREAS_M2)
    for row, slope in zip(found[OWN].cells, maps.SLOPES):
        assert [cell.gradient for cell in row] == [slope] * len(row) and [cell.area_m2 for cell in row] == pytest.approx(maps.AREAS_M2)
    assert found[OWN].firsts() == ("a",) and found[HIRED].firsts() == ()
    for each_map in found.values():
        assert each_map.you == (pytest.approx(1 / 14), pytest.approx(27.72))
