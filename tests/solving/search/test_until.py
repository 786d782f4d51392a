"""What may be asked: every figure of the example, by its own limits and by value."""

import pytest

from geomgen.errors import ParameterError
from geomgen.sizing.targets import figures
from geomgen.solving.search.until import untils_of
from geomgen.solving.solve import known_figures


@pytest.fixture(scope="module")
def known(saltmarsh):
    return known_figures(saltmarsh)


VALUES = {
    "mm": "12.5 mm", "mm2": "90 cm^2", "mm3": "150 cm^3", "kg": "1.2 kg", "deg": "100 deg",
    "chord": "0.2", "Mach": "0.6", "1": "0.8", "": "", "K": "60 K", "kg/s": "0.25 kg/s",
}  # fmt: skip


def test_each_check_of_the_example_can_be_asked_for(known) -> None:
    assert len(known) > 25
    for figure in known:
        if figure.comparison != "none":
            (until,) = untils_of([f"{figure.id}=target"], known)
            assert until.means([figure.stem]) == (figure.stem,)
        if figure.comparison != "one of":
            (until,) = untils_of([f"{figure.stem}>={VALUES[figure.unit]}"], known)
            assert until.means([figure.stem]) == (figure.stem,)


def test_figures_that_are_only_to_be_read_can_be_asked_for(known, saltmarsh) -> None:
    read = {target.id for target in figures(saltmarsh) if target.severity == "info"}
    assert read >= {"prop.tip_radius", "firewall.volume", "firewall.clear_section"}
    assert read <= {figure.id for figure in known}


def test_a_family_means_each_of_its_members(known) -> None:
    ids = ["inlet.area", "duct.throat_area.left", "duct.throat_area.right", "duct.turn_angle.left"]
    (until,) = untils_of(["duct.throat_area.*=target"], known)
    assert until.means(ids) == ("duct.throat_area.left", "duct.throat_area.right")
    (until,) = untils_of(["engine.clearance=target"], known)
    assert until.means(["engine.clearance"]) == ("engine.clearance",)
    assert until.means(["engine.clearance.muffler"]) == ("engine.clearance.muffler",)


def test_values_in_other_units_and_stated_tolerances(known) -> None:
    (until,) = untils_of(["inlet.area = 28 in^2 +/- 10 mm^2"], known)
    assert (until.value, until.give) == (pytest.approx(28 * 25.4**2), 10.0)
    (until,) = untils_of(["prop.radial_clearance>=1 1/2 in"], known)
    assert (until.way, until.value) == (">=", pytest.approx(38.1))


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("inlet.area", "not a figure with what it should be"),
        ("inlet.aera=target", "perhaps inlet.area"),
        ("prop.radial=target", "perhaps .*prop.radial_clearance"),
        ("inlet.area=180", "no unit"),
        ("inlet.area=180 mm", "unit of a length"),
        ("inlet.area>=target", "a target is met"),
        ("prop.tip_radius=target", "no limits of its own"),
        ("firewall.material=steel", "compares names"),
        ("prop.*>=1 mm", "several units"),
        ("inlet.area>=180 cm^2 +/- 1 cm^2", "not a value"),
        ("inlet.area=180 cm^2 +/- 0 cm^2", "no tolerance"),
        ("firewall.volume=180 mm^2", "a unit of an area, not a volume"),
    ],
)
def test_what_cant_be_asked(known, text: str, word: str) -> None:
    with pytest.raises(ParameterError, match=word) as caught:
        untils_of([text], known)
    assert caught.value.file == "--until"


def test_nothing_and_twice_the_same(known) -> None:
    with pytest.raises(ParameterError, match="nothing is asked"):
        untils_of([], known)
    with pytest.raises(ParameterError, match="asked twice"):
        untils_of(["all", "all"], known)


@pytest.mark.parametrize(
    "texts",
    [
        ("inlet.area=180 cm^2", "inlet.area=190 cm^2"),
        ("inlet.area=180 cm^2 +/- 1 cm^2", "inlet.area=182.5 cm^2 +/- 1 cm^2"),
        ("inlet.area>=190 cm^2", "inlet.area<=180 cm^2"),
        ("inlet.area=180 cm^2", "inlet.area>=181 cm^2"),
        ("duct.throat_area.*=90 cm^2", "duct.throat_area.scoop_cheek_left>=91 cm^2"),
    ],
)
def test_what_no_figure_can_meet_at_once(known, texts) -> None:
    with pytest.raises(ParameterError, match="no figure meets both") as caught:
        untils_of(texts, known)
    assert caught.value.file == "--until"
    assert all(text in str(caught.value) for text in texts)


@pytest.mark.parametrize(
    "texts",
    [
        ("inlet.area=180 cm^2", "inlet.area=18000 mm^2"),
        ("inlet.area=180cm^2", "inlet.area = 180 cm^2 +/- 1 cm^2"),
    ],
)
def test_two_values_of_one_figure_are_one_too_many(known, texts) -> None:
    with pytest.raises(ParameterError, match="asked twice"):
        untils_of(texts, known)


@pytest.mark.parametrize(
    "texts",
    [
        ("inlet.area>=180 cm^2", "inlet.area<=190 cm^2"),
        ("inlet.area=180 cm^2", "inlet.area=target", "all"),
        ("inlet.area=180 cm^2", "duct.throat_area.*>=190 cm^2"),
        ("duct.throat_area.scoop_cheek_left=90 cm^2", "duct.throat_area.scoop_cheek_right=95 cm^2"),
    ],
)
def test_what_one_answer_can_meet(known, texts) -> None:
    assert len(untils_of(texts, known)) == len(texts)
