"""Bodies put together: closed forms of mechanics, and what must hold of any sum."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.balance.masses.inertia import RigidBody, solid_box, together

lengths = st.floats(-3000.0, 3000.0)
bodies = st.builds(
    RigidBody,
    st.floats(0.01, 200.0),
    st.tuples(lengths, lengths, lengths),
    st.builds(solid_box, st.just(5.0), *[st.floats(1.0, 900.0)] * 3),
)


def test_two_half_boxes_are_one_box() -> None:
    """The inertia of a box, m (b^2 + c^2) / 12, from its halves by the parallel-axis theorem."""
    half = solid_box(6.0, 500.0, 300.0, 200.0)
    halves = [RigidBody(6.0, (x, 0.0, 0.0), half) for x in (-250.0, 250.0)]
    whole = together(halves)
    assert whole.spread == pytest.approx(solid_box(12.0, 1000.0, 300.0, 200.0))
    assert whole.tensor[1, 1] == pytest.approx(12.0 * (1000.0**2 + 200.0**2) / 12)


@given(st.lists(bodies, min_size=1, max_size=6))
def test_masses_add_up_in_any_order(every: list[RigidBody]) -> None:
    one, other = together(every), together(every[::-1])
    assert one.mass == pytest.approx(sum(b.mass for b in every))
    assert one.centre == pytest.approx(other.centre, abs=1e-6)
    assert one.spread == pytest.approx(other.spread, rel=1e-9, abs=1e-3)
    assert together([together(every[:1]), together(every[1:])]).spread == pytest.approx(
        one.spread, rel=1e-9, abs=1e-3
    )


@given(st.lists(bodies, min_size=1, max_size=6))
def test_mirrored_bodies_have_a_mirrored_centre(every: list[RigidBody]) -> None:
    here, there = together(every), together([b.on_the_left() for b in every])
    mirrored = here.on_the_left()
    assert there.centre == pytest.approx(mirrored.centre, abs=1e-6)
    assert there.spread == pytest.approx(mirrored.spread, rel=1e-9, abs=1e-3)


@given(st.lists(bodies, min_size=2, max_size=6), lengths)
def test_a_body_moved_by_d_moves_the_centre_by_its_share(every: list[RigidBody], d: float) -> None:
    x, y, z = every[0].centre
    before, after = together(every), together([every[0].moved((x + d, y, z)), *every[1:]])
    share = every[0].mass * d / before.mass
    assert after.centre[0] - before.centre[0] == pytest.approx(share, abs=1e-6)


@given(st.lists(bodies, min_size=2, max_size=6))
def test_what_is_added_and_taken_away_is_gone(every: list[RigidBody]) -> None:
    first = every[0]
    gone = RigidBody(-first.mass, first.centre, tuple(-v for v in first.spread))
    assert together([*every, gone]).centre == pytest.approx(together(every[1:]).centre, abs=1e-5)
