"""Cuts and unions prove themselves: volumes, points, pieces."""

import math

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids import booleans
from geomgen.kernel.solids.booleans import common, cut, cut_pieces, fuse, volume
from geomgen.kernel.solids.probing import Classifier


def test_cut_and_common_share_out_the_volume() -> None:
    block, rod = box((0, 0, 0), (100, 100, 100)), cylinder((50, 50, -10), (0, 0, 1), 20, 120)
    rest = cut(block, [rod], "block", "bore")
    (core,) = common(block, rod, "block", "core")
    assert volume(core) == pytest.approx(math.pi * 400 * 100, rel=1e-6)
    assert volume(rest) == pytest.approx(1e6 - math.pi * 400 * 100, rel=1e-6)


def test_a_part_that_falls_apart_or_vanishes_is_refused_by_name() -> None:
    block = box((0, 0, 0), (100, 10, 10))
    slab = box((40, -5, -5), (60, 15, 15))
    assert len(cut_pieces(block, [slab], "block", "slot")) == 2
    with pytest.raises(GeometryError, match="falls into 2 pieces"):
        cut(block, [slab], "block", "slot")
    with pytest.raises(GeometryError, match="removes the whole part"):
        cut(block, [box((-1, -1, -1), (101, 11, 11))], "block", "all")


def test_an_answer_that_left_material_is_not_believed(monkeypatch) -> None:
    """The kernel hands the body back uncut, with balanced volumes: points tell."""
    monkeypatch.setattr(booleans, "_operate", lambda body, tools, fuzzy: ([body], []))
    inner = box((10, 10, 10), (90, 90, 90))
    with pytest.raises(GeometryError, match="failed its check"):
        cut(inner, [box((0, 0, 0), (100, 50, 100))], "inner", "half")


def test_an_answer_that_lost_material_is_not_believed(monkeypatch) -> None:
    block, knife = box((0, 0, 0), (10, 10, 10)), box((5, -1, -1), (11, 11, 11))
    monkeypatch.setattr(booleans, "_operate", lambda *_: ([box((0, 0, 0), (4, 10, 10))], []))
    with pytest.raises(GeometryError, match="lost"):
        cut(block, [knife], "block", "half")


def test_union_of_what_does_not_touch_is_refused() -> None:
    a, b = box((0, 0, 0), (1, 1, 1)), box((2, 0, 0), (3, 1, 1))
    with pytest.raises(GeometryError, match="do not touch"):
        fuse([a, b], "engine", "envelope")
    assert volume(fuse([a, box((1, 0, 0), (2, 1, 1))], "engine", "envelope")) == pytest.approx(2)


def test_a_point_on_the_knife_decides_nothing(monkeypatch) -> None:
    """The kernel was seen to class a point on a knife's skin as inside it; distance tells."""
    block, knife = box((0, 0, 0), (10, 10, 10)), box((5, -1, -1), (11, 11, 11))
    monkeypatch.setattr(Classifier, "is_inside", lambda self, point: True)
    assert volume(cut(box((0, 0, 0), (5, 10, 10)), [knife], "block", "flush")) == pytest.approx(500)
    monkeypatch.undo()
    monkeypatch.setattr(Classifier, "is_outside", lambda self, point: True)
    (taken,) = common(box((5, 0, 0), (10, 10, 10)), knife, "block", "all")
    assert volume(taken) == pytest.approx(500)
    assert volume(cut(block, [knife], "block", "half")) == pytest.approx(500)


def test_an_answer_that_took_too_much_is_not_believed(monkeypatch) -> None:
    """The whole body as common part, with balanced volumes."""
    monkeypatch.setattr(booleans, "_operate", lambda body, tools, fuzzy: ([], [body]))
    with pytest.raises(GeometryError, match="took material"):
        cut(box((0, 0, 0), (90, 90, 90)), [box((-5, -5, -5), (100, 20, 100))], "block", "slice")


@pytest.mark.parametrize("way", [(0.0, 0.0, 1.0), (0.6, 0.0, 0.8)])
def test_an_answer_that_missed_a_thin_rod_is_not_believed(way, monkeypatch) -> None:
    """Volumes add up, and no point that is looked at lies in a rod that passes a long body."""
    body = box((0, 0, 0), (2000, 150, 4))
    rod = cylinder((1031.7, 77.7, -9.0), way, 2.0, 30.0)
    monkeypatch.setattr(booleans, "_operate", lambda body, tools, fuzzy: ([body], []))
    with pytest.raises(GeometryError, match="missed what runs through it"):
        cut(body, [rod], "plate", "hole")
    beside = cylinder((1031.7, 77.7, 6.0), way, 2.0, 30.0)
    assert volume(cut(body, [beside], "plate", "hole")) == pytest.approx(1.2e6)


def test_an_answer_that_took_a_part_of_a_hole_is_not_believed(monkeypatch) -> None:
    """Beside a large body what is missing of a small hole is less than volumes may be off."""
    body, rod = box((0, 0, 0), (2000, 150, 4)), box((900, 70, -9), (905, 75, 9))
    real = booleans._operate

    def lost(body, tools, fuzzy):
        outside, inside = real(body, tools, fuzzy)
        return outside, [box((900, 70, 0), (905, 75, 3.8))] if inside else []

    monkeypatch.setattr(booleans, "_operate", lost)
    assert booleans.BALANCE * volume(body) > 0.2 * 25.0
    with pytest.raises(GeometryError, match=r"lost 5\.000 mm"):
        cut(body, [rod], "plate", "hole")
