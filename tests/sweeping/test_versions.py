"""A journal's rows are only taken from the very same program."""

from pathlib import Path

import geomgen
from geomgen.regeneration import fingerprints
from geomgen.sweeping.versions import SHOWING, deciding, versions_used


def test_all_source_counts_but_what_only_shows() -> None:
    root = Path(geomgen.__file__).parent
    names = deciding(root)
    for one in ("units.py", "errors.py", "sizing/targets.py", "processes/isolated.py"):
        assert one in names
    for one in ("commands/sweep.py", "comparison/figure_changes.py", "cli.py"):
        assert one in names
    left_out = {path.relative_to(root).as_posix() for path in root.rglob("*.py")} - set(names)
    for room in SHOWING:
        assert any(name.startswith(room) for name in left_out)
    assert all(name.startswith(SHOWING) for name in left_out)


def test_another_text_is_another_program(tmp_path, monkeypatch) -> None:
    from geomgen.sweeping import versions

    monkeypatch.setattr(versions, "__file__", str(tmp_path / "sweeping" / "x.py"))
    (tmp_path / "units.py").write_text("FOOT = 304.8")
    one = versions._source()
    (tmp_path / "units.py").write_text("FOOT = 304.9")
    assert versions._source() != one
    assert len(dict(versions_used())["source"]) == len(one)


def test_every_library_that_makes_figures_counts() -> None:
    assert set(fingerprints.LIBRARIES) <= set(dict(versions_used()))
