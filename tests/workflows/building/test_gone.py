"""A set that takes the place of another says what it does not hold any more."""

from pathlib import Path

from made_sets import made_set

from geomgen.files.manifest import file_entry, manifest, read_manifest, write_manifest
from geomgen.workflows.building.gone import gone


def with_report(folder: Path) -> Path:
    """Add a page and a picture to a set, as a report does."""
    (folder / "pictures").mkdir()
    (folder / "report.html").write_text("page")
    (folder / "pictures" / "side.png").write_bytes(b"picture")
    known = read_manifest(folder)
    more = [
        file_entry(folder, "report.html", "report"),
        file_entry(folder, "pictures/side.png", "picture"),
    ]
    write_manifest(folder, manifest("a", "a", "A", "0", [*known["files"], *more]))
    return folder


def test_a_report_that_goes_is_told_with_its_command(tmp_path):
    old, new = with_report(made_set(tmp_path / "old")), made_set(tmp_path / "new", template=400.0)
    assert gone(old, new, "mine.toml") == (
        "the report of the set before is gone (report.html, pictures/side.png): "
        "geomgen report mine.toml writes it for this one",
    )


def test_a_hand_off_that_goes_is_told_with_its_command(tmp_path):
    old, new = made_set(tmp_path / "old", template=400.0, plug=900.0), made_set(tmp_path / "new")
    (told,) = gone(old, new, "mine.toml")
    assert "the hand-off of the set before is gone" in told
    assert "wing_cores/" in told or "mould_maker/" in told
    assert "geomgen handoff mine.toml" in told


def test_what_the_new_set_holds_itself_is_not_said(tmp_path):
    old, new = (with_report(made_set(tmp_path / n, template=400.0)) for n in ("old", "new"))
    assert gone(old, new, "mine.toml") == ()
    assert gone(tmp_path / "none", new, "mine.toml") == ()
