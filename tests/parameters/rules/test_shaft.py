"""A shaft drawn into the spinner: told by how much, and that is enough; an engine block is not."""

import re

import pytest

from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.distance import closest
from geomgen.parameters.rules.shaft import base_before, is_shaft, shaft_advice
from geomgen.parameters.rules.shaft import blade_plane as plane
from geomgen.shapes.propeller import blade_plane, spinner
from geomgen.sizing.targets import targets


def with_shaft(p, end: float, **more):
    """Return the parameters with one cylinder along the thrust line that ends at a station."""
    row = p.engine.cylinders[0].model_copy(
        update={
            "name": "shaft",
            "axis": "x",
            "station": end - 200.0,
            "length": 200.0,
            "diameter": 40.0,
            "buttock_line": 0.0,
            "waterline": p.propeller.waterline,
            **more,
        }
    )
    bay = p.engine.model_copy(update={"cylinders": (*p.engine.cylinders, row)})
    return p.model_copy(update={"engine": bay})


@pytest.mark.parametrize("tilt", [0.0, 3.0])
@pytest.mark.parametrize("into", [0.21, 12.0])
def test_a_shaft_in_the_spinner_is_told_and_shorter_it_stands_clear(saltmarsh, tilt, into):
    p = saltmarsh(f"propeller.thrust_tilt={tilt} deg")
    assert plane(p) == pytest.approx(blade_plane(p))
    end = base_before(p, with_shaft(p, 0.0).engine.cylinders[-1]) + into
    drawn = with_shaft(p, end)
    told = shaft_advice(drawn)
    assert "engine.cylinders 'shaft'" in told
    less = float(re.search(r"by ([0-9.]+) mm", told)[1])
    assert less == pytest.approx(into, abs=0.02)
    (aim,) = [t for t in targets(drawn) if t.id == "parts.interference.*"]
    assert aim.advice == told
    body = spinner(p).solid
    assert gap(p, body, end - into + 0.01) < 1e-9
    assert 1e-3 < gap(p, body, end - less) < 0.02
    assert not shaft_advice(with_shaft(p, end - less))


def gap(p, body, end: float) -> float:
    """Return the distance [mm] of a shaft that ends at a station from the spinner."""
    rod = cylinder((end - 200.0, 0.0, p.propeller.waterline), (1.0, 0.0, 0.0), 20.0, 200.0)
    return closest(rod, body).distance


def test_only_what_lies_along_the_thrust_line_is_a_shaft(saltmarsh):
    p = saltmarsh()
    end = base_before(p, with_shaft(p, 0.0).engine.cylinders[-1]) + 5.0
    for more in (
        {"buttock_line": 30.0},
        {"waterline": p.propeller.waterline - 20.0},
        {"axis": "y"},
    ):
        assert not shaft_advice(with_shaft(p, end, **more))
    assert not shaft_advice(p)
    assert not shaft_advice(with_shaft(p, end).model_copy(update={"spinner": None}))
    assert is_shaft(p, with_shaft(p, end).engine.cylinders[-1])
