"""The page of maps of typical plots: every plot can be read and compared, and its maps are shown in its own units."""

from calculators.maps import AREAS_M2, HIRED, OWN, SLOPES, Cell, map_of
from generator.guide_parts import TYPICAL, SiteData, marker


class HandMade:
    """Stands in for the store: one scheme everywhere, which no plot has to be worked out for."""

    def __init__(self):
        self.asked = []

    def maps_of(self, scenario, site):
        self.asked.append(scenario)
        cells = [Cell(slope, area, "strip-and-block", 0.2) for slope in SLOPES for area in AREAS_M2]
        return {whose: map_of(cells, you=(site.gradient, site.plan.area_m2)) for whose in (OWN, HIRED)}


def test_maps_of_typical_plots():
    store = HandMade()
    html = marker("typical-maps", "", SiteData(entries=(), url_of=str, maps=store))
    assert [(scenario.schedule.name, scenario.units, scenario.plot.soil) for scenario in store.asked] == [
        (parts["rates"], parts["units"], parts["soil"]) for _, _, parts in TYPICAL]
    assert html.count("<svg") == 4 * len(TYPICAL) and html.count('id="typical-') >= len(TYPICAL)
    assert html.count("sp-shows-metric") == 3 and html.count("sp-shows-imperial") == 1
    # A typical plot is nobody's: no place is marked.
    assert "your plot" not in html and "style=" not in html


def test_without_maps_the_page_says_so():
    assert "left out of this build" in marker("typical-maps", "", SiteData(entries=(), url_of=str))
