"""The commands of `soleplate`.  A thin door: reads, calls, prints.

Results go to standard output, talk to standard error.  Exit codes: 0; 2 for
input that cannot be used, with every problem; 1 for anything else.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path

from calculators.scenario import COMPOUNDS, FLOOR_FINISHES, UNITS, USES

# MkDocs, pint and the schemas are imported where they are used: a command that does not need them starts at once.

OK, ELSE, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130

DEBUG = "SOLEPLATE_DEBUG"
CONFIG = "mkdocs.yml"
PROJECT = Path(__file__).resolve().parent.parent


class Failed(Exception):
    """Something outside the input went wrong; the text is a sentence."""


def say(sentence: str) -> None:
    """Print a line of talk on standard error."""
    print(sentence, file=sys.stderr, flush=True)


def show(text: str, exact: bool = False) -> None:
    """Print a result on standard output; `exact` is text for machines, always in UTF-8 and with its own line ends."""
    out = sys.stdout
    if hasattr(out, "reconfigure"):
        out.reconfigure(**({"encoding": "utf-8", "newline": ""} if exact else {"errors": "replace"}))
    out.write(text)
    out.flush()


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    from generator.problems import BadInput, plain_text

    chosen = parser().parse_args(arguments)
    try:
        return chosen.run(chosen)
    except BadInput as bad:
        for problem in bad.problems:
            say(problem.sentence())
        return BAD_INPUT
    except Failed as failed:
        say(f"soleplate: {failed}")
        return ELSE
    except BrokenPipeError:
        # Whoever read has read enough; without this Python complains again while it closes.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except KeyboardInterrupt:
        return INTERRUPTED
    except Exception as error:
        if os.environ.get(DEBUG) == "1":
            raise
        say(f"soleplate: this should not have happened ({type(error).__name__}: {plain_text(str(error))[:200]}). To see where, set {DEBUG}=1 and run it again.")
        return ELSE


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="soleplate", allow_abbrev=False,
        description="Foundations for a small building on ground that is not level, compared like for like on one plot.")
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")

    def command(name: str, run: Callable[[argparse.Namespace], int], purpose: str, example: str) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=purpose, description=purpose, epilog=f"Example: soleplate {example}", allow_abbrev=False)
        made.set_defaults(run=run)
        return made

    def overrides(made: argparse.ArgumentParser) -> None:
        made.add_argument("--set", action="append", default=[], metavar="KEY=VALUE", dest="overrides",
                          help='put a value in place of the one in the file, as --set "plot.footprint=7.2 m x 4.8 m"; may be given again')

    made = command("compare", run_compare, "Compare the schemes on one plot.", "compare docs/scenarios/my-plot.md --set plot.slope=1:10")
    made.add_argument("file", metavar="FILE", help="a scenario")
    shape = made.add_mutually_exclusive_group()
    shape.add_argument("--text", action="store_const", const="text", dest="shape", help="one screen of text (this is what you get if you do not say)")
    shape.add_argument("--json", action="store_const", const="json", dest="shape", help="everything, as JSON; see the command schema")
    shape.add_argument("--csv", action="store_const", const="csv", dest="shape", help="the bills, as a table for a spreadsheet")
    made.set_defaults(shape="text")
    overrides(made)
    made.add_argument("--draws", metavar="N", help="how often to draw what nobody knows exactly: 1 to 100000 (10000 if you do not say, 250 where NumPy is missing)")

    def sheet(name: str, run: Callable[[argparse.Namespace], int], purpose: str) -> argparse.ArgumentParser:
        made = command(name, run, purpose, f"{name} docs/scenarios/my-plot.md --scheme strip-and-block")
        made.add_argument("file", metavar="FILE", help="a scenario")
        made.add_argument("--scheme", metavar="ID", help="of which scheme (the cheapest within limits if you do not say)")
        overrides(made)
        return made

    made = sheet("setting-out", run_setting_out, "Print the setting-out sheet of one scheme.")
    made.add_argument("--csv", action="store_true", help="as a table for a spreadsheet, in metres")
    made.add_argument("--reading", metavar="LENGTH", help='what the staff shows on the bench mark, as --reading "1.245 m"; then every level is given as a reading too')

    made = command("flatness", run_flatness, "Tell how flat a floor came out and what may be done about it.", "flatness docs/floors/garden-store.csv --finish tiles")
    made.add_argument("file", metavar="LEVELS", help="a file of levels taken on the floor: lines of x, y and level below a heading that names the units, as x m, y m, level mm")
    made.add_argument("--against", metavar="FILE", help="a scenario: its building, prices, units and what it says of the floor")
    made.add_argument("--finish", choices=FLOOR_FINISHES, help=f"what is to lie on it ({FLOOR_FINISHES[0]} if you do not say)")
    made.add_argument("--compound", choices=COMPOUNDS, help=f"the levelling compound, for a thin coat or for deep hollows ({COMPOUNDS[0]} if you do not say)")
    made.add_argument("--use", choices=USES, help=f"what the building is used for ({USES[0]} if you do not say)")
    made.add_argument("--level", action="store_true", help="hold it against a level plane, not the one that fits it best")
    made.add_argument("--rates", metavar="NAME", help="a schedule of rates (demo-gb if you do not say)")
    made.add_argument("--units", choices=UNITS, help="units of the text (metric if you do not say)")
    shape = made.add_mutually_exclusive_group()
    shape.add_argument("--text", action="store_const", const="text", dest="shape", help="lines of text (this is what you get if you do not say)")
    shape.add_argument("--json", action="store_const", const="json", dest="shape", help="everything, as JSON")
    made.set_defaults(shape="text")

    made = sheet("order", run_order, "Print the order list of one scheme: what, from whom, in which words, by when.")
    made.add_argument("--csv", action="store_true", help="as a table for a spreadsheet")
    sheet("pour", run_pour, "Print the day sheet of each pour of one scheme: order, crew, clock, checklist.")
    made = sheet("programme", run_programme, "Print the programme of one scheme: dates, what waits for what, your hours.")
    made.add_argument("--ics", action="store_true", help="as a file for a calendar")

    made = command("check", run_check, "Read scenarios and tell every problem.", "check docs/scenarios/my-plot.md")
    made.add_argument("files", metavar="FILE", nargs="+", help="a scenario")

    made = command("new", run_new, "Write a new scenario, with every key explained, to fill in.", "new my-plot")
    made.add_argument("name", metavar="NAME", help="its name in addresses: small letters, figures and hyphens")
    made.add_argument("--from", metavar="FILE", dest="source", help="a scenario to start from")
    overrides(made)

    command("build", run_build, "Build the site into the folder site.", "build")

    made = command("serve", run_serve, "Show the site on this machine and build it again when something changes.", "serve")
    made.add_argument("--address", metavar="HOST:PORT", help="where to show it (127.0.0.1:8000 if you do not say)")

    made = command("schema", run_schema, "Print the JSON Schema of a scenario or of a comparison.", "schema comparison")
    made.add_argument("what", nargs="?", choices=("scenario", "comparison"), default="scenario", help="of which (a scenario if you do not say)")
    return top


def run_compare(chosen: argparse.Namespace) -> int:
    """`soleplate compare`."""
    from calculators.draws import MOST_DRAWS
    from generator.comparing import compared
    from generator.problems import as_shown

    draws = None
    if chosen.draws is not None:
        if not (chosen.draws.isascii() and chosen.draws.isdigit() and len(chosen.draws) < 10 and 1 <= int(chosen.draws) <= MOST_DRAWS):
            say(f"soleplate: --draws: {as_shown(chosen.draws)} is not a number of draws; write a whole number from 1 to {MOST_DRAWS}, like 250")
            return BAD_INPUT
        draws = int(chosen.draws)
    reading, comparison = compared(chosen.file, chosen.overrides, draws)
    if chosen.shape == "json":
        from generator.comparison_json import comparison_json

        show(comparison_json(reading, comparison), exact=True)
    elif chosen.shape == "csv":
        from generator.bill_csv import bill_csv

        show(bill_csv(comparison), exact=True)
    else:
        from generator.text_table import text_table

        show(text_table(comparison, ascii_only=not _shows_signs()))
    return OK


def _chosen_scheme(chosen: argparse.Namespace):
    """The comparison of a file and the scheme whose sheet was asked for; None for a scheme that is not compared, which has then been said."""
    from generator.comparing import compared
    from generator.problems import as_shown, listed
    from generator.setting_out_page import no_sheet_words

    _, comparison = compared(chosen.file, chosen.overrides, draws=0)
    there = [result.id for result in comparison.schemes]
    if chosen.scheme is not None and chosen.scheme not in there:
        say(f"soleplate: --scheme: {as_shown(chosen.scheme)} is not compared in this scenario; take {listed(there)}")
        return None
    scheme = chosen.scheme or next(iter(comparison.decision.order), None)
    if scheme is None:
        raise Failed(" ".join(map(no_sheet_words, comparison.schemes)))
    result = comparison.scheme(scheme)
    if not result.buildable:
        raise Failed(no_sheet_words(result))
    return comparison, result


def run_setting_out(chosen: argparse.Namespace) -> int:
    """`soleplate setting-out`."""
    from generator.quantities import Unreadable, parse
    from generator.setting_out_csv import setting_out_csv
    from generator.setting_out_page import setting_out_text

    try:
        reading_m = None if chosen.reading is None else parse(chosen.reading, "length")
    except Unreadable as error:
        say(f"soleplate: --reading: {error}")
        return BAD_INPUT
    if (found := _chosen_scheme(chosen)) is None:
        return BAD_INPUT
    comparison, result = found
    if chosen.csv:
        show(setting_out_csv(comparison, [result], reading_m), exact=True)
    else:
        show(setting_out_text(comparison, result, reading_m, ascii_only=not _shows_signs()))
    return OK


def run_order(chosen: argparse.Namespace) -> int:
    """`soleplate order`."""
    from generator.order_page import order_csv, order_text

    return _show_sheet(chosen, order_text, order_csv if chosen.csv else None)


def run_pour(chosen: argparse.Namespace) -> int:
    """`soleplate pour`."""
    from generator.pour_page import pour_text

    return _show_sheet(chosen, pour_text)


def run_programme(chosen: argparse.Namespace) -> int:
    """`soleplate programme`."""
    from generator.icalendar import calendar_file
    from generator.programme_page import programme_text

    return _show_sheet(chosen, programme_text, calendar_file if chosen.ics else None)


def _show_sheet(chosen: argparse.Namespace, text: Callable[..., str], for_machines: Callable[..., str] | None = None) -> int:
    """Print a sheet of the rest of the job, as lines or in a form for machines."""
    if (found := _chosen_scheme(chosen)) is None:
        return BAD_INPUT
    comparison, result = found
    job = comparison.jobs[result.id]
    if for_machines is not None:
        show(for_machines(comparison, result, job), exact=True)
    else:
        show(text(comparison, result, job, ascii_only=not _shows_signs()))
    return OK


def run_flatness(chosen: argparse.Namespace) -> int:
    """`soleplate flatness`."""
    from generator.flatness_page import floor_json, floor_text
    from generator.floor_levels import levelled

    found, schedule, title, units = levelled(chosen.file, chosen.against, chosen.rates, {
        "finish": chosen.finish, "compound": chosen.compound, "against_level": chosen.level or None}, chosen.use, chosen.units, say)
    if chosen.shape == "json":
        show(floor_json(found, schedule.currency), exact=True)
    else:
        show(floor_text(found, title, schedule, units, ascii_only=not _shows_signs()))
    return OK


def _shows_signs() -> bool:
    """Whether standard output has more than plain letters."""
    try:
        "\u2212²³£×·°".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def run_check(chosen: argparse.Namespace) -> int:
    """`soleplate check`."""
    from generator.comparing import compared
    from generator.problems import BadInput, plain_text

    worst = OK
    for file in chosen.files:
        try:
            compared(file, draws=0)
        except BadInput as bad:
            worst = BAD_INPUT
            for problem in bad.problems:
                say(problem.sentence())
        else:
            show(f"{plain_text(file)}: no problems\n")
    return worst


def run_new(chosen: argparse.Namespace) -> int:
    """`soleplate new`."""
    from generator.front_matter import decoded
    from generator.new_scenario import new_scenario_text
    from generator.problems import BadInput, Problem, as_shown
    from generator.scenario import read_scenario_file, slug_of

    def bad(given: str, wanted: str, example: str = "") -> BadInput:
        return BadInput([Problem("new", "NAME", "name", given, wanted, example)])

    plain = slug_of(chosen.name)
    if chosen.name != plain or chosen.name == "index":
        example = "my-plot" if plain == "index" else plain
        raise bad(f"{as_shown(chosen.name)} cannot be the name of a scenario", "write small letters, figures and hyphens", example)
    folder = config_file().parent / "docs" / "scenarios"
    if not folder.is_dir():
        raise Failed("there is no folder docs/scenarios here; run this in the folder of the guide")
    target = folder / f"{chosen.name}.md"
    already = bad(f"there is a scenario {chosen.name} already", "take another name, or change the one that is there")
    if target.exists():
        raise already
    source, source_file = None, "new scenario"
    if chosen.source is not None:
        source_file = chosen.source
        read_scenario_file(source_file, chosen.overrides)
        source = decoded(Path(source_file).read_bytes(), source_file)
    text = new_scenario_text(chosen.name, source, chosen.overrides, source_file, folder)
    try:
        write_new(target, text)
    except FileExistsError:
        raise already from None
    except OSError as error:
        raise Failed(f"{chosen.name}.md cannot be written: {error.strerror}") from error
    show(f"{_near(target)}\n")
    say(f"Change what is on its lines, then: soleplate compare {_near(target)}")
    return OK


def write_new(target: Path, text: str) -> None:
    """Write a file whole or not at all; raises FileExistsError rather than write over one."""
    draft = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        draft.write_text(text, encoding="utf-8", newline="\n")
        os.link(draft, target)
    finally:
        draft.unlink(missing_ok=True)


def _near(path: Path) -> str:
    """A path as seen from the current folder, where it lies below it."""
    return str(path.relative_to(Path.cwd())) if path.is_relative_to(Path.cwd()) else str(path)


def config_file() -> Path:
    """The site's configuration: that of the current folder, else that of this project."""
    for folder in (Path.cwd(), PROJECT):
        if (folder / CONFIG).is_file():
            return folder / CONFIG
    raise Failed(f"there is no {CONFIG} here; run this in the folder of the guide")


class _Talk:
    """MkDocs' own words on standard error, ours without a prefix."""

    def __enter__(self):
        import logging

        # Read by the theme when it is imported.
        os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")

        class Format(logging.Formatter):
            def format(self, record: logging.LogRecord) -> str:
                ours = record.name.startswith("mkdocs.plugins.soleplate")
                prefix = "" if ours or record.levelno <= logging.INFO else f"{record.levelname}: "
                return prefix + record.getMessage()

        self.handler = logging.StreamHandler(sys.stderr)
        self.handler.setFormatter(Format())
        self.log = logging.getLogger("mkdocs")
        self.log.setLevel(logging.INFO)
        self.log.addHandler(self.handler)
        return self

    def __exit__(self, *exc) -> None:
        self.log.removeHandler(self.handler)


def run_build(chosen: argparse.Namespace) -> int:
    """`soleplate build`."""
    with _Talk():
        from mkdocs.commands import build
        from mkdocs.config import load_config
        from mkdocs.exceptions import Abort, MkDocsException

        config = None
        try:
            config = load_config(config_file=str(config_file()))
            config.plugins.on_startup(command="build", dirty=False)
            try:
                build.build(config)
            finally:
                config.plugins.on_shutdown()
        except Abort:
            # MkDocs has said why.  Scenarios that cannot be read are input, anything else is not.
            return BAD_INPUT if _spoiled(config) else ELSE
        except MkDocsException as error:
            raise Failed(str(error)) from error
    show(f"{_near(Path(config.site_dir))}\n")
    return OK


def _spoiled(config) -> bool:
    """Whether the build stopped at a scenario that cannot be read."""
    plugin = config.plugins.get("soleplate") if config else None
    if plugin is None:
        return False
    from generator.shelf import Spoiled

    return any(isinstance(entry, Spoiled) for entry in plugin.shelved.values())


def run_serve(chosen: argparse.Namespace) -> int:
    """`soleplate serve`."""
    with _Talk():
        from mkdocs.commands import serve
        from mkdocs.exceptions import Abort, MkDocsException

        try:
            options = {"dev_addr": chosen.address} if chosen.address else {}
            serve.serve(config_file=str(config_file()), **options)
        except Abort:
            return ELSE
        except MkDocsException as error:
            raise Failed(str(error)) from error
        except OSError as error:
            raise Failed(f"the site cannot be shown there: {error.strerror or error}; try --address 127.0.0.1:8001") from error
    return OK


def run_schema(chosen: argparse.Namespace) -> int:
    """`soleplate schema`."""
    import json

    if chosen.what == "scenario":
        from generator.scenario_schema import scenario_schema as made
    else:
        from generator.comparison_schema import comparison_schema as made
    show(json.dumps(made(), indent=1, ensure_ascii=False) + "\n", exact=True)
    return OK
