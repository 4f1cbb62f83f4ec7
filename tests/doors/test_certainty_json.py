"""The certainty of a comparison as JSON: described by its schema, whole, finite, and true to the comparison.

Independent: the jsonschema package.
"""

import json
import math
from functools import cache

import pytest

from calculators.compare import compare
from generator.comparing import vector
from generator.comparison_json import comparison_json
from generator.comparison_schema import comparison_schema
from generator.inputs import SCHEME_IDS
from generator.scenario import read_scenario_text

PLOT = """---
plot:
  footprint: 6.6 m x 4.2 m
  slope: "{slope}"
  falls_to: south
  soil: {soil}
  shrinkage: low
building: {{heated: {heated}}}
weights: {weights}
futures: {futures}
{more}
---
"""
WEIGHTS = "{money: 5, u_value: 2, walls_fixed: 0}"
FUTURES = '[{name: "<b>A lean-to</b>", likelihood: 30 %, costs: {strip-and-block: 4000 GBP}}, {name: Sold, costs: none}]'
CASES = {
    "plain": {},
    "weights and wishes": dict(slope="1:10", heated="yes", weights=WEIGHTS, futures=FUTURES),
    "weights of nothing": dict(weights="{money: 0, carbon: 0}"),
    "one within limits": dict(slope="1:6", weights=WEIGHTS, futures=FUTURES),
    "one compared": dict(more="schemes: [strip-and-block]", weights=WEIGHTS, futures=FUTURES),
    "none within limits": dict(soil="peat", weights=WEIGHTS, futures=FUTURES),
    "surveyed, in dollars": dict(more="rates: demo-us", slope="0"),
}
BUILT = {"one within limits": 1, "one compared": 1, "none within limits": 0}


@cache
def worked(case, draws=250):
    given = dict(slope="1:14", soil="medium sand", heated="no", weights="none", futures="none", more="") | CASES[case]
    reading = read_scenario_text(PLOT.format(**given), "plot.md", "plot")
    comparison = compare(reading.scenario, draws, vector())
    return comparison, comparison_json(reading, comparison)


def document(case, draws=250):
    def strange(word):
        raise AssertionError(f"{word} is no JSON")

    return json.loads(worked(case, draws)[1], parse_constant=strange)


@pytest.fixture(scope="module")
def validator():
    jsonschema = pytest.importorskip("jsonschema")
    schema = comparison_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def errors(validator, found):
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(found)]


def numbers(found):
    if isinstance(found, dict):
        found = list(found.values())
    if isinstance(found, list):
        for each in found:
            yield from numbers(each)
    elif isinstance(found, float):
        yield found


EVERY_CASE = pytest.mark.parametrize("case", CASES)


@EVERY_CASE
@pytest.mark.parametrize("draws", [0, 250])
def test_schema_describes_it(case, draws, validator):
    assert errors(validator, document(case, draws)) == []


@EVERY_CASE
def test_every_number_is_finite(case):
    found = list(numbers(document(case)))
    assert len(found) > 100 and all(map(math.isfinite, found))
    # An hour may be worth any amount: no end is written, and not a word for one.
    assert not [word for word in ("NaN", "Infinity", "nan", "inf") if f": {word}" in worked(case)[1] or f"[{word}" in worked(case)[1]]


@EVERY_CASE
def test_it_is_there_for_so_many_schemes(case):
    certainty = document(case)["certainty"]
    built = [scheme for scheme in document(case)["schemes"] if scheme["buildable"]]
    several = len(built) > 1
    assert len(built) == BUILT.get(case, 3)
    assert certainty["draws"] == 250
    assert (certainty["first"] is None) == (not built) and (certainty["second"] is None) == (not several)
    for key in ("second_dearer", "first_stays_cheaper", "gap_before_rounding"):
        assert (certainty[key] is not None) == several, key
    assert bool(certainty["drivers"]) == bool(certainty["switches"]) == several
    for scheme in document(case)["schemes"]:
        assert (scheme["odds"] is not None) == (scheme["later"] is not None) == scheme["buildable"]
    if several:
        assert sum(scheme["odds"]["cheapest"] for scheme in built) == pytest.approx(1.0)
        assert all(scheme["odds"]["cash"]["p10"] <= scheme["odds"]["cash"]["p50"] <= scheme["odds"]["cash"]["p90"] for scheme in built)


def test_without_draws_there_is_none():
    found = document("plain", 0)
    assert found["certainty"] is None and all(scheme["odds"] is None and scheme["later"] is None for scheme in found["schemes"])


def test_weights_are_shown_as_given_with_their_sums():
    found = document("weights and wishes")["certainty"]
    weighed, yardsticks = found["weighed"], {each["key"]: each["values"] for each in found["yardsticks"]}
    given = {"money": 5.0, "u_value": 2.0, "walls_fixed": 0.0}
    assert weighed["weights"] == given and [turn["key"] for turn in weighed["turns"]] == list(given)
    for scheme, total in weighed["sums"].items():
        # By hand: the excess over the least, as a share of the greatest.
        hand = sum(weight * (yardsticks[key][scheme] - min(yardsticks[key].values())) / (max(yardsticks[key].values()) - min(yardsticks[key].values())) for key, weight in given.items())
        assert total == pytest.approx(hand)
    assert [weighed["sums"][scheme] for scheme in weighed["order"]] == sorted(weighed["sums"].values())
    assert document("plain")["certainty"]["weighed"] is None and document("none within limits")["certainty"]["weighed"] is None


def test_wishes_of_the_readers_own_are_marked_as_such():
    found = document("weights and wishes")
    own = [future for future in found["certainty"]["later"]["futures"] if future["own"]]
    assert [(future["name"], future["likelihood"]) for future in own] == [("<b>A lean-to</b>", 0.3), ("Sold", None)]
    assert own[0]["costs"] == {scheme: 4000.0 if scheme == "strip-and-block" else 0.0 for scheme in own[0]["costs"]} and set(own[0]["costs"]) == set(SCHEME_IDS)
    for scheme in found["schemes"]:
        assert scheme["later"][own[0]["key"]] == own[0]["costs"][scheme["id"]]
    assert {matters["future"] for matters in found["certainty"]["later"]["matters"]} == {future["key"] for future in found["certainty"]["later"]["futures"]}


@EVERY_CASE
def test_regrets_are_what_is_lost_against_the_best(case):
    found = document(case)
    later = found["certainty"]["later"]
    today = {scheme["id"]: scheme["like_for_like"]["likely"] for scheme in found["schemes"] if scheme["buildable"]}
    if not today:
        assert later == {"futures": [], "regret": {"by_future": {}, "greatest": {}, "smallest": None}, "matters": []}
        return
    costs = {"nothing changes": dict.fromkeys(today, 0.0)} | {future["key"]: future["costs"] for future in later["futures"]}
    table = {key: {scheme: today[scheme] + cost[scheme] - min(today[other] + cost[other] for other in today) for scheme in today} for key, cost in costs.items()}
    assert later["regret"]["by_future"].keys() == table.keys()
    for key, row in table.items():
        assert later["regret"]["by_future"][key] == pytest.approx(row, abs=1e-6)
    greatest = {scheme: max(row[scheme] for row in table.values()) for scheme in today}
    assert later["regret"]["greatest"] == pytest.approx(greatest, abs=1e-6) and greatest[later["regret"]["smallest"]] == pytest.approx(min(greatest.values()), abs=1e-6)


def test_schema_notices_what_is_spoilt(validator):
    for spoil in (
        lambda c: c.pop("draws"),
        lambda c: c.update(sure=True),
        lambda c: c.update(rounding_decides="no"),
        lambda c: c["second_dearer"].update(p10="much"),
        lambda c: c["switches"][0].pop("above"),
        lambda c: c["drivers"][0].update(swing=1.0),
        lambda c: c["uncertain"][0].update(kind="guess"),
        lambda c: c["yardsticks"][0].update(least=["gold"]),
        lambda c: c["weighed"]["turns"][0].update(to="gold"),
        lambda c: c["later"]["futures"][0].pop("own"),
        lambda c: c["later"]["regret"].update(smallest="gold"),
        lambda c: c["later"]["matters"][0].update(chance="often"),
    ):
        spoilt = document("weights and wishes")
        spoil(spoilt["certainty"])
        assert errors(validator, spoilt)
