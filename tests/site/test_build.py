"""Real builds of real small sites, read as files."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from site_builder import build, fingerprints, scenario_text, small_site  # noqa: E402

# MkDocs writes the day of the build into these.
DATED = re.compile(r"sitemap\.xml(\.gz)?$")


@pytest.fixture(scope="module")
def guide(tmp_path_factory) -> Path:
    """The whole guide, built once."""
    folder = small_site(tmp_path_factory.mktemp("guide"), {}, whole_guide=True)
    result = build(folder)
    assert result.returncode == 0, result.stderr
    assert "WARNING" not in result.stderr, result.stderr
    return folder / "site"


def pages_of(site: Path) -> list[Path]:
    return sorted(site.rglob("*.html"))


def test_every_scenario_has_its_page_its_json_and_its_bill(guide):
    names = [p.stem for p in (guide.parent / "docs/scenarios").glob("*.md") if p.name != "index.md"]
    assert len(names) >= 6
    for name in names:
        folder = guide / "scenarios" / name
        html = (folder / "index.html").read_text(encoding="utf-8")
        for anchor in ("verdict", "sections", "side-by-side", "thickened-raft", "strip-and-block", "insulated-slab", "cautions", "inputs", "take-away"):
            assert f'id="{anchor}"' in html, f"{name} has no #{anchor}"
        assert "invented" in html
        document = json.loads((folder / "comparison.json").read_text(encoding="utf-8"))
        assert len(document["schemes"]) == 3
        assert (folder / "bill.csv").read_text(encoding="utf-8").startswith("scheme,")


def test_no_page_asks_anything_of_another_machine(guide):
    loads = re.compile(r"""<(?:script|img|iframe|source|video|audio)[^>]*\ssrc=["']?(?:https?:)?//|<link[^>]*(?:stylesheet|preload|preconnect|icon)[^>]*href=["']?(?:https?:)?//""", re.I)
    for page in pages_of(guide):
        assert not loads.search(page.read_text(encoding="utf-8")), page
    for sheet in guide.rglob("*.css"):
        assert not re.search(r"url\(['\"]?(?:https?:)?//", sheet.read_text(encoding="utf-8")), sheet


def test_our_own_markup_has_no_inline_style(guide):
    for page in pages_of(guide):
        text = page.read_text(encoding="utf-8")
        article = text[text.index("<article"):text.index("</article>")] if "<article" in text else ""
        assert not re.search(r"<[^>]+\sstyle=", article), page


def test_no_page_promises_what_only_an_engineer_or_a_code_body_can(guide):
    promises = re.compile(r"\b(safe|safely|compliant|complies|guaranteed?|certified)\b", re.I)
    for page in pages_of(guide):
        words = re.sub(r"<[^>]+>", " ", page.read_text(encoding="utf-8"))
        assert not promises.search(words), (page, promises.search(words)[0])


def test_every_marker_was_filled(guide):
    for page in pages_of(guide):
        assert "soleplate:" not in page.read_text(encoding="utf-8"), page


def test_scenario_pages_stay_out_of_the_sidebar_and_search_holds_little_of_them(guide):
    home = (guide / "index.html").read_text(encoding="utf-8")
    navigation = "".join(re.findall(r'<nav class="md-nav.*?</nav>', home, re.S))
    assert "scenarios/print-studio" not in navigation
    index = json.loads((guide / "search/search_index.json").read_text(encoding="utf-8"))
    ours = [doc for doc in index["docs"] if doc["location"].startswith("scenarios/print-studio")]
    assert ours
    assert sum(len(doc["text"]) for doc in ours) < 2000


def test_two_builds_are_byte_for_byte_the_same(tmp_path):
    sites = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        folder = small_site(tmp_path / name, {"shed": scenario_text()})
        result = build(folder)
        assert result.returncode == 0, result.stderr
        found = fingerprints(folder / "site")
        sites.append({file: mark for file, mark in found.items() if not DATED.search(file)})
    undated = []
    for name in ("one", "two"):
        texts = {}
        for file in sites[0]:
            if file.endswith(".html"):
                text = (tmp_path / name / "site" / file).read_text(encoding="utf-8")
                # MkDocs stamps its home page with the moment of the build.
                texts[file] = re.sub(r"Build Date UTC : [^\n]*", "", text)
        undated.append(texts)
    assert undated[0] == undated[1]
    assert {f: m for f, m in sites[0].items() if not f.endswith(".html")} == {f: m for f, m in sites[1].items() if not f.endswith(".html")}


def test_a_scenario_that_cannot_be_read_leaves_the_old_site_as_it_was(tmp_path):
    folder = small_site(tmp_path, {"shed": scenario_text()})
    assert build(folder).returncode == 0
    before = fingerprints(folder / "site")
    broken = folder / "docs/scenarios/broken.md"
    broken.write_text(scenario_text(footprint="6,6 m x 4 m").replace("soil:", "siol:"), encoding="utf-8")
    result = build(folder)
    assert result.returncode != 0
    assert "scenarios/broken.md:" in result.stderr
    assert "plot.footprint" in result.stderr and "siol" in result.stderr, "all problems at once"
    assert "Traceback" not in result.stderr
    assert fingerprints(folder / "site") == before


def test_a_stranger_s_text_is_shown_and_never_run(tmp_path):
    title = "'Shed </title><script>alert(1)</script> \"&\"'"
    body = "<script>alert(2)</script>\n\n<img src=x onerror=alert(3)>\n\n[press](javascript:alert(4)) [page](https://example.org/) {{ config }} {% raw %}"
    folder = small_site(tmp_path, {"shed": scenario_text(title=title, body=body)})
    result = build(folder)
    assert result.returncode == 0, result.stderr
    html = (folder / "site/scenarios/shed/index.html").read_text(encoding="utf-8")
    for wicked in ("<script>alert", "<img src=x", "javascript:alert"):
        assert wicked not in html
    assert "{{ config }}" in html
    assert 'href="https://example.org/"' in html
    index = (folder / "site/scenarios/index.html").read_text(encoding="utf-8")
    assert "<script>alert" not in index


def test_a_new_footprint_gives_a_new_page(tmp_path):
    folder = small_site(tmp_path, {"shed": scenario_text()})
    assert build(folder).returncode == 0
    document = folder / "site/scenarios/shed/comparison.json"
    before = json.loads(document.read_text(encoding="utf-8"))
    (folder / "docs/scenarios/shed.md").write_text(scenario_text(footprint="7.2 m x 4.8 m"), encoding="utf-8")
    assert build(folder).returncode == 0
    after = json.loads(document.read_text(encoding="utf-8"))
    assert after["ground"]["area_m2"] == pytest.approx(7.2 * 4.8)
    for old, new in zip(before["schemes"], after["schemes"]):
        assert new["quantities"]["concrete_m3"] > old["quantities"]["concrete_m3"]


def test_a_map_is_worked_out_once_and_stands_on_the_page(tmp_path):
    folder = small_site(tmp_path, {"shed": scenario_text()}, maps=True)
    first = build(folder)
    assert first.returncode == 0, first.stderr
    assert "Map of shed: 48 places to work out" in first.stderr + first.stdout
    page = folder / "site/scenarios/shed/index.html"
    html = page.read_text(encoding="utf-8")
    assert html.count('id="map"') == 1 and "your plot" in html and "Your own labour" in html and "All of it hired" in html
    # Other words about the plot make another page, and leave its maps as they are.
    (folder / "docs/scenarios/shed.md").write_text(scenario_text(body="Told again in other words."), encoding="utf-8")
    second = build(folder)
    assert second.returncode == 0 and "places to work out" not in second.stderr + second.stdout
    assert "Told again in other words." in page.read_text(encoding="utf-8") and 'id="map"' in page.read_text(encoding="utf-8")
