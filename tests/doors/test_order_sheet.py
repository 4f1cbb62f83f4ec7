"""The order list through its doors: page, text, CSV; and on paper, at most three sides of A4."""

from __future__ import annotations

import csv
import datetime
import io
import re
import sys
from pathlib import Path

import pytest

from calculators.compare import compare
from calculators.scenario import PlaceForSurplus, PourDayGiven
from generator import order_page as sheets

sys.path.insert(0, str(Path(__file__).parent))
from paper import (  # noqa: E402
    EVERY_SCENARIO,
    ROOT,
    SCENARIOS,
    Document,
    compared,
    desk,
    jobs,
    sides_of_a4,
    words_of,
)

PROMISES = re.compile(r"\b(safe|safely|compliant|complies|guaranteed?|certified)\b", re.I)



def first(*changes: str):
    return jobs(ROOT / "docs/scenarios/print-studio-below-the-orchard.md", *changes)[0]


# The page.


@EVERY_SCENARIO
def test_the_page_is_whole_plain_and_stays_on_its_site(path):
    for sheet in jobs(path):
        html = sheets.order_page(*sheet)
        document = Document(html)
        assert html.startswith("<!doctype html>") and sum(tag == "h1" for tag, _ in document.elements) == 1
        ids = [attrs["id"] for _, attrs in document.elements if "id" in attrs]
        assert len(ids) == len(set(ids)) == len(sheet[2].deliveries)
        for tag, attrs in document.elements:
            assert tag not in ("script", "style", "iframe", "img", "form")
            assert "style" not in attrs and not [name for name in attrs if name.startswith("on")]
            address = attrs.get("href", "")
            assert not re.match(r"[a-z]+:|//", address)
            if address.startswith(sheets.TO_ROOT):
                target = address.removeprefix(sheets.TO_ROOT)
                assert (ROOT / "docs" / (target.rstrip("/") + ".md" if target.endswith("/") else target)).is_file(), address
            if tag == "th":
                assert attrs.get("scope") in ("row", "col", "rowgroup")
        assert html.count("<table") == html.count("<caption")
        assert sheets.file_name(sheet[1], "csv") in html


@EVERY_SCENARIO
def test_page_text_and_table_say_the_same(path):
    for sheet in jobs(path):
        comparison, result, job = sheet
        page, text = words_of(sheets.order_page(*sheet)), sheets.order_text(*sheet)
        flat = " ".join(text.split())
        rows = list(csv.DictReader(io.StringIO(sheets.order_csv(*sheet), newline="")))
        assert len(rows) == sum(len(delivery.lines) for delivery in job.deliveries)
        for row in rows:
            for words in (row["what"], row["ask_for"], row["put_down"], row["how_they_divide"], row["comes_as"]):
                for said in (page, flat):
                    assert words.removeprefix("'") in said.replace("\u00a0", " "), words
        for delivery in job.deliveries:
            assert sheets.date_words(delivery.arrives) in page and sheets.date_words(delivery.order_by) in flat
            assert delivery.supplier in page and delivery.supplier.upper() in text
        assert "{" not in page and "{" not in text and "None" not in page


@EVERY_SCENARIO
def test_it_warns_and_promises_nothing(path):
    for sheet in jobs(path):
        for words in (words_of(sheets.order_page(*sheet)), sheets.order_text(*sheet), sheets.order_csv(*sheet)):
            assert not PROMISES.search(words)
        page = words_of(sheets.order_page(*sheet))
        assert "reverse" in page and "wire" in page and "licensed engineer" in page
        assert "invented" in page.lower()
        lines = sheets.order_text(*sheet).splitlines()
        assert max(len(line) for line in lines) <= 110


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_list_is_in_one_unit_system(units):
    comparison, result, job = first(f"units={units}")
    text = sheets.order_text(comparison, result, job)
    assert sheets.UNIT_WORDS[units] in text
    metric, imperial = "18.00 m from the slab" in " ".join(text.split()), "59 ft 5/8 in from the slab" in " ".join(text.split())
    assert (metric, imperial) == (units == "metric", units == "imperial")
    # What is ordered stays in the supplier's unit; the reader's stands beside it.
    html = words_of(sheets.order_page(comparison, result, job)).replace("\u00a0", " ")
    assert ("16.5 tons" in html) == (units == "imperial")


def test_an_order_is_shown_to_its_step():
    # 10.75 cubic metres is an order; 10.8 is another.
    assert sheets._amount(10.75) == "10.75" and sheets._amount(0.30000000000000004) == "0.3" and sheets._amount(12.0) == "12" and sheets._amount(0.107) == "0.107"
    for path in SCENARIOS:
        for comparison, _, job in jobs(path):
            for delivery in job.deliveries:
                for line in delivery.lines:
                    assert float(sheets._amount(line.order).replace(",", "")) == pytest.approx(line.order, abs=1e-6)


def test_dates_are_written_out():
    _, _, job = sheet = first()
    assert re.search(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]+ 20\d\d", sheets.order_page(*sheet))
    rows = csv.DictReader(io.StringIO(sheets.order_csv(*sheet), newline=""))
    assert all(datetime.date.fromisoformat(row["order_by"]) <= datetime.date.fromisoformat(row["arrives"]) for row in rows)


def test_concrete_says_what_the_bill_has_where_that_is_another():
    comparison, result, job = first()
    line = next(line for delivery in job.deliveries for line in delivery.lines if line.key == "slab concrete")
    page = words_of(sheets.order_page(comparison, result, job))
    assert (line.bill_order is not None) == (f"the bill has {sheets._amount(line.bill_order or 0.0)}" in page.replace("\u00a0", " "))


def test_weekends_are_spoken_of_only_when_something_comes_then():
    weekdays = " ".join(sheets.day_words(first("programme.days=weekdays")[2]))
    assert "Saturday" not in weekdays and "Sunday" not in weekdays
    weekends = " ".join(sheets.day_words(first("programme.days=weekends")[2]))
    assert "Saturday" in weekends
    assert all(delivery.arrives.weekday() < 6 for path in SCENARIOS for _, _, job in jobs(path) for delivery in job.deliveries if delivery.loads)


# Spreadsheets.


def test_the_table_adds_up_and_has_cells_to_fill_in():
    comparison, result, job = sheet = first()
    text = sheets.order_csv(*sheet)
    assert text.startswith(",".join(sheets.COLUMNS) + "\r\n") and text.count("\r\n") == text.count("\n")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert sum(float(row["likely_cost"]) for row in rows) == pytest.approx(sum(delivery.cost for delivery in job.deliveries))
    for row in rows:
        assert None not in row and set(row) == set(sheets.COLUMNS)
        assert float(row["order"]) - float(row["net"]) == pytest.approx(float(row["spare"]), abs=1e-6) or row["what"] == "Part-load charge"
        assert row["currency"] == "GBP" and "invented" in row["prices"]
        assert (row["supplier_name"], row["telephone"], row["price_quoted"], row["ordered_on"]) == ("", "", "", "")


def test_no_cell_can_be_taken_for_a_formula():
    from dataclasses import replace

    scenario = compared(SCENARIOS[0]).scenario
    comparison = compare(replace(scenario, pour=PourDayGiven(places=(PlaceForSurplus("=HYPERLINK(1)", 0.3),))), jobs=True)
    for scheme, job in comparison.jobs.items():
        delivery = job.deliveries[0]
        line = replace(delivery.lines[0], what="=1+1", ask_for="@SUM(A1)", spare_goes="-2+3")
        hostile = replace(job, deliveries=(replace(delivery, supplier="+44 1", lines=(line,)), *job.deliveries[1:]))
        text = sheets.order_csv(comparison, comparison.scheme(scheme), hostile)
        for row in csv.reader(io.StringIO(text, newline="")):
            for cell in row:
                assert not cell.startswith(("=", "+", "@", "\t", "\r")) and (not cell.startswith("-") or float(cell) <= 0.0)


# Strangers' words.


def test_hostile_words_stay_words():
    from dataclasses import replace

    comparison, result, _ = first("title=<script>alert(1)</script> & \"barn\"")
    given = PourDayGiven(places=(PlaceForSurplus("<b>{run}</b> & {unknown}", 0.3),))
    comparison = compare(replace(comparison.scenario, pour=given), jobs=True)
    for scheme, job in comparison.jobs.items():
        html = sheets.order_page(comparison, comparison.scheme(scheme), job)
        assert "<script" not in html and "<b>" not in html and "&lt;b&gt;(run)&lt;/b&gt;" in html
        Document(html)


def test_plain_letters_for_a_terminal_that_has_no_others():
    assert sheets.order_text(*first(), ascii_only=True).isascii()


# Paper.


@pytest.mark.browser
@pytest.mark.parametrize("name, units", [("print-studio-below-the-orchard", "metric"), ("cabin-in-deep-frost", "imperial"), ("behind-the-terrace", "metric"), ("music-room-by-the-hollow", "imperial")])
def test_it_prints_on_three_sides(tmp_path, name, units):
    page = desk(tmp_path)
    for sheet in jobs(ROOT / f"docs/scenarios/{name}.md", f"units={units}"):
        sides = sides_of_a4(sheets.order_page(*sheet), page)
        assert 1 <= sides <= 3, sides
