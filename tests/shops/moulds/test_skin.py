"""The moulded faces of a half: areas and normals of cylinder, spheroid and wing."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import (
    LENGTH,
    LONG,
    RADIUS,
    SHORT,
    cylinder_pod,
    spheroid_pod,
    with_mould,
)
from shops.moulds.test_bodies import plain_wing, tip

from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.properties import area
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shops.moulds.skin import Bounds, moulded, skin_area, skin_points
from geomgen.shops.moulds.split import halves


@pytest.mark.parametrize("split", ["centre plane", "maximum breadth"])
@pytest.mark.parametrize("rise", [0.0, 0.2])
def test_the_skin_of_half_a_cylinder(saltmarsh, split, rise):
    p, mould = with_mould(cylinder_pod(saltmarsh, rise), split=split)
    half = moulded(halves(p, mould, 0.0)[0], Bounds())
    # Leaning, the normal's share along x stretches the skin: integral of sqrt(1 + (rise n_z)^2).
    turn = np.linspace(0, np.pi, 20001) + (np.pi / 2 if split == "centre plane" else 0.0)
    stretch = np.trapezoid(np.sqrt(1 + (rise * np.sin(turn)) ** 2), turn)
    assert skin_area(half) == pytest.approx(RADIUS * LENGTH * stretch, rel=1e-4)


def test_the_skin_of_half_a_spheroid_and_its_normals(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    half = moulded(halves(p, mould, 0.0)[0], Bounds())
    e = np.sqrt(1 - SHORT**2 / LONG**2)
    surface = 2 * np.pi * SHORT**2 * (1 + LONG / (SHORT * e) * np.arcsin(e))
    assert skin_area(half) == pytest.approx(surface / 2, rel=1e-3)
    points, normals = skin_points(half, 200)
    scaled = (points - [LONG, 0, 0]) / [LONG, SHORT, SHORT]
    assert np.linalg.norm(scaled, axis=1) == pytest.approx(np.ones(len(points)), abs=1e-3)
    wanted = scaled / [LONG, SHORT, SHORT]
    wanted /= np.linalg.norm(wanted, axis=1)[:, None]
    assert (normals * wanted).sum(axis=1).min() > 0.999
    assert len(points) >= 195
    assert points[:, 1].min() > 0


def test_the_end_face_of_a_tip_is_skin_and_its_joint_and_split_are_not(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh))
    half = halves(p, mould, 0.0)[0]
    plain, with_end = (skin_area(moulded(half, b)) for b in (Bounds(), Bounds(end=(0, 1, 0))))
    # Half of the section's area (closed form of NACA Report 460's thickness).
    assert with_end - plain == pytest.approx(0.685083 * 0.12 * 1000.0**2 / 2, rel=1e-3)
    assert plain < 1.05 * 1000.0 * 400.0


def test_a_seat_is_no_skin(saltmarsh):
    p, mould = with_mould(saltmarsh, part="scoop_cheek")
    hull = pod_body(pod_lines(p), 0.0)
    upper = halves(p, mould, 0.0)[0]
    free, seated = (moulded(upper, b) for b in (Bounds(), Bounds(hull, p.scoops[0].gap)))
    gone_faces = [f for f in free.faces if not any(f.IsSame(g) for g in seated.faces)]
    assert gone_faces
    assert [closest(f, hull).distance for f in gone_faces] == pytest.approx(
        [p.scoops[0].gap] * len(gone_faces), abs=0.01
    )
    gone = skin_area(free) - skin_area(seated)
    assert 0.1 * area(upper.solid).value < gone < 0.5 * area(upper.solid).value
    near, _ = skin_points(seated, 100)
    clear, _ = skin_points(seated, 100, 3.0)
    assert len(clear) < len(near)
