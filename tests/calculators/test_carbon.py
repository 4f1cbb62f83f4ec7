"""What a scheme emits: by hand, by laws, and by the factors of docs/evidence."""

import math

import pytest

from calculators import carbon


@pytest.fixture(scope="module")
def results(compared):
    comparison = compared(gradient=1 / 14)
    return comparison, {result.id: carbon.carbon_of(result.quantities, result.works, comparison.scenario) for result in comparison.schemes}


def test_total_is_the_sum_of_lines_and_of_groups(results):
    for found in results[1].values():
        assert found.total_kgco2e == pytest.approx(math.fsum(line.kgco2e for line in found.lines))
        assert found.total_kgco2e == pytest.approx(math.fsum(found.by_group_kgco2e.values()))
        assert all(line.kgco2e > 0.0 and line.amount > 0.0 for line in found.lines)
        assert found.dated == "2025" and found.assumptions and found.left_out


def test_concrete_by_hand(results):
    """m3 x 2.4 t/m3 with the bill's 5 % in forms and 10 % against earth, at 118.79 kgCO2e/t."""
    comparison, found = results
    for scheme_id, result in found.items():
        amounts = comparison.scheme(scheme_id).quantities
        by_hand = 2.4 * 118.79 * (1.05 * amounts["slab_concrete_m3"] + 1.10 * amounts["footing_concrete_m3"])
        lines = [line.kgco2e for line in result.lines if line.key in ("slab concrete", "footing concrete")]
        assert math.fsum(lines) == pytest.approx(by_hand)


def test_every_tonne_brought_is_carried(results):
    """Tonne-kilometres over kilometres give back the tonnes of the materials, and those of the spoil."""
    for result in results[1].values():
        carried = {line.key: line.amount for line in result.lines if line.key.startswith("lorry ")}
        tonnes = math.fsum(carried[f"lorry {key}"] / km.value for key, km in carbon.DISTANCES_KM.items() if f"lorry {key}" in carried)
        assert tonnes == pytest.approx(math.fsum(line.amount for line in result.lines if line.unit == "t"))


def test_spoil_is_weighed_in_the_ground_not_in_the_heap(results):
    comparison, found = results
    for scheme_id, result in found.items():
        carted = comparison.scheme(scheme_id).earth.carted_bank_m3
        spoil = [line for line in result.lines if line.key == "spoil"]
        assert math.fsum(line.amount for line in spoil) == pytest.approx(1.8 * carted)


def test_blocks_and_mortar_weigh_what_their_wall_does(results):
    comparison, found = results
    result = comparison.scheme("strip-and-block")
    amounts, thickness = result.quantities, result.works.sizes["block_thickness_m"]
    lines = {line.key: line.amount for line in found["strip-and-block"].lines}
    wall_m3 = amounts["blockwork_m2"] * thickness
    assert lines["blocks"] / 1.05 / 2.0 + lines["mortar"] / 1.15 / 1.9 == pytest.approx(wall_m3)


def test_nothing_built_emits_nothing(results):
    comparison, _ = results
    result = comparison.scheme("thickened-raft")
    nothing = dict.fromkeys(result.quantities, 0.0)
    empty = carbon.carbon_of(nothing, result.works, comparison.scenario)
    assert empty.total_kgco2e == 0.0 and empty.lines == ()


def test_twice_the_amounts_emit_twice_as_much(results):
    comparison, found = results
    result = comparison.scheme("strip-and-block")
    doubled = {key: 2.0 * amount for key, amount in result.quantities.items()}
    twice = carbon.carbon_of(doubled, result.works, comparison.scenario)
    assert twice.total_kgco2e == pytest.approx(2.0 * found["strip-and-block"].total_kgco2e)


def test_a_readers_factor_changes_its_lines_alone(results):
    comparison, found = results
    result = comparison.scheme("insulated-slab")
    own = carbon.with_own_factors({"concrete": 0.0, "insulation": 2.0 * carbon.INSULATION.value})
    changed = carbon.carbon_of(result.quantities, result.works, comparison.scenario, own)
    for before, after in zip(found["insulated-slab"].lines, changed.lines):
        if before.key in ("slab concrete", "footing concrete"):
            assert after.kgco2e == 0.0 and after.factor_from == "yours"
        elif before.key in ("insulation", "edge board"):
            assert after.kgco2e == pytest.approx(2.0 * before.kgco2e) and after.factor_from == "yours"
        else:
            assert after == before and after.factor_from != "yours"


def test_own_factors_add_up_over_several_changes():
    first = carbon.with_own_factors({"concrete": 90.0})
    second = carbon.with_own_factors({"wood": -500.0}, first)
    assert second.own == {"concrete", "wood"} and second["concrete"].value == 90.0 and second["wood"].value == -500.0
    assert carbon.DEFAULT["concrete"].value == 118.79 and not carbon.DEFAULT.own


def test_own_distances(results):
    comparison, found = results
    result = comparison.scheme("thickened-raft")
    nearer = carbon.carbon_of(result.quantities, result.works, comparison.scenario, distances_km={"stone and sand": 15.0})
    line = lambda carbon_result: next(line for line in carbon_result.lines if line.key == "lorry stone and sand")
    assert line(nearer).kgco2e == pytest.approx(line(found["thickened-raft"]).kgco2e / 2.0)
    assert "stone and sand" not in nearer.assumptions[0]


def test_all_problems_are_named_at_once():
    with pytest.raises(ValueError) as caught:
        carbon.with_own_factors({"cement": 1.0, "steel": 1e6, "wood": math.nan})
    assert all(word in str(caught.value) for word in ("cement", "steel", "wood"))


@pytest.mark.parametrize("call", [
    lambda: carbon.material_kgco2e(-1.0, 100.0),
    lambda: carbon.lorry_kgco2e(-1.0, 10.0),
    lambda: carbon.lorry_kgco2e(1.0, 5001.0),
    lambda: carbon.heating_kgco2e(-1.0),
    lambda: carbon.heating_kgco2e(1.0, efficiency=0.1),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()


@pytest.mark.parametrize("distances", [{"moon": 1.0}, {"concrete": -1.0}, {"spoil": 6000.0}])
def test_distances_out_of_range_are_refused(results, distances):
    comparison, _ = results
    result = comparison.scheme("thickened-raft")
    with pytest.raises(ValueError):
        carbon.carbon_of(result.quantities, result.works, comparison.scenario, distances_km=distances)
