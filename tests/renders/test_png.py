"""PNG: another library reads the same pixels. Source: ISO/IEC 15948; Pillow (reference library)."""

import io

import numpy as np
import pytest
from PIL import Image

from geomgen.renders.png import png_bytes

PIXELS = np.random.default_rng(7).integers(0, 256, (31, 47, 3), dtype=np.uint8)


def test_the_same_pixels_and_title():
    seen = Image.open(io.BytesIO(png_bytes(PIXELS, "Plan, from above")))
    assert np.array_equal(np.asarray(seen), PIXELS)
    assert seen.text == {"Title": "Plan, from above"}
    assert seen.info["srgb"] == 0


def test_no_time_in_it_and_the_same_bytes():
    data = png_bytes(PIXELS)
    assert b"tIME" not in data
    assert data == png_bytes(PIXELS.copy())


def test_a_byte_that_changed_is_seen():
    data = bytearray(png_bytes(PIXELS))
    data[200] ^= 1
    with pytest.raises((OSError, SyntaxError)):
        Image.open(io.BytesIO(bytes(data))).load()
