"""What has to be asked of whom, on both sides of each figure, region by region."""

import pytest

from calculators import permissions as p


def _records(compared, scheme="thickened-raft", neighbours=None, sleeping=False, non_combustible=False, **changes):
    comparison = compared(**changes)
    found = p.permissions_of(comparison.site, comparison.scheme(scheme).works, neighbours, sleeping, non_combustible)
    return {record.what: record for record in found}


AREA, DIG = "Building regulations: floor area", "Digging beside a neighbour's foundations"


@pytest.mark.parametrize("region", ["england", "ireland", "us", "eurocode"])
def test_every_record_says_what_to_ask_of_whom(compared, region):
    frost = {"frost_depth_m": 0.3} if region == "us" else {}
    records = _records(compared, region=region, plot={"trees": "near", **frost})
    assert len(records) >= 4 and "Work near trees" in records
    for record in records.values():
        assert record.of_whom and record.sentence and record.mark
        assert record.verdict in (p.ASK, p.CLOSE, p.BELOW, p.NOT_WORKED_OUT)
        assert "safe" not in record.sentence.lower() and "compl" not in record.sentence.lower()
        assert (record.limit is None) or record.source


@pytest.mark.parametrize("size, boundary, verdict", [
    # Floor inside walls of 0.3 m; Building Regulations Schedule 2 class 6 (read): 15 and 30 m2, 1 m.
    ((5.6, 3.6), 0.9, p.CLOSE), ((5.6, 3.7), 0.9, p.ASK), ((5.6, 3.7), 1.0, p.BELOW), ((6.6, 5.6), 1.0, p.CLOSE), ((6.7, 5.6), 1.0, p.ASK), ((5.6, 3.0), 0.9, p.BELOW),
])
def test_floor_area_in_england(compared, size, boundary, verdict):
    assert _records(compared, size_m=size, plot={"boundary_m": {"south": boundary}})[AREA].verdict == verdict


def test_block_walls_and_sleeping_change_the_area(compared):
    near = {"size_m": (6.0, 4.0), "plot": {"boundary_m": {"south": 0.5}}}
    assert _records(compared, **near)[AREA].verdict == p.ASK
    assert _records(compared, **near, non_combustible=True)[AREA].verdict == p.BELOW
    asleep = _records(compared, size_m=(3.0, 3.0), sleeping=True)[AREA]
    assert asleep.verdict == p.ASK and asleep.limit is None


@pytest.mark.parametrize("size, verdict", [((5.0, 3.2), p.BELOW), ((5.0, 3.716), p.CLOSE), ((5.0, 3.717), p.ASK)])
def test_two_hundred_square_feet(compared, size, verdict):
    """IRC R105.2 (read): 200 square feet is 18.58 m2."""
    record = _records(compared, region="us", size_m=size, plot={"frost_depth_m": 0.3})["Building permit: floor area"]
    assert record.verdict == verdict and record.limit == pytest.approx(18.58, abs=0.001)


def test_height_goes_with_the_floor(compared):
    low = _records(compared, raft={"floor_level_m": 0.05}, plot={"boundary_m": {"south": 1.5}})["Planning: overall height"]
    high = _records(compared, raft={"floor_level_m": 0.15}, plot={"boundary_m": {"south": 1.5}})["Planning: overall height"]
    assert low.figure == pytest.approx(2.45) and low.limit == 2.5 and low.verdict == p.CLOSE
    assert high.figure == pytest.approx(2.55) and high.verdict == p.ASK


def test_height_is_not_worked_out_where_no_limit_is_held(compared):
    assert _records(compared, region="ireland")["Planning: overall height"].verdict == p.NOT_WORKED_OUT


@pytest.mark.parametrize("level, verdict", [(0.05, p.CLOSE), (0.15, p.CLOSE), (0.25, p.ASK)])
def test_eaves(compared, level, verdict):
    assert _records(compared, raft={"floor_level_m": level})["Planning: height of the eaves"].verdict == verdict


@pytest.mark.parametrize("level, verdict", [(0.2, p.BELOW), (0.29, p.CLOSE), (0.31, p.ASK)])
def test_raised_platform_at_a_door(compared, level, verdict):
    assert _records(compared, raft={"floor_level_m": level})["Planning: a landing or deck at a door"].verdict == verdict


@pytest.mark.parametrize("distance, depth, asked", [(2.9, None, True), (3.0, None, True), (3.1, None, False), (2.9, 2.0, False), (2.0, 0.2, True)])
def test_notice_beside_a_neighbour(compared, distance, depth, asked):
    record = _records(compared, neighbours=(p.Neighbour(distance, depth),))[DIG]
    assert record.verdict == (p.ASK if asked else p.BELOW) and record.figure == distance


@pytest.mark.parametrize("deeper, distance, rule", [(3.0, 3.5, 0.0), (3.6, 3.5, 6.0), (6.1, 6.0, 6.0), (6.1, 6.1, 0.0), (0.1, 3.0, 3.0), (0.0, 0.5, 0.0)])
def test_notice_by_both_distances(deeper, distance, rule):
    """Party Wall etc. Act 1996, section 6 (read): 3 m if deeper; 6 m on the line at 45 degrees."""
    assert p.notice_distance_m(0.6 + deeper, 0.6, distance) == rule


def test_boundaries_stand_in_for_neighbours_that_nobody_named(compared):
    assert _records(compared, plot={"boundary_m": {"south": 2.0}})[DIG].verdict == p.ASK
    assert _records(compared, plot={"boundary_m": {"south": 9.0}})[DIG].verdict == p.BELOW
    assert _records(compared)[DIG].figure is None
    assert _records(compared, region="ireland", plot={"boundary_m": {"south": 2.0}})[DIG].verdict == p.NOT_WORKED_OUT


def test_dig_depth_counts_from_the_highest_ground(compared):
    flat, sloping = compared(), compared(gradient=1 / 8)
    depth = lambda comparison: p.dig_depth_m(comparison.site, comparison.scheme("strip-and-block").works)
    assert depth(sloping) > depth(flat) > 0.3


@pytest.mark.parametrize("call", [
    lambda: p.exempt_area_limit(-1.0, False, False),
    lambda: p.notice_distance_m(-1.0, 0.0, 0.0),
    lambda: p.notice_distance_m(1.0, 0.0, -0.1),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
