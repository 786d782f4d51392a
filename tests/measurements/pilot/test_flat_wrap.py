"""The glazed part of plain pods: a tube wraps, a ball does not, within the bound that is told."""

import numpy as np
import pytest
from asking import bodies_of
from seated_pilots import shell, tube
from surveyed_models import model_of

from geomgen.errors import GeometryError
from geomgen.kernel.plain import Glass
from geomgen.measurements.pilot.flat_wrap import FINE, FLAT_WRAP, glazed_net, wrap
from geomgen.measurements.pilot.laid_flat import strain_of
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered

GLASS = Glass(-250.0, 250.0, 150.0, 150.0)


@pytest.fixture(scope="module")
def pipe():
    return bodies_of(model_of({"pod": tube(-600.0, 600.0, 300.0)}))["pod"]


@pytest.fixture(scope="module")
def bowl():
    return bodies_of(model_of({"pod": shell((0.0, 0.0, 0.0), 495.0)}))["pod"]


def test_a_tube_wraps(pipe):
    strain, bound = wrap([pipe], GLASS)
    assert strain <= bound
    assert bound < 2e-3


def test_a_ball_does_not(bowl):
    """The same net, drawn by hand on a ball of 500: what its mesh gives is within the bound."""
    strain, bound = wrap([bowl], GLASS)
    rows = []
    for x in np.linspace(-249.5, 249.5, FINE):
        size = np.sqrt(500.0**2 - x**2)
        turn = np.linspace(-1.0, 1.0, FINE) * np.arccos(150.0 / size)
        rows.append(np.stack([x + 0 * turn, size * np.sin(turn), size * np.cos(turn)], axis=-1))
    assert strain == pytest.approx(strain_of(np.array(rows)), abs=bound)
    assert strain - bound > 0.02


def test_the_net_lies_on_the_outer_skin_above_the_sill(bowl):
    net = glazed_net([bowl], GLASS, 9)
    size = (net**2).sum(axis=-1) ** 0.5
    assert size == pytest.approx(500.0 + 0 * size, abs=0.5)
    assert net[..., 2].min() >= 150.0 - 1e-6
    assert (net[:, 0, 1] < 0.0).all()
    assert (net[:, -1, 1] > 0.0).all()


def test_a_sill_above_the_crown_is_told(pipe):
    with pytest.raises(GeometryError, match="above the sill"):
        wrap([pipe], Glass(-250.0, 250.0, 200.0, 400.0))
    model = model_of({"pod": pipe.solid}, glass=Glass(-250.0, 250.0, 200.0, 400.0))
    (question,) = FLAT_WRAP.ask(model, {"pod": None})
    answer = from_text(text_of(question.ask(Given(bodies={"pod": pipe}))))
    (found,) = FLAT_WRAP.say(Answered(model, ["pod"], {question.name: answer}))
    assert found.value is None
    assert "above the sill" in found.note


def test_without_glass_nothing_is_asked(pipe):
    assert list(FLAT_WRAP.ask(model_of({"pod": pipe.solid}), {"pod": None})) == []
