"""The examples in the calculators' docstrings are true."""

import doctest
import importlib
import pkgutil

import pytest

import calculators

MODULES = sorted(module.name for module in pkgutil.walk_packages(calculators.__path__, "calculators."))


@pytest.mark.parametrize("name", MODULES)
def test_examples(name):
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0


@pytest.mark.parametrize("name", ["numbers", "rules", "soils", "materials", "heat", "earthwork", "sources"])
def test_there_are_examples_to_run(name):
    module = importlib.import_module(f"calculators.{name}")
    assert sum(len(test.examples) for test in doctest.DocTestFinder().find(module)) > 0
