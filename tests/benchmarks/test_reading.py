"""How the time to refuse a file grows with the file, as a ratio taken in one run."""

from __future__ import annotations

import gc
import time

from generator.problems import BadInput
from generator.scenario import read_scenario_text

FEW, MANY = 600, 6000


def refusing_s(count: int) -> float:
    """Processor time of refusing so many unknown keys, the best of three, s."""
    text = "---\n" + "".join(f"k{i}: 1\n" for i in range(count)) + "---\n"
    taken = []
    for _ in range(3):
        started = time.process_time()
        try:
            read_scenario_text(text, "plot.md", "plot")
        except BadInput as bad:
            assert len(bad.problems) >= count
        taken.append(time.process_time() - started)
    return min(taken)


def test_ten_times_the_unknown_keys_take_about_ten_times_as_long(capsys):
    # What other tests have kept is not to be looked through again and again meanwhile.
    gc.freeze()
    try:
        refusing_s(1)
        few, many = refusing_s(FEW), refusing_s(MANY)
    finally:
        gc.unfreeze()
    with capsys.disabled():
        print(f"\nrefusing {MANY} unknown keys over {FEW}: {many / few:.1f} times as long")
    assert many < 40.0 * few
