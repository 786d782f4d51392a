import shutil
from pathlib import Path

import pytest

from geomgen.parameters import load

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture(scope="session")
def saltmarsh():
    """Return a function that loads the complete metric file with overrides."""
    return lambda *overrides: load(CONFIGS / "saltmarsh.toml", overrides)


@pytest.fixture
def folder(tmp_path):
    """Return a folder with copies of the configs."""
    for file in CONFIGS.iterdir():
        if file.is_file():
            shutil.copy(file, tmp_path)
    return tmp_path
