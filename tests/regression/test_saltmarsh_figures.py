"""The example measures what it measured before. This says unchanged, not right.

A wanted change of the example or of a builder shows here as a list of figures; record them anew
with `python tests/regression/test_saltmarsh_figures.py FOLDER`, FOLDER being a fresh build.
"""

import json
import sys
from pathlib import Path

import pytest

RECORD = Path(__file__).with_name("saltmarsh.json")


def figures(folder: Path) -> dict[str, float]:
    """Return measured figures and volumes of a built set."""
    checks = json.loads((folder / "checks.json").read_text())["checks"]
    found = {c["id"]: c["measured"] for c in checks if c["measured"] is not None}
    # How near a mesh comes depends on the mesher; only its limit matters.
    found.pop("mesh.deviation")
    for entry in json.loads((folder / "manifest.json").read_text())["files"]:
        if entry["what"] == "solid":
            found[f"volume of {entry['part']}"] = entry["volume_mm3"]
    return found


def test_figures_are_those_recorded(saltmarsh_set) -> None:
    found, known = figures(saltmarsh_set.folder), json.loads(RECORD.read_text())
    assert found.keys() == known.keys()
    off = {
        name: (value, known[name])
        for name, value in found.items()
        if value != pytest.approx(known[name], rel=2e-4, abs=1e-3)
    }
    assert off == {}


if __name__ == "__main__":
    RECORD.write_text(json.dumps(figures(Path(sys.argv[1])), indent=1) + "\n")
