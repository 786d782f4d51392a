"""Gear legs against closed forms: tube, tapered leaf, axle and fork.

Sources: the prismatoid between two oblongs in parallel planes, h / 3 (A1 + A2 + (b1 t2 + b2 t1) /
2), and the share of a bar that lies in a round tube, the integral of sqrt(a^2 - x^2) sqrt(r^2 -
x^2): solid geometry, status DERIVED.
"""

from math import hypot, pi, sqrt

import pytest
from scipy.integrate import quad

from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.landing_gear import Wheel
from geomgen.parameters.rules.leg_course import course
from geomgen.shapes.leg import leaf, whole_leg

WIDTH, SIZE = 110.0, 360.0


def wheel(**leg) -> Wheel:
    """Return a wheel of 360 x 110 mm whose axle stands at STA 1850, BL 750, WL 10."""
    texts = {key: f"{v} mm" if isinstance(v, float) else v for key, v in leg.items()}
    return Wheel.model_validate(
        {
            "name": "main",
            "role": "main",
            "station": "1850 mm",
            "buttock_line": "750 mm",
            "waterline": "10 mm",
            "diameter": f"{SIZE} mm",
            "width": f"{WIDTH} mm",
            "leg": {"rooted_in": "pod", **texts},
        }
    )


@pytest.mark.parametrize(("radius", "axle"), [(20.0, 10.0), (30.0, 12.5), (15.0, 14.0)])
def test_an_upright_tube_with_its_axle(radius, axle) -> None:
    high, gap = 480.0, 12.0
    out = WIDTH / 2 + gap + radius
    w = wheel(kind="tube", station=1850.0, buttock_line=750.0 - out, waterline=10.0 + high,
              diameter=2 * radius, axle_diameter=2 * axle, tyre_gap=gap)  # fmt: skip
    within, _ = quad(lambda x: sqrt(axle**2 - x**2) * sqrt(radius**2 - x**2), -axle, axle)
    due = pi * radius**2 * high + pi * axle**2 * (gap + radius) - within
    assert w.leg is not None
    assert volume(whole_leg(w, w.leg, "leg")).value == pytest.approx(due, rel=1e-6)


@pytest.mark.parametrize(
    ("root", "tip"),
    [((90.0, 18.0), (60.0, 12.0)), ((80.0, 20.0), (80.0, 20.0)), ((120.0, 9.0), (20.0, 6.0))],
)
@pytest.mark.parametrize("at", [(1735.0, 150.0, 485.0), (1850.0, 100.0, 300.0)])
def test_a_tapered_leaf_is_a_prismatoid(root, tip, at) -> None:
    w = wheel(kind="leaf", station=at[0], buttock_line=at[1], waterline=at[2],
              root_breadth=root[0], root_thickness=root[1],
              tip_breadth=tip[0], tip_thickness=tip[1])  # fmt: skip
    assert w.leg is not None
    way = course(w, w.leg)
    mixed = (root[0] * tip[1] + tip[0] * root[1]) / 2
    due = way.length / 3 * (root[0] * root[1] + tip[0] * tip[1] + mixed)
    assert volume(leaf(w.leg, way, "leg")).value == pytest.approx(due, rel=1e-9)


@pytest.mark.parametrize("back", [0.0, -90.0, 140.0])
def test_a_tube_with_a_fork_over_the_wheel(back) -> None:
    """Bridge, two blades, what holds the hub; the thin tube ends half-way in the bridge."""
    bar, gap, radius, high = 24.0, 10.0, 9.0, 500.0
    w = wheel(kind="tube", station=1850.0 + back, buttock_line=750.0, waterline=10.0 + high,
              diameter=2 * radius, fork=True, axle_diameter=bar, tyre_gap=gap)  # fmt: skip
    off = SIZE / 2 + gap + bar / 2
    bridge = (WIDTH + 2 * gap + 2 * bar) * bar
    blades = 2 * bar * (SIZE / 2 + gap + bar / 2)
    held = 2 * gap * bar
    tube = pi * radius**2 * (hypot(back, high) - off - bar / 2)
    assert w.leg is not None
    due = (bridge + blades + held) * bar + tube
    assert volume(whole_leg(w, w.leg, "leg")).value == pytest.approx(due, rel=1e-6)
