"""Real small sites in a temporary folder, built the way a reader builds the guide."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]

SCENARIO = """---
title: {title}
plot:
  footprint: {footprint}
  slope: 1:20
  falls_to: south
  soil: medium sand
  shrinkage: low
building: {{doors: [south], ridge_height: 2.6 m}}
---

{body}
"""


def scenario_text(title: str = "Bench room by the gate", footprint: str = "5 m x 4 m", body: str = "A small plot of our own making.") -> str:
    """A scenario that can be read, with some parts changed."""
    return SCENARIO.format(title=title, footprint=footprint, body=body)


def small_site(folder: Path, scenarios: dict[str, str], whole_guide: bool = False, maps: bool = False) -> Path:
    """A project folder with mkdocs.yml, the guide's own pages if wanted, and these scenarios; maps take seconds each."""
    config = (PROJECT / "mkdocs.yml").read_text(encoding="utf-8")
    plain = "  - soleplate\n"
    assert plain in config
    (folder / "mkdocs.yml").write_text(config if maps else config.replace(plain, "  - soleplate:\n      maps: false\n"), encoding="utf-8")
    docs = folder / "docs"
    if whole_guide:
        shutil.copytree(PROJECT / "docs", docs)
    else:
        (docs / "scenarios").mkdir(parents=True)
        shutil.copytree(PROJECT / "docs/assets", docs / "assets")
        (docs / "index.md").write_text("# Home\n\nWords.\n", encoding="utf-8")
        (docs / "scenarios/index.md").write_text("# Scenarios\n\n<!-- soleplate:scenario-index -->\n", encoding="utf-8")
        config = (folder / "mkdocs.yml").read_text(encoding="utf-8")
        start, end = config.index("\nnav:"), config.index("\n# Found through the index")
        (folder / "mkdocs.yml").write_text(config[:start] + "\nnav:\n  - index.md\n  - scenarios/index.md\n" + config[end:], encoding="utf-8")
    for name, text in scenarios.items():
        (docs / "scenarios" / f"{name}.md").write_text(text, encoding="utf-8")
    return folder


def build(folder: Path) -> subprocess.CompletedProcess:
    """Run `python -m generator build` in a folder."""
    environment = os.environ | {"PYTHONPATH": str(PROJECT), "NO_MKDOCS_2_WARNING": "1"}
    environment.pop("SITE_URL", None)
    return subprocess.run(
        [sys.executable, "-m", "generator", "build"], cwd=folder, env=environment, capture_output=True, text=True, timeout=300, check=False)


def fingerprints(site: Path) -> dict[str, str]:
    """Digest of every file of a built site, by its name."""
    return {
        str(path.relative_to(site)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(site.rglob("*")) if path.is_file()
    }
