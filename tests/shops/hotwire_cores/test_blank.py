"""The block that a core is cut from, against closed forms of a skewed prism."""

from math import cos, hypot, radians, sin, tan

import numpy as np
import pytest
from shops.hotwire_cores.core_wing import SPAN, skins, wing

from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.shops import Cores, SparCap
from geomgen.shops.hotwire_cores.blank import MARGIN, blank_of, ruled_volume
from geomgen.shops.hotwire_cores.outline import (
    Outline,
    OutlineSide,
    core_outline,
    guide,
    in_chord_frame,
)
from geomgen.shops.hotwire_cores.sections import CoreSection, Run

KERF, LEAD = 1.2, 0.06


def shop(*caps: SparCap) -> Cores:
    return Cores(kerf=f"{KERF} mm", lead=LEAD, caps=caps)


def blank(skin: float, *caps: SparCap):
    ends = [skins(1).section(y) for y in (0.0, SPAN)]
    cores = [core_outline(in_chord_frame(end), skin) for end in ends]
    guides = [guide(core, KERF, LEAD) for core in cores]
    return blank_of(cores, guides, ends, shop(*caps))


def slab(nose, chord: float, thick: float) -> tuple[CoreSection, Outline]:
    """Return a flat slab's section, level, its nose at a place, and its outline."""
    half = 0.5 * thick
    flat = {s: np.array([[0.0, 0.0], [0.0, s * half], [chord, s * half]]) for s in (1, -1)}
    runs, sides = [], []
    for points in flat.values():
        space = np.stack([points[:, 0], np.zeros(3), points[:, 1]], axis=-1) + np.array(nose)
        runs.append(Run(space, np.zeros((3, 3))))
        sides.append(
            OutlineSide(points, np.array([[-1.0, 0.0], [0.0, np.sign(points[1, 1])], [0.0, 0.0]]))
        )
    return CoreSection(nose[1], *runs), Outline(*sides, chord)


def slab_blank(span: float, chords, thick: float, sweep: float, dihedral: float):
    """Return the blank of a slab with a swept leading edge and dihedral [deg]."""
    noses = [(0.0, 0.0, 0.0), (span * tan(radians(sweep)), span, span * tan(radians(dihedral)))]
    made = [slab(nose, chord, thick) for nose, chord in zip(noses, chords, strict=True)]
    ends, cores = ([row[i] for row in made] for i in (0, 1))
    return blank_of(cores, [guide(core, KERF, LEAD) for core in cores], ends, shop())


def test_volume_between_two_rectangles_is_the_prismatoids() -> None:
    # Closed form: h / 6 (A1 + 4 Am + A2), here with sides 4 x 2 and 2 x 6: 8, 12, 12.
    def box(wide, high):
        x = np.array([0.0, 0.0, wide])
        return np.stack([x, [0, high, high]], -1), np.stack([x, [0, 0, 0]], -1)

    assert ruled_volume([box(4.0, 2.0), box(2.0, 6.0)], 3.0) == pytest.approx(3 / 6 * (8 + 48 + 12))


def test_without_skin_the_cores_fill_the_wing() -> None:
    assert 2 * blank(0.0).core == pytest.approx(volume(wing()).value, rel=2e-4)


def test_block_of_a_straight_panel_is_as_long_as_the_panel() -> None:
    made = slab_blank(1200.0, (1000.0, 1000.0), 80.0, 0.0, 0.0)
    wide = 1000.0 * (1 + 2 * LEAD)
    assert made.size == pytest.approx((1200.0 + KERF, wide, 80.0 + KERF + 2 * MARGIN))
    assert (made.leading, made.trailing) == pytest.approx((1200.0, 1200.0))


@pytest.mark.parametrize(("sweep", "dihedral"), [(3.5, 2.5), (-6.0, 4.0), (20.0, 0.0), (0.0, 5.0)])
def test_block_of_a_swept_panel_with_dihedral_is_longer_than_its_edges(sweep, dihedral) -> None:
    """Closed form of a skewed prism: its edge, and chord and height in the edge's direction."""
    span, chord, thick = 1150.0, 1000.0, 80.0
    made = slab_blank(span, (chord, chord), thick, sweep, dihedral)
    aft, up = span * tan(radians(sweep)), span * tan(radians(dihedral))
    edge = hypot(span, aft, up)
    wide, high = chord * (1 + 2 * LEAD), thick + KERF
    # Corners of the wire's way: run-in and run-out reach over the chord at a few millimetres only,
    # the full height over the slab itself.
    low = max(
        abs(aft) * (chord + 2 * LEAD * chord) / edge,
        (abs(aft) * chord + abs(up) * high) / edge,
    )
    assert made.size[0] >= edge + low
    assert made.size[0] <= edge + (abs(aft) * wide + abs(up) * high) / edge + KERF + 1e-6
    # The width lies level, square to the edge.
    flat = hypot(span, aft)
    assert made.size[1] == pytest.approx(wide * span / flat, rel=1e-6)
    assert made.size[2] >= thick * cos(radians(dihedral)) + 2 * MARGIN
    assert (made.leading, made.trailing) == pytest.approx((edge, edge))
    assert made.rise == pytest.approx(dihedral)
    assert made.sweep == pytest.approx(sweep)


def test_a_block_between_the_noses_would_be_64_mm_short() -> None:
    # Closed form: a chord of 1000 mm, swept by 3.67 deg, stands askew by 1000 sin 3.67 = 64 mm.
    made = slab_blank(1150.0, (1000.0, 1000.0), 80.0, 3.67, 0.0)
    assert made.size[0] - made.leading > 1000.0 * sin(radians(3.67))
    assert 1000.0 * sin(radians(3.67)) == pytest.approx(64.0, abs=0.1)


def test_a_tapered_core_lies_along_the_edge_that_saves_foam() -> None:
    # Trailing edge straight across, leading edge swept: along the trailing edge nothing is askew.
    span, root, tip = 1000.0, 1000.0, 800.0
    made = slab_blank(span, (root, tip), 80.0, np.degrees(np.arctan2(root - tip, span)), 0.0)
    assert made.along == "trailing"
    assert made.trailing == pytest.approx(span)
    assert made.leading == pytest.approx(hypot(span, root - tip))
    assert made.size[0] == pytest.approx(span + KERF, abs=1e-6)


def test_every_point_of_the_wires_way_is_in_the_block() -> None:
    """Turned by scipy's own rotation that lays the edge along x and the width level."""
    from scipy.spatial.transform import Rotation

    from geomgen.shops.hotwire_cores.proof import TemplateStand

    made = blank(0.45)
    ends = [skins(1).section(y) for y in (0.0, SPAN)]
    points = []
    for end in ends:
        way = guide(core_outline(in_chord_frame(end), 0.45), KERF, LEAD).ring
        points.append(TemplateStand(end.nose, "right").in_space(way, end.angle))
    edge = {"leading": "nose", "trailing": "tail"}[made.along]
    aft, out, up = np.array(getattr(ends[1], edge)) - np.array(getattr(ends[0], edge))
    turn = Rotation.from_euler("ZY", [np.arctan2(out, aft), -np.arctan2(up, np.hypot(aft, out))])
    size = np.ptp(turn.inv().apply(np.concatenate(points)), axis=0)
    assert size[0] == pytest.approx(made.size[0] - KERF)
    assert size[1] == pytest.approx(made.size[1])
    assert size[2] == pytest.approx(made.size[2] - 2 * MARGIN)
    assert made.volume == pytest.approx(np.prod(made.size))


def test_trough_is_taken_out_of_the_volume() -> None:
    cap = SparCap(at=0.3, width="40.0 mm", depth="5.0 mm", side="upper")
    gone = blank(0.0).core - blank(0.0, cap).core
    assert gone == pytest.approx(40.0 * 5.0 * SPAN, rel=0.01)
