"""Variants of the example, by the keys that differ."""

from pathlib import Path

import pytest

from geomgen.parameters import load

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture
def variant():
    """Return a loader of an example with some keys set otherwise."""

    def make(*overrides: str, config: str = "saltmarsh"):
        return load(CONFIGS / f"{config}.toml", list(overrides))

    return make
