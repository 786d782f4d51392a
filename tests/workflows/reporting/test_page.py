"""The page filled from a small made-up set; what stands in it is what stands in the files."""

import base64

import numpy as np
import pytest

from geomgen.files.manifest import file_entry
from geomgen.pages.scene import PageScene, ScenePart
from geomgen.renders.png import png_bytes
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.reporting.page import SHOWN, write_page

CORNERS = np.array([[0.0, 0, 0], [100.0, 0, 0], [0, 80.0, 0], [0, 0, 60.0]])
SIDES = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])
SVG = '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"><title>bay</title></svg>\n'


@pytest.fixture
def made(tmp_path, saltmarsh):
    """Return the folder and the entries of a set with one part, one picture, one drawing."""
    (tmp_path / "pictures").mkdir()
    (tmp_path / "drawings").mkdir()
    (tmp_path / "pod_mm.step").write_text("solid")
    picture = np.full((50, 80, 3), 90, dtype=np.uint8)
    (tmp_path / "pictures" / "engine_bay.png").write_bytes(png_bytes(picture))
    (tmp_path / "drawings" / "engine_bay.svg").write_text(SVG)
    box = {"low_mm": [0.0, 0.0, 0.0], "high_mm": [100.0, 80.0, 60.0]}
    solid = {"part": "pod", "bounding_box": box, "volume_mm3": 80000.0, "area_mm2": 9.0}
    drawing = {"drawing": "engine bay", "title": "Engine bay", "scale": "1:10", "sheet": "A3"}
    return tmp_path, [
        {**file_entry(tmp_path, "pod_mm.step", "solid"), **solid},
        file_entry(tmp_path, "pictures/engine_bay.png", "picture"),
        {**file_entry(tmp_path, "drawings/engine_bay.svg", "report drawing"), **drawing},
    ]


def written(made, saltmarsh, reason=""):
    folder, entries = made
    limits = Limits("at least 1.00 mm", low=1.0)
    check = Check("gap", "pod", "gap", 3.0, "mm", limits, "at least", 2.0, "pass")
    scene = PageScene((ScenePart("pod", CORNERS, SIDES, (0.5, 0.5, 0.5)),))
    made_with = {"geomgen": "0.0.7", "python": "3.99"}
    (entry,) = write_page(folder, saltmarsh, scene, (check,), entries, made_with, reason)
    assert entry["what"] == "report"
    return (folder / "report.html").read_text("utf-8")


def test_what_stands_in_the_files_stands_in_the_page(made, saltmarsh):
    text = written(made, saltmarsh)
    folder, entries = made
    data = base64.b64encode((folder / "pictures/engine_bay.png").read_bytes()).decode()
    assert f'src="data:image/png;base64,{data}"' in text
    assert 'width="80" height="50"' in text
    assert SHOWN["engine_bay"] in text
    assert "<title>bay</title>" in text
    assert "<?xml" not in text
    assert "Engine bay, scale 1:10 on A3" in text
    assert "100.0 × 80.0 × 60.0" in text
    assert all(entry["sha256"] in text for entry in entries)
    assert "The one check passes." in text


def test_the_sizing_and_the_parameters_are_the_files(made, saltmarsh):
    from geomgen.sizing.targets import targets

    text = written(made, saltmarsh)
    for target in targets(saltmarsh):
        assert target.id.removesuffix(".*") in text
    assert "name = &#34;saltmarsh&#34;" in text


def test_what_made_the_set_and_why_it_was_released_are_on_the_page(made, saltmarsh):
    text = written(made, saltmarsh, reason="to look at it")
    assert "RELEASED ALTHOUGH A CHECK FAILED: to look at it" in text
    assert "geomgen 0.0.7, python 3.99" in text


@pytest.mark.parametrize("glazed", [True, False])
def test_the_pilot_s_sight_has_a_row_and_says_what_it_does_not_show(made, saltmarsh, glazed):
    folder, entries = made
    wide = np.full((50, 80, 3), 200, dtype=np.uint8)
    (folder / "pictures" / "pilot_sight.png").write_bytes(png_bytes(wide))
    entries.append(file_entry(folder, "pictures/pilot_sight.png", "picture"))
    p = saltmarsh if glazed else saltmarsh.model_copy(update={"canopy": None})
    text = written(made, p)
    assert text.count('<figure class="wide">') == 1
    assert "Not shown: panel, frames of the canopy, knees" in text
    assert ("the pod bars the sight as drawn" in text) is not glazed


def test_without_a_pilot_there_is_no_such_row(made, saltmarsh):
    assert 'class="wide"' not in written(made, saltmarsh)
