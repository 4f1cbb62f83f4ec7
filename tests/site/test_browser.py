"""The built guide in a real browser: narrow, wide, dark, printed, without scripts."""

from __future__ import annotations

import functools
import http.server
import json
import re
import subprocess
import sys
import threading
from html import unescape
from pathlib import Path

import pytest

from generator.setup import OPTIONAL_TOOLS

sys.path.insert(0, str(Path(__file__).parent))
from site_builder import build, small_site  # noqa: E402

CHROMIUM = OPTIONAL_TOOLS["browser"].path

pytestmark = pytest.mark.browser

PAGES = ("", "choosing/", "find-out/", "scenarios/", "scenarios/print-studio-below-the-orchard/", "scenarios/cabin-in-deep-frost/",
         "scenarios/studio-on-the-steep-slope/", "schemes/thickened-raft/", "methods/measuring/", "evidence/",
         "scenarios/garden-store-on-the-flat/", "the-job/", "how-flat/", "your-plot/", "methods/programme/", "methods/pour/", "methods/flatness/",
         *(f"scenarios/print-studio-below-the-orchard/{sheet}-strip-and-block.html" for sheet in ("order", "pour", "programme", "setting-out")))

# A page that holds another of a given width and reports what it measures there.
PROBE = """<!doctype html><title>probe</title><body><pre id="found"></pre><script>
const [address, width] = decodeURIComponent(location.hash.slice(1)).split(" ");
const frame = document.createElement("iframe");
frame.width = width; frame.height = 900; frame.src = address;
frame.onload = () => setTimeout(() => {
  const page = frame.contentDocument.documentElement;
  const wide = [...frame.contentDocument.querySelectorAll("article *")].filter(
    (e) => e.getBoundingClientRect().right > page.clientWidth + 1 && !e.closest("[role=region], .md-typeset__scrollwrap, .md-typeset__table, pre, .drawing-scroll, .table-scroll, .sp-scroll, svg, .headerlink"));
  document.getElementById("found").textContent = JSON.stringify({
    scroll: page.scrollWidth, client: page.clientWidth,
    wide: wide.slice(0, 5).map((e) => e.tagName + "." + e.className),
    h1: frame.contentDocument.querySelectorAll("h1").length,
    ids: [...frame.contentDocument.querySelectorAll("[id]")].map((e) => e.id).filter((id, i, all) => all.indexOf(id) !== i),
  });
}, 500);
document.body.append(frame);
</script>"""


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    """The whole guide, built."""
    folder = small_site(tmp_path_factory.mktemp("guide"), {}, whole_guide=True)
    result = build(folder)
    assert result.returncode == 0, result.stderr
    (folder / "site/probe.html").write_text(PROBE, encoding="utf-8")
    return folder / "site"


@pytest.fixture(scope="module")
def address(site):
    """The guide served on this machine."""

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *about):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}/"
    server.shutdown()


def chromium(profile: Path, *arguments: str) -> bytes:
    """Run headless Chromium once; nothing but this machine can be reached from it."""
    command = [
        CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars",
        "--disable-background-networking", "--disable-component-update", "--disable-sync", f"--user-data-dir={profile}",
        "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", *arguments,
    ]
    return subprocess.run(command, capture_output=True, timeout=120, check=True).stdout


@pytest.mark.parametrize("width", [390, 1280])
def test_pages_fit_their_width(address, tmp_path, width):
    for page in PAGES:
        dom = chromium(tmp_path / "profile", "--virtual-time-budget=8000", "--window-size=1400,1000", "--dump-dom",
                       f"{address}probe.html#{address}{page}%20{width}").decode()
        found = json.loads(unescape(re.search(r'<pre id="found">(.*?)</pre>', dom, re.S)[1]))
        assert found["scroll"] <= found["client"], (page, found)
        assert not found["wide"], (page, found)
        assert found["h1"] == 1, (page, found)
        assert not found["ids"], (page, found)


@pytest.mark.pdftotext
def test_without_scripts_a_scenario_reads_whole(address, site, tmp_path):
    # Chromium's own switch for scripts stops it printing too, so the page forbids them itself.
    folder = site / "scenarios/print-studio-below-the-orchard"
    page = (folder / "index.html").read_text(encoding="utf-8")
    forbidden = page.replace("<head>", "<head><meta http-equiv=\"Content-Security-Policy\" content=\"script-src 'none'\">", 1)
    assert forbidden != page
    (folder / "plain.html").write_text(forbidden, encoding="utf-8")
    shot = tmp_path / "plain.pdf"
    chromium(tmp_path / "profile", "--virtual-time-budget=5000", f"--print-to-pdf={shot}", f"{address}scenarios/print-studio-below-the-orchard/plain.html")
    words = pdf_words(shot)
    for wanted in ("Thickened raft", "invented", "Formwork", "What went in", "like for like"):
        assert wanted.lower() in words.lower(), wanted


@pytest.mark.pdftotext
def test_a_printed_scenario_carries_its_folded_parts(address, tmp_path):
    shot = tmp_path / "printed.pdf"
    chromium(tmp_path / "profile", "--virtual-time-budget=5000", f"--print-to-pdf={shot}", f"{address}scenarios/print-studio-below-the-orchard/")
    words = pdf_words(shot)
    for wanted in ("Sub-base stone", "Setting out", "Blinding sand", "Overall height"):
        assert wanted in words, wanted
    assert "Skip to content" not in words


def pdf_words(path: Path) -> str:
    return " ".join(subprocess.run([OPTIONAL_TOOLS["pdftotext"].path, str(path), "-"], capture_output=True, text=True, check=True).stdout.split())
