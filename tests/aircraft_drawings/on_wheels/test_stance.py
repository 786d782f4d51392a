"""How the machine stands: against the statics of the balance, and numbers on the drawing board."""

import numpy as np
import pytest
from aircraft_drawings.on_wheels.standing_machines import CENTRES, leaning, standing_machine

from geomgen.aircraft_drawings.measures import Measures
from geomgen.aircraft_drawings.on_wheels.stance import (
    UNCARRIED,
    UNWHEELED,
    Stance,
    stance_of,
    unstanding,
)
from geomgen.aircraft_drawings.views import LOOKS
from geomgen.balance import standing as statics
from geomgen.kernel.visibility.hidden_lines import Scene


def stance(model):
    return stance_of(Measures(model, Scene(model.parts, (model.swept,))))


def made(third, pitch):
    """Return a stance on its wheels with the nose up [deg], and the same for the statics."""
    ground = leaning("tail_down" if third == "tail" else "static", pitch)
    at = 4300.0 if third == "tail" else 400.0
    mains = np.array([[1900.0, 700.0, 20.0], [1900.0, -700.0, 20.0]])
    others = np.array([[at, 150.0, 20.0], [at, -150.0, 20.0]])
    own = Stance(ground, mains, others, mains + 180.0 * np.array(ground.plane.normal), third)
    return own, statics.Wheels(mains, others, third, np.array(ground.plane.normal), own.axles)


@pytest.mark.parametrize(("third", "pitch"), [("nose", 0.0), ("nose", -2.0), ("tail", 9.0)])
def test_angles_are_those_of_the_statics(third, pitch):
    own, wheels = made(third, pitch)
    for centre in CENTRES:
        assert own.mains_ahead(centre) == pytest.approx(statics.mains_ahead(wheels, centre.at))
        axis = own.overturn([centre])
        assert axis.angle == pytest.approx(statics.overturn(wheels, centre.at)[0])
        sign = 1.0 if third == "nose" else -1.0
        assert own.tip_back(centre) == pytest.approx(sign * statics.tip_back(wheels, centre.at))
    assert own.nose_up == pytest.approx(pitch)


def test_contacts_lie_on_the_ground_under_their_wheels():
    own = stance(standing_machine())
    assert own.mains == pytest.approx(np.array([[1900, -700, 20], [1900, 700, 20]]), abs=0.01)
    assert own.others == pytest.approx(np.array([[400.0, 0.0, 20.0]]), abs=0.01)
    assert own.looks() == LOOKS


def test_a_look_square_to_a_ground_that_leans():
    look = made("tail", 9.0)[0].looks()["side"]
    assert look.flat((np.cos(np.radians(9.0)), 0.0, np.sin(np.radians(9.0)))) == pytest.approx(
        (1.0, 0.0), abs=1e-12
    )


def test_what_does_not_stand_and_why():
    assert unstanding(standing_machine()) == ""
    assert unstanding(standing_machine("wheel")) == UNWHEELED
    model = standing_machine()
    model.grounds = []
    assert unstanding(model) == UNCARRIED
    model = standing_machine()
    model.wheels["wheel_left"] = "nose"
    assert unstanding(model) == UNCARRIED
    assert stance(model) is None
