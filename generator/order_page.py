"""The order list of a scheme to print, the same as lines on a terminal, and as a table for a spreadsheet.

All show the same deliveries.  What is for paper or a terminal is in the
scenario's units; amounts to order stay in the unit of sale.  Nothing is worked out here.
"""

from __future__ import annotations

import csv
import io
import textwrap
import typing
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from calculators.compare import Comparison, SchemeResult
from calculators.order_list import Delivery, OrderLine
from calculators.plot_cautions import ORDER
from calculators.sources import COMMON_PRACTICE
from generator.bill_csv import cell
from generator.caution_words import cautions_at, with_figures
from generator.dates import date_words, narrow_date
from generator.display import exactly, in_ascii, money, number, order, quantity, sale_unit
from generator.phrases import in_sentence
from generator.setting_out_page import UNIT_WORDS
from generator.sheet_tables import Table, table_lines
from generator.templating import TO_ROOT, fill
from generator.text_table import LAST_WORDS, WIDTH
from generator.wording import prices_note, prices_words

if typing.TYPE_CHECKING:
    from calculators.job import Job

SATURDAY = 5
FEW_LINES = 4
"""So many lines of one supplier stay on one side of paper."""
LEAST_SPARE = 0.005
"""A spare smaller than this, in the unit of sale, is none."""

COLUMNS = (
    "scheme", "supplier", "for", "arrives", "order_by", "confirm_on", "hired_until", "loads", "how_they_divide", "put_down",
    "what", "ask_for", "net", "order", "unit", "comes_as", "spare", "spare_goes", "order_in_the_bill", "likely_cost", "currency", "prices", "words_from",
    "supplier_name", "telephone", "price_quoted", "ordered_on",
)


@dataclass(frozen=True)
class LineView:
    """One thing to ask for, in words of one unit system; `also` is what else there is to say of the amount."""

    what: str
    ask: str
    source: str
    net: str
    order: str
    unit: str
    ordered: str
    also: str
    spare: str


@dataclass(frozen=True)
class DeliveryView:
    """One delivery in words: `head` says when and for what, `dates` what else has a date, `where` how it comes and where it is put down."""

    id: str
    head: str
    dates: str
    where: str
    cost: str
    lines: tuple[LineView, ...]


@dataclass(frozen=True)
class SupplierView:
    """A kind of supplier with its deliveries, the first to come first; `short` where a side of paper can hold it together."""

    title: str
    deliveries: tuple[DeliveryView, ...]

    @property
    def short(self) -> bool:
        """Whether so few lines are better not parted."""
        return sum(len(delivery.lines) for delivery in self.deliveries) <= FEW_LINES


def file_name(result: SchemeResult, kind: str) -> str:
    """The name of a file beside the scenario's page; kind: html or csv."""
    return f"order-{result.id}.{kind}"


def order_page(comparison: Comparison, result: SchemeResult, job: Job) -> str:
    """The whole HTML document of the order list of a scheme within limits."""
    scenario = comparison.scenario
    return fill(
        "order_sheet", sheet_title="Order list", unit_words=UNIT_WORDS[scenario.units], to_root=TO_ROOT, scenario=scenario, result=result,
        calendar=calendar_table(comparison, job), summary=summary_words(comparison, job), days=day_words(job),
        cautions=[(title, words.of(scenario.units)) for title, words in cautions_at(job.cautions, ORDER)],
        suppliers=supplier_views(comparison, job), csv=file_name(result, "csv"), prices=prices_note(comparison),
    )


def order_text(comparison: Comparison, result: SchemeResult, job: Job, ascii_only: bool = False) -> str:
    """The order list as lines for a terminal.  `ascii_only` keeps to plain letters."""
    plain = in_ascii if ascii_only else str
    scenario = comparison.scenario
    lines = [*textwrap.wrap(f"{scenario.title}. Order list of the {in_sentence(result.title)}, in {UNIT_WORDS[scenario.units]}.", WIDTH), ""]
    lines += [*textwrap.wrap(summary_words(comparison, job), WIDTH), ""]
    lines += table_lines(_narrow(calendar_table(comparison, job, narrow_date)))
    for words in day_words(job):
        lines += ["", *textwrap.wrap(words, WIDTH)]
    for supplier in supplier_views(comparison, job):
        lines += ["", supplier.title.upper()]
        for delivery in supplier.deliveries:
            lines += ["", *_wrapped(f"{delivery.head} {delivery.dates} {delivery.cost}", "")]
            if delivery.where:
                lines += _wrapped(delivery.where, "  ")
            for line in delivery.lines:
                lines += _wrapped(f"{line.what}: {line.ordered} (net {line.net}){'; ' + line.also if line.also else ''}.", "  - ", "    ")
                lines += _wrapped(line.ask, "    ")
                lines += _wrapped(f"Spare: {line.spare}", "    ") if line.spare else []
    lines += ["", "MIND THESE"]
    for title, words in cautions_at(job.cautions, ORDER):
        lines += _wrapped(f"{title}. {words.of(scenario.units)}", "  - ", "    ")
    lines += ["", *textwrap.wrap(prices_note(comparison), WIDTH), "", LAST_WORDS]
    return plain("\n".join(lines) + "\n")


def _narrow(table: Table) -> Table:
    """The calendar without what stands below it again, which leaves it narrow enough for a terminal."""
    kept = [place for place, column in enumerate(table.columns) if column != "For"]
    return Table(table.id, table.title, tuple(table.columns[i] for i in kept), tuple(tuple(row[i] for i in kept) for row in table.rows))


def _wrapped(words: str, first: str, then: str | None = None) -> list[str]:
    return textwrap.wrap(words, WIDTH, initial_indent=first, subsequent_indent=first if then is None else then)


def order_csv(comparison: Comparison, result: SchemeResult, job: Job) -> str:
    """The order list as CSV text (RFC 4180): a row for each thing to ask for, its last four cells left to be filled in.

    Amounts are in the unit of sale beside them, sizes in words in the scenario's units, money in its currency.
    """
    scenario = comparison.scenario
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    for delivery in job.deliveries:
        for line in delivery.lines:
            row = {
                "scheme": result.id, "supplier": delivery.supplier, "for": task_name(job, delivery), "arrives": delivery.arrives.isoformat(),
                "order_by": delivery.order_by.isoformat(), "confirm_on": "" if delivery.confirm_on is None else delivery.confirm_on.isoformat(),
                "hired_until": "" if delivery.until is None else delivery.until.isoformat(), "loads": float(delivery.loads),
                "how_they_divide": _said(delivery.load_words, delivery, scenario.units), "put_down": _said(delivery.put_down, delivery, scenario.units),
                "what": line.what, "ask_for": _said(line.ask_for, line, scenario.units), "net": float(exactly(line.net)), "order": float(exactly(line.order)),
                "unit": line.unit, "comes_as": _pieces(line, scenario.units), "spare": float(exactly(line.spare)), "spare_goes": _said(line.spare_goes, line, scenario.units),
                "order_in_the_bill": None if line.bill_order is None else float(exactly(line.bill_order)), "likely_cost": float(exactly(line.cost)),
                "currency": scenario.currency, "prices": prices_words(comparison), "words_from": line.source,
            }
            writer.writerow({name: cell(value) for name, value in row.items()})
    return out.getvalue()


# Words.


def task_name(job: Job, delivery: Delivery) -> str:
    """What the programme calls the task that a delivery is for."""
    return job.programme.dates.task(delivery.for_task).task.name


def _said(words: str, of: Delivery | OrderLine, units: str) -> str:
    return with_figures(words, of.figures).of(units)


def _amount(value: float) -> str:
    """An amount as it is sold: no decimal that says nothing, and none rounded away that a supplier's step has."""
    words = number(value, 3)
    return words.rstrip("0").rstrip(".") if "." in words else words


def _about(value: float) -> str:
    """What is not sold in steps: about three figures."""
    words = number(value, 3 if value < 0.2 else 2 if value < 10.0 else 1)
    return words.rstrip("0").rstrip(".")


def _ordered(line: OrderLine) -> str:
    """The order with its unit; things that are counted in the plural."""
    shown = order(line.order, line.unit)
    return shown.metric if shown.alike else f"{_amount(line.order)} {sale_unit(line.unit)}"


def _pieces(line: OrderLine, units: str) -> str:
    return ", ".join(f"{quantity(piece.amount, piece.unit).of(units)} {piece.what}" for piece in line.comes_as)


def summary_words(comparison: Comparison, job: Job) -> str:
    """How many deliveries, from when to when, and what they come to."""
    deliveries = job.deliveries
    total = sum(delivery.cost for delivery in deliveries)
    first = min(delivery.order_by for delivery in deliveries)
    loads = sum(delivery.loads for delivery in deliveries)
    return (
        f"{len(deliveries)} orders and {loads} loads, the first to be ordered by {date_words(first)}. They come to about {money(total, comparison.scenario.currency)} "
        f"at {prices_words(comparison)}, contingency apart; what each thing costs is in the bill. Ask two or three for every price, and write it down with the date.")


def calendar_table(comparison: Comparison, job: Job, dated: Callable[[date], str] = date_words) -> Table:
    """The deliveries by date, written as `dated` does; its last columns are there to be written in."""
    currency = comparison.scenario.currency
    return Table(
        "order-calendar", "Deliveries by date",
        ("Wanted", "Order by", "From", "For", "Loads", "Likely cost", "Quoted", "Ordered on"),
        tuple((dated(each.arrives), dated(each.order_by), each.supplier, in_sentence(task_name(job, each)), str(each.loads or "–"), money(each.cost, currency), "", "")
              for each in job.deliveries))


def day_words(job: Job) -> list[str]:
    """What to mind about the days on which things come."""
    brought = [delivery for delivery in job.deliveries if delivery.loads]
    found = []
    if any(delivery.arrives.weekday() == SATURDAY for delivery in brought):
        found.append(
            "Some come on a Saturday. Ask whether they deliver then and what it costs; "
            "stone, blocks and boards may as well come on the Friday, if somebody is there to say where.")
    if any(delivery.arrives < job.programme.dates.task(delivery.for_task).start for delivery in brought):
        found.append("Nothing is taken to come on a Sunday or a holiday: what is wanted then comes before it, and lies until it is used.")
    return found


def supplier_views(comparison: Comparison, job: Job) -> tuple[SupplierView, ...]:
    """The deliveries by kind of supplier, in the order in which each comes first."""
    by_supplier: dict[str, list[DeliveryView]] = {}
    for place, delivery in enumerate(job.deliveries, start=1):
        by_supplier.setdefault(delivery.supplier, []).append(_delivery_view(comparison, job, delivery, place))
    return tuple(SupplierView(title, tuple(views)) for title, views in by_supplier.items())


def _delivery_view(comparison: Comparison, job: Job, delivery: Delivery, place: int) -> DeliveryView:
    units, currency = comparison.scenario.units, comparison.scenario.currency
    dates = [f"Order by {date_words(delivery.order_by)}."]
    if delivery.confirm_on is not None:
        dates.append(f"Confirm on {date_words(delivery.confirm_on)}.")
    if delivery.until is not None:
        dates.append(f"Wanted until {date_words(delivery.until)}.")
    return DeliveryView(
        f"order-{place}", f"{date_words(delivery.arrives)}: {in_sentence(task_name(job, delivery))}.", " ".join(dates),
        " ".join(_said(words, delivery, units) for words in (delivery.load_words, delivery.put_down) if words),
        f"About {money(delivery.cost, currency)}.", tuple(_line_views(delivery.lines, units)))


def _line_views(lines: Iterable[OrderLine], units: str) -> Iterable[LineView]:
    for line in lines:
        also = [words for words in (_pieces(line, units), _in_other_units(line, units)) if words]
        if line.bill_order is not None:
            also.append(f"the bill has {_amount(line.bill_order)}")
        spare = _said(line.spare_goes, line, units)
        if line.spare > LEAST_SPARE:
            spare = f"{_about(line.spare)} {sale_unit(line.unit)}. {spare}" if line.unit != "each" else f"{_about(line.spare)}. {spare}"
        yield LineView(
            line.what, _said(line.ask_for, line, units), "" if line.mark == COMMON_PRACTICE else line.source,
            _about(line.net), _amount(line.order), sale_unit(line.unit), _ordered(line),
            "; ".join(also), "" if spare == "None." else spare)


def _in_other_units(line: OrderLine, units: str) -> str:
    """The order in the scenario's units, where the supplier sells in the other ones."""
    shown = order(line.order, line.unit)
    words = shown.of(units)
    return words[words.index("(") + 1:].rstrip(")") if "(" in words else ""
