"""The gap behind a trailing edge on wings of all shapes, against the straight edge's closed form.

How a machine can be wrong while prop.trailing_edge_gap passes, and what sees it:

- the least gap lies where the edge leaves the disc, at a break between panels or at a notch: all of
  them are looked at, and the bound holds (`test_the_bound_holds_on_wings_of_all_shapes`);
- a pylon or fin stands close ahead of the blades: its own edge and chord count
  (`test_a_pylon_...`), and a strut without chord in millimetres, by prop.axial_clearance;
- a boom, the hull, scoops, wheels and the engine ahead of the blades: no chord to count in; seen in
  millimetres alone, and the method says so.
"""

from math import cos, inf, radians, sin, sqrt

import numpy as np
import pytest
from asking import propeller_figures
from few_cases import few
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS

from geomgen.kernel.brep.primitives import box, ring
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis

HALF, TIP = 40.0, 650.0
DIAMOND = ((0.0, 0.0), (0.4, 0.06), (1.0, 0.0), (0.4, -0.06))


def lofted(rows, upright=False):
    """Return a ruled solid of diamond sections: (station of the nose, y, z, chord) [mm]."""
    loft = BRepOffsetAPI_ThruSections(True, True)
    for x, y, z, chord in rows:
        outline = BRepBuilderAPI_MakePolygon()
        for dx, off in DIAMOND:
            side = (off * chord, 0.0) if upright else (0.0, off * chord)
            outline.Add(gp_Pnt(x + dx * chord, y + side[0], z + side[1]))
        outline.Close()
        loft.AddWire(outline.Wire())
    loft.Build()
    return TopoDS.Solid(loft.Shape())


def model(axis, **parts):
    every = {"prop_disc": ring(axis, -HALF, HALF, 60.0, TIP), **parts}
    return Model(parts=every, families={n: n for n in every}, thrust_line=axis)


def trailing(m):
    only = {"swept volume", "trailing edge", "ground"}
    keep = propeller_figures(m, keep=lambda question: question.name in only)
    return keep["prop.trailing_edge_gap"]


def truth(rows, axis):
    """Return the least gap of straight edges within the disc, and the least distance off its rim.

    Gap over chord is a ratio of linear functions along a panel: least at an end of what is inside,
    where |edge - axis|^2 = R^2, a quadratic equation.
    """
    way, origin, found, clear = np.array(axis.direction), np.array(axis.origin), [], inf
    for one, other in zip(rows, rows[1:], strict=False):
        ends = [np.array([x + chord, y, z, chord]) for x, y, z, chord in (one, other)]
        a, b = ends[0], ends[1] - ends[0]
        p, q = [v[:3] - (v[:3] @ way) * way for v in (a - [*origin, 0.0], b)]
        square, mixed, rest = q @ q, p @ q, p @ p - TIP**2
        root = mixed**2 - square * rest
        clear = min(clear, abs(sqrt(max(0.0, rest + TIP**2 - mixed**2 / square)) - TIP))
        if root <= 0.0:
            continue
        low, high = ((-mixed + sign * sqrt(root)) / square for sign in (-1.0, 1.0))
        for share in (max(0.0, low), min(1.0, high)):
            if 0.0 <= share <= 1.0 and low <= share + 1e-12 and share <= high + 1e-12:
                edge = a + share * b
                found.append((-HALF - (edge[:3] - origin) @ way) / edge[3])
    return min(found, default=None), clear


def strange(seed):
    """Return a wing and a thrust line: swept, tapered, cranked, with dihedral; tilted, offset."""
    pick = np.random.default_rng(seed)
    outs = sorted(pick.uniform(150.0, 2500.0, 3))
    breaks = [-outs[2], -outs[0], pick.uniform(-80.0, 80.0), outs[1] * 0.9, outs[2]]
    sweep, rise = pick.uniform(-0.5, 0.7), pick.uniform(-0.15, 0.2)
    height = pick.uniform(-500.0, 500.0)
    rows = []
    for y in sorted(breaks):
        chord = pick.uniform(500.0, 1500.0)
        edge = 1500.0 + sweep * abs(y) + pick.uniform(-60.0, 60.0)
        rows.append((edge - chord, y, height + rise * abs(y) + pick.uniform(-20.0, 20.0), chord))
    tilt = radians(pick.uniform(-5.0, 5.0))
    front = pick.uniform(1900.0, 2600.0)
    origin = (front, pick.uniform(-60.0, 60.0), pick.uniform(-80.0, 80.0))
    return rows, Axis(origin, (cos(tilt), 0.0, -sin(tilt)))


@pytest.mark.parametrize("seed", few(range(60), *range(5)))
def test_the_bound_holds_on_wings_of_all_shapes(seed):
    rows, axis = strange(seed)
    due, clear = truth(rows, axis)
    found = trailing(model(axis, wing=lofted(rows)))
    if due is None:
        assert found.note
        return
    assert abs(found.value - due) <= found.error_bound
    # No worse than the mesh's deviation of 0.1 mm makes it, unless the edge only grazes the rim.
    if clear > 20.0:
        assert found.error_bound < 2e-3


def test_a_pylon_close_ahead_of_the_blades_counts_in_its_own_chord():
    """20 mm ahead of the front with a chord of 300 mm at the thrust line, more above it."""
    axis = Axis((3000.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    rows = [(3000.0 - HALF - 20.0 - c, 0.0, z, c) for z, c in ((-200.0, 260.0), (400.0, 500.0))]
    wing = lofted([(1000.0, -2000.0, 700.0, 1200.0), (1000.0, 2000.0, 700.0, 1200.0)])
    found = trailing(model(axis, wing=wing, pylon=lofted(rows, upright=True)))
    assert found.part == "pylon"
    assert found.value == pytest.approx(20.0 / 500.0, abs=found.error_bound)
    assert found.error_bound < 2e-3


def test_a_tail_behind_the_blades_has_no_edge_ahead_of_them():
    axis = Axis((3000.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    wing = lofted([(1400.0, -2000.0, 300.0, 1200.0), (1400.0, 2000.0, 300.0, 1200.0)])
    tail = lofted([(3900.0, -800.0, 0.0, 500.0), (3900.0, 800.0, 0.0, 500.0)])
    found = trailing(model(axis, wing=wing, tailplane=tail))
    assert (found.part, found.value) == ("wing", pytest.approx(360.0 / 1200.0, abs=1e-6))


def test_a_boom_ahead_of_the_blades_is_said_to_have_no_chord():
    axis = Axis((3000.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    wing = lofted([(1400.0, -2000.0, 300.0, 1200.0), (1400.0, 2000.0, 300.0, 1200.0)])
    boom = box((1500.0, 300.0, -40.0), (2955.0, 380.0, 40.0))
    m = model(axis, wing=wing, boom=boom)
    assert "booms" in trailing(m).method
    assert propeller_figures(m)["prop.axial_clearance"].value == pytest.approx(5.0, abs=1e-6)
