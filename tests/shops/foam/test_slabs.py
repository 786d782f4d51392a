"""Slabs: where they begin and end, their volumes, which face is the larger. Closed forms."""

import numpy as np
import pytest
from shops.foam.rings import ring, slab

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import revolved
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.shops import FoamStations
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shops.foam.sections import strips
from geomgen.shops.foam.slabs import core_body, cut_slabs, reach, spans

# A polygon of 200 sides has this share of its circle's area (closed form).
SHARE = 200 / (2 * np.pi) * np.sin(2 * np.pi / 200)


def foam(**more):
    return FoamStations(**{"slab": "50 mm", "template_thickness": "0 mm", **more})


def test_slabs_fill_the_length_and_the_last_is_the_rest():
    rows = spans(foam(), (0.0, 220.0))
    assert rows == [(0.0, 50.0), (50.0, 100.0), (100.0, 150.0), (150.0, 200.0), (200.0, 220.0)]


def test_a_template_takes_its_share_of_the_pitch():
    rows = spans(foam(template_thickness="6 mm"), (0.0, 220.0))
    assert rows == [(0.0, 50.0), (56.0, 106.0), (112.0, 162.0), (168.0, 218.0)]


@pytest.mark.parametrize("length", [99.0, 100.0, 100.5, 102.5, 105.9, 107.0, 149.0, 151.0, 333.3])
@pytest.mark.parametrize("template", [0, 6])
def test_no_slab_is_thicker_than_the_foam(length, template):
    rows = spans(foam(template_thickness=f"{template} mm"), (10.0, 10.0 + length))
    assert all(0 < b - a <= 50.0 + 1e-9 for a, b in rows)
    # What is left over at the end is at most a template.
    assert 10.0 + length - rows[-1][1] <= template + 1e-9


def test_a_part_of_the_body():
    assert spans(foam(start="30 mm", end="100 mm"), (40.0, 900.0)) == [(40.0, 90.0), (90.0, 100.0)]


def test_no_room_for_a_slab_is_refused():
    with pytest.raises(GeometryError, match="no room for one slab") as caught:
        spans(foam(start="30 mm", end="60 mm"), (0.0, 900.0))
    assert "handoff.foam.end" in caught.value.look_at


def test_volumes_of_a_cone():
    axis = Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    cone = revolved([(0.0, 0.0), (0.0, 80.0), (300.0, 20.0), (300.0, 0.0)], axis)
    rows = cut_slabs(strips(cone), [(0.0, 150.0), (150.0, 300.0)])
    # Closed form: h pi (R^2 + R r + r^2) / 3, and pi R^2 h for what is cut straight.
    for row, (big, small) in zip(rows, ((80.0, 50.0), (50.0, 20.0)), strict=True):
        frustum = 150.0 * np.pi * (big**2 + big * small + small**2) / 3
        assert row.volume == pytest.approx(frustum, rel=1e-3)
        assert row.cut_volume == pytest.approx(150.0 * np.pi * big**2, rel=1e-3)
        assert row.standing_out == (("all round",), ())
        assert row.bulge() == 0.0


def test_which_face_is_the_larger():
    a, b = ring(100.0), ring(90.0)
    assert slab(1, 0, 50, (a, a, b)).standing_out == (("all round",), ())
    assert slab(1, 0, 50, (b, b, a)).standing_out == ((), ("all round",))
    assert slab(1, 0, 50, (a, a, ring(99.97))).standing_out == ((), ())
    assert slab(1, 0, 50, (None, b, a)).standing_out == ((), ("all round",))


def test_outlines_that_cross_say_where():
    wide, high = ring(100.0, high=150.0), ring(90.0, high=160.0)
    assert slab(1, 0, 50, (wide, wide, high)).standing_out == (
        ("at the sides",),
        ("above", "below"),
    )
    up = ring(100.0, (0.0, 505.0))
    assert slab(1, 0, 50, (ring(100.0), up, up)).standing_out == (("below",), ("above",))


def test_a_middle_that_stands_out():
    row = slab(1, 0, 50, (ring(100.0), ring(103.0), ring(100.0)))
    # From a corner of the outer polygon to the one below it.
    assert row.bulge() == pytest.approx(3.0, abs=0.01)
    assert row.cut_volume == pytest.approx(np.pi * 103**2 * 50 * SHARE)
    assert row.volume == pytest.approx(np.pi * (2 * 100**2 + 4 * 103**2) / 6 * 50 * SHARE)


def test_core_of_the_pod_is_the_shrunk_body(saltmarsh):
    pod = pod_lines(saltmarsh)
    core = volume(core_body(pod, 4.0)).value
    # The other builder takes the skin off the flat aft end too: 4 mm of its section.
    assert saltmarsh.pod.tail == "open"
    shrunk = volume(pod_body(pod, -4.0)).value
    row = cut_slabs(strips(core_body(pod, 4.0)), [(pod.end - 4.0, pod.end)])[0]
    assert core == pytest.approx(shrunk + row.volume, rel=2e-5)
    low, high = reach(pod, 4.0)
    assert (low, high) == (pod.start + 4.0, pod.end)
    part = volume(core_body(pod, 4.0, 1000.0, 1200.0)).value
    slabs = cut_slabs(strips(core_body(pod, 4.0)), [(1000.0, 1100.0), (1100.0, 1200.0)])
    assert sum(row.volume for row in slabs) == pytest.approx(part, rel=2e-4)
