"""Reads schedules of rates, and puts a reader's quotes into them.

A schedule is a YAML file of its own, read as strictly as a scenario.  It
comes with the guide (in `rates`) or lies beside the scenario that names it.
Every rate is typed with its unit of sale, so no figure is without one.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

from calculators.scenario import UNITS
from calculators.schedule import RATE_ITEMS, RATE_KEYS, Products, Rate, RateItem, Schedule
from generator.front_matter import LARGEST_FILE, Keys, Text, Value, decoded, read_keys
from generator.input_readers import HINTS_AT_MOST, as_typed, items_of, read_inputs, text_of, unknown_key
from generator.inputs import YES_NO, Input
from generator.phrases import in_sentence
from generator.problems import BadInput, Problem, as_shown, listed, nearest
from generator.quantities import KINDS, Money, Unreadable, find_sale_unit, parse_money

SHIPPED = Path(__file__).parent / "rates"

YOURS = "yours"
"""Whose figure a quoted rate is."""

LARGEST_RATE = 10_000_000

_SOLD_BY = {"volume": "m^3", "mass": "t", "area": "m^2", "length": "m", "time": "hour", "count": "each"}


def _example(item: RateItem, currency: str) -> str:
    """A rate as it may be typed, in a unit of its kind.

    >>> _example(RATE_ITEMS[0], "EUR")
    '{low: 28 EUR/m^3, likely: 34 EUR/m^3, high: 44 EUR/m^3, step: 1 m^3}'
    """
    unit = "day" if item.key.endswith("_day") else _SOLD_BY[item.unit_kind]
    per = " each" if unit == "each" else f"/{unit}"
    return f"{{low: 28 {currency}{per}, likely: 34 {currency}{per}, high: 44 {currency}{per}, step: 1 {unit}}}"


SCHEDULE_INPUTS: tuple[Input, ...] = (
    Input("name", "Name", "name", "the name of the schedule, that of its file without the ending", "my-yard"),
    Input("title", "Title", "title", "what the schedule is", "Quotes from three yards"),
    Input("currency", "Currency", "currency", "currency of every rate, in three letters", "GBP"),
    Input("dated", "Dated", "date", "the year and month of the prices", "2026-11"),
    Input("tax_included", "Tax included", "yes or no", "is tax in the rates", "yes", choices=YES_NO),
    Input("tax_percent", "Tax", "percent", "rate of the tax", "20 %", least="0 %", most="50 %"),
    Input("invented", "Invented", "yes or no", "are these made-up prices", "no", choices=YES_NO),
    Input("overhead_percent", "Overhead and profit", "percent", "what a hired firm adds for overhead and profit", "15 %", least="0 %", most="100 %"),
    Input("units", "Units", "choice", "units in which things are sold there", "metric", choices=UNITS),
    Input("products.block_face", "Block face", "two lengths", "length and height of a block's face, without joint", "440 mm x 215 mm", least="90 mm", most="1 m"),
    Input("products.mortar_joint", "Mortar joint", "length", "thickness of a mortar joint", "10 mm", least="1 mm", most="25 mm"),
    Input("products.fabric_name", "Fabric", "title", "name of the steel fabric", "A193"),
    Input("products.fabric_sheet", "Fabric sheet", "two lengths", "length and width of a sheet of steel fabric", "4.8 m x 2.4 m", least="0.8 m", most="20 m"),
    Input("products.fabric_mass", "Fabric mass", "mass per area", "mass of the steel fabric", "3.02 kg/m^2", least="0.5 kg/m^2", most="20 kg/m^2"),
    Input("products.membrane_roll", "Membrane roll", "two lengths", "length and width of a roll of membrane", "25 m x 4 m", least="0.5 m", most="200 m"),
    Input("products.damp_proof_course_roll", "Damp-proof course roll", "length", "length of a roll of damp-proof course", "30 m", least="1 m", most="200 m"),
    Input("products.concrete_lorry", "Concrete lorry", "volume", "what a full lorry carries", "6 m^3", least="1 m^3", most="15 m^3"),
    Input("products.concrete_full_charge_from", "Full load from", "volume", "load below which a part-load charge is made", "4 m^3", least="0 m^3", most="15 m^3"),
    Input("products.spoil_load", "Spoil load", "volume", "loose spoil carted in one load", "6 m^3", least="0.5 m^3", most="20 m^3"),
    *(Input(f"rates.{item.key}", item.label, "rate", f"what is paid for {in_sentence(item.label)}: low, likely and high for each unit of sale, and the step of an order",
            _example(item, "GBP")) for item in RATE_ITEMS),
)
"""Every key of a schedule of rates; all are needed."""

RATE_PARTS = ("low", "likely", "high", "step")


def shipped_names() -> tuple[str, ...]:
    """The names of the schedules that come with the guide."""
    return tuple(sorted(path.stem for path in SHIPPED.glob("*.yml")))


def load_schedule(name: str, beside: Path | None, wanted_by: Problem) -> Schedule:
    """The schedule called `name`: one that comes with the guide, or `name`.yml in the folder `beside`.

    `wanted_by` is the place that names it, for the sentence when there is
    none.  `name` is small letters, figures and hyphens only, so that it
    cannot lead to another folder.  Raises BadInput.
    """
    if not re.fullmatch(r"[a-z0-9-]+", name, re.ASCII):
        raise BadInput([replace(wanted_by, given=f"{as_shown(name)} is not the name of a schedule of rates")])
    shipped = SHIPPED / f"{name}.yml"
    own = beside / f"{name}.yml" if beside else None
    if own and own.is_file() and own.resolve() != shipped.resolve():
        if shipped.is_file():
            raise BadInput([replace(wanted_by, given=f"{name} comes with the guide, and {name}.yml lies beside the scenario too", wanted="give yours another name")])
        return _read(_bytes(own), str(own), name)
    if shipped.is_file():
        return _read(_bytes(shipped), shipped.name, name)
    raise BadInput([replace(wanted_by, given=f"there is no schedule of rates called {name}",
                            wanted=f"write {listed(shipped_names())}, or put {name}.yml beside the scenario")])


def _bytes(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(LARGEST_FILE + 1)


@lru_cache(maxsize=16)
def _read(raw: bytes, file: str, name: str) -> Schedule:
    """The schedule in a file's bytes.  Kept, because every scenario of a site asks for the same few."""
    return read_schedule(decoded(raw, file), file, name)


def read_schedule(text: str, file: str, name: str) -> Schedule:
    """The schedule written in `text`; `name` is what its file is called.  Raises BadInput with every problem."""
    tree = read_keys(text, file)
    found = read_inputs(tree, SCHEDULE_INPUTS, file)
    problems = found.problems
    for item in SCHEDULE_INPUTS:
        if item.key not in found.given:
            problems.append(Problem(file, found.lines.get(item.group, 1), item.key, "this is missing", f"write {item.hint}", f"{item.name}: {item.example}"))
    at = found.values
    if at.get("name", name) != name:
        problems.append(Problem(file, found.lines["name"], "name", f"{as_shown(at['name'])} is not what the file is called", "write the name of the file without its ending", name))
    rates: dict[str, Rate] = {}
    for item in RATE_ITEMS:
        key = f"rates.{item.key}"
        if key not in at or "currency" not in at:
            continue
        try:
            rates[item.key] = _rate(item, at[key], at["currency"], name)
        except Unreadable as error:
            problems.append(Problem(file, found.lines[key], key, error.given, error.wanted or f"write {listed(RATE_PARTS, 'and')}", error.example or _example(item, at["currency"])))
    low, high = "products.concrete_full_charge_from", "products.concrete_lorry"
    if low in at and high in at and at[low] > at[high]:
        problems.append(Problem(file, found.lines[low], low, f"{as_shown(found.given[low])} is more than a full lorry", f"write {found.given[high]} or less"))
    if problems:
        raise BadInput(problems)
    block_length, block_height = at["products.block_face"]
    sheet_length, sheet_width = at["products.fabric_sheet"]
    roll_length, roll_width = at["products.membrane_roll"]
    products = Products(
        block_length_m=block_length,
        block_height_m=block_height,
        mortar_joint_m=at["products.mortar_joint"],
        fabric_name=at["products.fabric_name"],
        fabric_sheet_length_m=sheet_length,
        fabric_sheet_width_m=sheet_width,
        fabric_kg_per_m2=at["products.fabric_mass"],
        membrane_roll_width_m=roll_width,
        membrane_roll_length_m=roll_length,
        damp_proof_course_roll_length_m=at["products.damp_proof_course_roll"],
        concrete_lorry_m3=at["products.concrete_lorry"],
        concrete_full_charge_from_m3=at["products.concrete_full_charge_from"],
        spoil_load_m3=at["products.spoil_load"],
    )
    return Schedule(
        name=name, title=at["title"], currency=at["currency"], dated=at["dated"], tax_included=at["tax_included"],
        tax_percent=at["tax_percent"], invented=at["invented"], overhead_percent=at["overhead_percent"],
        units=at["units"], products=products, rates=rates,
    )


def _rate(item: RateItem, keys: Keys, currency: str, name: str) -> Rate:
    """One rate of a schedule.  Raises Unreadable."""
    example = _example(item, currency)
    for part in keys.values:
        if part not in RATE_PARTS:
            close = nearest(part, RATE_PARTS)
            raise Unreadable(f"there is no such key as {as_shown(part)}", f"did you mean {close}?" if close else f"write {listed(RATE_PARTS, 'and')}", example)
    for part in RATE_PARTS:
        if part not in keys.values:
            raise Unreadable(f"{part} is missing", f"write {listed(RATE_PARTS, 'and')}", example)
    prices = [_price(item, text_of(keys.values[part]), currency) for part in RATE_PARTS[:3]]
    if len({price.unit for price in prices}) > 1:
        raise Unreadable("low, likely and high are not for the same unit", "write all three for the unit of sale", example)
    _in_order(prices)
    step_text = text_of(keys.values["step"])
    step = re.fullmatch(r"(\d+(?:\.\d+)?) ?(.*)", step_text, re.ASCII)
    unit = prices[0].unit
    if not step or not step[2] or find_sale_unit(step[2])[0] != unit or Fraction(step[1]) <= 0:
        raise Unreadable(f"the step {as_shown(step_text)} is not an amount of the unit of sale", "write the least amount by which an order grows", f"step: 1 {unit}")
    return Rate(item.key, *(float(price.amount) for price in prices), sale_unit=unit, sale_unit_in_si=float(prices[0].unit_in_si),
                step=float(Fraction(step[1])), rate_from=name)


def _in_order(prices: list[Money]) -> None:
    low, likely, high = (price.amount / price.unit_in_si for price in prices)
    if not low <= likely <= high:
        raise Unreadable("low, likely and high are not in order", "write the lowest first and the highest last")


def _price(item: RateItem, typed: str, currency: str) -> Money:
    """Money for a unit of the right kind in the right currency.  Raises Unreadable."""
    kind_words = {"time": "an hour or a day", "count": "each one"}.get(item.unit_kind) or KINDS[item.unit_kind].words.removesuffix(" with its unit")
    price = parse_money(typed)
    if price.currency != currency:
        raise Unreadable(f"{as_shown(typed)} is in {price.currency}, and the schedule of rates is in {currency}",
                         "nothing is changed from one currency into another; write it in the schedule's", f"{_round(price)} {currency}/{price.unit}" if price.unit_kind == item.unit_kind else "")
    if not price.unit_kind:
        raise Unreadable(f"{as_shown(typed)} does not say for how much", f"write the price of {kind_words}")
    if price.unit_kind != item.unit_kind:
        raise Unreadable(f"{as_shown(typed)} is a price for the unit {price.unit}", f"{item.label.lower()} is sold by {item.unit_kind}; write the price of {kind_words}")
    if not 0 <= price.amount <= LARGEST_RATE:
        raise Unreadable(f"{as_shown(typed)} cannot be a price", "write 0 or more")
    return price


def _round(price: Money) -> str:
    return f"{float(price.amount):g}"


def with_quotes(schedule: Schedule, quotes: Keys, file: str) -> tuple[Schedule, list[Problem]]:
    """The schedule with a reader's quotes in place of its rates, and every problem with them.

    A quote may be for any unit of the rate's kind; it is turned into the
    schedule's unit of sale.  A list of three is low, likely and high; a single
    quote is all three.
    """
    rates = dict(schedule.rates)
    problems: list[Problem] = []
    for key, value in quotes.values.items():
        line = quotes.lines[key]
        if key not in RATE_KEYS:
            problems.append(unknown_key(file, line, "quotes", key, [f"quotes.{known}" for known in RATE_KEYS], (), len(problems) < HINTS_AT_MOST))
            continue
        item = RATE_ITEMS[RATE_KEYS.index(key)]
        try:
            rates[key] = _quoted(item, value, rates[key], schedule.currency)
        except Unreadable as error:
            rate = schedule.rates[key]
            unit = " each" if rate.sale_unit == "each" else f"/{rate.sale_unit}"
            problems.append(Problem(file, line, f"quotes.{key}", error.given, error.wanted or "write a price", error.example or f"{rate.likely:g} {schedule.currency}{unit}"))
    return replace(schedule, rates=rates), problems


def _quoted(item: RateItem, value: Value, rate: Rate, currency: str) -> Rate:
    if isinstance(value, Text):
        typed = [text_of(value)] * 3
    else:
        entries = items_of(value)
        if len(entries) != 3:
            raise Unreadable(f"{as_shown(as_typed(value))} has {len(entries)} prices", "write one price, or low, likely and high")
        typed = [text_of(entry) for entry in entries]
    prices = [_price(item, text, currency) for text in typed]
    _in_order(prices)
    for price in prices:
        if item.unit_kind in ("time", "count") and price.unit != rate.sale_unit and "each" not in (price.unit, rate.sale_unit):
            raise Unreadable(f"{as_shown(typed[0])} is a price for the unit {price.unit}", f"{item.label.lower()} is sold by the {rate.sale_unit}")
    size = Fraction(rate.sale_unit_in_si)
    low, likely, high = (float(price.amount / price.unit_in_si * size) if price.unit != rate.sale_unit else float(price.amount) for price in prices)
    return replace(rate, low=low, likely=likely, high=high, rate_from=YOURS)
