"""What each scheme costs, how surely: a bar for each from low to high, and one for what lies between the best two."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.compare import Comparison
from calculators.ranges import NINE_TENTHS, TENTH, Range
from generator.display import money, number
from generator.drawings.money_axis import MoneyAxis
from generator.drawings.on_plan import wrapped
from generator.drawings.sheet import LINE_UNITS, TEXT_UNITS, Sheet, path_of, render, text_width
from generator.odds import odds_words
from generator.phrases import in_sentence, sentence
from generator.wording import prices_words

WIDTH_UNITS = 640.0
BAR_UNITS = 18.0
UNDER_BAR_UNITS = 26.0
"""Room for the figure of the middle."""
BETWEEN_UNITS = 14.0
BOLD_SHARE = 1.15
"""Bold words are at most so many times as wide as plain ones."""
NO_CERTAINTY = "How surely was not worked out here."


@dataclass(frozen=True)
class RangeRow:
    """One bar of the chart: what it is of, its range, money, and how often it wins, 0 to 1; `is_difference` for the best two's."""

    label: str
    cash: Range
    wins: float
    is_difference: bool


def ranges_chart_table(comparison: Comparison) -> tuple[RangeRow, ...]:
    """The numbers of the chart: each scheme that can be built, cheapest first, then the difference between the best two; empty where there is none."""
    if comparison.certainty is None:
        return ()
    ranges = comparison.certainty.ranges
    rows = [RangeRow(comparison.scheme(found.id).title, found.cash, found.cheapest, False) for found in map(ranges.scheme, comparison.decision.order)]
    if ranges.second_dearer is not None:
        first, second = _best_two(comparison)
        rows.append(RangeRow(f"How much more the {second} costs than the {first}", ranges.second_dearer, ranges.first_stays_cheaper, True))
    return tuple(rows)


def ranges_chart_svg(comparison: Comparison, units: str, id_prefix: str) -> str:
    """The ranges as markup: a figure with its finding as caption, or a sentence where there is nothing to draw.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    if comparison.certainty is None:
        return render("no-curve.html.j2", words=NO_CERTAINTY)
    if not comparison.decision.order:
        return render("no-curve.html.j2", words="No scheme is within limits on this plot, so there is no price whose range could be shown.")
    return render("curve.html.j2", sheet=ranges_chart_sheet(comparison, units, id_prefix), kind="ranges", note=_note(comparison))


def _best_two(comparison: Comparison) -> tuple[str, str]:
    """The two cheapest at likely values, as they stand in a sentence."""
    ranges = comparison.certainty.ranges
    return in_sentence(comparison.scheme(ranges.first).title), in_sentence(comparison.scheme(ranges.second).title)


def ranges_finding(comparison: Comparison) -> str:
    """What the ranges say, in a sentence.  Raises ValueError where nothing was drawn or nothing can be built."""
    rows, currency = ranges_chart_table(comparison), comparison.scenario.currency
    if not rows:
        raise ValueError("there are no ranges to speak of")
    ranges = comparison.certainty.ranges
    if ranges.second_dearer is None:
        low, high = money(rows[0].cash.p10, currency), money(rows[0].cash.p90, currency)
        within = odds_words(round(NINE_TENTHS - TENTH, 9))
        return f"Only the {in_sentence(rows[0].label)} is within limits: {within} it costs between {low} and {high} like for like."
    first, second = _best_two(comparison)
    middle, stays = ranges.second_dearer.p50, ranges.first_stays_cheaper
    if middle < 0.0:
        # What is cheapest at likely prices need not be so in most draws: high prices reach further than low ones.
        return (f"The {second} is cheaper than the {first} {odds_words(1.0 - stays)}, though not at likely prices; "
                f"as often by more than {money(-middle, currency)} as by less.")
    return f"The {first} is cheaper than the {second} {odds_words(stays)}; as often by more than {money(middle, currency)} as by less."


def _note(comparison: Comparison) -> str:
    return (f"Each bar runs from a figure that it is below {odds_words(TENTH)} to one that it is above {odds_words(TENTH)}; it is as often below the mark as above it. "
            f"{number(comparison.certainty.ranges.draws)} draws of what nobody knows exactly, around {prices_words(comparison)}, the same for every scheme.")


def ranges_chart_sheet(comparison: Comparison, units: str, id_prefix: str) -> Sheet:
    """The chart, placed but not yet written as markup.  Raises ValueError where there is nothing to draw."""
    currency = comparison.scenario.currency
    rows = ranges_chart_table(comparison)
    sheet = Sheet(id_prefix, ranges_finding(comparison))
    sheet.width = WIDTH_UNITS
    schemes = [row for row in rows if not row.is_difference]
    between = [row for row in rows if row.is_difference]
    sheet.write("sp-note", 2.0, TEXT_UNITS + 1.0, f"Like for like, {currency}")
    y = _draw_panel(sheet, schemes, [], TEXT_UNITS + 8.0, currency)
    if between:
        y = _draw_panel(sheet, between, [0.0], y + 34.0, currency)
        first, second = _best_two(comparison)
        foot = f"Above {money(0.0, currency)} the {first} is the cheaper, {odds_words(between[0].wins)}; below it the {second}."
        y += 5.0
        for words in wrapped(foot, WIDTH_UNITS - 4.0):
            y += LINE_UNITS
            sheet.write("sp-note", 2.0, y, words)
    sheet.height = y + 8.0
    sheet.description = _description(comparison, rows)
    return sheet


def _draw_panel(sheet: Sheet, rows: list[RangeRow], also: list[float], top: float, currency: str) -> float:
    """Bars over one axis of money, with other amounts on it `also`; returns where the figures of the axis stand."""
    room = max(text_width(money(amount, currency)) for row in rows for amount in (row.cash.p10, row.cash.p90)) + 14.0
    axis = MoneyAxis.over([amount for row in rows for amount in (row.cash.p10, row.cash.p90)] + also, room, WIDTH_UNITS - room)
    heads = [wrapped(_head(row, len(rows) == 1), (WIDTH_UNITS - 4.0) / BOLD_SHARE) for row in rows]
    bars, y = [], top
    for head in heads:
        y += LINE_UNITS * len(head) + 8.0
        bars.append(y)
        y += BAR_UNITS + UNDER_BAR_UNITS + BETWEEN_UNITS
    bottom = y - BETWEEN_UNITS + 2.0
    # Before the bars, so that they lie over its lines.
    axis.draw(sheet, bars[0] - 4.0, bottom, currency)
    for row, head, bar in zip(rows, heads, bars):
        for i, words in enumerate(reversed(head)):
            sheet.write("sp-label sp-curve-name", 2.0, bar - 8.0 - LINE_UNITS * i, words)
        _draw_bar(sheet, axis, row, bar, currency)
    return bottom + 18.0


def _head(row: RangeRow, alone: bool) -> str:
    """What stands above a bar: its name, and beside others how often it wins."""
    return row.label if alone else f"{row.label}: {_wins_words(row)}"


def _wins_words(row: RangeRow) -> str:
    return "never the cheapest" if row.wins == 0.0 else f"cheapest {odds_words(row.wins)}"


def _draw_bar(sheet: Sheet, axis: MoneyAxis, row: RangeRow, top: float, currency: str) -> None:
    low, middle, high = (axis.x(amount) for amount in (row.cash.p10, row.cash.p50, row.cash.p90))
    # A bar of no length would not be seen.
    high = max(high, low + 2.0)
    bottom = top + BAR_UNITS
    css = "sp-range-bar sp-range-between" if row.is_difference else "sp-range-bar"
    sheet.path(css, path_of([(low, top), (high, top), (high, bottom), (low, bottom)], closed=True))
    sheet.line("sp-range-middle", (middle, top - 4.0), (middle, bottom + 4.0))
    sheet.write("sp-figure", low - 6.0, top + BAR_UNITS / 2 + 5.0, money(row.cash.p10, currency), "end")
    sheet.write("sp-figure", high + 6.0, top + BAR_UNITS / 2 + 5.0, money(row.cash.p90, currency))
    sheet.write("sp-figure sp-curve-name", middle, bottom + 20.0, money(row.cash.p50, currency), "middle")


def _description(comparison: Comparison, rows: tuple[RangeRow, ...]) -> str:
    currency = comparison.scenario.currency
    sentences = [f"Bars of money like for like, over {number(comparison.certainty.ranges.draws)} draws.", ranges_finding(comparison)]
    for row in rows:
        low, middle, high = (money(amount, currency) for amount in (row.cash.p10, row.cash.p50, row.cash.p90))
        wins = "" if len(rows) == 1 else f" It is more than {money(0.0, currency)} {odds_words(row.wins)}." if row.is_difference else f" {sentence(_wins_words(row))}."
        sentences.append(f"{row.label}: {odds_words(TENTH)} below {low}, as often below {middle} as above, {odds_words(TENTH)} above {high}.{wins}")
    return " ".join(sentences)
