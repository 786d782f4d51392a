from dataclasses import replace

import numpy as np
import pytest
from shops.hotwire_cores.core_wing import KERF, SKIN, WASHOUT, cut, mirrored, skins

from geomgen.drafting.record import REF
from geomgen.errors import GeometryError
from geomgen.shops.hotwire_cores.outline import core_outline, guide, in_chord_frame
from geomgen.shops.hotwire_cores.reading import read_template


@pytest.mark.parametrize(("side", "hand"), [(1, "right"), (-1, "left")])
def test_edges_are_read_as_they_were_meant(side, hand) -> None:
    reading = read_template(cut(side).tip, hand)
    section = skins(side).section(900.0)
    made = guide(core_outline(in_chord_frame(section), SKIN), KERF, 0.06)
    for edge, wanted in ((reading.upper, made.upper), (reading.lower, made.lower)):
        assert edge.points[[0, -1]] == pytest.approx(wanted[[0, -1]], abs=1e-9)
        assert edge.numbers == tuple(range(1, 25))
        assert edge.marks == pytest.approx(edge.run[-1] * np.arange(1, 25) / 25, abs=0.02)
    assert reading.hand == hand
    assert reading.angle == pytest.approx(1.0 - WASHOUT, abs=1e-6)
    assert reading.chord_angle() == pytest.approx(1.0 - WASHOUT, abs=1e-3)


def test_hand_is_told_by_the_way_the_numbers_run() -> None:
    assert read_template(mirrored(cut(1).tip), "right").hand == "left"


def test_points_between_ticks_are_as_many_in_each_interval() -> None:
    edge = read_template(cut(1).root, "right").upper
    along = edge.between_ticks(4)
    assert len(along) == 25 * 4 + 1
    assert along[4::4] == pytest.approx([*edge.marks, edge.run[-1]])


def test_which_face_is_shown_is_told_by_the_print() -> None:
    assert read_template(cut(1).root, "right").face == "inboard"
    assert read_template(cut(1).tip, "right").face == "outboard"
    drawing = cut(1).tip
    labels = tuple(t for t in drawing.labels if "seen from" not in t.text)
    with pytest.raises(GeometryError, match="outboard or inboard"):
        read_template(replace(drawing, labels=labels), "right")


@pytest.mark.parametrize("gone", ["outline", "level in flight", "tick"])
def test_a_template_that_lacks_something_is_refused(gone) -> None:
    drawing = cut(1).root
    paths = tuple(path for path in drawing.paths if not path.name.startswith(gone))
    with pytest.raises(GeometryError, match="can't be read"):
        read_template(replace(drawing, paths=paths), "right")


def test_two_level_lines_are_refused() -> None:
    drawing = cut(1).root
    level = next(path for path in drawing.paths if path.name == "level in flight")
    (x0, y0), (x1, y1) = level.points
    other = replace(level, points=((x0, y0 + 2), (x1, y1 + 2)), layer=REF)
    with pytest.raises(GeometryError, match="level in flight"):
        read_template(replace(drawing, paths=(*drawing.paths, other)), "right")
