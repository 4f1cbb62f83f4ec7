"""Bills: one quote moves its own lines and nothing else; orders are whole; four columns add up."""

import dataclasses

import pytest

from calculators.compare import compare
from calculators.pricing import BILL, Job, MissingRate, Spread, contingency_share
from calculators.schedule import BESIDE_THE_BILL, RATE_KEYS

# A plot with nearly everything on it, floors and low side fixed so that prices cannot choose.
BUSY = dict(
    gradient=0.1, falls_to_deg=190.0, plot=dict(soil="firm clay", shrinkage="low"),
    building=dict(heated=True, doors=("south", "north"), door_threshold="channel drain", ridge_height_m=2.4),
    raft=dict(floor_level_m=0.06, low_side="batter", accept_clay_movement=True),
    strip=dict(floor_level_m=0.03, accept_clay_movement=True),
    insulated=dict(floor_level_m=0.06, insulation="PIR", accept_clay_movement=True))


def with_rate(schedule, key, factor):
    rate = schedule.rates[key]
    changed = dataclasses.replace(rate, low=rate.low * factor, likely=rate.likely * factor, high=rate.high * factor)
    return dataclasses.replace(schedule, rates=schedule.rates | {key: changed})


@pytest.fixture(scope="module", params=("clay with a pump", "sand, barrowed, block walls"))
def busy(request, make_scenario):
    case = {key: dict(value) if isinstance(value, dict) else value for key, value in BUSY.items()}
    access = make_scenario().plot.access
    if request.param == "clay with a pump":
        case["plot"]["access"] = dataclasses.replace(access, pump=True)
    else:
        case["plot"] |= dict(soil="medium sand")
        case["building"] |= dict(walls="block", door_threshold="raised")
        case["insulated"] |= dict(insulation="EPS")
        case["strip"] |= dict(block_thickness_m=0.1)
    return make_scenario(**case)


@pytest.mark.parametrize("key", RATE_KEYS)
def test_doubling_a_quote_changes_only_its_lines_and_their_totals(busy, key):
    before = compare(busy)
    after = compare(dataclasses.replace(busy, schedule=with_rate(busy.schedule, key, 2.0)))
    for one, two in zip(before.schemes, after.schemes):
        assert one.works == two.works and one.quantities == two.quantities and one.earth == two.earth
        more = 0.0
        assert [line.key for line in one.priced.lines] == [line.key for line in two.priced.lines]
        for line, changed in zip(one.priced.lines, two.priced.lines):
            if line.rate_key == key:
                assert changed.cash == pytest.approx(2 * line.cash) and changed.order == line.order
                more += line.cash
            else:
                assert changed == line
        assert two.priced.cash.likely - one.priced.cash.likely == pytest.approx(1.1 * more, abs=1e-9)
        assert (two.priced.own_hours, two.priced.helper_hours) == (one.priced.own_hours, one.priced.helper_hours)
        for credit, changed in zip(one.credits, two.credits):
            assert changed.amount.likely == pytest.approx(credit.amount.likely * (2 if credit.rate_key == key else 1))
        if more == 0.0 and key not in ("labourer_hour", "tradesman_hour"):
            assert two.priced == one.priced


def test_every_rate_is_used_by_some_line(make_scenario):
    """No price of the bill is asked for in vain: each moves the cash, the hired cash or a credit of some plot."""
    used = set()
    for soil in ("medium sand", "firm clay"):
        for walls, block in (("timber frame", 0.14), ("block", 0.1), ("timber frame", 0.215)):
            for insulation in ("EPS", "XPS", "PIR"):
                for threshold in ("raised", "channel drain"):
                    case = dict(BUSY) | dict(gradient=0.16)
                    case["plot"] = dict(soil=soil, access=dataclasses.replace(make_scenario().plot.access, pump=True))
                    case["building"] = BUSY["building"] | dict(walls=walls, door_threshold=threshold)
                    case["strip"] = dict(block_thickness_m=block, **({} if threshold == "channel drain" else {"floor_level_m": 0.03}))
                    case["insulated"] = BUSY["insulated"] | dict(insulation=insulation)
                    for scheme in compare(make_scenario(**case)).schemes:
                        used |= {line.rate_key for line in scheme.priced.lines} | {credit.rate_key for credit in scheme.credits}
    slab = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    for scheme in compare(make_scenario(plot=dict(existing_slabs_m=((slab, 0.1),)))).schemes:
        used |= {line.rate_key for line in scheme.priced.lines}
    for scheme in compare(make_scenario(building=dict(doors=("south",), step_free="south"), raft=dict(floor_level_m=0.12))).schemes:
        used |= {line.rate_key for line in scheme.priced.lines}
    assert set(RATE_KEYS) - used - {"labourer_hour", "tradesman_hour"} == set(BESIDE_THE_BILL)


@pytest.mark.parametrize("key", ("labourer_hour", "tradesman_hour"))
def test_wages_are_in_hired_cash_alone(busy, key):
    dearer = compare(dataclasses.replace(busy, schedule=with_rate(busy.schedule, key, 2.0)))
    for one, two in zip(compare(busy).schemes, dearer.schemes):
        assert two.priced.cash == one.priced.cash
        assert two.priced.hired_cash.likely > one.priced.hired_cash.likely


def test_an_hour_of_nobodys_saying_is_half_a_labourers(busy):
    unsaid = dataclasses.replace(busy, hour_worth=None)
    assert compare(unsaid).decision.hour_worth == pytest.approx(0.5 * busy.schedule.rates["labourer_hour"].likely)
    free = compare(dataclasses.replace(busy, hour_worth=0.0))
    assert free.decision.hour_worth == 0.0
    for scheme in free.schemes:
        if scheme.buildable:
            assert scheme.with_hours == pytest.approx(scheme.like_for_like.likely)


def test_orders_are_whole_units_of_sale_and_enough(busy):
    for scheme in compare(busy).schemes:
        for line in scheme.priced.lines:
            if line.rate_key:
                rate = busy.schedule.rates[line.rate_key]
                steps = line.order / rate.step
                assert steps == pytest.approx(round(steps), abs=1e-6)
                wanted = line.net * (1 + line.allowance_percent / 100) / rate.sale_unit_in_si
                assert wanted - 1e-6 <= line.order < wanted + rate.step
                assert line.cash == pytest.approx(line.order * rate.likely)
                assert line.rate == rate.likely


def test_columns_add_up(busy):
    for scheme in compare(busy).schemes:
        priced = scheme.priced
        lines = sum(line.cash for line in priced.lines)
        # Contingency 10 % (common practice, no source).
        assert priced.contingency.likely == pytest.approx(0.10 * lines)
        assert priced.cash.likely == pytest.approx(1.10 * lines)
        assert priced.cash.low < priced.cash.likely < priced.cash.high
        assert priced.own_hours == pytest.approx(sum(line.own_hours for line in priced.lines))
        assert priced.helper_hours == pytest.approx(sum(line.helper_hours for line in priced.lines))
        assert priced.cash_before_rounding <= priced.cash.likely + 1e-9
        assert priced.hired_cash.likely > priced.cash.likely
        if scheme.buildable:
            assert scheme.like_for_like.likely == pytest.approx(priced.cash.likely + sum(credit.amount.likely for credit in scheme.credits))


def test_made_ground_has_more_contingency(compared):
    """15 % on made ground (common practice, no source); it is for scale only there."""
    for scheme in compared(plot=dict(soil="made ground")).schemes:
        assert not scheme.buildable and scheme.cash is None and scheme.like_for_like is None and scheme.hired_cash is None
        assert scheme.priced.contingency.likely == pytest.approx(0.15 * sum(line.cash for line in scheme.priced.lines))


def test_fine_units_of_sale_cost_what_is_wanted(make_scenario, make_schedule):
    """With a step of a millionth the order is the need: only whole sheets, whole rolls and part loads are then lost in rounding."""
    for scheme in compare(make_scenario(gradient=0.05, schedule=make_schedule(1e-6))).schemes:
        in_pieces = ("membrane", "fabric", "part load")
        priced = scheme.priced
        smooth = {rule.key: rule.smooth for rule in BILL if rule.smooth}
        assert set(smooth) == set(in_pieces)
        job = Job(scheme.quantities, scheme.works, make_scenario(gradient=0.05, schedule=make_schedule(1e-6)))
        lost = sum(line.cash - smooth[line.key](job) * line.rate for line in priced.lines if line.key in in_pieces)
        assert priced.cash.likely - priced.cash_before_rounding == pytest.approx(lost * (1.0 + contingency_share(job.scenario)), abs=0.01)


def test_a_cubic_yard_is_not_a_cubic_metre(make_scenario):
    """The same concrete at the same price told by the yard (0.764554857984 m3 exactly) costs the same but for rounding."""
    yard = 0.3048**3 * 27
    scenario = make_scenario(gradient=0.05)
    rate = scenario.schedule.rates["ready_mixed_concrete"]
    by_yard = dataclasses.replace(rate, low=rate.low * yard, likely=rate.likely * yard, high=rate.high * yard, sale_unit="yd3", sale_unit_in_si=yard)
    other = compare(dataclasses.replace(scenario, schedule=dataclasses.replace(scenario.schedule, rates=scenario.schedule.rates | {rate.key: by_yard})))
    for one, two in zip(compare(scenario).schemes, other.schemes):
        for line, there in zip(one.priced.lines, two.priced.lines):
            if line.rate_key == rate.key:
                assert there.order * yard == pytest.approx(line.order, abs=0.25)
                assert there.order == pytest.approx(round(there.order / 0.25) * 0.25)


@pytest.mark.parametrize("key", ("sub_base_stone", "labourer_hour", "tradesman_hour", "frame_wall", "floating_floor"))
def test_a_missing_rate_names_itself_and_the_scenario(make_scenario, key):
    scenario = make_scenario(building=dict(heated=True))
    scenario = dataclasses.replace(scenario, hour_worth=None)
    rates = {name: rate for name, rate in scenario.schedule.rates.items() if name != key}
    with pytest.raises(MissingRate) as caught:
        compare(dataclasses.replace(scenario, schedule=dataclasses.replace(scenario.schedule, rates=rates)))
    assert key in str(caught.value) and "invented-plot" in str(caught.value) and "invented" in str(caught.value)


def test_a_narrow_gate_takes_longer(make_scenario):
    def hours(gate):
        access = dataclasses.replace(make_scenario().plot.access, gate_width_m=gate)
        return compare(make_scenario(plot=dict(access=access))).scheme("strip-and-block").priced

    wide, narrow, hand = hours(3.0), hours(1.2), hours(0.7)
    assert wide.own_hours < narrow.own_hours < hand.own_hours
    assert "digger" in {line.key for line in narrow.lines} and "digger" not in {line.key for line in hand.lines}


def test_part_load_by_hand(make_scenario):
    """Lorries of 6 m3 charged below 4: 7.25 ordered leaves 1.25 in the last, 2.75 short.  Source: arithmetic."""
    from calculators.pricing import Job

    result = compare(make_scenario())
    job = Job(result.schemes[0].quantities | {"slab_concrete_m3": 7.25 / 1.05, "footing_concrete_m3": 0.0}, result.schemes[0].works, result.scenario)
    assert job.deliveries() == pytest.approx([7.25])
    assert job.short_of_full_m3() == pytest.approx(2.75)


def test_spread_arithmetic():
    assert Spread(1, 2, 3) + Spread(10, 20, 30) == Spread(11, 22, 33)
    assert Spread(1, 2, 3).times(2) == Spread(2, 4, 6)


def test_bill_keys_are_unique():
    assert len({line.key for line in BILL}) == len(BILL)
