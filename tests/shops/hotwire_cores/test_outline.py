import numpy as np
import pytest
import shapely
from shops.hotwire_cores.core_wing import skins

from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import SparCap
from geomgen.shops.hotwire_cores.outline import (
    Outline,
    OutlineSide,
    core_outline,
    guide,
    in_chord_frame,
    trough,
)
from geomgen.shops.hotwire_cores.sections import CoreSection, Run

KERF = 1.2


def disc(radius: float, lean: float = 0.0) -> Outline:
    """Return a round section whose surface leans to the plane by an angle [rad]."""
    turn = np.linspace(0.0, np.pi, 721)
    out = np.stack([-np.cos(turn), np.sin(turn)], axis=-1)
    middle = np.array([radius, 0.0])
    upper = OutlineSide(middle + radius * out, out / np.cos(lean))
    flip = np.array([1.0, -1.0])
    lower = OutlineSide(middle + radius * out * flip, out * flip / np.cos(lean))
    return Outline(upper, lower, 2 * radius)


def plate() -> Outline:
    """Return a flat plate, 200 long and 40 thick, its front corners closed by straight lines."""
    x = np.linspace(0.0, 200.0, 401)
    y = np.where(x > 0, 20.0, 0.0)
    grow = np.tile([0.0, 1.0], (401, 1))
    return Outline(
        OutlineSide(np.stack([x, y], axis=-1), grow),
        OutlineSide(np.stack([x, -y], axis=-1), -grow),
        200.0,
    )


def whole(o: Outline) -> float:
    return float(o.polygon().area)


def test_half_a_kerf_outward_on_a_round_section() -> None:
    # Closed form: a ring of the radius r + k/2; the wire melts k/2 of it and leaves r.
    assert whole(disc(50.0).moved(KERF / 2)) == pytest.approx(np.pi * 50.6**2, rel=1e-5)


def test_skin_on_a_cone_is_larger_in_the_plane_by_one_over_the_cosine() -> None:
    # Closed form: the parallel of a cone that leans by 10 deg.
    lean = np.radians(10.0)
    inner = disc(50.0, lean).moved(-2.0)
    assert whole(inner) == pytest.approx(np.pi * (50.0 - 2.0 / np.cos(lean)) ** 2, rel=1e-5)
    assert whole(inner) != pytest.approx(np.pi * 48.0**2, rel=1e-4)


def test_the_lean_of_the_surface_is_taken_from_its_normals() -> None:
    # A wedge of a skin that leans across the plane by 20 deg, chord nose up by 5 deg.
    lean, up = np.radians(20.0), np.radians(5.0)
    aft, across = np.array([np.cos(up), 0, -np.sin(up)]), np.array([np.sin(up), 0, np.cos(up)])
    out = np.cos(lean) * across + np.sin(lean) * np.array([0.0, 1.0, 0.0])
    points = np.linspace(0, 100, 5)[:, None] * aft
    upper, lower = (Run(points, np.tile(way, (5, 1))) for way in (out, -out))
    made = in_chord_frame(CoreSection(0.0, upper, lower))
    assert made.lower.grow == pytest.approx(-made.upper.grow)
    assert made.upper.grow == pytest.approx(np.tile([0.0, 1 / np.cos(lean)], (5, 1)))


def test_guide_of_a_round_core_stands_half_a_kerf_outside_all_round() -> None:
    made = guide(disc(50.0), KERF, 0.1)
    edge = np.concatenate([made.upper, made.lower])
    radius = np.hypot(edge[:, 0] - 50.0, edge[:, 1])
    assert radius == pytest.approx(50.6, abs=1e-3)


def test_inset_of_a_wing_section_is_shapelys_buffer() -> None:
    # The panel tapers: its skin leans to the plane by a few degrees, a thousandth of the inset.
    wing = in_chord_frame(skins(1).section(450.0))
    core = core_outline(wing, 0.45)
    other = wing.polygon().buffer(-0.45, join_style="mitre")
    assert core.polygon().area == pytest.approx(other.area, rel=1e-4)
    assert shapely.hausdorff_distance(core.polygon(), other) < 0.02


def test_a_nose_that_is_torn_by_rounding_is_no_fault() -> None:
    # As read back from a file: both sides begin 1e-9 mm apart and overlap.
    wing = in_chord_frame(skins(1).section(450.0))
    lower = OutlineSide(wing.lower.points + np.array([0.0, 1e-9]), wing.lower.grow)
    core = core_outline(Outline(wing.upper, lower, wing.chord), 0.45)
    assert core.polygon().is_valid


def test_core_ends_where_both_skins_meet() -> None:
    wing = in_chord_frame(skins(1).section(450.0))
    core = core_outline(wing, 3.0)
    tail = core.upper.points[-1]
    assert tail[0] < wing.chord - 10
    assert core.upper.points[-1, 1] - core.lower.points[-1, 1] == pytest.approx(0.1, abs=0.05)
    assert core.polygon().area == pytest.approx(wing.polygon().buffer(-3.0).area, rel=2e-3)


def test_a_skin_thicker_than_the_nose_is_round_is_refused() -> None:
    # Nose radius 1.1019 t^2 c = 7.9 mm, thickness 60 mm.
    with pytest.raises(GeometryError, match="no plain core"):
        core_outline(in_chord_frame(skins(1).section(450.0)), 12.0)


def test_tangs_are_in_proportion_to_the_chord() -> None:
    for y in (0.0, 900.0):
        core = core_outline(in_chord_frame(skins(1).section(y)), 0.45)
        made = guide(core, KERF, 0.06)
        assert (made.front, made.rear) == pytest.approx((-0.06 * core.chord, 1.06 * core.chord))
        ring = shapely.Polygon(made.ring)
        assert ring.is_valid
        assert ring.bounds[0] == pytest.approx(made.front)


def test_ticks_stand_at_equal_shares_of_the_arc() -> None:
    made = guide(disc(50.0), KERF, 0.1)
    first = np.arcsin(1.0 / 50.6)
    for k in range(1, 6):
        at, inward = made.tick(True, k / 6)
        turn = first + (np.pi - first) * k / 6
        assert at == pytest.approx([50 - 50.6 * np.cos(turn), 50.6 * np.sin(turn)], abs=2e-3)
        assert inward == pytest.approx([np.cos(turn), -np.sin(turn)], abs=1e-2)


@pytest.mark.parametrize("side", ["upper", "lower"])
def test_trough_is_as_deep_and_wide_as_asked_once_the_wire_has_melted(side) -> None:
    # Closed form on a flat plate: the wire stays half a kerf off bottom and ends.
    cap = SparCap(at=0.4, width="50.0 mm", depth="6.0 mm", side=side)
    bottom, ends = trough(plate(), cap, KERF)
    sign = 1 if side == "upper" else -1
    assert sign * bottom[:, 1] == pytest.approx(20.0 - 6.0 + KERF / 2)
    assert bottom[[0, -1], 0] == pytest.approx([80 - 25 + KERF / 2, 80 + 25 - KERF / 2])
    assert (sign * ends[:, 1] > 20.0 + KERF / 2).all()


@pytest.mark.parametrize(
    "cap",
    [
        SparCap(at=0.4, width="50.0 mm", depth="39.5 mm", side="upper"),
        SparCap(at=0.8, width="90.0 mm", depth="3.0 mm", side="upper"),
    ],
)
def test_a_trough_that_does_not_fit_is_refused(cap) -> None:
    with pytest.raises(GeometryError, match="does not fit"):
        trough(plate(), cap, KERF)
