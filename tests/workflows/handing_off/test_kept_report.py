"""A report that stands in the set before: kept while its solids and verdicts are the same."""

import json

from geomgen.files.manifest import file_entry, manifest, read_manifest, verify, write_manifest
from geomgen.workflows.building.gone import gone
from geomgen.workflows.building.kinds import SHEET
from geomgen.workflows.handing_off.kept_report import keep_report

KINDS = {".step": "solid", ".stl": "mesh", ".html": "report", ".png": "picture", ".pdf": "sheet",
         ".json": "checks", ".toml": "parameters as used"}  # fmt: skip


def made(
    folder, *more, solid="a solid", verdict="pass", fingerprint="f" * 64, used='at = "25.4 mm"'
):
    """Write a set as it lies on the disk: a boom's files, its verdict, and `more` files."""
    checks = json.dumps({"checks": [{"id": "prop.radial_clearance", "verdict": verdict}]})
    texts = {"boom_mm.step": solid, "boom_mm.stl": f"mesh of {solid}", "checks.json": checks,
             "parameters.toml": used}  # fmt: skip
    for name, text in {**texts, **dict.fromkeys(more, "more")}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    rows = [file_entry(folder, name, KINDS[name[name.rindex(".") :]]) for name in (*texts, *more)]
    write_manifest(folder, manifest("demo", "Demo", "A", fingerprint, rows))
    return folder


def reported(folder):
    """Return a set with a report."""
    return made(folder, "report.html", "pictures/side.png")


def test_the_report_of_the_same_solids_is_kept_byte_for_byte(tmp_path):
    old, new = reported(tmp_path / "old"), made(tmp_path / "new", "wing_cores/core_root.pdf")
    assert keep_report(old, new, "") == ""
    assert (new / "report.html").read_text() == "more"
    assert (new / "pictures" / "side.png").read_text() == "more"
    assert verify(new) == []
    names = {str(row["file"]) for row in read_manifest(new)["files"]}
    assert {"report.html", "wing_cores/core_root.pdf"} <= names
    assert gone(old, new, "mine.toml") == ()


def test_a_report_of_other_solids_or_verdicts_goes_and_why_is_said(tmp_path):
    old, moved = reported(tmp_path / "old"), made(tmp_path / "moved", solid="another")
    why = keep_report(old, moved, "")
    assert why == "its solids are others: boom_mm.step, boom_mm.stl"
    assert not (moved / "report.html").exists()
    (told,) = gone(old, moved, "mine.toml", why)
    assert f"is gone (report.html, pictures/side.png), as {why}: geomgen report mine.toml" in told
    failing = made(tmp_path / "failing", verdict="fail")
    assert keep_report(old, failing, "") == "verdicts are others: prop.radial_clearance"
    # As a release does, which writes its reason into the head of every STEP.
    again = made(tmp_path / "again", solid="a solid, released")
    assert "released although a check failed" in keep_report(old, again, "a trial")
    other = made(tmp_path / "other", fingerprint="e" * 64)
    assert keep_report(old, other, "") == "it is of other parameters"


def test_a_report_that_gives_the_reason_of_a_release_is_kept_with_that_alone(tmp_path):
    old, same, bare = reported(tmp_path / "old"), made(tmp_path / "same"), made(tmp_path / "bare")
    (old / f"{SHEET}.json").write_text(json.dumps({"released_because": "a trial"}))
    before = read_manifest(old)
    rows = [*before["files"], file_entry(old, f"{SHEET}.json", "gate")]
    write_manifest(old, {**before, "files": rows})
    assert keep_report(old, bare, "") == "it says that the set is released although a check failed"
    assert "does not say why" in keep_report(old, bare, "another trial")
    assert keep_report(old, same, "a trial") == ""
    assert (same / "report.html").exists()


def test_a_report_by_other_versions_or_of_values_written_otherwise_goes(tmp_path):
    old, new = reported(tmp_path / "old"), made(tmp_path / "new")
    before = read_manifest(old)
    other = {**before, "made_with": {**before["made_with"], "numpy": "1.0"}}
    write_manifest(old, other)
    assert keep_report(old, new, "").startswith("other versions of the program")
    write_manifest(old, before)
    # The page has the parameters as used, with what a place hangs on beside it.
    hung = made(tmp_path / "hung", used='at = "25.4 mm"  # nose + 1 in')
    assert keep_report(old, hung, "") == "places in the file are written in another way"
    assert not (hung / "report.html").exists()


def test_a_report_whose_files_were_changed_is_not_kept(tmp_path):
    old, new = reported(tmp_path / "old"), made(tmp_path / "new")
    (old / "report.html").write_text("another page")
    assert "files of that set were changed: report.html" in keep_report(old, new, "")
    assert keep_report(tmp_path / "none", new, "") == ""


def test_a_set_without_a_report_has_none_to_keep(tmp_path):
    old, new = made(tmp_path / "old"), made(tmp_path / "new")
    before = json.dumps(read_manifest(new))
    assert keep_report(old, new, "") == ""
    assert json.dumps(read_manifest(new)) == before
