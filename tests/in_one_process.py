"""The jobs of a pool done in the test's own process.

To fork two from one that holds all tests takes longer than jobs on plain bodies; pools themselves
are tested in `tests/processes`, by the builds of the example and by the commands.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

from geomgen.processes import worker_pool


@contextmanager
def one_process() -> Iterator[None]:
    """Let pools have one process for a while: this one."""
    with patch.object(worker_pool, "processors", lambda: 1):
        yield
