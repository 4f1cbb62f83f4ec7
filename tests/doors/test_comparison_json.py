"""A comparison as JSON and as CSV: described whole by its schema, and true to its own sums."""

import csv
import io
import json
import math
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from calculators.compare import compare
from calculators.quantities import QUANTITIES
from generator import __version__, bill_csv
from generator.comparison_json import comparison_document, comparison_json
from generator.comparison_schema import comparison_schema
from generator.scenario import read_scenario_file, read_scenario_text
from generator.wording import SIZE_LABELS

PROJECT = Path(__file__).resolve().parents[2]
WORKED = sorted(path for path in (PROJECT / "docs" / "scenarios").glob("*.md") if path.name != "index.md")

PLOT = """---
plot:
  footprint: 6.6 m x 4.2 m
  slope: {slope}
  falls_to: south
  soil: {soil}
  shrinkage: low
  boundary: {boundary}
schemes:
  thickened-raft: {{low_side: batter}}
---
"""


def read(slope="1:14", soil="medium sand", boundary="none"):
    return read_scenario_text(PLOT.format(slope=slope, soil=soil, boundary=boundary), "plot.md", "plot")


def both(reading):
    comparison = compare(reading.scenario, jobs=True)
    return json.loads(comparison_json(reading, comparison)), comparison


def documents():
    for path in WORKED:
        yield pytest.param(*both(read_scenario_file(path)), id=path.stem)
    for name, reading in {
        "level": read(slope="0"), "peat": read(soil="peat"), "steep": read(slope="1:3"), "boundary": read(boundary="{south: 0 m}"),
    }.items():
        yield pytest.param(*both(reading), id=name)


DOCUMENTS = list(documents())


@pytest.fixture(scope="module")
def validator():
    # Independent: the jsonschema package.
    jsonschema = pytest.importorskip("jsonschema")
    schema = comparison_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_schema_describes_it(document, comparison, validator):
    assert [f"{error.json_path}: {error.message}" for error in validator.iter_errors(document)] == []


def test_schema_notices_a_strange_a_missing_and_a_wrong_key(validator):
    document, _ = both(read())
    for spoil in (
        lambda d: d.update(extra=1),
        lambda d: d["schemes"][0]["quantities"].update(gold_m3=1.0),
        lambda d: d["schemes"][0]["bill"][0].pop("order"),
        lambda d: d["ground"].update(fall_m="0.3"),
        lambda d: d["schemes"][0].update(odds={"draws": 1}),
        lambda d: d["scenario"]["plot"].update(soil="mud"),
        lambda d: d["scenario"]["given"].update(rain=1.0),
        lambda d: d["schemes"][0]["checks"][0].update(method="guess"),
        lambda d: d["schemes"][0]["checks"][0].pop("stops"),
        lambda d: d["schemes"][0]["carbon"]["lines"][0].update(group="air"),
        lambda d: d["schemes"][0].update(carbon_kgco2e=None),
        lambda d: d["schemes"][0]["permissions"][0].update(verdict="granted"),
        lambda d: d.update(format_minor=0),
        lambda d: d["schemes"][0]["pour"][0]["order"].update(chance_short=1.5),
        lambda d: d["schemes"][0]["pour"][0]["weather"].pop("from"),
        lambda d: d["schemes"][0]["programme"]["tasks"][0].update(kind="rest"),
        lambda d: d["schemes"][0]["deliveries"][0]["lines"][0].pop("ask_for"),
        lambda d: d["schemes"][0]["cautions"][0].update(where="roof"),
        lambda d: d.update(floor={}),
    ):
        spoilt = json.loads(json.dumps(document))
        spoil(spoilt)
        assert list(validator.iter_errors(spoilt))


def _objects(schema, at=""):
    if isinstance(schema, dict):
        if "properties" in schema:
            yield at, schema
        for key, value in schema.items():
            yield from _objects(value, f"{at}/{key}")
    elif isinstance(schema, list):
        for value in schema:
            yield from _objects(value, at)


def test_every_key_is_described_and_no_other_allowed():
    for at, schema in _objects(comparison_schema()):
        assert schema["additionalProperties"] is False, at
        for key, described in schema["properties"].items():
            assert described.get("description"), f"{at}/{key} is not described"


def test_schema_is_made_from_the_list_of_quantities():
    quantities = next(schema for at, schema in _objects(comparison_schema()) if at.endswith("properties/quantities"))
    assert list(quantities["properties"]) == quantities["required"] == [quantity.key for quantity in QUANTITIES]


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_sums(document, comparison):
    for scheme in document["schemes"]:
        # What is dug is placed, spread or carted.
        earth = scheme["earth"]
        assert math.isclose(earth["dug_bank_m3"], earth["backfilled_bank_m3"] + earth["spread_bank_m3"] + earth["carted_bank_m3"], abs_tol=1e-9)
        assert math.isclose(sum(line["own_hours"] for line in scheme["bill"]), scheme["own_hours"], rel_tol=1e-12)
        amounts = scheme["quantities"]
        assert math.isclose(amounts["concrete_m3"], amounts["slab_concrete_m3"] + amounts["footing_concrete_m3"], rel_tol=1e-12)
        for line in scheme["bill"]:
            assert line["net"] > 0
        if not scheme["buildable"]:
            continue
        for end, column in (("low", "cash_low"), ("likely", "cash"), ("high", "cash_high")):
            spent = sum(line[column] for line in scheme["bill"]) + scheme["contingency"][end]
            assert math.isclose(spent, scheme["cash"][end], rel_tol=1e-12)
            one_line = spent + sum(credit["amount"][end] for credit in scheme["credits"])
            assert math.isclose(one_line, scheme["like_for_like"][end], rel_tol=1e-12, abs_tol=1e-9)
        hours = scheme["own_hours"] * document["decision"]["hour_worth"]
        assert math.isclose(scheme["with_own_hours"], scheme["like_for_like"]["likely"] + hours, rel_tol=1e-12)


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_outside_means_reasons_and_no_price(document, comparison):
    for scheme in document["schemes"]:
        assert scheme["buildable"] == (not scheme["reasons"]) == (scheme["id"] in document["decision"]["order"])
        assert all((scheme[key] is None) != scheme["buildable"] for key in ("programme", "pour", "deliveries", "cautions"))
        assert scheme["quantities"]["concrete_m3"] > 0
        priced = [scheme["cash"], scheme["hired_cash"], scheme["like_for_like"], scheme["with_own_hours"], scheme["contingency"]]
        priced += [line[column] for line in scheme["bill"] for column in ("cash_low", "cash", "cash_high")]
        priced += [credit["amount"] for credit in scheme["credits"]]
        if not scheme["buildable"]:
            assert priced == [None] * len(priced)
            assert all(reason["sentence"] for reason in scheme["reasons"])
        else:
            assert None not in priced


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_checks_say_what_they_belong_to_and_whether_they_stop(document, comparison):
    for scheme, result in zip(document["schemes"], comparison.schemes):
        assert len(scheme["checks"]) == len(result.works.checks)
        assert {check["method"] for check in scheme["checks"]} <= {page.stem for page in (PROJECT / "docs" / "methods").glob("*.md")}
        stopping = [check["name"] for check in scheme["checks"] if check["verdict"] == "outside" and check["stops"]]
        assert stopping == [reason["rule"] for reason in scheme["reasons"]]
        # A sum of strength is never without its working, unless there was nothing to work out.
        assert all(check["working"] for check in scheme["checks"] if check["method"] == "strength" and check["provided"] is not None)


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_carbon_is_the_sum_of_its_lines_and_kept_for_scale(document, comparison):
    for scheme in document["schemes"]:
        lines = scheme["carbon"]["lines"]
        assert scheme["carbon_kgco2e"] > 0.0
        assert math.isclose(scheme["carbon_kgco2e"], sum(line["kgco2e"] for line in lines), rel_tol=1e-12)
        for group, amount in scheme["carbon"]["by_group"].items():
            assert math.isclose(amount, sum(line["kgco2e"] for line in lines if line["group"] == group), rel_tol=1e-12, abs_tol=1e-12)
        for line in lines:
            assert math.isclose(line["kgco2e"], line["amount"] * line["factor"], rel_tol=1e-9)


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_heat_in_a_year_is_there_where_the_building_is_heated(document, comparison):
    heated = document["scenario"]["building"]["heated"]
    for scheme in document["schemes"]:
        assert (scheme["floor_heat_kwh_per_year"] is not None) is (scheme["floor_heat"] is not None) is heated
        if heated:
            assert scheme["floor_heat"]["cost"] > 0.0 and scheme["floor_heat"]["working"] and scheme["floor_heat"]["assumptions"]


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_permissions_are_told_for_every_scheme(document, comparison):
    assert document["taken_for_granted"]
    for scheme in document["schemes"]:
        assert [permission["what"] for permission in scheme["permissions"]] == [permission["what"] for permission in document["schemes"][0]["permissions"]]
        assert any(permission["what"].startswith("Drains and sewers") for permission in scheme["permissions"])


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_order_is_by_like_for_like(document, comparison):
    by_id = {scheme["id"]: scheme for scheme in document["schemes"]}
    figures = [by_id[scheme]["like_for_like"]["likely"] for scheme in document["decision"]["order"]]
    assert figures == sorted(figures)
    if len(figures) > 1:
        assert document["decision"]["margin"] == figures[1] - figures[0]


def test_numbers_are_those_of_the_comparison_to_the_last_digit():
    document, comparison = both(read())
    for scheme, result in zip(document["schemes"], comparison.schemes):
        assert scheme["quantities"] == result.quantities
        assert scheme["cash"]["likely"] == result.cash.likely


def test_the_same_input_gives_the_same_text():
    texts = set()
    for _ in range(2):
        reading = read()
        texts.add(comparison_json(reading, compare(reading.scenario)))
    assert len(texts) == 1


def test_no_minus_before_a_nought():
    reading = read(slope="0")
    assert not re.search(r"-0\.0\b(?!\d)", comparison_json(reading, compare(reading.scenario)))


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_number_is_refused(value):
    reading = read()
    comparison = compare(reading.scenario)
    first = comparison.schemes[0]
    for wrong in ({"u_value_w_per_m2k": value}, {"carbon": replace(first.carbon, total_kgco2e=value)},
                  {"permissions": (replace(first.permissions[0], figure=value),)}):
        spoilt = replace(comparison, schemes=(replace(first, **wrong), *comparison.schemes[1:]))
        with pytest.raises(ValueError):
            comparison_json(reading, spoilt)


def test_corners_and_level_ground():
    falling, _ = both(read(slope="1:14"))
    assert falling["ground"]["fall_m"] == pytest.approx(4.2 / 14)
    assert falling["ground"]["highest_corner"].startswith("north") and falling["ground"]["lowest_corner"].startswith("south")
    level, _ = both(read(slope="0"))
    assert level["ground"]["highest_corner"] is level["ground"]["lowest_corner"] is None


def test_own_quotes_and_defaults_are_told():
    reading = read_scenario_text(PLOT.format(slope="0", soil="gravel", boundary="none").replace("plot:", "quotes: {land_drain: 9 GBP/m}\nplot:", 1), "p.md", "p")
    document, _ = both(reading)
    assert document["scenario"]["quotes"] == [{"rate": "land_drain", "low": 9.0, "likely": 9.0, "high": 9.0, "unit": "GBP/m"}]
    told = {used["key"]: used["value"] for used in document["scenario"]["defaults"]}
    assert told["building.wall_height"] == "2.3 m" and "plot.soil" not in told


def test_every_size_has_a_label():
    for _, comparison in (case.values for case in DOCUMENTS):
        for result in comparison.schemes:
            assert set(result.works.sizes) <= set(SIZE_LABELS)


def test_version_is_that_of_the_project():
    assert tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"] == __version__


# The bill as CSV.


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_csv_holds_the_same_bill(document, comparison):
    text = bill_csv.bill_csv(comparison)
    # RFC 4180: every line ends in CR LF.
    assert text.count("\n") == text.count("\r\n") and text.endswith("\r\n")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert tuple(rows[0]) == bill_csv.COLUMNS
    for scheme in document["schemes"]:
        name = scheme["id"] if scheme["buildable"] else f"{scheme['id']} ({bill_csv.FOR_SCALE_ONLY})"
        mine = [row for row in rows if row["scheme"] == name]
        lines = [row for row in mine if row["item"] != "Contingency"]
        assert [row["item"] for row in lines] == [line["item"] for line in scheme["bill"]]
        assert [float(row["order"]) for row in lines] == [line["order"] for line in scheme["bill"]]
        if scheme["buildable"]:
            assert math.isclose(sum(float(row["cash"]) for row in mine), scheme["cash"]["likely"], rel_tol=1e-12)
        else:
            assert all(row["cash"] == row["cash_low"] == row["cash_high"] == "" for row in mine)


@pytest.mark.parametrize("text", ["=1+1", "+44", "-1+2", "@SUM(A1)", "\t=1", "\r=1"])
def test_no_text_can_be_taken_for_a_formula(text):
    assert bill_csv.cell(text) == "'" + text


@pytest.mark.parametrize("value, words", [(-3.5, "-3.5"), (0.0, "0"), (-0.0, "0"), (12.0, "12"), (0.1, "0.1"), (None, ""), ("m^3", "m^3")])
def test_numbers_stay_numbers(value, words):
    assert bill_csv.cell(value) == words


def test_document_is_plain_data():
    reading = read()
    document = comparison_document(reading, compare(reading.scenario))
    assert json.loads(json.dumps(document)) == document


# The floor level.


@pytest.mark.parametrize("document, comparison", DOCUMENTS)
def test_levels_are_those_that_were_tried(document, comparison):
    for scheme, result in zip(document["schemes"], comparison.schemes):
        levels = scheme["levels"]
        assert levels["best_m"] == scheme["floor_level_m"] and levels["set_by"] == scheme["level_set_by"]
        tried = [point["level_m"] for point in levels["points"]]
        assert tried == sorted(tried) and tried[0] == levels["lowest_m"] and levels["best_m"] in tried
        for point in levels["points"]:
            assert point["allowed"] is (not point["broken"])
            if point["allowed"]:
                # A stage is part of the whole, and nothing allowed is cheaper than the best.
                assert math.isclose(sum(point["by_stage"].values()), point["cost"], rel_tol=1e-12)
                assert point["cost"] >= levels["cost"] - 1e-6
            else:
                assert point["cost"] is None and point["by_stage"] is None
        assert (levels["clash"] is None) is (levels["cost"] is not None) is scheme["buildable"]


def test_a_band_as_good_holds_nothing_dearer_or_forbidden():
    for case in DOCUMENTS:
        document, _ = case.values
        for scheme in document["schemes"]:
            levels = scheme["levels"]
            if levels["cost"] is None:
                continue
            assert levels["as_good_from_m"] <= levels["best_m"] <= levels["as_good_to_m"]
            inside = [point for point in levels["points"] if levels["as_good_from_m"] <= point["level_m"] <= levels["as_good_to_m"]]
            assert all(point["allowed"] and point["cost"] <= 1.02 * levels["cost"] + 1e-9 for point in inside)


def test_a_fixed_level_has_no_search():
    reading = read_scenario_text(PLOT.format(slope="0", soil="gravel", boundary="none").replace("{low_side: batter}", "{low_side: batter, floor_level: 0.3 m}"), "p.md", "p")
    document, _ = both(reading)
    assert document["schemes"][0]["levels"] is None and document["schemes"][0]["level_set_by"] == "fixed by you"
