"""Writes the golden files again: our own output, kept to show what a change changes.  They prove nothing.

    python tests/golden/regenerate.py

Then read the differences before you keep them.  `<scheme>.md` is the input;
`<scheme>.txt` and `<scheme>.json` are what `soleplate compare` gives for it.
"""

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent.parent))

from calculators.compare import compare  # noqa: E402
from generator.comparison_json import comparison_json  # noqa: E402
from generator.scenario import read_scenario_file  # noqa: E402
from generator.text_table import text_table  # noqa: E402


def golden_output(scenario: Path) -> dict[str, str]:
    """What is kept for one input, by the ending of its file."""
    reading = read_scenario_file(scenario)
    comparison = compare(reading.scenario)
    return {".txt": text_table(comparison), ".json": comparison_json(reading, comparison)}


if __name__ == "__main__":
    for scenario in sorted(HERE.glob("*.md")):
        for ending, text in golden_output(scenario).items():
            scenario.with_suffix(ending).write_text(text, encoding="utf-8", newline="\n")
