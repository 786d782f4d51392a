import numpy as np
import pytest
from handoff.core_wing import ROOT, SPAN, TIP, skins, wing

from geomgen.handoff.core_blank import MARGIN, blank_of, ruled_volume
from geomgen.handoff.core_outline import core_outline, in_chord_frame
from geomgen.kernel.properties import volume
from geomgen.parameters.shops import SparCap


def ends_and_cores(skin: float):
    ends = [skins(1).section(y) for y in (0.0, SPAN)]
    return ends, [core_outline(in_chord_frame(end), skin) for end in ends]


def test_volume_between_two_rectangles_is_the_prismatoids() -> None:
    # Closed form: h / 6 (A1 + 4 Am + A2), here with sides 4 x 2 and 2 x 6: 8, 12, 12.
    def box(wide, high):
        x = np.array([0.0, 0.0, wide])
        return np.stack([x, [0, high, high]], -1), np.stack([x, [0, 0, 0]], -1)

    assert ruled_volume([box(4.0, 2.0), box(2.0, 6.0)], 3.0) == pytest.approx(3 / 6 * (8 + 48 + 12))


def test_without_skin_the_cores_fill_the_wing() -> None:
    ends, cores = ends_and_cores(0.0)
    blank = blank_of(cores, ends, ())
    assert 2 * blank.core == pytest.approx(volume(wing()).value, rel=2e-4)


def test_blank_holds_the_core_and_a_margin() -> None:
    ends, cores = ends_and_cores(0.0)
    blank = blank_of(cores, ends, ())
    # Both sections turn about their leading edges, which stay where they are.
    rise, sweep = np.degrees(np.arctan2([0.03 * SPAN, 0.25 * (ROOT - TIP)], SPAN))
    assert blank.rise == pytest.approx(rise, abs=1e-3)
    assert blank.sweep == pytest.approx(sweep, abs=0.01)
    assert blank.size[0] == pytest.approx(np.hypot(SPAN, 55.0), abs=1.0)
    assert blank.size[1] == pytest.approx(ROOT * np.cos(np.radians(3)) + 2 * MARGIN, abs=3.0)
    assert blank.size[2] > 0.12 * ROOT + 2 * MARGIN
    assert blank.volume > blank.core


def test_trough_is_taken_out_of_the_volume() -> None:
    ends, cores = ends_and_cores(0.0)
    cap = SparCap(at=0.3, width="40.0 mm", depth="5.0 mm", side="upper")
    gone = blank_of(cores, ends, ()).core - blank_of(cores, ends, (cap,)).core
    assert gone == pytest.approx(40.0 * 5.0 * SPAN, rel=0.01)
