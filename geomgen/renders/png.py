"""PNG by its published specification (ISO/IEC 15948): the same bytes for the same picture."""

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

SIGNATURE = b"\x89PNG\r\n\x1a\n"
TRUE_COLOUR = 2
# Each row as its difference from the row above: filter type 2.
ROW_ABOVE = 2


def png_bytes(colours: NDArray[np.uint8], title: str = "") -> bytes:
    r"""Return a PNG of pixels (height, width, 3), top row first, with its title and no time.

    >>> png_bytes(np.zeros((1, 2, 3), dtype=np.uint8))[:4]
    b'\x89PNG'
    """
    height, width, _ = colours.shape
    above = np.zeros_like(colours)
    above[1:] = colours[:-1]
    rows = np.empty((height, 1 + 3 * width), dtype=np.uint8)
    rows[:, 0] = ROW_ABOVE
    rows[:, 1:] = (colours - above).reshape(height, -1)
    head = struct.pack(">IIBBBBB", width, height, 8, TRUE_COLOUR, 0, 0, 0)
    text = b"Title\0" + title.encode("latin-1", "replace")
    return b"".join(
        [
            SIGNATURE,
            _chunk(b"IHDR", head),
            _chunk(b"sRGB", b"\0"),
            _chunk(b"tEXt", text) if title else b"",
            _chunk(b"IDAT", zlib.compress(rows.tobytes(), 6)),
            _chunk(b"IEND", b""),
        ]
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
