"""A comparison as one screen of a terminal: verdict first, then the schemes side by side."""

from __future__ import annotations

import textwrap

from calculators.compare import Comparison, SchemeResult
from generator.check_words import counted, put_right, reasons_in_short
from generator.display import hours, in_ascii, level, money, money_range, quantity, u_value, volume
from generator.wording import ground_words, level_reason, prices_note, questions_words, verdict

WIDTH = 98
LABEL_WIDTH = 22
NO_PRICE = "no price"

LAST_WORDS = "It informs and does not design: local codes, building control and a licensed engineer decide."


def text_table(comparison: Comparison, ascii_only: bool = False) -> str:
    """The comparison in lines of at most 98 characters, in the scenario's units.

    `ascii_only` keeps to plain letters, for a terminal that has no others.
    """
    plain = in_ascii if ascii_only else str
    scenario, units = comparison.scenario, comparison.scenario.units
    said = verdict(comparison)
    lines = [
        *_wrapped(plain(f"{scenario.title}: the ground {ground_words(comparison.site).of(units)}.")),
        "",
        *_wrapped(plain(said)),
        *_wrapped(plain(questions_words(comparison))),
        "",
        *_table(comparison, units, plain),
        "",
    ]
    for result in comparison.schemes:
        short = reasons_in_short(result).of(units)
        if short and short not in said:
            lines += _wrapped(plain(f"{result.title}, outside the limits: {short}."))
    if comparison.decision.order:
        lines += _wrapped(plain(prices_note(comparison)))
    lines.append(LAST_WORDS)
    return "\n".join(lines) + "\n"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH)


def _table(comparison: Comparison, units: str, plain) -> list[str]:
    results = comparison.schemes
    width = (WIDTH - LABEL_WIDTH) // len(results) - 2
    heads = [textwrap.wrap(plain(result.title), width) for result in results]
    lines = [_row("", [head[i] if i < len(head) else "" for head in heads], width) for i in range(max(map(len, heads)))]
    lines.append("-" * (LABEL_WIDTH + (width + 2) * len(results)))
    for label, cell in ROWS:
        wrapped = [textwrap.wrap(plain(cell(result, comparison.scenario.currency, units)), width) for result in results]
        for i in range(max(map(len, wrapped))):
            lines.append(_row(label if i == 0 else "", [words[i] if i < len(words) else "" for words in wrapped], width))
    return lines


def _row(label: str, cells: list[str], width: int) -> str:
    return (label.ljust(LABEL_WIDTH) + "".join(f"  {cell:<{width}}" for cell in cells)).rstrip()


def _stone(result: SchemeResult, currency: str, units: str) -> str:
    tonnes = sum(line.net for line in result.priced.lines if line.key == "stone")
    return quantity(tonnes, "t").of(units)


def _checks(result: SchemeResult, currency: str, units: str) -> str:
    to_put_right = sum(map(put_right, result.works.checks))
    right = f"{to_put_right} to put right, " if to_put_right else ""
    return f"{len(result.reasons)} outside, {right}{counted(result.works.checks)['close']} close"


ROWS = (
    ("Within limits", lambda r, currency, units: "yes" if r.buildable else "no: for scale only"),
    ("Checks", _checks),
    ("Like for like", lambda r, currency, units: money(r.like_for_like.likely, currency) if r.like_for_like else NO_PRICE),
    ("  low to high", lambda r, currency, units: money_range(r.like_for_like, currency) if r.like_for_like else ""),
    ("Cash", lambda r, currency, units: money(r.cash.likely, currency) if r.cash else NO_PRICE),
    ("All work hired", lambda r, currency, units: money(r.hired_cash.likely, currency) if r.hired_cash else NO_PRICE),
    ("Own hours", lambda r, currency, units: hours(r.priced.own_hours)),
    ("Helpers' hours", lambda r, currency, units: hours(r.priced.helper_hours)),
    ("Floor to high ground", lambda r, currency, units: level(r.works.floor_level_m, "it").of(units)),
    ("Floor to low ground", lambda r, currency, units: level(r.works.low_side_height_m, "it").of(units)),
    ("Floor level set by", lambda r, currency, units: level_reason(r)),
    ("Concrete", lambda r, currency, units: volume(r.quantities["concrete_m3"]).of(units)),
    ("Stone", _stone),
    ("Spoil carted, loose", lambda r, currency, units: volume(r.quantities["spoil_loose_m3"]).of(units)),
    ("U-value of the floor", lambda r, currency, units: u_value(r.u_value_w_per_m2k).of(units)),
    ("Carbon", lambda r, currency, units: quantity(r.carbon.total_kgco2e, "kgCO2e").of(units)),
)
"""Label and words of each row, for a scheme, a currency and a unit system."""
