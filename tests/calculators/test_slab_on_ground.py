"""Slabs and beams on a bed of springs, judged by finite elements; joints.

The published figures are rows of docs/evidence.
"""

import pytest

from calculators import slab_on_ground as slab
from calculators.scenario import SOILS


def frames():
    return pytest.importorskip("Pynite", reason="PyniteFEA is missing: pip install PyniteFEA")


@pytest.mark.parametrize("at_edge", [False, True], ids=["middle", "edge"])
def test_stress_by_finite_elements(at_edge):
    """A square patch of 0.3 m on a slab 3 x 3 m of quadrilateral plates on springs; the formulas have a round one and no end.

    Thin enough for the patch that the slab acts as a plate.  Coarse plates are good to some 10 %.
    """
    size, cell, thickness, stiffness_gpa, bed, patch = 3.0, 0.15, 0.08, 31.0, 10.0, 0.3
    model = frames().FEModel3D()
    model.add_material("concrete", stiffness_gpa * 1e6, stiffness_gpa * 1e6 / 2.3, 0.15, 0.0)
    model.add_rectangle_mesh("slab", cell, size, size, thickness, "concrete", element_type="Quad")
    model.meshes["slab"].generate()
    for node in model.nodes.values():
        share = (0.5 if min(node.X, size - node.X) < 1e-6 else 1.0) * (0.5 if min(node.Y, size - node.Y) < 1e-6 else 1.0)
        model.def_support_spring(node.name, "DZ", bed * 1000.0 * cell**2 * share)
        model.def_support(node.name, True, True, False, False, False, True)
    low_x, low_y = (size - patch) / 2.0, 0.0 if at_edge else (size - patch) / 2.0
    loaded = []
    for quad in model.quads.values():
        corners = (quad.i_node, quad.j_node, quad.m_node, quad.n_node)
        x, y = (sum(getattr(corner, axis) for corner in corners) / 4.0 for axis in "XY")
        if low_x < x < low_x + patch and low_y < y < low_y + patch:
            model.add_quad_surface_pressure(quad.name, -1.0 / patch**2)
            loaded.append(quad)
    model.analyze_linear()
    bending = max(abs(float(quad.moment(r, s)[0][0])) for quad in loaded for r in (-1, 0, 1) for s in (-1, 0, 1))
    judged_mpa = 6.0 * bending / thickness**2 / 1000.0

    radius = slab.radius_of_stiffness_m(stiffness_gpa, thickness, bed)
    formula = slab.edge_stress_mpa if at_edge else slab.interior_stress_mpa
    assert formula(1.0, slab.patch_radius_m(patch), thickness, radius) == pytest.approx(judged_mpa, rel=0.10)


def beam(length_m, spacing_m, load_kn, beam_knm2, springs_kn_per_m2, pinned):
    """Moment and sinking under a load in the middle of a beam on springs, by a frame program."""
    model = frames().FEModel3D()
    model.add_material("beam", beam_knm2, beam_knm2, 0.15, 0.0)
    model.add_section("unit", 1.0, 1.0, 1.0, 1.0)
    count = round(length_m / spacing_m)
    for i in range(count + 1):
        model.add_node(f"n{i}", i * spacing_m, 0.0, 0.0)
        end = i in (0, count)
        model.def_support(f"n{i}", i == 0, end and pinned, True, True, True, False)
        if not (end and pinned):
            model.def_support_spring(f"n{i}", "DY", springs_kn_per_m2 * spacing_m * (0.5 if end else 1.0))
    for i in range(count):
        model.add_member(f"m{i}", f"n{i}", f"n{i + 1}", "beam", "unit")
    middle = count // 2
    model.add_node_load(f"n{middle}", "FY", -load_kn)
    model.analyze_linear()
    member = model.members[f"m{middle}"]
    return max(abs(member.max_moment("Mz", "Combo 1")), abs(member.min_moment("Mz", "Combo 1"))), -model.nodes[f"n{middle}"].DY["Combo 1"]


def test_the_judge_meets_the_printed_beam():
    """McGuire, Gallagher and Ziemian, Example 4.15, as quoted: springs of 22.5 kip/in every 15 in, 547 kip-in; kip and in throughout."""
    moment, sinking = beam(240.0, 15.0, 40.0, 29000.0 * 128.5, 1.5, pinned=True)
    assert moment == pytest.approx(547.0, rel=0.01)
    assert sinking == pytest.approx(0.238, rel=0.05)


@pytest.mark.parametrize("length, pinned, ours", [(6.0, True, 6.0), (40.0, False, float("inf"))])
def test_a_beam_on_a_bed_by_a_frame_program(length, pinned, ours):
    moment, sinking = beam(length, 0.1, 23.0, 32700.0, 4320.0, pinned)
    assert slab.beam_on_ground_moment_knm(23.0, 32700.0, 4320.0, ours) == pytest.approx(moment, rel=0.02)
    assert slab.beam_on_ground_sinking_m(23.0, 32700.0, 4320.0, ours) == pytest.approx(sinking, rel=0.01)


def test_a_long_beam_with_ends_is_one_without():
    assert slab.beam_on_ground_moment_knm(10.0, 30000.0, 5000.0, 60.0) == pytest.approx(slab.beam_on_ground_moment_knm(10.0, 30000.0, 5000.0), rel=1e-6)
    assert slab.beam_on_ground_moment_knm(10.0, 30000.0, 5000.0, 1e6) == slab.beam_on_ground_moment_knm(10.0, 30000.0, 5000.0)


def test_a_short_beam_hangs_between_its_ends():
    """Soft springs: P L / 4."""
    assert slab.beam_on_ground_moment_knm(10.0, 1e7, 1.0, 3.0) == pytest.approx(7.5, rel=1e-4)


@pytest.mark.parametrize("stress", [slab.interior_stress_mpa, slab.edge_stress_mpa, slab.corner_stress_mpa])
def test_stress_follows_load_and_falls_with_thickness(stress):
    assert stress(10.0, 0.06, 0.1, 0.7) == pytest.approx(2.0 * stress(5.0, 0.06, 0.1, 0.7))
    thick = [stress(5.0, 0.06, h, slab.radius_of_stiffness_m(31.0, h, 12.0)) for h in (0.1, 0.125, 0.15, 0.2)]
    assert thick == sorted(thick, reverse=True)


def test_the_edge_is_worse_than_the_middle():
    assert slab.edge_stress_mpa(5.0, 0.06, 0.1, 0.7) > slab.interior_stress_mpa(5.0, 0.06, 0.1, 0.7)


def test_a_patch_has_no_jump_where_the_slab_stops_being_thin_for_it():
    """b is nearly a at a = 1.724 h: the two forms meet within 0.1 %."""
    below, above = (slab.interior_stress_mpa(5.0, 0.1724 + hair, 0.1, 0.7) for hair in (-1e-9, 1e-9))
    assert below == pytest.approx(above, rel=1e-3)


def test_insulation_softens_the_bed():
    assert slab.bed_under_insulation_mn_per_m3(40.0, 0.0, 4.0) == pytest.approx(40.0)
    assert slab.bed_under_insulation_mn_per_m3(40.0, 0.2, 4.0) < slab.bed_under_insulation_mn_per_m3(40.0, 0.1, 4.0) < 40.0


def test_every_soil_has_a_bed_or_is_refused():
    assert set(SOILS) - set(slab.BED_BY_SOIL) == {"peat", "made ground"}
    for soil, (soft, stiff) in slab.BED_BY_SOIL.items():
        assert 0.0 < soft.value < stiff.value
        assert slab.bed_mn_per_m3(soil) == soft.value


@pytest.mark.parametrize("length, breadth", [(6.3, 3.9), (12.0, 4.0), (20.0, 2.0), (5.0, 5.0), (19.9, 13.1), (2.0, 20.0)])
def test_panels_keep_to_their_limits(length, breadth):
    found = slab.panels(length, breadth, 6.0)
    assert max(found.length_m, found.breadth_m) <= 6.0 + 1e-9
    assert found.aspect <= 1.5 + 1e-9
    assert found.along * found.length_m == pytest.approx(length) and found.across * found.breadth_m == pytest.approx(breadth)


def test_a_joint_only_where_one_is_wanted():
    assert slab.panels(6.0, 4.0, 6.0).along == 1
    assert slab.panels(6.0 + 1e-6, 4.1, 6.0).along == 2
    assert slab.panels(5.0, 3.3, 6.0).along == 2, "more than half as long again as it is wide"


@pytest.mark.parametrize("call", [
    lambda: slab.radius_of_stiffness_m(31.0, 0.0, 12.0), lambda: slab.radius_of_stiffness_m(31.0, 0.1, 0.0),
    lambda: slab.interior_stress_mpa(-1.0, 0.06, 0.1, 0.7), lambda: slab.edge_stress_mpa(1.0, 0.8, 0.1, 0.7), lambda: slab.corner_stress_mpa(1.0, 0.0, 0.1, 0.7),
    lambda: slab.bed_mn_per_m3("peat"), lambda: slab.bed_stiff_end_mn_per_m3("jelly"), lambda: slab.bed_under_insulation_mn_per_m3(10.0, 0.6, 4.0),
    lambda: slab.patch_radius_m(0.0), lambda: slab.joint_spacing_m(0.6), lambda: slab.panels(0.0, 1.0, 6.0), lambda: slab.panels(5.0, 3.0, 6.0, 1.3),
    lambda: slab.beam_on_ground_moment_knm(1.0, 0.0, 1.0), lambda: slab.beam_on_ground_sinking_m(1.0, 1.0, 1.0, 0.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
