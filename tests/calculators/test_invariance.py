"""The same plot told another way gives the same figures to 1e-9, and every count the same.

Other units, the slope as ratio, percent or degrees, the plan turned by a
quarter or seen in a mirror, levels listed from any corner either way round.
"""

import dataclasses
import math
import re

import pytest

from calculators.compare import compare
from generator.scenario import read_scenario_text

FOOT = 0.3048  # m, exactly
SAME = 1e-9

PLOT = dict(east=6.6, north=4.2, falls_to=200.0, degrees=5.0, topsoil=0.15, boundary=("south", 3.5), door="south",
            soil="medium sand", region="england", levels=None, more="")
PLOTS = {
    "askew": PLOT,
    "straight down": PLOT | dict(falls_to=180.0, degrees=6.0),
    "to a corner, steep": PLOT | dict(falls_to=135.0, degrees=10.5, door="east"),
    "flat": PLOT | dict(degrees=0.0, falls_to=90.0),
    "clay": PLOT | dict(soil="firm clay", door="west"),
    "deep frost": PLOT | dict(region="us", soil="silt", more="  frost_depth: 1.0668 m\n", degrees=3.0),
    "twisted": PLOT | dict(levels=(0.0, 0.31, 0.55, 0.12)),
    "saddle": PLOT | dict(levels=(0.0, 0.5, 0.03, 0.41), door="north"),
    "a pit on one side": PLOT | dict(levels=(0.0, 0.62, 0.6, 0.58)),
}
# A quarter turn clockwise, and a mirror that swaps east and west.
TURN = {"north": "east", "east": "south", "south": "west", "west": "north"}
MIRROR = {"north": "north", "south": "south", "east": "west", "west": "east"}


def metres(value):
    return f"{value!r} m"


def degrees(angle):
    return f"{angle!r} deg" if angle else "0"


def told(plot, length=metres, slope=degrees, level_order=None, as_corners=False):
    """Front matter for a plot, lengths and slope typed as asked."""
    east, north = plot["east"], plot["north"]
    if plot["levels"] is None:
        ground = f"  slope: {slope(plot['degrees'])}\n  falls_to: {plot['falls_to']:g}\n"
    else:
        corners = [(0.0, 0.0), (east, 0.0), (east, north), (0.0, north)]
        points = [f"[{length(x)}, {length(y)}, {length(z)}]" for (x, y), z in zip(corners, plot["levels"])]
        ground = f"  levels: [{', '.join(points[i] for i in level_order or range(4))}]\n"
    side, distance = plot["boundary"]
    return (
        "---\ntitle: Invented plot\nrates: demo-gb\n" f"region: {plot['region']}\nplot:\n"
        f"  footprint: {length(east)} x {length(north)}\n{ground}  topsoil: {length(plot['topsoil'])}\n  soil: {plot['soil']}\n"
        f"  shrinkage: low\n  boundary: {{{side}: {length(distance)}}}\n{plot['more']}"
        f"building:\n  doors: [{plot['door']}]\n  heated: yes\nheat: {{ground_conductivity: 1.5 W/(m K)}}\n---\n")


def comparison(text):
    return compare(read_scenario_text(text, "plot.md", "plot").scenario)


def flat(value, at=""):
    """Every figure and word in a record, by its path.  Drawing points and prisms are where they are, not how much."""
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            if field.name not in ("scenario", "ground", "stripped", "plan", "tables", "bodies", "lines", "downhill", "corner_levels_m"):
                yield from flat(getattr(value, field.name), f"{at}.{field.name}")
    elif isinstance(value, dict):
        for key in value:
            yield from flat(value[key], f"{at}.{key}")
    elif isinstance(value, (tuple, list)):
        yield f"{at}.how many", len(value)
        for i, item in enumerate(value):
            yield from flat(item, f"{at}.{i}")
    else:
        yield at, value


def figures(result, names=None):
    """Every figure by its path, sides renamed; checks and steps in an order that does not follow the walls."""
    words = re.compile(r"\b(north|south|east|west)\b")

    def told_here(value):
        return words.sub(lambda found: names[found[0]], value) if names and isinstance(value, str) else value

    def by_name(checks):
        return tuple(sorted(checks, key=lambda check: told_here(check.name)))

    schemes = []
    for scheme in result.schemes:
        works = dataclasses.replace(
            scheme.works, checks=by_name(scheme.works.checks), solids=tuple(sorted(scheme.works.solids, key=lambda solid: solid.part)),
            steps=tuple(sorted(scheme.works.steps, key=lambda step: (told_here(step.wall), round(step.chainage_m, 6)))))
        levels = scheme.levels
        if levels is not None:
            # A level that breaks a rule has no price, and may stand just where a footing steps.
            levels = dataclasses.replace(levels, points=tuple(
                dataclasses.replace(point, cost=0.0, by_stage={}) if point.broken else point for point in levels.points))
        schemes.append(dataclasses.replace(scheme, works=works, reasons=by_name(scheme.reasons), levels=levels))
    found = {at: told_here(value) for at, value in flat(dataclasses.replace(result, schemes=tuple(schemes)))}
    for scheme in result.schemes:
        for solid in scheme.works.solids:
            found[f"{scheme.id} {solid.part} m3"] = solid.volume_m3
        for line in scheme.works.lines:
            key = f"{scheme.id} lines {line.kind} m"
            found[key] = found.get(key, 0.0) + math.dist(line.start, line.end)
    for i, level in enumerate(sorted(result.site.corner_levels_m)):
        found[f"corner level {i}"] = level
    return found


def renamed(plot, names):
    """A plot with its sides' names changed."""
    return plot | dict(door=names[plot["door"]], boundary=(names[plot["boundary"][0]], plot["boundary"][1]))


def assert_same(one, other, names=None):
    """All figures alike, all words alike once the sides are renamed."""
    first, second = figures(one, names), figures(other)
    assert set(first) == set(second)
    for key, value in first.items():
        if isinstance(value, float):
            assert second[key] == pytest.approx(value, rel=SAME, abs=SAME), key
        else:
            assert second[key] == value, key


@pytest.fixture(params=PLOTS)
def plot(request):
    return PLOTS[request.param]


UNITS = {
    "feet": lambda value: f"{value / FOOT:.15f} ft",
    "millimetres": lambda value: f"{value * 1000:.12f} mm",
    "inches": lambda value: f"{value / FOOT * 12:.13f} in",
}


@pytest.mark.parametrize("unit", UNITS)
def test_units(plot, unit):
    assert_same(comparison(told(plot)), comparison(told(plot, length=UNITS[unit])))


SLOPES = {
    "percent": lambda angle: f"{100 * math.tan(math.radians(angle)):.13f} %",
    "ratio": lambda angle: f"1:{1 / math.tan(math.radians(angle)):.13f}" if angle else "0",
}


@pytest.mark.parametrize("way", SLOPES)
def test_slope(way):
    for plot in PLOTS.values():
        if plot["levels"] is None:
            assert_same(comparison(told(plot)), comparison(told(plot, slope=SLOPES[way])))


def test_turned_by_a_quarter(plot):
    turned = renamed(plot, TURN) | dict(east=plot["north"], north=plot["east"], falls_to=(plot["falls_to"] + 90.0) % 360.0)
    if plot["levels"]:
        # What was the south-east corner is now the south-west one.
        south_west, south_east, north_east, north_west = plot["levels"]
        turned["levels"] = (south_east, north_east, north_west, south_west)
    assert_same(comparison(told(plot)), comparison(told(turned)), TURN)


def test_in_a_mirror(plot):
    mirrored = renamed(plot, MIRROR) | dict(falls_to=(360.0 - plot["falls_to"]) % 360.0)
    if plot["levels"]:
        south_west, south_east, north_east, north_west = plot["levels"]
        mirrored["levels"] = (south_east, south_west, north_west, north_east)
    assert_same(comparison(told(plot)), comparison(told(mirrored)), MIRROR)


@pytest.mark.parametrize("order", [(1, 2, 3, 0), (2, 3, 0, 1), (3, 0, 1, 2), (3, 2, 1, 0), (0, 3, 2, 1), (1, 0, 3, 2)])
def test_levels_listed_from_any_corner(order):
    for plot in PLOTS.values():
        if plot["levels"]:
            assert_same(comparison(told(plot)), comparison(told(plot, level_order=order)))


def test_another_datum():
    """Levels from a bench mark a hundred metres up are the same ground."""
    plot = PLOTS["twisted"]
    raised = plot | dict(levels=tuple(level + 100.0 for level in plot["levels"]))
    assert_same(comparison(told(plot)), comparison(told(raised)))


def test_a_plane_told_by_its_corners():
    """Four corner levels of a plane are that plane."""
    plot = PLOTS["askew"]
    gradient, bearing = math.tan(math.radians(plot["degrees"])), math.radians(plot["falls_to"])
    corners = ((0.0, 0.0), (plot["east"], 0.0), (plot["east"], plot["north"]), (0.0, plot["north"]))
    levels = tuple(-gradient * (x * math.sin(bearing) + y * math.cos(bearing)) for x, y in corners)
    assert_same(comparison(told(plot)), comparison(told(plot | dict(levels=levels))))
