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
from calculators.compare import compare
from calculators.plan import polygon_area_m2
from generator.drawings import drawing_key_svg, plan_svg, section_frame, section_svg
from generator.drawings.geometry import Cut, outline, steepest_cut
from generator.drawings.key import HATCHES, LINES
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


@cache
def comparison_of(units="metric", *overrides):
    return compare(read_scenario_text(PLOT, "plot.md", "plot", [*overrides, f"units={units}"]).scenario)


@cache
def worked(slug, units):
    return compare(read_scenario_file(ROOT / f"docs/scenarios/{slug}.md", [f"units={units}"]).scenario)


def svg_of(markup):
    return ElementTree.fromstring(markup).find(f"{SVG}svg")


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


@pytest.mark.parametrize("name", ["geometry", "key", "plan", "scale", "section", "sheet"])
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
    for draw in (section_svg, plan_svg):
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
    # Named for whoever reads the markup; what they look like comes from the class beside them or from all words.
    plain = {"sp-figure", "sp-label"}
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
    assert used == {material for material, _ in HATCHES}
