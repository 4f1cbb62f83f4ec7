"""Numbers into words, once for all doors, in both unit systems.

Nothing outside this module rounds a number for people or turns metres into
feet.  Every factor comes from pint.  Functions of a size give a `Shown`, so
that a page can carry both unit systems and a reader can change between them.
Halves are rounded away from zero, and figures that differ only by the noise
of floating point are shown alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache

from calculators.pricing import Spread
from generator.quantities import COUNTS, KINDS, TIMES, factor, find_sale_unit

MINUS = "\u2212"
"""The true minus sign."""

SIGNS: dict[str, str] = {"GBP": "£", "USD": "$"}
"""Currencies with a sign that stands before the figure everywhere; others go by their three letters."""

SIGNIFICANT = 12
"""Significant figures kept before rounding, so that 2.4499999999999997 is 2.45 on every machine."""


# The same figures come back on a page again and again, and their words never change.
remembered = lru_cache(maxsize=50_000)


@dataclass(frozen=True)
class Shown:
    """One amount in words, for readers of either unit system."""

    metric: str
    imperial: str

    def of(self, units: str) -> str:
        """The words for `metric` or `imperial`.  Raises KeyError for anything else."""
        return {"metric": self.metric, "imperial": self.imperial}[units]

    @property
    def alike(self) -> bool:
        """Whether both unit systems say the same."""
        return self.metric == self.imperial

    def with_words(self, before: str = "", after: str = "") -> Shown:
        """The same with words put before and after in both."""
        return Shown(before + self.metric + after, before + self.imperial + after)


def same(words: str) -> Shown:
    """Words that do not depend on units."""
    return Shown(words, words)


@remembered
def exactly(value: float) -> Fraction:
    """A figure without the noise of floating point.  Raises ValueError for one that is not finite.

    >>> exactly(0.30000000000000004)
    Fraction(3, 10)
    """
    if not math.isfinite(value):
        raise ValueError(f"not a figure that can be shown: {value}")
    return Fraction(Decimal(f"{value:.{SIGNIFICANT}g}"))


def _nearest(value: Fraction) -> int:
    """The nearest whole number, halves away from zero."""
    whole = (2 * abs(value.numerator) + value.denominator) // (2 * value.denominator)
    return -whole if value < 0 else whole


def _fixed(value: Fraction, places: int) -> str:
    scaled = _nearest(value * 10**places)
    sign = MINUS if scaled < 0 else ""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    whole = f"{int(digits[: len(digits) - places]):,}"
    return f"{sign}{whole}.{digits[-places:]}" if places else f"{sign}{whole}"


def _places(value: Fraction) -> int:
    """Decimals that leave about three figures: 5.29, 52.9, 529."""
    return 2 if abs(value) < Fraction(9995, 1000) else 1 if abs(value) < Fraction(9995, 100) else 0


def _about(value: Fraction) -> str:
    """About three figures; an amount too small to show is not shown as none."""
    if value == 0:
        return "0"
    if abs(value) < Fraction(5, 1000):
        return ("under " if value > 0 else f"over {MINUS}") + "0.01"
    return _fixed(value, _places(value))


@remembered
def number(value: float, places: int = 0) -> str:
    """A plain figure with so many decimals, thousands set apart.

    >>> number(1234.5), number(0.125, 2), number(-0.0001, 2)
    ('1,235', '0.13', '0.00')
    """
    return _fixed(exactly(value), places)


@remembered
def count(value: float) -> str:
    """A number of things; a part of one shows its decimals.

    >>> count(12.0), count(0.72), count(134.2)
    ('12', '0.72', '134')
    """
    exact = exactly(value)
    return _fixed(exact, 0) if exact.denominator == 1 or abs(exact) >= 10 else _about(exact)


# Lengths and levels.


def _feet_and_inches(m: Fraction) -> str:
    """Feet and inches to the nearest eighth; inches alone under two feet."""
    eighths = _nearest(abs(m) / factor("inch", "m") * 8)
    sign = MINUS if m < 0 and eighths else ""
    whole, part = divmod(eighths, 8)
    feet, inches = divmod(whole, 12) if whole >= 24 else (0, whole)
    fraction = Fraction(part, 8)
    words = [f"{feet:,} ft"] if feet else []
    if fraction:
        words.append(f"{inches} {fraction} in" if inches else f"{fraction} in")
    elif inches or not feet:
        words.append(f"{inches} in")
    return sign + " ".join(words)


@remembered
def length(m: float) -> Shown:
    """A length or size given in metres: millimetres under a metre, feet and inches to an eighth.

    >>> length(4.2)
    Shown(metric='4.20 m', imperial='13 ft 9 3/8 in')
    >>> length(0.45).metric, length(0.4572).imperial, length(6.604).imperial
    ('450 mm', '18 in', '21 ft 8 in')
    >>> length(0.0003)
    Shown(metric='0.3 mm', imperial='0.0118 in')
    """
    exact = exactly(m)
    if Fraction(1, 100_000) <= abs(exact) < Fraction(2, 1000):
        # A membrane, not a length of building: eighths of an inch would say nothing.
        return Shown(f"{_three_figures(exact * 1000)} mm", f"{_three_figures(exact / factor('inch', 'm'))} in")
    small = abs(_nearest(exact * 1000)) < 1000
    metric = f"{_fixed(exact * 1000, 0)} mm" if small else f"{_fixed(exact, 2)} m"
    return Shown(metric, _feet_and_inches(exact))


@remembered
def level(m: float, datum: str = "the highest ground") -> Shown:
    """A level given in metres above a datum, as words.

    >>> level(0.05).metric, level(-0.25).metric, level(0.0).imperial
    ('50 mm above the highest ground', '0.25 m below the highest ground', 'level with the highest ground')
    """
    exact = exactly(m)
    side = "above" if exact > 0 else "below"
    millimetres = _nearest(abs(exact) * 1000)
    metric = f"{millimetres} mm" if millimetres < 100 else f"{_fixed(abs(exact), 2)} m"
    imperial = _feet_and_inches(abs(exact))
    return Shown(
        f"{metric} {side} {datum}" if millimetres else f"level with {datum}",
        f"{imperial} {side} {datum}" if imperial != "0 in" else f"level with {datum}",
    )


@remembered
def level_mark(m: float) -> Shown:
    """A level given in metres, as a drawing marks it: with its sign, metres to a millimetre.

    >>> level_mark(0.05), level_mark(0.0).metric
    (Shown(metric='+0.050', imperial='+2 in'), '±0.000')
    """
    exact = exactly(m)
    return Shown(_signed(_fixed(exact, 3), "0.000"), _signed(_feet_and_inches(exact), "0 in"))


def _signed(words: str, nothing: str) -> str:
    """A figure with its sign before it."""
    return words if words.startswith(MINUS) else ("±" if words == nothing else "+") + words


@remembered
def tape(m: float) -> Shown:
    """A distance given in metres as a tape or a staff shows it, for a table whose heading names the units.

    >>> tape(9.4339811), tape(0.45).imperial
    (Shown(metric='9.434', imperial='30′ 11 3/8″'), '17 3/4″')
    """
    return Shown(_fixed(exactly(m), 3), _feet_and_inches(exactly(m)).replace(" ft", "′").replace(" in", "″"))


@remembered
def tape_level(m: float) -> Shown:
    """A level given in metres, with its sign, for the same tables.

    >>> tape_level(-0.42).metric, tape_level(0.05).imperial, tape_level(0.0).metric
    ('−0.420', '+2″', '±0.000')
    """
    plain, nothing = tape(m), tape(0.0)
    return Shown(_signed(plain.metric, nothing.metric), _signed(plain.imperial, nothing.imperial))


@remembered
def fine(m: float) -> Shown:
    """A small height given in metres, as the flatness of a floor is told: tenths of a millimetre, hundredths of an inch.

    >>> fine(0.0034), fine(0.005).metric, fine(0.0123).metric
    (Shown(metric='3.4 mm', imperial='0.13 in'), '5 mm', '12.3 mm')
    """
    exact = exactly(m)
    return Shown(f"{_fixed(exact * 1000, 1).removesuffix('.0')} mm", f"{_fixed(exact / factor('inch', 'm'), 2)} in")


@remembered
def fine_mark(m: float) -> Shown:
    """A small height over a plane given in metres, with its sign and without its unit, for a drawing that names the unit.

    >>> fine_mark(0.0034), fine_mark(-0.0046).metric, fine_mark(0.0002).metric
    (Shown(metric='+3', imperial='+0.13'), '−5', '±0')
    """
    exact = exactly(m)
    return Shown(_signed(_fixed(exact * 1000, 0), "0"), _signed(_fixed(exact / factor("inch", "m"), 2), "0.00"))


@remembered
def gradient(rise_over_run: float) -> str:
    """A slope as a ratio.

    >>> gradient(1 / 14), gradient(0.4), gradient(0.0)
    ('1 in 14', '1 in 2.5', 'level')
    """
    exact = abs(exactly(rise_over_run))
    if exact < Fraction(1, 1000):
        return "level"
    run = 1 / exact
    tenths = _fixed(run, 1)
    return f"1 in {tenths.removesuffix('.0') if run < 10 else _fixed(run, 0)}"


def footprint(along_m: float, across_m: float) -> Shown:
    """Two lengths given in metres, as the size of a plan.

    >>> footprint(6.6, 4.2).metric
    '6.60 m × 4.20 m'
    """
    a, b = length(along_m), length(across_m)
    return Shown(f"{a.metric} × {b.metric}", f"{a.imperial} × {b.imperial}")


# Everything else with a unit.


@dataclass(frozen=True)
class _Unit:
    """How an SI unit of the calculators is shown: words and the name pint knows, metric and imperial.

    `si_pint` is the calculators' own unit for pint, empty where it is the metric one.
    """

    metric: str
    metric_pint: str
    imperial: str
    imperial_pint: str
    si_pint: str = ""


_PER_BTU = "Btu/hour/foot/delta_degF"

UNITS: dict[str, _Unit] = {
    "m2": _Unit("m²", "m**2", "ft²", "foot**2"),
    "m3": _Unit("m³", "m**3", "yd³", "yard**3"),
    "t": _Unit("t", "metric_ton", "tons", "short_ton"),
    "kg": _Unit("kg", "kilogram", "lb", "pound"),
    "W/(m2 K)": _Unit("W/m²K", "W/m**2/K", "Btu/h·ft²·°F", "Btu/hour/foot**2/delta_degF"),
    "W/(m K)": _Unit("W/mK", "W/m/K", "Btu/h·ft·°F", _PER_BTU),
    "m2 K/W": _Unit("m²K/W", "m**2*K/W", "h·ft²·°F/Btu", "hour*foot**2*delta_degF/Btu"),
    "kN/m": _Unit("kN/m", "kilonewton/m", "lb/ft", "force_pound/foot"),
    "kPa": _Unit("kPa", "kilopascal", "lb/ft²", "force_pound/foot**2"),
    "kN/m3": _Unit("kN/m³", "kilonewton/m**3", "lb/ft³", "force_pound/foot**3"),
    "kg/m2": _Unit("kg/m²", "kilogram/m**2", "lb/ft²", "pound/foot**2"),
    "kg/m3": _Unit("kg/m³", "kilogram/m**3", "lb/ft³", "pound/foot**3"),
    "t/m3": _Unit("t/m³", "metric_ton/m**3", "lb/ft³", "pound/foot**3"),
    "h/m": _Unit("h/m", "hour/m", "h/ft", "hour/foot"),
    "h/m2": _Unit("h/m²", "hour/m**2", "h/yd²", "hour/yard**2"),
    "h/m3": _Unit("h/m³", "hour/m**3", "h/yd³", "hour/yard**3"),
    "m/h": _Unit("m/h", "m/hour", "ft/h", "foot/hour"),
    "m3/m2": _Unit("m³/m²", "m**3/m**2", "ft³/ft²", "foot**3/foot**2"),
    "MPa": _Unit("MPa", "megapascal", "psi", "force_pound/inch**2"),
    "kN": _Unit("kN", "kilonewton", "lbf", "force_pound"),
    "kN m": _Unit("kN m", "kilonewton*m", "ft lbf", "foot*force_pound"),
    "kN m/m": _Unit("kN m/m", "kilonewton*m/m", "ft lbf/ft", "foot*force_pound/foot"),
    "mm2": _Unit("mm²", "millimeter**2", "in²", "inch**2"),
    "kg/m": _Unit("kg/m", "kilogram/m", "lb/ft", "pound/foot"),
    "m3/s": _Unit("l/s", "liter/second", "US gal/min", "gallon/minute", "m**3/second"),
    "m/s": _Unit("m/s", "m/second", "ft/s", "foot/second"),
    "m3/h": _Unit("m³/h", "m**3/hour", "yd³/h", "yard**3/hour"),
    "kg/m2h": _Unit("kg/m²h", "kilogram/m**2/hour", "lb/ft²h", "pound/foot**2/hour"),
    "m/s of wind": _Unit("m/s", "m/second", "mph", "mile/hour"),
    "W": _Unit("W", "watt", "Btu/h", "Btu/hour"),
    "kWh": _Unit("kWh", "kilowatt_hour", "kWh", "kilowatt_hour"),
    "K day": _Unit("K day", "kelvin*day", "°F day", "delta_degF*day"),
    "l": _Unit("l", "liter", "US gal", "gallon"),
    "km": _Unit("km", "kilometer", "miles", "mile"),
    "t km": _Unit("t km", "metric_ton*kilometer", "ton miles", "short_ton*mile"),
    "kgCO2e": _Unit("kgCO2e", "kilogram", "lbCO2e", "pound"),
    "kgCO2e/t": _Unit("kgCO2e/t", "kilogram/metric_ton", "lbCO2e/ton", "pound/short_ton"),
    "kgCO2e/(t km)": _Unit("kgCO2e/(t km)", "kilogram/(metric_ton*kilometer)", "lbCO2e/(ton mile)", "pound/(short_ton*mile)"),
    "kgCO2e/kWh": _Unit("kgCO2e/kWh", "kilogram/kilowatt_hour", "lbCO2e/kWh", "pound/kilowatt_hour"),
    "kgCO2e/l": _Unit("kgCO2e/l", "kilogram/liter", "lbCO2e/US gal", "pound/gallon"),
}
"""SI units of the calculators, besides lengths, counts, times and angles, with the units in which they are shown."""

UNIT_OF_KIND: dict[str, str] = {
    "area": "m2", "volume": "m3", "mass": "t", "mass per area": "kg/m2", "mass per length": "kg/m", "resistance": "m2 K/W", "transmittance": "W/(m2 K)",
    "conductivity": "W/(m K)", "angle": "degree", "pressure": "kPa", "weight": "kN", "speed": "m/s", "energy": "kWh", "degree days": "K day", "length": "m",
    "duration": "h", "days": "day",
    "emission per mass": "kgCO2e/t", "emission per haul": "kgCO2e/(t km)", "emission per energy": "kgCO2e/kWh", "emission per volume": "kgCO2e/l",
}
"""The calculators' name for the SI unit of each kind of quantity."""

_SLOW = _Unit("mm/h", "millimeter/hour", "in/h", "inch/hour", "m/second")
_SLOW_UNDER_M_PER_S = Fraction(1, 1000)
"""Rain and soakage are told by the hour, and the water in a pipe by the second."""


@cache
def _sizes(record: _Unit) -> tuple[Fraction, Fraction]:
    """How many metric and how many imperial units one of the calculators' is, by pint."""
    si = record.si_pint or record.metric_pint
    return factor(si, record.metric_pint), factor(si, record.imperial_pint)


@remembered
def quantity(value: float, unit: str) -> Shown:
    """An amount in one of the calculators' units, in words.

    `unit` is a key of `UNITS`, or `m` (a length), `gradient`, `degree`, `h`,
    `day`, or empty for a plain number.  Raises KeyError for any other.

    >>> quantity(5.293, "m3")
    Shown(metric='5.29 m³', imperial='6.92 yd³')
    >>> quantity(0.35, "m").metric, quantity(63.2, "h").metric, quantity(3, "").imperial
    ('350 mm', '63 hours', '3')
    >>> quantity(12.6, "t").imperial, quantity(0.27, "W/(m2 K)").imperial
    ('13.9 tons', '0.048 Btu/h·ft²·°F')
    >>> quantity(0.0012, "m3/s"), quantity(2.1e-5, "m/s").metric, quantity(30.0, "degree").metric
    (Shown(metric='1.2 l/s', imperial='19 US gal/min'), '75.6 mm/h', '30 degrees')
    """
    if unit == "":
        return same(count(value))
    if unit == "m":
        return length(value)
    if unit == "gradient":
        return same(gradient(value))
    if unit == "h":
        return same(hours(value))
    if unit == "day":
        return same(_counted(exactly(value), "day"))
    if unit == "degree C":
        return temperature(value)
    if unit in ("degree", "degrees"):
        words = _three_figures(exactly(value))
        return same(f"{words} degree" if words == "1" else f"{words} degrees")
    record, exact = UNITS[unit], exactly(value)
    if unit == "m/s" and 0 < abs(exact) < _SLOW_UNDER_M_PER_S:
        record = _SLOW
    metric, imperial = _sizes(record)
    exact, other = exact * metric, exact * imperial
    if unit.startswith("W/"):
        return Shown(f"{_fixed(exact, 2)} {record.metric}", f"{_fixed(other, 3)} {record.imperial}")
    if unit == "m2":
        return Shown(f"{_whole_or_tenths(exact)} {record.metric}", f"{_whole_or_tenths(other)} {record.imperial}")
    if unit in ("kg", "kgCO2e", "kWh"):
        return Shown(f"{_whole_or_tenths(exact, 10)} {record.metric}", f"{_whole_or_tenths(other, 10)} {record.imperial}")
    if unit in ("m3", "t"):
        ton = "ton" if unit == "t" and _about(other) == "1.00" else record.imperial
        return Shown(f"{_about(exact)} {record.metric}", f"{_about(other)} {ton}")
    metric_words, imperial_words = _three_figures(exact), _three_figures(other)
    return Shown(f"{metric_words} {record.metric}", f"{imperial_words} {'mile' if unit == 'km' and imperial_words == '1' else record.imperial}")


def _whole_or_tenths(value: Fraction, whole_from: int = 100) -> str:
    return _fixed(value, 0 if _nearest(abs(value) * 10) >= whole_from * 10 else 1)


def _three_figures(value: Fraction) -> str:
    """Three significant figures without idle noughts after the point."""
    if value == 0:
        return "0"
    exponent = math.floor(math.log10(abs(float(value))))
    words = _fixed(value, max(0, 2 - exponent))
    return words.rstrip("0").rstrip(".") if "." in words else words


def area(m2: float) -> Shown:
    """An area given in m2.

    >>> area(27.72)
    Shown(metric='27.7 m²', imperial='298 ft²')
    """
    return quantity(m2, "m2")


def volume(m3: float) -> Shown:
    """A volume given in m3.

    >>> volume(52.04)
    Shown(metric='52.0 m³', imperial='68.1 yd³')
    """
    return quantity(m3, "m3")


def litres(m3: float) -> Shown:
    """A small volume given in m3.

    >>> litres(0.0123)
    Shown(metric='12.3 l', imperial='3.25 US gal')
    """
    return quantity(float(exactly(m3) * factor("m**3", "liter")), "l")


def mass(t: float) -> Shown:
    """A mass given in tonnes; imperial in short tons.

    >>> mass(9.43)
    Shown(metric='9.43 t', imperial='10.4 tons')
    """
    return quantity(t, "t")


def u_value(w_per_m2k: float) -> Shown:
    """A U-value given in W/(m2 K).

    >>> u_value(0.2684).metric
    '0.27 W/m²K'
    """
    return quantity(w_per_m2k, "W/(m2 K)")


@remembered
def temperature(degrees_c: float) -> Shown:
    """A temperature given in degrees Celsius, to a whole degree.

    >>> temperature(11.6), temperature(-0.2).metric
    (Shown(metric='12 °C', imperial='53 °F'), '0 °C')
    """
    exact = exactly(degrees_c)
    fahrenheit = exact * factor("delta_degree_Celsius", "delta_degree_Fahrenheit") + 32
    return Shown(*(f"{_fixed(value, 0)} {scale}" for value, scale in ((exact, "°C"), (fahrenheit, "°F"))))


_FIVE_MINUTES_IN_AN_HOUR = 12


@remembered
def clock(h: float) -> str:
    """An hour of the day by the clock, to five minutes; after midnight it says so.

    >>> clock(8.0), clock(14.09), clock(28.9)
    ('08:00', '14:05', '04:55 the next day')
    """
    hour, fives = divmod(_nearest(exactly(h) * _FIVE_MINUTES_IN_AN_HOUR), _FIVE_MINUTES_IN_AN_HOUR)
    day, hour = divmod(hour, 24)
    return f"{hour:02d}:{5 * fives:02d}" + (("", " the next day")[day] if 0 <= day <= 1 else f", {day} days later" if day > 0 else " the day before")


@remembered
def duration(h: float) -> str:
    """A time of the clock, to five minutes.

    >>> duration(0.5), duration(1.0), duration(3.2), duration(0.01)
    ('30 min', '1 h', '3 h 10 min', 'under 5 min')
    """
    hour, fives = divmod(_nearest(exactly(h) * _FIVE_MINUTES_IN_AN_HOUR), _FIVE_MINUTES_IN_AN_HOUR)
    words = " ".join(([f"{hour} h"] if hour else []) + ([f"{5 * fives} min"] if fives else []))
    return words or "under 5 min"


@remembered
def hours(h: float) -> str:
    """Hours of work: whole from ten up, tenths below.

    >>> hours(63.4), hours(1.0), hours(2.25), hours(0.0)
    ('63 hours', '1 hour', '2.3 hours', '0 hours')
    """
    exact = exactly(h)
    words = _whole_or_tenths(exact, 10).removesuffix(".0")
    return f"{words} hour" if words == "1" else f"{words} hours"


@remembered
def percent(share: float) -> str:
    """A share of one, as a percentage: tenths below ten.

    >>> percent(0.0654), percent(0.155), percent(0.05), percent(0.0)
    ('6.5 %', '16 %', '5 %', '0 %')
    """
    return f"{_whole_or_tenths(exactly(share) * 100, 10).removesuffix('.0')} %"


# Money.


@remembered
def money(amount: float, currency: str) -> str:
    """Money in whole units of the currency.

    >>> money(4130.4, "GBP"), money(8730, "USD"), money(4130, "EUR"), money(-461.5, "GBP")
    ('£4,130', '$8,730', 'EUR 4,130', '−£462')
    """
    return _money(amount, currency, 0)


@remembered
def money_exact(amount: float, currency: str) -> str:
    """Money to a hundredth, as a bill shows it.

    >>> money_exact(148, "GBP"), money_exact(-0.001, "GBP")
    ('£148.00', '£0.00')
    """
    return _money(amount, currency, 2)


def _money(amount: float, currency: str, places: int) -> str:
    figure = _fixed(exactly(amount), places)
    sign = MINUS if figure.startswith(MINUS) else ""
    before = SIGNS.get(currency, f"{currency} ")
    return f"{sign}{before}{figure.removeprefix(MINUS)}"


def money_range(spread: Spread, currency: str) -> str:
    """Money from low to high, in whole units.

    >>> money_range(Spread(3420.2, 4130.0, 5109.9), "GBP")
    '£3,420 to £5,110'
    """
    # A credit is less than nothing: at low rates it is the greater figure.
    low, high = money(min(spread.low, spread.high), currency), money(max(spread.low, spread.high), currency)
    return low if low == high else f"{low} to {high}"


# What is ordered, in units of sale.

_SALE_WORDS: dict[str, str] = {"m^2": "m²", "ft^2": "ft²", "yd^2": "yd²", "m^3": "m³", "ft^3": "ft³", "yd^3": "yd³", "short ton": "ton"}
_IMPERIAL_SALE = {"ft", "in", "yd", "mile", "ft^2", "yd^2", "ft^3", "yd^3", "lb", "short ton"}
_SI_OF_KIND = {"length": "m", "area": "m2", "volume": "m3", "mass": "t"}
_OTHER_SYSTEM: dict[str, tuple[str, str]] = {"length": ("m", "ft"), "area": ("m^2", "ft^2"), "volume": ("m^3", "yd^3"), "mass": ("t", "short ton")}
_PLURAL = {"each": "", "delivery": "deliveries"}


def sale_unit(unit: str) -> str:
    """A unit of sale in words.

    >>> sale_unit("m^3"), sale_unit("short ton"), sale_unit("roll"), sale_unit("each")
    ('m³', 'ton', 'roll', 'each')
    """
    return _SALE_WORDS.get(unit, unit)


def _counted(amount: Fraction, unit: str) -> str:
    figure = _fixed(amount, 0) if amount.denominator == 1 else _about(amount)
    if unit in COUNTS.values() or unit in TIMES.values() or unit == "short ton":
        words = sale_unit(unit) if amount == 1 and unit != "each" else _PLURAL.get(unit, sale_unit(unit) + "s")
        return f"{figure} {words}".rstrip()
    return f"{figure} {sale_unit(unit)}"


@remembered
def _converted(unit: str) -> tuple[str, Fraction] | None:
    """The unit of the other system for a unit of sale, and how many of them one is; None for counts and times."""
    name, kind, _ = find_sale_unit(unit)
    if kind not in _OTHER_SYSTEM:
        return None
    other = _OTHER_SYSTEM[kind][0 if name in _IMPERIAL_SALE else 1]
    pint_names = {record.name: record.pint_name for record in KINDS[kind].units}
    return other, factor(pint_names[name], pint_names[other])


def _as_ordered(amount: Fraction) -> str:
    """An order on its step: rounded to three figures it would be another order."""
    if (amount * 100).denominator != 1:
        return _three_figures(amount)
    return _fixed(amount, 0 if amount.denominator == 1 else 1 if (amount * 10).denominator == 1 else 2)


@remembered
def order(amount: float, unit: str) -> Shown:
    """An order in its unit of sale; in the other unit system with the conversion beside it.

    >>> order(5.5, "m^3"), order(3, "roll").metric, order(10.75, "m^3").metric
    (Shown(metric='5.5 m³', imperial='5.5 m³ (7.19 yd³)'), '3 rolls', '10.75 m³')
    """
    exact = exactly(amount)
    figure = _as_ordered(exact)
    words = f"{figure} {sale_unit(unit)}" if unit in _SALE_WORDS and unit != "short ton" else _counted(exact, unit)
    other = _converted(unit)
    if other is None:
        return same(words)
    both = f"{words} ({_counted_about(exact * other[1], other[0])})"
    return Shown(both, words) if unit in _IMPERIAL_SALE else Shown(words, both)


def _counted_about(amount: Fraction, unit: str) -> str:
    words = sale_unit(unit)
    return f"{_about(amount)} {words + 's' if unit == 'short ton' and _about(amount) != '1.00' else words}"


@remembered
def rate(amount: float, currency: str, unit: str) -> Shown:
    """A price for each unit of sale; in the other unit system with the conversion beside it.

    >>> rate(148, "GBP", "m^3")
    Shown(metric='£148.00 per m³', imperial='£148.00 per m³ (£113.15 per yd³)')
    >>> rate(2.8, "USD", "each").metric
    '$2.80 each'
    """
    words = money_exact(amount, currency) + (" each" if unit == "each" else f" per {sale_unit(unit)}")
    other = _converted(unit)
    if other is None:
        return same(words)
    price = money_exact(float(exactly(amount) / other[1]), currency)
    both = f"{words} ({price} per {sale_unit(other[0])})"
    return Shown(both, words) if unit in _IMPERIAL_SALE else Shown(words, both)


# Where only plain letters can be shown.

_ASCII = str.maketrans({
    MINUS: "-", "²": "2", "³": "3", "×": "x", "·": ".", "°": "deg ", "±": "+/-", "£": "GBP ", "–": "-", "—": "-",
    "\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "…": "...",
    "′": "'", "″": '"',
})


def in_ascii(text: str) -> str:
    """The same words in plain letters, for a terminal that has no others.

    >>> in_ascii("−£462, 5.29 m³")
    '-GBP 462, 5.29 m3'
    """
    return text.translate(_ASCII).encode("ascii", "replace").decode("ascii")
