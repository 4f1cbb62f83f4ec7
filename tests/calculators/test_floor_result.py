"""One floor from its levels to what it costs; numpy and scipy judge the plane and the straightedge.

The classes of BS 8204 and the gaps of DIN 18202 are rows of docs/evidence, and read here once more.
"""

import math
import random
from dataclasses import replace

import pytest

from calculators import flatness
from calculators.floor_result import FloorPrices, Misfit, cheapest_of, floor_prices, floor_result, gap_of_levels_m
from calculators.pricing import Spread
from calculators.scenario import COMPOUNDS, FLOOR_FINISHES, USES, FloorSurvey
from calculators.schedule import Rate

numpy = pytest.importorskip("numpy", reason="the judge of planes is numpy")

PRICES = FloorPrices(Spread(0.8, 1.0, 1.5), Spread(60.0, 80.0, 120.0), 10.0, "yours")
# A floor of our own making, in mm on a grid of 0.9 m: a hollow west of the middle, an edge in the north that stands high.
HEIGHTS_MM = ((1, 0, -1, 0, 1), (0, -7, -5, -1, 0), (1, -4, -2, 0, 2), (4, 5, 6, 4, 3))
LEVELS = tuple((0.9 * i, 0.9 * j, mm / 1000.0) for j, row in enumerate(HEIGHTS_MM) for i, mm in enumerate(row))


def result(levels=LEVELS, use="storage", outline=None, prices=PRICES, **given):
    return floor_result(FloorSurvey(tuple(levels), **given), use, prices, outline)


def test_plane_and_deviations_against_numpy():
    found = result()
    places = numpy.array([(x, y, 1.0) for x, y, _ in found.floor.levels_m])
    heights = numpy.array([z for _, _, z in found.floor.levels_m])
    wanted, *_ = numpy.linalg.lstsq(places, heights, rcond=None)
    assert (found.plane.east, found.plane.north, found.plane.at_origin) == pytest.approx(tuple(wanted), abs=1e-12)
    assert found.deviations_m == pytest.approx(tuple(heights - places @ wanted), abs=1e-12)
    assert found.tilt == pytest.approx(math.hypot(wanted[0], wanted[1]))
    assert found.highest == int(numpy.argmax(heights - places @ wanted)) and found.lowest == int(numpy.argmin(heights - places @ wanted))
    assert found.fall_m == pytest.approx(0.013)


def test_straightedge_against_one_laid_all_over_a_dense_grid():
    """scipy's surface, straightedges of 2 m at every 5 cm and every 5 degrees."""
    interpolate = pytest.importorskip("scipy.interpolate")
    points = numpy.array([(x + 1e-4 * math.sin(7 * i), y + 1e-4 * math.cos(5 * i), z) for i, (x, y, z) in enumerate(LEVELS)])
    surface = interpolate.LinearNDInterpolator(points[:, :2], points[:, 2])
    x, y, turn = (each.ravel() for each in numpy.meshgrid(numpy.arange(0.0, 3.65, 0.1), numpy.arange(0.0, 2.75, 0.1), numpy.radians(numpy.arange(0, 180, 7.5))))
    along = numpy.linspace(-1.0, 1.0, 41)
    rows = surface(x[:, None] + numpy.cos(turn)[:, None] * along, y[:, None] + numpy.sin(turn)[:, None] * along)
    rows = rows[~numpy.isnan(rows).any(axis=1)]
    # Resting on any two of its places, where it lies over all others between and beyond them.
    greatest = 0.0
    for i in range(41):
        for j in range(i + 2, 41):
            chord = rows[:, i:i + 1] + (rows[:, j:j + 1] - rows[:, i:i + 1]) * (numpy.arange(41) - i) / (j - i)
            over = chord - rows
            rests = (over > -1e-9).all(axis=1)
            if rests.any():
                greatest = max(greatest, float(over[rests, i:j + 1].max()))
    found = result().gap.gap_m
    assert greatest - 1e-5 <= found <= 1.1 * greatest


def test_moved_turned_and_lifted_it_is_the_same_floor():
    # Off the grid, for the squares of a grid may be cut along either diagonal.
    jogged = tuple((x + 0.05 * math.sin(7 * i), y + 0.05 * math.cos(5 * i), z) for i, (x, y, z) in enumerate(LEVELS))
    first, second = result(jogged), result(tuple((-y + 12.0, x - 3.0, z + 41.5) for x, y, z in jogged))
    assert second.gap.gap_m == pytest.approx(first.gap.gap_m, abs=1e-6) and second.fall_m == pytest.approx(first.fall_m)
    assert sorted(second.deviations_m) == pytest.approx(sorted(first.deviations_m), abs=1e-9)
    assert [priced.option.bags for priced in second.options] == [priced.option.bags for priced in first.options]


@pytest.mark.parametrize("depth_mm, name", [(0, "SR1"), (3, "SR1"), (3.2, "SR2"), (5, "SR2"), (5.2, "SR3"), (10, "SR3"), (10.2, None)])
def test_classes_of_bs_8204(depth_mm, name):
    """BS 8204, as read: 3, 5 and 10 mm under 2 m are SR1, SR2 and SR3.  One hollow in a flat floor shows its own depth."""
    hollow = tuple((float(x), float(y), -depth_mm / 1000.0 if (x, y) == (2, 2) else 0.0) for x in range(5) for y in range(5))
    found = result(hollow)
    assert found.gap.gap_m == pytest.approx(depth_mm / 1000.0, abs=1e-6) and found.surface_class == name
    assert found.gap.at == (2.0, 2.0) or depth_mm == 0


@pytest.mark.parametrize("kind, gaps_mm", [("rough", (10, 15, 20, 25, 30)), ("to be screeded", (5, 8, 12, 15, 20)), ("finished", (2, 4, 10, 12, 15))])
def test_gaps_of_din_18202(kind, gaps_mm):
    """DIN 18202, Table 3, as read: over 0.1, 1, 4, 10 and 15 m."""
    assert [1000 * flatness.allowed_gap_m(kind, length) for length in (0.1, 1.0, 4.0, 10.0, 15.0)] == pytest.approx(gaps_mm)


def test_area_is_what_was_measured_inside_the_building():
    whole = result(outline=((-0.2, -0.2), (3.8, -0.2), (3.8, 2.9), (-0.2, 2.9)))
    assert whole.floor.area_m2 == pytest.approx(3.6 * 2.7) and whole.outline_m2 == pytest.approx(4.0 * 3.1)
    half = result(outline=((-0.2, -0.2), (1.8, -0.2), (1.8, 2.9), (-0.2, 2.9)))
    assert half.floor.area_m2 == pytest.approx(1.8 * 2.7)
    assert result().outline_m2 is None
    with pytest.raises(ValueError, match="nothing in common"):
        result(outline=((20, 20), (24, 20), (24, 23), (20, 23)))


def test_cash_by_hand():
    """Bags by weight at a price for each kg, and whole days of the grinder; hours at what one is worth."""
    found = result(finish="tiles", compound="thin", use="studio")
    for priced in found.options:
        option = priced.option
        grinding = option.ground.volume_m3 * 250.0 + option.ground.area_m2 * 0.05 + (1.0 if option.ground.volume_m3 else 0.0)
        days = math.ceil(grinding / 8.0 - 1e-9)
        bags = math.ceil(option.filled.volume_m3 * 1700.0 / 20.0 - 1e-9)
        assert option.bags == bags
        for at, kg, day in (("low", 0.8, 60.0), ("likely", 1.0, 80.0), ("high", 1.5, 120.0)):
            assert getattr(priced.cash, at) == pytest.approx(bags * 20.0 * kg + days * day)
        assert priced.with_hours == pytest.approx(priced.cash.likely + 10.0 * option.hours)
    assert found.named("leave").cash == Spread(0.0, 0.0, 0.0)
    with pytest.raises(KeyError):
        found.named("pray")


def test_cheapest_is_enough_and_suits_and_nothing_cheaper_does():
    for use, finish, compound in zip(2 * USES, 2 * FLOOR_FINISHES, 4 * COMPOUNDS):
        found = result(finish=finish, compound=compound, use=use)
        doing = {priced.option.name: priced.with_hours for priced in found.options if priced.option.enough and not priced.misfits}
        assert found.cheapest == (min(doing, key=doing.get) if doing else None)
        assert found.wanted_m == flatness.FINISHES[finish].gap_m
    assert result(finish="bare").cheapest == "leave"
    assert cheapest_of(()) is None


def test_dear_hours_and_dear_bags_turn_the_choice():
    cheap_bags = result(finish="tiles", use="studio")
    dear_bags = result(finish="tiles", use="studio", prices=replace(PRICES, compound_per_kg=Spread(40.0, 40.0, 40.0)))
    assert cheap_bags.cheapest == "patch" and dear_bags.cheapest == "grind"


def test_a_thin_compound_is_no_face_and_a_thick_one_runs_out_to_nothing():
    thin = result(finish="painted or resin", compound="thin")
    assert {priced.option.name for priced in thin.options if Misfit("face") in priced.misfits} == {"patch", "grind and patch", "compound over all"}
    assert thin.cheapest == "grind"
    thick = result(finish="painted or resin", compound="thick")
    assert [misfit.what for misfit in thick.named("patch").misfits] == ["thickness"] and thick.named("compound over all").does
    assert result(finish="tiles", compound="thin", use="studio").named("patch").misfits == ()


@pytest.mark.parametrize("use, finish, wanted", [("storage", "tiles", 20.0), ("workshop", "tiles", 30.0), ("storage", "bare", 25.0), ("garage", "boards", 30.0)])
def test_strength_of_the_compound_follows_use_and_finish(use, finish, wanted):
    """Common practice, no source: the greater of the two."""
    found = result(use=use, finish=finish, compound="thin")
    assert found.compound_mpa.value == wanted
    weak = {misfit.what for priced in found.options if priced.option.bags for misfit in priced.misfits}
    assert ("strength" in weak) == (wanted > 25.0)


def test_finishes_say_what_they_lack_and_what_nobody_has_measured():
    unknown = {state.finish: {lack.what: lack.found for lack in state.lacks} for state in result().finishes}
    assert set(unknown) == set(FLOOR_FINISHES)
    assert unknown["boards"] == {"flatness": pytest.approx(result().gap.gap_m), "dryness": None, "strength": None}
    known = {state.finish: [lack.what for lack in state.lacks] for state in result(humidity=0.8, age_days=30.0, strength_mpa=24.0).finishes}
    assert known["bare"] == ["strength"] and known["tiles"] == ["flatness", "age"] and known["painted or resin"] == ["flatness", "dryness", "strength"]


def test_against_a_level_plane_a_floor_laid_to_a_fall_is_far_out():
    fall = tuple((x, y, z + 0.005 * x) for x, y, z in LEVELS)
    best, level = result(fall), result(fall, against_level=True)
    assert best.gap.gap_m == pytest.approx(level.gap.gap_m) and best.deviations_m == pytest.approx(result().deviations_m, abs=1e-9)
    assert max(level.deviations_m) > 1.5 * max(best.deviations_m) and (level.plane.east, level.plane.north) == (0.0, 0.0)
    assert level.named("compound over all").option.bags > best.named("compound over all").option.bags


def test_prices_are_read_per_kg_day_and_hour_whatever_they_are_sold_by():
    """A pound is 0.45359237 kg (definition)."""
    class Book:
        rates = {
            "levelling_compound": Rate("levelling_compound", 0.45, 0.70, 1.10, "lb", 0.00045359237, 1.0, "a yard"),
            "grinder_day": Rate("grinder_day", 95.0, 130.0, 190.0, "day", 1.0, 1.0, "a yard"),
            "labourer_hour": Rate("labourer_hour", 20.0, 25.0, 32.0, "hour", 1.0, 0.5, "a yard"),
        }

    prices = floor_prices(Book)
    assert prices.compound_per_kg.likely == pytest.approx(0.70 / 0.45359237) and prices.grinder_per_day.low == 95.0
    assert (prices.hour, prices.hour_from) == (25.0, "labourer")
    assert (floor_prices(Book, 0.0).hour, floor_prices(Book, 0.0).hour_from) == (0.0, "yours")


def test_order_of_the_levels_does_not_matter():
    shuffled = list(LEVELS)
    random.Random(4).shuffle(shuffled)
    first, second = result(), result(shuffled)
    assert first.gap == second.gap and first.options == second.options and first.deviations_m == second.deviations_m


def test_a_level_taken_twice_counts_once():
    again = (*LEVELS, (0.9, 0.9, -0.006))
    assert len(result(again).floor.levels_m) == len(LEVELS)
    with pytest.raises(ValueError, match="do not agree"):
        result((*LEVELS, (0.9, 0.9, -0.002)))


def test_gap_straight_from_levels():
    assert gap_of_levels_m([list(level) for level in LEVELS]) == result().gap.gap_m
    assert gap_of_levels_m(LEVELS, 1.0) < gap_of_levels_m(LEVELS, 2.0) <= gap_of_levels_m(LEVELS, 3.0)


@pytest.mark.parametrize("call", [
    lambda: result(finish="carpet"), lambda: result(compound="medium"), lambda: result(use="barn"), lambda: result(LEVELS[:3]),
    lambda: result([(0.0, 0.0, 0.0), (1.0, 1.0, 0.0), (2.0, 2.0, 0.0), (3.0, 3.0, 0.001)]), lambda: result([*LEVELS[:-1], (3.6, 2.7, math.nan)]),
    lambda: result([*LEVELS[:-1], (math.inf, 2.7, 0.0)]), lambda: result(()), lambda: result(humidity=1.5), lambda: result(age_days=-1.0),
])
def test_nonsense_is_refused(call):
    with pytest.raises(ValueError):
        call()
