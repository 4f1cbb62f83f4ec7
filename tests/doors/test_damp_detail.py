"""Details of damp-proofing: what stands where, that words and numbers keep apart, and that nothing is told by colour alone.

Places come from the plot by hand; the rest is about the drawings themselves and needs no source.
"""

import doctest
import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calculators import damp
from generator.drawings import damp_detail
from generator.drawings.damp_detail import damp_addition_views, damp_additions_svg, damp_detail_svg, damp_views

ROOT = Path(__file__).resolve().parents[2]
SVG = "{http://www.w3.org/2000/svg}"
RAFT, STRIP, INSULATED = SCHEMES = ("thickened-raft", "strip-and-block", "insulated-slab")

L_PLAN = ((0.0, 0.0), (7.0, 0.0), (7.0, 3.6), (4.0, 3.6), (4.0, 5.6), (0.0, 5.6))
PLOTS = {
    "level": dict(),
    "falling": dict(gradient=1 / 14),
    "steep, level doors": dict(gradient=0.19, falls_to_deg=200.0, building=dict(door_threshold="channel drain", doors=("north", "south"))),
    "block walls": dict(gradient=1 / 14, building=dict(walls="block")),
    "no upstand": dict(gradient=1 / 8, building=dict(doors=()), raft=dict(upstand_m=0.0), strip=dict(knee_height_m=0.0), insulated=dict(upstand_m=0.0)),
    "small, many doors": dict(size_m=(3.0, 3.0), gradient=1 / 10, building=dict(doors=("south", "north", "east", "west"))),
    "L": dict(gradient=1 / 12, falls_to_deg=230.0, plot=dict(corners_m=L_PLAN)),
    "deep frost": dict(gradient=1 / 12, plot=dict(soil="silt", frost_depth_m=1.4)),
    "twisted": dict(corner_levels_m=(10.0, 9.72, 10.12, 10.16)),
    "thick insulation": dict(insulated=dict(insulation_thickness_m=0.3, insulation="PIR")),
    "long fall": dict(size_m=(5.0, 9.0), gradient=0.19),
    "deepened": dict(gradient=1 / 8, raft=dict(low_side="deepened")),
}


@pytest.fixture(params=PLOTS, scope="module")
def comparison(request, compared):
    return compared(**PLOTS[request.param])


def _every_view(comparison, units):
    for number, result in enumerate(comparison.schemes):
        yield from damp_views(comparison.site, result.works, units, f"a{number}")
        yield from damp_addition_views(comparison.site, result.works, units, f"b{number}")


def _views(comparison, scheme, units="metric"):
    return damp_views(comparison.site, comparison.scheme(scheme).works, units, "a")


def _words(view):
    return [text.words for text in view.sheet.texts]


def _apart(a, b, by=1.0):
    return min(a[2], b[2]) - max(a[0], b[0]) <= by or min(a[3], b[3]) - max(a[1], b[1]) <= by


def test_examples_in_docstrings():
    assert doctest.testmod(damp_detail).failed == 0


# What is drawn.


def test_high_side_low_side_and_door_are_drawn(compared):
    assert [view.heading for view in _views(compared(gradient=1 / 14), RAFT)] == ["High side, north", "Low side, south", "Door, south side"]
    # On level ground one edge stands for all.
    assert [view.heading for view in _views(compared(), RAFT)] == ["Edge, south side", "Door, south side"]


def test_clearances_are_figured(compared):
    """A floor 50 mm above the ground and a course of 225 mm; 4.2 m at 1 in 14 fall 300 mm, of which the raft's stone takes 50."""
    comparison = compared(gradient=1 / 14, raft=dict(low_side="batter"))
    high, low, _ = _views(comparison, RAFT)
    assert "275 mm" in _words(high) and "525 mm" in _words(low) and "575 mm" in _words(_views(comparison, INSULATED)[1])
    assert "least 150 mm" in _words(high) and "least 150 mm" in _words(low)
    # At the least itself there is one figure.
    tight = _words(_views(compared(gradient=1 / 8, building=dict(doors=())), STRIP)[0])
    assert "150 mm" in tight and "the least" in tight and "least 150 mm" not in tight


def test_numbers_are_the_parts_of_the_path_in_their_order(comparison):
    for result in comparison.schemes:
        views = damp_views(comparison.site, result.works, "metric", "a")
        side = comparison.site.plan.side(views[0].heading.split(", ")[1].removesuffix(" side"))
        path = damp.damp_path(comparison.site, result.works, side)
        names = [f"{segment.what[0].upper()}{segment.what[1:]}" for segment in path.face + path.floor]
        assert [words.partition(":")[0] for words in views[0].parts][:len(names)] == names
        for view in views:
            assert [words for words in _words(view) if words.isdigit()] == [str(n + 1) for n in range(len(view.parts))]


def _path_points(view, css):
    data = [shape["data"] for shape in view.sheet.shapes if css in shape.get("css", "").split()]
    return [[(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", line)] for line in data]


def test_lines_lie_where_the_path_does(compared):
    """Level raft at true scale: from the course down to the underside of the sheet are 275 + 250 mm, and the sheet's rise at 45 degrees is level with its run."""
    view = _views(compared(), RAFT)[0]
    ((course_from, course_to),) = _path_points(view, "sp-damp-course")
    per_m = (course_to[0] - course_from[0]) / 0.14
    sheets = [point for line in _path_points(view, "sp-damp-membrane") for point in line]
    assert max(y for _, y in sheets) - course_from[1] == pytest.approx(0.525 * per_m, abs=0.3)
    edge = next(line for line in _path_points(view, "sp-damp-membrane") if len(line) == 3)
    assert abs(edge[0][0] - edge[1][0]) == pytest.approx(abs(edge[0][1] - edge[1][1]), abs=0.2)
    # About 1 to 10: a metre is 200 to 300 units of a drawing 360 wide.
    assert 200.0 < per_m < 300.0


def test_cladding_stands_out_past_the_face_and_ends_above_the_course_only_where_it_must(compared):
    roomy, tight = _views(compared(), RAFT)[0], _views(compared(gradient=1 / 8, building=dict(doors=())), STRIP)[0]
    for view, below in ((roomy, damp.CLADDING_BELOW_DPC_M.value), (tight, 0.0)):
        ((course_from, course_to),) = _path_points(view, "sp-damp-course")
        per_m = (course_to[0] - course_from[0]) / 0.14
        timber = [point for line in _path_points(view, "sp-damp-timber") for point in line]
        assert course_from[0] - min(x for x, _ in timber) == pytest.approx(damp.CLADDING_OUT_M.value * per_m, abs=0.2)
        assert max(y for _, y in timber) - course_from[1] == pytest.approx(below * per_m, abs=0.2)
    assert "metal drip" in tight.parts[-1] and "metal drip" not in roomy.parts[-1]
    assert _path_points(tight, "sp-damp-metal") and not _path_points(roomy, "sp-damp-metal")


def test_door_has_a_channel_a_step_or_neither(compared):
    level = _views(compared(building=dict(door_threshold="channel drain", doors=("north",)), gradient=1 / 10), STRIP)[-1]
    assert any("Channel drain" in words for words in level.parts) and _path_points(level, "sp-damp-channel")
    high = _views(compared(gradient=1 / 14), RAFT)[-1]
    assert any(words.startswith("Step:") for words in high.parts)
    near = _views(compared(), STRIP)[-1]
    assert not any("Channel" in words or "Step" in words for words in near.parts)


def test_door_drawn_is_the_one_nearest_to_its_ground(compared):
    views = _views(compared(gradient=1 / 14, building=dict(doors=("south", "north"))), STRIP)
    assert views[-1].heading == "Door, north side" and any("Other doors" in words for words in views[-1].notes)


def test_what_goes_below_the_drawing_is_said(compared):
    views = _views(compared(**PLOTS["deep frost"]), STRIP)
    assert any("goes on down below the drawing" in words for view in views for words in view.notes)


def test_additions_show_insulation_paving_and_a_patch(comparison):
    for result in comparison.schemes:
        outside, tear = damp_addition_views(comparison.site, result.works, "metric", "a")
        assert _path_points(outside, "sp-damp-cover") and _path_points(outside, "sp-damp-metal") and "insulation" in outside.sheet.hatches
        assert any("150\u00a0mm or more below the damp-proof course" in words for words in outside.parts)
        assert _words(tear).count("300 mm") == 2


# Words and numbers.


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_words_and_numbers_keep_apart_on_a_phone(comparison, units):
    for view in _every_view(comparison, units):
        sheet = view.sheet
        # As wide as a phone of 390 with its margins.
        assert sheet.width == 360.0
        boxes = []
        for text in sheet.texts:
            box = text.box
            if text.css == "sp-damp-number":
                r, y = damp_detail.BALLOON_UNITS, text.y - 4.6
                box = (text.x - r, y - r, text.x + r, y + r)
            assert box[0] >= 0 and box[1] >= 0 and box[2] <= sheet.width and box[3] <= sheet.height, f"{text.words} runs off {sheet.title}"
            for other, other_box in boxes:
                assert _apart(box, other_box), f"{text.words} lies on {other} in {sheet.title}"
            boxes.append((text.words, box))


def test_drawings_say_their_numbers_in_words(compared):
    high = _views(compared(gradient=1 / 14), RAFT)[0].sheet
    assert "high side, north" in high.description and "Floor 50 mm above the highest ground" in high.description
    assert "275\u00a0mm above the ground outside; the least is 150\u00a0mm" in high.description
    assert "1. Membrane under the slab" in high.description and "6. Sole plate" in high.description


def test_imperial_drawings_have_no_metres(comparison):
    for view in _every_view(comparison, "imperial"):
        said = [text.words for text in view.sheet.texts] + [view.sheet.description, *view.parts, *view.notes]
        assert not [words for words in said if re.search(r"\d[\s\u00a0]m?m\b", words)]


def test_nothing_is_called_safe(comparison):
    for view in _every_view(comparison, "metric"):
        said = " ".join([view.sheet.description, *view.parts, *view.notes]).lower()
        assert "safe" not in said and "complian" not in said


# Markup.


def _markups(comparison, units="metric"):
    for number, result in enumerate(comparison.schemes):
        for name, draw in (("d", damp_detail_svg), ("e", damp_additions_svg)):
            prefix = f"{name}{number}"
            yield prefix, draw(comparison.site, result.works, units, prefix)


def test_markup_is_whole_and_its_references_hold(comparison):
    for prefix, markup in _markups(comparison):
        root = ElementTree.fromstring(markup)
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids)) and all(name.startswith(f"{prefix}-") for name in ids)
        assert set(re.findall(r"url\(#([^)]+)\)", markup)) <= set(ids)
        for svg in root.iter(f"{SVG}svg"):
            assert svg.get("role") == "img" and set(svg.get("aria-labelledby").split()) <= set(ids)
            assert svg.find(f"{SVG}title").text and svg.find(f"{SVG}desc").text
        assert "nan" not in markup.lower() and ">inf" not in markup


def test_looks_are_left_to_the_style_sheet(comparison):
    css = (ROOT / "docs/assets/drawings.css").read_text(encoding="utf-8")
    for _, markup in _markups(comparison):
        assert "style=" not in markup and "stroke=" not in markup and "<script" not in markup
        assert all(value.startswith("url(#") for value in re.findall(r'fill="([^"]*)"', markup))
        used = {name for names in re.findall(r'class="([^"]*)"', markup) for name in names.split()}
        plain = {"sp-figure", "sp-label"}
        assert not {name for name in used - plain if not re.search(rf"\.{name}\b(?!-)", css)}


def test_membrane_and_course_differ_by_more_than_colour():
    css = (ROOT / "docs/assets/drawings.css").read_text(encoding="utf-8")
    looks = {name: re.search(rf"\n\.{name} \{{(.*?)\}}", css, re.DOTALL)[1] for name in ("sp-damp-membrane", "sp-damp-course", "sp-damp-strip", "sp-damp-render")}
    kinds = {name: (re.findall(r"stroke-width: ([\d.]+)", look), re.findall(r"dasharray: ([\d .]+)", look)) for name, look in looks.items()}
    assert len({str(kind) for kind in kinds.values()}) == 4
    # The membrane is broken, the course is whole and heavier.
    assert kinds["sp-damp-membrane"][1] and not kinds["sp-damp-course"][1]
    assert float(kinds["sp-damp-course"][0][0]) > float(kinds["sp-damp-membrane"][0][0]) > 2.2


def test_same_works_give_the_same_bytes(compared):
    assert dict(_markups(compared(gradient=1 / 14))) == dict(_markups(compared(gradient=1 / 14)))


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "a<b"])
def test_prefix_that_cannot_be_an_id_is_refused(compared, prefix):
    comparison = compared()
    with pytest.raises(ValueError, match="prefix"):
        damp_detail_svg(comparison.site, comparison.scheme(RAFT).works, "metric", prefix)


def test_lines_are_cut_at_the_foot_of_the_drawing(compared):
    for view in _every_view(compared(**PLOTS["deep frost"]), "metric"):
        for css in ("sp-damp-membrane", "sp-damp-render", "sp-damp-strip"):
            assert all(y <= view.sheet.height and not math.isnan(y) for line in _path_points(view, css) for _, y in line)
