"""Every published value is met, and every wrong one is missed; the rows are in docs/evidence."""

import pytest

from calculators.sources import DOCUMENTS
from generator.evidence import EVIDENCE_FOLDER, EvidenceError, documents_cited, evidence_results

RESULTS = evidence_results()

GOOD_ROW = {
    "what": "Diagonal of 4 x 6 m",
    "function": "calculators.earthwork.diagonal_m",
    "inputs": "{length_m: 4 m, breadth_m: 6 m}",
    "expected": "7.211 m",
    "tolerance": "0.001 m",
    "mark": "derived",
}


@pytest.mark.parametrize("result", RESULTS, ids=lambda result: f"{result.file}:{result.row}")
def test_row_holds(result):
    assert result.holds, (
        f"{result.what}: published {result.published} {result.unit}, computed {result.computed} {result.unit}, "
        f"tolerance {result.tolerance}, {result.source} ({result.mark})"
    )


def test_every_document_is_listed():
    assert {result.document for result in RESULTS} <= set(DOCUMENTS)
    assert set(documents_cited(RESULTS)) == {result.document for result in RESULTS}


def test_every_file_is_named_by_its_document_and_gives_rows():
    by_file = {result.file: result.document for result in RESULTS}
    assert set(by_file) == {path.name for path in EVIDENCE_FOLDER.glob("*.yml")}
    assert all(file == f"{document}.yml" for file, document in by_file.items())


def test_wrong_rows_are_not_reproduced():
    wrong = [result for result in RESULTS if result.wrong]
    assert {"levelling-exercise", "navedtra-14070", "en-iso-13370"} <= {result.document for result in wrong}
    assert not any(result.within for result in wrong)


def test_a_wrong_row_has_a_right_one_for_the_same_function():
    right = {result.function for result in RESULTS if not result.wrong}
    assert {result.function for result in RESULTS if result.wrong} <= right


def _write(folder, rows, document="geometry"):
    lines = [f"document: {document}", "rows:"]
    for row in rows:
        lines += [f"  {'-' if place == 0 else ' '} {key}: {value}" for place, (key, value) in enumerate(row.items())]
    (folder / "sample.yml").write_text("\n".join(lines), encoding="utf-8")
    return folder


def test_a_good_row_holds_and_carries_its_numbers(tmp_path):
    (result,) = evidence_results(_write(tmp_path, [GOOD_ROW]))
    assert result.holds and result.unit == "m" and result.published == 7.211
    assert result.difference == pytest.approx(abs(52**0.5 - 7.211))
    assert result.source == DOCUMENTS["geometry"].title


@pytest.mark.parametrize("change", [
    {"expected": "7.213 m"},
    {"expected": "7.209 m"},
    {"tolerance": "exact"},
    {"tolerance": "0.001 %"},
    {"expected": "outside"},
    {"wrong": "yes"},
], ids=str)
def test_a_row_that_is_off_does_not_hold(tmp_path, change):
    (result,) = evidence_results(_write(tmp_path, [GOOD_ROW | change]))
    assert not result.holds


def test_units_as_printed_are_converted(tmp_path):
    in_feet = {"inputs": "{length_m: 3 ft, breadth_m: 48 in}", "expected": "5 ft", "tolerance": "exact"}
    (result,) = evidence_results(_write(tmp_path, [GOOD_ROW | in_feet]))
    assert result.holds and result.published == 1.524


@pytest.mark.parametrize("change, says", [
    ({"colour": "red"}, "colour"),
    ({"tolerence": "exact"}, "perhaps tolerance"),
    ({"mark": "certain"}, "the mark must be"),
    ({"mark": '""'}, "mark must be given"),
    ({"function": "os.system"}, "not a public name"),
    ({"function": "calculators.earthwork._wedge_m2"}, "not a public name"),
    ({"function": "calculators.earthwork.math.hypot"}, "neither a function"),
    ({"function": "calculators.earthwork.no_such_thing"}, "neither a function"),
    ({"function": "calculators.earthwork.LevelBook"}, "neither a function"),
    ({"function": "calculators.sources"}, "not a public name"),
    ({"inputs": "{length_m: 4, breadth_m: 6 m}"}, "needs a unit like m"),
    ({"inputs": "{length_m: 4 kg, breadth_m: 6 m}"}, "cannot be turned into m"),
    ({"inputs": "{length_m: 4 m, depth_m: 6 m}"}, "has no input depth_m"),
    ({"inputs": "{length_m: 4 m}"}, "breadth_m"),
    ({"inputs": "4 m"}, "inputs must be"),
    ({"expected": "7.211"}, "needs a unit like m"),
    ({"expected": "1 2 m"}, "2 values are expected"),
    ({"tolerance": "about"}, "the tolerance must be"),
    ({"pick": "0"}, "no result at place 0"),
    ({"pick": "first"}, "pick must be"),
    ({"wrong": "perhaps"}, "wrong must be yes or no"),
], ids=str)
def test_a_bad_row_says_what_is_wrong(tmp_path, change, says):
    with pytest.raises(EvidenceError, match=r"^sample\.yml: row 1: ") as caught:
        evidence_results(_write(tmp_path, [GOOD_ROW | change]))
    assert says in str(caught.value)


def test_all_problems_come_at_once(tmp_path):
    _write(tmp_path, [GOOD_ROW | {"mark": "sure"}, GOOD_ROW, GOOD_ROW | {"expected": "7 kg"}])
    (tmp_path / "other.yml").write_text("document: no-such\nrows: []", encoding="utf-8")
    (tmp_path / "torn.yml").write_text("document: [", encoding="utf-8")
    with pytest.raises(EvidenceError) as caught:
        evidence_results(tmp_path)
    said = str(caught.value).splitlines()
    assert any(line.startswith("sample.yml: row 1") for line in said)
    assert any(line.startswith("sample.yml: row 3") for line in said)
    assert any(line.startswith("other.yml: no document") for line in said)
    assert any(line.startswith("torn.yml: cannot be read") for line in said)
