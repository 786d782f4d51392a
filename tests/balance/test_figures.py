"""The mass of the computed air against the loadings: inside them, beside them, in pounds for kg."""

import pytest
from weighed_machines import checked, machine, measured

from geomgen.balance.figures import balanced
from geomgen.balance.state import balance_state


def flown(mass):
    p = machine()
    return checked(p.model_copy(update={"air": p.air.model_copy(update={"mass": mass})}))


def ends():
    every = [one.body.mass for one in balance_state(machine(), measured()).loaded]
    return min(every), max(every)


@pytest.mark.parametrize(
    ("share", "of_heaviest", "beyond", "verdict"),
    [
        (1.0, True, 0.0, "pass"),
        (1.04, True, 0.04, "pass"),
        (1.2, True, 0.2, "fail"),
        (0.97, False, 0.03, "pass"),
        # Kilograms written as what are pounds, and the other way round.
        (1 / 0.45359237, True, 1 / 0.45359237 - 1, "fail"),
        (0.45359237, False, 1 - 0.45359237, "fail"),
    ],
)
def test_the_air_is_worked_out_for_a_mass_that_flies(share, of_heaviest, beyond, verdict):
    found = flown(share * ends()[of_heaviest])["mass.flown"]
    assert found.measured == pytest.approx(beyond, abs=1e-9)
    assert found.verdict == verdict


def test_without_computed_air_nothing_is_said_of_its_mass():
    assert "mass.flown" not in checked(machine().model_copy(update={"air": None}))


def test_a_first_answer_of_it_may_be_off_as_the_masses_may():
    """Closed form: with all masses off by their band, the share moves by no more than is stated."""
    heavy, p = ends()[1], machine()
    p = p.model_copy(update={"air": p.air.model_copy(update={"mass": 1.04 * heavy})})
    state = balance_state(p, measured())
    band = max(state.mass_band_in(one.loading) for one in state.loaded if one.body.mass == heavy)
    exact, first = (
        next(m for m in balanced(p, measured(), first) if m.id == "mass.flown")
        for first in (False, True)
    )
    assert (first.value, exact.error_bound) == (exact.value, 0.0)
    moved = 1.04 * heavy / (heavy + band) - 1.0 - exact.value
    assert 0.0 < -moved < first.error_bound < -3.0 * moved
