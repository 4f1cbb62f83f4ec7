"""The order list of a scheme: what is ordered from whom, for which day, and where it is put down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class OrderLine:
    """One thing to ask for.

    `key` is that of the bill's line; `ask_for` are the words to the supplier;
    `net` and `order` in the unit of sale (`unit`), `spare` = order less net;
    `spare_goes` says where what is left over goes.
    """

    key: str
    what: str
    ask_for: str
    net: float
    order: float
    unit: str
    spare: float
    spare_goes: str


@dataclass(frozen=True)
class Delivery:
    """What one supplier brings, or takes away, on one day.

    `order_by` is the last day to order it without making the end later;
    `arrives` the day on which it is wanted.  `loads` is how many lorries,
    `load_words` how they divide.  `put_down` says where it can be tipped or
    stacked on this plot, `for_task` names the task of the programme it is for.
    """

    supplier: str
    for_task: str
    order_by: date
    arrives: date
    lead_days: float
    loads: int
    load_words: str
    put_down: str
    lines: tuple[OrderLine, ...]
