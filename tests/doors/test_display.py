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

from calculators import carbon, permissions, stand, water, yearly_heat
from calculators.pricing import Spread
from calculators.scenario import Drainage, Given
from calculators.schedule import RATE_ITEMS
from calculators.sources import Sourced
from generator import display
from generator.display import MINUS
from generator.quantities import COUNTS, KINDS, TIMES, parse

UREG = pint.UnitRegistry()
CHECKING = (stand, water, yearly_heat, permissions, carbon)
"""The modules whose figures have units of their own."""
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
    one = UREG.Quantity(1.0, record.si_pint or record.metric_pint)
    for size, shown_in in zip(display._sizes(record), (record.metric_pint, record.imperial_pint)):
        assert math.isclose(float(size), one.to(shown_in).magnitude, rel_tol=1e-12)


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
    # A pound-force is 4.4482216 N, a gallon 231 cubic inches, a short ton 2000 lb, a mile 5280 ft: NIST SP 811, Appendix B, from memory.
    (1.0, "MPa", "1 MPa", "145 psi"),
    (0.25, "MPa", "0.25 MPa", "36.3 psi"),
    (4.4482216, "kN", "4.45 kN", "1,000 lbf"),
    (13.558, "kN m", "13.6 kN m", "10,000 ft lbf"),
    (4.4482216, "kN m/m", "4.45 kN m/m", "1,000 ft lbf/ft"),
    (645.16, "mm2", "645 mm²", "1 in²"),
    (1.6, "kg/m", "1.6 kg/m", "1.08 lb/ft"),
    (0.003785411784, "m3/s", "3.79 l/s", "60 US gal/min"),
    (0.3048, "m/s", "0.305 m/s", "1 ft/s"),
    (1e-5, "m/s", "36 mm/h", "1.42 in/h"),
    (0.0, "m/s", "0 m/s", "0 ft/s"),
    (354.5, "kWh", "355 kWh", "355 kWh"),
    (2500.0, "K day", "2,500 K day", "4,500 °F day"),
    (100.0, "W", "100 W", "341 Btu/h"),
    (3.785411784, "l", "3.79 l", "1 US gal"),
    (1.609344, "km", "1.61 km", "1 mile"),
    (8.0, "km", "8 km", "4.97 miles"),
    (1.4599723, "t km", "1.46 t km", "1 ton miles"),
    (285.1, "kgCO2e", "285 kgCO2e", "629 lbCO2e"),
    (118.79, "kgCO2e/t", "119 kgCO2e/t", "238 lbCO2e/ton"),
    (0.17146, "kgCO2e/(t km)", "0.171 kgCO2e/(t km)", "0.552 lbCO2e/(ton mile)"),
    (0.177, "kgCO2e/kWh", "0.177 kgCO2e/kWh", "0.39 lbCO2e/kWh"),
    (2.571, "kgCO2e/l", "2.57 kgCO2e/l", "21.5 lbCO2e/US gal"),
    (-750.0, "kgCO2e", f"{MINUS}750 kgCO2e", f"{MINUS}1,653 lbCO2e"),
    (30.0, "degree", "30 degrees", "30 degrees"),
    (1.0, "degree", "1 degree", "1 degree"),
    (24.0, "h", "24 hours", "24 hours"),
])
def test_amounts(value, unit, metric, imperial):
    assert display.quantity(value, unit) == display.Shown(metric, imperial)


def leading(words: str) -> float:
    return float(words.split()[0].replace(",", "").replace(MINUS, "-"))


@pytest.mark.parametrize("unit", sorted(display.UNITS))
def test_what_is_shown_is_the_amount_in_its_unit(unit):
    record = display.UNITS[unit]
    si = UREG.Quantity(1.0, record.si_pint or record.metric_pint)
    for value in (1.0, 47.3, 612.0):
        shown = display.quantity(value, unit)
        for words, shown_in in ((shown.metric, record.metric_pint), (shown.imperial, record.imperial_pint)):
            # U-values in inch-pound units have three decimals; some amounts are whole from ten up; the rest has three figures.
            nearest = 0.5 if unit in ("kg", "kgCO2e", "kWh") else 0.0005
            assert leading(words) == pytest.approx((value * si).to(shown_in).magnitude, rel=0.006, abs=nearest), words


def test_every_kind_of_quantity_can_be_shown():
    assert set(display.UNIT_OF_KIND) == set(KINDS)
    for kind, unit in display.UNIT_OF_KIND.items():
        shown = display.quantity(12.0, unit)
        if kind in ("length", "angle", "duration", "days"):
            continue
        record = display.UNITS[unit]
        assert UREG.Quantity(1.0, KINDS[kind].si).to(record.si_pint or record.metric_pint).magnitude == pytest.approx(1.0, rel=1e-12), kind
        assert shown.metric and shown.imperial


WITH_EVERYTHING = [
    dict(),
    dict(gradient=0.15, building=dict(use="garage", door_width_m=2.4, heated=True), region="us", raft=dict(edge_bars=False)),
    dict(gradient=0.1, plot=dict(soil="firm clay", shrinkage="high", trees="near", water="seasonal", outfall=False, boundary_m={"south": 1.0}),
         building=dict(walls="block", roof_shape="pitched", roof_covering="tiled", ridge_height_m=3.5),
         given=Given(ground_snow_kpa=1.0, wind_pressure_kpa=1.5, presumed_bearing_kpa=80.0, friction_deg=25.0, undrained_strength_kpa=50.0, foot_kn=5.0, foot_m=0.1),
         drainage=Drainage(soakaway_m3=3.0, soakaway_distance_m=6.0, soaks_m_per_s=1e-5, pit_m=(1.6, 1.4, 1.5), under_slab_cover_m=0.1, tie_spacing_m=1.0)),
    dict(region="ireland", plot=dict(soil="peat"), building=dict(roof_shape="flat", sleeping=True), drainage=Drainage(paving_m2=200.0, soakaway_m3=3.0)),
    dict(region="eurocode", size_m=(12.0, 5.0), insulated=dict(insulation_thickness_m=None, target_u_w_per_m2k=0.15)),
]


@pytest.mark.parametrize("changes", WITH_EVERYTHING)
def test_every_figure_that_is_worked_out_can_be_shown(compared, changes):
    """The checks of strength, damp, water and warmth, what has to be asked, a year's heat and the carbon."""
    figures = []
    for result in compared(**changes).schemes:
        figures += [(value, check.unit) for check in result.works.checks for value in (check.provided, check.required)]
        figures += [(value, asked.unit) for asked in result.permissions for value in (asked.figure, asked.limit)]
        figures += [(value, unit) for line in result.carbon.lines
                    for value, unit in ((line.amount, line.unit), (line.factor.value, line.factor.unit), (line.kgco2e, "kgCO2e"))]
        if result.floor_heat:
            figures += [(result.floor_heat.kwh, "kWh"), (result.floor_heat.u_w_per_m2k, "W/(m2 K)")]
    assert len(figures) > 100
    for value, unit in figures:
        if value is not None:
            shown = display.quantity(value, unit)
            assert shown.metric and shown.imperial and shown.of("imperial").isprintable()


def test_those_scenarios_have_every_unit_of_a_check(compared):
    """What no scenario above shows would not be tested."""
    found = {check.unit for changes in WITH_EVERYTHING for result in compared(**changes).schemes for check in result.works.checks}
    assert {"kN/m", "kPa", "MPa", "kN m", "kN m/m", "kN", "mm2", "m", "gradient", "W/(m2 K)", "m3/s", "m3", "h", ""} <= found
    held = {figure.unit for module in CHECKING for figure in vars(module).values() if isinstance(figure, Sourced)}
    assert held - {"money/kWh", "l/h", "m2/s"} <= found | set(display.UNITS) | {"degree", "degrees"}


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
