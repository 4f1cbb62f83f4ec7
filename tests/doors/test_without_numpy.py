"""The core runs where there is no library for arrays, with the same figures at the same number of draws."""

import dataclasses
import json
import pickle
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from calculators.compare import compare
from generator.scenario import read_scenario_file

PROJECT = Path(__file__).resolve().parents[2]
SCENARIO = PROJECT / "docs/scenarios/cabin-in-deep-frost.md"
DRAWS = 250

# Nothing but the core, and nothing it could fall back on.
ALONE = textwrap.dedent("""
    import sys
    for missing in ("numpy", "scipy", "pint", "yaml", "mkdocs", "jinja2"):
        sys.modules[missing] = None
    import dataclasses, json, pickle
    from calculators.compare import compare
    scenario = pickle.load(sys.stdin.buffer)
    certainty = compare(scenario, draws=int(sys.argv[1])).certainty
    assert not [name for name, module in sys.modules.items() if name.split(".")[0] in ("numpy", "generator") and module is not None]
    print(json.dumps({"ranges": dataclasses.asdict(certainty.ranges), "switches": [dataclasses.astuple(switch) for switch in certainty.switches],
                      "drivers": [(driver.thing.key, driver.swing) for driver in certainty.drivers]}))
""")


def flat(found, where=""):
    """Every leaf of nested dictionaries and lists, by where it is."""
    if isinstance(found, dict):
        return {leaf: value for key, part in found.items() for leaf, value in flat(part, f"{where}.{key}").items()}
    if isinstance(found, (list, tuple)):
        return {leaf: value for i, part in enumerate(found) for leaf, value in flat(part, f"{where}[{i}]").items()}
    return {where: found}


def test_the_same_figures_without_numpy():
    numpy = pytest.importorskip("numpy")
    scenario = read_scenario_file(SCENARIO).scenario
    ran = subprocess.run(
        [sys.executable, "-c", ALONE, str(DRAWS)], input=pickle.dumps(scenario), capture_output=True, cwd=PROJECT, timeout=300, check=False)
    assert ran.returncode == 0, ran.stderr.decode()
    alone = json.loads(ran.stdout)
    certainty = compare(scenario, draws=DRAWS, vector=numpy.array).certainty
    together = json.loads(json.dumps({
        "ranges": dataclasses.asdict(certainty.ranges), "switches": [dataclasses.astuple(switch) for switch in certainty.switches],
        "drivers": [(driver.thing.key, driver.swing) for driver in certainty.drivers]}))
    one, two = flat(alone), flat(together)
    assert one.keys() == two.keys() and len(one) > 300
    for where, value in one.items():
        assert two[where] == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value), where
