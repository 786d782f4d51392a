"""Two files' names exchanged in one step, so that what was there is never lost.

Linux only (renameat2 of its C library, and file systems that know it); elsewhere it is not done.
"""

import ctypes
import os
from functools import cache
from pathlib import Path
from typing import Any

HERE, EXCHANGE = -100, 2


def swapped(one: Path, other: Path) -> bool:
    """Exchange the names of two files of one file system; False where that can't be done."""
    rename = _rename()
    if rename is None:
        return False
    return bool(rename(HERE, os.fsencode(one), HERE, os.fsencode(other), EXCHANGE) == 0)


@cache
def _rename() -> Any:  # a function of the C library has no better type
    try:
        found = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError, TypeError):
        # A TypeError on Windows, which has no library without a name.
        return None
    found.argtypes = (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint)
    return found
