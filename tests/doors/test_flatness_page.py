"""The section of a page on how flat a floor came out: its map, its tables, its words."""

import json
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from pathlib import Path

import pytest

from calculators import flatness
from calculators.compare import compare
from calculators.floor_result import FloorPrices, floor_result
from calculators.pricing import Spread
from calculators.scenario import COMPOUNDS, FLOOR_FINISHES, FloorSurvey
from generator.display import fine_mark
from generator.drawings.deviation_map import deviation_map_sheet, deviation_map_svg
from generator.flatness_page import CAUTIONS, finding_sentences, floor_data, floor_of, floor_view, map_finding
from generator.scenario import read_scenario_file
from generator.templating import fill

PROJECT = Path(__file__).resolve().parents[2]
PRICES = FloorPrices(Spread(0.8, 1.0, 1.5), Spread(60.0, 80.0, 120.0), 10.0, "yours")


@pytest.fixture(scope="module")
def comparison():
    return compare(read_scenario_file(PROJECT / "docs/scenarios/garden-store-on-the-flat.md").scenario)


@pytest.fixture(scope="module")
def view(comparison):
    return floor_view(comparison)


@pytest.fixture(scope="module")
def html(view):
    return str(fill("parts/flatness", floor=view, to_root="../../"))


def with_floor(comparison, **given):
    scenario = comparison.scenario
    return replace(comparison, scenario=replace(scenario, floor=replace(scenario.floor, **given)))


def words_of(html, units):
    """The text of a part of a page, in one unit system."""
    other = "imperial" if units == "metric" else "metric"
    text = re.sub(rf'<div class="q-{other}">.*?</div>', "", html, flags=re.DOTALL)
    text = re.sub(rf'<span class="q-{other}">.*?</span>', "", text)
    return " ".join(re.sub(r"<[^>]+>", " ", text).replace("\u00a0", " ").split())


def test_nothing_is_shown_before_the_floor_has_been_levelled(comparison):
    before = with_floor(comparison, levels_m=())
    assert floor_view(before) is None
    assert fill("parts/flatness", floor=None, to_root="").strip() == ""


def test_the_section_has_its_place_and_its_heading(html):
    assert re.findall(r'<h[23] id="([^"]+)"', html) == ["floor", "floor-ways", "floor-finishes"]
    assert ">How flat it came out</h2>" in html
    ids = re.findall(r'\bid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert "style=" not in html and "<script" not in html


def test_the_section_is_well_formed(html):
    ElementTree.fromstring(f"<div>{html.replace('&nbsp;', ' ')}</div>")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_first_sentences_say_gap_class_need_and_the_cheapest_way(comparison, html, units):
    found = floor_of(comparison)
    words = words_of(html, units)
    gap = f"{found.gap.gap_m * 1000:.1f} mm" if units == "metric" else f"{found.gap.gap_m / 0.0254:.2f} in"
    assert f"the greatest gap is {gap}" in words and f"class {found.surface_class}" in words
    assert f"Cheapest that is enough: {found.cheapest}" in words and "Painted or resin" in words


def test_one_unit_system_does_not_leak_into_the_other(html):
    assert not re.search(r"\d (mm|m|l|m²|MPa)\b", words_of(html, "imperial"))
    assert not re.search(r"\d (in(?! \d)|ft|psi|ft²|US gal)\b", words_of(html, "metric"))


def test_prices_are_called_invented(html):
    assert "invented likely prices" in words_of(html, "metric")


def test_cautions_stand_where_the_work_is(html):
    ways, finishes = html.index('id="floor-ways"'), html.index('id="floor-finishes"')
    for title, sentences in CAUTIONS:
        assert ways < html.index(title) < finishes
    words = words_of(html, "metric")
    assert "silica" in words and "mask" in words and "Grind wet" in words and "Wet cement burns" in words


def test_all_five_ways_and_all_finishes_are_rows(view):
    assert [row[0].metric.lower() for row in view.costs.rows] == ["leave", "grind", "patch", "grind and patch", "compound over all"]
    assert [row[0].metric for row in view.work.rows] == [row[0].metric for row in view.costs.rows]
    assert [row[0].metric.lower() for row in view.finishes.rows] == [flatness.FINISHES[name].words for name in FLOOR_FINISHES]
    for table in (view.costs, view.work, view.finishes, view.levels):
        assert all(len(row) == len(table.columns) == len(table.numbers) + 1 for row in table.rows)


def test_what_nobody_has_measured_is_called_so(comparison, view):
    strength = view.finishes.columns.index(next(column for column in view.finishes.columns if column.metric == "Strength"))
    assert all(row[strength].metric.startswith("not measured") for row in view.finishes.rows)
    measured = floor_view(with_floor(comparison, strength_mpa=32.0, humidity=0.7))
    assert all(row[strength].metric.startswith("32 MPa, enough") for row in measured.finishes.rows)
    assert "70 %, enough; at most 75 %" in {row[2].metric for row in measured.finishes.rows}


def test_no_way_that_does_is_said_plainly(comparison):
    without_grinding = replace(floor_of(with_floor(comparison, compound="thin")), cheapest=None)
    assert "None of the five ways does" in finding_sentences(without_grinding, "GBP")[-1].metric


def test_a_floor_that_will_do_is_left_alone(comparison):
    words = words_of(str(fill("parts/flatness", floor=floor_view(with_floor(comparison, finish="bare")), to_root="")), "metric")
    assert "so it is flat enough" in words and "Leaving it as it is costs nothing and is enough" in words and "nothing to do" in words


def test_a_compound_that_does_not_suit_says_why(comparison):
    def words(**given):
        return " ".join(note.metric for note in floor_view(with_floor(comparison, **given)).notes)

    assert "not a face to walk on" in words(compound="thin")
    assert "would run out to nothing" in words(compound="thick")
    tiles = words(compound="thin", finish="tiles")
    assert "not a face" not in tiles and "run out to nothing" not in tiles
    deep = tuple((x, y, 5.0 * z) for x, y, z in comparison.scenario.floor.levels_m)
    assert "one coat is 10 mm at most" in words(compound="thin", finish="tiles", levels_m=deep)


# The map.


def flat_floor(levels, **given):
    return floor_result(FloorSurvey(tuple(levels), **given), "storage", PRICES)


def drawn(found, units="metric"):
    return deviation_map_svg(found, map_finding(found), units, "map")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_map_marks_every_level_and_names_those_that_have_room(comparison, units):
    found = floor_of(comparison)
    sheet = deviation_map_sheet(found, map_finding(found), units, "map")
    # One more dot in the key.
    assert sum("dot" in shape for shape in sheet.shapes) == len(found.floor.levels_m) + 1
    figures = [text.words for text in sheet.texts if text.css in ("sp-figure", "sp-label")]
    for deviation in found.deviations_m:
        assert fine_mark(deviation).of(units) in figures
    assert {"dig", "fill"} <= set(sheet.hatches)
    assert sheet.title == map_finding(found).of(units) and "20 levels" in sheet.description


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_words_of_the_map_lie_on_each_other_or_outside(comparison, units):
    found = floor_of(comparison)
    sheet = deviation_map_sheet(found, map_finding(found), units, "map")
    for i, text in enumerate(sheet.texts):
        left, top, right, bottom = text.box
        assert left >= -1.0 and right <= sheet.width + 1.0 and bottom <= sheet.height + 1.0
        for other in sheet.texts[i + 1:]:
            a, b = text.box, other.box
            assert min(a[2], b[2]) - max(a[0], b[0]) <= 1.0 or min(a[3], b[3]) - max(a[1], b[1]) <= 1.0, (text.words, other.words)


def test_the_map_is_well_formed_and_says_what_it_shows(comparison):
    svg = drawn(floor_of(comparison))
    root = ElementTree.fromstring(svg)
    assert root.tag == "figure"
    title = next(element for element in root.iter() if element.tag.endswith("title"))
    assert "mm over and" in title.text and "the plane that fits the levels best" in title.text
    assert "nan" not in svg.lower() and "inf" not in re.sub(r"inform", "", svg.lower())


def test_high_and_low_places_are_told_apart_by_pattern(comparison):
    svg = drawn(floor_of(comparison))
    assert "url(#map-dig)" in svg and "url(#map-fill)" in svg
    assert "more than 2.5 mm over the plane" in svg and "more than 2.5 mm under it" in svg


def test_the_map_of_a_perfect_floor_has_nothing_to_hatch():
    svg = drawn(flat_floor((float(x), float(y), 0.0) for x in range(4) for y in range(3)))
    assert "url(#map-" not in svg and "±0" in svg


def test_the_map_of_many_levels_says_how_many_have_room():
    levels = [(0.25 * i, 0.25 * j, 0.001 * ((7 * i + 3 * j) % 5)) for i in range(20) for j in range(20)]
    svg = drawn(flat_floor(levels))
    told = re.search(r"(\d+) of 400 have room", re.sub(r"</text>\s*<text[^>]*>", " ", svg))
    assert told and 20 < int(told[1]) < 400


def test_the_map_of_a_long_narrow_floor_stays_on_its_sheet():
    for levels in ([(0.5 * i, 0.3 * j, 0.001 * (i % 3)) for i in range(30) for j in range(2)], [(0.3 * i, 0.5 * j, 0.001 * (j % 3)) for i in range(2) for j in range(30)]):
        found = flat_floor(levels)
        sheet = deviation_map_sheet(found, map_finding(found), "metric", "map")
        assert all(0.0 <= value <= 700.0 for text in sheet.texts for value in text.box)


def test_the_same_floor_gives_the_same_bytes(comparison):
    assert drawn(floor_of(comparison)) == drawn(floor_of(comparison))
    with pytest.raises(ValueError):
        deviation_map_svg(floor_of(comparison), map_finding(floor_of(comparison)), "metric", "1 map")


def test_data_is_plain_and_finite(comparison):
    for compound in COMPOUNDS:
        text = json.dumps(floor_data(floor_of(with_floor(comparison, compound=compound))), allow_nan=False)
        assert "Infinity" not in text
