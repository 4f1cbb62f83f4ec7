"""Quantities as people type them: what is read, to what figure, and what is refused."""

import math
import re

import pint
import pytest

from generator import quantities
from generator.quantities import Unreadable, parse, parse_direction, parse_money, parse_pair, parse_slope, unit_in_si

# Exact by the international agreement on the yard and the pound, 1959 (from memory): 1 ft = 0.3048 m, 1 lb = 0.45359237 kg.
FOOT_M = 0.3048
POUND_KG = 0.45359237


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


def test_no_spelling_belongs_to_two_units():
    seen = {}
    for kind, record in quantities.KINDS.items():
        for unit in record.units:
            for spelling in (unit.name, *unit.spellings):
                assert seen.setdefault(spelling, (kind, unit.name)) == (kind, unit.name), spelling


@pytest.mark.parametrize("typed", ["6.6 m x 4.2 m", "6.6m x 4.2m", "6.6mx4.2m", "6600 mm \u00d7 4200 mm", "660 cm x 4.2 m"])
def test_two_lengths(typed):
    assert parse_pair(typed) == (6.6, 4.2)


@pytest.mark.parametrize("typed", ["6.6 x 4.2 m", "6.6 m", "6.6 m x", "6 m x 4 m x 2 m", "6.6 m by 4.2 m", "x", "6,6 m x 4,2 m"])
def test_two_lengths_refused(typed):
    with pytest.raises(Unreadable):
        parse_pair(typed)


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
    ("42 USD/short ton", 42, "USD", "short ton", "mass"),
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
        for read in (lambda t: parse(t, "length"), parse_pair, parse_slope, parse_direction, parse_money):
            with pytest.raises(Unreadable) as refused:
                read(typed)
            assert not re.search(r"[\x00-\x1f]", refused.value.given)
