"""What the tests of the sheet shop share."""

from functools import lru_cache
from unittest.mock import patch

import pytest

from geomgen.shops.sheet_metal.flat_pattern import solid


@pytest.fixture(scope="session", autouse=True)
def each_cut_once():
    """Cut the same solid by the same plane once for all tests."""
    with patch.object(solid, "regions", lru_cache(64)(solid.regions)):
        yield
