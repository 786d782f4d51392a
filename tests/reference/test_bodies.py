"""Bodies with closed forms out of the pod's own builder: volume, wetted area, section areas.

Sources: elementary solid geometry (cylinder, frustum, prolate spheroid), the Sears-Haack body
(A/Amax = (4 x (1 - x))^1.5, V = 3 pi^2 / 16 L R^2), and the area of a conic quadrant; status
DERIVED, each computed here a second way where a value is quoted.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import quad
from solid_properties import mass_properties

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.lofting.bodies import body, outer_skin, tube
from geomgen.kernel.lofting.lines import Lines
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.solids.properties import area, bounding_box
from geomgen.shapes.hull import pod_lines

ELLIPSE = math.sqrt(2) - 1


def pod(x, radius, nose, tail, fullness=ELLIPSE, height=0.0) -> Lines:
    """Lay a body of revolution (or its fuller fellow) with the builder of the pod."""
    rows = [
        SimpleNamespace(
            station=float(a),
            crown=height + float(r),
            keel=height - float(r),
            breadth=2 * float(r),
            breadth_height=height,
            fullness_upper=fullness,
            fullness_lower=fullness,
        )
        for a, r in zip(x, radius, strict=True)
    ]
    record = SimpleNamespace(stations=rows, wall=1.0, nose=nose, tail=tail)
    return pod_lines(SimpleNamespace(pod=record)).lines


def wetted(solid) -> float:
    """Return the area of the curved faces only."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Plane

    curved = [f for f in faces_of(solid) if BRepAdaptor_Surface(f).GetType() != GeomAbs_Plane]
    return sum(area(face, 1e-8).value for face in curved)


def section_area(lines: Lines, x: float) -> float:
    """Return the area of the body's section at station x, as the face of a solid ending there."""
    start = None if lines.nose == "round" else float(lines.station(lines.v_range[0]))
    piece = body(outer_skin(lines, start, x), "cut")
    for face in faces_of(piece):
        box = bounding_box(face)
        if box.size[0] < 1e-3 and abs(box.centre[0] - x) < 1e-3:
            return area(face, 1e-9).value
    raise AssertionError("no section face")


def test_cylinder() -> None:
    lines = pod([0, 400, 1000, 1500], [250] * 4, "flat", "flat")
    solid = body(outer_skin(lines), "pod")
    assert mass_properties(solid, 1e-9).volume == pytest.approx(math.pi * 250**2 * 1500, rel=1e-6)
    assert wetted(solid) == pytest.approx(2 * math.pi * 250 * 1500, rel=1e-6)
    assert section_area(lines, 777.0) == pytest.approx(math.pi * 250**2, rel=1e-6)


def test_frustum() -> None:
    """Closed form: r 2 to 1, h 3: V 21.991149, lateral 29.803765 (DERIVED)."""
    scale = 100.0
    lines = pod(np.array([0, 1, 2, 3]) * scale, np.array([6, 5, 4, 3]) / 3 * scale, "flat", "flat")
    solid = body(outer_skin(lines), "pod")
    volume = math.pi * 3 / 3 * (4 + 2 + 1)
    lateral = math.pi * 3 * math.hypot(3, 1)
    assert volume == pytest.approx(21.991149, abs=1e-6)
    assert lateral == pytest.approx(29.803765, abs=1e-6)
    assert mass_properties(solid, 1e-9).volume == pytest.approx(volume * scale**3, rel=1e-6)
    assert wetted(solid) == pytest.approx(lateral * scale**2, rel=1e-6)
    assert section_area(lines, 150.0) == pytest.approx(math.pi * (1.5 * scale) ** 2, rel=1e-6)


def spheroid(n: int, a: float = 1800.0, b: float = 300.0) -> Lines:
    turn = np.linspace(0, np.pi, n)
    radius = b * np.sin(turn)
    radius[[0, -1]] = 0.0
    return pod(a * (1 - np.cos(turn)), radius, "round", "round")


def test_prolate_spheroid_converges_to_the_closed_form() -> None:
    """The cubic lines leave a fourth-order error: sixteen times less per doubling of stations."""
    a, b = 1800.0, 300.0
    e = math.sqrt(1 - (b / a) ** 2)
    volume = 4 / 3 * math.pi * a * b**2
    skin = 2 * math.pi * b**2 * (1 + a / (b * e) * math.asin(e))
    errors = []
    for n in (5, 9, 17, 33):
        made = body(outer_skin(spheroid(n)), "pod")
        errors.append(abs(mass_properties(made, 1e-9).volume / volume - 1))
    assert errors[-1] < 1e-6
    for coarse, fine in zip(errors[:-1], errors[1:], strict=True):
        assert 12 < coarse / fine < 22
    assert wetted(made) == pytest.approx(skin, rel=2e-6)
    for share in (0.2, 0.5, 0.7):
        true = math.pi * b**2 * (1 - (2 * share - 1) ** 2)
        assert section_area(spheroid(33), 2 * a * share) == pytest.approx(true, rel=1e-6)


def test_spheroid_has_a_truly_round_nose() -> None:
    """The nose radius of a prolate spheroid is b^2 / a (DERIVED)."""
    lines = spheroid(33)
    v = np.array([0.002, 0.004])
    x = lines.station(v) - lines.station(0.0)
    r = lines.curves["half_breadth"](v)
    assert r**2 / (2 * x) == pytest.approx(300.0**2 / 1800.0, rel=1e-3)
    assert float(lines.station.derivative()(0.0)) == pytest.approx(0.0, abs=1e-9)


def test_sears_haack() -> None:
    """Its ends are sharper than round, so convergence is slower; shown to shrink, and bounded."""
    length, most = 3000.0, 250.0
    volume = 3 * math.pi**2 / 16 * length * most**2
    skin = quad(lambda s: _haack_strip(s, length, most), 0, math.pi)[0]
    errors = []
    for n in (9, 17, 33, 65):
        turn = np.linspace(0, np.pi, n)
        radius = most * np.sin(turn) ** 1.5
        radius[[0, -1]] = 0.0
        lines = pod(length / 2 * (1 - np.cos(turn)), radius, "round", "round")
        made = body(outer_skin(lines), "pod")
        errors.append(abs(mass_properties(made, 1e-9).volume / volume - 1))
    assert all(b < a / 4 for a, b in zip(errors[:-1], errors[1:], strict=True))
    assert errors[-1] < 1e-6
    assert wetted(made) == pytest.approx(skin, rel=1e-4)
    assert section_area(lines, 900.0) == pytest.approx(
        math.pi * most**2 * (4 * 0.3 * 0.7) ** 1.5, rel=1e-6
    )


def _haack_strip(turn: float, length: float, most: float) -> float:
    """Return 2 pi r ds/dturn of the Sears-Haack body."""
    r = most * math.sin(turn) ** 1.5
    dr = most * 1.5 * math.sqrt(math.sin(turn)) * math.cos(turn)
    dx = length / 2 * math.sin(turn)
    return 2 * math.pi * r * math.hypot(dr, dx)


@pytest.mark.parametrize(
    ("rho", "share"),
    [
        (0.35, 0.74678627),
        (ELLIPSE, math.pi / 4),
        (0.45, 0.80591702),
        (0.5, 5 / 6),
        (0.6, 0.88350927),
        (0.7, 0.92684907),
        (0.8, 0.96229638),
    ],
)
def test_section_area_of_each_fullness(rho: float, share: float) -> None:
    """Area of a conic quadrant over ab (DERIVED; integrated here a second way)."""
    w = rho / (1 - rho)

    def total(u: float) -> float:
        return (1 - u) ** 2 + 2 * u * (1 - u) * w + u**2

    def breadth(u: float) -> float:
        return ((1 - u) ** 2 + 2 * u * (1 - u) * w) / total(u)

    def strip(u: float) -> float:
        # The unit conic runs (1,0) (1,1) (0,1); the area under it is minus the integral of z dy.
        height = (2 * u * (1 - u) * w + u**2) / total(u)
        return -height * (breadth(u + 1e-6) - breadth(u - 1e-6)) / 2e-6

    assert quad(strip, 0, 1)[0] == pytest.approx(share, abs=2e-6)
    lines = pod([0, 500, 1000], [200, 240, 220], "flat", "flat", rho)
    r = float(lines.curves["half_breadth"](lines.at_station(500.0)))
    assert section_area(lines, 500.0) == pytest.approx(4 * r * r * share, rel=1e-6)


def test_wall_is_a_true_distance() -> None:
    """Points of the inner skin stand off the outer one by the wall, to a hundredth of a mm."""
    from OCP.BRep import BRep_Tool
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.gp import gp_Pnt

    lines = pod(
        [0, 60, 250, 700, 1300, 1900, 2400],
        [0, 105, 210, 300, 310, 260, 170],
        "round",
        "flat",
        0.45,
    )
    inner = offset_skin(lines, 4.0, None, 2400.0, "pod")
    outer = body(outer_skin(lines), "pod")
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.TopAbs import TopAbs_IN, TopAbs_SHELL
    from OCP.TopExp import TopExp_Explorer

    shell = TopExp_Explorer(outer, TopAbs_SHELL).Current()
    inside = BRepClass3d_SolidClassifier(outer)
    rng = np.random.default_rng(7)
    for face in inner.faces[:2]:
        surface = BRep_Tool.Surface_s(face)
        u0, u1, v0, v1 = surface.Bounds()
        for s, t in rng.uniform(0.02, 0.9, (12, 2)):
            p = surface.Value(u0 + s * (u1 - u0), v0 + t * (v1 - v0))
            vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(p.X(), p.Y(), p.Z())).Vertex()
            inside.Perform(p, 1e-6)
            assert inside.State() == TopAbs_IN
            assert BRepExtrema_DistShapeShape(vertex, shell).Value() == pytest.approx(4.0, abs=0.01)


def test_hollow_body_is_the_difference_of_two() -> None:
    lines = spheroid(17)
    x = 3000.0
    outer, inner = outer_skin(lines, None, x), offset_skin(lines, 5.0, None, x, "pod")
    shell = mass_properties(tube(outer, inner, "pod"), 1e-9).volume
    full = mass_properties(body(outer, "o"), 1e-9).volume
    hole = mass_properties(body(inner, "i"), 1e-9).volume
    assert shell == pytest.approx(full - hole, rel=1e-7)
