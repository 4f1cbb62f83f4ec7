"""The JSON Schema (draft 2020-12) of a comparison, made from the records and lists that the comparison is made of."""

from __future__ import annotations

import types
import typing
from dataclasses import fields, is_dataclass
from datetime import date

from calculators import carbon
from calculators import scenario as records
from calculators.best_level import AS_GOOD_SHARE, NUDGE_M
from calculators.permissions import ASK, BELOW, CLOSE, NOT_WORKED_OUT
from calculators.pour import METHOD as POUR_METHOD
from calculators.pricing import BILL
from calculators.programme import WAITS
from calculators.quantities import QUANTITIES, Earth
from calculators.schedule import RATE_KEYS
from calculators.sources import MARKS
from calculators.works import Step
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator.check_words import QUESTIONS, VERDICTS
from generator.comparison_json import FORMAT, FORMAT_MINOR
from generator.inputs import BY_KEY, GROUPS, KEPT_AS, SCHEME_IDS, SIDE_PATTERN
from generator.job_json import caution_schema, delivery_schema, floor_schema, pour_schema
from generator.phrases import sentence
from generator.programme_page import PROGRAMME_SCHEMA
from generator.schema_pieces import boolean, const, enum, list_of, number, object_of, or_null, text
from generator.wording import CARBON_GROUPS, SIZE_LABELS

_UNIT_SUFFIXES = {
    "_kg_per_m": "kg/m", "_m_per_s": "m/s", "_per_kwh": "money for each kWh", "_kpa": "kPa", "_kn": "kN", "_km": "km", "degree_days": "K day",
    "_mpa": "MPa", "_days": "days", "_slope": "rise or fall over length", "_h": "h", "_c": "degrees Celsius",
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
    "holidays": {"type": "string", "format": "date"}, "months_off": {"type": "integer", "minimum": 1, "maximum": 12},
}
"""What the entries of a record's lists are like."""

_BY_NAME = {
    "factors": {key: factor.unit for key, factor in carbon.DEFAULT.factors.items()},
    "distances_km": dict.fromkeys(carbon.DISTANCES_KM, "km"),
    "weights": dict.fromkeys(YARDSTICK_BY_KEY, "no unit"),
    "waits": dict.fromkeys(WAITS, "days"),
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
        **object_of(
            "Schemes for one plot side by side. SI units by the suffix of each name; levels are metres above the highest existing ground "
            "under the footprint; money is in the one currency. Null in a scheme that is outside the limits means that it has no price.",
            {
                "format": const(FORMAT, "Name and version of this form; changes when a key changes its name or meaning"),
                "format_minor": const(FORMAT_MINOR, "Rises when keys are added; pass over a key that you do not know"),
                "made_with": object_of("What made it", {
                    "version": text("Version of the guide"),
                    "rules": enum(records.REGIONS, "Region of the rules"),
                    "rates": text("Schedule of rates, by name"),
                    "rates_date": text("Date of the schedule of rates: year and month, or day"),
                    "rates_invented": boolean("Whether the schedule's prices are made up"),
                }),
                "scenario": _scenario(),
                "currency": {"type": "string", "pattern": "^[A-Z]{3}$", "description": "Currency of all money"},
                "ground": _ground(),
                "taken_for_granted": list_of({"type": "string"}, "What the checks of strength take for granted of the place and the building, in words"),
                "schemes": list_of(_scheme(), "The schemes, in the guide's own order"),
                "verdict": text("The verdict in words, in the scenario's units"),
                "prices": text("Which prices these are, in words"),
                "decision": _decision(),
                "certainty": or_null(_certainty(), "where nothing was drawn"),
                "floor": or_null(floor_schema(), "where nobody has levelled it"),
            },
        ),
    }


NOT_HEATED = "where the building is not heated"
NO_PRICE = "where the scheme is outside the limits"
NO_JOB = "where the scheme is outside the limits, or the rest of the job was not worked out"


def _spread(description: str) -> dict:
    return object_of(description + ", money", {end: number(f"With every rate at its {end}, money") for end in ("low", "likely", "high")})


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
    return object_of("What went in, every input resolved", {
        **top,
        "title": text("What the plot is called"),
        "slug": text("The scenario's name in addresses"),
        "hour_worth": number("What an own hour is worth to the reader, money; half of a labourer's where nothing was given"),
        "rates": text("Schedule of rates, by name"),
        "quotes": list_of(
            object_of("A rate that the reader gave", {
                "rate": enum(RATE_KEYS, "Key of the rate"),
                **{end: number(f"The {end} rate, money for each unit") for end in ("low", "likely", "high")},
                "unit": text("Currency and unit of sale"),
            }),
            "The reader's own quotes",
        ),
        "plot": object_of(GROUPS["plot"], {**_record(records.Plot, "plot"), "access": object_of(GROUPS["plot.access"], _record(records.Access, "plot.access"))}),
        "building": object_of(GROUPS["building"], _record(records.Building, "building")),
        "schemes": object_of(
            "Choices for each scheme that is compared; null is worked out, and stands in the scheme's sizes",
            {scheme: object_of(GROUPS[f"schemes.{scheme}"], _record(record, f"schemes.{scheme}")) for scheme, record in choices.items()},
            required=False,
        ),
        **{
            field.name: object_of(_GROUP_WORDS.get(field.name) or _first_sentence(hints[field.name]), _record(hints[field.name], field.name))
            for field in fields(records.Scenario) if is_dataclass(hints[field.name]) and field.name not in ("plot", "building", "schedule")
        },
        "defaults": list_of(
            object_of("An input that nobody gave", {
                "key": enum([key for key, item in BY_KEY.items() if item.default is not None], "Key of the input"),
                "label": text("Its label"),
                "value": text("What was taken, as a person would type it"),
                "reason": text("Why"),
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
    return or_null(object_of("What the level book added up to", run), "where there is none")


def _neighbours() -> dict:
    words = {"distance_m": "From the dig to the building, m", "foundation_depth_m": "Depth of its foundations below the ground there, m"}
    one = object_of("A neighbour's building", {
        "distance_m": number(words["distance_m"]), "foundation_depth_m": or_null(number(words["foundation_depth_m"]), "where it is not known")})
    return or_null(list_of(one, "Neighbours' buildings near the dig"), "where nobody has said whether there are any")


def _own_futures() -> dict:
    wish = object_of("A later wish", {
        "name": text("What the reader calls it"),
        "costs": object_of("What it would cost under each scheme, money; 0 where none is given", {scheme: number("Money") for scheme in SCHEME_IDS}, required=False),
        "likelihood": or_null(number("How likely the reader thinks it is, 0 to 1"), "where nothing was said"),
    })
    return list_of(wish, "Later wishes of the reader's own")


def _places() -> dict:
    place = object_of("A place", {
        "name": text("What the reader calls it"), "room_m3": number("Its room, m3"),
        "worth_per_m3": or_null(number("What concrete is worth there, money per m3"), "where gravel of that volume is taken for it")})
    return or_null(list_of(place, "Where concrete left over can go"), "where nobody has said; a stand-in is then taken")


_OWN_SHAPES = {"level_run": _level_run, "neighbours": _neighbours, "own_futures": _own_futures, "places": _places}
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
    return or_null(schema, "where it is worked out or not given") if nullable else schema


def _shape(name: str, hint, item) -> dict:
    if hint is float:
        return {"type": "number"}
    if hint is bool:
        return {"type": "boolean"}
    if hint is int:
        return {"type": "integer"}
    if hint is date:
        return {"type": "string", "format": "date"}
    if name == "step_free":
        return dict(_SIDE)
    if hint is str:
        words = _WORDS_OF_FIELD.get(name) or (item.choices if item else ())
        return {"enum": list(words)} if words else {"type": "string"}
    if name in _ENTRIES:
        return {"type": "array", "items": _ENTRIES[name]}
    if name in _BY_NAME:
        return {"type": "object", "properties": {key: number(f"{key.replace('_', ' ')}, {unit}") for key, unit in _BY_NAME[name].items()}, "additionalProperties": False}
    if typing.get_origin(hint) is dict:
        return {"type": "object", "patternProperties": {SIDE_PATTERN: number("On that side, m")}, "additionalProperties": False}
    return {}


# What comes out.


def _ground() -> dict:
    return object_of("The ground under the footprint", {
        "fall_m": number("From the highest to the lowest existing ground, m"),
        "gradient": number("Slope of the best plane through the corners, rise over run"),
        "highest_corner": or_null(text("The highest corner"), "on level ground"),
        "lowest_corner": or_null(text("The lowest corner"), "on level ground"),
        "corner_levels_m": list_of({"type": "number"}, "Existing ground at the corners in order, m"),
        "area_m2": number("Area of the footprint, m2"),
        "perimeter_m": number("Outline of the footprint, m"),
    })


_EARTH_WORDS = {
    "dug_bank_m3": "Dug, with topsoil", "backfilled_bank_m3": "Put back", "spread_bank_m3": "Spread on the plot, with topsoil", "carted_bank_m3": "Carted away",
}
_STEP_WORDS = {
    "wall": "Wall in which the step is", "chainage_m": "From the higher end of the wall, m", "height_m": "Height of the step, m",
    "overlap_m": "Upper part past the riser, m",
}


def _scheme() -> dict:
    return object_of("One scheme", {
        "id": enum(SCHEME_IDS, "Scheme"),
        "title": text("Its title"),
        "buildable": boolean("Whether it is within every limit"),
        "reasons": list_of(
            object_of("A limit that it is outside of", {
                "rule": text("The rule"),
                "figure": or_null(number("The scheme's figure, in the unit"), "for a sign on the plot"),
                "limit": or_null(number("The limit, in the unit"), "for a sign on the plot"),
                "unit": text("Unit of both; empty for a plain number"),
                "sentence": text("What it means"),
                "ask": text("Whom to ask; may be empty"),
            }),
            "Why it is outside the limits; empty when it is not",
        ),
        "variant": text("Which way of building it was taken, where it has several; else empty"),
        "floor_level_m": number("Top of slab above the highest existing ground, m"),
        "level_set_by": text("Why the floor lies at its level, as words after because; fixed by you where the reader fixed it"),
        "levels": or_null(_levels(), "where the reader fixed the floor level"),
        "sole_plate_m": number("Top of the damp-proof course, where all schemes are compared, m"),
        "fill_depth_m": number("Deepest fill under the floor, m"),
        "low_side_height_m": number("Top of slab above the lowest existing ground, m"),
        "founding_level_m": number("Lowest underside of concrete, m"),
        "sizes": object_of("Sizes it is built to; those that it has", {key: number(f"{label}, m") for key, label in SIZE_LABELS.items()}, required=False),
        "steps": list_of(
            object_of("A step", {field.name: (text if field.name == "wall" else number)(_STEP_WORDS[field.name]) for field in fields(Step)}),
            "Steps in a footing or a deepened edge",
        ),
        "quantities": object_of(
            "Net, in place; 0 where there is none. For scale only where the scheme is outside the limits",
            {quantity.key: {"type": "number", "minimum": 0, "description": f"{quantity.label}, {quantity.unit or 'count'}: {quantity.measured}"} for quantity in QUANTITIES},
        ),
        "layers": list_of(object_of("Stone in one zone, compacted in layers", {
            "zone": text("Which"), "thinnest_m": number("Where it is thinnest, m"), "thickest_m": number("Where it is thickest, m"),
            "lifts_at_thinnest": {"type": "integer", "minimum": 0, "description": "Layers there"},
            "lifts_at_thickest": {"type": "integer", "minimum": 0, "description": "Layers there"},
            "lift_m": number("Thickness of a layer, m"), "passes": {"type": "integer", "minimum": 1, "description": "How often each is gone over with a heavy plate"}}),
            "How many layers of stone where"),
        "earth": object_of(
            "Where what is dug goes, before it bulks; dug = put back + spread + carted",
            {field.name: number(f"{_EARTH_WORDS[field.name]}, m3") for field in fields(Earth)},
        ),
        "bill": list_of(_line(), "The bill, line by line"),
        "contingency": or_null(_spread("For what nobody saw; in the cash"), NO_PRICE),
        "cash": or_null(_spread("What is paid, contingency in it"), NO_PRICE),
        "own_hours": number("The reader's hours, h"),
        "helper_hours": number("Helpers' hours, h"),
        "hired_cash": or_null(_spread("With all the work hired"), NO_PRICE),
        "credits": list_of(
            object_of("Money that brings it to one line with the others", {
                "item": text("What"),
                "sentence": text("Why"),
                "rate": enum(RATE_KEYS, "Key of the rate"),
                "amount": or_null(_spread("Added, or taken off when negative"), NO_PRICE),
            }),
            "Credits and additions of the like-for-like figure",
        ),
        "like_for_like": or_null(_spread("Cash with credits and additions: one height, one use of the floor"), NO_PRICE),
        "with_own_hours": or_null(number("Like for like at likely rates, with own hours at their worth, money"), NO_PRICE),
        "checks": list_of(_check(), "Every check"),
        "assumptions": list_of({"type": "string"}, "What was assumed, in words"),
        "u_value_w_per_m2k": number("U-value of the floor without anything laid on it, W/(m2 K)"),
        "floor_heat_kwh_per_year": or_null(number("Heat that this floor loses in a year, kWh"), NOT_HEATED),
        "floor_heat": or_null(object_of("That heat: area, cost, working and what was taken for it", {
            "area_m2": number("Floor between the inner faces of the walls, m2"),
            "cost": number("Cost of the heat in a year, money"),
            "working": text("Formula with its numbers, in SI"),
            "assumptions": list_of({"type": "string"}, "What was taken, in words; says where a price is invented"),
        }), NOT_HEATED),
        "carbon_kgco2e": number("What is brought, carted and dug gives off, kgCO2e. For scale only where the scheme is outside the limits"),
        "carbon": _carbon(),
        "permissions": list_of(
            object_of("Something that may have to be asked for; check locally", {
                "what": text("What"),
                "of_whom": text("Of whom"),
                "figure": or_null(number("This building's figure, in the unit"), "where there is none"),
                "limit": or_null(number("The region's figure, in the unit"), "where none is held"),
                "unit": text("Unit of both; may be empty"),
                "verdict": enum((ASK, CLOSE, BELOW, NOT_WORKED_OUT), "The answer, in words"),
                "sentence": text("What it means"),
                "source": text("Document and clause of the limit; may be empty"),
                "mark": enum(MARKS, "How well the limit is known"),
            }),
            "What may have to be asked, of whom",
        ),
        "odds": or_null(_odds(), "where the scheme is outside the limits, or nothing was drawn"),
        "later": or_null({"type": "object", "additionalProperties": _NUMBER, "description": "What each later wish costs under it, by the wish's key, money"},
                          "where the scheme is outside the limits, or nothing was drawn"),
        "programme": or_null(PROGRAMME_SCHEMA, NO_JOB),
        "pour": or_null(list_of(pour_schema(_check()), "Each pour, in order"), NO_JOB),
        "deliveries": or_null(list_of(delivery_schema(), "What is delivered, in the order of its coming"), NO_JOB),
        "cautions": or_null(list_of(caution_schema(), "What can hurt people here, in the order of the work"), NO_JOB),
    })


def _check() -> dict:
    return object_of("A figure against a limit", {
        "name": text("What is checked"),
        "provided": or_null(number("The scheme's figure, in the unit"), "for a sign on the plot"),
        "required": or_null(number("The limit, in the unit"), "where no limit is held"),
        "unit": text("Unit of both; empty for a plain number"),
        "ratio": or_null(number("How much of the limit is used; 1 or less is within"), "where there is no such figure, or the limit is nothing"),
        "verdict": enum(VERDICTS, "Within, close, outside, or not worked out"),
        "sentence": text("What it means"),
        "source": text("Document and clause; may be empty"),
        "mark": enum(MARKS, "How well the figure is known"),
        "ask": text("Whom to ask when outside; may be empty"),
        "method": enum((*QUESTIONS, POUR_METHOD), "What it belongs to, and the name of the page about it"),
        "working": text("Formula with its numbers, in SI; empty where the figure is set against the limit as it stands"),
        "stops": boolean("Whether the scheme is outside the limits when this is; false for what can be put right beside it"),
    })


def _carbon() -> dict:
    return object_of("What makes up the carbon, line by line", {
        "factor_set": text("Name of the set of emission factors"),
        "dated": text("Its year"),
        "lines": list_of(
            object_of("A line", {
                "key": text("Its key"),
                "item": text("What"),
                "group": enum(CARBON_GROUPS, "Which group it belongs to"),
                "amount": number("Amount with the bill's allowance, in its unit"),
                "unit": text("Unit of the amount"),
                "factor": number("Emission factor, in its unit"),
                "factor_unit": text("Unit of the factor"),
                "factor_from": text("Document, place and mark of the factor, or yours"),
                "kgco2e": number("What it gives off, kgCO2e"),
            }),
            "Every line",
        ),
        "by_group": object_of("The same by group", {group: number(f"{words}, kgCO2e") for group, words in CARBON_GROUPS.items()}),
        "assumptions": list_of({"type": "string"}, "What was assumed, in words"),
        "left_out": list_of({"type": "string"}, "What is not counted"),
    })


def _levels() -> dict:
    forbidden = "where no level keeps every rule"
    nudge, share = f"{NUDGE_M * 1000:g} mm", f"{AS_GOOD_SHARE:.0%}"
    stages = dict.fromkeys(rule.stage for rule in BILL)
    return object_of(
        "The floor level that costs least. Cost is likely cash, contingency in it, with own hours at their worth, before rounding to units of sale",
        {
            "best_m": number("The level that costs least of those that keep every rule, or the lowest where none does, m"),
            "set_by": text("Why the floor lies there, as words after because"),
            "lowest_m": number("The lowest level that was tried, m"),
            "lowest_set_by": text("What keeps the floor from going lower than that, as words after because"),
            "cost": or_null(number("Cost at the best level, money"), forbidden),
            "points": list_of(
                object_of("One level", {
                    "level_m": number("Top of slab, m"),
                    "cost": or_null(number("Cost, money"), "where it breaks a rule"),
                    "by_stage": or_null(object_of("Cost by stage of the work", {stage: number(f"{stage}, money") for stage in stages}), "where it breaks a rule"),
                    "allowed": boolean("Whether it keeps every rule"),
                    "broken": list_of({"type": "string"}, "The rules that it breaks, by the names of the checks"),
                }),
                "The levels that were tried, from the lowest up",
            ),
            "nudge_up": or_null(number(f"What {nudge} higher adds, money"), "where a rule forbids it"),
            "nudge_down": or_null(number(f"What {nudge} lower adds, money"), "where a rule forbids it"),
            "as_good_from_m": or_null(number(f"Lower end of the levels round the best that cost within {share} of it, m"), forbidden),
            "as_good_to_m": or_null(number("Upper end of them, m"), forbidden),
            "clash": or_null(
                object_of("Which rules keep every level from being allowed, by the way each pulls the floor", {
                    "up": list_of({"type": "string"}, "Kept only higher"),
                    "down": list_of({"type": "string"}, "Kept only lower, if at all"),
                    "neither": list_of({"type": "string"}, "Broken alike at every level that was tried"),
                }),
                "where a level keeps every rule",
            ),
        },
    )


def _line() -> dict:
    return object_of("A line of the bill", {
        "item": text("What"),
        "net": number("Net amount, in its unit"),
        "net_unit": text("Unit of the net amount; empty for a count"),
        "allowance_percent": number("Allowance on the net amount, %"),
        "order": number("Order, in the unit of sale; for work alone the net amount"),
        "order_unit": text("Unit of sale"),
        "rate": or_null(number("Likely rate, money for each unit of sale"), "for work alone"),
        "rate_unit": text("Currency and unit of sale; empty for work alone"),
        "rate_from": text("Whose rate: the schedule's name, or yours; empty for work alone"),
        "cash_low": or_null(number("At the low rate, money"), NO_PRICE),
        "cash": or_null(number("At the likely rate, money"), NO_PRICE),
        "cash_high": or_null(number("At the high rate, money"), NO_PRICE),
        "own_hours": number("The reader's hours, h"),
        "helper_hours": number("Helpers' hours, h"),
    })


def _decision() -> dict:
    def scheme(description: str) -> dict:
        return or_null(enum(SCHEME_IDS, description), "when nothing is within limits")

    return object_of("Who comes out first at likely prices", {
        "order": list_of({"enum": list(SCHEME_IDS)}, "Schemes within limits, cheapest like for like first"),
        "margin": or_null(number("Money between the first two"), "with fewer than two"),
        "margin_share": or_null(number("The margin over the cheapest figure"), "with fewer than two, or a figure that is not above nothing"),
        "least_own_hours": scheme("Fewest own hours"),
        "least_concrete": scheme("Least concrete"),
        "lowest_low_side": scheme("Lowest floor on the low side"),
        "hour_worth": number("What an own hour is worth, money"),
        "quotes_to_settle": list_of(
            object_of("A rate whose quote would narrow the comparison most", {
                "rate": enum(RATE_KEYS, "Key of the rate"),
                "label": text("Its label"),
                "swing": number("How far the gap between the first two moves from its low rate to its high one, money; with one scheme, its own figure"),
            }),
            "Three at most",
        ),
        "ask": list_of({"type": "string"}, "Whom the schemes outside the limits send the reader to"),
    })


def _range(description: str) -> dict:
    return object_of(description, {
        "p10": number("1 time in 10 it is below this"), "p50": number("As often above as below"), "p90": number("1 time in 10 it is above this")})


def _share(description: str) -> dict:
    return {"type": "number", "minimum": 0, "maximum": 1, "description": description}


def _odds() -> dict:
    return object_of("Ranges over all draws, and the share of them in which it wins", {
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
    key, label = text("Its key"), text("What it is")
    return object_of("What decides it, and how surely", {
        "draws": {"type": "integer", "minimum": 1, "description": "How often what nobody knows exactly was drawn"},
        "uncertain": list_of(object_of("Something drawn, from its three points", {
            "key": key, "label": label, "kind": enum(("amount", "pace", "rate"), "What it moves"), "unit": text("Unit; empty for a factor"),
            "low": number("Least"), "likely": number("Likely"), "high": number("Most"), "source": text("Assumed, or whose rate")}), "What was drawn"),
        "first": or_null(scheme, "when nothing is within limits"),
        "second": or_null(scheme, "with fewer than two"),
        "second_dearer": or_null(_range("What the second costs more than the first, money"), "with fewer than two"),
        "first_stays_cheaper": or_null(_share("Share of draws in which the first is the cheaper"), "with fewer than two"),
        "gap_before_rounding": or_null(number("What the second costs more than the first before rounding to units of sale, money"), "with fewer than two"),
        "rounding_decides": boolean("Whether the order is the other way round before rounding to units of sale"),
        "drivers": list_of(object_of("Something that moves the difference of the first two, by itself", {
            "key": key, "label": label, "low": number("1 time in 10 below"), "high": number("1 time in 10 above"),
            "difference_at_low": number("Money between the two there"), "difference_at_high": number("Money between the two there")}), "The greatest first"),
        "switches": list_of(object_of("The value of one thing at which the first two change places", {
            "key": key, "label": label, "unit": text("Unit; empty for a factor"), "likely": number("What was taken"),
            "value": or_null(number("Where they change places"), "where nothing in reach turns them"),
            "above": boolean("Whether the second is cheaper above the value"),
            "looked_from": number("From where it was looked for"), "looked_to": or_null(number("To where"), "where there is no end")}), "Everything that was tried"),
        "yardsticks": list_of(object_of("A yardstick of which less is better", {
            "key": enum(YARDSTICK_BY_KEY, "Its key"), "label": label, "unit": text("Unit; yes for a thing that is so, 1, or not, 0"),
            "values": _by_scheme("Of each scheme within limits"), "least": list_of(scheme, "Who has least"), "lead": number("By how much less than the next")}), "All yardsticks"),
        "dominated_by": _by_scheme("Schemes that another beats or equals on every yardstick, with that other", scheme),
        "weighed": or_null(object_of("The reader's weighing", {
            "weights": {"type": "object", "additionalProperties": _NUMBER, "description": "As given"},
            "sums": _by_scheme("Sum of weight times excess"), "order": list_of(scheme, "The smallest sum first"),
            "turns": list_of(object_of("Where one weight changes who comes first", {
                "key": key, "weight": number("As given"), "turns_at": or_null(number("There"), "where none from 0 up does"),
                "to": or_null(scheme, "where none does")}), "For each weight")}), "where no weights were given"),
        "later": object_of("Changing your mind later", {
            "futures": list_of(object_of("A later wish", {
                "key": key, "name": text("Its name"), "words": text("What it is taken to mean"), "costs": _by_scheme("Money under each scheme within limits"),
                "likelihood": or_null(_share("How likely the reader thinks it"), "where nobody said"), "own": boolean("Whether the reader added it")}), "Later wishes"),
            "regret": object_of("Money more than the best choice would have cost", {
                "by_future": {"type": "object", "additionalProperties": _by_scheme("By scheme"), "description": "By wish; also where nothing changes"},
                "greatest": _by_scheme("The greatest of each scheme"), "smallest": or_null(scheme, "when nothing is within limits")}),
            "matters": list_of(object_of("How likely a wish must be before it matters", {
                "future": text("Key of the wish"), "chance": or_null(_share("From this chance on"), "where it never does"), "to": or_null(scheme, "where it never does")}), "For each wish"),
        }),
    })
