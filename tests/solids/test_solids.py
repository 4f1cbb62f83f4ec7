"""The works of all schemes on rectangles and plain ground against solids built the other way round (see `solid_builder`)."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent))
from solid_builder import Outline, check_raft, check_wall_on_footing  # noqa: E402

CASES = {
    "as it comes": dict(),
    "on clay with deep frost": dict(plot=dict(soil="firm clay", shrinkage="medium", frost_depth_m=0.9)),
    "under deep topsoil": dict(plot=dict(topsoil_m=0.55)),
    "floor set low": dict(raft=dict(floor_level_m=-0.35), strip=dict(floor_level_m=-0.5), insulated=dict(floor_level_m=-0.4)),
    "sizes of one's own": dict(
        size_m=(3.7, 8.3), raft=dict(edge_depth_m=0.6, edge_width_m=0.5, slab_thickness_m=0.15),
        strip=dict(footing_width_m=0.7, footing_thickness_m=0.35, block_thickness_m=0.215), insulated=dict(insulation_thickness_m=0.2, footing_thickness_m=0.5)),
}


@pytest.fixture(params=CASES, scope="module")
def scenario(request, ground, make_scenario):
    return make_scenario(**(ground | CASES[request.param]))


def test_raft(scenario):
    check_raft(scenario, Outline(scenario.plot.corners_m))


@pytest.mark.parametrize("scheme_id", ("strip-and-block", "insulated-slab"))
def test_wall_on_footing(scenario, scheme_id):
    check_wall_on_footing(scenario, Outline(scenario.plot.corners_m), scheme_id)
