"""Papers for a builder who counts in inches: none of them tells a length in mm alone."""

import re
from pathlib import Path

import ezdxf
import pytest
from framed_pods import example
from own_inches import disagreeing, lengths_alone, texts_of_file

from geomgen.drafting.formats.dxf.writing import read_dxf
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import Dimension, Drawing, Label, rectangle
from geomgen.drafting.tables import table
from geomgen.errors import FileWriteError
from geomgen.parameters import load
from geomgen.parameters.editing.writing import as_toml
from geomgen.parameters.records.shops import IN_BOTH, IN_MM, Handoff
from geomgen.shops.product import Package, ShopSheet
from geomgen.workflows.handing_off.hand_off import handoff
from geomgen.workflows.handing_off.shop_files import _shop, both_units

CONFIGS = Path(__file__).parents[3] / "configs"
PAPERS = (".pdf", ".dxf", ".csv")
WRITTEN = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) (mm|cm|m)(?=[\"' ])(?!\^)")


def in_inches(text):
    """Return a parameter file with its lengths in inches."""
    size = {"mm": 1.0, "cm": 10.0, "m": 1000.0}
    return WRITTEN.sub(lambda one: f"{float(one[1]) * size[one[2]] / 25.4:.16g} in", text)


def said(folder):
    """Return the texts of all papers in a folder, by file."""
    files = sorted(path for path in folder.rglob("*") if path.suffix in PAPERS)
    return {path.name: texts_of_file(path) for path in files}


def held(texts):
    """Hold all texts to say every length in inches, in figures that agree."""
    # Figures on a page run into each other when they are read; its DXF, which is proved to be the
    # same drawing, has each for itself.
    apart = {n: m for n, m in texts.items() if n.replace(".pdf", "_mm.dxf") not in texts}
    alone = {name: one for name, many in apart.items() for t in many if (one := lengths_alone(t))}
    assert alone == {}
    odd = {name: one for name, many in apart.items() for t in many if (one := disagreeing(t))}
    assert odd == {}


def test_a_file_in_inches_has_its_papers_in_inches_and_so_has_its_set(tmp_path):
    metric = load(CONFIGS / "saltmarsh.toml")
    assert not both_units(metric)
    assert "\nlengths = " not in as_toml(metric)
    file = tmp_path / "inch.toml"
    file.write_text(in_inches((CONFIGS / "saltmarsh.toml").read_text()))
    (tmp_path / "curlew.dat").write_text((CONFIGS / "curlew.dat").read_text())
    p = load(file)
    assert both_units(p)
    # A set holds its parameters in mm: they must say the same when it is made again.
    file.write_text(as_toml(p))
    assert both_units(load(file))
    assert not both_units(load(file, ['handoff.paper.lengths="mm"']))


def plate():
    """Return a sheet with a text of each kind: labels, a table, notes, dimensions."""
    rows = [("H1", "12.70"), ("H2", "1 and 50.8")]
    holes = table((0.0, -30.0), "HOLES", ("no", "X [mm]"), rows, 4.0).drawing
    drawing = Drawing(
        "plate",
        (rectangle((0.0, 0.0), (160.0, 50.8)), *holes.paths),
        (Label((2.0, 30.0), "STA 254.0 TO 304.8, SHEET, 6 MM"), *holes.labels),
        ("bent to a radius of 3 mm; holes +-0.2 mm",),
        (
            Dimension((0.0, 0.0), (160.0, 0.0), (80.0, -12.0), prefix="long "),
            Dimension((20.0, 20.0), (23.0, 20.0), (20.0, 20.0), kind="radius", enlarged=5.0),
            Dimension((30.0, 10.0), (20.0, 20.0), (28.0, 18.0), kind="angle", corner=(20.0, 10.0)),
        ),
    )
    return ShopSheet("plate", "wing", full_size(drawing), "left", "of 12.7 x 25.4 mm")


def handed(folder, inches):
    """Write the plate as a shop gets it and return the texts of its papers."""
    paper = {"lengths": IN_BOTH if inches else IN_MM, "tiles": ["sheet_shop"]}
    asked = Handoff.model_validate({"sheet": {}, "paper": paper})
    p = example().model_copy(update={"handoff": asked})
    with lengths_on_paper(both_units(p)):
        _shop(folder, p, Package("sheet_shop", (), (plate(),)), "")
    return said(folder)


def test_no_paper_of_a_shop_tells_a_length_in_mm_alone(tmp_path):
    texts = handed(tmp_path, inches=True)
    assert len(texts) == 3
    held(texts)
    (page,), words = texts["plate.pdf"], " ".join(texts["plate_mm.dxf"])
    for told in (
        "0.5 x 1 in / 12.7 x 25.4 mm",
        "STA 10.000 TO 12 in / 254.0 TO 304.8 mm, SHEET, 0.236 in / 6 MM",
        "X [in / mm]",
        "0.5000 / 12.70",
        "0.039 and 2 / 1 and 50.8",
        "radius of 0.118 in / 3 mm",
        "+-0.008 in / +-0.2 mm",
        "long 6.299 / 160.0",
        "R0.024 / 0.6",
    ):
        assert told in page
        assert told in words
    assert "90.0°" in words
    assert "unit in / mm" in page
    assert "unit mm, figures in / mm" in words
    assert "3.937 in / 100 mm" in page


def test_a_builder_who_counts_in_mm_gets_no_inches(tmp_path):
    texts = handed(tmp_path, inches=False)
    assert not any(
        re.search(r"\bin\b(?! one|side)", text) for many in texts.values() for text in many
    )


@pytest.mark.parametrize("damage", ["dimaltf", "text"])
def test_a_wrong_inch_in_a_dxf_is_found(tmp_path, damage):
    handed(tmp_path, inches=True)
    path = tmp_path / "sheet_shop" / "plate_mm.dxf"
    document = ezdxf.readfile(path)
    if damage == "dimaltf":
        for style in document.dimstyles:
            style.dxf.dimaltf = 1.0 / 25.0
    else:
        shown = document.modelspace().query("DIMENSION")[0].get_geometry_block().query("TEXT")[0]
        shown.dxf.text = shown.dxf.text.replace("6.299", "6.300")
    document.saveas(path)
    with pytest.raises(FileWriteError, match=r"inches|reads"):
        read_dxf(path)


@pytest.mark.long
def test_no_paper_of_a_whole_hand_off_tells_a_length_in_mm_alone(tmp_path):
    for name in ("saltmarsh", "framed"):
        (tmp_path / f"{name}.toml").write_text(in_inches((CONFIGS / f"{name}.toml").read_text()))
    (tmp_path / "curlew.dat").write_text((CONFIGS / "curlew.dat").read_text())
    result = handoff(tmp_path / "framed.toml", out=tmp_path, reason="a trial")
    assert not result.refused
    held(said(result.folder))
