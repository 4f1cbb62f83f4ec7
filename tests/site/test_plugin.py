"""The plugin by itself: what a rebuild while serving does again, and how long our own share of it is."""

from __future__ import annotations

import logging
import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from site_builder import scenario_text, small_site  # noqa: E402

from mkdocs.commands.build import build as mkdocs_build  # noqa: E402
from mkdocs.config import load_config  # noqa: E402

from generator import shelf as shelf_module  # noqa: E402
from generator.plugin import plain_title  # noqa: E402


@pytest.fixture
def served(tmp_path, monkeypatch):
    """The whole guide with its plugin as a preview holds it, built once: (plugin, build again, folder)."""
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    monkeypatch.delenv("SITE_URL", raising=False)
    logging.getLogger("mkdocs").setLevel(logging.CRITICAL)
    folder = small_site(tmp_path, {"shed": scenario_text()}, whole_guide=True)
    config = load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / "site"))
    config.plugins.on_startup(command="serve", dirty=False)
    plugin = config.plugins["soleplate"]

    def again():
        fresh = load_config(str(folder / "mkdocs.yml"), site_dir=str(folder / "site"))
        # A preview keeps its plugin between builds.
        fresh.plugins = config.plugins
        mkdocs_build(fresh)

    mkdocs_build(config)
    return plugin, again, folder


def test_one_edit_does_one_scenario_again_and_own_share_is_small(served, monkeypatch, capsys):
    plugin, again, folder = served
    done = []
    monkeypatch.setattr(shelf_module, "shelve", lambda path, maps, make=shelf_module.shelve: done.append(path.name) or make(path, maps))
    again()
    assert done == []
    (folder / "docs/scenarios/shed.md").write_text(scenario_text(footprint="6 m x 4 m"), encoding="utf-8")
    again()
    assert done == ["shed.md"]
    with capsys.disabled():
        print(f"\nown share of a rebuild after one edit: {plugin.own_seconds:.3f} s (wanted: under 0.2 s)")


def test_a_build_does_again_only_what_is_not_kept_on_disk(served, monkeypatch):
    _, _, folder = served
    done = []
    monkeypatch.setattr(shelf_module, "shelve", lambda path, maps, make=shelf_module.shelve: done.append(path.name) or make(path, maps))
    store = folder / ".cache/scenarios"
    kept = shelf_module.Shelf(folder / "docs/scenarios", store)
    first = kept.refresh()
    assert done == [] and len(first) == len(list(store.iterdir()))
    # What is kept and cannot be read is made again.
    next(iter(store.iterdir())).write_text("{", encoding="utf-8")
    second = shelf_module.Shelf(folder / "docs/scenarios", store).refresh()
    assert len(done) == 1
    assert [entry.page for entry in second] == [entry.page for entry in first]


def test_a_changed_schedule_beside_the_scenarios_does_them_all_again(served, monkeypatch):
    _, again, folder = served
    done = []
    monkeypatch.setattr(shelf_module, "shelve", lambda path, maps, make=shelf_module.shelve: done.append(path.name) or make(path, maps))
    shipped = Path(shelf_module.CODE, "rates/demo-gb.yml").read_text(encoding="utf-8")
    (folder / "docs/scenarios/our-quotes.yml").write_text(shipped.replace("name: demo-gb", "name: our-quotes"), encoding="utf-8")
    again()
    assert len(done) == len([p for p in os.listdir(folder / "docs/scenarios") if p.endswith(".md") and p != "index.md"])


def test_titles_cannot_carry_markup_where_mkdocs_does_not_escape():
    assert not set(plain_title("</title><script>\"&\\")) & set("<>&\"\\")
