"""One folder for all temporary files of a run, its children's too, which goes when the run ends.

A child that is killed can't clear up after itself.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager

PREFIX = "geomgen-"


@contextmanager
def temporary_folder() -> Iterator[None]:
    """Have temporary files of this process and its children go into a folder that is cleared.

    Where none can be made, whatever needs one says so.

    >>> with temporary_folder():
    ...     os.path.basename(tempfile.gettempdir()).startswith(PREFIX)
    True
    """
    try:
        own = tempfile.TemporaryDirectory(prefix=PREFIX, ignore_cleanup_errors=True)
    except OSError:
        yield
        return
    former, variable = tempfile.tempdir, os.environ.get("TMPDIR")
    with own as folder:
        tempfile.tempdir = os.environ["TMPDIR"] = folder
        try:
            yield
        finally:
            tempfile.tempdir = former
            if variable is None:
                del os.environ["TMPDIR"]
            else:
                os.environ["TMPDIR"] = variable
