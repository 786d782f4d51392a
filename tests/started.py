"""How the children of tests are started, which `GEOMGEN_START_METHOD` chooses."""

import pytest

from geomgen.processes.worker import start_method

FORKS = start_method() == "fork"
# For tests that put something in place here which a spawned child would not have.
forked_only = pytest.mark.skipif(not FORKS, reason="a spawned child has nothing of its parent's")
