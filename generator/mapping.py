"""Maps of what is cheapest, worked out once and kept: the slow part of a page, so it has a store of its own.

Knows files but not MkDocs.  A map is kept by the digest of all that it
depends on: the places it is worked out for, the rates, and the calculators.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import asdict
from multiprocessing import get_context
from pathlib import Path

from calculators.maps import HIRED, OWN, Cell, Map, cheapest_in, map_of, places
from calculators.scenario import Scenario
from calculators.site import Site
from generator.files import digest

SUFFIX = ".json"
MOST_AT_ONCE = 2
MOST_KEPT = 500
PLACES_AT_A_TIME = 4

Worker = Callable[[list[Scenario]], list[dict[str, Cell]]]


def one_by_one(wanted: list[Scenario]) -> list[dict[str, Cell]]:
    """Every place in turn."""
    return list(map(cheapest_in, wanted))


class MapStore:
    """Keeps maps in a folder, or in memory alone for None.

    `stamp` names the state of the calculators; `say` is told what is being
    worked out.  `sweep` throws out the oldest where there are many.
    """

    def __init__(self, folder: Path | None, stamp: str = "", say: Callable[[str], None] = lambda words: None):
        self.folder = folder
        self.stamp = stamp
        self.say = say
        self._asked: dict[str, dict[str, Map]] = {}
        self._worker: Worker = one_by_one

    @contextmanager
    def at_work(self) -> Iterator[None]:
        """Work out several places at a time inside this, where the machine can."""
        try:
            pool = ProcessPoolExecutor(min(MOST_AT_ONCE, os.cpu_count() or 1), mp_context=get_context("spawn"))
        except (OSError, ValueError, ImportError):
            yield
            return

        def pooled(wanted: list[Scenario]) -> list[dict[str, Cell]]:
            try:
                return list(pool.map(cheapest_in, wanted, chunksize=PLACES_AT_A_TIME))
            except (BrokenProcessPool, OSError, RuntimeError):
                # Some machines cannot start a second Python: the same, only slower.
                self._worker = one_by_one
                return one_by_one(wanted)

        self._worker = pooled
        try:
            yield
        finally:
            self._worker = one_by_one
            pool.shutdown(wait=False, cancel_futures=True)

    def maps_of(self, scenario: Scenario, site: Site) -> dict[str, Map]:
        """The maps of a plot, own labour and hired, with the plot's own place marked."""
        wanted = places(scenario, site)
        key = digest(repr(part).encode() for part in (self.stamp, wanted[0], wanted[-1], sorted(scenario.schedule.rates.items()), scenario.schedule.products))
        if key not in self._asked:
            found = self._taken_out(key, len(wanted))
            if found is None:
                self.say(f"Map of {scenario.slug}: {len(wanted)} places to work out")
                found = self._worker(wanted)
                self._put_in(key, found)
            self._asked[key] = {whose: map_of([cells[whose] for cells in found]) for whose in (OWN, HIRED)}
        you = site.gradient, site.plan.area_m2
        return {whose: Map(kept.slopes, kept.areas_m2, kept.cells, you) for whose, kept in self._asked[key].items()}

    def _taken_out(self, key: str, count: int) -> list[dict[str, Cell]] | None:
        if self.folder is None:
            return None
        try:
            kept = json.loads((self.folder / f"{key}{SUFFIX}").read_text(encoding="utf-8"))
            found = [{whose: Cell(**cells[whose]) for whose in (OWN, HIRED)} for cells in kept]
        except (OSError, ValueError, KeyError, TypeError):
            return None
        return found if len(found) == count else None

    def _put_in(self, key: str, found: Iterable[dict[str, Cell]]) -> None:
        if self.folder is None:
            return
        self.folder.mkdir(parents=True, exist_ok=True)
        half = self.folder / f"{key}.{os.getpid()}"
        half.write_text(json.dumps([{whose: asdict(cell) for whose, cell in cells.items()} for cells in found]), encoding="utf-8")
        half.replace(self.folder / f"{key}{SUFFIX}")

    def sweep(self) -> None:
        """Throw out the maps that were made longest ago, where more than enough are kept."""
        if self.folder is None or not self.folder.is_dir():
            return
        kept = sorted(self.folder.iterdir(), key=lambda file: file.stat().st_mtime, reverse=True)
        for file in kept[MOST_KEPT:]:
            file.unlink(missing_ok=True)
