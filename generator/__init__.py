"""Reads scenarios and writes pages, drawings and files.  Holds no formulas: those are in `calculators`."""

from pathlib import Path

__version__ = "0.1.0"

CODE = Path(__file__).resolve().parent
"""Where this package lies, with its templates and schedules of rates."""
