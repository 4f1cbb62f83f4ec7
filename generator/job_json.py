"""The rest of the job of a scheme as JSON: pours, deliveries, cautions, with the JSON Schema of each beside it; and that of a levelled floor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict

from calculators.curing import STAGES
from calculators.order_list import Delivery
from calculators.order_volume import Ordered
from calculators.plot_cautions import KEYS, PLACES, Caution
from calculators.pour import WAYS, LoadTimes, PourDay
from calculators.pours import Pour
from calculators.scenario import COMPOUNDS, FLOOR_FINISHES, SURFACES
from calculators.works import Check
from generator.caution_words import caution_sentence, with_figures
from generator.schema_pieces import boolean, enum, list_of, number, object_of, or_null, text


def pour_json(pour: Pour, check: Callable[[Check], dict]) -> dict:
    """One pour as dictionaries, lists, text and finite numbers; `check` makes the like of a check."""
    against = pour.against
    return {
        "key": pour.key,
        "name": pour.name,
        "date": pour.date,
        "net_m3": pour.net_m3,
        "mean_m3": pour.volume.mean_m3,
        "deviation_m3": pour.volume.deviation_m3,
        "order": _ordered(pour.chosen),
        "orders_weighed": [_ordered(ordered) for ordered in pour.orders],
        "against_net_plus_tenth": {
            "spread": against.spread, "chosen": _ordered(against.chosen), "net_plus_tenth": _ordered(against.rule_of_thumb),
            "better": against.better, "saves": against.saves},
        "second_places": [asdict(place) for place in pour.terms.places],
        "paid_by_use": [
            {"name": other.paid.name, "expected_cost": other.expected_cost, "chance_of_second": other.chance_of_second} for other in pour.alternatives],
        "barrows": pour.crew.barrows,
        "placers": pour.crew.placers,
        "first_time": pour.crew.first_time,
        "way": pour.route.way,
        "run_m": pour.route.length_m,
        "run_slope": pour.route.slope,
        "weather": {**asdict(pour.weather), "from": pour.weather_from},
        "sunrise_h": pour.sunrise_h,
        "sunset_h": pour.sunset_h,
        "dusk_h": pour.dusk_h,
        "day": None if pour.day is None else _day(pour.day),
        "checks": [check(each) for each in pour.checks],
        "crew_wanted": None if pour.crew_wanted is None else {"barrows": pour.crew_wanted.barrows, "placers": pour.crew_wanted.placers},
        "surface": pour.surface,
        "saw_from_h": None if pour.saw_h is None else pour.saw_h[0],
        "saw_until_h": None if pour.saw_h is None else pour.saw_h[1],
        "waits_days": None if pour.waits_days is None else {stage: _waits(days) for stage, days in pour.waits_days.items()},
        "frost_days": None if pour.frost_days is None else _waits(pour.frost_days),
        "covered_days": None if pour.covered_days is None else pour.covered_days.value,
        "drying_days": asdict(pour.drying_days),
    }


def _ordered(ordered: Ordered) -> dict:
    return asdict(ordered)


def _waits(days: tuple[float, float]) -> dict:
    return {"shorter": days[0], "longer": days[1]}


def _day(day: PourDay) -> dict:
    return {key: value for key, value in asdict(day).items() if key != "checks"}


def delivery_json(delivery: Delivery, units: str) -> dict:
    """One delivery as dictionaries, lists, text and finite numbers; its texts in the scenario's units."""
    def said(words: str, figures) -> str:
        return with_figures(words, figures).of(units)

    return {
        "supplier": delivery.supplier,
        "for_task": delivery.for_task,
        "order_by": delivery.order_by,
        "confirm_on": delivery.confirm_on,
        "arrives": delivery.arrives,
        "until": delivery.until,
        "lead_days": delivery.lead_days,
        "loads": delivery.loads,
        "load_words": said(delivery.load_words, delivery.figures),
        "put_down": said(delivery.put_down, delivery.figures),
        "lines": [
            {
                "key": line.key, "what": line.what, "ask_for": said(line.ask_for, line.figures), "net": line.net, "order": line.order, "unit": line.unit,
                "spare": line.spare, "spare_goes": said(line.spare_goes, line.figures), "bill_order": line.bill_order, "cost": line.cost,
                "comes_as": [asdict(piece) for piece in line.comes_as], "words_from": line.source, "mark": line.mark,
            } for line in delivery.lines],
    }


def caution_json(caution: Caution, units: str) -> dict:
    """One caution as text, in the scenario's units."""
    return {"key": caution.key, "where": caution.where, "title": caution.title, "words": caution_sentence(caution).of(units)}


# What they are like.


def _ordered_schema(description: str) -> dict:
    return object_of(description, {
        "order_m3": number("Concrete ordered, m3"),
        "expected_cost": number("What it comes to on average, cold joints and surplus in it, money"),
        "chance_short": {**number("Share of draws in which it is not enough"), "minimum": 0, "maximum": 1},
        "expected_short_m3": number("Short on average, m3"),
        "expected_over_m3": number("Left over on average, m3"),
        "loads_m3": list_of({"type": "number"}, "Lorries, m3 each"),
    })


def _waits_schema(description: str) -> dict:
    return object_of(description, {"shorter": number("By the one rule of maturity, days"), "longer": number("By the other, days")})


_LOAD_WORDS = {
    "load_m3": "In it, m3", "batched_h": "Batched, h of the day", "arrives_h": "At the gate, h of the day", "starts_h": "Begins to empty, h of the day",
    "empty_h": "Empty, h of the day", "waiting_h": "Waiting that is charged, h",
}
_DAY_WORDS = {
    "rate_m3_per_h": "Placed in an hour, m3/h", "trips": "Barrow loads", "waiting_h": "Waiting charged in all, h", "waiting_charge": "Its charge, money",
    "face_h": "Age of the edge when fresh concrete meets it, h", "join_by_h": "Age by which it must, h",
    "first_float_h": "First float of what was placed first, h of the day", "float_h": "Float of what was placed last, h of the day",
    "power_float_h": "Power float may go on, h of the day", "trowel_h": "Trowelling begins, h of the day", "finished_h": "Finished, h of the day",
    "evaporation_kg_per_m2h": "Water that the face loses, kg/m2h",
}


def _day_schema() -> dict:
    load = object_of("A lorry", {name: number(_LOAD_WORDS[name]) for name in LoadTimes.__dataclass_fields__})
    own = {"held_up_by": text("What holds it up: carrying or placing"), "loads": list_of(load, "The lorries")}
    return object_of("The day, by the clock of the place", {
        name: own.get(name) or number(_DAY_WORDS[name]) for name in PourDay.__dataclass_fields__ if name != "checks"})


def pour_schema(check: dict) -> dict:
    """The schema of one pour; `check` is that of a check."""
    return object_of("A pour", {
        "key": text("The task of the programme"),
        "name": text("What is poured"),
        "date": _day_schema_of("Day of the pour by the programme"),
        "net_m3": number("As drawn, m3"),
        "mean_m3": number("Mean of what is poured, m3"),
        "deviation_m3": number("Its standard deviation, m3"),
        "order": _ordered_schema("The order that costs least on average"),
        "orders_weighed": list_of(_ordered_schema("An order"), "Every order that was weighed, the smallest first"),
        "against_net_plus_tenth": object_of("That order and net plus a tenth, on draws that neither was chosen on", {
            "spread": number("How many times as wide as assumed those draws are"),
            "chosen": _ordered_schema("The order that was chosen"), "net_plus_tenth": _ordered_schema("Net plus a tenth"),
            "better": enum(("chosen", "rule of thumb", "same"), "Which cost less"), "saves": number("By how much the chosen order costs less, money; below 0 where it costs more"),
        }),
        "second_places": list_of(object_of("A place for what is left over", {
            "name": text("Which"), "room_m3": number("Its room, m3"), "worth_per_m3": number("What concrete is worth there, money per m3")}), "Where what is left over goes"),
        "paid_by_use": list_of(object_of("Concrete that is paid by what comes out", {
            "name": text("Which"), "expected_cost": number("On average, money"),
            "chance_of_second": number("Share of draws in which one visit, or one day at the mixer, is not enough")}), "Instead of ready-mixed"),
        "barrows": {"type": "integer", "minimum": 0, "description": "People with barrows"},
        "placers": {"type": "integer", "minimum": 1, "description": "People who place and level"},
        "first_time": boolean("Whether it is their first time"),
        "way": enum(WAYS, "How concrete goes from lorry to slab"),
        "run_m": number("Length of the barrow run, m"),
        "run_slope": number("Its rise or fall over its length"),
        "weather": object_of("The weather taken", {
            "air_c": number("Air, degrees Celsius"), "humidity": number("Relative humidity, 0 to 1"), "wind_m_per_s": number("Wind, m/s"),
            "concrete_c": number("Concrete, degrees Celsius"), "from": text("Whose weather")}),
        "sunrise_h": number("Sunrise, h of the day"),
        "sunset_h": number("Sunset, h of the day"),
        "dusk_h": number("Dusk, h of the day"),
        "day": or_null(_day_schema(), "where it is too cold or too hot for times to be held"),
        "checks": list_of(check, "Checks of the day and of its weather"),
        "crew_wanted": or_null(object_of("The smallest crew that empties each lorry in its allowance", {
            "barrows": {"type": "integer", "description": "People with barrows"}, "placers": {"type": "integer", "description": "People who place"}}), "where none does"),
        "surface": enum(SURFACES, "How it is finished"),
        "saw_from_h": or_null(number("Joints are sawn from, h after the midnight before the pour"), "where none are sawn"),
        "saw_until_h": or_null(number("And until"), "where none are sawn"),
        "waits_days": or_null(object_of("Days from pouring", {key: _waits_schema(f"Until you may {stage.words}") for key, stage in STAGES.items()}), "where it is too cold"),
        "frost_days": or_null(_waits_schema("Days in which it must not freeze"), "where it is too cold"),
        "covered_days": or_null(number("Kept wet or covered, days"), "where it is too cold for the rule"),
        "drying_days": object_of("Until it is dry enough for a covering, days; the spread is wide", {
            "low": number("Least"), "likely": number("Likely"), "high": number("Most")}),
    })


def caution_schema() -> dict:
    """The schema of one caution."""
    return object_of("What can hurt people here", {
        "key": enum(KEYS, "Its key"), "where": enum(PLACES, "The place of the work that it belongs to"), "title": text("Its title"),
        "words": text("What the plot's figures say, and what to do, in the scenario's units"),
    })


def delivery_schema() -> dict:
    """The schema of one delivery."""
    line = object_of("A thing to ask for", {
        "key": text("Key of the line of the bill"),
        "what": text("What"),
        "ask_for": text("Words to the supplier, in the scenario's units"),
        "net": number("Net, in the unit"),
        "order": number("Order, in the unit"),
        "unit": text("Unit of sale"),
        "spare": number("Order less net, in the unit"),
        "spare_goes": text("Where what is left over goes"),
        "bill_order": or_null(number("What the bill has, in the unit"), "where it has the same"),
        "cost": number("Likely cost, money"),
        "comes_as": list_of(object_of("A piece", {
            "what": text("What"), "amount": number("How many, or how much in its unit"), "unit": text("Unit, SI; empty for a count")}), "What it comes as; empty where it comes in the unit"),
        "words_from": text("Where the words are from; may be empty"),
        "mark": text("How well they are known; may be empty"),
    })
    return object_of("What one supplier brings, or takes away, on one day", {
        "supplier": text("Which kind of supplier"),
        "for_task": text("The task of the programme that it is for"),
        "order_by": _day_schema_of("Last day to order it"),
        "confirm_on": or_null(_day_schema_of("Day to confirm it"), "where it need not be"),
        "arrives": _day_schema_of("Day on which it is wanted"),
        "until": or_null(_day_schema_of("Last day on which what is hired is wanted"), "where nothing is hired"),
        "lead_days": number("From the order to its coming, days"),
        "loads": {"type": "integer", "minimum": 0, "description": "Lorries"},
        "load_words": text("How they divide"),
        "put_down": text("Where it can be put down"),
        "lines": list_of(line, "What is in it"),
    })


def _day_schema_of(description: str) -> dict:
    return {**text(description), "format": "date"}


def floor_schema() -> dict:
    """The schema of `flatness_page.floor_data`: how the floor came out."""
    point = list_of({"type": "number"}, "x and y, m")
    layer = {"area_m2": number("Area, m2"), "volume_m3": number("Volume, m3"), "least_m": number("Where it is thinnest, m"), "greatest_m": number("Where it is thickest, m")}
    spot = {"at_m": point, "deviation_m": number("Over the plane, m")}
    gap = {"gap_m": number("The greatest gap, m"), "at_m": point, "start_m": list_of({"type": "number"}, "One end of the straightedge, m"), "end_m": list_of({"type": "number"}, "The other, m")}

    def measured(description: str) -> dict:
        return or_null(number(description), "where nobody has measured it")

    return object_of("How the floor came out, and what may be done", {
        "finish": enum(FLOOR_FINISHES, "What is to lie on it"), "compound": enum(COMPOUNDS, "The levelling compound"), "use": text("Use of the building"),
        "against_level": boolean("Whether it is held against a level plane"),
        "humidity": measured("Dampness of the slab, 0 to 1"), "age_days": measured("Its age, days"), "strength_mpa": measured("Its strength, MPa"),
        "area_m2": number("Inside the outermost levels, m2"), "building_m2": or_null(number("Of the building, m2"), "without a building"),
        "levels": list_of(object_of("A level", {
            "x_m": number("m"), "y_m": number("m"), "z_m": number("m"), "deviation_m": number("Over the plane, m")}), "As taken"),
        "plane": object_of("The plane it is held against", {
            "east": number("Rise to the east over run"), "north": number("Rise to the north over run"), "at_origin_m": number("Level at the origin, m")}),
        "highest": object_of("The highest place", spot), "lowest": object_of("The lowest place", spot),
        "fall_m": number("Across the floor by the plane, m"), "tilt": number("Slope of the plane, rise over run"),
        "straightedge": object_of("Greatest gap under a straightedge", {f"{length}_m": object_of(f"Of {length} m", gap) for length in (2, 3)}),
        "surface_class": or_null(text("Its class"), "where it is worse than all of them"), "wanted_gap_m": number("Most that the finish takes, m"),
        "compound_mpa": object_of("Strength of the compound", {"has": number("MPa"), "wanted": number("For the use, MPa")}), "hour_worth": number("An hour, money"),
        "options": list_of(object_of("A way to deal with it", {
            "name": text("Which"), "ground": object_of("Ground off", layer), "filled": object_of("Filled", layer), "bags": _whole("Bags"), "coats": _whole("Coats"),
            "gap_m": number("Gap under 2 m afterwards, m"), "enough": boolean("Whether that is what was asked"), "does": boolean("Whether it is enough and its compound suits"),
            "too_thin": boolean("Thinner than the compound is laid"), "too_deep": boolean("Deeper than one coat of it"),
            "misfits": list_of({"type": "string"}, "In what the compound does not suit"),
            "cash": object_of("Money", {end: number(f"With every rate at its {end}") for end in ("low", "likely", "high")}),
            "hours": number("h"), "with_hours": number("Likely money, hours at their worth")}), "Five"),
        "cheapest": or_null(text("The one that does and costs least, hours at their worth"), "where none does"),
        "finishes": list_of(object_of("A finish", {
            "finish": enum(FLOOR_FINISHES, "Which"), "lacks": list_of(object_of("What is lacking", {
                "what": text("Flatness, m; dryness, 0 to 1; strength, MPa; age, days"), "found": measured("As measured"), "wanted": number("Wanted")}), "Empty for nothing")}), "Each"),
    })


def _whole(description: str) -> dict:
    return {"type": "integer", "minimum": 0, "description": description}
