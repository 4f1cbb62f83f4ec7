"""A preview that is edited while it runs."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from site_builder import PROJECT, scenario_text, small_site  # noqa: E402

PATIENCE_S = 60


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


@pytest.fixture
def preview(tmp_path):
    """A running preview of a small site: its folder and a function that waits for words on a page."""
    folder = small_site(tmp_path, {"shed": scenario_text()})
    port = free_port()
    log = (tmp_path / "serve.log").open("wb")
    process = subprocess.Popen(
        [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", f"127.0.0.1:{port}"], cwd=folder,
        env=os.environ | {"PYTHONPATH": str(PROJECT), "NO_MKDOCS_2_WARNING": "1"}, stdout=log, stderr=subprocess.STDOUT)

    def wait_for(address: str, words: str) -> str:
        ends, text = time.monotonic() + PATIENCE_S, ""
        while time.monotonic() < ends:
            assert process.poll() is None, (tmp_path / "serve.log").read_text(encoding="utf-8")
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/{address}", timeout=5) as answer:
                    text = answer.read().decode("utf-8")
                if words in text:
                    return text
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                pass
            time.sleep(0.2)
        raise AssertionError(f"{words!r} never came on /{address}: {(tmp_path / 'serve.log').read_text(encoding='utf-8')[-2000:]}")

    yield folder, wait_for
    process.terminate()
    process.wait(timeout=20)
    log.close()


def test_a_preview_follows_edits_and_survives_a_broken_file(preview):
    folder, wait_for = preview
    shed = folder / "docs/scenarios/shed.md"
    wait_for("scenarios/shed/", "Bench room by the gate")
    shed.write_text(scenario_text(title="Loom room by the gate"), encoding="utf-8")
    wait_for("scenarios/shed/", "Loom room by the gate")
    shed.write_text(scenario_text(footprint="9**9**9 m x 4 m"), encoding="utf-8")
    page = wait_for("scenarios/shed/", "9**9**9")
    assert "plot.footprint" in page and "cannot be read yet" in page
    shed.write_text(scenario_text(title="Mended room"), encoding="utf-8")
    wait_for("scenarios/shed/", "Mended room")
