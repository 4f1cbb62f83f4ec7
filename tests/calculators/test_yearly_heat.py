"""Edge insulation, suspended floors, a year's heat, thickness for a target, insulation under load.

The judge is a conduction model of the ground in three dimensions, by finite
volumes on one quarter of a rectangular floor.  It first has to meet an exact
published answer; then it judges the formulas.
"""

import math
from functools import lru_cache

import pytest

from calculators import heat, yearly_heat

FINEST_M, GROWTH, FAR_M = 0.08, 1.22, 60.0


def _growing(start_m, length_m):
    """Cell sizes that grow from the start and add up to the length."""
    sizes, at = [], 0.0
    while at < length_m:
        sizes.append(start_m)
        at += start_m
        start_m *= GROWTH
    return [size * length_m / at for size in sizes]


def _sizes(half_m, wall_m):
    """Cells from the middle of the floor outward: fine on both sides of its edge, even under the wall."""
    under_wall = max(1, round(wall_m / FINEST_M))
    return _growing(FINEST_M, half_m)[::-1] + [wall_m / under_wall] * under_wall + _growing(FINEST_M, FAR_M)


@lru_cache(maxsize=None)
def conduction_u(length, breadth, wall, conductivity, floor_r=0.0, inside=0.17, outside=0.04, edge_r=0.0, edge_reach=0.0, vertical=False, straight=False):
    """U of a floor, W/(m2 K), by finite volumes.

    Under the wall the surface lets nothing through, or, where `straight`, falls in a straight line from
    inside to outside.  Edge insulation is an extra resistance: of the floor within its reach of the
    edge, or upright at the outer face of the wall down to its reach.
    """
    numpy = pytest.importorskip("numpy", reason="the conduction model needs numpy")
    sparse = pytest.importorskip("scipy.sparse", reason="the conduction model needs scipy")
    from scipy.sparse.linalg import cg

    ends = (length / 2.0, breadth / 2.0)
    dx, dy = (numpy.array(_sizes(half, wall)) for half in ends)
    shallow = _growing(FINEST_M / 2.0, edge_reach) if vertical else []
    dz = numpy.array(shallow + _growing(shallow[-1] if shallow else FINEST_M / 2.0, FAR_M))
    x, y, z = (numpy.cumsum(d) - d / 2.0 for d in (dx, dy, dz))
    shape = (len(dx), len(dy), len(dz))
    number = numpy.arange(math.prod(shape)).reshape(shape)
    rows, columns, values = [], [], []
    diagonal, source = numpy.zeros(shape), numpy.zeros(shape)
    area = (dy[None, :, None] * dz[None, None, :], dx[:, None, None] * dz[None, None, :], dx[:, None, None] * dy[None, :, None])
    for axis, (d, centre) in enumerate(((dx, x), (dy, y), (dz, z))):
        count = len(d)
        resistance = (d[1:] + d[:-1]) / 2.0 / conductivity
        resistance = resistance.reshape([-1 if a == axis else 1 for a in range(3)]) * numpy.ones([count - 1 if a == axis else shape[a] for a in range(3)])
        if edge_r and vertical and axis < 2:
            # The face of cells that lies on the outer face of the wall, along the building and down to the reach.
            face = int(numpy.argmin(abs(numpy.cumsum(d)[:-1] - (ends[axis] + wall))))
            other = y if axis == 0 else x
            along = other < ends[1 - axis] + wall
            down = numpy.cumsum(dz) - dz / 2.0 < edge_reach
            mask = along[:, None] & down[None, :]
            if axis == 0:
                resistance[face][mask] += edge_r
            else:
                resistance[:, face][mask] += edge_r
        flow = area[axis] * numpy.ones_like(resistance) / resistance
        first = tuple(slice(0, -1) if a == axis else slice(None) for a in range(3))
        second = tuple(slice(1, None) if a == axis else slice(None) for a in range(3))
        rows += [number[first].ravel(), number[second].ravel()]
        columns += [number[second].ravel(), number[first].ravel()]
        values += [-flow.ravel(), -flow.ravel()]
        diagonal[first] += flow
        diagonal[second] += flow
    past = numpy.maximum(x[:, None] - ends[0], y[None, :] - ends[1])
    over, beyond = past < 0.0, past > wall
    surface = dz[0] / 2.0 / conductivity
    top = numpy.where(over, inside + floor_r, outside)
    if edge_r and not vertical:
        top = numpy.where(over & (past > -edge_reach), top + edge_r, top)
    contact = (dx[:, None] * dy[None, :]) / (top + surface)
    warm = numpy.where(over, 1.0, 0.0)
    if straight:
        warm = numpy.where(over, 1.0, numpy.clip(1.0 - past / wall, 0.0, 1.0))
    else:
        contact = numpy.where(over | beyond, contact, 0.0)
    diagonal[:, :, 0] += contact
    source[:, :, 0] = contact * warm
    rows.append(number.ravel())
    columns.append(number.ravel())
    values.append(diagonal.ravel())
    matrix = sparse.csr_matrix((numpy.concatenate(values), (numpy.concatenate(rows), numpy.concatenate(columns))))
    found, failed = cg(matrix, source.ravel(), rtol=1e-5, maxiter=5000, M=sparse.diags(1.0 / diagonal.ravel()))
    assert not failed
    lost = (contact * (warm - found.reshape(shape)[:, :, 0]))[over].sum()
    return float(4.0 * lost / (length * breadth))


def test_the_conduction_model_meets_the_exact_answer():
    """Neymark and Judkoff 2008, NREL/TP-550-43388, case GC10a, as quoted: 2432.597 W."""
    u = conduction_u(12.0, 12.0, 0.24, 1.9, inside=0.0, outside=0.0, straight=True)
    assert u * 144.0 * 20.0 == pytest.approx(2432.597, rel=0.01)


# Floors of the size this guide is about: plan, wall, ground, R of the insulation.
BARE = (6.6, 4.2, 0.30, 1.5, 0.0)
INSULATED = (6.6, 4.2, 0.20, 1.5, 2.78)
FLOORS = [BARE, INSULATED, (9.0, 3.0, 0.30, 2.0, 0.0), (4.2, 3.0, 0.20, 2.0, 4.5)]
BOARD_M, BOARD_W_PER_MK = 0.05, 0.036


def _of(floor):
    length, breadth, wall, ground, r = floor
    return (length * breadth, 2.0 * (length + breadth), wall, ground, r)


def _edge_r(ground):
    return BOARD_M / BOARD_W_PER_MK - BOARD_M / ground


@pytest.mark.parametrize("floor", FLOORS)
def test_our_floors_against_the_conduction_model(floor):
    assert heat.slab_on_ground_u_w_per_m2k(*_of(floor)) == pytest.approx(conduction_u(*floor), rel=0.10)


@pytest.mark.parametrize("floor", [BARE, INSULATED])
def test_insulation_along_the_edge_under_the_floor_against_the_conduction_model(floor):
    formula = heat.floor_with_edge_insulation_u_w_per_m2k(*_of(floor), BOARD_M, BOARD_W_PER_MK, 0.6, False)
    judge = conduction_u(*floor, edge_r=_edge_r(floor[3]), edge_reach=0.6)
    assert formula == pytest.approx(judge, rel=0.10) and formula > judge


@pytest.mark.parametrize("floor", [BARE, INSULATED])
def test_an_upright_board_against_the_conduction_model(floor):
    """From memory the document counts the depth of an upright board twice.  The model bears out once;
    twice is 10 to 20 % too hopeful where the floor itself has no insulation, so no scheme takes it."""
    judge = conduction_u(*floor, edge_r=_edge_r(floor[3]), edge_reach=0.6, vertical=True)
    once, twice = (heat.floor_with_edge_insulation_u_w_per_m2k(*_of(floor), BOARD_M, BOARD_W_PER_MK, 0.6, upright) for upright in (False, True))
    assert once == pytest.approx(judge, rel=0.10)
    assert 0.8 * judge < twice < judge


def test_edge_insulation_saves_more_the_further_it_reaches_and_the_less_the_floor_has():
    by_reach = [heat.edge_insulation_psi_w_per_mk(0.6, 2.0, 1.5, reach, False) for reach in (0.0, 0.3, 0.6, 1.2)]
    assert by_reach[0] == 0.0 and by_reach == sorted(by_reach, reverse=True)
    by_floor = [heat.edge_insulation_psi_w_per_mk(own, 2.0, 1.5, 0.6, False) for own in (0.4, 0.8, 2.0, 6.0)]
    assert by_floor == sorted(by_floor) and by_floor[-1] < 0.0
    assert heat.edge_insulation_psi_w_per_mk(0.6, 0.0, 1.5, 0.6, True) == 0.0
    # Upright, half the depth does what the whole width does.
    assert heat.edge_insulation_psi_w_per_mk(0.6, 2.0, 1.5, 0.3, True) == pytest.approx(heat.edge_insulation_psi_w_per_mk(0.6, 2.0, 1.5, 0.6, False))


def test_suspended_floor_at_its_ends():
    args = dict(perimeter_over_area_per_m=0.5, wall_thickness_m=0.3, ground_conductivity_w_per_mk=1.5, floor_r_m2k_per_w=2.0)
    u = heat.suspended_floor_u_by_ratio_w_per_m2k
    closed = u(**args, vent_m2_per_m=0.0, height_above_ground_m=0.0)
    windy = u(**args, wind_m_per_s=20.0, wind_shielding=0.2, vent_m2_per_m=0.05)
    # A gale under the floor leaves the floor itself; still air puts the ground in series with it.
    assert closed < u(**args) < windy < 1.0 / 2.34
    assert windy == pytest.approx(1.0 / 2.34, rel=0.02)
    wide = 4.0
    bare = 0.3 + 1.5 * 0.21
    ground = 3.0 / (math.pi * wide + bare) * math.log(math.pi * wide / bare + 1.0)
    assert closed == pytest.approx(1.0 / (2.34 + 1.0 / ground))


def test_suspended_floor_is_colder_the_windier_and_the_higher():
    u = lambda **changes: heat.suspended_floor_u_by_ratio_w_per_m2k(0.6, 0.3, 1.5, 1.0, **changes)
    assert u(wind_shielding=0.02) < u(wind_shielding=0.05) < u(wind_shielding=0.10)
    assert u(height_above_ground_m=0.2) < u(height_above_ground_m=0.6)


def test_a_year_of_always_heating_is_the_degree_days():
    assert yearly_heat.kelvin_hours(1560.0) == 37440.0
    year = yearly_heat.yearly_heat(0.5, 20.0, "always", 1000.0, 0.30, 3.0)
    assert year.kwh == pytest.approx(0.5 * 20.0 * 24.0) and year.cost == pytest.approx(24.0)


@pytest.mark.parametrize("first, second", [("now and then", "evenings and weekends"), ("evenings and weekends", "working week"), ("working week", "always")])
def test_more_hours_take_more_heat(first, second):
    assert 0.0 < yearly_heat.pattern_share(first) < yearly_heat.pattern_share(second) <= 1.0


def test_share_between_nothing_held_and_everything_held():
    assert yearly_heat.heating_share(42.0, 0.0) == 0.25 and yearly_heat.heating_share(42.0, 1.0) == 1.0
    # A building that is never heated loses nothing that anybody paid for.
    assert yearly_heat.heating_share(0.0, 1.0) == 0.0


@pytest.mark.parametrize("target", [0.15, 0.18, 0.22, 0.30, 0.60])
@pytest.mark.parametrize("conductivity", [0.022, 0.033, 0.036])
def test_thickness_meets_its_target_with_the_declared_r_and_is_not_overdone(target, conductivity):
    floor = (27.72, 21.6, 0.3, 1.5)
    thickness = yearly_heat.thickness_for_target_m(target, *floor, conductivity)
    u = lambda t: heat.slab_on_ground_u_w_per_m2k(*floor, heat.declared_r_m2k_per_w(t, conductivity))
    assert thickness > 0.0 and u(thickness) <= target * 1.0002
    assert u(max(0.0, thickness - 0.005)) > target


def test_no_thickness_where_the_bare_floor_does_it():
    assert yearly_heat.thickness_for_target_m(0.99, 400.0, 80.0, 0.3, 1.5, 0.036) == 0.0


def test_what_insulation_carries_goes_by_its_grade():
    assert yearly_heat.long_term_stress_kpa("EPS", 70.0) == pytest.approx(21.0)
    assert yearly_heat.long_term_stress_kpa("PIR") < yearly_heat.long_term_stress_kpa("EPS") < yearly_heat.long_term_stress_kpa("XPS")
    # A slab of 100 mm weighs 2.5 kPa by EN 1991-1-1 Annex A (read): 25 kN/m3.
    assert yearly_heat.pressure_on_insulation_kpa(0.1, 0.0) == pytest.approx(2.5)


def _checks(compared, scheme="insulated-slab", **more):
    given = {key: more.pop(key) for key in ("target_u_w_per_m2k", "strength_kpa", "imposed_kpa") if key in more}
    comparison = compared(**more)
    result = comparison.scheme(scheme)
    return {check.name: check for check in yearly_heat.warm_checks(comparison.site, result.works, result.u_value_w_per_m2k, **given)}


@pytest.mark.parametrize("imposed, verdict", [(2.5, "within"), (26.0, "close"), (27.6, "outside")])
def test_insulation_under_load_on_each_side_of_its_limit(compared, imposed, verdict):
    """EPS 100 carries 0.3 x 100 kPa for fifty years; a slab of 100 mm brings 2.5 kPa of it."""
    check = _checks(compared, imposed_kpa=imposed)["Insulation under a lasting load"]
    assert check.verdict == verdict and check.required == pytest.approx(30.0) and check.working and check.method == "heat"
    assert bool(check.ask) == (verdict == "outside")


def test_target_u_on_each_side(compared):
    u = _checks(compared)["U-value of the floor"].provided
    assert _checks(compared, target_u_w_per_m2k=u * 1.001)["U-value of the floor"].verdict == "within"
    missed = _checks(compared, target_u_w_per_m2k=u * 0.999)["U-value of the floor"]
    assert missed.verdict == "outside" and missed.ask
    assert _checks(compared)["U-value of the floor"].verdict == "not worked out"


def test_a_floor_without_insulation_has_nothing_to_squeeze(compared):
    assert set(_checks(compared, "thickened-raft")) == {"U-value of the floor"}


def test_a_wheel_on_insulation_is_not_worked_out(compared):
    assert _checks(compared, building={"use": "garage"})["Insulation under a wheel"].verdict == "not worked out"


def test_the_edge_board_of_a_scheme_saves_a_little(compared):
    comparison = compared()
    result = comparison.scheme("insulated-slab")
    with_board = yearly_heat.scheme_u_w_per_m2k(comparison.site, result.works, result.u_value_w_per_m2k)
    assert 0.9 * result.u_value_w_per_m2k < with_board < result.u_value_w_per_m2k
    raft = comparison.scheme("thickened-raft")
    assert yearly_heat.scheme_u_w_per_m2k(comparison.site, raft.works, raft.u_value_w_per_m2k) == raft.u_value_w_per_m2k


@pytest.mark.parametrize("call", [
    lambda: heat.extra_equivalent_thickness_m(0.6, 0.036, 1.5),
    lambda: heat.extra_equivalent_thickness_m(0.05, 0.2, 1.5),
    lambda: heat.extra_equivalent_thickness_m(0.05, 0.036, 6.0),
    lambda: heat.edge_insulation_psi_w_per_mk(0.0, 2.0, 1.5, 0.6, True),
    lambda: heat.edge_insulation_psi_w_per_mk(0.6, -0.1, 1.5, 0.6, True),
    lambda: heat.edge_insulation_psi_w_per_mk(0.6, 2.0, 1.5, 5.1, True),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.0, 0.3, 1.5, 2.0),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 31.0),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 2.0, height_above_ground_m=1.6),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 2.0, vent_m2_per_m=-0.1),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 2.0, wind_m_per_s=21.0),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 2.0, wind_shielding=0.3),
    lambda: heat.suspended_floor_u_by_ratio_w_per_m2k(0.5, 0.3, 1.5, 2.0, underfloor_wall_u_w_per_m2k=7.0),
    lambda: yearly_heat.heating_share(169.0),
    lambda: yearly_heat.heating_share(10.0, 1.1),
    lambda: yearly_heat.pattern_share("sometimes"),
    lambda: yearly_heat.kelvin_hours(-1.0),
    lambda: yearly_heat.kelvin_hours(2000.0, 1.1),
    lambda: yearly_heat.heat_cost(-1.0),
    lambda: yearly_heat.heat_cost(10.0, 0.2, 0.1),
    lambda: yearly_heat.thickness_for_target_m(0.02, 27.72, 21.6, 0.3, 1.5, 0.036),
    lambda: yearly_heat.long_term_stress_kpa("straw"),
    lambda: yearly_heat.long_term_stress_kpa("EPS", 20.0),
    lambda: yearly_heat.pressure_on_insulation_kpa(0.02, 1.0),
    lambda: yearly_heat.pressure_on_insulation_kpa(0.1, 51.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
