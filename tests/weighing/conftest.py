"""A small file over the example to write into; its solids are measured by hand, none is built."""

from pathlib import Path

import pytest
from weighed_machines import SMALL, unbuilt

from geomgen.regeneration import regenerating

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture
def file(tmp_path, monkeypatch):
    """Return a small file of masses over a copy of saltmarsh."""
    monkeypatch.setattr(regenerating, "regenerate", unbuilt)
    for name in ("saltmarsh.toml", "curlew.dat"):
        (tmp_path / name).write_bytes((CONFIGS / name).read_bytes())
    small = tmp_path / "small.toml"
    small.write_text(SMALL)
    return small
