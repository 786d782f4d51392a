"""Which names are refused before anything is built, against a list of ids made by hand."""

import pytest

from geomgen.errors import ParameterError
from geomgen.sweeping.names import axes_asked, can_be_shown, can_be_weighed, meant

KNOWN = (
    *("set pod.wall", "set firewall.thickness", "firewall.thickness", "firewall.mass"),
    *("inlet.area", "inlet.area.left", "inlet.area.right", "duct.turn_angle.left"),
    *("duct.turn_angle.right", "engine.clearance.*"),
)


@pytest.mark.parametrize(
    ("name", "ids"),
    [
        ("pod.wall", ("set pod.wall",)),
        ("set pod.wall", ("set pod.wall",)),
        ("firewall.thickness", ("firewall.thickness",)),
        ("set firewall.thickness", ("set firewall.thickness",)),
        ("inlet.area", ("inlet.area",)),
        ("inlet", ("inlet.area", "inlet.area.left", "inlet.area.right")),
        ("duct", ("duct.turn_angle.left", "duct.turn_angle.right")),
        ("engine.clearance", ("engine.clearance.*",)),
        ("engine.clearance.case", ("engine.clearance.case",)),
        ("inlet.area.nonsense", ()),
        ("set firewall.mass", ()),
        ("firewall.mas", ()),
    ],
)
def test_what_a_name_stands_for(name, ids):
    assert meant(name, KNOWN) == ids


@pytest.mark.parametrize(
    ("names", "problem"),
    [
        (("inlet.area.nonsense", "firewall.mass"), "no such figure"),
        (("duct", "firewall.mass"), "several figures for one axis"),
        (("pod.wall", "set pod.wall"), "named twice"),
        (("set firewall.mass", "pod.wall"), "no such figure"),
    ],
)
def test_axes_that_are_refused(names, problem):
    with pytest.raises(ParameterError, match=problem) as refused:
        can_be_shown(names, KNOWN)
    assert refused.value.exit_code == 2
    assert refused.value.written


def test_several_figures_are_listed():
    with pytest.raises(ParameterError) as refused:
        can_be_shown(("duct",), KNOWN)
    assert refused.value.allowed == "duct.turn_angle.left, duct.turn_angle.right"


@pytest.mark.parametrize(
    "names",
    [
        ("duct", "duct.turn_angle"),
        ("duct.turn_angle.left", "duct"),
        ("pod.wall", "set pod.wall"),
        ("engine.clearance", "engine.clearance.case"),
        ("engine", "engine.clearance"),
    ],
)
def test_one_figure_is_not_weighed_twice(names):
    with pytest.raises(ParameterError, match="named twice"):
        can_be_weighed(names, KNOWN)


def test_a_whole_and_its_parts_are_figures_of_their_own():
    can_be_weighed(("inlet.area", "inlet.area.left", "duct", "firewall.thickness"), KNOWN)
    can_be_weighed(("set firewall.thickness", "engine.clearance.case"), KNOWN)
    can_be_shown(("firewall.thickness", "set firewall.thickness", "engine.clearance"), KNOWN)


def test_two_or_three_axes():
    assert axes_asked(" a, b ,c") == ("a", "b", "c")
    assert axes_asked("") == ()
    for text in ("a", "a,b,c,d", "a,a"):
        with pytest.raises(ParameterError, match="not two or three axes"):
            axes_asked(text)
