"""A comparison as JSON: SI numbers under names with unit suffixes, in a form that `comparison_schema` describes."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from datetime import date

from calculators.best_level import LevelSearch
from calculators.carbon import CarbonResult
from calculators.compaction import layers
from calculators.compare import Certainty, Comparison, SchemeResult
from calculators.job import Job
from calculators.pricing import BillLine, Spread
from calculators.ranges import Range
from calculators.scenario import Scenario
from calculators.stand import stand_assumptions
from calculators.works import Check
from calculators.yearly_heat import YearlyHeat
from generator import __version__
from generator.check_words import whom_to_ask
from generator.flatness_page import floor_data, floor_of
from generator.job_json import caution_json, delivery_json, pour_json
from generator.programme_page import programme_json
from generator.scenario import Reading
from generator.schedules import YOURS
from generator.wording import corner_name, prices_note, questions_to_settle, verdict

FORMAT = "soleplate comparison 1"
"""Changes when a key changes its name or meaning."""

FORMAT_MINOR = 3
"""Rises when keys are added; whoever reads the form may pass over keys that they do not know."""

SAME_LEVEL_M = 1e-9


def comparison_json(reading: Reading, comparison: Comparison) -> str:
    """The document as text, the same text for the same input.  Raises ValueError for a number that is not finite."""
    # A line for each key and each scheme: short lines to compare two documents by, written fast.
    lines = []
    for key, value in comparison_document(reading, comparison).items():
        parts = [_line_of(part) for part in value] if key == "schemes" else None
        lines.append(f"{_line_of(key)}: " + (_line_of(value) if parts is None else "[\n" + ",\n".join(parts) + "\n]"))
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _line_of(value) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def comparison_document(reading: Reading, comparison: Comparison) -> dict:
    """The comparison as dictionaries, lists, text and finite numbers."""
    scenario = comparison.scenario
    schedule = scenario.schedule
    return _clean({
        "format": FORMAT,
        "format_minor": FORMAT_MINOR,
        "made_with": {
            "version": __version__, "rules": scenario.region, "rates": schedule.name, "rates_date": schedule.dated,
            "rates_invented": schedule.invented,
        },
        "scenario": _scenario(reading, comparison),
        "currency": scenario.currency,
        "ground": _ground(comparison),
        "taken_for_granted": stand_assumptions(comparison.site),
        "schemes": [_scheme(result, comparison.certainty, comparison.jobs.get(result.id), scenario) for result in comparison.schemes],
        "verdict": verdict(comparison),
        "prices": prices_note(comparison),
        "decision": _decision(comparison),
        "certainty": None if comparison.certainty is None else _certainty(comparison.certainty),
        "floor": None if (floor := floor_of(comparison)) is None else floor_data(floor),
    })


def _clean(value):
    """Tuples as lists, dates as text, and no minus before a nought."""
    if isinstance(value, dict):
        return {key: _clean(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_clean(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    return value + 0.0 if isinstance(value, float) else value


def _scenario(reading: Reading, comparison: Comparison) -> dict:
    scenario = comparison.scenario
    record = {key: value for key, value in asdict(scenario).items() if key not in ("schedule", "currency")}
    return {
        **record,
        "hour_worth": comparison.decision.hour_worth,
        "rates": scenario.schedule.name,
        "quotes": [
            {"rate": rate.key, "low": rate.low, "likely": rate.likely, "high": rate.high, "unit": f"{scenario.currency}/{rate.sale_unit}"}
            for rate in scenario.schedule.rates.values() if rate.rate_from == YOURS
        ],
        "defaults": [{"key": used.key, "label": used.label, "value": used.value_text, "reason": used.reason} for used in reading.defaults],
    }


def _ground(comparison: Comparison) -> dict:
    site = comparison.site
    levels = site.corner_levels_m
    level_ground = max(levels) - min(levels) <= SAME_LEVEL_M

    def corner(level_m: float) -> str | None:
        # The first of corners equally high, so that the last binary digit does not choose.
        return None if level_ground else corner_name(site.plan, next(i for i, z in enumerate(levels) if abs(z - level_m) <= SAME_LEVEL_M))

    return {
        "fall_m": -site.lowest_ground_m,
        "gradient": site.gradient,
        "highest_corner": corner(max(levels)),
        "lowest_corner": corner(min(levels)),
        "corner_levels_m": levels,
        "area_m2": site.plan.area_m2,
        "perimeter_m": site.plan.perimeter_m,
    }


def _spread(money: Spread | None) -> dict | None:
    return None if money is None else {"low": money.low, "likely": money.likely, "high": money.high}


def _range(found: Range | None) -> dict | None:
    return None if found is None else asdict(found)


def _odds(result: SchemeResult, certainty: Certainty | None) -> dict | None:
    found = certainty.ranges.scheme(result.id) if certainty else None
    if found is None:
        return None
    return {"draws": certainty.ranges.draws, **{key: value for key, value in asdict(found).items() if key != "id"}}


def _certainty(certainty: Certainty) -> dict:
    ranges, standing, later = certainty.ranges, certainty.standing, certainty.later
    return {
        "draws": ranges.draws,
        "uncertain": [
            {"key": thing.key, "label": thing.label, "kind": thing.kind, "unit": thing.unit, **asdict(thing.points), "source": thing.source} for thing in ranges.uncertain],
        "first": ranges.first,
        "second": ranges.second,
        "second_dearer": _range(ranges.second_dearer),
        "first_stays_cheaper": ranges.first_stays_cheaper,
        "gap_before_rounding": certainty.gap_before_rounding,
        "rounding_decides": certainty.rounding_decides,
        "drivers": [
            {"key": driver.thing.key, "label": driver.thing.label, "low": driver.low, "high": driver.high,
             "difference_at_low": driver.difference_at_low, "difference_at_high": driver.difference_at_high} for driver in certainty.drivers],
        "switches": [
            {"key": switch.key, "label": switch.label, "unit": switch.unit, "likely": switch.likely, "value": switch.value, "above": switch.above,
             # An hour may be worth any amount: there is no upper end to that search.
             "looked_from": switch.reach[0], "looked_to": switch.reach[1] if math.isfinite(switch.reach[1]) else None} for switch in certainty.switches],
        "yardsticks": [
            {"key": measured.key, "label": measured.label, "unit": measured.unit, "values": measured.values, "least": measured.least, "lead": measured.lead}
            for measured in standing.measured],
        "dominated_by": standing.dominated_by,
        "weighed": None if standing.weighed is None else asdict(standing.weighed),
        "later": {
            "futures": [asdict(future) for future in later.futures],
            "regret": asdict(later.regret),
            "matters": [asdict(found) for found in later.matters],
        },
    }


def _scheme(result: SchemeResult, certainty: Certainty | None, job: Job | None, scenario: Scenario) -> dict:
    works, earth = result.works, result.earth
    return {
        "id": result.id,
        "title": result.title,
        "buildable": result.buildable,
        "reasons": [
            {"rule": check.name, "figure": check.provided, "limit": check.required, "unit": check.unit, "sentence": check.sentence, "ask": check.ask}
            for check in result.reasons
        ],
        "variant": works.variant,
        "floor_level_m": works.floor_level_m,
        "level_set_by": works.level_set_by,
        "levels": None if result.levels is None else _levels(result.levels, works.level_set_by),
        "sole_plate_m": works.sole_plate_m,
        "fill_depth_m": works.fill_depth_m,
        "low_side_height_m": works.low_side_height_m,
        "founding_level_m": works.founding_level_m,
        "sizes": works.sizes,
        "steps": [asdict(step) for step in works.steps],
        "quantities": result.quantities,
        "layers": [asdict(zone) for zone in layers(works, scenario.region)],
        "earth": asdict(earth),
        "bill": [_line(line, result.buildable) for line in result.priced.lines],
        "contingency": _spread(result.priced.contingency) if result.buildable else None,
        "cash": _spread(result.cash),
        "own_hours": result.priced.own_hours,
        "helper_hours": result.priced.helper_hours,
        "hired_cash": _spread(result.hired_cash),
        "credits": [
            {"item": credit.item, "sentence": credit.sentence, "rate": credit.rate_key, "amount": _spread(credit.amount) if result.buildable else None}
            for credit in result.credits
        ],
        "like_for_like": _spread(result.like_for_like),
        "with_own_hours": result.with_hours,
        "checks": [_check(check) for check in works.checks],
        "assumptions": works.assumptions,
        "u_value_w_per_m2k": result.u_value_w_per_m2k,
        "floor_heat_kwh_per_year": None if result.floor_heat is None else result.floor_heat.kwh,
        "floor_heat": None if result.floor_heat is None else _floor_heat(result.floor_heat),
        "carbon_kgco2e": result.carbon.total_kgco2e,
        "carbon": _carbon(result.carbon),
        "permissions": [asdict(permission) for permission in result.permissions],
        "odds": _odds(result, certainty),
        "later": {future.key: future.costs[result.id] for future in certainty.later.futures} if certainty and result.buildable else None,
        **_job(job, scenario.units),
    }


def _job(job: Job | None, units: str) -> dict:
    """The rest of the job; null where it was not worked out, or the scheme is outside the limits."""
    if job is None:
        return dict.fromkeys(("programme", "pour", "deliveries", "cautions"))
    return {
        "programme": programme_json(job),
        "pour": [pour_json(pour, _check) for pour in job.pours],
        "deliveries": [delivery_json(delivery, units) for delivery in job.deliveries],
        "cautions": [caution_json(caution, units) for caution in job.cautions],
    }


def _levels(levels: LevelSearch, set_by: str) -> dict:
    """The search for the floor level; what breaks a rule has no price."""
    best, clash = levels.best, levels.clash
    return {
        "best_m": best.level_m,
        "set_by": set_by,
        "lowest_m": levels.lowest_m,
        "lowest_set_by": levels.lowest_set_by,
        "cost": best.cost if best.allowed else None,
        "points": [
            {
                "level_m": point.level_m,
                "cost": point.cost if point.allowed else None,
                "by_stage": point.by_stage if point.allowed else None,
                "allowed": point.allowed,
                "broken": list(point.broken),
            }
            for point in levels.points
        ],
        "nudge_up": levels.nudge_up,
        "nudge_down": levels.nudge_down,
        "as_good_from_m": levels.as_good_m[0] if best.allowed else None,
        "as_good_to_m": levels.as_good_m[1] if best.allowed else None,
        "clash": None if clash is None else asdict(clash),
    }


def _line(line: BillLine, priced: bool) -> dict:
    return {
        "item": line.item,
        "net": line.net,
        "net_unit": line.net_unit,
        "allowance_percent": line.allowance_percent,
        "order": line.order,
        "order_unit": line.order_unit,
        "rate": line.rate,
        "rate_unit": line.rate_unit,
        "rate_from": line.rate_from,
        "cash_low": line.cash_range.low if priced else None,
        "cash": line.cash if priced else None,
        "cash_high": line.cash_range.high if priced else None,
        "own_hours": line.own_hours,
        "helper_hours": line.helper_hours,
    }


def _check(check: Check) -> dict:
    return {
        "name": check.name,
        "provided": check.provided,
        "required": check.required,
        "unit": check.unit,
        # Anything over a limit of nothing is no number of times too much.
        "ratio": check.ratio if check.ratio is not None and math.isfinite(check.ratio) else None,
        "verdict": check.verdict,
        "sentence": check.sentence,
        "source": check.source,
        "mark": check.mark,
        "ask": check.ask,
        "method": check.method,
        "working": check.working,
        "stops": check.stops,
    }


def _floor_heat(year: YearlyHeat) -> dict:
    return {"area_m2": year.area_m2, "cost": year.cost, "working": year.working, "assumptions": year.assumptions}


def _carbon(carbon: CarbonResult) -> dict:
    return {
        "factor_set": carbon.factor_set,
        "dated": carbon.dated,
        "lines": [
            {
                "key": line.key, "item": line.item, "group": line.group, "amount": line.amount, "unit": line.unit,
                "factor": line.factor.value, "factor_unit": line.factor.unit, "factor_from": line.factor_from, "kgco2e": line.kgco2e,
            }
            for line in carbon.lines
        ],
        "by_group": carbon.by_group_kgco2e,
        "assumptions": carbon.assumptions,
        "left_out": carbon.left_out,
    }


def _decision(comparison: Comparison) -> dict:
    decision = comparison.decision
    return {
        "order": decision.order,
        "margin": decision.margin,
        "margin_share": decision.margin_share,
        "least_own_hours": decision.least_own_hours,
        "least_concrete": decision.least_concrete,
        "lowest_low_side": decision.lowest_low_side,
        "hour_worth": decision.hour_worth,
        "quotes_to_settle": [{"rate": question.rate_key, "label": question.label, "swing": question.swing} for question in questions_to_settle(comparison)],
        "ask": whom_to_ask(comparison),
    }
