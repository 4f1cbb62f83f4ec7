"""What is dug is placed, spread or carted; what scales scales; what grows with slope grows.

Laws of bookkeeping and geometry: no source but the definitions.
"""

import pytest

from calculators import works as w
from calculators.quantities import QUANTITIES, QUANTITY_BY_KEY, balance_earth, take_off

WALLED = ("strip-and-block", "insulated-slab")
FIXED = dict(raft=dict(floor_level_m=0.05, low_side="batter"), strip=dict(floor_level_m=-0.1), insulated=dict(floor_level_m=0.05))


@pytest.mark.parametrize("spread", (0.0, 1.5, 500.0))
@pytest.mark.parametrize("soil", ("gravel", "firm clay"))
def test_dug_is_backfilled_spread_or_carted(compared, ground, spread, soil):
    for scheme in compared(**ground, plot=dict(spoil_spread_m3=spread, soil=soil)).schemes:
        earth, works = scheme.earth, scheme.works
        assert earth.dug_bank_m3 == pytest.approx(works.volume_m3(*w.DIGS), rel=1e-12)
        assert earth.dug_bank_m3 == pytest.approx(earth.backfilled_bank_m3 + earth.spread_bank_m3 + earth.carted_bank_m3, rel=1e-12)
        topsoil = works.volume_m3(w.TOPSOIL_STRIP)
        assert earth.spread_bank_m3 >= topsoil - 1e-12, "topsoil is spread again, all of it"
        assert earth.spread_bank_m3 - topsoil <= spread + 1e-12
        assert min(earth.carted_bank_m3, earth.backfilled_bank_m3) >= 0.0
        # Backfill by hand takes 1/0.95 of bank (common practice, no source).
        wanted = works.volume_m3(w.BACKFILL) / 0.95
        subsoil = earth.dug_bank_m3 - topsoil
        assert earth.backfilled_bank_m3 == pytest.approx(min(wanted, subsoil), rel=1e-12)


def test_bulked_once(compared):
    """Loose over bank: clay 1.43, sand 1.11.  Source: US Army FM 5-434, from memory."""
    for soil, bulking in (("firm clay", 1.43), ("medium sand", 1.11)):
        for scheme in compared(gradient=0.05, plot=dict(soil=soil)).schemes:
            assert scheme.earth.carted_bank_m3 > 0.1
            assert scheme.quantities["spoil_loose_m3"] == pytest.approx(bulking * scheme.earth.carted_bank_m3)


def test_every_quantity_is_there_and_none_is_negative(compared, ground):
    for scheme in compared(**ground).schemes:
        assert set(scheme.quantities) == set(QUANTITY_BY_KEY)
        assert all(value >= 0.0 for value in scheme.quantities.values())
        assert scheme.quantities["concrete_m3"] == pytest.approx(scheme.quantities["slab_concrete_m3"] + scheme.quantities["footing_concrete_m3"])
        assert scheme.quantities["sub_base_t"] == pytest.approx(2.1 * scheme.quantities["sub_base_m3"])
    assert len({quantity.key for quantity in QUANTITIES}) == len(QUANTITIES)


def test_a_measure_nobody_knows_is_refused(compared):
    result = compared()
    works = result.schemes[0].works
    works.measures["gold_m3"] = 1.0
    with pytest.raises(KeyError, match="gold_m3"):
        take_off(works, result.scenario)
    del works.measures["gold_m3"]
    assert balance_earth(works, result.scenario) == result.schemes[0].earth


@pytest.mark.parametrize("bearing", (180.0, 200.0, 315.0))
def test_topsoil_does_not_depend_on_slope_without_a_batter(compared, bearing):
    margins = {"strip-and-block": 0.3, "insulated-slab": 0.5}  # m: common practice, no source
    for gradient in (0.0, 0.03, 1 / 14, 0.15, 0.4):
        result = compared(gradient=gradient, falls_to_deg=bearing)
        for scheme_id, margin in margins.items():
            assert result.scheme(scheme_id).quantities["topsoil_strip_m3"] == pytest.approx((6.6 + 2 * margin) * (4.2 + 2 * margin) * 0.15, rel=1e-9)


def test_topsoil_under_a_batter_is_stripped_too(compared):
    flat = compared(raft=dict(low_side="batter")).scheme("thickened-raft").quantities["topsoil_strip_m3"]
    assert flat == pytest.approx(7.6 * 5.2 * 0.15)
    sloping = compared(gradient=0.12, raft=dict(low_side="batter")).scheme("thickened-raft").quantities
    assert sloping["batter_stone_m3"] > 0.5 and sloping["topsoil_strip_m3"] > flat + 0.1


def test_twice_the_topsoil_is_twice_the_strip(compared, ground):
    once, twice = (compared(**ground, plot=dict(topsoil_m=depth), **FIXED) for depth in (0.1, 0.2))
    for scheme_id in WALLED:
        assert twice.scheme(scheme_id).quantities["topsoil_strip_m3"] == pytest.approx(2 * once.scheme(scheme_id).quantities["topsoil_strip_m3"])


def test_steeper_takes_more_stone_under_a_raft(compared):
    """Same floor: the ground drops away from it everywhere but along the uphill side."""
    stone = []
    for gradient in (0.0, 0.02, 0.05, 0.08, 0.12, 0.16):
        quantities = compared(gradient=gradient, **FIXED).scheme("thickened-raft").quantities
        stone.append(quantities["sub_base_m3"] + quantities["batter_stone_m3"])
    assert stone == sorted(stone) and stone[-1] > 2 * stone[0]


def test_a_higher_floor_digs_less_and_fills_more(compared, ground):
    """The wall's thickness is fixed, because what it holds back would choose it; its trench goes by whole courses."""
    wall = dict(block_thickness_m=0.215, footing_width_m=0.6)
    for scheme_id, key, choice in (
            ("thickened-raft", "raft", dict(low_side="batter")), ("strip-and-block", "strip", wall), ("insulated-slab", "insulated", wall)):
        digs, stones, slabs = [], [], []
        for level in (-0.3, -0.1, 0.1, 0.3):
            quantities = compared(**ground, **{key: choice | dict(floor_level_m=level)}).scheme(scheme_id).quantities
            digs.append(quantities["reduce_dig_m3"])
            stones.append(quantities["sub_base_m3"] + quantities["batter_stone_m3"])
            slabs.append(quantities["slab_concrete_m3"])
        assert digs == sorted(digs, reverse=True) and digs[0] > digs[-1]
        assert slabs == pytest.approx([slabs[0]] * len(slabs)), "the slab is the same slab at any level"
        if key == "raft":
            assert all(b >= a - 1e-9 for a, b in zip(stones, stones[1:])) and stones[-1] > stones[0]


def test_a_deeper_founding_takes_more_trench_and_block(compared, ground):
    trench, blocks = [], []
    for depth in (0.45, 0.7, 1.0, 1.5):
        quantities = compared(**ground, strip=dict(founding_depth_m=depth, footing_width_m=0.6, block_thickness_m=0.14)).scheme("strip-and-block").quantities
        trench.append(quantities["trench_dig_m3"])
        blocks.append(quantities["blockwork_m2"])
    assert trench == sorted(trench) and trench[-1] > trench[0]
    assert blocks == sorted(blocks) and blocks[-1] > blocks[0]


def test_on_the_flat_a_slab_grows_with_its_floor(compared):
    """Slab concrete = inner area x thickness: exact, whatever the size.  Source: geometry."""
    for size in ((3.0, 2.4), (6.6, 4.2), (9.0, 6.0)):
        result = compared(size_m=size, strip=dict(block_thickness_m=0.14))
        assert result.scheme("strip-and-block").quantities["slab_concrete_m3"] == pytest.approx((size[0] - 0.28) * (size[1] - 0.28) * 0.1)
        assert result.scheme("insulated-slab").quantities["slab_concrete_m3"] == pytest.approx((size[0] - 0.38) * (size[1] - 0.38) * 0.1)
        assert result.scheme("insulated-slab").quantities["insulation_m3"] == pytest.approx((size[0] - 0.38) * (size[1] - 0.38) * 0.1)
