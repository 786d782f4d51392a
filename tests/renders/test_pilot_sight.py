"""The pilot's sight: edges stand at the degrees that closed forms give, glass is looked through.

Source: closed forms; Pillow reads the PNG.
"""

import io
from math import atan, cos, degrees, radians, tan

import numpy as np
import pytest
from PIL import Image
from seated_pilots import boxed

from geomgen.kernel.brep.primitives import box, mirrored
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.renders.actors import BACKGROUND
from geomgen.renders.pilot_sight import LAND, SKY, UP, sight_picture
from geomgen.renders.proof import prove_picture

SIZE = (512, 320)
SCALE = 2
EYE = (1200.0, 0.0, 1000.0)


def seen(solids, glass=None, swept="prop_disc", size=SIZE):
    families = {name: name for name in solids}
    model = Model(families=families, eye=EYE, glass=glass, swept=swept)
    meshes = {name: mesh(solid, 0.1) for name, solid in solids.items()}
    data = sight_picture(model, meshes, size)
    return data, np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


def near(pixels, colour):
    return (np.abs(pixels - np.round(255 * np.array(colour))) < 3).all(axis=-1)


def column(pixels, across):
    """Return the colours at an angle from straight ahead [deg], beside the line there."""
    return pixels[:, SIZE[0] // 2 + round(SCALE * across) + 1]


def top_of_bar(pixels, across):
    """Return how far up the first part stands [deg] that is neither sky nor land nor a line."""
    column_ = column(pixels, across)
    top = SIZE[1] // 2 - SCALE * UP
    bare = near(column_, SKY) | near(column_, LAND)
    # Lines are thinner than what bars: three pixels in a row.
    row = next(r for r in range(top, SIZE[1]) if not bare[r : r + 4].any())
    return (SIZE[1] / 2 - row) / SCALE


def test_a_wall_ahead_bars_at_its_true_angle():
    high = EYE[2] - 1000.0 * tan(radians(17.0))
    _, pixels = seen({"pod": box((190.0, -9e4, 0.0), (200.0, 9e4, high))})
    for across in (-63.0, -27.0, 3.0, 44.0, 63.0):
        due = -degrees(atan(tan(radians(17.0)) * cos(radians(across))))
        assert top_of_bar(pixels, across) == pytest.approx(due, abs=1.2)


def test_right_is_right_and_the_mirror_image_is_left():
    post = box((1190.0, 600.0, 0.0), (1210.0, 620.0, 3000.0))
    _, one = seen({"pod": post})
    _, other = seen({"pod": mirrored(post)})
    assert not near(column(one, 90.0)[60:120], SKY).any()
    assert near(column(one, -90.0)[60:120], SKY).mean() > 0.8
    bars = [near(pixels, SKY).sum(axis=1)[40:150] for pixels in (one, other)]
    assert bars[0] == pytest.approx(bars[1], abs=3)
    assert not near(column(other, -90.0)[60:120], SKY).any()


def test_glass_is_looked_through_and_the_sill_stands_where_it_is():
    cabin = boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1200.0))
    _, closed = seen({"pod": cabin})
    assert near(closed, SKY).sum() == 0
    _, open_ = seen({"pod": cabin}, Glass(90.0, 1810.0, 800.0, 800.0))
    due = -degrees(atan(200.0 / 305.0))
    for across in (-90.0, 90.0):
        assert top_of_bar(open_, across - 2) == pytest.approx(due, abs=1.5)
    assert near(column(open_, 20.0)[40:100], SKY).mean() > 0.8


def test_the_horizon_parts_sky_and_land():
    _, pixels = seen({"pod": box((1000.0, -5.0, 0.0), (1300.0, 5.0, 300.0))})
    line = column(pixels, 14.0)
    assert near(line[SIZE[1] // 2 - 5], SKY)
    assert near(line[SIZE[1] // 2 + 4], LAND)
    assert line[SIZE[1] // 2 - 1].max() < 90


def test_the_horizon_is_fainter_where_it_is_barred():
    _, pixels = seen({"pod": box((1000.0, 300.0, 500.0), (1300.0, 310.0, 1500.0))})
    rows = slice(SIZE[1] // 2 - 1, SIZE[1] // 2 + 1)
    free, barred = column(pixels, -93.0)[rows], column(pixels, 93.0)[rows]
    assert free.max() < 90 < barred.max() < column(pixels, 93.0)[SIZE[1] // 2 - 5].max()


def test_the_swept_volume_is_not_drawn():
    far = box((5e3, -9.0, 0.0), (6e3, 9.0, 9.0))
    disc = box((400.0, -600.0, 400.0), (410.0, 600.0, 1600.0))
    _, pixels = seen({"pod": far, "prop_disc": disc})
    assert near(column(pixels, 3.0)[40:150], SKY).mean() > 0.8
    _, named = seen({"pod": far, "plate": disc})
    assert near(column(named, 3.0)[100:150], SKY).sum() == 0


def test_a_pod_all_of_glass_is_left_out():
    pod = box((400.0, -300.0, 700.0), (900.0, 300.0, 1200.0))
    post = box((0.0, 2000.0, 0.0), (10.0, 2010.0, 9.0))
    _, pixels = seen({"pod": pod, "post": post}, Glass(0.0, 2000.0, 0.0, 0.0))
    assert near(column(pixels, 3.0)[40:150], SKY).mean() > 0.8


def test_without_an_eye_there_is_none():
    assert sight_picture(Model(), {}, SIZE) is None


def test_the_file_is_proved_like_the_others(tmp_path):
    path = tmp_path / "sight.png"
    data, pixels = seen({"pod": boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1200.0))})
    path.write_bytes(data)
    prove_picture(path, SIZE)
    assert near(pixels[[0, -1]], BACKGROUND).all()
    assert seen({"pod": boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1200.0))})[0] == data
