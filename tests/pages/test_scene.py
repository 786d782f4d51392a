"""The traces of the 3D view: read back from base64 they are the bodies, to 32 bits.

Reference: plotly's own validation of figures (`plotly.graph_objects.Figure`) takes them.
"""

import base64
from dataclasses import replace

import numpy as np
import plotly.graph_objects as graph
import pytest

from geomgen.pages.scene import FilledOpening, PageScene, ScenePart, ShownDistance, room, traces

CORNERS = np.array([[0.0, 0, 0], [1000.0, 0, 0], [0, 300.0, 0], [0, 0, 123.456]])
SIDES = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])


@pytest.fixture
def scene():
    span = ShownDistance("prop.axial_clearance", ((1.0, 2.0, 3.0), (4.0, 5.0, 6.0)), "5.20 mm")
    hole = FilledOpening("exit.area", CORNERS[:3], SIDES[:1], (300.0, 100.0, 0.0), "1500.0 cm^2")
    body = ScenePart("pod", CORNERS, SIDES, (0.5, 0.25, 1.0))
    disc = ScenePart("prop_disc", CORNERS + 10.0, SIDES, (0.1, 0.2, 0.3), faded=True)
    return PageScene((body, disc), (span,), (hole,))


def unpacked(packed):
    kind = {"f4": "<f4", "u4": "<u4"}[packed["dtype"]]
    return np.frombuffer(base64.b64decode(packed["bdata"]), kind)


def test_a_body_comes_back(scene):
    trace = traces(scene)[0]
    points = np.stack([unpacked(trace[axis]) for axis in "xyz"], axis=1)
    assert np.abs(points - CORNERS).max() < 1e-4
    assert np.array_equal(np.stack([unpacked(trace[axis]) for axis in "ijk"], axis=1), SIDES)
    assert trace["color"] == "rgb(128,64,255)"
    assert trace["meta"] == {"part": "pod"}


def test_only_the_swept_volume_is_see_through(scene):
    opacity = {trace["name"]: trace["opacity"] for trace in traces(scene)[:2]}
    assert opacity["pod"] == 1
    assert 0 < opacity["prop_disc"] < 0.5


def test_a_distance_runs_between_its_points(scene):
    line = traces(scene)[-1]
    assert (line["x"], line["y"], line["z"]) == ([1.0, 4.0], [2.0, 5.0], [3.0, 6.0])
    assert line["meta"]["check"] == "prop.axial_clearance"


def test_a_millimetre_is_as_long_each_way(scene):
    made = room(scene)
    for axis in "xyz":
        low, high = made[axis]["range"]
        assert made[axis]["share"] == pytest.approx((high - low) / made["longest"])
        assert low < CORNERS["xyz".index(axis)].min() or axis != "x"


def test_the_library_takes_them(scene):
    figure = graph.Figure(traces(scene))
    assert [trace.type for trace in figure.data] == ["mesh3d", "mesh3d", "mesh3d", "scatter3d"]


def test_a_wrong_trace_is_not_taken(scene):
    spoilt = traces(scene)
    spoilt[0]["opacity"] = 3
    with pytest.raises(ValueError, match="opacity"):
        graph.Figure(spoilt)


def test_lines_on_a_skin_go_and_come_with_their_part(scene):
    body = replace(scene.bodies[0], drawn=(CORNERS[:2], CORNERS[2:]))
    found = traces(PageScene((body, scene.bodies[1])))
    (lines,) = [trace for trace in found if trace.get("mode") == "lines"]
    assert lines["meta"] == {"part": "pod"}
    assert lines["x"] == [0.0, 1000.0, None, 0.0, 0.0, None]
    assert found.index(lines) > 0  # the page takes a part's first trace for the part itself
    graph.Figure(found)


def test_what_stands_inside_is_marked_for_the_page():
    frame = ScenePart("frame_a", CORNERS, SIDES, (0.5, 0.5, 0.5), inside=True)
    pod = ScenePart("pod", CORNERS, SIDES, (0.5, 0.5, 0.5))
    marked = [one["meta"] for one in traces(PageScene((frame, pod))) if "part" in one["meta"]]
    assert marked[:2] == [{"part": "frame_a", "inside": True}, {"part": "pod"}]
    assert PageScene((frame, pod)).has_inside
    assert not PageScene((pod,)).has_inside
