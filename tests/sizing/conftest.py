from pathlib import Path

import pytest

from geomgen.parameters import load

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
BASE = (
    "flight.climb_speed=50 kt",
    "flight.climb_speed_band=4 kt",
    "powerplant.power=40 bhp",
    "rules.exit_to_inlet=0.8",
    "rules.exit_to_inlet_band=0.25",
)


@pytest.fixture(scope="session")
def parameters():
    """Return a function that loads a complete file with overrides."""
    return lambda *overrides: load(CONFIG, [*BASE, *overrides])
