"""The store of maps: each worked out once, kept on disk, never trusted when spoilt, and the same however many work at it."""

import json
import os
import subprocess
import sys
from concurrent.futures.process import BrokenProcessPool
from functools import partial

import pytest

from calculators import maps
from calculators.maps import HIRED, OWN, Cell
from calculators.site import site_of
from generator import mapping
from generator.mapping import MapStore, one_by_one

SLOPES, AREAS = (0.0, 0.1), (16.0, 24.0)


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """A map of four places: two slopes, two areas."""
    monkeypatch.setattr(mapping, "places", partial(maps.places, slopes=SLOPES, areas_m2=AREAS))
    monkeypatch.setattr(mapping, "map_of", partial(maps.map_of, slopes=SLOPES, areas_m2=AREAS))


@pytest.fixture
def worked(monkeypatch):
    """The places that were worked out, in their order; their cells cost nothing."""
    done = []

    def cheap(scenario):
        done.append(scenario)
        return {OWN: Cell(scenario.plot.gradient, 1.0, "strip-and-block", 0.25), HIRED: Cell(scenario.plot.gradient, 1.0, None, None)}

    monkeypatch.setattr(mapping, "cheapest_in", cheap)
    return done


@pytest.fixture
def plot(make_scenario):
    scenario = make_scenario(gradient=1 / 14)
    return scenario, site_of(scenario)


def kept_files(folder):
    return sorted(file.name for file in folder.iterdir())


def test_a_map_is_worked_out_once(worked, plot):
    said = []
    store = MapStore(None, say=said.append)
    one, two = store.maps_of(*plot), store.maps_of(*plot)
    assert len(worked) == 4 and one == two and said == ["Map of invented-plot: 4 places to work out"]
    assert [cell.gradient for row in one[OWN].cells for cell in row] == [0.0, 0.0, 0.1, 0.1]
    assert one[OWN].firsts() == ("strip-and-block",) and one[HIRED].firsts() == ()


def test_every_plot_is_marked_at_its_own_place_on_a_map_that_others_share(worked, make_scenario):
    store = MapStore(None)
    # Two plots alike in all that a map depends on, one steeper than the other.
    for gradient in (1 / 14, 1 / 20):
        scenario = make_scenario(gradient=gradient)
        found = store.maps_of(scenario, site_of(scenario))
        assert found[OWN].you == found[HIRED].you == (pytest.approx(gradient), pytest.approx(27.72))
    assert len(worked) == 4


@pytest.mark.parametrize("change", [dict(plot=dict(soil="firm clay")), dict(plot=dict(topsoil_m=0.3)), dict(building=dict(heated=True)), dict(region="ireland"), dict(size_m=(8.0, 4.2))])
def test_another_plot_has_another_map(worked, plot, make_scenario, change):
    store = MapStore(None)
    store.maps_of(*plot)
    other = make_scenario(**{"gradient": 1 / 14, **change})
    store.maps_of(other, site_of(other))
    assert len(worked) == 8


def test_another_price_has_another_map(worked, plot, make_scenario, make_schedule):
    store = MapStore(None)
    store.maps_of(*plot)
    dearer = make_scenario(gradient=1 / 14, schedule=make_schedule(0.5))
    store.maps_of(dearer, site_of(dearer))
    assert len(worked) == 8


def test_a_map_is_kept_on_disk(worked, plot, tmp_path):
    folder = tmp_path / "maps" / "below"
    one = MapStore(folder, "now").maps_of(*plot)
    assert len(kept_files(folder)) == 1 and kept_files(folder)[0].endswith(".json")
    said = []
    two = MapStore(folder, "now", said.append).maps_of(*plot)
    assert len(worked) == 4 and one == two and not said


def test_other_calculators_work_it_out_anew(worked, plot, tmp_path):
    MapStore(tmp_path, "now").maps_of(*plot)
    MapStore(tmp_path, "later").maps_of(*plot)
    assert len(worked) == 8 and len(kept_files(tmp_path)) == 2


@pytest.mark.parametrize("spoilt", [
    b"", b"{", b"null", b"[]", b"{}", b"7", b'"a map"', b"[1, 2, 3, 4]", b"\xff\xfe\x00", b'[{"own labour": {}, "hired": {}}]',
    b'[{"own labour": {"gradient": 0, "area_m2": 1, "first": null, "lead": null}}]',
    b'[{"own labour": {"gradient": 0, "area_m2": 1, "first": null, "lead": null}, "hired": {"gradient": 0, "area_m2": 1, "first": null, "lead": null}}]',
])
def test_a_spoilt_file_is_not_trusted_and_written_again(worked, plot, tmp_path, spoilt):
    one = MapStore(tmp_path).maps_of(*plot)
    (file,) = tmp_path.iterdir()
    good = file.read_bytes()
    file.write_bytes(spoilt)
    assert MapStore(tmp_path).maps_of(*plot) == one and len(worked) == 8
    assert file.read_bytes() == good and len(json.loads(good)) == 4


def test_the_oldest_are_swept_out(monkeypatch, tmp_path):
    monkeypatch.setattr(mapping, "MOST_KEPT", 2)
    for age, name in enumerate(("new", "middle", "old", "oldest")):
        (tmp_path / f"{name}.json").write_text("[]", encoding="utf-8")
        os.utime(tmp_path / f"{name}.json", (1e9 - age, 1e9 - age))
    MapStore(tmp_path).sweep()
    assert kept_files(tmp_path) == ["middle.json", "new.json"]
    MapStore(tmp_path).sweep()
    assert kept_files(tmp_path) == ["middle.json", "new.json"]


def test_nothing_to_sweep_is_no_trouble(tmp_path):
    MapStore(None).sweep()
    MapStore(tmp_path / "never made").sweep()
    assert not (tmp_path / "never made").exists()


# Several at a time.


def test_several_at_a_time_give_the_same_cells(plot):
    scenario, site = plot
    wanted = mapping.places(scenario, site)
    store = MapStore(None)
    with store.at_work():
        assert store._worker is not one_by_one
        found = store._worker(wanted)
        # Nothing fell back on the slow way.
        assert store._worker is not one_by_one
        together = store.maps_of(scenario, site)
    assert store._worker is one_by_one
    alone = one_by_one(wanted)
    assert found == alone and len(alone) == 4 and {cell.first for cells in alone for cell in cells.values()} & set(scenario.schemes)
    assert together == MapStore(None).maps_of(scenario, site)


class Broken:
    """A pool whose workers end as soon as they start."""

    error: type[BaseException] = BrokenProcessPool

    def __init__(self, *given, **named):
        self.shut = False

    def map(self, *given, **named):
        raise self.error("no second Python here")

    def shutdown(self, **named):
        self.shut = True


@pytest.mark.parametrize("error", [BrokenProcessPool, OSError, RuntimeError])
def test_a_pool_that_breaks_falls_back_on_one_by_one(monkeypatch, worked, plot, error):
    monkeypatch.setattr(mapping, "ProcessPoolExecutor", type("Broken", (Broken,), {"error": error}))
    store = MapStore(None)
    with store.at_work():
        found = store.maps_of(*plot)
        assert store._worker is one_by_one
    assert len(worked) == 4 and found == MapStore(None).maps_of(*plot)


@pytest.mark.parametrize("error", [OSError, ValueError, ImportError])
def test_a_pool_that_cannot_start_falls_back_on_one_by_one(monkeypatch, worked, plot, error):
    def cannot(*given, **named):
        raise error("no semaphores")

    monkeypatch.setattr(mapping, "ProcessPoolExecutor", cannot)
    store = MapStore(None)
    with store.at_work():
        found = store.maps_of(*plot)
    assert len(worked) == 4 and found[OWN].firsts() == ("strip-and-block",)


def test_what_goes_wrong_inside_is_not_swallowed_and_the_pool_is_left(monkeypatch, plot):
    pools = []

    class Kept(Broken):
        error = KeyError

        def __init__(self, *given, **named):
            super().__init__()
            pools.append(self)

    monkeypatch.setattr(mapping, "ProcessPoolExecutor", Kept)
    store = MapStore(None)
    with pytest.raises(KeyError), store.at_work():
        store.maps_of(*plot)
    assert store._worker is one_by_one and [pool.shut for pool in pools] == [True]


def test_the_store_needs_no_site_builder():
    ran = subprocess.run([sys.executable, "-c", "import sys; sys.modules['mkdocs'] = None; import generator.mapping"], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr.decode()
