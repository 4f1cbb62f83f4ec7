"""How concrete hardens, and when it may be stripped, walked on, built on, driven on and covered.

Concrete that is cold hardens slowly.  Two published rules turn days at a
temperature into days at 20 degrees: that of Nurse and Saul, a straight line,
and that of Arrhenius, a curve.  They differ, and neither has seen your mix,
so a wait is given by both.  No rule here holds for concrete that has frozen.
Temperatures are those of the concrete, in degrees C: a thin slab follows the air.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators.concrete_section import HARDENING_BY_CEMENT, strength_share_at_age
from calculators.draws import ThreePoint
from calculators.sources import MEMORY, QUOTED, READ, Sourced, common_practice

Spell = tuple[float, float]

REFERENCE_C = 20.0
COLDEST_C, HOTTEST_C = -30.0, 80.0
LONGEST_DAYS = 36500.0

DATUM_C = Sourced(-11.0, "degree C", "maturity-exercise", "datum of the rule", READ, "Below this concrete is taken not to harden at all. Other texts take -10 or 0 degrees.")
ARRHENIUS_K = Sourced(4000.0, "K", "en-1992-1-1", "Annex B, B.1(3), (B.10)", QUOTED, "Activation energy over the gas constant.")
ARRHENIUS_OFFSET = Sourced(13.65, "", "en-1992-1-1", "Annex B, B.1(3), (B.10)", QUOTED, "What makes the rate 1 at 20 degrees, nearly: it comes to 0.998.")
ZERO_C_IN_K = 273.0
MM_IN_A_M = 1000.0

MEAN_OVER_CHARACTERISTIC_MPA = Sourced(8.0, "MPa", "en-1992-1-1", "Table 3.1", MEMORY, "Mean strength at 28 days over the strength that 95 in 100 reach.")
FROST_MPA = Sourced(5.0, "MPa", "en-13670", "curing and protection", MEMORY, "Before it has this strength concrete must not freeze.")

RULES = ("Nurse and Saul", "Arrhenius")


@dataclass(frozen=True)
class Stage:
    """Something that is done on concrete: the mean strength (MPa) and the age at 20 degrees (days) that it waits for."""

    words: str
    strength_mpa: Sourced
    age_days: Sourced


STAGES: dict[str, Stage] = {
    "strike": Stage("take off the side forms",
                    common_practice(5.0, "MPa", "So that edges do not break off with the boards."),
                    common_practice(1.0, "day", "At 20 degrees. Forms under a slab stay far longer; that is for a designer.")),
    "walk": Stage("walk on it",
                  common_practice(5.0, "MPa", "A careful foot, and no tools dropped."),
                  common_practice(1.0, "day", "At 20 degrees.")),
    "build": Stage("build walls on it",
                   common_practice(15.0, "MPa", "Walls go up slowly and load it little by little."),
                   common_practice(3.0, "day", "At 20 degrees. Stacks of blocks stand spread out, not in one pile.")),
    "drive": Stage("drive a car on it",
                   common_practice(20.0, "MPa", "A car, not a lorry."),
                   common_practice(7.0, "day", "At 20 degrees.")),
}

# (surface at or above, degrees C): days by how the concrete hardens; class 3 asks for half the strength, class 2 for about a third.
CURING_DAYS: dict[int, tuple[tuple[float, dict[str, Sourced]], ...]] = {
    curing_class: tuple(
        (from_c, {pace: Sourced(days, "day", "en-13670", f"Annex F, curing class {curing_class}, from {from_c:g} degrees", MEMORY)
                  for pace, days in zip(("rapid", "normal", "slow"), row)})
        for from_c, row in rows)
    for curing_class, rows in {
        2: ((25.0, (1.0, 1.5, 2.5)), (15.0, (1.0, 2.5, 5.0)), (10.0, (1.5, 4.0, 8.0)), (5.0, (2.0, 5.0, 11.0))),
        3: ((25.0, (1.5, 2.5, 3.5)), (15.0, (2.0, 4.0, 7.0)), (10.0, (2.5, 7.0, 12.0)), (5.0, (3.5, 9.0, 18.0))),
    }.items()
}

DRYING_DAYS_PER_MM = Sourced(1.0, "day", "bs-8203-guidance", "days for each mm", READ, "In good drying conditions, to the thickness of the break.")
DRYING_BREAK_M = Sourced(0.050, "m", "bs-8203-guidance", "thickness at which drying slows", READ, "Sources disagree where the break lies and how much slower drying is past it.")
DRYING_SLOWER = common_practice(2.0, "", "Past the break each mm takes at least so many times as long.")
DRYING_SLOW_END = common_practice(2.0, "", "A cool, damp building, a dense trowelled face or rain after the roof: so many times the likely time.")
DRY_AT_HUMIDITY = Sourced(0.75, "", "bs-8203-guidance", "relative humidity under a sealed box on the floor", READ)


# Days at a temperature into days at 20 degrees.


def nurse_saul_maturity(spells: Sequence[Spell], datum_c: float = DATUM_C.value) -> float:
    """Maturity: degrees over the datum, times days, added up.

    spells: (days, temperature in degrees C) each, days 0 or more, -30 to 80 degrees.
    datum_c: degrees C, -20 to 5; time at or under it adds nothing.
    Returns degree days (degrees C times days).
    Raises ValueError outside those ranges.
    Source: R. W. Nurse (1949) and A. G. Saul (1951), the datum as in the exercise that is a row of the evidence.

    >>> nurse_saul_maturity([(28.0, 15.0)])
    728.0
    """
    if not -20.0 <= datum_c <= 5.0:
        raise ValueError(f"a datum of maturity must be -20 to 5 degrees C, not {datum_c}")
    return math.fsum(days * max(concrete_c - datum_c, 0.0) for days, concrete_c in _spells(spells))


def nurse_saul_age_days(spells: Sequence[Spell], datum_c: float = DATUM_C.value) -> float:
    """Days at 20 degrees that bring the same maturity, by the straight line of Nurse and Saul.

    spells, datum_c: (days, degrees C) and degrees C, as in `nurse_saul_maturity`.
    Returns days.
    Raises ValueError as that does.
    Source: Nurse (1949) and Saul (1951): maturity over that of one day at 20 degrees.

    >>> round(nurse_saul_age_days([(28.0, 15.0)]), 2), nurse_saul_age_days([(7.0, 20.0)])
    (23.48, 7.0)
    """
    return nurse_saul_maturity(spells, datum_c) / nurse_saul_maturity([(1.0, REFERENCE_C)], datum_c)


def arrhenius_age_days(spells: Sequence[Spell]) -> float:
    """Days at 20 degrees that harden concrete as far, by the curve of Arrhenius.

    spells: (days, temperature in degrees C) each, days 0 or more, 0 to 80 degrees.
    Returns days.
    Raises ValueError outside those ranges.
    Source: EN 1992-1-1 (2004), Annex B, (B.10), as quoted: each day counts exp(13.65 - 4000 / (273 + T)).

    >>> round(arrhenius_age_days([(1.0, 20.0)]), 4), round(arrhenius_age_days([(1.0, 5.0)]), 3)
    (0.9981, 0.478)
    """
    for _, concrete_c in _spells(spells):
        if concrete_c < 0.0:
            raise ValueError(f"the rule of Arrhenius holds from 0 to {HOTTEST_C:g} degrees C, not at {concrete_c}")
    return math.fsum(days * math.exp(ARRHENIUS_OFFSET.value - ARRHENIUS_K.value / (ZERO_C_IN_K + concrete_c)) for days, concrete_c in spells)


def equivalent_age_days(spells: Sequence[Spell], rule: str) -> float:
    """Days at 20 degrees that harden concrete as far, by either rule.

    spells: (days, temperature in degrees C) each.  rule: one of `RULES` (words).
    Returns days.
    Raises ValueError as the rules do, or for another rule.
    Source: as in `nurse_saul_age_days` and `arrhenius_age_days`.

    >>> [round(equivalent_age_days([(10.0, 5.0)], rule), 2) for rule in RULES]
    [5.16, 4.78]
    """
    if rule not in RULES:
        raise ValueError(f"a rule of maturity is {' or '.join(RULES)}, not {rule!r}")
    return nurse_saul_age_days(spells) if rule == RULES[0] else arrhenius_age_days(spells)


# Strength.


def mean_strength_mpa(fck_mpa: float) -> float:
    """Mean strength of a concrete at 28 days at 20 degrees.

    fck_mpa: cylinder strength that 95 in 100 reach, MPa, 8 to 50.
    Returns MPa.
    Raises ValueError outside that range.
    Source: EN 1992-1-1 (2004), Table 3.1, from memory: fck + 8.

    >>> mean_strength_mpa(25.0)
    33.0
    """
    if not 8.0 <= fck_mpa <= 50.0:
        raise ValueError(f"a concrete's strength must be 8 to 50 MPa here, not {fck_mpa} MPa")
    return fck_mpa + MEAN_OVER_CHARACTERISTIC_MPA.value


def strength_mpa(fck_mpa: float, spells: Sequence[Spell], cement: str = "normal", rule: str = RULES[1]) -> float:
    """Mean strength after so many days at given temperatures.

    fck_mpa: MPa, 8 to 50.  spells: (days, temperature in degrees C) each.
    cement: rapid, normal or slow hardening (words).  rule: one of `RULES` (words).
    Returns MPa; 0 for concrete that has not hardened at all.
    Raises ValueError outside those ranges and as the rule does.
    Source: EN 1992-1-1 (2004), 3.1.2(6), at the age that `equivalent_age_days` gives.  The document means it from
    3 days; before that it is a guess.

    >>> round(strength_mpa(25.0, [(3.0, 20.0)]), 1), round(strength_mpa(25.0, [(3.0, 5.0)]), 1)
    (19.7, 14.0)
    """
    mean_mpa, age_days = mean_strength_mpa(fck_mpa), equivalent_age_days(spells, rule)
    # So young that the square root would swamp the exponential: no strength to speak of.
    return 0.0 if age_days < 1e-6 else mean_mpa * strength_share_at_age(age_days, cement)


def age_at_share_days(share: float, cement: str = "normal") -> float:
    """Age at 20 degrees at which concrete has a share of its mean strength at 28 days.

    share: above 0 and below exp(s), which concrete never reaches: 1.22 rapid, 1.28 normal, 1.46 slow.
    cement: rapid, normal or slow hardening (words).
    Returns days.
    Raises ValueError outside that range, or for another cement.
    Source: EN 1992-1-1 (2004), 3.1.2(6), turned round: 28 / (1 - ln(share) / s)^2.

    >>> age_at_share_days(1.0), round(age_at_share_days(0.5), 2)
    (28.0, 1.97)
    """
    if cement not in HARDENING_BY_CEMENT:
        raise ValueError(f"cement is {', '.join(HARDENING_BY_CEMENT)}, not {cement!r}")
    hardening = HARDENING_BY_CEMENT[cement].value
    if not 0.0 < share < math.exp(hardening):
        raise ValueError(f"concrete of this cement reaches above 0 and below {math.exp(hardening):.3g} of its strength at 28 days, not {share}")
    return 28.0 / (1.0 - math.log(share) / hardening) ** 2


# Waits.


def days_at(age_days: float, concrete_c: float) -> tuple[float, float]:
    """Days at a steady temperature that harden concrete as far as an age at 20 degrees.

    age_days: at 20 degrees, days, 0 or more.  concrete_c: degrees C, 0 to 80.
    Returns the shorter and the longer of what the two rules give, days.
    Raises ValueError outside those ranges.
    Source: as in `equivalent_age_days`.

    >>> [round(days, 2) for days in days_at(7.0, 5.0)]
    [13.56, 14.65]
    """
    if not 0.0 <= age_days <= LONGEST_DAYS:
        raise ValueError(f"an age must be 0 to {LONGEST_DAYS:g} days, not {age_days}")
    if not 0.0 <= concrete_c <= HOTTEST_C:
        raise ValueError(f"concrete hardens by these rules from 0 to {HOTTEST_C:g} degrees C, not at {concrete_c}: keep it warm")
    shorter, longer = sorted(age_days / equivalent_age_days([(1.0, concrete_c)], rule) for rule in RULES)
    return shorter, longer


def strength_wait_days(wanted_mpa: float, fck_mpa: float, concrete_c: float, cement: str = "normal") -> tuple[float, float]:
    """Days at a steady temperature until the mean strength is a wanted one.

    wanted_mpa: MPa, above 0.  fck_mpa: MPa, 8 to 50.  concrete_c: degrees C, 0 to 80.
    cement: rapid, normal or slow hardening (words).
    Returns the shorter and the longer of what the two rules give, days.
    Raises ValueError outside those ranges, or for a strength that the concrete never has.
    Source: EN 1992-1-1 (2004), 3.1.2(6), and the rules of `equivalent_age_days`.

    >>> [round(days, 1) for days in strength_wait_days(20.0, 25.0, 10.0)]
    [4.6, 5.0]
    """
    return days_at(age_at_share_days(wanted_mpa / mean_strength_mpa(fck_mpa), cement), concrete_c)


def stage_wait_days(stage: str, fck_mpa: float, concrete_c: float, cement: str = "normal") -> tuple[float, float]:
    """Days from pouring until the side forms come off, or people, walls or a car go on.

    stage: strike, walk, build or drive (words).  fck_mpa: MPa, 8 to 50.  concrete_c: degrees C, 0 to 80.
    cement: rapid, normal or slow hardening (words).
    Returns the shorter and the longer of what the two rules of maturity give, days: plan with the longer.
    Raises ValueError outside those ranges, for another stage, or for a strength that the concrete never has.
    Source: common practice, no source, for strengths and ages of `STAGES`, whichever comes later;
    EN 1992-1-1 (2004), 3.1.2(6), and the rules of `equivalent_age_days` for the time.

    >>> [round(days, 1) for days in stage_wait_days("build", 25.0, 20.0)]
    [3.0, 3.0]
    >>> [round(days, 1) for days in stage_wait_days("build", 25.0, 5.0)]
    [5.8, 6.3]
    """
    if stage not in STAGES:
        raise ValueError(f"a stage is {', '.join(STAGES)}, not {stage!r}")
    wanted = STAGES[stage]
    by_strength = age_at_share_days(wanted.strength_mpa.value / mean_strength_mpa(fck_mpa), cement)
    return days_at(max(by_strength, wanted.age_days.value), concrete_c)


def frost_wait_days(fck_mpa: float, concrete_c: float, cement: str = "normal") -> tuple[float, float]:
    """Days for which fresh concrete must be kept from freezing.

    fck_mpa: MPa, 8 to 50.  concrete_c: its temperature under the covers, degrees C, 0 to 80.
    cement: rapid, normal or slow hardening (words).
    Returns the shorter and the longer of what the two rules of maturity give, days, and never less than 1:
    so young, the formula is only a guess.
    Raises ValueError outside those ranges.
    Source: EN 13670, from memory: 5 MPa; the day is common practice, no source.

    >>> [round(days, 2) for days in frost_wait_days(16.0, 5.0, "slow")]
    [2.06, 2.23]
    """
    shorter, longer = strength_wait_days(FROST_MPA.value, fck_mpa, concrete_c, cement)
    return max(shorter, 1.0), max(longer, 1.0)


def curing_rule(surface_c: float, cement: str = "normal", curing_class: int = 3) -> Sourced:
    """How long concrete is kept wet or covered, with its source.

    surface_c: temperature of its face, degrees C, 5 to 80.  cement: rapid, normal or slow hardening (words).
    curing_class: 2, to about a third of its strength, or 3, to half, as a floor wants (no unit).
    Returns a Sourced number of days.
    Raises ValueError outside those ranges: time below 5 degrees does not count.
    Source: EN 13670, Annex F, from memory.

    >>> curing_rule(12.0).value, curing_rule(20.0, "slow").value
    (7.0, 7.0)
    """
    if curing_class not in CURING_DAYS:
        raise ValueError(f"a curing class is held for {' and '.join(map(str, CURING_DAYS))}, not {curing_class}")
    if cement not in HARDENING_BY_CEMENT:
        raise ValueError(f"cement is {', '.join(HARDENING_BY_CEMENT)}, not {cement!r}")
    rows = CURING_DAYS[curing_class]
    if not rows[-1][0] <= surface_c <= HOTTEST_C:
        raise ValueError(f"curing is counted from {rows[-1][0]:g} to {HOTTEST_C:g} degrees C, not at {surface_c}: keep the concrete warm")
    return next(days[cement] for from_c, days in rows if surface_c >= from_c)


# Drying.


def least_drying_days(thickness_m: float) -> float:
    """Days that drying from one face takes in good conditions: dry air that moves, and some warmth.

    thickness_m: m, 0.02 to 0.4.
    Returns days.
    Raises ValueError outside that range.
    Source: trade guidance on BS 8203, as read: a day for each mm to 50 mm, slower after; how much slower is common
    practice, no source.

    >>> [round(least_drying_days(t)) for t in (0.05, 0.1)]
    [50, 150]
    """
    if not 0.02 <= thickness_m <= 0.4:
        raise ValueError(f"a slab or screed that dries must be 0.02 to 0.4 m thick, not {thickness_m} m")
    break_m = DRYING_BREAK_M.value
    return MM_IN_A_M * DRYING_DAYS_PER_MM.value * (min(thickness_m, break_m) + DRYING_SLOWER.value * max(thickness_m - break_m, 0.0))


def drying_days(thickness_m: float, faces: int = 1) -> ThreePoint:
    """Days from a roof over it, and the end of curing, until a slab is dry enough to cover.

    thickness_m: m, 0.02 to 0.4, twice that with two faces.  faces: 1 where a membrane lies under it, 2 where both faces are open to dry air.
    Returns a ThreePoint of days: good conditions, likely, slow.  Only a test of the floor itself tells.
    Raises ValueError outside those ranges.
    Source: trade guidance on BS 8203, as read: a day for each mm to 50 mm, slower after, a slab of 150 mm often over a
    year.  Low: `least_drying_days`.  Likely: past 50 mm as the square of the thickness, as drying
    by diffusion goes.  High: twice the likely.  Those three are common practice, no source.

    >>> dry = drying_days(0.15)
    >>> round(dry.low), round(dry.likely), round(dry.high)
    (250, 450, 900)
    """
    if faces not in (1, 2):
        raise ValueError(f"a slab dries from 1 or 2 faces, not {faces}")
    depth_m, break_m = thickness_m / faces, DRYING_BREAK_M.value
    low = least_drying_days(depth_m)
    likely = low if depth_m <= break_m else least_drying_days(break_m) * (depth_m / break_m) ** 2
    return ThreePoint(low, likely, DRYING_SLOW_END.value * likely)


def _spells(spells: Sequence[Spell]) -> Sequence[Spell]:
    for days, concrete_c in spells:
        if not 0.0 <= days <= LONGEST_DAYS:
            raise ValueError(f"a spell must last 0 to {LONGEST_DAYS:g} days, not {days}")
        if not COLDEST_C <= concrete_c <= HOTTEST_C:
            raise ValueError(f"concrete's temperature must be {COLDEST_C:g} to {HOTTEST_C:g} degrees C, not {concrete_c}")
    return spells
