"""The hand-off as a whole: refused when a check fails, released with its reason, proved, listed."""

import csv
import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from weighed_machines import solid

from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.title import RELEASED
from geomgen.errors import ParameterError
from geomgen.files import set_reading
from geomgen.files.manifest import read_manifest
from geomgen.files.manifest import verify as hashes
from geomgen.pages.gate_sheet import CUT
from geomgen.parameters import load
from geomgen.shops.product import Item, Package, ShopSheet, found
from geomgen.workflows import handoff
from geomgen.workflows.building.build import SurveyedModel, build
from geomgen.workflows.handing_off import hand_off, sheets, shop_files

CONFIGS = Path(__file__).parents[3] / "configs"


def plate(p, model):
    """A shop of one sheet, to see what is done with a package."""
    from geomgen.drafting.record import Drawing, rectangle

    sheet = ShopSheet(
        "plate", "pod", full_size(Drawing("plate", (rectangle((0, 0), (100, 60)),))), "left"
    )
    item = Item("plate", "pod", "left", "foam", (100.0, 60.0, 5.0), files=("plate",))
    size = found("plate.size", "pod", "w", 1.0, "mm", severity="info")
    return Package("sheet_shop", (), (sheet,), (size,), (item,))


def bad_plate(p, model):
    finding = found("plate.size", "pod", "width", 9.0, "mm", high=1.0, advice="make it smaller")
    return Package("sheet_shop", findings=(finding,))


@pytest.fixture
def quick(monkeypatch, saltmarsh_set, saltmarsh_read):
    """Take solids and checks from the example's set, which is built once for all tests."""
    import shutil

    def filled(folder, p, model, say, meshes):
        for path in saltmarsh_set.folder.glob("*_mm.*"):
            shutil.copy(path, folder / path.name)

    rows = [e for e in read_manifest(saltmarsh_set.folder)["files"] if "part" in e]
    made = SimpleNamespace(model=saltmarsh_read[0], meshes={})
    # The copies are the same bytes: reading them again and again would prove nothing more.
    monkeypatch.setattr(set_reading, "read_set", lambda folder, entries=None: saltmarsh_read)
    monkeypatch.setattr(hand_off, "bodies", lambda p, store, say: made)
    monkeypatch.setattr(hand_off, "written_parts", filled)
    monkeypatch.setattr(hand_off, "entries_of", lambda p, written: list(rows))
    checks = saltmarsh_set.checks

    def use(maker, checks=checks, measured=()):
        monkeypatch.setattr(hand_off, "surveyed", lambda *_: SurveyedModel(checks, measured))
        monkeypatch.setattr(shop_files, "makers", lambda p: {"plates": maker})

    return use


TILED = ('handoff.paper.tiles=["sheet_shop"]',)


def run(tmp_path, reason=None, overrides=TILED):
    return handoff(CONFIGS / "saltmarsh.toml", overrides, tmp_path / "out", reason=reason)


def failing(checks):
    from dataclasses import replace

    return (replace(checks[0], verdict="fail"), *checks[1:])


def test_good_set_is_handed_off_whole(quick, tmp_path):
    quick(plate, measured=[solid("spinner", 2e6, (3090.0, 0.0, 820.0), area=1e5)])
    result = run(tmp_path)
    assert not result.refused
    assert hashes(result.folder) == []
    known = {entry["file"]: entry for entry in read_manifest(result.folder)["files"]}
    for name in (
        "sheet_shop/plate_mm.dxf",
        "sheet_shop/plate.pdf",
        "sheet_shop/plate_a4_tiles.pdf",
    ):
        assert known[name]["hand"] == "left"
    sheet = json.loads((result.folder / "cut_or_not.json").read_text())
    assert sheet["verdict"] == CUT
    assert sheet["files"]["sheet_shop/plate_mm.dxf"] == known["sheet_shop/plate_mm.dxf"]["sha256"]
    assert {"pod_mm.stl", "pod_mm.step"} <= set(sheet["files"])
    (spinner,) = sheet["to_weigh"]
    assert (spinner["part"], spinner["centre_mm"]) == ("spinner", [3090.0, 0.0, 820.0])
    pod = next(part for part in sheet["parts"] if part["part"] == "pod")
    assert len(pod["dimensions"]) == 3
    # The example's hull runs from STA 0 to the rim's joint at 2900, 620 wide at its broadest.
    assert pod["dimensions"][0]["value"] == pytest.approx(2900.0, abs=0.1)
    assert pod["dimensions"][1]["value"] == pytest.approx(620.0, abs=0.1)
    assert "plug" in pod["treatment"]
    rows = list(csv.reader((result.folder / "parts_list.csv").open(newline="")))
    firewall = next(row for row in rows if row[0] == "firewall")
    assert firewall[4].startswith("stainless steel")
    assert any(row[0] == "plate" for row in rows)


def test_tiles_are_written_only_where_they_are_asked_for(quick, tmp_path):
    quick(plate)
    made = [run(tmp_path / str(i), overrides=keys) for i, keys in enumerate(((), TILED))]
    tiled = [
        [e["file"] for e in read_manifest(r.folder)["files"] if e["what"] == "tiles"] for r in made
    ]
    assert tiled == [[], ["sheet_shop/plate_a4_tiles.pdf"]]
    assert all((r.folder / "sheet_shop" / "plate.pdf").exists() for r in made)


def test_failed_check_is_refused_and_nothing_is_written(quick, tmp_path, saltmarsh_set):
    quick(plate, failing(saltmarsh_set.checks))
    result = run(tmp_path)
    assert result.refused
    assert not result.folder.exists()
    assert [path.name for path in (tmp_path / "out").iterdir()] == [".saltmarsh.lock"]


def test_failed_finding_of_a_shop_is_refused_too(quick, tmp_path):
    quick(bad_plate)
    result = run(tmp_path)
    assert result.refused
    assert [finding.id for finding in result.findings] == ["plate.size"]


def test_released_all_the_same_says_so_everywhere(quick, tmp_path, saltmarsh_set):
    import pdfplumber

    quick(plate, failing(saltmarsh_set.checks))
    result = run(tmp_path, "  only to  try the fit ")
    assert not result.refused
    assert result.reason == "only to try the fit"
    sheet = json.loads((result.folder / "cut_or_not.json").read_text())
    assert sheet["verdict"] == RELEASED
    assert sheet["failed"] == [saltmarsh_set.checks[0].id]
    for name in ("cut_or_not.pdf", "sheet_shop/plate.pdf", "sheet_shop/plate_a4_tiles.pdf"):
        with pdfplumber.open(result.folder / name) as document:
            text = document.pages[0].extract_text()
        assert "RELEASED ALTHOUGH" in text
        assert "try the fit" in " ".join(text.split())
    assert "only to try the fit" in (result.folder / "sheet_shop/plate_mm.dxf").read_text()
    with pdfplumber.open(result.folder / "parts_list.pdf") as document:
        for page in document.pages:
            assert "RELEASED ALTHOUGH A CHECK FAILED: only to try the fit" in page.extract_text()
    head, *rows = csv.reader((result.folder / "parts_list.csv").open(newline=""))
    assert head[-1] == "released_although_a_check_failed"
    assert {row[-1] for row in rows} == {"only to try the fit"}
    for name in ("pod_mm.step", "saltmarsh_mm.step"):
        header = (result.folder / name).read_bytes().partition(b"DATA;")[0]
        assert b"RELEASED ALTHOUGH A CHECK FAILED: only to try the fit" in header
    assert hashes(result.folder) == []


@pytest.mark.parametrize("reason", ["", "  ", "because " * 20])
def test_a_blank_or_overlong_reason_is_refused_before_anything_is_built(tmp_path, reason):
    with pytest.raises(ParameterError, match="the reason"):
        run(tmp_path, reason)
    assert not (tmp_path / "out").exists()


def test_reason_without_a_failure_is_not_printed(quick, tmp_path):
    import pdfplumber

    quick(plate)
    result = run(tmp_path, "just in case")
    assert result.reason == ""
    assert json.loads((result.folder / "cut_or_not.json").read_text())["verdict"] == CUT
    with pdfplumber.open(result.folder / "sheet_shop/plate.pdf") as document:
        assert "RELEASED" not in document.pages[0].extract_text()


def test_reason_for_a_shops_own_finding_is_printed_on_its_drawings(quick, tmp_path):
    def off(p, model):
        good, bad = plate(p, model), bad_plate(p, model)
        return Package("sheet_shop", (), good.sheets, bad.findings, good.items)

    quick(off)
    result = run(tmp_path, "only to try the fit")
    assert not result.refused
    assert "only to try the fit" in (result.folder / "sheet_shop/plate_mm.dxf").read_text()


def test_file_that_asks_for_nothing_is_refused():
    with pytest.raises(ParameterError, match="asks for no hand-off"):
        handoff(CONFIGS / "hayfield.toml", ["name=bare"])


@pytest.mark.parametrize("shop", ["moulds", "foam", "cores", "sheet", "ply"])
def test_each_shop_alone_is_a_hand_off(framed, shop):
    every = framed.handoff
    others = {name: None for name in ("foam", "cores", "sheet", "ply")} | {"moulds": ()}
    alone = every.model_copy(update={**others, shop: getattr(every, shop)})
    assert hand_off.asks(framed.model_copy(update={"handoff": alone}))
    assert not hand_off.asks(framed.model_copy(update={"handoff": every.model_copy(update=others)}))


@pytest.fixture(scope="module")
def framed():
    return load(CONFIGS / "framed.toml")


def test_same_file_same_bytes(quick, tmp_path):
    quick(plate)
    first, second = run(tmp_path / "a"), run(tmp_path / "b")
    for entry in read_manifest(first.folder)["files"]:
        one, two = (r.folder / entry["file"] for r in (first, second))
        assert one.read_bytes() == two.read_bytes(), entry["file"]


def test_treatment_of_each_moulded_part(saltmarsh):
    words = sheets.treatments(saltmarsh)
    assert "outside size" in words["pod"]
    assert "2 mm left on" in words["pod"]
    assert "smaller than the part by the skin" in words["wing"]


@pytest.mark.long
def test_whole_hand_off_of_the_example(tmp_path):
    result = run(tmp_path)
    assert not result.refused
    assert hashes(result.folder) == []
    shops = {path.name for path in result.folder.iterdir() if path.is_dir()}
    assert shops == {"mould_maker", "foam_stations", "wing_cores", "sheet_shop"}
    assert all(finding.verdict != "fail" for finding in result.findings)
    build(CONFIGS / "saltmarsh.toml", out=tmp_path / "again")


@pytest.mark.parametrize(
    ("override", "words", "do"),
    [
        # Sixty times 0.22 mm is about the radius of the tip's nose.
        ("handoff.laminate.plies.0.count=60", "leaves no core where the tip begins", "would do"),
        ("handoff.foam.start=2990 mm", "no room for one slab", "handoff.foam.slab"),
        (
            "handoff.moulds.0.lines=grooves; handoff.moulds.0.line_depth=0.5 mm",
            "grooves of 0.5 mm in a skin of 0.45 mm",
            "handoff.laminate",
        ),
    ],
)
def test_what_the_parameters_rule_out_is_refused_before_building(
    tmp_path, monkeypatch, override, words, do
):
    def never(*_):
        raise AssertionError("something was built")

    monkeypatch.setattr(hand_off, "bodies", never)
    with pytest.raises(ParameterError, match=words) as caught:
        handoff(CONFIGS / "saltmarsh.toml", override.split("; "), out=tmp_path / "out")
    assert caught.value.exit_code == 2
    assert caught.value.key.startswith("handoff.")
    assert do in str(caught.value)
    assert not (tmp_path / "out").exists()


def test_the_parts_list_says_what_is_known_of_a_part_s_material():
    known = sheets.materials(load(CONFIGS / "framed.toml"))
    assert (known["canopy"].words, known["canopy"].density) == ("acrylic, 3 mm", 1190.0)
    assert known["frame_arch"].words == "birch plywood, 6 mm"
    assert known["stringer_keel"].words == "spruce, 18 x 12 mm"
    assert "canopy" not in sheets.materials(load(CONFIGS / "saltmarsh.toml"))
