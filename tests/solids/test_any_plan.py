"""The works on plans of any shape and on surveyed ground against solids built the other way round (see `solid_builder`).

In an inward corner nothing says which of two outward distances counts: here
it is the nearer edge's, so that each wing keeps its shoulder and its batter
and stone stands wherever that of one wing or the other does.
"""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent))
from plots import L_SHAPE, PLANS, block, gridded, scattered, surveyed  # noqa: E402
from solid_builder import Outline, check_raft, check_wall_on_footing, laid_out  # noqa: E402

from calculators import works as w  # noqa: E402
from calculators.compare import compare  # noqa: E402
from calculators.plan import ClosesUp  # noqa: E402

SOFT = (((2.1, -0.4), (4.6, 0.3), (5.2, 2.2), (2.4, 2.6)), 0.7)
HOLLOW = (((5.6, 0.8), (6.8, 0.7), (6.9, 2.1), (5.9, 2.4)), 0.25)
OLD_SLAB = (((-0.8, 4.1), (2.2, 4.1), (2.2, 6.9), (-0.8, 6.9)), 0.1)
LOW = dict(raft=dict(floor_level_m=-0.35), strip=dict(floor_level_m=-0.5), insulated=dict(floor_level_m=-0.4))

CASES = {name: (name, {}, {}) for name in PLANS} | {
    "L, falling north into its corner": ("L", dict(towards_deg=25.0, seed=2), {}),
    "L, hardly falling": ("L", dict(fall=0.0, seed=3), {}),
    "porch, falling out of it": ("porch", dict(fall=0.05, seed=9, towards_deg=5.0), {}),
    "L on a grid of levels": ("L", None, {}),
    "L with soft ground, a hollow and an old slab": ("L", dict(seed=4), dict(plot=dict(soft_spots_m=(SOFT,), hollows_m=(HOLLOW,), existing_slabs_m=(OLD_SLAB,)))),
    "L on clay with deep frost": ("L", dict(seed=5), dict(plot=dict(soil="firm clay", shrinkage="medium", frost_depth_m=0.9))),
    "L set low": ("L", dict(seed=6, towards_deg=230.0), LOW),
    "T set low, steep": ("T", dict(seed=7, fall=0.13, towards_deg=20.0), LOW),
    "bent, sizes of one's own": ("bent", dict(seed=8, towards_deg=45.0), dict(
        raft=dict(edge_depth_m=0.6, edge_width_m=0.5, slab_thickness_m=0.15), strip=dict(footing_width_m=0.7, footing_thickness_m=0.35, block_thickness_m=0.215),
        insulated=dict(insulation_thickness_m=0.2, footing_thickness_m=0.5))),
}


@pytest.fixture(params=CASES, scope="module")
def built(request, make_scenario):
    plan, ground, changes = CASES[request.param]
    corners, parts = PLANS[plan]
    levels = gridded(corners) if ground is None else scattered(corners, **ground)
    return make_scenario(**changes | dict(plot=surveyed(corners, levels, **changes.get("plot", {})))), Outline(corners, parts)


def test_raft(built):
    check_raft(*built)


@pytest.mark.parametrize("scheme_id", ("strip-and-block", "insulated-slab"))
def test_wall_on_footing(built, scheme_id):
    check_wall_on_footing(*built, scheme_id)


def test_batter_round_an_l_on_level_ground(make_scenario):
    """Stone 0.5 m high behind a shoulder of 0.5 m, by hand: the ring at an offset d has P d + 4 d2, an L turning one quarter back for five forward.

    Source: geometry, the integral over the height of the ring at 0.5 + 1.5 h.
    """
    scenario = make_scenario(plot=dict(corners_m=L_SHAPE), raft=dict(floor_level_m=0.65, low_side="batter"))
    ((works, _),) = laid_out(scenario, "thickened-raft")
    perimeter, high = 2 * (7.2 + 6.0), 0.5
    by_hand = perimeter * (0.5 * high + 0.75 * high**2) + 4 * ((0.5 + 1.5 * high) ** 3 - 0.5**3) / 4.5
    assert works.sizes["shoulder_m"] == pytest.approx(0.5)
    assert works.volume_m3(w.BATTER) == pytest.approx(by_hand, rel=1e-9)


PORCH = ((0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (5.5, 5.0), (5.5, 3.0), (2.5, 3.0), (2.5, 5.0), (0.0, 5.0))


def test_a_porch_narrower_than_the_stone_that_fills_it_gets_a_deepened_edge(make_scenario):
    """Stone from both sides of a porch would meet in its middle: that is not worked out, so the raft's low side is the edge."""
    scenario = make_scenario(gradient=1 / 12, falls_to_deg=0.0, plot=dict(corners_m=PORCH), raft=dict(floor_level_m=0.3))
    works = compare(scenario).scheme("thickened-raft").works
    assert works.variant == "deepened" and any("recess" in words for words in works.assumptions)
    check_raft(scenario, Outline(PORCH, [block(0, 0, 8, 3), block(0, 0, 2.5, 5), block(5.5, 0, 8, 5)]))


def test_a_batter_asked_for_in_a_narrow_porch_is_refused_in_words(make_scenario):
    with pytest.raises(ClosesUp, match="recess"):
        compare(make_scenario(gradient=1 / 12, falls_to_deg=0.0, plot=dict(corners_m=PORCH), raft=dict(floor_level_m=0.3, low_side="batter")))
