"""Sound solids pass, broken ones are named; the faults are made on purpose."""

import pytest
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeSphere
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape, TopoDS_Shell

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.solids.validity import require_valid, validity

BOX = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()


def open_box():
    builder, shell = BRep_Builder(), TopoDS_Shell()
    builder.MakeShell(shell)
    for face in faces_of(BOX)[:5]:
        builder.Add(shell, face)
    return BRepBuilderAPI_MakeSolid(shell).Solid()


def test_a_box_is_sound():
    found = validity(BOX)
    assert (found.solids, found.shells, found.problems) == (1, 1, ())
    require_valid(BOX, "box", "made")


def test_an_open_shell_is_named():
    assert "one of its shells is open" in validity(open_box()).problems


def test_inside_out_is_named():
    assert "a solid is inside out or flat" in validity(BOX.Reversed()).problems


def test_the_number_of_solids_counts():
    builder, both = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(both)
    builder.Add(both, BOX)
    builder.Add(both, BRepPrimAPI_MakeSphere(1.0).Shape())
    assert validity(both).problems == ("it holds 2 solids, not 1",)
    assert validity(both, solids=2).problems == ()


def test_nothing_is_named():
    assert validity(TopoDS_Shape()).problems == ("it is empty",)


def test_the_error_says_part_and_step():
    with pytest.raises(GeometryError, match=r"pod: .*open") as caught:
        require_valid(open_box(), "pod", "fusing the scoops")
    assert caught.value.step == "fusing the scoops"
