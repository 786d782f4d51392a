"""Views: their axes, and the engine bay found from where the machine's own places are.

Source: closed forms; common practice (nose to the left in a side view, nose up in a plan).
"""

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, disc
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Plane
from geomgen.renders.view import View, engine_bay, inside_view, standard_views

LINE = Axis((3000.0, 0.0, 800.0), (1.0, 0.0, 0.0))


def machine():
    """A body with a bay from 1800 to 2900, an engine in it, wheels, and a disc of radius 650."""
    parts = {
        "pod": box((0.0, -200.0, 500.0), (2900.0, 200.0, 1100.0)),
        "motor": box((2200.0, -100.0, 700.0), (2600.0, 100.0, 900.0)),
        "swept": disc(LINE, 0.0, 100.0, 650.0),
        "wheel": box((1500.0, 600.0, 0.0), (1700.0, 700.0, 200.0)),
        "nose_wheel": box((300.0, -50.0, 500.0), (500.0, 50.0, 700.0)),
    }
    families = {name: name for name in parts} | {"motor": "engine"}
    wall = Plane((1800.0, 0.0, 800.0), (1.0, 0.0, 0.0))
    return Model(
        parts=parts,
        families=families,
        swept="swept",
        rotating=("swept",),
        thrust_line=LINE,
        firewall_plane=wall,
    )


def test_right_up_and_away_are_at_right_angles_and_right_handed():
    axes = np.array(View("a", "", (1.0, -0.7, -0.5)).axes())
    assert np.allclose(axes @ axes.T, np.eye(3))
    # Right, up and towards the eye are right-handed.
    assert np.linalg.det(axes * [[1.0], [1.0], [-1.0]]) == pytest.approx(1.0)


def test_the_nose_is_where_people_look_for_it():
    views = {view.name: np.array(view.axes()) for view in standard_views(machine())}
    forward, right, up = np.array([-1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([0, 0, 1.0])
    assert np.allclose(views["side"][:2] @ forward, [-1.0, 0.0])
    assert np.allclose(views["side"][:2] @ up, [0.0, 1.0])
    assert np.allclose(views["plan"][:2] @ forward, [0.0, 1.0])
    assert np.allclose(views["plan"][:2] @ right, [1.0, 0.0])
    # Seen from ahead, the machine's right is on the left.
    assert np.allclose(views["front"][:2] @ right, [-1.0, 0.0])
    # The eye is ahead of the machine in the one, behind it in the other, above it in both.
    assert views["three_quarter_front"][2] @ forward < 0 < views["three_quarter_rear"][2] @ forward
    assert views["three_quarter_front"][2] @ up < 0 > views["three_quarter_rear"][2] @ up


def test_the_engine_bay_is_cut_along_the_thrust_line_and_shows_what_stands_there():
    view = engine_bay(machine())
    assert view.without == ("wheel", "nose_wheel")
    assert view.whole == ("motor",)
    assert view.translucent == ("swept",)
    assert view.sections[0] == Plane(LINE.origin, (0.0, -1.0, 0.0))
    # From the firewall to the end of the swept volume it is 1300 mm.
    ahead, behind = view.sections[1], view.sections[2]
    assert 1800.0 - 0.5 * 1300.0 < ahead.origin[0] < 1800.0
    assert 3100.0 < behind.origin[0] < 3100.0 + 0.2 * 1300.0


def test_a_model_without_a_bay_has_no_picture_of_it():
    model = machine()
    model.firewall_plane = None
    assert engine_bay(model) is None
    assert "engine_bay" not in {view.name for view in standard_views(model)}
    assert len(standard_views(machine())) == 6


def test_a_part_behind_no_swept_volume_hides_nothing():
    model = machine()
    model.swept = "none"
    assert all(view.translucent == () for view in standard_views(model))


def test_what_is_up_can_not_be_where_one_looks():
    with pytest.raises(GeometryError, match="nothing is up"):
        View("a", "", (0.0, 0.0, -1.0)).axes()


def test_what_stands_inside_is_seen_through_the_skins():
    assert inside_view(machine()) is None
    model = machine()
    model.families["frame_a"] = "frame"
    model.parts["frame_a"] = next(iter(model.parts.values()))
    view = inside_view(model)
    assert view is not None
    assert "pod" in view.translucent
    assert "frame_a" not in view.translucent
    assert view.name in {one.name for one in standard_views(model)}
