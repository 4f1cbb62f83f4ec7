"""Numbers in words: both unit systems, rounding, signs.

Factors are held against pint and against definitions: a foot is 0.3048 m and
a pound 0.45359237 kg exactly (international yard and pound agreement of 1959,
from memory; pint agrees).
"""

import doctest
import importlib
import math
import random

import pint
import pytest

from calculators.pricing import Spread
from calculators.schedule import RATE_ITEMS
from generator import display
from generator.display import MINUS
from generator.quantities import COUNTS, KINDS, TIMES, parse

UREG = pint.UnitRegistry()
LENGTHS = [0.0, 0.0254, 0.3048, 0.45, 0.6096, 0.999, 0.9996, 1.0, 2.4499999999999997, 4.2, 6.604, 123.456]


@pytest.mark.parametrize("m", LENGTHS)
def test_a_length_in_words_reads_back_as_itself(m):
    shown = display.length(m)
    assert abs(parse(shown.metric, "length") - m) <= (0.0005 if shown.metric.endswith("mm") else 0.005) + 1e-12
    # Half of an eighth of an inch.
    assert abs(parse(shown.imperial.replace(",", ""), "length") - m) <= 0.0254 / 16 + 1e-12


def test_random_lengths_read_back():
    chance = random.Random(4)
    for _ in range(500):
        m = chance.uniform(0.0, 40.0)
        assert abs(parse(display.length(m).imperial, "length") - m) <= 0.0254 / 16 + 1e-12
        assert abs(parse(display.length(m).metric, "length") - m) <= 0.005 + 1e-12


@pytest.mark.parametrize("m, words", [
    (0.3048, "12 in"), (0.6096, "2 ft"), (6.604, "21 ft 8 in"), (0.4572, "18 in"), (0.003175, "1/8 in"), (0.0, "0 in"),
    # Rounds up into the next inch and the next foot.
    (0.0254 * 23.97, "2 ft"), (0.3048 * 3 - 0.0001, "3 ft"), (0.0254 * 5.9999, "6 in"), (-0.0254, f"{MINUS}1 in"),
])
def test_feet_and_inches(m, words):
    assert display.length(m).imperial == words


@pytest.mark.parametrize("m, words", [(0.9994, "999 mm"), (0.9996, "1.00 m"), (0.9999999999, "1.00 m"), (1.005, "1.01 m"), (-0.25, f"{MINUS}250 mm"), (-1e-9, "0 mm")])
def test_metres_and_millimetres(m, words):
    assert display.length(m).metric == words


@pytest.mark.parametrize("unit", sorted(display.UNITS))
def test_factors_are_those_of_pint(unit):
    record = display.UNITS[unit]
    expected = UREG.Quantity(1.0, record.metric_pint).to(record.imperial_pint).magnitude
    assert math.isclose(float(display._factor(unit)), expected, rel_tol=1e-12)


@pytest.mark.parametrize("value, unit, metric, imperial", [
    (1.0, "m3", "1.00 m³", "1.31 yd³"),
    (0.764554857984, "m3", "0.76 m³", "1.00 yd³"),
    (0.09290304, "m2", "0.1 m²", "1.0 ft²"),
    (27.72, "m2", "27.7 m²", "298 ft²"),
    (0.90718474, "t", "0.91 t", "1.00 ton"),
    (45.359237, "kg", "45 kg", "100 lb"),
    (1.0, "W/(m2 K)", "1.00 W/m²K", "0.176 Btu/h·ft²·°F"),
    (0.2, "gradient", "1 in 5", "1 in 5"),
    (20.0, "kN/m", "20 kN/m", "1,370 lb/ft"),
])
def test_amounts(value, unit, metric, imperial):
    assert display.quantity(value, unit) == display.Shown(metric, imperial)


def test_an_unknown_unit_is_refused():
    with pytest.raises(KeyError):
        display.quantity(1.0, "furlong")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value):
    for show in (display.length, display.volume, display.hours, display.level, display.percent, display.gradient):
        with pytest.raises(ValueError):
            show(value)
    with pytest.raises(ValueError):
        display.money(value, "GBP")


def test_nothing_has_no_minus():
    for words in (
        display.number(-0.001, 2), display.number(-0.0), display.money(-0.4, "GBP"), display.money_exact(-0.004, "GBP"), display.length(-0.0).metric,
        display.length(-1e-6).imperial, display.volume(-0.0).metric, display.level_mark(-0.0001).metric, display.hours(-0.0), display.percent(-0.0),
    ):
        assert MINUS not in words and "-" not in words


def test_noise_does_not_change_words():
    chance = random.Random(7)
    for _ in range(200):
        value = round(chance.uniform(0.0, 20.0), 3)
        for noisy in (math.nextafter(value, 99.0), math.nextafter(value, -99.0)):
            assert display.length(noisy) == display.length(value)
            assert display.volume(noisy) == display.volume(value)


def test_halves_go_away_from_zero():
    assert [display.number(x) for x in (0.5, 1.5, 2.5, -0.5)] == ["1", "2", "3", f"{MINUS}1"]
    assert [display.number(x, 2) for x in (0.125, 0.135, 1.005)] == ["0.13", "0.14", "1.01"]


def test_a_small_amount_is_not_shown_as_none():
    assert display.volume(0.001).metric == "under 0.01 m³"
    assert display.volume(0.0).metric == "0 m³"


@pytest.mark.parametrize("m, metric", [
    (0.05, "50 mm above the highest ground"), (0.0999, "0.10 m above the highest ground"), (-0.25, "0.25 m below the highest ground"),
    (0.0, "level with the highest ground"), (0.0004, "level with the highest ground"),
])
def test_levels(m, metric):
    assert display.level(m).metric == metric


def test_money():
    assert display.money(4130, "GBP") == "£4,130"
    assert display.money(8730, "USD") == "$8,730"
    assert display.money(4130, "EUR") == "EUR 4,130"
    assert display.money(-462, "EUR") == f"{MINUS}EUR 462"
    # A credit at low, likely and high rates runs the other way.
    assert display.money_range(Spread(-300.0, -400.0, -600.0), "GBP") == f"{MINUS}£600 to {MINUS}£300"
    assert display.money_range(Spread(5.0, 5.0, 5.0), "GBP") == "£5"


def test_every_unit_of_sale_can_be_shown():
    units = [*COUNTS.values(), *TIMES.values(), *(unit.name for kind in ("length", "area", "volume", "mass") for unit in KINDS[kind].units)]
    for unit in units:
        assert "^" not in display.order(2.0, unit).metric + display.order(2.0, unit).imperial
        assert "^" not in display.rate(2.0, "GBP", unit).metric + display.rate(2.0, "GBP", unit).imperial


@pytest.mark.parametrize("amount, unit, metric, imperial", [
    (22, "yd^3", "22 yd³ (16.8 m³)", "22 yd³"),
    (7, "t", "7 t", "7 t (7.72 tons)"),
    (1, "short ton", "1 ton (0.91 t)", "1 ton"),
    (2, "short ton", "2 tons (1.81 t)", "2 tons"),
    (1, "roll", "1 roll", "1 roll"),
    (40, "each", "40", "40"),
    (2, "delivery", "2 deliveries", "2 deliveries"),
])
def test_orders(amount, unit, metric, imperial):
    assert display.order(amount, unit) == display.Shown(metric, imperial)


def test_a_rate_per_cubic_metre_and_per_cubic_yard_is_the_same_price():
    # 100 a cubic yard is 130.80 a cubic metre: 1 / 0.764554857984.
    assert display.rate(100.0, "USD", "yd^3").metric == "$100.00 per yd³ ($130.80 per m³)"


def test_plain_letters_only():
    text = "".join(display.SIGNS.values()) + f"{MINUS}m²m³×°·±"
    assert display.in_ascii(text).isascii() and "?" not in display.in_ascii(text)


def test_every_rate_item_has_a_unit_kind_that_can_be_shown():
    assert {item.unit_kind for item in RATE_ITEMS} <= {"volume", "mass", "area", "length", "time", "count"}


@pytest.mark.parametrize("name", ["display", "wording", "bill_csv"])
def test_examples_in_docstrings_are_true(name):
    result = doctest.testmod(importlib.import_module(f"generator.{name}"))
    assert result.attempted > 0 and result.failed == 0
