"""Drawings of a comparison as inline SVG: where each line and word goes.

How they look is in the templates and the style sheet.  The same comparison
gives the same bytes.
"""

from generator.drawings.cut_fill import cut_fill_svg
from generator.drawings.key import drawing_key_svg
from generator.drawings.level_curve import LevelRow, level_curve_svg, level_curve_table
from generator.drawings.plan import plan_svg
from generator.drawings.section import Frame, section_frame, section_svg

__all__ = [
    "Frame", "LevelRow", "cut_fill_svg", "drawing_key_svg", "level_curve_svg", "level_curve_table", "plan_svg", "section_frame", "section_svg",
]
