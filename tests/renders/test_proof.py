"""The proof of a picture finds one that is blank, cut off, broken or of another size.

Source: Pillow makes the pictures that are wrong (reference library).
"""

import numpy as np
import pytest
from pictured import picture
from PIL import Image

from geomgen.errors import FileWriteError
from geomgen.kernel.brep.primitives import wheel
from geomgen.kernel.meshing.proven import mesh
from geomgen.renders.actors import BACKGROUND
from geomgen.renders.proof import prove_picture, read_png
from geomgen.renders.view import View

SIZE = (200, 120)
EMPTY = np.tile(np.round(255 * np.array(BACKGROUND)).astype(np.uint8), (SIZE[1], SIZE[0], 1))


@pytest.fixture(scope="module")
def good():
    body = {"wheel": mesh(wheel((0.0, 0.0, 0.0), 300.0, 80.0), 0.2)}
    return picture(body, {}, View("a", "A wheel", (1.0, 1.0, -0.5)), SIZE)


def saved(path, pixels):
    Image.fromarray(pixels).save(path)
    return path


def test_a_good_one_passes_and_reads_as_another_library_reads_it(good, tmp_path):
    path = tmp_path / "a.png"
    path.write_bytes(good)
    prove_picture(path, SIZE)
    assert np.array_equal(read_png(path), np.asarray(Image.open(path)))


def test_a_blank_one(tmp_path):
    with pytest.raises(FileWriteError, match="blank"):
        prove_picture(saved(tmp_path / "a.png", EMPTY), SIZE)
    one_tone = EMPTY.copy()
    one_tone[20:100, 20:180] = 90
    with pytest.raises(FileWriteError, match="blank"):
        prove_picture(saved(tmp_path / "a.png", one_tone), SIZE)


def test_one_that_is_cut_off(good, tmp_path):
    path = tmp_path / "a.png"
    path.write_bytes(good)
    whole = np.asarray(Image.open(path))
    moved = np.roll(whole, 70, axis=1)
    with pytest.raises(FileWriteError, match="cut off"):
        prove_picture(saved(path, moved), SIZE)


def test_another_size(good, tmp_path):
    path = tmp_path / "a.png"
    path.write_bytes(good)
    with pytest.raises(FileWriteError, match="200 x 120, not 1600 x 1000"):
        prove_picture(path, (1600, 1000))


def test_one_that_breaks_off_is_no_picture_or_is_missing(good, tmp_path):
    path = tmp_path / "a.png"
    path.write_bytes(good[: len(good) // 2])
    with pytest.raises(FileWriteError, match="can be read"):
        prove_picture(path, SIZE)
    path.write_bytes(b"no picture")
    with pytest.raises(FileWriteError, match="can be read"):
        prove_picture(path, SIZE)
    with pytest.raises(FileWriteError, match="read back"):
        prove_picture(tmp_path / "none.png", SIZE)
