"""Quantities as people type them: what is read, to what figure, and what is refused."""

import math
import re

import pint
import pytest

from generator import quantities
from generator.quantities import Unreadable, parse, parse_direction, parse_lengths, parse_money, parse_pair, parse_ratio, parse_slope, unit_in_si

# Exact by the international agreement on the yard and the pound, 1959 (from memory): 1 ft = 0.3048 m, 1 lb = 0.45359237 kg.
FOOT_M = 0.3048
POUND_KG = 0.45359237
GRAVITY = 9.80665
POUND_N = POUND_KG * GRAVITY


@pytest.mark.parametrize(("typed", "kind", "expected"), [
    ("6.4m", "length", 6.4),
    ("6.4 m", "length", 6.4),
    (" 100  mm ", "length", 0.1),
    (".5 m", "length", 0.5),
    ("45 cm", "length", 0.45),
    ("0", "length", 0.0),
    ("0.0", "volume", 0.0),
    ("-0.45 m", "length", -0.45),
    ("\u22120.45 m", "length", -0.45),
    ("21 ft 6 in", "length", 21.5 * FOOT_M),
    ("21ft 6in", "length", 21.5 * FOOT_M),
    ("21' 6\"", "length", 21.5 * FOOT_M),
    ("6 ft 6 1/2 in", "length", (6 + 6.5 / 12) * FOOT_M),
    ("-1 ft 6 in", "length", -1.5 * FOOT_M),
    ("15 5/8 in", "length", 15.625 * FOOT_M / 12),
    ("3/8 in", "length", 0.375 * FOOT_M / 12),
    ("6 feet", "length", 6 * FOOT_M),
    ("4 yd", "length", 12 * FOOT_M),
    ("12 m2", "area", 12.0),
    ("12 m\u00b2", "area", 12.0),
    ("9 ft^2", "area", 9 * FOOT_M**2),
    ("6 m^3", "volume", 6.0),
    ("2 yd^3", "volume", 2 * 27 * FOOT_M**3),
    ("500 l", "volume", 0.5),
    ("34 t", "mass", 34.0),
    ("2 short ton", "mass", 4000 * POUND_KG / 1000),
    ("25 kg", "mass", 0.025),
    ("0.18 W/(m^2 K)", "transmittance", 0.18),
    ("0.18 W/m2K", "transmittance", 0.18),
    ("0.18 W/m\u00b2K", "transmittance", 0.18),
    ("2.5 m^2 K/W", "resistance", 2.5),
    ("2.5 m2K/W", "resistance", 2.5),
    ("1.5 W/(m K)", "conductivity", 1.5),
    ("1.5 W/mK", "conductivity", 1.5),
    ("0.9 kPa", "pressure", 0.9),
    ("100 kN/m2", "pressure", 100.0),
    ("0.15 N/mm\u00b2", "pressure", 150.0),
    # A pound-force is 0.45359237 kg times 9.80665 m/s2, the standard gravity of 1901 (from memory).
    ("20 psf", "pressure", 20 * POUND_N / FOOT_M**2 / 1000),
    ("15 lbf/in^2", "pressure", 15 * POUND_N / (FOOT_M / 12) ** 2 / 1000),
    ("3 kN", "weight", 3.0),
    ("450 N", "weight", 0.45),
    ("300 kg", "weight", 0.3 * GRAVITY),
    ("300 kgf", "weight", 0.3 * GRAVITY),
    ("0.5 t", "weight", 0.5 * GRAVITY),
    ("660 lb", "weight", 0.66 * POUND_N),
    ("660 lbf", "weight", 0.66 * POUND_N),
    ("1.6 kg/m", "mass per length", 1.6),
    ("1 lb/ft", "mass per length", POUND_KG / FOOT_M),
    ("32\u00b0", "angle", 32.0),
    ("32 deg", "angle", 32.0),
    ("36 mm/h", "speed", 1e-5),
    ("0.00001 m/s", "speed", 1e-5),
    ("2 in/hr", "speed", 2 * FOOT_M / 12 / 3600),
    ("400 kWh", "energy", 400.0),
    ("3.6 MJ", "energy", 1.0),
    ("2462 K day", "degree days", 2462.0),
    ("2462 degree days", "degree days", 2462.0),
    ("4500 degF day", "degree days", 2500.0),
    ("4500 \u00b0F day", "degree days", 2500.0),
    ("95 kgCO2e/t", "emission per mass", 95.0),
    ("95 kg/t", "emission per mass", 95.0),
    ("0.095 kgCO2e/kg", "emission per mass", 95.0),
    ("-50 kgCO2e/t", "emission per mass", -50.0),
    ("190 lbCO2e/short ton", "emission per mass", 95.0),
    ("0.15 kgCO2e/(t km)", "emission per haul", 0.15),
    ("0.15 kg/tkm", "emission per haul", 0.15),
    # A mile is 5280 ft, a short ton 2000 lb.
    ("1 lbCO2e/(short ton mile)", "emission per haul", 1 / 2 / (5.28 * FOOT_M)),
    ("0.177 kgCO2e/kWh", "emission per energy", 0.177),
    ("177 g/kWh", "emission per energy", 0.177),
    ("390 lb/MWh", "emission per energy", 0.39 * POUND_KG),
    ("2.57 kgCO2e/l", "emission per volume", 2.57),
    # A gallon of the United States is 231 cubic inches.
    ("1 lbCO2e/US gal", "emission per volume", POUND_KG / (231 * (FOOT_M / 12) ** 3 * 1000)),
    ("5 miles", "length", 5 * 5280 * FOOT_M),
    # R-1 in inch-pound units is 0.1761 m2 K/W: ASHRAE Handbook, table of conversions, from memory.
    ("10 h ft^2 degF/Btu", "resistance", pytest.approx(1.7611, rel=1e-4)),
])
def test_quantities_that_are_read(typed, kind, expected):
    assert parse(typed, kind) == (expected if not isinstance(expected, float) else pytest.approx(expected, rel=1e-14, abs=0))


@pytest.mark.parametrize(("typed", "kind", "words"), [
    ("6,6 m", "length", "comma"),
    ("1,200 mm", "length", "comma"),
    ("9**9**9 m", "length", "cannot be read"),
    ("2 bag", "length", "not known"),
    ("inf m", "length", "no number"),
    ("nan m", "length", "no number"),
    ("2300 MM", "length", "write mm"),
    ("2.3 M", "length", "write m"),
    ("2.3", "length", "no unit"),
    ("6 m m", "length", "not known"),
    ("6 f t", "length", "not known"),
    ("1e3 m", "length", "not known"),
    ("0x10 m", "length", "not known"),
    ("+3 m", "length", "cannot be read"),
    ("3 m + 2 m", "length", "not known"),
    ("m", "length", "no number"),
    ("", "length", "nothing is given"),
    ("5 ft 6", "length", "not known"),
    ("5 ft 12 in", "length", "twelve inches"),
    ("6.5 ft 3 in", "length", "not known"),
    ("1/0 in", "length", "divides by nothing"),
    ("1 14", "length", "cannot be read"),
    ("\u0663 m", "length", "cannot be read"),
    ("3 m; rm -rf x", "length", "not known"),
    ("__import__('os') m", "length", "no number"),
    ("3 m^2", "length", "is an area"),
    ("2.5 m^2 K/W", "conductivity", "is a thermal resistance"),
    ("2 ton", "mass", "short ton"),
    ("9" * 5000 + " m", "length", "too long"),
    ("1:14", "length", "cannot be read"),
    ("7 %", "length", "not known"),
    ("100 KPA", "pressure", "write kPa"),
    ("100", "pressure", "no unit"),
    ("100 kg", "pressure", "is a mass"),
    ("2 kN", "pressure", "is a weight; a pressure with its unit is wanted, in kPa, MPa, psf or psi"),
    ("20 lb/ft^2", "pressure", "is a mass for each area"),
    ("3 kPa", "weight", "is a pressure"),
    ("300 KG", "weight", "write kg"),
    ("32", "angle", "no unit"),
    ("1:2", "angle", "cannot be read"),
    ("1e-5 m/s", "speed", "not known"),
    ("0.28 kwh", "energy", "write kWh"),
    ("2462 K", "degree days", "not known"),
    ("95 kgco2e/t", "emission per mass", "write kgCO2e/t"),
    ("95 kgCO2e/t", "emission per haul", "is an emission for each tonne"),
    ("2.57 kgCO2e/gal", "emission per volume", "not known"),
])
def test_quantities_that_are_refused(typed, kind, words):
    with pytest.raises(Unreadable) as refused:
        parse(typed, kind)
    sentence = f"{refused.value.given}; {refused.value.wanted}"
    assert words in sentence
    assert len(sentence) < 400


def test_the_same_length_in_any_unit_is_the_same_figure():
    for metres in (0.1, 1.0, 3.2, 6.6, 19.99):
        feet = f"{metres / FOOT_M:.15f} ft"
        inches = f"{metres / FOOT_M * 12:.14f} in"
        for typed in (f"{metres!r} m", f"{metres * 1000:.12f} mm", feet, inches):
            assert parse(typed, "length") == pytest.approx(metres, rel=1e-12, abs=0)


def test_factors_agree_with_pint_by_its_own_floats():
    registry = pint.UnitRegistry()
    for kind, record in quantities.KINDS.items():
        for unit in record.units:
            assert unit_in_si(unit.name, kind) == pytest.approx(registry.Quantity(1.0, unit.pint_name).to(record.si).magnitude, rel=1e-12), unit.name


# What stands on a floor is as often told by its mass, which is then taken with standard gravity.
MASSES_THAT_PRESS = ("kg", "t", "tonne", "tonnes", "lb")


def test_no_spelling_belongs_to_two_units():
    seen = {}
    for kind, record in quantities.KINDS.items():
        for unit in record.units:
            for spelling in (unit.name, *unit.spellings):
                if kind == "weight" and spelling in MASSES_THAT_PRESS:
                    continue
                assert seen.setdefault(spelling, (kind, unit.name)) == (kind, unit.name), spelling


@pytest.mark.parametrize("typed", ["6.6 m x 4.2 m", "6.6m x 4.2m", "6.6mx4.2m", "6600 mm \u00d7 4200 mm", "660 cm x 4.2 m"])
def test_two_lengths(typed):
    assert parse_pair(typed) == (6.6, 4.2)


@pytest.mark.parametrize("typed", ["6.6 x 4.2 m", "6.6 m", "6.6 m x", "6 m x 4 m x 2 m", "6.6 m by 4.2 m", "x", "6,6 m x 4,2 m"])
def test_two_lengths_refused(typed):
    with pytest.raises(Unreadable):
        parse_pair(typed)


@pytest.mark.parametrize("typed", ["1.6 m x 1.4 m x 1.5 m", "1600mm x 140 cm x 1.5m", "1.6 m \u00d7 1.4 m \u00d7 1.5 m"])
def test_three_lengths(typed):
    assert parse_lengths(typed, 3) == (1.6, 1.4, 1.5)


@pytest.mark.parametrize(("typed", "words"), [
    ("1.6 m x 1.4 m", "is not three lengths; write three lengths with an x between"), ("1.6 x 1.4 x 1.5 m", "no unit"), ("2 m^3", "is not three lengths"),
    ("1 m x 1 m x 1 m x 1 m", "is not three lengths"), ("1 m x " * 60, "too long"),
])
def test_three_lengths_refused(typed, words):
    with pytest.raises(Unreadable) as refused:
        parse_lengths(typed, 3)
    assert words in f"{refused.value.given}; {refused.value.wanted}"


@pytest.mark.parametrize(("typed", "ratio"), [("0.3", 0.3), ("30 %", 0.3), ("30%", 0.3), ("3", 3.0), ("0", 0.0), ("112.5 %", 1.125)])
def test_ratios(typed, ratio):
    assert parse_ratio(typed) == ratio


@pytest.mark.parametrize("typed", ["30 per cent", "0,3", "-3", "1:3", "1/3", "nan", "", "3 m", "% 30", "1e2"])
def test_ratios_refused(typed):
    with pytest.raises(Unreadable):
        parse_ratio(typed)


@pytest.mark.parametrize(("typed", "gradient"), [
    ("1:14", 1 / 14), ("1 : 14", 1 / 14), ("1 in 14", 1 / 14), ("1 in 12.5", 0.08), ("7 %", 0.07), ("7%", 0.07), ("0", 0.0),
    ("0 %", 0.0), ("4 deg", math.tan(math.radians(4))), ("4\u00b0", math.tan(math.radians(4))), ("1:2", 0.5),
])
def test_slopes(typed, gradient):
    assert parse_slope(typed) == pytest.approx(gradient, rel=1e-15, abs=0)


@pytest.mark.parametrize("typed", ["14", "0.07", "14:1", "2:28", "1:0", "-1:14", "-7 %", "90 deg", "7 per cent", "1 in", "inf", "7,5 %", "4 m", "1:1:1"])
def test_slopes_refused(typed):
    with pytest.raises(Unreadable):
        parse_slope(typed)


@pytest.mark.parametrize(("typed", "bearing"), [
    ("north", 0.0), ("E", 90.0), ("south", 180.0), ("South-East", 135.0), ("south east", 135.0), ("southeast", 135.0), ("SSE", 157.5),
    ("south-south-east", 157.5), ("WNW", 292.5), ("158", 158.0), ("158 deg", 158.0), ("158.5\u00b0", 158.5), ("0", 0.0), ("360", 0.0),
])
def test_directions(typed, bearing):
    assert parse_direction(typed) == bearing


@pytest.mark.parametrize("typed", ["down", "southnorth", "361", "-10", "s by e", "ses", "no", "1e2", "nan"])
def test_directions_refused(typed):
    with pytest.raises(Unreadable):
        parse_direction(typed)


@pytest.mark.parametrize(("typed", "amount", "currency", "unit", "kind"), [
    ("148 GBP/m^3", 148, "GBP", "m^3", "volume"), ("148 GBP / m3", 148, "GBP", "m^3", "volume"), ("1.9 GBP each", 1.9, "GBP", "each", "count"),
    ("12 GBP", 12, "GBP", "", ""), ("62 USD/roll", 62, "USD", "roll", "count"), ("22 GBP/h", 22, "GBP", "hour", "time"),
    ("42 USD/short ton", 42, "USD", "short ton", "mass"), ("0.28 GBP/kWh", 0.28, "GBP", "kWh", "energy"),
])
def test_money(typed, amount, currency, unit, kind):
    money = parse_money(typed)
    assert (float(money.amount), money.currency, money.unit, money.unit_kind) == (amount, currency, unit, kind)


@pytest.mark.parametrize("typed", ["148", "\u00a3148/m^3", "148 gbp/m^3", "1,200 GBP/t", "148 GBP/bag", "148 GBP per m^3", "GBP 148", "nan GBP/t", "9**9 GBP"])
def test_money_refused(typed):
    with pytest.raises(Unreadable):
        parse_money(typed)


def test_grammar_is_quick_on_long_nonsense():
    for typed in ("1" * 60, "1 " * 30, "1/" * 30, " " * 59 + "m", "x" * 119, "1 x " * 30):
        for read in (lambda t: parse(t, "length"), lambda t: parse(t, "emission per haul"), parse_pair, lambda t: parse_lengths(t, 3), parse_slope, parse_direction, parse_money):
            with pytest.raises(Unreadable) as refused:
                read(typed)
            assert not re.search(r"[\x00-\x1f]", refused.value.given)
