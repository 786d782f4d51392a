"""Lift against the attack: the angle for a lift, slopes, what is refused."""

import pytest
from air_bodies import body, plain_wing

from geomgen.air.potential.attack import Reference, attack_for, coefficients, slopes_at, stream
from geomgen.air.potential.disc import Disc
from geomgen.air.potential.onsets import AFT, UP
from geomgen.air.potential.solution import solved
from geomgen.errors import GeometryError

BY = Reference(11.7e6, 1300.0, (325.0, 0.0, 0.0))


@pytest.fixture(scope="module")
def wing():
    return solved(plain_wing(20, 8), [AFT, UP, Disc("propeller", (2600.0, 0.0, 0.0), 750.0)])


@pytest.mark.parametrize("lift", [0.5, -0.2, 0.0])
def test_the_attack_for_a_lift(wing, lift) -> None:
    attack = attack_for(wing, lift, BY)
    assert coefficients(wing, attack, BY).lift == pytest.approx(lift, abs=1e-6)
    assert attack * lift >= 0.0


def test_speed_does_not_matter_without_a_disc(wing) -> None:
    one, two = (coefficients(wing, 4.0, BY, speed) for speed in (1.0, 40.0))
    assert one.lift == pytest.approx(two.lift)
    assert one.moment == pytest.approx(two.moment)


def test_a_disc_changes_the_lift(wing) -> None:
    """Its pull along the wing from behind speeds the air up there."""
    plain, pulled = (coefficients(wing, 4.0, BY, 30.0, o) for o in ({}, {"propeller": 6.0}))
    assert pulled.pressure_lift > plain.pressure_lift


def test_the_neutral_point_does_not_depend_on_where_moments_are_taken(wing) -> None:
    there = Reference(BY.area, BY.chord, (2000.0, 0.0, 0.0))
    one, two = (slopes_at(wing, 2.0, by).neutral_point for by in (BY, there))
    assert one == pytest.approx(two, abs=1e-6)


def test_what_is_refused(wing) -> None:
    with pytest.raises(GeometryError, match="no attack within 30 deg"):
        attack_for(wing, 9.0, BY)
    with pytest.raises(GeometryError, match="no attack within 30 deg"):
        attack_for(solved(body(6, 6), [AFT, UP]), 0.3, BY)


def test_a_stream_has_its_speed() -> None:
    found = stream(30.0, 10.0)
    assert found["aft"] ** 2 + found["up"] ** 2 == pytest.approx(900.0)
