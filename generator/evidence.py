"""Published values against computed ones: read from docs/evidence, worked out, compared.

One file per publication, named by its document in `calculators.sources`.  The
rows are used twice: every row is a test, and the evidence page shows them.  A
row names a public function of `calculators` with its inputs, or a figure held
there.  Numbers are typed with the unit in which they were printed; pint's
factors turn them into the unit that the name of the input asks for.

    document: nhbc-standards
    rows:
      - what: Overlap at a step of 225 mm in a footing 225 mm thick
        function: calculators.rules.footing_step_overlap_m
        inputs: {step_m: 225 mm, thickness_m: 225 mm}
        expected: 450 mm
        tolerance: exact
        clause: 4.3.8
        mark: read

`expected` may be several numbers with one unit, a word (yes, no), or `outside`
where the function must refuse.  `tolerance` is `exact`, a percentage, or an
amount with its unit.  `pick` takes one of several results by its place from 0.
`printed` gives the words of the publication where they differ from `expected`.
`wrong: yes` marks a published answer that does not follow from its own inputs.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import yaml

import calculators
from calculators.sources import DOCUMENTS, MARKS, Sourced
from generator.problems import listed, nearest
from generator.quantities import factor

EVIDENCE_FOLDER = Path(__file__).resolve().parent.parent / "docs" / "evidence"

OUTSIDE = "outside"
EXACT_RELATIVE = 1e-9
REQUIRED = ("what", "function", "expected", "tolerance", "mark")
OPTIONAL = ("inputs", "clause", "printed", "note", "pick", "wrong")

# The last part of a name says the unit; the longest that fits is taken.
UNIT_BY_SUFFIX = {
    "_m": "m", "_m2": "m2", "_m3": "m3", "_kg": "kg", "_t": "t", "_w": "W", "_k": "K", "_kwh": "kWh", "_kpa": "kPa",
    "_per_m": "1/m", "_per_m2": "1/m2", "_m2_per_m": "m2/m", "_m3_per_m2": "m3/m2",
    "_kg_per_m": "kg/m", "_kg_per_m2": "kg/m2", "_kg_per_m3": "kg/m3", "_t_per_m3": "t/m3",
    "_kn_per_m": "kN/m", "_kn_per_m3": "kN/m3",
    "_w_per_mk": "W/(m K)", "_w_per_m2k": "W/(m2 K)", "_m2k_per_w": "m2 K/W",
    "_m_per_s": "m/s", "_m2_per_s": "m2/s", "_m3_per_s": "m3/s", "_s": "s", "_h": "h", "_deg": "degree", "_kn": "kN",
    "_km": "km", "_kgco2e": "kgCO2e", "_kgco2e_per_t": "kgCO2e/t",
    "_mpa": "MPa", "_gpa": "GPa", "_knm": "kN m", "_knm2": "kN m2", "_kn_per_m2": "kN/m2", "_mn_per_m3": "MN/m3", "_days": "day",
}

_NUMBER = re.compile(r"-?\d+(\.\d+)?")


class EvidenceError(ValueError):
    """Evidence files that cannot be used, with every problem found in them."""


@dataclass(frozen=True)
class EvidenceResult:
    """One published value beside the computed one.

    `published` and `computed` are numbers (several as a tuple) in `unit`,
    True or False, or words where a function must refuse.  `difference` is the
    greatest one, in `unit`; None where there are no numbers.  `printed` is the
    value as the publication has it.  `wrong` marks a published answer that
    right code must not give.
    """

    what: str
    function: str
    published: float | tuple[float, ...] | bool | str
    computed: float | tuple[float, ...] | bool | str
    unit: str
    difference: float | None
    tolerance: str
    within: bool
    document: str
    source: str
    mark: str
    wrong: bool
    printed: str
    note: str
    file: str
    row: int

    @property
    def holds(self) -> bool:
        """True when a right value is met, or a wrong one is not reproduced."""
        return self.within != self.wrong


def evidence_results(folder: Path = EVIDENCE_FOLDER) -> list[EvidenceResult]:
    """Every row of every file in the folder, worked out, in order of file and row.

    Raises EvidenceError with one sentence for each problem in any file.
    """
    results, problems = [], []
    for path in sorted(folder.glob("*.yml")):
        for number, (document, row) in enumerate(_rows(path, problems), start=1):
            try:
                results.append(_work_out(document, row, path.name, number))
            except EvidenceError as problem:
                problems.append(f"{path.name}: row {number}: {problem}")
    if problems:
        raise EvidenceError("\n".join(problems))
    return results


def _rows(path: Path, problems: list[str]) -> list[tuple[str, dict]]:
    """The rows of one file with its document; what is wrong with the file goes to `problems`."""
    try:
        # Every scalar stays the text that was typed: no `no` turned into False, no 010 into 8.
        content = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        problems.append(f"{path.name}: cannot be read: {error}")
        return []
    if not isinstance(content, dict) or set(content) != {"document", "rows"} or not isinstance(content["rows"], list):
        problems.append(f"{path.name}: a file holds `document` and a list of `rows`, and nothing else")
        return []
    if content["document"] not in DOCUMENTS:
        close = nearest(str(content["document"]), DOCUMENTS)
        hint = f", perhaps {close}" if close else ""
        problems.append(f"{path.name}: no document is listed under {content['document']!r}{hint}")
        return []
    return [(content["document"], row) for row in content["rows"]]


def _work_out(document: str, row: dict, file: str, number: int) -> EvidenceResult:
    _check_keys(row)
    target = _find(row["function"])
    computed, unit = _compute(target, row)
    published = _read(row["expected"], unit)
    difference = _difference(published, computed)
    wrong = row.get("wrong", "no") == "yes"
    clause = row.get("clause", "")
    return EvidenceResult(
        what=row["what"],
        function=row["function"],
        published=published,
        computed=computed,
        unit=unit,
        difference=difference,
        tolerance=row["tolerance"],
        within=_within(published, computed, difference, row["tolerance"], unit),
        document=document,
        source=f"{DOCUMENTS[document].title}, {clause}" if clause else DOCUMENTS[document].title,
        mark=row["mark"],
        wrong=wrong,
        printed=row.get("printed", row["expected"]),
        note=row.get("note", ""),
        file=file,
        row=number,
    )


def _check_keys(row: object) -> None:
    if not isinstance(row, dict):
        raise EvidenceError("a row holds keys and values")
    for key in row:
        if key not in REQUIRED + OPTIONAL:
            close = nearest(key, REQUIRED + OPTIONAL)
            raise EvidenceError(f"no key is called {key!r}" + (f", perhaps {close}" if close else ""))
    missing = [key for key in REQUIRED if not row.get(key)]
    if missing:
        raise EvidenceError(f"{listed(missing, 'and')} must be given")
    for key, value in row.items():
        if key == "inputs":
            if not isinstance(value, dict):
                raise EvidenceError("inputs must be names with values")
        elif not isinstance(value, str) and key != "expected":
            raise EvidenceError(f"{key} must be plain text")
    if not re.fullmatch(r"-?\d+", row.get("pick", "0")):
        raise EvidenceError(f"pick must be a place counted from 0, not {row['pick']!r}")
    if row["mark"] not in MARKS:
        raise EvidenceError(f"the mark must be {listed(MARKS)}, not {row['mark']!r}")
    if row.get("wrong", "no") not in ("yes", "no"):
        raise EvidenceError(f"wrong must be yes or no, not {row['wrong']!r}")


def _find(dotted: str):
    """A public function defined in a module of `calculators`, or a Sourced figure held in one."""
    modules = {module.name for module in pkgutil.iter_modules(calculators.__path__)}
    first, _, rest = dotted.partition(".")
    module_name, _, names = rest.partition(".")
    if first != "calculators" or module_name not in modules or not names or any(name.startswith("_") for name in names.split(".")):
        raise EvidenceError(f"{dotted!r} is not a public name in a module of calculators")
    module = importlib.import_module(f"calculators.{module_name}")
    found = module
    for name in names.split("."):
        found = getattr(found, name, None)
    own = inspect.isfunction(found) and found.__module__ == module.__name__
    if not own and not isinstance(found, Sourced):
        raise EvidenceError(f"{dotted!r} is neither a function defined there nor a figure with a source")
    return found


def _compute(target, row: dict) -> tuple[object, str]:
    """The computed value and its unit."""
    inputs = row.get("inputs", {})
    if isinstance(target, Sourced):
        if inputs:
            raise EvidenceError("a figure takes no inputs")
        return target.value, target.unit
    unit = unit_of(row["function"])
    parameters = inspect.signature(target).parameters
    unknown = [name for name in inputs if name not in parameters]
    if unknown:
        raise EvidenceError(f"{row['function']} has no input {listed(unknown)}; it takes {listed(parameters, 'and')}")
    try:
        arguments = {name: _read(value, unit_of(name)) for name, value in inputs.items()}
        result = target(**arguments)
    except TypeError as error:
        raise EvidenceError(f"{row['function']}: {error}") from error
    except EvidenceError:
        raise
    except ValueError as error:
        return f"{OUTSIDE}: {error}", unit
    if "pick" not in row:
        return result, unit
    place = int(row["pick"])
    if not isinstance(result, tuple) or not -len(result) <= place < len(result):
        raise EvidenceError(f"{row['function']} gives no result at place {place}")
    return result[place], unit


def unit_of(name: str) -> str:
    """The unit that the end of a name gives, in words for a reader; empty where it gives none.

    >>> unit_of("area_m2"), unit_of("load_kn_per_m"), unit_of("soil")
    ('m2', 'kN/m', '')
    """
    fitting = [suffix for suffix in UNIT_BY_SUFFIX if name.endswith(suffix)]
    return UNIT_BY_SUFFIX[max(fitting, key=len)] if fitting else ""


def _read(text, unit: str):
    """Typed text as what a function takes: numbers in `unit`, True, False, words, or a tuple of such."""
    if isinstance(text, list):
        return tuple(_read(part, unit) for part in text)
    if text in ("yes", "no"):
        return text == "yes"
    tokens = text.split()
    if not tokens or not _NUMBER.fullmatch(tokens[0]):
        return text
    count = 0
    while count < len(tokens) and _NUMBER.fullmatch(tokens[count]):
        count += 1
    given = " ".join(tokens[count:])
    # A gradient is rise over run: a number that nobody writes a unit behind.
    unit = "" if unit == "gradient" else unit
    if bool(given) != bool(unit):
        raise EvidenceError(f"{text!r} needs a unit like {unit}" if unit else f"{text!r} must be without a unit")
    by = _factor(given, unit) if unit else Fraction(1)
    numbers = tuple(float(Fraction(token) * by) for token in tokens[:count])
    return numbers[0] if count == 1 else numbers


def _factor(given: str, wanted: str) -> Fraction:
    if given == wanted:
        # Units that pint does not know, like kgCO2e, are typed as they are held.
        return Fraction(1)
    try:
        return factor(_for_pint(given), _for_pint(wanted))
    except Exception as error:  # pint and its reader of expressions raise many kinds
        raise EvidenceError(f"the unit {given!r} cannot be turned into {wanted}: {error}") from error


def _for_pint(unit: str) -> str:
    """`m2 K/W` as pint writes it."""
    return re.sub(r"(?<=[A-Za-z])\^?([23])", r"**\1", unit)


def _difference(published, computed) -> float | None:
    """Greatest difference between numbers, or None where either is no number."""
    pairs = _pairs(published, computed)
    return None if pairs is None else max(abs(a - b) for a, b in pairs)


def _pairs(published, computed) -> list[tuple[float, float]] | None:
    many_a, many_b = (value if isinstance(value, tuple) else (value,) for value in (published, computed))
    if any(isinstance(value, (bool, str)) for value in many_a + many_b):
        return None
    if len(many_a) != len(many_b):
        raise EvidenceError(f"{len(many_a)} values are expected, and the function gives {len(many_b)}")
    return list(zip(many_a, many_b))


def _within(published, computed, difference: float | None, tolerance: str, unit: str) -> bool:
    if difference is None:
        if published == OUTSIDE:
            return isinstance(computed, str) and computed.startswith(OUTSIDE)
        return published is computed if isinstance(published, bool) else published == computed
    relative = EXACT_RELATIVE if tolerance == "exact" else _percentage(tolerance)
    if relative is None:
        return difference <= _read_tolerance(tolerance, unit) * (1.0 + EXACT_RELATIVE)
    return all(abs(a - b) <= relative * max(abs(a), EXACT_RELATIVE) for a, b in _pairs(published, computed))


def _percentage(tolerance: str) -> float | None:
    number, _, sign = tolerance.partition(" ")
    return float(number) / 100.0 if sign == "%" and _NUMBER.fullmatch(number) else None


def _read_tolerance(tolerance: str, unit: str) -> float:
    amount = _read(tolerance, unit)
    if not isinstance(amount, float):
        raise EvidenceError(f"the tolerance must be exact, a percentage or an amount, not {tolerance!r}")
    return amount


def documents_cited(results: Iterable[EvidenceResult]) -> list[str]:
    """Ids of the documents behind some results, each once, in the order of the list of documents."""
    cited = {result.document for result in results}
    return [document for document in DOCUMENTS if document in cited]
