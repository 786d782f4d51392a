"""What items include is in one weight, and in that of the empty machine; the rest is refused."""

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.editing.writing import toml_of

CONFIGS = Path(__file__).parents[4] / "configs"
PLACE = {"station": "1 m", "waterline": "0 mm"}


@pytest.fixture
def refused(tmp_path):
    tables = tomllib.loads((CONFIGS / "saltmarsh.toml").read_text())
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())

    def make(change):
        change(tables)
        (tmp_path / "mine.toml").write_text(toml_of(tables))
        with pytest.raises(ParameterError) as caught:
            load(tmp_path / "mine.toml")
        return str(caught.value)

    return make


def test_what_an_item_includes_and_a_row_weighs_is_refused_with_both(refused):
    def change(tables):
        tables["frames"] = [{"name": "nose", "station": "300 mm", "thickness": "4 mm"}]
        tables["mass"].append({"part": "frame_nose", "weighed": "0.4 kg"})

    words = refused(change)
    assert "the frame_nose would be weighed twice" in words
    assert "in frames and floor of the pod" in words


def test_what_an_item_includes_and_a_weighed_wing_holds_is_refused_with_both(refused):
    """The spar was on the scales with the wing: 11 kg of it would count a second time."""

    def change(tables):
        spar = {"name": "main", "kind": "box", "chord_share": 0.25, "width": "40 mm"}
        tables["spars"] = [spar | {"cap_height": "9 mm", "web": "3 mm", "skin": "2 mm"}]
        tables["mass"] = [row for row in tables["mass"] if row["part"] != "wing"]
        tables["mass"].append({"part": "wing", "weighed": "38 kg"})

    words = refused(change)
    assert "the spar in the wing would be weighed twice" in words
    assert "in spar caps, web and root fittings, and with the wing" in words


def item(name, group="structure", **more):
    return {"name": name, "group": group, "mass": "1 kg"} | PLACE | more


def test_what_two_items_include_is_refused_with_both(refused):
    """Each of them would leave the spar's solid out, and each weighs it."""
    words = refused(lambda t: t["items"].append(item("caps of the centre", includes=["spar"])))
    assert "the spar would be in two weights" in words
    assert "in spar caps, web and root fittings, and in caps of the centre" in words


@pytest.mark.parametrize("family", ["canopy", "rib"])
def test_what_is_built_in_is_no_useful_load(refused, family):
    """Every loading is worked out without it too: an empty machine that has none."""

    def change(tables):
        for row in tables["items"]:
            row.pop("includes", None)
        tables["items"].append(item("hood", "useful load", includes=[family]))

    words = refused(change)
    assert f"a {family} that is no part of the empty machine" in words
    assert "in hood, which is useful load" in words


JOINT = {"at": "1600 mm", "plate_thickness": "3 mm", "plate_depth": "60 mm", "pin_diameter": "9 mm",
         "plate_length": "180 mm", "overlap": "85 mm", "pin_pitch": "30 mm",
         "pin_pitch_along": "110 mm"}  # fmt: skip


def jointed(tables):
    """Give the wing a spar with a joint, whose plates an item includes."""
    spar = {"name": "main", "kind": "box", "chord_share": 0.25, "width": "40 mm", "skin": "2 mm"}
    tables["spars"] = [spar | {"cap_height": "9 mm", "web": "3 mm", "wing_joint": JOINT}]
    row = {"name": "root", "of": "wing", "beside_joint": True, "thickness": "4 mm", "skin": "2 mm"}
    tables["ribs"] = [row]
    for item_ in tables["items"]:
        item_.pop("includes", None)
    tables["items"].append(item("fittings of the joint", includes=["joint_plate"]))


def test_plates_of_a_joint_that_a_row_or_a_weighed_wing_has_are_refused(refused):
    def by_a_row(tables):
        jointed(tables)
        tables["mass"].append({"part": "joint_plate_main", "material": "steel"})

    assert "the joint_plate_main would be weighed twice" in refused(by_a_row)

    def with_the_wing(tables):
        jointed(tables)
        tables["mass"] = [row for row in tables["mass"] if row["part"] != "joint_plate_main"]
        tables["mass"] = [row for row in tables["mass"] if row["part"] != "wing"]
        tables["mass"].append({"part": "wing", "weighed": "38 kg"})

    assert "the joint_plate in the wing would be weighed twice" in refused(with_the_wing)
