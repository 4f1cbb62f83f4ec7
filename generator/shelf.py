"""All scenarios of a folder, read, compared and rendered once, kept until something they depend on changes.

Knows files but not MkDocs.  A scenario that cannot be read does not stop the
others: its problems are kept, and whoever asked decides what to do.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from calculators.compare import Comparison, compare
from generator.bill_csv import bill_csv
from generator.comparison_json import comparison_json
from generator.pages import Page, problem_page, scenario_page
from generator.problems import BadInput, Problem
from generator.scenario import Reading, read_scenario_file

CODE = Path(__file__).resolve().parent
INDEX = "index.md"


@dataclass(frozen=True)
class Shelved:
    """One scenario's page and the files beside it."""

    slug: str
    path: Path
    reading: Reading
    comparison: Comparison
    page: Page
    json_text: str
    csv_text: str


@dataclass(frozen=True)
class Spoiled:
    """A scenario that cannot be read, with every problem and a page that shows them."""

    slug: str
    path: Path
    problems: tuple[Problem, ...]
    page: Page


def digest(*contents: bytes) -> str:
    """A short name for some contents."""
    found = hashlib.sha256()
    for content in contents:
        found.update(len(content).to_bytes(8, "big") + content)
    return found.hexdigest()


class Shelf:
    """The scenarios of one folder of documents.

    `refresh` reads what changed since the last time: a scenario is done again
    when its own text, a schedule of rates, a template or the code changes.
    """

    def __init__(self, scenarios: Path):
        self.scenarios = scenarios
        self._kept: dict[str, tuple[str, Shelved | Spoiled]] = {}
        self._file_digests: dict[Path, tuple[tuple[int, int], str]] = {}

    def refresh(self) -> list[Shelved | Spoiled]:
        """Every scenario in order of its file's name."""
        common = self._common_stamp()
        found = []
        for path in sorted(self.scenarios.glob("*.md")):
            if path.name == INDEX:
                continue
            stamp = self._digest_of(path) + common
            kept = self._kept.get(path.name)
            if kept is None or kept[0] != stamp:
                kept = (stamp, shelve(path))
                self._kept[path.name] = kept
            found.append(kept[1])
        return found

    def _common_stamp(self) -> str:
        """Digest of everything besides its own text that a page depends on."""
        files = [p for pattern in ("*.py", "templates/**/*", "rates/*.yml", "drawings/*.py") for p in CODE.glob(pattern)]
        files += (CODE.parent / "calculators").rglob("*.py")
        # A reader's own schedule of rates lies beside the scenarios.
        files += self.scenarios.glob("*.yml")
        return "".join(self._digest_of(path) for path in sorted(files) if path.is_file())

    def _digest_of(self, path: Path) -> str:
        """Digest of a file, read again only when its time or size has changed."""
        status = path.stat()
        mark = (status.st_mtime_ns, status.st_size)
        known = self._file_digests.get(path)
        if known is None or known[0] != mark:
            known = (mark, digest(path.read_bytes()))
            self._file_digests[path] = known
        return known[1]


def shelve(path: Path) -> Shelved | Spoiled:
    """Read, compare and render one scenario file."""
    # Problems name the file as its owner knows it, not where this machine keeps it.
    name = f"{path.parent.name}/{path.name}"
    try:
        reading = read_scenario_file(path)
    except BadInput as bad:
        problems = tuple(Problem(name, p.line, p.field, p.given, p.wanted, p.example) if p.file == str(path) else p for p in bad.problems)
        return Spoiled(path.stem, path, problems, problem_page(name, problems))
    comparison = compare(reading.scenario)
    return Shelved(
        slug=path.stem,
        path=path,
        reading=reading,
        comparison=comparison,
        page=scenario_page(reading, comparison),
        json_text=comparison_json(reading, comparison),
        csv_text=bill_csv(comparison),
    )
