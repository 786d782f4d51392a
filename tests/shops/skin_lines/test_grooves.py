"""Grooves and raised lines on a half cylinder in two pieces: closed forms, and trimesh's rays."""

from math import inf

import numpy as np
import pytest
import trimesh
from shops.moulds.plain_moulds import RADIUS, cylinder_pod, with_mould

from geomgen.errors import GeometryError
from geomgen.kernel.plane_frame import at_buttock_line, at_station
from geomgen.kernel.trimming.scribed import VMark
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.marks import (
    mark_words,
    marked_pieces,
    piece_words,
    require_shallow,
)
from geomgen.shops.moulds.pieces import pieces
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_on
from geomgen.shops.skin_lines.grooves import between_cuts, marked, marks_findings, skin_runs
from geomgen.shops.skin_lines.planes import SkinPlane

DEEP, WIDE, STATION = 0.4, 1.0, 250.0
# Two lines along the body, at this buttock line, go through the joint of both pieces.
ASIDE = 60.0


@pytest.fixture(scope="module")
def made(saltmarsh):
    """Return the mould, its right half and its lines, the half in two pieces."""
    fields = {"lines": "grooves", "line_depth": DEEP, "line_width": WIDE, "machine_length": 400.0}
    p, mould = with_mould(cylinder_pod(saltmarsh), **fields)
    whole = moulded(halves(p, mould, 0.0)[0], Bounds())
    (side,) = sides_of([whole])
    planes = [
        SkinPlane("frame", at_station(STATION)),
        SkinPlane("stringer", at_buttock_line(ASIDE)),
    ]
    return mould, whole, lines_on(side, planes), pieces(p, mould, 0.0, whole.half)


@pytest.fixture(scope="module")
def both(made):
    return {kind: all_marked(made, lines=kind) for kind in ("grooves", "raised lines")}


def all_marked(made, **changed):
    mould, whole, lines, cut = made
    mould = mould.model_copy(update=changed)
    ((_, found),), checks = marked_pieces([(whole, cut)], [lines], mould, 0.1)
    return [piece.marked for piece in found], checks


def body_of(mesh):
    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert body.is_watertight
    assert body.body_count == 1
    return body


def radii(body, x, angle):
    """Return how far from the axis a ray inwards at stations x and angles [rad] meets the body.

    It goes a micron beside, that it may not slip through where two triangles meet.
    """
    x, angle = x + 1e-3, angle + 1e-5
    out = np.c_[np.zeros(len(x)), np.cos(angle), np.sin(angle)]
    start = 1.1 * RADIUS * out + np.c_[x, np.zeros((len(x), 2))]
    hits, rays, _ = body.ray.intersects_location(start, -out)
    far = np.full(len(x), inf)
    np.minimum.at(far, rays, np.linalg.norm(hits - start[rays], axis=1))
    return 1.1 * RADIUS - far


@pytest.mark.parametrize("lines", ["grooves", "raised lines"])
def test_the_line_is_as_deep_or_high_as_asked_all_along_and_nowhere_else(both, lines):
    sign = 1.0 if lines == "raised lines" else -1.0
    (fore, aft), checks = both[lines]
    fore, aft = body_of(fore), body_of(aft)
    assert {c.id.rsplit(".", 1)[0]: c.verdict for c in checks} == {
        "mould.marks": "pass",
        "mould.beside_marks": "pass",
    }
    angle = np.linspace(-1.5, 1.5, 61)
    on_it = radii(fore, np.full(61, STATION), angle)
    assert on_it == pytest.approx(RADIUS + sign * DEEP, abs=0.02)
    for off in (WIDE, -WIDE):
        beside = radii(fore, np.full(61, STATION + off), angle)
        clear = np.abs(np.abs(angle) - np.arccos(ASIDE / RADIUS)) > 2 * WIDE / RADIUS
        assert beside[clear] == pytest.approx(RADIUS, abs=0.05)
    along = np.arccos(ASIDE / RADIUS)
    for body, x in ((fore, np.linspace(2.0, 398.0, 67)), (aft, np.linspace(402.0, 798.0, 67))):
        for turn in (along, -along):
            found = radii(body, x, np.full(67, turn))
            assert found == pytest.approx(RADIUS + sign * DEEP, abs=0.02)


def test_grooves_go_through_the_joint_and_the_split_and_raised_lines_stop_short(both):
    (fore, _), _ = both["grooves"]
    along = np.arccos(ASIDE / RADIUS)
    at_joint = radii(body_of(fore), np.array([399.99]), np.array([along]))
    assert at_joint == pytest.approx(RADIUS - DEEP, abs=0.02)
    box = [[0, 0, -RADIUS], [400, RADIUS, RADIUS]]
    assert np.isclose(body_of(fore).bounds, box, atol=0.05).all()
    (fore, _), _ = both["raised lines"]
    body = body_of(fore)
    for x, angle in ((399.7, along), (0.3, along), (STATION, np.pi / 2 - 0.3 / RADIUS)):
        assert radii(body, np.array([x]), np.array([angle])) == pytest.approx(RADIUS, abs=0.05)
    # Nothing reaches over the split or over the joint, where flange and neighbour lie.
    assert body.bounds[0, 1] > -1e-3
    assert body.bounds[1, 0] < 400.0 + 1e-3


def test_what_they_take_and_add(made):
    """The frame's V by Pappus, the straight ones by area times length, two crossings shared."""
    _, _, lines, cut = made
    mark = VMark(DEEP, WIDE)
    runs = skin_runs(lines, mark)
    fine = marked(cut[0].solid, lines.side, runs, mark, cut[0].cuts, 0.005, "pod")
    smooth = marked(cut[0].solid, lines.side, [], mark, cut[0].cuts, 0.005, "pod")
    area, slant = WIDE * DEEP / 2, WIDE**2 * DEEP / 3
    taken = area * (np.pi * (RADIUS - DEEP / 3) + 2 * 400.0) - 2 * slant
    assert smooth.mesh.volume - fine.mesh.volume == pytest.approx(taken, rel=0.03)


def test_marks_of_another_depth_or_off_their_line_fail(made):
    _, _, lines, cut = made
    mark = VMark(DEEP, WIDE)
    good = marked(cut[0].solid, lines.side, skin_runs(lines, mark), mark, cut[0].cuts, 0.1, "pod")
    assert good.moved < 1e-3
    for other in (VMark(DEEP + 0.1, WIDE), VMark(DEEP - 0.1, WIDE)):
        depth, beside = marks_findings("pod", other, [good])
        assert (depth.verdict, beside.verdict) == ("fail", "pass")
        assert depth.measured == pytest.approx(0.1, abs=0.02)
    smooth = marked(cut[0].solid, lines.side, [], mark, cut[0].cuts, 0.1, "pod")
    lost = good.__class__(smooth.mesh, good.at, 0.0 * good.depths, 0.5)
    assert [c.verdict for c in marks_findings("pod", mark, [lost])] == ["fail", "fail"]
    assert marks_findings("pod", mark, [smooth]) == []


def test_runs_keep_to_the_skin_and_to_their_piece(made):
    _, _, lines, _ = made
    runs = skin_runs(lines, VMark(DEEP, WIDE))
    for run in runs:
        chords = (run.points[1:] + run.points[:-1]) / 2
        assert np.hypot(*chords[:, 1:].T) == pytest.approx(RADIUS, abs=0.03)
    kept = between_cuts(runs, ((100.0, 200.0), (-inf, inf), (-inf, inf)), 5.0)
    ends = np.concatenate([run.points[[0, -1], 0] for run in kept])
    assert sorted(ends.round(6)) == [105.0, 105.0, 195.0, 195.0]


def test_the_words_say_what_is_left_on_the_part(made):
    mould = made[0]
    said = mark_words(mould)
    assert "a V 0.4 mm deep and 1 mm wide, in the mesh _marked alone: the STEP is smooth" in said
    assert said.endswith("leaves a ridge in the mould taken off it, a groove in the part's outside")
    raised = mould.model_copy(update={"lines": "raised lines", "treatment": "male_mould"})
    assert mark_words(raised).endswith("leaves a groove in the skin's inner face")
    stock = mould.model_copy(update={"stock": 2.0})
    assert mark_words(stock).startswith("no grooves, there is stock on")
    assert all_marked(made, stock=2.0)[1] == []
    bare = made[3][0]
    assert piece_words(mould, bare) == "no grooves: no line to build to lies on this half"
    assert piece_words(stock, bare) == mark_words(stock)


def test_marks_as_deep_as_the_skin_are_refused(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), lines="grooves", line_depth=0.5, skin=0.5)
    with pytest.raises(GeometryError, match=r"grooves of 0.5 mm in a skin of 0.50 mm") as error:
        require_shallow(p, mould)
    assert error.value.look_at == ["handoff.moulds.0.line_depth", "handoff.laminate"]
    require_shallow(p, mould.model_copy(update={"line_depth": 0.49}))
    require_shallow(p, mould.model_copy(update={"lines": "drill points"}))
    bare, mould = with_mould(cylinder_pod(saltmarsh), lines="raised lines", skin=None)
    with pytest.raises(GeometryError, match="no laminate describes"):
        require_shallow(bare, mould)
