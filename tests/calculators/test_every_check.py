"""Every check of every scheme can come out outside: a plot is here on which it does, or a reason why there is none."""

import random
import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from test_schemes import a_random_plot  # noqa: E402

from calculators.compare import compare  # noqa: E402
from calculators.scenario import Drainage, EdgeDetails, Given  # noqa: E402

# What is never outside, and why.
NEVER = {
    "Cover over the drain under the slab": "less cover is close: the pipe is cast in concrete and tied",
    "Depth against frost": "says that a region has no single depth",
    "Edge board on the damp side of the membrane": "a note on the board that was chosen",
    "Floor in one piece, without a joint": "advice: close where a joint is wanted",
    "Footing over a soft spot": "says what is done when one is found",
    "Insulation carried down outside the edge": "an instruction",
    "Insulation under a wheel": "says that it is not worked out",
    "Lap of the edge strip on the membrane": "the least edge that may be asked for leaves room for it",
    "Lap of the membrane under the damp-proof course": "the thinnest block that may be asked for is as wide",
    "Outer face of the wall in the ground": "an instruction",
    "Outfall of the drains": "is there only where there is one",
    "Render over the damp-proof course": "an instruction",
    "Slab thickness": "a thinner slab cannot be asked for",
    "Slab under a load on one spot": "says that no stiffness is held for the ground",
    "Wall holding back the fill under the floor": "says that the sum does not reach so far",
}

POORLY_DRAINED = Drainage(
    paving_m2=600.0, gradient=1 / 300, soakaway_m3=0.2, soakaway_distance_m=1.0, soaks_m_per_s=1e-8, pit_m=(1.0, 1.0, 1.0), under_slab_cover_m=0.05, tie_spacing_m=5.0)
CARELESS = EdgeDetails(
    membrane_lap_m=0.05, dpc_lap_m=0.01, patch_lap_m=0.05, cladding_past_face_m=0.0, cladding_below_dpc_m=0.5, outside_insulation_m=0.05, paving_below_dpc_m=0.05, paving_fall=0.0)
HEAVY = dict(walls="block", roof_covering="green", door_width_m=2.4, internal_walls_m=(((8.0, 0.0), (8.0, 12.0)),))
PLOTS = (
    dict(size_m=(16.0, 12.0), building=HEAVY, given=Given(ground_snow_kpa=10.0, undrained_strength_kpa=20.0, foot_kn=30.0, foot_m=0.1), plot=dict(soil="soft clay", shrinkage="high", trees="near")),
    dict(size_m=(16.0, 12.0), building=HEAVY, given=Given(ground_snow_kpa=10.0, friction_deg=18.0), raft=dict(edge_bars=False), strip=dict(founding_depth_m=2.5)),
    dict(given=Given(foot_kn=40.0, foot_m=0.1)),
    dict(building=dict(use="garage"), strip=dict(slab_thickness_m=0.1), insulated=dict(slab_thickness_m=0.1)),
    dict(building=dict(roof_covering="light", door_width_m=2.4), given=Given(wind_pressure_kpa=1.5)),
    dict(drainage=POORLY_DRAINED, plot=dict(outfall=False)),
    dict(drainage=Drainage(soakaway_m3=0.1), plot=dict(outfall=False)),
    dict(edge=CARELESS),
    dict(plot=dict(soil="peat", water="high")),
    dict(insulated=dict(insulation_strength_kpa=30.0, slab_thickness_m=0.3)),
    dict(size_m=(3.0, 2.2), gradient=0.15, plot=dict(boundary_m={"south": 0.3, "north": 0.2})),
)


def kind(name):
    """A check's name without the side or the load that it is about."""
    name = re.sub(r"\b(north|south|east|west)\b", "one", name)
    return re.sub(r"Slab under (one|the load|two|an).*, (middle|edge|corner)$", r"Slab under a foot, \2", name)


def test_every_check_can_be_outside(make_scenario):
    chance = random.Random(5)
    seen, outside = set(), set()
    for plot in [*PLOTS, *(a_random_plot(chance) for _ in range(120))]:
        for result in compare(make_scenario(**plot)).schemes:
            for check in result.works.checks:
                seen.add(kind(check.name))
                if check.verdict == "outside":
                    outside.add(kind(check.name))
                    assert check.ask, f"{check.name} is outside and says nobody to ask"
    assert len(seen) > 70
    assert seen - outside == set(NEVER)
