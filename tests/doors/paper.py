"""What the tests of sheets share: the worked scenarios with their jobs, the elements of a page, its words, and the paper it prints on."""

import re
import shutil
import subprocess
from functools import cache
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from calculators.compare import compare
from generator.scenario import read_scenario_file
from generator.setup import OPTIONAL_TOOLS

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = sorted(path for path in (ROOT / "docs/scenarios").glob("*.md") if path.name != "index.md")
EVERY_SCENARIO = pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
CHROMIUM = OPTIONAL_TOOLS["browser"].path

VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}


class Document(HTMLParser):
    """The elements of a page; fails on tags that do not match."""

    def __init__(self, html: str):
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict]] = []
        self.open: list[str] = []
        self.feed(html)
        assert not self.open

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def words_of(html: str) -> str:
    """The words of a page, each gap one blank."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


@cache
def compared(path: Path, *changes: str):
    """The comparison of a file with changes to it, the rest of the job worked out."""
    return compare(read_scenario_file(path, changes).scenario, jobs=True)


def jobs(path: Path, *changes: str):
    """Comparison, result and job of every scheme within limits."""
    comparison = compared(path, *changes)
    return [(comparison, comparison.scheme(scheme), job) for scheme, job in comparison.jobs.items()]


def desk(folder: Path) -> Path:
    """Where a sheet lies in a site with its style sheets, to be printed from."""
    shutil.copytree(ROOT / "docs/assets", folder / "assets")
    place = folder / "scenarios" / "plot"
    place.mkdir(parents=True)
    return place / "sheet.html"


def sides_of_a4(html: str, page: Path) -> int:
    """How many sides a sheet prints on; fails for paper of another size."""
    page.write_text(html, encoding="utf-8")
    paper = page.with_suffix(".pdf")
    subprocess.run(
        [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", f"--user-data-dir={page.parent / 'browser'}",
         f"--print-to-pdf={paper}", page.as_uri()], check=True, capture_output=True, timeout=120)
    written = paper.read_bytes()
    for box in re.findall(rb"/MediaBox\s*\[([^\]]+)\]", written):
        _, _, width, height = (float(figure) for figure in box.split())
        # A4 in points: 595 x 842.
        assert abs(width - 595) <= 1.5 and abs(height - 842) <= 1.5
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", written))
