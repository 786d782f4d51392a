"""Volume times density of boxes (closed form); what has no density is not counted."""

from types import SimpleNamespace

import pytest

from geomgen.errors import ParameterError
from geomgen.solving.mass import densities_of, mass_of, mass_words
from geomgen.verdicts.check import Check, Limits


def state(firewall=1.25):
    from geomgen.kernel.brep.primitives import box

    parts = {
        "boom_left": box((0, 0, 0), (100, 100, 1000)),
        "boom_right": box((0, 0, 0), (100, 100, 1000)),
        "wing": box((0, 0, 0), (1000, 1000, 100)),
    }
    families = {"boom_left": "boom", "boom_right": "boom", "wing": "wing"}
    row = Check("firewall.mass", "firewall", "", firewall, "kg", Limits(""), "at most", 0.1, "pass")
    model = SimpleNamespace(parts=parts, families=families)
    return SimpleNamespace(checks=(row,), model=model)


def test_boxes(saltmarsh) -> None:
    assert mass_of(saltmarsh, state(), {}) == 1.25
    mass = mass_of(saltmarsh, state(), {"boom": 300.0, "wing": 40.0})
    assert mass == pytest.approx(1.25 + 2 * 0.01 * 300 + 0.1 * 40, rel=1e-9)
    assert mass_of(saltmarsh, state(None), {"boom": 300.0}) is None


def test_densities_as_written(saltmarsh) -> None:
    assert densities_of(["boom=0.3 g/cm^3"], saltmarsh) == {"boom": 300.0}
    assert "of boom at 300 kg/m^3" in mass_words({"boom": 300.0})


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("boom", "not a family"),
        ("prop_disc=1 kg/m^3", "no such family"),
        ("firewall=1 kg/m^3", "firewall.density"),
        ("boom=300", "no unit"),
        ("boom=0 kg/m^3", "not more than nothing"),
    ],
)
def test_refused(saltmarsh, text: str, word: str) -> None:
    with pytest.raises(ParameterError, match=word):
        densities_of([text], saltmarsh)


def test_a_family_that_the_file_has_not(variant) -> None:
    p = variant().model_copy(update={"spinner": None})
    with pytest.raises(ParameterError, match="no such family"):
        densities_of(["spinner=1000 kg/m^3"], p)
