"""Lines to build to, from solids with a known section; what they do not show is said."""

import numpy as np
import pytest
import shapely

from geomgen.drafting.record import REF
from geomgen.drafting.text_room import Room
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.model import Model
from geomgen.shops import layout_lines
from geomgen.shops.layout_lines import (
    inside_parts,
    laid,
    laid_along,
    lying_between,
    names_of,
    region,
)

BODY = shapely.box(-300.0, 0.0, 300.0, 800.0)
# A sheet of 4 mm, upright at STA 1000, turned about its foot: its head leans aft by 10 degrees.
UPRIGHT = box((1000.0, -250.0, 0.0), (1004.0, 250.0, 700.0))
LEANING = tilted(UPRIGHT, (1000.0, 0.0, 0.0), 10.0)
ROD = cylinder((900.0, 120.0, 300.0), (1.0, 0.0, 0.0), 10.0, 400.0)


def model(**solids):
    parts = {name: solid for name, (_, solid) in solids.items()}
    return Model(parts=parts, families={name: family for name, (family, _) in solids.items()})


ALL = model(sheet=("firewall", LEANING), rod=("stringer", ROD), wheel=("wheel", ROD))


def test_a_leaning_sheet_is_a_strip_at_the_height_where_it_passes():
    station = 1000.0 + 300.0 * np.tan(np.radians(10.0))
    found = laid(inside_parts(ALL), station, BODY)
    _, low, _, high = found.areas["sheet"].bounds
    # Closed form: its fore face passes at WL 300, its aft face, 4 mm behind square to it, lower.
    tops = sorted([300.0, 300.0 - 4.0 / np.sin(np.radians(10.0))])
    lean = 1 if abs(high - tops[1]) < 1 else -1
    assert lean == 1
    assert (low, high) == pytest.approx(tops, abs=0.01)
    assert found.areas["sheet"].bounds[2] == pytest.approx(250.0, abs=0.01)


def test_a_rod_is_its_circle_and_only_families_that_others_are_built_to_have_lines():
    found = laid(inside_parts(ALL), 950.0, BODY)
    assert set(found.areas) == {"rod"}
    assert found.areas["rod"].area == pytest.approx(
        np.pi * 100.0, abs=2 * np.pi * 10.0 * layout_lines.FINE
    )
    assert {path.name for path in found.lines} == {"rod"}
    assert {path.layer for path in found.lines} == {REF}
    assert found.words == ("LINES: rod",)
    assert not laid(inside_parts(ALL, ["stringer"]), 950.0, BODY).areas


def test_only_what_lies_in_the_body_is_drawn_and_of_a_half_only_the_right():
    outline = np.array([(-110.0, 290.0), (110.0, 290.0), (110.0, 310.0), (-110.0, 310.0)])
    whole = laid(inside_parts(ALL), 950.0, shapely.Polygon(outline))
    # The rod's circle reaches from BL 110 on: it only touches.
    assert not whole.areas
    wide = region(outline * (1.2, 1.0), True)
    assert wide.bounds == (0.0, 290.0, 132.0, 310.0)
    (area,) = laid(inside_parts(ALL), 950.0, wide).areas.values()
    assert area.bounds[2] == pytest.approx(130.0, abs=0.1)
    left = model(rod=("stringer", cylinder((900.0, -120.0, 300.0), (1.0, 0.0, 0.0), 10.0, 400.0)))
    assert not laid(inside_parts(left), 950.0, wide).areas


def test_in_the_centre_plane_a_sheet_is_its_thickness_by_its_height():
    body = shapely.box(900.0, 100.0, 1200.0, 900.0)
    found = laid_along(inside_parts(model(sheet=("frame", UPRIGHT), rod=("spar", ROD))), 0.0, body)
    assert set(found.areas) == {"sheet"}
    assert found.areas["sheet"].bounds == pytest.approx((1000.0, 100.0, 1004.0, 700.0), abs=1e-6)


def test_an_upright_sheet_between_two_faces_is_said_with_its_place():
    parts = inside_parts(model(sheet=("frame", UPRIGHT), rod=("stringer", ROD)))
    assert lying_between(parts, 980.0, 1030.0) == (
        "sheet stands 20 to 24 mm behind the front face",
    )
    assert not lying_between(parts, 1002.0, 1050.0)


def test_a_rib_in_the_plane_of_a_buttock_line_is_told_and_has_no_lines():
    body = shapely.box(900.0, 100.0, 1200.0, 900.0)
    parts = inside_parts(model(rib_a=("rib", box((950.0, 98.0, 200.0), (1100.0, 102.0, 400.0)))))
    found = laid_along(parts, 100.0, body)
    assert not found.lines
    assert found.words == ("STANDS IN THIS PLANE: rib_a",)
    assert laid_along(parts, 103.0, body).words == ()
    assert set(laid(parts, 1000.0, shapely.box(-300.0, 0.0, 300.0, 800.0)).areas) == {"rib_a"}


def test_what_could_not_be_cut_is_said(monkeypatch):
    def refused(*_):
        raise GeometryError("no")

    monkeypatch.setattr(layout_lines, "plane_cut", refused)
    found = laid(inside_parts(ALL), 950.0, BODY)
    assert not found.lines
    assert found.words == ("NO LINE FOUND: rod",)


def test_names_stand_clear_of_all_lines_and_near_their_own():
    lines = laid(inside_parts(ALL), 950.0, BODY).lines
    blocked = shapely.union_all([shapely.Polygon(path.points) for path in lines])
    (name,) = names_of(lines, Room(BODY.difference(blocked.buffer(2.0)), 0.0))
    assert name.text == "rod"
    assert np.hypot(name.at[0] - 120.0, name.at[1] - 300.0) < 30.0
    assert blocked.distance(shapely.Point(name.at)) > 1.0
