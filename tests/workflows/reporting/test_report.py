"""The report of the example: beside its set, proved, linked, of a size that opens at once."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from browser import chromium, complaints, opened, pixels, requests, settled

from geomgen.drafting.formats.dxf.writing import read_dxf
from geomgen.files.manifest import read_manifest, verify
from geomgen.files.set_reading import mesh_in
from geomgen.workflows import report
from geomgen.workflows.building.kinds import REPORT
from geomgen.workflows.building.outcome import read_checks
from geomgen.workflows.reporting.files import proven_boxes

CONFIGS = Path(__file__).parents[3] / "configs"


def test_the_set_stays_what_it_was(saltmarsh_report, saltmarsh_set):
    assert not saltmarsh_report.built
    assert verify(saltmarsh_report.folder) == []
    before = {e["file"]: e["sha256"] for e in read_manifest(saltmarsh_set.folder)["files"]}
    after = {e["file"]: e["sha256"] for e in read_manifest(saltmarsh_report.folder)["files"]}
    assert before.items() <= after.items()
    added = set(after) - set(before)
    assert added == set(saltmarsh_report.files)
    assert {"report.html", "saltmarsh_m.glb", "saltmarsh_mm.3mf"} <= added
    for name in ("three_view", "standing"):
        assert {f"drawings/{name}{end}" for end in ("_mm.dxf", ".pdf", ".svg")} <= added
    assert "pictures/engine_bay.png" in added


def test_every_link_of_the_page_leads_somewhere(saltmarsh_report):
    import re

    text = saltmarsh_report.page.read_text("utf-8")
    text = text[: text.index('id="scene-data"')]
    names = {n for n in re.findall(r'(?:href|src)="([^"#]+)"', text) if not n.startswith("data:")}
    assert len(names) >= 9
    assert all((saltmarsh_report.folder / name).is_file() for name in names)
    ids = set(re.findall(r'\bid="([^"]+)"', text))
    assert {n for n in re.findall(r'href="#([^"]+)"', text)} <= ids


def test_the_page_is_under_8_megabytes(saltmarsh_report):
    assert saltmarsh_report.page.stat().st_size < 8e6


@pytest.mark.long
def test_it_is_the_same_a_second_time(saltmarsh_report):
    """Made again beside the same set, each file but none of the set's own is written anew."""
    first = {e["file"]: e["sha256"] for e in read_manifest(saltmarsh_report.folder)["files"]}
    again = report(CONFIGS / "saltmarsh.toml", out=saltmarsh_report.folder.parent)
    second = {e["file"]: e["sha256"] for e in read_manifest(again.folder)["files"]}
    assert first == second


def seen_alone(window, parts):
    """Return how many pixels each of some parts fills when it is shown alone."""
    quiet = "['#show-figures', '#show-spans', '#show-openings'].forEach(s => {"
    quiet += " const box = document.querySelector(s); if (box.checked) box.click(); });"
    window.execute_script(quiet + "document.querySelector(`[data-parts='none']`).click()")
    settled(window)
    empty, found = pixels(window), {}
    for part in parts:
        window.execute_script(
            "document.querySelector(`[data-parts='none']`).click();"
            "document.querySelector(`[data-part='${arguments[0]}']`).click()",
            part,
        )
        settled(window)
        found[part] = int((np.abs(pixels(window) - empty).max(axis=2) > 8).sum())
    return found


def test_the_page_shows_the_parts_and_nothing_leaves(saltmarsh_report):
    with chromium(height=500) as window:
        assert opened(window, saltmarsh_report.page) == "ready"
        settled(window)
        parts = window.execute_script(
            "return Array.from(document.querySelectorAll('[data-part]')).map(i => i.dataset.part)"
        )
        model = json.loads((saltmarsh_report.folder / "places.json").read_text())
        assert parts == model["parts"]
        found = seen_alone(window, ["firewall", "prop_disc"])
        assert min(found.values()) > 12, found
        asked = requests(window)
        assert all(address.startswith(("file:", "data:", "blob:")) for address in asked)
        assert complaints(window) == []


@pytest.mark.long
def test_every_part_can_be_seen_alone(saltmarsh_report):
    with chromium() as window:
        assert opened(window, saltmarsh_report.page) == "ready"
        settled(window)
        model = json.loads((saltmarsh_report.folder / "places.json").read_text())
        found = seen_alone(window, model["parts"])
        assert min(found.values()) > 12, found


def test_lines_run_between_the_measured_points(saltmarsh_report):
    checks = {c.id: c for c in read_checks(saltmarsh_report.folder)}
    text = saltmarsh_report.page.read_text("utf-8")
    start = text.index('id="scene-data">') + len('id="scene-data">')
    scene = json.loads(text[start : text.index("</script>", start)])
    spans = [t for t in scene["traces"] if t["meta"].get("kind") == "span"]
    assert len(spans) >= 7
    for span in spans:
        ends = np.array([span[axis] for axis in "xyz"]).T
        check = checks[span["meta"]["check"]]
        assert np.allclose(ends, check.points, atol=1e-9)
        assert np.linalg.norm(ends[0] - ends[1]) == pytest.approx(check.measured, abs=1e-6)


def test_dimensions_are_the_machines(saltmarsh_report):
    """Read from the DXF on the disk; against corners of the STL files, read with numpy."""
    drawing = read_dxf(saltmarsh_report.folder / "drawings/three_view_mm.dxf")
    found = {d.prefix.strip().lower(): d.measured for d in drawing.dimensions}
    wing = mesh_in(saltmarsh_report.folder / "wing_mm.stl", 0.1).vertices
    pod = mesh_in(saltmarsh_report.folder / "pod_mm.stl", 0.1).vertices
    assert found["span"] == pytest.approx(np.ptp(wing[:, 1]), abs=0.2)
    assert found["pod breadth"] == pytest.approx(np.ptp(pod[:, 1]), abs=0.2)
    assert found["pod height"] == pytest.approx(np.ptp(pod[:, 2]), abs=0.2)
    assert all(d.text.endswith(f"{d.measured:.{d.decimals}f}") for d in drawing.dimensions)


def test_what_it_is_on_its_wheels_is_what_the_checks_say(saltmarsh_report):
    """DIMENSION entities by ezdxf against checks.json, each within its bound and a twentieth."""
    import ezdxf

    space = ezdxf.readfile(saltmarsh_report.folder / "drawings/standing_mm.dxf").modelspace()
    found = {}
    for one in space.query("DIMENSION"):
        found.setdefault((one.dxf.text, one.dimtype), float(one.get_measurement()))
    due = {
        ("TIP-BACK <>", 5): "gear.tip_back_angle",
        ("OVERTURN <>", 5): "gear.overturn_angle",
        ("TOUCHES <>", 5): "gear.tail_touch",
        ("SIGHT DOWN <>", 5): "sight.over_nose.static",
        ("A <>", 0): "prop.ground_clearance.static",
        ("C <>", 0): "prop.ground_clearance.rotated",
    }
    checks = {c.id: c for c in read_checks(saltmarsh_report.folder)}
    within = {id_: min(checks[id_].error_bound or 0.0, 0.01) + 0.005 for id_ in due.values()}
    for key, id_ in due.items():
        assert found[key] == pytest.approx(checks[id_].measured, abs=within[id_]), id_
    assert found["C <>", 5] == pytest.approx(8.0, abs=1e-6)
    assert 'href="#drawing-standing"' in saltmarsh_report.page.read_text("utf-8")


def test_boxes_that_meshes_do_not_bear_out_are_not_taken(saltmarsh_set, saltmarsh_meshes):
    entries = read_manifest(saltmarsh_set.folder)["files"]
    assert set(proven_boxes(entries, saltmarsh_meshes)) == set(saltmarsh_meshes)
    for entry in entries:
        if entry.get("part") == "wing" and entry["what"] == "solid":
            entry["bounding_box"]["high_mm"][1] += 1.0
    assert "wing" not in proven_boxes(entries, saltmarsh_meshes)


def test_a_changed_file_has_the_set_built_again(saltmarsh_set, tmp_path, monkeypatch):
    from geomgen.workflows.reporting import report as reporting

    class BuiltError(Exception):
        pass

    def built(*_):
        raise BuiltError

    monkeypatch.setattr(reporting, "build", built)
    out = tmp_path / "out"
    shutil.copytree(saltmarsh_set.folder, out / "saltmarsh")
    with (out / "saltmarsh" / "wing_mm.stl").open("ab") as file:
        file.write(b"x")
    with pytest.raises(BuiltError):
        report(CONFIGS / "saltmarsh.toml", out=out)
    with pytest.raises(BuiltError):
        report(CONFIGS / "saltmarsh.toml", out=tmp_path / "none")


def test_no_word_of_the_report_is_a_word_of_the_set(saltmarsh_set):
    known = {e["what"] for e in read_manifest(saltmarsh_set.folder)["files"]}
    assert not known & set(REPORT)
