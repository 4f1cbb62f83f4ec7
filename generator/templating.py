"""Templates filled with records: one environment, and how amounts reach HTML in both unit systems."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from generator import check_words, display, phrases, wording
from generator.dates import MONTHS
from generator.display import Shown
from generator.drawings.level_curve import PARTS, TOTAL
from generator.inputs import WORKED_OUT
from generator.problems import listed

TO_ROOT = "../../"
"""From the address of a scenario's page, and of the sheets beside it, to that of the home page."""

TEMPLATES = Path(__file__).resolve().parent / "templates"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=False,
    )
    environment.filters |= {
        "q": in_both_units, "in_sentence": phrases.in_sentence, "sentence": phrases.sentence, "listed": listed, "formula": check_words.formula,
        "money": display.money, "money_exact": display.money_exact, "money_range": display.money_range,
        "hours": lambda value: kept_together(display.hours(value)), "hours_figure": _hours_figure, "things": display.count,
        "metres": display.length, "level": display.level, "level_mark": display.level_mark, "volume": display.volume, "area": display.area,
        "quantity": display.quantity, "order": display.order, "percent": display.percent, "gradient": display.gradient,
        "rate_line": _rate_words, "month": month,
    }
    environment.globals |= {
        "wording": wording, "check_words": check_words, "WORKED_OUT": WORKED_OUT, "kept_together": kept_together,
        "LEVEL_PARTS": PARTS, "LEVEL_TOTAL": TOTAL,
    }
    return environment


def fill(template: str, **data) -> str:
    """The text of a template of `templates`, by its name without ending."""
    return _environment().get_template(f"{template}.html.j2").render(**data)


_BEFORE_UNIT = re.compile(r"(?<=\d) (?=[^\s(])")


def kept_together(words: str) -> str:
    """Words in which a figure and its unit stay on one line.

    >>> kept_together("13 ft 9 3/8 in above it").replace("\\u00a0", "~")
    '13~ft 9~3/8~in above it'
    """
    return _BEFORE_UNIT.sub("\u00a0", words)


@lru_cache(maxsize=4096)
def in_both_units(shown: Shown) -> Markup:
    """An amount as HTML that carries both unit systems; plain text where they say the same.

    >>> in_both_units(Shown("1 m", "39 3/8 in"))
    Markup('<span class="q"><span class="q-metric">1\\xa0m</span><span class="q-imperial">39\\xa03/8\\xa0in</span></span>')
    """
    if shown.alike:
        return escape(kept_together(shown.metric))
    return Markup('<span class="q"><span class="q-metric">{}</span><span class="q-imperial">{}</span></span>').format(
        kept_together(shown.metric), kept_together(shown.imperial))


def _hours_figure(value: float) -> str:
    """Hours as a figure alone, for a column that says hours; a dash for none."""
    return display.hours(value).partition(" ")[0] if value > 0.0 else "–"


def _rate_words(line, currency: str) -> Shown:
    return display.rate(line.rate, currency, line.rate_unit.partition("/")[2])


def month(dated: str) -> str:
    """The month of a date.

    >>> month("2026-11")
    'November 2026'
    """
    year, number = dated.split("-")[:2]
    return f"{MONTHS[int(number) - 1]} {year}"
