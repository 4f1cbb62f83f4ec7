"""Reads quantities as people type them, by a small strict grammar.

A quantity is a number and a unit from the allow-list of its kind, and nothing
else: `6.4m`, `21 ft 6 in`, `6 ft 6 1/2 in`, `1:14`, `7 %`, `148 GBP/m^3`.
Temperatures, hours of the clock, latitudes and dates have small grammars of
their own.  A general expression reader would take "6,6 m" for 66 m and
"1 in 14" for inches, so none is used.  Numbers are kept as exact fractions
until the factor, which comes from pint, has been applied; so the same length
in feet and in millimetres gives the same float.
"""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from generator.problems import as_shown, listed, nearest

LONGEST_QUANTITY = 60
"""Characters; nothing that is one quantity is longer."""


class Unreadable(ValueError):
    """Text that is not the quantity asked for: what is the matter, and what to write instead."""

    def __init__(self, given: str, wanted: str = "", example: str = ""):
        self.given = given
        self.wanted = wanted
        self.example = example
        self.line: int | str | None = None
        self.others: tuple[Unreadable, ...] = ()
        super().__init__(given)


@dataclass(frozen=True)
class Unit:
    """A unit people may type: its name, the expression pint knows it by, and other spellings."""

    name: str
    pint_name: str
    spellings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: what it is called, its SI unit for pint, an example, its units."""

    words: str
    si: str
    example: str
    units: tuple[Unit, ...]


_FEET = Unit("ft", "foot", ("foot", "feet", "'"))
_INCHES = Unit("in", "inch", ("inch", "inches", '"'))

KINDS: dict[str, Kind] = {
    "length": Kind("a length with its unit", "m", "2.4 m", (
        Unit("m", "meter", ("metre", "metres", "meter", "meters")),
        Unit("cm", "centimeter"),
        Unit("mm", "millimeter", ("millimetre", "millimetres", "millimeter", "millimeters")),
        Unit("km", "kilometer"),
        _FEET, _INCHES,
        Unit("yd", "yard", ("yard", "yards")),
        Unit("mile", "mile", ("miles",)),
    )),
    "area": Kind("an area with its unit", "m**2", "12 m^2", (
        Unit("m^2", "meter**2", ("m2",)),
        Unit("ft^2", "foot**2", ("ft2", "sq ft")),
        Unit("yd^2", "yard**2", ("yd2", "sq yd")),
    )),
    "volume": Kind("a volume with its unit", "m**3", "6 m^3", (
        Unit("m^3", "meter**3", ("m3",)),
        Unit("ft^3", "foot**3", ("ft3", "cu ft")),
        Unit("yd^3", "yard**3", ("yd3", "cu yd")),
        Unit("l", "liter", ("litre", "litres", "liter", "liters")),
    )),
    "mass": Kind("a mass with its unit", "metric_ton", "2 t", (
        Unit("t", "metric_ton", ("tonne", "tonnes")),
        Unit("kg", "kilogram"),
        Unit("lb", "pound"),
        Unit("short ton", "short_ton", ("short tons",)),
    )),
    "mass per area": Kind("a mass for each area with its unit", "kg/m**2", "3.02 kg/m^2", (
        Unit("kg/m^2", "kilogram/meter**2", ("kg/m2",)),
        Unit("lb/ft^2", "pound/foot**2", ("lb/ft2",)),
    )),
    "resistance": Kind("a thermal resistance with its unit", "m**2*K/W", "2.5 m^2 K/W", (
        Unit("m^2 K/W", "meter**2*kelvin/watt", ("m2 K/W", "m^2K/W", "m2K/W", "m^2.K/W", "m2.K/W")),
        Unit("h ft^2 degF/Btu", "hour*foot**2*delta_degF/Btu", ("h ft2 degF/Btu", "ft^2 h degF/Btu")),
    )),
    "transmittance": Kind("a U-value with its unit", "W/m**2/K", "0.18 W/(m^2 K)", (
        Unit("W/(m^2 K)", "watt/meter**2/kelvin", ("W/(m2 K)", "W/m^2 K", "W/m2 K", "W/(m^2K)", "W/(m2K)", "W/m^2K", "W/m2K", "W/(m^2.K)", "W/m2.K")),
        Unit("Btu/(h ft^2 degF)", "Btu/hour/foot**2/delta_degF", ("Btu/(h ft2 degF)",)),
    )),
    "conductivity": Kind("a thermal conductivity with its unit", "W/m/K", "1.5 W/(m K)", (
        Unit("W/(m K)", "watt/meter/kelvin", ("W/m K", "W/(mK)", "W/mK", "W/(m.K)", "W/m.K")),
        Unit("Btu/(h ft degF)", "Btu/hour/foot/delta_degF"),
    )),
    "angle": Kind("an angle with its unit", "degree", "32 deg", (
        Unit("deg", "degree", ("degree", "degrees")),
    )),
    "pressure": Kind("a pressure with its unit", "kilopascal", "100 kPa", (
        Unit("kPa", "kilopascal", ("kN/m^2", "kN/m2")),
        Unit("MPa", "megapascal", ("N/mm^2", "N/mm2")),
        Unit("psf", "force_pound/foot**2", ("lbf/ft^2", "lbf/ft2")),
        Unit("psi", "force_pound/inch**2", ("lbf/in^2", "lbf/in2")),
    )),
    # A mass that presses is typed by what it would show on scales.
    "weight": Kind("a weight with its unit", "kilonewton", "3 kN", (
        Unit("kN", "kilonewton"),
        Unit("N", "newton"),
        Unit("kg", "kilogram_force", ("kgf",)),
        Unit("t", "force_metric_ton", ("tonne", "tonnes")),
        Unit("lb", "force_pound", ("lbf",)),
    )),
    "mass per length": Kind("a mass for each metre with its unit", "kilogram/meter", "1.6 kg/m", (
        Unit("kg/m", "kilogram/meter"),
        Unit("lb/ft", "pound/foot"),
    )),
    "speed": Kind("a speed with its unit", "meter/second", "36 mm/h", (
        Unit("m/s", "meter/second"),
        Unit("mm/h", "millimeter/hour", ("mm/hr", "mm/hour")),
        Unit("in/h", "inch/hour", ("in/hr", "in/hour")),
        Unit("km/h", "kilometer/hour", ("km/hr", "km/hour", "kph")),
        Unit("mph", "mile/hour", ("mile/h", "miles/hour")),
    )),
    "duration": Kind("a time with its unit", "hour", "30 min", (
        Unit("h", "hour", ("hr", "hour", "hours")),
        Unit("min", "minute", ("mins", "minute", "minutes")),
    )),
    # A working day is not 24 hours, so days are counted and never made of hours.
    "days": Kind("a number of days with its unit", "day", "10 days", (
        Unit("day", "day", ("days",)),
        Unit("week", "week", ("weeks",)),
    )),
    "energy": Kind("an amount of energy with its unit", "kilowatt_hour", "400 kWh", (
        Unit("kWh", "kilowatt_hour"),
        Unit("MJ", "megajoule"),
    )),
    "degree days": Kind("degree-days with their unit", "kelvin*day", "2200 K day", (
        Unit("K day", "kelvin*day", ("K days", "degC day", "degC days", "deg C day", "deg C days", "degree day", "degree days")),
        Unit("degF day", "delta_degF*day", ("degF days", "deg F day", "deg F days")),
    )),
    "emission per mass": Kind("an emission for each tonne with its unit", "kilogram/metric_ton", "95 kgCO2e/t", (
        Unit("kgCO2e/t", "kilogram/metric_ton", ("kg/t",)),
        Unit("kgCO2e/kg", "kilogram/kilogram", ("kg/kg",)),
        Unit("lbCO2e/short ton", "pound/short_ton", ("lb/short ton",)),
    )),
    "emission per haul": Kind("an emission for each tonne carried a kilometre with its unit", "kilogram/(metric_ton*kilometer)", "0.15 kgCO2e/(t km)", (
        Unit("kgCO2e/(t km)", "kilogram/(metric_ton*kilometer)", ("kg/(t km)", "kgCO2e/tkm", "kg/tkm")),
        Unit("lbCO2e/(short ton mile)", "pound/(short_ton*mile)", ("lb/(short ton mile)",)),
    )),
    "emission per energy": Kind("an emission for each kilowatt hour with its unit", "kilogram/kilowatt_hour", "0.177 kgCO2e/kWh", (
        Unit("kgCO2e/kWh", "kilogram/kilowatt_hour", ("kg/kWh",)),
        Unit("gCO2e/kWh", "gram/kilowatt_hour", ("g/kWh",)),
        Unit("lbCO2e/MWh", "pound/megawatt_hour", ("lb/MWh",)),
    )),
    "emission per volume": Kind("an emission for each litre with its unit", "kilogram/liter", "2.57 kgCO2e/l", (
        Unit("kgCO2e/l", "kilogram/liter", ("kg/l", "kgCO2e/litre")),
        Unit("lbCO2e/US gal", "pound/gallon", ("lb/US gal",)),
    )),
}

TIMES: dict[str, str] = {"hour": "hour", "h": "hour", "hr": "hour", "day": "day"}
"""A working day is not 24 hours, so an hour and a day are never turned into each other."""

COUNTS: dict[str, str] = {
    word: word
    for word in ("each", "roll", "sheet", "visit", "block", "strap", "step", "set", "job", "fee", "delivery")
}

_AMOUNT = r"(?P<{0}>(?:\d+ )?\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_ONE = re.compile(r"(?P<sign>-?) ?" + _AMOUNT.format("n") + r" ?(?P<unit>[A-Za-z'\"%].*)?", re.ASCII)
_FEET_INCHES = re.compile(
    r"(?P<sign>-?) ?(?P<ft>\d+) ?(?:ft|foot|feet|') ?" + _AMOUNT.format("n") + r' ?(?:in|inch|inches|")', re.ASCII)
_RATIO = re.compile(r"1 ?(?::|in) ?(?P<n>\d+(?:\.\d+)?)", re.ASCII)
_MONEY = re.compile(r"(?P<n>-?\d+(?:\.\d+)?) ?(?P<currency>[A-Za-z]{3})(?: ?/ ?(?P<unit>.+)| (?P<each>each))?", re.ASCII)


@cache
def _registry():
    # Imported late: half a second that a form in a browser, or a scenario refused early, need not spend.
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def factor(pint_name: str, si: str) -> Fraction:
    """How many of the unit `si` one `pint_name` holds, exactly, by pint.

    >>> factor("foot", "m")
    Fraction(381, 1250)
    """
    return Fraction(_registry().convert(Fraction(1), pint_name, si))


def unit_in_si(unit_name: str, kind: str) -> float:
    """How much of the SI unit of `kind` one `unit_name` holds (mass counts in tonnes).

    Raises KeyError when the kind has no such unit.

    >>> unit_in_si("yd^3", "volume")
    0.764554857984
    """
    for unit in KINDS[kind].units:
        if unit.name == unit_name:
            return float(factor(unit.pint_name, KINDS[kind].si))
    raise KeyError(unit_name)


def _tidy(text: str) -> str:
    """Blanks closed up and typographic characters given their plain form."""
    plain = text.translate(str.maketrans({
        "\u2212": "-", "\u00b2": "^2", "\u00b3": "^3", "\u00d7": "x", "\u2032": "'", "\u2033": '"',
        "\u2019": "'", "\u201d": '"', "\u00b7": ".", "\u00b0": " deg ",
    }))
    return " ".join(plain.split())


def _checked(text: str) -> str:
    """Tidied text, or Unreadable for what no quantity of any kind contains."""
    if len(text) > LONGEST_QUANTITY:
        raise Unreadable(f"{as_shown(text)} is too long to be a quantity")
    tidy = _tidy(text)
    if not tidy:
        raise Unreadable("nothing is given")
    if re.search(r"\d,\d", tidy):
        raise Unreadable(f"{as_shown(text)} has a comma in a number", "write a point for decimals and nothing between thousands")
    return tidy


def _fraction(text: str) -> Fraction:
    """`3`, `2.5`, `1/2` or `6 1/2` as an exact fraction."""
    total = Fraction(0)
    for part in text.split():
        if part.endswith("/0") or re.search(r"/0+$", part):
            raise Unreadable(f"{as_shown(text)} divides by nothing")
        total += Fraction(part if part[0] != "." else "0" + part)
    return total


def _unit_key(text: str) -> str:
    """A unit without blanks beside its signs; a blank between letters stays, for "m m" is not "mm"."""
    return re.sub(r" ?([/()^.]) ?", r"\1", text)


def _find_unit(text: str, kind: str, whole: str) -> Unit:
    """The unit of `kind` spelt `text`, or Unreadable with the nearest one."""
    known = {_unit_key(s): unit for unit in KINDS[kind].units for s in (unit.name, *unit.spellings)}
    unit = known.get(_unit_key(text))
    if unit:
        return unit
    names = [u.name for u in KINDS[kind].units]
    guess = {k.lower(): u for k, u in known.items()}.get(_unit_key(text).lower())
    if guess:
        raise Unreadable(f"{as_shown(whole)} has the unit {as_shown(text)}", f"small and capital letters matter: write {guess.name}")
    for other, record in KINDS.items():
        if other != kind and any(_unit_key(text) == _unit_key(s) for u in record.units for s in (u.name, *u.spellings)):
            raise Unreadable(f"{as_shown(whole)} is {record.words.removesuffix(' with its unit')}",
                             f"{KINDS[kind].words} is wanted, in {listed(names)}")
    close = nearest(text, known)
    hint = f", perhaps {known[close].name}" if close and len(text) > 1 else ""
    raise Unreadable(f"{as_shown(whole)} has the unit {as_shown(text)}, which is not known here",
                     f"write {KINDS[kind].words}, in {listed(names)}{hint}")


def parse_exact(text: str, kind: str) -> Fraction:
    """One quantity of `kind` in SI (mass in tonnes, durations in hours or days), exactly.  A plain 0 needs no unit.

    Raises Unreadable for everything the grammar does not have.

    >>> parse_exact("21 ft 6 in", "length")
    Fraction(16383, 2500)
    >>> parse_exact("0", "length")
    Fraction(0, 1)
    """
    record = KINDS[kind]
    tidy = _checked(text)
    if kind == "length":
        both = _FEET_INCHES.fullmatch(tidy)
        if both:
            inches = _fraction(both["n"])
            if inches >= 12:
                raise Unreadable(f"{as_shown(text)} has twelve inches or more after the feet", "carry them into the feet", "21 ft 6 in")
            size = int(both["ft"]) * factor(_FEET.pint_name, "m") + inches * factor(_INCHES.pint_name, "m")
            return -size if both["sign"] else size
    one = _ONE.fullmatch(tidy)
    if not one:
        if not re.search(r"\d", tidy):
            raise Unreadable(f"{as_shown(text)} has no number in it", f"write {record.words}")
        raise Unreadable(f"{as_shown(text)} cannot be read", f"write {record.words}")
    amount = _fraction(one["n"])
    if one["unit"] is None:
        if amount == 0:
            return amount
        raise Unreadable(f"{as_shown(text)} has no unit", f"write {record.words}")
    unit = _find_unit(one["unit"], kind, text)
    size = amount * factor(unit.pint_name, record.si)
    return -size if one["sign"] else size


def parse(text: str, kind: str) -> float:
    """One quantity of `kind` in SI (mass in tonnes) as a float.  Raises Unreadable.

    >>> parse("6.4m", "length"), parse("6 ft 6 1/2 in", "length"), parse("4 yd^3", "volume")
    (6.4, 1.9939, 3.058219431936)
    """
    return float(parse_exact(text, kind))


_LENGTHS_IN_A_ROW = {2: ("two lengths", "6.6 m x 4.2 m"), 3: ("three lengths", "1.6 m x 1.4 m x 1.5 m")}


def parse_lengths(text: str, count: int) -> tuple[float, ...]:
    """Two or three lengths, `a x b` or `a x b x c`, in metres.  Raises Unreadable.

    >>> parse_lengths("6.6 m x 4.2 m", 2), parse_lengths("5 ft x 4 ft x 3 ft 6 in", 3)
    ((6.6, 4.2), (1.524, 1.2192, 1.0668))
    """
    words, example = _LENGTHS_IN_A_ROW[count]
    if len(text) > count * LONGEST_QUANTITY:
        raise Unreadable(f"{as_shown(text)} is too long to be {words}", f"write {words}", example)
    sides = re.split(r" ?x ?", _tidy(text))
    if len(sides) != count or not all(sides):
        raise Unreadable(f"{as_shown(text)} is not {words}", f"write {words} with an x between", example)
    return tuple(parse(side, "length") for side in sides)


def parse_pair(text: str) -> tuple[float, float]:
    """Two lengths, `a x b`, in metres.  Raises Unreadable.

    >>> parse_pair("6.6 m x 4.2 m"), parse_pair("21 ft 6 in x 13 ft")
    ((6.6, 4.2), (6.5532, 3.9624))
    """
    east, north = parse_lengths(text, 2)
    return east, north


def parse_ratio(text: str) -> float:
    """A ratio as a number or a percentage: `0.3`, `30 %`, `3`.  Raises Unreadable.

    >>> parse_ratio("30 %"), parse_ratio("0.3"), parse_ratio("3")
    (0.3, 0.3, 3.0)
    """
    figure = re.fullmatch(r"(?P<n>\d+(?:\.\d+)?)(?P<percent> ?%)?", _checked(text), re.ASCII)
    if not figure:
        raise Unreadable(f"{as_shown(text)} is not a ratio", "write a number or a percentage")
    amount = Fraction(figure["n"])
    return float(amount / 100 if figure["percent"] else amount)


def parse_slope(text: str) -> float:
    """A slope as a gradient (rise over run): `1:14`, `1 in 14`, `7 %`, `4 deg` or `0`.  Raises Unreadable.

    >>> parse_slope("1:20"), parse_slope("1 in 20"), parse_slope("5 %"), parse_slope("0")
    (0.05, 0.05, 0.05, 0.0)
    >>> round(parse_slope("45 deg"), 12)
    1.0
    """
    wanted = "write a slope as a ratio, a percentage, degrees or 0"
    tidy = _checked(text)
    ratio = _RATIO.fullmatch(tidy)
    if ratio:
        run = Fraction(ratio["n"])
        if run == 0:
            raise Unreadable(f"{as_shown(text)} is a vertical face", wanted, "1:14")
        return float(1 / run)
    one = _ONE.fullmatch(tidy)
    if one and not one["sign"]:
        amount = _fraction(one["n"])
        if one["unit"] is None and amount == 0:
            return 0.0
        if one["unit"] is None:
            raise Unreadable(f"{as_shown(text)} does not say how the slope is meant", "write a ratio, a percentage or degrees", "1:14, 7 % or 4 deg")
        if one["unit"] == "%":
            return float(amount / 100)
        if one["unit"] in ("deg", "degree", "degrees"):
            if amount >= 90:
                raise Unreadable(f"{as_shown(text)} is not a slope", wanted, "4 deg")
            return math.tan(float(amount * factor("degree", "radian")))
    raise Unreadable(f"{as_shown(text)} cannot be read as a slope", wanted, "1:14, 7 % or 4 deg")


_POINTS = ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw")
COMPASS: dict[str, float] = {point: 22.5 * i for i, point in enumerate(_POINTS)}


def parse_direction(text: str) -> float:
    """A compass point (`south`, `south-east`, `SSE`) or bearing (`158`, `158 deg`) in degrees from north, 0 to under 360.

    >>> parse_direction("south-east"), parse_direction("SSE"), parse_direction("360")
    (135.0, 157.5, 0.0)
    """
    wanted = "write a compass point or a bearing from 0 to 360"
    tidy = _checked(text).lower()
    letters = re.sub(r"north|south|east|west", lambda word: word[0][0], tidy)
    letters = re.sub(r"[ -]", "", letters)
    if letters in COMPASS:
        return COMPASS[letters]
    bearing = re.fullmatch(r"(\d+(?:\.\d+)?)(?: ?deg(?:rees)?)?", tidy, re.ASCII)
    if not bearing or Fraction(bearing[1]) > 360:
        raise Unreadable(f"{as_shown(text)} is not a direction", wanted, "south, SSE or 158 deg")
    return float(Fraction(bearing[1]) % 360)


def parse_temperature(text: str) -> float:
    """A temperature in degrees Celsius: `12 C`, `-3 degC`, `54 F`, `54 deg F`.  Raises Unreadable.

    A bare number is refused, 0 too: it would be 32 degrees apart by which scale was meant.

    >>> parse_temperature("12 C"), parse_temperature("-3 deg C"), parse_temperature("50 F"), parse_temperature("0 degF")
    (12.0, -3.0, 10.0, -17.77777777777778)
    """
    wanted = "write a temperature in C or F"
    tidy = _checked(text)
    found = re.fullmatch(r"(?P<sign>-?) ?(?P<n>\d+(?:\.\d+)?)(?: ?(?P<unit>[A-Za-z].*))?", tidy, re.ASCII)
    if not found:
        raise Unreadable(f"{as_shown(text)} cannot be read as a temperature", wanted)
    if found["unit"] is None:
        raise Unreadable(f"{as_shown(text)} does not say on which scale", wanted)
    scale = re.fullmatch(r"(?:deg(?:rees?)? ?)?(C|F|Celsius|Fahrenheit)", found["unit"], re.ASCII)
    if not scale:
        raise Unreadable(f"{as_shown(text)} has the unit {as_shown(found['unit'])}, which is no scale of temperature here", wanted)
    degrees = Fraction(found["n"]) * (-1 if found["sign"] else 1)
    name = "degree_Celsius" if scale[1][0] == "C" else "degree_Fahrenheit"
    return float(_registry().Quantity(degrees, name).to("degree_Celsius").magnitude)


def parse_clock(text: str) -> float:
    """An hour of the clock in hours from midnight: `8:30`, `14:00`, `8 am`, `1:30 pm`.  Raises Unreadable.

    >>> parse_clock("8:30"), parse_clock("14:05") == 14 + 5 / 60, parse_clock("12:30 am"), parse_clock("1 pm")
    (8.5, True, 0.5, 13.0)
    """
    wanted = "write the hour, a colon and the minutes"
    tidy = _checked(text)
    found = re.fullmatch(r"(?P<h>\d{1,2})(?::(?P<min>[0-5]\d))?(?: ?(?P<half>[ap])\.?m\.?)?", tidy.lower(), re.ASCII)
    if not found or found["min"] is None and found["half"] is None:
        raise Unreadable(f"{as_shown(text)} is not an hour of the clock", wanted, "8:30")
    hour, half = int(found["h"]), found["half"]
    if hour > 23 or half and not 1 <= hour <= 12:
        raise Unreadable(f"{as_shown(text)} is not an hour of the clock", f"{wanted}, from 0:00 to 23:59" if not half else "before am or pm stands an hour from 1 to 12", "8:30")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return float(hour + Fraction(found["min"] or 0) / 60)


def parse_latitude(text: str) -> float:
    """A latitude in degrees, south of the equator below 0: `52.4 N`, `34 deg S`, `52.4 deg`, `-34 deg`.  Raises Unreadable.

    >>> parse_latitude("52.4 N"), parse_latitude("34 deg S"), parse_latitude("-34 deg")
    (52.4, -34.0, -34.0)
    """
    found = re.fullmatch(r"(?P<sign>-?) ?(?P<n>\d{1,3}(?:\.\d+)?)(?P<deg> ?deg(?:rees?)?)?(?: ?(?P<side>[NSns]))?", _checked(text), re.ASCII)
    if not found or not (found["deg"] or found["side"]) or found["sign"] and found["side"]:
        raise Unreadable(f"{as_shown(text)} is not a latitude", "write degrees, and N or S")
    south = bool(found["sign"]) or (found["side"] or "n").lower() == "s"
    return float(Fraction(found["n"]) * (-1 if south else 1))


def parse_date(text: str) -> datetime.date:
    """A day of this century, `2027-04-24`: year, month and day, so that no country reads it as another.  Raises Unreadable.

    >>> parse_date("2027-04-24")
    datetime.date(2027, 4, 24)
    """
    wanted = "write the year, the month and the day"
    found = re.fullmatch(r"(20\d\d)-(\d\d)-(\d\d)", _checked(text), re.ASCII)
    if not found:
        raise Unreadable(f"{as_shown(text)} is not a date", wanted, "2027-04-24")
    try:
        return datetime.date(*map(int, found.groups()))
    except ValueError:
        raise Unreadable(f"{as_shown(text)} is not in the calendar", wanted, "2027-04-24") from None


@dataclass(frozen=True)
class Money:
    """An amount in a currency, for each `unit` of `unit_kind`; both are empty for plain money.

    `unit_in_si` is how much of the SI unit of the kind the unit holds, 1 for
    counts and times.
    """

    amount: Fraction
    currency: str
    unit: str
    unit_kind: str
    unit_in_si: Fraction


def find_sale_unit(text: str) -> tuple[str, str, Fraction]:
    """The name, kind and SI size of a unit in which things are sold.  Raises Unreadable.

    >>> find_sale_unit("m3"), find_sale_unit("roll")
    (('m^3', 'volume', Fraction(1, 1)), ('roll', 'count', Fraction(1, 1)))
    """
    key = _unit_key(text)
    for table, kind in ((TIMES, "time"), (COUNTS, "count")):
        if key in table:
            return table[key], kind, Fraction(1)
    for kind in ("length", "area", "volume", "mass", "energy"):
        for unit in KINDS[kind].units:
            if any(key == _unit_key(s) for s in (unit.name, *unit.spellings)):
                return unit.name, kind, factor(unit.pint_name, KINDS[kind].si)
    raise Unreadable(f"the unit {as_shown(text)} is not known here",
                     "write a unit of volume, mass, area, length, energy, time or count", "m^3, t, m^2, m, kWh, hour, day, each, roll or sheet")


def parse_money(text: str) -> Money:
    """Money, or money for each unit: `12 GBP`, `148 GBP/m^3`, `28 GBP each`.  Raises Unreadable.

    >>> parse_money("148 GBP/m3")
    Money(amount=Fraction(148, 1), currency='GBP', unit='m^3', unit_kind='volume', unit_in_si=Fraction(1, 1))
    """
    tidy = _checked(text)
    found = _MONEY.fullmatch(tidy)
    if not found:
        raise Unreadable(f"{as_shown(text)} cannot be read as money", "write a number, a currency of three letters and what it is for")
    currency = found["currency"]
    if currency != currency.upper():
        raise Unreadable(f"{as_shown(text)} has the currency {as_shown(currency)}", f"write it in capitals: {currency.upper()}")
    amount = Fraction(found["n"])
    unit = found["unit"] or found["each"]
    if unit is None:
        return Money(amount, currency, "", "", Fraction(1))
    name, kind, size = find_sale_unit(unit)
    return Money(amount, currency, name, kind, size)
