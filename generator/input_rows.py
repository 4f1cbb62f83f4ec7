"""What went into a comparison, row by row: as typed, as understood, or why it was filled in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from datetime import date

from calculators.carbon import DEFAULT
from calculators.compare import hour_worth_of
from calculators.rules import RULES
from calculators.scenario import Neighbour, OwnFuture, PlaceForSurplus, Scenario
from calculators.schemes import SCHEME_BY_ID, SCHEMES
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator import display, wording
from generator.dates import MONTHS, date_words
from generator.display import Shown, same
from generator.inputs import BY_KEY, GROUPS, INPUTS, KEPT_AS, LEFT_OPEN, NOT_SAID, PIECES, WORKED_OUT, Input
from generator.phrases import in_sentence, joined
from generator.problems import listed
from generator.scenario import Reading
from generator.schedules import YOURS
from generator.templating import month


@dataclass(frozen=True)
class InputRow:
    """One input on the page: its key and label, what was typed, how it was understood, why (of a default)."""

    key: str
    label: str
    group: str
    typed: str
    understood: Shown
    reason: str = ""


def group_title(key: str) -> str:
    return GROUPS.get(key.rpartition(".")[0], "The whole")


def given_rows(reading: Reading, scenario: Scenario) -> dict[str, list[InputRow]]:
    """What somebody typed, by group, in the order of the list of inputs."""
    rows: dict[str, list[InputRow]] = {}
    for item in INPUTS:
        if item.key in reading.given and item.key not in {used.key for used in reading.defaults}:
            row = InputRow(item.key, item.label, group_title(item.key), reading.given[item.key], understood(item, scenario))
            rows.setdefault(row.group, []).append(row)
    chosen = [key for key in reading.given if key not in BY_KEY]
    for key in chosen:
        titles = [scheme.TITLE for scheme in SCHEMES if scheme.ID in scenario.schemes]
        rows.setdefault(GROUPS["schemes"], []).append(
            InputRow(key, "Schemes to compare", GROUPS["schemes"], reading.given[key], same(listed(titles, "and"))))
    return rows


def default_rows(reading: Reading, scenario: Scenario) -> dict[str, list[InputRow]]:
    """What was filled in for somebody, by group, with its reason."""
    rows: dict[str, list[InputRow]] = {}
    for used in reading.defaults:
        group = group_title(used.key)
        rows.setdefault(group, []).append(
            InputRow(used.key, used.label, group, used.value_text, understood(BY_KEY[used.key], scenario), used.reason))
    return rows


_UNIT_OF_KEY = {"pour.wind": "m/s of wind"}
"""Inputs that are shown in other units than most of their kind."""

_SUFFIXES = ("", "_m", "_m3", "_m2k_per_w", "_w_per_m2k", "_w_per_mk", "_kpa")


def _value(item: Input, scenario: Scenario) -> object:
    """The value of an input in the record that the calculators read."""
    record: object = scenario
    if item.key in KEPT_AS:
        for part in KEPT_AS[item.key].split("."):
            record = getattr(record, part)
        return record
    *path, name = item.key.split(".")
    if path[:1] == ["schemes"]:
        record = scenario.schemes[path[1]]
    else:
        for part in path:
            record = getattr(record, part)
    names = {field.name for field in fields(record)}
    return getattr(record, next(name + suffix for suffix in _SUFFIXES if name + suffix in names))


def understood(item: Input, scenario: Scenario) -> Shown:
    """How an input was understood, in both unit systems."""
    if item.key in _UNDERSTOOD:
        words = _UNDERSTOOD[item.key](scenario)
        return same(words) if isinstance(words, str) else words
    value = _value(item, scenario)
    if value is None:
        return same(item.default if item.default in LEFT_OPEN else WORKED_OUT)
    words = _BY_KIND[item.kind](value) if item.kind in _BY_KIND else display.quantity(value, _UNIT_OF_KEY.get(item.key) or display.UNIT_OF_KIND[item.kind])
    return same(words) if isinstance(words, str) else words


def _sides_with_lengths(lengths: dict[str, float]) -> Shown:
    if not lengths:
        return same("none near")
    return joined((display.length(metres).with_words(f"{side} ") for side, metres in lengths.items()), ", ")


def _neighbours(neighbours: tuple[Neighbour, ...]) -> Shown:
    if not neighbours:
        return same("none")
    return joined((
        display.length(each.distance_m).with_words("", " away") if each.foundation_depth_m is None
        else joined((display.length(each.distance_m), display.length(each.foundation_depth_m)), " away, founded ").with_words("", " deep")
        for each in neighbours), "; ")


def _by_name(figures: dict[str, float], unit_of: Callable[[str], str]) -> Shown:
    """Figures of the reader's own by their names."""
    if not figures:
        return same("none")
    return joined((display.quantity(value, unit_of(name)).with_words(f"{name.replace('_', ' ')} ") for name, value in figures.items()), "; ")


# What was typed is shown to the minute; what is worked out from it, to five.
def _duration(h: float) -> str:
    minutes = round(h * 60.0)
    return f"{minutes} min" if minutes % 60 else display.hours(minutes / 60.0)


def _clock(h: float) -> str:
    hour, minute = divmod(round(h * 60.0), 60)
    return f"{hour:02d}:{minute:02d}"


def _latitude(degrees: float) -> str:
    return f"{display.number(abs(degrees), 1)}° {'S' if degrees < 0.0 else 'N'}"


def _holidays(days: tuple[date, ...]) -> str:
    """Days off, those that follow one another as one."""
    runs: list[list[date]] = []
    for day in days:
        if runs and (day - runs[-1][-1]).days == 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return "; ".join(date_words(run[0]) if len(run) == 1 else f"{date_words(run[0])} to {date_words(run[-1])}" for run in runs) or "none"


def _floor_levels(levels: tuple[tuple[float, float, float], ...]) -> str:
    return f"{len(levels)} points" if levels else "none"


_BY_KIND: dict[str, Callable[[object], Shown | str]] = {
    "block thickness": display.length,
    "slope": display.gradient,
    "ratio": display.count,
    "choice": str,
    "yes or no": lambda value: "yes" if value else "no",
    "side lengths": _sides_with_lengths,
    "count": str,
    "clock time": _clock,
    "duration": _duration,
    "temperature": display.temperature,
    "share": display.percent,
    "latitude": _latitude,
    "strength": lambda mpa: display.quantity(mpa, "MPa"),
    "day": date_words,
    "holidays": _holidays,
    "months": lambda numbers: listed([MONTHS[number - 1] for number in numbers], "and") or "none",
    "waits": lambda waits: _by_name(waits, lambda name: "day"),
    "floor levels": _floor_levels,
    "three lengths": lambda lengths: joined(map(display.length, lengths), " × "),
    "neighbours": _neighbours,
    "carbon factors": lambda factors: _by_name(factors, lambda name: DEFAULT[name].unit),
    "carbon distances": lambda distances: _by_name(distances, lambda name: "km"),
    "weights": lambda weights: "; ".join(f"{in_sentence(YARDSTICK_BY_KEY[key].label)}: {display.count(weight)}" for key, weight in weights.items()) or "none",
    "title": str,
}
"""Kinds of input that are not a figure in the unit of their kind."""


def _points(points: Iterable[tuple[float, ...]]) -> Shown:
    return joined((
        joined(map(display.length, point), ", ").with_words("(", ")") for point in points), " ")


def _levels(scenario: Scenario) -> Shown:
    return _points(scenario.plot.levels_m) if scenario.plot.levels_m else same("none")


def _doors(scenario: Scenario) -> Shown:
    if not scenario.building.doors:
        return same("none")
    return joined((
        same(side) if at is None else display.length(at).with_words(f"{side}, ", " from its left end")
        for side, at in scenario.building.placed_doors), "; ")


def _pieces(key: str) -> Callable[[Scenario], Shown]:
    """Pieces of ground by their outlines, each with its depth or thickness."""
    after = " thick" if PIECES[key].size_key == "thickness" else " deep"

    def words(scenario: Scenario) -> Shown:
        pieces = getattr(scenario.plot, f"{BY_KEY[key].name}_m")
        if not pieces:
            return same("none")
        return joined((joined((_points(outline), display.length(size).with_words("", after)), ", ") for outline, size in pieces), "; ")

    return words


def _walls_inside(scenario: Scenario) -> Shown:
    return joined(map(_points, scenario.building.internal_walls_m), "; ") if scenario.building.internal_walls_m else same("none")


def plan_size(scenario: Scenario) -> Shown:
    return wording.plan_size(scenario.plot.corners_m)


def _quotes(scenario: Scenario) -> Shown:
    quoted = [rate for rate in scenario.schedule.rates.values() if rate.rate_from == YOURS]
    if not quoted:
        return same("none")
    return joined((
        display.rate(rate.likely, scenario.currency, rate.sale_unit).with_words(f"{wording.RATE_LABELS[rate.key]}: ") for rate in quoted), "; ")


def _futures(scenario: Scenario) -> str:
    def one(wish: OwnFuture) -> str:
        costs = ", ".join(f"{in_sentence(SCHEME_BY_ID[scheme].TITLE)} {display.money(cost, scenario.currency)}" for scheme, cost in wish.costs.items())
        likely = "" if wish.likelihood is None else f", {display.percent(wish.likelihood)} likely"
        return f"{wish.name}{likely}: {costs}"

    return "; ".join(map(one, scenario.own_futures)) or "none"


def _places(scenario: Scenario) -> Shown:
    def one(place: PlaceForSurplus) -> Shown:
        room = display.volume(place.room_m3).with_words(f"{place.name}: ")
        if place.worth_per_m3 is None:
            return room
        return joined((room, display.rate(place.worth_per_m3, scenario.currency, "m^3")), ", worth ")

    return joined(map(one, scenario.pour.places), "; ") if scenario.pour.places else same(NOT_SAID if scenario.pour.places is None else "none")


def _falls_to(scenario: Scenario) -> str:
    bearing = scenario.plot.falls_to_deg
    if bearing is None:
        return "not needed"
    point = wording.compass_point(math.sin(math.radians(bearing)), math.cos(math.radians(bearing)))
    return f"{point} ({display.number(bearing)}°)"


_UNDERSTOOD: dict[str, Callable[[Scenario], Shown | str]] = {
    "currency": lambda s: s.currency,
    "rates": lambda s: f"{s.schedule.title}, {month(s.schedule.dated)}",
    "quotes": _quotes,
    "hour_worth": lambda s: f"{display.money_exact(hour_worth_of(s), s.currency)} an hour",
    "region": lambda s: RULES[s.region].title,
    "futures": _futures,
    "pour.second_places": _places,
    "pour.cold_joint_cost": lambda s: NOT_SAID if s.pour.cold_joint_cost is None else display.money(s.pour.cold_joint_cost, s.currency),
    "plot.footprint": plan_size,
    "plot.corners": lambda s: _points(s.plot.corners_m),
    "plot.slope": lambda s: display.gradient(s.plot.gradient),
    "plot.falls_to": _falls_to,
    "plot.levels": _levels,
    "plot.level_book": _levels,
    "plot.corner_drops": _levels,
    **{key: _pieces(key) for key in PIECES},
    "building.doors": _doors,
    "building.step_free": lambda s: s.building.step_free or "none",
    "building.internal_walls": _walls_inside,
    "heat.energy_price": lambda s: NOT_SAID if s.heat.energy_price_per_kwh is None else f"{display.money_exact(s.heat.energy_price_per_kwh, s.currency)} for each kWh",
    "building.roof": lambda s: f"{s.building.roof_shape}, {s.building.roof_covering}",
}
"""Inputs whose words are not those of their kind."""
