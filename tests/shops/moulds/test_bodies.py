"""Bodies of moulds against closed forms, an offset of an independent library, and refusals."""

import numpy as np
import pytest
from shapely.geometry import Polygon
from shops.moulds.plain_moulds import (
    LENGTH,
    LONG,
    RADIUS,
    SHORT,
    SKIN,
    cylinder_pod,
    spheroid_pod,
    with_mould,
)

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.shops.moulds.bodies import (
    body_grown,
    key_of,
    mould_body,
    pull_directions,
    skin_deducted,
)
from geomgen.shops.moulds.tip import grown_section


def test_the_plug_of_a_cylinder_has_its_outside_size(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), stock=3.0)
    assert volume(mould_body(p, mould)).value == pytest.approx(np.pi * RADIUS**2 * LENGTH, rel=1e-8)


@pytest.mark.parametrize("treatment", ["core_minus_skin", "male_mould"])
def test_the_skin_is_taken_off_but_not_off_the_flat_ends(saltmarsh, treatment):
    p, mould = with_mould(cylinder_pod(saltmarsh), treatment=treatment)
    wanted = np.pi * (RADIUS - SKIN) ** 2 * LENGTH  # closed form
    assert skin_deducted(p, mould) == pytest.approx(SKIN, rel=1e-12)
    # The inner face is laid through eleven points a quadrant: a volume within 5e-6.
    assert volume(mould_body(p, mould)).value == pytest.approx(wanted, rel=5e-6)


def test_a_round_body_loses_its_skin_all_round(saltmarsh):
    # Steiner's formula for parallel bodies; surface and mean width of the spheroid (closed forms).
    p, mould = with_mould(spheroid_pod(saltmarsh), treatment="core_minus_skin")
    c = np.sqrt(LONG**2 - SHORT**2)
    e = c / LONG
    surface = 2 * np.pi * SHORT**2 * (1 + LONG / (SHORT * e) * np.arcsin(e))
    width = LONG + SHORT**2 / c * np.log((LONG + c) / SHORT)
    lost = surface * SKIN - 2 * np.pi * width * SKIN**2 + 4 / 3 * np.pi * SKIN**3
    found = volume(body_grown(p, mould, 0.0)).value - volume(mould_body(p, mould)).value
    assert found == pytest.approx(lost, rel=1e-3)
    whole = 4 / 3 * np.pi * LONG * SHORT**2
    assert volume(body_grown(p, mould, 0.0)).value == pytest.approx(whole, rel=2e-5)
    low, high = bounding_box(mould_body(p, mould)).low, bounding_box(mould_body(p, mould)).high
    assert (low[0], high[0]) == pytest.approx((SKIN, 2 * LONG - SKIN), abs=1e-3)


@pytest.mark.parametrize("treatment", ["core_minus_skin", "male_mould"])
def test_a_forgotten_laminate_is_refused(saltmarsh, treatment):
    p, mould = with_mould(cylinder_pod(saltmarsh), treatment=treatment, skin=None)
    with pytest.raises(GeometryError) as error:
        mould_body(p, mould)
    assert error.value.look_at == ["handoff.laminate", "handoff.moulds.0.treatment"]


@pytest.mark.parametrize("part", ["exit", "tail_fairing", "scoop_nowhere", "keel"])
def test_a_part_that_is_not_there_is_refused(saltmarsh, part):
    p, mould = with_mould(cylinder_pod(saltmarsh), part=part)
    with pytest.raises(GeometryError) as error:
        mould_body(p, mould)
    assert error.value.look_at[0] == "handoff.moulds.0.part"


def test_a_skin_thicker_than_the_body_bends_is_refused_by_the_moulds_key(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh), treatment="core_minus_skin", skin=60.0)
    with pytest.raises(GeometryError) as error:
        mould_body(p, mould)
    assert "handoff.moulds.0" in error.value.look_at


def plain_wing(p, chord=1000.0, edge=2.52):
    rows = tuple(
        row.model_copy(
            update={"chord": chord, "aerofoil": "NACA 0012", "washout": 0.0, "dihedral": 0.0}
        )
        for row in p.wing.sections
    )
    wing = p.wing.model_copy(
        update={"sections": rows, "incidence": 0.0, "trailing_edge_thickness": edge}
    )
    return p.model_copy(update={"wing": wing})


def tip(p, **fields):
    return with_mould(
        p, part="wing_tip", split="maximum breadth", from_buttock_line=4100.0, **fields
    )


def test_a_wing_tip_has_the_area_of_its_section_times_its_width(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh))
    # Area of a four-digit section, open edge (closed form of NACA Report 460's thickness).
    wanted = 0.685083 * 0.12 * 1000.0**2 * 400.0
    assert volume(mould_body(p, mould)).value == pytest.approx(wanted, rel=2e-4)


@pytest.mark.parametrize("gap", [-0.8, 2.0])
def test_a_section_is_grown_as_an_offset_is(saltmarsh, gap):
    # Offset by an independent library, corners mitred as the blunt edge is.
    from geomgen.shapes.lifting import wing_sections

    points = wing_sections(saltmarsh, saltmarsh.wing)[-1].points()
    wanted = Polygon(points[:, [0, 2]]).buffer(gap, join_style="mitre")
    found = grown_section(points, gap)
    off = [wanted.exterior.distance(q) for q in _points(found[:, [0, 2]])]
    assert max(off) < 0.05


def _points(rows):
    from shapely.geometry import Point

    return [Point(*row) for row in rows]


def test_only_the_end_face_of_the_tip_moves(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh), treatment="core_minus_skin", skin=1.0)
    box = bounding_box(mould_body(p, mould))
    assert (box.low[1], box.high[1]) == pytest.approx((4100.0, 4499.0), abs=1e-6)


@pytest.mark.parametrize("start", [None, 0.0, 4500.0, 9000.0])
def test_a_tip_that_begins_nowhere_is_refused(saltmarsh, start):
    p, mould = with_mould(
        saltmarsh, part="wing_tip", split="maximum breadth", from_buttock_line=start
    )
    with pytest.raises(GeometryError) as error:
        mould_body(p, mould)
    assert error.value.look_at[0] == "handoff.moulds.0.from_buttock_line"


def test_halves_are_pulled_away_from_their_split(saltmarsh):
    p, mould = with_mould(saltmarsh)
    assert pull_directions(p, mould) == [("right", (0, 1, 0)), ("left", (0, -1, 0))]
    p, mould = with_mould(saltmarsh, split="maximum breadth")
    assert pull_directions(p, mould) == [("upper", (0, 0, 1)), ("lower", (0, 0, -1))]
    p, mould = with_mould(saltmarsh, part="scoop_cheek")
    assert [name for name, _ in pull_directions(p, mould)] == ["upper", "lower"]
    p, mould = tip(plain_wing(saltmarsh))
    (name, way), _ = pull_directions(p, mould)
    assert name == "upper"
    assert way == pytest.approx((0, 0, 1), abs=1e-9)


def test_a_wing_tip_has_no_centre_plane(saltmarsh):
    p, mould = with_mould(saltmarsh, part="wing_tip", from_buttock_line=4000.0)
    with pytest.raises(GeometryError) as error:
        pull_directions(p, mould)
    assert error.value.look_at[0] == "handoff.moulds.0.split"


def test_a_key_names_the_entry_of_the_file(saltmarsh):
    assert key_of(saltmarsh, saltmarsh.handoff.moulds[2], "split") == "handoff.moulds.2.split"
