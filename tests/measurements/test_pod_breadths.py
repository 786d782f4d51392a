"""How broad plain pods are: a ball, a cylinder with scoops and a gap before its rim."""

import numpy as np
import pytest
from meshed_bodies import body
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.measurements.pod_breadths import CUTS, pod_breadths


def figures(record, name):
    by_name = dict(record.further)
    return np.array([by_name[f"{name} {i + 1}"] for i in range(CUTS)])


def test_a_ball_is_as_broad_as_its_circles() -> None:
    ball = BRepPrimAPI_MakeSphere(gp_Pnt(300.0, 0.0, 50.0), 300.0).Solid()
    record = pod_breadths({"pod": body(ball)})
    at = (np.arange(CUTS) + 0.5) / CUTS * 600.0 - 300.0
    assert figures(record, "breadth") == pytest.approx(2 * np.sqrt(300.0**2 - at**2), abs=1.0)
    assert figures(record, "waterline") == pytest.approx(np.full(CUTS, 50.0), abs=0.2)
    assert record.value == pytest.approx(600.0, abs=0.5)
    assert dict(record.further)["back"] == pytest.approx(600.0, abs=0.1)


def test_scoops_stand_out_and_a_gap_before_the_rim_is_no_waist() -> None:
    """At the middle cut of 41 mm from the front the gap of 4 mm stands; its neighbours tell."""
    parts = {
        "pod": cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 810.0),
        "exit": cylinder((815.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 185.0),
        "scoop_cheek_right": box((400.0, 50.0, -20.0), (500.0, 160.0, 20.0)),
    }
    record = pod_breadths({name: body(solid) for name, solid in parts.items()})
    found = figures(record, "breadth")
    assert record.part == "pod"
    assert found[:16] == pytest.approx(np.full(16, 200.0), abs=0.3)
    assert found[16:20] == pytest.approx(np.full(4, 260.0), abs=0.3)
    assert found[20:] == pytest.approx(np.full(20, 200.0), abs=0.3)
    assert record.value == pytest.approx(260.0, abs=0.3)
