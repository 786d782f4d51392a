"""Where the planes of a passage stand: in its windows, behind its lip, in the shortest way."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop import course
from geomgen.shapes.scoop_route import routes


@pytest.mark.parametrize("around", [0.0, 45.0, 133.0])
def test_windows_hold_the_whole_scoop_any_way_round(variant, around) -> None:
    p = variant(f"scoops.cheek.clock_angle={around} deg", "scoops.cheek.width=120 mm")
    s = p.scoops[0]
    for route in routes(p, pod_lines(p)):
        for where in (route.mouth, *route.throats):
            assert where.reach > math.hypot(s.width / 2 + s.wall, s.height / 2 + s.wall)


def test_no_throat_leans_out_of_the_mouth(variant) -> None:
    """A short passage dives steeply: a plane square to it would cut the lip as well."""
    p = variant(
        "scoops.cheek.passage_length=110 mm",
        "scoops.cheek.width=80 mm",
        "scoops.cheek.clock_angle=45 deg",
        "scoops.cheek.mouth=1750 mm",
        "scoops.cheek.boundary_layer_gap=25 mm",
    )
    pod = pod_lines(p)
    c, s = course(p, pod, 0), p.scoops[0]
    (route, _) = routes(p, pod)
    assert route.throats
    for where in route.throats:
        ahead = s.height / 2 * math.sqrt(1 - where.plane.normal[0] ** 2)
        assert where.seed[0] - ahead > c.mouth + s.lip_radius


@pytest.mark.parametrize(
    ("length", "boundary_layer_gap"), [(250.0, 6.0), (130.0, 6.0), (110.0, 6.0), (160.0, 40.0)]
)
def test_one_throat_stands_in_the_shortest_way_from_floor_to_roof(
    variant, length, boundary_layer_gap
):
    """Of all ways between the S-curves of floor and roof, sought by scipy (slsqp)."""
    p = variant(
        f"scoops.cheek.passage_length={length} mm",
        f"scoops.cheek.boundary_layer_gap={boundary_layer_gap} mm",
    )
    pod = pod_lines(p)
    c, s = course(p, pod, 0), p.scoops[0]
    first = c.mouth + s.lip_radius
    run = c.passage_end - first

    def place(share, sign):
        dive = (c.end - c.start) * 6 * share * (1 - share) / run
        middle = c.start + (c.end - c.start) * share**2 * (3 - 2 * share)
        return np.array([first + run * share, middle + sign * s.height / 2 * math.hypot(1, dive)])

    route = routes(p, pod)[0]
    spans = [_span(where, c, place) for where in route.throats]
    last = max(share for share, _, _ in spans)
    best = min(
        minimize(
            lambda x: np.linalg.norm(place(x[0], -1) - place(x[1], 1)),
            (begin, begin + 0.1),
            bounds=((min(share for share, _, _ in spans), last), (0.0, 1.0)),
            method="SLSQP",
        ).fun
        for begin in np.linspace(0.0, last, 5)
    )
    assert min(size for _, _, size in spans) == pytest.approx(best, rel=2e-4)


def _span(where, c, place):
    """Return the shares of floor and roof where a throat's plane passes them, and their way."""
    seed = np.array([where.seed[0], np.subtract(where.seed[1:], c.frame.origin) @ c.frame.out])
    normal = np.array([where.plane.normal[0], np.array(where.plane.normal[1:]) @ c.frame.out])

    def passes(sign):
        return brentq(lambda share: (place(share, sign) - seed) @ normal, 0.0, 1.0)

    floor, roof = passes(-1), passes(1)
    return floor, roof, float(np.linalg.norm(place(floor, -1) - place(roof, 1)))
