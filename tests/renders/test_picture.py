"""Pictures: what they show is counted in pixels and held to closed forms and another library.

Source: closed forms; manifold3d's projected outlines (reference library); Pillow reads the PNG.
"""

import io
from math import pi

import manifold3d
import numpy as np
import pytest
from pictured import picture, visible_parts
from PIL import Image

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, ring, wheel
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Axis, Plane
from geomgen.renders.actors import BACKGROUND
from geomgen.renders.body import bodies, framed
from geomgen.renders.picture import MARGIN, Studio
from geomgen.renders.view import View
from geomgen.renders.window import window

SMALL = (400, 250)
SIZE = (800, 500)
# Fine enough for a pixel at each border of the boom to be less than 1 %.
FINE = (1600, 1000)
X = (1.0, 0.0, 0.0)
SIDE = View("side", "Side", (0.0, 1.0, 0.0))
ASKEW = View("askew", "Askew", (1.0, -0.7, -0.5))
POD = mesh(box((0.0, -100.0, 0.0), (600.0, 100.0, 200.0)), 0.1)
BOOM = mesh(cylinder((500.0, 150.0, 100.0), X, 30.0, 700.0), 0.05)
WHEEL = mesh(wheel((150.0, 0.0, -100.0), 160.0, 50.0), 0.05)
MESHES = {"pod": POD, "boom": BOOM, "wheel": WHEEL}
COLOURS = {"pod": (0.8, 0.82, 0.86), "boom": (0.42, 0.5, 0.58), "wheel": (0.2, 0.2, 0.2)}


def pixels(data):
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


def shown(data):
    return (np.abs(pixels(data) - np.round(255 * np.array(BACKGROUND))) > 1).any(axis=2)


def scale(meshes, view, size=SIZE):
    return framed(bodies(meshes, view), view, size, MARGIN).scale


def projected(made, view):
    raw = manifold3d.Mesh64(made.vertices, made.triangles.astype(np.uint64))
    turn = np.array(view.axes()) * [[1.0], [1.0], [-1.0]]
    frame = np.hstack([turn, np.zeros((3, 1))])
    return manifold3d.Manifold(raw).transform(frame).project().area()


@pytest.fixture(scope="module")
def drawn():
    return picture(MESHES, COLOURS, ASKEW, SMALL)


def test_a_png_of_the_size_with_its_title(drawn):
    seen = Image.open(io.BytesIO(drawn))
    assert seen.format == "PNG"
    assert seen.size == SMALL
    assert seen.text == {"Title": "Askew"}


def test_it_is_not_blank_and_keeps_its_margin(drawn):
    mask = shown(drawn)
    assert 0.05 < mask.mean() < 0.8
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    margin = MARGIN * min(SMALL)
    gaps = [rows[0], SMALL[1] - 1 - rows[-1], columns[0], SMALL[0] - 1 - columns[-1]]
    assert min(gaps) == pytest.approx(margin, abs=1.5)
    assert len(np.unique(pixels(drawn))) > 30


def test_the_same_bytes_again(drawn):
    assert picture(MESHES, COLOURS, ASKEW, SMALL) == drawn


def test_leaving_a_part_out_changes_the_picture(drawn):
    for name in MESHES:
        less = View("a", "Askew", ASKEW.direction, without=(name,))
        assert picture(MESHES, COLOURS, less, SMALL) != drawn
    with pytest.raises(GeometryError, match="shows no part"):
        picture(MESHES, COLOURS, View("a", "", ASKEW.direction, without=tuple(MESHES)), SMALL)


@pytest.mark.parametrize("view", [SIDE, ASKEW], ids=["side", "askew"])
@pytest.mark.parametrize("name", MESHES)
def test_an_outline_has_the_area_that_another_library_projects(name, view):
    alone = {name: MESHES[name]}
    area = visible_parts(alone, view, FINE)[name] * scale(alone, view, FINE) ** 2
    assert area == pytest.approx(projected(MESHES[name], view), rel=1e-2)


def test_an_outline_of_another_thing_would_be_found():
    alone = {"boom": BOOM}
    area = visible_parts(alone, SIDE, FINE)["boom"] * scale(alone, SIDE, FINE) ** 2
    longer = mesh(cylinder((500.0, 150.0, 100.0), X, 30.0, 720.0), 0.05)
    assert abs(area / projected(longer, SIDE) - 1) > 1e-2


def test_the_section_of_a_tube_is_a_ring():
    tube = {"tube": mesh(ring(Axis((0.0, 0.0, 0.0), X), 0.0, 200.0, 40.0, 50.0), 0.02)}
    view = View("cut", "", X, sections=(Plane((100.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),))
    area = visible_parts(tube, view, SIZE)["tube"] * scale(tube, view) ** 2
    assert area == pytest.approx(pi * (50.0**2 - 40.0**2), rel=1e-2)


def test_cut_faces_are_darker_and_hatched_at_45_degrees():
    view = View("cut", "", (0.0, 1.0, 0.0), sections=(Plane((0.0, 0.0, 0.0), (0.0, -1.0, 0.0)),))
    colour = (0.8, 0.8, 0.8)
    whole = pixels(picture({"pod": POD}, {"pod": colour}, SIDE, SIZE))[:, :, 0]
    cut = pixels(picture({"pod": POD}, {"pod": colour}, view, SIZE))[:, :, 0]
    inside = (slice(200, 300), slice(200, 500))
    assert np.ptp(whole[inside]) < 8
    face, line = np.percentile(cut[inside], 75), cut[inside].min()
    assert line < face - 30 < whole[inside].mean() - 30
    dark = cut[inside] < (face + line) / 2
    share = [
        (dark[1:, 1:] == dark[:-1, :-1]).mean(),
        (dark[1:, :-1] == dark[:-1, 1:]).mean(),
    ]
    assert max(share) > 0.98 > 0.95 > min(share)


def test_a_part_in_front_hides_one_behind_unless_it_is_translucent():
    screen = mesh(box((-100.0, -300.0, -300.0), (1300.0, -290.0, 400.0)), 0.1)
    meshes = {**MESHES, "screen": screen}
    hidden = visible_parts(meshes, SIDE, SMALL)
    assert [hidden[name] for name in MESHES] == [0, 0, 0]
    through = visible_parts(meshes, View("a", "", SIDE.direction, translucent=("screen",)), SMALL)
    assert min(through[name] for name in MESHES) > 100
    assert through["screen"] == hidden["screen"]
    veiled = View("a", "", SIDE.direction, translucent=("screen",))
    solid, veil = (pixels(picture(meshes, COLOURS, v, SMALL)) for v in (SIDE, veiled))
    middle = (slice(60, 190), slice(60, 340), 0)
    assert solid[middle].std() < 3 < 8 < veil[middle].std()


def test_a_part_that_is_left_out_is_not_counted_and_one_cut_away_counts_nothing():
    view = View("a", "", SIDE.direction, without=("boom",))
    assert "boom" not in visible_parts(MESHES, view, SMALL)
    ahead = View("a", "", SIDE.direction, sections=(Plane((300.0, 0.0, 0.0), X),))
    assert visible_parts(MESHES, ahead, SMALL)["boom"] == 0
    kept = View("a", "", SIDE.direction, sections=ahead.sections, whole=("boom",))
    assert visible_parts(MESHES, kept, SMALL)["boom"] > 0


def test_told_apart_without_colour():
    grey = pixels(picture(MESHES, COLOURS, SIDE, SIZE)).mean(axis=2)
    # Steps from the middle of one part over its outline to the next.
    row = grey[:, 150]
    assert len(row) == SIZE[1]
    edges = np.abs(np.diff(grey, axis=0)).max(axis=0)
    assert np.percentile(edges[100:700], 25) > 40


def test_lines_drawn_on_a_skin_are_seen_on_its_near_side_alone():
    block = {"pod": mesh(box((0.0, 0.0, 0.0), (400.0, 400.0, 400.0)), 0.5)}
    colours = {"pod": (0.9, 0.9, 0.9)}

    def seen(*lines):
        with window((2 * SIZE[0], 2 * SIZE[1])) as shown:
            data = Studio(shown, block, colours, {"pod": lines} if lines else {}).picture(FROM_LEFT)
        return pixels(data).astype(float)

    bare = seen()
    near = np.array([[50.0, 0.0, 200.0], [350.0, 0.0, 200.0]])
    assert np.abs(seen(near) - bare).max() > 40
    assert np.array_equal(seen(near + np.array([0.0, 400.0, 0.0])), bare)


FROM_LEFT = View("side", "", (0.0, 1.0, 0.0))
