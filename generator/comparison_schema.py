"""The JSON Schema (draft 2020-12) of a comparison, made from the records and lists that the comparison is made of."""

from __future__ import annotations

import types
import typing
from dataclasses import fields, is_dataclass

from calculators import carbon
from calculators import scenario as records
from calculators.best_level import AS_GOOD_SHARE, NUDGE_M
from calculators.permissions import ASK, BELOW, CLOSE, NOT_WORKED_OUT
from calculators.pricing import BILL
from calculators.quantities import QUANTITIES, Earth
from calculators.schedule import RATE_KEYS
from calculators.sources import MARKS
from calculators.works import Step
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator.check_words import QUESTIONS, VERDICTS
from generator.comparison_json import FORMAT, FORMAT_MINOR, NOT_WORKED_OUT_YET
from generator.inputs import BY_KEY, GROUPS, KEPT_AS, SCHEME_IDS, SIDE_PATTERN
from generator.phrases import sentence
from generator.wording import CARBON_GROUPS, SIZE_LABELS

_UNIT_SUFFIXES = {
    "_kg_per_m": "kg/m", "_m_per_s": "m/s", "_per_kwh": "money for each kWh", "_kpa": "kPa", "_kn": "kN", "_km": "km", "degree_days": "K day",
    "_w_per_m2k": "W/(m2 K)", "_w_per_mk": "W/(m K)", "_m2k_per_w": "m2 K/W", "_m3": "m3", "_m2": "m2", "_deg": "degrees", "_m": "m",
}

_INPUT_OF_FIELD = {
    "gradient": "slope", "falls_to_deg": "falls_to", "roof_shape": "roof", "roof_covering": "roof", "levels_m": "levels", "corners_m": "corners",
    "door_positions_m": "doors",
}
"""Fields of the records that are not called after their input."""

_KEY_OF_FIELD = {path: key for key, path in KEPT_AS.items()}
"""The input of a field that lies elsewhere in the record than in a file."""

_FIELD_WORDS = {
    "plot.corners_m": "Corners of the outer face, x (east) and y (north), anticlockwise, m",
    "plot.gradient": "Slope of the ground, rise over run; 0 where levels are given instead",
    "plot.falls_to_deg": "Bearing of downhill, degrees clockwise from north; null where it is not given",
    "plot.levels_m": "Spot levels x, y, z, each place once, m; those of the four corners of a rectangle in their order; empty where a slope is given instead",
    "plot.triangles": "Triangles of the ground, each three indexes from 0 into levels_m followed by beyond_m, anticlockwise; empty for a slope, and for the four corners of a rectangle, which have four triangles about their mean",
    "plot.beyond_m": "Points x, y, z that nobody measured and that carry the ground on outside the survey, m",
    "plot.soft_spots_m": "Soft spots: the outline, x and y, anticlockwise, m; and the depth below the stripped ground, m",
    "plot.hollows_m": "Hollows: the outline, x and y, anticlockwise, m; and the depth below the ground round it, m",
    "plot.existing_slabs_m": "Slabs to be broken out: the outline, x and y, anticlockwise, m; and the thickness, m",
    "building.door_positions_m": "For each door, how far its middle is from the left end of its side, seen from outside, m; null for the middle of the side",
    "building.internal_walls_m": "Walls inside that carry load: the two ends, x and y, of the centre line of each, m",
    "building.roof_shape": "Shape of the roof",
    "building.roof_covering": "Covering of the roof",
}

_WORDS_OF_FIELD = {
    "shrinkage": records.SHRINKAGES, "roof_shape": records.ROOF_SHAPES, "roof_covering": records.ROOF_COVERINGS,
}

_NUMBER = {"type": "number"}
_POINT = {"type": "array", "items": _NUMBER, "minItems": 2, "maxItems": 2}
_POINT_AND_LEVEL = {"type": "array", "items": _NUMBER, "minItems": 3, "maxItems": 3}
_SIDE = {"type": "string", "pattern": SIDE_PATTERN}
_PIECE = {"type": "array", "prefixItems": [{"type": "array", "items": _POINT}, _NUMBER], "minItems": 2, "maxItems": 2}

_ENTRIES = {
    "corners_m": _POINT, "levels_m": _POINT_AND_LEVEL, "beyond_m": _POINT_AND_LEVEL,
    "triangles": {"type": "array", "items": {"type": "integer", "minimum": 0}, "minItems": 3, "maxItems": 3},
    "soft_spots_m": _PIECE, "hollows_m": _PIECE, "existing_slabs_m": _PIECE, "pit_m": _NUMBER,
    "doors": _SIDE,
    "door_positions_m": {"type": ["number", "null"]},
    "internal_walls_m": {"type": "array", "items": _POINT, "minItems": 2, "maxItems": 2},
}
"""What the entries of a record's lists are like."""

_BY_NAME = {
    "factors": {key: factor.unit for key, factor in carbon.DEFAULT.factors.items()},
    "distances_km": dict.fromkeys(carbon.DISTANCES_KM, "km"),
    "weights": dict.fromkeys(YARDSTICK_BY_KEY, "no unit"),
}
"""Fields that hold figures by name, with the unit of each name."""

_RUN_WORDS = {
    "set_ups": "How often the level was set up", "backsights_m": "Sum of the backsights, m", "foresights_m": "Sum of the foresights, m",
    "misclosure_m": "Level found at the end less the known one, m",
}


def comparison_schema() -> dict:
    """The schema; every key is described with its unit, and no other key is allowed."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Comparison",
        **_object(
            "Schemes for one plot side by side. SI units by the suffix of each name; levels are metres above the highest existing ground "
            "under the footprint; money is in the one currency. Null in a scheme that is outside the limits means that it has no price.",
            {
                "format": _const(FORMAT, "Name and version of this form; changes when a key changes its name or meaning"),
                "format_minor": _const(FORMAT_MINOR, "Rises when keys are added; pass over a key that you do not know"),
                "made_with": _object("What made it", {
                    "version": _text("Version of the guide"),
                    "rules": _enum(records.REGIONS, "Region of the rules"),
                    "rates": _text("Schedule of rates, by name"),
                    "rates_date": _text("Date of the schedule of rates: year and month, or day"),
                    "rates_invented": _boolean("Whether the schedule's prices are made up"),
                }),
                "scenario": _scenario(),
                "currency": {"type": "string", "pattern": "^[A-Z]{3}$", "description": "Currency of all money"},
                "ground": _ground(),
                "taken_for_granted": _list({"type": "string"}, "What the checks of strength take for granted of the place and the building, in words"),
                "schemes": _list(_scheme(), "The schemes, in the guide's own order"),
                "verdict": _text("The verdict in words, in the scenario's units"),
                "prices": _text("Which prices these are, in words"),
                "decision": _decision(),
        "certainty": _or_null(_certainty(), "where nothing was drawn"),
            },
        ),
    }


# Pieces.


def _object(description: str, properties: dict, required: bool = True) -> dict:
    schema = {"type": "object", "description": description, "properties": properties, "additionalProperties": False}
    return {**schema, "required": list(properties)} if required else schema


def _number(description: str) -> dict:
    return {"type": "number", "description": description}


def _text(description: str) -> dict:
    return {"type": "string", "description": description}


def _boolean(description: str) -> dict:
    return {"type": "boolean", "description": description}


def _enum(words, description: str) -> dict:
    return {"enum": list(words), "description": description}


def _const(value, description: str) -> dict:
    return {"const": value, "description": description}


def _list(items: dict, description: str) -> dict:
    return {"type": "array", "items": items, "description": description}


def _or_null(schema: dict, when: str) -> dict:
    description = f"{schema.get('description', '')}; null {when}"
    inner = {key: value for key, value in schema.items() if key != "description"}
    return {"anyOf": [inner, {"type": "null"}], "description": description}


NOT_HEATED = "where the building is not heated"
NO_PRICE = "where the scheme is outside the limits"


def _spread(description: str) -> dict:
    return _object(description + ", money", {end: _number(f"With every rate at its {end}, money") for end in ("low", "likely", "high")})


# The scenario, from the records it is read into.


_GROUP_WORDS = {
    "heat": GROUPS["heat"], "given": "What the reader knows of the place and of the use", "drainage": GROUPS["drainage"], "own_carbon": GROUPS["carbon"],
}
"""Parts of a scenario's record that are not called as in a file."""


def _first_sentence(record: type) -> str:
    return (record.__doc__ or "").split("\n\n")[0].split(";")[0].rstrip(".")


def _scenario() -> dict:
    hints = typing.get_type_hints(records.Scenario)
    top = {
        field: schema for field, schema in _record(records.Scenario, "").items()
        if field not in ("currency", "schedule", "schemes")
    }
    choices = {
        "thickened-raft": records.RaftChoices, "strip-and-block": records.StripChoices, "insulated-slab": records.InsulatedChoices,
    }
    return _object("What went in, every input resolved", {
        **top,
        "title": _text("What the plot is called"),
        "slug": _text("The scenario's name in addresses"),
        "hour_worth": _number("What an own hour is worth to the reader, money; half of a labourer's where nothing was given"),
        "rates": _text("Schedule of rates, by name"),
        "quotes": _list(
            _object("A rate that the reader gave", {
                "rate": _enum(RATE_KEYS, "Key of the rate"),
                **{end: _number(f"The {end} rate, money for each unit") for end in ("low", "likely", "high")},
                "unit": _text("Currency and unit of sale"),
            }),
            "The reader's own quotes",
        ),
        "plot": _object(GROUPS["plot"], {**_record(records.Plot, "plot"), "access": _object(GROUPS["plot.access"], _record(records.Access, "plot.access"))}),
        "building": _object(GROUPS["building"], _record(records.Building, "building")),
        "schemes": _object(
            "Choices for each scheme that is compared; null is worked out, and stands in the scheme's sizes",
            {scheme: _object(GROUPS[f"schemes.{scheme}"], _record(record, f"schemes.{scheme}")) for scheme, record in choices.items()},
            required=False,
        ),
        **{
            field.name: _object(_GROUP_WORDS.get(field.name) or _first_sentence(hints[field.name]), _record(hints[field.name], field.name))
            for field in fields(records.Scenario) if is_dataclass(hints[field.name]) and field.name not in ("plot", "building", "schedule")
        },
        "defaults": _list(
            _object("An input that nobody gave", {
                "key": _enum([key for key, item in BY_KEY.items() if item.default is not None], "Key of the input"),
                "label": _text("Its label"),
                "value": _text("What was taken, as a person would type it"),
                "reason": _text("Why"),
            }),
            "Inputs that were taken for the reader",
        ),
    })


def _record(record: type, group: str) -> dict:
    """The schema of each field of a record of inputs, in words from the list of inputs."""
    hints = typing.get_type_hints(record)
    return {
        field.name: _OWN_SHAPES[field.name]() if field.name in _OWN_SHAPES else _field(f"{group}.{field.name}".lstrip("."), hints[field.name])
        for field in fields(record) if not is_dataclass(hints[field.name])
    }


def _level_run() -> dict:
    shapes = {"set_ups": {"type": "integer", "minimum": 1}, "misclosure_m": {"type": ["number", "null"]}}
    run = {field.name: {**shapes.get(field.name, _NUMBER), "description": _RUN_WORDS[field.name]} for field in fields(records.LevelRun)}
    return _or_null(_object("What the level book added up to", run), "where there is none")


def _neighbours() -> dict:
    words = {"distance_m": "From the dig to the building, m", "foundation_depth_m": "Depth of its foundations below the ground there, m"}
    one = _object("A neighbour's building", {
        "distance_m": _number(words["distance_m"]), "foundation_depth_m": _or_null(_number(words["foundation_depth_m"]), "where it is not known")})
    return _or_null(_list(one, "Neighbours' buildings near the dig"), "where nobody has said whether there are any")


def _own_futures() -> dict:
    wish = _object("A later wish", {
        "name": _text("What the reader calls it"),
        "costs": _object("What it would cost under each scheme, money; 0 where none is given", {scheme: _number("Money") for scheme in SCHEME_IDS}, required=False),
        "likelihood": _or_null(_number("How likely the reader thinks it is, 0 to 1"), "where nothing was said"),
    })
    return _list(wish, "Later wishes of the reader's own")


_OWN_SHAPES = {"level_run": _level_run, "neighbours": _neighbours, "own_futures": _own_futures}
"""Fields that hold records of their own."""


def _field(key: str, hint) -> dict:
    group, _, name = key.rpartition(".")
    suffix = next((end for end in _UNIT_SUFFIXES if name.endswith(end)), "")
    named = _KEY_OF_FIELD.get(key, key), f"{group}.{_INPUT_OF_FIELD.get(name, name.removesuffix(suffix))}".lstrip(".")
    item = next((BY_KEY[each] for each in named if each in BY_KEY), None)
    unit = f", {_UNIT_SUFFIXES[suffix]}" if suffix else ""
    words = _FIELD_WORDS.get(key) or (f"{item.label}: {item.hint}{unit}" if item else f"{sentence(name.removesuffix(suffix).replace('_', ' '))}{unit}")
    nullable = isinstance(hint, types.UnionType)
    schema = _shape(name, typing.get_args(hint)[0] if nullable else hint, item)
    schema["description"] = words
    return _or_null(schema, "where it is worked out or not given") if nullable else schema


def _shape(name: str, hint, item) -> dict:
    if hint is float:
        return {"type": "number"}
    if hint is bool:
        return {"type": "boolean"}
    if name == "step_free":
        return dict(_SIDE)
    if hint is str:
        words = _WORDS_OF_FIELD.get(name) or (item.choices if item else ())
        return {"enum": list(words)} if words else {"type": "string"}
    if name in _ENTRIES:
        return {"type": "array", "items": _ENTRIES[name]}
    if name in _BY_NAME:
        return {"type": "object", "properties": {key: _number(f"{key.replace('_', ' ')}, {unit}") for key, unit in _BY_NAME[name].items()}, "additionalProperties": False}
    if typing.get_origin(hint) is dict:
        return {"type": "object", "patternProperties": {SIDE_PATTERN: _number("On that side, m")}, "additionalProperties": False}
    return {}


# What comes out.


def _ground() -> dict:
    return _object("The ground under the footprint", {
        "fall_m": _number("From the highest to the lowest existing ground, m"),
        "gradient": _number("Slope of the best plane through the corners, rise over run"),
        "highest_corner": _or_null(_text("The highest corner"), "on level ground"),
        "lowest_corner": _or_null(_text("The lowest corner"), "on level ground"),
        "corner_levels_m": _list({"type": "number"}, "Existing ground at the corners in order, m"),
        "area_m2": _number("Area of the footprint, m2"),
        "perimeter_m": _number("Outline of the footprint, m"),
    })


_EARTH_WORDS = {
    "dug_bank_m3": "Dug, with topsoil", "backfilled_bank_m3": "Put back", "spread_bank_m3": "Spread on the plot, with topsoil", "carted_bank_m3": "Carted away",
}
_STEP_WORDS = {
    "wall": "Wall in which the step is", "chainage_m": "From the higher end of the wall, m", "height_m": "Height of the step, m",
    "overlap_m": "Upper part past the riser, m",
}


def _scheme() -> dict:
    return _object("One scheme", {
        "id": _enum(SCHEME_IDS, "Scheme"),
        "title": _text("Its title"),
        "buildable": _boolean("Whether it is within every limit"),
        "reasons": _list(
            _object("A limit that it is outside of", {
                "rule": _text("The rule"),
                "figure": _or_null(_number("The scheme's figure, in the unit"), "for a sign on the plot"),
                "limit": _or_null(_number("The limit, in the unit"), "for a sign on the plot"),
                "unit": _text("Unit of both; empty for a plain number"),
                "sentence": _text("What it means"),
                "ask": _text("Whom to ask; may be empty"),
            }),
            "Why it is outside the limits; empty when it is not",
        ),
        "variant": _text("Which way of building it was taken, where it has several; else empty"),
        "floor_level_m": _number("Top of slab above the highest existing ground, m"),
        "level_set_by": _text("Why the floor lies at its level, as words after because; fixed by you where the reader fixed it"),
        "levels": _or_null(_levels(), "where the reader fixed the floor level"),
        "sole_plate_m": _number("Top of the damp-proof course, where all schemes are compared, m"),
        "fill_depth_m": _number("Deepest fill under the floor, m"),
        "low_side_height_m": _number("Top of slab above the lowest existing ground, m"),
        "founding_level_m": _number("Lowest underside of concrete, m"),
        "sizes": _object("Sizes it is built to; those that it has", {key: _number(f"{label}, m") for key, label in SIZE_LABELS.items()}, required=False),
        "steps": _list(
            _object("A step", {field.name: (_text if field.name == "wall" else _number)(_STEP_WORDS[field.name]) for field in fields(Step)}),
            "Steps in a footing or a deepened edge",
        ),
        "quantities": _object(
            "Net, in place; 0 where there is none. For scale only where the scheme is outside the limits",
            {quantity.key: {"type": "number", "minimum": 0, "description": f"{quantity.label}, {quantity.unit or 'count'}: {quantity.measured}"} for quantity in QUANTITIES},
        ),
        "layers": _list(_object("Stone in one zone, compacted in layers", {
            "zone": _text("Which"), "thinnest_m": _number("Where it is thinnest, m"), "thickest_m": _number("Where it is thickest, m"),
            "lifts_at_thinnest": {"type": "integer", "minimum": 0, "description": "Layers there"},
            "lifts_at_thickest": {"type": "integer", "minimum": 0, "description": "Layers there"},
            "lift_m": _number("Thickness of a layer, m"), "passes": {"type": "integer", "minimum": 1, "description": "How often each is gone over with a heavy plate"}}),
            "How many layers of stone where"),
        "earth": _object(
            "Where what is dug goes, before it bulks; dug = put back + spread + carted",
            {field.name: _number(f"{_EARTH_WORDS[field.name]}, m3") for field in fields(Earth)},
        ),
        "bill": _list(_line(), "The bill, line by line"),
        "contingency": _or_null(_spread("For what nobody saw; in the cash"), NO_PRICE),
        "cash": _or_null(_spread("What is paid, contingency in it"), NO_PRICE),
        "own_hours": _number("The reader's hours, h"),
        "helper_hours": _number("Helpers' hours, h"),
        "hired_cash": _or_null(_spread("With all the work hired"), NO_PRICE),
        "credits": _list(
            _object("Money that brings it to one line with the others", {
                "item": _text("What"),
                "sentence": _text("Why"),
                "rate": _enum(RATE_KEYS, "Key of the rate"),
                "amount": _or_null(_spread("Added, or taken off when negative"), NO_PRICE),
            }),
            "Credits and additions of the like-for-like figure",
        ),
        "like_for_like": _or_null(_spread("Cash with credits and additions: one height, one use of the floor"), NO_PRICE),
        "with_own_hours": _or_null(_number("Like for like at likely rates, with own hours at their worth, money"), NO_PRICE),
        "checks": _list(
            _object("A figure against a limit", {
                "name": _text("What is checked"),
                "provided": _or_null(_number("The scheme's figure, in the unit"), "for a sign on the plot"),
                "required": _or_null(_number("The limit, in the unit"), "where no limit is held"),
                "unit": _text("Unit of both; empty for a plain number"),
                "ratio": _or_null(_number("How much of the limit is used; 1 or less is within"), "where there is no such figure, or the limit is nothing"),
                "verdict": _enum(VERDICTS, "Within, close, outside, or not worked out"),
                "sentence": _text("What it means"),
                "source": _text("Document and clause; may be empty"),
                "mark": _enum(MARKS, "How well the figure is known"),
                "ask": _text("Whom to ask when outside; may be empty"),
                "method": _enum(QUESTIONS, "What it belongs to, and the name of the page about it"),
                "working": _text("Formula with its numbers, in SI; empty where the figure is set against the limit as it stands"),
                "stops": _boolean("Whether the scheme is outside the limits when this is; false for what can be put right beside it"),
            }),
            "Every check",
        ),
        "assumptions": _list({"type": "string"}, "What was assumed, in words"),
        "u_value_w_per_m2k": _number("U-value of the floor without anything laid on it, W/(m2 K)"),
        "floor_heat_kwh_per_year": _or_null(_number("Heat that this floor loses in a year, kWh"), NOT_HEATED),
        "floor_heat": _or_null(_object("That heat: area, cost, working and what was taken for it", {
            "area_m2": _number("Floor between the inner faces of the walls, m2"),
            "cost": _number("Cost of the heat in a year, money"),
            "working": _text("Formula with its numbers, in SI"),
            "assumptions": _list({"type": "string"}, "What was taken, in words; says where a price is invented"),
        }), NOT_HEATED),
        "carbon_kgco2e": _number("What is brought, carted and dug gives off, kgCO2e. For scale only where the scheme is outside the limits"),
        "carbon": _carbon(),
        "permissions": _list(
            _object("Something that may have to be asked for; check locally", {
                "what": _text("What"),
                "of_whom": _text("Of whom"),
                "figure": _or_null(_number("This building's figure, in the unit"), "where there is none"),
                "limit": _or_null(_number("The region's figure, in the unit"), "where none is held"),
                "unit": _text("Unit of both; may be empty"),
                "verdict": _enum((ASK, CLOSE, BELOW, NOT_WORKED_OUT), "The answer, in words"),
                "sentence": _text("What it means"),
                "source": _text("Document and clause of the limit; may be empty"),
                "mark": _enum(MARKS, "How well the limit is known"),
            }),
            "What may have to be asked, of whom",
        ),
        "odds": _or_null(_odds(), "where the scheme is outside the limits, or nothing was drawn"),
        "later": _or_null({"type": "object", "additionalProperties": _NUMBER, "description": "What each later wish costs under it, by the wish's key, money"},
                          "where the scheme is outside the limits, or nothing was drawn"),
        **{key: {"type": "null", "description": "Not worked out yet"} for key in NOT_WORKED_OUT_YET},
    })


def _carbon() -> dict:
    return _object("What makes up the carbon, line by line", {
        "factor_set": _text("Name of the set of emission factors"),
        "dated": _text("Its year"),
        "lines": _list(
            _object("A line", {
                "key": _text("Its key"),
                "item": _text("What"),
                "group": _enum(CARBON_GROUPS, "Which group it belongs to"),
                "amount": _number("Amount with the bill's allowance, in its unit"),
                "unit": _text("Unit of the amount"),
                "factor": _number("Emission factor, in its unit"),
                "factor_unit": _text("Unit of the factor"),
                "factor_from": _text("Document, place and mark of the factor, or yours"),
                "kgco2e": _number("What it gives off, kgCO2e"),
            }),
            "Every line",
        ),
        "by_group": _object("The same by group", {group: _number(f"{words}, kgCO2e") for group, words in CARBON_GROUPS.items()}),
        "assumptions": _list({"type": "string"}, "What was assumed, in words"),
        "left_out": _list({"type": "string"}, "What is not counted"),
    })


def _levels() -> dict:
    forbidden = "where no level keeps every rule"
    nudge, share = f"{NUDGE_M * 1000:g} mm", f"{AS_GOOD_SHARE:.0%}"
    stages = dict.fromkeys(rule.stage for rule in BILL)
    return _object(
        "The floor level that costs least. Cost is likely cash, contingency in it, with own hours at their worth, before rounding to units of sale",
        {
            "best_m": _number("The level that costs least of those that keep every rule, or the lowest where none does, m"),
            "set_by": _text("Why the floor lies there, as words after because"),
            "lowest_m": _number("The lowest level that was tried, m"),
            "lowest_set_by": _text("What keeps the floor from going lower than that, as words after because"),
            "cost": _or_null(_number("Cost at the best level, money"), forbidden),
            "points": _list(
                _object("One level", {
                    "level_m": _number("Top of slab, m"),
                    "cost": _or_null(_number("Cost, money"), "where it breaks a rule"),
                    "by_stage": _or_null(_object("Cost by stage of the work", {stage: _number(f"{stage}, money") for stage in stages}), "where it breaks a rule"),
                    "allowed": _boolean("Whether it keeps every rule"),
                    "broken": _list({"type": "string"}, "The rules that it breaks, by the names of the checks"),
                }),
                "The levels that were tried, from the lowest up",
            ),
            "nudge_up": _or_null(_number(f"What {nudge} higher adds, money"), "where a rule forbids it"),
            "nudge_down": _or_null(_number(f"What {nudge} lower adds, money"), "where a rule forbids it"),
            "as_good_from_m": _or_null(_number(f"Lower end of the levels round the best that cost within {share} of it, m"), forbidden),
            "as_good_to_m": _or_null(_number("Upper end of them, m"), forbidden),
            "clash": _or_null(
                _object("Which rules keep every level from being allowed, by the way each pulls the floor", {
                    "up": _list({"type": "string"}, "Kept only higher"),
                    "down": _list({"type": "string"}, "Kept only lower, if at all"),
                    "neither": _list({"type": "string"}, "Broken alike at every level that was tried"),
                }),
                "where a level keeps every rule",
            ),
        },
    )


def _line() -> dict:
    return _object("A line of the bill", {
        "item": _text("What"),
        "net": _number("Net amount, in its unit"),
        "net_unit": _text("Unit of the net amount; empty for a count"),
        "allowance_percent": _number("Allowance on the net amount, %"),
        "order": _number("Order, in the unit of sale; for work alone the net amount"),
        "order_unit": _text("Unit of sale"),
        "rate": _or_null(_number("Likely rate, money for each unit of sale"), "for work alone"),
        "rate_unit": _text("Currency and unit of sale; empty for work alone"),
        "rate_from": _text("Whose rate: the schedule's name, or yours; empty for work alone"),
        "cash_low": _or_null(_number("At the low rate, money"), NO_PRICE),
        "cash": _or_null(_number("At the likely rate, money"), NO_PRICE),
        "cash_high": _or_null(_number("At the high rate, money"), NO_PRICE),
        "own_hours": _number("The reader's hours, h"),
        "helper_hours": _number("Helpers' hours, h"),
    })


def _decision() -> dict:
    def scheme(description: str) -> dict:
        return _or_null(_enum(SCHEME_IDS, description), "when nothing is within limits")

    return _object("Who comes out first at likely prices", {
        "order": _list({"enum": list(SCHEME_IDS)}, "Schemes within limits, cheapest like for like first"),
        "margin": _or_null(_number("Money between the first two"), "with fewer than two"),
        "margin_share": _or_null(_number("The margin over the cheapest figure"), "with fewer than two, or a figure that is not above nothing"),
        "least_own_hours": scheme("Fewest own hours"),
        "least_concrete": scheme("Least concrete"),
        "lowest_low_side": scheme("Lowest floor on the low side"),
        "hour_worth": _number("What an own hour is worth, money"),
        "quotes_to_settle": _list(
            _object("A rate whose quote would narrow the comparison most", {
                "rate": _enum(RATE_KEYS, "Key of the rate"),
                "label": _text("Its label"),
                "swing": _number("How far the gap between the first two moves from its low rate to its high one, money; with one scheme, its own figure"),
            }),
            "Three at most",
        ),
        "ask": _list({"type": "string"}, "Whom the schemes outside the limits send the reader to"),
    })


def _range(description: str) -> dict:
    return _object(description, {
        "p10": _number("1 time in 10 it is below this"), "p50": _number("As often above as below"), "p90": _number("1 time in 10 it is above this")})


def _share(description: str) -> dict:
    return {"type": "number", "minimum": 0, "maximum": 1, "description": description}


def _odds() -> dict:
    return _object("Ranges over all draws, and the share of them in which it wins", {
        "draws": {"type": "integer", "minimum": 1, "description": "How many"},
        "cash": _range("Like for like, money"), "own_hours": _range("The reader's hours, h"), "helper_hours": _range("Helpers' hours, h"),
        "concrete_m3": _range("Concrete, m3"), "stone_t": _range("Stone, t"),
        "cheapest": _share("Is cheapest like for like"), "least_own_hours": _share("Takes fewest own hours"), "least_concrete": _share("Uses least concrete"),
    })


def _by_scheme(description: str, entry: dict | None = None) -> dict:
    return {"type": "object", "propertyNames": {"enum": list(SCHEME_IDS)}, "additionalProperties": entry or _NUMBER, "description": description}


def _certainty() -> dict:
    """What decides it and how surely."""
    scheme = {"enum": list(SCHEME_IDS)}
    key, label = _text("Its key"), _text("What it is")
    return _object("What decides it, and how surely", {
        "draws": {"type": "integer", "minimum": 1, "description": "How often what nobody knows exactly was drawn"},
        "uncertain": _list(_object("Something drawn, from its three points", {
            "key": key, "label": label, "kind": _enum(("amount", "pace", "rate"), "What it moves"), "unit": _text("Unit; empty for a factor"),
            "low": _number("Least"), "likely": _number("Likely"), "high": _number("Most"), "source": _text("Assumed, or whose rate")}), "What was drawn"),
        "first": _or_null(scheme, "when nothing is within limits"),
        "second": _or_null(scheme, "with fewer than two"),
        "second_dearer": _or_null(_range("What the second costs more than the first, money"), "with fewer than two"),
        "first_stays_cheaper": _or_null(_share("Share of draws in which the first is the cheaper"), "with fewer than two"),
        "gap_before_rounding": _or_null(_number("What the second costs more than the first before rounding to units of sale, money"), "with fewer than two"),
        "rounding_decides": _boolean("Whether the order is the other way round before rounding to units of sale"),
        "drivers": _list(_object("Something that moves the difference of the first two, by itself", {
            "key": key, "label": label, "low": _number("1 time in 10 below"), "high": _number("1 time in 10 above"),
            "difference_at_low": _number("Money between the two there"), "difference_at_high": _number("Money between the two there")}), "The greatest first"),
        "switches": _list(_object("The value of one thing at which the first two change places", {
            "key": key, "label": label, "unit": _text("Unit; empty for a factor"), "likely": _number("What was taken"),
            "value": _or_null(_number("Where they change places"), "where nothing in reach turns them"),
            "above": _boolean("Whether the second is cheaper above the value"),
            "looked_from": _number("From where it was looked for"), "looked_to": _or_null(_number("To where"), "where there is no end")}), "Everything that was tried"),
        "yardsticks": _list(_object("A yardstick of which less is better", {
            "key": _enum(YARDSTICK_BY_KEY, "Its key"), "label": label, "unit": _text("Unit; yes for a thing that is so, 1, or not, 0"),
            "values": _by_scheme("Of each scheme within limits"), "least": _list(scheme, "Who has least"), "lead": _number("By how much less than the next")}), "All yardsticks"),
        "dominated_by": _by_scheme("Schemes that another beats or equals on every yardstick, with that other", scheme),
        "weighed": _or_null(_object("The reader's weighing", {
            "weights": {"type": "object", "additionalProperties": _NUMBER, "description": "As given"},
            "sums": _by_scheme("Sum of weight times excess"), "order": _list(scheme, "The smallest sum first"),
            "turns": _list(_object("Where one weight changes who comes first", {
                "key": key, "weight": _number("As given"), "turns_at": _or_null(_number("There"), "where none from 0 up does"),
                "to": _or_null(scheme, "where none does")}), "For each weight")}), "where no weights were given"),
        "later": _object("Changing your mind later", {
            "futures": _list(_object("A later wish", {
                "key": key, "name": _text("Its name"), "words": _text("What it is taken to mean"), "costs": _by_scheme("Money under each scheme within limits"),
                "likelihood": _or_null(_share("How likely the reader thinks it"), "where nobody said"), "own": _boolean("Whether the reader added it")}), "Later wishes"),
            "regret": _object("Money more than the best choice would have cost", {
                "by_future": {"type": "object", "additionalProperties": _by_scheme("By scheme"), "description": "By wish; also where nothing changes"},
                "greatest": _by_scheme("The greatest of each scheme"), "smallest": _or_null(scheme, "when nothing is within limits")}),
            "matters": _list(_object("How likely a wish must be before it matters", {
                "future": _text("Key of the wish"), "chance": _or_null(_share("From this chance on"), "where it never does"), "to": _or_null(scheme, "where it never does")}), "For each wish"),
        }),
    })
