"""The JSON Schema of a scenario, made from the one list of inputs."""

from __future__ import annotations

from collections.abc import Iterable

from calculators import carbon
from calculators.programme import WAITS
from calculators.schedule import RATE_ITEMS
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator.front_matter import as_data, read_keys
from generator.dates import MONTHS
from generator.inputs import (
    BOOK_KEYS, CORNER_NAMES, CURRENCY_PATTERN, GROUPS, INPUTS, LEFT_OPEN, LONGEST_TITLE, MOST_CORNERS, MOST_DOORS, MOST_FLOOR_LEVELS, MOST_FUTURES, MOST_HOLIDAYS,
    MOST_INTERNAL_WALLS, MOST_LEVELS, MOST_NEIGHBOURS, MOST_PIECES, MOST_PLACES, NAME_PATTERN, NEIGHBOUR_KEYS, NOT_SAID, PIECES, SCHEME_IDS, SIDE_PATTERN, WORKED_OUT,
    YES_NO, Input,
)
from generator.quantities import LONGEST_QUANTITY
from generator.scenario_rules import GROUND_KEYS

_TEXT = {"type": "string", "minLength": 1, "maxLength": LONGEST_QUANTITY}
_QUANTITY = {"anyOf": [_TEXT, {"const": 0}]}
_TWO_LENGTHS = {"type": "string", "minLength": 1, "maxLength": 2 * LONGEST_QUANTITY}
_SIDE = {"type": "string", "pattern": SIDE_PATTERN}
_DAY = {"type": "string", "pattern": "^20[0-9]{2}-[0-9]{2}-[0-9]{2}$"}
_DAYS = {"type": "string", "pattern": "^20[0-9]{2}-[0-9]{2}-[0-9]{2}( to 20[0-9]{2}-[0-9]{2}-[0-9]{2})?$"}
_MONTH = {"anyOf": [_TEXT, {"type": "integer", "minimum": 1, "maximum": len(MONTHS)}]}


def scenario_schema() -> dict:
    """The schema (draft 2020-12) of the front matter of a scenario, with every plain scalar taken as text.

    A plain 0, which YAML may have made a number, is allowed where it needs no
    unit.  The schema knows words and shapes; bounds and the rules that join
    several keys are told by `soleplate check`.
    """
    root = _object("A scenario: one plot and one building", "")
    root["properties"]["schemes"] = _schemes()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Scenario",
        **root,
        "required": ["plot"],
    }


def _object(description: str, group: str) -> dict:
    """The schema of a group of keys, with the groups inside it."""
    inside = group + "." if group else ""
    properties = {item.name: _property(item) for item in INPUTS if item.group == group}
    for key, words in GROUPS.items():
        if key.rpartition(".")[0] == group:
            properties[key.removeprefix(inside)] = _object(words, key)
    schema: dict = {"description": description, "type": "object", "properties": properties, "additionalProperties": False}
    if group == "plot":
        schema["allOf"] = [_one_of("footprint", "corners"), _one_of(*(key.removeprefix("plot.") for key in GROUND_KEYS))]
    return schema


def _one_of(*names: str) -> dict:
    return {"oneOf": [{"required": [name]} for name in names]}


def _schemes() -> dict:
    changes = _object(GROUPS["schemes"], "schemes")
    for scheme, schema in changes["properties"].items():
        changes["properties"][scheme] = {"description": schema["description"], "anyOf": [{"enum": list(YES_NO)}, schema]}
    return {
        "description": GROUPS["schemes"],
        "anyOf": [
            {"type": "array", "items": {"enum": list(SCHEME_IDS)}, "minItems": 1, "uniqueItems": True},
            changes,
        ],
    }


def _list(items: dict, least: int, most: int) -> dict:
    return {"type": "array", "items": items, "minItems": least, "maxItems": most}


def _keys(properties: dict, required: tuple[str, ...]) -> dict:
    return {"type": "object", "properties": properties, "required": list(required), "additionalProperties": False}


def _pieces(size_key: str) -> dict:
    """A list of pieces of ground, each by its corners or as a box, with its depth or thickness."""
    point = _list(_QUANTITY, 2, 2)
    return {"anyOf": [{"const": "none"}, _list({"anyOf": [
        _keys({"at": _list(point, 3, MOST_CORNERS), size_key: _QUANTITY}, ("at", size_key)),
        _keys({"from": point, "size": _TWO_LENGTHS, size_key: _QUANTITY}, ("from", "size", size_key)),
    ]}, 0, MOST_PIECES)]}


def _by_name(names: Iterable[str]) -> dict:
    return {"anyOf": [{"const": "none"}, _keys({name: _QUANTITY for name in names}, ())]}


def _property(item: Input) -> dict:
    description = f"{item.label}: {item.hint}"
    if item.least:
        description += f" (from {item.least} to {item.most})"
    schema: dict = {"description": description, **_shape(item)}
    if item.default:
        schema["default"] = item.default
        schema["description"] += f". Otherwise {item.default}: {item.reason}"
    schema["examples"] = [as_data(read_keys(f"example: {item.example}", item.key).values["example"])]
    return schema


def _shape(item: Input) -> dict:
    """The shape of what may be typed for an input."""
    point, row = _list(_QUANTITY, 2, 2), _list(_QUANTITY, 3, 3)
    shapes = {
        "title": {"type": "string", "minLength": 1, "maxLength": LONGEST_TITLE},
        "name": {"type": "string", "pattern": NAME_PATTERN},
        "currency": {"type": "string", "pattern": f"{CURRENCY_PATTERN}|^{WORKED_OUT}$"},
        "direction": {"anyOf": [_TEXT, {"type": "number", "minimum": 0, "maximum": 360}]},
        "side": {"anyOf": [{"const": "none"}, _SIDE]},
        "doors": {"anyOf": [{"const": "none"}, _SIDE, _list({"anyOf": [_SIDE, _keys({"side": _SIDE, "at": _QUANTITY}, ("side",))]}, 0, MOST_DOORS)]},
        "side lengths": {"anyOf": [{"const": "none"}, {"type": "object", "patternProperties": {SIDE_PATTERN: _QUANTITY}, "additionalProperties": False}]},
        "points": _list(point, 3, MOST_CORNERS),
        "levels": _list(row, 3, MOST_LEVELS),
        "level book": _list(_keys({"at": {"anyOf": [point, _TEXT]}, **{key: _QUANTITY for key in BOOK_KEYS[1:]}}, ("at",)), 3, MOST_LEVELS),
        "corner drops": {"anyOf": [_keys({name: _QUANTITY for name in CORNER_NAMES}, CORNER_NAMES), _list(row, 3, MOST_LEVELS)]},
        "neighbours": {"anyOf": [{"enum": ["none", NOT_SAID]}, _list(_keys(dict.fromkeys(NEIGHBOUR_KEYS, _QUANTITY), NEIGHBOUR_KEYS[:1]), 0, MOST_NEIGHBOURS)]},
        "carbon factors": _by_name(carbon.DEFAULT.factors),
        "carbon distances": _by_name(carbon.DISTANCES_KM),
        "weights": _by_name(YARDSTICK_BY_KEY),
        "futures": {"anyOf": [{"const": "none"}, _list(_keys({"name": {**_TEXT, "maxLength": LONGEST_TITLE}, "likelihood": _QUANTITY, "costs": _by_name(SCHEME_IDS)}, ("name", "costs")), 0, MOST_FUTURES)]},
        "walls": {"anyOf": [{"const": "none"}, _list(_list(point, 2, 2), 0, MOST_INTERNAL_WALLS)]},
        "quotes": {"anyOf": [{"const": "none"}, {
            "type": "object",
            "properties": {rate.key: {"description": rate.label, "anyOf": [_TEXT, {"type": "array", "items": _TEXT, "minItems": 3, "maxItems": 3}]} for rate in RATE_ITEMS},
            "additionalProperties": False,
        }]},
        "count": {"anyOf": [_TEXT, {"type": "integer", "minimum": 0}]},
        "clock time": _TEXT,
        "temperature": _TEXT,
        "latitude": _TEXT,
        "share": _TEXT,
        "places": {"anyOf": [{"enum": ["none", NOT_SAID]}, _list(_keys({"name": {**_TEXT, "maxLength": LONGEST_TITLE}, "room": _QUANTITY, "worth": _QUANTITY}, ("name", "room")), 0, MOST_PLACES)]},
        "day": {"anyOf": [{"const": WORKED_OUT}, _DAY]},
        "holidays": {"anyOf": [{"const": "none"}, _DAYS, _list(_DAYS, 0, MOST_HOLIDAYS)]},
        "months": {"anyOf": [*_MONTH["anyOf"], _list(_MONTH, 0, len(MONTHS))]},
        "waits": _by_name(WAITS),
        "floor levels": {"anyOf": [{"const": "none"}, _list(row, 4, MOST_FLOOR_LEVELS)]},
        "two lengths": _TWO_LENGTHS,
        "three lengths": {**_TWO_LENGTHS, "maxLength": 3 * LONGEST_QUANTITY},
        "ratio": {"anyOf": [_TEXT, {"type": "number", "minimum": 0}]},
        "roof": _TEXT,
    }
    if item.kind in ("choice", "yes or no"):
        return {"enum": [*item.choices, *(word for word in LEFT_OPEN if word == item.default)]}
    if item.kind == "pieces of ground":
        return _pieces(PIECES[item.key].size_key)
    return shapes.get(item.kind, _QUANTITY)
