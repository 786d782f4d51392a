"""Lines of single solids against closed forms."""

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.visibility import outlines as outlines_module
from geomgen.kernel.visibility.look import FROM_ABOVE, FROM_LEFT, Look
from geomgen.kernel.visibility.outlines import outlines
from geomgen.kernel.visibility.seams import Seams

NONE = Seams([])


def length(found):
    return sum(float(np.linalg.norm(np.diff(one.points, axis=0), axis=1).sum()) for one in found)


def test_a_box_has_its_twelve_edges():
    a, b = 0.5**0.5, 0.5
    found = outlines(box((0, 0, 0), (1, 2, 3)), Look((a, -a, 0.0), (-b, -b, a)), known=NONE)
    middles = {tuple(np.round(one.points.mean(axis=0), 6)) for one in found}
    assert len(middles) == 12
    sharp = [one for one in found if one.kind == "sharp"]
    assert length(sharp) == pytest.approx(4 * (1 + 2 + 3))


@pytest.mark.parametrize("tolerance", [0.5, 0.05, 0.005])
def test_points_keep_the_tolerance(tolerance):
    """Closed form: the middle of a chord lies within the tolerance of the circle."""
    found = outlines(cylinder((0, 0, 0), (0, 0, 1), 50.0, 200.0), FROM_ABOVE, tolerance, NONE)
    for one in found:
        flat = one.points[:, :2]
        middles = 0.5 * (flat[1:] + flat[:-1])
        assert np.abs(np.hypot(*flat.T) - 50.0).max() < 1e-6
        assert np.hypot(*middles.T).min() > 50.0 - tolerance


def test_a_cylinder_from_the_side_has_two_outlines():
    found = outlines(cylinder((0, 0, 0), (0, 0, 1), 50.0, 200.0), FROM_LEFT, known=NONE)
    sides = [one for one in found if one.kind == "outline" and np.ptp(one.points[:, 2]) > 100]
    assert sorted(round(float(one.points[0, 0]), 6) for one in sides) == [-50.0, 50.0]


@pytest.mark.parametrize("astray", [1, 3])
def test_an_outline_that_runs_off_its_solid_is_looked_at_from_beside(monkeypatch, astray):
    """The kernel's spline had a pole 7.7 km off, on a scoop read from a file."""
    looked, sampled = [], outlines_module._sampled

    def once_astray(edge, tolerance):
        points = sampled(edge, tolerance)
        return points + (7e6 if len(looked) <= astray else 0.0)

    def noted(shape, look):
        looked.append(look)
        return looked_at(shape, look)

    looked_at = outlines_module._looked_at
    monkeypatch.setattr(outlines_module, "_sampled", once_astray)
    monkeypatch.setattr(outlines_module, "_looked_at", noted)
    found = outlines(cylinder((0, 0, 0), (0, 0, 1), 50.0, 200.0), FROM_LEFT, known=NONE)
    points = np.concatenate([one.points for one in found])
    assert np.abs(points).max() < 200.1
    assert len(looked) == astray + 1
    for look in looked:
        assert np.linalg.norm(np.subtract(look.toward, FROM_LEFT.toward)) <= 1.0001e-5


def test_an_outline_that_runs_off_from_everywhere_is_refused(monkeypatch):
    monkeypatch.setattr(outlines_module, "_sampled", lambda *_: np.full((2, 3), 1e6))
    with pytest.raises(GeometryError, match="runs off it"):
        outlines(box((0, 0, 0), (1, 2, 3)), FROM_LEFT, known=NONE, part="box")
