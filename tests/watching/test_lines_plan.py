"""The lines that the page draws are those of the loft, held here against the lines themselves.

A circle's curvature is the inverse of its radius, a conic's shoulder stands at rho between the
middle of its chord and the corner (both closed forms).
"""

import numpy as np
import pytest
from watched_aircraft import CONFIGS, aircraft

import geomgen
from geomgen.errors import ParameterError
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.shapes.lines.control_stations import boom_stations, pod_stations
from geomgen.watching.lines_plan import asked_lines, body_lines, lines_of


@pytest.fixture(scope="module")
def example():
    return geomgen.load(CONFIGS / "saltmarsh.toml")


@pytest.mark.parametrize(("name", "stations"), [("pod", pod_stations), ("booms", boom_stations)])
def test_they_are_the_lines_of_the_loft(example, name, stations):
    drawn, lines = lines_of(example)[name], lay(stations(example))
    at = np.array([lines.at_station(x) for x in drawn["x"][1:-1]])
    for line in ("crown", "keel", "breadth_height", "half_breadth"):
        assert drawn[line][1:-1] == pytest.approx(lines.curves[line](at), abs=0.1)


def test_they_pass_through_the_control_stations(example):
    drawn = lines_of(example)["pod"]
    for row, station in zip(drawn["stations"], example.pod.stations, strict=True):
        place = int(np.argmin(np.abs(np.array(drawn["x"]) - station.station)))
        assert drawn["crown"][place] == pytest.approx(station.crown, abs=0.01)
        assert 2 * drawn["half_breadth"][place] == pytest.approx(station.breadth, abs=0.01)
        assert row["fullness_upper"] == pytest.approx(station.fullness_upper, abs=1e-5)


def test_curvature_of_an_arc():
    """A hemisphere drawn through many stations bends everywhere as its circle does."""
    radius, angle = 400.0, np.linspace(0.0, np.pi / 2, 15)
    x, y = radius * (1 - np.cos(angle)), radius * np.sin(angle)
    one = np.ones_like(x)
    drawn = body_lines(Stations(x, y, -y, y, 0 * one, one / 2**0.5, one / 2**0.5), "ball")
    for line in ("crown", "keel", "half_breadth"):
        # Its free end does not bend, and no spline knows that it should.
        assert np.array(drawn["curvature"][line])[1:150] == pytest.approx(1 / radius, rel=0.01)


def test_a_section_has_its_shoulder_where_the_fullness_puts_it(example):
    drawn = lines_of(example)["pod"]
    station, section = drawn["stations"][4], np.array(drawn["sections"][4])
    half, top, middle = (station[key] for key in ("half_breadth", "crown", "breadth_height"))
    shoulder = np.array([half / 2, (top + middle) / 2])
    shoulder += station["fullness_upper"] * (np.array([half, top]) - shoulder)
    assert np.min(np.hypot(*(section - shoulder).T)) < 0.01
    assert section[0] == pytest.approx([0.0, top], abs=0.01)


def test_a_change_is_drawn_and_not_written(tmp_path):
    file = aircraft(tmp_path)
    before = file.read_bytes()
    drawn = asked_lines(
        file, (), {"pod.stations.4.crown": "1.25 m", "pod.stations.4.fullness_upper": "0.5"}
    )
    assert drawn["pod"]["stations"][4]["crown"] == 1250.0
    assert drawn["pod"]["stations"][4]["fullness_upper"] == 0.5
    assert asked_lines(file)["pod"]["stations"][4]["crown"] == 1222.0
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"pod.stations.4.crown": "300 mm"}, "crown"),
        ({"pod.stations.4.crown": "1,2 m"}, "decimal point|not a number"),
        ({"pod.stations.44.crown": "1 m"}, "no such field"),
        ({"pod.stations.4.station": "100 mm"}, "station"),
    ],
)
def test_lines_that_can_not_be_are_refused(tmp_path, changes, words):
    with pytest.raises(ParameterError, match=words):
        asked_lines(aircraft(tmp_path), (), changes)


@pytest.mark.parametrize("name", ["saltmarsh", "hayfield"])
def test_the_planform_is_that_of_the_sections_that_are_lofted(name):
    p = geomgen.load(CONFIGS / f"{name}.toml")
    from geomgen.shapes.lifting import wing_sections

    for drawn, lofted in zip(
        lines_of(p)["wing"]["stations"], wing_sections(p, p.wing), strict=True
    ):
        assert (drawn["nose"], drawn["y"]) == pytest.approx((lofted.nose[0], lofted.nose[1]))
        # A blunt edge leans with the section by half its thickness at most.
        assert drawn["edge"] == pytest.approx(lofted.trailing_edge()[0], abs=lofted.edge)
