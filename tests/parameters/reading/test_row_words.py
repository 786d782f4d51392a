"""A refusal in a list says which row it is: counted from 1, with the row's own name."""

from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.reading.refusal import BEGIN, ManyParametersError

CONFIGS = Path(__file__).parents[3] / "configs"
PLAIN = 'extends = "saltmarsh.toml"\n'


def refused(tmp_path, text):
    file = tmp_path / "odd.toml"
    for name in ("saltmarsh.toml", "curlew.dat"):
        (tmp_path / name).write_text((CONFIGS / name).read_text())
    file.write_text(text)
    with pytest.raises(ParameterError) as raised:
        load(file)
    return raised.value


def test_a_value_in_a_list_is_told_by_its_row(tmp_path):
    rows = '[[frames]]\nname = "nose"\nstation = "1 m"\nthickness = "4 mm"\nmaterial = "spruce"\n'
    second = rows.replace("nose", "aft").replace("4 mm", "4")
    error = refused(tmp_path, PLAIN + rows + second)
    assert error.key == "frames.1.thickness"
    assert error.row == "no. 2 of frames, aft"
    assert "frames.1.thickness (no. 2 of frames, aft): no unit" in str(error)
    assert error.as_dict()["row"] == error.row


def test_a_rule_between_rows_tells_its_row_and_a_plain_key_has_none(tmp_path):
    file = tmp_path / "plain.toml"
    for name in ("saltmarsh.toml", "curlew.dat"):
        (tmp_path / name).write_text((CONFIGS / name).read_text())
    file.write_text(PLAIN)
    with pytest.raises(ParameterError) as raised:
        load(file, ["scoops.0.lip_radius=9 mm"])
    assert raised.value.row == "no. 1 of scoops, cheek"
    with pytest.raises(ParameterError) as raised:
        load(file, ["pod.wall=4"])
    assert raised.value.row == ""
    assert "row" not in raised.value.as_dict()


def test_a_file_without_most_tables_points_to_the_command_that_writes_one_once(tmp_path):
    error = refused(tmp_path, "")
    assert isinstance(error, ManyParametersError)
    assert str(error).count(BEGIN) == 1
    assert str(error).splitlines()[-2] == f"  do: {BEGIN}"
    name = refused(tmp_path, 'title = "no name"\n' + "[wing]\n[pod]\n")
    assert str(name).count(BEGIN) == 1
    assert "geomgen new" not in str(refused(tmp_path, PLAIN + "[wing]\nspam = 1\n"))
