"""Hollows, old slabs and walls inside, against sums that a person does on paper (geometry)."""

import math

import pytest

from calculators import works as w
from calculators.earthwork import prismoidal_volume_m3
from calculators.ground import Dented, Flat, between, profile
from calculators.plan import all_without, polygon_area_m2, without

RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"
SQUARE = ((2.0, 1.5), (3.0, 1.5), (3.0, 2.5), (2.0, 2.5))
ACROSS = (((3.3, 0.0), (3.3, 4.2)),)


def amounts(compared, scheme, **changes):
    return compared(**changes).scheme(scheme).quantities


# Geometry.


@pytest.mark.parametrize("hole", [
    ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)), ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)), ((1.5, -1.0), (4.0, 1.5), (1.5, 4.0), (-1.0, 1.5)),
])
def test_what_is_left_outside_a_hole(hole):
    """shapely's difference has the same area (reference library)."""
    shapely = pytest.importorskip("shapely")
    whole = ((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0))
    left = without(whole, hole)
    assert sum(map(polygon_area_m2, left)) == pytest.approx(shapely.Polygon(whole).difference(shapely.Polygon(hole)).area, abs=1e-12)
    assert shapely.union_all([shapely.Polygon(part) for part in left]).area == pytest.approx(sum(map(polygon_area_m2, left)), abs=1e-12)


def test_two_holes_that_overlap_are_taken_out_once():
    left = all_without([((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (0.0, 1.0))], [((1.0, 0.0), (2.5, 0.0), (2.5, 1.0), (1.0, 1.0)), ((2.0, 0.0), (3.0, 0.0), (3.0, 1.0), (2.0, 1.0))])
    assert sum(map(polygon_area_m2, left)) == pytest.approx(2.0)


def test_a_dent_falls_plumb():
    ground = Dented(Flat.at(1.0), ((SQUARE, 0.3),))
    assert profile(ground, (0.0, 2.0), (5.0, 2.0)) == [(0.0, 1.0), (2.0, 1.0), (2.0, pytest.approx(0.7)), (3.0, pytest.approx(0.7)), (3.0, 1.0), (5.0, 1.0)]
    whole = ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0))
    assert sum(piece.volume_m3 for piece in between([whole], Flat.at(0.0), ground)) == pytest.approx(25.0 - 0.3)


# Hollows and slabs.


def test_a_hollow_below_formation_takes_its_volume_in_stone_and_no_dig(compared):
    """1 m2, 0.6 m deep, all of it below the dig by 0.6 - what is dug there anyway."""
    plain, hollow = (amounts(compared, RAFT, plot=dict(hollows_m=patches)) for patches in ((), ((SQUARE, 0.6),)))
    assert hollow["topsoil_strip_m3"] == pytest.approx(plain["topsoil_strip_m3"])
    saved = plain["reduce_dig_m3"] - hollow["reduce_dig_m3"]
    assert 0.0 <= saved <= 0.6
    assert hollow["sub_base_m3"] - plain["sub_base_m3"] == pytest.approx(0.6 - saved)


def test_a_hollow_in_the_middle_does_not_lift_the_low_side(compared):
    plain, hollow = (compared(plot=dict(hollows_m=patches)).scheme(STRIP).works for patches in ((), ((SQUARE, 0.4),)))
    assert hollow.low_side_height_m == pytest.approx(plain.low_side_height_m)
    assert hollow.fill_depth_m == pytest.approx(plain.fill_depth_m + 0.4)


def test_a_hollow_under_a_wall_is_founded_below_its_bottom(compared):
    under_wall = ((2.0, -0.5), (3.0, -0.5), (3.0, 0.5), (2.0, 0.5))
    works = compared(plot=dict(hollows_m=((under_wall, 0.3),))).scheme(STRIP).works
    plain = compared().scheme(STRIP).works
    assert works.founding_level_m <= plain.founding_level_m - 0.225 + 1e-9


@pytest.mark.parametrize("scheme", [RAFT, STRIP, WARM])
def test_an_old_slab_is_broken_out_instead_of_topsoil(compared, scheme):
    """1 m2 of slab 120 mm thick, where the topsoil round it is 150 mm."""
    plain, slab = (amounts(compared, scheme, plot=dict(topsoil_m=0.15, existing_slabs_m=patches)) for patches in ((), ((SQUARE, 0.12),)))
    assert slab["break_out_m3"] == pytest.approx(0.12) and slab["rubble_loose_m3"] == pytest.approx(0.12 * 1.5)
    assert plain["topsoil_strip_m3"] - slab["topsoil_strip_m3"] == pytest.approx(0.15)
    # What is dug or filled below starts 30 mm higher.
    moved = (slab["reduce_dig_m3"] - plain["reduce_dig_m3"]) + (plain["sub_base_m3"] - slab["sub_base_m3"])
    assert moved == pytest.approx(0.03)


def test_a_slab_half_outside_is_broken_out_as_far_as_the_ground_is_stripped(compared):
    half_out = ((2.0, -2.0), (3.0, -2.0), (3.0, 1.0), (2.0, 1.0))
    works = compared(plot=dict(existing_slabs_m=((half_out, 0.1),))).scheme(STRIP).works
    assert works.volume_m3(w.BREAK_OUT) == pytest.approx(1.0 * (1.0 + 0.3) * 0.1)


@pytest.mark.parametrize("scheme", [RAFT, STRIP, WARM])
@pytest.mark.parametrize("patch", [dict(hollows_m=((SQUARE, 0.3),)), dict(existing_slabs_m=((SQUARE, 0.2),)), dict(hollows_m=((SQUARE, 0.2),), existing_slabs_m=((((0.2, 0.2), (1.2, 0.2), (1.2, 1.0), (0.2, 1.0)), 0.1),))])
def test_what_is_dug_is_placed_spread_or_carted(compared, scheme, patch):
    result = compared(gradient=1 / 18, plot=patch).scheme(scheme)
    earth = result.earth
    assert earth.dug_bank_m3 == pytest.approx(earth.backfilled_bank_m3 + earth.spread_bank_m3 + earth.carted_bank_m3)
    for solid in result.works.solids:
        assert solid.volume_m3 == pytest.approx(math.fsum(piece.volume_m3 for piece in solid.pieces), abs=1e-9), solid.part


# Walls inside.


def test_a_wall_across_a_strip_scheme_by_hand(compared):
    """Blocks of 140 mm on a footing of 450 mm; between the inner edges of the outer footing 4.2 - 2 x 0.295 m."""
    plain, across = (compared(building=dict(internal_walls_m=lines)).scheme(STRIP) for lines in ((), ACROSS))
    sizes = plain.works.sizes
    assert (sizes["block_thickness_m"], sizes["footing_width_m"]) == (0.14, 0.45)
    between_footings, between_faces = 4.2 - 2 * (0.07 + 0.225), 4.2 - 2 * 0.14

    def more(key):
        return across.quantities[key] - plain.quantities[key]

    assert more("footing_concrete_m3") == pytest.approx(between_footings * 0.45 * sizes["footing_thickness_m"])
    assert more("slab_concrete_m3") == pytest.approx(-between_faces * 0.14 * 0.1)
    assert more("dpc_m") == pytest.approx(between_faces) and more("isolation_strip_m") == pytest.approx(2 * between_faces)
    # On level ground all footings have one level, so the wall is as high everywhere.
    height = plain.works.sole_plate_m - plain.works.founding_level_m - sizes["footing_thickness_m"]
    assert more("blockwork_m2") == pytest.approx(between_faces * height)
    assert across.works.volume_m3(w.BLOCKWORK) - plain.works.volume_m3(w.BLOCKWORK) == pytest.approx(between_faces * height * 0.14)
    # Straps no further than 1.2 m apart over 4.2 m, and one more at the end.
    assert more("wall_straps") == 5.0


def test_a_wall_across_a_raft_by_hand(compared):
    """A trapezium of concrete below the slab: 450 mm wide at the bottom, 45 degrees to both sides, running into the edge's own haunch."""
    plain, across = (compared(building=dict(internal_walls_m=lines)).scheme(RAFT) for lines in ((), ACROSS))
    deep = plain.works.sizes["edge_depth_m"] - plain.works.slab_thickness_m
    width = plain.works.sizes["edge_width_m"]
    clear = 4.2 - 2 * width
    def area_at(z_m):
        return (width + 2.0 * z_m) * (clear - 2.0 * z_m)

    # At each level between edge bottom and slab the thickening reaches from haunch to haunch: a prismoid.
    assert across.quantities["concrete_m3"] - plain.quantities["concrete_m3"] == pytest.approx(
        prismoidal_volume_m3(deep, area_at(0.0), area_at(deep / 2.0), area_at(deep)))
    assert across.quantities["blockwork_m2"] - plain.quantities["blockwork_m2"] == pytest.approx((4.2 - 0.28) * 0.225)
    assert across.quantities["edge_cage_m"] - plain.quantities["edge_cage_m"] == pytest.approx(clear)


def test_walls_that_meet_are_counted_once(compared):
    tee = (*ACROSS, ((3.3, 2.1), (6.6, 2.1)))
    one, two = (compared(building=dict(internal_walls_m=lines)).scheme(STRIP) for lines in (ACROSS, tee))
    thickness = one.works.sizes["footing_thickness_m"]
    one, two = one.quantities, two.quantities
    # From the face of the first wall to the inner face of the east wall; its footing from footing to footing.
    assert two["dpc_m"] - one["dpc_m"] == pytest.approx(6.6 - 0.14 - 3.3 - 0.07)
    assert two["footing_concrete_m3"] - one["footing_concrete_m3"] == pytest.approx((6.6 - 0.295 - 3.3 - 0.225) * 0.45 * thickness)


@pytest.mark.parametrize("scheme", [RAFT, STRIP, WARM])
@pytest.mark.parametrize("lines", [ACROSS, (((1.5, 1.0), (4.5, 3.0)),), (((3.3, 0.0), (3.3, 4.2)), ((0.0, 2.1), (6.6, 2.1)))])
def test_solids_with_walls_inside_do_not_overlap(compared, scheme, lines):
    """Over any point of the footprint the layers lie one on the other without gap or overlap: their volumes add up to the space they share."""
    result = compared(gradient=1 / 16, building=dict(internal_walls_m=lines)).scheme(scheme)
    works, site = result.works, compared(gradient=1 / 16).site
    for solid in works.solids:
        assert solid.volume_m3 == pytest.approx(math.fsum(piece.volume_m3 for piece in solid.pieces), abs=1e-8), solid.part
    if scheme != RAFT:
        plain = compared(gradient=1 / 16).scheme(scheme)
        walls_m3 = (result.quantities["dpc_m"] - plain.quantities["dpc_m"]) * 0.14 * (works.sole_plate_m - works.floor_level_m)
        assert _filled_less_dug_m3(site, works) == pytest.approx(_filled_less_dug_m3(site, plain.works) + walls_m3, abs=1e-6)


def _filled_less_dug_m3(site, works):
    """What is put in inside the walls less what is dug there: the space up to the floor, and what stands above it."""
    put_in = (w.SUB_BASE, w.TRENCH_STONE, w.BLINDING, w.INSULATION, w.EDGE_BOARD, w.SLAB, w.FOOTING, w.BLOCKWORK)
    sign = {part: 1.0 for part in put_in} | {part: -1.0 for part in (w.REDUCE_DIG, w.TRENCH_DIG)}
    wall = works.sizes["block_thickness_m"]
    return math.fsum(
        sign[solid.part] * piece.volume_m3 for solid in works.solids if solid.part in sign for piece in solid.pieces
        if all(side.inside(_middle(piece.polygon)) > wall for side in site.plan.sides))


def _middle(polygon):
    return tuple(sum(point[i] for point in polygon) / len(polygon) for i in (0, 1))


# What stands on it.


@pytest.mark.parametrize("scheme, what", [(RAFT, "thickening"), (STRIP, "footing"), (WARM, "footing")])
def test_a_wall_inside_carries_the_roof_from_both_sides(compared, scheme, what):
    checks = {check.name: check for check in compared(building=dict(internal_walls_m=ACROSS)).scheme(scheme).works.checks}
    inside, outer = (checks[f"Pressure on the ground under the {name}"] for name in (f"{what} of a wall inside", "edge" if scheme == RAFT else "footing"))
    assert inside.provided > outer.provided and inside.verdict == "within"


def test_a_wall_inside_too_heavy_for_soft_ground_is_outside(compared):
    heavy = dict(walls="block", roof_covering="green", internal_walls_m=(((8.0, 0.0), (8.0, 12.0)),))
    checks = {check.name: check for check in compared(size_m=(16.0, 12.0), building=heavy, plot=dict(soil="soft clay")).scheme(STRIP).works.checks}
    assert checks["Footing width of a wall inside"].verdict == "outside"
