"""What one more scenario costs a build, as a ratio taken in one run.

Times themselves are printed, never asserted: machines differ.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "site"))
from site_builder import PROJECT, scenario_text, small_site  # noqa: E402

MANY, FEW = 40, 8

# A bare page: the same finished body and list of contents, put in late by a hook, and the same files beside it,
# copied as they lie, with nothing read, compared or rendered.
BARE_HOOK = textwrap.dedent('''
    import json, pathlib
    from mkdocs.structure.toc import AnchorLink

    def on_page_content(html, page, config, files):
        contents = pathlib.Path(config.docs_dir).parent / "ready" / f"{page.file.name}.contents"
        if contents.exists():
            page.toc.items = []
            for level, name in json.loads(contents.read_text(encoding="utf-8")):
                link = AnchorLink(name, name, level)
                (page.toc.items[-1].children if level > 2 and page.toc.items else page.toc.items).append(link)
        return html

    def on_page_context(context, page, config, nav):
        body = pathlib.Path(config.docs_dir).parent / "ready" / f"{page.file.name}.body"
        if body.exists():
            page.content = body.read_text(encoding="utf-8")
        return context
''')

TIMED_BUILD = textwrap.dedent('''
    import logging, sys, time
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    logging.disable(logging.WARNING)
    config = load_config(sys.argv[1])
    started = time.process_time()
    config.plugins.on_startup(command="build", dirty=False)
    build(config)
    print(time.process_time() - started)
''')


def once(folder: Path) -> float:
    """Processor time of one build of a folder, in a process of its own, s."""
    result = subprocess.run(
        [sys.executable, "-c", TIMED_BUILD, str(folder / "mkdocs.yml")], cwd=folder, capture_output=True, text=True,
        env=os.environ | {"PYTHONPATH": str(PROJECT), "NO_MKDOCS_2_WARNING": "1"}, timeout=600, check=False)
    assert result.returncode == 0, result.stderr
    return float(result.stdout.split()[-1])


def built(folder: Path) -> tuple[float, float]:
    """Processor time of a folder's first build, and of the best of three later ones, s."""
    return once(folder), min(once(folder) for _ in range(3))


def ours(folder: Path, count: int) -> Path:
    folder.mkdir()
    sizes = (f"{4 + i % 40 / 10:.1f} m x {3 + i % 13 / 10:.1f} m" for i in range(count))
    return small_site(folder, {f"plot-{i}": scenario_text(title=f"Plot {i}", footprint=size) for i, size in enumerate(sizes)})


def bare(folder: Path, built: Path, count: int) -> Path:
    """The same pages and files, finished and lying ready."""
    folder.mkdir()
    ready = folder / "ready"
    ready.mkdir()
    small_site(folder, {})
    (folder / "docs/scenarios/index.md").write_text("# Scenarios\n", encoding="utf-8")
    config = (folder / "mkdocs.yml").read_text(encoding="utf-8").replace("  - soleplate:\n      maps: false\n", "")
    (folder / "hook.py").write_text(BARE_HOOK, encoding="utf-8")
    (folder / "mkdocs.yml").write_text(config + "\nhooks: [hook.py]\n", encoding="utf-8")
    for i in range(count):
        beside = folder / f"docs/scenarios/plot-{i}"
        shutil.copytree(built / f"site/scenarios/plot-{i}", beside, ignore=shutil.ignore_patterns("index.html"))
        html = (built / f"site/scenarios/plot-{i}/index.html").read_text(encoding="utf-8")
        start = html.index("<h1", html.index("<article"))
        body = html[start:html.index("</article>")]
        (folder / f"docs/scenarios/plot-{i}.md").write_text(f"---\ntitle: Plot {i}\n---\n\n# Plot {i}\n\nSome words.\n", encoding="utf-8")
        (ready / f"plot-{i}.body").write_text(body, encoding="utf-8")
        headings = [(int(level), name) for level, name in re.findall(r'<h([23]) id="([^"]+)"', body)]
        (ready / f"plot-{i}.contents").write_text(json.dumps(headings), encoding="utf-8")
    return folder


def test_one_more_scenario_costs_less_than_twice_a_bare_page(tmp_path, capsys):
    """In a build that finds what earlier builds kept; the very first build, which works everything out, is printed beside it."""
    many = ours(tmp_path / "many", MANY)
    first_many, many_s = built(many)
    first_few, few_s = built(ours(tmp_path / "few", FEW))
    _, bare_many_s = built(bare(tmp_path / "bare-many", many, MANY))
    _, bare_few_s = built(bare(tmp_path / "bare-few", many, FEW))
    more = MANY - FEW
    first, marginal, bare_marginal = (first_many - first_few) / more, (many_s - few_s) / more, (bare_many_s - bare_few_s) / more
    with capsys.disabled():
        print(f"\none more scenario {marginal * 1000:.1f} ms (in the very first build {first * 1000:.0f} ms), "
              f"a bare page with the same body and files {bare_marginal * 1000:.1f} ms: ratio {marginal / bare_marginal:.2f}")
    assert marginal < 2.0 * bare_marginal
