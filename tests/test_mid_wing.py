"""A mid-wing aircraft of our own the whole way: the pod interrupts the wing, fins go below too.

What was one part is two; files, checks, cores, tips, lists and the proof of the set know both.
"""

import json
import tomllib

import pytest

from geomgen.parameters.editing.writing import toml_of
from geomgen.workflows import build, check, handoff, report
from geomgen.workflows.comparing.verify import verify

pytestmark = pytest.mark.long
HALVES = ("wing_right", "wing_left")
FINS = ("fin_right", "fin_left", "ventral_fin_right", "ventral_fin_left")


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    """Write the aircraft: wing at mid-height of the pod with a section in it, shoulder scoops."""
    from conftest import CONFIGS

    folder = tmp_path_factory.mktemp("mid")
    tables = tomllib.loads((CONFIGS / "saltmarsh.toml").read_text("utf-8"))
    tables["name"] = "reedbed"
    del tables["pylon"]
    tables["mass"] = [row for row in tables["mass"] if row["part"] != "pylon"]
    tables["items"] = [row for row in tables["items"] if row.get("at") != "pylon"]
    tables["wing"]["waterline"] = "820 mm"
    inside = {"buttock_line": "250 mm", "chord": "1200 mm", "aerofoil": "NACA 4415"}
    tables["wing"]["sections"].insert(1, inside)
    for row, waterline in zip(
        tables["booms"]["stations"], (840, 850, 870, 920, 1000, 1040), strict=True
    ):
        row["waterline"] = f"{waterline} mm"
    tables["tailplane"]["waterline"] = tables["fins"]["waterline"] = "1030 mm"
    tables["fins"]["sections"][0]["height"] = "-200 mm"
    tables["scoops"][0] |= {"clock_angle": "55 deg", "width": "200 mm"}
    pairs = [("wing", "pod", "1 mm"), ("wing", "boom", "0.3 mm"), ("tailplane", "boom", "0.3 mm")]
    pairs += [("fin", "boom", "0.3 mm"), ("tailplane", "fin", "0.3 mm")]
    tables["joints"] = [{"trim": a, "to": b, "gap": gap} for a, b, gap in pairs]
    for points in CONFIGS.glob("*.dat"):
        (folder / points.name).write_bytes(points.read_bytes())
    path = folder / "reedbed.toml"
    path.write_text(toml_of(tables), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def handed(file, kept, tmp_path_factory):
    return handoff(file, out=tmp_path_factory.mktemp("hand"), store=kept)


def test_it_passes_its_checks_and_says_what_became_of_the_parts(file, kept, tmp_path) -> None:
    result = check(file, out=tmp_path, store=kept)
    assert result.passed
    assert any("2 parts of it: wing_right, wing_left" in notice for notice in result.notices)
    assert any("ventral_fin_right, fin_right" in notice for notice in result.notices)
    outcome = json.loads((result.folder / "checks.json").read_bytes())
    assert outcome["notices"] == list(result.notices)
    edge = next(c for c in result.checks if c.id == "prop.trailing_edge_gap")
    assert edge.part in HALVES


def test_the_shops_get_both_halves(handed) -> None:
    assert not handed.refused
    sheet = json.loads((handed.folder / "cut_or_not.json").read_bytes())
    assert sheet["verdict"] == "CUT"
    assert sheet["notices"] == list(handed.notices)
    hands = {part["part"]: part["hand"] for part in sheet["parts"]}
    for name in (*HALVES, *FINS):
        assert hands[name] == name.rsplit("_", 1)[-1]
    cores = {item.name for item in handed.items if item.name.startswith("core_panel")}
    assert cores == {f"core_panel{n}_{hand}" for n in (2, 3) for hand in ("right", "left")}
    findings = {finding.id: finding for finding in handed.findings}
    assert findings["core.none.panel1"].measured == 250.0
    assert findings["mould.skin.wing_tip"].verdict == "pass"


def test_the_set_belongs_together_when_it_is_measured_again(handed) -> None:
    assert verify(handed.folder).passed


def test_the_page_shows_both_halves_and_the_notices(file, kept, tmp_path) -> None:
    build(file, out=tmp_path, store=kept)
    made = report(file, out=tmp_path, store=kept)
    page = made.page.read_text("utf-8")
    assert all(f'<th scope="row">{name}</th>' in page for name in (*HALVES, *FINS))
    assert "2 parts of it: wing_right, wing_left" in page
