"""What every calculator must be: documented with units and source, and pure."""

import ast
import importlib
import inspect
import pkgutil
import re
import sys
from pathlib import Path

import pytest

import calculators

MODULES = sorted(module.name for module in pkgutil.walk_packages(calculators.__path__, "calculators."))
UNIT = re.compile(r"\b(m|mm|m2|m3|kg|t|kN|kPa|MPa|GPa|W|K|kWh|degrees?|%|hours?|no units?|any unit|money)\b|/m|%")
SOURCE = re.compile(r"\b[Ss]ource")

# These put together what the formulas give, by definitions that their own module states;
# there is no document to name at each step.  A module that is not here is held to the full rule.
ASSEMBLY = {"benches", "compare", "ground", "plan", "pricing", "quantities", "scenario", "schedule", "site", "works"}

# What would let the world in: files, clock, chance, network, other people's packages.
IMPURE = {"os", "io", "pathlib", "time", "datetime", "socket", "urllib", "subprocess", "shutil", "tempfile", "locale"}


def _public_functions():
    for name in MODULES:
        module = importlib.import_module(name)
        for function_name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == name and not function_name.startswith("_"):
                yield pytest.param(function, id=f"{name}.{function_name}")


@pytest.mark.parametrize("function", list(_public_functions()))
def test_docstring_gives_units_and_source(function):
    text = inspect.getdoc(function) or ""
    assert text, f"{function.__qualname__} says nothing about itself"
    part = function.__module__.split(".")[1]
    if part == "schemes" or part in ASSEMBLY:
        return
    assert UNIT.search(text), f"{function.__qualname__} does not say in which units it works"
    assert SOURCE.search(text), f"{function.__qualname__} does not name its source"


@pytest.mark.parametrize("name", MODULES)
def test_module_is_pure(name):
    tree = ast.parse(Path(importlib.import_module(name).__file__).read_text(encoding="utf-8"))
    imported = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module == "datetime":
            # A date is a figure like any other; the clock is not.
            assert {alias.name for alias in node.names} <= {"date", "timedelta"}, f"{name} imports more of datetime than dates"
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            imported.add(node.module.split(".")[0])
        elif isinstance(node, ast.Attribute):
            assert node.attr not in ("today", "now", "utcnow", "fromtimestamp"), f"{name} asks the clock"
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("open", "print", "input", "eval", "exec"), f"{name} calls {node.func.id}"
    outside = imported - {"calculators"} - set(sys.stdlib_module_names)
    assert not outside, f"{name} needs {sorted(outside)}"
    assert not imported & IMPURE, f"{name} imports {sorted(imported & IMPURE)}"
