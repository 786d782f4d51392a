"""Lift slopes, the flow about a wing, a body's moment, neutral points: published and closed forms.

Status of each source: MEMORY (recalled), DERIVED (worked out here in a second way).
"""

from math import atan, cos, degrees, pi, radians, sin, sqrt

import numpy as np
import pytest
from balanced_shapes import pod, spindle, surface, tail, wing
from meshed_bodies import body
from OCP.BRepBuilderAPI import BRepBuilderAPI_GTransform
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_GTrsf, gp_Mat, gp_XYZ
from reference.test_wing_area import flat_wing, trapezoid
from scipy.integrate import quad
from scipy.special import ellipe

from geomgen.balance.stability.neutral_point import TAILPLANE, WING, neutral_point
from geomgen.balance.stability.pod_moment import PodStrips, pod_moment
from geomgen.balance.stability.wing_flow import WingFlow, lift_slope
from geomgen.kernel.solids.properties import volume
from geomgen.measurements.planform import planform, planform_record
from geomgen.measurements.pod_breadths import CUTS, pod_breadths


@pytest.mark.parametrize(("aspect_ratio", "within"), [(20.0, 5e-3), (50.0, 1e-3), (200.0, 1e-4)])
def test_a_long_wing_lifts_as_lifting_line_theory_says(aspect_ratio, within) -> None:
    """2 pi A / (A + 2), any text on wing theory (DERIVED)."""
    line = 2 * pi * aspect_ratio / (aspect_ratio + 2)
    assert lift_slope(aspect_ratio) == pytest.approx(line, rel=within)


def test_the_circular_wing() -> None:
    """1.790 by lifting-surface theory (MEMORY: Jordan 1973); Helmbold is 2.2 % off there."""
    assert lift_slope(4 / pi) == pytest.approx(1.790, rel=0.025)


def test_a_very_short_wing_lifts_as_slender_wings_do() -> None:
    """pi A / 2, R. T. Jones, NACA TR 835 (MEMORY)."""
    assert lift_slope(0.01) == pytest.approx(pi * 0.01 / 2, rel=0.01)


def test_an_endless_swept_wing_lifts_by_the_cosine() -> None:
    """Simple sweep theory: 2 pi cos of the sweep (DERIVED)."""
    assert lift_slope(1e5, 30.0) == pytest.approx(2 * pi * cos(radians(30.0)), rel=1e-4)


# The flow -------------------------------------------------------------------------------------


LONG = 8e4
LINE = WingFlow(5.0, LONG, 8000.0, 0.0, 0.0)  # next to no chord: a lifting line
AT_LINE = 5.0 / (pi * LONG)  # the share lost at the line itself, CL / (pi A)


@pytest.mark.parametrize("x", [-9000.0, -1500.0, 800.0, 3000.0, 20000.0])
def test_the_flow_in_the_plane_of_an_elliptic_lifting_line(x) -> None:
    """1 + 2/pi sqrt(1 + xi^2)/xi E(k), k^2 = 1/(1 + xi^2), times that at the line.

    Status MEMORY (Glauert). xi = 2 x / b; ahead, where the air goes up, it is negative.
    """
    xi = x / 4000.0
    due = 1 + 2 / pi * sqrt(1 + xi**2) / xi * ellipe(1 / (1 + xi**2))
    found = (1.0 - LINE.turn_at(x, 0.0)) / AT_LINE
    assert found == pytest.approx(due, rel=1e-4, abs=1e-6)


def test_far_behind_the_downwash_is_twice_that_at_the_wing() -> None:
    """2 CL / (pi A), any text on wing theory (DERIVED)."""
    wing_of_eight = WingFlow(4.9, 8.0, 8000.0, 0.0, 0.0)
    assert 1.0 - wing_of_eight.turn_at(1e7, 0.0) == pytest.approx(2 * 4.9 / (pi * 8.0), rel=1e-6)


@pytest.mark.parametrize("z", [100.0, 1500.0, 6000.0])
def test_far_behind_and_beside_the_wake_it_is_less(z) -> None:
    """2 (1 - z / sqrt(z^2 + s^2)): the flow square to a plate (DERIVED, Trefftz plane)."""
    due = 2 * AT_LINE * (1 - z / sqrt(z**2 + 4000.0**2))
    assert 1.0 - LINE.turn_at(1e8, -z) == pytest.approx(due, rel=1e-5)


@pytest.mark.parametrize(("x", "z"), [(2500.0, 300.0), (600.0, -400.0), (-900.0, 250.0)])
def test_the_flow_beside_the_wake_by_biot_and_savart(x, z) -> None:
    """Bound and trailing vortices of an elliptic loading, summed by scipy (DERIVED)."""
    s = 4000.0

    def bound(turn):
        y = s * sin(turn)
        return cos(turn) ** 2 * s * x / (x * x + y * y + z * z) ** 1.5

    def trailing(turn):
        y = s * sin(turn)
        return y * y / s / (y * y + z * z) * (1 + x / sqrt(x * x + y * y + z * z))

    total = sum(quad(part, -pi / 2, pi / 2, limit=400)[0] for part in (bound, trailing))
    # The circulation in the middle is 4 s times the downwash at the line.
    due = AT_LINE * 4 * s / (4 * pi) * total
    assert 1.0 - LINE.turn_at(x, z) == pytest.approx(due, rel=1e-4)


@pytest.mark.parametrize(
    ("x", "z"), [(-300.0, 0.0), (-50.0, 200.0), (600.0, -300.0), (1700.0, 80.0)]
)
def test_the_flow_about_an_endless_plate(x, z) -> None:
    """Thin-aerofoil theory: vortices 2 sqrt((c - xi)/xi) along the chord, summed (DERIVED)."""
    c = 1000.0

    def sheet(turn):
        # xi = c sin^2(turn): the ends of the loading come out plain.
        xi = c * sin(turn) ** 2
        strength = 2 * cos(turn) / sin(turn) * 2 * c * sin(turn) * cos(turn)
        return strength * (x - xi) / ((x - xi) ** 2 + z * z) / (2 * pi)

    due = 1.0 - quad(sheet, 0.0, pi / 2, limit=400)[0]
    endless = WingFlow(2 * pi, 1e7, 1e7 * c * pi / 4, c / 4, 0.0)
    assert endless.turn_at(x, z) == pytest.approx(due, abs=1e-5)


# The pod --------------------------------------------------------------------------------------


def test_a_slender_bodys_moment_is_twice_its_volume() -> None:
    """2 q V, Munk, NACA TR 184 (MEMORY), with the factor k2 - k1 of a slender body: 1."""
    breadths, inside = spindle(3000.0, 620.0, count=400)
    strips = PodStrips(0.0, 3000.0, tuple(breadths), (0.0,) * 400)
    assert pod_moment(strips, None) == pytest.approx(2 * inside, rel=1e-5)


def test_a_built_spheroid_measured_has_twice_its_measured_volume() -> None:
    """Breadths from cuts of the mesh, the volume by the kernel's integrals."""
    grow = gp_GTrsf(gp_Mat(5.0, 0, 0, 0, 1.0, 0, 0, 0, 1.0), gp_XYZ(1500.0, 0.0, 0.0))
    ball = BRepPrimAPI_MakeSphere(300.0).Solid()
    (solid,) = solids(BRepBuilderAPI_GTransform(ball, grow, True).Shape())
    figures = dict(pod_breadths({"pod": body(solid)}).further)
    breadths = tuple(figures[f"breadth {i + 1}"] for i in range(CUTS))
    strips = PodStrips(figures["front"], figures["back"], breadths, (0.0,) * CUTS)
    assert pod_moment(strips, None) == pytest.approx(2 * volume(solid).value, rel=3e-3)


def solids(shape):
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    found = TopExp_Explorer(shape, TopAbs_SOLID)
    return [TopoDS.Solid(found.Current())]


# Planforms ------------------------------------------------------------------------------------


@pytest.mark.parametrize("sweep", [0.0, 800.0])
def test_the_trapezoid_as_built(sweep) -> None:
    """S 9.6, A 6.66667, mean chord 1.225 at 1.83333 of the half-span (plane geometry, DERIVED)."""
    found = planform({"wing": body(trapezoid(sweep=sweep))}, {})
    out = 1833.33
    assert found.area == pytest.approx(9.6e6, rel=1e-6)
    assert found.aspect_ratio == pytest.approx(6.66667, rel=1e-5)
    edge = (150.0 + sweep) * out / 4000.0
    assert found.leading_edge_station == pytest.approx(edge, abs=0.01)
    assert found.quarter_station == pytest.approx(edge + 1225.0 / 4, abs=0.01)
    assert found.quarter_chord_sweep == pytest.approx(degrees(atan(sweep / 4000.0)), abs=1e-3)


def test_an_elliptic_wing_as_built() -> None:
    """Mean chord 8/(3 pi) of the middle's, area pi/4 of the box's (DERIVED)."""
    y = 3000.0 * np.sin(np.linspace(-1.0, 1.0, 81) * 0.4995 * pi)
    chord = 1000.0 * np.sqrt(1.0 - (y / 3000.0) ** 2)
    rows = [(float(a), 250.0 - 0.25 * float(c), float(c)) for a, c in zip(y, chord, strict=True)]
    found = planform({"wing": body(flat_wing(rows))}, {})
    assert found.mean_aerodynamic_chord == pytest.approx(8 / (3 * pi) * 1000.0, rel=1e-3)
    assert found.area == pytest.approx(pi / 4 * 6000.0 * 1000.0, rel=1e-3)
    assert found.quarter_station == pytest.approx(250.0, abs=0.1)
    assert abs(found.area - pi / 4 * 6e6) < found.missed


# Neutral points -------------------------------------------------------------------------------


@pytest.mark.parametrize("sweep", [0.0, 500.0])
def test_a_wing_alone_has_it_at_the_quarter_of_its_mean_chord(sweep) -> None:
    """Thin-aerofoil theory: the centre of the lift that angle brings (DERIVED)."""
    solid = trapezoid(sweep=sweep)
    point, _ = neutral_point([planform_record(WING, {"wing": body(solid)}, {}, 0.0), pod()])
    assert point.in_chords(point.station) == pytest.approx(0.25, abs=1e-6)
    edge = (150.0 + sweep) * 1833.33 / 4000.0
    assert point.station == pytest.approx(edge + 0.25 * 1225.0, abs=0.01)


def test_wing_and_tail_by_the_textbook_sum() -> None:
    """x = (a S x + a' S' (1 - de/da) x') / (a S + a' S' (1 - de/da)), worked by hand (DERIVED).

    Wing 8 m by 1 m, A 8: a = 50.2655/(2 + sqrt 68) = 4.90576, S 8, x 0.25. Tail 2 m by 0.5 m, A 4:
    a' = 25.1327/(2 + sqrt 20) = 3.88323, S' 1, far aft at x' 400: de/da = 2 x 4.90576/(8 pi) =
    0.39039. Wing 39.24608; tail 3.88323 x 0.60961 = 2.36726; x = (9.81152 + 946.904) / 41.61334.
    """
    rows = [wing(8000.0, 1000.0, 1000.0), tail(2000.0, 500.0, edge=400e3 - 125.0), pod()]
    point, _ = neutral_point(rows)
    assert point.downwash == pytest.approx(0.39039, abs=1e-3)
    assert point.station / 1000.0 == pytest.approx(22.9906, rel=2e-3)
    assert point.tail_volume == pytest.approx(399.75 * 1.0 / 8.0, rel=1e-6)


def test_a_pod_moves_it_forward_by_its_moment_over_the_lift() -> None:
    """A spindle far ahead of any wing: 2 V / (a S) (DERIVED)."""
    breadths, inside = spindle(3000.0, 620.0)
    rows = [wing(8000.0, 1000.0, 1000.0, edge=1e6), pod(0.0, 3000.0, breadths)]
    point, _ = neutral_point(rows)
    assert 1e6 + 250.0 - point.station == pytest.approx(2 * inside / (4.90576 * 8e6), rel=1e-3)


def test_two_surfaces_alike_side_by_side_share_it() -> None:
    """Far apart in height, the wake passes by: half-way between (DERIVED)."""
    rows = [wing(8000.0, 1000.0, 1000.0), pod()]
    rows.append(surface(TAILPLANE, 8000.0, 1000.0, edge=4000.0, height=1e6))
    point, _ = neutral_point(rows)
    assert point.station == pytest.approx(2250.0, abs=1.0)
