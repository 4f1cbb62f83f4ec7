"""The setting-out sheet through its doors: page, text, CSV, command; and on paper, two sides of A4."""

from __future__ import annotations

import csv
import io
import re
import sys
from functools import cache
from pathlib import Path

import pytest

from calculators.compare import compare
from generator import cli, pages
from generator import setting_out_page as sheets
from generator.display import tape, tape_level
from generator.scenario import read_scenario_file
from generator.setting_out_csv import COLUMNS, setting_out_csv
from generator.shelf import shelve

sys.path.insert(0, str(Path(__file__).parent))
from paper import (  # noqa: E402
    EVERY_SCENARIO,
    ROOT,
    SCENARIOS,
    Document,
    desk,
    sides_of_a4,
)


@cache
def compared(path: Path, units: str | None = None):
    return compare(read_scenario_file(path, () if units is None else (f"units={units}",)).scenario)


def buildable(path: Path, units: str | None = None):
    comparison = compared(path, units)
    return [(comparison, result) for result in comparison.schemes if result.buildable]


# The page.


@EVERY_SCENARIO
def test_the_page_is_whole_plain_and_stays_on_its_site(path):
    for comparison, result in buildable(path):
        html = sheets.setting_out_page(comparison, result)
        document = Document(html)
        assert html.startswith("<!doctype html>") and ("html", {"lang": "en"}) in document.elements
        assert sum(tag == "h1" for tag, _ in document.elements) == 1
        ids = [attrs["id"] for _, attrs in document.elements if "id" in attrs]
        assert len(ids) == len(set(ids))
        for tag, attrs in document.elements:
            assert tag not in ("script", "style", "iframe", "img", "form")
            assert "style" not in attrs and not [name for name in attrs if name.startswith("on")]
            for address in (attrs.get("href", ""), attrs.get("src", "")):
                assert not re.match(r"[a-z]+:|//", address)
                if address.startswith(pages.TO_ROOT):
                    assert (ROOT / "docs" / address.removeprefix(pages.TO_ROOT)).is_file(), address
            if tag == "th":
                assert attrs.get("scope") in ("row", "col")
        assert html.count("<table") == html.count("<caption")


@EVERY_SCENARIO
def test_every_figure_of_the_tables_is_on_the_page_and_in_the_text(path):
    for comparison, result in buildable(path):
        html, text = sheets.setting_out_page(comparison, result).replace("\u00a0", " "), sheets.setting_out_text(comparison, result)
        for table in sheets.tables_of(comparison, sheets.sheet_of(comparison, result)):
            assert table.title in text and table.rows
            for row in table.rows:
                line = next(line for line in text.splitlines() if line.startswith(row[0]) and all(cell in line for cell in row))
                assert line
                for cell in row:
                    assert f">{cell}<" in html, (table.id, cell)


@EVERY_SCENARIO
def test_the_sheet_says_what_can_go_wrong_and_promises_nothing(path):
    for comparison, result in buildable(path):
        words = " ".join(re.sub(r"<[^>]+>", " ", sheets.setting_out_page(comparison, result)).split())
        assert "Buried services" in words and "traced" in words and "laser's beam" in words.replace("&#39;", "'")
        assert ("Trenches fall in at any depth" in words) == (result.quantities["trench_dig_m3"] > 0.0)
        assert "fall in at any depth" in words
        assert "licensed engineer" in words
        assert not re.search(r"\b(safe|compliant|guaranteed|certified)\b", words, re.I)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_sheet_is_in_one_unit_system(units):
    comparison, result = buildable(ROOT / "docs/scenarios/print-studio-below-the-orchard.md", units)[0]
    html = sheets.setting_out_page(comparison, result)
    assert ("″" in re.sub(r"<[^>]+>", "", html)) == (units == "imperial")
    assert sheets.UNIT_WORDS[units] in html and "q-metric" not in html
    # Distances that are free to choose fall on whole marks of the reader's tape: 50 mm, or 3 inches.
    step = {"metric": 0.05, "imperial": 0.0762}[units]
    for peg in sheets.sheet_of(comparison, result).pegs:
        assert peg.along_m / step == pytest.approx(round(peg.along_m / step), abs=1e-6)


def test_figures_of_the_tape_by_hand():
    # 9.434 m is 30 feet and 11.42 inches; 3/8 is the nearest eighth.
    assert (tape(9.434).metric, tape(9.434).imperial) == ("9.434", "30′ 11 3/8″")
    assert tape_level(-0.0001).metric == "±0.000" and tape_level(-0.3048 * 3).imperial == "−3′"


def test_a_hostile_title_stays_words():
    path = SCENARIOS[0]
    comparison = compare(read_scenario_file(path, ("title=<script>alert(1)</script> & \"barn\"",)).scenario)
    html = sheets.setting_out_page(comparison, next(result for result in comparison.schemes if result.buildable))
    assert "<script" not in html and "&lt;script&gt;" in html


def test_words_of_the_sketch_stay_on_it():
    from generator.drawings.setting_out import setting_out_drawing

    for path in SCENARIOS:
        for comparison, result in buildable(path):
            drawing = setting_out_drawing(comparison.site, sheets.sheet_of(comparison, result), comparison.scenario.units, "sketch")
            for text in drawing.texts:
                left, top, right, bottom = text.box
                assert left >= 0 and top >= 0 and right <= drawing.width and bottom <= drawing.height, text.words


# Outside the limits there is none.


def test_a_scheme_outside_the_limits_has_no_sheet():
    found = 0
    for path in SCENARIOS:
        comparison = compared(path)
        made = shelve(path)
        for result in comparison.schemes:
            for kind in ("html", "csv"):
                assert (sheets.file_name(result, kind) in made.files) == result.buildable
                assert (f'href="{sheets.file_name(result, kind)}"' in made.page.html) == result.buildable
            if not result.buildable:
                found += 1
                assert f"{result.title}: no setting-out sheet" in made.page.html
                with pytest.raises(ValueError, match="Ask an engineer"):
                    sheets.setting_out_page(comparison, result)
        assert len(list(csv.reader(io.StringIO(setting_out_csv(comparison, [r for r in comparison.schemes if not r.buildable]))))) == 1
    assert found


# CSV.


@EVERY_SCENARIO
def test_csv_has_every_place_and_level_in_metres(path):
    for comparison, result in buildable(path):
        sheet = sheets.sheet_of(comparison, result)
        text = setting_out_csv(comparison, [result], mark_reading_m=1.5)
        rows = list(csv.DictReader(io.StringIO(text, newline="")))
        assert tuple(rows[0]) == COLUMNS and text.count("\r\n") == text.count("\n") == len(rows) + 1
        spots = {row["name"]: row for row in rows if row["what"] in ("corner", "peg")}
        for spot in (*sheet.corners, *sheet.pegs):
            row = spots[spot.name]
            assert [float(row[name]) for name in ("along_m", "square_m", "ground_m", "dig_m", "level_m", "stone_m", "fill_m")] == pytest.approx(
                [spot.along_m, spot.square_m, spot.ground_m, spot.dig_m, spot.dig_to_m, spot.stone_m, spot.fill_m], abs=1e-9)
        for row in rows:
            if row["level_m"]:
                assert float(row["reading_m"]) + float(row["level_m"]) == pytest.approx(1.5)
        assert sum(row["what"] == "profile" for row in rows) == 2 * len(sheet.corners)


# The command.


def run(capsys, *arguments):
    code = cli.main(["setting-out", *map(str, arguments)])
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_the_command_prints_the_cheapest_scheme_or_the_one_asked_for(capsys):
    path = ROOT / "docs/scenarios/print-studio-below-the-orchard.md"
    comparison = compared(path)
    code, out, err = run(capsys, path)
    assert code == 0 and err == "" and comparison.scheme(comparison.decision.order[0]).title.lower() in out.lower()
    for _, result in buildable(path):
        assert run(capsys, path, "--scheme", result.id, "--csv")[1].startswith("scheme,what,name")
        assert f"Setting out the {result.title.lower()}" in run(capsys, path, "--scheme", result.id)[1]


def test_the_command_gives_readings_for_a_reading_on_the_bench_mark(capsys):
    path = ROOT / "docs/scenarios/print-studio-below-the-orchard.md"
    plain, with_readings = run(capsys, path, "--scheme", "strip-and-block")[1], run(capsys, path, "--scheme", "strip-and-block", "--reading", "1.245 m")[1]
    assert "Reading" not in plain and "Reading" in with_readings
    comparison = compared(path)
    lowest = comparison.scheme("strip-and-block").works.founding_level_m
    assert tape(1.245 - lowest).metric in with_readings


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("print-studio-below-the-orchard.md", "--scheme", "stilts"), 2, "take thickened-raft"),
        (("print-studio-below-the-orchard.md", "--reading", "1.245"), 2, "no unit"),
        (("studio-on-the-steep-slope.md",), 1, "Ask an engineer"),
        (("studio-on-the-steep-slope.md", "--scheme", "thickened-raft", "--csv"), 1, "Ask an engineer"),
        (("nowhere.md",), 2, "nowhere.md"),
    ],
)
def test_what_the_command_refuses(capsys, arguments, code, words):
    name, *others = arguments
    found, out, err = run(capsys, ROOT / "docs/scenarios" / name, *others)
    assert (found, out) == (code, "") and words in err


def test_a_plain_terminal_gets_plain_letters():
    comparison, result = buildable(ROOT / "docs/scenarios/cabin-in-deep-frost.md")[0]
    assert sheets.setting_out_text(comparison, result, ascii_only=True).isascii()


# On paper.


@pytest.mark.browser
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_sheet_prints_on_two_sides_of_a4(tmp_path, units):
    page, wrong = desk(tmp_path), []
    for path in SCENARIOS:
        found = buildable(path, units)
        if compared(path).scenario.units != units:
            # In the units that a plot's owner does not use, its longest sheet is enough.
            found = [max(found, key=lambda pair: sheets.setting_out_text(*pair).count("\n"))] if found else []
        for comparison, result in found:
            sides = sides_of_a4(sheets.setting_out_page(comparison, result), page)
            if sides != 2:
                wrong.append((path.stem, result.id, sides))
    assert not wrong
