"""Reads scenarios and writes pages, drawings and files.  Holds no formulas: those are in `calculators`."""

__version__ = "0.1.0"
