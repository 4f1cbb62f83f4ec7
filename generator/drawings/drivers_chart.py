"""What moves the difference between the two cheapest schemes most: a bar for each thing that nobody knows exactly."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.compare import Comparison
from calculators.ranges import TENTH
from calculators.turning import Driver
from generator.display import MINUS, Shown, money
from generator.drawings.money_axis import MoneyAxis
from generator.drawings.on_plan import wrapped
from generator.drawings.ranges_chart import NO_CERTAINTY
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, render, text_width
from generator.odds import odds_words
from generator.phrases import in_sentence, sentence
from generator.problems import listed
from generator.uncertain_words import thing_words, value_words
from generator.wording import prices_words

WIDTH_UNITS = 640.0
MOST_BARS = 8
MOST_NAMED = 2
"""So many things that turn the order are named, more are counted."""
BAR_UNITS = 16.0
ROW_UNITS = 46.0


@dataclass(frozen=True)
class DriverRow:
    """One thing that moves the difference: its low and high value in words, what the second scheme then costs more, money, and whether either turns the order."""

    label: str
    low: Shown
    high: Shown
    at_low: float
    at_high: float
    turns: bool


def likely_difference(comparison: Comparison) -> float:
    """Money by which the second scheme costs more than the first at likely prices, before rounding to units of sale.  Raises ValueError with fewer than two."""
    gap = None if comparison.certainty is None else comparison.certainty.gap_before_rounding
    if gap is None:
        raise ValueError("there is no difference with fewer than two schemes, or where nothing was drawn")
    return gap


def drivers_chart_table(comparison: Comparison) -> tuple[DriverRow, ...]:
    """The numbers of the chart, the greatest swing first; all of them, of which the chart draws the first eight."""
    if comparison.certainty is None or not comparison.certainty.drivers:
        return ()
    base, currency = likely_difference(comparison), comparison.scenario.currency
    return tuple(
        DriverRow(driver.thing.label, value_words(driver.thing, driver.low, currency), value_words(driver.thing, driver.high, currency),
                  driver.difference_at_low, driver.difference_at_high, _turns(driver, base))
        for driver in comparison.certainty.drivers)


def _turns(driver: Driver, base: float) -> bool:
    """Whether the order turns at the low or the high value of something."""
    return any((amount > 0.0) != (base > 0.0) for amount in (driver.difference_at_low, driver.difference_at_high))


def _as_sold(shown: Shown, kind: str, units: str) -> str:
    """Words short enough for the end of a bar: a rate without its conversion to the other unit system."""
    return min(shown.metric, shown.imperial, key=len) if kind == "rate" else shown.of(units)


def drivers_chart_svg(comparison: Comparison, units: str, id_prefix: str) -> str:
    """What moves the difference most as markup: a figure with its finding as caption, or a sentence where nothing does.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    if comparison.certainty is None:
        return render("no-curve.html.j2", words=NO_CERTAINTY)
    if not comparison.certainty.drivers:
        return render("no-curve.html.j2", words=_why_none(comparison))
    return render("curve.html.j2", sheet=drivers_chart_sheet(comparison, units, id_prefix), kind="drivers", note=_note(comparison))


def _why_none(comparison: Comparison) -> str:
    order = comparison.decision.order
    if not order:
        return "No scheme is within limits on this plot, so there is no order to turn."
    if len(order) == 1:
        return f"Only the {in_sentence(comparison.scheme(order[0]).title)} is within limits, so there is no order to turn."
    return "Nothing that is uncertain moves the difference between the two cheapest."


def _names(comparison: Comparison) -> tuple[str, str]:
    first, second = (in_sentence(comparison.scheme(scheme_id).title) for scheme_id in comparison.decision.order[:2])
    return first, second


def drivers_finding(comparison: Comparison) -> str:
    """What moves the difference most, and what can turn the order, in a sentence.  Raises ValueError where nothing moves it."""
    drivers = comparison.certainty.drivers if comparison.certainty else ()
    if not drivers:
        raise ValueError("nothing moves the difference")
    base = likely_difference(comparison)
    most = sentence(f"{thing_words(drivers[0].thing)} moves the difference most")
    if base <= 0.0:
        return f"{most}. Before rounding to whole loads, sheets and rolls the order is the other way round."
    turning = [thing_words(driver.thing) for driver in drivers if _turns(driver, base)]
    if not turning:
        margin = comparison.decision.margin
        # What rounding adds to each scheme may leave less between them than one thing moves.
        if any(amount - base + margin <= 0.0 for driver in drivers for amount in (driver.difference_at_low, driver.difference_at_high)):
            return f"{most}; before rounding nothing in its usual range turns the order, but as ordered only {money(margin, comparison.scenario.currency)} lies between the two."
        return f"{most}; nothing in its usual range turns the order."
    top = _turns(drivers[0], base)
    others = turning[1:] if top else turning
    named = listed(others, "and") if len(others) <= MOST_NAMED else f"{len(others)} other things"
    if top:
        return f"{most}, and can turn the order by itself{f'; so can {named}' if others else ''}."
    return f"{most}; the order can be turned by {named}."


def _note(comparison: Comparison) -> str:
    currency = comparison.scenario.currency
    return (f"Each bar moves one thing alone, from a value that it is below {odds_words(TENTH)} to one that it is above {odds_words(TENTH)}, at {prices_words(comparison)}. "
            f"Counted before rounding to whole loads, sheets and rolls; as ordered the difference is {money(comparison.decision.margin, currency)}.")


def _axis(base: float, drawn: tuple[Driver, ...], room: float) -> tuple[MoneyAxis, bool]:
    """The axis, and whether £0 is on it: it is as long as it is not far off."""
    amounts = [base] + [amount for driver in drawn for amount in (driver.difference_at_low, driver.difference_at_high)]
    low, high = min(amounts), max(amounts)
    near = low - (high - low) <= 0.0 <= high + (high - low)
    return MoneyAxis.over(amounts + ([0.0] if near else []), room, WIDTH_UNITS - room), near


def drivers_chart_sheet(comparison: Comparison, units: str, id_prefix: str) -> Sheet:
    """The chart, placed but not yet written as markup.  Raises ValueError where nothing moves the difference."""
    currency, base = comparison.scenario.currency, likely_difference(comparison)
    sheet = Sheet(id_prefix, drivers_finding(comparison))
    sheet.width = WIDTH_UNITS
    drawn = comparison.certainty.drivers[:MOST_BARS]
    values = [tuple(_as_sold(value_words(driver.thing, value, currency), driver.thing.kind, units) for value in (driver.low, driver.high)) for driver in drawn]
    room = max(text_width(words) for pair in values for words in pair) + 12.0
    axis, nought = _axis(base, drawn, room)
    first, second = _names(comparison)
    y = 0.0
    for words in wrapped(f"How much more the {second} costs than the {first}, {currency}", WIDTH_UNITS - 4.0):
        y += LINE_UNITS
        sheet.write("sp-note", 2.0, y, words)
    lines = [(base, f"at likely prices {money(base, currency)}", "sp-curve-chosen")]
    if nought:
        lines.append((0.0, f"the order turns at {money(0.0, currency)}", "sp-driver-turn"))
    top = y + LINE_UNITS * len(lines) + 8.0
    bottom = top + ROW_UNITS * len(drawn) + 6.0
    axis.draw(sheet, top, bottom, currency)
    for i, (amount, words, css) in enumerate(lines):
        at = y + LINE_UNITS * (i + 1) + 4.0
        x, half = axis.x(amount), text_width(words) / 2
        sheet.line(css, (x, at + 4.0), (x, bottom))
        sheet.write("sp-label", min(max(x, half + 2.0), WIDTH_UNITS - half - 2.0), at, words, "middle")
    for i, (driver, pair) in enumerate(zip(drawn, values)):
        _draw_driver(sheet, axis, base, driver, pair, top + ROW_UNITS * i)
    y = bottom + 42.0
    for css, words in (("sp-driver-low", "towards its low value"), ("sp-driver-high", "towards its high value")):
        sheet.path(css, path_of([(2.0, y - 13.0), (30.0, y - 13.0), (30.0, y + 3.0), (2.0, y + 3.0)], closed=True))
        sheet.write("sp-note", 38.0, y, words)
        y += LINE_UNITS + 5.0
    sheet.height = y - 12.0
    sheet.description = _description(comparison, drawn, units)
    return sheet


def _draw_driver(sheet: Sheet, axis: MoneyAxis, base: float, driver: Driver, values: tuple[str, str], top: float) -> None:
    """A thing's name, and its bar both ways from the likely difference with its values at the ends."""
    sheet.write("sp-label", 2.0, top + LINE_UNITS, driver.thing.label)
    bar, middle = top + LINE_UNITS + 6.0, axis.x(base)
    ends = [("sp-driver-low", axis.x(driver.difference_at_low), values[0]), ("sp-driver-high", axis.x(driver.difference_at_high), values[1])]
    # The longer first: where both lie on one side, the shorter is seen over it.
    for css, x, _ in sorted(ends, key=lambda end: -abs(end[1] - middle)):
        sheet.path(css, path_of([(middle, bar), (x, bar), (x, bar + BAR_UNITS), (middle, bar + BAR_UNITS)], closed=True))
    (_, left, left_words), (_, right, right_words) = sorted(ends, key=lambda end: end[1])
    sheet.write("sp-figure", min(left, middle) - 6.0, bar + 13.0, left_words, "end")
    sheet.write("sp-figure", max(right, middle) + 6.0, bar + 13.0, right_words)


def _description(comparison: Comparison, drawn: tuple[Driver, ...], units: str) -> str:
    currency, base = comparison.scenario.currency, likely_difference(comparison)
    first, second = _names(comparison)
    sentences = [
        f"Bars of what the {second} costs more than the {first}, before rounding to units of sale; {MINUS} where it costs less. At likely prices that is {money(base, currency)}.",
        drivers_finding(comparison),
    ]
    for driver in drawn:
        low, high = (value_words(driver.thing, value, currency).of(units) for value in (driver.low, driver.high))
        sentences.append(f"{driver.thing.label}: at {low} {money(driver.difference_at_low, currency)}, at {high} {money(driver.difference_at_high, currency)}.")
    return " ".join(sentences)
