"""Aerofoil sections against the equations and against ordinates worked from them.

Sources: NACA Report 460 and 537 (equations, MEMORY); ordinates worked from them by hand
(DERIVED, to 0.03 % chord). Areas of the four-digit thickness form: DERIVED, integrated here again.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import make_interp_spline
from solid_properties import mass_properties

from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.shapes.aerofoil import angles, grown, half_thickness, naca, through, with_edge

NAMES = ("0009", "0012", "2412", "4412", "4415", "23012", "43015")

SYMMETRIC_0012 = {
    1.25: 1.894, 2.5: 2.615, 5: 3.555, 10: 4.683, 20: 5.738, 30: 6.002,
    40: 5.803, 60: 4.563, 80: 2.623, 95: 0.807,
}  # fmt: skip
CAMBERED = {
    "2412": {5: (4.13, -3.01), 20: (7.26, -4.23), 30: (7.88, -4.13), 60: (6.35, -2.78),
             90: (2.07, -0.83)},
    "4412": {5: (4.73, -2.48), 20: (8.80, -2.73), 30: (9.76, -2.26), 60: (8.14, -1.00),
             90: (2.70, -0.21)},
}  # fmt: skip


def curve(digits: str):
    return make_interp_spline(angles(), naca(digits), k=3)


def at_station(digits: str, x: float) -> tuple[float, float]:
    """Return the upper and lower ordinate of the built curve at x, by bisection on the curve."""
    spline = curve(digits)
    found = []
    for low, high in ((-np.pi / 2, -0.02), (0.02, np.pi / 2)):
        a, b = low, high
        for _ in range(60):
            m = 0.5 * (a + b)
            if (spline(a)[0] - x) * (spline(m)[0] - x) <= 0:
                b = m
            else:
                a = m
        found.append(float(spline(0.5 * (a + b))[1]))
    return found[0], found[1]


@pytest.mark.parametrize("digits", NAMES)
def test_the_curve_keeps_to_the_equations(digits: str, monkeypatch) -> None:
    """Between its points the spline is within 1e-5 chord of the equations (NACA 460, 537)."""
    import geomgen.shapes.aerofoil as aerofoil

    spline = curve(digits)
    monkeypatch.setattr(aerofoil, "HALF", 320)
    fine, turn = naca(digits), angles()
    tangent = spline.derivative()(turn)
    normal = np.stack([tangent[:, 1], -tangent[:, 0]], axis=-1)
    normal /= np.hypot(*normal.T)[:, None]
    assert np.max(np.abs(np.sum((spline(turn) - fine) * normal, axis=1))) < 1e-5


@pytest.mark.parametrize(("x", "y"), SYMMETRIC_0012.items())
def test_ordinates_of_the_0012(x: float, y: float) -> None:
    upper, lower = at_station("0012", x / 100)
    assert upper == pytest.approx(y / 100, abs=1e-5)
    assert lower == pytest.approx(-upper, abs=1e-9)


@pytest.mark.parametrize("digits", CAMBERED)
def test_ordinates_of_cambered_sections(digits: str) -> None:
    for x, (upper, lower) in CAMBERED[digits].items():
        assert at_station(digits, x / 100) == pytest.approx((upper / 100, lower / 100), abs=3e-4)


def test_area_of_the_thickness_form() -> None:
    """0.685083 t c^2 with the open edge (DERIVED), in the section and in the solid."""
    t = 0.12
    area = 2 * quad(lambda x: float(half_thickness(np.array([x]), t)[0]), 0, 1)[0]
    assert area == pytest.approx(0.685083 * t, abs=1e-7)
    outline = naca("0012") * 1000.0
    rows = [np.insert(outline, 1, y, axis=1) for y in (0.0, 500.0)]
    solid = ruled_solid(rows, angles(), "wing")
    assert mass_properties(solid, 1e-9).volume == pytest.approx(area * 1e6 * 500.0, rel=1e-6)


def test_nose_radius_of_the_0012() -> None:
    """1.1019 t^2 (NACA Report 460): y^2 / 2x at the nose of the thickness form."""
    x = np.array([1e-9])
    radius = float(half_thickness(x, 0.12)[0] ** 2 / (2 * x[0]))
    assert radius == pytest.approx(1.1019 * 0.12**2, rel=1e-3)


@pytest.mark.parametrize("digits", NAMES)
@pytest.mark.parametrize("edge", [0.001, 0.004, 0.01])
def test_trailing_edge_has_the_thickness_asked_for(digits: str, edge: float) -> None:
    outline = with_edge(naca(digits), edge)
    assert np.hypot(*(outline[0] - outline[-1])) == pytest.approx(edge, rel=1e-9)


def test_points_of_a_known_section_give_it_back() -> None:
    """A section laid through the points of a NACA 4412 is the NACA 4412 within 2e-5 chord."""
    laid = through([tuple(point) for point in naca("4412")])
    spline = curve("4412")
    dense = spline(np.linspace(-np.pi / 2, np.pi / 2, 100_001))
    for point in laid:
        assert np.min(np.hypot(*(dense - point).T)) < 2e-5


def test_grown_outline_stands_off_by_the_distance() -> None:
    """Ahead of 0.7 chord exactly; behind it a little more, round the blunt edge's corner."""
    outline = with_edge(naca("2412"), 0.003)
    off = grown(outline, 0.002)
    dense = make_interp_spline(angles(), outline, k=3)(np.linspace(-np.pi / 2, np.pi / 2, 40_001))
    for point in make_interp_spline(angles(), off, k=3)(np.linspace(-np.pi / 2, np.pi / 2, 701)):
        gap = np.min(np.hypot(*(dense - point).T))
        assert 0.00199 < gap < 0.0032
        if point[0] < 0.69:
            assert gap == pytest.approx(0.002, abs=1e-5)
    assert off[0, 0] > outline[0, 0] + 0.0019
