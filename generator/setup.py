"""One command to set up and serve the guide, one to set up and pass the tests.

    python3 -m generator.setup serve
    python3 -m generator.setup test

Needs Python 3.11 or later and nothing else: it makes `.venv` beside this
project, installs what pyproject.toml names, and runs.  Nothing is fetched
again until pyproject.toml changes.  Uses the standard library only.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent
ENVIRONMENT = PROJECT / ".venv"
OLDEST = (3, 11)


@dataclass(frozen=True)
class OptionalTool:
    """A program that some tests need: the names it goes by, what is skipped without it, and how to get it."""

    names: tuple[str, ...]
    skipped: str
    get_it: str

    @property
    def path(self) -> str | None:
        """Where it is; None where it is not installed."""
        return next((found for name in self.names if (found := shutil.which(name))), None)

    @property
    def missing_words(self) -> str:
        """What to say where it is not installed."""
        return f"{self.names[0]} is not installed, so {self.skipped} are skipped; on Debian: {self.get_it}"


OPTIONAL_TOOLS = {
    "browser": OptionalTool(("chromium", "chromium-browser", "google-chrome"), "the tests in a real browser and on paper", "apt-get install chromium"),
    "pdftotext": OptionalTool(("pdftotext",), "the tests of words on paper", "apt-get install poppler-utils"),
}
"""By the mark of the tests that need them."""

COMMANDS = {
    "serve": "set up, build and serve the guide at http://127.0.0.1:8000/",
    "build": "set up and build the guide into site/",
    "test": "set up and pass the tests",
}


def say(sentence: str) -> None:
    """Print a line of talk on standard error."""
    print(sentence, file=sys.stderr, flush=True)


def environment_python() -> Path:
    """Path of the Python inside the environment."""
    return ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def install(*what: str) -> bool:
    """Install packages or this project into the environment; returns whether that worked."""
    command = [str(environment_python()), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *what]
    return subprocess.run(command, cwd=PROJECT, check=False).returncode == 0


def prepare(for_tests: bool) -> None:
    """Make the environment if it is missing or older than pyproject.toml; exits with a sentence when that fails."""
    wanted = hashlib.sha256((PROJECT / "pyproject.toml").read_bytes() + str(sys.version_info[:2]).encode()).hexdigest()
    stamp = ENVIRONMENT / ("soleplate-tests.stamp" if for_tests else "soleplate.stamp")
    if stamp.exists() and stamp.read_text() == wanted:
        return
    if not environment_python().exists():
        say("Making an environment in .venv ...")
        if subprocess.run([sys.executable, "-m", "venv", str(ENVIRONMENT)], check=False).returncode != 0:
            shutil.rmtree(ENVIRONMENT, ignore_errors=True)
            sys.exit("Python could not make an environment. On Debian and Ubuntu install the package python3-venv, then run this again.")
    say("Installing what the guide needs ...")
    if not install("--editable", ".[test]" if for_tests else "."):
        sys.exit("Installing failed; the lines above say why. A connection to the Python package index is needed this once.")
    if for_tests and not install("--editable", ".[test,judges]"):
        say("Skipped: the independent judges (manifold3d, shapely, scipy, networkx and others) could not all be installed.")
        say("The tests that need them will be skipped and say so. To try again: .venv/bin/python -m pip install '.[judges]'")
    stamp.write_text(wanted)


def main(arguments: list[str]) -> int:
    """Run one of the commands; returns its exit code."""
    if sys.version_info < OLDEST:
        sys.exit(f"Python {OLDEST[0]}.{OLDEST[1]} or later is needed; this is {sys.version.split()[0]}.")
    if not arguments or arguments[0] not in COMMANDS:
        say("\n".join(f"  python3 -m generator.setup {name:<6} {about}" for name, about in COMMANDS.items()))
        return 2
    command, rest = arguments[0], arguments[1:]
    prepare(for_tests=command == "test")
    if command == "test":
        for tool in OPTIONAL_TOOLS.values():
            if tool.path is None:
                say(tool.missing_words)
        run = ["-m", "pytest", *rest]
    else:
        run = ["-m", "generator", command, *rest]
    try:
        return subprocess.run([str(environment_python()), *run], cwd=PROJECT, check=False).returncode
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
