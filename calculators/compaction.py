"""How many layers of stone go where, and how often each is rolled over."""

from __future__ import annotations

from dataclasses import dataclass

from calculators import rules as r, works as w
from calculators.numbers import steps_up
from calculators.works import Works

# The stone of each part, by the words of the zone it lies in.
ZONES = {
    w.SUB_BASE: "under the floor and its edges",
    w.BATTER: "shoulder and batter",
    w.TRENCH_STONE: "inside the trenches",
    w.SOFT_SPOT_STONE: "soft spots",
}
# A plate heavy enough for three passes; a lighter one needs more, or thinner layers.
PLATE_KG_PER_M2 = 1900.0
# Less than this over a lift is a lift laid a little thick, not another lift.
NO_LIFT_M = 0.005


@dataclass(frozen=True)
class Layers:
    """Stone in one zone: where it is thinnest and thickest, m, and how many lifts that is.

    `passes` is how often each lift is gone over with a plate of more than 1800 kg/m2.
    """

    zone: str
    thinnest_m: float
    thickest_m: float
    lifts_at_thinnest: int
    lifts_at_thickest: int
    lift_m: float
    passes: int


def layers(works: Works, region: str) -> tuple[Layers, ...]:
    """Layers of compacted stone by zone.

    works: as laid out; region: its rules.  Returns one record for each zone
    that has stone, thicknesses in m.  Source: lift by common practice, passes
    by the Specification for the Reinstatement of Openings in Roads
    (Scotland), Table A8.1.
    """
    lift = r.rules_for(region).stone_lift_m.value
    passes = r.compaction_passes(PLATE_KG_PER_M2, lift)
    found = []
    for solid in works.solids:
        if solid.part not in ZONES:
            continue
        heights = [piece.top.minus(piece.bottom).z(corner) for piece in solid.pieces for corner in piece.polygon]
        thinnest, thickest = max(0.0, min(heights)), max(heights)
        found.append(Layers(
            zone=ZONES[solid.part], thinnest_m=thinnest, thickest_m=thickest,
            lifts_at_thinnest=_lifts(thinnest, lift), lifts_at_thickest=_lifts(thickest, lift), lift_m=lift, passes=passes))
    return tuple(found)


def _lifts(thickness_m: float, lift_m: float) -> int:
    return steps_up(max(0.0, thickness_m - NO_LIFT_M), lift_m)
