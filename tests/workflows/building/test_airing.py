"""What `geomgen air` says: the sheet, what could not be worked out, what a set keeps."""

import pytest
from aired_machines import machine, measured

from geomgen import workflows
from geomgen.air.pressure_map import pressure_map
from geomgen.balance.judged import checks_of
from geomgen.errors import FileWriteError, GeometryError, ParameterError
from geomgen.measurements.record import Measurement
from geomgen.terminal.console import air_lines
from geomgen.workflows.building.air_file import read_air, read_panels, write_air
from geomgen.workflows.building.airing import air_result, wanted_mouth_of


@pytest.fixture(scope="module")
def result():
    p = machine()
    return air_result(p, measured(), checks_of(p, measured()))


def test_the_sheet_begins_with_the_caution_and_ends_with_the_checks(result):
    text = "\n".join(line for line, _ in air_lines(result))
    assert text.index("tuft the pod") < text.index("THRUST N") < text.index("VERDICT")
    for id_ in ("cooling.air_rise.climb", "inlet.pressure.scoop_cheek_right", "pod.separation"):
        assert id_ in text
    assert "exit.area" not in text


def test_quiet_leaves_out_the_sheet_and_what_passed(result):
    text = "\n".join(line for line, _ in air_lines(result, quiet=True))
    assert "THRUST N" not in text
    assert "inlet.pressure" not in text
    assert "cooling.air_rise.standing" in text


def test_air_that_could_not_be_worked_out_says_why():
    lost = [Measurement("exit.pressure", "pod", "", None, "1", "", note="the nose is cut off")]
    p = machine()
    with pytest.raises(GeometryError, match="the nose is cut off"):
        air_result(p, lost, checks_of(p, lost))


def test_a_set_keeps_its_air(tmp_path):
    p = machine()
    assert write_air(tmp_path, p, measured()) == [
        ("air.json", "air about the machine"),
        ("air_panels.json", "pressures on panels"),
    ]
    assert read_air(tmp_path)["states"][0]["name"] == "climb"
    assert read_panels(tmp_path) == pressure_map(measured())


def test_panels_that_can_not_be_read_are_said(tmp_path):
    assert read_panels(tmp_path) is None
    (tmp_path / "air_panels.json").write_text('{"speeds": 3}')
    with pytest.raises(FileWriteError, match=r"pressures of the set can't be read"):
        read_panels(tmp_path)


def test_another_mouth_may_be_asked_for():
    """6 in by 2.5 in: 152.4 mm by 63.5 mm."""
    p = machine()
    found = air_result(p, measured(), (), wanted_mouth_of("6 in x 2.5 in")).air
    assert (found.wanted.width, found.wanted.height) == pytest.approx((152.4, 63.5))
    assert len(found.places) == 2


@pytest.mark.parametrize("text", ["60 mm", "160 mm x 60", "2 m x 60 mm", "a x b", "60 mm x 3 mm"])
def test_a_mouth_that_is_none_is_refused(text):
    with pytest.raises(ParameterError):
        wanted_mouth_of(text)


def test_without_air_nothing_is_written(tmp_path):
    p = machine()
    assert write_air(tmp_path, p.model_copy(update={"air": None}), measured()) == []
    assert write_air(tmp_path, p, []) == []
    assert read_air(tmp_path) is None


def test_it_is_a_function_of_the_workflows():
    assert workflows.air.__module__ == "geomgen.workflows.building.airing"
