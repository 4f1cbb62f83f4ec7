"""Drawings: right where they can be measured, alike where they are compared, readable without colour or sight.

Expected sizes are worked by hand from the geometry beside each; laws (a solid
is the sum of its slices) need no source.
"""

import dataclasses
import doctest
import importlib
import math
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calculators import works as w
from calculators.best_level import LevelPoint, LevelSearch
from calculators.compare import compare
from calculators.ground import Flat, Plane, triangulated
from calculators.plan import polygon_area_m2
from generator.drawings import (
    cut_fill_svg, drawing_key_svg, level_curve_svg, level_curve_table, plan_svg, section_frame, section_svg,
)
from generator.drawings.cut_fill import bed_on_stripped, cut_fill_sheet, filled_pieces, pieces_of
from generator.drawings.geometry import Cut, chained, contour, distance_to_side_m, is_inside, outline, steepest_cut
from generator.drawings.key import HATCHES, LINES
from generator.drawings.level_curve import PARTS, TOTAL, level_curve_sheet, parts_of
from generator.drawings.on_plan import contour_interval_m, page_of
from generator.drawings.plan import plan_sheet
from generator.drawings.section import section_sheet
from generator.scenario import read_scenario_file, read_scenario_text

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = sorted(path.stem for path in (ROOT / "docs/scenarios").glob("*.md") if path.stem != "index")
SVG = "{http://www.w3.org/2000/svg}"

PLOT = """---
title: A plot for drawing
region: england
plot:
  footprint: 6.6 m x 4.2 m
  slope: 1:14
  falls_to: south
  topsoil: 150 mm
  soil: medium sand
schemes:
  thickened-raft: {slab_thickness: 125 mm, edge_width: 450 mm, edge_depth: 300 mm, floor_level: 0.05 m, low_side: batter}
  strip-and-block: {block_thickness: 140 mm, footing_width: 450 mm}
  insulated-slab: {insulation: EPS, insulation_thickness: 100 mm}
---
"""

ODD = {
    "level": ["plot.slope=0", "plot.falls_to="],
    "nearly level": ["plot.slope=1:60"],
    "askew": ["plot.falls_to=301"],
    "into a corner": ["plot.footprint=5 m x 5 m", "plot.falls_to=south-west"],
    "steep": ["plot.slope=1:4"],
    "a saddle": ["plot.slope=", "plot.falls_to=", "plot.levels=[[0 m,0 m,0 m],[6.6 m,0 m,0.3 m],[6.6 m,4.2 m,0 m],[0 m,4.2 m,0.3 m]]"],
    "turned": ["plot.footprint=", "plot.corners=[[0 m,0 m],[5 m,2 m],[3 m,7 m],[-2 m,5 m]]"],
    "small": ["plot.footprint=3 m x 3 m", "building.doors=[south, north, east, west]"],
    "long": ["plot.footprint=14 m x 4 m", "plot.falls_to=east", "plot.slope=1:30"],
    "hemmed in": ["plot.boundary={south: 1 m, north: 0.5 m, east: 2 m, west: 2.4 m}"],
    "no upstand": ["schemes.thickened-raft.upstand=0 m", "schemes.strip-and-block.knee_height=0 m"],
    "thick insulation": ["schemes.insulated-slab.insulation_thickness=300 mm"],
    "block walls": ["building.walls=block"],
}

L_PLAN = "[[0 m,0 m],[7 m,0 m],[7 m,3.6 m],[4 m,3.6 m],[4 m,5.6 m],[0 m,5.6 m]]"
T_PLAN = "[[0 m,0 m],[2.4 m,0 m],[2.4 m,-2.2 m],[5.2 m,-2.2 m],[5.2 m,0 m],[7.6 m,0 m],[7.6 m,3.4 m],[0 m,3.4 m]]"
CUT_CORNER = "[[0 m,0 m],[6.6 m,0 m],[6.6 m,3 m],[5.2 m,4.4 m],[0 m,4.4 m]]"
U_PLAN = "[[0 m,0 m],[9 m,0 m],[9 m,5 m],[6.2 m,5 m],[6.2 m,2.8 m],[2.8 m,2.8 m],[2.8 m,5 m],[0 m,5 m]]"
SOFT = "plot.soft_spots=[{from: [1 m, 1 m], size: 1.2 m x 1 m, depth: 400 mm}]"


def bumpy_m(x, y):
    return 10 + 0.055 * y + 0.02 * x + 0.09 * math.sin(0.9 * x) * math.cos(0.8 * y)


def survey(south=-1.2):
    """Thirty spot levels, not in rows, on ground that is no plane."""
    points = []
    for i in range(6):
        for j in range(5):
            x = round(-1.2 + 1.9 * i + 0.13 * ((7 * i + 3 * j) % 5 - 2), 2)
            y = round(south + 2.0 * j + 0.11 * ((5 * i + 11 * j) % 5 - 2), 2)
            points.append(f"[{x} m,{y} m,{bumpy_m(x, y):.3f} m]")
    return "plot.levels=[" + ",".join(points) + "]"


def on(plan, *overrides):
    return ["plot.footprint=", f"plot.corners={plan}", *overrides]


def surveyed(plan, south=-1.2, *overrides):
    return on(plan, "plot.slope=", "plot.falls_to=", survey(south), *overrides)


ODD |= {
    "L": on(L_PLAN, "plot.falls_to=200", SOFT),
    "L, boundaries and doors": on(L_PLAN, "plot.falls_to=west", 'plot.boundary={west: 1.4 m, "north 2": 1.2 m}',
                                  'building.doors=[{side: south, at: 1.2 m}, "east 2"]'),
    "L, surveyed": surveyed(L_PLAN, -1.2, SOFT, "plot.boundary={east: 1.1 m}",
                            "building.doors=[{side: south, at: 1.2 m}, west]", "building.step_free=west"),
    "T": on(T_PLAN, "building.doors=[north, {side: south, at: 1 m}]"),
    "T, surveyed": surveyed(T_PLAN, -3.0),
    "cut corner": on(CUT_CORNER, "plot.falls_to=north-east", "plot.boundary={west: 0.9 m, north: 2 m}", "building.doors=[{side: south, at: 5.4 m}]"),
    "U, cut twice": on(U_PLAN, "plot.falls_to=60", "plot.slope=1:25"),
    "U, level": on(U_PLAN, "plot.slope=0", "plot.falls_to="),
}


@cache
def comparison_of(units="metric", *overrides):
    return compare(read_scenario_text(PLOT, "plot.md", "plot", [*overrides, f"units={units}"]).scenario)


@cache
def worked(slug, units):
    return compare(read_scenario_file(ROOT / f"docs/scenarios/{slug}.md", [f"units={units}"]).scenario)


def svg_of(markup):
    return ElementTree.fromstring(markup).find(f".//{SVG}svg")


def numbers(data):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", data)]


def paths(svg, css):
    return [p.get("d") for p in svg.iter(f"{SVG}path") if css in (p.get("class") or "").split()]


def cut_area(comparison, scheme, *parts, moved_m=0.0):
    cut = steepest_cut(comparison.site).moved(moved_m)
    works = comparison.scheme(scheme).works
    pieces = [piece for solid in works.solids if solid.part in parts for piece in solid.pieces]
    return sum(polygon_area_m2(polygon) for polygon in cut.through(pieces, -50.0, 50.0))


def boxes_apart(a, b):
    return min(a[2], b[2]) - max(a[0], b[0]) <= 1.0 or min(a[3], b[3]) - max(a[1], b[1]) <= 1.0


# Geometry


@pytest.mark.parametrize("name", ["cut_fill", "geometry", "key", "level_curve", "on_plan", "placing", "plan", "scale", "section", "sheet"])
def test_examples_in_docstrings(name):
    assert doctest.testmod(importlib.import_module(f"generator.drawings.{name}")).failed == 0


def test_raft_section_has_the_area_worked_by_hand():
    # Slab 4.2 x 0.125; each edge 0.45 x 0.175 below it and a 45 degree haunch, a triangle of 0.175 by 0.175.
    by_hand = 4.2 * 0.125 + 2 * (0.45 * 0.175 + 0.175**2 / 2)
    assert cut_area(comparison_of(), "thickened-raft", w.SLAB) == pytest.approx(by_hand, abs=1e-6)


def test_strip_section_has_the_area_worked_by_hand():
    # Two footings 0.45 wide, 0.225 thick: the ground falls by more than a course, so the footing is of the stepping thickness.
    works = comparison_of().scheme("strip-and-block").works
    assert works.sizes["footing_thickness_m"] == pytest.approx(0.225)
    assert cut_area(comparison_of(), "strip-and-block", w.FOOTING) == pytest.approx(2 * 0.45 * 0.225, abs=1e-6)


@pytest.mark.parametrize("part", [w.SLAB, w.SUB_BASE, w.BATTER, w.REDUCE_DIG, w.TOPSOIL_STRIP])
def test_slices_add_up_to_the_solid(part):
    comparison = comparison_of("metric", "plot.falls_to=200")
    whole = comparison.scheme("thickened-raft").works.volume_m3(part)
    step = 0.01
    slices = sum(cut_area(comparison, "thickened-raft", part, moved_m=(i + 0.5) * step) * step for i in range(-700, 700))
    assert slices == pytest.approx(whole, rel=2e-3)


def test_cut_runs_down_the_steepest_line_or_along_the_shorter_way_on_level_ground():
    assert steepest_cut(comparison_of().site).along == pytest.approx((0.0, -1.0))
    bearing = math.radians(301)
    assert steepest_cut(comparison_of("metric", "plot.falls_to=301").site).along == pytest.approx((math.sin(bearing), math.cos(bearing)))
    assert abs(steepest_cut(comparison_of("metric", *ODD["level"]).site).along[1]) == pytest.approx(1.0)
    turned = comparison_of("metric", *ODD["level"], "plot.footprint=4.2 m x 6.6 m")
    assert abs(steepest_cut(turned.site).along[0]) == pytest.approx(1.0)


def test_chord_of_a_square():
    square = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    assert Cut((1.0, -1.0), (0.0, 1.0)).chord(square) == pytest.approx((1.0, 3.0))
    assert Cut((3.0, -1.0), (0.0, 1.0)).chord(square) is None


def test_outline_drops_what_two_parts_share():
    low, high = ((0, 0), (4, 0), (4, 1), (0, 1)), ((1, 1), (2, 1), (2, 3), (1, 3))
    (loop,) = outline([low, high])
    assert set(loop) == {(0, 0), (4, 0), (4, 1), (2, 1), (2, 3), (1, 3), (1, 1), (0, 1)}
    assert polygon_area_m2(tuple(loop)) == pytest.approx(4 + 2)


def test_outline_of_a_ring_is_two_loops():
    ring = [((0, 0), (3, 0), (2, 1), (1, 1)), ((3, 0), (3, 3), (2, 2), (2, 1)), ((3, 3), (0, 3), (1, 2), (2, 2)), ((0, 3), (0, 0), (1, 1), (1, 2))]
    areas = sorted(polygon_area_m2(tuple(loop)) for loop in outline(ring))
    assert areas == pytest.approx([-1.0, 9.0])


# Scale and frame


def test_across_and_up_are_at_one_scale():
    ground = numbers(paths(svg_of(section_svg(comparison_of(), comparison_of().schemes[0], "metric", "a")), "sp-ground")[0])
    (x0, y0), (x1, y1) = ground[:2], ground[-2:]
    assert (x1 - x0) / (y1 - y0) == pytest.approx(14.0, rel=0.01)


def test_all_schemes_share_scale_datum_and_width():
    comparison = comparison_of()
    frame = section_frame(comparison)
    drawn = [svg_of(section_svg(comparison, result, "metric", "a", frame)) for result in comparison.schemes]
    assert len(drawn) == 3
    assert len({paths(svg, "sp-ground")[0] for svg in drawn}) == 1
    assert len({svg.get("viewBox").split()[2] for svg in drawn}) == 1


def test_floor_and_founding_are_drawn_at_their_levels():
    comparison = comparison_of()
    frame = section_frame(comparison)
    for result in comparison.schemes:
        svg = svg_of(section_svg(comparison, result, "metric", "a", frame))
        points = [numbers(data) for data in paths(svg, "sp-concrete")]
        heights = [y for data in points for y in data[1::2]]
        assert min(heights) == pytest.approx(frame.y(result.works.floor_level_m), abs=0.06)
        assert max(heights) == pytest.approx(frame.y(result.works.founding_level_m), abs=0.06)


def test_figures_on_the_section_are_those_of_the_works():
    comparison = comparison_of()
    words = [text.words for text in section_sheet(comparison, comparison.scheme("thickened-raft"), "metric", "a").texts]
    # 4.2 m at 1 in 14 falls 0.30 m; floor 0.05 m above the highest ground; underside 0.25 m below it.
    for expected in ("slab 125 mm", "floor +0.050", "low ground −0.300", "founding −0.250", "350 mm", "300 mm", "450 mm", "4.20 m"):
        assert expected in words
    assert f"fill {round(comparison.scheme('thickened-raft').works.fill_depth_m * 1000)} mm" in words


def test_plan_marks_every_step_across_its_footing():
    comparison = comparison_of("metric", "plot.slope=1:7")
    result = comparison.scheme("strip-and-block")
    assert len(result.works.steps) >= 2
    svg = svg_of(plan_svg(comparison, result, "metric", "a"))
    marks = paths(svg, "sp-plan-step")[0].split("M")[1:]
    assert len(marks) == len(result.works.steps)
    wall = numbers(paths(svg, "sp-plan-floor")[0])
    units_per_m = (max(wall[0::2]) - min(wall[0::2])) / 6.6
    for mark in marks:
        x0, y0, x1, y1 = numbers(mark)
        assert math.dist((x0, y0), (x1, y1)) == pytest.approx(0.45 * units_per_m, abs=0.2)


def test_plan_is_mirrored_with_the_plot():
    """Steps come at the same distance down from the high end, whichever way the ground falls."""
    heights = []
    for falls_to in ("south", "north"):
        comparison = comparison_of("metric", f"plot.falls_to={falls_to}", "plot.slope=1:7", "schemes.strip-and-block.floor_level=0 m")
        svg = svg_of(plan_svg(comparison, comparison.scheme("strip-and-block"), "metric", "a"))
        wall = numbers(paths(svg, "sp-plan-floor")[0])[1::2]
        steps = sorted(numbers(mark)[1] for mark in paths(svg, "sp-plan-step")[0].split("M")[1:])
        high, low = (min(wall), max(wall)) if falls_to == "south" else (max(wall), min(wall))
        heights.append(sorted((step - high) / (low - high) for step in steps))
    assert heights[0] == pytest.approx(heights[1], abs=2e-3)


# Words


def every_sheet(comparison, units):
    frame = section_frame(comparison)
    for result in comparison.schemes:
        yield section_sheet(comparison, result, units, "a", frame)
        yield plan_sheet(comparison, result, units, "b")
        yield cut_fill_sheet(comparison, result, units, "c")
        if level_curve_table(result):
            yield level_curve_sheet(comparison, result, units, "d")


def assert_words_are_apart(comparison, units):
    for sheet in every_sheet(comparison, units):
        boxes = [(text.words, text.box) for text in sheet.texts]
        assert len(boxes) > 5
        for i, (words, box) in enumerate(boxes):
            assert box[0] >= 0 and box[1] >= 0 and box[2] <= sheet.width and box[3] <= sheet.height, f"{words} runs off {sheet.title}"
            for other, other_box in boxes[:i]:
                assert boxes_apart(box, other_box), f"{words} lies on {other} in {sheet.title}"


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("slug", SCENARIOS)
def test_words_do_not_lie_on_each_other(slug, units):
    assert_words_are_apart(worked(slug, units), units)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("case", ODD)
def test_words_do_not_lie_on_each_other_on_odd_plots(case, units):
    assert_words_are_apart(comparison_of(units, *ODD[case]), units)


def test_section_says_its_numbers_in_words():
    comparison = comparison_of()
    svg = svg_of(section_svg(comparison, comparison.scheme("thickened-raft"), "metric", "a"))
    said = svg.find(f"{SVG}desc").text
    for part in ("falling 1 in 14 to the south", "300 mm between the faces", "Floor 50 mm above the highest ground and 350 mm above the lowest",
                 "slab 125 mm", "450 mm wide and 300 mm deep", "founding level 250 mm below the highest ground"):
        assert part in said


def test_plan_says_its_numbers_in_words():
    comparison = comparison_of("metric", "plot.boundary={south: 4.5 m}")
    said = svg_of(plan_svg(comparison, comparison.scheme("strip-and-block"), "metric", "a")).find(f"{SVG}desc").text
    for part in ("6.60 m by 4.20 m", "north up", "south-east 300 mm below the highest ground", "footing 450 mm wide", "Boundary 4.50 m away to the south"):
        assert part in said


def test_imperial_drawings_have_no_metres():
    comparison = comparison_of("imperial")
    for sheet in every_sheet(comparison, "imperial"):
        shown = [text.words for text in sheet.texts] + [sheet.description]
        assert any(" ft" in words or " in" in words for words in shown)
        assert not [words for words in shown if re.search(r"\d m?m\b", words)]


# Markup


def every_markup(comparison, units):
    frame = section_frame(comparison)
    for i, result in enumerate(comparison.schemes):
        yield f"s{i}", section_svg(comparison, result, units, f"s{i}", frame)
        yield f"p{i}", plan_svg(comparison, result, units, f"p{i}")
        yield f"c{i}", cut_fill_svg(comparison, result, units, f"c{i}")
        if level_curve_table(result):
            yield f"l{i}", level_curve_svg(comparison, result, units, f"l{i}")


@pytest.mark.parametrize("case", ODD)
def test_markup_is_whole_and_its_references_hold(case):
    for prefix, markup in every_markup(comparison_of("metric", *ODD[case]), "metric"):
        svg = svg_of(markup)
        assert svg.get("role") == "img" and svg.get("viewBox").startswith("0 0 ")
        ids = [element.get("id") for element in ElementTree.fromstring(markup).iter() if element.get("id")]
        assert len(ids) == len(set(ids)) and all(i.startswith(f"{prefix}-") for i in ids)
        assert svg.get("aria-labelledby").split() == [f"{prefix}-title", f"{prefix}-desc"]
        assert svg.find(f"{SVG}title").text and svg.find(f"{SVG}desc").text
        assert {f"{prefix}-title", f"{prefix}-desc"} <= set(ids)
        assert set(re.findall(r"url\(#([^)]+)\)", markup)) <= set(ids)
        assert "nan" not in markup.lower() and "inf" not in re.sub(r"[a-z]*inf[a-z]+", "", markup.lower())


def test_looks_are_left_to_the_style_sheet():
    for _, markup in every_markup(comparison_of(), "metric"):
        assert "style" not in markup and "stroke=" not in markup and "<script" not in markup
        assert all(value.startswith("url(#") for value in re.findall(r'fill="([^"]*)"', markup))


def test_coordinates_are_written_to_a_tenth():
    for _, markup in every_markup(comparison_of("metric", "plot.falls_to=200"), "metric"):
        drawn = re.findall(r' (?:d|x|y|cx|cy|viewBox|transform)="([^"]*)"', markup.split("</defs>")[-1])
        assert len(drawn) > 20
        assert not [data for data in drawn if re.search(r"\.\d\d", data)]


def test_same_comparison_gives_the_same_bytes():
    again = compare(read_scenario_text(PLOT, "plot.md", "plot", ["units=metric"]).scenario)
    assert dict(every_markup(comparison_of(), "metric")) == dict(every_markup(again, "metric"))
    alone = section_svg(again, again.schemes[1], "metric", "s1")
    assert alone == dict(every_markup(again, "metric"))["s1"]


def test_words_are_escaped():
    comparison = comparison_of()
    result = dataclasses.replace(comparison.schemes[0], title='A <b>raft</b> & "more"')
    for draw in (section_svg, plan_svg, cut_fill_svg):
        markup = draw(comparison, result, "metric", "a")
        assert "<b>" not in markup
        assert '<b>raft</b> & "more"' in svg_of(markup).find(f"{SVG}title").text


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "a<b"])
def test_prefix_that_cannot_be_an_id_is_refused(prefix):
    with pytest.raises(ValueError, match="prefix"):
        section_svg(comparison_of(), comparison_of().schemes[0], "metric", prefix)


# Style sheet and key


def style(name):
    return (ROOT / f"docs/assets/{name}").read_text(encoding="utf-8")


def test_every_class_is_in_the_style_sheet():
    css = style("drawings.css")
    used = set()
    for case in ODD.values():
        for _, markup in every_markup(comparison_of("metric", *case), "metric"):
            used |= {name for names in re.findall(r'class="([^"]*)"', markup) for name in names.split()}
    used |= {name for names in re.findall(r'class="([^"]*)"', drawing_key_svg()) for name in names.split()}
    used |= {name for names in re.findall(r'class="([^"]*)"', level_curve_svg(comparison_of(), comparison_of().scheme("thickened-raft"), "metric", "a"))
             for name in names.split()}
    # Named for whoever reads the markup; what they look like comes from the class beside them or from all words.
    plain = {"sp-figure", "sp-label", "sp-curve-none"}
    assert "sp-concrete" in used and "sp-plan-wall" in used
    assert not {name for name in used - plain if not re.search(rf"\.{name}\b(?!-)", css)}


def test_colours_are_names_that_the_page_gives_in_light_dark_and_print():
    css = style("drawings.css")
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", css)
    asked = set(re.findall(r"var\((--[a-z-]+)\)", css))
    light, rest = style("soleplate.css").split('[data-md-color-scheme="slate"]', 1)
    dark, printed = rest.split("@media print", 1)
    assert len(asked) > 10
    for part in (light, dark, printed):
        assert not [name for name in asked if f"{name}:" not in part]


def test_key_explains_every_hatch_and_has_no_id_twice():
    key = drawing_key_svg("k")
    root = ElementTree.fromstring(key)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids)) == len(HATCHES)
    assert len(root.findall("li")) == len(HATCHES) + len(LINES)
    used = {material for case in ODD.values() for sheet in every_sheet(comparison_of("metric", *case), "metric") for material in sheet.hatches}
    # Patterns that stand for no material are explained at the foot of the drawing that has them.
    assert used - {"dig", "fill", "forbidden"} == {material for material, _ in HATCHES}


# Any outline


def test_cut_goes_in_and_out_of_a_plan_that_is_not_convex():
    # A U 9 m wide with a notch from 2.8 to 6.2 m: a line across its arms meets 2.8 m, then 3.4 m of air, then 2.8 m.
    bracket = ((0.0, 0.0), (9.0, 0.0), (9.0, 5.0), (6.2, 5.0), (6.2, 2.8), (2.8, 2.8), (2.8, 5.0), (0.0, 5.0))
    runs = Cut((0.0, 4.0), (1.0, 0.0)).runs(bracket)
    assert runs == [pytest.approx((0.0, 2.8)), pytest.approx((6.2, 9.0))]
    assert Cut((0.0, 1.0), (1.0, 0.0)).runs(bracket) == [pytest.approx((0.0, 9.0))]


@pytest.mark.parametrize("case", [case for case in ODD if case[0] in "LTUc" or "turned" in case])
def test_cut_is_inside_any_plan_and_clear_of_walls_it_runs_along(case):
    site = comparison_of("metric", *ODD[case]).site
    cut = steepest_cut(site)
    runs = cut.runs(site.plan.corners)
    longest = max(runs, key=lambda run: run[1] - run[0])
    assert is_inside(site.plan.corners, cut.at(sum(longest) / 2))
    for side in site.plan.sides:
        if abs(side.inward[0] * cut.along[0] + side.inward[1] * cut.along[1]) < 0.05:
            assert distance_to_side_m(side, cut.at(sum(longest) / 2)) > 0.9


def test_slices_of_an_l_on_surveyed_ground_add_up_to_the_solid():
    comparison = comparison_of("metric", *ODD["L, surveyed"])
    step = 0.02
    for part in (w.SLAB, w.SUB_BASE, w.REDUCE_DIG):
        whole = comparison.scheme("thickened-raft").works.volume_m3(part)
        slices = sum(cut_area(comparison, "thickened-raft", part, moved_m=(i + 0.5) * step) * step for i in range(-450, 450))
        assert slices == pytest.approx(whole, rel=5e-3)


def test_section_of_a_plan_cut_twice_has_two_floors_and_open_ground_between():
    comparison = comparison_of("metric", *ODD["U, cut twice"])
    result = comparison.scheme("strip-and-block")
    svg = svg_of(section_svg(comparison, result, "metric", "a"))
    assert len(steepest_cut(comparison.site).runs(comparison.site.plan.corners)) == 2
    assert len(paths(svg, "sp-membrane")) == 2 and len(paths(svg, "sp-dpc")) == 4
    # Topsoil lies before, between and behind.
    assert len(paths(svg, "sp-topsoil")) == 3
    assert "goes through the building 2 times" in svg.find(f"{SVG}desc").text


def test_section_notes_a_door_only_where_the_line_meets_it():
    at = "The south door is on this line"
    for place, noted in (("3.3 m", True), ("0.8 m", False)):
        comparison = comparison_of("metric", f"building.doors=[{{side: south, at: {place}}}]")
        words = " ".join(text.words for text in section_sheet(comparison, comparison.schemes[0], "metric", "a").texts)
        assert (at in words) is noted


def test_doors_are_drawn_where_they_are():
    comparison = comparison_of("metric", "building.doors=[{side: south, at: 1.5 m}, {side: east, at: 1 m}]", "building.door_width=0.9 m")
    svg = svg_of(plan_svg(comparison, comparison.scheme("strip-and-block"), "metric", "a"))
    floor = numbers(paths(svg, "sp-plan-floor")[0])
    west, east, south = min(floor[0::2]), max(floor[0::2]), max(floor[1::2])
    scale = (east - west) / 6.6
    first, second = (numbers(data) for data in paths(svg, "sp-plan-door"))
    assert (min(first[0::2]), max(first[0::2])) == pytest.approx((west + 1.05 * scale, west + 1.95 * scale), abs=0.2)
    assert max(first[1::2]) == pytest.approx(south, abs=0.1)
    # The left end of the east side, seen from outside, is its south end.
    assert (min(second[1::2]), max(second[1::2])) == pytest.approx((south - 1.45 * scale, south - 0.55 * scale), abs=0.2)


def test_boundary_is_drawn_at_its_distance_and_stops_at_the_building():
    comparison = comparison_of("metric", *ODD["L, boundaries and doors"])
    svg = svg_of(plan_svg(comparison, comparison.scheme("strip-and-block"), "metric", "a"))
    floor = numbers(paths(svg, "sp-plan-floor")[0])
    west, north, scale = min(floor[0::2]), min(floor[1::2]), (max(floor[0::2]) - min(floor[0::2])) / 7
    lines = [numbers(data) for data in paths(svg, "sp-plan-boundary")][:2]
    lines.sort(key=lambda line: line[0] != line[2])
    assert [lines[0][0], lines[0][2]] == pytest.approx([west - 1.4 * scale] * 2, abs=0.2)
    # 1.2 m north of the shoulder at 3.6 m, and no further west than the wall at 4 m.
    assert lines[1][1] == pytest.approx(north + (5.6 - 3.6 - 1.2) * scale, abs=0.2)
    assert min(lines[1][0::2]) == pytest.approx(west + 4 * scale, abs=0.2)


def test_figures_beside_an_l_are_its_sides():
    words = [text.words for text in plan_sheet(comparison_of("metric", *ODD["L"]), comparison_of("metric", *ODD["L"]).schemes[0], "metric", "a").texts]
    for expected in ("7.00 m", "4.00 m", "3.00 m", "5.60 m", "3.60 m", "2.00 m"):
        assert expected in words


# Ground


def test_contour_of_a_plane_lies_where_it_was_worked_out_by_hand():
    # Falling 1 in 10 to the east from 0 at x = 0: 0.25 m down at x = 2.5, from south to north or back.
    square = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    (stretch,) = contour(Flat(Plane(-0.1, 0.0, 0.0)), -0.25, square)
    assert sorted(stretch) == [pytest.approx((2.5, 0.0)), pytest.approx((2.5, 4.0))]
    assert contour(Flat(Plane(-0.1, 0.0, 0.0)), 0.1, square) == [] == contour(Flat.at(0.0), 0.0, square)


def test_contour_of_a_pyramid_closes_round_it():
    # A square base of 4 m at 0, its top at 2 m in the middle: half way up lies a square of half the side.
    levels = ((0, 0, 0.0), (4, 0, 0.0), (4, 4, 0.0), (0, 4, 0.0), (2, 2, 2.0))
    ground = triangulated(levels, ((0, 1, 4), (1, 2, 4), (2, 3, 4), (3, 0, 4)))
    (line,) = chained(contour(ground, 1.0, ((0, 0), (4, 0), (4, 4), (0, 4))))
    assert line[0] == pytest.approx(line[-1])
    # Higher ground on the left: round the top anticlockwise.
    assert polygon_area_m2(tuple(line[:-1])) == pytest.approx(4.0)


@pytest.mark.parametrize("case", ["L", "L, surveyed", "T, surveyed", "a saddle"])
def test_contours_lie_on_the_ground_at_their_level(case):
    site = comparison_of("metric", *ODD[case]).site
    page = page_of(site, comparison_of("metric", *ODD[case]).schemes[0].works, "metric")
    for level in (-0.05, -0.2):
        for start, end in contour(site.ground, level, page.corners):
            x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
            d = 1e-3
            patches = site.ground.over(((x - d, y - d), (x + d, y - d), (x + d, y + d), (x - d, y + d)))
            assert min(abs(plane.z((x, y)) - level) for _, plane in patches) < 1e-9


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("case", ODD)
def test_contours_are_few_enough_to_read(case, units):
    comparison = comparison_of(units, *ODD[case])
    page = page_of(comparison.site, comparison.schemes[0].works, units)
    interval = contour_interval_m(comparison.site, page, units)
    if not interval:
        assert case.endswith("level") and comparison.site.gradient < 0.001
        return
    steepest = max(math.hypot(plane.east, plane.north) for _, plane in comparison.site.ground.over(page.corners))
    assert interval / steepest * page.scale >= 15.0


def test_contours_outside_the_survey_are_broken():
    comparison = comparison_of("metric", *ODD["L, surveyed"])
    svg = svg_of(plan_svg(comparison, comparison.schemes[0], "metric", "a"))
    assert paths(svg, "sp-plan-guess")
    assert not paths(svg_of(plan_svg(comparison_of(), comparison_of().schemes[0], "metric", "a")), "sp-plan-guess")


def test_surveyed_points_stand_at_their_places_with_their_levels():
    comparison = comparison_of("metric", *ODD["L, surveyed"])
    sheet = cut_fill_sheet(comparison, comparison.schemes[0], "metric", "a")
    page = page_of(comparison.site, comparison.schemes[0].works, "metric")
    dots = {shape["dot"] for shape in sheet.shapes if "dot" in shape}
    words = [text.words for text in sheet.texts]
    levels = comparison.scenario.plot.levels_m
    highest = max(plane.z(p) for part in comparison.site.plan.region(0.0) for polygon, plane in comparison.site.ground.over(part) for p in polygon)
    assert len(levels) == 30 and highest == pytest.approx(0.0, abs=1e-9)
    # All levels are moved by one amount: the highest ground under the building is level 0.
    shift = comparison.site.ground.by_m
    shown = 0
    for x, y, z in levels:
        if page.west < x < page.east and page.south < y < page.north:
            at = page.at((x, y))
            assert any(math.dist(at, (float(a), float(b))) < 0.2 for a, b in dots)
            shown += f"{z + shift:+.3f}".replace("-", "\u2212") in words
    assert shown > 15


# Dig and fill


def test_dig_and_fill_are_where_the_ground_is_above_and_below_formation():
    """A raft on ground falling 1 in 14 to the south: dug uphill, filled downhill, meeting where formation meets the stripped ground."""
    comparison = comparison_of()
    works = comparison.scheme("thickened-raft").works
    formation = works.floor_level_m - 0.125 - 0.05 - comparison.site.rules.least_sub_base_m.value
    # Stripped ground at y is (y - 4.2) / 14 - 0.15.
    meets = 4.2 + 14 * (formation + 0.15)
    inside = [p for piece in filled_pieces(comparison.site, works) for p in piece.polygon]
    assert 0.625 < meets < 4.2 - 0.625
    assert max(y for _, y in inside) == pytest.approx(meets, abs=1e-6)


def test_deepest_figures_are_those_of_the_works():
    comparison = comparison_of()
    result = comparison.scheme("strip-and-block")
    words = [text.words for text in cut_fill_sheet(comparison, result, "metric", "a").texts]
    trench = max(piece.top.minus(piece.bottom).z(p) for piece in pieces_of(result.works, w.TRENCH_DIG) for p in piece.polygon)
    assert f"trench {round(trench * 1000)} mm" in words
    assert f"fill {round(result.works.fill_depth_m * 1000)} mm" in words
    said = svg_of(cut_fill_svg(comparison, result, "metric", "a")).find(f"{SVG}desc").text
    assert f"The trench is {round(trench * 1000)} mm deep at its deepest" in said


@pytest.mark.parametrize("case", ODD)
def test_fill_under_the_floor_is_as_deep_as_the_rule_counts_it(case):
    comparison = comparison_of("metric", *ODD[case])
    for result in comparison.schemes:
        filled = bed_on_stripped(comparison.site, result.works)
        deepest = max((piece.top.minus(piece.bottom).z(p) for piece in filled for p in piece.polygon), default=None)
        if deepest is not None and deepest > 0.001:
            # The rule counts up to the underside of the floor: the stone and 50 mm of sand on it.
            assert deepest + 0.05 == pytest.approx(result.works.fill_depth_m, abs=2e-4)


def test_dig_and_fill_are_told_apart_by_their_patterns():
    comparison = comparison_of()
    markup = cut_fill_svg(comparison, comparison.scheme("thickened-raft"), "metric", "a")
    patterns = dict(re.findall(r'<pattern id="a-(\w+)"[^>]*>\s*(.*?)\s*</pattern>', markup, re.DOTALL))
    assert set(patterns) == {"dig", "fill"}
    assert re.sub("class=\"[^\"]*\"", "", patterns["dig"]) != re.sub("class=\"[^\"]*\"", "", patterns["fill"])


# Cost against level


def a_search(levels_and_costs, best, broken=()):
    points = tuple(
        LevelPoint(level, cost, {"Dig": 0.4 * cost, "Drains": 10.0, "Concrete": 0.6 * cost - 10.0}, {"Fill under the slab": 1.2} if level in broken else {})
        for level, cost in levels_and_costs)
    chosen = next(point for point in points if point.level_m == best)
    near = [point.level_m for point in points if point.allowed and point.cost <= 1.02 * chosen.cost]
    return LevelSearch(points, chosen, None, None, (min(near), max(near)))


UNEVEN = [(-0.11, 1000.0), (-0.105, 1010.0), (-0.1, 1019.0), (-0.075, 1030.0), (0.0, 1100.0), (0.05, 1000.0 * 1.2)]


def with_levels(search):
    return dataclasses.replace(comparison_of().scheme("strip-and-block"), levels=search)


def test_curve_table_adds_up_and_marks_what_is_chosen():
    rows = level_curve_table(with_levels(a_search(UNEVEN, -0.11, broken=(0.05,))))
    assert [row.level_m for row in rows] == sorted(level for level, _ in UNEVEN)
    assert [row.chosen for row in rows] == [True] + [False] * 5
    assert [row.as_good for row in rows] == [True, True, True, False, False, False]
    assert rows[-1].broken == ("Fill under the slab",)
    for row in rows:
        assert set(row.costs) == {*PARTS, TOTAL}
        assert sum(row.costs[name] for name in PARTS) == pytest.approx(row.costs[TOTAL])
        assert sum(row.more[name] for name in PARTS) == pytest.approx(row.more[TOTAL])
    # 0.4 of 1100 and 10 for drains, less the same of 1000.
    assert rows[4].more["dig and drains"] == pytest.approx(40.0)


@pytest.mark.parametrize("slug", SCENARIOS)
def test_curves_of_worked_scenarios_add_up_to_what_was_searched(slug):
    for result in worked(slug, "metric").schemes:
        rows = level_curve_table(result)
        if rows:
            assert min(row.more[TOTAL] for row in rows if not row.broken) == 0.0
            assert [parts_of(point)[TOTAL] for point in result.levels.points] == [row.costs[TOTAL] for row in rows]
            assert all(sum(row.costs[name] for name in PARTS) == pytest.approx(row.costs[TOTAL]) for row in rows)


def test_curve_is_at_true_distances_however_uneven_the_levels():
    comparison, result = comparison_of(), with_levels(a_search(UNEVEN, -0.11))
    svg = svg_of(level_curve_svg(comparison, result, "metric", "a"))
    line = numbers(paths(svg, "sp-curve-total")[0])
    xs, ys = line[0::2], line[1::2]
    for (level, cost), x, y in zip(UNEVEN, xs, ys):
        assert (x - xs[0]) / (xs[-1] - xs[0]) == pytest.approx((level + 0.11) / 0.16, abs=1e-3)
        assert (y - ys[0]) / (ys[-1] - ys[0]) == pytest.approx((cost - 1000.0) / 200.0, abs=2e-3)


def test_curve_says_its_finding_and_its_numbers_in_words():
    comparison, result = comparison_of(), with_levels(a_search(UNEVEN, -0.11, broken=(0.05,)))
    markup = level_curve_svg(comparison, result, "metric", "a")
    svg = svg_of(markup)
    finding = "Least at 110 mm below the highest ground; within 2 % from 110 mm below it to 100 mm below it."
    assert svg.find(f"{SVG}title").text == finding == ElementTree.fromstring(markup).find("figcaption").text
    said = svg.find(f"{SVG}desc").text
    for part in ("6 levels from 110 mm below the highest ground to 50 mm above it", "There it is £1,000", "dig and drains £410", "altogether +£200",
                 "Not allowed, at 50 mm above the highest ground: fill under the slab", "invented"):
        assert part in said
    assert "metres" in " ".join(text.words for text in level_curve_sheet(comparison, result, "metric", "a").texts)
    assert "feet and inches" in " ".join(text.words for text in level_curve_sheet(comparison, result, "imperial", "a").texts)


def test_levels_that_break_a_rule_are_hatched():
    comparison = comparison_of()
    # The strip below the lowest level is always hatched, and its swatch in the key.
    for broken, more in (((), 0), ((0.0, 0.05), 2)):
        svg = svg_of(level_curve_svg(comparison, with_levels(a_search(UNEVEN, -0.11, broken=broken)), "metric", "a"))
        assert len(paths(svg, "sp-curve-no")) == 2 + more
    hatched = [numbers(data) for data in paths(svg, "sp-curve-no")]
    line = numbers(paths(svg, "sp-curve-total")[0])
    assert any((min(band[0::2]), max(band[0::2])) == pytest.approx((line[8], line[10]), abs=0.2) for band in hatched)


def test_humps_inside_the_band_are_owned_up_to():
    humped = [(0.0, 1000.0), (0.05, 1100.0), (0.1, 1010.0), (0.15, 1200.0)]
    markup = level_curve_svg(comparison_of(), with_levels(a_search(humped, 0.0)), "metric", "a")
    assert "(not all the way)" in ElementTree.fromstring(markup).find("figcaption").text


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(("search", "said"), [
    (None, "fixed the floor level"),
    (a_search([(0.05, 1000.0)], 0.05), "Too few"),
    (a_search([(0.05, 1000.0), (0.055, 1001.0)], 0.05), "Too few"),
    (LevelSearch((LevelPoint(0.05, 9.0, {}, {"Slope of the ground": 2.0}),), LevelPoint(0.05, 9.0, {}, {"Slope of the ground": 2.0}), None, None, (0.05, 0.05)),
     "No floor level keeps every rule"),
])
def test_without_a_curve_there_is_a_sentence(search, said, units):
    result = with_levels(search)
    markup = level_curve_svg(comparison_of(), result, units, "a")
    assert said in ElementTree.fromstring(markup).text and "<svg" not in markup
    assert level_curve_table(result) == ()


def test_every_part_of_the_curve_is_told_by_more_than_colour():
    css = style("drawings.css")
    dashes = []
    for number in range(1, len(PARTS) + 1):
        rule = re.search(rf"\.sp-curve-{number} \{{(.*?)\}}", css, re.DOTALL)[1]
        dash = re.search(r"stroke-dasharray: ([^;]+);", rule)
        dashes.append(dash[1] if dash else "none")
    assert len(set(dashes)) == len(PARTS)
