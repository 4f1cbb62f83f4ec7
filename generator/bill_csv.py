"""The bills of all schemes as one table for a spreadsheet (RFC 4180)."""

from __future__ import annotations

import csv
import io

from calculators.compare import Comparison, SchemeResult

COLUMNS = (
    "scheme", "item", "net", "net_unit", "allowance_percent", "order", "order_unit", "rate", "rate_unit", "rate_from",
    "cash_low", "cash", "cash_high", "own_hours", "helper_hours",
)

FOR_SCALE_ONLY = "for scale only"

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def cell(value: str | float | None) -> str:
    """One cell: numbers stay numbers, and no text can be taken for a formula.

    >>> cell("=1+1"), cell(-3.0), cell(0.25), cell(None)
    ("'=1+1", '-3', '0.25', '')
    """
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_STARTS_A_FORMULA) else value
    # Minus nothing is nothing.
    return repr(float(value) + 0.0).removesuffix(".0")


def bill_csv(comparison: Comparison) -> str:
    """The bills as CSV text; amounts in the units named beside them, money in the scenario's currency.

    The contingency is a line of its own, so that the cash of a scheme adds up.
    A scheme outside the limits is marked and has no cash.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for result in comparison.schemes:
        for row in _rows(result):
            writer.writerow([cell(value) for value in row])
    return out.getvalue()


def _rows(result: SchemeResult):
    scheme = result.id if result.buildable else f"{result.id} ({FOR_SCALE_ONLY})"
    for line in result.priced.lines:
        cash = (line.cash_range.low, line.cash_range.likely, line.cash_range.high) if result.buildable else (None,) * 3
        yield (
            scheme, line.item, line.net, line.net_unit, line.allowance_percent, line.order, line.order_unit,
            line.rate, line.rate_unit, line.rate_from, *cash, line.own_hours, line.helper_hours,
        )
    if result.buildable:
        extra = result.priced.contingency
        yield (scheme, "Contingency", *(None,) * 8, extra.low, extra.likely, extra.high, 0.0, 0.0)
