"""Loads against sums by hand, and the laws that any load must keep.

The published figures are rows of docs/evidence.
"""

from dataclasses import replace

import pytest

from calculators import loads
from calculators.plan import Plan
from calculators.scenario import REGIONS, ROOF_COVERINGS, ROOF_SHAPES, USES, WALLS

OBLONG = Plan(((0, 0), (6.6, 0), (6.6, 4.2), (0, 4.2)))


@pytest.fixture
def building(make_scenario):
    return make_scenario(building=dict(wall_height_m=2.3, ridge_height_m=3.1)).building


def by_name(found):
    return {load.side: load for load in found}


def test_eaves_wall_by_hand(building):
    """Timber wall 0.60 kPa x 2.075 m; felt roof 0.45 kPa / cos(atan(0.8 / 2.1)) and 0.6 kPa of people, on 4.2 / 2 + 0.3 m;
    block 0.14 x 0.225 m at 2.0 t/m3 x 9.81."""
    south = by_name(loads.wall_loads(building, OBLONG, "england", 0.14, 0.225, 0.225))["south"]
    slope = (1.0 + (0.8 / 2.1) ** 2) ** 0.5
    permanent = 0.60 * 2.075 + 0.45 * slope * 2.4 + 0.14 * 0.225 * 2.0 * 9.81
    assert south.carries_roof
    assert south.permanent_kn_per_m == pytest.approx(permanent, rel=1e-12)
    assert south.variable_kn_per_m == pytest.approx(0.6 * 2.4, rel=1e-12)
    assert south.factored_kn_per_m == pytest.approx(1.35 * permanent + 1.5 * 1.44, rel=1e-12)


def test_wide_eaves_lie_on_the_wall_too(building):
    """The same roof on 4.2 / 2 + 0.8 m of plan: 0.5 m more of 0.6 kPa than with the usual eaves; a gable takes none of it."""
    usual, wide = (by_name(loads.wall_loads(building, OBLONG, "england", overhang_m=overhang)) for overhang in (0.3, 0.8))
    assert wide["south"].variable_kn_per_m - usual["south"].variable_kn_per_m == pytest.approx(0.6 * 0.5, rel=1e-9)
    assert wide["south"].permanent_kn_per_m > usual["south"].permanent_kn_per_m and wide["east"] == usual["east"]


def test_gable_wall_carries_itself_alone(building):
    east = by_name(loads.wall_loads(building, OBLONG, "england"))["east"]
    assert not east.carries_roof and east.variable_kn_per_m == 0.0
    assert east.permanent_kn_per_m == pytest.approx(0.60 * (2.3 + 0.8 / 2), rel=1e-12)


def test_every_roof_comes_down_on_two_walls(building):
    """What the two eaves walls take is the roof with its overhangs, no more and no less."""
    found = loads.wall_loads(building, OBLONG, "england")
    taken = sum(load.variable_kn_per_m * 6.6 for load in found if load.carries_roof)
    assert taken == pytest.approx(0.6 * 6.6 * (4.2 + 2 * 0.3), rel=1e-12)


def test_a_square_plan_does_not_say_which_way_the_roof_runs(building):
    square = Plan(((0, 0), (5, 0), (5, 5), (0, 5)))
    assert all(load.carries_roof for load in loads.wall_loads(building, square, "england"))


def test_either_side_of_a_turned_plan(building):
    """The same plan turned by 30 degrees carries the same."""
    c, s = 0.75**0.5, 0.5
    turned = Plan(tuple((c * x - s * y, s * x + c * y) for x, y in OBLONG.corners))
    straight, found = loads.wall_loads(building, OBLONG, "us"), loads.wall_loads(building, turned, "us")
    assert [load.total_kn_per_m for load in found] == pytest.approx([load.total_kn_per_m for load in straight])


@pytest.mark.parametrize("walls", WALLS)
@pytest.mark.parametrize("shape", ROOF_SHAPES)
@pytest.mark.parametrize("covering", ROOF_COVERINGS)
def test_every_choice_of_a_scenario_has_a_weight(building, walls, shape, covering):
    for region in REGIONS:
        found = loads.wall_loads(replace(building, walls=walls, roof_shape=shape, roof_covering=covering), OBLONG, region)
        assert all(load.permanent_kn_per_m > 0.0 for load in found)
        assert loads.heaviest(found).carries_roof
    weight = loads.ROOFS[covering]
    assert weight.light.value < weight.heavy.value
    assert loads.wall_weight_kpa(walls, light=True) < loads.wall_weight_kpa(walls)


@pytest.mark.parametrize("use", USES)
def test_every_use_has_a_floor_load_with_a_word_on_it(use):
    found = loads.floor_use(use)
    assert all(figure.note or figure.document for figure in (found.spread_kpa, found.foot_kn, found.foot_m))


def test_snow_takes_over_from_people_and_is_never_added():
    assert loads.roof_variable("england", 0.0, 0.7499)[1] == "people on the roof"
    assert loads.roof_variable("england", 0.0, 0.7501)[1] == "snow"
    assert loads.roof_variable("england", 0.0, 2.0)[0] == pytest.approx(1.6)


@pytest.mark.parametrize("pitch", [30.0, 60.0])
def test_snow_has_no_jump_where_its_rule_changes(pitch):
    below, above = (loads.snow_shape_factor(pitch + hair) for hair in (-1e-9, 1e-9))
    assert below == pytest.approx(above, abs=1e-9)


@pytest.mark.parametrize("call", [
    lambda: loads.roof_snow_kpa(-0.1, 10.0), lambda: loads.roof_snow_kpa(0.6, 91.0), lambda: loads.roof_pitch_deg("hipped", 4.0, 1.0),
    lambda: loads.roof_pitch_deg("flat", 0.0, 1.0), lambda: loads.blockwork_kn_per_m(0.7, 1.0), lambda: loads.concrete_kn_per_m(-1.0, 1.0),
    lambda: loads.floor_use("forge"), lambda: loads.roof_variable("mars", 0.0), lambda: loads.wall_weight_kpa("straw"),
    lambda: loads.heaviest(()), lambda: loads.factored_kn_per_m(-1.0, 0.0), lambda: loads.roof_line_load_kn_per_m(1.0, 4.0, 2.0),
    lambda: loads.wall_loads(None, OBLONG, "england", 0.14, -1.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError, match="not|no |must|there is"):
        call()
