"""How surely, and what would turn it, in sentences: of the verdict, of a page, of a terminal."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.compare import Comparison
from calculators.ranges import NINE_TENTHS, TENTH, Uncertain
from calculators.turning import HOUR_WORTH, SLOPE, TWICE, Switch
from generator import display
from generator.display import Shown, money, quantity, rate, same
from generator.odds import odds_words
from generator.phrases import in_sentence, joined, sentence

MOST_TURNS_SAID = 2
"""So many turning values stand in the verdict; all of them further down the page."""
MOST_TIMES = round(NINE_TENTHS - TENTH, 9)
"""The share of draws between the ends of a range."""


@dataclass(frozen=True)
class Turn:
    """One thing that would turn the order, in a sentence, with what was taken for it."""

    label: str
    words: Shown


def thing_words(thing: Uncertain) -> str:
    """What is uncertain, as it stands in a sentence."""
    name = in_sentence(thing.label.partition(",")[0])
    return f"the price of {name}" if thing.kind == "rate" else name


def value_words(thing: Uncertain, value: float, currency: str) -> Shown:
    """A value of something uncertain, in its own unit: a rate as money for each unit of sale, more or less of a length with its sign.

    Raises KeyError for a unit that cannot be shown.
    """
    if thing.kind == "rate":
        return rate(value, currency, thing.unit.partition("/")[2])
    shown = quantity(value, thing.unit)
    signed = thing.points.low < 0.0 < value
    return shown.with_words("+") if signed else shown


# What would turn it.


def turning(comparison: Comparison) -> tuple[Switch, ...]:
    """What turns the order inside its reach, as the calculators rank it."""
    return tuple(switch for switch in comparison.certainty.switches if switch.value is not None) if comparison.certainty else ()


def turn_of(comparison: Comparison, switch: Switch) -> Turn:
    """One switching value in a sentence."""
    currency = comparison.scenario.currency
    other = in_sentence(comparison.scheme(comparison.decision.order[1]).title)
    if switch.key == SLOPE:
        side = "steeper" if switch.above else "gentler"
        return Turn(switch.label, same(
            f"On ground {side} than about {display.gradient(switch.value)} the {other} comes first, or the cheapest is no longer within limits (yours: {display.gradient(switch.likely)})."))
    if switch.key == HOUR_WORTH:
        return Turn(switch.label, same(
            f"Counting your hours, the {other} comes first once an hour of yours is worth more than {money(switch.value, currency)} (taken: {money(switch.likely, currency)})."))
    thing = next(thing for thing in comparison.certainty.ranges.uncertain if thing.key == switch.key)
    at, taken = (value_words(thing, value, currency) for value in (switch.value, switch.likely))
    if not thing.unit:
        # A factor says of what: "times the allowances".
        at = at.with_words(after=thing.label.partition(",")[2])
    more = "more" if switch.above else "less"
    return Turn(switch.label, joined((
        at.with_words(f"If {thing_words(thing)} is {more} than "),
        taken.with_words("(taken: ", f"), the {other} comes first."))))


def turns_note(comparison: Comparison) -> str:
    certainty = comparison.certainty
    if len(comparison.decision.order) < 2:
        return "Nothing else is within limits, so no price turns the order."
    if certainty.rounding_decides:
        return ("On costs before rounding to whole loads, sheets and rolls the second scheme is the cheaper. The two are level on price: a part load decides, "
                "and there is nothing to turn.")
    prices = [switch for switch in certainty.switches if switch.key not in (SLOPE, HOUR_WORTH) and "/" in switch.unit]
    turned = sum(switch.value is not None for switch in prices)
    within = f"between half and {'twice' if TWICE == 2.0 else f'{TWICE:g} times'} what was taken"
    return f"No single price {within} turns the order." if not turned else f"No other single price {within} turns the order."


# The verdict.


def certainty_sentences(comparison: Comparison) -> tuple[Shown, ...]:
    """How surely, and what would turn it, for the verdict; empty where it was not worked out or nothing can be built."""
    certainty, order = comparison.certainty, comparison.decision.order
    if certainty is None or not order:
        return ()
    ranges, currency = certainty.ranges, comparison.scenario.currency
    if len(order) == 1:
        cash = ranges.scheme(order[0]).cash
        return (same(f"{sentence(odds_words(MOST_TIMES))} it lies between {money(cash.p10, currency)} and {money(cash.p90, currency)}."),)
    first, second = (in_sentence(comparison.scheme(scheme).title) for scheme in order[:2])
    gap = ranges.second_dearer
    found = [same(
        f"Over all that nobody knows exactly, the {first} is cheaper than the {second} {odds_words(ranges.first_stays_cheaper)}; "
        f"{odds_words(MOST_TIMES)} what lies between them is from {money(gap.p10, currency)} to {money(gap.p90, currency)}.")]
    if certainty.rounding_decides:
        return (*found, same("The two are level on price: how the last loads fall decides."))
    turns = [turn_of(comparison, switch).words for switch in turning(comparison)[:MOST_TURNS_SAID]]
    return (*found, *turns) if turns else (*found, same(turns_note(comparison)))
