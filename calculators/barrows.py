"""Wheeling concrete: what a barrow takes, and how long one is on its way."""

from __future__ import annotations

from calculators.sources import READ, Sourced, common_practice

BARROW_M3 = common_practice(0.045, "m3", "Wet concrete in a first-timer's barrow.")
PAID_BARROW_M3 = Sourced(0.0566, "m3", "early-handbooks", "wheeling concrete", READ, "About 2 cubic feet of wet concrete, by a paid gang.")
WALK_M_PER_H = Sourced(3657.6, "m/h", "early-handbooks", "wheeling", READ, "200 ft a minute, by a paid gang.")
FIRST_TIME = common_practice(2.0, "", "People new to it take about twice as long as they expect.")
FILL_AND_TIP_H = common_practice(1.0 / 60.0, "h", "A barrow filled at the chute, tipped and turned.")
UPHILL_FACTOR = common_practice(5.0, "", "A barrow is slower by this many times the slope of its run.")
STEEPEST_RUN = common_practice(1.0 / 8.0, "gradient", "A full barrow on boards steeper than this runs away with whoever holds it.")
LONGEST_RUN_M = common_practice(60.0, "m", "Beyond this a pump or a powered barrow is the usual answer.")
FURTHEST_M = 500.0


def barrow_round_h(length_m: float, slope: float = 0.0, first_time: bool = True) -> float:
    """Time of one barrow there and back, filling and tipping included.

    length_m: of the run, 0 to 500 m; more than 60 m is not for barrows, and only priced.  slope: rise or fall over length, -0.125 to 0.125.
    first_time: yes takes twice as long.
    Returns hours, h.
    Raises ValueError outside those ranges.
    Source: walking 200 ft a minute by early handbooks; the rest common practice.

    >>> [round(60 * barrow_round_h(30.0, 0.0, new), 2) for new in (False, True)]
    [1.98, 3.97]
    """
    if not (0.0 <= length_m <= FURTHEST_M and abs(slope) <= STEEPEST_RUN.value + 1e-9):
        raise ValueError(f"a barrow run must be 0 to {FURTHEST_M:g} m and slope at most {STEEPEST_RUN.value:g}, up or down, not {length_m} m and {slope}")
    practised = 2.0 * length_m / WALK_M_PER_H.value * (1.0 + UPHILL_FACTOR.value * abs(slope)) + FILL_AND_TIP_H.value
    return practised * (FIRST_TIME.value if first_time else 1.0)
