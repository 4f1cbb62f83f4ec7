"""All scenarios of a folder, read, compared and rendered once, kept until something they depend on changes.

Knows files but not MkDocs.  A scenario that cannot be read does not stop the
others: its problems are kept, and whoever asked decides what to do.  What was
rendered is kept on disk too, so that a build does again only what changed.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from functools import cached_property
from pathlib import Path

from calculators.compare import Comparison
from generator import CODE, order_page, pour_page, programme_page, setting_out_page
from generator.bill_csv import bill_csv
from generator.comparing import compared
from generator.comparison_json import comparison_json
from generator.display import Shown
from generator.files import digest
from generator.icalendar import calendar_file
from generator.mapping import MapStore
from generator.pages import Card, Heading, Page, card_of, problem_page, scenario_page
from generator.problems import BadInput, Problem
from generator.scenario import Reading
from generator.setting_out_csv import setting_out_csv

INDEX = "index.md"
SUFFIX = ".kept"
"""One line of JSON that says how long each text is, then the texts as they are: a parser of large strings would cost more than the writing."""


@dataclass(frozen=True)
class Shelved:
    """One scenario's page, its card in the index, and the files beside its page by their names, in UTF-8."""

    slug: str
    path: Path
    page: Page
    card: Card
    files: dict[str, bytes]

    @cached_property
    def _loaded(self) -> tuple[Reading, Comparison]:
        return compared(self.path)

    def load(self) -> tuple[Reading, Comparison]:
        """The reading and the comparison, worked out when they are first asked for."""
        return self._loaded


@dataclass(frozen=True)
class Spoiled:
    """A scenario that cannot be read, with every problem and a page that shows them."""

    slug: str
    path: Path
    problems: tuple[Problem, ...]
    page: Page


class Shelf:
    """The scenarios of one folder of documents.

    `refresh` does a scenario again when its own text, a schedule of rates, a
    template or the code changes.  `store` is a folder for what was rendered,
    or None to keep it in memory alone; `maps` keeps maps, or is None for pages
    without them.  After `refresh`, `code_stamp` changes
    with the code, templates, schedules and evidence, `stamp` with any scenario too.
    """

    def __init__(self, scenarios: Path, store: Path | None = None, maps: MapStore | None = None):
        self.scenarios = scenarios
        self.store = store
        self.maps = maps
        self.code_stamp = ""
        self.stamp = ""
        self._kept: dict[str, tuple[str, Shelved | Spoiled]] = {}
        self._file_digests: dict[Path, tuple[tuple[int, int], str]] = {}

    def refresh(self) -> list[Shelved | Spoiled]:
        """Every scenario in order of its file's name."""
        common = self._common_stamp()
        if self.maps is not None:
            self.maps.stamp = digest(self._digest_of(path).encode() for path in sorted((CODE.parent / "calculators").rglob("*.py")))
        found = []
        for path in sorted(self.scenarios.glob("*.md")):
            if path.name == INDEX:
                continue
            stamp = digest((path.name.encode(), self._digest_of(path).encode(), common.encode(), str(self.maps is not None).encode()))
            kept = self._kept.get(path.name)
            if kept is None or kept[0] != stamp:
                kept = (stamp, self._taken_out(path, stamp) or self._put_in(path, stamp))
                self._kept[path.name] = kept
            found.append(kept[1])
        self._kept = {name: kept for name, kept in self._kept.items() if (self.scenarios / name).exists()}
        self._sweep()
        self.code_stamp = digest((common.encode(), *(self._digest_of(path).encode() for path in sorted(self.scenarios.parent.glob("evidence/*.yml")))))
        self.stamp = digest((self.code_stamp.encode(), *(stamp.encode() for stamp, _ in self._kept.values())))
        return found

    def stamp_of(self, slug: str) -> str:
        """What changes when one scenario does; empty for one that is not there."""
        return self._kept.get(f"{slug}.md", ("", None))[0]

    def _common_stamp(self) -> str:
        """Digest of everything besides its own text that a page depends on."""
        files = [p for pattern in ("*.py", "templates/**/*", "rates/*.yml", "drawings/*.py") for p in CODE.glob(pattern)]
        files += (CODE.parent / "calculators").rglob("*.py")
        # A reader's own schedule of rates lies beside the scenarios.
        files += self.scenarios.glob("*.yml")
        return digest(self._digest_of(path).encode() for path in sorted(files) if path.is_file())

    def _digest_of(self, path: Path) -> str:
        """Digest of a file, read again only when its time or size has changed."""
        status = path.stat()
        mark = (status.st_mtime_ns, status.st_size)
        known = self._file_digests.get(path)
        if known is None or known[0] != mark:
            known = (mark, digest((path.read_bytes(),)))
            self._file_digests[path] = known
        return known[1]

    def _put_in(self, path: Path, stamp: str) -> Shelved | Spoiled:
        """Do a scenario and keep what came of it; problems are never kept on disk."""
        made = shelve(path, self.maps)
        if self.store is not None and isinstance(made, Shelved):
            self.store.mkdir(parents=True, exist_ok=True)
            # Written whole under another name first, so that a build that is stopped leaves nothing half-written.
            half = self.store / f"{stamp}.{os.getpid()}"
            half.write_bytes(_packed(made))
            half.replace(self.store / f"{stamp}{SUFFIX}")
        return made

    def _taken_out(self, path: Path, stamp: str) -> Shelved | None:
        """What is kept on disk for a stamp; None where there is nothing that can be used."""
        if self.store is None:
            return None
        try:
            return _unpacked(path, (self.store / f"{stamp}{SUFFIX}").read_bytes())
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def _sweep(self) -> None:
        """Throw out what is kept on disk for texts and code that are no more."""
        if self.store is None or not self.store.is_dir():
            return
        wanted = {f"{stamp}{SUFFIX}" for stamp, _ in self._kept.values()}
        for file in self.store.iterdir():
            if file.name not in wanted:
                file.unlink(missing_ok=True)


def _packed(made: Shelved) -> bytes:
    """A scenario's page and files as they are kept on disk."""
    page = asdict(made.page)
    texts = {"": page.pop("html").encode("utf-8"), **made.files}
    head = {"page": page, "card": asdict(made.card), "lengths": {name: len(text) for name, text in texts.items()}}
    return b"".join((json.dumps(head).encode("ascii"), b"\n", *texts.values()))


def _unpacked(path: Path, kept: bytes) -> Shelved:
    """What was packed; raises ValueError, KeyError or TypeError for anything else."""
    first, _, rest = kept.partition(b"\n")
    head = json.loads(first)
    if sum(head["lengths"].values()) != len(rest):
        raise ValueError("what is kept has been cut short")
    texts, start = {}, 0
    for name, length in head["lengths"].items():
        texts[name] = rest[start:start + length]
        start += length
    page, card = head["page"], head["card"]
    page["headings"] = tuple(Heading(**heading) for heading in page["headings"])
    card |= {key: Shown(**card[key]) for key in ("size", "ground", "verdict")}
    return Shelved(path.stem, path, Page(html=texts.pop("").decode("utf-8"), **page), Card(**card), texts)


def shelve(path: Path, maps: MapStore | None = None) -> Shelved | Spoiled:
    """Read, compare and render one scenario file, with its maps where somebody keeps them."""
    try:
        reading, comparison = compared(path)
    except BadInput as bad:
        # Problems name the file as its owner knows it, not where this machine keeps it.
        name = f"{path.parent.name}/{path.name}"
        problems = tuple(Problem(name if p.file == str(path) else Path(p.file).name, p.line, p.field, p.given, p.wanted, p.example) for p in bad.problems)
        return Spoiled(path.stem, path, problems, problem_page(name, problems))
    return Shelved(
        slug=path.stem,
        path=path,
        page=scenario_page(reading, comparison, maps.maps_of(comparison.scenario, comparison.site) if maps is not None else None),
        card=card_of(reading, comparison),
        files={name: text.encode("utf-8") for name, text in _files(reading, comparison).items()},
    )


def _files(reading: Reading, comparison: Comparison) -> dict[str, str]:
    """What lies beside a scenario's page, by name; a scheme outside the limits has no sheets."""
    files = {"comparison.json": comparison_json(reading, comparison), "bill.csv": bill_csv(comparison)}
    for result in comparison.schemes:
        if not result.buildable:
            continue
        job = comparison.jobs[result.id]
        files |= {
            setting_out_page.file_name(result, "html"): setting_out_page.setting_out_page(comparison, result),
            setting_out_page.file_name(result, "csv"): setting_out_csv(comparison, [result]),
            order_page.file_name(result, "html"): order_page.order_page(comparison, result, job),
            order_page.file_name(result, "csv"): order_page.order_csv(comparison, result, job),
            pour_page.file_name(result, "html"): pour_page.pour_page(comparison, result, job),
            programme_page.file_name(result, "html"): programme_page.programme_page(comparison, result, job),
            programme_page.file_name(result, "ics"): calendar_file(comparison, result, job),
        }
    return files
