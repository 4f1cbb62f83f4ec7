"""How surely, in charts: figures at their true places, findings that follow from them, maps readable without colour or sight.

Places on the sheet and borders of maps are worked out by hand beside each
test, on maps made by hand; laws (a chance and its opposite add up) need no source.
"""

import dataclasses
import doctest
import importlib
import re
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calculators import maps
from calculators.draws import ThreePoint
from calculators.maps import Cell, map_of
from calculators.ranges import Range, Sampler, Uncertain
from calculators.turning import Driver, difference
from generator.comparing import compared
from generator.drawings import area_map
from generator.drawings.area_map import (
    LINES, area_map_sheet, area_map_svg, area_map_table, frontier_sentences, hatch_path, map_finding, short_names,
)
from generator.drawings.drivers_chart import MOST_BARS, drivers_chart_sheet, drivers_chart_svg, drivers_chart_table, drivers_finding, likely_difference
from generator.drawings.money_axis import MoneyAxis
from generator.drawings.ranges_chart import ranges_chart_sheet, ranges_chart_svg, ranges_chart_table, ranges_finding
from generator.drawings.sheet import text_width
from generator.odds import odds_words

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = sorted(path.stem for path in (ROOT / "docs/scenarios").glob("*.md") if path.stem != "index")
SVG = "{http://www.w3.org/2000/svg}"
MINUS = "\u2212"

PLOT = "print-studio-below-the-orchard"
ONE_BUILT = "pottery-on-shrinking-clay"
NONE_BUILT = "studio-on-the-steep-slope"


@cache
def worked(slug):
    return compared(ROOT / f"docs/scenarios/{slug}.md", draws=250)[1]


def svg_of(markup):
    return ElementTree.fromstring(markup).find(f".//{SVG}svg")


def numbers(data):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", data)]


def paths(svg, css):
    return [p.get("d") for p in svg.iter(f"{SVG}path") if css in (p.get("class") or "").split()]


def words_at(sheet, css="sp-figure"):
    return {text.words: text for text in sheet.texts if css in text.css.split()}


def with_certainty(comparison, **changes):
    return dataclasses.replace(comparison, certainty=dataclasses.replace(comparison.certainty, **changes))


def with_ranges(comparison, **changes):
    return with_certainty(comparison, ranges=dataclasses.replace(comparison.certainty.ranges, **changes))


NAMES = {"a": "Alpha slab", "b": "Beta, on footings", "c": "Gamma raft"}
SLOPES, AREAS = (0.0, 1 / 20, 1 / 10, 1 / 5), (10.0, 20.0, 40.0)


def a_map(*rows, you=None, slopes=SLOPES, areas=AREAS):
    """A map from words, one for each slope from level ground up: "a 0.2" is a in front by 0.2, "a" nothing else can be built, "-" nothing can."""
    cells = []
    for slope, row in zip(slopes, rows):
        for m2, words in zip(areas, row):
            first, _, lead = words.partition(" ")
            cells.append(Cell(slope, m2, None if first == "-" else first, float(lead) if lead else None))
    return map_of(cells, slopes, areas, you)


MIXED = a_map(
    ("a 0.2", "a 0.16", "a 0.15"),
    ("a 0.04", "a 0.1", "b 0.05"),
    ("b 0.2", "b 0.049", "b"),
    ("b", "-", "-"),
    you=(1 / 20, 15.0),
)


@pytest.mark.parametrize("name", ["odds", "drawings.ranges_chart", "drawings.drivers_chart", "drawings.area_map", "drawings.money_axis"])
def test_examples_in_docstrings(name):
    assert doctest.testmod(importlib.import_module(f"generator.{name}")).failed == 0


# Odds


@pytest.mark.parametrize(("share", "words"), [
    (0.0, "not once"), (0.004, "less than 1 time in 100"), (0.005, "1 time in 100"), (0.0504, "5 times in 100"), (0.0999, "10 times in 100"), (0.1, "1 time in 10"),
    (0.14, "about 1 time in 10"), (0.5, "5 times in 10"), (0.68, "about 7 times in 10"), (0.8, "8 times in 10"), (0.9, "9 times in 10"), (0.9496, "95 times in 100"),
    (0.995, "99 times in 100"), (0.9951, "more than 99 times in 100"), (1.0, "every time"),
])
def test_odds_in_words(share, words):
    assert odds_words(share) == words


def test_a_chance_and_its_opposite_add_up():
    for thousandths in range(5, 500):
        share = thousandths / 1000
        less, more = (re.fullmatch(r"(?:about )?(\d+) times? in (\d+)", odds_words(each)) for each in (share, 1 - share))
        assert less[2] == more[2]
        assert int(less[1]) + int(more[1]) == int(less[2]), share


@pytest.mark.parametrize("share", [-0.01, 1.01, float("nan")])
def test_what_is_no_chance_is_refused(share):
    with pytest.raises(ValueError, match="0 to 1"):
        odds_words(share)


# An axis of money


@pytest.mark.parametrize("amounts", [[1888.0, 2632.0], [-542.0, 0.0, 679.0], [0.2, 0.4], [16_000_000.0, 17_900_000.0], [-3.0, 5000.0]])
def test_figures_of_an_axis_are_round_inside_it_and_apart(amounts):
    axis = MoneyAxis.over(amounts, 80.0, 560.0)
    marks = axis.marks("GBP")
    assert all(axis.left - 0.1 <= axis.x(at) <= axis.right + 0.1 for at in marks)
    assert all(float(f"{at:.2g}") == pytest.approx(at) or at % 1000 == 0 or at % 50 == 0 for at in marks)
    assert all(axis.x(b) - axis.x(a) > text_width(f"{b:,.0f}") for a, b in zip(marks, marks[1:]))
    assert len(marks) >= (1 if max(amounts) - min(amounts) < 1.0 else 2)


# Ranges


def test_bars_run_from_low_to_high_on_one_scale():
    comparison = worked(PLOT)
    rows = ranges_chart_table(comparison)
    bars = [numbers(data) for data in paths(svg_of(ranges_chart_svg(comparison, "metric", "a")), "sp-range-bar")]
    marks = [numbers(data) for data in paths(svg_of(ranges_chart_svg(comparison, "metric", "a")), "sp-range-middle")]
    assert len(bars) == len(marks) == len(rows) == 4
    schemes = rows[:3]
    (x0, m0), (x1, m1) = (min((bar[0], row.cash.p10) for bar, row in zip(bars, schemes)), max((bar[2], row.cash.p90) for bar, row in zip(bars, schemes)))
    for bar, mark, row in zip(bars, marks, schemes):
        for x, amount in ((bar[0], row.cash.p10), (mark[0], row.cash.p50), (bar[2], row.cash.p90)):
            assert (x - x0) / (x1 - x0) == pytest.approx((amount - m0) / (m1 - m0), abs=1e-3)


def test_schemes_stand_cheapest_first_and_the_difference_last():
    comparison = worked(PLOT)
    rows, ranges = ranges_chart_table(comparison), comparison.certainty.ranges
    assert [row.label for row in rows[:3]] == [comparison.scheme(scheme).title for scheme in comparison.decision.order]
    assert [row.is_difference for row in rows] == [False, False, False, True]
    assert (rows[-1].cash, rows[-1].wins) == (ranges.second_dearer, ranges.first_stays_cheaper)
    assert rows[-1].label == "How much more the strip footing, block and slab costs than the insulated floor slab"


def test_nought_is_on_the_axis_of_the_difference():
    comparison = worked(PLOT)
    assert comparison.certainty.ranges.second_dearer.p10 > 0.0
    sheet = ranges_chart_sheet(comparison, "metric", "a")
    svg = svg_of(ranges_chart_svg(comparison, "metric", "a"))
    (line,) = [numbers(data) for data in paths(svg, "sp-curve-nought")]
    bar = numbers(paths(svg, "sp-range-between")[0])
    assert line[0] < bar[0] and words_at(sheet)["£0"].x == pytest.approx(line[0], abs=0.1)
    # Nought, low and high in proportion.
    difference_row = ranges_chart_table(comparison)[-1].cash
    assert (bar[0] - line[0]) / (bar[2] - line[0]) == pytest.approx(difference_row.p10 / difference_row.p90, abs=2e-3)


def test_finding_of_the_ranges():
    comparison = with_ranges(worked(PLOT), second_dearer=Range(140.0, 390.4, 660.0), first_stays_cheaper=0.988)
    assert ranges_finding(comparison) == "The insulated floor slab is cheaper than the strip footing, block and slab 99 times in 100; as often by more than £390 as by less."
    markup = ranges_chart_svg(comparison, "metric", "a")
    assert ElementTree.fromstring(markup).find("figcaption").text == svg_of(markup).find(f"{SVG}title").text == ranges_finding(comparison)


def test_finding_where_the_other_is_cheaper_in_most_draws():
    comparison = with_ranges(worked(PLOT), second_dearer=Range(-400.0, -50.0, 90.0), first_stays_cheaper=0.32)
    assert ranges_finding(comparison) == (
        "The strip footing, block and slab is cheaper than the insulated floor slab about 7 times in 10, though not at likely prices; as often by more than £50 as by less.")


def test_one_scheme_has_its_range_alone():
    comparison = worked(ONE_BUILT)
    (row,) = ranges_chart_table(comparison)
    said = ranges_finding(comparison)
    assert said.startswith("Only the strip footing, block and slab is within limits: 8 times in 10 it costs between £")
    svg = svg_of(ranges_chart_svg(comparison, "metric", "a"))
    assert len(paths(svg, "sp-range-bar")) == 1 and not paths(svg, "sp-range-between")
    assert "cheapest" not in svg.find(f"{SVG}desc").text.lower() and f"£{row.cash.p50:,.0f}" in svg.find(f"{SVG}desc").text


def test_ranges_say_their_numbers_in_words():
    comparison = worked(PLOT)
    svg = svg_of(ranges_chart_svg(comparison, "metric", "a"))
    said = svg.find(f"{SVG}desc").text
    shown = {text.words for text in ranges_chart_sheet(comparison, "metric", "a").texts}
    for row in ranges_chart_table(comparison):
        for amount in dataclasses.astuple(row.cash):
            assert f"£{amount:,.0f}" in said and f"£{amount:,.0f}" in shown
    for part in ("250 draws", "1 time in 10 below", "1 time in 10 above", "never the cheapest"):
        assert part.lower() in said.lower()
    assert "invented" in ranges_chart_svg(comparison, "metric", "a")


def test_without_ranges_there_is_a_sentence():
    for comparison, said in ((worked(NONE_BUILT), "No scheme is within limits"), (dataclasses.replace(worked(PLOT), certainty=None), "not worked out")):
        for markup in (ranges_chart_svg(comparison, "metric", "a"), drivers_chart_svg(comparison, "metric", "a")):
            assert said in ElementTree.fromstring(markup).text and "<svg" not in markup
        assert ranges_chart_table(comparison) == () == drivers_chart_table(comparison)
        with pytest.raises(ValueError):
            ranges_chart_sheet(comparison, "metric", "a")
        with pytest.raises(ValueError):
            drivers_finding(comparison)


# What moves the difference


def a_driver(key, at_low, at_high, kind="rate", unit="GBP/m^2", points=(8.0, 10.0, 12.0), label=None):
    return Driver(Uncertain(key, label or f"{key.capitalize()}, sold by area", kind, unit, ThreePoint(*points), "invented"), points[0], points[2], at_low, at_high)


@pytest.mark.parametrize("slug", SCENARIOS)
def test_likely_difference_is_the_one_that_the_drivers_start_from(slug):
    comparison = worked(slug)
    order = comparison.decision.order
    if len(order) < 2:
        with pytest.raises(ValueError, match="fewer than two"):
            likely_difference(comparison)
        return
    first, second = (Sampler(comparison.site, found.works, found.priced, found.credits) for found in map(comparison.scheme, order[:2]))
    assert likely_difference(comparison) == pytest.approx(difference(first, second, {}), abs=1e-6)


def test_eight_bars_run_both_ways_from_the_likely_difference():
    comparison = worked(PLOT)
    base, drivers = likely_difference(comparison), comparison.certainty.drivers
    assert len(drivers) > MOST_BARS == 8
    svg = svg_of(drivers_chart_svg(comparison, "metric", "a"))
    # The last of each class is the swatch of the key; the longer side is drawn first.
    low, high = ([numbers(data) for data in paths(svg, css)][:-1] for css in ("sp-driver-low", "sp-driver-high"))
    assert len(low) == len(high) == 8
    middle = numbers(paths(svg, "sp-curve-chosen")[0])[0]
    assert {bar[0] for bar in low + high} == {middle}
    turn = numbers(paths(svg, "sp-driver-turn")[0])[0]
    units = (middle - turn) / base
    for bars, name in ((low, "difference_at_low"), (high, "difference_at_high")):
        for bar, driver in zip(bars, drivers):
            assert bar[2] - turn == pytest.approx(getattr(driver, name) * units, abs=0.3)


def test_values_stand_at_their_own_ends():
    base = likely_difference(worked(PLOT))
    comparison = with_certainty(worked(PLOT), drivers=(
        a_driver("paving", base + 90.0, base - 80.0), a_driver("soil", base - 30.0, base + 20.0, "amount", "m", (-0.02, 0.0, 0.05))))
    figures = words_at(drivers_chart_sheet(comparison, "metric", "a"))
    assert figures["£12.00 per m²"].anchor == "end" and figures["£12.00 per m²"].x < figures["£8.00 per m²"].x
    assert figures[f"{MINUS}20 mm"].x < figures["+50 mm"].x
    feet = words_at(drivers_chart_sheet(comparison, "imperial", "a"))
    assert {"+2 in", f"{MINUS}3/4 in"} <= set(feet) and "£12.00 per m²" in feet
    # The table has room for the conversion.
    assert drivers_chart_table(comparison)[0].low.imperial == "£8.00 per m² (£0.74 per ft²)"


def test_both_ends_on_one_side_are_both_seen():
    base = likely_difference(worked(PLOT))
    comparison = with_certainty(worked(PLOT), drivers=(a_driver("paving", base + 40.0, base + 100.0), a_driver("sand", base - 60.0, base + 60.0)))
    svg = svg_of(drivers_chart_svg(comparison, "metric", "a"))
    order = [css for path in svg.iter(f"{SVG}path") for css in (path.get("class") or "").split() if css.startswith("sp-driver-") and css != "sp-driver-turn"]
    assert order[:2] == ["sp-driver-high", "sp-driver-low"]


@pytest.mark.parametrize(("ends", "said"), [
    ([(150.0, -140.0), (100.0, -100.0)], "The price of one moves the difference most; nothing in its usual range turns the order."),
    ([(500.0, -500.0), (100.0, -100.0)], "The price of one moves the difference most, and can turn the order by itself."),
    ([(500.0, -500.0), (450.0, -450.0), (1.0, -1.0)], "The price of one moves the difference most, and can turn the order by itself; so can the price of two."),
    ([(900.0, 20.0), (410.0, -410.0)], "The price of one moves the difference most; the order can be turned by the price of two."),
    ([(500.0, -500.0)] * 4, "The price of one moves the difference most, and can turn the order by itself; so can 3 other things."),
])
def test_finding_of_the_drivers(ends, said):
    comparison = worked(PLOT)
    base = likely_difference(comparison)
    assert 350.0 < base < 450.0
    drivers = tuple(a_driver(name, base + low, base + high) for name, (low, high) in zip(("one", "two", "three", "four"), ends))
    assert drivers_finding(with_certainty(comparison, drivers=drivers)) == said


def test_finding_owns_up_to_what_rounding_leaves():
    comparison = worked(PLOT)
    base = likely_difference(comparison)
    drivers = (a_driver("one", base - 100.0, base + 100.0),)
    near = dataclasses.replace(with_certainty(comparison, drivers=drivers), decision=dataclasses.replace(comparison.decision, margin=60.0))
    assert drivers_finding(near).endswith("before rounding nothing in its usual range turns the order, but as ordered only £60 lies between the two.")
    # The two the other way round: before rounding the second of them is the cheaper.
    order = comparison.decision.order
    other = with_certainty(dataclasses.replace(near, decision=dataclasses.replace(near.decision, order=(order[1], order[0], *order[2:]))), gap_before_rounding=-base, drivers=drivers)
    assert drivers_finding(other).endswith("Before rounding to whole loads, sheets and rolls the order is the other way round.")


def test_the_line_of_nought_is_drawn_only_where_it_is_not_far_off():
    comparison = worked(PLOT)
    base = likely_difference(comparison)
    for swing, lines in ((0.6 * base, 1), (0.05 * base, 0)):
        drawn = with_certainty(comparison, drivers=(a_driver("one", base - swing, base + swing),))
        assert len(paths(svg_of(drivers_chart_svg(drawn, "metric", "a")), "sp-driver-turn")) == lines


def test_drivers_say_their_numbers_in_words():
    comparison = worked(PLOT)
    said = svg_of(drivers_chart_svg(comparison, "metric", "a")).find(f"{SVG}desc").text
    for row in drivers_chart_table(comparison)[:MOST_BARS]:
        assert f"{row.label}: at {row.low.metric} £{row.at_low:,.0f}, at {row.high.metric} £{row.at_high:,.0f}." in said
    assert drivers_finding(comparison) in said
    assert f"as ordered the difference is £{comparison.decision.margin:,.0f}" in drivers_chart_svg(comparison, "metric", "a")


def test_one_scheme_has_no_order_to_turn():
    assert "no order to turn" in ElementTree.fromstring(drivers_chart_svg(worked(ONE_BUILT), "metric", "a")).text


# Maps


def test_rows_of_the_map():
    rows = area_map_table(MIXED)
    assert [row.slope for row in rows] == ["level", "1 in 20", "1 in 10", "1 in 5"]
    assert [[cell.standing for cell in row.cells] for row in rows] == [
        ["clear", "clear", "clear"], ["close", "some", "some"], ["clear", "close", "only"], ["only", "none", "none"]]
    assert [cell.lead for cell in rows[1].cells] == ["4 %", "10 %", "5 %"] and rows[3].cells[1].first is None
    assert [cell.lead for cell in rows[3].cells] == ["", "", ""]


def test_frontiers_in_sentences():
    # Half way between 1 in 20 and 1 in 10 lies 0.075, 1 in 13.3; between 1 in 10 and 1 in 5 lies 0.15, 1 in 6.7.
    said = frontier_sentences(MIXED, NAMES, 22.0)
    assert [words.metric for words in said] == [
        "At about 20 m² the alpha slab is cheapest on ground up to about 1 in 13; from there up to about 1 in 7 it is the beta, on footings; "
        "on steeper ground nothing can be built inside the limits.",
        "At 1 in 10 it is too close to call: the best two are less than 5 % apart.",
    ]
    assert said[0].imperial.startswith("At about 215 ft² the alpha slab")
    # 9 m2 is nearest to 10.
    assert [words.metric for words in frontier_sentences(MIXED, NAMES, 9.0)][1:] == [
        "At 1 in 20 it is too close to call: the best two are less than 5 % apart.", "At 1 in 5 nothing else can be built inside the limits."]


def test_frontiers_where_there_are_none():
    (everywhere,) = frontier_sentences(a_map(*[("c 0.2",) * 3] * 4), NAMES, 20.0)
    assert everywhere.metric == "At about 20 m² the gamma raft is cheapest on every slope of this map, from level to 1 in 5."
    (nowhere,) = frontier_sentences(a_map(*[("-",) * 3] * 4), NAMES, 20.0)
    assert nowhere.metric == "At about 20 m² nothing can be built inside the limits on every slope of this map, from level to 1 in 5."
    first, close = frontier_sentences(a_map(("c 0.01",) * 3, ("c 0.02",) * 3, ("a 0.3",) * 3, ("a 0.04",) * 3), NAMES, 20.0)
    assert close.metric == "From level ground to 1 in 20 and at 1 in 5 it is too close to call: the best two are less than 5 % apart."


def test_finding_of_a_map():
    # Counted by eye: a 5, b 5, nothing 2; under 5 % twice.
    counted = "Of 12 places on the map the alpha slab is cheapest in 5 and the beta, on footings in 5; in 2 nothing can be built inside the limits; 2 are too close to call."
    assert map_finding(dataclasses.replace(MIXED, you=None), NAMES) == counted
    # At 1 in 20 and half way between 10 and 20 m2 the next place begins.
    assert map_finding(MIXED, NAMES, "All hired") == f"All hired: your plot lies where the alpha slab is cheapest. {counted}"
    for you, said in (((1 / 20, 12.0), "too close to call, the alpha slab just ahead"), ((1 / 10, 38.0), "only the beta, on footings can be built"),
                      ((1 / 5, 38.0), "nothing can be built inside the limits. Of")):
        assert said in map_finding(dataclasses.replace(MIXED, you=you), NAMES)
    assert map_finding(dataclasses.replace(MIXED, you=(1 / 2, 20.0)), NAMES) == counted


def centre(sheet, words, index=0):
    found = [text for text in sheet.texts if text.words == words]
    return found[index].x, found[index].y - 5.0


def test_your_plot_is_marked_at_its_own_place():
    sheet = area_map_sheet(dataclasses.replace(MIXED, you=(1 / 25, 25.0)), NAMES, "metric", "a")
    (dot,) = [shape["dot"] for shape in sheet.shapes if "dot" in shape]
    figures = words_at(sheet)
    left, right = figures["20 m²"].x, figures["40 m²"].x
    low, high = figures["level"].y - 5.0, figures["1 in 20"].y - 5.0
    # A quarter of the way from 20 to 40 m2; 0.04 of 0.05 up from level ground.
    assert float(dot[0]) == pytest.approx(left + 0.25 * (right - left), abs=0.1)
    assert float(dot[1]) == pytest.approx(low + 0.8 * (high - low), abs=0.1)
    assert "your plot: 25 m², 1 in 25" in {text.words for text in sheet.texts}


@pytest.mark.parametrize("you", [(0.0, 6.0), (0.3, 40.0), (0.02, 60.0)])
def test_a_plot_off_the_map_is_said_to_be_so(you):
    sheet = area_map_sheet(dataclasses.replace(MIXED, you=you), NAMES, "metric", "a")
    off = you[1] < 5.0 or you[0] > 0.25 or you[1] > 50.0
    assert any("off this map" in text.words for text in sheet.texts) == off
    assert any("dot" in shape for shape in sheet.shapes) == (not off)


def test_a_typical_map_has_no_plot():
    markup = area_map_svg(dataclasses.replace(MIXED, you=None), NAMES, "metric", "a")
    assert "your plot" not in markup.lower() and "sp-map-you" not in markup


def test_heavy_lines_lie_between_different_schemes():
    # Between a and b, or either and nothing; by eye: 2 sides beside one another, 5 above one another.
    svg = svg_of(area_map_svg(MIXED, NAMES, "metric", "a"))
    heavy = max((numbers(data) for data in paths(svg, "sp-map-frontier")), key=len)
    grid = [numbers(data) for data in paths(svg, "sp-map-grid")]
    # Each line has four numbers; 4 x 2 + 3 x 3 sides between twelve places.
    assert len(heavy) == 4 * 7
    assert sum(map(len, grid)) == 4 * (17 - 7)
    assert len(paths(svg_of(area_map_svg(a_map(*[("c 0.2",) * 3] * 4), NAMES, "metric", "a")), "sp-map-frontier")) == 0


def test_each_scheme_has_a_hatch_of_its_own():
    box = (0.0, 0.0, 60.0, 60.0)
    drawn = set()
    for kind in range(len(LINES)):
        lines = [tuple(numbers(line)) for line in hatch_path([box], kind, 6.0).split("M")[1:]]
        assert len(lines) >= 8
        assert all(-0.1 <= value <= 60.1 for line in lines for value in line)
        drawn.add(frozenset((round(x1 - x0, 1) == 0, round(y1 - y0, 1) == 0, (x1 - x0) * (y1 - y0) > 0.0) for x0, y0, x1, y1 in lines))
    assert len(drawn) == len(LINES)


def test_a_clear_lead_is_drawn_more_densely_than_a_small_one_and_a_close_one_dotted():
    sizes = {}
    for lead in (0.3, 0.1, 0.01):
        svg = svg_of(area_map_svg(a_map(("a " + str(lead),), slopes=(0.0,), areas=(10.0,)), NAMES, "metric", "a"))
        # The first is the place itself, the rest are swatches.
        sizes[lead] = (len(paths(svg, "sp-map-line-1")[0].split("M")), len(paths(svg, "sp-map-close")))
    assert sizes[0.3][0] > 1.7 * sizes[0.1][0] and sizes[0.1][0] == sizes[0.01][0]
    assert sizes[0.3][1] == sizes[0.1][1] == 0 < sizes[0.01][1]
    css = (ROOT / "docs/assets/drawings.css").read_text(encoding="utf-8")
    assert "stroke-dasharray" in re.search(r"\.sp-map-close \{(.*?)\}", css, re.DOTALL)[1]


def test_hatch_lies_in_the_places_of_its_scheme():
    svg = svg_of(area_map_svg(MIXED, NAMES, "metric", "a"))
    for number in (1, 2):
        boxes = [numbers(box) for box in paths(svg, f"sp-map-{number}")[0].split("M")[1:]]
        assert len(boxes) == 5
        for data in paths(svg, f"sp-map-line-{number}"):
            for line in (numbers(each) for each in data.split("M")[1:]):
                x, y = (line[0] + line[2]) / 2, (line[1] + line[3]) / 2
                # Below the map are the swatches of the key.
                assert y > 48.0 + 4 * area_map.ROW_UNITS or any(b[0] - 0.1 <= x <= b[2] + 0.1 and b[1] - 0.1 <= y <= b[5] + 0.1 for b in boxes)


def test_what_cannot_be_built_is_hatched_as_elsewhere():
    sheet = area_map_sheet(MIXED, NAMES, "metric", "a")
    assert sheet.hatches == ["forbidden"]
    assert len([text for text in sheet.texts if text.words == "none"]) == 2
    assert area_map_sheet(a_map(*[("c 0.2",) * 3] * 4), NAMES, "metric", "a").hatches == []


def test_map_says_every_place_in_words():
    said = svg_of(area_map_svg(MIXED, NAMES, "metric", "a", "All hired")).find(f"{SVG}desc").text
    for part in ("Level: 10 m² alpha slab 20 %, 20 m² alpha slab 16 %, 40 m² alpha slab 15 %.", "1 in 10: 10 m² beta, on footings 20 %, 20 m² beta, on footings 4.9 %, "
                 "40 m² beta, on footings alone.", "1 in 5: 10 m² beta, on footings alone, 20 m² nothing, 40 m² nothing.", "Your plot: 15 m², 1 in 20.", "All hired"):
        assert part in said
    shown = [text.words for text in area_map_sheet(MIXED, NAMES, "imperial", "a").texts]
    assert "108 ft²" in shown and "your plot: 161 ft², 1 in 20" in shown


def test_key_names_what_is_on_the_map_and_nothing_else():
    shown = " ".join(text.words for text in area_map_sheet(MIXED, NAMES, "metric", "a").texts)
    for part in ("Alpha: the alpha slab is cheapest", "Beta: the beta, on footings is cheapest", "dotted:", "wide:", "dense:", "border between", "none: nothing can be built"):
        assert part in shown
    assert "gamma" not in shown
    alone = " ".join(text.words for text in area_map_sheet(a_map(*[("c 0.2",) * 3] * 4), NAMES, "metric", "a").texts)
    assert not [part for part in ("dotted", "wide", "border", "none") if part in alone] and "dense" in alone


def test_a_map_is_not_drawn_with_more_schemes_than_hatches():
    with pytest.raises(ValueError, match="tell 5 schemes apart, not 6"):
        area_map_svg(MIXED, NAMES | {key: key for key in "def"}, "metric", "a")


def test_note_says_how_costs_were_rounded():
    assert "before rounding to whole loads" in area_map_svg(MIXED, NAMES, "metric", "a")
    assert "rounded up to whole loads" in area_map_svg(MIXED, NAMES, "metric", "a", "All hired", before_rounding=False)


def test_short_names_tell_the_schemes_apart():
    titles = {result.id: result.title for result in worked(PLOT).schemes}
    assert len(set(short_names(titles).values())) == 3 and all(len(name) < 10 for name in short_names(titles).values())
    assert short_names({}) == {}


# Words and markup


def wide(lead):
    """The whole map in its usual size."""
    rows = [[("thickened-raft", "strip-and-block", "insulated-slab", "-")[(i + j) % 4] + ("" if (i + j) % 4 == 3 or j == 5 else f" {lead}") for j in range(6)] for i in range(8)]
    return a_map(*rows, slopes=maps.SLOPES, areas=maps.AREAS_M2, you=(1 / 14, 27.72))


def every_sheet(units):
    for slug in SCENARIOS:
        comparison = worked(slug)
        if ranges_chart_table(comparison):
            yield ranges_chart_sheet(comparison, units, "r")
        if drivers_chart_table(comparison):
            yield drivers_chart_sheet(comparison, units, "d")
    titles = {result.id: result.title for result in worked(PLOT).schemes}
    for lead in (0.012, 0.234):
        yield area_map_sheet(wide(lead), titles, units, "m")
    yield area_map_sheet(dataclasses.replace(wide(0.1), you=(0.5, 90.0)), titles, units, "m")
    yield area_map_sheet(MIXED, NAMES, units, "m")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_words_do_not_lie_on_each_other(units):
    for sheet in every_sheet(units):
        boxes = [(text.words, text.box) for text in sheet.texts]
        assert len(boxes) > 5
        for i, (words, box) in enumerate(boxes):
            assert box[0] >= 0 and box[1] >= 0 and box[2] <= sheet.width and box[3] <= sheet.height, f"{words} runs off {sheet.title}"
            for other, other_box in boxes[:i]:
                apart = min(box[2], other_box[2]) - max(box[0], other_box[0]) <= 1.0 or min(box[3], other_box[3]) - max(box[1], other_box[1]) <= 1.0
                assert apart, f"{words} lies on {other} in {sheet.title}"


def test_imperial_charts_have_no_metres():
    # A block is called by its size.
    named = {thing.label for slug in SCENARIOS for thing in worked(slug).certainty.ranges.uncertain}
    for sheet in every_sheet("imperial"):
        assert not [text.words for text in sheet.texts if re.search(r"\d m?m\b", text.words) and text.words not in named]


def every_markup():
    comparison, titles = worked(PLOT), {result.id: result.title for result in worked(PLOT).schemes}
    yield "r", ranges_chart_svg(comparison, "metric", "r")
    yield "d", drivers_chart_svg(comparison, "metric", "d")
    yield "m", area_map_svg(wide(0.1), titles, "metric", "m")
    yield "n", area_map_svg(MIXED, NAMES, "imperial", "n")


def test_markup_is_whole_and_its_references_hold():
    for prefix, markup in every_markup():
        svg = svg_of(markup)
        ids = [element.get("id") for element in ElementTree.fromstring(markup).iter() if element.get("id")]
        assert svg.get("role") == "img" and len(ids) == len(set(ids)) and all(i.startswith(f"{prefix}-") for i in ids)
        assert svg.get("aria-labelledby").split() == [f"{prefix}-title", f"{prefix}-desc"]
        assert svg.find(f"{SVG}title").text and svg.find(f"{SVG}desc").text
        assert set(re.findall(r"url\(#([^)]+)\)", markup)) <= set(ids)


def test_looks_are_left_to_the_style_sheet():
    css = (ROOT / "docs/assets/drawings.css").read_text(encoding="utf-8")
    plain = {"sp-figure", "sp-label"}
    for _, markup in every_markup():
        assert "style" not in markup and "stroke=" not in markup and "<script" not in markup
        used = {name for names in re.findall(r'class="([^"]*)"', markup) for name in names.split()}
        assert not {name for name in used - plain if not re.search(rf"\.{name}\b(?!-)", css)}
        drawn = re.findall(r' (?:d|x|y|cx|cy|viewBox)="([^"]*)"', markup.split("</defs>")[-1])
        assert len(drawn) > 20 and not [data for data in drawn if re.search(r"\.\d\d", data)]


def test_every_hatch_of_a_map_is_in_the_style_sheet():
    css = (ROOT / "docs/assets/drawings.css").read_text(encoding="utf-8")
    for number in range(1, len(LINES) + 1):
        assert f".sp-map-{number} {{" in css and f".sp-map-line-{number} {{" in css


def test_same_numbers_give_the_same_bytes():
    assert dict(every_markup()) == dict(every_markup())


def test_titles_are_escaped():
    markup = area_map_svg(MIXED, NAMES | {"a": 'A <b>slab</b> & "more"'}, "metric", "a")
    assert "<b>" not in markup and '<b>slab</b> & "more"' in svg_of(markup).find(f"{SVG}title").text


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "a<b"])
def test_prefix_that_cannot_be_an_id_is_refused(prefix):
    for draw in (lambda: ranges_chart_svg(worked(PLOT), "metric", prefix), lambda: drivers_chart_svg(worked(PLOT), "metric", prefix),
                 lambda: area_map_svg(MIXED, NAMES, "metric", prefix)):
        with pytest.raises(ValueError, match="prefix"):
            draw()
